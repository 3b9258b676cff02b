use super::*;
use crate::figures::{Consumer, FaultKind, OutputState, Why, above, below, figures_tried};
use crate::model::OutputId;

/// A cable of exactly 0.05 ohm/m for one conductor, so 0.1 ohm/m for the pair.
pub(crate) const MODELS: &str = "
model cable pair { resistance 50 ohm/km }
model cable quad, cores 4, resistance 50 ohm/km, capacitance 100 pF/m
model panel P {
  standby 100 mA
  alarm 150 mA
  cutoff 10.5 V
  charger 700 mA
  output aux 13.8 V, limit 600 mA
  output siren 13.8 V, limit 1 A, in alarm
  bus keys {
    power aux
    addresses 1 .. 15
    place keypad 1 .. 8
    place expander 9 .. 12
  }
  inputs 1 .. 8 {
    loop single {
      end 2.2 kohm
      reads short 0 ohm .. 0.9 kohm
      reads normal 1.6 kohm .. 2.9 kohm
      reads open 5 kohm ..
    }
    loop double {
      end 1 kohm
      contact 1 kohm
      reads short 0 ohm .. 0.5 kohm
      reads normal 0.7 kohm .. 1.4 kohm
      reads alarm 1.6 kohm .. 2.6 kohm
      reads open 4 kohm ..
    }
  }
}
model supply S {
  charger 500 mA
  output out 13.8 V, limit 2 A
}
model supply U { output out 13.8 V, limit 2 A }
model supply V { output out 9 V }
model keypad K {
  standby 50 mA
  alarm 100 mA
  works 10 V .. 15 V
}
model keypad W { standby 1.2 W }
model keypad R { standby 120 ohm }
model sounder B, alarm 400 mA, works 9 V .. 15 V
model sounder H { standby 200 W }
model sounder TR {
  standby 25 mA
  alarm 60 mA
  works 10 V .. 15 V
  trigger 5 mA
}
model detector C { contact alarm }
model detector D, contact alarm, contact tamper
model expander X {
  standby 30 mA
  inputs 1 .. 8, as panel
}
model battery pack {
  capacity 7 Ah, over 20 h
  capacity 4.3 Ah, over 1 h
  life 4 years
}
";

fn plan(site: &str) -> (Site, Figures) {
    solved(&format!("{MODELS}\nsite s {{\n{site}\n}}\n"))
}

/// An output by its place in the plan.
fn id(unit: usize, index: usize) -> OutputId {
    OutputId { unit, index }
}

fn output(site: &Site, figures: &Figures, name: &str, state: State) -> OutputState {
    let found = figures
        .outputs
        .iter()
        .find(|figures| site.output_name(figures.id()) == name);
    *found.expect("no such output").states[state]
        .as_ref()
        .expect("is not solved")
}

#[test]
fn a_chain_loses_on_each_leg_what_flows_through_it() {
    let (site, figures) = plan(
        "panel main : P
         keypad a : K
         keypad b : K
         run r : pair { main.aux --20 m-- a --30 m-- b }",
    );
    // 20 m are 2 ohm and carry both keypads, 30 m are 3 ohm and carry one.
    for (state, volts, each) in [
        (State::MainsStandby, 13.8, 0.05),
        (State::MainsAlarm, 13.8, 0.1),
        (State::BatteryStandby, 10.5, 0.05),
        (State::BatteryAlarm, 10.5, 0.1),
    ] {
        let a = state_of(&site, &figures, "a", state);
        let b = state_of(&site, &figures, "b", state);
        assert_close(a.volts, volts - 2.0 * 2.0 * each);
        assert_close(b.volts, volts - 2.0 * 2.0 * each - 3.0 * each);
        assert_close(b.drop, 7.0 * each);
        assert_close(b.shift, 3.5 * each);
        assert_close(b.amperes, each);
        let aux = output(&site, &figures, "main.aux", state);
        assert_close(aux.volts, volts);
        assert_close(aux.amperes, 2.0 * each);
        let [first, second] = figures.legs.as_slice() else {
            panic!("two legs")
        };
        assert_close(first.ohms, 2.0);
        assert_close(first.states[state].as_ref().unwrap().amperes, 2.0 * each);
        assert_close(first.states[state].as_ref().unwrap().drop, 4.0 * each);
        assert_close(second.states[state].as_ref().unwrap().amperes, each);
    }
}

#[test]
fn doubled_cores_and_joints_count() {
    let (site, figures) = plan(
        "panel main : P
         keypad a : K
         joint j { resistance 0.5 ohm }
         run r : quad, doubled { main.aux --20 m-- j --20 m-- a }",
    );
    // 2 × 20 m × 0.1 ohm/m, and 0.5 ohm in either conductor of the joint, all
    // of it halved.
    assert_close(
        state_of(&site, &figures, "a", State::MainsStandby).drop,
        (4.0 + 1.0) / 2.0 * 0.05,
    );
    assert_close(figures.legs[0].ohms, 1.25);
    assert_eq!(figures.paths[0].cores, 4);
}

#[test]
fn watts_and_ohms_follow_the_voltage() {
    let (site, figures) = plan(
        "panel main : P
         keypad w : W
         keypad r : R
         run a : pair { main.aux --50 m-- w }
         run b : pair { main.aux --50 m-- r }",
    );
    let w = state_of(&site, &figures, "w", State::MainsStandby);
    // v² − 13.8 v + 5 ohm × 1.2 W = 0.
    assert_close(w.volts, (13.8 + (13.8f64 * 13.8 - 4.0 * 6.0).sqrt()) / 2.0);
    assert_close(w.amperes, 1.2 / w.volts);
    let r = state_of(&site, &figures, "r", State::BatteryStandby);
    assert_close(r.volts, 10.5 * 120.0 / 125.0);
}

#[test]
fn an_output_that_is_on_in_alarm_only_gives_nothing_in_standby() {
    let (site, figures) = plan(
        "panel main : P
         sounder s : B
         run r : pair { main.siren --10 m-- s }",
    );
    let quiet = state_of(&site, &figures, "s", State::MainsStandby);
    assert_eq!((quiet.volts, quiet.drop, quiet.amperes), (0.0, 0.0, 0.0));
    let loud = state_of(&site, &figures, "s", State::BatteryAlarm);
    assert_close(loud.volts, 10.5 - 0.4);
    assert_eq!(
        output(&site, &figures, "main.siren", State::MainsStandby).volts,
        0.0
    );
}

#[test]
fn a_ring_feeds_from_both_ends() {
    let (site, figures) = plan(
        "panel main : P
         keypad a : K
         keypad b : K
         run r : pair { main.aux --10 m-- a --10 m-- b --10 m-- main.aux }",
    );
    // By symmetry nothing flows in the middle: 1 ohm × 50 mA to either.
    assert_close(
        state_of(&site, &figures, "a", State::MainsStandby).drop,
        0.05,
    );
    assert_close(
        state_of(&site, &figures, "b", State::MainsStandby).drop,
        0.05,
    );
    assert_eq!(figures.paths[0].cores, 2);
}

#[test]
fn two_outputs_share_what_hangs_between_them() {
    let (site, figures) = plan(
        "panel main : P
         supply psu : S
         keypad a : K
         run r : pair { main.aux --10 m-- a }
         run q : pair { psu.out --30 m-- a }",
    );
    // 1 ohm and 3 ohm in parallel.
    let a = state_of(&site, &figures, "a", State::MainsStandby);
    assert_close(a.drop, 0.05 * 0.75);
    assert_close(
        output(&site, &figures, "psu.out", State::MainsStandby).amperes,
        0.05 / 4.0,
    );
    let fed = figures.device(device(&site, "a")).unwrap();
    assert_eq!(*fed.fed_by, [id(0, 0), id(1, 0)]);
    assert_eq!(figures.joins.len(), 1);
}

#[test]
fn outputs_stay_apart_in_a_joint() {
    let (site, figures) = plan(
        "panel main : P
         keypad k : K
         sounder s : B
         joint j
         run r : quad {
           main.aux + main.siren --10 m-- j
         }
         run a : pair { main.aux --1 m-- j --10 m-- k }
         run b : pair { main.siren --1 m-- j --10 m-- s }",
    );
    let fed = |name: &str| figures.device(device(&site, name)).unwrap().fed_by.clone();
    assert_eq!(*fed("k"), [id(0, 0)]);
    assert_eq!(*fed("s"), [id(0, 1)]);
}

#[test]
fn a_run_carries_on_what_another_brings() {
    let (site, figures) = plan(
        "run far : pair { j --10 m-- b }
         run last : pair { b --10 m-- c }
         panel main : P
         keypad a : K
         keypad b : K
         keypad c : K
         joint j
         run near : pair {
           a --10 m-- j
           main.aux --10 m-- a
         }",
    );
    // 1 ohm a leg: three, two, two and one keypads behind each.
    let c = state_of(&site, &figures, "c", State::MainsStandby);
    assert_close(c.drop, 0.05 * (3.0 + 2.0 + 2.0 + 1.0));
}

#[test]
fn power_beside_an_input_comes_from_the_device_there() {
    let (site, figures) = plan(
        "panel main : P { bus keys { expander x : X, address 9 } }
         keypad p : K
         run a : quad { main.keys --10 m-- x }
         run b : quad { x + x.3 --10 m-- p }",
    );
    let p = state_of(&site, &figures, "p", State::MainsStandby);
    assert_close(p.drop, (0.03 + 0.05) + 0.05);
    assert_eq!(figures.paths[1].cores, 4);
}

#[test]
fn what_is_not_known_yet_stays_in_its_own_network() {
    let (site, figures) = plan(
        "panel main : P
         keypad a : K
         keypad b : K
         sounder s : B
         run r : pair { main.aux --10 m-- a -- b }
         run q : pair { main.siren --10 m-- s }",
    );
    let why = |name: &str| {
        let figures = figures.device(device(&site, name)).unwrap();
        figures.states[State::BatteryAlarm].clone().map(|_| ())
    };
    let expected = Why::Unknown("the length from a to b in r is not written yet".into());
    assert_eq!(why("a"), Err(expected.clone()));
    assert_eq!(why("b"), Err(expected));
    assert_eq!(why("s"), Ok(()));
}

#[test]
fn amperes_are_known_over_unknown_cable() {
    let aux = |runs: &str| {
        let (site, figures) = plan(&format!(
            "panel main : P
             supply psu : S
             keypad a : K
             keypad b : K
             keypad w : W
             keypad r : R
             run q : pair {{ main.aux --10 m-- b }}
             {runs}"
        ));
        let at = device(&site, "a");
        let why = figures.device(at).unwrap().states[State::MainsAlarm].clone();
        assert!(why.is_err(), "{runs}");
        let aux = figures.output(id(0, 0)).unwrap();
        [State::MainsStandby, State::BatteryAlarm]
            .map(|state| aux.states[state].as_ref().ok().map(|aux| aux.amperes))
    };
    // 50 mA in standby and 100 mA in alarm for each keypad.
    assert_eq!(
        aux("run o : pair { main.aux -- a }"),
        [Some(0.1), Some(0.2)]
    );
    assert_eq!(
        aux("run o : pair { main.aux -- a --1 m-- main.aux }"),
        [Some(0.1), Some(0.2)]
    );
    // What draws watts or ohms draws by its volts, and two outputs share by their cable.
    for unknown in [
        "run o : pair { main.aux -- a --1 m-- w }",
        "run o : pair { main.aux -- a --1 m-- r }",
        "run o : pair { main.aux -- a --1 m-- psu.out }",
    ] {
        assert_eq!(aux(unknown), [None, None], "{unknown}");
    }
}

#[test]
fn what_a_cable_is_made_of_is_not_guessed_where_it_cannot_be_read() {
    let why = |make: &str| {
        let (site, figures) = solved(&format!(
            "{MODELS}
             model cable own {{ conductor 22 AWG, {make} }}
             site s {{
               panel main : P
               keypad a : K
               run r : own {{ main.aux --10 m-- a }}
             }}"
        ));
        let figures = figures.device(device(&site, "a")).unwrap();
        figures.states[State::MainsAlarm].clone().map(|_| ())
    };
    let unknown = Why::Unknown("the resistance of own is not known".into());
    for make in ["metal gold", "metal 5", "strands 7 m", "strands \"7\""] {
        assert_eq!(why(make), Err(unknown.clone()), "{make}");
    }
    // What it resists is then said itself.
    for make in [
        "metal tinned, strands 7",
        "metal gold, resistance 53 ohm/km",
    ] {
        assert_eq!(why(make), Ok(()), "{make}");
    }
}

#[test]
fn without_a_battery_there_are_no_battery_states() {
    let (site, figures) = plan(
        "supply psu : U
         keypad a : K
         run r : pair { psu.out --10 m-- a }",
    );
    let figures = figures.device(device(&site, "a")).unwrap();
    assert!(figures.states[State::MainsAlarm].is_ok());
    let why = figures.states[State::BatteryAlarm].clone();
    assert_eq!(why, Err(Why::Unknown("psu has no battery".into())));
}

#[test]
fn the_battery_gives_no_more_than_the_mains() {
    let (site, figures) = plan(
        "supply psu : V { battery : pack }
         keypad a : K
         run r : pair { psu.out --10 m-- a }",
    );
    let a = state_of(&site, &figures, "a", State::BatteryStandby);
    assert_close(a.volts, 9.0 - 0.05);
}

#[test]
fn what_cannot_be_fed_is_named_with_what_could_be() {
    let (site, figures) = plan(
        "panel main : P
         sounder h : H
         run r : pair { main.aux --10 m-- h }",
    );
    let figures_of_h = figures.device(device(&site, "h")).unwrap();
    let why = figures_of_h.states[State::MainsStandby]
        .clone()
        .unwrap_err();
    // The most through 1 ohm is 13.8² / 4.
    assert_eq!(
        why,
        Why::Fault("the cable cannot feed h: it asks for 200 W and can have 47.6 W at most".into())
    );
    let FaultKind::TooMuch { most, .. } = figures.faults[0].kind else {
        panic!("too much")
    };
    assert!((most - 13.8 * 13.8 / 4.0).abs() < 1e-3);

    // Where it is only tried, the same is found, and the numbers are not.
    let tried = figures_tried(&site);
    let places = |figures: &Figures| {
        let faults = figures.faults.iter();
        let places = faults.map(|fault| (fault.place, fault.state, fault.devices.clone()));
        places.collect::<Vec<_>>()
    };
    assert_eq!(places(&tried), places(&figures));
    assert!(matches!(
        tried.faults[0].kind,
        FaultKind::TooMuch { most: 0.0, .. }
    ));
}

#[test]
fn outputs_of_different_voltage_may_not_meet() {
    let (site, figures) = plan(
        "panel main : P
         supply psu : V
         run r : pair { main.aux --0 m-- psu.out }",
    );
    let why = figures.outputs[0].states[State::MainsStandby].clone();
    assert_eq!(
        why.map(|_| ()),
        Err(Why::Fault(
            "main.aux (13.8 V) and psu.out (9 V) are joined with no cable between them".into()
        ))
    );
    drop(site);
}

#[test]
fn data_alone_brings_no_power() {
    let (site, figures) = plan(
        "panel main : P { bus keys { keypad a : K, address 1 } }
         supply psu : S
         run d : pair, carries data { main.keys --60 m-- a }
         run p : pair { psu.out --10 m-- a }",
    );
    let fed = figures.device(device(&site, "a")).unwrap();
    assert_eq!(*fed.fed_by, [id(1, 0)]);
    assert_eq!(figures.paths[0].cores, 2);
    assert_close(figures.buses[0].metres, 60.0);
}

#[test]
fn data_goes_on_from_either_end_of_a_run() {
    for run in ["a --90 m-- b", "b --90 m-- a"] {
        let (site, figures) = plan(&format!(
            "panel main : P {{ bus keys {{
  keypad a : K, address 1
  keypad b : K, address 2
}} }}
             supply psu : S
             run k : quad {{ main.keys --5 m-- a }}
             run d : pair, carries data {{ {run} }}
             run p : pair {{ psu.out --10 m-- b }}"
        ));
        assert_eq!(figures.paths[1].carries.data.len(), 1, "{run}");
        let fed = figures.device(device(&site, "b")).unwrap();
        assert_eq!(*fed.fed_by, [id(1, 0)], "{run}");
    }
}

#[test]
fn a_joint_on_a_negative_core_resists_and_carries_nothing() {
    let with = |joint: &str| {
        plan(&format!(
            "panel main : P {{ bus keys {{ keypad a : K, address 1 }} }}
             supply psu : S
             joint j{joint}
             run d : pair, carries data {{ main.keys --60 m-- a }}
             run p : pair {{ psu.out --10 m-- a }}
             run n : pair, carries data {{ main.aux --3 m-- j --3 m-- psu.out }}"
        ))
    };
    let gets = |joint: &str| {
        let (site, figures) = with(joint);
        let core = figures.paths.iter().find(|path| path.run == 2);
        assert_eq!(core.map(|path| path.cores), Some(1));
        let legs = figures.legs_of(2);
        for leg in legs {
            let carried = leg.states[State::MainsAlarm].as_ref().unwrap();
            assert_eq!((carried.amperes, carried.drop), (0.0, 0.0));
        }
        let ohms: Vec<f64> = legs.iter().map(|leg| leg.ohms).collect();
        (ohms, state_of(&site, &figures, "a", State::MainsAlarm))
    };
    // A leg's ohms are of the one core: 3 m at 0.05 ohm/m, and half of the joint.
    let (ohms, without) = gets("");
    assert_close(ohms[0], 0.15);
    assert_close(ohms[1], 0.15);
    let (ohms, with) = gets(" { resistance 5 ohm }");
    assert_close(ohms[0], 0.15 + 2.5);
    assert_close(ohms[1], 0.15 + 2.5);
    // Nothing flows between the negatives, so the device gets what it got.
    assert_eq!((with.volts, with.shift), (without.volts, without.shift));
    assert_close(with.volts, 13.8 - 1.0 * 0.1);
}

/// What a trigger gets and draws.
fn trigger_of(site: &Site, figures: &Figures, name: &str, state: State) -> DeviceState {
    let figures = figures.device(device(site, name)).expect("is not fed");
    let trigger = figures.trigger.as_ref().expect("has no trigger");
    *trigger.states[state].as_ref().expect("is not solved")
}

/// The outputs that feed a device, and those that trigger it.
fn hangs_on(site: &Site, figures: &Figures, name: &str) -> [Vec<OutputId>; 2] {
    let figures = figures.device(device(site, name)).expect("is not fed");
    let trigger = figures.trigger.as_ref();
    [
        figures.fed_by.to_vec(),
        trigger.map_or(Vec::new(), |trigger| trigger.by.to_vec()),
    ]
}

#[test]
fn a_trigger_is_a_load_of_its_own_on_the_output_that_is_on_in_alarm() {
    let cable = "panel main : P
         sounder s : TR
         run r : quad { main.aux + main.siren --20 m-- s }";
    let runs = "panel main : P
         sounder s : TR
         run r : pair { main.aux --20 m-- s }
         run q : pair { main.siren --20 m-- s }";
    for text in [cable, runs] {
        let (site, figures) = plan(text);
        assert_eq!(figures.joins, []);
        assert_eq!(
            hangs_on(&site, &figures, "s"),
            [vec![id(0, 0)], vec![id(0, 1)]]
        );
        let cores: u32 = figures.paths.iter().map(|path| path.cores).sum();
        assert_eq!(cores, 4);
        // 20 m are 2 ohm.
        for (state, volts, feeds, triggers) in [
            (State::MainsStandby, 13.8, 0.025, 0.0),
            (State::MainsAlarm, 13.8, 0.06, 0.005),
            (State::BatteryStandby, 10.5, 0.025, 0.0),
            (State::BatteryAlarm, 10.5, 0.06, 0.005),
        ] {
            let own = state_of(&site, &figures, "s", state);
            assert_close(own.volts, volts - 2.0 * feeds);
            assert_close(own.amperes, feeds);
            let trigger = trigger_of(&site, &figures, "s", state);
            let given = if state.is_alarm() { volts } else { 0.0 };
            assert_close(trigger.volts, given - 2.0 * triggers);
            assert_close(trigger.amperes, triggers);
            assert_close(output(&site, &figures, "main.aux", state).amperes, feeds);
            let siren = output(&site, &figures, "main.siren", state);
            assert_close(siren.amperes, triggers);
            let legs = figures.legs.iter();
            let carried: f64 = legs
                .map(|leg| leg.states[state].as_ref().unwrap().amperes)
                .sum();
            assert_close(carried, feeds + triggers);
        }
        // The panel's own 100 mA and 150 mA are part of it.
        let [battery] = figures.batteries.as_slice() else {
            panic!("one battery")
        };
        assert_close(battery.standby_amperes.unwrap(), 0.125);
        assert_close(battery.alarm_amperes.unwrap(), 0.215);
    }
}

#[test]
fn a_device_beside_the_output_that_triggers_feeds_what_is_triggered() {
    for start in ["a + main.siren", "main.siren + a"] {
        let (site, figures) = plan(&format!(
            "panel main : P {{ bus keys {{ keypad a : K, address 1 }} }}
             sounder s : TR
             run r : quad {{ {start} --20 m-- s }}
             run k : quad {{ main.keys --10 m-- a }}"
        ));
        assert_eq!(figures.joins, [], "{start}");
        let on = hangs_on(&site, &figures, "s");
        assert_eq!(on, [vec![id(0, 0)], vec![id(0, 1)]], "{start}");
        let own = state_of(&site, &figures, "s", State::MainsAlarm);
        // 10 m are 1 ohm, with the keypad's 100 mA.
        assert_close(own.volts, 13.8 - 1.0 * 0.16 - 2.0 * 0.06);
        let trigger = trigger_of(&site, &figures, "s", State::MainsAlarm);
        assert_close(trigger.volts, 13.8 - 2.0 * 0.005);
        let cores: u32 = figures.paths.iter().map(|path| path.cores).sum();
        assert_eq!(cores, 8, "{start}");
    }
}

#[test]
fn power_goes_past_what_needs_none_on_a_pair_for_each_output() {
    // A lid switch in the sounder's housing, and a contact on the way there.
    for path in [
        "main.aux + main.siren --20 m-- s + c",
        "main.aux + main.siren --20 m-- c + s",
        "main.aux + main.siren --10 m-- c --10 m-- s",
    ] {
        let (site, figures) = plan(&format!(
            "panel main : P
             sounder s : TR
             detector c : C
             run r : quad {{ {path} }}"
        ));
        let on = hangs_on(&site, &figures, "s");
        assert_eq!(on, [vec![id(0, 0)], vec![id(0, 1)]], "{path}");
        assert!(figures.joins.is_empty(), "{path}: {:?}", figures.joins);
        let trigger = trigger_of(&site, &figures, "s", State::MainsAlarm);
        assert_close(trigger.volts, 13.8 - 2.0 * 0.005);
    }
    // In two runs: what goes on from the contact has both pairs too.
    let (site, figures) = plan(
        "panel main : P
         sounder s : TR
         detector c : C
         run r : quad { main.aux + main.siren --10 m-- c }
         run q : quad { c --10 m-- s }",
    );
    let s = state_of(&site, &figures, "s", State::MainsAlarm);
    assert_close(s.drop, 2.0 * 0.06);
    let trigger = trigger_of(&site, &figures, "s", State::MainsAlarm);
    assert_close(trigger.drop, 2.0 * 0.005);
}

#[test]
fn cable_from_a_joint_takes_the_power_that_is_for_what_hangs_on_it() {
    let (site, figures) = plan(
        "panel main : P { bus keys { keypad k : K, address 1 } }
         sounder s : B
         sounder t : TR
         joint j
         run trunk : quad { main.keys + main.siren --10 m-- j }
         run a : quad { j --10 m-- k }
         run b : pair { s --10 m-- j }
         run c : quad { j --10 m-- t }",
    );
    let [aux, siren] = [id(0, 0), id(0, 1)];
    assert_eq!(hangs_on(&site, &figures, "k"), [vec![aux], vec![]]);
    assert_eq!(hangs_on(&site, &figures, "s"), [vec![siren], vec![]]);
    assert_eq!(hangs_on(&site, &figures, "t"), [vec![aux], vec![siren]]);
    let cores: Vec<u32> = figures.paths.iter().map(|path| path.cores).collect();
    assert_eq!(cores, [6, 4, 2, 4]);
    assert!(figures.joins.is_empty(), "{:?}", figures.joins);
    // Two outputs that are always on stay two: nothing says which is meant.
    let (site, figures) = plan(
        "panel main : P
         supply psu : S
         keypad k : K
         joint j
         run trunk : quad { main.aux + main.siren --10 m-- j }
         run other : pair { psu.out --10 m-- j }
         run a : quad { j --10 m-- k }",
    );
    assert_eq!(
        hangs_on(&site, &figures, "k"),
        [vec![aux, id(1, 0)], vec![]]
    );
}

#[test]
fn a_device_joins_the_power_that_two_legs_of_a_run_bring() {
    let (_, figures) = plan(
        "panel main : P
         supply psu : S
         keypad a : K
         keypad b : K
         keypad c : K
         keypad d : K
         run r : pair { main.aux --10 m-- a }
         run q : pair {
           a --10 m-- b
           b --10 m-- c
           b --10 m-- d
         }
         run p : pair { psu.out --10 m-- d }",
    );
    let cores: Vec<u32> = figures.paths.iter().map(|path| path.cores).collect();
    assert_eq!(cores, [2, 2, 2, 2, 2]);
}

#[test]
fn a_supply_feeds_what_the_panel_triggers() {
    let (site, figures) = plan(
        "panel main : P
         supply psu : S
         sounder s : TR
         run r : pair { psu.out --10 m-- s }
         run q : pair { main.siren --30 m-- s }",
    );
    assert_eq!(
        hangs_on(&site, &figures, "s"),
        [vec![id(1, 0)], vec![id(0, 1)]]
    );
    let own = state_of(&site, &figures, "s", State::MainsAlarm);
    assert_close(own.volts, 13.8 - 1.0 * 0.06);
    let trigger = trigger_of(&site, &figures, "s", State::MainsAlarm);
    assert_close(trigger.volts, 13.8 - 3.0 * 0.005);
}

#[test]
fn a_cable_from_a_triggered_device_takes_on_what_is_needed_beyond() {
    let (site, figures) = plan(
        "panel main : P
         sounder s : TR
         sounder t : TR
         keypad k : K
         run r : quad { main.aux + main.siren --10 m-- s }
         run q : quad { s --10 m-- t }
         run p : pair { s --10 m-- k }",
    );
    assert_eq!(figures.joins, []);
    assert_eq!(
        hangs_on(&site, &figures, "t"),
        [vec![id(0, 0)], vec![id(0, 1)]]
    );
    assert_eq!(hangs_on(&site, &figures, "k"), [vec![id(0, 0)], vec![]]);
    let cores: Vec<u32> = figures.paths.iter().map(|path| path.cores).collect();
    assert_eq!(cores, [4, 4, 2]);
    // Both triggers over the first 10 m, one over the next.
    let trigger = trigger_of(&site, &figures, "t", State::MainsAlarm);
    assert_close(trigger.volts, 13.8 - 1.0 * 0.01 - 1.0 * 0.005);
}

#[test]
fn a_trigger_that_cannot_be_fed_leaves_its_device_its_figures() {
    let (site, figures) = solved(&format!(
        "{MODELS}
         model sounder G, alarm 60 mA, trigger 200 W
         site s {{
         panel main : P
         sounder s : G
         run r : quad {{ main.aux + main.siren --20 m-- s }}
         }}"
    ));
    assert_close(
        state_of(&site, &figures, "s", State::MainsAlarm).amperes,
        0.06,
    );
    let kinds = figures.faults.iter().map(|fault| (fault.state, fault.kind));
    let consumers = kinds.map(|(state, kind)| match kind {
        FaultKind::TooMuch { consumer, .. } => (state, consumer),
        FaultKind::Conflict { .. } => panic!("nothing is joined"),
    });
    assert_eq!(
        consumers.collect::<Vec<_>>(),
        [State::MainsAlarm, State::BatteryAlarm].map(|state| (state, Consumer::Trigger(0)))
    );
    assert!(
        figures.faults[0]
            .why
            .starts_with("the cable cannot feed the trigger of s:")
    );
}

#[test]
fn a_leg_loses_what_the_pair_with_the_greater_drop_does() {
    // 10 m are 1 ohm for each pair: 60 mA feed the sounder, 5 mA trigger it.
    for both in ["main.aux + main.siren", "main.siren + main.aux"] {
        let (_, figures) = plan(&format!(
            "panel main : P
             sounder s : TR
             run r : quad {{ {both} --10 m-- s }}"
        ));
        let leg = figures.legs[0].states[State::MainsAlarm].as_ref().unwrap();
        assert_close(leg.amperes, 0.065);
        assert_close(leg.drop, 0.06);
    }
}

#[test]
fn a_cable_from_one_unit_to_a_joint_is_no_negative_core() {
    let negative = |runs: &str| {
        let (_, figures) = plan(&format!(
            "panel main : P
             supply psu : S
             joint j
             {runs}"
        ));
        figures.paths.iter().all(|path| path.is_negative)
    };
    let one = "run n : pair, carries data { main.aux --3 m-- j }";
    assert!(!negative(one));
    let two = format!("{one}\nrun m : pair, carries data {{ psu.out --3 m-- j }}");
    assert!(negative(&two));
}

/// Sums that miss what they equal in the last digit, on either side.
#[test]
fn a_limit_that_is_just_met_is_met_from_above_and_from_below() {
    let (low, high) = (1.0 - 0.9, 0.1 + 0.2);
    assert!(low < 0.1 && high > 0.3);
    assert!(!below(low, 0.1) && !above(high, 0.3));
    assert!(below(0.099_999, 0.1) && above(0.300_001, 0.3));
}

/// 10 m are 1 ohm, over which 50 mA lose 50 mV.
#[test]
fn a_leg_that_is_written_towards_the_output_carries_and_loses_backwards() {
    let (_, figures) = plan(
        "panel main : P
         keypad a : K
         run r : pair { a --10 m-- main.aux }",
    );
    let leg = figures.legs[0].states[State::MainsStandby]
        .as_ref()
        .unwrap();
    assert_close(leg.amperes, -0.05);
    assert_close(leg.drop, -0.05);
}

/// 13.8 V over 1 ohm give 47.61 W at most.
#[test]
fn where_the_cable_cannot_feed_a_leg_has_no_figures_and_who_draws_nothing_no_part() {
    let (site, figures) = plan(
        "panel main : P
         sounder b : B
         sounder h : H
         run r : pair { main.aux --10 m-- h --1 m-- b }",
    );
    for leg in &figures.legs {
        assert!(leg.states[State::MainsStandby].is_err());
    }
    let drawing = |state| {
        let mut faults = figures.faults.iter();
        let fault = faults.find(|fault| fault.state == state);
        fault.expect("a fault").devices.clone()
    };
    let [b, h] = ["b", "h"].map(|name| device(&site, name));
    assert_eq!(drawing(State::MainsStandby), [h]);
    assert_eq!(drawing(State::MainsAlarm), [b, h]);
}

/// From the battery at 10.5 V, 50 mA lose 50 mV over the 1 ohm of 10 m.
#[test]
fn who_has_no_battery_leaves_a_joined_output_its_own() {
    let (site, figures) = plan(
        "supply s : S
         supply u : U
         keypad a : K
         run r : pair { s.out --10 m-- a --10 m-- u.out }",
    );
    let got = state_of(&site, &figures, "a", State::BatteryStandby);
    assert_close(got.volts, 10.45);
}
