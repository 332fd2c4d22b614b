//! Strength of one line: what presses, what bears it, and what heat, fast valves and gas pulses ask of the fitter.

use super::VerdictView;
use serde::Serialize;

/// Strength of one line in the tube taken. Gauge pressures are above the atmosphere of the site.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StrengthView {
    /// What the tube bears; absent where the tables do not say (see `tube_unrated`).
    pub tube: Option<TubeRatingView>,
    /// Why the tube has no rating.
    pub tube_unrated: Option<String>,
    /// Temperature whose bubble pressure the line must hold at standstill.
    pub design_temperature_c: f64,
    /// Where that temperature comes from.
    pub design_temperature_source: String,
    /// Bubble pressure there; absent beyond the property data (see `standstill_unknown`).
    pub standstill_gauge_pa: Option<f64>,
    /// Why that pressure is not known.
    pub standstill_unknown: Option<String>,
    /// All that presses on the line or bears its pressure.
    pub bounds: Vec<BoundView>,
    /// The pair of them with the least pressure left.
    pub governing: Option<PressurePairView>,
    /// Liquid that can be shut in; liquid lines only.
    pub trapped: Option<TrappedView>,
    /// Surge of the fastest valve; liquid lines with a fast valve only.
    pub surge: Option<SurgeView>,
    /// Growth by heat; discharge and suction lines only.
    pub expansion: Option<ExpansionView>,
    /// Greatest spacing of supports, a direction each.
    pub supports: Vec<SupportView>,
    /// Greatest distance of the first support from the unit.
    pub first_support_m: f64,
    /// Least radius of bends; lines that are bent only.
    pub bend: Option<BendView>,
    /// Gas pulses; discharge lines of a stated compressor only.
    pub pulsation: Option<PulsationView>,
}

/// Working pressure of a tube, with what it stands on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TubeRatingView {
    /// The working pressure.
    pub working_gauge_pa: f64,
    /// Rules that it follows, `american` or `european`; they differ by up to a quarter.
    pub basis: String,
    /// Temper that counts once the tube is joined.
    pub temper: String,
    /// Temperature of the allowable stress.
    pub temperature_c: f64,
    /// Allowable stress there.
    pub allowable_stress_pa: f64,
    /// Least wall.
    pub least_wall_mm: f64,
    /// Greatest outside diameter.
    pub greatest_od_mm: f64,
    /// Sources of stress and tolerances, with their grades.
    pub source: String,
    /// What was assumed for it.
    pub assumed: Option<String>,
}

/// One pressure that presses on the line or that something of it bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoundView {
    /// `standstill`, `surge`, `cut-out`, `relief`, `tube`, or the name of a part.
    pub name: String,
    /// Whether it presses on ratings.
    pub presses: bool,
    /// Whether something must stay below it.
    pub bears: bool,
    /// Its pressure.
    pub gauge_pa: f64,
    /// Half-width of its 95 % band.
    pub band_pa: f64,
}

/// What presses, and what bears it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PressurePairView {
    /// Name of what presses.
    pub pressing: String,
    /// Its pressure.
    pub pressing_gauge_pa: f64,
    /// Name of what bears it.
    pub bearing: String,
    /// Its pressure.
    pub bearing_gauge_pa: f64,
    /// Pressure left between them.
    pub margin_pa: f64,
    /// Verdict.
    pub verdict: VerdictView,
}

/// Liquid that can be shut in between closing parts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrappedView {
    /// The parts that close, in the order written, with the valve at an end of the line.
    pub closing_parts: Vec<String>,
    /// Each neighbouring pair.
    pub sections: Vec<TrappedSectionView>,
    /// How fast and how far its pressure rises; absent without a pair or beyond the property data.
    pub rise: Option<TrappedRiseView>,
}

/// A piece of line between two parts that close.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrappedSectionView {
    /// The part before it.
    pub from: String,
    /// The part behind it.
    pub to: String,
    /// Whether a relief valve is written between the two.
    pub relieved: bool,
}

/// A section full of liquid that warms up.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TrappedRiseView {
    /// Temperature of the liquid that is shut in: the coldest of the conditions.
    pub start_c: f64,
    /// Its pressure.
    pub start_gauge_pa: f64,
    /// Pressure rise per kelvin at the start.
    pub rise_pa_per_k: f64,
    /// The lowest rating; absent where nothing is rated.
    pub limit_gauge_pa: Option<f64>,
    /// Whose rating it is.
    pub limit_of: Option<String>,
    /// Warming that brings the section there.
    pub warming_k: Option<f64>,
    /// Whether that lies beyond the property data, on the last slope.
    pub beyond_data: bool,
}

/// Surge of a valve that stops the liquid.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SurgeView {
    /// The valve.
    pub valve: String,
    /// Time in which it closes; absent where not stated (at once is taken).
    pub closing_time_s: Option<f64>,
    /// Time in which the pressure wave runs to the far end and back: a valve that closes within it is fast.
    pub return_time_s: f64,
    /// Whether the valve is fast, so that the whole surge is felt.
    pub fast: bool,
    /// Velocity that is stopped.
    pub velocity_m_s: f64,
    /// Speed of the pressure wave.
    pub wave_speed_m_s: f64,
    /// Pressure rise at the valve.
    pub rise_pa: f64,
    /// Highest pressure of the line before.
    pub operating_gauge_pa: f64,
}

/// Growth of the legs by heat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExpansionView {
    /// Temperature at which the line is fitted.
    pub fitted_c: f64,
    /// Temperature furthest from that: the hottest gas of a discharge line, the cold gas of a suction line.
    pub extreme_c: f64,
    /// Growth of the whole run; negative when it shrinks.
    pub growth_m: f64,
    /// The legs, from the head on; empty where the route is written by run and lift.
    pub legs: Vec<LegExpansionView>,
}

/// Growth of one straight leg.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LegExpansionView {
    /// Direction as in the job file.
    pub direction: String,
    /// Length.
    pub length_m: f64,
    /// Growth; negative when it shrinks.
    pub growth_m: f64,
    /// The longest leg beside it, which bends with it.
    pub beside_m: Option<f64>,
    /// Greatest bending stress in the legs beside it over the allowable one.
    pub utilisation: Option<f64>,
    /// Whether the legs beside it are long enough to take the growth up.
    pub taken_up: bool,
    /// Developed length of an offset or loop that takes the growth up by itself.
    pub offset_m: f64,
}

/// Spacing of supports.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SupportView {
    /// `level` or `upright`.
    pub direction: String,
    /// Greatest spacing: the smaller of code and SP-58.
    pub spacing_m: f64,
    /// Which of them.
    pub rule: String,
    /// Source with its grade.
    pub source: String,
}

/// Least radius of a bend, to the centre line.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BendView {
    /// With a bender; absent for sizes that the table does not hold.
    pub with_bender_m: Option<f64>,
    /// By hand or spring.
    pub by_hand_m: f64,
}

/// Gas pulses of a reciprocating compressor. A remark, never a refusal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PulsationView {
    /// Pulses per second.
    pub frequency_hz: f64,
    /// Speed of sound of the gas at summer.
    pub sound_speed_m_s: f64,
    /// Quarter of the wavelength.
    pub quarter_wave_m: f64,
    /// Lengths that resonate: odd multiples of the quarter wave.
    pub resonant_m: Vec<f64>,
    /// Band around each that is to be avoided, as a share of it.
    pub band: f64,
    /// Distance to the first anchor, where stated.
    pub first_anchor_m: Option<f64>,
    /// The resonant length that the first anchor lies at.
    pub resonates_at_m: Option<f64>,
}
