//! Words: which mean something, and where.

use expect_test::expect;

use super::check;

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
fn words_of_the_trade_for_words_of_the_notation() {
    check(
        &[
            "import \"catalog/merrow.bell\"\n",
            "site a { siren s : S15 }\n",
            "model strobe B { alarm 60 mA }\n",
            "site a { thing t }\n",
        ],
        expect![[r#"
            | import "catalog/merrow.bell"
            1:1 unknown-word `import`: `import` means nothing at the top level of a file. Did you mean `use`?

            | site a { siren s : S15 }
            1:10 unknown-word `siren`: `siren` means nothing in `site`. Did you mean `sounder`?

            | model strobe B { alarm 60 mA }
            1:7 unknown-word `strobe`: there is no kind of thing called `strobe`. Did you mean `beacon`?

            | site a { thing t }
            1:10 unknown-word `thing`: `thing` means nothing in `site`. What may stand here: `rules`, `ambient`, `report`, `panel`, `supply`, `keypad`, `expander`, `receiver` and 10 more.

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
            3:3 misplaced `main.keys --12 m-- front`: a cable's path may only stand in the block of a `run`

            | model keypad K { standby 4 mA, address 2 }
            1:32 misplaced `address 2`: `address 2` is no part of `standby`: take it out

            | model detector D { contact alarm, closed { x } }
            1:44 unknown-word `x`: `x` means nothing in `contact`. What may stand here: `closed`, `open` and `resistance`.

        "#]],
    );
}

#[test]
fn counts() {
    check(
        &[
            "model keypad K {\n  standby 4 mA\n  standby 5 mA\n}\n",
            "model cable c {\n  cores 1\n  colours black\n  colours red\n}\n",
            "site a { report northgate }\n",
        ],
        expect![[r#"
            | model keypad K {
            |   standby 4 mA
            |   standby 5 mA
            | }
            3:3 repeated `standby 5 mA`: `standby` may stand here only once: take one out
                2:3 the first one

            | model cable c {
            |   cores 1
            |   colours black
            |   colours red
            | }
            1:13 missing `c`: nothing says what c resists, so neither volts nor loops over it can be worked out: say its `conductor`, or its `resistance`.
            4:3 repeated `colours red`: `colours` may stand here only once: say it all in one, as in `colours black red green yellow`
                3:3 the first one

            | site a { report northgate }
            1:10 missing `report northgate`: `account` is missing here, as in `account 4411`
            1:17 unknown-name `northgate`: no monitoring centre is called `northgate`. Declare it, or `use` the file that does.

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
            2:11 wrong-unit `45 m`: `45 m` is a length, but a current, a power or a resistance belongs here: write `45 mA`, if that is meant
                accepted: asked the maker

            | rules a {
            |   standby 12 A
            |   accept wrong-unit "known"
            | }
            2:11 wrong-unit `12 A`: `12 A` is a current, but a time belongs here: write it in h, for example
                accepted: known

            | monitoring m {
            |   accept battery-old "no battery"
            | }
            2:10 accept-unused `battery-old`: nothing here has `battery-old`: take the `accept` out

        "#]],
    );
}

#[test]
fn an_empty_reason_accepts_nothing() {
    check(
        &[
            "monitoring m {\n  accept syntax \" \"\n}\nsite a {\n  detector d : x, accept unknown-name \"\"\n}\n",
        ],
        expect![[r#"
            | monitoring m {
            |   accept syntax " "
            | }
            | site a {
            |   detector d : x, accept unknown-name ""
            | }
            2:17 missing `" "`: there is nothing between the quotes: write it as in `accept battery-old "Replaced at the next visit"`
            5:16 unknown-name `x`: no detector model is called `x`. Declare it, or `use` the file that does.
            5:39 missing `""`: there is nothing between the quotes: write it as in `accept battery-old "Replaced at the next visit"`

        "#]],
    );
}
