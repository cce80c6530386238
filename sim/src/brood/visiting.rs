//! What the keeper does at a visit: put right, clean, rinse, refill, feed; and how a setback puts a visit off.

use super::pumping::Coming;
use super::{Brood, BroodSetup, foods_in_a_millilitre, fouling, millilitres};
use crate::clock::{Moment, Span, TimeOfDay};
use crate::setbacks::{LATE_H, Setback};
use crate::study::{By, Dose, Feed};

impl Brood<'_> {
    /// The keeper is there: cleans first, then feeds.
    pub(super) fn visit(&mut self, day: u32, planned: TimeOfDay) {
        let BroodSetup { study, world, .. } = self.setup;
        let plan = &study.plans[self.setup.plan];
        self.diary.visited(self.now - Moment::on_day(day, planned));
        let has_rinsed = self.puts_right();
        // The first visit of the day that happens: the one planned first may be missed, or come after the second.
        let is_first = self.cleaned_day < day;
        if is_first {
            self.cleaned_day = day;
            if plan.siphon {
                self.tub.siphon(world.keeper.siphoned_share);
                if let Some(fouling) = &mut self.fouling {
                    fouling.siphoned(world.keeper.siphoned_share);
                }
            }
            if world.keeper.changed_share > 0.0 && !self.is_forced(Setback::SkippedChange, day) {
                let fresh = world.keeper.changed_share;
                let gone = self.tub.change_water(fresh);
                self.renew(gone, fresh);
            }
        }
        if plan.rinses.includes(day, is_first) && !has_rinsed {
            self.rinse();
        }
        if plan.line.as_ref().is_some_and(|line| line.refills.includes(day, is_first)) {
            self.refill(Moment::on_day(day, planned));
        }
        if day < plan.first_feed_day {
            return;
        }
        let feeds = &plan.week[study.weekday(day)].feeds;
        for feed in feeds.iter().filter(|feed| feed.by == By::Hand && feed.at == planned) {
            self.pour(feed, day);
        }
    }

    /// The keeper rinses the sponge.
    pub(super) fn rinse(&mut self) {
        self.tub.rinse();
        if let Some(fouling) = self.fouling.as_mut().filter(|_| self.tub.outlet.is_some()) {
            fouling.water.rinsed(fouling::RINSE_KEEPS);
        }
    }

    /// True if a setback is forced on this day.
    pub(super) fn is_forced(&self, setback: Setback, day: u32) -> bool {
        self.setup.forced.is_some_and(|forced| forced.setback == setback && forced.at.day() == day)
    }

    /// When the day's first visit happens that would happen `at` some moment, or not at all: a setback may put it off.
    pub(super) fn put_off(&self, day: u32, planned: TimeOfDay, at: Option<Moment>) -> Option<Moment> {
        if self.is_forced(Setback::MissedMorning, day) {
            return None;
        }
        let late = Moment::on_day(day, planned) + Span::from_hours(LATE_H);
        at.map(|at| if self.is_forced(Setback::LateMorning, day) { at.max(late) } else { at })
    }

    /// A dose enters at once.
    pub(super) fn pour(&mut self, feed: &Feed, day: u32) {
        let (ml, items) = self.measure(&feed.dose, day);
        self.pours_in(ml, &items, feed.by);
    }

    /// A dose of a day's mix: its volume in mL and its items, all fresh. The liquid in it is in the water at once, also where
    /// a pump brings it over some minutes.
    pub(super) fn measure(&mut self, dose: &Dose, day: u32) -> (f64, Vec<Coming>) {
        let BroodSetup { study, world, .. } = self.setup;
        let stage = study.recipes[study.plans[self.setup.plan].recipe].on_day(day);
        let foods = foods_in_a_millilitre(study, world, stage.mix);
        let ml = stage.times * millilitres(dose, &foods, &world.larder.item_mass_ug);
        let plan = &study.plans[self.setup.plan];
        let there = self.cultures.share_there(&foods, &world.larder.item_mass_ug, self.now);
        self.feeds_from_cultures(stage.mix, ml, there);
        let foods = self.cultures.available(foods, plan, &world.larder.item_mass_ug, self.now);
        let mut items = Vec::new();
        for &(food, per_ml) in &foods {
            let dealt = self.tub.deal(food, per_ml * ml).into_iter();
            items.extend(dealt.map(|(class, total)| Coming { class, stage: 0, total, delivered: 0 }));
        }
        (ml, items)
    }
}
