//! What is offered in a site that is written in feet and °F.

use expect_test::expect;

use super::shown;
use crate::completion::{complete, document};
use crate::fixture::{fixture, harbour_in_feet};

#[test]
fn a_leg_comes_in_feet() {
    let (view, entry, offset) = harbour_in_feet("front --80 ft-- x1", "front $0");
    let found = complete(&view, &entry, offset);
    let leg = found.iter().find(|found| found.label == "--… ft-- x1");
    let leg = leg.unwrap_or_else(|| panic!("{}", shown(&found)));
    assert_eq!(leg.snippet.as_deref(), Some("--${1:40} ft-- x1"));
}

#[test]
fn the_units_of_the_plan_come_first() {
    let (view, entry, offset) = harbour_in_feet("--80 ft-- x1", "--80 $0-- x1");
    let units = shown(&complete(&view, &entry, offset));
    assert!(
        units.starts_with("ft | a length\nm | a length\n"),
        "{units}"
    );
    let (view, entry, offset) = harbour_in_feet("40 °F .. 95 °F", "40 °F .. 95 $0");
    let units = shown(&complete(&view, &entry, offset));
    expect![[r#"
        °F | a temperature
        °C | a temperature
    "#]]
    .assert_eq(&units);
}

#[test]
fn what_is_filled_in_has_the_units_of_the_plan() {
    let (view, entry, offset) =
        fixture("site a {\n  run r : copper-2x22AWG { main.aux --40 ft-- a }\n  $0\n}\n");
    let found = complete(&view, &entry, offset);
    let word = |word: &str| {
        let found = found.iter().find(|found| found.label == word);
        found.unwrap_or_else(|| panic!("{word} is not offered"))
    };
    let snippet = |name: &str| word(name).snippet.clone();
    let page = document(&view, word("ambient").key.as_deref().unwrap_or_default());
    let page = page.unwrap_or_default();
    assert!(page.contains("ambient 40 °F .. 100 °F"), "{page}");
    expect!["ambient ${1:1} °F .. ${2:2} °F"].assert_eq(&snippet("ambient").unwrap_or_default());
    expect![[r#"
        run ${1:name} "${2:label}" : ${3:MODEL} {
          ${4:main.aux} --${5:40} ft-- ${6:device}
        }"#]]
    .assert_eq(&snippet("run").unwrap_or_default());
}

#[test]
fn cables_are_listed_with_ohms_along_a_thousand_feet() {
    let (view, entry, offset) =
        harbour_in_feet("run b1 : copper-4x22AWG", "run b1 : copper-4x22$0AWG");
    let found = complete(&view, &entry, offset);
    let cable = found.iter().find(|found| found.label == "copper-4x22AWG");
    let cable = cable.expect("the library's");
    expect!["Four cores, 22 AWG, stranded copper: 4 cores, 16.5 ohm/kft"]
        .assert_eq(cable.detail.as_deref().unwrap_or_default());
    let key = cable.key.as_deref().expect("a page");
    expect![[r#"
        **copper-4x22AWG** Four cores, 22 AWG, stranded copper  
        cable model

        4 cores  
        22 AWG copper, 7 strands  
        16.5 ohm/kft, one conductor at 68 °F  
        30.5 pF/ft  
        black, red, green, yellow"#]]
    .assert_eq(&document(&view, key).unwrap_or_default());
}
