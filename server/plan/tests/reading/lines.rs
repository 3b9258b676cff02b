//! Lines that are not finished, and ways of cables.

use expect_test::expect;

use super::check;
use super::common::findings_of;

#[test]
fn what_may_be_in_a_line_that_cannot_be_read_is_not_missing() {
    for device in [
        "keypad front : K2 { address 1 partition 1 }",
        "keypad front : K2 { address 1; partition 1 }",
        "keypad front : K2; address 1; partition 1",
        "keypad front : K2 [ partition 1 ], address 1",
        "keypad front : K2, addres 1 partition 1",
    ] {
        let found = findings_of(&format!(
            "use \"../catalog/merrow.bell\"
site s {{
  panel main : M8, revision 5.0 {{
    partition 1
    partition 2
    bus keys {{
      {device}
    }}
  }}
  run k : copper-4x22AWG {{ main.keys --10 m-- front }}
}}
"
        ));
        assert_eq!(found.lines().count(), 1, "{device}\n{found}");
    }
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
            1:5 syntax `"../catalog/merrow.bell`: the closing `"` of this text is missing

            | 12 m
            1:1 syntax `12 m`: this line starts with no word that says what it is: begin it with one

            | : K2
            1:1 syntax `: K2`: `:` goes on from the line above: move this up to the end of that

            | model keypad K { standby 4 mA, }
            1:30 misplaced `,`: `,` is no part of `standby`: take it out

            | model keypad K { standby 4 mA
            1:16 syntax `{`: this `{` is not closed on its line: add a `}`, or, if its block has several lines, begin a new line behind it

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
            "site a {\n  run r : copper-2x22AWG {\n    front\n    front --\n    front --12 m--\n    front --12-- back\n    front --12 V-- back\n    front -- back\n    front back\n    front --1 m-- back, doubled\n    --12 m-- back\n    front +\n    front --12 k\n  }\n}\n",
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
            |     front --12 k
            |   }
            | }
            3:5 syntax `front`: the path is not finished: `front --12 m-- NAME`
            4:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            4:5 syntax `front --`: the path is not finished: a length in every leg, a name at every end, as in `main.keys --12 m-- front`
            5:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            5:5 syntax `front --12 m--`: the path is not finished: a length in every leg, a name at every end, as in `main.keys --12 m-- front`
            6:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            6:13 wrong-unit `12`: the unit is missing: `12 m`, for example
            6:18 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            7:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            7:13 wrong-unit `12 V`: `12 V` is a voltage, but a length belongs here: write it in m, for example
            7:20 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            8:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            8:11 missing `--`: the length is missing: `--12 m--`
            8:14 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            9:5 syntax `front back`: the path is not finished: `front --12 m-- back`
            10:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            10:19 unknown-name `back`: nothing in this site is called `back`. Declare it, or mend the name.
            10:25 misplaced `doubled`: a path takes no clauses: put them behind the cable in the `run` line
            11:5 syntax `--12 m-- back`: this path starts nowhere: begin it with the point that it goes on from, as in `front --12 m-- rear`
            12:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            12:5 syntax `front +`: the path is not finished: go on with `--12 m-- NAME`
            13:5 unknown-name `front`: nothing in this site is called `front`. Declare it, or mend the name.
            13:5 syntax `front --12 k`: the path is not finished: a length in every leg, a name at every end, as in `main.keys --12 m-- front`

        "#]],
    );
}

#[test]
fn clauses_that_are_no_part_of_the_line_before_them() {
    check(
        &[
            "model cable c { conductor 22 AWG, cores 4 }\nmodel series s { tolerance 1 %, values 10 22 47 }\n",
            "model keypad K { standby 45 mA, alarm 110 mA, works 9 V .. 15 V, standby 50 mA }\n",
            "model keypad L { contact tamper, closed, setting-address by keys, within 60 s, works 9 V .. 15 V }\n",
            "model detector D {\n  works 9 V .. 15 V, contact alarm, open, standby 12 mA\n  contact tamper, closed\n}\nsite a {\n  rules intruder-grade-2\n  detector d : D\n}\n",
            "use \"../catalog/merrow.bell\"\nsite a {\n  ambient 5 °C .. 35 °C, rules intruder-grade-2\n  panel main : M8 {\n    revision 4.2, partition 1, zone 1, input 1, loop single, from d, partition 1\n  }\n  detector d : RC\n  run z : copper-2x22AWG { main.1 --5 m-- d }\n}\n",
        ],
        expect![[r#"
            | model cable c { conductor 22 AWG, cores 4 }
            | model series s { tolerance 1 %, values 10 22 47 }
            1:35 misplaced `cores 4`: `cores 4` is no part of `conductor`: write it on a line of its own
            2:33 misplaced `values 10 22 47`: `values 10 22 47` is no part of `tolerance`: write it on a line of its own

            | model keypad K { standby 45 mA, alarm 110 mA, works 9 V .. 15 V, standby 50 mA }
            1:33 misplaced `alarm 110 mA`: `alarm 110 mA` is no part of `standby`: write it on a line of its own

            | model keypad L { contact tamper, closed, setting-address by keys, within 60 s, works 9 V .. 15 V }
            1:42 misplaced `setting-address`: `setting-address` may not stand in `contact`: it belongs in the model of a device
            1:80 misplaced `works`: `works` may not stand in `contact`: it belongs in the model of a device

            | model detector D {
            |   works 9 V .. 15 V, contact alarm, open, standby 12 mA
            |   contact tamper, closed
            | }
            | site a {
            |   rules intruder-grade-2
            |   detector d : D
            | }
            2:22 misplaced `contact alarm`: `contact alarm` is no part of `works`: write it on a line of its own
            7:12 not-wired `d`: no cable brings d power: add it to a run from an output, and say how long the cable is.

            | use "../catalog/merrow.bell"
            | site a {
            |   ambient 5 °C .. 35 °C, rules intruder-grade-2
            |   panel main : M8 {
            |     revision 4.2, partition 1, zone 1, input 1, loop single, from d, partition 1
            |   }
            |   detector d : RC
            |   run z : copper-2x22AWG { main.1 --5 m-- d }
            | }
            3:26 misplaced `rules intruder-grade-2`: `rules intruder-grade-2` is no part of `ambient`: write it on a line of its own
            4:9 battery-missing `main`: main has no battery, and intruder-grade-2 asks for 12 h in standby and 15 min of alarm after that. That needs 2.2 Ah. sealed-12V-2-8Ah would do.
            5:19 misplaced `partition 1`: `partition 1` is no part of `revision`: write it on a line of its own

        "#]],
    );
}
