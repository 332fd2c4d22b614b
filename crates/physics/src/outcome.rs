//! How a result came about: its method, and the caveats that go with it.

/// The method behind a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Method {
    /// Darcy-Weisbach with the Colebrook factor.
    Colebrook,
    /// Adaptive march: Darcy-Weisbach, Colebrook, 3-K fittings, height; adiabatic, single phase.
    AdiabaticMarch,
    /// Flux criterion of oil return in rising vapour.
    OilFlux,
}

impl Method {
    /// The equations and their publication.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Colebrook => "Darcy-Weisbach; C. F. Colebrook, J. Inst. Civil Engineers 11, 1939",
            Self::AdiabaticMarch => {
                "Darcy-Weisbach; Colebrook 1939; 3-K fittings (Darby, Chemical Engineering 106(7), 1999); \
                 embedded Runge-Kutta 3(2) (Bogacki and Shampine, Appl. Math. Letters 2, 1989)"
            }
            Self::OilFlux => {
                "sqrt(j*) >= 0.85 with j* = v sqrt(rho_g) / sqrt(g D (rho_oil - rho_g)) (Jacobs et al., ASHRAE Trans. \
                 82 part 2, 1976; formula from memory, paper not opened)"
            }
        }
    }
}

/// One reason to read a result with care.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
#[repr(u16)]
pub enum Caveat {
    /// Reynolds number at or below 2300 somewhere.
    LaminarFlow = 1,
    /// Reynolds number between 2300 and 4000 somewhere: no law holds there.
    TransitionalFlow = 1 << 1,
    /// Reynolds number above 1e8 or relative roughness above 0.05.
    OutsideFrictionRange = 1 << 2,
    /// Liquid reached its bubble line; from there on it is computed as if it had stayed liquid, which is a lower
    /// bound of the drop.
    FlashTreatedAsLiquid = 1 << 3,
    /// Vapour reached its dew line; from there on it is computed as if it had stayed vapour.
    CondensationTreatedAsVapour = 1 << 4,
    /// Within 15 K of the end of the saturation data below the critical point.
    NearCritical = 1 << 5,
    /// Acceleration of the expanding gas, which is left out, would change the drop by more than 1 % (`rho v^2 > p/100`).
    AccelerationLeftOut = 1 << 6,
}

impl Caveat {
    /// All caveats, in the order of their bits.
    pub const ALL: [Self; 7] = [
        Self::LaminarFlow,
        Self::TransitionalFlow,
        Self::OutsideFrictionRange,
        Self::FlashTreatedAsLiquid,
        Self::CondensationTreatedAsVapour,
        Self::NearCritical,
        Self::AccelerationLeftOut,
    ];
}

/// A set of caveats: a bit set, so that kernels can collect them in their inner loops.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Caveats(u16);

impl Caveats {
    /// Adds one.
    pub fn add(&mut self, caveat: Caveat) {
        self.0 |= caveat as u16;
    }

    /// Adds all of another set.
    pub fn merge(&mut self, others: Self) {
        self.0 |= others.0;
    }

    /// Whether the set holds a caveat.
    #[must_use]
    pub fn has(self, caveat: Caveat) -> bool {
        self.0 & caveat as u16 != 0
    }

    /// The caveats of the set.
    pub fn iter(self) -> impl Iterator<Item = Caveat> {
        Caveat::ALL.into_iter().filter(move |caveat| self.has(*caveat))
    }
}

/// A result with its method and its caveats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome<T> {
    /// The result.
    pub value: T,
    /// How it was obtained.
    pub method: Method,
    /// What to mind.
    pub caveats: Caveats,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caveat_is_a_bit_of_its_own() {
        let mut all = Caveats::default();
        for caveat in Caveat::ALL {
            assert!(!all.has(caveat));
            all.add(caveat);
            assert!(all.has(caveat));
        }
        assert_eq!(all.iter().collect::<Vec<_>>(), Caveat::ALL);
        let mut merged = Caveats::default();
        merged.merge(all);
        assert_eq!(merged, all);
    }
}
