//! Reading and writing files so that no reader ever sees half of one.

use crate::diagnostic::{Diagnostic, Failure};
use std::fs::File;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;

/// Largest text file read whole: a job, shop or dialect file is never near it.
pub const MAX_DOCUMENT_BYTES: u64 = 4 << 20;

/// Temporary files that are being written.
static UNFINISHED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Removes the temporary files that are being written: for a process that is about to be ended.
pub fn remove_unfinished() {
    for path in UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).drain(..) {
        // What can not be removed is left: the process ends all the same.
        let _ = std::fs::remove_file(path);
    }
}

/// A temporary file's name on the list, as long as it lives.
struct Unfinished(PathBuf);

impl Unfinished {
    fn note(path: &Path) -> Unfinished {
        UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).push(path.to_path_buf());
        Unfinished(path.to_path_buf())
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner).retain(|p| *p != self.0);
    }
}

/// Reads a text file of at most `limit` bytes.
///
/// # Errors
/// [`Failure::Input`] if the file is missing, too large or not UTF-8; [`Failure::System`]
/// if the system will not let it be read.
pub fn read_text(path: &Path, limit: u64) -> Result<String, Failure> {
    let shown = path.display();
    let bytes = read_bytes(path, limit)?;
    String::from_utf8(bytes).map_err(|e| {
        let line =
            e.as_bytes()[..e.utf8_error().valid_up_to()].iter().filter(|b| **b == b'\n').count()
                + 1;
        Diagnostic::error(format!("{shown}:{line}: the file is not UTF-8 text"))
            .help("save it as UTF-8")
            .into()
    })
}

/// Reads a file of at most `limit` bytes.
///
/// # Errors
/// As [`read_text`].
pub fn read_bytes(path: &Path, limit: u64) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let meta = std::fs::metadata(path).map_err(|e| cannot_read(path, &e))?;
    if meta.is_dir() {
        return Err(cannot_read(path, &ErrorKind::IsADirectory.into()));
    }
    if meta.len() > limit {
        return Err(Diagnostic::error(format!(
            "{shown}: {} bytes, more than the {limit} this kind of file may have",
            meta.len()
        ))
        .into());
    }
    std::fs::read(path).map_err(|e| cannot_read(path, &e))
}

/// A file that is read more than once, with what tells whether it was changed meanwhile.
pub struct Opened {
    /// The file.
    pub file: File,
    path: PathBuf,
    stamp: Stamp,
}

/// Length and time of change.
type Stamp = (u64, Option<SystemTime>);

impl Opened {
    /// Opens a file; `None` if it is a pipe or the like, which can not be wound back.
    ///
    /// # Errors
    /// As [`read_text`].
    pub fn open(path: &Path) -> Result<Option<Opened>, Failure> {
        let meta = std::fs::metadata(path).map_err(|e| cannot_read(path, &e))?;
        if meta.is_dir() {
            return Err(cannot_read(path, &ErrorKind::IsADirectory.into()));
        }
        if !meta.is_file() {
            return Ok(None);
        }
        let open = || {
            let file = File::open(path)?;
            let stamp = stamp(&file)?;
            Ok(Opened { file, path: path.to_path_buf(), stamp })
        };
        open().map(Some).map_err(|e| cannot_read(path, &e))
    }

    /// All of it, at most `limit` bytes.
    ///
    /// # Errors
    /// As [`read_text`].
    pub fn whole(&self, limit: u64) -> Result<Vec<u8>, Failure> {
        read_bytes(&self.path, limit)
    }

    /// The failure for what went wrong while the file was read.
    #[must_use]
    pub fn failed(&self, e: &std::io::Error) -> Failure {
        cannot_read(&self.path, e)
    }

    /// Makes sure that the file is still as it was when it was opened.
    ///
    /// # Errors
    /// [`Failure::System`] if it is not: what was read may be half of one text and half of another.
    pub fn unchanged(&self) -> Result<(), Failure> {
        let now = stamp(&self.file).map_err(|e| self.failed(&e))?;
        if now == self.stamp {
            return Ok(());
        }
        let shown = self.path.display();
        let changed = format!("{shown}: the file was changed while it was read");
        Err(Failure::System(Diagnostic::error(changed).help("run it again")))
    }
}

fn stamp(file: &File) -> std::io::Result<Stamp> {
    let meta = file.metadata()?;
    // Not every system tells the time of change: then the length alone is compared.
    Ok((meta.len(), meta.modified().ok()))
}

fn cannot_read(path: &Path, e: &std::io::Error) -> Failure {
    let shown = path.display();
    match e.kind() {
        ErrorKind::NotFound => {
            Failure::Input(vec![Diagnostic::error(format!("{shown}: there is no such file"))])
        }
        ErrorKind::IsADirectory => Failure::Input(vec![Diagnostic::error(format!(
            "{shown}: this is a folder, not a file"
        ))]),
        _ => Failure::System(Diagnostic::error(format!("{shown}: cannot read: {e}"))),
    }
}

/// Writes `bytes` under a temporary name beside `path`, then renames: a reader sees the old
/// file or the new one, and a failure leaves the old one as it was.
///
/// # Errors
/// [`Failure::System`] with the path and the system's reason.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    write(path, bytes, true)
}

/// As [`write_whole`], for what can be drawn again at any time: the system may keep it in memory
/// for a while, so that a power cut can cost it. No reader sees half of it all the same.
///
/// # Errors
/// As [`write_whole`].
pub fn write_drawn(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    write(path, bytes, false)
}

fn write(path: &Path, bytes: &[u8], to_disk: bool) -> Result<(), Failure> {
    let fail = |e: &dyn std::fmt::Display| {
        Failure::System(
            Diagnostic::error(format!("{}: cannot write: {e}", path.display()))
                .help("check that the folder exists, is writable and has room"),
        )
    };
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        return Err(Failure::System(
            Diagnostic::error(format!("there is no folder {}", folder.display()))
                .help("make it first, or name another"),
        ));
    }
    let mut temporary = tempfile::Builder::new()
        .prefix(".ovolo-")
        .suffix(".part")
        .tempfile_in(folder)
        .map_err(|e| fail(&e))?;
    let _unfinished = Unfinished::note(temporary.path());
    temporary.write_all(bytes).map_err(|e| fail(&e))?;
    if to_disk {
        temporary.as_file().sync_all().map_err(|e| fail(&e))?;
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let readable = std::fs::Permissions::from_mode(0o644);
        temporary.as_file().set_permissions(readable).map_err(|e| fail(&e))?;
    }
    temporary.persist(path).map_err(|e| fail(&e.error))?;
    Ok(())
}

/// Makes a folder and those above it.
///
/// # Errors
/// [`Failure::System`] with the path and the system's reason.
pub fn make_folder(path: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(path).map_err(|e| {
        Failure::System(Diagnostic::error(format!(
            "{}: cannot make the folder: {e}",
            path.display()
        )))
    })
}

/// Removes a file, if it is there.
///
/// # Errors
/// [`Failure::System`] with the path and the system's reason.
pub fn remove_if_there(path: &Path) -> Result<(), Failure> {
    match std::fs::remove_file(path) {
        Err(e) if e.kind() != std::io::ErrorKind::NotFound => Err(Failure::System(
            Diagnostic::error(format!("{}: cannot remove: {e}", path.display())),
        )),
        _ => Ok(()),
    }
}
