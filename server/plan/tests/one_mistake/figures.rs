//! What hangs on a mistake is unknown: no figure becomes a better one by it.

use std::collections::BTreeMap;

use bellwire_plan::figures::Figures;
use bellwire_plan::model::Site;
use bellwire_plan::source::File;
use bellwire_plan::workspace::Workspace;

use crate::mistakes::{mistakes, negatives, out_of_bounds};
use crate::{common, plans};

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
    let plans = plans();
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
