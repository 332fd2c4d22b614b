//! Any condensers, ratings and circuits are brought into balance with finite figures or refused in words, in bounded time.
#![no_main]

use libfuzzer_sys::fuzz_target;
use physics::{
    balance::{Circuit, Tube, balance, balance_from},
    compressor::{Compressor, CompressorMap, ConstantEfficiency, TemperatureScale, TenCoefficients},
    condenser::{Condenser, RatingPoint, SaturationReference, air_density, density_factor, fit},
    fluid::{GridRefrigerant, Refrigerant},
    heat::Linear,
    ice::ice_load,
    layout::{Branch, Layout, Sharing, Unit},
    line::{Element, Line},
    parallel_coils::{Coil, back_up},
    units::*,
};
use std::sync::LazyLock;

const NAMES: [&str; 4] = ["R-134a", "R-600a", "R-449A", "R-744"];

static FLUIDS: LazyLock<Vec<GridRefrigerant>> = LazyLock::new(|| {
    let library = tables::Library::embedded().expect("the tests read the embedded tables");
    let fluid = |name| GridRefrigerant::new(&library.grid(name).expect("a grid")).expect("a refrigerant");
    NAMES.into_iter().map(fluid).collect()
});

/// As it is, or folded into the span where an answer may be.
fn folded(value: f64, fold: bool, low: f64, high: f64) -> f64 {
    if fold { low + (high - low) * (value.to_bits() as f64 / u64::MAX as f64) } else { value }
}

fuzz_target!(|input: (u8, u8, [f64; 20], [[f64; 2]; 2], [u8; 4])| {
    let (which, wild, numbers, draws, shape) = input;
    let fluid: &dyn Refrigerant = &FLUIDS[usize::from(which) % NAMES.len()];
    // One number in the wild at a time finds more than all at once.
    let number = |k: usize, low: f64, high: f64| folded(numbers[k], usize::from(wild) != k, low, high);
    let share = Ratio::new::<unit::ratio::ratio>;
    let celsius = ThermodynamicTemperature::new::<unit::thermodynamic_temperature::degree_celsius>;
    let kelvins = TemperatureInterval::new::<unit::temperature_interval::kelvin>;
    let watts = Power::new::<unit::power::watt>;
    let length = Length::new::<unit::length::meter>;
    let conductance = ThermalConductance::new::<unit::thermal_conductance::watt_per_kelvin>;
    let volume = VolumeRate::new::<unit::volume_rate::cubic_meter_per_second>;
    let rate = MassRate::new::<unit::mass_rate::kilogram_per_second>;
    let density = MassDensity::new::<unit::mass_density::kilogram_per_cubic_meter>;

    let air = celsius(number(0, -40.0, 55.0));
    let reference =
        [SaturationReference::Dew, SaturationReference::Mid, SaturationReference::Bubble][usize::from(shape[0] % 3)];
    let point = |k: usize| RatingPoint {
        heat_rejection: watts(number(k, 500.0, 30_000.0)),
        difference: kelvins(number(k + 1, 1.0, 40.0)),
        reference,
        air,
    };
    let fitted = match fit(fluid, &[point(1), point(3)]) {
        Ok(fitted) => {
            assert!(fitted.conductance.value > 0.0 && fitted.conductance.value.is_finite());
            fitted.conductance
        }
        Err(refused) => {
            assert!(!refused.to_string().is_empty());
            conductance(number(5, 50.0, 3000.0))
        }
    };
    let there = air_density(AbsolutePressure::from_pascal(number(6, 6e4, 1.05e5)), air).map_or(density(1.2), |it| it);
    let speed = share(number(7, 0.0, 1.2));
    let in_air = Condenser::new(fitted, volume(number(8, 0.1, 6.0)), density(1.2), watts(number(9, 0.0, 900.0)))
        .and_then(|condenser| {
            if let Some(found) = condenser.speed_for(there, speed) {
                assert!((0.0..=1.0).contains(&found.value));
            }
            condenser.in_air(there, speed)
        });
    let (own, air_rate) = match in_air {
        Ok(found) => (found.value.conductance, found.value.air_rate),
        Err(_) => (fitted, rate(number(8, 0.1, 6.0))),
    };
    let _ = density_factor(share(number(10, 0.0, 5.0)), speed);
    let _ = ice_load(rate(number(11, 0.0, 1.0)), air, celsius(number(12, -45.0, 5.0)));
    let coil = |k: usize| Coil {
        heat: watts(number(k, 0.0, 1e4)),
        drop_at_all_flow: Pressure::new::<unit::pressure::pascal>(number(k + 1, 0.0, 1e5)),
    };
    if let Ok(found) = back_up(&[coil(11), coil(13)], there) {
        assert_eq!(found.len(), 2);
    }

    let sharing = if shape[1] & 1 == 0 { Sharing::Split } else { Sharing::Interlaced };
    let count = 1 + usize::from(shape[1] >> 1) % 2;
    let both = shape[1] & 4 == 0 && count == 2;
    let unit = |index: usize| {
        let mut branches = vec![Branch { circuit: index, conductance: own }];
        if both {
            branches.push(Branch { circuit: 1 - index, conductance: conductance(number(5, 50.0, 3000.0)) });
        }
        Unit { air_rate, branches, sharing }
    };
    let fraction = |i: usize, j: usize| share(folded(draws[i][j], usize::from(wild) != 30 + i + j, 0.0, 0.6));
    let rows: Vec<Vec<Ratio>> = (0..count).map(|i| (0..count).map(|j| fraction(i, j)).collect()).collect();
    let layout = match Layout::new((0..count).map(unit).collect(), &rows, count) {
        Ok(layout) => layout,
        Err(refused) => {
            assert!(!refused.to_string().is_empty());
            return;
        }
    };
    let heats = vec![watts(number(1, 500.0, 30_000.0)); count];
    if let Ok(warm) = layout.temperatures(&heats) {
        assert_eq!(layout.states(&warm).len(), count);
    }
    let _ = layout.break_even(0, count - 1, &heats, &vec![kelvins(number(2, 1.0, 40.0)); count]);

    let evaporating = DewTemperature::new(celsius(number(13, -40.0, 12.0)));
    let Ok(low) = fluid.at_dew(evaporating) else { return };
    let Ok(suction) = fluid.vapour_at(low.pressure, low.temperature + kelvins(number(14, 0.0, 25.0))) else { return };
    let compressor = if shape[2] & 1 == 0 {
        let constant = ConstantEfficiency::new(share(number(15, 0.3, 0.9)), volume(number(16, 1e-4, 2e-2)));
        let Ok(constant) = constant else { return };
        Compressor::Constant(constant)
    } else {
        let row = |first: f64, k: usize| {
            let mut coefficients = [0.0; 10];
            coefficients[..3].copy_from_slice(&[first, number(k, -0.01, 0.02) * first, number(k + 1, -0.01, 0.02) * first]);
            TenCoefficients { coefficients, scale: TemperatureScale::Celsius, to_si: 1.0 }
        };
        Compressor::Map(Box::new(CompressorMap {
            mass_rate: row(number(15, 0.001, 0.3), 16),
            power: row(number(18, 100.0, 9000.0), 16),
            superheat: kelvins(number(14, 0.0, 25.0)),
            evaporating: celsius(-40.0)..=celsius(10.0),
            condensing: celsius(20.0)..=celsius(60.0),
        }))
    };
    let line = Line::new(
        Bore::new(length(number(17, 0.003, 0.05))),
        length(1.5e-6),
        vec![Element::Leg { length: length(number(18, 0.1, 60.0)), rise: length(number(19, -0.1, 0.1)) }],
    );
    let exchanges = [Linear {
        conductance: ConductancePerLength::new::<unit::thermal_conductivity::watt_per_meter_kelvin>(number(12, 0.0, 2.0)),
        surroundings: air,
    }];
    let tube = |bit: u8| (shape[3] & bit != 0).then_some(Tube { line: &line, exchanges: &exchanges });
    let lowest = AbsolutePressure::from_pascal(number(4, 2e5, 2e6));
    let circuit = Circuit {
        fluid,
        suction,
        compressor,
        subcooling: kelvins(number(3, 0.0, 12.0)),
        lowest: (shape[2] & 2 != 0).then_some(lowest),
        suction_line: tube(1),
        discharge_line: tube(2),
        liquid_line: tube(4),
    };
    let circuits = vec![circuit; count];
    match balance(&circuits, &layout, air) {
        Ok(found) => {
            let found = found.value;
            assert!(found.residual <= physics::balance::GREATEST_RESIDUAL);
            for one in &found.circuits {
                for figure in [one.capacity.value, one.power.value, one.heat_rejection.value, one.active_share.value] {
                    assert!(figure.is_finite(), "{one:?}");
                }
            }
            let again = balance_from(&circuits, &layout, air, &found).expect("it balances there").value;
            for (one, other) in found.circuits.iter().zip(&again.circuits) {
                assert!(((one.power / other.power).value - 1.0).abs() < 1e-5, "{one:?} {other:?}");
            }
        }
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }
});
