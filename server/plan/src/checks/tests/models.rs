use expect_test::expect;

use super::*;
use Code::{BusFull, LoopAmbiguous, OutputOverloaded, PlacesOverlap};

/// What is found in models alone.
fn check_models(own: &str, expect: Expect) {
    let (plan, findings) = findings_of(own);
    let mut lines = String::new();
    for (item, finding) in findings {
        let spot = item.spot(finding.span);
        let range = plan.file.locate(&spot).expect("a place in the file");
        let written = plan.file.text().slice(range);
        lines += &format!("`{written}` {}: {}\n", finding.code, finding.message);
        for (spot, message) in &finding.related {
            let range = plan.file.locate(spot).expect("a place in the file");
            lines += &format!("    `{}` {message}\n", plan.file.text().slice(range));
        }
    }
    expect.assert_eq(&lines);
}

#[test]
fn windows_may_meet_and_not_overlap() {
    check_models(
        "model panel A {
  inputs 1 .. 4 {
    loop meeting {
      reads short 0 ohm .. 1 kohm
      reads normal 1 kohm .. 3 kohm
      reads open 3 kohm ..
    }
    loop twice {
      reads normal 1 kohm .. 2 kohm
      reads normal 1.5 kohm .. 3 kohm
    }
    loop coarse {
      reads normal 1 kohm .. 3 kohm
      reads open 2.5 kohm ..
    }
  }
}
",
        expect![[r#"
            `2.5 kohm ..` loop-ambiguous: loop `coarse` reads 2.5 kohm to 3 kohm as `normal` and as `open` alike: let one window end where the other begins.
                `1 kohm .. 3 kohm` the window for `normal`
        "#]],
    );
}

#[test]
fn an_expanders_own_loops_are_checked_too() {
    let (_, findings) = findings_of(
        "model expander E {
  inputs 1 .. 8 {
    loop l {
      reads normal 1 kohm .. 3 kohm
      reads alarm 2 kohm .. 4 kohm
    }
  }
}
",
    );
    let codes: Vec<Code> = findings.iter().map(|(_, finding)| finding.code).collect();
    assert_eq!(codes, [LoopAmbiguous]);
}

#[test]
fn capacities_do_not_contradict_each_other() {
    check_models(
        "model battery good {
  capacity 7 Ah, over 20 h
  capacity 4.3 Ah, over 1 h
}
model battery twice {
  capacity 7 Ah, over 20 h
  capacity 6.5 Ah, over 20 h
}
model battery more {
  capacity 4.3 Ah, over 1 h
  capacity 4 Ah, over 20 h
}
model battery slower {
  capacity 8 Ah, over 20 h
  capacity 3 Ah, over 10 h
}
",
        expect![[r#"
            `capacity 6.5 Ah, over 20 h` repeated: 6.5 Ah over 20 h contradicts 7 Ah over 20 h: one time has one capacity: take one out. Until then only the slowest line counts.
                `capacity 7 Ah, over 20 h` the other one
            `capacity 4 Ah, over 20 h` wrong-kind: 4 Ah over 20 h contradicts 4.3 Ah over 1 h: emptied faster, a battery gives less: look at its sheet again. Until then only the slowest line counts.
                `capacity 4.3 Ah, over 1 h` the other one
            `capacity 3 Ah, over 10 h` wrong-kind: 3 Ah over 10 h contradicts 8 Ah over 20 h: over a shorter time it must give a larger current: look at its sheet again. Until then only the slowest line counts.
                `capacity 8 Ah, over 20 h` the other one
        "#]],
    );
}

#[test]
fn places_of_two_kinds_may_touch() {
    check_models(
        "model panel A {
  bus b {
    addresses 1 .. 12
    place keypad 1 .. 8
    place expander 9 .. 12
    place keypad 8 .. 8
  }
}
",
        expect![""],
    );
    let (_, findings) = findings_of(
        "model panel A {
  bus b {
    addresses 1 .. 12
    place keypad 1 .. 8
    place expander 8 .. 12
  }
}
",
    );
    let codes: Vec<Code> = findings.iter().map(|(_, finding)| finding.code).collect();
    assert_eq!(codes, [PlacesOverlap]);
}

/// 0.2 A of its own and 0.5 A of charger at 12 V are 8.4 W, whatever the outputs
/// take of the charger; beyond the charger they add: 0.2 + 0.6 A are 9.6 W.
const MAINS: &str = "
model battery small { capacity 2 Ah }
model supply M {
  standby 200 mA
  charger 500 mA
  mains 9 W
  output out 12 V
}
model supply N {
  standby 200 mA
  mains 800 mA
  output out 12 V
}
model sounder Q, standby 100 mA, alarm 600 mA
model sounder T, standby 100 mA, alarm 400 mA
";

#[test]
fn the_mains_side_gives_what_its_plate_says() {
    check_plan(
        MAINS,
        "supply psu : M { battery : small }
sounder q : Q
run r : pair { psu.out --1 m-- q }",
        &[OutputOverloaded],
        expect![[r#"
            2:8 output-overloaded error: psu asks 9.6 W of its mains side in alarm: 2.4 W itself, 7.2 W on its outputs, 0 W to charge the battery; it gives 9 W. Move load to another supply, or fit one with a larger rating.
                model what the mains side gives
        "#]],
    );
    for supply in ["M { battery : small }", "N"] {
        check_plan(
            MAINS,
            &format!(
                "supply psu : {supply}
sounder t : T
run r : pair {{ psu.out --1 m-- t }}"
            ),
            &[OutputOverloaded],
            expect![[""]],
        );
    }
}

const LOADS: &str = "
model panel L {
  output aux 13.8 V
  bus data {
    power aux
    addresses 1 .. 32
    terminated 120 ohm
    unit-loads 2
  }
}
model keypad E, standby 10 mA, unit-load 0.5
model keypad O, standby 10 mA
";

#[test]
fn a_bus_drives_so_many_unit_loads() {
    check_plan(
        LOADS,
        "panel main : L { bus data {
  keypad a : E, address 1
  keypad b : E, address 2
  keypad c : O, address 3
} }
run r : quad { main.data --1 m-- a --1 m-- b --1 m-- c }",
        &[BusFull],
        expect![[""]],
    );
    check_plan(
        LOADS,
        "panel main : L { bus data {
  keypad a : E, address 1
  keypad b : O, address 2
  keypad c : O, address 3
} }
run r : quad { main.data --1 m-- a --1 m-- b --1 m-- c }",
        &[BusFull],
        expect![[r#"
            2:22 bus-full error: main.data drives at most 2 unit loads, and its devices make 2.5: move one to another bus, or use devices with a smaller unit load.
                model how many unit loads it drives
        "#]],
    );
}

#[test]
fn values_that_nothing_has_are_told() {
    let text = "model supply A {
  cutoff 15 V
  output one 0 V
  output two 13.8 V
}
model cable thin, conductor 60 AWG
model cable thick, conductor 0000 AWG
model supply B { cutoff 10.5 V, output one 13.8 V }
";
    expect![[r#"
        3:14 wrong-kind error: an output of 0 V feeds nothing: write what it gives on mains
        6:29 wrong-kind error: there is no 60 AWG: gauges go from 0000 to 40
        2:10 wrong-kind error: a battery is not cut off at 15 V where no output gives more than 13.8 V: write the voltage at its end
    "#]].assert_eq(&found(text, &[Code::WrongKind], 0));
}

#[test]
fn nothing_is_colder_than_absolute_zero() {
    check_site(
        "ambient -300 °C .. 20 °C",
        &[Code::WrongKind],
        expect![[r#"
            2:9 wrong-kind error: there is no temperature below -273.15 °C
        "#]],
    );
    check_clean("ambient -40 °C .. 60 °C", &[Code::WrongKind]);
}

#[test]
fn a_temperature_that_no_site_has_is_doubted() {
    for (range, told) in [("-70 °C .. 20 °C", "-70 °C"), ("5 °C .. 350 °C", "350 °C")] {
        let site = format!("ambient {range}");
        let text = format!("{}site s {{\n{site}\n}}\n", models());
        let findings = findings_of(&text).1;
        let found: Vec<_> = findings
            .iter()
            .filter(|(_, of)| of.code == Code::WrongKind)
            .collect();
        assert_eq!(found.len(), 1, "{range}");
        assert_eq!(found[0].1.severity, crate::finding::Severity::Warning);
        assert!(found[0].1.message.contains(told), "{}", found[0].1.message);
    }
}

#[test]
fn a_resistor_is_of_the_series_that_its_loop_names() {
    check_models(
        "model series V \"Few values\" {
  tolerance 5 %
  values 10 22 47
  values 68
}
model panel A {
  inputs 1 .. 4 {
    loop fine {
      end 4.7 kohm
      contact 680 ohm
      resistors V
      reads normal 4 kohm .. 6 kohm
    }
    loop odd {
      end 6.9 kohm
      contact 2 kohm
      resistors V
      reads normal 6 kohm .. 9 kohm
    }
    loop any {
      end 6.9 kohm
      reads normal 6 kohm .. 9 kohm
    }
  }
}
model series W {
  tolerance 5 %
  values 10 0 22
}
",
        expect![[r#"
            `0` wrong-kind: a resistor value is above zero: take this one out
            `6.9 kohm` not-in-series: V has no 6.9 kohm, which loop `odd` asks for: 6.8 kohm is the nearest.
            `2 kohm` not-in-series: V has no 2 kohm, which loop `odd` asks for: 2.2 kohm is the nearest.
        "#]],
    );
}

#[test]
fn a_product_has_some_of_what_it_is_sold_by() {
    check_models(
        "model battery none {
  voltage 0 V
  capacity 0 Ah, over 20 h
  capacity 4 Ah, over 0 h
  life 0 years
}
model cable thin { conductor 0 mm2 }
model keypad shorted {
  standby 0 ohm
  alarm 0 mA
}
model panel off {
  mains 0 W
  output aux 13.8 V
  inputs 1 .. 4 {
    loop wide {
      end 1 kohm
      tolerance 150 %
      reads normal 0 ohm .. 3 kohm
    }
    loop wide { reads normal 0 ohm .. 1 kohm }
  }
}
",
        expect![[r#"
            `0 V` wrong-kind: 0 V is none at all: write what the product's sheet says
            `0 Ah` wrong-kind: 0 Ah is none at all: write what the product's sheet says
            `0 h` wrong-kind: 0 h is none at all: write what the product's sheet says
            `0 years` wrong-kind: 0 years is none at all: write what the product's sheet says
            `0 mm2` wrong-kind: 0 mm2 is none at all: write what the product's sheet says
            `0 ohm` wrong-kind: a draw of 0 ohm is a short circuit: write what the product's sheet says
            `0 W` wrong-kind: 0 W is none at all: write what the product's sheet says
            `150 %` wrong-kind: a resistor that may be off by 150 % may be none at all: write a share below 100 %
            `wide` name-taken: two loops are called `wide`: give this one another name.
                `wide` the other one
        "#]],
    );
}

#[test]
fn rules_ask_for_what_can_be_had() {
    let found = |rules: &str| {
        let text = format!("site s {{\n  rules own {{\n    {rules}\n  }}\n}}\n");
        let (_, findings) = findings_of(&text);
        let messages = findings.into_iter().map(|(_, finding)| finding.message);
        messages.collect::<Vec<_>>().join("\n")
    };
    expect!["with 100 % kept free nothing is left to use: write a share below 100 %"]
        .assert_eq(&found("headroom 100 %"));
    expect!["an ageing factor of 0.8 asks for less than is drawn: write 1.25 for a quarter more, or 1 for none"]
        .assert_eq(&found("ageing 0.8"));
    expect!["a battery is not charged to 120 %: write a share up to 100 %"]
        .assert_eq(&found("recharge 24 h, to 120 %"));
    expect!["no battery is charged again in 0 h: write how long it may take, or leave this line out if that is all the same"]
        .assert_eq(&found("recharge 0 h"));
    assert_eq!(found("headroom 99 %"), "");
    assert_eq!(found("ageing 1"), "");
    assert_eq!(found("recharge 24 h, to 100 %"), "");
}

#[test]
fn a_site_has_an_account_that_its_centre_has_given_out() {
    let found = |account: u32| {
        let text = format!(
            "monitoring north {{ accounts 4400 .. 4499 }}
monitoring free
site s {{
  report north, account {account}
  report free, account 9
}}
"
        );
        let (_, findings) = findings_of(&text);
        let messages = findings.into_iter().map(|(_, finding)| finding.message);
        messages.collect::<Vec<_>>().join("\n")
    };
    assert_eq!(found(4400), "");
    assert_eq!(found(4499), "");
    expect!["north has given out accounts 4400 to 4499, and 4500 is none of them: mend the number, or the centre's `accounts`."]
        .assert_eq(&found(4500));
}

#[test]
fn places_are_held_against_the_first_that_they_share_addresses_with() {
    let line = |number| match number % 2 {
        0 => "    place keypad 1 .. 8\n",
        _ => "    place expander 1 .. 8\n",
    };
    let places: String = (0..40).map(line).collect();
    let text = format!(
        "model panel A {{\n  output aux 13 V\n  bus b {{\n    power aux\n{places}  }}\n}}\n"
    );
    let (_, findings) = super::findings_of(&text);
    let shared = findings
        .iter()
        .filter(|(_, finding)| finding.code == Code::PlacesOverlap);
    // Of the second line 1, of the third 1, of the fourth 2, and so on until 8.
    assert_eq!(shared.count(), 2 * (1 + 2 + 3 + 4 + 5 + 6 + 7) + 8 * 25);
}

/// 0.25 A of its own and 0.5 A of charger at 12 V are 9 W.
#[test]
fn a_mains_side_that_gives_just_what_is_asked_is_enough() {
    let found = |rating: &str| {
        let text = format!(
            "model battery small {{ capacity 2 Ah }}
model supply M, standby 250 mA, charger 500 mA, mains {rating} {{ output out 12 V }}
site s {{
supply psu : M {{ battery : small }}
}}
"
        );
        found(&text, &[OutputOverloaded], 0)
    };
    assert_eq!(found("9 W"), "");
    assert!(found("8.9 W").contains("asks 9 W of its mains side"));
}

#[test]
fn how_a_model_sounds_is_the_same_behind_a_comma_and_on_lines() {
    for (model, sound) in [
        ("model keypad K, sounds all", "all"),
        ("model keypad K {\n  sounds all, silent\n}", "silent"),
        (
            "model keypad K {\n  sounds all {\n    silent\n  }\n}",
            "silent",
        ),
    ] {
        let text = format!("{model}\nsite s {{\n  keypad k : K, sounds {sound}\n}}\n");
        assert_eq!(found(&text, &[Code::UnknownName], 0), "", "{model}");
    }
}

#[test]
fn what_stands_in_a_list_twice_is_told() {
    check_models(
        "model panel A {
  bus keys {
    addresses 1 .. 15
    layout tree chain tree
    terminal negative 6, positive 6, negative 7
    terminal data-in 8
    terminal data-in 8
  }
  bus doors {
    addresses 1 .. 4
    terminal negative 6, positive 9
  }
}
model keypad B {
  sounds all, silent, all
  also receiver
  also receiver
  also keypad
  also sounder
}
",
        expect![[r#"
            `6` name-taken: terminal 6 would be for positive and negative alike: give each core the number that is printed at its own.
                `negative` the other core
            `negative` repeated: negative would be at terminals 6 and 7: which core is at the other one?
                `6` the first one
            `data-in` repeated: data-in is there twice: take one out.
                `8` the first one
            `tree` repeated: `tree` is there twice: take one out
                `tree` the first one
            `receiver` repeated: it is a receiver already: take this out
            `keypad` repeated: it is a keypad already: take this out
            `sounder` wrong-kind: a device is not a sounder besides: it may be a receiver, a reader, an expander or a relay too
            `all` repeated: `all` is there twice: take one out
                `all` the first one
        "#]],
    );
}

#[test]
fn only_what_may_be_on_a_bus_has_places_there() {
    check_models(
        "model panel A {
  bus keys {
    addresses 1 .. 15
    place keypad 1 .. 8
    place cable 9
  }
}
",
        expect![[r#"
            `cable` wrong-kind: a cable has no address on a bus: it may be a keypad, an expander, a receiver, a reader, a communicator, a relay, a detector, a sounder or a beacon
        "#]],
    );
}

#[test]
fn a_loop_has_a_window_for_quiet() {
    check_models(
        "model panel A {
  inputs 1 .. 4 {
    loop never {
      reads short 0 ohm .. 1 kohm
      reads open 3 kohm ..
    }
    loop unread {
      reads normel 1 kohm .. 3 kohm
      reads open 3 kohm ..
    }
  }
}
",
        expect![[r#"
            `normel` unknown-word: `normel` means nothing here: write `normal` or `alarm` or `tamper` or `open` or `short`. Did you mean `normal`?
            `never` missing: nothing that loop `never` reads means that all is quiet: add the window for that, as in `reads normal 1.6 kohm .. 2.9 kohm`
        "#]],
    );
}
