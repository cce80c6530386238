//! Tables in Markdown, and how figures stand in them. Knows no number of the model.

/// Figures that a number is shown with.
const FIGURES: i32 = 4;

/// A table with a heading for every column.
pub fn table(head: &[&str], rows: &[Vec<String>]) -> String {
    let line = |cells: &mut dyn Iterator<Item = String>| format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "));
    let mut text = line(&mut head.iter().map(|cell| (*cell).to_owned()));
    text.push_str(&line(&mut head.iter().map(|_| "---".to_owned())));
    for row in rows {
        assert_eq!(row.len(), head.len(), "{row:?}");
        text.push_str(&line(&mut row.iter().map(|cell| cell.replace('|', "\\|").replace('\n', " "))));
    }
    text
}

/// A number in plain figures: four that count, no empty places.
pub fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let places = (FIGURES - 1 - value.abs().log10().floor() as i32).max(0) as usize;
    let text = format!("{value:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[test]
fn figures_are_plain() {
    let shown = [0.0, 1500.0, 0.35, 2.0 / 3.0, 1.33e-5, -40.0, 20_000.4].map(figure);
    assert_eq!(shown, ["0", "1500", "0.35", "0.6667", "0.0000133", "-40", "20000"]);
}
