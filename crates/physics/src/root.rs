//! Root of a function between two points where its signs differ.

/// Regula falsi in the Illinois form (Dowell and Jarratt, BIT 11, 1971), every third step a halving, so that a kink can
/// not hold it up. The root stays bracketed throughout; the answer is good to `tolerance`.
///
/// `ends` are `(x, f(x))` of the two brackets, whose values have opposite signs (or are zero).
pub(crate) fn bracketed<E>(
    mut ends: [(f64, f64); 2],
    tolerance: f64,
    mut function: impl FnMut(f64) -> Result<f64, E>,
) -> Result<f64, E> {
    let mut kept = None;
    // Halving alone would need 3 x 60 steps for a bracket 1e18 times its tolerance.
    for step in 1..=180 {
        let [(low, at_low), (high, at_high)] = ends;
        if at_low == 0.0 {
            return Ok(low);
        }
        if at_high == 0.0 {
            return Ok(high);
        }
        if (high - low).abs() <= tolerance {
            break;
        }
        let x = if step % 3 == 0 {
            0.5 * (low + high)
        } else {
            // A hair inside, so that a bracket whose other end is the root closes as well.
            let (floor, ceiling) = (low.min(high) + 0.25 * tolerance, high.max(low) - 0.25 * tolerance);
            (low - at_low * (high - low) / (at_high - at_low)).clamp(floor, ceiling)
        };
        let value = function(x)?;
        let side = usize::from(value.is_sign_positive() == at_high.is_sign_positive());
        ends[side] = (x, value);
        if kept == Some(1 - side) {
            ends[1 - side].1 *= 0.5;
        }
        kept = Some(1 - side);
    }
    Ok(0.5 * (ends[0].0 + ends[1].0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    #[test]
    fn finds_roots_of_smooth_and_kinked_functions() {
        type Case = (fn(f64) -> f64, f64);
        let functions: [Case; 4] = [
            (|x| x * x * x - 2.0, 2.0_f64.cbrt()),
            (|x| (x - 3.0).signum() * (x - 3.0).abs().powf(0.2), 3.0),
            (|x| 1.0 - x, 1.0),
            (|x| (x / 4.0).exp() - 1.5, 4.0 * 1.5_f64.ln()),
        ];
        for (function, root) in functions {
            let mut calls = 0;
            let ends = [(-10.0, function(-10.0)), (20.0, function(20.0))];
            let found: Result<_, Infallible> = bracketed(ends, 1e-9, |x| {
                calls += 1;
                Ok(function(x))
            });
            let Ok(found) = found;
            assert!((found - root).abs() < 1e-9, "{found} {root}");
            assert!(calls <= 60, "{calls} calls");
        }
    }
}
