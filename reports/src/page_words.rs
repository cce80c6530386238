//! What every report says whatever was found: cautions, and what the model leaves out.

use crate::facts::Facts;

/// Cautions, each with what it is about. They defer to local codes and to licensed people and replace neither.
const CAUTIONS: [(&str, &str); 9] = [
    (
        "Odds, not promises",
        "These figures come from a model and from numbers that are partly guesses. Watch the fry, and let what you see \
         overrule what is written here.",
    ),
    (
        "Electricity beside water",
        "Keep plugs and power strips above and away from the tub, with a drip loop in every lead, on a circuit with a \
         residual-current device. Unplug before putting a hand into the water. Set a pump above the waterline or fit \
         an anti-siphon hole, so that a stopped pump cannot drain the tub. Follow the local code and leave fixed \
         wiring to a licensed electrician.",
    ),
    (
        "Tubes and siphons",
        "A reservoir that stands higher than the tub empties itself within minutes through a tube that has slipped off \
         the rollers; a tub drains likewise into a lower reservoir if the tube's end hangs under water. Fix the tube at \
         both ends, keep its end in the air above the tub, and pour into the reservoir no more than the tub can take. \
         Set the pump above the waterline and give its lead a drip loop: water follows a tube or a lead to whatever \
         lies lowest.",
    ),
    (
        "Welfare of the fish",
        "Decide beforehand when to stop. Fry that cannot be saved must not be left to waste away: humane killing needs \
         a competent person, and a veterinarian should be asked about disease or unusual losses. Do not raise more fry \
         than you can house well. Look daily whether the sponge still lets the water through, and where the end \
         of the feed tube hangs: fry must not be drawn in or washed out.",
    ),
    (
        "No release",
        "Never let fish, live-food cultures, plants or their water reach a pond, a stream or a drain that leads to one. \
         Boil, freeze or dry surplus cultures before they are thrown away.",
    ),
    (
        "Food hygiene",
        "Keep cultures, egg and powdered food, and the tools for them, apart from food for people; wash hands before and \
         after; throw away what smells. Powder and brine-shrimp cysts can provoke allergies: do not breathe their dust.",
    ),
    (
        "Reservoir and tube",
        "Food left in them spoils overnight and taints the next filling. Every day throw away what is left, rinse both \
         with hot water, pump the tube through, and let them dry; have two of each, so that one can dry while the \
         other feeds.",
    ),
    (
        "Rules of the place",
        "Keeping, transporting and selling fish, and keeping animals in schools, may need permission or training. Ask \
         the authority, and the school, before you start.",
    ),
    ("Not an adviser", "This report does not replace a veterinarian, an electrician or the law."),
];

/// Said besides, after the caution on electricity, where a scenario lets the power fail and so invites a keeper to buy
/// something against it.
const AGAINST_POWER_CUTS: (&str, &str) = (
    "Batteries and backup air",
    "Beside water use sealed batteries only, with a fuse at the battery, above the waterline, out of splashes \
     and where air can move; charge them elsewhere, and keep every mains adaptor and charger away from the tub. Try the backup before \
     the fry depend on it. Follow the local code and the maker's instructions; what is wired to the mains is for a \
     licensed electrician.",
);

/// Every caution for a scenario.
#[must_use]
pub fn cautions_for(facts: &Facts<'_>) -> Vec<(&'static str, &'static str)> {
    let mut cautions = CAUTIONS.to_vec();
    if facts.study.mishaps.is_some() {
        cautions.insert(2, AGAINST_POWER_CUTS);
    }
    cautions
}

/// What this version of the model does not know of, whatever the scenario.
const LEFT_OUT: [&str; 6] = [
    "In a reservoir: yolk that clumps in the night, and food that sticks to walls or floats as scum.",
    "In a feed tube: water that is sucked back when the pump stops.",
    "Disease, parasites and fry that eat each other, beyond a small constant loss.",
    "Parents: the fry are alone in the tub from the first day.",
    "Differences between spawns: every brood of a world is of the same stock.",
    "What happens after the last day.",
];

/// What is left out besides because the scenario does not describe it.
const NO_LINE: &str = "The reservoir and the tube of a pump: where a plan has a pump but no feed line, every pump feed \
                       is taken to arrive whole, fresh and on time.";
const NO_OUTLET: &str = "The level of the water: no tub of the scenario has an outlet, so there is no clogged sponge, no \
                         overflow, and no fry drawn into a tube.";

/// What is left out where no culture is described.
const NO_CULTURES: &str = "Cultures that are not ready on their day, or crash: the scenario describes none, so every \
                           food is there whenever it is wanted.";
/// What is left out where some are.
const SOME_CULTURES: &str = "Live foods of which the scenario describes no culture: they are there whenever they are \
                             wanted.";
/// What is left out where nothing goes wrong.
const NO_MISHAPS: &str = "Power cuts, a stopped air stone, a clogged or slipped tube: the scenario lets nothing go wrong \
                          but late and missed visits.";

/// What is left out of mishaps where they are described.
const OF_MISHAPS: &str = "Of mishaps: a heater that sticks or fails alone, a leak, a pump that wears out, and two of a \
                          kind that have one reason.";

/// What is left out where no plan's water is reckoned with.
const NO_WATER: &str = "Water quality: ammonia, oxygen and acidity kill no fry here, although overfeeding may kill many \
                        in a real tub. Describe the water under [tub.water] to see it.";
/// What is left out of the water where it is reckoned with.
const OF_THE_WATER: &str = "Of the water: carbon dioxide, nitrite, hardness, medicines, and acidity as a cause of death. \
                            Only ammonia and want of oxygen harm fry here.";
/// Said besides where the water of some plans only is reckoned with.
const SOME_WATER: &str = "Water quality of the plans without it: their fry cannot die of fouled water here, although \
                          overfeeding may kill many in a real tub.";

/// Everything that is left out of a comparison.
#[must_use]
pub fn left_out(facts: &Facts<'_>) -> Vec<&'static str> {
    let some = facts.any_water();
    let all = facts.found.plans.iter().all(|plan| plan.water.is_some());
    let whole = facts.study.plans.iter().any(|plan| plan.has_pump() && plan.line.is_none());
    let still = facts.study.tubs.iter().all(|tub| tub.outlet.is_none());
    let depends = |items: &[(bool, &'static str)]| -> Vec<&'static str> {
        items.iter().filter(|(is, _)| *is).map(|(_, text)| *text).collect()
    };
    let mut items = depends(&[(!some, NO_WATER), (some, OF_THE_WATER), (some && !all, SOME_WATER)]);
    let cultures = &facts.study.cultures;
    let uncultured = |food: usize| cultures.iter().all(|culture| culture.food != food);
    let foods = facts.study.foods.iter().enumerate();
    let some_uncultured = foods.into_iter().any(|(n, food)| food.sort.is_alive() && uncultured(n));
    let mishaps = facts.study.mishaps.is_some();
    items.extend(depends(&[
        (cultures.is_empty(), NO_CULTURES),
        (!cultures.is_empty() && some_uncultured, SOME_CULTURES),
        (!mishaps, NO_MISHAPS),
        (mishaps, OF_MISHAPS),
        (whole, NO_LINE),
        (still, NO_OUTLET),
    ]));
    items.extend(LEFT_OUT);
    items
}
