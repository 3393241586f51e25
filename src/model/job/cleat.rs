//! From the job file to the job: the cleats of a solid stringer.

use serde::Deserialize;

use super::housed::Hand;
use super::job_file::CleatFile;
use super::parts::Tread;
use super::resolve::Resolver;
use crate::diagnostics::Error;
use crate::units::Length;

/// What is taken where a job says nothing, in inches and in millimetres (common practice, no
/// source): the hole of a fastener, and how far a cleat stays behind the nosing under open treads.
const USUAL_HOLE: (f64, f64) = (0.25, 6.5);
const USUAL_SET_BACK: (f64, f64) = (0.5, 12.0);
/// Holes in each cleat of wood, and in each angle (common practice, no source).
const USUAL_COUNT: (u32, u32) = (3, 2);
/// From the middle of a hole to an end and to an edge, in its diameters: in wood, in steel (common
/// practice, no source).
const USUAL_END: (f64, f64) = (6.0, 2.0);
const USUAL_EDGE: (f64, f64) = (2.0, 1.5);

/// A stringer that is a solid board: its treads lie on cleats or on steel angles on its inner face.
#[derive(Clone, Debug, PartialEq)]
pub struct Cleated {
    /// What a tread lies on.
    pub with: CleatOf,
    /// Upright on the stringer's face: of a cleat its height, of an angle its upright leg.
    pub height: Length,
    /// Along the tread; unsaid, as long as the tread is deep, less the set-back.
    pub length: Option<Length>,
    /// From the front of the nosing back to the front end of the cleat.
    pub set_back: Length,
    /// Board over the line through the finished nosings, square to it.
    pub edge_above: Length,
    /// Which side of the stair the stringer is drawn for; the other one is the same part turned
    /// over.
    pub hand: Hand,
    /// What is done about the holes.
    pub holes: CleatHoles,
    /// Diameter of a hole.
    pub hole: Length,
    /// How many holes each cleat has.
    pub count: u32,
    /// From the middle of a hole to the ends of its cleat, at least.
    pub end: Length,
    /// From the middle of a hole to the long edges of its cleat and to every edge of the board, at
    /// least.
    pub edge: Length,
    /// What of this the job leaves out, with what is taken for it.
    pub taken: String,
}

/// What a tread lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CleatOf {
    /// A strip of wood that stands out from the face by this.
    Wood {
        /// Out from the face.
        thickness: Length,
    },
    /// A steel angle.
    Angle {
        /// Of the steel.
        thickness: Length,
        /// The leg under the tread, out from the face.
        leg: Length,
    },
}

impl CleatOf {
    /// What one is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Wood { .. } => "cleat",
            Self::Angle { .. } => "steel angle",
        }
    }

    /// What several are called.
    pub fn names(self) -> &'static str {
        match self {
            Self::Wood { .. } => "cleats",
            Self::Angle { .. } => "steel angles",
        }
    }

    /// How far it stands out from the face.
    pub fn stands_out(self) -> Length {
        match self {
            Self::Wood { thickness } => thickness,
            Self::Angle { leg, .. } => leg,
        }
    }

    /// What of its height no hole may be in: the thickness of the leg that lies under the tread.
    pub fn leg_above(self) -> Length {
        match self {
            Self::Wood { .. } => Length::ZERO,
            Self::Angle { thickness, .. } => thickness,
        }
    }
}

/// What a tread lies on, as a job says it.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub(super) enum CleatWith {
    #[default]
    Wood,
    Angle,
}

/// What is done about the holes of the cleats.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum CleatHoles {
    /// They are cut through the part.
    #[default]
    Drilled,
    /// They are marked on its face.
    Marked,
    /// Nothing.
    None,
}

impl CleatHoles {
    /// Its name in a job file.
    pub fn name(self) -> &'static str {
        match self {
            Self::Drilled => "drilled",
            Self::Marked => "marked",
            Self::None => "none",
        }
    }
}

impl Resolver<'_> {
    pub(super) fn cleated(&mut self, raw: &CleatFile, tread: &Tread) -> Result<Cleated, Error> {
        let with = self.cleat_of(raw)?;
        let is_wood = matches!(with, CleatOf::Wood { .. });
        let of = |(wood, steel): (f64, f64)| if is_wood { wood } else { steel };
        let mut taken = Taken::default();
        let hole = match &raw.hole {
            Some(raw) => self.positive("cleat.hole", raw, 50.0)?,
            None => taken.length("hole", usual(USUAL_HOLE)),
        };
        let count = match &raw.count {
            Some(raw) => self.count("cleat.count", raw, 1, 20)?,
            None => taken.count(if is_wood { USUAL_COUNT.0 } else { USUAL_COUNT.1 }),
        };
        let end = match &raw.end {
            Some(raw) => self.positive("cleat.end", raw, 300.0)?,
            None => taken.length("end", hole * of(USUAL_END)),
        };
        let edge = match &raw.edge {
            Some(raw) => self.positive("cleat.edge", raw, 300.0)?,
            None => taken.length("edge", hole * of(USUAL_EDGE)),
        };
        let set_back = match &raw.set_back {
            Some(raw) => self.within("cleat.set_back", raw, Length::ZERO, Length::mm(500.0))?,
            // Behind the riser board under the tread's front, where there is one.
            None if tread.riser_board > Length::ZERO => {
                taken.length("set_back", tread.overhang + tread.riser_board)
            }
            None => taken.length("set_back", usual(USUAL_SET_BACK)),
        };
        let length = raw.length.as_ref();
        Ok(Cleated {
            with,
            height: self.positive("cleat.height", &raw.height, 500.0)?,
            length: length.map(|raw| self.positive("cleat.length", raw, 3_000.0)).transpose()?,
            set_back,
            edge_above: self.optional("cleat.edge_above", &raw.edge_above, 500.0, Length::ZERO)?,
            hand: raw.hand.unwrap_or(Hand::Left),
            holes: raw.holes.unwrap_or_default(),
            hole,
            count,
            end,
            edge,
            taken: taken.words(),
        })
    }

    fn cleat_of(&mut self, raw: &CleatFile) -> Result<CleatOf, Error> {
        let thickness = self.positive("cleat.thickness", &raw.thickness, 200.0)?;
        let with = raw.with.unwrap_or_default();
        match (with, &raw.leg) {
            (CleatWith::Wood, None) => Ok(CleatOf::Wood { thickness }),
            (CleatWith::Angle, Some(leg)) => {
                Ok(CleatOf::Angle { thickness, leg: self.positive("cleat.leg", leg, 300.0)? })
            }
            (CleatWith::Wood, Some(leg)) => Err(self.refuse(
                "cleat.leg",
                leg.span(),
                "a leg, and no with = \"angle\"",
                "cleat.leg beside with = \"angle\" only: how far the leg under the tread reaches",
            )),
            (CleatWith::Angle, None) => Err(self.refuse(
                "cleat.leg",
                raw.thickness.span(),
                "with = \"angle\" and no leg",
                "cleat.leg: how far the leg under the tread reaches out from the stringer",
            )),
        }
    }
}

/// In the unit of the tape.
fn usual((inches, mm): (f64, f64)) -> Length {
    match crate::units::Tape::in_hand() {
        crate::units::Tape::Inches => Length::inches(inches),
        crate::units::Tape::Metric => Length::mm(mm),
    }
}

/// What is taken for keys that are left out.
#[derive(Default)]
struct Taken(Vec<String>);

impl Taken {
    fn length(&mut self, key: &str, length: Length) -> Length {
        self.0.push(format!("cleat.{key} {}", crate::units::on_tape(length)));
        length
    }

    fn count(&mut self, count: u32) -> u32 {
        self.0.push(format!("cleat.count {count}"));
        count
    }

    fn words(self) -> String {
        self.0.join(", ")
    }
}
