use bellwire_circuit::battery::{Rate, Ratings};

use super::*;
use crate::figures::{Activity, discharge};

#[test]
fn a_discharge_at_the_twenty_hour_rate_takes_what_is_there() {
    // 100 mA and no load, no rules, 25 °C: 7 Ah last 70 h, all of it at f = 1.
    let text = "model panel P { standby 100 mA }
model battery even, capacity 7 Ah
site s {
  ambient 25 °C .. 25 °C
  panel main : P { battery : even }
}
";
    let (site, figures) = solved(text);
    let found = discharge(&site, &figures, 0, Activity::Standby).expect("a discharge");
    assert_close(found.aged_ah, 7.0);
    assert_close(found.hours(), 70.0);
    let half = found.at(35.0).expect("half way");
    assert_close(half.share, 0.5);
    assert!(!found.cut_short);
    // A cutoff above the empty battery's voltage ends it sooner: a fifth is left at 11.8 V.
    let with_cutoff = |cutoff: &str| {
        let model = format!("{{\n  standby 100 mA\n  cutoff {cutoff}\n}}");
        let (site, figures) = solved(&text.replace("{ standby 100 mA }", &model));
        discharge(&site, &figures, 0, Activity::Standby).expect("a discharge")
    };
    assert_close(with_cutoff("11.8 V").hours(), 56.0);
    // At one below that it has reached its end all the same.
    let found = with_cutoff("10 V");
    assert_close(found.hours(), 70.0);
    assert!(!found.cut_short);
}

#[test]
fn a_discharge_lasts_as_long_as_the_sum_says() {
    // Far above the 20-hour rate, aged and cold: both are asked what is had of the same battery.
    let text = "model panel P { standby 2 A }
model battery even, capacity 7 Ah
rules r {
  standby 1 h
  ageing 1.25
}
site s {
  rules r
  ambient 5 °C .. 25 °C
  panel main : P { battery : even }
}
";
    let (site, figures) = solved(text);
    let found = discharge(&site, &figures, 0, Activity::Standby).expect("a discharge");
    let battery = figures.battery(0).expect("figures of the battery");
    assert_close(found.hours(), battery.standby_hours.expect("hours"));
}

#[test]
fn a_discharge_follows_the_load_as_the_volts_fall() {
    let text = "model cable pair { resistance 50 ohm/km }
model panel P {
  standby 0 mA
  output aux 13.8 V
}
model keypad W { standby 3 W }
model battery even, capacity 7 Ah
site s {
  ambient 25 °C .. 25 °C
  panel main : P { battery : even }
  keypad w : W
  run r : pair { main.aux --10 m-- w }
}
";
    let (site, figures) = solved(text);
    let found = discharge(&site, &figures, 0, Activity::Standby).expect("a discharge");
    let ratings = Ratings::new(vec![Rate {
        hours: 20.0,
        ampere_hours: 7.0,
    }])
    .expect("a rate");
    let mut hours = 0.0;
    for pair in found.points.windows(2) {
        let [before, after] = pair else { continue };
        // 10 m of the pair are 1 ohm: V = U - R I and V I = 3 W at the middle.
        let u = (before.volts + after.volts) / 2.0;
        let drawn = (u - (u * u - 4.0 * 3.0).sqrt()) / 2.0;
        assert_close(after.amperes, drawn);
        hours += 7.0 * ratings.fraction(drawn, 7.0) / drawn * (before.share - after.share);
        assert_close(after.hours, hours);
    }
    let amperes: Vec<f64> = found.points.iter().map(|point| point.amperes).collect();
    assert!(amperes.windows(2).skip(1).all(|pair| pair[0] <= pair[1]));
}

#[test]
fn blocks_that_nothing_empties_do_not_reach_their_end() {
    let text = "model supply G {
  charger 1 A
  output out 27.6 V
}
model battery block, voltage 12 V, capacity 7 Ah
site s {
  supply g : G { battery : block, in-series 2 }
}
";
    let (site, figures) = solved(text);
    let found = discharge(&site, &figures, 0, Activity::Standby).expect("a discharge");
    // Full, 2 × 12.7 V, which is above the end at 2 × 10.5 V; one block's volts would not be.
    let volts: Vec<f64> = found.points.iter().map(|point| point.volts).collect();
    assert_eq!(volts, [25.4]);
    assert!(found.cut_short);
}
