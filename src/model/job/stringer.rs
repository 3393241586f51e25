//! The three cases of a stringer.

use super::cleat::Cleated;
use super::housed::Housed;
use super::job_file::JobFile;
use super::parts::Tread;
use super::resolve::Resolver;
use crate::diagnostics::{Error, ErrorKind};

/// The stringer that a job asks for, decided when the job is read.
#[derive(Clone, Debug, PartialEq)]
pub enum Stringer {
    /// Sawn in steps: notches with a throat behind them, a top tread cut to hang by, at its foot a
    /// notch for a plate.
    Cut,
    /// A whole board with pockets, which has none of them.
    Housed(Housed),
    /// A solid board with cleats or angles on its face.
    Cleated(Cleated),
}

impl Stringer {
    /// What it is called.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Cut => "cut stringer",
            Self::Housed(_) => "housed stringer",
            Self::Cleated(_) => "cleated stringer",
        }
    }

    /// The table of the job that asks for it; none asks for a cut one.
    pub fn table(&self) -> &'static str {
        match self {
            Self::Cut => "",
            Self::Housed(_) => "[housed]",
            Self::Cleated(_) => "[cleat]",
        }
    }

    /// The pockets.
    pub fn housed(&self) -> Option<&Housed> {
        match self {
            Self::Housed(housed) => Some(housed),
            Self::Cut | Self::Cleated(_) => None,
        }
    }

    /// The cleats.
    pub fn cleated(&self) -> Option<&Cleated> {
        match self {
            Self::Cleated(cleated) => Some(cleated),
            Self::Cut | Self::Housed(_) => None,
        }
    }

    /// Whether it has steps to lay out, to bear treads and to hang by.
    pub fn has_steps(&self) -> bool {
        *self == Self::Cut
    }

    /// Whether it is made alone: pockets are cut one piece a program.
    pub fn is_made_alone(&self) -> bool {
        matches!(self, Self::Housed(_))
    }

    /// Whether it stands beside the treads and not under them.
    pub fn is_beside_treads(&self) -> bool {
        !self.has_steps()
    }
}

impl Resolver<'_> {
    pub(super) fn stringer(&mut self, raw: &JobFile, tread: &Tread) -> Result<Stringer, Error> {
        match (&raw.housed, &raw.cleat) {
            (None, None) => Ok(Stringer::Cut),
            (Some(housed), None) => self.housed(housed.get_ref()).map(Stringer::Housed),
            (None, Some(cleat)) => self.cleated(cleat.get_ref(), tread).map(Stringer::Cleated),
            (Some(_), Some(cleat)) => Err(Error::new(
                ErrorKind::Input,
                "treads go into pockets or lie on cleats, not both",
            )
            .at(self.place(cleat.span()))
            .found("both [housed] and [cleat]")
            .allowed("one of the two tables, or neither for a cut stringer")
            .hint("leave out one of the tables")),
        }
    }
}
