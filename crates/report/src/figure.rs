//! How a quantity is written for people: once in US units, once in SI, with digits fixed for each quantity.
//!
//! All functions take SI numbers with the unit in the argument's name and return a [`Figure`] that holds both
//! texts, so that the two unit orders print the same two numbers. At most four significant digits, never `-0`.
//!
//! ```
//! use report::figure::{length, Units};
//! assert_eq!(length(28.0).both(Units::Us), "92 ft (28.0 m)");
//! assert_eq!(length(28.0).both(Units::Si), "28.0 m (92 ft)");
//! ```

/// Which units are printed first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "cli", derive(clap::ValueEnum))]
pub enum Units {
    /// Feet, °F, psi, pounds and ounces.
    #[default]
    Us,
    /// Metres, °C, kPa, kilograms.
    Si,
}

/// One quantity, written in both systems.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// In US units, `92 ft`.
    pub us: String,
    /// In SI units, `28.0 m`.
    pub si: String,
}

impl Figure {
    /// In the units asked for.
    #[must_use]
    pub fn first(&self, units: Units) -> &str {
        match units {
            Units::Us => &self.us,
            Units::Si => &self.si,
        }
    }

    /// In the other units.
    #[must_use]
    pub fn second(&self, units: Units) -> &str {
        match units {
            Units::Us => &self.si,
            Units::Si => &self.us,
        }
    }

    /// `92 ft (28.0 m)`; once only where both read the same.
    #[must_use]
    pub fn both(&self, units: Units) -> String {
        self.joined(units, " (", ")")
    }

    /// `0.4 ± 0.1 °F` from a value and its band, which have the same unit.
    #[must_use]
    pub fn with_band(&self, band: &Self) -> Self {
        let joined = |value: &str, band: &str| match value.split_once(' ') {
            Some((number, unit)) if band.ends_with(unit) => format!("{number} ± {band}"),
            _ => format!("{value} ± {band}"),
        };
        Self { us: joined(&self.us, &band.us), si: joined(&self.si, &band.si) }
    }

    /// The two numbers without their unit, `2025 (10.29)`, for a column whose header names the units.
    #[must_use]
    pub fn bare(&self, units: Units) -> String {
        let number = |text: &str| text.split(' ').next().unwrap_or_default().to_owned();
        Self { us: number(&self.us), si: number(&self.si) }.both(units)
    }

    /// One above the other, for the cell of a table; once only where both read the same.
    #[must_use]
    pub fn stacked(&self, units: Units) -> String {
        self.joined(units, "\n", "")
    }

    fn joined(&self, units: Units, between: &str, end: &str) -> String {
        if self.us == self.si {
            self.us.clone()
        } else {
            format!("{}{between}{}{end}", self.first(units), self.second(units))
        }
    }
}

/// Exact by definition of the international foot, pound and ounce.
pub(crate) const METRE_PER_FOOT: f64 = 0.3048;
const KILOGRAM_PER_POUND: f64 = 0.453_592_37;
pub(crate) const KILOGRAM_PER_OUNCE: f64 = KILOGRAM_PER_POUND / 16.0;
const STANDARD_GRAVITY: f64 = 9.806_65;
/// Pound-force at standard gravity over a square inch.
const PASCAL_PER_PSI: f64 = KILOGRAM_PER_POUND * STANDARD_GRAVITY / (0.0254 * 0.0254);
/// Conventional inch of mercury: 13 595.1 kg/m3 at standard gravity.
const PASCAL_PER_INHG: f64 = 0.0254 * 13_595.1 * STANDARD_GRAVITY;
/// Joule per kilogram for one Btu (international table) a pound.
const JOULE_KG_PER_BTU_LB: f64 = 2_326.0;
/// Watt for one Btu (international table) an hour.
const WATT_PER_BTU_H: f64 = 1_055.055_852_62 / 3_600.0;

/// Significant digits that a figure never exceeds.
const MOST_DIGITS: i32 = 4;

/// `value` with `decimals` digits after the point, fewer where it would have more than four significant digits.
fn fixed(value: f64, decimals: i32) -> String {
    if !value.is_finite() {
        return "not finite".into();
    }
    let places = decimals.min(MOST_DIGITS - digits_before_point(value));
    // Rounding may carry into a new digit: 999.96 is 1000 and not 1000.0.
    let rounded = round_to(value, places);
    let places = places.min(MOST_DIGITS - digits_before_point(rounded));
    // Adding zero turns the sign of -0 round.
    let rounded = round_to(value, places) + 0.0;
    format!("{rounded:.*}", usize::try_from(places).unwrap_or(0))
}

/// `value` with three significant digits, at most `decimals` of them after the point.
fn three_digits(value: f64, decimals: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return fixed(value, 0);
    }
    let first_digit = value.abs().log10().floor() as i32;
    fixed(value, (2 - first_digit).clamp(0, decimals))
}

fn digits_before_point(value: f64) -> i32 {
    // Leading zeros of a fraction are no significant digits: 0.03 counts as -1.
    if value == 0.0 { 1 } else { value.abs().log10().floor() as i32 + 1 }
}

fn round_to(value: f64, places: i32) -> f64 {
    let scale = 10_f64.powi(places.abs());
    if places >= 0 { (value * scale).round() / scale } else { (value / scale).round() * scale }
}

/// Length of a run, lift or leg, from metre: feet and metre.
#[must_use]
pub fn length(length_m: f64) -> Figure {
    let feet = length_m / METRE_PER_FOOT;
    // A leg of 6.5 ft is not one of 7 ft; a run of 92 ft needs no tenths.
    let decimals = i32::from(feet.abs() < 10.0);
    Figure { us: format!("{} ft", fixed(feet, decimals)), si: format!("{} m", fixed(length_m, 1)) }
}

/// Area of roof, from square metre: square feet and square metre.
#[must_use]
pub fn area(area_m2: f64) -> Figure {
    let square_feet = area_m2 / (METRE_PER_FOOT * METRE_PER_FOOT);
    Figure { us: format!("{} ft2", fixed(square_feet, 1)), si: format!("{} m2", fixed(area_m2, 2)) }
}

/// Diameter or bore, from millimetre: inch and millimetre.
#[must_use]
pub fn diameter(diameter_mm: f64) -> Figure {
    Figure { us: format!("{} in", fixed(diameter_mm / 25.4, 3)), si: format!("{} mm", fixed(diameter_mm, 2)) }
}

/// Growth by heat or radius of a bend, from millimetre: as a rule is read, hundredths of an inch and millimetre.
#[must_use]
pub fn short_length(length_mm: f64) -> Figure {
    Figure { us: format!("{} in", fixed(length_mm / 25.4, 2)), si: format!("{} mm", fixed(length_mm, 0)) }
}

/// Temperature, from degree Celsius.
#[must_use]
pub fn temperature(temperature_c: f64) -> Figure {
    Figure {
        us: format!("{} °F", fixed(temperature_c * 1.8 + 32.0, 0)),
        si: format!("{} °C", fixed(temperature_c, 1)),
    }
}

/// Temperature on a saturation line, from degree Celsius: tenths, because a gauge tells them apart.
#[must_use]
pub fn saturation_temperature(temperature_c: f64) -> Figure {
    Figure {
        us: format!("{} °F", fixed(temperature_c * 1.8 + 32.0, 1)),
        si: format!("{} °C", fixed(temperature_c, 1)),
    }
}

/// Degree Celsius of a temperature in kelvin, as the functions here take it.
#[must_use]
pub fn celsius(temperature_k: f64) -> f64 {
    temperature_k - 273.15
}

/// Temperature difference, from kelvin: no offset of 32.
#[must_use]
pub fn temperature_difference(difference_k: f64) -> Figure {
    Figure {
        us: format!("{} °F", fixed(difference_k * 1.8, 1)),
        si: format!("{} K", fixed(difference_k, if difference_k.abs() < 10.0 { 2 } else { 1 })),
    }
}

fn psi_and_kilopascal(pressure_pa: f64, suffix: &str) -> Figure {
    Figure {
        us: format!("{} psi{suffix}", fixed(pressure_pa / PASCAL_PER_PSI, 1)),
        si: format!("{} kPa{suffix}", fixed(pressure_pa / 1e3, 1)),
    }
}

/// Pressure whose kind, absolute or gauge, stands beside the figure, from pascal.
#[must_use]
pub fn pressure(pressure_pa: f64) -> Figure {
    psi_and_kilopascal(pressure_pa, "")
}

/// Pressure above vacuum, from pascal.
#[must_use]
pub fn absolute_pressure(absolute_pa: f64) -> Figure {
    psi_and_kilopascal(absolute_pa, " absolute")
}

/// Pressure above the atmosphere of the site, from pascal above that atmosphere; as a gauge is read, without tenths.
#[must_use]
pub fn gauge_pressure(gauge_pa: f64) -> Figure {
    Figure {
        us: format!("{} psig", fixed(gauge_pa / PASCAL_PER_PSI, 0)),
        si: format!("{} kPa gauge", fixed(gauge_pa / 1e3, 0)),
    }
}

/// Pressure above the atmosphere of the site as a service gauge is read, from pascal above that atmosphere: tenths, and
/// in US units inches of mercury of vacuum below it.
#[must_use]
pub fn gauge_reading(gauge_pa: f64) -> Figure {
    let us = if gauge_pa < 0.0 {
        format!("{} inHg vacuum", fixed(-gauge_pa / PASCAL_PER_INHG, 1))
    } else {
        format!("{} psig", fixed(gauge_pa / PASCAL_PER_PSI, 1))
    };
    Figure { us, si: format!("{} kPa gauge", fixed(gauge_pa / 1e3, 1)) }
}

/// Difference of two pressures, from pascal.
#[must_use]
pub fn pressure_difference(difference_pa: f64) -> Figure {
    psi_and_kilopascal(difference_pa, "")
}

/// Force, from newton: pounds-force and newton.
#[must_use]
pub fn force(force_n: f64) -> Figure {
    let pound_force = force_n / (KILOGRAM_PER_POUND * STANDARD_GRAVITY);
    Figure { us: format!("{} lbf", fixed(pound_force, 0)), si: format!("{} N", fixed(force_n, 0)) }
}

/// Weight or wind on an area, from pascal: pounds-force per square foot and kilopascal.
#[must_use]
pub fn area_load(load_pa: f64) -> Figure {
    Figure {
        us: format!("{} lbf/ft2", fixed(load_pa / PASCAL_PER_PSI * 144.0, 1)),
        si: format!("{} kPa", fixed(load_pa / 1e3, 2)),
    }
}

/// Mass as it is weighed in, from kilogram: ounces and kilogram.
#[must_use]
pub fn ounces(mass_kg: f64) -> Figure {
    Figure { us: format!("{} oz", fixed(mass_kg / KILOGRAM_PER_OUNCE, 1)), si: kilogram(mass_kg) }
}

/// Mass as a nameplate gives it, from kilogram: pounds with ounces (ounces alone below a pound), and kilogram.
#[must_use]
pub fn pounds_and_ounces(mass_kg: f64) -> Figure {
    if !mass_kg.is_finite() {
        return Figure { us: "not finite".into(), si: "not finite".into() };
    }
    // Rounded to the printed tenth first, so that 15.97 oz carries into the pounds.
    let tenths = (mass_kg.abs() / KILOGRAM_PER_OUNCE * 10.0).round();
    let (pounds, ounces) = ((tenths / 160.0).floor(), (tenths % 160.0) / 10.0);
    let sign = if mass_kg < 0.0 && tenths > 0.0 { "-" } else { "" };
    let us = if pounds > 0.0 {
        format!("{sign}{} lb {ounces:.1} oz", fixed(pounds, 0))
    } else {
        format!("{sign}{ounces:.1} oz")
    };
    Figure { us, si: kilogram(mass_kg) }
}

fn kilogram(mass_kg: f64) -> String {
    format!("{} kg", fixed(mass_kg, 3))
}

/// Charge per length, from kilogram per metre: ounces per foot and gram per metre.
#[must_use]
pub fn mass_per_length(mass_kg_m: f64) -> Figure {
    Figure {
        us: format!("{} oz/ft", three_digits(mass_kg_m / KILOGRAM_PER_OUNCE * METRE_PER_FOOT, 4)),
        si: format!("{} g/m", three_digits(mass_kg_m * 1e3, 2)),
    }
}

/// Velocity, from metre per second: feet per minute and metre per second.
#[must_use]
pub fn velocity(velocity_m_s: f64) -> Figure {
    Figure {
        us: format!("{} ft/min", fixed(velocity_m_s / METRE_PER_FOOT * 60.0, 0)),
        si: format!("{} m/s", fixed(velocity_m_s, 2)),
    }
}

/// Power or heat rate, from watt: Btu an hour and kilowatt.
#[must_use]
pub fn power(power_w: f64) -> Figure {
    Figure {
        us: format!("{} Btu/h", fixed(power_w / WATT_PER_BTU_H, 0)),
        si: format!("{} kW", fixed(power_w / 1e3, 2)),
    }
}

/// Heat for each degree, from watt per kelvin: Btu an hour and °F, and kilowatt per kelvin.
#[must_use]
pub fn conductance(conductance_w_k: f64) -> Figure {
    Figure {
        us: format!("{} Btu/h °F", fixed(conductance_w_k / WATT_PER_BTU_H / 1.8, 0)),
        si: format!("{} kW/K", fixed(conductance_w_k / 1e3, 3)),
    }
}

/// Electrical input, from watt: kilowatt in both systems.
#[must_use]
pub fn electric_power(power_w: f64) -> Figure {
    same(power_w / 1e3, 2, "kW")
}

/// Energy of a year, from kilowatt hour, the same in both systems.
#[must_use]
pub fn energy(energy_kwh: f64) -> Figure {
    same(energy_kwh, 0, "kWh")
}

/// Hours of a year, the same in both systems.
#[must_use]
pub fn hours(time_h: f64) -> Figure {
    same(time_h, 0, "h")
}

/// Level of sound, the same in both systems.
#[must_use]
pub fn sound_level(level_db: f64) -> Figure {
    same(level_db, 0, "dB")
}

/// A share as a percentage: tenths below ten.
#[must_use]
pub fn percent(share: f64) -> Figure {
    let percentage = 100.0 * share;
    same(percentage, i32::from(percentage.abs() < 9.95), "%")
}

fn same(value: f64, decimals: i32, unit: &str) -> Figure {
    let text = format!("{} {unit}", fixed(value, decimals));
    Figure { us: text.clone(), si: text }
}

/// Heat rate of a line, from watt: Btu an hour and watt.
#[must_use]
pub fn heat(heat_w: f64) -> Figure {
    Figure {
        us: format!("{} Btu/h", fixed(heat_w / WATT_PER_BTU_H, 0)),
        si: format!("{} W", fixed(heat_w, 0)),
    }
}

/// Heat rate per length, from watt per metre: Btu an hour and foot, and watt per metre.
#[must_use]
pub fn heat_per_length(heat_w_m: f64) -> Figure {
    Figure {
        us: format!("{} Btu/h ft", fixed(heat_w_m / WATT_PER_BTU_H * METRE_PER_FOOT, 1)),
        si: format!("{} W/m", fixed(heat_w_m, 1)),
    }
}

/// Mass rate, from kilogram per second: pounds an hour and kilogram an hour.
#[must_use]
pub fn mass_rate(rate_kg_s: f64) -> Figure {
    Figure {
        us: format!("{} lb/h", fixed(rate_kg_s * 3600.0 / KILOGRAM_PER_POUND, 1)),
        si: format!("{} kg/h", fixed(rate_kg_s * 3600.0, 1)),
    }
}

/// Density, from kilogram per cubic metre: pounds per cubic foot and kilogram per cubic metre.
#[must_use]
pub fn density(density_kg_m3: f64) -> Figure {
    let pound_ft3 = density_kg_m3 * METRE_PER_FOOT.powi(3) / KILOGRAM_PER_POUND;
    Figure {
        us: format!("{} lb/ft3", three_digits(pound_ft3, 3)),
        si: format!("{} kg/m3", three_digits(density_kg_m3, 2)),
    }
}

/// Mass in the volume of a room, from kilogram per cubic metre: pounds per 1000 cubic feet and gram per cubic metre.
#[must_use]
pub fn concentration(density_kg_m3: f64) -> Figure {
    let pound_kft3 = 1e3 * density_kg_m3 * METRE_PER_FOOT.powi(3) / KILOGRAM_PER_POUND;
    Figure {
        us: format!("{} lb/1000 ft3", three_digits(pound_kft3, 3)),
        si: format!("{} g/m3", three_digits(1e3 * density_kg_m3, 2)),
    }
}

/// Enthalpy or heat of vaporisation, from joule per kilogram: Btu a pound and kilojoule per kilogram.
#[must_use]
pub fn enthalpy(enthalpy_j_kg: f64) -> Figure {
    Figure {
        us: format!("{} Btu/lb", fixed(enthalpy_j_kg / JOULE_KG_PER_BTU_LB, 1)),
        si: format!("{} kJ/kg", fixed(enthalpy_j_kg / 1e3, 1)),
    }
}

/// Dynamic viscosity, from pascal second: pounds per foot and hour, and micropascal second.
#[must_use]
pub fn viscosity(viscosity_pa_s: f64) -> Figure {
    let pound_ft_h = viscosity_pa_s * 3600.0 * METRE_PER_FOOT / KILOGRAM_PER_POUND;
    Figure {
        us: format!("{} lb/(ft h)", three_digits(pound_ft_h, 4)),
        si: format!("{} µPa s", three_digits(1e6 * viscosity_pa_s, 2)),
    }
}

/// A number without a unit; reads the same in both systems.
#[must_use]
pub fn plain(value: f64) -> Figure {
    let text = fixed(value, 2);
    Figure { us: text.clone(), si: text }
}

/// A value in the SI unit that a check names (`K` is a difference there). A unit not known here is printed as it is.
#[must_use]
pub fn in_unit(value: f64, unit: &str) -> Figure {
    match unit {
        "K" => temperature_difference(value),
        "degC" => temperature(value),
        "m" => length(value),
        "m/s" => velocity(value),
        "Pa" => pressure_difference(value),
        "kg" => ounces(value),
        "kg/m3" => concentration(value),
        "kg/m" => mass_per_length(value),
        "kg/s" => mass_rate(value),
        "W" => power(value),
        "N" => force(value),
        "1" => plain(value),
        "Pa(g)" => gauge_reading(value),
        "Pa(a)" => vacuum(value),
        "m3" => volume(value),
        "m3/s" => water_flow(value),
        "m3/s air" => gas_flow(value),
        "s" => duration(value),
        "A" => same(value, 1, "A"),
        "V" => same(value, 1, "V"),
        "%" => same(value, 1, "%"),
        "Hz" => same(value, 0, "Hz"),
        "m bore" => diameter(1e3 * value),
        "kg/a" => Figure {
            us: format!("{} oz a year", three_digits(value / KILOGRAM_PER_OUNCE, 4)),
            si: format!("{} g a year", three_digits(1e3 * value, 3)),
        },
        "Pa m3/s" => {
            let text = format!("{value:.1e} Pa m3/s");
            Figure { us: text.clone(), si: text }
        }
        other => {
            let text = format!("{} {other}", fixed(value, 3));
            Figure { us: text.clone(), si: text }
        }
    }
}

/// Pressure of a vacuum, from pascal: micron of mercury, and pascal with millibar.
#[must_use]
pub fn vacuum(pressure_pa: f64) -> Figure {
    Figure {
        us: format!("{} micron", fixed(pressure_pa / physics::units::PASCAL_PER_MICRON, 0)),
        si: format!("{} Pa, {} mbar", fixed(pressure_pa, 1), fixed(pressure_pa / 100.0, 3)),
    }
}

/// Volume, from cubic metre: cubic inches and litres.
#[must_use]
pub fn volume(volume_m3: f64) -> Figure {
    const CUBIC_METRE_PER_CUBIC_INCH: f64 = 0.0254 * 0.0254 * 0.0254;
    Figure {
        us: format!("{} in3", fixed(volume_m3 / CUBIC_METRE_PER_CUBIC_INCH, 0)),
        si: format!("{} L", fixed(1e3 * volume_m3, 2)),
    }
}

/// Volume of gas in a cylinder, from cubic metre at the pressure of the air: cubic feet and cubic metre.
#[must_use]
pub fn gas_volume(volume_m3: f64) -> Figure {
    Figure {
        us: format!("{} ft3", three_digits(volume_m3 / METRE_PER_FOOT.powi(3), 1)),
        si: format!("{} m3", three_digits(volume_m3, 3)),
    }
}

/// Volume of oil, from cubic metre: US quarts and litres.
#[must_use]
pub fn oil_volume(volume_m3: f64) -> Figure {
    const CUBIC_METRE_PER_QUART: f64 = 0.25 * 3.785_411_784e-3;
    Figure {
        us: format!("{} qt", fixed(volume_m3 / CUBIC_METRE_PER_QUART, 1)),
        si: format!("{} L", fixed(1e3 * volume_m3, 1)),
    }
}

/// Flow of water, from cubic metre per second: US gallons and litres a minute.
#[must_use]
pub fn water_flow(flow_m3_s: f64) -> Figure {
    const CUBIC_METRE_PER_GALLON: f64 = 3.785_411_784e-3;
    Figure {
        us: format!("{} gpm", fixed(60.0 * flow_m3_s / CUBIC_METRE_PER_GALLON, 2)),
        si: format!("{} L/min", fixed(60e3 * flow_m3_s, 2)),
    }
}

/// Flow of gas through a pump or a hose, from cubic metre per second: cubic feet a minute and litres a second.
#[must_use]
pub fn gas_flow(flow_m3_s: f64) -> Figure {
    const CUBIC_METRE_PER_CUBIC_FOOT: f64 = 0.3048 * 0.3048 * 0.3048;
    Figure {
        us: format!("{} cfm", three_digits(60.0 * flow_m3_s / CUBIC_METRE_PER_CUBIC_FOOT, 4)),
        si: format!("{} L/s", three_digits(1e3 * flow_m3_s, 4)),
    }
}

/// A time in the unit that fits it, the same in both systems.
#[must_use]
pub fn duration(time_s: f64) -> Figure {
    match time_s.abs() {
        short if short < 90.0 => same(time_s, 0, "s"),
        middle if middle < 5400.0 => same(time_s / 60.0, 0, "min"),
        _ => same(time_s / 3600.0, 1, "h"),
    }
}

/// A number for a machine: at most six significant digits, the shortest text that keeps them.
#[must_use]
pub fn six_digits(value: f64) -> f64 {
    // Through text, because scaling by powers of ten would leave 0.30000000000000004.
    format!("{value:.5e}").parse::<f64>().map_or(value, |rounded| rounded + 0.0)
}

/// Number in the chosen units with the unit's name, for the axis of a chart.
#[cfg(feature = "charts")]
pub(crate) struct AxisUnit {
    /// What one unit is in SI.
    pub si: f64,
    /// Its name on the axis.
    pub name: &'static str,
}

/// Unit of length on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_length(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: METRE_PER_FOOT, name: "ft" },
        Units::Si => AxisUnit { si: 1.0, name: "m" },
    }
}

/// Reading of a temperature on an axis, and its unit.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_temperature(units: Units) -> (fn(f64) -> f64, &'static str) {
    match units {
        Units::Us => (|celsius| celsius * 1.8 + 32.0, "°F"),
        Units::Si => (|celsius| celsius, "°C"),
    }
}

/// Unit of gauge pressure on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_gauge_pressure(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: PASCAL_PER_PSI, name: "psig" },
        Units::Si => AxisUnit { si: 1e3, name: "kPa gauge" },
    }
}

/// Unit of pressure above vacuum on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_absolute_pressure(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: PASCAL_PER_PSI, name: "psi absolute" },
        Units::Si => AxisUnit { si: 1e3, name: "kPa absolute" },
    }
}

/// Unit of enthalpy on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_enthalpy(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: JOULE_KG_PER_BTU_LB, name: "Btu/lb" },
        Units::Si => AxisUnit { si: 1e3, name: "kJ/kg" },
    }
}

/// Unit of capacity on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_power(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: 1e3 * WATT_PER_BTU_H, name: "1000 Btu/h" },
        Units::Si => AxisUnit { si: 1e3, name: "kW" },
    }
}

/// Unit of mass on an axis.
#[cfg(feature = "charts")]
pub(crate) fn axis_of_mass(units: Units) -> AxisUnit {
    match units {
        Units::Us => AxisUnit { si: KILOGRAM_PER_OUNCE, name: "oz" },
        Units::Si => AxisUnit { si: 1.0, name: "kg" },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn digits_are_fixed_and_the_sign_of_zero_is_gone() {
        for (value, decimals, text) in [
            (0.0, 1, "0.0"),
            (-0.04, 1, "0.0"),
            (-0.0, 0, "0"),
            (999.96, 1, "1000"),
            (99.996, 2, "100.0"),
            (12_345.0, 2, "12350"),
            (0.123_45, 3, "0.123"),
            (9.9996, 3, "10.00"),
            (-1.25, 1, "-1.3"),
            (f64::NAN, 1, "not finite"),
        ] {
            assert_eq!(fixed(value, decimals), text, "{value} with {decimals}");
        }
    }

    #[test]
    fn three_digits_keep_small_rates_readable() {
        assert_eq!(three_digits(0.030_91, 4), "0.0309");
        assert_eq!(three_digits(0.615_2, 4), "0.615");
        assert_eq!(three_digits(57.23, 2), "57.2");
        assert_eq!(three_digits(2.876, 2), "2.88");
        assert_eq!(three_digits(1026.2, 2), "1026");
        assert_eq!(three_digits(0.0, 2), "0");
    }

    #[test]
    fn figures_of_known_conversions() {
        // Exact definitions of foot, pound and inch; 212 °F boils water; 1 ton of refrigeration is 12 000 Btu/h.
        let cases = [
            (length(28.0), "92 ft", "28.0 m"),
            (length(1.9812), "6.5 ft", "2.0 m"),
            (length(-6.096), "-20 ft", "-6.1 m"),
            (diameter(12.7), "0.500 in", "12.70 mm"),
            (temperature(100.0), "212 °F", "100.0 °C"),
            (temperature_difference(8.0 / 1.8), "8.0 °F", "4.44 K"),
            (temperature_difference(0.0), "0.0 °F", "0.00 K"),
            (absolute_pressure(101_325.0), "14.7 psi absolute", "101.3 kPa absolute"),
            (gauge_pressure(0.0), "0 psig", "0 kPa gauge"),
            (gauge_pressure(1_909_000.0), "277 psig", "1909 kPa gauge"),
            (pressure_difference(6_894.757_293), "1.0 psi", "6.9 kPa"),
            (ounces(0.349), "12.3 oz", "0.349 kg"),
            (pounds_and_ounces(5.159_613), "11 lb 6.0 oz", "5.160 kg"),
            (pounds_and_ounces(0.453_59), "1 lb 0.0 oz", "0.454 kg"),
            (pounds_and_ounces(-0.1), "-3.5 oz", "-0.100 kg"),
            (pounds_and_ounces(-0.000_1), "0.0 oz", "0.000 kg"),
            (mass_per_length(0.0572), "0.615 oz/ft", "57.2 g/m"),
            (velocity(5.08), "1000 ft/min", "5.08 m/s"),
            (power(3_516.852_842), "12000 Btu/h", "3.52 kW"),
            (mass_rate(0.05), "396.8 lb/h", "180.0 kg/h"),
            (density(1000.0), "62.4 lb/ft3", "1000 kg/m3"),
            (plain(1.324), "1.32", "1.32"),
            (area(9.290_304), "100.0 ft2", "9.29 m2"),
            (force(4.448_221_615), "1 lbf", "4 N"),
            (area_load(47.880_259), "1.0 lbf/ft2", "0.05 kPa"),
            (conductance(1_000.0), "1896 Btu/h °F", "1.000 kW/K"),
            (electric_power(2_912.0), "2.91 kW", "2.91 kW"),
            (energy(18_254.0), "18250 kWh", "18250 kWh"),
            (percent(0.034), "3.4 %", "3.4 %"),
            (percent(0.118), "12 %", "12 %"),
            (percent(0.0999), "10 %", "10 %"),
            // 1 atm is 29.92 inHg; 1 Btu/lb is 2.326 kJ/kg; 1 cP is 2.419 lb/(ft h).
            (gauge_reading(-101_325.0), "29.9 inHg vacuum", "-101.3 kPa gauge"),
            (gauge_reading(68_947.6), "10.0 psig", "68.9 kPa gauge"),
            (saturation_temperature(-40.0), "-40.0 °F", "-40.0 °C"),
            (enthalpy(232_600.0), "100.0 Btu/lb", "232.6 kJ/kg"),
            (viscosity(1e-3), "2.42 lb/(ft h)", "1000 µPa s"),
            (concentration(0.21), "13.1 lb/1000 ft3", "210 g/m3"),
        ];
        for (figure, us, si) in cases {
            assert_eq!((figure.us.as_str(), figure.si.as_str()), (us, si));
        }
    }

    #[test]
    fn bands_and_columns_name_a_unit_once() {
        let (value, band) = (temperature_difference(0.21), temperature_difference(0.08));
        assert_eq!(value.with_band(&band).both(Units::Us), "0.4 ± 0.1 °F (0.21 ± 0.08 K)");
        assert_eq!(plain(3.2).with_band(&plain(0.1)).both(Units::Us), "3.20 ± 0.10");
        // 13 ft and 1 lb 3 oz: pounds stay with their ounces.
        assert_eq!(pounds_and_ounces(0.55).with_band(&ounces(0.03)).us, "1 lb 3.4 oz ± 1.1 oz");
        assert_eq!(velocity(10.29).bare(Units::Us), "2026 (10.29)");
        assert_eq!(velocity(10.29).bare(Units::Si), "10.29 (2026)");
        // Four digits at most, whatever the unit: both read the same here and are printed once.
        assert_eq!(plain(2.0).bare(Units::Us), "2.00");
    }

    #[test]
    fn a_number_without_unit_is_printed_once() {
        assert_eq!(plain(1.5).both(Units::Us), "1.50");
        assert_eq!(plain(1.5).stacked(Units::Si), "1.50");
    }

    #[test]
    fn machine_numbers_keep_six_digits() {
        assert_eq!(six_digits(0.1 + 0.2).to_string(), "0.3");
        assert_eq!(six_digits(1_234_567.0).to_string(), "1234570");
        assert_eq!(six_digits(-0.0).to_string(), "0");
    }

    proptest! {
        #[test]
        fn never_minus_zero_nor_more_than_four_digits(value in -1e7_f64..1e7, decimals in 0..5_i32) {
            let text = fixed(value, decimals);
            let digits: String = text.chars().filter(char::is_ascii_digit).collect();
            prop_assert!(!(text.starts_with('-') && digits.chars().all(|digit| digit == '0')), "{}", text);
            let significant = digits.trim_start_matches('0');
            let significant = if text.contains('.') { significant } else { significant.trim_end_matches('0') };
            prop_assert!(significant.len() <= 4, "{}", text);
        }

        #[test]
        fn both_orders_print_the_same_two_numbers(length_m in -500.0_f64..500.0) {
            let figure = length(length_m);
            prop_assert_eq!(figure.first(Units::Us), figure.second(Units::Si));
            prop_assert_eq!(figure.second(Units::Us), figure.first(Units::Si));
        }
    }
}
