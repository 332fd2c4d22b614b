//! Whole chains, key by key, against own calculation with CoolProp 8.0.0: states, mass rate, discharge, liquid and
//! suction line of one circuit (C1 to C4), and liquid risers (S). The reference takes properties at each line's inlet.

use crate::support::*;
use physics::{
    fluid::{Refrigerant, State},
    friction::{darcy_friction_factor, friction_pressure_drop},
    line::Phase,
    oil_return::minimum_mass_rate,
    operation::{Evaporator, Load, Operation},
    units::{
        AbsolutePressure, Bore, DewTemperature, Length, Power, STANDARD_GRAVITY_M_S2, TemperatureInterval,
        Velocity, delta,
        unit::{
            length::micrometer,
            power::kilowatt,
            pressure::kilopascal,
            temperature_interval::{degree_fahrenheit, kelvin},
            velocity::meter_per_second,
        },
    },
};

/// Four printed digits, and 0.05 % of the grid in density, twice.
const PRINT_ROUNDING_AND_GRID: f64 = 0.002;
/// Flash margins are printed to 0.001 K; 0.05 % of the grid's pressure is 0.015 K.
const FLASH_MARGIN_K: f64 = 0.02;
/// Static loss of a riser is printed to 0.01 psi, its temperature to 0.01 F.
const RISER: f64 = 0.011;

fn chains(prefix: &str) -> Vec<Row> {
    let mut rows = read("cross/data/line_chains.csv");
    rows.retain(|row| row.text("id").starts_with(prefix));
    rows
}

fn name(row: &Row) -> String {
    row.pairs("inputs").iter().find(|(key, _)| *key == "refrigerant").unwrap().1.to_owned()
}

#[test]
fn liquid_risers() {
    let mut tally = Tally::new("static loss of liquid risers, psi and F");
    let mut exact = Tally::new("density and static gradient of liquid risers");
    for row in chains("S-") {
        let fluid = refrigerant(&name(&row));
        let foot = bubble(fluid, fahrenheit(110.0));
        exact.relative(
            "density",
            foot.density.value,
            row.keyed("inputs", "density_kg_m3"),
            PRINT_ROUNDING_AND_GRID,
        );
        for feet in [10.0, 30.0, 50.0] {
            // Still, and saturated at its top, so that nothing flashes; the reference has the density of saturation throughout.
            let riser = line(bore_mm(8.0), DRAWN_COPPER_UM, vec![leg(feet * FOOT_M, feet * FOOT_M)]);
            let above_pa = 1.01 * foot.density.value * STANDARD_GRAVITY_M_S2 * feet * FOOT_M;
            let pressed =
                fluid.liquid_at(pascals(foot.pressure.pascal() + above_pa), foot.temperature).unwrap();
            let top = outlet(fluid, &riser, inlet(Phase::Liquid, &pressed, 0.0));
            let denser = 0.5 * (1.0 + (pressed.density / foot.density).value);
            let lost_psi = top.pressure_drop.value / denser / PSI_PA;
            let after = pascals(foot.pressure.pascal() - lost_psi * PSI_PA);
            let used_up = delta(foot.temperature, fluid.bubble_temperature(after).unwrap().get());
            let key = |unit: &str| format!("rise_{feet:.0}ft_{unit}");
            let what = |unit: &str| format!("{} {}", row.text("id"), key(unit));
            // 0.05 % of the grid's density, and as much for a column that is denser below by more than a straight line.
            let of_density = 0.001 * lost_psi;
            tally.absolute(&what("psi"), lost_psi, row.keyed("results", &key("psi")), RISER + of_density);
            let found = used_up.get::<degree_fahrenheit>();
            tally.absolute(&what("F"), found, row.keyed("results", &key("F")), RISER);
            if feet == 10.0 {
                let gradient = row.keyed("results", "psi_per_ft");
                exact.relative(&what("psi/ft"), lost_psi / feet, gradient, PRINT_ROUNDING_AND_GRID);
            }
        }
    }
    tally.finish(18);
    exact.finish(6);
}

/// One line of a chain by properties at its inlet, as the reference has it, and by the march.
struct OneLine<'a> {
    fluid: &'a dyn Refrigerant,
    phase: Phase,
    state: State,
    bore: Bore,
    length: Length,
    rate_kg_s: f64,
}

impl OneLine<'_> {
    fn velocity(&self) -> Velocity {
        let volume_m3_s = self.rate_kg_s / self.state.density.value;
        Velocity::new::<meter_per_second>(volume_m3_s / self.bore.area().value)
    }

    fn reynolds(&self) -> f64 {
        self.rate_kg_s * self.bore.get().value / (self.bore.area().value * self.state.viscosity.value)
    }

    fn drop_kpa(&self) -> f64 {
        let roughness = Length::new::<micrometer>(DRAWN_COPPER_UM);
        let reynolds = number(self.reynolds());
        friction_pressure_drop(
            self.length,
            self.bore,
            roughness,
            self.state.density,
            self.velocity(),
            reynolds,
        )
        .value
        .get::<kilopascal>()
    }

    /// Drop by the march: gas expands on the way, so it lies above the drop at inlet density by half the relative drop,
    /// and a little more. The reference leaves acceleration out.
    fn check_march(&self, tally: &mut Tally, what: &str) {
        let line = line(self.bore, DRAWN_COPPER_UM, vec![leg(self.length.value, 0.0)]);
        let marched = outlet(self.fluid, &line, inlet(self.phase, &self.state, self.rate_kg_s));
        let share = self.drop_kpa() * 1e3 / self.state.pressure.pascal();
        let expected = match self.phase {
            Phase::Vapour => self.drop_kpa() * (1.0 + 0.55 * share),
            Phase::Liquid => self.drop_kpa(),
        };
        // What is left: the curve of the law, 0.2 % at a relative drop of 7 %.
        let alike = marched.pressure_drop - marched.acceleration_drop;
        tally.relative(what, alike.get::<kilopascal>(), expected, 0.002 + 0.1 * share);
    }

    fn dew_drop_k(&self) -> f64 {
        let lost_pa = self.drop_kpa() * 1e3;
        let dew_at = |pressure_pa: f64| -> DewTemperature {
            self.fluid.dew_temperature(AbsolutePressure::from_pascal(pressure_pa)).unwrap()
        };
        let inlet_pa = self.state.pressure.pascal();
        delta(dew_at(inlet_pa).get(), dew_at(inlet_pa - lost_pa).get()).get::<kelvin>()
    }
}

#[test]
fn circuits() {
    let mut keys = Tally::new("chains, properties at the inlet");
    let mut margins = Tally::new("chains, flash margin, K");
    let mut marched = Tally::new("chains, drop by the march");
    for row in chains("C") {
        let id = row.text("id").to_owned();
        let given = |key: &str| row.keyed("inputs", key);
        let mut compare = |key: &str, found: f64| {
            keys.relative(&format!("{id} {key}"), found, row.keyed("results", key), PRINT_ROUNDING_AND_GRID)
        };
        let fluid = refrigerant(&name(&row));
        let condensing = celsius(given("cond_C"));
        let evaporating = dew(fluid, celsius(given("sat_suction_C"))).pressure;
        let operation = Operation {
            evaporator: Some(Evaporator { pressure: evaporating, superheat: kelvins(given("superheat_K")) }),
            condensing: dew(fluid, condensing).pressure,
            low_head: None,
            subcooling: kelvins(given("subcooling_K")),
            load: Load::Capacity {
                capacity: Power::new::<kilowatt>(given("capacity_kW")),
                // Enough for hot gas; no line of the chain takes its discharge state from here.
                compressor_input: Power::new::<kilowatt>(0.4 * given("capacity_kW")),
            },
            peak_flow: None,
            least_load: None,
        };
        let point = operation.at(physics::check::Condition::Summer, fluid).unwrap().unwrap();
        let rate_kg_s = point.mass_rate.value;
        compare("mass_flow_g_s", rate_kg_s * 1e3);

        let line_of = |phase, state, bore_key: &str| OneLine {
            fluid,
            phase,
            state,
            bore: bore_mm(given(bore_key)),
            length: metres(given("equiv_length_each_m")),
            rate_kg_s,
        };
        let gas =
            fluid.vapour_at(dew(fluid, condensing).pressure, celsius(given("discharge_gas_C"))).unwrap();
        let discharge = line_of(Phase::Vapour, gas, "discharge_id_mm");
        let liquid = line_of(Phase::Liquid, point.liquid, "liquid_id_mm");
        let suction = line_of(Phase::Vapour, point.suction.unwrap(), "suction_id_mm");
        let least_g_s = |line: &OneLine<'_>| {
            let least = minimum_mass_rate(line.bore, line.state.density, density(given("oil_density")));
            least.unwrap().value.value * 1e3
        };

        compare("discharge_v_m_s", discharge.velocity().value);
        compare("discharge_Re", discharge.reynolds());
        let roughness = number(DRAWN_COPPER_UM * 1e-6 / discharge.bore.get().value);
        compare("discharge_f", darcy_friction_factor(number(discharge.reynolds()), roughness).value.value);
        compare("discharge_dp_kPa", discharge.drop_kpa());
        compare("discharge_dT_K", discharge.dew_drop_k());
        compare("discharge_riser_min_flow_g_s", least_g_s(&discharge));
        compare("discharge_flow_over_min", rate_kg_s * 1e3 / least_g_s(&discharge));
        compare("suction_v_m_s", suction.velocity().value);
        compare("suction_dp_kPa", suction.drop_kpa());
        compare("suction_dT_K", suction.dew_drop_k());
        compare("suction_flow_over_min", rate_kg_s * 1e3 / least_g_s(&suction));
        compare("liquid_v_m_s", liquid.velocity().value);
        compare("liquid_dp_friction_kPa", liquid.drop_kpa());

        let height_m = given("condenser_above_head_m");
        let still = |rise_m: f64| {
            let column = line(liquid.bore, DRAWN_COPPER_UM, vec![leg(height_m, rise_m)]);
            outlet(fluid, &column, inlet(Phase::Liquid, &liquid.state, 0.0)).static_drop.get::<kilopascal>()
        };
        compare("liquid_static_kPa", -still(-height_m));
        for (key, rise_m) in [
            ("flash_margin_K_liquid_flowing_down", -height_m),
            ("flash_margin_K_if_liquid_had_to_rise", height_m),
        ] {
            let lost_kpa = liquid.drop_kpa() + still(rise_m);
            let arriving = pascals(liquid.state.pressure.pascal() - lost_kpa * 1e3);
            let margin: TemperatureInterval =
                delta(fluid.bubble_temperature(arriving).unwrap().get(), liquid.state.temperature);
            margins.absolute(
                &format!("{id} {key}"),
                margin.get::<kelvin>(),
                row.keyed("results", key),
                FLASH_MARGIN_K,
            );
        }
        for (what, line) in [("discharge", &discharge), ("liquid", &liquid), ("suction", &suction)] {
            line.check_march(&mut marched, &format!("{id} {what}"));
        }
    }
    keys.finish(4 * 15);
    margins.finish(4 * 2);
    marched.finish(4 * 3);
}
