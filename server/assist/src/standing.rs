//! How a site stands, in a few words for a status line: the device that is
//! closest to where it stops working.

use std::ops::Range;

use bellwire_plan::figures::{FaultKind, State};
use bellwire_plan::model::DeviceId;
use bellwire_plan::workspace::{Entry, Evaluation};

use crate::amounts::{measured, within};
use crate::margin::worst;
use crate::walk::{all, in_file};

/// How a site stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The site's name.
    pub site: String,
    /// The name of the device with least to spare.
    pub device: String,
    /// Where that name is declared, bytes of the file.
    pub range: Range<usize>,
    /// What the device gets, and in which state; `None` without a solution.
    pub gets: Option<Gets>,
    /// `rear 0.08 V to spare`
    pub text: String,
    /// The same in a sentence.
    pub detail: String,
}

/// What a device gets in the state in which it is closest to its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gets {
    /// That state.
    pub state: State,
    /// Volts at its terminals.
    pub volts: f64,
    /// Volts to spare; negative where it does not work.
    pub spare: f64,
}

/// How the site at a byte offset stands; between sites, that site of the file
/// which has least to spare. `None` where no device's range is known.
pub fn standing(entry: &Entry, offset: usize) -> Option<Standing> {
    let here = entry.file.item_at(offset).map(|(item, _)| item.id);
    let is_site = |evaluation: &Evaluation| evaluation.is_site();
    let sites = || all(entry).filter(|(_, evaluation)| is_site(evaluation));
    let own = sites().find(|(_, evaluation)| Some(evaluation.item.id) == here);
    let (_, found) = match own {
        Some((start, evaluation)) => of_site(start, evaluation)?,
        None => sites()
            .filter_map(|(start, evaluation)| of_site(start, evaluation))
            .min_by(|(a, _), (b, _)| a.total_cmp(b))?,
    };
    Some(found)
}

/// How much a site has to spare, and how it stands. A network without a solution
/// comes before everything else.
fn of_site(start: usize, evaluation: &Evaluation) -> Option<(f64, Standing)> {
    let site = evaluation.site()?;
    let figures = evaluation.figures();
    let stands = |id: DeviceId, gets: Option<Gets>, text: String, detail: String| {
        let name = &site.devices.get(id)?.name;
        let standing = Standing {
            site: site.called().to_string(),
            device: name.value.clone(),
            range: in_file(start, name.span),
            gets,
            text: format!("{} {text}", name.value),
            detail,
        };
        Some((gets.map_or(f64::NEG_INFINITY, |gets| gets.spare), standing))
    };
    let unsolved = figures.faults.iter().find_map(|fault| {
        let id = match fault.kind {
            FaultKind::TooMuch { consumer, .. } => consumer.device(),
            FaultKind::Conflict { first, .. } => {
                let mut devices = figures.devices.iter();
                devices.find(|found| found.fed_by.contains(&first))?.device
            }
        };
        stands(id, None, "has no solution".into(), fault.why.to_string())
    });
    unsolved.or_else(|| {
        let (id, margin) = worst(site, figures, |_| true)?;
        let device = site.devices.get(id)?;
        let (least, most) = device.model()?.works?.value;
        let detail = format!(
            "{} gets {} {}; it works {}",
            device.name.value,
            measured(margin.volts),
            margin.state.phrase(),
            within(least, most)
        );
        let gets = Gets {
            state: margin.state,
            volts: margin.volts,
            spare: margin.spare,
        };
        stands(id, Some(gets), margin.words(), detail)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{fixture, harbour};
    use expect_test::{Expect, expect};

    fn check(entry: &Entry, offset: usize, expected: Expect) {
        let shown = standing(entry, offset).map_or(String::new(), |found| {
            let at = entry.file.text().slice(found.range);
            format!("{} [{at}] {}\n{}\n", found.site, found.text, found.detail)
        });
        expected.assert_eq(&shown);
    }

    #[test]
    fn the_device_with_least_to_spare_stands_for_the_site() {
        let (_, entry, offset) = harbour("rules   intruder", "rules $0  intruder");
        check(
            &entry,
            offset,
            expect![[r#"
            harbour [rear] rear 0.52 V too low
            rear gets 9.68 V with the battery at its end and the system in alarm; it works 10.2 V .. 14.5 V
        "#]],
        );
        let found = standing(&entry, offset).and_then(|found| found.gets);
        assert!(found.is_some_and(|gets| gets.spare < 0.0 && gets.state == State::BatteryAlarm));
    }

    #[test]
    fn the_upper_end_of_a_range_counts_too() {
        let plan = "\
model panel M { output aux 14.4 V, limit 1 A
cutoff 10.5 V }
model detector D {
  standby 10 mA
  works 9 V .. 14 V
}
site a {
  panel p : M
  detector d : D
  run r : copper-2x22AWG { p.aux --1 m-- d }
}
$0
";
        let (_, entry, offset) = fixture(plan);
        check(
            &entry,
            offset,
            expect![[r#"
                a [d] d 0.40 V too high
                d gets 14.40 V on mains in standby; it works 9 V .. 14 V
            "#]],
        );
    }

    #[test]
    fn between_sites_the_closest_of_the_file_counts_and_without_devices_none() {
        let (_, entry, _) = fixture("//- sites/harbour.bell\n");
        check(
            &entry,
            0,
            expect![[r#"
            harbour [rear] rear 0.52 V too low
            rear gets 9.68 V with the battery at its end and the system in alarm; it works 10.2 V .. 14.5 V
        "#]],
        );
        let (_, entry, offset) = fixture("//- catalog/merrow.bell\n");
        check(&entry, offset, expect![[""]]);
        let (_, entry, offset) = fixture("site a {\n  $0panel p : M8\n}\n");
        check(&entry, offset, expect![[""]]);
    }

    #[test]
    fn what_cannot_be_fed_comes_first() {
        let (_, entry, offset) = harbour("--31 m--", "--90000 m$0--");
        check(
            &entry,
            offset,
            expect![[r#"
                harbour [rear] rear has no solution
                the cable cannot feed rear: it asks for 60 mA and can have 1.33 mA at most
            "#]],
        );
    }
}
