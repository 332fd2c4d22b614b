//! A straight scale from values to pixels with round ticks.

/// Scale of one axis; `low` and `high` are the values at the two ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    low: f64,
    high: f64,
    low_pixel: f64,
    high_pixel: f64,
    step: f64,
}

impl Axis {
    /// From zero to a round number at or above `greatest`, with about `ticks` steps.
    pub(super) fn from_zero(greatest: f64, pixels: [i32; 2], ticks: f64) -> Self {
        let greatest = if greatest.is_finite() && greatest > 0.0 { greatest } else { 1.0 };
        let step = round_step(greatest / ticks);
        Self {
            low: 0.0,
            high: (greatest / step - 1e-9).ceil() * step,
            low_pixel: f64::from(pixels[0]),
            high_pixel: f64::from(pixels[1]),
            step,
        }
    }

    /// As [`Axis::from_zero`], reaching down to a round number at or below `least` where that is negative.
    pub(super) fn around_zero(least: f64, greatest: f64, pixels: [i32; 2], ticks: f64) -> Self {
        let least = if least.is_finite() { least.min(0.0) } else { 0.0 };
        let span = Self::from_zero(greatest.max(0.0) - least, pixels, ticks);
        let above = Self::from_zero(greatest, pixels, ticks * greatest.max(span.step) / span.high);
        Self {
            low: (least / span.step + 1e-9).floor() * span.step,
            high: if least < 0.0 {
                (greatest.max(0.0) / span.step - 1e-9).ceil() * span.step
            } else {
                above.high
            },
            ..span
        }
    }

    /// From `least`, round or not, to a round number at or above `greatest`.
    pub(super) fn down_to(least: f64, greatest: f64, pixels: [i32; 2], ticks: f64) -> Self {
        Self { low: least, ..Self::between(least, greatest, pixels, ticks) }
    }

    /// From `least` to `greatest`, round or not.
    pub(super) fn exactly(least: f64, greatest: f64, pixels: [i32; 2], ticks: f64) -> Self {
        let span = Self::from_zero(greatest - least, pixels, ticks);
        let greatest = if greatest.is_finite() && greatest > least { greatest } else { least + span.high };
        Self { low: least, high: greatest, ..span }
    }

    /// From a round number at or below `least` to one at or above `greatest`.
    pub(super) fn between(least: f64, greatest: f64, pixels: [i32; 2], ticks: f64) -> Self {
        let span = Self::from_zero(greatest - least, pixels, ticks);
        let (low, high) = (least / span.step + 1e-9, greatest / span.step - 1e-9);
        Self { low: low.floor() * span.step, high: high.ceil() * span.step, ..span }
    }

    /// Pixel of a value; values beyond the ends land on the ends.
    pub(super) fn pixel(&self, value: f64) -> i32 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        (self.low_pixel + share * (self.high_pixel - self.low_pixel)).round() as i32
    }

    /// The value at the far end.
    pub(super) fn high(&self) -> f64 {
        self.high
    }

    /// Whether a value lies between the ends.
    pub(super) fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// Values of the ticks with their texts.
    pub(super) fn ticks(&self) -> impl Iterator<Item = (f64, String)> + '_ {
        let first = (self.low / self.step - 1e-9).ceil() as i64;
        let last = (self.high / self.step + 1e-9).floor() as i64;
        let decimals = if self.step >= 1.0 { 0 } else { (-self.step.log10()).ceil() as usize };
        (first..=last).map(move |index| {
            let value = index as f64 * self.step;
            (value, format!("{value:.decimals$}"))
        })
    }
}

/// 1, 2 or 5 times a power of ten, at or above `step`.
fn round_step(step: f64) -> f64 {
    let power = 10_f64.powf(step.log10().floor());
    let times = [1.0, 2.0, 5.0].into_iter().find(|times| times * power >= step * (1.0 - 1e-9));
    times.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_cover_the_greatest_value() {
        let axis = Axis::from_zero(282.0, [0, 100], 4.0);
        let texts: Vec<String> = axis.ticks().map(|(_, text)| text).collect();
        assert_eq!(texts, ["0", "100", "200", "300"]);
        assert_eq!(
            (axis.pixel(0.0), axis.pixel(150.0), axis.pixel(300.0), axis.pixel(900.0)),
            (0, 50, 100, 100)
        );
        let small: Vec<String> = Axis::from_zero(0.7, [0, 100], 4.0).ticks().map(|(_, text)| text).collect();
        assert_eq!(small, ["0.0", "0.2", "0.4", "0.6", "0.8"]);
    }

    #[test]
    fn an_axis_can_lie_anywhere() {
        let texts = |axis: Axis| axis.ticks().map(|(_, text)| text).collect::<Vec<_>>();
        assert_eq!(texts(Axis::between(80.0, 118.0, [0, 100], 4.0)), ["80", "90", "100", "110", "120"]);
        assert_eq!(texts(Axis::between(-40.0, 64.0, [0, 100], 5.0)), ["-50", "0", "50", "100"]);
        let low = Axis::down_to(-12.0, 90.0, [0, 100], 5.0);
        assert_eq!((texts(low), low.pixel(-12.0)), (["0", "50", "100"].map(String::from).to_vec(), 0));
        let exact = Axis::exactly(40.0, 170.0, [0, 130], 6.0);
        assert_eq!(
            (texts(exact), exact.pixel(170.0)),
            (["50", "100", "150"].map(String::from).to_vec(), 130)
        );
        assert_eq!(Axis::exactly(0.0, 0.0, [0, 10], 4.0).pixel(1.0), 10);
    }

    #[test]
    fn an_axis_can_reach_below_zero_and_survives_odd_values() {
        let texts: Vec<String> =
            Axis::around_zero(-12.0, 33.0, [100, 0], 5.0).ticks().map(|(_, text)| text).collect();
        assert_eq!(texts, ["-20", "-10", "0", "10", "20", "30", "40"]);
        assert_eq!(Axis::from_zero(f64::NAN, [0, 10], 4.0).pixel(1.0), 10);
        assert_eq!(Axis::around_zero(0.0, 0.0, [0, 10], 4.0).pixel(1.0), 10);
    }
}
