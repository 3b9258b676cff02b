//! Reading the workspace's folders in the background, with progress.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::pin::pin;
use std::time::Duration;

use bellwire_plan::source::FilePath;
use bellwire_plan::workspace::{Prepared, Read, View};
use rustc_hash::FxHashSet;
use tokio::sync::watch;
use tower_lsp::Client;

use super::abilities::Abilities;
use super::client;
use super::mailbox::{Effort, Mailbox};
use super::owner::Owner;
use crate::disk::{self, BATCH};
use crate::paths;

/// How long the reading waits for the client to watch the folders: most answer at once, and then
/// nothing need be looked at twice.
const SOON: Duration = Duration::from_millis(100);

/// Reads every plan below the folders. `watching` says whether the client tells only from then on
/// of what changes there: if that takes long, what has changed by then is read again.
pub async fn read(
    folders: Vec<PathBuf>,
    watching: impl Future<Output = bool>,
    mailbox: Mailbox<Owner>,
    client: Client,
    can: Abilities,
) {
    let mut watching = pin!(watching);
    let is_late = tokio::time::timeout(SOON, &mut watching).await.is_err();
    let paths = walked(folders.clone()).await;
    let view = mailbox.post(Effort::Long, |owner| owner.view());
    // Fails only with a fault that is logged where it happens.
    let Ok(view) = view.await else { return };
    let (done, watched) = watch::channel(0);
    let count = paths.len();
    let reading = async {
        take_in(paths, &view, &mailbox, done).await;
        if is_late && watching.await {
            look_again(folders, &view, &mailbox).await;
        }
        let _ = mailbox.post(Effort::Long, Owner::all_loaded).await;
    };
    tokio::join!(reading, report(watched, count, client, can));
}

/// Every plan below the folders.
async fn walked(folders: Vec<PathBuf>) -> Vec<PathBuf> {
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
    walked.await.unwrap_or_else(|why| {
        tracing::error!("looking for plans failed: {why}");
        Vec::new()
    })
}

/// Takes in what is on the disk otherwise than it is known.
async fn look_again(folders: Vec<PathBuf>, view: &View, mailbox: &Mailbox<Owner>) {
    let (paths, view) = (walked(folders).await, view.clone());
    let known = view.clone();
    let looked = tokio::task::spawn_blocking(move || {
        let is_known = |path: &PathBuf| known.has(&paths::name(path));
        let (old, new): (Vec<_>, Vec<_>) = paths.into_iter().partition(is_known);
        let differing = |name, read| differs(&known, &name, &read).then_some(name);
        let mut changed = disk::read_all(&old, differing);
        // What is gone, and what is known only because others use it.
        let old: FxHashSet<FilePath> = old.iter().map(|path| paths::name(path)).collect();
        changed.extend(known.paths().into_iter().filter(|name| !old.contains(name)));
        (changed, new)
    });
    match looked.await {
        Ok((changed, new)) => {
            // Fails only with a fault that is logged where it happens.
            let _ = mailbox
                .post(Effort::Long, |owner| owner.read_again(changed))
                .await;
            take_in(new, &view, mailbox, watch::channel(0).0).await;
        }
        Err(why) => tracing::error!("looking for what has changed failed: {why}"),
    }
}

/// Whether what was read is not what is known of a file.
fn differs(view: &View, name: &FilePath, read: &Read) -> bool {
    let known = view.file(name);
    known.is_none_or(|known| match (known.unreadable_because(), read) {
        (None, Read::Text(text)) => known.text().to_string() != *text,
        (Some(known), Read::Unreadable(why)) => known != why,
        _ => true,
    })
}

/// Prepares the files and has the owner put them in. While it is at some, the next wait for
/// it and those behind them are prepared, so that no core does.
async fn take_in(
    paths: Vec<PathBuf>,
    view: &View,
    mailbox: &Mailbox<Owner>,
    done: watch::Sender<usize>,
) {
    let read = |batch: &[PathBuf]| {
        let (paths, view) = (batch.to_vec(), view.clone());
        let prepare = move |name, read| prepared(&view, name, read);
        tokio::task::spawn_blocking(move || disk::read_all(&paths, prepare))
    };
    let mut batches = paths.chunks(BATCH);
    let mut next = batches.next().map(read);
    let mut before = None;
    while let Some(files) = next.take() {
        let files = files.await;
        next = batches.next().map(read);
        let files = match files {
            Ok(files) => files,
            Err(why) => {
                tracing::error!("reading some of the plans failed: {why}");
                continue;
            }
        };
        let post = mailbox.post(Effort::Long, move |owner| owner.loaded(files));
        if let Some(before) = before.replace(post) {
            // Fails only with a fault that is logged where it happens.
            let _ = before.await;
            done.send_modify(|done| *done += BATCH);
        }
    }
}

/// A file as it was read, worked out; none, if there is no such file or the work breaks off,
/// which costs this one alone.
fn prepared(view: &View, name: FilePath, read: Read) -> Option<Prepared> {
    let shown = name.clone();
    let work = AssertUnwindSafe(|| view.prepare(name, read).ok());
    catch_unwind(work).unwrap_or_else(|_| {
        tracing::error!("the work on `{shown}` broke off: it is left out until it is opened");
        None
    })
}

/// Tells the client how many files of so many are done, until all are.
async fn report(mut done: watch::Receiver<usize>, count: usize, client: Client, can: Abilities) {
    let Some(token) = client::progress_token(&client, can).await else {
        return;
    };
    let progress = client.progress(token, "Reading plans");
    let progress = progress.with_percentage(0).begin().await;
    while done.changed().await.is_ok() {
        let done = *done.borrow_and_update();
        let percent = done * 100 / count.max(1);
        let message = format!("{done} of {count} files");
        let percent = percent.try_into().unwrap_or(100);
        progress.report_with_message(message, percent).await;
    }
    progress.finish_with_message(format!("{count} files")).await;
}
