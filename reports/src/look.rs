//! The one look of all charts: sizes, inks, line styles, markers.
//!
//! Knows nothing of plans or results; the charts ask it how things are drawn, so that a change here changes them all.
//! Lengths are design units: one unit is one CSS pixel when a chart is shown at its natural width.

/// An opaque colour: red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

/// Text and the strongest lines.
pub const TEXT: Ink = Ink(0x1c, 0x1c, 0x1c);
/// Quieter text; still 7 : 1 against the paper.
pub const QUIET: Ink = Ink(0x55, 0x55, 0x55);
/// Grid lines.
pub const GRID: Ink = Ink(0xdd, 0xdd, 0xdd);
/// Axis lines and zero lines.
pub const AXIS: Ink = Ink(0x8a, 0x8a, 0x8a);
/// The ground of every chart.
pub const PAPER: Ink = Ink(0xff, 0xff, 0xff);
/// Hours without light.
pub const NIGHT: Ink = Ink(0xea, 0xec, 0xf0);
/// Harm, and nothing else: vermillion of the set below.
pub const HARM: Ink = Ink(0xd5, 0x5e, 0x00);

/// Water in a drawing.
pub const WATER: Ink = Ink(0xd8, 0xe9, 0xf4);
/// What the equipment itself did; darker than every plan's ink but black.
pub const EQUIPMENT: Ink = Ink(0x1f, 0x2d, 0x3d);

/// What fouled water did: a dark green apart from the plans' bluish one.
pub const FOUL: Ink = Ink(0x2f, 0x4f, 0x3a);

/// Colour-blind-safe inks for plans, in the order in which plans take them.
///
/// Okabe & Ito 2008, "Color Universal Design"; vermillion is kept for harm and yellow is too pale for lines on paper.
pub const PLAN_INKS: [Ink; 6] = [
    Ink(0x00, 0x72, 0xb2), // blue
    Ink(0xe6, 0x9f, 0x00), // orange
    Ink(0x00, 0x9e, 0x73), // bluish green
    Ink(0xcc, 0x79, 0xa7), // reddish purple
    Ink(0x56, 0xb4, 0xe9), // sky blue
    Ink(0x00, 0x00, 0x00), // black
];

/// Earth inks for foods, kept apart from the inks of plans; line styles tell them apart as well.
pub const FOOD_INKS: [Ink; 6] = [
    Ink(0x5b, 0x3a, 0x14),
    Ink(0x8a, 0x6d, 0x2f),
    Ink(0x4a, 0x5d, 0x23),
    Ink(0x6f, 0x4e, 0x5e),
    Ink(0x3b, 0x4a, 0x54),
    Ink(0xa0, 0x7a, 0x5a),
];

/// Inks of families of plans: greys, because their members are many and the explicit plans own the colours.
pub const FAMILY_INKS: [Ink; 2] = [Ink(0x33, 0x33, 0x33), Ink(0x77, 0x77, 0x77)];

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dash {
    /// Unbroken.
    Solid,
    /// Drawn and skipped lengths, in units.
    Broken(u8, u8),
}

/// Line styles in the order in which plans (and foods) take them.
pub const DASHES: [Dash; 6] =
    [Dash::Solid, Dash::Broken(9, 4), Dash::Broken(3, 3), Dash::Broken(16, 4), Dash::Broken(6, 6), Dash::Broken(2, 5)];

/// Shapes of marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marker {
    /// ●
    Disc,
    /// ■
    Square,
    /// ▲
    Up,
    /// ◆
    Diamond,
    /// ▼
    Down,
    /// ✚
    Cross,
}

/// Markers in the order in which plans take them.
pub const MARKERS: [Marker; 6] =
    [Marker::Disc, Marker::Square, Marker::Up, Marker::Diamond, Marker::Down, Marker::Cross];

/// Ink, line and mark by which a plan is known in every chart of a report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// Its colour.
    pub ink: Ink,
    /// Its line.
    pub dash: Dash,
    /// Its mark.
    pub marker: Marker,
}

impl Style {
    /// The style of the `n`-th plan, counting from 0; from the seventh on, inks come again with another line and mark.
    #[must_use]
    pub fn of_plan(n: usize) -> Self {
        let round = n / PLAN_INKS.len();
        Self {
            ink: PLAN_INKS[n % PLAN_INKS.len()],
            dash: DASHES[(n + round) % DASHES.len()],
            marker: MARKERS[(n + round) % MARKERS.len()],
        }
    }

    /// The style of a family: hand-fed ones solid with discs, pump-fed ones broken with diamonds.
    #[must_use]
    pub fn of_family(pump: bool) -> Self {
        Self {
            ink: FAMILY_INKS[usize::from(pump)],
            dash: if pump { Dash::Broken(7, 4) } else { Dash::Solid },
            marker: if pump { Marker::Diamond } else { Marker::Disc },
        }
    }
}

/// For which surface a chart is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Desktop, projector, paper and PNG.
    Wide,
    /// A phone held upright; panels are stacked.
    Narrow,
}

impl Format {
    /// Both, in the order in which they are written.
    pub const ALL: [Self; 2] = [Self::Wide, Self::Narrow];

    /// Width of a chart.
    #[must_use]
    pub fn width(self) -> f64 {
        match self {
            Self::Wide => 800.0,
            Self::Narrow => 380.0,
        }
    }

    /// Size of the smallest text. On 18 cm of paper the wide one is 9.2 pt; in the PNG it is 29 px.
    #[must_use]
    pub fn small(self) -> f64 {
        match self {
            Self::Wide => 14.5,
            Self::Narrow => 12.5,
        }
    }

    /// Size of labels that matter.
    #[must_use]
    pub fn label(self) -> f64 {
        match self {
            Self::Wide => 15.5,
            Self::Narrow => 13.5,
        }
    }

    /// Size of the finding above a chart.
    #[must_use]
    pub fn title(self) -> f64 {
        match self {
            Self::Wide => 22.0,
            Self::Narrow => 17.0,
        }
    }

    /// Margin around the whole and gap between panels.
    #[must_use]
    pub fn gap(self) -> f64 {
        match self {
            Self::Wide => 20.0,
            Self::Narrow => 12.0,
        }
    }

    /// True for the phone.
    #[must_use]
    pub fn is_narrow(self) -> bool {
        self == Self::Narrow
    }
}

/// Distance between baselines, as a multiple of the text's size.
pub const LEADING: f64 = 1.25;
/// Width of a line that carries data.
pub const LINE: f64 = 2.2;
/// Width of a thin line.
pub const HAIR: f64 = 1.0;
/// Radius of a mark.
pub const MARK: f64 = 4.5;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn twelve_plans_all_look_different_and_none_is_red() {
        let styles: Vec<Style> = (0..12).map(Style::of_plan).collect();
        for (i, style) in styles.iter().enumerate() {
            assert_ne!(style.ink, HARM);
            assert!(!styles[..i].contains(style), "plan {i} looks like an earlier one");
        }
    }
}
