//! Chart 10, doses: what each pump feed of the day shown was to bring, and what arrived in the tub fresh and spoiled.

use frytub_sim::outcome::DosePoint;

use super::by_plan::{by_plan, columns};
use super::dose_bars::{self, Bar, fresh_fill, hour_ticks, spoiled_fill, wanted_fill};
use crate::chart::{Chart, Swatch, key};
use crate::draw::panel::{Panel, Scale};
use crate::draw::sketch::{Rect, Sketch, Type};
use crate::facts::Facts;
use crate::look::{Format, TEXT};
use crate::words::{milligrams, part, quoted_briefly};

/// Plans shown.
const MOST_PLANS: usize = 9;
/// Of what was wanted, a smaller share than this that arrives fresh is as good as nothing.
const HARDLY: f64 = 0.05;
/// First and last feed count as alike when the lesser brings at least this share of the other.
const ALIKE: f64 = 0.6;
/// A day counts as well fed when at least this share of what was wanted arrives fresh.
const MOST: f64 = 0.8;

/// Dry milligrams of one feed, all foods together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Brought {
    /// What was wanted.
    pub wanted: f64,
    /// What arrived fresh.
    pub fresh: f64,
    /// What arrived spoiled.
    pub spoiled: f64,
}

impl Brought {
    /// What one feed brought.
    #[must_use]
    pub fn of(dose: &DosePoint) -> Self {
        let mg = |foods: &[f64]| foods.iter().sum::<f64>() / 1000.0;
        Self { wanted: mg(&dose.wanted_ug), fresh: mg(&dose.fresh_ug), spoiled: mg(&dose.spoiled_ug) }
    }

    /// What all feeds of the day shown brought together.
    #[must_use]
    pub fn of_day(doses: &[DosePoint]) -> Self {
        doses.iter().map(Self::of).fold(Self::default(), |sum, one| Self {
            wanted: sum.wanted + one.wanted,
            fresh: sum.fresh + one.fresh,
            spoiled: sum.spoiled + one.spoiled,
        })
    }

    /// Share of what was wanted that arrived fresh.
    #[must_use]
    pub fn fresh_share(&self) -> f64 {
        if self.wanted > 0.0 { self.fresh / self.wanted } else { 0.0 }
    }
}

/// Draws the chart; none when no plan has a feed line.
pub fn chart(facts: &Facts<'_>) -> Option<Chart> {
    let plans = plans(facts);
    if plans.is_empty() {
        return None;
    }
    let told = facts.leading().into_iter().find(|plan| plans.contains(plan)).unwrap_or(plans[0]);
    let caption = "One bar a pump feed: the outline is the dry food that was wanted, the filled part arrived fresh, the \
                   hatched part arrived spoiled. Look for feeds whose filled part is short: there the fry go without.";
    let parts = plans.iter().map(|&plan| {
        let doses = &facts.result(plan).doses;
        let day = Brought::of_day(doses);
        let s = if doses.len() == 1 { "" } else { "s" };
        format!(
            "{}: {} feed{s}, {} wanted, {} arrived fresh and {} spoiled",
            facts.name(plan),
            doses.len(),
            milligrams(day.wanted),
            milligrams(day.fresh),
            milligrams(day.spoiled)
        )
    });
    let alt = format!(
        "Bars of dry food for each pump feed of day {}. {}.",
        facts.study.show_day,
        parts.collect::<Vec<_>>().join("; ")
    );
    Some(Chart::new("10-doses", title(facts, told), caption, alt, |format| draw(facts, &plans, format)))
}

/// Plans shown with pump feeds through a line, as many as fit, in the order of the study.
fn plans(facts: &Facts<'_>) -> Vec<usize> {
    let has_doses = |plan: &usize| !facts.result(*plan).doses.is_empty();
    let mut plans: Vec<usize> = facts.leading().into_iter().filter(has_doses).collect();
    let others = facts.shown.iter().copied().filter(has_doses).filter(|plan| !facts.leading().contains(plan));
    plans.extend(others);
    plans.truncate(MOST_PLANS);
    plans.sort_unstable();
    plans
}

fn title(facts: &Facts<'_>, plan: usize) -> String {
    let doses = &facts.result(plan).doses;
    let (name, day) = (quoted_briefly(facts.name(plan)), facts.study.show_day);
    let whole = Brought::of_day(doses);
    if whole.wanted > 0.0 && whole.fresh_share() < HARDLY {
        return format!("{name}: hardly any of the food that is pumped on day {day} arrives fresh");
    }
    let share = |dose: Option<&DosePoint>| dose.map_or(0.0, |dose| Brought::of(dose).fresh_share());
    let (first, last) = (share(doses.first()), share(doses.last()));
    let (less, more, ratio) =
        if last <= first { ("last", "first", last / first) } else { ("first", "last", first / last) };
    if doses.len() < 2 || first.max(last) <= 0.0 || (ratio > ALIKE && whole.fresh_share() < MOST) {
        // First and last do not tell what is wrong with the day.
        let fresh = whole.fresh_share() * 100.0;
        return format!("{name}: of 100 parts of food wanted on day {day}, {fresh:.0} arrive fresh");
    }
    match part(ratio) {
        "as much" => format!("{name}: the last feed of day {day} brings as much fresh food as the first"),
        "hardly anything" => format!("{name}: the {less} feed of day {day} brings hardly any fresh food"),
        words => format!("{name}: the {less} feed of day {day} brings {words} of the fresh food of the {more}"),
    }
}

fn draw(facts: &Facts<'_>, plans: &[usize], format: Format) -> Sketch {
    let gap = format.gap();
    let mut sketch = Sketch::new(format.width());
    let entries = [
        (Swatch::Block(wanted_fill()), "wanted".to_owned()),
        (Swatch::Block(fresh_fill(TEXT)), "arrived fresh".to_owned()),
        (Swatch::Block(spoiled_fill()), "arrived spoiled".to_owned()),
    ];
    let top = key(&mut sketch, format, Rect::new(gap, gap * 0.4, format.width() - gap, f64::INFINITY), &entries);
    let top =
        sketch.paragraph((gap, top + 4.0), "dry mg a feed", Type::new(format.small()), format.width() - 2.0 * gap)
            + 8.0;
    let all = || plans.iter().flat_map(|&plan| &facts.result(plan).doses);
    let most = all().map(Brought::of).map(|b| b.wanted.max(b.fresh + b.spoiled)).fold(0.0, f64::max);
    let most = if most > 0.0 { most * 1.08 } else { 1.0 };
    let from = all().map(|dose| (dose.hour - 0.5).floor()).fold(6.0, f64::min).max(0.0);
    let height = if format.is_narrow() { 110.0 } else { 170.0 };
    let y = by_plan(&mut sketch, facts, plans, format, (top, 38.0), |sketch, place| {
        let area = Rect::new(place.left, place.top, place.left + place.width, place.top + height);
        let panel = Panel { area, x: Scale::linear(from, 24.0), y: Scale::linear(0.0, most) };
        panel.y_axis(sketch, format, &panel.y.ticks(4), place.is_first);
        let bars: Vec<Bar> = facts.result(place.plan).doses.iter().map(bar).collect();
        dose_bars::draw(sketch, &panel, &bars, facts.style(place.plan).ink);
        let mut ticks = hour_ticks(from, 24.0, 4);
        if columns(format, plans.len()) > 1 {
            // Midnight of one panel would run into the morning of the next.
            ticks.retain(|(hour, _)| *hour < 24.0);
        }
        let labels = panel.x_axis(sketch, format, &ticks, false, gap * 0.4);
        panel.x_title(sketch, format, labels, "time of day")
    });
    sketch.reach(y);
    sketch
}

fn bar(dose: &DosePoint) -> Bar {
    let brought = Brought::of(dose);
    Bar { at: dose.hour, wanted: brought.wanted, fresh: brought.fresh, spoiled: brought.spoiled, range: None }
}
