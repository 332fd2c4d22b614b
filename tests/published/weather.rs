//! Two real typical years, read here and by the library pvlib. The files lie in pvlib's package and are not copied:
//! without a Python that has it this is skipped (`support::generator`). What pvlib's reader says of them is in
//! `data/weather.csv`, made by `data/generate/weather_years.py`.

use crate::support::*;
use physics::units::{
    Length, unit::length::meter, unit::thermodynamic_temperature::degree_celsius, unit::time,
};
use std::{fs, path::Path};
use tables::weather::{self, Air, Kind};

#[test]
fn typical_years_are_what_pvlib_reads() {
    // The files print tenths; sums of 8760 of them differ by rounding of the last bits, and the table has nine digits.
    const ROUNDING: f64 = 1e-8;
    const THRESHOLD_C: f64 = 8.0;
    let Some(folder) = generator::run("weather_years.py", &["--folder"]) else { return };
    let mut tally = Tally::new("typical years, °C, h, K h");
    let rows = read("published/data/weather.csv");
    for row in &rows {
        let file = row.text("file");
        let bytes = fs::read(Path::new(folder.trim()).join(file)).unwrap();
        let year = weather::read(file, &bytes).unwrap();
        assert_eq!((year.kind, year.leap_year, &*year.gaps), (Kind::Tmy3, false, &[][..]), "{}", row.place());
        assert_eq!(year.place, Some(format!("{}, {}", row.text("name"), row.text("state"))));
        assert_eq!(year.altitude, Some(Length::new::<meter>(row.number("altitude_m"))));
        let Air::Hours(hours) = &year.air else { panic!("{}: hours", row.place()) };
        let celsius: Vec<f64> = hours.iter().map(|hour| hour.air.get::<degree_celsius>()).collect();
        let of_month = |month: u8| {
            let of_it = hours.iter().zip(&celsius).filter(|(hour, _)| hour.at.month() == month);
            let (count, sum) =
                of_it.fold((0.0, 0.0), |(count, sum), (_, celsius)| (count + 1.0, sum + celsius));
            sum / count
        };
        let bins = year.bins();
        let (mut above, mut in_bins) = (0.0, 0.0);
        for bin in &bins {
            let (excess, lasts) =
                (bin.air.get::<degree_celsius>() - THRESHOLD_C, bin.time.get::<time::hour>());
            above += excess.max(0.0) * lasts;
            in_bins += lasts;
        }
        for (column, found) in [
            ("hours", celsius.len() as f64),
            ("hours", in_bins),
            ("least_c", celsius.iter().copied().fold(f64::INFINITY, f64::min)),
            ("greatest_c", celsius.iter().copied().fold(f64::NEG_INFINITY, f64::max)),
            ("mean_c", celsius.iter().sum::<f64>() / celsius.len() as f64),
            ("distinct", bins.len() as f64),
            ("january_mean_c", of_month(1)),
            ("july_mean_c", of_month(7)),
            ("kelvin_hours_above_8_c", above),
        ] {
            tally.relative(&format!("{file} {column}"), found, row.number(column), ROUNDING);
        }
    }
    tally.finish(rows.len() * 9);
}
