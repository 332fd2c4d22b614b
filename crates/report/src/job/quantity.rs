//! Quantities as people write them: a number, or two, with a unit.
//!
//! What can be understood in one way only is read: `18 000 Btu/h`, `18,000 Btu/h`, `12' 6"`, `8 lb 6 oz`, `1-1/2 in`,
//! `½ in`, `60 %`, `−10 ºF`. What can be understood in two ways is refused with both readings offered: a bare `psi`
//! where a pressure is meant, `1,5 m`, a number without a unit.
//!
//! Each quantity has one [`Kind`]: a table of units and of the spellings people use, in [`kinds`].

pub mod kinds;

use kinds::*;
use physics::units::{
    AbsolutePressure, Frequency, GaugePressure, HeatTransfer, Length, LinearMassDensity, Mass, MassDensity,
    MassRate, Power, Pressure, Ratio, TemperatureInterval, ThermalConductivity, ThermodynamicTemperature,
    Time, Velocity, Volume, VolumeRate, unit,
};
use std::fmt::Write as _;
use thiserror::Error;

/// A unit and the spellings it is known by.
#[derive(Debug)]
pub struct Unit {
    /// How this tool writes it.
    pub symbol: &'static str,
    /// How people write it, without spaces and points. Lower-case ones match in any case, others exactly.
    spellings: &'static [&'static str],
    /// SI value = (number + `offset`) x `factor`.
    offset: f64,
    factor: f64,
}

/// Something people write that has no single meaning for a quantity, and what they may mean (`{n}` is the number).
#[derive(Debug)]
struct Advice {
    spellings: &'static [&'static str],
    why: &'static str,
    offers: &'static [&'static str],
}

/// A quantity: its name, its units, and what to say when a value is no such quantity.
#[derive(Debug)]
pub struct Kind {
    /// Name with its article, `a length`.
    pub name: &'static str,
    /// The units in the words of a message.
    pub accepted: &'static str,
    /// The SI base unit first.
    pub units: &'static [Unit],
    /// Two units to offer for a number without one.
    offers: &'static [&'static str],
    advice: &'static [Advice],
    /// Big and small unit that may stand together, and how many small ones make a big one: `12 ft 6 in`.
    pair: Option<(&'static str, &'static str, f64)>,
}

impl PartialEq for Kind {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// A text that is no such quantity. `Display` says what is wrong, [`help`](Self::help) what to write instead.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum QuantityError {
    /// Nothing written.
    #[error("nothing written where {} belongs", kind.name)]
    Empty {
        /// What was expected.
        kind: &'static Kind,
    },
    /// The text does not begin with a number.
    #[error("`{text}` does not begin with a number; {} is wanted", kind.name)]
    NoNumber {
        /// What was expected.
        kind: &'static Kind,
        /// The text.
        text: String,
    },
    /// Infinity, not-a-number, or too large to hold.
    #[error("`{text}` is no finite number")]
    NotFinite {
        /// The text.
        text: String,
    },
    /// A comma that can only be a decimal one.
    #[error("`{text}` has a decimal comma")]
    DecimalComma {
        /// The text.
        text: String,
        /// The same with a point.
        offer: String,
    },
    /// A number that cannot be read.
    #[error("`{text}` cannot be read: {why}")]
    Malformed {
        /// The text.
        text: String,
        /// What is wrong with it.
        why: &'static str,
        /// What to write instead, where known.
        offer: Option<String>,
    },
    /// Two values where one belongs.
    #[error("`{text}` gives more than one value")]
    SeveralValues {
        /// The text.
        text: String,
    },
    /// A number without a unit.
    #[error("`{number}` has no unit; {} is wanted", kind.name)]
    NoUnit {
        /// What was expected.
        kind: &'static Kind,
        /// The number.
        number: String,
    },
    /// A unit that is unknown, or known for another quantity.
    #[error("`{unit}` {}", match measures { Some(other) => format!("measures {other}; {} is wanted", kind.name), None => format!("is no unit of {}", kind.name.trim_start_matches("a ")) })]
    UnknownUnit {
        /// What was expected.
        kind: &'static Kind,
        /// The unit as written.
        unit: String,
        /// The known unit whose spelling is nearest.
        nearest: Option<&'static str>,
        /// The quantity that this unit does measure.
        measures: Option<&'static str>,
        /// The number before it.
        number: String,
    },
    /// Understood in more than one way, or a near miss with an obvious cure.
    #[error("`{text}`: {why}")]
    Ambiguous {
        /// The text.
        text: String,
        /// The open question.
        why: &'static str,
        /// What may be meant.
        offers: Vec<String>,
    },
    /// Outside the range that makes sense for the key.
    #[error("`{text}` is out of range: it must lie {says}")]
    OutOfRange {
        /// The text.
        text: String,
        /// The range.
        says: &'static str,
        /// A likely intended text, where there is one.
        offer: Option<String>,
    },
}

impl QuantityError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Empty { kind } | Self::NoNumber { kind, .. } => {
                format!("write a number and a unit ({})", kind.accepted)
            }
            Self::NotFinite { .. } => "write an ordinary number with its unit".into(),
            Self::DecimalComma { offer, .. } => format!("write a decimal point: `{offer}`"),
            Self::Malformed { offer: Some(offer), .. } => format!("write `{offer}`"),
            Self::Malformed { offer: None, .. } => {
                "write one number with its unit, such as `12.5 ft` or `12 ft 6 in`".into()
            }
            Self::SeveralValues { .. } => "write the one value to size for".into(),
            Self::NoUnit { kind, number } => {
                let offers = kind.offers.iter().map(|unit| format!("{number} {unit}"));
                format!("write {}", alternatives(offers))
            }
            Self::UnknownUnit { kind, nearest, number, .. } => match nearest {
                Some(unit) => format!("did you mean `{number} {unit}`? Known units: {}", kind.accepted),
                None => format!("known units: {}", kind.accepted),
            },
            Self::Ambiguous { offers, .. } => format!("write {}", alternatives(offers.iter().cloned())),
            Self::OutOfRange { offer: Some(offer), .. } => format!("did you mean `{offer}`?"),
            Self::OutOfRange { offer: None, .. } => "check the number and its unit".into(),
        }
    }
}

/// `` `a` ``, `` `a` or `b` ``, `` `a`, `b` or `c` ``.
pub(crate) fn alternatives(offers: impl IntoIterator<Item = String>) -> String {
    let mut quoted: Vec<String> = offers.into_iter().map(|offer| format!("`{}`", offer.trim())).collect();
    match quoted.pop() {
        None => String::new(),
        Some(last) if quoted.is_empty() => last,
        Some(last) => format!("{} or {last}", quoted.join(", ")),
    }
}

/// The name among `known` that is most like `wrong`, if any is like it at all.
pub(crate) fn nearest<'k>(wrong: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let wrong = wrong.to_lowercase();
    known
        .into_iter()
        .map(|name| (strsim::jaro_winkler(&wrong, &name.to_lowercase()), name))
        .filter(|(likeness, _)| *likeness > 0.78)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, name)| name)
}

/// Brings the many characters that mean the same to one: spaces, minus signs, primes, degree signs, fractions.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        let fraction = match character {
            '½' => "1/2",
            '¼' => "1/4",
            '¾' => "3/4",
            '⅛' => "1/8",
            '⅜' => "3/8",
            '⅝' => "5/8",
            '⅞' => "7/8",
            '⅓' => "1/3",
            '⅔' => "2/3",
            _ => "",
        };
        if !fraction.is_empty() {
            if out.ends_with(|last: char| last.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(fraction);
            continue;
        }
        match character {
            '\u{2212}' | '\u{2010}'..='\u{2015}' | '\u{fe63}' | '\u{ff0d}' => out.push('-'),
            '\u{2032}' | '\u{2019}' | '\u{2018}' | '\u{00b4}' => out.push('\''),
            '\u{2033}' | '\u{201c}' | '\u{201d}' => out.push('"'),
            'º' | '˚' => out.push('°'),
            '℃' => out.push_str("°C"),
            '℉' => out.push_str("°F"),
            '\u{2044}' | '\u{2215}' => out.push('/'),
            '²' => out.push('2'),
            '³' => out.push('3'),
            '×' | '✕' => out.push('x'),
            // Zero-width marks come along when text is copied from a web page.
            '\u{200b}' | '\u{2060}' | '\u{feff}' => {}
            _ if character.is_whitespace() => out.push(' '),
            _ => out.push(character),
        }
    }
    out.trim().to_owned()
}

/// Reads the number that `text` (already [`plain`]) begins with; gives its value and length in bytes.
pub(crate) fn number(text: &str) -> Result<(f64, usize), QuantityError> {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let digits = |mut at: usize| {
        let from = at;
        while digit(at) {
            at += 1;
        }
        at - from
    };
    let malformed = |why| QuantityError::Malformed { text: text.to_owned(), why, offer: None };
    let mut at = 0;
    let sign = match bytes.first() {
        Some(b'-') => -1.0,
        _ => 1.0,
    };
    if matches!(bytes.first(), Some(b'-' | b'+')) {
        at += 1;
        while bytes.get(at) == Some(&b' ') {
            at += 1;
        }
    }
    let lower = text.get(at..).unwrap_or_default().to_ascii_lowercase();
    if lower.starts_with("inf") || lower.starts_with("nan") || lower.starts_with('∞') {
        return Err(QuantityError::NotFinite { text: text.to_owned() });
    }
    let from = at;
    // 3/8
    if let Some((value, end)) = fraction(text, at)? {
        return Ok((sign * value, end));
    }
    // Digits with separators: 18,000  18 000  1.5  .5  1_000
    let mut plain_digits = true;
    loop {
        match bytes.get(at) {
            Some(b'0'..=b'9') => at += 1,
            Some(b'.' | b',' | b'_') if digit(at + 1) => {
                plain_digits = false;
                at += 1;
            }
            Some(b' ')
                if at > from
                    && digits(at + 1) == 3
                    && bytes.get(at + 4) != Some(&b'/')
                    && text[from..at].split(' ').all(|group| group.bytes().all(|b| b.is_ascii_digit()))
                    && text[from..at].split(' ').next().is_some_and(|first| first.len() <= 3) =>
            {
                plain_digits = false;
                at += 4;
            }
            _ => break,
        }
    }
    if at == from || !bytes[from..at].iter().any(u8::is_ascii_digit) {
        return Err(QuantityError::NoNumber { kind: &RATIO, text: text.to_owned() });
    }
    let written = &text[from..at];
    // 1 1/2  1-1/2
    if plain_digits {
        let gap = bytes[at..].iter().take_while(|b| **b == b' ').count();
        let hyphen = usize::from(bytes.get(at + gap) == Some(&b'-'));
        if gap + hyphen > 0
            && let Some((part, end)) = fraction(text, at + gap + hyphen)?
        {
            let whole: f64 = written.parse().map_err(|_| malformed("the whole number is unreadable"))?;
            return if part < 1.0 {
                Ok((sign * (whole + part), end))
            } else {
                Err(malformed("the fraction after the whole number is not less than one"))
            };
        }
    }
    let ungrouped = ungroup(written, text)?;
    if let Some(b'e' | b'E') = bytes.get(at) {
        let signed = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
        let exponent = digits(at + 1 + signed);
        if exponent > 0 {
            let end = at + 1 + signed + exponent;
            let value: f64 = format!("{ungrouped}{}", &text[at..end])
                .parse()
                .map_err(|_| malformed("the power of ten is unreadable"))?;
            return finite(sign * value, text).map(|value| (value, end));
        }
    }
    let value: f64 = ungrouped.parse().map_err(|_| malformed("the number is unreadable"))?;
    finite(sign * value, text).map(|value| (value, at))
}

fn finite(value: f64, text: &str) -> Result<f64, QuantityError> {
    if value.is_finite() { Ok(value) } else { Err(QuantityError::NotFinite { text: shortened(text) }) }
}

pub(super) fn shortened(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    text.chars().take(37).chain("...".chars()).collect()
}

/// A fraction `3/8` at byte `at`.
fn fraction(text: &str, at: usize) -> Result<Option<(f64, usize)>, QuantityError> {
    let bytes = text.as_bytes();
    let count = |from: usize| {
        bytes.get(from..).map_or(0, |rest| rest.iter().take_while(|b| b.is_ascii_digit()).count())
    };
    let above = count(at);
    let slash = at + above;
    if above == 0 || bytes.get(slash) != Some(&b'/') {
        return Ok(None);
    }
    let below = count(slash + 1);
    if below == 0 {
        return Ok(None);
    }
    let end = slash + 1 + below;
    let malformed = |why| QuantityError::Malformed { text: shortened(text), why, offer: None };
    let (numerator, denominator) = (&text[at..slash], &text[slash + 1..end]);
    let (Ok(numerator), Ok(denominator)) = (numerator.parse::<u32>(), denominator.parse::<u32>()) else {
        return Err(malformed("the fraction has too many digits"));
    };
    if denominator == 0 {
        return Err(malformed("the fraction divides by zero"));
    }
    Ok(Some((f64::from(numerator) / f64::from(denominator), end)))
}

/// Takes the separators of thousands out, or says that a comma is a decimal one. Grouping decides: `18,000` is
/// eighteen thousand, `1,5` and `0,500` are not grouped in threes.
fn ungroup(written: &str, text: &str) -> Result<String, QuantityError> {
    let grouped = |groups: &str, separator: char| {
        let mut parts = groups.split(separator);
        parts.next().is_some_and(|first| (1..=3).contains(&first.len()) && !first.starts_with('0'))
            && parts.all(|group| group.len() == 3)
    };
    let offer = |number: String| text.replacen(written, &number, 1);
    let bare: String = written.chars().filter(|c| !matches!(c, ' ' | '_')).collect();
    let (commas, points) = (bare.matches(',').count(), bare.matches('.').count());
    if commas == 0 {
        return match points {
            0 | 1 => Ok(bare),
            _ => Err(QuantityError::Malformed {
                text: shortened(text),
                why: "more than one decimal point",
                offer: grouped(&bare, '.').then(|| offer(bare.replace('.', ""))),
            }),
        };
    }
    let (whole, decimals) = bare.split_once('.').unwrap_or((&bare, ""));
    if grouped(whole, ',') && !decimals.contains([',', '.']) {
        return Ok(bare.replace(',', ""));
    }
    if commas == 1 {
        let number = bare.replace('.', "").replace(',', ".");
        return Err(QuantityError::DecimalComma { text: shortened(text), offer: shortened(&offer(number)) });
    }
    Err(QuantityError::Malformed {
        text: shortened(text),
        why: "the commas do not group the digits in threes",
        offer: None,
    })
}

impl Kind {
    fn unit(&self, written: &str) -> Option<&'static Unit> {
        let lower = written.to_lowercase();
        self.units.iter().find(|unit| unit.spellings.iter().any(|known| *known == written || *known == lower))
    }

    fn advice(&self, written: &str) -> Option<&'static Advice> {
        let lower = written.to_lowercase();
        self.advice.iter().find(|advice| advice.spellings.iter().any(|s| *s == written || *s == lower))
    }

    fn no_such_unit(&'static self, written: &str, unit: &str, number: &str) -> QuantityError {
        if let Some(advice) = self.advice(unit) {
            return QuantityError::Ambiguous {
                text: format!("{number} {}", written.trim()),
                why: advice.why,
                offers: advice.offers.iter().map(|offer| offer.replace("{n}", number)).collect(),
            };
        }
        let measures = KINDS
            .iter()
            .find(|kind| kind.name != self.name && !unit.is_empty() && kind.unit(unit).is_some())
            .map(|kind| kind.name);
        let spellings =
            self.units.iter().flat_map(|u| u.spellings.iter().map(move |spelling| (*spelling, u.symbol)));
        let nearest = measures.is_none().then(|| {
            let known: Vec<_> = spellings.collect();
            let spelling = nearest(unit, known.iter().map(|(spelling, _)| *spelling))?;
            known.iter().find(|(known, _)| *known == spelling).map(|(_, symbol)| *symbol)
        });
        QuantityError::UnknownUnit {
            kind: self,
            unit: shortened(written.trim()),
            nearest: nearest.flatten(),
            measures,
            number: number.to_owned(),
        }
    }

    /// Reads `text` as this quantity; the value is in SI base units.
    ///
    /// # Errors
    /// [`QuantityError`] for anything that does not have one meaning.
    pub fn read(&'static self, text: &str) -> Result<f64, QuantityError> {
        let text = plain(text);
        if text.is_empty() {
            return Err(QuantityError::Empty { kind: self });
        }
        let (first, first_unit, rest) = self.term(&text)?;
        if rest.is_empty() {
            return finite((first + first_unit.offset) * first_unit.factor, &text);
        }
        let malformed = |why| QuantityError::Malformed { text: shortened(&text), why, offer: None };
        let Some((big, small, share)) = self.pair else {
            return Err(QuantityError::SeveralValues { text: shortened(&text) });
        };
        // 12'-6", 12 ft, 6 in, 8 lb and 6 oz
        let rest = rest.trim_start_matches([',', '-', ' ']);
        let rest = rest.strip_prefix("and ").unwrap_or(rest);
        let (second, second_unit, rest) = self.term(rest).map_err(|error| match error {
            // `11 lb 6`
            QuantityError::NoUnit { .. } if first_unit.symbol == big => QuantityError::Malformed {
                text: shortened(&text),
                why: "the second number has no unit",
                offer: Some(format!("{} {small}", shortened(&text))),
            },
            other => other,
        })?;
        if !rest.is_empty() || first_unit.symbol != big || second_unit.symbol != small {
            return Err(QuantityError::SeveralValues { text: shortened(&text) });
        }
        if first.fract() != 0.0 {
            return Err(malformed("the larger unit has decimals and yet a smaller unit follows"));
        }
        if !(0.0..share).contains(&second) {
            return Err(QuantityError::Malformed {
                text: shortened(&text),
                why: "the smaller unit holds one or more of the larger",
                offer: (second >= share).then(|| {
                    let carried = (second / share).floor();
                    format!("{} {big} {} {small}", first + carried, second - carried * share)
                }),
            });
        }
        let sign = if text.starts_with('-') { -1.0 } else { 1.0 };
        finite(sign * (first.abs() + second / share) * first_unit.factor, &text)
    }

    /// One number with its unit, and the text after it.
    fn term<'t>(&'static self, text: &'t str) -> Result<(f64, &'static Unit, &'t str), QuantityError> {
        let (value, end) = number(text).map_err(|error| match error {
            QuantityError::NoNumber { text, .. } => {
                QuantityError::NoNumber { kind: self, text: shortened(&text) }
            }
            other => other,
        })?;
        let (digits, after) = text.split_at(end);
        let digits = digits.trim();
        // Units of paired quantities hold no digits, so the next digit begins the next term.
        let stop = if self.pair.is_some() { after.find(|c: char| c.is_ascii_digit()) } else { None };
        let (written, rest) = after.split_at(stop.unwrap_or(after.len()));
        let separator = written.trim_end_matches([' ', ',', '-']);
        let separator = separator.strip_suffix(" and").unwrap_or(separator);
        let (written, rest) =
            if rest.is_empty() { (written, rest) } else { (separator, &after[separator.len()..]) };
        let unit: String = written
            .replace(" per ", "/")
            .chars()
            // `W/(m·K)` with the raised dot or the dot operator.
            .filter(|c| !matches!(c, ' ' | '.' | '^' | '·' | '\u{22c5}'))
            .take(40)
            .collect();
        if let Some(known) = self.unit(&unit) {
            return Ok((value, known, rest.trim_start()));
        }
        let lower = unit.to_lowercase();
        let range = |s: &str| s.starts_with(|c: char| c.is_ascii_digit());
        if lower.strip_prefix("to").is_some_and(range)
            || lower.strip_prefix('-').is_some_and(range)
            || (!rest.is_empty()
                && (unit.is_empty() || [" to", "or", "-"].iter().any(|w| written.trim_end().ends_with(w))))
        {
            return Err(QuantityError::SeveralValues { text: shortened(text) });
        }
        if unit.is_empty() {
            return Err(QuantityError::NoUnit { kind: self, number: shortened(digits) });
        }
        Err(self.no_such_unit(written, &unit, &shortened(digits)))
    }
}

/// A type that a text with a unit can be read into.
pub trait Quantity: Copy {
    /// The units and spellings.
    fn kind() -> &'static Kind;
    /// From the SI base unit.
    fn from_si(value: f64) -> Self;
    /// In the SI base unit.
    fn si(self) -> f64;
}

macro_rules! quantity {
    ($($name:ident: $kind:ident, $unit:path;)*) => {$(
        impl Quantity for $name {
            fn kind() -> &'static Kind {
                &$kind
            }
            fn from_si(value: f64) -> Self {
                Self::new::<$unit>(value)
            }
            fn si(self) -> f64 {
                self.get::<$unit>()
            }
        }
    )*};
}
quantity! {
    Length: LENGTH, unit::length::meter;
    ThermodynamicTemperature: TEMPERATURE, unit::thermodynamic_temperature::kelvin;
    TemperatureInterval: TEMPERATURE_DIFFERENCE, unit::temperature_interval::kelvin;
    Pressure: PRESSURE_DIFFERENCE, unit::pressure::pascal;
    Power: POWER, unit::power::watt;
    Mass: MASS, unit::mass::kilogram;
    MassRate: MASS_RATE, unit::mass_rate::kilogram_per_second;
    LinearMassDensity: MASS_PER_LENGTH, unit::linear_mass_density::kilogram_per_meter;
    Velocity: VELOCITY, unit::velocity::meter_per_second;
    Ratio: RATIO, unit::ratio::ratio;
    MassDensity: DENSITY, unit::mass_density::kilogram_per_cubic_meter;
    Volume: VOLUME, unit::volume::cubic_meter;
    VolumeRate: VOLUME_RATE, unit::volume_rate::cubic_meter_per_second;
    HeatTransfer: HEAT_TRANSFER, unit::heat_transfer::watt_per_square_meter_kelvin;
    ThermalConductivity: THERMAL_CONDUCTIVITY, unit::thermal_conductivity::watt_per_meter_kelvin;
    Frequency: FREQUENCY, unit::frequency::hertz;
    Time: TIME, unit::time::second;
}

impl Quantity for GaugePressure {
    fn kind() -> &'static Kind {
        &GAUGE_PRESSURE
    }
    fn from_si(value: f64) -> Self {
        Self::new(Pressure::from_si(value))
    }
    fn si(self) -> f64 {
        self.get().si()
    }
}

impl Quantity for AbsolutePressure {
    fn kind() -> &'static Kind {
        &ABSOLUTE_PRESSURE
    }
    fn from_si(value: f64) -> Self {
        Self::from_pascal(value)
    }
    fn si(self) -> f64 {
        self.pascal()
    }
}

/// Reads a quantity.
///
/// # Errors
/// [`QuantityError`] for anything that does not have one meaning.
///
/// ```
/// use physics::units::{Length, unit::length::inch};
/// let length: Length = report::job::quantity::read("12' 6\"")?;
/// assert!((length.get::<inch>() - 150.0).abs() < 1e-9);
/// let error = report::job::quantity::read::<Length>("1,5 m").unwrap_err();
/// assert_eq!(error.help(), "write a decimal point: `1.5 m`");
/// # Ok::<(), report::job::quantity::QuantityError>(())
/// ```
pub fn read<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    Q::kind().read(text).map(Q::from_si)
}

/// Writes a quantity so that [`read`] gives the same value back: its SI base unit, all digits.
#[must_use]
pub fn write<Q: Quantity>(quantity: Q) -> String {
    let base = Q::kind().units.first().map_or("", |unit| unit.symbol);
    format!("{} {base}", quantity.si()).trim_end().to_owned()
}

/// The range in which a value of some key makes sense, in SI base units, ends included.
#[derive(Clone, Copy, Debug)]
pub struct Range {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub most: f64,
    /// The range in words that follow "it must lie".
    pub says: &'static str,
}

/// Reads a quantity that must lie in a range.
///
/// # Errors
/// [`QuantityError`], with [`OutOfRange`](QuantityError::OutOfRange) outside `range`.
pub fn read_within<Q: Quantity>(text: &str, range: &Range) -> Result<Q, QuantityError> {
    let value: Q = read(text)?;
    check_range(text, value.si(), range, Q::kind() == &RATIO)?;
    Ok(value)
}

/// Reads a quantity of a kind that has no type of its own; in the first unit of the kind.
///
/// # Errors
/// As [`read_within`].
pub fn read_kind(text: &str, kind: &'static Kind, range: &Range) -> Result<f64, QuantityError> {
    let value = kind.read(text)?;
    check_range(text, value, range, false)?;
    Ok(value)
}

fn check_range(text: &str, si: f64, range: &Range, is_ratio: bool) -> Result<(), QuantityError> {
    if (range.least..=range.most).contains(&si) {
        return Ok(());
    }
    // `60` where 60 % is meant
    let percent = is_ratio && !text.contains('%') && (range.least..=range.most).contains(&(si / 100.0));
    Err(QuantityError::OutOfRange {
        text: shortened(text.trim()),
        says: range.says,
        offer: percent.then(|| format!("{} %", text.trim())),
    })
}

/// Reads a mass off a nameplate, which prints pounds and ounces: `8.6 lb` may stand for 8 lb 6 oz.
///
/// # Errors
/// As [`read_within`], and where the digits behind the point may be ounces.
pub fn read_plate_mass(text: &str, range: &Range) -> Result<Mass, QuantityError> {
    let clean = plain(text);
    let (value, length) = number(&clean)?;
    let (pounds, unit) = (&clean[..length], clean[length..].trim().to_ascii_lowercase());
    if let Some((whole, behind)) = pounds.split_once('.')
        && ["lb", "lbs", "pound", "pounds"].contains(&unit.as_str())
        && let Ok(ounces @ 1..=15) = behind.parse::<u32>()
    {
        // As exact as the pounds were written.
        let exact = format!("{:.3}", value.fract() * 16.0);
        let exact = exact.trim_end_matches('0').trim_end_matches('.');
        return Err(QuantityError::Ambiguous {
            text: shortened(text.trim()),
            why: "tenths of a pound, or ounces? A nameplate prints pounds and ounces",
            offers: vec![format!("{whole} lb {ounces} oz"), format!("{whole} lb {exact} oz")],
        });
    }
    read_within(text, range)
}

/// Reads one mass for each of another, `1 oz/lb`, that must lie in a range.
///
/// # Errors
/// [`QuantityError`].
pub fn read_mass_share(text: &str, range: &Range) -> Result<Ratio, QuantityError> {
    let share = MASS_PER_MASS.read(text)?;
    check_range(text, share, range, false)?;
    Ok(Ratio::from_si(share))
}

/// A pressure as read from a gauge, or an absolute one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PressureReading {
    /// Above the atmosphere of the site.
    Gauge(GaugePressure),
    /// Above vacuum.
    Absolute(AbsolutePressure),
}

impl PressureReading {
    /// Above vacuum, at the atmosphere of the site.
    #[must_use]
    pub fn absolute(self, atmosphere: AbsolutePressure) -> AbsolutePressure {
        match self {
            Self::Gauge(pressure) => pressure.absolute(atmosphere),
            Self::Absolute(pressure) => pressure,
        }
    }
}

/// Reads a pressure that says whether it is gauge or absolute.
///
/// # Errors
/// [`QuantityError`]; a bare `psi`, `bar` or `kPa` is [`Ambiguous`](QuantityError::Ambiguous).
pub fn read_pressure(text: &str) -> Result<PressureReading, QuantityError> {
    match read(text) {
        Ok(gauge) => Ok(PressureReading::Gauge(gauge)),
        Err(QuantityError::UnknownUnit { .. }) => read(text).map(PressureReading::Absolute),
        Err(other) => Err(other),
    }
}

/// Reads a pressure that says whether it is gauge or absolute, and whose number, either way, lies in a range.
///
/// # Errors
/// As [`read_pressure`], and [`OutOfRange`](QuantityError::OutOfRange) outside `range`.
pub fn read_pressure_within(text: &str, range: &Range) -> Result<PressureReading, QuantityError> {
    let reading = read_pressure(text)?;
    let number_pa = match reading {
        PressureReading::Gauge(pressure) => pressure.si(),
        PressureReading::Absolute(pressure) => pressure.si(),
    };
    check_range(text, number_pa, range, false)?;
    Ok(reading)
}

/// Writes a pressure reading so that [`read_pressure`] gives the same back.
#[must_use]
pub fn write_pressure(reading: PressureReading) -> String {
    match reading {
        PressureReading::Gauge(pressure) => write(pressure),
        PressureReading::Absolute(pressure) => write(pressure),
    }
}

/// Which end of the two-phase region a saturation temperature belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaturationEnd {
    /// Boiling starts.
    Bubble,
    /// Condensing starts.
    Dew,
}

/// A saturation temperature as written; whether a blend needs its end said is decided when the refrigerant is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SaturatedTemperature {
    /// The temperature.
    pub temperature: ThermodynamicTemperature,
    /// Bubble or dew, where said.
    pub end: Option<SaturationEnd>,
}

/// Reads a saturation temperature within a range: `110 °F bubble`, `5 °F dew`, `40 °C`.
///
/// # Errors
/// [`QuantityError`]; `mid`, `SST` and `SCT` are [`Ambiguous`](QuantityError::Ambiguous).
pub fn read_saturated(text: &str, range: &Range) -> Result<SaturatedTemperature, QuantityError> {
    let clean = plain(text);
    let lower = clean.to_ascii_lowercase();
    // ASCII lower-casing keeps the byte positions, so a suffix of `lower` can be cut off `clean`.
    for (words, end) in [
        (["bubble", "bubble point", "at bubble", "bubble-point"], SaturationEnd::Bubble),
        (["dew", "dew point", "at dew", "dew-point"], SaturationEnd::Dew),
    ] {
        for word in words {
            if let Some(head) = lower.strip_suffix(word)
                && !head.ends_with("at ")
            {
                let temperature = read_within(&clean[..head.len()], range).map_err(|error| match error {
                    QuantityError::Ambiguous { text, why, offers } => {
                        let offers = offers.into_iter().map(|offer| format!("{offer} {word}")).collect();
                        QuantityError::Ambiguous { text, why, offers }
                    }
                    other => other,
                })?;
                return Ok(SaturatedTemperature { temperature, end: Some(end) });
            }
        }
    }
    for word in ["midpoint", "mid point", "mid", "average", "saturated", "sst", "sct"] {
        if let Some(head) = lower.strip_suffix(word) {
            let number = clean[..head.len()].trim();
            return Err(QuantityError::Ambiguous {
                text: shortened(&clean),
                why: "bubble or dew temperature?",
                offers: vec![format!("{number} bubble"), format!("{number} dew")],
            });
        }
    }
    Ok(SaturatedTemperature { temperature: read_within(&clean, range)?, end: None })
}

/// Writes a saturation temperature so that [`read_saturated`] gives the same back.
#[must_use]
pub fn write_saturated(saturated: SaturatedTemperature) -> String {
    let mut text = write(saturated.temperature);
    text.push_str(match saturated.end {
        Some(SaturationEnd::Bubble) => " bubble",
        Some(SaturationEnd::Dew) => " dew",
        None => "",
    });
    text
}

/// Level of the sound power that a machine gives off, above 1 pW; weighted by A where its maker weights it.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct SoundPowerLevel {
    level_db: f64,
}

impl SoundPowerLevel {
    /// In decibels above 1 pW.
    #[must_use]
    pub const fn decibels(self) -> f64 {
        self.level_db
    }
}

impl Quantity for SoundPowerLevel {
    fn kind() -> &'static Kind {
        &SOUND_POWER_LEVEL
    }
    fn from_si(level_db: f64) -> Self {
        Self { level_db }
    }
    fn si(self) -> f64 {
        self.level_db
    }
}

/// Flow coefficient of a part: water flow at a pressure drop of 1 bar.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct FlowCoefficient {
    kv_m3_h: f64,
}

impl FlowCoefficient {
    /// From Kv, m³/h at 1 bar.
    #[must_use]
    pub const fn from_kv_m3_h(kv_m3_h: f64) -> Self {
        Self { kv_m3_h }
    }

    /// Kv, m³/h at 1 bar.
    #[must_use]
    pub const fn kv_m3_h(self) -> f64 {
        self.kv_m3_h
    }
}

/// Reads a flow coefficient: `kv 2.1 m3/h`, `Kv = 2.1`, `cv 3.2`. Between 0.001 and 10 000 m³/h.
///
/// # Errors
/// [`QuantityError`]; without `kv` or `cv` in front it is [`Ambiguous`](QuantityError::Ambiguous).
pub fn read_flow_coefficient(text: &str) -> Result<FlowCoefficient, QuantityError> {
    const RANGE: Range = Range { least: 1e-3, most: 1e4, says: "between Kv 0.001 and Kv 10,000 m3/h" };
    let clean = plain(text);
    let lower = clean.to_ascii_lowercase();
    let (kind, number) = if let Some(number) = lower.strip_prefix("kv") {
        (&KV, number)
    } else if let Some(number) = lower.strip_prefix("cv") {
        (&CV, number)
    } else {
        return Err(QuantityError::Ambiguous {
            text: shortened(&clean),
            why: "Kv (m3/h at 1 bar) or Cv (US gallons a minute at 1 psi)?",
            offers: vec![format!("kv {}", shortened(&clean)), format!("cv {}", shortened(&clean))],
        });
    };
    let kv_m3_h = kind.read(number.trim_start_matches([' ', '=', ':']))?;
    check_range(text, kv_m3_h, &RANGE, false)?;
    Ok(FlowCoefficient { kv_m3_h })
}

/// A length for a message, `70 ft (21.3 m)`.
pub(crate) fn say_length(length: Length) -> String {
    let metres = length.si();
    format!("{} ft ({} m)", short_number(metres / FOOT_M), short_number(metres))
}

/// A temperature for a message, `110 °F (43.3 °C)`.
pub(crate) fn say_temperature(temperature: ThermodynamicTemperature) -> String {
    let kelvin = temperature.si();
    format!("{} °F ({} °C)", short_number(kelvin * 1.8 - 459.67), short_number(kelvin - 273.15))
}

/// A temperature difference for a message, `12 °F (6.7 K)`.
pub(crate) fn say_difference(difference: TemperatureInterval) -> String {
    let kelvin = difference.si();
    format!("{} °F ({} K)", short_number(kelvin * 1.8), short_number(kelvin))
}

/// At most one decimal, none where it is zero.
fn short_number(value: f64) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write!(text, "{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".into() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn si<Q: Quantity>(text: &str) -> f64 {
        read::<Q>(text).unwrap_or_else(|error| panic!("{text}: {error}")).si()
    }

    #[test]
    fn reads_every_way_to_write_a_number() {
        for (text, metres) in [
            ("12 m", 12.0),
            ("12m", 12.0),
            ("1 1/2 in", 0.0381),
            ("1-1/2 in", 0.0381),
            ("1½\"", 0.0381),
            ("½ in", 0.0127),
            ("⅞ in.", 0.022_225),
            ("12' 6\"", 3.81),
            ("12'6\"", 3.81),
            ("12'-6\"", 3.81),
            ("12′ 6″", 3.81),
            ("12 ft 6 in", 3.81),
            ("12ft6in", 3.81),
            ("12 ft, 6 in", 3.81),
            ("12 ft and 6 in", 3.81),
            ("12 ft 6-1/2 in", 3.8227),
            ("-12 ft 6 in", -3.81),
            ("- 5 ft", -1.524),
            ("\u{2212}5 ft", -1.524),
            ("1,200 mm", 1.2),
            ("1 200 mm", 1.2),
            ("1\u{202f}200\u{a0}mm", 1.2),
            ("1\u{2009}200.5 mm", 1.2005),
            ("1_200 mm", 1.2),
            (".5 m", 0.5),
            ("1e2 cm", 1.0),
            ("160 feet", 48.768),
        ] {
            assert_relative_eq!(si::<Length>(text), metres, max_relative = 1e-12);
        }
    }

    #[test]
    fn units_have_their_defined_factors() {
        assert_relative_eq!(
            si::<Power>("18 000 Btu/h"),
            18_000.0 * 1_055.055_852_62 / 3600.0,
            max_relative = 1e-12
        );
        for same in ["18,000 Btu/h", "18000 BTUH", "18 MBH", "1.5 ton", "1-1/2 tons", "18000 Btu per hour"] {
            assert_relative_eq!(si::<Power>(same), si::<Power>("18 000 Btu/h"), max_relative = 1e-12);
        }
        assert_relative_eq!(si::<Power>("2.9 kW"), 2900.0);
        // 745.699 871 582 270 22 W: NIST SP 811, appendix B.8, horsepower (550 ft lbf/s) 7.456 999 E+02
        assert_relative_eq!(si::<Power>("1 hp"), 745.6999, max_relative = 1e-7);
        assert_relative_eq!(si::<Mass>("8 lb 6 oz"), 8.375 * 0.453_592_37, max_relative = 1e-12);
        assert_relative_eq!(si::<Mass>("134 oz"), si::<Mass>("8 lb 6 oz"), max_relative = 1e-12);
        let plate = |text| read_plate_mass(text, &Range { least: 0.01, most: 100.0, says: "" });
        for (text, offers) in [
            ("8 lb 6", "write `8 lb 6 oz`"),
            ("8.6 lb", "write `8 lb 6 oz` or `8 lb 9.6 oz`"),
            ("8.06 lbs", "write `8 lb 6 oz` or `8 lb 0.96 oz`"),
            ("8.5 lb", "write `8 lb 5 oz` or `8 lb 8 oz`"),
        ] {
            assert_eq!(plate(text).unwrap_err().help(), offers);
        }
        for text in ["8.0 lb", "8.25 lb", "8 lb", "8 lb 9.6 oz", "3.9 kg", "8.16 lb"] {
            assert!(plate(text).is_ok(), "{text}");
        }
        assert_relative_eq!(
            si::<LinearMassDensity>("0.6 oz/ft"),
            0.6 * 0.028_349_523_125 / 0.3048,
            max_relative = 1e-12
        );
        assert_relative_eq!(si::<Pressure>("20 psi"), 137_895.145_863_36, max_relative = 1e-12);
        assert_relative_eq!(si::<Velocity>("2,000 fpm"), 10.16, max_relative = 1e-12);
        assert_relative_eq!(si::<MassRate>("3600 kg/h"), 1.0);
        assert_relative_eq!(si::<MassDensity>("60.5 lb/ft³"), 969.1, max_relative = 1e-4);
        assert_relative_eq!(si::<Volume>("231 cu in"), si::<Volume>("1 gal"), max_relative = 1e-12);
        assert_relative_eq!(si::<Ratio>("60 %"), 0.6);
        assert_relative_eq!(si::<Ratio>("1.7"), 1.7);
    }

    /// Factors from NIST SP 811 (2008), appendix B.8, to their seven digits: Btu(IT)/(h ft2 °F) 5.678 263 W/(m2 K),
    /// Btu(IT) in/(h ft2 °F) 1.442 279 E-01 W/(m K), Btu(IT)/(h ft °F) 1.730 735 W/(m K), rpm 1.666 667 E-02 Hz,
    /// knot 5.144 444 E-01 m/s, mile an hour 4.4704 E-01 m/s, foot a minute 5.08 E-03 m/s.
    #[test]
    fn units_of_walls_insulation_speeds_and_times_have_their_published_factors() {
        fn same<Q: Quantity>(texts: &[&str], wanted_si: f64) {
            for text in texts {
                assert_relative_eq!(si::<Q>(text), wanted_si, max_relative = 5e-7);
            }
        }
        same::<HeatTransfer>(
            &[
                "1 Btu/h ft2 °F",
                "1 Btu/(h·ft²·°F)",
                "1 BTU/hr-ft2-F",
                "1 Btu/(hr ft^2 °F)",
                "1 Btu per h ft2 °F",
            ],
            5.678_263,
        );
        same::<HeatTransfer>(&["3.5 W/m2 K", "3.5 W/(m²·K)", "3.5 W/(m² °C)", "3.5W/m²K"], 3.5);
        same::<ThermalConductivity>(
            &["1 Btu in/(h ft2 °F)", "1 Btu·in/(h·ft²·°F)", "1 BTU-in/hr-ft2-°F", "1 Btu in / h ft² °F"],
            0.144_227_9,
        );
        same::<ThermalConductivity>(&["1 Btu/(h ft °F)", "1 Btu/hr-ft-°F"], 1.730_735);
        same::<ThermalConductivity>(&["0.036 W/(m K)", "0.036 W/m·K", "0.036 W/mK", "36 mW/(m·K)"], 0.036);
        same::<Frequency>(&["1 rpm", "1 r/min", "1 1/min"], 1.666_666_7e-2);
        same::<Frequency>(&["1,750 rpm", "29.166667 Hz", "29.166667 1/s", "1750 revs per min"], 29.166_667);
        same::<Time>(&["20 ms", "0.02 s", "0.02 sec", "1/50 s"], 0.02);
        same::<Time>(&["1 min", "60 seconds"], 60.0);
        same::<Velocity>(&["1 kn", "1 knot"], 0.514_444_4);
        same::<Velocity>(&["1 mph"], 0.447_04);
        same::<Velocity>(&["1 ft/min"], 5.08e-3);
        same::<Velocity>(&["36 km/h", "10 m/s"], 10.0);
    }

    /// NIST SP 811 (2008), appendix B.8: cubic foot a minute 4.719 474 E-04 m3/s.
    #[test]
    fn volume_flows_and_sound_are_read_or_refused_with_an_offer() {
        for text in ["1 cfm", "1 CFM", "1 ft³/min", "1 cu ft/min", "1 cubic feet per minute"] {
            assert_relative_eq!(si::<VolumeRate>(text), 4.719_474e-4, max_relative = 2e-7);
        }
        for text in ["1.1 m³/s", "3,960 m3/h", "1100 L/s", "66 m3/min"] {
            assert_relative_eq!(si::<VolumeRate>(text), 1.1, max_relative = 1e-12);
        }
        for text in ["75 dB", "75 dB(A)", "75 dBA"] {
            assert_relative_eq!(read::<SoundPowerLevel>(text).unwrap().decibels(), 75.0);
        }
        let help = |error: QuantityError| error.help();
        assert_eq!(help(read::<VolumeRate>("2300").unwrap_err()), "write `2300 cfm` or `2300 m3/h`");
        assert_eq!(help(read::<VolumeRate>("2300 scfm").unwrap_err()), "write `2300 cfm`");
        assert_eq!(
            help(read::<VolumeRate>("2300 m3").unwrap_err()),
            "write `2300 cfm`, `2300 m3/h` or `2300 L/s`"
        );
        assert_eq!(
            read::<SoundPowerLevel>("75 kg").unwrap_err().to_string(),
            "`kg` measures a mass; a sound power level is wanted"
        );
        assert_eq!(
            read::<Volume>("1 cfm").unwrap_err().to_string(),
            "`cfm` measures a volume flow; a volume is wanted"
        );
    }

    #[test]
    fn units_of_walls_insulation_speeds_and_times_are_refused_with_an_offer() {
        let help = |error: QuantityError| error.help();
        assert_eq!(
            help(read::<ThermalConductivity>("0,036 W/(m K)").unwrap_err()),
            "write a decimal point: `0.036 W/(m K)`"
        );
        assert_eq!(
            help(read::<HeatTransfer>("1,5 W/m2K").unwrap_err()),
            "write a decimal point: `1.5 W/m2K`"
        );
        assert_eq!(help(read::<Time>("0,5 s").unwrap_err()), "write a decimal point: `0.5 s`");
        assert_eq!(help(read::<Velocity>("2,5 m/s").unwrap_err()), "write a decimal point: `2.5 m/s`");
        assert_eq!(help(read::<Frequency>("29,2 Hz").unwrap_err()), "write a decimal point: `29.2 Hz`");
        assert_eq!(help(read::<Frequency>("1750").unwrap_err()), "write `1750 rpm` or `1750 Hz`");
        assert_eq!(help(read::<Time>("20").unwrap_err()), "write `20 s` or `20 ms`");
        assert_eq!(
            help(read::<HeatTransfer>("0.2").unwrap_err()),
            "write `0.2 Btu/(h ft2 °F)` or `0.2 W/(m2 K)`"
        );
        assert_eq!(
            read::<ThermalConductivity>("0.25 Btu/(h ft2 °F)").unwrap_err().to_string(),
            "`Btu/(h ft2 °F)` measures a heat transfer coefficient; a thermal conductivity is wanted"
        );
        assert_eq!(
            read::<HeatTransfer>("0.04 W/(m K)").unwrap_err().to_string(),
            "`W/(m K)` measures a thermal conductivity; a heat transfer coefficient is wanted"
        );
        // Megawatts are not milliwatts, a minute is no metre.
        assert!(read::<ThermalConductivity>("36 MW/(m K)").is_err());
        assert_eq!(read::<Time>("1 m").unwrap_err().to_string(), "`m` measures a length; a time is wanted");
    }

    #[test]
    fn the_key_decides_between_temperature_and_difference() {
        for text in ["12 °F", "12 ºF", "12 degF", "12 F", "12 deg F", "12℉", "12 degrees F"] {
            assert_relative_eq!(si::<TemperatureInterval>(text), 12.0 / 1.8, max_relative = 1e-12);
            assert_relative_eq!(
                si::<ThermodynamicTemperature>(text),
                (12.0 + 459.67) / 1.8,
                max_relative = 1e-12
            );
        }
        assert_relative_eq!(si::<ThermodynamicTemperature>("−10 °C"), 263.15);
        assert_relative_eq!(si::<ThermodynamicTemperature>("300 K"), 300.0);
    }

    #[test]
    fn refuses_with_an_offer() {
        let help = |error: QuantityError| error.help();
        assert_eq!(help(read::<Length>("1,5 m").unwrap_err()), "write a decimal point: `1.5 m`");
        assert_eq!(help(read::<Mass>("0,500 kg").unwrap_err()), "write a decimal point: `0.500 kg`");
        assert_eq!(help(read::<Power>("1.500,5 W").unwrap_err()), "write a decimal point: `1500.5 W`");
        assert_eq!(help(read::<Length>("70").unwrap_err()), "write `70 ft` or `70 m`");
        assert_eq!(help(read_pressure("180 psi").unwrap_err()), "write `180 psig` or `180 psia`");
        assert_eq!(help(read::<Pressure>("20 psig").unwrap_err()), "write `20 psi`");
        assert_eq!(help(read::<Volume>("40 oz").unwrap_err()), "write `40 fl oz`");
        assert_eq!(help(read::<Power>("18000 Btu").unwrap_err()), "write `18000 Btu/h`");
        assert_eq!(help(read::<Length>("12 ft 14 in").unwrap_err()), "write `13 ft 2 in`");
        assert_eq!(help(read::<ThermodynamicTemperature>("95°").unwrap_err()), "write `95 °F` or `95 °C`");
        assert_eq!(
            read::<Power>("2.9 kg").unwrap_err().to_string(),
            "`kg` measures a mass; a power is wanted"
        );
        assert!(help(read::<Length>("12 fet").unwrap_err()).starts_with("did you mean `12 ft`?"));
        for text in ["5-10 ft", "5 to 10 ft", "5 ft 6 ft", "5 ft to 10 ft"] {
            assert!(
                matches!(read::<Length>(text), Err(QuantityError::SeveralValues { .. })),
                "{text}: {:?}",
                read::<Length>(text)
            );
        }
        for text in ["", "ft", "inf m", "nan m", "1e999 m", "1/0 in", "1 9/8 in", "1.2.3 m", "12.5 ft 6 in"] {
            assert!(read::<Length>(text).is_err(), "{text}");
        }
    }

    #[test]
    fn pressures_say_what_they_are_measured_from() {
        assert!(
            matches!(read_pressure("180 psig"), Ok(PressureReading::Gauge(p)) if (p.si() - 180.0 * PSI_PA).abs() < 1e-6)
        );
        assert!(
            matches!(read_pressure("14 bar(a)"), Ok(PressureReading::Absolute(p)) if (p.si() - 14e5).abs() < 1e-6)
        );
        assert!(matches!(read_pressure("180 kg"), Err(QuantityError::UnknownUnit { .. })));
        for text in ["450 psig", "31 bar(a)", "3.1 MPa(g)"] {
            let reading = read_pressure(text).unwrap();
            assert_eq!(read_pressure(&write_pressure(reading)), Ok(reading));
        }
        const RANGE: Range = Range { least: 1e5, most: 1e6, says: "between 1 and 10 bar" };
        assert!(
            read_pressure_within("1 bar(g)", &RANGE).is_ok()
                && read_pressure_within("1 bar(a)", &RANGE).is_ok()
        );
        for text in ["11 bar(g)", "0.9 bar(a)"] {
            assert!(
                matches!(read_pressure_within(text, &RANGE), Err(QuantityError::OutOfRange { .. })),
                "{text}"
            );
        }
    }

    const SOME: Range = Range { least: 100.0, most: 500.0, says: "between 100 K and 500 K" };

    #[test]
    fn saturation_temperatures_may_say_their_end() {
        let end = |text| read_saturated(text, &SOME).unwrap().end;
        assert_eq!(end("110 °F bubble"), Some(SaturationEnd::Bubble));
        assert_eq!(end("5 °F Dew point"), Some(SaturationEnd::Dew));
        assert_eq!(end("40 °C"), None);
        assert_eq!(
            read_saturated("110 °F mid", &SOME).unwrap_err().help(),
            "write `110 °F bubble` or `110 °F dew`"
        );
        assert!(matches!(read_saturated("900 °F dew", &SOME), Err(QuantityError::OutOfRange { .. })));
    }

    #[test]
    fn flow_coefficients_say_which() {
        let kv = |text| read_flow_coefficient(text).unwrap().kv_m3_h();
        assert_relative_eq!(kv("kv 2.1 m3/h"), 2.1);
        assert_relative_eq!(kv("Kv = 2.1"), 2.1);
        // 1 gpm(US) = 0.227 124 707 04 m³/h exactly, 1 psi = 6894.757 293 168 Pa
        assert_relative_eq!(
            kv("cv 1"),
            0.227_124_707_04 * (1e5 / 6_894.757_293_168_f64).sqrt(),
            max_relative = 1e-6
        );
        assert!(matches!(read_flow_coefficient("2.1 m3/h"), Err(QuantityError::Ambiguous { .. })));
        assert!(read_flow_coefficient("kv 0").is_err());
    }

    #[test]
    fn a_plain_number_in_place_of_per_cent_is_offered() {
        let range = Range { least: 0.05, most: 1.0, says: "between 5 % and 100 %" };
        assert_eq!(read_within::<Ratio>("60", &range).unwrap_err().help(), "did you mean `60 %`?");
    }

    #[test]
    fn every_spelling_is_reached_and_no_two_units_share_one() {
        for kind in KINDS {
            for (index, unit) in kind.units.iter().enumerate() {
                for spelling in unit.spellings {
                    let found = kind.unit(spelling).unwrap();
                    assert!(
                        std::ptr::eq(found, &raw const kind.units[index]),
                        "{} of {}",
                        spelling,
                        kind.name
                    );
                    if !spelling.is_empty() {
                        kind.read(&format!("1 {spelling}")).unwrap();
                    }
                }
            }
        }
    }

    fn survives<Q: Quantity + PartialEq + std::fmt::Debug>(text: &str) {
        if let Ok(quantity) = read::<Q>(text) {
            assert_eq!(read::<Q>(&write(quantity)), Ok(quantity));
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "\\PC*") {
            survives::<Length>(&text);
            survives::<ThermodynamicTemperature>(&text);
            let _ = read_pressure(&text);
            let _ = read_saturated(&text, &SOME);
            let _ = read_flow_coefficient(&text);
        }

        #[test]
        fn likely_text_is_read_or_refused(text in "[-−+]?[0-9 ,.'/½e-]{0,12} ?(ft|in|'|\"|m|lb|oz|%|°F|psi|kPa|dew|bubble| ){0,3}[0-9]{0,3}(in|oz)?") {
            survives::<Length>(&text);
            survives::<Mass>(&text);
            survives::<Ratio>(&text);
            survives::<Power>(&text);
            survives::<Pressure>(&text);
            survives::<TemperatureInterval>(&text);
            survives::<GaugePressure>(&text);
            if let Ok(saturated) = read_saturated(&text, &SOME) {
                prop_assert_eq!(read_saturated(&write_saturated(saturated), &SOME), Ok(saturated));
            }
        }

        #[test]
        fn what_is_written_reads_back(value in -1e9_f64..1e9) {
            prop_assert_eq!(read::<Length>(&write(Length::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(read::<Ratio>(&write(Ratio::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(read::<HeatTransfer>(&write(HeatTransfer::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(
                read::<ThermalConductivity>(&write(ThermalConductivity::from_si(value))).unwrap().si(),
                value
            );
            prop_assert_eq!(read::<Frequency>(&write(Frequency::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(read::<Time>(&write(Time::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(read::<VolumeRate>(&write(VolumeRate::from_si(value))).unwrap().si(), value);
            prop_assert_eq!(read::<SoundPowerLevel>(&write(SoundPowerLevel::from_si(value))).unwrap().si(), value);
        }
    }
}
