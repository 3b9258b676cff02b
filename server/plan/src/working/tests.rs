//! Workings: what they say, that their lines add up, and that they fit a terminal.

use expect_test::{Expect, expect};

use super::{Subject, subjects, working};
use crate::figures::tests::{assert_close, power, solved};
use crate::figures::{State, cuts};

const MODELS: &str = "
model cable pair { resistance 50 ohm/km }
model cable thin, cores 4, conductor 22 AWG, strands 7
model panel P {
  standby 100 mA
  alarm 200 mA
  cutoff 10.5 V
  charger 500 mA
  mains 20 W
  output aux 13.8 V, limit 600 mA
  bus data {
    power aux
    addresses 1 .. 8
    terminated 120 ohm
    unit-loads 31
  }
  inputs 1 .. 4 {
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
model keypad K {
  standby 50 mA
  alarm 100 mA
  works 10 V .. 15 V
  unit-load 0.125
}
model detector D, contact alarm
model battery even, capacity 7 Ah, life 4 years
rules night {
  standby 12 h
  alarm 30 min
  recharge 24 h, to 80 %
  headroom 20 %
  source \"house rule\"
}
site s {
  rules night
  ambient -10 °C .. 35 °C
  panel main : P {
    battery : even, fitted 2025-03
    bus data {
      keypad a : K, address 1
      keypad b : K, address 2
    }
    zone 1, input 1, from d, loop double
  }
  detector d : D
  joint j { resistance 100 mohm }
  run r : thin, doubled { main.data --20 m-- j --10 m-- a --15 m-- b }
  run z : pair { main.1 --30 m-- d }
}
";

fn shown(name: &str, expect: Expect) {
    shown_of(MODELS, name, expect);
}

fn shown_of(text: &str, name: &str, expect: Expect) {
    let (site, figures) = solved(text);
    let found = subjects(&site, name);
    let [subject] = found.as_slice() else {
        panic!("{name} is {found:?}");
    };
    let working = working(&site, &figures, *subject).expect("a working");
    let lines = working.lines(80);
    for line in &lines {
        assert!(line.chars().count() <= 80, "{line}");
    }
    expect.assert_eq(&(lines.join("\n") + "\n"));
}

#[test]
fn where_a_battery_ends_is_said() {
    let (site, figures) = solved(&MODELS.replace("  cutoff 10.5 V\n", ""));
    let found = subjects(&site, "b");
    let working = working(&site, &figures, found[0]).expect("a working");
    let lines = working.lines(80).join("\n");
    assert!(
        lines.contains("The model of main says no `cutoff`"),
        "{lines}"
    );
}

#[test]
fn other_routes_are_spoken_of_only_where_power_comes_over_them() {
    let plan = MODELS.replace(
        "{ main.data --20 m-- j --10 m-- a --15 m-- b }",
        "{\n main.data --20 m-- a --10 m-- j --15 m-- main.data\n a --5 m-- b\n }\n detector e : E\n run own : pair { main.aux --9 m-- e }",
    );
    let plan = plan.replace(
        "model detector D,",
        "model detector E, standby 5 mA\nmodel detector D,",
    );
    let (site, figures) = solved(&plan);
    let says = |name: &str| {
        let [subject] = subjects(&site, name)[..] else {
            panic!("{name} is not one thing");
        };
        let working = working(&site, &figures, subject).expect("a working");
        working.lines(400).join("\n").contains("over other routes")
    };
    assert!(says("a"), "in the ring");
    assert!(says("b"), "behind it");
    assert!(!says("e"), "on a cable of its own from the same output");
}

#[test]
fn a_device_is_worked_out_leg_by_leg() {
    shown(
        "b",
        expect![[r#"
            b : K, fed by main.aux

            At its terminals (works 10 V to 15 V)
                                                                    volts   lost  amperes
              on mains in standby                                  13.575  0.225    0.050
              on mains with the system in alarm                    13.351  0.449    0.100
              with the battery at its end in standby               10.275  0.225    0.050
              with the battery at its end and the system in alarm  10.051  0.449    0.100

            The route there, with the battery at its end and the system in alarm
              from         to  run          m  ohm/km    ohm      A  V lost
              main.data    j   r, doubled  20    57.2  1.194  0.200   0.239
              j            a   r, doubled  10    57.2  0.622  0.200   0.124
              a            b   r, doubled  15    57.2  0.858  0.100   0.086
              lost in all                                             0.449
              main.data gives 10.500 V, less 0.449 V lost leaves 10.051 V.
              main disconnects its battery at 10.5 V.
              b works from 10 V: 0.051 V in hand.
              Ohm is both conductors: 2 x metres x ohm/km / 1000; V lost is ohm x A.
              thin: 54.02 ohm/km at 20 °C (computed from the area (AWG: ASTM B258), IEC
              60028 and 2 % for the lay of the strands), x 1.0590 for 35 °C, the warmest of
              the site (IEC 60028).
              r is doubled: two cores side by side, so half of that.
              Where a leg ends in a joint, half of the joint's resistance is in its ohm, of
              each core that goes through.

            Its negative against that of main.data
              shifted by  0.449 V / 2, the negative's half of what is lost  0.225 V
              It draws 0.100 A there.
        "#]],
    );
}

#[test]
fn a_device_may_work_up_to_or_from_some_volts_only() {
    let lines = |works: &str| {
        let (site, figures) = solved(&MODELS.replace("works 10 V .. 15 V", works));
        let [subject] = subjects(&site, "b")[..] else {
            panic!("b is not one thing");
        };
        let working = working(&site, &figures, subject).expect("a working");
        working.lines(400).join("\n")
    };
    let from = lines("works 10 V ..");
    assert!(from.contains("(works from 10 V)"), "{from}");
    let up_to = lines("works .. 15 V");
    assert!(up_to.contains("(works up to 15 V)"), "{up_to}");
    assert!(
        up_to.contains("b works up to 15 V: 4.949 V in hand."),
        "{up_to}"
    );
    let over = lines("works .. 9 V");
    assert!(
        over.contains("b works up to 9 V: 4.575 V too much."),
        "{over}"
    );
}

#[test]
fn a_battery_that_nothing_empties_lasts_for_ever() {
    let plan = MODELS
        .replace("  standby 100 mA\n  alarm 200 mA\n", "")
        .replace("fitted 2025-03", "count 999999999, in-series 999999999")
        .replace("  standby 50 mA\n", "  standby 0 mA\n");
    let (site, figures) = solved(&plan);
    let [subject] = subjects(&site, "main")[..] else {
        panic!("main is not one thing");
    };
    let working = working(&site, &figures, subject).expect("a working");
    let lines = working.lines(400).join("\n");
    assert!(
        lines.contains("battery 999999998000000001 x even"),
        "{lines}"
    );
    assert!(lines.contains("for ever"), "{lines}");
}

#[test]
fn an_output_is_worked_out_device_by_device() {
    shown(
        "main.aux",
        expect![[r#"
        main.aux, 13.8 V on mains

        What it carries, amperes
                  mains  in alarm  battery  in alarm
          a       0.050     0.100    0.050     0.100
          b       0.050     0.100    0.050     0.100
          in all  0.100     0.200    0.100     0.200

        Against its limit
          limit                                                             0.600 A
          kept free  20 % of it, night                                    - 0.120 A
          carried    with the battery at its end and the system in alarm  - 0.200 A
          left                                                              0.280 A
    "#]],
    );
}

#[test]
fn a_battery_is_worked_out_line_by_line() {
    shown(
        "main",
        expect![[r#"
        main, battery even

        What it carries, amperes
                       standby  alarm
          main itself    0.100  0.200
          main.aux       0.100  0.200
          together       0.200  0.400
          The outputs are solved at the battery's nominal 12 V; that they carry more or
          less as it falls is in the discharge below.

        What it must hold, by night
          standby                                   0.200 A x 12 h / 1.000   2.40 Ah
          alarm                                     0.400 A x 0.5 h / 0.948  0.21 Ah
          together                                                           2.61 Ah
          for its last year                         x 1.25                   3.26 Ah
          at -10 °C                                 x 1.718                  5.61 Ah
          fitted                                                             7.00 Ah
          in hand                                                            1.39 Ah
          so it lasts in standby, before the alarm  of 12 h                   15.3 h
          The last figure of a line is the share of its capacity that a battery of the
          size needed gives at that current: Peukert's exponent 1.15, from memory, since
          the model gives one rate only.
          Ageing: IEEE 485, from memory, unless the rule set says its own. Temperature:
          IEEE 485, read in a third-party chart.
          -10 °C is colder than that table goes (-3.9 °C): the factor carries on with
          its coldest slope, which is our own and not the standard's.
          night: house rule.
          Its life is over in 2029-03: replace it then.

        Charging it to 80 % again
          charger                                                 0.500 A
          outputs in standby                                    - 0.100 A
          left for the battery                                    0.400 A
          takes                 1.1 x 7.00 Ah x 80 % / 0.400 A     15.4 h
          allowed                                                  24.0 h
          1.1 Ah go in for each that came out (lead-acid; IEEE 946, from memory).

        How it empties in standby, aged and cold
             h      V   left      A
           0.0  12.70  100 %  0.200  ##############################
           1.6  12.59   90 %  0.200  #############################
           3.3  12.47   80 %  0.200  ###########################
           4.9  12.36   70 %  0.200  ##########################
           6.5  12.25   60 %  0.200  ########################
           8.1  12.14   50 %  0.200  #######################
           9.8  12.03   40 %  0.200  #####################
          11.4  11.91   30 %  0.200  ####################
          13.0  11.80   20 %  0.200  ##################
          14.7  11.15   10 %  0.200  ##########
          16.3  10.50    0 %  0.200  #
          From 3.26 Ah that ageing and the cold leave of it. A typical course of a
          lead-acid battery, from memory, with the load as the network draws it at each
          voltage; no promise of a time. What it must hold is the sum above.
          After the 12 h asked for it stands at 11.872 V.
          In alarm from the start it would be empty after 8.0 h.

        What it asks of its mains side, watts
                    standby  alarm
          itself        1.4    2.8
          outputs       1.4    2.8
          charging      5.5    4.1
          together      8.3    9.7
          it gives     20.0   20.0
          What charges is what the outputs leave of the charger's current.
          Isolate the mains and disconnect the battery before touching terminals: a
          battery can deliver hundreds of amperes. The standard's own text and the
          maker's instructions rule.
    "#]],
    );
}

#[test]
fn what_another_unit_pushes_in_is_no_charge() {
    // 1 V over 10 m, which are 1 ohm: 1 A goes into main.aux, and 0.1 A to the keypads.
    let psu = "supply psu : S\nrun n : pair { main.aux --10 m-- psu.out }\nrun z";
    let plan = MODELS.replace("run z", psu);
    let (site, figures) = solved(&format!("model supply S {{ output out 14.8 V }}\n{plan}"));
    let shown = working(&site, &figures, Subject::Unit(0)).expect("a working");
    let mut parts = shown.parts.iter();
    let charging = parts.find(|part| part.heading.starts_with("Charging it"));
    let rows = charging.expect("a sum").table.rows.iter();
    let values: Vec<&str> = rows.filter_map(|row| Some(row.last()?.as_str())).collect();
    assert_eq!(
        values,
        ["0.500 A", "- 0.000 A", "0.500 A", "12.3 h", "24.0 h"]
    );
}

#[test]
fn a_loop_without_resistors_has_no_tolerance() {
    let bare = MODELS.replace("loop double\n", "loop bare\n");
    let bare = bare.replace(
        "    loop double {",
        "    loop bare { reads open 2 kohm .. }\n    loop double {",
    );
    let (site, figures) = solved(&bare);
    let zone = subjects(&site, "zone 1")[0];
    let lines = working(&site, &figures, zone).expect("a working").lines(80);
    let text = lines.join("\n");
    assert!(text.contains("The cable counts at 35 °C"), "{text}");
    assert!(!text.contains("Resistors"), "{text}");
}

#[test]
fn a_zone_is_worked_out_with_wrong_resistors_too() {
    shown(
        "zone 1",
        expect![[r#"
            zone 1, read by main.1

            In loop `double`
              cable                           out and back   3 ohm
              resistor at the end             within 1 %    1 kohm
              resistor at each alarm contact  within 1 %    1 kohm
              The cable counts at 35 °C, the warmest of the site. Resistors are within 1 %
              unless the loop says otherwise (E96 of IEC 60063).

            What the input sees, ohms
              condition  what lies in the loop  least  most  reads
              normal     cable + end              993  1013  normal
              alarm      cable + end + contact   1983  2023  alarm
              short      up to the cable         0.00  3.00  short
              cut        open                    open  open  open
              `short` is 0 ohm to 500 ohm.
              `normal` is 700 ohm to 1.4 kohm.
              `alarm` is 1.6 kohm to 2.6 kohm.
              `open` is 4 kohm and more.

            If another resistor of E12 were fitted at the end
              resistor              the quiet loop reads
              100 ohm to 470 ohm    short
              560 ohm to 680 ohm    nothing
              820 ohm to 1.2 kohm   normal
              1.5 kohm              nothing
              1.8 kohm to 2.2 kohm  alarm
              2.7 kohm to 3.9 kohm  nothing
              4.7 kohm to 82 kohm   open
        "#]],
    );
}

#[test]
fn a_loop_says_no_sum_that_it_does_not_do() {
    let sums = |contacts: &str| {
        let model = format!("model detector D {{\n{contacts}\n}}");
        let text = MODELS.replace("model detector D, contact alarm", &model);
        let (site, figures) = solved(&text);
        let shown = working(&site, &figures, Subject::Zone(0)).expect("a working");
        let rows = shown.parts[1].table.rows.iter();
        let sums = rows.map(|row| format!("{}: {} = {}", row[0], row[1], row[3]));
        sums.collect::<Vec<_>>()
    };
    assert_eq!(
        sums("contact alarm\ncontact alarm"),
        [
            "normal: cable + end = 1013",
            "alarm: cable + end + contact = 2023",
            "alarm, contact 2: cable + end + contact = 2023",
            "all in alarm: cable + end + 2 x contact = 3033",
            "short: up to the cable = 3.00",
            "cut: open = open",
        ]
    );
    // 1 kohm of the contact lies beside the end.
    assert_eq!(
        sums("contact alarm, open\ncontact alarm"),
        [
            "normal: cable + end = 1013",
            "alarm: cable, contacts = 508",
            "alarm, contact 2: cable + end + contact = 2023",
            "all in alarm: cable, contacts = 1518",
            "short: up to the cable = 3.00",
            "cut: open = open",
        ]
    );
    assert_eq!(
        sums("contact alarm, resistance 50 ohm"),
        [
            "normal: cable + end + contacts = 1061",
            "alarm: cable, contacts = 2023",
            "short: up to the cable + contacts = 51",
            "cut: open = open",
        ]
    );
}

#[test]
fn a_bus_says_where_its_resistors_go() {
    shown(
        "main.data",
        expect![[r#"
            main.data

            What is on it
                                 has  may have
              devices              2         -
              cable in all      45 m         -
              farthest device   45 m         -
              capacitance       0 nF         -
              unit loads       0.250        31
              Unit loads are those of TIA-485-A; the panel's own is not counted.

            Places
              address  taken by
                    1  a
                    2  b

            Resistors at its ends
              across the data pair at  main.data  120 ohm
              across the data pair at  b          120 ohm
              At both ends of the cable and nowhere else (TIA-485-A). A panel at one end may
              have its resistor built in: the maker's instructions say.
        "#]],
    );
}

#[test]
fn a_device_that_draws_nothing_has_no_sum() {
    shown(
        "d",
        expect![[r#"
        d : D

        Power
          It draws nothing, so there is no sum.
    "#]],
    );
}

#[test]
fn a_core_between_negatives_is_told_as_one_core() {
    let text = format!(
        "{}\nsite t {{
           panel main : P
           supply psu : S
           run n : pair, carries data {{ main.aux --30 m-- psu.out }}
         }}",
        power::MODELS
    );
    let (site, figures) = solved(&text);
    let shown = working(&site, &figures, Subject::Run(0)).expect("a working");
    assert_eq!(
        shown.parts[0].table.rows[0],
        ["the negative between units", "1"]
    );
    // 30 m at 50 ohm/km.
    assert_eq!(shown.parts[1].table.rows[0][4], "1.500");
    let notes = &shown.parts[1].notes;
    assert!(
        notes.contains(&"Between negatives ohm is one core: metres x ohm/km / 1000.".to_string())
    );
    assert!(!notes.iter().any(|note| note.contains("both conductors")));
}

#[test]
fn everything_has_a_name_that_leads_back_to_it() {
    let (site, _) = solved(MODELS);
    for subject in Subject::all(&site) {
        assert_eq!(subjects(&site, &subject.called(&site)), [subject]);
    }
    assert_eq!(subjects(&site, "1"), subjects(&site, "main.1"));
    assert_eq!(subjects(&site, "main 1"), subjects(&site, "main.1"));
    assert_eq!(subjects(&site, "nothing"), []);
}

/// Three legs of 1 ohm, from 10.5 V.
#[test]
fn a_ring_is_tried_with_each_leg_cut() {
    let own = "panel main : P { battery : pack }
keypad a : K
keypad b : K";
    let ring = format!(
        "{}site s {{\n{own}\nrun r : pair {{ main.aux --10 m-- a --10 m-- b --10 m-- main.aux }}\n}}\n",
        power::MODELS
    );
    let (site, figures) = solved(&ring);
    let found = cuts(&site, &figures, 0);
    let volts: Vec<f64> = found.iter().filter_map(|cut| cut.volts).collect();
    assert_eq!(volts.len(), 3);
    // Two devices of 0.1 A in a chain, one at each end, and in a chain again.
    assert_close(volts[0], 10.5 - 0.2 - 0.1);
    assert_close(volts[1], 10.5 - 0.1);
    assert_close(volts[2], 10.5 - 0.2 - 0.1);
    let shown = working(&site, &figures, Subject::Run(0)).expect("a working");
    assert_eq!(shown.parts[2].heading, "The ring with one leg cut");
    assert!(shown.parts[2].notes[0].starts_with("Each device on it still"));
    let state = shown.parts[2].table.rows[0].last().expect("a row");
    assert_eq!(state, "battery, alarm");

    let chain = ring.replace(" --10 m-- main.aux", "");
    let (site, figures) = solved(&chain);
    assert_eq!(cuts(&site, &figures, 0), []);
}

/// Legs of 1 ohm, from 10.5 V: with the last one cut, 0.5 A and then 0.4 A are drawn. The sounder
/// gets less, 9.6 V, and works from 9 V; the keypad gets 10 V and needs them all.
#[test]
fn the_worst_off_on_a_cut_ring_is_who_has_least_to_spare() {
    let text = format!(
        "{}site s {{
  panel main : P {{ battery : pack }}
  keypad k : K
  sounder b : B
  run r : pair {{ main.aux --10 m-- k --10 m-- b --10 m-- main.aux }}
}}
",
        power::MODELS
    );
    let (site, figures) = solved(&text);
    let found = cuts(&site, &figures, 0);
    let last = found.last().expect("three legs");
    assert_eq!(site.devices[last.device].name.value, "k");
    assert_close(last.volts.expect("is fed"), 10.0);
}

#[test]
fn a_run_is_worked_out_leg_by_leg() {
    shown(
        "r",
        expect![[r#"
            r : thin, doubled

            What it carries
                                                    cores
              power of main.aux, data of main.data      6
              the cable has                             4

            Its legs, with the battery at its end and the system in alarm
              from       to   m  ohm/km    ohm      A  V lost
              main.data  j   20    57.2  1.194  0.200   0.239
              j          a   10    57.2  0.622  0.200   0.124
              a          b   15    57.2  0.858  0.100   0.086
              45 m in all.
              Ohm is both conductors: 2 x metres x ohm/km / 1000; V lost is ohm x A.
              thin: 54.02 ohm/km at 20 °C (computed from the area (AWG: ASTM B258), IEC
              60028 and 2 % for the lay of the strands), x 1.0590 for 35 °C, the warmest of
              the site (IEC 60028).
              r is doubled: two cores side by side, so half of that.
        "#]],
    );
}

#[test]
fn a_joint_says_what_meets_in_it() {
    shown(
        "j",
        expect![[r#"
        j

        What meets in it
          run  to          m
          r    main.data  20
          r    a          10
          It adds 0.1 ohm to each core that goes through; half of it counts with each
          cable end.
          The power of different outputs stays apart in it.
    "#]],
    );
}

#[test]
fn what_just_meets_its_limit_is_not_too_much() {
    // 0.1 + 0.2 + 0.3 is more than 0.6 in the sixteenth digit.
    let (site, figures) = solved(
        "
model cable pair { resistance 50 ohm/km }
model panel P { output aux 12 V, limit 600 mA }
model sounder S { standby 100 mA }
model sounder T { standby 200 mA }
model sounder U { standby 300 mA }
site s {
  panel main : P
  sounder a : S
  sounder b : T
  sounder c : U
  run r : pair { main.aux --10 m-- c --10 m-- b --10 m-- a }
}
",
    );
    let [output] = figures.outputs.as_slice() else {
        panic!("{:?}", figures.outputs);
    };
    let carried = output.states[State::MainsStandby].as_ref();
    assert!(carried.expect("is solved").amperes > 0.6);
    let subject = Subject::Output(output.id());
    let working = working(&site, &figures, subject).expect("a working");
    let left = working.parts.last().and_then(|part| part.table.rows.last());
    assert_eq!(left.expect("a line"), &["left", "", "0.000 A"]);
}

#[test]
fn sums_are_in_the_units_of_the_plan() {
    let plan = MODELS
        .replace(" m--", " ft--")
        .replace("-10 °C .. 35 °C", "-10 °F .. 95 °F");
    shown_of(
        &plan,
        "b",
        expect![[r#"
        b : K, fed by main.aux

        At its terminals (works 10 V to 15 V)
                                                                volts   lost  amperes
          on mains in standby                                  13.725  0.075    0.050
          on mains with the system in alarm                    13.649  0.151    0.100
          with the battery at its end in standby               10.425  0.075    0.050
          with the battery at its end and the system in alarm  10.349  0.151    0.100

        The route there, with the battery at its end and the system in alarm
          from         to  run         ft  ohm/kft    ohm      A  V lost
          main.data    j   r, doubled  20    17.44  0.399  0.200   0.080
          j            a   r, doubled  10    17.44  0.224  0.200   0.045
          a            b   r, doubled  15    17.44  0.262  0.100   0.026
          lost in all                                              0.151
          main.data gives 10.500 V, less 0.151 V lost leaves 10.349 V.
          main disconnects its battery at 10.5 V.
          b works from 10 V: 0.349 V in hand.
          Ohm is both conductors: 2 x feet x ohm/kft / 1000; V lost is ohm x A.
          thin: 16.466 ohm/kft at 68 °F (computed from the area (AWG: ASTM B258), IEC
          60028 and 2 % for the lay of the strands), x 1.0590 for 95 °F, the warmest of
          the site (IEC 60028).
          r is doubled: two cores side by side, so half of that.
          Where a leg ends in a joint, half of the joint's resistance is in its ohm, of
          each core that goes through.

        Its negative against that of main.data
          shifted by  0.151 V / 2, the negative's half of what is lost  0.075 V
          It draws 0.100 A there.
    "#]],
    );
    let says = |name: &str, said: &[&str]| {
        let (site, figures) = solved(&plan);
        let working = working(&site, &figures, subjects(&site, name)[0]).expect("a working");
        let lines = working.lines(400).join("\n");
        for said in said {
            assert!(lines.contains(said), "{lines}");
        }
    };
    says(
        "main",
        &["at -10 °F ", "colder than that table goes (25 °F)"],
    );
    says("zone 1", &["The cable counts at 95 °F, the warmest"]);
    says("main.data", &["cable in all     45 ft"]);
    says("r", &["45 ft in all.", "2 x feet x ohm/kft / 1000"]);
    says("j", &["run  to         ft"]);
}
