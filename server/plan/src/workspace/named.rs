//! The things of a site that have names, kept for those who look for one over
//! all sites.

use crate::model::{At, Site};
use crate::source::Span;

/// The sorts of things in a site that have names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// The site itself.
    Site,
    /// A panel or a supply.
    Unit,
    /// A device.
    Device,
    /// A joint.
    Joint,
    /// A run of cable.
    Run,
}

/// A thing that has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named<'a> {
    /// What it is.
    pub sort: Sort,
    /// Its name, in the site's item.
    pub span: Span,
    /// What people call it; may be empty.
    pub label: &'a str,
}

/// All things of a site that have names: the site, units, devices, joints, runs.
#[derive(Debug, Default)]
pub struct SiteNames {
    rows: Box<[Row]>,
    /// The labels, one behind the other.
    labels: Box<str>,
}

#[derive(Debug)]
struct Row {
    span: Span,
    label_end: u32,
    sort: Sort,
}

impl SiteNames {
    pub(super) fn of(site: &Site) -> SiteNames {
        let mut rows = Vec::new();
        let mut labels = String::new();
        let mut add = |sort, name: &At<String>, label: &Option<String>| {
            labels += label.as_deref().unwrap_or("");
            rows.push(Row {
                span: name.span,
                label_end: labels.len() as u32,
                sort,
            });
        };
        if let Some(name) = &site.name {
            add(Sort::Site, name, &site.label);
        }
        for unit in &site.units {
            add(Sort::Unit, &unit.name, &unit.label);
        }
        for device in &site.devices {
            add(Sort::Device, &device.name, &device.label);
        }
        for joint in &site.joints {
            add(Sort::Joint, &joint.name, &joint.label);
        }
        for run in &site.runs {
            add(Sort::Run, &run.name, &run.label);
        }
        SiteNames {
            rows: rows.into(),
            labels: labels.into(),
        }
    }

    /// Each thing, in the order of their sorts.
    pub fn iter(&self) -> impl Iterator<Item = Named<'_>> {
        let mut start = 0;
        self.rows.iter().map(move |row| {
            let end = row.label_end as usize;
            let label = self.labels.get(start..end).unwrap_or("");
            start = end;
            Named {
                sort: row.sort,
                span: row.span,
                label,
            }
        })
    }
}
