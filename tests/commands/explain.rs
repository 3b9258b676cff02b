//! `bellwire explain`.

use super::folder::{bellwire, fails, text};

#[test]
fn explain_knows_every_code_and_the_nearest_to_a_wrong_one() {
    let folder = tempfile::tempdir().unwrap();
    let list = text(&bellwire(folder.path(), &["explain"]).stdout);
    for code in bellwire_plan::finding::Code::ALL {
        assert!(list.contains(&format!("\n  {} ", code.name())), "{code}");
        let output = bellwire(folder.path(), &["explain", code.name()]);
        let shown = text(&output.stdout);
        assert!(shown.contains(code.title()), "{code}");
        let words = shown.split_whitespace().collect::<Vec<_>>().join(" ");
        let explanation = code.explanation();
        for said in [explanation.why, explanation.example, explanation.mend] {
            let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(words.contains(&said), "{code}: {said} in {shown}");
        }
    }
    fails(
        &bellwire(folder.path(), &["explain", "adress-taken"]),
        "`address-taken`",
    );
}

#[test]
fn explain_knows_what_the_library_has() {
    let folder = tempfile::tempdir().unwrap();
    let explain = |name: &str| bellwire(folder.path(), &["explain", name]);
    let list = text(&bellwire(folder.path(), &["explain"]).stdout);
    for name in [
        "intruder-grade-2",
        "copper-4x22AWG",
        "sealed-12V-7Ah",
        "E24",
    ] {
        assert!(list.contains(&format!("\n  {name} ")), "{list}");
    }
    assert!(list.lines().all(|line| line.trim_end() == line), "{list}");
    for (name, said) in [
        (
            "intruder-grade-3",
            "Standby 60 h\nAlarm 15 min\nRecharge 24 h to 80 %",
        ),
        ("pd6662-grade-3", "Built on intruder-grade-3"),
        (
            "nfpa72-fire",
            "no substitute for an approved fire alarm design",
        ),
        ("sealed-12V-7Ah", "20 h             7 Ah"),
        ("copper-4x22AWG", "54 ohm/km"),
    ] {
        let output = explain(name);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
        let shown = text(&output.stdout);
        assert!(shown.contains(said), "{shown}");
        assert!(
            shown.lines().all(|line| line.chars().count() <= 80),
            "{shown}"
        );
    }
    fails(&explain("intruder-grade2"), "`intruder-grade-2`");
}

#[test]
fn explain_knows_every_word_of_the_notation() {
    let folder = tempfile::tempdir().unwrap();
    let explain = |name: &str| bellwire(folder.path(), &["explain", name]);
    let list = text(&bellwire(folder.path(), &["explain"]).stdout);
    for word in bellwire_plan::vocabulary::WORDS {
        let said = |place: &str| place.split([' ', ',']).any(|said| said == word.name);
        assert!(list.lines().any(said), "{}", word.name);
        let output = text(&explain(word.name).stdout);
        assert!(output.contains(&word.shape()), "{output}");
        assert!(output.contains(word.example.lines().next().unwrap()));
    }
    let zone = text(&explain("zone").stdout);
    assert!(zone.contains("\nin `panel`\n"), "{zone}");
    assert!(zone.contains("It takes: partition, input, from,"), "{zone}");
    let cable = text(&explain("cable").stdout);
    assert!(cable.contains("It takes: cores, conductor,"), "{cable}");
    // A finding's name and a word's.
    let headroom = text(&explain("headroom").stdout);
    assert!(headroom.contains("headroom: Less of an output kept free"));
    assert!(
        headroom.contains("headroom SHARE\nin `rules`"),
        "{headroom}"
    );
    fails(&explain("siren"), "`sounder`");
}
