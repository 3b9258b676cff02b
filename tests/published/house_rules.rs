//! What no standard says: a fifth of each output's limit stays free under every rule set of the
//! library. A house rule, and told as one.

use bellwire_plan::library::LIBRARY;
use bellwire_plan::vocabulary::Space;

use crate::support::plan::Plan;
use crate::support::record::{Checks, Source};

pub const SOURCE: Source = Source {
    name: "house rules",
    known: "no source",
    checks: &[
        ("20 % of each output kept free", headroom),
        ("no rule set without a source here", complete),
    ],
};

/// Every rule set; each has its times in the file of its standard.
const ALL: [&str; 21] = [
    "bs5839-1-fire-24h",
    "bs5839-1-fire-72h",
    "din-vde-0833-2-fire-30h",
    "din-vde-0833-2-fire-4h",
    "din-vde-0833-2-fire-72h",
    "intruder-grade-1",
    "intruder-grade-2",
    "intruder-grade-3",
    "intruder-grade-3-reported",
    "intruder-grade-4",
    "intruder-grade-4-reported",
    "nfpa72-fire",
    "nfpa72-fire-voice",
    "pd6662-grade-1",
    "pd6662-grade-2",
    "pd6662-grade-3",
    "pd6662-grade-3-reported",
    "pd6662-grade-4",
    "pd6662-grade-4-reported",
    "ul1023-household-burglar",
    "ul985-household-fire",
];

fn complete(checks: &mut Checks) {
    let items = LIBRARY.iter().flat_map(|file| file.all(Space::Rules));
    let mut names: Vec<String> = items
        .filter_map(|item| item.name().map(str::to_string))
        .collect();
    names.sort();
    checks.same(
        "the library's rule sets",
        names,
        ALL.map(String::from).into(),
    );
}

fn headroom(checks: &mut Checks) {
    for rules in ALL {
        for (milliamperes, told) in [(799, false), (801, true)] {
            let plan = Plan::new(&format!(
                "model supply S {{ output out 12 V, limit 1 A }}
                 model sounder D {{ standby {milliamperes} mA }}
                 model cable pair {{ resistance 1 ohm/km }}
                 site one {{
                   rules {rules}
                   supply s : S
                   sounder d : D
                   run r : pair {{ s.out --1 m-- d }}
                 }}"
            ));
            checks.same(
                format!("{rules}: {milliamperes} mA of 1 A"),
                plan.has_finding("headroom"),
                told,
            );
        }
    }
}
