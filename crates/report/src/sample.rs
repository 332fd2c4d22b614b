//! Views of an invented job for the tests of documents and charts. The numbers are made up to show every case; they
//! are no results.

mod compare;

pub(crate) use compare::compare;

use crate::view::{
    AlternativeView, AssumptionView, BendView, BoundView, BranchView, CandidateView, ChargeSeriesView,
    ChargeView, CheckView, ConditionView, DoubleRiserView, EchoView, ExpansionView, FieldFigureView,
    FieldPartView, FieldSetView, FieldView, HeatView, IsometricLegView, IsometricMarkView, IsometricView,
    KitLineView, KitView, LegExpansionView, LegHeatView, LineChargeView, LineView, OilReturnView,
    PhaseChangeView, PhaseView, PulsationView, ReducerView, SetChargeView, SetSizeView, SizeView, SourceView,
    StrengthView, SupportView, SurgeView, SweatView, TrappedRiseView, TrappedSectionView, TrappedView,
    TrapsView, TubeChargeView, TubeRatingView, TubeView, VerdictView,
};

fn text(text: &str) -> String {
    text.into()
}

fn texts(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| String::from(*text)).collect()
}

pub(crate) fn tube(name: &str, od_mm: f64, bore_mm: f64) -> TubeView {
    TubeView {
        name: text(name),
        product: text("ASTM B280, annealed coil"),
        od_mm,
        bore_mm,
        nominal: None,
        source: None,
    }
}

pub(crate) fn stock() -> [TubeView; 4] {
    [
        tube("1/4 in OD", 6.35, 4.826),
        tube("3/8 in OD", 9.525, 7.899),
        tube("1/2 in OD", 12.7, 11.074),
        tube("5/8 in OD", 15.875, 13.843),
    ]
}

fn check(
    kind: &str,
    unit: &'static str,
    value: f64,
    sense: &'static str,
    limit: f64,
    band: f64,
) -> CheckView {
    let margin = if sense == "at most" { limit - value } else { value - limit };
    let verdict = match margin {
        margin if margin.abs() <= band => VerdictView::TooCloseToCall,
        margin if margin > 0.0 => VerdictView::Meets,
        _ => VerdictView::Fails,
    };
    CheckView {
        kind: text(kind),
        value: Some(value),
        limit: Some(limit),
        sense,
        unit,
        whose: text("practice"),
        source: text("handbook of refrigeration piping (invented), grade published"),
        condition: text("summer"),
        margin: Some(margin),
        band: Some(band),
        verdict,
        missing: None,
        matters_most: None,
        settled_by: None,
        remarks: Vec::new(),
    }
}

fn run_check(run_m: f64) -> CheckView {
    CheckView {
        whose: text("maker"),
        source: text("nameplate, set.ice-room.maker.longest_run"),
        condition: String::new(),
        ..check("run", "m", run_m, "at most", 30.48, 0.0)
    }
}

fn candidate(tube: TubeView, allowable_length_m: Option<f64>, stopped_by: &str) -> CandidateView {
    CandidateView {
        tube,
        allowable_length_m,
        not_limited: false,
        stopped_by: (!stopped_by.is_empty()).then(|| text(stopped_by)),
        verdict: VerdictView::Meets,
        refused_for: Vec::new(),
        refused_by: Vec::new(),
        chosen: false,
        velocity_max_m_s: None,
        saturated_temperature_drop_k: None,
        charge_kg: None,
    }
}

fn isometric() -> IsometricView {
    let (head, corner, condenser) = ([0.0; 3], [0.0, 0.0, 9.0], [0.0, 19.0, 9.0]);
    let leg = |from_m, to_m, length_m| IsometricLegView { from_m, to_m, length_m, place: text("attic") };
    let mark = |at_m, name| IsometricMarkView { at_m, name: text(name) };
    IsometricView {
        set: text("ice-room"),
        legs: vec![leg(head, corner, 9.0), leg(corner, condenser, 19.0)],
        lines: Vec::new(),
        marks: vec![mark(head, "head"), mark(condenser, "condenser")],
        lift_m: 9.0,
        run_m: 28.0,
        compass: true,
    }
}

fn discharge() -> LineView {
    let [quarter, three_eighths, half, five_eighths] = stock();
    LineView {
        service: text("discharge"),
        tube: Some(half.clone()),
        chosen_by_tool: true,
        run_m: 28.0,
        equivalent_length_m: Some(31.6),
        lift_m: 6.1,
        velocity_max_m_s: Some(11.3),
        pressure_drop_pa: Some(41_800.0),
        friction_drop_pa: Some(36_900.0),
        saturated_temperature_drop_k: Some(1.08),
        flash_margin_k: None,
        charge_kg: Some(0.224),
        checks: vec![
            CheckView {
                matters_most: Some(text("friction of tube and fittings")),
                settled_by: Some(text("pressure drop of the line between two gauges, at a known load")),
                remarks: texts(&["good practice for discharge lines is 1.0 °F (0.56 K)"]),
                ..check("saturated-temperature-drop", "K", 1.08, "at most", 1.111, 0.09)
            },
            CheckView {
                condition: text("least load"),
                whose: text("physics"),
                ..check("oil-return", "1", 1.62, "at least", 1.15, 0.2)
            },
            CheckView { condition: text("peak"), ..check("velocity", "m/s", 11.3, "at most", 17.8, 0.4) },
        ],
        candidates: vec![
            CandidateView {
                verdict: VerdictView::Fails,
                refused_for: texts(&["saturated temperature drop 34 °F at summer, at most 2.0 °F"]),
                refused_by: texts(&["saturated-temperature-drop"]),
                ..candidate(quarter, None, "saturated-temperature-drop")
            },
            CandidateView {
                verdict: VerdictView::Fails,
                refused_for: texts(&["saturated temperature drop 4.9 °F at summer, at most 2.0 °F"]),
                refused_by: texts(&["saturated-temperature-drop"]),
                velocity_max_m_s: Some(22.2),
                saturated_temperature_drop_k: Some(2.72),
                charge_kg: Some(0.114),
                ..candidate(three_eighths, Some(7.4), "saturated-temperature-drop")
            },
            CandidateView {
                chosen: true,
                velocity_max_m_s: Some(11.3),
                saturated_temperature_drop_k: Some(1.08),
                charge_kg: Some(0.224),
                ..candidate(half, Some(29.1), "saturated-temperature-drop")
            },
            CandidateView {
                verdict: VerdictView::Fails,
                refused_for: texts(&["oil return 0.93 of the least flux at least load, at least 1.15"]),
                refused_by: texts(&["oil-return"]),
                velocity_max_m_s: Some(7.2),
                saturated_temperature_drop_k: Some(0.36),
                charge_kg: Some(0.35),
                ..candidate(five_eighths, None, "oil-return")
            },
        ],
        alternatives: vec![
            alternative("smaller", stock()[1].clone(), [0.114, 2.72, 4.1], VerdictView::Fails),
            alternative("taken", stock()[2].clone(), [0.224, 1.08, 7.5], VerdictView::TooCloseToCall),
        ],
        oil_return: Some(oil_return()),
        reducers: vec![ReducerView {
            at: "head",
            connection: stock()[3].clone(),
            count: 1,
            resistance: 0.191,
        }],
        not_counted: texts(&["insulation of the discharge line"]),
        remarks: texts(&["equivalent length by handbook lengths is 31.1 m, by 3-K coefficients 31.6 m"]),
        acceleration_drop_pa: Some(150.0),
        heat: None,
        phase_changes: Vec::new(),
        profile: None,
        riser_flux: None,
        strength: Some(strength_of_discharge()),
    }
}

fn alternative(
    which: &'static str,
    tube: TubeView,
    numbers: [f64; 3],
    verdict: VerdictView,
) -> AlternativeView {
    let [charge_kg, drop_k, copper_kg] = numbers;
    AlternativeView {
        which,
        tube,
        charge_kg: Some(charge_kg),
        charge_change_kg: Some(charge_kg - 0.224),
        saturated_temperature_drop_k: Some(drop_k),
        drop_change_k: Some(drop_k - 1.08),
        flash_margin_k: None,
        copper_kg,
        copper_change_kg: copper_kg - 7.5,
        verdict,
        refused_by: texts(&["saturated-temperature-drop"]),
        refused_for: texts(&["saturated temperature drop at summer is over its limit"]),
    }
}

fn oil_return() -> OilReturnView {
    let [_, three_eighths, half, five_eighths] = stock();
    OilReturnView {
        riser_heights_m: vec![4.3, 1.8],
        judged_at: text("judged at summer and at least load"),
        too_slow_at: Some("least load"),
        inverted_loop: Some(true),
        foot_trap: true,
        traps: Some(TrapsView { every_m: 3.0, count: 1, heights_m: vec![vec![3.0], vec![]] }),
        double_riser: Some(DoubleRiserView {
            small: three_eighths,
            large: five_eighths,
            other_legs: half,
            pairs: 2,
            full_load_kg_s: 0.0482,
            least_load_kg_s: 0.0096,
            small_share: 0.19,
            small_velocity_m_s: 2.2,
            large_velocity_m_s: 2.9,
            drop_pa: 7_700.0,
            allowed_drop_pa: 8_100.0,
            small_oil_return_ratio: 1.3,
            large_oil_return_ratio: 1.28,
            small_alone_oil_return_ratio: 1.37,
            changeover_share: 0.78,
            greatest_step_alone_share: Some(0.6),
            greatest_step_alone_drop_pa: Some(16_700.0),
            trap_oil_kg: 0.091,
            column_oil_kg: 0.044,
        }),
        riser_alone: None,
        advice: texts(&["an inverted loop above the condenser's inlet", "a trap at the foot of the riser"]),
    }
}

fn branch() -> BranchView {
    BranchView {
        valve_at: "head",
        condition: text("peak"),
        discharge_line_pa: 117_800.0,
        coil_pa: 25_300.0,
        coil_at_design_pa: 10_000.0,
        return_friction_pa: 52_400.0,
        return_height_pa: -98_000.0,
        total_pa: 97_500.0,
        opens_at_pa: 137_900.0,
        margin_pa: 40_400.0,
    }
}

fn kit() -> KitView {
    KitView {
        offered_m: vec![20.0, 30.0],
        length_m: Some(30.0),
        excess_m: Some(2.0),
        short_by_m: None,
        lines: vec![KitLineView {
            service: text("discharge"),
            tube: stock()[2].clone(),
            saturated_temperature_drop_k: Some(1.16),
            flash_margin_k: None,
            verdict: VerdictView::TooCloseToCall,
            refused_for: texts(&["saturated temperature drop at summer is too close to call"]),
        }],
        advice: texts(&["lay its excess flat, in level turns"]),
    }
}

fn liquid() -> LineView {
    let [quarter, three_eighths, half, _] = stock();
    LineView {
        service: text("liquid"),
        tube: Some(three_eighths.clone()),
        chosen_by_tool: false,
        run_m: 28.0,
        equivalent_length_m: Some(33.4),
        lift_m: -6.1,
        velocity_max_m_s: Some(1.07),
        pressure_drop_pa: Some(-21_300.0),
        friction_drop_pa: Some(39_900.0),
        saturated_temperature_drop_k: Some(0.91),
        flash_margin_k: Some(2.8),
        charge_kg: Some(1.406),
        checks: vec![
            check("flash-margin", "K", 2.8, "at least", 0.0, 0.7),
            CheckView {
                kind: text("flash-margin-low-head"),
                value: None,
                limit: Some(0.0),
                margin: None,
                band: None,
                verdict: VerdictView::NotChecked,
                condition: text("low head"),
                missing: Some(text(
                    "the setting of the head-pressure valve: set.ice-room.head_pressure = { setting = \"...\" }",
                )),
                ..check("", "K", 0.0, "at least", 0.0, 0.0)
            },
        ],
        candidates: vec![
            CandidateView {
                verdict: VerdictView::Fails,
                refused_for: texts(&[
                    "flash margin -3.1 °F at summer, at least 0.0 °F",
                    "velocity 564 ft/min at peak, at most 360 ft/min",
                ]),
                refused_by: texts(&["flash-margin", "velocity"]),
                velocity_max_m_s: Some(2.87),
                saturated_temperature_drop_k: Some(9.6),
                charge_kg: Some(0.525),
                ..candidate(quarter, Some(9.9), "flash-margin")
            },
            CandidateView {
                chosen: true,
                velocity_max_m_s: Some(1.07),
                saturated_temperature_drop_k: Some(0.91),
                charge_kg: Some(1.406),
                ..candidate(three_eighths, Some(86.0), "flash-margin")
            },
            CandidateView {
                velocity_max_m_s: Some(0.55),
                saturated_temperature_drop_k: Some(0.17),
                charge_kg: Some(2.76),
                not_limited: true,
                ..candidate(half, Some(150.0), "")
            },
        ],
        alternatives: Vec::new(),
        oil_return: None,
        reducers: Vec::new(),
        not_counted: texts(&["1/2 in insulation: its ageing is not in these numbers"]),
        remarks: Vec::new(),
        acceleration_drop_pa: Some(150.0),
        heat: Some(heat_of_liquid()),
        phase_changes: vec![PhaseChangeView {
            condition: text("low head"),
            position_m: 19.9,
            place: text("attic"),
            into: PhaseView::TwoPhase,
            rising: false,
            sentence: text(
                "liquid flashes 65 ft (19.9 m) from the condenser (attic) at low head: the climb does it",
            ),
        }],
        profile: None,
        riser_flux: None,
        strength: Some(strength_of_liquid()),
    }
}

fn no_strength() -> StrengthView {
    StrengthView {
        tube: None,
        tube_unrated: None,
        design_temperature_c: 51.7,
        design_temperature_source: text("30 °F above the design air (invented), grade memory"),
        standstill_gauge_pa: Some(2_550_000.0),
        standstill_unknown: None,
        bounds: Vec::new(),
        governing: None,
        trapped: None,
        surge: None,
        expansion: None,
        supports: vec![SupportView {
            direction: text("level"),
            spacing_m: 1.524,
            rule: text("SP-58"),
            source: text("pipe-support guide (invented), grade published"),
        }],
        first_support_m: 1.8288,
        bend: Some(BendView { with_bender_m: Some(0.0381), by_hand_m: 0.0635 }),
        pulsation: None,
    }
}

fn strength_of_discharge() -> StrengthView {
    let bound = |name: &str, presses, bears, gauge_pa| BoundView {
        name: text(name),
        presses,
        bears,
        gauge_pa,
        band_pa: 0.0,
    };
    let leg = |direction: &str, length_m: f64, taken_up| LegExpansionView {
        direction: text(direction),
        length_m,
        growth_m: 1.2e-3 * length_m,
        beside_m: Some(3.7),
        utilisation: Some(if taken_up { 0.4 } else { 1.3 }),
        taken_up,
        offset_m: 1.9,
    };
    StrengthView {
        tube: Some(TubeRatingView {
            working_gauge_pa: 4_012_000.0,
            basis: text("american"),
            temper: text("annealed"),
            temperature_c: 82.2,
            allowable_stress_pa: 34_300_000.0,
            least_wall_mm: 0.737,
            greatest_od_mm: 12.75,
            source: text("handbook of copper tube (invented), grade published"),
            assumed: Some(text("tolerances as of another tube")),
        }),
        bounds: vec![
            bound("standstill", true, false, 2_550_000.0),
            bound("cut-out", true, false, 2_800_000.0),
            bound("relief", true, true, 3_100_000.0),
            bound("tube", false, true, 4_012_000.0),
            bound("receiver", false, true, 3_200_000.0),
        ],
        expansion: Some(ExpansionView {
            fitted_c: 23.9,
            extreme_c: 82.2,
            growth_m: 0.0275,
            legs: vec![leg("up", 4.3, true), leg("north", 11.6, false), leg("west", 3.7, true)],
        }),
        pulsation: Some(PulsationView {
            frequency_hz: 58.3,
            sound_speed_m_s: 160.0,
            quarter_wave_m: 0.686,
            resonant_m: vec![0.686, 2.058, 3.43],
            band: 0.1,
            first_anchor_m: Some(0.7),
            resonates_at_m: Some(0.686),
        }),
        ..no_strength()
    }
}

fn heat_of_liquid() -> HeatView {
    let leg = |direction, length_m, place: &str, air_c, heat_w_m, surface_c| LegHeatView {
        direction,
        length_m,
        place: text(place),
        air_c,
        heat_w_m,
        surface_c,
    };
    HeatView {
        inlet_c: 38.9,
        outlet_c: 39.4,
        heat_w: 31.0,
        legs: vec![
            leg("south", 11.6, "attic", 54.4, 3.1, 49.8),
            leg("down", 6.1, "indoors", 23.9, -0.8, 26.0),
        ],
        sweating: vec![SweatView {
            place: text("attic"),
            surface_c: 20.5,
            air_c: 54.4,
            dew_point_c: 22.0,
            sweats: true,
        }],
        least_wall_mm: Some(9.525),
        least_wall_name: Some(text("3/8 in")),
        remarks: texts(&["insulate with at least: 3/8 in (9.52 mm); seal every joint against moisture"]),
    }
}

fn strength_of_liquid() -> StrengthView {
    let section =
        |from: &str, to: &str, relieved| TrappedSectionView { from: text(from), to: text(to), relieved };
    StrengthView {
        tube_unrated: Some(text("tolerances of the tube")),
        trapped: Some(TrappedView {
            closing_parts: texts(&["ball valve 1", "ball valve 2", "check valve"]),
            sections: vec![
                section("ball valve 1", "ball valve 2", false),
                section("ball valve 2", "check valve", true),
            ],
            rise: Some(TrappedRiseView {
                start_c: 18.3,
                start_gauge_pa: 1_046_000.0,
                rise_pa_per_k: 620_000.0,
                limit_gauge_pa: Some(3_200_000.0),
                limit_of: Some(text("receiver")),
                warming_k: Some(3.6),
                beyond_data: true,
            }),
        }),
        surge: Some(SurgeView {
            valve: text("solenoid valve"),
            closing_time_s: None,
            return_time_s: 0.12,
            fast: true,
            velocity_m_s: 1.07,
            wave_speed_m_s: 470.0,
            rise_pa: 560_000.0,
            operating_gauge_pa: 1_909_000.0,
        }),
        ..no_strength()
    }
}

fn sources() -> Vec<SourceView> {
    vec![
        SourceView {
            what: text("outside diameters and walls of ASTM B280 coil"),
            source: text("ASTM B280, table of sizes (invented citation)"),
            grade: text("published"),
        },
        SourceView {
            what: text("limit of saturated temperature drop"),
            source: text("handbook of refrigeration piping (invented)"),
            grade: text("common practice"),
        },
    ]
}

fn cautions() -> Vec<String> {
    texts(&[
        "Weigh refrigerant in on a scale; recover, never vent. Work on the circuit belongs to people licensed for it.",
        "A liquid line that can be shut at both ends needs a relief: trapped liquid bursts a tube when it warms.",
    ])
}

pub(crate) fn size() -> SizeView {
    SizeView {
        job: text("Harbour fish counter, ice room (invented)"),
        verdict: VerdictView::TooCloseToCall,
        sets: vec![SetSizeView {
            name: text("ice-room"),
            refrigerant: text("R-449A"),
            verdict: VerdictView::TooCloseToCall,
            run_m: 28.0,
            covered_run_m: Some(20.1168),
            longest_run_m: Some(30.48),
            conditions: vec![
                ConditionView {
                    name: text("summer"),
                    missing: None,
                    condensing_bubble_c: Some(43.3),
                    condensing_dew_c: Some(48.1),
                    condensing_pressure_pa: Some(2_010_000.0),
                    condensing_gauge_pa: Some(1_909_000.0),
                    discharge_gas_c: Some(82.2),
                    liquid_c: Some(38.9),
                    mass_rate_kg_s: Some(0.0482),
                },
                ConditionView {
                    name: text("low head"),
                    missing: Some(text("set.ice-room.head_pressure")),
                    condensing_bubble_c: None,
                    condensing_dew_c: None,
                    condensing_pressure_pa: None,
                    condensing_gauge_pa: None,
                    discharge_gas_c: None,
                    liquid_c: None,
                    mass_rate_kg_s: None,
                },
            ],
            checks: vec![run_check(28.0)],
            branch: Some(branch()),
            kit: Some(kit()),
            lines: vec![discharge(), liquid()],
            echo: vec![
                EchoView { what: text("capacity"), us: text("18000 Btu/h"), si: text("5.28 kW") },
                EchoView { what: text("subcooling"), us: text("8.0 °F"), si: text("4.44 K") },
            ],
            assumptions: texts(&["peak flow is 1.0 times summer flow (peak_flow changes it)"]),
            isometric: isometric(),
        }],
        not_contained: texts(&[
            "winter charge and receiver fill",
            "strength of the tubes, surge, expansion and condensation on cold lines",
        ]),
        sources: sources(),
        cautions: cautions(),
    }
}

fn line_charge(service: &str, this: &TubeView, rates: [f64; 2], maker: Option<f64>) -> LineChargeView {
    let [rate, density_kg_m3] = rates;
    let (run_m, covered_m) = (28.0, 20.1168);
    let computed = rate * (run_m - covered_m);
    let maker_added_kg = maker.map(|maker| maker * (run_m - covered_m));
    LineChargeView {
        service: text(service),
        tube: this.clone(),
        covered_tube: this.clone(),
        temperature_c: if service == "liquid" { 38.9 } else { 82.2 },
        pressure_pa: 2_010_000.0,
        gauge_pa: Some(1_909_000.0),
        density_kg_m3,
        charge_per_metre_kg_m: rate,
        covered_charge_per_metre_kg_m: rate,
        this_run_kg: rate * run_m,
        covered_kg: rate * covered_m,
        computed_added_kg: computed,
        maker_rate_kg_m: maker,
        maker_added_kg,
        used: text(if maker.is_some() { "maker" } else { "computed" }),
        added_kg: maker_added_kg.unwrap_or(computed),
    }
}

pub(crate) fn charge() -> ChargeView {
    let [quarter, three_eighths, half, five_eighths] = stock();
    let by_tube = |tube: TubeView, discharge_kg_m, liquid_kg_m| TubeChargeView {
        tube,
        discharge_kg_m: Some(discharge_kg_m),
        liquid_kg_m: Some(liquid_kg_m),
        suction_kg_m: None,
    };
    let series = |name: &str, rate: f64, offset: f64, this: bool| ChargeSeriesView {
        name: text(name),
        points: (0..=10)
            .map(|step| f64::from(step) * 4.0)
            .map(|run| [run, (rate * run - offset).max(0.0)])
            .collect(),
        this,
    };
    let covered_kg = 0.0582 * 20.1168;
    ChargeView {
        job: Some(text("Harbour fish counter, ice room (invented)")),
        verdict: VerdictView::Meets,
        sets: vec![SetChargeView {
            name: text("ice-room"),
            refrigerant: text("R-449A"),
            run_m: 28.0,
            covered_run_m: Some(20.1168),
            longest_run_m: Some(30.48),
            factory_charge_kg: Some(5.1596),
            added_charge_kg: Some(0.503),
            band_kg: Some(0.041),
            total_charge_kg: Some(5.6626),
            computed_added_kg: Some(0.459),
            how: text(
                "The maker's charge per length of the liquid line and the computed one of the discharge line, each \
                 for the run beyond the covered run.",
            ),
            lines: vec![
                line_charge("discharge", &half, [0.008, 83.1], None),
                line_charge("liquid", &three_eighths, [0.0502, 1024.0], Some(0.0558)),
            ],
            by_tube: vec![
                by_tube(quarter, 0.001_52, 0.0187),
                by_tube(three_eighths, 0.004_07, 0.0502),
                by_tube(half, 0.008, 0.0986),
                by_tube(five_eighths, 0.0125, 0.1541),
            ],
            series: vec![
                series("3/8 in OD + 1/4 in OD", 0.0228, covered_kg, false),
                series("1/2 in OD + 3/8 in OD", 0.0638, covered_kg + 0.12, true),
                series("5/8 in OD + 3/8 in OD", 0.0687, covered_kg, false),
                series("5/8 in OD + 1/2 in OD", 0.1111, covered_kg, false),
            ],
            checks: vec![run_check(28.0)],
            assumptions: vec![
                AssumptionView {
                    what: text("liquid leaves the condenser 8.0 °F (4.44 K) below its bubble line"),
                    change_with: text("--subcooling"),
                },
                AssumptionView {
                    what: text("a receiver stands in the circuit"),
                    change_with: text("--receiver"),
                },
            ],
            remarks: texts(&["The two figures differ by 0.044 kg; the maker's decides the charge."]),
            budget: None,
        }],
        not_contained: texts(&["winter charge: covered_winter is not stated"]),
        sources: sources(),
        cautions: cautions(),
    }
}

/// A sheet of the field whose parts meet, fail and miss.
pub(crate) fn field() -> FieldView {
    let figure = |what: &str, value, unit| FieldFigureView { what: text(what), value, unit };
    let part = |name: &str, verdict, answer: &str, checks| FieldPartView {
        name: text(name),
        verdict,
        answer: text(answer),
        figures: vec![
            figure("test-pressure", 2.07e6, "Pa(g)"),
            figure("target", 66.66, "Pa(a)"),
            figure("held", 86_400.0, "s"),
            figure("smallest-leak-shown", 1.2e-4, "Pa m3/s"),
            figure("smallest-leak-shown-of-nitrogen", 0.0438, "kg/a"),
            figure("full-current", 11.8, "A"),
            figure("friction", 21_000.0, "Pa"),
        ],
        checks,
        steps: texts(&["hold open what hides the roof side: 1 check valve in the liquid line"]),
        remarks: texts(&["a leak smaller than the smallest shown passes this test"]),
    };
    let missing = CheckView {
        value: None,
        limit: None,
        margin: None,
        band: None,
        verdict: VerdictView::NotChecked,
        missing: Some(text("readings after the pump is shut off (key evacuation.rise)")),
        ..check("rise", "Pa(a)", 0.0, "at most", 0.0, 0.0)
    };
    FieldView {
        job: text("Harbour fish counter, ice room (invented)"),
        verdict: VerdictView::TooCloseToCall,
        sets: vec![FieldSetView {
            name: text("ice-room"),
            refrigerant: text("R-449A"),
            verdict: VerdictView::TooCloseToCall,
            parts: vec![
                part(
                    "pressure-test",
                    VerdictView::TooCloseToCall,
                    "Hold longer",
                    vec![CheckView {
                        verdict: VerdictView::TooCloseToCall,
                        ..check("pressure-gone", "Pa", 12_000.0, "at most", 0.0, 15_000.0)
                    }],
                ),
                part("evacuation", VerdictView::NotChecked, "Down in 20 min", vec![missing]),
            ],
            absent: texts(&["holding charge: table [set.ice-room.holding]"]),
            assumptions: texts(&["the volume is that of the lines alone (change with pressure_test.volume)"]),
        }],
        not_contained: texts(&["order and permits of the work"]),
        sources: sources(),
        cautions: cautions(),
    }
}
