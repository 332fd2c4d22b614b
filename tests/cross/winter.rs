//! Winter, coil and receiver against own calculations with the same equations and CoolProp 8.0.0 (`data/winter.csv` says
//! which).

use crate::support::{winter::*, *};
use physics::{
    coil_charge::{Coil, CoilCharge, Zones, coil_charge},
    condenser::SaturationReference,
    fluid::Refrigerant,
    receiver::{LiquidFull, filled, liquid_full_temperature, volume_needed},
    units::{
        BubbleTemperature, Mass, Ratio, ThermodynamicTemperature, Volume,
        unit::{mass::kilogram, ratio::ratio, thermodynamic_temperature::degree_celsius, volume::liter},
    },
    winter::{WinterCharge, winter_charge},
};

/// Print and grid together: three digits are rounded by up to 0.12 % (4.20), the density of the grid is good to 0.05 %.
const PRINTED: f64 = 1e-3;
/// Values are printed to 0.1 K. The density of the grid, good to 0.05 %, is worth 0.1 K where liquid expands by 0.5 % a kelvin.
const FULL_K: f64 = 0.1;
/// By what a held pressure makes liquid in a cold coil denser than saturated liquid, at most: what the charge leaves out. Carbon
/// dioxide, near its critical point and at a higher pressure, takes more.
const COMPRESSED: f64 = 0.01;
const COMPRESSED_CARBON_DIOXIDE: f64 = 0.012;
/// The reference takes saturated liquid and saturated vapour of R-404A both at 45 °C, hence at two pressures; a coil has one.
/// Half of the glide of 0.31 K makes the vapour 0.46 % and the liquid 0.1 % denser at the pressure whose mid temperature is
/// 45 °C: 0.2 % more liquid and some 0.25 % more charge than the reference.
const ONE_PRESSURE: f64 = 0.003;

fn rows(quantity: &str) -> Vec<Row> {
    let all = read("cross/data/winter.csv");
    assert_eq!(all.len(), 73);
    all.into_iter().filter(|row| row.text("quantity") == quantity).collect()
}

fn fluid(row: &Row) -> &'static dyn Refrigerant {
    refrigerant(row.pair("inputs", "refrigerant"))
}

fn at(row: &Row, key: &str) -> ThermodynamicTemperature {
    celsius(row.keyed("inputs", key))
}

fn share(row: &Row, key: &str) -> Ratio {
    number(row.keyed("inputs", key))
}

fn litres(row: &Row, key: &str) -> Volume {
    Volume::new::<liter>(row.keyed("inputs", key))
}

#[test]
fn flooded_shares() {
    let mut tally = Tally::new("flooded share");
    for row in rows("flooded share") {
        let what = format!("{} {}", row.place(), row.text("inputs"));
        let found = flooded_share_of(refrigerant("R-404A"), &row);
        // 0.8125 and its like stand half a digit off what is printed.
        tally.absolute(&what, found, row.number("value"), row.print_rounding("value") + 1e-9);
    }
    tally.finish(26);
}

#[test]
fn charges_for_flooding() {
    let charge = |row: &Row, operating_kg_m3: f64| -> WinterCharge {
        let liquid = BubbleTemperature::new(at(row, "liquid_c"));
        let operating = density(operating_kg_m3);
        winter_charge(fluid(row), share(row, "share"), litres(row, "volume_l"), liquid, operating)
            .unwrap()
            .value
    };
    let mut tally = Tally::new("winter charge");
    for row in rows("winter charge gross") {
        let found = charge(&row, 0.0).gross.get::<kilogram>();
        tally.relative(row.place(), found, row.number("value"), PRINTED);
    }
    for row in rows("winter charge net") {
        let found = charge(&row, row.keyed("inputs", "operating_kg_m3")).net.get::<kilogram>();
        tally.relative(row.place(), found, row.number("value"), PRINTED);
    }
    tally.finish(5);
}

/// The charge takes saturated liquid at the temperature of the air; the coil stands at the held pressure.
#[test]
fn a_held_pressure_makes_cold_liquid_hardly_denser() {
    let mut tally = Tally::new("density of cold liquid at a held pressure over that of saturated liquid");
    for name in refrigerants() {
        // 45 K of subcooling; carbon dioxide does not condense at 32 °C.
        let fluid = refrigerant(name);
        let (held_c, cold_c, most) = match name {
            "R-744" => (15.0, -30.0, COMPRESSED_CARBON_DIOXIDE),
            _ => (32.2, -12.8, COMPRESSED),
        };
        let held = bubble(fluid, celsius(held_c)).pressure;
        let compressed = fluid.liquid_at(held, celsius(cold_c)).unwrap().density;
        let saturated = bubble(fluid, celsius(cold_c)).density;
        tally.within(name, (compressed / saturated).get::<ratio>(), 1.0, 0.0..=most);
    }
    tally.finish_at_least(28);
}

#[test]
fn receivers() {
    let none = Volume::new::<liter>(0.0);
    let mut tally = Tally::new("receiver volume");
    for row in rows("receiver volume") {
        let mass = Mass::new::<kilogram>(row.keyed("inputs", "mass_kg"));
        let at = BubbleTemperature::new(at(&row, "at_c"));
        let found = volume_needed(fluid(&row), mass, share(&row, "fill"), at, none).unwrap().value;
        tally.relative(row.place(), found.get::<liter>(), row.number("value"), PRINTED);
    }
    tally.finish(6);

    let mut tally = Tally::new("liquid-full temperature, K");
    for row in rows("liquid-full temperature") {
        let (fluid, from) = (fluid(&row), BubbleTemperature::new(at(&row, "filled_at_c")));
        let filled = filled(fluid, share(&row, "fill"), from).unwrap().value;
        let full = |mass_over_volume| match liquid_full_temperature(fluid, mass_over_volume, from) {
            Ok(found) => match found.value {
                LiquidFull::At(full) => full.get().get::<degree_celsius>(),
                other => panic!("{}: {other:?}", row.place()),
            },
            Err(refused) => panic!("{}: {refused}", row.place()),
        };
        tally.absolute(row.place(), full(filled.liquid_alone), row.number("value"), FULL_K);
        // The vapour above the liquid takes some of the room that is left.
        assert!(full(filled.with_vapour) < full(filled.liquid_alone), "{}", row.place());
    }
    tally.finish(6);
}

#[test]
fn shares_of_liquid_and_vapour() {
    let mut tally = Tally::new("liquid and vapour by slip");
    let ends = |row: &Row| {
        let (fluid, at) = (fluid(row), at(row, "at_c"));
        (bubble(fluid, at).density, dew(fluid, at).density)
    };
    for row in rows("mean liquid share") {
        let (liquid, vapour) = ends(&row);
        let found = 1.0 - slip(&row).mean_void_fraction(liquid, vapour).unwrap().value.get::<ratio>();
        tally.relative(row.place(), found, row.number("value"), PRINTED);
    }
    for row in rows("void fraction") {
        let (liquid, vapour) = ends(&row);
        let found = slip(&row).void_fraction(share(&row, "quality"), liquid, vapour).unwrap();
        tally.relative(row.place(), found.value.get::<ratio>(), row.number("value"), PRINTED);
    }
    tally.finish(24);
}

#[test]
fn charge_of_a_condenser() {
    let held = |row: &Row| -> CoilCharge {
        let coil = Coil {
            volume: litres(row, "volume_l"),
            zones: Zones::new(share(row, "superheated"), share(row, "subcooled")).unwrap(),
            condensing: SaturationReference::Mid.pressure(fluid(row), at(row, "at_c")).unwrap(),
            superheat: kelvins(row.keyed("inputs", "superheat_k")),
            subcooling: kelvins(row.keyed("inputs", "subcooling_k")),
        };
        coil_charge(fluid(row), &coil, slip(row)).unwrap().value
    };
    let tolerance = |row: &Row| row.print_rounding("value") + ONE_PRESSURE * row.number("value");
    let mut tally = Tally::new("charge of a condenser");
    for row in rows("condenser charge") {
        tally.absolute(row.place(), held(&row).mass.get::<kilogram>(), row.number("value"), tolerance(&row));
    }
    for row in rows("condenser liquid share") {
        let found = held(&row).liquid_share.get::<ratio>();
        tally.absolute(row.place(), found, row.number("value"), tolerance(&row));
    }
    tally.finish(6);
}
