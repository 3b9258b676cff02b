//! What would mend a finding, worked out by trying it. Families of checks ask
//! for it, and only once they have something to tell.
//!
//! | file | what is tried |
//! | --- | --- |
//! | `volts` | a run's power cores doubled, or other cable for it, or for all runs on the way |
//! | `cable`, `relaid` | nothing themselves: which cables could be laid, on which runs, and the change that lays one |
//! | `moves` | another output for what a path feeds |
//! | `inputs` | nothing: which other input a zone could have is seen from the cable |
//! | `joins` | one of two routes for power taken out |
//! | `loops` | another loop of the input, thicker cable, other resistors |
//! | `battery_choice`, `battery_exchange` | another battery: which would do, and the change that fits it |
//! | `block` | nothing itself: where a line more goes in a block |

pub(super) mod battery_choice;
pub(super) mod battery_exchange;
pub(super) mod block;
pub(super) mod cable;
pub(super) mod inputs;
pub(super) mod joins;
pub(super) mod loops;
pub(super) mod moves;
mod relaid;
pub(super) mod volts;
