//! The receiver: room for the refrigerant that the rest of a set does not hold, and how full it gets.
//!
//! Temperatures here are bubble temperatures of what is inside: liquid and vapour in equilibrium. A blend counts with
//! the densities of its bubble and dew line at one pressure.

use crate::{
    fluid::{OutsideRange, Refrigerant},
    outcome::{Caveat, Caveats, Method, NEAR_CRITICAL_K, Outcome},
    range::{OutOfRange, within},
    units::{BubbleTemperature, Mass, MassDensity, Ratio, TemperatureInterval, Volume},
};
use thiserror::Error;
use uom::si::{
    mass::kilogram, mass_density::kilogram_per_cubic_meter, ratio::ratio,
    temperature_interval::kelvin as kelvin_interval, volume::cubic_meter,
};

/// Why a question about a receiver has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum ReceiverError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The property data do not reach the state.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// Lines and coil would keep more than the charge.
    #[error("lines and coil keep {kept_kg:.3} kg as vapour, more than the charge of {charge_kg:.3} kg")]
    MoreKeptThanCharged {
        /// What they keep, kg.
        kept_kg: f64,
        /// The charge, kg.
        charge_kg: f64,
    },
}

/// Volume that a mass of liquid needs so that it fills no more than a share of the receiver:
/// `(m / rho_l + V_seal) / fill`.
///
/// The limit is a share of liquid in the volume at a temperature: 0.90 at 90 °F (a rule of ASHRAE 15 as quoted in a secondary
/// document, which was not opened further), 0.80 in the trade. The vapour above the liquid holds a little more, which is left
/// out: the volume comes out up to some hundredths too large. `seal` is the liquid that has to stay below the outlet
/// ([`Receiver::new`]), 0 where `mass` has it in it.
///
/// Mass 0 to 1e6 kg, fill 0.01 to 1, seal 0 to 1000 m³.
///
/// # Errors
/// [`ReceiverError::OutOfRange`], [`ReceiverError::Property`].
pub fn volume_needed(
    fluid: &dyn Refrigerant,
    mass: Mass,
    fill: Ratio,
    at: BubbleTemperature,
    seal: Volume,
) -> Result<Outcome<Volume>, ReceiverError> {
    let (mass, fill, seal) = (mass_of("mass to store (kg)", mass)?, fill_of(fill)?, seal_of(seal, 1e3)?);
    let contents = Contents::at(fluid, at)?;
    Ok(contents.outcome((mass / contents.liquid + seal) / fill, Method::ReceiverFill))
}

/// What a receiver is, as far as filling goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    volume: Volume,
    seal: Volume,
}

/// Liquid and vapour in a receiver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Liquid as a share of the volume. Above 1 it does not fit: liquid alone would need this many times the volume. 0 where
    /// there is less than a volume of saturated vapour.
    pub liquid_share: Ratio,
    /// Liquid.
    pub liquid: Mass,
    /// Vapour above it.
    pub vapour: Mass,
    /// Liquid above the outlet seal, what can be drawn off; negative by what is missing where the outlet is uncovered.
    pub above_seal: Mass,
}

/// A part of a set that keeps vapour when all else is pumped into the receiver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// Its volume; 0 to 1000 m³.
    pub volume: Volume,
    /// Density of the vapour that stays in it; 0 to 5000 kg/m³.
    pub density: MassDensity,
}

impl Receiver {
    /// A receiver of an internal volume, of which `seal` lies below the level that keeps its outlet covered. No published
    /// least level was found: the user states it, 0 where unknown.
    ///
    /// # Errors
    /// [`ReceiverError::OutOfRange`] unless the volume is 1e-6 to 1000 m³ and the seal within it.
    pub fn new(volume: Volume, seal: Volume) -> Result<Self, ReceiverError> {
        let volume_m3 = within("volume of the receiver (m³)", volume.get::<cubic_meter>(), 1e-6, 1e3)?;
        Ok(Self { volume, seal: seal_of(seal, volume_m3)? })
    }

    /// Volume between the outlet seal and a fill limit; negative where the seal alone passes the limit.
    ///
    /// # Errors
    /// [`ReceiverError::OutOfRange`] for a fill outside 0.01 to 1.
    pub fn usable_volume(&self, fill: Ratio) -> Result<Volume, ReceiverError> {
        Ok(self.volume * fill_of(fill)? - self.seal)
    }

    /// Liquid that still fits below a fill limit where a mass is inside (taken as liquid, as in [`volume_needed`]); negative by
    /// what is too much.
    ///
    /// # Errors
    /// [`ReceiverError::OutOfRange`], [`ReceiverError::Property`].
    pub fn room(
        &self,
        fluid: &dyn Refrigerant,
        mass: Mass,
        fill: Ratio,
        at: BubbleTemperature,
    ) -> Result<Outcome<Mass>, ReceiverError> {
        let (mass, fill) = (mass_of("mass in the receiver (kg)", mass)?, fill_of(fill)?);
        let contents = Contents::at(fluid, at)?;
        Ok(contents.outcome(contents.liquid * self.volume * fill - mass, Method::ReceiverFill))
    }

    /// How a mass divides into liquid and vapour at a temperature: `m = V_l rho_l + (V - V_l) rho_g`.
    ///
    /// Mass 0 to 1e6 kg.
    ///
    /// # Errors
    /// [`ReceiverError::OutOfRange`], [`ReceiverError::Property`].
    pub fn fill(
        &self,
        fluid: &dyn Refrigerant,
        mass: Mass,
        at: BubbleTemperature,
    ) -> Result<Outcome<Fill>, ReceiverError> {
        let mass = mass_of("mass in the receiver (kg)", mass)?;
        let contents = Contents::at(fluid, at)?;
        let liquid = contents.liquid_of(mass, self.volume);
        let fill = Fill {
            liquid_share: liquid / contents.liquid / self.volume,
            liquid,
            vapour: mass - liquid,
            above_seal: liquid - contents.liquid * self.seal,
        };
        Ok(contents.outcome(fill, Method::ReceiverFill))
    }

    /// Fill when the whole charge is pumped into the receiver, but for the vapour that other parts keep.
    ///
    /// # Errors
    /// [`ReceiverError::MoreKeptThanCharged`]; as [`fill`](Self::fill).
    pub fn fill_after_pump_down(
        &self,
        fluid: &dyn Refrigerant,
        charge: Mass,
        kept: &[Kept],
        at: BubbleTemperature,
    ) -> Result<Outcome<Fill>, ReceiverError> {
        let charge = mass_of("charge (kg)", charge)?;
        let mut kept_mass = Mass::new::<kilogram>(0.0);
        for part in kept {
            within("volume that keeps vapour (m³)", part.volume.get::<cubic_meter>(), 0.0, 1e3)?;
            let density_kg_m3 = part.density.get::<kilogram_per_cubic_meter>();
            within("density of the vapour kept (kg/m³)", density_kg_m3, 0.0, 5e3)?;
            kept_mass += part.density * part.volume;
        }
        if kept_mass > charge {
            let (kept_kg, charge_kg) = (kept_mass.get::<kilogram>(), charge.get::<kilogram>());
            return Err(ReceiverError::MoreKeptThanCharged { kept_kg, charge_kg });
        }
        self.fill(fluid, charge - kept_mass, at)
    }

    /// Fill at the end of a harvest or defrost, which brings a stated mass more than running does.
    ///
    /// # Errors
    /// As [`fill`](Self::fill).
    pub fn fill_after_harvest(
        &self,
        fluid: &dyn Refrigerant,
        running: Mass,
        extra: Mass,
        at: BubbleTemperature,
    ) -> Result<Outcome<Fill>, ReceiverError> {
        let running = mass_of("mass in the receiver while running (kg)", running)?;
        self.fill(fluid, running + mass_of("mass that the harvest brings (kg)", extra)?, at)
    }
}

/// Mass over volume of a receiver filled to a share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filled {
    /// Of the liquid alone, `fill rho_l`.
    pub liquid_alone: MassDensity,
    /// With the vapour above it, `fill rho_l + (1 - fill) rho_g`.
    pub with_vapour: MassDensity,
}

/// Mass over volume of a receiver whose liquid takes a share of it at a temperature; fill 0.01 to 1.
///
/// # Errors
/// [`ReceiverError::OutOfRange`], [`ReceiverError::Property`].
pub fn filled(
    fluid: &dyn Refrigerant,
    fill: Ratio,
    at: BubbleTemperature,
) -> Result<Outcome<Filled>, ReceiverError> {
    let fill = fill_of(fill)?;
    let contents = Contents::at(fluid, at)?;
    let liquid_alone = contents.liquid * fill;
    let with_vapour = liquid_alone + contents.vapour * (Ratio::new::<ratio>(1.0) - fill);
    Ok(contents.outcome(Filled { liquid_alone, with_vapour }, Method::ReceiverFill))
}

/// Where a closed receiver that warms up is full of liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LiquidFull {
    /// At this temperature.
    At(BubbleTemperature),
    /// Not up to this temperature, the last of the property data.
    NotUpTo(BubbleTemperature),
}

/// Temperature at which saturated liquid of a mass over volume fills a closed receiver; beyond, its pressure rises by
/// bars a kelvin.
///
/// `from` is a temperature at which it is not yet full, that of filling. The rule of the trade, `rho_l(T) = fill rho_l(T_fill)`,
/// counts liquid alone; the vapour condenses into it on the way and fills it a kelvin or so earlier ([`Filled`]). The
/// receiver does not grow. To 1e-9 K. Mass over volume 1 to 10 000 kg/m³.
/// [`Caveat::NearCritical`] within 15 K of the end of the saturation data.
///
/// # Errors
/// [`ReceiverError::OutOfRange`], also where liquid at `from` is lighter than the mass over volume: it is full already;
/// [`ReceiverError::Property`].
pub fn liquid_full_temperature(
    fluid: &dyn Refrigerant,
    mass_over_volume: MassDensity,
    from: BubbleTemperature,
) -> Result<Outcome<LiquidFull>, ReceiverError> {
    let there = Contents::at(fluid, from)?;
    let greatest_kg_m3 = there.liquid.get::<kilogram_per_cubic_meter>();
    let wanted_kg_m3 = mass_over_volume.get::<kilogram_per_cubic_meter>();
    within("mass over volume of the receiver (kg/m³)", wanted_kg_m3, 1.0, greatest_kg_m3)?;
    let warmer =
        |by_k: f64| BubbleTemperature::new(from.get() + TemperatureInterval::new::<kelvin_interval>(by_k));
    // None beyond the data, of a blend with glide also where its dew line has ended and its bubble line goes on.
    let room = |by_k: f64| {
        let liquid = Contents::at(fluid, warmer(by_k)).ok()?.liquid;
        Some(liquid.get::<kilogram_per_cubic_meter>() >= wanted_kg_m3)
    };
    let (mut below_k, mut above_k) = (0.0, STEP_K);
    while room(above_k) == Some(true) {
        (below_k, above_k) = (above_k, above_k + STEP_K);
    }
    for _ in 0..HALVINGS {
        let middle_k = 0.5 * (below_k + above_k);
        if room(middle_k) == Some(true) {
            below_k = middle_k;
        } else {
            above_k = middle_k;
        }
    }
    let reached = warmer(below_k);
    // At the end of the data the next step up has no density at all.
    let found = if room(above_k).is_some() { LiquidFull::At(reached) } else { LiquidFull::NotUpTo(reached) };
    Ok(Contents::at(fluid, reached)?.outcome(found, Method::LiquidFull))
}

/// Wide enough to reach the end of any saturation data soon; the bracket is halved afterwards.
const STEP_K: f64 = 8.0;
/// 8 K to below 1e-9 K.
const HALVINGS: usize = 34;

/// Liquid and vapour in equilibrium.
pub(crate) struct Contents {
    pub(crate) liquid: MassDensity,
    pub(crate) vapour: MassDensity,
    near_critical: bool,
}

impl Contents {
    pub(crate) fn at(fluid: &dyn Refrigerant, at: BubbleTemperature) -> Result<Self, OutsideRange> {
        let liquid = fluid.at_bubble(at)?;
        Ok(Self {
            liquid: liquid.density,
            vapour: fluid.ends(liquid.pressure)?.dew.density,
            near_critical: fluid.distance_to_last_saturation(liquid.pressure)? < NEAR_CRITICAL_K,
        })
    }

    /// The liquid of a mass in a volume; all of the mass where it does not fit, none where it is vapour.
    pub(crate) fn liquid_of(&self, mass: Mass, volume: Volume) -> Mass {
        let condensed = (mass - self.vapour * volume) * (self.liquid / (self.liquid - self.vapour));
        if condensed > mass {
            mass
        } else if condensed > Mass::new::<kilogram>(0.0) {
            condensed
        } else {
            Mass::new::<kilogram>(0.0)
        }
    }

    pub(crate) fn outcome<T>(&self, value: T, method: Method) -> Outcome<T> {
        let mut caveats = Caveats::default();
        if self.near_critical {
            caveats.add(Caveat::NearCritical);
        }
        Outcome { value, method, caveats }
    }
}

fn mass_of(what: &'static str, mass: Mass) -> Result<Mass, OutOfRange> {
    within(what, mass.get::<kilogram>(), 0.0, 1e6).map(Mass::new::<kilogram>)
}

fn fill_of(fill: Ratio) -> Result<Ratio, OutOfRange> {
    within("fill of the receiver", fill.get::<ratio>(), 0.01, 1.0).map(Ratio::new::<ratio>)
}

fn seal_of(seal: Volume, greatest_m3: f64) -> Result<Volume, OutOfRange> {
    within("volume below the outlet seal (m³)", seal.get::<cubic_meter>(), 0.0, greatest_m3)
        .map(Volume::new::<cubic_meter>)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{fluid::test_fluid::TestFluid, units::ThermodynamicTemperature};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{thermodynamic_temperature::degree_celsius, volume::liter};

    fn at(degrees: f64) -> BubbleTemperature {
        BubbleTemperature::new(ThermodynamicTemperature::new::<degree_celsius>(degrees))
    }

    fn kg(mass: f64) -> Mass {
        Mass::new::<kilogram>(mass)
    }

    fn litres(volume: f64) -> Volume {
        Volume::new::<liter>(volume)
    }

    fn share(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    fn receiver() -> Receiver {
        Receiver::new(litres(10.0), litres(1.0)).unwrap()
    }

    /// Saturated vapour of the made-up fluid, kg/m3, at a bubble temperature.
    fn vapour(degrees: f64) -> f64 {
        Contents::at(&TestFluid, at(degrees)).unwrap().vapour.value
    }

    #[test]
    fn the_volume_takes_the_mass_and_the_seal() {
        let volume = |fill, seal| {
            volume_needed(&TestFluid, kg(8.0), share(fill), at(32.0), litres(seal)).map(|found| found.value)
        };
        assert_relative_eq!(volume(0.8, 0.0).unwrap().get::<liter>(), 10.0, max_relative = 1e-12);
        assert_relative_eq!(volume(0.9, 1.0).unwrap().get::<liter>(), 10.0, max_relative = 1e-12);
        let nothing = volume_needed(&TestFluid, kg(0.0), share(0.8), at(32.0), litres(0.0)).unwrap();
        assert_eq!(nothing.value.value, 0.0);
        assert!(volume(0.0, 0.0).is_err() && volume(1.1, 0.0).is_err() && volume(0.8, -1.0).is_err());
        assert_relative_eq!(
            receiver().usable_volume(share(0.8)).unwrap().get::<liter>(),
            7.0,
            max_relative = 1e-12
        );
        let shallow = Receiver::new(litres(10.0), litres(9.0)).unwrap();
        assert_relative_eq!(
            shallow.usable_volume(share(0.8)).unwrap().get::<liter>(),
            -1.0,
            max_relative = 1e-9
        );
    }

    #[test]
    fn room_and_fill_are_numbers_on_either_side() {
        let room = |mass| receiver().room(&TestFluid, kg(mass), share(0.8), at(32.0)).unwrap().value.value;
        assert_relative_eq!(room(5.0), 3.0, max_relative = 1e-12);
        assert_relative_eq!(room(9.0), -1.0, max_relative = 1e-9);
        let fill = |mass| receiver().fill(&TestFluid, kg(mass), at(32.0)).unwrap().value;
        let half = fill(5.0 + 0.005 * vapour(32.0));
        assert_relative_eq!(half.liquid_share.value, 0.5, max_relative = 1e-9);
        assert_relative_eq!(half.liquid.value, 5.0, max_relative = 1e-9);
        assert_relative_eq!(half.above_seal.value, 4.0, max_relative = 1e-9);
        // Too much, and too little to cover the outlet.
        assert_relative_eq!(fill(12.0).liquid_share.value, 1.2, max_relative = 1e-9);
        assert_eq!(fill(12.0).vapour.value, 0.0);
        assert_eq!(fill(0.001).liquid_share.value, 0.0);
        assert_eq!(fill(0.001).vapour, kg(0.001));
        assert_relative_eq!(fill(0.001).above_seal.value, -1.0, max_relative = 1e-9);
        assert!(receiver().fill(&TestFluid, kg(-1.0), at(32.0)).is_err());
        assert!(matches!(receiver().fill(&TestFluid, kg(1.0), at(500.0)), Err(ReceiverError::Property(_))));
    }

    #[test]
    fn pump_down_leaves_vapour_behind_and_a_harvest_brings_more() {
        let kept = [
            Kept { volume: litres(5.0), density: MassDensity::new::<kilogram_per_cubic_meter>(60.0) },
            Kept { volume: litres(2.0), density: MassDensity::new::<kilogram_per_cubic_meter>(100.0) },
        ];
        let found = receiver().fill_after_pump_down(&TestFluid, kg(8.0), &kept, at(32.0)).unwrap();
        assert_eq!(found, receiver().fill(&TestFluid, kg(7.5), at(32.0)).unwrap());
        assert_eq!(
            receiver().fill_after_pump_down(&TestFluid, kg(0.25), &kept, at(32.0)),
            Err(ReceiverError::MoreKeptThanCharged { kept_kg: 0.5, charge_kg: 0.25 })
        );
        let harvest = receiver().fill_after_harvest(&TestFluid, kg(5.0), kg(1.5), at(32.0)).unwrap();
        assert_eq!(harvest, receiver().fill(&TestFluid, kg(6.5), at(32.0)).unwrap());
        assert!(receiver().fill_after_harvest(&TestFluid, kg(5.0), kg(-1.5), at(32.0)).is_err());
        let negative = [Kept { volume: litres(-5.0), ..kept[0] }];
        assert!(receiver().fill_after_pump_down(&TestFluid, kg(8.0), &negative, at(32.0)).is_err());
    }

    #[test]
    fn liquid_that_does_not_expand_never_fills() {
        let filled = filled(&TestFluid, share(0.9), at(32.0)).unwrap().value;
        assert_relative_eq!(filled.liquid_alone.value, 900.0, max_relative = 1e-12);
        assert_relative_eq!(filled.with_vapour.value, 900.0 + 0.1 * vapour(32.0), max_relative = 1e-12);
        let found = liquid_full_temperature(&TestFluid, filled.with_vapour, at(32.0)).unwrap();
        let LiquidFull::NotUpTo(end) = found.value else { panic!("{found:?}") };
        // The data of the made-up fluid end at 40 bar: the dew line says where, the bubble line is 5 K colder.
        assert_relative_eq!(end.get().value, 2750.0 / (11.0 - 40.0_f64.ln()) - 5.0, max_relative = 1e-9);
        assert!(found.caveats.has(Caveat::NearCritical));
        let dense = MassDensity::new::<kilogram_per_cubic_meter>(1001.0);
        let refused = liquid_full_temperature(&TestFluid, dense, at(32.0));
        assert!(matches!(refused, Err(ReceiverError::OutOfRange(_))));
        assert!(Receiver::new(litres(0.0), litres(0.0)).is_err());
        assert!(Receiver::new(litres(1.0), litres(1.5)).is_err());
    }

    proptest! {
        #[test]
        fn liquid_and_vapour_are_the_mass_and_fill_the_volume(mass in 0.0_f64..9.9, degrees in -30.0_f64..60.0) {
            let fill = receiver().fill(&TestFluid, kg(mass), at(degrees)).unwrap().value;
            prop_assert!(((fill.liquid + fill.vapour).value - mass).abs() < 1e-12);
            prop_assert!(fill.liquid.value >= 0.0 && fill.vapour.value >= 0.0);
            if fill.liquid.value > 0.0 {
                let volume = fill.liquid.value / 1000.0 + fill.vapour.value / vapour(degrees);
                prop_assert!((volume - 0.01).abs() < 1e-9);
            }
        }

        #[test]
        fn what_fits_the_volume_needed_leaves_no_room(mass in 0.1_f64..20.0, fill in 0.1_f64..1.0) {
            let volume = volume_needed(&TestFluid, kg(mass), share(fill), at(32.0), litres(0.0)).unwrap().value;
            let made = Receiver::new(volume, litres(0.0)).unwrap();
            let room = made.room(&TestFluid, kg(mass), share(fill), at(32.0)).unwrap().value;
            prop_assert!(room.value.abs() < 1e-9 * mass);
        }
    }
}
