//! Requests to the client: always with a time limit, for it may never answer.

use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use tower_lsp::Client;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{
    ConfigurationItem, DidChangeWatchedFilesRegistrationOptions, FileSystemWatcher, GlobPattern,
    Location, ProgressToken, Registration, ShowDocumentParams, WatchKind,
};

use super::abilities::Abilities;
use super::settings::Settings;

/// How long the client may take.
pub const LIMIT: Duration = Duration::from_secs(10);

/// The answer, if there is one in time and it is no error.
pub async fn within<T>(limit: Duration, answer: impl Future<Output = Result<T>>) -> Option<T> {
    match tokio::time::timeout(limit, answer).await {
        Ok(Ok(answer)) => Some(answer),
        Ok(Err(error)) => {
            tracing::warn!("the client refused: {error}");
            None
        }
        Err(_) => {
            tracing::warn!("the client has not answered within {} s", limit.as_secs());
            None
        }
    }
}

/// Asks the client to tell of plans that come, change and go outside the editor, if it can.
/// Gives whether it does so from now on.
pub async fn watch_files(client: &Client, can: Abilities) -> bool {
    if !can.watches_files {
        return false;
    }
    let watcher = |glob: &str, kind| FileSystemWatcher {
        glob_pattern: GlobPattern::String(glob.into()),
        kind: Some(kind),
    };
    let options = DidChangeWatchedFilesRegistrationOptions {
        watchers: vec![
            watcher("**/*.bell", WatchKind::Change),
            // Some clients tell of a folder that comes or goes, and not of what is in it.
            watcher("**", WatchKind::Create | WatchKind::Delete),
        ],
    };
    let registration = Registration {
        id: "plans".into(),
        method: "workspace/didChangeWatchedFiles".into(),
        register_options: serde_json::to_value(options).ok(),
    };
    let registered = client.register_capability(vec![registration]);
    within(LIMIT, registered).await.is_some()
}

/// The settings, from a client that lets itself be asked.
pub async fn settings(client: &Client, can: Abilities) -> Option<Settings> {
    if !can.gives_settings {
        return None;
    }
    let item = ConfigurationItem {
        scope_uri: None,
        section: Some("bellwire".into()),
    };
    let values = within(LIMIT, client.configuration(vec![item])).await?;
    Settings::given(values.first()?)
}

/// Takes the reader to a place.
pub async fn go(client: &Client, place: Location) {
    let params = ShowDocumentParams {
        uri: place.uri,
        external: Some(false),
        take_focus: Some(true),
        selection: Some(place.range),
    };
    within(LIMIT, client.show_document(params)).await;
}

/// A token to report progress under, from a client that shows it. Each has one beginning and one end.
pub async fn progress_token(client: &Client, can: Abilities) -> Option<ProgressToken> {
    static TOKENS: AtomicU32 = AtomicU32::new(0);
    if !can.shows_progress {
        return None;
    }
    let number = TOKENS.fetch_add(1, Ordering::Relaxed);
    let token = ProgressToken::String(format!("bellwire/reading/{number}"));
    within(LIMIT, client.create_work_done_progress(token.clone())).await?;
    Some(token)
}
