//! What rows about work in the field ask for, published and computed alike.

use super::{LIBRARY, Row, pascals};
use physics::{
    field::{
        charge_limit::{CylinderFill, cylinder_fill},
        electrical::{CircuitLoads, OvercurrentDevices, overcurrent_devices},
        vacuum::Passage,
        water::{WaterFlow, WaterTube, water_flow},
    },
    units::{
        AbsolutePressure, Bore, ElectricCurrent, Length, Mass, Ratio, ThermodynamicTemperature, VolumeRate,
        unit::{
            electric_current::ampere,
            length::{foot, inch, meter, micrometer},
            mass::pound,
            ratio::ratio,
            thermodynamic_temperature::degree_fahrenheit,
            volume_rate::gallon_per_minute,
        },
    },
};

/// 1 micron of mercury, 1 mTorr.
pub(crate) const MICRON_PA: f64 = 101_325.0 / 760_000.0;

pub(crate) fn microns(value: f64) -> AbsolutePressure {
    pascals(MICRON_PA * value)
}

pub(crate) fn bore_inches(value: f64) -> Bore {
    Bore::new(Length::new::<inch>(value))
}

/// A hose or tube in metres.
pub(crate) fn passage(bore_m: f64, length_m: f64) -> Passage {
    Passage::new(Bore::new(Length::new::<meter>(bore_m)), Length::new::<meter>(length_m)).unwrap()
}

pub(crate) fn loads(row: &Row) -> CircuitLoads {
    let motors = row.pair("inputs", "motors_A").split(' ').map(|text| text.parse().unwrap());
    let motors: Vec<_> = motors.map(ElectricCurrent::new::<ampere>).collect();
    CircuitLoads::new(&motors, ElectricCurrent::new::<ampere>(row.keyed("inputs", "other_A"))).unwrap()
}

pub(crate) fn devices(row: &Row) -> OvercurrentDevices {
    let sizes: Vec<_> = LIBRARY.field().overcurrent_sizes().iter().map(|size| size.value).collect();
    overcurrent_devices(&loads(row), &sizes).unwrap().value
}

pub(crate) fn cylinder(row: &Row) -> CylinderFill {
    let pounds = |key| Mass::new::<pound>(row.keyed("inputs", key));
    let gravity = Ratio::new::<ratio>(row.keyed("inputs", "gravity"));
    cylinder_fill(pounds("water_capacity_lb"), pounds("tare_lb"), gravity).unwrap().value
}

/// 100 ft of smooth copper.
pub(crate) fn flow(row: &Row) -> WaterFlow {
    let input = |key| row.keyed("inputs", key);
    let tube = WaterTube {
        bore: bore_inches(input("bore_in")),
        length: Length::new::<foot>(100.0),
        roughness: Length::new::<micrometer>(super::DRAWN_COPPER_UM),
    };
    let rate = VolumeRate::new::<gallon_per_minute>(input("gpm"));
    let water = ThermodynamicTemperature::new::<degree_fahrenheit>(input("water_F"));
    water_flow(&tube, rate, water).unwrap().value
}
