//! What the rise of pressure in a closed line under vacuum means.

use crate::{
    field::{FieldError, nitrogen::leak_throughput, vacuum_pa},
    heat::moisture::saturation_pressure,
    outcome::{Caveats, Method, Outcome},
    range::within,
    units::{AbsolutePressure, Pressure, Ratio, ThermodynamicTemperature, Throughput, Time, Volume},
};
use uom::si::{pressure::pascal, ratio::ratio, time::second};

/// Slope of the second half over that of the first from which a rise counts as straight, and up to which it levels off. An
/// exponential that levels off comes to the second after 2.2 of its time constants.
const STRAIGHT_FROM: f64 = 2.0 / 3.0;
const LEVEL_TO: f64 = 1.0 / 3.0;
/// How far above the vapour pressure of water a level may lie and still be water: the temperature of the wettest spot is
/// a guess, and 1.5 K are 10 %.
const ABOVE_WATER: f64 = 1.1;
/// Share of the vapour pressure from which free water lies in the line; below it water leaves oil or walls.
const FREE_WATER_FROM: f64 = 0.5;

/// One reading of the vacuum gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiseReading {
    /// Time since the pump was shut off.
    pub time: Time,
    /// Pressure.
    pub pressure: AbsolutePressure,
}

/// A rise test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiseTest<'a> {
    /// Readings, at least two in each half of the time.
    pub readings: &'a [RiseReading],
    /// Smallest step that the gauge shows.
    pub resolution: Pressure,
    /// Volume behind the gauge.
    pub volume: Volume,
    /// Temperature of the coldest spot, where water would lie.
    pub coldest: ThermodynamicTemperature,
}

/// What the shape of a rise means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RiseMeaning {
    /// No rise that the gauge can show.
    Tight,
    /// It keeps climbing: a leak.
    Leak {
        /// Its throughput.
        throughput: Throughput,
    },
    /// It levels off at or below the vapour pressure of water.
    Moisture {
        /// Where it levels off.
        level: AbsolutePressure,
        /// Whether free water lies in the line: the level is near the vapour pressure at the coldest spot.
        free_water: bool,
    },
    /// It levels off where water can not have it: refrigerant leaves the oil, or a valve lets gas in from a closed part.
    LevelsAboveWater {
        /// Where it levels off.
        level: AbsolutePressure,
    },
    /// The shape does not show yet: hold longer, or read a finer gauge.
    TooCloseToCall,
}

/// A rise test, read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// Last pressure less the first.
    pub rise: Pressure,
    /// Slope of the second half over that of the first: 1 is straight, 0 is level. `None` where the first half does not rise.
    pub straightness: Option<Ratio>,
    /// What it means.
    pub meaning: RiseMeaning,
}

/// Reads a rise test as a curve: a leak rises straight, moisture levels off near the vapour pressure of water.
///
/// Slopes are least squares over either half of the time; half a step of the gauge at both ends of a half is their doubt. The
/// level is that of an exponential with the ratio of the two. Whether the last pressure is low enough is another question,
/// which a specification answers.
///
/// # Errors
/// [`FieldError::TooFewReadings`], [`FieldError::TimeStandsStill`], [`FieldError::PressureFalls`] by more than one step of the
/// gauge, and [`FieldError::OutOfRange`].
pub fn rise_test(test: &RiseTest<'_>) -> Result<Outcome<Rise>, FieldError> {
    let resolution_pa = within("step of the gauge (Pa)", test.resolution.get::<pascal>(), 1e-6, 1e5)?;
    let water_pa = saturation_pressure(test.coldest)?.value.get::<pascal>();
    let points = points(test.readings)?;
    let few = FieldError::TooFewReadings { count: points.len() };
    let (Some(&(first_s, first_pa)), Some(&(last_s, last_pa))) = (points.first(), points.last()) else {
        return Err(few);
    };
    let middle_s = 0.5 * (first_s + last_s);
    let early = kernel::slope(points.iter().copied().filter(|(time_s, _)| *time_s <= middle_s)).ok_or(few)?;
    let late = kernel::slope(points.iter().copied().filter(|(time_s, _)| *time_s >= middle_s)).ok_or(few)?;
    let rise_pa = last_pa - first_pa;
    if rise_pa < -resolution_pa {
        return Err(FieldError::PressureFalls { fall_pa: -rise_pa });
    }
    let share = late.pa_per_s / early.pa_per_s;
    let (early_doubt, late_doubt) = (resolution_pa / early.span_s, resolution_pa / late.span_s);
    let least = (late.pa_per_s - late_doubt) / (early.pa_per_s + early_doubt);
    let greatest = (late.pa_per_s + late_doubt) / (early.pa_per_s - early_doubt);
    let shows = early.pa_per_s > early_doubt;
    let meaning = if rise_pa <= resolution_pa {
        RiseMeaning::Tight
    } else if shows && least >= STRAIGHT_FROM {
        let (change, during) = (Pressure::new::<pascal>(rise_pa), Time::new::<second>(last_s - first_s));
        RiseMeaning::Leak { throughput: leak_throughput(test.volume, change, during)?.value }
    } else if shows && greatest <= LEVEL_TO {
        let share = share.max(0.0);
        let to_come_pa = late.pa_per_s.max(0.0) * 0.5 * (last_s - first_s) * share / (1.0 - share);
        let level_pa = last_pa + to_come_pa;
        let level = AbsolutePressure::from_pascal(level_pa);
        if level_pa <= ABOVE_WATER * water_pa {
            RiseMeaning::Moisture { level, free_water: level_pa >= FREE_WATER_FROM * water_pa }
        } else {
            RiseMeaning::LevelsAboveWater { level }
        }
    } else {
        RiseMeaning::TooCloseToCall
    };
    let value = Rise {
        rise: Pressure::new::<pascal>(rise_pa),
        straightness: (early.pa_per_s > 0.0).then(|| Ratio::new::<ratio>(share)),
        meaning,
    };
    Ok(Outcome { value, method: Method::RiseCurve, caveats: Caveats::default() })
}

fn points(readings: &[RiseReading]) -> Result<Vec<(f64, f64)>, FieldError> {
    let mut points: Vec<(f64, f64)> = Vec::with_capacity(readings.len());
    for (index, reading) in readings.iter().enumerate() {
        let time_s = within("time of a reading (s)", reading.time.get::<second>(), 0.0, 31_557_600.0)?;
        if points.last().is_some_and(|(before_s, _)| time_s <= *before_s) {
            return Err(FieldError::TimeStandsStill { index: index + 1 });
        }
        points.push((time_s, vacuum_pa("pressure of a reading (Pa)", reading.pressure)?));
    }
    Ok(points)
}

mod kernel {
    /// A straight line through points.
    pub(super) struct Slope {
        pub(super) pa_per_s: f64,
        pub(super) span_s: f64,
    }

    /// Least squares; `None` of fewer than two points.
    pub(super) fn slope(points: impl Iterator<Item = (f64, f64)>) -> Option<Slope> {
        let points: Vec<_> = points.collect();
        let [(first_s, _), .., (last_s, _)] = points[..] else { return None };
        let count = points.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).sum::<f64>() / count;
        let (time_s, pressure_pa) = (mean(|point| point.0), mean(|point| point.1));
        let (across, along) = points.iter().fold((0.0, 0.0), |(across, along), (s, pa)| {
            (across + (s - time_s) * (pa - pressure_pa), along + (s - time_s).powi(2))
        });
        Some(Slope { pa_per_s: across / along, span_s: last_s - first_s })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{thermodynamic_temperature::degree_celsius, volume::liter};

    const MICRON_PA: f64 = 0.133_322;

    /// Readings every `step_s`, rounded to the gauge's step of 1 micron.
    fn readings(step_s: f64, count: usize, pressure_pa: impl Fn(f64) -> f64) -> Vec<RiseReading> {
        (0..count)
            .map(|index| {
                let time_s = step_s * index as f64;
                let pressure_pa = (pressure_pa(time_s) / MICRON_PA).round() * MICRON_PA;
                RiseReading {
                    time: Time::new::<second>(time_s),
                    pressure: AbsolutePressure::from_pascal(pressure_pa),
                }
            })
            .collect()
    }

    fn read(readings: &[RiseReading]) -> Result<Rise, FieldError> {
        let test = RiseTest {
            readings,
            resolution: Pressure::new::<pascal>(MICRON_PA),
            volume: Volume::new::<liter>(3.0),
            coldest: ThermodynamicTemperature::new::<degree_celsius>(20.0),
        };
        rise_test(&test).map(|outcome| outcome.value)
    }

    fn levelling(from_pa: f64, level_pa: f64, constant_s: f64) -> impl Fn(f64) -> f64 {
        move |time_s| level_pa - (level_pa - from_pa) * (-time_s / constant_s).exp()
    }

    #[test]
    fn a_straight_rise_is_a_leak() {
        // 200 micron in 10 min out of 3 L.
        let rise = read(&readings(60.0, 11, |time_s| 66.66 + 200.0 * MICRON_PA * time_s / 600.0)).unwrap();
        let RiseMeaning::Leak { throughput } = rise.meaning else { panic!("{rise:?}") };
        assert_relative_eq!(throughput.pascal_cubic_metre_per_second(), 1.333e-4, max_relative = 1e-3);
        assert_relative_eq!(rise.straightness.unwrap().get::<ratio>(), 1.0, max_relative = 1e-6);
        assert_relative_eq!(rise.rise.get::<pascal>(), 200.0 * MICRON_PA, max_relative = 1e-6);
    }

    #[test]
    fn a_rise_that_levels_off_is_moisture_where_water_can_have_the_level() {
        // Water at 20 degC: 2339 Pa.
        for (level_pa, free_water) in [(2300.0, true), (1200.0, true), (300.0, false)] {
            let rise = read(&readings(60.0, 21, levelling(40.0, level_pa, 200.0))).unwrap();
            let RiseMeaning::Moisture { level, free_water: free } = rise.meaning else { panic!("{rise:?}") };
            assert_relative_eq!(level.pascal(), level_pa, max_relative = 0.02);
            assert_eq!(free, free_water, "{level_pa} Pa");
        }
        let rise = read(&readings(60.0, 21, levelling(40.0, 5000.0, 200.0))).unwrap();
        assert!(matches!(rise.meaning, RiseMeaning::LevelsAboveWater { .. }), "{rise:?}");
    }

    #[test]
    fn the_gauge_shows_no_more_than_its_steps() {
        let flat = read(&readings(60.0, 11, |_| 66.66)).unwrap();
        assert_eq!((flat.meaning, flat.straightness), (RiseMeaning::Tight, None));
        let one_step = read(&readings(60.0, 11, |time_s| 66.66 + 0.9 * MICRON_PA * time_s / 600.0)).unwrap();
        assert_eq!(one_step.meaning, RiseMeaning::Tight);
        // Three steps in all: straight or not can not be told from them.
        let three = read(&readings(60.0, 11, |time_s| 66.66 + 3.0 * MICRON_PA * time_s / 600.0)).unwrap();
        assert_eq!(three.meaning, RiseMeaning::TooCloseToCall);
        // Half way between straight and level.
        let between = read(&readings(60.0, 11, levelling(40.0, 400.0, 400.0))).unwrap();
        assert_eq!(between.meaning, RiseMeaning::TooCloseToCall);
        // Level at first, then up: something opened.
        let late = read(&readings(60.0, 11, |time_s| 66.66 + (time_s - 300.0).max(0.0))).unwrap();
        assert!(!matches!(late.meaning, RiseMeaning::Moisture { .. } | RiseMeaning::Tight), "{late:?}");
    }

    #[test]
    fn refuses_what_is_no_rise() {
        let good = readings(60.0, 11, |time_s| 60.0 + time_s);
        assert_eq!(read(&[]), Err(FieldError::TooFewReadings { count: 0 }));
        assert_eq!(read(&good[..2]), Err(FieldError::TooFewReadings { count: 2 }));
        let mut still = good.clone();
        still[4].time = still[3].time;
        assert_eq!(read(&still), Err(FieldError::TimeStandsStill { index: 5 }));
        let falls = read(&readings(60.0, 11, |time_s| 660.0 - 0.1 * time_s)).unwrap_err();
        assert!(matches!(falls, FieldError::PressureFalls { fall_pa } if (fall_pa - 60.0).abs() < 0.2));
        let mut poor = good.clone();
        poor[3].pressure = AbsolutePressure::from_pascal(f64::NAN);
        assert!(read(&poor).is_err());
        let test = RiseTest {
            readings: &good,
            resolution: Pressure::new::<pascal>(0.0),
            volume: Volume::new::<liter>(3.0),
            coldest: ThermodynamicTemperature::new::<degree_celsius>(20.0),
        };
        assert!(rise_test(&test).is_err());
        let resolution = Pressure::new::<pascal>(0.1);
        assert!(rise_test(&RiseTest { resolution, volume: Volume::new::<liter>(0.0), ..test }).is_err());
    }

    proptest! {
        #[test]
        fn straight_and_level_are_never_taken_for_each_other(start_pa in 20.0..200.0_f64, rise_pa in 10.0..1000.0_f64, constants in 4.5..9.0_f64) {
            let straight = read(&readings(60.0, 11, |time_s| start_pa + rise_pa * time_s / 600.0)).unwrap();
            prop_assert!(matches!(straight.meaning, RiseMeaning::Leak { .. }), "{:?}", straight);
            let level = read(&readings(60.0, 11, levelling(start_pa, start_pa + rise_pa, 600.0 / constants))).unwrap();
            prop_assert!(matches!(level.meaning, RiseMeaning::Moisture { .. }), "{:?}", level);
        }
    }
}
