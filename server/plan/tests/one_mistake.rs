//! A mistake gives one finding, at its place, and none elsewhere: a value that
//! cannot be read makes what hangs on it unknown, not wrong.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

use bellwire_plan::figures::Figures;
use bellwire_plan::model::Site;
use bellwire_plan::source::{File, Form, Item, Quantity, Span, Statement, ValueKind};
use bellwire_plan::vocabulary::{Context, kind, takes, unit, word};
use bellwire_plan::workspace::Workspace;

/// Statements whose first name is one that they give, and lists that are free.
const GIVING: &[&str] = &[
    "model",
    "site",
    "panel",
    "supply",
    "joint",
    "run",
    "output",
    "bus",
    "rules",
    "monitoring",
    "loop",
    "sounds",
    "colours",
    "accept",
];

/// Where the values of a plan are written, with what is wrong for each: a unit
/// that measures something else, no number where only one will do, a name that
/// nothing has.
fn mistakes(file: &File) -> Vec<(Range<usize>, String)> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut spans = Vec::new();
        in_statement(item, item.root(), &mut spans);
        let placed = |(span, wrong): (Span, &str)| {
            let (from, to) = (span.start as usize, span.end as usize);
            (from + start..to + start, wrong.to_string())
        };
        found.extend(spans.into_iter().map(placed));
    }
    found
}

/// Where ranges are written, with ways in which other people write them: back to front,
/// with a hyphen, with a word.
fn ranges_written_otherwise(file: &File) -> Vec<(Range<usize>, String)> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut statements = vec![item.root()];
        while let Some(statement) = statements.pop() {
            statements.extend(statement.body.iter().map(AsRef::as_ref));
            for value in &statement.arguments {
                let ValueKind::Range(Some(_), Some(_)) = &value.kind else {
                    continue;
                };
                let text = item.text(value.span);
                let (from, to) = text.split_once("..").expect("a range");
                let (from, to) = (from.trim(), to.trim());
                let place = value.span.start as usize + start..value.span.end as usize + start;
                // One end is as good as the other where they are the same.
                if from != to {
                    found.push((place.clone(), format!("{to} .. {from}")));
                }
                found.push((place.clone(), format!("{from}-{to}")));
                found.push((place.clone(), format!("{from} - {to}")));
                found.push((place, format!("{from} to {to}")));
            }
        }
    }
    found
}

/// Where numbers with units are written, with what nothing has less of than none below none.
fn negatives(file: &File) -> Vec<(Range<usize>, String)> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut statements = vec![item.root()];
        while let Some(statement) = statements.pop() {
            statements.extend(statement.body.iter().map(AsRef::as_ref));
            let ends = statement
                .arguments
                .iter()
                .flat_map(|value| match &value.kind {
                    ValueKind::Quantity(quantity) => vec![*quantity],
                    ValueKind::Range(from, to) => {
                        [from, to].into_iter().flatten().map(|end| **end).collect()
                    }
                    _ => Vec::new(),
                });
            let legs = statement.path.iter().flat_map(|path| &path.legs);
            for quantity in ends.chain(legs.filter_map(|leg| leg.length)) {
                let signed = |name| ["°C", "AWG"].contains(&name);
                let has_less = quantity.number.value == 0.0
                    || quantity.unit.is_none_or(|unit| signed(item.text(unit)));
                if !has_less {
                    let at = quantity.number.span.start as usize + start;
                    found.push((at..at, "-".to_string()));
                }
            }
        }
    }
    found
}

/// Where numbers are written that must keep within bounds, with one outside for each.
fn out_of_bounds(file: &File) -> Vec<(Range<usize>, String)> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut statements = vec![(item.root(), Context::File)];
        while let Some((statement, context)) = statements.pop() {
            let Some(word) = word(item.keyword(statement), context) else {
                continue;
            };
            let first = statement.arguments.first();
            let inner = word.context(first.map(|value| item.text(value.span)));
            let body = statement.body.iter().map(AsRef::as_ref);
            statements.extend(
                inner
                    .into_iter()
                    .flat_map(|inner| body.clone().map(move |of| (of, inner))),
            );
            let bounds = word.slots.iter().flat_map(|slot| slot.bounds);
            for value in &statement.arguments {
                let ValueKind::Quantity(quantity) = &value.kind else {
                    continue;
                };
                let unit = quantity.unit.and_then(|name| unit(item.text(name)));
                let told = |number: f64| {
                    let own = unit.map_or(number, |unit| unit.to_own_unit(number));
                    let of = unit.map(|unit| unit.dimension);
                    bounds
                        .clone()
                        .any(|bounds| bounds.told(of, own, "").is_some())
                };
                let outside = [0.0, 0.5, 50.0, 120.0]
                    .into_iter()
                    .find(|number| told(*number));
                let Some(outside) = outside else { continue };
                let span = quantity.number.span;
                let place = span.start as usize + start..span.end as usize + start;
                found.push((place, outside.to_string()));
            }
        }
    }
    found
}

/// Every statement in a file's sites, each with where its item starts.
fn in_sites(file: &File) -> Vec<(usize, &Statement)> {
    let mut found = Vec::new();
    let sites = |(_, item): &(usize, &Arc<Item>)| item.keyword(item.root()) == "site";
    for (start, item) in file.items().filter(sites) {
        let mut statements: Vec<&Statement> = item.root().body.iter().map(AsRef::as_ref).collect();
        while let Some(statement) = statements.pop() {
            statements.extend(statement.body.iter().map(AsRef::as_ref));
            found.push((start, statement));
        }
    }
    found
}

/// Where names stand in front of blocks in sites, with nothing in their place.
fn names_left_out(file: &File) -> Vec<(Range<usize>, String)> {
    let with_block = in_sites(file).into_iter();
    let with_block = with_block.filter(|(_, statement)| statement.block.is_some());
    let name = |(start, statement): (usize, &Statement)| {
        let first = statement.arguments.first()?;
        let span = first.span;
        matches!(first.kind, ValueKind::Name(_)).then(|| {
            let (from, to) = (span.start as usize, span.end as usize);
            (from + start..to + start, String::new())
        })
    };
    with_block.filter_map(name).collect()
}

/// Where names of models, rule sets and monitoring centres stand, and what is named inside
/// models, with nothing in their place.
fn names_of_models_left_out(file: &File) -> Vec<(Range<usize>, String)> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut statements = match item.word() {
            "model" | "rules" | "monitoring" => vec![item.root()],
            _ => continue,
        };
        while let Some(statement) = statements.pop() {
            statements.extend(statement.body.iter().map(AsRef::as_ref));
            let own = match item.keyword(statement) {
                "model" => statement.arguments.get(1),
                "rules" | "monitoring" | "output" | "bus" | "loop" => statement.arguments.first(),
                _ => None,
            };
            found.extend(own.map(|name| {
                let (from, to) = (name.span.start as usize, name.span.end as usize);
                (from + start..to + start, String::new())
            }));
        }
    }
    found
}

/// Where blocks open in sites.
fn braces(file: &File) -> Vec<usize> {
    let open = |(start, statement): (usize, &Statement)| {
        let block = statement.block?;
        Some(block.open.start as usize + start)
    };
    in_sites(file).into_iter().filter_map(open).collect()
}

fn in_statement(item: &Item, statement: &Statement, found: &mut Vec<(Span, &'static str)>) {
    let keyword = item.keyword(statement);
    let in_zone = keyword == "loop" && statement.body.is_empty();
    let gives = !in_zone && (GIVING.contains(&keyword) || kind(keyword).is_some());
    let mut number = |quantity: &Quantity, whole: Span| match quantity.unit {
        Some(unit) => {
            let time = ["s", "min", "h", "years"].contains(&item.text(unit));
            found.push((unit, if time { "ohm" } else { "day" }));
        }
        None => found.push((whole, "\"one\"")),
    };
    let mut names: Vec<Span> = Vec::new();
    for value in &statement.arguments {
        match &value.kind {
            ValueKind::Quantity(quantity) => number(quantity, value.span),
            ValueKind::Range(from, to) => {
                let ends = [from, to].into_iter().flatten();
                ends.for_each(|end| number(end, value.span));
            }
            ValueKind::Name(_) if !gives => names.push(value.span),
            _ => {}
        }
    }
    let legs = statement.path.iter().flat_map(|path| &path.legs);
    for length in legs.filter_map(|leg| leg.length) {
        number(&length, length.span());
    }
    let models = statement.model.iter().flat_map(|(_, names)| names);
    let points = statement.path.iter().flat_map(|path| &path.points);
    let references = points.flat_map(|point| &point.references);
    names.extend(models.chain(references).map(|value| value.span));
    found.extend(names.into_iter().map(|span| (span, "nosuch")));
    for inner in &statement.body {
        in_statement(item, inner, found);
    }
}

/// What is found: file, line, code.
fn found(plans: &BTreeMap<String, String>) -> BTreeSet<(String, usize, String)> {
    let workspace: Workspace = common::workspace(plans);
    let view = workspace.view();
    let mut all = BTreeSet::new();
    for name in plans.keys() {
        let entry = view.entry(&common::path(name)).expect("the file");
        for found in view.findings(&entry) {
            let line = entry.file.text().line_of(found.range.start);
            all.insert((name.clone(), line, found.finding.code.to_string()));
        }
    }
    all
}

/// What the demo has none of: a device with a trigger, and a cable of its own.
const TRIGGERED: &str = "\
model panel Q {
  standby 100 mA
  output aux 13.8 V
  output siren 13.8 V, in alarm
}
model sounder B2 {
  standby 25 mA
  alarm 60 mA
  works 10 V .. 15 V
  trigger 5 mA
}
model cable own-4 {
  cores 4
  conductor 22 AWG
  strands 7
}
site held \"Held off\" {
  panel main : Q
  sounder s1 : B2
  run b1 : own-4 { main.aux + main.siren --18 m-- s1 }
}
";

/// What the demo has none of: a supply without much to give, goods, and rules of its own.
const GOODS: &str = "\
model supply W {
  standby 30 mA
  output out 13.8 V, limit 600 mA
  limit 600 mA
  mains 12 W
  charger 500 mA
  battery-max 9 Ah
  cutoff 10.5 V
}
model detector H {
  standby 400 mA
  works 9 V .. 15 V
}
model battery b-7 {
  voltage 12 V
  capacity 7 Ah, over 20 h
  capacity 4.3 Ah, over 1 h
  life 4 years
}
model cable two {
  cores 2
  conductor 0.5 mm2
  capacitance 100 pF/m
}
model cable gauged { conductor 22 AWG }
model cable measured { resistance 53 ohm/km }
rules own {
  standby 4 h
  alarm 5 min
  recharge 24 h, to 80 %
  ageing 1.25
  headroom 20 %
  source \"house rule\"
}
site goods {
  rules own
  supply w : W {
    battery : b-7, fitted 2025-03
  }
  detector d : H
  detector e : H2
  detector f : H2
  joint j, resistance 10 mohm
  run r : two { w.out --10 m-- j --10 m-- d }
  run s : gauged { w.out --10 m-- e }
  run t : measured { w.out --10 m-- f }
}
model detector H2 {
  standby 20 mA
  works 9 V .. 15 V
}
";

/// What the demo writes behind commas, in blocks.
const BLOCKS: &str = "\
use \"../catalog/merrow.bell\"
site blocks {
  panel main : M8 {
    revision 5.1
    partition 1
    partition 2
    bus keys {
      keypad front : K2R {
        address 2
        partition 1
        receiver 13
      }
    }
    zone 1 {
      input 1
      from c
      partition 1
      loop single
    }
  }
  keypad side : K2 {
    partition 2
  }
  detector c : RC
  run k : copper-4x22AWG { main.keys --10 m-- front }
  run s : copper-4x22AWG { main.aux --10 m-- side }
  run z : copper-2x22AWG { main.1 --10 m-- c }
}
";

/// What is enough by little: less would be at hand if a value were what is usual, or what the
/// rule set has that another is built on.
const TIGHT: &str = "\
model supply V {
  standby 30 mA
  output out 12 V
  charger 500 mA
  battery-max 9 Ah
  cutoff 10.8 V
}
model detector G {
  standby 400 mA
  works 10.2 V .. 15 V
}
model battery b-6 {
  voltage 6 V
  capacity 2 Ah, over 20 h
}
rules long {
  standby 24 h
  alarm 10 h
  ageing 2
}
rules brief : long {
  standby 1.9 h
  alarm 5 min
  ageing 1
  source \"house rule\"
}
model panel U {
  standby 30 mA
  output aux 12 V
  bus b {
    power aux
    addresses 1 .. 4
    unit-loads 1
  }
  inputs 1 .. 2 {
    loop single {
      end 2 kohm
      reads normal 1.5 kohm .. 2.5 kohm
      reads alarm 2.5 kohm ..
      reads short .. 1.5 kohm
    }
  }
}
model detector C {
  contact alarm, closed, resistance 100 ohm
}
model keypad L {
  standby 20 mA
  works 9 V .. 15 V
  unit-load 0.5
}
site light {
  panel u : U {
    bus b {
      keypad k : L, address 1
      keypad l : L, address 2
    }
    zone 1, input 1, from c d, loop single
  }
  detector c : C
  detector d : C
  joint j, resistance 2 ohm
  run r : copper-4x22AWG { u.b --5 m-- k --5 m-- l }
  run z : copper-2x22AWG { u.1 --5 m-- c --5 m-- j --5 m-- d }
}
site tight {
  rules brief
  ambient -10 °C .. -5 °C
  supply v : V {
    battery : b-6, in-series 2
  }
  detector g : G
  run r : copper-2x0-5mm2 { v.out --20 m-- g }
}
";

#[test]
fn a_value_that_cannot_be_read_is_told_once() {
    each_is_told_once(mistakes, 300);
}

#[test]
fn a_range_that_is_written_otherwise_is_told_once() {
    each_is_told_once(ranges_written_otherwise, 80);
}

#[test]
fn a_number_below_none_is_told_once() {
    each_is_told_once(negatives, 100);
}

#[test]
fn a_number_out_of_bounds_is_told_once() {
    each_is_told_once(out_of_bounds, 15);
}

#[test]
fn a_block_whose_name_is_missing_is_told_once() {
    each_is_told_once(names_left_out, 20);
}

#[test]
fn a_model_whose_name_is_missing_is_told_once() {
    each_is_told_once(names_of_models_left_out, 20);
}

#[test]
fn a_block_below_its_line_is_told_once() {
    let mut plans = common::demo();
    plans.insert("sites/blocks.bell".to_string(), BLOCKS.to_string());
    // Each file's findings by their codes: those below the line stand elsewhere now.
    let codes = |plans: &BTreeMap<String, String>| {
        let codes = found(plans).into_iter().map(|of| (of.0, of.2));
        codes.collect::<Vec<_>>()
    };
    let before = codes(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        for brace in braces(&File::new(common::path(name), text)) {
            let mut broken = plans.clone();
            let mut text = text.clone();
            text.insert(brace, '\n');
            broken.insert(name.clone(), text.clone());
            let mut new = codes(&broken);
            for known in &before {
                if let Some(same) = new.iter().position(|of| of == known) {
                    new.remove(same);
                }
            }
            tried += 1;
            if new != [(name.clone(), "syntax".to_string())] {
                wrong.push(format!("{name}: {}\n{new:?}", &text[..brace]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 20, "{tried}");
}

fn each_is_told_once(mistakes: impl Fn(&File) -> Vec<(Range<usize>, String)>, least: usize) {
    let mut plans = common::demo();
    plans.insert("sites/held.bell".to_string(), TRIGGERED.to_string());
    plans.insert("sites/goods.bell".to_string(), GOODS.to_string());
    plans.insert("sites/tight.bell".to_string(), TIGHT.to_string());
    let before = found(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        let file = File::new(common::path(name), text);
        for (range, mistake) in mistakes(&file) {
            let line = file.text().line_of(range.start);
            let mut broken = plans.clone();
            let mut text = text.clone();
            text.replace_range(range.clone(), &mistake);
            let shown = text.lines().nth(line).unwrap_or("").trim().to_string();
            broken.insert(name.clone(), text);
            let after = found(&broken);
            let new: Vec<_> = after.difference(&before).collect();
            let here = |of: &&&(String, usize, String)| of.0 == *name && of.1 == line;
            tried += 1;
            if new.iter().filter(here).count() == 0 {
                wrong.push(format!("{name}:{}: nothing is said of `{shown}`", line + 1));
            }
            for (file, at, message) in new.iter().filter(|of| !here(of)) {
                wrong.push(format!(
                    "{name}:{}: `{shown}` also gives {file}:{} {message}",
                    line + 1,
                    at + 1
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > least, "{tried}");
}

/// What is better of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Better {
    More,
    Less,
    /// Neither: it is another.
    Other,
}

/// The figures of all sites that can be told, by what they are of.
fn told(plans: &BTreeMap<String, String>) -> BTreeMap<String, (f64, Better)> {
    let workspace: Workspace = common::workspace(plans);
    let view = workspace.view();
    let mut all = BTreeMap::new();
    let entries = plans
        .keys()
        .filter_map(|name| view.entry(&common::path(name)));
    for entry in entries {
        for evaluation in &entry.evaluations {
            let Some(site) = evaluation.site() else {
                continue;
            };
            let figures = evaluation.figures();
            told_of(site, figures, &mut |what, value, better| {
                let what = format!("{}: {what}", site.called());
                all.extend(value.map(|value| (what, (value, better))));
            });
        }
    }
    all
}

fn told_of(site: &Site, figures: &Figures, tell: &mut dyn FnMut(String, Option<f64>, Better)) {
    use Better::{Less, More, Other};
    for own in &figures.outputs {
        let name = site.output_name(own.id());
        for (state, solved) in own.states.solved() {
            let of = |what| format!("{what} of {name} {}", state.name());
            tell(of("volts"), Some(solved.volts), More);
            tell(of("amperes"), Some(solved.amperes), Less);
        }
    }
    for own in &figures.devices {
        let name = &site.devices[own.device].name.value;
        for (index, tap) in own.taps().enumerate() {
            for (state, solved) in tap.states.solved() {
                let of = |what| format!("{what} of {name} {index} {}", state.name());
                tell(of("volts"), Some(solved.volts), More);
                tell(of("shift"), Some(solved.shift), Less);
            }
        }
    }
    for own in &figures.legs {
        let (run, path, leg) = (&site.runs[own.run].name.value, own.path, own.leg);
        tell(format!("ohms of {run} {path} {leg}"), Some(own.ohms), Other);
    }
    for own in &figures.batteries {
        let name = &site.units[own.unit].name.value;
        let mut tell = |what, value, better| tell(format!("{what} of {name}"), value, better);
        tell("fitted", own.fitted_ah, More);
        tell("usable", own.usable_ah, More);
        tell("needed", own.needed_ah, Less);
        tell("hours", own.standby_hours, More);
        tell("standby", own.standby_amperes, Less);
        tell("alarm", own.alarm_amperes, Less);
        tell("recharge", own.recharge_hours, Less);
    }
    for own in &figures.zones {
        let name = site.zones[own.zone].number.value;
        tell(format!("cable of {name}"), own.cable_ohms, Other);
        for (index, condition) in own.conditions.iter().enumerate() {
            let of = |what| format!("{what} of {name} {index}");
            tell(of("least"), Some(condition.least), Other);
            tell(of("most"), Some(condition.most), Other);
        }
    }
    for own in &figures.buses {
        let name = site.block_name(own.block);
        // Lengths are told as far as they are known.
        tell(format!("unit loads of {name}"), own.unit_loads, Less);
    }
}

#[test]
fn a_value_that_cannot_be_read_makes_no_figure_better() {
    let mut plans = common::demo();
    plans.insert("sites/held.bell".to_string(), TRIGGERED.to_string());
    plans.insert("sites/goods.bell".to_string(), GOODS.to_string());
    plans.insert("sites/tight.bell".to_string(), TIGHT.to_string());
    let before = told(&plans);
    let (mut unknown, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        let file = File::new(common::path(name), text);
        let all = [mistakes(&file), negatives(&file), out_of_bounds(&file)];
        for (range, mistake) in all.into_iter().flatten() {
            let mut broken = plans.clone();
            let mut text = text.clone();
            let line = text[..range.start].lines().count();
            text.replace_range(range, &mistake);
            let shown = text.lines().nth(line - 1).unwrap_or("").trim().to_string();
            // What a route does not name is not wired, so it is in no sum.
            if shown.contains("--") && mistake == "nosuch" {
                continue;
            }
            broken.insert(name.clone(), text);
            let after = told(&broken);
            for (what, (was, better)) in &before {
                let Some((is, _)) = after.get(what) else {
                    unknown += 1;
                    continue;
                };
                let same = was == is || (is - was).abs() <= 1e-9 * was.abs();
                let is_better = match better {
                    Better::More => is > was,
                    Better::Less => is < was,
                    Better::Other => true,
                };
                if !same && is_better {
                    wrong.push(format!(
                        "{name}:{line}: `{shown}`: {what} is {is}, was {was}"
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(unknown > 1000, "{unknown}");
}

/// Where two lines of a block could be drawn together by a comma: where one ends,
/// where the other starts, and where it ends.
fn neighbours(file: &File) -> Vec<[usize; 3]> {
    let mut found = Vec::new();
    for (start, item) in file.items() {
        let mut around = vec![item.root()];
        while let Some(statement) = around.pop() {
            around.extend(statement.body.iter().map(AsRef::as_ref));
            for pair in statement.body.windows(2) {
                let [first, second] = pair else { continue };
                let joins = first.form == Form::Line
                    && first.block.is_none()
                    && second.form == Form::Line
                    && second.block.is_none()
                    && second.model.is_none()
                    && !takes(item.keyword(first), item.keyword(second));
                let ends = [first.span.end, second.span.start, second.span.end];
                if joins {
                    found.push(ends.map(|end| start + end as usize));
                }
            }
        }
    }
    found
}

#[test]
fn a_line_that_is_written_as_a_clause_of_the_one_before_is_told_once() {
    let plans = common::demo();
    let before = found(&plans);
    let (mut tried, mut wrong) = (0, Vec::new());
    for (name, text) in &plans {
        let file = File::new(common::path(name), text);
        for [end, start, last] in neighbours(&file) {
            let (gap, own) = (&text[end..start], &text[start..last]);
            if !gap.trim().is_empty() {
                continue;
            }
            let breaks = gap.matches('\n').count();
            let line = file.text().line_of(end);
            let mut joined = text.clone();
            joined.replace_range(end..last, &format!(", {own}{}", "\n".repeat(breaks)));
            let mut broken = plans.clone();
            broken.insert(name.clone(), joined);
            let after = found(&broken);
            let new: Vec<_> = after.difference(&before).collect();
            tried += 1;
            if new.len() != 1 || new.iter().any(|of| of.0 != *name || of.1 != line) {
                wrong.push(format!("{name}:{}: `, {own}` gives {new:?}", line + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 60, "{tried}");
}
