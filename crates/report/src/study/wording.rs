//! The words of the studies: one place, so that text, JSON and charts say the same.

use super::size::worst;
use crate::{
    figure::{self, Units},
    job::Arrangement,
    view::{PhaseView, VerdictView},
};
use physics::{
    check::{CheckKind, Condition, Measure, Sense, Verdict, Why},
    fluid::{OutsideRange, Refrigerant, Region},
    line::{MarchError, Stream},
    outcome::{Caveat, Caveats, Method},
    sizing::Judged,
    uncertainty::Lever,
    units::{AbsolutePressure, unit::thermodynamic_temperature::degree_celsius},
};
use tables::{limits::Quantity, materials::Refusal, refrigerants::Refrigerant as Identity};

pub(super) fn kind(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::SaturatedTemperatureDrop => "saturated-temperature-drop",
        CheckKind::FlashMargin => "flash-margin",
        CheckKind::Velocity => "velocity",
        CheckKind::OilReturn => "oil-return",
        CheckKind::Run => "run",
        CheckKind::Rise => "rise",
        CheckKind::WorkingPressure => "working-pressure",
        CheckKind::RatedPressure => "rated-pressure",
        CheckKind::BranchBudget => "branch-budget",
        _ => "check",
    }
}

pub(super) fn condition(condition: Condition) -> &'static str {
    match condition {
        Condition::Summer => "summer",
        Condition::LowHead => "low head",
        Condition::Peak => "peak",
        Condition::LeastLoad => "least load",
        Condition::ColdNight => "cold night",
    }
}

pub(super) fn phase(stream: Stream) -> PhaseView {
    match stream {
        Stream::Liquid => PhaseView::Liquid,
        Stream::TwoPhase => PhaseView::TwoPhase,
        Stream::Vapour => PhaseView::Vapour,
    }
}

pub(super) fn sense(sense: Sense) -> &'static str {
    match sense {
        Sense::AtMost => "at most",
        Sense::AtLeast => "at least",
    }
}

pub(super) fn unit(measure: Measure) -> &'static str {
    match measure {
        Measure::TemperatureDifference(_) => "K",
        Measure::Velocity(_) => "m/s",
        Measure::Length(_) => "m",
        Measure::Ratio(_) => "1",
        Measure::GaugePressure(_) => "Pa",
        Measure::Pressure(_) => "Pa",
    }
}

pub(super) fn verdict(verdict: Verdict) -> VerdictView {
    match verdict {
        Verdict::Meets => VerdictView::Meets,
        Verdict::TooClose => VerdictView::TooCloseToCall,
        Verdict::Fails => VerdictView::Fails,
        Verdict::NotChecked(_) => VerdictView::NotChecked,
    }
}

/// The input that matters most for a check that is too close to call, and the one measurement that settles it.
pub(super) fn settling(kind: CheckKind, lever: Lever) -> (&'static str, &'static str) {
    let (input, measurement) = of_lever(lever);
    match (kind, lever) {
        // Whether liquid boils is read where it is nearest to it, whatever was in doubt on the way there.
        (
            CheckKind::FlashMargin,
            Lever::Density | Lever::Viscosity | Lever::Friction | Lever::HeatTransfer,
        ) => (input, "pressure and temperature of the liquid at the end of the line"),
        _ => (input, measurement),
    }
}

/// The input behind a doubt, and what measures it.
fn of_lever(lever: Lever) -> (&'static str, &'static str) {
    match lever {
        Lever::Density => (
            "density of the refrigerant",
            "pressure and temperature at the inlet of the line, on the running machine",
        ),
        Lever::Viscosity => {
            ("viscosity of the refrigerant", "pressure drop of the line between two gauges, at a known load")
        }
        Lever::Friction => {
            ("friction of tube and fittings", "pressure drop of the line between two gauges, at a known load")
        }
        Lever::Length => ("length of the route", "the way of the tube by tape"),
        Lever::OilFlux => (
            "least flux that carries oil",
            "oil level in the compressor's sight glass over some hours at least load",
        ),
        Lever::HeatTransfer => {
            ("heat exchange along the line", "temperature of the line at both ends, under its insulation")
        }
        Lever::Surroundings => (
            "temperature of the surroundings",
            "air where the line lies (roof, attic, chase, room), at the condition judged",
        ),
        Lever::Load => ("load", "ice weighed over an hour, or the compressor's amps against its sheet"),
        _ => ("an input", "a measurement on the running machine"),
    }
}

/// What an operating point needs, with the key that brings it.
pub(super) fn missing_condition(condition: Condition) -> &'static str {
    match condition {
        Condition::Summer => "the design condition",
        Condition::LowHead => "the lowest head pressure (key head_pressure.setting)",
        Condition::Peak => {
            "the flow at the start of freeze or pull-down (key peak_flow; 1 if it never exceeds design)"
        }
        Condition::LeastLoad => "the least load (key least_load; 100 % if it never falls below design)",
        Condition::ColdNight => {
            "the coldest air and the lowest head pressure (keys site.lowest_air, head_pressure.setting)"
        }
    }
}

pub(super) fn why(why: Why) -> String {
    match why {
        Why::ConditionMissing(condition) => missing_condition(condition).to_owned(),
        Why::Unmarched(error) => format!("a state inside the property data ({})", march_error(error)),
        Why::PressureUnknown => "a pressure that the property data hold".to_owned(),
        Why::Unrated => "an allowable stress of the tube at this temperature".to_owned(),
        Why::OutsideMethod => "a state at which the method has an answer".to_owned(),
        _ => "more input".to_owned(),
    }
}

pub(super) fn march_error(error: MarchError) -> String {
    match error {
        MarchError::PressureUsedUp { .. } | MarchError::NoInletPressure => {
            "friction uses up the pressure".to_owned()
        }
        MarchError::Property { source, .. } => outside(source),
        other => other.to_string(),
    }
}

/// What to do where no refrigerant has the name.
pub(super) const KNOWN_REFRIGERANTS: &str = "the command `lineset refrigerants` lists those that are known";

/// Why a refrigerant must not run in a material, and what to write instead.
pub(super) fn material(refusal: &Refusal) -> (String, String) {
    let message = format!("{} must not run in {}: {}", refusal.refrigerant, refusal.material, refusal.reason);
    let help = format!(
        "every tube of this tool is {}: write another refrigerant, or take {}",
        refusal.material, refusal.instead
    );
    (message, help)
}

/// That `what` leaves no two-phase region, and what to write instead.
pub(super) fn beyond_critical(what: &str, identity: &Identity) -> (String, String) {
    let critical = identity.critical_temperature.value.get::<degree_celsius>();
    let message = format!(
        "{what} is at or above the critical point of {name}: nothing condenses there; heat is given off in a gas cooler, \
         which this tool does not model",
        name = identity.name
    );
    let help = format!(
        "stay below the critical temperature, {}, and pressure, {}",
        figure::saturation_temperature(critical).both(Units::Us),
        figure::absolute_pressure(identity.critical_pressure.value.pascal()).both(Units::Us)
    );
    (message, help)
}

/// What the two ends of the two-phase region are for.
pub(super) const DEW_USE: &str = "superheat: compare suction gas temperature with dew";
pub(super) const BUBBLE_USE: &str = "subcooling: compare liquid temperature with bubble";

/// Nearness of the end of the property data that a march warns of, K of bubble temperature.
pub(super) const NEAR_CRITICAL_K: f64 = 15.0;
pub(super) const NEAR_CRITICAL: &str = "within 15 K (27 °F) of the end of the property data, close to the critical point: \
     properties are less certain, and change fast with temperature";

/// The warning of a march for states that none was made for.
pub(super) fn near_critical(fluid: &dyn Refrigerant, pressure: AbsolutePressure) -> Vec<String> {
    let near = fluid.distance_to_last_saturation(pressure).is_ok_and(|distance| distance < NEAR_CRITICAL_K);
    near.then(|| NEAR_CRITICAL.to_owned()).into_iter().collect()
}

/// A refusal of the property data, in both units.
pub(super) fn outside(refusal: OutsideRange) -> String {
    let region = refusal.region.to_string();
    format!(
        "{} of {} is outside the property data, {} to {}",
        region.split(" (").next().unwrap_or_default(),
        in_both_units(refusal, refusal.value),
        in_both_units(refusal, refusal.low),
        in_both_units(refusal, refusal.high)
    )
}

/// A value of a refusal's region in both units.
pub(super) fn in_both_units(refusal: OutsideRange, value: f64) -> String {
    let figure = match refusal.region {
        Region::SaturationTemperature => figure::saturation_temperature(value - 273.15),
        Region::Temperature => figure::temperature(value - 273.15),
        Region::BubblePressure | Region::DewPressure => figure::absolute_pressure(value),
        _ => figure::temperature_difference(value),
    };
    figure.both(Units::Us)
}

/// Why a tube is refused, in a phrase; none where the check does not refuse it.
pub(super) fn refusal(check: &physics::check::Check) -> Option<String> {
    if !check.kind.depends_on_tube() {
        return None;
    }
    let name = kind(check.kind).replace('-', " ");
    let at = check.condition.map_or(String::new(), |at| format!(" at {}", condition(at)));
    match check.verdict {
        Verdict::Meets => None,
        Verdict::NotChecked(reason) if reason.is_of_every_tube() => None,
        Verdict::NotChecked(reason) => {
            Some(format!("{name}{at} can not be computed: it needs {}", why(reason)))
        }
        Verdict::TooClose => Some(format!("{name}{at} is too close to call")),
        Verdict::Fails => Some(match check.trouble {
            Some(error) => format!("{name}{at}: {}", march_error(error)),
            None => match check.limit.sense {
                Sense::AtMost => format!("{name}{at} is over its limit"),
                Sense::AtLeast => format!("{name}{at} is under its limit"),
            },
        }),
    }
}

/// The checks of a tube in words: the worst verdict, and which of them refuse it for what.
pub(super) struct Judgement {
    pub(super) verdict: VerdictView,
    pub(super) refused_for: Vec<String>,
    /// The kinds, in the order of `refused_for`.
    pub(super) refused_by: Vec<String>,
}

pub(super) fn judgement(judged: &Judged) -> Judgement {
    let refusals =
        judged.checks.iter().filter_map(|check| Some((refusal(check)?, kind(check.kind).to_owned())));
    let (refused_for, refused_by) = refusals.unzip();
    let verdicts = judged.checks.iter().map(|check| verdict(check.verdict));
    Judgement { verdict: worst(verdicts), refused_for, refused_by }
}

pub(super) fn caveats(caveats: Caveats) -> Vec<String> {
    caveats
        .iter()
        .map(|caveat| {
            match caveat {
                Caveat::LaminarFlow => "flow is laminar somewhere (Reynolds number at or below 2300)",
                Caveat::TransitionalFlow => {
                    "flow is between laminar and turbulent somewhere (Reynolds number 2300 to 4000), where no friction \
                     law holds: a straight line between the two is used"
                }
                Caveat::OutsideFrictionRange => {
                    "the friction law is used outside its range (Reynolds number above 1e8, or a very rough wall)"
                }
                Caveat::Flashes => {
                    "behind the place where liquid flashes, friction of liquid and gas together is known to some 40 %"
                }
                Caveat::Condenses => {
                    "behind the place where gas condenses, friction of liquid and gas together is known to some 40 %"
                }
                Caveat::NearCritical => NEAR_CRITICAL,
                Caveat::OutsideTwoPhaseFrictionRange => {
                    "friction of liquid and gas together is used outside its range (bore below 4 mm, or liquid more than \
                     1000 times as viscous as gas)"
                }
                Caveat::OutsideVoidRange => {
                    "the share of gas beside liquid is used outside its range (bore 4 to 50 mm, 50 to 2000 kg/(m2 s))"
                }
                Caveat::FallingTwoPhaseFlow => {
                    "liquid and gas flow down together; the laws used stand on level and rising flow"
                }
                Caveat::OutsideFloodingRange => {
                    "whether condensate drains back is judged outside the tubes the law was made with (12 to 51 mm)"
                }
                Caveat::OutsideInsideFilmRange => "the film inside the tube is used outside its range",
                Caveat::OutsideFreeConvectionRange => {
                    "still air along the tube is computed outside the range of its law (tall riser or large tube)"
                }
                Caveat::OutsideWindRange => "wind across the tube is outside the range of its law",
                Caveat::ImplausibleEffectiveness => {
                    "a condenser warms its air by less than 30 % or more than 85 % of the temperature difference: check its rating"
                }
                Caveat::OutsidePartFlowRange => "air through a condenser is far from its rated mass",
                Caveat::RatedWithAnother => "a condenser is rated with another refrigerant",
                Caveat::OutsideCompressorMap => "a compressor runs outside the temperatures of its map",
                Caveat::FarFromMapSuperheat => "suction gas is far from the superheat of the compressor's map",
                Caveat::OutsideWindCoefficients => "the frame takes more of the building than the gust coefficients go to",
                Caveat::NearUnit => "the listener is too near for the sound law",
                _ => "the result leaves the range of its method",
            }
            .to_owned()
        })
        .collect()
}

/// A value of the tables in US units and SI.
#[must_use]
pub fn quantity_words(quantity: Quantity) -> String {
    let figure = match quantity {
        Quantity::TemperatureInterval(value) => figure::temperature_difference(value.value),
        Quantity::Velocity(value) => figure::velocity(value.value),
        Quantity::Ratio(value) => return format!("{:.3} %", 100.0 * value.value).replace(".000", ""),
        Quantity::MassDensity(value) => figure::density(value.value),
        Quantity::Length(value) if value.value < 1e-4 => return format!("{:.1} µm", 1e6 * value.value),
        Quantity::Length(value) if value.value < 0.01 => return format!("{} mm", 1e3 * value.value),
        Quantity::Length(value) if value.value < 1.0 => figure::diameter(1e3 * value.value),
        Quantity::Length(value) => figure::length(value.value),
        Quantity::Temperature(value) => figure::temperature(value.get::<degree_celsius>()),
        Quantity::Pressure(value) => figure::pressure_difference(value.value),
        Quantity::GaugePressure(value) => figure::gauge_pressure(value.get().value),
        Quantity::HeatFlux(value) => return format!("{} W/m2", value.value),
        Quantity::HeatTransfer(value) => return format!("{} W/(m2 K)", value.value),
    };
    figure.both(Units::Us)
}

/// The usual cautions of the trade, on every sheet.
pub(super) fn cautions() -> Vec<String> {
    [
        "The maker's instructions, the listing of the equipment, the local code and the authority that enforces it come \
         before this sheet. Work on refrigerant circuits is for people licensed for it.",
        "Of strength, `lineset size` checks the tube and the ratings that the job states. Joints, fittings and unrated parts, \
         size and place of the relief and the test pressure are not checked; the room's concentration limit is by \
         `lineset charge`.",
        "Braze with nitrogen flowing; never pressurise with oxygen or air; wear eye and hand protection; a refrigerant \
         displaces air in a closed room.",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// What governs work in the field, whatever a sheet says.
const GOVERNED: &str = "Local code and licensed practice govern, and the label of the equipment before both sheets and habits: a \
                        pass here is a prompt, never a permit.";

/// Cautions of pressure tests, evacuations and holding charges.
pub(super) fn cautions_of_tests() -> Vec<String> {
    [
        GOVERNED,
        "Gas under pressure kills: regulator and relief on the rig, eye protection, nobody beside a joint while pressure rises. \
         Never test a part above its marked pressure.",
        "Dry nitrogen only: never oxygen, which explodes with oil, and never air with refrigerant. Nitrogen and refrigerant \
         displace air: ventilate closed rooms and pits, work in pairs there.",
        "At the roof's edge a guard or a harness; hoist bottle and pump, never carry them up a ladder.",
        "Refrigerant is recovered, never vented. Work on the circuit is for people licensed for it.",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// Cautions of power, water and drains.
pub(super) fn cautions_of_supplies() -> Vec<String> {
    [
        GOVERNED,
        "Electricity kills: lock out and tag, prove dead before touching, ground every run. Circuits are for licensed electricians; \
         the nameplate wins over every figure here.",
        "Potable water is for licensed plumbers: the code names the backflow device, and an air gap stands behind every drain.",
        "At the roof's edge a guard or a harness, at the disconnect and the fan too. Never loosen a line under pressure to reach \
         a cable.",
    ]
    .map(str::to_owned)
    .to_vec()
}

/// Cautions of work with condensers on roofs, before those of every sheet.
pub(super) fn cautions_on_roofs() -> Vec<String> {
    [
        "Wind, anchors and weight are for screening only: local code governs, and an engineer signs. Work near a roof's edge \
         wants a guard or a harness.",
        "The maker's sheet of the condenser wins over the clearances here: what it does not allow, no balance makes right.",
    ]
    .map(str::to_owned)
    .into_iter()
    .chain(cautions())
    .collect()
}

pub(super) fn arrangement(arrangement: Option<Arrangement>) -> &'static str {
    match arrangement {
        None => "not said",
        Some(Arrangement::Apart) => "apart",
        Some(Arrangement::SideBySide) => "side by side",
        Some(Arrangement::Stacked) => "stacked",
        Some(Arrangement::Pit) => "in a pit",
        Some(Arrangement::Screen) => "behind a screen",
    }
}

/// What a method of the comparison is for, and how it is known.
pub(super) fn method_purpose(method: Method) -> (&'static str, &'static str) {
    match method {
        Method::Balance => ("condensing temperature, capacity and power", "derived"),
        Method::CondenserRating => ("condensers in other air than that of their rating", "memory"),
        Method::Recirculation => ("discharge air drawn in again", "derived"),
        Method::TenCoefficients => ("compressor by its map", "memory"),
        Method::ConstantEfficiency => ("compressor off its stated point", "derived"),
        _ => ("method", "derived"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LEVERS: [Lever; 8] = [
        Lever::Density,
        Lever::Viscosity,
        Lever::Friction,
        Lever::Length,
        Lever::OilFlux,
        Lever::HeatTransfer,
        Lever::Surroundings,
        Lever::Load,
    ];

    #[test]
    fn every_doubt_has_its_own_name_and_a_measurement() {
        let mut inputs: Vec<&str> = LEVERS.iter().map(|lever| of_lever(*lever).0).collect();
        inputs.sort_unstable();
        inputs.dedup();
        assert_eq!(inputs.len(), LEVERS.len());
        assert!(
            LEVERS.iter().all(|lever| of_lever(*lever).0 != "an input" && !of_lever(*lever).1.is_empty())
        );
    }

    #[test]
    fn flashing_is_settled_where_the_liquid_ends_and_a_length_by_tape() {
        let by = |kind, lever| settling(kind, lever).1;
        assert!(by(CheckKind::FlashMargin, Lever::Friction).contains("end of the line"));
        assert!(by(CheckKind::SaturatedTemperatureDrop, Lever::Friction).contains("two gauges"));
        assert!(by(CheckKind::FlashMargin, Lever::Length).contains("tape"));
    }
}
