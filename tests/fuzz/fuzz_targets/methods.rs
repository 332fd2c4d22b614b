//! Heat exchange, two phases, flooding, wind on frames, sound, discharges, winter, coils, receivers and standstill: any
//! number gives a finite figure or a refusal in words.
#![no_main]

use libfuzzer_sys::fuzz_target;
use physics::{
    coil_charge::{Coil, Slip, Zones, coil_charge, low_and_high},
    condenser::Condenser,
    flooding::flooding,
    fluid::GridRefrigerant,
    heat::{
        Conditions, Conductivity, Insulation, Pipe, Stand, Surface, Surroundings, exchange,
        moisture::dew_point,
        thickness::{Requirement, least_for},
    },
    jet::{Discharge, bending_length, greatest_share, momentum_length},
    layout::{self, Sharing},
    receiver::{Kept, LiquidFull, Receiver, filled, liquid_full_temperature, volume_needed},
    sound::{Radiation, SoundPowerLevel, carried, level_at},
    standstill::{Side, migration},
    tube::Tube,
    two_phase::{Flow, VoidModel, friction_pressure_drop, mixture},
    units::*,
    wind::*,
    winter::{
        WinterDuty, circuit_conductance, fan_cycling, fan_speed, flooding as winter_flooding, winter_charge,
    },
};
use std::sync::LazyLock;
use tables::Library;

/// A blend with glide, so that the three temperature bases differ.
static FLUID: LazyLock<GridRefrigerant> =
    LazyLock::new(|| GridRefrigerant::new(&Library::embedded().unwrap().grid("R-407C").unwrap()).unwrap());

/// As it is, or folded into the span where an answer may be.
fn folded(value: f64, fold: bool, low: f64, high: f64) -> f64 {
    if fold { low + (high - low) * (value.to_bits() as f64 / u64::MAX as f64) } else { value }
}

fuzz_target!(|input: (bool, [f64; 10])| {
    let (fold, numbers) = input;
    let number = |k: usize, low: f64, high: f64| folded(numbers[k], fold, low, high);
    let length = Length::new::<unit::length::meter>;
    let share = Ratio::new::<unit::ratio::ratio>;
    let temperature = ThermodynamicTemperature::new::<unit::thermodynamic_temperature::kelvin>;
    let density = MassDensity::new::<unit::mass_density::kilogram_per_cubic_meter>;
    let viscosity = DynamicViscosity::new::<unit::dynamic_viscosity::pascal_second>;
    let rate = MassRate::new::<unit::mass_rate::kilogram_per_second>;

    let bore = Bore::new(length(number(0, 0.002, 0.08)));
    let flow = Flow {
        mass_flux: rate(number(1, 0.0, 1.0)) / bore.area(),
        quality: share(number(2, -0.1, 1.1)),
        bore,
        roughness: length(number(3, 0.0, 1e-4)),
        rise: share(number(4, -1.1, 1.1)),
        liquid_density: density(number(5, 500.0, 1500.0)),
        vapour_density: density(number(6, 1.0, 300.0)),
        liquid_viscosity: viscosity(number(7, 5e-5, 5e-4)),
        vapour_viscosity: viscosity(number(8, 8e-6, 2e-5)),
        surface_tension: SurfaceTension::new::<unit::surface_tension::newton_per_meter>(number(
            9, 1e-4, 0.02,
        )),
    };
    match friction_pressure_drop(length(1.0), &flow) {
        Ok(found) => assert!(!fold || found.value.friedel.value >= 0.0),
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }
    if let Ok(found) = mixture(&flow, VoidModel::Steiner)
        && fold
    {
        assert!((0.0..=1.0).contains(&found.value.void_fraction.value), "{flow:?} {found:?}");
    }
    let (vapour, liquid) = (rate(number(1, 0.0, 1.0)), rate(number(2, 0.0, 1.0)));
    if let Ok(found) = flooding(vapour, liquid, bore, flow.liquid_density, flow.vapour_density) {
        assert!(!found.value.vapour_number.value.is_nan());
    }

    if let Ok(dew) = dew_point(temperature(number(1, 200.0, 380.0)), share(number(2, 0.0, 1.1))) {
        assert!(dew.value.value.is_finite());
    }
    roof(&number);
    winter(&number);
    refrigerant_at_rest(&number);
    let outside = OutsideDiameter::new(length(number(0, 0.003, 0.1)));
    let Ok(tube) = Tube::new(outside, length(number(3, 1e-4, 5e-3))) else { return };
    let conductivity = ThermalConductivity::new::<unit::thermal_conductivity::watt_per_meter_kelvin>;
    let insulation = Insulation {
        thickness: length(number(4, 0.0, 0.1)),
        conductivity: Conductivity::constant(conductivity(0.04)),
    };
    let pipe = Pipe {
        tube,
        wall_conductivity: conductivity(339.0),
        insulation: (numbers[5] > 0.0).then_some(insulation),
        surface: Surface { emissivity: share(number(5, 0.0, 1.1)), absorptance: share(number(6, 0.0, 1.1)) },
        stand: if numbers[6] > 0.0 {
            Stand::Level
        } else {
            Stand::Upright { height: length(number(7, 0.0, 50.0)) }
        },
    };
    let mut surroundings = Surroundings::still(
        temperature(number(7, 190.0, 400.0)),
        AbsolutePressure::from_pascal(number(8, 3e4, 1.3e5)),
    );
    surroundings.wind = Velocity::new::<unit::velocity::meter_per_second>(number(9, 0.0, 70.0));
    surroundings.sun =
        HeatFluxDensity::new::<unit::heat_flux_density::watt_per_square_meter>(number(2, 0.0, 1600.0));
    let conditions = Conditions {
        fluid: temperature(number(1, 190.0, 460.0)),
        film: HeatTransfer::new::<unit::heat_transfer::watt_per_square_meter_kelvin>(number(3, 1.0, 1e4)),
        surroundings,
    };
    match exchange(&pipe, &conditions) {
        Ok(found) => {
            let found = found.value;
            assert!(
                found.heat_into_fluid.value.is_finite() && found.surface.value.is_finite(),
                "{pipe:?} {conditions:?}"
            );
            assert!(found.linear.conductance.value >= 0.0, "{pipe:?} {conditions:?}");
        }
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }
    let wanted = Requirement::SurfaceAtLeast(temperature(number(4, 250.0, 310.0)));
    let bare = Pipe { insulation: None, ..pipe };
    let found = least_for(wanted, &bare, insulation.conductivity, pipe.surface, &conditions, length(0.1));
    if let Err(refused) = found {
        assert!(!refused.to_string().is_empty());
    }
});

/// Wind on a frame, sound and discharge.
fn roof(number: &dyn Fn(usize, f64, f64) -> f64) {
    let length = Length::new::<unit::length::meter>;
    let share = Ratio::new::<unit::ratio::ratio>;
    let mass = Mass::new::<unit::mass::kilogram>;
    let speed = Velocity::new::<unit::velocity::meter_per_second>;

    let terrain = Terrain {
        factor: share(2.41),
        alpha: share(number(0, 5.0, 12.0)),
        gradient_height: length(number(1, 200.0, 1000.0)),
        least_height: length(number(2, 0.0, 10.0)),
    };
    let exposure = exposure_coefficient(length(number(3, 0.0, 300.0)), &terrain);
    let elevation = ground_elevation_factor(length(number(4, -600.0, 9500.0)));
    if let (Ok(exposure), Ok(elevation)) = (exposure, elevation) {
        let factors = PressureFactors {
            exposure: exposure.value,
            topography: share(number(5, 0.9, 3.0)),
            directionality: share(number(6, 0.4, 1.0)),
            elevation: elevation.value,
        };
        if let Ok(pressure) = velocity_pressure(speed(number(7, 0.0, 130.0)), &factors) {
            assert!(pressure.value.value >= 0.0 && pressure.value.is_finite(), "{factors:?} {pressure:?}");
        }
    }

    let one = Unit {
        width: length(number(0, 0.0, 3.0)),
        depth: length(number(1, 0.0, 3.0)),
        height: length(number(2, 0.0, 3.0)),
        mass: mass(number(3, 0.0, 500.0)),
    };
    let other = Unit { mass: mass(number(4, 0.0, 500.0)), ..one };
    let units = if number(5, -1.0, 1.0) > 0.0 {
        stacked(&[one, other])
    } else {
        side_by_side(&[one, other], length(number(6, 0.0, 2.0)))
    };
    let stand = physics::wind::Stand {
        height: length(number(7, 0.0, 2.0)),
        clad: number(8, -1.0, 1.0) > 0.0,
        mass: mass(0.0),
    };
    let anchors = Anchors {
        span_width: length(number(8, 0.0, 6.0)),
        span_depth: length(number(9, 0.0, 3.0)),
        row_width: number(0, 0.0, 4.0) as u32,
        row_depth: number(1, 0.0, 4.0) as u32,
        count: 4,
    };
    match Frame::new(&units, stand, anchors) {
        Ok(frame) => {
            let curve = GustCurve {
                small: share(1.9),
                large: share(1.0),
                small_share: share(0.1),
                large_share: share(1.0),
            };
            let wind = RoofWind {
                pressure: Pressure::new::<unit::pressure::pascal>(number(5, -100.0, 5000.0)),
                building: Building {
                    width: length(number(6, 0.0, 100.0)),
                    length: length(number(7, 0.0, 100.0)),
                    height: length(number(8, 0.0, 100.0)),
                },
                lateral: curve,
                uplift: curve,
            };
            let factors =
                LoadCombination { dead: share(number(9, 0.0, 1.2)), wind: share(number(2, 0.0, 1.6)) };
            if let Ok(loads) = anchor_loads(&frame, &wind, &factors) {
                assert!(loads.value.governing().pull.is_finite(), "{frame:?} {wind:?}");
                assert!(loads.value.shear().value >= 0.0, "{frame:?} {wind:?}");
            }
            if let Ok(lacks) = ballast(&frame, &wind, &factors, share(number(3, 0.0, 1.0))) {
                assert!(lacks.value.missing.is_finite(), "{frame:?} {wind:?}");
            }
        }
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }

    if let Ok(power) = SoundPowerLevel::from_decibel(number(0, -120.0, 220.0)) {
        let (near, far) = (length(number(1, 0.0, 100.0)), length(number(2, 0.0, 2500.0)));
        let side = length(number(3, 0.0, 5.0));
        let both = SoundPowerLevel::sum(&[power, power]).unwrap().value;
        if let Ok(here) = level_at(both, near, Radiation::HalfSphere, side)
            && let Ok(there) = carried(here.value, near, far, side)
        {
            assert!(there.value.decibel().is_finite());
        }
    }
    let discharge =
        Discharge { velocity: speed(number(4, 0.0, 70.0)), diameter: length(number(5, 0.0, 3.0)) };
    let warmer = TemperatureInterval::new::<unit::temperature_interval::kelvin>(number(6, -1.0, 110.0));
    let air =
        ThermodynamicTemperature::new::<unit::thermodynamic_temperature::kelvin>(number(7, 190.0, 360.0));
    let lengths = [
        momentum_length(&discharge, warmer, air).map(|found| found.value),
        bending_length(&discharge, speed(number(8, 0.0, 70.0))).map(|found| found.value),
    ];
    assert!(lengths.iter().flatten().all(|length| length.is_finite()), "{discharge:?}");
    if let Ok(found) =
        greatest_share(length(number(9, -1.0, 1100.0)), discharge.diameter, share(number(0, 0.0, 1100.0)))
    {
        assert!((0.0..=1.0).contains(&found.value.value), "{discharge:?}");
    }
}

/// Head pressure in cold air, and what floods the condenser.
fn winter(number: &dyn Fn(usize, f64, f64) -> f64) {
    let temperature = ThermodynamicTemperature::new::<unit::thermodynamic_temperature::kelvin>;
    let density = MassDensity::new::<unit::mass_density::kilogram_per_cubic_meter>;
    let conductance = ThermalConductance::new::<unit::thermal_conductance::watt_per_kelvin>;
    let air_rate = MassRate::new::<unit::mass_rate::kilogram_per_second>(number(0, 0.0, 5.0));

    let duty = WinterDuty {
        held: AbsolutePressure::from_pascal(number(1, 1e5, 4e6)),
        heat_rejection: Power::new::<unit::power::watt>(number(2, 0.0, 1e5)),
        air: temperature(number(3, 190.0, 360.0)),
    };
    let rated = conductance(number(4, 0.0, 5e3));
    let Ok(flooded) = winter_flooding(&*FLUID, &duty, rated) else { return };
    let flooded_share = flooded.value.flooded_share;
    assert!((0.0..=1.0).contains(&flooded_share.value), "{duty:?} {rated:?}");
    let cycled = fan_cycling(&*FLUID, &duty, rated).unwrap().value;
    assert!((cycled.on_time.value + flooded_share.value - 1.0).abs() < 1e-12, "{duty:?} {rated:?}");
    let flow = VolumeRate::new::<unit::volume_rate::cubic_meter_per_second>(number(0, 0.0, 5.0));
    let fan = Power::new::<unit::power::watt>(300.0);
    if let Ok(condenser) = Condenser::new(rated, flow, density(1.2), fan)
        && let Ok(slowed) = fan_speed(&*FLUID, &duty, &condenser, density(number(5, 0.5, 2.0)))
    {
        assert!((0.0..=1.0).contains(&slowed.value.speed.value), "{duty:?} {condenser:?}");
    }
    let liquid = BubbleTemperature::new(temperature(number(6, 190.0, 360.0)));
    let volume = Volume::new::<unit::volume::cubic_meter>(number(7, 0.0, 0.1));
    let operating = density(number(8, 0.0, 1200.0));
    if let Ok(charge) = winter_charge(&*FLUID, flooded_share, volume, liquid, operating) {
        let charge = charge.value;
        assert!(charge.net.value >= 0.0 && charge.net <= charge.gross, "{charge:?}");
    }
    let branch = |circuit, k| layout::Branch { circuit, conductance: conductance(number(k, 0.0, 3e3)) };
    let sharing = if number(9, -1.0, 1.0) > 0.0 { Sharing::Split } else { Sharing::Interlaced };
    let unit = layout::Unit { air_rate, branches: vec![branch(0, 4), branch(1, 9)], sharing };
    if let Ok(found) = circuit_conductance(&[unit], 0) {
        let found = found.value;
        // The least and the greatest meet where the neighbour is nothing; then rounding alone parts them.
        assert!(found.alone_least <= found.alone_greatest * (1.0 + 1e-9), "{found:?}");
        assert!(found.all_running <= found.alone_least * (1.0 + 1e-9), "{found:?}");
    }
}

/// What coil, receiver and a cold place hold.
fn refrigerant_at_rest(number: &dyn Fn(usize, f64, f64) -> f64) {
    let share = Ratio::new::<unit::ratio::ratio>;
    let temperature = ThermodynamicTemperature::new::<unit::thermodynamic_temperature::kelvin>;
    let interval = TemperatureInterval::new::<unit::temperature_interval::kelvin>;
    let density = MassDensity::new::<unit::mass_density::kilogram_per_cubic_meter>;
    let mass = |k: usize| Mass::new::<unit::mass::kilogram>(number(k, 0.0, 20.0));
    let volume = |k: usize| Volume::new::<unit::volume::cubic_meter>(number(k, 0.0, 0.02));
    let at = BubbleTemperature::new(temperature(number(0, 200.0, 355.0)));

    let (liquid, vapour) = (density(number(1, 1.0, 1500.0)), density(number(2, 0.0, 500.0)));
    for slip in Slip::ALL {
        if let Ok(mean) = slip.mean_void_fraction(liquid, vapour) {
            assert!((0.0..=1.0).contains(&mean.value.value), "{slip:?} {liquid:?} {vapour:?}");
        }
        if let Ok(here) = slip.void_fraction(share(number(3, -0.1, 1.1)), liquid, vapour) {
            assert!((0.0..=1.0).contains(&here.value.value), "{slip:?} {liquid:?} {vapour:?}");
        }
    }
    if let Ok(zones) = Zones::new(share(number(3, 0.0, 1.0)), share(number(4, 0.0, 1.0))) {
        let coil = Coil {
            volume: volume(5),
            zones,
            condensing: AbsolutePressure::from_pascal(number(6, 1e5, 4e6)),
            superheat: interval(number(7, 0.0, 100.0)),
            subcooling: interval(number(8, 0.0, 60.0)),
        };
        if let Ok((low, high)) = low_and_high(&*FLUID, &coil) {
            let double = coil_charge(&*FLUID, &coil, Slip::Double).unwrap();
            assert!(low.value.mass <= high.value.mass && double.value.mass <= high.value.mass, "{coil:?}");
        }
    }

    let fill = share(number(3, 0.0, 1.0));
    if let Ok(needed) = volume_needed(&*FLUID, mass(1), fill, at, volume(4)) {
        assert!(needed.value.value >= 0.0 && needed.value.is_finite());
    }
    if let Ok(receiver) = Receiver::new(volume(5), volume(4)) {
        let kept = [Kept { volume: volume(6), density: density(number(7, 0.0, 100.0)) }];
        let fills = [
            receiver.fill(&*FLUID, mass(1), at),
            receiver.fill_after_harvest(&*FLUID, mass(1), mass(2), at),
            receiver.fill_after_pump_down(&*FLUID, mass(1), &kept, at),
        ];
        for found in fills.into_iter().flatten() {
            let found = found.value;
            assert!(
                found.liquid_share.value >= 0.0 && found.liquid_share.is_finite(),
                "{receiver:?} {found:?}"
            );
            assert!(found.liquid.value >= 0.0 && found.vapour.value >= 0.0, "{receiver:?} {found:?}");
        }
        if let Ok(room) = receiver.room(&*FLUID, mass(1), fill, at) {
            assert!(room.value.is_finite());
        }
    }
    if let Ok(filled) = filled(&*FLUID, fill, at)
        && let Ok(found) = liquid_full_temperature(&*FLUID, filled.value.with_vapour, at)
    {
        let (LiquidFull::At(full) | LiquidFull::NotUpTo(full)) = found.value;
        assert!(full >= at, "{fill:?} {at:?}");
    }

    let warm = Side { volume: volume(4), charge: mass(5), temperature: temperature(number(6, 200.0, 355.0)) };
    let cold = Side { volume: volume(7), charge: mass(8), temperature: temperature(number(9, 200.0, 355.0)) };
    match migration(&*FLUID, &warm, &cold) {
        Ok(found) => {
            let found = found.value;
            assert!(found.moved.value >= 0.0 && found.moved <= warm.charge, "{warm:?} {cold:?}");
        }
        Err(refused) => assert!(!refused.to_string().is_empty()),
    }
}
