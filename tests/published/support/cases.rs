//! Random cases: always the same ones, so that what is recorded of them can be kept, and shrunk to
//! the smallest that is off.

use std::cell::RefCell;
use std::fmt::Debug;

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestError, TestRng, TestRunner};

use super::record::Checks;

fn runner(cases: u32) -> TestRunner {
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    TestRunner::new_with_rng(config, rng)
}

/// Checks many cases. Of a case that is off, the smallest like it is reported; `shown` says how.
pub fn check<S: Strategy>(
    checks: &mut Checks,
    cases: u32,
    strategy: &S,
    shown: impl Fn(&S::Value) -> String,
    check: impl Fn(&S::Value, &mut Checks),
) where
    S::Value: Debug,
{
    let all = RefCell::new(Checks::default());
    let outcome = runner(cases).run(strategy, |case| {
        let mut checks = Checks::default();
        check(&case, &mut checks);
        if checks.wrong().is_empty() {
            all.borrow_mut().add(checks);
            return Ok(());
        }
        let wrong = checks.wrong().join("\n");
        Err(TestCaseError::fail(format!("{wrong}\n{}", shown(&case))))
    });
    checks.add(all.into_inner());
    match outcome {
        Ok(()) => {}
        Err(TestError::Fail(why, _)) => panic!("{why}"),
        Err(TestError::Abort(why)) => panic!("{why}"),
    }
}

/// Some cases, as they come.
pub fn some<S: Strategy>(count: usize, strategy: &S) -> Vec<S::Value> {
    let mut runner = runner(1);
    let mut next = || strategy.new_tree(&mut runner).unwrap().current();
    (0..count).map(|_| next()).collect()
}
