//! Opening a scenario file, and everything that can be wrong with a file before it is read.

use std::fs;
use std::io::{self, Read};
use std::path::Path;

use frytub_sim::study::StudyError;

use crate::mistakes::Mistakes;
use crate::read::{Scenario, read_text};

/// The largest scenario file accepted, in bytes.
pub const MOST_BYTES: u64 = 1_000_000;

/// Why a scenario cannot be had from a file.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// There is no such file.
    #[error("{file}: there is no such file")]
    Missing {
        /// The path given.
        file: String,
    },
    /// It is a folder.
    #[error("{file} is a folder, not a scenario file; name a file in it, such as {file}/my-brood.toml")]
    Folder {
        /// The path given, without a slash at the end.
        file: String,
    },
    /// The system refuses to open or read it.
    #[error("{file} cannot be read: {error}")]
    Unreadable {
        /// The path given.
        file: String,
        /// What the system says.
        error: io::Error,
    },
    /// It is far larger than any scenario.
    #[error("{file} is larger than {} kB, the most that a scenario file may have; is it the right file?", MOST_BYTES / 1000)]
    TooLarge {
        /// The path given.
        file: String,
    },
    /// It is not UTF-8 text.
    #[error("{file} is not plain UTF-8 text (line {line}); save it as UTF-8 in a text editor")]
    NotText {
        /// The path given.
        file: String,
        /// Line of the first wrong byte, counting from 1.
        line: usize,
    },
    /// There is nothing in it.
    #[error("{file} is empty; `frytub example` writes a scenario to start from")]
    Empty {
        /// The path given.
        file: String,
    },
    /// It is a text with mistakes.
    #[error("{0}")]
    Mistakes(Box<Mistakes>),
    /// It reads well but its parts do not make a study; a fault of the reader, not of the file.
    #[error("{file} cannot be run: {error}")]
    Unsound {
        /// The path given.
        file: String,
        /// What is wrong.
        error: StudyError,
    },
}

impl ReadError {
    /// The whole message, coloured for a terminal if asked for.
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        match self {
            Self::Mistakes(mistakes) => mistakes.render(colour),
            other => format!("{other}\n"),
        }
    }
}

/// Reads a scenario file.
///
/// # Errors
/// If the file cannot be read as text, or has mistakes: then all of them at once.
pub fn read_file(path: &Path) -> Result<Scenario, ReadError> {
    let file = path.display().to_string();
    let unreadable = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => ReadError::Missing { file: file.clone() },
        io::ErrorKind::IsADirectory => ReadError::Folder { file: file.trim_end_matches('/').to_string() },
        _ => ReadError::Unreadable { file: file.clone(), error },
    };
    if fs::metadata(path).map_err(unreadable)?.is_dir() {
        return Err(ReadError::Folder { file: file.trim_end_matches(['/', '\\']).to_string() });
    }
    let mut bytes = Vec::new();
    // One byte over the limit is enough to know; an endless file is not read to its end.
    fs::File::open(path).and_then(|open| open.take(MOST_BYTES + 1).read_to_end(&mut bytes)).map_err(unreadable)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(ReadError::TooLarge { file });
    }
    match String::from_utf8(bytes) {
        Ok(text) => read_text(&file, &text),
        Err(error) => {
            let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
            Err(ReadError::NotText { file, line: good.iter().filter(|byte| **byte == b'\n').count() + 1 })
        }
    }
}
