//! The strength of one line, in a few bullets under its checks.

use super::Sheet;
use crate::{
    figure::{
        Figure, Units, diameter, gauge_pressure, length, pressure_difference, short_length, temperature,
        temperature_difference, velocity,
    },
    view::{ExpansionView, LineView, PulsationView, StrengthView, SurgeView, TrappedView},
};

/// Pairs of closing parts that are named; of more, how many.
const PAIRS_NAMED: usize = 4;

pub(super) fn print_strength(sheet: &mut Sheet, line: &LineView, units: Units) {
    let Some(strength) = &line.strength else { return };
    sheet.section(&format!("Strength of the {} line", line.service));
    for text in bullets(strength, units) {
        sheet.bullet(&text);
    }
}

fn bullets(strength: &StrengthView, units: Units) -> Vec<String> {
    let mut bullets = vec![tube(strength, units)];
    bullets.extend(presses(strength, units));
    bullets.extend(strength.surge.as_ref().map(|surge| self::surge(surge, units)));
    bullets.extend(strength.trapped.iter().flat_map(|trapped| self::trapped(trapped, units)));
    bullets.extend(strength.expansion.iter().flat_map(|expansion| self::expansion(expansion, units)));
    bullets.push(carriers(strength, units));
    bullets.extend(strength.pulsation.as_ref().map(|pulsation| self::pulsation(pulsation, units)));
    bullets
}

fn tube(strength: &StrengthView, units: Units) -> String {
    let Some(tube) = &strength.tube else {
        let missing = strength.tube_unrated.as_deref().unwrap_or("a rating");
        return format!("the tube is not rated: needs {missing}");
    };
    let basis = if tube.basis == "american" { "US" } else { "European" };
    let assumed = tube.assumed.as_ref().map(|assumed| format!("; {assumed}")).unwrap_or_default();
    format!(
        "the tube bears {}: {} copper at {}, thinnest wall {}, {basis} formula{assumed}",
        gauge_pressure(tube.working_gauge_pa).both(units),
        tube.temper,
        temperature(tube.temperature_c).both(units),
        diameter(tube.least_wall_mm).both(units)
    )
}

/// All other pressures, those that press first; names of one pressure share it.
fn presses(strength: &StrengthView, units: Units) -> Option<String> {
    let at = temperature(strength.design_temperature_c).both(units);
    let listed = |presses: bool| {
        let bounds = strength.bounds.iter().filter(|bound| bound.presses == presses && bound.name != "tube");
        let mut groups: Vec<(Vec<String>, String)> = Vec::new();
        for bound in bounds {
            let standstill = bound.name == "standstill";
            let name = if standstill { format!("standstill at {at}:") } else { bound.name.clone() };
            let pressure = gauge_pressure(bound.gauge_pa).both(units);
            match groups.last_mut().filter(|(_, before)| *before == pressure) {
                Some((names, _)) => names.push(name),
                None => groups.push((vec![name], pressure)),
            }
        }
        let groups = groups.iter().map(|(names, pressure)| format!("{} {pressure}", super::listed(names)));
        groups.collect::<Vec<_>>().join(", ")
    };
    let unknown = strength.standstill_unknown.is_some();
    let unknown = unknown.then(|| format!("standstill at {at}: beyond the property data"));
    let pressing: Vec<String> =
        unknown.into_iter().chain(Some(listed(true)).filter(|pressing| !pressing.is_empty())).collect();
    let rated = match listed(false) {
        rated if rated.is_empty() => String::new(),
        rated => format!("; also rated: {rated}"),
    };
    (!pressing.is_empty()).then(|| format!("pressures: {}{rated}", pressing.join(", ")))
}

fn surge(surge: &SurgeView, units: Units) -> String {
    let closes = match surge.closing_time_s {
        None => ", taken to close at once (time not stated),".to_owned(),
        Some(time_s) => {
            let than = if surge.fast { "faster" } else { "slower" };
            format!(", closing in {time_s} s, {than} than the wave is back,")
        }
    };
    format!(
        "surge: the {}{closes} stops {}: {} more, {} in all; the wave is back after {:.2} s",
        surge.valve,
        velocity(surge.velocity_m_s).both(units),
        pressure_difference(surge.rise_pa).both(units),
        gauge_pressure(surge.operating_gauge_pa + surge.rise_pa).both(units),
        surge.return_time_s
    )
}

fn trapped(trapped: &TrappedView, units: Units) -> Vec<String> {
    if trapped.sections.is_empty() {
        return vec![match trapped.closing_parts.first() {
            None => "shut-in liquid: no part that closes is listed in this line".to_owned(),
            Some(part) => format!(
                "shut-in liquid: of the parts listed only the {part} closes; with a valve of the equipment it may shut \
                 liquid in"
            ),
        }];
    }
    let pair = |section: &crate::view::TrappedSectionView| {
        let relieved = if section.relieved { " (relief between)" } else { "" };
        format!("{} and {}{relieved}", section.from, section.to)
    };
    let mut named: Vec<String> = trapped.sections.iter().take(PAIRS_NAMED).map(pair).collect();
    if trapped.sections.len() > PAIRS_NAMED {
        named.push(format!("{} pairs more", trapped.sections.len() - PAIRS_NAMED));
    }
    let bare = trapped.sections.iter().any(|section| !section.relieved);
    let needs = if bare {
        ". Each pair needs a relief, a bypass with a check valve, or a procedure that never shuts both on liquid"
    } else {
        ""
    };
    let mut bullets =
        vec![format!("liquid can be shut in (parts as written) between {}{needs}", named.join("; "))];
    if let Some(rise) = &trapped.rise {
        let per = Figure {
            us: format!("{}/°F", pressure_difference(rise.rise_pa_per_k / 1.8).us),
            si: format!("{}/K", pressure_difference(rise.rise_pa_per_k).si),
        };
        let from = format!(
            "full of liquid at {}, {}, it rises by {}",
            temperature(rise.start_c).both(units),
            gauge_pressure(rise.start_gauge_pa).both(units),
            per.both(units)
        );
        bullets.push(match (&rise.limit_of, rise.limit_gauge_pa, rise.warming_k) {
            (Some(of), Some(limit_pa), Some(warming_k)) => {
                let beyond =
                    if rise.beyond_data { ", beyond the property data on their last slope" } else { "" };
                format!(
                    "{from}: {} more reach the {of}'s {}{beyond}",
                    temperature_difference(warming_k).both(units),
                    gauge_pressure(limit_pa).both(units)
                )
            }
            _ => from,
        });
    }
    bullets
}

fn expansion(expansion: &ExpansionView, units: Units) -> Vec<String> {
    let grows = if expansion.growth_m < 0.0 { "shrinks" } else { "grows" };
    let growth = |metres: f64| short_length(1e3 * metres.abs()).both(units);
    let whole = format!(
        "from {} when fitted to {} the line {grows} by {}",
        temperature(expansion.fitted_c).both(units),
        temperature(expansion.extreme_c).both(units),
        growth(expansion.growth_m)
    );
    if expansion.legs.is_empty() {
        return vec![format!(
            "{whole} in all; whether its turns take that up needs the route leg by leg (route.legs)"
        )];
    }
    let short: Vec<_> = expansion.legs.iter().enumerate().filter(|(_, leg)| !leg.taken_up).collect();
    let mut bullets = vec![match short.len() {
        0 => format!("{whole}; the turns take it up if supports beside them let the tube move sideways"),
        _ => whole,
    }];
    for (index, leg) in short {
        let beside = match leg.beside_m {
            Some(beside_m) => {
                format!("the legs beside it, at most {}, are too short", length(beside_m).both(units))
            }
            None => "no leg beside it can bend".to_owned(),
        };
        bullets.push(format!(
            "leg {}, {} {}, {grows} by {}; {beside}: add an offset or loop of {} of tube",
            index + 1,
            leg.direction,
            length(leg.length_m).both(units),
            growth(leg.growth_m),
            length(leg.offset_m).both(units)
        ));
    }
    bullets
}

fn carriers(strength: &StrengthView, units: Units) -> String {
    let spacing = strength.supports.iter().map(|support| {
        format!("{} every {} ({})", support.direction, length(support.spacing_m).both(units), support.rule)
    });
    let mut text = format!(
        "supports: {}; the first within {} of a unit",
        spacing.collect::<Vec<_>>().join(", "),
        length(strength.first_support_m).both(units)
    );
    if strength.supports.is_empty() {
        text = "supports: no rule speaks of this tube".to_owned();
    }
    if let Some(bend) = &strength.bend {
        let radius = |metres: f64| short_length(1e3 * metres).both(units);
        let by_hand = format!("{} by hand", radius(bend.by_hand_m));
        let both = bend.with_bender_m.map(|with| format!("{} with a bender, {by_hand}", radius(with)));
        text.push_str(&format!(". Bend radius at least {}", both.unwrap_or(by_hand)));
    }
    text
}

fn pulsation(pulsation: &PulsationView, units: Units) -> String {
    let lengths: Vec<String> =
        pulsation.resonant_m.iter().map(|metres| length(*metres).both(units)).collect();
    let band = 100.0 * pulsation.band;
    let pulses = format!(
        "gas pulses, {:.0} Hz, resonate {} from the compressor (each ± {band:.0} %)",
        pulsation.frequency_hz,
        super::listed(&lengths)
    );
    match (pulsation.first_anchor_m, pulsation.resonates_at_m) {
        (Some(anchor_m), Some(_)) => {
            format!("{pulses}; so does the first anchor at {}: move it", length(anchor_m).both(units))
        }
        (Some(anchor_m), None) => {
            format!("{pulses}; the first anchor at {} is clear of that", length(anchor_m).both(units))
        }
        (None, _) => format!("{pulses}: put no first anchor there (key first_anchor)"),
    }
}
