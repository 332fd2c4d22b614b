//! Near misses.

/// Up to three `candidates` that resemble `asked`, nearest first.
pub(crate) fn nearest<'a>(asked: &str, candidates: impl Iterator<Item = &'a str>) -> Vec<String> {
    let asked = asked.to_lowercase();
    // Below 0.7 the words share little more than a beginning.
    let mut ranked: Vec<_> = candidates
        .map(|candidate| (strsim::jaro_winkler(&asked, &candidate.to_lowercase()), candidate))
        .filter(|(likeness, _)| *likeness > 0.7)
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    ranked.into_iter().take(3).map(|(_, candidate)| candidate.to_owned()).collect()
}
