//! Start-up: head pressure to expect in the air of the day, commissioning record, hand-over.

use super::{
    SetDesk, habit,
    record::{DIFFERENCE, GAUGE, MASS, TEMPERATURE, TEXT, row},
    rule, step,
};
use crate::{
    figure::{self, Units},
    job::{HeadPressureMethod, SaturationEnd, SubcoolingAt},
    study::ledger::Ledger,
    view::{
        ConditionView, IdlePointView, LayoutView, RecordRowView, StartUpPointView, StartUpView, StepView,
    },
};
use physics::{
    fluid::Refrigerant,
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, ThermodynamicTemperature,
        unit::{
            temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::{degree_celsius, kelvin},
        },
    },
};

/// Air above the design air that the table goes to, K.
const ABOVE_DESIGN_K: f64 = 5.0;
/// Coldest air of the table where the job does not say, °C.
const FREEZING_C: f64 = 0.0;
/// Rounding of a temperature that is turned from °F to °C and back, K.
const ROUNDING_K: f64 = 1e-6;

/// Curve of the balance for one set: outdoor air, condensing temperature, whether it is held; air rising, both in K.
#[derive(Clone, Copy)]
struct Balanced {
    air_k: f64,
    condensing_k: f64,
    held: bool,
}

/// What to expect in air between two computed points. Where control lets go between them, the branch that floats is drawn on
/// and the held temperature is the floor. `None` outside the curve: it is never drawn on beyond its ends.
fn between(curve: &[Balanced], air_k: f64) -> Option<(f64, bool)> {
    let line = |a: &Balanced, b: &Balanced| {
        a.condensing_k + (air_k - a.air_k) / (b.air_k - a.air_k) * (b.condensing_k - a.condensing_k)
    };
    let after = curve.iter().position(|point| point.air_k >= air_k - ROUNDING_K)?;
    let right = &curve[after];
    if (right.air_k - air_k).abs() <= ROUNDING_K {
        return Some((right.condensing_k, right.held));
    }
    let left = &curve[after.checked_sub(1)?];
    if left.held == right.held {
        return Some((line(left, right), left.held));
    }
    let floats = curve.get(after + 1).map_or_else(|| line(left, right), |next| line(right, next));
    Some(if floats > left.condensing_k { (floats, false) } else { (left.condensing_k, true) })
}

/// Whole steps of the air, as a thermometer is read: 10 °F or 5 °C.
fn steps_c(units: Units, from_c: f64, to_c: f64) -> Vec<f64> {
    let (step_c, zero_c) = match units {
        Units::Us => (10.0 / 1.8, -32.0 / 1.8),
        Units::Si => (5.0, 0.0),
    };
    let first = ((from_c - zero_c - ROUNDING_K) / step_c).ceil();
    let last = ((to_c - zero_c + ROUNDING_K) / step_c).floor();
    // A few dozen steps at most: the air of a site lies within 100 K.
    let count = (last - first).max(-1.0) as usize;
    if last < first {
        Vec::new()
    } else {
        (0..=count).map(|step| zero_c + (first + step as f64) * step_c).collect()
    }
}

impl SetDesk<'_> {
    pub(super) fn start_up(&self, ledger: &mut Ledger) -> StartUpView {
        let habits = self.habits();
        ledger.note("answer of a bin control", &habits.bin_control_least.source);
        let design_c = self.job().site.design_air.value.get::<degree_celsius>();
        let (layout, curve) = self.curve();
        let mut missing = Vec::new();
        let (points, how) = match layout {
            Some(layout) if !curve.is_empty() => {
                (self.balanced(&curve, &mut missing), self.how_balanced(layout))
            }
            _ => {
                missing.push(self.no_balance());
                (self.stated(design_c), STATED.to_owned())
            }
        };
        StartUpView {
            how,
            missing,
            condensing_refers_to: self.end_word(),
            layout: layout.filter(|_| !curve.is_empty()).map(|layout| layout.name.clone()),
            idle: self.idle(design_c),
            points,
            expected: self.expected(),
            steps: self.steps(),
            record: self.commissioning(),
            hand_over: hand_over(),
        }
    }

    fn end(&self) -> SaturationEnd {
        self.set.set.condensing.value.end.unwrap_or(SaturationEnd::Bubble)
    }

    fn end_word(&self) -> &'static str {
        match self.end() {
            SaturationEnd::Bubble => "bubble",
            SaturationEnd::Dew => "dew",
        }
    }

    /// Gauge pressure at the site of a saturation temperature told by the end of the set.
    fn gauge_pa(&self, condensing_k: f64) -> Option<f64> {
        let temperature = ThermodynamicTemperature::new::<kelvin>(condensing_k);
        let state = match self.end() {
            SaturationEnd::Bubble => self.set.fluid.at_bubble(BubbleTemperature::new(temperature)),
            SaturationEnd::Dew => self.set.fluid.at_dew(DewTemperature::new(temperature)),
        };
        Some(self.above_air(state.ok()?.pressure))
    }

    fn above_air(&self, pressure: AbsolutePressure) -> f64 {
        pressure.pascal() - self.air_pressure().pascal()
    }

    fn subcooling_k(&self) -> f64 {
        self.set.set.subcooling.value.difference.get::<kelvin_interval>()
    }

    fn superheat_k(&self) -> Option<f64> {
        Some(self.set.set.duty.superheat()?.value.get::<kelvin_interval>())
    }

    fn curve(&self) -> (Option<&LayoutView>, Vec<Balanced>) {
        let Some(layout) = self.layout() else { return (None, Vec::new()) };
        let points = layout.against_air.iter().filter_map(|point| {
            let condensing_k = (*point.condensing_k.get(self.index)?)?;
            Some(Balanced { air_k: point.outdoor_air_k, condensing_k, held: *point.held.get(self.index)? })
        });
        (Some(layout), points.collect())
    }

    fn balanced(&self, curve: &[Balanced], missing: &mut Vec<String>) -> Vec<StartUpPointView> {
        let design_c = self.job().site.design_air.value.get::<degree_celsius>();
        let roof_k =
            self.job().site.roof_allowance.map_or(0.0, |warmer| warmer.value.get::<kelvin_interval>());
        // Air is read where the condensers stand, so the design day is as warm as the roof.
        let standing_c = design_c + roof_k;
        let from_c = self.job().site.lowest_air.map_or(FREEZING_C, |air| air.value.get::<degree_celsius>());
        let mut points: Vec<StartUpPointView> = Vec::new();
        for air_c in steps_c(self.units(), from_c, standing_c + ABOVE_DESIGN_K) {
            let found = between(curve, air_c + 273.15);
            let (condensing_k, held) =
                found.map_or((None, false), |(condensing, held)| (Some(condensing), held));
            points.push(self.point(Some(air_c), condensing_k, held, false, "balance"));
        }
        points.retain(|point| point.outdoor_air_c.is_none_or(|air| (air - standing_c).abs() > 0.05));
        let (condensing_k, held) = between(curve, standing_c + 273.15)
            .map_or((None, false), |(condensing, held)| (Some(condensing), held));
        points.push(self.point(Some(standing_c), condensing_k, held, true, "balance"));
        points.sort_by(|a, b| a.outdoor_air_c.unwrap_or(0.0).total_cmp(&b.outdoor_air_c.unwrap_or(0.0)));
        if points.iter().any(|point| point.condensing_c.is_none()) {
            missing.push(
                "air without a value: the balance of compressor, lines and condensers has no answer there"
                    .to_owned(),
            );
        }
        points
    }

    fn how_balanced(&self, layout: &LayoutView) -> String {
        let held = match self.set.set.head_pressure.method.value {
            HeadPressureMethod::None => "",
            HeadPressureMethod::FloodingValve => {
                "; while the valve holds the head pressure up, the coil is flooded and subcooling is no measure of the charge"
            }
            HeadPressureMethod::FanCycling => "; while fans cycle, the pressure swings around the held value",
            HeadPressureMethod::FanSpeed => {
                "; while the fans run slower, the pressure stays at the held value"
            }
        };
        let name = &self.size.name;
        let circuit = layout.circuits.iter().find(|circuit| circuit.set == *name);
        // The curve is that of the comparison, which leaves the heat of the lines to the design day.
        let with_heat = circuit.map_or_else(String::new, |circuit| {
            let condensing = figure::saturation_temperature(figure::celsius(circuit.condensing_k));
            format!(
                "; heat that the lines give off is left out: with it the comparison finds {} on the design day",
                condensing.both(self.units())
            )
        });
        format!(
            "Balance of compressor, lines and condensers in the layout {}, in the air that is read in the shade where the \
             condensers stand, at the full load of the job, clean coils{held}{with_heat}",
            layout.name
        )
    }

    fn no_balance(&self) -> String {
        match (self.desk.compare, self.job().condensers.is_empty()) {
            (None, true) => "head pressure in other air: the job describes no condenser (table [condenser.NAME] with serves, rating \
                             and air_flow)"
                .to_owned(),
            (None, false) => "head pressure in other air: the layouts could not be compared, as said where they would stand".to_owned(),
            (Some(_), _) => "head pressure in other air: the balance has no answer for this set".to_owned(),
        }
    }

    /// The design point of the job and the held pressure: all that can be said without condensers.
    fn stated(&self, design_c: f64) -> Vec<StartUpPointView> {
        let condition = |name: &str| self.size.conditions.iter().find(|condition| condition.name == name);
        let told_k = |condition: &ConditionView| {
            let told_c = match self.end() {
                SaturationEnd::Bubble => condition.condensing_bubble_c,
                SaturationEnd::Dew => condition.condensing_dew_c,
            };
            told_c.map(|told| told + 273.15)
        };
        let mut points = Vec::new();
        if self.set.set.head_pressure.method.value != HeadPressureMethod::None
            && let Some(held_k) = condition("low head").and_then(told_k)
        {
            points.push(self.point(None, Some(held_k), true, false, "setting"));
        }
        if let Some(summer_k) = condition("summer").and_then(told_k) {
            points.push(self.point(Some(design_c), Some(summer_k), false, true, "stated"));
        }
        points
    }

    fn point(
        &self,
        outdoor_air_c: Option<f64>,
        condensing_k: Option<f64>,
        held: bool,
        design: bool,
        from: &'static str,
    ) -> StartUpPointView {
        let units = self.units();
        let condensing_c = condensing_k.map(figure::celsius);
        let head_gauge_pa = condensing_k.and_then(|condensing| self.gauge_pa(condensing));
        let temperature_difference_k =
            condensing_c.zip(outdoor_air_c).map(|(condensing, air)| condensing - air);
        // A flooded coil subcools down towards the air, whatever the charge.
        let subcooling_k = condensing_c.filter(|_| !held).map(|_| self.subcooling_k());
        let superheat_k = condensing_c.and_then(|_| self.superheat_k());
        let said = |value: Option<f64>, figure: fn(f64) -> figure::Figure| {
            value.map_or_else(|| "-".to_owned(), |value| figure(value).both(units))
        };
        let air = match (outdoor_air_c, held) {
            (None, true) => "held, in cold air".to_owned(),
            (air, _) => said(air, figure::temperature),
        };
        StartUpPointView {
            words: [
                air,
                said(condensing_c, figure::saturation_temperature),
                said(head_gauge_pa, figure::gauge_pressure),
                said(temperature_difference_k, figure::temperature_difference),
                said(subcooling_k, figure::temperature_difference),
                said(superheat_k, figure::temperature_difference),
            ],
            outdoor_air_c,
            condensing_c,
            head_gauge_pa,
            temperature_difference_k,
            subcooling_k,
            superheat_k,
            held,
            design,
            from,
        }
    }

    /// Pressure of the idle set, all of it as warm as the air: the bubble pressure, as liquid is there.
    fn idle(&self, design_c: f64) -> Vec<IdlePointView> {
        let from_c = self.job().site.lowest_air.map_or(FREEZING_C, |air| air.value.get::<degree_celsius>());
        let units = self.units();
        steps_c(units, from_c, design_c + ABOVE_DESIGN_K)
            .into_iter()
            .filter_map(|air_c| {
                let temperature = ThermodynamicTemperature::new::<degree_celsius>(air_c);
                let state = self.set.fluid.at_bubble(BubbleTemperature::new(temperature)).ok()?;
                let bubble_gauge_pa = self.above_air(state.pressure);
                Some(IdlePointView {
                    air_c,
                    bubble_gauge_pa,
                    words: [
                        figure::temperature(air_c).both(units),
                        figure::gauge_reading(bubble_gauge_pa).both(units),
                    ],
                })
            })
            .collect()
    }

    fn expected(&self) -> Vec<RecordRowView> {
        let at = match self.set.set.subcooling.value.at {
            SubcoolingAt::CondenserOutlet => "condenser outlet",
            SubcoolingAt::ReceiverOutlet => "receiver outlet",
        };
        let subcooling_k = self.subcooling_k();
        let words = format!("{}, head pressure not held", self.both(subcooling_k, "K"));
        let mut rows =
            vec![row(format!("subcooling at the {at}"), DIFFERENCE).accept(words).at(subcooling_k, "K")];
        if let Some(superheat_k) = self.superheat_k() {
            let row = row("superheat at the evaporator outlet", DIFFERENCE);
            rows.push(row.accept(self.both(superheat_k, "K")).at(superheat_k, "K"));
        }
        let summer = self.size.conditions.iter().find(|condition| condition.name == "summer");
        if let Some(gas_c) = summer.and_then(|condition| condition.discharge_gas_c) {
            let words = format!("about {} on the design day", self.both(gas_c, "degC"));
            rows.push(row("discharge gas, at the compressor", TEMPERATURE).accept(words).at(gas_c, "degC"));
        }
        rows
    }

    fn steps(&self) -> Vec<StepView> {
        let mut steps = vec![
            step(
                "All record sheets before this one are filled in and signed: pulse test, pressure test, evacuation, charge by weight.",
            ),
            habit(
                "Crankcase heater on for as long as the maker says before the first start; service valves open, caps on and tight.",
            ),
            habit("Rotation and current of every fan; the fan runs with its own head and stops with it."),
            habit(
                "Water on: flush the supply until it runs clear, before the filter and the head; no leak at any joint, air gap at every drain.",
            ),
            habit("Throw away the first two batches of ice, or as many as the head's manual says."),
            step(
                "Read head pressure in the steady part of a freeze and hold it against the table by the air of the moment, read in the shade where the condenser stands.",
            ),
        ];
        if self.desk.size.sets.len() > 1 {
            steps.push(rule(
                "Run one head at a time first: its own fan and no other answers, and its own lines get warm.",
                "reasoned: crossed lines show by running one head at a time",
                "derived",
            ));
        }
        steps.push(self.bin_control());
        steps.push(Self::recalled(
            "A head pressure above the table with the subcooling as stated: a dirty coil, warm air drawn in, or air in the set; with \
             more subcooling: too much charge. The idle test tells air apart.",
        ));
        steps
    }

    /// The record of commissioning: ambient, water, current, pressures, times, batch, charge.
    fn commissioning(&self) -> Vec<RecordRowView> {
        const PRODUCTION: &str = "arithmetic: batch times 1440 min over the minutes of freeze and harvest";
        let tags: Vec<String> = self
            .set
            .lines
            .iter()
            .map(|line| format!("{}-{}", self.letter, super::service_letter(line.service)))
            .collect();
        vec![
            row("tags of the set, both ends seen", TEXT).accept(tags.join(", ")),
            row("air at the head, and where the condenser stands", TEMPERATURE).times(2),
            row("water into the head", TEMPERATURE),
            row("volts of each leg, running", ("V", "V")).times(3),
            row("amperes: compressor, fan, pump", ("A", "A")).times(3),
            row("suction pressure", GAUGE),
            row("head pressure", GAUGE).accept("by the table of head pressures, at the air of the moment"),
            row("TD: condensing less air at the condenser", DIFFERENCE).accept("by the same table"),
            row("superheat", DIFFERENCE),
            row("subcooling", DIFFERENCE),
            row("discharge line, 6 in (150 mm) from the compressor", TEMPERATURE)
                .accept(format!("not above {}; the maker's sheet wins", self.both((225.0 - 32.0) / 1.8, "degC")))
                .at((225.0 - 32.0) / 1.8, "degC")
                .by("trade habit; maker sheet wins", "common practice"),
            row("freeze, harvest", ("min", "min")).times(2),
            row("weight of one batch", MASS),
            row("production: batch x 1440 / (freeze + harvest in minutes)", ("lb/24 h", "kg/24 h"))
                .accept("the maker's table at the same air and water")
                .by(PRODUCTION, "derived"),
            row("charge weighed in", MASS),
            row("idle test: set off, all of it as warm as the air; air, pressure", GAUGE)
                .times(2)
                .accept("by the table of idle pressures; more than the gauge's error above it: air or nitrogen in the set")
                .by("pressure less bubble pressure at the air, liquid being there", "derived"),
            row("date, name, signature", TEXT),
        ]
    }
}

const STATED: &str = "The design point as the job states it, and the pressure that head-pressure control holds; nothing in between can be \
                      told without the condensers";

fn hand_over() -> Vec<StepView> {
    [
        "This pack, with record sheets filled in and signed, stays with the equipment.",
        "Total charge, refrigerant and date are on the plate of the head; the tags hang at both ends of every line.",
        "Labels of breaker, disconnect and water valve; the owner has been shown how to shut off power and water.",
        "Manuals of head and condenser, warranty cards, serial numbers of both, written down.",
        "The owner knows: coil to be kept clean, filter to be changed, what a warm roof does to the ice of a hot day, whom to call.",
        "Roof left clean, penetrations seen from below after the first rain.",
    ]
    .map(habit)
    .to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(air_c: f64, condensing_c: f64, held: bool) -> Balanced {
        Balanced { air_k: air_c + 273.15, condensing_k: condensing_c + 273.15, held }
    }

    #[test]
    fn the_floor_holds_until_the_floating_branch_rises_above_it() {
        // Held at 20 °C; floats at air + 12 K, so control lets go in air of 8 °C.
        let curve = [
            point(-5.0, 20.0, true),
            point(5.0, 20.0, true),
            point(15.0, 27.0, false),
            point(25.0, 37.0, false),
        ];
        for (air_c, condensing_c, held) in [
            (-5.0, 20.0, true),
            (0.0, 20.0, true),
            (7.0, 20.0, true),
            (9.0, 21.0, false),
            (20.0, 32.0, false),
            (25.0, 37.0, false),
        ] {
            let (found_k, found_held) = between(&curve, air_c + 273.15).unwrap();
            assert!((found_k - 273.15 - condensing_c).abs() < 1e-9, "{air_c}: {found_k}");
            assert_eq!(found_held, held, "{air_c}");
        }
        assert!(between(&curve, 272.15 - 5.0).is_none(), "never beyond the ends of the curve");
        assert!(between(&curve, 273.15 + 25.1).is_none());
    }

    #[test]
    fn air_goes_in_steps_that_a_thermometer_shows() {
        let us: Vec<f64> =
            steps_c(Units::Us, -23.4, 40.0).iter().map(|air| (air * 1.8 + 32.0).round()).collect();
        assert_eq!((us.first(), us.last(), us.len()), (Some(&-10.0), Some(&100.0), 12));
        assert_eq!(steps_c(Units::Si, -20.0, 0.0), [-20.0, -15.0, -10.0, -5.0, 0.0]);
        assert!(steps_c(Units::Si, 1.0, 4.0).is_empty());
    }
}
