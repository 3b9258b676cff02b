//! Edits as clients write them. An edit that is refused would leave us with another text than the
//! editor, and all that is said of it from then on would be wrong. So none is that can be done.

use serde_json::Value;

/// Puts right what is odd about an edit, or the opening of a document, and does not matter.
pub fn mend(message: &mut Value) {
    let opens = match message.get("method").and_then(Value::as_str) {
        Some("textDocument/didOpen") => true,
        Some("textDocument/didChange") => false,
        _ => return,
    };
    let Some(params) = message.get_mut("params") else {
        return;
    };
    if let Some(Value::Object(document)) = params.get_mut("textDocument") {
        // Up to version 3.15 of the protocol it could be `null`. 0 is newer than none, so an
        // edit without one takes its turn as it comes.
        let version = document.get("version").and_then(Value::as_i64);
        if version.is_none_or(|version| i32::try_from(version).is_err()) {
            document.insert("version".to_string(), 0.into());
        }
        if opens {
            document.insert("languageId".to_string(), "bellwire".into());
        }
    }
    let Some(Value::Array(changes)) = params.get_mut("contentChanges") else {
        return;
    };
    for change in changes.iter_mut().filter_map(Value::as_object_mut) {
        // No longer part of the protocol, and not needed.
        change.remove("rangeLength");
        for end in ["start", "end"] {
            let end = change.get_mut("range").and_then(|range| range.get_mut(end));
            let members = end.and_then(Value::as_object_mut).into_iter().flatten();
            members.for_each(|(_, number)| whole(number));
        }
        if !change.get("text").is_some_and(Value::is_string) {
            tracing::error!(
                "an edit has no text and is left out: close the file and open it again"
            );
        }
    }
}

/// A line or a column as large as one gets, where it is larger or no whole number.
fn whole(number: &mut Value) {
    let is_fine = number
        .as_u64()
        .is_some_and(|whole| u32::try_from(whole).is_ok());
    if let (false, Some(value)) = (is_fine, number.as_f64()) {
        *number = (value as u32).into();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn mended(method: &str, mut params: Value) -> Value {
        let mut message = json!({"method": method, "params": params.take()});
        mend(&mut message);
        message["params"].take()
    }

    #[test]
    fn a_version_that_is_none_is_the_first() {
        for version in [Value::Null, json!("7"), json!(8.5), json!(1_u64 << 40)] {
            let document = json!({"uri": "file:///a.bell", "version": version, "text": "a"});
            let document = mended("textDocument/didOpen", json!({"textDocument": document}));
            let expected = json!({"uri": "file:///a.bell", "version": 0, "text": "a", "languageId": "bellwire"});
            assert_eq!(document["textDocument"], expected);
        }
        let document = json!({"textDocument": {"uri": "file:///a.bell"}});
        let mended = mended("textDocument/didChange", document);
        assert_eq!(mended["textDocument"]["version"], 0);
    }

    #[test]
    fn places_are_as_far_as_places_go() {
        let place = |line: Value, character: Value| json!({"line": line, "character": character});
        let change =
            |start: Value, end: Value| json!({"range": {"start": start, "end": end}, "text": "b"});
        let mut given = change(
            place(json!(-1), json!(2.0)),
            place(json!(1e300), json!(1_u64 << 32)),
        );
        given["rangeLength"] = json!(-1);
        let most = u32::MAX;
        let expected = change(place(json!(0), json!(2)), place(json!(most), json!(most)));
        let mended = mended("textDocument/didChange", json!({"contentChanges": [given]}));
        assert_eq!(mended["contentChanges"], json!([expected]));
    }

    #[test]
    fn what_is_well_or_nothing_of_ours_stays() {
        let place = json!({"line": 3, "character": u32::MAX});
        let change = json!({"range": {"start": place, "end": place}, "text": ""});
        let params = json!({"textDocument": {"uri": "a:b", "version": -4}, "contentChanges": [change, {"text": "x"}]});
        assert_eq!(mended("textDocument/didChange", params.clone()), params);
        let other =
            json!({"textDocument": {"version": null}, "contentChanges": [{"rangeLength": 1}]});
        assert_eq!(mended("textDocument/hover", other.clone()), other);
        assert_eq!(mended("textDocument/didChange", json!(7)), json!(7));
    }
}
