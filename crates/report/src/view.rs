//! What a study answers, in plain SI numbers: the stable JSON, and all that documents and charts draw from.
//!
//! Field names carry their units. Later versions only add fields. A document computes nothing: what it prints is here.

mod alternative;
mod branch;
mod brief;
mod budget;
mod compare;
mod field;
mod heat;
mod isometric;
mod kit;
mod materials;
mod oil_return;
mod pack;
mod placing;
mod profile;
mod record;
mod refrigerants;
mod riser;
mod start_up;
mod strength;
mod tags;

pub use alternative::*;
pub use branch::*;
pub use brief::*;
pub use budget::*;
pub use compare::*;
pub use field::*;
pub use heat::*;
pub use isometric::*;
pub use kit::*;
pub use materials::*;
pub use oil_return::*;
pub use pack::*;
pub use placing::*;
pub use profile::*;
pub use record::*;
pub use refrigerants::*;
pub use riser::*;
pub use start_up::*;
pub use strength::*;
pub use tags::*;

use serde::Serialize;

/// A tube as printed: the name people use, and its size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TubeView {
    /// `1/2 in OD`, with wall and standard where these are needed to tell tubes apart.
    pub name: String,
    /// Standard and form, `ASTM B280, annealed coil`.
    pub product: String,
    /// Outside diameter.
    pub od_mm: f64,
    /// Bore.
    pub bore_mm: f64,
    /// The plumber's nominal size, where the standard has one apart from the outside diameter.
    pub nominal: Option<String>,
    /// Source of the dimensions with its grade, where a list asks for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// Verdict of a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum VerdictView {
    /// Value and its 95 % band lie within the limit.
    Meets,
    /// The band crosses the limit.
    TooCloseToCall,
    /// Value and band lie beyond the limit.
    Fails,
    /// Not made; `missing` says what it wants.
    NotChecked,
}

impl VerdictView {
    /// In the words of the sheets.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Meets => "meets",
            Self::TooCloseToCall => "too close to call",
            Self::Fails => "fails",
            Self::NotChecked => "not checked",
        }
    }

    /// How grave it is: meets, not checked, too close to call, fails. The gravest of several stands for all.
    #[must_use]
    pub fn gravity(self) -> u8 {
        match self {
            Self::Meets => 0,
            Self::NotChecked => 1,
            Self::TooCloseToCall => 2,
            Self::Fails => 3,
        }
    }
}

/// One check. `value`, `limit`, `margin` and `band` are in `unit`; `margin` is positive inside the limit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckView {
    /// What is checked, in kebab-case: `saturated-temperature-drop`, `flash-margin`, `velocity`, `oil-return`, `run`, `rise`,
    /// `working-pressure`, `rated-pressure`, `branch-budget`, `receiver-fill`, `receiver-liquid-full`, `greatest-charge`, `room-concentration`...
    pub kind: String,
    /// Found value at the governing condition; absent when not checked.
    pub value: Option<f64>,
    /// The limit.
    pub limit: Option<f64>,
    /// Whether the value must stay at or below (`at most`) or at or above (`at least`) the limit.
    pub sense: &'static str,
    /// SI unit of the four numbers: `K`, `degC`, `m/s`, `m`, `1`, `kg`, `kg/m3`, `Pa` (pressures above the atmosphere of the
    /// site; differences), `Pa(g)` (above the atmosphere of the site), `Pa(a)` (above vacuum), `A`, `%`, `m3/s`.
    pub unit: &'static str,
    /// Who sets the limit: `maker`, `practice`, `physics`, `job`.
    pub whose: String,
    /// Source of the limit, with its grade.
    pub source: String,
    /// The condition that governs: `summer`, `low head`, `peak`, `least load`; empty where none applies.
    pub condition: String,
    /// Distance to the limit, positive inside.
    pub margin: Option<f64>,
    /// Half-width of the 95 % band of the value.
    pub band: Option<f64>,
    /// The verdict.
    pub verdict: VerdictView,
    /// What is missing for a check that could not be made, and the job-file key that brings it.
    pub missing: Option<String>,
    /// The input that matters most for a check that is too close to call.
    pub matters_most: Option<String>,
    /// The measurement that settles such a check.
    pub settled_by: Option<String>,
    /// Remarks: the other conditions' values, a rule of thumb beside the limit.
    pub remarks: Vec<String>,
}

impl CheckView {
    /// Margin as a share of the limit, by which checks on different quantities are ranked.
    #[must_use]
    pub fn relative_margin(&self) -> f64 {
        match (self.margin, self.limit) {
            // A relief valve set at the very rating that it guards is as it should be, and says nothing on the line.
            _ if self.kind == "rated-pressure" && self.verdict == VerdictView::Meets => f64::INFINITY,
            (Some(margin), Some(limit)) if limit != 0.0 => margin / limit.abs(),
            (Some(margin), _) => margin,
            _ => f64::INFINITY,
        }
    }
}

/// One stocked tube tried for a line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CandidateView {
    /// The tube.
    pub tube: TubeView,
    /// Longest run at which every check still meets; absent when there is none (see `stopped_by`).
    pub allowable_length_m: Option<f64>,
    /// Whether the allowable length is only the end of the searched range.
    pub not_limited: bool,
    /// The check that stops it, kebab-case.
    pub stopped_by: Option<String>,
    /// Why the tube is refused at this run, one phrase a check; empty when it meets all.
    pub refused_for: Vec<String>,
    /// Worst verdict of its checks at this run.
    pub verdict: VerdictView,
    /// The checks that refuse it, kebab-case, in the order of `refused_for`.
    pub refused_by: Vec<String>,
    /// The tube that the sheet takes.
    pub chosen: bool,
    /// Greatest velocity at peak, where it could be computed.
    pub velocity_max_m_s: Option<f64>,
    /// Saturated temperature drop at summer.
    pub saturated_temperature_drop_k: Option<f64>,
    /// Refrigerant held by the line at summer.
    pub charge_kg: Option<f64>,
}

/// One line of a set with the tube taken.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LineView {
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// The tube taken; absent when no stocked tube could be taken.
    pub tube: Option<TubeView>,
    /// Whether the job left the choice to the tool.
    pub chosen_by_tool: bool,
    /// Measured length.
    pub run_m: f64,
    /// Run plus fittings expressed as tube.
    pub equivalent_length_m: Option<f64>,
    /// Height gained in the direction of flow.
    pub lift_m: f64,
    /// Greatest velocity at peak flow (summer flow where no peak is stated).
    pub velocity_max_m_s: Option<f64>,
    /// Inlet less outlet pressure at summer, all effects.
    pub pressure_drop_pa: Option<f64>,
    /// The share of friction and fittings in it.
    pub friction_drop_pa: Option<f64>,
    /// Drop as change of saturation temperature at summer (vapour: all effects, dew line; liquid: friction and fittings, bubble line).
    pub saturated_temperature_drop_k: Option<f64>,
    /// Least flash margin along the line over the conditions; liquid only.
    pub flash_margin_k: Option<f64>,
    /// Refrigerant held at summer.
    pub charge_kg: Option<f64>,
    /// The checks, the governing one first.
    pub checks: Vec<CheckView>,
    /// Every stocked tube, smallest bore first.
    pub candidates: Vec<CandidateView>,
    /// The next smaller size, the tube taken, the next larger size; empty where no tube is taken.
    pub alternatives: Vec<AlternativeView>,
    /// Oil return, where gas rises in the line.
    pub oil_return: Option<OilReturnView>,
    /// Reducers that the connections of the equipment ask for.
    pub reducers: Vec<ReducerView>,
    /// Inputs that were read and do not count in these numbers.
    pub not_counted: Vec<String>,
    /// Sentences on the result: caveats of validity, how the handbook's equivalent length compares.
    pub remarks: Vec<String>,
    /// Share of acceleration in the pressure drop at summer.
    pub acceleration_drop_pa: Option<f64>,
    /// What it exchanges with its places.
    pub heat: Option<HeatView>,
    /// Where its flow changes, condition by condition.
    pub phase_changes: Vec<PhaseChangeView>,
    /// States along a liquid line at the condition that governs its flash margin.
    pub profile: Option<LineProfileView>,
    /// Oil return over the load, of a rising gas line.
    pub riser_flux: Option<RiserFluxView>,
    /// Strength of the line in the tube taken; absent when none could be taken.
    pub strength: Option<StrengthView>,
}

/// One operating point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ConditionView {
    /// `summer`, `low head`, `peak`, `least load`.
    pub name: String,
    /// What the condition would need when it can not be formed.
    pub missing: Option<String>,
    /// Bubble temperature at the condenser.
    pub condensing_bubble_c: Option<f64>,
    /// Dew temperature at the condenser.
    pub condensing_dew_c: Option<f64>,
    /// Absolute pressure at the condenser.
    pub condensing_pressure_pa: Option<f64>,
    /// The same above the atmosphere of the site.
    pub condensing_gauge_pa: Option<f64>,
    /// Temperature of the gas entering the discharge line.
    pub discharge_gas_c: Option<f64>,
    /// Temperature of the liquid entering the liquid line.
    pub liquid_c: Option<f64>,
    /// Mass rate through each line.
    pub mass_rate_kg_s: Option<f64>,
}

/// One set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetSizeView {
    /// Name from the job file; goes on the tags.
    pub name: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// Worst verdict of all checks of the set.
    pub verdict: VerdictView,
    /// Run of the route.
    pub run_m: f64,
    /// Run covered by the factory charge.
    pub covered_run_m: Option<f64>,
    /// The maker's longest run.
    pub longest_run_m: Option<f64>,
    /// The operating points.
    pub conditions: Vec<ConditionView>,
    /// Checks of the set as a whole (run and rise against the maker's limits, the branch of a flooding valve).
    pub checks: Vec<CheckView>,
    /// Pressure across the bypass of a flooding valve, where all that it takes is stated.
    pub branch: Option<BranchView>,
    /// The ready-made tube set, where the maker offers any.
    pub kit: Option<KitView>,
    /// The lines.
    pub lines: Vec<LineView>,
    /// The inputs as understood: what, in US units, in SI units.
    pub echo: Vec<EchoView>,
    /// Assumptions made, each with the key that changes it.
    pub assumptions: Vec<String>,
    /// The route in space.
    pub isometric: IsometricView,
}

/// An input as understood.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EchoView {
    /// Key in the job file.
    pub what: String,
    /// In US units.
    pub us: String,
    /// In SI units.
    pub si: String,
}

/// A value taken from the tables, with where it comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SourceView {
    /// What was taken.
    pub what: String,
    /// Its source.
    pub source: String,
    /// Its grade: `published`, `memory`, `common practice`, `computed`...
    pub grade: String,
}

/// Answer of `lineset size`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeView {
    /// Name of the job.
    pub job: String,
    /// Worst verdict of all sets.
    pub verdict: VerdictView,
    /// The sets.
    pub sets: Vec<SetSizeView>,
    /// What this sheet does not contain.
    pub not_contained: Vec<String>,
    /// The ledger of values taken from the tables.
    pub sources: Vec<SourceView>,
    /// Safety cautions.
    pub cautions: Vec<String>,
}

/// Charge of one line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LineChargeView {
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// Tube of this run.
    pub tube: TubeView,
    /// Tube that the factory charge covers.
    pub covered_tube: TubeView,
    /// Temperature of the refrigerant: of a discharge line where it ends, of any other where it begins.
    pub temperature_c: f64,
    /// Absolute pressure there.
    pub pressure_pa: f64,
    /// The same above the atmosphere of the site, where its altitude is known.
    pub gauge_pa: Option<f64>,
    /// Mean density along the line.
    pub density_kg_m3: f64,
    /// Computed charge per metre of this tube.
    pub charge_per_metre_kg_m: f64,
    /// Computed charge per metre of the covered tube.
    pub covered_charge_per_metre_kg_m: f64,
    /// Computed charge of this run.
    pub this_run_kg: f64,
    /// Computed charge of the covered run in the covered tube.
    pub covered_kg: f64,
    /// Difference of the two.
    pub computed_added_kg: f64,
    /// The maker's charge per length for this line, where stated.
    pub maker_rate_kg_m: Option<f64>,
    /// What the maker's rate makes of the difference in run.
    pub maker_added_kg: Option<f64>,
    /// `computed`, `maker`, or `nothing` (shorter than covered, with a receiver).
    pub used: String,
    /// What this line adds in the end (negative: less than the factory charge).
    pub added_kg: f64,
}

/// Charge per metre of one stocked tube at this condition.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TubeChargeView {
    /// The tube.
    pub tube: TubeView,
    /// Charge per metre with discharge gas.
    pub discharge_kg_m: Option<f64>,
    /// Charge per metre with liquid.
    pub liquid_kg_m: Option<f64>,
    /// Charge per metre with suction gas.
    pub suction_kg_m: Option<f64>,
}

/// Added charge against run for one tube of one service; a series of the chart.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChargeSeriesView {
    /// Tubes, `1/2 in OD + 3/8 in OD`.
    pub name: String,
    /// Run, m, and added charge, kg.
    pub points: Vec<[f64; 2]>,
    /// The tubes of this run.
    pub this: bool,
}

/// An assumption of `charge` from flags, and the option that changes it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AssumptionView {
    /// What was assumed, in words.
    pub what: String,
    /// The option or key that changes it.
    pub change_with: String,
}

/// Charge of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetChargeView {
    /// Name of the set.
    pub name: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// This run.
    pub run_m: f64,
    /// Run covered by the factory charge.
    pub covered_run_m: Option<f64>,
    /// The maker's longest run.
    pub longest_run_m: Option<f64>,
    /// Charge shipped.
    pub factory_charge_kg: Option<f64>,
    /// To be weighed in on top of the factory charge for the lines; absent when nothing says what the factory charge covers.
    pub added_charge_kg: Option<f64>,
    /// Half-width of its 95 % band.
    pub band_kg: Option<f64>,
    /// Factory charge plus added charge, winter with it; absent when one of them is not known.
    pub total_charge_kg: Option<f64>,
    /// Ours, beside the maker's where that was used.
    pub computed_added_kg: Option<f64>,
    /// One sentence: how the added charge came about.
    pub how: String,
    /// The lines.
    pub lines: Vec<LineChargeView>,
    /// Charge per metre by tube size at this condition.
    pub by_tube: Vec<TubeChargeView>,
    /// Added charge against run, for the chart.
    pub series: Vec<ChargeSeriesView>,
    /// Checks (run against the maker's longest).
    pub checks: Vec<CheckView>,
    /// Assumptions and what changes each.
    pub assumptions: Vec<AssumptionView>,
    /// Remarks.
    pub remarks: Vec<String>,
    /// What the set as a whole needs, takes up and may hold; absent when answered from flags.
    pub budget: Option<BudgetView>,
}

/// Answer of `lineset charge`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChargeView {
    /// Name of the job; absent when answered from flags.
    pub job: Option<String>,
    /// Worst verdict.
    pub verdict: VerdictView,
    /// The sets.
    pub sets: Vec<SetChargeView>,
    /// What this sheet does not contain.
    pub not_contained: Vec<String>,
    /// The ledger of values taken from the tables.
    pub sources: Vec<SourceView>,
    /// Safety cautions.
    pub cautions: Vec<String>,
}

/// Answer of `lineset tubes`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TubesView {
    /// The stocked tubes, product by product, smallest outside diameter first.
    pub tubes: Vec<TubeView>,
}

/// Answer of `lineset sources`.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SourcesView {
    /// All sources of the tables.
    pub sources: Vec<SourceView>,
}
