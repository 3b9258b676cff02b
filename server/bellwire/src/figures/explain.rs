//! `bellwire figures --explain NAME`: the sum for one thing, line by line.

use bellwire_plan::figures::Figures;
use bellwire_plan::finding::nearest;
use bellwire_plan::model::Site;
use bellwire_plan::working::{Subject, subjects, working};

use super::Row;
use crate::output::{measure, plain};

/// Why there is no working to show.
#[derive(Debug, thiserror::Error)]
pub enum NoWorking {
    /// Nothing has the name.
    #[error(
        "nothing in these plans is called `{name}`{hint}: name a device, a panel or supply, a run, a joint, an output as main.aux, a bus as main.keys, or a zone as `zone 2`"
    )]
    Unknown {
        /// What was asked for.
        name: String,
        /// A name that is near, ready to print.
        hint: String,
    },
    /// Several sites have it.
    #[error("{count} sites have `{name}`: put the site in front, as in `{example}`")]
    Several {
        /// What was asked for.
        name: String,
        /// How many sites.
        count: usize,
        /// With one of the sites.
        example: String,
    },
}

/// A thing that has a sum, with what it takes to show it.
struct Named<'a> {
    site: &'a Site,
    figures: &'a Figures,
    subject: Subject,
}

/// The working of everything in one site that has the name.
///
/// # Errors
/// Nothing has the name, or things of several sites have it.
pub fn write(rows: &[Row], name: &str) -> Result<String, NoWorking> {
    let named: Vec<Named> = rows.iter().flat_map(|row| in_row(row, name)).collect();
    let mut sites: Vec<&str> = named.iter().map(|named| named.site.called()).collect();
    sites.sort_unstable();
    sites.dedup();
    if let [first, _, ..] = sites.as_slice() {
        return Err(NoWorking::Several {
            name: name.to_string(),
            count: sites.len(),
            example: format!("{first}.{name}"),
        });
    }
    let workings = named
        .iter()
        .filter_map(|named| working(named.site, named.figures, named.subject));
    let texts: Vec<String> = workings
        .map(|working| {
            let lines = working.lines(measure()).into_iter();
            lines.map(|line| plain(&line).into_owned() + "\n").collect()
        })
        .collect();
    match texts.is_empty() {
        true => Err(NoWorking::Unknown {
            name: name.to_string(),
            hint: hint(rows, name),
        }),
        false => Ok(texts.join("\n")),
    }
}

/// What a site has of that name, or of the name behind its own.
fn in_row<'a>(row: &'a Row, name: &str) -> Vec<Named<'a>> {
    let Some(site) = row.site() else {
        return Vec::new();
    };
    let own = name.strip_prefix(site.called());
    let behind = own.and_then(|rest| rest.strip_prefix('.'));
    let mut found = subjects(site, name);
    if found.is_empty()
        && let Some(behind) = behind
    {
        found = subjects(site, behind);
    }
    let named = |subject| Named {
        site,
        figures: row.figures(),
        subject,
    };
    found.into_iter().map(named).collect()
}

fn hint(rows: &[Row], name: &str) -> String {
    let names: Vec<String> = rows
        .iter()
        .filter_map(Row::site)
        .flat_map(|site| {
            let all = Subject::all(site).into_iter();
            all.map(|subject| subject.called(site))
        })
        .collect();
    match nearest(name, names.iter().map(String::as_str)) {
        Some(near) => format!(" (did you mean `{near}`?)"),
        None => String::new(),
    }
}
