//! Every file of every odd case: complete, well-formed, readable, and nothing of the scenario taken as markup.

mod common;

use std::path::Path;

use common::pictures::check_svg;
use frytub_reports::{Facts, Format, TERMINAL_WIDTH, charts, files, prepare, terminal};

#[test]
fn texts_of_all_charts_fit_and_do_not_touch_in_any_case() {
    for (case, shape) in common::cases() {
        let study = common::study(&shape);
        let found = common::comparison(&study, &shape);
        let facts = Facts::new(&study, &found);
        for chart in charts(&facts) {
            check_svg(case, chart.id, &chart.file_svg().unwrap(), Format::Wide.small());
            check_svg(
                case,
                &format!("{} wide", chart.id),
                &chart.inline_svg(Format::Wide).unwrap(),
                Format::Wide.small(),
            );
            check_svg(case, &format!("{} narrow", chart.id), &chart.inline_svg(Format::Narrow).unwrap(), 12.0);
        }
    }
}

#[test]
#[should_panic(expected = "overlap")]
fn the_check_of_touching_texts_sees_a_fault() {
    let (study, found) = common::case("four-plans");
    let svg = charts(&Facts::new(&study, &found))[1].file_svg().unwrap();
    let twice = svg.replace("</g>\n</svg>", "<text x=\"100\" y=\"900\" dy=\"0.76em\" text-anchor=\"start\" font-size=\"60\">one label</text><text x=\"140\" y=\"905\" dy=\"0.76em\" text-anchor=\"start\" font-size=\"60\">another</text></g>\n</svg>");
    check_svg("planted", "fault", &twice, 1.0);
}

#[test]
#[should_panic(expected = "leaves the picture")]
fn the_check_of_the_edge_sees_a_fault() {
    let (study, found) = common::case("four-plans");
    let svg = charts(&Facts::new(&study, &found))[1].file_svg().unwrap();
    let out = svg.replace("</g>\n</svg>", "<text x=\"3100\" y=\"900\" dy=\"0.76em\" text-anchor=\"start\" font-size=\"60\">too far right</text></g>\n</svg>");
    check_svg("planted", "fault", &out, 1.0);
}

#[test]
fn every_case_is_written_whole_and_its_pictures_are_1600_pixels_wide() {
    let root = Path::new(env!("CARGO_TARGET_TMPDIR")).join("looks");
    for (case, shape) in common::cases() {
        let study = common::study(&shape);
        study.verify().unwrap_or_else(|e| panic!("{case}: {e}"));
        let found = common::comparison(&study, &shape);
        let output = prepare(&root.join(case), true).unwrap();
        let files = files(&study, &found, &common::assumptions(), &common::run_facts()).unwrap();
        let folder = output.commit(&files).unwrap();
        for (name, contents) in &files {
            assert_eq!(&std::fs::read(folder.join(name)).unwrap(), contents, "{case}: {name}");
        }
        let pictures: Vec<_> = files.iter().filter(|(name, _)| name.ends_with(".png")).collect();
        let water = usize::from(shape.water != common::waters::Water::None);
        let setbacks = usize::from(shape.trouble != common::setbacks::Trouble::None);
        let lines = if shape.lines { 2 } else { 0 };
        assert_eq!(pictures.len(), 7 + lines + water + setbacks, "{case}");
        for (name, bytes) in pictures {
            let mut reader = png::Decoder::new(bytes.as_slice()).read_info().unwrap();
            let mut pixels = vec![0; reader.output_buffer_size()];
            let info = reader.next_frame(&mut pixels).unwrap_or_else(|e| panic!("{case}, {name}: {e}"));
            assert_eq!(info.width, 1600, "{case}, {name}");
            assert!(pixels.iter().any(|p| *p < 60), "{case}, {name}: nothing is drawn");
        }
    }
}

fn page(case: &str) -> String {
    let (study, found) = common::case(case);
    let files = files(&study, &found, &common::assumptions(), &common::run_facts()).unwrap();
    let (_, page) = files.into_iter().find(|(name, _)| name == "report.html").unwrap();
    String::from_utf8(page).unwrap()
}

#[test]
fn text_of_the_scenario_is_never_taken_as_markup() {
    let page = page("markup");
    assert!(!page.contains("<script"), "a plan's name became a script");
    assert!(page.contains("&lt;script&gt;alert('x')&lt;/script&gt;"));
    assert!(!page.contains("<b>"));
}

#[test]
fn the_page_needs_neither_script_nor_network() {
    let page = page("usual");
    for wish in ["<script", "<link", "<img", "@import", "url(", " onclick", "javascript:"] {
        assert!(!page.contains(wish), "{wish}");
    }
    let addresses = page.matches("http").count();
    let namespaces = page.matches("http://www.w3.org/2000/svg").count();
    let policy = page.matches("http-equiv").count();
    // The style spells out addresses in print; that rule names their beginning once.
    assert_eq!(addresses, namespaces + policy + 1);
}

#[test]
fn headings_come_in_order_and_ids_are_unique() {
    let page = page("usual");
    let levels: Vec<u32> =
        page.match_indices("<h").filter_map(|(at, _)| page[at + 2..].chars().next()?.to_digit(10)).collect();
    assert_eq!(levels[0], 1);
    assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1);
    assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{levels:?}");
    let mut ids: Vec<&str> =
        page.match_indices(" id=\"").map(|(at, m)| page[at + m.len()..].split('"').next().unwrap()).collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "an id is used twice");
    for (at, mark) in page.match_indices("aria-labelledby=\"") {
        for id in page[at + mark.len()..].split('"').next().unwrap().split(' ') {
            assert!(ids.binary_search(&id).is_ok(), "{id} labels nothing");
        }
    }
}

#[test]
fn a_partial_run_says_so_everywhere() {
    assert!(page("partial").contains("Partial run"));
    assert!(!page("usual").contains("Partial run"));
    let (study, found) = common::case("partial");
    assert!(terminal(&Facts::new(&study, &found)).starts_with("PARTIAL RUN"));
    let files = files(&study, &found, &[], &common::run_facts()).unwrap();
    let (_, run) = files.iter().find(|(name, _)| name == "run.toml").unwrap();
    let run: toml::Table = toml::from_str(std::str::from_utf8(run).unwrap()).unwrap();
    assert_eq!(run["partial"].as_bool(), Some(true));
    assert_eq!(run["seed"].as_str(), Some("7"));
    let (_, scenario) = files.iter().find(|(name, _)| name == "scenario.toml").unwrap();
    assert_eq!(scenario, common::run_facts().scenario_text.as_bytes());
}

#[test]
fn the_terminal_table_never_passes_80_columns() {
    for (case, shape) in common::cases() {
        let study = common::study(&shape);
        let found = common::comparison(&study, &shape);
        let text = terminal(&Facts::new(&study, &found));
        for line in text.lines() {
            assert!(line.chars().count() <= usize::from(TERMINAL_WIDTH), "{case}: {line}");
        }
    }
}
