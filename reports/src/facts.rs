//! What all parts of a report share: which plans are shown singly, which are families, and how each is drawn.
//!
//! Knows the study and what was found; nothing of files or layout.

use frytub_sim::mishaps::Kind;
use frytub_sim::outcome::{Cause, Comparison, Pair, PlanResult};
use frytub_sim::study::{By, Matched, Plan, Study};

use crate::look::Style;

/// Plans that differ only in how often they feed.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// Its name.
    pub name: String,
    /// Its plans, by feeds a day and then in the order of the study.
    pub members: Vec<usize>,
    /// True when a pump feeds in any of them.
    pub pump: bool,
    /// What was held equal between its plans.
    pub matched: Matched,
    /// How it is drawn.
    pub style: Style,
}

/// A study, what was found, and what follows for every table and chart.
#[derive(Debug, Clone)]
pub struct Facts<'a> {
    /// What was asked.
    pub study: &'a Study,
    /// What was found.
    pub found: &'a Comparison,
    /// Plans that are shown one by one: those outside families, then leader and rival if they belong to one.
    pub shown: Vec<usize>,
    /// Families in the order in which they first appear.
    pub families: Vec<Family>,
    /// Of those shown, the plans that are drawn: all, or as many as a picture can hold, with leader, rival and baseline
    /// among them.
    pub drawn: Vec<usize>,
    styles: Vec<Option<Style>>,
}

/// The most plans that one picture holds.
const MOST_DRAWN: usize = 24;

impl<'a> Facts<'a> {
    /// Sorts the plans of a comparison into single ones and families.
    #[must_use]
    pub fn new(study: &'a Study, found: &'a Comparison) -> Self {
        let mut shown: Vec<usize> = (0..study.plans.len()).filter(|&p| study.plans[p].family.is_none()).collect();
        for plan in [found.leader, found.rival] {
            if plan < study.plans.len() && !shown.contains(&plan) {
                shown.push(plan);
            }
        }
        let mut families: Vec<Family> = Vec::new();
        for (index, plan) in study.plans.iter().enumerate() {
            let Some(name) = &plan.family else { continue };
            match families.iter_mut().find(|family| family.name == *name) {
                Some(family) => {
                    family.members.push(index);
                    family.pump |= plan.has_pump();
                }
                None => families.push(Family {
                    name: name.clone(),
                    members: vec![index],
                    pump: plan.has_pump(),
                    matched: plan.matched,
                    style: Style::of_family(false),
                }),
            }
        }
        for family in &mut families {
            family.style = Style::of_family(family.pump);
            let feeds = |p: &usize| study.plans[*p].feeds_a_day();
            family.members.sort_by(|a, b| feeds(a).total_cmp(&feeds(b)).then(a.cmp(b)));
        }
        let mut styles = vec![None; study.plans.len()];
        for (n, &plan) in shown.iter().enumerate() {
            styles[plan] = Some(Style::of_plan(n));
        }
        let mut facts = Self { study, found, shown, families, drawn: Vec::new(), styles };
        let chosen = facts.closer(MOST_DRAWN);
        facts.drawn = facts.shown.iter().copied().filter(|plan| chosen.contains(plan)).collect();
        facts
    }

    /// How a plan is drawn wherever it is shown: singly in its own ink, otherwise as its family.
    #[must_use]
    pub fn style(&self, plan: usize) -> Style {
        self.styles[plan].unwrap_or_else(|| Style::of_family(self.plan(plan).has_pump()))
    }

    /// A sentence on plans that are left out of a picture; none when all are in.
    #[must_use]
    pub fn not_drawn(&self) -> Option<String> {
        let missing = self.shown.len() - self.drawn.len();
        (missing > 0).then(|| format!("{missing} more plans are in plans.csv."))
    }

    /// A plan of the study.
    #[must_use]
    pub fn plan(&self, plan: usize) -> &'a Plan {
        &self.study.plans[plan]
    }

    /// What a plan brought.
    #[must_use]
    pub fn result(&self, plan: usize) -> &'a PlanResult {
        &self.found.plans[plan]
    }

    /// Name of a plan.
    #[must_use]
    pub fn name(&self, plan: usize) -> &'a str {
        &self.plan(plan).name
    }

    /// The plan with most weaned fry.
    #[must_use]
    pub fn leader(&self) -> usize {
        self.found.leader
    }

    /// The plan the answer is told against; none when only one was run.
    #[must_use]
    pub fn rival(&self) -> Option<usize> {
        (self.found.plans.len() > 1 && self.found.rival != self.found.leader).then_some(self.found.rival)
    }

    /// A plan against the leader.
    #[must_use]
    pub fn pair(&self, plan: usize) -> Option<&'a Pair> {
        self.found.pairs.iter().find(|pair| pair.plan == plan)
    }

    /// Leader and rival, in that order; the leader alone when there is no other.
    #[must_use]
    pub fn leading(&self) -> Vec<usize> {
        std::iter::once(self.leader()).chain(self.rival()).collect()
    }

    /// The plans that the closer charts show: all single ones up to `most`, otherwise leader, rival and baseline
    /// first and then the others in order. Always in the order of the study.
    #[must_use]
    pub fn closer(&self, most: usize) -> Vec<usize> {
        let first = self.leading().into_iter().chain([self.study.baseline]);
        let mut chosen: Vec<usize> = Vec::new();
        for plan in first.chain(self.shown.iter().copied()) {
            if chosen.len() < most && !chosen.contains(&plan) && self.shown.contains(&plan) {
                chosen.push(plan);
            }
        }
        chosen.sort_unstable();
        chosen
    }

    /// The cause that took most fry, and how many out of 100; none when none died.
    #[must_use]
    pub fn main_loss(&self, plan: usize) -> Option<(Cause, f64)> {
        let deaths = self.result(plan).deaths_by_cause();
        Cause::ALL
            .into_iter()
            .map(|cause| (cause, deaths[cause.index()]))
            .filter(|(_, dead)| *dead > 0.0)
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
    }

    /// True when odds over worlds mean something: more than one world was drawn.
    #[must_use]
    pub fn has_worlds(&self) -> bool {
        self.found.worlds > 1 && !self.found.likely_only
    }

    /// True when the run was stopped before it was done.
    #[must_use]
    pub fn is_partial(&self) -> bool {
        self.found.stopped == frytub_sim::outcome::Stopped::Interrupted
    }

    /// True when the pump of any plan feeds through a reservoir and a tube.
    #[must_use]
    pub fn has_lines(&self) -> bool {
        self.study.plans.iter().any(|plan| plan.line.is_some())
    }

    /// True when the water level of any plan was followed.
    #[must_use]
    pub fn has_outlets(&self) -> bool {
        self.found.plans.iter().any(|plan| plan.outlet.is_some())
    }

    /// True when the water of a plan was reckoned with.
    #[must_use]
    pub fn has_water(&self, plan: usize) -> bool {
        self.result(plan).water.is_some()
    }

    /// True when the water of any plan was reckoned with.
    #[must_use]
    pub fn any_water(&self) -> bool {
        self.found.plans.iter().any(|plan| plan.water.is_some())
    }

    /// What the scenario lets go wrong, late and missed visits apart, in the order of [`Kind::ALL`].
    #[must_use]
    pub fn mishaps(&self) -> Vec<Kind> {
        let may = |kind: &Kind| match (kind, &self.study.mishaps) {
            (Kind::Culture, _) => !self.study.cultures.is_empty(),
            (_, None) => false,
            (Kind::PowerCut, Some(mishaps)) => mishaps.power_cut,
            (Kind::AirStop, Some(mishaps)) => mishaps.air_stop,
            (Kind::Clog, Some(mishaps)) => mishaps.clog,
            (Kind::Slip, Some(mishaps)) => mishaps.slip,
        };
        Kind::ALL.into_iter().filter(may).collect()
    }

    /// The mishaps in or soon after which fry died, with how many out of 100.
    #[must_use]
    pub fn lost_in_mishaps(&self, plan: usize) -> Vec<(Kind, f64)> {
        let lost = Kind::ALL.map(|kind| (kind, self.result(plan).by_mishap[kind.index()].iter().sum::<f64>()));
        lost.into_iter().filter(|(_, dead)| *dead > 0.0).collect()
    }

    /// Feeds by hand and by pump on the day of the week that the day shown falls on, as hours of the day.
    #[must_use]
    pub fn feeds_shown(&self, plan: usize) -> Vec<(f64, By)> {
        let plan = self.plan(plan);
        if self.study.show_day < plan.first_feed_day {
            return Vec::new();
        }
        let day = &plan.week[self.study.weekday(self.study.show_day)];
        day.feeds.iter().map(|feed| (feed.at.hours(), feed.by)).collect()
    }
}
