//! Parts in a line: `2 ball valve`, `1 filter drier kv 2.1 m3/h`, `1 check valve cracking 0.5 psi`.

use super::quantity::{self, FlowCoefficient, QuantityError, Range, nearest, plain};
use physics::units::Pressure;
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
    /// A flow coefficient or pressure that cannot be read.
    #[error("{0}")]
    Quantity(#[from] QuantityError),
    /// A cracking pressure at a part that has none.
    #[error("a {} has no cracking pressure", kind.name())]
    NoCracking {
        /// The part.
        kind: PartKind,
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
        }
    }
}

const CRACKING: Range = Range { least: 0.0, most: 3.5e6, says: "between 0 and 35 bar (500 psi)" };

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
    let clean = plain(text).to_ascii_lowercase();
    if clean.is_empty() {
        return Err(PartError::Empty);
    }
    let (count, rest) = split_count(&clean)?;
    // The name ends where `kv`, `cv` or `cracking` begins.
    let keyword = |rest: &str| {
        ["kv", "cv", "cracking"]
            .iter()
            .filter_map(|word| {
                rest.match_indices(word).map(|(at, _)| at).find(|at| {
                    (*at == 0 || rest[..*at].ends_with([' ', ',']))
                        && !rest[at + word.len()..].starts_with(char::is_alphabetic)
                })
            })
            .min()
    };
    let named = keyword(rest).unwrap_or(rest.len());
    let (name, mut rest) = rest.split_at(named);
    let name = name.trim_matches([' ', ',']);
    let kind = PartKind::named(name).ok_or_else(|| PartError::UnknownKind {
        name: name.to_owned(),
        nearest: nearest(name, NAMES.iter().flat_map(|(_, names)| names.iter().copied())),
    })?;
    let mut part = Part { count, kind, kv: None, cracking: None };
    while !rest.is_empty() {
        let end = keyword(&rest[1..]).map_or(rest.len(), |at| at + 1);
        let (stated, after) = rest.split_at(end);
        let stated = stated.trim_end_matches([' ', ',']);
        if let Some(pressure) = stated.strip_prefix("cracking") {
            if !matches!(kind, PartKind::CheckValve | PartKind::ReliefValve) {
                return Err(PartError::NoCracking { kind });
            }
            let pressure = pressure.trim_start().trim_start_matches("at ").trim_start_matches("pressure ");
            part.cracking = Some(quantity::read_within(pressure, &CRACKING)?);
        } else {
            part.kv = Some(quantity::read_flow_coefficient(stated)?);
        }
        rest = after;
    }
    Ok(part)
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
    use physics::units::unit::pressure::psi;
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
            let part = Part { count: 3, kind, kv: Some(FlowCoefficient::from_kv_m3_h(0.3)), cracking: None };
            assert_eq!(read(&part.to_string()), Ok(part));
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC*") {
            let _ = read(&text).map_err(|error| error.help());
        }

        #[test]
        fn likely_text_reads_back(text in "[0-9]{0,3} ?x? ?(ball|check|relief|45)? ?(valve|elbow|drier)?s? ?(kv|cv|cracking)? ?[0-9.]{0,4} ?(psi|m3/h|kv 3)?") {
            if let Ok(part) = read(&text) {
                prop_assert_eq!(read(&part.to_string()), Ok(part));
            }
        }
    }
}
