//! Where a filling ends up: five parts in a fixed order, each with its words and a filling that grey print tells apart.

use frytub_sim::outcome::FillBalance;

use crate::chart::{Fill, Hatch};
use crate::draw::panel::Panel;
use crate::draw::sketch::{Rect, Sketch};
use crate::look::{HARM, Ink};

const GREY: Ink = Ink(0x55, 0x55, 0x55);

/// A part of a filling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Left the reservoir fresh.
    Fresh,
    /// Left it spoiled or dead.
    Spoiled,
    /// Still in suspension at the next filling.
    Afloat,
    /// Landed and on its way back.
    Resting,
    /// Landed for good.
    Stuck,
}

impl Part {
    /// Every part, in the order in which bars show them.
    pub const ALL: [Self; 5] = [Self::Fresh, Self::Spoiled, Self::Afloat, Self::Resting, Self::Stuck];

    /// How much of a filling it is, out of 100.
    #[must_use]
    pub fn of(self, balance: &FillBalance) -> f64 {
        match self {
            Self::Fresh => balance.drawn_fresh,
            Self::Spoiled => balance.drawn_spoiled,
            Self::Afloat => balance.in_suspension,
            Self::Resting => balance.resting,
            Self::Stuck => balance.stuck,
        }
    }

    /// Words for a key.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Fresh => "pumped out fresh",
            Self::Spoiled => "pumped out spoiled",
            Self::Afloat => "still afloat at the end",
            Self::Resting => "resting on the floor",
            Self::Stuck => "stuck for good",
        }
    }

    /// One word, to be read after a number.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fresh => "fresh",
            Self::Spoiled => "spoiled",
            Self::Afloat => "afloat",
            Self::Resting => "resting",
            Self::Stuck => "stuck",
        }
    }

    /// How it is painted.
    #[must_use]
    pub fn fill(self) -> Fill {
        match self {
            Self::Fresh => Fill { ink: GREY, alpha: 1.0, hatch: Hatch::None },
            Self::Spoiled => Fill { ink: HARM, alpha: 0.15, hatch: Hatch::Rising(4.0) },
            Self::Afloat => Fill { ink: GREY, alpha: 0.18, hatch: Hatch::None },
            Self::Resting => Fill { ink: GREY, alpha: 0.05, hatch: Hatch::Rising(6.0) },
            Self::Stuck => Fill { ink: HARM, alpha: 0.8, hatch: Hatch::None },
        }
    }
}

/// A level bar of all parts on a panel whose level axis counts parts of 100; gives back its right end.
pub fn bar(sketch: &mut Sketch, panel: &Panel, balance: &FillBalance, (top, bottom): (f64, f64)) -> f64 {
    let mut sum = 0.0;
    for part in Part::ALL {
        let share = part.of(balance).max(0.0);
        let rect = Rect::new(panel.x_at(sum), top, panel.x_at(sum + share), bottom);
        if rect.width() > 0.3 {
            part.fill().paint(sketch, rect);
        }
        sum += share;
    }
    panel.x_at(sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::panel::Scale;

    #[test]
    fn every_part_of_a_filling_is_drawn_once() {
        let balance =
            FillBalance { drawn_fresh: 41.0, drawn_spoiled: 9.0, in_suspension: 20.0, resting: 7.0, stuck: 23.0 };
        let sum: f64 = Part::ALL.iter().map(|part| part.of(&balance)).sum();
        assert!((sum - 100.0).abs() < 1e-9);
        let area = Rect::new(0.0, 0.0, 200.0, 20.0);
        let panel = Panel { area, x: Scale::linear(0.0, 100.0), y: Scale::linear(0.0, 1.0) };
        let end = bar(&mut Sketch::new(200.0), &panel, &balance, (0.0, 20.0));
        assert!((end - 200.0).abs() < 1e-9, "a whole filling fills the whole width: {end}");
    }
}
