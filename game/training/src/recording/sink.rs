//! Where a journal writes to.

use super::fault::JournalFault;
use std::fs::File;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Takes the bytes of a recording and makes them last.
pub trait Sink {
    /// Writes all of these bytes behind those already there.
    ///
    /// # Errors
    /// Whatever keeps them from being written.
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Comes back when everything written so far outlives a power cut.
    ///
    /// # Errors
    /// Whatever keeps it from lasting.
    fn sync(&mut self) -> io::Result<()>;

    /// Begins the same, and may come back before it is done. Says how many of
    /// those begun are not done yet, this one among them: one at most, or more
    /// than a second of an attempt could be lost.
    ///
    /// # Errors
    /// Whatever kept this one or one before it from lasting.
    fn begin_sync(&mut self) -> io::Result<usize> {
        self.sync().map(|()| 0)
    }
}

/// A file of its own.
#[derive(Debug)]
pub struct FileSink(File);

/// A name for a new recording that no other file of a folder has; the folder
/// is made where there is none. `began_unix_s` is when the attempt begins.
///
/// # Errors
/// The folder cannot be made.
pub fn new_path(folder: &Path, level: &str, seed: u64, began_unix_s: i64) -> io::Result<PathBuf> {
    std::fs::create_dir_all(folder)?;
    let stem = format!("{level}-{seed}-{began_unix_s}");
    let plain = folder.join(format!("{stem}.jetyard"));
    if !plain.exists() {
        return Ok(plain);
    }
    let free = (2..).map(|n| folder.join(format!("{stem}-{n}.jetyard")));
    let mut free = free.filter(|p| !p.exists());
    Ok(free.next().unwrap_or(plain))
}

impl FileSink {
    /// Makes the file. A file that is already there is left alone.
    ///
    /// # Errors
    /// [`JournalFault::AlreadyThere`] or [`JournalFault::NotMade`].
    pub fn create(path: &Path) -> Result<Self, JournalFault> {
        let made = File::options().write(true).create_new(true).open(path);
        let path_text = || path.display().to_string();
        match made {
            Ok(file) => {
                keep_name(path);
                Ok(FileSink(file))
            }
            Err(fault) if fault.kind() == io::ErrorKind::AlreadyExists => {
                Err(JournalFault::AlreadyThere { path: path_text() })
            }
            Err(fault) => Err(JournalFault::NotMade {
                path: path_text(),
                reason: fault.to_string(),
            }),
        }
    }
}

/// A file can last and its name be lost, where the folder is not synced too.
/// Not every file system lets us; then the name lasts from when the system
/// next writes it by itself.
fn keep_name(path: &Path) {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if cfg!(unix)
        && let Ok(folder) = File::open(folder)
    {
        folder.sync_all().ok();
    }
}

impl Sink for FileSink {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_data()
    }
}

/// Memory, for attempts that nobody keeps.
impl Sink for Vec<u8> {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.extend_from_slice(bytes);
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl<S: Sink + ?Sized> Sink for &mut S {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        (**self).write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        (**self).sync()
    }

    fn begin_sync(&mut self) -> io::Result<usize> {
        (**self).begin_sync()
    }
}

impl<S: Sink + ?Sized> Sink for Box<S> {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        (**self).write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        (**self).sync()
    }

    fn begin_sync(&mut self) -> io::Result<usize> {
        (**self).begin_sync()
    }
}
