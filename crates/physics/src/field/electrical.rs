//! Circuits of a set: what they carry, what protects them, what their conductors lose.
//!
//! The rating on the nameplate rules over all of it; heat on roofs and crowded conduits are not looked at. Standard sizes and
//! resistances come in as arguments.

use super::{FieldError, plain};
use crate::{
    outcome::{Method, Outcome},
    range::{OutOfRange, within},
    units::{
        ElectricCurrent, ElectricPotential, Length, Ratio, ResistancePerLength, ThermodynamicTemperature,
    },
};
use uom::si::{
    electric_current::ampere, electric_potential::volt, electrical_resistance::ohm, length::meter,
    ratio::ratio, thermodynamic_temperature::degree_celsius,
};

/// Loads of a circuit with at least one motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircuitLoads {
    largest_motor_a: f64,
    others_a: f64,
}

impl CircuitLoads {
    /// Full-load (rated-load) currents of the motors, a compressor among them, and of everything else together.
    ///
    /// # Errors
    /// [`FieldError::NoMotor`]; [`FieldError::OutOfRange`] for a motor outside 0.01 to 2000 A or other loads outside 0 to 2000 A.
    pub fn new(motors: &[ElectricCurrent], other: ElectricCurrent) -> Result<Self, FieldError> {
        let (mut largest_motor_a, mut others_a) =
            (0.0_f64, current_a("current of other loads (A)", other, 0.0)?);
        for motor in motors {
            let motor_a = current_a("current of a motor (A)", *motor, 0.01)?;
            others_a += motor_a.min(largest_motor_a);
            largest_motor_a = largest_motor_a.max(motor_a);
        }
        if motors.is_empty() { Err(FieldError::NoMotor) } else { Ok(Self { largest_motor_a, others_a }) }
    }

    fn times_largest(&self, factor: f64) -> f64 {
        factor * self.largest_motor_a + self.others_a
    }
}

/// Minimum circuit ampacity: 1.25 times the largest motor and the others.
///
/// # Example
/// Compressor 20 A and fan 2.5 A: 27.5 A.
/// ```
/// use physics::{field::electrical::{CircuitLoads, minimum_circuit_ampacity}, units::{ElectricCurrent, unit::electric_current::ampere}};
/// let amperes = ElectricCurrent::new::<ampere>;
/// let loads = CircuitLoads::new(&[amperes(20.0), amperes(2.5)], amperes(0.0))?;
/// assert_eq!(minimum_circuit_ampacity(&loads).value, amperes(27.5));
/// # Ok::<(), physics::field::FieldError>(())
/// ```
#[must_use]
pub fn minimum_circuit_ampacity(loads: &CircuitLoads) -> Outcome<ElectricCurrent> {
    plain(ElectricCurrent::new::<ampere>(loads.times_largest(1.25)), Method::MotorCircuit)
}

/// A fuse or breaker for a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OvercurrentDevice {
    /// What the rule gives: a factor times the largest motor and the others.
    pub computed: ElectricCurrent,
    /// The standard size to take: the next lower, or the smallest that carries the circuit where the next lower does not.
    pub size: ElectricCurrent,
    /// Whether the next lower size would not carry the circuit.
    pub raised: bool,
}

/// Devices of a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OvercurrentDevices {
    /// To be tried first, 1.75 times the largest motor.
    pub first: OvercurrentDevice,
    /// The largest allowed where the first does not let the motor start, 2.25 times.
    pub largest: OvercurrentDevice,
}

/// Overcurrent devices of a circuit from a list of standard sizes, rising or not: the next lower size, but never below what
/// carries the load.
///
/// # Errors
/// [`FieldError::NoSize`] where no size listed carries the circuit; [`FieldError::OutOfRange`] for a size outside 0.1 to
/// 10 000 A.
///
/// # Example
/// Compressor 20 A and fan 2.5 A: 37.5 A and 47.5 A, so 35 A and at most 45 A.
/// ```
/// use physics::{field::electrical::{CircuitLoads, overcurrent_devices}, units::{ElectricCurrent, unit::electric_current::ampere}};
/// let amperes = ElectricCurrent::new::<ampere>;
/// let loads = CircuitLoads::new(&[amperes(20.0), amperes(2.5)], amperes(0.0))?;
/// let sizes = [15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0].map(amperes);
/// let devices = overcurrent_devices(&loads, &sizes)?.value;
/// assert_eq!((devices.first.size, devices.largest.size), (amperes(35.0), amperes(45.0)));
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn overcurrent_devices(
    loads: &CircuitLoads,
    sizes: &[ElectricCurrent],
) -> Result<Outcome<OvercurrentDevices>, FieldError> {
    let mut sizes_a = Vec::with_capacity(sizes.len());
    for size in sizes {
        sizes_a.push(within("size of an overcurrent device (A)", size.get::<ampere>(), 0.1, 10_000.0)?);
    }
    let least_a = loads.times_largest(1.25);
    let device = |factor| {
        let most_a = loads.times_largest(factor);
        let carries = sizes_a.iter().copied().filter(|size_a| *size_a >= least_a);
        let lower = carries.clone().filter(|size_a| *size_a <= most_a).reduce(f64::max);
        let size_a = lower.or_else(|| carries.reduce(f64::min));
        Ok::<_, FieldError>(OvercurrentDevice {
            computed: ElectricCurrent::new::<ampere>(most_a),
            size: ElectricCurrent::new::<ampere>(size_a.ok_or(FieldError::NoSize { least_a, most_a })?),
            raised: lower.is_none(),
        })
    };
    let devices = OvercurrentDevices { first: device(1.75)?, largest: device(2.25)? };
    Ok(plain(devices, Method::MotorCircuit))
}

/// How a circuit is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Supply {
    /// Two conductors carry the current.
    SinglePhase,
    /// Three do.
    ThreePhase,
}

impl Supply {
    fn factor(self) -> f64 {
        match self {
            Self::SinglePhase => 2.0,
            Self::ThreePhase => 3_f64.sqrt(),
        }
    }
}

/// Resistance of a copper conductor at a temperature from that of the tables at 75 °C: `R75 (1 + 0.00323 (T - 75 °C))`, from
/// -40 °C to 150 °C.
///
/// # Errors
/// [`FieldError::OutOfRange`].
pub fn resistance_at(
    at_75_celsius: ResistancePerLength,
    temperature: ThermodynamicTemperature,
) -> Result<Outcome<ResistancePerLength>, FieldError> {
    resistance_ohm_m(at_75_celsius)?;
    let conductor_c =
        within("temperature of the conductor (°C)", temperature.get::<degree_celsius>(), -40.0, 150.0)?;
    Ok(plain(at_75_celsius * (1.0 + 0.003_23 * (conductor_c - 75.0)), Method::VoltageDrop))
}

/// Resistance per length from the resistance of a length, as tables list it per 1000 ft or per km.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a length that is not positive, or a resistance outside 1e-6 to 1 ohm/m.
pub fn resistance_per_length(
    resistance: crate::units::ElectricalResistance,
    of: Length,
) -> Result<ResistancePerLength, FieldError> {
    within("length of a conductor (m)", of.get::<meter>(), f64::MIN_POSITIVE, 1e5)?;
    let per_length = resistance / of;
    resistance_ohm_m(per_length)?;
    Ok(per_length)
}

/// Voltage lost along a circuit: `k R I L` with the length one way, k = 2 for one phase and the root of 3 for three. Resistance
/// alone: right for small conductors at a power factor near one.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a current outside 0 to 2000 A, a length outside 0 to 10 km, a resistance outside 1e-6 to
/// 1 ohm/m.
pub fn voltage_drop(
    current: ElectricCurrent,
    one_way: Length,
    resistance: ResistancePerLength,
    supply: Supply,
) -> Result<Outcome<ElectricPotential>, FieldError> {
    let current_a = current_a("current (A)", current, 0.0)?;
    let length_m = within("length one way (m)", one_way.get::<meter>(), 0.0, 1e4)?;
    let drop_v = supply.factor() * resistance_ohm_m(resistance)? * current_a * length_m;
    Ok(plain(ElectricPotential::new::<volt>(drop_v), Method::VoltageDrop))
}

/// Longest circuit, one way, that loses no more than a drop: [`voltage_drop`] solved for the length.
///
/// # Errors
/// As [`voltage_drop`]; the current must be above 0.01 A, the drop 0 to 1000 V.
pub fn longest_circuit(
    current: ElectricCurrent,
    drop: ElectricPotential,
    resistance: ResistancePerLength,
    supply: Supply,
) -> Result<Outcome<Length>, FieldError> {
    let current_a = current_a("current (A)", current, 0.01)?;
    let drop_v = within("voltage drop (V)", drop.get::<volt>(), 0.0, 1000.0)?;
    let length_m = drop_v / (supply.factor() * resistance_ohm_m(resistance)? * current_a);
    Ok(plain(Length::new::<meter>(length_m), Method::VoltageDrop))
}

/// Imbalance of three voltages: greatest distance from their mean, over the mean (definition).
///
/// # Errors
/// [`FieldError::OutOfRange`] for a voltage outside 1 to 50 000 V.
pub fn voltage_imbalance(voltages: [ElectricPotential; 3]) -> Result<Ratio, FieldError> {
    let mut volts = [0.0; 3];
    for (number, voltage) in volts.iter_mut().zip(voltages) {
        *number = within("voltage (V)", voltage.get::<volt>(), 1.0, 50_000.0)?;
    }
    let mean = volts.iter().sum::<f64>() / 3.0;
    let farthest = volts.iter().map(|number| (number - mean).abs()).fold(0.0, f64::max);
    Ok(Ratio::new::<ratio>(farthest / mean))
}

fn current_a(what: &'static str, current: ElectricCurrent, least_a: f64) -> Result<f64, OutOfRange> {
    within(what, current.get::<ampere>(), least_a, 2000.0)
}

fn resistance_ohm_m(resistance: ResistancePerLength) -> Result<f64, OutOfRange> {
    let of_a_metre = resistance * Length::new::<meter>(1.0);
    within("resistance of a conductor (ohm/m)", of_a_metre.get::<ohm>(), 1e-6, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::ElectricalResistance;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn amperes(value: f64) -> ElectricCurrent {
        ElectricCurrent::new::<ampere>(value)
    }

    fn loads(motors: &[f64], other: f64) -> CircuitLoads {
        let motors: Vec<_> = motors.iter().copied().map(amperes).collect();
        CircuitLoads::new(&motors, amperes(other)).unwrap()
    }

    fn per_metre(ohms: f64) -> ResistancePerLength {
        ElectricalResistance::new::<ohm>(ohms) / Length::new::<meter>(1.0)
    }

    const SIZES: [f64; 8] = [15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0];

    fn devices(loads: &CircuitLoads) -> Result<OvercurrentDevices, FieldError> {
        overcurrent_devices(loads, &SIZES.map(amperes)).map(|outcome| outcome.value)
    }

    #[test]
    fn the_largest_motor_is_found_wherever_it_stands() {
        for motors in [[12.0, 1.5, 0.6], [1.5, 12.0, 0.6], [0.6, 1.5, 12.0]] {
            let found = minimum_circuit_ampacity(&loads(&motors, 0.5)).value.get::<ampere>();
            assert_relative_eq!(found, 17.6, max_relative = 1e-12);
        }
        let like = minimum_circuit_ampacity(&loads(&[1.9, 1.9], 0.0)).value.get::<ampere>();
        assert_relative_eq!(like, 4.275, max_relative = 1e-12);
    }

    #[test]
    fn the_next_lower_size_is_taken_unless_it_does_not_carry_the_load() {
        let head = devices(&loads(&[12.0, 1.5, 0.6], 0.5)).unwrap();
        assert_relative_eq!(head.largest.computed.get::<ampere>(), 29.6, max_relative = 1e-12);
        assert_eq!((head.largest.size, head.largest.raised), (amperes(25.0), false));
        // Two small fans: no size is as small as the rule says.
        let fans = devices(&loads(&[1.9, 1.9], 0.0)).unwrap();
        assert_eq!((fans.first.size, fans.first.raised), (amperes(15.0), true));
        // Exactly a size is that size.
        assert_eq!(devices(&loads(&[20.0], 0.0)).unwrap().first.size, amperes(35.0));
        // A small motor beside a large other load: 31.25 A to be carried, 31.75 and 32.25 A by the rule.
        let mixed = devices(&loads(&[1.0], 30.0)).unwrap();
        assert_eq!((mixed.largest.size, mixed.largest.raised), (amperes(35.0), true));
    }

    #[test]
    fn three_phases_lose_less_than_one_at_the_same_current() {
        let drop = |supply| {
            voltage_drop(amperes(10.0), Length::new::<meter>(50.0), per_metre(0.005), supply)
                .unwrap()
                .value
                .get::<volt>()
        };
        assert_relative_eq!(drop(Supply::SinglePhase), 5.0, max_relative = 1e-12);
        assert_relative_eq!(drop(Supply::ThreePhase), 2.5 * 3_f64.sqrt(), max_relative = 1e-12);
    }

    #[test]
    fn refuses_what_is_no_circuit() {
        assert_eq!(CircuitLoads::new(&[], amperes(5.0)), Err(FieldError::NoMotor));
        for (motor, other) in [(0.0, 0.0), (-1.0, 0.0), (f64::NAN, 0.0), (1.0, -1.0), (1.0, f64::NAN)] {
            assert!(CircuitLoads::new(&[amperes(motor)], amperes(other)).is_err(), "{motor} {other}");
        }
        let told = devices(&loads(&[60.0], 0.0)).unwrap_err().to_string();
        assert_eq!(told, "no size listed lies between 75.00 A, which the circuit draws, and 105.00 A");
        assert!(overcurrent_devices(&loads(&[6.0], 0.0), &[amperes(f64::NAN)]).is_err());
        let (current, length, resistance) = (amperes(1.0), Length::new::<meter>(1.0), per_metre(0.01));
        let one = Supply::SinglePhase;
        assert!(voltage_drop(-current, length, resistance, one).is_err());
        assert!(voltage_drop(current, -length, resistance, one).is_err());
        assert!(voltage_drop(current, length, per_metre(0.0), one).is_err());
        assert!(longest_circuit(amperes(0.0), ElectricPotential::new::<volt>(3.0), resistance, one).is_err());
        assert!(longest_circuit(current, ElectricPotential::new::<volt>(-3.0), resistance, one).is_err());
        let celsius = ThermodynamicTemperature::new::<degree_celsius>;
        assert!(resistance_at(resistance, celsius(200.0)).is_err());
        assert!(resistance_at(per_metre(f64::NAN), celsius(20.0)).is_err());
        assert!(
            resistance_per_length(ElectricalResistance::new::<ohm>(1.0), Length::new::<meter>(0.0)).is_err()
        );
        assert!(voltage_imbalance([230.0, 0.0, 230.0].map(ElectricPotential::new::<volt>)).is_err());
    }

    #[test]
    fn copper_is_as_listed_at_75_celsius_and_less_when_cold() {
        let at = |celsius| {
            let temperature = ThermodynamicTemperature::new::<degree_celsius>(celsius);
            (resistance_at(per_metre(0.01), temperature).unwrap().value / per_metre(0.01)).get::<ratio>()
        };
        assert_relative_eq!(at(75.0), 1.0, max_relative = 1e-9);
        assert_relative_eq!(at(20.0), 0.822_35, max_relative = 1e-9);
    }

    proptest! {
        #[test]
        fn a_device_carries_the_circuit_and_the_largest_is_no_smaller_than_the_first(motor in 1.0..20.0_f64, fan in 0.1..5.0_f64, other in 0.0..5.0_f64) {
            let loads = loads(&[motor, fan], other);
            let devices = devices(&loads).unwrap();
            let ampacity = minimum_circuit_ampacity(&loads).value;
            for device in [devices.first, devices.largest] {
                prop_assert!(device.size >= ampacity);
                prop_assert_eq!(device.size > device.computed, device.raised);
            }
            prop_assert!(devices.largest.size >= devices.first.size);
        }

        #[test]
        fn the_longest_circuit_loses_what_it_may(current in 0.1..50.0_f64, ohms in 1e-4..0.02_f64, drop in 0.1..20.0_f64, three in any::<bool>()) {
            let supply = if three { Supply::ThreePhase } else { Supply::SinglePhase };
            let longest = longest_circuit(amperes(current), ElectricPotential::new::<volt>(drop), per_metre(ohms), supply).unwrap().value;
            prop_assume!(longest.get::<meter>() <= 1e4);
            let lost = voltage_drop(amperes(current), longest, per_metre(ohms), supply).unwrap().value;
            prop_assert!((lost.get::<volt>() / drop - 1.0).abs() < 1e-12);
        }

        #[test]
        fn like_voltages_are_balanced(volts in 100.0..500.0_f64, off in 0.1..50.0_f64) {
            let imbalance = |volts: [f64; 3]| voltage_imbalance(volts.map(ElectricPotential::new::<volt>)).unwrap().get::<ratio>();
            prop_assert!(imbalance([volts; 3]).abs() < 1e-12);
            let (high, low) = (imbalance([volts + off, volts, volts]), imbalance([volts, volts - off, volts]));
            prop_assert!(high > 0.0 && low > 0.0);
        }
    }
}
