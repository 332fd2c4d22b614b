//! A line in one tube, piece by piece in the direction of flow: legs, turns, parts, trap and loop.

use super::resolve::{ResolvedLine, runs_backwards};
use crate::job::{Fittings as Turns, Leg, Line as LineText, Part, PartKind, Set};
use physics::{
    fittings::{ThreeK, resistance_of_flow_coefficient},
    line::{Element, Phase},
    sizing::Service,
    units::{
        Bore, Pressure, Ratio, VolumeRate,
        unit::{length::meter, pressure::pascal, ratio::ratio, volume_rate::cubic_meter_per_hour},
    },
};
use tables::{
    Library,
    tubes::{Form, TubeProduct},
};

/// Reynolds number at which a valve of which only the size is known gets its one coefficient: that of full flow.
const FULL_FLOW: f64 = 1e5;

/// Elements in the direction of flow, and the index of the leg that grows.
///
/// Where several valves for shutting off are listed, the first stands at the inlet; all other parts stand at the head's end,
/// in the order written.
pub(super) fn elements(
    set: &Set,
    line: &ResolvedLine<'_>,
    product: &TubeProduct,
    library: &Library,
) -> (Vec<Element>, Option<usize>) {
    let in_tube = InTube { line: line.text, product, library };
    let backwards = runs_backwards(line.service);
    let parts = Parts::of(line.text);
    let (first, last) =
        if backwards { (parts.at_condenser, parts.at_head) } else { (parts.at_head, parts.at_condenser) };
    let mut elements: Vec<Element> = first.iter().flat_map(|part| in_tube.part(part)).collect();
    let stretch = in_tube.legs(set, line.service, &mut elements);
    if has_loop(set, line.service) {
        elements.extend(in_tube.fitting("return-bend-short", 1));
        elements.extend(in_tube.turns(2));
    }
    elements.extend(last.iter().flat_map(|part| in_tube.part(part)));
    (elements, stretch)
}

/// Whether an inverted loop stands at the inlet of the coil.
pub(super) fn has_loop(set: &Set, service: Service) -> bool {
    service == Service::Discharge && set.route.lift().value > 0.0 && set.route.has_inverted_loop()
}

/// Whether a trap stands at the foot of the first rising leg.
pub(super) fn has_foot_trap(set: &Set, service: Service) -> bool {
    let rises = |leg: &Leg| leg.direction.rise() > 0.0;
    service.phase() == Phase::Vapour
        && set.route.has_foot_trap()
        && set.route.legs.iter().any(|leg| rises(&leg.value))
}

/// Parts of which neither a flow coefficient is stated nor a handbook row is known: their loss is in no drop.
pub(super) fn uncounted(line: &LineText) -> Vec<&Part> {
    let unknown =
        |part: &&Part| part.kv.is_none() && keys(part.kind, "").is_none() && flows_through(part.kind);
    line.parts.iter().map(|part| &part.value).filter(unknown).collect()
}

/// A relief valve stands beside the flow.
fn flows_through(kind: PartKind) -> bool {
    kind != PartKind::ReliefValve
}

/// Keys of the fittings that a part is computed as; a trap is a return bend and a turn.
fn keys(kind: PartKind, turn: &str) -> Option<Vec<&str>> {
    Some(match kind {
        PartKind::BallValve => vec!["ball-valve"],
        PartKind::GlobeValve => vec!["globe-valve"],
        PartKind::AngleValve | PartKind::ServiceValve => vec!["angle-valve"],
        PartKind::CheckValve => vec!["lift-check-valve"],
        PartKind::Tee => vec!["tee-run"],
        PartKind::LongElbow => vec!["elbow-90-long"],
        PartKind::ShortElbow => vec!["elbow-90-short"],
        PartKind::Elbow45 => vec!["elbow-45-short"],
        PartKind::ReturnBend => vec!["return-bend-short"],
        PartKind::Trap => vec!["return-bend-short", turn],
        _ => return None,
    })
}

/// The parts of a line by the end they stand at.
pub(super) struct Parts {
    pub(super) at_head: Vec<Part>,
    pub(super) at_condenser: Vec<Part>,
}

impl Parts {
    pub(super) fn of(line: &LineText) -> Self {
        let (mut at_head, mut at_condenser) = (Vec::new(), Vec::new());
        for part in line.parts.iter().map(|part| part.value) {
            let shuts_off = matches!(part.kind, PartKind::BallValve | PartKind::ServiceValve);
            let far = if shuts_off && part.count > 1 { 1 } else { 0 };
            at_condenser.extend(std::iter::repeat_n(Part { count: 1, ..part }, far));
            at_head.extend(std::iter::repeat_n(Part { count: 1, ..part }, part.count as usize - far));
        }
        Self { at_head, at_condenser }
    }
}

/// The fittings of a line in one tube.
struct InTube<'a> {
    line: &'a LineText,
    product: &'a TubeProduct,
    library: &'a Library,
}

impl InTube<'_> {
    fn coefficients(&self, key: &str) -> Option<ThreeK> {
        self.library.fittings().three_k(key).map(|fitting| fitting.loss.value)
    }

    fn fitting(&self, key: &str, count: u32) -> Option<Element> {
        self.coefficients(key)
            .filter(|_| count > 0)
            .map(|coefficients| Element::Fitting { coefficients, count })
    }

    fn turns(&self, count: u32) -> Option<Element> {
        self.fitting(turn_key(self.line, self.product), count)
    }

    fn part(&self, part: &Part) -> Vec<Element> {
        let bore = self.product.tube.bore();
        let turn = turn_key(self.line, self.product);
        if part.kind == PartKind::CheckValve {
            let cracking = part.cracking.unwrap_or(Pressure::new::<pascal>(0.0));
            let coefficient = self.valve(part, bore);
            return coefficient
                .map(|coefficient| Element::CheckValve { coefficient, cracking })
                .into_iter()
                .collect();
        }
        match part.kv {
            Some(kv) => {
                let kv = VolumeRate::new::<cubic_meter_per_hour>(kv.kv_m3_h());
                vec![Element::Resistance { coefficient: resistance_of_flow_coefficient(kv, bore) }]
            }
            None => {
                let keys = keys(part.kind, turn).unwrap_or_default();
                keys.into_iter().filter_map(|key| self.fitting(key, 1)).collect()
            }
        }
    }

    /// One coefficient of a check valve: by its flow coefficient, else by its size.
    fn valve(&self, part: &Part, bore: Bore) -> Option<Ratio> {
        match part.kv {
            Some(kv) => {
                let kv = VolumeRate::new::<cubic_meter_per_hour>(kv.kv_m3_h());
                Some(resistance_of_flow_coefficient(kv, bore))
            }
            None => {
                let coefficients = self.coefficients("lift-check-valve")?;
                Some(coefficients.resistance(Ratio::new::<ratio>(FULL_FLOW), bore))
            }
        }
    }

    /// Legs and turns; the index of the longest level leg, or of the one marked to grow.
    fn legs(&self, set: &Set, service: Service, elements: &mut Vec<Element>) -> Option<usize> {
        let route = &set.route;
        let backwards = runs_backwards(service);
        let mut legs: Vec<&Leg> = route.legs.iter().map(|leg| &leg.value).collect();
        if backwards {
            legs.reverse();
        }
        let mut trap_missing = has_foot_trap(set, service);
        let mut longest: Option<(usize, f64)> = None;
        for (index, leg) in legs.iter().enumerate() {
            let way = if backwards { -1.0 } else { 1.0 };
            let rise = leg.direction.rise() * way * leg.length;
            if rise.value > 0.0 && trap_missing {
                elements.extend(self.fitting("return-bend-short", 1));
                elements.extend(self.turns(1));
                trap_missing = false;
            }
            let level = leg.direction.rise() == 0.0;
            let length_m = if leg.stretch { f64::INFINITY } else { leg.length.get::<meter>() };
            if level && longest.is_none_or(|(_, other_m)| length_m > other_m) {
                longest = Some((elements.len(), length_m));
            }
            elements.push(Element::Leg { length: leg.length, rise });
            let count = match route.elbows.map(|elbows| elbows.value) {
                // Half of the stated elbows after the first leg, the rest after the second.
                Some(count) => match index {
                    0 if legs.len() == 1 => count,
                    0 => count.div_ceil(2),
                    1 => count / 2,
                    _ => 0,
                },
                None => legs.get(index + 1).map_or(0, |next| u32::from(next.direction != leg.direction)),
            };
            elements.extend(self.turns(count));
        }
        longest.map(|(index, _)| index)
    }
}

/// Turns that the route makes, without trap, loop and parts.
pub(super) fn count_turns(set: &Set) -> u32 {
    let legs = &set.route.legs;
    let changes = legs.windows(2).filter(|pair| pair[0].value.direction != pair[1].value.direction).count();
    set.route.elbows.map_or(changes as u32, |elbows| elbows.value)
}

/// Key of the fitting that makes a turn of this line in this tube.
pub(super) fn turn_key(line: &LineText, product: &TubeProduct) -> &'static str {
    match line.fittings.map(|fittings| fittings.value) {
        Some(Turns::ShortElbows) => "elbow-90-short",
        Some(Turns::LongElbows) => "elbow-90-long",
        Some(Turns::Bends) => "bend-90-r4",
        None if product.form == Form::Coil => "bend-90-r4",
        None => "elbow-90-short",
    }
}
