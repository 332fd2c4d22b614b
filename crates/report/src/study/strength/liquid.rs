//! Liquid: shut in between parts that close, and stopped by a fast valve.

use super::{CLOSES, LineStrength, points};
use crate::{
    job::{HeadPressureAt, HeadPressureMethod, PartKind},
    study::{
        resolve::{ResolvedLine, ResolvedSet},
        wording,
    },
    view::{SurgeView, TrappedRiseView, TrappedSectionView, TrappedView},
};
use physics::{
    check::{CheckKind, Condition},
    sizing::{Judged, Service},
    strength::{
        Stop,
        bounds::{Bound, What},
        sound_speed, surge,
        trapped::{LockedPath, Section, pressure_rise_per_kelvin},
        wave_speed,
    },
    units::{
        AbsolutePressure, GaugePressure, Pressure, Time, Velocity,
        unit::{
            temperature_interval::kelvin, thermodynamic_temperature::degree_celsius, time::second,
            velocity::meter_per_second,
        },
    },
};
use tables::{Library, tubes::TubeProduct};

/// Surge of the fastest valve of a line.
pub(super) struct SurgeFound {
    valve: &'static str,
    closing: Option<Time>,
    velocity: Velocity,
    wave: Velocity,
    return_time: Time,
    rise: Pressure,
    operating: GaugePressure,
    /// Absolute pressure before the surge.
    before: AbsolutePressure,
}

/// Half-width of the speed of sound that the slopes of the property data give, as share of it (see `sound_speed`).
const SOUND_BAND: f64 = 0.007;

impl SurgeFound {
    /// The pressure with the surge on it. The band of density and pressure counts for the pressure before.
    pub(super) fn bound(&self, density_band: f64) -> Bound {
        Bound {
            what: What::Surge,
            pressure: GaugePressure::new(self.operating.get() + self.rise),
            half_width: self.before.get() * density_band + self.rise * SOUND_BAND,
        }
    }

    /// Whether the valve is taken to close at once.
    pub(super) fn is_at_once(&self) -> bool {
        self.closing.is_none()
    }

    pub(super) fn view(&self) -> SurgeView {
        SurgeView {
            valve: self.valve.to_owned(),
            closing_time_s: self.closing.map(|time| time.get::<second>()),
            return_time_s: self.return_time.get::<second>(),
            fast: self.closing.is_none_or(|time| time <= self.return_time),
            velocity_m_s: self.velocity.value,
            wave_speed_m_s: self.wave.value,
            rise_pa: self.rise.value,
            operating_gauge_pa: self.operating.get().value,
        }
    }
}

/// The surge of a solenoid valve, or of a valve whose closing time is stated, at the greatest velocity. None without
/// such a valve, and in a tube in which no flow could be computed: that one is refused already.
///
/// # Errors
/// What is missing for it, in words.
pub(super) fn surge_of(
    set: &ResolvedSet<'_>,
    line: &ResolvedLine<'_>,
    product: &TubeProduct,
    judged: &Judged,
    library: &Library,
) -> Result<Option<SurgeFound>, String> {
    if line.service != Service::Liquid {
        return Ok(None);
    }
    let at_once = Time::new::<second>(0.0);
    let fast = |part: &&crate::job::Part| part.kind == PartKind::SolenoidValve || part.closes_in.is_some();
    let valves = line.text.parts.iter().map(|part| &part.value).filter(fast);
    let Some(valve) = valves.min_by(|a, b| {
        let time = |part: &crate::job::Part| part.closes_in.unwrap_or(at_once).value;
        time(a).total_cmp(&time(b))
    }) else {
        return Ok(None);
    };
    let reading = [Condition::Peak, Condition::Summer].iter().find_map(|at| judged.at(*at));
    let flow = reading.and_then(|reading| {
        let velocity = Velocity::new::<meter_per_second>(reading.value_si(CheckKind::Velocity)?);
        let point = points(set).find(|point| point.condition == reading.condition)?;
        Some((reading.march.as_ref().ok()?.value, velocity, point.liquid))
    });
    let Some((outlet, velocity, liquid)) = flow else { return Ok(None) };
    let name = valve.kind.name();
    let missing = |error: &dyn std::fmt::Display| format!("the surge of the {name} ({error})");
    let atmosphere = set.strength.atmosphere.ok_or(missing(&"no atmosphere"))?;
    // Liquid that falls gains pressure: the higher end counts.
    let ends = [outlet.inlet.pressure, outlet.outlet.pressure].map(AbsolutePressure::pascal);
    let before = AbsolutePressure::from_pascal(ends[0].max(ends[1]));
    let sound =
        sound_speed(&set.fluid, &liquid).map_err(|refusal| missing(&wording::outside(refusal)))?.value;
    let material = library.strength().copper().material();
    let wave =
        wave_speed(liquid.density, sound, &product.tube, &material).map_err(|error| missing(&error))?;
    let stop = Stop {
        density: liquid.density,
        wave_speed: wave,
        velocity,
        length: set.set.route.run(),
        closing_time: valve.closes_in.unwrap_or(at_once),
    };
    let found = surge(&stop).map_err(|error| missing(&error))?.value;
    Ok(Some(SurgeFound {
        valve: name,
        closing: valve.closes_in,
        velocity,
        wave,
        return_time: found.return_time,
        rise: found.pressure_rise,
        operating: before.gauge(atmosphere),
        before,
    }))
}

/// A part along the line that matters to shut-in liquid.
enum Along {
    Closes(PartKind),
    Relieves,
}

/// The sections that two closing parts shut, and how their pressure rises with warmth.
pub(super) fn trapped(
    strength: &LineStrength,
    set: &ResolvedSet<'_>,
    line: &ResolvedLine<'_>,
    product: &TubeProduct,
    library: &Library,
) -> TrappedView {
    let along = along(set, line);
    let kinds: Vec<PartKind> = along
        .iter()
        .filter_map(|part| match part {
            Along::Closes(kind) => Some(*kind),
            Along::Relieves => None,
        })
        .collect();
    // Of several of a kind each has its number.
    let name = |index: usize| {
        let kind = kinds[index];
        let of_kind = |kinds: &[PartKind]| kinds.iter().filter(|other| **other == kind).count();
        match of_kind(&kinds) {
            1 => kind.name().to_owned(),
            _ => format!("{} {}", kind.name(), of_kind(&kinds[..=index])),
        }
    };
    let names: Vec<String> = (0..kinds.len()).map(name).collect();
    let mut sections = Vec::new();
    let (mut before, mut relieved) = (0_usize, false);
    for part in &along {
        match part {
            Along::Relieves => relieved = true,
            Along::Closes(_) => {
                if let Some(from) = before.checked_sub(1) {
                    let (from, to) = (names[from].clone(), names[before].clone());
                    sections.push(TrappedSectionView { from, to, relieved });
                }
                before += 1;
                relieved = false;
            }
        }
    }
    let rise = if sections.is_empty() { None } else { rise(strength, set, product, library) };
    TrappedView { closing_parts: names, sections, rise }
}

/// Closing parts and relief valves in the order written, with a head-pressure valve at its end of the line.
fn along(set: &ResolvedSet<'_>, line: &ResolvedLine<'_>) -> Vec<Along> {
    let mut along: Vec<Along> = Vec::new();
    for part in line.text.parts.iter().map(|part| &part.value) {
        for _ in 0..part.count {
            match part.kind {
                PartKind::ReliefValve => along.push(Along::Relieves),
                kind if CLOSES.contains(&kind) => along.push(Along::Closes(kind)),
                _ => {}
            }
        }
    }
    let valve = &set.set.head_pressure;
    let listed = along.iter().any(|part| matches!(part, Along::Closes(PartKind::HeadPressureValve)));
    if valve.method.value == HeadPressureMethod::FloodingValve && !listed {
        let closes = Along::Closes(PartKind::HeadPressureValve);
        // The liquid line runs from the condenser to the head.
        match valve.at.map(|at| at.value) {
            Some(HeadPressureAt::Condenser) => along.insert(0, closes),
            Some(HeadPressureAt::Head) => along.push(closes),
            None => {}
        }
    }
    along
}

fn rise(
    strength: &LineStrength,
    set: &ResolvedSet<'_>,
    product: &TubeProduct,
    library: &Library,
) -> Option<TrappedRiseView> {
    let atmosphere = set.strength.atmosphere?;
    // The coldest liquid is the stiffest, and has the longest way to warm up.
    let start = points(set)
        .map(|point| point.liquid)
        .min_by(|a, b| a.temperature.value.total_cmp(&b.temperature.value))?;
    let section = Section { tube: product.tube, material: library.strength().copper().material() };
    let per_kelvin = pressure_rise_per_kelvin(&set.fluid, &start, Some(&section)).ok()?;
    let limit = strength.lowest_rating();
    let reached = limit.as_ref().and_then(|(_, limit)| {
        let path = LockedPath::new(&set.fluid, start, Some(section)).ok()?;
        Some(path.warming_to(limit.absolute(atmosphere)).ok()?.value)
    });
    Some(TrappedRiseView {
        start_c: start.temperature.get::<degree_celsius>(),
        start_gauge_pa: start.pressure.gauge(atmosphere).get().value,
        rise_pa_per_k: per_kelvin.value,
        limit_gauge_pa: limit.as_ref().map(|(_, limit)| limit.get().value),
        limit_of: limit.map(|(name, _)| name),
        warming_k: reached.map(|reached| reached.warming.get::<kelvin>()),
        beyond_data: reached.is_some_and(|reached| reached.beyond_data),
    })
}
