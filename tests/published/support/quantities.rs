//! Short names for quantities that reference tables state as plain numbers, and lines built of them.

use physics::{
    fittings::ThreeK,
    fluid::{Refrigerant, State},
    line::{Element, Inlet, Line, Outlet, Phase, Tolerance, march},
    units::{
        AbsolutePressure, Bore, BubbleTemperature, DewTemperature, Length, MassDensity, MassRate, Ratio,
        TemperatureInterval, ThermodynamicTemperature,
        unit::{
            length::{meter, micrometer, millimeter},
            mass_density::kilogram_per_cubic_meter,
            mass_rate::kilogram_per_second,
            ratio::ratio,
            temperature_interval, thermodynamic_temperature,
        },
    },
};

/// kW of one ton of refrigeration (12 000 Btu/h).
pub(crate) const TON_KW: f64 = 3.516_853;
pub(crate) const FOOT_M: f64 = 0.3048;
pub(crate) const INCH_MM: f64 = 25.4;
pub(crate) const PSI_PA: f64 = 6_894.757;
/// Roughness of drawn copper tube behind the handbook tables (1.5 um).
pub(crate) const DRAWN_COPPER_UM: f64 = 1.5;

pub(crate) fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<thermodynamic_temperature::degree_celsius>(value)
}

pub(crate) fn fahrenheit(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<thermodynamic_temperature::degree_fahrenheit>(value)
}

pub(crate) fn kelvins(value: f64) -> TemperatureInterval {
    TemperatureInterval::new::<temperature_interval::kelvin>(value)
}

pub(crate) fn bubble(fluid: &dyn Refrigerant, temperature: ThermodynamicTemperature) -> State {
    fluid.at_bubble(BubbleTemperature::new(temperature)).unwrap()
}

pub(crate) fn dew(fluid: &dyn Refrigerant, temperature: ThermodynamicTemperature) -> State {
    fluid.at_dew(DewTemperature::new(temperature)).unwrap()
}

pub(crate) fn pascals(value: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(value)
}

pub(crate) fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

pub(crate) fn bore_mm(value: f64) -> Bore {
    Bore::new(Length::new::<millimeter>(value))
}

pub(crate) fn density(kg_m3: f64) -> MassDensity {
    MassDensity::new::<kilogram_per_cubic_meter>(kg_m3)
}

pub(crate) fn mass_rate(kg_s: f64) -> MassRate {
    MassRate::new::<kilogram_per_second>(kg_s)
}

pub(crate) fn number(value: f64) -> Ratio {
    Ratio::new::<ratio>(value)
}

pub(crate) fn leg(length_m: f64, rise_m: f64) -> Element {
    Element::Leg { length: metres(length_m), rise: metres(rise_m) }
}

pub(crate) fn fitting(coefficients: ThreeK, count: u32) -> Element {
    Element::Fitting { coefficients, count }
}

pub(crate) fn line(bore: Bore, roughness_um: f64, elements: Vec<Element>) -> Line {
    Line::new(bore, Length::new::<micrometer>(roughness_um), elements)
}

pub(crate) fn inlet(phase: Phase, state: &State, rate_kg_s: f64) -> Inlet {
    Inlet { phase, pressure: state.pressure, enthalpy: state.enthalpy, mass_rate: mass_rate(rate_kg_s) }
}

pub(crate) fn outlet(fluid: &dyn Refrigerant, line: &Line, inlet: Inlet) -> Outlet {
    march(fluid, line, inlet, Tolerance::default(), &mut |_| {}).unwrap().value
}
