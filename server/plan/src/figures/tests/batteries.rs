use super::*;
use crate::figures::{BatteryFigures, mains, nominal_volts};

const MODELS: &str = "
model cable pair { resistance 50 ohm/km }
model battery even { capacity 7 Ah, over 20 h }
model battery steep {
  capacity 7 Ah, over 20 h
  capacity 4 Ah, over 1 h
}
model battery slack {
  capacity 4 Ah, over 20 h
  capacity 5 Ah, over 1 h
}
model panel P {
  standby 100 mA
  alarm   200 mA
  charger 500 mA
  output aux 13.8 V
}
model keypad K {
  standby 50 mA
  alarm   100 mA
}
model keypad W { standby 1.2 W }
rules r {
  standby  12 h
  alarm    30 min
  recharge 24 h, to 80 %
  ageing   1.25
}
";

fn battery(site: &str) -> BatteryFigures {
    let (_, figures) = solved(&format!("{MODELS}\nsite s {{\n{site}\n}}\n"));
    figures.batteries.into_iter().next().expect("a battery")
}

const LOAD: &str = "keypad a : K
keypad b : K
run l : pair { main.aux --10 m-- a --10 m-- b }";

#[test]
fn the_need_of_a_battery_follows_the_sum() {
    // At 25 °C the temperature factor is 1.
    let found = battery(&format!(
        "rules r\nambient 25 °C .. 25 °C\npanel main : P {{ battery : even, count 2 }}\n{LOAD}"
    ));
    assert_eq!(found.fitted_ah, Some(14.0));
    assert_close(found.standby_amperes.unwrap(), 0.1 + 2.0 * 0.05);
    assert_close(found.alarm_amperes.unwrap(), 0.2 + 2.0 * 0.1);
    // a (I_s T_s / f(I_s) + I_a T_a / f(I_a)); one line only, so beyond C / 20 h
    // f = (20 h I / C)^(1 - 1.15).
    let needed = found.needed_ah.unwrap();
    let f = |amperes: f64| (20.0 * amperes / needed).powf(1.0 - 1.15).min(1.0);
    assert_close(needed, 1.25 * (0.2 * 12.0 / f(0.2) + 0.4 * 0.5 / f(0.4)));
    // For 14 Ah both lie within the 20-hour rate.
    assert_close(
        found.standby_hours.unwrap(),
        (14.0 - 1.25 * 0.4 * 0.5) / 1.25 / 0.2,
    );
    // 0.5 A less 0.1 A of keypads; 1.1 is the charge factor.
    assert_close(found.recharge_hours.unwrap(), 1.1 * 14.0 * 0.8 / 0.4);
}

#[test]
fn watts_are_drawn_at_the_nominal_voltage() {
    let found = battery(
        "panel main : P { battery : even }
         keypad w : W
         run l : pair { main.aux --10 m-- w }",
    );
    // v² − 12 v + 1 ohm × 1.2 W = 0.
    let volts = 6.0 + (36.0f64 - 1.2).sqrt();
    assert_close(found.standby_amperes.unwrap(), 0.1 + 1.2 / volts);
    assert_close(found.alarm_amperes.unwrap(), 0.2 + 1.2 / volts);
}

#[test]
fn what_another_unit_pushes_in_spares_neither_charger_nor_mains() {
    // 1 V over 10 m, which are 1 ohm: 1 A goes into main.aux.
    let text = format!(
        "{MODELS}
model panel Q {{
  charger 500 mA
  mains 20 W
  output aux 12 V
}}
model supply S {{ output out 13 V }}
site s {{
  rules r
  panel main : Q {{ battery : even }}
  supply psu : S
  run n : pair {{ main.aux --10 m-- psu.out }}
}}
"
    );
    let (site, figures) = solved(&text);
    let state = State::MainsStandby;
    let given = figures.outputs[0].states[state].as_ref();
    assert_close(given.expect("is solved").amperes, -1.0);
    let recharge = figures.batteries[0].recharge_hours;
    assert_close(recharge.expect("is known"), 1.1 * 7.0 * 0.8 / 0.5);
    let asked = mains(&site, &figures, 0, state).expect("is rated");
    assert_close(asked.charging, 0.5 * 12.0);
    assert_close(asked.outputs, 0.0);
}

#[test]
fn what_cannot_be_read_is_not_left_out_of_what_the_mains_side_gives() {
    let is_known = |standby: &str, charger: &str, output: &str| {
        let own = format!(
            "standby {standby}\n  charger {charger}\n  mains 20 W\n  output out 12 V\n  output high {output}"
        );
        let (site, figures) = solved(&format!(
            "model supply G {{\n  {own}\n}}\nsite s {{ supply g : G }}\n"
        ));
        mains(&site, &figures, 0, State::MainsStandby).is_some()
    };
    assert!(is_known("100 mA", "500 mA", "13.8 V"));
    assert!(!is_known("100 day", "500 mA", "13.8 V"));
    assert!(!is_known("100 mA", "500 day", "13.8 V"));
    assert!(!is_known("100 mA", "500 mA", "13.8 day"));
}

#[test]
fn cold_costs_capacity() {
    let at = |ambient: &str| {
        let found = battery(&format!(
            "rules long : r {{ standby 60 h }}
             ambient {ambient}
             panel main : P {{ battery : steep }}
             {LOAD}"
        ));
        found.needed_ah.unwrap()
    };
    // So large a battery is within its 20-hour rate: the textbook sum.
    assert_close(at("25 °C .. 25 °C"), 1.25 * (0.2 * 60.0 + 0.4 * 0.5));
    // IEEE 485: 1.19 at 50 °F, which is 10 °C.
    assert_close(at("10 °C .. 25 °C"), 1.19 * 1.25 * (0.2 * 60.0 + 0.4 * 0.5));
}

#[test]
fn without_rules_the_currents_are_there_and_nothing_is_needed() {
    let found = battery(&format!(
        "ambient 25 °C .. 25 °C\npanel main : P {{ battery : even }}\n{LOAD}"
    ));
    assert_eq!(found.needed_ah, None);
    assert_eq!(found.required_hours, None);
    assert_eq!(found.recharge_hours, None);
    assert_close(found.standby_hours.unwrap(), 7.0 / 0.2);
}

#[test]
fn a_unit_without_a_battery_still_says_what_it_needs() {
    let found = battery(&format!(
        "rules r\nambient 25 °C .. 25 °C\npanel main : P\n{LOAD}"
    ));
    assert_eq!((found.fitted_ah, found.standby_hours), (None, None));
    assert!(found.needed_ah.unwrap() > 1.25 * (0.2 * 12.0 + 0.4 * 0.5));
}

#[test]
fn contradicting_capacities_count_as_the_slowest_alone() {
    let found = battery("panel main : P { battery : slack }");
    assert_eq!(found.fitted_ah, Some(4.0));
}

#[test]
fn a_load_that_is_not_solved_leaves_the_battery_open() {
    let found = battery(
        "rules r
         panel main : P { battery : even }
         keypad a : W
         run l : pair { main.aux -- a }",
    );
    assert_eq!((found.standby_amperes, found.needed_ah), (None, None));
    assert_eq!(found.fitted_ah, Some(7.0));
}

#[test]
fn a_battery_is_replaced_when_its_life_is_over() {
    let replaced = |life: &str, fitted: &str| {
        let text = format!(
            "{MODELS}model battery aged, capacity 7 Ah, life {life}
site s {{
  panel main : P {{ battery : aged, fitted {fitted} }}
}}
"
        );
        let (_, figures) = solved(&text);
        figures.batteries[0].replace_by.expect("a life").to_string()
    };
    assert_eq!(replaced("4 years", "2025-03"), "2029-03");
    assert_eq!(replaced("4 years", "2025-03-14"), "2029-03-14");
    assert_eq!(replaced("1.5 years", "2024-08-31"), "2026-02-28");
    assert_eq!(replaced("4 years", "2024-02-29"), "2028-02-29");
}

#[test]
fn blocks_in_series_add_their_volts_and_not_their_hours() {
    let (site, figures) = solved(
        "model supply G {
  standby 2.4 W
  cutoff 21 V
  charger 500 mA
  output out 27.6 V
}
model relay L { standby 12 W }
model cable wire { resistance 50 ohm/km }
model battery block, voltage 12 V, capacity 7 Ah
site s {
  supply g : G { battery : block, in-series 2 }
  relay l : L
  run r : wire { g.out --10 m-- l }
}",
    );
    // 1 ohm of cable and 12 W on 24 V: u (24 - u) = 12. And 2.4 W of its own.
    let volts = (24.0 + (24.0f64 * 24.0 - 48.0).sqrt()) / 2.0;
    let own = &figures.batteries[0];
    assert_close(own.standby_amperes.expect("amperes"), 12.0 / volts + 0.1);
    assert_close(own.fitted_ah.expect("a capacity"), 7.0);
    let end = (21.0 + (21.0f64 * 21.0 - 48.0).sqrt()) / 2.0;
    let at_end = state_of(&site, &figures, "l", State::BatteryStandby);
    assert_close(at_end.volts, end);
}

#[test]
fn what_a_high_cutoff_leaves_in_a_battery_is_in_no_hours() {
    let hours = |cutoff: &str| {
        let (_, figures) = solved(&format!(
            "model supply H {{
  standby 100 mA
  cutoff {cutoff}
  charger 500 mA
  output out 13.8 V
}}
model battery b, voltage 12 V, capacity 9 Ah
rules night {{
  standby 12 h
  ageing 1.25
}}
site s {{
  rules night
  supply h : H {{ battery : b }}
}}"
        ));
        figures.batteries[0].standby_hours.expect("hours")
    };
    // 9 Ah, kept in hand for age and for 20 °C, at less than its 20-hour rate.
    let all = 9.0 / (1.25 * 1.056) / 0.1;
    assert_close(hours("10.5 V"), all);
    // A fifth is still in it at 11.8 V.
    assert_close(hours("11.8 V"), all * 0.8);
}

/// A supply with these lines and a relay behind 1 ohm: the relay's state on the battery's end.
fn at_the_end(own: &str, fitted: &str) -> (Site, DeviceState) {
    let (site, figures) = solved(&format!(
        "model supply G {{
  {own}
}}
model relay L {{ standby 100 mA }}
model cable wire {{ resistance 50 ohm/km }}
model battery block, voltage 12 V, capacity 7 Ah
site s {{
  supply g : G {{ {fitted} }}
  relay l : L
  run r : wire {{ g.out --10 m-- l }}
}}"
    ));
    let state = state_of(&site, &figures, "l", State::BatteryStandby);
    (site, state)
}

#[test]
fn a_cutoff_is_meant_for_the_nearest_number_of_blocks() {
    // In blocks that end at 10.5 V: 1.03, 1.94 and 2.06.
    for (cutoff, volts) in [("10.8 V", 12.0), ("20.4 V", 24.0), ("21.6 V", 24.0)] {
        let own = format!("cutoff {cutoff}\n  charger 1 A\n  output out 27.6 V");
        let (site, _) = at_the_end(&own, "note \"none\"");
        assert_close(nominal_volts(&site.units[0]).expect("volts"), volts);
    }
}

#[test]
fn two_blocks_without_a_cutoff_end_at_twice_the_volts() {
    let own = "charger 1 A\n  output out 27.6 V";
    // 2 × 10.5 V, less 0.1 A over 1 ohm.
    let (_, state) = at_the_end(own, "battery : block, in-series 2");
    assert_close(state.volts, 21.0 - 0.1);
}

#[test]
fn a_unit_that_may_charge_a_battery_has_battery_states() {
    let own = "battery-max 7 Ah\n  output out 13.8 V";
    let (_, state) = at_the_end(own, "note \"none\"");
    assert_close(state.volts, 10.5 - 0.1);
}

#[test]
fn the_mains_side_gives_what_each_output_does_at_its_own_volts() {
    let asked = |fitted: &str| {
        let (site, figures) = solved(&format!(
            "{MODELS}
model supply M {{
  standby 100 mA
  charger 500 mA
  mains 30 W
  output low 5 V
  output out 13.8 V
}}
site s {{
  supply psu : M {{ {fitted} }}
  keypad a : K
  run r : pair {{ psu.low --10 m-- a }}
}}
"
        ));
        mains(&site, &figures, 0, State::MainsStandby).expect("is rated")
    };
    // The unit itself and its charger work at the highest output's 13.8 V; the keypad's 50 mA
    // leave at 5 V, and the charger has 450 mA left.
    let with = asked("battery : even");
    assert_close(with.own, 0.1 * 13.8);
    assert_close(with.outputs, 0.05 * 5.0);
    assert_close(with.charger, 0.5 * 13.8);
    assert_close(with.charging, 0.45 * 13.8);
    assert_close(with.total(), 1.38 + 0.25 + 6.21);
    // Without a battery there is nothing to charge.
    let without = asked("note \"none\"");
    assert_close(without.outputs, 0.25);
    assert_eq!((without.charger, without.charging), (0.0, 0.0));
}

#[test]
fn a_charger_of_which_the_outputs_leave_nothing_never_charges() {
    let takes = |amperes: &str| {
        let models = format!("{MODELS}model keypad Z {{ standby {amperes} }}\n");
        let site = "panel main : P { battery : even }
keypad z : Z
run l : pair { main.aux --1 m-- z }";
        let (_, figures) = solved(&format!("{models}site s {{\n{site}\n}}\n"));
        figures.batteries[0].recharge_hours
    };
    // Of 500 mA; how full it must be nobody says.
    assert_eq!(takes("500 mA"), Some(f64::INFINITY));
    assert_eq!(takes("499 mA"), None);
}
