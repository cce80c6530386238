//! Broken scenario files, each with the whole message that it must bring (`NN-what.toml`, `NN-what.snap`).

use std::fs;
use std::path::{Path, PathBuf};

use frytub_scenarios::{MOST_BYTES, ReadError, read_file};

/// The folder of this room, relative to the crate, where tests are run.
const FOLDER: &str = "tests/bad_input";

fn message(path: &Path) -> String {
    match read_file(path) {
        Ok(_) => panic!("{} was read without complaint", path.display()),
        Err(error) => error.render(false),
    }
}

#[test]
fn every_broken_file_brings_its_message() {
    let mut files: Vec<PathBuf> = fs::read_dir(FOLDER).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|end| end == "toml"));
    files.sort();
    assert!(files.len() >= 115, "only {} broken files were found", files.len());
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(".");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for file in files {
            let name = file.file_stem().unwrap().to_string_lossy();
            insta::assert_snapshot!(name.as_ref(), message(&file));
        }
    });
}

#[test]
fn what_is_not_a_file_is_named() {
    assert_eq!(
        message(Path::new(FOLDER)),
        "tests/bad_input is a folder, not a scenario file; name a file in it, such as tests/bad_input/my-brood.toml\n"
    );
    assert_eq!(message(Path::new("tests/nowhere.toml")), "tests/nowhere.toml: there is no such file\n");
}

#[test]
fn a_file_far_too_large_is_refused_before_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("large.toml");
    let size = usize::try_from(MOST_BYTES).unwrap();
    fs::write(&file, "#".repeat(size + 1)).unwrap();
    assert!(matches!(read_file(&file), Err(ReadError::TooLarge { .. })));
    fs::write(&file, "#".repeat(size)).unwrap();
    assert!(matches!(read_file(&file), Err(ReadError::Empty { .. })));
}
