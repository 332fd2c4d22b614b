//! Uncertainty by nudging: the same study runs again with one input moved at a time.

/// Doubts about a model's inputs, as factors that the kernels multiply in; all 1 for the case as such.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// On density.
    pub density: f64,
    /// On viscosity.
    pub viscosity: f64,
    /// On friction and fitting losses.
    pub friction: f64,
    /// On measured lengths (heights stay).
    pub length: f64,
    /// On the least flow of the oil-return criterion.
    pub oil_flux: f64,
    /// On heat exchange with the surroundings.
    pub heat_transfer: f64,
    /// Added to the temperature of the surroundings, K; 0 for the case as such.
    pub surroundings_k: f64,
    /// On the mass rate.
    pub load: f64,
}

impl Default for Factors {
    fn default() -> Self {
        Self {
            density: 1.0,
            viscosity: 1.0,
            friction: 1.0,
            length: 1.0,
            oil_flux: 1.0,
            heat_transfer: 1.0,
            surroundings_k: 0.0,
            load: 1.0,
        }
    }
}

/// An input that can be nudged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Lever {
    /// Density of the refrigerant.
    Density,
    /// Viscosity of the refrigerant.
    Viscosity,
    /// Friction and fitting losses.
    Friction,
    /// Measured length of the route.
    Length,
    /// Least flow of the oil-return criterion.
    OilFlux,
    /// Heat exchange with the surroundings.
    HeatTransfer,
    /// Temperature of the surroundings.
    Surroundings,
    /// Mass rate.
    Load,
}

impl Factors {
    /// The factors with one lever moved by a relative amount (0.02 for 2 % more); the surroundings by kelvins.
    #[must_use]
    pub fn nudged(mut self, lever: Lever, by: f64) -> Self {
        let factor = match lever {
            Lever::Surroundings => {
                self.surroundings_k += by;
                return self;
            }
            Lever::Density => &mut self.density,
            Lever::Viscosity => &mut self.viscosity,
            Lever::Friction => &mut self.friction,
            Lever::Length => &mut self.length,
            Lever::OilFlux => &mut self.oil_flux,
            Lever::HeatTransfer => &mut self.heat_transfer,
            Lever::Load => &mut self.load,
        };
        *factor *= 1.0 + by;
        self
    }
}

/// A case whose inputs can be nudged.
pub trait Nudge {
    /// The same case with one lever moved by a relative amount.
    #[must_use]
    fn nudged(&self, lever: Lever, by: f64) -> Self;
}

/// A value and the half-width of its 95 % band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// The value of the case as such.
    pub nominal: f64,
    /// Half-width of the 95 % band.
    pub half_width: f64,
    /// The lever that widens the band most; none where no lever moves the value.
    pub leading: Option<Lever>,
}

/// Runs `study` on the case and on the case with each lever moved up and down by its 95 % half-width.
///
/// A lever's share is the larger of its two excursions; shares are combined by root of squares (levers taken as
/// independent).
///
/// # Errors
/// The first error of the study, nominal or nudged.
pub fn propagate<C: Nudge, E, const N: usize>(
    case: &C,
    bands: &[(Lever, f64)],
    study: impl Fn(&C) -> Result<[f64; N], E>,
) -> Result<[Spread; N], E> {
    propagate_from(study(case)?, case, bands, study)
}

/// [`propagate`] where the values of the case as such are at hand already.
///
/// # Errors
/// The first error of the study on a nudged case.
pub fn propagate_from<C: Nudge, E, const N: usize>(
    nominal: [f64; N],
    case: &C,
    bands: &[(Lever, f64)],
    study: impl Fn(&C) -> Result<[f64; N], E>,
) -> Result<[Spread; N], E> {
    let mut spreads = nominal.map(|nominal| (Spread { nominal, half_width: 0.0, leading: None }, 0.0));
    for &(lever, by) in bands {
        let (up, down) = (study(&case.nudged(lever, by))?, study(&case.nudged(lever, -by))?);
        for (k, (spread, widest)) in spreads.iter_mut().enumerate() {
            // A value that does not exist has no band; one that a nudge takes away has an endless one.
            if !nominal[k].is_finite() {
                continue;
            }
            let excursion =
                |value: f64| if value.is_finite() { (value - nominal[k]).abs() } else { f64::INFINITY };
            let share = excursion(up[k]).max(excursion(down[k]));
            spread.half_width = spread.half_width.hypot(share);
            if share > *widest {
                *widest = share;
                spread.leading = Some(lever);
            }
        }
    }
    Ok(spreads.map(|(spread, _)| spread))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    struct Product(Factors);

    impl Nudge for Product {
        fn nudged(&self, lever: Lever, by: f64) -> Self {
            Self(self.0.nudged(lever, by))
        }
    }

    #[test]
    fn shares_add_by_root_of_squares_and_the_widest_leads() {
        let bands = [(Lever::Density, 0.03), (Lever::Length, 0.04)];
        let study = |case: &Product| Ok::<_, ()>([10.0 * case.0.density * case.0.length, case.0.viscosity]);
        let [product, untouched] = propagate(&Product(Factors::default()), &bands, study).unwrap();
        assert_relative_eq!(product.nominal, 10.0);
        assert_relative_eq!(product.half_width, 0.5, max_relative = 1e-9);
        assert_eq!(product.leading, Some(Lever::Length));
        assert_eq!((untouched.half_width, untouched.leading), (0.0, None));
    }

    #[test]
    fn every_lever_moves_its_own_factor() {
        for (lever, read) in [
            (Lever::Density, (|f| f.density) as fn(Factors) -> f64),
            (Lever::Viscosity, |f| f.viscosity),
            (Lever::Friction, |f| f.friction),
            (Lever::Length, |f| f.length),
            (Lever::OilFlux, |f| f.oil_flux),
            (Lever::HeatTransfer, |f| f.heat_transfer),
            (Lever::Surroundings, |f| f.surroundings_k + 1.0),
            (Lever::Load, |f| f.load),
        ] {
            let moved = Factors::default().nudged(lever, 0.1);
            assert_relative_eq!(read(moved), 1.1);
            let of_model = moved.density + moved.viscosity + moved.friction + moved.length + moved.oil_flux;
            let of_use = moved.heat_transfer + moved.surroundings_k + moved.load;
            assert_relative_eq!(of_model + of_use, 7.1, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_value_that_a_nudge_takes_away_has_an_endless_band_and_one_that_is_not_there_none() {
        let study = |case: &Product| {
            let gone = if case.0.length > 1.0 { f64::NAN } else { 1.0 };
            Ok::<_, ()>([gone, f64::NAN, case.0.length])
        };
        let [taken, absent, there] =
            propagate(&Product(Factors::default()), &[(Lever::Length, 0.1)], study).unwrap();
        assert_eq!(taken.half_width, f64::INFINITY);
        assert_eq!((absent.half_width, absent.leading), (0.0, None));
        assert_relative_eq!(there.half_width, 0.1, max_relative = 1e-9);
    }
}
