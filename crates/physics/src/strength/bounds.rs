//! Everything that sets or bears the pressure of a line, and the pair of them that governs.

use crate::{
    check::{Limit, Measure, Sense, Verdict, Whose, judge},
    units::{GaugePressure, Pressure, Ratio},
};
use uom::si::ratio::ratio;

/// What a pressure belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum What {
    /// Bubble pressure at the design temperature, at standstill.
    BubblePressure,
    /// Pressure of the line with the surge of a fast valve on it.
    Surge,
    /// Setting of the high-pressure cut-out.
    CutOut,
    /// Setting of the relief valve.
    Relief,
    /// Rating of a part, by its place in the caller's list.
    Part(usize),
    /// Working pressure of the tube.
    Tube,
}

impl What {
    /// Whether the pressure of `self` must stay at or below that of `bearer`.
    ///
    /// Pressures and settings stay below ratings; the cut-out acts before the relief valve; at standstill the relief valve
    /// must not open. The cut-out stops no sun and the relief valve no surge: such pairs say nothing.
    #[must_use]
    pub fn stays_below(self, bearer: Self) -> bool {
        match bearer {
            Self::Tube | Self::Part(_) => !matches!(self, Self::Tube | Self::Part(_)),
            Self::Relief => matches!(self, Self::BubblePressure | Self::CutOut),
            _ => false,
        }
    }
}

/// One pressure that a line meets, or that meets the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// What it belongs to.
    pub what: What,
    /// Its value.
    pub pressure: GaugePressure,
    /// Half-width of its 95 % band; 0 for a figure on a plate.
    pub half_width: Pressure,
}

/// The pair that governs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Governing {
    /// What presses.
    pub pressing: Bound,
    /// What bears it, and is the first to give way.
    pub bearing: Bound,
    /// Pressure left between them; negative where the bearer is overcome.
    pub margin: Pressure,
    /// Verdict, with the bands of both.
    pub verdict: Verdict,
}

impl Governing {
    /// Independent bands of the two pressures, together.
    #[must_use]
    pub fn half_width(&self) -> Pressure {
        Pressure {
            value: self.pressing.half_width.value.hypot(self.bearing.half_width.value),
            ..self.pressing.half_width
        }
    }
}

/// The pair with the least pressure left between what presses and what bears, after their bands.
///
/// All pairs that mean something ([`What::stays_below`]) are compared: of ratings the lowest governs, of pressures the
/// highest. `None` where no such pair is among the bounds: the check is then not made.
///
/// # Example
/// ```
/// use physics::{check::Verdict, strength::bounds::*, units::{GaugePressure, Pressure, unit::pressure::psi}};
/// let bound = |what, value| Bound { what, pressure: GaugePressure::new(Pressure::new::<psi>(value)), half_width: Pressure::new::<psi>(0.0) };
/// let bounds = [bound(What::Tube, 618.0), bound(What::BubblePressure, 385.0), bound(What::Relief, 450.0), bound(What::Part(0), 400.0)];
/// let found = governing(&bounds).unwrap();
/// // The relief valve would open only above what part 0 bears.
/// assert_eq!((found.pressing.what, found.bearing.what, found.verdict), (What::Relief, What::Part(0), Verdict::Fails));
/// assert!((found.margin.get::<psi>() + 50.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn governing(bounds: &[Bound]) -> Option<Governing> {
    governing_among(bounds, |_, _| true)
}

/// As [`governing`], of those pairs (what presses, what bears) alone that `counts` lets pass.
#[must_use]
pub fn governing_among(bounds: &[Bound], counts: impl Fn(What, What) -> bool) -> Option<Governing> {
    let after_bands = |pair: &Governing| (pair.margin - pair.half_width()).value;
    bounds
        .iter()
        .flat_map(|pressing| bounds.iter().map(move |bearing| (*pressing, *bearing)))
        .filter(|(pressing, bearing)| pressing.what.stays_below(bearing.what))
        .filter(|(pressing, bearing)| counts(pressing.what, bearing.what))
        .map(|(pressing, bearing)| {
            let margin = bearing.pressure.get() - pressing.pressure.get();
            let mut pair = Governing { pressing, bearing, margin, verdict: Verdict::Fails };
            let share = Ratio::new::<ratio>(1.0);
            let limit = Limit { value: Measure::Ratio(share), sense: Sense::AtMost, whose: Whose::Physics };
            let borne = bearing.pressure.get();
            pair.verdict =
                judge((pressing.pressure.get() / borne).value, (pair.half_width() / borne).value, &limit);
            pair
        })
        .min_by(|a, b| after_bands(a).total_cmp(&after_bands(b)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::pressure::bar;

    fn bound(what: What, pressure_bar: f64, half_width_bar: f64) -> Bound {
        Bound {
            what,
            pressure: GaugePressure::new(Pressure::new::<bar>(pressure_bar)),
            half_width: Pressure::new::<bar>(half_width_bar),
        }
    }

    #[test]
    fn the_lowest_rating_and_the_highest_pressure_govern() {
        let bounds = [
            bound(What::Tube, 42.0, 0.0),
            bound(What::Part(0), 45.0, 0.0),
            bound(What::Part(1), 31.0, 0.0),
            bound(What::BubblePressure, 25.0, 0.2),
            bound(What::CutOut, 27.0, 0.0),
        ];
        let found = governing(&bounds).unwrap();
        assert_eq!((found.pressing.what, found.bearing.what), (What::CutOut, What::Part(1)));
        assert_eq!(found.verdict, Verdict::Meets);
        approx::assert_relative_eq!(found.margin.get::<bar>(), 4.0, max_relative = 1e-12);
        let of_tube = governing_among(&bounds, |_, bearing| bearing == What::Tube).unwrap();
        assert_eq!((of_tube.pressing.what, of_tube.bearing.what), (What::CutOut, What::Tube));
        assert!(governing_among(&bounds, |_, bearing| bearing == What::Relief).is_none());
    }

    #[test]
    fn a_band_across_the_rating_is_too_close_to_call() {
        let verdict = |pressure| {
            governing(&[bound(What::Tube, 30.0, 0.0), bound(What::BubblePressure, pressure, 0.5)])
                .map(|found| found.verdict)
        };
        assert_eq!(verdict(29.0), Some(Verdict::Meets));
        assert_eq!(verdict(29.8), Some(Verdict::TooClose));
        assert_eq!(verdict(31.0), Some(Verdict::Fails));
    }

    #[test]
    fn pairs_that_mean_nothing_are_not_compared() {
        assert!(governing(&[]).is_none());
        assert!(governing(&[bound(What::Tube, 40.0, 0.0), bound(What::Part(0), 30.0, 0.0)]).is_none());
        // Standstill above the cut-out is no fault of the line.
        assert!(
            governing(&[bound(What::BubblePressure, 30.0, 0.0), bound(What::CutOut, 25.0, 0.0)]).is_none()
        );
        assert!(governing(&[bound(What::Surge, 40.0, 0.0), bound(What::Relief, 30.0, 0.0)]).is_none());
        // But a relief valve that opens at standstill is.
        let found =
            governing(&[bound(What::BubblePressure, 30.0, 0.0), bound(What::Relief, 28.0, 0.0)]).unwrap();
        assert_eq!(found.verdict, Verdict::Fails);
    }
}
