//! Bellwire against texts, files and clients that mean it no good, and against
//! more of everything than anybody has.
//!
//! In a plain run each test does a little, always the same. For a long run by
//! hand, say for how many minutes, and a seed for other input than the last time:
//!
//!     BELLWIRE_MINUTES=30 BELLWIRE_SEED=7 cargo test --profile hostile -p bellwire --test hostile spoilt -- --nocapture
//!
//! with one of the tests of `fuzz` in the place of `spoilt`. What fails is made
//! as short as it can be, printed, and belongs into `kept.rs` once it is mended.
#![allow(
    dead_code,
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test fails by panicking; what two tests share, each uses a part of"
)]

#[path = "../protocol/client.rs"]
mod client;
#[path = "../../server/plan/tests/common/mod.rs"]
mod common;
#[path = "../protocol/plans.rs"]
mod plans;
#[path = "../../server/plan/tests/common/shape.rs"]
mod shape;

mod crowd;
mod files;
mod fuzz;
mod injection;
mod kept;
mod mutate;
mod random;
mod shorten;
#[cfg(target_os = "linux")]
mod soak;
mod wire;
