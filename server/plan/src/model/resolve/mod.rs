//! From a site's statement to a typed site: every name is looked up here, once.

mod below;
mod device;
mod elsewhere;
mod in_model;
mod rules;
mod run;
mod terminal;
mod unit;
mod unread;
mod zone;

pub use in_model::resolve_model;
pub use rules::resolve_rules;

use std::sync::Arc;

use rustc_hash::{FxBuildHasher, FxHashMap};

use super::at::At;
use super::catalog::owned;
use super::scope::Scope;
use super::site::*;
use super::words::Words;
use crate::finding::{Code, Finding, Lack};
use crate::source::{Item, Span, Spot};
use crate::vocabulary::{Context, Dimension, Group, KINDS, Space, word};
use below::Above;
use elsewhere::{declaration, unknown, wrong_kind};

/// Temperature where a site says nothing, °C: that of the tables.
const USUAL_TEMPERATURE: f64 = 20.0;

/// How many unknown names of one site are compared with all that it could mean. Where there
/// are more, it is not the spelling.
const MOST_COMPARED: usize = 256;

/// Resolves a site. What cannot be resolved is left out and reported.
pub fn resolve(item: &Arc<Item>, scope: &dyn Scope, findings: &mut Vec<Finding>) -> Site {
    let mut resolver = Resolver {
        item,
        scope,
        findings,
        names: FxHashMap::with_capacity_and_hasher(item.root().body.len(), FxBuildHasher),
        zones: FxHashMap::default(),
        unread: None,
        compared: 0,
        site: Site {
            item: item.clone(),
            name: None,
            label: None,
            rules: Rules::default(),
            ambient: Some((USUAL_TEMPERATURE, USUAL_TEMPERATURE)),
            ambient_at: None,
            reports: Vec::new(),
            units: Vec::new(),
            devices: Vec::new(),
            zones: Vec::new(),
            zones_unread: false,
            paths_unread: false,
            joints: Vec::new(),
            runs: Vec::new(),
            occurrences: Vec::new(),
        },
    };
    resolver.read(Words::root(item));
    resolver.site
}

struct Resolver<'a> {
    item: &'a Arc<Item>,
    scope: &'a dyn Scope,
    findings: &'a mut Vec<Finding>,
    /// What units, devices and joints are called.
    names: FxHashMap<&'a str, (Named, Span)>,
    /// The first zone of each number of a unit.
    zones: FxHashMap<(UnitId, u32), Span>,
    /// The names that lines give which cannot be read, once somebody asked.
    unread: Option<unread::Unread<'a>>,
    /// How many unknown names were compared with all that they could mean.
    compared: usize,
    site: Site,
}

/// What a name stands for that the site gives. A unit is no terminal by itself;
/// its outputs, buses and inputs are.
#[derive(Clone, Copy)]
enum Named {
    Unit(UnitId),
    Device(DeviceId),
    Joint(JointId),
}

impl<'a> Resolver<'a> {
    fn read(&mut self, words: Words<'a>) {
        self.site.name = words.name().map(owned);
        self.site.label = label(words);
        if let Some(name) = &self.site.name {
            let span = name.span;
            self.declare(span);
        }
        if let Some(words) = words.get("ambient") {
            let ambient = words.range(Dimension::Temperature);
            self.site.ambient = ambient.map(|ambient| {
                let (low, high) = ambient.value;
                // An open end is usual, as far as the other one lets it.
                match (low.is_finite(), high.is_finite()) {
                    (false, _) => (USUAL_TEMPERATURE.min(high), high),
                    (_, false) => (low, USUAL_TEMPERATURE.max(low)),
                    _ => (low, high),
                }
            });
            self.site.ambient_at = ambient.map(|ambient| ambient.span);
        }
        if let Some(rules) = words.get("rules") {
            self.rules(rules);
            self.site.rules.named = true;
        }
        self.site.zones_unread = words.has("zone");
        for report in words.all("report") {
            self.reports_to(report);
        }
        // Names first: a path may stand before what it names.
        let mut units = Vec::new();
        self.each(words.lines(), |resolver, words| match words.keyword() {
            "panel" | "supply" => {
                let id = resolver.unit(words)?;
                units.push((id, words));
                Some(Above::Unit(id))
            }
            "run" => Some(Above::Run),
            "joint" => {
                resolver.joint(words);
                None
            }
            keyword if is_device(keyword) => resolver.device(words, None).map(Above::Device),
            keyword => {
                if word(keyword, Context::Site).is_none() {
                    resolver.unread(words);
                }
                None
            }
        });
        for (unit, words) in units {
            self.each(words.lines(), |resolver, words| match words.keyword() {
                "zone" => resolver.zone(words, unit).map(Above::Zone),
                _ => None,
            });
        }
        self.note_partitions();
        for run in words.all("run") {
            self.run(run);
        }
    }

    /// A line behind a word that means nothing: what it may be meant for is not known.
    fn unread(&mut self, words: Words<'a>) {
        let is_path = |line: Words| line.statement.path.is_some();
        self.site.paths_unread |= words.body().any(is_path);
        self.site.rules.named = true;
        if self.site.ambient_at.is_none() && words.range(Dimension::Temperature).is_some() {
            self.site.ambient = None;
        }
    }

    /// The model behind a statement's colon, of the kind that the statement needs.
    fn model(&mut self, words: Words<'a>, kind: &'static str) -> Option<Arc<Item>> {
        let name = words.model()?;
        let found = self.find(Space::Model, Some(kind), name)?;
        let model = found.model()?;
        if model.kind.name != kind {
            let finding = wrong_kind(name.span, name.value, &found, kind);
            self.findings.push(finding);
            return None;
        }
        Some(found)
    }

    fn find(
        &mut self,
        space: Space,
        kind: Option<&'static str>,
        name: At<&str>,
    ) -> Option<Arc<Item>> {
        match self.scope.find(space, name.value) {
            Some(found) => {
                self.note_item(name.span, &found);
                Some(found)
            }
            None => {
                let (item, span, scope) = (self.item, name.span, self.scope);
                let compares = self.compares();
                let name = name.value.to_string();
                let lack = Lack { space, kind, name };
                let finding = unknown(item, span, lack, scope, compares);
                self.findings.extend(finding);
                None
            }
        }
    }

    /// Whether one more unknown name is compared with all that it could mean.
    fn compares(&mut self) -> bool {
        self.compared += 1;
        self.compared <= MOST_COMPARED
    }

    /// Gives a name to a unit, device or joint. The first to have it keeps it.
    fn name(&mut self, name: At<&'a str>, named: Named) {
        self.declare(name.span);
        if !can_be_called(name.value) {
            return;
        }
        if let Some(&(_, first)) = self.names.get(name.value) {
            let spot = self.site.spot(first);
            self.taken(name, spot);
            return;
        }
        self.names.insert(name.value, (named, name.span));
    }

    fn taken(&mut self, name: At<&str>, first: Spot) {
        self.findings.push(
            Finding::new(
                Code::NameTaken,
                name.span,
                format!(
                    "two things are called `{}`: give this one another name",
                    name.value
                ),
            )
            .with(first, "the other one"),
        );
    }

    fn number_taken(&mut self, things: &str, number: At<u32>, first: Span) {
        let message = format!(
            "there are two {things} {}: give this one another number",
            number.value
        );
        let finding = Finding::new(Code::NameTaken, number.span, message);
        let first = self.site.spot(first);
        self.findings.push(finding.with(first, "the other one"));
    }

    fn declare(&mut self, span: Span) {
        let target = self.site.spot(span);
        self.note(span, target);
    }

    /// Notes what a name stands for.
    fn note(&mut self, span: Span, target: Spot) {
        self.site.occurrences.push(Occurrence { span, target });
    }

    /// Notes that a name stands for an item.
    fn note_item(&mut self, span: Span, item: &Arc<Item>) {
        if let Some(target) = declaration(item) {
            self.note(span, target);
        }
    }

    fn report(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.findings.push(Finding::new(code, span, message));
    }
}

/// Whether something can be called that: `c.1` names nothing, which is told.
fn can_be_called(name: &str) -> bool {
    !name.contains('.')
}

fn is_device(keyword: &str) -> bool {
    KINDS
        .iter()
        .any(|kind| kind.group == Group::Device && kind.name == keyword)
}

fn label(words: Words) -> Option<String> {
    words.label().map(|label| label.value.into_owned())
}
