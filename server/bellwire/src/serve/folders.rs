//! Reading the workspace's folders in the background, with progress.

use std::path::PathBuf;

use bellwire_plan::source::File;
use rayon::prelude::*;
use tower_lsp::Client;
use tower_lsp::ls_types::ClientCapabilities;

use super::client;
use super::mailbox::{Effort, Mailbox};
use super::owner::Owner;
use crate::disk;

/// Files that are handed over at once: few enough for the editor's own
/// messages to get through in between.
const BATCH: usize = 64;

/// Reads every plan below the folders.
pub async fn read(
    folders: Vec<PathBuf>,
    mailbox: Mailbox<Owner>,
    client: Client,
    abilities: &ClientCapabilities,
) {
    let walked = tokio::task::spawn_blocking(move || {
        let mut paths = Vec::new();
        for folder in folders {
            let (found, unreadable) = disk::walk(&folder);
            paths.extend(found);
            for why in unreadable {
                tracing::warn!("a part of `{}` is left out: {why}", folder.display());
            }
        }
        paths.sort();
        paths.dedup();
        paths
    });
    // Even then the owner is told that this is all there is, or it would wait for more.
    let paths = walked.await.unwrap_or_else(|why| {
        tracing::error!("looking for plans failed: {why}");
        Vec::new()
    });
    let load = |batch: &[PathBuf]| {
        let paths = batch.to_vec();
        let load = move || -> Vec<File> {
            let files = paths.par_iter().filter_map(|path| disk::load(path));
            files.collect()
        };
        tokio::task::spawn_blocking(load)
    };
    let mut batches = paths.chunks(BATCH);
    let mut next = batches.next().map(load);
    let progress = match client::progress_token(&client, abilities).await {
        Some(token) => {
            let progress = client.progress(token, "Reading plans");
            Some(progress.with_percentage(0).begin().await)
        }
        None => None,
    };
    let mut done = 0;
    while let Some(files) = next.take() {
        let files = files.await;
        // The next are read while the owner works these out.
        next = batches.next().map(load);
        match files {
            Ok(files) => {
                // Fails only with a fault that is logged where it happens.
                let _ = mailbox
                    .post(Effort::Long, move |owner| owner.loaded(files))
                    .await;
            }
            Err(why) => tracing::error!("reading some of the plans failed: {why}"),
        }
        done = paths.len().min(done + BATCH);
        if let Some(progress) = &progress {
            let percent = done * 100 / paths.len().max(1);
            let message = format!("{done} of {} files", paths.len());
            progress
                .report_with_message(message, percent.try_into().unwrap_or(100))
                .await;
        }
    }
    let _ = mailbox.post(Effort::Long, Owner::all_loaded).await;
    if let Some(progress) = progress {
        progress
            .finish_with_message(format!("{} files", paths.len()))
            .await;
    }
}
