use super::*;
use crate::checks::trouble::trouble;

/// Nothing is wrong with it: 500 mA of its own, and 200 mA on one of its outputs.
const WELL: &str = "model battery b-12, capacity 12 Ah
rules night, standby 12 h, recharge 72 h, headroom 20 %
model supply H, standby 500 mA, limit 300 mA, charger 1 A, mains 30 W {
  output out 13.8 V, limit 250 mA
}
model keypad K, standby 200 mA, works 10 V .. 14 V
model cable pair, resistance 50 ohm/km
site s {
  rules night
  supply h : H { battery : b-12 }
  keypad k : K
  run r : pair { h.out --10 m-- k }
}
";

/// What is counted is what is found.
#[test]
fn each_sum_that_does_not_come_out_is_counted_once() {
    use Code::*;
    for (from, to, code) in [
        ("limit 250 mA", "limit 240 mA", Headroom),
        ("limit 250 mA", "limit 190 mA", OutputOverloaded),
        ("limit 300 mA", "limit 240 mA", Headroom),
        ("mains 30 W", "mains 20 W", OutputOverloaded),
        ("works 10 V", "works 11 V", VoltageLow),
        (".. 14 V", ".. 13 V", VoltageHigh),
        ("standby 12 h", "standby 20 h", BatteryShort),
        ("1 A, mains", "1 A, cutoff 11.8 V, mains", BatteryShort),
        ("recharge 72 h", "recharge 9 h", RechargeSlow),
    ] {
        let text = WELL.replace(from, to);
        assert_ne!(text, WELL, "{from}");
        let codes: Vec<Code> = findings_of(&text).1.iter().map(|(_, of)| of.code).collect();
        assert_eq!(codes, [code], "{to}");
        let (site, figures) = crate::figures::tests::solved(&text);
        assert_eq!(trouble(&site, &figures), 1, "{to}");
    }
    assert_eq!(findings_of(WELL).1.len(), 0);
    let (site, figures) = crate::figures::tests::solved(WELL);
    assert_eq!(trouble(&site, &figures), 0);
}
