//! Quantities and guard types.
//!
//! Every public quantity of this crate is a `uom` quantity. Where two quantities share a dimension and mixing
//! them is a known mistake of the trade, a newtype keeps them apart:
//!
//! | never mix | types |
//! |---|---|
//! | gauge and absolute pressure | [`GaugePressure`], [`AbsolutePressure`] |
//! | temperature and temperature difference | [`ThermodynamicTemperature`], [`TemperatureInterval`] |
//! | bubble and dew temperature | [`BubbleTemperature`], [`DewTemperature`] |
//! | outside diameter and bore | [`OutsideDiameter`], [`Bore`] |
//! | measured and equivalent length | [`Length`], [`EquivalentLength`] |
//! | power and throughput of gas | [`Power`], [`Throughput`] |

pub use uom::si::f64::{
    Acceleration, Area, AvailableEnergy, DynamicViscosity, ElectricCurrent, ElectricPotential,
    ElectricalResistance, Energy, Force, Frequency, HeatFluxDensity, HeatTransfer, Length, LinearMassDensity,
    LinearPowerDensity, Mass, MassDensity, MassFlux, MassRate, MolarMass, Power, Pressure, Ratio,
    SpecificHeatCapacity, SurfaceTension, TemperatureCoefficient, TemperatureInterval, ThermalConductance,
    ThermalConductivity, ThermodynamicTemperature, Time, Velocity, Volume, VolumeRate,
};
/// Enthalpy per mass, on the reference 200 kJ/kg for saturated liquid at 0 °C.
pub type SpecificEnthalpy = AvailableEnergy;
/// Entropy per mass, on the reference 1 kJ/(kg K) for saturated liquid at 0 °C.
pub type SpecificEntropy = SpecificHeatCapacity;

/// Heat per length of tube and per kelvin, W/(m K): the dimension of a conductivity.
pub type ConductancePerLength = ThermalConductivity;
/// Kelvin per heat per length of tube, m K/W.
pub type ResistanceOfLength = <f64 as std::ops::Div<ConductancePerLength>>::Output;
/// Electrical resistance per length of one conductor, ohm/m.
pub type ResistancePerLength = <ElectricalResistance as std::ops::Div<Length>>::Output;

/// The unit modules of `uom` that callers of this crate need most.
pub mod unit {
    pub use uom::si::{
        area, available_energy, dynamic_viscosity, electric_current, electric_potential,
        electrical_resistance, energy, force, frequency, heat_flux_density, heat_transfer, length,
        linear_mass_density, linear_power_density, mass, mass_density, mass_flux, mass_rate, molar_mass,
        power, pressure, ratio, specific_heat_capacity, surface_tension, temperature_coefficient,
        temperature_interval, thermal_conductance, thermal_conductivity, thermodynamic_temperature, time,
        velocity, volume, volume_rate,
    };
}

use uom::si::{
    length::meter, power::watt, pressure::pascal, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::kelvin,
};

/// Acceleration of gravity used throughout, m/s² (conventional value, CGPM 1901).
pub const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;

/// Difference `warmer - colder` of two temperatures. The only place where absolute temperatures are subtracted.
///
/// ```
/// use physics::units::{delta, ThermodynamicTemperature, unit::{thermodynamic_temperature::degree_celsius, temperature_interval}};
/// let difference = delta(ThermodynamicTemperature::new::<degree_celsius>(40.0), ThermodynamicTemperature::new::<degree_celsius>(35.0));
/// assert!((difference.get::<temperature_interval::kelvin>() - 5.0).abs() < 1e-9);
/// ```
///
/// Two temperatures can not be added, and their difference is no temperature:
/// ```compile_fail
/// use physics::units::{delta, ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius};
/// let warm = ThermodynamicTemperature::new::<degree_celsius>(40.0);
/// let sum: ThermodynamicTemperature = warm + warm;
/// ```
/// ```compile_fail
/// use physics::units::{delta, ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius};
/// let warm = ThermodynamicTemperature::new::<degree_celsius>(40.0);
/// let difference: ThermodynamicTemperature = delta(warm, warm);
/// ```
#[must_use]
pub fn delta(warmer: ThermodynamicTemperature, colder: ThermodynamicTemperature) -> TemperatureInterval {
    TemperatureInterval::new::<kelvin_interval>(warmer.get::<kelvin>() - colder.get::<kelvin>())
}

macro_rules! guard {
    ($(#[$doc:meta])* $name:ident($inner:ty)) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name($inner);

        impl $name {
            /// Wraps the plain quantity; the caller vouches for its meaning.
            #[must_use]
            pub const fn new(value: $inner) -> Self {
                Self(value)
            }

            /// The plain quantity.
            #[must_use]
            pub const fn get(self) -> $inner {
                self.0
            }
        }
    };
}

guard! {
    /// Pressure above vacuum.
    ///
    /// A gauge reading does not pass for it:
    /// ```compile_fail
    /// use physics::units::{AbsolutePressure, GaugePressure, Pressure, unit::pressure::psi};
    /// let reading = GaugePressure::new(Pressure::new::<psi>(250.0));
    /// let absolute: AbsolutePressure = reading;
    /// ```
    AbsolutePressure(Pressure)
}
guard! {
    /// Pressure above the atmosphere of the site: what a gauge shows there.
    GaugePressure(Pressure)
}
guard! {
    /// Temperature at which boiling starts at a pressure (liquid side).
    ///
    /// ```compile_fail
    /// use physics::units::{BubbleTemperature, DewTemperature, ThermodynamicTemperature, unit::thermodynamic_temperature::degree_celsius};
    /// let dew = DewTemperature::new(ThermodynamicTemperature::new::<degree_celsius>(40.0));
    /// let bubble: BubbleTemperature = dew;
    /// ```
    BubbleTemperature(ThermodynamicTemperature)
}
guard! {
    /// Temperature at which condensing starts at a pressure (vapour side).
    DewTemperature(ThermodynamicTemperature)
}
guard! {
    /// Outside diameter of a tube: what the trade calls its size.
    OutsideDiameter(Length)
}
guard! {
    /// Inside diameter of a tube: what the refrigerant sees.
    ///
    /// ```compile_fail
    /// use physics::units::{Bore, OutsideDiameter, Length, unit::length::inch};
    /// let outside = OutsideDiameter::new(Length::new::<inch>(0.5));
    /// let bore: Bore = outside;
    /// ```
    Bore(Length)
}
guard! {
    /// Measured length plus fittings expressed as tube.
    ///
    /// ```compile_fail
    /// use physics::units::{EquivalentLength, Length, unit::length::meter};
    /// let run: Length = EquivalentLength::new(Length::new::<meter>(20.0));
    /// ```
    EquivalentLength(Length)
}
guard! {
    /// Flow of gas as pressure times volume per time, Pa m³/s (10 mbar L/s): what a leak or a vacuum pump passes. It shares
    /// its dimension with power and is none.
    ///
    /// ```compile_fail
    /// use physics::units::{Power, Throughput, unit::power::watt};
    /// let leak: Throughput = Power::new::<watt>(1e-4);
    /// ```
    Throughput(Power)
}

impl AbsolutePressure {
    /// From pascal.
    #[must_use]
    pub fn from_pascal(pressure_pa: f64) -> Self {
        Self(Pressure::new::<pascal>(pressure_pa))
    }

    /// In pascal.
    #[must_use]
    pub fn pascal(self) -> f64 {
        self.0.get::<pascal>()
    }

    /// What a gauge shows where the atmosphere presses with `atmosphere`.
    #[must_use]
    pub fn gauge(self, atmosphere: Self) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.0)
    }
}

impl Throughput {
    /// From Pa m³/s.
    #[must_use]
    pub fn from_pascal_cubic_metre_per_second(throughput_pa_m3_s: f64) -> Self {
        Self(Power::new::<watt>(throughput_pa_m3_s))
    }

    /// In Pa m³/s.
    #[must_use]
    pub fn pascal_cubic_metre_per_second(self) -> f64 {
        self.0.get::<watt>()
    }
}

impl GaugePressure {
    /// The absolute pressure behind a gauge reading where the atmosphere presses with `atmosphere`.
    #[must_use]
    pub fn absolute(self, atmosphere: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + atmosphere.0)
    }
}

impl Bore {
    /// Cross-section that the refrigerant flows through.
    #[must_use]
    pub fn area(self) -> Area {
        std::f64::consts::FRAC_PI_4 * self.0 * self.0
    }
}

/// Pressure of the standard atmosphere at an altitude.
///
/// Pascal in one micron of mercury, 1 mTorr: a 760,000th of the standard atmosphere, exact by definition of the torr.
pub const PASCAL_PER_MICRON: f64 = 101_325.0 / 760_000.0;

/// `p = 101325 Pa (1 - 2.25577e-5 z/m)^5.2559` (U.S. Standard Atmosphere 1976, troposphere, in the form printed in
/// handbooks of psychrometrics). Valid from -5000 m to 11000 m; `None` outside.
///
/// ```
/// use physics::units::{standard_atmosphere, Length, unit::length::meter};
/// let denver = standard_atmosphere(Length::new::<meter>(1609.0)).unwrap();
/// assert!((denver.pascal() - 83_430.0).abs() < 200.0);
/// assert!(standard_atmosphere(Length::new::<meter>(20_000.0)).is_none());
/// ```
#[must_use]
pub fn standard_atmosphere(altitude: Length) -> Option<AbsolutePressure> {
    let altitude_m = altitude.get::<meter>();
    (-5000.0..=11_000.0)
        .contains(&altitude_m)
        .then(|| AbsolutePressure::from_pascal(101_325.0 * (1.0 - 2.255_77e-5 * altitude_m).powf(5.2559)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::pressure::psi;

    /// U.S. Standard Atmosphere 1976: 101 325 Pa at 0 m, 89 875 Pa at 1000 m, 70 109 Pa at 3000 m (from memory).
    #[test]
    fn the_atmosphere_thins_as_tabulated() {
        for (altitude_m, pressure_pa) in [(0.0, 101_325.0), (1000.0, 89_875.0), (3000.0, 70_109.0)] {
            let found = standard_atmosphere(Length::new::<meter>(altitude_m)).unwrap().pascal();
            assert!((found - pressure_pa).abs() < 10.0, "{altitude_m} m: {found}");
        }
        assert!(standard_atmosphere(Length::new::<meter>(-6000.0)).is_none());
        assert!(standard_atmosphere(Length::new::<meter>(f64::NAN)).is_none());
    }

    #[test]
    fn gauge_and_absolute_differ_by_the_atmosphere_of_the_site() {
        let sea_level = standard_atmosphere(Length::new::<meter>(0.0)).unwrap();
        let mountain = standard_atmosphere(Length::new::<meter>(3000.0)).unwrap();
        let reading = GaugePressure::new(Pressure::new::<psi>(250.0));
        let there = reading.absolute(mountain);
        assert!(there < reading.absolute(sea_level));
        approx::assert_relative_eq!(there.gauge(mountain).get().get::<psi>(), 250.0, max_relative = 1e-12);
    }
}
