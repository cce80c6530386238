//! One file of results: written whole or not at all, and never over something that frytub did not write.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::folder::{FolderError, io_error};

/// A file made ready for results.
#[derive(Debug)]
pub struct OutputFile {
    target: PathBuf,
    staging: NamedTempFile,
}

impl OutputFile {
    /// Makes sure that a file can be written, before there is anything to write.
    ///
    /// `first_line` is how such a file begins when frytub wrote it: only then may one that is there be replaced, unless
    /// `force`.
    ///
    /// # Errors
    /// If the path is a folder, or a file that begins differently (unless `force`), or cannot be written.
    pub fn prepare(path: &Path, first_line: &str, force: bool) -> Result<Self, FolderError> {
        let target = std::path::absolute(path).map_err(io_error("cannot find", path))?;
        if target.is_dir() {
            return Err(FolderError::NotAFile(path.to_owned()));
        }
        if !force && !is_free(&target, first_line).map_err(io_error("cannot read", path))? {
            return Err(FolderError::FileNotOurs(path.to_owned()));
        }
        let parent = target.parent().ok_or_else(|| FolderError::NoName(path.to_owned()))?;
        fs::create_dir_all(parent).map_err(io_error("cannot make the folder", parent))?;
        let staging = tempfile::Builder::new()
            .prefix(".frytub-unfinished-")
            .tempfile_in(parent)
            .map_err(io_error("cannot write in", parent))?;
        Ok(Self { target, staging })
    }

    /// Writes the contents and gives the file its name.
    ///
    /// # Errors
    /// If the operating system refuses.
    pub fn commit(mut self, contents: &[u8]) -> Result<(), FolderError> {
        self.staging.write_all(contents).map_err(io_error("cannot write", &self.target))?;
        let kept = self.staging.persist(&self.target);
        kept.map(|_| ()).map_err(|refused| io_error("cannot write", &self.target)(refused.error))
    }
}

/// True if there is no such file, or it begins as one that frytub wrote.
fn is_free(target: &Path, first_line: &str) -> io::Result<bool> {
    match fs::read(target) {
        Ok(bytes) => Ok(bytes.starts_with(first_line.as_bytes())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(error),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_files_that_begin_like_ours_are_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/table.csv");
        let write =
            |force: bool| OutputFile::prepare(&path, "case,arm", force).map(|file| file.commit(b"case,arm\nx\n"));
        assert!(matches!(write(false), Ok(Ok(()))), "a new file in a new folder");
        assert!(matches!(write(false), Ok(Ok(()))), "our own file again");
        fs::write(&path, "somebody's notes").unwrap();
        assert!(matches!(write(false), Err(FolderError::FileNotOurs(_))));
        assert_eq!(fs::read_to_string(&path).unwrap(), "somebody's notes");
        assert!(matches!(write(true), Ok(Ok(()))), "asked for");
        let in_the_way = OutputFile::prepare(folder.path(), "case,arm", true);
        assert!(matches!(in_the_way, Err(FolderError::NotAFile(_))));
        let left: Vec<_> = fs::read_dir(folder.path().join("new")).unwrap().collect();
        assert_eq!(left.len(), 1, "nothing unfinished is left behind");
    }
}
