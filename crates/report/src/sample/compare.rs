//! Two sets whose condensers stand stacked, side by side or apart (invented).

use super::{cautions, check, sources, text, texts};
use crate::view::{
    AirPointView, CheckView, CircuitView, CompareView, CondenserView, CyclePointView, DomePointView,
    DrawPointView, DrawView, EchoView, LayoutLineView, LayoutView, LayoutYearView, LinesCostView, PlaceView,
    RoofView, SetLoadView, SoundView, TagView, VerdictView, WeatherView,
};

const OUTDOOR_AIR_K: f64 = 310.93;
const SETS: [&str; 2] = ["ice-room", "cold-store"];
const CONDENSERS: [&str; 2] = ["lower", "upper"];

/// What a share of discharge air in the intake of `upper` makes of it.
struct Drawn {
    fraction: f64,
    condensing_k: [f64; 2],
    capacity_w: f64,
}

fn drawn(fraction: f64) -> Drawn {
    Drawn {
        fraction,
        condensing_k: [316.48, 316.9 + 38.0 * fraction],
        capacity_w: 14_650.0 - 6_200.0 * fraction,
    }
}

pub(crate) fn compare() -> CompareView {
    CompareView {
        job: text("Two rooms on one roof (invented)"),
        verdict: VerdictView::Meets,
        outdoor_air_k: OUTDOOR_AIR_K,
        roof_allowance_k: 2.78,
        sets: vec![load(SETS[0], "R-449A", "bubble"), load(SETS[1], "R-134a", "dew")],
        layouts: vec![stacked(), side_by_side(), apart()],
        recommended: Some(text("side by side")),
        recommendation: text(
            "Set the condensers side by side: every check meets, the lines stay 12 ft (3.7 m) shorter than apart, and \
             recirculation costs 1.4 °F (0.76 K) of condensing temperature.",
        ),
        would_change: texts(&[
            "a share above 10 % drawn by upper: then apart",
            "wind above 140 mph (62.6 m/s): the anchors of side by side are then too few",
        ]),
        tags: SETS
            .iter()
            .zip(CONDENSERS)
            .flat_map(|(set, condenser)| {
                ["discharge", "liquid"].map(|service| TagView {
                    tag: format!("{set} {service} > {condenser}"),
                    set: text(set),
                    service: text(service),
                    condenser: text(condenser),
                })
            })
            .collect(),
        weather: Some(WeatherView {
            what: text("three numbers of the job (invented)"),
            hours: 8_748.0,
            missing_h: 12.0,
            coldest_k: 261.2,
            warmest_k: 308.7,
            mean_k: 284.3,
        }),
        assumptions: texts(&[
            "the cold needed is the capacity in summer in every hour; year.load changes it",
        ]),
        not_contained: texts(&["defrost of the evaporators"]),
        sources: sources(),
        cautions: cautions(),
    }
}

fn load(name: &str, refrigerant: &str, end: &'static str) -> SetLoadView {
    let estimated = name == "cold-store";
    SetLoadView {
        name: text(name),
        refrigerant: text(refrigerant),
        load_from: text("capacity and compressor_input of the job"),
        compressor: text("isentropic efficiency of the design point, held"),
        capacity_w: 7_325.0,
        capacity_band_w: estimated.then_some(420.0),
        compressor_input_w: 2_900.0,
        heat_rejection_w: 10_225.0,
        heat_rejection_factor: 1.396,
        peak_heat_w: (!estimated).then_some(15_300.0),
        stated_condensing_k: 316.48,
        condensing_refers_to: end,
        greatest_condensing_k: (!estimated).then_some(327.59),
        echo: vec![EchoView {
            what: format!("set.{name}.capacity"),
            us: text("25000 Btu/h"),
            si: text("7.33 kW"),
        }],
    }
}

fn condensing_check(value_c: f64) -> CheckView {
    CheckView {
        whose: text("job"),
        source: text("set.ice-room.greatest_condensing"),
        ..check("condensing-temperature", "degC", value_c, "at most", 54.44, 0.4)
    }
}

fn condenser(index: usize, inlet_air_k: f64, place: Option<[f64; 2]>) -> CondenserView {
    CondenserView {
        name: text(CONDENSERS[index]),
        serves: texts(&[SETS[index]]),
        inlet_air_k,
        outlet_air_k: inlet_air_k + 8.1,
        condensing_k: inlet_air_k + 9.3,
        heat_w: 10_225.0,
        conductance_w_k: 1_063.0,
        effectiveness: 0.57,
        air_rate_kg_s: 1.26,
        fan_power_w: (index == 0).then_some(210.0),
        place: place.map(|[left_m, bottom_m]| PlaceView {
            left_m,
            bottom_m,
            width_m: 1.1,
            depth_m: 0.46,
            height_m: 0.92,
        }),
        blows_up: false,
    }
}

fn circuit(index: usize, condensing_k: f64, costs_k: f64) -> CircuitView {
    let warm = condensing_k - 316.48;
    CircuitView {
        set: text(SETS[index]),
        condensing_k,
        condensing_bubble_k: condensing_k,
        condensing_dew_k: condensing_k + if index == 0 { 4.1 } else { 0.0 },
        condensing_gauge_pa: [1_900_000.0, 1_010_000.0][index] + 42_000.0 * warm,
        held: false,
        above_stated_k: warm,
        recirculation_costs_k: costs_k,
        capacity_w: 7_325.0 - 62.0 * warm,
        compressor_power_w: 2_900.0 + 55.0 * warm,
        heat_rejection_w: 10_225.0 - 7.0 * warm,
        mass_rate_kg_s: 0.0482,
        other_tubes: Vec::new(),
        lines_cost: (index == 0).then_some(LinesCostView {
            condensing_k: 0.3,
            capacity_w: 110.0,
            power_w: 35.0,
        }),
        cycle: cycle(),
        dome: dome(),
        residual: 2e-9,
    }
}

fn cycle() -> Vec<CyclePointView> {
    [
        ("evaporator inlet", 4.1e5, 260e3),
        ("evaporator outlet", 4.1e5, 372e3),
        ("compressor inlet", 3.9e5, 377e3),
        ("compressor outlet", 20.6e5, 437e3),
        ("condenser inlet", 20.2e5, 432e3),
        ("condenser outlet", 20.0e5, 262e3),
        ("valve", 20.3e5, 260e3),
    ]
    .map(|(at, pressure_pa, enthalpy_j_kg)| CyclePointView { at, pressure_pa, enthalpy_j_kg })
    .to_vec()
}

fn dome() -> Vec<DomePointView> {
    (0..=24)
        .map(|step| {
            let share = f64::from(step) / 24.0;
            DomePointView {
                pressure_pa: 2.0e5 * 20_f64.powf(share),
                bubble_enthalpy_j_kg: 160e3 + 135e3 * share + 40e3 * share.powi(6),
                dew_enthalpy_j_kg: 358e3 + 48e3 * share - 34e3 * share.powi(6),
            }
        })
        .collect()
}

fn draw(fraction: f64) -> DrawView {
    DrawView {
        by: text(CONDENSERS[1]),
        from: text(CONDENSERS[0]),
        fraction,
        least: Some(0.5 * fraction),
        most: Some(1.8 * fraction),
        break_even: Some(0.236),
        break_even_words: text("there cold-store reaches its greatest condensing temperature"),
        jet_bound: Some(0.34),
        curve: (0..=10)
            .map(|step| drawn(0.04 * f64::from(step)))
            .map(|at| DrawPointView {
                fraction: at.fraction,
                condensing_k: at.condensing_k.to_vec(),
                capacity_w: at.capacity_w,
            })
            .collect(),
    }
}

fn line(set: &str, service: &str, run_m: f64) -> LayoutLineView {
    let liquid = service == "liquid";
    LayoutLineView {
        set: text(set),
        service: text(service),
        tube: Some(text(if liquid { "3/8 in OD" } else { "1/2 in OD" })),
        run_m,
        lift_m: if liquid { -6.1 } else { 6.1 },
        saturated_temperature_drop_k: Some(0.036 * run_m),
        flash_margin_k: liquid.then_some(2.8),
        verdict: VerdictView::Meets,
    }
}

fn against_air(fraction: f64) -> Vec<AirPointView> {
    (0..=14)
        .map(|step| 258.15 + 4.0 * f64::from(step))
        .map(|air_k| {
            let held = [air_k < 283.0, air_k < 270.0];
            AirPointView {
                outdoor_air_k: air_k,
                condensing_k: vec![
                    Some((air_k + 11.0).max(294.0)),
                    Some((air_k + 13.0 + 38.0 * fraction).max(283.0)),
                ],
                held: held.to_vec(),
                active_share: held.map(|held| if held { 0.4 } else { 1.0 }).to_vec(),
                winter_gross_kg: held.map(|held| held.then_some(1.5)).to_vec(),
                winter_net_kg: vec![held[0].then_some(1.2), None],
            }
        })
        .collect()
}

fn roof(tension_n: f64) -> RoofView {
    RoofView {
        edition: text("ASCE 7-22"),
        velocity_pressure_pa: 1_210.0,
        lateral_n: 2_300.0,
        uplift_n: 1_250.0,
        tension_n,
        shear_n: 345.0,
        tension_strength_n: 1.7 * tension_n + 190.0,
        shear_strength_n: 575.0,
        anchors: 4,
        weight_pa: 1_850.0,
        remarks: texts(&["anchors go into structure, not into decking alone"]),
    }
}

/// A layout of which all is stated; `runs_m` are those of both sets.
fn layout(name: &str, fraction: f64, runs_m: [f64; 2], places: [Option<[f64; 2]>; 2]) -> LayoutView {
    let Drawn { condensing_k: [first_k, second_k], capacity_w, .. } = drawn(fraction);
    let inlet_k = OUTDOOR_AIR_K + 8.1 * fraction / (1.0 - 0.3 * fraction);
    let [first_place, second_place] = places;
    LayoutView {
        name: text(name),
        arrangement: text(name),
        verdict: VerdictView::Meets,
        condensers: vec![condenser(0, OUTDOOR_AIR_K, first_place), condenser(1, inlet_k, second_place)],
        circuits: vec![circuit(0, first_k, 0.0), circuit(1, second_k, 38.0 * fraction)],
        capacity_w,
        power_w: 6_200.0 + 2_000.0 * fraction,
        energy_kwh: Some(31_200.0 + 4_000.0 * fraction),
        break_even_recirculation: (fraction > 0.0).then_some(0.236),
        draws: if fraction > 0.0 { vec![draw(fraction)] } else { Vec::new() },
        added_charge_kg: Some(0.03 * (runs_m[0] + runs_m[1])),
        lines: SETS
            .iter()
            .zip(runs_m)
            .flat_map(|(set, run_m)| ["discharge", "liquid"].map(|service| line(set, service, run_m)))
            .collect(),
        anchor_tension_n: Some(820.0),
        roof: Some(roof(820.0)),
        footprint_m2: Some(1.01),
        taken_m2: Some(5.4),
        sound: Some(SoundView { power_db: 77.0, distance_m: Some(12.2), level_db: Some(47.3) }),
        access: text("both units from the roof"),
        year: Some(LayoutYearView {
            hours: 8_748.0,
            energy_kwh: 31_200.0 + 4_000.0 * fraction,
            cold_kwh: 98_400.0,
            short_kwh: 2_900.0 * fraction,
            running_h: 7_140.0,
            held_h: 2_310.0,
            above_limit_h: Some((100.0 * fraction).round()),
            unknown_h: 0.0,
        }),
        against_air: against_air(fraction),
        checks: vec![condensing_check(first_k - 273.15)],
        warnings: Vec::new(),
    }
}

fn stacked() -> LayoutView {
    let places = [Some([0.0, 0.46]), Some([0.0, 1.84])];
    LayoutView {
        verdict: VerdictView::TooCloseToCall,
        anchor_tension_n: Some(1_450.0),
        roof: Some(roof(1_450.0)),
        footprint_m2: Some(0.51),
        taken_m2: Some(2.9),
        access: text("upper from a ladder with fall protection"),
        checks: vec![condensing_check(54.6)],
        warnings: texts(&["the gap of 18 in (0.46 m) between the units is less than their depth"]),
        ..layout("stacked", 0.12, [20.0, 22.0], places)
    }
}

fn side_by_side() -> LayoutView {
    layout("side by side", 0.02, [20.0, 21.0], [Some([0.0, 0.46]), Some([1.71, 0.46])])
}

/// A layout that leaves out all that it may.
fn apart() -> LayoutView {
    LayoutView {
        energy_kwh: None,
        added_charge_kg: None,
        anchor_tension_n: None,
        roof: None,
        footprint_m2: None,
        taken_m2: None,
        sound: None,
        year: None,
        ..layout("apart", 0.0, [20.0, 25.0], [None, None])
    }
}
