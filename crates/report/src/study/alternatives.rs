//! One size smaller and one size larger than the tube taken, and the reducers to the equipment's connections.

use super::{
    ledger::Ledger,
    resolve::ResolvedSet,
    size::{SizedLine, SizedSet, tube_view},
    tubes::{pick, same_outside},
    wording,
};
use crate::job::Set;
use crate::view::{AlternativeView, LineView, ReducerView};
use physics::{
    check::{CheckKind, Condition},
    fittings::{ImpossibleReducer, reducer, referred_to},
    line::Element,
    sizing::Service,
    units::{LinearMassDensity, MassDensity, Ratio, unit::mass_density::kilogram_per_cubic_meter},
};
use tables::{Library, strength::Copper, tubes::TubeProduct};

/// The next smaller size, the tube taken and the next larger size.
pub(super) fn alternatives(
    line: &SizedLine<'_>,
    set: &ResolvedSet<'_>,
    copper: &Copper,
) -> Vec<AlternativeView> {
    let Some(taken) = line.taken else { return Vec::new() };
    let view = |(which, index)| alternative(line, set, copper.density.value, which, index, taken);
    sizes(line, taken).into_iter().map(view).collect()
}

/// The taken tube among its neighbours, smallest first.
fn sizes(line: &SizedLine<'_>, taken: usize) -> Vec<(&'static str, usize)> {
    let candidates = &line.line.candidates;
    let below = next_size(candidates[..taken].iter().enumerate().rev(), &candidates[taken]);
    let above = next_size(candidates.iter().enumerate().skip(taken + 1), &candidates[taken]);
    let (below, above) = (below.map(|index| ("smaller", index)), above.map(|index| ("larger", index)));
    below.into_iter().chain([("taken", taken)]).chain(above).collect()
}

/// The nearest tube of another outside diameter, of the same standard and form where there is one: the same size with
/// another wall is no size up.
fn next_size<'a>(
    outwards: impl Iterator<Item = (usize, &'a TubeProduct)> + Clone,
    taken: &TubeProduct,
) -> Option<usize> {
    let others = outwards.filter(|(_, other)| !same_outside(other, taken));
    let mut alike =
        others.clone().filter(|(_, other)| other.standard == taken.standard && other.form == taken.form);
    alike.next().or_else(|| others.clone().next()).map(|(index, _)| index)
}

fn alternative(
    line: &SizedLine<'_>,
    set: &ResolvedSet<'_>,
    copper: MassDensity,
    which: &'static str,
    index: usize,
    taken: usize,
) -> AlternativeView {
    let product = &line.line.candidates[index];
    let judged = &line.judged[index];
    let judgement = wording::judgement(judged);
    let charge_kg = |index: usize| {
        let outlet = line.judged[index].outlet(Condition::Summer)?;
        (line.line.service != Service::Drain).then_some(outlet.charge.value)
    };
    let drop_k = |index: usize| line.judged[index].value_of(CheckKind::SaturatedTemperatureDrop);
    let copper_kg = |index: usize| {
        let per_length = weight_per_length(&line.line.candidates[index], copper);
        (per_length * line.cases[index].line.run()).value
    };
    let change = |of: Option<f64>, from: Option<f64>| Some(of? - from?);
    AlternativeView {
        which,
        tube: tube_view(product, &set.stock),
        charge_kg: charge_kg(index),
        charge_change_kg: change(charge_kg(index), charge_kg(taken)),
        saturated_temperature_drop_k: drop_k(index),
        drop_change_k: change(drop_k(index), drop_k(taken)),
        flash_margin_k: judged.value_of(CheckKind::FlashMargin),
        copper_kg: copper_kg(index),
        copper_change_kg: copper_kg(index) - copper_kg(taken),
        verdict: judgement.verdict,
        refused_by: judgement.refused_by,
        refused_for: judgement.refused_for,
    }
}

/// As the table lists it; else by the wall.
fn weight_per_length(product: &TubeProduct, copper: MassDensity) -> LinearMassDensity {
    product.listed_weight.unwrap_or_else(|| copper * product.tube.wall_area())
}

/// Notes the losses of reducers, and the weight of tube where no table lists it.
pub(super) fn note(ledger: &mut Ledger, sized: &SizedSet<'_>, lines: &[LineView], copper: &Copper) {
    if lines.iter().any(|line| !line.reducers.is_empty()) {
        ledger.note_words(
            "reducers",
            "sudden change of bore: Borda and Carnot widening, the form of Crane Technical Paper 410 narrowing (both from \
             memory)",
            "memory",
        );
    }
    let unlisted = |line: &SizedLine<'_>| {
        let sizes = line.taken.map(|taken| sizes(line, taken)).unwrap_or_default();
        sizes.iter().any(|(_, index)| line.line.candidates[*index].listed_weight.is_none())
    };
    if sized.lines.iter().any(unlisted) {
        let density = &copper.density;
        let copper_kg_m3 = density.value.get::<kilogram_per_cubic_meter>();
        ledger.note_words(
            "weight of tube that no table lists",
            &format!("copper of {copper_kg_m3:.0} kg/m3, {}", density.source.text),
            &density.source.grade.to_string(),
        );
    }
}

/// An end of a line, in the direction of flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Inlet,
    Outlet,
}

/// The products that the equipment has for a line at its ends; none where no connection is stated there.
#[derive(Clone, Debug)]
pub(super) struct Connected {
    inlet: Option<TubeProduct>,
    outlet: Option<TubeProduct>,
}

impl Connected {
    pub(super) fn of(set: &Set, service: Service, stock: &[TubeProduct], library: &Library) -> Self {
        let product = |end| {
            let connections = &set.connections;
            let there =
                if place(service, end) == "head" { &connections.head } else { &connections.condenser };
            let connection = there.iter().find(|connection| connection.service == service)?;
            // Resolving refuses a size that no product has.
            pick(&connection.size.value, stock, library).ok().map(|picked| picked.product)
        };
        Self { inlet: product(End::Inlet), outlet: product(End::Outlet) }
    }

    fn at(&self, end: End) -> Option<&TubeProduct> {
        match end {
            End::Inlet => self.inlet.as_ref(),
            End::Outlet => self.outlet.as_ref(),
        }
    }

    /// The loss between a line in a tube and its connection: one fixed resistance, referred to the bore of the line.
    pub(super) fn reducer(&self, product: &TubeProduct, end: End) -> Option<Element> {
        self.at(end)
            .and_then(|connection| loss(connection, product, end))
            .map(|coefficient| Element::Resistance { coefficient })
    }
}

/// The reducers of the tube taken, in the direction of flow.
pub(super) fn reducers(line: &SizedLine<'_>, set: &ResolvedSet<'_>) -> Vec<ReducerView> {
    let Some((product, ..)) = line.taken() else { return Vec::new() };
    let line = line.line;
    let view = |end| {
        let connection = line.connected.at(end)?;
        Some(ReducerView {
            at: place(line.service, end),
            connection: tube_view(connection, &set.stock),
            count: 1,
            resistance: loss(connection, product, end)?.value,
        })
    };
    [End::Inlet, End::Outlet].into_iter().filter_map(view).collect()
}

/// Where an end is: gas flows from the head to the condenser, liquid the other way.
fn place(service: Service, end: End) -> &'static str {
    match (service, end) {
        (Service::Discharge | Service::Suction, End::Inlet)
        | (Service::Liquid | Service::Drain, End::Outlet) => "head",
        _ => "condenser",
    }
}

/// Resistance of the reducer in the direction of flow; none between tubes of one outside diameter, which join without.
fn loss(connection: &TubeProduct, product: &TubeProduct, end: End) -> Option<Ratio> {
    if same_outside(connection, product) {
        return None;
    }
    let (equipment, line) = (connection.tube.bore(), product.tube.bore());
    let (from, to) = match end {
        End::Inlet => (equipment, line),
        End::Outlet => (line, equipment),
    };
    let smaller = if equipment < line { equipment } else { line };
    let of_smaller: Result<Ratio, ImpossibleReducer> = reducer(from, to);
    // Bores of stocked tubes are positive.
    of_smaller.ok().map(|resistance| referred_to(resistance, smaller, line))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn products() -> (Library, Vec<TubeProduct>) {
        let library = Library::embedded().unwrap();
        let mut stock = library.tubes().stock("ASTM B280 coil").unwrap();
        stock.extend(library.tubes().stock("ASTM B280 straight").unwrap());
        stock.sort_by(|a, b| a.tube.bore().get().value.total_cmp(&b.tube.bore().get().value));
        (library, stock)
    }

    fn sized<'a>(stock: &'a [TubeProduct], name: &str) -> &'a TubeProduct {
        stock.iter().find(|product| product.printed_name() == name).unwrap()
    }

    #[test]
    fn the_next_size_has_another_outside_diameter_and_the_same_make() {
        let (_, stock) = products();
        let taken = stock.iter().position(|p| p.printed_name() == "1/2 in OD wall 0.032 in, ASTM B280 coil");
        let taken = taken.unwrap();
        let above = next_size(stock.iter().enumerate().skip(taken + 1), &stock[taken]).unwrap();
        let below = next_size(stock[..taken].iter().enumerate().rev(), &stock[taken]).unwrap();
        assert_eq!(stock[above].printed_name(), "5/8 in OD wall 0.035 in, ASTM B280 coil");
        assert_eq!(stock[below].printed_name(), "3/8 in OD wall 0.032 in, ASTM B280 coil");
    }

    /// 5/8 in coil into 1/2 in coil: bores 0.555 and 0.436 in, area ratio 0.617134. Narrowing into the line 0.5 (1 - 0.617134),
    /// referred to the 1/2 in line itself; widening out of it (1 - 0.617134)^2; in a 5/8 in line each counts (1/0.617134)^2.
    #[test]
    fn a_reducer_is_referred_to_the_bore_of_the_line() {
        let (_, stock) = products();
        let half = sized(&stock, "1/2 in OD wall 0.032 in, ASTM B280 coil");
        let five_eighths = sized(&stock, "5/8 in OD wall 0.035 in, ASTM B280 coil");
        let share = (0.436_f64 / 0.555).powi(2);
        let k = |connection, product, end| loss(connection, product, end).unwrap().value;
        assert_relative_eq!(k(five_eighths, half, End::Inlet), 0.5 * (1.0 - share), max_relative = 1e-9);
        assert_relative_eq!(k(five_eighths, half, End::Outlet), (1.0 - share).powi(2), max_relative = 1e-9);
        let up = (1.0 - share).powi(2) / (share * share);
        assert_relative_eq!(k(half, five_eighths, End::Inlet), up, max_relative = 1e-9);
        assert_eq!(
            loss(half, sized(&stock, "1/2 in OD wall 0.035 in, ASTM B280 straight"), End::Inlet),
            None
        );
    }

    #[test]
    fn the_ends_of_gas_and_liquid_lines_lie_opposite() {
        assert_eq!(place(Service::Discharge, End::Inlet), "head");
        assert_eq!(place(Service::Liquid, End::Inlet), "condenser");
        assert_eq!(place(Service::Drain, End::Outlet), "head");
        assert_eq!(place(Service::Suction, End::Outlet), "condenser");
    }

    /// 1/2 in coil is listed with 0.27 kg/m (trade table, hundredths); by its wall: pi x 0.8128 mm x 11.8872 mm x 8940 kg/m3.
    #[test]
    fn tube_weighs_what_is_listed_and_else_its_wall_of_copper() {
        let (library, stock) = products();
        let copper = library.strength().copper().density.value;
        let half = sized(&stock, "1/2 in OD wall 0.032 in, ASTM B280 coil").clone();
        let listed = weight_per_length(&half, copper).value;
        let by_wall = weight_per_length(&TubeProduct { listed_weight: None, ..half }, copper).value;
        assert_relative_eq!(by_wall, 0.271_363, max_relative = 1e-5);
        // Half a unit of the last digit that the table prints.
        assert!((listed - by_wall).abs() <= 0.005 && listed != by_wall, "{listed} and {by_wall}");
    }
}
