//! Whether a charge is allowed: the maker's greatest charge, the room, what rules on leaks say, and cylinders.

use super::{super::check::made, Ledger, SetBudget, unmade};
use crate::{
    figure,
    view::{AllowedView, CheckView, CylindersView, NoticeView, ReceiverView, VerdictView},
};
use physics::{
    check::{Sense, Whose},
    field::charge_limit::{
        charge_of_equivalent, concentration, cylinder_fill, hot_liquid_share, specific_gravity,
    },
    units::{
        Mass, MassDensity, Ratio, ThermodynamicTemperature,
        unit::{
            mass::{kilogram, pound},
            mass_density::kilogram_per_cubic_meter,
            ratio::ratio,
            thermodynamic_temperature::degree_celsius,
        },
    },
};
use tables::{Library, Sourced, field::Months};

const GREATEST: &str = "greatest-charge";
const ROOM: &str = "room-concentration";

/// Refrigerant in a new cylinder, lb; common practice, no source (some come with 24 or 30).
const CYLINDER_LB: f64 = 25.0;
/// Water capacity of the nominal 30-lb recovery cylinder, lb (published).
const WATER_CAPACITY_LB: f64 = 26.2;
/// A van in the sun, 130 °F.
const HOT_VAN_C: f64 = 490.0 / 9.0;

/// Components that are class I or II substances for the ozone layer (40 CFR 82 subpart A, appendices; from memory).
const OZONE: [&str; 8] = ["R-11", "R-12", "R-22", "R-115", "R-123", "R-124", "R-141b", "R-142b"];
/// Components without fluorine, of which neither rule speaks.
const NATURAL: [&str; 6] = ["R-290", "R-600", "R-600a", "R-1270", "R-744", "R-717"];

impl SetBudget<'_> {
    fn library(&self) -> &Library {
        self.desk.resolved.library
    }

    /// The safety class where it is a flammable one, with what it rests on.
    fn flammable_class(&self) -> Option<String> {
        let (class, _) = self.identity()?.safety_class.reading().parts();
        (!class.ends_with('1')).then(|| class.to_string())
    }

    fn room_name(&self) -> String {
        let room = self.set.set.room.as_ref();
        room.and_then(|room| room.name.as_ref())
            .map_or_else(|| "the smallest room".to_owned(), |name| name.value.clone())
    }
}

/// Checks of the total against the maker's greatest charge and the limit of the room.
pub(super) fn checks(budget: &SetBudget<'_>, ledger: &mut Ledger) -> Vec<CheckView> {
    let mut checks = Vec::new();
    let maker = budget.set.set.maker.as_ref();
    let no_total = || "the total charge".to_owned();
    if let Some(greatest) = maker.and_then(|maker| maker.greatest_charge) {
        checks.push(match budget.total_kg {
            Some(total) => CheckView {
                whose: Whose::Maker.word().to_owned(),
                source: "the maker".to_owned(),
                ..made(
                    GREATEST,
                    total,
                    greatest.value.value,
                    Sense::AtMost,
                    "kg",
                    Some(budget.band_kg()).filter(|band| *band > 0.0),
                )
            },
            None => unmade(GREATEST, "", "kg", Whose::Maker, no_total()),
        });
    }
    if let Some(class) = budget.flammable_class() {
        let missing = format!(
            "the adopted standard (ASHRAE 15, ISO 5149 or EN 378) and the listing of the equipment: {} is of class {class}, \
             flammable, and no ceiling is given here",
            budget.set.refrigerant
        );
        checks.push(unmade(ROOM, "", "kg/m3", Whose::Practice, missing));
    } else if budget.set.set.room.is_some() {
        checks.push(match room(budget) {
            Ok((check, source)) => {
                ledger.note_words(
                    format!("concentration limit of {}", budget.set.refrigerant),
                    &source.0,
                    &source.1,
                );
                check
            }
            Err(missing) => unmade(ROOM, "", "kg/m3", Whose::Practice, missing),
        });
    }
    checks
}

/// Limit of the room, kg/m³ with its factor, and whether any of it is only recalled.
struct RoomLimit {
    limit: MassDensity,
    factor: Sourced<Ratio>,
    unconfirmed: bool,
    source: (String, String),
}

fn room_limit(budget: &SetBudget<'_>) -> Result<RoomLimit, String> {
    let identity = budget.identity().ok_or("the refrigerant")?;
    let figure = identity.concentration_limit.as_ref().ok_or_else(|| {
        format!("the concentration limit (RCL) of {}, which the tables do not have: ASHRAE 34", identity.name)
    })?;
    let (limit, unconfirmed) = figure.reading().parts();
    let mut factor = budget
        .library()
        .field()
        .value::<Ratio>("concentration-factor-institution")
        .map_err(|error| error.to_string())?;
    let institutional = budget.set.set.room.as_ref().is_some_and(|room| room.institutional);
    let recalled = unconfirmed || (institutional && factor.is_unconfirmed());
    if !institutional {
        factor = factor.map(|_| Ratio::new::<ratio>(1.0));
    }
    let source = figure.source();
    Ok(RoomLimit {
        limit: limit.density,
        factor,
        unconfirmed: recalled,
        source: (source.text.to_string(), source.grade.to_string()),
    })
}

fn room(budget: &SetBudget<'_>) -> Result<(CheckView, (String, String)), String> {
    let room = budget.set.set.room.as_ref().ok_or("the room")?;
    let limit = room_limit(budget)?;
    let total = budget.total_kg.ok_or("the total charge")?;
    let found =
        concentration(Mass::new::<kilogram>(total), room.volume.value, limit.limit, limit.factor.value)
            .map_err(|error| error.to_string())?
            .value;
    let mut remarks = vec![format!(
        "the limit comes to {} in {}",
        figure::pounds_and_ounces(found.greatest_charge.value).both(budget.desk.units()),
        budget.room_name()
    )];
    if limit.unconfirmed {
        remarks.push(
            "UNCONFIRMED: the limit is recalled, not read; look it up in ASHRAE 34 before it counts"
                .to_owned(),
        );
    }
    let grade = if limit.unconfirmed { "unconfirmed".to_owned() } else { limit.source.1.clone() };
    let check = CheckView {
        whose: Whose::Practice.word().to_owned(),
        source: format!("{} ({grade})", limit.source.0),
        remarks,
        ..made(
            ROOM,
            found.found.get::<kilogram_per_cubic_meter>(),
            found.allowed.get::<kilogram_per_cubic_meter>(),
            Sense::AtMost,
            "kg/m3",
            Some(budget.band_kg() / room.volume.value.value).filter(|band| *band > 0.0),
        )
    };
    Ok((check, limit.source))
}

/// May I, and where to stop.
pub(super) fn answer(
    budget: &SetBudget<'_>,
    of_charge: &[CheckView],
    of_receiver: &[CheckView],
    receiver: Option<&ReceiverView>,
) -> (AllowedView, Option<f64>, String) {
    let units = budget.desk.units();
    let stop = stop(budget, receiver);
    let words = |mass_kg: f64| figure::pounds_and_ounces(mass_kg).both(units);
    let never = match &stop {
        Some((most_kg, why)) => format!("Never above {} ({why})", words(*most_kg)),
        None => "No greatest charge is known (keys maker.greatest_charge, room, receiver_volume)".to_owned(),
    };
    let told = match (budget.total_kg, budget.added_kg) {
        (Some(total), Some(added)) if added > 0.0 => format!(
            "the scale has given {}, which makes {} in the circuit: the total by scale is the only acceptance. {never}",
            figure::ounces(added).both(units),
            words(total)
        ),
        (Some(total), _) => {
            format!("the circuit holds {}: the total by scale is the only acceptance. {never}", words(total))
        }
        (None, Some(_)) => {
            format!("the scale has given what is to be added; the total is not known. {never}")
        }
        (None, None) => format!(
            "anybody wants to top up by sight glass or pressure: what is to be added is not known yet. {never}"
        ),
    };
    let checks = || budget.lines.checks.iter().chain(of_charge).chain(of_receiver);
    // A longest run that is not stated is asked for by its own check.
    let counts = |check: &&CheckView| check.kind != "run" || check.verdict != VerdictView::NotChecked;
    let listed = |verdict: VerdictView| {
        let mut kinds: Vec<String> = Vec::new();
        for check in checks().filter(counts).filter(|check| check.verdict == verdict) {
            let name = match &*check.condition {
                "" => check.kind.replace('-', " "),
                condition => format!("{} at {condition}", check.kind.replace('-', " ")),
            };
            if !kinds.contains(&name) {
                kinds.push(name);
            }
        }
        kinds.join(", ")
    };
    let allowed = |answer: &str, why: String| AllowedView { answer: answer.to_owned(), why };
    let fails = listed(VerdictView::Fails);
    let close = listed(VerdictView::TooCloseToCall);
    let has = |kind: &str| of_charge.iter().any(|check| check.kind == kind);
    let answered = if !fails.is_empty() {
        allowed("no", format!("fails: {fails}"))
    } else if let Some(class) = budget.flammable_class() {
        allowed(
            "withheld",
            format!(
                "{} is of class {class}, flammable: the adopted standard (ASHRAE 15, ISO 5149, EN 378) and the listing of \
                 the equipment decide",
                budget.set.refrigerant
            ),
        )
    } else if budget.total_kg.is_none() {
        allowed("not known", "the total is not known".to_owned())
    } else if !close.is_empty() {
        allowed("not known", format!("too close to call: {close}"))
    } else if !has(GREATEST) && !has(ROOM) {
        allowed(
            "not known",
            "neither the maker's greatest charge nor the room is stated (keys maker.greatest_charge, room)"
                .to_owned(),
        )
    } else {
        let unmade = listed(VerdictView::NotChecked);
        if unmade.is_empty() {
            within_limits(budget, has(GREATEST), has(ROOM))
        } else {
            allowed("not known", format!("not checked: {unmade}"))
        }
    };
    (answered, stop.map(|(most_kg, _)| most_kg), told)
}

fn within_limits(budget: &SetBudget<'_>, greatest: bool, room: bool) -> AllowedView {
    let mut why = match (greatest, room) {
        (true, true) => format!("within the maker's greatest charge and the limit of {}", budget.room_name()),
        (true, false) => {
            "within the maker's greatest charge; of the room nothing is stated (a table [set.NAME.room])"
                .to_owned()
        }
        _ => format!(
            "within the limit of {}; the maker's greatest charge is not stated (key maker.greatest_charge)",
            budget.room_name()
        ),
    };
    if room && room_limit(budget).is_ok_and(|limit| limit.unconfirmed) {
        why.push_str("; UNCONFIRMED: that limit is recalled, look it up");
    }
    if budget.identity().is_some_and(|identity| identity.safety_class.is_unconfirmed()) {
        why.push_str("; the safety class is recalled as well");
    }
    AllowedView { answer: "yes".to_owned(), why }
}

/// The least of all greatest charges, and whose it is.
fn stop(budget: &SetBudget<'_>, receiver: Option<&ReceiverView>) -> Option<(f64, String)> {
    let maker = budget.set.set.maker.as_ref().and_then(|maker| maker.greatest_charge);
    let maker = maker.map(|mass| (mass.value.value, "the maker's greatest charge".to_owned()));
    let room = budget.set.set.room.as_ref().filter(|_| budget.flammable_class().is_none()).and_then(|room| {
        let limit = room_limit(budget).ok()?;
        let most = limit.limit * limit.factor.value * room.volume.value;
        let unconfirmed = if limit.unconfirmed { ", unconfirmed" } else { "" };
        Some((most.value, format!("the limit of {}{unconfirmed}", budget.room_name())))
    });
    let receiver = receiver.zip(budget.total_kg).and_then(|(receiver, total)| {
        let fullest = receiver.hot_day_kg?[1];
        Some((
            total + receiver.at_80_percent_kg - fullest,
            "the receiver is 80 % full on a hot day".to_owned(),
        ))
    });
    [maker, room, receiver].into_iter().flatten().min_by(|one, other| one.0.total_cmp(&other.0))
}

/// What rules on leaks say, by the components of the refrigerant.
pub(super) fn notices(budget: &SetBudget<'_>) -> Vec<NoticeView> {
    let Some(identity) = budget.identity() else { return Vec::new() };
    let field = budget.library().field();
    let of = |list: &[&str]| identity.components.value.iter().any(|part| list.contains(&&*part.name));
    let all = |test: &dyn Fn(&str) -> bool| identity.components.value.iter().all(|part| test(&part.name));
    let natural = all(&|name| NATURAL.contains(&name));
    let unsaturated = all(&|name| name.starts_with("R-12") && name.len() > "R-123a".len());
    let mut notices = Vec::new();
    let mut push = |rule: &str, key: &str, from: Option<f64>, then: &[(&str, &str)]| {
        let Some(row) = field.thresholds().iter().find(|row| *row.key == *key) else { return };
        let Some(from_kg) = from.or_else(|| field.value::<Mass>(key).ok().map(|mass| mass.value.value))
        else {
            return;
        };
        let reached = budget.charge_kg().map(|charge_kg| charge_kg >= from_kg);
        let then = then
            .iter()
            .filter_map(|(key, words)| {
                let row = field.thresholds().iter().find(|row| *row.key == **key)?;
                let unconfirmed = if row.source.grade.is_unconfirmed() { " (unconfirmed)" } else { "" };
                Some(format!("{words} {}{unconfirmed}", row.printed))
            })
            .collect();
        notices.push(NoticeView {
            rule: rule.to_owned(),
            from_kg,
            reached,
            then,
            date: row.date.as_ref().map(ToString::to_string),
            source: row.source.text.to_string(),
            grade: row.source.grade.to_string(),
            unconfirmed: row.source.grade.is_unconfirmed(),
        });
    };
    if natural {
        return notices;
    }
    let repairs = [
        ("leak-rate-commercial", "repair a leak rate above"),
        ("leak-repair-time", "within"),
        ("leak-inspection-interval-small", "then inspect every"),
        ("leak-records", "keep records for"),
    ];
    let warming = identity.warming_potential.value;
    if of(&OZONE) {
        push("US leak repair, refrigerants of class I or II", "leak-repair-charge-ozone", None, &repairs);
        return notices;
    }
    let least =
        field.value::<Ratio>("leak-repair-warming-potential").map_or(0.0, |least| least.value.get::<ratio>());
    if warming.ar4.or(warming.ar5).is_some_and(|potential| potential > least) {
        push("US leak repair, HFC and substitutes", "leak-repair-charge-hfc", None, &repairs);
    }
    for (size, name) in [("small", "first"), ("medium", "second"), ("large", "third")] {
        let every = format!("fgas-check-interval-{size}");
        let watched = format!("fgas-check-interval-{size}-detection");
        if unsaturated {
            let every = format!("hfo-check-interval-{size}");
            push(
                &format!("EU leak checks, unsaturated HFC, {name} threshold"),
                &format!("hfo-check-from-{size}"),
                None,
                &[(&every, "check every")],
            );
            continue;
        }
        let key = format!("fgas-check-from-{size}");
        let from = warming.ar4.and_then(|potential| {
            let tonnes = field.value::<Mass>(&key).ok()?.value;
            charge_of_equivalent(tonnes, Ratio::new::<ratio>(potential)).ok()
        });
        if let Some(from) = from {
            let said = field.thresholds().iter().find(|row| *row.key == *key);
            let said = said.map_or(String::new(), |row| format!(" ({} CO2e by AR4)", row.printed));
            push(
                &format!("EU leak checks, {name} threshold{said}"),
                &key,
                Some(from.value),
                &[(&every, "check every"), (&watched, "with fixed leak detection every")],
            );
        }
    }
    // Durations are printed as the table has them; a threshold beyond the next one reached says nothing more.
    let next =
        notices.iter().position(|notice| notice.rule.starts_with("EU") && notice.reached != Some(true));
    if let Some(next) = next {
        notices.truncate(next + 1);
    }
    debug_assert!(field.value::<Months>("fgas-check-interval-small").is_ok());
    notices
}

pub(super) fn cylinders(budget: &SetBudget<'_>) -> Option<CylindersView> {
    let fluid = &budget.set.fluid;
    let gravity = specific_gravity(fluid).ok()?.value;
    let fill = cylinder_fill(Mass::new::<pound>(WATER_CAPACITY_LB), Mass::default(), gravity).ok()?.value;
    let van = ThermodynamicTemperature::new::<degree_celsius>(HOT_VAN_C);
    let charge = Mass::new::<kilogram>(budget.charge_kg()?);
    // A charge of grams to tons: the number of cylinders fits, and is not negative.
    let count = |mass: Mass, each: Mass| (mass / each).get::<ratio>().ceil().max(0.0) as u32;
    Some(CylindersView {
        to_charge: count(
            Mass::new::<kilogram>(budget.added_kg.unwrap_or(0.0)),
            Mass::new::<pound>(CYLINDER_LB),
        ),
        charge_each_kg: Mass::new::<pound>(CYLINDER_LB).value,
        recovery_each_kg: fill.net.value,
        to_recover: count(charge, fill.net),
        hot_liquid_share: hot_liquid_share(fluid, van).ok().map(|share| share.value.get::<ratio>()),
    })
}
