//! Every number of the model: what it is called, what it is measured in, and how far it may reach.
//!
//! One list a kind of thing ([`FishNumbers`], [`FoodNumbers`], [`TubNumbers`], [`KeeperNumbers`]), each generic over
//! what it holds: a [`Range`] when something is still uncertain, an `f64` inside one world. The lists are written
//! once, here; the library, the scenario reader, the worlds and the report all read their names and units from it.
//! This room knows no file and no random number.

use std::fmt;

/// Low, most likely and high value of an uncertain number, read as a PERT distribution.
///
/// A number without uncertainty has the three equal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    low: f64,
    likely: f64,
    high: f64,
}

/// Why three numbers are not a range.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RangeError {
    /// One of the three is infinite or not a number.
    #[error("a range needs three ordinary numbers")]
    NotFinite,
    /// The three are out of order.
    #[error("a range must rise: low {low}, likely {likely}, high {high}")]
    OutOfOrder {
        /// The low value given.
        low: f64,
        /// The most likely value given.
        likely: f64,
        /// The high value given.
        high: f64,
    },
}

impl Range {
    /// A range from its three values.
    ///
    /// # Errors
    /// If a value is not finite, or not `low ≤ likely ≤ high`.
    pub fn new(low: f64, likely: f64, high: f64) -> Result<Self, RangeError> {
        if ![low, likely, high].iter().all(|v| v.is_finite()) {
            return Err(RangeError::NotFinite);
        }
        if low > likely || likely > high {
            return Err(RangeError::OutOfOrder { low, likely, high });
        }
        Ok(Self { low, likely, high })
    }

    /// A number without uncertainty.
    #[must_use]
    pub const fn certain(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// The lowest value thought possible.
    #[must_use]
    pub const fn low(&self) -> f64 {
        self.low
    }

    /// The most likely value.
    #[must_use]
    pub const fn likely(&self) -> f64 {
        self.likely
    }

    /// The highest value thought possible.
    #[must_use]
    pub const fn high(&self) -> f64 {
        self.high
    }

    /// True when the three values are equal.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        self.high <= self.low
    }

    /// The range with each value multiplied by a factor of zero or more.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        debug_assert!(factor >= 0.0);
        Self { low: self.low * factor, likely: self.likely * factor, high: self.high * factor }
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_certain() {
            write!(f, "{}", self.likely)
        } else {
            write!(f, "{} – {} – {}", self.low, self.likely, self.high)
        }
    }
}

/// What is known of a number before it has a value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NumberInfo {
    /// Its name in library and scenario files.
    pub key: &'static str,
    /// Plain words, to be read after "the".
    pub label: &'static str,
    /// Unit in which the model holds it; empty for a plain ratio.
    pub unit: &'static str,
    /// No value below this makes sense.
    pub least: f64,
    /// No value above this makes sense.
    pub most: f64,
    /// On what scale values between low and high are spread.
    pub scale: Scale,
}

/// On what scale the values of an uncertain number are spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scale {
    /// Differences count.
    #[default]
    Even,
    /// Ratios count: the logarithm is spread. For numbers above 0 known only to an order of magnitude.
    Ratio,
}

macro_rules! numbers {
    (@scale) => { Scale::Even };
    (@scale by_ratio) => { Scale::Ratio };
    (
        $(#[$meta:meta])*
        pub struct $name:ident {
            $( $key:ident : $label:literal, $unit:literal, $least:literal ..= $most:literal $(, $scale:ident)?; )+
        }
    ) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name<T> {
            $(
                #[doc = concat!("The ", $label, " (", $unit, ").")]
                pub $key: T,
            )+
        }

        impl<T> $name<T> {
            /// Name, words, unit and limits of each number, in a fixed order.
            pub const INFO: &'static [NumberInfo] = &[
                $( NumberInfo {
                    key: stringify!($key), label: $label, unit: $unit, least: $least, most: $most,
                    scale: numbers!(@scale $($scale)?),
                }, )+
            ];

            /// Builds the list by asking for each number in the order of [`Self::INFO`].
            ///
            /// # Errors
            /// The first error that `value` returns.
            pub fn try_from_fn<E>(mut value: impl FnMut(&'static NumberInfo) -> Result<T, E>) -> Result<Self, E> {
                let mut infos = Self::INFO.iter();
                Ok(Self { $( $key: value(infos.next().expect("one info a number"))?, )+ })
            }

            /// The same list with every number changed, in the order of [`Self::INFO`].
            #[must_use]
            pub fn map<U>(&self, mut change: impl FnMut(&'static NumberInfo, &T) -> U) -> $name<U> {
                let mut infos = Self::INFO.iter();
                $name { $( $key: change(infos.next().expect("one info a number"), &self.$key), )+ }
            }

            /// Each number beside what is known of it.
            pub fn iter(&self) -> impl Iterator<Item = (&'static NumberInfo, &T)> {
                Self::INFO.iter().zip([ $( &self.$key, )+ ])
            }

            /// The number of this name, to change it; `None` if there is none.
            pub fn get_mut(&mut self, key: &str) -> Option<&mut T> {
                match key {
                    $( stringify!($key) => Some(&mut self.$key), )+
                    _ => None,
                }
            }
        }
    };
}

numbers! {
    /// The numbers of a fish. Reference temperature 28 °C; masses are dry.
    pub struct FishNumbers {
        length_mm: "length when it starts to feed", "mm", 1.0 ..= 60.0;
        usual_length_mm: "length at which the usual mass was taken", "mm", 1.0 ..= 60.0;
        usual_mass_ug: "usual dry mass at that length, without yolk", "µg", 1.0 ..= 1e6;
        condition: "mass against the usual mass at the same length", "", 0.2 ..= 5.0;
        mass_exponent: "power with which mass rises with length", "", 2.0 ..= 5.0;
        length_spread: "spread of length between fry (share of the mean)", "", 0.0 ..= 0.5;
        yolk_share: "yolk left at first swimming, as a share of body mass", "", 0.0 ..= 2.0;
        yolk_spread: "spread of yolk between fry (share of the mean)", "", 0.0 ..= 1.0;
        swim_up_spread_h: "spread of first swimming between fry", "h", 0.0 ..= 72.0;
        gape_share: "mouth opening at 90° as a share of length", "", 0.01 ..= 0.5;
        fit_floor: "share of very small items that it still takes", "", 0.0 ..= 1.0;
        fit_best: "item width it likes best, as a share of the gape", "", 0.02 ..= 1.0;
        fit_most: "widest item it can take, as a share of the gape", "", 0.05 ..= 1.5;
        clearance_ml_h: "water searched per hour by a fry of 4.8 mm", "mL/h", 0.1 ..= 5000.0;
        clearance_q10: "rise of searching for 10 °C", "", 1.0 ..= 5.0;
        skill_spread: "spread of searching skill between fry", "", 0.0 ..= 1.5;
        dark_share: "share of its searching that it does in the dark", "", 0.0 ..= 1.0;
        bottom_reach: "how well it finds food on the bottom (1 = as in open water)", "", 0.0 ..= 2.0;
        first_success: "share of strikes that succeed at first", "", 0.01 ..= 1.0;
        later_success: "share of strikes that succeed after practice", "", 0.01 ..= 1.0;
        practice_days: "days of feeding in which most of the practice is gained", "d", 0.1 ..= 60.0;
        lively_start: "success with lively prey at first, against other food", "", 0.01 ..= 1.0;
        handling_s: "time to swallow an item of 0.25 µg", "s", 0.0 ..= 120.0;
        gut_share: "gut content when full, as a share of body mass", "", 0.01 ..= 1.0;
        gut_fast_per_h: "rate at which the gut empties while it feeds", "per h", 0.01 ..= 5.0;
        gut_slow_per_h: "rate at which the gut empties without new food", "per h", 0.005 ..= 5.0;
        absorbed: "share of digested food that is absorbed", "", 0.05 ..= 1.0;
        absorbed_slow_gain: "gain of that share while the gut empties slowly", "", 0.0 ..= 0.5;
        growth_cost: "share of absorbed food spent on digesting and building", "", 0.0 ..= 0.9;
        routine_per_day: "body mass burnt per day at 150 µg and 28 °C", "per day", 0.005 ..= 1.0;
        routine_exponent: "power with which burning rises with mass", "", 0.5 ..= 1.2;
        routine_q10: "rise of burning for 10 °C", "", 1.0 ..= 6.0;
        day_activity: "burning by day against routine", "", 0.3 ..= 4.0;
        night_activity: "burning by night against routine", "", 0.2 ..= 4.0;
        unfed_activity: "burning after a day without food against before", "", 0.2 ..= 1.5;
        growth_most_per_day: "fastest growth at 28 °C", "per day", 0.02 ..= 1.5;
        starvation_limit: "share of its best mass at which it dies", "", 0.2 ..= 0.95;
        starvation_spread: "spread of that limit between fry", "", 0.0 ..= 0.2;
        weakening_span: "how far above that limit it begins to weaken", "", 0.03 ..= 0.6;
        background_per_day: "daily chance of death from everything not modelled", "per day", 0.0 ..= 0.5;
        stalled_per_day: "extra daily chance of death while it has not grown for two days", "per day", 0.0 ..= 0.9;
        ammonia_lc50_mg_l: "un-ionised ammonia (NH3) that kills half in 96 h at pH 8", "mg/L", 0.005 ..= 20.0;
        ammonia_speed_per_h: "speed at which ammonia builds up harm and harm heals", "per h", 0.005 ..= 3.0, by_ratio;
        ammonia_threshold: "share of that ammonia below which it kills none", "", 0.02 ..= 0.99;
        oxygen_lethal_mg_l: "oxygen that kills half in 3 h", "mg/L", 0.1 ..= 6.0;
    }
}

numbers! {
    /// The numbers of a food. Masses are dry; widths are those that must pass the mouth.
    pub struct FoodNumbers {
        width_um: "width of the middle item", "µm", 0.5 ..= 3000.0;
        width_spread: "spread of width between items (sd of the natural logarithm)", "", 0.0 ..= 1.5;
        limb_factor: "width with limbs against width of the body", "", 1.0 ..= 3.0;
        largest_um: "widest item that the cloth or sieve lets through", "µm", 1.0 ..= 10000.0;
        mass_ug: "mean dry mass of an animal", "µg", 1e-6 ..= 1e4;
        dry_kg_m3: "dry mass in a wet particle", "kg/m³", 1.0 ..= 1500.0;
        wet_kg_m3: "density of a wet particle", "kg/m³", 980.0 ..= 2000.0;
        shape_factor: "drag against a smooth ball", "", 1.0 ..= 2.0;
        sink_mm_s: "speed at which the living animal sinks", "mm/s", 0.0 ..= 20.0;
        dead_sink_mm_s: "speed at which a dead animal sinks", "mm/s", 0.0 ..= 20.0;
        life_h: "time it stays good in the tub (half of the animals alive, or mean of particles)", "h", 0.02 ..= 5000.0;
        stay_share: "share of items reaching the bottom that stay there", "", 0.0 ..= 1.0;
        stick_chance: "chance that landing on a swept or steep floor of the reservoir is for good", "", 1e-6 ..= 1.0, by_ratio;
        worth: "energy it gives against live food", "", 0.0 ..= 2.0;
        decay_per_day: "rate at which spoiled food rots at 27 °C", "per day", 0.0 ..= 20.0;
        rot_oxygen: "oxygen used by a mg of it that rots", "mg", 0.1 ..= 4.0;
        nitrogen: "nitrogen in its dry mass", "", 0.0 ..= 0.2;
    }
}

numbers! {
    /// The numbers of a tub.
    pub struct TubNumbers {
        volume_ml: "water in the tub", "mL", 50.0 ..= 2e6;
        depth_mm: "depth of the water", "mm", 10.0 ..= 2000.0;
        temperature_c: "temperature of the water", "°C", 15.0 ..= 36.0;
        drip_ml_h: "fresh water dripping in", "mL/h", 0.0 ..= 1e6;
        night_cooler_c: "cooling of the water by night", "°C", 0.0 ..= 10.0;
    }
}

numbers! {
    /// The numbers of a tub's water: what fouls it and what cleans it.
    pub struct WaterNumbers {
        ph: "pH of the water as it is changed and dripped in", "", 5.5 ..= 9.5;
        alkalinity_meq_l: "alkalinity of the water as it is changed and dripped in", "meq/L", 0.05 ..= 10.0;
        air_per_h: "oxygen that the air stone brings in", "per h", 0.0 ..= 100.0, by_ratio;
        surface_cm_h: "oxygen that the open surface takes in", "cm/h", 0.01 ..= 50.0, by_ratio;
        decay_oxygen: "oxygen used by a mg of faeces or of dead fry that rots", "mg", 0.1 ..= 4.0;
        decay_nitrogen: "share of its nitrogen that rotting food gives off as ammonia", "", 0.0 ..= 1.0;
        ripe_mg_day: "ammonia nitrogen that ripe bacteria turn over at most", "mg/d", 0.0 ..= 10000.0;
        ripeness: "share of them that is there at the start", "", 0.0 ..= 1.0;
        ripening_days: "time in which half of them have grown", "d", 0.5 ..= 120.0;
        outlet_credit: "share of their work that cleans the tub and not only the water that leaves", "", 0.0 ..= 1.0;
    }
}

numbers! {
    /// The numbers of a reservoir.
    pub struct ReservoirNumbers {
        volume_ml: "most that it holds", "mL", 20.0 ..= 1e5;
        air_ml_min: "air through its stone", "mL/min", 0.0 ..= 20000.0;
        temperature_c: "temperature of the food in it", "°C", 1.0 ..= 36.0;
        ageing_q10: "rise of ageing for 10 °C", "", 1.0 ..= 6.0;
        dead_floor: "share of the floor that no current reaches, whatever the air", "", 0.0 ..= 1.0;
        slide_s: "time in which landed food slides or is swept back", "s", 0.1 ..= 3600.0, by_ratio;
        lift_pa: "shear stress that lifts landed food", "Pa", 1e-4 ..= 1.0, by_ratio;
        stone_mm: "radius of the air stone", "mm", 1.0 ..= 100.0;
        dry_ml: "water below which the pump draws air", "mL", 0.0 ..= 1000.0;
    }
}

numbers! {
    /// The numbers of a feed line: pump and tube.
    pub struct LineNumbers {
        pump_ml_min: "flow to which the pump is set", "mL/min", 0.1 ..= 5000.0;
        pump_drift: "true flow against the flow it is set to", "", 0.3 ..= 1.5;
        pocket_ml: "what one roller of the pump brings", "mL", 0.0 ..= 20.0;
        bore_mm: "bore of the tube", "mm", 0.5 ..= 25.0;
        length_m: "length of the tube", "m", 0.0 ..= 30.0;
        tube_ageing: "ageing in the tube against ageing in the tub", "", 0.2 ..= 20.0;
        end_mm: "height of the tube's end above the still water", "mm", -500.0 ..= 2000.0;
        entry_per_h: "chance per hour that a fry enters a tube's end under water", "per h", 1e-5 ..= 1.0, by_ratio;
        above_mm: "height of the reservoir's water above the tub's", "mm", -3000.0 ..= 3000.0;
    }
}

numbers! {
    /// The numbers of a tub's outlet: sponge and rim.
    pub struct OutletNumbers {
        face_cm2: "face of the sponge that the water passes", "cm²", 0.1 ..= 5000.0;
        resistance: "rise per flow through a clean sponge of 20 cm²", "mm per mL/h", 1e-8 ..= 1.0, by_ratio;
        clog_g_m2: "dry solids on the face that make its resistance e-fold", "g/m²", 0.1 ..= 1000.0;
        catch_share: "share of the dry mass reaching it that it keeps", "", 0.0 ..= 1.0;
        slime_per_day: "growth of what is in it by slime", "per day", 0.0 ..= 5.0;
        rinse_leaves: "share left in it after a rinse", "", 0.0 ..= 1.0;
        rim_mm: "height of the rim above the still water", "mm", 0.0 ..= 1000.0;
        rim_share: "chance of a fry going over the rim against that of the water", "", 0.0 ..= 5.0, by_ratio;
        float_mm: "height above the still water at which a float alarm acts", "mm", 0.5 ..= 1000.0;
    }
}

numbers! {
    /// The numbers of what goes wrong.
    pub struct MishapNumbers {
        power_cut_days: "time between power cuts", "d", 0.2 ..= 100000.0, by_ratio;
        power_cut_h: "length of a power cut (half are longer)", "h", 0.01 ..= 200.0, by_ratio;
        air_stop_days: "time after which an air stone stops", "d", 0.2 ..= 100000.0, by_ratio;
        clog_days: "time after which the feed line clogs with yolk or powder alone", "d", 0.2 ..= 100000.0, by_ratio;
        live_clogs_less: "factor by which it clogs less often with live food alone", "", 1.0 ..= 100.0, by_ratio;
        slip_days: "time after which the feed tube slips", "d", 0.2 ..= 100000.0, by_ratio;
        slips_to_mm: "height of the tube's end above the still water once it has slipped", "mm", -300.0 ..= 100.0;
        room_c: "temperature of the room", "°C", 0.0 ..= 36.0;
        cools_per_h: "rate at which the tub loses its warmth above the room", "per h", 0.0 ..= 5.0, by_ratio;
    }
}

numbers! {
    /// The numbers of a culture, or of a daily hatch.
    pub struct CultureNumbers {
        late_d: "time after its planned day at which it is ready on average", "d", -60.0 ..= 60.0;
        late_spread_d: "spread of that time (standard deviation)", "d", 0.0 ..= 30.0;
        crash_days: "time in use after which it crashes", "d", 0.2 ..= 100000.0, by_ratio;
        restart_d: "time for which it is missing after a crash", "d", 0.0 ..= 120.0;
    }
}

numbers! {
    /// The numbers of culture liquid that is fed along with food.
    pub struct LiquidNumbers {
        share: "share of a dose that is unwashed culture liquid", "", 0.0 ..= 1.0;
        acid_meq_ml: "acid in it", "meq/mL", 0.0 ..= 2.0;
        oxygen_mg_ml: "oxygen that it uses as it rots", "mg/mL", 0.0 ..= 500.0;
        nitrogen_mg_ml: "nitrogen in it", "mg/mL", 0.0 ..= 50.0;
    }
}

numbers! {
    /// The numbers of a keeper.
    pub struct KeeperNumbers {
        late_min: "usual lateness of a visit (half are later)", "min", 0.0 ..= 600.0;
        late_spread: "spread of lateness (sd of the natural logarithm)", "", 0.0 ..= 2.0;
        very_late_chance: "chance that a visit is one to four hours late", "", 0.0 ..= 1.0;
        missed_chance: "chance that a visit is missed", "", 0.0 ..= 1.0;
        siphoned_share: "share of what lies on the bottom that a siphoning takes", "", 0.0 ..= 1.0;
        changed_share: "share of the water changed at the day's first visit", "", 0.0 ..= 0.95;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_refuse_disorder_and_nonsense() {
        assert!(Range::new(1.0, 2.0, 3.0).is_ok());
        assert_eq!(Range::new(1.0, f64::NAN, 3.0), Err(RangeError::NotFinite));
        assert!(matches!(Range::new(2.0, 1.0, 3.0), Err(RangeError::OutOfOrder { .. })));
        assert!(Range::certain(4.0).is_certain());
    }

    #[test]
    fn lists_visit_numbers_in_the_order_of_their_infos() {
        let mut asked = Vec::new();
        let tub = TubNumbers::<f64>::try_from_fn(|info| {
            asked.push(info.key);
            Ok::<_, ()>(asked.len() as f64)
        })
        .unwrap();
        assert_eq!(asked, ["volume_ml", "depth_mm", "temperature_c", "drip_ml_h", "night_cooler_c"]);
        assert!(tub.iter().map(|(_, v)| *v).eq([1.0, 2.0, 3.0, 4.0, 5.0]));
        let mut twice = tub.map(|_, v| v * 2.0);
        assert_eq!(twice.get_mut("drip_ml_h"), Some(&mut 8.0));
        assert_eq!(twice.get_mut("colour"), None);
    }
}
