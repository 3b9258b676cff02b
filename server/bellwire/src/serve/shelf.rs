//! Files that come with the program, put where an editor can open them: the
//! built-in library, and a page for each code of findings.
//!
//! They lie in the user's cache folder, under the program's version, and are
//! written when they are first asked for. What is there is left alone if it is right.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use bellwire_plan::finding::Code;
use bellwire_plan::library;
use bellwire_plan::source::FilePath;
use dashmap::DashMap;

use crate::explain;
use crate::paths;

static FOLDER: LazyLock<PathBuf> = LazyLock::new(|| {
    cache_folder()
        .join("bellwire")
        .join(env!("CARGO_PKG_VERSION"))
});

/// What has been written or found right, and what could not be.
static KNOWN: LazyLock<DashMap<PathBuf, bool>> = LazyLock::new(DashMap::new);

/// Where a file of the library can be read.
pub fn library_file(name: &FilePath) -> Option<PathBuf> {
    let file = library::file(name)?;
    let path = FOLDER.join(name.as_str());
    provide(&path, || file.text().to_string()).then_some(path)
}

/// The library's file that lies at a path; what is not one is left as it is.
pub fn original(path: FilePath) -> FilePath {
    let inner = paths::path(&path);
    let inner = inner.strip_prefix(&*FOLDER).map(paths::name);
    inner
        .ok()
        .filter(|name| library::file(name).is_some())
        .unwrap_or(path)
}

/// Where the explanation of a code can be read.
pub fn explanation(code: Code) -> Option<PathBuf> {
    let path = FOLDER.join("findings").join(format!("{code}.md"));
    provide(&path, || explain::page(code)).then_some(path)
}

/// Sees to it that a file is there with this text; whether it is. Tried once for each file, and
/// once more where somebody has emptied the folder since.
fn provide(path: &Path, text: impl FnOnce() -> String) -> bool {
    let known = KNOWN.get(path).map(|known| *known);
    let known = known.filter(|there| !there || path.exists());
    known.unwrap_or_else(|| {
        let done = put(path, &text());
        if let Err(error) = &done {
            tracing::warn!("cannot write `{}`: {error}", path.display());
        }
        KNOWN.insert(path.to_path_buf(), done.is_ok());
        done.is_ok()
    })
}

fn put(path: &Path, text: &str) -> std::io::Result<()> {
    if std::fs::read(path).is_ok_and(|there| there == text.as_bytes()) {
        return Ok(());
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder)?;
    // Under a new name of its own first: two servers may start at once, and
    // nobody knows beforehand what will be written where.
    let mut draft = tempfile::NamedTempFile::new_in(folder)?;
    draft.write_all(text.as_bytes())?;
    let mut permissions = draft.as_file().metadata()?.permissions();
    permissions.set_readonly(true);
    draft.as_file().set_permissions(permissions)?;
    draft.persist(path).map_err(|failed| failed.error)?;
    Ok(())
}

/// The user's folder for what can be made again.
fn cache_folder() -> PathBuf {
    let set = |name: &str| {
        let value = std::env::var_os(name).map(PathBuf::from);
        value.filter(|path| path.is_absolute())
    };
    if let Some(folder) = set("XDG_CACHE_HOME").or_else(|| set("LOCALAPPDATA")) {
        return folder;
    }
    match set("HOME") {
        Some(home) => home.join(".cache"),
        None => std::env::temp_dir(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_somebody_has_cleared_away_is_there_again() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("bellwire/a.bell");
        let text = || std::fs::read_to_string(&path).unwrap();
        assert!(provide(&path, || "model".to_string()));
        std::fs::remove_dir_all(folder.path().join("bellwire")).unwrap();
        assert!(provide(&path, || "model".to_string()));
        assert_eq!(text(), "model");
        // What is there is not made again.
        assert!(provide(&path, || unreachable!()));
    }
}
