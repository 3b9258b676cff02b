//! Partitions that zones and keypads are in.

use expect_test::expect;

use super::*;
use Code::{PartitionUnknown, TooManyPartitions, ZoneMissingPartition};

const PARTITIONS: &[Code] = &[ZoneMissingPartition, PartitionUnknown, TooManyPartitions];

#[test]
fn zones_are_in_partitions_that_there_are() {
    check_site(
        "panel main : P {
  partition 1 \"Shop\"
  zone 1, input 1, from c, loop single
  zone 2, input 2, from c, loop single, partition 2
  zone 3, input 3, from c, loop single, partition 1
  bus keys { keypad k : K, address 1, partition 3 }
}
panel other : P {
  zone 1, input 1, from c, loop single
}
detector c : C",
        PARTITIONS,
        expect![[r#"
            4:8 zone-missing-partition warning: zone 1 is in no partition, so nobody sets it: main has partition 1.
                > Put zone 1 in partition 1
            5:51 partition-unknown error: zone 2 is in partition 2, and main has only partition 1; add `partition 2` to it.
                > Add partition 2 to main
            7:49 partition-unknown error: k is in partition 3, and main has only partition 1; add `partition 3` to it.
                > Add partition 3 to main
        "#]],
    );
}

#[test]
fn a_partition_is_added_among_the_others_in_the_order_of_numbers() {
    let mended = |panel: &str| {
        let plan = format!("{panel}\nkeypad k : K, partition 3");
        let (text, left) = all_mended(&plan, &[PartitionUnknown]);
        assert_eq!(left, Vec::<String>::new());
        let end = text.find("\nkeypad").expect("the keypad");
        text.get(9..end).expect("the panel").to_string()
    };
    let lines = |numbers: [&str; 2]| numbers.map(|own| format!("  partition {own}\n")).concat();
    // Behind the last one, and what is noted there.
    assert_eq!(
        mended(&format!(
            "panel main : P {{\n{}}}",
            lines(["1", "2 \"Flat\" # upstairs"])
        )),
        "panel main : P {\n  partition 1\n  partition 2 \"Flat\" # upstairs\n  partition 3\n}",
    );
    assert_eq!(
        mended("panel main : P {\r\n\tpartition 2\r\n\tpartition 4\r\n}"),
        "panel main : P {\r\n\tpartition 2\r\n\tpartition 3\r\n\tpartition 4\r\n}",
    );
    assert_eq!(
        mended("panel main : P {\n  # The last.\n  partition 4\n}"),
        "panel main : P {\n  # The last.\n  partition 3\n  partition 4\n}",
    );
    // As clauses, where the others are.
    assert_eq!(
        mended("panel main : P, partition 1 \"Shop\", partition 4, revision 4"),
        "panel main : P, partition 1 \"Shop\", partition 3, partition 4, revision 4",
    );
    // A block of one line has no room for another.
    assert_eq!(
        mended("panel main : P { partition 1 }"),
        "panel main : P, partition 3 { partition 1 }",
    );
    assert_eq!(mended("panel main : P"), "panel main : P, partition 3");
}

#[test]
fn a_panel_has_so_many_partitions() {
    check_plan(
        "model panel T { partitions 2 }
",
        "panel main : T {
  partition 1
  partition 2
  partition 3
}
panel other : T {
  partition 1
  partition 4
}
panel fine : T {
  partition 1
  partition 2
}",
        PARTITIONS,
        expect![[r#"
            5:13 too-many-partitions error: main can have 2 partitions, so there is no partition 3: put what is in it in another, or take a panel that has more.
                model how many it can have
            9:13 too-many-partitions error: other can have 2 partitions, so there is no partition 4: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
    check_plan(
        "model panel T { partitions 1 }
",
        "panel main : T, partition 1, partition 2",
        &[TooManyPartitions],
        expect![[r#"
            2:40 too-many-partitions error: main can have 1 partition, so there is no partition 2: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
}

#[test]
fn a_keypad_says_its_partition_where_there_are_several() {
    let found = |partitions: &str| {
        let site =
            format!("panel main : P, {partitions} {{ bus keys {{ keypad k : K, address 1 }} }}");
        let text = format!("{}site s {{\n{site}\n}}\n", models());
        found(&text, &[Code::KeypadMissingPartition], 0)
    };
    assert_eq!(found("partition 1"), "");
    assert!(found("partition 1, partition 2").contains("main has partitions 1 and 2"));
}

/// Each number is one that it may have, and there are three of them.
#[test]
fn a_panel_of_two_partitions_has_no_third_of_whatever_number() {
    check_plan(
        "model panel T { partitions 2 }
",
        "panel main : T, partition 0, partition 1, partition 2",
        &[TooManyPartitions],
        expect![[r#"
            2:53 too-many-partitions error: main can have 2 partitions, so there is no partition 2: put what is in it in another, or take a panel that has more.
                model how many it can have
        "#]],
    );
}
