//! A line: tube, legs and fittings in the order of flow, and the march along it.

mod allowable;
mod exchange;
mod local;
mod march;

pub use crate::fluid::Phase;
pub use allowable::{AllowableLength, first_event};
pub use exchange::{ExchangeError, Setting, exchanges};
pub use local::{Flow, Local};
pub(crate) use march::march_to_outlet_near;
pub use march::{
    Inlet, MarchError, Outlet, PHASE_CHANGES_KEPT, PhaseChange, RiserGas, Station, Stream, Tolerance, march,
    march_to_outlet, march_with_heat,
};

use crate::{
    fittings::ThreeK,
    uncertainty::Factors,
    units::{Bore, Length, Pressure, Ratio},
};
use uom::si::length::meter;

/// What stands in the way of the flow, in the order of flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Element {
    /// A straight piece of tube: its length and the height it gains (negative when it falls; never more than its length).
    Leg {
        /// Length along the tube.
        length: Length,
        /// Height gained in the direction of flow.
        rise: Length,
    },
    /// `count` equal fittings by the 3-K method.
    Fitting {
        /// Coefficients.
        coefficients: ThreeK,
        /// How many.
        count: u32,
    },
    /// A fixed resistance coefficient `K` of `dp = K rho v^2 / 2`.
    Resistance {
        /// The coefficient.
        coefficient: Ratio,
    },
    /// A spring-loaded check valve: it takes its cracking pressure, and `K rho v^2 / 2` where that is more.
    CheckValve {
        /// The coefficient `K` when it is wide open.
        coefficient: Ratio,
        /// Pressure difference at which it begins to open.
        cracking: Pressure,
    },
}

/// A run of one tube.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Bore of the tube.
    pub bore: Bore,
    /// Absolute roughness of its wall.
    pub roughness: Length,
    /// Legs and fittings in the order of flow.
    pub elements: Vec<Element>,
    /// Doubts about the model; all 1 for the line as such.
    pub factors: Factors,
}

impl Line {
    /// A line without doubts about its model.
    #[must_use]
    pub fn new(bore: Bore, roughness: Length, elements: Vec<Element>) -> Self {
        Self { bore, roughness, elements, factors: Factors::default() }
    }

    /// Measured length.
    #[must_use]
    pub fn run(&self) -> Length {
        self.legs().fold(Length::new::<meter>(0.0), |sum, (length, _)| sum + length)
    }

    /// Height gained from inlet to outlet.
    #[must_use]
    pub fn lift(&self) -> Length {
        self.legs().fold(Length::new::<meter>(0.0), |sum, (_, rise)| sum + rise)
    }

    /// Whether vapour has to climb somewhere: where oil return matters.
    #[must_use]
    pub fn has_riser(&self) -> bool {
        self.legs().any(|(_, rise)| rise > Length::new::<meter>(0.0))
    }

    /// The same line with the leg at `index` made `length` long (its rise kept); unchanged if `index` is no leg.
    #[must_use]
    pub fn with_leg_length(&self, index: usize, new_length: Length) -> Self {
        let mut line = self.clone();
        if let Some(Element::Leg { length, .. }) = line.elements.get_mut(index) {
            *length = new_length;
        }
        line
    }

    /// Length and rise of each leg, in the order of flow.
    pub fn legs(&self) -> impl Iterator<Item = (Length, Length)> {
        self.elements.iter().filter_map(|element| match element {
            Element::Leg { length, rise } => Some((*length, *rise)),
            _ => None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn leg(length_m: f64, rise_m: f64) -> Element {
        Element::Leg { length: Length::new::<meter>(length_m), rise: Length::new::<meter>(rise_m) }
    }

    #[test]
    fn run_and_lift_add_up_over_legs_alone() {
        let elbow = Element::Resistance { coefficient: Ratio::new::<uom::si::ratio::ratio>(0.5) };
        let elements = vec![leg(12.0, 3.0), elbow, leg(6.0, -6.0), leg(2.0, 0.0)];
        let mut line = Line::new(Bore::new(Length::new::<meter>(0.01)), Length::new::<meter>(0.0), elements);
        assert_eq!((line.run().value, line.lift().value, line.has_riser()), (20.0, -3.0, true));
        let longer = line.with_leg_length(3, Length::new::<meter>(9.0));
        assert_eq!((longer.run().value, longer.lift().value), (27.0, -3.0));
        assert_eq!(line.with_leg_length(1, Length::new::<meter>(9.0)), line, "an elbow has no length");
        line.elements = vec![leg(6.0, -6.0), leg(2.0, 0.0)];
        assert!(!line.has_riser());
    }
}
