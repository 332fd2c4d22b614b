//! The supply study: power, water and drain of every set.

use super::{
    field::{Part, gauge_pa, set_view, view},
    ledger::Ledger,
    resolve::{Resolved, ResolvedSet},
    tubes::pick,
    wording,
};
use crate::{
    job::{
        Duty,
        field::{Circuit, Conductor, Drain, PowerSupply, WaterSupply as WaterText},
    },
    view::{FieldPartView, FieldSetView, FieldView},
};
use physics::{
    check::Sense,
    field::{
        electrical::{
            CircuitLoads, Supply, longest_circuit, minimum_circuit_ampacity, overcurrent_devices,
            resistance_at, voltage_drop,
        },
        water::{
            ManningRoughness, PressureWindow, WaterSupply, WaterTube, drain_capacity, head_pressure,
            least_air_gap, water_flow,
        },
    },
    units::{
        AbsolutePressure, Bore, ElectricCurrent, ElectricPotential, GaugePressure, Length, Pressure, Ratio,
        ResistancePerLength, ThermodynamicTemperature, Velocity,
        unit::{
            electric_current::ampere, electric_potential::volt, frequency::hertz, length::meter,
            pressure::pascal, ratio::ratio, thermodynamic_temperature::degree_celsius,
            velocity::meter_per_second, volume_rate::cubic_meter_per_second,
        },
    },
};

/// Manning's roughness of plastic and copper drains, the rough end of what handbooks print, s/m^(1/3).
const MANNING: f64 = 0.011;

/// Judges power, water and drain of every set, as far as the job has their tables.
#[must_use]
pub fn supply(resolved: &Resolved<'_>) -> FieldView {
    let mut ledger = resolved.ledger.only(&["roughness"]);
    let sets = resolved.sets.iter().map(|set| of_set(set, resolved, &mut ledger)).collect();
    let not_contained = [
        "heat on roofs and crowded conduits, the ampacity of a conductor, short-circuit currents, the size of the ground",
        "water treatment, pressure surges of fill valves, vents and traps of drains",
    ];
    view(resolved, sets, ledger, &not_contained, wording::cautions_of_supplies())
}

fn of_set(set: &ResolvedSet<'_>, resolved: &Resolved<'_>, ledger: &mut Ledger) -> FieldSetView {
    let work = &set.set.field;
    let table = |name: &str, what: &str| format!("{what}: table [set.{}.{name}]", set.set.name.value);
    let absent = [
        (work.power.is_none(), table("power", "power of head and fan")),
        (work.water_supply.is_none(), table("water_supply", "water and drain")),
    ];
    let absent = absent.into_iter().filter_map(|(is_absent, table)| is_absent.then_some(table)).collect();
    let (mut parts, mut assumptions) = (Vec::new(), Vec::new());
    // The altitude of every job lies in the range of the standard atmosphere.
    if let Some(atmosphere) = resolved.atmosphere {
        let mut supplies = Supplies { set, resolved, atmosphere, ledger, assumptions };
        if let Some(power) = &work.power {
            parts.push(supplies.circuit("power-head", "power", power, &power.head));
            match &power.fan {
                Some(fan) => parts.push(supplies.circuit("power-fan", "power.fan", power, fan)),
                None => {
                    let mut part = Part::new("power-fan", resolved.library);
                    part.lacks("fan-circuit", "motors and conductor of the condenser fan (key power.fan)");
                    parts.push(part.done("The fan's circuit is not stated"));
                }
            }
        }
        if let Some(water) = &work.water_supply {
            parts.push(supplies.water(water));
            parts.push(supplies.drain(water.drain.as_ref()));
        }
        assumptions = supplies.assumptions;
    }
    set_view(set, parts, absent, assumptions)
}

/// One set and its supplies.
struct Supplies<'a, 'b> {
    set: &'a ResolvedSet<'a>,
    resolved: &'a Resolved<'a>,
    atmosphere: AbsolutePressure,
    ledger: &'b mut Ledger,
    assumptions: Vec<String>,
}

impl Supplies<'_, '_> {
    fn both(&self, value: f64, unit: &str) -> String {
        self.resolved.both(value, unit)
    }

    fn circuit(&mut self, name: &str, key: &str, power: &PowerSupply, circuit: &Circuit) -> FieldPartView {
        let mut part = Part::new(name, self.resolved.library);
        if let Some(frequency) = power.frequency {
            part.figure("frequency", frequency.value.get::<hertz>(), "Hz");
        }
        let ampacity = self.ampacity(&mut part, key, circuit);
        if ampacity.is_some() {
            self.drop(&mut part, key, power, circuit);
        }
        self.practice(&mut part, name);
        let plate = circuit.nameplate_mca.map(|plate| plate.value.get::<ampere>());
        let answer = match (plate, ampacity) {
            (Some(plate_a), _) => {
                format!("Circuit for at least {}, as the nameplate says", self.both(plate_a, "A"))
            }
            (None, Some(found_a)) => format!(
                "Circuit for at least {} by its motors; the nameplate, not stated here, wins",
                self.both(found_a, "A")
            ),
            (None, None) => "The ampacity of the circuit is not known".to_owned(),
        };
        part.done(answer)
    }

    /// Minimum circuit ampacity and overcurrent devices, against the nameplate.
    fn ampacity(&mut self, part: &mut Part<'_>, key: &str, circuit: &Circuit) -> Option<f64> {
        let library = self.resolved.library;
        if circuit.motors.is_empty() {
            part.lacks(
                "circuit-ampacity",
                format!("the motors with their currents (key {key}.motors = [\"fan 1.9 A\"])"),
            );
            return None;
        }
        let motors: Vec<ElectricCurrent> = circuit.motors.iter().map(|motor| motor.value.1).collect();
        let others = circuit
            .others
            .iter()
            .map(|load| load.value.1)
            .fold(ElectricCurrent::new::<ampere>(0.0), |sum, current| sum + current);
        let loads = match CircuitLoads::new(&motors, others) {
            Ok(loads) => loads,
            Err(error) => {
                part.refused("circuit-ampacity", error);
                return None;
            }
        };
        self.ledger.note_words(
            "1.25, 1.75 and 2.25 times the largest motor",
            "NEC 440.22 and 440.33 (not opened)",
            "memory",
        );
        let ampacity_a = minimum_circuit_ampacity(&loads).value.get::<ampere>();
        part.figure("minimum-circuit-ampacity", ampacity_a, "A");
        let plate = |plate_a| ("maker", plate_a);
        match circuit.nameplate_mca {
            Some(stated) => part.against(
                "circuit-ampacity",
                ampacity_a,
                stated.value.get::<ampere>(),
                Sense::AtMost,
                "A",
                plate("the nameplate, which wins: a sum above it is a wrong current"),
            ),
            None => {
                part.lacks("circuit-ampacity", format!("the nameplate's ampacity (key {key}.nameplate_mca)"))
            }
        }
        let sizes: Vec<ElectricCurrent> =
            library.field().overcurrent_sizes().iter().map(|size| size.value).collect();
        match overcurrent_devices(&loads, &sizes) {
            Ok(devices) => {
                if let Some(size) = library.field().overcurrent_sizes().first() {
                    self.ledger.note("standard sizes of overcurrent devices", &size.source);
                }
                let devices = devices.value;
                let largest_a = devices.largest.size.get::<ampere>();
                part.figure("overcurrent-device-first", devices.first.size.get::<ampere>(), "A");
                part.figure("overcurrent-device-largest", largest_a, "A");
                if devices.first.raised {
                    part.remark("the smallest standard size that carries the circuit lies above what the rule gives for it");
                }
                match circuit.nameplate_mop {
                    Some(stated) => {
                        let plate_a = stated.value.get::<ampere>();
                        part.against(
                            "overcurrent-device",
                            devices.first.size.get::<ampere>(),
                            plate_a,
                            Sense::AtMost,
                            "A",
                            plate("the nameplate's maximum, which wins"),
                        );
                    }
                    None => part.lacks(
                        "overcurrent-device",
                        format!("the nameplate's maximum (key {key}.nameplate_mop)"),
                    ),
                }
            }
            Err(error) => part.refused("overcurrent-device", error),
        }
        Some(ampacity_a)
    }

    /// Voltage drop of the conductors at the full current.
    fn drop(&mut self, part: &mut Part<'_>, key: &str, power: &PowerSupply, circuit: &Circuit) {
        let (Some(conductor), Some(length), Some(voltage)) =
            (circuit.conductor, circuit.length, power.voltage)
        else {
            part.lacks(
                "voltage-drop",
                format!("keys power.voltage, {key}.conductor and {key}.length (one way)"),
            );
            return;
        };
        let Some(resistance) = self.resistance(part, conductor.value) else { return };
        let supply = match power.phases.map(|phases| phases.value) {
            Some(3) => Supply::ThreePhase,
            Some(_) => Supply::SinglePhase,
            None => {
                let assumed = "one phase (change with power.phases)".to_owned();
                if !self.assumptions.contains(&assumed) {
                    self.assumptions.push(assumed);
                }
                Supply::SinglePhase
            }
        };
        let loads = circuit.motors.iter().chain(&circuit.others).map(|load| load.value.1);
        let current = loads.fold(ElectricCurrent::new::<ampere>(0.0), |sum, current| sum + current);
        part.figure("full-current", current.get::<ampere>(), "A");
        let lost = match voltage_drop(current, length.value, resistance, supply) {
            Ok(lost) => lost.value,
            Err(error) => return part.refused("voltage-drop", error),
        };
        part.figure("voltage-drop", lost.get::<volt>(), "V");
        let share = (lost / voltage.value).get::<ratio>();
        let Some((most, source)) = part.threshold::<Ratio>("voltage-drop-most", self.ledger) else { return };
        let most = most.get::<ratio>();
        part.against("voltage-drop", 100.0 * share, 100.0 * most, Sense::AtMost, "%", ("practice", &source));
        let allowed = ElectricPotential::new::<volt>(most * voltage.value.get::<volt>());
        match longest_circuit(current, allowed, resistance, supply) {
            Ok(longest) => part.figure("longest-circuit", longest.value.get::<meter>(), "m"),
            Err(error) => part.refused("longest-circuit", error),
        }
    }

    /// Resistance at 75 °C of a conductor.
    fn resistance(&mut self, part: &mut Part<'_>, conductor: Conductor) -> Option<ResistancePerLength> {
        let field = self.resolved.library.field();
        let known: Vec<&str> = field.conductors().iter().map(|conductor| &*conductor.gauge).collect();
        match conductor {
            Conductor::Gauge(number) => match field.conductor(&format!("{number} AWG")) {
                Some(found) => {
                    self.ledger
                        .note(format!("resistance of {} copper", found.gauge), &found.in_conduit.source);
                    Some(found.in_conduit.value)
                }
                None => {
                    part.lacks("voltage-drop", format!("a conductor of the tables: {}", known.join(", ")));
                    None
                }
            },
            Conductor::SectionMm2(section) => {
                let made = field.metric_conductors();
                let Some(found) = made.iter().find(|made| (made.section_mm2 - section).abs() < 1e-9) else {
                    let sizes: Vec<String> =
                        made.iter().map(|made| format!("{} mm2", made.section_mm2)).collect();
                    part.lacks("voltage-drop", format!("a section that is made: {}", sizes.join(", ")));
                    return None;
                };
                let at_20 = found.direct.value;
                self.ledger
                    .note(format!("resistance of {} mm2 copper", found.section_mm2), &found.direct.source);
                let cold = ThermodynamicTemperature::new::<degree_celsius>(20.0);
                // The formula of physics runs from 75 °C; at 20 °C copper has this share of it.
                let at_75 = resistance_at(at_20, cold).map(|at_cold| at_20 / (at_cold.value / at_20));
                at_75.map_err(|error| part.refused("voltage-drop", error)).ok()
            }
        }
    }

    fn practice(&mut self, part: &mut Part<'_>, name: &str) {
        if name == "power-fan" {
            part.step(
                "three conductors and a ground from head to fan where the head switches the fan and its controls need a return: as \
                 the wiring diagram says",
            );
            part.step("the fan runs with its own head and no other: prove it by starting one head at a time");
            let disconnect = part.threshold::<Length>("disconnect-distance-most", self.ledger);
            let receptacle = part.threshold::<Length>("receptacle-distance-most", self.ledger);
            if let (Some((disconnect, _)), Some((receptacle, _))) = (disconnect, receptacle) {
                part.step(format!(
                    "a disconnect in sight of the condenser within {}, a service receptacle within {}",
                    self.both(disconnect.get::<meter>(), "m"),
                    self.both(receptacle.get::<meter>(), "m")
                ));
            }
        } else {
            part.step("a separate supply for each head, with its own disconnect, both tagged with the name of the set");
            if let Some((tolerance, _)) = part.threshold::<Ratio>("voltage-tolerance", self.ledger) {
                part.step(format!(
                    "measure the voltage while it runs: within {} of the nameplate",
                    self.both(100.0 * tolerance.get::<ratio>(), "%")
                ));
            }
        }
        part.step(
            "an equipment ground in every run, never the conduit alone unless the code takes it for one",
        );
    }

    fn water(&mut self, water: &WaterText) -> FieldPartView {
        let mut part = Part::new("water", self.resolved.library);
        let answer = self.pressures(&mut part, water);
        part.step("a filter before the head, its cartridge for the flow of the fill valve, a shut-off valve and a drain behind it");
        part.step(
            "a backflow device of the kind that the code names; the head fills over an air gap of its own",
        );
        part.done(answer.unwrap_or_else(|| "The pressure at the head is not known".to_owned()))
    }

    fn pressures(&mut self, part: &mut Part<'_>, water: &WaterText) -> Option<String> {
        let Some(main) = water.main else {
            part.lacks("water-pressure", "the pressure of the main (key water_supply.main)");
            return None;
        };
        let above = |pa: f64| GaugePressure::new(Pressure::new::<pascal>(pa));
        let main_pa = gauge_pa(main.value, self.atmosphere);
        part.figure("main", main_pa, "Pa(g)");
        let valve = water.reducing_valve.map(|valve| gauge_pa(valve.value, self.atmosphere));
        if let Some((most, source)) = part.threshold::<GaugePressure>("reducing-valve-above", self.ledger) {
            let let_through_pa = valve.map_or(main_pa, |valve_pa| valve_pa.min(main_pa));
            part.against(
                "building-pressure",
                let_through_pa,
                most.get().get::<pascal>(),
                Sense::AtMost,
                "Pa(g)",
                ("practice", &source),
            );
            if valve.is_none() && main_pa > most.get().get::<pascal>() {
                part.remark("a reducing valve is missing (key water_supply.reducing_valve)");
            }
        }
        if let Some(valve_pa) = valve {
            part.figure("reducing-valve", valve_pa, "Pa(g)");
        }
        let fed_pa = valve.map_or(main_pa, |valve_pa| valve_pa.min(main_pa));
        let window = match water.window {
            Some(window) => {
                let (least, most) = window.value;
                let says = "the nameplate of the head, as stated in the job file".to_owned();
                Some((gauge_pa(least, self.atmosphere), gauge_pa(most, self.atmosphere), "maker", says))
            }
            None => {
                let least = part.threshold::<GaugePressure>("inlet-pressure-least", self.ledger);
                let most = part.threshold::<GaugePressure>("inlet-pressure-most", self.ledger);
                part.remark(
                    "the window of the head is a habit of the trade; its nameplate wins (key water_supply.window)",
                );
                least.zip(most).map(|((least, source), (most, _))| {
                    (least.get().get::<pascal>(), most.get().get::<pascal>(), "practice", source)
                })
            }
        };
        let (least_pa, most_pa, whose, source) = window?;
        let of_ice = match &self.set.set.duty {
            Duty::Ice { water, .. } => Some(*water),
            _ => None,
        };
        let temperature = water.temperature.or(of_ice);
        let (Some(flow), Some(temperature), Some(tube), Some(length), Some(rise)) =
            (water.flow, temperature, &water.tube, water.length, water.rise)
        else {
            part.lacks(
                "water-pressure",
                "keys water_supply.flow, water_supply.temperature, water_supply.tube, water_supply.length and water_supply.rise",
            );
            return None;
        };
        let picked = match pick(&tube.value, &self.set.stock, self.resolved.library) {
            Ok(picked) => picked,
            Err(refused) => {
                part.lacks(
                    "water-pressure",
                    format!("a tube of the tables ({}; {})", refused.message, refused.help),
                );
                return None;
            }
        };
        if let Some(assumption) = picked.assumption {
            self.assumptions.push(format!("the water tube: {assumption}"));
        }
        self.ledger.note(format!("tube {}", picked.product.printed_name()), &picked.product.source);
        part.figure("bore", picked.product.tube.bore().get().get::<meter>(), "m bore");
        let roughness = self.set.lines.first().map(|line| line.roughness)?;
        let pipe = WaterTube { bore: picked.product.tube.bore(), length: length.value, roughness };
        let flowing = match water_flow(&pipe, flow.value, temperature.value) {
            Ok(flowing) => flowing.value,
            Err(error) => {
                part.refused("water-pressure", error);
                return None;
            }
        };
        part.figure("flow", flow.value.get::<cubic_meter_per_second>(), "m3/s");
        part.figure("friction", flowing.friction.get::<pascal>(), "Pa");
        let velocity_m_s = flowing.velocity.get::<meter_per_second>();
        if let Some((most, source)) = part.threshold::<Velocity>("water-velocity-most", self.ledger) {
            part.against(
                "water-velocity",
                velocity_m_s,
                most.get::<meter_per_second>(),
                Sense::AtMost,
                "m/s",
                ("practice", &source),
            );
        }
        let none = Pressure::new::<pascal>(0.0);
        for (drop, what, key) in [
            (water.filter, "filter", "water_supply.filter"),
            (water.backflow, "backflow device", "water_supply.backflow"),
        ] {
            if drop.is_none() {
                self.assumptions
                    .push(format!("no {what} is in the supply (change with {key}: its drop at this flow)"));
            }
        }
        let supply = WaterSupply {
            main_least: above(fed_pa),
            main_most: above(fed_pa),
            rise: rise.value,
            friction: flowing.friction,
            filter: water.filter.map_or(none, |drop| drop.value),
            backflow: water.backflow.map_or(none, |drop| drop.value),
            water: temperature.value,
        };
        let found =
            match head_pressure(&supply, &PressureWindow { least: above(least_pa), most: above(most_pa) }) {
                Ok(found) => found.value,
                Err(error) => {
                    part.refused("water-pressure", error);
                    return None;
                }
            };
        let (flowing_pa, standing_pa) =
            (found.flowing.get().get::<pascal>(), found.standing.get().get::<pascal>());
        part.against(
            "water-pressure-flowing",
            flowing_pa,
            least_pa,
            Sense::AtLeast,
            "Pa(g)",
            (whose, &source),
        );
        part.against(
            "water-pressure-standing",
            standing_pa,
            most_pa,
            Sense::AtMost,
            "Pa(g)",
            (whose, &source),
        );
        part.remark("the main is taken at one pressure: state its lowest for the flowing check, its highest for the standing one");
        Some(format!(
            "At the head {} standing and {} flowing",
            self.both(standing_pa, "Pa(g)"),
            self.both(flowing_pa, "Pa(g)")
        ))
    }

    fn drain(&mut self, drain: Option<&Drain>) -> FieldPartView {
        let mut part = Part::new("drain", self.resolved.library);
        let mut answer = "The drain is not stated".to_owned();
        let stated = drain.and_then(|drain| Some((drain.bore?.value, drain.slope?.value, drain.flow?.value)));
        if let Some((bore, slope, flow)) = stated {
            let bore = Bore::new(bore);
            if let Some((least, source)) = part.threshold::<Ratio>("drain-slope", self.ledger) {
                part.against(
                    "drain-slope",
                    100.0 * slope.get::<ratio>(),
                    100.0 * least.get::<ratio>(),
                    Sense::AtLeast,
                    "%",
                    ("practice", &source),
                );
            }
            self.ledger.note_words(
                "roughness of drains in Manning's formula, 0.011 s/m^(1/3)",
                "common practice, no source",
                "common practice",
            );
            let capacity = ManningRoughness::from_second_per_cube_root_metre(MANNING)
                .and_then(|roughness| drain_capacity(bore, slope, roughness));
            match capacity {
                Ok(capacity) => {
                    let half_m3_s = capacity.value.half_full.get::<cubic_meter_per_second>();
                    part.against(
                        "drain-flow",
                        flow.get::<cubic_meter_per_second>(),
                        half_m3_s,
                        Sense::AtMost,
                        "m3/s",
                        ("physics", "Manning, the drain half full so that air passes above the water"),
                    );
                    answer = format!("The drain carries {} half full", self.both(half_m3_s, "m3/s"));
                }
                Err(error) => part.refused("drain-flow", error),
            }
            let bores = part.threshold::<Ratio>("air-gap-bores-waste", self.ledger);
            let least = part.threshold::<Length>("air-gap-least", self.ledger);
            if let (Some((bores, _)), Some((least, _))) = (bores, least) {
                match least_air_gap(bore, bores, least) {
                    Ok(gap) => part.figure("air-gap-least", gap.get::<meter>(), "m bore"),
                    Err(error) => part.refused("air-gap", error),
                }
            }
        } else {
            part.lacks("drain-flow", "keys bore, slope and flow of water_supply.drain");
        }
        part.step("bin, head and condensate drain apart from each other, each to its own air gap; vented where long");
        part.step("no trap without a vent, no rise, insulation where it would sweat");
        part.done(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        study::field::of_tests::{check, figure, of_cellar, part},
        view::VerdictView,
    };

    fn supplied(changes: &[(&str, &str)]) -> FieldView {
        of_cellar(changes, supply)
    }

    #[test]
    fn the_cellar_is_supplied() {
        assert_eq!(supplied(&[]).verdict, VerdictView::Meets);
    }

    #[test]
    fn the_nameplate_wins_and_a_sum_above_it_fails() {
        let view = supplied(&[("nameplate_mca = \"15 A\"", "nameplate_mca = \"13 A\"")]);
        // 1.25 x 9.4 A + 0.7 A + 0.9 A
        approx::assert_relative_eq!(
            figure(&view, "power-head", "minimum-circuit-ampacity"),
            13.35,
            max_relative = 1e-9
        );
        assert_eq!(check(&view, "power-head", "circuit-ampacity").verdict, VerdictView::Fails);
        assert!(part(&view, "power-head").answer.contains("13.0 A, as the nameplate says"));
        let without = supplied(&[("nameplate_mca = \"15 A\"\n", "")]);
        let missing = check(&without, "power-head", "circuit-ampacity").missing.clone().unwrap();
        assert!(missing.contains("power.nameplate_mca"), "{missing}");
    }

    #[test]
    fn metric_conductors_and_three_phases_lose_what_their_copper_asks() {
        // 11 A, 2 x 16.764 m of 2.5 mm2: 7.41 ohm/km at 20 °C, 1/0.82235 times that at 75 °C.
        let metric = supplied(&[("conductor = \"12 AWG\"", "conductor = \"2.5 mm2\"")]);
        let drop = figure(&metric, "power-head", "voltage-drop");
        approx::assert_relative_eq!(drop, 2.0 * 11.0 * 16.764 * 7.41e-3 / 0.822_35, max_relative = 1e-6);
        let three = supplied(&[("phases = 1", "phases = 3")]);
        let one = supplied(&[]);
        let share = figure(&three, "power-head", "voltage-drop") / figure(&one, "power-head", "voltage-drop");
        approx::assert_relative_eq!(share, 0.75_f64.sqrt(), max_relative = 1e-9);
        let unknown = supplied(&[("conductor = \"12 AWG\"", "conductor = \"18 AWG\"")]);
        assert_eq!(check(&unknown, "power-head", "voltage-drop").verdict, VerdictView::NotChecked);
    }

    #[test]
    fn a_main_too_high_wants_its_valve_and_one_too_low_fails_while_it_flows() {
        let high = supplied(&[("reducing_valve = \"60 psig\"\n", "")]);
        assert_eq!(check(&high, "water", "building-pressure").verdict, VerdictView::Fails);
        assert_eq!(check(&high, "water", "water-pressure-standing").verdict, VerdictView::Fails);
        let low = supplied(&[("main = \"92 psig\"", "main = \"15 psig\"")]);
        assert_eq!(check(&low, "water", "water-pressure-flowing").verdict, VerdictView::Fails);
        assert_eq!(check(&low, "water", "water-pressure-standing").verdict, VerdictView::Meets);
        let habit = supplied(&[("window = \"12 psig to 80 psig\"\n", "")]);
        assert_eq!(check(&habit, "water", "water-pressure-flowing").whose, "practice");
    }

    #[test]
    fn a_drain_too_small_or_too_flat_fails() {
        let small = supplied(&[("bore = \"1 in\"", "bore = \"3/4 in\"")]);
        assert_eq!(check(&small, "drain", "drain-flow").verdict, VerdictView::Fails);
        let flat = supplied(&[("slope = \"1/4 in/ft\"", "slope = \"1 %\"")]);
        assert_eq!(check(&flat, "drain", "drain-slope").verdict, VerdictView::Fails);
    }
}
