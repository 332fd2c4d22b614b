//! Any bytes are a year of air temperatures or refused in words; the hours of a year are those of its bins.
#![no_main]

use physics::units::{Time, unit::time::hour};
use tables::weather::{Air, read};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match read("fuzz.csv", bytes) {
        Ok(weather) => {
            let bins = weather.bins();
            assert!(!bins.is_empty() && bins.is_sorted_by(|a, b| a.air < b.air));
            let sum = bins.iter().fold(Time::new::<hour>(0.0), |sum, bin| sum + bin.time);
            assert!((sum - weather.time()).get::<hour>().abs() < 1e-6);
            let missing = weather.missing().get::<hour>();
            assert!((0.0..=88.0).contains(&missing));
            if let Air::Hours(hours) = &weather.air {
                assert!(hours.is_sorted_by(|a, b| a.at < b.at));
                let gaps: u32 = weather.gaps.iter().map(|gap| gap.hours).sum();
                assert_eq!(f64::from(gaps), missing);
            }
        }
        Err(error) => assert!(error.to_string().starts_with("fuzz.csv, line ") && !error.fault.help().is_empty()),
    }
});
