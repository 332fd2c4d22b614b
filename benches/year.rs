//! A year of hours of two stacked condensers with a circuit each: one balance an hour, or one for each temperature of the air.
//! See `benches/README.md`. The job is that of `benches/reference/year_with_library.py`.

// A bench that can not set up its job has nothing to measure.
#![allow(clippy::unwrap_used)]

use divan::Bencher;
use physics::{
    balance::{Balance, Circuit, Tube, balance, balance_from},
    compressor::{Compressor, ConstantEfficiency},
    condenser::SaturationReference,
    fluid::{GridRefrigerant, Refrigerant, State},
    layout::{Branch, Layout, Sharing, Unit},
    line::{Element, Line},
    units::{
        Bore, BubbleTemperature, DewTemperature, Length, MassRate, Ratio, TemperatureInterval,
        ThermalConductance, ThermodynamicTemperature, Time, VolumeRate,
        unit::{
            energy::kilowatt_hour,
            length::{meter, micrometer, millimeter},
            mass_rate::kilogram_per_second,
            ratio::ratio,
            temperature_interval::kelvin as kelvin_interval,
            thermal_conductance::watt_per_kelvin,
            thermodynamic_temperature::degree_celsius,
            time::hour,
            volume_rate::cubic_meter_per_second,
        },
    },
    year::{Running, Sums},
};
use std::{collections::BTreeMap, f64::consts::TAU, sync::LazyLock};
use tables::Library;

const NAMES: [&str; 2] = ["R-134a", "R-404A"];
const HOURS: u32 = 8760;
const CAPACITY_W: f64 = 8000.0;

static LIBRARY: LazyLock<Library> = LazyLock::new(|| Library::embedded().unwrap());
static FLUIDS: LazyLock<BTreeMap<&str, GridRefrigerant>> = LazyLock::new(|| {
    let fluid = |name| (name, GridRefrigerant::new(&LIBRARY.grid(name).unwrap()).unwrap());
    NAMES.map(fluid).into()
});

fn main() {
    divan::main();
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

/// Outdoor air of an hour in tenths of a degree (invented): a year, its days, and a swing of some days.
fn tenths(index: u32) -> i32 {
    let turn = |period: f64, late: f64| (TAU * (f64::from(index) - late) / period).sin();
    let air_c = 11.0 + 11.0 * turn(8760.0, 2900.0) + 5.0 * turn(24.0, 9.0) + 3.0 * turn(131.0, 0.0);
    (10.0 * air_c).round() as i32
}

struct Job {
    fluid: &'static dyn Refrigerant,
    suction: State,
    swept: VolumeRate,
    lines: [Line; 2],
    layout: Layout,
}

impl Job {
    fn new(name: &str) -> Self {
        let fluid: &'static GridRefrigerant = &FLUIDS[name];
        let evaporating = fluid.at_dew(DewTemperature::new(celsius(-10.0))).unwrap();
        let suction = fluid.vapour_at(evaporating.pressure, celsius(-2.0)).unwrap();
        let liquid = fluid.at_bubble(BubbleTemperature::new(celsius(40.0))).unwrap();
        let rate_kg_s = CAPACITY_W / (suction.enthalpy - liquid.enthalpy).value;
        let elbow = LIBRARY.fittings().three_k("elbow-90-short-threaded").unwrap().loss.value;
        let line = |bore_mm: f64, rise_m: f64| {
            let leg = Element::Leg { length: Length::new::<meter>(15.0), rise: Length::new::<meter>(rise_m) };
            let elements = vec![leg, Element::Fitting { coefficients: elbow, count: 6 }];
            Line::new(Bore::new(Length::new::<millimeter>(bore_mm)), Length::new::<micrometer>(1.5), elements)
        };
        let unit = |circuit| Unit {
            air_rate: MassRate::new::<kilogram_per_second>(1.6),
            branches: vec![Branch {
                circuit,
                conductance: ThermalConductance::new::<watt_per_kelvin>(1000.0),
            }],
            sharing: Sharing::Split,
        };
        let share = Ratio::new::<ratio>;
        let draws = [vec![share(0.0), share(0.0)], vec![share(0.15), share(0.0)]];
        Self {
            fluid,
            suction,
            swept: VolumeRate::new::<cubic_meter_per_second>(rate_kg_s / suction.density.value),
            lines: [line(16.92, 6.0), line(10.92, -6.0)],
            layout: Layout::new(vec![unit(0), unit(1)], &draws, 2).unwrap(),
        }
    }

    fn circuits(&self) -> [Circuit<'_>; 2] {
        let efficiency = Ratio::new::<ratio>(0.65);
        let tube = |index: usize| Some(Tube { line: &self.lines[index], exchanges: &[] });
        let circuit = Circuit {
            fluid: self.fluid,
            suction: self.suction,
            compressor: Compressor::Constant(ConstantEfficiency::new(efficiency, self.swept).unwrap()),
            subcooling: TemperatureInterval::new::<kelvin_interval>(3.0),
            lowest: Some(SaturationReference::Mid.pressure(self.fluid, celsius(25.0)).unwrap()),
            suction_line: None,
            discharge_line: tube(0),
            liquid_line: tube(1),
        };
        [circuit.clone(), circuit]
    }
}

fn add(sums: &mut Sums, hours: f64, found: &Balance) {
    for circuit in &found.circuits {
        let running = Running::at(circuit.capacity, circuit.power, 0.5 * circuit.capacity).unwrap();
        sums.add(Time::new::<hour>(hours), &running, circuit.capacity, circuit.held, false);
    }
}

fn energy_kwh(sums: &Sums) -> f64 {
    sums.energy.get::<kilowatt_hour>()
}

/// Energy of a year at half load, kWh.
fn grouped(job: &Job) -> f64 {
    let mut hours: BTreeMap<i32, f64> = BTreeMap::new();
    for one in 0..HOURS {
        *hours.entry(tenths(one)).or_default() += 1.0;
    }
    let (circuits, mut sums) = (job.circuits(), Sums::default());
    let mut last: Option<Balance> = None;
    for (tenths, count) in hours {
        let air = celsius(f64::from(tenths) / 10.0);
        let found = match &last {
            Some(near) => balance_from(&circuits, &job.layout, air, near),
            None => balance(&circuits, &job.layout, air),
        };
        let found = found.unwrap().value;
        add(&mut sums, count, &found);
        last = Some(found);
    }
    energy_kwh(&sums)
}

/// Each hour by itself, from nothing: the same year.
fn every_hour(job: &Job) -> f64 {
    let (circuits, mut sums) = (job.circuits(), Sums::default());
    for one in 0..HOURS {
        let air = celsius(f64::from(tenths(one)) / 10.0);
        add(&mut sums, 1.0, &balance(&circuits, &job.layout, air).unwrap().value);
    }
    energy_kwh(&sums)
}

#[divan::bench(args = NAMES)]
fn one_balance(bencher: Bencher<'_, '_>, name: &str) {
    let job = Job::new(name);
    let circuits = job.circuits();
    bencher.bench(|| balance(&circuits, &job.layout, celsius(30.0)).unwrap().value.residual);
}

#[divan::bench(args = NAMES)]
fn one_balance_from_a_neighbour(bencher: Bencher<'_, '_>, name: &str) {
    let job = Job::new(name);
    let circuits = job.circuits();
    let near = balance(&circuits, &job.layout, celsius(29.9)).unwrap().value;
    bencher.bench(|| balance_from(&circuits, &job.layout, celsius(30.0), &near).unwrap().value.residual);
}

#[divan::bench(args = NAMES, sample_count = 10)]
fn year_by_temperatures(bencher: Bencher<'_, '_>, name: &str) {
    let job = Job::new(name);
    bencher.bench(|| grouped(&job));
}

#[divan::bench(args = NAMES, sample_count = 3)]
fn year_hour_by_hour(bencher: Bencher<'_, '_>, name: &str) {
    let job = Job::new(name);
    bencher.bench(|| every_hour(&job));
}
