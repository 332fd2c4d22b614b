//! Ready-made charged tube sets: which one reaches, and what its excess costs.

use super::{
    resolve::Resolved,
    size::{SizedLine, SizedSet, tube_view},
    wording,
};
use crate::{
    figure,
    view::{KitLineView, KitView},
};
use physics::{
    check::CheckKind,
    units::{Length, unit::length::meter},
};

/// The tube set that reaches; none where the maker offers none.
pub(super) fn kit(sized: &SizedSet<'_>, resolved: &Resolved<'_>) -> Option<KitView> {
    let maker = sized.set.set.maker.as_ref()?;
    let mut offered: Vec<Length> = maker.kits.iter().map(|kit| kit.value).collect();
    offered.sort_by(|a, b| a.value.total_cmp(&b.value));
    let longest = *offered.last()?;
    let run = sized.set.set.route.run();
    let words = |length: Length| figure::length(length.get::<meter>()).both(resolved.units());
    let mut view = KitView {
        offered_m: offered.iter().map(|length| length.get::<meter>()).collect(),
        length_m: None,
        excess_m: None,
        short_by_m: None,
        lines: Vec::new(),
        advice: Vec::new(),
    };
    let Some(reaches) = shortest_that_reaches(&offered, run) else {
        view.short_by_m = Some((longest - run).get::<meter>().abs());
        view.advice.push(format!(
            "no set on offer reaches: the longest, {}, is short by {}",
            words(longest),
            words(run - longest)
        ));
        return Some(view);
    };
    let excess = reaches - run;
    view.length_m = Some(reaches.get::<meter>());
    view.excess_m = Some(excess.get::<meter>());
    view.advice.push(format!("the set of {} reaches the run of {}", words(reaches), words(run)));
    if excess.get::<meter>() > 0.0 {
        view.advice.push(format!(
            "lay its excess of {} flat, in level turns: each turn of an upright coil traps oil; not on the roof in the sun",
            words(excess)
        ));
        view.advice.push("the excess counts as run: all drops are those of the set's length".to_owned());
        view.lines = sized.lines.iter().filter_map(|line| at_length(line, sized, reaches)).collect();
    }
    if let Some(longest_run) = maker.longest_run.filter(|longest_run| longest_run.value < reaches) {
        view.advice.push(format!("it is longer than the maker's longest run, {}", words(longest_run.value)));
    }
    view.advice.push(
        "such sets come charged: they are not evacuated; whether their length asks for more charge is the maker's rule"
            .to_owned(),
    );
    Some(view)
}

/// `offered` shortest first.
fn shortest_that_reaches(offered: &[Length], run: Length) -> Option<Length> {
    // A run of feet against a set of metres: a tenth of a millimetre is no shortfall.
    offered.iter().copied().find(|length| length.get::<meter>() >= run.get::<meter>() - 1e-4)
}

/// The tube taken at another run; none where no tube is taken or no leg is level, so that the excess has no place.
fn at_length(line: &SizedLine<'_>, sized: &SizedSet<'_>, length: Length) -> Option<KitLineView> {
    let (product, case, _) = line.taken()?;
    let stretched = case.stretched_to(length)?;
    let judged = stretched.judge(&sized.set.fluid, &line.line.bands);
    let judgement = wording::judgement(&judged);
    Some(KitLineView {
        service: line.line.service.name().to_owned(),
        tube: tube_view(product, &sized.set.stock),
        saturated_temperature_drop_k: judged.value_of(CheckKind::SaturatedTemperatureDrop),
        flash_margin_k: judged.value_of(CheckKind::FlashMargin),
        verdict: judgement.verdict,
        refused_for: judgement.refused_for,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shortest_that_reaches_is_taken_and_a_run_of_its_own_length_is_reached() {
        let metres = |value: f64| Length::new::<meter>(value);
        let offered = [metres(10.0), metres(20.0), metres(26.0)];
        assert_eq!(shortest_that_reaches(&offered, metres(20.0)), Some(metres(20.0)));
        assert_eq!(shortest_that_reaches(&offered, metres(20.001)), Some(metres(26.0)));
        assert_eq!(shortest_that_reaches(&offered, metres(26.1)), None);
    }
}
