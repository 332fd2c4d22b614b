//! The added charge worked out on paper from what the job file says.

use crate::command::{answer, line, number};

const JOB: &str = "data/jobs/plate-says.toml";

/// The international avoirdupois ounce and the international foot, both exact by definition (1959).
const OUNCE_KG: f64 = 0.028_349_523_125;
const FOOT_M: f64 = 0.3048;
/// Arithmetic in double precision, a dozen steps at most.
const ROUNDING: f64 = 1e-12;

/// The mean of a cooling that slows along the way lies below the mean of its ends: at 16 K above the room and 3 K of cooling by
/// some 0.05 K, which is 0.02 % of density; the bend of density over temperature and the rise of pressure give as much each.
const COOLING: f64 = 1e-3;

#[test]
fn added_charge_by_the_makers_rates() {
    let charge = answer(&["charge", JOB]);
    let set = &charge["sets"][0];
    // The route is 60 ft and the plate covers 25 ft: 35 ft are to be charged for.
    let beyond_ft = 60.0 - 25.0;
    // Discharge: 35 ft at 0.05 oz/ft are 1.75 oz. Liquid: 35 ft at 0.55 oz/ft are 19.25 oz.
    let discharge_oz = beyond_ft * 0.05;
    let liquid_oz = beyond_ft * 0.55;
    // Together 21 oz, which are 1 lb 5 oz.
    let added_kg = (discharge_oz + liquid_oz) * OUNCE_KG;
    approx::assert_relative_eq!(number(set, "/added_charge_kg"), added_kg, max_relative = ROUNDING);
    approx::assert_relative_eq!(added_kg, 21.0 * OUNCE_KG, max_relative = ROUNDING);
    for (service, oz) in [("discharge", discharge_oz), ("liquid", liquid_oz)] {
        let line = line(&charge, service);
        assert_eq!(line["used"], "maker");
        approx::assert_relative_eq!(number(line, "/added_kg"), oz * OUNCE_KG, max_relative = ROUNDING);
    }
    // The head is shipped with 6 lb 8 oz = 104 oz: in the end 125 oz are in the circuit.
    approx::assert_relative_eq!(number(set, "/total_charge_kg"), 125.0 * OUNCE_KG, max_relative = ROUNDING);
}

#[test]
fn a_rate_for_both_lines_together_adds_the_same() {
    let text = std::fs::read_to_string(crate::command::repo(JOB)).unwrap();
    let each = "charge_per_length = { discharge = \"0.05 oz/ft\", liquid = \"0.55 oz/ft\" }";
    assert!(text.contains(each) && text.contains("# charge_per_length = \"0.6 oz/ft\""));
    // The variant that the comment of the example offers: 35 ft at 0.6 oz/ft are 21 oz as well.
    let text = text.replace(each, "charge_per_length = \"0.6 oz/ft\"");
    let folder = tempfile::tempdir().unwrap();
    let job = folder.path().join("job.toml");
    std::fs::write(&job, text).unwrap();
    let charge = answer(&["charge", job.to_str().unwrap()]);
    approx::assert_relative_eq!(
        number(&charge, "/sets/0/added_charge_kg"),
        21.0 * OUNCE_KG,
        max_relative = ROUNDING
    );
}

#[test]
fn computed_charge_per_length_is_density_times_bore_area() {
    let charge = answer(&["charge", JOB]);
    let liquid = line(&charge, "liquid");
    // 3/8 in OD soft coil of ASTM B280 has a wall of 0.032 in: a bore of 0.375 - 2 x 0.032 = 0.311 in.
    let bore_m = (0.375 - 2.0 * 0.032) * FOOT_M / 12.0;
    let area_m2 = std::f64::consts::FRAC_PI_4 * bore_m * bore_m;
    let per_metre = number(liquid, "/density_kg_m3") * area_m2;
    approx::assert_relative_eq!(number(liquid, "/charge_per_metre_kg_m"), per_metre, max_relative = ROUNDING);
    // The liquid enters at 110 °F less 6 °F, 40.0 °C, and cools along the bare tube: the mean is that of its cooling.
    let size = answer(&["size", JOB]);
    let heat = &line(&size, "liquid")["heat"];
    let (inlet_c, outlet_c) = (number(heat, "/inlet_c"), number(heat, "/outlet_c"));
    approx::assert_relative_eq!(inlet_c, 40.0, max_relative = ROUNDING);
    assert!((35.0..40.0).contains(&outlet_c), "{outlet_c}");
    // R-134a liquid at 11.1 bar weighs 1147.523 kg/m3 at 40 °C and 1169.165 kg/m3 at 35 °C (CoolProp 8.0.0).
    let (at_40, at_35) = (1147.523, 1169.165);
    let mean = at_40 + (40.0 - (inlet_c + outlet_c) / 2.0) * (at_35 - at_40) / 5.0;
    approx::assert_relative_eq!(number(liquid, "/density_kg_m3"), mean, max_relative = COOLING);
}
