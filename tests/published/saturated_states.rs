//! Saturated states from published tables, and the chain from states to lift and capacity of one textbook.
//!
//! The open US DOE data set comes from the same equations of state as the grids: agreement shows that tables,
//! interpolation and reference state are right, not that the equations are. Rows that leave their tolerance (an older
//! R-404A table, ammonia of a newer equation, a page that contradicts itself) are listed in `known_exceptions.csv`.

use crate::support::*;
use physics::{
    fluid::{OutsideRange, Refrigerant, Region, State},
    units::{BubbleTemperature, DewTemperature},
};
use tables::refrigerants::PropertyBands;

/// Ammonia: the grid stands on a newer equation (Gao 2020) than the data set; stated for pressure, density, latent heat.
const NEWER_AMMONIA: f64 = 0.0008;
/// As before, heat capacity of the liquid.
const NEWER_AMMONIA_HEAT_CAPACITY: f64 = 0.002;
/// Heat capacity of the data set: up to 0.1 % where the pseudo-pure equation and the set's differ.
const DATA_SET_HEAT_CAPACITY: f64 = 0.001;
/// Four digits of the same equations; the last one may have been rounded from a rounded pressure.
const DATA_SET: f64 = 0.0005;
/// The chart of pressures is rounded to about 0.5 psi.
const CHART_ROUNDING_KPA: f64 = 0.25 * PSI_PA / 1e3;
/// Of a pseudo-pure equation (Lemmon 2003); no statement for mixtures was found.
const HEAT_CAPACITY: f64 = 0.005;
/// Latent heat goes with the slope of the vapour pressure.
const LATENT_HEAT: f64 = 0.01;
/// Stated for blends by the rules that made the grids.
const LIQUID_CONDUCTIVITY: f64 = 0.05;
const VAPOUR_CONDUCTIVITY: f64 = 0.10;
const SURFACE_TENSION: f64 = 0.05;
const ATMOSPHERE_PA: f64 = 101_325.0;

fn bands(name: &str) -> PropertyBands {
    LIBRARY.refrigerants().find(name).unwrap().bands.value
}

/// The state that the row names; a pressure in the column of temperatures means both ends at that pressure.
fn state(row: &Row) -> Result<State, OutsideRange> {
    let fluid = refrigerant(row.text("refrigerant"));
    let kind = row.text("state");
    if let Some(bar) = row.text("T_C").strip_suffix(" bar") {
        let ends = fluid.ends(pascals(1e5 * bar.parse::<f64>().unwrap()))?;
        return Ok(if kind == "dew" { ends.dew } else { ends.bubble });
    }
    let at = celsius(row.number("T_C"));
    match kind.split_whitespace().next() {
        Some("bubble" | "liquid" | "bubble-dew") => fluid.at_bubble(BubbleTemperature::new(at)),
        Some("dew") => fluid.at_dew(DewTemperature::new(at)),
        Some("vapour") => fluid.vapour_at(pascals(ATMOSPHERE_PA), at),
        _ => panic!("{}: state {kind}", row.place()),
    }
}

/// In the unit of the row.
fn found(row: &Row) -> Result<f64, OutsideRange> {
    let fluid = refrigerant(row.text("refrigerant"));
    let state = state(row)?;
    Ok(match row.text("quantity") {
        "pressure" => state.pressure.pascal() / 1e3,
        "density" => state.density.value,
        "h_dew-h_bubble" => {
            (fluid.at_dew(DewTemperature::new(state.temperature))?.enthalpy - state.enthalpy).value / 1e3
        }
        "latent heat" => {
            let ends = fluid.ends(state.pressure)?;
            (ends.dew.enthalpy - ends.bubble.enthalpy).value / 1e3
        }
        "cp" => fluid.thermal(&state)?.heat_capacity.value / 1e3,
        "viscosity" => state.viscosity.value * 1e6,
        "thermal conductivity" => fluid.thermal(&state)?.conductivity.value * 1e3,
        "surface tension" => fluid.surface_tension(BubbleTemperature::new(state.temperature))?.value * 1e3,
        other => panic!("{}: quantity {other}", row.place()),
    })
}

/// What the row may differ by: its own rounding, and what is stated for the model behind the grid.
fn tolerance(row: &Row) -> f64 {
    let (name, quantity, source) = (row.text("refrigerant"), row.text("quantity"), row.text("source"));
    if source.starts_with("US DOE") {
        return match (name, quantity) {
            ("R-717", "cp") => NEWER_AMMONIA_HEAT_CAPACITY,
            ("R-717", _) => NEWER_AMMONIA,
            (_, "cp") => DATA_SET_HEAT_CAPACITY,
            _ => DATA_SET,
        };
    }
    let bands = bands(name);
    let vapour = row.text("state").starts_with("vapour");
    let model = match quantity {
        "pressure" => bands.pressure.value,
        "density" => bands.density.value,
        "cp" => HEAT_CAPACITY,
        "latent heat" => LATENT_HEAT,
        "viscosity" if vapour => bands.vapour_viscosity.value,
        "viscosity" => bands.liquid_viscosity.value,
        "thermal conductivity" if vapour => VAPOUR_CONDUCTIVITY,
        "thermal conductivity" => LIQUID_CONDUCTIVITY,
        "surface tension" => SURFACE_TENSION,
        other => panic!("{}: quantity {other}", row.place()),
    };
    let rounding =
        if source.contains("P-T chart") { CHART_ROUNDING_KPA } else { row.print_rounding("value") };
    model + rounding / row.number("value")
}

/// Where a row comes from, in a word.
fn group(row: &Row) -> &'static str {
    let source = row.text("source");
    let groups = [
        ("US DOE", "US DOE data set"),
        ("P-T chart", "P-T chart of a supplier"),
        ("property page", "property page of a supplier"),
        ("older model", "older R-404A table"),
        ("R134a saturation table", "R-134a table"),
    ];
    groups
        .iter()
        .find(|(part, _)| source.contains(part))
        .unwrap_or_else(|| panic!("{}: {source}", row.place()))
        .1
}

#[test]
fn every_published_row() {
    let mut known = Known::of("saturated_states.csv", 0.0);
    let mut tallies = std::collections::BTreeMap::new();
    let (mut too_cold, mut near_critical, mut not_ours, mut identity) = (0, 0, 0, 0);
    for row in read("published/data/saturated_states.csv") {
        if row.text("source").contains("do not use") {
            // The page held against CoolProp's own mixture transport: no value of ours stands on that. The same numbers
            // are compared with ours in the rows beside.
            not_ours += 1;
            continue;
        }
        if matches!(row.text("state"), "-" | "critical") {
            identity += 1;
            continue;
        }
        match found(&row) {
            Ok(found) => {
                let name = format!("{}: {}", group(&row), row.text("quantity"));
                let tally = tallies.entry(name.clone()).or_insert_with(|| Tally::new(name));
                known.compare(tally, &Known::key(&row), found, row.number("value"), tolerance(&row));
            }
            // Outside the grid: refused, not extrapolated.
            Err(refusal) => {
                assert_eq!(refusal.region, Region::SaturationTemperature, "{}", row.place());
                if refusal.value < refusal.low {
                    too_cold += 1;
                } else {
                    near_critical += 1;
                }
            }
        }
    }
    let compared: usize = tallies.into_values().map(Tally::finish_and_count).sum();
    let listed = known.finish();
    println!(
        "{compared} rows within tolerance, {listed} known exceptions, {too_cold} colder and {near_critical} hotter than \
         the grid, {not_ours} about a model that is not used, {identity} of identity (below)"
    );
    // R-134a at -80 °C; R-744 at 30 °C, less than 1 K below critical.
    assert_eq!((too_cold, near_critical, not_ours, identity), (2, 5, 2, 6));
    assert_eq!(compared + listed, 280);
}

/// Molar masses and the critical point of R-410A, as the table of refrigerants has them.
#[test]
fn molar_masses_and_a_critical_point() {
    let ours = read("../data/refrigerants/refrigerants.csv");
    let mut tally = Tally::new("molar mass and critical point");
    for row in read("published/data/saturated_states.csv") {
        let name = row.text("refrigerant");
        let ours = ours.iter().find(|row| row.text("refrigerant") == name).unwrap();
        // Printed digits of either side.
        let (found, rounding) = match (row.text("state"), row.text("quantity")) {
            ("-", "molar mass") => (ours.number("molar_mass_g_mol"), 0.0005),
            ("critical", "Tc+273.15") => (ours.number("critical_temperature_c") + 273.15, 0.005),
            ("critical", "pressure") => (ours.number("critical_pressure_kpa"), 0.05),
            _ => continue,
        };
        let what = format!("{name} {}", row.text("quantity"));
        tally.absolute(&what, found, row.number("value"), row.print_rounding("value") + rounding);
    }
    tally.finish(6);
}

/// Hundy, Trott, Welch "Refrigeration and Air-Conditioning", Examples 10.3 and 11.1 (open companion): the refrigerant is
/// R-404A by its values, of an older model.
mod textbook_chain {
    use super::*;
    use physics::{
        heat::Linear,
        line::{Phase, Tolerance, march_with_heat},
        units::{ThermalConductivity, unit::thermal_conductivity::watt_per_meter_kelvin},
    };

    /// The book's model: vapour 1.2 % denser, liquid enthalpy 2.4 kJ/kg lower, dew line for bubble line.
    const OLDER_MODEL: f64 = 0.013;

    fn printed(id: &str) -> f64 {
        let rows = read("published/data/flash_and_capacity.csv");
        rows.iter().find(|row| row.text("id") == id).unwrap_or_else(|| panic!("no row {id}")).number("value")
    }

    #[test]
    fn lift_that_uses_up_the_subcooling() {
        // Ratios of close pressures: the book's dew for bubble cancels, its density is 0.3 % off.
        const LIFT: f64 = 0.005;
        let fluid = refrigerant("R-404A");
        let (condensing, liquid) = (bubble(fluid, celsius(34.0)), bubble(fluid, celsius(30.0)));
        let mut tally = Tally::new("R-404A flash margin against lift");
        tally.relative("L1a", dew(fluid, celsius(34.0)).pressure.pascal() / 1e5, printed("L1a"), OLDER_MODEL);
        tally.relative("L1b", dew(fluid, celsius(30.0)).pressure.pascal() / 1e5, printed("L1b"), OLDER_MODEL);
        tally.relative("L1c", liquid.density.value, printed("L1c"), OLDER_MODEL);
        // The book's way: liquid of constant temperature, so flashing begins where the bubble line has come down to it.
        let entering = fluid.liquid_at(condensing.pressure, celsius(30.0)).unwrap();
        let rise = |height_m: f64| {
            let riser = line(bore_mm(8.0), DRAWN_COPPER_UM, vec![leg(height_m, height_m)]);
            outlet(fluid, &riser, inlet(Phase::Liquid, &entering, 0.0))
        };
        let lost = rise(1.0).static_drop.value;
        let (from, to) = (condensing.pressure.pascal(), liquid.pressure.pascal());
        tally.relative("L1d", (from - to) / lost, printed("L1d"), LIFT);
        // The march: liquid that rises without heat cools by 0.16 K over this lift, which buys another 4 % of it.
        let flashes_at_m = rise(20.0).saturation_reached_at.unwrap().value;
        tally.within("L1d, cooling", flashes_at_m, printed("L1d"), 0.03..=0.05);
        // The same by 15 721 steps of 1 mm straight along CoolProp 8.0.0's isentrope (computed, not published).
        tally.relative("L1d, cooling, by CoolProp", flashes_at_m, 15.721, LIFT);
        tally.finish(6);
    }

    #[test]
    fn superheat_in_the_suction_line_costs_capacity() {
        // A ratio of densities times a ratio of enthalpy differences: the model's offsets nearly cancel.
        const RATIO: f64 = 0.005;
        let fluid = refrigerant("R-404A");
        let evaporating = dew(fluid, celsius(-35.0)).pressure;
        let gas = |at: f64| fluid.vapour_at(evaporating, celsius(at)).unwrap();
        let liquid = |at: f64| bubble(fluid, celsius(at)).enthalpy.value;
        let kilojoules = |state: State| state.enthalpy.value / 1e3;
        let mut tally = Tally::new("R-404A suction superheat");
        tally.relative("C1a", 1e3 / gas(20.0).density.value, printed("C1a"), OLDER_MODEL);
        tally.relative("C1b", 1e3 / gas(0.0).density.value, printed("C1b"), OLDER_MODEL);
        let flow_ratio = gas(0.0).density.value / gas(20.0).density.value;
        tally.relative("C1c", flow_ratio, printed("C1c"), RATIO);
        tally.relative("C1d", kilojoules(gas(20.0)), printed("C1d"), OLDER_MODEL);
        tally.relative("C1e", kilojoules(gas(0.0)), printed("C1e"), OLDER_MODEL);
        tally.relative("C1f", kilojoules(gas(-30.0)), printed("C1f"), OLDER_MODEL);
        tally.relative("C1g", liquid(40.0) / 1e3, printed("C1g"), OLDER_MODEL);
        tally.relative("C1h", liquid(35.0) / 1e3, printed("C1h"), OLDER_MODEL);
        let effect = |at: f64, liquid_at: f64| gas(at).enthalpy.value - liquid(liquid_at);
        let corrected = 10.0 * flow_ratio / effect(20.0, 40.0);
        tally.relative("C1i", corrected * effect(0.0, 35.0), printed("C1i"), RATIO);
        tally.relative("C1j", corrected * effect(-30.0, 35.0), printed("C1j"), RATIO);
        tally.finish(10);
    }

    /// Example 10.3 by the march: a suction line that gains 30 K carries gas of which 8.07 parts in 10.09 were of use.
    #[test]
    fn a_suction_line_that_gains_thirty_kelvins() {
        const RATIO: f64 = 0.005;
        let fluid = refrigerant("R-404A");
        let evaporating = dew(fluid, celsius(-35.0)).pressure;
        let entering = fluid.vapour_at(evaporating, celsius(-30.0)).unwrap();
        let inlet = inlet(Phase::Vapour, &entering, 0.02);
        // So wide that it loses no pressure, and long enough for the air around it to warm the gas: the air is found.
        let pipe = line(bore_mm(60.0), DRAWN_COPPER_UM, vec![leg(20.0, 0.0)]);
        let walk = |air_c: f64| {
            let conductance = ThermalConductivity::new::<watt_per_meter_kelvin>(0.6);
            let air = [Linear { conductance, surroundings: celsius(air_c) }];
            march_with_heat(fluid, &pipe, &air, inlet, Tolerance::default(), &mut |_| {}).unwrap().value
        };
        let (mut cold_c, mut warm_c) = (0.0, 90.0);
        for _ in 0..50 {
            let middle_c = 0.5 * (cold_c + warm_c);
            if walk(middle_c).outlet.temperature < celsius(0.0) {
                cold_c = middle_c
            } else {
                warm_c = middle_c
            }
        }
        let found = walk(warm_c);
        assert!(found.pressure_drop.value < 1e-3 * evaporating.pascal());
        let liquid = bubble(fluid, celsius(35.0)).enthalpy;
        let (useful, whole) = (found.inlet.enthalpy - liquid, found.outlet.enthalpy - liquid);
        let mut tally = Tally::new("R-404A suction line that gains 30 K");
        tally.relative("useful share", (useful / whole).value, printed("C1j") / printed("C1i"), RATIO);
        // The enthalpies of the book for the same two states.
        let gained = 1e3 * (printed("C1e") - printed("C1f"));
        tally.relative("heat", found.heat.value / 0.02, gained, RATIO);
        tally.relative("volume at its end", 1e3 / found.outlet.density.value, printed("C1b"), OLDER_MODEL);
        tally.finish(3);
    }
}
