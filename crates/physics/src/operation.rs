//! Operation of one set: from capacity and saturation temperatures to states and mass rate at each condition.

use crate::{
    check::Condition,
    fluid::{OutsideRange, Refrigerant, State},
    line::Phase,
    sizing::{Duty, Held, Service},
    units::{
        AbsolutePressure, MassRate, Power, Ratio, SpecificEnthalpy, TemperatureInterval,
        ThermodynamicTemperature, delta,
    },
};
use thiserror::Error;
use uom::si::{
    mass_rate::kilogram_per_second, ratio::ratio, temperature_interval::kelvin as kelvin_interval,
};

/// How the load of a set is stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Load {
    /// Useful capacity at the evaporator, and the compressor's input, all of which goes into the gas (no shell loss).
    Capacity {
        /// Useful capacity.
        capacity: Power,
        /// Input to the compressor.
        compressor_input: Power,
    },
    /// Heat rejected by the condenser, and the temperature of the gas that leaves the compressor.
    HeatRejection {
        /// Heat rejected.
        heat_rejection: Power,
        /// Temperature of the discharge gas at the condensing pressure.
        discharge_gas: ThermodynamicTemperature,
    },
}

/// The cold side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evaporator {
    /// Pressure at its outlet.
    pub pressure: AbsolutePressure,
    /// Superheat at its outlet.
    pub superheat: TemperatureInterval,
}

impl Evaporator {
    /// The gas that leaves it.
    ///
    /// # Errors
    /// [`OutsideRange`] where it lies outside the property data.
    pub fn outlet(&self, fluid: &dyn Refrigerant) -> Result<State, OutsideRange> {
        fluid.vapour_at(self.pressure, fluid.dew_temperature(self.pressure)?.get() + self.superheat)
    }
}

/// Liquid at a pressure, so much below its bubble temperature; at 0 K it is on the bubble line itself.
///
/// # Errors
/// [`OutsideRange`] where it lies outside the property data.
pub fn subcooled(
    fluid: &dyn Refrigerant,
    pressure: AbsolutePressure,
    subcooling: TemperatureInterval,
) -> Result<State, OutsideRange> {
    let bubble = fluid.ends(pressure)?.bubble;
    if subcooling.get::<kelvin_interval>() == 0.0 {
        Ok(bubble)
    } else {
        fluid.liquid_at(pressure, bubble.temperature - subcooling)
    }
}

/// The stated figures of one set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Operation {
    /// The cold side; a load stated as heat rejection can do without.
    pub evaporator: Option<Evaporator>,
    /// Pressure at the condenser, summer.
    pub condensing: AbsolutePressure,
    /// Lowest controlled pressure at the condenser; none where nothing is stated.
    pub low_head: Option<AbsolutePressure>,
    /// Subcooling of the liquid that enters the liquid line: 0 below a receiver at the condenser.
    pub subcooling: TemperatureInterval,
    /// Load, summer.
    pub load: Load,
    /// Flow at the start of freeze or pull-down, against summer.
    pub peak_flow: Option<Ratio>,
    /// Flow at least load, against summer.
    pub least_load: Option<Ratio>,
}

/// States and mass rate at one condition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OperatingPoint {
    /// The condition.
    pub condition: Condition,
    /// Gas leaving the evaporator, where the cold side is stated.
    pub suction: Option<State>,
    /// Gas leaving the compressor, at the condensing pressure. At low head it is the gas of summer: no check of that
    /// condition looks at it.
    pub discharge: State,
    /// Liquid entering the liquid line.
    pub liquid: State,
    /// Mass rate through each line.
    pub mass_rate: MassRate,
}

/// Why an operating point can not be formed.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum OperationError {
    /// A state lies outside the property data.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// The liquid carries no less heat than the gas: no capacity can come of it.
    #[error("the enthalpy difference that carries the load is {difference_j_kg} J/kg, which is not positive")]
    NoDifference {
        /// The difference, J/kg.
        difference_j_kg: f64,
    },
    /// A capacity is stated without the evaporator that it comes from.
    #[error("a capacity needs the evaporating temperature and the superheat")]
    NoEvaporator,
    /// The evaporating pressure is not below the condensing pressure.
    #[error("the evaporating pressure is not below the condensing pressure")]
    NotLifting,
}

impl Operation {
    /// States and mass rate at a condition; `Ok(None)` where its input is not stated.
    ///
    /// Summer: `m = capacity / (h_suction - h_liquid)` and `h_discharge = h_suction + input / m`, or
    /// `m = heat rejection / (h_discharge - h_liquid)`. Peak and least load: the states of summer at a share of its mass
    /// rate. Low head: liquid at the low pressure with the same subcooling and the same capacity (a heat-rejection load
    /// keeps its mass rate). Cold night: as low head at the share of the least load where that is stated, and discharge gas
    /// whose superheat goes with the lift of the saturation temperature (judgement: the work of compression goes with it);
    /// without a stated cold side it keeps that of summer.
    ///
    /// # Errors
    /// [`OperationError`].
    pub fn at(
        &self,
        condition: Condition,
        fluid: &dyn Refrigerant,
    ) -> Result<Option<OperatingPoint>, OperationError> {
        let summer = self.summer(fluid)?;
        let share = |share: Option<Ratio>| {
            share.map(|share| OperatingPoint { condition, mass_rate: summer.mass_rate * share, ..summer })
        };
        Ok(match condition {
            Condition::Summer => Some(summer),
            Condition::Peak => share(self.peak_flow),
            Condition::LeastLoad => share(self.least_load),
            Condition::LowHead => match self.low_head {
                Some(pressure) => Some(self.low_head_point(fluid, pressure, summer)?),
                None => None,
            },
            Condition::ColdNight => match self.low_head {
                Some(pressure) => Some(self.cold_night(fluid, pressure, summer)?),
                None => None,
            },
        })
    }

    fn summer(&self, fluid: &dyn Refrigerant) -> Result<OperatingPoint, OperationError> {
        let suction = match self.evaporator {
            Some(Evaporator { pressure, .. }) if pressure >= self.condensing => {
                return Err(OperationError::NotLifting);
            }
            Some(evaporator) => Some(evaporator.outlet(fluid)?),
            None => None,
        };
        let liquid = subcooled(fluid, self.condensing, self.subcooling)?;
        let (discharge, mass_rate) = match self.load {
            Load::Capacity { capacity, compressor_input } => {
                let suction = suction.ok_or(OperationError::NoEvaporator)?;
                let mass_rate = rate(capacity, suction.enthalpy - liquid.enthalpy)?;
                (fluid.vapour(self.condensing, suction.enthalpy + compressor_input / mass_rate)?, mass_rate)
            }
            Load::HeatRejection { heat_rejection, discharge_gas } => {
                let discharge = fluid.vapour_at(self.condensing, discharge_gas)?;
                (discharge, rate(heat_rejection, discharge.enthalpy - liquid.enthalpy)?)
            }
        };
        Ok(OperatingPoint { condition: Condition::Summer, suction, discharge, liquid, mass_rate })
    }

    fn low_head_point(
        &self,
        fluid: &dyn Refrigerant,
        pressure: AbsolutePressure,
        summer: OperatingPoint,
    ) -> Result<OperatingPoint, OperationError> {
        let liquid = subcooled(fluid, pressure, self.subcooling)?;
        let mass_rate = match self.load {
            Load::Capacity { capacity, .. } => {
                let suction = summer.suction.ok_or(OperationError::NoEvaporator)?;
                rate(capacity, suction.enthalpy - liquid.enthalpy)?
            }
            Load::HeatRejection { .. } => summer.mass_rate,
        };
        Ok(OperatingPoint { condition: Condition::LowHead, liquid, mass_rate, ..summer })
    }

    fn cold_night(
        &self,
        fluid: &dyn Refrigerant,
        pressure: AbsolutePressure,
        summer: OperatingPoint,
    ) -> Result<OperatingPoint, OperationError> {
        let low_head = self.low_head_point(fluid, pressure, summer)?;
        let dew_at = |pressure| fluid.dew_temperature(pressure).map(|dew| dew.get());
        let (dew, dew_in_summer) = (dew_at(pressure)?, dew_at(self.condensing)?);
        let share = match self.evaporator {
            Some(evaporator) if evaporator.pressure < pressure => {
                let evaporating = dew_at(evaporator.pressure)?;
                delta(dew, evaporating) / delta(dew_in_summer, evaporating)
            }
            Some(_) => return Err(OperationError::NotLifting),
            None => Ratio::new::<ratio>(1.0),
        };
        let superheat = delta(summer.discharge.temperature, dew_in_summer) * share;
        Ok(OperatingPoint {
            condition: Condition::ColdNight,
            discharge: fluid.vapour_at(pressure, dew + superheat)?,
            mass_rate: low_head.mass_rate * self.least_load.unwrap_or(Ratio::new::<ratio>(1.0)),
            ..low_head
        })
    }
}

impl OperatingPoint {
    /// Heat that the condenser rejects at this point.
    #[must_use]
    pub fn heat_rejection(&self) -> Power {
        self.mass_rate * (self.discharge.enthalpy - self.liquid.enthalpy)
    }

    /// What a line of a service carries at this point: a discharge line is held at the condenser, its outlet; liquid,
    /// drain and suction lines at their inlets. None for a suction line without a stated cold side, for gas lines at low head,
    /// of which nothing is known, and for liquid on a cold night, which low head covers.
    #[must_use]
    pub fn duty(&self, service: Service) -> Option<Duty> {
        let without = match service.phase() {
            Phase::Vapour => Condition::LowHead,
            Phase::Liquid => Condition::ColdNight,
        };
        if self.condition == without {
            return None;
        }
        let (held, enthalpy) = match service {
            Service::Discharge => (Held::Outlet(self.discharge.pressure), self.discharge.enthalpy),
            Service::Liquid | Service::Drain => (Held::Inlet(self.liquid.pressure), self.liquid.enthalpy),
            Service::Suction => {
                let suction = self.suction?;
                (Held::Inlet(suction.pressure), suction.enthalpy)
            }
        };
        let (condition, mass_rate) = (self.condition, self.mass_rate);
        Some(Duty { condition, held, enthalpy, mass_rate, exchanges: Vec::new() })
    }
}

fn rate(load: Power, difference: SpecificEnthalpy) -> Result<MassRate, OperationError> {
    let mass_rate = load / difference;
    if difference.value > 0.0 && mass_rate > MassRate::new::<kilogram_per_second>(0.0) {
        Ok(mass_rate)
    } else {
        Err(OperationError::NoDifference { difference_j_kg: difference.value })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::test_fluid::TestFluid;
    use approx::assert_relative_eq;
    use uom::si::{power::watt, ratio::ratio, thermodynamic_temperature::kelvin};

    fn operation(load: Load) -> Operation {
        Operation {
            evaporator: Some(Evaporator {
                pressure: AbsolutePressure::from_pascal(3e5),
                superheat: TemperatureInterval::new::<kelvin_interval>(6.0),
            }),
            condensing: AbsolutePressure::from_pascal(15e5),
            low_head: Some(AbsolutePressure::from_pascal(8e5)),
            subcooling: TemperatureInterval::new::<kelvin_interval>(4.0),
            load,
            peak_flow: Some(Ratio::new::<ratio>(1.7)),
            least_load: Some(Ratio::new::<ratio>(0.6)),
        }
    }

    fn by_capacity() -> Operation {
        let (capacity, compressor_input) = (Power::new::<watt>(6000.0), Power::new::<watt>(2500.0));
        operation(Load::Capacity { capacity, compressor_input })
    }

    fn at(operation: &Operation, condition: Condition) -> OperatingPoint {
        operation.at(condition, &TestFluid).unwrap().unwrap()
    }

    #[test]
    fn the_energy_balance_closes_both_ways() {
        let summer = at(&by_capacity(), Condition::Summer);
        assert_relative_eq!(summer.heat_rejection().value, 8500.0, max_relative = 1e-12);
        let (heat_rejection, discharge_gas) = (Power::new::<watt>(8500.0), summer.discharge.temperature);
        let same = at(&operation(Load::HeatRejection { heat_rejection, discharge_gas }), Condition::Summer);
        assert_relative_eq!(same.mass_rate.value, summer.mass_rate.value, max_relative = 1e-9);
    }

    #[test]
    fn states_stand_where_they_are_stated() {
        let summer = at(&by_capacity(), Condition::Summer);
        let dew = TestFluid.dew_temperature(AbsolutePressure::from_pascal(3e5)).unwrap().get();
        let bubble = TestFluid.bubble_temperature(AbsolutePressure::from_pascal(15e5)).unwrap().get();
        assert_relative_eq!(summer.suction.unwrap().temperature.value - dew.value, 6.0, max_relative = 1e-9);
        assert_relative_eq!(bubble.value - summer.liquid.temperature.value, 4.0, max_relative = 1e-9);
    }

    #[test]
    fn peak_and_least_load_are_shares_of_summer() {
        let rate = |condition| at(&by_capacity(), condition).mass_rate.value;
        assert_relative_eq!(rate(Condition::Peak), 1.7 * rate(Condition::Summer), max_relative = 1e-12);
        assert_relative_eq!(rate(Condition::LeastLoad), 0.6 * rate(Condition::Summer), max_relative = 1e-12);
    }

    #[test]
    fn colder_liquid_at_low_head_carries_the_same_capacity_with_less_flow() {
        let (low, summer) = (at(&by_capacity(), Condition::LowHead), at(&by_capacity(), Condition::Summer));
        assert_eq!(low.liquid.pressure.pascal(), 8e5);
        assert!(low.mass_rate < summer.mass_rate);
        let capacity = |point: &OperatingPoint| {
            (point.mass_rate * (point.suction.unwrap().enthalpy - point.liquid.enthalpy)).value
        };
        assert_relative_eq!(capacity(&low), capacity(&summer), max_relative = 1e-12);
    }

    #[test]
    fn gas_of_a_cold_night_is_less_superheated_at_the_least_load() {
        let (night, summer) =
            (at(&by_capacity(), Condition::ColdNight), at(&by_capacity(), Condition::Summer));
        assert_eq!((night.discharge.pressure.pascal(), night.liquid.pressure.pascal()), (8e5, 8e5));
        let superheat = |point: &OperatingPoint| point.discharge.saturation_distance.value;
        let dew = |pressure_pa| {
            TestFluid.dew_temperature(AbsolutePressure::from_pascal(pressure_pa)).unwrap().get().value
        };
        let share = (dew(8e5) - dew(3e5)) / (dew(15e5) - dew(3e5));
        assert_relative_eq!(superheat(&night), share * superheat(&summer), max_relative = 1e-9);
        let low_head = at(&by_capacity(), Condition::LowHead);
        assert_relative_eq!(night.mass_rate.value, 0.6 * low_head.mass_rate.value, max_relative = 1e-12);
        assert!(night.duty(Service::Discharge).is_some() && night.duty(Service::Liquid).is_none());
    }

    #[test]
    fn unstated_conditions_are_none_and_impossible_ones_errors() {
        let bare = Operation { low_head: None, peak_flow: None, least_load: None, ..by_capacity() };
        for condition in [Condition::LowHead, Condition::Peak, Condition::LeastLoad, Condition::ColdNight] {
            assert_eq!(bare.at(condition, &TestFluid), Ok(None));
        }
        let superheat = TemperatureInterval::new::<kelvin_interval>(6.0);
        let evaporator = Some(Evaporator { pressure: AbsolutePressure::from_pascal(20e5), superheat });
        let inverted = Operation { evaporator, ..by_capacity() };
        assert_eq!(inverted.at(Condition::Summer, &TestFluid), Err(OperationError::NotLifting));
        let nothing =
            Load::Capacity { capacity: Power::new::<watt>(0.0), compressor_input: Power::new::<watt>(1.0) };
        assert!(matches!(
            operation(nothing).at(Condition::Summer, &TestFluid),
            Err(OperationError::NoDifference { .. })
        ));
        let cold_gas = ThermodynamicTemperature::new::<kelvin>(200.0);
        let load = Load::HeatRejection { heat_rejection: Power::new::<watt>(1.0), discharge_gas: cold_gas };
        assert!(matches!(
            operation(load).at(Condition::Summer, &TestFluid),
            Err(OperationError::Property(_))
        ));
    }

    #[test]
    fn lines_are_held_where_their_pressure_is_known() {
        let summer = at(&by_capacity(), Condition::Summer);
        let duty = |service| summer.duty(service).unwrap();
        assert_eq!(duty(Service::Discharge).held, Held::Outlet(summer.discharge.pressure));
        assert_eq!(duty(Service::Liquid).held, Held::Inlet(summer.liquid.pressure));
        assert_eq!(duty(Service::Suction).held, Held::Inlet(summer.suction.unwrap().pressure));
        assert_eq!(duty(Service::Suction).enthalpy, summer.suction.unwrap().enthalpy);
        let low = at(&by_capacity(), Condition::LowHead);
        assert_eq!((low.duty(Service::Discharge), low.duty(Service::Suction)), (None, None));
        assert!(low.duty(Service::Liquid).is_some());
        let warm_side_only = OperatingPoint { suction: None, ..summer };
        assert_eq!(warm_side_only.duty(Service::Suction), None);
    }
}
