//! Trapped liquid and speed of sound against CoolProp 8.0.0 called directly (`data/generate/trapped_liquid_points.py`).
//!
//! No trade figure of so many psi a degree was found in a source that could be read; CoolProp's heating of a full section
//! is the only outside check of the trapped liquid.

use crate::support::*;
use physics::{
    fluid::{Refrigerant, State},
    strength::{
        StrengthError, TubeMaterial, sound_speed,
        trapped::{LockedPath, Section, pressure_rise_per_kelvin, protecting_void},
    },
    tube::Tube,
    units::{
        BubbleTemperature, Length, OutsideDiameter, Pressure, TemperatureCoefficient,
        unit::{
            length::millimeter, pressure::pascal, temperature_coefficient::per_kelvin,
            temperature_interval::kelvin,
        },
    },
};
use proptest::prelude::*;

/// A slope of the grid's cubics, which are made for values. To leave out the growth of the copper would change the rise by
/// 1.4 to 7 %, the liquid's own change of slope over 10 K by 1 to 10 %.
const RISE: f64 = 0.01;
/// Where the property data hold the whole path only values of the grid are used: their density is good to 0.05 % of
/// itself, which a liquid takes 0.1 to 0.2 K to expand by; the errors at both ends of the path mostly cancel.
const WARMING: f64 = 0.005;
/// Beyond the data the path goes straight on at a slope that is a slope of the grid's cubics ([`RISE`]), while the line of
/// the equation of state bends. How much it bends on its whole way is seen in the reference alone, as mean rise over rise at
/// the start (-0.3 to 1.9 %); it is allowed on top.
const WARMING_BEYOND: f64 = 0.01;
/// At whole degrees the saturation table has its points: what is left is their printing to eight digits.
const VOID: f64 = 1e-5;
/// A root of slopes.
const SOUND_LIQUID: f64 = 0.01;
/// Vapour is compressed far more, so its slopes are better known.
const SOUND_VAPOUR: f64 = 0.003;

fn start(row: &Row) -> State {
    let fluid = refrigerant(row.text("refrigerant"));
    let bubble_c = row.number("bubble_c");
    let saturated = bubble(fluid, celsius(bubble_c));
    match row.number("subcooling_k") {
        0.0 => saturated,
        subcooling_k => fluid.liquid_at(saturated.pressure, celsius(bubble_c - subcooling_k)).unwrap(),
    }
}

fn section(row: &Row) -> Section {
    let millimetres = |column| Length::new::<millimeter>(row.number(column));
    Section {
        tube: Tube::new(OutsideDiameter::new(millimetres("outside_mm")), millimetres("wall_mm")).unwrap(),
        material: TubeMaterial {
            expansion: TemperatureCoefficient::new::<per_kelvin>(row.number("expansion_per_k")),
            modulus: Pressure::new::<pascal>(row.number("modulus_pa")),
            poisson: number(row.number("poisson")),
        },
    }
}

#[test]
fn a_full_section_reaches_its_limit_after_the_same_warming() {
    let mut rises = Tally::new("pressure rise per kelvin, rigid tube");
    let mut warmings = Tally::new("warming to the limit");
    let mut beyond = Tally::new("warming to a limit beyond the property data");
    for row in read("cross/data/trapped_liquid.csv") {
        let (fluid, start, section) = (refrigerant(row.text("refrigerant")), start(&row), section(&row));
        let what = |tube: &str| format!("{} {} {tube}", row.place(), row.text("refrigerant"));
        let rise = pressure_rise_per_kelvin(fluid, &start, None).unwrap().value;
        rises.relative(&what("rigid"), rise, row.number("rise_rigid_pa_k"), RISE);
        for (tube, section, column) in
            [("rigid", None, "warming_rigid_k"), ("copper", Some(section), "warming_copper_k")]
        {
            let path = LockedPath::new(fluid, start, section).unwrap();
            let limit = pascals(row.number("limit_pa"));
            let reached = path.warming_to(limit).unwrap().value;
            assert_eq!(reached.beyond_data, limit > path.end_of_data().0);
            let mean_rise = (limit.pascal() - row.number("pressure_pa")) / row.number("warming_rigid_k");
            let bend = mean_rise / row.number("rise_rigid_pa_k") - 1.0;
            assert!((-0.01..0.02).contains(&bend), "{}: {bend}", row.place());
            let (tally, tolerance) = if reached.beyond_data {
                (&mut beyond, WARMING_BEYOND + bend.abs())
            } else {
                (&mut warmings, WARMING)
            };
            tally.relative(&what(tube), reached.warming.get::<kelvin>(), row.number(column), tolerance);
            // There and back.
            let back = path.pressure_after(reached.warming).unwrap().value.pressure;
            approx::assert_relative_eq!(back.pascal(), limit.pascal(), max_relative = 1e-6);
            let below = path.warming_to(pascals(0.9 * start.pressure.pascal()));
            assert!(matches!(below, Err(StrengthError::StartsAbove { .. })));
            assert!(matches!(path.pressure_after(kelvins(-1.0)), Err(StrengthError::NotPositive { .. })));
        }
    }
    rises.finish(44);
    warmings.finish(18);
    beyond.finish(70);
}

#[test]
fn the_void_that_protects_is_the_one_that_just_fills() {
    let mut voids = Tally::new("protecting void");
    for row in read("cross/data/trapped_liquid.csv") {
        let (fluid, bubble_c) = (refrigerant(row.text("refrigerant")), row.number("bubble_c"));
        let at = |at_c| BubbleTemperature::new(celsius(at_c));
        let (cold, warm) = (at(bubble_c), at(bubble_c + row.number("protected_k")));
        let section = section(&row);
        for (section, column) in [(None, "void_rigid"), (Some(&section), "void_copper")] {
            let found = protecting_void(fluid, cold, warm, section).unwrap().value;
            let what = format!("{} {} {column}", row.place(), row.text("refrigerant"));
            voids.relative(&what, found, row.number(column), VOID);
        }
    }
    voids.finish(88);
}

#[test]
fn sound_runs_as_fast_as_the_equation_of_state_says() {
    let mut liquid = Tally::new("speed of sound, liquid");
    let mut vapour = Tally::new("speed of sound, vapour");
    for row in read("cross/data/speed_of_sound.csv") {
        let fluid = refrigerant(row.text("refrigerant"));
        let (saturation, distance_k) = (celsius(row.number("saturation_c")), row.number("distance_k"));
        let beside = |by_k: f64| celsius(row.number("saturation_c") + by_k);
        let (tally, tolerance, state) = match row.text("region") {
            "bubble" => (&mut liquid, SOUND_LIQUID, Ok(bubble(fluid, saturation))),
            "liquid" => {
                let pressure = bubble(fluid, saturation).pressure;
                (&mut liquid, SOUND_LIQUID, fluid.liquid_at(pressure, beside(-distance_k)))
            }
            "dew" => (&mut vapour, SOUND_VAPOUR, Ok(dew(fluid, saturation))),
            "vapour" => {
                let pressure = dew(fluid, saturation).pressure;
                (&mut vapour, SOUND_VAPOUR, fluid.vapour_at(pressure, beside(distance_k)))
            }
            other => panic!("{}: region {other}", row.place()),
        };
        let what = format!("{} {} {}", row.place(), row.text("refrigerant"), row.text("region"));
        let found = sound_speed(fluid, &state.unwrap()).unwrap().value.value;
        tally.relative(&what, found, row.number("sound_m_s"), tolerance);
    }
    liquid.finish(36);
    vapour.finish(36);
}

proptest! {
    #[test]
    fn more_warming_is_more_pressure_and_copper_eases_it(
        bubble_c in -20.0..45.0_f64, subcooling_k in 0.0..15.0_f64, warming_k in 0.0..20.0_f64, more_k in 0.01..20.0_f64,
    ) {
        let rows = read("cross/data/trapped_liquid.csv");
        for name in ["R-134a", "R-404A", "R-449A"] {
            let fluid = refrigerant(name);
            let pressure = bubble(fluid, celsius(bubble_c)).pressure;
            let start = fluid.liquid_at(pressure, celsius(bubble_c - subcooling_k)).unwrap();
            let after = |section, warming_k| {
                let path = LockedPath::new(fluid, start, section).unwrap();
                path.pressure_after(kelvins(warming_k)).unwrap().value.pressure
            };
            let copper = Some(section(&rows[0]));
            prop_assert!(after(copper, warming_k + more_k) > after(copper, warming_k), "{name}");
            prop_assert!(after(copper, warming_k + more_k) < after(None, warming_k + more_k), "{name}");
        }
    }

    #[test]
    fn more_warming_needs_more_void(bubble_c in -20.0..20.0_f64, warming_k in 1.0..20.0_f64, more_k in 0.1..10.0_f64) {
        let fluid = refrigerant("R-449A");
        let at = |at_c| BubbleTemperature::new(celsius(at_c));
        let void = |by_k| protecting_void(fluid, at(bubble_c), at(bubble_c + by_k), None).unwrap();
        prop_assert!(void(warming_k + more_k) > void(warming_k));
    }
}
