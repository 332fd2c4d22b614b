//! Whole lines against a rival method: `line_jobs.csv`, 200 random lines of R-134a and R-404A by 400 explicit steps
//! with CoolProp 8.0.0 and fluids 1.3.1 (`data/generate/rival_jobs.py`), at constant temperature.
//!
//! Elbows stand one by one, evenly spaced; there their loss is spread over the steps. The march takes the density before
//! each elbow: low by half of what one elbow costs, 0.3 % of the pressure at the most here.
//!
//! Two things are compared. At constant temperature (a refrigerant that answers every enthalpy with the inlet's
//! temperature) nothing but numerics and property grids is left. The march proper is adiabatic: gas that loses pressure
//! cools by 0.01 to 0.03 K per kPa, falling liquid warms; that is the known difference, and it is printed.

use crate::support::*;
use physics::{
    fluid::{Ends, OutsideRange, Refrigerant, State, Thermal, TwoPhase},
    line::{Outlet, Phase},
    units::{
        AbsolutePressure, BubbleTemperature, DewTemperature, SpecificEnthalpy, SurfaceTension,
        ThermodynamicTemperature, unit::thermodynamic_temperature::kelvin,
    },
};

/// The adiabatic march against constant temperature: gas that loses a tenth of its pressure cools by 3 K and is 1.7 %
/// denser at the outlet for it, 0.9 % on the mean. Drop, charge and velocity follow. So the tolerance grows with the share
/// of pressure lost; it is below 1 % up to 9 % lost, below 0.5 % up to 4 %.
fn tolerance(at_constant_temperature: f64, share_of_pressure: f64) -> f64 {
    at_constant_temperature + 0.09 * share_of_pressure.abs()
}

/// At constant temperature: the grid's 0.05 % in density, 0.5 % in viscosity (0.1 % of friction), explicit steps of the
/// rival (half a step's share of the density change, up to 0.05 %), elbows with the density before them (0.15 %).
const DROP_AT_CONSTANT_TEMPERATURE: f64 = 0.002;
const CHARGE_AT_CONSTANT_TEMPERATURE: f64 = 0.001;
/// The greatest velocity is at the outlet, where the whole of the cooling counts: twice the mean.
const VELOCITY_OVER_MEAN: f64 = 2.0;

/// A refrigerant held at one temperature: what the rival computes.
struct Isothermal {
    fluid: &'static dyn Refrigerant,
    temperature: ThermodynamicTemperature,
}

impl Refrigerant for Isothermal {
    fn ends(&self, pressure: AbsolutePressure) -> Result<Ends, OutsideRange> {
        self.fluid.ends(pressure)
    }

    fn at_bubble(&self, temperature: BubbleTemperature) -> Result<State, OutsideRange> {
        self.fluid.at_bubble(temperature)
    }

    fn at_dew(&self, temperature: DewTemperature) -> Result<State, OutsideRange> {
        self.fluid.at_dew(temperature)
    }

    fn vapour(&self, pressure: AbsolutePressure, _: SpecificEnthalpy) -> Result<State, OutsideRange> {
        self.fluid.vapour_at(pressure, self.temperature)
    }

    fn liquid(&self, pressure: AbsolutePressure, _: SpecificEnthalpy) -> Result<State, OutsideRange> {
        self.fluid.liquid_at(pressure, self.temperature)
    }

    fn vapour_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        self.fluid.vapour_at(pressure, temperature)
    }

    fn liquid_at(
        &self,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<State, OutsideRange> {
        self.fluid.liquid_at(pressure, temperature)
    }

    fn two_phase(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<TwoPhase, OutsideRange> {
        self.fluid.two_phase(pressure, enthalpy)
    }

    fn thermal(&self, state: &State) -> Result<Thermal, OutsideRange> {
        self.fluid.thermal(state)
    }

    fn surface_tension(&self, temperature: BubbleTemperature) -> Result<SurfaceTension, OutsideRange> {
        self.fluid.surface_tension(temperature)
    }

    fn distance_to_last_saturation(&self, pressure: AbsolutePressure) -> Result<f64, OutsideRange> {
        self.fluid.distance_to_last_saturation(pressure)
    }
}

/// The march of a job with a refrigerant.
fn walk(row: &Row, fluid: &dyn Refrigerant) -> Outlet {
    let pressure = pascals(row.number("inlet_pressure_pa"));
    let temperature = ThermodynamicTemperature::new::<kelvin>(row.number("inlet_temperature_k"));
    let (phase, state) = match row.text("service") {
        "liquid" => (Phase::Liquid, fluid.liquid_at(pressure, temperature)),
        _ => (Phase::Vapour, fluid.vapour_at(pressure, temperature)),
    };
    let (length_m, rise_m) = (row.number("length_m"), row.number("rise_m"));
    let elbow = LIBRARY.fittings().three_k("elbow-90-short-threaded").unwrap().loss.value;
    let elbows = row.number("elbows");
    // n elbows between n + 1 legs, the first and the last of half length: each elbow in the middle of its share.
    let piece = |share: f64| leg(share * length_m, share * rise_m);
    let elements = if elbows == 0.0 {
        vec![piece(1.0)]
    } else {
        let (half, whole) = (piece(0.5 / elbows), piece(1.0 / elbows));
        let mut elements = vec![half];
        for _ in 1..elbows as u32 {
            elements.extend([fitting(elbow, 1), whole]);
        }
        elements.extend([fitting(elbow, 1), half]);
        elements
    };
    let line = line(bore_mm(row.number("bore_m") * 1e3), DRAWN_COPPER_UM, elements);
    outlet(fluid, &line, inlet(phase, &state.unwrap(), row.number("mass_rate_kg_s")))
}

/// What a drop is judged against: friction, fittings and height, each by its size. Where height nearly cancels friction, a
/// share of their sum would mean nothing.
fn size_pa(outlet: &Outlet) -> f64 {
    outlet.friction_drop.value + outlet.fittings_drop.value + outlet.static_drop.value.abs()
}

#[test]
fn two_hundred_lines() {
    let rows = read("cross/line_jobs.csv");
    let mut isothermal = Tally::new("line jobs at constant temperature, drop");
    let mut isothermal_charge = Tally::new("line jobs at constant temperature, charge");
    let mut adiabatic = ["discharge", "liquid", "suction"].map(|service| {
        let tally = |what: &str| Tally::new(format!("{service} jobs, adiabatic march, {what}"));
        (service, tally("drop"), tally("charge"), tally("greatest velocity"), tally("cooling, K"))
    });
    for row in &rows {
        let fluid: &'static dyn Refrigerant = refrigerant(row.text("refrigerant"));
        let temperature = ThermodynamicTemperature::new::<kelvin>(row.number("inlet_temperature_k"));
        let what = format!("job {}", row.text("job"));
        let (drop, charge) = (row.number("drop_pa"), row.number("charge_kg"));

        let held = walk(row, &Isothermal { fluid, temperature });
        // The reference leaves acceleration out.
        let miss = |outlet: &Outlet| {
            let alike = (outlet.pressure_drop - outlet.acceleration_drop).value;
            1.0 + (alike - drop) / size_pa(outlet)
        };
        isothermal.relative(&what, miss(&held), 1.0, DROP_AT_CONSTANT_TEMPERATURE);
        // What accelerates has less pressure left, and with it less density: half of that share on the mean.
        let thinner = 1.0 - 0.5 * held.acceleration_drop.value / row.number("inlet_pressure_pa");
        isothermal_charge.relative(
            &what,
            held.charge.value / thinner,
            charge,
            CHARGE_AT_CONSTANT_TEMPERATURE,
        );

        let found = walk(row, fluid);
        let (_, drops, charges, velocities, cooling) =
            adiabatic.iter_mut().find(|(service, ..)| *service == row.text("service")).unwrap();
        let share = drop / row.number("inlet_pressure_pa");
        drops.relative(&what, miss(&found), 1.0, tolerance(DROP_AT_CONSTANT_TEMPERATURE, share));
        charges.relative(&what, found.charge.value, charge, tolerance(CHARGE_AT_CONSTANT_TEMPERATURE, share));
        velocities.relative(
            &what,
            found.velocity_max.value,
            row.number("velocity_max_m_s"),
            VELOCITY_OVER_MEAN * tolerance(CHARGE_AT_CONSTANT_TEMPERATURE, share),
        );
        // No line of these loses more than 15 % of its pressure.
        cooling.absolute(&what, found.outlet.temperature.value, row.number("outlet_temperature_k"), 4.0);
    }
    isothermal.finish(200);
    isothermal_charge.finish(200);
    for (service, drops, charges, velocities, cooling) in adiabatic {
        let count = rows.iter().filter(|row| row.text("service") == service).count();
        assert!(count > 40, "{service}: {count}");
        drops.finish(count);
        charges.finish(count);
        velocities.finish(count);
        cooling.finish(count);
    }
}
