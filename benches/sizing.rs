//! What a user waits for: states, one line, and the lines of a set in every stocked tube. See `benches/README.md`.
//!
//! The job is that of `benches/reference/line_sizing_with_libraries.py`: 8 kW at -10 °C (dew) and 43 °C (bubble), three
//! lines of 25 m with 6 m of rise or fall and six elbows, ten copper tubes.

// A bench that can not set up its job has nothing to measure.
#![allow(clippy::unwrap_used)]

use divan::{Bencher, black_box};
use physics::{
    check::{Condition, Limit, Measure, Sense, Whose},
    fluid::{GridRefrigerant, Refrigerant, State},
    line::{Element, Line, Phase, Tolerance, march},
    sizing::{Case, Duty, Held, Judged, Limits, Service, choose},
    uncertainty::Lever,
    units::{
        Bore, BubbleTemperature, DewTemperature, Length, MassDensity, MassRate, Ratio, TemperatureInterval,
        ThermodynamicTemperature, Velocity,
        unit::{
            length::{meter, micrometer, millimeter},
            mass_density::kilogram_per_cubic_meter,
            mass_rate::kilogram_per_second,
            ratio::ratio,
            temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::degree_celsius,
            velocity::meter_per_second,
        },
    },
};
use std::{collections::BTreeMap, sync::LazyLock};
use tables::Library;

const NAMES: [&str; 2] = ["R-134a", "R-404A"];
const BORES_MM: [f64; 10] = [4.826, 8.001, 10.92, 13.84, 16.92, 19.94, 26.04, 32.13, 38.23, 50.42];
const CAPACITY_W: f64 = 8000.0;
/// Four levers, each nudged up and down: eight more studies.
const BANDS: [(Lever, f64); 4] =
    [(Lever::Density, 0.002), (Lever::Viscosity, 0.05), (Lever::Friction, 0.10), (Lever::Length, 0.02)];

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().unwrap());
static FLUIDS: LazyLock<BTreeMap<&str, GridRefrigerant>> = LazyLock::new(|| {
    let fluid = |name| (name, GridRefrigerant::new(&LIBRARY.grid(name).unwrap()).unwrap());
    NAMES.map(fluid).into()
});

fn main() {
    divan::main();
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

fn dew(fluid: &dyn Refrigerant, at_c: f64) -> State {
    fluid.at_dew(DewTemperature::new(celsius(at_c))).unwrap()
}

fn bubble(fluid: &dyn Refrigerant, at_c: f64) -> State {
    fluid.at_bubble(BubbleTemperature::new(celsius(at_c))).unwrap()
}

fn limits(service: Service) -> Limits {
    let practice = |value, sense| Limit { value, sense, whose: Whose::Practice };
    let kelvins = |value| Measure::TemperatureDifference(TemperatureInterval::new::<kelvin_interval>(value));
    let fastest = if service == Service::Liquid { 1.8 } else { 20.0 };
    Limits {
        saturated_temperature_drop: practice(kelvins(1.1), Sense::AtMost),
        velocity: practice(Measure::Velocity(Velocity::new::<meter_per_second>(fastest)), Sense::AtMost),
        flash_margin: practice(kelvins(0.0), Sense::AtLeast),
        oil_return: practice(Measure::Ratio(Ratio::new::<ratio>(1.15)), Sense::AtLeast),
        longest_run: None,
    }
}

/// The three lines of the set, each in the ten tubes.
fn cases(fluid: &dyn Refrigerant) -> Vec<Vec<Case>> {
    let (evaporating, condensing) = (dew(fluid, -10.0).pressure, bubble(fluid, 43.0).pressure);
    let suction = fluid.vapour_at(evaporating, celsius(-2.0)).unwrap();
    let discharge = fluid.vapour_at(condensing, celsius(77.0)).unwrap();
    let liquid = fluid.liquid_at(condensing, celsius(38.0)).unwrap();
    let rate_kg_s = CAPACITY_W / (suction.enthalpy - liquid.enthalpy).value;
    let elbow = LIBRARY.fittings().three_k("elbow-90-short-threaded").unwrap().loss.value;
    let of_line = |(service, state, rise_m): (Service, State, f64)| {
        let elements = vec![
            Element::Leg { length: Length::new::<meter>(25.0), rise: Length::new::<meter>(rise_m) },
            Element::Fitting { coefficients: elbow, count: 6 },
        ];
        let in_tube = |bore_mm: f64| Case {
            service,
            line: Line::new(
                Bore::new(Length::new::<millimeter>(bore_mm)),
                Length::new::<micrometer>(1.5),
                elements.clone(),
            ),
            duties: vec![Duty {
                condition: Condition::Summer,
                held: Held::Inlet(state.pressure),
                enthalpy: state.enthalpy,
                mass_rate: MassRate::new::<kilogram_per_second>(rate_kg_s),
                exchanges: Vec::new(),
            }],
            limits: limits(service),
            oil_density: MassDensity::new::<kilogram_per_cubic_meter>(950.0),
            stretch: None,
        };
        BORES_MM.map(in_tube).to_vec()
    };
    [(Service::Discharge, discharge, 6.0), (Service::Liquid, liquid, -6.0), (Service::Suction, suction, -6.0)]
        .map(of_line)
        .to_vec()
}

fn size(fluid: &dyn Refrigerant, lines: &[Vec<Case>], bands: &[(Lever, f64)]) -> [Option<usize>; 3] {
    std::array::from_fn(|line| {
        let judged: Vec<Judged> = lines[line].iter().map(|case| case.judge(fluid, bands)).collect();
        choose(&judged)
    })
}

#[divan::bench(args = NAMES)]
fn saturation_state(bencher: Bencher<'_, '_>, name: &str) {
    let (fluid, at) = (&FLUIDS[name], DewTemperature::new(celsius(-10.0)));
    bencher.bench(|| black_box(fluid).at_dew(black_box(at)).unwrap());
}

#[divan::bench(args = NAMES)]
fn vapour_at_pressure_and_temperature(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let (pressure, at) = (dew(fluid, -10.0).pressure, celsius(5.0));
    bencher.bench(|| black_box(fluid).vapour_at(black_box(pressure), black_box(at)).unwrap());
}

#[divan::bench(args = NAMES)]
fn vapour_at_pressure_and_enthalpy(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let state = fluid.vapour_at(dew(fluid, -10.0).pressure, celsius(5.0)).unwrap();
    bencher.bench(|| black_box(fluid).vapour(black_box(state.pressure), black_box(state.enthalpy)).unwrap());
}

/// The suction line in 26 mm at a tolerance that leaves the drop within 1e-4 of converged.
#[divan::bench(args = NAMES)]
fn one_line(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let case = &cases(fluid)[2][6];
    let inlet = case.duties[0].inlet(Phase::Vapour);
    const QUICK: f64 = 3e-6;
    let walk = |step: f64| {
        let tolerance = Tolerance { step: Ratio::new::<ratio>(step) };
        march(black_box(fluid), black_box(&case.line), inlet, tolerance, &mut |_| {}).unwrap().value
    };
    let (quick, converged) = (walk(QUICK).pressure_drop, walk(1e-12).pressure_drop);
    let miss = (quick / converged).get::<ratio>() - 1.0;
    assert!(miss.abs() < 1e-4, "{miss:e}");
    bencher.bench(|| walk(QUICK));
}

#[divan::bench(args = NAMES)]
fn three_lines_x_ten_tubes(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let lines = cases(fluid);
    bencher.bench(|| size(black_box(fluid), black_box(&lines), &[]));
}

#[divan::bench(args = NAMES)]
fn three_lines_x_ten_tubes_with_bands(bencher: Bencher<'_, '_>, name: &str) {
    let fluid = &FLUIDS[name];
    let lines = cases(fluid);
    bencher.bench(|| size(black_box(fluid), black_box(&lines), &BANDS));
}
