//! Pressure budget of the branch beside a head-pressure bypass: what the valve sees in summer against what opens it.
//!
//! A flooding control has a bypass that lets hot gas past the condenser when the pressure difference across it reaches its
//! opening difference. It is meant to open in winter, when the condenser's outlet is held back. Where the full flow of summer
//! loses as much on its way out and back, it stands open all summer: hot gas passes the condenser and its capacity is lost.
//!
//! **Signs.** Every share is a fall of pressure in the direction of flow, from the bypass's inlet round to its outlet;
//! positive shares add to the difference that the valve sees. Liquid that *falls* back from a roof gains pressure, so its
//! [`return_height`](Branch::AtHead::return_height) is negative; a return that rises costs, and is positive.

use crate::{
    check::{Check, CheckKind, Condition, Limit, Measure, Sense, Whose, judge},
    uncertainty::Lever,
    units::{Pressure, Ratio},
};
use thiserror::Error;
use uom::si::{pressure::pascal, ratio::ratio};

/// Power of the mass rate that a coil's drop goes with: turbulent flow in smooth tube; common practice, no source.
const COIL_EXPONENT: f64 = 1.75;

/// Drop of a coil at another flow than that of design: `dp = dp_design (m / m_design)^1.75`, common practice, no source.
/// A flow of 1 to 5 times design is what it is meant for; density and share of liquid are taken as those of design.
///
/// ```
/// use physics::{branch_budget::coil_drop_at, units::{Pressure, Ratio, unit::{pressure::kilopascal, ratio::ratio}}};
/// let peak = coil_drop_at(Pressure::new::<kilopascal>(20.0), Ratio::new::<ratio>(2.0));
/// assert!((peak.get::<kilopascal>() - 67.2717).abs() < 1e-4);
/// ```
#[must_use]
pub fn coil_drop_at(design: Pressure, flow: Ratio) -> Pressure {
    design * flow.get::<ratio>().powf(COIL_EXPONENT)
}

/// The way that the bypass is parallel to, by where the valve is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Branch {
    /// Valve at the head, between the discharge line's start and the return line's end.
    AtHead {
        /// Drop of the discharge line, with its fittings and the height of its gas; any finite value.
        discharge_line: Pressure,
        /// Drop of the condenser's coil; at least 0.
        coil: Pressure,
        /// Friction of the return line with its fittings; at least 0.
        return_friction: Pressure,
        /// `rho g` times the rise of the return line **if it runs full**: negative where it falls to the head. 0 for a free
        /// drain, whose liquid does not fill the tube and pushes nothing.
        return_height: Pressure,
    },
    /// Valve at the condenser, across the coil alone: lines and heights do not matter to it.
    AtCondenser {
        /// Drop of the condenser's coil; at least 0.
        coil: Pressure,
    },
}

/// 95 % half-widths of what a budget is drawn up from, as shares of it; each at least 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchBands {
    /// Friction of a line.
    pub friction: Ratio,
    /// Drop of the coil.
    pub coil: Ratio,
}

/// Each share of the difference across the bypass, and what is left to its opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchBudget {
    /// Discharge line; 0 for a valve at the condenser.
    pub discharge_line: Pressure,
    /// Coil.
    pub coil: Pressure,
    /// Friction of the return line; 0 for a valve at the condenser.
    pub return_friction: Pressure,
    /// Height of the return line, negative where it falls; 0 for a valve at the condenser.
    pub return_height: Pressure,
    /// Sum of the shares: the difference that the valve sees. Below 0 the falling liquid outweighs all drops.
    pub total: Pressure,
    /// Opening difference less the total: at 0 and below, hot gas bypasses the condenser.
    pub margin: Pressure,
}

impl BranchBudget {
    /// The budget as a check: the difference that the valve sees must stay `least_margin` (at least 0) below its opening
    /// difference.
    ///
    /// The band is the root of squares of the band of friction in `discharge_friction` (the share of friction and fittings in
    /// the discharge line's drop), the same of the return line's friction, and the band of the coil's drop. Friction leads
    /// where a line's share is the largest; the doubt of the coil is no [`Lever`].
    #[must_use]
    pub fn check(
        &self,
        least_margin: Pressure,
        discharge_friction: Pressure,
        bands: &BranchBands,
        condition: Condition,
    ) -> Check {
        let value = Measure::Pressure(self.total);
        let opening_difference = self.total + self.margin;
        let limit = Limit {
            value: Measure::Pressure(opening_difference - least_margin),
            sense: Sense::AtMost,
            whose: Whose::Maker,
        };
        let out_pa = (discharge_friction.abs() * bands.friction).value;
        let back_pa = (self.return_friction * bands.friction).value;
        let coil_pa = (self.coil * bands.coil).value;
        let half_width_pa = out_pa.hypot(back_pa).hypot(coil_pa);
        Check {
            kind: CheckKind::BranchBudget,
            value: Some(value),
            limit,
            condition: Some(condition),
            band: Some(value.with_si(half_width_pa)),
            leading: (out_pa.max(back_pa) > coil_pa).then_some(Lever::Friction),
            verdict: judge(value.si(), half_width_pa, &limit),
            trouble: None,
        }
    }
}

/// A budget that can not be drawn up.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum BudgetError {
    /// The opening difference is not a positive pressure: such a valve would never close.
    #[error("a bypass needs a positive opening difference, not {opening_pa} Pa")]
    NoOpeningDifference {
        /// Opening difference, Pa.
        opening_pa: f64,
    },
    /// A share is no number, or negative where the flow can only lose pressure.
    #[error("the {share} can not be {value_pa} Pa")]
    ImpossibleShare {
        /// The share.
        share: &'static str,
        /// Its value, Pa.
        value_pa: f64,
    },
}

/// Draws up the budget at one flow: the greatest of summer is the one to judge (peak flow, with its drops).
///
/// `total = discharge line + coil + return friction + return height` for a valve at the head, `total = coil` for a valve at
/// the condenser: a balance of pressure round the loop. That the total must stay below the opening difference is common
/// practice, no source.
///
/// # Errors
/// [`BudgetError`]: an opening difference that is not positive and finite, a coil drop or return friction below 0, a share
/// that is no finite number.
///
/// # Example
/// 5 psi of discharge line, 6 psi of coil and 3 psi of return friction; 20 ft of falling liquid give 9 psi back.
/// ```
/// use physics::{branch_budget::{Branch, budget}, units::{Pressure, unit::pressure::psi}};
/// let pounds = |value| Pressure::new::<psi>(value);
/// let branch = Branch::AtHead { discharge_line: pounds(5.0), coil: pounds(6.0), return_friction: pounds(3.0), return_height: pounds(-9.0) };
/// let found = budget(&branch, pounds(20.0))?;
/// assert!((found.total.get::<psi>() - 5.0).abs() < 1e-9 && (found.margin.get::<psi>() - 15.0).abs() < 1e-9);
/// # Ok::<(), physics::branch_budget::BudgetError>(())
/// ```
pub fn budget(branch: &Branch, opening_difference: Pressure) -> Result<BranchBudget, BudgetError> {
    let opening_pa = opening_difference.value;
    if !(opening_pa > 0.0 && opening_pa.is_finite()) {
        return Err(BudgetError::NoOpeningDifference { opening_pa });
    }
    let none = Pressure::new::<pascal>(0.0);
    let (discharge_line, coil, return_friction, return_height) = match *branch {
        Branch::AtHead { discharge_line, coil, return_friction, return_height } => {
            (discharge_line, coil, return_friction, return_height)
        }
        Branch::AtCondenser { coil } => (none, coil, none, none),
    };
    for (share, drop, holds) in [
        ("drop of the discharge line", discharge_line, true),
        ("drop of the coil", coil, coil >= none),
        ("friction of the return line", return_friction, return_friction >= none),
        ("height of the return line", return_height, true),
    ] {
        if !(holds && drop.is_finite()) {
            return Err(BudgetError::ImpossibleShare { share, value_pa: drop.value });
        }
    }
    let total = discharge_line + coil + return_friction + return_height;
    let margin = opening_difference - total;
    Ok(BranchBudget { discharge_line, coil, return_friction, return_height, total, margin })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Verdict;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::pressure::psi;

    fn pounds(value: f64) -> Pressure {
        Pressure::new::<psi>(value)
    }

    fn bands() -> BranchBands {
        BranchBands { friction: Ratio::new::<ratio>(0.1), coil: Ratio::new::<ratio>(0.2) }
    }

    fn at_head(discharge: f64, coil: f64, friction: f64, height: f64) -> Branch {
        Branch::AtHead {
            discharge_line: pounds(discharge),
            coil: pounds(coil),
            return_friction: pounds(friction),
            return_height: pounds(height),
        }
    }

    /// By hand: a condenser below the head, so that the return rises: 4 + 8 + 5 + 6 = 23 psi against 20.
    #[test]
    fn a_rising_return_opens_the_bypass() {
        let found = budget(&at_head(4.0, 8.0, 5.0, 6.0), pounds(20.0)).unwrap();
        assert_relative_eq!(found.total.get::<psi>(), 23.0, max_relative = 1e-12);
        assert_relative_eq!(found.margin.get::<psi>(), -3.0, max_relative = 1e-12);
        let falling = budget(&at_head(4.0, 8.0, 5.0, -6.0), pounds(20.0)).unwrap();
        assert_relative_eq!(falling.margin.get::<psi>(), 9.0, max_relative = 1e-12);
    }

    #[test]
    fn a_valve_at_the_condenser_sees_the_coil_alone() {
        let found = budget(&Branch::AtCondenser { coil: pounds(8.0) }, pounds(20.0)).unwrap();
        assert_eq!((found.total, found.coil), (pounds(8.0), pounds(8.0)));
        assert_eq!(found.discharge_line + found.return_friction + found.return_height, pounds(0.0));
        assert_relative_eq!(found.margin.get::<psi>(), 12.0, max_relative = 1e-12);
    }

    /// By hand: 10 % of 4 and of 5 psi and 20 % of 8 psi are 0.4, 0.5 and 1.6: the root of squares is 1.7234 psi.
    #[test]
    fn as_a_check_it_has_a_band_and_keeps_a_margin() {
        let at = |opening: f64, least_margin: f64| {
            let found = budget(&at_head(5.0, 8.0, 5.0, -6.0), pounds(opening)).unwrap();
            found.check(pounds(least_margin), pounds(4.0), &bands(), Condition::Peak)
        };
        let check = at(20.0, 0.0);
        let psi_of = |measure: Option<Measure>| measure.unwrap().si() / pounds(1.0).value;
        assert_relative_eq!(psi_of(check.value), 12.0, max_relative = 1e-12);
        assert_relative_eq!(psi_of(Some(check.limit.value)), 20.0, max_relative = 1e-12);
        assert_relative_eq!(psi_of(check.band), 1.7234, max_relative = 1e-4);
        assert_eq!((check.verdict, check.condition), (Verdict::Meets, Some(Condition::Peak)));
        assert_eq!(check.leading, None, "the coil leads, and is no lever");
        assert_eq!(at(13.0, 0.0).verdict, Verdict::TooClose);
        assert_eq!(at(10.0, 0.0).verdict, Verdict::Fails);
        assert_eq!(at(20.0, 7.0).verdict, Verdict::TooClose, "the margin comes off the opening difference");
        let of_lines = budget(&at_head(20.0, 1.0, 1.0, 0.0), pounds(30.0)).unwrap();
        let check = of_lines.check(pounds(0.0), pounds(20.0), &bands(), Condition::Summer);
        assert_eq!(check.leading, Some(Lever::Friction));
    }

    #[test]
    fn the_coil_drop_of_the_design_flow_is_the_stated_one() {
        let at = |flow: f64| coil_drop_at(pounds(3.0), Ratio::new::<ratio>(flow)).get::<psi>();
        assert_relative_eq!(at(1.0), 3.0, max_relative = 1e-12);
        // 1.7^1.75 = exp(1.75 ln 1.7) = 2.5310.
        assert_relative_eq!(at(1.7), 3.0 * 2.5310, max_relative = 1e-4);
    }

    #[test]
    fn what_can_not_be_is_refused() {
        for opening in [0.0, -20.0, f64::NAN, f64::INFINITY] {
            let found = budget(&at_head(1.0, 1.0, 1.0, -1.0), pounds(opening));
            assert!(matches!(found, Err(BudgetError::NoOpeningDifference { .. })), "{opening}");
        }
        for (branch, told) in [
            (at_head(f64::NAN, 1.0, 1.0, 1.0), "drop of the discharge line"),
            (at_head(1.0, -1.0, 1.0, 1.0), "drop of the coil"),
            (at_head(1.0, f64::NAN, 1.0, 1.0), "drop of the coil"),
            (at_head(1.0, 1.0, -0.1, 1.0), "friction of the return line"),
            (at_head(1.0, 1.0, 1.0, f64::NEG_INFINITY), "height of the return line"),
            (Branch::AtCondenser { coil: pounds(-1.0) }, "drop of the coil"),
        ] {
            let found = budget(&branch, pounds(20.0));
            assert!(
                matches!(found, Err(BudgetError::ImpossibleShare { share, .. }) if share == told),
                "{told}: {found:?}"
            );
        }
    }

    proptest! {
        #[test]
        fn shares_and_margin_add_up_to_the_opening_difference(
            discharge in -2.0..20.0_f64, coil in 0.0..20.0_f64, friction in 0.0..20.0_f64, height in -30.0..30.0_f64,
            opening in 0.1..40.0_f64,
        ) {
            let found = budget(&at_head(discharge, coil, friction, height), pounds(opening)).unwrap();
            let sum = found.discharge_line + found.coil + found.return_friction + found.return_height + found.margin;
            prop_assert!((sum.get::<psi>() - opening).abs() < 1e-9);
            let alone = budget(&Branch::AtCondenser { coil: pounds(coil) }, pounds(opening)).unwrap();
            let others = discharge + friction + height;
            prop_assert!(((alone.margin - found.margin).get::<psi>() - others).abs() < 1e-9);
        }
    }
}
