//! Measures that are written together: `1.2 x 0.9 x 0.9 m` of a condenser, `60 x 80 ft` of a building.

use super::quantity::{self, Quantity, QuantityError, Range, plain, shortened};
use physics::units::Length;

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
        measures(text, &OUTLINES, "three lengths are wanted, width x depth x height", "1.2 x 0.9 x 0.9 m")?;
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
    let mut lengths = [Length::from_si(0.0); N];
    for (length, part) in lengths.iter_mut().zip(parts) {
        *length = match quantity::read_within(part, range) {
            Err(QuantityError::NoUnit { .. })
                if !unit.is_empty() && !unit.contains(|c: char| c.is_ascii_digit()) =>
            {
                quantity::read_within(&format!("{part} {unit}"), range)?
            }
            other => other?,
        };
    }
    Ok(lengths)
}
