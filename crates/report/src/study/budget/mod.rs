//! The charge budget: from what the lines add to what the circuit as a whole needs, takes up and may hold.

mod allowed;
mod receiver;
mod standstill;
#[cfg(test)]
mod tests;
mod winter;

use super::{
    check,
    coil::Coils,
    compare::{rated, rated::Rated, summer},
    ledger::Ledger,
    resolve::{Resolved, ResolvedSet},
};
use crate::{
    figure::{self, Units},
    job::PartKind,
    view::{BudgetPartView, BudgetView, CheckView, SetChargeView},
};
use physics::{check::Whose, outcome::Method, sizing::Service, units::unit::ratio::ratio};
use winter::Winter;

/// What the budgets of all sets of a job share.
pub(super) struct Desk<'a> {
    resolved: &'a Resolved<'a>,
    /// The condensers, or why they can not be rated.
    rated: Result<Vec<Rated>, String>,
}

impl<'a> Desk<'a> {
    pub(super) fn new(resolved: &'a Resolved<'a>) -> Self {
        let mut faults = Vec::new();
        let rated = match rated::all(resolved.job, resolved, &mut faults) {
            Ok(rated) => match faults.first() {
                None => Ok(rated),
                Some(fault) => Err(fault.message.clone()),
            },
            Err(error) => Err(error.to_string()),
        };
        Self { resolved, rated }
    }

    fn units(&self) -> Units {
        self.resolved.units()
    }

    /// Adds the budget of a set, by its place among the sets, to what its lines add.
    pub(super) fn add(&self, index: usize, view: &mut SetChargeView, ledger: &mut Ledger) {
        let set = &self.resolved.sets[index];
        let budget = SetBudget::new(self, index, set, view);
        let (budget, checks) = budget.view(ledger);
        view.total_charge_kg = budget.total_kg;
        view.checks.extend(checks);
        view.budget = Some(budget);
    }
}

/// The budget of one set in the making.
struct SetBudget<'a> {
    desk: &'a Desk<'a>,
    set: &'a ResolvedSet<'a>,
    lines: &'a SetChargeView,
    coils: Result<Coils, String>,
    winter: Winter,
    added_kg: Option<f64>,
    total_kg: Option<f64>,
}

impl<'a> SetBudget<'a> {
    fn new(desk: &'a Desk<'a>, index: usize, set: &'a ResolvedSet<'a>, lines: &'a SetChargeView) -> Self {
        let coils = match &desk.rated {
            Ok(rated) => Coils::of(desk.resolved.job, rated, set),
            Err(why) => Err(format!("condensers that can be rated ({why})")),
        };
        let winter = Winter::of(desk, index, set, &coils);
        let added_kg = lines.added_charge_kg.zip(winter.added_kg).map(|(lines, winter)| lines + winter);
        let total_kg = added_kg.zip(lines.factory_charge_kg).map(|(added, factory)| added + factory);
        Self { desk, set, lines, coils, winter, added_kg, total_kg }
    }

    fn view(&self, ledger: &mut Ledger) -> (BudgetView, Vec<CheckView>) {
        if self.coils.is_ok() {
            note(ledger, "what the condenser holds", Method::CoilZones, "derived");
        }
        if self.winter.at_lowest_air.is_some() {
            note(ledger, "share of the condenser that floods", Method::FloodedCondenser, "published");
            note(ledger, "winter charge", Method::WinterCharge, "derived");
        }
        let (receiver, mut checks) = receiver::receiver(self);
        let of_receiver = checks.len();
        checks.extend(allowed::checks(self, ledger));
        let (allowed, stop_kg, stop) =
            allowed::answer(self, &checks[of_receiver..], &checks[..of_receiver], receiver.as_ref());
        let budget = BudgetView {
            added_kg: self.added_kg,
            total_kg: self.total_kg,
            allowed,
            stop_kg,
            stop,
            parts: self.parts(receiver.as_ref()),
            winter: self.winter.view(),
            receiver,
            standstill: standstill::standstill(self),
            notices: allowed::notices(self),
            cylinders: allowed::cylinders(self),
            oil_kg: self.oil_kg(),
            remarks: self.remarks(),
        };
        (budget, checks)
    }

    /// Total, or what is known of it.
    fn charge_kg(&self) -> Option<f64> {
        self.total_kg.or(self.lines.factory_charge_kg)
    }

    fn band_kg(&self) -> f64 {
        self.lines.band_kg.unwrap_or(0.0)
    }

    fn oil_kg(&self) -> Option<f64> {
        let share = self.set.set.oil_per_charge?.value.get::<ratio>();
        Some(share * self.added_kg?.max(0.0))
    }

    /// Lines, condenser, receiver, winter; the head is what remains of the factory charge.
    fn parts(&self, receiver: Option<&crate::view::ReceiverView>) -> Vec<BudgetPartView> {
        let part = |part: &str, low_kg, high_kg, how: String| BudgetPartView {
            part: part.to_owned(),
            low_kg,
            high_kg,
            how,
        };
        let sum = |of: fn(&crate::view::LineChargeView) -> f64| {
            (!self.lines.lines.is_empty()).then(|| self.lines.lines.iter().map(of).sum::<f64>())
        };
        let lines_kg = sum(|line| line.this_run_kg);
        let covered_kg = sum(|line| line.covered_kg).filter(|_| self.lines.covered_run_m.is_some());
        let mut parts =
            vec![part("lines of this run", lines_kg, lines_kg, "density times bore, table below".to_owned())];
        let coil = match &self.coils {
            Ok(coils) => {
                let (low, high) = (coils.low_kg, coils.high_kg);
                parts.push(part(
                    "condenser in summer",
                    Some(low),
                    Some(high),
                    "without slip between vapour and liquid, and with slip; zones by their share of the heat"
                        .to_owned(),
                ));
                Some((low, high))
            }
            Err(missing) => {
                parts.push(part("condenser in summer", None, None, format!("needs {missing}")));
                None
            }
        };
        let seal_kg = receiver.map(|receiver| receiver.seal_kg);
        if let Some(seal_kg) = seal_kg {
            let how = match self.set.set.receiver.seal {
                Some(_) => "liquid under its outlet",
                None => "nothing counts under its outlet (key receiver_seal)",
            };
            parts.push(part("receiver", Some(seal_kg), Some(seal_kg), how.to_owned()));
        }
        let floods = self.winter.floods;
        let winter = self.winter.in_factory_charge_kg();
        if floods {
            let at = self.winter.at_lowest_air.map(|flooded| flooded.net_kg);
            let how = match &self.winter.missing {
                Some(missing) if at.is_none() => format!("needs {missing}"),
                _ => {
                    "floods the condenser in the coldest air, lies in the receiver in summer (net)".to_owned()
                }
            };
            parts.push(part("winter", at, at, how));
        }
        // What the head holds is in the factory charge beside the covered lines, and no plate says it.
        let head =
            self.lines.factory_charge_kg.zip(covered_kg).zip(coil).map(|((factory, covered), coil)| {
                let rest = factory - covered - seal_kg.unwrap_or(0.0);
                let (least, most) = winter.unwrap_or((0.0, 0.0));
                (rest - coil.1 - most, rest - coil.0 - least)
            });
        let head = head.filter(|_| !floods || winter.is_some());
        let how = match head {
            Some((_, most)) if most < 0.0 => {
                "what remains of the factory charge: LESS THAN NOTHING, so that charge does not cover all of these"
            }
            Some(_) => "what remains of the factory charge",
            None => "what remains of the factory charge once the others are known",
        };
        parts.push(part("head", head.map(|head| head.0), head.map(|head| head.1), how.to_owned()));
        parts
    }

    fn remarks(&self) -> Vec<String> {
        let mut remarks = vec![
            "the total by scale is the only acceptance: neither a clear sight glass nor a pressure says that the charge is \
             right"
                .to_owned(),
        ];
        if self.is_blend() {
            remarks.push(format!(
                "{} is a blend: take it out of the cylinder as liquid, and meter it into the running suction",
                self.set.refrigerant
            ));
        }
        if let Some(identity) = self.identity() {
            let potential = identity.warming_potential.value.ar4.or(identity.warming_potential.value.ar5);
            let potential = potential.map_or_else(String::new, |potential| format!(", GWP {potential:.0}"));
            remarks.push(format!(
                "may NEW equipment still be put in with {}{potential}? Rules differ by place, kind of equipment and date, and no \
                 table here holds them: ask the maker and the authority",
                identity.name
            ));
        }
        let liquid = self.set.set.line(Service::Liquid);
        let shuts = liquid.iter().flat_map(|line| &line.parts).map(|part| &part.value);
        let shuts: u32 =
            shuts.filter(|part| super::strength::CLOSES.contains(&part.kind)).map(|part| part.count).sum();
        if shuts >= 2 {
            remarks.push(format!(
                "{shuts} valves can shut the liquid line in: liquid between two of them bursts the tube when it warms up; \
                 leave one open or protect the stretch (`lineset size` says by how much it rises)"
            ));
        }
        if self.winter.state == winter::COVERED || self.winter.at_lowest_air.is_some() {
            remarks.push(
                "the winter charge holds for every layout of the condensers: discharge air that is drawn in again warms \
                 them, and they flood less"
                    .to_owned(),
            );
        }
        remarks
    }

    fn is_blend(&self) -> bool {
        use tables::refrigerants::Kind;
        self.identity().is_some_and(|identity| identity.kind == Kind::Blend)
    }

    fn identity(&self) -> Option<&tables::refrigerants::Refrigerant> {
        self.desk.resolved.library.refrigerants().find(&self.set.refrigerant).ok()
    }

    fn has_part(&self, service: Service, kind: PartKind) -> bool {
        self.set.set.line(service).is_some_and(|line| line.parts.iter().any(|part| part.value.kind == kind))
    }
}

fn note(ledger: &mut Ledger, what: &str, method: Method, grade: &str) {
    ledger.note_words(what, method.source(), grade);
}

/// A check that could not be made.
fn unmade(kind: &str, condition: &str, unit: &'static str, whose: Whose, missing: String) -> CheckView {
    CheckView {
        condition: condition.to_owned(),
        whose: whose.word().to_owned(),
        ..check::unmade(kind, unit, missing)
    }
}

fn celsius_words(temperature_c: f64, units: Units) -> String {
    figure::temperature(temperature_c).both(units)
}
