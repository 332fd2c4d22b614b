//! The job text that `lineset new` writes.

/// A whole job with remarks on every key; it reads without faults. Its data are invented.
pub const STARTER: &str = include_str!("starter.toml");

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job;
    use physics::units::unit::length::foot;

    #[test]
    fn the_starter_reads_without_faults() {
        let job = job::read("starter.toml", STARTER.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
        assert!(job.name.value.contains("(invented)"));
        let [set] = job.sets.as_slice() else { panic!("{} sets", job.sets.len()) };
        approx::assert_relative_eq!(set.route.run().get::<foot>(), 70.0, max_relative = 1e-12);
        approx::assert_relative_eq!(set.route.lift().get::<foot>(), 20.0, max_relative = 1e-12);
        assert_eq!(set.route.turns(), 3);
    }

    /// A remark that shows a key must show one that exists: switching each on must leave the job readable.
    #[test]
    fn every_key_that_is_shown_as_a_remark_is_read_when_it_is_switched_on() {
        let key = |line: &str| {
            line.strip_prefix("# ").and_then(|line| line.split_once(" = ")).map(|(key, _)| key.to_owned())
        };
        let shown: Vec<_> =
            STARTER.lines().filter(|line| key(line).is_some_and(|key| !key.contains(' '))).collect();
        assert!(!shown.is_empty());
        for line in shown {
            let text = STARTER.replace(line, line.trim_start_matches("# "));
            job::read("starter.toml", text.as_bytes()).unwrap_or_else(|faults| panic!("{line}\n{faults}"));
        }
    }
}
