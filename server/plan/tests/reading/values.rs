//! Values: what an argument, a unit, a model and a date may be.

use expect_test::expect;

use super::check;
use super::common::{demo, findings_of, path, workspace};

#[test]
fn arguments() {
    check(
        &[
            "model\n",
            "model keypad\n",
            "site \"no name\"\n",
            "use catalog\n",
            "model cable c { cores 2.5, strands seven, conductor 22 }\n",
            "model keypad K { works 12 V, sounds 3 }\n",
            "model keypad K { works 15 V .. 9 V }\n",
            "model keypad K { works .. }\n",
            "model panel P { bus k { addresses 1 .. } }\n",
            "model panel P { revision 4 }\n",
            "model battery b { capacity 7 Ah over 20 h }\n",
            "model keypad K { standby 4 mA extra }\n",
            "model panel P { output aux 13.8 V limit 1 A }\n",
            "model keypad K { sounds all silent }\n",
            "model keypad K { sounds all standby 4 mA }\n",
            "model panel P { bus b { terminal negative 6 positive 7 } }\n",
        ],
        expect![[r#"
            | model
            1:1 missing `model`: `model` needs its kind, as in `model detector RC "Recessed contact" { contact alarm, closed }`

            | model keypad
            1:1 missing `model keypad`: `model` needs its name, as in `model detector RC "Recessed contact" { contact alarm, closed }`

            | site "no name"
            1:6 wrong-kind `"no name"`: a name belongs here, not `"no name"`: write it as in `site harbour "Harbour Street" { … }`

            | use catalog
            1:5 wrong-kind `catalog`: a file's path in quotes belongs here, not `catalog`: write it as in `use "../catalog/merrow.bell"`

            | model cable c { cores 2.5, strands seven, conductor 22 }
            1:23 wrong-kind `2.5`: a whole number belongs here, not `2.5`: write it as in `cores 4`
            1:28 misplaced `strands seven`: `strands seven` is no part of `cores`: write it on a line of its own

            | model keypad K { works 12 V, sounds 3 }
            1:24 wrong-kind `12 V`: a range, with `..` between its ends, belongs here, not `12 V`: write it as in `works 10.2 V .. 14.5 V`
            1:30 misplaced `sounds 3`: `sounds 3` is no part of `works`: write it on a line of its own

            | model keypad K { works 15 V .. 9 V }
            1:24 wrong-kind `15 V .. 9 V`: the range is back to front: write the lower end first

            | model keypad K { works .. }
            1:24 missing `..`: the range has no ends: write it as in `works 10.2 V .. 14.5 V`

            | model panel P { bus k { addresses 1 .. } }
            1:35 missing `1 ..`: both ends of the range are needed: write it as in `addresses 1 .. 15`

            | model panel P { revision 4 }
            1:17 misplaced `revision`: `revision` may not stand in the model of a panel or supply: it belongs in `panel`

            | model battery b { capacity 7 Ah over 20 h }
            1:33 misplaced `over`: a comma is missing before `over`

            | model keypad K { standby 4 mA extra }
            1:31 misplaced `extra`: `extra` is too much here: write it as in `standby 45 mA`

            | model panel P { output aux 13.8 V limit 1 A }
            1:35 misplaced `limit`: a comma is missing before `limit`

            | model keypad K { sounds all silent }
            1:29 misplaced `silent`: a comma is missing before `silent`

            | model keypad K { sounds all standby 4 mA }
            1:29 misplaced `standby`: a line break is missing before `standby`

            | model panel P { bus b { terminal negative 6 positive 7 } }
            1:17 missing `bus b`: `addresses` is missing here, as in `addresses 1 .. 15`
            1:45 wrong-unit `positive`: a comma is missing before `positive`

        "#]],
    );
}

#[test]
fn what_is_called_like_a_word_does_not_stand_for_it() {
    check(
        &[
            "model panel P { inputs 1 .. 4 { loop reads { end 1 kohm } } }\n",
            "model panel P { bus addresses { power aux } }\n",
            "model battery capacity { voltage 12 V }\n",
            "site s { panel p : P { zone 1 input 2 } }\n",
        ],
        expect![[r#"
            | model panel P { inputs 1 .. 4 { loop reads { end 1 kohm } } }
            1:33 missing `loop reads`: `reads` is missing here, as in `reads normal 1.6 kohm .. 2.9 kohm`

            | model panel P { bus addresses { power aux } }
            1:17 missing `bus addresses`: `addresses` is missing here, as in `addresses 1 .. 15`
            1:39 unknown-name `aux`: the model has no output called `aux`. Add an `output`.

            | model battery capacity { voltage 12 V }
            1:1 missing `model battery capacity`: `capacity` is missing here, as in `capacity 7 Ah, over 20 h`

            | site s { panel p : P { zone 1 input 2 } }
            1:20 unknown-name `P`: no panel model is called `P`. Declare it, or `use` the file that does.
            1:24 missing `zone 1 input 2`: `from` is missing here, as in `from rc1 rc2`
            1:31 wrong-unit `input`: a comma is missing before `input`

        "#]],
    );
}

#[test]
fn units() {
    check(
        &[
            "model keypad K { standby 4 m }\n",
            "model keypad K { standby 4 ma }\n",
            "model keypad K { standby 4 }\n",
            "model keypad K { standby 4 parsecs }\n",
            "model keypad K { standby -4 mA }\n",
            "model cable c { conductor 22 V }\n",
            "model panel P { partitions 2 A }\n",
            "site a { ambient 40 °F .. 95 degF }\n",
            "site a { ambient 5 .. 35 °C }\n",
        ],
        expect![[r#"
            | model keypad K { standby 4 m }
            1:26 wrong-unit `4 m`: `4 m` is a length, but a current, a power or a resistance belongs here: write `4 mA`, if that is meant

            | model keypad K { standby 4 ma }
            1:28 wrong-unit `ma`: there is no unit `ma`. Did you mean `mA`?

            | model keypad K { standby 4 }
            1:26 wrong-unit `4`: the unit is missing: `4 mA`, for example

            | model keypad K { standby 4 parsecs }
            1:28 wrong-unit `parsecs`: there is no unit `parsecs`. A current, a power or a resistance is written in mA, for example.

            | model keypad K { standby -4 mA }
            1:26 wrong-kind `-4 mA`: a current cannot be below zero

            | model cable c { conductor 22 V }
            1:27 wrong-unit `22 V`: `22 V` is a voltage, but a wire gauge or a cross-section belongs here: write it in AWG, for example

            | model panel P { partitions 2 A }
            1:30 wrong-unit `A`: a plain number belongs here: take `A` out

            | site a { ambient 40 °F .. 95 degF }

            | site a { ambient 5 .. 35 °C }

        "#]],
    );
}

#[test]
fn models() {
    check(
        &[
            "site a { panel main }\n",
            "site a { panel main : }\n",
            "site a { panel main : A B }\n",
            "site a { panel main : A revision 4 }\n",
            "site a { panel main : A { battery : b fitted 2025-03 } }\n",
            "site a { run r : c doubled { main.1 --1 m-- d } }\n",
            "site a { panel main : \"A\" }\n",
            "site a : B\n",
        ],
        expect![[r#"
            | site a { panel main }
            1:10 missing `panel main`: `panel` needs its model behind a colon, as in `panel main "Stock room" : M8, revision 4.2 { … }`

            | site a { panel main : }
            1:21 missing `:`: the model is missing behind the colon: write it as in `panel main "Stock room" : M8, revision 4.2 { … }`

            | site a { panel main : A B }
            1:25 misplaced `B`: `B` is too much here, or the blank before it is: write it as in `panel main "Stock room" : M8, revision 4.2 { … }`

            | site a { panel main : A revision 4 }
            1:23 unknown-name `A`: no panel model is called `A`. Declare it, or `use` the file that does.
            1:25 misplaced `revision`: a comma is missing before `revision`

            | site a { panel main : A { battery : b fitted 2025-03 } }
            1:23 unknown-name `A`: no panel model is called `A`. Declare it, or `use` the file that does.
            1:37 unknown-name `b`: no battery model is called `b`. Declare it, or `use` the file that does.
            1:39 misplaced `fitted`: a comma is missing before `fitted`

            | site a { run r : c doubled { main.1 --1 m-- d } }
            1:18 unknown-name `c`: no cable model is called `c`. Declare it, or `use` the file that does.
            1:20 misplaced `doubled`: a comma is missing before `doubled`
            1:30 unknown-name `main`: nothing in this site is called `main`. Declare it, or mend the name.
            1:45 unknown-name `d`: nothing in this site is called `d`. Declare it, or mend the name.

            | site a { panel main : "A" }
            1:23 wrong-kind `"A"`: the name of a model belongs here, not `"A"`

            | site a : B
            1:8 syntax `: B`: `site` takes no model: take `: B` out

        "#]],
    );
}

#[test]
fn dates() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a { panel main : M8 { battery : sealed-12V-7Ah, fitted 2025-13 } }\n",
            "use \"../catalog/merrow.bell\"\nsite a { panel main : M8 { battery : sealed-12V-7Ah, fitted 2025 } }\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a { panel main : M8 { battery : sealed-12V-7Ah, fitted 2025-13 } }
            2:38 rules-missing `sealed-12V-7Ah`: the site names no rule set, so nothing says whether the battery of main lasts long enough: write one, `rules intruder-grade-2` for example.
            2:61 wrong-kind `2025-13`: there is no day `2025-13`: write year, month and day, as in `2025-03-14`

            | use "../catalog/merrow.bell"
            | site a { panel main : M8 { battery : sealed-12V-7Ah, fitted 2025 } }
            2:38 rules-missing `sealed-12V-7Ah`: the site names no rule set, so nothing says whether the battery of main lasts long enough: write one, `rules intruder-grade-2` for example.
            2:61 wrong-kind `2025`: a day or a month, the year first, belongs here, not `2025`: write it as in `fitted 2025-03`

        "#]],
    );
}

#[test]
fn an_open_end_of_the_temperature_is_usual_as_far_as_the_other_lets_it() {
    let ends = |ambient: &str| {
        let mut plans = demo();
        let text = format!("site a {{ ambient {ambient} }}\n");
        plans.insert("sites/test.bell".to_string(), text);
        let workspace = workspace(&plans);
        let entry = workspace.view().entry(&path("sites/test.bell")).unwrap();
        let site = entry.evaluations[0].site().unwrap();
        site.coldest().zip(site.warmest())
    };
    assert_eq!(ends("5 °C .."), Some((5.0, 20.0)));
    assert_eq!(ends(".. 35 °C"), Some((20.0, 35.0)));
    assert_eq!(ends(".. 5 °C"), Some((5.0, 5.0)));
    assert_eq!(ends("35 °C .."), Some((35.0, 35.0)));
}

#[test]
fn no_unit_cuts_its_battery_off_at_0_v() {
    check(
        &["model panel P {\n  standby 100 mA\n  alarm 100 mA\n  cutoff 0 V\n}\n"],
        expect![[r#"
            | model panel P {
            |   standby 100 mA
            |   alarm 100 mA
            |   cutoff 0 V
            | }
            4:10 wrong-kind `0 V`: 0 V is none at all: write what the product's sheet says

        "#]],
    );
}

#[test]
fn no_unit_load_is_below_none() {
    check(
        &[
            "model keypad K {\n  unit-load -1\n}\nmodel panel P {\n  bus b {\n    unit-loads -32\n    addresses 1 .. 8\n  }\n}\n",
        ],
        expect![[r#"
            | model keypad K {
            |   unit-load -1
            | }
            | model panel P {
            |   bus b {
            |     unit-loads -32
            |     addresses 1 .. 8
            |   }
            | }
            2:13 wrong-kind `-1`: there is no load of -1: write what the product's sheet says
            6:16 wrong-kind `-32`: there is no load of -32: write what the product's sheet says

        "#]],
    );
}

/// What is computed of them would be no number any longer, and be shown as one.
#[test]
fn amounts_that_nothing_can_have_are_told_and_not_reckoned_with() {
    let (many, few) = ("9".repeat(400), format!("0.{}1 mA", "0".repeat(20)));
    let texts = [
        format!("model keypad K {{ standby {many} mA }}\n"),
        format!("model keypad K {{ works 9 V .. {many} V }}\n"),
        format!("model supply S {{ charger {few} }}\n"),
        format!("rules r {{ ageing {many} }}\n"),
        format!("site s {{ run r : copper-2x22AWG {{ a --{many} m-- b }} }}\n"),
    ];
    let texts = texts.each_ref().map(String::as_str);
    let told: Vec<String> = texts.iter().map(|text| findings_of(text)).collect();
    let ends = [
        "a current cannot be that large: check its digits\n",
        "a voltage cannot be that large: check its digits\n",
        "a current cannot be that small: check its digits\n",
        "a number cannot be that large: check its digits\n",
        "a length cannot be that large: check its digits\n",
    ];
    for (told, end) in told.iter().zip(ends) {
        assert!(told.contains(end), "{told}");
    }
}
