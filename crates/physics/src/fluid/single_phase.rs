//! Superheated vapour or subcooled liquid beside its saturation line.

use super::{
    branch::{Branch, KernelState, KernelThermal, Spot},
    columns::{GridError, SurfaceColumns, axis, checked},
    interpolation::{Axis, Slice, Surfaces},
    state::{OutsideRange, Phase, Region, State},
};

/// The surface by which enthalpy is inverted.
const ENTHALPY: usize = 0;

/// A single-phase region over (saturation temperature, transformed distance), stored against its saturation branch
/// (enthalpy and entropy as difference, the rest as ratio), so that region and branch join without a step.
#[derive(Clone, Debug)]
pub(super) struct SinglePhase {
    phase: Phase,
    rows: Axis,
    /// The interval of rows that holds each interval of the saturation table.
    row_of_interval: Vec<u16>,
    distances: Axis,
    /// The transformed distances.
    columns: Axis,
    /// Enthalpy, density, viscosity.
    surfaces: Surfaces<3>,
    /// Entropy, heat capacity, conductivity.
    thermal: Surfaces<3>,
    /// Reciprocal of the mean heat capacity over the middle of each row, K kg/J: a first guess of the distance.
    kelvin_per_rise: Vec<f64>,
}

/// How a column is stored against the saturation branch.
#[derive(Clone, Copy)]
enum Relation {
    Difference,
    Ratio,
}

impl SinglePhase {
    pub(super) fn new(phase: Phase, branch: &Branch, data: &SurfaceColumns) -> Result<Self, GridError> {
        let rows = axis("saturation_temperature_k", &data.saturation_temperature_k)?;
        let distances = axis("distance_k", &data.distance_k)?;
        if distances.low() != 0.0 {
            return Err(GridError::Axis { axis: "distance_k" });
        }
        let columns = data.distance_k.iter().map(|&distance_k| column_of(phase, distance_k)).collect();
        let columns = Axis::new(columns).ok_or(GridError::Axis { axis: "distance_k" })?;
        let (width, cells) = (data.distance_k.len(), rows.nodes().len() * data.distance_k.len());
        // The saturation table's own value at each row's temperature.
        let nearest =
            rows.nodes().iter().map(|&row_k| row_spot(branch, row_k)).collect::<Result<Vec<_>, _>>()?;
        // On the line itself exactly the branch, whatever digits the two tables were printed with.
        let against = |column, values, relation, saturated: &dyn Fn(Spot) -> f64| {
            let values = checked(column, values, cells, matches!(relation, Relation::Ratio))?;
            let related = values.iter().enumerate().map(|(cell, &value)| match (cell % width, relation) {
                (0, Relation::Difference) => 0.0,
                (0, Relation::Ratio) => 1.0,
                (_, Relation::Difference) => value - saturated(nearest[cell / width]),
                (_, Relation::Ratio) => value / saturated(nearest[cell / width]),
            });
            Ok::<Vec<f64>, GridError>(related.collect())
        };
        use Relation::{Difference, Ratio};
        let density =
            against("density_kg_m3", &data.density_kg_m3, Ratio, &|spot| branch.density_kg_m3(spot))?;
        let enthalpy =
            against("enthalpy_j_kg", &data.enthalpy_j_kg, Difference, &|spot| branch.enthalpy_j_kg(spot))?;
        let viscosity =
            against("viscosity_pa_s", &data.viscosity_pa_s, Ratio, &|spot| branch.viscosity_pa_s(spot))?;
        if let Some(position) =
            (1..cells).find(|k| k % width != 0 && sense(phase) * (enthalpy[*k] - enthalpy[k - 1]) <= 0.0)
        {
            return Err(GridError::Value {
                column: "enthalpy_j_kg",
                value: data.enthalpy_j_kg[position],
                position,
            });
        }
        let entropy = against("entropy_j_kg_k", &data.entropy_j_kg_k, Difference, &|spot| {
            branch.thermal(spot).entropy_j_kg_k
        })?;
        let heat_capacity = against("heat_capacity_j_kg_k", &data.heat_capacity_j_kg_k, Ratio, &|spot| {
            branch.thermal(spot).heat_capacity_j_kg_k
        })?;
        let conductivity = against("conductivity_w_m_k", &data.conductivity_w_m_k, Ratio, &|spot| {
            branch.thermal(spot).conductivity_w_m_k
        })?;
        let row_of_interval = branch.temperature().nodes().iter().map(|&node_k| {
            let inside = node_k.clamp(rows.low(), rows.high());
            rows.interval(inside) as u16
        });
        Ok(Self {
            phase,
            row_of_interval: row_of_interval.collect(),
            surfaces: Surfaces::new(&rows, &columns, [&enthalpy, &density, &viscosity]),
            thermal: Surfaces::new(&rows, &columns, [&entropy, &heat_capacity, &conductivity]),
            kelvin_per_rise: enthalpy
                .chunks(width)
                .map(|row| data.distance_k[width / 2] / row[width / 2].abs())
                .collect(),
            rows,
            distances,
            columns,
        })
    }

    fn refuse(&self, distance_k: f64) -> OutsideRange {
        let region = match self.phase {
            Phase::Liquid => Region::Subcooling,
            Phase::Vapour => Region::Superheat,
        };
        OutsideRange { region, value: distance_k, low: self.distances.low(), high: self.distances.high() }
    }

    fn slice(&self, spot: Spot) -> Result<Slice, OutsideRange> {
        if self.rows.contains(spot.temperature_k) {
            Ok(Slice::within(
                &self.rows,
                usize::from(self.row_of_interval[spot.interval]),
                spot.temperature_k,
            ))
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
        (j, t): (usize, f64),
        distance_k: f64,
    ) -> State {
        let [enthalpy_j_kg, density, viscosity] = self.surfaces.at(slice, &self.columns, j, t);
        KernelState {
            pressure_pa,
            temperature_k: spot.temperature_k + sense(self.phase) * distance_k,
            distance_k,
            enthalpy_j_kg: branch.enthalpy_j_kg(spot) + enthalpy_j_kg,
            density_kg_m3: branch.density_kg_m3(spot) * density,
            viscosity_pa_s: branch.viscosity_pa_s(spot) * viscosity,
        }
        .of(self.phase)
    }

    /// Interval of columns and position in it; a distance off the line by rounding alone is on the line.
    fn column(&self, mut distance_k: f64) -> Result<(usize, f64), OutsideRange> {
        // A saturated state handed back as (p, T) may miss the line by the rounding of the inverse look-up.
        if distance_k < 0.0 && distance_k > -1e-9 {
            distance_k = 0.0;
        }
        if self.distances.contains(distance_k) {
            let j = self.distances.interval(distance_k);
            Ok((j, self.columns.position(j, column_of(self.phase, distance_k))))
        } else {
            Err(self.refuse(distance_k))
        }
    }

    pub(super) fn at_temperature(
        &self,
        branch: &Branch,
        spot: Spot,
        pressure_pa: f64,
        temperature_k: f64,
    ) -> Result<State, OutsideRange> {
        let slice = self.slice(spot)?;
        let distance_k = sense(self.phase) * (temperature_k - spot.temperature_k);
        let (j, t) = self.column(distance_k)?;
        Ok(self.state(branch, spot, &slice, pressure_pa, (j, t), distance_k.max(0.0)))
    }

    pub(super) fn at_enthalpy(
        &self,
        branch: &Branch,
        spot: Spot,
        pressure_pa: f64,
        enthalpy_j_kg: f64,
    ) -> Result<State, OutsideRange> {
        let slice = self.slice(spot)?;
        let sense = sense(self.phase);
        // Grows from 0 at saturation, in both regions.
        let mut rise_j_kg = sense * (enthalpy_j_kg - branch.enthalpy_j_kg(spot));
        // The same rounding as above, in J/kg.
        if rise_j_kg < 0.0 && rise_j_kg > -1e-6 {
            rise_j_kg = 0.0;
        }
        let node = |j: usize| sense * self.surfaces.node(&slice, ENTHALPY, j);
        let last = self.columns.nodes().len() - 1;
        // Lands in the right interval or beside it: heat capacity varies little along a row.
        let guess_k = rise_j_kg * self.kelvin_per_rise[slice.row()];
        if rise_j_kg.is_nan() || rise_j_kg < 0.0 {
            return Err(self.refuse(guess_k));
        }
        let mut low = self.distances.interval(guess_k.min(self.distances.high()));
        while low > 0 && node(low) > rise_j_kg {
            low -= 1;
        }
        while node(low + 1) <= rise_j_kg {
            if low + 1 == last {
                // On the last column itself, or beyond the data.
                if node(last) == rise_j_kg {
                    break;
                }
                // Carried on straight from the last interval: the first guess may lie within the data.
                let beyond = (rise_j_kg - node(low)) / (node(last) - node(low));
                return Err(self.refuse(self.distances.value(low, beyond)));
            }
            low += 1;
        }
        // Enthalpy is nearly straight over distance: a start good to the bend of heat capacity within the interval.
        let (near, far) = (node(low), node(low + 1));
        let start_k = self.distances.value(low, (rise_j_kg - near) / (far - near));
        let start = self.columns.position(low, column_of(self.phase, start_k));
        let cubic = self.surfaces.cubic(&slice, ENTHALPY, &self.columns, low);
        let t = cubic.position_from(start, sense * rise_j_kg);
        let distance_k = distance_of(self.phase, self.columns.value(low, t));
        Ok(self.state(branch, spot, &slice, pressure_pa, (low, t), distance_k))
    }

    /// Entropy, heat capacity and conductivity at a distance from the line.
    pub(super) fn thermal(
        &self,
        branch: &Branch,
        spot: Spot,
        distance_k: f64,
    ) -> Result<KernelThermal, OutsideRange> {
        let slice = self.slice(spot)?;
        let (j, t) = self.column(distance_k)?;
        let [entropy_j_kg_k, heat_capacity, conductivity] = self.thermal.at(&slice, &self.columns, j, t);
        let saturated = branch.thermal(spot);
        Ok(KernelThermal {
            entropy_j_kg_k: saturated.entropy_j_kg_k + entropy_j_kg_k,
            heat_capacity_j_kg_k: saturated.heat_capacity_j_kg_k * heat_capacity,
            conductivity_w_m_k: saturated.conductivity_w_m_k * conductivity,
        })
    }
}

/// The sense in which temperature moves with distance from the line.
pub(super) fn sense(phase: Phase) -> f64 {
    match phase {
        Phase::Liquid => -1.0,
        Phase::Vapour => 1.0,
    }
}

/// Superheat rows crowd at the dew line, where properties bend most: their axis is `sqrt(superheat + 2)`.
fn column_of(phase: Phase, distance_k: f64) -> f64 {
    match phase {
        Phase::Liquid => distance_k,
        Phase::Vapour => (distance_k + 2.0).sqrt(),
    }
}

fn distance_of(phase: Phase, column: f64) -> f64 {
    match phase {
        Phase::Liquid => column,
        Phase::Vapour => column * column - 2.0,
    }
}

/// The row of the saturation table at a temperature that must be one of its rows.
pub(super) fn row_spot(branch: &Branch, row_k: f64) -> Result<Spot, GridError> {
    let nodes = branch.temperature().nodes();
    let refuse = GridError::NoSuchRow { axis: "saturation_temperature_k", value_k: row_k };
    if !nodes.iter().any(|&node_k| (node_k - row_k).abs() < 1e-6) {
        return Err(refuse);
    }
    branch.spot_at_temperature(row_k).map_err(|_| refuse)
}
