//! Chart 4, a day in the tub: visits and feeds, food in the water and on the bottom, and how full the guts are, on one
//! time axis. This is where a reader sees why one plan does better.

use frytub_sim::outcome::DayPoint;
use frytub_sim::study::By;

use crate::chart::{self, Chart, Fill, Hatch, Swatch, head, head_height, key, only_words};
use crate::draw::panel::{Law, Panel, Scale, tick_label};
use crate::draw::sketch::{Pen, Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{DASHES, Dash, FOOD_INKS, Format, HAIR, HARM, LINE, Marker, NIGHT, QUIET, Style, TEXT};
use crate::words::{list, quoted_briefly};

/// A gut less full than this share is as good as empty.
const HUNGRY: f64 = 0.1;
/// A food whose peak is a smaller share of the highest peak than this is not drawn.
const TRACE: f64 = 1e-3;
/// Peaks further apart than this need a logarithmic axis.
const FAR_APART: f64 = 15.0;
/// Plans shown, wide and narrow.
const MOST_PLANS: [usize; 2] = [6, 4];

/// Draws the chart.
pub fn chart(facts: &Facts<'_>) -> Chart {
    let hungry = facts.closer(MOST_PLANS[0]).into_iter().any(|plan| !hungry_spans(facts, plan).is_empty());
    let look = if hungry {
        "Look for hungry hours (gut of the middle fifth under a tenth full while it is light), shaded red, and what \
         precedes them."
    } else {
        "Look how deep the guts empty between feeds, and how far the worst-fed fifth lies below the best-fed."
    };
    let caption = format!("From the top: visits and feeds, food in the tub, and how full the guts are. {look}");
    let alt = facts
        .closer(MOST_PLANS[0])
        .into_iter()
        .map(|plan| {
            let feeds = facts.feeds_shown(plan);
            let by_pump = feeds.iter().filter(|feed| feed.1 == By::Pump).count();
            let hungry = hungry_hours(facts, plan)
                .map_or_else(|| "no living fry".to_owned(), |h| format!("middle fry hungry for {h:.0} hours"));
            format!("{}: {} feeds by hand, {by_pump} by pump, {hungry}", facts.name(plan), feeds.len() - by_pump)
        })
        .collect::<Vec<_>>()
        .join("; ");
    let alt = format!("Three strips over the 24 hours of day {} for each plan. {alt}.", facts.study.show_day);
    Chart::new("4-a-day-in-the-tub", title(facts), caption, alt, |format| draw(facts, format))
}

/// Spans of the lit day, as hours, in which the middle fifth has a nearly empty gut.
///
/// Only while there is light: in the dark no plan can feed fry that hunt by sight.
fn hungry_spans(facts: &Facts<'_>, plan: usize) -> Vec<(f64, f64)> {
    let day = &facts.result(plan).day;
    let half_bin = 12.0 / day.len().max(1) as f64;
    let lit = facts.study.light_on.hours()..=facts.study.light_off.hours();
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for point in day.iter().filter(|p| p.gut[1] < HUNGRY && lit.contains(&p.hour)) {
        let (from, to) = (point.hour - half_bin, point.hour + half_bin);
        match spans.last_mut() {
            Some(last) if from - last.1 < half_bin => last.1 = to,
            _ => spans.push((from, to)),
        }
    }
    spans
}

/// Hours of hunger in the light; none when no fry lives.
fn hungry_hours(facts: &Facts<'_>, plan: usize) -> Option<f64> {
    let day = &facts.result(plan).day;
    if day.is_empty() || day.iter().any(|point| !point.gut[1].is_finite()) {
        return None;
    }
    Some(hungry_spans(facts, plan).iter().fold(0.0, |sum, (from, to)| sum + to - from))
}

fn title(facts: &Facts<'_>) -> String {
    let day = facts.study.show_day;
    let hours: Vec<(usize, f64)> =
        facts.leading().into_iter().filter_map(|plan| Some((plan, hungry_hours(facts, plan)?))).collect();
    let told = |(plan, h): (usize, f64)| {
        let hours = if h < 0.5 { "none".to_owned() } else { format!("{h:.0}") };
        format!("{hours} with {}", quoted_briefly(facts.name(plan)))
    };
    match hours.as_slice() {
        [] => format!("Day {day}: no living fry to feed"),
        [one] => format!("Day {day}, hours of light with an almost empty gut: {}", told(*one)),
        [a, b, ..] if a.1 < 0.5 && b.1 < 0.5 => format!("Day {day}: the middle fry is never hungry in the light"),
        [a, b, ..] if (a.1 - b.1).abs() < 1.0 => {
            let hours = if a.1.round() > 1.0 { format!("{:.0} hours", a.1) } else { "an hour".to_owned() };
            let whom = if facts.found.plans.len() > 2 {
                let [a, b] = [a.0, b.0].map(|plan| quoted_briefly(facts.name(plan)));
                format!("{a} and {b} alike")
            } else {
                "both plans".to_owned()
            };
            format!("Day {day}: the middle fry is hungry for about {hours} of light with {whom}")
        }
        all => format!(
            "Day {day}, hours of light in which the middle fry is hungry: {}",
            list(&all.iter().map(|one| told(*one)).collect::<Vec<_>>())
        ),
    }
}

/// Amounts of each food in the water or on the bottom at one time.
type Side = fn(&DayPoint) -> &Vec<f64>;

/// What all panels of this chart share.
struct Shared {
    foods: Vec<usize>,
    food_scale: Scale,
    /// Hours named on the time axis.
    hours: &'static [u8],
    /// True when a pump feeds in any panel, which then needs a row for it.
    pump: bool,
}

fn shared(facts: &Facts<'_>, plans: &[usize]) -> Shared {
    let peak = |food: usize, side: Side| {
        plans
            .iter()
            .flat_map(|&plan| &facts.result(plan).day)
            .filter_map(|point| side(point).get(food).copied())
            .filter(|v| v.is_finite())
            .fold(0.0, f64::max)
    };
    let peaks: Vec<(f64, f64)> =
        (0..facts.study.foods.len()).map(|food| (peak(food, |p| &p.in_water), peak(food, |p| &p.on_bottom))).collect();
    let highest = peaks.iter().map(|p| p.0.max(p.1)).fold(0.0, f64::max);
    let foods: Vec<usize> =
        (0..peaks.len()).filter(|&food| peaks[food].0.max(peaks[food].1) > highest * TRACE).collect();
    let up = peaks.iter().map(|p| p.0).fold(0.0, f64::max).max(highest * 0.05);
    let up = if up > 0.0 { up } else { 1.0 };
    let down = peaks.iter().map(|p| p.1).fold(0.0, f64::max);
    let lowest = foods.iter().map(|&f| peaks[f].0.max(peaks[f].1)).fold(f64::INFINITY, f64::min);
    let law = if highest / lowest > FAR_APART || down / up > FAR_APART || (down > 0.0 && up / down > FAR_APART) {
        // Three decades show; less is as good as nothing to a fry.
        Law::SignedLog(10_f64.powf(highest.log10().ceil() - 3.0))
    } else {
        Law::Linear
    };
    let food_scale = Scale { from: if down > 0.0 { -down * 1.1 } else { 0.0 }, to: up * 1.1, law };
    let pump = plans.iter().any(|&plan| facts.plan(plan).has_pump());
    Shared { foods, food_scale, hours: &[0, 6, 12, 18, 24], pump }
}

fn food_pen(n: usize) -> Pen {
    Pen::new(FOOD_INKS[n % FOOD_INKS.len()], 1.9).dashed(DASHES[n % DASHES.len()])
}

fn draw(facts: &Facts<'_>, format: Format) -> Sketch {
    let plans = facts.closer(MOST_PLANS[usize::from(format.is_narrow())]);
    if plans.iter().all(|&plan| facts.result(plan).day.is_empty()) {
        return only_words(format, "No hour-by-hour day was kept.");
    }
    let mut shared = shared(facts, &plans);
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let plain = |marker| Style { ink: TEXT, dash: Dash::Solid, marker };
    let mut entries: Vec<(Swatch, String)> = vec![
        (Swatch::Visit, "visit, grey: may be late".to_owned()),
        (Swatch::Mark(plain(Marker::Down), true), "feed by hand".to_owned()),
    ];
    if shared.pump {
        entries.push((Swatch::Mark(plain(Marker::Diamond), false), "feed by pump".to_owned()));
    }
    let foods = shared.foods.iter().map(|&f| (Swatch::Plain(food_pen(f)), facts.study.foods[f].name.clone()));
    entries.extend(foods);
    for (n, words) in ["worst-fed fifth", "middle fifth", "best-fed fifth"].into_iter().enumerate() {
        entries.push((Swatch::Plain(gut_pen(TEXT, n)), words.to_owned()));
    }
    if plans.iter().any(|&plan| !hungry_spans(facts, plan).is_empty()) {
        entries.push((Swatch::Block(hungry_fill()), "hungry in the light".to_owned()));
    }
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);
    let columns = match (format, plans.len()) {
        (Format::Narrow, _) => 1,
        (Format::Wide, n @ 1..=4) => n,
        (Format::Wide, _) => 3,
    };
    if columns > 1 {
        // Midnight of one panel would run into midnight of the next.
        shared.hours = &[6, 12, 18];
    }
    let left = gap + 40.0;
    let space = if columns > 1 { 16.0 } else { 0.0 };
    let width = (format.width() - left - gap - (columns - 1) as f64 * space) / columns as f64;
    let mut y = top + 8.0;
    for row in plans.chunks(columns) {
        let heads = head_height(format, width, row.iter().map(|&p| facts.name(p)));
        let mut bottom = y;
        for (n, &plan) in row.iter().enumerate() {
            let x = left + n as f64 * (width + space);
            let head_at = if format.is_narrow() { gap } else { x };
            head(&mut sketch, format, (head_at, y), width, facts.style(plan), facts.name(plan));
            bottom = bottom.max(strips(&mut sketch, facts, format, &shared, plan, (x, x + width), y + heads, n == 0));
        }
        y = bottom + gap * 0.7;
    }
    sketch.reach(y);
    sketch
}

fn hungry_fill() -> Fill {
    Fill { ink: HARM, alpha: 0.28, hatch: Hatch::None }
}

/// Worst-fed fine dotted, middle heavy, best-fed broken.
fn gut_pen(ink: crate::look::Ink, fifth: usize) -> Pen {
    match fifth {
        0 => Pen::new(ink, 1.7).dashed(Dash::Broken(2, 3)),
        1 => Pen::new(ink, LINE + 0.4),
        _ => Pen::new(ink, 1.4).dashed(Dash::Broken(8, 4)),
    }
}

/// The three strips of one plan between two edges; gives back the bottom edge.
#[allow(clippy::too_many_arguments)] // the place of a panel and what goes into it
fn strips(
    sketch: &mut Sketch,
    facts: &Facts<'_>,
    format: Format,
    shared: &Shared,
    plan: usize,
    (left, right): (f64, f64),
    top: f64,
    labelled: bool,
) -> f64 {
    let day = &facts.result(plan).day;
    let hours = Scale::linear(0.0, 24.0);
    let small = Type::new(format.small());
    let heading = |sketch: &mut Sketch, y: f64, text: &str| {
        if labelled {
            sketch.words((left - 34.0, y + small.size), text, small);
        }
        y + small.leading() + 6.0
    };
    let night = |sketch: &mut Sketch, panel: &Panel| {
        let (on, off) = (facts.study.light_on.hours(), facts.study.light_off.hours());
        for (from, to) in [(0.0, on), (off, 24.0)] {
            let rect = Rect::new(panel.x_at(from), panel.area.top, panel.x_at(to), panel.area.bottom);
            sketch.block(rect, NIGHT, 1.0);
        }
    };

    let y = heading(sketch, top + 2.0, "visits, feeds");
    let doing = Panel {
        area: Rect::new(left, y, right, y + if shared.pump { 58.0 } else { 40.0 }),
        x: hours,
        y: Scale::linear(0.0, 1.0),
    };
    night(sketch, &doing);
    visits_and_feeds(sketch, facts, &doing, plan);

    let title = if shared.food_scale.from < 0.0 {
        "food, items per mL (above: in the water, below: on the bottom)"
    } else {
        "food in the water, items per mL"
    };
    let y = heading(sketch, doing.area.bottom + 6.0, title);
    let height = if format.is_narrow() { 130.0 } else { 165.0 };
    let food = Panel { area: Rect::new(left, y, right, y + height), x: hours, y: shared.food_scale };
    night(sketch, &food);
    // Both sides of zero count items, so neither has a sign.
    let label: fn(f64) -> String = |value| tick_label(value.abs());
    food.y_axis_named(sketch, format, &food.y.ticks(5), labelled.then_some(label));
    for &f in &shared.foods {
        let sides: [(Side, f64); 2] = [(|p| &p.in_water, 1.0), (|p| &p.on_bottom, -1.0)];
        for (values, sign) in sides {
            let amount = |p: &DayPoint| values(p).get(f).copied().unwrap_or(f64::NAN);
            // A food that is nowhere on this side would only thicken the zero line.
            if day.iter().any(|p| amount(p) > shared.food_scale.to * TRACE) {
                sketch.line(day.iter().map(|p| food.at(p.hour, sign * amount(p))), food_pen(f));
            }
        }
    }

    let y = heading(sketch, food.area.bottom + 8.0, "gut, % full");
    let height = if format.is_narrow() { 84.0 } else { 100.0 };
    let most = day.iter().flat_map(|p| p.gut).filter(|g| g.is_finite()).fold(1.0, f64::max);
    let gut = Panel { area: Rect::new(left, y, right, y + height), x: hours, y: Scale::linear(0.0, most * 100.0) };
    night(sketch, &gut);
    for (from, to) in hungry_spans(facts, plan) {
        let rect = Rect::new(gut.x_at(from), gut.area.top, gut.x_at(to), gut.area.bottom);
        sketch.block(rect, HARM, 0.28);
    }
    gut.y_axis(sketch, format, &[0.0, 50.0, 100.0], labelled);
    let style = facts.style(plan);
    for fifth in [2, 0, 1] {
        let points = day.iter().map(|p| gut.at(p.hour, p.gut[fifth] * 100.0));
        sketch.line(points, gut_pen(style.ink, fifth));
    }
    let ticks: Vec<(f64, String)> = shared.hours.iter().map(|h| (f64::from(*h), format!("{h:02}:00"))).collect();
    for panel in [&doing, &food] {
        for (hour, _) in &ticks {
            let x = panel.x_at(*hour);
            sketch.line([(x, panel.area.bottom - 4.0), (x, panel.area.bottom)], Pen::hair(QUIET));
        }
    }
    let labels = gut.x_axis(sketch, format, &ticks, false, format.gap() - 2.0);
    gut.x_title(sketch, format, labels, "time of day")
}

/// Visits above, smeared over the time by which nine in ten have come; below them feeds by hand, then by pump.
fn visits_and_feeds(sketch: &mut Sketch, facts: &Facts<'_>, panel: &Panel, plan: usize) {
    let keeper = &facts.study.keeper;
    // Ninth decile of a log-normal: median × exp(1.2816 × sd of the logarithm).
    let late_h = keeper.late_min.likely() / 60.0 * (1.2816 * keeper.late_spread.likely()).exp();
    let day = &facts.plan(plan).week[facts.study.weekday(facts.study.show_day)];
    let row = |n: f64| panel.area.top + 10.0 + 19.0 * n;
    for visit in &day.visits {
        let late_until = panel.x_at((visit.hours() + late_h).min(24.0));
        chart::visit(sketch, (panel.x_at(visit.hours()), row(0.0)), late_until);
    }
    for (hour, by) in facts.feeds_shown(plan) {
        let x = panel.x_at(hour);
        match by {
            By::Hand => sketch.mark((x, row(1.0)), Marker::Down, 5.0, TEXT, true),
            By::Pump => sketch.mark((x, row(2.0)), Marker::Diamond, 4.6, TEXT, false),
        }
    }
    sketch.line(
        [(panel.area.left, panel.area.bottom), (panel.area.right, panel.area.bottom)],
        Pen::new(crate::look::GRID, HAIR),
    );
}
