//! Allowable length: the longest run at which every check still meets.

use crate::units::Length;
use uom::si::length::meter;

/// The longest run at which every check still meets, and the check that stops it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AllowableLength<K> {
    /// Every check meets up to `run`; beyond it `by` does not.
    Stops {
        /// The longest run.
        run: Length,
        /// The check that stops it.
        by: K,
    },
    /// `by` does not meet even at the shortest run that the other legs leave.
    NeverMeets {
        /// The check.
        by: K,
    },
    /// Every check meets up to the end of the search.
    NotLimitedWithin {
        /// The end of the search.
        run: Length,
    },
}

/// Marches the run on from `shortest` until the first margin turns negative.
///
/// `margins` gives, for a run, each check's margin divided by its scale, positive where it meets; a margin that is no
/// number counts as not met. Margins need not be monotone (heat and friction can pull against each other), so the run
/// grows in steps of a quarter, at least a fortieth and at most a twelfth of the range, and the first step in which a
/// margin turns is closed in on, to 1 mm. A margin that turns twice within one step is not seen.
pub fn first_event<K: Copy>(
    shortest: Length,
    longest: Length,
    margins: &mut dyn FnMut(Length) -> Vec<(K, f64)>,
) -> AllowableLength<K> {
    let (start_m, end_m) = (shortest.get::<meter>(), longest.get::<meter>());
    let mut worst = |run_m: f64| {
        let found = margins(Length::new::<meter>(run_m)).into_iter();
        found
            .map(|(kind, margin)| (kind, if margin.is_nan() { f64::NEG_INFINITY } else { margin }))
            .min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let Some((by, margin)) = worst(start_m) else {
        return AllowableLength::NotLimitedWithin { run: longest };
    };
    if margin < 0.0 {
        return AllowableLength::NeverMeets { by };
    }
    let range_m = end_m - start_m;
    let (mut run_m, mut margin) = (start_m, margin);
    while run_m < end_m {
        let next_m = (run_m + (0.25 * run_m).clamp(range_m / 40.0, range_m / 12.0)).min(end_m);
        match worst(next_m) {
            Some((by, next_margin)) if next_margin < 0.0 => {
                let (run_m, by) = close_in((run_m, margin), (next_m, next_margin), by, &mut worst);
                return AllowableLength::Stops { run: Length::new::<meter>(run_m), by };
            }
            Some((_, next_margin)) => margin = next_margin,
            None => {}
        }
        run_m = next_m;
    }
    AllowableLength::NotLimitedWithin { run: longest }
}

/// False position inside the one step that holds the event, halved every third round; the end that still meets is kept.
fn close_in<K: Copy>(
    meets: (f64, f64),
    fails: (f64, f64),
    by: K,
    worst: &mut dyn FnMut(f64) -> Option<(K, f64)>,
) -> (f64, K) {
    let ((mut low_m, mut low), (mut high_m, mut high), mut by) = (meets, fails, by);
    for round in 0..100 {
        if high_m - low_m < 1e-3 {
            break;
        }
        let chord_m = low_m + (high_m - low_m) * low / (low - high);
        // Every third round halves, so that an infinite or bent margin can not stall the chord.
        let usable = chord_m.is_finite() && round % 3 != 2;
        let middle_m =
            if usable { chord_m.clamp(low_m + 4e-4, high_m - 4e-4) } else { 0.5 * (low_m + high_m) };
        match worst(middle_m) {
            Some((kind, margin)) if margin < 0.0 => (high_m, high, by) = (middle_m, margin, kind),
            Some((_, margin)) => (low_m, low) = (middle_m, margin),
            None => low_m = middle_m,
        }
    }
    (low_m, by)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn search(margins: impl Fn(f64) -> Vec<(char, f64)>) -> AllowableLength<char> {
        let length = Length::new::<meter>;
        first_event(length(5.0), length(300.0), &mut |run| margins(run.get::<meter>()))
    }

    #[test]
    fn stops_at_the_first_of_several_checks() {
        let found = search(|run| vec![('a', 1.0 - run / 120.0), ('b', 1.0 - (run / 80.0).powi(2))]);
        let AllowableLength::Stops { run, by } = found else { panic!("{found:?}") };
        assert!((run.get::<meter>() - 80.0).abs() < 2e-3 && run.get::<meter>() <= 80.0 && by == 'b');
    }

    #[test]
    fn finds_the_first_of_two_turns_of_a_margin_that_comes_back() {
        // Fails between 100 m and 200 m, meets again beyond: bisection over the whole range would find 300 m "met".
        let found = search(|run| vec![('a', (run - 100.0) * (run - 200.0))]);
        let AllowableLength::Stops { run, .. } = found else { panic!("{found:?}") };
        assert!((run.get::<meter>() - 100.0).abs() < 2e-3);
    }

    #[test]
    fn says_never_and_says_not_limited() {
        assert_eq!(search(|_| vec![('a', -0.1)]), AllowableLength::NeverMeets { by: 'a' });
        assert_eq!(search(|_| vec![('a', f64::NAN)]), AllowableLength::NeverMeets { by: 'a' });
        let end = AllowableLength::NotLimitedWithin { run: Length::new::<meter>(300.0) };
        assert_eq!(search(|_| vec![('a', 0.1)]), end);
        assert_eq!(search(|_| vec![]), end);
    }

    #[test]
    fn a_margin_that_becomes_no_number_stops_too() {
        let found = search(|run| vec![('a', if run < 77.7 { 0.5 } else { f64::NAN })]);
        let AllowableLength::Stops { run, .. } = found else { panic!("{found:?}") };
        assert!((run.get::<meter>() - 77.7).abs() < 2e-3);
    }

    proptest! {
        #[test]
        fn meets_at_the_answer_and_not_beyond(slope in 0.005..0.1_f64, bend in 0.5..3.0_f64) {
            let margin = |run: f64| 1.0 - (slope * run).powf(bend);
            match search(|run| vec![('a', margin(run))]) {
                AllowableLength::Stops { run, .. } => {
                    prop_assert!(margin(run.get::<meter>()) >= 0.0 && margin(run.get::<meter>() + 2e-3) < 0.0);
                }
                other => prop_assert!(margin(5.0) < 0.0 || margin(300.0) >= 0.0, "{:?}", other),
            }
        }
    }
}
