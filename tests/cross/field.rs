//! Work in the field against own calculations with the same formulas, and with other libraries where the source says so
//! (`data/field.csv`; its column `held` names what is compared, or the reason why nothing is).

use crate::support::{field::*, *};
use physics::{
    field::{
        charge_limit::{
            ApplianceRule, SelfContainedAppliance, appliance_ceiling, charge_of_equivalent, concentration,
            hot_liquid_share, leak_rate_of_year, limit_by_mass, specific_gravity,
        },
        electrical::{
            Supply, longest_circuit, minimum_circuit_ampacity, resistance_at, voltage_drop, voltage_imbalance,
        },
        holding::{nitrogen_mass, vapour_mass},
        nitrogen::{
            GaugeDoubts, HoldReading, HoldVerdict, expected_pressure, hold_test, leak_mass_rate,
            leak_throughput, nitrogen_molar_mass, smallest_leak, throughput_of,
        },
        vacuum::{Pump, Rig, boil_off, conductance, dilution, effective_speed, time_constant},
        water::{
            ManningRoughness, PressureWindow, WaterSupply, drain_capacity, head_pressure, water_density,
        },
    },
    heat::moisture::saturation_pressure,
    ice::ice_load,
    units::{
        AbsolutePressure, ElectricCurrent, ElectricPotential, GaugePressure, Length, Mass, MassDensity,
        MassRate, MolarMass, Pressure, Ratio, Throughput, Time, Volume, VolumeRate,
        unit::{
            electric_current::ampere,
            electric_potential::volt,
            length::foot,
            mass::{gram, kilogram, ounce, pound},
            mass_density::{gram_per_cubic_meter, kilogram_per_cubic_meter},
            mass_rate::kilogram_per_second,
            molar_mass::gram_per_mole,
            power::watt,
            pressure::{megapascal, pascal, psi},
            ratio::{part_per_million, percent, ratio},
            time::{day, hour, minute, second},
            velocity::foot_per_second,
            volume::{cubic_meter, gallon, liter},
            volume_rate::{cubic_foot_per_minute, gallon_per_minute, liter_per_second},
        },
    },
};

/// Rows are printed to four digits.
const PRINTED: f64 = 1e-3;
const JULIAN_YEAR_S: f64 = 31_557_600.0;

fn rows(held: &str) -> Vec<Row> {
    let all = read("cross/data/field.csv");
    assert_eq!(all.len(), 128);
    all.into_iter().filter(|row| row.text("held") == held).collect()
}

/// What the rows of one kind are compared with.
type Found<'a> = (&'static str, &'a dyn Fn(&Row) -> f64);

/// The number that a value starts with: `1.228` of `1.228 V = 1.07 %`.
fn value(row: &Row) -> f64 {
    let text = row.text("value").trim_start_matches("pass ");
    text.split(' ').next().and_then(|number| number.parse().ok()).unwrap_or_else(|| panic!("{}", row.place()))
}

fn compare(name: &str, count: usize, kinds: &[Found<'_>]) {
    let mut tally = Tally::new(name);
    for (held, found) in kinds {
        for row in rows(held) {
            let what = format!("{} {}", row.place(), row.text("quantity"));
            tally.relative(&what, found(&row), value(&row), PRINTED);
        }
    }
    tally.finish(count);
}

fn input(row: &Row, key: &str) -> f64 {
    row.keyed("inputs", key)
}

fn sea_level() -> AbsolutePressure {
    pascals(101_325.0)
}

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::new(Pressure::new::<psi>(value)).absolute(sea_level())
}

fn gauge_psi(pressure: AbsolutePressure) -> f64 {
    pressure.gauge(sea_level()).get().get::<psi>()
}

fn litres(row: &Row) -> Volume {
    Volume::new::<liter>(input(row, "litres"))
}

fn pa_m3_s(leak: Throughput) -> f64 {
    leak.pascal_cubic_metre_per_second()
}

#[test]
fn limits_of_charge() {
    let kilograms = |row: &Row, mass: Mass| match row.text("unit") {
        "g" => mass.get::<gram>(),
        "kg" => mass.get::<kilogram>(),
        other => panic!("{}: unit {other}", row.place()),
    };
    let in_room = |row: &Row| {
        let limit = MassDensity::new::<gram_per_cubic_meter>(input(row, "limit_g_m3"));
        let (charge, room) = (
            Mass::new::<kilogram>(input(row, "charge_kg")),
            Volume::new::<cubic_meter>(input(row, "room_m3")),
        );
        concentration(charge, room, limit, number(input(row, "factor"))).unwrap().value
    };
    compare(
        "limits of charge",
        32,
        &[
            ("limit by mass", &|row| {
                let by_volume = Ratio::new::<part_per_million>(input(row, "ppm"));
                let molar_mass = MolarMass::new::<gram_per_mole>(input(row, "molar_mass"));
                limit_by_mass(by_volume, molar_mass).unwrap().value.get::<gram_per_cubic_meter>()
            }),
            ("greatest charge", &|row| in_room(row).greatest_charge.get::<kilogram>()),
            ("share of limit", &|row| in_room(row).share.get::<ratio>()),
            ("appliance ceiling", &|row| {
                let limit = MassDensity::new::<kilogram_per_cubic_meter>(input(row, "lfl_kg_m3"));
                let appliance = SelfContainedAppliance::factory_sealed(limit).unwrap();
                let multiplier = Volume::new::<cubic_meter>(input(row, "multiplier_m3"));
                let rule = ApplianceRule { multiplier, cap: None };
                kilograms(row, appliance_ceiling(&appliance, &rule).unwrap().value)
            }),
            ("leak rate", &|row| {
                let pounds = |key| Mass::new::<pound>(input(row, key));
                let since = Time::new::<day>(input(row, "days"));
                leak_rate_of_year(pounds("added_lb"), pounds("full_lb"), since)
                    .unwrap()
                    .value
                    .get::<percent>()
            }),
            ("charge of equivalent", &|row| {
                let refrigerant = LIBRARY.refrigerants().find(row.pair("inputs", "refrigerant")).unwrap();
                let potential = number(refrigerant.warming_potential.value.ar4.unwrap().round());
                let equivalent = Mass::new::<kilogram>(1000.0 * input(row, "t"));
                charge_of_equivalent(equivalent, potential).unwrap().get::<kilogram>()
            }),
            ("specific gravity", &|row| specific_gravity(fluid(row)).unwrap().value.get::<ratio>()),
            ("hot liquid share", &|row| {
                let hot = fahrenheit(input(row, "hot_F"));
                hot_liquid_share(fluid(row), hot).unwrap().value.get::<ratio>()
            }),
            ("cylinder net", &|row| cylinder(row).net.get::<pound>()),
        ],
    );
}

fn fluid(row: &Row) -> &'static physics::fluid::GridRefrigerant {
    refrigerant(row.pair("inputs", "refrigerant"))
}

fn start(row: &Row) -> HoldReading {
    HoldReading { pressure: psig(input(row, "start_psig")), temperature: fahrenheit(input(row, "start_F")) }
}

fn drop_throughput(row: &Row) -> Throughput {
    let (drop, hold) = (Pressure::new::<psi>(input(row, "psi")), Time::new::<hour>(input(row, "hours")));
    leak_throughput(litres(row), drop, hold).unwrap().value
}

#[test]
fn pressure_tests() {
    compare(
        "pressure tests",
        16,
        &[
            ("bubble pressure", &|row| {
                gauge_psi(bubble(fluid(row), fahrenheit(input(row, "bubble_F"))).pressure)
            }),
            ("expected psig", &|row| {
                gauge_psi(expected_pressure(&start(row), fahrenheit(input(row, "now_F"))).unwrap().value)
            }),
            ("expected MPa", &|row| {
                let start = HoldReading {
                    pressure: AbsolutePressure::new(Pressure::new::<megapascal>(input(row, "start_MPa"))),
                    temperature: celsius(input(row, "start_C")),
                };
                let expected = expected_pressure(&start, celsius(input(row, "now_C"))).unwrap().value;
                expected.get().get::<megapascal>()
            }),
            ("expected change", &|row| {
                let expected = expected_pressure(&start(row), fahrenheit(input(row, "now_F"))).unwrap().value;
                (expected.get() - start(row).pressure.get()).get::<psi>()
            }),
            ("throughput", &|row| match row.text("unit") {
                "Pa m3/s" => pa_m3_s(drop_throughput(row)),
                "mbar L/s" => 10.0 * pa_m3_s(drop_throughput(row)),
                other => panic!("{}: unit {other}", row.place()),
            }),
            ("nitrogen loss", &|row| {
                let rate =
                    leak_mass_rate(drop_throughput(row), nitrogen_molar_mass(), celsius(input(row, "C")));
                1e3 * JULIAN_YEAR_S * rate.unwrap().value.get::<kilogram_per_second>()
            }),
            ("throughput of rate", &|row| {
                let a_year = Mass::new::<ounce>(input(row, "oz_per_year"));
                let rate = MassRate::new::<kilogram_per_second>(a_year.get::<kilogram>() / JULIAN_YEAR_S);
                let molar_mass = MolarMass::new::<gram_per_mole>(input(row, "molar_mass"));
                pa_m3_s(throughput_of(rate, molar_mass, celsius(input(row, "C"))).unwrap().value)
            }),
            ("smallest leak", &|row| {
                let step = Pressure::new::<psi>(input(row, "psi"));
                let hold = Time::new::<hour>(input(row, "hours"));
                pa_m3_s(smallest_leak(litres(row), step, hold).unwrap().value)
            }),
            ("rise throughput", &|row| {
                let rise = Pressure::new::<pascal>(MICRON_PA * input(row, "micron"));
                let during = Time::new::<minute>(input(row, "minutes"));
                pa_m3_s(leak_throughput(litres(row), rise, during).unwrap().value)
            }),
        ],
    );
}

/// Real nitrogen in a tight tube is no leak, read with a gauge as fine as the row is printed.
#[test]
fn real_nitrogen_holds_within_the_band_of_the_ideal_gas() {
    let [row] = &rows("real nitrogen")[..] else { panic!("one row of real nitrogen") };
    let end = HoldReading { pressure: psig(value(row)), temperature: fahrenheit(input(row, "now_F")) };
    let doubts = GaugeDoubts { resolution: Pressure::new::<psi>(0.1), temperature: kelvins(0.0) };
    let result = hold_test(&start(row), &end, &doubts).unwrap().value;
    println!("{result:?}");
    assert_eq!(result.verdict, HoldVerdict::TooCloseToCall, "the ideal gas leaves it open");
    assert!(result.difference.get::<psi>() < -0.6 && result.band.get::<psi>() < 1.0);
}

fn hose(row: &Row) -> physics::field::vacuum::Passage {
    passage(0.01 * input(row, "bore_cm"), 0.01 * input(row, "length_cm"))
}

fn through(row: &Row) -> VolumeRate {
    conductance(&hose(row), microns(input(row, "micron"))).unwrap().value
}

fn cubic_feet_per_minute(row: &Row) -> VolumeRate {
    VolumeRate::new::<cubic_foot_per_minute>(input(row, "cfm"))
}

fn boiling(row: &Row) -> Time {
    let speed = VolumeRate::new::<liter_per_second>(input(row, "speed_L_s"));
    let water = Mass::new::<gram>(input(row, "grams"));
    boil_off(water, celsius(input(row, "C")), microns(input(row, "micron")), speed).unwrap().value
}

#[test]
fn evacuation() {
    let saturation_pa = |c| saturation_pressure(celsius(c)).unwrap().value.get::<pascal>();
    compare(
        "evacuation",
        17,
        &[
            ("conductance", &|row| through(row).get::<liter_per_second>()),
            ("effective speed", &|row| {
                effective_speed(cubic_feet_per_minute(row), through(row)).unwrap().get::<liter_per_second>()
            }),
            ("tube volume", &|row| {
                let length = Length::new::<foot>(input(row, "length_ft"));
                (bore_inches(input(row, "bore_in")).area() * length).get::<liter>()
            }),
            ("time constant", &|row| time_constant(litres(row), through(row)).unwrap().value.get::<second>()),
            ("dilution", &|row| {
                let cycles = row.pair("inputs", "cycles").parse().unwrap();
                dilution(microns(input(row, "micron")), sea_level(), cycles).unwrap().get::<ratio>()
            }),
            ("gas load", &|row| {
                let swept_m3 = 1e-3 * input(row, "speed_L_s") * boiling(row).get::<second>();
                swept_m3 * microns(input(row, "micron")).pascal()
            }),
            ("boil-off", &|row| boiling(row).get::<minute>()),
            ("saturation pressure", &|row| saturation_pa(input(row, "C")) / MICRON_PA),
        ],
    );
    // The row gives the temperature of a pressure: the pressure of that temperature has to be the one it names.
    let mut tally = Tally::new("temperature of ice by its vapour pressure, micron");
    for row in rows("saturation temperature") {
        tally.relative(row.place(), saturation_pa(value(&row)) / MICRON_PA, input(&row, "micron"), PRINTED);
    }
    tally.finish(2);
}

/// Printed to a second.
const A_SECOND: f64 = 1.0;

#[test]
fn pump_down() {
    let time_s = |row: &Row, ultimate_micron: f64, paths| {
        let pump = Pump { speed: cubic_feet_per_minute(row), ultimate: microns(ultimate_micron) };
        let rig = Rig::new(pump, paths).unwrap();
        let time = rig.pump_down(litres(row), sea_level(), microns(input(row, "micron"))).unwrap();
        time.value.get::<second>()
    };
    let mut tally = Tally::new("pump-down, s");
    for row in rows("pump-down") {
        let found = time_s(&row, input(&row, "ultimate_micron"), vec![vec![hose(&row)]]);
        tally.absolute(row.text("quantity"), found, value(&row), A_SECOND);
    }
    tally.finish(4);
    // The closed form of these rows has a pump without an end.
    compare("pump-down without hose", 2, &[("pump-down without hose", &|row| time_s(row, 1e-4, vec![]))]);
}

#[test]
fn holding_charges() {
    compare(
        "holding charges, g",
        6,
        &[("holding charge", &|row| {
            let (pressure, temperature) = (psig(input(row, "psig")), fahrenheit(input(row, "F")));
            let mass = match row.pair("inputs", "gas") {
                "N2" => nitrogen_mass(litres(row), pressure, temperature),
                name => vapour_mass(refrigerant(name), litres(row), pressure, temperature),
            };
            mass.unwrap().value.get::<gram>()
        })],
    );
}

fn supply(row: &Row) -> Supply {
    match row.pair("inputs", "phases") {
        "1" => Supply::SinglePhase,
        "3" => Supply::ThreePhase,
        other => panic!("{}: {other} phases", row.place()),
    }
}

#[test]
fn circuits() {
    let conductor = |row: &Row| LIBRARY.field().conductor(row.pair("inputs", "gauge")).unwrap().direct.value;
    let current = |row: &Row| ElectricCurrent::new::<ampere>(input(row, "A"));
    let lost_v = |row: &Row| {
        let one_way = Length::new::<foot>(input(row, "ft"));
        voltage_drop(current(row), one_way, conductor(row), supply(row)).unwrap().value.get::<volt>()
    };
    compare(
        "circuits",
        11,
        &[
            ("ampacity", &|row| minimum_circuit_ampacity(&loads(row)).value.get::<ampere>()),
            ("overcurrent largest", &|row| devices(row).largest.size.get::<ampere>()),
            ("resistance ratio", &|row| {
                let listed = LIBRARY.field().conductors()[0].direct.value;
                (resistance_at(listed, celsius(input(row, "C"))).unwrap().value / listed).get::<ratio>()
            }),
            ("voltage drop", &lost_v),
            ("longest circuit", &|row| {
                let drop = ElectricPotential::new::<volt>(0.01 * input(row, "percent") * input(row, "V"));
                longest_circuit(current(row), drop, conductor(row), supply(row)).unwrap().value.get::<foot>()
            }),
            ("imbalance", &|row| {
                let volts: Vec<f64> =
                    row.pair("inputs", "V").split(' ').map(|text| text.parse().unwrap()).collect();
                let volts: [f64; 3] = volts.try_into().unwrap();
                voltage_imbalance(volts.map(ElectricPotential::new::<volt>)).unwrap().get::<percent>()
            }),
        ],
    );
    // `1.228 V = 1.07 %`: the share is printed beside it.
    let mut tally = Tally::new("voltage drop, %");
    for row in rows("voltage drop") {
        let share = row.text("value").split("= ").nth(1).and_then(|text| text.split(' ').next());
        let share: f64 = share.unwrap().parse().unwrap();
        tally.absolute(row.place(), 100.0 * lost_v(&row) / input(&row, "V"), share, 0.005);
    }
    tally.finish(4);
}

#[test]
fn water_and_drains() {
    compare(
        "water and drains",
        11,
        &[
            ("static head", &|row| {
                let gauge = |value| GaugePressure::new(Pressure::new::<psi>(value));
                let none = Pressure::new::<psi>(0.0);
                let supply = WaterSupply {
                    main_least: gauge(50.0),
                    main_most: gauge(50.0),
                    rise: Length::new::<foot>(input(row, "rise_ft")),
                    friction: none,
                    filter: none,
                    backflow: none,
                    water: fahrenheit(input(row, "water_F")),
                };
                let window = PressureWindow { least: gauge(10.0), most: gauge(113.0) };
                50.0 - head_pressure(&supply, &window).unwrap().value.standing.get().get::<psi>()
            }),
            ("water friction", &|row| flow(row).friction.get::<psi>()),
            ("water velocity", &|row| flow(row).velocity.get::<foot_per_second>()),
            ("drain full", &|row| {
                let roughness = ManningRoughness::from_second_per_cube_root_metre(input(row, "n")).unwrap();
                let slope = number(input(row, "slope_in_per_ft") / 12.0);
                let drain = drain_capacity(bore_inches(input(row, "bore_in")), slope, roughness);
                drain.unwrap().value.full.get::<gallon_per_minute>()
            }),
        ],
    );
}

#[test]
fn heat_of_ice() {
    let heat_j_kg = |water| ice_load(mass_rate(1.0), water, celsius(0.0)).unwrap().value.get::<watt>();
    const BTU_LB_J_KG: f64 = 2326.0;
    const KWH_J: f64 = 3.6e6;
    compare(
        "heat of ice",
        4,
        &[
            ("ice heat kJ/kg", &|row| 1e-3 * heat_j_kg(celsius(input(row, "water_C")))),
            ("ice heat Btu/lb", &|row| heat_j_kg(fahrenheit(input(row, "water_F"))) / BTU_LB_J_KG),
            ("ice heat kWh/100 lb", &|row| {
                let hundred_pounds = Mass::new::<pound>(100.0).get::<kilogram>();
                hundred_pounds * heat_j_kg(fahrenheit(input(row, "water_F"))) / KWH_J
            }),
            ("water of ice", &|row| {
                let density = water_density(fahrenheit(input(row, "water_F"))).unwrap().value;
                (Mass::new::<pound>(100.0) / density).get::<gallon>()
            }),
        ],
    );
}

#[test]
fn no_row_is_left_out() {
    // 32 + 16 + 1 + 17 + 2 + 4 + 2 + 6 + 11 + 11 + 4 held, as the tests above count them, and those that say why not.
    let all = read("cross/data/field.csv");
    let left = all.iter().filter(|row| row.text("held").starts_with("not held: ")).count();
    assert_eq!((all.len() - left, left), (106, 22));
}
