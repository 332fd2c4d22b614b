//! Condensers compared: what each layout makes of the same sets.

use super::{CheckView, EchoView, SourceView, VerdictView};
use serde::Serialize;

/// The answer of the comparison.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CompareView {
    /// Name of the job.
    pub job: String,
    /// The gravest verdict of the recommended layout; of all where none is recommended.
    pub verdict: VerdictView,
    /// Outdoor air that the condensers stand in on the design day, the roof's allowance included.
    pub outdoor_air_k: f64,
    /// What the roof adds to the design air.
    pub roof_allowance_k: f64,
    /// The sets that the condensers serve.
    pub sets: Vec<SetLoadView>,
    /// The layouts, in the order of the file.
    pub layouts: Vec<LayoutView>,
    /// Name of the layout that is recommended; none where none can be.
    pub recommended: Option<String>,
    /// The recommendation as a sentence, or why there is none.
    pub recommendation: String,
    /// What would change it, a sentence each.
    pub would_change: Vec<String>,
    /// Names for the two ends of every line of every set.
    pub tags: Vec<TagView>,
    /// The weather that the year was computed with.
    pub weather: Option<WeatherView>,
    /// What was assumed, and the key that changes it.
    pub assumptions: Vec<String>,
    /// What the sheet does not contain.
    pub not_contained: Vec<String>,
    /// Where the numbers come from.
    pub sources: Vec<SourceView>,
    /// Cautions.
    pub cautions: Vec<String>,
}

impl CompareView {
    /// Whether a layout is the one that is recommended.
    #[must_use]
    pub fn recommends(&self, layout: &LayoutView) -> bool {
        self.recommended.as_ref() == Some(&layout.name)
    }

    /// Names of the condensers of all layouts, each once.
    #[must_use]
    pub fn condenser_names(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for condenser in self.layouts.iter().flat_map(|layout| &layout.condensers) {
            if !names.contains(&condenser.name.as_str()) {
                names.push(&condenser.name);
            }
        }
        names
    }
}

/// The load of one set, which is the same for every layout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetLoadView {
    /// Name.
    pub name: String,
    /// Refrigerant.
    pub refrigerant: String,
    /// Where capacity and input come from, in words.
    pub load_from: String,
    /// What describes the compressor off its design point, in words.
    pub compressor: String,
    /// Capacity at the stated operating point.
    pub capacity_w: f64,
    /// Half-width of its 95 % band, where the load is only estimated.
    pub capacity_band_w: Option<f64>,
    /// Compressor input there.
    pub compressor_input_w: f64,
    /// Heat to be rejected there.
    pub heat_rejection_w: f64,
    /// Heat rejected against capacity.
    pub heat_rejection_factor: f64,
    /// Heat to be rejected at the start of freeze or pull-down; none where `peak_flow` is not stated.
    pub peak_heat_w: Option<f64>,
    /// Condensing temperature that the job states.
    pub stated_condensing_k: f64,
    /// Which end condensing temperatures of this set are told as, `bubble` or `dew`.
    pub condensing_refers_to: &'static str,
    /// Condensing never to exceed; none where not stated.
    pub greatest_condensing_k: Option<f64>,
    /// The inputs as read, in both unit systems.
    pub echo: Vec<EchoView>,
}

/// One layout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LayoutView {
    /// Name.
    pub name: String,
    /// `apart`, `side by side`, `stacked`, `pit`, `screen`.
    pub arrangement: String,
    /// The gravest verdict of its checks.
    pub verdict: VerdictView,
    /// The condensers on the design day, in the order bottom to top or left to right.
    pub condensers: Vec<CondenserView>,
    /// The circuits on the design day.
    pub circuits: Vec<CircuitView>,
    /// Capacity of all sets.
    pub capacity_w: f64,
    /// Input to all compressors and fans.
    pub power_w: f64,
    /// Energy of a year, fans included; none without weather.
    pub energy_kwh: Option<f64>,
    /// Least of the break-evens of its draws; none where none limits it.
    pub break_even_recirculation: Option<f64>,
    /// Who draws whose air.
    pub draws: Vec<DrawView>,
    /// Added charge of all sets together; none where it can not be told.
    pub added_charge_kg: Option<f64>,
    /// Lines of every set as this layout makes them.
    pub lines: Vec<LayoutLineView>,
    /// Greatest tension on one anchor (allowable-stress design); 0 where the weight holds it; none without wind.
    pub anchor_tension_n: Option<f64>,
    /// Wind, anchors and weight; none without wind.
    pub roof: Option<RoofView>,
    /// Roof taken by the frames, without clearances; none where an outline is missing.
    pub footprint_m2: Option<f64>,
    /// Roof taken with the clearances around; none where an outline or a clearance is missing.
    pub taken_m2: Option<f64>,
    /// Sound; none where a sound power is missing.
    pub sound: Option<SoundView>,
    /// How the units are reached, in words.
    pub access: String,
    /// The year; none without weather.
    pub year: Option<LayoutYearView>,
    /// Condensing temperature against outdoor air, held where head pressure is controlled.
    pub against_air: Vec<AirPointView>,
    /// Its checks.
    pub checks: Vec<CheckView>,
    /// Warnings: spacing, wind, walls, snow.
    pub warnings: Vec<String>,
}

/// One condenser in its place on the design day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CondenserView {
    /// Name.
    pub name: String,
    /// Sets that it serves.
    pub serves: Vec<String>,
    /// Entering air.
    pub inlet_air_k: f64,
    /// Leaving air.
    pub outlet_air_k: f64,
    /// Condensing temperature of its (warmest) circuit, by the end that the set is told as.
    pub condensing_k: f64,
    /// Heat that it rejects.
    pub heat_w: f64,
    /// Heat for each kelvin between mid temperature and entering air, in this air.
    pub conductance_w_k: f64,
    /// Effectiveness.
    pub effectiveness: f64,
    /// Air that it moves.
    pub air_rate_kg_s: f64,
    /// Input to its fan; none where not stated.
    pub fan_power_w: Option<f64>,
    /// Where it stands in the elevation, from the left, m; none where an outline is missing.
    pub place: Option<PlaceView>,
    /// Whether it blows upwards.
    pub blows_up: bool,
}

/// Place of a condenser in the elevation, seen from the side that the air leaves by.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PlaceView {
    /// Left edge.
    pub left_m: f64,
    /// Underside above the roof.
    pub bottom_m: f64,
    /// Width.
    pub width_m: f64,
    /// Depth.
    pub depth_m: f64,
    /// Height.
    pub height_m: f64,
}

/// One circuit on the design day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CircuitView {
    /// Set.
    pub set: String,
    /// Condensing temperature by the end that the set is told as.
    pub condensing_k: f64,
    /// Bubble temperature at the condenser.
    pub condensing_bubble_k: f64,
    /// Dew temperature at the condenser.
    pub condensing_dew_k: f64,
    /// Pressure at the condenser above the atmosphere of the site.
    pub condensing_gauge_pa: f64,
    /// Whether head-pressure control holds it up.
    pub held: bool,
    /// Warmer than the condensing temperature that the job states (negative: colder).
    pub above_stated_k: f64,
    /// Warmer than without any recirculation.
    pub recirculation_costs_k: f64,
    /// Capacity.
    pub capacity_w: f64,
    /// Compressor input.
    pub compressor_power_w: f64,
    /// Heat rejected.
    pub heat_rejection_w: f64,
    /// Mass rate.
    pub mass_rate_kg_s: f64,
    /// What the lines cost: against the same set without loss in them.
    pub lines_cost: Option<LinesCostView>,
    /// What one tube size smaller or larger would change, line by line.
    pub other_tubes: Vec<OtherTubeView>,
    /// The cycle in pressure and enthalpy.
    pub cycle: Vec<CyclePointView>,
    /// Saturation dome around the cycle, pressure rising; empty where it can not be told.
    pub dome: Vec<DomePointView>,
    /// Greatest residual of the balance.
    pub residual: f64,
}

/// What another tube in one line would change, against the tube taken.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OtherTubeView {
    /// `discharge`, `liquid`, `suction`.
    pub service: String,
    /// The other tube.
    pub tube: String,
    /// Whether it is the next larger one; else the next smaller.
    pub larger: bool,
    /// Condensing temperature.
    pub condensing_k: f64,
    /// Capacity.
    pub capacity_w: f64,
    /// Compressor input.
    pub power_w: f64,
}

/// What lines cost against none.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LinesCostView {
    /// Condensing temperature.
    pub condensing_k: f64,
    /// Capacity lost.
    pub capacity_w: f64,
    /// Compressor input added.
    pub power_w: f64,
}

/// One state of the cycle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CyclePointView {
    /// Where: `evaporator inlet`, `evaporator outlet`, `compressor inlet`, `compressor outlet`, `condenser inlet`, `condenser outlet`, `valve`.
    pub at: &'static str,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Enthalpy.
    pub enthalpy_j_kg: f64,
}

/// Both ends of the saturation dome at one pressure.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DomePointView {
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Enthalpy of liquid at its bubble line.
    pub bubble_enthalpy_j_kg: f64,
    /// Enthalpy of vapour at its dew line.
    pub dew_enthalpy_j_kg: f64,
}

/// One draw of discharge air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawView {
    /// Condenser that draws.
    pub by: String,
    /// Condenser whose discharge it draws.
    pub from: String,
    /// Share of its intake that the job states.
    pub fraction: f64,
    /// Least share that the job calls possible.
    pub least: Option<f64>,
    /// Greatest share that the job calls possible.
    pub most: Option<f64>,
    /// Share at which the first condensing limit is reached at the stated heat; none where none is reached or stated.
    pub break_even: Option<f64>,
    /// What the break-even is, in words.
    pub break_even_words: String,
    /// Greatest share that a discharge jet leaves undiluted over the distance; none where the jet does not reach the intake
    /// or a size is missing.
    pub jet_bound: Option<f64>,
    /// Condensing temperature and capacity against this share.
    pub curve: Vec<DrawPointView>,
}

/// One point of the curve of a draw.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DrawPointView {
    /// The share.
    pub fraction: f64,
    /// Condensing temperature of each circuit, in the order of `circuits`.
    pub condensing_k: Vec<f64>,
    /// Capacity of all sets.
    pub capacity_w: f64,
}

/// One line of one set as a layout makes it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LayoutLineView {
    /// Set.
    pub set: String,
    /// `discharge`, `liquid`, `drain`, `suction`.
    pub service: String,
    /// Tube taken; none where none can be.
    pub tube: Option<String>,
    /// Run.
    pub run_m: f64,
    /// Lift in the direction of flow.
    pub lift_m: f64,
    /// Saturated temperature drop at summer.
    pub saturated_temperature_drop_k: Option<f64>,
    /// Least flash margin; liquid lines only.
    pub flash_margin_k: Option<f64>,
    /// The gravest verdict of its checks.
    pub verdict: VerdictView,
}

/// Wind on the frames of a layout: the worst frame.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoofView {
    /// Edition of the wind standard.
    pub edition: String,
    /// Velocity pressure.
    pub velocity_pressure_pa: f64,
    /// Sideways force on the frame.
    pub lateral_n: f64,
    /// Uplift on the frame.
    pub uplift_n: f64,
    /// Tension of one windward anchor, allowable-stress design; 0 where the weight holds it.
    pub tension_n: f64,
    /// Shear of one anchor, allowable-stress design.
    pub shear_n: f64,
    /// Tension of one windward anchor, strength design.
    pub tension_strength_n: f64,
    /// Shear of one anchor, strength design.
    pub shear_strength_n: f64,
    /// Anchors of the frame.
    pub anchors: u32,
    /// Weight on the footprint.
    pub weight_pa: f64,
    /// What to mind, a sentence each.
    pub remarks: Vec<String>,
}

/// Sound of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SoundView {
    /// Sound power of all units.
    pub power_db: f64,
    /// Distance to the nearest listener; none where not stated.
    pub distance_m: Option<f64>,
    /// Level there, nothing in the way.
    pub level_db: Option<f64>,
}

/// The year of a layout.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LayoutYearView {
    /// Hours summed over.
    pub hours: f64,
    /// Energy, fans included.
    pub energy_kwh: f64,
    /// Cold made.
    pub cold_kwh: f64,
    /// Cold needed and not made.
    pub short_kwh: f64,
    /// Hours running, mean of the sets.
    pub running_h: f64,
    /// Hours in which head-pressure control holds a circuit up.
    pub held_h: f64,
    /// Hours with a circuit above its greatest condensing temperature; none where none is stated.
    pub above_limit_h: Option<f64>,
    /// Hours at temperatures for which there is no balance.
    pub unknown_h: f64,
}

/// The weather of the year.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeatherView {
    /// What it is, in words.
    pub what: String,
    /// Hours known.
    pub hours: f64,
    /// Hours missing; they are in no sum.
    pub missing_h: f64,
    /// Coldest air.
    pub coldest_k: f64,
    /// Warmest air.
    pub warmest_k: f64,
    /// Mean air.
    pub mean_k: f64,
}

/// Circuits at one outdoor temperature.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AirPointView {
    /// Outdoor air.
    pub outdoor_air_k: f64,
    /// Condensing temperature of each circuit, in the order of `circuits`; none where there is no balance.
    pub condensing_k: Vec<Option<f64>>,
    /// Whether each is held up.
    pub held: Vec<bool>,
    /// Share of its condenser that each needs; 1 where it floats.
    pub active_share: Vec<f64>,
    /// Refrigerant that floods the rest of it; none where no valve floods it, or its inside volume is not stated.
    pub winter_gross_kg: Vec<Option<f64>>,
    /// The same less what that part holds anyway.
    pub winter_net_kg: Vec<Option<f64>>,
}

/// A name for one line of one set, for a tag at each end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagView {
    /// What stands on the tag.
    pub tag: String,
    /// Set.
    pub set: String,
    /// Service.
    pub service: String,
    /// Condenser that it ends at.
    pub condenser: String,
}
