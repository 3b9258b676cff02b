//! What only one site of the whole workspace may have: its name, and its
//! account at a monitoring centre.

use rustc_hash::FxHashMap;

use crate::model::Site;
use crate::source::{FilePath, Span};

/// Something that one site claims for itself.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Claim {
    /// A site's name.
    Site(String),
    /// An account: the file and name of the centre, and the number.
    Account(FilePath, String, u32),
}

/// What a site claims, and where.
pub(super) fn of(site: &Site) -> Box<[(Claim, Span)]> {
    let mut claims: FxHashMap<Claim, Span> = FxHashMap::default();
    if let Some(name) = &site.name {
        claims.insert(Claim::Site(name.value.clone()), name.span);
    }
    for report in &site.reports {
        let (Some(centre), Some(account)) = (&report.monitoring, report.account) else {
            continue;
        };
        let claim = Claim::Account(
            centre.file.clone(),
            report.centre.value.clone(),
            account.value,
        );
        claims.insert(claim, account.span);
    }
    claims.into_iter().collect()
}
