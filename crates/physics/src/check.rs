//! Checks: a value against a limit, with its band, and the verdict.

use crate::{
    line::MarchError,
    uncertainty::Lever,
    units::{GaugePressure, Length, Pressure, Ratio, TemperatureInterval, Velocity},
};

/// What a check is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum CheckKind {
    /// Pressure drop as change of saturation temperature.
    SaturatedTemperatureDrop,
    /// Bubble temperature less liquid temperature, at its least along the line.
    FlashMargin,
    /// Greatest velocity.
    Velocity,
    /// Mass rate in risers against the least that carries oil.
    OilReturn,
    /// Measured run against the maker's longest.
    Run,
    /// Height of the condenser above (or below) the head against the maker's greatest.
    Rise,
    /// Pressures that the line meets against the working pressure of its tube, and its surge against all that bears it.
    WorkingPressure,
    /// Pressures that the line meets against the ratings of its parts and the setting of its relief valve.
    RatedPressure,
    /// Pressure difference across the bypass of a flooding valve against the one that opens it.
    BranchBudget,
}

impl CheckKind {
    /// Whether another tube can change the verdict. One that no tube changes refuses none.
    #[must_use]
    pub fn depends_on_tube(self) -> bool {
        !matches!(self, Self::Run | Self::Rise | Self::RatedPressure | Self::BranchBudget)
    }
}

/// An operating point at which checks run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// Design.
    Summer,
    /// Lowest controlled head pressure.
    LowHead,
    /// Start of freeze or pull-down.
    Peak,
    /// Least load.
    LeastLoad,
    /// Lowest controlled head pressure and least load in the air of the coldest night: where gas may condense in its line. No
    /// check is judged there.
    ColdNight,
}

/// A value or a limit, in the quantity that its check is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// A temperature difference.
    TemperatureDifference(TemperatureInterval),
    /// A velocity.
    Velocity(Velocity),
    /// A length or height.
    Length(Length),
    /// A ratio.
    Ratio(Ratio),
    /// A pressure above that of the atmosphere.
    GaugePressure(GaugePressure),
    /// A pressure difference.
    Pressure(Pressure),
}

impl Measure {
    /// The number in SI: K, m/s, m, 1 or Pa.
    #[must_use]
    pub fn si(self) -> f64 {
        match self {
            Self::TemperatureDifference(value) => value.value,
            Self::Velocity(value) => value.value,
            Self::Length(value) => value.value,
            Self::Ratio(value) => value.value,
            Self::GaugePressure(value) => value.get().value,
            Self::Pressure(value) => value.value,
        }
    }

    /// The same quantity with another number in SI.
    #[must_use]
    pub fn with_si(self, number: f64) -> Self {
        use uom::si::{
            length::meter, pressure::pascal, ratio::ratio, temperature_interval::kelvin,
            velocity::meter_per_second,
        };
        match self {
            Self::TemperatureDifference(_) => {
                Self::TemperatureDifference(TemperatureInterval::new::<kelvin>(number))
            }
            Self::Velocity(_) => Self::Velocity(Velocity::new::<meter_per_second>(number)),
            Self::Length(_) => Self::Length(Length::new::<meter>(number)),
            Self::Ratio(_) => Self::Ratio(Ratio::new::<ratio>(number)),
            Self::GaugePressure(_) => {
                Self::GaugePressure(GaugePressure::new(Pressure::new::<pascal>(number)))
            }
            Self::Pressure(_) => Self::Pressure(Pressure::new::<pascal>(number)),
        }
    }
}

/// On which side of its limit a value must stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// At or below.
    AtMost,
    /// At or above.
    AtLeast,
}

/// Who sets a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// Good practice of the trade.
    Practice,
    /// The maker's plate or sheet.
    Maker,
    /// The job file.
    Job,
    /// Nature.
    Physics,
}

impl Whose {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Practice => "practice",
            Self::Maker => "maker",
            Self::Job => "job",
            Self::Physics => "physics",
        }
    }
}

/// A limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Its value.
    pub value: Measure,
    /// The side that is good.
    pub sense: Sense,
    /// Who sets it.
    pub whose: Whose,
}

impl Limit {
    /// Distance of a value to the limit in SI: positive on the good side.
    #[must_use]
    pub fn margin_si(&self, value_si: f64) -> f64 {
        match self.sense {
            Sense::AtMost => self.value.si() - value_si,
            Sense::AtLeast => value_si - self.value.si(),
        }
    }

    /// The stricter of two limits on the same quantity and side; the first where they are equal.
    #[must_use]
    pub fn stricter(self, other: Self) -> Self {
        if other.margin_si(self.value.si()) < 0.0 { other } else { self }
    }
}

/// Why a check was not made.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Why {
    /// The operating point is not stated.
    ConditionMissing(Condition),
    /// The march left the property data.
    Unmarched(MarchError),
    /// The method has no answer at this state.
    OutsideMethod,
    /// A pressure that the line meets, at standstill say, is beyond the property data: for every tube alike.
    PressureUnknown,
    /// The tables do not say what the tube bears at its temperature.
    Unrated,
}

impl Why {
    /// Whether it is the same for every tube, so that it refuses none.
    #[must_use]
    pub fn is_of_every_tube(self) -> bool {
        matches!(self, Self::ConditionMissing(_) | Self::PressureUnknown)
    }
}

/// Verdict of a check.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// The value and its band stay on the good side.
    Meets,
    /// The band crosses the limit.
    TooClose,
    /// The value and its band lie beyond, or the line can not work at all.
    Fails,
    /// Not made.
    NotChecked(Why),
}

impl Verdict {
    /// How bad: fails, too close to call, not checked, meets.
    #[must_use]
    pub fn severity(self) -> u8 {
        match self {
            Self::Fails => 3,
            Self::TooClose => 2,
            Self::NotChecked(_) => 1,
            Self::Meets => 0,
        }
    }
}

/// A check made, or said not to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// What it is about.
    pub kind: CheckKind,
    /// The value at the governing condition; none where no value could be found.
    pub value: Option<Measure>,
    /// Its limit.
    pub limit: Limit,
    /// The condition that governs; none where conditions do not matter.
    pub condition: Option<Condition>,
    /// Half-width of the value's 95 % band.
    pub band: Option<Measure>,
    /// The doubt that widens the band most; none where there is no band, or it comes from no lever.
    pub leading: Option<Lever>,
    /// The verdict.
    pub verdict: Verdict,
    /// What stopped the march, where that is why the check fails.
    pub trouble: Option<MarchError>,
}

impl Check {
    /// Margin to the limit in SI, positive on the good side.
    #[must_use]
    pub fn margin_si(&self) -> Option<f64> {
        self.value.map(|value| self.limit.margin_si(value.si()))
    }

    /// Margin as a share of the limit (of one unit where the limit is 0): what ranks checks of different kinds.
    #[must_use]
    pub fn relative_margin(&self) -> Option<f64> {
        let scale = self.limit.value.si().abs();
        self.margin_si().map(|margin| margin / if scale > 0.0 { scale } else { 1.0 })
    }
}

/// Verdict of a value with its band against a limit.
///
/// ```
/// use physics::check::{judge, Limit, Measure, Sense, Verdict, Whose};
/// use physics::units::{Velocity, unit::velocity::meter_per_second};
/// let limit = Limit { value: Measure::Velocity(Velocity::new::<meter_per_second>(1.5)), sense: Sense::AtMost, whose: Whose::Practice };
/// assert_eq!(judge(1.2, 0.1, &limit), Verdict::Meets);
/// assert_eq!(judge(1.45, 0.1, &limit), Verdict::TooClose);
/// assert_eq!(judge(1.7, 0.1, &limit), Verdict::Fails);
/// ```
#[must_use]
pub fn judge(value_si: f64, half_width_si: f64, limit: &Limit) -> Verdict {
    let margin = limit.margin_si(value_si);
    if margin >= half_width_si {
        Verdict::Meets
    } else if margin < -half_width_si || margin.is_nan() {
        Verdict::Fails
    } else {
        Verdict::TooClose
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::{length::meter, pressure::pascal};

    fn length(value: f64, sense: Sense) -> Limit {
        Limit { value: Measure::Length(Length::new::<meter>(value)), sense, whose: Whose::Maker }
    }

    #[test]
    fn a_limit_is_met_on_the_limit_itself_when_nothing_is_in_doubt() {
        for sense in [Sense::AtMost, Sense::AtLeast] {
            assert_eq!(judge(30.0, 0.0, &length(30.0, sense)), Verdict::Meets);
        }
        assert_eq!(judge(30.0, 0.1, &length(30.0, Sense::AtMost)), Verdict::TooClose);
        assert_eq!(judge(31.0, 0.1, &length(30.0, Sense::AtLeast)), Verdict::Meets);
        assert_eq!(judge(29.0, 0.1, &length(30.0, Sense::AtLeast)), Verdict::Fails);
        assert_eq!(judge(f64::NAN, 0.1, &length(30.0, Sense::AtLeast)), Verdict::Fails);
        assert_eq!(judge(29.0, f64::INFINITY, &length(30.0, Sense::AtLeast)), Verdict::TooClose);
    }

    #[test]
    fn the_stricter_limit_is_the_smaller_ceiling_and_the_higher_floor() {
        let (low, high) = (length(20.0, Sense::AtMost), length(30.0, Sense::AtMost));
        assert_eq!((low.stricter(high), high.stricter(low)), (low, low));
        let (low, high) = (length(20.0, Sense::AtLeast), length(30.0, Sense::AtLeast));
        assert_eq!((low.stricter(high), high.stricter(low)), (high, high));
    }

    #[test]
    fn worse_verdicts_weigh_more() {
        let why = Verdict::NotChecked(Why::ConditionMissing(Condition::Peak));
        let order = [Verdict::Meets, why, Verdict::TooClose, Verdict::Fails];
        assert!(order.windows(2).all(|pair| pair[0].severity() < pair[1].severity()));
    }

    #[test]
    fn exactly_a_band_beyond_the_limit_is_still_too_close() {
        assert_eq!(judge(30.5, 0.5, &length(30.0, Sense::AtMost)), Verdict::TooClose);
        assert_eq!(judge(30.5 + 1e-9, 0.5, &length(30.0, Sense::AtMost)), Verdict::Fails);
    }

    #[test]
    fn margins_are_distances_to_the_limit_and_shares_of_it() {
        let check = |value: Option<f64>, limit: f64, sense| Check {
            kind: CheckKind::Run,
            value: value.map(|value| Measure::Length(Length::new::<meter>(value))),
            limit: length(limit, sense),
            condition: None,
            band: None,
            leading: None,
            verdict: Verdict::Meets,
            trouble: None,
        };
        let margins = |check: Check| (check.margin_si(), check.relative_margin());
        assert_eq!(margins(check(Some(24.0), 30.0, Sense::AtMost)), (Some(6.0), Some(0.2)));
        assert_eq!(margins(check(Some(24.0), 30.0, Sense::AtLeast)), (Some(-6.0), Some(-0.2)));
        // A limit of 0 has no shares: the distance itself ranks.
        assert_eq!(margins(check(Some(2.5), 0.0, Sense::AtLeast)), (Some(2.5), Some(2.5)));
        assert_eq!(margins(check(Some(-6.0), -3.0, Sense::AtLeast)), (Some(-3.0), Some(-1.0)));
        assert_eq!(margins(check(None, 30.0, Sense::AtMost)), (None, None));
    }

    #[test]
    fn everybody_who_sets_limits_has_a_word() {
        let words = [Whose::Practice, Whose::Maker, Whose::Job, Whose::Physics].map(Whose::word);
        assert_eq!(words, ["practice", "maker", "job", "physics"]);
    }

    #[test]
    fn a_measure_keeps_its_quantity() {
        let measure = Measure::Length(Length::new::<meter>(1.0));
        assert_eq!(measure.with_si(2.0), Measure::Length(Length::new::<meter>(2.0)));
        let gauge = Measure::GaugePressure(GaugePressure::new(Pressure::new::<pascal>(1e6)));
        assert_eq!((gauge.si(), gauge.with_si(2e6).si()), (1e6, 2e6));
        assert!(matches!(gauge.with_si(2e6), Measure::GaugePressure(_)));
        let pressure = Measure::Pressure(Pressure::new::<uom::si::pressure::pascal>(1.0));
        assert_eq!((pressure.with_si(2.0).si(), pressure.si()), (2.0, 1.0));
        assert!(matches!(pressure.with_si(2.0), Measure::Pressure(_)));
    }
}
