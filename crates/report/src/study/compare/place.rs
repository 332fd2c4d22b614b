//! Where the condensers of a layout stand: elevation, roof taken, clearances, wind, weight, sound.

use super::super::ledger::Ledger;
use super::{Desk, kelvins, metres, plant::DesignDay, stacked};
use crate::{
    job::{self, Arrangement, Clearance, Layout, Outline},
    view::{LayoutView, PlaceView, RoofView, SoundView},
};
use physics::{
    jet::{self, Discharge},
    outcome::Caveat,
    sound::{Radiation, SoundPowerLevel, level_at},
    units::{
        Length, Mass, Velocity,
        unit::{length::meter, mass::kilogram, pressure::pascal, ratio::ratio, velocity::meter_per_second},
    },
    wind::{
        Anchors, Building, Frame, PressureFactors, RoofWind, Stand, Unit, anchor_loads, exposure_coefficient,
        ground_elevation_factor, rooftop_force, side_by_side, stacked as on_top, velocity_pressure,
    },
};
use tables::roof::{Design, Edition};

/// Wind in which a discharge that faces it is judged, m/s: a fresh breeze.
const BREEZE_M_S: f64 = 8.0;
/// A pound-force on a square foot.
const PSF_PA: f64 = 47.880_26;

/// Fills in all that depends on where the condensers stand, and puts them into the order of the layout.
pub(super) fn complete(view: &mut LayoutView, desk: &Desk<'_>, layout: &Layout, day: &DesignDay<'_>) {
    let order: Vec<usize> = desk
        .job
        .standing(layout)
        .iter()
        .filter_map(|one| desk.job.condensers.iter().position(|other| other.name.value == one.name.value))
        .collect();
    let site = Site { desk, layout, day, order };
    site.place(view);
    (view.footprint_m2, view.taken_m2) = site.areas();
    site.warn(&mut view.warnings);
    match site.roof() {
        Ok(roof) => {
            view.anchor_tension_n = Some(roof.tension_n);
            view.roof = Some(roof);
        }
        Err(missing) => view.warnings.push(format!("wind and anchors not computed: {missing}")),
    }
    view.sound = site.sound(&mut view.warnings);
    view.access = site.access();
    let named: Vec<&str> = site.order.iter().map(|index| &*desk.job.condensers[*index].name.value).collect();
    view.condensers.sort_by_key(|condenser| named.iter().position(|name| *name == condenser.name));
}

/// Notes what was taken from the tables of the roof.
pub(super) fn note(ledger: &mut Ledger, desk: &Desk<'_>) {
    let values = desk.resolved.library.roof().values();
    ledger.note("clear space before and behind a condenser", &values.clearance_air_sides.source);
    ledger.note("clear gap between condensers", &values.spacing_beside.source);
    if desk.job.roof.is_some() {
        ledger.note("live load of an ordinary roof", &values.live_load.source);
        ledger.note("directionality factor of wind", &values.directionality.source);
        if let Some(rule) = desk.resolved.library.roof().gusts().first() {
            ledger.note(format!("gust coefficients ({})", rule.name), &rule.curves.source);
        }
    }
}

struct Site<'a> {
    desk: &'a Desk<'a>,
    layout: &'a Layout,
    day: &'a DesignDay<'a>,
    /// Condensers of the job in the order that they stand in.
    order: Vec<usize>,
}

impl Site<'_> {
    fn outline(&self, index: usize) -> Option<Outline> {
        self.desk.rated[index].outline
    }

    fn name(&self, index: usize) -> &str {
        &self.desk.job.condensers[index].name.value
    }

    fn arrangement(&self) -> Arrangement {
        self.layout.arrangement.map_or(Arrangement::Apart, |one| one.value)
    }

    fn gap_m(&self) -> Option<f64> {
        self.layout.gap.map(|gap| gap.value.get::<meter>())
    }

    fn stand_m(&self) -> Option<f64> {
        Some(self.desk.job.roof.as_ref()?.stand?.value.get::<meter>())
    }

    fn place(&self, view: &mut LayoutView) {
        let Some(outlines) = self.order.iter().map(|index| self.outline(*index)).collect::<Option<Vec<_>>>()
        else {
            return;
        };
        let stand_m = self.stand_m().unwrap_or(0.0);
        let (mut left_m, mut bottom_m) = (0.0, stand_m);
        for (index, outline) in self.order.iter().zip(outlines) {
            let (width_m, height_m) = (outline.width.get::<meter>(), outline.height.get::<meter>());
            let place =
                PlaceView { left_m, bottom_m, width_m, depth_m: outline.depth.get::<meter>(), height_m };
            if let Some(condenser) = view.condensers.iter_mut().find(|one| one.name == self.name(*index)) {
                condenser.place = Some(place);
            }
            if stacked(self.layout) {
                bottom_m += height_m + self.gap_m().unwrap_or(0.0);
            } else {
                left_m += width_m + self.gap_m().unwrap_or(width_m);
            }
        }
    }

    /// Roof under the frames, and with the clearances around each.
    fn areas(&self) -> (Option<f64>, Option<f64>) {
        let frames: Option<Vec<(f64, f64)>> = self
            .frames()
            .iter()
            .map(|frame| {
                let outlines = frame.iter().map(|index| self.outline(*index)).collect::<Option<Vec<_>>>()?;
                let widths = outlines.iter().map(|outline| outline.width.get::<meter>());
                let depth_m = outlines.iter().map(|outline| outline.depth.get::<meter>()).fold(0.0, f64::max);
                let width_m = if stacked(self.layout) {
                    widths.fold(0.0, f64::max)
                } else {
                    widths.sum::<f64>() + self.gap_m().unwrap_or(0.0) * (outlines.len() - 1) as f64
                };
                Some((width_m, depth_m))
            })
            .collect();
        let Some(frames) = frames else { return (None, None) };
        let footprint = frames.iter().map(|(width, depth)| width * depth).sum();
        let clear = &self.layout.clear;
        let open_m = |side: Option<job::Located<Clearance>>| {
            side.map(|side| match side.value {
                Clearance::Open => 0.0,
                Clearance::Distance(distance) => distance.get::<meter>(),
            })
        };
        let around = (open_m(clear.front), open_m(clear.rear), open_m(clear.sides));
        let taken = match around {
            (Some(front), Some(rear), Some(sides)) => {
                Some(frames.iter().map(|(width, depth)| (width + 2.0 * sides) * (depth + front + rear)).sum())
            }
            _ => None,
        };
        (Some(footprint), taken)
    }

    /// Condensers that share a frame: all of a stack or a row; else each its own.
    fn frames(&self) -> Vec<Vec<usize>> {
        match self.arrangement() {
            Arrangement::Stacked | Arrangement::SideBySide => vec![self.order.clone()],
            Arrangement::Apart | Arrangement::Pit | Arrangement::Screen => {
                self.order.iter().map(|index| vec![*index]).collect()
            }
        }
    }

    fn warn(&self, warnings: &mut Vec<String>) {
        self.warn_of_clearances(warnings);
        self.warn_of_neighbours(warnings);
        self.warn_of_discharge(warnings);
        self.warn_of_snow(warnings);
    }

    fn warn_of_clearances(&self, warnings: &mut Vec<String>) {
        let units = self.desk.resolved.units();
        let values = self.desk.resolved.library.roof().values();
        let least = &values.clearance_air_sides;
        let clear = &self.layout.clear;
        for (side, stated) in [("front", clear.front), ("rear", clear.rear)] {
            match stated.map(|stated| stated.value) {
                Some(Clearance::Distance(distance)) if distance < least.value => warnings.push(format!(
                    "{} clear at the {side}, less than the {} that is common practice where air enters or leaves; the maker's \
                     sheet wins",
                    metres(distance.get::<meter>(), units),
                    metres(least.value.get::<meter>(), units)
                )),
                Some(_) => {}
                None => warnings.push(format!(
                    "clear space at the {side} is not stated (key clear.{side}): {} is common practice, the maker's sheet wins",
                    metres(least.value.get::<meter>(), units)
                )),
            }
        }
    }

    fn warn_of_neighbours(&self, warnings: &mut Vec<String>) {
        let units = self.desk.resolved.units();
        let values = self.desk.resolved.library.roof().values();
        let widest = self
            .order
            .iter()
            .filter_map(|index| self.outline(*index))
            .map(|outline| outline.width)
            .reduce(Length::max);
        let Some(widest) = widest else { return };
        let enclosed = matches!(self.arrangement(), Arrangement::Pit | Arrangement::Screen);
        let widths = if enclosed { values.spacing_in_pit.value } else { values.spacing_beside.value };
        let wanted = widest * widths;
        let said = |what: &str, found: Length| {
            format!(
                "{what} is {}, less than the {} ({:.0} unit width{}) that is common practice{}",
                metres(found.get::<meter>(), units),
                metres(wanted.get::<meter>(), units),
                widths.get::<ratio>(),
                if widths.get::<ratio>() > 1.0 { "s" } else { "" },
                if enclosed { " in a pit or behind a screen" } else { "" }
            )
        };
        if let Some(Clearance::Distance(sides)) = self.layout.clear.sides.map(|sides| sides.value)
            && sides < wanted
        {
            warnings.push(said("the clear space at the sides", sides));
        }
        if !stacked(self.layout)
            && self.order.len() > 1
            && let Some(gap) = self.layout.gap
            && gap.value < wanted
        {
            warnings.push(said("the gap between neighbours", gap.value));
        }
    }

    fn warn_of_discharge(&self, warnings: &mut Vec<String>) {
        let (desk, units) = (self.desk, self.desk.resolved.units());
        if stacked(self.layout) && self.order.len() > 1 {
            for index in &self.order[..self.order.len() - 1] {
                match desk.rated[*index].blows_up {
                    Some(true) => warnings.push(format!(
                        "{} blows upwards at the unit above it: nothing should stand above a vertical discharge without a \
                         deflector or a duct (common practice)",
                        self.name(*index)
                    )),
                    Some(false) => {}
                    None => warnings.push(format!(
                        "where {} blows is not stated (key discharge_air): under another unit it must not blow up",
                        self.name(*index)
                    )),
                }
            }
        }
        if self.layout.faces_wind.is_some_and(|faces| faces.value) {
            let bend = self.order.first().and_then(|index| {
                let wind = Velocity::new::<meter_per_second>(BREEZE_M_S);
                jet::bending_length(&self.discharge(*index)?, wind).ok()
            });
            let within = bend.map_or(String::new(), |bend| {
                format!(
                    ": a wind of {BREEZE_M_S} m/s turns the discharge back within {}",
                    metres(bend.value.get::<meter>(), units)
                )
            });
            warnings.push(format!(
                "the discharge faces the prevailing wind, a high risk of recirculation{within}"
            ));
        }
        let Some(wall) = self.layout.wall_in_front else { return };
        for index in &self.order {
            if desk.rated[*index].blows_up == Some(true) {
                continue;
            }
            let (Some(discharge), rise) = (self.discharge(*index), self.day.air_rise(*index)) else {
                warnings.push(format!(
                    "how far {} blows is not computed (key fan_diameter), so its distance from the wall is not judged",
                    self.name(*index)
                ));
                continue;
            };
            let Ok(reach) = jet::momentum_length(&discharge, rise, desk.outdoor_air) else { continue };
            if wall.value < reach.value {
                warnings.push(format!(
                    "the wall {} before {} lies within the {} over which its discharge, {} warmer, is still a jet: air comes \
                     back from it, a high risk of recirculation",
                    metres(wall.value.get::<meter>(), units),
                    self.name(*index),
                    metres(reach.value.get::<meter>(), units),
                    kelvins(rise.value, units)
                ));
            }
        }
    }

    fn discharge(&self, index: usize) -> Option<Discharge> {
        let rated = &self.desk.rated[index];
        let diameter = rated.fan_diameter?;
        let area = std::f64::consts::FRAC_PI_4 * diameter * diameter;
        Some(Discharge { velocity: rated.air_flow / area, diameter })
    }

    fn warn_of_snow(&self, warnings: &mut Vec<String>) {
        let units = self.desk.resolved.units();
        let Some(snow) = self.desk.job.roof.as_ref().and_then(|roof| roof.snow) else { return };
        let snow_m = snow.value.get::<meter>();
        match self.stand_m() {
            Some(stand_m) if stand_m <= snow_m => warnings.push(format!(
                "snow lies {} deep and the lowest unit stands {} above the roof: its coil is buried",
                metres(snow_m, units),
                metres(stand_m, units)
            )),
            Some(_) => {}
            None => {
                warnings.push("the height of the stand over snow is not stated (key roof.stand)".to_owned())
            }
        }
    }

    fn roof(&self) -> Result<RoofView, String> {
        let (desk, library) = (self.desk, self.desk.resolved.library);
        let Some(roof) = &desk.job.roof else { return Err("state the table [roof]".to_owned()) };
        let missing: Vec<&str> = [
            ("roof.wind_speed", roof.wind_speed.is_none()),
            ("roof.edition", roof.edition.is_none()),
            ("roof.exposure", roof.exposure.is_none()),
            ("roof.height", roof.height.is_none()),
            ("roof.building", roof.building.is_none()),
            ("anchors of the layout", self.layout.anchors.is_none()),
            ("outline of each condenser", self.order.iter().any(|index| self.outline(*index).is_none())),
            ("mass of each condenser", self.order.iter().any(|index| desk.rated[*index].mass.is_none())),
        ]
        .into_iter()
        .filter_map(|(key, missing)| missing.then_some(key))
        .collect();
        let (Some(speed), Some(edition), Some(exposure), Some(height), Some(plan), Some(anchors)) =
            (roof.wind_speed, roof.edition, roof.exposure, roof.height, roof.building, self.layout.anchors)
        else {
            return Err(format!("not stated: {}", missing.join(", ")));
        };
        if !missing.is_empty() {
            return Err(format!("not stated: {}", missing.join(", ")));
        }
        let table = library.roof();
        let absent = || "the data folder lacks a row on wind".to_owned();
        let terrain = table.terrain(edition.value, exposure.value).ok_or_else(absent)?;
        let gusts = &table.gusts().first().ok_or_else(absent)?.curves;
        let told = |error: &dyn std::fmt::Display| error.to_string();
        let altitude = desk.job.site.altitude.map_or(Length::new::<meter>(0.0), |altitude| altitude.value);
        let elevation = ground_elevation_factor(altitude).map_err(|error| told(&error))?;
        let factors = PressureFactors {
            exposure: exposure_coefficient(height.value, &terrain.value).map_err(|error| told(&error))?.value,
            topography: roof
                .topographic_factor
                .map_or(table.values().topography.value, |factor| factor.value),
            directionality: table.values().directionality.value,
            elevation: elevation.value,
        };
        let pressure = velocity_pressure(speed.value, &factors).map_err(|error| told(&error))?.value;
        let building = Building { width: plan.value.width, length: plan.value.length, height: height.value };
        let wind = RoofWind { pressure, building, lateral: gusts.value.lateral, uplift: gusts.value.uplift };
        let mut worst: Option<RoofView> = None;
        for frame in self.frames() {
            let found = self.frame(&frame, anchors.value, &wind, edition.value)?;
            if worst.as_ref().is_none_or(|worst| found.tension_n > worst.tension_n) {
                worst = Some(found);
            }
        }
        worst.ok_or_else(|| "no condenser stands here".to_owned())
    }

    fn frame(
        &self,
        units_of: &[usize],
        anchors: u32,
        wind: &RoofWind,
        edition: Edition,
    ) -> Result<RoofView, String> {
        let desk = self.desk;
        let table = desk.resolved.library.roof();
        let told = |error: &dyn std::fmt::Display| error.to_string();
        let unit = |index: &usize| -> Option<Unit> {
            let outline = self.outline(*index)?;
            let mass = desk.rated[*index].mass?;
            Some(Unit { width: outline.width, depth: outline.depth, height: outline.height, mass })
        };
        let units: Vec<Unit> = units_of.iter().filter_map(unit).collect();
        let gap = Length::new::<meter>(self.gap_m().unwrap_or(0.0));
        let placed = if stacked(self.layout) {
            let mut placed = on_top(&units);
            let mut above = Length::new::<meter>(0.0);
            for unit in &mut placed {
                unit.above += above;
                above += gap;
            }
            placed
        } else {
            side_by_side(&units, gap)
        };
        let row = anchors / 2;
        let widest = |side: &dyn Fn(&Unit) -> Length| units.iter().map(side).reduce(Length::max);
        let none = Length::new::<meter>(0.0);
        let width = if stacked(self.layout) {
            widest(&|unit| unit.width).unwrap_or(none)
        } else {
            units
                .iter()
                .map(|unit| unit.width)
                .fold(gap * (units.len().max(1) - 1) as f64, |sum, width| sum + width)
        };
        let anchors_of = Anchors {
            span_width: width,
            span_depth: widest(&|unit| unit.depth).unwrap_or(none),
            row_width: row,
            row_depth: 2,
            count: anchors,
        };
        let mass = self.layout.frame_mass.map_or(Mass::new::<kilogram>(0.0), |mass| mass.value);
        let stand = Stand { height: Length::new::<meter>(self.stand_m().unwrap_or(0.0)), clad: false, mass };
        let frame = Frame::new(&placed, stand, anchors_of).map_err(|error| told(&error))?;
        let loads = |design| {
            let combination = table.combination(design).ok_or("the data folder lacks load factors")?;
            anchor_loads(&frame, wind, &combination.value).map_err(|error| told(&error))
        };
        let (allowable, strength) = (loads(Design::AllowableStress)?, loads(Design::Strength)?);
        let governing = *allowable.value.governing();
        let force = rooftop_force(&frame, governing.face, wind).map_err(|error| told(&error))?;
        let mut remarks = vec![
            "for screening only: local code governs and an engineer signs; snow, earthquake and the roof under the frame are \
             not looked at"
                .to_owned(),
        ];
        let heights = &table.values().gust_roof_height;
        if wind.building.height > heights.value {
            remarks
                .push("the roof is higher than those that the gust coefficients are stated for".to_owned());
        }
        if allowable.caveats.has(Caveat::OutsideWindCoefficients) {
            remarks.push("the frame takes more of the building than the gust coefficients go to".to_owned());
        }
        if self.layout.frame_mass.is_none() {
            remarks.push("the frame is taken to weigh nothing (key frame_mass)".to_owned());
        }
        let weight = frame.footprint_pressure();
        if weight > table.values().live_load.value {
            remarks.push(format!(
                "its weight on its footprint is more than the live load of an ordinary roof, {:.0} psf ({:.2} kPa): have the roof \
                 checked",
                table.values().live_load.value.get::<pascal>() / PSF_PA,
                table.values().live_load.value.get::<pascal>() / 1000.0
            ));
        }
        Ok(RoofView {
            edition: edition.to_string(),
            velocity_pressure_pa: wind.pressure.get::<pascal>(),
            lateral_n: force.value.lateral.value,
            uplift_n: force.value.uplift.value,
            tension_n: governing.tension().value,
            shear_n: allowable.value.shear().value,
            tension_strength_n: strength.value.governing().tension().value,
            shear_strength_n: strength.value.shear().value,
            anchors,
            weight_pa: weight.get::<pascal>(),
            remarks,
        })
    }

    fn sound(&self, warnings: &mut Vec<String>) -> Option<SoundView> {
        let levels: Option<Vec<SoundPowerLevel>> = self
            .order
            .iter()
            .map(|index| SoundPowerLevel::from_decibel(self.desk.rated[*index].sound_power?.decibels()).ok())
            .collect();
        let sum = SoundPowerLevel::sum(&levels?).ok()?.value;
        let distance = self.desk.job.roof.as_ref().and_then(|roof| roof.neighbour).map(|to| to.value);
        let side = self
            .order
            .iter()
            .filter_map(|index| self.outline(*index))
            .map(|outline| outline.width.max(outline.height))
            .reduce(Length::max)
            .unwrap_or(Length::new::<meter>(1.0));
        let level = distance.and_then(|distance| level_at(sum, distance, Radiation::HalfSphere, side).ok());
        if level.is_some_and(|level| level.caveats.has(Caveat::NearUnit)) {
            warnings.push(
                "the listener is too near for the sound law, which takes the units as points".to_owned(),
            );
        }
        Some(SoundView {
            power_db: sum.decibel(),
            distance_m: distance.map(|distance| distance.get::<meter>()),
            level_db: level.map(|level| level.value.decibel()),
        })
    }

    fn access(&self) -> String {
        let units = self.desk.resolved.units();
        if !stacked(self.layout) || self.order.len() < 2 {
            return match self.arrangement() {
                Arrangement::Pit => "from the roof, down into the pit".to_owned(),
                Arrangement::Screen => "through the screen".to_owned(),
                _ => "all units from the roof".to_owned(),
            };
        }
        let below = self.order[..self.order.len() - 1].iter().map(|index| self.outline(*index));
        match below.collect::<Option<Vec<_>>>() {
            Some(below) => {
                let heights: f64 = below.iter().map(|outline| outline.height.get::<meter>()).sum();
                let gaps = self.gap_m().unwrap_or(0.0) * below.len() as f64;
                let foot_m = self.stand_m().unwrap_or(0.0) + heights + gaps;
                format!("top unit's foot {} up: ladder or platform", metres(foot_m, units))
            }
            None => "upper unit from a ladder or platform".to_owned(),
        }
    }
}
