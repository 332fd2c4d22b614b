//! On the day of the work: pressure test, evacuation, holding charge, circuits, water and drains, limits of charge.
//!
//! **Everything here defers to the adopted local code, the label and sheet of the equipment, and licensed practice.** A pass is
//! a prompt, never a permit: refrigerant, electrical and potable-water work need the licence that the place asks for.
//!
//! [`nitrogen`] says whether a pressure that changed is weather or a leak; [`vacuum`] how long an evacuation takes, what limits
//! it, and what the rise of pressure afterwards means; [`holding`] what gas a line is left with. [`electrical`] has ampacity,
//! overcurrent device and voltage drop, [`water`] the pressure at the head and the drain, [`charge_limit`] rooms, leak rates,
//! cylinders. Limits and sizes come in as arguments.

pub mod charge_limit;
pub mod electrical;
pub mod holding;
pub mod nitrogen;
pub mod vacuum;
pub mod water;

use crate::{
    fluid::OutsideRange,
    heat::HeatError,
    outcome::{Caveats, Method, Outcome},
    range::{OutOfRange, within},
    units::{AbsolutePressure, MolarMass, ThermodynamicTemperature},
};
use thiserror::Error;
use uom::si::{molar_mass::kilogram_per_mole, thermodynamic_temperature::kelvin};

/// Why a question about work in the field has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum FieldError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// A state outside the property data of the refrigerant.
    #[error(transparent)]
    Properties(#[from] OutsideRange),
    /// A temperature at which the vapour pressure of water is not known.
    #[error(transparent)]
    Water(#[from] HeatError),
    /// A pump joined to nothing, or conductances of which there are none.
    #[error("there is no hose or tube to flow through")]
    NoPath,
    /// The pump does not get as low as asked for.
    #[error("a pump that ends at {ultimate_pa:.2} Pa never reaches {target_pa:.2} Pa")]
    NeverReaches {
        /// Lowest pressure of the pump, Pa.
        ultimate_pa: f64,
        /// Pressure asked for, Pa.
        target_pa: f64,
    },
    /// Water does not boil at the pressure.
    #[error("water of {water_k:.2} K boils at {boils_pa:.1} Pa, below the {pressure_pa:.1} Pa stated")]
    DoesNotBoil {
        /// Temperature of the water, K.
        water_k: f64,
        /// Its vapour pressure, Pa.
        boils_pa: f64,
        /// Pressure in the line, Pa.
        pressure_pa: f64,
    },
    /// A rise test with fewer than two readings in one of its halves.
    #[error("{count} readings leave a half of the test with fewer than 2: read at even times")]
    TooFewReadings {
        /// Readings in all.
        count: usize,
    },
    /// A rise test whose readings do not follow each other.
    #[error("reading {index} (counted from 1) is not later than the one before")]
    TimeStandsStill {
        /// Which reading.
        index: usize,
    },
    /// A rise test in which the pressure falls.
    #[error("the pressure falls by {fall_pa:.2} Pa: the pump is not shut off, or the gauge drifts")]
    PressureFalls {
        /// How far, Pa.
        fall_pa: f64,
    },
    /// A circuit without a motor.
    #[error("the circuit has no motor: the rules for motors do not speak of it")]
    NoMotor,
    /// No standard size serves.
    #[error("no size listed lies between {least_a:.2} A, which the circuit draws, and {most_a:.2} A")]
    NoSize {
        /// Ampacity of the circuit, A.
        least_a: f64,
        /// Largest device, A.
        most_a: f64,
    },
}

/// Molar gas constant, J/(mol K) (CODATA 2018, exact).
const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;

/// Temperatures that work in the field meets, K: -60 °C to 100 °C.
fn field_temperature_k(what: &'static str, temperature: ThermodynamicTemperature) -> Result<f64, OutOfRange> {
    within(what, temperature.get::<kelvin>(), 213.15, 373.15)
}

fn molar_mass_kg_mol(molar_mass: MolarMass) -> Result<f64, OutOfRange> {
    within("molar mass (kg/mol)", molar_mass.get::<kilogram_per_mole>(), 0.002, 0.5)
}

/// A pressure of a vacuum, Pa, up to that of the atmosphere.
fn vacuum_pa(what: &'static str, pressure: AbsolutePressure) -> Result<f64, OutOfRange> {
    within(what, pressure.pascal(), 1e-3, 120_000.0)
}

fn plain<T>(value: T, method: Method) -> Outcome<T> {
    Outcome { value, method, caveats: Caveats::default() }
}
