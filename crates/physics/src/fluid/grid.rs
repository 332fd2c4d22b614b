//! Property grids: tabulated equations of state, interpolated.

use super::{
    interpolation::{Axis, Curve, Slice, Surfaces},
    state::{Ends, OutsideRange, Refrigerant, Region, State},
};
use crate::units::{
    AbsolutePressure, BubbleTemperature, DewTemperature, DynamicViscosity, MassDensity, SpecificEnthalpy,
    TemperatureInterval, ThermodynamicTemperature,
};
use thiserror::Error;
use uom::si::{
    available_energy::joule_per_kilogram, dynamic_viscosity::pascal_second,
    mass_density::kilogram_per_cubic_meter, temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::kelvin,
};

/// Columns of the saturation table: liquid at its bubble point, vapour at its dew point, one row a temperature.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // each name states quantity and unit
pub struct SaturationColumns {
    pub temperature_k: Vec<f64>,
    pub bubble_pressure_pa: Vec<f64>,
    pub dew_pressure_pa: Vec<f64>,
    pub liquid_density_kg_m3: Vec<f64>,
    pub vapour_density_kg_m3: Vec<f64>,
    pub liquid_enthalpy_j_kg: Vec<f64>,
    pub vapour_enthalpy_j_kg: Vec<f64>,
    pub liquid_entropy_j_kg_k: Vec<f64>,
    pub vapour_entropy_j_kg_k: Vec<f64>,
    pub liquid_heat_capacity_j_kg_k: Vec<f64>,
    pub vapour_heat_capacity_j_kg_k: Vec<f64>,
    pub liquid_viscosity_pa_s: Vec<f64>,
    pub vapour_viscosity_pa_s: Vec<f64>,
    pub liquid_conductivity_w_m_k: Vec<f64>,
    pub vapour_conductivity_w_m_k: Vec<f64>,
    pub surface_tension_n_m: Vec<f64>,
}

/// Columns of a single-phase table over saturation temperature (dew for vapour, bubble for liquid) and distance
/// from it (superheat for vapour, subcooling for liquid).
///
/// The value columns hold the full product, row by row: index = `saturation index * distances + distance index`.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // each name states quantity and unit
pub struct SurfaceColumns {
    pub saturation_temperature_k: Vec<f64>,
    pub distance_k: Vec<f64>,
    pub density_kg_m3: Vec<f64>,
    pub enthalpy_j_kg: Vec<f64>,
    pub entropy_j_kg_k: Vec<f64>,
    pub heat_capacity_j_kg_k: Vec<f64>,
    pub viscosity_pa_s: Vec<f64>,
    pub conductivity_w_m_k: Vec<f64>,
}

/// All that a refrigerant's grid is made of.
#[derive(Clone, Debug, Default)]
#[allow(missing_docs)] // named by what it is
pub struct GridData {
    pub saturation: SaturationColumns,
    pub vapour: SurfaceColumns,
    pub liquid: SurfaceColumns,
    /// Temperatures that the equation behind the columns is stated for, K, where known. Corners of the tables may lie
    /// beyond, to complete the rectangle: states there are refused.
    pub equation_range_k: Option<(f64, f64)>,
}

/// Why columns make no grid.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum GridError {
    /// A column's length does not fit its table.
    #[error("column {column} has {found} values where the table wants {wanted}")]
    Length {
        /// Column name.
        column: &'static str,
        /// Values found.
        found: usize,
        /// Values wanted.
        wanted: usize,
    },
    /// An axis does not rise strictly, or has fewer than five nodes.
    #[error("axis {axis} must hold at least five finite, strictly rising nodes")]
    Axis {
        /// Axis name.
        axis: &'static str,
    },
    /// A value that can not be (negative density, infinite enthalpy...).
    #[error("column {column} holds {value} at position {position}")]
    Value {
        /// Column name.
        column: &'static str,
        /// The value.
        value: f64,
        /// Its position, counted from 0.
        position: usize,
    },
    /// A row of a single-phase table stands at a saturation temperature that the saturation table has not.
    #[error("axis {axis} holds {value_k} K, which is no row of the saturation table")]
    NoSuchRow {
        /// Axis name.
        axis: &'static str,
        /// The temperature, K.
        value_k: f64,
    },
}

/// One branch of the saturation data (bubble or dew) over temperature. On rows 1 K apart plain values are as good as
/// logarithms (fourth derivative: a few 1e-8 of the value), and cost no exponential.
#[derive(Clone, Debug)]
struct Branch {
    pressure: Curve,
    density: Curve,
    enthalpy: Curve,
    viscosity: Curve,
    /// Intervals by pressure: the inverse look-up.
    by_pressure: Axis,
    pressure_region: Region,
}

/// A position on the saturation line.
#[derive(Clone, Copy, Debug)]
struct Spot {
    temperature_k: f64,
    interval: usize,
    t: f64,
}

impl Branch {
    fn state(&self, spot: Spot, pressure_pa: f64) -> State {
        let read = |curve: &Curve| curve.at(spot.interval, spot.t);
        kernel_state(
            pressure_pa,
            spot.temperature_k,
            0.0,
            read(&self.enthalpy),
            read(&self.density),
            read(&self.viscosity),
        )
    }
}

/// Columns of a single-phase region, in the order of its surfaces.
const ENTHALPY: usize = 0;
const DENSITY: usize = 1;
const VISCOSITY: usize = 2;

/// A single-phase region over (saturation temperature, transformed distance), stored against its saturation branch
/// (enthalpy as difference, density and viscosity as ratio), so that region and branch join without a step.
#[derive(Clone, Debug)]
struct SinglePhase {
    rows: Axis,
    columns: Axis,
    surfaces: Surfaces<3>,
    /// +1 for superheat, -1 for subcooling: the sense in which temperature moves with distance.
    sense: f64,
    region: Region,
}

impl SinglePhase {
    /// Superheat rows crowd at the dew line, where properties bend most: the axis is `sqrt(superheat + 2)`.
    fn column_of(&self, distance_k: f64) -> f64 {
        if self.sense > 0.0 { (distance_k + 2.0).sqrt() } else { distance_k }
    }

    fn distance_of(&self, column: f64) -> f64 {
        if self.sense > 0.0 { column * column - 2.0 } else { column }
    }

    fn refuse(&self, distance_k: f64) -> OutsideRange {
        let (low, high) = (self.distance_of(self.columns.low()), self.distance_of(self.columns.high()));
        OutsideRange { region: self.region, value: distance_k, low, high }
    }

    fn slice(&self, spot: Spot) -> Result<Slice, OutsideRange> {
        if self.rows.contains(spot.temperature_k) {
            Ok(Slice::new(&self.rows, spot.temperature_k))
        } else {
            let (low, high) = (self.rows.low(), self.rows.high());
            Err(OutsideRange { region: Region::SaturationTemperature, value: spot.temperature_k, low, high })
        }
    }

    fn state(
        &self,
        branch: &Branch,
        spot: Spot,
        slice: &Slice,
        pressure_pa: f64,
        column: (usize, f64, f64),
    ) -> State {
        let (j, t, width) = column;
        let read = |which: usize| self.surfaces.cubic(slice, which, j, width).at(t);
        let saturated = |curve: &Curve| curve.at(spot.interval, spot.t);
        let distance_k = self.distance_of(self.columns.nodes()[j] + t * width);
        kernel_state(
            pressure_pa,
            spot.temperature_k + self.sense * distance_k,
            distance_k,
            saturated(&branch.enthalpy) + read(ENTHALPY),
            saturated(&branch.density) * read(DENSITY),
            saturated(&branch.viscosity) * read(VISCOSITY),
        )
    }

    fn at_temperature(
        &self,
        branch: &Branch,
        spot: Spot,
        pressure_pa: f64,
        temperature_k: f64,
    ) -> Result<State, OutsideRange> {
        let slice = self.slice(spot)?;
        let mut distance_k = self.sense * (temperature_k - spot.temperature_k);
        // A saturated state handed back as (p, T) may miss the line by the rounding of the inverse look-up.
        if distance_k < 0.0 && distance_k > -1e-9 {
            distance_k = 0.0;
        }
        let column = self.column_of(distance_k);
        if !(distance_k >= 0.0 && self.columns.contains(column)) {
            return Err(self.refuse(distance_k));
        }
        Ok(self.state(branch, spot, &slice, pressure_pa, self.columns.locate(column)))
    }

    fn at_enthalpy(
        &self,
        branch: &Branch,
        spot: Spot,
        pressure_pa: f64,
        enthalpy_j_kg: f64,
    ) -> Result<State, OutsideRange> {
        let slice = self.slice(spot)?;
        // Grows from 0 at saturation, in both regions.
        let mut rise_j_kg = self.sense * (enthalpy_j_kg - branch.enthalpy.at(spot.interval, spot.t));
        // The same rounding as above, in J/kg.
        if rise_j_kg < 0.0 && rise_j_kg > -1e-6 {
            rise_j_kg = 0.0;
        }
        let node = |j: usize| self.sense * self.surfaces.node(&slice, ENTHALPY, j);
        let last = self.columns.nodes().len() - 1;
        // The distance if heat capacity stayed that of the line: lands in the right interval or beside it.
        let guess_k = rise_j_kg * self.distance_of(self.columns.nodes()[1]) / node(1);
        if !(rise_j_kg >= 0.0 && rise_j_kg <= node(last)) {
            return Err(self.refuse(guess_k));
        }
        let mut low = self.columns.interval(self.column_of(guess_k).min(self.columns.high()));
        while low > 0 && node(low) > rise_j_kg {
            low -= 1;
        }
        while low + 1 < last && node(low + 1) <= rise_j_kg {
            low += 1;
        }
        let width = self.columns.nodes()[low + 1] - self.columns.nodes()[low];
        let t = self.surfaces.cubic(&slice, ENTHALPY, low, width).position_of(self.sense * rise_j_kg);
        Ok(self.state(branch, spot, &slice, pressure_pa, (low, t, width)))
    }
}

/// A refrigerant read from grids: pressure and density within a few 1e-5 of the equation of state that made them.
///
/// Saturation: cubic Hermite over temperature. Vapour: bicubic Hermite over (dew temperature, `sqrt(superheat + 2 K)`);
/// liquid: over (bubble temperature, subcooling). Valid inside the
/// data only; everything else is [`OutsideRange`].
#[derive(Clone, Debug)]
pub struct GridRefrigerant {
    temperature: Axis,
    bubble: Branch,
    dew: Branch,
    vapour: SinglePhase,
    liquid: SinglePhase,
    equation_range_k: (f64, f64),
}

impl GridRefrigerant {
    /// Builds the interpolation from columns.
    ///
    /// # Errors
    /// [`GridError`] when columns differ in length, axes do not rise, values can not be, or a row of a single-phase
    /// table is no row of the saturation table.
    pub fn new(data: &GridData) -> Result<Self, GridError> {
        let saturation = &data.saturation;
        let temperature = axis("temperature_k", &saturation.temperature_k)?;
        let bubble = branch(
            &temperature,
            &saturation.bubble_pressure_pa,
            &saturation.liquid_density_kg_m3,
            &saturation.liquid_enthalpy_j_kg,
            &saturation.liquid_viscosity_pa_s,
            Region::BubblePressure,
        )?;
        let dew = branch(
            &temperature,
            &saturation.dew_pressure_pa,
            &saturation.vapour_density_kg_m3,
            &saturation.vapour_enthalpy_j_kg,
            &saturation.vapour_viscosity_pa_s,
            Region::DewPressure,
        )?;
        let vapour = single_phase(&temperature, &dew, &data.vapour, 1.0, Region::Superheat)?;
        let liquid = single_phase(&temperature, &bubble, &data.liquid, -1.0, Region::Subcooling)?;
        let equation_range_k = data.equation_range_k.unwrap_or((0.0, f64::INFINITY));
        Ok(Self { temperature, bubble, dew, vapour, liquid, equation_range_k })
    }

    fn spot(&self, branch: &Branch, pressure_pa: f64) -> Result<Spot, OutsideRange> {
        if !branch.by_pressure.contains(pressure_pa) {
            let (low, high) = (branch.by_pressure.low(), branch.by_pressure.high());
            return Err(OutsideRange { region: branch.pressure_region, value: pressure_pa, low, high });
        }
        let interval = branch.by_pressure.interval(pressure_pa);
        let t = branch.pressure.cubic(interval).position_of(pressure_pa);
        let (left, right) = (self.temperature.nodes()[interval], self.temperature.nodes()[interval + 1]);
        Ok(Spot { temperature_k: left + t * (right - left), interval, t })
    }

    fn stated(&self, state: State) -> Result<State, OutsideRange> {
        let (low, high) = self.equation_range_k;
        let value = state.temperature.value;
        if (low..=high).contains(&value) {
            Ok(state)
        } else {
            Err(OutsideRange { region: Region::Temperature, value, low, high })
        }
    }

    fn at_saturation(&self, branch: &Branch, temperature_k: f64) -> Result<State, OutsideRange> {
        if !self.temperature.contains(temperature_k) {
            let (low, high) = (self.temperature.low(), self.temperature.high());
            return Err(OutsideRange {
                region: Region::SaturationTemperature,
                value: temperature_k,
                low,
                high,
            });
        }
        let (interval, t, _) = self.temperature.locate(temperature_k);
        let spot = Spot { temperature_k, interval, t };
        Ok(branch.state(spot, branch.pressure.at(interval, t)))
    }
}

impl Refrigerant for GridRefrigerant {
    fn ends(&self, pressure: AbsolutePressure) -> Result<Ends, OutsideRange> {
        let pressure_pa = pressure.pascal();
        Ok(Ends {
            bubble: self.bubble.state(self.spot(&self.bubble, pressure_pa)?, pressure_pa),
            dew: self.dew.state(self.spot(&self.dew, pressure_pa)?, pressure_pa),
        })
    }

    fn at_bubble(&self, temperature: BubbleTemperature) -> Result<State, OutsideRange> {
        self.at_saturation(&self.bubble, temperature.get().value)
    }

    fn at_dew(&self, temperature: DewTemperature) -> Result<State, OutsideRange> {
        self.at_saturation(&self.dew, temperature.get().value)
    }

    fn bubble_temperature(&self, pressure: AbsolutePressure) -> Result<BubbleTemperature, OutsideRange> {
        let spot = self.spot(&self.bubble, pressure.pascal())?;
        Ok(BubbleTemperature::new(ThermodynamicTemperature::new::<kelvin>(spot.temperature_k)))
    }

    fn dew_temperature(&self, pressure: AbsolutePressure) -> Result<DewTemperature, OutsideRange> {
        let spot = self.spot(&self.dew, pressure.pascal())?;
        Ok(DewTemperature::new(ThermodynamicTemperature::new::<kelvin>(spot.temperature_k)))
    }

    fn vapour(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let spot = self.spot(&self.dew, pressure.pascal())?;
        self.stated(self.vapour.at_enthalpy(&self.dew, spot, pressure.pascal(), enthalpy.value)?)
    }

    fn liquid(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let spot = self.spot(&self.bubble, pressure.pascal())?;
        self.stated(self.liquid.at_enthalpy(&self.bubble, spot, pressure.pascal(), enthalpy.value)?)
    }

    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let spot = self.spot(&self.dew, pressure.pascal())?;
        self.stated(self.vapour.at_temperature(&self.dew, spot, pressure.pascal(), temperature.value)?)
    }

    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let spot = self.spot(&self.bubble, pressure.pascal())?;
        self.stated(self.liquid.at_temperature(&self.bubble, spot, pressure.pascal(), temperature.value)?)
    }

    fn distance_to_last_saturation(&self, pressure: AbsolutePressure) -> Result<f64, OutsideRange> {
        Ok(self.temperature.high() - self.spot(&self.bubble, pressure.pascal())?.temperature_k)
    }
}

fn kernel_state(
    pressure_pa: f64,
    temperature_k: f64,
    distance_k: f64,
    enthalpy_j_kg: f64,
    density_kg_m3: f64,
    viscosity_pa_s: f64,
) -> State {
    State {
        pressure: AbsolutePressure::from_pascal(pressure_pa),
        temperature: ThermodynamicTemperature::new::<kelvin>(temperature_k),
        saturation_distance: TemperatureInterval::new::<kelvin_interval>(distance_k),
        enthalpy: SpecificEnthalpy::new::<joule_per_kilogram>(enthalpy_j_kg),
        density: MassDensity::new::<kilogram_per_cubic_meter>(density_kg_m3),
        viscosity: DynamicViscosity::new::<pascal_second>(viscosity_pa_s),
    }
}

fn axis(name: &'static str, nodes: &[f64]) -> Result<Axis, GridError> {
    if nodes.len() < 5 {
        return Err(GridError::Axis { axis: name });
    }
    Axis::new(nodes.to_vec()).ok_or(GridError::Axis { axis: name })
}

fn checked<'a>(
    column: &'static str,
    values: &'a [f64],
    wanted: usize,
    positive: bool,
) -> Result<&'a [f64], GridError> {
    if values.len() != wanted {
        return Err(GridError::Length { column, found: values.len(), wanted });
    }
    match values.iter().position(|&value| !value.is_finite() || (positive && value <= 0.0)) {
        Some(position) => Err(GridError::Value { column, value: values[position], position }),
        None => Ok(values),
    }
}

fn branch(
    temperature: &Axis,
    pressure_pa: &[f64],
    density_kg_m3: &[f64],
    enthalpy_j_kg: &[f64],
    viscosity_pa_s: &[f64],
    pressure_region: Region,
) -> Result<Branch, GridError> {
    let rows = temperature.nodes().len();
    let curve =
        |column, values, positive| Ok(Curve::new(temperature, checked(column, values, rows, positive)?));
    let pressure = curve("pressure_pa", pressure_pa, true)?;
    Ok(Branch {
        pressure,
        density: curve("density_kg_m3", density_kg_m3, true)?,
        enthalpy: curve("enthalpy_j_kg", enthalpy_j_kg, false)?,
        viscosity: curve("viscosity_pa_s", viscosity_pa_s, true)?,
        by_pressure: axis("pressure_pa", pressure_pa)?,
        pressure_region,
    })
}

fn single_phase(
    temperature: &Axis,
    branch: &Branch,
    data: &SurfaceColumns,
    sense: f64,
    region: Region,
) -> Result<SinglePhase, GridError> {
    let rows = axis("saturation_temperature_k", &data.saturation_temperature_k)?;
    let distances = axis("distance_k", &data.distance_k)?;
    if distances.low() != 0.0 {
        return Err(GridError::Axis { axis: "distance_k" });
    }
    let transformed =
        data.distance_k.iter().map(|&d| if sense > 0.0 { (d + 2.0).sqrt() } else { d }).collect();
    let columns = Axis::new(transformed).ok_or(GridError::Axis { axis: "distance_k" })?;
    let (width, cells) = (data.distance_k.len(), rows.nodes().len() * data.distance_k.len());
    // The saturation table's own value at each row's temperature.
    let nearest = rows
        .nodes()
        .iter()
        .map(|&row_k| {
            let found = temperature.nodes().iter().any(|&node_k| (node_k - row_k).abs() < 1e-6);
            let within = found && temperature.contains(row_k);
            within
                .then(|| temperature.locate(row_k))
                .ok_or(GridError::NoSuchRow { axis: "saturation_temperature_k", value_k: row_k })
        })
        .collect::<Result<Vec<_>, _>>()?;
    // On the line itself exactly the branch, whatever digits the two tables were printed with.
    let against = |values: &[f64], curve: &Curve, on_line: f64, relate: fn(f64, f64) -> f64| -> Vec<f64> {
        let saturated = |cell: usize| curve.at(nearest[cell / width].0, nearest[cell / width].1);
        let each = values.iter().enumerate();
        each.map(|(cell, &value)| if cell % width == 0 { on_line } else { relate(value, saturated(cell)) })
            .collect()
    };
    let density = checked("density_kg_m3", &data.density_kg_m3, cells, true)?;
    let enthalpy = checked("enthalpy_j_kg", &data.enthalpy_j_kg, cells, false)?;
    let viscosity = checked("viscosity_pa_s", &data.viscosity_pa_s, cells, true)?;
    let enthalpy = against(enthalpy, &branch.enthalpy, 0.0, |value, saturated| value - saturated);
    if let Some(position) =
        (1..cells).find(|k| k % width != 0 && sense * (enthalpy[*k] - enthalpy[k - 1]) <= 0.0)
    {
        return Err(GridError::Value {
            column: "enthalpy_j_kg",
            value: data.enthalpy_j_kg[position],
            position,
        });
    }
    let density = against(density, &branch.density, 1.0, |value, saturated| value / saturated);
    let viscosity = against(viscosity, &branch.viscosity, 1.0, |value, saturated| value / saturated);
    let surfaces = Surfaces::new(&rows, &columns, [&enthalpy, &density, &viscosity]);
    Ok(SinglePhase { surfaces, rows, columns, sense, region })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::test_fluid::TestFluid;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use std::sync::LazyLock;

    fn temperature(value_k: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(value_k)
    }

    /// The made-up refrigerant, tabulated: dew 240 to 320 K.
    fn columns() -> GridData {
        let mut data = GridData::default();
        let push = |columns: &mut SurfaceColumns, state: State| {
            columns.density_kg_m3.push(state.density.value);
            columns.enthalpy_j_kg.push(state.enthalpy.value);
            columns.viscosity_pa_s.push(state.viscosity.value);
        };
        for step in 0..=80 {
            let temperature_k = 240.0 + f64::from(step);
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(temperature_k))).unwrap();
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(temperature_k))).unwrap();
            let saturation = &mut data.saturation;
            saturation.temperature_k.push(temperature_k);
            saturation.bubble_pressure_pa.push(bubble.pressure.pascal());
            saturation.dew_pressure_pa.push(dew.pressure.pascal());
            saturation.liquid_density_kg_m3.push(bubble.density.value);
            saturation.vapour_density_kg_m3.push(dew.density.value);
            saturation.liquid_enthalpy_j_kg.push(bubble.enthalpy.value);
            saturation.vapour_enthalpy_j_kg.push(dew.enthalpy.value);
            saturation.liquid_viscosity_pa_s.push(bubble.viscosity.value);
            saturation.vapour_viscosity_pa_s.push(dew.viscosity.value);
        }
        data.vapour.distance_k = vec![0.0, 3.0, 7.0, 12.0, 20.0, 30.0, 45.0, 70.0, 105.0];
        data.liquid.distance_k = vec![0.0, 3.0, 8.0, 15.0, 25.0, 40.0];
        for step in 0..=20 {
            let row_k = 240.0 + 4.0 * f64::from(step);
            data.vapour.saturation_temperature_k.push(row_k);
            data.liquid.saturation_temperature_k.push(row_k);
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(row_k))).unwrap();
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(row_k))).unwrap();
            for superheat in data.vapour.distance_k.clone() {
                let state = TestFluid.vapour_at(dew.pressure, temperature(row_k + superheat)).unwrap();
                push(&mut data.vapour, state);
            }
            for subcooling in data.liquid.distance_k.clone() {
                let state = TestFluid.liquid_at(bubble.pressure, temperature(row_k - subcooling)).unwrap();
                push(&mut data.liquid, state);
            }
        }
        data
    }

    static GRID: LazyLock<GridRefrigerant> = LazyLock::new(|| GridRefrigerant::new(&columns()).unwrap());

    fn close(found: &State, expected: &State) {
        assert_relative_eq!(found.pressure.pascal(), expected.pressure.pascal(), max_relative = 2e-6);
        assert_relative_eq!(found.temperature.value, expected.temperature.value, epsilon = 2e-4);
        assert_relative_eq!(found.enthalpy.value, expected.enthalpy.value, epsilon = 1.0);
        assert_relative_eq!(found.density.value, expected.density.value, max_relative = 5e-5);
        assert_relative_eq!(found.viscosity.value, expected.viscosity.value, max_relative = 1e-5);
    }

    proptest! {
        #[test]
        fn saturation_is_that_of_the_formulas(at_k in 240.0..319.9_f64) {
            close(
                &GRID.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap(),
                &TestFluid.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap(),
            );
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(at_k))).unwrap();
            close(&GRID.at_dew(DewTemperature::new(temperature(at_k))).unwrap(), &dew);
            prop_assert!((GRID.dew_temperature(dew.pressure).unwrap().get().value - at_k).abs() < 2e-4);
        }

        #[test]
        fn both_ways_into_the_vapour_agree_with_the_formulas(dew_k in 240.1..319.9_f64, superheat in 0.0..104.9_f64) {
            let pressure = TestFluid.at_dew(DewTemperature::new(temperature(dew_k))).unwrap().pressure;
            let expected = TestFluid.vapour_at(pressure, temperature(dew_k + superheat + 1e-3)).unwrap();
            close(&GRID.vapour(pressure, expected.enthalpy).unwrap(), &expected);
            let by_temperature = GRID.vapour_at(pressure, expected.temperature).unwrap();
            close(&by_temperature, &expected);
            let back = GRID.vapour(pressure, by_temperature.enthalpy).unwrap();
            prop_assert!((back.temperature.value - expected.temperature.value).abs() < 1e-6);
        }

        #[test]
        fn both_ways_into_the_liquid_agree_with_the_formulas(bubble_k in 240.1..319.9_f64, subcooling in 0.0..39.9_f64) {
            let pressure = TestFluid.at_bubble(BubbleTemperature::new(temperature(bubble_k))).unwrap().pressure;
            let expected = TestFluid.liquid_at(pressure, temperature(bubble_k - subcooling - 1e-3)).unwrap();
            close(&GRID.liquid(pressure, expected.enthalpy).unwrap(), &expected);
            close(&GRID.liquid_at(pressure, expected.temperature).unwrap(), &expected);
        }

        #[test]
        fn regions_join_the_saturation_line_without_a_step(at_k in 240.0..319.9_f64) {
            let dew = GRID.at_dew(DewTemperature::new(temperature(at_k))).unwrap();
            let same = GRID.vapour(dew.pressure, dew.enthalpy).unwrap();
            prop_assert!((same.density.value / dew.density.value - 1.0).abs() < 1e-9);
            let bubble = GRID.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap();
            let same = GRID.liquid(bubble.pressure, bubble.enthalpy).unwrap();
            prop_assert!((same.density.value / bubble.density.value - 1.0).abs() < 1e-9);
        }
    }

    /// Heat capacity that changes along the superheat: the first guess of the search lands in another interval, on either
    /// side, and must still be led home.
    #[test]
    fn enthalpy_is_inverted_where_heat_capacity_bends() {
        for bend in [-3.0, -1.0, 2.0, 20.0] {
            let mut data = columns();
            let width = data.vapour.distance_k.len();
            for (cell, enthalpy) in data.vapour.enthalpy_j_kg.iter_mut().enumerate() {
                *enthalpy += bend * data.vapour.distance_k[cell % width].powi(2);
            }
            let grid = GridRefrigerant::new(&data).unwrap();
            for dew_k in [241.0, 280.0, 319.0] {
                let pressure = grid.at_dew(DewTemperature::new(temperature(dew_k))).unwrap().pressure;
                for superheat in 0..=104 {
                    let asked = grid.vapour_at(pressure, temperature(dew_k + f64::from(superheat))).unwrap();
                    let found = grid.vapour(pressure, asked.enthalpy).unwrap();
                    assert_relative_eq!(found.temperature.value, asked.temperature.value, epsilon = 1e-6);
                    assert_relative_eq!(
                        found.saturation_distance.value,
                        f64::from(superheat),
                        epsilon = 1e-6
                    );
                }
            }
        }
    }

    #[test]
    fn a_saturated_state_handed_back_with_rounding_is_still_saturated() {
        let dew = GRID.at_dew(DewTemperature::new(temperature(280.0))).unwrap();
        for below in [1e-10, 5e-10] {
            let found = GRID.vapour_at(dew.pressure, temperature(dew.temperature.value - below)).unwrap();
            assert_relative_eq!(found.saturation_distance.value, 0.0, epsilon = 1e-12);
        }
        assert!(GRID.vapour_at(dew.pressure, temperature(dew.temperature.value - 1e-6)).is_err());
        let less = |by: f64| SpecificEnthalpy::new::<joule_per_kilogram>(dew.enthalpy.value - by);
        assert!(
            GRID.vapour(dew.pressure, less(1e-7)).is_ok() && GRID.vapour(dew.pressure, less(1e-3)).is_err()
        );
    }

    #[test]
    fn beyond_the_data_is_a_typed_refusal_with_the_range() {
        let ends = GRID.ends(AbsolutePressure::from_pascal(9e6)).unwrap_err();
        assert_eq!(ends.region, Region::BubblePressure);
        assert!(ends.low < ends.high && ends.value == 9e6);
        assert_eq!(
            GRID.dew_temperature(AbsolutePressure::from_pascal(1.0)).unwrap_err().region,
            Region::DewPressure
        );
        let cold = GRID.at_dew(DewTemperature::new(temperature(200.0))).unwrap_err();
        assert_eq!(
            (cold.region, cold.value, cold.low, cold.high),
            (Region::SaturationTemperature, 200.0, 240.0, 320.0)
        );
        let pressure = GRID.at_dew(DewTemperature::new(temperature(280.0))).unwrap().pressure;
        for (found, region) in [
            (GRID.vapour_at(pressure, temperature(279.0)), Region::Superheat),
            (GRID.vapour_at(pressure, temperature(500.0)), Region::Superheat),
            (GRID.liquid_at(pressure, temperature(281.0)), Region::Subcooling),
            (GRID.liquid_at(pressure, temperature(200.0)), Region::Subcooling),
        ] {
            assert_eq!(found.unwrap_err().region, region);
        }
        let wet = SpecificEnthalpy::new::<joule_per_kilogram>(300e3);
        let (vapour, liquid) =
            (GRID.vapour(pressure, wet).unwrap_err(), GRID.liquid(pressure, wet).unwrap_err());
        assert!(vapour.region == Region::Superheat && vapour.value < 0.0);
        assert!(liquid.region == Region::Subcooling && liquid.value < 0.0);
        assert!(GRID.ends(AbsolutePressure::from_pascal(f64::NAN)).is_err());
        assert!(GRID.vapour_at(pressure, temperature(f64::NAN)).is_err());
        let nonsense = SpecificEnthalpy::new::<joule_per_kilogram>(f64::NAN);
        assert!(GRID.vapour(pressure, nonsense).is_err() && GRID.liquid(pressure, nonsense).is_err());
    }

    #[test]
    fn corners_beyond_the_equation_are_refused() {
        let mut data = columns();
        data.equation_range_k = Some((230.0, 350.0));
        let grid = GridRefrigerant::new(&data).unwrap();
        let pressure = grid.at_dew(DewTemperature::new(temperature(300.0))).unwrap().pressure;
        assert!(grid.vapour_at(pressure, temperature(349.9)).is_ok());
        let hot = grid.vapour_at(pressure, temperature(350.1)).unwrap_err();
        assert_eq!((hot.region, hot.low, hot.high), (Region::Temperature, 230.0, 350.0));
        let hot = GRID.vapour_at(pressure, temperature(350.1)).unwrap();
        assert_eq!(grid.vapour(pressure, hot.enthalpy).unwrap_err().region, Region::Temperature);
        let cold = grid.at_bubble(BubbleTemperature::new(temperature(260.0))).unwrap().pressure;
        assert_eq!(grid.liquid_at(cold, temperature(229.0)).unwrap_err().region, Region::Temperature);
        let frozen = GRID.liquid_at(cold, temperature(229.0)).unwrap();
        assert_eq!(grid.liquid(cold, frozen.enthalpy).unwrap_err().region, Region::Temperature);
    }

    #[test]
    fn distance_to_the_last_row_is_in_bubble_temperature() {
        let pressure = GRID.at_bubble(BubbleTemperature::new(temperature(300.0))).unwrap().pressure;
        assert_relative_eq!(GRID.distance_to_last_saturation(pressure).unwrap(), 20.0, epsilon = 1e-4);
    }

    #[test]
    fn columns_that_can_not_be_are_refused() {
        let broken = |change: fn(&mut GridData)| {
            let mut data = columns();
            change(&mut data);
            GridRefrigerant::new(&data).unwrap_err()
        };
        use GridError as E;
        let length = broken(|d| d.saturation.liquid_density_kg_m3.truncate(70));
        assert!(matches!(length, E::Length { column: "density_kg_m3", found: 70, wanted: 81 }));
        assert!(matches!(broken(|d| d.vapour.density_kg_m3.truncate(70)), E::Length { .. }));
        assert!(matches!(
            broken(|d| d.saturation.temperature_k[3] = 242.0),
            E::Axis { axis: "temperature_k" }
        ));
        assert!(matches!(broken(|d| d.saturation.dew_pressure_pa[7] = 1.0), E::Axis { axis: "pressure_pa" }));
        assert!(matches!(broken(|d| d.saturation.dew_pressure_pa[7] = -1.0), E::Value { position: 7, .. }));
        assert!(matches!(broken(|d| d.vapour.distance_k[0] = 1.0), E::Axis { axis: "distance_k" }));
        assert!(matches!(broken(|d| d.liquid.viscosity_pa_s[5] = f64::NAN), E::Value { position: 5, .. }));
        assert!(matches!(
            broken(|d| d.liquid.enthalpy_j_kg[5] = 9e6),
            E::Value { column: "enthalpy_j_kg", .. }
        ));
        assert!(matches!(broken(|d| d.vapour.saturation_temperature_k[0] = 239.0), E::NoSuchRow { .. }));
        assert!(matches!(broken(|d| d.vapour.saturation_temperature_k.truncate(4)), E::Axis { .. }));
    }
}
