//! The stable interface for programs: the view structs as JSON, SI units, field names with their unit.

use serde::Serialize;

/// A view as indented JSON with a final line end. Numbers that are not finite become `null`.
///
/// # Errors
/// Only where the view itself can not be serialised, which no view of this crate does.
pub fn json(view: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(view)?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn names_carry_units_and_absent_values_are_null() {
        let value: serde_json::Value = serde_json::from_str(&json(&sample::size()).unwrap()).unwrap();
        let set = &value["sets"][0];
        assert_eq!(set["verdict"], "too-close-to-call");
        assert_eq!(set["run_m"], 28.0);
        assert_eq!(set["lines"][0]["tube"]["name"], "1/2 in OD");
        assert!(set["lines"][0]["flash_margin_k"].is_null());
    }
}
