//! Oil return of a line whose gas rises: loop and traps, and what to lay where the gas is too slow.

use super::{
    elements::turn_key,
    ledger::Ledger,
    own_limit::own_or,
    resolve::{Resolved, ResolvedSet},
    size::{SizedLine, tube_view},
    wording,
};
use crate::{
    figure,
    view::{DoubleRiserView, LineView, OilReturnView, RiserAloneView, TrapsView},
};
use physics::{
    check::{CheckKind, Condition, Verdict, Why},
    double_riser::{DoubleRiser, DoubleRiserError, Duty, Load, NoChoice, allowed_drop, choose, double_riser},
    line::Phase,
    outcome::Method,
    sizing::{Held, Service, choose as choose_tube},
    units::{Bore, Length, MassRate, Pressure, Ratio, unit::length::meter, unit::ratio::ratio},
};
use tables::{Library, tubes::TubeProduct};

/// Small riser: it leaves by the branch of a tee, turns twice at the top so that it joins from above, and joins by the
/// branch of a tee (arrangement: common practice). `TURN` stands for the turns of the line.
const SMALL_RISER: &[(&str, u32)] = &[("tee-branch", 2), (TURN, 2)];
/// Large riser: straight through the tee at the foot, a trap of a return bend and a turn, and a top like the other's.
const LARGE_RISER: &[(&str, u32)] = &[("tee-run", 1), ("return-bend-short", 1), ("tee-branch", 1), (TURN, 3)];
const TURN: &str = "turn";

const NO_CURE: &str =
    "a trap does not cure an oversize riser: gas too slow to carry oil up to a trap is as slow above it";

/// Oil return of a line; none where no gas rises in it.
pub(super) fn oil_return(
    line: &SizedLine<'_>,
    set: &ResolvedSet<'_>,
    resolved: &Resolved<'_>,
) -> Option<OilReturnView> {
    let case = line.cases.first()?;
    if line.line.service.phase() != Phase::Vapour || !case.line.has_riser() {
        return None;
    }
    let risers = risers(case.line.legs());
    let study = Study { line, set, resolved, pairs: risers.len() };
    let mut advice = Vec::new();
    let inverted_loop = (line.line.service == Service::Discharge).then(|| set.set.route.has_inverted_loop());
    match inverted_loop {
        Some(true) => advice.push(
            "an inverted loop above the condenser's inlet, so that neither oil nor liquid runs back (route.inverted_loop \
             = false takes it out)"
                .to_owned(),
        ),
        Some(false) => advice.push(
            "no inverted loop above the condenser's inlet, as the job says (route.inverted_loop)".to_owned(),
        ),
        None => {}
    }
    let foot_trap = set.set.route.has_foot_trap();
    advice.push(
        if foot_trap {
            "a trap at the foot of the riser, which gathers what runs back at standstill (route.foot_trap = false takes \
             it out)"
        } else {
            "no trap at the foot of the riser, as the job says (route.foot_trap)"
        }
        .to_owned(),
    );
    let traps = set.set.maker.as_ref().and_then(|maker| maker.traps_every).map(|every| {
        let traps = traps(&risers, every.value);
        advice.push(study.traps_words(&traps));
        traps
    });
    let too_slow_at = study.too_slow_at();
    let mut view = OilReturnView {
        riser_heights_m: risers.iter().map(|height| height.get::<meter>()).collect(),
        judged_at: judged_at(line.line.service).to_owned(),
        too_slow_at: too_slow_at.map(wording::condition),
        inverted_loop,
        foot_trap,
        traps,
        double_riser: None,
        riser_alone: None,
        advice,
    };
    if let Some(condition) = too_slow_at {
        study.remedies(condition, &mut view);
    }
    Some(view)
}

/// Notes what a double riser of these lines rests on.
pub(super) fn note(ledger: &mut Ledger, lines: &[LineView], resolved: &Resolved<'_>) {
    let pairs = lines.iter().filter_map(|line| line.oil_return.as_ref()?.double_riser.as_ref());
    if pairs.count() > 0 {
        ledger.note_words("double riser", Method::DoubleRiser.source(), "memory");
        let (_, source, grade) = trap_length(resolved);
        ledger.note_words("trap length", &source, &grade);
        for (key, _) in SMALL_RISER.iter().chain(LARGE_RISER) {
            if let Some(fitting) = resolved.library.fittings().three_k(key) {
                ledger.note(format!("double riser with {key}"), &fitting.loss.source);
            }
        }
    }
}

fn judged_at(service: Service) -> &'static str {
    match service {
        Service::Suction => {
            "judged at summer and at least load with gas of the stated evaporating temperature: a lower one moves less \
             and thinner gas, so let least_load hold at the lowest evaporating temperature"
        }
        _ => {
            "judged at summer and at least load: hot gas is densest, and so slowest, at the highest condensing temperature, \
             which is that of summer; a lower evaporating temperature than stated moves less gas, so let least_load hold at \
             the lowest"
        }
    }
}

fn trap_length(resolved: &Resolved<'_>) -> (Length, String, String) {
    own_or(resolved, "trap-length", &resolved.library.limits().defaults().trap_length)
}

/// Heights of the risers: rising legs that follow each other are one riser.
fn risers(legs: impl Iterator<Item = (Length, Length)>) -> Vec<Length> {
    let nothing = Length::new::<meter>(0.0);
    let mut heights: Vec<Length> = Vec::new();
    let mut rising = false;
    for (_, rise) in legs {
        match (rise > nothing, heights.last_mut()) {
            (true, Some(height)) if rising => *height += rise,
            (true, _) => heights.push(rise),
            (false, _) => {}
        }
        rising = rise > nothing;
    }
    heights
}

/// One at each full `every` of height above the foot, none at the top itself.
fn traps(risers: &[Length], every: Length) -> TrapsView {
    let every_m = every.get::<meter>();
    let of_riser = |height: &Length| -> Vec<f64> {
        let heights = (1_u32..).map(|index| f64::from(index) * every_m);
        heights.take_while(|trap_m| *trap_m < height.get::<meter>() - 1e-6).collect()
    };
    let heights_m: Vec<Vec<f64>> = risers.iter().map(of_riser).collect();
    TrapsView { every_m, count: heights_m.iter().map(Vec::len).sum(), heights_m }
}

/// One line whose gas rises.
struct Study<'a> {
    line: &'a SizedLine<'a>,
    set: &'a ResolvedSet<'a>,
    resolved: &'a Resolved<'a>,
    /// Risers, each of which would be a pair.
    pairs: usize,
}

/// What stands in for a riser that is too slow.
enum Found {
    Pair(Box<DoubleRiser>, Duty, Pressure),
    Alone(Bore),
}

impl Study<'_> {
    fn length(&self, length_m: f64) -> String {
        figure::length(length_m).both(self.resolved.units())
    }

    fn traps_words(&self, traps: &TrapsView) -> String {
        let every = self.length(traps.every_m);
        if traps.count == 0 {
            return format!(
                "the maker asks for a trap at each {every} of height (maker.traps_every): no riser is so high"
            );
        }
        let of_risers: Vec<String> = traps
            .heights_m
            .iter()
            .filter(|heights| !heights.is_empty())
            .map(|heights| heights.iter().map(|height| self.length(*height)).collect::<Vec<_>>().join(", "))
            .collect();
        let noun = if traps.count == 1 { "trap" } else { "traps" };
        format!(
            "the maker asks for a trap at each {every} of height (maker.traps_every): {} {noun}, at {} above the foot of \
             the riser",
            traps.count,
            of_risers.join("; ")
        )
    }

    /// The tube taken, or else every tube that keeps drop and pressure, smallest first.
    fn subjects(&self) -> Vec<usize> {
        match self.line.taken {
            Some(index) => vec![index],
            None => self.keep_drop_and_pressure(),
        }
    }

    fn keep_drop_and_pressure(&self) -> Vec<usize> {
        let keeps = |index: &usize| {
            self.line.judged[*index].checks.iter().any(|check| {
                check.kind == CheckKind::SaturatedTemperatureDrop && check.verdict == Verdict::Meets
            })
        };
        (0..self.line.judged.len()).filter(|index| keeps(index) && self.holds(*index)).collect()
    }

    /// Whether nothing is known against the strength of a tube.
    fn holds(&self, index: usize) -> bool {
        let mut checks = self.line.judged[index].checks.iter();
        !checks.any(|check| {
            check.kind == CheckKind::WorkingPressure
                && matches!(check.verdict, Verdict::Fails | Verdict::TooClose)
        })
    }

    /// Mass rate over the least that carries oil. At a least load that is not stated it is that of summer by the last step of
    /// the capacity: the least that carries hardly knows the rate.
    fn ratio(&self, index: usize, condition: Condition) -> Option<f64> {
        let read = |condition| self.line.judged[index].at(condition)?.value_si(CheckKind::OilReturn);
        match (read(condition), condition) {
            (None, Condition::LeastLoad) => Some(read(Condition::Summer)? * self.last_step()?.get::<ratio>()),
            (found, _) => found,
        }
    }

    /// The least step of a capacity that has steps.
    fn last_step(&self) -> Option<Ratio> {
        let steps = &self.set.set.capacity_steps;
        steps.last().filter(|_| steps.len() > 1).map(|step| step.value)
    }

    /// The condition at which no tube that comes into question carries oil; summer before least load, for gas too slow there
    /// is too slow at both.
    fn too_slow_at(&self) -> Option<Condition> {
        let limit = self.line.line.limits.oil_return.value.si();
        let subjects = self.subjects();
        [Condition::Summer, Condition::LeastLoad].into_iter().find(|condition| {
            let slow = |index: &usize| self.ratio(*index, *condition).is_some_and(|found| found < limit);
            !subjects.is_empty() && subjects.iter().all(slow)
        })
    }

    /// Where the job states a tube that is too wide: the one that the tool would take, if it keeps all limits.
    fn serves_whole(&self) -> Option<usize> {
        let meets = |index: &usize| {
            let mut checks = self.line.judged[*index].checks.iter();
            checks.all(|check| {
                matches!(check.verdict, Verdict::Meets | Verdict::NotChecked(Why::ConditionMissing(_)))
            })
        };
        choose_tube(&self.line.judged).filter(|index| self.line.line.stated.is_some() && meets(index))
    }

    fn remedies(&self, condition: Condition, view: &mut OilReturnView) {
        let name = |index: &usize| self.line.line.candidates[*index].printed_among(&self.set.stock);
        let at = wording::condition(condition);
        let subjects = self.subjects();
        view.advice.push(match (self.line.taken, subjects.first()) {
            (Some(index), _) => format!(
                "gas in {} is too slow to carry oil up at {at}: {:.2} of the least mass rate that does, {:.2} is asked",
                name(&index),
                self.ratio(index, condition).unwrap_or(f64::NAN),
                self.line.line.limits.oil_return.value.si()
            ),
            (None, Some(smallest)) => format!(
                "every tube that keeps drop and pressure, from {} up, is too wide for its gas to carry oil up at {at}",
                name(smallest)
            ),
            (None, None) => return,
        });
        if self.last_step().is_some() && self.set.set.least_load.is_none() {
            view.advice.push("least load is taken as the last of capacity_steps (key least_load)".to_owned());
        }
        view.advice.push(NO_CURE.to_owned());
        if let Some(whole) = self.serves_whole() {
            view.advice.push(format!(
                "{} in the whole line carries oil at every stated load and keeps the drop",
                name(&whole)
            ));
        }
        let found = self.find();
        if let Ok((Found::Alone(bore), other_legs)) = &found
            && let Some(riser) = self.product_of(*bore)
        {
            let alone = RiserAloneView {
                riser: tube_view(riser, &self.set.stock),
                other_legs: tube_view(other_legs, &self.set.stock),
            };
            view.advice.push(format!(
                "{} in the rising legs alone carries oil at both loads, and with {} in the other legs the drop is kept",
                alone.riser.name, alone.other_legs.name
            ));
            view.riser_alone = Some(alone);
        }
        let steps = self.last_step().is_some();
        // A pair is looked for only where no single riser serves.
        let no_single_serves = matches!(found, Ok((Found::Pair(..), _)));
        match found {
            Ok((Found::Pair(pair, duty, allowed), other_legs)) if steps => {
                view.double_riser = self.double_riser(&pair, &duty, allowed, other_legs);
                view.advice.push(
                    "a double riser carries oil at every step: the small one alone at the least, with the trap of the \
                     large one full of oil, both at full load; both join the top from above"
                        .to_owned(),
                );
                if pair.oil_column > duty.height {
                    view.advice.push(
                        "at least load the small riser drops more than a column of oil as high as the large one: no seal \
                         holds"
                            .to_owned(),
                    );
                }
                if duty.least.mass_rate > pair.changeover {
                    view.advice.push(
                        "at least load gas still carries oil up both: the trap does not fill".to_owned(),
                    );
                }
            }
            Ok((Found::Alone(_), _)) if steps => view.advice.push("no double riser is needed".to_owned()),
            Err(reason) if steps => view.advice.push(format!("no double riser is proposed: {reason}")),
            _ => view.advice.push(
                "a double riser does not help a capacity that does not step: nothing tells the large riser when to close \
                 (key capacity_steps, if it does step)"
                    .to_owned(),
            ),
        }
        if view.double_riser.is_none() {
            let smaller = if view.riser_alone.is_some() || no_single_serves {
                ""
            } else {
                "a smaller tube in the rising legs alone, "
            };
            view.advice.push(format!(
                "what else helps: {smaller}a least load held higher, an oil separator at the compressor (common practice, no \
                 source)"
            ));
        }
    }

    /// What serves in place of the riser, and the tube of the other legs: the tube taken where it keeps the drop, else the
    /// first tube that does beside which anything serves; else why the first does not.
    fn find(&self) -> Result<(Found, &TubeProduct), String> {
        let mut first_reason = None;
        let mut others = self.keep_drop_and_pressure();
        others.sort_by_key(|index| Some(*index) != self.line.taken);
        for index in others {
            let product = &self.line.line.candidates[index];
            match self.beside(index, product) {
                Ok(found) => return Ok((found, product)),
                Err(reason) => first_reason = first_reason.or(Some(reason)),
            }
        }
        Err(first_reason.unwrap_or_else(|| "no stocked tube keeps the drop in the other legs".to_owned()))
    }

    fn beside(&self, index: usize, product: &TubeProduct) -> Result<Found, String> {
        let (duty, allowed) = self
            .duty(index)
            .ok_or_else(|| format!("beside {} no drop is left for the risers", product.printed_size()))?;
        // Candidates begin with the stock.
        let stock = self.set.stock.iter().enumerate().filter(|(index, _)| self.holds(*index));
        let bores: Vec<Bore> = stock.map(|(_, product)| product.tube.bore()).collect();
        let turn = turn_key(self.line.line.text, product);
        let resistance = |parts, bore| {
            self.resistance(parts, turn, bore, &duty.full, self.resolved.library)
                .ok_or("the fittings table lacks a tee, a return bend or the turn of this line")
        };
        let level = product.tube.bore();
        let (mut small, mut large) = (resistance(SMALL_RISER, level)?, resistance(LARGE_RISER, level)?);
        // A resistance coefficient hangs a little on the bore that it is for: once more with those of the pair.
        let mut chosen = choose(&duty, &bores, small, large, allowed);
        if let Ok(pair) = &chosen {
            small = resistance(SMALL_RISER, pair.value.small.riser.bore)?;
            large = resistance(LARGE_RISER, pair.value.large.riser.bore)?;
            chosen = choose(&duty, &bores, small, large, allowed);
        }
        match chosen {
            Ok(pair) => Ok(Found::Pair(Box::new(pair.value), duty, allowed)),
            Err(NoChoice::SingleServes { bore }) => Ok(Found::Alone(bore)),
            Err(reason) => Err(self.no_choice(reason)),
        }
    }

    /// What the risers have to do beside the other legs of a tube, and the drop that is left for them.
    fn duty(&self, index: usize) -> Option<(Duty, Pressure)> {
        let summer = self.set.points.iter().find(|(condition, _)| *condition == Condition::Summer)?.1?;
        let gas = match self.line.line.service {
            Service::Suction => summer.suction?,
            _ => summer.discharge,
        };
        let least = self.set.points.iter().find(|(condition, _)| *condition == Condition::LeastLoad)?.1;
        let least_rate: MassRate = match (least, self.last_step()) {
            (Some(point), _) => point.mass_rate,
            (None, Some(step)) => summer.mass_rate * step,
            (None, None) => summer.mass_rate,
        };
        let load = |mass_rate| Load { mass_rate, density: gas.density, viscosity: gas.viscosity };
        let case = &self.line.cases[index];
        let held = match self.line.line.service {
            Service::Suction => Held::Inlet(gas.pressure),
            _ => Held::Outlet(gas.pressure),
        };
        let limit = physics::units::TemperatureInterval::new::<
            physics::units::unit::temperature_interval::kelvin,
        >(case.limits.saturated_temperature_drop.value.si());
        let whole = allowed_drop(&self.set.fluid, held, limit).ok()?;
        let rest = case.without_risers();
        let of_summer = rest.duty(Condition::Summer)?;
        let allowed = whole - rest.march(&self.set.fluid, of_summer).ok()?.value.pressure_drop;
        let rising = || case.line.legs().filter(|(_, rise)| rise.get::<meter>() > 0.0);
        let duty = Duty {
            full: load(summer.mass_rate),
            least: load(least_rate),
            oil_density: case.oil_density,
            oil_return_limit: Ratio::new::<ratio>(case.limits.oil_return.value.si()),
            height: rising().map(|(_, rise)| rise).sum(),
            length: rising().map(|(length, _)| length).sum(),
            roughness: case.line.roughness,
        };
        (allowed.value > 0.0).then_some((duty, allowed))
    }

    /// Resistance of so many fittings in one bore, for all pairs together, full load in it.
    fn resistance(
        &self,
        parts: &[(&str, u32)],
        turn: &str,
        bore: Bore,
        load: &Load,
        library: &Library,
    ) -> Option<Ratio> {
        let each = parts.iter().map(|(key, count)| {
            let fitting = library.fittings().three_k(if *key == TURN { turn } else { key })?;
            Some(f64::from(*count) * fitting.loss.value.resistance(load.reynolds(bore), bore))
        });
        let of_pair: Ratio = each.sum::<Option<Ratio>>()?;
        Some(self.pairs as f64 * of_pair)
    }

    fn double_riser(
        &self,
        pair: &DoubleRiser,
        duty: &Duty,
        allowed: Pressure,
        other_legs: &TubeProduct,
    ) -> Option<DoubleRiserView> {
        let tube = |bore| self.product_of(bore).map(|product| tube_view(product, &self.set.stock));
        let seal: Result<_, DoubleRiserError> = pair.seal(trap_length(self.resolved).0, duty.oil_density);
        let seal = seal.ok()?;
        let step_alone = self.greatest_step_alone(pair, duty);
        Some(DoubleRiserView {
            small: tube(pair.small.riser.bore)?,
            large: tube(pair.large.riser.bore)?,
            other_legs: tube_view(other_legs, &self.set.stock),
            pairs: self.pairs,
            full_load_kg_s: duty.full.mass_rate.value,
            least_load_kg_s: duty.least.mass_rate.value,
            small_share: (pair.small.mass_rate / duty.full.mass_rate).get::<ratio>(),
            small_velocity_m_s: pair.small.velocity.value,
            large_velocity_m_s: pair.large.velocity.value,
            drop_pa: pair.small.drop.value,
            allowed_drop_pa: allowed.value,
            small_oil_return_ratio: pair.small.oil_return_ratio.get::<ratio>(),
            large_oil_return_ratio: pair.large.oil_return_ratio.get::<ratio>(),
            small_alone_oil_return_ratio: pair.small_alone.oil_return_ratio.get::<ratio>(),
            changeover_share: (pair.changeover / duty.full.mass_rate).get::<ratio>(),
            greatest_step_alone_share: step_alone.map(|(share, _)| share.get::<ratio>()),
            greatest_step_alone_drop_pa: step_alone.map(|(_, drop)| drop.value),
            trap_oil_kg: self.pairs as f64 * seal.trap_oil.value,
            column_oil_kg: seal.column_oil.value,
        })
    }

    /// The greatest step between least load and the changeover, and the drop of the small riser alone at it.
    fn greatest_step_alone(&self, pair: &DoubleRiser, duty: &Duty) -> Option<(Ratio, Pressure)> {
        let steps = self.set.set.capacity_steps.iter().map(|step| step.value);
        let alone = steps
            .filter(|step| {
                let rate = duty.full.mass_rate * *step;
                rate < pair.changeover && rate > duty.least.mass_rate
            })
            .max_by(|a, b| a.value.total_cmp(&b.value))?;
        let at_step = Load { mass_rate: duty.full.mass_rate * alone, ..duty.least };
        let duty = Duty { least: at_step, ..*duty };
        let found = double_riser(&duty, pair.small.riser, pair.large.riser).ok()?;
        Some((alone, found.value.small_alone.drop))
    }

    fn product_of(&self, bore: Bore) -> Option<&TubeProduct> {
        self.set.stock.iter().find(|product| product.tube.bore() == bore)
    }

    fn no_choice(&self, reason: NoChoice) -> String {
        let name = |bore| {
            self.product_of(bore).map_or_else(String::new, |product| product.printed_among(&self.set.stock))
        };
        match reason {
            NoChoice::NoSmallCarries { smallest, oil_return_ratio } => format!(
                "even {}, the smallest in stock, has only {:.2} of the least mass rate that carries oil at least load",
                name(smallest),
                oil_return_ratio.get::<ratio>()
            ),
            NoChoice::NoLargeKeepsDrop { small, largest, drop } => format!(
                "beside {} even {} drops {} at full load",
                name(small),
                name(largest),
                figure::pressure_difference(drop.value).both(self.resolved.units())
            ),
            NoChoice::NoLargeCarries { small, large, small_ratio, large_ratio } => format!(
                "{} beside {} keeps the drop, but at full load the gas has only {:.2} and {:.2} of the least mass rate \
                 that carries oil",
                name(large),
                name(small),
                large_ratio.get::<ratio>(),
                small_ratio.get::<ratio>()
            ),
            other => other.to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn metres(value: f64) -> Length {
        Length::new::<meter>(value)
    }

    #[test]
    fn rising_legs_that_follow_each_other_are_one_riser() {
        let legs = [(4.0, 4.0), (2.0, 2.0), (9.0, 0.0), (3.0, 3.0), (1.0, -1.0)];
        let found = risers(legs.into_iter().map(|(length, rise)| (metres(length), metres(rise))));
        assert_eq!(found, [metres(6.0), metres(3.0)]);
    }

    #[test]
    fn traps_stand_at_each_full_height_and_none_at_the_top() {
        let found = traps(&[metres(20.0), metres(6.0), metres(12.0)], metres(6.0));
        assert_eq!(found.heights_m, [vec![6.0, 12.0, 18.0], vec![], vec![6.0]]);
        assert_eq!(found.count, 4);
    }
}
