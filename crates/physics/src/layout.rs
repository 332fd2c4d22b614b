//! Condensers that stand together: who draws whose discharge air, and what that does to every circuit.
//!
//! All temperatures here are differences above the outdoor air. Heat of each circuit is linear in the temperatures of all
//! of them, so that one linear system answers for a given duty, and none is needed for given temperatures.

use crate::{
    condenser::AIR_HEAT_CAPACITY_J_KG_K,
    units::{MassRate, Power, Ratio, TemperatureInterval, ThermalConductance},
};
use nalgebra::{DMatrix, DVector};
use thiserror::Error;
use uom::si::{
    mass_rate::kilogram_per_second, power::watt, ratio::ratio, temperature_interval::kelvin,
    thermal_conductance::watt_per_kelvin,
};

/// How several circuits share one housing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sharing {
    /// Each has a part of the face, and the air that goes through it.
    Split,
    /// Their tubes alternate in one block of fins, and all air passes all of them.
    Interlaced,
}

/// One circuit in one condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Index of the circuit.
    pub circuit: usize,
    /// Heat that it rejects there for each kelvin above the entering air, all circuits of the housing being equally warm.
    pub conductance: ThermalConductance,
}

/// One condenser: its air and the circuits in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Air that it moves.
    pub air_rate: MassRate,
    /// The circuits in it; at least one.
    pub branches: Vec<Branch>,
    /// How they share it.
    pub sharing: Sharing,
}

/// Why condensers can not stand together like this.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum LayoutError {
    /// The matrix is not as many rows and columns as there are condensers.
    #[error("the recirculation fractions do not match the number of condensers")]
    Shape,
    /// A fraction outside 0 to 1.
    #[error(
        "the recirculation fraction {fraction} of condenser {drawing} from condenser {from} is not between 0 and 1"
    )]
    Fraction {
        /// Condenser that draws, from 0.
        drawing: usize,
        /// Condenser whose air it draws.
        from: usize,
        /// The fraction.
        fraction: f64,
    },
    /// A condenser that draws nothing but discharge air.
    #[error("condenser {drawing} draws no outdoor air: its recirculation fractions sum to {sum}")]
    NoFreshAir {
        /// Condenser that draws, from 0.
        drawing: usize,
        /// Sum of its fractions.
        sum: f64,
    },
    /// More discharge air is drawn than there is.
    #[error("{drawn} times the discharge air of condenser {from} is drawn in again")]
    MoreThanDischarged {
        /// Condenser whose air is drawn, from 0.
        from: usize,
        /// Share of it that is drawn, above 1.
        drawn: f64,
    },
    /// A condenser without air, without circuit, or with more conductance than its air can carry.
    #[error("condenser {unit} moves {air_w_k} W/K of air and shall take {heat_w_k} W/K")]
    Unit {
        /// The condenser, from 0.
        unit: usize,
        /// Heat capacity rate of its air.
        air_w_k: f64,
        /// Sum of the conductances of its circuits.
        heat_w_k: f64,
    },
    /// A circuit that no condenser serves.
    #[error("no condenser serves circuit {circuit}")]
    NoCondenser {
        /// The circuit, from 0.
        circuit: usize,
    },
    /// The linear system has no solution.
    #[error("the air of the condensers can not be solved")]
    Singular,
}

/// Air and heat of one condenser.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitState {
    /// Entering air above the outdoor air.
    pub inlet: TemperatureInterval,
    /// Leaving air above the outdoor air.
    pub outlet: TemperatureInterval,
    /// Heat of each of its branches.
    pub heats: Vec<Power>,
}

/// Condensers in their places.
#[derive(Clone, Debug)]
pub struct Layout {
    units: Vec<Unit>,
    recirculation: DMatrix<f64>,
    blocks: Vec<Block>,
    /// Entering air of each condenser for each kelvin of each circuit.
    inlets: DMatrix<f64>,
    /// Heat of each circuit for each kelvin of each circuit, W/K.
    conductances: DMatrix<f64>,
}

/// One condenser as linear algebra sees it: `Q_k = sum_j of_circuits[k][j] theta_j - of_inlet[k] theta_in`.
#[derive(Clone, Debug)]
struct Block {
    air_w_k: f64,
    of_circuits: DMatrix<f64>,
    of_inlet: Vec<f64>,
}

impl Block {
    fn of(index: usize, unit: &Unit) -> Result<Self, LayoutError> {
        let air_w_k = unit.air_rate.get::<kilogram_per_second>() * AIR_HEAT_CAPACITY_J_KG_K;
        let conductances: Vec<f64> =
            unit.branches.iter().map(|branch| branch.conductance.get::<watt_per_kelvin>()).collect();
        let heat_w_k: f64 = conductances.iter().sum();
        let sound = conductances.iter().all(|conductance| *conductance > 0.0);
        if conductances.is_empty() || !sound || air_w_k.is_nan() || heat_w_k >= air_w_k {
            return Err(LayoutError::Unit { unit: index, air_w_k, heat_w_k });
        }
        let count = conductances.len();
        let (of_circuits, of_inlet) = match unit.sharing {
            Sharing::Split => {
                (DMatrix::from_diagonal(&DVector::from_vec(conductances.clone())), conductances)
            }
            Sharing::Interlaced => {
                // Along the air's way: d theta/dx = sum_k n_k (theta_k - theta), integrated from inlet to outlet.
                let effectiveness = heat_w_k / air_w_k;
                let transfer_units = -(-effectiveness).ln_1p();
                let units_of = |k: usize| transfer_units * conductances[k] / heat_w_k;
                let common = effectiveness / transfer_units;
                let matrix = DMatrix::from_fn(count, count, |k, j| {
                    let own = if k == j { 1.0 } else { 0.0 };
                    let weight = units_of(j) / transfer_units;
                    air_w_k * units_of(k) * (own - weight + weight * common)
                });
                (matrix, (0..count).map(|k| air_w_k * units_of(k) * common).collect())
            }
        };
        Ok(Self { air_w_k, of_circuits, of_inlet })
    }

    fn heats_w(&self, circuits_k: &[f64], inlet_k: f64) -> Vec<f64> {
        let warmth = &self.of_circuits * DVector::from_column_slice(circuits_k);
        warmth.iter().zip(&self.of_inlet).map(|(warm, share)| warm - share * inlet_k).collect()
    }
}

impl Layout {
    /// `recirculation[i][j]` is the share of the intake of condenser `i` that is discharge air of condenser `j` (mass).
    ///
    /// # Errors
    /// [`LayoutError`].
    pub fn new(units: Vec<Unit>, recirculation: &[Vec<Ratio>], circuits: usize) -> Result<Self, LayoutError> {
        let count = units.len();
        if recirculation.len() != count || recirculation.iter().any(|row| row.len() != count) {
            return Err(LayoutError::Shape);
        }
        let recirculation = DMatrix::from_fn(count, count, |i, j| recirculation[i][j].get::<ratio>());
        let blocks = units
            .iter()
            .enumerate()
            .map(|(index, unit)| Block::of(index, unit))
            .collect::<Result<Vec<_>, _>>()?;
        check(&recirculation, &blocks)?;
        let served =
            |circuit| units.iter().flat_map(|unit| &unit.branches).any(|branch| branch.circuit == circuit);
        if let Some(circuit) = (0..circuits).find(|circuit| !served(*circuit)) {
            return Err(LayoutError::NoCondenser { circuit });
        }
        if units.iter().flat_map(|unit| &unit.branches).any(|branch| branch.circuit >= circuits) {
            return Err(LayoutError::Shape);
        }
        let (kept, of_circuits) = outlets(&units, &blocks, circuits);
        // theta_in = R theta_out and theta_out = K theta_in + B theta_c
        let mixing = DMatrix::identity(count, count) - &recirculation * DMatrix::from_diagonal(&kept);
        let inlets = mixing.lu().solve(&(&recirculation * of_circuits)).ok_or(LayoutError::Singular)?;
        let conductances = conductances(&units, &blocks, &inlets, circuits);
        Ok(Self { units, recirculation, blocks, inlets, conductances })
    }

    /// The condensers.
    #[must_use]
    pub fn units(&self) -> &[Unit] {
        &self.units
    }

    /// Share of the intake of condenser `drawing` that is discharge air of condenser `from`.
    #[must_use]
    pub fn fraction(&self, drawing: usize, from: usize) -> Option<Ratio> {
        self.recirculation.get((drawing, from)).map(|fraction| Ratio::new::<ratio>(*fraction))
    }

    /// The same with one fraction changed.
    ///
    /// # Errors
    /// [`LayoutError`].
    pub fn with_fraction(&self, drawing: usize, from: usize, fraction: Ratio) -> Result<Self, LayoutError> {
        let count = self.units.len();
        if drawing >= count || from >= count {
            return Err(LayoutError::Shape);
        }
        let rows: Vec<Vec<Ratio>> = (0..count)
            .map(|i| {
                let entry =
                    |j| if (i, j) == (drawing, from) { fraction.value } else { self.recirculation[(i, j)] };
                (0..count).map(|j| Ratio::new::<ratio>(entry(j))).collect()
            })
            .collect();
        Self::new(self.units.clone(), &rows, self.conductances.nrows())
    }

    /// Heat of each circuit where the circuits are so much warmer than the outdoor air.
    ///
    /// `[I - R (I - E)] theta_in = R E theta_c`, `Q = F (theta_c - theta_in)`, for any number of circuits in a condenser.
    /// A temperature is missing, or too many are given: nothing is computed for those.
    #[must_use]
    pub fn heats(&self, circuits: &[TemperatureInterval]) -> Vec<Power> {
        let heats = &self.conductances * self.column(circuits.iter().map(|one| one.get::<kelvin>()));
        heats.iter().map(|heat| Power::new::<watt>(*heat)).collect()
    }

    /// How much warmer than the outdoor air the circuits must be to reject these heats.
    ///
    /// # Errors
    /// [`LayoutError::Singular`].
    pub fn temperatures(&self, heats: &[Power]) -> Result<Vec<TemperatureInterval>, LayoutError> {
        let wanted = self.column(heats.iter().map(|heat| heat.get::<watt>()));
        let found = self.conductances.clone().lu().solve(&wanted).ok_or(LayoutError::Singular)?;
        Ok(found.iter().map(|one| TemperatureInterval::new::<kelvin>(*one)).collect())
    }

    /// Air and heat of every condenser where the circuits are so much warmer than the outdoor air.
    #[must_use]
    pub fn states(&self, circuits: &[TemperatureInterval]) -> Vec<UnitState> {
        let circuits_k = self.column(circuits.iter().map(|one| one.get::<kelvin>()));
        let inlets = &self.inlets * &circuits_k;
        let of = |index: usize| {
            let (unit, block) = (&self.units[index], &self.blocks[index]);
            let own: Vec<f64> = unit.branches.iter().map(|branch| circuits_k[branch.circuit]).collect();
            let heats = block.heats_w(&own, inlets[index]);
            let outlet = inlets[index] + heats.iter().sum::<f64>() / block.air_w_k;
            UnitState {
                inlet: TemperatureInterval::new::<kelvin>(inlets[index]),
                outlet: TemperatureInterval::new::<kelvin>(outlet),
                heats: heats.into_iter().map(Power::new::<watt>).collect(),
            }
        };
        (0..self.units.len()).map(of).collect()
    }

    /// Heat of each branch of one condenser where its entering air and all circuits are so warm, whoever warmed the air.
    pub(crate) fn heats_in_air(
        &self,
        unit: usize,
        circuits: &[TemperatureInterval],
        inlet: TemperatureInterval,
    ) -> Vec<Power> {
        let branches = &self.units[unit].branches;
        let own: Vec<f64> = branches.iter().map(|branch| circuits[branch.circuit].get::<kelvin>()).collect();
        let heats = self.blocks[unit].heats_w(&own, inlet.get::<kelvin>());
        heats.into_iter().map(Power::new::<watt>).collect()
    }

    /// The greatest fraction of one draw at which no circuit that rejects these heats gets warmer than its limit. The other
    /// draws stay. `BreakEven::Never` where a limit is passed without this draw, `BreakEven::Beyond` where none is passed
    /// while the draw grows as far as there is air for it.
    ///
    /// # Errors
    /// [`LayoutError`].
    pub fn break_even(
        &self,
        drawing: usize,
        from: usize,
        heats: &[Power],
        limits: &[TemperatureInterval],
    ) -> Result<BreakEven, LayoutError> {
        let within = |fraction: f64| -> Result<bool, LayoutError> {
            let changed = self.with_fraction(drawing, from, Ratio::new::<ratio>(fraction))?;
            let found = changed.temperatures(heats)?;
            Ok(found.iter().zip(limits).all(|(circuit, limit)| circuit <= limit))
        };
        if !within(0.0)? {
            return Ok(BreakEven::Never);
        }
        let most = self.greatest_fraction(drawing, from);
        if within(most)? {
            return Ok(BreakEven::Beyond(Ratio::new::<ratio>(most)));
        }
        let (mut low, mut high) = (0.0, most);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if within(middle)? { low = middle } else { high = middle }
        }
        Ok(BreakEven::At(Ratio::new::<ratio>(low)))
    }

    /// How far one draw can grow while the others stay: a hundredth of the intake stays outdoor air, and no more is drawn
    /// than discharged.
    fn greatest_fraction(&self, drawing: usize, from: usize) -> f64 {
        let others: f64 =
            (0..self.units.len()).filter(|j| *j != from).map(|j| self.recirculation[(drawing, j)]).sum();
        let air = |unit: usize| self.blocks[unit].air_w_k;
        let drawn: f64 = (0..self.units.len())
            .filter(|i| *i != drawing)
            .map(|i| self.recirculation[(i, from)] * air(i))
            .sum();
        let left = (air(from) - drawn) / air(drawing);
        (0.99 - others).min(left).max(0.0)
    }

    fn column(&self, values: impl Iterator<Item = f64>) -> DVector<f64> {
        let circuits = self.conductances.nrows();
        DVector::from_iterator(circuits, values.chain(std::iter::repeat(0.0)).take(circuits))
    }
}

/// How much of a draw a layout bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BreakEven {
    /// A limit is passed even without this draw.
    Never,
    /// The fraction at which the first limit is reached.
    At(Ratio),
    /// No limit is passed up to this fraction, the most that there is air for.
    Beyond(Ratio),
}

fn check(recirculation: &DMatrix<f64>, blocks: &[Block]) -> Result<(), LayoutError> {
    let count = blocks.len();
    for drawing in 0..count {
        for from in 0..count {
            let fraction = recirculation[(drawing, from)];
            if !(0.0..=1.0).contains(&fraction) {
                return Err(LayoutError::Fraction { drawing, from, fraction });
            }
        }
        let sum = recirculation.row(drawing).sum();
        let all_of_another = count > 1 && recirculation[(drawing, drawing)] == 0.0 && sum <= 1.0;
        if sum >= 1.0 && !all_of_another {
            return Err(LayoutError::NoFreshAir { drawing, sum });
        }
    }
    for from in 0..count {
        let drawn: f64 = (0..count).map(|i| recirculation[(i, from)] * blocks[i].air_w_k).sum();
        let drawn = drawn / blocks[from].air_w_k;
        if drawn > 1.0 + 1e-9 {
            return Err(LayoutError::MoreThanDischarged { from, drawn });
        }
    }
    Ok(())
}

/// What of its entering air's warmth each condenser's leaving air keeps, and what each circuit adds to it.
fn outlets(units: &[Unit], blocks: &[Block], circuits: usize) -> (DVector<f64>, DMatrix<f64>) {
    let kept = blocks.iter().map(|block| 1.0 - block.of_inlet.iter().sum::<f64>() / block.air_w_k);
    let mut of_circuits = DMatrix::zeros(units.len(), circuits);
    for (index, (unit, block)) in units.iter().zip(blocks).enumerate() {
        for (j, branch) in unit.branches.iter().enumerate() {
            of_circuits[(index, branch.circuit)] += block.of_circuits.column(j).sum() / block.air_w_k;
        }
    }
    (DVector::from_iterator(units.len(), kept), of_circuits)
}

fn conductances(units: &[Unit], blocks: &[Block], inlets: &DMatrix<f64>, circuits: usize) -> DMatrix<f64> {
    let mut conductances = DMatrix::zeros(circuits, circuits);
    for (index, (unit, block)) in units.iter().zip(blocks).enumerate() {
        for (k, branch) in unit.branches.iter().enumerate() {
            for (j, other) in unit.branches.iter().enumerate() {
                conductances[(branch.circuit, other.circuit)] += block.of_circuits[(k, j)];
            }
            for circuit in 0..circuits {
                conductances[(branch.circuit, circuit)] -= block.of_inlet[k] * inlets[(index, circuit)];
            }
        }
    }
    conductances
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    /// 10 kW at 1 kg/s of air and effectiveness 0.6: 16.567 K.
    fn unit(circuit: usize) -> Unit {
        Unit { air_rate: air(1.0), branches: vec![branch(circuit, 603.6)], sharing: Sharing::Split }
    }

    fn air(rate_kg_s: f64) -> MassRate {
        MassRate::new::<kilogram_per_second>(rate_kg_s)
    }

    fn branch(circuit: usize, conductance_w_k: f64) -> Branch {
        Branch { circuit, conductance: ThermalConductance::new::<watt_per_kelvin>(conductance_w_k) }
    }

    fn shares<const N: usize>(rows: [[f64; N]; N]) -> Vec<Vec<Ratio>> {
        rows.iter().map(|row| row.iter().map(|entry| Ratio::new::<ratio>(*entry)).collect()).collect()
    }

    fn pair(rows: [[f64; 2]; 2]) -> Layout {
        Layout::new(vec![unit(0), unit(1)], &shares(rows), 2).unwrap()
    }

    fn kw(heats: [f64; 2]) -> Vec<Power> {
        heats.iter().map(|heat| Power::new::<watt>(1000.0 * heat)).collect()
    }

    fn kelvins(differences: &[f64]) -> Vec<TemperatureInterval> {
        differences.iter().map(|one| TemperatureInterval::new::<kelvin>(*one)).collect()
    }

    /// The same by the printed forms `theta_in = (I - R)^-1 R q` and `Tc = theta_in + q/eps`, written out for two.
    fn by_hand(rows: [[f64; 2]; 2], heats_kw: [f64; 2]) -> [f64; 2] {
        let q = heats_kw.map(|heat| heat * 1000.0 / AIR_HEAT_CAPACITY_J_KG_K);
        let right = [rows[0][0] * q[0] + rows[0][1] * q[1], rows[1][0] * q[0] + rows[1][1] * q[1]];
        let (a, b, c, d) = (1.0 - rows[0][0], -rows[0][1], -rows[1][0], 1.0 - rows[1][1]);
        let determinant = a * d - b * c;
        let inlet =
            [(d * right[0] - b * right[1]) / determinant, (a * right[1] - c * right[0]) / determinant];
        [inlet[0] + q[0] / 0.6, inlet[1] + q[1] / 0.6]
    }

    #[test]
    fn a_condenser_alone_rejects_by_its_rating() {
        let alone = Layout::new(vec![unit(0)], &shares([[0.0]]), 1).unwrap();
        assert_relative_eq!(alone.heats(&kelvins(&[10.0]))[0].value, 6036.0, max_relative = 1e-12);
        assert_relative_eq!(
            alone.temperatures(&[Power::new::<watt>(10_000.0)]).unwrap()[0].value,
            16.567,
            max_relative = 1e-4
        );
    }

    #[test]
    fn own_air_costs_what_the_closed_form_says() {
        // Capacity factor 1/(1 + eps x), x = r/(1 - r).
        for fraction in [0.05, 0.1, 0.2, 0.3] {
            let layout = Layout::new(vec![unit(0)], &shares([[fraction]]), 1).unwrap();
            let expected = 6036.0 / (1.0 + 0.6 * fraction / (1.0 - fraction));
            assert_relative_eq!(layout.heats(&kelvins(&[10.0]))[0].value, expected, max_relative = 1e-12);
        }
    }

    #[test]
    fn break_even_of_one_is_the_closed_form() {
        // Limit 20 K above the air, 16.567 K without: x = (20/16.567 - 1)/0.6, r = x/(1 + x).
        let layout = Layout::new(vec![unit(0)], &shares([[0.0]]), 1).unwrap();
        let heats = [Power::new::<watt>(10_000.0)];
        let x = (20.0 / (10_000.0 / 603.6) - 1.0) / 0.6;
        let BreakEven::At(found) = layout.break_even(0, 0, &heats, &kelvins(&[20.0])).unwrap() else {
            panic!("not at a fraction");
        };
        assert_relative_eq!(found.value, x / (1.0 + x), max_relative = 1e-9);
        assert_eq!(layout.break_even(0, 0, &heats, &kelvins(&[16.0])).unwrap(), BreakEven::Never);
        assert!(matches!(
            layout.break_even(0, 0, &heats, &kelvins(&[5000.0])).unwrap(),
            BreakEven::Beyond(_)
        ));
    }

    #[test]
    fn two_coils_on_one_circuit_are_equally_warm() {
        let layout = Layout::new(vec![unit(0), unit(0)], &shares([[0.0, 0.0], [0.2, 0.0]]), 1).unwrap();
        let warm = layout.temperatures(&[Power::new::<watt>(12_000.0)]).unwrap();
        let states = layout.states(&warm);
        let sum: f64 = states.iter().map(|state| state.heats[0].value).sum();
        assert_relative_eq!(sum, 12_000.0, max_relative = 1e-12);
        assert!(states[1].heats[0] < states[0].heats[0], "the one that draws warm air takes less");
        assert_relative_eq!(states[1].inlet.value, 0.2 * states[0].outlet.value, max_relative = 1e-12);
    }

    #[test]
    fn equally_warm_circuits_of_one_housing_are_one_circuit_whichever_way_they_share() {
        for sharing in [Sharing::Split, Sharing::Interlaced] {
            let shared =
                Unit { air_rate: air(1.0), branches: vec![branch(0, 400.0), branch(1, 203.6)], sharing };
            let layout = Layout::new(vec![shared], &shares([[0.1]]), 2).unwrap();
            let heats = layout.heats(&kelvins(&[10.0, 10.0]));
            let one = Layout::new(vec![unit(0)], &shares([[0.1]]), 1).unwrap().heats(&kelvins(&[10.0]));
            assert_relative_eq!(heats[0].value + heats[1].value, one[0].value, max_relative = 1e-12);
            assert_relative_eq!(heats[0].value / heats[1].value, 400.0 / 203.6, max_relative = 1e-12);
        }
    }

    #[test]
    fn interlaced_circuits_warm_one_another() {
        let of = |sharing| {
            let shared =
                Unit { air_rate: air(1.0), branches: vec![branch(0, 300.0), branch(1, 300.0)], sharing };
            Layout::new(vec![shared], &shares([[0.0]]), 2).unwrap().heats(&kelvins(&[20.0, 10.0]))
        };
        let (split, interlaced) = (of(Sharing::Split), of(Sharing::Interlaced));
        assert!(interlaced[0] > split[0], "the warmer one has the cooler one's share of air too");
        assert!(interlaced[1] < split[1]);
        // Integrated in 200 000 small steps along the way of the air.
        let (air_w_k, steps) = (AIR_HEAT_CAPACITY_J_KG_K, 200_000);
        let units = -(1.0 - 600.0 / air_w_k).ln() / 2.0;
        let (mut air_k, mut taken) = (0.0, [0.0, 0.0]);
        for _ in 0..steps {
            let flows = [20.0, 10.0].map(|circuit| units / f64::from(steps) * (circuit - air_k));
            taken = [taken[0] + flows[0], taken[1] + flows[1]];
            air_k += flows[0] + flows[1];
        }
        assert_relative_eq!(interlaced[0].value, taken[0] * air_w_k, max_relative = 1e-4);
        assert_relative_eq!(interlaced[1].value, taken[1] * air_w_k, max_relative = 1e-4);
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let two = || vec![unit(0), unit(1)];
        let refused = |rows| Layout::new(two(), &shares(rows), 2).map(|_| ()).unwrap_err();
        assert!(matches!(refused([[0.0, -0.1], [0.0, 0.0]]), LayoutError::Fraction { .. }));
        assert!(matches!(refused([[0.6, 0.5], [0.0, 0.0]]), LayoutError::NoFreshAir { .. }));
        assert!(matches!(refused([[0.0, 0.0], [f64::NAN, 0.0]]), LayoutError::Fraction { .. }));
        assert!(matches!(refused([[0.3, 0.0], [0.8, 0.0]]), LayoutError::MoreThanDischarged { from: 0, .. }));
        assert_eq!(Layout::new(two(), &shares([[0.0]]), 2).map(|_| ()), Err(LayoutError::Shape));
        assert_eq!(
            Layout::new(two(), &shares([[0.0; 2]; 2]), 3).map(|_| ()),
            Err(LayoutError::NoCondenser { circuit: 2 })
        );
        let weak = Unit { branches: vec![branch(0, 1006.0)], ..unit(0) };
        assert!(matches!(
            Layout::new(vec![weak], &shares([[0.0]]), 1).map(|_| ()),
            Err(LayoutError::Unit { .. })
        ));
    }

    proptest! {
        #[test]
        fn given_duties_and_given_temperatures_are_one_answer(
            r in proptest::array::uniform4(0.0_f64..0.45), heats in proptest::array::uniform2(1.0_f64..20.0),
        ) {
            let rows = [[r[0], r[1]], [r[2], r[3]]];
            let layout = pair(rows);
            let warm = layout.temperatures(&kw(heats)).unwrap();
            let expected = by_hand(rows, heats);
            for (found, expected) in warm.iter().zip(expected) {
                prop_assert!((found.value - expected).abs() < 1e-9 * expected, "{found:?} {expected}");
            }
            for (heat, again) in kw(heats).iter().zip(layout.heats(&warm)) {
                prop_assert!((heat.value - again.value).abs() < 1e-8 * heat.value);
            }
            // All heat leaves with the air that is not drawn in again.
            let states = layout.states(&warm);
            let leaving: f64 = states.iter().enumerate().map(|(j, state)| {
                let drawn: f64 = (0..2).map(|i| rows[i][j]).sum();
                (1.0 - drawn) * AIR_HEAT_CAPACITY_J_KG_K * state.outlet.value
            }).sum();
            let rejected: f64 = kw(heats).iter().map(|heat| heat.value).sum();
            prop_assert!((leaving - rejected).abs() < 1e-8 * rejected);
        }

        #[test]
        fn more_recirculation_never_rejects_more(
            r in proptest::array::uniform4(0.0_f64..0.4), more in 0.0_f64..0.1, drawing in 0_usize..2, from in 0_usize..2,
        ) {
            let layout = pair([[r[0], r[1]], [r[2], r[3]]]);
            let fraction = layout.fraction(drawing, from).unwrap();
            let worse = layout.with_fraction(drawing, from, fraction + Ratio::new::<ratio>(more)).unwrap();
            let warm = kelvins(&[15.0, 15.0]);
            for (before, after) in layout.heats(&warm).iter().zip(worse.heats(&warm)) {
                prop_assert!(after.value <= before.value * (1.0 + 1e-12));
            }
        }
    }
}
