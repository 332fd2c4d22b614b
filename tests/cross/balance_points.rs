//! Compressors and condensers in balance against the same balance by another solver on CoolProp itself
//! (`cross/data/balances.csv`, made by `data/generate/balance_points.py`): four refrigerants, one condenser and two stacked, and
//! one with a discharge line.

use crate::support::*;
use physics::{
    balance::{Circuit, Tube, balance},
    compressor::{Compressor, ConstantEfficiency},
    fluid::Refrigerant,
    layout::{Branch, Layout, Sharing, Unit},
    units::{
        ThermalConductance, VolumeRate,
        unit::{thermal_conductance::watt_per_kelvin, volume_rate::cubic_meter_per_second},
    },
};

#[test]
fn balances_by_another_solver() {
    // The grids give pressure and density within a few 1e-5 of the equations that made them; the solver here stops at 1e-9. A
    // capacity is a difference of enthalpies, each within some J/kg.
    const PRESSURE: f64 = 3e-5;
    const RATE: f64 = 3e-5;
    const POWER: f64 = 3e-5;
    const HEAT: f64 = 1e-4;
    let rows = read("cross/data/balances.csv");
    let [mut pressures, mut rates, mut heats, mut powers] =
        ["condensing and outlet pressure", "mass rate", "capacity and heat rejected", "power"]
            .map(Tally::new);
    for first in rows.iter().filter(|row| row.text("case").ends_with(".1")) {
        let given = |column: &str| first.number(column);
        let fluid = refrigerant(first.text("refrigerant"));
        let evaporating = celsius(given("evaporating_c"));
        let suction = fluid
            .vapour_at(dew(fluid, evaporating).pressure, evaporating + kelvins(given("superheat_k")))
            .unwrap();
        let count = given("circuits") as usize;
        let pipe = (given("length_m") > 0.0).then(|| {
            line(bore_mm(1e3 * given("bore_m")), DRAWN_COPPER_UM, vec![leg(given("length_m"), 0.0)])
        });
        let circuit = |share: f64| {
            let swept = VolumeRate::new::<cubic_meter_per_second>(share * given("swept_m3_s"));
            let compressor = ConstantEfficiency::new(number(given("efficiency")), swept).unwrap();
            Circuit {
                fluid,
                suction,
                compressor: Compressor::Constant(compressor),
                subcooling: kelvins(given("subcooling_k")),
                lowest: None,
                suction_line: None,
                discharge_line: pipe.as_ref().map(|line| Tube { line, exchanges: &[] }),
                liquid_line: None,
            }
        };
        let unit = |circuit: usize| Unit {
            air_rate: mass_rate(given("air_kg_s")),
            branches: vec![Branch {
                circuit,
                conductance: ThermalConductance::new::<watt_per_kelvin>(given("conductance_w_k")),
            }],
            sharing: Sharing::Split,
        };
        let circuits: Vec<_> = [1.0, 0.8].into_iter().take(count).map(circuit).collect();
        // The second one, if there is one, draws of the first.
        let draw = |i: usize, j: usize| number(if (i, j) == (1, 0) { given("upper_draws") } else { 0.0 });
        let draws: Vec<Vec<_>> = (0..count).map(|i| (0..count).map(|j| draw(i, j)).collect()).collect();
        let layout = Layout::new((0..count).map(unit).collect(), &draws, count).unwrap();
        let found = balance(&circuits, &layout, celsius(given("outdoor_c"))).unwrap().value;
        for (index, state) in found.circuits.iter().enumerate() {
            let (number, _) = first.text("case").split_once('.').unwrap();
            let case = format!("{number}.{}", index + 1);
            let row = rows.iter().find(|row| row.text("case") == case).unwrap();
            pressures.relative(&case, state.condensing.pascal(), row.number("condensing_pa"), PRESSURE);
            pressures.relative(&case, state.compressor_outlet.pascal(), row.number("outlet_pa"), PRESSURE);
            rates.relative(&case, state.mass_rate.value, row.number("mass_rate_kg_s"), RATE);
            powers.relative(&case, state.power.value, row.number("power_w"), POWER);
            heats.relative(&case, state.capacity.value, row.number("capacity_w"), HEAT);
            heats.relative(&case, state.heat_rejection.value, row.number("heat_rejection_w"), HEAT);
        }
    }
    pressures.finish(74);
    rates.finish(37);
    powers.finish(37);
    heats.finish(74);
}
