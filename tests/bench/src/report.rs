//! The results as a page for people, and the targets that they are held against.

use std::fmt::Write;

use serde_json::{Value, json};

use crate::case::{Kind, PLANS, thousands};
use crate::series::{Results, Series};
use crate::session::metric;
use crate::{SEED, machine};

/// What Bellwire is called in the tables.
pub const BELLWIRE: &str = "bellwire";

/// What a median and a 99th percentile should be at most.
fn target(kind: Kind, metric: &str) -> Option<(f64, Option<f64>)> {
    let edits = [metric::EDIT, metric::TYPING].contains(&metric);
    let requests = [metric::HOVER, metric::MODEL].contains(&metric);
    let (edit, request, formatting, memory) = match kind {
        Kind::Lines(1_000) => (0.4, 0.4, 0.6, 20.0),
        Kind::Lines(10_000) => (1.5, 1.0, 3.0, 33.0),
        Kind::Lines(100_000) => (12.0, 8.0, 50.0, 200.0),
        Kind::Sites(1_000) if metric == metric::ALL => return Some((150.0, None)),
        Kind::Sites(10_000) if metric == metric::ALL => return Some((1500.0, None)),
        // A site's file is smaller than the smallest plan that has a target.
        Kind::Sites(_) if edits => return Some((0.4, Some(0.8))),
        _ => return None,
    };
    match metric {
        _ if edits => Some((edit, Some(2.0 * edit))),
        _ if requests => Some((request, None)),
        metric::FORMATTING => Some((formatting, None)),
        metric::MEMORY => Some((memory, None)),
        _ => None,
    }
}

/// The whole page.
pub fn page(results: &Results) -> String {
    let mut page = format!(
        "# How fast it is\n\nWritten by `tests/bench/run` on {}, on {} with a load of {} at the end of the run, seed {SEED}. All times in milliseconds, \
         over standard input and output, from the first byte of the edit to the last byte of the findings or the \
         answer; requests are written directly behind an edit. An echo is the same edits in the same rhythm to a server \
         that answers as soon as it has read: what the pipes and the waking of two sleeping processes take, whoever works. \
         `×` is the median against a bare tree-sitter reparse of the same edits in the same rhythm in the same run: between \
         two keys a processor sleeps and forgets, whatever it works at. Processor time is the \
         server's, user and system, over all its threads: other work on the machine hardly touches it. Memory in MB of \
         1,000,000 bytes.\n",
        machine::today(),
        machine::name(),
        machine::load(),
    );
    for kind in PLANS {
        case(&mut page, results, kind);
    }
    growth(&mut page, results);
    others(&mut page, results);
    page
}

fn case(page: &mut String, results: &Results, kind: Kind) {
    let name = kind.name();
    let own: Vec<&Series> = results
        .0
        .iter()
        .filter(|series| series.case == name && series.server == BELLWIRE)
        .collect();
    if own.is_empty() {
        return;
    }
    let _ = writeln!(page, "\n## {}\n", kind.title());
    page.push_str("| | p50 | p95 | p99 | values | × reparse | target | |\n| --- | --: | --: | --: | --: | --: | --: | --- |\n");
    let of = |metric| results.get(&name, BELLWIRE, metric).map(Series::median);
    let (reparse, reparse_typing) = (of(metric::REPARSE), of(metric::REPARSE_TYPING));
    for series in own {
        let p = |percent| figure(series.percentile(percent));
        let (most, verdict) = match target(kind, &series.metric) {
            None => (String::new(), ""),
            Some((median, tail)) => {
                let tail_met = tail.is_none_or(|tail| series.percentile(99.0) <= tail);
                let verdict = match (series.median() <= median, tail_met) {
                    (true, true) => "met",
                    (true, false) => "p99 missed",
                    (false, _) => "missed",
                };
                let tail = tail.map_or(String::new(), |tail| format!(", p99 {}", figure(tail)));
                (format!("{}{tail}", figure(median)), verdict)
            }
        };
        let yardstick = match series.metric.as_str() {
            metric::REPARSE_TYPING | metric::ECHO_TYPING | metric::TYPING => reparse_typing,
            _ => reparse,
        };
        let ratio = match (series.unit, yardstick) {
            ("ms", Some(reparse)) if reparse > 0.0 => format!("{:.1}", series.median() / reparse),
            _ => String::new(),
        };
        let unit = if series.unit == "ms" {
            String::new()
        } else {
            format!(", {}", series.unit)
        };
        let _ = writeln!(
            page,
            "| {}{unit} | {} | {} | {} | {} | {ratio} | {most} | {verdict} |",
            series.metric,
            p(50.0),
            p(95.0),
            p(99.0),
            series.values.len(),
        );
    }
}

/// Medians side by side by size, and the exponent of the growth over the last step.
fn growth(page: &mut String, results: &Results) {
    let of = |kinds: Vec<Kind>, title: &str, page: &mut String| {
        let known = |kind: &Kind| results.get(&kind.name(), BELLWIRE, metric::EDIT).is_some();
        let kinds: Vec<Kind> = kinds.into_iter().filter(known).collect();
        let [.., before, last] = kinds.as_slice() else {
            return;
        };
        let _ = writeln!(
            page,
            "\n## Growth with the number of {title}\n\nMedians. The last column is the power of the size that the last step grows with: 0 is not at all, 1 is in proportion.\n"
        );
        let heads: Vec<String> = kinds.iter().map(|kind| thousands(kind.size())).collect();
        let _ = writeln!(
            page,
            "| | {} | power |\n| --- |{} --: |",
            heads.join(" | "),
            " --: |".repeat(kinds.len())
        );
        let name = last.name();
        for series in results
            .0
            .iter()
            .filter(|series| series.case == name && series.server == BELLWIRE)
        {
            let median = |kind: &Kind| {
                results
                    .get(&kind.name(), BELLWIRE, &series.metric)
                    .map(Series::median)
            };
            let cells: Vec<String> = kinds
                .iter()
                .map(|kind| median(kind).map_or(String::new(), figure))
                .collect();
            let power = median(before).map_or(String::new(), |before| {
                let steps = (last.size() as f64 / kinds[kinds.len() - 2].size() as f64).ln();
                format!("{:.2}", (series.median() / before).ln() / steps)
            });
            let _ = writeln!(
                page,
                "| {} | {} | {power} |",
                series.metric,
                cells.join(" | ")
            );
        }
    };
    let plans = |wanted: fn(&Kind) -> bool| PLANS.into_iter().filter(wanted).collect();
    of(plans(|kind| matches!(kind, Kind::Lines(_))), "lines", page);
    of(plans(|kind| matches!(kind, Kind::Sites(_))), "sites", page);
}

/// The other servers, each beside Bellwire on a file of as many lines.
fn others(page: &mut String, results: &Results) {
    let mut servers: Vec<&str> = results
        .0
        .iter()
        .map(|series| series.server.as_str())
        .collect();
    servers.retain(|server| *server != BELLWIRE);
    servers.dedup();
    if servers.is_empty() {
        return;
    }
    page.push_str(
        "\n## Beside other servers\n\nGeneral-purpose servers for other languages, by the same client in the same run, each on a file of its own \
         language with as many lines. They do other work than Bellwire: this says what an editor's user is used to, not who does the same faster. \
         The versions are those that `tests/bench/run` names; what a server waits on purpose before it looks at an edit is measured with it. \
         Medians; empty where a server does not offer it.\n",
    );
    for lines in [1_000, 10_000, 100_000] {
        let cases = [Kind::Lines(lines), Kind::Python(lines), Kind::Yaml(lines)].map(Kind::name);
        if !results.0.iter().any(|series| cases.contains(&series.case)) {
            continue;
        }
        let cell = |server: &str, metric: &str| {
            let completions = [metric, "completion"];
            let of = |metric: &&str| {
                cases
                    .iter()
                    .find_map(|case| results.get(case, server, metric))
            };
            let metrics = if metric == metric::MODEL {
                &completions[..]
            } else {
                &completions[..1]
            };
            metrics.iter().find_map(of)
        };
        let _ = writeln!(
            page,
            "\n| {} lines | {BELLWIRE} | {} |\n| --- | --: |{}",
            thousands(lines),
            servers.join(" | "),
            " --: |".repeat(servers.len())
        );
        let metrics = [
            metric::FIRST,
            metric::EDIT,
            metric::TYPING,
            metric::FLOOD,
            metric::MODEL,
            metric::HOVER,
            "definition",
            "symbols",
            metric::FORMATTING,
            metric::MEMORY,
        ];
        for metric in metrics {
            let mut row = format!("| {metric} |");
            for server in std::iter::once(&BELLWIRE).chain(&servers) {
                let told =
                    cell(server, metric).map_or(String::new(), |series| figure(series.median()));
                let _ = write!(row, " {told} |");
            }
            page.push_str(&row);
            page.push('\n');
        }
    }
}

/// Three figures that say something.
pub fn figure(value: f64) -> String {
    match value {
        _ if value.is_nan() => String::new(),
        _ if value >= 100.0 => format!("{value:.0}"),
        _ if value >= 10.0 => format!("{value:.1}"),
        _ if value >= 1.0 => format!("{value:.2}"),
        _ => format!("{value:.3}"),
    }
}

/// Everything, for programs.
pub fn json(results: &Results) -> Value {
    let series = results.0.iter().map(|series| {
        json!({
            "case": series.case,
            "server": series.server,
            "metric": series.metric,
            "unit": series.unit,
            "p50": series.median(),
            "p95": series.percentile(95.0),
            "p99": series.percentile(99.0),
            "values": series.values,
        })
    });
    json!({
        "machine": machine::name(),
        "date": machine::today(),
        "load": machine::load(),
        "seed": SEED,
        "series": series.collect::<Vec<_>>(),
    })
}

/// Two builds side by side.
pub fn comparison(results: &Results, first: &str, second: &str) -> String {
    let mut text = String::new();
    for kind in PLANS {
        let name = kind.name();
        let own: Vec<&Series> = results
            .0
            .iter()
            .filter(|series| series.case == name && series.server == first)
            .collect();
        if own.is_empty() {
            continue;
        }
        let _ = writeln!(
            text,
            "\n## {}\n\n| | {first} p50 | {second} p50 | {second} / {first} | {first} p99 | {second} p99 |\n| --- | --: | --: | --: | --: | --: |",
            kind.title()
        );
        for one in own {
            let Some(two) = results.get(&name, second, &one.metric) else {
                continue;
            };
            let _ = writeln!(
                text,
                "| {} | {} | {} | {:.2} | {} | {} |",
                one.metric,
                figure(one.median()),
                figure(two.median()),
                two.median() / one.median(),
                figure(one.percentile(99.0)),
                figure(two.percentile(99.0)),
            );
        }
    }
    text
}
