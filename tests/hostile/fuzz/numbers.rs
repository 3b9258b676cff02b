//! A plan with every word that takes a number, and numbers in it that nobody means: what comes of
//! it is a number, or told.

use std::ops::Range;

use super::plan;
use crate::common::{demo, workspace};
use crate::random::{Rounds, chance};
use crate::shorten;

const PLAN: &str = include_str!("numbers.bell");

/// Nothing, and next to it; more than a whole number can be, and than any.
fn extremes() -> Vec<String> {
    let mut all: Vec<String> = [
        "0",
        "-0",
        "-1",
        "0.001",
        "0.00000000001",
        "1000000",
        "4294967295",
        "4294967296",
        "18446744073709551615",
        "1e308",
        "NaN",
        "inf",
    ]
    .map(String::from)
    .to_vec();
    all.push("9".repeat(400));
    all.push(format!("0.{}1", "0".repeat(310)));
    all
}

/// Where the numbers stand, those in names and texts left out.
fn numbers() -> Vec<Range<usize>> {
    let mut numbers = Vec::new();
    let mut start = 0;
    for line in PLAN.split_inclusive('\n') {
        let mut at = start;
        for word in line.split('#').next().unwrap_or("").split([' ', ',', '\n']) {
            let digits = word.trim_start_matches("--").trim_end_matches("--");
            if digits.parse::<f64>().is_ok() {
                let begin = at + word.find(digits).unwrap_or(0);
                numbers.push(begin..begin + digits.len());
            }
            at += word.len() + 1;
        }
        start += line.len();
    }
    numbers
}

#[test]
fn numbers_that_nobody_means_come_out_as_none() {
    let (numbers, extremes) = (numbers(), extremes());
    assert!(numbers.len() > 120, "{}", numbers.len());
    let mut random = chance(6);
    let mut world = workspace(&demo());
    for round in Rounds::new(40) {
        let mut text = PLAN.to_string();
        // Each in turn alone, then some together.
        let mut some = vec![numbers[round % numbers.len()].clone()];
        for _ in 0..random.below(3) {
            some.push(random.of(&numbers).clone());
        }
        some.sort_by_key(|range| range.start);
        some.dedup();
        for range in some.into_iter().rev() {
            text.replace_range(range, random.of::<String>(&extremes));
        }
        shorten::text_holds(&text, &mut |text| plan::check(&mut world, text));
    }
}
