//! Standstill: what the cold roof draws out of the warm head while nothing runs, and what that calls for.

use super::SetBudget;
use crate::{
    job::{CompressorAt, PartKind, ReceiverAt},
    view::StandstillView,
};
use physics::{
    sizing::Service,
    standstill::{Migration, MigrationLimit, Side, migration},
    units::{
        Mass, Volume,
        unit::{mass::kilogram, volume::cubic_meter},
    },
};

pub(super) fn standstill(budget: &SetBudget<'_>) -> StandstillView {
    let found = night(budget);
    let set = budget.set.set;
    let mut calls_for = Vec::new();
    if found.is_some() && set.receiver_at.value == ReceiverAt::Head {
        let stated = budget.has_part(Service::Liquid, PartKind::CheckValve);
        calls_for.push(
            if stated {
                "the check valve that is stated in the liquid line to stand between condenser and receiver, or the receiver \
                 boils off into the cold condenser"
            } else {
                "a check valve between condenser and receiver, or the receiver boils off into the cold condenser: none is \
                 stated in the liquid line"
            }
            .to_owned(),
        );
    }
    if found.is_some() {
        calls_for.push(
            "a start delay of the low-pressure cut-out: after a cold night the liquid feeds late (common practice, no source)"
                .to_owned(),
        );
    }
    if set.compressor_at.value == CompressorAt::Head {
        calls_for.push(
            "a crankcase heater, as on a warm day the head is the coldest place and its compressor draws refrigerant; a \
             check valve in the discharge line near the condenser keeps condensate from running back (common practice, no \
             source)"
                .to_owned(),
        );
    } else {
        calls_for.push(
            "a crankcase heater that is on whenever the compressor stands: it is in the cold (common practice, no source)"
                .to_owned(),
        );
    }
    if set.receiver_at.value == ReceiverAt::Condenser {
        calls_for.push(
            "a heated or insulated receiver: it stands in the cold, and its pressure falls with the air (common practice, \
             no source)"
                .to_owned(),
        );
    }
    StandstillView {
        in_the_cold_kg: found.map(|found| found.moved.value),
        cold_side_full: found.is_some_and(|found| found.limit == MigrationLimit::Volume),
        gauge_pa: found.map(|found| found.pressure.gauge(budget.desk.resolved.air_pressure()).get().value),
        calls_for,
    }
}

/// All of the charge in the warm head at first, lines and receiver there; the coil, and a receiver beside it, in the coldest
/// air. None where something of it is not known, or the air is not colder than the head.
fn night(budget: &SetBudget<'_>) -> Option<Migration> {
    let set = budget.set.set;
    let lowest = budget.desk.resolved.job.site.lowest_air?.value;
    let coils = budget.coils.as_ref().ok()?;
    let receiver = set.receiver.volume.map_or(Volume::default(), |volume| volume.value);
    let lines_m3 = budget.lines.lines.iter().map(|line| line.this_run_kg / line.density_kg_m3).sum();
    let lines = Volume::new::<cubic_meter>(lines_m3);
    let (cold, warm) = match set.receiver_at.value {
        ReceiverAt::Condenser => (coils.volume + receiver, lines),
        ReceiverAt::Head | ReceiverAt::None => (coils.volume, lines + receiver),
    };
    let charge = Mass::new::<kilogram>(budget.charge_kg()?);
    let warm = Side { volume: warm, charge, temperature: budget.set.strength.fitted };
    let cold = Side { volume: cold, charge: Mass::default(), temperature: lowest };
    migration(&budget.set.fluid, &warm, &cold).ok().map(|found| found.value)
}
