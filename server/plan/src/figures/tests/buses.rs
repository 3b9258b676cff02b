use proptest::prelude::*;

use super::power::MODELS;
use super::*;

fn plan(site: &str) -> (Site, Figures) {
    solved(&format!("{MODELS}\nsite s {{\n{site}\n}}\n"))
}

#[test]
fn the_cable_of_a_bus_is_all_that_its_data_is_on() {
    let (_, figures) = plan(
        "panel main : P { bus keys {
           keypad a : K, address 1
           keypad b : K, address 2
           keypad c : K, address 3
         } }
         sounder s : B
         run r : quad {
           main.aux + main.keys --10 m-- a --20 m-- b
           a --5 m-- s
         }
         run q : quad { b --40 m-- c }
         run p : pair { b --7 m-- s }",
    );
    // The second path of r is the same cable, so the data is on it; p feeds a
    // sounder and carries none.
    let bus = &figures.buses[0];
    assert_close(bus.metres, 10.0 + 20.0 + 5.0 + 40.0);
    assert_close(bus.longest, 10.0 + 20.0 + 40.0);
    assert_close(bus.farads, 75.0 * 100e-12);
}

#[test]
fn data_goes_on_from_a_device_beside_a_negative() {
    let devices = "panel main : P { bus keys {
           keypad a : K, address 1
           keypad b : K, address 2
         } }
         supply s : S
         supply t : S
         run r : quad, carries data { main.keys + main.aux --10 m-- a + s.out }";
    for far in [
        "a + s.out --20 m-- b + t.out",
        "a --20 m-- b + t.out",
        "a --20 m-- b",
    ] {
        let (_, figures) = plan(&format!(
            "{devices}
         run q : quad, carries data {{ {far} }}"
        ));
        assert_eq!(figures.paths[1].carries.data.len(), 1, "{far}");
        assert!(figures.paths[1].carries.power.is_empty(), "{far}");
        assert_close(figures.buses[0].metres, 30.0);
        assert_close(figures.buses[0].longest, 30.0);
    }
}

#[test]
fn the_longest_way_in_a_ring_is_the_shorter_one_round() {
    let (_, figures) = plan(
        "panel main : P { bus keys {
           keypad a : K, address 1
           keypad b : K, address 2
         } }
         run r : quad { main.keys --10 m-- a --50 m-- b --30 m-- main.keys }",
    );
    assert_close(figures.buses[0].metres, 90.0);
    assert_close(figures.buses[0].longest, 30.0);
}

#[test]
fn a_range_without_end_is_not_listed_without_end() {
    let text = "model panel Q { bus keys { addresses 1 .. 4000000000 } }
model keypad K
site s { panel main : Q { bus keys { keypad k : K } } }";
    let (_, figures) = solved(text);
    assert_eq!(figures.buses[0].free[0].1.len(), crate::figures::MOST_FREE);
}

proptest! {
    #[test]
    fn every_place_is_either_free_or_taken(addresses in prop::collection::vec(1u32..16, 0..12)) {
        let devices: String = addresses
            .iter()
            .enumerate()
            .map(|(index, address)| {
                let (word, model) = if *address < 9 { ("keypad", "K") } else { ("expander", "X") };
                format!("{word} d{index} : {model}, address {address}\n")
            })
            .collect();
        let (site, figures) = plan(&format!("panel main : P {{\nbus keys {{\n{devices}}}\n}}"));
        let bus = &figures.buses[0];
        for (kind, free) in bus.free.iter() {
            let range = if kind.name == "keypad" { 1..=8 } else { 9..=12 };
            let taken = bus.taken.keys().copied().filter(|address| range.contains(address));
            let mut all: Vec<u32> = free.iter().copied().chain(taken).collect();
            all.sort_unstable();
            prop_assert_eq!(all, range.collect::<Vec<_>>());
        }
        for (address, holders) in bus.taken.iter() {
            let having = site.devices.iter().enumerate();
            let having = having.filter(|(_, of)| of.address.unwrap().value == *address);
            let having: Vec<_> = having.map(|(id, _)| id).collect();
            prop_assert_eq!(holders.to_vec(), having);
        }
        prop_assert!(addresses.iter().all(|address| bus.taken.contains_key(address)));
    }
}

#[test]
fn resistors_go_where_the_cable_ends() {
    let models = "
model panel T {
  output aux 13.8 V
  bus data {
    power aux
    addresses 1 .. 32
    terminated 120 ohm
  }
}
model keypad E, standby 10 mA, unit-load 0.125
";
    let ends = |runs: &str| {
        let (site, figures) = solved(&format!(
            "{MODELS}{models}site s {{
  panel main : T {{ bus data {{
    keypad a : E, address 1
    keypad b : E, address 2
    keypad c : K, address 3
  }} }}
  {runs}
}}
"
        ));
        let bus = &figures.buses[0];
        assert_close(bus.unit_loads.expect("read"), 0.125 + 0.125 + 1.0);
        let names = bus.ends.iter().map(|end| site.terminal_name(*end));
        names.collect::<Vec<_>>().join(" ")
    };
    assert_eq!(
        ends("run r : quad { main.data --9 m-- a --9 m-- b --9 m-- c }"),
        "main.data c"
    );
    assert_eq!(
        ends(
            "run r : quad { main.data --9 m-- a --9 m-- b }\n run q : quad { main.data --9 m-- c }"
        ),
        "b c"
    );
}

#[test]
fn a_place_ends_where_the_addresses_of_its_bus_end() {
    let text = "model panel Q { bus keys {
  addresses 2 .. 4
  place keypad 1 .. 8
} }
model keypad K
site s { panel main : Q { bus keys { keypad k : K, address 3 } } }";
    let (_, figures) = solved(text);
    let (kind, free) = &figures.buses[0].free[0];
    assert_eq!((kind.name, free.as_slice()), ("keypad", &[2, 4][..]));
}

#[test]
fn an_address_belongs_to_all_who_ask_for_it_on_their_own_bus_in_order() {
    let text = "model panel Q {
  bus a { addresses 1 .. 4 }
  bus b { addresses 1 .. 4 }
}
model keypad K
site s { panel main : Q {
  bus a { keypad k : K, address 1 }
  bus b {
    keypad l : K, address 2
    keypad m : K, address 2
  }
} }";
    let (site, figures) = solved(text);
    let bus = &figures.buses[1];
    assert_eq!(bus.free[0].1, [1, 3, 4]);
    let both = ["l", "m"].map(|name| device(&site, name));
    assert_eq!(bus.taken[&2].as_slice(), both);
}
