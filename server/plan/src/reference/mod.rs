//! The printed language reference, drawn from the vocabulary and the findings.
//!
//! What no table can say, the meaning of a plan as a whole, is in `meaning.md`.

use crate::finding::Code;
use crate::library::LIBRARY;
use crate::model::Words;
use crate::vocabulary::{Context, Count, KINDS, UNITS, What, Word, words};

/// The order in which contexts are printed, each with its heading.
pub const CHAPTERS: &[(Context, &str)] = &[
    (Context::File, "At the top level of a file"),
    (Context::Site, "In `site`"),
    (Context::Report, "In `report`"),
    (Context::Panel, "In `panel`"),
    (Context::Supply, "In `supply`"),
    (Context::Battery, "In `battery`"),
    (Context::Bus, "In `bus` of a panel"),
    (Context::Device, "In a device"),
    (Context::Zone, "In `zone`"),
    (Context::Joint, "In `joint`"),
    (Context::Run, "In `run`"),
    (Context::UnitModel, "In the model of a panel or supply"),
    (Context::OutputModel, "In `output` of a model"),
    (Context::BusModel, "In `bus` of a model"),
    (Context::Enabled, "In `enabled`"),
    (Context::Inputs, "In `inputs`"),
    (Context::Loop, "In `loop`"),
    (Context::DeviceModel, "In the model of a device"),
    (Context::Contact, "In `contact`"),
    (Context::SettingAddress, "In `setting-address`"),
    (Context::CableModel, "In the model of a cable"),
    (Context::BatteryModel, "In the model of a battery"),
    (Context::Capacity, "In `capacity`"),
    (Context::SeriesModel, "In the model of a series"),
    (Context::Rules, "In `rules`"),
    (Context::Recharge, "In `recharge`"),
    (Context::Monitoring, "In `monitoring`"),
];

/// The reference, in Markdown.
pub fn reference() -> String {
    let mut text = include_str!("meaning.md").to_string();
    kinds(&mut text);
    units(&mut text);
    text += "\n## Words\n\nA word is listed once for every place where it may stand. Square brackets mark what may be\nleft out, `…` what may be repeated.\n";
    for (context, heading) in CHAPTERS {
        chapter(&mut text, *context, heading);
    }
    findings(&mut text);
    library(&mut text);
    text
}

fn kinds(text: &mut String) {
    *text += "\n## Kinds of things\n\n| kind | what it is |\n| --- | --- |\n";
    for kind in KINDS {
        *text += &format!("| `{}` | {} |\n", kind.name, kind.meaning);
    }
}

fn units(text: &mut String) {
    *text += "\n## Units\n\nAny unit of what is asked for will do. What is said of a site is in feet where most of its lengths are\nin feet or yards, and in °F where most of its temperatures are; where it has only lengths or only\ntemperatures, the others go with them. Else it is in metres and °C. Numbers in JSON are in SI units\nalways.\n\n| measures | units |\n| --- | --- |\n";
    for same in UNITS.chunk_by(|a, b| a.dimension == b.dimension) {
        // Omega and the micro sign each have two code points that look the same.
        let names = same.iter().flat_map(|unit| unit.names);
        let mut names: Vec<String> = names
            .map(|name| {
                format!(
                    "`{}`",
                    name.replace('\u{2126}', "Ω").replace('\u{3bc}', "µ")
                )
            })
            .collect();
        names.dedup();
        let measures = same.first().map_or("", |unit| unit.dimension.name());
        *text += &format!("| {measures} | {} |\n", names.join(" "));
    }
}

fn chapter(text: &mut String, context: Context, heading: &str) {
    *text += &format!("\n### {heading}\n");
    for word in words(context) {
        let count = match word.count {
            Count::Once => "",
            Count::Required => " Must be there.",
            Count::Many => " May be repeated.",
            Count::AtLeastOnce => " Must be there, and may be repeated.",
        };
        *text += &format!("\n**`{}`**", word.shape());
        *text += &format!(": {}{count}\n", word.meaning);
        choices(text, word);
        *text += &format!("\n    {}\n", word.example.replace('\n', "\n    "));
    }
}

fn choices(text: &mut String, word: &Word) {
    for slot in word.slots {
        let What::Choice(choices) = slot.what else {
            continue;
        };
        let described = choices.iter().filter(|(_, meaning)| !meaning.is_empty());
        let lines: Vec<String> = described
            .map(|(choice, meaning)| format!("- `{choice}`: {meaning}\n"))
            .collect();
        if lines.len() > 1 {
            *text += &format!("\n{}", lines.concat());
        }
    }
}

fn findings(text: &mut String) {
    *text += "\n## Findings\n\n`bellwire explain CODE` says more, with an example.\n";
    let mut family = "";
    for code in Code::ALL {
        if code.family() != family {
            family = code.family();
            *text += &format!(
                "\n### {family}\n\n| code | weighs | what is wrong |\n| --- | --- | --- |\n"
            );
        }
        *text += &format!(
            "| `{code}` | {} | {} |\n",
            code.severity().name(),
            code.title()
        );
    }
}

fn library(text: &mut String) {
    *text += "\n## Built-in library\n\nAlways in scope. Each can be opened by going to its definition; it says where its values come from.\n";
    for file in LIBRARY.iter() {
        let path = file.path().as_str();
        let name = path.rsplit('/').next().unwrap_or(path);
        *text += &format!("\n### {name}\n\n| name | what it is |\n| --- | --- |\n");
        for (_, item) in file.items() {
            if let (Some(name), Some(label)) = (item.name(), Words::root(item).label()) {
                *text += &format!("| `{name}` | {} |\n", label.value);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::WORDS;

    #[test]
    fn every_word_is_in_a_chapter() {
        let printed = |context: &Context| CHAPTERS.iter().any(|(chapter, _)| chapter == context);
        for word in WORDS {
            assert!(word.within.iter().all(printed), "{}", word.name);
        }
    }
}
