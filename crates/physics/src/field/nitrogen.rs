//! Pressure test with dry nitrogen: leak or weather, and how small a leak a hold can show.
//!
//! Nitrogen or another dry inert gas, never oxygen or air. A section is isolated from what must not see the test pressure, the
//! pressure raised in steps, held, and read again; in between the weather changes. How long to hold is the caller's: sources
//! say 10 min, 1 h, 2 h and 24 h.

use super::{FieldError, GAS_CONSTANT_J_MOL_K, field_temperature_k, molar_mass_kg_mol, plain};
use crate::{
    outcome::{Method, Outcome},
    range::{OutOfRange, within},
    units::{
        AbsolutePressure, MassRate, MolarMass, Pressure, TemperatureInterval, ThermodynamicTemperature,
        Throughput, Time, Volume,
    },
};
use uom::si::{
    mass_rate::kilogram_per_second, molar_mass::gram_per_mole, pressure::pascal, temperature_interval,
    time::second, volume::cubic_meter,
};

/// Real nitrogen follows a temperature more than the ideal gas does: 0.7 to 0.8 psi of 14.4 psi at 300 psig and 85 °F to 60 °F
/// (CoolProp 8.0), in proportion to the pressure.
const REAL_GAS_PER_PA: f64 = 0.056 / 2.17e6;

/// Molar mass of nitrogen, 28.0134 g/mol.
#[must_use]
pub fn nitrogen_molar_mass() -> MolarMass {
    MolarMass::new::<gram_per_mole>(28.0134)
}

/// One reading of gauge and thermometer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldReading {
    /// Absolute pressure: the gauge's and that of the air on the day.
    pub pressure: AbsolutePressure,
    /// Temperature of the gas: that of the tube, not of the thermostat.
    pub temperature: ThermodynamicTemperature,
}

/// How well pressure and temperature are known; half of the band that they leave on each reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GaugeDoubts {
    /// Smallest step that the gauge shows. A reading is good to half of it.
    pub resolution: Pressure,
    /// 95 % half-width of each temperature.
    pub temperature: TemperatureInterval,
}

/// What a hold says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoldVerdict {
    /// The gauge shows what the temperature explains, to its own resolution.
    Holds,
    /// It shows something else, which doubt about the temperature may explain: hold longer, or measure better.
    TooCloseToCall,
    /// More is gone than weather and gauge explain.
    Leaks,
    /// More has come than weather and gauge explain: a valve feeds, or a reading is wrong. Nothing follows from such a test.
    Gains,
}

/// A hold, judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldResult {
    /// Pressure that the temperature explains.
    pub expected: AbsolutePressure,
    /// Pressure read less the expected one: below 0 gas is gone.
    pub difference: Pressure,
    /// Difference that the steps of the gauge explain: up to it the pressure holds.
    pub explained: Pressure,
    /// 95 % half-width of the difference.
    pub band: Pressure,
    /// Leak or weather.
    pub verdict: HoldVerdict,
}

/// Pressure of a closed volume of nitrogen at another temperature: `P2 = P1 T2/T1`, absolute both.
///
/// Ideal gas, up to 10 MPa and -60 °C to 100 °C; at 300 psig and 25 °F real nitrogen lies 0.7 psi off, which the band of
/// [`hold_test`] holds.
///
/// # Errors
/// [`FieldError::OutOfRange`].
///
/// # Example
/// 300 psig at 85 °F become 285.6 psig at 60 °F.
/// ```
/// use physics::{field::nitrogen::{HoldReading, expected_pressure}, units::{*, unit::{length::meter, pressure::psi, thermodynamic_temperature::degree_fahrenheit}}};
/// let sea_level = standard_atmosphere(Length::new::<meter>(0.0)).unwrap();
/// let start = HoldReading {
///     pressure: GaugePressure::new(Pressure::new::<psi>(300.0)).absolute(sea_level),
///     temperature: ThermodynamicTemperature::new::<degree_fahrenheit>(85.0),
/// };
/// let evening = expected_pressure(&start, ThermodynamicTemperature::new::<degree_fahrenheit>(60.0))?.value;
/// assert!((evening.gauge(sea_level).get().get::<psi>() - 285.6).abs() < 0.05);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn expected_pressure(
    start: &HoldReading,
    now: ThermodynamicTemperature,
) -> Result<Outcome<AbsolutePressure>, FieldError> {
    let (start_pa, start_k) = checked(start)?;
    let now_k = field_temperature_k("temperature of the gas (K)", now)?;
    Ok(plain(AbsolutePressure::from_pascal(start_pa * (now_k / start_k)), Method::NitrogenHold))
}

/// Whether a pressure that changed is weather or a leak.
///
/// The band of the difference is the root of squares of gauge (half a step on each reading, added: a step bounds its error),
/// temperatures, and the ideal gas. A drop within one step of the gauge holds; beyond the band it leaks.
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn hold_test(
    start: &HoldReading,
    end: &HoldReading,
    doubts: &GaugeDoubts,
) -> Result<Outcome<HoldResult>, FieldError> {
    let (start_pa, start_k) = checked(start)?;
    let (end_pa, end_k) = checked(end)?;
    let resolution_pa = within("step of the gauge (Pa)", doubts.resolution.get::<pascal>(), 0.0, 1e6)?;
    let doubt_k = doubts.temperature.get::<temperature_interval::kelvin>();
    let doubt_k = within("doubt about the temperature (K)", doubt_k, 0.0, 30.0)?;
    let ratio = end_k / start_k;
    let expected_pa = start_pa * ratio;
    let gauge_pa = 0.5 * resolution_pa * (1.0 + ratio);
    let weather_pa = expected_pa * (doubt_k / start_k).hypot(doubt_k / end_k);
    let real_gas_pa = REAL_GAS_PER_PA * start_pa * (expected_pa - start_pa);
    let band_pa = gauge_pa.hypot(weather_pa).hypot(real_gas_pa);
    let difference_pa = end_pa - expected_pa;
    let verdict = if difference_pa < -band_pa {
        HoldVerdict::Leaks
    } else if difference_pa > band_pa {
        HoldVerdict::Gains
    } else if difference_pa.abs() <= gauge_pa {
        HoldVerdict::Holds
    } else {
        HoldVerdict::TooCloseToCall
    };
    let result = HoldResult {
        expected: AbsolutePressure::from_pascal(expected_pa),
        difference: Pressure::new::<pascal>(difference_pa),
        explained: Pressure::new::<pascal>(gauge_pa),
        band: Pressure::new::<pascal>(band_pa),
        verdict,
    };
    Ok(plain(result, Method::NitrogenHold))
}

/// Throughput of a leak from the change of pressure in a closed volume, the temperature taken out: `Q = V dP/dt`. The same for
/// a drop under nitrogen and for a rise under vacuum.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a negative change, or a volume outside 1e-9 to 100 m³, or a time outside 1 s to a year.
pub fn leak_throughput(
    volume: Volume,
    change: Pressure,
    during: Time,
) -> Result<Outcome<Throughput>, FieldError> {
    let change_pa = within("change of pressure (Pa)", change.get::<pascal>(), 0.0, 1e7)?;
    let throughput = volume_m3(volume)? * change_pa / hold_s(during)?;
    Ok(plain(Throughput::from_pascal_cubic_metre_per_second(throughput), Method::Throughput))
}

/// Smallest leak that a hold can show: what moves the pressure by the band of its difference (without doubt about the
/// temperature, by one step of the gauge) in the time held.
///
/// # Errors
/// As [`leak_throughput`].
///
/// # Example
/// A step of 0.5 psi, 3 L, 24 h: 1.2e-4 Pa m³/s. Leaks of 1 oz a year are a tenth of that: a pressure test alone misses them.
/// ```
/// use physics::{field::nitrogen::smallest_leak, units::{Pressure, Time, Volume, unit::{pressure::psi, time::hour, volume::liter}}};
/// let (volume, hold) = (Volume::new::<liter>(3.0), Time::new::<hour>(24.0));
/// let leak = smallest_leak(volume, Pressure::new::<psi>(0.5), hold)?.value;
/// assert!((leak.pascal_cubic_metre_per_second() - 1.197e-4).abs() < 5e-8);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn smallest_leak(
    volume: Volume,
    band: Pressure,
    during: Time,
) -> Result<Outcome<Throughput>, FieldError> {
    leak_throughput(volume, band, during)
}

/// How long to hold until a leak shows: [`smallest_leak`] solved for the time.
///
/// # Errors
/// [`FieldError::OutOfRange`], also for a leak outside 1e-12 to 1000 Pa m³/s.
pub fn hold_time(volume: Volume, band: Pressure, leak: Throughput) -> Result<Outcome<Time>, FieldError> {
    let band_pa = within("band of the pressure (Pa)", band.get::<pascal>(), 0.0, 1e7)?;
    let leak_pa_m3_s = throughput_pa_m3_s(leak)?;
    let time = Time::new::<second>(volume_m3(volume)? * band_pa / leak_pa_m3_s);
    Ok(plain(time, Method::Throughput))
}

/// Mass rate of a leak: `Q M/(R T)`, ideal gas.
///
/// # Errors
/// [`FieldError::OutOfRange`], for a leak as in [`hold_time`], for a molar mass outside 2 to 500 g/mol.
pub fn leak_mass_rate(
    leak: Throughput,
    molar_mass: MolarMass,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<MassRate>, FieldError> {
    let per_kg = energy_per_mass_j_kg(molar_mass, temperature)?;
    let rate_kg_s = throughput_pa_m3_s(leak)? / per_kg;
    Ok(plain(MassRate::new::<kilogram_per_second>(rate_kg_s), Method::Throughput))
}

/// Throughput of a leak of which the mass rate is known, as makers and rules state it: [`leak_mass_rate`] turned round.
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn throughput_of(
    rate: MassRate,
    molar_mass: MolarMass,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<Throughput>, FieldError> {
    let rate_kg_s = within("mass rate of the leak (kg/s)", rate.get::<kilogram_per_second>(), 0.0, 1.0)?;
    let throughput = rate_kg_s * energy_per_mass_j_kg(molar_mass, temperature)?;
    Ok(plain(Throughput::from_pascal_cubic_metre_per_second(throughput), Method::Throughput))
}

fn energy_per_mass_j_kg(
    molar_mass: MolarMass,
    temperature: ThermodynamicTemperature,
) -> Result<f64, OutOfRange> {
    let temperature_k = field_temperature_k("temperature of the gas (K)", temperature)?;
    Ok(GAS_CONSTANT_J_MOL_K * temperature_k / molar_mass_kg_mol(molar_mass)?)
}

fn checked(reading: &HoldReading) -> Result<(f64, f64), OutOfRange> {
    let pressure_pa = within("pressure of the test (Pa)", reading.pressure.pascal(), 1e3, 1e7)?;
    Ok((pressure_pa, field_temperature_k("temperature of the gas (K)", reading.temperature)?))
}

pub(super) fn volume_m3(volume: Volume) -> Result<f64, OutOfRange> {
    within("volume (m3)", volume.get::<cubic_meter>(), 1e-9, 100.0)
}

fn hold_s(during: Time) -> Result<f64, OutOfRange> {
    within("time (s)", during.get::<second>(), 1.0, 31_557_600.0)
}

fn throughput_pa_m3_s(leak: Throughput) -> Result<f64, OutOfRange> {
    within("leak (Pa m3/s)", leak.pascal_cubic_metre_per_second(), 1e-12, 1e3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{thermodynamic_temperature::degree_celsius, time::hour, volume::liter};

    fn celsius(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(value)
    }

    fn reading(pressure_pa: f64, temperature_c: f64) -> HoldReading {
        HoldReading {
            pressure: AbsolutePressure::from_pascal(pressure_pa),
            temperature: celsius(temperature_c),
        }
    }

    fn doubts(resolution_pa: f64, temperature_k: f64) -> GaugeDoubts {
        GaugeDoubts {
            resolution: Pressure::new::<pascal>(resolution_pa),
            temperature: TemperatureInterval::new::<temperature_interval::kelvin>(temperature_k),
        }
    }

    fn judged(end_pa: f64, end_c: f64, doubts: &GaugeDoubts) -> HoldResult {
        hold_test(&reading(2e6, 20.0), &reading(end_pa, end_c), doubts).unwrap().value
    }

    #[test]
    fn a_cold_night_is_no_leak_and_a_leak_is_no_cold_night() {
        // 10 K colder: 68.2 kPa less.
        let expected_pa = 2e6 * 283.15 / 293.15;
        let good = doubts(2000.0, 0.5);
        assert_eq!(judged(expected_pa - 500.0, 10.0, &good).verdict, HoldVerdict::Holds);
        assert_eq!(judged(expected_pa - 4000.0, 10.0, &good).verdict, HoldVerdict::TooCloseToCall);
        assert_eq!(judged(expected_pa - 10_000.0, 10.0, &good).verdict, HoldVerdict::Leaks);
        assert_eq!(judged(expected_pa + 10_000.0, 10.0, &good).verdict, HoldVerdict::Gains);
        let result = judged(expected_pa - 500.0, 10.0, &good);
        assert_relative_eq!(result.difference.get::<pascal>(), -500.0, max_relative = 1e-6);
        assert_relative_eq!(result.expected.pascal(), expected_pa, max_relative = 1e-12);
    }

    #[test]
    fn the_band_joins_gauge_temperature_and_ideal_gas() {
        let band_pa = |end_c, doubts: &GaugeDoubts| judged(2e6, end_c, doubts).band.get::<pascal>();
        assert_relative_eq!(band_pa(20.0, &doubts(3447.0, 0.0)), 3447.0, max_relative = 1e-12);
        let warm_pa = 2e6 * std::f64::consts::SQRT_2 / 293.15;
        assert_relative_eq!(band_pa(20.0, &doubts(0.0, 1.0)), warm_pa, max_relative = 1e-12);
        assert_relative_eq!(
            band_pa(20.0, &doubts(3000.0, 1.0)),
            3000_f64.hypot(warm_pa),
            max_relative = 1e-12
        );
        // 300 psig, 85 to 60 degF: 0.8 psi.
        let (hot, cold) = (reading(2.1697e6, 29.444), reading(2.07e6, 15.556));
        let band = hold_test(&hot, &cold, &doubts(0.0, 0.0)).unwrap().value.band;
        assert_relative_eq!(band.get::<pascal>() / 6894.757, 0.809, max_relative = 0.01);
    }

    #[test]
    fn a_leak_and_the_hold_that_shows_it_belong_together() {
        let (volume, band, hold) =
            (Volume::new::<liter>(3.0), Pressure::new::<pascal>(3447.0), Time::new::<hour>(24.0));
        let leak = smallest_leak(volume, band, hold).unwrap().value;
        let back = hold_time(volume, band, leak).unwrap().value;
        assert_relative_eq!(back.get::<hour>(), 24.0, max_relative = 1e-12);
        let rate = leak_mass_rate(leak, nitrogen_molar_mass(), celsius(20.0)).unwrap().value;
        let again = throughput_of(rate, nitrogen_molar_mass(), celsius(20.0)).unwrap().value;
        assert_relative_eq!(
            again.pascal_cubic_metre_per_second(),
            leak.pascal_cubic_metre_per_second(),
            max_relative = 1e-12
        );
    }

    #[test]
    fn refuses_what_is_no_test() {
        let good = reading(2e6, 20.0);
        for poor in [reading(-1.0, 20.0), reading(f64::NAN, 20.0), reading(2e7, 20.0), reading(2e6, 200.0)] {
            assert!(expected_pressure(&poor, celsius(20.0)).is_err(), "{poor:?}");
            assert!(hold_test(&good, &poor, &doubts(0.0, 0.0)).is_err(), "{poor:?}");
        }
        assert!(expected_pressure(&good, celsius(f64::NAN)).is_err());
        assert!(hold_test(&good, &good, &doubts(-1.0, 0.0)).is_err());
        assert!(hold_test(&good, &good, &doubts(0.0, f64::NAN)).is_err());
        let (volume, change, hold) =
            (Volume::new::<liter>(1.0), Pressure::new::<pascal>(1.0), Time::new::<hour>(1.0));
        assert!(leak_throughput(Volume::new::<liter>(0.0), change, hold).is_err());
        assert!(leak_throughput(volume, -change, hold).is_err());
        assert!(leak_throughput(volume, change, Time::new::<second>(0.0)).is_err());
        let none = Throughput::from_pascal_cubic_metre_per_second(0.0);
        let told = hold_time(volume, change, none).unwrap_err().to_string();
        assert_eq!(told, "the leak (Pa m3/s) is 0, outside 0.000000000001 to 1000");
        assert!(leak_mass_rate(none, nitrogen_molar_mass(), celsius(20.0)).is_err());
        let light = MolarMass::new::<gram_per_mole>(0.0);
        let rate = MassRate::new::<kilogram_per_second>(1e-9);
        assert!(throughput_of(rate, light, celsius(20.0)).is_err());
        assert!(throughput_of(-rate, nitrogen_molar_mass(), celsius(20.0)).is_err());
    }

    proptest! {
        #[test]
        fn no_change_of_temperature_no_change_of_pressure(pressure_pa in 1e3..1e7_f64, c in -60.0..100.0_f64, other_c in -60.0..100.0_f64) {
            let start = reading(pressure_pa, c);
            let expected = |c| expected_pressure(&start, celsius(c)).unwrap().value;
            prop_assert_eq!(expected(c), start.pressure);
            prop_assert_eq!(expected(other_c) > start.pressure, other_c > c);
            let back = expected_pressure(&HoldReading { pressure: expected(other_c), temperature: celsius(other_c) }, celsius(c));
            if let Ok(back) = back {
                prop_assert!((back.value.pascal() / pressure_pa - 1.0).abs() < 1e-12);
            }
        }

        #[test]
        fn the_more_is_gone_the_worse_the_verdict(drop_pa in 0.0..1e5_f64, more_pa in 0.0..1e5_f64, c in 0.0..40.0_f64, resolution_pa in 10.0..1e4_f64, doubt_k in 0.0..3.0_f64) {
            let expected_pa = 2e6 * (c + 273.15) / 293.15;
            let rank = |drop_pa: f64| match judged(expected_pa - drop_pa, c, &doubts(resolution_pa, doubt_k)).verdict {
                HoldVerdict::Holds => 0,
                HoldVerdict::TooCloseToCall => 1,
                HoldVerdict::Leaks => 2,
                HoldVerdict::Gains => 3,
            };
            prop_assert!(rank(drop_pa) <= rank(drop_pa + more_pa));
            prop_assert!(rank(drop_pa) < 3);
        }

        #[test]
        fn a_longer_hold_shows_a_smaller_leak(litres in 0.1..50.0_f64, band_pa in 10.0..1e4_f64, hours in 0.1..48.0_f64) {
            let leak = |hours| {
                let hold = Time::new::<hour>(hours);
                smallest_leak(Volume::new::<liter>(litres), Pressure::new::<pascal>(band_pa), hold).unwrap().value
            };
            prop_assert!(leak(2.0 * hours) < leak(hours));
        }
    }
}
