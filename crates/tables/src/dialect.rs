//! Dialects of tables that people write with a spreadsheet: what separates cells, and decimal commas.

use std::fmt::Write as _;
use thiserror::Error;

/// What separates the cells of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// `,`: a point is the decimal mark.
    Comma,
    /// `;`, as where the comma is the decimal mark.
    Semicolon,
    /// A tab stop, as when cells are copied; either decimal mark.
    Tab,
}

/// A number that is a whole one with separated thousands, or has three decimals.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("`{number}` is read in two ways where cells are separated by semicolons or tab stops")]
pub struct TwoReadings {
    /// The number as written.
    pub number: String,
    /// It as a whole number, and with decimals, each so that it has one reading.
    pub offers: [String; 2],
}

impl Separator {
    /// By the first line that is no remark: the header of a table has no decimal marks.
    #[must_use]
    pub fn of(header: &str) -> Self {
        match header.chars().find(|c| matches!(c, ';' | '\t')) {
            Some(';') => Self::Semicolon,
            Some(_) => Self::Tab,
            None => Self::Comma,
        }
    }

    /// The character.
    #[must_use]
    pub fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    /// The cell with decimal points. Of a comma-separated table it is left as it is.
    ///
    /// # Errors
    /// [`TwoReadings`] of a number such as `1.100` or `1,100`, which may be eleven hundred or one and a tenth.
    ///
    /// ```
    /// use tables::dialect::Separator;
    /// assert_eq!(Separator::Semicolon.with_decimal_points("1,2 x 0,9 m").unwrap(), "1.2 x 0.9 m");
    /// let refused = Separator::Semicolon.with_decimal_points("1,100 m").unwrap_err();
    /// assert_eq!(refused.offers, ["1100", "1.1000"]);
    /// ```
    pub fn with_decimal_points(self, cell: &str) -> Result<String, TwoReadings> {
        if self == Self::Comma {
            return Ok(cell.to_owned());
        }
        let in_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
        let mut out = String::with_capacity(cell.len());
        let mut rest = cell;
        while let Some(start) = rest.find(|c: char| c.is_ascii_digit()) {
            let end = rest[start..].find(|c: char| !in_number(c)).map_or(rest.len(), |length| start + length);
            // What ends a sentence or a list is no decimal mark.
            let number = rest[start..end].trim_end_matches(['.', ',']);
            let end = start + number.len();
            let _ = write!(out, "{}{}", &rest[..start], one_number(number)?);
            rest = &rest[end..];
        }
        out.push_str(rest);
        Ok(out)
    }
}

/// One number. What has several marks is left to the reader of numbers, which refuses it or knows its grouping.
fn one_number(number: &str) -> Result<String, TwoReadings> {
    let Some((whole, decimals)) = number.split_once(['.', ',']) else { return Ok(number.to_owned()) };
    if decimals.contains(['.', ',']) {
        return Ok(number.to_owned());
    }
    if decimals.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
        let offers = [format!("{whole}{decimals}"), format!("{whole}.{decimals}0")];
        return Err(TwoReadings { number: number.to_owned(), offers });
    }
    Ok(format!("{whole}.{decimals}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_shows_the_separator() {
        assert_eq!(Separator::of("a,b"), Separator::Comma);
        assert_eq!(Separator::of("a;b"), Separator::Semicolon);
        assert_eq!(Separator::of("a (x, y)\tb"), Separator::Tab);
        assert_eq!(Separator::of(""), Separator::Comma);
        assert_eq!([Separator::Comma, Separator::Semicolon, Separator::Tab].map(Separator::byte), *b",;\t");
    }

    #[test]
    fn decimal_commas_become_points_where_they_can_be_nothing_else() {
        for (written, read) in [
            ("1,1 m3/s", "1.1 m3/s"),
            ("1.1 m3/s", "1.1 m3/s"),
            ("-12,5", "-12.5"),
            ("0,500", "0.500"),
            ("1234,567", "1234.567"),
            ("1,2 x 0,9 x 0,9 m", "1.2 x 0.9 x 0.9 m"),
            ("12 °C", "12 °C"),
            ("level, then 12.", "level, then 12."),
            ("1.234.567,8", "1.234.567,8"),
            ("", ""),
        ] {
            assert_eq!(Separator::Semicolon.with_decimal_points(written).as_deref(), Ok(read));
        }
        for written in ["1,234 h", "12.345", "4 x 999,000"] {
            assert!(Separator::Tab.with_decimal_points(written).is_err(), "{written}");
            assert_eq!(Separator::Comma.with_decimal_points(written).as_deref(), Ok(written));
        }
    }
}
