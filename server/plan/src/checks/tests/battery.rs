use expect_test::expect;

use super::*;
use Code::{BatteryMissing, BatteryOld, BatteryShort, BatteryTooLarge, RechargeSlow};

const BATTERIES: &str = "
model battery b-2, capacity 2 Ah, life 4 years
model battery b-7, capacity 7 Ah, life 4 years
model battery b-12, capacity 12 Ah, life 4 years
model battery b-17, capacity 17 Ah, life 4 years
rules night {
  standby 12 h
  alarm 15 min
  recharge 24 h, to 80 %
}
model panel B {
  standby 200 mA
  alarm 300 mA
  charger 200 mA
  battery-max 15 Ah
  output aux 13.8 V
}
model keypad T, standby 120 mA
";

const ALL: &[Code] = &[
    BatteryMissing,
    BatteryOld,
    BatteryShort,
    BatteryTooLarge,
    RechargeSlow,
];

#[test]
fn a_battery_must_last() {
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-2 }",
        ALL,
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 6.43 h in standby; night asks for 12 h in standby and 15 min of alarm after that. That needs 3.4 Ah, and 2 Ah are fitted. b-7 would do.
                > Fit b-7 to main
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-7 }",
        ALL,
        expect![[r#"
            3:28 recharge-slow warning: the charger of main takes 31 h to bring the battery to 80 %; night asks for 24 h. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
}

#[test]
fn several_batteries_count_together() {
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-2, count 2 }",
        ALL,
        expect![[""]],
    );
}

/// One if one does, or else the fewest.
#[test]
fn no_more_batteries_are_proposed_than_it_takes() {
    let free = "model panel F, standby 200 mA, alarm 300 mA, charger 900 mA {
  output aux 13.8 V
}
rules long : night { standby 72 h }
";
    let own = format!("{BATTERIES}{free}");
    check_plan(
        &own,
        "rules long
panel main : F { battery : b-2, count 3 }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 22.4 h in standby; long asks for 72 h in standby and 15 min of alarm after that. That needs 19.1 Ah, and 6 Ah are fitted. 2 of b-12 would do.
                > Fit 2 of b-12 to main
        "#]],
    );
    check_plan(
        &own,
        "rules long
panel main : F",
        &[BatteryMissing],
        expect![[r#"
            3:7 battery-missing error: main has no battery, and long asks for 72 h in standby and 15 min of alarm after that. That needs 19.1 Ah. 2 of b-12 in parallel would do.
                > Fit 2 of b-12 to main
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules long : night { standby 22 h }
panel main : B { battery : b-2, count 2 }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 14.8 h in standby; long asks for 22 h in standby and 15 min of alarm after that. That needs 5.9 Ah, and 4 Ah are fitted. One b-7 would do.
                > Fit b-7 to main
        "#]],
    );
}

#[test]
fn a_house_rule_asks_for_no_less_than_what_it_is_built_on() {
    let house = |rules: &str| format!("rules house : night {{\n{rules}\n}}");
    check_plan(
        BATTERIES,
        &house("standby 8 h\nrecharge 48 h, to 70 %"),
        &[Code::RulesWeaker],
        expect![[r#"
            2:7 rules-weaker warning: house asks for 8 h in standby instead of 12 h, a recharge in 48 h instead of 24 h and a recharge to 70 % instead of 80 %: less than night, which it is built on. Ask for as much, or say in `source` what permits it.
        "#]],
    );
    for fine in [
        "standby 24 h",
        "alarm 15 min",
        "standby 8 h\nsource \"the insurer\"",
    ] {
        check_plan(BATTERIES, &house(fine), &[Code::RulesWeaker], expect![[""]]);
    }
}

#[test]
fn where_no_battery_lasts_it_says_so() {
    check_plan(
        BATTERIES,
        "rules long : night { standby 72 h }
panel main : B { battery : b-12 }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 45.1 h in standby; long asks for 72 h in standby and 15 min of alarm after that. That needs 19.1 Ah, and 12 Ah are fitted. No battery that main may charge (up to 15 Ah) does: move load to a supply with a battery of its own.
        "#]],
    );
}

#[test]
fn a_battery_must_fit_its_charger() {
    check_plan(
        BATTERIES,
        "panel main : B { battery : b-17 }",
        ALL,
        expect![[r#"
            2:28 battery-too-large error: main may charge a battery of up to 15 Ah, and 17 Ah are fitted. Fit a smaller one.
                model the largest that it may charge
        "#]],
    );
}

#[test]
fn a_battery_must_charge_in_time() {
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-12 }
keypad t : T
run r : pair { main.aux --5 m-- t }",
        ALL,
        expect![[r#"
            3:28 recharge-slow warning: the charger of main takes 132 h to bring the battery to 80 %; night asks for 24 h. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
    check_plan(
        BATTERIES,
        "rules night
panel main : B { battery : b-12 }
keypad t : T
keypad u : T
run r : pair { main.aux --5 m-- t --5 m-- u }",
        &[RechargeSlow],
        expect![[r#"
            3:28 recharge-slow warning: the outputs of main take in standby all that its charger gives, so the battery never charges; night asks for 80 % in 24 h. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
}

#[test]
fn a_charger_that_a_model_does_not_say_is_told_as_unchecked() {
    let site = "rules r
supply psu : Y { battery : pack }
supply two : Y { battery : pack }
supply none : Y";
    let own = |says: &str, recharge: &str| {
        format!(
            "model supply Y {{
  standby 10 mA
  output out 13.8 V
  {says}
}}
rules r {{
  standby 1 h
  {recharge}
}}
"
        )
    };
    let recharge = "recharge 72 h, to 80 %";
    let only = &[Code::Unchecked, RechargeSlow];
    check_plan(
        &own("", recharge),
        site,
        only,
        expect![[r#"
        3:8 unchecked information: how long the battery of psu takes to charge is not checked: say in the model Y what its `charger` gives.
            model the model
    "#]],
    );
    check_plan(&own("charger 1 A", recharge), site, only, expect![[r#""#]]);
    check_plan(&own("", ""), site, only, expect![[r#""#]]);
}

#[test]
fn a_battery_has_a_life() {
    check_plan(
        BATTERIES,
        "panel a : B { battery : b-7, fitted 2020-02 }
panel b : B { battery : b-7, fitted 2021-06-02 }",
        ALL,
        expect![[r#"
            2:37 battery-old warning: the battery of a was fitted 2020-02 and is meant to last 4 years, to 2024-02: replace it.
        "#]],
    );
}

#[test]
fn the_rules_may_ask_for_a_battery() {
    check_plan(
        BATTERIES,
        "rules night
panel main : B
supply psu : U",
        ALL,
        expect![[r#"
            3:7 battery-missing error: main has no battery, and night asks for 12 h in standby and 15 min of alarm after that. That needs 3.36 Ah. b-7 would do.
                > Fit b-7 to main
            4:8 battery-missing error: psu takes no battery, and night asks for 12 h in standby and 15 min of alarm after that: use a model with a charger, or feed what hangs on it from one.
        "#]],
    );
    check_plan(BATTERIES, "panel main : B", ALL, expect![[""]]);
    // The change is tried out: the line goes first in the block, whatever stands there.
    for block in [
        " { partition 1 }",
        ", revision 2 { # upstairs\n  partition 1\n}",
        " {\n  partition 1\n}",
        " {}",
    ] {
        let site = format!("rules night\npanel main : B{block}");
        let text = format!("{BATTERIES}site s {{\n{site}\n}}\n");
        let found = found(&text, &[BatteryMissing], 0);
        assert!(found.ends_with("> Fit b-7 to main\n"), "{block}: {found}");
    }
}

#[test]
fn a_battery_that_never_charges_is_told_whatever_the_rules_ask() {
    check_plan(
        "model panel N {
  standby 50 mA
  charger 100 mA
  output aux 13.8 V
}
model keypad T, standby 120 mA
model battery b-7, capacity 7 Ah
",
        "panel main : N { battery : b-7 }
keypad t : T
run r : pair { main.aux --10 m-- t }",
        ALL,
        expect![[r#"
            2:28 recharge-slow warning: the outputs of main take in standby all that its charger gives, so the battery never charges. Move load to another supply, or fit one with a larger charger.
                model the charger
        "#]],
    );
}

#[test]
fn a_battery_that_is_too_large_gives_way_to_one_that_charges_in_time() {
    check_plan(
        &format!(
            "{BATTERIES}model panel Q {{\n  standby 20 mA\n  charger 300 mA\n  battery-max 15 Ah\n  output aux 13.8 V\n}}\n"
        ),
        "rules night
panel main : Q { battery : b-17 }",
        ALL,
        expect![[r#"
            3:28 battery-too-large error: main may charge a battery of up to 15 Ah, and 17 Ah are fitted. b-7 would do.
                model the largest that it may charge
                > Fit b-7 to main
            3:28 recharge-slow warning: the charger of main takes 50 h to bring the battery to 80 %; night asks for 24 h. b-7 still lasts, and charges in time.
                model the charger
                > Fit b-7 to main
        "#]],
    );
}

#[test]
fn two_blocks_in_series_make_a_battery_of_24_v() {
    let own = "model supply G {
  cutoff 21 V
  charger 500 mA
  output out 27.6 V
}
model relay L, standby 100 mA, works 20 V .. 28 V
rules night, standby 12 h, ageing 1
";
    let site = |battery: &str| {
        format!(
            "rules night
supply g : G {{ {battery} }}
relay l : L
run r : pair {{ g.out --10 m-- l }}"
        )
    };
    let codes = &[
        Code::WrongKind,
        Code::BatteryMissing,
        Code::BatteryShort,
        Code::VoltageLow,
    ];
    check_plan(
        own,
        &site("battery : pack, in-series 2"),
        codes,
        expect![[""]],
    );
    check_plan(
        own,
        &site("battery : pack"),
        codes,
        expect![[r#"
            3:26 wrong-kind error: the battery of g has 12 V, and g cuts it off at 21 V: fit 2 in series, `in-series 2`.
                model where it is cut off
                > Fit 2 in series to g
        "#]],
    );
    check_plan(
        own,
        &site("note \"none yet\""),
        codes,
        expect![[r#"
        3:8 battery-missing error: g has no battery, and night asks for 12 h in standby. That needs 1.34 Ah. 2 of pack in series would do.
            > Fit 2 of pack to g
    "#]],
    );
    let high = "supply u : S { battery : pack, in-series 2 }";
    check_plan(
        "",
        high,
        &[Code::WrongKind],
        expect![[r#"
        2:26 wrong-kind error: the battery of u has 24 V, and u gives 13.8 V at most, which never charges it: fit one of the voltage that the unit is made for.
    "#]],
    );
}

#[test]
fn what_a_high_cutoff_leaves_in_a_battery_does_not_count() {
    let models = "
model battery b-9, capacity 9 Ah
model battery b-12, capacity 12 Ah
rules night {
  standby 12 h
  alarm 15 min
}
model supply H {
  standby 500 mA
  charger 1 A
  cutoff 11.8 V
  output out 13.8 V
}
";
    check_plan(
        models,
        "rules night
supply p : H { battery : b-9 }",
        ALL,
        expect![[r#"
            3:26 battery-short error: night asks for 12 h in standby and 15 min of alarm after that, which needs 8.3 Ah. 9 Ah are fitted, of which 7.2 Ah can be had: p cuts its battery off at 11.8 V, where by a typical discharge (from memory) 20 % are still in it; a battery's capacity is told down to 1.75 V a cell. b-12 would do.
                > Fit b-12 to p
        "#]],
    );
    check_plan(
        &models.replace("11.8", "10.5"),
        "rules night
supply p : H { battery : b-9 }",
        ALL,
        expect![""],
    );
}

#[test]
fn hours_never_look_like_those_that_they_miss() {
    // 3.35995 Ah would do.
    let models = format!("{BATTERIES}\nmodel battery b-x, capacity 3.3599 Ah\n");
    check_plan(
        &models,
        "rules night
panel main : B { battery : b-x }",
        &[BatteryShort],
        expect![[r#"
            3:28 battery-short error: the battery of main lasts 11.9998 h in standby; night asks for 12 h in standby and 15 min of alarm after that. That needs 3.35995 Ah, and 3.3599 Ah are fitted. b-7 would do.
                > Fit b-7 to main
        "#]],
    );
}

#[test]
fn a_life_ends_by_the_calendar() {
    let old = |fitted: &str| {
        let site = format!("panel a : B {{ battery : b-12, fitted {fitted} }}");
        found(
            &format!("{BATTERIES}site s {{\n{site}\n}}\n"),
            &[BatteryOld],
            0,
        )
    };
    // Today is 2025-06-01.
    assert_eq!(old("2021-06-01"), "");
    assert_eq!(old("2021-06"), "");
    assert!(old("2021-05-31").contains("to 2025-05-31: replace it"));
    assert!(old("2021-05").contains("to 2025-05: replace it"));
}

/// What a battery gives over 100 h is more than over 20 h, and no other measure is
/// used when one is proposed.
#[test]
fn a_battery_that_is_too_small_is_not_proposed_in_place_of_itself() {
    let models = "
model battery slow {
  capacity 7 Ah, over 100 h
}
model battery quick, capacity 6 Ah
rules day, standby 24 h, ageing 1
model supply H, standby 227 mA, charger 1 A, battery-max 6.5 Ah {
  output out 13.8 V
}
";
    check_plan(
        models,
        "rules day
supply p : H { battery : slow }",
        ALL,
        expect![[r#"
            3:26 battery-short error: the battery of p lasts 23.7 h in standby; day asks for 24 h in standby. That needs 5.75 Ah, and 5.67 Ah are fitted. quick would do.
                > Fit quick to p
        "#]],
    );
    check_plan(
        models,
        "rules day
supply p : H",
        ALL,
        expect![[r#"
            3:8 battery-missing error: p has no battery, and day asks for 24 h in standby. That needs 5.75 Ah. quick would do.
                > Fit quick to p
        "#]],
    );
}

#[test]
fn how_large_a_battery_of_the_wrong_voltage_must_be_is_not_told() {
    let own = "model battery b-7, capacity 7 Ah
rules night, standby 12 h
model supply H, standby 12 W, charger 2 A, cutoff 21 V {
  output out 27.6 V
}
";
    let only = [ALL, &[Code::WrongKind]].concat();
    check_plan(
        own,
        "rules night
supply h : H { battery : b-7 }",
        &only,
        expect![[r#"
            3:26 wrong-kind error: the battery of h has 12 V, and h cuts it off at 21 V: fit 2 in series, `in-series 2`.
                model where it is cut off
                > Fit 2 in series to h
        "#]],
    );
    check_plan(
        own,
        "rules night
supply h : H { battery : b-7, in-series 2 }",
        &only,
        expect![[r#"
            3:26 battery-short error: the battery of h lasts 10.1 h in standby; night asks for 12 h in standby. That needs 8.2 Ah, and 7 Ah are fitted. 4 of b-7 would do.
                > Fit 2 of them to h
        "#]],
    );
}

#[test]
fn a_battery_that_is_fitted_tomorrow_is_told_of() {
    let fitted = |date: &str, expected| {
        check_plan(
            BATTERIES,
            &format!("panel main : B {{ battery : b-7 {{ fitted {date} }} }}"),
            &[BatteryOld, Code::BatteryDate],
            expected,
        );
    };
    fitted(
        "2025-06-02",
        expect![[r#"
        2:41 battery-date warning: the battery of main was fitted 2025-06-02, and that day is yet to come: is the date right? How old the battery is cannot be told by it.
    "#]],
    );
    fitted(
        "2036-03",
        expect![[r#"
        2:41 battery-date warning: the battery of main was fitted 2036-03, and that day is yet to come: is the date right? How old the battery is cannot be told by it.
    "#]],
    );
    fitted("2025-06-01", expect![[""]]);
    fitted("2025-06", expect![[""]]);
}

#[test]
fn a_battery_is_cut_off_below_its_own_volts() {
    let own = |cutoff: &str| {
        format!(
            "model supply H {{
  cutoff {cutoff}
  charger 1 A
  output out 13.8 V
}}
"
        )
    };
    let site = "supply h : H { battery : pack }";
    check_plan(&own("11.9 V"), site, &[Code::WrongKind], expect![[""]]);
    check_plan(
        &own("12 V"),
        site,
        &[Code::WrongKind],
        expect![[r#"
        2:26 wrong-kind error: the battery of h has 12 V, and h cuts it off at 12 V: fit one of the voltage that the unit is made for.
            model where it is cut off
    "#]],
    );
}

/// What a unit without a `cutoff` is made for shows by its outputs.
#[test]
fn a_battery_that_its_unit_overcharges_is_told() {
    let models = |own: &str| {
        format!(
            "rules night, standby 12 h
model battery b-7, capacity 7 Ah
model supply H, standby 50 mA, charger 1 A {{
  output out 27.6 V
  output lock 24 V{own}
}}
"
        )
    };
    let codes = &[Code::WrongKind, BatteryMissing, BatteryShort];
    let one = "rules night
supply h : H { battery : b-7 }";
    check_plan(
        &models(""),
        one,
        codes,
        expect![[r#"
        3:26 wrong-kind error: the battery of h has 12 V, and h gives 24 V at least, which would boil it dry: fit 2 in series, `in-series 2`. If its charger gives less, say the unit's `cutoff` in its model.
            > Fit 2 in series to h
    "#]],
    );
    check_plan(&models("\n  cutoff 10.5 V"), one, codes, expect![[""]]);
    check_plan(
        &models(""),
        "rules night
supply h : H { battery : b-7, in-series 2 }",
        codes,
        expect![[""]],
    );
    check_plan(
        &models(""),
        "rules night
supply h : H",
        codes,
        expect![[r#"
            3:8 battery-missing error: h has no battery, and night asks for 12 h in standby. That needs 0.816 Ah. 2 of b-7 in series would do.
                > Fit 2 of b-7 to h
        "#]],
    );
}

#[test]
fn outputs_of_lower_or_the_same_voltage_say_nothing_against_a_battery() {
    for (output, fitted) in [("5 V", "pack"), ("24 V", "pack, in-series 2")] {
        check_plan(
            &format!("model supply H, charger 1 A {{ output out {output} }}\n"),
            &format!("supply h : H {{ battery : {fitted} }}"),
            &[Code::WrongKind],
            expect![[""]],
        );
    }
}

/// 20 Ah, and the charge factor of 1.1: 22 h at 1 A.
#[test]
fn a_battery_that_is_charged_just_in_time_is() {
    let slow = |recharge: &str| {
        let text = format!(
            "model battery b-20, capacity 20 Ah
model supply H, standby 10 mA, charger 1 A {{ output out 13.8 V }}
rules day {{
  standby 24 h
  recharge {recharge}, to 100 %
}}
site s {{
rules day
supply h : H {{ battery : b-20 }}
}}
"
        );
        found(&text, &[RechargeSlow], 0)
    };
    assert_eq!(slow("22 h"), "");
    assert!(slow("21.9 h").contains("recharge-slow"));
}

#[test]
fn colder_than_the_table_is_told_as_an_estimate() {
    let told = |ambient: &str| {
        let site =
            format!("rules night\nambient {ambient} .. 20 °C\npanel main : B {{ battery : b-2 }}");
        let text = format!("{BATTERIES}site s {{\n{site}\n}}\n");
        let found = found(&text, &[BatteryShort], 0);
        assert!(found.contains("battery-short"), "{found}");
        found.contains("-20 °C is colder than IEEE 485's table goes")
    };
    assert!(told("-20 °C"));
    assert!(!told("0 °C"));
}

#[test]
fn a_battery_of_another_voltage_is_not_proposed() {
    let others = "model battery a-6, voltage 6 V, capacity 5 Ah
model battery a-24, voltage 24 V, capacity 5 Ah
";
    for (unit, hint) in [
        ("panel main : B { battery : b-2 }", "b-7 would do."),
        ("panel main : B", "b-7 would do."),
        ("supply g : G { battery : b-2-24 }", "a-24 would do."),
    ] {
        let text = format!(
            "{others}{BATTERIES}model battery b-2-24, voltage 24 V, capacity 2 Ah
model supply G, standby 200 mA, charger 1 A, cutoff 21 V {{ output out 27.6 V }}
site s {{
rules night
{unit}
}}
"
        );
        let found = found(&text, &[BatteryMissing, BatteryShort], 0);
        assert!(found.contains(hint), "{found}");
    }
}

/// 0.6 A for 72 h are 43.2 Ah, and 57 Ah with what is kept in hand for age and 20 °C, 1.25 × 1.056:
/// more than three of 17 Ah have. For 96 h they are 76 Ah, more than four.
#[test]
fn up_to_four_batteries_are_proposed() {
    let hint = |standby: &str| {
        let text = format!(
            "{BATTERIES}model panel F, standby 600 mA, charger 5 A {{ output aux 13.8 V }}
rules long, standby {standby}, ageing 1.25
site s {{
rules long
panel main : F
}}
"
        );
        found(&text, &[BatteryMissing], 0)
    };
    let four = hint("72 h");
    assert!(four.contains("4 of b-17 in parallel would do."), "{four}");
    let five = hint("96 h");
    assert!(
        five.contains("That needs 76") && !five.contains("would do"),
        "{five}"
    );
}

#[test]
fn no_battery_is_judged_by_a_cutoff_that_is_told_in_the_model() {
    let text = format!(
        "{}model panel CUT {{
  standby 100 mA
  charger 700 mA
  cutoff 21 V
  output aux 13.8 V
}}
rules night, standby 12 h
site s {{
  rules night
  panel h : CUT {{ battery : pack }}
}}
",
        models()
    );
    let (_, found) = findings_of(&text);
    let messages: Vec<&str> = found.iter().map(|(_, of)| of.message.as_str()).collect();
    let [only] = messages.as_slice() else {
        panic!("{messages:?}")
    };
    assert!(
        only.starts_with("a battery is not cut off at 21 V"),
        "{only}"
    );
}

#[test]
fn an_alarm_longer_than_standby_is_swapped() {
    for (own, told) in [
        ("standby 15 min\nalarm 12 h", true),
        ("standby 12 h\nalarm 15 min", false),
        ("standby 30 min\nalarm 30 min", false),
        ("standby 0 h\nalarm 30 min", false),
        ("alarm 30 min", false),
    ] {
        let text = format!("{}site s {{\nrules house {{\n{own}\n}}\n}}\n", models());
        let findings = findings_of(&text).1;
        let mut found = findings.iter().filter(|(_, of)| of.code == Code::WrongKind);
        assert_eq!(found.next().is_some(), told, "{own}");
    }
}

#[test]
fn that_no_rules_are_named_is_told_once_for_a_site() {
    check_site(
        "panel main : P { battery : pack }
panel other : P { battery : pack }",
        &[Code::RulesMissing],
        expect![[r#"
            2:28 rules-missing information: the site names no rule set, so nothing says whether the battery of main lasts long enough: write one, `rules intruder-grade-2` for example.
        "#]],
    );
}

#[test]
fn rules_that_ask_for_no_time_ask_for_no_battery() {
    check_plan(
        "rules none { standby 0 h }\n",
        "rules none
panel main : P",
        &[BatteryMissing],
        expect![[""]],
    );
}
