//! What the charge budget stands on: the receiver, oil for what is added, and the room that a leak can fill.

use super::diagnose::{Fault, FaultKind, Located};
use super::model::*;
use super::outline::read_room;
use super::quantity::{self, Range, kinds};
use super::table::{Key, Reader, Table, key};
use physics::units::Ratio;

pub(super) const ROOM_KEYS: &[&str] = &["name", "volume", "outline", "institutional"];

const RECEIVERS: Range =
    Range { least: 1e-4, most: 1.0, says: "between 0.1 L and 1,000 L (6.1 in3 and 35 ft3)" };
const SEALS: Range = Range { least: 0.0, most: 0.5, says: "between 0 % and 50 %" };
const HARVESTS: Range = Range { least: 1e-3, most: 100.0, says: "between 1 g and 100 kg (220 lb)" };
const OIL_SHARES: Range =
    Range { least: 1e-3, most: 0.5, says: "between 1 and 500 g/kg (0.016 and 8 oz/lb)" };
const ROOMS: Range =
    Range { least: 1.0, most: 1e5, says: "between 1 m3 and 100,000 m3 (35 ft3 and 3.5 million ft3)" };

const VOLUME: Key = key("receiver_volume", "\"0.2 ft3\"");
const SEAL: Key = key("receiver_seal", "\"15 %\"");
const HARVEST: Key = key("harvest_charge", "\"8 oz\"");

/// Whether a set that says that it has no receiver leaves what another set, which it copies, says of its own behind.
pub(super) fn gives_way(own: &Table<'_>, key: &str) -> bool {
    [VOLUME.name, SEAL.name, HARVEST.name].contains(&key)
        && own.entry("receiver_at").is_some_and(super::table::Entry::says_none)
}

/// What the receiver is. Where there is none, nothing can be said of it.
pub(super) fn receiver(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    at: Option<Located<ReceiverAt>>,
) -> Receiver {
    let receiver = Receiver {
        volume: reader.quantity(table, &VOLUME, &RECEIVERS),
        seal: reader.quantity(table, &SEAL, &SEALS),
        harvest_charge: reader.quantity(table, &HARVEST, &HARVESTS),
    };
    let stated = [VOLUME, SEAL, HARVEST].into_iter().filter_map(|key| table.entry(key.name));
    let none = at.filter(|at| at.value == ReceiverAt::None);
    for entry in stated {
        if let Some(none) = none {
            let message = format!("`{}` speaks of a receiver, and there is none", entry.key);
            let help = format!("leave `{}` out, or say where the receiver is (`receiver_at`)", entry.key);
            reader.fault(
                Fault::new(FaultKind::Contradiction, entry.key_span, message, help)
                    .also(none.span, "no receiver"),
            );
        } else if !table.has(VOLUME.name) {
            reader.missing_because(table, &VOLUME, &format!("; `{}` says nothing without it", entry.key));
            break;
        }
    }
    receiver
}

/// The maker's rule for oil.
pub(super) fn oil_per_charge(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Located<Ratio>> {
    reader.parsed(table, &key("oil_per_charge", "\"1 oz/lb\""), &kinds::MASS_PER_MASS, |text| {
        quantity::read_mass_share(text, &OIL_SHARES)
    })
}

/// The smallest occupied room that the refrigerant can leak into: its volume outright, or by its measures.
pub(super) fn room(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Room> {
    const ROOM_VOLUME: Key = key("volume", "\"1400 ft3\"");
    const OUTLINE: Key = key("outline", "\"12 x 14 x 9 ft\"");
    reader.only(table, ROOM_KEYS);
    let name = reader.text(table, &key("name", "\"back room\""));
    let volume = reader.quantity(table, &ROOM_VOLUME, &ROOMS);
    let measured = reader.meant(table, &OUTLINE, read_room);
    let institutional = reader.flag(table, "institutional");
    let twice = "the room is stated twice, by its volume and by its measures";
    reader.one_of_two(table, (&ROOM_VOLUME, &OUTLINE), twice);
    Some(Room { name, volume: volume.or(measured)?, institutional })
}

/// Tells that the maker's greatest charge is below the one that is shipped.
pub(super) fn charges(reader: &mut Reader<'_>, maker: Option<&Maker>) {
    let Some(maker) = maker else { return };
    if let (Some(greatest), Some(factory)) = (maker.greatest_charge, maker.factory_charge)
        && greatest.value < factory.value
    {
        reader.fault(
            Fault::new(
                FaultKind::Contradiction,
                greatest.span,
                "the greatest charge is below the factory charge",
                "check the two and their units; the greatest charge is all that the circuit may ever hold",
            )
            .also(factory.span, "the factory charge"),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Faults, Job, STARTER, read};
    use physics::units::unit::{mass::ounce, ratio::percent, volume::cubic_foot};

    fn job(changes: &[(&str, &str)]) -> Result<Job, Faults> {
        let mut text = STARTER.to_owned();
        for (old, new) in changes {
            assert!(text.contains(old), "the starter has no `{old}`");
            text = text.replace(old, new);
        }
        read("job.toml", text.as_bytes())
    }

    fn room(stated: &str) -> Result<f64, Faults> {
        let job = job(&[("volume = \"1400 ft3\"", stated)])?;
        Ok(job.sets[0].room.as_ref().unwrap().volume.value.get::<cubic_foot>())
    }

    #[test]
    fn the_receiver_the_room_and_the_oil_are_kept() {
        let job = job(&[
            ("# receiver_seal", "receiver_seal"),
            ("# harvest_charge", "harvest_charge"),
            ("# oil_per_charge", "oil_per_charge"),
            ("# greatest_charge", "greatest_charge"),
            ("# institutional", "institutional"),
        ])
        .unwrap_or_else(|faults| panic!("{faults}"));
        let set = &job.sets[0];
        // The factors of the unit library carry seven digits.
        let close = |value: f64, wanted: f64| approx::assert_relative_eq!(value, wanted, max_relative = 1e-6);
        close(set.receiver.volume.unwrap().value.get::<cubic_foot>(), 0.2);
        close(set.receiver.seal.unwrap().value.get::<percent>(), 15.0);
        close(set.receiver.harvest_charge.unwrap().value.get::<ounce>(), 8.0);
        close(set.oil_per_charge.unwrap().value.get::<percent>(), 6.25);
        close(set.maker.as_ref().unwrap().greatest_charge.unwrap().value.get::<ounce>(), 18.0 * 16.0);
        let room = set.room.as_ref().unwrap();
        close(room.volume.value.get::<cubic_foot>(), 1400.0);
        assert!(room.institutional);
    }

    #[test]
    fn a_room_has_a_volume_or_measures() {
        approx::assert_relative_eq!(
            room("outline = \"12 x 14 x 9 ft\"").unwrap(),
            1512.0,
            max_relative = 1e-6
        );
        assert!(room("").is_err());
        let twice = room("volume = \"1400 ft3\"\noutline = \"12 x 14 x 9 ft\"").unwrap_err();
        assert!(twice.plain().contains("stated twice"), "{twice}");
    }

    #[test]
    fn a_set_without_receiver_copies_none() {
        let own = "\n[set.second]\nlike = \"ice-room\"\nreceiver_at = \"none\"\nhead_pressure = { method = \"none\" }\n";
        let job = read("job.toml", format!("{STARTER}{own}").as_bytes()).unwrap();
        assert!(job.sets[0].receiver.volume.is_some() && job.sets[1].receiver.volume.is_none());
        let own = own.to_owned() + "receiver_volume = \"1 L\"\n";
        let faults = read("job.toml", format!("{STARTER}{own}").as_bytes()).unwrap_err();
        assert!(faults.plain().contains("there is none"), "{faults}");
    }
}
