//! draft
mod common;
use std::path::Path;
#[test]
fn draft() {
    let root = Path::new(env!("CARGO_TARGET_TMPDIR")).join("looks");
    for (name, shape) in common::cases() {
        let study = common::study(&shape);
        study.verify().unwrap();
        let found = common::comparison(&study, &shape);
        let facts = frytub_reports::Facts::new(&study, &found);
        let dir = root.join(name);
        let out = frytub_reports::prepare(&dir, true).unwrap();
        let mut files = frytub_reports::files(&study, &found, &common::assumptions(), &common::run_facts()).unwrap();
        files.push(("table.txt".to_owned(), frytub_reports::terminal(&facts).into_bytes()));
        out.commit(&files).unwrap();
    }
}
