//! What follows from a slip in a site is not told beside it.

use super::common::findings_of;

/// Models for a site with nothing wrong in it.
const MODELS: &str = "\
model panel P {
  standby 90 mA
  output aux 13.8 V
  output bell 13.8 V, in alarm
  bus b {
    power aux
    addresses 1 .. 8
    capacitance 90 nF
  }
  inputs 1 .. 4 {
    loop single {
      end 1 kohm
      reads normal 0.5 kohm .. 2 kohm
      reads open 5 kohm ..
      reads short 0 ohm .. 0.3 kohm
    }
  }
}
model keypad K, standby 45 mA, works 9 V .. 15 V
model detector C { contact alarm, closed }
model sounder B, alarm 300 mA, works 9 V .. 15 V
model cable c4 {
  cores 4
  conductor 22 AWG
  capacitance 100 pF/m
}
model cable c2, conductor 18 AWG
rules any { source \"house rule\" }
site s {
  rules any
";

/// What is found in a site, but for models that it does without.
fn told(site: &str) -> Vec<String> {
    let found = findings_of(&format!("{MODELS}{site}}}\n"));
    let lines = found.lines().filter(|line| !line.starts_with(' '));
    let lines = lines.filter(|line| !line.contains(" unused "));
    lines
        .filter_map(|line| Some(line.split_once(' ')?.1.to_string()))
        .collect()
}

#[test]
fn a_zone_that_is_not_read_whole_may_have_any_detector() {
    let site = |zone: &str| {
        format!(
            "  panel p : P {{
    bus b {{ keypad k : K, address 1, partition 1 }}
    partition 1
    {zone}
  }}
  detector d : C
  detector e : C
  run r : c4 {{ p.b --9 m-- k }}
  run z : c2 {{ p.1 --9 m-- d --9 m-- e }}
"
        )
    };
    assert_eq!(
        told(&site("zone 1, input 1, from d e, partition 1")),
        [""; 0]
    );
    for (zone, only) in [
        ("zone 1, input 1, from d, e, partition 1", "syntax `, e`"),
        ("zone 1, input 1, partition 1", "missing `zone 1`"),
        ("zone 1, input 1, from k, partition 1", "wrong-kind `k`"),
    ] {
        let told = told(&site(zone));
        assert!(told.len() == 1 && told[0].starts_with(only), "{told:?}");
    }
}

#[test]
fn a_device_whose_name_another_has_is_not_told_as_not_wired() {
    let told = told(
        "  panel p : P { bus b { keypad k : K, address 1 } }
  keypad k : K
  run r : c4 { p.b --9 m-- k }
",
    );
    assert_eq!(
        told,
        ["name-taken `k`: two things are called `k`: give this one another name"]
    );
}

#[test]
fn what_a_run_carries_is_not_known_from_a_word_that_means_nothing() {
    let told = told(
        "  panel p : P { bus b { keypad k : K, address 1 } }
  run r : c4, carries power { p.b --9 m-- k }
",
    );
    assert_eq!(
        told,
        ["unknown-word `power`: `power` means nothing here: write `data`."]
    );
}

#[test]
fn a_cable_from_something_unknown_is_not_taken_for_one_of_the_bus() {
    let told = told(
        "  panel p : P { bus b { keypad k : K, address 1 } }
  run d : c4, carries data { p.b --9 m-- k }
  run s : c2 { psu.out --9 m-- k }
",
    );
    assert_eq!(
        told,
        ["unknown-name `psu`: nothing in this site is called `psu`. Declare it, or mend the name."]
    );
}

#[test]
fn a_name_with_a_point_in_it_is_none_and_is_not_proposed() {
    let told = told(
        "  panel p : P {
    partition 1
    zone 1, input 1, from d1, partition 1
  }
  detector d.1 : C
  run z : c2 { p.1 --9 m-- d1 }
",
    );
    assert_eq!(
        told,
        [
            "wrong-kind `d.1`: a name belongs here, not `d.1`: write it as in `detector pir1 \"Shop floor\" : P5`"
        ]
    );
}

#[test]
fn an_input_that_is_not_there_is_told_once_at_the_zone_or_in_the_run() {
    let site = |zone: &str, run: &str| {
        told(&format!(
            "  panel p : P {{
    partition 1
    zone 1, input {zone}, from d, partition 1
  }}
  detector d : C
  run z : c2 {{ p.{run} --9 m-- d }}
"
        ))
    };
    assert_eq!(
        site("1", "7"),
        ["input-missing `p.7`: there is no p.7: p has inputs 1 to 4."]
    );
    assert_eq!(
        site("7", "7"),
        [
            "input-missing `7`: zone 1 is read by p.7, and p has inputs 1 to 4. Put zone 1 on input 1."
        ]
    );
}

#[test]
fn nothing_stands_twice_at_a_point() {
    let told = told(
        "  panel p : P
  sounder s : B
  run s : c4 { p.bell + p.bell --9 m-- s }
",
    );
    assert_eq!(
        told,
        ["repeated `p.bell`: p.bell stands twice at this point: take one out"]
    );
}

#[test]
fn what_a_text_that_does_not_end_has_swallowed_is_not_missed() {
    let told = told(
        "  panel p : P {
    partition 1
    zone 1 \"Hall, input 1, from d, partition 1
  }
  detector d : C
  run z : c2 { p.1 --9 m-- d }
",
    );
    assert_eq!(
        told,
        ["syntax `\"Hall, input 1, from d, partition 1`: the closing `\"` of this text is missing"]
    );
}

#[test]
fn loops_that_inputs_may_have_by_a_word_that_means_nothing_are_not_missed() {
    let site = |own: &str| {
        told(&format!(
            "  panel p : P {{
    partition 1
    bus b {{ expander x : X, address 1 }}
    zone 1, input x.1, from d, partition 1, loop single
  }}
  detector d : C
  run r : c4 {{ p.b --9 m-- x }}
  run z : c2 {{ x.1 --9 m-- d }}
}}
model expander X {{
  standby 30 mA
  works 9 V .. 15 V
  inputs 1 .. 4{own}
"
        ))
    };
    assert_eq!(site(", as panel"), [""; 0]);
    assert_eq!(
        site(", as-panel"),
        [
            "unknown-word `as-panel`: `as-panel` means nothing in `inputs`. What may stand here: `as` and `loop`."
        ]
    );
    assert_eq!(
        site(""),
        [
            "unknown-name `single`: the input cannot read a loop `single`: its model says none, nor `as panel`."
        ]
    );
}

#[test]
fn a_run_without_braces_leads_somewhere() {
    let site = |run: &str| {
        told(&format!(
            "  panel p : P {{
    partition 1
    bus b {{ keypad k : K, address 1, partition 1 }}
    zone 1, input 1, from d, partition 1
  }}
  detector d : C
  run z : c2 {{ p.1 --9 m-- d }}
  {run}
"
        ))
    };
    assert_eq!(site("run r : c4 { p.b --9 m-- k }"), [""; 0]);
    assert_eq!(
        site("run r : c4 p.b --9 m-- k"),
        ["syntax `p.b --9 m-- k`: the path of a run stands in braces: `{ p.b --9 m-- k }`"]
    );
}
