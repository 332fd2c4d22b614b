//! Winter and receiver against articles of the trade and a library's documentation (`data/winter.csv`).

use crate::support::{winter::*, *};
use physics::{
    fluid::Refrigerant,
    receiver::{Receiver, volume_needed},
    units::{
        BubbleTemperature, Mass, Volume,
        unit::{mass::kilogram, ratio::ratio, volume::liter},
    },
};

/// A receiver by the rule counts all of its mass as liquid; vapour above the liquid holds up to this share of it (R-410A and its
/// like at 90 °F, a fifth of the volume free), so that the liquid stays below the limit by as much.
const VAPOUR_COUNTED_AS_LIQUID: f64 = 0.03;

fn rows(quantity: &str) -> Vec<Row> {
    let all = read("published/data/winter.csv");
    assert_eq!(all.len(), 6);
    all.into_iter().filter(|row| row.text("quantity") == quantity).collect()
}

/// The rules know no refrigerant: on one temperature basis they hold for every one, whatever its glide. Carbon dioxide has no
/// condensing at 90 °F.
fn condensing_at_90_f() -> Vec<(&'static str, &'static dyn Refrigerant)> {
    let all = refrigerants().into_iter().filter(|name| *name != "R-744");
    all.map(|name| (name, refrigerant(name) as &dyn Refrigerant)).collect()
}

#[test]
fn a_condenser_floods_as_the_trade_says() {
    let fluids = condensing_at_90_f();
    let mut tally = Tally::new("flooded share");
    for (name, fluid) in &fluids {
        for row in rows("flooded share") {
            let what = format!("{} {name}", row.place());
            let found = flooded_share_of(*fluid, &row);
            tally.absolute(&what, found, row.number("value"), row.print_rounding("value"));
        }
        for row in rows("flooded share for a multiple of the difference") {
            let what = format!("{} {name}", row.place());
            let available_f = 15.0 * row.keyed("inputs", "multiple");
            let found = flooded_share(*fluid, 90.0, 90.0 - available_f, 15.0, 1.0);
            tally.absolute(&what, found, row.number("value"), row.print_rounding("value"));
        }
    }
    tally.finish(3 * fluids.len());
}

#[test]
fn a_receiver_is_no_fuller_than_the_rules_allow() {
    let fluids = condensing_at_90_f();
    let (mass, none) = (Mass::new::<kilogram>(10.0), Volume::new::<liter>(0.0));
    let mut tally = Tally::new("fill of a receiver against its limit");
    for (name, fluid) in &fluids {
        for row in rows("receiver fill limit") {
            let at = BubbleTemperature::new(fahrenheit(row.keyed("inputs", "at_f")));
            let limit = row.number("value");
            let volume = volume_needed(*fluid, mass, number(limit), at, none).unwrap().value;
            let fill = Receiver::new(volume, none).unwrap().fill(*fluid, mass, at).unwrap().value;
            let what = format!("{} {name}", row.place());
            tally.within(&what, fill.liquid_share.get::<ratio>(), limit, -VAPOUR_COUNTED_AS_LIQUID..=0.0);
        }
    }
    tally.finish(2 * fluids.len());
}

#[test]
fn void_fraction_is_that_of_the_documentation() {
    let mut tally = Tally::new("void fraction of a slip");
    for row in rows("void fraction") {
        let input = |key| row.keyed("inputs", key);
        let (liquid, vapour) = (density(input("liquid_kg_m3")), density(input("vapour_kg_m3")));
        let found = slip(&row).void_fraction(number(input("quality")), liquid, vapour).unwrap();
        let rounding = row.print_rounding("value");
        tally.absolute(row.place(), found.value.get::<ratio>(), row.number("value"), rounding);
    }
    tally.finish(1);
}
