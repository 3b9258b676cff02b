//! The figures above a panel, a supply, a site: what its outputs carry, how
//! long its battery lasts, and which device has least to spare.

use std::ops::Range;

use bellwire_plan::figures::{BatteryFigures, DeviceFigures, Figures, OutputFigures};
use bellwire_plan::model::{Site, UnitId};
use bellwire_plan::source::Span;
use bellwire_plan::workspace::Entry;

use crate::amounts::{ampere_hours, amperes, hours};
use crate::margin::worst;
use crate::walk::{all, in_file};

/// A line of figures above a statement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lens {
    /// The name that it is about.
    pub range: Range<usize>,
    /// What it says.
    pub title: String,
    /// Where the reader is taken: the device's name, the unit's.
    pub target: Range<usize>,
}

/// The lenses of a file, in the order of the text. A site has its own only
/// where it has several units.
pub fn lenses(entry: &Entry) -> Vec<Lens> {
    let mut lenses = Vec::new();
    for (start, evaluation) in all(entry) {
        let Some(site) = evaluation.site() else {
            continue;
        };
        let reader = Reader {
            site,
            figures: evaluation.figures(),
            start,
        };
        if let Some(name) = site.name.as_ref().filter(|_| site.units.len() > 1) {
            lenses.extend(reader.shortest(name.span));
            lenses.extend(reader.worst(name.span, |_| true));
        }
        for (unit, _) in site.units.iter().enumerate() {
            reader.unit(unit, &mut lenses);
        }
    }
    lenses
}

struct Reader<'a> {
    site: &'a Site,
    figures: &'a Figures,
    /// Where the site starts in the file.
    start: usize,
}

impl Reader<'_> {
    fn unit(&self, id: UnitId, lenses: &mut Vec<Lens>) {
        let Some(unit) = self.site.units.get(id) else {
            return;
        };
        let name = unit.name.span;
        let outputs = self.figures.outputs_of(id).iter();
        let loads: Vec<String> = outputs.filter_map(|output| self.load(output)).collect();
        if !loads.is_empty() {
            lenses.push(self.lens(name, loads.join(", "), name));
        }
        if let Some(title) = self.figures.battery(id).and_then(standby) {
            lenses.push(self.lens(name, title, name));
        }
        let fed = |device: &DeviceFigures| device.fed_by.iter().any(|output| output.unit == id);
        lenses.extend(self.worst(name, fed));
    }

    /// The most that an output carries: `aux 246 mA of 600 mA`.
    fn load(&self, figures: &OutputFigures) -> Option<String> {
        let model = self.site.units.get(figures.unit)?.model()?;
        let name = &model.outputs.get(figures.output)?.name.value;
        let mut faults = figures.states.iter();
        if let Some(why) = faults.find_map(|(_, state)| state.as_ref().err()) {
            return Some(format!("{name}: {why}"));
        }
        let loads = figures.states.solved().map(|(_, carried)| carried.amperes);
        let most = loads.fold(0.0, f64::max);
        (most > 0.0).then(|| match figures.limit {
            Some(limit) => format!("{name} {} of {}", amperes(most), amperes(limit)),
            None => format!("{name} {}", amperes(most)),
        })
    }

    /// The device with the least voltage to spare, of those that `fed` picks.
    fn worst(&self, range: Span, fed: impl Fn(&DeviceFigures) -> bool) -> Option<Lens> {
        let (id, margin) = worst(self.site, self.figures, fed)?;
        let name = &self.site.devices.get(id)?.name;
        let title = format!("{} {}", name.value, margin.words());
        Some(self.lens(range, title, name.span))
    }

    /// The battery that is first to run out, measured by what it must last.
    fn shortest(&self, range: Span) -> Option<Lens> {
        let share = |battery: &BatteryFigures| {
            battery.standby_hours.unwrap_or(0.0) / battery.required_hours.unwrap_or(1.0)
        };
        let batteries = self.figures.batteries.iter();
        let shown = batteries.filter_map(|battery| Some((battery, standby(battery)?)));
        let (battery, title) = shown.min_by(|(a, _), (b, _)| share(a).total_cmp(&share(b)))?;
        let unit = self.site.units.get(battery.unit)?;
        let title = format!("{}: {title}", unit.name.value);
        Some(self.lens(range, title, unit.name.span))
    }

    fn lens(&self, range: Span, title: String, target: Span) -> Lens {
        Lens {
            range: in_file(self.start, range),
            title,
            target: in_file(self.start, target),
        }
    }
}

/// How long a battery lasts: `standby 17.2 h, 12 h required`.
fn standby(battery: &BatteryFigures) -> Option<String> {
    if battery.fitted_ah.is_none() {
        let needed = ampere_hours(battery.needed_ah?);
        return Some(format!("no battery, {needed} needed"));
    }
    let lasts = hours(battery.standby_hours.filter(|hours| hours.is_finite())?);
    Some(match battery.required_hours {
        Some(required) => format!("standby {lasts}, {} required", hours(required)),
        None => format!("standby {lasts}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{fixture, harbour};
    use expect_test::{Expect, expect};

    fn check(entry: &Entry, expected: Expect) {
        let text = |range: Range<usize>| entry.file.text().slice(range);
        let show = |lens: Lens| {
            let (name, target) = (text(lens.range), text(lens.target));
            format!("{name}: {} → {target}\n", lens.title)
        };
        let shown: String = lenses(entry).into_iter().map(show).collect();
        expected.assert_eq(&shown);
    }

    #[test]
    fn a_panel_tells_its_load_its_standby_time_and_its_worst_device() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        check(
            &entry,
            expect![[r#"
                main: aux 295 mA of 600 mA, siren 350 mA of 1.2 A → main
                main: standby 16 h, 12 h required → main
                main: rear 0.52 V too low → rear
            "#]],
        );
    }

    #[test]
    fn a_site_with_several_units_tells_the_worst_of_all() {
        let (_, entry, _) = fixture(
            "\
use \"../catalog/merrow.bell\"
site two {
  rules intruder-grade-2
  panel a : M8 { battery : sealed-12V-7Ah }
  panel b : M8
  detector near : P5
  detector far : P5
  run r1 : copper-2x22AWG { a.aux --3 m-- near }
  run r2 : copper-2x22AWG { b.aux --300 m-- far }
}
model panel M1 { }
site none { panel p : M1 }
",
        );
        check(
            &entry,
            expect![[r#"
                two: b: no battery, 2.05 Ah needed → b
                two: far 0.42 V to spare → far
                a: aux 18 mA of 600 mA → a
                a: standby 43.1 h, 12 h required → a
                a: near 0.99 V to spare → near
                b: aux 18 mA of 600 mA → b
                b: no battery, 2.05 Ah needed → b
                b: far 0.42 V to spare → far
            "#]],
        );
    }

    #[test]
    fn an_output_that_cannot_feed_its_load_says_why() {
        let (_, entry, _) = harbour("--31 m--", "--90000 m--");
        check(
            &entry,
            expect![[r#"
                main: aux: the cable cannot feed rear: it asks for 60 mA and can have 1.33 mA at most, siren 350 mA of 1.2 A → main
                main: pir1 0.95 V to spare → pir1
            "#]],
        );
    }
}
