//! Tags for both ends of every line, and the pulse test that proves them.

use super::{SetDesk, habit, service_letter, step};
use crate::{
    figure::gauge_pressure,
    study::resolve::runs_backwards,
    view::{EndTagView, LineView, TagMatchView, TagsView},
};

/// Letters that fit into a row of a printed tag.
const ROW: usize = 32;

impl SetDesk<'_> {
    pub(super) fn tags(&self) -> TagsView {
        let tags: Vec<EndTagView> = self.size.lines.iter().flat_map(|line| self.both_ends(line)).collect();
        let matches: Vec<TagMatchView> = tags
            .chunks(2)
            .filter_map(|ends| {
                let [head, condenser] = ends else { return None };
                Some(TagMatchView {
                    line: head.line.clone(),
                    pulsed_at: head.tag.clone(),
                    comes_at: condenser.tag.clone(),
                })
            })
            .collect();
        let mut remarks = vec![
            "D discharge, L liquid, C condensate drain, S suction; H the end at the head, C the end at the condenser".to_owned(),
        ];
        if self.condensers().len() > 1 {
            remarks.push(
                "the line ends at the branch to the condensers: write the condenser's name on a tag at each branch".to_owned(),
            );
        }
        let sets = self.desk.size.sets.len();
        TagsView { pulse_test: pulse_test(&matches, sets), tags, matches, remarks }
    }

    fn both_ends(&self, line: &LineView) -> Vec<EndTagView> {
        let Some((resolved, _)) = self.line(line) else { return Vec::new() };
        let letters = format!("{}-{}", self.letter, service_letter(resolved.service));
        let names = self.condensers();
        let condenser = if names.is_empty() {
            "condenser".to_owned()
        } else {
            format!("condenser {}", names.join(" + "))
        };
        let head = format!("head {}", self.size.name);
        let backwards = runs_backwards(resolved.service);
        let tube = line.tube.as_ref().map_or_else(|| "not chosen".to_owned(), |tube| tube.name.clone());
        let design_gauge_pa = line.strength.as_ref().and_then(|strength| strength.standstill_gauge_pa);
        let design_words = design_gauge_pa.map_or_else(
            || "not known".to_owned(),
            // Without tenths, which have no room on a tag.
            |pressure| gauge_pressure(pressure).both(self.units()),
        );
        ["head", "condenser"]
            .into_iter()
            .map(|end| {
                let other = if end == "head" { &condenser } else { &head };
                // The flow leaves the head in a line that does not run backwards.
                let towards = (end == "head") != backwards;
                let way = format!("{} {other}", if towards { "to" } else { "from" });
                let tag = format!("{letters}-{}", if end == "head" { 'H' } else { 'C' });
                let rows = [
                    tag.clone(),
                    self.size.name.clone(),
                    format!("{} {tube}", line.service),
                    self.set.refrigerant.clone(),
                    format!("design {design_words}"),
                    way.clone(),
                ];
                EndTagView {
                    tag,
                    line: letters.clone(),
                    end,
                    set: self.size.name.clone(),
                    service: line.service.clone(),
                    tube: tube.clone(),
                    refrigerant: self.set.refrigerant.clone(),
                    design_gauge_pa,
                    design_words: design_words.clone(),
                    way,
                    rows: rows.into_iter().map(|row| shortened(&row)).collect(),
                }
            })
            .collect()
    }
}

/// A row that fits on a tag.
fn shortened(row: &str) -> String {
    if row.chars().count() <= ROW {
        return row.to_owned();
    }
    let kept: String = row.chars().take(ROW - 1).collect();
    format!("{}…", kept.trim_end())
}

/// One line at a time, before anything is brazed at the far end.
fn pulse_test(matches: &[TagMatchView], sets: usize) -> Vec<crate::view::StepView> {
    let mut steps = vec![
        step("Hang both tags of every line before it is laid; nothing is brazed at the condensers yet."),
        habit(
            "Cap every end at the condensers by hand, so that a pulse lifts the cap and does not fly it; head ends capped too.",
        ),
    ];
    for pair in matches {
        steps.push(habit(format!(
            "A short pulse of dry nitrogen, by the regulator at its lowest, into {}: gas comes at {} and nowhere else. Record \
             it and sign.",
            pair.pulsed_at, pair.comes_at
        )));
    }
    if sets > 1 {
        steps.push(habit(format!(
            "Do so for the lines of all {sets} sets before the first is joined: two sets that are crossed run, and run badly."
        )));
    }
    steps.push(step(
        "A line that answers at another tag: move the tags, not the tube, and pulse all lines again.",
    ));
    steps.push(habit("Only then braze, each line capped until its joint is made."));
    steps
}
