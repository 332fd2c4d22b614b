//! A year of outdoor air for one layout.

use super::{
    Desk, load_w,
    plant::{LineLosses, Plant},
    summer,
};
use crate::view::{LayoutYearView, WeatherView};
use physics::{
    balance::Balance,
    condenser::{InAir, air_density},
    units::{
        Power, Ratio, ThermodynamicTemperature,
        unit::{
            energy::kilowatt_hour, power::watt, ratio::ratio, thermodynamic_temperature::kelvin, time::hour,
        },
    },
    year::{FanControl, Running, Sums},
};
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};
use tables::weather::{Bin, Weather};

/// Temperatures that are solved one from the other. Their number is fixed, so that the same job gives the same answer on any
/// number of cores.
const NEIGHBOURS: usize = 32;

/// The year of a layout; none without weather.
pub(super) fn year(
    plant: &Plant<'_>,
    desk: &Desk<'_>,
    progress: &(dyn Fn(f64) + Sync),
) -> Option<LayoutYearView> {
    let bins = desk.job.attached.weather.as_ref()?.bins();
    let circuits = plant.circuits(LineLosses::Pressure).ok()?;
    let done = AtomicUsize::new(0);
    let of_neighbours = |bins_of: &[Bin]| {
        let mut near = None;
        let mut found = Vec::new();
        for bin in bins_of {
            let solved = plant.at(&circuits, bin.air, near.as_ref()).ok();
            found.push(
                solved.as_ref().and_then(|(balance, in_air)| hour_of(plant, desk, bin.air, balance, in_air)),
            );
            near = solved.map(|(balance, _)| balance).or(near);
            let done = done.fetch_add(1, Ordering::Relaxed) + 1;
            progress(0.2 + 0.8 * done as f64 / bins.len() as f64);
        }
        found
    };
    let found: Vec<Option<Hour>> = bins.par_chunks(NEIGHBOURS).flat_map_iter(of_neighbours).collect();
    Some(summed(&bins, &found, desk))
}

/// All sets at one outdoor temperature.
struct Hour {
    sets: Vec<(Running, Power)>,
    fans: Power,
    held: bool,
    above_limit: bool,
}

fn hour_of(
    plant: &Plant<'_>,
    desk: &Desk<'_>,
    air: ThermodynamicTemperature,
    balance: &Balance,
    in_air: &[InAir],
) -> Option<Hour> {
    let share =
        desk.job.year.as_ref().and_then(|year| year.load).map_or(1.0, |load| load.value.get::<ratio>());
    let mut sets = Vec::new();
    for (state, set) in balance.circuits.iter().zip(&desk.resolved.sets) {
        let needed = Power::new::<watt>(share * load_w(&summer(set)).0);
        sets.push((Running::at(state.capacity, state.power, needed).ok()?, state.capacity));
    }
    let above = |(state, set): (&physics::balance::CircuitState, &super::ResolvedSet<'_>)| {
        set.greatest_condensing.is_some_and(|greatest| state.condensing > greatest)
    };
    Some(Hour {
        fans: fans(plant, desk, air, balance, in_air, &sets),
        held: balance.circuits.iter().any(|state| state.held),
        above_limit: balance.circuits.iter().zip(&desk.resolved.sets).any(above),
        sets,
    })
}

/// Mean input of all fans: each runs as long as the busiest of its sets, as slowly or as seldom as the control asks.
fn fans(
    plant: &Plant<'_>,
    desk: &Desk<'_>,
    air: ThermodynamicTemperature,
    balance: &Balance,
    in_air: &[InAir],
    sets: &[(Running, Power)],
) -> Power {
    let mut sum = Power::new::<watt>(0.0);
    let pressure = desk.resolved.air_pressure();
    for ((text, rated), here) in desk.job.condensers.iter().zip(desk.rated).zip(in_air) {
        let served = || {
            desk.resolved
                .sets
                .iter()
                .enumerate()
                .filter(|(_, set)| text.serves.iter().any(|name| name.value == set.set.name.value))
        };
        let on_time =
            served().map(|(index, _)| sets[index].0.on_time).fold(Ratio::new::<ratio>(0.0), Ratio::max);
        // The circuit that needs most of the condenser rules its fan.
        let ruling = served().max_by(|(a, _), (b, _)| {
            let share = |index: &usize| balance.circuits[*index].active_share.get::<ratio>();
            share(a).total_cmp(&share(b))
        });
        let Some((ruling, _)) = ruling else { continue };
        let needed = balance.circuits[ruling].active_share;
        let input = match plant.fan_control(ruling) {
            FanControl::Full => here.fan_power,
            FanControl::Cycling => here.fan_power * needed.min(Ratio::new::<ratio>(1.0)),
            FanControl::Speed => air_density(pressure, air)
                .ok()
                .and_then(|density| {
                    let speed = rated.condenser.speed_for(density, needed)?;
                    rated.condenser.in_air(density, speed).ok().map(|slowed| slowed.value.fan_power)
                })
                .unwrap_or(here.fan_power),
        };
        sum += input * on_time;
    }
    sum
}

fn summed(bins: &[Bin], found: &[Option<Hour>], desk: &Desk<'_>) -> LayoutYearView {
    let mut by_set = vec![Sums::default(); desk.resolved.sets.len()];
    let mut fans_kwh = 0.0;
    for (bin, found) in bins.iter().zip(found) {
        let Some(at) = found else {
            by_set.iter_mut().for_each(|sums| sums.add_unknown(bin.time));
            continue;
        };
        for (sums, (running, capacity)) in by_set.iter_mut().zip(&at.sets) {
            sums.add(bin.time, running, *capacity, at.held, at.above_limit);
        }
        fans_kwh += (at.fans * bin.time).get::<kilowatt_hour>();
    }
    // Hours held, above a limit and without a balance are those of the layout: all of its sets count the same.
    let of_layout = by_set.first().copied().unwrap_or_default();
    let kwh = |of: fn(&Sums) -> physics::units::Energy| -> f64 {
        by_set.iter().map(|sums| of(sums).get::<kilowatt_hour>()).sum()
    };
    let limited = desk.resolved.sets.iter().any(|set| set.greatest_condensing.is_some());
    LayoutYearView {
        hours: of_layout.time.get::<hour>(),
        energy_kwh: kwh(|sums| sums.energy) + fans_kwh,
        cold_kwh: kwh(|sums| sums.cold),
        short_kwh: kwh(|sums| sums.short),
        running_h: by_set.iter().map(|sums| sums.running.get::<hour>()).sum::<f64>() / by_set.len() as f64,
        held_h: of_layout.held.get::<hour>(),
        above_limit_h: limited.then(|| of_layout.above_limit.get::<hour>()),
        unknown_h: of_layout.unknown.get::<hour>(),
    }
}

pub(super) fn weather_view(weather: &Weather) -> WeatherView {
    let bins = weather.bins();
    let hours: f64 = bins.iter().map(|bin| bin.time.get::<hour>()).sum();
    let mean = bins.iter().map(|bin| bin.time.get::<hour>() * bin.air.get::<kelvin>()).sum::<f64>() / hours;
    let place = weather.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
    let leap = if weather.leap_year { ", a leap year" } else { "" };
    WeatherView {
        what: format!("{}{place}{leap}", weather.kind),
        hours,
        missing_h: weather.missing().get::<hour>(),
        coldest_k: bins.first().map_or(f64::NAN, |bin| bin.air.get::<kelvin>()),
        warmest_k: bins.last().map_or(f64::NAN, |bin| bin.air.get::<kelvin>()),
        mean_k: mean,
    }
}
