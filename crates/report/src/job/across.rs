//! Faults across fields: what two statements of a set say together. Only what needs no property data.

use super::diagnose::{Fault, FaultKind, Located, Span};
use super::model::*;
use super::quantity::{SaturatedTemperature, say_difference, say_length, say_temperature};
use super::route::Route;
use super::table::Reader;
use physics::units::{
    Length, Ratio, ThermodynamicTemperature, delta, standard_atmosphere,
    unit::{length::meter, ratio::ratio, temperature_interval, thermodynamic_temperature::kelvin},
};

/// Keys whose unlikely values stand when `confirm` lists them.
pub(crate) const CONFIRMABLE: [&str; 6] =
    ["run", "lift", "subcooling", "compressor_input", "charge_per_length", "service"];

/// What could be read of a set; a fault in one field does not hide those between the others.
pub(crate) struct Facts<'a> {
    pub(crate) design_air: Option<Located<ThermodynamicTemperature>>,
    pub(crate) altitude: Option<Located<Length>>,
    pub(crate) compressor_at: Option<Located<CompressorAt>>,
    pub(crate) receiver_at: Option<Located<ReceiverAt>>,
    pub(crate) condensing: Option<Located<SaturatedTemperature>>,
    pub(crate) greatest_condensing: Option<Located<SaturatedTemperature>>,
    pub(crate) evaporating: Option<Located<SaturatedTemperature>>,
    pub(crate) subcooling: Option<Located<Subcooling>>,
    pub(crate) duty: Option<&'a Duty>,
    pub(crate) least_load: Option<Located<Ratio>>,
    pub(crate) capacity_steps: &'a [Located<Ratio>],
    pub(crate) head_pressure: Option<&'a HeadPressure>,
    pub(crate) strength: &'a Strength,
    pub(crate) connections: &'a Connections,
    pub(crate) maker: Option<&'a Maker>,
    pub(crate) route: Option<&'a Route>,
    pub(crate) lines: &'a [(Service, Span)],
    pub(crate) confirmed: &'a [String],
}

/// Tells every contradiction between the facts.
pub(crate) fn check(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    temperatures(reader, facts);
    load(reader, facts);
    lengths(reader, facts);
    equipment(reader, facts);
    capacity_steps(reader, facts);
    cut_out(reader, facts);
    connections(reader, facts);
}

fn contradiction(span: Span, message: impl Into<String>, help: impl Into<String>) -> Fault {
    Fault::new(FaultKind::Contradiction, span, message, help)
}

fn temperatures(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    let Some(condensing) = facts.condensing else { return };
    let warm = condensing.value.temperature;
    if let Some(air) = facts.design_air {
        let difference = delta(warm, air.value);
        if difference.get::<temperature_interval::kelvin>() <= 0.0 {
            reader.fault(
                contradiction(
                    condensing.span,
                    format!("the condenser cannot condense at {} in air of {}", say_temperature(warm), say_temperature(air.value)),
                    "condensing lies some 20 to 30 °F (10 to 17 K) above the design air; check the units of both",
                )
                .also(air.span, "the design air"),
            );
        } else if let Some(subcooling) = facts.subcooling {
            let stated = subcooling.value.difference;
            let usual = "a condenser gives some 5 to 15 °F (3 to 8 K)";
            let over = if stated >= difference {
                Some(contradiction(
                    subcooling.span,
                    "liquid with this subcooling would be colder than the entering air",
                    format!("{usual}; state what is measured at its outlet"),
                ))
            } else if 2.0 * stated >= difference && !confirmed(facts, "subcooling") {
                Some(Fault::new(
                    FaultKind::Confirm,
                    subcooling.span,
                    format!(
                        "subcooling of half or more of the {} between condensing and air",
                        say_difference(difference)
                    ),
                    format!("{usual}; check it, or add `confirm = [\"subcooling\"]` to the set"),
                ))
            } else {
                None
            };
            if let Some(fault) = over {
                reader.fault(fault.also(condensing.span, "condensing").also(air.span, "the design air"));
            }
        }
    }
    if let Some(evaporating) = facts.evaporating
        && evaporating.value.temperature >= warm
    {
        reader.fault(
            contradiction(
                evaporating.span,
                "evaporating is not colder than condensing",
                "check the two; they may be exchanged",
            )
            .also(condensing.span, "condensing"),
        );
    }
    // Ends of a blend with glide that differ are compared where its glide is known.
    if let Some(greatest) = facts.greatest_condensing
        && greatest.value.end == condensing.value.end
        && greatest.value.temperature < warm
    {
        reader.fault(
            contradiction(
                greatest.span,
                "the greatest condensing temperature is below the one of the design day",
                "check the two; `greatest_condensing` is what is never to be exceeded",
            )
            .also(condensing.span, "condensing on the design day"),
        );
    }
    if let Some(Duty::HeatRejection { discharge_gas, .. }) = facts.duty
        && discharge_gas.value <= warm
    {
        reader.fault(
            contradiction(
                discharge_gas.span,
                "the discharge gas is not warmer than condensing",
                "state the temperature of the gas at the compressor's outlet, mostly 140 to 220 °F (60 to 105 °C)",
            )
            .also(condensing.span, "condensing"),
        );
    }
    if let Some(setting) = facts.head_pressure.and_then(|head_pressure| head_pressure.setting)
        && let HeadPressureSetting::Saturated(held) = setting.value
        && held.temperature >= warm
    {
        reader.fault(
            contradiction(
                setting.span,
                "the head pressure held in winter is not below that of the design day",
                "state the setting of the valve or switch, well below `condensing`",
            )
            .also(condensing.span, "condensing on the design day"),
        );
    }
}

fn load(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    let (Some(Duty::Capacity { capacity, compressor_input, evaporating, .. }), Some(condensing)) =
        (facts.duty, facts.condensing)
    else {
        return;
    };
    let lift = delta(condensing.value.temperature, evaporating.value.temperature)
        .get::<temperature_interval::kelvin>();
    if lift <= 0.0 {
        return;
    }
    let performance = (capacity.value / compressor_input.value).get::<ratio>();
    let ideal = evaporating.value.temperature.get::<kelvin>() / lift;
    // Stated ends of a blend with glide move the ideal by some 15 %, so only what is well above it is impossible.
    if performance > 1.3 * ideal {
        reader.fault(
            contradiction(
                capacity.span,
                format!("capacity is {performance:.1} times the compressor input; the ideal machine between these temperatures reaches {ideal:.1}"),
                "check the units of both (W for kW?)",
            )
            .also(compressor_input.span, "the compressor input"),
        );
    // Real machines of this kind reach 30 to 60 % of the ideal (common practice, no source).
    } else if performance < 0.1 * ideal && !confirmed(facts, "compressor_input") {
        reader.fault(
            Fault::new(
                FaultKind::Confirm,
                compressor_input.span,
                format!(
                    "capacity is only {performance:.2} times the compressor input; {:.1} would be usual here",
                    0.45 * ideal
                ),
                "check the units of both, or add `confirm = [\"compressor_input\"]` to the set",
            )
            .also(capacity.span, "the capacity"),
        );
    }
}

fn lengths(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    let Some(maker) = facts.maker else { return };
    if let (Some(covered), Some(longest)) = (maker.covered_run, maker.longest_run)
        && longest.value < covered.value
    {
        reader.fault(
            contradiction(
                longest.span,
                "the longest run is shorter than the run that the factory charge covers",
                "read the plate again: the longest run is the limit",
            )
            .also(covered.span, "the covered run"),
        );
    }
    let Some(route) = facts.route else { return };
    let (Some(first), Some(last)) = (route.legs.first(), route.legs.last()) else { return };
    let whole = Span { start: first.span.start.min(last.span.start), end: first.span.end.max(last.span.end) };
    let (run, lift) = (route.run(), route.lift());
    if let Some(longest) = maker.longest_run
        && run > 2.0 * longest.value
        && !confirmed(facts, "run")
    {
        reader.fault(
            Fault::new(
                FaultKind::Confirm,
                whole,
                format!("the run of {} is more than twice the maker's longest", say_length(run)),
                "check the units (m for ft?), or add `confirm = [\"run\"]` to the set",
            )
            .also(longest.span, "the maker's longest run"),
        );
    }
    if let Some(highest) = maker.highest_rise
        && lift > 2.0 * highest.value
        && !confirmed(facts, "lift")
    {
        reader.fault(
            Fault::new(
                FaultKind::Confirm,
                whole,
                format!("the lift of {} is more than twice the maker's highest rise", say_length(lift)),
                "check the units (m for ft?), or add `confirm = [\"lift\"]` to the set",
            )
            .also(highest.span, "the maker's highest rise"),
        );
    }
}

fn confirmed(facts: &Facts<'_>, key: &str) -> bool {
    facts.confirmed.iter().any(|confirmed| confirmed == key)
}

fn equipment(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    let line =
        |service: Service| facts.lines.iter().find(|(line, _)| *line == service).map(|(_, span)| *span);
    if let Some(at) = facts.compressor_at {
        let (stray, wanted) = match at.value {
            CompressorAt::Head => (Service::Suction, "discharge"),
            CompressorAt::Condenser => (Service::Discharge, "suction"),
        };
        if let Some(span) = line(stray) {
            let place = if at.value == CompressorAt::Head { "head" } else { "condenser" };
            reader.fault(
                contradiction(
                    span,
                    format!(
                        "with the compressor at the {place} no {} line leaves it for the other end",
                        stray.name()
                    ),
                    format!("describe the {wanted} line, or move the compressor: `compressor_at`"),
                )
                .also(at.span, "the compressor"),
            );
        }
    }
    let Some(receiver) = facts.receiver_at.filter(|receiver| receiver.value == ReceiverAt::None) else {
        return;
    };
    if let Some(span) = line(Service::Drain) {
        reader.fault(
            contradiction(
                span,
                "a drain runs into a receiver, and there is none",
                "describe a `liquid` line, or say where the receiver is: `receiver_at`",
            )
            .also(receiver.span, "no receiver"),
        );
    }
    if let Some(subcooling) =
        facts.subcooling.filter(|subcooling| subcooling.value.at == SubcoolingAt::ReceiverOutlet)
    {
        reader.fault(
            contradiction(
                subcooling.span,
                "subcooling is stated at the outlet of a receiver, and there is none",
                "write `at condenser outlet`, or say where the receiver is: `receiver_at`",
            )
            .also(receiver.span, "no receiver"),
        );
    }
    // What floods the condenser in winter must be stored somewhere in summer.
    if let Some(method) = facts.head_pressure.map(|head_pressure| head_pressure.method)
        && method.value == HeadPressureMethod::FloodingValve
    {
        reader.fault(
            contradiction(
                method.span,
                "a flooding valve needs a receiver to take the liquid back in summer, and there is none",
                "say where the receiver is: `receiver_at`",
            )
            .also(receiver.span, "no receiver"),
        );
    }
}

fn capacity_steps(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    if let (Some(least), Some(last)) = (facts.least_load, facts.capacity_steps.last())
        && least.value < last.value
    {
        let step = reader.source.written(last.span);
        reader.fault(
            contradiction(
                least.span,
                "the compressor cannot run at this load: its last step is above it",
                format!("state `least_load = \"{step}\"` or more, or the steps below that"),
            )
            .also(last.span, "the last step"),
        );
    }
}

fn cut_out(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    let (Some(cut_out), Some(relief)) = (facts.strength.cut_out, facts.strength.relief) else { return };
    let altitude = facts.altitude.map_or(Length::new::<meter>(0.0), |altitude| altitude.value);
    let Some(atmosphere) = standard_atmosphere(altitude) else { return };
    if cut_out.value.absolute(atmosphere) > relief.value.absolute(atmosphere) {
        reader.fault(
            contradiction(
                cut_out.span,
                "the relief opens before the compressor is cut out",
                "check the two; the cut-out lies below the relief, so that no refrigerant is blown off",
            )
            .also(relief.span, "the relief"),
        );
    }
}

fn connections(reader: &mut Reader<'_>, facts: &Facts<'_>) {
    // Without any line the missing lines are told instead.
    if facts.lines.is_empty() {
        return;
    }
    for (end, connections) in [("head", &facts.connections.head), ("condenser", &facts.connections.condenser)]
    {
        for connection in connections {
            if !facts.lines.iter().any(|(service, _)| *service == connection.service) {
                let service = connection.service.name();
                reader.fault(contradiction(
                    connection.size.span,
                    format!("the {end} has a {service} connection, and the set has no {service} line"),
                    format!("describe the {service} line, or leave its connection out"),
                ));
            }
        }
    }
}
