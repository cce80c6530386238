//! Reservoirs, feed lines, timers' programmes, outlets and jar tests in plain sentences.

use std::fmt::Write as _;

use frytub_sim::clock::TimeOfDay;
use frytub_sim::physics::tubes::{hold_up_ml, siphon_flow_ml_min, sweeping_flow_ml_min};
use frytub_sim::study::{Fill, JarKind, JarTest, Outlet, Plan, PlanLine, Run, Study, Visits};

use super::amounts::Reckoning;
use super::filling::{self, Filling};
use super::{Section, clock, equipment, few, in_100, ranged};
use crate::words::figure;

/// Every reservoir: what it is, what it holds, and what lies dead in it.
pub(super) fn tell_reservoirs(reckoning: &Reckoning<'_>) -> Section {
    let study = reckoning.study;
    let mut lines = Vec::new();
    for (index, reservoir) in study.reservoirs.iter().enumerate() {
        let numbers = &reservoir.numbers;
        lines.push(format!(
            "{}: {}. It holds {}, kept at {}{}.",
            reservoir.name,
            equipment::vessel(reservoir),
            ranged(&numbers.volume_ml, 1.0, "mL"),
            ranged(&numbers.temperature_c, 1.0, "°C"),
            if numbers.air_ml_min.high() > 0.0 {
                format!(", with {} of air", ranged(&numbers.air_ml_min, 1.0, "mL/min"))
            } else {
                String::new()
            }
        ));
        let (ml, when) = match largest_filling(reckoning, index) {
            Some(ml) => (ml, "At the largest planned filling"),
            None => (numbers.volume_ml.likely(), "Full"),
        };
        let height = reservoir.shape.height_mm(ml);
        lines.push(format!(
            "  {when}, {} mL stand {} mm high over {} cm². The pump draws air below {}.",
            figure(ml),
            figure(height),
            figure(reservoir.shape.area_mm2(height) / 100.0),
            ranged(&numbers.dry_ml, 1.0, "mL")
        ));
        lines.push(if numbers.air_ml_min.high() <= 0.0 {
            "  Nothing stirs it: all that sinks lies on its floor or on its intake.".to_string()
        } else if numbers.dead_floor.likely() > 0.0 {
            format!(
                "  At least {} of its floor are out of reach of every current: what lands there stays.",
                in_100(&numbers.dead_floor)
            )
        } else {
            "  No part of its floor need lie dead while the air runs.".to_string()
        });
    }
    let alone = study.reservoirs.len() == 1;
    Section { heading: if alone { "The reservoir" } else { "The reservoirs" }.to_string(), lines }
}

/// The largest planned filling of a reservoir, mL; `None` if no plan uses it.
fn largest_filling(reckoning: &Reckoning<'_>, reservoir: usize) -> Option<f64> {
    let plans = reckoning.study.plans.iter();
    let of = |plan: &Plan| {
        let line = plan.line.as_ref().filter(|line| line.reservoir == reservoir)?;
        filling::fillings(reckoning, plan, line).iter().map(|filling| filling.poured_ml).max_by(f64::total_cmp)
    };
    plans.filter_map(of).max_by(f64::total_cmp).filter(|ml| *ml > 0.0)
}

/// Pump, timer and tube of one feed line.
pub(super) fn tell_line(reckoning: &Reckoning<'_>, index: usize) -> Section {
    let study = reckoning.study;
    let line = &study.lines[index];
    let numbers = &line.numbers;
    let users: Vec<&Plan> = users(study, index).collect();
    let (bore, length) = (numbers.bore_mm.likely(), numbers.length_m.likely());
    let mut lines = vec![
        format!(
            "The pump is set to {} and really brings {} of that.",
            ranged(&numbers.pump_ml_min, 1.0, "mL/min"),
            in_100(&numbers.pump_drift)
        ),
        format!("The timer ({}) {}.", line.timer.name, equipment::timer(&line.timer)),
        format!(
            "The tube is {} long with a bore of {} and holds {} mL. {}.",
            ranged(&numbers.length_m, 1.0, "m"),
            ranged(&numbers.bore_mm, 1.0, "mm"),
            figure(hold_up_ml(bore, length)),
            tube_end(numbers.end_mm.likely())
        ),
    ];
    if let Some(used) = users.first().and_then(|plan| plan.line.as_ref()) {
        let reservoir = &study.reservoirs[used.reservoir].numbers;
        let celsius = reservoir.temperature_c.likely();
        let flow = |lift: f64| sweeping_flow_ml_min(bore, lift, celsius);
        lines.push(format!(
            "From {} mL/min on ({} to {}) it is swept clean; below that, what sinks stays in it and comes later all at once.",
            figure(flow(reservoir.lift_pa.likely())),
            figure(flow(reservoir.lift_pa.low())),
            figure(flow(reservoir.lift_pa.high()))
        ));
        let siphon = siphon_flow_ml_min(bore, length, numbers.above_mm.likely(), celsius);
        lines.push(if siphon > 0.0 {
            format!(
                "Caution: if the tube slips off the rollers, {} mL run into the tub each minute, and a full reservoir is empty in {}.",
                figure(siphon),
                equipment::minutes(reservoir.volume_ml.likely() / siphon)
            )
        } else {
            "The reservoir stands lower than the tub: if the tube slips off the rollers, nothing runs into the tub, but the tub may run back through it.".to_string()
        });
    }
    let names: Vec<String> = users.iter().map(|plan| format!("\"{}\"", plan.name)).collect();
    let whose = if study.lines.len() == 1 { String::new() } else { format!(" of {}", few(&names)) };
    Section { heading: format!("The feed line{whose}"), lines }
}

fn users(study: &Study, line: usize) -> impl Iterator<Item = &Plan> {
    study.plans.iter().filter(move |plan| plan.line.as_ref().is_some_and(|used| used.line == line))
}

fn tube_end(mm: f64) -> String {
    if mm > 0.0 {
        format!("Its end hangs {} mm above the still water", figure(mm))
    } else if mm < 0.0 {
        format!("Its end is {} mm under the still water", figure(-mm))
    } else {
        "Its end touches the still water".to_string()
    }
}

/// What a plan's pump feeds from, its refills, and what its timer is set to.
pub(super) fn tell_pumping(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Vec<String> {
    let study = reckoning.study;
    let food = if line.recipe == plan.recipe {
        String::new()
    } else {
        format!(", filled after the recipe \"{}\"", study.recipes[line.recipe].name)
    };
    let mut lines =
        vec![format!("The pump feeds from the reservoir \"{}\"{food}.", study.reservoirs[line.reservoir].name)];
    lines.push(tell_refills(line, &filling::fillings(reckoning, plan, line)));
    lines.extend(tell_programme(reckoning, plan, line));
    lines
}

fn tell_refills(line: &PlanLine, fillings: &[Filling]) -> String {
    let when = at_visits(line.refills);
    let poured: Vec<f64> = fillings.iter().map(|filling| filling.poured_ml).filter(|ml| *ml > 0.0).collect();
    let left: Vec<f64> = fillings.iter().filter(|f| f.poured_ml > 0.0).map(Filling::left_ml).collect();
    let how = match line.fill {
        Fill::Needed => "with what the feeds up to the next refill need and a fifth more, ",
        Fill::Millilitres(_) => "",
    };
    format!(
        "It is emptied and refilled {when}: {how}{} mL; {} mL of that are left over and thrown away.",
        from_to(&poured),
        from_to(&left)
    )
}

/// The least and the most of some volumes, or one figure where they hardly differ.
fn from_to(volumes: &[f64]) -> String {
    let least = volumes.iter().copied().min_by(f64::total_cmp).unwrap_or(0.0);
    let most = volumes.iter().copied().max_by(f64::total_cmp).unwrap_or(0.0);
    let (least, most) = (figure(least.round()), figure(most.round()));
    if least == most { least } else { format!("{least} to {most}") }
}

/// At which visits something is done, in words.
pub(super) fn at_visits(visits: Visits) -> String {
    match visits {
        Visits::None => "never".to_string(),
        Visits::First => "at the day's first visit".to_string(),
        Visits::FirstEvery(days) => format!("every {days} days, at the first visit"),
        Visits::Every => "at every visit".to_string(),
    }
}

/// A stretch of days on which the timer is set alike, with its rows on a day of the week and of the weekend.
struct Setting {
    first: u32,
    last: u32,
    rows: [Option<Vec<String>>; 2],
}

/// The timer's programme through the days, the weekend apart where it differs.
fn tell_programme(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine) -> Vec<String> {
    let study = reckoning.study;
    let mut settings: Vec<Setting> = Vec::new();
    for (place, stage) in study.recipes[line.recipe].stages.iter().enumerate() {
        let Some(last) = reckoning.last_day(line.recipe, place) else { continue };
        let first = stage.from_day.max(plan.first_feed_day);
        let first_of = |weekend: bool| (first..=last).find(|day| (study.weekday(*day) >= 5) == weekend);
        let rows = [false, true].map(|weekend| Some(programme_of(reckoning, plan, line, first_of(weekend)?)));
        match settings.last_mut() {
            _ if first > last => {}
            Some(before) if before.may_go_on_with(&rows) => before.go_on(last, rows),
            _ => settings.push(Setting { first, last, rows }),
        }
    }
    settings.into_iter().flat_map(Setting::told).collect()
}

impl Setting {
    /// True if days with these rows need no other setting.
    fn may_go_on_with(&self, rows: &[Option<Vec<String>>; 2]) -> bool {
        self.rows.iter().zip(rows).all(|(mine, other)| mine.is_none() || other.is_none() || mine == other)
    }

    fn go_on(&mut self, last: u32, rows: [Option<Vec<String>>; 2]) {
        self.last = last;
        for (mine, other) in self.rows.iter_mut().zip(rows) {
            *mine = mine.take().or(other);
        }
    }

    fn told(self) -> Vec<String> {
        let (first, last) = (self.first, self.last);
        let days = if first == last { format!("on day {last}") } else { format!("on days {first} to {last}") };
        match self.rows {
            [Some(weekday), Some(weekend)] if weekday != weekend => {
                let heading = |which: &str| vec![format!("The timer is set {days}, {which}:")];
                [heading("Monday to Friday"), weekday, heading("Saturday and Sunday"), weekend].concat()
            }
            rows => {
                let rows = rows.into_iter().flatten().next().unwrap_or_default();
                [vec![format!("The timer is set {days}:")], rows].concat()
            }
        }
    }
}

/// One day's programme: runs alike are told together.
fn programme_of(reckoning: &Reckoning<'_>, plan: &Plan, line: &PlanLine, day: u32) -> Vec<String> {
    let programme = reckoning.programmes.of_day(plan, line, day);
    let flow = reckoning.study.lines[line.line].numbers.pump_ml_min.likely();
    let mut rows: Vec<(Vec<TimeOfDay>, Run)> = Vec::new();
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
    for run in &programme.runs {
        let alike = |(_, other): &&mut (Vec<TimeOfDay>, Run)| {
            close(other.minutes, run.minutes) && close(other.wanted_ml, run.wanted_ml)
        };
        match rows.last_mut().filter(|row| alike(row)) {
            Some((times, _)) => times.push(run.at),
            None => rows.push((vec![run.at], *run)),
        }
    }
    let mut lines: Vec<String> = rows
        .iter()
        .map(|(times, run)| {
            let given = run.minutes * flow;
            let mut row = format!(
                "  {}: {}{}, {} mL wanted",
                clock(times),
                equipment::minutes(run.minutes),
                if times.len() > 1 { " each" } else { "" },
                figure(run.wanted_ml)
            );
            let told = figure(given);
            let _ = if told == figure(run.wanted_ml) {
                write!(row, " and given")
            } else {
                write!(row, ", {told} mL given")
            };
            row
        })
        .collect();
    if lines.is_empty() {
        lines.push("  no feed".to_string());
    }
    if !programme.left_out.is_empty() {
        lines.push(format!("  left out, because the timer holds no more: {}", clock(&programme.left_out)));
    }
    if !programme.merged.is_empty() {
        lines.push(format!("  run together with the feed before: {}", clock(&programme.merged)));
    }
    lines
}

/// An outlet in one sentence.
pub(super) fn tell_outlet(outlet: &Outlet) -> String {
    let numbers = &outlet.numbers;
    format!(
        "Water leaves through a sponge with a face of {}; the rim is {} above the still water",
        ranged(&numbers.face_cm2, 1.0, "cm²"),
        ranged(&numbers.rim_mm, 1.0, "mm")
    )
}

/// The jar tests as they were read.
pub(super) fn tell_jar_tests(study: &Study) -> Section {
    let tell = |test: &JarTest| {
        let how = match test.how {
            JarKind::Still { height_mm, celsius } => {
                format!("in a still jar, {} cm high at {} °C", figure(height_mm / 10.0), figure(celsius))
            }
            JarKind::Stirred { reservoir, volume_ml } => format!(
                "with air, in {} mL in the reservoir \"{}\"",
                figure(volume_ml),
                study.reservoirs[reservoir].name
            ),
        };
        format!(
            "{}, {how}: {} in 100 still in suspension after {} min, read to {} in 100 or so.",
            study.foods[test.food].name,
            figure(100.0 * test.in_suspension),
            figure(test.after_min),
            figure(100.0 * test.reading_error)
        )
    };
    let heading = if study.jar_tests.len() == 1 { "The keeper's jar test" } else { "The keeper's jar tests" };
    Section { heading: heading.to_string(), lines: study.jar_tests.iter().map(tell).collect() }
}
