//! Where the condenser stands, and what the maker's sheet must confirm.

use super::{SetDesk, rule, step};
use crate::{
    figure,
    job::{Clearance, Draw, Figures, HeadPressureMethod, Layout, Located, PartKind, ReceiverAt},
    study::ledger::Ledger,
    view::{
        ClearSideView, ClearanceView, ConfirmView, DrawView, LayoutView, PlacingLayoutView, PlacingView,
        StepView,
    },
};
use physics::units::{
    Length,
    unit::{length::meter, ratio::ratio},
};
use tables::Sourced;

impl SetDesk<'_> {
    pub(super) fn placing(&self, ledger: &mut Ledger) -> PlacingView {
        let (head, air_sides) =
            (&self.habits().clearance_head, &self.library().roof().values().clearance_air_sides);
        ledger.note("clear space at sides and back of the head", &head.source);
        ledger.note("clear space before and behind a condenser", &air_sides.source);
        let condensers: Vec<String> = self.condensers().into_iter().map(str::to_owned).collect();
        let views = self.desk.compare.map(|compare| &compare.layouts);
        let layouts: Vec<PlacingLayoutView> = self
            .job()
            .layouts
            .iter()
            .map(|layout| {
                let view = views.and_then(|views| views.iter().find(|view| view.name == layout.name.value));
                self.of_layout(layout, view, &condensers)
            })
            .collect();
        PlacingView {
            clearances: vec![
                self.clearance("sides and back of the head", head),
                self.clearance("air sides of the condenser", air_sides),
            ],
            missing: layouts
                .is_empty()
                .then(|| "The job describes no layout: where the condenser stands is for the maker's sheet alone (tables [condenser.NAME] and [layout.NAME])".to_owned()),
            condensers,
            layouts,
            confirm: self.confirm(),
            steps: self.roof_steps(),
        }
    }

    fn length_words(&self, length_m: f64) -> String {
        figure::length(length_m).both(self.units())
    }

    fn clearance(&self, around: &str, distance: &Sourced<Length>) -> ClearanceView {
        let distance_m = distance.value.get::<meter>();
        ClearanceView {
            around: around.to_owned(),
            distance_m,
            words: format!(
                "{} free for air and service; the label of the unit wins",
                figure::short_length(1e3 * distance_m).both(self.units())
            ),
            source: distance.source.text.to_string(),
            grade: distance.source.grade.to_string(),
        }
    }

    fn of_layout(
        &self,
        layout: &Layout,
        view: Option<&LayoutView>,
        condensers: &[String],
    ) -> PlacingLayoutView {
        let least_m = self.library().roof().values().clearance_air_sides.value.get::<meter>();
        let side = |side, stated: Option<Located<Clearance>>, least_m: Option<f64>| {
            let (distance_m, words, keeps_habit) = match stated.map(|stated| stated.value) {
                None => (None, format!("not stated (key layout.{}.clear.{side})", layout.name.value), None),
                Some(Clearance::Open) => (None, "open".to_owned(), Some(true)),
                Some(Clearance::Distance(distance)) => {
                    let distance_m = distance.get::<meter>();
                    let keeps = least_m.map(|least| distance_m >= least);
                    (Some(distance_m), self.length_words(distance_m), keeps)
                }
            };
            ClearSideView { side, distance_m, words, keeps_habit }
        };
        let clear = &layout.clear;
        let concerns = |draw: &&DrawView| condensers.contains(&draw.by) || condensers.contains(&draw.from);
        let hot_neighbours = match view {
            _ if layout.draws.is_empty() => vec!["Nobody draws discharge air: so says the job.".to_owned()],
            Some(view) => view.draws.iter().filter(concerns).map(|draw| self.draw_words(draw)).collect(),
            None => {
                let draws = layout.draws.iter().map(|draw| &draw.value);
                let concerns =
                    |draw: &&Draw| condensers.contains(&draw.by) || condensers.contains(&draw.from);
                draws.filter(concerns).map(|draw| self.stated_draw(draw)).collect()
            }
        };
        PlacingLayoutView {
            name: layout.name.value.clone(),
            recommended: view
                .is_some_and(|view| self.desk.compare.is_some_and(|compare| compare.recommends(view))),
            // Air passes front and rear; the sides are judged by the width of the unit, in the warnings.
            clear: vec![
                side("front", clear.front, Some(least_m)),
                side("rear", clear.rear, Some(least_m)),
                side("sides", clear.sides, None),
                side("above", clear.above, None),
            ],
            footing: view.map_or_else(
                || {
                    vec![
                        "Wind, anchors and weight are not computed: the layouts could not be compared."
                            .to_owned(),
                    ]
                },
                |view| self.footing(view),
            ),
            hot_neighbours,
            access: view.map(|view| view.access.clone()).unwrap_or_default(),
            warnings: view.map(|view| view.warnings.clone()).unwrap_or_default(),
        }
    }

    fn draw_words(&self, draw: &DrawView) -> String {
        let percent = |share: f64| figure::percent(share).both(self.units());
        let range = match (draw.least, draw.most) {
            (Some(least), Some(most)) => format!(" ({} to {})", percent(least), percent(most)),
            _ => String::new(),
        };
        format!(
            "{} draws {}{range} of its air from the discharge of {}; {}",
            draw.by,
            percent(draw.fraction),
            draw.from,
            draw.break_even_words
        )
    }

    fn stated_draw(&self, draw: &Draw) -> String {
        format!(
            "{} draws {} of its air from the discharge of {}, says the job; what that costs is not computed",
            draw.by,
            figure::percent(draw.share.get::<ratio>()).both(self.units()),
            draw.from
        )
    }

    fn footing(&self, view: &LayoutView) -> Vec<String> {
        let units = self.units();
        let mut said = Vec::new();
        match &view.roof {
            Some(roof) => {
                said.push(format!(
                    "Weight on the footprint {}; wind sideways {}, uplift {} ({}).",
                    figure::area_load(roof.weight_pa).both(units),
                    self.both(roof.lateral_n, "N"),
                    self.both(roof.uplift_n, "N"),
                    roof.edition
                ));
                said.push(format!(
                    "{} anchors, each {} pull and {} shear (allowable stress); {} and {} by strength design.",
                    roof.anchors,
                    self.both(roof.tension_n, "N"),
                    self.both(roof.shear_n, "N"),
                    self.both(roof.tension_strength_n, "N"),
                    self.both(roof.shear_strength_n, "N"),
                ));
                said.extend(roof.remarks.iter().cloned());
            }
            None => said
                .push("Wind and anchors are not computed: see the warnings for what is missing.".to_owned()),
        }
        if let Some(area) = view.footprint_m2 {
            let taken = view.taken_m2.map_or_else(
                || "with the clearances: not known".to_owned(),
                |taken| format!("{} with the clearances", figure::area(taken).both(units)),
            );
            said.push(format!("Roof under the frames {}, {taken}.", figure::area(area).both(units)));
        }
        said
    }

    fn roof_steps(&self) -> Vec<StepView> {
        const ROOFING: &str = "roofing association guideline summary";
        let mut steps = vec![
            rule(
                "Lines leave through a flashed pipe box or a curbed penetration of their own: never through the base flashing of a curb.",
                ROOFING,
                "published",
            ),
            rule(
                "Each line is sealed alone in the box, and the seal stays apart from any joint of the tube.",
                ROOFING,
                "published",
            ),
            rule(
                "First support of the lines within 6 ft (1.8 m) of the unit.",
                "IRC M1411 as cited in a roofing article",
                "published",
            ),
            step("Stand, feet and anchors as an engineer signs them; the figures here are for screening."),
        ];
        if let Some(stand) = self.job().roof.as_ref().and_then(|roof| roof.stand) {
            steps.push(step(format!(
                "Underside of the lowest unit {} above the roof.",
                self.length_words(stand.value.get::<meter>())
            )));
        }
        steps
    }

    /// What the job leaves open and the maker's sheet or label answers.
    fn confirm(&self) -> Vec<ConfirmView> {
        let set = self.set.set;
        let name = &self.size.name;
        let of_set = |key: &str| format!("set.{name}.{key}");
        let maker = set.maker.as_ref();
        let mut open: Vec<(bool, &str, String)> = vec![
            (
                true,
                "Clearances on the label of head and condenser: they win over the habits here.",
                String::new(),
            ),
            (
                maker.and_then(|maker| maker.factory_charge).is_none(),
                "Factory charge on the plate.",
                of_set("maker.factory_charge"),
            ),
            (
                maker.and_then(|maker| maker.covered_run).is_none(),
                "Run that the factory charge covers.",
                of_set("maker.covered_run"),
            ),
            (
                maker.is_none_or(|maker| maker.covered_tubes.is_empty()),
                "Tube sizes that the covered run is for.",
                of_set("maker.covered_tubes"),
            ),
            (
                maker.and_then(|maker| maker.covered_winter).is_none(),
                "Coldest air that the factory charge covers.",
                of_set("maker.covered_winter"),
            ),
            (
                maker.and_then(|maker| maker.longest_run).is_none(),
                "Longest run that the maker allows.",
                of_set("maker.longest_run"),
            ),
            (
                maker.and_then(|maker| maker.highest_rise).is_none(),
                "Highest rise that the maker allows.",
                of_set("maker.highest_rise"),
            ),
            (
                maker.and_then(|maker| maker.greatest_charge).is_none(),
                "Greatest charge of the circuit.",
                of_set("maker.greatest_charge"),
            ),
            (
                maker.and_then(|maker| maker.traps_every).is_none(),
                "Whether the maker asks for traps in risers, and how far apart.",
                of_set("maker.traps_every"),
            ),
            (set.strength.relief.is_none(), "Pressure at which the relief opens.", of_set("strength.relief")),
            (
                set.strength.ratings.is_empty(),
                "Marked pressures of head, condenser and receiver.",
                of_set("strength.ratings"),
            ),
            (
                set.greatest_condensing.is_none(),
                "Condensing temperature never to exceed.",
                of_set("greatest_condensing"),
            ),
            (
                set.receiver_at.value != ReceiverAt::None && set.receiver.volume.is_none(),
                "Volume of the receiver.",
                of_set("receiver_volume"),
            ),
            (
                set.head_pressure.method.value == HeadPressureMethod::None,
                "That the head runs without head-pressure control in the coldest air of the site.",
                of_set("head_pressure"),
            ),
            (
                !set.lines
                    .iter()
                    .any(|line| line.parts.iter().any(|part| part.value.kind == PartKind::ServiceValve)),
                "Service valves and connections at head and condenser: what comes with them, which sizes.",
                of_set("connections"),
            ),
            (set.field.power.is_none(), "Circuits of head and fan on the nameplates.", of_set("power")),
            (
                set.field.water_supply.is_none(),
                "Water pressure, flow and drain that the head asks for.",
                of_set("water_supply"),
            ),
        ];
        let serving =
            self.job().condensers.iter().filter(|one| one.serves.iter().any(|served| served.value == *name));
        let mut any = false;
        for one in serving {
            any = true;
            let Figures::Stated(figures) = &one.figures else { continue };
            let key = |key: &str| format!("condenser.{}.{key}", one.name.value);
            open.extend([
                (figures.mass.is_none(), "Weight of the condenser.", key("mass")),
                (figures.outline.is_none(), "Outside measures of the condenser.", key("outline")),
                (figures.coil_volume.is_none(), "Volume inside its coil.", key("coil_volume")),
                (figures.fan_power.is_none(), "Input of its fans.", key("fan_power")),
                (figures.discharge_air.is_none(), "Which way its air leaves.", key("discharge_air")),
                (figures.sound_power.is_none(), "Sound power of the condenser.", key("sound_power")),
            ]);
        }
        if !any {
            open.push((
                true,
                "Rating, air flow, weight and measures of the condenser.",
                "condenser.NAME".to_owned(),
            ));
        }
        open.into_iter()
            .filter(|(is_open, ..)| *is_open)
            .map(|(_, what, key)| ConfirmView { what: what.to_owned(), key })
            .collect()
    }
}
