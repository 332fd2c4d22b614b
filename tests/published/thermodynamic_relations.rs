//! What every equation of state obeys, whatever the fluid: order and monotony of the saturation lines, look-ups that lead
//! back to where they came from, and the differential relations between pressure, volume, enthalpy, entropy and heat
//! capacity: identities that follow from the first and second law. A slip in a column, a unit, an interpolation or a
//! repaired point shows as a broken relation.
//!
//! Every refrigerant of the library is swept in steps that fall between the rows of its grid. Relations with derivatives
//! stop 15 K below critical: nearer, properties bend too sharply for a grid, and its targets are not claimed.

use crate::support::*;
use physics::{
    fluid::{GridRefrigerant, OutsideRange, Refrigerant, Region, State},
    units::{
        BubbleTemperature, DewTemperature, SpecificEnthalpy, ThermodynamicTemperature, delta,
        unit::{available_energy::joule_per_kilogram, thermodynamic_temperature::kelvin},
    },
};

/// No multiple of the grid's rows, 1 K apart.
const STEP_K: f64 = 0.37;
/// Of central differences: inside one interval of the grid as often as across two.
const HALF_STEP_K: f64 = 0.25;
const BELOW_CRITICAL_K: f64 = 15.0;
/// Grids are printed to eight digits: at an azeotrope (R-515B near 353 K) bubble and dew pressure meet in the last one.
const GRID_DIGITS: f64 = 1e-7;
/// Relative to absolute temperature.
const TEMPERATURE_ROUND_TRIP: f64 = 1e-9;
const ENTHALPY_ROUND_TRIP_K: f64 = 1e-6;
const DERIVATIVE: f64 = 0.005;
/// A blend whose bubble and dew temperature differ by less boils like a pure fluid.
const NO_GLIDE_K: f64 = 0.01;
const SUPERHEATS_K: [f64; 6] = [1.0, 5.0, 16.0, 37.0, 61.0, 95.0];
const SUBCOOLINGS_K: [f64; 5] = [1.0, 5.0, 11.0, 22.0, 45.0];

fn at(kelvins: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(kelvins)
}

/// One refrigerant with the temperatures that its sweep covers.
struct Swept {
    name: &'static str,
    fluid: &'static GridRefrigerant,
    low_k: f64,
    high_k: f64,
    critical_k: f64,
}

#[derive(Clone, Copy, PartialEq)]
enum Line {
    Bubble,
    Dew,
}

impl Line {
    const BOTH: [Self; 2] = [Self::Bubble, Self::Dew];

    fn word(self) -> &'static str {
        if self == Self::Bubble { "bubble" } else { "dew" }
    }

    fn distances_k(self) -> &'static [f64] {
        if self == Self::Bubble { &SUBCOOLINGS_K } else { &SUPERHEATS_K }
    }

    fn sense(self) -> f64 {
        if self == Self::Bubble { -1.0 } else { 1.0 }
    }
}

impl Swept {
    fn saturated(&self, line: Line, temperature_k: f64) -> State {
        let state = match line {
            Line::Bubble => self.fluid.at_bubble(BubbleTemperature::new(at(temperature_k))),
            Line::Dew => self.fluid.at_dew(DewTemperature::new(at(temperature_k))),
        };
        state
            .unwrap_or_else(|refusal| panic!("{} {} at {temperature_k} K: {refusal}", self.name, line.word()))
    }

    /// Beyond the line: superheated vapour, subcooled liquid.
    fn beyond(&self, line: Line, saturated: &State, temperature_k: f64) -> Result<State, OutsideRange> {
        match line {
            Line::Bubble => self.fluid.liquid_at(saturated.pressure, at(temperature_k)),
            Line::Dew => self.fluid.vapour_at(saturated.pressure, at(temperature_k)),
        }
    }

    fn by_enthalpy(&self, line: Line, state: &State) -> Result<State, OutsideRange> {
        match line {
            Line::Bubble => self.fluid.liquid(state.pressure, state.enthalpy),
            Line::Dew => self.fluid.vapour(state.pressure, state.enthalpy),
        }
    }

    /// Every `step_k` from the grid's first row on, as far as the grid goes.
    fn temperatures(&self, step_k: f64) -> impl Iterator<Item = f64> + '_ {
        (0_u32..).map(move |step| self.low_k + step_k * f64::from(step)).take_while(|t| *t <= self.high_k)
    }

    /// Those at which derivatives are taken.
    fn inner_temperatures(&self, step_k: f64) -> impl Iterator<Item = f64> + '_ {
        let last = self.critical_k - BELOW_CRITICAL_K;
        self.temperatures(step_k).filter(move |t| *t - HALF_STEP_K >= self.low_k && *t <= last)
    }

    fn what(&self, line: Line, temperature_k: f64, distance_k: f64) -> String {
        format!("{} {} {temperature_k:.2} K, {distance_k} K beyond", self.name, line.word())
    }
}

fn swept() -> Vec<Swept> {
    let each = refrigerants().into_iter().map(|name| {
        let rows = &grid(name).saturation.temperature_k;
        let critical_k = LIBRARY.refrigerants().find(name).unwrap().critical_temperature.value.value;
        Swept { name, fluid: refrigerant(name), low_k: rows[0], high_k: rows[rows.len() - 1], critical_k }
    });
    let all: Vec<_> = each.collect();
    assert!(!all.is_empty());
    all
}

/// A state beyond the line, off the equation's stated range of temperature: refused, and rightly so.
fn in_stated_range(state: Result<State, OutsideRange>) -> Option<State> {
    match state {
        Ok(state) => Some(state),
        Err(refusal) => {
            assert_eq!(refusal.region, Region::Temperature, "{refusal}");
            None
        }
    }
}

#[test]
fn saturation_lines_are_ordered_and_monotone() {
    let mut faults = Vec::new();
    for swept in swept() {
        let mut last: Option<(State, State)> = None;
        for t in swept.temperatures(STEP_K) {
            let (bubble, dew) = (swept.saturated(Line::Bubble, t), swept.saturated(Line::Dew, t));
            let mut hold = |what: &str, holds: bool| {
                if !holds {
                    faults.push(format!("{} at {t:.2} K: {what}", swept.name));
                }
            };
            let above = bubble.pressure.pascal() / dew.pressure.pascal() - 1.0;
            hold("bubble pressure below dew pressure", above >= -GRID_DIGITS);
            hold("liquid lighter than vapour", bubble.density > dew.density);
            hold("vapour of less enthalpy than liquid", dew.enthalpy > bubble.enthalpy);
            if let Some((colder_bubble, colder_dew)) = last {
                hold(
                    "bubble pressure does not rise",
                    bubble.pressure.pascal() > colder_bubble.pressure.pascal(),
                );
                hold("dew pressure does not rise", dew.pressure.pascal() > colder_dew.pressure.pascal());
                hold("vapour density does not rise", dew.density > colder_dew.density);
                hold("liquid density does not fall", bubble.density < colder_bubble.density);
            }
            last = Some((bubble, dew));
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn temperature_leads_to_pressure_and_back() {
    let mut tally = Tally::new("temperature from saturation pressure, relative");
    for swept in swept() {
        for t in swept.temperatures(STEP_K) {
            for line in Line::BOTH {
                let pressure = swept.saturated(line, t).pressure;
                let back = match line {
                    Line::Bubble => swept.fluid.bubble_temperature(pressure).unwrap().get(),
                    Line::Dew => swept.fluid.dew_temperature(pressure).unwrap().get(),
                };
                tally.relative(&swept.what(line, t, 0.0), back.get::<kelvin>(), t, TEMPERATURE_ROUND_TRIP);
            }
        }
    }
    assert!(tally.finish_and_count() > 400 * refrigerants().len());
}

#[test]
fn pressure_and_enthalpy_lead_back_to_the_temperature() {
    let mut tally = Tally::new("temperature from pressure and enthalpy, K");
    for swept in swept() {
        // The single-phase grid ends a row before the saturation table where its steps do not fit.
        let last_k = swept.high_k - 2.0;
        for t in swept.temperatures(1.7).filter(|t| *t <= last_k) {
            for line in Line::BOTH {
                let saturated = swept.saturated(line, t);
                for distance_k in line.distances_k() {
                    let temperature_k = t + line.sense() * distance_k;
                    let Some(state) = in_stated_range(swept.beyond(line, &saturated, temperature_k)) else {
                        continue;
                    };
                    let what = swept.what(line, t, *distance_k);
                    let back =
                        swept.by_enthalpy(line, &state).unwrap_or_else(|refusal| panic!("{what}: {refusal}"));
                    tally.absolute(
                        &what,
                        back.temperature.get::<kelvin>(),
                        temperature_k,
                        ENTHALPY_ROUND_TRIP_K,
                    );
                }
            }
        }
    }
    assert!(tally.finish_and_count() > 500 * refrigerants().len());
}

/// `cp = (dh/dT)p` and `T (ds/dT)p = (dh/dT)p`.
#[test]
fn heat_capacity_and_entropy_follow_enthalpy_at_constant_pressure() {
    let mut heat_capacity = Tally::new("heat capacity against the slope of enthalpy");
    let mut entropy = Tally::new("T ds against dh at constant pressure");
    for swept in swept() {
        for t in swept.inner_temperatures(4.0 * STEP_K) {
            for line in Line::BOTH {
                let saturated = swept.saturated(line, t);
                for distance_k in line.distances_k() {
                    let temperature_k = t + line.sense() * distance_k;
                    let state = |shift_k: f64| {
                        in_stated_range(swept.beyond(line, &saturated, temperature_k + shift_k))
                    };
                    let (Some(below), Some(here), Some(above)) =
                        (state(-HALF_STEP_K), state(0.0), state(HALF_STEP_K))
                    else {
                        continue;
                    };
                    let thermal = |state: &State| swept.fluid.thermal(state).unwrap();
                    let what = swept.what(line, t, *distance_k);
                    let dh = above.enthalpy.value - below.enthalpy.value;
                    let ds = thermal(&above).entropy.value - thermal(&below).entropy.value;
                    let slope = dh / (2.0 * HALF_STEP_K);
                    heat_capacity.relative(&what, thermal(&here).heat_capacity.value, slope, DERIVATIVE);
                    entropy.relative(&what, temperature_k * ds, dh, DERIVATIVE);
                }
            }
        }
    }
    let count = heat_capacity.finish_and_count();
    assert!(count > 300 * refrigerants().len());
    entropy.finish(count);
}

/// `dh = T ds + v dp` along a saturation line: both ends have the composition of the whole, so it holds for blends too.
#[test]
fn entropy_follows_enthalpy_and_pressure_along_the_saturation_lines() {
    let mut tally = Tally::new("T ds + v dp against dh along saturation, as a share of T ds or v dp");
    for swept in swept() {
        for t in swept.inner_temperatures(STEP_K) {
            for line in Line::BOTH {
                let (below, here, above) = (
                    swept.saturated(line, t - HALF_STEP_K),
                    swept.saturated(line, t),
                    swept.saturated(line, t + HALF_STEP_K),
                );
                let entropy = |state: &State| swept.fluid.thermal(state).unwrap().entropy.value;
                let heat = t * (entropy(&above) - entropy(&below));
                let work = (above.pressure.pascal() - below.pressure.pascal()) / here.density.value;
                let dh = above.enthalpy.value - below.enthalpy.value;
                // Vapour: two terms of opposite sign nearly cancel, so the larger one is the measure.
                let measure = heat.abs().max(work.abs());
                let what = swept.what(line, t, 0.0);
                tally.relative(&what, measure + heat + work - dh, measure, DERIVATIVE);
            }
        }
    }
    assert!(tally.finish_and_count() > 300 * refrigerants().len());
}

/// Clausius and Clapeyron: `T (1/rho_v - 1/rho_l) dp/dT = h_v - h_l`.
#[test]
fn latent_heat_follows_the_slope_of_the_vapour_pressure() {
    let mut names = Vec::new();
    let mut tally = Tally::new("latent heat from the slope of the vapour pressure");
    for swept in swept() {
        let glide_k = |t: f64| {
            let pressure = swept.saturated(Line::Bubble, t).pressure;
            let dew = swept.fluid.dew_temperature(pressure).map(|dew| delta(at(t), dew.get()).value.abs());
            dew.unwrap_or(f64::INFINITY)
        };
        if !swept.inner_temperatures(5.0).all(|t| glide_k(t) < NO_GLIDE_K) {
            continue;
        }
        names.push(swept.name);
        for t in swept.inner_temperatures(STEP_K) {
            let pressure = |shift_k: f64| swept.saturated(Line::Dew, t + shift_k).pressure.pascal();
            let slope = (pressure(HALF_STEP_K) - pressure(-HALF_STEP_K)) / (2.0 * HALF_STEP_K);
            let (liquid, vapour) = (swept.saturated(Line::Bubble, t), swept.saturated(Line::Dew, t));
            let widening = 1.0 / vapour.density.value - 1.0 / liquid.density.value;
            let what = swept.what(Line::Dew, t, 0.0);
            tally.relative(
                &what,
                t * widening * slope,
                (vapour.enthalpy - liquid.enthalpy).value,
                DERIVATIVE,
            );
        }
    }
    println!("without glide: {}", names.join(", "));
    let pure = LIBRARY.refrigerants().all().iter().filter(|refrigerant| {
        refrigerant.kind == tables::refrigerants::Kind::Pure && refrigerants().contains(&&*refrigerant.name)
    });
    assert!(names.len() >= pure.count());
    assert!(tally.finish_and_count() > 100 * names.len());
}

/// Nothing is clamped or carried on: each way out of the grid has its own refusal.
#[test]
fn outside_the_grid_is_refused() {
    for swept in swept() {
        let (fluid, name) = (swept.fluid, swept.name);
        let refused = |region: Region, answer: Result<State, OutsideRange>| {
            let refusal = answer.expect_err(name);
            assert_eq!(refusal.region, region, "{name}: {refusal}");
            assert!(!(refusal.low..=refusal.high).contains(&refusal.value), "{name}: {refusal}");
        };
        for t in [swept.low_k - 0.01, swept.high_k + 0.01, 0.0, f64::NAN] {
            refused(Region::SaturationTemperature, fluid.at_bubble(BubbleTemperature::new(at(t))));
            refused(Region::SaturationTemperature, fluid.at_dew(DewTemperature::new(at(t))));
        }
        let (low, high) = (swept.saturated(Line::Dew, swept.low_k), swept.saturated(Line::Dew, swept.high_k));
        for pressure in [0.999 * low.pressure.pascal(), 1.001 * high.pressure.pascal(), 0.0] {
            let enthalpy = low.enthalpy;
            refused(Region::DewPressure, fluid.vapour(pascals(pressure), enthalpy));
            refused(Region::DewPressure, fluid.vapour_at(pascals(pressure), at(300.0)));
        }
        let (low, high) =
            (swept.saturated(Line::Bubble, swept.low_k), swept.saturated(Line::Bubble, swept.high_k));
        for pressure in [0.999 * low.pressure.pascal(), 1.001 * high.pressure.pascal(), 0.0] {
            refused(Region::BubblePressure, fluid.liquid(pascals(pressure), low.enthalpy));
            refused(Region::BubblePressure, fluid.liquid_at(pascals(pressure), at(250.0)));
        }
        let middle_k = (swept.low_k + swept.critical_k) / 2.0;
        let (bubble, dew) = (swept.saturated(Line::Bubble, middle_k), swept.saturated(Line::Dew, middle_k));
        let last = |distances: &[f64]| distances[distances.len() - 1];
        let (superheat, subcooling) =
            (last(&grid(name).vapour.distance_k), last(&grid(name).liquid.distance_k));
        for distance in [-0.01, superheat + 0.01] {
            refused(Region::Superheat, fluid.vapour_at(dew.pressure, at(middle_k + distance)));
        }
        for distance in [-0.01, subcooling + 0.01] {
            refused(Region::Subcooling, fluid.liquid_at(bubble.pressure, at(middle_k - distance)));
        }
        let shifted = |state: &State, by_j_kg: f64| {
            SpecificEnthalpy::new::<joule_per_kilogram>(state.enthalpy.value + by_j_kg)
        };
        // 1 J/kg inside the dome; 5 kJ/(kg K) over the whole width of the grid, more than any refrigerant takes.
        refused(Region::Superheat, fluid.vapour(dew.pressure, shifted(&dew, -1.0)));
        refused(Region::Superheat, fluid.vapour(dew.pressure, shifted(&dew, 5e3 * superheat)));
        refused(Region::Subcooling, fluid.liquid(bubble.pressure, shifted(&bubble, 1.0)));
        let ends = fluid.ends(bubble.pressure).unwrap();
        for outside in [shifted(&ends.bubble, -1.0), shifted(&ends.dew, 1.0)] {
            let refusal = fluid.two_phase(bubble.pressure, outside).unwrap_err();
            assert_eq!(refusal.region, Region::Quality, "{name}: {refusal}");
        }
        refused(Region::Subcooling, fluid.liquid(bubble.pressure, shifted(&bubble, -6e3 * subcooling)));
    }
}

/// `dh = T ds + v dp` at constant temperature: the way across the rows of a single-phase grid.
#[test]
fn entropy_follows_enthalpy_and_pressure_at_constant_temperature() {
    const PRESSURE_STEP: f64 = 0.02;
    /// Cold liquid: the work of the step is 1 J/kg, and the eighth digits of enthalpy and entropy stand for 0.001 J/kg
    /// each. Below this the deviation is taken as a share of it.
    const LEAST_J_KG: f64 = 10.0;
    let mut tallies = [
        Tally::new("T ds + v dp against dh at constant temperature, liquid"),
        Tally::new("the same, vapour"),
    ];
    for swept in swept() {
        for t in swept.inner_temperatures(4.0 * STEP_K) {
            for (line, tally) in Line::BOTH.into_iter().zip(&mut tallies) {
                let saturated = swept.saturated(line, t);
                for distance_k in &line.distances_k()[1..] {
                    let temperature = at(t + line.sense() * distance_k);
                    let state = |ratio: f64| {
                        let pressure = pascals(saturated.pressure.pascal() * ratio);
                        match line {
                            Line::Bubble => swept.fluid.liquid_at(pressure, temperature),
                            Line::Dew => swept.fluid.vapour_at(pressure, temperature),
                        }
                    };
                    let (Ok(below), Ok(here), Ok(above)) =
                        (state(1.0 - PRESSURE_STEP), state(1.0), state(1.0 + PRESSURE_STEP))
                    else {
                        continue;
                    };
                    let entropy = |state: &State| swept.fluid.thermal(state).unwrap().entropy.value;
                    let heat = here.temperature.get::<kelvin>() * (entropy(&above) - entropy(&below));
                    let work = (above.pressure.pascal() - below.pressure.pascal()) / here.density.value;
                    let dh = above.enthalpy.value - below.enthalpy.value;
                    let measure = heat.abs().max(work.abs()).max(LEAST_J_KG);
                    let what = swept.what(line, t, *distance_k);
                    tally.relative(&what, measure + heat + work - dh, measure, DERIVATIVE);
                }
            }
        }
    }
    for tally in tallies {
        assert!(tally.finish_and_count() > 100 * refrigerants().len());
    }
}
