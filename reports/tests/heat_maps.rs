//! Maps of numbers in both layouts: every number in its cell, harmful ones told apart without colour.

mod common;

use common::pictures::check_svg;
use frytub_reports::{Format, HeatCell, HeatMap, HeatPanel, heat_map};

fn map(panels: usize, columns: usize) -> HeatMap {
    let cell = |n: usize| HeatCell {
        text: format!("0.{n:03}"),
        shade: n as f64 / columns as f64,
        is_harmful: n + 1 == columns,
    };
    let panel = |n: usize| HeatPanel {
        head: format!("Panel {n} of a tub that is still and fed in two heavy feeds a day"),
        columns: (0..columns).map(|n| (10 << n).to_string()).collect(),
        rows: ["0", "100", "1000"].map(str::to_owned).to_vec(),
        cells: (0..3).map(|_| (0..columns).map(cell).collect()).collect(),
    };
    HeatMap {
        id: "invented-map",
        title: "An invented map".to_owned(),
        caption: "Numbers only have to look possible.".to_owned(),
        alt: "Panels of cells.".to_owned(),
        columns: "food a day, mg".to_owned(),
        rows: "Rows: drip, mL/h.".to_owned(),
        harmful: "fry die".to_owned(),
        panels: (0..panels).map(panel).collect(),
    }
}

#[test]
fn every_number_fits_its_cell_in_both_layouts() {
    for (panels, columns) in [(8, 6), (1, 1), (3, 7)] {
        let chart = heat_map(&map(panels, columns));
        let case = format!("{panels} panels of {columns} columns");
        check_svg(&case, "file", &chart.file_svg().unwrap(), Format::Wide.small());
        check_svg(&case, "narrow", &chart.inline_svg(Format::Narrow).unwrap(), Format::Narrow.small());
    }
}

#[test]
fn harmful_numbers_are_bold_and_no_others() {
    let svg = heat_map(&map(2, 6)).inline_svg(Format::Wide).unwrap();
    let document = roxmltree::Document::parse(&svg).unwrap();
    let bold: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("text") && node.attribute("font-weight") == Some("bold"))
        .filter_map(|node| node.text().map(str::trim))
        .filter(|text| text.starts_with("0."))
        .collect();
    assert_eq!(bold, ["0.005"; 6], "three rows in each of two panels");
}
