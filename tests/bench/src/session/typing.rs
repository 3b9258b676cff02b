//! What is measured while a document is typed in: edits, and requests behind them.

use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::{Effort, KEY, Session, metric, milliseconds};
use crate::script::{Edit, Places};
use crate::{Failure, machine};

impl Session<'_> {
    fn edit(&mut self, edit: &Edit) -> Result<Instant, Failure> {
        self.version += 1;
        let document = json!({"uri": self.uri, "version": self.version});
        let params = json!({"textDocument": document, "contentChanges": [edit.change()]});
        self.client.notify("textDocument/didChange", params)
    }

    /// Edits, each when the findings for the one before it are there; the milliseconds of each.
    pub(super) fn one_by_one(&mut self, edits: &[Edit], count: usize) -> Result<Vec<f64>, Failure> {
        let mut times = Vec::new();
        // Whole rounds leave the text as it was.
        let rounds = count.div_ceil(edits.len().max(1)) * edits.len();
        for edit in edits.iter().cycle().take(rounds) {
            if !self.has_versions {
                // What is late from before must not be taken for an answer to this.
                self.client.settle(Duration::ZERO)?;
                self.client.published.clear();
            }
            let sent = self.edit(edit)?;
            let published = self.findings(self.version)?;
            times.push(milliseconds(sent, published.at));
        }
        Ok(times)
    }

    /// Edits that do not wait for findings, a pause apart; for each, the milliseconds until
    /// findings came that take it into account.
    pub(super) fn stream(
        &mut self,
        edits: &[Edit],
        count: usize,
        pause: Duration,
    ) -> Result<Vec<f64>, Failure> {
        let first = self.version + 1;
        let (mut sent, mut came) = (Vec::new(), Vec::new());
        let mut next = Instant::now();
        let rounds = count.div_ceil(edits.len().max(1)) * edits.len();
        for edit in edits.iter().cycle().take(rounds) {
            while Instant::now() < next {
                self.client.take_in(next)?;
            }
            next += pause;
            sent.push(self.edit(edit)?);
        }
        let own = self.uri.clone();
        let mut newest = 0;
        while newest < self.version {
            let published = self.client.findings(|_| true)?;
            self.note(&published);
            if let (true, Some(version)) = (published.uri == own, published.version) {
                newest = version;
                came.push((version, published.at));
            }
        }
        let times = sent.iter().zip(first..).filter_map(|(sent, version)| {
            let (_, at) = came.iter().find(|(told, _)| *told >= version)?;
            Some(milliseconds(*sent, *at))
        });
        Ok(times.collect())
    }

    /// Requests, each written directly behind an edit, at the place beside it: the milliseconds
    /// from the edit's first byte to the answer's last.
    fn behind(
        &mut self,
        edits: &[(Edit, Value)],
        method: &str,
        count: usize,
    ) -> Result<Vec<f64>, Failure> {
        let mut times = Vec::new();
        let rounds = count.div_ceil(edits.len().max(1)) * edits.len();
        for (edit, place) in edits.iter().cycle().take(rounds) {
            let mut params = json!({"textDocument": {"uri": self.uri}});
            if let (Some(all), Some(own)) = (params.as_object_mut(), place.as_object()) {
                match own.contains_key("line") {
                    true => {
                        all.insert("position".into(), place.clone());
                    }
                    false => all.extend(own.clone()),
                }
            }
            let sent = self.edit(edit)?;
            let (at, answer) = self.client.request(method, params)?;
            times.push(milliseconds(sent, at));
            let is_empty = answer.is_null() || answer.as_array().is_some_and(Vec::is_empty);
            if is_empty && self.expected.is_some() && !method.contains("ormatting") {
                return Err(Failure(format!("{method} has no answer at {place}")));
            }
            self.findings(self.version)?;
        }
        Ok(times)
    }

    /// Edits of all kinds.
    pub(super) fn edits(
        &mut self,
        places: &Places,
        effort: Effort,
        add: &mut impl FnMut(&str, &'static str, Vec<f64>),
    ) -> Result<(), Failure> {
        let mut typing = places.typing();
        if effort.edits < typing.len() {
            // Only the changes of a number, which come last.
            typing = typing.split_off(typing.len().saturating_sub(4));
        }
        // Once for nothing, so that everything has been touched.
        self.one_by_one(&typing, typing.len())?;
        let process = self.client.process();
        let before = machine::processor_time(process)?;
        let times = self.one_by_one(&typing, effort.edits)?;
        let work = (machine::processor_time(process)? - before) / times.len().max(1) as f64;
        add(metric::EDIT, "ms", times);
        add(metric::EDIT_WORK, "ms", vec![work]);
        if self.has_versions {
            add(
                metric::TYPING,
                "ms",
                self.stream(&typing, effort.edits, KEY)?,
            );
            add(
                metric::FLOOD,
                "ms",
                self.stream(&typing, effort.edits, Duration::ZERO)?,
            );
        }
        if let Some((before, inside, after)) = places.open_block() {
            self.one_by_one(&before, before.len())?;
            add(
                metric::BLOCK,
                "ms",
                self.one_by_one(&inside, effort.edits / 3)?,
            );
            self.one_by_one(&after, after.len())?;
        }
        Ok(())
    }

    /// Completions, each behind a key that comes or goes.
    pub(super) fn completions(
        &mut self,
        places: &Places,
        effort: Effort,
        add: &mut impl FnMut(&str, &'static str, Vec<f64>),
    ) -> Result<(), Failure> {
        if !self.offers("completionProvider") {
            return Ok(());
        }
        for (name, before, key, after) in places.completions() {
            self.one_by_one(&before, before.len())?;
            let at = json!({"line": key.line, "character": key.from + 1});
            let without = json!({"line": key.line, "character": key.from});
            let edits = [(key.clone(), at), (key.undo(), without)];
            add(
                name,
                "ms",
                self.behind(&edits, "textDocument/completion", effort.requests)?,
            );
            self.one_by_one(&after, after.len())?;
        }
        Ok(())
    }

    /// All other requests, behind changes of a figure.
    pub(super) fn requests(
        &mut self,
        places: &Places,
        effort: Effort,
        add: &mut impl FnMut(&str, &'static str, Vec<f64>),
    ) -> Result<(), Failure> {
        let Some((line, name, length)) = places.anchor() else {
            return Ok(());
        };
        let at = |character: usize| json!({"line": line, "character": character});
        let view = json!({"range": {
            "start": {"line": line.saturating_sub(30), "character": 0},
            "end": {"line": line + 30, "character": 0},
        }});
        let options = json!({"options": {"tabSize": 2, "insertSpaces": true}});
        let kinds = [
            (metric::HOVER, "hoverProvider", "hover", at(name)),
            (
                "definition",
                "definitionProvider",
                "definition",
                at(length - 1),
            ),
            (
                "symbols",
                "documentSymbolProvider",
                "documentSymbol",
                json!({}),
            ),
            (
                "tokens",
                "semanticTokensProvider",
                "semanticTokens/full",
                json!({}),
            ),
            (
                "tokens in view",
                "semanticTokensProvider",
                "semanticTokens/range",
                view,
            ),
            (
                metric::FORMATTING,
                "documentFormattingProvider",
                "formatting",
                options,
            ),
        ];
        for (metric, ability, method, place) in kinds {
            if !self.offers(ability) {
                continue;
            }
            let edits: Vec<(Edit, Value)> = places
                .figures()
                .into_iter()
                .map(|edit| (edit, place.clone()))
                .collect();
            let method = format!("textDocument/{method}");
            add(metric, "ms", self.behind(&edits, &method, effort.requests)?);
        }
        Ok(())
    }
}
