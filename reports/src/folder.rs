//! The output folder: made whole or not at all, and never over something that frytub did not write.
//!
//! [`prepare`] finds every trouble with the path before a long run starts; [`Output::commit`] writes into a folder
//! beside the wanted one and then renames it into place. Files that a keeper has added to the folder stay in it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

/// Lists what frytub wrote into a folder, one path a line; its presence says that frytub made the folder.
pub const MARKER: &str = ".frytub";

/// Why an output folder cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// Something that is not a folder has the wanted name.
    #[error("{} is a file, not a folder: choose another place for the results", .0.display())]
    NotAFolder(PathBuf),
    /// A folder has the name wanted for a file.
    #[error("{} is a folder: name a file in it", .0.display())]
    NotAFile(PathBuf),
    /// The file was not written by frytub.
    #[error("{} is there already, and frytub did not write it: choose another name, or allow it with --force", .0.display())]
    FileNotOurs(PathBuf),
    /// The folder has contents that frytub did not make.
    #[error("{} holds files that frytub did not write: choose another folder, or allow it with --force", .0.display())]
    NotOurs(PathBuf),
    /// The path has no last part, for example `/`.
    #[error("{} cannot be an output folder", .0.display())]
    NoName(PathBuf),
    /// The operating system refused.
    #[error("{what} {}: {source}", .path.display())]
    Io {
        /// What was tried.
        what: &'static str,
        /// On what.
        path: PathBuf,
        /// Its reason.
        source: io::Error,
    },
}

/// Turns the operating system's refusal into an error that says what was tried, and on what.
pub fn io_error<'a>(what: &'static str, path: &'a Path) -> impl FnOnce(io::Error) -> FolderError + 'a {
    move |source| FolderError::Io { what, path: path.to_owned(), source }
}

/// A place made ready for results.
#[derive(Debug)]
pub struct Output {
    target: PathBuf,
    staging: TempDir,
    force: bool,
}

/// Makes sure that results can be written to a folder, before there are any.
///
/// # Errors
/// If the path is a file, holds what frytub did not write (unless `force`), or cannot be written.
pub fn prepare(folder: &Path, force: bool) -> Result<Output, FolderError> {
    let target = whole_path(folder)?;
    check(&target, force)?;
    let parent = target.parent().ok_or_else(|| FolderError::NoName(folder.to_owned()))?;
    fs::create_dir_all(parent).map_err(io_error("cannot make the folder", parent))?;
    let staging = tempfile::Builder::new()
        .prefix(".frytub-unfinished-")
        .tempdir_in(parent)
        .map_err(io_error("cannot write in", parent))?;
    Ok(Output { target, staging, force })
}

/// The path without `.` and `..`, so that it has a parent and a name of its own.
fn whole_path(folder: &Path) -> Result<PathBuf, FolderError> {
    let path = if folder.exists() {
        fs::canonicalize(folder).map_err(io_error("cannot find", folder))?
    } else {
        std::path::absolute(folder).map_err(io_error("cannot find", folder))?
    };
    if path.file_name().is_none() { Err(FolderError::NoName(folder.to_owned())) } else { Ok(path) }
}

fn check(target: &Path, force: bool) -> Result<(), FolderError> {
    if !target.exists() {
        return Ok(());
    }
    if !target.is_dir() {
        return Err(FolderError::NotAFolder(target.to_owned()));
    }
    let mut entries = fs::read_dir(target).map_err(io_error("cannot look into", target))?;
    if force || target.join(MARKER).is_file() || entries.next().is_none() {
        Ok(())
    } else {
        Err(FolderError::NotOurs(target.to_owned()))
    }
}

impl Output {
    /// Where the results will be.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.target
    }

    /// Writes all files (paths inside the folder, contents) and puts the folder in its place.
    ///
    /// An older folder of frytub's is replaced; what else lies in it is kept.
    ///
    /// # Errors
    /// If the folder has meanwhile become unusable or something cannot be written; the old folder is then unchanged.
    pub fn commit(self, files: &[(String, Vec<u8>)]) -> Result<PathBuf, FolderError> {
        check(&self.target, self.force)?;
        let new = self.staging.path().join("new");
        let mut written = String::new();
        for (name, contents) in files {
            let path = new.join(name);
            if let Some(parent) = path.parent() {
                fs::create_dir_all(parent).map_err(io_error("cannot make the folder", parent))?;
            }
            fs::write(&path, contents).map_err(io_error("cannot write", &path))?;
            written.push_str(name);
            written.push('\n');
        }
        let marker = new.join(MARKER);
        fs::write(&marker, written).map_err(io_error("cannot write", &marker))?;

        let old = self.staging.path().join("old");
        if self.target.exists() {
            fs::rename(&self.target, &old).map_err(io_error("cannot replace", &self.target))?;
        }
        if let Err(error) = fs::rename(&new, &self.target) {
            if old.exists() {
                fs::rename(&old, &self.target).map_err(io_error("cannot put back", &self.target))?;
            }
            return Err(io_error("cannot make the folder", &self.target)(error));
        }
        if old.exists()
            && let Err(error) = keep_others(&old, &self.target)
        {
            // What could not be moved must not vanish with the working folder.
            let kept = self.staging.keep();
            return Err(FolderError::Io { what: "some older files were left in", path: kept, source: error });
        }
        Ok(self.target)
    }
}

/// Moves what frytub did not write from the old folder into the new one.
fn keep_others(old: &Path, new: &Path) -> io::Result<()> {
    let ours = fs::read_to_string(old.join(MARKER)).unwrap_or_default();
    let ours: Vec<&Path> = ours.lines().map(Path::new).collect();
    let mut folders = vec![PathBuf::new()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(old.join(&folder))? {
            let entry = entry?;
            let name = folder.join(entry.file_name());
            if entry.file_type()?.is_dir() && (new.join(&name).is_dir() || ours.iter().any(|p| p.starts_with(&name))) {
                folders.push(name);
            } else if name != Path::new(MARKER) && !ours.contains(&name.as_path()) && !new.join(&name).exists() {
                if let Some(parent) = new.join(&name).parent() {
                    fs::create_dir_all(parent)?;
                }
                fs::rename(entry.path(), new.join(&name))?;
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(name: &str, text: &str) -> (String, Vec<u8>) {
        (name.to_owned(), text.as_bytes().to_vec())
    }

    fn read(path: &Path) -> String {
        fs::read_to_string(path).unwrap()
    }

    #[test]
    fn a_new_folder_holds_the_files_and_nothing_is_left_beside_it() {
        let place = TempDir::new().unwrap();
        let target = place.path().join("deep/er/out");
        let output = prepare(&target, false).unwrap();
        assert!(!target.exists(), "nothing shows before the end");
        output.commit(&[file("report.html", "a"), file("charts/1.svg", "b")]).unwrap();
        assert_eq!(read(&target.join("charts/1.svg")), "b");
        let beside: Vec<_> = fs::read_dir(target.parent().unwrap()).unwrap().collect();
        assert_eq!(beside.len(), 1, "{beside:?}");
    }

    #[test]
    fn a_run_that_is_given_up_leaves_nothing() {
        let place = TempDir::new().unwrap();
        drop(prepare(&place.path().join("out"), false).unwrap());
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 0);
    }

    #[test]
    fn our_own_folder_is_replaced_and_the_keepers_files_stay() {
        let place = TempDir::new().unwrap();
        let target = place.path().join("out");
        prepare(&target, false).unwrap().commit(&[file("old.csv", "1"), file("charts/old.svg", "1")]).unwrap();
        fs::write(target.join("notes.txt"), "mine").unwrap();
        fs::write(target.join("charts/mine.txt"), "mine").unwrap();
        fs::create_dir(target.join("photos")).unwrap();
        fs::write(target.join("photos/fry.jpg"), "mine").unwrap();
        prepare(&target, false).unwrap().commit(&[file("new.csv", "2")]).unwrap();
        assert_eq!(read(&target.join("new.csv")), "2");
        assert!(!target.join("old.csv").exists() && !target.join("charts/old.svg").exists());
        for name in ["notes.txt", "charts/mine.txt", "photos/fry.jpg"] {
            assert_eq!(read(&target.join(name)), "mine", "{name}");
        }
        assert_eq!(fs::read_dir(place.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_foreign_folder_is_left_alone_without_force() {
        let place = TempDir::new().unwrap();
        fs::write(place.path().join("thesis.txt"), "mine").unwrap();
        assert!(matches!(prepare(place.path(), false), Err(FolderError::NotOurs(_))));
        let target = place.path().join("photos");
        fs::create_dir(&target).unwrap();
        fs::write(target.join("fry.jpg"), "mine").unwrap();
        assert!(matches!(prepare(&target, false), Err(FolderError::NotOurs(_))));
        prepare(&target, true).unwrap().commit(&[file("report.html", "x")]).unwrap();
        assert_eq!(read(&target.join("fry.jpg")), "mine", "force adds, it does not clear");
        assert_eq!(read(&target.join("report.html")), "x");
    }

    #[test]
    fn an_empty_folder_may_be_used_and_a_file_may_not() {
        let place = TempDir::new().unwrap();
        let empty = place.path().join("empty");
        fs::create_dir(&empty).unwrap();
        assert!(prepare(&empty, false).is_ok());
        let file = place.path().join("file");
        fs::write(&file, "x").unwrap();
        assert!(matches!(prepare(&file, true), Err(FolderError::NotAFolder(_))));
        assert!(matches!(prepare(&file.join("below"), false), Err(FolderError::Io { .. })));
    }

    #[test]
    fn a_folder_that_turned_foreign_during_the_run_is_not_touched() {
        let place = TempDir::new().unwrap();
        let target = place.path().join("out");
        let output = prepare(&target, false).unwrap();
        fs::create_dir(&target).unwrap();
        fs::write(target.join("other.txt"), "mine").unwrap();
        assert!(matches!(output.commit(&[file("report.html", "x")]), Err(FolderError::NotOurs(_))));
        assert!(!target.join("report.html").exists());
    }
}
