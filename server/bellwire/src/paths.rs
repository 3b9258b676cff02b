//! Names of files and paths on the disk, as text: nothing is looked up.

use std::path::{Component, Path, PathBuf};

use bellwire_plan::source::FilePath;

/// `path` from the root of the disk, without `.` and `..`; links are left as they are.
pub fn absolute(path: &Path) -> PathBuf {
    let mut whole = match path.is_absolute() {
        true => PathBuf::new(),
        false => std::env::current_dir().unwrap_or_default(),
    };
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                whole.pop();
            }
            part => whole.push(part),
        }
    }
    whole
}

/// The name of the file at an absolute path.
pub fn name(path: &Path) -> FilePath {
    let text = path.to_string_lossy();
    match cfg!(windows) {
        true => FilePath::new(&text.replace('\\', "/")),
        false => FilePath::new(&text),
    }
}

/// The path of a file.
pub fn path(name: &FilePath) -> PathBuf {
    PathBuf::from(name.as_str())
}

/// What a file is called where people read it: seen from the folder `from`, with `/`.
pub fn relative(file: &FilePath, from: &Path) -> String {
    let path = path(file);
    let pairs = path.components().zip(from.components());
    let common = pairs.take_while(|(a, b)| a == b).count();
    // The library, another drive, or nothing shared but the disk's root.
    if common <= 1 {
        return file.to_string();
    }
    let ups = from.components().skip(common).map(|_| "..".to_string());
    let downs = path.components().skip(common);
    let downs = downs.map(|part| part.as_os_str().to_string_lossy().into_owned());
    ups.chain(downs).collect::<Vec<_>>().join("/")
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_seen_from_the_folder_that_people_are_in() {
        let seen = |file, from| relative(&FilePath::new(file), Path::new(from));
        assert_eq!(seen("/w/sites/a.bell", "/w"), "sites/a.bell");
        assert_eq!(seen("/w/sites/a.bell", "/w/catalog"), "../sites/a.bell");
        assert_eq!(seen("/etc/a.bell", "/w/sites"), "/etc/a.bell");
        let library = "bellwire-library/rules.bell";
        assert_eq!(seen(library, "/w"), library);
    }
}
