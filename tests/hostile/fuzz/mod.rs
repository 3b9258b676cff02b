//! Spoilt plans: read and shown, mended, edited, and given to the program.

mod edits;
mod mend;
mod numbers;
mod plan;
mod program;

use crate::common::{demo, workspace};
use crate::kept;
use crate::mutate::Mutator;
use crate::random::{Rounds, chance};
use crate::shorten;

#[test]
fn spoilt_plans_are_read_shown_and_laid_out() {
    let mutator = Mutator::new();
    let mut random = chance(1);
    let mut world = workspace(&demo());
    for _ in Rounds::new(150) {
        let text = mutator.spoilt(&mut random);
        shorten::text_holds(&text, &mut |text| plan::check(&mut world, text));
    }
}

#[test]
fn plans_that_did_harm_once_do_none() {
    let mut world = workspace(&demo());
    for text in kept::PLANS {
        plan::check(&mut world, text);
    }
}
