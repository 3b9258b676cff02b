//! One server measured on one case, as an editor would use it.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::case::{Case, Kind};
use crate::client::{Client, Published, Server, uri};
use crate::machine;
use crate::script::{Edit, Places};
use crate::series::Results;
use crate::{Failure, check};

/// How often things are done.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Servers started.
    pub starts: usize,
    /// Edits of each kind.
    pub edits: usize,
    /// Requests of each kind.
    pub requests: usize,
}

/// The pause between two keys.
const KEY: Duration = Duration::from_millis(20);

/// The names of what is measured.
pub mod metric {
    #![allow(missing_docs, reason = "they are their own description")]
    pub const FIRST: &str = "start to first findings";
    pub const ALL: &str = "start to all findings";
    pub const CHECK: &str = "check, all cores";
    pub const EDIT: &str = "edit to findings";
    pub const TYPING: &str = "edit to findings, a key every 20 ms";
    pub const FLOOD: &str = "edit to findings, all at once";
    pub const BLOCK: &str = "edit to findings, a block left open";
    pub const MODEL: &str = "completion of a model";
    pub const HOVER: &str = "hover";
    pub const FORMATTING: &str = "formatting";
    pub const MEMORY: &str = "resident memory";
    pub const MOST_MEMORY: &str = "resident memory at most";
    pub const REPARSE: &str = "bare tree-sitter reparse";
}

/// Measures a server on a case, from its start to its end.
///
/// # Errors
/// A server that fails, hangs or finds what is not right.
pub fn measure(
    server: &Server,
    case: &Case,
    effort: Effort,
    results: &mut Results,
) -> Result<(), Failure> {
    let name = case.kind.name();
    let mut add =
        |metric: &str, unit, values| results.add(&name, &server.name, metric, unit, values);
    let (mut first, mut all) = (Vec::new(), Vec::new());
    let mut session = None;
    for _ in 0..effort.starts.max(1) {
        if let Some(Session { client, .. }) = session.take() {
            client.finish()?;
        }
        let begun = Session::start(server, case)?;
        first.push(begun.first);
        all.extend(begun.all);
        session = Some(begun);
    }
    let Some(mut session) = session else {
        return Ok(());
    };
    add(metric::FIRST, "ms", first);
    if matches!(case.kind, Kind::Sites(_)) {
        add(metric::ALL, "ms", all);
        if let Some(program) = server.command.first() {
            add(
                metric::CHECK,
                "ms",
                check::check(program, case, effort.starts)?,
            );
        }
    }
    let text = case.text.clone();
    let places = Places::new(case.language, &text);
    let typing = places.typing();
    session.one_by_one(&typing, typing.len().min(effort.edits))?;
    add(
        metric::EDIT,
        "ms",
        session.one_by_one(&typing, effort.edits)?,
    );
    if session.has_versions {
        add(
            metric::TYPING,
            "ms",
            session.stream(&typing, effort.edits, KEY)?,
        );
        add(
            metric::FLOOD,
            "ms",
            session.stream(&typing, effort.edits, Duration::ZERO)?,
        );
    }
    if let Some((before, inside, after)) = places.open_block() {
        session.one_by_one(&before, before.len())?;
        // Whole rounds, so that what was typed is gone at the end.
        let rounds = (effort.edits / 3).div_ceil(inside.len().max(1)) * inside.len();
        add(metric::BLOCK, "ms", session.one_by_one(&inside, rounds)?);
        session.one_by_one(&after, after.len())?;
    }
    for (name, before, key, after) in places.completions() {
        if !session.offers("completionProvider") {
            continue;
        }
        session.one_by_one(&before, before.len())?;
        let at = json!({"line": key.line, "character": key.from + 1});
        let without = json!({"line": key.line, "character": key.from});
        let edits = [(key.clone(), at), (key.undo(), without)];
        add(
            name,
            "ms",
            session.behind(&edits, "textDocument/completion", effort.requests)?,
        );
        session.one_by_one(&after, after.len())?;
    }
    session.requests(&places, effort, &mut add)?;
    let process = session.client.process();
    session.client.settle(Duration::from_millis(300))?;
    session.check_findings()?;
    let (now, most) = machine::memory(process)?;
    add(metric::MEMORY, "MB", vec![now]);
    add(metric::MOST_MEMORY, "MB", vec![most]);
    session.client.finish()
}

struct Session<'a> {
    client: Client,
    case: &'a Case,
    uri: String,
    version: i64,
    /// Milliseconds from the start to the first and to all findings.
    first: f64,
    all: Option<f64>,
    /// The server tells for which version findings are.
    has_versions: bool,
    /// The newest findings of every file that has any.
    found: BTreeMap<String, Vec<String>>,
    /// The findings that there must be, likewise.
    expected: Option<BTreeMap<String, Vec<String>>>,
}

impl<'a> Session<'a> {
    fn start(server: &Server, case: &'a Case) -> Result<Session<'a>, Failure> {
        let expected = case.expected.as_ref().map(|expected| {
            let mut by_file: BTreeMap<String, Vec<String>> = BTreeMap::new();
            for (file, code) in expected {
                let codes = by_file
                    .entry(uri(&case.folder.path().join(file)))
                    .or_default();
                codes.push((*code).to_string());
                codes.sort();
            }
            by_file
        });
        let own = uri(&case.file);
        let began = Instant::now();
        let mut client = Client::start(server, case.folder.path())?;
        client.open(&own, case.language.id, &case.text)?;
        let mut session = Session {
            client,
            case,
            uri: own,
            version: 1,
            first: 0.0,
            all: None,
            has_versions: false,
            found: BTreeMap::new(),
            expected,
        };
        let mut published = session.findings(1)?;
        while !session.is_right() && !matches!(case.kind, Kind::Sites(_)) {
            published = session.findings(1)?;
        }
        session.first = milliseconds(began, published.at);
        session.has_versions = published.version.is_some();
        if matches!(case.kind, Kind::Sites(_)) {
            session.all = Some(milliseconds(began, session.all_findings()?));
        }
        session.client.settle(Duration::from_millis(100))?;
        Ok(session)
    }

    /// Whether the server says that it can do something.
    fn offers(&self, ability: &str) -> bool {
        let told = &self.client.capabilities[ability];
        !told.is_null() && *told != Value::Bool(false)
    }

    /// Waits for findings of the edited file in this version or a newer one.
    fn findings(&mut self, version: i64) -> Result<Published, Failure> {
        let own = self.uri.clone();
        loop {
            let published = self.client.findings(|_| true)?;
            self.note(&published);
            let is_new = published.version.is_none_or(|told| told >= version);
            if published.uri == own && is_new {
                return Ok(published);
            }
        }
    }

    fn note(&mut self, published: &Published) {
        match published.codes.is_empty() {
            true => self.found.remove(&published.uri),
            false => self
                .found
                .insert(published.uri.clone(), published.codes.clone()),
        };
    }

    /// Waits until every file has its findings and no reported work is under way: when that was.
    fn all_findings(&mut self) -> Result<Instant, Failure> {
        let limit = Instant::now() + Duration::from_secs(120);
        let mut last = Instant::now();
        loop {
            if self.is_right() && self.client.progress.0.is_some() && self.client.progress.1 == 0 {
                return Ok(self.client.progress.0.map_or(last, |at| at.max(last)));
            }
            if !self.client.take_in(limit)? {
                return Err(self.wrong("not all findings came"));
            }
            for published in std::mem::take(&mut self.client.published) {
                last = published.at;
                self.note(&published);
            }
        }
    }

    /// Whether the findings are those that there must be: of all files in a workspace, else of the edited one.
    fn is_right(&self) -> bool {
        self.expected
            .as_ref()
            .is_none_or(|expected| match self.case.kind {
                Kind::Sites(_) => *expected == self.found,
                _ => expected.get(&self.uri) == self.found.get(&self.uri),
            })
    }

    /// After all edits were taken back, the findings must be those of the start.
    fn check_findings(&mut self) -> Result<(), Failure> {
        for published in std::mem::take(&mut self.client.published) {
            self.note(&published);
        }
        match self.is_right() {
            true => Ok(()),
            false => Err(self.wrong("the findings are not right at the end")),
        }
    }

    fn wrong(&self, what: &str) -> Failure {
        let expected = self.expected.as_ref().map_or(0, BTreeMap::len);
        let odd = self.found.iter().find(|(file, codes)| {
            let right = self
                .expected
                .as_ref()
                .and_then(|expected| expected.get(*file));
            right != Some(codes)
        });
        let found = self.found.len();
        Failure(format!(
            "{what}: {found} files have some, {expected} should; for one {odd:?}"
        ))
    }

    fn edit(&mut self, edit: &Edit) -> Result<Instant, Failure> {
        self.version += 1;
        let document = json!({"uri": self.uri, "version": self.version});
        let params = json!({"textDocument": document, "contentChanges": [edit.change()]});
        self.client.notify("textDocument/didChange", params)
    }

    /// Edits, each when the findings for the one before it are there; the milliseconds of each.
    fn one_by_one(&mut self, edits: &[Edit], count: usize) -> Result<Vec<f64>, Failure> {
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
    fn stream(
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

    /// All other requests, behind changes of a figure.
    fn requests(
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

fn milliseconds(from: Instant, to: Instant) -> f64 {
    to.saturating_duration_since(from).as_secs_f64() * 1e3
}
