//! Putting a text in a file's place all at once.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::Path,
};

/// Writes the text beside the file, makes sure that it is on the disk, and puts it in the file's place.
///
/// # Errors
/// What the system says, with what was being done; the old file is then as it was.
pub(super) fn in_one_go(text: &str, path: &Path) -> io::Result<()> {
    // A link stays a link: what it leads to is replaced.
    let target = match fs::canonicalize(path) {
        Ok(target) => target,
        Err(e) if e.kind() == io::ErrorKind::NotFound => path.to_owned(),
        Err(e) => return Err(said("cannot follow the path", &e)),
    };
    if target.is_dir() {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "this is a folder; choose a file name",
        ));
    }
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let old = fs::metadata(&target).ok();
    if old.as_ref().is_some_and(|m| m.permissions().readonly()) {
        return Err(io::Error::new(
            io::ErrorKind::PermissionDenied,
            "the file is write-protected; save under another name, or lift the protection",
        ));
    }
    let mut draft = tempfile::Builder::new()
        .prefix(".sillward-")
        .suffix(".part")
        .tempfile_in(folder)
        .map_err(|e| said("cannot write in this folder", &e))?;
    draft
        .write_all(text.as_bytes())
        .and_then(|()| draft.as_file().sync_all())
        .map_err(|e| said("cannot write the file", &e))?;
    match old {
        Some(old) => draft.as_file().set_permissions(old.permissions()),
        None => usual_permissions(draft.as_file()),
    }
    .map_err(|e| said("cannot set the file's permissions", &e))?;
    draft
        .persist(&target)
        .map_err(|e| said("cannot put the file in its place", &e.error))?;
    sync_folder(folder);
    Ok(())
}

fn said(what: &str, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{what}: {error}"))
}

/// A draft is made for its owner's eyes only; a site file is as any other file.
#[cfg(unix)]
fn usual_permissions(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_permissions(_: &File) -> io::Result<()> {
    Ok(())
}

/// Makes the new name last through a loss of power. Some file systems cannot; the file itself is safe by then.
fn sync_folder(folder: &Path) {
    if cfg!(unix)
        && let Ok(folder) = File::open(folder)
    {
        let _ = folder.sync_all();
    }
}
