//! Properties over random draws that are the same in every run, and the worst of each that was met.

use proptest::{
    prelude::*,
    test_runner::{Config, RngAlgorithm, TestCaseResult, TestRng, TestRunner},
};
use std::{cell::RefCell, fmt};

/// Runs a property on the same draws in every run.
pub(crate) fn for_all<S: Strategy>(cases: u32, strategy: &S, holds: impl Fn(S::Value) -> TestCaseResult)
where
    S::Value: fmt::Debug,
{
    let config =
        Config { cases, failure_persistence: None, max_global_rejects: 4 * cases, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    runner.run(&strategy, holds).unwrap_or_else(|fault| panic!("{fault}"));
}

/// The worst of each kind, printed at the end.
#[derive(Default)]
pub(crate) struct Worst(RefCell<Vec<(&'static str, f64, String)>>);

impl Worst {
    pub(crate) fn note(&self, what: &'static str, share: f64, case: &dyn fmt::Debug) {
        let mut all = self.0.borrow_mut();
        match all.iter_mut().find(|(name, ..)| *name == what) {
            Some(found) if found.1 >= share => {}
            Some(found) => *found = (what, share, format!("{case:?}")),
            None => all.push((what, share, format!("{case:?}"))),
        }
    }
}

impl Drop for Worst {
    fn drop(&mut self) {
        for (what, share, case) in self.0.borrow().iter() {
            println!("{what}: worst {share:.3e} at {case}");
        }
    }
}
