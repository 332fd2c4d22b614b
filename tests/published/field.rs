//! Work in the field against codes, specifications and pages of the trade, as far as something here computes or holds what they
//! say (`data/field.csv`; its column `held` names it, or the reason why nothing does). Recalled rows stand in
//! `recalled::field`: 120 here, 23 there.

use crate::support::{field::*, *};
use physics::{
    field::{
        vacuum::{FlowRegime, conductance, flow_regime},
        water::least_air_gap,
    },
    units::{
        ElectricalResistance, Length, MassDensity,
        unit::{
            electric_current::ampere,
            electrical_resistance::ohm,
            length::{foot, inch},
            mass::pound,
            mass_density::{gram_per_cubic_meter, kilogram_per_cubic_meter},
            pressure::psi,
            ratio::ratio,
            volume_rate::{cubic_meter_per_second, liter_per_second},
        },
    },
};

/// Read from the same row: nothing is rounded on the way.
const SAME: f64 = 1e-9;
/// Far below any pressure at which gas meets itself.
const MOLECULAR_PA: f64 = 1e-6;

/// Rows that a function or table answers, recalled or not.
pub(crate) fn rows(held: &str, recalled: bool) -> Vec<Row> {
    let all = read("published/data/field.csv");
    assert_eq!(all.len(), 143);
    all.into_iter()
        .filter(|row| (row.text("grade") == "memory") == recalled)
        .filter(|row| row.text("held").split("; ").any(|part| part == held))
        .collect()
}

/// Numbers that stand in a text.
fn numbers(text: &str) -> Vec<f64> {
    let ends = |c: char| !(c.is_ascii_digit() || c == '.');
    text.split(ends).filter_map(|part| part.trim_end_matches('.').parse().ok()).collect()
}

/// Every threshold that a row is held by has a number of the row, its source and its grade.
pub(crate) fn thresholds(name: &str, recalled: bool, count: usize) {
    let mut tally = Tally::new(name);
    for row in read("published/data/field.csv") {
        let Some(keys) = row.text("held").split("; ").find_map(|part| part.strip_prefix("thresholds: "))
        else {
            continue;
        };
        if (row.text("grade") == "memory") != recalled {
            continue;
        }
        let text = ["value", "inputs", "quantity"].map(|column| row.text(column)).join(" | ");
        for key in keys.split(' ') {
            let threshold = LIBRARY.field().thresholds().iter().find(|threshold| *threshold.key == *key);
            let threshold = threshold.unwrap_or_else(|| panic!("{}: no threshold {key}", row.place()));
            assert_eq!(*threshold.source.text, *row.text("source"), "{key}");
            assert_eq!(threshold.source.grade.to_string(), row.text("grade"), "{key}");
            let held = numbers(&threshold.printed)[0];
            let nearest = numbers(&text)
                .into_iter()
                .min_by(|a, b| (a - held).abs().total_cmp(&(b - held).abs()))
                .unwrap_or_else(|| panic!("{}: no number", row.place()));
            tally.absolute(&format!("{} {key}", row.place()), held, nearest, SAME);
        }
    }
    tally.finish(count);
}

#[test]
fn thresholds_are_those_read() {
    thresholds("thresholds of the field", false, 66);
}

#[test]
fn every_row_is_held_or_says_why_not() {
    let mut counts = [0; 2];
    for row in read("published/data/field.csv").iter().chain(&read("cross/data/field.csv")) {
        let held = row.text("held");
        let reason = held.strip_prefix("not held: ");
        assert!(reason.is_none_or(|reason| reason.len() > 8) && !held.is_empty(), "{}", row.place());
        counts[usize::from(reason.is_some())] += 1;
    }
    assert_eq!(counts, [215, 56]);
}

#[test]
fn limits_of_refrigerants_are_those_read() {
    let mut tally = Tally::new("concentration limits, flammability limits, warming potentials");
    refrigerant_limits(&mut tally, false);
    tally.finish(14);
}

pub(crate) fn refrigerant_limits(tally: &mut Tally, recalled: bool) {
    let found = |row: &Row| LIBRARY.refrigerants().find(row.pair("inputs", "refrigerant")).unwrap();
    let limit = |row: &Row| {
        let limit = found(row).concentration_limit.as_ref().unwrap().reading().parts().0.density;
        limit.get::<gram_per_cubic_meter>()
    };
    let pounds_per_1000_cubic_feet = |density_g_m3: f64| {
        let cubic_foot = Length::new::<foot>(1.0) * Length::new::<foot>(1.0) * Length::new::<foot>(1.0);
        let held = MassDensity::new::<gram_per_cubic_meter>(density_g_m3) * cubic_foot * 1000.0;
        held.get::<pound>()
    };
    for row in rows("refrigerants RCL", recalled) {
        tally.absolute(row.place(), limit(&row), row.number("value"), SAME);
    }
    for row in rows("refrigerants RCL I-P", recalled) {
        let found = pounds_per_1000_cubic_feet(limit(&row));
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    for row in rows("refrigerants LFL", recalled) {
        let limit = found(&row).lower_flammability_limit.as_ref().unwrap().reading().parts().0;
        tally.absolute(row.place(), limit.get::<kilogram_per_cubic_meter>(), row.number("value"), SAME);
    }
    for row in rows("refrigerants GWP", recalled) {
        let potential = found(&row).warming_potential.value.ar4.unwrap();
        // Mass-weighted from the components, printed whole.
        tally.absolute(row.place(), potential, row.number("value"), row.print_rounding("value"));
    }
}

#[test]
fn conductors_are_those_reprinted() {
    let mut tally = Tally::new("resistance of conductors, ohm per 1000 ft");
    for row in rows("conductors", false) {
        // `DC resistance 14 AWG Cu`
        let words: Vec<&str> = row.text("quantity").split(' ').collect();
        let conductor = LIBRARY.field().conductor(&format!("{} AWG", words[2])).unwrap();
        let per_length = if words[0] == "DC" { &conductor.direct } else { &conductor.in_conduit };
        let of_1000_ft: ElectricalResistance = per_length.value * Length::new::<foot>(1000.0);
        tally.relative(row.place(), of_1000_ft.get::<ohm>(), row.number("value"), SAME);
    }
    tally.finish(12);
}

#[test]
fn overcurrent_devices_are_those_of_the_quiz() {
    let mut tally = Tally::new("overcurrent devices, A");
    for row in rows("overcurrent first", false) {
        tally.absolute(row.place(), devices(&row).first.size.get::<ampere>(), row.number("value"), SAME);
    }
    for row in rows("overcurrent largest", false) {
        tally.absolute(row.place(), devices(&row).largest.size.get::<ampere>(), row.number("value"), SAME);
    }
    tally.finish(2);
}

#[test]
fn cylinders_are_filled_as_printed() {
    let mut tally = Tally::new("recovery cylinders, lb");
    for row in rows("cylinder net", false) {
        tally.absolute(row.place(), cylinder(&row).net.get::<pound>(), row.number("value"), 0.05);
    }
    for row in rows("cylinder gross", false) {
        tally.absolute(row.place(), cylinder(&row).gross.get::<pound>(), row.number("value"), 0.05);
    }
    tally.finish(3);
}

/// The example of the textbook has gas of a mean speed of 471 m/s; that of air at 20 °C is 462.9 m/s, and conductance goes with
/// it. The coefficient 12.1 is rounded from 12.12: 0.17 %.
const ROUNDED_COEFFICIENT: f64 = 0.002;
const AIR_M_S: f64 = 462.9;

#[test]
fn tubes_conduct_as_printed() {
    let through = |row: &Row, pressure_pa| {
        let tube = passage(row.keyed("inputs", "bore_m"), row.keyed("inputs", "length_m"));
        conductance(&tube, pascals(pressure_pa)).unwrap().value
    };
    let mut tally = Tally::new("conductance");
    for row in rows("conductance molecular", false) {
        let found = through(&row, MOLECULAR_PA);
        match row.text("unit") {
            "L/s" => {
                let found = found.get::<liter_per_second>();
                tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
            }
            "m3/s" => {
                let faster = row.keyed("inputs", "c_m_s") / AIR_M_S;
                let found = found.get::<cubic_meter_per_second>() * faster;
                tally.relative(row.place(), found, row.number("value"), ROUNDED_COEFFICIENT);
            }
            other => panic!("{}: unit {other}", row.place()),
        }
    }
    // 1 cm of bore, 100 cm of length: L/s times 100 is the coefficient, at 1000 mbar over 1000.
    for row in rows("conductance molecular per length", false) {
        let found = 100.0 * through(&row, MOLECULAR_PA).get::<liter_per_second>();
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    for row in rows("conductance viscous per length", false) {
        let found = 100.0 * through(&row, 1e5).get::<liter_per_second>() / 1000.0;
        tally.absolute(row.place(), found, row.number("value"), row.print_rounding("value"));
    }
    tally.finish(4);
    for row in rows("regime", false) {
        let [molecular, viscous] = numbers(row.text("value"))[..] else { panic!("{}", row.place()) };
        let tube = passage(row.keyed("inputs", "bore_m"), 1.0);
        // 1 mbar cm is 1 Pa m.
        let at = |pressure_bore: f64| {
            flow_regime(&tube, pascals(pressure_bore / row.keyed("inputs", "bore_m"))).unwrap()
        };
        let found = [0.99 * molecular, 1.01 * molecular, 0.99 * viscous, 1.01 * viscous].map(at);
        use FlowRegime::{Molecular, Transition, Viscous};
        assert_eq!(found, [Molecular, Transition, Transition, Viscous]);
    }
    assert_eq!(rows("regime", false).len(), 1);
}

/// The table was computed with Hazen and Williams' formula (one coefficient, about 138, at all flows) for water of unstated
/// temperature: it departs from Darcy and Weisbach with the flow, as listed in the known exceptions.
#[test]
fn water_loses_what_a_table_prints() {
    let mut known = Known::of("field.csv", 1e-3);
    let mut tally = Tally::new("friction of water, psi per 100 ft");
    for row in rows("water friction", false) {
        let found = flow(&row).friction.get::<psi>();
        let tolerance = row.print_rounding("value") / row.number("value");
        known.compare(&mut tally, row.text("id"), found, row.number("value"), tolerance);
    }
    let met = known.finish();
    assert_eq!(tally.finish_and_count() + met, 4);
}

#[test]
fn the_air_gap_is_that_of_the_rule() {
    let [row] = &rows("air gap", false)[..] else { panic!("one rule of the air gap") };
    let bores = LIBRARY.field().value("air-gap-bores").unwrap().value;
    let least = LIBRARY.field().value("air-gap-least").unwrap().value;
    let gap = least_air_gap(bore_inches(row.keyed("inputs", "bore_in")), bores, least).unwrap();
    let mut tally = Tally::new("air gap, in");
    tally.absolute(row.place(), gap.get::<inch>(), row.number("value"), SAME);
    let wide = least_air_gap(bore_inches(1.0), bores, least).unwrap();
    tally.absolute("1 in supply", (wide / Length::new::<inch>(1.0)).get::<ratio>(), 2.0, SAME);
    tally.finish(2);
}
