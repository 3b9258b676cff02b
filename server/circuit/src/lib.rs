//! The numbers of a wired security system: conductors, direct-current networks, batteries and
//! detection loops.
//!
//! Everything here takes and gives plain numbers in SI units (ohms, volts, amperes, watts,
//! metres), except where the trade counts otherwise and the name says so (ampere-hours, hours,
//! degrees Celsius, square millimetres). Nothing reads text or files, and nothing judges: what a
//! figure means for a plan is for the caller to say.
//!
//! Every constant names its source in its documentation, or says *from memory* where the document
//! itself was not read.

pub mod battery;
pub mod conductor;
pub mod detection_loop;
pub mod disjoint;
pub mod network;
pub mod series;

pub use battery::{Demand, Rate, Ratings};
pub use conductor::{Conductor, Metal, Resistance, Size};
pub use detection_loop::{Condition, Contact, Loop, Reading, Role};
pub use disjoint::DisjointSets;
pub use network::{
    Apart, Branch, Draw, Element, Load, Network, Solution, Solver, Source, Stuck, Unsolved, solve,
};
pub use series::Series;
