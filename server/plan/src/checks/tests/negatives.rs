//! Negatives that nothing joins, and those that are shifted.

use expect_test::expect;

use super::*;
use Code::{NegativesApart, NotWired, ReferenceShift, Unused, WiredTwice};

#[test]
fn data_from_one_unit_and_power_from_another_need_a_common_negative() {
    let site = "panel main : P { bus keys { keypad a : K, address 1 } }
supply psu : S
run d : pair, carries data { main.keys --60 m-- a }
run p : pair { psu.out --10 m-- a }";
    check_site(
        site,
        &[NegativesApart, NotWired],
        expect![[r#"
            2:36 negatives-apart error: a has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of the data cable for example, and write it as a run from main.aux to psu.out that `carries data`, with its length.
                3:8 what feeds it
        "#]],
    );
    for core in ["main.aux --3 m-- psu.out", "main.keys --3 m-- psu.out"] {
        let tied = format!("{site}\nrun n : pair, carries data {{ {core} }}");
        check_clean(&tied, &[NegativesApart, NotWired, WiredTwice]);
    }
    // A joint on the way passes the negative on; one that data leaves for a device does not
    // make a core of what brings the data.
    let jointed = format!(
        "{site}\njoint j
run n : pair, carries data {{ main.aux --3 m-- j --3 m-- psu.out }}"
    );
    check_clean(&jointed, &[NegativesApart, NotWired, WiredTwice, Unused]);
    // So do two paths that meet in it, of one run or of two; one alone leads nowhere.
    let two = [
        "run n : pair, carries data {\n  main.aux --3 m-- j\n  psu.out --3 m-- j\n}",
        "run n : pair, carries data { main.aux --3 m-- j }
run m : pair, carries data { j --3 m-- psu.out }",
    ];
    for two in two {
        let tied = format!("{site}\njoint j\n{two}");
        check_clean(&tied, &[NegativesApart, NotWired, WiredTwice, Unused]);
    }
    let half = format!("{site}\njoint j\nrun n : pair, carries data {{ main.aux --3 m-- j }}");
    let text = format!("{}site s {{\n{half}\n}}\n", models());
    assert!(found(&text, &[NegativesApart], 0).contains("negatives of main and psu"));
    check_site(
        "panel main : P { bus keys { keypad a : K, address 1 } }
supply psu : S
joint j
run d : pair, carries data { main.keys --60 m-- j --5 m-- psu.out }
run e : pair, carries data { j --5 m-- a }
run p : pair { psu.out --10 m-- a }",
        &[NegativesApart, NotWired],
        expect![[r#"
            2:36 negatives-apart error: a has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of the data cable for example, and write it as a run from main.aux to psu.out that `carries data`, with its length.
                3:8 what feeds it
        "#]],
    );
    // A core of the data cable itself may lead there, and counts as one.
    let along = site
        .replace(
            "{ main.keys --60 m-- a }",
            "{ main.keys + main.aux --60 m-- a + psu.out }",
        )
        .replace("run d : pair", "run d : CABLE");
    check_clean(
        &along.replace("CABLE", "quad"),
        &[NegativesApart, NotWired, WiredTwice],
    );
    check_site(
        &along.replace("CABLE", "pair"),
        &[NegativesApart, Code::CoresShort],
        expect![[r#"
            4:9 cores-short error: d carries the data of main.keys and the negative between units: 3 cores, and pair has 2. Lay a second run, or a cable with more cores.
                4:30 on this path
        "#]],
    );
    // Data cable that goes on from the device is no core between negatives.
    check_site(
        "panel main : P { bus keys { keypad a : K, address 1 } }
supply psu : S
run d : pair, carries data { main.keys --60 m-- a --5 m-- psu.out }
run p : pair { psu.out --10 m-- a }",
        &[NegativesApart],
        expect![[r#"
            2:36 negatives-apart error: a has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of the data cable for example, and write it as a run from main.aux to psu.out that `carries data`, with its length.
                3:8 what feeds it
        "#]],
    );
}

/// A bus that bears a shift of its negative.
pub(super) const SHIFT: &str = "model panel Q {
  charger 1 A
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 6
    shift 500 mV
  }
}
";

#[test]
fn a_negative_may_be_shifted_so_far() {
    check_plan(
        SHIFT,
        "panel main : Q { bus keys {
  keypad near : K, address 1
  keypad far : K, address 2
} }
run r : quad { main.keys --45 m-- near --20 m-- far }",
        &[ReferenceShift],
        expect![[r#"
            4:10 reference-shift warning: the negative of far lies 550 mV above that of main with the battery at its end and the system in alarm; main.keys is read up to 500 mV. Thicker or doubled cable brings it down.
                model what the bus allows
        "#]],
    );
}

#[test]
fn a_negative_that_lies_low_enough_is_quiet() {
    // 45 m and 2.5 m at 0.1 ohm/m for the pair: near and far draw 100 mA each, so
    // 0.9 V + 0.025 V are lost, half of it in the negative.
    let site = "panel main : Q { bus keys {
  keypad near : K, address 1
  keypad far : K, address 2
} }
run r : quad { main.keys --45 m-- near --2.5 m-- far }";
    check_plan(SHIFT, site, &[ReferenceShift], expect![[""]]);
}

#[test]
fn what_is_left_of_a_shift_is_told() {
    let models = "model panel Q {
  charger 1 A
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 6
    shift 400 mV
  }
}
model cable thin, cores 4, conductor 0.5 mm2
model cable thick, cores 4, conductor 1.5 mm2
";
    let site = "panel main : Q { bus keys { keypad a : K, address 1 } }
run r : thin { main.keys --150 m-- a }";
    check_plan(
        models,
        site,
        &[ReferenceShift],
        expect![[r#"
        2:36 reference-shift warning: the negative of a lies 540 mV above that of main with the battery at its end and the system in alarm; main.keys is read up to 400 mV. 1.5 mm² cable (thick) for r would leave 181 mV.
            model what the bus allows
            > Use thick for r
    "#]],
    );
}

#[test]
fn no_cable_is_proposed_for_a_shift_that_is_not_known_in_every_state() {
    // In alarm the cable cannot feed the keypads.
    check_plan(
        "model panel Q {
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 6
    shift 1 V
  }
}
model cable thick, cores 4, conductor 1.5 mm2
model keypad H, standby 0.6 W, alarm 3 W
",
        "panel main : Q { bus keys {
  keypad a : H, address 1
  keypad b : H, address 2
} }
run r : quad { main.keys --90 m-- a --1 m-- b }",
        &[ReferenceShift],
        expect![[r#""#]],
    );
}

/// 100 m are 10 ohm: 0.1 A lose 1 V, half of it in the negative.
#[test]
fn a_negative_that_lies_just_as_high_as_it_may_is_quiet() {
    let site = |metres: &str| {
        format!(
            "panel main : Q {{ bus keys {{ keypad far : K, address 1 }} }}
run r : quad {{ main.keys --{metres} m-- far }}"
        )
    };
    check_plan(SHIFT, &site("100"), &[ReferenceShift], expect![[""]]);
    check_plan(
        SHIFT,
        &site("100.1"),
        &[ReferenceShift],
        expect![[r#"
        2:36 reference-shift warning: the negative of far lies 500.5 mV above that of main with the battery at its end and the system in alarm; main.keys is read up to 500 mV. Thicker or doubled cable brings it down.
            model what the bus allows
    "#]],
    );
}

#[test]
fn a_spare_core_of_the_data_cable_leads_the_negative_along() {
    let plan = |data: &str| {
        format!(
            "panel main : P {{ bus keys {{ keypad a : K, address 1 }} }}
supply psu : S
run d : quad, carries data {{ {data} }}
run p : pair {{ psu.out --10 m-- a }}"
        )
    };
    check_site(
        &plan("main.keys --60 m-- a"),
        &[NegativesApart, NotWired],
        expect![[r#"
            2:36 negatives-apart error: a has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of d: write `main.keys + main.aux` and `a + psu.out` there.
                3:8 what feeds it
                > Lead the negative along in d
        "#]],
    );
    // One end is written already.
    check_site(
        &plan("main.keys --60 m-- a + psu.out"),
        &[NegativesApart, NotWired],
        expect![[r#"
            2:36 negatives-apart error: a has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of d: write `main.keys + main.aux` there.
                3:8 what feeds it
                > Lead the negative along in d
        "#]],
    );
    check_clean(
        &plan("main.keys + main.aux --60 m-- a + psu.out"),
        &[NegativesApart, NotWired],
    );
}

#[test]
fn a_hop_from_device_to_device_leads_the_negative_along_too() {
    let plan = |hop: &str| {
        format!(
            "panel main : P {{ bus keys {{
  keypad a : K, address 1
  keypad b : K, address 2
}} }}
supply psu : S
run d : quad {{ main.keys --60 m-- a }}
run e : quad, carries data {{ {hop} }}
run p : pair {{ psu.out --10 m-- b }}"
        )
    };
    check_site(
        &plan("a --20 m-- b"),
        &[NegativesApart, NotWired],
        expect![[r#"
            4:10 negatives-apart error: b has its data from main.keys and its power from psu.out, and nothing joins the negatives of main and psu: lay one core between them, a spare one of e: write `a + main.aux` and `b + psu.out` there.
                6:8 what feeds it
                > Lead the negative along in e
        "#]],
    );
    check_clean(
        &plan("a + main.aux --20 m-- b + psu.out"),
        &[NegativesApart, NotWired],
    );
}
