//! What the fuzz tests have found, as short as it could be made.

/// Texts that did harm.
pub const PLANS: &[&str] = &[
    // A range of addresses that ends before it starts.
    "model panel MB \n  bus keys     addresses 12 .. 8\n  \n}\n\nsite referene --26\n  panel main \"Hall\" : MB \n    bus keys {\n      keypad fro",
];

/// Edits that did harm, one after the other: the number of a file, a place, how much goes, what comes.
pub const EDITS: &[&[(usize, usize, usize, &str)]] = &[
    // A line that goes on behind what ended it.
    &[
        (0, 1974, 0, "--12"),
        (0, 271_696, 11, ""),
        (0, 978_435, 0, "\0"),
        (0, 269_888, 0, "0"),
    ],
    // A quote that reaches over what stood behind it.
    &[
        (0, 753_753, 0, "22"),
        (0, 1_048_117, 288, "doubled"),
        (0, 997_821, 7, "{{}}"),
        (0, 126_306, 0, "\"Shop,"),
    ],
];
