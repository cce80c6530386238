//! Checks that every picture must pass.

use frytub_reports::font;

/// A line of text in an SVG, as a box in units of the view box.
#[derive(Debug)]
struct TextBox {
    text: String,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
    size: f64,
}

/// What a chart says: every text in its SVG, and its words for those who do not see it.
pub fn chart_words(case: &str, chart: &str, svg: &str, alt: &str) -> String {
    let document = roxmltree::Document::parse(svg).expect("well-formed XML");
    let texts: Vec<&str> = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| node.text().map(str::trim))
        .collect();
    format!("== {case}, {chart}\n{}\nalt: {alt}\n", texts.join(" | "))
}

/// Size of the view box and every text in it, measured with the embedded font.
fn text_boxes(svg: &str) -> ((f64, f64), Vec<TextBox>) {
    let document = roxmltree::Document::parse(svg).expect("well-formed XML");
    let root = document.root_element();
    let number = |node: roxmltree::Node<'_, '_>, name: &str| -> f64 { node.attribute(name).unwrap().parse().unwrap() };
    let view: Vec<f64> =
        root.attribute("viewBox").expect("a view box").split(' ').map(|part| part.parse().unwrap()).collect();
    let group = root.children().find(|node| node.has_tag_name("g")).expect("a scaled group");
    let scale: f64 = group.attribute("transform").unwrap()["scale(".len()..].trim_end_matches(')').parse().unwrap();
    let boxes = document.descendants().filter(|node| node.has_tag_name("text")).map(|node| {
        let text = node.text().unwrap_or_default().trim().to_owned();
        let size = number(node, "font-size") * scale;
        let em: f64 = node.attribute("dy").unwrap().trim_end_matches("em").parse().unwrap();
        let (x, baseline) = (number(node, "x") * scale, number(node, "y") * scale + em * size);
        let width = font::width(&text, size, node.attribute("font-weight") == Some("bold"));
        let left = match node.attribute("text-anchor").unwrap() {
            "middle" => x - width / 2.0,
            "end" => x - width,
            _ => x,
        };
        TextBox { text, left, top: baseline - size * 0.72, right: left + width, bottom: baseline + size * 0.2, size }
    });
    ((view[2], view[3]), boxes.collect())
}

/// Fails if a text of the picture leaves it, is too small, or touches another, or if the picture has no words for those
/// who do not see it.
pub fn check_svg(case: &str, chart: &str, svg: &str, smallest: f64) {
    let ((width, height), boxes) = text_boxes(svg);
    assert!(!boxes.is_empty(), "{case}, {chart}: no text at all");
    for (n, a) in boxes.iter().enumerate() {
        assert!(
            a.left >= 0.0 && a.top >= 0.0 && a.right <= width + 0.5 && a.bottom <= height,
            "{case}, {chart}: “{}” leaves the picture of {width} × {height}: {a:?}",
            a.text
        );
        assert!(a.size >= smallest - 0.01, "{case}, {chart}: {a:?} is too small");
        for b in &boxes[n + 1..] {
            let wide = a.right.min(b.right) - a.left.max(b.left);
            let high = a.bottom.min(b.bottom) - a.top.max(b.top);
            assert!(wide < 1.0 || high < 1.0, "{case}, {chart}: “{}” and “{}” overlap: {a:?}, {b:?}", a.text, b.text);
        }
    }
    let document = roxmltree::Document::parse(svg).unwrap();
    for name in ["title", "desc"] {
        let node = document.root_element().children().find(|node| node.has_tag_name(name));
        assert!(node.and_then(|node| node.text()).is_some_and(|text| text.len() > 5), "{case}, {chart}: no {name}");
    }
}
