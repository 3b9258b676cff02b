//! An open document, places in it by the text before them, and edits of it.

use serde_json::{Value, json};

use super::client::{Client, position};
use super::plans::Folder;

/// A server with a site open.
pub struct Open {
    pub client: Client,
    pub folder: Folder,
    pub uri: String,
    pub text: String,
}

impl Open {
    pub fn new(text: &str) -> Open {
        Open::with(text, json!({}))
    }

    /// The same, with members of `initialize` replaced.
    pub fn with(text: &str, params: Value) -> Open {
        let folder = Folder::new();
        let uri = folder.uri("sites/quay.bell");
        let mut client = Client::start_with(&folder.root(), params);
        client.all_read();
        client.open(&uri, 1, text);
        Open {
            client,
            folder,
            uri,
            text: text.to_string(),
        }
    }

    /// The position behind `before` in the text, in UTF-16.
    pub fn behind(&self, before: &str) -> Value {
        position(&self.text, self.text.find(before).unwrap() + before.len())
    }

    pub fn at(&self, before: &str) -> Value {
        json!({"textDocument": {"uri": self.uri}, "position": self.behind(before)})
    }

    pub fn ask(&mut self, method: &str, mut params: Value) -> Value {
        params["textDocument"] = json!({"uri": self.uri});
        self.client.request(method, params)
    }
}

pub fn labels(list: &Value) -> Vec<&str> {
    let items = list.as_array().unwrap().iter();
    items.map(|item| item["label"].as_str().unwrap()).collect()
}

/// `text` after the edits, which are in UTF-16.
pub fn edited(text: &str, edits: &Value) -> String {
    let offset = |position: &Value| {
        let mut lines = text.split_inclusive('\n');
        let line = position["line"].as_u64().unwrap() as usize;
        let start: usize = lines.by_ref().take(line).map(str::len).sum();
        let mut units = position["character"].as_u64().unwrap() as usize;
        let mut at = start;
        for c in text[start..].chars() {
            if units == 0 {
                break;
            }
            units -= c.len_utf16();
            at += c.len_utf8();
        }
        at
    };
    let mut edits: Vec<_> = edits
        .as_array()
        .unwrap()
        .iter()
        .map(|edit| {
            let range = &edit["range"];
            (
                offset(&range["start"])..offset(&range["end"]),
                edit["newText"].as_str().unwrap(),
            )
        })
        .collect();
    edits.sort_by_key(|(range, _)| range.start);
    let mut text = text.to_string();
    for (range, new) in edits.into_iter().rev() {
        text.replace_range(range, new);
    }
    text
}
