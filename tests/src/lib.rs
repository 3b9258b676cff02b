//! What tests and benchmarks share. The tests are in the folders beside this one.

pub mod random;
pub mod wire;

/// A catalog of one panel and one keypad. Makers and models are invented.
pub const CATALOG: &str = "\
model panel T1 \"Invented panel\" {
  standby 100 mA
  cutoff  10.5 V
  output  aux 13.8 V, limit 500 mA
  bus keys {
    power     aux
    addresses 1 .. 15
    place     keypad 1 .. 8
    enabled   1 .. 8
  }
}
model keypad T2 \"Invented keypad\" {
  standby 45 mA
  alarm   110 mA
  works   10.2 V .. 14.5 V
}
";
