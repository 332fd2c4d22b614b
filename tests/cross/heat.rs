//! Heat exchange against ht, fluids and scipy (`data/generate/heat_points.py`; versions in the headers of the tables).

use crate::support::*;
use physics::{
    heat::{
        Conditions, Conductivity, Insulation, Pipe, Stand, Surface, Surroundings, air_properties, exchange,
        film::{nusselt_free_level, nusselt_free_upright, nusselt_inside, nusselt_wind},
    },
    tube::Tube,
    units::{
        HeatFluxDensity, HeatTransfer, OutsideDiameter, TemperatureCoefficient, ThermalConductivity,
        ThermodynamicTemperature, Velocity,
        unit::{
            heat_flux_density::watt_per_square_meter, heat_transfer::watt_per_square_meter_kelvin,
            temperature_coefficient::per_kelvin, thermal_conductivity::watt_per_meter_kelvin,
            thermodynamic_temperature::kelvin, velocity::meter_per_second,
        },
    },
};

/// The same equations with the same constants: what is left is rounding, here and in the twelve digits of the table.
const SAME_EQUATION: f64 = 1e-9;
/// Two root finders of their own.
const SAME_BALANCE: f64 = 1e-7;

fn kelvin_of(row: &Row, column: &str) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(row.number(column))
}

#[test]
fn films_and_air() {
    let mut tally = Tally::new("films and air");
    let rows = read("cross/data/heat_films.csv");
    for row in &rows {
        let film = row.text("film");
        let size = row.number("number");
        let prandtl = || number(row.number("prandtl"));
        let air = || {
            let temperature = ThermodynamicTemperature::new::<kelvin>(size);
            air_properties(temperature, pascals(101_325.0)).unwrap().value
        };
        let found = match film {
            "free level" => nusselt_free_level(number(size), prandtl()).value.value,
            "free upright" => {
                let slenderness = number(row.number("slenderness"));
                nusselt_free_upright(number(size), prandtl(), slenderness).value.value
            }
            "wind" => nusselt_wind(number(size), prandtl()).value.value,
            "inside" => nusselt_inside(number(size), prandtl()).value.value,
            "air viscosity" => air().viscosity.value,
            "air conductivity" => air().conductivity.value,
            other => panic!("{}: film {other}", row.place()),
        };
        tally.relative(&format!("{} {film}", row.place()), found, row.number("value"), SAME_EQUATION);
    }
    tally.finish(186);
}

#[test]
fn whole_balances() {
    let mut heat = Tally::new("heat of one metre");
    let mut surfaces = Tally::new("surface temperature, K");
    for row in read("cross/data/heat_exchanges.csv") {
        let thickness = row.number("thickness_m");
        let height = row.number("height_m");
        let outside_m = row.number("outside_diameter_m");
        let conductivity =
            |column: &str| ThermalConductivity::new::<watt_per_meter_kelvin>(row.number(column));
        let insulation = Insulation {
            thickness: metres(thickness),
            conductivity: Conductivity {
                value: conductivity("insulation_w_m_k"),
                reference: kelvin_of(&row, "insulation_reference_k"),
                slope: TemperatureCoefficient::new::<per_kelvin>(row.number("insulation_slope_1_k")),
            },
        };
        let wall = metres(0.5 * (outside_m - row.number("bore_m")));
        let pipe = Pipe {
            tube: Tube::new(OutsideDiameter::new(metres(outside_m)), wall).unwrap(),
            wall_conductivity: conductivity("wall_w_m_k"),
            insulation: (thickness > 0.0).then_some(insulation),
            surface: Surface {
                emissivity: number(row.number("emissivity")),
                absorptance: number(row.number("absorptance")),
            },
            stand: if height > 0.0 { Stand::Upright { height: metres(height) } } else { Stand::Level },
        };
        let conditions = Conditions {
            fluid: kelvin_of(&row, "fluid_k"),
            film: HeatTransfer::new::<watt_per_square_meter_kelvin>(row.number("film_w_m2_k")),
            surroundings: Surroundings {
                air: kelvin_of(&row, "air_k"),
                radiant: kelvin_of(&row, "radiant_k"),
                pressure: pascals(row.number("pressure_pa")),
                wind: Velocity::new::<meter_per_second>(row.number("wind_m_s")),
                sun: HeatFluxDensity::new::<watt_per_square_meter>(row.number("sun_w_m2")),
            },
        };
        let found = exchange(&pipe, &conditions).unwrap().value;
        heat.relative(
            row.place(),
            found.heat_into_fluid.value,
            row.number("heat_into_fluid_w_m"),
            SAME_BALANCE,
        );
        surfaces.absolute(row.place(), found.surface.get::<kelvin>(), row.number("surface_k"), 1e-7);
    }
    heat.finish(48);
    surfaces.finish(48);
}
