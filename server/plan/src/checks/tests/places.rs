use expect_test::expect;

use super::*;
use Code::{
    AddressMissing, AddressNotEnabled, AddressOutOfRange, AddressTaken, BusFull, PlacesOverlap,
};

#[test]
fn an_address_that_is_taken_is_told_at_both_ends() {
    check_site(
        "panel main : P {
  bus keys {
    keypad a : K, address 2
    keypad b : K, address 2
    keypad c : K, address 3
  }
}",
        &[AddressTaken],
        expect![[r#"
            4:27 address-taken error: a has address 2 on main.keys, and so has b.
                5:27 b has it too
            5:27 address-taken error: address 2 on main.keys is taken by a: address 1 is free for b.
                4:27 a has it
                > Give b the address 1
        "#]],
    );
}

#[test]
fn who_cannot_have_an_address_takes_it_from_nobody() {
    check_site(
        "panel main : P {
  bus keys {
    expander x : X, address 9
    keypad a : K, address 9
  }
}",
        &[AddressTaken, AddressOutOfRange],
        expect![[r#"
            5:27 address-out-of-range error: a cannot have address 9: on main.keys a keypad has addresses 1 to 8. The next free one is 1.
                model the model's places
                > Give a the address 1
        "#]],
    );
}

#[test]
fn three_on_one_address_are_all_told() {
    check_site(
        "panel main : P {
  bus keys {
    keypad a : K, address 2
    keypad b : K, address 2
    keypad c : K, address 2
  }
}",
        &[AddressTaken],
        expect![[r#"
            4:27 address-taken error: a has address 2 on main.keys, and so have b and c.
                5:27 b has it too
                6:27 c has it too
            5:27 address-taken error: address 2 on main.keys is taken by a: address 1 is free for b.
                4:27 a has it
                > Give b the address 1
            6:27 address-taken error: address 2 on main.keys is taken by a: address 3 is free for c.
                4:27 a has it
                > Give c the address 3
        "#]],
    );
}

#[test]
fn a_second_place_may_be_taken_or_missing() {
    check_plan(
        "model keypad KR, also expander
",
        "panel main : P {
  bus keys {
    keypad a : KR, address 2, expander 9
    expander x : X, address 9
    keypad b : KR, address 3
    keypad c : KR, address 4, expander off
  }
}",
        &[AddressTaken, AddressMissing],
        expect![[r#"
            4:40 address-taken error: a's expander has address 9 on main.keys, and so has x.
                5:29 x has it too
            5:29 address-taken error: address 9 on main.keys is taken by a's expander: address 11 is free for x.
                4:40 a's expander has it
                > Give x the address 11
            6:12 address-missing error: b's expander has no address on main.keys: the next free one is 10, or switch it off: `expander off`.
                > Give b's expander the address 10
        "#]],
    );
}

#[test]
fn a_device_on_a_bus_needs_an_address() {
    check_site(
        "panel main : P {
  bus keys {
    keypad a : K, address 1
    keypad b \"Back door\" : K
    sounder s : B
  }
}",
        &[AddressMissing],
        expect![[r#"
            5:12 address-missing error: b has no address on main.keys: the next free one is 2.
                > Give b the address 2
            6:13 address-missing error: s has no address on main.keys, and the bus has no places for a sounder: move it to another bus or panel.
        "#]],
    );
}

#[test]
fn an_address_must_be_one_for_the_kind() {
    check_site(
        "panel main : P {
  bus keys {
    keypad a : K, address 9
    expander x : X, address 20
    sounder s : B, address 3
    keypad b : K, address 8
  }
}",
        &[AddressOutOfRange],
        expect![[r#"
            4:27 address-out-of-range error: a cannot have address 9: on main.keys a keypad has addresses 1 to 8. The next free one is 1.
                model the model's places
                > Give a the address 1
            5:29 address-out-of-range error: x cannot have address 20: on main.keys an expander has addresses 9 to 12. The next free one is 10.
                model the model's places
                > Give x the address 10
            6:28 address-out-of-range error: main.keys has no places for a sounder: wire s to another bus.
                model the model's places
        "#]],
    );
}

const ENABLED: &str = "model panel E {
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 6
    enabled 1 .. 2
    enabled 1 .. 4, from-revision 4.10
    devices 3
  }
}
";

#[test]
fn an_address_must_be_switched_on_at_the_revision() {
    check_plan(
        ENABLED,
        "panel old : E, revision 4.9 {
  bus keys {
    keypad a : K, address 2
    keypad b : K, address 3
    keypad c : K, address 5
  }
}
panel new : E, revision 4.10 {
  bus keys { keypad d : K, address 4 }
}
panel unsaid : E {
  bus keys { keypad e : K, address 4 }
}",
        &[AddressNotEnabled],
        expect![[r#"
            5:27 address-not-enabled warning: address 3 is switched off from the factory on old at revision 4.9: enable it in the panel's programming, or b does not answer. From revision 4.10 on it is on.
                model which revision switches it on
            6:27 address-not-enabled warning: address 5 is switched off from the factory on old at revision 4.9: enable it in the panel's programming, or c does not answer.
                model what is switched on
            13:36 address-not-enabled warning: address 4 is switched off from the factory on unsaid: enable it in the panel's programming, or e does not answer. From revision 4.10 on it is on: if the panel has it, say so, `revision 4.10`.
                model which revision switches it on
        "#]],
    );
}

#[test]
fn an_address_that_is_off_is_told_with_the_line_that_matters_for_it() {
    let lines = |revision: &str, address: u32| {
        let text = format!(
            "model panel E {{
  bus keys {{
    addresses 1 .. 30
    enabled 21 .. 24
    enabled 5 .. 8
    enabled 1 .. 12, from-revision 5.0
    enabled 13 .. 14, from-revision 4.10
  }}
}}
{}site s {{
panel p : E{revision} {{ bus keys {{ keypad a : K, address {address} }} }}
}}
",
            models()
        );
        let (_, findings) = findings_of(&text);
        let off = findings
            .iter()
            .filter(|(_, of)| of.code == AddressNotEnabled);
        let related = off.flat_map(|(_, of)| &of.related);
        let told = related.map(|(spot, note)| format!("{}: {note}", spot.item.text(spot.span)));
        told.collect::<Vec<_>>().join("; ")
    };
    // A revision is one, with its noughts or without.
    assert_eq!(lines(", revision 5", 9), "");
    assert_eq!(lines(", revision 5.0.0", 9), "");
    // One that a later revision has.
    assert_eq!(
        lines(", revision 4.2", 9),
        "1 .. 12: which revision switches it on"
    );
    assert_eq!(lines("", 13), "13 .. 14: which revision switches it on");
    // One that none has: the nearest that the panel's own revision has.
    assert_eq!(lines(", revision 4.2", 18), "21 .. 24: what is switched on");
    assert_eq!(lines(", revision 4.2", 16), "21 .. 24: what is switched on");
    assert_eq!(
        lines(", revision 4.10", 16),
        "13 .. 14: what is switched on"
    );
    assert_eq!(lines(", revision 5.0", 9), "");
}

#[test]
fn a_bus_carries_so_many_devices_and_has_so_many_places() {
    check_plan(
        ENABLED,
        "panel main : E {
  bus keys {
    keypad a : K, address 1
    keypad b : K, address 2
    keypad c : K, address 3
    keypad d : K, address 4
  }
}
panel other : P {
  bus keys {
    expander x1 : X, address 9
    expander x2 : X, address 10
    expander x3 : X, address 11
    expander x4 : X, address 12
    expander x5 : X
  }
}",
        &[BusFull, AddressMissing],
        expect![[r#"
            7:12 bus-full error: main.keys takes at most 3 devices, and there are 4: move d to another panel, or take it out: no other bus has room.
                model how many it takes
            16:14 address-missing error: x5 has no address on other.keys, and no place for an expander is free: move it to another bus or panel.
            16:14 bus-full error: other.keys has places for 4 expanders, and there are 5: move x5 to another panel, or take it out: no other bus has room.
                model the model's places
        "#]],
    );
}

#[test]
fn a_panel_model_gives_each_kind_addresses_of_its_own() {
    let text = "model panel M {
  bus keys {
    addresses 1 .. 15
    place keypad 1 .. 8
    place expander 8 .. 12
    place receiver 13 .. 20
  }
}
";
    expect![[r#"
        5:20 places-overlap error: address 8 would be for expander and keypad alike: give each kind addresses of its own.
            4:18 places for keypad
        6:20 address-out-of-range error: addresses 13 to 20 for receiver: the bus has addresses 1 to 15. Mend one of the two.
            3:15 the bus's addresses
    "#]].assert_eq(&found(text, &[PlacesOverlap, AddressOutOfRange], 0));
}

#[test]
fn a_free_address_that_is_switched_on_is_offered_first() {
    check_plan(
        "model panel A {
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 8
    enabled 3 .. 4
  }
}
",
        "panel main : A { bus keys {
  keypad a : K, address 3
  keypad b : K
} }
panel other : A { bus keys {
  keypad c : K, address 3
  keypad d : K, address 4
  keypad e : K
} }",
        &[AddressMissing],
        expect![[r#"
            4:10 address-missing error: b has no address on main.keys: the next free one is 4.
                > Give b the address 4
            9:10 address-missing error: e has no address on other.keys: the next free one is 1.
                > Give e the address 1
        "#]],
    );
}

#[test]
fn what_is_too_much_for_a_bus_goes_where_there_is_room() {
    let models = "model keypad KR {
  standby 50 mA
  also receiver
}
model panel A {
  output aux 13.8 V
  bus one {
    power aux
    addresses 1 .. 4
    place keypad 1 .. 3
    place receiver 4 .. 4
  }
  bus two {
    power aux
    addresses 1 .. 4
    devices 1
  }
}
";
    let site = |two: &str| {
        format!(
            "panel main : A {{
  bus one {{
    keypad a : KR, address 1, receiver 4
    keypad b : KR, address 2, receiver 4
  }}
  bus two {{ {two} }}
}}"
        )
    };
    check_plan(
        models,
        &site(""),
        &[BusFull],
        expect![[r#"
            5:12 bus-full error: main.one has places for 1 receiver, and there are 2: switch a's receiver off, or move b to main.two, which has room for it.
                model the model's places
                > Switch a's receiver off
        "#]],
    );
    check_plan(
        models,
        &site("keypad c : K, address 1"),
        &[BusFull],
        expect![[r#"
            5:12 bus-full error: main.one has places for 1 receiver, and there are 2: switch a's receiver off, or move b to another panel, or take it out: no other bus has room.
                model the model's places
                > Switch a's receiver off
        "#]],
    );
}

#[test]
fn all_proposals_can_be_taken_together() {
    let (text, left) = all_mended(
        "panel main : P {
  bus keys {
    keypad a : K, address 2
    keypad b : K, address 2
    keypad c : K, address 2
    keypad d : K
    keypad e : K, address 12
    keypad f : K, address 12
  }
}",
        &[AddressTaken, AddressMissing, AddressOutOfRange],
    );
    assert_eq!(left, [""; 0], "{text}");
    let (text, left) = all_mended(
        "panel main : P {
  zone 1, input 1, from c, loop single
  zone 2, input 1, from c, loop single
  zone 3, input 1, from c, loop single
  zone 4, input 30, from c, loop single
}
detector c : C
run r : quad { main.1 --10 m-- c }",
        &[Code::InputTaken],
    );
    assert_eq!(left, [""; 0], "{text}");
}

#[test]
fn what_is_proposed_to_one_is_not_free_for_the_next() {
    check_site(
        "panel main : P {
  bus keys {
    expander a : X, address 9
    expander b : X, address 10
    expander c : X, address 11
    expander d : X
    expander e : X
  }
}",
        &[AddressMissing],
        expect![[r#"
            7:14 address-missing error: d has no address on main.keys: the next free one is 12.
                > Give d the address 12
            8:14 address-missing error: e has no address on main.keys, and no place for an expander is free: move it to another bus or panel.
        "#]],
    );
}

#[test]
fn switches_count_only_so_far() {
    check_plan(
        "model panel W {
  charger 1 A
  output aux 13.8 V
  bus keys {
    power aux
    addresses 1 .. 12
    place expander 4 .. 12
  }
}
model expander S {
  standby 30 mA
  setting-address by switches, bits 3, low-first
}
",
        "panel main : W { bus keys {
  expander x : S, address 12
  expander y : S, address 7
} }",
        &[Code::AddressOutOfRange],
        expect![[r#"
            3:27 address-out-of-range error: x cannot be set to address 12: its switches count to 7. Give x the address 4.
                > Give x the address 4
        "#]],
    );
}

#[test]
fn a_bus_of_which_no_addresses_are_known_is_not_full() {
    check_plan(
        "model panel Q { bus keys }\n",
        "panel main : Q { bus keys { keypad a : K, address 3 } }",
        &[BusFull, AddressOutOfRange],
        expect![[""]],
    );
}
