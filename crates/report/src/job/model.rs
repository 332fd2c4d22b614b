//! A checked job: what was written, with where it was written.
//!
//! Every quantity lies in the range its key allows; cross-field checks that need no property data have been made.
//! Names of refrigerants, tubes and limits are still text: they are resolved against the tables later.

use super::{
    attached::Attached,
    diagnose::{Located, Source, Span},
    field::FieldWork,
    outline::{Outline, Plan},
    part::Part,
    quantity::{PressureReading, SaturatedTemperature, SoundPowerLevel},
    route::{Leg, Route},
    size::{SizeRequest, TubeRequest},
};
use crate::figure::Units;
use physics::units::{
    Frequency, HeatTransfer, Length, LinearMassDensity, Mass, MassDensity, Power, Pressure, Ratio,
    TemperatureInterval, ThermalConductivity, ThermodynamicTemperature, Velocity, Volume, VolumeRate,
    unit::ratio::ratio,
};
pub use physics::{condenser::SaturationReference, layout::Sharing, sizing::Service};
use std::sync::Arc;
pub use tables::roof::{Edition, Exposure};

/// A job file, checked.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// The file that it was read from; faults found later point into it.
    pub source: Arc<Source>,
    /// Name of the job.
    pub name: Located<String>,
    /// What is printed first; US when not said.
    pub units: Units,
    /// Where the job stands.
    pub site: Site,
    /// Surroundings that legs may lie in, in the order of the file; `indoors` only where the file says something of it.
    pub places: Vec<Place>,
    /// What tube there is; all of the tables' when not said.
    pub stock: Stock,
    /// Limits that take the place of the default ones.
    pub limits: Vec<LimitOverride>,
    /// The sets, in the order of the file; at least one.
    pub sets: Vec<Set>,
    /// Condensers described on their own.
    pub condensers: Vec<Condenser>,
    /// Ways to place the condensers.
    pub layouts: Vec<Layout>,
    /// The roof that they stand on.
    pub roof: Option<Roof>,
    /// The year that they run through.
    pub year: Option<Year>,
    /// What the files hold that the job names; empty until they are attached.
    pub attached: Attached,
}

impl Job {
    /// The condensers in the order of a layout, bottom to top or left to right; that of the file when it says none.
    #[must_use]
    pub fn standing(&self, layout: &Layout) -> Vec<&Condenser> {
        let named = |name: &str| self.condensers.iter().find(|condenser| condenser.name.value == name);
        if layout.order.is_empty() {
            return self.condensers.iter().collect();
        }
        layout.order.iter().filter_map(|name| named(&name.value)).collect()
    }
}

/// Where the job stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Height above the sea, -500 m to 5000 m.
    pub altitude: Option<Located<Length>>,
    /// Air entering the condenser on the design day.
    pub design_air: Located<ThermodynamicTemperature>,
    /// Air on the coldest day.
    pub lowest_air: Option<Located<ThermodynamicTemperature>>,
    /// How much warmer the air on the roof is than the design air, 0 to 20 K.
    pub roof_allowance: Option<Located<TemperatureInterval>>,
}

/// Named surroundings.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Name.
    pub name: Located<String>,
    /// Air there on the design day; around the enclosure where the place is shared.
    pub air: Option<Located<ThermodynamicTemperature>>,
    /// Whether the sun shines on the line.
    pub sun: bool,
    /// Wind on the line, 0 to 60 m/s.
    pub wind: Option<Located<Velocity>>,
    /// How moist the air is.
    pub moisture: Option<Moisture>,
    /// Whether the lines run together in one enclosure, a chase.
    pub shared: bool,
    /// Inside perimeter of the enclosure, 0.05 to 10 m; only where shared.
    pub girth: Option<Located<Length>>,
    /// Heat transfer coefficient of the enclosure's wall, 0.1 to 20 W/(m² K); only where shared.
    pub u_value: Option<Located<HeatTransfer>>,
}

/// How moist air is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moisture {
    /// Relative humidity, 1 % to 100 %.
    Humidity(Located<Ratio>),
    /// Dew point of the air.
    DewPoint(Located<ThermodynamicTemperature>),
}

/// What tube there is.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// Names of standards and forms, `ASTM B280 coil`; empty when all are in stock.
    pub tubes: Vec<Located<String>>,
    /// Sizes that are not in stock.
    pub leave_out: Vec<Located<SizeRequest>>,
}

/// One entry of `[limits]`. Its quantity is known only when the limit is: the text is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitOverride {
    /// Name of the limit.
    pub key: Located<String>,
    /// The limit as written.
    pub text: Located<String>,
}

/// One head, its lines and its condenser circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// Name; goes on the tags. Letters, digits, spaces, `-`, `_`, at most 40.
    pub name: Located<String>,
    /// Name of the refrigerant.
    pub refrigerant: Located<String>,
    /// Where the compressor is.
    pub compressor_at: Located<CompressorAt>,
    /// Where the receiver is.
    pub receiver_at: Located<ReceiverAt>,
    /// What is known of the load.
    pub duty: Duty,
    /// What is known of the compressor beside its input; never where the load is stated from the warm side.
    pub compressor: Option<CompressorData>,
    /// Saturation temperature at the condenser.
    pub condensing: Located<SaturatedTemperature>,
    /// Saturation temperature at the condenser never to exceed.
    pub greatest_condensing: Option<Located<SaturatedTemperature>>,
    /// Subcooling.
    pub subcooling: Located<Subcooling>,
    /// Least load as a share of the design load, 5 % to 100 %.
    pub least_load: Option<Located<Ratio>>,
    /// Flow at the start of freeze or pull-down against design, 1 to 5.
    pub peak_flow: Option<Located<Ratio>>,
    /// How the head pressure is held.
    pub head_pressure: HeadPressure,
    /// Density of the oil at the condition where it must return, 600 to 1300 kg/m³.
    pub oil_density: Option<Located<MassDensity>>,
    /// Pressure difference across the condenser coil at design, 0 to 5 bar.
    pub coil_drop: Option<Located<Pressure>>,
    /// Shares of the capacity that the compressor can run at, falling from 100 %; empty when not said.
    pub capacity_steps: Vec<Located<Ratio>>,
    /// Speed of the compressor, 1 to 200 Hz.
    pub compressor_speed: Option<Located<Frequency>>,
    /// Cylinders of the compressor, 1 to 16.
    pub cylinders: Option<Located<u32>>,
    /// What the receiver is; nothing of it is stated where there is none.
    pub receiver: Receiver,
    /// The maker's rule for oil: its mass for each mass of added charge, 0.1 % to 50 %.
    pub oil_per_charge: Option<Located<Ratio>>,
    /// What the equipment withstands, and what guards it.
    pub strength: Strength,
    /// Tubes that the equipment ends in.
    pub connections: Connections,
    /// What the plate says.
    pub maker: Option<Maker>,
    /// Smallest occupied room that the refrigerant can leak into.
    pub room: Option<Room>,
    /// The way from head to condenser.
    pub route: Route,
    /// The lines; at least one, one a service at most.
    pub lines: Vec<Line>,
    /// Work on the day: tests, evacuation, holding charge, power, water.
    pub field: FieldWork,
    /// Keys whose unlikely values the writer confirms.
    pub confirmed: Vec<String>,
}

impl Set {
    /// The line of a service.
    #[must_use]
    pub fn line(&self, service: Service) -> Option<&Line> {
        self.lines.iter().find(|line| line.service == service)
    }
}

/// Where the compressor is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum CompressorAt {
    Head,
    Condenser,
}

/// Where the receiver is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum ReceiverAt {
    Head,
    Condenser,
    None,
}

/// What is known of the load, in one of four ways.
#[derive(Clone, Debug, PartialEq)]
pub enum Duty {
    /// Refrigerating capacity with compressor input.
    Capacity {
        /// Refrigerating capacity.
        capacity: Located<Power>,
        /// Electrical input of the compressor.
        compressor_input: Located<Power>,
        /// Saturation temperature at the evaporator.
        evaporating: Located<SaturatedTemperature>,
        /// Superheat at the evaporator outlet.
        superheat: Located<TemperatureInterval>,
    },
    /// Heat rejected in the condenser with the temperature of the discharge gas.
    HeatRejection {
        /// Heat given off by the condenser.
        heat_rejection: Located<Power>,
        /// Temperature of the gas that leaves the compressor.
        discharge_gas: Located<ThermodynamicTemperature>,
        /// Saturation temperature at the evaporator, needed for a suction line only.
        evaporating: Option<Located<SaturatedTemperature>>,
        /// Superheat at the evaporator outlet, needed for a suction line only.
        superheat: Option<Located<TemperatureInterval>>,
    },
    /// What the compressor gives: its map, or refrigerating capacity with isentropic efficiency. [`Set::compressor`]
    /// is there.
    Compressor {
        /// Refrigerating capacity: always there beside an efficiency; beside a map it is checked against that, not used.
        capacity: Option<Located<Power>>,
        /// Saturation temperature at the evaporator.
        evaporating: Located<SaturatedTemperature>,
        /// Superheat at the evaporator outlet.
        superheat: Located<TemperatureInterval>,
    },
    /// The ice that is made. [`Set::compressor`] may state the isentropic efficiency, never a map.
    Ice {
        /// Ice made in a day of 24 h, 1 kg to 100 000 kg.
        ice_per_day: Located<Mass>,
        /// Temperature of the water that it is made of, 0 °C to 50 °C.
        water: Located<ThermodynamicTemperature>,
        /// Saturation temperature at the evaporator.
        evaporating: Located<SaturatedTemperature>,
        /// Superheat at the evaporator outlet.
        superheat: Located<TemperatureInterval>,
    },
}

impl Duty {
    /// The statement that decides how hot the gas gets, or the one nearest to it.
    #[must_use]
    pub fn span(&self) -> Span {
        match self {
            Self::Capacity { compressor_input, .. } => compressor_input.span,
            Self::HeatRejection { discharge_gas, .. } => discharge_gas.span,
            Self::Compressor { capacity, evaporating, .. } => {
                capacity.map_or(evaporating.span, |capacity| capacity.span)
            }
            Self::Ice { ice_per_day, .. } => ice_per_day.span,
        }
    }

    /// Saturation temperature at the evaporator, where stated.
    #[must_use]
    pub fn evaporating(&self) -> Option<Located<SaturatedTemperature>> {
        match self {
            Self::Capacity { evaporating, .. }
            | Self::Compressor { evaporating, .. }
            | Self::Ice { evaporating, .. } => Some(*evaporating),
            Self::HeatRejection { evaporating, .. } => *evaporating,
        }
    }

    /// Superheat at the evaporator outlet, where stated.
    #[must_use]
    pub fn superheat(&self) -> Option<Located<TemperatureInterval>> {
        match self {
            Self::Capacity { superheat, .. }
            | Self::Compressor { superheat, .. }
            | Self::Ice { superheat, .. } => Some(*superheat),
            Self::HeatRejection { superheat, .. } => *superheat,
        }
    }
}

/// What is known of a compressor.
#[derive(Clone, Debug, PartialEq)]
pub enum CompressorData {
    /// Its map: a file with ten coefficients a quantity, as written.
    Map(Located<String>),
    /// Its isentropic efficiency, 20 % to 95 %.
    IsentropicEfficiency(Located<Ratio>),
}

/// Subcooling and where it is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Subcooling {
    /// How far below the bubble temperature, 0 to 50 K.
    pub difference: TemperatureInterval,
    /// Where.
    pub at: SubcoolingAt,
}

/// Where the subcooling is found; at the condenser outlet when not said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum SubcoolingAt {
    CondenserOutlet,
    ReceiverOutlet,
}

/// How the head pressure is held in winter.
#[derive(Clone, Debug, PartialEq)]
pub struct HeadPressure {
    /// By what.
    pub method: Located<HeadPressureMethod>,
    /// Where the valve is; always there for a flooding valve.
    pub at: Option<Located<HeadPressureAt>>,
    /// What is held; there unless the method is `none`.
    pub setting: Option<Located<HeadPressureSetting>>,
    /// Pressure difference between condenser and receiver at which the bypass of a flooding valve opens.
    pub opens_at_difference: Option<Located<Pressure>>,
}

/// By what the head pressure is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum HeadPressureMethod {
    FloodingValve,
    FanCycling,
    FanSpeed,
    None,
}

/// Where the head-pressure valve is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum HeadPressureAt {
    Head,
    Condenser,
}

/// Head pressure that is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeadPressureSetting {
    /// As saturation temperature.
    Saturated(SaturatedTemperature),
    /// As pressure.
    Pressure(PressureReading),
}

/// What a receiver is. Seal and harvest charge are there only where the volume is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Receiver {
    /// Inside volume, 0.1 to 1000 L.
    pub volume: Option<Located<Volume>>,
    /// Share of it that stays below the outlet, 0 to 50 %.
    pub seal: Option<Located<Ratio>>,
    /// Liquid that a harvest or defrost sends into it, 1 g to 100 kg.
    pub harvest_charge: Option<Located<Mass>>,
}

/// A room that people are in.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Name, where stated.
    pub name: Option<Located<String>>,
    /// Volume, 1 to 100 000 m³.
    pub volume: Located<Volume>,
    /// Whether people there can not leave by themselves: hospitals, cells.
    pub institutional: bool,
}

/// What the equipment withstands, and what guards it. Every pressure is 0.5 to 200 bar, gauge or absolute.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Strength {
    /// Temperature whose saturation pressure the equipment must hold, -20 °C to 90 °C.
    pub design_temperature: Option<Located<ThermodynamicTemperature>>,
    /// Pressure at which the relief opens.
    pub relief: Option<Located<PressureReading>>,
    /// Pressure at which the compressor is cut out; not above the relief.
    pub cut_out: Option<Located<PressureReading>>,
    /// Rated pressures, each with the name of its part, in the order of the file.
    pub ratings: Vec<(Located<String>, Located<PressureReading>)>,
}

/// Tubes that the equipment ends in, one a service at most; only of services that the set has a line for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Connections {
    /// At the head.
    pub head: Vec<Connection>,
    /// At the condenser.
    pub condenser: Vec<Connection>,
}

/// One tube that a piece of equipment ends in.
#[derive(Clone, Debug, PartialEq)]
pub struct Connection {
    /// Service of the line that it takes.
    pub service: Service,
    /// Its size.
    pub size: Located<SizeRequest>,
}

/// What the plate says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Maker {
    /// Charge shipped.
    pub factory_charge: Option<Located<Mass>>,
    /// Charge never to exceed.
    pub greatest_charge: Option<Located<Mass>>,
    /// Run that it covers; may be 0.
    pub covered_run: Option<Located<Length>>,
    /// Tubes that it covers, one a service at most.
    pub covered_tubes: Vec<CoveredTube>,
    /// Coldest air that it covers.
    pub covered_winter: Option<Located<ThermodynamicTemperature>>,
    /// Run never to exceed.
    pub longest_run: Option<Located<Length>>,
    /// Lift never to exceed.
    pub highest_rise: Option<Located<Length>>,
    /// Charge to be added per length of line.
    pub charge_per_length: Option<ChargePerLength>,
    /// Lengths of the ready-made charged tube sets on offer, 1 to 100 m, none twice; empty when not said.
    pub kits: Vec<Located<Length>>,
    /// Height at each of which the maker asks for a trap, 1 to 30 m.
    pub traps_every: Option<Located<Length>>,
}

/// A tube that the factory charge covers.
#[derive(Clone, Debug, PartialEq)]
pub struct CoveredTube {
    /// Service of the line.
    pub service: Service,
    /// The tube.
    pub tube: Located<SizeRequest>,
}

/// The maker's charge per length.
#[derive(Clone, Debug, PartialEq)]
pub enum ChargePerLength {
    /// For all lines together, per length of run.
    Together(Located<LinearMassDensity>),
    /// Line by line, one a service at most.
    Each(Vec<(Service, Located<LinearMassDensity>)>),
}

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What flows in it.
    pub service: Service,
    /// Its tube, or that the tool is to choose.
    pub tube: Located<TubeRequest>,
    /// Thickness of the insulation; absent for a bare line.
    pub insulation: Option<Located<Length>>,
    /// Thermal conductivity of the insulation, 0.01 to 0.2 W/(m K); only of an insulated line.
    pub insulation_conductivity: Option<Located<ThermalConductivity>>,
    /// Outer surface, as written.
    pub finish: Option<Located<String>>,
    /// How its joints are made.
    pub joints: Option<Located<Joints>>,
    /// From the compressor to the first anchor, 0.05 to 30 m; of a discharge line only.
    pub first_anchor: Option<Located<Length>>,
    /// Parts in it.
    pub parts: Vec<Located<Part>>,
    /// How its turns are made; by the form of the tube when not said.
    pub fittings: Option<Located<Fittings>>,
}

/// How turns are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Fittings {
    ShortElbows,
    LongElbows,
    Bends,
}

/// How joints are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Joints {
    Brazed,
    Mechanical,
}

/// A condenser described on its own: one housing with its coil and fans.
#[derive(Clone, Debug, PartialEq)]
pub struct Condenser {
    /// Name.
    pub name: Located<String>,
    /// Sets that it serves, each by a circuit of its own; at least one, none twice.
    pub serves: Vec<Located<String>>,
    /// How the circuits lie in the coil; there where it serves several sets, and only there.
    pub circuits: Option<Located<Sharing>>,
    /// Share of the coil that each circuit has, as many as sets and 100 % together; empty when not said.
    pub shares: Vec<Located<Ratio>>,
    /// What it does.
    pub figures: Figures,
    /// Pressure difference across this coil at the set's design flow, 0 to 5 bar.
    pub coil_drop: Option<Located<Pressure>>,
    /// Height from the coil's outlet down to where its liquid joins that of another coil, 0 to 30 m.
    pub drop_leg: Option<Located<Length>>,
}

impl Condenser {
    /// The share of the coil that the circuit of a set has; equal shares when not said. `None` for a set that it does
    /// not serve.
    #[must_use]
    pub fn share(&self, set: &str) -> Option<Ratio> {
        let index = self.serves.iter().position(|served| served.value == set)?;
        let Some(share) = self.shares.get(index) else {
            return Some(Ratio::new::<ratio>(1.0 / self.serves.len() as f64));
        };
        // Shares are written rounded: three times 33.3 % is the whole coil.
        let sum: f64 = self.shares.iter().map(|share| share.value.get::<ratio>()).sum();
        Some(share.value / sum)
    }
}

/// What a condenser does.
#[derive(Clone, Debug, PartialEq)]
pub enum Figures {
    /// As a catalogue says.
    Catalogue {
        /// The file, as written.
        file: Located<String>,
        /// The model in it.
        model: Located<String>,
    },
    /// As the job says.
    Stated(Box<CondenserFigures>),
}

/// Figures of a condenser. Each may be absent: what needs it says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CondenserFigures {
    /// Heat at temperature differences, in the order of the file; no difference twice, and more heat at a greater one.
    pub rating: Vec<Located<RatingPoint>>,
    /// Name of the refrigerant of the rating.
    pub rating_refrigerant: Option<Located<String>>,
    /// What the temperature difference of the rating is measured from.
    pub td_refers_to: Option<Located<SaturationReference>>,
    /// Air entering at the rating, -60 °C to 80 °C.
    pub rating_air: Option<Located<ThermodynamicTemperature>>,
    /// Height above the sea of the rating, -500 m to 5000 m.
    pub rating_altitude: Option<Located<Length>>,
    /// Air through the coil, 0.01 to 100 m³/s.
    pub air_flow: Option<Located<VolumeRate>>,
    /// Electrical input of all its fans, 1 W to 100 kW.
    pub fan_power: Option<Located<Power>>,
    /// Volume inside the coil, 0.05 to 1000 L.
    pub coil_volume: Option<Located<Volume>>,
    /// Mass, 1 to 20 000 kg.
    pub mass: Option<Located<Mass>>,
    /// Outside measures, each 0.05 to 20 m.
    pub outline: Option<Located<Outline>>,
    /// Diameter of a fan, 0.1 to 3 m.
    pub fan_diameter: Option<Located<Length>>,
    /// Where the discharge air goes.
    pub discharge_air: Option<Located<DischargeAir>>,
    /// Sound power level, 20 to 130 dB.
    pub sound_power: Option<Located<SoundPowerLevel>>,
}

/// `10 kW at 15 K`: one point of a rating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatingPoint {
    /// Heat given off.
    pub heat_rejection: Power,
    /// Condensing temperature above the air that enters, 1 to 40 K.
    pub difference: TemperatureInterval,
}

/// Where discharge air leaves a condenser to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum DischargeAir {
    Level,
    Up,
}

/// A way to place the condensers.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Name.
    pub name: Located<String>,
    /// How they stand to each other.
    pub arrangement: Option<Located<Arrangement>>,
    /// Names of all condensers, each once, bottom to top or left to right; empty when not said. See [`Job::standing`].
    pub order: Vec<Located<String>>,
    /// Who draws whose discharge air; empty when said that nobody does. The draws of one stay below 100 % together.
    pub draws: Vec<Located<Draw>>,
    /// By set, legs that its route has in this layout besides, at the condenser's end; none of them stretches.
    pub added_legs: Vec<(Located<String>, Vec<Located<Leg>>)>,
    /// Room around the condensers.
    pub clear: Clear,
    /// Whether the discharge faces the prevailing wind, where said.
    pub faces_wind: Option<Located<bool>>,
    /// To the nearest wall or parapet that the discharge blows at, up to 1 km.
    pub wall_in_front: Option<Located<Length>>,
    /// Anchors of one frame, an even number from 4 to 40.
    pub anchors: Option<Located<u32>>,
    /// Mass of one frame, 0 to 20 000 kg.
    pub frame_mass: Option<Located<Mass>>,
    /// Clear distance between neighbours, or from one to the next above it, 0 to 100 m.
    pub gap: Option<Located<Length>>,
}

/// How condensers stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Arrangement {
    /// Too far from each other to draw each other's air.
    Apart,
    /// Next to each other.
    SideBySide,
    /// One above the other.
    Stacked,
    /// Below the level of the roof around them.
    Pit,
    /// Behind a screen.
    Screen,
}

/// `upper draws 12 % from lower`, or `upper draws 12 % (5 % to 20 %) from lower`.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// Condenser that draws.
    pub by: String,
    /// Share of its intake, 0 to 1.
    pub share: Ratio,
    /// Range that the share may lie in, where said; it contains the share.
    pub visible_range: Option<ShareRange>,
    /// Condenser whose discharge air it draws; may be itself.
    pub from: String,
}

/// A range of shares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareRange {
    /// Least share, 0 to 1.
    pub least: Ratio,
    /// Greatest share, not below the least.
    pub most: Ratio,
}

/// Room around condensers, as far as said.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs)] // sides
pub struct Clear {
    pub front: Option<Located<Clearance>>,
    pub rear: Option<Located<Clearance>>,
    pub sides: Option<Located<Clearance>>,
    pub above: Option<Located<Clearance>>,
}

/// Room on one side of a condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Clearance {
    /// Nothing stands there.
    Open,
    /// To what stands there, up to 1 km.
    Distance(Length),
}

/// The roof. Each entry may be absent: what needs it says so.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roof {
    /// Basic wind speed, 10 to 120 m/s.
    pub wind_speed: Option<Located<Velocity>>,
    /// Edition of the standard that the wind speed is of.
    pub edition: Option<Located<Edition>>,
    /// How open the land around is.
    pub exposure: Option<Located<Exposure>>,
    /// Height of the roof above ground, 0 to 500 m.
    pub height: Option<Located<Length>>,
    /// The building, each side 1 m to 1 km.
    pub building: Option<Located<Plan>>,
    /// Height of the stand under the lowest unit, 0 to 10 m.
    pub stand: Option<Located<Length>>,
    /// Topographic factor, 1 to 3.
    pub topographic_factor: Option<Located<Ratio>>,
    /// Deepest snow on the roof, 0 to 10 m.
    pub snow: Option<Located<Length>>,
    /// To the nearest listener, 0.5 m to 10 km.
    pub neighbour: Option<Located<Length>>,
}

/// The year.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// Its weather.
    pub weather: Weather,
    /// Cold needed in every hour as a share of the capacity in summer, 10 % to 100 %; 100 % when not said.
    pub load: Option<Located<Ratio>>,
}

/// Weather of a year.
#[derive(Clone, Debug, PartialEq)]
pub enum Weather {
    /// A file of it, as written.
    File(Located<String>),
    /// Made from three numbers.
    Invented(InventedWeather),
}

impl Weather {
    /// Whether two jobs say the same, wherever it stands in them.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::File(one), Self::File(other)) => one.value == other.value,
            (Self::Invented(one), Self::Invented(other)) => {
                (one.mean.value, one.year.value, one.day.value)
                    == (other.mean.value, other.year.value, other.day.value)
            }
            _ => false,
        }
    }
}

/// Weather that is made from three numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InventedWeather {
    /// Mean temperature of the year, -30 °C to 45 °C.
    pub mean: Located<ThermodynamicTemperature>,
    /// Mean of summer minus mean of winter, 0 to 80 K.
    pub year: Located<TemperatureInterval>,
    /// Afternoon minus night, 0 to 40 K.
    pub day: Located<TemperatureInterval>,
}
