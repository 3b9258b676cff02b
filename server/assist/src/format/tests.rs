use bellwire_plan::source::{Change, File, FilePath};
use expect_test::{Expect, expect};
use proptest::prelude::*;

use super::{format, format_range, layout::read_the_same};
use crate::edit::{Edit, applied};
use crate::fixture::fixture;

fn formatted(text: &str) -> String {
    let (_, entry, _) = fixture(text);
    applied(&entry.file, &format(&entry.file))
        .text()
        .to_string()
}

fn check(text: &str, expected: Expect) {
    let new = formatted(text);
    expected.assert_eq(&new);
    assert_eq!(formatted(&new), new, "again");
}

const HARBOUR: &str = include_str!("../fixture/harbour.bell");
const MERROW: &str = include_str!("../fixture/merrow.bell");

/// A long label leaves the others' columns where they are.
#[test]
fn one_long_label_pushes_nobody() {
    check(
        "site s {
detector a \"Hall\" : D
detector b \"The corridor behind the kitchen on the ground floor\" : D
detector cd \"Office\" : D
}
",
        expect![[r#"
            site s {
              detector a  "Hall"   : D
              detector b  "The corridor behind the kitchen on the ground floor" : D
              detector cd "Office" : D
            }
        "#]],
    );
}

#[test]
fn the_demo_is_as_it_should_be() {
    for text in [HARBOUR, MERROW] {
        let new = formatted(text);
        for (is, should) in new.lines().zip(text.lines()) {
            assert_eq!(is, should);
        }
        assert_eq!(new, text);
    }
}

#[test]
fn lines_are_indented_by_their_block() {
    check(
        "site a {\npanel b : M8 {\n# the bus\nbus keys {\nkeypad k:K2,address 1\n      }\n  }\n}",
        expect![[r#"
            site a {
              panel b : M8 {
                # the bus
                bus keys {
                  keypad k : K2, address 1
                }
              }
            }
        "#]],
    );
}

#[test]
fn values_of_neighbouring_lines_stand_in_a_column() {
    check(
        "model panel A {\n  standby 1 mA\n  battery-max 7Ah # most\n  output a 12V,limit 1A\n  output long 12 V , limit 2 A,in alarm\n  setting-address by keys\n\n  alarm 1 mA\n}\n",
        expect![[r#"
            model panel A {
              standby     1 mA
              battery-max 7 Ah # most
              output      a    12 V, limit 1 A
              output      long 12 V, limit 2 A, in alarm
              setting-address by keys

              alarm 1 mA
            }
        "#]],
    );
    check(
        "model battery B {\n  capacity 7 Ah, over 20 h\n  capacity 4.3 Ah, over 1 h\n}\n",
        expect![[r#"
            model battery B {
              capacity 7 Ah,   over 20 h
              capacity 4.3 Ah, over 1 h
            }
        "#]],
    );
    check(
        "model detector C {\n  contact alarm, closed\n  contact tamper, closed\n}\n",
        expect![[r#"
            model detector C {
              contact alarm, closed
              contact tamper, closed
            }
        "#]],
    );
}

#[test]
fn things_on_a_bus_stand_in_columns() {
    check(
        "site a {\n  keypad k \"One\" : K2, address 1\n  # between\n  expander long : E8, address 10, note \"x\"\n  sounder s \"Three three\" : S15\n}\n",
        expect![[r#"
            site a {
              keypad   k    "One"         : K2, address 1
              # between
              expander long               : E8, address 10, note "x"
              sounder  s    "Three three" : S15
            }
        "#]],
    );
}

#[test]
fn zones_stand_in_columns_as_far_as_their_clauses_are_the_same() {
    check(
        "site a {\n  panel p : M8 {\n    zone 1 \"A\", input 1, from a, entry 30s\n    zone 12 \"Long one\", input x1.1, from b c, loop single\n    zone 3, from d, input 3\n  }\n}\n",
        expect![[r#"
            site a {
              panel p : M8 {
                zone 1  "A",        input 1,    from a,   entry 30 s
                zone 12 "Long one", input x1.1, from b c, loop single
                zone 3, from d, input 3
              }
            }
        "#]],
    );
}

#[test]
fn ways_are_spaced_as_they_lie() {
    check(
        "site a {\n  run r:c {\n  main.aux+main.2   --22m--pir1 --3 m-- pir2\n  }\n  run long : c,doubled{main.aux --1 m-- x}\n}\n",
        expect![[r#"
            site a {
              run r : c {
                main.aux + main.2 --22 m-- pir1 --3 m-- pir2
              }
              run long : c, doubled { main.aux --1 m-- x }
            }
        "#]],
    );
}

#[test]
fn a_leg_that_does_not_end_is_not_ended() {
    check(
        "site a {\n  run z : c {\n    main.1   --16m p1 --2 m--p2\n  }\n}\n",
        expect![[r#"
            site a {
              run z : c {
                main.1 --16 m p1 --2 m-- p2
              }
            }
        "#]],
    );
}

#[test]
fn what_cannot_be_read_stays_as_it_is() {
    check(
        "site a {\n   keypad   k  :  , address\n   keypdad  x  1\n   front   --\n   note  \"open \n  rules   x\n}\n",
        expect![[r#"
            site a {
               keypad   k  :  , address
               keypdad  x  1
               front   --
               note  "open 
              rules x
            }
        "#]],
    );
    for slip in [
        "site a { report   w, account 7 panel main \"Safe\" : Q, revision 2.1 }\n",
        "site a {\n  run   z : c {\n    main.aux +  main.2+ --16 m-- p1\n  }\n}\n",
        "panel   main : Q, fitted 2025-3\n",
        "run   z : 4x22AWG\n",
        "cores   4x22AWG\n",
    ] {
        let left = |line: &str| formatted(slip).lines().any(|other| other == line);
        let mut lines = slip.lines().filter(|line| line.contains("  "));
        assert!(lines.next_back().is_some_and(left), "{}", formatted(slip));
    }
}

#[test]
fn what_is_whole_is_laid_out_beside_an_open_brace() {
    check(
        "\
use   \"a.bell\"
site a {
  rules    x
  panel p:M8 {
    partition 1   \"Shop\"
    partition 12  \"Yard\"
    bus keys {
         keypad k:K2,address 1
     # under way
     keypad long  :  K2 , address 2
    }
    zone 1 \"Door\" , input 1 {
      from   pir1
  detector   pir1:P5
     detector   pir2:P5
  # behind
  run r:c {
    main.1   --3 m--pir1
  }
}

  # kept
   # kept

site b {
 rules   y
}
",
        expect![[r#"
            use "a.bell"
            site a {
              rules x
              panel p:M8 {
                partition 1  "Shop"
                partition 12 "Yard"
                bus keys {
                  keypad k    : K2, address 1
                  # under way
                  keypad long : K2, address 2
                }
                zone 1 "Door" , input 1 {
                  from pir1
              detector   pir1:P5
                 detector   pir2:P5
              # behind
              run r : c {
                main.1 --3 m-- pir1
              }
            }

              # kept
               # kept

            site b {
              rules y
            }
        "#]],
    );
}

#[test]
fn a_brace_too_many_or_too_few_is_left_alone() {
    check(
        "site a {\n  rules   x\n}\n  }\n  # kept\n\nsite b {\n rules   x\n}\n",
        expect![[r#"
            site a {
              rules x
            }
              }
              # kept

            site b {
              rules x
            }
        "#]],
    );
    check(
        "site a {\n  panel   p : M8\n    note   \"x\"\n  }\n  rules   y\n}\n",
        expect![[r#"
            site a {
              panel   p : M8
                note   "x"
              }
              rules y
            }
        "#]],
    );
    for left in ["}\n  # kept\n}\n", "   site a {\n rules   x\n", "}\n"] {
        assert_eq!(formatted(left), left);
    }
}

#[test]
fn blank_lines_comments_and_line_breaks_are_kept() {
    check(
        "# top   \n\n\n   # in\nuse   \"a.bell\"   # why\n\n",
        expect![[r##"
        # top


        # in
        use "a.bell"     # why

    "##]],
    );
    assert_eq!(
        formatted("site a {\r\nrules x\r\n}"),
        "site a {\r\n  rules x\r\n}\r\n"
    );
    assert_eq!(formatted(""), "");
}

#[test]
fn comments_at_the_end_keep_their_column_where_they_can() {
    check(
        "model keypad K {\n standby 1 mA      # one\n alarm 1 mA # two\n}   # end\n",
        expect![[r#"
            model keypad K {
              standby 1 mA     # one
              alarm   1 mA # two
            }   # end
        "#]],
    );
}

#[test]
fn statements_on_one_line_stay_as_they_are_and_others_do_not() {
    let text =
        "\u{feff}  use   \"a.bell\"\nsite a {\n } site b {\n rules   x\n}\n   use  \"b.bell\"\n";
    let wanted = "\u{feff}use \"a.bell\"\nsite a {\n } site b {\n rules   x\n}\nuse \"b.bell\"\n";
    assert_eq!(formatted(text), wanted);
}

#[test]
fn a_long_keyword_is_kept_beside_another_one() {
    check(
        "model keypad k {\n setting-address   by keys\n  setting-address by  keys\n}\n",
        expect![[r#"
            model keypad k {
              setting-address by keys
              setting-address by keys
            }
        "#]],
    );
}

#[test]
fn what_is_kept_of_a_statement_is_right_after_edits_around_it() {
    let text = "site a {\n rules  x\n}\n\nsite b {\n  rules   y\n}\n";
    let (view, entry, _) = fixture(text);
    format(&entry.file);
    for (at, typed) in [
        (0, "# a note\n"),
        (0, " "),
        (22, " # behind"),
        (text.len(), "x"),
    ] {
        let change = Change {
            range: Some(at..at),
            text: typed.to_string(),
        };
        let edited = entry.file.edit(&[change]);
        let (_, anew, _) = fixture(&edited.text().to_string());
        let edits = |edits: Vec<Edit>| -> Vec<_> {
            let edits = edits.into_iter();
            edits.map(|edit| (edit.range, edit.text)).collect()
        };
        assert_eq!(
            edits(format(&view.try_out(edited).file)),
            edits(format(&anew.file))
        );
    }
}

#[test]
fn only_the_lines_asked_for_are_changed() {
    let text = "site a {\nrules x\nambient 1 °C .. 2 °C\n}\n";
    let (_, entry, _) = fixture(text);
    let at = text.find("ambient").unwrap();
    let edits = format_range(&entry.file, at..at + 3);
    assert_eq!(
        applied(&entry.file, &edits).text().to_string(),
        "site a {\nrules x\n  ambient 1 °C .. 2 °C\n}\n"
    );
}

/// The demo with pieces taken out, blanks put in, and marks thrown in.
fn damaged() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "", " ", "   ", "\n", "\r\n", "\t", "{", "}", ",", ":", "\"", "--", "+", "..", "#", "#x\n",
        "address", "3 m", "main.", "é",
    ]);
    let base = prop::sample::select(vec![HARBOUR, MERROW]);
    let cuts = prop::collection::vec((any::<prop::sample::Index>(), 0usize..12, pieces), 0..6);
    (base, cuts).prop_map(|(base, cuts)| {
        let mut text = base.to_string();
        for (at, length, piece) in cuts {
            let mut start = at.index(text.len() + 1);
            while !text.is_char_boundary(start) {
                start -= 1;
            }
            let mut end = (start + length).min(text.len());
            while !text.is_char_boundary(end) {
                end -= 1;
            }
            text.replace_range(start..end.max(start), piece);
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_text_is_changed_in_what_it_says_and_twice_is_as_once(text in damaged()) {
        prop_assume!(!text.contains("$0"));
        let once = formatted(&text);
        let read = |text: &str| File::new(FilePath::new("a.bell"), text);
        prop_assert!(read_the_same(&read(&text), &read(&once)), "{once}");
        prop_assert_eq!(formatted(&once), once);
    }
}
