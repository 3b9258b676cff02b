//! What is measured while a catalog is edited that many sites use.

use std::collections::BTreeSet;
use std::time::Duration;

use bellwire_tests::wire::uri;
use serde_json::json;

use super::{Effort, Session, metric, milliseconds};
use crate::Failure;
use crate::script::Places;
use crate::workload::SHARED;

/// What is changed, and to what: no site has so many volts at every detector.
const LIMIT: (&str, &str) = ("works   ", "14");

impl Session<'_> {
    /// Edits that change the findings of every site that uses the catalog, each made when all
    /// findings for the one before it are there.
    pub(super) fn shared_catalog(
        &mut self,
        effort: Effort,
        add: &mut impl FnMut(&str, &'static str, Vec<f64>),
    ) -> Result<(), Failure> {
        let folder = self.case.folder.path();
        let (catalog, users) = SHARED;
        let count = users.min(self.case.kind.size());
        let users: BTreeSet<String> = (0..count)
            .map(|number| uri(&folder.join(format!("sites/s{number:05}.bell"))))
            .collect();
        let path = folder.join(catalog);
        let text = std::fs::read_to_string(&path)?;
        let own = uri(&path);
        let edits = Places::new(self.case.language, &text).number(LIMIT.0, LIMIT.1);
        self.client.open(&own, self.case.language.id, &text)?;
        self.client.settle(Duration::from_millis(300))?;
        let mut times = Vec::new();
        let mut version = 1;
        for edit in edits
            .iter()
            .cycle()
            .take(effort.requests.div_ceil(12) * edits.len())
        {
            for published in std::mem::take(&mut self.client.published) {
                self.note(&published);
            }
            version += 1;
            let params = json!({
                "textDocument": {"uri": own, "version": version},
                "contentChanges": [edit.change()],
            });
            let sent = self.client.notify("textDocument/didChange", params)?;
            let mut missing = users.clone();
            let mut last = sent;
            while !missing.is_empty() {
                let published = self.client.findings(|_| true)?;
                missing.remove(&published.uri);
                last = published.at;
                self.note(&published);
            }
            times.push(milliseconds(sent, last));
        }
        let document = json!({"textDocument": {"uri": own}});
        self.client.notify("textDocument/didClose", document)?;
        add(metric::SHARED, "ms", times);
        Ok(())
    }
}
