//! How a result came about: its method, and the caveats that go with it.

/// The method behind a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Method {
    /// Darcy-Weisbach with the Colebrook factor.
    Colebrook,
    /// Adaptive march: momentum and energy along the line, one phase or two.
    March,
    /// Flux criterion of oil return in rising vapour.
    OilFlux,
    /// Two risers in parallel with equal drops, and the flux criterion in each.
    DoubleRiser,
    /// Friction of liquid and vapour together: Friedel, beside it Müller-Steinhagen and Heck.
    TwoPhaseFriction,
    /// Void fraction by drift flux, form for horizontal tube.
    DriftFluxVoid,
    /// Void fraction by drift flux, form for vertical tube.
    VerticalDriftFluxVoid,
    /// Void fraction without slip.
    HomogeneousVoid,
    /// Void fraction at least production of entropy.
    ZiviVoid,
    /// Fitting with the multiplier of homogeneous flow.
    HomogeneousFitting,
    /// Fitting with Chisholm's multiplier.
    ChisholmFitting,
    /// Flooding of a vertical tube.
    Flooding,
    /// Film inside a tube: laminar limit, Gnielinski, straight line between.
    InsideFilm,
    /// Free convection of a level cylinder.
    FreeConvectionLevel,
    /// Free convection of an upright cylinder.
    FreeConvectionUpright,
    /// Wind across a cylinder.
    WindFilm,
    /// Dry air at low pressure.
    Air,
    /// Resistances in series between fluid and surroundings, surface temperature solved.
    HeatExchange,
    /// Saturation pressure of water and its inversion.
    MoistAir,
    /// Cylinder with a given outside coefficient.
    Cylinder,
    /// Balance of enclosed air between lines and the place around them.
    ChaseBalance,
    /// Thin-wall working pressure on least wall and greatest diameter.
    WorkingPressureAmerican,
    /// Thin-wall working pressure on the mean diameter.
    WorkingPressureEuropean,
    /// Liquid heated in a closed section of elastic, growing tube.
    LockedLiquid,
    /// Speed of sound from density slopes and heat capacity.
    SoundFromDensitySlopes,
    /// Surge of a closing valve in an elastic tube.
    Joukowsky,
    /// Heat of a condenser proportional to its temperature difference, corrected for the mass of air.
    CondenserRating,
    /// Compressor of one isentropic efficiency and one swept volume.
    ConstantEfficiency,
    /// Ten-coefficient polynomials of a compressor.
    TenCoefficients,
    /// Heat taken from water that freezes.
    IceLoad,
    /// Discharge air drawn in again, as a matrix between condensers.
    Recirculation,
    /// Compressor, lines and condensers in balance.
    Balance,
    /// Velocity pressure of the design wind.
    VelocityPressure,
    /// Wind on equipment on a roof.
    RooftopForce,
    /// Moments of wind and weight about the leeward row of anchors.
    Overturning,
    /// Levels of sound summed, and spread over distance.
    SoundSpreading,
    /// Length over which a discharge is a jet.
    MomentumLength,
    /// Length over which wind bends a discharge.
    BendingLength,
    /// Dilution of a jet.
    JetDilution,
    /// Pressure of a closed volume of gas after a change of temperature.
    NitrogenHold,
    /// Gas that a closed volume gained or lost.
    Throughput,
    /// Conductance of a long tube for air, viscous to molecular.
    GasConductance,
    /// Pump and hoses solved together down to a pressure.
    PumpDown,
    /// Water carried away as vapour.
    WaterBoilOff,
    /// Shape of the rise of pressure in a closed line under vacuum.
    RiseCurve,
    /// Gas that fills a line.
    HoldingCharge,
    /// Ampacity and overcurrent device of a circuit with motors.
    MotorCircuit,
    /// Voltage lost along conductors.
    VoltageDrop,
    /// Water up a rise, through a tube and what stands in it.
    WaterSupply,
    /// Open-channel flow in a drain.
    Manning,
    /// Whole charge in the smallest room.
    ConcentrationLimit,
    /// Refrigerant added, carried over to a year.
    LeakRateOfYear,
    /// Fill of a recovery cylinder.
    CylinderFill,
    /// Ceiling of a flammable charge in a self-contained appliance.
    ApplianceCeiling,
}

impl Method {
    /// The equations and their publication.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::Colebrook => "Darcy-Weisbach; C. F. Colebrook, J. Inst. Civil Engineers 11, 1939",
            Self::March => {
                "Darcy-Weisbach; Colebrook 1939; 3-K fittings (Darby, Chemical Engineering 106(7), 1999); two phases by \
                 Friedel 1979 and the void fraction of Rouhani and Axelsson 1970; embedded Runge-Kutta 3(2) (Bogacki and \
                 Shampine, Appl. Math. Letters 2, 1989)"
            }
            Self::OilFlux => {
                "sqrt(j*) >= 0.85 with j* = v sqrt(rho_g) / sqrt(g D (rho_oil - rho_g)) (Jacobs et al., ASHRAE Trans. \
                 82 part 2, 1976; formula from memory, paper not opened)"
            }
            Self::DoubleRiser => {
                "equal drops of two risers in parallel (Darcy-Weisbach; Colebrook 1939; resistance coefficients; height); \
                 flux criterion of oil return in each (Jacobs et al. 1976, from memory)"
            }
            Self::TwoPhaseFriction => {
                "L. Friedel, European Two-Phase Flow Group Meeting, Ispra 1979; H. Müller-Steinhagen and K. Heck, Chem. \
                 Eng. Process. 20, 1986 (both as coded in fluids 1.3.1); Colebrook 1939"
            }
            Self::DriftFluxVoid => {
                "S. Z. Rouhani and E. Axelsson, Int. J. Heat Mass Transfer 13, 1970, with the constants of D. Steiner, VDI \
                 Heat Atlas, 1993 (as coded in fluids 1.3.1)"
            }
            Self::VerticalDriftFluxVoid => {
                "S. Z. Rouhani and E. Axelsson, Int. J. Heat Mass Transfer 13, 1970 (as quoted by later reviews and coded in \
                 fluids 1.3.1)"
            }
            Self::HomogeneousVoid => "equal velocities of liquid and vapour",
            Self::ZiviVoid => "S. M. Zivi, J. Heat Transfer 86, 1964 (as coded in fluids 1.3.1)",
            Self::HomogeneousFitting => {
                "3-K fittings (Darby, Chemical Engineering 106(7), 1999) in homogeneous flow with the viscosity of McAdams \
                 1942"
            }
            Self::ChisholmFitting => {
                "3-K fittings (Darby, Chemical Engineering 106(7), 1999); D. Chisholm, Two-Phase Flow in Pipelines and Heat \
                 Exchangers, 1983 (formula from memory, book not opened)"
            }
            Self::Flooding => {
                "sqrt(j_g*) + sqrt(j_l*) = C (G. B. Wallis, One-Dimensional Two-Phase Flow, 1969; formula and constants from \
                 memory, book not opened)"
            }
            Self::InsideFilm => {
                "V. Gnielinski, Int. Chemical Engineering 16, 1976, with the friction factor of Filonenko 1954; 3.66 where \
                 laminar; straight line from Re 2300 to 4000 (Gnielinski, Int. J. Heat Mass Transfer 63, 2013)"
            }
            Self::FreeConvectionLevel => {
                "S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18, 1975, 1049 (level cylinder, all Ra)"
            }
            Self::FreeConvectionUpright => {
                "S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18, 1975, 1323 (upright plate), with the \
                 curvature correction of Popiel, Wojtkowiak and Bober, Exp. Thermal Fluid Science 32, 2007"
            }
            Self::WindFilm => "S. W. Churchill and M. Bernstein, J. Heat Transfer 99, 1977",
            Self::Air => "U.S. Standard Atmosphere 1976, viscosity and conductivity of air; ideal gas",
            Self::HeatExchange => {
                "resistances in series: Gnielinski 1976; cylinder walls; Churchill and Chu 1975, Churchill and Bernstein \
                 1977, blended by their cubes (Churchill, AIChE J. 23, 1977); grey radiation; sun on the projected width"
            }
            Self::MoistAir => {
                "R. W. Hyland and A. Wexler, ASHRAE Trans. 89(2A), 1983, as in ASHRAE Fundamentals chapter 1; inverted"
            }
            Self::Cylinder => {
                "cylinder with a given outside coefficient (the form of ASTM C680 and ISO 12241)"
            }
            Self::ChaseBalance => "steady balance of well-mixed enclosed air",
            Self::WorkingPressureAmerican => {
                "P = 2 S t / (D - 0.8 t) with the least wall t and the greatest outside diameter D (Copper Tube Handbook, \
                 rated internal working pressures; the form of ASME B31.5 504.1, from memory)"
            }
            Self::WorkingPressureEuropean => {
                "P[bar] = 20 F t / (D - t) with t and D in mm and F in N/mm2 (copper association, EN 1057 tube)"
            }
            Self::LockedLiquid => {
                "density times volume of the section constant, by the property data; growth of the tube by heat, and by \
                 pressure after Lame and Clapeyron 1833 (closed ends)"
            }
            Self::SoundFromDensitySlopes => {
                "1/c^2 = (d rho/dp)_T - T (d rho/dT)_p^2 / (rho^2 cp), an identity of thermodynamics (Maxwell)"
            }
            Self::CondenserRating => {
                "Q = F (T_ref - T_air) with F = m cp (1 - exp(-NTU)) and NTU ~ m^(n - 1): effectiveness of one isothermal \
                 side (textbook; W. M. Kays and A. L. London, Compact Heat Exchangers, from memory), n fitted to published \
                 altitude factors of air-cooled condensers"
            }
            Self::ConstantEfficiency => {
                "isentropic efficiency and swept volume taken from one operating point (definition)"
            }
            Self::TenCoefficients => {
                "ten-coefficient form of AHRI 540 (from memory); other superheat by density and isentropic work, volumetric \
                 factor 0.75 (A. E. Dabiri and C. K. Rice, ASHRAE Trans. 87(2), 1981, from memory)"
            }
            Self::IceLoad => "sensible heat of water and ice and heat of fusion (textbook)",
            Self::Recirculation => "mixing of air streams of one heat capacity (mass and energy balance)",
            Self::Balance => {
                "Newton's method with halved steps on mass rate, pressure and heat of every circuit; lines by the march"
            }
            Self::Joukowsky => {
                "dp = rho c dv (N. Joukowsky 1898), wave speed of D. J. Korteweg 1878, slow closing of L. Michaud 1878 \
                 (all three from memory, papers not opened)"
            }
            Self::VelocityPressure => {
                "q = 0.613 Kz Kzt Kd Ke V^2 (ASCE 7-16 and 7-22 eq. 26.10-1, Table 26.10-1 note 1, Table 26.9-1 note 2, in \
                 open transcriptions; standard not opened)"
            }
            Self::RooftopForce => {
                "Fh = q GCr Af, Fv = q GCr Ar (ASCE 7-22 section 29.4.1 as an unsigned checklist quotes it, 7-10 section \
                 29.5.1 as a page about building codes does; standard not opened)"
            }
            Self::Overturning => {
                "statics of a rigid frame about its leeward row; load combinations of ASCE 7 chapter 2 (from memory)"
            }
            Self::SoundSpreading => {
                "Lp = Lw - 20 lg r - 11 + 10 lg Q, levels summed by their powers (pages about acoustics; 11 is 10 lg 4 pi)"
            }
            Self::MomentumLength => {
                "l_M = M^(3/4) / B^(1/2) (dimensional analysis of buoyant jets; H. B. Fischer et al., Mixing in Inland and \
                 Coastal Waters, 1979, from memory, book not opened)"
            }
            Self::BendingLength => {
                "l_w = M^(1/2) / U (dimensional analysis of jets in a crosswind; from memory)"
            }
            Self::JetDilution => {
                "m/m0 = 0.32 x/D (F. P. Ricou and D. B. Spalding, J. Fluid Mech. 11, 1961, from memory, paper not opened)"
            }
            Self::NitrogenHold => {
                "P2 = P1 T2/T1 with absolute pressures and temperatures (ideal gas, textbook)"
            }
            Self::Throughput => "Q = V dP/dt at one temperature; mass rate Q M/(R T) (ideal gas, textbook)",
            Self::GasConductance => {
                "C = 135 d^4 p/L + 12.1 d^3/L (1 + 192 d p)/(1 + 237 d p), L/s, cm, mbar, air at 20 °C (vacuum sheet and \
                 tutorials; interpolation of M. Knudsen 1909 from memory)"
            }
            Self::PumpDown => {
                "t = integral of V dp/Q(p), the throughput Q of pump and hoses in balance (mass balance; conductance as for a \
                 long tube)"
            }
            Self::WaterBoilOff => "t = (m R T/M)/(p S) (ideal gas, textbook)",
            Self::RiseCurve => {
                "a leak rises straight, moisture levels off (articles of the trade about evacuation; vapour pressure of water \
                 after Hyland and Wexler 1983)"
            }
            Self::HoldingCharge => "m = V rho (nitrogen: ideal gas, Z = 1; refrigerant: property data)",
            Self::MotorCircuit => {
                "1.25 times the largest motor and the others; device 1.75, at most 2.25 times (the form of NEC 430.24, \
                 440.22(A) and 440.33, from trade articles; code not opened)"
            }
            Self::VoltageDrop => {
                "k R I L, k = 2 or sqrt(3) (textbook); R(T) = R75 (1 + 0.00323 (T - 75 °C)) (note of NEC chapter 9 Table 8, \
                 from memory)"
            }
            Self::WaterSupply => {
                "hydrostatics; Darcy-Weisbach, Colebrook 1939; water: G. S. Kell 1975, IAPWS 2008 at 0.1 MPa (from memory)"
            }
            Self::Manning => "Q = A/n Rh^(2/3) S^(1/2) (R. Manning 1891, textbook)",
            Self::ConcentrationLimit => {
                "m/(V RCL f) <= 1 (ASHRAE 15 as its interpretations and a mechanical code quote it; standard not opened)"
            }
            Self::LeakRateOfYear => {
                "100 (added/full) 365/min(days, 365) (summary of 40 CFR 84.106(b)(1); regulation not opened)"
            }
            Self::CylinderFill => {
                "W = 0.8 WC SG, SG of saturated liquid at 77 °F (AHRI Guideline K as printed in the trade press)"
            }
            Self::ApplianceCeiling => {
                "m = factor LFL, at most a cap (IEC 60335-2-89 edition 3 as news reports quote it; standard not opened)"
            }
        }
    }
}

/// One reason to read a result with care.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
#[repr(u32)]
pub enum Caveat {
    /// Reynolds number at or below 2300 somewhere.
    LaminarFlow = 1,
    /// Reynolds number between 2300 and 4000 somewhere: no law holds there.
    TransitionalFlow = 1 << 1,
    /// Reynolds number above 1e8 or relative roughness above 0.05.
    OutsideFrictionRange = 1 << 2,
    /// Liquid reached its bubble line on the way and goes on as two-phase flow.
    Flashes = 1 << 3,
    /// Vapour reached its dew line on the way and goes on as two-phase flow.
    Condenses = 1 << 4,
    /// Within 15 K of the end of the saturation data below the critical point.
    NearCritical = 1 << 5,
    /// Two-phase friction outside its range: liquid more than 1000 times as viscous as vapour, or bore below 4 mm.
    OutsideTwoPhaseFrictionRange = 1 << 6,
    /// Void fraction outside the range taken for it: bore 4 to 50 mm, mass flux 50 to 2000 kg/(m² s).
    OutsideVoidRange = 1 << 7,
    /// Liquid and vapour flow down a slope of more than 1 in 10; the correlations stand on level and rising flow.
    FallingTwoPhaseFlow = 1 << 8,
    /// Flooding outside the tubes that the correlation was made with, 12 to 51 mm.
    OutsideFloodingRange = 1 << 9,
    /// Prandtl number outside 0.5 to 2000 or Reynolds number above 5e6 in the film inside a tube.
    OutsideInsideFilmRange = 1 << 10,
    /// Rayleigh number above 1e12 (level), or outside 1e4 to 1e9 (upright: the curvature correction is of laminar flow).
    OutsideFreeConvectionRange = 1 << 11,
    /// Wind so faint that `Re Pr < 0.2`, or so strong that `Re > 4e6`.
    OutsideWindRange = 1 << 12,
    /// Effectiveness of a condenser outside 0.3 to 0.85: its rating, its air flow or their units are doubtful.
    ImplausibleEffectiveness = 1 << 13,
    /// Air through a condenser less than a quarter or more than one and a half times the rated mass.
    OutsidePartFlowRange = 1 << 14,
    /// Condenser rated with another refrigerant than it is used with.
    RatedWithAnother = 1 << 15,
    /// Compressor outside the temperatures that its map was made for.
    OutsideCompressorMap = 1 << 16,
    /// Suction gas more than 15 K warmer or colder than that of the compressor's map.
    FarFromMapSuperheat = 1 << 17,
    /// Equipment that takes more of its building than the gust coefficients go to: their last value is used.
    OutsideWindCoefficients = 1 << 18,
    /// Nearer to a unit than two of its sides, where it is no point that sends out sound.
    NearUnit = 1 << 19,
    /// Air rushes through hoses near atmospheric pressure faster than laminar flow: a pump-down time is a lower bound.
    TurbulentEvacuation = 1 << 20,
    /// Below the triple point of water, 611.7 Pa: water that is pumped on may freeze, and ice leaves slowly.
    WaterMayFreeze = 1 << 21,
}

impl Caveat {
    /// All caveats, in the order of their bits.
    pub const ALL: [Self; 22] = [
        Self::LaminarFlow,
        Self::TransitionalFlow,
        Self::OutsideFrictionRange,
        Self::Flashes,
        Self::Condenses,
        Self::NearCritical,
        Self::OutsideTwoPhaseFrictionRange,
        Self::OutsideVoidRange,
        Self::FallingTwoPhaseFlow,
        Self::OutsideFloodingRange,
        Self::OutsideInsideFilmRange,
        Self::OutsideFreeConvectionRange,
        Self::OutsideWindRange,
        Self::ImplausibleEffectiveness,
        Self::OutsidePartFlowRange,
        Self::RatedWithAnother,
        Self::OutsideCompressorMap,
        Self::FarFromMapSuperheat,
        Self::OutsideWindCoefficients,
        Self::NearUnit,
        Self::TurbulentEvacuation,
        Self::WaterMayFreeze,
    ];
}

/// A set of caveats: a bit set, so that kernels can collect them in their inner loops.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Caveats(u32);

impl Caveats {
    /// Adds one.
    pub fn add(&mut self, caveat: Caveat) {
        self.0 |= caveat as u32;
    }

    /// Adds all of another set.
    pub fn merge(&mut self, others: Self) {
        self.0 |= others.0;
    }

    /// Whether the set holds a caveat.
    #[must_use]
    pub fn has(self, caveat: Caveat) -> bool {
        self.0 & caveat as u32 != 0
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
