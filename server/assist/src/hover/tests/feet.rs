//! What is said in a site that is written in feet and °F.

use expect_test::{Expect, expect};

use super::shown;
use crate::fixture::harbour_in_feet;

fn check(from: &str, to: &str, expected: Expect) {
    let (view, entry, offset) = harbour_in_feet(from, to);
    expected.assert_eq(&shown(&view, &entry, offset));
}

#[test]
fn lengths_are_in_feet() {
    check(
        "run keys-a",
        "run keys$0-a",
        expect![[r#"
        [keys-a]
        **keys-a**  
        run of `copper-4x22AWG`

        |                       | length | both cores | at most |   drop |
        | :-------------------- | -----: | ---------: | ------: | -----: |
        | `main.keys` – `front` | 120 ft |   4.18 ohm |  277 mA | 1.16 V |
        | `front` – `rear`      | 310 ft |   10.8 ohm |  125 mA | 1.35 V |
        | `front` – `x1`        |  80 ft |   2.79 ohm |   42 mA | 0.12 V |

        510 ft in all
    "#]],
    );
    check(
        "bus keys {",
        "bus ke$0ys {",
        expect![[r#"
        [keys]
        **main.keys**  
        bus

        | device               |     kind | address |
        | :------------------- | -------: | ------: |
        | `front` Shop door    |   keypad |       1 |
        | `rear` Workshop door |   keypad |       2 |
        | `x1` Loft            | expander |       9 |
        | `rear` Workshop door | receiver |      13 |

        Free: keypad 3 .. 8; expander 10 .. 12; receiver 14

        510 ft of 1148 ft of cable, 430 ft to the farthest device
    "#]],
    );
    let (view, entry, offset) = harbour_in_feet("expander x1 ", "expander x$01 ");
    let device = shown(&view, &entry, offset);
    assert!(device.contains("`front` – `x1`, 80 ft,"), "{device}");
}

#[test]
fn a_leg_is_said_in_what_it_is_written_in() {
    check(
        "--310 ft--",
        "--31$00 ft--",
        expect![[r#"
        [--310 ft--]
        **front – rear**  
        310 ft, 10.8 ohm both cores

        |                  |   drop | carries |
        | :--------------- | -----: | ------: |
        | mains, standby   | 0.65 V |   60 mA |
        | mains, alarm     | 1.35 V |  125 mA |
        | battery, standby | 0.65 V |   60 mA |
        | battery, alarm   | 1.35 V |  125 mA |

        `310 ft`

        = 94.49 m  
        = 103.3 yd
    "#]],
    );
    check(
        "--310 ft--",
        "--9$00 m--",
        expect![[r#"
        [--90 m--]
        **front – rear**  
        90 m, 10.3 ohm both cores

        |                  |   drop | carries |
        | :--------------- | -----: | ------: |
        | mains, standby   | 0.62 V |   60 mA |
        | mains, alarm     | 1.29 V |  125 mA |
        | battery, standby | 0.62 V |   60 mA |
        | battery, alarm   | 1.29 V |  125 mA |

        `90 m`

        = 295.3 ft  
        = 98.43 yd
    "#]],
    );
    // So it is on the way to a device.
    let (view, entry, offset) = harbour_in_feet("--80 ft-- x1", "--25 m-- x$01");
    let device = shown(&view, &entry, offset);
    assert!(
        device.contains("`main.keys` – `front`, 120 ft,"),
        "{device}"
    );
    assert!(device.contains("`front` – `x1`, 25 m,"), "{device}");
}

#[test]
fn what_cable_resists_is_along_a_thousand_feet() {
    check(
        "run b1 : copper-4x22AWG",
        "run b1 : copper-4x2$02AWG",
        expect![[r#"
            [copper-4x22AWG]
            **copper-4x22AWG** Four cores, 22 AWG, stranded copper  
            cable model

            4 cores  
            22 AWG copper, 7 strands  
            16.5 ohm/kft, one conductor at 68 °F  
            30.5 pF/ft  
            black, red, green, yellow
        "#]],
    );
}
