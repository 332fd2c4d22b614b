//! What a set does over a year of outdoor air: hours running, energy, hours that fall short.
//!
//! Every hour stands on its own: nothing is stored from one to the next. The machine runs the share of each hour that makes
//! the cold needed in it.

use crate::units::{Energy, Power, Ratio, Time};
use thiserror::Error;
use uom::si::{power::watt, ratio::ratio};

/// How the fans of condensers follow head-pressure control.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FanControl {
    /// They run whenever the compressor does: flooding, or no control.
    Full,
    /// They run the share of the time in which they are needed.
    Cycling,
    /// They turn as slowly as holds the pressure.
    Speed,
}

/// Figures that can not be those of a running machine.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("capacity {capacity_w} W, input {input_w} W and cold needed {needed_w} W must all be positive")]
pub struct NoMachine {
    /// Capacity.
    pub capacity_w: f64,
    /// Input.
    pub input_w: f64,
    /// Cold needed.
    pub needed_w: f64,
}

/// The machine at one outdoor temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// Share of the time that it runs.
    pub on_time: Ratio,
    /// Mean input over running and standing.
    pub mean_input: Power,
    /// Cold that is needed and not made.
    pub short: Power,
}

impl Running {
    /// From the capacity and the input, fans included, while it runs, and the mean cold needed.
    ///
    /// # Errors
    /// [`NoMachine`].
    pub fn at(capacity: Power, input: Power, needed: Power) -> Result<Self, NoMachine> {
        let (capacity_w, input_w, needed_w) =
            (capacity.get::<watt>(), input.get::<watt>(), needed.get::<watt>());
        if !(capacity_w > 0.0 && input_w > 0.0 && needed_w > 0.0) {
            return Err(NoMachine { capacity_w, input_w, needed_w });
        }
        let on_time = (needed_w / capacity_w).min(1.0);
        Ok(Self {
            on_time: Ratio::new::<ratio>(on_time),
            mean_input: input * on_time,
            short: Power::new::<watt>((needed_w - capacity_w).max(0.0)),
        })
    }
}

/// Sums over a year, or over the part of it that weather is known of.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sums {
    /// Time summed over.
    pub time: Time,
    /// Time running.
    pub running: Time,
    /// Electrical energy, fans included.
    pub energy: Energy,
    /// Cold made.
    pub cold: Energy,
    /// Cold needed and not made.
    pub short: Energy,
    /// Time in which the head pressure is held up.
    pub held: Time,
    /// Time above a limit of the condensing temperature.
    pub above_limit: Time,
    /// Time at temperatures for which no balance was found; nothing else counts it.
    pub unknown: Time,
}

impl Sums {
    /// Adds a time at one outdoor temperature.
    pub fn add(&mut self, time: Time, running: &Running, capacity: Power, held: bool, above_limit: bool) {
        let on = time * running.on_time;
        self.time += time;
        self.running += on;
        self.energy += running.mean_input * time;
        self.cold += capacity * on;
        self.short += running.short * time;
        if held {
            self.held += time;
        }
        if above_limit {
            self.above_limit += time;
        }
    }

    /// Adds a time at an outdoor temperature for which there is no balance.
    pub fn add_unknown(&mut self, time: Time) {
        self.unknown += time;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use uom::si::{energy::kilowatt_hour, power::kilowatt, time::hour};

    fn kw(power: f64) -> Power {
        Power::new::<kilowatt>(power)
    }

    #[test]
    fn hours_run_as_long_as_the_cold_takes() {
        let hours = Time::new::<hour>;
        let mut sums = Sums::default();
        // 10 kW of capacity at 4 kW of input for 8 kW: 80 % of 100 h; then 6 kW of capacity fall short by 2 kW for 50 h.
        let easy = Running::at(kw(10.0), kw(4.0), kw(8.0)).unwrap();
        let hard = Running::at(kw(6.0), kw(5.0), kw(8.0)).unwrap();
        sums.add(hours(100.0), &easy, kw(10.0), true, false);
        sums.add(hours(50.0), &hard, kw(6.0), false, true);
        sums.add_unknown(hours(7.0));
        assert_relative_eq!(sums.running.get::<hour>(), 130.0, max_relative = 1e-12);
        assert_relative_eq!(sums.energy.get::<kilowatt_hour>(), 0.8 * 400.0 + 250.0, max_relative = 1e-12);
        assert_relative_eq!(sums.cold.get::<kilowatt_hour>(), 800.0 + 300.0, max_relative = 1e-12);
        assert_relative_eq!(sums.short.get::<kilowatt_hour>(), 100.0, max_relative = 1e-12);
        let told =
            [sums.time, sums.held, sums.above_limit, sums.unknown].map(|time| time.get::<hour>().round());
        assert_eq!(told, [150.0, 100.0, 50.0, 7.0]);
    }

    #[test]
    fn no_machine_gives_no_hours() {
        assert!(Running::at(kw(0.0), kw(1.0), kw(1.0)).is_err());
        assert!(Running::at(kw(1.0), kw(f64::NAN), kw(1.0)).is_err());
        assert!(Running::at(kw(1.0), kw(1.0), kw(0.0)).is_err());
    }
}
