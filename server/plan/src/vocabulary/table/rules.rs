//! Rule sets and monitoring centres.

use super::*;

pub(super) const WORDS: &[Word] = &[
    word(
        "standby",
        &[Rules],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long the battery must carry the system without mains.",
        "standby 12 h",
    ),
    word(
        "alarm",
        &[Rules],
        &[needs("time", Amount(&[D::Time]))],
        Once,
        "How long the battery must then carry it in alarm.",
        "alarm 15 min",
    ),
    word(
        "recharge",
        &[Rules],
        &[needs("time", Amount(&[D::Time])).within(&[Bounds {
            of: Some(D::Time),
            range: (Excluded(0.0), Unbounded),
            outside: "no battery is charged again in {}: write how long it may take, or leave this line out if that is all the same",
        }])],
        Once,
        "The time in which an empty battery must be charged again.",
        "recharge 72 h, to 80 %",
    )
    .opens(Recharge),
    word(
        "to",
        &[Recharge],
        &[needs("share", Amount(&[D::Share])).within(&[Bounds {
            of: Some(D::Share),
            range: (Excluded(0.0), Included(1.0)),
            outside: "a battery is not charged to {}: write a share up to 100 %",
        }])],
        Once,
        "How full it must then be. 80 % unless said.",
        "to 80 %",
    ),
    word(
        "ageing",
        &[Rules],
        &[needs("factor", Factor).within(&[Bounds {
            of: None,
            range: (Included(1.0), Unbounded),
            outside: "an ageing factor of {} asks for less than is drawn: write 1.25 for a quarter more, or 1 for none",
        }])],
        Once,
        "Capacity kept in hand for the battery's last year. 1.25 unless said.",
        "ageing 1.25",
    ),
    word(
        "headroom",
        &[Rules],
        &[needs("share", Amount(&[D::Share])).within(&[Bounds {
            of: Some(D::Share),
            range: (Unbounded, Excluded(1.0)),
            outside: "with {} kept free nothing is left to use: write a share below 100 %",
        }])],
        Once,
        "The share of every output's limit that is kept free. None unless said.",
        "headroom 20 %",
    ),
    word(
        "source",
        &[Rules],
        &[needs("source", Label)],
        Once,
        "Where the values come from: the standard and its clause, `from memory`, or `house rule`.",
        "source \"house rule\"",
    ),
    word(
        "accounts",
        &[Monitoring],
        &[needs("range", Numbers)],
        Once,
        "The account numbers that the centre has given out to us: a site has one of them.",
        "accounts 4000 .. 4999",
    ),
];
