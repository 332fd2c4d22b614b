//! Which layout to take, and what would change that.

use crate::{
    job::Job,
    view::{LayoutView, VerdictView},
};

/// Shares of energy (or of power, where there is no year) within which two layouts count as equal.
const EQUAL: f64 = 0.01;

pub(super) struct Advice {
    pub(super) recommended: Option<String>,
    pub(super) sentence: String,
    pub(super) would_change: Vec<String>,
}

/// The layout with the gentlest verdict; among equals the one that runs cheapest; within 1 % of that the one that takes least
/// roof.
pub(super) fn advise(layouts: &[LayoutView], job: &Job) -> Advice {
    let Some(gentlest) = layouts.iter().map(|layout| layout.verdict.gravity()).min() else {
        return Advice {
            recommended: None,
            sentence: "there is no layout".to_owned(),
            would_change: Vec::new(),
        };
    };
    let sound: Vec<&LayoutView> =
        layouts.iter().filter(|layout| layout.verdict.gravity() == gentlest).collect();
    let least = sound.iter().map(|layout| cost(layout)).fold(f64::INFINITY, f64::min);
    let near = sound.iter().filter(|layout| cost(layout) <= least * (1.0 + EQUAL));
    let roof = |layout: &LayoutView| layout.taken_m2.or(layout.footprint_m2).unwrap_or(f64::INFINITY);
    let taken = near.min_by(|a, b| roof(a).total_cmp(&roof(b)).then(cost(a).total_cmp(&cost(b))));
    let Some(taken) = taken else {
        return Advice {
            recommended: None,
            sentence: "there is no layout".to_owned(),
            would_change: Vec::new(),
        };
    };
    let others: Vec<&LayoutView> = layouts.iter().filter(|layout| layout.name != taken.name).collect();
    if taken.verdict == VerdictView::Fails {
        return Advice {
            recommended: None,
            sentence: match layouts {
                [only] => format!("“{}” fails a check; larger or more condensers are needed", only.name),
                _ => "no layout meets: every one fails a check; larger condensers or fewer draws are needed"
                    .to_owned(),
            },
            would_change: would_change(taken, &others, job),
        };
    }
    Advice {
        recommended: Some(taken.name.clone()),
        sentence: sentence(taken, &others),
        would_change: would_change(taken, &others, job),
    }
}

/// Energy of the year where it is known, else power on the design day, for each unit of cold.
fn cost(layout: &LayoutView) -> f64 {
    match layout.year {
        Some(year) => year.energy_kwh / year.cold_kwh,
        None => layout.power_w / layout.capacity_w,
    }
}

fn sentence(taken: &LayoutView, others: &[&LayoutView]) -> String {
    let standing = match taken.verdict {
        VerdictView::Meets => "every check meets",
        VerdictView::TooCloseToCall => "a check is too close to call",
        VerdictView::NotChecked => "a check could not be made",
        VerdictView::Fails => "a check fails",
    };
    let mut text = format!("take “{}”: {standing}", taken.name);
    if others.is_empty() {
        return format!("{text}; it is the only layout described");
    }
    for other in others {
        text.push_str(&format!("; {}", against(taken, other)));
    }
    text
}

/// `“stacked” uses 3.1 % more energy and takes 2.1 m² less roof`.
fn against(taken: &LayoutView, other: &LayoutView) -> String {
    let mut parts = Vec::new();
    let verdict = match other.verdict {
        VerdictView::Fails => Some("fails a check"),
        VerdictView::TooCloseToCall if taken.verdict == VerdictView::Meets => Some("is too close to call"),
        _ => None,
    };
    parts.extend(verdict.map(str::to_owned));
    let more = cost(other) / cost(taken) - 1.0;
    let what = if taken.year.is_some() { "energy for its cold" } else { "power for its cold" };
    parts.push(if more.abs() < 0.0005 {
        format!("uses the same {what}")
    } else {
        format!("uses {:.1} % {} {what}", 100.0 * more.abs(), if more > 0.0 { "more" } else { "less" })
    });
    if let (Some(mine), Some(its)) =
        (taken.taken_m2.or(taken.footprint_m2), other.taken_m2.or(other.footprint_m2))
        && (mine - its).abs() > 0.05
    {
        let (us, si) = (10.763_910_4 * (its - mine).abs(), (its - mine).abs());
        parts.push(format!(
            "takes {us:.0} ft² ({si:.1} m²) {} roof",
            if its > mine { "more" } else { "less" }
        ));
    }
    format!("“{}” {}", other.name, joined(&parts))
}

fn joined(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn would_change(taken: &LayoutView, others: &[&LayoutView], job: &Job) -> Vec<String> {
    let mut said = Vec::new();
    for layout in std::iter::once(&taken).chain(others) {
        for draw in &layout.draws {
            let Some(break_even) = draw.break_even.filter(|share| draw.by != draw.from || *share < 0.3)
            else {
                continue;
            };
            // Where it does not meet without any draw either, less of one is no cure.
            if break_even <= 0.0 {
                continue;
            }
            let percent = |share: f64| format!("{:.1} %", 100.0 * share);
            said.push(if draw.fraction <= break_even {
                format!(
                    "“{}” bears up to {} drawn by {} from {} before a condensing temperature reaches its limit (the job says {}): measure it on site before you rely on it",
                    layout.name,
                    percent(break_even),
                    draw.by,
                    draw.from,
                    percent(draw.fraction)
                )
            } else {
                format!(
                    "“{}” would bear {} drawn by {} from {}, and the job says {}: less recirculation, or a larger condenser, \
                     would make it meet",
                    layout.name,
                    percent(break_even),
                    draw.by,
                    draw.from,
                    percent(draw.fraction)
                )
            });
        }
    }
    if let Some(nearest) = nearest_in_cost(taken, others) {
        said.push(nearest);
    }
    if others.iter().any(|other| other.verdict == VerdictView::Fails) {
        said.push("a layout that fails could still be taken with a condenser of the next size".to_owned());
    }
    if job.year.is_none() {
        said.push("no year is stated (table [year]): layouts are weighed by the design day alone".to_owned());
    }
    said
}

/// Where an equal verdict costs little more, roof or access may decide.
fn nearest_in_cost(taken: &LayoutView, others: &[&LayoutView]) -> Option<String> {
    let equal = others.iter().filter(|other| other.verdict == taken.verdict);
    let nearest = equal.min_by(|a, b| cost(a).total_cmp(&cost(b)))?;
    let more = 100.0 * (cost(nearest) / cost(taken) - 1.0);
    let mine = taken.taken_m2.or(taken.footprint_m2)?;
    let its = nearest.taken_m2.or(nearest.footprint_m2)?;
    (its < mine).then(|| {
        format!(
            "where roof is dear, “{}” saves {:.0} ft² ({:.1} m²) for {more:.1} % more energy",
            nearest.name,
            10.763_910_4 * (mine - its),
            mine - its
        )
    })
}
