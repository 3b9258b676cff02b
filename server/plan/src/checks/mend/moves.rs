//! Moving load: which run, fed from which other output, mends a finding and
//! brings no other trouble. Every move is solved before it is offered, over the
//! cable as it is; so the other output must be at the same place, in the same unit.

use std::rc::Rc;

use rustc_hash::FxHashMap;

use crate::checks::overload::is_overloaded;
use crate::checks::unequal::Unequal;
use crate::figures::{Figures, OutputFigures, State, below, figures_tried, is_in_alarm};
use crate::finding::Mend;
use crate::model::{DeviceId, OutputId, Path, RunId, Site, Terminal};
use crate::sentence::list;

/// How many changes are solved for one site. Each is a solution of the whole
/// site, which somebody may be typing, so large sites get fewer; a plan that has
/// so many findings is not mended by one move.
fn most_tries(site: &Site) -> usize {
    (2000 / site.devices.len().max(1)).clamp(3, 12)
}

/// Where a path names the output that feeds it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct FeedAt {
    run: RunId,
    path: usize,
    point: usize,
    at: usize,
}

/// What a move gives.
pub(in crate::checks) struct Moved {
    /// `Feed a from psu.out`.
    pub mend: Mend,
    /// `fed from psu.out over the same cable`.
    pub how: String,
    /// The figures after it.
    pub figures: Rc<Figures>,
}

/// Tries moves of a site's runs to other outputs.
pub(in crate::checks) struct Mover<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// How much is wrong with a site by its sums.
    trouble: fn(&Site, &Figures) -> usize,
    tries: usize,
    /// How much is wrong without any move; worked out when first asked for.
    now: Option<usize>,
    known: FxHashMap<(FeedAt, OutputId), (Rc<Figures>, usize)>,
    /// Where paths name each output; worked out when first asked for.
    all_feeds: Option<FxHashMap<OutputId, Vec<FeedAt>>>,
}

impl<'a> Mover<'a> {
    pub fn new(
        site: &'a Site,
        figures: &'a Figures,
        trouble: fn(&Site, &Figures) -> usize,
    ) -> Mover<'a> {
        Mover {
            site,
            figures,
            trouble,
            tries: most_tries(site),
            now: None,
            known: FxHashMap::default(),
            all_feeds: None,
        }
    }

    /// Whether enough was tried.
    pub fn is_spent(&self) -> bool {
        self.tries == 0
    }

    /// A run of these outputs that, fed from another, makes `mended` true. Of
    /// those that carry at least `excess` amperes the one that carries least,
    /// since the rest can stay as it is.
    pub fn relieve(
        &mut self,
        outputs: &[OutputId],
        excess: f64,
        mended: impl Fn(&Site, &Figures) -> bool,
    ) -> Option<Moved> {
        let mut feeds: Vec<(f64, FeedAt)> = self
            .feeds(outputs)
            .into_iter()
            .map(|feed| (self.carried(feed), feed))
            .filter(|(amperes, _)| *amperes > 0.0 && !below(*amperes, excess))
            .collect();
        feeds.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.first(feeds.into_iter().map(|(_, feed)| feed), mended)
    }

    /// The run that feeds a device, fed from another output.
    pub fn refeed(
        &mut self,
        device: DeviceId,
        mended: impl Fn(&Site, &Figures) -> bool,
    ) -> Option<Moved> {
        let fed_by = &self.figures.device(device)?.fed_by;
        let site = self.site;
        let mut feeds = self.feeds(fed_by);
        // A path that names the device itself moves no more than it must.
        feeds.sort_by_key(|feed| {
            let path = site.path(feed.run, feed.path);
            let mut named = path.into_iter().flat_map(Path::terminals);
            !named.any(|at| at.value == Terminal::Device(device))
        });
        self.first(feeds.into_iter(), mended)
    }

    /// The run that feeds a device, fed from that output of the same unit, if nothing is the worse
    /// for it.
    pub fn feed_from(&mut self, device: DeviceId, to: OutputId) -> Option<Moved> {
        if self.is_spent() {
            return None;
        }
        let (site, now) = (self.site, self.now());
        let fed_by = &self.figures.device(device)?.fed_by;
        let all = self.all_feeds.get_or_insert_with(|| all_feeds(site));
        let feeds = fed_by.iter().filter_map(|output| all.get(output));
        let names_it = |feed: &&FeedAt| {
            let path = site.path(feed.run, feed.path);
            let mut named = path.into_iter().flat_map(Path::terminals);
            named.any(|at| at.value == Terminal::Device(device))
        };
        let feed = *feeds.flatten().find(names_it)?;
        let (after, trouble) = self.solve(feed, to)?;
        let holds = trouble <= now && carries_it(site, &after, to);
        holds.then(|| self.moved(feed, to, after))
    }

    /// The figures with any change made, counted as one try; `None` if enough
    /// was tried.
    pub fn tried(&mut self, change: impl FnOnce(&mut Site)) -> Option<(Site, Figures)> {
        self.tries = self.tries.checked_sub(1)?;
        let mut changed = self.site.clone();
        change(&mut changed);
        let figures = figures_tried(&changed);
        Some((changed, figures))
    }

    /// The same, if less is wrong with it than without.
    pub fn better(&mut self, change: impl FnOnce(&mut Site)) -> Option<(Site, Figures)> {
        let (site, figures) = self.tried(change)?;
        ((self.trouble)(&site, &figures) < self.now()).then_some((site, figures))
    }

    fn now(&mut self) -> usize {
        let (site, figures, trouble) = (self.site, self.figures, self.trouble);
        *self.now.get_or_insert_with(|| trouble(site, figures))
    }

    fn first(
        &mut self,
        feeds: impl Iterator<Item = FeedAt>,
        mended: impl Fn(&Site, &Figures) -> bool,
    ) -> Option<Moved> {
        let (site, now) = (self.site, self.now());
        for feed in feeds {
            let own = self.output(feed);
            let beside = self.beside(feed);
            let others = own.into_iter().flat_map(|own| self.others(own));
            let others: Vec<OutputId> = others
                .filter(|other| !beside.contains(&Terminal::Output(*other)))
                .collect();
            for to in others {
                let (after, trouble) = self.solve(feed, to)?;
                if trouble < now && carries_it(site, &after, to) && mended(site, &after) {
                    return Some(self.moved(feed, to, after));
                }
            }
        }
        None
    }

    /// Where paths name these outputs, in the order of the plan: those from which something can
    /// be moved. Once enough was tried, only those that were.
    fn feeds(&mut self, outputs: &[OutputId]) -> Vec<FeedAt> {
        let mut feeds: Vec<FeedAt> = if self.is_spent() {
            let tried = self.known.keys().map(|(feed, _)| *feed);
            let of_these = |output: OutputId| outputs.contains(&output);
            tried
                .filter(|feed| self.output(*feed).is_some_and(of_these))
                .collect()
        } else {
            let mut movable = outputs.to_vec();
            movable.retain(|output| self.others(*output).next().is_some());
            let all = self.all_feeds.get_or_insert_with(|| all_feeds(self.site));
            let feeds = movable.iter().filter_map(|output| all.get(output));
            feeds.flatten().copied().collect()
        };
        feeds.sort_unstable();
        feeds.dedup();
        feeds
    }

    /// Outputs of the same unit, switched as this one is. How far the cable would
    /// have to reach to another unit is not in the plan.
    fn others(&self, own: OutputId) -> impl Iterator<Item = OutputId> {
        let site = self.site;
        let is_alike = move |other: &OutputId| {
            *other != own && is_in_alarm(site, *other) == is_in_alarm(site, own)
        };
        let all = self.figures.outputs_of(own.unit).iter();
        all.map(OutputFigures::id).filter(is_alike)
    }

    /// What leaves the output there, in the state with the most.
    fn carried(&self, feed: FeedAt) -> f64 {
        let beside = |leg: usize| leg == feed.point || leg + 1 == feed.point;
        let legs = self.figures.legs_of(feed.run).iter();
        legs.filter(|leg| leg.path == feed.path && beside(leg.leg))
            .flat_map(|leg| leg.states.solved())
            .map(|(_, carried)| carried.amperes.abs())
            .fold(0.0, f64::max)
    }

    /// The output that is named there.
    fn output(&self, feed: FeedAt) -> Option<OutputId> {
        let path = self.site.path(feed.run, feed.path)?;
        match path.points.get(feed.point)?.value.get(feed.at)?.value {
            Terminal::Output(output) => Some(output),
            _ => None,
        }
    }

    /// What stands at the point of a feed.
    fn beside(&self, feed: FeedAt) -> Vec<Terminal> {
        let path = self.site.path(feed.run, feed.path);
        let point = path.and_then(|path| path.points.get(feed.point));
        let terminals = point.into_iter().flat_map(|point| &point.value);
        terminals.map(|at| at.value).collect()
    }

    /// The figures with a feed moved, and how much is then wrong; `None` if
    /// enough was tried.
    fn solve(&mut self, feed: FeedAt, to: OutputId) -> Option<(Rc<Figures>, usize)> {
        if let Some((figures, trouble)) = self.known.get(&(feed, to)) {
            return Some((figures.clone(), *trouble));
        }
        let (site, figures) = self.tried(|site| {
            let terminal = site
                .runs
                .get_mut(feed.run)
                .and_then(|run| run.paths.get_mut(feed.path))
                .and_then(|path| path.points.get_mut(feed.point))
                .and_then(|point| point.value.get_mut(feed.at));
            if let Some(terminal) = terminal {
                terminal.value = Terminal::Output(to);
            }
        })?;
        let trouble = (self.trouble)(&site, &figures);
        let solved = (Rc::new(figures), trouble);
        self.known.insert((feed, to), solved.clone());
        Some(solved)
    }

    fn moved(&self, feed: FeedAt, to: OutputId, figures: Rc<Figures>) -> Moved {
        let run = self.site.runs.get(feed.run);
        let path = self.site.path(feed.run, feed.path);
        let mut devices: Vec<&str> = path
            .into_iter()
            .flat_map(Path::terminals)
            .filter_map(|at| match at.value {
                Terminal::Device(device) => self.site.devices.get(device),
                _ => None,
            })
            .map(|device| device.name.value.as_str())
            .collect();
        devices.dedup();
        let what = match devices.as_slice() {
            [] | [_, _, _, _, ..] => run.map_or(String::new(), |run| run.name.value.clone()),
            devices => list(devices),
        };
        let to = self.site.output_name(to);
        let at = path.and_then(|path| path.points.get(feed.point)?.value.get(feed.at));
        Moved {
            mend: Mend {
                title: format!("Feed {what} from {to}"),
                edits: at.map(|at| (at.span, to.clone())).into_iter().collect(),
            },
            how: format!("fed from {to} over the same cable"),
            figures,
        }
    }
}

/// Whether an output is known to carry no more than it may. Of one that is joined to another of
/// other voltage nobody can tell.
fn carries_it(site: &Site, figures: &Figures, output: OutputId) -> bool {
    let on_mains = [State::MainsStandby, State::MainsAlarm];
    let own = figures.output(output);
    own.is_some_and(|own| {
        let is_known = on_mains.iter().all(|state| own.states[*state].is_ok());
        is_known && !is_overloaded(site, own)
    }) && !Unequal::new(site, figures).has(output)
}

/// Where the paths of a site name each output.
fn all_feeds(site: &Site) -> FxHashMap<OutputId, Vec<FeedAt>> {
    let mut feeds: FxHashMap<OutputId, Vec<FeedAt>> = FxHashMap::default();
    for (run_id, run) in site.runs.iter().enumerate() {
        for (path_id, path) in run.paths.iter().enumerate() {
            for (point, terminals) in path.points.iter().enumerate() {
                for (at, terminal) in terminals.value.iter().enumerate() {
                    if let Terminal::Output(output) = terminal.value {
                        feeds.entry(output).or_default().push(FeedAt {
                            run: run_id,
                            path: path_id,
                            point,
                            at,
                        });
                    }
                }
            }
        }
    }
    feeds
}
