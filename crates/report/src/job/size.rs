//! Tube sizes as people write them.
//!
//! Refrigeration tube is named by its outside diameter, plumbing tube by a nominal size that is 1/8 in less; so an
//! inch size must say `OD`. Metric sizes are outside diameters in every standard of copper tube. A size that a
//! spreadsheet turned into a date is recognised and the size that it probably was is named.

use super::quantity::{self, QuantityError, alternatives, nearest, plain};
use physics::units::{
    Length, OutsideDiameter, unit::length::inch, unit::length::meter, unit::length::millimeter,
};
use std::fmt;
use thiserror::Error;

/// A tube asked for by size.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeRequest {
    /// Outside diameter, between 3 mm and 160 mm.
    pub outside: OutsideDiameter,
    /// Wall, where stated: between 0.2 mm and 15 mm, and less than half the outside diameter.
    pub wall: Option<Length>,
    /// Standard, where stated, as written: `EN 12735`.
    pub standard: Option<String>,
    /// Coil or straight lengths, where stated.
    pub form: Option<TubeForm>,
    /// The text.
    pub as_written: String,
}

/// What a tube is delivered as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TubeForm {
    /// Soft coil.
    Coil,
    /// Straight lengths.
    Straight,
}

/// Words of a form, longest first; either form is none stated.
const FORMS: [(&str, Option<TubeForm>); 9] = [
    ("coil or straight", None),
    ("straight lengths", Some(TubeForm::Straight)),
    ("straight", Some(TubeForm::Straight)),
    ("soft coil", Some(TubeForm::Coil)),
    ("coils", Some(TubeForm::Coil)),
    ("coil", Some(TubeForm::Coil)),
    ("soft", Some(TubeForm::Coil)),
    ("drawn", Some(TubeForm::Straight)),
    ("hard", Some(TubeForm::Straight)),
];

/// What a line says about its tube.
#[derive(Clone, Debug, PartialEq)]
pub enum TubeRequest {
    /// The tool is to choose among the stocked tubes.
    Choose,
    /// This one.
    Size(SizeRequest),
}

/// A text that is no tube size. `Display` says what is wrong, [`help`](Self::help) what to write instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum SizeError {
    /// Nothing written.
    #[error("no tube size written")]
    Empty,
    /// A spreadsheet made a date of it.
    #[error("`{text}` is a date: a spreadsheet turned a tube size into it")]
    Date {
        /// The text.
        text: String,
        /// The sizes that it may have been.
        was: Vec<String>,
    },
    /// An inch size that does not say whether it is an outside diameter.
    #[error("`{text}` does not say whether it is the outside diameter")]
    NotOutside {
        /// The text.
        text: String,
        /// The same as an outside diameter.
        offer: String,
    },
    /// The plumber's nominal size.
    #[error("`{text}` is a nominal size; refrigerant lines are sized by outside diameter")]
    Nominal {
        /// The text.
        text: String,
        /// The outside diameter of that nominal size, where it is an inch size.
        means: Option<String>,
        /// The number read as an outside diameter.
        or: Option<String>,
    },
    /// A size without inch or millimetre.
    #[error("`{text}` has no unit")]
    NoUnit {
        /// The text.
        text: String,
        /// The size in inch and in millimetre, where they are sensible.
        offers: Vec<String>,
    },
    /// A diameter or wall that cannot be read.
    #[error("{0}")]
    Quantity(QuantityError),
    /// A wall that leaves no bore.
    #[error("in `{text}` the wall leaves no bore")]
    NoBore {
        /// The text.
        text: String,
    },
    /// Words that belong to no size.
    #[error("`{rest}` is no part of a tube size")]
    Unknown {
        /// The part that is not understood.
        rest: String,
    },
    /// Coil and straight lengths at once.
    #[error("`{text}` says both coil and straight")]
    TwoForms {
        /// The part that says so.
        text: String,
    },
    /// A slip in `choose`.
    #[error("`{text}` is no tube size")]
    NearlyChoose {
        /// The text.
        text: String,
    },
}

impl SizeError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        const SIZES: &str = "write `1/2 in OD`, `7/8 in OD wall 0.045 in` or `22 x 1 mm EN 12735`";
        match self {
            Self::Empty | Self::Unknown { .. } => SIZES.into(),
            Self::Date { was, .. } if was.is_empty() => {
                format!("{SIZES}; set the column to text before typing sizes")
            }
            Self::Date { was, .. } => {
                format!(
                    "it probably was {}; set the column to text before typing sizes",
                    alternatives(was.clone())
                )
            }
            Self::NotOutside { offer, .. } => {
                format!("write `{offer}`, if that is what you measure across the tube")
            }
            Self::Nominal { means: Some(means), or: Some(or), .. } => {
                format!(
                    "a plumber's nominal tube is 1/8 in more outside: write `{means}`, or `{or}` if you measured that"
                )
            }
            Self::Nominal { .. } => "write the outside diameter, such as `22 mm OD`".into(),
            Self::NoUnit { offers, .. } => format!("write {}", alternatives(offers.clone())),
            Self::Quantity(error) => error.help(),
            Self::NearlyChoose { .. } => "did you mean `choose`?".into(),
            Self::TwoForms { .. } => {
                "write one of them: a tube is delivered in coil or in straight lengths".into()
            }
            Self::NoBore { .. } => "check the wall: it is one side, not both".into(),
        }
    }
}

const DIAMETERS: quantity::Range =
    quantity::Range { least: 0.003, most: 0.160, says: "between 3 mm and 160 mm (1/8 in to 6 in)" };
const WALLS: quantity::Range =
    quantity::Range { least: 0.000_2, most: 0.015, says: "between 0.2 mm and 15 mm (0.008 in to 0.6 in)" };

/// Reads `choose`, or a tube size.
///
/// # Errors
/// As [`read`].
pub fn read_tube(text: &str) -> Result<TubeRequest, SizeError> {
    let clean = plain(text);
    if clean.eq_ignore_ascii_case("choose") {
        return Ok(TubeRequest::Choose);
    }
    if clean.starts_with(char::is_alphabetic) && nearest(&clean, ["choose"]).is_some() {
        return Err(SizeError::NearlyChoose { text: clean });
    }
    read(text).map(TubeRequest::Size)
}

/// Reads a tube size.
///
/// # Errors
/// [`SizeError`] for whatever has no single meaning.
///
/// ```
/// use report::job::size::{read, SizeError};
/// let size = read("7/8 in OD wall 0.045 in")?;
/// assert!((size.outside.get().get::<physics::units::unit::length::millimeter>() - 22.225).abs() < 1e-9);
/// assert!(matches!(read("1/2 in"), Err(SizeError::NotOutside { .. })));
/// # Ok::<(), SizeError>(())
/// ```
pub fn read(text: &str) -> Result<SizeRequest, SizeError> {
    let clean = plain(text);
    if clean.is_empty() {
        return Err(SizeError::Empty);
    }
    if let Some(was) = date(&clean) {
        return Err(SizeError::Date { text: clean, was });
    }
    let lower = clean.to_ascii_lowercase();
    if let Some(nominal) = lower.strip_prefix("dn").map(str::trim)
        && nominal.starts_with(|c: char| c.is_ascii_digit())
    {
        return Err(SizeError::Nominal { text: clean, means: None, or: None });
    }
    let (diameter, end) = quantity::number(&lower).map_err(|error| match error {
        QuantityError::NoNumber { .. } => SizeError::Unknown { rest: clean.clone() },
        other => SizeError::Quantity(other),
    })?;
    let number = clean[..end].trim().to_owned();
    let mut rest = Words(&lower[end..]);
    let unit = rest.unit();
    let mut outside_said =
        rest.word(&["od", "o.d.", "o/d", "outside diameter", "outside dia", "outside", "ø"]);
    if rest.word(&["nominal", "nom.", "nom", "nps", "id", "i.d."]) {
        let inches = unit != Some(Unit::Millimetre);
        return Err(SizeError::Nominal {
            means: inches.then(|| format!("{} in OD", inch_fraction(diameter + 0.125))),
            or: inches.then(|| format!("{number} in OD")),
            text: clean,
        });
    }
    let form = rest.form();
    let mut wall = None;
    let mut shared_unit = None;
    if rest.word(&["x", "*", "wall", "w.t.", "wt"]) || rest.comma_before_number() {
        rest.word(&["wall", "of"]);
        let (thickness, end) = quantity::number(rest.0).map_err(SizeError::Quantity)?;
        let written = rest.0[..end].to_owned();
        rest = Words(&rest.0[end..]);
        shared_unit = rest.unit();
        rest.word(&["wall thickness", "wall"]);
        let Some(wall_unit) = shared_unit.or(unit) else {
            return Err(SizeError::NoUnit {
                offers: vec![format!("{number} x {written} mm"), format!("{number} x {written} in")],
                text: clean,
            });
        };
        // "22 x 1 mm": a size with its wall is never a plumber's nominal one.
        outside_said = true;
        wall = Some((
            Length::new::<meter>(thickness * wall_unit.metres()),
            format!("{written} {}", wall_unit.symbol()),
        ));
    }
    let Some(unit) = unit.or(shared_unit) else {
        return Err(no_unit(clean, &number, diameter, outside_said));
    };
    let (form, standard) = product(&clean[clean.len() - rest.0.len()..], form)?;
    if unit == Unit::Inch && !outside_said {
        return Err(SizeError::NotOutside { offer: format!("{number} in OD"), text: clean });
    }
    let outside = Length::new::<meter>(diameter * unit.metres());
    let within = |length: Length, range: &quantity::Range, text: String| {
        if (range.least..=range.most).contains(&length.get::<meter>()) {
            Ok(())
        } else {
            Err(SizeError::Quantity(QuantityError::OutOfRange { text, says: range.says, offer: None }))
        }
    };
    within(outside, &DIAMETERS, format!("{number} {}", unit.symbol()))?;
    if let Some((thickness, written)) = &wall {
        within(*thickness, &WALLS, written.clone())?;
        if 2.0 * *thickness >= outside {
            return Err(SizeError::NoBore { text: clean });
        }
    }
    Ok(SizeRequest {
        outside: OutsideDiameter::new(outside),
        wall: wall.map(|(thickness, _)| thickness),
        standard,
        form,
        as_written: text.trim().to_owned(),
    })
}

fn no_unit(text: String, number: &str, diameter: f64, outside_said: bool) -> SizeError {
    let mut offers = vec![];
    if diameter <= 6.0 {
        offers.push(format!("{number} in OD"));
    }
    if diameter >= 3.0 && !number.contains('/') {
        offers.push(format!("{number} mm OD"));
    }
    if offers.is_empty() && !outside_said {
        return SizeError::Unknown { rest: text };
    }
    SizeError::NoUnit { text, offers }
}

/// Writes a size so that [`read`] gives the same diameter, wall, standard and form back.
impl fmt::Display for SizeRequest {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} m OD", self.outside.get().get::<meter>())?;
        if let Some(wall) = self.wall {
            write!(formatter, " wall {} m", wall.get::<meter>())?;
        }
        if let Some(standard) = &self.standard {
            write!(formatter, " {standard}")?;
        }
        match self.form {
            Some(TubeForm::Coil) => formatter.write_str(" coil"),
            Some(TubeForm::Straight) => formatter.write_str(" straight"),
            None => Ok(()),
        }
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Inch,
    Millimetre,
    Centimetre,
    Metre,
}

impl Unit {
    fn metres(self) -> f64 {
        match self {
            Self::Inch => Length::new::<inch>(1.0).get::<meter>(),
            Self::Millimetre => Length::new::<millimeter>(1.0).get::<meter>(),
            Self::Centimetre => 0.01,
            Self::Metre => 1.0,
        }
    }

    fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
        }
    }
}

/// The words that are left of a size.
struct Words<'t>(&'t str);

impl Words<'_> {
    /// Takes one of the words off the front, if it stands there as a whole word.
    fn word(&mut self, words: &[&str]) -> bool {
        let trimmed = self.0.trim_start();
        for word in words {
            if let Some(after) = trimmed.strip_prefix(word)
                && !(word.ends_with(char::is_alphabetic) && after.starts_with(char::is_alphabetic))
            {
                self.0 = after.trim_start();
                return true;
            }
        }
        false
    }

    /// Takes a comma that parts the wall from the diameter; one before a word parts the standard from both.
    fn comma_before_number(&mut self) -> bool {
        let number = self.0.trim_start().strip_prefix(',').map(str::trim_start);
        let number = number
            .filter(|after| after.starts_with(|c: char| !c.is_alphabetic()) || after.starts_with("wall"));
        number.inspect(|after| self.0 = after).is_some()
    }

    fn unit(&mut self) -> Option<Unit> {
        for (words, unit) in [
            (&["inches", "inch", "in.", "in", "\"", "''"][..], Unit::Inch),
            (&["mm", "millimetres", "millimeters", "millimetre", "millimeter"], Unit::Millimetre),
            (&["cm"], Unit::Centimetre),
            (&["m"], Unit::Metre),
        ] {
            if self.word(words) {
                return Some(unit);
            }
        }
        None
    }

    /// Takes the word of a form off the front.
    fn form(&mut self) -> Option<TubeForm> {
        FORMS.iter().find(|(word, _)| self.word(&[word]))?.1
    }
}

/// Form and standard out of what stands behind the size: `coil`, `ASTM B280`, `ASTM B280 coil`, `coil, ASTM B280`.
///
/// What is left without the form must be the name of a standard: it begins with the letters of a body or with `type`.
fn product(text: &str, form: Option<TubeForm>) -> Result<(Option<TubeForm>, Option<String>), SizeError> {
    const BODIES: &[&str] = &["en", "astm", "b", "type", "iso", "bs", "din", "jis", "as", "gb", "acr"];
    const BETWEEN: [char; 3] = [' ', ',', '\t'];
    let rest = text.trim_matches(BETWEEN);
    let mut rest =
        rest.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')).unwrap_or(rest).trim_matches(BETWEEN);
    let mut said: Vec<TubeForm> = form.into_iter().collect();
    let lower = rest.to_ascii_lowercase();
    if let Some((word, at_front)) = FORMS.iter().find(|(word, _)| begins_with_word(&lower, word)) {
        said.extend(at_front);
        rest = rest[word.len()..].trim_matches(BETWEEN);
    }
    let lower = rest.to_ascii_lowercase();
    if let Some((word, at_end)) = FORMS.iter().find(|(word, _)| ends_with_word(&lower, word)) {
        said.extend(at_end);
        rest = rest[..rest.len() - word.len()].trim_matches(BETWEEN);
    }
    let form = said.first().copied();
    if said.iter().any(|other| Some(*other) != form) {
        return Err(SizeError::TwoForms { text: text.trim().to_owned() });
    }
    if rest.is_empty() {
        return Ok((form, None));
    }
    let letters: String = rest.to_ascii_lowercase().chars().take_while(char::is_ascii_alphabetic).collect();
    let ordinary = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '.' | '/' | ':' | ',');
    if BODIES.contains(&letters.as_str()) && rest.chars().count() <= 60 && rest.chars().all(ordinary) {
        return Ok((form, Some(rest.to_owned())));
    }
    Err(SizeError::Unknown { rest: rest.to_owned() })
}

fn begins_with_word(text: &str, word: &str) -> bool {
    text.strip_prefix(word).is_some_and(|after| !after.starts_with(char::is_alphanumeric))
}

fn ends_with_word(text: &str, word: &str) -> bool {
    text.strip_suffix(word).is_some_and(|before| !before.ends_with(char::is_alphanumeric))
}

/// `1.125` as `1-1/8`, in the thirty-seconds of an inch that tube comes in; decimals where it is none.
fn inch_fraction(inches: f64) -> String {
    let parts = inches * 32.0;
    if (parts - parts.round()).abs() > 1e-6 || !(0.0..1e4).contains(&parts) {
        return format!("{inches}");
    }
    // In range by the line above.
    let (mut above, mut below) = (parts.round() as u32, 32);
    while above.is_multiple_of(2) && below > 1 {
        above /= 2;
        below /= 2;
    }
    match (above / below, above % below) {
        (whole, 0) => whole.to_string(),
        (0, part) => format!("{part}/{below}"),
        (whole, part) => format!("{whole}-{part}/{below}"),
    }
}

/// The sizes that a cell may have been before a spreadsheet made a date of it, or `None` when it is no date. A plain day
/// count of a spreadsheet (`45293`) is one only where `counted`, since it looks like a number.
#[must_use]
pub fn was_date(text: &str, counted: bool) -> Option<Vec<String>> {
    let clean = plain(text);
    date(&clean).or_else(|| {
        // Days since 30 December 1899, from 1990 to 2064.
        let days: i64 = clean.parse().ok().filter(|days| counted && (32_874..60_000).contains(days))?;
        let (year, month, day) = civil(days - 25_569);
        date(&format!("{year}-{month:02}-{day:02}")).filter(|sizes| !sizes.is_empty())
    })
}

/// Year, month and day of a day counted from 1 January 1970 (the usual count of days in months from March).
fn civil(days: i64) -> (i64, i64, i64) {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * from_march + 2) / 5 + 1;
    let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
    (year + era * 400 + i64::from(month <= 2), month, day)
}

/// The sizes that a date may have been, or `None` when the text is no date.
///
/// `1/2` becomes 2 January or 1 February, `1-1/8` becomes 1 January 2008, by the custom of the country.
fn date(text: &str) -> Option<Vec<String>> {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let lower = text.to_ascii_lowercase();
    // A time of day may follow: 2001-08-07 00:00:00
    let day = match lower.split_once(['t', ' ']) {
        Some((day, time)) if time.contains(':') && day.len() >= 6 => day,
        _ => &lower,
    };
    let parts: Vec<&str> = day.split(['-', '/', '.', ' ', ',']).filter(|part| !part.is_empty()).collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    let month_named = |part: &str| {
        let name = part.get(..3)?;
        let elsewhere = [("mrz", 2), ("mä", 2), ("mai", 4), ("okt", 9), ("dez", 11)];
        let month = MONTHS.iter().position(|month| *month == name);
        let month =
            month.or_else(|| elsewhere.iter().find(|(word, _)| *word == name).map(|(_, month)| *month))?;
        part.chars().all(char::is_alphabetic).then_some(month as u32 + 1)
    };
    let numeric = |part: &str| {
        (part.bytes().all(|b| b.is_ascii_digit()) && part.len() <= 4).then(|| part.parse().ok())?
    };
    let named = parts.iter().position(|part| month_named(part).is_some());
    let mut numbers: Vec<u32> = vec![];
    for (at, part) in parts.iter().enumerate() {
        if Some(at) != named {
            numbers.push(numeric(part)?);
        }
    }
    let (first, second, year) = match (named.and_then(|at| month_named(parts[at])), numbers.as_slice()) {
        (Some(month), [day]) => (month, *day, None),
        (Some(month), [year, day]) if *year > 31 => (month, *day, Some(*year)),
        (Some(month), [day, year]) => (month, *day, Some(*year)),
        (None, [year, month, day]) if *year > 31 => (*month, *day, Some(*year)),
        // Three plain numbers are a date only with a year of four digits; 1-1/8 is a size.
        (None, [first, second, year]) if *year > 1000 => (*first, *second, Some(*year)),
        _ => return None,
    };
    let sixteenths =
        |above: u32, below: u32| above < below && above % 2 == 1 && [2, 4, 8, 16].contains(&below);
    let mut sizes = vec![];
    for (above, below) in [(first, second), (second, first)] {
        if sixteenths(above, below) {
            sizes.push(format!("{above}/{below} in OD"));
        }
    }
    if let Some(year) = year {
        for (whole, above) in [(first, second), (second, first)] {
            let size = format!("{whole}-{above}/{} in OD", year % 100);
            if (1..=6).contains(&whole) && sixteenths(above, year % 100) && !sizes.contains(&size) {
                sizes.push(size);
            }
        }
    }
    Some(sizes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mm(length: Length) -> f64 {
        length.get::<millimeter>()
    }

    #[test]
    fn reads_every_unambiguous_spelling() {
        for (text, outside, wall, standard) in [
            ("1/2 in OD", 12.7, None, None),
            ("1-1/8 in OD", 28.575, None, None),
            ("1 1/8\" OD", 28.575, None, None),
            ("1⅛″ O.D.", 28.575, None, None),
            ("⅞ in OD", 22.225, None, None),
            ("0.5 in OD", 12.7, None, None),
            ("1/2\"OD", 12.7, None, None),
            ("5/8 inch outside diameter", 15.875, None, None),
            ("22 mm OD", 22.0, None, None),
            ("22 mm", 22.0, None, None),
            ("22 x 1 mm", 22.0, Some(1.0), None),
            ("22x1mm", 22.0, Some(1.0), None),
            ("22 × 1.0 mm", 22.0, Some(1.0), None),
            ("22 mm x 1 mm", 22.0, Some(1.0), None),
            ("22 x 1 mm EN 12735", 22.0, Some(1.0), Some("EN 12735")),
            ("22 x 1 mm (EN 12735-1)", 22.0, Some(1.0), Some("EN 12735-1")),
            ("7/8 in OD wall 0.045 in", 22.225, Some(1.143), None),
            ("7/8 in OD x 0.045 in wall", 22.225, Some(1.143), None),
            ("7/8 in OD wall .045", 22.225, Some(1.143), None),
            ("1/2 in OD ASTM B280 coil", 12.7, None, Some("ASTM B280")),
            ("5/8 in OD type L", 15.875, None, Some("type L")),
        ] {
            let size = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            approx::assert_relative_eq!(mm(size.outside.get()), outside, max_relative = 1e-12);
            assert_eq!(size.wall.map(|wall| (mm(wall) * 1e6).round() / 1e6), wall, "{text}");
            assert_eq!(size.standard.as_deref(), standard, "{text}");
            assert_eq!(size.as_written, text);
        }
        assert_eq!(read_tube("Choose"), Ok(TubeRequest::Choose));
    }

    #[test]
    fn reads_the_form_wherever_people_put_it() {
        let (coil, straight) = (Some(TubeForm::Coil), Some(TubeForm::Straight));
        for (text, form, standard, walled) in [
            ("1/2 in OD coil", coil, None, false),
            ("1/2 in OD Straight", straight, None, false),
            ("1/2 in OD, soft coil", coil, None, false),
            ("1/2 in OD hard", straight, None, false),
            ("1/2 in OD ASTM B280 coil", coil, Some("ASTM B280"), false),
            ("1/2 in OD coil ASTM B280", coil, Some("ASTM B280"), false),
            ("1/2 in OD (ASTM B280, straight)", straight, Some("ASTM B280"), false),
            ("1/2 in OD coil wall 0.032 in", coil, None, true),
            ("1/2 in OD wall 0.032 in coil", coil, None, true),
            ("1/2 in OD wall 0.032 in, ASTM B280 coil", coil, Some("ASTM B280"), true),
            ("22 x 1 mm EN 12735-1 coil or straight", None, Some("EN 12735-1"), true),
            ("1/2 in OD coil or straight", None, None, false),
            ("22 x 1 mm coil, coil", coil, None, true),
        ] {
            let size = read(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert_eq!((size.form, size.standard.as_deref()), (form, standard), "{text}");
            assert_eq!(size.wall.is_some(), walled, "{text}");
        }
        assert!(matches!(read("1/2 in OD coil straight"), Err(SizeError::TwoForms { .. })));
        for text in ["1/2 in OD coiled", "1/2 in OD coil banana", "1/2 in OD recoil"] {
            assert!(matches!(read(text), Err(SizeError::Unknown { .. })), "{text}");
        }
    }

    #[test]
    fn offers_both_readings_of_a_nominal_size() {
        let error = read("1/2 in nominal").unwrap_err();
        assert!(
            matches!(&error, SizeError::Nominal { means: Some(means), or: Some(or), .. } if means == "5/8 in OD" && or == "1/2 in OD")
        );
        assert!(
            matches!(read("1 in nom"), Err(SizeError::Nominal { means: Some(means), .. }) if means == "1-1/8 in OD")
        );
        assert!(matches!(read("DN 20"), Err(SizeError::Nominal { .. })));
        assert!(matches!(read("1/2 in"), Err(SizeError::NotOutside { offer, .. }) if offer == "1/2 in OD"));
        assert!(matches!(read("1/2"), Err(SizeError::NoUnit { offers, .. }) if offers == ["1/2 in OD"]));
        assert!(matches!(read("22"), Err(SizeError::NoUnit { offers, .. }) if offers == ["22 mm OD"]));
        assert!(matches!(read("22 x 1"), Err(SizeError::NoUnit { .. })));
    }

    #[test]
    fn names_the_size_that_a_date_was() {
        for (text, was) in [
            ("1-Feb", &["1/2 in OD"][..]),
            ("2-Jan", &["1/2 in OD"]),
            ("7-Aug", &["7/8 in OD"]),
            ("Aug-07", &["7/8 in OD"]),
            ("Jul 8", &["7/8 in OD"]),
            ("3. August", &["3/8 in OD"]),
            ("7-Aug-26", &["7/8 in OD"]),
            ("2001-08-07", &["7/8 in OD"]),
            ("2001-08-07 00:00:00", &["7/8 in OD"]),
            ("2001-08-07T00:00:00", &["7/8 in OD"]),
            ("8/7/2026", &["7/8 in OD"]),
            ("07.08.2026", &["7/8 in OD"]),
            ("2008-01-03", &["1-3/8 in OD", "3-1/8 in OD"]),
            ("1/1/2008", &["1-1/8 in OD"]),
            ("30-Nov", &[]),
        ] {
            assert!(
                matches!(read(text), Err(SizeError::Date { was: found, .. }) if found == was),
                "{text}: {:?}",
                read(text)
            );
        }
        for text in ["1-1/8 in OD", "1 1/8 in OD", "1.125 in OD"] {
            assert!(read(text).is_ok(), "{text}");
        }
    }

    #[test]
    fn refuses_what_is_no_tube() {
        for text in [
            "22 x 1 mm (EN1 mm 2(EN 1)  )",
            "",
            "in OD",
            "0 in OD",
            "-1/2 in OD",
            "900 mm OD",
            "22 x 12 mm",
            "22 x 0.01 mm",
            "1/2 in OD banana",
            "12,7 mm",
            "x",
            "22 x mm",
            "1/0 in OD",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn stray_commas_and_spaces_in_brackets_are_no_part_of_a_standard() {
        for text in [
            "22 x 1 mm (EN 12735,   )",
            "22 x 1 mm ( , EN 12735)",
            "22 x 1 mm, EN 12735 ,",
            "22 x 1 mm (EN 12735, coil, )",
        ] {
            let size = read(text).unwrap();
            assert_eq!(size.standard.as_deref(), Some("EN 12735"), "{text}");
            let again = read(&size.to_string()).unwrap();
            assert_eq!((again.standard, again.form), (size.standard, size.form), "{text}");
        }
    }

    #[test]
    fn fractions_of_an_inch_are_written_as_the_trade_does() {
        for (inches, text) in [(0.5, "1/2"), (1.125, "1-1/8"), (2.0, "2"), (0.31, "0.31")] {
            assert_eq!(inch_fraction(inches), text);
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC*") {
            let _ = read_tube(&text).map_err(|error| error.help());
        }

        #[test]
        fn what_is_written_reads_back(text in "[0-9]{0,2}[ -]?[0-9]{0,2}[/.]?[0-9]{0,3} ?(in|\"|mm|) ?(OD|nominal|)( x | wall )?[0-9.]{0,5} ?(mm|in|)( EN 12735| type L| coil|)( straight| coil|)") {
            match read(&text) {
                Ok(size) => {
                    let back = read(&size.to_string()).unwrap();
                    prop_assert_eq!(SizeRequest { as_written: size.as_written.clone(), ..back }, size);
                }
                Err(error) => prop_assert!(!error.help().is_empty()),
            }
        }
    }
}
