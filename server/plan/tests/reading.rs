//! What is said of plans that cannot be read as they are: the shape of
//! statements, units, names and imports.

mod common;

use common::findings_of;
use expect_test::{Expect, expect};

/// Findings of several texts, each text shown before its own.
fn check(texts: &[&str], expect: Expect) {
    let mut seen = String::new();
    for text in texts {
        for line in text.lines() {
            seen += &format!("| {line}\n");
        }
        seen += &findings_of(text);
        seen += "\n";
    }
    expect.assert_eq(&seen);
}

#[test]
fn words_that_mean_nothing_here() {
    check(
        &[
            "kepyad front : K2\n",
            "site a { panle main : M8 }\n",
            "model keypad K {\n  stanby 4 mA\n}\n",
            "model keypda K { standby 4 mA }\n",
            "model detector D { contact alrm, closed }\n",
        ],
        expect![[r#"
            | kepyad front : K2
            1:1 unknown-word `kepyad`: `kepyad` means nothing at the top level of a file. What may stand here: `use`, `model`, `rules`, `monitoring` and `site`.

            | site a { panle main : M8 }
            1:10 unknown-word `panle`: `panle` means nothing in `site`. Did you mean `panel`?

            | model keypad K {
            |   stanby 4 mA
            | }
            2:3 unknown-word `stanby`: `stanby` means nothing in the model of a device. Did you mean `standby`?

            | model keypda K { standby 4 mA }
            1:7 unknown-word `keypda`: there is no kind of thing called `keypda`. Did you mean `keypad`?

            | model detector D { contact alrm, closed }
            1:28 unknown-word `alrm`: `alrm` means nothing here: write `alarm` or `tamper`. Did you mean `alarm`?

        "#]],
    );
}

#[test]
fn words_in_the_wrong_place() {
    check(
        &[
            "zone 1, input 1, from a\n",
            "site a {\n  address 2\n  main.keys --12 m-- front\n}\n",
            "model keypad K { standby 4 mA, address 2 }\n",
            "model detector D { contact alarm, closed { x } }\n",
        ],
        expect![[r#"
            | zone 1, input 1, from a
            1:1 misplaced `zone`: `zone` may not stand at the top level of a file: it belongs in `panel`

            | site a {
            |   address 2
            |   main.keys --12 m-- front
            | }
            2:3 misplaced `address`: `address` may not stand in `site`: it belongs in a device
            3:3 misplaced `main.keys --12 m-- front`: a cable's route may only stand in the block of a `run`

            | model keypad K { standby 4 mA, address 2 }
            1:32 misplaced `address 2`: `address 2` is no part of `standby`: take it out

            | model detector D { contact alarm, closed { x } }
            1:44 unknown-word `x`: `x` means nothing in `contact`. What may stand here: `closed`, `open` and `resistance`.

        "#]],
    );
}

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
            1:13 missing `c`: the voltages on c cannot be worked out: say its `conductor`, or its `resistance`.
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
            1:26 wrong-unit `4 m`: `4 m` is a length, but a current, a power or a resistance belongs here: write it in mA, for example

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
            "site a { panel main : \"A\" }\n",
            "site a : B\n",
        ],
        expect![[r#"
            | site a { panel main }
            1:10 missing `panel main`: `panel` needs its model behind a colon, as in `panel main "Stock room" : M8, revision 4.2 { … }`

            | site a { panel main : }
            1:21 missing `:`: the model is missing behind the colon: write it as in `panel main "Stock room" : M8, revision 4.2 { … }`

            | site a { panel main : A B }
            1:23 unknown-name `A`: no panel model is called `A`. Declare it, or `use` the file that does.
            1:25 misplaced `B`: `B` is too much here: put a comma before it if it is a clause

            | site a { panel main : "A" }
            1:23 wrong-kind `"A"`: the name of a model belongs here, not `"A"`

            | site a : B
            1:8 misplaced `:`: `site` has no model: write it as in `site harbour "Harbour Street" { … }`

        "#]],
    );
}

#[test]
fn counts() {
    check(
        &[
            "model keypad K {\n  standby 4 mA\n  standby 5 mA\n}\n",
            "site a { report northgate }\n",
        ],
        expect![[r#"
            | model keypad K {
            |   standby 4 mA
            |   standby 5 mA
            | }
            3:3 repeated `standby 5 mA`: `standby` may stand here only once: take one out
                2:3 the first one

            | site a { report northgate }
            1:10 missing `report northgate`: `account` is missing here, as in `account 4411`
            1:17 unknown-name `northgate`: no monitoring centre is called `northgate`. Declare it, or `use` the file that does.

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
fn lines_that_are_not_finished() {
    check(
        &[
            "use \"../catalog/merrow.bell\n",
            "12 m\n",
            ": K2\n",
            "model keypad K { standby 4 mA, }\n",
            "model keypad K { standby 4 mA\n",
            "model keypad K { standby 4 mA } model\n",
            "}\n",
            "site a {\n",
            "@\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell
            1:1 unused `use "../catalog/merrow.bell`: nothing in this file needs `../catalog/merrow.bell`: take the `use` out
            1:5 syntax `"../catalog/merrow.bell`: the closing `"` of this text is missing

            | 12 m
            1:1 syntax `12 m`: this line starts with no word that says what it is: begin it with one

            | : K2
            1:1 syntax `: K2`: this line starts with no word that says what it is: begin it with one

            | model keypad K { standby 4 mA, }
            1:30 misplaced `,`: `,` is no part of `standby`: take it out

            | model keypad K { standby 4 mA
            1:16 syntax `{`: this `{` is never closed: add a `}`

            | model keypad K { standby 4 mA } model
            1:33 syntax `model`: a line break is missing before this: write each statement on a line of its own
            1:33 missing `model`: `model` needs its kind, as in `model detector RC "Recessed contact" { contact alarm, closed }`

            | }
            1:1 syntax `}`: this `}` closes nothing: take it out

            | site a {
            1:8 syntax `{`: this `{` is never closed: add a `}` on a line of its own

            | @
            1:1 syntax `@`: this line starts with no word that says what it is: begin it with one

        "#]],
    );
}

#[test]
fn ways() {
    check(
        &[
            "site a {\n  run r : copper-2x22AWG {\n    front\n    front --\n    front --12 m--\n    front --12-- back\n    front --12 V-- back\n    front -- back\n    front back\n    front --1 m-- back, doubled\n    --12 m-- back\n    front +\n  }\n}\n",
        ],
        expect![[r#"
            | site a {
            |   run r : copper-2x22AWG {
            |     front
            |     front --
            |     front --12 m--
            |     front --12-- back
            |     front --12 V-- back
            |     front -- back
            |     front back
            |     front --1 m-- back, doubled
            |     --12 m-- back
            |     front +
            |   }
            | }
            3:5 syntax `front`: the route of the cable is not finished: `front --12 m-- NAME`
            4:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            4:5 syntax `front --`: the route of the cable is not finished: a length in every leg, a name at every end, as in `main.keys --12 m-- front`
            5:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            5:5 syntax `front --12 m--`: the route of the cable is not finished: a length in every leg, a name at every end, as in `main.keys --12 m-- front`
            6:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            6:13 wrong-unit `12`: the unit is missing: `12 m`, for example
            6:18 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            7:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            7:13 wrong-unit `12 V`: `12 V` is a voltage, but a length belongs here: write it in m, for example
            7:20 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            8:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            8:11 missing `--`: the length is missing: `--12 m--`
            8:14 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            9:5 syntax `front back`: the route of the cable is not finished: `front --12 m-- back`
            10:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            10:19 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            10:25 misplaced `doubled`: a route takes no clauses: put them behind the cable in the `run` line
            11:5 syntax `--12 m-- back`: this line starts with no word that says what it is: begin it with one
            12:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            12:5 syntax `front +`: the route of the cable is not finished: go on with `--12 m-- NAME`

        "#]],
    );
}

#[test]
fn slips_of_the_hand() {
    check(
        &[
            "model panel P { output aux 13,7 V }\n",
            "site a “Stock room” {\n  ambient 5 F .. 35 °C\n}\n",
            "model keypad K {\n  standby 4 amps // typical\n  alarm 2 k\n}\n",
            "site a {\n  run r : copper-2x22AWG {\n    main.keys -10 m- front\n    main.keys –10 m– front\n    main.keys -> front\n    front -12 m-- rear\n    main.keys --10 feet-- front\n  }\n}\n",
            "use \"../catalog/merrow.bell\"\nsite a { panel main : M8 { battery : sealed-12V-7Ah, fitted 01/2026 } }\n",
            "site a { panel main M8 }\n",
            "model keypad K { standby 0,045 A }\nmodel keypad L { standby .045 A / 95 mA }\n",
            "site a {\n  run r : copper-2x22AWG { main.keys --8,5 m-- front }\n}\n",
            "site a {\n  panel main : M8 {\n    zone 1, from a, b, partition 1, 2\n  }\n}\n",
            "site a {\n  panel main : M8; revision 4\n  keypad b : K // by the door\n  run c : copper-2x22AWG\n}\n",
            "rules r { headroom 0.2, standby 12 h }\nmodel cable c { conductor 0.22 mm }\nmodel detector d { standby 2k2 }\n",
            "site a { panel main : M8 { battery : b, fitted 2027-02-30 } }\n",
        ],
        expect![[r#"
            | model panel P { output aux 13,7 V }
            1:28 syntax `13,7 V`: decimals stand behind a point, not a comma: write `13.7 V`

            | site a “Stock room” {
            |   ambient 5 F .. 35 °C
            | }
            1:8 syntax `“`: a text stands in straight quotes, `"…"`
            2:13 wrong-unit `F`: there is no unit `F`. Did you mean `°F`?

            | model keypad K {
            |   standby 4 amps // typical
            |   alarm 2 k
            | }
            2:18 syntax `// typical`: a comment starts with `#`
            3:11 wrong-unit `k`: there is no unit `k`. Did you mean `kohm`?

            | site a {
            |   run r : copper-2x22AWG {
            |     main.keys -10 m- front
            |     main.keys –10 m– front
            |     main.keys -> front
            |     front -12 m-- rear
            |     main.keys --10 feet-- front
            |   }
            | }
            3:5 syntax `main.keys -10 m- front`: this is no route of a cable: a leg is written `--12 m--`, as in `main.keys --12 m-- front`
            4:5 syntax `main.keys –10 m– front`: this is no route of a cable: a leg is written `--12 m--`, as in `main.keys --12 m-- front`
            5:5 syntax `main.keys -> front`: this is no route of a cable: a leg is written `--12 m--`, as in `main.keys --12 m-- front`
            6:5 syntax `front -12 m-- rear`: this is no route of a cable: a leg is written `--12 m--`, as in `front --12 m-- front`
            7:5 unknown-name `main`: nothing in this site is called `main`. Declare it, or mend the name.
            7:20 wrong-unit `feet`: there is no unit `feet`. Did you mean `ft`?
            7:27 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.

            | use "../catalog/merrow.bell"
            | site a { panel main : M8 { battery : sealed-12V-7Ah, fitted 01/2026 } }
            2:38 rules-missing `sealed-12V-7Ah`: the site names no rule set, so nothing says whether the battery of main lasts long enough: write one, `rules intruder-grade-2` for example.
            2:61 syntax `01/2026`: a date is written with hyphens, the year first: `2026-01-31` or `2026-01`

            | site a { panel main M8 }
            1:21 misplaced `M8`: a colon is missing before the model: `: M8`

            | model keypad K { standby 0,045 A }
            | model keypad L { standby .045 A / 95 mA }
            1:26 syntax `0,045 A`: decimals stand behind a point, not a comma: write `0.045 A`
            2:26 syntax `.045 A`: a number starts with a digit: write `0.045 A`

            | site a {
            |   run r : copper-2x22AWG { main.keys --8,5 m-- front }
            | }
            2:28 unknown-name `main`: nothing in this site is called `main`. Declare it, or mend the name.
            2:40 syntax `8,5 m`: decimals stand behind a point, not a comma: write `8.5 m`

            | site a {
            |   panel main : M8 {
            |     zone 1, from a, b, partition 1, 2
            |   }
            | }
            2:16 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.
            3:5 missing `zone 1`: `input` is missing here, as in `input x1.2`
            3:18 unknown-name `a`: nothing in this site is called `a`. Declare it, or mend the name.
            3:19 syntax `, b`: take this comma out: what belongs to `from` stands side by side, without commas
            3:34 partition-unknown `1`: zone 1 is in partition 1, and main has no partitions; add `partition 1` to it.
            3:35 syntax `, 2`: take this comma out: what belongs to `partition` stands side by side, without commas

            | site a {
            |   panel main : M8; revision 4
            |   keypad b : K // by the door
            |   run c : copper-2x22AWG
            | }
            2:16 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.
            2:18 syntax `;`: clauses are parted by commas: write `,` for `;`
            3:14 unknown-name `K`: no keypad model is called `K`. Declare it, or `use` the file that does.
            3:16 syntax `// by the door`: a comment starts with `#`
            4:3 missing `run c : copper-2x22AWG`: this run leads nowhere yet: write its route, `{ main.keys --12 m-- front }` for one

            | rules r { headroom 0.2, standby 12 h }
            | model cable c { conductor 0.22 mm }
            | model detector d { standby 2k2 }
            1:20 wrong-unit `0.2`: the unit is missing: `20 %`, if a share is meant
            1:25 misplaced `standby 12 h`: `standby 12 h` is no part of `headroom`: write it on a line of its own
            2:27 wrong-unit `0.22 mm`: `0.22 mm` is a length, but a wire gauge or a cross-section belongs here: write it in mm2, for example
            3:29 wrong-unit `k2`: write `2.2 kohm`

            | site a { panel main : M8 { battery : b, fitted 2027-02-30 } }
            1:23 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.
            1:38 unknown-name `b`: no battery model is called `b`. Declare it, or `use` the file that does.
            1:48 wrong-kind `2027-02-30`: there is no day `2027-02-30`: write year, month and day, as in `2025-03-14`

        "#]],
    );
}

#[test]
fn names() {
    check(
        &[
            "site a { panel main : M9 }\n",
            "use \"../catalog/merrow.bell\"\nsite a { rules intruder-grade-22 }\n",
            "use \"../catalog/merrow.bell\"\nsite a {\n  panel main : K2 { partition 1, partition 1 }\n}\n",
            "use \"../catalog/merrow.bell\"\nsite a {\n  panel main : M8 { bus kees { keypad front : K2, address 1, sounds loud, reader 3 } }\n  run r : copper-4x22AWG {\n    main --1 m-- front\n    main.ax --1 m-- front\n    main. --1 m-- front\n    main.aux.x --1 m-- frnt\n    front.x --1 m-- front\n    front.1 --1 m-- front\n  }\n}\n",
            "rules a : b\nrules b : a\n",
            "model keypad K { standby 1 mA }\nmodel keypad K { standby 2 mA }\n",
            "model panel P { output aux 12 V, bus k { addresses 1 .. 2, power axu } }\n",
            "site a { detector d : x, accept nonsense \"why\" }\n",
        ],
        expect![[r#"
            | site a { panel main : M9 }
            1:23 unknown-name `M9`: no panel model is called `M9`. Declare it, or `use` the file that does.

            | use "../catalog/merrow.bell"
            | site a { rules intruder-grade-22 }
            2:16 unknown-name `intruder-grade-22`: no rule set is called `intruder-grade-22`. Did you mean `intruder-grade-2`?

            | use "../catalog/merrow.bell"
            | site a {
            |   panel main : K2 { partition 1, partition 1 }
            | }
            3:16 wrong-kind `K2`: `K2` is a keypad, but a panel is needed here: name another model
                5:1 it is declared here
            3:34 misplaced `partition 1`: `partition 1` is no part of `partition`: write it on a line of its own

            | use "../catalog/merrow.bell"
            | site a {
            |   panel main : M8 { bus kees { keypad front : K2, address 1, sounds loud, reader 3 } }
            |   run r : copper-4x22AWG {
            |     main --1 m-- front
            |     main.ax --1 m-- front
            |     main. --1 m-- front
            |     main.aux.x --1 m-- frnt
            |     front.x --1 m-- front
            |     front.1 --1 m-- front
            |   }
            | }
            3:25 unknown-name `kees`: `M8` has no bus called `kees`. It has `keys`.
            3:69 unknown-name `loud`: front cannot sound `loud`: its model has `all`, `chime-off` and `silent`.
            3:75 misplaced `reader 3`: `K2` is no reader besides: take this out, or say `also reader` in the model
            5:5 wrong-kind `main`: which terminals of `main`? It has `main.aux`, `main.siren`, `main.keys` and `main.1`.
            6:10 unknown-name `ax`: `main` has no terminals called `ax`. It has `main.aux`, `main.siren`, `main.keys` and `main.1`.
            7:10 unknown-name ``: which terminals of `main`? It has `main.aux`, `main.siren`, `main.keys` and `main.1`.
            8:14 unknown-name `x`: `main.aux` has nothing called `x`: write `main.aux` alone.
            8:24 unknown-name `frnt`: nothing in this site is called `frnt`. Did you mean `front`?
            9:11 unknown-name `x`: `front` has no terminals called `x`: write `front` alone, or the number of an input.

            | rules a : b
            | rules b : a
            1:11 misplaced `b`: `a` is built on itself: base it on another rule set
            2:11 misplaced `a`: `b` is built on itself: base it on another rule set

            | model keypad K { standby 1 mA }
            | model keypad K { standby 2 mA }
            1:14 name-taken `K`: two models are called `K`: give one of them another name
                2:14 the other one
            2:14 name-taken `K`: two models are called `K`: give one of them another name
                1:14 the other one

            | model panel P { output aux 12 V, bus k { addresses 1 .. 2, power axu } }
            1:34 misplaced `bus`: `bus` may not stand in the output of a model: it belongs in the model of a panel or supply, or in `panel`
            1:42 misplaced `addresses`: `addresses` may not stand in the output of a model: it belongs in the bus of a model

            | site a { detector d : x, accept nonsense "why" }
            1:23 unknown-name `x`: no detector model is called `x`. Declare it, or `use` the file that does.
            1:33 unknown-name `nonsense`: no finding has the code `nonsense`.

        "#]],
    );
}

/// Each is told once, with how it is written here.
#[test]
fn numbers_as_people_write_them_elsewhere() {
    check(
        &[
            "model keypad K { standby 4'700 mA }\n",
            "model keypad K { standby 1,000 mA }\n",
            "model keypad K { standby 0,045 A }\n",
            "model keypad K { works 9-15 V }\n",
            "model keypad K { works 9 V – 15 V }\n",
            "model keypad K { works 9,5 V .. 15 V }\n",
            "model panel P {\n  inputs 1 to 8\n}\n",
            "model keypad K { standby 1/2 A }\n",
            "model panel P { output aux 13.8 V, limit 1 A }\nmodel keypad K { standby 4 mA }\nsite a {\n  panel p : P\n  keypad k : K\n  run r : copper-2x22AWG {\n    p.aux --12.5+3 m-- k\n  }\n}\n",
            "model panel P { output aux 13.8 V, limit 1 A }\nmodel keypad K { standby 4 mA }\nsite a {\n  panel p : P\n  keypad k : K\n  run r : copper-2x22AWG {\n    p.aux --10 m 50 cm-- k\n  }\n}\n",
            "model panel P { output aux 13.8 V, limit 1 A }\nmodel keypad K { standby 4 mA }\nsite a {\n  panel p : P\n  keypad k : K\n  run r : copper-2x22AWG {\n    p.aux --12,5 m-- k\n  }\n}\n",
            "model panel P {\n  output aux 13.8 V, limit 1 A\n  bus b {\n    power aux\n    addresses 1 .. 15\n  }\n}\nmodel keypad K { standby 4 mA }\nsite a {\n  panel p : P {\n    bus b {\n      keypad k : K, address 0x0A\n      keypad l : K, address \"2\"\n    }\n  }\n  run r : copper-4x22AWG { p.b --12 m-- k --1 m-- l }\n}\n",
        ],
        expect![[r#"
            | model keypad K { standby 4'700 mA }
            1:26 syntax `4'700 mA`: nothing stands between the digits of a number: write `4700 mA`

            | model keypad K { standby 1,000 mA }
            1:26 syntax `1,000 mA`: no comma stands in a number: write `1000 mA`, or `1.000 mA` if these are decimals

            | model keypad K { standby 0,045 A }
            1:26 syntax `0,045 A`: decimals stand behind a point, not a comma: write `0.045 A`

            | model keypad K { works 9-15 V }
            1:24 syntax `9-15 V`: a range has `..` between its ends: write `9 .. 15 V`

            | model keypad K { works 9 V – 15 V }
            1:24 syntax `9 V – 15 V`: a range has `..` between its ends: write `9 V .. 15 V`

            | model keypad K { works 9,5 V .. 15 V }
            1:24 syntax `9,5 V .. 15 V`: decimals stand behind a point, not a comma: write `9.5 V .. 15 V`

            | model panel P {
            |   inputs 1 to 8
            | }
            2:10 syntax `1 to 8`: a range has `..` between its ends: write `1 .. 8`

            | model keypad K { standby 1/2 A }
            1:26 wrong-unit `1`: the unit is missing: `1 mA`, for example

            | model panel P { output aux 13.8 V, limit 1 A }
            | model keypad K { standby 4 mA }
            | site a {
            |   panel p : P
            |   keypad k : K
            |   run r : copper-2x22AWG {
            |     p.aux --12.5+3 m-- k
            |   }
            | }
            7:13 syntax `12.5+3 m`: a length is one number: write the sum, `15.5 m`

            | model panel P { output aux 13.8 V, limit 1 A }
            | model keypad K { standby 4 mA }
            | site a {
            |   panel p : P
            |   keypad k : K
            |   run r : copper-2x22AWG {
            |     p.aux --10 m 50 cm-- k
            |   }
            | }
            7:18 syntax `50 cm`: `50 cm` is no part of a cable's route: `main.keys --12 m-- front`

            | model panel P { output aux 13.8 V, limit 1 A }
            | model keypad K { standby 4 mA }
            | site a {
            |   panel p : P
            |   keypad k : K
            |   run r : copper-2x22AWG {
            |     p.aux --12,5 m-- k
            |   }
            | }
            7:13 syntax `12,5 m`: decimals stand behind a point, not a comma: write `12.5 m`

            | model panel P {
            |   output aux 13.8 V, limit 1 A
            |   bus b {
            |     power aux
            |     addresses 1 .. 15
            |   }
            | }
            | model keypad K { standby 4 mA }
            | site a {
            |   panel p : P {
            |     bus b {
            |       keypad k : K, address 0x0A
            |       keypad l : K, address "2"
            |     }
            |   }
            |   run r : copper-4x22AWG { p.b --12 m-- k --1 m-- l }
            | }
            12:29 syntax `0x0A`: numbers are written in decimals: write `10`
            13:29 wrong-kind `"2"`: a whole number belongs here, not `"2"`: write it as in `address 2`

        "#]],
    );
}

#[test]
fn what_is_accepted_in_any_statement() {
    check(
        &[
            "site a {\n  detector d : x { accept unknown-name \"later\" }\n  detector e : x\n}\n",
            "model keypad K {\n  standby 45 m\n  accept wrong-unit \"asked the maker\"\n}\n",
            "rules a {\n  standby 12 A\n  accept wrong-unit \"known\"\n}\n",
            "monitoring m {\n  accept battery-old \"no battery\"\n}\n",
        ],
        expect![[r#"
            | site a {
            |   detector d : x { accept unknown-name "later" }
            |   detector e : x
            | }
            2:16 unknown-name `x`: no detector model is called `x`. Declare it, or `use` the file that does.
                accepted: later
            3:16 unknown-name `x`: no detector model is called `x`. Declare it, or `use` the file that does.

            | model keypad K {
            |   standby 45 m
            |   accept wrong-unit "asked the maker"
            | }
            2:11 wrong-unit `45 m`: `45 m` is a length, but a current, a power or a resistance belongs here: write it in mA, for example
                accepted: asked the maker

            | rules a {
            |   standby 12 A
            |   accept wrong-unit "known"
            | }
            2:11 wrong-unit `12 A`: `12 A` is a current, but a time belongs here: write it in s, for example
                accepted: known

            | monitoring m {
            |   accept battery-old "no battery"
            | }
            2:10 accept-unused `battery-old`: nothing here has `battery-old`: take the `accept` out

        "#]],
    );
}

#[test]
fn imports() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nuse \"../catalog/merrow.bell\"\nsite a { panel main : M8 }\n",
            "use \"nowhere.bell\"\n",
            "use \"test.bell\"\n",
            "use \"../shared/monitoring.bell\"\nsite a { panel main : M8 }\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | use "../catalog/merrow.bell"
            | site a { panel main : M8 }
            2:6 repeated `../catalog/merrow.bell`: `../catalog/merrow.bell` is used twice: take one out
                1:6 the first one

            | use "nowhere.bell"
            1:6 import-missing `nowhere.bell`: there is no file `nowhere.bell`: mend the path, which is seen from this file's folder, or create the file. Until then no name in this file is told as unknown

            | use "test.bell"
            1:1 unused `use "test.bell"`: nothing in this file needs `test.bell`: take the `use` out
            1:6 import-cycle `test.bell`: the file uses itself: take this out

            | use "../shared/monitoring.bell"
            | site a { panel main : M8 }
            2:23 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.

        "#]],
    );
}
