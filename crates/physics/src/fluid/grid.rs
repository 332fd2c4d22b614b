//! Property grids: tabulated equations of state, interpolated.

use super::{
    branch::{Branch, BranchColumns, Spot},
    columns::{GridData, GridError, axis, checked},
    glide::Glide,
    interpolation::Curve,
    single_phase::{SinglePhase, sense},
    state::{Ends, OutsideRange, Phase, Refrigerant, Region, State, Thermal, TwoPhase},
};
use crate::units::{
    AbsolutePressure, BubbleTemperature, DewTemperature, Ratio, SpecificEnthalpy, SpecificEntropy,
    SpecificHeatCapacity, SurfaceTension, ThermalConductivity, ThermodynamicTemperature,
};
use uom::si::{
    ratio::ratio, specific_heat_capacity::joule_per_kilogram_kelvin, surface_tension::newton_per_meter,
    thermal_conductivity::watt_per_meter_kelvin, thermodynamic_temperature::kelvin,
};

/// A refrigerant read from grids: pressure and density within a few 1e-5 of the equation of state that made them.
///
/// Saturation: cubic Hermite over temperature. Vapour: bicubic Hermite over (dew temperature, `sqrt(superheat + 2 K)`);
/// liquid: over (bubble temperature, subcooling). Two-phase: straight over the share of enthalpy between bubble and
/// dew state, and for a blend its departure from that by bicubic Hermite over (bubble temperature, share). Valid inside
/// the data only; everything else is [`OutsideRange`].
#[derive(Clone, Debug)]
pub struct GridRefrigerant {
    bubble: Branch,
    dew: Branch,
    surface_tension: Curve,
    vapour: SinglePhase,
    liquid: SinglePhase,
    glide: Option<Glide>,
    equation_range_k: (f64, f64),
}

impl GridRefrigerant {
    /// Builds the interpolation from columns.
    ///
    /// # Errors
    /// [`GridError`] when columns differ in length, axes do not rise, values can not be, or a row of a single-phase
    /// table is no row of the saturation table.
    pub fn new(data: &GridData) -> Result<Self, GridError> {
        let saturation = &data.saturation;
        let temperature = axis("temperature_k", &saturation.temperature_k)?;
        let bubble = BranchColumns {
            pressure_pa: &saturation.bubble_pressure_pa,
            density_kg_m3: &saturation.liquid_density_kg_m3,
            enthalpy_j_kg: &saturation.liquid_enthalpy_j_kg,
            viscosity_pa_s: &saturation.liquid_viscosity_pa_s,
            entropy_j_kg_k: &saturation.liquid_entropy_j_kg_k,
            heat_capacity_j_kg_k: &saturation.liquid_heat_capacity_j_kg_k,
            conductivity_w_m_k: &saturation.liquid_conductivity_w_m_k,
        };
        let dew = BranchColumns {
            pressure_pa: &saturation.dew_pressure_pa,
            density_kg_m3: &saturation.vapour_density_kg_m3,
            enthalpy_j_kg: &saturation.vapour_enthalpy_j_kg,
            viscosity_pa_s: &saturation.vapour_viscosity_pa_s,
            entropy_j_kg_k: &saturation.vapour_entropy_j_kg_k,
            heat_capacity_j_kg_k: &saturation.vapour_heat_capacity_j_kg_k,
            conductivity_w_m_k: &saturation.vapour_conductivity_w_m_k,
        };
        let bubble = Branch::new(Phase::Liquid, &temperature, &bubble)?;
        let dew = Branch::new(Phase::Vapour, &temperature, &dew)?;
        let tension = &saturation.surface_tension_n_m;
        let tension = checked("surface_tension_n_m", tension, temperature.nodes().len(), false)?;
        Ok(Self {
            vapour: SinglePhase::new(Phase::Vapour, &dew, &data.vapour)?,
            liquid: SinglePhase::new(Phase::Liquid, &bubble, &data.liquid)?,
            glide: data.glide.as_ref().map(|glide| Glide::new(&bubble, glide)).transpose()?,
            surface_tension: Curve::new(&temperature, tension),
            bubble,
            dew,
            equation_range_k: data.equation_range_k.unwrap_or((0.0, f64::INFINITY)),
        })
    }

    fn stated(&self, state: State) -> Result<State, OutsideRange> {
        let (low, high) = self.equation_range_k;
        let value = state.temperature.value;
        if (low..=high).contains(&value) {
            Ok(state)
        } else {
            Err(OutsideRange { region: Region::Temperature, value, low, high })
        }
    }

    fn two_phase_between(
        &self,
        bubble: Spot,
        dew: Spot,
        enthalpy_j_kg: f64,
    ) -> Result<(f64, f64), OutsideRange> {
        let (low_j_kg, high_j_kg) = (self.bubble.enthalpy_j_kg(bubble), self.dew.enthalpy_j_kg(dew));
        let share = (enthalpy_j_kg - low_j_kg) / (high_j_kg - low_j_kg);
        if !(0.0..=1.0).contains(&share) {
            return Err(OutsideRange { region: Region::Quality, value: share, low: 0.0, high: 1.0 });
        }
        let (quality_off, temperature_off_k) = match &self.glide {
            Some(glide) => glide.off_line(bubble, share)?,
            None => (0.0, 0.0),
        };
        let straight_k = bubble.temperature_k + share * (dew.temperature_k - bubble.temperature_k);
        Ok((share + quality_off, straight_k + temperature_off_k))
    }
}

impl Refrigerant for GridRefrigerant {
    fn ends(&self, pressure: AbsolutePressure) -> Result<Ends, OutsideRange> {
        let pressure_pa = pressure.pascal();
        Ok(Ends {
            bubble: self.bubble.state(self.bubble.spot_at_pressure(pressure_pa)?, pressure_pa),
            dew: self.dew.state(self.dew.spot_at_pressure(pressure_pa)?, pressure_pa),
        })
    }

    fn at_bubble(&self, temperature: BubbleTemperature) -> Result<State, OutsideRange> {
        let spot = self.bubble.spot_at_temperature(temperature.get().value)?;
        Ok(self.bubble.state(spot, self.bubble.pressure_pa(spot)))
    }

    fn at_dew(&self, temperature: DewTemperature) -> Result<State, OutsideRange> {
        let spot = self.dew.spot_at_temperature(temperature.get().value)?;
        Ok(self.dew.state(spot, self.dew.pressure_pa(spot)))
    }

    fn bubble_temperature(&self, pressure: AbsolutePressure) -> Result<BubbleTemperature, OutsideRange> {
        let spot = self.bubble.spot_at_pressure(pressure.pascal())?;
        Ok(BubbleTemperature::new(ThermodynamicTemperature::new::<kelvin>(spot.temperature_k)))
    }

    fn dew_temperature(&self, pressure: AbsolutePressure) -> Result<DewTemperature, OutsideRange> {
        let spot = self.dew.spot_at_pressure(pressure.pascal())?;
        Ok(DewTemperature::new(ThermodynamicTemperature::new::<kelvin>(spot.temperature_k)))
    }

    fn vapour(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let spot = self.dew.spot_at_pressure(pressure.pascal())?;
        self.stated(self.vapour.at_enthalpy(&self.dew, spot, pressure.pascal(), enthalpy.value)?)
    }

    fn liquid(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Result<State, OutsideRange> {
        let spot = self.bubble.spot_at_pressure(pressure.pascal())?;
        self.stated(self.liquid.at_enthalpy(&self.bubble, spot, pressure.pascal(), enthalpy.value)?)
    }

    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let spot = self.dew.spot_at_pressure(pressure.pascal())?;
        self.stated(self.vapour.at_temperature(&self.dew, spot, pressure.pascal(), temperature.value)?)
    }

    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        let spot = self.bubble.spot_at_pressure(pressure.pascal())?;
        self.stated(self.liquid.at_temperature(&self.bubble, spot, pressure.pascal(), temperature.value)?)
    }

    fn two_phase(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<TwoPhase, OutsideRange> {
        let pressure_pa = pressure.pascal();
        let (bubble, dew) =
            (self.bubble.spot_at_pressure(pressure_pa)?, self.dew.spot_at_pressure(pressure_pa)?);
        let (quality, temperature_k) = self.two_phase_between(bubble, dew, enthalpy.value)?;
        Ok(TwoPhase {
            ends: Ends {
                bubble: self.bubble.state(bubble, pressure_pa),
                dew: self.dew.state(dew, pressure_pa),
            },
            quality: Ratio::new::<ratio>(quality),
            temperature: ThermodynamicTemperature::new::<kelvin>(temperature_k),
        })
    }

    fn thermal(&self, state: &State) -> Result<Thermal, OutsideRange> {
        let state = self.stated(*state)?;
        let (branch, region) = match state.phase {
            Phase::Liquid => (&self.bubble, &self.liquid),
            Phase::Vapour => (&self.dew, &self.vapour),
        };
        let distance_k = sense(state.phase) * state.saturation_distance.value;
        let spot = branch.spot_at_temperature(state.temperature.value - distance_k)?;
        let found = if state.saturation_distance.value == 0.0 {
            branch.thermal(spot)
        } else {
            region.thermal(branch, spot, state.saturation_distance.value)?
        };
        Ok(Thermal {
            entropy: SpecificEntropy::new::<joule_per_kilogram_kelvin>(found.entropy_j_kg_k),
            heat_capacity: SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(found.heat_capacity_j_kg_k),
            conductivity: ThermalConductivity::new::<watt_per_meter_kelvin>(found.conductivity_w_m_k),
        })
    }

    fn surface_tension(&self, temperature: BubbleTemperature) -> Result<SurfaceTension, OutsideRange> {
        let spot = self.bubble.spot_at_temperature(temperature.get().value)?;
        Ok(SurfaceTension::new::<newton_per_meter>(self.surface_tension.at(spot.interval, spot.t)))
    }

    fn distance_to_last_saturation(&self, pressure: AbsolutePressure) -> Result<f64, OutsideRange> {
        let spot = self.bubble.spot_at_pressure(pressure.pascal())?;
        Ok(self.bubble.temperature().high() - spot.temperature_k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        fluid::{AnyState, GlideColumns, SurfaceColumns, test_fluid::TestFluid},
        units::TemperatureInterval,
    };
    use approx::assert_relative_eq;
    use proptest::prelude::*;
    use std::sync::LazyLock;
    use uom::si::available_energy::joule_per_kilogram;

    fn temperature(value_k: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(value_k)
    }

    /// The made-up refrigerant, tabulated: dew 240 to 320 K.
    fn columns() -> GridData {
        let mut data = GridData::default();
        let push = |columns: &mut SurfaceColumns, state: State| {
            columns.density_kg_m3.push(state.density.value);
            columns.enthalpy_j_kg.push(state.enthalpy.value);
            columns.viscosity_pa_s.push(state.viscosity.value);
            let thermal = TestFluid.thermal(&state).unwrap();
            columns.entropy_j_kg_k.push(thermal.entropy.value);
            columns.heat_capacity_j_kg_k.push(thermal.heat_capacity.value);
            columns.conductivity_w_m_k.push(thermal.conductivity.value);
        };
        for step in 0..=80 {
            let temperature_k = 240.0 + f64::from(step);
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(temperature_k))).unwrap();
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(temperature_k))).unwrap();
            let saturation = &mut data.saturation;
            saturation.temperature_k.push(temperature_k);
            saturation.bubble_pressure_pa.push(bubble.pressure.pascal());
            saturation.dew_pressure_pa.push(dew.pressure.pascal());
            saturation.liquid_density_kg_m3.push(bubble.density.value);
            saturation.vapour_density_kg_m3.push(dew.density.value);
            saturation.liquid_enthalpy_j_kg.push(bubble.enthalpy.value);
            saturation.vapour_enthalpy_j_kg.push(dew.enthalpy.value);
            saturation.liquid_viscosity_pa_s.push(bubble.viscosity.value);
            saturation.vapour_viscosity_pa_s.push(dew.viscosity.value);
            let (cold, hot) = (TestFluid.thermal(&bubble).unwrap(), TestFluid.thermal(&dew).unwrap());
            saturation.liquid_entropy_j_kg_k.push(cold.entropy.value);
            saturation.vapour_entropy_j_kg_k.push(hot.entropy.value);
            saturation.liquid_heat_capacity_j_kg_k.push(cold.heat_capacity.value);
            saturation.vapour_heat_capacity_j_kg_k.push(hot.heat_capacity.value);
            saturation.liquid_conductivity_w_m_k.push(cold.conductivity.value);
            saturation.vapour_conductivity_w_m_k.push(hot.conductivity.value);
            let tension = TestFluid.surface_tension(BubbleTemperature::new(temperature(temperature_k)));
            saturation.surface_tension_n_m.push(tension.unwrap().value);
        }
        data.vapour.distance_k = vec![0.0, 3.0, 7.0, 12.0, 20.0, 30.0, 45.0, 70.0, 105.0];
        data.liquid.distance_k = vec![0.0, 3.0, 8.0, 15.0, 25.0, 40.0];
        for step in 0..=20 {
            let row_k = 240.0 + 4.0 * f64::from(step);
            data.vapour.saturation_temperature_k.push(row_k);
            data.liquid.saturation_temperature_k.push(row_k);
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(row_k))).unwrap();
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(row_k))).unwrap();
            for superheat in data.vapour.distance_k.clone() {
                let state = TestFluid.vapour_at(dew.pressure, temperature(row_k + superheat)).unwrap();
                push(&mut data.vapour, state);
            }
            for subcooling in data.liquid.distance_k.clone() {
                let state = TestFluid.liquid_at(bubble.pressure, temperature(row_k - subcooling)).unwrap();
                push(&mut data.liquid, state);
            }
        }
        data.glide = Some(glide());
        data
    }

    /// Bubble lines 240 to 310 K: the dew line 5 K above them stays in the data.
    fn glide() -> GlideColumns {
        let enthalpy_share = (0..=8).map(|step| f64::from(step) / 8.0).collect();
        let mut glide = GlideColumns { enthalpy_share, ..GlideColumns::default() };
        for step in 0..=7 {
            let bubble_k = 240.0 + 10.0 * f64::from(step);
            glide.bubble_temperature_k.push(bubble_k);
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(bubble_k))).unwrap();
            let dew = TestFluid.ends(bubble.pressure).unwrap().dew;
            for &share in &glide.enthalpy_share {
                let enthalpy = bubble.enthalpy + share * (dew.enthalpy - bubble.enthalpy);
                // Rounding at the end must not leave the region.
                let found = TestFluid.two_phase(bubble.pressure, enthalpy.min(dew.enthalpy)).unwrap();
                let at_end = share == 0.0 || share == 1.0;
                glide.quality_minus_share.push(if at_end { 0.0 } else { found.quality.value - share });
                glide.temperature_minus_line_k.push(0.0);
            }
        }
        glide
    }

    static GRID: LazyLock<GridRefrigerant> = LazyLock::new(|| GridRefrigerant::new(&columns()).unwrap());

    fn close(found: &State, expected: &State) {
        assert_relative_eq!(found.pressure.pascal(), expected.pressure.pascal(), max_relative = 2e-6);
        assert_relative_eq!(found.temperature.value, expected.temperature.value, epsilon = 2e-4);
        assert_relative_eq!(found.enthalpy.value, expected.enthalpy.value, epsilon = 1.0);
        assert_relative_eq!(found.density.value, expected.density.value, max_relative = 5e-5);
        assert_relative_eq!(found.viscosity.value, expected.viscosity.value, max_relative = 1e-5);
    }

    proptest! {
        #[test]
        fn saturation_is_that_of_the_formulas(at_k in 240.0..319.9_f64) {
            close(
                &GRID.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap(),
                &TestFluid.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap(),
            );
            let dew = TestFluid.at_dew(DewTemperature::new(temperature(at_k))).unwrap();
            close(&GRID.at_dew(DewTemperature::new(temperature(at_k))).unwrap(), &dew);
            prop_assert!((GRID.dew_temperature(dew.pressure).unwrap().get().value - at_k).abs() < 2e-4);
        }

        #[test]
        fn both_ways_into_the_vapour_agree_with_the_formulas(dew_k in 240.1..319.9_f64, superheat in 0.0..104.9_f64) {
            let pressure = TestFluid.at_dew(DewTemperature::new(temperature(dew_k))).unwrap().pressure;
            let expected = TestFluid.vapour_at(pressure, temperature(dew_k + superheat + 1e-3)).unwrap();
            close(&GRID.vapour(pressure, expected.enthalpy).unwrap(), &expected);
            let by_temperature = GRID.vapour_at(pressure, expected.temperature).unwrap();
            close(&by_temperature, &expected);
            let back = GRID.vapour(pressure, by_temperature.enthalpy).unwrap();
            prop_assert!((back.temperature.value - expected.temperature.value).abs() < 1e-6);
        }

        #[test]
        fn both_ways_into_the_liquid_agree_with_the_formulas(bubble_k in 240.1..319.9_f64, subcooling in 0.0..39.9_f64) {
            let pressure = TestFluid.at_bubble(BubbleTemperature::new(temperature(bubble_k))).unwrap().pressure;
            let expected = TestFluid.liquid_at(pressure, temperature(bubble_k - subcooling - 1e-3)).unwrap();
            close(&GRID.liquid(pressure, expected.enthalpy).unwrap(), &expected);
            close(&GRID.liquid_at(pressure, expected.temperature).unwrap(), &expected);
        }

        #[test]
        fn heat_and_work_agree_with_the_formulas(line_k in 240.1..314.9_f64, distance_k in 0.0..39.9_f64) {
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(line_k))).unwrap();
            let dew = TestFluid.ends(bubble.pressure).unwrap().dew.temperature.value;
            let liquid = GRID.liquid_at(bubble.pressure, temperature(line_k - distance_k - 1e-3)).unwrap();
            let vapour = GRID.vapour_at(bubble.pressure, temperature(dew + distance_k + 1e-3)).unwrap();
            for state in [liquid, vapour] {
                let (found, expected) = (GRID.thermal(&state).unwrap(), TestFluid.thermal(&state).unwrap());
                assert_relative_eq!(found.entropy.value, expected.entropy.value, epsilon = 0.02);
                assert_relative_eq!(found.heat_capacity.value, expected.heat_capacity.value, max_relative = 1e-9);
                assert_relative_eq!(found.conductivity.value, expected.conductivity.value, max_relative = 1e-9);
            }
            let at = BubbleTemperature::new(temperature(line_k));
            assert_relative_eq!(
                GRID.surface_tension(at).unwrap().value,
                TestFluid.surface_tension(at).unwrap().value,
                max_relative = 1e-9
            );
        }

        #[test]
        fn quality_and_temperature_between_the_ends_agree_with_the_formulas(
            bubble_k in 240.1..309.9_f64,
            share in 0.0..1.0_f64,
        ) {
            let bubble = TestFluid.at_bubble(BubbleTemperature::new(temperature(bubble_k))).unwrap();
            let dew = TestFluid.ends(bubble.pressure).unwrap().dew;
            let enthalpy = bubble.enthalpy + (1e-4 + 0.9998 * share) * (dew.enthalpy - bubble.enthalpy);
            let AnyState::TwoPhase(found) = GRID.state(bubble.pressure, enthalpy).unwrap() else {
                panic!("not two-phase");
            };
            let expected = TestFluid.two_phase(bubble.pressure, enthalpy).unwrap();
            assert_relative_eq!(found.quality.value, expected.quality.value, epsilon = 2e-5);
            assert_relative_eq!(found.temperature.value, expected.temperature.value, epsilon = 4e-4);
        }

        #[test]
        fn regions_join_the_saturation_line_without_a_step(at_k in 240.0..319.9_f64) {
            let dew = GRID.at_dew(DewTemperature::new(temperature(at_k))).unwrap();
            let same = GRID.vapour(dew.pressure, dew.enthalpy).unwrap();
            prop_assert!((same.density.value / dew.density.value - 1.0).abs() < 1e-9);
            let bubble = GRID.at_bubble(BubbleTemperature::new(temperature(at_k))).unwrap();
            let same = GRID.liquid(bubble.pressure, bubble.enthalpy).unwrap();
            prop_assert!((same.density.value / bubble.density.value - 1.0).abs() < 1e-9);
        }
    }

    /// Heat capacity that changes along the superheat: the first guess of the search lands in another interval, on either
    /// side, and must still be led home.
    #[test]
    fn enthalpy_is_inverted_where_heat_capacity_bends() {
        for bend in [-3.0, -1.0, 2.0, 20.0] {
            let mut data = columns();
            let width = data.vapour.distance_k.len();
            for (cell, enthalpy) in data.vapour.enthalpy_j_kg.iter_mut().enumerate() {
                *enthalpy += bend * data.vapour.distance_k[cell % width].powi(2);
            }
            let grid = GridRefrigerant::new(&data).unwrap();
            for dew_k in [241.0, 280.0, 319.0] {
                let pressure = grid.at_dew(DewTemperature::new(temperature(dew_k))).unwrap().pressure;
                for superheat in 0..=104 {
                    let asked = grid.vapour_at(pressure, temperature(dew_k + f64::from(superheat))).unwrap();
                    let found = grid.vapour(pressure, asked.enthalpy).unwrap();
                    assert_relative_eq!(found.temperature.value, asked.temperature.value, epsilon = 1e-6);
                    assert_relative_eq!(
                        found.saturation_distance.value,
                        f64::from(superheat),
                        epsilon = 1e-6
                    );
                }
            }
        }
    }

    #[test]
    fn a_saturated_state_handed_back_with_rounding_is_still_saturated() {
        let dew = GRID.at_dew(DewTemperature::new(temperature(280.0))).unwrap();
        for below in [1e-10, 5e-10] {
            let found = GRID.vapour_at(dew.pressure, temperature(dew.temperature.value - below)).unwrap();
            assert_relative_eq!(found.saturation_distance.value, 0.0, epsilon = 1e-12);
        }
        assert!(GRID.vapour_at(dew.pressure, temperature(dew.temperature.value - 1e-6)).is_err());
        let less = |by: f64| SpecificEnthalpy::new::<joule_per_kilogram>(dew.enthalpy.value - by);
        assert!(
            GRID.vapour(dew.pressure, less(1e-7)).is_ok() && GRID.vapour(dew.pressure, less(1e-3)).is_err()
        );
    }

    #[test]
    fn beyond_the_data_is_a_typed_refusal_with_the_range() {
        let ends = GRID.ends(AbsolutePressure::from_pascal(9e6)).unwrap_err();
        assert_eq!(ends.region, Region::BubblePressure);
        assert!(ends.low < ends.high && ends.value == 9e6);
        assert_eq!(
            GRID.dew_temperature(AbsolutePressure::from_pascal(1.0)).unwrap_err().region,
            Region::DewPressure
        );
        let cold = GRID.at_dew(DewTemperature::new(temperature(200.0))).unwrap_err();
        assert_eq!(
            (cold.region, cold.value, cold.low, cold.high),
            (Region::SaturationTemperature, 200.0, 240.0, 320.0)
        );
        let pressure = GRID.at_dew(DewTemperature::new(temperature(280.0))).unwrap().pressure;
        for (found, region) in [
            (GRID.vapour_at(pressure, temperature(279.0)), Region::Superheat),
            (GRID.vapour_at(pressure, temperature(500.0)), Region::Superheat),
            (GRID.liquid_at(pressure, temperature(281.0)), Region::Subcooling),
            (GRID.liquid_at(pressure, temperature(200.0)), Region::Subcooling),
        ] {
            assert_eq!(found.unwrap_err().region, region);
        }
        let wet = SpecificEnthalpy::new::<joule_per_kilogram>(300e3);
        let (vapour, liquid) =
            (GRID.vapour(pressure, wet).unwrap_err(), GRID.liquid(pressure, wet).unwrap_err());
        assert!(vapour.region == Region::Superheat && vapour.value < 0.0);
        assert!(liquid.region == Region::Subcooling && liquid.value < 0.0);
        assert!(GRID.ends(AbsolutePressure::from_pascal(f64::NAN)).is_err());
        assert!(GRID.vapour_at(pressure, temperature(f64::NAN)).is_err());
        let nonsense = SpecificEnthalpy::new::<joule_per_kilogram>(f64::NAN);
        assert!(GRID.vapour(pressure, nonsense).is_err() && GRID.liquid(pressure, nonsense).is_err());
    }

    /// The last distance is in the data by either way in; beyond it, or across the line, the refusal says how far.
    #[test]
    fn enthalpy_on_and_beyond_the_ends_of_a_row() {
        for line_k in [240.0, 281.3, 320.0] {
            let dew = GRID.at_dew(DewTemperature::new(temperature(line_k))).unwrap();
            let bubble = GRID.at_bubble(BubbleTemperature::new(temperature(line_k))).unwrap();
            let last = GRID.vapour_at(dew.pressure, temperature(dew.temperature.value + 105.0)).unwrap();
            let found = GRID.vapour(dew.pressure, last.enthalpy);
            // Off by the last digit of a sum it may be beyond.
            assert!(
                found.is_ok_and(|state| (state.saturation_distance.value - 105.0).abs() < 1e-6)
                    || found.is_err_and(|refused| (refused.value - 105.0).abs() < 1e-6)
            );
            let joule = |j_kg: f64| SpecificEnthalpy::new::<joule_per_kilogram>(j_kg);
            // Heat capacities 900 and 1500 J/(kg K), the same along a row.
            for (refused, region, distance_k) in [
                (GRID.vapour(dew.pressure, dew.enthalpy + joule(900.0 * 110.0)), Region::Superheat, 110.0),
                (GRID.vapour(dew.pressure, dew.enthalpy - joule(900.0 * 7.0)), Region::Superheat, -7.0),
                (
                    GRID.liquid(bubble.pressure, bubble.enthalpy - joule(1500.0 * 50.0)),
                    Region::Subcooling,
                    50.0,
                ),
                (
                    GRID.liquid(bubble.pressure, bubble.enthalpy + joule(1500.0 * 7.0)),
                    Region::Subcooling,
                    -7.0,
                ),
            ] {
                let refused = refused.unwrap_err();
                assert_eq!(refused.region, region);
                assert_relative_eq!(refused.value, distance_k, epsilon = 1e-3);
            }
        }
    }

    #[test]
    fn heat_capacity_and_conductivity_off_the_line_are_those_of_the_table() {
        let mut data = columns();
        let width = data.vapour.distance_k.len();
        let (cell, at_k, superheat) =
            (7 * width + 4, data.vapour.saturation_temperature_k[7], data.vapour.distance_k[4]);
        for (k, (heat, conductivity)) in
            data.vapour.heat_capacity_j_kg_k.iter_mut().zip(&mut data.vapour.conductivity_w_m_k).enumerate()
        {
            *heat *= 1.0 + 0.002 * data.vapour.distance_k[k % width];
            *conductivity *= 1.0 - 0.003 * data.vapour.distance_k[k % width];
        }
        let grid = GridRefrigerant::new(&data).unwrap();
        let pressure = grid.at_dew(DewTemperature::new(temperature(at_k))).unwrap().pressure;
        let found = grid.thermal(&grid.vapour_at(pressure, temperature(at_k + superheat)).unwrap()).unwrap();
        let [heat, conductivity] = [&data.vapour.heat_capacity_j_kg_k, &data.vapour.conductivity_w_m_k];
        assert_relative_eq!(found.heat_capacity.value, heat[cell], max_relative = 1e-6);
        assert_relative_eq!(found.conductivity.value, conductivity[cell], max_relative = 1e-6);
    }

    #[test]
    fn temperature_leaves_the_straight_line_as_the_table_says() {
        let mut data = columns();
        let mut bent = glide();
        let (width, middle) = (bent.enthalpy_share.len(), bent.enthalpy_share.len() / 2);
        for (cell, off_k) in bent.temperature_minus_line_k.iter_mut().enumerate() {
            let share = bent.enthalpy_share[cell % width];
            *off_k = 2.0 * share * (1.0 - share);
        }
        let (row_k, share) = (bent.bubble_temperature_k[2], bent.enthalpy_share[middle]);
        data.glide = Some(bent);
        let grid = GridRefrigerant::new(&data).unwrap();
        let ends =
            grid.ends(grid.at_bubble(BubbleTemperature::new(temperature(row_k))).unwrap().pressure).unwrap();
        let enthalpy = ends.bubble.enthalpy + share * (ends.dew.enthalpy - ends.bubble.enthalpy);
        let found = grid.two_phase(ends.bubble.pressure, enthalpy).unwrap().temperature.value;
        let glide_k = ends.dew.temperature.value - ends.bubble.temperature.value;
        let straight_k = ends.bubble.temperature.value + share * glide_k;
        assert_relative_eq!(found - straight_k, 2.0 * share * (1.0 - share), epsilon = 1e-6);
    }

    #[test]
    fn corners_beyond_the_equation_are_refused() {
        let mut data = columns();
        data.equation_range_k = Some((230.0, 350.0));
        let grid = GridRefrigerant::new(&data).unwrap();
        let pressure = grid.at_dew(DewTemperature::new(temperature(300.0))).unwrap().pressure;
        assert!(grid.vapour_at(pressure, temperature(349.9)).is_ok());
        let hot = grid.vapour_at(pressure, temperature(350.1)).unwrap_err();
        assert_eq!((hot.region, hot.low, hot.high), (Region::Temperature, 230.0, 350.0));
        let hot = GRID.vapour_at(pressure, temperature(350.1)).unwrap();
        assert_eq!(grid.vapour(pressure, hot.enthalpy).unwrap_err().region, Region::Temperature);
        let cold = grid.at_bubble(BubbleTemperature::new(temperature(260.0))).unwrap().pressure;
        assert_eq!(grid.liquid_at(cold, temperature(229.0)).unwrap_err().region, Region::Temperature);
        let frozen = GRID.liquid_at(cold, temperature(229.0)).unwrap();
        assert_eq!(grid.liquid(cold, frozen.enthalpy).unwrap_err().region, Region::Temperature);
    }

    #[test]
    fn between_the_ends_is_two_phase_and_nothing_else_is() {
        let bubble = GRID.at_bubble(BubbleTemperature::new(temperature(280.0))).unwrap();
        let dew = GRID.ends(bubble.pressure).unwrap().dew;
        let joule = |j_kg: f64| SpecificEnthalpy::new::<joule_per_kilogram>(j_kg);
        for (end, quality) in [(bubble, 0.0), (dew, 1.0)] {
            let found = GRID.two_phase(bubble.pressure, end.enthalpy).unwrap();
            assert_relative_eq!(found.quality.value, quality, epsilon = 1e-12);
            assert_relative_eq!(found.temperature.value, end.temperature.value, epsilon = 1e-9);
        }
        for outside in [bubble.enthalpy - joule(1.0), dew.enthalpy + joule(1.0), joule(f64::NAN)] {
            let refused = GRID.two_phase(bubble.pressure, outside).unwrap_err();
            assert_eq!((refused.region, refused.low, refused.high), (Region::Quality, 0.0, 1.0));
        }
        let at = |enthalpy| GRID.state(bubble.pressure, enthalpy).unwrap();
        assert!(matches!(at(bubble.enthalpy), AnyState::Liquid(state) if state.phase == Phase::Liquid));
        assert!(matches!(at(bubble.enthalpy + joule(1.0)), AnyState::TwoPhase(_)));
        assert!(matches!(at(dew.enthalpy), AnyState::Vapour(state) if state.phase == Phase::Vapour));
        // Bubble lines above the last row of the glide table: no quality without it.
        let high = GRID.at_bubble(BubbleTemperature::new(temperature(312.0))).unwrap();
        let refused = GRID.two_phase(high.pressure, high.enthalpy + joule(1e3)).unwrap_err();
        assert_eq!((refused.region, refused.high), (Region::SaturationTemperature, 310.0));
        // Without a table the way is straight: a pure fluid.
        let mut data = columns();
        data.glide = None;
        let pure = GridRefrigerant::new(&data).unwrap();
        let middle = 0.5 * (bubble.enthalpy + dew.enthalpy);
        assert_relative_eq!(
            pure.two_phase(bubble.pressure, middle).unwrap().quality.value,
            0.5,
            epsilon = 1e-9
        );
    }

    #[test]
    fn thermal_properties_join_the_line_and_refuse_foreign_states() {
        let dew = GRID.at_dew(DewTemperature::new(temperature(280.0))).unwrap();
        let beside = GRID.vapour_at(dew.pressure, temperature(280.0 + 1e-7)).unwrap();
        let (on, off) = (GRID.thermal(&dew).unwrap(), GRID.thermal(&beside).unwrap());
        assert_relative_eq!(on.entropy.value, off.entropy.value, epsilon = 1e-5);
        let far = State { saturation_distance: kelvins(106.0), temperature: temperature(386.0), ..dew };
        assert_eq!(GRID.thermal(&far).unwrap_err().region, Region::Superheat);
        let cold = State { temperature: temperature(239.0), ..dew };
        assert_eq!(GRID.thermal(&cold).unwrap_err().region, Region::SaturationTemperature);
        let at = BubbleTemperature::new(temperature(239.9));
        assert_eq!(GRID.surface_tension(at).unwrap_err().region, Region::SaturationTemperature);
    }

    fn kelvins(value_k: f64) -> TemperatureInterval {
        TemperatureInterval::new::<uom::si::temperature_interval::kelvin>(value_k)
    }

    #[test]
    fn distance_to_the_last_row_is_in_bubble_temperature() {
        let pressure = GRID.at_bubble(BubbleTemperature::new(temperature(300.0))).unwrap().pressure;
        assert_relative_eq!(GRID.distance_to_last_saturation(pressure).unwrap(), 20.0, epsilon = 1e-4);
    }

    #[test]
    fn columns_that_can_not_be_are_refused() {
        let broken = |change: fn(&mut GridData)| {
            let mut data = columns();
            change(&mut data);
            GridRefrigerant::new(&data).unwrap_err()
        };
        use GridError as E;
        let length = broken(|d| d.saturation.liquid_density_kg_m3.truncate(70));
        assert!(matches!(length, E::Length { column: "density_kg_m3", found: 70, wanted: 81 }));
        assert!(matches!(broken(|d| d.vapour.density_kg_m3.truncate(70)), E::Length { .. }));
        assert!(matches!(
            broken(|d| d.saturation.temperature_k[3] = 242.0),
            E::Axis { axis: "temperature_k" }
        ));
        assert!(matches!(broken(|d| d.saturation.dew_pressure_pa[7] = 1.0), E::Axis { axis: "pressure_pa" }));
        assert!(matches!(broken(|d| d.saturation.dew_pressure_pa[7] = -1.0), E::Value { position: 7, .. }));
        assert!(matches!(broken(|d| d.vapour.distance_k[0] = 1.0), E::Axis { axis: "distance_k" }));
        assert!(matches!(broken(|d| d.liquid.viscosity_pa_s[5] = f64::NAN), E::Value { position: 5, .. }));
        assert!(matches!(
            broken(|d| d.liquid.enthalpy_j_kg[5] = 9e6),
            E::Value { column: "enthalpy_j_kg", .. }
        ));
        assert!(matches!(broken(|d| d.vapour.saturation_temperature_k[0] = 239.0), E::NoSuchRow { .. }));
        assert!(matches!(broken(|d| d.vapour.saturation_temperature_k.truncate(4)), E::Axis { .. }));
        let of_glide = |change: fn(&mut GlideColumns)| {
            let mut data = columns();
            data.glide = Some(glide());
            data.glide.iter_mut().for_each(change);
            GridRefrigerant::new(&data).unwrap_err()
        };
        assert!(matches!(of_glide(|g| g.bubble_temperature_k[1] = 250.5), E::NoSuchRow { .. }));
        assert!(matches!(of_glide(|g| g.enthalpy_share[8] = 0.99), E::Axis { axis: "enthalpy_share" }));
        assert!(matches!(of_glide(|g| g.enthalpy_share[0] = 0.01), E::Axis { axis: "enthalpy_share" }));
        assert!(matches!(
            of_glide(|g| g.quality_minus_share[8] = 0.01),
            E::Value { column: "quality_minus_share", position: 8, .. }
        ));
        assert!(matches!(
            of_glide(|g| g.temperature_minus_line_k[9] = 0.01),
            E::Value { column: "temperature_minus_line_k", position: 9, .. }
        ));
        assert!(matches!(of_glide(|g| g.quality_minus_share.truncate(9)), E::Length { .. }));
    }
}
