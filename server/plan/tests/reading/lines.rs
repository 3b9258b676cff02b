//! Lines that are not finished, and ways of cables.

use expect_test::expect;

use super::check;

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
