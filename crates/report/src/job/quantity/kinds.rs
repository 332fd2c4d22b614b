//! Units and the spellings people use, one table a quantity.
//!
//! Factors are exact by definition: inch 25.4 mm, pound 0.453 592 37 kg (international yard and pound agreement, 1959),
//! Btu (International Table) 1055.055 852 62 J, psi 6894.757 293 168 Pa, ton of refrigeration 12 000 Btu/h, horsepower
//! 550 ft lbf/s, US gallon 231 in3, knot 1852 m/h.

use super::{Advice, Kind, Unit};
use physics::units::PASCAL_PER_MICRON;

const fn unit(symbol: &'static str, factor: f64, spellings: &'static [&'static str]) -> Unit {
    Unit { symbol, spellings, offset: 0.0, factor }
}

const fn degrees(symbol: &'static str, offset: f64, factor: f64, spellings: &'static [&'static str]) -> Unit {
    Unit { symbol, spellings, offset, factor }
}

const INCH_M: f64 = 0.0254;
pub(super) const FOOT_M: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;
const OUNCE_KG: f64 = POUND_KG / 16.0;
pub(super) const PSI_PA: f64 = 6_894.757_293_168;
/// Conventional inch of mercury, 13 595.1 kg/m3 at standard gravity.
const INHG_PA: f64 = 0.0254 * 13_595.1 * 9.806_65;
const BTU_J: f64 = 1_055.055_852_62;
/// Btu/h and degree Fahrenheit: a conductance in W/K.
const BTU_H_F_W_K: f64 = BTU_J / 3600.0 * 1.8;
const GALLON_M3: f64 = 3.785_411_784e-3;
/// Kv, m³/h at 1 bar, of Cv = 1 US gallon a minute at 1 psi: 0.227 124 707 04 x sqrt(1e5 Pa / 6894.757 293 168 Pa).
const CV_AS_KV: f64 = 0.864_977_7;

const CELSIUS: &[&str] =
    &["°c", "c", "degc", "degreec", "degreesc", "celsius", "degcelsius", "degreescelsius"];
const FAHRENHEIT: &[&str] =
    &["°f", "f", "degf", "degreef", "degreesf", "fahrenheit", "degfahrenheit", "degreesfahrenheit"];

/// Lengths.
pub static LENGTH: Kind = Kind {
    name: "a length",
    accepted: "m, cm, mm, ft, in, yd",
    units: &[
        unit("m", 1.0, &["m", "metre", "metres", "meter", "meters"]),
        unit("ft", FOOT_M, &["ft", "'", "foot", "feet"]),
        unit("in", INCH_M, &["in", "\"", "''", "inch", "inches"]),
        unit("µm", 1e-6, &["µm", "μm", "micrometre", "micrometres", "micrometer", "micrometers"]),
        unit("mm", 1e-3, &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
        unit("cm", 1e-2, &["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
        unit("km", 1e3, &["km"]),
        unit("yd", 0.9144, &["yd", "yard", "yards"]),
    ],
    offers: &["ft", "m"],
    advice: &[],
    pair: Some(("ft", "in", 12.0)),
};
/// Temperatures.
pub static TEMPERATURE: Kind = Kind {
    name: "a temperature",
    accepted: "°F, °C, K",
    units: &[
        unit("K", 1.0, &["k", "°k", "kelvin"]),
        degrees("°F", 459.67, 5.0 / 9.0, FAHRENHEIT),
        degrees("°C", 273.15, 1.0, CELSIUS),
        unit("°R", 5.0 / 9.0, &["°r", "rankine", "degr"]),
    ],
    offers: &["°F", "°C"],
    advice: &[Advice {
        spellings: &["°", "deg", "degree", "degrees"],
        why: "degrees of which scale?",
        offers: &["{n} °F", "{n} °C"],
    }],
    pair: None,
};
/// Temperature differences: 12 °F is 6.67 K.
pub static TEMPERATURE_DIFFERENCE: Kind = Kind {
    name: "a temperature difference",
    accepted: "°F, °C, K",
    units: &[
        unit("K", 1.0, &["k", "°k", "kelvin", "kelvins"]),
        unit("°F", 5.0 / 9.0, FAHRENHEIT),
        unit("°F", 5.0 / 9.0, &["f°", "°fdifference", "fdeg", "°r", "rankine"]),
        unit("°C", 1.0, CELSIUS),
        unit("°C", 1.0, &["c°", "°cdifference", "cdeg"]),
    ],
    offers: &["°F", "K"],
    advice: &[Advice {
        spellings: &["°", "deg", "degree", "degrees"],
        why: "degrees of which scale?",
        offers: &["{n} °F", "{n} K"],
    }],
    pair: None,
};
/// Pressure differences and drops: neither gauge nor absolute.
pub static PRESSURE_DIFFERENCE: Kind = Kind {
    name: "a pressure difference",
    accepted: "psi, kPa, bar, mbar, Pa",
    units: &[
        unit("Pa", 1.0, &["pa", "pascal"]),
        unit("psi", PSI_PA, &["psi", "psid", "lb/in2", "lbf/in2"]),
        unit("kPa", 1e3, &["kpa", "kpad"]),
        unit("bar", 1e5, &["bar", "bard", "bars"]),
        unit("mbar", 1e2, &["mbar"]),
        unit("MPa", 1e6, &["MPa", "Mpa", "MPA"]),
    ],
    offers: &["psi", "kPa"],
    advice: &[
        Advice {
            spellings: &["psig", "psia", "psigauge", "psiabs", "psi(g)", "psi(a)"],
            why: "a difference is neither gauge nor absolute",
            offers: &["{n} psi"],
        },
        Advice {
            spellings: &["barg", "bara", "bar(g)", "bar(a)"],
            why: "a difference is neither gauge nor absolute",
            offers: &["{n} bar"],
        },
        Advice {
            spellings: &["kpag", "kpaa", "kpa(g)", "kpa(a)"],
            why: "a difference is neither gauge nor absolute",
            offers: &["{n} kPa"],
        },
    ],
    pair: None,
};
const PRESSURES_ACCEPTED: &str = "psig, psia, bar(g), bar(a), kPa(g), kPa(a)";
const PRESSURE_ADVICE: &[Advice] = &[
    Advice { spellings: &["psi"], why: "gauge or absolute?", offers: &["{n} psig", "{n} psia"] },
    Advice { spellings: &["bar", "bars"], why: "gauge or absolute?", offers: &["{n} bar(g)", "{n} bar(a)"] },
    Advice {
        spellings: &["inhg", "in.hg", "\"hg"],
        why: "down from the atmosphere, or up from nothing?",
        offers: &["{n} inHg vacuum"],
    },
    Advice { spellings: &["kpa"], why: "gauge or absolute?", offers: &["{n} kPa(g)", "{n} kPa(a)"] },
    Advice { spellings: &["pa"], why: "gauge or absolute?", offers: &["{n} Pa(g)", "{n} Pa(a)"] },
    Advice {
        spellings: &["MPa", "Mpa", "MPA"],
        why: "gauge or absolute?",
        offers: &["{n} MPa(g)", "{n} MPa(a)"],
    },
];
/// Gauge pressures.
pub static GAUGE_PRESSURE: Kind = Kind {
    name: "a pressure",
    accepted: PRESSURES_ACCEPTED,
    units: &[
        unit("Pa(g)", 1.0, &["pa(g)", "pag", "pagauge"]),
        unit("psig", PSI_PA, &["psig", "psi(g)", "psigauge"]),
        unit("bar(g)", 1e5, &["bar(g)", "barg", "bargauge"]),
        unit("kPa(g)", 1e3, &["kpa(g)", "kpag", "kpagauge"]),
        unit("MPa(g)", 1e6, &["MPa(g)", "MPag", "MPagauge"]),
        // As a gauge reads below the atmosphere: inches of mercury down from it (mercury of 0 °C).
        unit("inHg vacuum", -INHG_PA, &["inhgvacuum", "inhgvac"]),
    ],
    offers: &["psig", "psia"],
    advice: PRESSURE_ADVICE,
    pair: None,
};
/// Absolute pressures.
pub static ABSOLUTE_PRESSURE: Kind = Kind {
    name: "a pressure",
    accepted: PRESSURES_ACCEPTED,
    units: &[
        unit("Pa(a)", 1.0, &["pa(a)", "paa", "paabs", "paabsolute"]),
        unit("psia", PSI_PA, &["psia", "psi(a)", "psiabs", "psiabsolute"]),
        unit("bar(a)", 1e5, &["bar(a)", "bara", "barabs", "barabsolute"]),
        unit("kPa(a)", 1e3, &["kpa(a)", "kpaa", "kpaabs", "kpaabsolute"]),
        unit("MPa(a)", 1e6, &["MPa(a)", "MPaa", "MPaabs", "MPaabsolute"]),
    ],
    offers: &["psig", "psia"],
    advice: PRESSURE_ADVICE,
    pair: None,
};
/// Powers: capacities, heat rejection, electrical input.
pub static POWER: Kind = Kind {
    name: "a power",
    accepted: "Btu/h, kW, W, tons of refrigeration (ton), hp",
    units: &[
        unit("W", 1.0, &["w", "watt", "watts"]),
        unit("Btu/h", BTU_J / 3600.0, &["btu/h", "btu/hr", "btuh", "btu/hour", "btus/h", "btus/hr", "btuhr"]),
        unit("kW", 1e3, &["kw", "kilowatt", "kilowatts"]),
        unit("ton", 12_000.0 * BTU_J / 3600.0, &["ton", "tons", "tr", "tonr", "tonsr"]),
        unit("MBH", 1_000.0 * BTU_J / 3600.0, &["mbh", "mbtu/h", "kbtu/h"]),
        unit("hp", 550.0 * FOOT_M * POUND_KG * 9.806_65, &["hp", "horsepower"]),
        unit("kcal/h", 4_186.8 / 3600.0, &["kcal/h", "kcal/hr"]),
    ],
    offers: &["Btu/h", "kW"],
    advice: &[
        Advice { spellings: &["btu", "btus"], why: "a Btu is energy, not power", offers: &["{n} Btu/h"] },
        Advice { spellings: &["kwh"], why: "a kWh is energy, not power", offers: &["{n} kW"] },
    ],
    pair: None,
};
/// Masses: charges.
pub static MASS: Kind = Kind {
    name: "a mass",
    accepted: "lb, oz, kg, g",
    units: &[
        unit("kg", 1.0, &["kg", "kgs", "kilogram", "kilograms"]),
        unit("lb", POUND_KG, &["lb", "lbs", "pound", "pounds", "lbm"]),
        unit("oz", OUNCE_KG, &["oz", "ounce", "ounces"]),
        unit("g", 1e-3, &["g", "gram", "grams", "gm"]),
    ],
    offers: &["lb", "kg"],
    advice: &[],
    pair: Some(("lb", "oz", 16.0)),
};
/// Mass rates.
pub static MASS_RATE: Kind = Kind {
    name: "a mass rate",
    accepted: "lb/h, lb/min, kg/h, kg/s, g/s",
    units: &[
        unit("kg/s", 1.0, &["kg/s", "kg/sec"]),
        unit("lb/h", POUND_KG / 3600.0, &["lb/h", "lb/hr", "lbs/h", "lbs/hr", "pph"]),
        unit("lb/min", POUND_KG / 60.0, &["lb/min", "lbs/min"]),
        unit("kg/h", 1.0 / 3600.0, &["kg/h", "kg/hr"]),
        unit("g/s", 1e-3, &["g/s", "g/sec"]),
    ],
    offers: &["lb/h", "kg/h"],
    advice: &[],
    pair: None,
};
/// Charge per length of line.
pub static MASS_PER_LENGTH: Kind = Kind {
    name: "a charge per length",
    accepted: "oz/ft, lb/ft, g/m, kg/m",
    units: &[
        unit("kg/m", 1.0, &["kg/m"]),
        unit("oz/ft", OUNCE_KG / FOOT_M, &["oz/ft", "oz/foot", "ounces/foot"]),
        unit("lb/ft", POUND_KG / FOOT_M, &["lb/ft", "lbs/ft", "lb/foot"]),
        unit("g/m", 1e-3, &["g/m"]),
    ],
    offers: &["oz/ft", "g/m"],
    advice: &[
        Advice {
            spellings: &["oz", "ounces"],
            why: "a mass for how much line?",
            offers: &["{n} oz/ft", "{n} oz/m"],
        },
        Advice { spellings: &["g", "grams"], why: "a mass for how much line?", offers: &["{n} g/m"] },
    ],
    pair: None,
};
/// Velocities.
pub static VELOCITY: Kind = Kind {
    name: "a velocity",
    accepted: "ft/min, ft/s, m/s, mph, km/h, kn",
    units: &[
        unit("m/s", 1.0, &["m/s", "m/sec"]),
        unit("ft/min", FOOT_M / 60.0, &["ft/min", "fpm", "feet/minute"]),
        unit("ft/s", FOOT_M, &["ft/s", "fps", "ft/sec"]),
        unit("mph", 1_609.344 / 3600.0, &["mph", "mi/h"]),
        unit("km/h", 1.0 / 3.6, &["km/h", "kph"]),
        unit("kn", 1_852.0 / 3600.0, &["kn", "knot", "knots", "kt", "kts"]),
    ],
    offers: &["ft/min", "mph", "m/s"],
    advice: &[],
    pair: None,
};
/// Ratios and shares.
pub static RATIO: Kind = Kind {
    name: "a ratio",
    accepted: "a plain number, %",
    units: &[unit("", 1.0, &["", "x", "times"]), unit("%", 0.01, &["%", "percent", "pct", "percents"])],
    offers: &[""],
    advice: &[],
    pair: None,
};
/// One mass for each of another: oil for refrigerant.
pub static MASS_PER_MASS: Kind = Kind {
    name: "a mass for each mass",
    accepted: "oz/lb, g/kg, %",
    units: &[
        unit("g/kg", 1e-3, &["g/kg", "grams/kg"]),
        unit("oz/lb", 1.0 / 16.0, &["oz/lb", "ounces/lb", "oz/pound", "ounces/pound"]),
        unit("%", 0.01, &["%", "percent", "pct", "percents"]),
        unit("kg/kg", 1.0, &["kg/kg", "lb/lb"]),
    ],
    offers: &["oz/lb", "g/kg"],
    advice: &[
        Advice {
            spellings: &["floz/lb", "ml/kg", "cc/kg"],
            why: "a volume of oil; its mass is wanted",
            offers: &["{n} oz/lb", "{n} g/kg"],
        },
        Advice { spellings: &["oz", "ounces"], why: "for how much refrigerant?", offers: &["{n} oz/lb"] },
        Advice { spellings: &["g", "grams"], why: "for how much refrigerant?", offers: &["{n} g/kg"] },
    ],
    pair: None,
};
/// Densities.
pub static DENSITY: Kind = Kind {
    name: "a density",
    accepted: "kg/m3, lb/ft3, g/cm3, kg/L",
    units: &[
        unit("kg/m3", 1.0, &["kg/m3", "kg/cum"]),
        unit("lb/ft3", POUND_KG / (FOOT_M * FOOT_M * FOOT_M), &["lb/ft3", "lbs/ft3", "lb/cuft", "pcf"]),
        unit("g/cm3", 1e3, &["g/cm3", "g/ml", "g/cc"]),
        unit("kg/L", 1e3, &["kg/l", "kg/dm3"]),
    ],
    offers: &["kg/m3", "lb/ft3"],
    advice: &[],
    pair: None,
};
/// Volumes: receivers.
pub static VOLUME: Kind = Kind {
    name: "a volume",
    accepted: "L, in3, ft3, gal, fl oz, m3",
    units: &[
        unit("m3", 1.0, &["m3", "cum"]),
        unit("L", 1e-3, &["l", "litre", "litres", "liter", "liters", "dm3"]),
        unit("mL", 1e-6, &["ml", "cm3", "cc"]),
        unit("in3", INCH_M * INCH_M * INCH_M, &["in3", "cuin", "cubicinch", "cubicinches"]),
        unit("ft3", FOOT_M * FOOT_M * FOOT_M, &["ft3", "cuft", "cubicfoot", "cubicfeet"]),
        unit("gal", GALLON_M3, &["gal", "gallon", "gallons", "usgal"]),
        unit("fl oz", GALLON_M3 / 128.0, &["floz", "fluidounce", "fluidounces"]),
    ],
    offers: &["L", "in3"],
    advice: &[Advice {
        spellings: &["oz", "ounce", "ounces"],
        why: "an ounce of weight, or a fluid ounce?",
        offers: &["{n} fl oz"],
    }],
    pair: None,
};
/// Volume flows: air through a coil.
pub static VOLUME_RATE: Kind = Kind {
    name: "a volume flow",
    accepted: "cfm, m3/h, m3/s, L/s",
    units: &[
        unit("m3/s", 1.0, &["m3/s", "m3/sec", "cms"]),
        unit(
            "cfm",
            FOOT_M * FOOT_M * FOOT_M / 60.0,
            &["cfm", "ft3/min", "cuft/min", "cubicfeet/minute", "acfm"],
        ),
        unit("m3/h", 1.0 / 3600.0, &["m3/h", "m3/hr", "cmh"]),
        unit("m3/min", 1.0 / 60.0, &["m3/min", "cmm"]),
        unit("L/s", 1e-3, &["l/s", "l/sec", "litres/second", "liters/second", "dm3/s"]),
    ],
    offers: &["cfm", "m3/h"],
    advice: &[
        Advice {
            spellings: &["scfm"],
            why: "a standard cubic foot is a mass of air; what the fan moves is a volume",
            offers: &["{n} cfm"],
        },
        Advice {
            spellings: &["ft3", "cuft", "m3", "l"],
            why: "in which time?",
            offers: &["{n} cfm", "{n} m3/h", "{n} L/s"],
        },
    ],
    pair: None,
};
/// Sound power levels, of 1 pW; weighted by A where the maker weights them.
pub static SOUND_POWER_LEVEL: Kind = Kind {
    name: "a sound power level",
    accepted: "dB",
    units: &[unit("dB", 1.0, &["db", "db(a)", "dba", "decibel", "decibels"])],
    offers: &["dB"],
    advice: &[],
    pair: None,
};
/// Heat transfer coefficients: heat flux per kelvin through a wall.
pub static HEAT_TRANSFER: Kind = Kind {
    name: "a heat transfer coefficient",
    accepted: "Btu/(h ft2 °F), W/(m2 K)",
    units: &[
        unit("W/(m2 K)", 1.0, &["w/(m2k)", "w/m2k", "w/m2/k", "w/(m2°c)", "w/m2°c", "w/(m2c)", "w/m2c"]),
        unit(
            "Btu/(h ft2 °F)",
            BTU_H_F_W_K / (FOOT_M * FOOT_M),
            &[
                "btu/(hft2°f)",
                "btu/hft2°f",
                "btu/h/ft2/°f",
                "btu/(hrft2°f)",
                "btu/hrft2°f",
                "btu/(h-ft2-°f)",
                "btu/h-ft2-°f",
                "btu/(hr-ft2-°f)",
                "btu/hr-ft2-°f",
                "btu/(hft2f)",
                "btu/hft2f",
                "btu/(hrft2f)",
                "btu/hrft2f",
                "btu/hr-ft2-f",
            ],
        ),
    ],
    offers: &["Btu/(h ft2 °F)", "W/(m2 K)"],
    advice: &[],
    pair: None,
};
/// Thermal conductivities. Lists of the trade give the heat through an inch of thickness and a square foot.
pub static THERMAL_CONDUCTIVITY: Kind = Kind {
    name: "a thermal conductivity",
    accepted: "Btu in/(h ft2 °F), Btu/(h ft °F), W/(m K), mW/(m K)",
    units: &[
        unit("W/(m K)", 1.0, &["w/(mk)", "w/mk", "w/m/k", "w/(m°c)", "w/m°c", "w/(mc)", "w/mc"]),
        unit("mW/(m K)", 1e-3, &["mW/(mK)", "mW/mK"]),
        unit(
            "Btu in/(h ft2 °F)",
            BTU_H_F_W_K * INCH_M / (FOOT_M * FOOT_M),
            &[
                "btuin/(hft2°f)",
                "btuin/hft2°f",
                "btuin/(hrft2°f)",
                "btuin/hrft2°f",
                "btu-in/(h-ft2-°f)",
                "btu-in/h-ft2-°f",
                "btu-in/(hr-ft2-°f)",
                "btu-in/hr-ft2-°f",
                "btuin/(hft2f)",
                "btuin/hft2f",
                "btuin/(hrft2f)",
                "btuin/hrft2f",
                "btu-in/hr-ft2-f",
            ],
        ),
        unit(
            "Btu/(h ft °F)",
            BTU_H_F_W_K / FOOT_M,
            &[
                "btu/(hft°f)",
                "btu/hft°f",
                "btu/(hrft°f)",
                "btu/hrft°f",
                "btu/hr-ft-°f",
                "btu/(hftf)",
                "btu/hftf",
            ],
        ),
    ],
    offers: &["Btu in/(h ft2 °F)", "W/(m K)"],
    advice: &[],
    pair: None,
};
/// Frequencies: speeds of compressors.
pub static FREQUENCY: Kind = Kind {
    name: "a speed of rotation",
    accepted: "rpm, Hz, 1/s",
    units: &[
        unit("Hz", 1.0, &["hz", "1/s", "1/sec", "r/s", "rev/s", "rps", "hertz"]),
        unit("rpm", 1.0 / 60.0, &["rpm", "1/min", "r/min", "rev/min", "revs/min"]),
    ],
    offers: &["rpm", "Hz"],
    advice: &[],
    pair: None,
};
/// Times: how fast a valve closes.
pub static TIME: Kind = Kind {
    name: "a time",
    accepted: "s, ms, min",
    units: &[
        unit("s", 1.0, &["s", "sec", "secs", "second", "seconds"]),
        unit("ms", 1e-3, &["ms", "msec", "millisecond", "milliseconds"]),
        unit("min", 60.0, &["min", "mins", "minute", "minutes"]),
    ],
    offers: &["s", "ms"],
    advice: &[],
    pair: None,
};
/// Times of work: how long a test is held, when a gauge was read.
pub static DURATION: Kind = Kind {
    name: "a duration",
    accepted: "min, h, d, s",
    units: &[
        unit("s", 1.0, &["s", "sec", "secs", "second", "seconds"]),
        unit("min", 60.0, &["min", "mins", "minute", "minutes"]),
        unit("h", 3600.0, &["h", "hr", "hrs", "hour", "hours"]),
        unit("d", 86_400.0, &["d", "day", "days"]),
    ],
    offers: &["min", "h"],
    advice: &[],
    pair: None,
};
/// Absolute pressures of a vacuum.
pub static VACUUM: Kind = Kind {
    name: "a vacuum",
    accepted: "micron, Pa, mbar, kPa, Torr",
    units: &[
        unit("Pa", 1.0, &["pa", "pa(a)", "paa", "pascal"]),
        unit("micron", PASCAL_PER_MICRON, &["micron", "microns", "µmhg", "μmhg", "umhg", "mtorr"]),
        unit("mbar", 1e2, &["mbar", "mbar(a)", "mbara", "hpa"]),
        unit("kPa", 1e3, &["kpa", "kpa(a)", "kpaa"]),
        unit("Torr", 1e3 * PASCAL_PER_MICRON, &["torr", "mmhg"]),
    ],
    offers: &["micron", "Pa"],
    advice: &[Advice {
        spellings: &["inhg", "inhgvacuum", "inhgvac", "in.hg", "\"hg"],
        why: "one inch of mercury is 25,400 micron, so a gauge in inches can not show a vacuum of some hundred micron",
        offers: &["500 micron", "67 Pa"],
    }],
    pair: None,
};
/// Flows of water.
pub static WATER_FLOW: Kind = Kind {
    name: "a flow of water",
    accepted: "gpm, L/min, L/h, L/s, m3/h",
    units: &[
        unit("m3/s", 1.0, &["m3/s", "m3/sec"]),
        unit("gpm", GALLON_M3 / 60.0, &["gpm", "usgpm", "gal/min", "gallons/minute"]),
        unit("L/min", 1e-3 / 60.0, &["l/min", "lpm", "litres/minute", "liters/minute"]),
        unit("L/h", 1e-3 / 3600.0, &["l/h", "l/hr", "lph"]),
        unit("L/s", 1e-3, &["l/s", "l/sec"]),
        unit("m3/h", 1.0 / 3600.0, &["m3/h", "m3/hr"]),
    ],
    offers: &["gpm", "L/min"],
    advice: &[Advice {
        spellings: &["gal", "gallon", "gallons", "l", "litre", "litres", "liter", "liters"],
        why: "in which time?",
        offers: &["{n} gpm", "{n} L/min"],
    }],
    pair: None,
};
/// Electric currents.
pub static CURRENT: Kind = Kind {
    name: "a current",
    accepted: "A, mA",
    units: &[
        unit("A", 1.0, &["a", "amp", "amps", "ampere", "amperes"]),
        unit("mA", 1e-3, &["ma", "milliamp", "milliamps"]),
    ],
    offers: &["A"],
    advice: &[],
    pair: None,
};
/// Voltages.
pub static VOLTAGE: Kind = Kind {
    name: "a voltage",
    accepted: "V",
    units: &[unit("V", 1.0, &["v", "volt", "volts", "vac"]), unit("kV", 1e3, &["kv"])],
    offers: &["V"],
    advice: &[],
    pair: None,
};
/// Slopes of drains.
pub static SLOPE: Kind = Kind {
    name: "a slope",
    accepted: "in/ft, mm/m, cm/m, %",
    units: &[
        unit("m/m", 1.0, &["m/m"]),
        unit("in/ft", 1.0 / 12.0, &["in/ft", "in/foot", "inch/foot"]),
        unit("mm/m", 1e-3, &["mm/m"]),
        unit("cm/m", 1e-2, &["cm/m"]),
        unit("%", 1e-2, &["%", "percent"]),
    ],
    offers: &["in/ft", "%"],
    advice: &[],
    pair: None,
};
/// Cross-sections of metric conductors.
pub static SECTION: Kind = Kind {
    name: "a conductor",
    accepted: "AWG, mm2",
    units: &[unit("mm2", 1.0, &["mm2", "sqmm"])],
    offers: &["AWG", "mm2"],
    advice: &[],
    pair: None,
};
pub(super) static KV: Kind = Kind {
    name: "a flow coefficient Kv",
    accepted: "m3/h, L/min",
    units: &[unit("m3/h", 1.0, &["", "m3/h", "m3/hr", "m3h"]), unit("L/min", 0.06, &["l/min", "lpm"])],
    offers: &["m3/h"],
    advice: &[],
    pair: None,
};
pub(super) static CV: Kind = Kind {
    name: "a flow coefficient Cv",
    accepted: "gpm",
    units: &[
        unit("gpm", CV_AS_KV, &["", "gpm", "usgpm", "gal/min"]),
        unit("gpm", CV_AS_KV, &["gpm/psi05", "gpm/√psi"]),
    ],
    offers: &["gpm"],
    advice: &[],
    pair: None,
};

/// Every kind that a stray unit may belong to.
pub(super) static KINDS: &[&Kind] = &[
    &LENGTH,
    &TEMPERATURE,
    &GAUGE_PRESSURE,
    &ABSOLUTE_PRESSURE,
    &PRESSURE_DIFFERENCE,
    &POWER,
    &MASS,
    &MASS_RATE,
    &MASS_PER_LENGTH,
    &VELOCITY,
    &RATIO,
    &DENSITY,
    &VOLUME,
    &VOLUME_RATE,
    &SOUND_POWER_LEVEL,
    &HEAT_TRANSFER,
    &THERMAL_CONDUCTIVITY,
    &FREQUENCY,
    &TIME,
    &VACUUM,
    &WATER_FLOW,
    &CURRENT,
    &VOLTAGE,
];
