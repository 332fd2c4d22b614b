//! Gas pulses in a discharge line.

use super::points;
use crate::{
    study::resolve::{ResolvedLine, ResolvedSet},
    view::PulsationView,
};
use physics::{
    check::Condition,
    sizing::Service,
    strength::{
        pulsation::{MULTIPLES, pulse_frequency, quarter_wave, resonance},
        sound_speed,
    },
    units::unit::{frequency::hertz, length::meter, ratio::ratio},
};
use tables::Library;

/// Pulses of a compressor whose speed and cylinders are stated, and the lengths that they make resonate.
pub(super) fn pulsation(
    set: &ResolvedSet<'_>,
    line: &ResolvedLine<'_>,
    library: &Library,
) -> Option<PulsationView> {
    if line.service != Service::Discharge {
        return None;
    }
    let (speed, cylinders) = (set.set.compressor_speed?.value, set.set.cylinders?.value);
    let summer = points(set).find(|point| point.condition == Condition::Summer)?;
    let sound = sound_speed(&set.fluid, &summer.discharge).ok()?.value;
    let frequency = pulse_frequency(speed, cylinders).ok()?;
    let quarter = quarter_wave(sound, frequency).ok()?;
    let band = library.strength().copper().pulsation_band.value;
    let anchor = line.text.first_anchor.map(|anchor| anchor.value);
    let found = anchor.and_then(|anchor| resonance(anchor, quarter, band).ok().flatten());
    Some(PulsationView {
        frequency_hz: frequency.get::<hertz>(),
        sound_speed_m_s: sound.value,
        quarter_wave_m: quarter.get::<meter>(),
        resonant_m: MULTIPLES.iter().map(|multiple| f64::from(*multiple) * quarter.get::<meter>()).collect(),
        band: band.get::<ratio>(),
        first_anchor_m: anchor.map(|anchor| anchor.get::<meter>()),
        resonates_at_m: found.map(|found| found.at.get::<meter>()),
    })
}
