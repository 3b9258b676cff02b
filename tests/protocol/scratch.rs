//! A document worked out here from scratch: what the server must answer about it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use bellwire_assist as assist;
use bellwire_plan::day::Day;
use bellwire_plan::source::{Encoding, File, FilePath, Text};
use bellwire_plan::workspace::{Entry, Files, Read, View, Workspace};
use serde_json::{Value, json};

/// The folder, as the server may see it.
struct Disk(PathBuf);

impl Files for Disk {
    fn read(&self, path: &FilePath) -> Read {
        let path = Path::new(path.as_str());
        match std::fs::read_to_string(path) {
            _ if !path.starts_with(&self.0) => Read::Outside,
            Ok(text) => Read::Text(text),
            Err(_) if path.is_dir() => {
                Read::Unreadable("this is a folder, where a file is needed".into())
            }
            Err(_) => Read::Absent,
        }
    }
}

/// A version of the document, worked out from scratch.
pub struct Scratch {
    view: View,
    entry: Arc<Entry>,
}

impl Scratch {
    pub fn new(root: &Path, name: &str, text: &str) -> Scratch {
        // No battery in these plans has a date, so any day does.
        let day = Day {
            year: 2026,
            month: 1,
            day: 1,
        };
        let mut workspace = Workspace::new(Arc::new(Disk(root.to_path_buf())), day);
        let path = FilePath::new(name);
        workspace.put(vec![File::new(path.clone(), text)]);
        let view = workspace.view();
        let entry = view.entry(&path).unwrap();
        Scratch { view, entry }
    }

    fn range(&self, range: &std::ops::Range<usize>) -> Value {
        let text: &Text = self.entry.file.text();
        let at = |offset| {
            let position = text.position(offset, Encoding::Utf16);
            json!({"line": position.line, "character": position.column})
        };
        json!({"start": at(range.start), "end": at(range.end)})
    }

    pub fn outline(&self) -> Vec<Value> {
        fn flat(scratch: &Scratch, symbols: &[assist::Symbol], into: &mut Vec<Value>) {
            for symbol in symbols {
                into.push(json!([symbol.name, scratch.range(&symbol.range)]));
                flat(scratch, &symbol.children, into);
            }
        }
        let mut all = Vec::new();
        flat(self, &assist::outline(&self.entry), &mut all);
        all
    }

    pub fn folds(&self) -> Vec<Value> {
        let folds = assist::folds(&self.entry);
        folds
            .iter()
            .map(|fold| json!([fold.first, fold.last]))
            .collect()
    }

    pub fn highlights(&self, offset: usize) -> Vec<Value> {
        let found = assist::highlights(&self.entry, offset);
        found.iter().map(|found| self.range(&found.range)).collect()
    }

    pub fn findings(&self) -> Vec<Value> {
        let found = self.view.findings(&self.entry);
        found
            .iter()
            .map(|found| {
                // Tabs of a plan are shown as blanks.
                json!([
                    found.finding.code.name(),
                    self.range(&found.range),
                    found.finding.message.replace('\t', " ")
                ])
            })
            .collect()
    }
}
