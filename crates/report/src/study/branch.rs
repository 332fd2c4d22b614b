//! What the bypass of a flooding valve sees in summer: is it shut?

use super::{
    ledger::Ledger,
    own_limit::own_or,
    resolve::Resolved,
    size::{SizedLine, SizedSet, check_view, not_checked},
    wording,
};
use crate::{
    figure,
    job::{HeadPressureAt, HeadPressureMethod},
    view::{BranchView, CheckView},
};
use physics::{
    branch_budget::{Branch, BranchBands, BranchBudget, budget, coil_drop_at},
    check::{Condition, Verdict},
    line::Outlet,
    operation::OperatingPoint,
    sizing::Service,
    uncertainty::Lever,
    units::{Pressure, unit::ratio::percent},
};

/// The check of the branch beside a flooding valve, and its shares where they could be found; none without such a valve.
pub(super) fn branch(
    sized: &SizedSet<'_>,
    resolved: &Resolved<'_>,
) -> Option<(CheckView, Option<BranchView>)> {
    let head_pressure = &sized.set.set.head_pressure;
    if head_pressure.method.value != HeadPressureMethod::FloodingValve {
        return None;
    }
    Some(match Budgeted::of(sized) {
        Ok(budgeted) => (budgeted.check(resolved), Some(budgeted.view())),
        Err(missing) => (unmade(missing), None),
    })
}

/// Notes what the budget rests on.
pub(super) fn note(ledger: &mut Ledger, resolved: &Resolved<'_>) {
    let (_, source, grade) = least_margin(resolved);
    ledger.note_words("limit branch-budget-margin", &source, &grade);
    let bands = resolved.library.limits().method_bands();
    ledger.note(
        format!(
            "95 % band of the branch of a flooding valve: friction of lines {:.0} %, coil {:.0} %",
            bands.friction.value.get::<percent>(),
            bands.coil_drop.value.get::<percent>()
        ),
        &bands.coil_drop.source,
    );
}

fn least_margin(resolved: &Resolved<'_>) -> (Pressure, String, String) {
    own_or(resolved, "branch-budget-margin", &resolved.library.limits().defaults().branch_budget_margin)
}

/// A budget with what it was drawn up from.
struct Budgeted {
    condition: Condition,
    valve_at: HeadPressureAt,
    coil_at_design: Pressure,
    opens_at: Pressure,
    /// Friction and fittings of the discharge line, which its doubt is a share of.
    discharge_friction: Pressure,
    found: BranchBudget,
}

impl Budgeted {
    /// `Err` says what is missing.
    fn of(sized: &SizedSet<'_>) -> Result<Self, String> {
        let set = sized.set.set;
        let stated = |what: Option<_>, missing: &str| what.ok_or_else(|| missing.to_owned());
        let opens_at = stated(
            set.head_pressure.opens_at_difference.map(|difference| difference.value),
            "the difference that opens the bypass (key head_pressure.opens_at_difference)",
        )?;
        let coil_at_design = stated(
            set.coil_drop.map(|drop| drop.value),
            "the pressure drop of the condenser coil at design (key coil_drop)",
        )?;
        let point = |condition| -> Option<OperatingPoint> {
            sized.set.points.iter().find(|(other, _)| *other == condition)?.1
        };
        let summer = point(Condition::Summer).ok_or("the design condition")?;
        let judged = point(Condition::Peak).unwrap_or(summer);
        let condition = judged.condition;
        let coil = coil_drop_at(coil_at_design, judged.mass_rate / summer.mass_rate);
        let valve_at = set.head_pressure.at.map_or(HeadPressureAt::Head, |at| at.value);
        let none = Pressure::default();
        let (branch, discharge_friction) = match valve_at {
            HeadPressureAt::Condenser => (Branch::AtCondenser { coil }, none),
            HeadPressureAt::Head => {
                let out = outlet(sized, &[Service::Discharge], condition)?;
                let back = outlet(sized, &[Service::Liquid, Service::Drain], condition)?;
                let branch = Branch::AtHead {
                    discharge_line: out.pressure_drop,
                    coil,
                    return_friction: back.friction_drop + back.fittings_drop,
                    // A free drain does not fill its tube: its liquid falls, and pushes nothing.
                    return_height: if sized.set.set.line(Service::Liquid).is_some() {
                        back.static_drop + back.acceleration_drop
                    } else {
                        none
                    },
                };
                (branch, out.friction_drop + out.fittings_drop)
            }
        };
        let found = budget(&branch, opens_at).map_err(|error| error.to_string())?;
        Ok(Self { condition, valve_at, coil_at_design, opens_at, discharge_friction, found })
    }

    fn view(&self) -> BranchView {
        BranchView {
            valve_at: self.place(),
            condition: wording::condition(self.condition).to_owned(),
            discharge_line_pa: self.found.discharge_line.value,
            coil_pa: self.found.coil.value,
            coil_at_design_pa: self.coil_at_design.value,
            return_friction_pa: self.found.return_friction.value,
            return_height_pa: self.found.return_height.value,
            total_pa: self.found.total.value,
            opens_at_pa: self.opens_at.value,
            margin_pa: self.found.margin.value,
        }
    }

    fn place(&self) -> &'static str {
        match self.valve_at {
            HeadPressureAt::Head => "head",
            HeadPressureAt::Condenser => "condenser",
        }
    }

    fn check(&self, resolved: &Resolved<'_>) -> CheckView {
        let (least_margin, source, _) = least_margin(resolved);
        let bands = resolved.library.limits().method_bands();
        let bands = BranchBands { friction: bands.friction.value, coil: bands.coil_drop.value };
        let check = self.found.check(least_margin, self.discharge_friction, &bands, self.condition);
        let mut view =
            check_view(&check, "the valve's opening difference, as stated in the job file".to_owned());
        if least_margin > Pressure::default() {
            let margin = figure::pressure_difference(least_margin.value).both(resolved.units());
            view.remarks.push(format!("the limit lies {margin} below it: {source}"));
        }
        view.remarks.push(
            match check.verdict {
                Verdict::Fails if self.condition == Condition::Peak => {
                    "hot gas bypasses the condenser all summer whenever the flow is at its peak, and its capacity is lost \
                     then"
                }
                Verdict::Fails => "hot gas bypasses the condenser all summer, and its capacity is lost",
                Verdict::TooClose => "above the limit hot gas would bypass the condenser all summer",
                _ => "the bypass stays shut in summer",
            }
            .to_owned(),
        );
        if self.condition == Condition::Peak {
            view.remarks.push(
                "the coil's drop is taken from design to peak by the flow to the power 1.75 (common practice, no source)"
                    .to_owned(),
            );
        } else {
            view.remarks.push("the flow is that of summer, for no peak is stated (key peak_flow)".to_owned());
        }
        if check.verdict == Verdict::TooClose && check.leading != Some(Lever::Friction) {
            view.matters_most = Some("pressure drop of the condenser coil".to_owned());
            view.settled_by = Some("two gauges across the condenser, read at the greatest flow".to_owned());
        }
        view
    }
}

/// The first of these lines that the set has, in its tube, at a condition.
fn outlet(sized: &SizedSet<'_>, services: &[Service], condition: Condition) -> Result<Outlet, String> {
    let line: Option<&SizedLine<'_>> =
        services.iter().find_map(|service| sized.lines.iter().find(|line| line.line.service == *service));
    let name = services.first().map_or("", |service| service.name());
    let line = line.ok_or_else(|| format!("a {name} line ([set.NAME.line.{name}])"))?;
    let (_, _, judged) =
        line.taken().ok_or_else(|| format!("a tube that can be taken for the {name} line"))?;
    let march = judged.at(condition).ok_or_else(|| wording::missing_condition(condition).to_owned())?.march;
    let march = march.map_err(|error| {
        format!("a state of the {name} line inside the property data ({})", wording::march_error(error))
    })?;
    Ok(march.value)
}

fn unmade(missing: String) -> CheckView {
    CheckView {
        remarks: vec!["whether the bypass of the flooding valve stays shut in summer".to_owned()],
        ..not_checked("branch-budget", "Pa", missing)
    }
}
