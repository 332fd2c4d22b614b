//! Worked examples of fluid mechanics: Technical Paper 410 "Flow of Fluids" (solved problems), Munson, Young, Okiishi
//! "Fundamentals of Fluid Mechanics", Cengel, Cimbala "Fluid Mechanics". The printed answers were read in open copies,
//! named row by row in `data/fluid_mechanics.csv`. Each tolerance says why it is what it is: most answers hang on a
//! friction factor read from a chart.
//!
//! Inputs that the rows only name (pipe schedules, viscosities of water, air and steam) are the round values of any
//! handbook: bore of schedule 40 pipe 1.049 in (1 in), 2.067 in (2 in), 3.068 in (3 in), schedule 80 0.546 in (1/2 in).

use crate::{simple_fluids::SimpleFluid, support::*};
use physics::{
    fittings::equivalent_length,
    friction::{darcy_friction_factor, friction_pressure_drop},
    heat::Linear,
    line::{Element, Line, Outlet, Phase, Station, Tolerance, march, march_with_heat},
    two_phase,
    units::{
        DynamicViscosity, STANDARD_GRAVITY_M_S2, SurfaceTension, ThermalConductivity,
        unit::{
            dynamic_viscosity::pascal_second,
            length::meter,
            pressure::{kilopascal, pascal, psi},
            ratio::ratio,
            surface_tension::newton_per_meter,
            thermal_conductivity::watt_per_meter_kelvin,
            velocity::foot_per_minute,
        },
    },
};

const ROUGHNESS_OF_STEEL_IN: f64 = 0.0018;
const CUBIC_FOOT_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
const US_GALLON_M3: f64 = 3.785_411_784e-3;
const ATMOSPHERE_PA: f64 = 101_325.0;

fn printed(id: &str) -> f64 {
    let rows = read("published/data/fluid_mechanics.csv");
    let row = rows.iter().find(|row| row.text("id") == id).unwrap_or_else(|| panic!("no row {id}"));
    row.number("value")
}

fn compare(id: &str, found: f64, tolerance: f64) {
    let mut tally = Tally::new(id);
    tally.relative(id, found, printed(id), tolerance);
    tally.finish(1);
}

fn inches(value: f64) -> f64 {
    value * INCH_MM
}

fn steel(bore_in: f64, elements: Vec<Element>) -> Line {
    line(bore_mm(inches(bore_in)), inches(ROUGHNESS_OF_STEEL_IN) * 1e3, elements)
}

fn resistance(coefficient: f64) -> Element {
    Element::Resistance { coefficient: number(coefficient) }
}

/// Liquid through a line from 20 bar: an absolute level that no answer depends on.
fn liquid(fluid: SimpleFluid, line: &Line, volume_m3_s: f64) -> Outlet {
    let state = fluid.state(20e5, celsius(20.0));
    outlet(&fluid, line, inlet(Phase::Liquid, &state, volume_m3_s * state.density.value))
}

#[test]
fn f1_friction_factor_of_smooth_pipe() {
    // Half a unit of the last printed digit is 0.28 %; Colebrook lies 0.3 % above the chart's smooth line here.
    const CHART_READING: f64 = 0.005;
    let factor = darcy_friction_factor(number(printed("F1a")), number(0.0)).value;
    compare("F1b", factor.get::<ratio>(), CHART_READING);
}

#[test]
fn f2_oil_in_steel_pipe() {
    // The book reads 0.0230 from its chart where Colebrook gives 0.0227: 1.3 %, and no more.
    const CHART_READING: f64 = 0.015;
    let density = 0.815 * 999.1;
    let fluid = SimpleFluid::liquid(density, 2.7e-6 * density);
    let drop = liquid(fluid, &steel(2.067, vec![leg(100.0 * FOOT_M, 0.0)]), 2.0 * US_GALLON_M3).pressure_drop;
    compare("F2", drop.get::<pascal>(), CHART_READING);
}

#[test]
fn f3_air_line() {
    // The book takes the drop from a table for 100 psi with a density correction: 4 % from the isothermal equation.
    const TABLE_METHOD: f64 = 0.04;
    // The base temperature of its standard cubic foot is not stated; 60 °F is taken, 68 °F would be 1.5 % less.
    const STANDARD_STATE: f64 = 0.015;
    let air = SimpleFluid::air(1.93e-5);
    let rate_kg_s = 100.0 * CUBIC_FOOT_M3 / 60.0 * air.state(ATMOSPHERE_PA, fahrenheit(60.0)).density.value;
    let entering = air.state(ATMOSPHERE_PA + 65.0 * PSI_PA, fahrenheit(115.0));
    let pipe = steel(1.049, vec![leg(75.0 * FOOT_M, 0.0)]);
    let mut velocities = Vec::new();
    let entering = inlet(Phase::Vapour, &entering, rate_kg_s);
    let outcome =
        march(&air, &pipe, entering, Tolerance::default(), &mut |station| velocities.push(station.velocity))
            .unwrap();
    compare("F3a", outcome.value.pressure_drop.get::<psi>(), TABLE_METHOD);
    compare("F3b", velocities.first().unwrap().get::<foot_per_minute>(), STANDARD_STATE);
    compare("F3c", velocities.last().unwrap().get::<foot_per_minute>(), STANDARD_STATE);
}

#[test]
fn f4_steam_line_with_the_books_fittings() {
    // The density behind the answer is not stated in the copy: 0.5 % between reasonable steam tables; f read as 0.015
    // where Colebrook gives 0.0153 adds 1.4 % of the pipe's share.
    const UNSTATED_DENSITY_AND_CHART: f64 = 0.015;
    // 1/0.08004 m3/kg: IAPWS-IF97 at 40 bar absolute and 450 °C (from memory).
    let steam = SimpleFluid::liquid(1.0 / 0.080_04, 2.65e-5);
    let pipe = line(
        bore_mm(146.3),
        inches(ROUGHNESS_OF_STEEL_IN) * 1e3,
        vec![leg(120.0, 0.0), resistance(0.63), resistance(1.44), resistance(1.22)],
    );
    let state = steam.state(40e5, celsius(450.0));
    let found = outlet(&steam, &pipe, inlet(Phase::Liquid, &state, 40_000.0 / 3600.0));
    compare("F4", found.pressure_drop.get::<pascal>(), UNSTATED_DENSITY_AND_CHART);
}

#[test]
fn f5_f6_equivalent_length_of_valves() {
    // The books round L/D to three digits before they multiply.
    const PRINT_ROUNDING: f64 = 0.002;
    for (ratio_id, length_id, resistance, factor, bore_m) in
        [("F5b", "F5c", 3.6, 0.015, 0.154), ("F6a", "F6b", 2.475, 0.0165, 0.0972)]
    {
        let bore = bore_mm(bore_m * 1e3);
        let length = equivalent_length(number(resistance), bore, number(factor)).get();
        compare(ratio_id, (length / bore.get()).get::<ratio>(), PRINT_ROUNDING);
        compare(length_id, length.get::<meter>(), PRINT_ROUNDING);
    }
}

#[test]
fn f7_pumped_water_with_fittings_and_lift() {
    // Three printed digits, 0.12 %, and fully turbulent fitting factors to two digits.
    const PRINT_ROUNDING_AND_FITTINGS: f64 = 0.004;
    // K of the paper's appendix at f_T = 0.017: gate 8 f_T, elbow 30 f_T, lift check 600 f_T reduced to beta = 0.805.
    let (gate, elbow, exit) = (8.0 * 0.017, 30.0 * 0.017, 1.0);
    let beta: f64 = 2.469 / 3.068;
    let narrowing = 1.0 - beta * beta;
    let lift_check = (600.0 * 0.017 + beta * (0.5 * narrowing + narrowing * narrowing)) / beta.powi(4);
    let density = 62.298 * 0.453_592_37 / CUBIC_FOOT_M3;
    let pipe = line(
        bore_mm(inches(3.068)),
        inches(0.0022) * 1e3,
        vec![
            leg(500.0 * FOOT_M, 400.0 * FOOT_M),
            resistance(gate),
            resistance(4.0 * elbow),
            resistance(lift_check),
            resistance(exit),
        ],
    );
    let volume_m3_s = 100.0 * US_GALLON_M3 / 60.0;
    let drop_pa =
        liquid(SimpleFluid::liquid(density, 0.95e-3), &pipe, volume_m3_s).pressure_drop.get::<pascal>();
    compare("F7a", drop_pa / (density * STANDARD_GRAVITY_M_S2) / FOOT_M, PRINT_ROUNDING_AND_FITTINGS);
    compare("F7b", drop_pa * volume_m3_s / 0.70 / 745.7, PRINT_ROUNDING_AND_FITTINGS);
}

/// The flow reaches half the speed of sound at the outlet: without acceleration it would come out 12 % higher.
#[test]
fn f8_fast_air_with_its_acceleration() {
    // The book does not iterate its friction factor.
    const FRICTION_NOT_ITERATED: f64 = 0.01;
    let air = SimpleFluid::air(1.8e-5);
    let standard = air.state(ATMOSPHERE_PA, fahrenheit(60.0)).density.value;
    let entering = air.state(ATMOSPHERE_PA + 19.3 * PSI_PA, fahrenheit(100.0));
    let pipe = steel(0.546, vec![leg(10.0 * FOOT_M, 0.0), resistance(1.0)]);
    let rate = |scfh: f64| scfh * CUBIC_FOOT_M3 / 3600.0 * standard;
    let walk = |scfh: f64| {
        // The book's gas keeps its temperature: so does one that trades heat freely with surroundings as warm as itself.
        let free = Linear {
            conductance: ThermalConductivity::new::<watt_per_meter_kelvin>(1e3),
            surroundings: entering.temperature,
        };
        let inlet = inlet(Phase::Vapour, &entering, rate(scfh));
        march_with_heat(&air, &pipe, &[free], inlet, Tolerance::default(), &mut |_| {})
    };
    let book = printed("F8");
    let (mut low, mut high) = (0.5 * book, 1.2 * book);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        // More than the pipe can pass is too much as well.
        let reaches =
            walk(middle).is_ok_and(|outcome| outcome.value.outlet.pressure.pascal() > ATMOSPHERE_PA);
        if reaches { low = middle } else { high = middle }
    }
    compare("F8", low, FRICTION_NOT_ITERATED);
}

#[test]
fn f9_air_in_small_drawn_tube() {
    // The book reads 0.028 from the chart, Colebrook gives 0.0291: 4 %, the whole of the gap.
    const CHART_READING: f64 = 0.042;
    let air = SimpleFluid::liquid(1.23, 1.79e-5);
    let tube = line(bore_mm(4.0), 1.5, vec![leg(0.1, 0.0)]);
    let drop = liquid(air, &tube, 50.0 * tube.bore.area().value).pressure_drop;
    compare("F9b", drop.get::<kilopascal>(), CHART_READING);
}

/// Munson, Young, Okiishi, Example 8.8: water at 60 °F through 60 ft of 3/4 in copper tube, 20 ft up, four elbows, a
/// valve and a faucet, to the open air.
mod f10_copper_line {
    use super::*;

    /// The plotted pressures are printed to three digits (0.5 % at 9.93 psi), and the book's friction factor is 0.0215
    /// where Colebrook gives 0.02165 (0.7 % of the friction).
    const PRINT_ROUNDING_AND_CHART: f64 = 0.01;
    const SLUG_FT3: f64 = 14.593_903 / CUBIC_FOOT_M3;
    const POUND_SECOND_FT2_PA_S: f64 = 47.880_26;
    const DRAWN_TUBING_FT: f64 = 5e-6;
    const BORE_FT: f64 = 0.0625;
    const FAUCET_BORE_FT: f64 = 0.5 / 12.0;
    const FLOW_FT3_S: f64 = 0.0267;

    fn water() -> SimpleFluid {
        SimpleFluid::liquid(1.94 * SLUG_FT3, 2.34e-5 * POUND_SECOND_FT2_PA_S)
    }

    /// Loss of the faucet (`K`) and the kinetic energy that its narrow mouth takes: `(V2/V1)^2 - 1`.
    fn faucet(loss: f64) -> Element {
        resistance(loss + (BORE_FT / FAUCET_BORE_FT).powi(4) - 1.0)
    }

    fn tube(elements: Vec<Element>) -> Line {
        line(bore_mm(BORE_FT * FOOT_M * 1e3), DRAWN_TUBING_FT * FOOT_M * 1e6, elements)
    }

    fn feet(length: f64, rise: f64) -> Element {
        leg(length * FOOT_M, rise * FOOT_M)
    }

    /// Gauge pressures in psi where each element begins and where the last one ends.
    fn profile(elements: Vec<Element>) -> Vec<f64> {
        let (fluid, tube) = (water(), tube(elements));
        let start = fluid.state(20e5, fahrenheit(60.0));
        let rate = FLOW_FT3_S * CUBIC_FOOT_M3 * start.density.value;
        let mut stations: Vec<Station> = Vec::new();
        march(&fluid, &tube, inlet(Phase::Liquid, &start, rate), Tolerance::default(), &mut |s| {
            stations.push(*s)
        })
        .unwrap();
        let end_pa = stations.last().unwrap().local.pressure.pascal();
        let ends = (0..tube.elements.len())
            .map(|index| stations.iter().rfind(|station| station.element == index).unwrap());
        let all = stations.first().into_iter().chain(ends);
        all.map(|station| (station.local.pressure.pascal() - end_pa) / PSI_PA).collect()
    }

    #[test]
    fn twelve_pressures_along_the_line() {
        const ELBOW: f64 = 1.5;
        let found = profile(vec![
            feet(15.0, 0.0),
            resistance(ELBOW),
            feet(10.0, 10.0),
            resistance(ELBOW),
            feet(5.0, 0.0),
            resistance(ELBOW),
            feet(10.0, 10.0),
            resistance(ELBOW),
            feet(10.0, 0.0),
            resistance(10.0),
            feet(10.0, 0.0),
            faucet(2.0),
        ]);
        let mut tally = Tally::new("F10 pressures along a copper line");
        tally.relative("inlet", found[0], printed("F10c"), PRINT_ROUNDING_AND_CHART);
        for (point, pressure) in found.iter().enumerate().skip(1).take(11) {
            let id = format!("F10-{point:02}");
            tally.relative(&id, *pressure, printed(&id), PRINT_ROUNDING_AND_CHART);
        }
        tally.finish(12);
    }

    #[test]
    fn losses_left_out_one_after_the_other() {
        let friction_only = profile(vec![feet(40.0, 0.0), feet(20.0, 20.0), faucet(0.0)]);
        compare("F10b", friction_only[0], PRINT_ROUNDING_AND_CHART);
        // No losses: height and kinetic energy alone.
        let height = liquid(water(), &tube(vec![feet(20.0, 20.0)]), 0.0).pressure_drop;
        let kinetic = liquid(water(), &tube(vec![faucet(0.0)]), FLOW_FT3_S * CUBIC_FOOT_M3).pressure_drop;
        compare("F10a", (height + kinetic).get::<psi>(), PRINT_ROUNDING_AND_CHART);
    }
}

#[test]
fn f11_water_in_drawn_tube() {
    // f 0.0172 in the book, 0.01715 by Colebrook, and its velocity rounded to 3.06 m/s (0.1 %, squared).
    const ROUNDED_FACTOR_AND_VELOCITY: f64 = 0.005;
    let tube = line(bore_mm(50.0), 2.0, vec![leg(60.0, 0.0)]);
    let drop = liquid(SimpleFluid::liquid(999.0, 1.138e-3), &tube, 0.006).pressure_drop;
    compare("F11", drop.get::<pascal>(), ROUNDED_FACTOR_AND_VELOCITY);
}

#[test]
fn f12_bore_for_a_given_head_loss() {
    // Three printed digits.
    const PRINT_ROUNDING: f64 = 0.002;
    let density = 1.145;
    let air = SimpleFluid::liquid(density, 1.655e-5 * density);
    let head_m = |bore_m: f64| {
        let duct = line(bore_mm(bore_m * 1e3), 0.0, vec![leg(150.0, 0.0)]);
        liquid(air, &duct, 0.35).pressure_drop.get::<pascal>() / (density * STANDARD_GRAVITY_M_S2)
    };
    let (mut narrow, mut wide) = (0.1, 1.0);
    for _ in 0..50 {
        let middle = 0.5 * (narrow + wide);
        if head_m(middle) > 20.0 { narrow = middle } else { wide = middle }
    }
    compare("F12", narrow, PRINT_ROUNDING);
}

#[test]
fn f13_two_phase_gradient_by_friedel() {
    // The book takes the Blasius factor: 0.6 % below Colebrook for the liquid (Re 8.5e4), 15 % for the gas (Re 1.1e6), whose
    // share of the multiplier is 5 %.
    const BLASIUS_IN_THE_BOOK: f64 = 0.015;
    // With its factors put in the place of Colebrook's, 0.2 % is left: the book rounds the exponent of the Froude number to 0.045.
    const ROUNDED_EXPONENT: f64 = 0.0025;
    let rows = read("published/data/fluid_mechanics.csv");
    let row = rows.iter().find(|row| row.text("id") == "F13a").unwrap();
    let given = |key| row.keyed("inputs", key);
    let (bore, x) = (bore_mm(1e3 * given("D_m")), given("x"));
    let flux = mass_rate(given("m_kg_s")) / bore.area();
    let flow = two_phase::Flow {
        mass_flux: flux,
        quality: number(x),
        bore,
        roughness: metres(0.0),
        rise: number(0.0),
        liquid_density: density(given("rho_l")),
        vapour_density: density(given("rho_g")),
        liquid_viscosity: DynamicViscosity::new::<pascal_second>(given("mu_l")),
        vapour_viscosity: DynamicViscosity::new::<pascal_second>(given("mu_g")),
        surface_tension: SurfaceTension::new::<newton_per_meter>(given("sigma")),
    };
    let alone_pa = |rho, mu| {
        let reynolds = flux * bore.get() / mu;
        let drop = friction_pressure_drop(metres(1.0), bore, metres(0.0), rho, flux / rho, reynolds).value;
        let blasius = 0.316 * reynolds.get::<ratio>().powf(-0.25) * flux.value.powi(2) / (2.0 * rho.value);
        (drop.value, blasius / bore.get().value)
    };
    let (liquid_pa, liquid_by_blasius_pa) = alone_pa(flow.liquid_density, flow.liquid_viscosity);
    let (vapour_pa, vapour_by_blasius_pa) = alone_pa(flow.vapour_density, flow.vapour_viscosity);
    let found = two_phase::friction_pressure_drop(metres(1.0), &flow).unwrap();
    let multiplier = found.value.friedel.value / liquid_pa;
    compare("F13a", multiplier, BLASIUS_IN_THE_BOOK);
    compare("F13b", found.value.friedel.get::<pascal>(), BLASIUS_IN_THE_BOOK);
    let by_blasius =
        multiplier + x * x * (vapour_by_blasius_pa / liquid_by_blasius_pa - vapour_pa / liquid_pa);
    compare("F13a", by_blasius, ROUNDED_EXPONENT);
    compare("F13b", by_blasius * liquid_by_blasius_pa, ROUNDED_EXPONENT);
    assert_eq!(found.caveats.iter().count(), 0);
}
