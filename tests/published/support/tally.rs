//! A tally of found against expected values: every row is looked at before the check fails, and the worst is printed.

/// Deviations of one check.
pub(crate) struct Tally {
    name: String,
    count: usize,
    sum: f64,
    low: f64,
    high: f64,
    worst: String,
    misses: Vec<String>,
}

impl Tally {
    pub(crate) fn new(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            count: 0,
            sum: 0.0,
            low: f64::INFINITY,
            high: f64::NEG_INFINITY,
            worst: String::new(),
            misses: Vec::new(),
        }
    }

    /// `found / expected - 1` within `tolerance` either way.
    pub(crate) fn relative(&mut self, what: &str, found: f64, expected: f64, tolerance: f64) {
        self.within(what, found, expected, -tolerance..=tolerance);
    }

    /// `found / expected - 1` within a band that documents a known gap.
    pub(crate) fn within(
        &mut self,
        what: &str,
        found: f64,
        expected: f64,
        band: std::ops::RangeInclusive<f64>,
    ) {
        self.note(what, found, expected, found / expected - 1.0, &band);
    }

    /// `found - expected` within `tolerance` either way, in the unit of both.
    pub(crate) fn absolute(&mut self, what: &str, found: f64, expected: f64, tolerance: f64) {
        self.note(what, found, expected, found - expected, &(-tolerance..=tolerance));
    }

    fn note(
        &mut self,
        what: &str,
        found: f64,
        expected: f64,
        deviation: f64,
        band: &std::ops::RangeInclusive<f64>,
    ) {
        let text = format!("{what}: found {found:.6}, expected {expected}, deviation {deviation:+.3e}");
        if self.count == 0 || deviation.abs() > self.low.abs().max(self.high.abs()) {
            self.worst.clone_from(&text);
        }
        self.count += 1;
        self.sum += deviation;
        self.low = self.low.min(deviation);
        self.high = self.high.max(deviation);
        if !band.contains(&deviation) {
            self.misses.push(format!("{text}, allowed {band:?}"));
        }
    }

    /// Prints the tally; fails if a deviation lay outside its band, or if not exactly `rows` values were compared
    /// (a check must not lose its rows unseen).
    pub(crate) fn finish(self, rows: usize) -> f64 {
        assert_eq!(self.count, rows, "{}: number of values compared", self.name);
        self.finish_at_least(rows)
    }

    /// As [`finish`](Self::finish), for a check that counts its rows as a whole.
    pub(crate) fn finish_and_count(self) -> usize {
        let count = self.count;
        if count > 0 {
            self.finish(count);
        }
        count
    }

    /// As [`finish`](Self::finish), for tables that users of the project extend.
    pub(crate) fn finish_at_least(self, rows: usize) -> f64 {
        let mean = self.sum / self.count as f64;
        println!(
            "{}: {} values, mean {mean:+.3e}, from {:+.3e} to {:+.3e}; worst {}",
            self.name, self.count, self.low, self.high, self.worst
        );
        assert!(self.misses.is_empty(), "{}:\n{}", self.name, self.misses.join("\n"));
        assert!(self.count >= rows, "{}: {} values compared, wanted {rows}", self.name, self.count);
        mean
    }
}
