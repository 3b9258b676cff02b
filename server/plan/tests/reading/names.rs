//! Names, and the files that they come from.

use expect_test::expect;

use super::check;
use super::common::{demo, findings_of, path, workspace};

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
            "site a { expander x : E8 }\n",
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
            3:44 name-taken `1`: there are two partitions 1: give this one another number
                3:31 the other one

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
            10:5 input-missing `front.1`: there is no front.1: front has no inputs.

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
            1:66 unknown-name `axu`: the model has no output called `axu`. Did you mean `aux`?

            | site a { detector d : x, accept nonsense "why" }
            1:23 unknown-name `x`: no detector model is called `x`. Declare it, or `use` the file that does.
            1:33 unknown-name `nonsense`: no finding has the code `nonsense`. `bellwire explain` lists them.

            | site a { expander x : E8 }
            1:23 unknown-name `E8`: no expander model is called `E8`. Declare it, or `use` the file that does.

        "#]],
    );
}

#[test]
fn imports() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nuse \"../catalog/merrow.bell\"\nsite a { panel main : M8 }\n",
            "use \"nowhere.bell\"\n",
            "use \"nowhere\"\nuse \"..\\nowhere.bell\"\n",
            "use \"\"\n",
            "use \"../shared/monitoring.bell\"\n",
            "use \"../shared/monitoring.bell\"\nsite a {\n}\n",
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

            | use "nowhere"
            | use "..\nowhere.bell"
            1:6 import-missing `nowhere`: there is no file `nowhere`: write its whole name, which ends in `.bell`. Until then no name in this file is told as unknown
            2:6 import-missing `..\nowhere.bell`: there is no file `..\nowhere.bell`: write `/` between the folders of its path. Until then no name in this file is told as unknown

            | use ""
            1:6 import-missing ``: the path is missing: write that of the file to use, as in `use "../catalog/merrow.bell"`

            | use "../shared/monitoring.bell"

            | use "../shared/monitoring.bell"
            | site a {
            | }
            1:1 unused `use "../shared/monitoring.bell"`: nothing in this file needs `../shared/monitoring.bell`: take the `use` out

            | use "test.bell"
            1:6 import-cycle `test.bell`: the file uses itself: take this out

            | use "../shared/monitoring.bell"
            | site a { panel main : M8 }
            2:23 unknown-name `M8`: no panel model is called `M8`. Declare it, or `use` the file that does.

        "#]],
    );
}

#[test]
fn of_very_many_unknown_names_only_the_first_are_compared() {
    let paths = "    main.aux --1 m-- frnt\n".repeat(300);
    let text = format!(
        "use \"../catalog/merrow.bell\"
site a {{
  panel main : M8
  detector front : P5
  run r : copper-2x22AWG {{
{paths}  }}
}}
"
    );
    let found = findings_of(&text);
    let of = |said: &str| found.lines().filter(|line| line.ends_with(said)).count();
    assert_eq!(of("`frnt`. Did you mean `front`?"), 256);
    assert_eq!(of("`frnt`. Declare it, or mend the name."), 44);
}

#[test]
fn a_loop_of_a_model_that_says_none_is_told_once() {
    let plan = |inputs: &str, rules: &str| {
        format!(
            "\
model panel M {{ {inputs} }}
model detector C {{ contact alarm, closed }}
site s {{{rules}
  panel p : M {{ zone 1, input 1, from c, loop single }}
  detector c : C
  run r : copper-2x22AWG {{ p.1 --1 m-- c }}
}}
"
        )
    };
    let plans = [
        plan("inputs 1 .. 4", ""),
        plan("inputs 1 .. 4", "\n  rules intruder-grade-2"),
        plan(
            "inputs 1 .. 4 { loop { reads normal 0 ohm .. 1 kohm } }",
            "",
        ),
    ];
    let plans = plans.each_ref().map(String::as_str);
    check(
        &plans,
        expect![[r#"
            | model panel M { inputs 1 .. 4 }
            | model detector C { contact alarm, closed }
            | site s {
            |   panel p : M { zone 1, input 1, from c, loop single }
            |   detector c : C
            |   run r : copper-2x22AWG { p.1 --1 m-- c }
            | }
            4:47 unknown-name `single`: the input cannot read a loop `single`: its model says none.

            | model panel M { inputs 1 .. 4 }
            | model detector C { contact alarm, closed }
            | site s {
            |   rules intruder-grade-2
            |   panel p : M { zone 1, input 1, from c, loop single }
            |   detector c : C
            |   run r : copper-2x22AWG { p.1 --1 m-- c }
            | }
            5:9 battery-missing `p`: p takes no battery, and intruder-grade-2 asks for 12 h in standby and 15 min of alarm after that: use a model with a charger, or feed what hangs on it from one.
            5:9 unchecked `p`: what p itself draws is in no battery sum: say in the model M its `standby`.
                1:13 the model
            5:47 unknown-name `single`: the input cannot read a loop `single`: its model says none.

            | model panel M { inputs 1 .. 4 { loop { reads normal 0 ohm .. 1 kohm } } }
            | model detector C { contact alarm, closed }
            | site s {
            |   panel p : M { zone 1, input 1, from c, loop single }
            |   detector c : C
            |   run r : copper-2x22AWG { p.1 --1 m-- c }
            | }
            1:33 missing `loop`: `loop` needs its name, as in `loop single { end 2.2 kohm }`

        "#]],
    );
}

#[test]
fn a_detector_that_a_loop_passes_twice_is_told_and_counts_once() {
    check(
        &["\
use \"../catalog/merrow.bell\"
site a {
  panel main : M8 {
    partition 1
    zone 1, input 1, from c d c, partition 1, loop double
  }
  detector c : RC
  detector d : RC
  run r : copper-2x22AWG { main.1 --10 m-- c --10 m-- d }
}
"],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   panel main : M8 {
            |     partition 1
            |     zone 1, input 1, from c d c, partition 1, loop double
            |   }
            |   detector c : RC
            |   detector d : RC
            |   run r : copper-2x22AWG { main.1 --10 m-- c --10 m-- d }
            | }
            5:31 repeated `c`: the loop runs through c twice: take one out
                5:27 the first one

        "#]],
    );
}

#[test]
fn a_sites_own_rules_are_known_by_the_values_that_they_give() {
    let site = |rules: &str| {
        format!(
            "use \"../catalog/merrow.bell\"\nsite a {{\n  {rules}\n  panel main : M8 {{\n    battery : sealed-12V-1-2Ah\n  }}\n}}\n"
        )
    };
    let sites = [
        "rules intruder-grade-2, note \"agreed with the insurer\"",
        "rules intruder-grade-2 {\n    note \"agreed with the insurer\"\n  }",
        "rules intruder-grade-2, standby 96 h",
        "rules intruder-grade-2 {\n    standby 96 h\n  }",
        "rules intruder-grade-2, stanby 96 h",
        "rules intruder-grade-2,",
        "rules own : intruder-grade-2, standby 96 h",
        "rules own, standby 96 h",
        "rules own {\n  }",
    ];
    let sites = sites.map(site);
    check(
        &sites.each_ref().map(String::as_str),
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2, note "agreed with the insurer"
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            5:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; intruder-grade-2 asks for 12 h in standby and 15 min of alarm after that. That needs 1.84 Ah, and 1.2 Ah are fitted. sealed-12V-2-1Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2 {
            |     note "agreed with the insurer"
            |   }
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            7:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; intruder-grade-2 asks for 12 h in standby and 15 min of alarm after that. That needs 1.84 Ah, and 1.2 Ah are fitted. sealed-12V-2-1Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2, standby 96 h
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            3:9 name-taken `intruder-grade-2`: `intruder-grade-2` is a rule set that others have too: give what this site changes a name of its own, as in `rules own : intruder-grade-2`.
                8:1 the other one
            5:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; intruder-grade-2 asks for 96 h in standby and 15 min of alarm after that. That needs 14 Ah, and 1.2 Ah are fitted. sealed-12V-17Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2 {
            |     standby 96 h
            |   }
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            3:9 name-taken `intruder-grade-2`: `intruder-grade-2` is a rule set that others have too: give what this site changes a name of its own, as in `rules own : intruder-grade-2`.
                10:1 the other one
            7:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; intruder-grade-2 asks for 96 h in standby and 15 min of alarm after that. That needs 14 Ah, and 1.2 Ah are fitted. sealed-12V-17Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2, stanby 96 h
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            3:27 unknown-word `stanby`: `stanby` means nothing in `rules`. Did you mean `standby`?

            | use "../catalog/merrow.bell"
            | site a {
            |   rules intruder-grade-2,
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            3:25 syntax `,`: something is missing behind this comma: a clause, or take the comma out
            5:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; intruder-grade-2 asks for 12 h in standby and 15 min of alarm after that. That needs 1.84 Ah, and 1.2 Ah are fitted. sealed-12V-2-1Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules own : intruder-grade-2, standby 96 h
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            5:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.33 h in standby; own asks for 96 h in standby and 15 min of alarm after that. That needs 14 Ah, and 1.2 Ah are fitted. sealed-12V-17Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules own, standby 96 h
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            5:15 battery-short `sealed-12V-1-2Ah`: the battery of main lasts 7.73 h in standby; own asks for 96 h in standby. That needs 13.9 Ah, and 1.2 Ah are fitted. sealed-12V-17Ah would do.

            | use "../catalog/merrow.bell"
            | site a {
            |   rules own {
            |   }
            |   panel main : M8 {
            |     battery : sealed-12V-1-2Ah
            |   }
            | }
            3:9 unknown-name `own`: no rule set is called `own`. Declare it, or `use` the file that does.

        "#]],
    );
}

#[test]
fn a_device_above_its_panel_names_its_partitions() {
    let text = "\
use \"../catalog/merrow.bell\"
site a {
  keypad k : K2, partition 2
  panel main : M8 {
    partition 1
    partition 2
  }
}
";
    let mut plans = demo();
    plans.insert("sites/test.bell".to_string(), text.to_string());
    let workspace = workspace(&plans);
    let entry = workspace.view().entry(&path("sites/test.bell")).unwrap();
    let evaluations = entry.evaluations.iter();
    let mut all = evaluations.flat_map(|of| of.occurrences().to_vec());
    let number = text.find("2\n  panel").unwrap() - text.find("site").unwrap();
    let found = all.find(|name| name.span.start as usize == number);
    assert_eq!(found.unwrap().target.text(), "2");
}

#[test]
fn what_a_partition_with_the_number_of_another_is_meant_for_is_not_told_too() {
    check(
        &[
            "use \"../catalog/merrow.bell\"\nsite a {\n  panel main : M8, revision 5.0 {\n    partition 1\n    partition 1\n    bus keys { keypad k : K2, address 1, partition 2 }\n  }\n  run r : copper-4x22AWG { main.keys --1 m-- k }\n}\n",
        ],
        expect![[r#"
            | use "../catalog/merrow.bell"
            | site a {
            |   panel main : M8, revision 5.0 {
            |     partition 1
            |     partition 1
            |     bus keys { keypad k : K2, address 1, partition 2 }
            |   }
            |   run r : copper-4x22AWG { main.keys --1 m-- k }
            | }
            5:15 name-taken `1`: there are two partitions 1: give this one another number
                4:15 the other one

        "#]],
    );
}
