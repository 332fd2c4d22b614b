//! Work in the field step by step: the job `data/jobs/tight-and-dry.toml` by hand, from numbers of standards and handbooks,
//! against the sheet. The left side of every check calls nothing of this project.

use approx::assert_relative_eq;
use report::{
    job,
    study::{prove, resolve},
    view::{FieldPartView, VerdictView},
};
use tables::Library;

const JOB: &str = include_str!("../../data/jobs/tight-and-dry.toml");

/// Pa of a psi and of a micron of mercury, K of a degree Fahrenheit: NIST SP 811 (2008), appendix B.
const PSI_PA: f64 = 6_894.757;
const MICRON_PA: f64 = 0.133_322_4;
const RANKINE_ABOVE_FAHRENHEIT: f64 = 459.67;
/// Molar gas constant, J/(mol K), CODATA 2018; molar mass of nitrogen, kg/mol, IUPAC.
const GAS_CONSTANT: f64 = 8.314_462_618;
const NITROGEN_KG_MOL: f64 = 0.028_013_4;

/// Standard atmosphere at 640 ft: `101 325 (1 - 2.25577e-5 z)^5.2559`, z in m (ASHRAE Fundamentals, psychrometrics, eq. 3).
fn atmosphere_psi() -> f64 {
    101_325.0 * (1.0 - 2.255_77e-5 * 640.0 * 0.3048_f64).powf(5.2559) / PSI_PA
}

/// 65 ft of 1/2 in and 3/8 in tube, walls 0.032 in (ASTM B280): bores 0.436 in and 0.311 in.
fn volume_m3() -> f64 {
    let area_in2 = std::f64::consts::FRAC_PI_4 * (0.436_f64.powi(2) + 0.311_f64.powi(2));
    area_in2 * 65.0 * 12.0 * 0.0254_f64.powi(3)
}

fn part(changes: &[(&str, &str)], name: &str) -> FieldPartView {
    let text = changes.iter().fold(JOB.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old}");
        text.replace(old, new)
    });
    let job = job::read("tight-and-dry.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    let library = Library::embedded().unwrap();
    let mut view = prove(&resolve(&job, &library).unwrap());
    let parts = view.sets.remove(0).parts;
    parts.into_iter().find(|part| part.name == name).unwrap()
}

fn figure(part: &FieldPartView, what: &str) -> f64 {
    part.figures.iter().find(|figure| figure.what == what).unwrap_or_else(|| panic!("{what}")).value
}

fn verdict(part: &FieldPartView, kind: &str) -> VerdictView {
    part.checks.iter().find(|check| check.kind == kind).unwrap().verdict
}

/// 420 psig at 70 °F, read at 48 °F.
#[test]
fn a_nitrogen_test_over_night() {
    let absolute_psi = 420.0 + atmosphere_psi();
    let (warm, cold) = (70.0 + RANKINE_ABOVE_FAHRENHEIT, 48.0 + RANKINE_ABOVE_FAHRENHEIT);
    let expected_psig = absolute_psi * cold / warm - atmosphere_psi();
    // 18 psi less, and no leak.
    assert!((expected_psig - 402.0).abs() < 0.1, "{expected_psig}");
    let held = part(&[], "pressure-test");
    // The atmosphere of both is rounded in the fifth digit of its exponent: 1e-6 of the pressure.
    assert_relative_eq!(figure(&held, "pressure-expected") / PSI_PA, expected_psig, max_relative = 1e-5);
    assert_eq!(verdict(&held, "pressure-gone"), VerdictView::Meets);

    // At 392 psig some 10 psi are gone that no weather explains, 16 h, lines alone.
    let leaks = part(&[("reading = \"402 psig\"", "reading = \"392 psig\"")], "pressure-test");
    assert_eq!(verdict(&leaks, "pressure-gone"), VerdictView::Fails);
    let throughput = volume_m3() * (expected_psig - 392.0) * PSI_PA / (16.0 * 3600.0);
    // The difference of two pressures magnifies the rounding of the atmosphere.
    assert_relative_eq!(figure(&leaks, "leak"), throughput, max_relative = 1e-4);
    let year_s = 365.25 * 86_400.0;
    let mass_kg = throughput * NITROGEN_KG_MOL / (GAS_CONSTANT * 293.15) * year_s;
    assert_relative_eq!(figure(&leaks, "leak-of-nitrogen"), mass_kg, max_relative = 1e-4);
}

/// The rise test of the job with other readings, minutes and micron.
fn rise(readings: &[(f64, f64)]) -> FieldPartView {
    let start = JOB.find("rise = [").unwrap();
    let end = start + JOB[start..].find(']').unwrap() + 1;
    let readings: Vec<String> =
        readings.iter().map(|(minutes, micron)| format!("\"{minutes} min {micron} micron\"")).collect();
    part(&[(&JOB[start..end], &format!("rise = [{}]", readings.join(", ")))], "evacuation")
}

#[test]
fn a_rise_that_climbs_straight_is_a_leak() {
    let found = rise(&[(0.0, 450.0), (5.0, 950.0), (10.0, 1450.0), (15.0, 1950.0)]);
    let throughput = volume_m3() * 1500.0 * MICRON_PA / (15.0 * 60.0);
    assert_eq!(verdict(&found, "rise"), VerdictView::Fails);
    assert!(found.answer.starts_with("A leak"), "{}", found.answer);
    // Both sides round the micron in the seventh digit, and the tube to 0.001 in.
    assert_relative_eq!(figure(&found, "leak"), throughput, max_relative = 1e-5);
}

/// Readings to 10 micron of an exponential to a level, from 450 micron with a time constant of 6 min.
fn levelling(level_micron: f64) -> Vec<(f64, f64)> {
    let reading = |minutes: f64| {
        let micron = level_micron - (level_micron - 450.0) * (-minutes / 6.0_f64).exp();
        (minutes, (micron / 10.0).round() * 10.0)
    };
    (0..=6).map(|step| reading(4.0 * f64::from(step))).collect()
}

/// Water of 70 °F (21.1 °C) boils at 2.50 kPa, 18 800 micron (steam tables: 2.339 kPa at 20 °C, 2.487 kPa at 21 °C).
#[test]
fn a_rise_that_levels_off_is_moisture() {
    // Far below that: water leaves oil or walls. Just below it: free water lies in the lines. Far above: no water at all.
    for (level, means) in [
        (4_200.0, "water leaves oil or walls"),
        (17_500.0, "free water lies in the lines"),
        (40_000.0, "above what water can do"),
    ] {
        let found = rise(&levelling(level));
        assert_eq!(verdict(&found, "rise"), VerdictView::Fails);
        assert!(found.answer.contains(means), "{level}: {}", found.answer);
        // The level comes from slopes of two halves with one reading between them: 2 % of an exact exponential.
        assert_relative_eq!(figure(&found, "levels-off-at"), level * MICRON_PA, max_relative = 0.02);
    }
}

#[test]
fn a_rise_that_no_gauge_shows_is_tight_and_dry() {
    let found = rise(&[(0.0, 450.0), (10.0, 450.0), (20.0, 450.0), (30.0, 460.0)]);
    assert_eq!(verdict(&found, "rise"), VerdictView::Meets);
    assert!(found.answer.starts_with("Tight and dry"), "{}", found.answer);
}
