//! One server measured on one case, as an editor would use it.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use bellwire_tests::wire::uri;
use serde_json::Value;

use crate::case::{Case, Kind};
use crate::client::{Client, Published, Server};
use crate::machine;
use crate::script::Places;
use crate::series::Results;
use crate::{Failure, check};

mod shared;
mod typing;

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
pub const KEY: Duration = Duration::from_millis(20);

/// The names of what is measured.
pub mod metric {
    #![allow(missing_docs, reason = "they are their own description")]
    pub const FIRST: &str = "start to first findings";
    pub const ALL: &str = "start to all findings";
    pub const CHECK: &str = "check, all cores";
    pub const FIRST_WORK: &str = "processor time of the start";
    pub const EDIT_WORK: &str = "processor time of an edit";
    pub const EDIT: &str = "edit to findings";
    pub const TYPING: &str = "edit to findings, a key every 20 ms";
    pub const FLOOD: &str = "edit to findings, all at once";
    pub const BLOCK: &str = "edit to findings, a block left open";
    pub const SHARED: &str = "edit of a catalog to the findings of all its users";
    pub const MODEL: &str = "completion of a model";
    pub const HOVER: &str = "hover";
    pub const FORMATTING: &str = "formatting";
    pub const MEMORY: &str = "resident memory";
    pub const MOST_MEMORY: &str = "resident memory at most";
    pub const REPARSE: &str = "bare tree-sitter reparse";
    pub const REPARSE_TYPING: &str = "bare tree-sitter reparse, a key every 20 ms";
    pub const ECHO: &str = "an echo";
    pub const ECHO_TYPING: &str = "an echo, a key every 20 ms";
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
    let (mut first, mut all, mut work) = (Vec::new(), Vec::new(), Vec::new());
    let mut session = None;
    for _ in 0..effort.starts.max(1) {
        if let Some(Session { client, .. }) = session.take() {
            client.finish()?;
        }
        let begun = Session::start(server, case)?;
        first.push(begun.first);
        all.extend(begun.all);
        work.push(machine::processor_time(begun.client.process())?);
        session = Some(begun);
    }
    let Some(mut session) = session else {
        return Ok(());
    };
    add(metric::FIRST, "ms", first);
    add(metric::FIRST_WORK, "ms", work);
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
    let places = Places::new(case.language, &case.text);
    session.edits(&places, effort, &mut add)?;
    session.completions(&places, effort, &mut add)?;
    session.requests(&places, effort, &mut add)?;
    if matches!(case.kind, Kind::Sites(_)) {
        session.shared_catalog(effort, &mut add)?;
    }
    session.client.settle(Duration::from_millis(300))?;
    session.check_findings()?;
    let (now, most) = machine::memory(session.client.process())?;
    add(metric::MEMORY, "MB", vec![now]);
    add(metric::MOST_MEMORY, "MB", vec![most]);
    session.client.finish()
}

/// Measures what the machine takes to carry an edit to a server that does nothing and
/// its answer back, in the rhythms in which edits are measured.
///
/// # Errors
/// An echo that fails or hangs.
pub fn floor(
    echo: &Server,
    case: &Case,
    effort: Effort,
    mut add: impl FnMut(&str, &'static str, Vec<f64>),
) -> Result<(), Failure> {
    let mut session = Session::open(echo, case)?;
    session.expected = None;
    session.has_versions = true;
    session.findings(1)?;
    let typing = Places::new(case.language, &case.text).typing();
    session.one_by_one(&typing, typing.len())?;
    let times = session.one_by_one(&typing, effort.edits)?;
    add(metric::ECHO, "ms", times);
    let times = session.stream(&typing, effort.edits, KEY)?;
    add(metric::ECHO_TYPING, "ms", times);
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
    /// Starts a server and opens the document, and waits for nothing.
    fn open(server: &Server, case: &'a Case) -> Result<Session<'a>, Failure> {
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
        let mut client = Client::start(server, case.folder.path())?;
        client.open(&own, case.language.id, &case.text)?;
        Ok(Session {
            client,
            case,
            uri: own,
            version: 1,
            first: 0.0,
            all: None,
            has_versions: false,
            found: BTreeMap::new(),
            expected,
        })
    }

    /// Starts a server, and waits until it has found what there is.
    fn start(server: &Server, case: &'a Case) -> Result<Session<'a>, Failure> {
        let began = Instant::now();
        let mut session = Session::open(server, case)?;
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
}

fn milliseconds(from: Instant, to: Instant) -> f64 {
    to.saturating_duration_since(from).as_secs_f64() * 1e3
}
