//! What fails, made as short as it can be.

use std::fmt::Debug;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Insists that `check` gets through. What it does not get through is shortened
/// by whatever can be left out without it passing, and shown.
pub fn holds<T: Clone + Debug>(all: &[T], check: &mut dyn FnMut(&[T])) {
    let mut fails = |some: &[T]| catch_unwind(AssertUnwindSafe(|| check(some))).is_err();
    if !fails(all) {
        return;
    }
    let mut worst = all.to_vec();
    let mut size = worst.len().div_ceil(2);
    while size > 0 {
        let mut at = 0;
        while at < worst.len() {
            let end = (at + size).min(worst.len());
            let shorter = [&worst[..at], &worst[end..]].concat();
            match fails(&shorter) {
                true => worst = shorter,
                false => at += size,
            }
        }
        size /= 2;
    }
    println!("the shortest that fails: {worst:?}");
    check(&worst);
    panic!("{worst:?} failed only once");
}

/// The same for a text.
pub fn text_holds(text: &str, check: &mut dyn FnMut(&str)) {
    let all: Vec<char> = text.chars().collect();
    holds(&all, &mut |some| {
        let some: String = some.iter().collect();
        check(&some);
    });
}
