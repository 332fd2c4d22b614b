//! Laws and design methods of refrigerant lines.
//!
//! This crate knows no file, no table and no text for people. Its public quantities are `uom` types ([`units`]); bare
//! numbers live in private kernels with the unit in their names.
//!
//! The way through: a [`fluid::Refrigerant`] gives states; a [`line::Line`] is marched ([`line::march`]) at the
//! duties of a [`sizing::Case`], whose checks carry verdicts with bands ([`check`], [`uncertainty`]); [`charge`] says
//! what to add for it; [`strength`] whether tube and route hold what pressure, heat and valves do to them.
//!
//! # Example
//! A made-up refrigerant: gas of 80 kg/m3 and 14 µPa s at 8 m/s through 21.3 m of 1/2 in coil, and liquid of 1,050 kg/m3
//! in 3/8 in coil that is 8 m longer than the run which the factory charge covers.
//! ```
//! use physics::{
//!     charge::charge_per_length,
//!     friction::friction_pressure_drop,
//!     tube::Tube,
//!     units::{Length, MassDensity, OutsideDiameter, Ratio, Velocity, unit::{
//!         length::{inch, meter, micrometer}, mass::kilogram, mass_density::kilogram_per_cubic_meter,
//!         pressure::kilopascal, ratio::ratio, velocity::meter_per_second,
//!     }},
//! };
//!
//! let coil = |outside_in| {
//!     Tube::new(OutsideDiameter::new(Length::new::<inch>(outside_in)), Length::new::<inch>(0.032))
//! };
//! let (discharge, liquid) = (coil(0.5)?.bore(), coil(0.375)?.bore());
//!
//! let density = MassDensity::new::<kilogram_per_cubic_meter>(80.0);
//! let velocity = Velocity::new::<meter_per_second>(8.0);
//! let reynolds = 80.0 * 8.0 * discharge.get().get::<meter>() / 14e-6;
//! let drop = friction_pressure_drop(
//!     Length::new::<meter>(21.3), discharge, Length::new::<micrometer>(1.5), density, velocity, Ratio::new::<ratio>(reynolds),
//! );
//! // f = 0.014790 by Colebrook's equation, and f L/D rho v2/2 by hand.
//! assert!((drop.value.get::<kilopascal>() - 72.82).abs() < 0.1);
//!
//! let held = charge_per_length(MassDensity::new::<kilogram_per_cubic_meter>(1050.0), liquid) * Length::new::<meter>(8.0);
//! assert!((held.get::<kilogram>() - 0.4117).abs() < 1e-4);
//! # Ok::<(), physics::tube::TubeError>(())
//! ```
//!
//! Refrigerant that comes and goes: [`winter`] floods a condenser, [`coil_charge`] is what it holds while it runs,
//! [`receiver`] takes up what is left over, [`standstill`] moves it to the coldest place.
//!
//! On the roof: [`wind`] on the condensers and what holds them, their [`sound`], and what their discharge does ([`jet`]).
//!
//! On the day of the work: [`field`] has the pressure test, the evacuation, circuits, water and limits of charge.

pub mod balance;
pub mod branch_budget;
pub mod charge;
pub mod check;
pub mod coil_charge;
pub mod compressor;
pub mod condenser;
pub mod double_riser;
pub mod drain;
pub mod field;
pub mod fittings;
pub mod flooding;
pub mod fluid;
pub mod friction;
pub mod heat;
pub mod ice;
pub mod jet;
pub mod layout;
pub mod line;
pub mod oil_return;
pub mod operation;
pub mod outcome;
pub mod parallel_coils;
pub mod range;
pub mod receiver;
mod root;
pub mod sizing;
pub mod sound;
pub mod standstill;
pub mod strength;
pub mod tube;
pub mod two_phase;
pub mod uncertainty;
pub mod units;
pub mod wind;
pub mod winter;
pub mod year;
