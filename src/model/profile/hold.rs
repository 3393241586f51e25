//! What holds the pieces while a cutter goes round them, beside the clamps.

use crate::units::{Length, MM_PER_INCH};

/// What stays uncut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Hold {
    /// Tabs to the wood around.
    Tabs(TabSizes),
    /// Nothing: the table holds by vacuum.
    Vacuum,
    /// A skin of this thickness below every cut, on a table that holds by vacuum.
    Skin(Length),
}

/// The tabs as they are asked for; what is left out is as usual.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TabSizes {
    /// How many on each piece.
    pub count: Option<usize>,
    /// Height above the material's bottom.
    pub height: Option<Length>,
    /// Wood left at the neck, where the cuts of both sides are closest.
    pub width: Option<Length>,
    /// What their ends are like.
    pub shape: TabEnds,
}

impl TabSizes {
    /// Wood that holds what hangs on it is at least this high, in mm: a thirty-second of an inch
    /// (common practice, no source).
    pub const LEAST_HIGH_MM: f64 = MM_PER_INCH / 32.0;

    /// The least wood at the bottom of a thickness that holds, both in mm: of what is thin a
    /// quarter.
    pub fn least_wood_mm(thickness_mm: f64) -> f64 {
        Self::LEAST_HIGH_MM.min(thickness_mm / 4.0)
    }
}

/// What the ends of a tab are like.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TabEnds {
    /// Slopes, up and down while the cutter moves.
    #[default]
    Flanks,
    /// Straight up and straight down.
    Square,
}

impl Default for Hold {
    fn default() -> Self {
        Self::Tabs(TabSizes::default())
    }
}

impl Hold {
    /// The tabs, where there are some.
    pub fn tabs(self) -> Option<TabSizes> {
        match self {
            Self::Tabs(sizes) => Some(sizes),
            Self::Vacuum | Self::Skin(_) => None,
        }
    }

    /// The skin that stays below every cut; none where the cutter goes through.
    pub fn skin(self) -> Option<Length> {
        match self {
            Self::Skin(skin) => Some(skin),
            Self::Tabs(_) | Self::Vacuum => None,
        }
    }
}
