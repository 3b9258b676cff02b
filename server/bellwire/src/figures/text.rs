//! Figures for people, in tables of 80 columns; where there are fewer, a line for each figure.

use bellwire_plan::decimal::{fixed, ohms, rows, short};
use bellwire_plan::figures::{ByState, Solved, State, above, below};
use bellwire_plan::model::{Meaning, OutputId, Site};
use bellwire_plan::sentence::count;
use bellwire_plan::vocabulary::Dimension;
use rustc_hash::FxHashSet;

use super::table::Table;
use super::{Row, joined, unit};
use crate::output::plain;

/// The figures of every site, in so many columns, if they are counted.
pub fn write(rows: &[Row], columns: Option<usize>) -> String {
    let mut text = String::new();
    for row in rows {
        let Some(site) = row.site() else { continue };
        let called = plain(site.called());
        let file = plain(&row.file);
        match &site.label {
            Some(label) => text.push_str(&format!("{} ({called}), {file}\n", plain(label))),
            None => text.push_str(&format!("{called}, {file}\n")),
        }
        if row.unread > 0 {
            text.push_str(&format!(
                "Incomplete: {} in its text, so figures may lack devices and cable.\n`bellwire check` says what to mend.\n",
                count(row.unread, "error")
            ));
        }
        for table in [
            outputs(row, site),
            devices(row, site),
            legs(row, site),
            batteries(row, site),
            zones(row, site),
            buses(row, site),
        ] {
            table.write(&mut text, columns);
        }
        unsolved(row, &mut text);
        text.push('\n');
    }
    text.push_str(&count(rows.len(), "site"));
    text.push('\n');
    text
}

fn outputs(row: &Row, site: &Site) -> Table {
    let mut table = Table::new(
        "Outputs, amperes",
        &[
            "output",
            " limit",
            " mains",
            " in alarm",
            " battery",
            " in alarm",
        ],
    );
    for figures in &row.figures().outputs {
        let limit = figures
            .limit
            .map_or("-".to_string(), |limit| fixed(limit, 3));
        let name = site.output_name(figures.id());
        let states = cells(&figures.states, |state| {
            let over = figures
                .limit
                .is_some_and(|limit| above(state.amperes, limit));
            marked(fixed(state.amperes, 3), over)
        });
        table.row([name, limit].into_iter().chain(states));
    }
    table
}

fn devices(row: &Row, site: &Site) -> Table {
    let mut table = Table::new(
        "Devices, volts (! outside the range that they work in)",
        &[
            "device",
            "fed by",
            " works",
            " mains",
            " in alarm",
            " battery",
            " in alarm",
        ],
    );
    for figures in &row.figures().devices {
        let Some(device) = site.devices.get(figures.device) else {
            continue;
        };
        let works = device
            .model()
            .and_then(|model| model.works)
            .map(|works| works.value);
        let fed = by(site, &figures.fed_by);
        let range = works.map_or("-".to_string(), |(from, to)| {
            let [from, to] = [from, to].map(|end| match end.is_finite() {
                true => short(end, 1),
                false => String::new(),
            });
            format!("{from}..{to}")
        });
        let states = cells(&figures.states, |state| {
            let outside = works.is_some_and(|(from, to)| {
                state.volts != 0.0 && (below(state.volts, from) || above(state.volts, to))
            });
            marked(fixed(state.volts, 2), outside)
        });
        table.row(
            [device.name.value.clone(), fed, range]
                .into_iter()
                .chain(states),
        );
        if let Some(trigger) = &figures.trigger {
            let name = format!("{} trigger", device.name.value);
            let states = cells(&trigger.states, |state| fixed(state.volts, 2));
            let row = [name, by(site, &trigger.by), "-".to_string()];
            table.row(row.into_iter().chain(states));
        }
    }
    table
}

/// The outputs that something hangs on.
fn by(site: &Site, outputs: &[OutputId]) -> String {
    joined(site, outputs).unwrap_or_else(|| "nothing".to_string())
}

fn legs(row: &Row, site: &Site) -> Table {
    let title = &length_title(site);
    let mut table = Table::new(
        "Cable, volts lost on each leg",
        &[
            "run",
            "from",
            "to",
            title,
            " ohm",
            " mains",
            " in alarm",
            " battery",
            " in alarm",
        ],
    );
    for figures in &row.figures().legs {
        let run = site.runs.get(figures.run).map_or("", |run| &run.name.value);
        let row = [
            run.to_string(),
            site.terminal_name(figures.from),
            site.terminal_name(figures.to),
            length(site, figures.metres),
            fixed(figures.ohms, 2),
        ];
        table.row(
            row.into_iter()
                .chain(cells(&figures.states, |state| fixed(state.drop.abs(), 2))),
        );
    }
    table
}

fn batteries(row: &Row, site: &Site) -> Table {
    let mut table = Table::new(
        "Batteries",
        &[
            "at",
            " fitted Ah",
            " needed Ah",
            " lasts h",
            " of h",
            " standby A",
            " alarm A",
            " recharge h",
        ],
    );
    let or_dash =
        |value: Option<f64>, places| value.map_or("-".to_string(), |value| fixed(value, places));
    let hours = |value: Option<f64>, endless: &str| match value {
        Some(hours) if hours.is_infinite() => endless.to_string(),
        hours => or_dash(hours, 1),
    };
    for figures in &row.figures().batteries {
        table.row([
            unit(site, figures.unit).to_string(),
            marked(or_dash(figures.fitted_ah, 1), figures.is_short()),
            or_dash(figures.needed_ah, 1),
            hours(figures.standby_hours, "for ever"),
            or_dash(figures.required_hours, 1),
            or_dash(figures.standby_amperes, 3),
            or_dash(figures.alarm_amperes, 3),
            hours(figures.recharge_hours, "never"),
        ]);
    }
    table
}

fn zones(row: &Row, site: &Site) -> Table {
    let mut table = Table::new(
        "Zones, ohms at the input (! not read as what it is)",
        &["zone", "input", "condition", " least", " most", "reads as"],
    );
    for figures in &row.figures().zones {
        let Some(zone) = site.zones.get(figures.zone) else {
            continue;
        };
        let input = zone
            .input
            .as_ref()
            .map(|input| site.terminal_name(input.value));
        let mut names = [
            format!("{} {}", unit(site, zone.unit), zone.number.value),
            input.unwrap_or_default(),
        ];
        // Conditions are there where the loop's model is.
        let Some(model) = &zone.loop_model else {
            continue;
        };
        // Without windows it is the model that is to be mended.
        let none = match model.reads.is_empty() {
            true => "-",
            false => "nothing",
        };
        for (called, condition) in figures.in_words(site) {
            let reads = condition.reads.map_or(none, Meaning::name).to_string();
            let names = std::mem::take(&mut names);
            table.row(names.into_iter().chain([
                called,
                ohms(condition.least),
                ohms(condition.most),
                marked(reads, !condition.reads_right(model)),
            ]));
        }
    }
    table
}

fn buses(row: &Row, site: &Site) -> Table {
    let title = &length_title(site);
    let farthest = &format!(" farthest{title}");
    let mut table = Table::new("Buses", &["bus", title, farthest, "taken", "free"]);
    for figures in &row.figures().buses {
        let length = |metres| {
            let more = if figures.whole { "" } else { ".." };
            length(site, metres) + more
        };
        let taken: Vec<u32> = figures.taken.keys().copied().collect();
        let free = figures
            .free
            .iter()
            .map(|(kind, free)| format!("{} {}", kind.name, ranges(free)));
        table.row([
            site.block_name(figures.block),
            length(figures.metres),
            length(figures.longest),
            ranges(&taken),
            free.collect::<Vec<_>>().join(", "),
        ]);
    }
    table
}

/// The title of a column of lengths: the unit that the site is measured in.
fn length_title(site: &Site) -> String {
    format!(" {}", site.measures().usual(Dimension::Length).name())
}

/// A length under it.
fn length(site: &Site, metres: f64) -> String {
    short(site.measures().number(metres, Dimension::Length), 1)
}

/// Why a state has no figures; each reason once. What nothing feeds is in its table.
fn unsolved(row: &Row, text: &mut String) {
    let figures = row.figures();
    let outputs = figures
        .outputs
        .iter()
        .flat_map(|figures| reasons(&figures.states));
    let devices = figures
        .devices
        .iter()
        .filter(|figures| !figures.fed_by.is_empty())
        .flat_map(|figures| reasons(&figures.states));
    let mut told: FxHashSet<&str> = FxHashSet::default();
    for (state, why) in outputs.chain(devices) {
        if told.insert(why) {
            text.push_str(&format!(
                "\nNo figures {}: {}\n",
                state.phrase(),
                plain(why)
            ));
        }
    }
}

fn reasons<T>(states: &ByState<Solved<T>>) -> impl Iterator<Item = (State, &str)> {
    let states = states.iter();
    states.filter_map(|(state, solved)| Some((state, solved.as_ref().err()?.as_str())))
}

/// A cell for each state; one without a solution is a question mark.
fn cells<T>(states: &ByState<Solved<T>>, show: impl Fn(&T) -> String) -> Vec<String> {
    let cell = |(_, solved): (State, &Solved<T>)| solved.as_ref().map_or("?".to_string(), &show);
    states.iter().map(cell).collect()
}

fn marked(text: String, wrong: bool) -> String {
    if wrong { format!("{text} !") } else { text }
}

/// `1..4 7 9..12`.
fn ranges(numbers: &[u32]) -> String {
    let range = |(first, last): (u32, u32)| match first == last {
        true => first.to_string(),
        false => format!("{first}..{last}"),
    };
    let ranges: Vec<String> = rows(numbers).into_iter().map(range).collect();
    match ranges.as_slice() {
        [] => "none".to_string(),
        ranges => ranges.join(" "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_shortened() {
        assert_eq!(ranges(&[1, 2, 3, 7, 9, 10]), "1..3 7 9..10");
        assert_eq!(ranges(&[]), "none");
    }
}
