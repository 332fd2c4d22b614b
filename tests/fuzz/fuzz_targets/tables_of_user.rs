//! Any bytes are a catalogue or faults, and a compressor map or faults; every fault can be printed.
#![no_main]

use report::job::{Faults, catalogue, compressor_map};

fn told(faults: &Faults) {
    assert!(faults.len() > 0 && faults.plain().starts_with("fuzz.csv:"));
    assert!(!faults.render(false).contains('\u{1b}'));
}

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match catalogue::read("fuzz.csv", bytes) {
        Ok(catalogue) => {
            assert!(!catalogue.models.is_empty());
            for model in &catalogue.models {
                assert!(!model.rating.is_empty());
                assert_eq!(catalogue.find(&model.name.value), Some(model));
            }
        }
        Err(faults) => told(&faults),
    }
    match compressor_map::read("fuzz.csv", bytes) {
        Ok(map) => {
            assert!(map.power.is_some() && (map.capacity.is_some() || map.mass_flow.is_some()));
            assert!(!map.evaporating.is_empty() && !map.condensing.is_empty());
        }
        Err(faults) => told(&faults),
    }
});
