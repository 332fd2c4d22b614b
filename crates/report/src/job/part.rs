//! Parts in a line: `2 ball valve rated 500 psig`, `1 filter drier kv 2.1 m3/h`, `1 check valve cracking 0.5 psi`,
//! `1 solenoid valve closes in 20 ms`.

use super::quantity::{self, FlowCoefficient, PressureReading, QuantityError, Range, nearest, plain};
use physics::units::{Pressure, Time};
use std::fmt;
use thiserror::Error;

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)] // the names are the trade's
pub enum PartKind {
    BallValve,
    SolenoidValve,
    CheckValve,
    GlobeValve,
    AngleValve,
    ServiceValve,
    ReliefValve,
    HeadPressureValve,
    FilterDrier,
    Strainer,
    SightGlass,
    Muffler,
    OilSeparator,
    SuctionAccumulator,
    VibrationAbsorber,
    Tee,
    LongElbow,
    ShortElbow,
    Elbow45,
    ReturnBend,
    Trap,
}

/// Every kind with its name first and what else it is called.
const NAMES: &[(PartKind, &[&str])] = &[
    (PartKind::BallValve, &["ball valve"]),
    (PartKind::SolenoidValve, &["solenoid valve", "solenoid"]),
    (PartKind::CheckValve, &["check valve", "non-return valve"]),
    (PartKind::GlobeValve, &["globe valve"]),
    (PartKind::AngleValve, &["angle valve"]),
    (PartKind::ServiceValve, &["service valve"]),
    (PartKind::ReliefValve, &["relief valve"]),
    (PartKind::HeadPressureValve, &["head-pressure valve", "head pressure valve"]),
    (PartKind::FilterDrier, &["filter drier", "filter-drier", "filter dryer", "drier"]),
    (PartKind::Strainer, &["strainer", "filter"]),
    (PartKind::SightGlass, &["sight glass", "sightglass"]),
    (PartKind::Muffler, &["muffler"]),
    (PartKind::OilSeparator, &["oil separator"]),
    (PartKind::SuctionAccumulator, &["suction accumulator", "accumulator"]),
    (PartKind::VibrationAbsorber, &["vibration absorber", "vibration eliminator"]),
    (PartKind::Tee, &["tee"]),
    (PartKind::LongElbow, &["long elbow", "long radius elbow"]),
    (PartKind::ShortElbow, &["short elbow", "short radius elbow"]),
    (PartKind::Elbow45, &["45° elbow", "45 elbow", "45 degree elbow"]),
    (PartKind::ReturnBend, &["return bend", "u bend", "u-bend"]),
    (PartKind::Trap, &["trap", "p-trap", "p trap"]),
];

impl PartKind {
    /// The name in the job file.
    #[must_use]
    pub fn name(self) -> &'static str {
        NAMES
            .iter()
            .find(|(kind, _)| *kind == self)
            .and_then(|(_, names)| names.first())
            .copied()
            .unwrap_or_default()
    }

    /// Every kind.
    pub fn all() -> impl Iterator<Item = Self> {
        NAMES.iter().map(|(kind, _)| *kind)
    }

    fn named(text: &str) -> Option<Self> {
        NAMES.iter().find(|(_, names)| names.iter().any(|name| plural_of(text, name))).map(|(kind, _)| *kind)
    }
}

/// Whether `text` is `name` in singular or plural.
fn plural_of(text: &str, name: &str) -> bool {
    match text.strip_prefix(name) {
        Some(end) => matches!(end, "" | "s" | "es"),
        None => false,
    }
}

/// One entry of `parts`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// How many, 1 to 99.
    pub count: u32,
    /// What it is.
    pub kind: PartKind,
    /// Flow coefficient of each, where stated.
    pub kv: Option<FlowCoefficient>,
    /// Pressure difference at which a check valve or relief valve begins to open, where stated.
    pub cracking: Option<Pressure>,
    /// Pressure that it is rated for, where stated: 0.5 to 200 bar.
    pub rated: Option<PressureReading>,
    /// Time in which a valve that shuts off closes, where stated: 1 ms to 60 s.
    pub closes_in: Option<Time>,
}

impl Part {
    /// So many of a kind, nothing else stated.
    #[must_use]
    pub fn plain(count: u32, kind: PartKind) -> Self {
        Self { count, kind, kv: None, cracking: None, rated: None, closes_in: None }
    }
}

/// Writes a part so that [`read`] gives the same back.
impl fmt::Display for Part {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {}", self.count, self.kind.name())?;
        if let Some(kv) = self.kv {
            write!(formatter, " kv {} m3/h", kv.kv_m3_h())?;
        }
        if let Some(cracking) = self.cracking {
            write!(formatter, " cracking {}", quantity::write(cracking))?;
        }
        if let Some(rated) = self.rated {
            write!(formatter, " rated {}", quantity::write_pressure(rated))?;
        }
        if let Some(time) = self.closes_in {
            write!(formatter, " closes in {}", quantity::write(time))?;
        }
        Ok(())
    }
}

/// A text that is no part. `Display` says what is wrong, [`help`](Self::help) what to write instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum PartError {
    /// Nothing written.
    #[error("no part written")]
    Empty,
    /// No such kind of part.
    #[error("no part is called `{name}`")]
    UnknownKind {
        /// The name as written.
        name: String,
        /// The known name that is nearest.
        nearest: Option<&'static str>,
    },
    /// A count that is not 1 to 99.
    #[error("`{count}` is no count of parts")]
    Count {
        /// The count as written.
        count: String,
    },
    /// A flow coefficient, pressure or time that cannot be read.
    #[error("{0}")]
    Quantity(#[from] QuantityError),
    /// A cracking pressure at a part that has none.
    #[error("a {} has no cracking pressure", kind.name())]
    NoCracking {
        /// The part.
        kind: PartKind,
    },
    /// A closing time at a part that shuts nothing off.
    #[error("a {} has no closing time", kind.name())]
    NoClosing {
        /// The part.
        kind: PartKind,
    },
    /// A figure stated twice.
    #[error("{what} is stated twice")]
    Twice {
        /// The figure.
        what: &'static str,
    },
}

impl PartError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Empty => "write `2 ball valve` or `1 filter drier kv 2.1 m3/h`".into(),
            Self::UnknownKind { nearest: Some(name), .. } => format!("did you mean `{name}`?"),
            Self::UnknownKind { nearest: None, .. } => {
                let names: Vec<_> = PartKind::all().map(PartKind::name).collect();
                format!("known parts: {}", names.join(", "))
            }
            Self::Count { .. } => "write a whole number from 1 to 99, as in `2 ball valve`".into(),
            Self::Quantity(error) => error.help(),
            Self::NoCracking { .. } => "only a `check valve` or a `relief valve` has one".into(),
            Self::NoClosing { .. } => {
                let kinds = CLOSING.iter().map(|kind| kind.name().to_owned());
                format!("only {} has one", quantity::alternatives(kinds))
            }
            Self::Twice { .. } => "keep one of the two".into(),
        }
    }
}

const CRACKING: Range = Range { least: 0.0, most: 3.5e6, says: "between 0 and 35 bar (500 psi)" };
/// Pressures that equipment is rated, set or tested for.
pub(crate) const RATINGS: Range =
    Range { least: 5e4, most: 2e7, says: "between 0.5 and 200 bar (7 and 2,900 psi)" };
const CLOSING_TIMES: Range = Range { least: 1e-3, most: 60.0, says: "between 1 ms and 60 s" };
/// What shuts off by hand or by a coil, so that its time can be stated.
const CLOSING: [PartKind; 3] = [PartKind::SolenoidValve, PartKind::BallValve, PartKind::HeadPressureValve];
/// The words that figures begin with; the name of the part ends at the first of them.
const FIGURES: [&str; 5] = ["kv", "cv", "cracking", "rated", "closes"];

/// Where the first figure of `lower`, a text in lower case, begins.
fn figure(lower: &str) -> Option<usize> {
    let begins = |word: &&str| {
        lower.match_indices(*word).map(|(at, _)| at).find(|at| {
            (*at == 0 || lower[..*at].ends_with([' ', ',']))
                && !lower[at + word.len()..].starts_with(char::is_alphabetic)
        })
    };
    FIGURES.iter().filter_map(begins).min()
}

/// Reads a part. A part without a count is one.
///
/// # Errors
/// [`PartError`].
///
/// ```
/// let part = report::job::part::read("2 ball valves")?;
/// assert_eq!((part.count, part.kind.name()), (2, "ball valve"));
/// # Ok::<(), report::job::part::PartError>(())
/// ```
pub fn read(text: &str) -> Result<Part, PartError> {
    // Words match in any case, units do not: `MPa` is no `mPa`. ASCII lower-casing keeps the byte positions, so both
    // texts can be cut at the same places.
    let clean = plain(text);
    let lower = clean.to_ascii_lowercase();
    if clean.is_empty() {
        return Err(PartError::Empty);
    }
    let (count, named) = split_count(&lower)?;
    let name = named[..figure(named).unwrap_or(named.len())].trim_matches([' ', ',']);
    let kind = PartKind::named(name).ok_or_else(|| PartError::UnknownKind {
        name: name.to_owned(),
        nearest: nearest(name, NAMES.iter().flat_map(|(_, names)| names.iter().copied())),
    })?;
    let mut part = Part::plain(count, kind);
    let mut at = lower.len() - named.len() + figure(named).unwrap_or(named.len());
    while at < lower.len() {
        // Every word of a figure begins with an ASCII letter, so the byte after it begins a character.
        let end = figure(&lower[at + 1..]).map_or(lower.len(), |next| at + 1 + next);
        read_figure(&mut part, clean[at..end].trim_end_matches([' ', ',']))?;
        at = end;
    }
    Ok(part)
}

/// Reads one of the [`FIGURES`] with its value into `part`.
fn read_figure(part: &mut Part, stated: &str) -> Result<(), PartError> {
    let kind = part.kind;
    let behind = |word: &str| {
        let value = stated.get(word.len()..)?;
        stated[..word.len()].eq_ignore_ascii_case(word).then(|| value.trim_start())
    };
    /// Takes the small words off that may stand before the value.
    fn value<'t>(text: &'t str, small: &[&str]) -> &'t str {
        small.iter().fold(text, |text, word| match text.get(..word.len()) {
            Some(head) if head.eq_ignore_ascii_case(word) => text[word.len()..].trim_start(),
            _ => text,
        })
    }
    fn once<T>(place: &mut Option<T>, what: &'static str, value: T) -> Result<(), PartError> {
        if place.replace(value).is_some() { Err(PartError::Twice { what }) } else { Ok(()) }
    }
    if let Some(pressure) = behind("cracking") {
        if !matches!(kind, PartKind::CheckValve | PartKind::ReliefValve) {
            return Err(PartError::NoCracking { kind });
        }
        let pressure = quantity::read_within(value(pressure, &["at ", "pressure "]), &CRACKING)?;
        once(&mut part.cracking, "the cracking pressure", pressure)
    } else if let Some(pressure) = behind("rated") {
        let pressure = quantity::read_pressure_within(value(pressure, &["at ", "for "]), &RATINGS)?;
        once(&mut part.rated, "the rated pressure", pressure)
    } else if let Some(time) = behind("closes") {
        if !CLOSING.contains(&kind) {
            return Err(PartError::NoClosing { kind });
        }
        let time = quantity::read_within(value(time, &["in ", "within "]), &CLOSING_TIMES)?;
        once(&mut part.closes_in, "the closing time", time)
    } else {
        once(&mut part.kv, "the flow coefficient", quantity::read_flow_coefficient(stated)?)
    }
}

fn split_count(text: &str) -> Result<(u32, &str), PartError> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let (count, rest) = text.split_at(digits);
    // "45 elbow" is the name of a part, not forty-five elbows.
    if digits == 0 || PartKind::named(text) == Some(PartKind::Elbow45) {
        return Ok((1, text));
    }
    let fault = || PartError::Count { count: text.split(' ').next().unwrap_or_default().to_owned() };
    if !rest.starts_with([' ', 'x']) && !rest.starts_with(char::is_alphabetic) {
        return Err(fault());
    }
    let number: u32 = count.parse().map_err(|_| fault())?;
    if !(1..=99).contains(&number) {
        return Err(fault());
    }
    let rest = rest.trim_start();
    Ok((number, rest.strip_prefix("x ").unwrap_or(rest).trim_start()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::units::unit::{pressure::psi, time::second};
    use proptest::prelude::*;

    #[test]
    fn reads_count_name_and_figures() {
        for (text, count, kind) in [
            ("2 ball valve", 2, PartKind::BallValve),
            ("2 Ball Valves", 2, PartKind::BallValve),
            ("2 x ball valve", 2, PartKind::BallValve),
            ("2x ball valve", 2, PartKind::BallValve),
            ("sight glass", 1, PartKind::SightGlass),
            ("2 sight glasses", 2, PartKind::SightGlass),
            ("1 45 elbow", 1, PartKind::Elbow45),
            ("45 elbow", 1, PartKind::Elbow45),
            ("3 tees", 3, PartKind::Tee),
        ] {
            let part = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!((part.count, part.kind), (count, kind), "{text}");
        }
        let drier = read("1 filter drier kv 2.1 m3/h").unwrap();
        approx::assert_relative_eq!(drier.kv.unwrap().kv_m3_h(), 2.1);
        let solenoid = read("1 solenoid valve, cv 3.2").unwrap();
        approx::assert_relative_eq!(solenoid.kv.unwrap().kv_m3_h(), 3.2 * 0.864_977_7, max_relative = 1e-6);
        let check = read("1 check valve cracking 0.5 psi kv 3").unwrap();
        approx::assert_relative_eq!(check.cracking.unwrap().get::<psi>(), 0.5, max_relative = 1e-6);
        assert!(check.kv.is_some());
    }

    #[test]
    fn reads_ratings_and_closing_times_in_any_order() {
        for text in [
            "2 ball valve rated 500 psig closes in 20 ms kv 3",
            "2 ball valves, kv 3, closes in 0.02 s, rated at 500 PSIG",
            "2 Ball Valve Closes Within 20 ms Rated for 500 psig Kv 3 m3/h",
        ] {
            let part = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!((part.count, part.kind), (2, PartKind::BallValve), "{text}");
            approx::assert_relative_eq!(part.kv.unwrap().kv_m3_h(), 3.0);
            approx::assert_relative_eq!(part.closes_in.unwrap().get::<second>(), 0.02);
            let Some(PressureReading::Gauge(rated)) = part.rated else { panic!("{text}: {:?}", part.rated) };
            approx::assert_relative_eq!(rated.get().get::<psi>(), 500.0, max_relative = 1e-6);
            assert_eq!(read(&part.to_string()), Ok(part));
        }
        // Units whose case matters keep it.
        let strainer = read("1 strainer rated 3.2 MPa(a)").unwrap();
        assert!(
            matches!(strainer.rated, Some(PressureReading::Absolute(p)) if (p.pascal() - 3.2e6).abs() < 1e-6)
        );
        assert!(read("1 head-pressure valve closes in 2 s").is_ok());
    }

    #[test]
    fn refuses_ratings_and_closing_times_that_make_no_sense() {
        for (text, help) in [
            ("1 ball valve rated 500 psi", "write `500 psig` or `500 psia`"),
            ("1 ball valve rated 500", "write `500 psig` or `500 psia`"),
            ("1 solenoid valve closes in 0,5 s", "write a decimal point: `0.5 s`"),
            ("1 solenoid valve closes in 20", "write `20 s` or `20 ms`"),
            ("1 solenoid valve closes in 2 min", "check the number and its unit"),
            (
                "1 sight glass closes in 1 s",
                "only `solenoid valve`, `ball valve` or `head-pressure valve` has one",
            ),
            ("1 solenoid valve kv 3 cv 4", "keep one of the two"),
            ("1 solenoid valve rated 31 bar(g) rated 450 psig", "keep one of the two"),
        ] {
            assert_eq!(read(text).unwrap_err().help(), help, "{text}");
        }
        for text in [
            "1 ball valve rated 201 bar(g)",
            "1 ball valve rated",
            "1 ball valve closes",
            "1 ball valve rated 5 psig",
        ] {
            assert!(matches!(read(text), Err(PartError::Quantity(_))), "{text}");
        }
    }

    #[test]
    fn refuses_with_a_suggestion() {
        assert_eq!(read("2 bal valve").unwrap_err().help(), "did you mean `ball valve`?");
        assert!(read("1 teapot lid").unwrap_err().help().starts_with("known parts: ball valve"));
        assert!(matches!(read("0 ball valve"), Err(PartError::Count { .. })));
        assert!(matches!(read("1.5 ball valve"), Err(PartError::Count { .. })));
        assert!(matches!(read("1 ball valve cracking 1 psi"), Err(PartError::NoCracking { .. })));
        assert!(matches!(read("1 check valve cracking 1 psig"), Err(PartError::Quantity(_))));
        assert!(matches!(read("1 filter drier kv"), Err(PartError::Quantity(_))));
        assert!(matches!(read(" "), Err(PartError::Empty)));
    }

    #[test]
    fn every_kind_reads_back_by_its_name() {
        for kind in PartKind::all() {
            let part = Part { kv: Some(FlowCoefficient::from_kv_m3_h(0.3)), ..Part::plain(3, kind) };
            assert_eq!(read(&part.to_string()), Ok(part));
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC*") {
            let _ = read(&text).map_err(|error| error.help());
        }

        #[test]
        fn likely_text_reads_back(text in "[0-9]{0,3} ?x? ?(ball|check|relief|45)? ?(valve|elbow|drier)?s? ?((kv|cv|cracking|rated|closes in)? ?[0-9.]{0,4} ?(psig?|bar\\(a\\)|m3/h|ms|kv 3)? ?){0,2}") {
            if let Ok(part) = read(&text) {
                prop_assert_eq!(read(&part.to_string()), Ok(part));
            }
        }
    }
}
