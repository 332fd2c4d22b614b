//! The charge budget of one set: what it needs, what takes it up, whether it is allowed, and where to stop.

use serde::Serialize;

/// The budget of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BudgetView {
    /// To be weighed in for lines and winter; absent where one of the two is not known.
    pub added_kg: Option<f64>,
    /// All that is then in the circuit; absent where it is not known.
    pub total_kg: Option<f64>,
    /// Whether that much is allowed.
    pub allowed: AllowedView,
    /// What the scale never may exceed, where any limit is known.
    pub stop_kg: Option<f64>,
    /// When to stop, in words.
    pub stop: String,
    /// Where the charge is.
    pub parts: Vec<BudgetPartView>,
    /// What floods the condenser in the coldest air.
    pub winter: WinterView,
    /// What the receiver takes; absent where no volume of it is stated.
    pub receiver: Option<ReceiverView>,
    /// Where refrigerant goes while the set stands.
    pub standstill: StandstillView,
    /// What rules on leaks say of a charge like this.
    pub notices: Vec<NoticeView>,
    /// Cylinders to charge from and to recover into; absent where the charge is not known.
    pub cylinders: Option<CylindersView>,
    /// Oil for the added charge by the maker's rule, by weight.
    pub oil_kg: Option<f64>,
    /// How to charge, and what to beware of.
    pub remarks: Vec<String>,
}

/// Whether a charge is allowed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AllowedView {
    /// `yes`, `no`, `not known`, `withheld`.
    pub answer: String,
    /// Why, in words.
    pub why: String,
}

/// One part of the charge. Low and high are the ends of what it may be.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BudgetPartView {
    /// What holds it.
    pub part: String,
    /// The least; absent where nothing is known.
    pub low_kg: Option<f64>,
    /// The most.
    pub high_kg: Option<f64>,
    /// How it was found, or what it would take.
    pub how: String,
}

/// Winter of one set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WinterView {
    /// `nothing floods`, `covered by the plate`, `added`, `not known`.
    pub state: String,
    /// The same in a sentence.
    pub why: String,
    /// The question that has to be answered before there is a total.
    pub question: Option<String>,
    /// Added for winter; absent where it is not known.
    pub added_kg: Option<f64>,
    /// In the coldest air of the site.
    pub at_lowest_air: Option<FloodedView>,
    /// In the coldest air that the plate covers.
    pub at_covered_winter: Option<FloodedView>,
    /// From the coldest air up to where nothing floods any more.
    pub curve: Vec<FloodedView>,
    /// What fans that hold the head pressure do in the coldest air.
    pub fans: Option<FanInWinterView>,
    /// What these would take where they could not be computed.
    pub missing: Option<String>,
}

/// Fans that hold the head pressure.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FanInWinterView {
    /// The coldest air.
    pub air_c: f64,
    /// Share of the time that cycling fans run.
    pub on_time: Option<f64>,
    /// Speed over full speed of fans that slow down, by condenser.
    pub speed: Vec<(String, f64)>,
    /// Whether still air and wind, which are not computed, count: it runs even less.
    pub still_air: bool,
}

/// A condenser circuit flooded in air of a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct FloodedView {
    /// The air.
    pub air_c: f64,
    /// Mid of the bubble and dew temperature of the held pressure.
    pub held_c: f64,
    /// Heat to reject: that of the least load where it is stated.
    pub heat_rejection_w: f64,
    /// Heat of the circuit for each kelvin in this air, the other circuits of its housings at rest.
    pub conductance_w_k: f64,
    /// Inside volume of the circuit.
    pub coil_volume_m3: f64,
    /// Share of it that is full of liquid.
    pub flooded_share: f64,
    /// The same while the other circuits of its housings run as warm.
    pub flooded_share_all_running: f64,
    /// Density of that liquid, saturated at the temperature of the air.
    pub liquid_density_kg_m3: f64,
    /// All of it.
    pub gross_kg: f64,
    /// Less what that share of the coil holds anyway.
    pub net_kg: f64,
}

/// Fill of the receiver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReceiverView {
    /// Its inside volume.
    pub volume_m3: f64,
    /// Liquid below its outlet on a hot day.
    pub seal_kg: f64,
    /// Saturation temperature in it on a hot day.
    pub hot_c: f64,
    /// Mass that is in it as liquid on a hot day, net and gross of what the coil holds anyway.
    pub hot_day_kg: Option<[f64; 2]>,
    /// Share of its volume that this liquid takes.
    pub hot_day_fill: Option<[f64; 2]>,
    /// The same at 90 °F.
    pub fill_at_90_f: Option<[f64; 2]>,
    /// On a hot day at the end of a harvest.
    pub harvest_fill: Option<[f64; 2]>,
    /// With the whole charge in it, at 90 °F.
    pub pump_down_fill: Option<f64>,
    /// Most that it takes at 80 % on a hot day.
    pub at_80_percent_kg: f64,
    /// Most that it takes at 90 % at 90 °F.
    pub at_90_percent_kg: f64,
    /// Temperature at which it is full of liquid when it is shut on a hot day.
    pub liquid_full_c: Option<f64>,
    /// Temperature that it must stand.
    pub design_c: f64,
}

/// A set at rest in the coldest air.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StandstillView {
    /// Refrigerant that can end up in the cold; absent where it could not be computed.
    pub in_the_cold_kg: Option<f64>,
    /// Whether it is the volume of the cold side that ends it: full of liquid.
    pub cold_side_full: bool,
    /// Pressure of all of the set then, above the atmosphere of the site.
    pub gauge_pa: Option<f64>,
    /// What the set calls for.
    pub calls_for: Vec<String>,
}

/// What one rule says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NoticeView {
    /// What the rule is about.
    pub rule: String,
    /// The charge that the rule begins at.
    pub from_kg: f64,
    /// Whether the charge reaches it; absent where the charge is not known.
    pub reached: Option<bool>,
    /// What follows then.
    pub then: Vec<String>,
    /// Date of the rule, as far as the source has one.
    pub date: Option<String>,
    /// Where it was read.
    pub source: String,
    /// Grade of that.
    pub grade: String,
    /// Whether it is only recalled.
    pub unconfirmed: bool,
}

/// Cylinders.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CylindersView {
    /// Cylinders of 25 lb to take what is added.
    pub to_charge: u32,
    /// Refrigerant in each of these.
    pub charge_each_kg: f64,
    /// Most in a recovery cylinder of 26.2 lb water capacity.
    pub recovery_each_kg: f64,
    /// Such cylinders to take the whole charge.
    pub to_recover: u32,
    /// Share of such a cylinder that is liquid at 130 °F; absent beyond the property data.
    pub hot_liquid_share: Option<f64>,
}
