//! What hoses and tubes let through under vacuum.

use crate::{
    field::{FieldError, nitrogen::volume_m3, plain, vacuum_pa},
    outcome::{Method, Outcome},
    range::within,
    units::{AbsolutePressure, Bore, Length, Ratio, Time, Volume, VolumeRate},
};
use uom::si::{length::meter, ratio::ratio, time::second, volume_rate::cubic_meter_per_second};

/// A straight round passage: a hose or a tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    bore_m: f64,
    length_m: f64,
}

impl Passage {
    /// A passage of 0.5 to 200 mm bore, at least 10 bores long: the ends of a shorter one would count as much as its length.
    ///
    /// # Errors
    /// [`FieldError::OutOfRange`].
    pub fn new(bore: Bore, length: Length) -> Result<Self, FieldError> {
        let bore_m = within("bore of the passage (m)", bore.get().get::<meter>(), 5e-4, 0.2)?;
        let length_m = within("length of the passage (m)", length.get::<meter>(), 10.0 * bore_m, 1000.0)?;
        Ok(Self { bore_m, length_m })
    }

    pub(super) fn kernel(&self) -> kernel::Tube {
        kernel::Tube::new(self.bore_m, self.length_m)
    }

    pub(super) fn halved(&self) -> Self {
        Self { length_m: 0.5 * self.length_m, ..*self }
    }

    pub(super) fn volume_m3(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.bore_m.powi(2) * self.length_m
    }

    pub(super) fn bore_m(&self) -> f64 {
        self.bore_m
    }
}

/// How gas moves through a passage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FlowRegime {
    /// From wall to wall: pressure times bore below 0.013 mbar cm.
    Molecular,
    /// Between the two.
    Transition,
    /// As a fluid: above 0.67 mbar cm.
    Viscous,
}

/// How air at a mean pressure moves through a passage. The bounds are those of a vacuum sheet, converted from Torr.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a pressure outside 0.001 Pa to 120 kPa.
pub fn flow_regime(passage: &Passage, mean: AbsolutePressure) -> Result<FlowRegime, FieldError> {
    // 1 mbar cm is 1 Pa m.
    let pressure_bore = vacuum_pa("mean pressure (Pa)", mean)? * passage.bore_m;
    Ok(if pressure_bore < 0.013 {
        FlowRegime::Molecular
    } else if pressure_bore > 0.67 {
        FlowRegime::Viscous
    } else {
        FlowRegime::Transition
    })
}

/// Conductance of a passage for air at 20 °C at the mean of the pressures at its ends:
/// `C = 135 d^4 p/L + 12.1 d^3/L (1 + 192 d p)/(1 + 237 d p)` in L/s, cm and mbar.
///
/// Laminar (viscous) at the upper end, molecular at the lower, Knudsen's interpolation between. 135 and 12.1 as vacuum sheets
/// print them; from first principles `pi/(128 eta)` gives 134.8 and `pi c/12` 12.12. The interpolation is from memory.
/// Turbulence, choking and the losses at the ends are not in it: near atmospheric pressure it is an upper bound.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a mean pressure outside 0.001 Pa to 120 kPa.
///
/// # Example
/// A 1/4 in hose, 4.76 mm bore, 1.5 m long, at 500 micron: 0.0379 L/s, of a pump of 2.8 L/s.
/// ```
/// use physics::{field::vacuum::{Passage, conductance}, units::{*, unit::{length::{meter, millimeter}, volume_rate::liter_per_second}}};
/// let hose = Passage::new(Bore::new(Length::new::<millimeter>(4.76)), Length::new::<meter>(1.5))?;
/// let found = conductance(&hose, AbsolutePressure::from_pascal(66.66))?.value;
/// assert!((found.get::<liter_per_second>() - 0.03787).abs() < 1e-5);
/// # Ok::<(), physics::field::FieldError>(())
/// ```
pub fn conductance(passage: &Passage, mean: AbsolutePressure) -> Result<Outcome<VolumeRate>, FieldError> {
    let mean_pa = vacuum_pa("mean pressure (Pa)", mean)?;
    Ok(plain(
        VolumeRate::new::<cubic_meter_per_second>(passage.kernel().conductance(mean_pa)),
        Method::GasConductance,
    ))
}

/// Conductances one behind the other: `1/C = sum 1/C_i`.
///
/// # Errors
/// [`FieldError::NoPath`] without any; [`FieldError::OutOfRange`] for one that is not positive.
pub fn in_series(conductances: &[VolumeRate]) -> Result<VolumeRate, FieldError> {
    let mut resistance = 0.0;
    for conductance in conductances {
        resistance += 1.0 / positive_m3_s(*conductance)?;
    }
    if conductances.is_empty() {
        return Err(FieldError::NoPath);
    }
    Ok(VolumeRate::new::<cubic_meter_per_second>(1.0 / resistance))
}

/// Conductances side by side, as of hoses on both ends of a set: they add up.
///
/// # Errors
/// As [`in_series`].
pub fn in_parallel(conductances: &[VolumeRate]) -> Result<VolumeRate, FieldError> {
    let mut sum = 0.0;
    for conductance in conductances {
        sum += positive_m3_s(*conductance)?;
    }
    if conductances.is_empty() {
        return Err(FieldError::NoPath);
    }
    Ok(VolumeRate::new::<cubic_meter_per_second>(sum))
}

/// What is left of the speed of a pump behind a conductance: `1/S_eff = 1/S + 1/C`.
///
/// # Errors
/// As [`in_series`].
pub fn effective_speed(pump: VolumeRate, conductance: VolumeRate) -> Result<VolumeRate, FieldError> {
    in_series(&[pump, conductance])
}

/// Time constant of a line that is pumped from one end and closed at the other: `tau = (4/pi^2) V/C`, the slowest mode of
/// diffusion with the conductance of the whole line. A gauge at the pump runs ahead of the far end by about this time.
///
/// # Errors
/// [`FieldError::OutOfRange`] for a volume outside 1e-9 to 100 m³ or a conductance that is not positive.
pub fn time_constant(volume: Volume, conductance: VolumeRate) -> Result<Outcome<Time>, FieldError> {
    let ratio_s = volume_m3(volume)? / positive_m3_s(conductance)?;
    let four_over_pi_squared = 4.0 / std::f64::consts::PI.powi(2);
    Ok(plain(Time::new::<second>(four_over_pi_squared * ratio_s), Method::GasConductance))
}

/// Share of the first gas that is left after a number of evacuations to `evacuated`, each broken to `broken` with clean gas:
/// `(evacuated/broken)^cycles`. It is diluted, not dried: water that clings to the tube is no part of it.
///
/// # Errors
/// [`FieldError::OutOfRange`] for pressures outside 0.001 Pa to 120 kPa (broken: 1 MPa), `evacuated` above `broken`, or more
/// than 20 cycles.
pub fn dilution(
    evacuated: AbsolutePressure,
    broken: AbsolutePressure,
    cycles: u32,
) -> Result<Ratio, FieldError> {
    let broken_pa = within("pressure of the break (Pa)", broken.pascal(), 1e-3, 1e6)?;
    let evacuated_pa =
        within("pressure of the evacuation (Pa)", evacuated.pascal(), 1e-3, broken_pa.min(120_000.0))?;
    within("number of evacuations", f64::from(cycles), 1.0, 20.0)?;
    Ok(Ratio::new::<ratio>((evacuated_pa / broken_pa).powf(f64::from(cycles))))
}

pub(super) fn positive_m3_s(rate: VolumeRate) -> Result<f64, crate::range::OutOfRange> {
    within("speed or conductance (m3/s)", rate.get::<cubic_meter_per_second>(), 1e-12, 10.0)
}

pub(super) mod kernel {
    /// `C(p) = a p + b (1 + 192 dp)/(1 + 237 dp)` in SI: d in m and p in Pa, whose product is that of cm and mbar.
    #[derive(Clone, Copy)]
    pub(in crate::field::vacuum) struct Tube {
        viscous_m3_s_pa: f64,
        molecular_m3_s: f64,
        bore_m: f64,
    }

    impl Tube {
        pub(in crate::field::vacuum) fn new(bore_m: f64, length_m: f64) -> Self {
            Self {
                viscous_m3_s_pa: 1350.0 * bore_m.powi(4) / length_m,
                molecular_m3_s: 121.0 * bore_m.powi(3) / length_m,
                bore_m,
            }
        }

        pub(in crate::field::vacuum) fn conductance(&self, mean_pa: f64) -> f64 {
            let pd = mean_pa * self.bore_m;
            self.viscous_m3_s_pa * mean_pa + self.molecular_m3_s * (1.0 + 192.0 * pd) / (1.0 + 237.0 * pd)
        }

        /// Integral of the conductance from 0 to a pressure, Pa m3/s: throughput is its difference between the ends.
        pub(in crate::field::vacuum) fn potential(&self, pressure_pa: f64) -> f64 {
            let (up, down) = (192.0 * self.bore_m, 237.0 * self.bore_m);
            let slip = up / down * pressure_pa + (1.0 - up / down) / down * (down * pressure_pa).ln_1p();
            0.5 * self.viscous_m3_s_pa * pressure_pa * pressure_pa + self.molecular_m3_s * slip
        }

        /// Pressure at the near end from that at the end towards the pump and the throughput. The potential rises all the
        /// way and is all but convex, so Newton's method ends in a few steps from a point beyond the root.
        pub(in crate::field::vacuum) fn upstream_pa(&self, downstream_pa: f64, throughput: f64) -> f64 {
            let sought = self.potential(downstream_pa) + throughput;
            // The conductance is nowhere below 0.81 of the molecular one.
            let molecular = downstream_pa + throughput / (0.8 * self.molecular_m3_s);
            let viscous = downstream_pa.hypot((2.0 * throughput / self.viscous_m3_s_pa).sqrt());
            let mut pressure_pa = molecular.min(viscous);
            for _ in 0..30 {
                let step = (self.potential(pressure_pa) - sought) / self.conductance(pressure_pa);
                pressure_pa -= step;
                if step.abs() <= 1e-13 * pressure_pa {
                    break;
                }
            }
            pressure_pa
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use uom::si::volume_rate::liter_per_second;

    fn passage(bore_m: f64, length_m: f64) -> Passage {
        Passage::new(Bore::new(Length::new::<meter>(bore_m)), Length::new::<meter>(length_m)).unwrap()
    }

    fn at(passage: &Passage, mean_pa: f64) -> f64 {
        conductance(passage, AbsolutePressure::from_pascal(mean_pa)).unwrap().value.get::<liter_per_second>()
    }

    fn litres(value: f64) -> VolumeRate {
        VolumeRate::new::<liter_per_second>(value)
    }

    #[test]
    fn the_two_ends_are_those_of_kinetic_theory_and_laminar_flow() {
        let tube = passage(0.01, 2.0);
        // c = sqrt(8RT/(pi M)), air at 20 degC; the printed coefficient is rounded to three digits.
        let speed_m_s: f64 = (8.0_f64 * 8.314_46 * 293.15 / (std::f64::consts::PI * 0.028_96)).sqrt();
        let molecular = 1e3 * std::f64::consts::PI * speed_m_s * 1e-6 / (12.0 * 2.0);
        assert_relative_eq!(at(&tube, 1e-3), molecular, max_relative = 3e-3);
        let viscous = 1e3 * std::f64::consts::PI * 1e-8 * 1e5 / (128.0 * 18.2e-6 * 2.0);
        assert_relative_eq!(at(&tube, 1e5), viscous, max_relative = 3e-3);
        let regime = |pa| flow_regime(&tube, AbsolutePressure::from_pascal(pa)).unwrap();
        assert_eq!([1.2, 1.4, 66.0, 68.0].map(regime), {
            use FlowRegime::{Molecular, Transition, Viscous};
            [Molecular, Transition, Transition, Viscous]
        });
    }

    #[test]
    fn the_potential_is_the_integral_of_the_conductance() {
        let tube = passage(0.00476, 1.5).kernel();
        for (low_pa, high_pa) in [(0.01_f64, 1.0_f64), (1.0, 100.0), (100.0, 1e5)] {
            let steps = 4000;
            let width = (high_pa - low_pa) / f64::from(steps);
            let sum: f64 =
                (0..steps).map(|i| width * tube.conductance(low_pa + (f64::from(i) + 0.5) * width)).sum();
            let found = tube.potential(high_pa) - tube.potential(low_pa);
            assert_relative_eq!(found, sum, max_relative = 1e-5);
        }
    }

    #[test]
    fn refuses_what_is_no_passage() {
        let new = |bore_m, length_m| {
            Passage::new(Bore::new(Length::new::<meter>(bore_m)), Length::new::<meter>(length_m))
        };
        for (bore_m, length_m) in [(0.0, 1.0), (f64::NAN, 1.0), (0.01, 0.05), (0.01, f64::NAN), (0.3, 10.0)] {
            assert!(new(bore_m, length_m).is_err(), "{bore_m} {length_m}");
        }
        let tube = passage(0.01, 1.0);
        for pressure_pa in [-1.0, 0.0, f64::NAN, 1e6] {
            let pressure = AbsolutePressure::from_pascal(pressure_pa);
            assert!(conductance(&tube, pressure).is_err() && flow_regime(&tube, pressure).is_err());
        }
        assert_eq!(in_series(&[]), Err(FieldError::NoPath));
        assert_eq!(in_parallel(&[]), Err(FieldError::NoPath));
        assert!(in_series(&[litres(1.0), litres(0.0)]).is_err());
        assert!(in_parallel(&[litres(-1.0)]).is_err());
        assert!(time_constant(Volume::new::<uom::si::volume::liter>(0.0), litres(1.0)).is_err());
        let pa = AbsolutePressure::from_pascal;
        assert!(dilution(pa(200.0), pa(100.0), 3).is_err());
        assert!(dilution(pa(200.0), pa(1e5), 0).is_err());
        assert!(dilution(pa(f64::NAN), pa(1e5), 3).is_err());
    }

    proptest! {
        #[test]
        fn longer_passes_less_and_wider_more(bore_m in 0.001..0.05_f64, length_m in 1.0..100.0_f64, pressure_pa in 0.01..1e5_f64) {
            let one = at(&passage(bore_m, length_m), pressure_pa);
            let twice = at(&passage(bore_m, 2.0 * length_m), pressure_pa);
            prop_assert!((twice / one - 0.5).abs() < 1e-12);
            prop_assert!(at(&passage(1.1 * bore_m, length_m), pressure_pa) > one);
            prop_assert_eq!(passage(bore_m, 2.0 * length_m).halved(), passage(bore_m, length_m));
        }

        #[test]
        fn a_series_is_below_its_smallest_and_hoses_side_by_side_above_their_largest(a in 0.01..10.0_f64, b in 0.01..10.0_f64) {
            let (series, parallel) = (in_series(&[litres(a), litres(b)]).unwrap(), in_parallel(&[litres(a), litres(b)]).unwrap());
            prop_assert!(series < litres(a.min(b)));
            prop_assert!(parallel > litres(a.max(b)));
            prop_assert_eq!(effective_speed(litres(a), litres(b)).unwrap(), series);
        }

        #[test]
        fn the_pressure_upstream_is_the_one_that_drives_the_flow(bore_m in 0.001..0.05_f64, length_m in 1.0..100.0_f64, low_pa in 0.01..1e4_f64, times in 1.0..1e4_f64) {
            let tube = passage(bore_m, length_m).kernel();
            let high_pa = (low_pa * times).min(1.2e5);
            let found = tube.upstream_pa(low_pa, tube.potential(high_pa) - tube.potential(low_pa));
            prop_assert!((found / high_pa - 1.0).abs() < 1e-9, "{} {}", found, high_pa);
        }

        #[test]
        fn each_evacuation_dilutes_by_the_same(evacuated_pa in 10.0..1000.0_f64, cycles in 1_u32..10) {
            let left = |cycles| dilution(AbsolutePressure::from_pascal(evacuated_pa), AbsolutePressure::from_pascal(101_325.0), cycles).unwrap();
            let step = (left(cycles + 1) / left(cycles)).get::<ratio>();
            prop_assert!((step * 101_325.0 / evacuated_pa - 1.0).abs() < 1e-9);
        }
    }
}
