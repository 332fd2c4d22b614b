//! What the pictures of a set show: states along the liquid line, oil return over the load, the route in space.

use super::{
    elements::{Parts, has_foot_trap, has_loop},
    heat::Taken,
    resolve::ResolvedSet,
    wording,
};
use crate::{
    job::{Direction, Leg, Part, ReceiverAt},
    view::{
        IsometricLegView, IsometricLineView, IsometricMarkView, IsometricView, LineProfileView, LineView,
        ProfileEventView, ProfilePartView, ProfilePointView, RiserCurveView, RiserFluxView,
    },
};
use physics::{
    check::{CheckKind, Condition},
    fluid::Refrigerant,
    line::{Flow, Station, Tolerance, march_with_heat},
    sizing::{Case, Service},
    uncertainty::{Lever, Nudge},
    units::{
        AbsolutePressure,
        unit::{length::meter, ratio::ratio, temperature_interval::kelvin as kelvin_interval},
    },
};
use tables::tubes::TubeProduct;

/// Loads that a curve is drawn through.
const LOADS: usize = 9;
/// Tubes drawn beside the taken one: below and above it.
const NEIGHBOURS: (usize, usize) = (1, 2);

/// States along the liquid line at the condition that governs its flash margin, or at summer.
pub(super) fn profile(
    taken: &Taken<'_>,
    name: &str,
    atmosphere: Option<AbsolutePressure>,
) -> Option<LineProfileView> {
    if taken.line.service != Service::Liquid {
        return None;
    }
    let governing = taken.judged.check(CheckKind::FlashMargin)?;
    let condition = governing.condition.unwrap_or(Condition::Summer);
    let duty = taken.case.duty(condition)?;
    let mut stations: Vec<Station> = Vec::new();
    let inlet = duty.inlet(taken.line.service.phase());
    let mut keep = |station: &Station| stations.push(*station);
    let fluid = &taken.set.fluid;
    let outlet =
        march_with_heat(fluid, &taken.case.line, &duty.exchanges, inlet, Tolerance::default(), &mut keep)
            .ok()?
            .value;
    let atmosphere_pa = atmosphere.map_or(101_325.0, AbsolutePressure::pascal);
    let points = stations.iter().filter_map(|station| {
        let bubble = fluid.bubble_temperature(station.local.pressure).ok()?.get();
        Some(ProfilePointView {
            position_m: station.position.get::<meter>(),
            height_m: station.height.get::<meter>(),
            pressure_pa: station.local.pressure.pascal(),
            gauge_pa: station.local.pressure.pascal() - atmosphere_pa,
            temperature_c: station.local.temperature.value - 273.15,
            saturation_c: bubble.value - 273.15,
            quality: match station.local.flow {
                Flow::Liquid => 0.0,
                Flow::TwoPhase { quality, .. } => quality.get::<ratio>(),
                Flow::Vapour => 1.0,
            },
        })
    });
    let points: Vec<ProfilePointView> = points.collect();
    let margin = |station: &&Station| station.phase_margin.get::<kelvin_interval>();
    let least = stations.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)))?;
    let flashes_at = outlet.saturation_reached_at.map(|position| position.get::<meter>());
    let run_m = taken.case.line.run().get::<meter>();
    Some(LineProfileView {
        set: taken.set.set.name.value.clone(),
        service: taken.line.service.name().to_owned(),
        condition: wording::condition(condition).to_owned(),
        tube_name: name.to_owned(),
        from: if taken.set.set.receiver_at.value == ReceiverAt::Condenser { "receiver" } else { "condenser" }
            .to_owned(),
        to: "head".to_owned(),
        points,
        events: outlet
            .phase_changes
            .iter()
            .flatten()
            .map(|change| ProfileEventView {
                position_m: change.position.get::<meter>(),
                into: wording::phase(change.into),
                rising: change.rising,
            })
            .collect(),
        least_margin_k: least.phase_margin.get::<kelvin_interval>(),
        least_margin_at_m: flashes_at.unwrap_or(least.position.get::<meter>()),
        parts: parts(taken, run_m),
    })
}

/// Parts at the inlet and at the outlet.
fn parts(taken: &Taken<'_>, run_m: f64) -> Vec<ProfilePartView> {
    let parts = Parts::of(taken.line.text);
    let at = |position_m: f64| {
        move |part: &Part| ProfilePartView { position_m, name: part.kind.name().to_owned() }
    };
    parts.at_condenser.iter().map(at(0.0)).chain(parts.at_head.iter().map(at(run_m))).collect()
}

/// Oil return over the load, in the tube taken and its neighbours, at the states of summer.
pub(super) fn riser_flux(
    taken: &Taken<'_>,
    index: usize,
    candidates: &[TubeProduct],
    cases: &[Case],
) -> Option<RiserFluxView> {
    let check = taken.judged.check(CheckKind::OilReturn)?;
    let share = |condition: Condition| {
        let rate = |condition| taken.case.duty(condition).map(|duty| duty.mass_rate);
        Some((rate(condition)? / rate(Condition::Summer)?).get::<ratio>())
    };
    let least_load = share(Condition::LeastLoad).unwrap_or(1.0);
    let peak_load = share(Condition::Peak).unwrap_or(1.0).max(1.0);
    // From well below the least load, so that what a tube lacks can be seen.
    let from = 0.5 * least_load;
    let loads = (0..LOADS).map(|k| from + (peak_load - from) * k as f64 / (LOADS - 1) as f64);
    let loads: Vec<f64> = loads.collect();
    let ratio_at = |case: &Case, load: f64| {
        let case = case.nudged(Lever::Load, load - 1.0);
        case.reading(&taken.set.fluid, case.duty(Condition::Summer)?).value_si(CheckKind::OilReturn)
    };
    let name = |product: &TubeProduct| product.printed_among(&taken.set.stock);
    let (below, above) = NEIGHBOURS;
    let (first, last) = (index.saturating_sub(below), (index + above).min(cases.len() - 1));
    let curves: Vec<RiserCurveView> = (first..=last)
        .map(|k| RiserCurveView {
            name: name(&candidates[k]),
            taken: k == index,
            points: loads.iter().filter_map(|load| Some([*load, ratio_at(&cases[k], *load)?])).collect(),
        })
        .filter(|curve| curve.points.len() > 1)
        .collect();
    let limit_ratio = check.limit.value.si();
    let carries_from_load = curves.iter().find(|curve| curve.taken).and_then(|curve| {
        let [first_load, first_ratio] = *curve.points.first()?;
        if first_ratio >= limit_ratio {
            return Some(first_load);
        }
        let crosses = |pair: &&[[f64; 2]]| pair[1][1] >= limit_ratio;
        let pair = curve.points.windows(2).find(crosses)?;
        let [[from, low], [to, high]] = [pair[0], pair[1]];
        Some(from + (to - from) * (limit_ratio - low) / (high - low))
    });
    Some(RiserFluxView {
        set: taken.set.set.name.value.clone(),
        service: taken.line.service.name().to_owned(),
        tube_name: name(taken.product),
        limit_ratio,
        least_load,
        peak_load,
        carries_from_load,
        changeover_load: None,
        verdict: wording::verdict(check.verdict),
        curves,
    })
}

/// The route in space, with the lines that were taken.
pub(super) fn isometric(set: &ResolvedSet<'_>, lines: &[LineView]) -> IsometricView {
    let legs: Vec<&Leg> = set.set.route.legs.iter().map(|leg| &leg.value).collect();
    let mut at = [0.0; 3];
    let mut drawn = Vec::new();
    let mut marks = vec![mark(at, "head")];
    let gas =
        [Service::Discharge, Service::Suction].into_iter().find(|service| set.set.line(*service).is_some());
    let mut trap_missing = gas.is_some_and(|service| has_foot_trap(set.set, service));
    for leg in &legs {
        if leg.direction.rise() > 0.0 && trap_missing {
            marks.push(mark(at, "foot trap"));
            trap_missing = false;
        }
        let way = unit(leg.direction);
        let length_m = leg.length.get::<meter>();
        let to = [0, 1, 2].map(|k| at[k] + length_m * way[k]);
        drawn.push(IsometricLegView { from_m: at, to_m: to, length_m, place: leg.place.clone() });
        at = to;
    }
    marks.push(mark(at, "condenser"));
    if gas.is_some_and(|service| has_loop(set.set, service)) {
        marks.push(mark(at, "inverted loop"));
    }
    let receiver = match set.set.receiver_at.value {
        ReceiverAt::Head => Some(mark([0.0; 3], "receiver")),
        ReceiverAt::Condenser => Some(mark(at, "receiver")),
        ReceiverAt::None => None,
    };
    marks.extend(receiver);
    let name = &set.set.name.value;
    IsometricView {
        set: name.clone(),
        legs: drawn,
        lines: lines
            .iter()
            .filter_map(|line| {
                Some(IsometricLineView {
                    service: line.service.clone(),
                    tube_name: line.tube.as_ref()?.name.clone(),
                    tag: format!(
                        "{} {}",
                        name.to_uppercase(),
                        line.service.chars().next().map(|c| c.to_ascii_uppercase())?
                    ),
                })
            })
            .collect(),
        marks,
        lift_m: set.set.route.lift().get::<meter>(),
        run_m: set.set.route.run().get::<meter>(),
        compass: !legs.iter().any(|leg| leg.direction == Direction::Level),
    }
}

fn mark(at_m: [f64; 3], name: &str) -> IsometricMarkView {
    IsometricMarkView { at_m, name: name.to_owned() }
}

/// East, north and up of one length; a level leg of which the point of the compass is not said is drawn north.
fn unit(direction: Direction) -> [f64; 3] {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    match direction {
        Direction::Up => [0.0, 0.0, 1.0],
        Direction::Down => [0.0, 0.0, -1.0],
        Direction::North | Direction::Level => [0.0, 1.0, 0.0],
        Direction::South => [0.0, -1.0, 0.0],
        Direction::East => [1.0, 0.0, 0.0],
        Direction::West => [-1.0, 0.0, 0.0],
        Direction::Northeast => [half, half, 0.0],
        Direction::Northwest => [-half, half, 0.0],
        Direction::Southeast => [half, -half, 0.0],
        Direction::Southwest => [-half, -half, 0.0],
    }
}
