//! What every report says whatever was found: cautions, and what the model leaves out.

/// Cautions, each with what it is about. They defer to local codes and to licensed people and replace neither.
pub const CAUTIONS: [(&str, &str); 7] = [
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
        "Welfare of the fish",
        "Decide beforehand when to stop. Fry that cannot be saved must not be left to waste away: humane killing needs \
         a competent person, and a veterinarian should be asked about disease or unusual losses. Do not raise more fry \
         than you can house well.",
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
        "Rules of the place",
        "Keeping, transporting and selling fish, and keeping animals in schools, may need permission or training. Ask \
         the authority, and the school, before you start.",
    ),
    ("Not an adviser", "This report does not replace a veterinarian, an electrician or the law."),
];

/// What this version of the model does not know of.
pub const LEFT_OUT: [&str; 8] = [
    "Water quality: ammonia, oxygen and acidity kill no fry here, although overfeeding may kill many in a real tub.",
    "The reservoir and the line of a pump: every pump feed is taken to arrive whole, fresh and on time.",
    "The level of the water: no clogged sponge, no overflow, no fry drawn into a tube.",
    "Power cuts, a stopped air stone, and cultures that are not ready on their day.",
    "Disease, parasites and fry that eat each other, beyond a small constant loss.",
    "Parents: the fry are alone in the tub from the first day.",
    "Differences between spawns: every brood of a world is of the same stock.",
    "What happens after the last day.",
];
