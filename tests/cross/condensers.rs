//! Compressors, condensers and the air between them against own calculation from the equations and with CoolProp
//! (`cross/data/condensers.csv`): the same equations on other code.

use crate::support::*;
use physics::{
    compressor::{Compressor, ConstantEfficiency, heat_rejection_factor},
    condenser::{AIR_HEAT_CAPACITY_J_KG_K, Condenser, air_density, density_factor},
    fluid::Refrigerant,
    layout::{Branch, BreakEven, Layout, Sharing, Unit},
    units::{
        Power, TemperatureInterval, ThermalConductance, Time, VolumeRate, standard_atmosphere,
        unit::{
            energy::kilowatt_hour, power::kilowatt, ratio::ratio, thermal_conductance::watt_per_kelvin,
            time::hour, volume_rate::cubic_meter_per_second,
        },
    },
    year::{Running, Sums},
};

/// Properties of the grids and three or four printed digits.
const GRID_AND_PRINT: f64 = 0.001;
const SEA_LEVEL_PA: f64 = 101_325.0;
/// The unit of all pairs: 10 kW, 1 kg/s, effectiveness 0.6, 35 °C.
const AIR_KG_S: f64 = 1.0;
const EFFECTIVENESS: f64 = 0.6;
const AIR_C: f64 = 35.0;
const HEAT_KW: f64 = 10.0;

fn rows(prefix: &str) -> Vec<Row> {
    let mut rows = read("cross/data/condensers.csv");
    rows.retain(|row| row.text("id").starts_with(prefix));
    rows
}

fn row(id: &str) -> Row {
    rows(id).into_iter().find(|row| row.text("id") == id).unwrap_or_else(|| panic!("no row {id}"))
}

/// Half a unit of the last printed digit, and a thousandth of a thousandth of the value.
fn print_rounding(row: &Row) -> f64 {
    let decimals = row.text("value").split_once('.').map_or(0, |(_, decimals)| decimals.len());
    0.500_001 * 10_f64.powi(-i32::try_from(decimals).unwrap()) + 1e-6 * row.number("value").abs()
}

fn kw(power: f64) -> Power {
    Power::new::<kilowatt>(power)
}

/// Capacity and work for each kilogram of one stage.
fn cycle(row: &Row, condensing_c: f64) -> (Power, Power) {
    let given = |key| row.keyed("inputs", key);
    let (_, name) = row.pairs("inputs")[0];
    let fluid: &dyn Refrigerant = refrigerant(&name.replacen('R', "R-", 1));
    let evaporating = celsius(given("evap_C"));
    let gas = fluid
        .vapour_at(dew(fluid, evaporating).pressure, evaporating + kelvins(given("superheat_K")))
        .unwrap();
    // The reference condenses at the bubble temperature: R-404A then has 1.4 % more pressure than at its dew temperature.
    let bubble = bubble(fluid, celsius(condensing_c));
    let condensing = bubble.pressure;
    let liquid = fluid.liquid_at(condensing, bubble.temperature - kelvins(given("subcooling_K"))).unwrap();
    let swept = VolumeRate::new::<cubic_meter_per_second>(1e-3);
    let compressor = ConstantEfficiency::new(number(given("efficiency")), swept).unwrap();
    let work = Compressor::Constant(compressor).at(fluid, &gas, condensing).unwrap().value;
    (work.mass_rate * (gas.enthalpy - liquid.enthalpy), work.power)
}

fn performance(row: &Row, condensing_c: f64) -> f64 {
    let (capacity, input) = cycle(row, condensing_c);
    (capacity / input).get::<ratio>()
}

#[test]
fn heat_rejection_and_performance() {
    let mut factors = Tally::new("heat rejection factors");
    for row in rows("HRF-") {
        let (capacity, input) = cycle(&row, row.keyed("inputs", "cond_C"));
        let factor = heat_rejection_factor(capacity, input).unwrap().get::<ratio>();
        factors.relative(row.text("id"), factor, row.number("value"), GRID_AND_PRINT);
    }
    let balance = row("THR");
    let capacity = kw(balance.keyed("inputs", "capacity_kW"));
    let rejected =
        capacity * heat_rejection_factor(capacity, kw(balance.keyed("inputs", "input_kW"))).unwrap();
    factors.relative("THR", rejected.get::<kilowatt>(), balance.number("value"), 1e-9);
    let reference = row("COP-R404A");
    factors.relative("COP", performance(&reference, 40.0), reference.number("value"), GRID_AND_PRINT);
    factors.finish(27);
    let mut slopes = Tally::new("change of COP with condensing temperature, %/K");
    for row in rows("slope-") {
        // From the point to one kelvin above it, as the reference takes it.
        let at = row.keyed("inputs", "cond_C");
        let found = 100.0 * (performance(&row, at + 1.0) / performance(&row, at) - 1.0);
        let grid = GRID_AND_PRINT * row.number("value").abs();
        slopes.absolute(row.text("id"), found, row.number("value"), print_rounding(&row) + grid);
    }
    slopes.finish(6);
}

#[test]
fn air_of_heights_and_what_it_costs() {
    let share_at = |feet: f64| standard_atmosphere(metres(feet * FOOT_M)).unwrap().pascal() / SEA_LEVEL_PA;
    let mut tally = Tally::new("standard atmosphere, density of air, altitude factors");
    for row in rows("p-") {
        let found = 14.696 * share_at(row.keyed("inputs", "Z_ft"));
        tally.relative(row.text("id"), found, row.number("value"), GRID_AND_PRINT);
    }
    for row in rows("rho-") {
        let pressure = pascals(SEA_LEVEL_PA * share_at(row.keyed("inputs", "Z_ft")));
        let found = air_density(pressure, celsius(row.keyed("inputs", "air_C"))).unwrap();
        tally.relative(row.text("id"), found.value, row.number("value"), GRID_AND_PRINT);
    }
    for row in rows("altitude-") {
        let (units, share) = (row.keyed("inputs", "NTU"), share_at(row.keyed("inputs", "Z_ft")));
        let found = density_factor(number(units), number(share)).unwrap();
        tally.relative(row.text("id"), found.get::<ratio>(), row.number("value"), GRID_AND_PRINT);
    }
    for row in rows("eps-") {
        // So thin an air leaves as warm as the refrigerant.
        let (units, thin) = (row.keyed("inputs", "NTU"), 1e-5);
        let found = thin / density_factor(number(units), number(thin)).unwrap().get::<ratio>();
        tally.relative(row.text("id"), found, row.number("value"), GRID_AND_PRINT);
    }
    tally.finish(26);
}

#[test]
fn fans_by_the_fan_laws() {
    let air = VolumeRate::new::<cubic_meter_per_second>(1.0);
    let condenser = Condenser::new(conductance(600.0), air, density(1.2), kw(0.4)).unwrap();
    let at = |speed: f64| condenser.in_air(density(1.2), number(speed)).unwrap().value;
    let mut tally = Tally::new("fan laws");
    for row in rows("fan-0") {
        let found = at(row.keyed("inputs", "speed")).fan_power.get::<kilowatt>() / 0.4;
        tally.relative(row.text("id"), found, row.number("value"), 1e-9);
    }
    let two = row("fan-two-half");
    let (half, full) = (at(two.keyed("inputs", "speed")), at(1.0));
    tally.relative("air", 2.0 * half.air_rate.value, full.air_rate.value, 1e-9);
    let power = 2.0 * (half.fan_power / full.fan_power).get::<ratio>();
    tally.relative("power", power, two.number("value"), 1e-9);
    tally.finish(4);
}

fn conductance(w_k: f64) -> ThermalConductance {
    ThermalConductance::new::<watt_per_kelvin>(w_k)
}

fn unit(circuit: usize, effectiveness: f64) -> Unit {
    let conductance = conductance(effectiveness * AIR_KG_S * AIR_HEAT_CAPACITY_J_KG_K);
    Unit {
        air_rate: mass_rate(AIR_KG_S),
        branches: vec![Branch { circuit, conductance }],
        sharing: Sharing::Split,
    }
}

fn alone(effectiveness: f64, fraction: f64) -> Layout {
    Layout::new(vec![unit(0, effectiveness)], &[vec![number(fraction)]], 1).unwrap()
}

fn pair(fractions: [f64; 4]) -> Layout {
    let rows = [[fractions[0], fractions[1]], [fractions[2], fractions[3]]];
    let rows = rows.map(|row| row.map(number).to_vec());
    Layout::new(vec![unit(0, EFFECTIVENESS), unit(1, EFFECTIVENESS)], &rows, 2).unwrap()
}

fn warmth(layout: &Layout, circuits: usize) -> Vec<TemperatureInterval> {
    layout.temperatures(&vec![kw(HEAT_KW); circuits]).unwrap()
}

#[test]
fn one_condenser_and_its_own_air() {
    let mut tally = Tally::new("one condenser in its own air");
    let free = alone(EFFECTIVENESS, 0.0);
    let free_k = warmth(&free, 1);
    let mut check = |id: &str, found: f64| {
        let row = row(id);
        tally.absolute(id, found, row.number("value"), print_rounding(&row));
    };
    check("TD", free_k[0].value);
    check("air-rise", free.states(&free_k)[0].outlet.value);
    for row in rows("r-") {
        let (effectiveness, fraction) =
            (row.keyed("inputs", "effectiveness"), row.keyed("inputs", "fraction"));
        let heat = |fraction| alone(effectiveness, fraction).heats(&[kelvins(15.0)])[0];
        check(row.text("id"), (heat(fraction) / heat(0.0)).get::<ratio>());
    }
    check("TD-increase", 100.0 * (warmth(&alone(EFFECTIVENESS, 0.1), 1)[0].value / free_k[0].value - 1.0));
    let limit = kelvins(row("break-even-own").keyed("inputs", "limit_C") - AIR_C);
    let at = |found: BreakEven| match found {
        BreakEven::At(fraction) => fraction.get::<ratio>(),
        other => panic!("{other:?}"),
    };
    check("break-even-own", at(free.break_even(0, 0, &[kw(HEAT_KW)], &[limit]).unwrap()));
    let stack = pair([0.0; 4]);
    check("break-even-stack", at(stack.break_even(1, 0, &[kw(HEAT_KW); 2], &[limit; 2]).unwrap()));
    for row in rows("flooded-") {
        let given = |key: &str| row.keyed("inputs", key);
        let heat = |fahrenheit: f64| free.heats(&[kelvins(fahrenheit / 1.8)])[0];
        let needed = given("load") * heat(given("TD_F"));
        let active = (needed / heat(given("set_F") - given("ambient_F"))).get::<ratio>();
        check(row.text("id"), (1.0 - active).max(0.0));
    }
    tally.finish(43);
}

#[test]
fn pairs() {
    let mut tally = Tally::new("pairs of condensers");
    for row in rows("pair-") {
        let text = row.pairs("inputs")[0].1;
        let fractions: Vec<f64> = text.split(' ').map(|one| one.parse().unwrap()).collect();
        let layout = pair(fractions.try_into().unwrap());
        let upper = usize::from(row.pairs("inputs")[1].1 == "upper");
        let warm = warmth(&layout, 2);
        let found = match row.text("topic") {
            "inlet_C" => AIR_C + layout.states(&warm)[upper].inlet.value,
            "condensing_C" => AIR_C + warm[upper].value,
            // At 51.57 °C, rounded as it is.
            "heat_kW" => layout.heats(&[kelvins(51.57 - AIR_C); 2])[upper].get::<kilowatt>(),
            other => panic!("{}: {other}", row.place()),
        };
        tally.absolute(row.text("id"), found, row.number("value"), print_rounding(&row));
    }
    tally.finish(14);
}

/// A year of four bins with a Carnot fraction for a compressor, which is the example's: only the sums are the engine's.
#[test]
fn energy_of_a_year_in_bins() {
    let row = row("bins");
    let (capacity_kw, evaporating_k) =
        (row.keyed("inputs", "capacity_kW"), row.keyed("inputs", "evap_C") + 273.15);
    let conductance_kw_k = row.keyed("inputs", "conductance_kW_K");
    let mut sums = Sums::default();
    for (air_c, hours) in [(35.0, 100.0), (25.0, 1500.0), (15.0, 3000.0), (5.0, 4160.0)] {
        let input_kw = |condensing_c: f64| {
            capacity_kw / (0.45 * evaporating_k / (condensing_c + 273.15 - evaporating_k))
        };
        let mut condensing_c: f64 = 40.0;
        for _ in 0..100 {
            condensing_c = air_c + (capacity_kw + input_kw(condensing_c)) / conductance_kw_k;
        }
        let floor = condensing_c.max(25.0);
        let running = Running::at(kw(capacity_kw), kw(input_kw(floor)), kw(capacity_kw)).unwrap();
        sums.add(Time::new::<hour>(hours), &running, kw(capacity_kw), condensing_c < 25.0, false);
    }
    let mut tally = Tally::new("energy of a year, kWh");
    tally.relative("bins", sums.energy.get::<kilowatt_hour>(), row.number("value"), GRID_AND_PRINT);
    tally.finish(1);
}
