//! Worked examples of a handbook's line sizing chapter (SI and I-P editions of 1998 to 2006), recalled.

use crate::support::*;
use physics::{
    check::{Check, CheckKind, Condition, Limit, Measure, Sense, Verdict, Whose},
    fluid::{Refrigerant, State},
    line::Element,
    sizing::{Case, Duty, Held, Judged, Limits, Service, choose},
    tube::Tube,
    units::{
        AbsolutePressure, Length, OutsideDiameter, TemperatureInterval, Velocity, delta,
        unit::{
            length::{inch, millimeter},
            temperature_interval::{degree_fahrenheit, kelvin},
            velocity::meter_per_second,
        },
    },
};

/// The handbook scales a rounded table by the load to the power 1.8, where friction goes with 1.85: 3 % at 1.7 times the
/// table's load. Its gas does not expand on the way, ours does: 3 % of a drop of 2 K. And the library's R-22 gas
/// viscosity is 9 % high: 2 %.
const HANDBOOK_SCALING: f64 = 0.08;
/// As before, with 1.9 times the table's load and a drop of 2.5 K.
const HANDBOOK_SCALING_FAR: f64 = 0.10;

fn example(id: &str) -> Row {
    let rows = read("published/data/worked_line_examples.csv");
    rows.into_iter().find(|row| row.text("id") == id).unwrap_or_else(|| panic!("no row {id}"))
}

fn limits(saturated_temperature_drop: TemperatureInterval) -> Limits {
    let practice = |value, sense| Limit { value, sense, whose: Whose::Practice };
    let none = Measure::TemperatureDifference(kelvins(0.0));
    Limits {
        saturated_temperature_drop: practice(
            Measure::TemperatureDifference(saturated_temperature_drop),
            Sense::AtMost,
        ),
        velocity: practice(Measure::Velocity(Velocity::new::<meter_per_second>(25.0)), Sense::AtMost),
        flash_margin: practice(none, Sense::AtLeast),
        oil_return: practice(Measure::Ratio(number(1.0)), Sense::AtLeast),
        longest_run: None,
    }
}

/// A suction line at full load, and at least load where one is stated.
fn suction(tube: Tube, gas: &State, rates_kg_s: &[(Condition, f64)], limits: Limits, leg: Element) -> Case {
    let duty = |&(condition, rate_kg_s): &(Condition, f64)| Duty {
        condition,
        held: Held::Inlet(gas.pressure),
        enthalpy: gas.enthalpy,
        mass_rate: mass_rate(rate_kg_s),
        exchanges: Vec::new(),
    };
    Case {
        service: Service::Suction,
        line: line(tube.bore(), DRAWN_COPPER_UM, vec![leg]),
        duties: rates_kg_s.iter().map(duty).collect(),
        limits,
        oil_density: density(900.0),
        stretch: None,
    }
}

fn check(judged: &Judged, kind: CheckKind) -> Check {
    *judged.checks.iter().find(|check| check.kind == kind).unwrap()
}

/// Drop of saturation temperature by friction: the handbook's tables leave out what accelerating gas costs, 1 % here.
fn friction_drop(fluid: &dyn Refrigerant, judged: &Judged) -> TemperatureInterval {
    let outlet = judged.at(Condition::Summer).unwrap().march.unwrap().value;
    let dew_at = |pressure| fluid.dew_temperature(pressure).unwrap().get();
    let inlet = outlet.inlet.pressure;
    delta(dew_at(inlet), dew_at(AbsolutePressure::new(inlet.get() - outlet.friction_drop)))
}

fn metric(outside_mm: f64, wall_mm: f64) -> Tube {
    let millimetres = Length::new::<millimeter>;
    Tube::new(OutsideDiameter::new(millimetres(outside_mm)), millimetres(wall_mm)).unwrap()
}

fn inches(outside_in: f64, wall_in: f64) -> Tube {
    let inches = Length::new::<inch>;
    Tube::new(OutsideDiameter::new(inches(outside_in)), inches(wall_in)).unwrap()
}

/// Both conditions that the checks of a level suction line want, at one flow.
fn full_load(rate_kg_s: f64) -> [(Condition, f64); 2] {
    [(Condition::Summer, rate_kg_s), (Condition::Peak, rate_kg_s)]
}

#[test]
fn e1_suction_line_in_metric_tube() {
    let row = example("E1");
    let given = |key| row.keyed("inputs", key);
    let fluid = refrigerant("R-22");
    let gas = dew(fluid, celsius(given("sat_suction_C")));
    let rate_kg_s =
        given("capacity_kW") * 1e3 / (gas.enthalpy - bubble(fluid, celsius(given("cond_C"))).enthalpy).value;
    // The handbook's own equivalent lengths, so that the tubes differ in nothing else.
    let run = |elbow_m: f64| leg(given("straight_m") + 6.0 * elbow_m, 0.0);
    let candidates = [
        (metric(42.0, 1.5), run(given("elbow_equiv_42mm_m"))),
        (metric(54.0, 1.7), run(given("elbow_equiv_54mm_m"))),
    ];
    // 42 mm drops 2.05 K and 54 mm 0.63 K. A limit read as °F, or a drop printed in the other unit, moves one of them
    // across one of these limits.
    for limit_k in [given("limit_dT_K"), 1.5, 2.0] {
        let judge = |(tube, leg): &(Tube, Element)| {
            suction(*tube, &gas, &full_load(rate_kg_s), limits(kelvins(limit_k)), *leg).judge(fluid, &[])
        };
        let judged: Vec<Judged> = candidates.iter().map(judge).collect();
        assert_eq!(
            check(&judged[0], CheckKind::SaturatedTemperatureDrop).verdict,
            Verdict::Fails,
            "{limit_k}"
        );
        assert_eq!(
            check(&judged[1], CheckKind::SaturatedTemperatureDrop).verdict,
            Verdict::Meets,
            "{limit_k}"
        );
        assert_eq!(choose(&judged), Some(1), "limit {limit_k} K");
        let mut tally = Tally::new(format!("E1 at a limit of {limit_k} K"));
        let printed = |key| row.keyed("results", key);
        tally.relative(
            "42 mm",
            friction_drop(fluid, &judged[0]).get::<kelvin>(),
            printed("dT_42mm_K"),
            HANDBOOK_SCALING,
        );
        tally.relative(
            "54 mm",
            friction_drop(fluid, &judged[1]).get::<kelvin>(),
            printed("dT_54mm_K"),
            HANDBOOK_SCALING,
        );
        tally.finish(2);
    }
}

#[test]
fn e2_suction_line_in_inch_tube() {
    let row = example("E2");
    let given = |key| row.keyed("inputs", key);
    let fluid = refrigerant("R-22");
    let gas = dew(fluid, fahrenheit(given("sat_suction_F")));
    let liquid = bubble(fluid, fahrenheit(given("cond_F")));
    let rate_kg_s = given("capacity_tons") * TON_KW * 1e3 / (gas.enthalpy - liquid.enthalpy).value;
    // Equivalent lengths of a long-radius elbow, 2.6 and 3.3 ft, are own recollection of the handbook's fittings table.
    let run = |elbow_ft: f64| leg((given("straight_ft") + 6.0 * elbow_ft) * FOOT_M, 0.0);
    let limit = limits(TemperatureInterval::new::<degree_fahrenheit>(given("table_dT_F_per_100ft")));
    let candidates = [(inches(1.625, 0.060), run(2.6)), (inches(2.125, 0.070), run(3.3))];
    let judge = |(tube, leg): &(Tube, Element)| {
        suction(*tube, &gas, &full_load(rate_kg_s), limit, *leg).judge(fluid, &[])
    };
    let judged: Vec<Judged> = candidates.iter().map(judge).collect();
    assert_eq!(choose(&judged), Some(1), "2-1/8 in is the handbook's choice");
    // 1.17 and 4.07 °F are the row's own arithmetic from the handbook's table, for a condensing temperature of 105 °F.
    let mut tally = Tally::new("E2, °F");
    tally.relative(
        "1-5/8 in",
        friction_drop(fluid, &judged[0]).get::<degree_fahrenheit>(),
        4.07,
        HANDBOOK_SCALING_FAR,
    );
    tally.relative(
        "2-1/8 in",
        friction_drop(fluid, &judged[1]).get::<degree_fahrenheit>(),
        1.17,
        HANDBOOK_SCALING_FAR,
    );
    tally.finish(2);
}

#[test]
fn e3_suction_riser_at_least_load() {
    // The I-P table against the criterion with 900 kg/m3: see the bands of the riser tables.
    const IP_TABLE: std::ops::RangeInclusive<f64> = -0.165..=0.135;
    let row = example("E3");
    let given = |key| row.keyed("inputs", key);
    let fluid = refrigerant("R-22");
    let saturated = dew(fluid, fahrenheit(given("sat_suction_F")));
    let superheat = TemperatureInterval::new::<degree_fahrenheit>(given("superheat_F"));
    let gas = fluid.vapour_at(saturated.pressure, fahrenheit(given("sat_suction_F")) + superheat).unwrap();
    let liquid = bubble(fluid, fahrenheit(given("cond_F")));
    let rate = |tons: f64| tons * TON_KW * 1e3 / (gas.enthalpy - liquid.enthalpy).value;
    let loads = [
        (Condition::Summer, rate(given("full_tons"))),
        (Condition::Peak, rate(given("full_tons"))),
        (Condition::LeastLoad, rate(given("min_tons"))),
    ];
    let riser = leg(6.0, 6.0);
    let oil_return = |tube: Tube| {
        let judged = suction(tube, &gas, &loads, limits(kelvins(5.0)), riser).judge(fluid, &[]);
        check(&judged, CheckKind::OilReturn)
    };
    let chosen = oil_return(inches(2.125, 0.070));
    assert_eq!((chosen.verdict, chosen.condition), (Verdict::Meets, Some(Condition::LeastLoad)));
    let mut tally = Tally::new("E3, tons that carry oil up 2-1/8 in");
    let least_tons = given("min_tons") / chosen.value.unwrap().si();
    tally.within("2-1/8 in", least_tons, row.keyed("results", "min_tons_corrected_to_105F_liquid"), IP_TABLE);
    tally.finish(1);
    // The next size up asks for 12.9 tons of 90 °F liquid in the same table, 12.4 here: refused at 10.
    assert_eq!(oil_return(inches(2.625, 0.080)).verdict, Verdict::Fails);
}
