//! Worlds: one draw of everything that is uncertain but fixed.
//!
//! Every number of a study has a slot with a name. In one block of worlds the slots' quantiles are spread evenly by
//! Latin hypercube (McKay, Beckman & Conover 1979); a quantile becomes a value through the number's PERT
//! distribution. A number keeps its stream by its name, so adding another number shifts nothing.

use rand::RngExt;
use rand::seq::SliceRandom;
use statrs::distribution::{Beta, ContinuousCDF};

use crate::chance::{Source, Streams, individual_of};
use crate::food::batch::Larder;
use crate::food::fit::Taste;
use crate::numbers::{
    CultureNumbers, FishNumbers, FoodNumbers, KeeperNumbers, LineNumbers, LiquidNumbers, MishapNumbers, NumberInfo,
    OutletNumbers, Range, ReservoirNumbers, Scale, TubNumbers, WaterNumbers,
};
use crate::study::{Content, JarKind, JarTest, Study};

/// Worlds in one Latin hypercube.
pub const BLOCK: u32 = 40;

/// The numbers of a fish that tell how it bears fouled water: they count only where water is reckoned with.
pub const BORNE_OF_WATER: [&str; 4] =
    ["ammonia_lc50_mg_l", "ammonia_speed_per_h", "ammonia_threshold", "oxygen_lethal_mg_l"];

/// Every number of a study with a value.
#[derive(Debug, Clone, PartialEq)]
pub struct World {
    /// The fish.
    pub fish: FishNumbers<f64>,
    /// The foods, in the order of the study.
    pub foods: Vec<FoodNumbers<f64>>,
    /// The tubs, in the order of the study.
    pub tubs: Vec<TubNumbers<f64>>,
    /// Their outlets.
    pub outlets: Vec<Option<OutletNumbers<f64>>>,
    /// Their water, where it is reckoned with.
    pub waters: Vec<Option<WaterNumbers<f64>>>,
    /// The reservoirs, in the order of the study.
    pub reservoirs: Vec<ReservoirNumbers<f64>>,
    /// The feed lines, in the order of the study.
    pub lines: Vec<LineNumbers<f64>>,
    /// The keeper.
    pub keeper: KeeperNumbers<f64>,
    /// What goes wrong, where anything may.
    pub mishaps: Option<MishapNumbers<f64>>,
    /// The cultures that may not be ready, in the order of the study.
    pub cultures: Vec<CultureNumbers<f64>>,
    /// For each mix the culture liquid in it.
    pub liquids: Vec<Option<LiquidNumbers<f64>>>,
    /// For each mix and each of its parts: items (or dry mg) in a millilitre.
    pub mixes: Vec<Vec<f64>>,
    /// The foods cut into classes, with what fits whom.
    pub larder: Larder,
}

/// An uncertain number of a study.
#[derive(Debug, Clone, PartialEq)]
pub struct Slot {
    /// Unique name, for example `fish: gape_share`.
    pub name: String,
    /// Plain words with the thing it belongs to.
    pub label: String,
    /// Unit.
    pub unit: String,
    /// Its range (of the first tub, where tubs differ).
    pub range: Range,
    /// On what scale it is spread.
    pub scale: Scale,
}

/// The value of a number at a quantile of its distribution: PERT on its own scale.
#[must_use]
pub fn value_at(range: &Range, scale: Scale, quantile: f64) -> f64 {
    match scale {
        Scale::Ratio if range.low() > 0.0 && !range.is_certain() => {
            let logarithms = Range::new(range.low().ln(), range.likely().ln(), range.high().ln());
            logarithms.map_or(range.likely(), |range| pert_quantile(&range, quantile).exp())
        }
        _ => pert_quantile(range, quantile),
    }
}

/// Quantile of a PERT distribution: a beta on `[low, high]` with mean `(low + 4·likely + high) / 6`.
///
/// Malcolm et al. 1959, Oper. Res. 7:646–669, with the usual shape parameters.
#[must_use]
pub fn pert_quantile(range: &Range, quantile: f64) -> f64 {
    let width = range.high() - range.low();
    if width <= 0.0 {
        return range.likely();
    }
    let a = 1.0 + 4.0 * (range.likely() - range.low()) / width;
    let b = 1.0 + 4.0 * (range.high() - range.likely()) / width;
    let beta = Beta::new(a, b).expect("shape parameters lie between 1 and 5");
    range.low() + width * beta.inverse_cdf(quantile)
}

/// Every number of a study with a value, before what follows from them is worked out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawn {
    pub(crate) fish: FishNumbers<f64>,
    pub(crate) foods: Vec<FoodNumbers<f64>>,
    pub(crate) tubs: Vec<TubNumbers<f64>>,
    pub(crate) outlets: Vec<Option<OutletNumbers<f64>>>,
    pub(crate) waters: Vec<Option<WaterNumbers<f64>>>,
    pub(crate) reservoirs: Vec<ReservoirNumbers<f64>>,
    pub(crate) lines: Vec<LineNumbers<f64>>,
    pub(crate) keeper: KeeperNumbers<f64>,
    pub(crate) mishaps: Option<MishapNumbers<f64>>,
    pub(crate) cultures: Vec<CultureNumbers<f64>>,
    pub(crate) liquids: Vec<Option<LiquidNumbers<f64>>>,
    pub(crate) mixes: Vec<Vec<f64>>,
}

impl Drawn {
    pub(crate) fn into_world(self, study: &Study) -> World {
        let fish = sane(self.fish);
        let taste = Taste { floor: fish.fit_floor, best: fish.fit_best, most: fish.fit_most };
        World {
            larder: Larder::new(&study.foods, &self.foods, &taste),
            fish,
            foods: self.foods,
            tubs: self.tubs,
            outlets: self.outlets,
            waters: self.waters,
            reservoirs: self.reservoirs,
            lines: self.lines,
            keeper: self.keeper,
            mishaps: self.mishaps,
            cultures: self.cultures,
            liquids: self.liquids,
            mixes: self.mixes,
        }
    }
}

/// Visits every number of a study in a fixed order and gives each a value.
fn resolve(study: &Study, value: &mut dyn FnMut(&dyn Fn() -> Slot, &Range) -> f64) -> Drawn {
    let mut slot = |group: &str, who: &str, info: &NumberInfo, range: &Range| {
        let describe = || Slot {
            name: format!("{group}: {}", info.key),
            label: format!("{who}: {}", info.label),
            unit: info.unit.to_owned(),
            range: *range,
            scale: info.scale,
        };
        value(&describe, range)
    };
    // Numbers that nothing in the study reads must not stand among the uncertain ones: how a fish bears foul water that is
    // not reckoned with, and what food uses that rots in it; how food sticks that is in no reservoir; how much a reservoir holds and how high it stands, of
    // which a keeper knows the likely value.
    let has_water = study.tubs.iter().any(|tub| tub.water.is_some());
    let waits = |food: usize| waits_in_a_reservoir(study, food);
    let counts = |info: &NumberInfo, food: usize| match info.key {
        "stick_chance" => waits(food),
        "rot_oxygen" => has_water,
        _ => true,
    };
    let is_read = |info: &NumberInfo| !matches!(info.key, "volume_ml" | "above_mm");
    let fish = study.fish.map(|info, r| {
        let counts = has_water || !BORNE_OF_WATER.contains(&info.key);
        if counts { slot("fish", &study.fish_name, info, r) } else { r.likely() }
    });
    let mut of_food = |(at, food): (usize, &crate::study::Food)| {
        food.numbers.map(|info, r| if counts(info, at) { slot(&food.name, &food.name, info, r) } else { r.likely() })
    };
    let foods = study.foods.iter().enumerate().map(&mut of_food).collect();
    let tubs = study.tubs.iter().map(|tub| tub.numbers.map(|info, r| slot("tub", "tub", info, r))).collect();
    let has_float = study.plans.iter().any(|plan| plan.owns.float_alarm);
    let mut outlet = |outlet: &crate::study::Outlet| {
        let is_read = |info: &NumberInfo| info.key != "float_mm" || has_float;
        outlet.numbers.map(|info, r| if is_read(info) { slot("outlet", "outlet", info, r) } else { r.likely() })
    };
    let outlets = study.tubs.iter().map(|tub| tub.outlet.as_ref().map(&mut outlet)).collect();
    let mut water = |water: &WaterNumbers<Range>| water.map(|info, r| slot("water", "water", info, r));
    let waters = study.tubs.iter().map(|tub| tub.water.as_ref().map(&mut water)).collect();
    let reservoirs = study.reservoirs.iter();
    let mut read = |group: &str, info: &NumberInfo, r: &Range| {
        if is_read(info) { slot(group, group, info, r) } else { r.likely() }
    };
    let reservoirs = reservoirs.map(|one| one.numbers.map(|info, r| read("reservoir", info, r))).collect();
    let lines = study.lines.iter();
    let lines = lines.map(|line| line.numbers.map(|info, r| read("feed line", info, r))).collect();
    let keeper = study.keeper.map(|info, r| slot("keeper", "keeper", info, r));
    let mishaps = study.mishaps.as_ref();
    let mishaps = mishaps.map(|mishaps| {
        let has_line = !study.lines.is_empty();
        let is_read = |info: &NumberInfo| match info.key {
            "air_stop_days" => mishaps.air_stop,
            "clog_days" | "live_clogs_less" => mishaps.clog && has_line,
            "slip_days" | "slips_to_mm" => mishaps.slip && has_line,
            _ => mishaps.power_cut,
        };
        mishaps.numbers.map(|info, r| if is_read(info) { slot("mishaps", "mishaps", info, r) } else { r.likely() })
    });
    let cultures = study.cultures.iter();
    let cultures = cultures.map(|culture| {
        let group = format!("culture of {}", study.foods[culture.food].name);
        culture.numbers.map(|info, r| slot(&group, &group, info, r))
    });
    let cultures = cultures.collect();
    let liquids = study.mixes.iter().map(|mix| {
        let group = format!("liquid in {}", mix.name);
        let mut read =
            |info: &NumberInfo, r: &Range| if has_water { slot(&group, &group, info, r) } else { r.likely() };
        mix.liquid.as_ref().map(|liquid| liquid.numbers.map(|info, r| read(info, r)))
    });
    let liquids = liquids.collect();
    let mut mixes = Vec::new();
    for mix in &study.mixes {
        let mut part = |part: &crate::study::MixPart| {
            let food = &study.foods[part.food].name;
            let (range, unit) = match &part.content {
                Content::Items(r) => (r, "per mL"),
                Content::Milligrams(r) => (r, "mg per mL"),
            };
            let describe = || Slot {
                name: format!("mix {}: {food}", mix.name),
                label: format!("{}: {food} in it", mix.name),
                unit: unit.to_owned(),
                range: *range,
                scale: Scale::Even,
            };
            value(&describe, range)
        };
        mixes.push(mix.parts.iter().map(&mut part).collect());
    }
    Drawn { fish, foods, tubs, outlets, waters, reservoirs, lines, keeper, mishaps, cultures, liquids, mixes }
}

/// True for a food that some plan's reservoir holds, or that was tested in one.
fn waits_in_a_reservoir(study: &Study, food: usize) -> bool {
    let lines = study.plans.iter().filter_map(|plan| plan.line.as_ref());
    let stages = lines.flat_map(|line| &study.recipes[line.recipe].stages);
    let mut poured = stages.flat_map(|stage| &study.mixes[stage.mix].parts).map(|part| part.food);
    let is_tested = |test: &JarTest| test.food == food && matches!(test.how, JarKind::Stirred { .. });
    poured.any(|poured| poured == food) || study.jar_tests.iter().any(is_tested)
}

/// Keeps pairs of independently drawn numbers in the only order that makes sense.
fn sane(mut fish: FishNumbers<f64>) -> FishNumbers<f64> {
    fish.fit_most = fish.fit_most.max(fish.fit_best * 1.05);
    fish.later_success = fish.later_success.max(fish.first_success);
    fish.absorbed_slow_gain = fish.absorbed_slow_gain.min(1.0 - fish.absorbed);
    fish.gut_fast_per_h = fish.gut_fast_per_h.max(fish.gut_slow_per_h);
    fish
}

/// The world in which every number has its most likely value.
#[must_use]
pub fn likely(study: &Study) -> World {
    resolve(study, &mut |_, range| range.likely()).into_world(study)
}

/// Every number that is uncertain, once, in the order in which worlds list their quantiles.
#[must_use]
pub fn uncertain(study: &Study) -> Vec<Slot> {
    let mut slots: Vec<Slot> = Vec::new();
    resolve(study, &mut |describe, range| {
        if !range.is_certain() {
            let slot = describe();
            if slots.iter().all(|s| s.name != slot.name) {
                slots.push(slot);
            }
        }
        range.likely()
    });
    slots
}

/// A block of worlds, drawn together.
#[derive(Debug, Clone)]
pub struct Block {
    names: Vec<String>,
    /// For each world, a quantile for each uncertain number.
    pub(crate) quantiles: Vec<Vec<f64>>,
    /// True if the numbers that are not listed stand at their most likely values.
    is_partial: bool,
}

impl Block {
    /// Draws worlds `first .. first + count` (numbered from 1) as one Latin hypercube.
    #[must_use]
    pub fn draw(slots: &[Slot], seed: u64, first: u32, count: u32) -> Self {
        let streams = Streams::new(seed, first, 0);
        let mut quantiles = vec![Vec::with_capacity(slots.len()); count as usize];
        for slot in slots {
            let mut rng = streams.own(Source::Worlds, individual_of(&slot.name));
            let mut strata: Vec<u32> = (0..count).collect();
            strata.shuffle(&mut rng);
            for (world, stratum) in quantiles.iter_mut().zip(strata) {
                world.push((f64::from(stratum) + rng.random::<f64>()) / f64::from(count));
            }
        }
        Self { names: slots.iter().map(|s| s.name.clone()).collect(), quantiles, is_partial: false }
    }

    /// The same for a choice of numbers; all others stand at their most likely values.
    pub(crate) fn draw_some(slots: &[Slot], seed: u64, first: u32, count: u32) -> Self {
        Self { is_partial: true, ..Self::draw(slots, seed, first, count) }
    }

    /// The quantiles of the block's world `index`, in the order of [`uncertain`].
    #[must_use]
    pub fn quantiles(&self, index: usize) -> &[f64] {
        &self.quantiles[index]
    }

    /// The block's world `index` with its values.
    #[must_use]
    pub fn world(&self, study: &Study, index: usize) -> World {
        self.drawn(study, index).into_world(study)
    }

    /// The numbers of the block's world `index`.
    pub(crate) fn drawn(&self, study: &Study, index: usize) -> Drawn {
        let quantiles = &self.quantiles[index];
        let mut next = 0;
        resolve(study, &mut |describe, range| {
            if range.is_certain() {
                return range.likely();
            }
            // Slots come in the order of `uncertain`; only the numbers of a second tub, reservoir or line come again.
            let Slot { name, scale, .. } = describe();
            let at = if self.names.get(next) == Some(&name) {
                next += 1;
                Some(next - 1)
            } else {
                self.names.iter().position(|n| *n == name)
            };
            match at {
                Some(at) => value_at(range, scale, quantiles[at]),
                None if self.is_partial => range.likely(),
                None => unreachable!("{name} has no slot"),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pert_has_its_mean_and_its_limits() {
        let range = Range::new(2.0, 3.0, 10.0).unwrap();
        let n = 4000;
        let mean =
            (0..n).map(|i| pert_quantile(&range, (f64::from(i) + 0.5) / f64::from(n))).sum::<f64>() / f64::from(n);
        assert!((mean - 4.0).abs() < 0.002, "PERT mean (2 + 4·3 + 10) / 6 = 4, got {mean}");
        assert!((pert_quantile(&range, 0.0) - 2.0).abs() < 1e-9);
        assert!((pert_quantile(&range, 1.0) - 10.0).abs() < 1e-9);
        assert_eq!(pert_quantile(&Range::certain(5.0), 0.3), 5.0);
    }

    #[test]
    fn a_block_puts_one_world_in_each_stratum_of_each_number() {
        let slot = |name: &str| Slot {
            name: name.into(),
            label: String::new(),
            unit: String::new(),
            range: Range::new(0.0, 1.0, 2.0).unwrap(),
            scale: Scale::Even,
        };
        let slots = [slot("a"), slot("b")];
        let block = Block::draw(&slots, 9, 1, 25);
        for number in 0..2 {
            let mut strata: Vec<u32> = (0..25).map(|w| (block.quantiles(w)[number] * 25.0).floor() as u32).collect();
            strata.sort_unstable();
            assert!(strata.into_iter().eq(0..25));
        }
        let alone = Block::draw(&slots[1..], 9, 1, 25);
        assert_eq!(alone.quantiles(3)[0], block.quantiles(3)[1], "a number keeps its draws when others go");
    }
}
