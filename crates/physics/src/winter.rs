//! Winter: what holds the head pressure up in cold air, and the refrigerant that it takes to flood a condenser.
//!
//! One temperature basis throughout: the held pressure counts by the mean of its bubble and dew temperature, as the
//! conductance of a condenser does ([`crate::condenser::fit`]). A rating on dew and a setting on bubble temperature,
//! put into the formula as they are, would be off by the whole glide.

use crate::{
    condenser::{AIR_HEAT_CAPACITY_J_KG_K, Condenser, CondenserError, SaturationReference},
    fluid::{OutsideRange, Refrigerant},
    layout::{Sharing, Unit},
    outcome::{Caveat, Caveats, Method, Outcome},
    range::{OutOfRange, within},
    units::{
        AbsolutePressure, BubbleTemperature, Mass, MassDensity, Power, Ratio, TemperatureInterval,
        ThermalConductance, ThermodynamicTemperature, Volume, delta,
    },
};
use thiserror::Error;
use uom::si::{
    mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second, power::watt, ratio::ratio,
    temperature_interval::kelvin as kelvin_interval, thermal_conductance::watt_per_kelvin,
    thermodynamic_temperature::kelvin, volume::cubic_meter,
};

/// Why a question about winter has no answer.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum WinterError {
    /// A quantity outside its range, or no number.
    #[error(transparent)]
    OutOfRange(#[from] OutOfRange),
    /// The property data do not reach the state.
    #[error(transparent)]
    Property(#[from] OutsideRange),
    /// A condenser that can not be.
    #[error(transparent)]
    Condenser(#[from] CondenserError),
    /// A circuit without condenser.
    #[error("no condenser serves circuit {circuit}")]
    NoCondenser {
        /// The circuit, from 0.
        circuit: usize,
    },
}

/// What a condenser has to do at the pressure that its head-pressure control holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WinterDuty {
    /// Pressure held at the condenser.
    pub held: AbsolutePressure,
    /// Heat to reject; 0.001 W to 1000 MW.
    pub heat_rejection: Power,
    /// Air entering the condenser; 200 to 350 K.
    pub air: ThermodynamicTemperature,
}

/// How much of a condenser a duty needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Mid temperature of the held pressure above the entering air; 0 or less where the air is as warm.
    pub difference: TemperatureInterval,
    /// Share of the condenser that rejects the heat at this difference. Above 1 all of it is too small, and the pressure
    /// floats above the held one. None where the held pressure is not warmer than the air: no condenser is large enough.
    pub active_share: Option<Ratio>,
}

impl Need {
    fn at_most_all(&self) -> f64 {
        self.active_share.map_or(1.0, |share| share.get::<ratio>().min(1.0))
    }
}

/// A condenser whose liquid backs up until the rest of it holds the pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flooded {
    /// What the duty needs of it.
    pub need: Need,
    /// Share of it that is full of liquid; 0 where nothing needs to be held.
    pub flooded_share: Ratio,
}

/// A condenser whose fan stops and starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanCycling {
    /// What the duty needs of it.
    pub need: Need,
    /// Share of the time that the fan runs; 1 where nothing needs to be held.
    pub on_time: Ratio,
}

/// A condenser whose fan turns more slowly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FanSpeed {
    /// What the duty needs of it, fan at full speed.
    pub need: Need,
    /// Speed over full speed; 1 where nothing needs to be held.
    pub speed: Ratio,
    /// Input to the fan at this speed, by the fan laws; real motors take more.
    pub fan_power: Power,
}

/// Share of a condenser that liquid fills so that the pressure stays up: `f = max(0, 1 - Q / (F (T_held - T_air)))`.
///
/// With `F = Q_design / TD_design` it is the rule of the trade `1 - load x TD_design / (T_held - T_air)`. Heat goes with the
/// area that is free of liquid, the air through all of it being the same. `conductance` is `F` in the air of the day with
/// the fan as it turns ([`Condenser::in_air`]: cold air is dense and rejects more; a slower fan rejects less and floods less).
///
/// Left out: the subcooling that the flooded part adds, recirculation, heat that the flooded part still gives to the air.
///
/// # Errors
/// [`WinterError::OutOfRange`], also for a conductance outside 0.001 W/K to 10 MW/K; [`WinterError::Property`].
pub fn flooding(
    fluid: &dyn Refrigerant,
    duty: &WinterDuty,
    conductance: ThermalConductance,
) -> Result<Outcome<Flooded>, WinterError> {
    let need = need(fluid, duty, conductance)?;
    let flooded_share = Ratio::new::<ratio>(1.0 - need.at_most_all());
    Ok(plain(Flooded { need, flooded_share }, Method::FloodedCondenser))
}

/// Share of the time that a fan runs to hold the pressure: `Q / (F (T_held - T_air))`, at most 1.
///
/// A mean over many cycles; the pressure swings about the held one. [`Caveat::StillAir`] where the fan stands at times: still
/// air and wind carry heat off meanwhile, so that it runs even less.
///
/// # Errors
/// As [`flooding`].
pub fn fan_cycling(
    fluid: &dyn Refrigerant,
    duty: &WinterDuty,
    conductance: ThermalConductance,
) -> Result<Outcome<FanCycling>, WinterError> {
    let need = need(fluid, duty, conductance)?;
    let on_time = need.at_most_all();
    let mut found = plain(FanCycling { need, on_time: Ratio::new::<ratio>(on_time) }, Method::FanHold);
    if on_time < 1.0 {
        found.caveats.add(Caveat::StillAir);
    }
    Ok(found)
}

/// Speed of a fan that holds the pressure in air of a density, by [`Condenser::speed_for`].
///
/// Below a quarter of the rated mass of air the law has no ground ([`Caveat::OutsidePartFlowRange`]), and still air and wind,
/// which are left out, count ([`Caveat::StillAir`]): many drives stop the fan there.
///
/// # Errors
/// As [`flooding`]; [`WinterError::Condenser`] for a density that is not positive.
pub fn fan_speed(
    fluid: &dyn Refrigerant,
    duty: &WinterDuty,
    condenser: &Condenser,
    air_density: MassDensity,
) -> Result<Outcome<FanSpeed>, WinterError> {
    let full = Ratio::new::<ratio>(1.0);
    let need = need(fluid, duty, condenser.in_air(air_density, full)?.value.conductance)?;
    // A share above 0 and up to 1 always has a speed.
    let speed = condenser.speed_for(air_density, Ratio::new::<ratio>(need.at_most_all())).unwrap_or(full);
    let slowed = condenser.in_air(air_density, speed)?;
    let fan_power = slowed.value.fan_power;
    let mut found = plain(FanSpeed { need, speed, fan_power }, Method::FanHold);
    found.caveats.merge(slowed.caveats);
    if speed < full && slowed.caveats.has(Caveat::OutsidePartFlowRange) {
        found.caveats.add(Caveat::StillAir);
    }
    Ok(found)
}

fn need(
    fluid: &dyn Refrigerant,
    duty: &WinterDuty,
    conductance: ThermalConductance,
) -> Result<Need, WinterError> {
    let heat_w = within("heat to reject (W)", duty.heat_rejection.get::<watt>(), 1e-3, 1e9)?;
    let conductance_w_k = conductance_w_k(conductance)?;
    within("temperature of the entering air (K)", duty.air.get::<kelvin>(), 200.0, 350.0)?;
    let difference = delta(SaturationReference::Mid.temperature(fluid, duty.held)?, duty.air);
    let difference_k = difference.get::<kelvin_interval>();
    let active_share =
        (difference_k > 0.0).then(|| Ratio::new::<ratio>(heat_w / (conductance_w_k * difference_k)));
    Ok(Need { difference, active_share })
}

fn conductance_w_k(conductance: ThermalConductance) -> Result<f64, OutOfRange> {
    within("conductance of the condenser (W/K)", conductance.get::<watt_per_kelvin>(), 1e-3, 1e7)
}

fn plain<T>(value: T, method: Method) -> Outcome<T> {
    Outcome { value, method, caveats: Caveats::default() }
}

/// Heat of one circuit for each kelvin between its mid temperature and the entering air, all its condensers together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CircuitConductance {
    /// The other circuits of its housings run equally warm.
    pub all_running: ThermalConductance,
    /// The others stand; no heat goes through the fins to their tubes. The same as with all running where the housing is
    /// split.
    pub alone_least: ThermalConductance,
    /// The others stand, and the fins of their tubes serve this circuit in full. To size a charge for flooding by: more
    /// conductance floods more.
    pub alone_greatest: ThermalConductance,
}

/// What one circuit finds in its condensers while the others run, and while they stand and all air still flows.
///
/// `Split`: each circuit has its own part of face and air, the others do not count. `Interlaced`: all air passes all
/// tubes. While the others run they preheat its air; while they stand they do not, and their fins help:
/// - least: as [`Layout`](crate::layout::Layout) has it, `d theta/dx = sum n_k (theta_k - theta)` with idle circuits that
///   neither take nor give heat and are evenly warm (refrigerant inside evens it out). With `E` effectiveness, `N` transfer
///   units of all together and `w` the circuit's part of them, `F = w E m cp / (1 - (1 - w) (1 - E/N))`.
/// - greatest: fins that conduct so well, and tubes with so little resistance inside, that all surface is as warm as
///   the running circuit: `F = E m cp`, that of all together.
///
/// The truth is between: heat has to go from one row of tubes to the next through the fins. Own derivation; no measurement
/// was found.
///
/// # Errors
/// [`WinterError::NoCondenser`], [`WinterError::OutOfRange`] for conductances outside 0.001 W/K to 10 MW/K, and
/// [`CondenserError::TooLittleAir`].
pub fn circuit_conductance(
    units: &[Unit],
    circuit: usize,
) -> Result<Outcome<CircuitConductance>, WinterError> {
    let (mut running_w_k, mut least_w_k, mut greatest_w_k) = (0.0, 0.0, 0.0);
    for unit in units {
        let (mut own_w_k, mut all_w_k) = (0.0, 0.0);
        for branch in &unit.branches {
            let branch_w_k = conductance_w_k(branch.conductance)?;
            all_w_k += branch_w_k;
            own_w_k += if branch.circuit == circuit { branch_w_k } else { 0.0 };
        }
        if own_w_k == 0.0 {
            continue;
        }
        let air_w_k = unit.air_rate.get::<kilogram_per_second>() * AIR_HEAT_CAPACITY_J_KG_K;
        let effectiveness = all_w_k / air_w_k;
        if !(effectiveness > 0.0 && effectiveness < 1.0) {
            return Err(CondenserError::TooLittleAir { heat_w_k: all_w_k, air_w_k }.into());
        }
        let (least, greatest) = match unit.sharing {
            Sharing::Split => (own_w_k, own_w_k),
            Sharing::Interlaced => {
                let transfer_units = -(-effectiveness).ln_1p();
                let idle = 1.0 - own_w_k / all_w_k;
                (own_w_k / (1.0 - idle * (1.0 - effectiveness / transfer_units)), all_w_k)
            }
        };
        running_w_k += own_w_k;
        least_w_k += least;
        greatest_w_k += greatest;
    }
    if running_w_k == 0.0 {
        return Err(WinterError::NoCondenser { circuit });
    }
    let found = CircuitConductance {
        all_running: ThermalConductance::new::<watt_per_kelvin>(running_w_k),
        alone_least: ThermalConductance::new::<watt_per_kelvin>(least_w_k),
        alone_greatest: ThermalConductance::new::<watt_per_kelvin>(greatest_w_k),
    };
    Ok(plain(found, Method::CircuitConductance))
}

/// Refrigerant that the flooded share of a condenser holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WinterCharge {
    /// Density of the liquid in it.
    pub liquid_density: MassDensity,
    /// All of it, `f V rho_liquid`: what a receiver has to take up in summer.
    pub gross: Mass,
    /// Less what that part holds anyway, `f V (rho_liquid - rho_operating)`: what to add for winter.
    pub net: Mass,
}

/// Refrigerant that floods a share of a condenser of an internal volume.
///
/// `liquid` is the temperature of the liquid in it: that of the lowest air for the greatest charge, since liquid that stands
/// in the tubes subcools towards the air (with R-404A, liquid at 32 °C instead of -18 °C would be 17 % too little). The
/// density is that of saturated liquid of this temperature; the held pressure makes it up to 1 %
/// denser (carbon dioxide: 1.2 %).
/// `operating_density` is the mean of the coil as it runs unflooded ([`crate::coil_charge`]).
///
/// Share 0 to 1, volume 0 to 1000 m³, operating density from 0 to that of the liquid.
///
/// # Errors
/// [`WinterError::OutOfRange`], [`WinterError::Property`] where the air is colder than the property data.
pub fn winter_charge(
    fluid: &dyn Refrigerant,
    flooded_share: Ratio,
    coil_volume: Volume,
    liquid: BubbleTemperature,
    operating_density: MassDensity,
) -> Result<Outcome<WinterCharge>, WinterError> {
    let share = within("flooded share", flooded_share.get::<ratio>(), 0.0, 1.0)?;
    within("volume of the coil (m³)", coil_volume.get::<cubic_meter>(), 0.0, 1e3)?;
    let liquid_density = fluid.at_bubble(liquid)?.density;
    let operating_kg_m3 = operating_density.get::<kilogram_per_cubic_meter>();
    let greatest_kg_m3 = liquid_density.get::<kilogram_per_cubic_meter>();
    within("density of the coil unflooded (kg/m³)", operating_kg_m3, 0.0, greatest_kg_m3)?;
    let found = WinterCharge {
        liquid_density,
        gross: liquid_density * coil_volume * share,
        net: (liquid_density - operating_density) * coil_volume * share,
    };
    Ok(plain(found, Method::WinterCharge))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        condenser::air_density,
        fluid::test_fluid::TestFluid,
        layout::{Branch, Layout},
        units::{MassRate, VolumeRate},
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::{
        mass::kilogram, thermodynamic_temperature::degree_celsius, volume::liter,
        volume_rate::cubic_meter_per_second,
    };

    fn celsius(degrees: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<degree_celsius>(degrees)
    }

    fn w_k(conductance: f64) -> ThermalConductance {
        ThermalConductance::new::<watt_per_kelvin>(conductance)
    }

    /// Held at a mid temperature of 32 °C.
    fn duty(heat_w: f64, air_c: f64) -> WinterDuty {
        WinterDuty {
            held: SaturationReference::Mid.pressure(&TestFluid, celsius(32.0)).unwrap(),
            heat_rejection: Power::new::<watt>(heat_w),
            air: celsius(air_c),
        }
    }

    fn condenser() -> Condenser {
        Condenser::new(
            w_k(603.6),
            VolumeRate::new::<cubic_meter_per_second>(1.0 / 1.2),
            MassDensity::new::<kilogram_per_cubic_meter>(1.2),
            Power::new::<watt>(300.0),
        )
        .unwrap()
    }

    fn flooded(heat_w: f64, air_c: f64, conductance: f64) -> Flooded {
        flooding(&TestFluid, &duty(heat_w, air_c), w_k(conductance)).unwrap().value
    }

    #[test]
    fn what_is_not_needed_is_flooded() {
        // 500 W/K at 40 K could reject 20 kW.
        let found = flooded(5000.0, -8.0, 500.0);
        assert_relative_eq!(found.need.difference.value, 40.0, max_relative = 1e-9);
        assert_relative_eq!(found.need.active_share.unwrap().value, 0.25, max_relative = 1e-9);
        assert_relative_eq!(found.flooded_share.value, 0.75, max_relative = 1e-9);
        // Half the conductance by a slower fan needs twice the area.
        assert_relative_eq!(flooded(5000.0, -8.0, 250.0).flooded_share.value, 0.5, max_relative = 1e-9);
    }

    #[test]
    fn nothing_is_flooded_where_the_condenser_is_small_or_the_air_warm() {
        let small = flooded(10_000.0, 22.0, 500.0);
        assert_relative_eq!(small.need.active_share.unwrap().value, 2.0, max_relative = 1e-9);
        assert_eq!(small.flooded_share.value, 0.0);
        let warm = flooded(10_000.0, 40.0, 500.0);
        assert_eq!((warm.need.active_share, warm.flooded_share.value), (None, 0.0));
        assert!(warm.need.difference.value < 0.0);
        let running = fan_cycling(&TestFluid, &duty(10_000.0, 40.0), w_k(500.0)).unwrap();
        assert_eq!((running.value.on_time.value, running.caveats), (1.0, Caveats::default()));
    }

    #[test]
    fn fans_do_what_flooding_would() {
        let (duty, condenser) = (duty(6000.0, -8.0), condenser());
        let density = MassDensity::new::<kilogram_per_cubic_meter>(1.35);
        let full = condenser.in_air(density, Ratio::new::<ratio>(1.0)).unwrap().value;
        let cycled = fan_cycling(&TestFluid, &duty, full.conductance).unwrap();
        let flooded = flooding(&TestFluid, &duty, full.conductance).unwrap().value;
        assert_relative_eq!(
            cycled.value.on_time.value,
            1.0 - flooded.flooded_share.value,
            max_relative = 1e-12
        );
        assert!(cycled.caveats.has(Caveat::StillAir));
        let slowed = fan_speed(&TestFluid, &duty, &condenser, density).unwrap();
        let there = condenser.in_air(density, slowed.value.speed).unwrap().value;
        // At that speed nothing is left to flood, and the fan takes the third power of it.
        let left = flooding(&TestFluid, &duty, there.conductance).unwrap().value;
        assert!(left.flooded_share.value.abs() < 1e-9);
        let cube = slowed.value.speed.value.powi(3);
        assert_relative_eq!(slowed.value.fan_power.value, cube * full.fan_power.value, max_relative = 1e-9);
        // 6 kW of 25 kW: less than a quarter of the air.
        assert!(slowed.caveats.has(Caveat::StillAir) && slowed.caveats.has(Caveat::OutsidePartFlowRange));
        let busy = fan_speed(
            &TestFluid,
            &WinterDuty { heat_rejection: Power::new::<watt>(3e4), ..duty },
            &condenser,
            density,
        );
        assert_eq!(busy.unwrap().value.speed.value, 1.0);
    }

    #[test]
    fn liquid_fills_its_share_of_the_coil() {
        let litres = Volume::new::<liter>;
        let charge = |share, volume, operating| {
            winter_charge(
                &TestFluid,
                Ratio::new::<ratio>(share),
                volume,
                BubbleTemperature::new(celsius(-10.0)),
                MassDensity::new::<kilogram_per_cubic_meter>(operating),
            )
        };
        let found = charge(0.8, litres(5.0), 300.0).unwrap().value;
        assert_relative_eq!(found.gross.get::<kilogram>(), 4.0, max_relative = 1e-12);
        assert_relative_eq!(found.net.get::<kilogram>(), 2.8, max_relative = 1e-12);
        assert_eq!(charge(0.8, litres(0.0), 300.0).unwrap().value.gross.value, 0.0);
        assert_eq!(charge(0.0, litres(5.0), 300.0).unwrap().value.net.value, 0.0);
        for refused in
            [charge(1.1, litres(5.0), 0.0), charge(0.5, litres(-1.0), 0.0), charge(0.5, litres(5.0), 1001.0)]
        {
            assert!(matches!(refused, Err(WinterError::OutOfRange(_))));
        }
    }

    fn shared(sharing: Sharing, conductances: &[f64]) -> Unit {
        let branches = conductances
            .iter()
            .enumerate()
            .map(|(circuit, conductance)| Branch { circuit, conductance: w_k(*conductance) })
            .collect();
        Unit { air_rate: MassRate::new::<kilogram_per_second>(1.0), branches, sharing }
    }

    #[test]
    fn a_circuit_alone_finds_more_in_an_interlaced_housing() {
        let found = |sharing| circuit_conductance(&[shared(sharing, &[301.8, 301.8])], 1).unwrap().value;
        let split = found(Sharing::Split);
        assert_eq!([split.all_running, split.alone_least, split.alone_greatest], [w_k(301.8); 3]);
        let interlaced = found(Sharing::Interlaced);
        assert_eq!(interlaced.all_running, w_k(301.8));
        assert_relative_eq!(interlaced.alone_greatest.value, 603.6, max_relative = 1e-12);
        // E = 0.6, N = 0.916 29: 301.8 / (1 - 0.5 (1 - 0.654 815)).
        assert_relative_eq!(interlaced.alone_least.value, 301.8 / 0.827_407_4, max_relative = 1e-6);
        // Two housings, of which it has one alone.
        let units = [shared(Sharing::Interlaced, &[301.8, 301.8]), shared(Sharing::Interlaced, &[100.0])];
        let both = circuit_conductance(&units, 0).unwrap().value;
        assert_relative_eq!(
            both.alone_least.value,
            interlaced.alone_least.value + 100.0,
            max_relative = 1e-12
        );
    }

    #[test]
    fn what_can_not_be_is_refused() {
        let unit = shared(Sharing::Interlaced, &[301.8, 301.8]);
        assert_eq!(
            circuit_conductance(std::slice::from_ref(&unit), 2),
            Err(WinterError::NoCondenser { circuit: 2 })
        );
        for rate in [0.0, 0.5, -1.0, f64::NAN] {
            let still = Unit { air_rate: MassRate::new::<kilogram_per_second>(rate), ..unit.clone() };
            assert!(matches!(circuit_conductance(&[still], 0), Err(WinterError::Condenser(_))));
        }
        assert!(circuit_conductance(&[shared(Sharing::Split, &[f64::NAN, 1.0])], 1).is_err());
        for refused in [
            flooding(&TestFluid, &duty(0.0, 0.0), w_k(1.0)),
            flooding(&TestFluid, &duty(1.0, 100.0), w_k(1.0)),
            flooding(&TestFluid, &duty(1.0, 0.0), w_k(f64::INFINITY)),
        ] {
            assert!(matches!(refused, Err(WinterError::OutOfRange(_))));
        }
        let hot = WinterDuty { held: AbsolutePressure::from_pascal(1e9), ..duty(1.0, 0.0) };
        assert!(matches!(flooding(&TestFluid, &hot, w_k(1.0)), Err(WinterError::Property(_))));
        let no_air = MassDensity::new::<kilogram_per_cubic_meter>(0.0);
        let refused = fan_speed(&TestFluid, &duty(1.0, 0.0), &condenser(), no_air);
        assert!(matches!(refused, Err(WinterError::Condenser(_))));
    }

    proptest! {
        #[test]
        fn colder_air_never_floods_less(heat in 100.0_f64..50e3, air in -50.0_f64..50.0, colder in 0.0_f64..20.0) {
            let flooded = |air_c: f64| {
                // Colder air is denser, too: both ways it rejects more.
                let density = air_density(AbsolutePressure::from_pascal(101_325.0), celsius(air_c)).unwrap();
                let conductance = condenser().in_air(density, Ratio::new::<ratio>(1.0)).unwrap().value.conductance;
                flooding(&TestFluid, &duty(heat, air_c), conductance).unwrap().value.flooded_share
            };
            let (cold, warm) = (flooded(air - colder), flooded(air));
            prop_assert!(cold >= warm);
            prop_assert!((0.0..=1.0).contains(&cold.value));
        }

        /// The bounds come in their order, and the lower one is what a layout says of a circuit whose neighbours reject
        /// nothing.
        #[test]
        fn the_lower_bound_is_that_of_the_layout(own in 1.0_f64..300.0, other in 1.0_f64..300.0, third in 1.0_f64..300.0) {
            let unit = shared(Sharing::Interlaced, &[own, other, third]);
            let found = circuit_conductance(std::slice::from_ref(&unit), 0).unwrap().value;
            let layout = Layout::new(vec![unit], &[vec![Ratio::new::<ratio>(0.0)]], 3).unwrap();
            let heats = [1000.0, 0.0, 0.0].map(Power::new::<watt>);
            let warmth = layout.temperatures(&heats).unwrap()[0];
            prop_assert!((found.alone_least.value * warmth.value / 1000.0 - 1.0).abs() < 1e-9);
            prop_assert!(found.all_running <= found.alone_least && found.alone_least <= found.alone_greatest);
        }
    }
}
