//! The proving study: pressure test, evacuation and holding charge of the lines of every set.

use super::{
    check::made,
    each_once,
    field::{Part, air_or_room, gauge_pa, set_view, view},
    ledger::Ledger,
    resolve::{Resolved, ResolvedSet, glide_k},
    size::SizedSet,
    strength::CLOSES,
    wording,
};
use crate::{
    figure,
    job::{
        HeadPressureMethod, ReceiverAt,
        field::{Evacuation, Holding, HoldingGas, PressureTest, PumpedFrom},
    },
    view::{CheckView, FieldPartView, FieldSetView, FieldView, VerdictView},
};
use physics::{
    check::Sense,
    field::{
        FieldError, holding,
        nitrogen::{
            GaugeDoubts, HoldReading, HoldResult, HoldVerdict, hold_test, leak_mass_rate, leak_throughput,
            nitrogen_molar_mass, smallest_leak,
        },
        vacuum::{
            EvacuatedLine, EvacuationTime, Limit, Passage, Pump, Rig, RiseMeaning, RiseReading, RiseTest,
            conductance, dilution, evacuation_time, rise_test,
        },
    },
    outcome::{Caveat, Outcome},
    units::{
        AbsolutePressure, Bore, GaugePressure, Mass, PASCAL_PER_MICRON, Pressure, Ratio, TemperatureInterval,
        ThermodynamicTemperature, Throughput, Time, Volume,
        unit::{
            mass::kilogram, mass_rate::kilogram_per_second, pressure::pascal, ratio::ratio,
            temperature_interval, thermodynamic_temperature::degree_celsius, time::second,
            volume::cubic_meter, volume_rate::cubic_meter_per_second,
        },
    },
};

/// Half-width that a temperature of the air leaves on that of the gas where nothing says better, K.
const AIR_DOUBT_K: f64 = 1.0;
/// Step of a vacuum gauge where the job does not say, Pa: 10 micron.
const VACUUM_STEP_PA: f64 = 10.0 * PASCAL_PER_MICRON;
const YEAR_S: f64 = 365.25 * 86_400.0;

/// Judges pressure test, evacuation and holding charge of every set, as far as the job has their tables.
#[must_use]
pub fn prove(resolved: &Resolved<'_>) -> FieldView {
    let mut ledger = resolved.ledger.only(&["properties of", "design temperature"]);
    let sets = resolved.sets.iter().map(|set| of_set(set, resolved, &mut ledger)).collect();
    let not_contained = [
        "order and permits of the work, joints and their brazing, the test pressure that a listing or a code asks for",
        "head, condenser and receiver in the volumes, unless pressure_test.volume states them",
    ];
    view(resolved, sets, ledger, &not_contained, wording::cautions_of_tests())
}

fn of_set(set: &ResolvedSet<'_>, resolved: &Resolved<'_>, ledger: &mut Ledger) -> FieldSetView {
    let work = &set.set.field;
    let table = |name: &str, what: &str| format!("{what}: table [set.{}.{name}]", set.set.name.value);
    let absent = [
        (work.pressure_test.is_none(), table("pressure_test", "pressure test with nitrogen")),
        (work.evacuation.is_none(), table("evacuation", "evacuation and rise test")),
        (work.holding.is_none(), table("holding", "holding charge")),
    ];
    let absent = absent.into_iter().filter_map(|(is_absent, table)| is_absent.then_some(table)).collect();
    let (mut parts, mut assumptions) = (Vec::new(), Vec::new());
    // The altitude of every job lies in the range of the standard atmosphere.
    if let Some(atmosphere) = resolved.atmosphere
        && (work.pressure_test.is_some() || work.evacuation.is_some() || work.holding.is_some())
    {
        let sized = SizedSet::until_taken(set, resolved.library);
        for line in &sized.lines {
            if let Some(product) = line.taken_product() {
                ledger.note(format!("tube {}", product.printed_name()), &product.source);
            }
            if let Some(strength) = line.strength_of_taken() {
                strength.note_rating(ledger);
            }
        }
        let mut proof = Proof { sized, resolved, atmosphere, ledger, assumptions };
        parts.extend(work.pressure_test.as_ref().map(|test| proof.pressure_test(test)));
        parts.extend(work.evacuation.as_ref().map(|evacuation| proof.evacuation(evacuation)));
        parts.extend(work.holding.as_ref().map(|holding| proof.holding(holding)));
        assumptions = proof.assumptions;
    }
    set_view(set, parts, absent, each_once(assumptions))
}

/// One set on the day of its tests.
struct Proof<'a, 'b> {
    sized: SizedSet<'a>,
    resolved: &'a Resolved<'a>,
    atmosphere: AbsolutePressure,
    ledger: &'b mut Ledger,
    assumptions: Vec<String>,
}

impl Proof<'_, '_> {
    fn both(&self, value: f64, unit: &str) -> String {
        self.resolved.both(value, unit)
    }

    /// Volume that is stated, or that of the lines in the tubes taken.
    fn volume(&mut self) -> Option<Volume> {
        let stated = self.sized.set.set.field.pressure_test.as_ref().and_then(|test| test.volume);
        if let Some(volume) = stated {
            return Some(volume.value);
        }
        let mut volume = Volume::new::<cubic_meter>(0.0);
        for line in &self.sized.lines {
            let (_, case, _) = line.taken()?;
            volume += case.line.run() * case.line.bore.area();
        }
        self.assumptions
            .push("the volume is that of the lines alone (change with pressure_test.volume)".to_owned());
        Some(volume)
    }

    /// Parts that hide what lies behind them, line by line.
    fn closing_parts(&self) -> Vec<String> {
        let of_lines = self.sized.lines.iter().flat_map(|line| {
            let parts = line.line.text.parts.iter().filter(|part| CLOSES.contains(&part.value.kind));
            parts.map(|part| {
                let plural = if part.value.count > 1 { "s" } else { "" };
                let (count, kind) = (part.value.count, part.value.kind.name());
                format!("{count} {kind}{plural} in the {} line", line.line.service.name())
            })
        });
        let valve = self.sized.set.set.head_pressure.method.value == HeadPressureMethod::FloodingValve;
        of_lines.chain(valve.then(|| "the head-pressure valve".to_owned())).collect()
    }

    fn pressure_test(&mut self, test: &PressureTest) -> FieldPartView {
        let mut part = Part::new("pressure-test", self.resolved.library);
        let pressure_pa = gauge_pa(test.pressure.value, self.atmosphere);
        part.figure("test-pressure", pressure_pa, "Pa(g)");
        self.against_ratings(&mut part, test, pressure_pa);
        self.least_pressure(&mut part, pressure_pa);
        let volume = self.volume();
        match volume {
            Some(volume) => part.figure("volume", volume.get::<cubic_meter>(), "m3"),
            None => part.remark("no tube could be taken for a line, so the volume is not known"),
        }
        let held = self.hold(&mut part, test);
        if let (Some(held), Some(volume), Some(hold)) = (&held, volume, test.hold) {
            self.leaks(&mut part, held, volume, hold.value);
        }
        self.steps(&mut part, test);
        let wrong = part.fails(&["test-pressure", "least-test-pressure"]);
        let answer = match &held {
            _ if wrong => "The test pressure is wrong: see its checks before the hold is read".to_owned(),
            Some(held) if test.reading.is_some() => match held.verdict {
                HoldVerdict::Holds => "The lines hold: the gauge shows what the temperature explains".to_owned(),
                HoldVerdict::TooCloseToCall => {
                    "Too close to call: hold longer, or read gauge and tube temperature more finely".to_owned()
                }
                HoldVerdict::Leaks => format!(
                    "The lines leak: {} more is gone than weather and gauge explain",
                    self.both(-held.difference.get::<pascal>(), "Pa")
                ),
                HoldVerdict::Gains => {
                    "More pressure has come than weather explains: a valve feeds, or a reading is wrong; test again"
                        .to_owned()
                }
            },
            _ => format!(
                "Test with dry nitrogen at {}; nothing has been read yet",
                self.both(pressure_pa, "Pa(g)")
            ),
        };
        part.done(answer)
    }

    /// The test pressure against the lowest of what is not valved off.
    fn against_ratings(&self, part: &mut Part<'_>, test: &PressureTest, pressure_pa: f64) {
        let (set, library) = (self.sized.set, self.resolved.library);
        let isolated = |name: &str| test.isolated.iter().any(|part| part.value == name);
        let mut bounds: Vec<(String, f64)> = Vec::new();
        for (name, rated) in &set.set.strength.ratings {
            bounds.push((format!("rating of the {}", name.value), gauge_pa(rated.value, self.atmosphere)));
        }
        bounds.retain(|(name, _)| !isolated(name.trim_start_matches("rating of the ")));
        if let Some(relief) = set.set.strength.relief.filter(|_| !isolated("relief")) {
            bounds.push(("relief".to_owned(), gauge_pa(relief.value, self.atmosphere)));
        }
        for line in &self.sized.lines {
            let service = line.line.service.name();
            for rated in &line.line.text.parts {
                if let Some(pressure) = rated.value.rated {
                    let name = format!("rating of the {} in the {service} line", rated.value.kind.name());
                    bounds.push((name, gauge_pa(pressure, self.atmosphere)));
                }
            }
            let strength = line.strength_of_taken().zip(line.taken_product());
            if let Some((strength, product)) = strength {
                match strength.view(set, line.line, product, library).tube {
                    Some(tube) => bounds.push((
                        format!(
                            "working pressure of the {service} tube at {}",
                            self.both(tube.temperature_c, "degC")
                        ),
                        tube.working_gauge_pa,
                    )),
                    None => part.lacks(
                        "tube-working-pressure",
                        format!("a tube whose wall the tables rate, for the {service} line"),
                    ),
                }
            }
        }
        for name in ["head", "condenser", "receiver"] {
            let there = name != "receiver" || set.set.receiver_at.value != ReceiverAt::None;
            let rated = set.set.strength.ratings.iter().any(|(part, _)| part.value == name);
            if there && !rated && !isolated(name) {
                part.lacks(
                    &format!("test-pressure-on-the-{name}"),
                    format!(
                        "its marked pressure (key strength.ratings = {{ {name} = \"...\" }}), or \"{name}\" in \
                         pressure_test.isolated"
                    ),
                );
            }
        }
        let Some((name, lowest_pa)) = bounds.into_iter().min_by(|a, b| a.1.total_cmp(&b.1)) else { return };
        part.against(
            "test-pressure",
            pressure_pa,
            lowest_pa,
            Sense::AtMost,
            "Pa(g)",
            ("job", &format!("{name}, the lowest of all that is not valved off")),
        );
        if !isolated("relief") && set.set.strength.relief.is_none() {
            part.lacks(
                "relief",
                "where the relief opens (key strength.relief), or \"relief\" in pressure_test.isolated",
            );
        }
    }

    /// The test pressure against what codes ask for.
    fn least_pressure(&mut self, part: &mut Part<'_>, pressure_pa: f64) {
        let (set, library) = (self.sized.set, self.resolved.library);
        let standstill = self.sized.lines.iter().find_map(|line| {
            let strength = line.strength_of_taken()?;
            strength.view(set, line.line, line.taken_product()?, library).standstill_gauge_pa
        });
        let relief = set.set.strength.relief.map(|relief| gauge_pa(relief.value, self.atmosphere));
        let design = [standstill, relief].into_iter().flatten().reduce(f64::min);
        let Some((times, source)) = part.threshold::<Ratio>("test-pressure-least", self.ledger) else {
            return;
        };
        match design {
            Some(design_pa) => part.against(
                "least-test-pressure",
                pressure_pa,
                times.get::<ratio>() * design_pa,
                Sense::AtLeast,
                "Pa(g)",
                ("practice", &source),
            ),
            None => part.lacks(
                "least-test-pressure",
                "the design pressure (keys strength.relief, strength.design_temperature)",
            ),
        }
    }

    /// What the readings say; before there are any, the start against itself, whose band is that of the test to come.
    fn hold(&mut self, part: &mut Part<'_>, test: &PressureTest) -> Option<HoldResult> {
        let start_pressure = test.pressure.value.absolute(self.atmosphere);
        let Some(air) = test.air else {
            part.lacks("hold", "the air at the start (key pressure_test.air)");
            return None;
        };
        let Some(gauge) = test.gauge else {
            part.lacks("hold", "the smallest step of the gauge (key pressure_test.gauge)");
            return None;
        };
        part.figure("air-at-start", air.value.get::<degree_celsius>(), "degC");
        let start = HoldReading { pressure: start_pressure, temperature: air.value };
        let end = match (test.reading, test.reading_air) {
            (Some(reading), Some(air)) => Some(HoldReading {
                pressure: reading.value.absolute(self.atmosphere),
                temperature: air.value,
            }),
            (Some(_), None) => {
                part.lacks("hold", "the air at the reading (key pressure_test.reading_air)");
                None
            }
            (None, _) => {
                part.lacks("hold", "the pressure at the end (key pressure_test.reading)");
                None
            }
        };
        self.assumptions.push(format!(
            "the gas is within {} of the stated air: read at the tube, out of the sun",
            figure::temperature_difference(AIR_DOUBT_K).both(self.resolved.units())
        ));
        let doubts = GaugeDoubts {
            resolution: gauge.value,
            temperature: TemperatureInterval::new::<temperature_interval::kelvin>(AIR_DOUBT_K),
        };
        let held = match hold_test(&start, &end.unwrap_or(start), &doubts) {
            Ok(held) => held.value,
            Err(error) => {
                part.refused("hold", error);
                return None;
            }
        };
        if let Some(end) = end {
            let above = |pressure: AbsolutePressure| pressure.gauge(self.atmosphere).get().get::<pascal>();
            part.figure("air-at-reading", end.temperature.get::<degree_celsius>(), "degC");
            part.figure("pressure-expected", above(held.expected), "Pa(g)");
            part.figure("pressure-read", above(end.pressure), "Pa(g)");
            let surely = self.both(held.band.get::<pascal>(), "Pa");
            part.check(hold_check(&held, &surely));
        }
        Some(held)
    }

    /// Leak found, and the smallest that this hold can show.
    fn leaks(&self, part: &mut Part<'_>, held: &HoldResult, volume: Volume, hold: Time) {
        part.figure("held", hold.get::<second>(), "s");
        let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
        let mut tell = |what: &str, leak: Result<Outcome<Throughput>, FieldError>| {
            let rate = leak.and_then(|leak| {
                let rate = leak_mass_rate(leak.value, nitrogen_molar_mass(), temperature)?;
                Ok((leak.value.pascal_cubic_metre_per_second(), rate.value.get::<kilogram_per_second>()))
            });
            match rate {
                Ok((throughput, rate_kg_s)) => {
                    part.figure(what, throughput, "Pa m3/s");
                    part.figure(&format!("{what}-of-nitrogen"), YEAR_S * rate_kg_s, "kg/a");
                }
                Err(error) => part.refused(what, error),
            }
        };
        tell("smallest-leak-shown", smallest_leak(volume, held.band, hold));
        if held.verdict == HoldVerdict::Leaks {
            tell("leak", leak_throughput(volume, -held.difference, hold));
        }
        part.remark(
            "a leak smaller than the smallest shown passes this test: search the joints with bubbles or a detector, and \
             read the rise test of the evacuation",
        );
    }

    fn steps(&mut self, part: &mut Part<'_>, test: &PressureTest) {
        let closing = self.closing_parts();
        if closing.is_empty() {
            part.step("the job lists no part in the lines that closes: look for one all the same, it hides what is behind it");
        } else {
            part.step(format!(
                "hold open, or bypass, what hides the far side, the roof side most of all: {}",
                closing.join("; ")
            ));
        }
        let isolated: Vec<&str> = test.isolated.iter().map(|part| part.value.as_str()).collect();
        if !isolated.is_empty() {
            part.step(format!(
                "valve off or take out, what is behind it open to the air: {}",
                isolated.join(", ")
            ));
        }
        if let Some((stage, _)) = part.threshold::<GaugePressure>("test-first-stage", self.ledger) {
            part.step(format!(
                "nitrogen through a regulator with a relief of its own: first {}, soap on every joint",
                self.both(stage.get().get::<pascal>(), "Pa(g)")
            ));
        }
        if let Some((step, _)) = part.threshold::<Ratio>("test-ramp-step", self.ledger) {
            let share = figure::percent(step.get::<ratio>()).both(self.resolved.units());
            part.step(format!("then upwards by {share} at a time with pauses, nobody beside the joints"));
        }
        part.step("hold, read pressure and temperature of the tube, then release slowly into the open air");
        part.remark(
            "how long to hold is for code and specification: sources say 10 min, 1 h, 2 h and 24 h (lineset sources, \
             test hold)",
        );
    }

    fn evacuation(&mut self, evacuation: &Evacuation) -> FieldPartView {
        let mut part = Part::new("evacuation", self.resolved.library);
        let volume = self.volume();
        let target = match evacuation.target {
            Some(target) => Some(target.value),
            None => {
                let found = part.threshold::<AbsolutePressure>("evacuation-target", self.ledger);
                found.map(|(target, source)| {
                    self.assumptions.push(format!(
                        "the target is {} ({source}; change with evacuation.target)",
                        self.both(target.pascal(), "Pa(a)")
                    ));
                    target
                })
            }
        };
        if let Some(target) = target {
            part.figure("target", target.pascal(), "Pa(a)");
        }
        if let Some(volume) = volume {
            part.figure("volume", volume.get::<cubic_meter>(), "m3");
        }
        let timed = target
            .zip(volume)
            .and_then(|(target, volume)| self.pumped(&mut part, evacuation, volume, target));
        let risen = volume.and_then(|volume| self.rise(&mut part, evacuation, volume));
        if let (Some(breaks), Some(target)) = (evacuation.breaks, target) {
            // Broken to the pressure of the air, each time from the target.
            match dilution(target, self.atmosphere, breaks.value + 1) {
                Ok(left) => part.remark(format!(
                    "pumped {} times and broken {} with nitrogen to 0 gauge in between, {:.1e} of the first gas is left: it is \
                     thinned, not dried; water that clings to the tube leaves by heat and time",
                    breaks.value + 1,
                    times(breaks.value),
                    left.get::<ratio>()
                )),
                Err(error) => part.refused("dilution", error),
            }
        }
        part.step("take the valve cores out, hoses as wide and short as can be, the gauge on the set and not on the pump");
        part.step(
            "shut the pump off by a valve before the rise is read; never start the compressor in a vacuum",
        );
        let answer = match (risen, timed) {
            (Some(meaning), Some(time)) => format!("{meaning}. {time}"),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => "Neither time nor rise could be judged: see what is not checked".to_owned(),
        };
        part.done(answer)
    }

    /// How long it takes and what limits it.
    fn pumped(
        &mut self,
        part: &mut Part<'_>,
        evacuation: &Evacuation,
        volume: Volume,
        target: AbsolutePressure,
    ) -> Option<String> {
        let (Some(speed), Some(ultimate)) = (evacuation.pump, evacuation.ultimate) else {
            part.lacks("pump-down", "the pump (keys evacuation.pump and evacuation.ultimate)");
            return None;
        };
        if evacuation.hoses.is_empty() {
            part.lacks(
                "pump-down",
                "bore and length of the hoses (key evacuation.hoses = [\"3/8 in x 3 ft\"])",
            );
            return None;
        }
        part.against(
            "pump-ultimate",
            ultimate.value.pascal(),
            target.pascal(),
            Sense::AtMost,
            "Pa(a)",
            ("job", "the target of the evacuation"),
        );
        if ultimate.value >= target {
            return Some(
                "The pump never gets down to the target: change its oil, or take a better pump".to_owned(),
            );
        }
        let air = air_or_room(evacuation.air, "evacuation.air", self.resolved, &mut self.assumptions);
        match self.time(
            part,
            evacuation,
            Pump { speed: speed.value, ultimate: ultimate.value },
            volume,
            target,
            air,
        ) {
            Ok(time) => Some(self.timed(part, evacuation, &time)),
            Err(error) => {
                part.refused("pump-down", error);
                None
            }
        }
    }

    fn time(
        &self,
        part: &mut Part<'_>,
        evacuation: &Evacuation,
        pump: Pump,
        volume: Volume,
        target: AbsolutePressure,
        air: ThermodynamicTemperature,
    ) -> Result<Outcome<EvacuationTime>, FieldError> {
        let hoses: Vec<Passage> = evacuation
            .hoses
            .iter()
            .map(|hose| Passage::new(Bore::new(hose.value.bore), hose.value.length))
            .collect::<Result<_, _>>()?;
        for (index, hose) in hoses.iter().enumerate() {
            let through = conductance(hose, target)?.value.get::<cubic_meter_per_second>();
            part.figure(&format!("hose-{}-conductance-at-target", index + 1), through, "m3/s air");
        }
        let rig = Rig::new(pump, hoses.iter().map(|hose| vec![*hose]).collect())?;
        part.figure("pump-speed", pump.speed.get::<cubic_meter_per_second>(), "m3/s air");
        part.figure("speed-at-the-set", rig.speed(target)?.value.get::<cubic_meter_per_second>(), "m3/s air");
        let both_ends = evacuation.from.value == PumpedFrom::Both;
        let water = evacuation.water.map_or(Mass::new::<kilogram>(0.0), |water| water.value);
        let mut slowest: Option<Outcome<EvacuationTime>> = None;
        for line in &self.sized.lines {
            let Some((_, case, _)) = line.taken() else { continue };
            let passage = Passage::new(case.line.bore, case.line.run())?;
            let through = conductance(&passage, target)?.value.get::<cubic_meter_per_second>();
            part.figure(
                &format!("{}-line-conductance-at-target", line.line.service.name()),
                through,
                "m3/s air",
            );
            let evacuated = EvacuatedLine { passage, both_ends };
            let time = evacuation_time(&rig, volume, Some(&evacuated), self.atmosphere, target, water, air)?;
            if slowest.as_ref().is_none_or(|other| time.value.line > other.value.line) {
                slowest = Some(time);
            }
        }
        match slowest {
            Some(time) => Ok(time),
            None => evacuation_time(&rig, volume, None, self.atmosphere, target, water, air),
        }
    }

    fn timed(&self, part: &mut Part<'_>, evacuation: &Evacuation, time: &Outcome<EvacuationTime>) -> String {
        let seconds = |time: Time| time.get::<second>();
        let found = time.value;
        for (what, share) in [
            ("time", found.total()),
            ("time-of-the-pump-alone", found.pump),
            ("time-that-hoses-add", found.hoses),
            ("time-that-the-far-end-adds", found.line),
            ("time-that-water-adds", found.water),
        ] {
            part.figure(what, seconds(share), "s");
        }
        if time.caveats.has(Caveat::TurbulentEvacuation) {
            part.remark("air rushes through the hoses at first faster than laminar flow: the time of the pump is a lower bound");
        }
        if time.caveats.has(Caveat::WaterMayFreeze) && evacuation.water.is_some() {
            part.remark("below 4,588 micron (612 Pa) water may freeze, and ice leaves slowly: break with nitrogen, warm the lines");
        }
        if evacuation.water.is_none() {
            part.remark("lines taken as dry; water decides the real time (key evacuation.water): dry lines pump down in minutes");
        }
        if evacuation.from.value != PumpedFrom::Both {
            part.remark("pumped from one end: the gauge belongs at the other, and both ends are faster");
        }
        let limit = match found.limit() {
            Limit::Pump => "the pump limits it",
            Limit::Hoses => "the hoses limit it: wider, shorter or two of them, valve cores out",
            Limit::Line => "the lines limit it: pump from both ends",
            Limit::Water => "water limits it: dry with nitrogen and warmth",
        };
        let time = self.both(seconds(found.total()), "s");
        format!("Down to the target in about {time}; {limit}")
    }

    /// What the rise after the pump is shut off means.
    fn rise(&mut self, part: &mut Part<'_>, evacuation: &Evacuation, volume: Volume) -> Option<String> {
        let Some(last) = evacuation.rise.last().map(|reading| reading.value) else {
            part.lacks("rise", "readings after the pump is shut off (key evacuation.rise)");
            return None;
        };
        let step = evacuation.gauge.map_or_else(
            || {
                self.assumptions.push(format!(
                    "the vacuum gauge shows steps of {} (change with evacuation.gauge)",
                    self.both(VACUUM_STEP_PA, "Pa(a)")
                ));
                VACUUM_STEP_PA
            },
            |gauge| gauge.value.pascal(),
        );
        let air = air_or_room(evacuation.air, "evacuation.air", self.resolved, &mut self.assumptions);
        let readings: Vec<RiseReading> = evacuation
            .rise
            .iter()
            .map(|reading| RiseReading { time: reading.value.time, pressure: reading.value.pressure })
            .collect();
        let test =
            RiseTest { readings: &readings, resolution: Pressure::new::<pascal>(step), volume, coldest: air };
        let rise = match rise_test(&test) {
            Ok(rise) => rise.value,
            Err(error) => {
                part.refused("rise", error);
                return None;
            }
        };
        let pascals = |pressure: AbsolutePressure| self.both(pressure.pascal(), "Pa(a)");
        let (verdict, answer) = match rise.meaning {
            RiseMeaning::Tight => {
                (VerdictView::Meets, "Tight and dry: no rise that the gauge can show".to_owned())
            }
            RiseMeaning::Leak { throughput } => {
                part.figure("leak", throughput.pascal_cubic_metre_per_second(), "Pa m3/s");
                (VerdictView::Fails, "A leak: the pressure keeps climbing in a straight line".to_owned())
            }
            RiseMeaning::Moisture { level, free_water } => {
                part.figure("levels-off-at", level.pascal(), "Pa(a)");
                let how =
                    if free_water { "free water lies in the lines" } else { "water leaves oil or walls" };
                (
                    VerdictView::Fails,
                    format!(
                        "Moisture: the rise levels off at {}, {how}; break with nitrogen and pump on",
                        pascals(level)
                    ),
                )
            }
            RiseMeaning::LevelsAboveWater { level } => {
                part.figure("levels-off-at", level.pascal(), "Pa(a)");
                (
                    VerdictView::Fails,
                    format!(
                        "The rise levels off at {}, above what water can do: refrigerant leaves oil, or a closed part feeds",
                        pascals(level)
                    ),
                )
            }
            RiseMeaning::TooCloseToCall => (
                VerdictView::TooCloseToCall,
                "Too close to call: the curve shows neither leak nor moisture yet; hold longer".to_owned(),
            ),
        };
        part.figure("rise", rise.rise.get::<pascal>(), "Pa(a)");
        if let Some(straightness) = rise.straightness {
            part.figure("slope-late-over-early", straightness.get::<ratio>(), "1");
        }
        part.check(CheckView {
            source: "the shape of the rise: straight is a leak, levelling off is moisture".to_owned(),
            ..judged("rise", rise.rise.get::<pascal>(), verdict)
        });
        let most = part.threshold::<AbsolutePressure>("rise-most-field", self.ledger);
        let least_time = part.threshold::<Time>("rise-time-field", self.ledger);
        if let (Some((most, source)), Some((least, _))) = (most, least_time) {
            if last.time >= least {
                part.against(
                    "pressure-after-rise",
                    last.pressure.pascal(),
                    most.pascal(),
                    Sense::AtMost,
                    "Pa(a)",
                    ("practice", &source),
                );
            } else {
                part.lacks(
                    "pressure-after-rise",
                    format!(
                        "a reading after {} (key evacuation.rise)",
                        self.both(least.get::<second>(), "s")
                    ),
                );
            }
        }
        Some(answer)
    }

    fn holding(&mut self, holding: &Holding) -> FieldPartView {
        let mut part = Part::new("holding-charge", self.resolved.library);
        let pressure = holding.pressure.value.absolute(self.atmosphere);
        let held_pa = gauge_pa(holding.pressure.value, self.atmosphere);
        part.figure("holding-pressure", held_pa, "Pa(g)");
        for (kind, key, sense) in [
            ("holding-pressure-least", "holding-charge-least", Sense::AtLeast),
            ("holding-pressure-most", "holding-charge-most", Sense::AtMost),
        ] {
            if let Some((limit, source)) = part.threshold::<GaugePressure>(key, self.ledger) {
                part.against(
                    kind,
                    held_pa,
                    limit.get().get::<pascal>(),
                    sense,
                    "Pa(g)",
                    ("practice", &source),
                );
            }
        }
        let air = air_or_room(holding.air, "holding.air", self.resolved, &mut self.assumptions);
        let Some(volume) = self.volume() else {
            part.lacks("holding-mass", "a tube for every line");
            return part.done("The mass of the holding charge is not known");
        };
        part.figure("volume", volume.get::<cubic_meter>(), "m3");
        let fluid = &self.sized.set.fluid;
        let (mass, what) = match holding.gas.value {
            HoldingGas::Nitrogen => (holding::nitrogen_mass(volume, pressure, air), "nitrogen".to_owned()),
            HoldingGas::Refrigerant => (
                holding::vapour_mass(fluid, volume, pressure, air),
                format!("{} vapour", self.sized.set.refrigerant),
            ),
        };
        if holding.gas.value == HoldingGas::Refrigerant {
            // 0.1 K: below it vapour and liquid are one make-up for all that a scale can tell.
            if glide_k(fluid, air).is_none_or(|glide_k| glide_k > 0.1) {
                part.remark("a blend is taken from its cylinder as liquid, throttled into the line: as vapour its make-up shifts");
            }
            part.remark("a holding charge of refrigerant is recovered, never vented; nitrogen needs no licence to let go");
        }
        part.remark("it shows that the lines are whole; it is no part of the charge. No hiss on opening: reject, and test again");
        match mass {
            Ok(mass) => {
                let mass_kg = mass.value.get::<kilogram>();
                part.figure("holding-mass", mass_kg, "kg");
                let answer = format!("{} of {what} in the lines", self.both(mass_kg, "kg"));
                part.done(answer)
            }
            Err(error) => {
                part.refused("holding-mass", error);
                part.done("The mass of the holding charge is not known")
            }
        }
    }
}

fn times(count: u32) -> String {
    if count == 1 { "once".to_owned() } else { format!("{count} times") }
}

/// Pressure gone beyond what the temperature explains.
///
/// `surely`: what neither gauge nor thermometer explain, in words.
fn hold_check(held: &HoldResult, surely: &str) -> CheckView {
    let gone_pa = -held.difference.get::<pascal>();
    let verdict = match held.verdict {
        HoldVerdict::Holds => VerdictView::Meets,
        // Pressure that comes from somewhere proves nothing of the lines.
        HoldVerdict::Leaks | HoldVerdict::Gains => VerdictView::Fails,
        HoldVerdict::TooCloseToCall => VerdictView::TooCloseToCall,
    };
    CheckView {
        verdict,
        whose: "physics".to_owned(),
        source: format!(
            "P2 = P1 T2/T1, both absolute; the limit is what the steps of the gauge explain, and beyond {surely} it is a leak"
        ),
        matters_most: (verdict == VerdictView::TooCloseToCall).then(|| "temperature of the gas".to_owned()),
        settled_by: (verdict == VerdictView::TooCloseToCall)
            .then(|| "a longer hold, read at the same air temperature as the start".to_owned()),
        ..made("pressure-gone", gone_pa, held.explained.get::<pascal>(), Sense::AtMost, "Pa", None)
    }
}

/// A check whose verdict comes from a curve: no limit stands beside its value.
fn judged(kind: &str, value_pa: f64, verdict: VerdictView) -> CheckView {
    CheckView {
        limit: None,
        margin: None,
        verdict,
        whose: "physics".to_owned(),
        ..made(kind, value_pa, value_pa, Sense::AtMost, "Pa(a)", None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        job,
        study::{
            field::of_tests::{CELLAR, check, figure, of_cellar, part},
            resolve,
        },
    };

    fn proved(changes: &[(&str, &str)]) -> FieldView {
        of_cellar(changes, prove)
    }

    #[test]
    fn a_cold_night_holds_a_pound_less_leaks_and_warm_air_gains() {
        let verdict =
            |changes: &[(&str, &str)]| check(&proved(changes), "pressure-test", "pressure-gone").verdict;
        assert_eq!(verdict(&[]), VerdictView::Meets);
        assert_eq!(verdict(&[("\"402 psig\"", "\"399.4 psig\"")]), VerdictView::TooCloseToCall);
        assert_eq!(verdict(&[("\"402 psig\"", "\"395 psig\"")]), VerdictView::Fails);
        assert_eq!(verdict(&[("\"402 psig\"", "\"410 psig\"")]), VerdictView::Fails);
        let leaks = proved(&[("\"402 psig\"", "\"395 psig\"")]);
        assert!(
            figure(&leaks, "pressure-test", "leak") > figure(&leaks, "pressure-test", "smallest-leak-shown")
        );
    }

    #[test]
    fn the_lowest_rating_that_is_not_valved_off_bounds_the_pressure() {
        let limit = |changes: &[(&str, &str)]| {
            check(&proved(changes), "pressure-test", "test-pressure").limit.unwrap() / 6894.757
        };
        approx::assert_relative_eq!(limit(&[]), 450.0, max_relative = 1e-6);
        let isolated = [("[\"relief\"]", "[\"relief\", \"head\", \"receiver\"]")];
        approx::assert_relative_eq!(limit(&isolated), 500.0, max_relative = 1e-6);
        let weak = [("kv 1.6 m3/h", "kv 1.6 m3/h rated 400 psig")];
        let view = proved(&weak);
        assert_eq!(check(&view, "pressure-test", "test-pressure").verdict, VerdictView::Fails);
        assert!(part(&view, "pressure-test").answer.starts_with("The test pressure is wrong"));
        assert_eq!(
            check(&proved(&[("\"420 psig\"", "\"200 psig\"")]), "pressure-test", "least-test-pressure")
                .verdict,
            VerdictView::Fails
        );
    }

    #[test]
    fn parts_that_hide_the_roof_are_named() {
        let steps = &part(&proved(&[]), "pressure-test").steps.clone();
        for hides in ["1 check valve", "1 solenoid valve", "head-pressure valve"] {
            assert!(steps[0].contains(hides), "{}", steps[0]);
        }
    }

    #[test]
    fn what_is_missing_is_said_with_its_key() {
        for (line, key, name) in [
            ("gauge = \"2 psi\"", "pressure_test.gauge", "pressure-test"),
            ("reading_air = \"48 °F\"", "pressure_test.reading_air", "pressure-test"),
            ("pump = \"6 cfm\"", "evacuation.pump", "evacuation"),
            ("hoses = [\"3/8 in x 3 ft\", \"3/8 in x 6 ft\"]", "evacuation.hoses", "evacuation"),
            ("relief = \"450 psig\"", "strength.ratings", "pressure-test"),
        ] {
            let changes = if key == "strength.ratings" {
                ("ratings = { head = \"450 psig\", condenser = \"500 psig\", receiver = \"450 psig\" }", "")
            } else {
                (line, "")
            };
            let view = proved(&[changes]);
            let told = part(&view, name).checks.iter().filter_map(|check| check.missing.as_deref());
            assert!(told.into_iter().any(|missing| missing.contains(key)), "{key}");
        }
    }

    #[test]
    fn a_rise_is_read_as_a_curve() {
        let start = CELLAR.find("rise = [").unwrap();
        let end = start + CELLAR[start..].find(']').unwrap() + 1;
        let rise = |readings: &str| {
            let view = proved(&[(&CELLAR[start..end], &format!("rise = [{readings}]"))]);
            (check(&view, "evacuation", "rise").verdict, part(&view, "evacuation").answer.clone())
        };
        let (verdict, answer) =
            rise("\"0 min 450 micron\", \"5 min 452 micron\", \"10 min 455 micron\", \"15 min 455 micron\"");
        assert_eq!(verdict, VerdictView::Meets, "{answer}");
        let (verdict, answer) = rise(
            "\"0 min 450 micron\", \"5 min 950 micron\", \"10 min 1450 micron\", \"15 min 1950 micron\"",
        );
        assert_eq!(verdict, VerdictView::Fails);
        assert!(answer.starts_with("A leak"), "{answer}");
        let view = proved(&[]);
        assert_eq!(check(&view, "evacuation", "rise").verdict, VerdictView::Fails);
        assert!(
            part(&view, "evacuation").answer.starts_with("Moisture"),
            "{}",
            part(&view, "evacuation").answer
        );
    }

    #[test]
    fn water_limits_wet_lines_and_a_weak_pump_never_gets_there() {
        let wet = proved(&[]);
        assert!(part(&wet, "evacuation").answer.ends_with("water limits it: dry with nitrogen and warmth"));
        let dry = proved(&[("water = \"2 g\"\n", "")]);
        assert!(figure(&dry, "evacuation", "time") < 60.0);
        let weak = proved(&[("ultimate = \"30 micron\"", "ultimate = \"800 micron\"")]);
        assert_eq!(check(&weak, "evacuation", "pump-ultimate").verdict, VerdictView::Fails);
        let one = proved(&[
            ("from = \"both\"", "from = \"head\""),
            ("[\"3/8 in x 3 ft\", \"3/8 in x 6 ft\"]", "[\"3/8 in x 3 ft\"]"),
        ]);
        let lag = |view| figure(view, "evacuation", "time-that-the-far-end-adds");
        approx::assert_relative_eq!(lag(&one) / lag(&wet), 4.0, max_relative = 1e-6);
    }

    #[test]
    fn a_holding_charge_weighs_more_as_refrigerant() {
        let vapour = proved(&[]);
        assert!(part(&vapour, "holding-charge").remarks[0].contains("as liquid"));
        let nitrogen = proved(&[("gas = \"refrigerant\"", "gas = \"nitrogen\"")]);
        let mass = |view| figure(view, "holding-charge", "holding-mass");
        assert!(mass(&vapour) > 2.5 * mass(&nitrogen));
    }

    #[test]
    fn without_tables_nothing_is_judged_and_the_tables_are_named() {
        let text = CELLAR.split("[set.cellar.pressure_test]").next().unwrap();
        let job = job::read("a.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
        let library = tables::Library::embedded().unwrap();
        let view = prove(&resolve(&job, &library).unwrap());
        assert_eq!((view.verdict, view.sets[0].parts.len()), (VerdictView::NotChecked, 0));
        assert_eq!(view.sets[0].absent.len(), 3);
    }
}
