//! Record sheets: what to read while testing, evacuating and charging, and what it must be.

use super::{SetDesk, by, habit, rule, step};
use crate::{
    figure,
    study::ledger::Ledger,
    view::{FieldPartView, RecordRowView, RecordSheetView, RecordView, StepView},
};
use physics::units::{
    AbsolutePressure, GaugePressure, Time,
    unit::{pressure::pascal, time::second},
};
use tables::{Sourced, field::FieldValue};

/// Units of a column, US and SI.
pub(super) type Columns = (&'static str, &'static str);
pub(super) const TEXT: Columns = ("", "");
pub(super) const GAUGE: Columns = ("psig", "kPa gauge");
pub(super) const VACUUM: Columns = ("micron", "Pa");
pub(super) const TEMPERATURE: Columns = ("°F", "°C");
pub(super) const DIFFERENCE: Columns = ("°F", "K");
pub(super) const MASS: Columns = ("lb, oz", "kg");

/// A row that is only written down.
pub(super) fn row(what: impl Into<String>, (unit_us, unit_si): Columns) -> RecordRowView {
    RecordRowView {
        what: what.into(),
        unit_us,
        unit_si,
        value: None,
        value_unit: "",
        accept: String::new(),
        source: String::new(),
        grade: String::new(),
        blanks: 1,
    }
}

impl RecordRowView {
    /// With what must be read.
    pub(super) fn accept(self, accept: impl Into<String>) -> Self {
        Self { accept: accept.into(), ..self }
    }

    /// With the value that must be read, in SI.
    pub(super) fn at(self, value: f64, value_unit: &'static str) -> Self {
        Self { value: Some(value), value_unit, ..self }
    }

    /// By a rule.
    pub(super) fn by(self, source: &str, grade: &str) -> Self {
        Self { source: source.to_owned(), grade: grade.to_owned(), ..self }
    }

    /// Read so many times.
    pub(super) fn times(self, blanks: u32) -> Self {
        Self { blanks, ..self }
    }
}

/// A signature under a sheet.
fn signed() -> [RecordRowView; 2] {
    [row("instruments, with their numbers", TEXT), row("date, name, signature", TEXT)]
}

impl SetDesk<'_> {
    pub(super) fn records(&self, ledger: &mut Ledger) -> RecordView {
        RecordView { sheets: vec![self.of_test(ledger), self.of_evacuation(ledger), self.of_charging()] }
    }

    /// A threshold of the tables; none where a data folder leaves it out.
    pub(super) fn threshold<V: FieldValue>(&self, key: &str, ledger: &mut Ledger) -> Option<Sourced<V>> {
        let found = self.library().field().value::<V>(key).ok()?;
        ledger.note(key, &found.source);
        Some(found)
    }

    fn steps_of(part: Option<&FieldPartView>) -> Vec<StepView> {
        part.into_iter().flat_map(|part| &part.steps).map(step).collect()
    }

    fn of_test(&self, ledger: &mut Ledger) -> RecordSheetView {
        const RULE: &str = "P2 = P1 T2/T1, both absolute: ideal gas in a closed volume";
        let part = self.proved("pressure-test");
        let pressure_pa = self.proved_figure("pressure-test", "test-pressure");
        let mut rows = vec![
            row("what is tested, and what is valved off or taken out", TEXT),
            row("nitrogen regulator and relief of the rig set to", GAUGE),
        ];
        if let Some(stage) = self.threshold::<GaugePressure>("test-first-stage", ledger) {
            let stage_pa = stage.value.get().get::<pascal>();
            let accept = format!("{}: no bubbles at any joint", self.both(stage_pa, "Pa(g)"));
            let first = row("first stage, soap on every joint", GAUGE).accept(accept).at(stage_pa, "Pa(g)");
            rows.push(first.by(&stage.source.text, &stage.source.grade.to_string()));
        }
        let start = row("test pressure at the start", GAUGE);
        rows.push(match pressure_pa {
            Some(pressure) => start.accept(self.both(pressure, "Pa(g)")).at(pressure, "Pa(g)"),
            None => start.accept(
                "not below the design pressure, not above the lowest rating of what is not valved off; the test pressure \
                 of the listing or the code",
            ),
        });
        rows.push(row("temperature of the tube at the start, out of the sun", TEMPERATURE));
        rows.push(row("time at the start", TEXT));
        let hold = self.set.set.field.pressure_test.as_ref().and_then(|test| test.hold);
        let time = row("time at the end", TEXT);
        rows.push(match hold {
            Some(hold) => {
                let hold_s = hold.value.get::<second>();
                time.accept(format!("{} after the start", self.both(hold_s, "s"))).at(hold_s, "s")
            }
            None => time.accept(
                "code and specification say how long: 10 min to 24 h are said (key pressure_test.hold)",
            ),
        });
        rows.push(row("temperature of the tube at the end", TEMPERATURE).times(3));
        let most_gone_pa = part.and_then(|part| {
            part.checks.iter().find(|check| check.kind == "pressure-gone").and_then(|check| check.limit)
        });
        let told = match most_gone_pa {
            Some(most_gone) => format!(
                "start pressure, absolute, times the end temperature over the start temperature, both absolute; no more than {} \
                 below that",
                self.both(most_gone, "Pa")
            ),
            None => "start pressure, absolute, times the end temperature over the start temperature, both absolute; no more \
                     than one step of the gauge below that"
                .to_owned(),
        };
        rows.push(row("pressure at the end", GAUGE).accept(told).by(RULE, "derived").times(3));
        rows.extend(signed());
        RecordSheetView {
            name: "pressure-test",
            title: "Pressure test with nitrogen".to_owned(),
            missing: part.is_none().then(|| self.absent("pressure_test")),
            steps: Self::steps_of(part),
            rows,
        }
    }

    fn of_evacuation(&self, ledger: &mut Ledger) -> RecordSheetView {
        let part = self.proved("evacuation");
        let mut rows = vec![
            row("pump, its oil changed", TEXT),
            row("hoses, valve cores out", TEXT),
            row("air and tube, coldest place", TEMPERATURE),
            row("pump on, time", TEXT),
        ];
        let target_pa = self.proved_figure("evacuation", "target");
        let target = row("vacuum at the far end, pump shut off by its valve", VACUUM).times(3);
        let found = self.threshold::<AbsolutePressure>("evacuation-target", ledger);
        rows.push(match (target_pa, found) {
            (Some(pressure), _) => {
                target.accept(format!("at or below {}", self.both(pressure, "Pa(a)"))).at(pressure, "Pa(a)")
            }
            (None, Some(found)) => {
                let pressure = found.value.pascal();
                let target = target.accept(format!("at or below {}", self.both(pressure, "Pa(a)")));
                target.at(pressure, "Pa(a)").by(&found.source.text, &found.source.grade.to_string())
            }
            (None, None) => target,
        });
        let time = row("time to the target", ("min", "min"));
        rows.push(match self.proved_figure("evacuation", "time") {
            Some(time_s) => time
                .accept(format!(
                    "about {} by this sheet; longer says water or a leak",
                    self.both(time_s, "s")
                ))
                .at(time_s, "s"),
            None => time,
        });
        let breaks = self.set.set.field.evacuation.as_ref().and_then(|work| work.breaks);
        if let Some(breaks) = breaks {
            let what = "broken with dry nitrogen to 0 gauge, and drawn again";
            let accept = format!("{} x", breaks.value);
            rows.push(row(what, TEXT).accept(accept).at(f64::from(breaks.value), "1").times(breaks.value));
        }
        let (most, least_time) = (
            self.threshold::<AbsolutePressure>("rise-most-field", ledger),
            self.threshold::<Time>("rise-time-field", ledger),
        );
        for minutes in [0, 5, 10, 20] {
            let mut one = row(format!("rise, {minutes} min after the pump is shut off"), VACUUM);
            if let (Some(most), Some(least)) = (&most, &least_time)
                && (f64::from(minutes) * 60.0 - least.value.get::<second>()).abs() < 1.0
            {
                let pressure = most.value.pascal();
                one =
                    one.accept(format!("at or below {}", self.both(pressure, "Pa(a)"))).at(pressure, "Pa(a)");
                one = one.by(&most.source.text, &most.source.grade.to_string());
            }
            rows.push(one);
        }
        let shape = "no rise that the gauge shows: tight and dry; levels off: moisture; keeps climbing in a straight line: a leak";
        rows.push(
            row("shape of the rise", TEXT)
                .accept(shape)
                .by("trade evacuation articles; physics", "published"),
        );
        rows.extend(signed());
        RecordSheetView {
            name: "evacuation",
            title: "Evacuation and rise test".to_owned(),
            missing: part.is_none().then(|| self.absent("evacuation")),
            steps: Self::steps_of(part),
            rows,
        }
    }

    fn absent(&self, table: &str) -> String {
        format!(
            "The job has no table [set.{}.{table}]: the rules stand here, the figures of this job do not.",
            self.size.name
        )
    }

    fn of_charging(&self) -> RecordSheetView {
        let budget = self.charge.budget.as_ref();
        let mass = |value_kg: f64| figure::pounds_and_ounces(value_kg).both(self.units());
        let unknown = "not known: `lineset charge` says what is missing";
        let (added, total) =
            (budget.and_then(|budget| budget.added_kg), budget.and_then(|budget| budget.total_kg));
        let known = |what: &str, value: Option<f64>, words: String| {
            let row = row(what, MASS);
            match value {
                Some(value) => row.accept(words).at(value, "kg"),
                None => row.accept(unknown),
            }
        };
        let band = self.charge.band_kg.map_or_else(String::new, |band| format!(" ± {}", mass(band)));
        let added_words = added.map_or_else(String::new, |added| format!("{}{band}", mass(added)));
        let mut rows = vec![
            row("refrigerant on the cylinder", TEXT)
                .accept(format!("{}, nothing else", self.set.refrigerant)),
            row("factory charge on the plate", MASS),
            row("cylinder on the scale before", MASS).times(2),
            row("cylinder on the scale after", MASS).times(2),
            known("weighed in beside the factory charge", added, added_words),
            known(
                "total in the circuit, to be written on the plate",
                total,
                total.map(mass).unwrap_or_default(),
            ),
        ];
        if let (Some(factory), Some(first)) = (self.charge.factory_charge_kg, rows.get_mut(1)) {
            *first = first.clone().accept(mass(factory)).at(factory, "kg");
        }
        let stop = budget.and_then(|budget| budget.stop_kg);
        if let (Some(stop_kg), Some(budget)) = (stop, budget) {
            let never = row("never more in the circuit than", MASS).accept(format!(
                "{}: {}",
                mass(stop_kg),
                budget.stop
            ));
            rows.push(never.at(stop_kg, "kg"));
        }
        if let Some(oil_kg) = budget.and_then(|budget| budget.oil_kg) {
            rows.push(row("oil added, by weight", MASS).accept(mass(oil_kg)).at(oil_kg, "kg"));
        }
        rows.push(
            row("leak check after charging, every joint", TEXT).accept("no leak that the detector shows"),
        );
        rows.extend(signed());
        let mut steps: Vec<StepView> =
            budget.into_iter().flat_map(|budget| &budget.remarks).map(step).collect();
        steps.extend(budget.and_then(|budget| budget.winter.question.clone()).map(step));
        steps.push(habit("Liquid into the vacuum first, as much as goes in by itself, on the liquid side; the rest metered into the running suction."));
        RecordSheetView {
            name: "charging",
            title: "Charging by weight".to_owned(),
            missing: added.is_none().then(|| {
                "The added charge is not known, so there is nothing to weigh in yet: see the charge budget.".to_owned()
            }),
            steps,
            rows,
        }
    }

    /// What the bin control of an ice head must do.
    pub(super) fn bin_control(&self) -> StepView {
        let habits = self.habits();
        let (least, most) = (&habits.bin_control_least, &habits.bin_control_most);
        by(
            format!(
                "Hold ice against the bin control: the head stops within {:.0} to {:.0} s, and starts again when the ice is \
                 taken away. The head's manual wins.",
                least.value.get::<second>(),
                most.value.get::<second>()
            ),
            &least.source,
        )
    }

    /// Rule of the book of field checks with its grade.
    pub(super) fn recalled(text: &str) -> StepView {
        rule(text, "handbooks, not opened", "memory")
    }
}
