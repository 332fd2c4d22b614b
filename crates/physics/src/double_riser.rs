//! Double risers: two risers in parallel, a small one that carries oil at least load, and a large one whose trap closes it.
//!
//! At full load gas rises in both. At low load the gas no longer carries oil up the large riser; the oil runs down into the
//! trap at its foot, fills it and seals it, and all gas goes up the small riser, which is made for that. When the load comes
//! back, the drop of the small riser blows the trap free. Both join at the top from above, so that none drains into the other
//! (arrangement and purpose: common practice, no source).
//!
//! - They make sense only where capacity has **steps** (unloading cylinders, several compressors, inverters with a low least
//!   speed) and no single riser both carries oil at the least of them and keeps the drop at the greatest. Whether capacity
//!   has steps is the caller's to know and to decide; [`choose`] only tells when one riser serves.
//! - A trap does **not** cure an oversize riser: gas too slow to carry oil up a tube is as slow above the trap. The trap of a
//!   double riser works because it takes its riser *out of use*.
//! - The oil that the trap and the standing column hold is missing in the compressor while the seal stands, and comes back at
//!   once when it breaks: see [`DoubleRiser::seal`].
//!
//! The gas is taken as of constant density along the risers, the same in both. Where it is not, the drop is large against the
//! pressure, and the risers are wrong anyway.

use crate::{
    fluid::{OutsideRange, Refrigerant},
    friction, oil_return,
    outcome::{Caveats, Method, Outcome},
    sizing::Held,
    units::{
        Bore, DewTemperature, DynamicViscosity, Length, Mass, MassDensity, MassRate, Pressure, Ratio,
        STANDARD_GRAVITY_M_S2, TemperatureInterval, Velocity, Volume,
    },
};
use thiserror::Error;
use uom::si::{
    length::{meter, millimeter},
    mass_rate::kilogram_per_second,
    pressure::pascal,
    ratio::ratio,
    velocity::meter_per_second,
};

/// Gas at one load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Mass rate of all gas, through whichever risers are open.
    pub mass_rate: MassRate,
    /// Density of the gas.
    pub density: MassDensity,
    /// Viscosity of the gas.
    pub viscosity: DynamicViscosity,
}

impl Load {
    /// Reynolds number of all gas in one bore: `4 m / (pi D mu)`.
    #[must_use]
    pub fn reynolds(&self, bore: Bore) -> Ratio {
        self.mass_rate * bore.get() / (bore.area() * self.viscosity)
    }
}

/// Pressure drop of a gas line that a saturated temperature drop allows, on the dew line, by the end that is held.
///
/// # Errors
/// [`OutsideRange`] where the pressure at the other end leaves the property data.
pub fn allowed_drop(
    fluid: &dyn Refrigerant,
    held: Held,
    saturated_temperature_drop: TemperatureInterval,
) -> Result<Pressure, OutsideRange> {
    let at = |temperature| fluid.at_dew(DewTemperature::new(temperature));
    Ok(match held {
        Held::Outlet(pressure) => {
            let dew = fluid.dew_temperature(pressure)?.get();
            at(dew + saturated_temperature_drop)?.pressure.get() - pressure.get()
        }
        Held::Inlet(pressure) => {
            let dew = fluid.dew_temperature(pressure)?.get();
            pressure.get() - at(dew - saturated_temperature_drop)?.pressure.get()
        }
    })
}

/// What the risers have to do, whatever their bores.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Duty {
    /// Greatest load.
    pub full: Load,
    /// Least load that lasts.
    pub least: Load,
    /// Density of the oil at the temperature of the gas.
    pub oil_density: MassDensity,
    /// Least oil-return ratio (see [`Running::oil_return_ratio`]) that counts as carrying: 1 with the margin of the design.
    pub oil_return_limit: Ratio,
    /// Height of both risers; at least 0.
    pub height: Length,
    /// Length of tube of both risers, without fittings; at least the height.
    pub length: Length,
    /// Roughness of their bores.
    pub roughness: Length,
}

/// One of the two risers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Riser {
    /// Its bore.
    pub bore: Bore,
    /// Sum of the resistance coefficients of its elbows, loop, tees and trap, referred to its own bore; at least 0.
    pub resistance: Ratio,
}

/// A riser with gas in it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// The riser.
    pub riser: Riser,
    /// Mass rate of the gas in it.
    pub mass_rate: MassRate,
    /// Velocity of the gas.
    pub velocity: Velocity,
    /// Pressure drop from foot to top: friction, resistance and the height of the gas.
    pub drop: Pressure,
    /// Mass rate over the least that carries oil ([`oil_return::minimum_mass_rate`]).
    pub oil_return_ratio: Ratio,
}

/// How a pair of risers shares its duty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoubleRiser {
    /// The small riser at full load.
    pub small: Running,
    /// The large riser at full load; its drop is that of the small one.
    pub large: Running,
    /// The small riser alone at least load, the large one sealed.
    pub small_alone: Running,
    /// Mass rate of all gas, of the density and viscosity at full load, at which the large riser just carries oil (ratio 1)
    /// while both run. Below it oil runs back and the trap seals. Above full load: the trap seals even there.
    pub changeover: MassRate,
    /// Height of oil that stands in the large riser, above its level on the trap's inlet side, while the seal holds at least
    /// load: the friction of the small riser over `(rho_oil - rho_gas) g`. More than the risers' height: no seal holds.
    pub oil_column: Length,
}

/// Oil that closes the large riser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seal {
    /// Volume of the trap.
    pub trap_volume: Volume,
    /// Oil that fills the trap.
    pub trap_oil: Mass,
    /// Oil of the [column](DoubleRiser::oil_column) that stands in the riser beyond it.
    pub column_oil: Mass,
}

/// Risers or a duty that can not be.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum DoubleRiserError {
    /// A quantity that must be positive is not, or is no finite number.
    #[error("the {what} must be positive, not {value}")]
    NotPositive {
        /// The quantity.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
    /// A quantity that must not be negative is, or is no finite number.
    #[error("the {what} must be at least 0, not {value}")]
    Negative {
        /// The quantity.
        what: &'static str,
        /// Its value in SI.
        value: f64,
    },
    /// Gas as heavy as the oil: the criterion of oil return has no answer.
    #[error(
        "gas of {gas_kg_m3} kg/m3 does not carry oil of {oil_kg_m3} kg/m3 by the criterion of oil return"
    )]
    GasNotLighter {
        /// Density of the gas, kg/m3.
        gas_kg_m3: f64,
        /// Density of the oil, kg/m3.
        oil_kg_m3: f64,
    },
    /// Tube shorter than its height.
    #[error("a riser of {height_m} m height can not be {length_m} m long")]
    HigherThanLong {
        /// Height, m.
        height_m: f64,
        /// Length, m.
        length_m: f64,
    },
    /// The least load is above the full load.
    #[error("the least load, {least_kg_s} kg/s, is above the full load, {full_kg_s} kg/s")]
    LeastAboveFull {
        /// Mass rate at least load, kg/s.
        least_kg_s: f64,
        /// Mass rate at full load, kg/s.
        full_kg_s: f64,
    },
    /// The small riser is the larger one.
    #[error("the small riser, {small_mm} mm, is wider than the large one, {large_mm} mm")]
    SmallIsWider {
        /// Bore of the small riser, mm.
        small_mm: f64,
        /// Bore of the large riser, mm.
        large_mm: f64,
    },
}

/// Why no pair of risers was chosen.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum NoChoice {
    /// No bores to choose from.
    #[error("no bores to choose from")]
    NoBores,
    /// One riser carries oil at least load and keeps the drop at full load.
    #[error("a single riser of {} mm bore serves at both loads", .bore.get().get::<millimeter>())]
    SingleServes {
        /// Its bore: the largest that carries oil at least load.
        bore: Bore,
    },
    /// Even the smallest bore does not carry oil at least load.
    #[error(
        "the smallest bore, {} mm, has an oil-return ratio of {:.2} at least load",
        .smallest.get().get::<millimeter>(), .oil_return_ratio.get::<ratio>()
    )]
    NoSmallCarries {
        /// The smallest bore.
        smallest: Bore,
        /// Its oil-return ratio at least load.
        oil_return_ratio: Ratio,
    },
    /// Even the largest bore beside the small one exceeds the allowed drop at full load.
    #[error(
        "beside {} mm even the largest bore, {} mm, drops {:.0} Pa at full load",
        .small.get().get::<millimeter>(), .largest.get().get::<millimeter>(), .drop.get::<pascal>()
    )]
    NoLargeKeepsDrop {
        /// Bore of the small riser.
        small: Bore,
        /// The largest bore.
        largest: Bore,
        /// Its common drop with the small riser.
        drop: Pressure,
    },
    /// Bores that keep the drop do not carry oil in both risers at full load.
    #[error(
        "beside {} mm the bores from {} mm keep the drop, but carry oil at full load with ratios of {:.2} and {:.2} only",
        .small.get().get::<millimeter>(), .large.get().get::<millimeter>(),
        .small_ratio.get::<ratio>(), .large_ratio.get::<ratio>()
    )]
    NoLargeCarries {
        /// Bore of the small riser.
        small: Bore,
        /// The smallest bore that keeps the drop.
        large: Bore,
        /// Oil-return ratio of the small riser beside it at full load.
        small_ratio: Ratio,
        /// Its own oil-return ratio at full load.
        large_ratio: Ratio,
    },
    /// Input that can not be.
    #[error(transparent)]
    Impossible(#[from] DoubleRiserError),
}

/// How two risers share a duty.
///
/// Both run from one header to another, so their drops are equal. Each drop is
/// `(f L/D + K) rho v^2 / 2 + rho g H`: Darcy-Weisbach with the factor of [`friction::darcy_friction_factor`] (Colebrook 1939),
/// resistance coefficients, height of the gas. It rises with the mass rate, so there is exactly one split; it is bracketed
/// between no and all gas in the small riser and bisected to the last digit. Oil return by
/// [`oil_return::minimum_mass_rate`] in each riser (Jacobs et al. 1976, from memory).
///
/// # Validity
/// Gas of constant density, isothermal, one density for both risers. The changeover takes density and viscosity of full load:
/// right where the load falls by steps at one suction state, else an estimate. The oil film's own friction is left out.
/// Caveats of the friction factor in any riser come along.
///
/// # Errors
/// [`DoubleRiserError`]; equal bores are a pair too.
///
/// # Example
/// R-404A-like suction gas, full load 0.1 kg/s, least 0.025 kg/s, risers of 19.9 and 32.1 mm bore, 6 m high.
/// ```
/// use physics::{double_riser::{Duty, Load, Riser, double_riser}, units::*};
/// use physics::units::unit::{dynamic_viscosity::pascal_second, length::{meter, micrometer, millimeter}, mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second, ratio::ratio};
/// let load = |kg_s| Load { mass_rate: MassRate::new::<kilogram_per_second>(kg_s), density: MassDensity::new::<kilogram_per_cubic_meter>(20.0), viscosity: DynamicViscosity::new::<pascal_second>(11e-6) };
/// let riser = |bore_mm, k| Riser { bore: Bore::new(Length::new::<millimeter>(bore_mm)), resistance: Ratio::new::<ratio>(k) };
/// let duty = Duty {
///     full: load(0.1), least: load(0.025),
///     oil_density: MassDensity::new::<kilogram_per_cubic_meter>(950.0), oil_return_limit: Ratio::new::<ratio>(1.15),
///     height: Length::new::<meter>(6.0), length: Length::new::<meter>(7.0), roughness: Length::new::<micrometer>(1.5),
/// };
/// let found = double_riser(&duty, riser(19.9, 1.5), riser(32.1, 3.0))?.value;
/// assert!(((found.small.drop / found.large.drop).get::<ratio>() - 1.0).abs() < 1e-9);
/// assert!(found.small_alone.oil_return_ratio > duty.oil_return_limit);
/// // The large riser alone would not carry oil at least load: 0.025 kg/s are below the changeover.
/// assert!(found.changeover > duty.least.mass_rate && found.changeover < duty.full.mass_rate);
/// # Ok::<(), physics::double_riser::DoubleRiserError>(())
/// ```
pub fn double_riser(
    duty: &Duty,
    small: Riser,
    large: Riser,
) -> Result<Outcome<DoubleRiser>, DoubleRiserError> {
    duty.checked()?;
    small.checked()?;
    large.checked()?;
    if small.bore > large.bore {
        return Err(DoubleRiserError::SmallIsWider {
            small_mm: small.bore.get().get::<millimeter>(),
            large_mm: large.bore.get().get::<millimeter>(),
        });
    }
    Ok(shared(duty, small, large))
}

/// Chooses a pair of risers from a list of bores, in any order.
///
/// Small: the largest bore whose oil-return ratio at least load, alone, meets the limit. Large: the smallest bore, not below
/// the small one, beside which at full load the common drop (friction, resistance and height) is at most `allowed_drop` and
/// both risers meet the limit of oil return. The order of choice is common practice, no source. Every bore gets the same
/// resistance coefficient, `small_resistance` or `large_resistance`, referred to itself.
///
/// # Errors
/// [`NoChoice`] says why there is no pair; [`NoChoice::SingleServes`] is the good news that none is needed (the small riser's
/// resistance is taken for the single one).
pub fn choose(
    duty: &Duty,
    bores: &[Bore],
    small_resistance: Ratio,
    large_resistance: Ratio,
    allowed_drop: Pressure,
) -> Result<Outcome<DoubleRiser>, NoChoice> {
    duty.checked()?;
    positive("allowed drop", allowed_drop.value)?;
    let small = |bore: Bore| Riser { bore, resistance: small_resistance };
    let large = |bore: Bore| Riser { bore, resistance: large_resistance };
    for bore in bores {
        small(*bore).checked()?;
        large(*bore).checked()?;
    }
    let mut rising = bores.to_vec();
    rising.sort_by(|a, b| a.get().value.total_cmp(&b.get().value));
    let (Some(smallest), Some(largest)) = (rising.first().copied(), rising.last().copied()) else {
        return Err(NoChoice::NoBores);
    };

    let carries = |running: &Running| running.oil_return_ratio >= duty.oil_return_limit;
    let alone = |bore: Bore, load: &Load| running(duty, load, small(bore), load.mass_rate.value).0;
    let Some(chosen) = rising.iter().rposition(|bore| carries(&alone(*bore, &duty.least))) else {
        let oil_return_ratio = alone(smallest, &duty.least).oil_return_ratio;
        return Err(NoChoice::NoSmallCarries { smallest, oil_return_ratio });
    };
    let small_bore = rising[chosen];
    let single = alone(small_bore, &duty.full);
    if single.drop <= allowed_drop && carries(&single) {
        return Err(NoChoice::SingleServes { bore: small_bore });
    }

    let mut first_to_keep_drop = None;
    for bore in &rising[chosen..] {
        let pair = shared(duty, small(small_bore), large(*bore));
        if pair.value.small.drop > allowed_drop {
            continue;
        }
        if carries(&pair.value.small) && carries(&pair.value.large) {
            return Ok(pair);
        }
        first_to_keep_drop = first_to_keep_drop.or(Some(pair.value));
    }
    Err(match first_to_keep_drop {
        Some(pair) => NoChoice::NoLargeCarries {
            small: small_bore,
            large: pair.large.riser.bore,
            small_ratio: pair.small.oil_return_ratio,
            large_ratio: pair.large.oil_return_ratio,
        },
        None => NoChoice::NoLargeKeepsDrop {
            small: small_bore,
            largest,
            drop: shared(duty, small(small_bore), large(largest)).value.small.drop,
        },
    })
}

impl DoubleRiser {
    /// Oil that closes the large riser: volume `A L` of a trap of the large riser's bore with a developed length (two elbows
    /// and the bottom between them, along the axis), and the column beyond it. Geometry, no other source.
    ///
    /// # Errors
    /// [`DoubleRiserError::NotPositive`]: a developed length or oil density that is not positive and finite.
    pub fn seal(&self, developed_length: Length, oil_density: MassDensity) -> Result<Seal, DoubleRiserError> {
        positive("developed length of the trap", developed_length.value)?;
        positive("density of the oil", oil_density.value)?;
        let area = self.large.riser.bore.area();
        let trap_volume = area * developed_length;
        Ok(Seal {
            trap_volume,
            trap_oil: trap_volume * oil_density,
            column_oil: area * self.oil_column * oil_density,
        })
    }
}

impl Duty {
    fn checked(&self) -> Result<(), DoubleRiserError> {
        let oil_kg_m3 = positive("density of the oil", self.oil_density.value)?;
        for load in [&self.full, &self.least] {
            positive("mass rate", load.mass_rate.value)?;
            positive("viscosity of the gas", load.viscosity.value)?;
            let gas_kg_m3 = positive("density of the gas", load.density.value)?;
            if gas_kg_m3 >= oil_kg_m3 {
                return Err(DoubleRiserError::GasNotLighter { gas_kg_m3, oil_kg_m3 });
            }
        }
        let (least_kg_s, full_kg_s) = (self.least.mass_rate.value, self.full.mass_rate.value);
        if least_kg_s > full_kg_s {
            return Err(DoubleRiserError::LeastAboveFull { least_kg_s, full_kg_s });
        }
        positive("limit of the oil-return ratio", self.oil_return_limit.value)?;
        not_negative("roughness", self.roughness.value)?;
        let length_m = positive("length", self.length.value)?;
        let height_m = not_negative("height", self.height.value)?;
        if height_m > length_m {
            return Err(DoubleRiserError::HigherThanLong { height_m, length_m });
        }
        Ok(())
    }

    fn tube(&self, load: &Load, riser: Riser) -> kernel::Tube {
        let bore_m = riser.bore.get().value;
        kernel::Tube {
            bore_m,
            area_m2: riser.bore.area().value,
            lengths: self.length.value / bore_m,
            relative_roughness: self.roughness.value / bore_m,
            resistance: riser.resistance.value,
            gas_kg_m3: load.density.value,
            gas_pa_s: load.viscosity.value,
        }
    }
}

impl Riser {
    fn checked(&self) -> Result<(), DoubleRiserError> {
        positive("bore", self.bore.get().value)?;
        not_negative("resistance coefficient", self.resistance.value)?;
        Ok(())
    }
}

fn positive(what: &'static str, value: f64) -> Result<f64, DoubleRiserError> {
    if value > 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(DoubleRiserError::NotPositive { what, value })
    }
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, DoubleRiserError> {
    if value >= 0.0 && value.is_finite() {
        Ok(value)
    } else {
        Err(DoubleRiserError::Negative { what, value })
    }
}

/// A checked pair.
fn shared(duty: &Duty, small: Riser, large: Riser) -> Outcome<DoubleRiser> {
    let rate_kg_s = duty.full.mass_rate.value;
    let tubes @ (small_tube, large_tube) = (duty.tube(&duty.full, small), duty.tube(&duty.full, large));
    let small_kg_s = kernel::split_kg_s(tubes, rate_kg_s);
    let (small_full, mut caveats) = running(duty, &duty.full, small, small_kg_s);
    let (large_full, of_large) = running(duty, &duty.full, large, rate_kg_s - small_kg_s);
    let (small_alone, of_alone) = running(duty, &duty.least, small, duty.least.mass_rate.value);
    caveats.merge(of_large);
    caveats.merge(of_alone);

    let just_carried_kg_s = large_full.mass_rate.value / large_full.oil_return_ratio.value;
    let beside_kg_s = small_tube.rate_kg_s(large_tube.friction_pa(just_carried_kg_s).0);
    let friction_alone_pa = duty.tube(&duty.least, small).friction_pa(duty.least.mass_rate.value).0;
    let buoyancy = (duty.oil_density - duty.least.density).value * STANDARD_GRAVITY_M_S2;
    Outcome {
        value: DoubleRiser {
            small: small_full,
            large: large_full,
            small_alone,
            changeover: MassRate::new::<kilogram_per_second>(just_carried_kg_s + beside_kg_s),
            oil_column: Length::new::<meter>(friction_alone_pa / buoyancy),
        },
        method: Method::DoubleRiser,
        caveats,
    }
}

/// A checked riser with a share of a load in it.
fn running(duty: &Duty, load: &Load, riser: Riser, rate_kg_s: f64) -> (Running, Caveats) {
    let tube = duty.tube(load, riser);
    let (friction_pa, caveats) = tube.friction_pa(rate_kg_s);
    let static_pa = tube.gas_kg_m3 * STANDARD_GRAVITY_M_S2 * duty.height.value;
    let least_kg_s = tube.least_that_carries_kg_s(duty.oil_density.value);
    let running = Running {
        riser,
        mass_rate: MassRate::new::<kilogram_per_second>(rate_kg_s),
        velocity: Velocity::new::<meter_per_second>(tube.velocity_m_s(rate_kg_s)),
        drop: Pressure::new::<pascal>(friction_pa + static_pa),
        oil_return_ratio: Ratio::new::<ratio>(rate_kg_s / least_kg_s),
    };
    (running, caveats)
}

mod kernel {
    use super::{Caveats, friction, oil_return};

    /// A riser full of one gas.
    #[derive(Clone, Copy)]
    pub(super) struct Tube {
        pub(super) bore_m: f64,
        pub(super) area_m2: f64,
        /// Length over bore.
        pub(super) lengths: f64,
        pub(super) relative_roughness: f64,
        pub(super) resistance: f64,
        pub(super) gas_kg_m3: f64,
        pub(super) gas_pa_s: f64,
    }

    impl Tube {
        pub(super) fn velocity_m_s(&self, rate_kg_s: f64) -> f64 {
            rate_kg_s / (self.area_m2 * self.gas_kg_m3)
        }

        /// Drop without height, and the caveats of its friction factor; rises with the rate.
        pub(super) fn friction_pa(&self, rate_kg_s: f64) -> (f64, Caveats) {
            if rate_kg_s == 0.0 {
                return (0.0, Caveats::default());
            }
            let velocity_m_s = self.velocity_m_s(rate_kg_s);
            let reynolds = self.gas_kg_m3 * velocity_m_s * self.bore_m / self.gas_pa_s;
            let (factor, caveats) =
                friction::kernel::darcy_friction_factor(reynolds, self.relative_roughness);
            let velocity_heads = factor * self.lengths + self.resistance;
            (velocity_heads * self.gas_kg_m3 * velocity_m_s * velocity_m_s / 2.0, caveats)
        }

        /// The rate at which the drop without height is `friction_pa`.
        pub(super) fn rate_kg_s(&self, friction_pa: f64) -> f64 {
            // Friction grows without bound, so doubling ends, from any start above 0.
            let mut high_kg_s = (self.area_m2 * self.gas_kg_m3).max(f64::MIN_POSITIVE);
            while self.friction_pa(high_kg_s).0 < friction_pa {
                high_kg_s *= 2.0;
            }
            root(high_kg_s, |rate_kg_s| self.friction_pa(rate_kg_s).0 - friction_pa)
        }

        /// The oil must be heavier than the gas: duties are checked for that.
        pub(super) fn least_that_carries_kg_s(&self, oil_kg_m3: f64) -> f64 {
            oil_return::kernel::minimum_mass_rate_kg_s(self.bore_m, self.gas_kg_m3, oil_kg_m3)
                .unwrap_or(f64::INFINITY)
        }
    }

    /// Rate in the first of two risers that share a rate at equal drops.
    pub(super) fn split_kg_s((first, second): (Tube, Tube), rate_kg_s: f64) -> f64 {
        root(rate_kg_s, |first_kg_s| {
            first.friction_pa(first_kg_s).0 - second.friction_pa(rate_kg_s - first_kg_s).0
        })
    }

    /// Where a rising function passes zero between 0 and `high`: bisection until no number is left between.
    fn root(mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
        let mut low = 0.0;
        loop {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                return middle;
            }
            if rising(middle) > 0.0 { high = middle } else { low = middle }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{fluid::test_fluid::TestFluid, outcome::Caveat};
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        dynamic_viscosity::pascal_second, mass_density::kilogram_per_cubic_meter,
        temperature_interval::kelvin,
    };

    /// Bores of ASTM B88 Type L, 1/2 to 2-1/8 in OD, mm.
    const TYPE_L_MM: [f64; 8] = [10.92, 13.84, 16.92, 19.94, 26.04, 32.13, 38.23, 50.42];

    fn load(kg_s: f64, pa_s: f64) -> Load {
        Load {
            mass_rate: MassRate::new::<kilogram_per_second>(kg_s),
            density: density(20.0),
            viscosity: DynamicViscosity::new::<pascal_second>(pa_s),
        }
    }

    fn density(kg_m3: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(kg_m3)
    }

    fn number(value: f64) -> Ratio {
        Ratio::new::<ratio>(value)
    }

    fn bore(mm: f64) -> Bore {
        Bore::new(Length::new::<millimeter>(mm))
    }

    fn riser(mm: f64, resistance: f64) -> Riser {
        Riser { bore: bore(mm), resistance: number(resistance) }
    }

    fn pascals(value: f64) -> Pressure {
        Pressure::new::<pascal>(value)
    }

    /// 6 m high, 7 m long, gas of 20 kg/m3, oil of 950 kg/m3.
    fn duty(full_kg_s: f64, least_kg_s: f64, viscosity_pa_s: f64) -> Duty {
        Duty {
            full: load(full_kg_s, viscosity_pa_s),
            least: load(least_kg_s, viscosity_pa_s),
            oil_density: density(950.0),
            oil_return_limit: number(1.15),
            height: Length::new::<meter>(6.0),
            length: Length::new::<meter>(7.0),
            roughness: Length::new::<meter>(1.5e-6),
        }
    }

    fn pair(duty: &Duty, small: Riser, large: Riser) -> DoubleRiser {
        double_riser(duty, small, large).unwrap().value
    }

    fn choice(duty: &Duty, bores_mm: &[f64], allowed_pa: f64) -> Result<DoubleRiser, NoChoice> {
        let bores: Vec<Bore> = bores_mm.iter().map(|mm| bore(*mm)).collect();
        choose(duty, &bores, number(1.5), number(3.0), pascals(allowed_pa)).map(|outcome| outcome.value)
    }

    /// Laminar, which can be worked by hand: drop 128 mu L m / (pi rho D^4), so 10 and 20 mm share as 1 to 16. With 1 mPa s,
    /// 17 g/s, 7 m: 8.96e-4 / 6.283 19e-7 = 1426.03 Pa, and 20 x 9.80665 x 6 = 1176.80 Pa of height. Least that carries oil in
    /// 20 mm: 0.7225 x 3.141 59e-4 x sqrt(20 x 9.80665 x 0.02 x 930) = 0.013 7094 kg/s; in 10 mm that over 2^2.5.
    #[test]
    fn a_laminar_pair_worked_by_hand() {
        let outcome = double_riser(&duty(0.017, 0.002, 1e-3), riser(10.0, 0.0), riser(20.0, 0.0)).unwrap();
        let found = outcome.value;
        assert!(outcome.caveats.has(Caveat::LaminarFlow));
        assert_eq!(outcome.method, Method::DoubleRiser);
        assert_relative_eq!(found.small.mass_rate.value, 0.001, max_relative = 1e-12);
        assert_relative_eq!(found.large.mass_rate.value, 0.016, max_relative = 1e-12);
        assert_relative_eq!(found.small.drop.value, 2602.83, max_relative = 1e-5);
        assert_relative_eq!(found.large.drop.value, found.small.drop.value, max_relative = 1e-12);
        // 0.001 kg/s over 20 kg/m3 and 7.853 98e-5 m2.
        assert_relative_eq!(found.small.velocity.value, 0.001 / (20.0 * 7.853_98e-5), max_relative = 1e-5);
        assert_relative_eq!(found.large.oil_return_ratio.value, 0.016 / 0.013_709_4, max_relative = 1e-5);
        assert_relative_eq!(
            found.small.oil_return_ratio.value,
            0.001 * 5.656_854 / 0.013_709_4,
            max_relative = 1e-5
        );
        assert_relative_eq!(found.changeover.value, 0.013_709_4 * 17.0 / 16.0, max_relative = 1e-5);
        // Least load: twice the rate of the small riser at full load.
        assert_relative_eq!(found.small_alone.drop.value, 2.0 * 1426.03 + 1176.80, max_relative = 1e-5);
        assert_relative_eq!(found.oil_column.value, 2852.06 / (930.0 * 9.806_65), max_relative = 1e-5);
        // 0.3 m of trap: 3.141 59e-4 m2 x 0.3 m x 950 kg/m3; the column of 0.312 72 m stands in the same bore.
        let seal = found.seal(Length::new::<meter>(0.3), density(950.0)).unwrap();
        assert_relative_eq!(seal.trap_volume.value, 9.424_78e-5, max_relative = 1e-6);
        assert_relative_eq!(seal.trap_oil.value, 0.089_535_4, max_relative = 1e-6);
        assert_relative_eq!(seal.column_oil.value, 0.312_72 * 3.141_59e-4 * 950.0, max_relative = 1e-4);
        assert!(found.seal(Length::new::<meter>(0.0), density(950.0)).is_err());
        assert!(found.seal(Length::new::<meter>(0.3), density(f64::NAN)).is_err());
    }

    /// By hand for the made-up fluid: dew line `ln(p/1 bar) = 11 - 2750/T`, here at 3 bar; each end is held in its turn.
    #[test]
    fn a_saturated_temperature_drop_is_a_pressure_by_the_end_that_is_held() {
        let (held_pa, interval) = (3e5_f64, TemperatureInterval::new::<kelvin>(1.0));
        let held = crate::units::AbsolutePressure::from_pascal(held_pa);
        let dew_k = 2750.0 / (11.0 - 3.0_f64.ln());
        let at = |dew_k: f64| 1e5 * (11.0 - 2750.0 / dew_k).exp();
        let drop_pa = |held| allowed_drop(&TestFluid, held, interval).unwrap().value;
        assert_relative_eq!(drop_pa(Held::Outlet(held)), at(dew_k + 1.0) - held_pa, max_relative = 1e-9);
        assert_relative_eq!(drop_pa(Held::Inlet(held)), held_pa - at(dew_k - 1.0), max_relative = 1e-9);
        let far = TemperatureInterval::new::<kelvin>(500.0);
        assert!(allowed_drop(&TestFluid, Held::Outlet(held), far).is_err());
    }

    /// 4 m / (pi D mu) by hand: 4 x 0.05 / (pi x 0.02 x 11e-6).
    #[test]
    fn reynolds_number_of_a_load_in_a_bore() {
        let found = load(0.05, 11e-6).reynolds(bore(20.0)).get::<ratio>();
        assert_relative_eq!(found, 289_372.6, max_relative = 1e-6);
    }

    #[test]
    fn twins_share_by_halves() {
        let found = pair(&duty(0.1, 0.05, 11e-6), riser(26.04, 2.0), riser(26.04, 2.0));
        assert_relative_eq!(found.small.mass_rate.value, 0.05, max_relative = 1e-12);
        // Each then has what the one has alone at half the load.
        assert_eq!(found.small.drop, found.small_alone.drop);
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let good = duty(0.1, 0.02, 11e-6);
        let (small, large) = (riser(19.94, 1.0), riser(32.13, 2.0));
        let refused = |what: &str, change: &dyn Fn(&mut Duty)| {
            let mut duty = good;
            change(&mut duty);
            let told = double_riser(&duty, small, large).unwrap_err();
            assert!(told.to_string().starts_with(what), "{what}: {told}");
        };
        refused("the mass rate must be positive, not 0", &|duty| duty.least.mass_rate.value = 0.0);
        refused("the mass rate must be positive", &|duty| duty.full.mass_rate.value = f64::NAN);
        refused("the viscosity of the gas", &|duty| duty.full.viscosity.value = -1.0);
        refused("the density of the gas", &|duty| duty.least.density.value = 0.0);
        refused("the density of the oil", &|duty| duty.oil_density.value = f64::INFINITY);
        refused("gas of 950 kg/m3", &|duty| duty.full.density = duty.oil_density);
        refused("the least load, 0.2 kg/s", &|duty| duty.least.mass_rate.value = 0.2);
        refused("the limit of the oil-return ratio", &|duty| duty.oil_return_limit.value = 0.0);
        refused("the roughness", &|duty| duty.roughness.value = -1e-6);
        refused("the length", &|duty| duty.length.value = 0.0);
        refused("the height", &|duty| duty.height.value = -1.0);
        refused("a riser of 7.5 m height can not be 7 m long", &|duty| duty.height.value = 7.5);
        let told = double_riser(&good, large, small).unwrap_err().to_string();
        assert_eq!(told, "the small riser, 32.13 mm, is wider than the large one, 19.94 mm");
        assert!(double_riser(&good, riser(0.0, 1.0), large).is_err());
        assert!(double_riser(&good, small, riser(32.13, -1.0)).is_err());
    }

    /// By hand: 25 g/s carry oil in 19.94 mm (least 13.6 g/s, ratio 1.84) but not in 26.04 mm (26.5 g/s, ratio 0.94).
    #[test]
    fn the_pair_is_the_first_that_does_everything() {
        let duty = duty(0.1, 0.025, 11e-6);
        let found = choice(&duty, &TYPE_L_MM, 4000.0).unwrap();
        assert_eq!(found.small.riser.bore, bore(19.94));
        assert_relative_eq!(found.small_alone.oil_return_ratio.value, 1.84, max_relative = 0.005);
        assert!(found.small.drop <= pascals(4000.0));
        let chosen_mm = found.large.riser.bore.get().get::<millimeter>();
        for mm in TYPE_L_MM.into_iter().filter(|mm| (19.0..chosen_mm - 0.1).contains(mm)) {
            assert!(pair(&duty, riser(19.94, 1.5), riser(mm, 3.0)).small.drop > pascals(4000.0), "{mm}");
        }
        let mut shuffled = TYPE_L_MM;
        shuffled.reverse();
        assert_eq!(choice(&duty, &shuffled, 4000.0), Ok(found), "the order of the list does not matter");
    }

    #[test]
    fn reasons_why_there_is_no_pair() {
        let steps = duty(0.1, 0.025, 11e-6);
        assert_eq!(choice(&steps, &[], 4000.0), Err(NoChoice::NoBores));
        let single = choice(&steps, &TYPE_L_MM, 40_000.0).unwrap_err();
        assert_eq!(single, NoChoice::SingleServes { bore: bore(19.94) });
        assert_eq!(single.to_string(), "a single riser of 19.94 mm bore serves at both loads");
        let too_little = choice(&duty(0.1, 0.001, 11e-6), &TYPE_L_MM, 4000.0).unwrap_err();
        assert!(matches!(too_little, NoChoice::NoSmallCarries { smallest, .. } if smallest == bore(10.92)));
        // The height of the gas alone is 1177 Pa: no bore drops less.
        let too_narrow = choice(&steps, &TYPE_L_MM, 1177.0).unwrap_err();
        assert!(
            matches!(too_narrow, NoChoice::NoLargeKeepsDrop { largest, drop, .. } if largest == bore(50.42) && drop > pascals(1177.0))
        );
        // Two risers for little more than the least load carry nothing.
        let too_even = choice(&duty(0.027, 0.025, 11e-6), &TYPE_L_MM, 2000.0).unwrap_err();
        let NoChoice::NoLargeCarries { small_ratio, large_ratio, .. } = too_even else {
            panic!("{too_even:?}")
        };
        assert!(small_ratio < number(1.15) || large_ratio < number(1.15));
        assert!(matches!(choice(&steps, &[19.94, -1.0], 4000.0), Err(NoChoice::Impossible(_))));
        assert!(matches!(choice(&steps, &TYPE_L_MM, f64::NAN), Err(NoChoice::Impossible(_))));
    }

    fn any_pair() -> impl Strategy<Value = (Duty, Riser, Riser)> {
        let loads = (0.001..2.0_f64, 0.01..1.0_f64, 1e-5..2e-5_f64);
        let risers = (5.0..60.0_f64, 1.0..4.0_f64, 0.0..10.0_f64, 0.0..10.0_f64);
        (loads, risers).prop_map(|((full, share, viscosity), (mm, wider, of_small, of_large))| {
            (duty(full, full * share, viscosity), riser(mm, of_small), riser(mm * wider, of_large))
        })
    }

    proptest! {
        #[test]
        fn drops_are_equal_and_rates_add_up((duty, small, large) in any_pair()) {
            let found = pair(&duty, small, large);
            prop_assert!((found.small.drop / found.large.drop - number(1.0)).value.abs() < 1e-9);
            let sum = (found.small.mass_rate + found.large.mass_rate) / duty.full.mass_rate;
            prop_assert!((sum.value - 1.0).abs() < 1e-12);
            // Two in parallel drop less than one of them alone.
            let alone = pair(&Duty { least: duty.full, ..duty }, small, large).small_alone;
            prop_assert!(found.small.drop < alone.drop);
        }

        #[test]
        fn at_the_changeover_the_large_riser_just_carries((duty, small, large) in any_pair()) {
            let changeover = pair(&duty, small, large).changeover;
            let mut there = duty;
            (there.full.mass_rate, there.least.mass_rate) = (changeover, changeover);
            let ratio_there = pair(&there, small, large).large.oil_return_ratio.value;
            prop_assert!((ratio_there - 1.0).abs() < 1e-9, "{ratio_there}");
        }

        #[test]
        fn a_wider_or_smoother_large_riser_takes_more((duty, small, large) in any_pair(), more in 1.01..2.0_f64) {
            let found = pair(&duty, small, large);
            let wider = pair(&duty, small, Riser { bore: Bore::new(large.bore.get() * more), ..large });
            let harder = pair(&duty, small, Riser { resistance: large.resistance + number(more), ..large });
            prop_assert!(wider.large.mass_rate > found.large.mass_rate && wider.small.drop < found.small.drop);
            prop_assert!(harder.large.mass_rate < found.large.mass_rate && harder.small.drop > found.small.drop);
        }

        /// Against every pair of the list: none with a larger small riser, and none with a smaller large one, does it all.
        #[test]
        fn the_choice_is_what_a_look_at_every_pair_finds(
            full in 0.02..1.0_f64, share in 0.05..1.0_f64, allowed in 1200.0..2e4_f64,
        ) {
            let duty = duty(full, full * share, 11e-6);
            let does_all = |small_mm: f64, large_mm: f64| {
                let found = pair(&duty, riser(small_mm, 1.5), riser(large_mm, 3.0));
                let limit = duty.oil_return_limit;
                found.small.drop <= pascals(allowed)
                    && [found.small, found.large].iter().all(|running| running.oil_return_ratio >= limit)
            };
            let carries = |mm: f64| {
                pair(&duty, riser(mm, 1.5), riser(mm, 3.0)).small_alone.oil_return_ratio >= duty.oil_return_limit
            };
            let small_mm = TYPE_L_MM.into_iter().rfind(|mm| carries(*mm));
            let large_mm = small_mm.and_then(|small_mm| {
                TYPE_L_MM.into_iter().find(|mm| *mm >= small_mm && does_all(small_mm, *mm))
            });
            match choice(&duty, &TYPE_L_MM, allowed) {
                Ok(found) => {
                    prop_assert_eq!(Some(found.small.riser.bore), small_mm.map(bore));
                    prop_assert_eq!(Some(found.large.riser.bore), large_mm.map(bore));
                }
                Err(NoChoice::SingleServes { bore: single }) => {
                    prop_assert_eq!(Some(single), small_mm.map(bore));
                    let at_full = pair(&Duty { least: duty.full, ..duty }, riser(small_mm.unwrap(), 1.5), riser(60.0, 3.0));
                    prop_assert!(at_full.small_alone.drop <= pascals(allowed));
                }
                Err(NoChoice::NoSmallCarries { .. }) => prop_assert_eq!(small_mm, None),
                Err(_) => prop_assert_eq!(large_mm, None),
            }
        }
    }
}
