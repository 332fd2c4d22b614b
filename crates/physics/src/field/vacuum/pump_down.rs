//! Pump-down of a dry volume, and what the time of an evacuation goes into.

use super::{
    Passage, boil_off,
    conductance::{kernel::Tube, positive_m3_s},
};
use crate::{
    field::{FieldError, nitrogen::volume_m3, vacuum_pa},
    outcome::{Caveat, Caveats, Method, Outcome},
    range::within,
    root,
    units::{AbsolutePressure, Mass, ThermodynamicTemperature, Throughput, Time, Volume, VolumeRate},
};
use uom::si::{mass::kilogram, time::second, volume_rate::cubic_meter_per_second};

/// Viscosity, Pa s, and gas constant times temperature, J/kg, of air at 20 °C.
const AIR_PA_S: f64 = 1.82e-5;
const AIR_J_KG: f64 = 287.05 * 293.15;
/// Reynolds number up to which a hose is laminar.
const LAMINAR_TO: f64 = 2300.0;
/// Steps of Simpson's rule over the logarithm of the pressure: 16 come within 1e-5 of the limit.
const STEPS: u32 = 64;

/// A vacuum pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pump {
    /// Volume that it displaces per time: free air displacement.
    pub speed: VolumeRate,
    /// Pressure below which it does not get.
    pub ultimate: AbsolutePressure,
}

/// A pump and the hoses that join it to a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Rig {
    pump: Pump,
    paths: Vec<Vec<Passage>>,
}

/// A line inside a set, as it is pumped out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EvacuatedLine {
    /// Its tube.
    pub passage: Passage,
    /// Whether the pump draws from both ends.
    pub both_ends: bool,
}

/// What the time of an evacuation goes into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EvacuationTime {
    /// The pump alone, without hoses.
    pub pump: Time,
    /// What hoses add to it.
    pub hoses: Time,
    /// The far end of the line behind its near end.
    pub line: Time,
    /// Water that boils off.
    pub water: Time,
}

/// What most of the time goes into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// A larger pump would help most.
    Pump,
    /// Wider, shorter or more hoses would, and valve cores taken out.
    Hoses,
    /// Pumping from both ends would.
    Line,
    /// Drying with nitrogen and warmth would.
    Water,
}

impl EvacuationTime {
    /// All of it, one after the other: on the safe side, for lines dry out while they are pumped down.
    #[must_use]
    pub fn total(&self) -> Time {
        self.pump + self.hoses + self.line + self.water
    }

    /// What takes the longest.
    #[must_use]
    pub fn limit(&self) -> Limit {
        let parts = [(self.hoses, Limit::Hoses), (self.line, Limit::Line), (self.water, Limit::Water)];
        let longer = |a: (Time, Limit), b: (Time, Limit)| if b.0 > a.0 { b } else { a };
        parts.into_iter().fold((self.pump, Limit::Pump), longer).1
    }
}

impl Rig {
    /// A pump behind paths side by side, each a row of passages from the set to the pump. Without any path the pump sits on the
    /// set itself.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`] for a speed outside 1e-12 to 10 m³/s or an ultimate pressure outside 0.001 Pa to 120 kPa;
    /// [`FieldError::NoPath`] for a path without a passage.
    pub fn new(pump: Pump, paths: Vec<Vec<Passage>>) -> Result<Self, FieldError> {
        positive_m3_s(pump.speed)?;
        vacuum_pa("ultimate pressure of the pump (Pa)", pump.ultimate)?;
        if paths.iter().any(Vec::is_empty) {
            return Err(FieldError::NoPath);
        }
        Ok(Self { pump, paths })
    }

    /// What the rig draws from a set at a pressure: `S (p_i - p_u) = sum Q_j`, with the pressure `p_i` at the pump and the
    /// throughput `Q_j` of each path, the conductance integrated along it.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`]; [`FieldError::NeverReaches`] at and below the ultimate pressure of the pump.
    pub fn throughput(&self, pressure: AbsolutePressure) -> Result<Outcome<Throughput>, FieldError> {
        let pressure_pa = self.reachable_pa(pressure)?;
        let throughput = self.kernel().throughput(pressure_pa);
        Ok(Outcome {
            value: Throughput::from_pascal_cubic_metre_per_second(throughput),
            method: Method::PumpDown,
            caveats: self.caveats(pressure_pa),
        })
    }

    /// Speed at the set: throughput over its pressure.
    ///
    /// # Errors
    /// As [`Rig::throughput`].
    pub fn speed(&self, pressure: AbsolutePressure) -> Result<Outcome<VolumeRate>, FieldError> {
        let outcome = self.throughput(pressure)?;
        let speed_m3_s = outcome.value.pascal_cubic_metre_per_second() / pressure.pascal();
        Ok(Outcome {
            value: VolumeRate::new::<cubic_meter_per_second>(speed_m3_s),
            method: outcome.method,
            caveats: outcome.caveats,
        })
    }

    /// Time to pump a dry volume from one pressure to a lower one: `t = integral of V dp/Q(p)`.
    ///
    /// Laminar hoses: near atmospheric pressure they pass less than this says, so that the time is a lower bound
    /// ([`Caveat::TurbulentEvacuation`]). The volume is at one pressure throughout: see [`super::time_constant`] for its far
    /// end.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`], also where `to` is not below `from`; [`FieldError::NeverReaches`].
    ///
    /// # Example
    /// 1.47 L behind a 1/4 in hose and a pump of 6 cfm: 80 s to 500 micron; without the hose 4 s.
    /// ```
    /// use physics::{field::vacuum::{Passage, Pump, Rig}, units::{*, unit::{length::{meter, millimeter}, time::second, volume::liter, volume_rate::cubic_foot_per_minute}}};
    /// let pump = Pump {
    ///     speed: VolumeRate::new::<cubic_foot_per_minute>(6.0),
    ///     ultimate: AbsolutePressure::from_pascal(2.0),
    /// };
    /// let hose = Passage::new(Bore::new(Length::new::<millimeter>(4.76)), Length::new::<meter>(1.5))?;
    /// let rig = Rig::new(pump, vec![vec![hose]])?;
    /// let pascal = AbsolutePressure::from_pascal;
    /// let time = rig.pump_down(Volume::new::<liter>(1.47), pascal(101_325.0), pascal(66.66))?.value;
    /// assert!((time.get::<second>() - 80.0).abs() < 1.0);
    /// # Ok::<(), physics::field::FieldError>(())
    /// ```
    pub fn pump_down(
        &self,
        volume: Volume,
        from: AbsolutePressure,
        to: AbsolutePressure,
    ) -> Result<Outcome<Time>, FieldError> {
        let volume_m3 = volume_m3(volume)?;
        let from_pa = vacuum_pa("pressure at the start (Pa)", from)?;
        let to_pa = self.reachable_pa(to)?;
        within("pressure to reach (Pa)", to_pa, 1e-3, from_pa)?;
        let kernel = self.kernel();
        // Over x = ln p the integrand V p/Q is smooth: the inverse of the speed.
        let (low, width) = (to_pa.ln(), (from_pa / to_pa).ln() / f64::from(STEPS));
        let weighted = |step: u32| {
            let weight = match step {
                0 | STEPS => 1.0,
                odd if odd % 2 == 1 => 4.0,
                _ => 2.0,
            };
            let pressure_pa = (low + width * f64::from(step)).exp();
            weight * pressure_pa / kernel.throughput(pressure_pa)
        };
        let time_s = volume_m3 * width / 3.0 * (0..=STEPS).map(weighted).sum::<f64>();
        Ok(Outcome {
            value: Time::new::<second>(time_s),
            method: Method::PumpDown,
            caveats: self.caveats(from_pa),
        })
    }

    fn reachable_pa(&self, pressure: AbsolutePressure) -> Result<f64, FieldError> {
        let (pressure_pa, ultimate_pa) = (vacuum_pa("pressure (Pa)", pressure)?, self.pump.ultimate.pascal());
        if pressure_pa > ultimate_pa {
            Ok(pressure_pa)
        } else {
            Err(FieldError::NeverReaches { ultimate_pa, target_pa: pressure_pa })
        }
    }

    fn kernel(&self) -> kernel::Rig {
        kernel::Rig {
            speed_m3_s: self.pump.speed.get::<cubic_meter_per_second>(),
            ultimate_pa: self.pump.ultimate.pascal(),
            paths: self.paths.iter().map(|path| path.iter().map(Passage::kernel).collect()).collect(),
        }
    }

    /// Turbulent where a passage at its share of the flow is: the flow of a path is what its own passages pass.
    fn caveats(&self, pressure_pa: f64) -> Caveats {
        let kernel = self.kernel();
        let flows = kernel.flows(pressure_pa);
        let mut caveats = Caveats::default();
        for (path, flow) in self.paths.iter().zip(flows) {
            let reynolds = |passage: &Passage| {
                4.0 * flow / AIR_J_KG / (std::f64::consts::PI * passage.bore_m() * AIR_PA_S)
            };
            if path.iter().any(|passage| reynolds(passage) > LAMINAR_TO) {
                caveats.add(Caveat::TurbulentEvacuation);
            }
        }
        caveats
    }
}

/// What the time of an evacuation from `from` to `to` goes into: pump alone, hoses, the far end of the longest line, and water
/// at `temperature` that boils off at `to`.
///
/// The line's part is its time constant at `to`: its conductance falls with the pressure, and nearly all of the lag
/// arises at the end.
///
/// # Errors
/// As [`Rig::pump_down`] and [`boil_off`], which is not asked where there is no water.
pub fn evacuation_time(
    rig: &Rig,
    volume: Volume,
    line: Option<&EvacuatedLine>,
    from: AbsolutePressure,
    to: AbsolutePressure,
    water: Mass,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<EvacuationTime>, FieldError> {
    let with_hoses = rig.pump_down(volume, from, to)?;
    let alone = Rig { pump: rig.pump, paths: Vec::new() }.pump_down(volume, from, to)?.value;
    let mut caveats = with_hoses.caveats;
    let nothing = Time::new::<second>(0.0);
    let lag = line.map_or(nothing, |line| Time::new::<second>(lag_s(line, to.pascal())));
    let boiling = if within("mass of water (kg)", water.get::<kilogram>(), 0.0, 100.0)? > 0.0 {
        let boiling = boil_off(water, temperature, to, rig.speed(to)?.value)?;
        caveats.merge(boiling.caveats);
        boiling.value
    } else {
        nothing
    };
    let value = EvacuationTime { pump: alone, hoses: with_hoses.value - alone, line: lag, water: boiling };
    Ok(Outcome { value, method: Method::PumpDown, caveats })
}

/// Time constant of a line; pumped from both ends, of each half of it.
fn lag_s(line: &EvacuatedLine, pressure_pa: f64) -> f64 {
    let half = if line.both_ends { line.passage.halved() } else { line.passage };
    half.volume_m3() / half.kernel().conductance(pressure_pa) * 4.0 / std::f64::consts::PI.powi(2)
}

mod kernel {
    use super::{Tube, root};
    use std::convert::Infallible;

    pub(super) struct Rig {
        pub(super) speed_m3_s: f64,
        pub(super) ultimate_pa: f64,
        pub(super) paths: Vec<Vec<Tube>>,
    }

    impl Rig {
        /// Pa m3/s at a pressure above the ultimate one.
        pub(super) fn throughput(&self, pressure_pa: f64) -> f64 {
            self.speed_m3_s * (self.at_pump_pa(pressure_pa) - self.ultimate_pa)
        }

        /// Throughput of each path.
        pub(super) fn flows(&self, pressure_pa: f64) -> Vec<f64> {
            let at_pump_pa = self.at_pump_pa(pressure_pa);
            self.paths.iter().map(|path| flow(path, pressure_pa, at_pump_pa)).collect()
        }

        /// The pressure at the pump where what the paths bring is what it takes.
        fn at_pump_pa(&self, pressure_pa: f64) -> f64 {
            if self.paths.is_empty() {
                return pressure_pa;
            }
            let surplus = |at_pump_pa: f64| {
                let brought: f64 = self.paths.iter().map(|path| flow(path, pressure_pa, at_pump_pa)).sum();
                brought - self.speed_m3_s * (at_pump_pa - self.ultimate_pa)
            };
            let ends = [(self.ultimate_pa, surplus(self.ultimate_pa)), (pressure_pa, surplus(pressure_pa))];
            let span_pa = pressure_pa - self.ultimate_pa;
            let Ok(found) = root::bracketed(ends, 1e-12 * span_pa, |pa| Ok::<_, Infallible>(surplus(pa)));
            found
        }
    }

    /// What a row of passages brings from one pressure to a lower one.
    fn flow(path: &[Tube], pressure_pa: f64, at_pump_pa: f64) -> f64 {
        // No passage lets through more than it would between the ends of the whole row.
        let most = path
            .iter()
            .map(|tube| tube.potential(pressure_pa) - tube.potential(at_pump_pa))
            .fold(f64::INFINITY, f64::min);
        if path.len() == 1 || most <= 0.0 {
            return most;
        }
        let lacking = |flow: f64| {
            path.iter().rev().fold(at_pump_pa, |pa, tube| tube.upstream_pa(pa, flow)) - pressure_pa
        };
        let ends = [(0.0, at_pump_pa - pressure_pa), (most, lacking(most))];
        let Ok(found) = root::bracketed(ends, 1e-12 * most, |flow| Ok::<_, Infallible>(lacking(flow)));
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Bore, Length};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        length::meter, mass::gram, thermodynamic_temperature::degree_celsius, volume::liter,
        volume_rate::liter_per_second,
    };

    fn pa(value: f64) -> AbsolutePressure {
        AbsolutePressure::from_pascal(value)
    }

    fn pump() -> Pump {
        Pump { speed: VolumeRate::new::<liter_per_second>(2.832), ultimate: pa(2.0) }
    }

    fn hose(bore_mm: f64, length_m: f64) -> Passage {
        Passage::new(Bore::new(Length::new::<meter>(1e-3 * bore_mm)), Length::new::<meter>(length_m)).unwrap()
    }

    fn rig(paths: Vec<Vec<Passage>>) -> Rig {
        Rig::new(pump(), paths).unwrap()
    }

    fn seconds(rig: &Rig, litres: f64, to_pa: f64) -> f64 {
        let time = rig.pump_down(Volume::new::<liter>(litres), pa(101_325.0), pa(to_pa)).unwrap();
        time.value.get::<second>()
    }

    #[test]
    fn without_hoses_the_time_is_that_of_the_closed_form() {
        let closed = 1.47 / 2.832 * ((101_325.0 - 2.0) / (66.66 - 2.0_f64)).ln();
        assert_relative_eq!(seconds(&rig(vec![]), 1.47, 66.66), closed, max_relative = 1e-5);
    }

    #[test]
    fn a_hose_cut_in_two_is_the_hose() {
        let whole = rig(vec![vec![hose(4.76, 1.5)]]);
        let cut = rig(vec![vec![hose(4.76, 0.5), hose(4.76, 1.0)]]);
        for pressure_pa in [5.0, 66.66, 1e3, 1e5] {
            let speed = |rig: &Rig| rig.speed(pa(pressure_pa)).unwrap().value.get::<liter_per_second>();
            assert_relative_eq!(speed(&whole), speed(&cut), max_relative = 1e-9);
        }
    }

    #[test]
    fn two_paths_to_both_ends_pump_faster_and_two_like_ones_share() {
        let one = rig(vec![vec![hose(4.76, 1.5)]]);
        let two = rig(vec![vec![hose(4.76, 1.5)], vec![hose(4.76, 1.5), hose(9.5, 1.0)]]);
        assert!(seconds(&two, 1.47, 66.66) < 0.6 * seconds(&one, 1.47, 66.66));
        let like = rig(vec![vec![hose(4.76, 1.5)]; 2]).kernel().flows(66.66);
        assert_relative_eq!(like[0], like[1], max_relative = 1e-12);
    }

    #[test]
    fn air_rushes_at_the_start_and_not_at_the_end() {
        let rig = rig(vec![vec![hose(9.5, 1.0)]]);
        let caveats = |pressure_pa| rig.throughput(pa(pressure_pa)).unwrap().caveats;
        assert!(caveats(1e5).has(Caveat::TurbulentEvacuation));
        assert_eq!(caveats(66.66), Caveats::default());
    }

    fn parts(
        rig: &Rig,
        line: Option<&EvacuatedLine>,
        water_g: f64,
        to_pa: f64,
    ) -> Result<Outcome<EvacuationTime>, FieldError> {
        let room = ThermodynamicTemperature::new::<degree_celsius>(20.0);
        let (volume, water) = (Volume::new::<liter>(1.47), Mass::new::<gram>(water_g));
        evacuation_time(rig, volume, line, pa(101_325.0), pa(to_pa), water, room)
    }

    #[test]
    fn what_takes_longest_limits() {
        let narrow = rig(vec![vec![hose(4.76, 1.5)]]);
        let of = |rig: &Rig, line: Option<&EvacuatedLine>, water_g| {
            parts(rig, line, water_g, 66.66).unwrap().value
        };
        assert_eq!(of(&rig(vec![]), None, 0.0).limit(), Limit::Pump);
        assert_eq!(of(&narrow, None, 0.0).limit(), Limit::Hoses);
        assert_eq!(of(&narrow, None, 1.0).limit(), Limit::Water);
        let line = EvacuatedLine { passage: hose(11.07, 15.24), both_ends: false };
        let time = of(&rig(vec![]), Some(&line), 0.0);
        assert_eq!(time.limit(), Limit::Line);
        // 1.467 L over 0.09757 L/s, times 4/pi^2.
        assert_relative_eq!(time.line.get::<second>(), 6.098, max_relative = 1e-3);
        let both = of(&rig(vec![]), Some(&EvacuatedLine { both_ends: true, ..line }), 0.0);
        assert_relative_eq!(both.line.get::<second>(), time.line.get::<second>() / 4.0, max_relative = 1e-9);
        let all = of(&narrow, Some(&line), 1.0);
        assert_relative_eq!(
            all.total().get::<second>(),
            seconds(&narrow, 1.47, 66.66) + all.line.get::<second>() + all.water.get::<second>(),
            max_relative = 1e-9
        );
    }

    #[test]
    fn refuses_what_can_not_be_reached() {
        let poor = Pump { speed: VolumeRate::new::<liter_per_second>(0.0), ..pump() };
        assert!(Rig::new(poor, vec![]).is_err());
        assert!(Rig::new(Pump { ultimate: pa(f64::NAN), ..pump() }, vec![]).is_err());
        assert_eq!(Rig::new(pump(), vec![vec![]]), Err(FieldError::NoPath));
        let rig = rig(vec![vec![hose(4.76, 1.5)]]);
        let volume = Volume::new::<liter>(1.0);
        let told = rig.pump_down(volume, pa(101_325.0), pa(1.0)).unwrap_err();
        assert_eq!(told, FieldError::NeverReaches { ultimate_pa: 2.0, target_pa: 1.0 });
        assert!(rig.pump_down(volume, pa(100.0), pa(200.0)).is_err());
        assert!(rig.pump_down(Volume::new::<liter>(f64::NAN), pa(1e5), pa(200.0)).is_err());
        assert!(rig.throughput(pa(2.0)).is_err());
        assert!(parts(&rig, None, -1.0, 66.66).is_err());
        assert!(matches!(parts(&rig, None, 1.0, 5000.0), Err(FieldError::DoesNotBoil { .. })));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(24))]
        #[test]
        fn a_hose_in_the_way_never_helps_and_a_longer_one_takes_longer(bore_mm in 3.0..12.0_f64, length_m in 0.5..5.0_f64, more in 1.05..3.0_f64, to_pa in 20.0..500.0_f64) {
            let time = |paths| seconds(&rig(paths), 2.0, to_pa);
            let one = time(vec![vec![hose(bore_mm, length_m)]]);
            prop_assert!(one > time(vec![]));
            prop_assert!(time(vec![vec![hose(bore_mm, more * length_m)]]) > one);
            prop_assert!(time(vec![vec![hose(bore_mm, length_m), hose(8.0, 1.0)]]) > one);
            prop_assert!(time(vec![vec![hose(bore_mm, length_m)], vec![hose(4.0, 1.0)]]) < one);
            prop_assert!(seconds(&rig(vec![vec![hose(bore_mm, length_m)]]), 2.0, 0.9 * to_pa) > one);
        }
    }
}
