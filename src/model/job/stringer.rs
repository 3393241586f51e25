//! The two cases of a stringer.

use super::housed::Housed;

/// The stringer that a job asks for, decided when the job is read.
#[derive(Clone, Debug, PartialEq)]
pub enum Stringer {
    /// Sawn in steps: notches with a throat behind them, a top tread cut to hang by, at its foot a
    /// notch for a plate.
    Cut,
    /// A whole board with pockets, which has none of them.
    Housed(Housed),
}

impl Stringer {
    /// What it is called.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Cut => "cut stringer",
            Self::Housed(_) => "housed stringer",
        }
    }

    /// The pockets.
    pub fn housed(&self) -> Option<&Housed> {
        match self {
            Self::Cut => None,
            Self::Housed(housed) => Some(housed),
        }
    }

    /// Whether it has steps to lay out, to bear treads and to hang by.
    pub fn has_steps(&self) -> bool {
        *self == Self::Cut
    }

    /// Whether it is made alone: pockets are cut one piece a program.
    pub fn is_made_alone(&self) -> bool {
        !self.has_steps()
    }

    /// Whether it stands beside the treads and not under them.
    pub fn is_beside_treads(&self) -> bool {
        !self.has_steps()
    }
}
