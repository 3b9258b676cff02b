//! Writing a file anew so that it is never lost: whenever the power goes, what
//! lies under its name is the old text or the new one, whole.
//!
//! The new text goes into a draft in the same folder, and onto the disk, before
//! it takes the file's name in one step. A draft that a power cut leaves behind
//! is called `.bellwire-….draft`; no command takes it for a plan. The price is
//! that of every replacement: other names of the file (hard links) keep the old text.

use std::fs::OpenOptions;
use std::io::{self, ErrorKind, Write as _};
use std::path::Path;

use bellwire_plan::workspace::Read;

use crate::disk;

/// Replaces a file's text, as long as that is still `before`. Links to it stay,
/// its permissions, access lists and group too, and a byte-order mark. Gives the number
/// of the file's other names, which have the old text now.
///
/// # Errors
/// The file may not be written, is not what it was, or the disk refuses; it is
/// as it was then.
pub fn rewrite(path: &Path, before: &str, after: &str) -> io::Result<usize> {
    // A link stays one; what it leads to is rewritten.
    let path = path.canonicalize()?;
    let data = std::fs::metadata(&path)?;
    may_be_written(&path, &data)?;
    let folder = path.parent().unwrap_or(Path::new("."));
    // Goes by itself if anything fails.
    let mut draft = tempfile::Builder::new()
        .prefix(".bellwire-")
        .suffix(".draft")
        .tempfile_in(folder)?;
    if disk::is_marked(&path)? {
        draft.write_all(disk::MARK)?;
    }
    draft.write_all(after.as_bytes())?;
    #[cfg(unix)]
    keep_owners(draft.as_file(), &data)?;
    draft.as_file().set_permissions(data.permissions())?;
    #[cfg(any(target_os = "linux", target_os = "macos"))]
    keep_attributes(&path, draft.as_file())?;
    draft.as_file().sync_all()?;
    // As late as possible: somebody may write to the file in the meantime.
    if disk::read(&path) != Read::Text(before.to_string()) {
        return Err(io::Error::other(
            "the file has changed meanwhile: run the command again",
        ));
    }
    draft.persist(&path).map_err(|failed| failed.error)?;
    // The name is on the disk when the folder is. Not every file system can be
    // asked for that; the file is whole either way.
    #[cfg(unix)]
    let _ = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
    Ok(other_names(&data))
}

#[cfg(unix)]
fn other_names(data: &std::fs::Metadata) -> usize {
    let names = std::os::unix::fs::MetadataExt::nlink(data);
    names.saturating_sub(1) as usize
}

#[cfg(not(unix))]
fn other_names(_: &std::fs::Metadata) -> usize {
    0
}

/// Renaming over a read-only file is allowed, but not what its owner wants.
fn may_be_written(path: &Path, data: &std::fs::Metadata) -> io::Result<()> {
    // For root, every file can be opened; it is still marked as read-only.
    let opened = OpenOptions::new().write(true).open(path).map(drop);
    match opened {
        Ok(()) if !data.permissions().readonly() => Ok(()),
        Err(error) if error.kind() != ErrorKind::PermissionDenied => Err(error),
        _ => Err(io::Error::other(
            "the file is read-only: see its permissions",
        )),
    }
}

/// Gives the draft the file's owner, or at least its group: the permissions would
/// otherwise hold for another group.
#[cfg(unix)]
fn keep_owners(draft: &std::fs::File, data: &std::fs::Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt as _, fchown};
    let (owner, group) = (data.uid(), data.gid());
    fchown(draft, Some(owner), Some(group))
        .or_else(|_| fchown(draft, None, Some(group)))
        .map_err(|_| {
            io::Error::other(
                "the file belongs to a group that you are not in: have its owner do it",
            )
        })
}

/// Gives the draft the file's access list, and what other programs have noted with it; not the
/// access list that files of the folder are born with.
#[cfg(any(target_os = "linux", target_os = "macos"))]
fn keep_attributes(path: &Path, draft: &std::fs::File) -> io::Result<()> {
    use rustix::fs::{XattrFlags, fremovexattr, fsetxattr, getxattr, listxattr};
    const ACCESS: &[u8] = b"system.posix_acl_access";
    /// The most that Linux has, of names and of each value.
    const MOST: usize = 1 << 16;
    let mut names = vec![0; MOST];
    // No file system has to have any.
    let length = listxattr(path, names.as_mut_slice()).unwrap_or(0);
    names.truncate(length);
    let names = names
        .split(|byte| *byte == 0)
        .filter(|name| !name.is_empty());
    let names: Vec<&[u8]> = names.collect();
    if !names.contains(&ACCESS) {
        let _ = fremovexattr(draft, ACCESS);
    }
    // The system's own go with the place of a file, or with who wrote it.
    let own = |name: &[u8]| {
        [&b"security."[..], b"system.", b"trusted."]
            .iter()
            .any(|of| name.starts_with(of))
    };
    for name in names
        .into_iter()
        .filter(|name| *name == ACCESS || !own(name))
    {
        let mut value = vec![0; MOST];
        let kept = getxattr(path, name, value.as_mut_slice()).and_then(|length| {
            value.truncate(length);
            fsetxattr(draft, name, &value, XattrFlags::empty())
        });
        kept.map_err(|why| {
            let name = String::from_utf8_lossy(name);
            io::Error::other(format!("its attribute `{name}` would be lost: {why}"))
        })?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(path: &Path) -> String {
        std::fs::read_to_string(path).unwrap()
    }

    #[test]
    fn only_what_was_read_and_may_be_written_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.bell");
        std::fs::write(&path, "old").unwrap();
        rewrite(&path, "old", "new").unwrap();
        assert_eq!(text(&path), "new");
        let error = rewrite(&path, "old", "newer").unwrap_err().to_string();
        assert!(error.contains("meanwhile"), "{error}");
        let mut permissions = std::fs::metadata(&path).unwrap().permissions();
        permissions.set_readonly(true);
        std::fs::set_permissions(&path, permissions).unwrap();
        let error = rewrite(&path, "new", "newer").unwrap_err().to_string();
        assert!(error.contains("read-only"), "{error}");
        assert_eq!(text(&path), "new");
        std::fs::remove_file(&path).unwrap();
        assert!(rewrite(&path, "new", "newer").is_err());
        std::fs::create_dir(&path).unwrap();
        assert!(rewrite(&path, "new", "newer").is_err());
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_byte_order_mark_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.bell");
        std::fs::write(&path, "\u{feff}old").unwrap();
        rewrite(&path, "old", "new").unwrap();
        assert_eq!(text(&path), "\u{feff}new");
    }

    #[cfg(unix)]
    #[test]
    fn links_and_permissions_stay() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("a.bell"), folder.path().join("l.bell"));
        std::fs::write(&path, "old").unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink("a.bell", &link).unwrap();
        rewrite(&link, "old", "new").unwrap();
        assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(text(&path), "new");
        let mode = std::fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o640);
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn what_lies_with_a_file_stays() {
        use rustix::fs::{XattrFlags, getxattr, setxattr};
        const ACCESS: &str = "system.posix_acl_access";
        /// Somebody else may read it: version 2, then tag, rights and who, for each entry.
        fn access(rights: u8) -> Vec<u8> {
            let any = u32::MAX;
            let entries = [
                (1, 6, any),
                (2, rights, 65534),
                (4, 4, any),
                (0x10, rights, any),
                (0x20, 0, any),
            ];
            let entry = |(tag, rights, who): (u8, u8, u32)| {
                [&[tag, 0, rights, 0], &who.to_le_bytes()[..]].concat()
            };
            [vec![2, 0, 0, 0], entries.map(entry).concat()].concat()
        }
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.bell");
        std::fs::write(&path, "old").unwrap();
        let set = |path: &Path, name: &str, value: &[u8]| {
            setxattr(path, name, value, XattrFlags::empty())
        };
        let get = |name: &str| {
            let mut value = vec![0; 100];
            let length = getxattr(&path, name, value.as_mut_slice());
            length.map(|length| value[..length].to_vec()).ok()
        };
        let needed = "TMPDIR must lie on a disk with attributes and access lists";
        set(&path, "user.note", b"mine").expect(needed);
        rewrite(&path, "old", "new").unwrap();
        assert_eq!(get("user.note"), Some(b"mine".to_vec()));
        set(&path, ACCESS, &access(4)).expect(needed);
        rewrite(&path, "new", "newer").unwrap();
        assert_eq!(get(ACCESS), Some(access(4)));
        // One that nobody has given it.
        rustix::fs::removexattr(&path, ACCESS).unwrap();
        set(folder.path(), "system.posix_acl_default", &access(6)).unwrap();
        rewrite(&path, "newer", "newest").unwrap();
        assert_eq!(get(ACCESS), None);
    }

    #[cfg(unix)]
    #[test]
    fn other_names_are_counted() {
        let folder = tempfile::tempdir().unwrap();
        let (path, other) = (folder.path().join("a.bell"), folder.path().join("b.bell"));
        std::fs::write(&path, "old").unwrap();
        std::fs::hard_link(&path, &other).unwrap();
        assert_eq!(rewrite(&path, "old", "new").unwrap(), 1);
        assert_eq!(rewrite(&path, "new", "newer").unwrap(), 0);
        assert_eq!((text(&path), text(&other)), ("newer".into(), "old".into()));
    }
}
