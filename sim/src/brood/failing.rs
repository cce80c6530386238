//! What goes wrong in a brood, and what puts it right.
//!
//! A power cut ends by itself; everything else waits for the keeper's next visit. A gravity drip goes on.

use super::Brood;
use crate::clock::{Moment, Span};
use crate::fry::shoal::Physiology;
use crate::mishaps::{Kind, Mishap};
use crate::outcome::Cause;
use crate::outlet::Passed;

/// A death by foul water within so many hours after the air was off falls to that (estimate: harm heals in that time).
const AFTER_FOUL_H: f64 = 6.0;
/// A death by hunger within so many hours after food failed to come: the time over which its cause is judged.
const AFTER_HUNGER_H: f64 = 48.0;
/// Fry that entered a slipped tube's end die when the pump next runs, up to a day later.
const AFTER_SLIP_H: f64 = 24.0;

/// What fails at present.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Failing {
    /// Until when the power is off.
    power_back: Option<Moment>,
    /// Mean temperature of the water while it is, °C.
    cooled_c: f64,
    air: bool,
    clogged: bool,
    slipped: bool,
    /// The float has stopped drip and pump.
    float_is_up: bool,
    /// When each kind of mishap acted last, as far as it has ended.
    last: [Option<Moment>; Kind::ALL.len()],
    /// How far the timer's clock is behind.
    pub(super) clock_behind: Span,
}

impl Failing {
    pub(super) fn has_power(&self) -> bool {
        self.power_back.is_none()
    }

    /// A mishap of some kind acts until now.
    pub(super) fn acted(&mut self, kind: Kind, now: Moment) {
        self.last[kind.index()] = Some(now);
    }

    fn acts(&self, kind: Kind) -> bool {
        match kind {
            Kind::PowerCut => !self.has_power(),
            Kind::AirStop => self.air,
            Kind::Clog => self.clogged,
            Kind::Slip => self.slipped,
            Kind::Culture => false,
        }
    }
}

impl Brood<'_> {
    /// Something goes wrong; gives when the power is back, if that is what failed.
    pub(super) fn goes_wrong(&mut self, mishap: &Mishap) -> Option<Moment> {
        let Some(numbers) = &self.setup.world.mishaps else { return None };
        let plan = &self.setup.study.plans[self.setup.plan];
        match mishap.kind {
            Kind::PowerCut if self.failing.has_power() => {
                let back = self.now + mishap.lasts;
                let (room, hours) = (numbers.room_c.min(self.celsius), mishap.lasts.hours());
                let cooling = numbers.cools_per_h * hours;
                // Mean of an exponential fall to the temperature of the room.
                let share = if cooling > 1e-9 { -(-cooling).exp_m1() / cooling } else { 1.0 };
                self.failing.cooled_c = room + (self.celsius - room) * share;
                self.failing.power_back = Some(back);
                self.equip();
                return Some(back);
            }
            // A cut within a cut is the same one.
            Kind::PowerCut => {}
            // Told by the calendar of cultures, never an event.
            Kind::Culture => {}
            Kind::AirStop => self.failing.air = true,
            Kind::Clog => self.failing.clogged = plan.line.is_some(),
            Kind::Slip => {
                if plan.line.is_some() {
                    self.failing.slipped = true;
                    self.dangers.tube_end_mm = self.dangers.tube_end_mm.min(numbers.slips_to_mm);
                }
            }
        }
        self.equip();
        None
    }

    /// The power is back.
    pub(super) fn power_is_back(&mut self, lasted: Span) {
        let plan = &self.setup.study.plans[self.setup.plan];
        self.failing.power_back = None;
        self.failing.acted(Kind::PowerCut, self.now);
        let forgets = plan.line.as_ref().is_some_and(|line| !self.setup.study.lines[line.line].timer.keeps_clock);
        if forgets && !plan.owns.battery {
            self.failing.clock_behind = Span(self.failing.clock_behind.0 + lasted.0);
        }
        self.equip();
    }

    /// The keeper has come and puts right what has failed, the power apart.
    pub(super) fn puts_right(&mut self) {
        let now = self.now;
        for kind in [Kind::AirStop, Kind::Clog, Kind::Slip] {
            if self.failing.acts(kind) {
                self.failing.acted(kind, now);
            }
        }
        let Failing { power_back, cooled_c, last, float_is_up, .. } = self.failing;
        let left = Failing { power_back, cooled_c, last, ..Failing::default() };
        // Nothing is touched that has not failed.
        if std::mem::replace(&mut self.failing, left) == left {
            return;
        }
        if float_is_up {
            self.rinse();
            let pumps_ml_h = self.inflow_ml_h();
            self.tub.set_drip(true, pumps_ml_h);
        }
        let plan = &self.setup.study.plans[self.setup.plan];
        if let Some(line) = &plan.line {
            self.dangers.tube_end_mm = self.setup.world.lines[line.line].end_mm;
        }
        self.settle();
        self.equip();
    }

    /// True if the feed pump runs when its time comes; a pump without a described line never clogs.
    pub(super) fn pump_works(&self) -> bool {
        let plan = &self.setup.study.plans[self.setup.plan];
        !self.failing.clogged && !self.failing.float_is_up && (self.failing.has_power() || plan.owns.battery)
    }

    /// The water has stood so high in a step that ends now: a float that the plan owns stops drip and pump. A run of the
    /// pump that is under way comes to its end.
    pub(super) fn watch_float(&mut self, passed: &Passed) {
        let plan = &self.setup.study.plans[self.setup.plan];
        let owns = plan.owns.float_alarm && !self.failing.float_is_up;
        let Some(outlet) = self.setup.world.outlets[plan.tub].as_ref().filter(|_| owns) else { return };
        if passed.highest_mm >= outlet.float_mm {
            self.failing.float_is_up = true;
            let pumps_ml_h = self.inflow_ml_h();
            self.tub.set_drip(false, pumps_ml_h);
        }
    }

    /// The mishap that a death of this cause falls in, or follows so soon that it may have had its part in it: of several
    /// the one that acts, or acted last.
    pub(super) fn blame(&self, cause: Cause) -> Option<Kind> {
        let (kinds, within_h): (&[Kind], f64) = match cause {
            Cause::NoOxygen | Cause::Ammonia => (&[Kind::PowerCut, Kind::AirStop], AFTER_FOUL_H),
            Cause::NoFood | Cause::FoodTooBig | Cause::FoodTooSmall | Cause::TooWeak => {
                (&[Kind::Culture, Kind::Clog, Kind::PowerCut], AFTER_HUNGER_H)
            }
            Cause::FeedTube => (&[Kind::Slip], AFTER_SLIP_H),
            Cause::OverRim | Cause::Background | Cause::Stalled => (&[], 0.0),
        };
        let since = |kind: Kind| {
            let last = if self.failing.acts(kind) { Some(self.now) } else { self.failing.last[kind.index()] };
            last.map(|last| (self.now - last).hours()).filter(|&hours| hours <= within_h)
        };
        let found = kinds.iter().filter_map(|&kind| Some((since(kind)?, kind)));
        found.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, kind)| kind)
    }

    /// Brings air, light and warmth in line with what fails.
    fn equip(&mut self) {
        let plan = &self.setup.study.plans[self.setup.plan];
        let power = self.failing.has_power();
        let air = !self.failing.air && (power || plan.owns.backup_air);
        if let Some(fouling) = &mut self.fouling {
            fouling.water.has_air = air;
        }
        self.tub.set_air(air);
        if let Some(pumped) = &mut self.pumped {
            pumped.rig.wait_until(self.now);
            pumped.rig.vessel.set_air(power || plan.owns.backup_air);
        }
        self.is_lit = self.lights_on && power;
        self.warm();
        self.relight();
    }

    /// The water is as warm as the hour and the power make it, at once (a small tub follows its heater within an hour or two).
    pub(super) fn warm(&mut self) {
        let tub = &self.setup.world.tubs[self.setup.study.plans[self.setup.plan].tub];
        let by_hour = tub.temperature_c - if self.lights_on { 0.0 } else { tub.night_cooler_c };
        let celsius = if self.failing.has_power() { by_hour } else { self.failing.cooled_c };
        if celsius == self.celsius {
            return;
        }
        self.celsius = celsius;
        let fish = &self.setup.world.fish;
        let warmer = celsius - tub.temperature_c;
        self.physiology = Physiology::new(fish, celsius);
        self.warmth = fish.clearance_q10.powf(warmer / 10.0);
        self.burning = fish.routine_q10.powf(warmer / 10.0);
        self.tub.set_temperature(celsius);
    }
}
