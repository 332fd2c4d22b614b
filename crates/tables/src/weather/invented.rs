//! A year of a site that does not exist.

use super::{Air, Hour, HourOfYear, Kind, Weather, WeatherFault, air};
use crate::provenance::{Grade, Source};
use physics::units::{
    TemperatureInterval, ThermodynamicTemperature,
    unit::{temperature_interval::kelvin as kelvin_interval, thermodynamic_temperature::degree_celsius},
};
use std::f64::consts::TAU;

const DAYS: f64 = 365.0;
/// Day of the year with the coldest mean, and the hour of the day with the warmest air: invented as all else here, at
/// about the times of the year and of the day at which they come in temperate places of the northern half.
const COLDEST_DAY: f64 = 15.0;
const WARMEST_HOUR: f64 = 15.0;

/// An invented year of 8760 hours: the mean of the year, and on it two cosines, with no chance in them.
///
/// `year_swing` is the mean of the warmest day minus that of the coldest, 15 January; `day_swing` the temperature at 15:00
/// minus that at 03:00 of the same day. The hours are rounded to 0.1 K, as files of weather are.
///
/// It is no weather of any place and has no spells of heat or cold: good for comparing, not for a bill.
///
/// # Errors
/// [`WeatherFault::NoAir`] when an hour comes out outside -90 to 60 °C.
pub fn invented(
    mean: ThermodynamicTemperature,
    year_swing: TemperatureInterval,
    day_swing: TemperatureInterval,
) -> Result<Weather, WeatherFault> {
    let mean_c = mean.get::<degree_celsius>();
    let (year_k, day_k) = (year_swing.get::<kelvin_interval>(), day_swing.get::<kelvin_interval>());
    let mut hours = Vec::with_capacity(8760);
    let mut day = 0.0;
    for at in HourOfYear::all().filter(|hour| !hour.is_leap_day()) {
        if at.hour() == 1 {
            day += 1.0;
        }
        let of_year = -0.5 * year_k * (TAU * (day - COLDEST_DAY) / DAYS).cos();
        let of_day = 0.5 * day_k * (TAU * (f64::from(at.hour()) - WARMEST_HOUR) / 24.0).cos();
        let celsius = ((mean_c + of_year + of_day) * 10.0).round() / 10.0;
        hours.push(Hour { at, air: air(celsius)? });
    }
    let text = format!(
        "invented site, no place on earth: mean {mean_c:.1} °C, {year_k:.1} K from winter to summer, {day_k:.1} K from \
         night to afternoon"
    );
    Ok(Weather {
        kind: Kind::Invented,
        place: None,
        altitude: None,
        air: Air::Hours(hours),
        leap_year: false,
        gaps: vec![],
        source: Source { text: text.into(), grade: Grade::Stated },
    })
}
