//! Routes: the way from head to condenser, leg by leg, or as run, lift and a count of elbows.

use super::diagnose::Located;
use super::quantity::{self, QuantityError, Range, nearest, plain};
use physics::units::{Length, unit::length::meter};
use std::fmt;
use thiserror::Error;

/// The place that needs no entry in `[places]`: the room of the head. A leg without a place lies there.
pub const INDOORS: &str = "indoors";

/// Which way a leg goes, seen from the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // points of the compass
pub enum Direction {
    Up,
    Down,
    North,
    South,
    East,
    West,
    Northeast,
    Northwest,
    Southeast,
    Southwest,
    /// Level, the point of the compass not said.
    Level,
}

const DIRECTIONS: &[(&str, Direction)] = &[
    ("up", Direction::Up),
    ("down", Direction::Down),
    ("north", Direction::North),
    ("south", Direction::South),
    ("east", Direction::East),
    ("west", Direction::West),
    ("northeast", Direction::Northeast),
    ("northwest", Direction::Northwest),
    ("southeast", Direction::Southeast),
    ("southwest", Direction::Southwest),
    ("level", Direction::Level),
];

/// Other words for a direction, and the word that is used here.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("rise", "up"),
    ("vertical", "up"),
    ("riser", "up"),
    ("drop", "down"),
    ("fall", "down"),
    ("horizontal", "level"),
    ("across", "level"),
    ("along", "level"),
    ("n", "north"),
    ("s", "south"),
    ("e", "east"),
    ("w", "west"),
    ("ne", "northeast"),
    ("nw", "northwest"),
    ("se", "southeast"),
    ("sw", "southwest"),
];

impl Direction {
    /// The word in the job file.
    #[must_use]
    pub fn name(self) -> &'static str {
        DIRECTIONS.iter().find(|(_, direction)| *direction == self).map_or("", |(name, _)| name)
    }

    /// The other way.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Self::Up => Self::Down,
            Self::Down => Self::Up,
            Self::North => Self::South,
            Self::South => Self::North,
            Self::East => Self::West,
            Self::West => Self::East,
            Self::Northeast => Self::Southwest,
            Self::Southwest => Self::Northeast,
            Self::Northwest => Self::Southeast,
            Self::Southeast => Self::Northwest,
            Self::Level => Self::Level,
        }
    }

    /// Height gained per length: 1 up, -1 down, 0 level.
    #[must_use]
    pub fn rise(self) -> f64 {
        match self {
            Self::Up => 1.0,
            Self::Down => -1.0,
            _ => 0.0,
        }
    }

    fn named(word: &str) -> Option<Self> {
        let joined = word.replace('-', "");
        DIRECTIONS.iter().find(|(name, _)| *name == joined).map(|(_, direction)| *direction)
    }
}

/// One straight piece of a route.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// Which way.
    pub direction: Direction,
    /// How far, more than 0 and up to 1 km.
    pub length: Length,
    /// In which surroundings; [`INDOORS`] where not said.
    pub place: String,
    /// Whether this is the leg that grows for the allowable length.
    pub stretch: bool,
}

/// Writes a leg so that [`read_leg`] gives the same back.
impl fmt::Display for Leg {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} {} in {}", self.direction.name(), quantity::write(self.length), self.place)?;
        if self.stretch { write!(formatter, " stretch") } else { Ok(()) }
    }
}

/// A text that is no leg. `Display` says what is wrong, [`help`](Self::help) what to write instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum LegError {
    /// Nothing written.
    #[error("no leg written")]
    Empty,
    /// The first word is no direction.
    #[error("a leg begins with its direction, and `{word}` is none")]
    Direction {
        /// The word.
        word: String,
        /// What to write instead, where known.
        offer: Option<String>,
    },
    /// The length cannot be read or is out of range.
    #[error("{0}")]
    Length(#[from] QuantityError),
    /// A fall written as a negative rise, or the like.
    #[error("`{text}` has a negative length")]
    Negative {
        /// The leg.
        text: String,
        /// The same the other way round.
        offer: String,
    },
    /// `in` or `on` without a place after it, or words after the place.
    #[error("`{text}` does not name its place in one word")]
    Place {
        /// The leg.
        text: String,
    },
}

impl LegError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Empty => "write a leg such as `up 14 ft` or `north 38 ft in attic`".into(),
            Self::Direction { offer: Some(offer), .. } => format!("write `{offer}`"),
            Self::Direction { offer: None, .. } => {
                let names: Vec<_> = DIRECTIONS.iter().map(|(name, _)| *name).collect();
                format!("a leg begins with a direction: {}", names.join(", "))
            }
            Self::Length(error) => error.help(),
            Self::Negative { offer, .. } => format!("write `{offer}`"),
            Self::Place { .. } => "write `up 6 ft on roof`, with `roof` being a table `[places.roof]`".into(),
        }
    }
}

/// Lengths of legs and routes.
pub(crate) const LENGTHS: Range = Range { least: 1e-3, most: 1e3, says: "between 1 mm and 1 km (3,280 ft)" };

/// Reads `DIRECTION LENGTH [in|on PLACE] [stretch]`.
///
/// # Errors
/// [`LegError`].
///
/// ```
/// let leg = report::job::route::read_leg("north 38 ft in attic")?;
/// assert_eq!((leg.direction.name(), leg.place.as_str()), ("north", "attic"));
/// # Ok::<(), report::job::route::LegError>(())
/// ```
pub fn read_leg(text: &str) -> Result<Leg, LegError> {
    let clean = plain(text);
    let (word, rest) = clean.split_once(' ').unwrap_or((&clean, ""));
    if word.is_empty() {
        return Err(LegError::Empty);
    }
    let Some(direction) = Direction::named(&word.to_ascii_lowercase()) else {
        return Err(no_direction(&clean, word, rest));
    };
    let mut rest = rest.trim();
    let mut stretch = false;
    // `get` also guards against a split inside a character.
    if let Some((head, tail)) =
        rest.len().checked_sub(7).and_then(|at| Some((rest.get(..at)?, rest.get(at..)?)))
        && tail.eq_ignore_ascii_case("stretch")
        && (head.is_empty() || head.ends_with([' ', ',', '(']))
    {
        stretch = true;
        rest = head.trim_end_matches([' ', ',', '(']);
    }
    let lower = rest.to_ascii_lowercase();
    // "6 in" is a length, "6 in attic" and "6 in in attic" are not the same: the place follows the last ` in ` or ` on `.
    let at = [" in ", " on "].iter().filter_map(|word| lower.rfind(word)).max();
    let (length, place) = match at {
        Some(at) => (&rest[..at], article_off(rest[at + 4..].trim())),
        None if lower.ends_with(" on") || lower.ends_with("in in") => {
            return Err(LegError::Place { text: clean });
        }
        None => match lower.strip_suffix(INDOORS) {
            Some(head) if head.ends_with(' ') => (rest[..head.len()].trim_end(), INDOORS),
            _ => (rest, INDOORS),
        },
    };
    // `12 ft 6 in` splits at ` in ` only when words follow; a following number belongs to the length.
    if place.is_empty() || place.contains(' ') || place.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(LegError::Place { text: clean });
    }
    let length_read: Length = quantity::read(length)?;
    if length_read.get::<meter>() < 0.0 {
        let opposite = match direction {
            Direction::Up => "down",
            Direction::Down => "up",
            _ => direction.name(),
        };
        let positive = length.trim_start_matches(['-', ' ']);
        let offer = format!("{opposite} {positive}{}", &rest[length.len()..]);
        return Err(LegError::Negative { text: clean, offer });
    }
    quantity::read_within::<Length>(length, &LENGTHS)?;
    Ok(Leg { direction, length: length_read, place: place.to_owned(), stretch })
}

/// `the roof` is `roof`.
fn article_off(place: &str) -> &str {
    match place.split_once(' ') {
        Some((article, place)) if article.eq_ignore_ascii_case("the") => place.trim_start(),
        _ => place,
    }
}

fn no_direction(leg: &str, word: &str, rest: &str) -> LegError {
    let lower = word.to_lowercase();
    // 14 ft up
    if lower.starts_with(|c: char| c.is_ascii_digit())
        && let Some((at, name)) = DIRECTIONS
            .iter()
            .filter_map(|(name, _)| Some((leg.to_lowercase().find(&format!(" {name}"))?, *name)))
            .max()
        && let (Some(length), Some(after)) = (leg.get(..at), leg.get(at + 1 + name.len()..))
    {
        return LegError::Direction { word: word.to_owned(), offer: Some(format!("{name} {length}{after}")) };
    }
    let known = OTHER_WORDS.iter().find(|(other, _)| *other == lower).map(|(_, name)| *name);
    let name = known.or_else(|| nearest(&lower, DIRECTIONS.iter().map(|(name, _)| *name)));
    LegError::Direction {
        word: word.to_owned(),
        offer: name.map(|name| format!("{name} {rest}").trim().to_owned()),
    }
}

/// The way from head to condenser. Liquid flows it backwards.
#[derive(Clone, Debug, PartialEq)]
pub struct Route {
    /// The legs from the head on; at least one. Of a route stated by run and lift, the legs made for it.
    pub legs: Vec<Located<Leg>>,
    /// Elbows as counted by the writer, where the route is stated by run, lift and elbows.
    pub elbows: Option<Located<u32>>,
    /// Whether the route was stated by run and lift, so that the legs are made.
    pub short_form: bool,
    /// Whether a discharge line loops above the condenser's inlet before it enters; where said.
    pub inverted_loop: Option<Located<bool>>,
    /// Whether a trap stands at the foot of a riser; where said.
    pub foot_trap: Option<Located<bool>>,
}

impl Route {
    /// Whether the top of a discharge riser is looped; it is, unless the file says no.
    #[must_use]
    pub fn has_inverted_loop(&self) -> bool {
        self.inverted_loop.is_none_or(|stated| stated.value)
    }

    /// Whether there is a trap at the foot of a riser; there is, unless the file says no.
    #[must_use]
    pub fn has_foot_trap(&self) -> bool {
        self.foot_trap.is_none_or(|stated| stated.value)
    }

    /// A route stated by its legs.
    pub(crate) fn from_legs(legs: Vec<Located<Leg>>) -> Self {
        Self { legs, elbows: None, short_form: false, inverted_loop: None, foot_trap: None }
    }

    /// A route stated by run, lift and elbows: half of the level part, the rise or fall, the other half.
    ///
    /// `run` and `lift` must be such that `|lift| <= run`; the caller has checked it.
    pub(crate) fn from_run(run: Located<Length>, lift: Located<Length>, elbows: Located<u32>) -> Self {
        let (run_m, lift_m) = (run.value.get::<meter>(), lift.value.get::<meter>());
        let level_m = run_m - lift_m.abs();
        let upright = if lift_m < 0.0 { Direction::Down } else { Direction::Up };
        let legs =
            [(Direction::Level, level_m / 2.0), (upright, lift_m.abs()), (Direction::Level, level_m / 2.0)]
                .into_iter()
                .filter(|(_, length_m)| *length_m > 0.0)
                .map(|(direction, length_m)| Located {
                    value: Leg {
                        direction,
                        length: Length::new::<meter>(length_m),
                        place: INDOORS.into(),
                        stretch: false,
                    },
                    span: run.span,
                })
                .collect();
        Self { elbows: Some(elbows), short_form: true, ..Self::from_legs(legs) }
    }

    /// Length of all legs.
    #[must_use]
    pub fn run(&self) -> Length {
        self.legs.iter().map(|leg| leg.value.length).sum()
    }

    /// Height of the far end above the near end; negative when the route falls.
    #[must_use]
    pub fn lift(&self) -> Length {
        self.legs.iter().map(|leg| leg.value.direction.rise() * leg.value.length).sum()
    }

    /// Elbows as stated, or else the changes of direction.
    #[must_use]
    pub fn turns(&self) -> u32 {
        let changes =
            self.legs.windows(2).filter(|pair| pair[0].value.direction != pair[1].value.direction).count();
        self.elbows.map_or(u32::try_from(changes).unwrap_or(u32::MAX), |elbows| elbows.value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::diagnose::Span;
    use physics::units::unit::length::foot;
    use proptest::prelude::*;

    fn here<T>(value: T) -> Located<T> {
        Located { value, span: Span { start: 0, end: 0 } }
    }

    #[test]
    fn reads_legs() {
        for (text, direction, feet, place, stretch) in [
            ("up 14 ft", Direction::Up, 14.0, INDOORS, false),
            ("north 38 ft in attic", Direction::North, 38.0, "attic", false),
            ("Up 6 ft on roof", Direction::Up, 6.0, "roof", false),
            ("up 6 ft on the roof", Direction::Up, 6.0, "roof", false),
            ("west 12' 6\" on roof", Direction::West, 12.5, "roof", false),
            ("level 6 in", Direction::Level, 0.5, INDOORS, false),
            ("level 6 in in attic", Direction::Level, 0.5, "attic", false),
            ("east 12 ft 6 in on roof", Direction::East, 12.5, "roof", false),
            ("north-east 3 ft", Direction::Northeast, 3.0, INDOORS, false),
            ("west 12 ft on roof stretch", Direction::West, 12.0, "roof", true),
            ("west 12 ft stretch", Direction::West, 12.0, INDOORS, true),
            ("down 12 ft indoors", Direction::Down, 12.0, INDOORS, false),
        ] {
            let leg = read_leg(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!(
                (leg.direction, leg.place.as_str(), leg.stretch),
                (direction, place, stretch),
                "{text}"
            );
            approx::assert_relative_eq!(leg.length.get::<foot>(), feet, max_relative = 1e-12);
        }
    }

    #[test]
    fn refuses_with_an_offer() {
        for (text, help) in [
            ("rise 14 ft", "write `up 14 ft`"),
            ("14 ft up", "write `up 14 ft`"),
            ("38 ft north in attic", "write `north 38 ft in attic`"),
            ("nort 5 ft", "write `north 5 ft`"),
            ("up -6 ft on roof", "write `down 6 ft on roof`"),
            ("up 6", "write `6 ft` or `6 m`"),
            ("up 5,5 m", "write a decimal point: `5.5 m`"),
        ] {
            assert_eq!(read_leg(text).unwrap_err().help(), help, "{text}");
        }
        for text in
            ["", "up", "up 0 ft", "up 2 km", "up 6 ft on", "up 6 ft on the flat roof", "up 6 ft stretchy"]
        {
            assert!(read_leg(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_route_sums_its_legs_and_counts_turns() {
        let legs = ["up 14 ft", "up 1 ft", "north 38 ft in attic", "down 6 ft on roof", "west 12 ft on roof"];
        let legs = legs.iter().map(|leg| here(read_leg(leg).unwrap())).collect();
        let mut route = Route::from_legs(legs);
        approx::assert_relative_eq!(route.run().get::<foot>(), 71.0, max_relative = 1e-12);
        approx::assert_relative_eq!(route.lift().get::<foot>(), 9.0, max_relative = 1e-12);
        assert_eq!(route.turns(), 3);
        assert!(
            route.has_inverted_loop() && route.has_foot_trap(),
            "as the trade pipes unless said otherwise"
        );
        (route.inverted_loop, route.foot_trap) = (Some(here(false)), Some(here(false)));
        assert!(!route.has_inverted_loop() && !route.has_foot_trap());
    }

    #[test]
    fn the_short_form_keeps_run_lift_and_elbows() {
        for (run, lift, legs) in [(70.0, 20.0, 3), (70.0, -20.0, 3), (20.0, 20.0, 1), (20.0, 0.0, 2)] {
            let made =
                Route::from_run(here(Length::new::<foot>(run)), here(Length::new::<foot>(lift)), here(4));
            approx::assert_relative_eq!(made.run().get::<foot>(), run, max_relative = 1e-12);
            approx::assert_relative_eq!(made.lift().get::<foot>(), lift, epsilon = 1e-12);
            assert_eq!((made.turns(), made.legs.len()), (4, legs));
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC*") {
            let _ = read_leg(&text).map_err(|error| error.help());
        }

        #[test]
        fn likely_legs_read_back(text in "(up|down|North|level|14) -?[0-9]{1,3}[.,]?[0-9]{0,2} ?(ft|m|in|'|°)( [0-9] in)?( in| on)?( roof| attic| é)?( stretch)?") {
            if let Ok(leg) = read_leg(&text) {
                prop_assert_eq!(read_leg(&leg.to_string()), Ok(leg));
            }
        }
    }
}
