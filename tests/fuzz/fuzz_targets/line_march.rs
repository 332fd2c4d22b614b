//! Any line, in any surroundings, is marched to finite figures or refused in words, in a bounded number of steps.
#![no_main]

use libfuzzer_sys::fuzz_target;
use physics::{
    fittings::ThreeK,
    fluid::{GridRefrigerant, Refrigerant},
    heat::Linear,
    line::{Element, Inlet, Line, Phase, Tolerance, march_to_outlet, march_with_heat},
    units::{
        AbsolutePressure, Bore, ConductancePerLength, Length, MassRate, Pressure, Ratio,
        ThermodynamicTemperature,
        unit::{
            length::meter, mass_rate::kilogram_per_second, pressure::pascal, ratio::ratio,
            thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
        },
    },
};
use std::sync::LazyLock;

const NAMES: [&str; 4] = ["R-134a", "R-410A", "R-448A", "R-744"];
/// More than any line that is marched in earnest takes; a march that goes on and on is a fault.
const MOST_STATIONS: usize = 200_000;

static FLUIDS: LazyLock<Vec<GridRefrigerant>> = LazyLock::new(|| {
    let library = tables::Library::embedded().expect("the tests read the embedded tables");
    let fluid = |name| GridRefrigerant::new(&library.grid(name).expect("a grid")).expect("a refrigerant");
    NAMES.into_iter().map(fluid).collect()
});

/// A number of a byte within `low..=high`.
fn within(byte: u8, low: f64, high: f64) -> f64 {
    low + (high - low) * f64::from(byte) / 255.0
}

fn element(bytes: [u8; 3]) -> Element {
    let [kind, first, second] = bytes;
    let length = Length::new::<meter>;
    match kind % 5 {
        0 | 1 => {
            let long_m = within(first, 0.0, 60.0);
            Element::Leg { length: length(long_m), rise: length(long_m * within(second, -1.0, 1.0)) }
        }
        2 => Element::Fitting {
            coefficients: ThreeK {
                k1: within(first, 0.0, 2000.0),
                k_infinity: within(second, 0.0, 3.0),
                kd: 4.0,
            },
            count: u32::from(first % 9),
        },
        3 => Element::Resistance { coefficient: Ratio::new::<ratio>(within(first, 0.0, 200.0)) },
        _ => Element::CheckValve {
            coefficient: Ratio::new::<ratio>(within(first, 0.0, 50.0)),
            cracking: Pressure::new::<pascal>(within(second, 0.0, 50_000.0)),
        },
    }
}

fuzz_target!(|input: (u8, bool, [u8; 4], [[u8; 3]; 6], [[u8; 2]; 6])| {
    let (which, vapour, [bore, pressure, distance, rate], elements, exchanges) = input;
    let fluid: &dyn Refrigerant = &FLUIDS[usize::from(which) % NAMES.len()];
    let bore = Bore::new(Length::new::<meter>(within(bore, 0.002, 0.06)));
    let line = Line::new(bore, Length::new::<meter>(1.5e-6), elements.map(element).to_vec());
    let exchanges = exchanges.map(|[conductance, surroundings]| Linear {
        conductance: ConductancePerLength::new::<watt_per_meter_kelvin>(within(conductance, 0.0, 5.0)),
        surroundings: ThermodynamicTemperature::new::<kelvin>(within(surroundings, 220.0, 360.0)),
    });
    let pressure = AbsolutePressure::from_pascal(within(pressure, 5e4, 4e6));
    let Ok(ends) = fluid.ends(pressure) else { return };
    let away = within(distance, 0.0, 60.0);
    let (phase, end, sense) =
        if vapour { (Phase::Vapour, ends.dew, 1.0) } else { (Phase::Liquid, ends.bubble, -1.0) };
    let temperature = ThermodynamicTemperature::new::<kelvin>(end.temperature.value + sense * away);
    let state =
        if vapour { fluid.vapour_at(pressure, temperature) } else { fluid.liquid_at(pressure, temperature) };
    let Ok(state) = state else { return };
    let mass_rate = MassRate::new::<kilogram_per_second>(within(rate, 0.0, 0.5).powi(2));
    let inlet = Inlet { phase, pressure, enthalpy: state.enthalpy, mass_rate };

    let mut stations = 0;
    let found = march_with_heat(fluid, &line, &exchanges, inlet, Tolerance::default(), &mut |station| {
        stations += 1;
        assert!(stations < MOST_STATIONS, "{line:?} {exchanges:?} {inlet:?}");
        assert!(station.local.pressure.pascal() > 0.0 && station.local.density.value > 0.0);
    });
    match found {
        Ok(outcome) => {
            let outlet = outcome.value;
            let figures = [
                outlet.pressure_drop.value,
                outlet.friction_drop.value,
                outlet.heat.value,
                outlet.charge.value,
                outlet.velocity_max.value,
            ];
            assert!(figures.iter().all(|figure| figure.is_finite()), "{outlet:?}");
            assert!(outlet.friction_drop.value >= 0.0 && outlet.charge.value >= 0.0);
            let parts =
                outlet.friction_drop + outlet.fittings_drop + outlet.static_drop + outlet.acceleration_drop;
            assert!((parts - outlet.pressure_drop).value.abs() <= 1e-6 * pressure.pascal());
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
    if let Err(error) = march_to_outlet(fluid, &line, &exchanges, pressure, inlet, Tolerance::default()) {
        assert!(!error.to_string().is_empty());
    }
});
