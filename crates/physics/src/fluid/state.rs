//! States of a refrigerant, and what a property model must answer.

use crate::units::{
    AbsolutePressure, BubbleTemperature, DewTemperature, DynamicViscosity, MassDensity, Ratio,
    SpecificEnthalpy, SpecificEntropy, SpecificHeatCapacity, SurfaceTension, TemperatureInterval,
    ThermalConductivity, ThermodynamicTemperature,
};
use std::fmt;
use thiserror::Error;

/// One of the two phases.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Saturated or subcooled liquid.
    Liquid,
    /// Saturated or superheated vapour.
    Vapour,
}

/// One single-phase or saturated state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Phase.
    pub phase: Phase,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Superheat above the dew line (vapour) or subcooling below the bubble line (liquid); 0 on the line.
    pub saturation_distance: TemperatureInterval,
    /// Specific enthalpy.
    pub enthalpy: SpecificEnthalpy,
    /// Density.
    pub density: MassDensity,
    /// Dynamic viscosity.
    pub viscosity: DynamicViscosity,
}

/// The two ends of the two-phase region at one pressure: boiling starts at `bubble`, condensing at `dew`.
/// For a blend with glide their temperatures differ.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Saturated liquid.
    pub bubble: State,
    /// Saturated vapour.
    pub dew: State,
}

/// What heat and work need of a state; apart from [`State`], because a march along a line seldom reads it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thermal {
    /// Specific entropy, on the reference 1 kJ/(kg K) for saturated (bubble) liquid at 0 °C.
    pub entropy: SpecificEntropy,
    /// Heat capacity at constant pressure.
    pub heat_capacity: SpecificHeatCapacity,
    /// Thermal conductivity.
    pub conductivity: ThermalConductivity,
}

/// Liquid and vapour in equilibrium between bubble and dew point at one pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoPhase {
    /// Bubble and dew state at the pressure. Those of a blend have the composition of the whole; its liquid and vapour
    /// in equilibrium have not.
    pub ends: Ends,
    /// Vapour as a share of the mass.
    pub quality: Ratio,
    /// Temperature, between those of the ends.
    pub temperature: ThermodynamicTemperature,
}

/// A state anywhere: subcooled, two-phase or superheated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AnyState {
    /// Saturated or subcooled liquid.
    Liquid(State),
    /// Between bubble and dew point.
    TwoPhase(TwoPhase),
    /// Saturated or superheated vapour.
    Vapour(State),
}

/// The coordinate that left the range of a property model.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Region {
    /// Temperature, K, against the range that the equation of state is stated for.
    Temperature,
    /// Saturation temperature, K.
    SaturationTemperature,
    /// Bubble pressure, Pa.
    BubblePressure,
    /// Dew pressure, Pa.
    DewPressure,
    /// Superheat above the dew line, K.
    Superheat,
    /// Subcooling below the bubble line, K.
    Subcooling,
    /// Quality, 0 at the bubble point to 1 at the dew point.
    Quality,
}

impl fmt::Display for Region {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Temperature => "temperature (K)",
            Self::SaturationTemperature => "saturation temperature (K)",
            Self::BubblePressure => "bubble pressure (Pa)",
            Self::DewPressure => "dew pressure (Pa)",
            Self::Superheat => "superheat (K)",
            Self::Subcooling => "subcooling (K)",
            Self::Quality => "quality",
        })
    }
}

/// A state outside the range that a property model covers. Nothing is extrapolated.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("{region} of {value:.6} lies outside the property data, which run from {low:.6} to {high:.6}")]
pub struct OutsideRange {
    /// The coordinate at fault.
    pub region: Region,
    /// Its value (not a number where a search found none), in the unit of the region.
    pub value: f64,
    /// Lower end of the range.
    pub low: f64,
    /// Upper end of the range.
    pub high: f64,
}

/// A property model of one refrigerant. Object safe; every answer is in range or a typed refusal.
pub trait Refrigerant: Send + Sync {
    /// Bubble and dew state at a pressure.
    ///
    /// # Errors
    /// [`OutsideRange`] where the pressure has no saturation in the data.
    fn ends(&self, pressure: AbsolutePressure) -> Result<Ends, OutsideRange>;

    /// Saturated liquid at a bubble temperature.
    ///
    /// # Errors
    /// [`OutsideRange`] outside the saturation data.
    fn at_bubble(&self, temperature: BubbleTemperature) -> Result<State, OutsideRange>;

    /// Saturated vapour at a dew temperature.
    ///
    /// # Errors
    /// [`OutsideRange`] outside the saturation data.
    fn at_dew(&self, temperature: DewTemperature) -> Result<State, OutsideRange>;

    /// Bubble temperature at a pressure; cheaper than [`Refrigerant::ends`].
    ///
    /// # Errors
    /// [`OutsideRange`] as for [`Refrigerant::ends`].
    fn bubble_temperature(&self, pressure: AbsolutePressure) -> Result<BubbleTemperature, OutsideRange> {
        Ok(BubbleTemperature::new(self.ends(pressure)?.bubble.temperature))
    }

    /// Dew temperature at a pressure; cheaper than [`Refrigerant::ends`].
    ///
    /// # Errors
    /// [`OutsideRange`] as for [`Refrigerant::ends`].
    fn dew_temperature(&self, pressure: AbsolutePressure) -> Result<DewTemperature, OutsideRange> {
        Ok(DewTemperature::new(self.ends(pressure)?.dew.temperature))
    }

    /// Saturated or superheated vapour at pressure and enthalpy.
    ///
    /// # Errors
    /// [`OutsideRange`] below the dew line ([`Region::Superheat`]) or outside the data.
    fn vapour(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange>;

    /// Saturated or subcooled liquid at pressure and enthalpy.
    ///
    /// # Errors
    /// [`OutsideRange`] above the bubble line ([`Region::Subcooling`]) or outside the data.
    fn liquid(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange>;

    /// Saturated or superheated vapour at pressure and temperature.
    ///
    /// # Errors
    /// As for [`Refrigerant::vapour`].
    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange>;

    /// Saturated or subcooled liquid at pressure and temperature.
    ///
    /// # Errors
    /// As for [`Refrigerant::liquid`].
    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange>;

    /// Quality and temperature between bubble and dew point at a pressure.
    ///
    /// # Errors
    /// [`OutsideRange`] where the enthalpy is that of a single phase ([`Region::Quality`]) or outside the data.
    fn two_phase(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<TwoPhase, OutsideRange>;

    /// The state at pressure and enthalpy, in whichever region it lies.
    ///
    /// # Errors
    /// [`OutsideRange`] outside the data.
    fn state(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<AnyState, OutsideRange> {
        let ends = self.ends(pressure)?;
        if enthalpy <= ends.bubble.enthalpy {
            self.liquid(pressure, enthalpy).map(AnyState::Liquid)
        } else if enthalpy >= ends.dew.enthalpy {
            self.vapour(pressure, enthalpy).map(AnyState::Vapour)
        } else {
            self.two_phase(pressure, enthalpy).map(AnyState::TwoPhase)
        }
    }

    /// Entropy, heat capacity and conductivity of a state that this refrigerant gave.
    ///
    /// # Errors
    /// [`OutsideRange`] for a state outside the data.
    fn thermal(&self, state: &State) -> Result<Thermal, OutsideRange>;

    /// Surface tension of the liquid at its bubble point against the vapour above it.
    ///
    /// # Errors
    /// [`OutsideRange`] outside the saturation data.
    fn surface_tension(&self, temperature: BubbleTemperature) -> Result<SurfaceTension, OutsideRange>;

    /// How near a pressure is to the end of the saturation data below the critical point, K of bubble temperature.
    ///
    /// # Errors
    /// [`OutsideRange`] as for [`Refrigerant::ends`].
    fn distance_to_last_saturation(&self, pressure: AbsolutePressure) -> Result<f64, OutsideRange>;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_says_coordinate_value_and_range() {
        let refused = OutsideRange { region: Region::Superheat, value: 120.0, low: 0.0, high: 105.0 };
        let said = "superheat (K) of 120.000000 lies outside the property data, which run from 0.000000 to 105.000000";
        assert_eq!(refused.to_string(), said);
    }
}
