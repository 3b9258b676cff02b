//! What a zone, a run or a unit lacks, or has once too often.

use expect_test::expect;

use super::{check, offered};
use crate::fixture::fixture;

#[test]
fn a_detector_that_stands_twice_is_taken_out_once() {
    check(
        "from pir1,",
        "from pir1 pir1$0,",
        expect![[r#"
        * repeated: Take the second pir1 out
            zone 2 "Shop floor",      input 2,    from pir1, partition 1, loop double
          - zone 2 "Shop floor",      input 2,    from pir1 pir1, partition 1, loop double
    "#]],
    );
}

#[test]
fn which_terminals_are_meant_is_not_guessed() {
    check("main.keys --12 m--", "main$0 --12 m--", expect![[r#""#]]);
}

#[test]
fn a_zone_is_wired_as_any_of_the_loops_that_its_input_knows() {
    check(
        "zone 2 \"Shop floor\",      input 2,    from pir1, partition 1, loop double",
        "zone 2 \"Shop floor\", input $02, from pir1, partition 1",
        expect![[r#"
            - missing: Wire it as loop `single`
                zone 2 "Shop floor", input 2, from pir1, partition 1, loop single
            - missing: Wire it as loop `double`
                zone 2 "Shop floor", input 2, from pir1, partition 1, loop double
        "#]],
    );
}

#[test]
fn a_zone_is_put_into_a_partition() {
    check(
        "zone 2 \"Shop floor\",      input 2,    from pir1, partition 1,",
        "zone $02 \"Shop floor\", input 2, from pir1,",
        expect![[r#"
            - zone-missing-partition: Put it in partition 1, Shop
                zone 2 "Shop floor", input 2, from pir1, loop double, partition 1
            - zone-missing-partition: Put it in partition 2, Workshop
                zone 2 "Shop floor", input 2, from pir1, loop double, partition 2
            - zone-missing-partition: Accept `zone-missing-partition` here, with a reason
                zone 2 "Shop floor", input 2, from pir1, loop double, accept zone-missing-partition "reason"
        "#]],
    );
}

#[test]
fn a_device_that_nothing_triggers_gets_a_run_from_an_output_in_alarm() {
    let plan = "\
use \"../catalog/merrow.bell\"
model sounder B2, standby 25 mA, trigger 5 mA
site a {
  panel main : M8
  sounder s$01 : B2
  run b1 : copper-2x22AWG { main.aux --18 m-- s1 }
}
";
    expect![[r#"
        - not-wired: Add a run from main.siren to s1
            run to-s1 : copper-2x22AWG { main.siren -- -- s1 }
        - not-wired: Accept `not-wired` here, with a reason
            sounder s1 : B2, accept not-wired "reason"
    "#]]
    .assert_eq(&offered(fixture(plan)));
}

#[test]
fn a_device_that_is_not_wired_gets_a_run_to_fill_in() {
    check(
        "  run b1",
        "  sounder s$02 \"Rear\" : S15\n  run b1",
        expect![[r#"
            - not-wired: Add a run from main.siren to s2
                run to-s2 : copper-4x22AWG { main.siren -- -- s2 }
            - not-wired: Accept `not-wired` here, with a reason
                sounder s2 "Rear" : S15, accept not-wired "reason"
        "#]],
    );
}

#[test]
fn a_run_for_a_device_on_a_bus_has_cores_for_its_data() {
    let plan = "\
use \"../catalog/merrow.bell\"
site a {
  panel main : M8 {
    bus keys { keypad fr$0ont : K2, address 1 }
    zone 1, input 1, from rc1, loop single
  }
  detector rc1 : RC
  sounder s1 : S15
  run b1 : copper-4x22AWG { main.siren --18 m-- s1 }
  run z1 : copper-2x22AWG { main.1 --9 m-- rc1 }
}
";
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(plan)));
    // Where no run has as many.
    let plan = plan.replace("copper-4x22AWG", "copper-2x18AWG");
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&plan)));
}

#[test]
fn a_run_for_a_device_brings_only_what_it_lacks() {
    let plan = |runs: &str| {
        format!(
            "\
use \"../catalog/merrow.bell\"
model supply S {{ output out 13.8 V }}
site a {{
  panel main : M8 {{
    bus keys {{ keypad fr$0ont : K2, address 1 }}
  }}
  supply psu : S
  run n : copper-2x22AWG, carries data {{ main.aux --2 m-- psu.out }}
  {runs}
}}
"
        )
    };
    let fed = plan("run p : copper-4x22AWG { psu.out --9 m-- front }");
    expect![[r#"
        - not-wired: Add a run from main.keys to front
            run to-front : copper-4x22AWG, carries data { main.keys -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&fed)));
    let told = plan("run d : copper-4x22AWG, carries data { main.keys --9 m-- front }");
    expect![[r#"
        - not-wired: Add a run from main.aux to front
            run to-front : copper-2x22AWG { main.aux -- -- front }
        - not-wired: Accept `not-wired` here, with a reason
            bus keys { keypad front : K2, address 1, accept not-wired "reason" }
    "#]]
    .assert_eq(&offered(fixture(&told)));
}

#[test]
fn a_detector_on_two_loops_is_taken_out_of_one_alone() {
    check(
        "from rc2, ",
        "from rc2 rc$01, ",
        expect![[r#"
            - repeated: Take rc1 out
                zone 9 "Workshop window", input x1.1, from rc2,  partition 2, loop single
              - zone 9 "Workshop window", input x1.1, from rc2 rc1,  partition 2, loop single
        "#]],
    );
    check("from rc2, ", "from rc$01, ", expect![""]);
}

#[test]
fn detectors_that_no_cable_of_their_zone_reaches_get_a_run_to_fill_in() {
    let plan = "\
use \"../catalog/merrow.bell\"
site a {
  panel main : M8 {
    partition 1
    zone 1, input $01, from rc1 rc2, partition 1, loop single
  }
  detector rc1 : RC
  detector rc2 : RC
  sounder s1 : S15
  run b1 : copper-4x22AWG { main.siren --18 m-- s1 }
}
";
    expect![[r#"
        - input-missing: Add a run from main.1 to rc1 and rc2
            run to-rc1 : copper-4x22AWG { main.1 -- -- rc1 -- -- rc2 }
        - input-missing: Accept `input-missing` here, with a reason
            zone 1, input 1, from rc1 rc2, partition 1, loop single, accept input-missing "reason"
    "#]]
    .assert_eq(&offered(fixture(plan)));
}
