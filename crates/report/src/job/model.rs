//! A checked job: what was written, with where it was written.
//!
//! Every quantity lies in the range its key allows; cross-field checks that need no property data have been made.
//! Names of refrigerants, tubes and limits are still text: they are resolved against the tables later.

use super::{
    diagnose::{Located, Source},
    part::Part,
    quantity::{PressureReading, SaturatedTemperature},
    route::Route,
    size::{SizeRequest, TubeRequest},
};
use crate::figure::Units;
pub use physics::sizing::Service;
use physics::units::{
    Frequency, HeatTransfer, Length, LinearMassDensity, Mass, MassDensity, Power, Pressure, Ratio,
    TemperatureInterval, ThermalConductivity, ThermodynamicTemperature, Velocity,
};
use std::sync::Arc;

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
    /// Saturation temperature at the condenser.
    pub condensing: Located<SaturatedTemperature>,
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
    /// What the equipment withstands, and what guards it.
    pub strength: Strength,
    /// Tubes that the equipment ends in.
    pub connections: Connections,
    /// What the plate says.
    pub maker: Option<Maker>,
    /// The way from head to condenser.
    pub route: Route,
    /// The lines; at least one, one a service at most.
    pub lines: Vec<Line>,
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

/// What is known of the load: the cold side, or the warm side.
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
}

impl Duty {
    /// Saturation temperature at the evaporator, where stated.
    #[must_use]
    pub fn evaporating(&self) -> Option<Located<SaturatedTemperature>> {
        match self {
            Self::Capacity { evaporating, .. } => Some(*evaporating),
            Self::HeatRejection { evaporating, .. } => *evaporating,
        }
    }

    /// Superheat at the evaporator outlet, where stated.
    #[must_use]
    pub fn superheat(&self) -> Option<Located<TemperatureInterval>> {
        match self {
            Self::Capacity { superheat, .. } => Some(*superheat),
            Self::HeatRejection { superheat, .. } => *superheat,
        }
    }
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

/// A condenser described on its own. Beyond what it serves its entries are kept as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Condenser {
    /// Name.
    pub name: Located<String>,
    /// Set that it serves.
    pub serves: Located<String>,
    /// The other entries: key and text.
    pub rest: Vec<(Located<String>, Located<String>)>,
}

/// A way to place the condensers. Beyond who draws whose air its entries are kept as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Name.
    pub name: Located<String>,
    /// Who draws whose discharge air; empty when said that nobody does.
    pub draws: Vec<Located<Draw>>,
    /// The other entries: key and text.
    pub rest: Vec<(Located<String>, Located<String>)>,
}

/// `upper draws 12 % from lower`.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// Condenser that draws.
    pub by: String,
    /// Share of its intake, 0 to 1.
    pub share: Ratio,
    /// Condenser whose discharge air it draws; may be itself.
    pub from: String,
}
