//! Columns in each of the three encodings, past characters of every width.

use bellwire_tests::wire::framed;
use serde_json::{Value, json};

use super::client::{Client, introduction};
use super::plans::{Folder, site};

const LINE: &str = "keypad odd \"Ω½ 🔔🔔 e\u{301}\" : T2, address 1";

/// What a column counts.
type Units = fn(&str) -> usize;

const ENCODINGS: [(&str, Units); 3] = [
    ("utf-8", str::len),
    ("utf-16", |text| text.encode_utf16().count()),
    ("utf-32", |text| text.chars().count()),
];

/// A server that has chosen an encoding from those offered.
fn agreed(folder: &Folder, offered: Value, expected: &str) -> Client {
    let mut client = Client::silent();
    let mut params = introduction(&folder.root());
    params["capabilities"]["general"] = json!({"positionEncodings": offered});
    let answer = client.request("initialize", params);
    assert_eq!(answer["capabilities"]["positionEncoding"], expected);
    client.notify("initialized", json!({}));
    client
}

#[test]
fn bytes_are_preferred_and_utf16_is_what_is_left() {
    let folder = Folder::new();
    agreed(&folder, json!(["utf-16", "utf-32", "utf-8"]), "utf-8").finish();
    agreed(&folder, json!(["utf-16", "utf-32"]), "utf-32").finish();
    agreed(&folder, json!(["utf-16"]), "utf-16").finish();
    agreed(&folder, json!([]), "utf-16").finish();
    agreed(&folder, Value::Null, "utf-16").finish();
}

#[test]
fn places_behind_wide_characters_are_right_both_ways() {
    for (encoding, units) in ENCODINGS {
        let folder = Folder::new();
        let uri = folder.uri("sites/quay.bell");
        let text = site(2).replace("keypad rear  \"Yard\" : T2, address 2", LINE);
        let mut client = agreed(&folder, json!([encoding]), encoding);
        client.open(&uri, 1, &text);
        let found = client.findings_of(&uri, 1);
        let taken = found
            .as_array()
            .unwrap()
            .iter()
            .rfind(|finding| finding["code"] == "address-taken");
        let range = &taken.unwrap_or_else(|| panic!("{found}"))["range"];
        let line = text.lines().position(|line| line.contains("odd")).unwrap();
        let whole = text.lines().nth(line).unwrap();
        assert_eq!(
            range["end"],
            json!({"line": line, "character": units(whole)}),
            "{encoding}"
        );
        // An edit at the end of that line lands there.
        let end = range["end"].clone();
        let gap = json!({"start": end, "end": end});
        client.change(&uri, 2, json!([{"range": gap, "text": "4 # 🔔"}]));
        let found = client.findings_of(&uri, 2);
        let out_of_range = found
            .as_array()
            .unwrap()
            .iter()
            .find(|finding| finding["code"] == "address-out-of-range");
        let range = &out_of_range.unwrap_or_else(|| panic!("{found}"))["range"];
        assert_eq!(
            range["end"]["character"],
            json!(units(whole) + 1),
            "{encoding}"
        );
        client.finish();
    }
}

#[test]
fn positions_inside_a_character_or_outside_the_text_do_no_harm() {
    for (encoding, _) in ENCODINGS {
        let folder = Folder::new();
        let uri = folder.uri("a.bell");
        let mut client = agreed(&folder, json!([encoding]), encoding);
        client.open(&uri, 1, "# 🔔\nsite a\n");
        let far = u32::MAX;
        for (line, character) in [(0, 3), (0, far), (far, 0), (far, far), (1, 99)] {
            let at = json!({"textDocument": {"uri": uri}, "position": {"line": line, "character": character}});
            client.request("textDocument/documentHighlight", at.clone());
            client.request("textDocument/definition", at);
        }
        let range =
            json!({"start": {"line": far, "character": far}, "end": {"line": 0, "character": 0}});
        client.change(&uri, 2, json!([{"range": range, "text": "site b\n"}]));
        let outline = client.request(
            "textDocument/documentSymbol",
            json!({"textDocument": {"uri": uri}}),
        );
        let names: Vec<_> = outline
            .as_array()
            .unwrap()
            .iter()
            .map(|symbol| symbol["name"].clone())
            .collect();
        assert_eq!(names, [json!("a"), json!("b")]);
        client.finish();
    }
}

#[test]
fn half_a_character_holds_the_place_of_one() {
    // Bytes of half a surrogate pair as WTF-8 has it, units of UTF-16, characters.
    for (encoding, half) in [("utf-8", 3), ("utf-16", 1), ("utf-32", 1)] {
        let folder = Folder::new();
        let uri = folder.uri("a.bell");
        let mut client = agreed(&folder, json!([encoding]), encoding);
        client.open(&uri, 1, "site \"\"\n");
        let at = |column| json!({"line": 0, "character": column});
        let insert = |column, text: &str| json!([{"range": {"start": at(column), "end": at(column)}, "text": text}]);
        // JSON of ours cannot say it: written by hand.
        let params = json!({
            "textDocument": {"uri": uri, "version": 2},
            "contentChanges": insert(6, "HALF"),
        });
        let edit = json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": params});
        let body = edit.to_string().replace("HALF", r"\ud83d");
        client.raw(&framed(body));
        client.change(&uri, 3, insert(6 + half, "b"));
        client.change(&uri, 4, insert(5, "a "));
        let document = json!({"textDocument": {"uri": uri}});
        let outline = client.request("textDocument/documentSymbol", document);
        assert_eq!(outline[0]["name"], "a", "{encoding}");
        assert_eq!(outline[0]["detail"], "\u{fffd}b", "{encoding}");
        client.finish();
    }
}
