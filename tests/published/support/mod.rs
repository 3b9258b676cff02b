//! What the checks share: plans as text, and the record of what was compared.

pub mod battery;
pub mod cases;
pub mod conductor;
pub mod net;
pub mod plan;
pub mod record;
pub mod rule_sets;
