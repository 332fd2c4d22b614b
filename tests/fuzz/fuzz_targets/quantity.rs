//! Any text is read or refused; what is read is written and read again to the same value.
#![no_main]

use physics::units::{Length, Mass, Power, Pressure, Ratio, TemperatureInterval, ThermodynamicTemperature};
use report::job::{part, quantity, quantity::Quantity, route};

fn there_and_back<Q: Quantity>(text: &str) {
    match quantity::read::<Q>(text) {
        Ok(value) => {
            let again = quantity::read::<Q>(&quantity::write(value)).expect("what is written reads back");
            assert!(again.si() == value.si(), "{text}");
        }
        Err(error) => assert!(!error.to_string().is_empty() && !error.help().is_empty()),
    }
}

libfuzzer_sys::fuzz_target!(|text: &str| {
    there_and_back::<Length>(text);
    there_and_back::<Mass>(text);
    there_and_back::<Power>(text);
    there_and_back::<Pressure>(text);
    there_and_back::<Ratio>(text);
    there_and_back::<TemperatureInterval>(text);
    there_and_back::<ThermodynamicTemperature>(text);
    let _ = quantity::read_pressure(text);
    let _ = quantity::read_flow_coefficient(text);
    if let Ok(leg) = route::read_leg(text) {
        assert_eq!(route::read_leg(&leg.to_string()), Ok(leg));
    }
    if let Ok(part) = part::read(text) {
        assert_eq!(part::read(&part.to_string()), Ok(part));
    }
});
