//! Charge: what lines hold, and what to add for lines that the factory charge does not cover.

use crate::{
    uncertainty::{Factors, Lever, Nudge},
    units::{Bore, Length, LinearMassDensity, Mass, MassDensity},
};
use uom::si::mass::kilogram;

/// Charge per length of a tube filled with refrigerant of one density: `rho pi D^2 / 4`.
///
/// # Example
/// R-22 liquid of 1128.5 kg/m3 in a 3/8 in tube of 8.001 mm bore holds 0.0567 kg/m; the trade says 0.6 oz/ft
/// (common practice), which is 0.0558 kg/m.
/// ```
/// use physics::{charge::charge_per_length, units::{Bore, Length, MassDensity, unit::{length::millimeter, linear_mass_density::kilogram_per_meter, mass_density::kilogram_per_cubic_meter}}};
/// let held = charge_per_length(MassDensity::new::<kilogram_per_cubic_meter>(1128.5), Bore::new(Length::new::<millimeter>(8.001)));
/// assert!((held.get::<kilogram_per_meter>() - 0.05674).abs() < 1e-5);
/// ```
#[must_use]
pub fn charge_per_length(density: MassDensity, bore: Bore) -> LinearMassDensity {
    density * bore.area()
}

/// One line, this run beside what the factory charge covers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineCharge {
    /// Mean density along the line.
    pub density: MassDensity,
    /// Bore of this run's tube.
    pub bore: Bore,
    /// This run.
    pub run: Length,
    /// Bore that the factory charge covers.
    pub covered_bore: Bore,
    /// Run that the factory charge covers.
    pub covered_run: Length,
    /// The maker's charge per length beyond the covered run, where stated for this tube.
    pub stated_rate: Option<LinearMassDensity>,
    /// Doubts about density and this run's length; all 1 for the line as such.
    pub factors: Factors,
}

impl LineCharge {
    /// What this run holds.
    #[must_use]
    pub fn this_run(&self) -> Mass {
        charge_per_length(self.density, self.bore) * self.run * (self.factors.density * self.factors.length)
    }

    /// What the covered run holds in the covered tube. It is a figure of the plate: no doubt about its length.
    #[must_use]
    pub fn covered(&self) -> Mass {
        charge_per_length(self.density, self.covered_bore) * self.covered_run * self.factors.density
    }

    /// What this run holds more than the covered run (negative: less).
    #[must_use]
    pub fn computed(&self) -> Mass {
        self.this_run() - self.covered()
    }

    /// What the maker's rate makes of the difference in run, where a rate is stated.
    #[must_use]
    pub fn stated(&self) -> Option<Mass> {
        self.stated_rate.map(|rate| rate * (self.run * self.factors.length - self.covered_run))
    }

    /// The maker's figure where stated, ours otherwise.
    #[must_use]
    pub fn difference(&self) -> Mass {
        self.stated().unwrap_or_else(|| self.computed())
    }
}

impl Nudge for LineCharge {
    fn nudged(&self, lever: Lever, by: f64) -> Self {
        Self { factors: self.factors.nudged(lever, by), ..*self }
    }
}

/// What to add to the factory charge for the lines of a set.
///
/// The lines' differences are summed: a wider discharge line and a narrower liquid line partly cancel. Nothing is
/// taken out of a set with a receiver, which takes up what shorter lines leave over; without a receiver the answer may
/// be negative (charge to take out).
#[must_use]
pub fn added_charge(differences: impl IntoIterator<Item = Mass>, receiver: bool) -> Mass {
    let nothing = Mass::new::<kilogram>(0.0);
    let sum = differences.into_iter().fold(nothing, |sum, mass| sum + mass);
    if receiver && sum < nothing { nothing } else { sum }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use uom::si::{
        length::{meter, millimeter},
        linear_mass_density::kilogram_per_meter,
        mass_density::kilogram_per_cubic_meter,
    };

    fn line(run_m: f64, covered_m: f64, stated_kg_m: Option<f64>) -> LineCharge {
        LineCharge {
            density: MassDensity::new::<kilogram_per_cubic_meter>(1000.0),
            bore: Bore::new(Length::new::<millimeter>(10.0)),
            run: Length::new::<meter>(run_m),
            covered_bore: Bore::new(Length::new::<millimeter>(8.0)),
            covered_run: Length::new::<meter>(covered_m),
            stated_rate: stated_kg_m.map(LinearMassDensity::new::<kilogram_per_meter>),
            factors: Factors::default(),
        }
    }

    #[test]
    fn covered_run_belongs_to_its_own_tube() {
        let area = std::f64::consts::FRAC_PI_4;
        let computed = line(30.0, 20.0, None).computed().get::<kilogram>();
        assert_relative_eq!(computed, 1000.0 * area * (1e-4 * 30.0 - 0.64e-4 * 20.0), max_relative = 1e-12);
    }

    #[test]
    fn the_makers_rate_decides_where_stated() {
        let stated = line(30.0, 20.0, Some(0.05));
        assert_relative_eq!(stated.difference().get::<kilogram>(), 0.5, max_relative = 1e-12);
        assert!(stated.computed() != stated.difference());
    }

    #[test]
    fn nothing_is_taken_out_where_a_receiver_takes_it_up() {
        let short = [line(10.0, 20.0, Some(0.05)).difference()];
        assert_eq!(added_charge(short, true).get::<kilogram>(), 0.0);
        assert_relative_eq!(added_charge(short, false).get::<kilogram>(), -0.5, max_relative = 1e-12);
    }

    #[test]
    fn doubt_about_length_leaves_the_plates_covered_run_alone() {
        let nudged = line(30.0, 20.0, Some(0.05)).nudged(Lever::Length, 0.1);
        assert_relative_eq!(nudged.stated().unwrap().get::<kilogram>(), 0.05 * 13.0, max_relative = 1e-12);
        assert_eq!(nudged.covered(), line(30.0, 20.0, None).covered());
        let longer = line(30.0, 20.0, None).nudged(Lever::Length, 0.1).this_run();
        assert_relative_eq!(
            longer.value,
            1.1 * line(30.0, 20.0, None).this_run().value,
            max_relative = 1e-12
        );
        let denser = line(30.0, 20.0, None).nudged(Lever::Density, 0.1);
        assert_relative_eq!(
            denser.computed().get::<kilogram>(),
            1.1 * line(30.0, 20.0, None).computed().get::<kilogram>(),
            max_relative = 1e-12
        );
    }
}
