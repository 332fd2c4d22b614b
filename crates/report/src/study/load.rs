//! The load of a set and what describes its compressor, from whichever figures the job states.

use crate::job::{CompressorData, Duty, FaultKind, Located, Set, Span};
use physics::{
    compressor::{Compressor, CompressorError, ConstantEfficiency, TenCoefficients},
    fluid::{OutsideRange, Refrigerant, State},
    ice::ice_load,
    operation::{Evaporator, Load, subcooled},
    units::{
        AbsolutePressure, MassRate, Power, Ratio, TemperatureInterval, ThermodynamicTemperature, Time,
        unit::{ratio::ratio, thermodynamic_temperature::degree_celsius, time::day},
    },
};

/// What the load comes to.
pub(super) struct Loaded {
    pub(super) load: Load,
    pub(super) told: LoadTold,
}

/// How the load was found, for people.
#[derive(Clone, Debug)]
pub(crate) struct LoadTold {
    /// Where capacity and input come from.
    pub(crate) from: String,
    /// The compressor, or why none can be described.
    pub(crate) compressor: Result<Compressor, String>,
    /// What describes it.
    pub(crate) compressor_words: String,
    /// 95 % half-width of the capacity, relative; only of an estimated load.
    pub(crate) band: Option<Ratio>,
    /// Assumptions.
    pub(crate) assumptions: Vec<String>,
}

/// What an estimate from ice takes where the job does not say.
#[derive(Clone, Copy)]
pub(super) struct Presumed {
    pub(super) ice_load_factor: Ratio,
    pub(super) ice_load_band: Ratio,
    pub(super) isentropic_efficiency: Ratio,
}

/// What is wrong with it.
pub(super) struct LoadFault {
    pub(super) kind: FaultKind,
    pub(super) span: Span,
    pub(super) message: String,
    pub(super) help: String,
}

/// The states that a load stands on.
#[derive(Clone, Copy)]
pub(super) struct Stand<'a> {
    pub(super) fluid: &'a dyn Refrigerant,
    pub(super) refrigerant: &'a str,
    pub(super) evaporator: Option<Evaporator>,
    pub(super) condensing: AbsolutePressure,
    pub(super) subcooling: TemperatureInterval,
}

impl Stand<'_> {
    fn suction(&self) -> Result<Option<State>, OutsideRange> {
        self.evaporator.map(|evaporator| evaporator.outlet(self.fluid)).transpose()
    }

    fn liquid(&self) -> Result<State, OutsideRange> {
        subcooled(self.fluid, self.condensing, self.subcooling)
    }

    fn discharge(&self, gas: ThermodynamicTemperature) -> Result<State, OutsideRange> {
        self.fluid.vapour_at(self.condensing, gas)
    }
}

const ALL_INPUT: &str = "all compressor input goes into the gas; heat lost by the shell would make it colder";
const MAINS_ICE_C: f64 = -5.0;

/// Finds the load.
pub(super) fn load(
    set: &Set,
    maps: &[(String, crate::job::CompressorMap)],
    presumed: Presumed,
    stand: &Stand<'_>,
) -> Result<Loaded, LoadFault> {
    match &set.duty {
        Duty::Capacity { capacity, compressor_input, .. } => {
            let load = Load::Capacity { capacity: capacity.value, compressor_input: compressor_input.value };
            let compressor = from_input(stand, capacity.value, compressor_input.value);
            Ok(Loaded {
                load,
                told: LoadTold {
                    from: "capacity and compressor input of the job".to_owned(),
                    compressor_words: constant_words(&compressor),
                    compressor,
                    band: None,
                    assumptions: vec![ALL_INPUT.to_owned()],
                },
            })
        }
        Duty::HeatRejection { heat_rejection, discharge_gas, .. } => {
            let load = Load::HeatRejection {
                heat_rejection: heat_rejection.value,
                discharge_gas: discharge_gas.value,
            };
            let compressor = from_gas(stand, heat_rejection.value, discharge_gas.value);
            Ok(Loaded {
                load,
                told: LoadTold {
                    from: "heat rejection and discharge gas of the job".to_owned(),
                    compressor_words: constant_words(&compressor),
                    compressor,
                    band: None,
                    assumptions: Vec::new(),
                },
            })
        }
        Duty::Compressor { capacity, evaporating, .. } => match (&set.compressor, capacity) {
            (Some(CompressorData::Map(file)), stated) => from_map(file, *stated, maps, stand),
            (Some(CompressorData::IsentropicEfficiency(efficiency)), Some(capacity)) => {
                let from = "capacity of the job, input by the isentropic efficiency".to_owned();
                from_efficiency(stand, capacity.value, efficiency.value, capacity.span, from)
            }
            _ => Err(LoadFault {
                kind: FaultKind::Missing,
                span: evaporating.span,
                message: "the load is not stated".to_owned(),
                help: "state `capacity` beside `isentropic_efficiency`, or a `map`".to_owned(),
            }),
        },
        Duty::Ice { ice_per_day, water, .. } => {
            let ice = ThermodynamicTemperature::new::<degree_celsius>(MAINS_ICE_C);
            let rate = ice_per_day.value / Time::new::<day>(1.0);
            let water_alone = ice_load(rate, water.value, ice).map_err(|error| LoadFault {
                kind: FaultKind::Range,
                span: ice_per_day.span,
                message: error.to_string(),
                help: "check ice_per_day and water".to_owned(),
            })?;
            let capacity = water_alone.value * presumed.ice_load_factor;
            let efficiency = match &set.compressor {
                Some(CompressorData::IsentropicEfficiency(stated)) => stated.value,
                _ => presumed.isentropic_efficiency,
            };
            let from = "estimated from the ice a day".to_owned();
            let mut found = from_efficiency(stand, capacity, efficiency, ice_per_day.span, from)?;
            let percent = |share: Ratio| format!("{:.0} %", 100.0 * share.get::<ratio>());
            found.told.band = Some(presumed.ice_load_band);
            found.told.assumptions.push(format!(
                "the load is an estimate from the ice a day: the heat of the water (ice at {MAINS_ICE_C} °C) and {} of it \
                 for the machine itself, within {}; the mean over a day, which freeze and harvest exceed",
                percent(presumed.ice_load_factor - Ratio::new::<ratio>(1.0)),
                percent(presumed.ice_load_band)
            ));
            if set.compressor.is_none() {
                found.told.assumptions.push(format!(
                    "isentropic efficiency {} (key compressor.isentropic_efficiency)",
                    percent(efficiency)
                ));
            }
            Ok(found)
        }
    }
}

fn constant_words(compressor: &Result<Compressor, String>) -> String {
    match compressor {
        Ok(Compressor::Constant(constant)) => format!(
            "isentropic efficiency {:.0} % and swept volume of this point, kept at others",
            100.0 * constant.isentropic_efficiency().get::<ratio>()
        ),
        Ok(Compressor::Map(_)) => "its map".to_owned(),
        Err(why) => why.clone(),
    }
}

/// From capacity and input at the stated states.
fn from_input(stand: &Stand<'_>, capacity: Power, input: Power) -> Result<Compressor, String> {
    let found = || -> Result<Option<Compressor>, CompressorError> {
        let Some(suction) = stand.suction()? else { return Ok(None) };
        let mass_rate: MassRate = capacity / (suction.enthalpy - stand.liquid()?.enthalpy);
        constant(stand, &suction, mass_rate, input).map(Some)
    };
    told(found())
}

/// From heat rejected and the gas: the cold side says what of it is work.
fn from_gas(
    stand: &Stand<'_>,
    heat_rejection: Power,
    gas: ThermodynamicTemperature,
) -> Result<Compressor, String> {
    let found = || -> Result<Option<Compressor>, CompressorError> {
        let Some(suction) = stand.suction()? else { return Ok(None) };
        let discharge = stand.discharge(gas)?;
        let mass_rate: MassRate = heat_rejection / (discharge.enthalpy - stand.liquid()?.enthalpy);
        constant(stand, &suction, mass_rate, mass_rate * (discharge.enthalpy - suction.enthalpy)).map(Some)
    };
    told(found())
}

fn constant(
    stand: &Stand<'_>,
    suction: &State,
    mass_rate: MassRate,
    input: Power,
) -> Result<Compressor, CompressorError> {
    ConstantEfficiency::from_point(stand.fluid, suction, stand.condensing, mass_rate, input)
        .map(Compressor::Constant)
}

fn told(found: Result<Option<Compressor>, CompressorError>) -> Result<Compressor, String> {
    match found {
        Ok(Some(compressor)) => Ok(compressor),
        Ok(None) => Err("not known: evaporating temperature and superheat are not stated".to_owned()),
        Err(error) => Err(format!("not known: {error}")),
    }
}

fn from_efficiency(
    stand: &Stand<'_>,
    capacity: Power,
    efficiency: Ratio,
    span: Span,
    from: String,
) -> Result<Loaded, LoadFault> {
    let found = || -> Result<Option<(Compressor, Power)>, CompressorError> {
        let Some(suction) = stand.suction()? else { return Ok(None) };
        let mass_rate: MassRate = capacity / (suction.enthalpy - stand.liquid()?.enthalpy);
        let constant = ConstantEfficiency::new(efficiency, mass_rate / suction.density)?;
        let compressor = Compressor::Constant(constant);
        let power = compressor.at(stand.fluid, &suction, stand.condensing)?.value.power;
        Ok(Some((compressor, power)))
    };
    match found() {
        Ok(Some((compressor, power))) => {
            let compressor = Ok(compressor);
            Ok(Loaded {
                load: Load::Capacity { capacity, compressor_input: power },
                told: LoadTold {
                    from,
                    compressor_words: constant_words(&compressor),
                    compressor,
                    band: None,
                    assumptions: vec![ALL_INPUT.to_owned()],
                },
            })
        }
        Ok(None) => Err(no_cold_side(span)),
        Err(error) => Err(not_computed(span, &error)),
    }
}

fn from_map(
    file: &Located<String>,
    stated: Option<Located<Power>>,
    maps: &[(String, crate::job::CompressorMap)],
    stand: &Stand<'_>,
) -> Result<Loaded, LoadFault> {
    let fault = |kind, message: String, help: &str| LoadFault {
        kind,
        span: file.span,
        message,
        help: help.to_owned(),
    };
    let Some((_, map)) = maps.iter().find(|(name, _)| *name == file.value) else {
        return Err(fault(
            FaultKind::Reference,
            format!("the map {} was not read", file.value),
            "put the file beside the job",
        ));
    };
    if map.refrigerant.value != stand.refrigerant {
        let message =
            format!("the map is of {}, the set runs with {}", map.refrigerant.value, stand.refrigerant);
        return Err(fault(
            FaultKind::Contradiction,
            message,
            "take the compressor's map for this refrigerant",
        ));
    }
    let (Some(mass_flow), Some(power)) = (map.mass_flow, map.power) else {
        return Err(fault(
            FaultKind::Missing,
            "the map lacks the row `mass_flow` or the row `power`".to_owned(),
            "both are needed: heat rejected and lines go with the mass flow",
        ));
    };
    let scale = map.temperatures;
    let row =
        |row: crate::job::MapRow| TenCoefficients { coefficients: row.coefficients, scale, to_si: row.to_si };
    let compressor = Compressor::Map(Box::new(physics::compressor::CompressorMap {
        mass_rate: row(mass_flow),
        power: row(power),
        superheat: map.superheat,
        evaporating: map.evaporating.start().get()..=map.evaporating.end().get(),
        condensing: map.condensing.start().get()..=map.condensing.end().get(),
    }));
    let found = || -> Result<Option<_>, CompressorError> {
        let Some(suction) = stand.suction()? else { return Ok(None) };
        let work = compressor.at(stand.fluid, &suction, stand.condensing)?;
        let capacity = work.value.mass_rate * (suction.enthalpy - stand.liquid()?.enthalpy);
        Ok(Some((work, capacity)))
    };
    let (work, capacity) = match found() {
        Ok(Some(found)) => found,
        Ok(None) => return Err(no_cold_side(file.span)),
        Err(error) => return Err(not_computed(file.span, &error)),
    };
    let mut assumptions = vec![ALL_INPUT.to_owned()];
    if work.caveats.has(physics::outcome::Caveat::OutsideCompressorMap) {
        assumptions.push(format!(
            "the stated temperatures lie outside those that the map {} was made for: it is continued there, and may be \
             badly off",
            file.value
        ));
    }
    if let Some(stated) = stated {
        let off = (capacity / stated.value).get::<ratio>();
        if !(0.8..=1.25).contains(&off) {
            return Err(LoadFault {
                kind: FaultKind::Contradiction,
                span: stated.span,
                message: format!("the map makes {off:.2} times the capacity that is stated"),
                help: "check the units of the map, its superheat, and the temperatures of the set".to_owned(),
            });
        }
        assumptions
            .push(format!("the map makes {off:.2} times the capacity that is stated; the map is used"));
    }
    Ok(Loaded {
        load: Load::Capacity { capacity, compressor_input: work.value.power },
        told: LoadTold {
            from: format!("compressor map {}", file.value),
            compressor: Ok(compressor),
            compressor_words: "its map".to_owned(),
            band: None,
            assumptions,
        },
    })
}

fn no_cold_side(span: Span) -> LoadFault {
    LoadFault {
        kind: FaultKind::Missing,
        span,
        message: "this load needs the cold side".to_owned(),
        help: "state evaporating and superheat".to_owned(),
    }
}

fn not_computed(span: Span, error: &CompressorError) -> LoadFault {
    LoadFault {
        kind: FaultKind::Contradiction,
        span,
        message: format!("the load can not be computed: {error}"),
        help: "check evaporating, condensing, superheat and subcooling".to_owned(),
    }
}
