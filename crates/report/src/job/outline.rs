//! Measures that are written together: `1.2 x 0.9 x 0.9 m` of a condenser, `60 x 80 ft` of a building.

use super::quantity::{self, Quantity, QuantityError, Range, plain, shortened};
use physics::units::{Length, Volume};

/// Outside measures of a condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Along the face that the air leaves by.
    pub width: Length,
    /// From front to rear.
    pub depth: Length,
    /// Upright.
    pub height: Length,
}

/// A building seen from above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    /// One side.
    pub width: Length,
    /// The other side.
    pub length: Length,
}

const OUTLINES: Range = Range { least: 0.05, most: 20.0, says: "between 50 mm and 20 m (2 in and 66 ft)" };
const BUILDINGS: Range = Range { least: 1.0, most: 1e3, says: "between 1 m and 1 km (3.3 ft and 3,280 ft)" };
const ROOMS: Range = Range { least: 0.3, most: 300.0, says: "between 30 cm and 300 m (1 ft and 984 ft)" };

/// Reads `WIDTH x DEPTH x HEIGHT`, with one unit at the end or a unit each; every measure 0.05 to 20 m.
///
/// # Errors
/// [`QuantityError`].
///
/// ```
/// use physics::units::unit::length::meter;
/// let outline = report::job::outline::read_outline("1.2 x 0.9 x 0.8 m")?;
/// assert!((outline.depth.get::<meter>() - 0.9).abs() < 1e-12);
/// # Ok::<(), report::job::quantity::QuantityError>(())
/// ```
pub fn read_outline(text: &str) -> Result<Outline, QuantityError> {
    let [width, depth, height] =
        measures(text, &OUTLINES, "three lengths are wanted, width x depth x height", "48 x 36 x 36 in")?;
    Ok(Outline { width, depth, height })
}

/// Reads `WIDTH x LENGTH`, with one unit at the end or a unit each; both 1 m to 1 km.
///
/// # Errors
/// [`QuantityError`].
pub fn read_plan(text: &str) -> Result<Plan, QuantityError> {
    let [width, length] = measures(text, &BUILDINGS, "two lengths are wanted, width x length", "60 x 80 ft")?;
    Ok(Plan { width, length })
}

/// Reads the `WIDTH x DEPTH x HEIGHT` of a room, with one unit at the end or a unit each; every measure 0.3 to 300 m.
///
/// # Errors
/// [`QuantityError`].
pub fn read_room(text: &str) -> Result<Volume, QuantityError> {
    let [width, depth, height] =
        measures(text, &ROOMS, "three lengths are wanted, width x depth x height", "12 x 14 x 9 ft")?;
    Ok(width * depth * height)
}

fn measures<const N: usize>(
    text: &str,
    range: &Range,
    why: &'static str,
    example: &str,
) -> Result<[Length; N], QuantityError> {
    let clean = plain(text);
    if clean.is_empty() {
        return Err(QuantityError::Empty { kind: Length::kind() });
    }
    let parts: Vec<&str> = clean.split(['x', 'X', '*']).map(str::trim).collect();
    let Ok(parts) = <[&str; N]>::try_from(parts) else {
        return Err(QuantityError::Ambiguous { text: shortened(&clean), why, offers: vec![example.into()] });
    };
    // The unit behind the last number is meant for those before it that have none.
    let last = parts[N - 1];
    let unit = quantity::number(last).map_or("", |(_, end)| last[end..].trim());
    let one_unit = !unit.is_empty() && !unit.contains(|c: char| c.is_ascii_digit());
    let mut lengths = [Length::from_si(0.0); N];
    for (length, part) in lengths.iter_mut().zip(parts) {
        let read = match quantity::read_within(part, range) {
            Err(QuantityError::NoUnit { .. }) if one_unit => {
                quantity::read_within(&format!("{part} {unit}"), range)
            }
            other => other,
        };
        // What is offered is the whole text.
        *length = read.map_err(|error| match error {
            QuantityError::DecimalComma { .. } => QuantityError::DecimalComma {
                text: shortened(&clean),
                offer: parts.map(with_decimal_point).join(" x "),
            },
            QuantityError::NoUnit { kind, .. } if unit.is_empty() => {
                QuantityError::NoUnit { kind, number: shortened(&clean) }
            }
            other => other,
        })?;
    }
    Ok(lengths)
}

fn with_decimal_point(part: &str) -> String {
    match quantity::number(part) {
        Err(QuantityError::DecimalComma { offer, .. }) => offer,
        _ => part.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn metres(text: &str) -> [f64; 3] {
        let Outline { width, depth, height } =
            read_outline(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        [width.si(), depth.si(), height.si()]
    }

    #[test]
    fn the_last_unit_is_meant_for_all_that_have_none() {
        for text in [
            "1.2 x 0.9 x 0.6 m",
            "1.2x0.9x0.6m",
            "1.2 × 0.9 × 0.6 m",
            "1.2 m X 900 mm X 0.6 m",
            "120*90*60 cm",
        ] {
            for (found, wanted) in metres(text).into_iter().zip([1.2, 0.9, 0.6]) {
                approx::assert_relative_eq!(found, wanted, max_relative = 1e-12);
            }
        }
        for (found, wanted) in metres("4 ft x 36 in x 2 ft 6 in").into_iter().zip([1.2192, 0.9144, 0.762]) {
            approx::assert_relative_eq!(found, wanted, max_relative = 1e-12);
        }
        let plan = read_plan("60 x 80 ft").unwrap();
        approx::assert_relative_eq!(plan.width.si(), 18.288, max_relative = 1e-12);
        approx::assert_relative_eq!(plan.length.si(), 24.384, max_relative = 1e-12);
    }

    #[test]
    fn what_is_no_outline_is_refused_with_an_offer() {
        let help = |text: &str| read_outline(text).unwrap_err().help();
        assert_eq!(help("1.2 x 0.9 m"), "write `48 x 36 x 36 in`");
        assert_eq!(help("1.2 x 0.9 x 0.9"), "write `1.2 x 0.9 x 0.9 ft` or `1.2 x 0.9 x 0.9 m`");
        assert_eq!(help("1,2 x 0,9 x 0.9 m"), "write a decimal point: `1.2 x 0.9 x 0.9 m`");
        // Which of the two units were the others in?
        assert_eq!(help("4 x 3 x 2 ft 6 in"), "write `4 ft` or `4 m`");
        assert!(matches!(read_outline("120 x 90 x 90 m"), Err(QuantityError::OutOfRange { .. })));
        assert!(matches!(read_plan("60 x 80 kg"), Err(QuantityError::UnknownUnit { .. })));
        assert!(matches!(read_plan(" "), Err(QuantityError::Empty { .. })));
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "[0-9 .,x×*'\"µftinm-]{0,24}|\\PC*") {
            for error in [read_outline(&text).err(), read_plan(&text).err()].into_iter().flatten() {
                prop_assert!(!error.help().is_empty());
            }
        }
    }
}
