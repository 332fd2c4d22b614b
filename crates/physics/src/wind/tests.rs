//! Frames in the wind: the block around their units, the worse face, anchors and ballast.

use super::*;
use crate::{
    outcome::Caveat,
    units::{Length, Mass, Pressure, Ratio},
};
use proptest::prelude::*;
use uom::si::{force::newton, length::meter, mass::kilogram, pressure::pascal, ratio::ratio};

const GRAVITY_M_S2: f64 = crate::units::STANDARD_GRAVITY_M_S2;

fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn number(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

fn kilograms(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

fn unit(width_m: f64, depth_m: f64, height_m: f64, mass_kg: f64) -> Unit {
    Unit {
        width: metres(width_m),
        depth: metres(depth_m),
        height: metres(height_m),
        mass: kilograms(mass_kg),
    }
}

fn stand(height_m: f64) -> Stand {
    Stand { height: metres(height_m), clad: false, mass: kilograms(0.0) }
}

/// Four anchors, two a row.
fn corners(span_width_m: f64, span_depth_m: f64) -> Anchors {
    Anchors {
        span_width: metres(span_width_m),
        span_depth: metres(span_depth_m),
        row_width: 2,
        row_depth: 2,
        count: 4,
    }
}

/// Wind on a building so large that all equipment is small on it.
fn wind(pressure_pa: f64) -> RoofWind {
    let curve = |small| GustCurve {
        small: number(small),
        large: number(1.0),
        small_share: number(0.1),
        large_share: number(1.0),
    };
    RoofWind {
        pressure: Pressure::new::<pascal>(pressure_pa),
        building: Building { width: metres(200.0), length: metres(300.0), height: metres(15.0) },
        lateral: curve(1.9),
        uplift: curve(1.5),
    }
}

fn factors(dead: f64, wind: f64) -> LoadCombination {
    LoadCombination { dead: number(dead), wind: number(wind) }
}

fn force(frame: &Frame, face: Face) -> RooftopForce {
    rooftop_force(frame, face, &wind(1000.0)).unwrap().value
}

fn pulls_n(frame: &Frame, wind: &RoofWind, combination: &LoadCombination) -> [f64; 2] {
    anchor_loads(frame, wind, combination).unwrap().value.faces.map(|load| load.pull.get::<newton>())
}

fn tension_n(frame: &Frame, pressure_pa: f64) -> f64 {
    let loads = anchor_loads(frame, &wind(pressure_pa), &factors(0.6, 0.6)).unwrap().value;
    loads.governing().tension().get::<newton>()
}

fn close(found: f64, expected: f64) {
    approx::assert_relative_eq!(found, expected, max_relative = 1e-9, epsilon = 1e-9);
}

#[test]
fn the_block_around_the_units_is_solid() {
    let gap = side_by_side(&[unit(1.0, 0.5, 0.8, 60.0), unit(1.4, 0.7, 1.0, 90.0)], metres(0.6));
    let frame = Frame::new(&gap, stand(0.4), corners(2.0, 0.7)).unwrap();
    close(frame.mass().value, 150.0);
    // 3.0 m wide with the gap, 0.7 m deep, 1.0 m high.
    let on_width = force(&frame, Face::Width);
    close(on_width.lateral.value, 1900.0 * 3.0);
    close(on_width.uplift.value, 1500.0 * 3.0 * 0.7);
    close(on_width.height.value, 0.4 + 0.5);
    close(force(&frame, Face::Depth).lateral.value, 1900.0 * 0.7);
    close(frame.footprint_pressure().value, 150.0 * GRAVITY_M_S2 / 2.1);
}

#[test]
fn a_stack_is_as_high_as_its_units_and_as_wide_as_the_widest() {
    let stack = stacked(&[unit(1.0, 0.5, 0.8, 60.0), unit(0.8, 0.6, 0.7, 40.0)]);
    let frame = Frame::new(&stack, stand(0.4), corners(1.0, 0.5)).unwrap();
    let on_width = force(&frame, Face::Width);
    close(on_width.lateral.value, 1900.0 * 1.5);
    close(on_width.height.value, 0.4 + 0.75);
    close(on_width.uplift.value, 1500.0 * 0.6);
    // Each in the middle of the other: wind from either side finds the weight in the middle, 60 + 40 kg.
    let [pull_n, _] = pulls_n(&frame, &wind(0.0), &factors(1.0, 1.0));
    close(pull_n, -100.0 * GRAVITY_M_S2 * 0.5 / 2.0);
}

#[test]
fn a_clad_stand_catches_wind_and_a_raised_unit_leaves_the_open_one_to_it() {
    let one = [PlacedUnit { above: metres(0.3), ..stacked(&[unit(1.0, 0.5, 0.8, 60.0)])[0] }];
    let face = |clad| {
        let stand = Stand { clad, ..stand(0.4) };
        force(&Frame::new(&one, stand, corners(1.0, 0.5)).unwrap(), Face::Width)
    };
    close(face(false).lateral.value, 1900.0 * 0.8);
    close(face(false).height.value, 0.4 + 0.3 + 0.4);
    close(face(true).lateral.value, 1900.0 * 1.5);
    close(face(true).height.value, 0.75);
}

#[test]
fn the_worse_face_decides_pull_and_shear_each() {
    // Wide and shallow: wind on the width has the larger area and the shorter arm of the weight.
    let one = stacked(&[unit(1.2, 0.4, 0.9, 80.0)]);
    let loads = |anchors, turned: bool| {
        let unit = if turned { stacked(&[unit(0.4, 1.2, 0.9, 80.0)]) } else { one.clone() };
        let frame = Frame::new(&unit, stand(0.3), anchors).unwrap();
        anchor_loads(&frame, &wind(1000.0), &factors(0.9, 1.0)).unwrap().value
    };
    let (straight, turned) = (loads(corners(1.2, 0.4), false), loads(corners(0.4, 1.2), true));
    assert_eq!((straight.governing().face, turned.governing().face), (Face::Width, Face::Depth));
    close(straight.governing().pull.value, turned.governing().pull.value);
    close(straight.shear().value, 1900.0 * 1.2 * 0.9 / 4.0);
    close(turned.shear().value, straight.shear().value);
    // With anchors far apart in depth the narrow face pulls harder, and the wide one still shears harder.
    let apart = loads(corners(0.4, 3.0), false);
    assert_eq!(apart.governing().face, Face::Depth);
    close(apart.shear().value, straight.shear().value);
}

#[test]
fn anchors_of_the_row_share_the_pull_and_all_share_the_shear() {
    let one = stacked(&[unit(1.0, 0.5, 0.8, 60.0)]);
    let anchors = Anchors { row_width: 3, row_depth: 2, count: 7, ..corners(0.9, 0.45) };
    let frame = Frame::new(&one, stand(0.4), anchors).unwrap();
    let loads = anchor_loads(&frame, &wind(1000.0), &factors(0.9, 0.8)).unwrap().value;
    let (weight_n, up_n) = (0.9 * 60.0 * GRAVITY_M_S2, 0.8 * 1500.0 * 0.5);
    let row_n = |side_n: f64, span_m: f64| (side_n * 0.8 + (up_n - weight_n) * 0.5 * span_m) / span_m;
    let sides_n = [0.8 * 1900.0 * 1.0 * 0.8, 0.8 * 1900.0 * 0.5 * 0.8];
    close(loads.faces[0].pull.value, row_n(sides_n[0], 0.45) / 3.0);
    close(loads.faces[1].pull.value, row_n(sides_n[1], 0.9) / 2.0);
    close(loads.faces[0].shear.value, sides_n[0] / 7.0);
    close(loads.faces[1].shear.value, sides_n[1] / 7.0);
}

#[test]
fn weight_off_the_middle_holds_less_whichever_side_it_is_on() {
    let pair = |light_kg: f64, heavy_kg: f64| {
        let units =
            side_by_side(&[unit(1.0, 1.0, 1.0, light_kg), unit(1.0, 1.0, 1.0, heavy_kg)], metres(0.0));
        let frame =
            Frame::new(&units, Stand { mass: kilograms(20.0), ..stand(0.0) }, corners(2.0, 1.0)).unwrap();
        pulls_n(&frame, &wind(0.0), &factors(1.0, 1.0))
    };
    // 40 and 80 kg at 0.5 m either side, 20 kg in the middle: 20 kg m over 140 kg off it, of 1 m.
    let nearer_kg = 140.0 - 20.0;
    for [width_n, depth_n] in [pair(40.0, 80.0), pair(80.0, 40.0)] {
        close(depth_n, -nearer_kg * GRAVITY_M_S2 / 2.0 / 2.0);
        close(width_n, -140.0 * GRAVITY_M_S2 / 2.0 / 2.0);
    }
}

#[test]
fn ballast_makes_up_for_tipping_and_sliding() {
    let one = stacked(&[unit(1.0, 0.5, 0.8, 60.0)]);
    let lacks = |mass_kg, pressure_pa, friction| {
        let stand = Stand { mass: kilograms(mass_kg), ..stand(0.4) };
        let frame = Frame::new(&one, stand, corners(1.0, 0.5)).unwrap();
        ballast(&frame, &wind(pressure_pa), &factors(0.6, 0.6), number(friction)).unwrap().value
    };
    let (slippery, rough) = (lacks(0.0, 1000.0, 0.2), lacks(0.0, 1000.0, 1.5));
    assert!(slippery.tips && slippery.slides && rough.tips && rough.slides);
    assert!(slippery.missing > rough.missing);
    // Sliding: 0.6 (1.9 x 0.8 / 0.2 + 1.5 x 0.5) kN over 0.6 g, less what is there.
    close(slippery.missing.value, (1520.0 / 0.2 + 750.0) / GRAVITY_M_S2 - 60.0);
    // Tipping: the lateral force at 0.8 m against a weight at 0.25 m.
    close(rough.missing.value, (1520.0 * 0.8 + 750.0 * 0.25) / 0.25 / GRAVITY_M_S2 - 60.0);
    for (friction, missing_kg) in [(0.2, slippery.missing.value), (1.5, rough.missing.value)] {
        let held = lacks(1.000_001 * missing_kg, 1000.0, friction);
        assert!(!held.tips && !held.slides && held.missing.value == 0.0, "{held:?}");
        let short = lacks(0.999 * missing_kg, 1000.0, friction);
        assert!((short.tips || short.slides) && short.missing.value > 0.0, "{short:?}");
    }
    assert_eq!(lacks(0.0, 0.0, 0.2), Ballast { tips: false, slides: false, missing: kilograms(0.0) });
}

#[test]
fn equipment_larger_than_its_building_keeps_the_last_coefficient_and_says_so() {
    let curve = wind(0.0).lateral;
    let at = |share| curve.at(number(share)).unwrap();
    for (share, expected) in [(0.0, 1.9), (0.1, 1.9), (0.55, 1.45), (1.0, 1.0), (3.0, 1.0)] {
        close(at(share).value.value, expected);
        assert_eq!(at(share).caveats.has(Caveat::OutsideWindCoefficients), share > 1.0, "{share}");
    }
    let shed = Building { width: metres(2.0), length: metres(2.0), height: metres(2.0) };
    let over = |width_m, depth_m, height_m| {
        let one = stacked(&[unit(width_m, depth_m, height_m, 60.0)]);
        let frame = Frame::new(&one, stand(0.0), corners(1.0, 1.0)).unwrap();
        let outcome = anchor_loads(&frame, &RoofWind { building: shed, ..wind(500.0) }, &factors(0.6, 0.6));
        outcome.unwrap().caveats.has(Caveat::OutsideWindCoefficients)
    };
    assert!(over(1.5, 0.5, 3.0) && over(0.5, 1.5, 3.0) && over(2.5, 2.5, 0.5) && !over(1.5, 1.5, 2.0));
}

#[test]
fn each_face_is_measured_against_the_building_behind_it() {
    let one = stacked(&[unit(2.0, 2.0, 2.0, 300.0)]);
    let frame = Frame::new(&one, stand(0.0), corners(2.0, 2.0)).unwrap();
    let building = Building { width: metres(4.0), length: metres(8.0), height: metres(5.0) };
    let on = |face| rooftop_force(&frame, face, &RoofWind { building, ..wind(1000.0) }).unwrap().value;
    let line = |share: f64, small: f64| small - (small - 1.0) * (share - 0.1) / 0.9;
    close(on(Face::Width).lateral_coefficient.value, line(4.0 / 20.0, 1.9));
    close(on(Face::Depth).lateral_coefficient.value, 1.9);
    for face in Face::ALL {
        close(on(face).uplift_coefficient.value, line(4.0 / 32.0, 1.5));
    }
}

#[test]
fn refuses_what_is_no_frame() {
    let good = stacked(&[unit(1.0, 0.5, 0.8, 60.0)]);
    let four = corners(1.0, 0.5);
    let refused =
        |units: &[PlacedUnit], stand: Stand, anchors: Anchors| Frame::new(units, stand, anchors).unwrap_err();
    assert_eq!(refused(&[], stand(0.4), four), WindError::NoUnit);
    let none = Anchors { row_width: 0, ..four };
    let told = refused(&good, stand(0.4), none).to_string();
    assert_eq!(told, "the number of anchors in a row is 0, outside 1 to 10000");
    for anchors in [Anchors { row_width: 5, ..four }, Anchors { row_depth: 5, ..four }] {
        assert_eq!(refused(&good, stand(0.4), anchors), WindError::RowBeyondCount { row: 5, count: 4 });
    }
    Frame::new(&good, stand(0.4), Anchors { row_width: 4, ..four }).unwrap();
    for anchors in [corners(0.0, 0.5), corners(1.0, 101.0)] {
        assert!(matches!(refused(&good, stand(0.4), anchors), WindError::OutOfRange(_)));
    }
    for stand in [stand(-0.1), stand(21.0), Stand { mass: kilograms(-1.0), ..stand(0.4) }] {
        assert!(matches!(refused(&good, stand, four), WindError::OutOfRange(_)), "{stand:?}");
    }
    for unit in [unit(0.0, 1.0, 1.0, 60.0), unit(1.0, 1.0, f64::NAN, 60.0), unit(1.0, 1.0, 1.0, 0.0)] {
        assert!(matches!(refused(&stacked(&[unit]), stand(0.4), four), WindError::OutOfRange(_)), "{unit:?}");
    }
    let sunk = PlacedUnit { above: metres(-0.1), ..good[0] };
    assert!(matches!(refused(&[sunk], stand(0.4), four), WindError::OutOfRange(_)));
    // 10 kg and 200 kg, 2 m apart: 0.9 m off the middle, more than half of what the anchors span.
    let uneven = side_by_side(&[unit(1.0, 0.5, 0.8, 10.0), unit(1.0, 0.5, 0.8, 200.0)], metres(1.0));
    let told = refused(&uneven, stand(0.4), corners(1.8, 0.5));
    let WindError::WeightOutsideAnchors { off_m, span_m } = told else { panic!("{told}") };
    close(off_m, 190.0 / 210.0);
    close(span_m, 1.8);
    Frame::new(&uneven, stand(0.4), corners(1.82, 0.5)).unwrap();
}

#[test]
fn refuses_wind_buildings_and_factors_that_are_none() {
    let frame = Frame::new(&stacked(&[unit(1.0, 0.5, 0.8, 60.0)]), stand(0.4), corners(1.0, 0.5)).unwrap();
    let good = wind(1000.0);
    let building = |building| RoofWind { building, ..good };
    for poor in [
        wind(-1.0),
        wind(f64::NAN),
        building(Building { width: metres(0.0), ..good.building }),
        building(Building { length: metres(3000.0), ..good.building }),
        building(Building { height: metres(0.0), ..good.building }),
        RoofWind { lateral: GustCurve { small: number(-1.0), ..good.lateral }, ..good },
        RoofWind { uplift: GustCurve { large: number(f64::NAN), ..good.uplift }, ..good },
        RoofWind { uplift: GustCurve { large_share: number(0.1), ..good.uplift }, ..good },
    ] {
        assert!(anchor_loads(&frame, &poor, &factors(0.6, 0.6)).is_err(), "{poor:?}");
    }
    for poor in [factors(0.0, 0.6), factors(0.6, -0.1), factors(f64::NAN, 0.6), factors(0.6, 2.1)] {
        assert!(anchor_loads(&frame, &good, &poor).is_err(), "{poor:?}");
    }
    assert!(ballast(&frame, &good, &factors(0.6, 0.6), number(0.0)).is_err());
    assert!(good.lateral.at(number(-0.1)).is_err());
}

/// Whether a second unit on top always pulls harder: no. A flat one is lifted more than it is pushed, and a second adds its
/// weight but no uplift.
#[test]
fn a_second_flat_unit_on_top_may_hold_the_first_one_down() {
    let flat = unit(1.0, 1.0, 0.1, 40.0);
    let frame = |units: &[Unit]| Frame::new(&stacked(units), stand(0.0), corners(1.0, 1.0)).unwrap();
    let (one, two) = (tension_n(&frame(&[flat]), 800.0), tension_n(&frame(&[flat, flat]), 800.0));
    assert!(one > 0.0 && two < one, "{one} N, {two} N");
}

prop_compose! {
    /// Units at least as high as wide and deep.
    fn upright()(width_m in 0.3..1.5_f64, depth_m in 0.3..1.5_f64, slender in 1.0..3.0_f64, mass_kg in 20.0..500.0_f64) -> Unit {
        unit(width_m, depth_m, slender * width_m.max(depth_m), mass_kg)
    }
}

proptest! {
    #[test]
    fn more_wind_never_pulls_less(one in upright(), pressure_pa in 0.0..3000.0_f64, more_pa in 0.0..3000.0_f64, stand_m in 0.0..1.0_f64) {
        let anchors = corners(one.width.value, one.depth.value);
        let frame = Frame::new(&stacked(&[one]), stand(stand_m), anchors).unwrap();
        prop_assert!(tension_n(&frame, pressure_pa + more_pa) >= tension_n(&frame, pressure_pa));
        prop_assert_eq!(tension_n(&frame, 0.0), 0.0);
        let lacks = |pressure_pa| {
            let lacks = ballast(&frame, &wind(pressure_pa), &factors(0.6, 0.6), number(0.3)).unwrap().value;
            lacks.missing.value
        };
        prop_assert!(lacks(pressure_pa + more_pa) >= lacks(pressure_pa));
    }

    #[test]
    fn a_second_upright_unit_on_the_same_anchors_never_pulls_less(one in upright(), pressure_pa in 0.0..3000.0_f64, stand_m in 0.0..1.0_f64) {
        let anchors = corners(one.width.value, one.depth.value);
        let frame = |units: &[Unit]| Frame::new(&stacked(units), stand(stand_m), anchors).unwrap();
        prop_assert!(tension_n(&frame(&[one, one]), pressure_pa) >= tension_n(&frame(&[one]), pressure_pa));
    }

    #[test]
    fn the_force_never_falls_while_equipment_grows(share in 0.0..1.0_f64, more in 0.0..1.0_f64) {
        let curve = wind(0.0).lateral;
        let force = |share: f64| share * curve.at(number(share)).unwrap().value.value;
        prop_assert!(force(share + more) >= force(share) - 1e-12);
    }
}
