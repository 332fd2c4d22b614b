//! The receiver: how full it gets on a hot day, at the end of a harvest and at pump-down, and when it is full of liquid.

use super::{super::check::made, SetBudget, summer, unmade};
use crate::view::{CheckView, ReceiverView};
use physics::{
    check::{Sense, Whose},
    fluid::Refrigerant,
    receiver::{LiquidFull, Receiver, ReceiverError, filled, liquid_full_temperature, volume_needed},
    units::{
        BubbleTemperature, Mass, Ratio, ThermodynamicTemperature, Volume,
        unit::{mass::kilogram, ratio::ratio, thermodynamic_temperature::degree_celsius},
    },
};

/// Most liquid on a hot day, as share of the volume.
const HOT_FILL: f64 = 0.8;
const HOT_FILL_SOURCE: &str = "common practice, no source (common practice)";
/// Most liquid at 90 °F.
const RULE_FILL: f64 = 0.9;
const RULE_C: f64 = 290.0 / 9.0;
const RULE_SOURCE: &str = "ASHRAE 15-1978 as quoted in a secondary document (published)";

const FILL: &str = "receiver-fill";

/// What the receiver of a set takes, where a volume of it is stated, and the checks on it.
pub(super) fn receiver(budget: &SetBudget<'_>) -> (Option<ReceiverView>, Vec<CheckView>) {
    let stated = budget.set.set.receiver;
    let Some(volume) = stated.volume else { return (None, Vec::new()) };
    let seal = stated.seal.map_or(0.0, |seal| seal.value.get::<ratio>());
    let filling = Filling { budget, volume: volume.value, seal: volume.value * Ratio::new::<ratio>(seal) };
    match filling.view() {
        Ok((view, checks)) => (Some(view), checks),
        Err(error) => {
            let missing = format!("states inside the property data ({error})");
            (None, vec![unmade(FILL, "summer", "1", Whose::Practice, missing)])
        }
    }
}

struct Filling<'a> {
    budget: &'a SetBudget<'a>,
    volume: Volume,
    seal: Volume,
}

impl Filling<'_> {
    /// Share of the volume that a mass takes as liquid on top of the seal.
    fn share(&self, mass_kg: f64, at: BubbleTemperature) -> Result<f64, ReceiverError> {
        let all = Ratio::new::<ratio>(1.0);
        let fluid = &self.budget.set.fluid;
        let needed = volume_needed(fluid, Mass::new::<kilogram>(mass_kg), all, at, self.seal)?.value;
        Ok((needed / self.volume).get::<ratio>())
    }

    /// Most that a fill takes, seal and all.
    fn most_kg(&self, fill: f64, at: BubbleTemperature) -> Result<f64, ReceiverError> {
        let receiver = Receiver::new(self.volume, self.seal)?;
        let room = receiver.room(&self.budget.set.fluid, Mass::default(), Ratio::new::<ratio>(fill), at)?;
        Ok(room.value.value)
    }

    fn view(&self) -> Result<(ReceiverView, Vec<CheckView>), ReceiverError> {
        let budget = self.budget;
        let fluid = &budget.set.fluid;
        let hot = fluid.bubble_temperature(summer(budget.set).discharge.pressure)?;
        let rule = BubbleTemperature::new(ThermodynamicTemperature::new::<degree_celsius>(RULE_C));
        let left_over_kg = self.left_over_kg();
        let stored =
            budget.winter.in_receiver_kg().map(|(net, gross)| [net + left_over_kg, gross + left_over_kg]);
        let shares = |extra_kg: f64, at: BubbleTemperature| -> Result<Option<[f64; 2]>, ReceiverError> {
            let Ok([net, gross]) = &stored else { return Ok(None) };
            Ok(Some([self.share(net + extra_kg, at)?, self.share(gross + extra_kg, at)?]))
        };
        let harvest_kg = budget.set.set.receiver.harvest_charge.map(|mass| mass.value.value);
        let hot_day_fill = shares(0.0, hot)?;
        let fill_at_90_f = shares(0.0, rule)?;
        let harvest_fill = match harvest_kg {
            Some(mass_kg) => shares(mass_kg, hot)?,
            None => None,
        };
        let fullest = harvest_fill.or(hot_day_fill).map(|[_, gross]| gross);
        let pump_down_fill = match budget.charge_kg() {
            Some(charge_kg) => Some(self.share(charge_kg, rule)? - (self.seal / self.volume).get::<ratio>()),
            None => None,
        };
        let full = match fullest {
            Some(share) if share < 1.0 => {
                let density = filled(fluid, Ratio::new::<ratio>(share.max(0.01)), hot)?.value.with_vapour;
                Some(liquid_full_temperature(fluid, density, hot)?.value)
            }
            _ => None,
        };
        let design = &budget.set.strength.high_side;
        let design_c = design.temperature.get::<degree_celsius>();
        let mut checks = Vec::new();
        match &stored {
            Err(missing) => checks.push(unmade(FILL, "summer", "1", Whose::Practice, missing.clone())),
            Ok(_) => {
                checks
                    .extend(hot_day_fill.map(|share| fill_check("summer", share, HOT_FILL, HOT_FILL_SOURCE)));
                checks.extend(fill_at_90_f.map(|share| fill_check("90 °F", share, RULE_FILL, RULE_SOURCE)));
                checks.extend(
                    harvest_fill
                        .map(|share| fill_check("the end of harvest", share, HOT_FILL, HOT_FILL_SOURCE)),
                );
                checks.push(self.full_check(full, hot, design_c));
            }
        }
        let seal_kg = (fluid.at_bubble(hot)?.density * self.seal).value;
        let view = ReceiverView {
            volume_m3: self.volume.value,
            seal_kg,
            hot_c: hot.get().get::<degree_celsius>(),
            hot_day_kg: stored.as_ref().ok().map(|stored| stored.map(|mass_kg| mass_kg + seal_kg)),
            hot_day_fill,
            fill_at_90_f,
            harvest_fill,
            pump_down_fill,
            at_80_percent_kg: self.most_kg(HOT_FILL, hot)?,
            at_90_percent_kg: self.most_kg(RULE_FILL, rule)?,
            liquid_full_c: full.and_then(|full| match full {
                LiquidFull::At(temperature) => Some(temperature.get().get::<degree_celsius>()),
                LiquidFull::NotUpTo(_) => None,
            }),
            design_c,
        };
        Ok((view, checks))
    }

    /// What lines shorter than the covered ones leave to the receiver.
    fn left_over_kg(&self) -> f64 {
        let lines = self.budget.lines;
        if lines.added_charge_kg != Some(0.0) {
            return 0.0;
        }
        (-lines.lines.iter().map(|line| line.computed_added_kg).sum::<f64>()).max(0.0)
    }

    /// A receiver that is shut on a hot day and warms up to the temperature that the set must stand.
    fn full_check(&self, full: Option<LiquidFull>, hot: BubbleTemperature, design_c: f64) -> CheckView {
        let (value, remark) = match full {
            Some(LiquidFull::At(temperature)) => (temperature.get().get::<degree_celsius>(), None),
            Some(LiquidFull::NotUpTo(end)) => {
                (end.get().get::<degree_celsius>(), Some("not full up to the end of the property data"))
            }
            None => (hot.get().get::<degree_celsius>(), Some("it is full already")),
        };
        CheckView {
            condition: "standstill".to_owned(),
            whose: Whose::Physics.word().to_owned(),
            source: self.budget.set.strength.high_side_words(),
            remarks: remark.into_iter().map(str::to_owned).collect(),
            ..made("receiver-liquid-full", value, design_c, Sense::AtLeast, "degC", None)
        }
    }
}

/// From net to gross of what floods the condenser: beyond the limit by both it fails, by the gross alone it is too close.
fn fill_check(condition: &str, [net, gross]: [f64; 2], limit: f64, source: &str) -> CheckView {
    CheckView {
        condition: condition.to_owned(),
        whose: Whose::Practice.word().to_owned(),
        source: source.to_owned(),
        ..made(
            FILL,
            0.5 * (net + gross),
            limit,
            Sense::AtMost,
            "1",
            Some(0.5 * (gross - net)).filter(|band| *band > 0.0),
        )
    }
}
