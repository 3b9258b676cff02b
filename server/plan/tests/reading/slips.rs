//! What people write by habit or by a slip of the hand.

use expect_test::expect;

use super::check;

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
            "monitoring m\nsite a {\n  report m account 12\n}\n",
            "model keypad K {\n  standby: 4 mA\n  sounds all, silent\n}\nsite a {\n  panel 'Stock room' : M\n  joint j1 Ceiling void\n}\n",
            "model panel P { bus b, addresses 1 .. 4 }\nmodel keypad K { standby 4 mA }\nsite a {\n  panel p : P {\n    bus b\n    {\n      keypad k : K, adress 1\n      keypad l : K; address 2\n    }\n    bus b {\n      keypad m : K, adress 1\n      keypad n : K; address 2\n    }\n  }\n  run r : copper-4x22AWG { p.b --12 m-- k --1 m-- m --1 m-- n }\n}\n",
            "model keypad K {\n  standby 4 mA; alarm 5 mA;\n  works 9 V .. 15 V; # volts\n}\n",
            "site a {\n  run c : copper-4x0.5mm2 { j --5 m-- k }\n  joint j\n  joint k\n}\n",
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
            3:15 syntax `-10 m-`: a leg is written `--10 m--`
            4:15 syntax `–10 m–`: a leg is written `--10 m--`
            5:5 syntax `main.keys -> front`: this is no path: a leg is written `--12 m--`, as in `main.keys --12 m-- front`
            6:11 syntax `-12 m--`: a leg is written `--12 m--`
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
            4:3 missing `run c : copper-2x22AWG`: this run leads nowhere yet: write its path, `{ main.keys --12 m-- front }` for one

            | rules r { headroom 0.2, standby 12 h }
            | model cable c { conductor 0.22 mm }
            | model detector d { standby 2k2 }
            1:20 wrong-unit `0.2`: the unit is missing: `20 %`, if a share is meant
            1:25 misplaced `standby 12 h`: `standby 12 h` is no part of `headroom`: write it on a line of its own
            2:27 wrong-unit `0.22 mm`: `0.22 mm` is a length, but a wire gauge or a cross-section belongs here: write `0.22 mm2`, or `0.038 mm2` if 0.22 mm is its diameter
            3:29 wrong-unit `k2`: write `2.2 kohm`

            | site a { panel main : M8 { battery : b, fitted 2027-02-30 } }
            1:23 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.
            1:38 unknown-name `b`: no battery model is called `b`. Declare it, or `use` the file that does.
            1:48 wrong-kind `2027-02-30`: there is no day `2027-02-30`: write year, month and day, as in `2025-03-14`

            | monitoring m
            | site a {
            |   report m account 12
            | }
            3:12 misplaced `account`: a comma is missing before `account`

            | model keypad K {
            |   standby: 4 mA
            |   sounds all, silent
            | }
            | site a {
            |   panel 'Stock room' : M
            |   joint j1 Ceiling void
            | }
            2:10 syntax `:`: no colon stands behind `standby`: take it out
            6:9 syntax `'`: a text stands in double quotes, `"…"`
            6:24 unknown-name `M`: no panel model is called `M`. Declare it, or `use` the file that does.
            7:9 unused `j1`: no cable meets in j1: name it in a run, or take it out.
            7:12 syntax `Ceiling void`: a text stands in quotes: write `"Ceiling void"`

            | model panel P { bus b, addresses 1 .. 4 }
            | model keypad K { standby 4 mA }
            | site a {
            |   panel p : P {
            |     bus b
            |     {
            |       keypad k : K, adress 1
            |       keypad l : K; address 2
            |     }
            |     bus b {
            |       keypad m : K, adress 1
            |       keypad n : K; address 2
            |     }
            |   }
            |   run r : copper-4x22AWG { p.b --12 m-- k --1 m-- m --1 m-- n }
            | }
            6:5 syntax `{`: a block opens at the end of the line that it belongs to: move this `{` up
            11:21 unknown-word `adress`: `adress` means nothing in a device. Did you mean `address`?
            12:19 syntax `;`: clauses are parted by commas: write `,` for `;`

            | model keypad K {
            |   standby 4 mA; alarm 5 mA;
            |   works 9 V .. 15 V; # volts
            | }
            2:15 syntax `;`: clauses are parted by commas: write `,` for `;`
            3:20 syntax `;`: a line ends without a mark: take this `;` out

            | site a {
            |   run c : copper-4x0.5mm2 { j --5 m-- k }
            |   joint j
            |   joint k
            | }
            2:11 unknown-name `copper-4x0.5mm2`: no cable model is called `copper-4x0.5mm2`. Did you mean `copper-4x0-5mm2`?

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
            "site a {\n  ambient 5 C° .. 35 C°\n}\n",
            "site a {\n  ambient 5 .. 35 C°\n}\n",
            "site a {\n  ambient 5° .. 35°\n}\n",
            "site a {\n  ambient 5° C .. 35° C\n}\n",
            "model supply S {\n  output out 13.8 V\n  charger 1 A\n}\nsite a {\n  supply s : S { battery : sealed-12V-1,2Ah }\n}\n",
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

            | site a {
            |   ambient 5 C° .. 35 C°
            | }
            2:13 syntax `C°`: the sign of degrees stands before the letter: write `°C`

            | site a {
            |   ambient 5 .. 35 C°
            | }
            2:19 syntax `C°`: the sign of degrees stands before the letter: write `°C`

            | site a {
            |   ambient 5° .. 35°
            | }
            2:12 wrong-unit `°`: there is no unit `°`. Did you mean `°C`?

            | site a {
            |   ambient 5° C .. 35° C
            | }
            2:11 wrong-kind `5°`: a range, with `..` between its ends, belongs here, not `5°`: write it as in `ambient 5 °C .. 35 °C`

            | model supply S {
            |   output out 13.8 V
            |   charger 1 A
            | }
            | site a {
            |   supply s : S { battery : sealed-12V-1,2Ah }
            | }
            6:28 syntax `sealed-12V-1,2Ah`: no comma stands in a name: write `sealed-12V-1-2Ah`

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
            7:18 syntax `50 cm`: `50 cm` is no part of a cable's path: `main.keys --12 m-- front`

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
fn what_cannot_be_the_model_is_told_once() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a {\n  rules grade 2\n  panel main \"Cellar\" 8 { battery 7 Ah, fitted 2025-03 }\n  panel more : M 8 { battery : sealed 12V 7Ah }\n  keypad k : K 2\n  report north gate, account 12\n}\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   rules grade 2
            |   panel main "Cellar" 8 { battery 7 Ah, fitted 2025-03 }
            |   panel more : M 8 { battery : sealed 12V 7Ah }
            |   keypad k : K 2
            |   report north gate, account 12
            | }
            3:15 misplaced `2`: `2` is too much here, or the blank before it is: write it as in `rules intruder-grade-2`
            4:23 wrong-kind `8`: the name of a model belongs here, behind a colon, not `8`: write it as in `panel main "Stock room" : M8, revision 4.2 { … }`
            4:35 wrong-kind `7 Ah`: the name of a model belongs here, behind a colon, not `7 Ah`: write it as in `battery : sealed-12V-7Ah, fitted 2025-03`
            5:18 misplaced `8`: `8` is too much here, or the blank before it is: write it as in `panel main "Stock room" : M8, revision 4.2 { … }`
            5:39 misplaced `12V`: `12V` is too much here, or the blank before it is: write it as in `battery : sealed-12V-7Ah, fitted 2025-03`
            6:16 misplaced `2`: `2` is too much here, or the blank before it is: write it as in `keypad front "Shop door" : K2, address 1, partition 1`
            7:16 misplaced `gate`: `gate` is too much here, or the blank before it is: write it as in `report northgate, account 4411`

        "#]],
    );
}

#[test]
fn a_unit_of_something_else_is_told_with_the_one_that_it_begins() {
    check(
        &[
            "model panel P {\n  standby 5 m\n  charger 5 h\n  battery-max 17 A\n  output aux 13.8 m, limit 3 W\n}\nmodel battery b {\n  life 5 m\n  capacity 7 Ah\n}\nrules r {\n  standby 5 m\n  alarm 15 ohm\n}\n",
            "model keypad K { works 0 V .. 0 V }\nmodel keypad L { works -3 V .. 0 V }\n",
        ],
        expect![[r#"
            | model panel P {
            |   standby 5 m
            |   charger 5 h
            |   battery-max 17 A
            |   output aux 13.8 m, limit 3 W
            | }
            | model battery b {
            |   life 5 m
            |   capacity 7 Ah
            | }
            | rules r {
            |   standby 5 m
            |   alarm 15 ohm
            | }
            2:11 wrong-unit `5 m`: `5 m` is a length, but a current, a power or a resistance belongs here: write `5 mA`, if that is meant
            3:11 wrong-unit `5 h`: `5 h` is a time, but a current belongs here: write it in A, for example
            4:15 wrong-unit `17 A`: `17 A` is a current, but a battery capacity belongs here: write `17 Ah`, if that is meant
            5:14 wrong-unit `13.8 m`: `13.8 m` is a length, but a voltage belongs here: write it in V, for example
            5:28 wrong-unit `3 W`: `3 W` is a power, but a current belongs here: write it in A, for example
            8:8 wrong-unit `5 m`: `5 m` is a length, but a time belongs here: write it in years, for example
            12:11 wrong-unit `5 m`: `5 m` is a length, but a time belongs here: write `5 min`, if that is meant
            13:9 wrong-unit `15 ohm`: `15 ohm` is a resistance, but a time belongs here: write it in min, for example

            | model keypad K { works 0 V .. 0 V }
            | model keypad L { works -3 V .. 0 V }
            1:24 wrong-kind `0 V .. 0 V`: nothing works at 0 V or below: write what the product's sheet says
            2:24 wrong-kind `-3 V`: a voltage cannot be below zero

        "#]],
    );
}

#[test]
fn a_comma_in_the_name_of_a_model_is_told_once() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a {\n  rules intruder-grade-2\n  panel main : M8 { battery : sealed-12V-7,2Ah, fitted 2025-03 }\n}\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2
            |   panel main : M8 { battery : sealed-12V-7,2Ah, fitted 2025-03 }
            | }
            4:31 syntax `sealed-12V-7,2Ah`: no comma stands in a name: write `sealed-12V-7-2Ah`

        "#]],
    );
}

#[test]
fn a_path_that_is_left_out_is_told_as_that_alone() {
    check(
        &["use \"\"\nuse \" \"\nuse \"../catalog/merrow.bell\"\n"],
        expect![[r#"
            | use ""
            | use " "
            | use "../catalog/merrow.bell"
            1:6 import-missing ``: the path is missing: write that of the file to use, as in `use "../catalog/merrow.bell"`
            2:6 import-missing ` `: the path is missing: write that of the file to use, as in `use "../catalog/merrow.bell"`

        "#]],
    );
}

#[test]
fn a_line_that_is_broken_before_a_mark_is_told_once() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a {\n  rules intruder-grade-2\n  panel main\n    : M8, revision 5 {\n    partition 1\n    bus keys {\n      keypad k : K2\n        , address 1\n    }\n  }\n  detector d \"Hall\" # by the door\n    : P5\n}\n",
            "model keypad K\n  : K2\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2
            |   panel main
            |     : M8, revision 5 {
            |     partition 1
            |     bus keys {
            |       keypad k : K2
            |         , address 1
            |     }
            |   }
            |   detector d "Hall" # by the door
            |     : P5
            | }
            1:1 unused `use "../catalog/merrow.bell"`: nothing in this file needs `../catalog/merrow.bell`: take the `use` out
            5:5 syntax `: M8`: `:` goes on from the line above: move this up to the end of that
            13:5 syntax `: P5`: `:` goes on from the line above: move this up to the end of that

            | model keypad K
            |   : K2
            2:3 syntax `: K2`: `:` goes on from the line above: move this up to the end of that

        "#]],
    );
}

#[test]
fn a_block_below_its_panel_is_told_once() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a {\n  rules intruder-grade-2\n  panel main : M8\n  {\n    battery : sealed-12V-7Ah\n    partition 1\n    zone 1, input 1, from d, partition 1, loop double\n    bus keys { keypad k : K2, address 1 }\n  }\n  keypad l : K2, partition 1\n  detector d : RC\n  run r : copper-4x22AWG {\n    main.keys --5 m-- k\n    main.1 --5 m-- d\n  }\n}\n",
            "site a\n{\n  rules intruder-grade-2\n}\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2
            |   panel main : M8
            |   {
            |     battery : sealed-12V-7Ah
            |     partition 1
            |     zone 1, input 1, from d, partition 1, loop double
            |     bus keys { keypad k : K2, address 1 }
            |   }
            |   keypad l : K2, partition 1
            |   detector d : RC
            |   run r : copper-4x22AWG {
            |     main.keys --5 m-- k
            |     main.1 --5 m-- d
            |   }
            | }
            5:3 syntax `{`: a block opens at the end of the line that it belongs to: move this `{` up

            | site a
            | {
            |   rules intruder-grade-2
            | }
            2:1 syntax `{`: a block opens at the end of the line that it belongs to: move this `{` up

        "#]],
    );
}

#[test]
fn what_runs_on_behind_a_clause_is_told_once() {
    let plan = |device: &str, zone: &str| {
        format!(
            "model keypad K
model detector D, contact alarm
model cable c {{ resistance 50 ohm/km }}
model panel P {{
  bus k {{ addresses 1 .. 8 }}
  inputs 1 .. 4 {{
    loop single {{
      end 1 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads alarm 4 kohm ..
    }}
    loop double {{
      end 1 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads alarm 4 kohm ..
    }}
  }}
}}
site s {{
  panel p : P {{
    partition 1
    partition 2
    bus k {{
      {device}
    }}
    {zone}
  }}
  detector d : D
  run r : c {{ p.k --1 m-- front }}
  run z : c {{ p.1 --1 m-- d }}
}}
"
        )
    };
    let device = "keypad front : K, address 1, partition 1";
    let zone = "zone 1, input 1, from d, partition 1, loop double";
    let plans = [
        plan("keypad front : K, address 1 partition 1", zone),
        plan("keypad front : K, partition 1 address 1", zone),
        plan("keypad front : K {\n address 1 partition 1\n }", zone),
        plan(device, "zone 1 input 1, from d, partition 1, loop double"),
        plan(device, "zone 1, input 1 from d, partition 1, loop double"),
        plan(device, "zone 1, input 1, from d loop double, partition 1"),
        plan(device, "zone 1, input 1, from d, partition 1 loop double"),
    ];
    let told = plans.map(|plan| super::findings_of(&plan));
    expect![[r#"
        26:35 wrong-unit `partition`: a comma is missing before `partition`
        26:37 wrong-unit `address`: a comma is missing before `address`
        27:12 wrong-unit `partition`: a line break is missing before `partition`
        28:12 wrong-unit `input`: a comma is missing before `input`
        28:21 wrong-unit `from`: a comma is missing before `from`
        28:29 misplaced `loop`: a comma is missing before `loop`
        28:42 wrong-unit `loop`: a comma is missing before `loop`
    "#]]
    .assert_eq(&told.concat());
}

/// The comma is one slip, whatever follows from it.
#[test]
fn a_comma_before_a_model_is_told_once() {
    check(
        &[
            "model detector P5, contact alarm\nsite a {\n  detector d, P5\n  detector e \"Shop floor\", P5, partition 1\n  run r, copper-2x22AWG { d --1 m-- e }\n  run q, copper-2x22AWG {\n    d --1 m-- e\n  }\n}\n",
            "site a {\n  detector d, adress\n  detector e, partition\n  detector f, P5 2\n  panel main, revision\n}\n",
        ],
        expect![[r#"
            | model detector P5, contact alarm
            | site a {
            |   detector d, P5
            |   detector e "Shop floor", P5, partition 1
            |   run r, copper-2x22AWG { d --1 m-- e }
            |   run q, copper-2x22AWG {
            |     d --1 m-- e
            |   }
            | }
            1:16 unused `P5`: nothing uses the model `P5`
            3:13 syntax `, P5`: a model stands behind a colon: write `: P5`
            4:26 syntax `, P5`: a model stands behind a colon: write `: P5`
            5:8 syntax `, copper-2x22AWG`: a model stands behind a colon: write `: copper-2x22AWG`
            6:8 syntax `, copper-2x22AWG`: a model stands behind a colon: write `: copper-2x22AWG`

            | site a {
            |   detector d, adress
            |   detector e, partition
            |   detector f, P5 2
            |   panel main, revision
            | }
            2:3 missing `detector d`: `detector` needs its model behind a colon, as in `detector pir1 "Shop floor" : P5`
            2:15 unknown-word `adress`: `adress` means nothing in a device. Did you mean `address`?
            3:3 missing `detector e`: `detector` needs its model behind a colon, as in `detector pir1 "Shop floor" : P5`
            3:15 missing `partition`: `partition` needs its number, as in `partition 2`
            4:3 missing `detector f`: `detector` needs its model behind a colon, as in `detector pir1 "Shop floor" : P5`
            4:15 unknown-word `P5`: `P5` means nothing in a device. What may stand here: `address`, `partition`, `sounds`, `receiver`, `reader`, `expander`, `relay`, `note` and 1 more.
            5:3 missing `panel main`: `panel` needs its model behind a colon, as in `panel main "Stock room" : M8, revision 4.2 { … }`
            5:15 missing `revision`: `revision` needs its revision, as in `revision 4.2`

        "#]],
    );
}

#[test]
fn a_leg_that_is_not_written_as_one_is_told_where_it_is() {
    check(
        &[
            "site a {\n  run r : copper-2x22AWG {\n    m.d --10 m-- k -20 m- l\n    m.d --10 k --20 m-- l\n    m.d --10 ft k --20 m-- l\n    m.d -10 m- k-1 —20 m— l-2\n  }\n}\n",
        ],
        expect![[r#"
            | site a {
            |   run r : copper-2x22AWG {
            |     m.d --10 m-- k -20 m- l
            |     m.d --10 k --20 m-- l
            |     m.d --10 ft k --20 m-- l
            |     m.d -10 m- k-1 —20 m— l-2
            |   }
            | }
            3:5 unknown-name `m`: nothing in this site is called `m`. Declare it, or mend the name.
            3:18 unknown-name `k`: nothing in this site is called `k`. Declare it, or mend the name.
            3:20 syntax `-20 m-`: a leg is written `--20 m--`
            3:27 unknown-name `l`: nothing in this site is called `l`. Declare it, or mend the name.
            4:5 unknown-name `m`: nothing in this site is called `m`. Declare it, or mend the name.
            4:9 syntax `--10`: this leg does not end: write `--10 m--`
            4:25 unknown-name `l`: nothing in this site is called `l`. Declare it, or mend the name.
            5:5 unknown-name `m`: nothing in this site is called `m`. Declare it, or mend the name.
            5:9 syntax `--10 ft`: this leg does not end: write `--10 ft--`
            5:17 unknown-name `k`: nothing in this site is called `k`. Declare it, or mend the name.
            5:28 unknown-name `l`: nothing in this site is called `l`. Declare it, or mend the name.
            6:9 syntax `-10 m-`: a leg is written `--10 m--`

        "#]],
    );
}

#[test]
fn points_of_one_place_without_a_plus_between_are_told_once() {
    check(
        &[
            "site a {\n  run r : copper-6x22AWG {\n    main.aux main.2 --9 m-- p\n    main.aux & x1.1 --9 m-- p --2 m-- q\n    main.aux, main-2.s, main.3 --9 m-- p\n    main.aux and main.2 --9 m-- p\n    main.aux front --9 m-- p\n  }\n}\n",
        ],
        expect![[r#"
            | site a {
            |   run r : copper-6x22AWG {
            |     main.aux main.2 --9 m-- p
            |     main.aux & x1.1 --9 m-- p --2 m-- q
            |     main.aux, main-2.s, main.3 --9 m-- p
            |     main.aux and main.2 --9 m-- p
            |     main.aux front --9 m-- p
            |   }
            | }
            3:5 syntax `main.aux main.2`: what one cable starts at has a plus between: write `main.aux + main.2`
            4:5 syntax `main.aux & x1.1`: what one cable starts at has a plus between: write `main.aux + x1.1`
            5:5 syntax `main.aux, main-2.s, main.3`: what one cable starts at has a plus between: write `main.aux + main-2.s + main.3`
            6:5 syntax `main.aux and main.2`: what one cable starts at has a plus between: write `main.aux + main.2`
            7:5 syntax `main.aux front --9 m-- p`: this is no path: a leg is written `--12 m--`, as in `main.aux --12 m-- front`

        "#]],
    );
}

#[test]
fn a_number_without_a_unit_gets_the_one_that_belongs_to_its_size() {
    check(
        &[
            "rules r {\n  standby 8\n  alarm 30\n  recharge 72\n}\n",
            "model cable c { conductor 22 }\nmodel cable d { conductor 0.5 }\n",
            "model battery b {\n  capacity 7000\n  life 4\n}\nmodel panel P { output o 13.8 V, limit 3 }\n",
        ],
        expect![[r#"
            | rules r {
            |   standby 8
            |   alarm 30
            |   recharge 72
            | }
            2:11 wrong-unit `8`: the unit is missing: `8 h`, for example
            3:9 wrong-unit `30`: the unit is missing: `30 min`, for example
            4:12 wrong-unit `72`: the unit is missing: `72 h`, for example

            | model cable c { conductor 22 }
            | model cable d { conductor 0.5 }
            1:27 wrong-unit `22`: the unit is missing: `22 AWG`, for example
            2:27 wrong-unit `0.5`: the unit is missing: `0.5 mm²`, for example

            | model battery b {
            |   capacity 7000
            |   life 4
            | }
            | model panel P { output o 13.8 V, limit 3 }
            2:12 wrong-unit `7000`: the unit is missing: `7000 mAh`, for example
            3:8 wrong-unit `4`: the unit is missing: `4 years`, for example
            5:40 wrong-unit `3`: the unit is missing: `3 A`, for example

        "#]],
    );
}

#[test]
fn marks_between_values_are_told_once() {
    check(
        &[
            "model cable c {\n  conductor 22 AWG\n  colours red, blue, green\n}\n",
            "model panel P {\n  bus b {\n    addresses 0...7\n    layout ring, chain\n  }\n  bus c { addresses 0 ... 7 }\n  bus d { addresses 0 … 7 }\n}\n",
            "model panel P {\n  bus b { addresses 1, 8 }\n}\nmodel keypad K {\n  standby 4 mA\n  works 9 V, 15 V\n}\nsite a {\n  ambient 0 °C, 40 °C\n}\n",
            "model detector D {\n  contact alarm, open, closed\n  setting-address by switches, bits 4, low-first, high-first\n}\n",
            "site a {\n  panel main = M8, revision 4 {\n    battery = b\n  }\n  joint j \"Void\" : J { resistance 1 ohm }\n}\n",
        ],
        expect![[r#"
            | model cable c {
            |   conductor 22 AWG
            |   colours red, blue, green
            | }
            3:14 syntax `, blue`: take this comma out: what belongs to `colours` stands side by side, without commas
            3:20 syntax `, green`: take this comma out: what belongs to `colours` stands side by side, without commas

            | model panel P {
            |   bus b {
            |     addresses 0...7
            |     layout ring, chain
            |   }
            |   bus c { addresses 0 ... 7 }
            |   bus d { addresses 0 … 7 }
            | }
            3:15 syntax `0...7`: a range has `..` between its ends: write `0 .. 7`
            4:16 syntax `, chain`: take this comma out: what belongs to `layout` stands side by side, without commas
            6:21 syntax `0 ... 7`: a range has `..` between its ends: write `0 .. 7`
            7:21 syntax `0 … 7`: a range has `..` between its ends: write `0 .. 7`

            | model panel P {
            |   bus b { addresses 1, 8 }
            | }
            | model keypad K {
            |   standby 4 mA
            |   works 9 V, 15 V
            | }
            | site a {
            |   ambient 0 °C, 40 °C
            | }
            1:13 unused `P`: nothing uses the model `P`
            2:21 syntax `1, 8`: a range has `..` between its ends: write `1 .. 8`
            4:14 unused `K`: nothing uses the model `K`
            6:9 syntax `9 V, 15 V`: a range has `..` between its ends: write `9 V .. 15 V`
            9:11 syntax `0 °C, 40 °C`: a range has `..` between its ends: write `0 °C .. 40 °C`

            | model detector D {
            |   contact alarm, open, closed
            |   setting-address by switches, bits 4, low-first, high-first
            | }
            2:24 repeated `closed`: `closed` contradicts `open`: take one of the two out
                2:18 the other one
            3:51 repeated `high-first`: `high-first` contradicts `low-first`: take one of the two out
                3:40 the other one

            | site a {
            |   panel main = M8, revision 4 {
            |     battery = b
            |   }
            |   joint j "Void" : J { resistance 1 ohm }
            | }
            2:14 syntax `= M8`: a model stands behind a colon: write `: M8`
            3:13 syntax `= b`: a model stands behind a colon: write `: b`
            5:9 unused `j`: no cable meets in j: name it in a run, or take it out.
            5:18 syntax `: J`: `joint` takes no model: take `: J` out

        "#]],
    );
}
