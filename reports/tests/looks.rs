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
        std::fs::create_dir_all(&dir).unwrap();
        let mut page = String::from("<meta charset=utf-8><body style='margin:0'>");
        for chart in frytub_reports::charts(&facts) {
            std::fs::write(dir.join(format!("{}.svg", chart.id)), chart.file_svg().unwrap()).unwrap();
            std::fs::write(dir.join(format!("{}.png", chart.id)), chart.file_png().unwrap()).unwrap();
            page += &chart.inline_svg(frytub_reports::Format::Narrow).unwrap();
        }
        std::fs::write(dir.join("narrow.html"), page).unwrap();
        std::fs::write(dir.join("table.txt"), frytub_reports::terminal(&facts)).unwrap();
    }
}
