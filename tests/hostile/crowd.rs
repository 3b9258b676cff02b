//! A workspace of a great many sites, of which a part use one catalog: an edit
//! of it reaches those, and costs the others nothing.
//! `BELLWIRE_SITES=10000` makes them as many.

use std::sync::Arc;

use bellwire_plan::source::{Change, File, FilePath};
use bellwire_plan::workspace::{NoFiles, Workspace};

use crate::common::{TODAY, path};
use crate::plans::site;
use crate::random::sites;
use bellwire_tests::CATALOG;

/// Of as many sites one uses the catalog that is edited.
const SHARE: usize = 20;

#[test]
fn an_edit_of_a_catalog_reaches_its_sites_and_no_others() {
    let many = sites(1_000);
    let mut files = vec![
        File::new(path("catalog.bell"), CATALOG),
        File::new(path("other.bell"), CATALOG),
    ];
    let name = |number: usize| path(&format!("sites/s{number}.bell"));
    files.extend((0..many).map(|number| {
        let text = site(2).replace("quay", &format!("quay-{number}"));
        let text = match number % SHARE {
            0 => text,
            _ => text.replace("catalog.bell", "other.bell"),
        };
        File::new(name(number), &text)
    }));
    let mut world = Workspace::new(Arc::new(NoFiles), TODAY);
    world.put(files);
    let view = world.view();
    let all = |name: &FilePath| view.entry(name).unwrap().evaluations.clone();
    let before: Vec<_> = (0..many).map(|number| all(&name(number))).collect();
    // The keypad draws more than the output can give.
    let start = CATALOG.find("45 mA").unwrap();
    let change = |range: std::ops::Range<usize>, text: &str| Change {
        range: Some(range),
        text: text.to_string(),
    };
    let catalog = view.file(&path("catalog.bell")).unwrap();
    let touched = world.put(vec![catalog.edit(&[change(start..start + 5, "450 mA")])]);
    let dependents = many.div_ceil(SHARE);
    assert_eq!(
        touched.len(),
        dependents + 1,
        "sites, and the catalog itself"
    );
    for (number, before) in before.iter().enumerate() {
        let now = all(&name(number));
        let same = now.iter().zip(before).all(|(a, b)| Arc::ptr_eq(a, b));
        assert_eq!(same, number % SHARE != 0, "site {number}");
        let codes = view.findings(&view.entry(&name(number)).unwrap());
        let overloaded = codes
            .iter()
            .any(|of| of.finding.code.name() == "output-overloaded");
        assert_eq!(overloaded, number % SHARE == 0, "site {number}");
    }
    // And back.
    let catalog = view.file(&path("catalog.bell")).unwrap();
    world.put(vec![catalog.edit(&[change(start..start + 6, "45 mA")])]);
    let well = view.findings(&view.entry(&name(0)).unwrap());
    assert!(
        well.iter()
            .all(|of| of.finding.code.name() != "output-overloaded")
    );
}
