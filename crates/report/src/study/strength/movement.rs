//! How a line may move and what carries it: growth by heat, supports, bends.

use super::{hottest, points};
use crate::{
    job::{Fittings, Leg as RouteLeg},
    study::resolve::{ResolvedLine, ResolvedSet, words},
    view::{BendView, ExpansionView, LegExpansionView, SupportView},
};
use physics::{
    sizing::Service,
    strength::{
        Temper,
        expansion::{Leg, LegFlexibility, flexibility, free_expansion, loop_length},
    },
    units::{
        Length, delta,
        unit::{length::meter, thermodynamic_temperature::degree_celsius},
    },
};
use tables::{
    Library, Sourced,
    strength::{Direction, SupportRule},
    tubes::{Form, TubeProduct},
};

/// Growth of a gas line from the temperature that it is fitted at to its hottest, or coldest.
pub(super) fn expansion(
    set: &ResolvedSet<'_>,
    line: &ResolvedLine<'_>,
    product: &TubeProduct,
    library: &Library,
) -> Option<ExpansionView> {
    let fitted = set.strength.fitted;
    let extreme = match line.service {
        Service::Discharge => hottest(set, line.service, fitted),
        Service::Suction => points(set)
            .filter_map(|point| Some(point.suction?.temperature))
            .min_by(|a, b| a.value.total_cmp(&b.value))?,
        Service::Liquid | Service::Drain => return None,
    };
    let copper = library.strength().copper();
    let (material, stress) = (copper.material(), copper.loop_stress.value);
    let (outside, warming) = (product.tube.outside(), delta(extreme, fitted));
    let route = &set.set.route;
    let straights =
        if route.short_form { Vec::new() } else { straights(route.legs.iter().map(|leg| &leg.value)) };
    let legs: Vec<Leg> = straights.iter().map(|(_, length)| Leg { length: *length, free: *length }).collect();
    let taken = flexibility(&legs, outside, warming, &material, stress).ok()?;
    let view =
        |(index, LegFlexibility { growth, utilisation, loop_length: extra }): (usize, &LegFlexibility)| {
            let beside = [index.checked_sub(1), Some(index + 1)].into_iter().flatten();
            let beside_m =
                beside.filter_map(|beside| Some(legs.get(beside)?.length.get::<meter>())).reduce(f64::max);
            Some(LegExpansionView {
                direction: straights[index].0.to_owned(),
                length_m: legs[index].length.get::<meter>(),
                growth_m: growth.get::<meter>(),
                beside_m,
                utilisation: utilisation.map(|utilisation| utilisation.value),
                taken_up: extra.is_none(),
                offset_m: loop_length(outside, *growth, material.modulus, stress).ok()?.get::<meter>(),
            })
        };
    Some(ExpansionView {
        fitted_c: fitted.get::<degree_celsius>(),
        extreme_c: extreme.get::<degree_celsius>(),
        growth_m: free_expansion(route.run(), material.expansion, warming).get::<meter>(),
        legs: taken.iter().enumerate().filter_map(view).collect(),
    })
}

/// The straight pieces of a route: legs of one direction that follow each other are one.
fn straights<'a>(legs: impl Iterator<Item = &'a RouteLeg>) -> Vec<(&'static str, Length)> {
    let mut straights: Vec<(&'static str, Length)> = Vec::new();
    for leg in legs {
        match straights.last_mut() {
            Some((direction, length)) if *direction == leg.direction.name() => *length += leg.length,
            _ => straights.push((leg.direction.name(), leg.length)),
        }
    }
    straights
}

/// Spacing of supports and the rule behind it, of the directions that the route has.
pub(super) fn spacings(
    set: &ResolvedSet<'_>,
    product: &TubeProduct,
    library: &Library,
) -> Vec<(&'static str, (SupportRule, Sourced<Length>))> {
    let has =
        |upright: bool| set.set.route.legs.iter().any(|leg| (leg.value.direction.rise() != 0.0) == upright);
    let ways = [("level", Direction::Horizontal, has(false)), ("upright", Direction::Vertical, has(true))];
    let there = ways.into_iter().filter(|(_, _, there)| *there);
    there
        .filter_map(|(name, direction, _)| {
            let spacing = library.strength().support_spacing(product.tube.outside(), direction);
            Some((name, spacing.to_take()?.clone()))
        })
        .collect()
}

/// The same as printed.
pub(super) fn supports(set: &ResolvedSet<'_>, product: &TubeProduct, library: &Library) -> Vec<SupportView> {
    let view = |(direction, (rule, spacing)): (&str, (SupportRule, Sourced<Length>))| SupportView {
        direction: direction.to_owned(),
        spacing_m: spacing.value.get::<meter>(),
        rule: rule.to_string(),
        source: words(&spacing.source),
    };
    spacings(set, product, library).into_iter().map(view).collect()
}

/// Least radius of bends, where turns are bent.
pub(super) fn bend(line: &ResolvedLine<'_>, product: &TubeProduct, library: &Library) -> Option<BendView> {
    let bent = match line.text.fittings.map(|fittings| fittings.value) {
        Some(fittings) => fittings == Fittings::Bends,
        None => product.form == Form::Coil,
    };
    let by_hand = library.strength().copper().hand_bend_radius.value * product.tube.outside().get();
    let with_bender = library.strength().bend_radius(product.tube.outside(), Temper::Annealed);
    bent.then(|| BendView {
        with_bender_m: with_bender.map(|radius| radius.value.get::<meter>()),
        by_hand_m: by_hand.get::<meter>(),
    })
}
