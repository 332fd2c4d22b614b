//! One side of the two-phase region: the bubble or the dew line over temperature.

use super::{
    columns::{GridError, axis, checked},
    interpolation::{Axis, Cubic, Curve},
    state::{OutsideRange, Phase, Region, State},
};
use crate::units::{
    AbsolutePressure, DynamicViscosity, MassDensity, SpecificEnthalpy, TemperatureInterval,
    ThermodynamicTemperature,
};
use uom::si::{
    available_energy::joule_per_kilogram, dynamic_viscosity::pascal_second,
    mass_density::kilogram_per_cubic_meter, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::kelvin,
};

/// The columns of one side.
pub(super) struct BranchColumns<'a> {
    pub(super) pressure_pa: &'a [f64],
    pub(super) density_kg_m3: &'a [f64],
    pub(super) enthalpy_j_kg: &'a [f64],
    pub(super) viscosity_pa_s: &'a [f64],
    pub(super) entropy_j_kg_k: &'a [f64],
    pub(super) heat_capacity_j_kg_k: &'a [f64],
    pub(super) conductivity_w_m_k: &'a [f64],
}

/// Entropy, heat capacity and conductivity, as numbers.
#[derive(Clone, Copy, Debug)]
pub(super) struct KernelThermal {
    pub(super) entropy_j_kg_k: f64,
    pub(super) heat_capacity_j_kg_k: f64,
    pub(super) conductivity_w_m_k: f64,
}

/// What a march reads, side by side in memory. On rows 1 K apart plain values are as good as logarithms (fourth
/// derivative: a few 1e-8 of the value), and cost no exponential.
#[derive(Clone, Copy, Debug)]
struct Piece {
    pressure: Cubic,
    enthalpy: Cubic,
    density: Cubic,
    viscosity: Cubic,
}

#[derive(Clone, Debug)]
pub(super) struct Branch {
    phase: Phase,
    temperature: Axis,
    pieces: Vec<Piece>,
    entropy: Curve,
    heat_capacity: Curve,
    conductivity: Curve,
    /// Intervals by pressure: the inverse look-up.
    by_pressure: Axis,
}

/// A position on the line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    pub(super) temperature_k: f64,
    pub(super) interval: usize,
    pub(super) t: f64,
}

impl Branch {
    pub(super) fn new(
        phase: Phase,
        temperature: &Axis,
        columns: &BranchColumns<'_>,
    ) -> Result<Self, GridError> {
        let rows = temperature.nodes().len();
        let curve =
            |column, values, positive| Ok(Curve::new(temperature, checked(column, values, rows, positive)?));
        let pressure = curve("pressure_pa", columns.pressure_pa, true)?;
        let density = curve("density_kg_m3", columns.density_kg_m3, true)?;
        let enthalpy = curve("enthalpy_j_kg", columns.enthalpy_j_kg, false)?;
        let viscosity = curve("viscosity_pa_s", columns.viscosity_pa_s, true)?;
        let pieces = (0..rows - 1).map(|interval| Piece {
            pressure: *pressure.cubic(interval),
            enthalpy: *enthalpy.cubic(interval),
            density: *density.cubic(interval),
            viscosity: *viscosity.cubic(interval),
        });
        Ok(Self {
            phase,
            pieces: pieces.collect(),
            entropy: curve("entropy_j_kg_k", columns.entropy_j_kg_k, false)?,
            heat_capacity: curve("heat_capacity_j_kg_k", columns.heat_capacity_j_kg_k, true)?,
            conductivity: curve("conductivity_w_m_k", columns.conductivity_w_m_k, true)?,
            by_pressure: axis("pressure_pa", columns.pressure_pa)?,
            temperature: temperature.clone(),
        })
    }

    pub(super) fn temperature(&self) -> &Axis {
        &self.temperature
    }

    pub(super) fn spot_at_temperature(&self, temperature_k: f64) -> Result<Spot, OutsideRange> {
        if !self.temperature.contains(temperature_k) {
            let (low, high) = (self.temperature.low(), self.temperature.high());
            return Err(OutsideRange {
                region: Region::SaturationTemperature,
                value: temperature_k,
                low,
                high,
            });
        }
        let (interval, t) = self.temperature.locate(temperature_k);
        Ok(Spot { temperature_k, interval, t })
    }

    pub(super) fn spot_at_pressure(&self, pressure_pa: f64) -> Result<Spot, OutsideRange> {
        if !self.by_pressure.contains(pressure_pa) {
            let region = match self.phase {
                Phase::Liquid => Region::BubblePressure,
                Phase::Vapour => Region::DewPressure,
            };
            let (low, high) = (self.by_pressure.low(), self.by_pressure.high());
            return Err(OutsideRange { region, value: pressure_pa, low, high });
        }
        let interval = self.by_pressure.interval(pressure_pa);
        let t = self.pieces[interval].pressure.position_of(self.by_pressure.per_width(interval), pressure_pa);
        Ok(Spot { temperature_k: self.temperature.value(interval, t), interval, t })
    }

    pub(super) fn pressure_pa(&self, spot: Spot) -> f64 {
        self.pieces[spot.interval].pressure.at(spot.t)
    }

    pub(super) fn enthalpy_j_kg(&self, spot: Spot) -> f64 {
        self.pieces[spot.interval].enthalpy.at(spot.t)
    }

    pub(super) fn density_kg_m3(&self, spot: Spot) -> f64 {
        self.pieces[spot.interval].density.at(spot.t)
    }

    pub(super) fn viscosity_pa_s(&self, spot: Spot) -> f64 {
        self.pieces[spot.interval].viscosity.at(spot.t)
    }

    pub(super) fn thermal(&self, spot: Spot) -> KernelThermal {
        KernelThermal {
            entropy_j_kg_k: self.entropy.at(spot.interval, spot.t),
            heat_capacity_j_kg_k: self.heat_capacity.at(spot.interval, spot.t),
            conductivity_w_m_k: self.conductivity.at(spot.interval, spot.t),
        }
    }

    pub(super) fn state(&self, spot: Spot, pressure_pa: f64) -> State {
        let piece = &self.pieces[spot.interval];
        KernelState {
            pressure_pa,
            temperature_k: spot.temperature_k,
            distance_k: 0.0,
            enthalpy_j_kg: piece.enthalpy.at(spot.t),
            density_kg_m3: piece.density.at(spot.t),
            viscosity_pa_s: piece.viscosity.at(spot.t),
        }
        .of(self.phase)
    }
}

/// A state as numbers.
pub(super) struct KernelState {
    pub(super) pressure_pa: f64,
    pub(super) temperature_k: f64,
    pub(super) distance_k: f64,
    pub(super) enthalpy_j_kg: f64,
    pub(super) density_kg_m3: f64,
    pub(super) viscosity_pa_s: f64,
}

impl KernelState {
    pub(super) fn of(self, phase: Phase) -> State {
        State {
            phase,
            pressure: AbsolutePressure::from_pascal(self.pressure_pa),
            temperature: ThermodynamicTemperature::new::<kelvin>(self.temperature_k),
            saturation_distance: TemperatureInterval::new::<kelvin_interval>(self.distance_k),
            enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(self.enthalpy_j_kg),
            density: MassDensity::new::<kilogram_per_cubic_meter>(self.density_kg_m3),
            viscosity: DynamicViscosity::new::<pascal_second>(self.viscosity_pa_s),
        }
    }
}
