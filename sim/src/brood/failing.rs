//! What goes wrong in a brood, and what puts it right.
//!
//! A power cut ends by itself; everything else waits for the keeper's next visit. A gravity drip goes on.

use super::Brood;
use crate::clock::{Moment, Span};
use crate::fry::shoal::Physiology;
use crate::mishaps::{Kind, Mishap, clog_chance};
use crate::numbers::MishapNumbers;
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
            Kind::PowerCut => return self.power_fails(numbers, mishap.lasts),
            // Told by the calendar of cultures, never an event.
            Kind::Culture => {}
            Kind::AirStop => self.failing.air = self.setup.study.tubs[plan.tub].air,
            Kind::Clog => {
                let share = self.pumped.as_ref().map(|pumped| pumped.rig.particle_share());
                self.failing.clogged |= share.is_some_and(|share| mishap.lot < clog_chance(numbers, share));
            }
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

    /// The power fails for some time; gives when it is back.
    fn power_fails(&mut self, numbers: &MishapNumbers<f64>, lasts: Span) -> Option<Moment> {
        let back = self.now + lasts;
        let expected = self.failing.power_back.unwrap_or(self.now);
        // A cut within a cut is the same one, unless it makes it longer.
        if back <= expected {
            return None;
        }
        let room = numbers.room_c.min(self.celsius);
        let cooling = numbers.cools_per_h * lasts.hours();
        // Mean of an exponential fall to the temperature of the room.
        let share = if cooling > 1e-9 { -(-cooling).exp_m1() / cooling } else { 1.0 };
        self.failing.cooled_c = room + (self.celsius - room) * share;
        self.failing.power_back = Some(back);
        let plan = &self.setup.study.plans[self.setup.plan];
        let forgets = plan.line.as_ref().is_some_and(|line| !self.setup.study.lines[line.line].timer.keeps_clock);
        // A clock that stands still comes to its runs only when it goes again: none is lost.
        if forgets && !plan.owns.battery {
            self.failing.clock_behind = Span(self.failing.clock_behind.0 + (back - expected).0);
        }
        self.equip();
        Some(back)
    }

    /// The power is back, unless it has failed anew for longer.
    pub(super) fn power_is_back(&mut self) {
        if self.failing.power_back.is_some_and(|back| back > self.now) {
            return;
        }
        self.failing.power_back = None;
        self.failing.acted(Kind::PowerCut, self.now);
        self.equip();
    }

    /// The keeper has come and puts right what has failed, the power apart, and a clock that nothing drives. Gives
    /// whether that took a rinse of the sponge.
    pub(super) fn puts_right(&mut self) -> bool {
        let now = self.now;
        for kind in [Kind::AirStop, Kind::Clog, Kind::Slip] {
            if self.failing.acts(kind) {
                self.failing.acted(kind, now);
            }
        }
        let Failing { power_back, cooled_c, last, float_is_up, clock_behind, .. } = self.failing;
        let clock_behind = if power_back.is_some() { clock_behind } else { Span::default() };
        let left = Failing { power_back, cooled_c, last, clock_behind, ..Failing::default() };
        // Nothing is touched that has not failed.
        if std::mem::replace(&mut self.failing, left) == left {
            return false;
        }
        if float_is_up {
            self.rinse();
            // The water runs down before the drip is opened, or the float would stop it again at once.
            let gone = self.tub.change_water(0.0);
            self.renew(gone, 0.0);
            let pumps_ml_h = self.inflow_ml_h();
            self.tub.set_drip(true, pumps_ml_h);
        }
        let plan = &self.setup.study.plans[self.setup.plan];
        if let Some(line) = &plan.line {
            self.dangers.tube_end_mm = self.setup.world.lines[line.line].end_mm;
        }
        self.settle();
        self.equip();
        float_is_up
    }

    /// So many millilitres of a mix are fed of which a share was there: the culture liquid comes with what was, and what
    /// was not is remembered.
    pub(super) fn feeds_from_cultures(&mut self, mix: usize, ml: f64, there: f64) {
        if there < 1.0 {
            self.failing.acted(Kind::Culture, self.now);
        }
        self.brings_liquid(mix, ml * there);
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
        let plan = &self.setup.study.plans[self.setup.plan];
        let cut_stops_air = self.setup.study.tubs[plan.tub].air && !plan.owns.backup_air;
        let (kinds, within_h): (&[Kind], f64) = match cause {
            Cause::NoOxygen | Cause::Ammonia if cut_stops_air => (&[Kind::PowerCut, Kind::AirStop], AFTER_FOUL_H),
            Cause::NoOxygen | Cause::Ammonia => (&[Kind::AirStop], AFTER_FOUL_H),
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
        let air_power = power || plan.owns.backup_air;
        let air = !self.failing.air && air_power;
        if let Some(fouling) = &mut self.fouling {
            fouling.water.has_air = air;
        }
        self.tub.set_air(air);
        if let Some(pumped) = &mut self.pumped {
            pumped.rig.wait_until(self.now);
            pumped.rig.vessel.set_air(air_power);
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
