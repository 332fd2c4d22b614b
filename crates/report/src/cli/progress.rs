//! A progress bar for what takes longer than a glance, on a terminal only.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::{
    io::{IsTerminal, stderr},
    time::{Duration, Instant},
};

/// What is over sooner needs no bar.
const PATIENCE: Duration = Duration::from_secs(1);
const STEPS: u64 = 1000;

/// A bar on stderr; it appears once the work has taken longer than a second, and is gone when dropped.
pub(super) struct Progress {
    doing: &'static str,
    started: Instant,
    on_terminal: bool,
    bar: Option<ProgressBar>,
}

impl Progress {
    /// `quiet`: nobody wants to see it.
    pub(super) fn of(doing: &'static str, quiet: bool) -> Self {
        Self { doing, started: Instant::now(), on_terminal: !quiet && stderr().is_terminal(), bar: None }
    }

    /// Tells the share that is done.
    pub(super) fn tell(&mut self, share: f64) {
        if !self.on_terminal || (self.bar.is_none() && self.started.elapsed() < PATIENCE) {
            return;
        }
        let bar = self.bar.get_or_insert_with(|| {
            let bar = ProgressBar::with_draw_target(Some(STEPS), ProgressDrawTarget::stderr());
            bar.set_message(self.doing);
            match ProgressStyle::with_template("{msg} [{bar:40}] {percent} %") {
                Ok(style) => bar.with_style(style.progress_chars("=> ")),
                Err(_) => bar,
            }
        });
        bar.set_position((share.clamp(0.0, 1.0) * STEPS as f64) as u64);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_bar_without_a_terminal_nor_within_a_second() {
        let mut piped = waiting(false, long_ago());
        piped.tell(0.5);
        assert!(piped.bar.is_none());
        let mut quick = waiting(true, Instant::now());
        quick.tell(0.5);
        assert!(quick.bar.is_none());
    }

    #[test]
    fn no_bar_for_whoever_wants_quiet() {
        assert!(!Progress::of("year", true).on_terminal);
    }

    #[test]
    fn a_long_year_has_a_bar_at_its_share() {
        let mut slow = waiting(true, long_ago());
        slow.tell(0.25);
        assert_eq!(slow.bar.as_ref().map(ProgressBar::position), Some(250));
    }

    fn waiting(on_terminal: bool, started: Instant) -> Progress {
        Progress { doing: "year", started, on_terminal, bar: None }
    }

    fn long_ago() -> Instant {
        Instant::now().checked_sub(2 * PATIENCE).unwrap()
    }
}
