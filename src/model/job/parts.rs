//! A valid job: every value in its type, every default filled in, every profile read.

use std::fmt;

use serde::Deserialize;

use super::around::Around;
use super::landing::{FlightOf, Landing};
use super::opening::Opening;
use super::pattern::MarksAsked;
use super::rail::Rail;
use super::steps::{Skirts, Steps};
use super::stock_boards::StockBoards;
use super::stringer::Stringer;
use super::thickness::Thickness;
use crate::diagnostics::Finding;
use crate::profile::{Form, Machine, Material, Risers, Rules, SawnTo};
use crate::units::{Length, Tape};

/// The most risers of one flight that are read or chosen; no rule set comes near it.
pub const MOST_RISERS: usize = 200;
/// The most that a total rise, a width or a run is read as, in mm.
pub const MOST_TOTAL_RISE_MM: f64 = 20_000.0;
/// The farthest that the plumb line at the head hangs out from the rim, in mm.
pub const MOST_EDGE_OUT_MM: f64 = 300.0;

/// What was measured and what is wanted.
#[derive(Clone)]
pub struct Job {
    /// Printed and marked on everything.
    pub title: String,
    /// The tape that it was measured with: its unit comes first in everything that is told.
    pub tape: Tape,
    /// The rule set.
    pub rules: Rules,
    /// The rise.
    pub rise: Rise,
    /// The treads.
    pub tread: Tread,
    /// The upper end.
    pub head: Head,
    /// The lower end.
    pub foot: Foot,
    /// Cut, housed or with cleats.
    pub stringer: Stringer,
    /// The board the stringer is made of.
    pub board: Board,
    /// The boards that are bought and measured.
    pub boards: StockBoards,
    /// What is cut, on what, out of what.
    pub cut: Cut,
    /// What is asked beyond the stringer itself.
    pub around: Around,
    /// The landings, from the bottom up: rise, risers and head are then the whole stair's.
    pub landings: Vec<Landing>,
    /// The opening in the upper floor, where headroom is to be looked at.
    pub opening: Option<Opening>,
    /// How treads and riser boards are cut, where they are asked for as pieces.
    pub steps: Option<Steps>,
    /// The skirts, where it has some.
    pub skirts: Option<Skirts>,
    /// The rail, where figures for one are asked for.
    pub rail: Option<Rail>,
    /// Which flight of such a stair it is.
    pub flight_of: Option<FlightOf>,
    /// Whether it is laid out by hand: no machine is named, and [`Job::cut`] stands for none.
    pub by_hand: bool,
    /// Refusals that the owner takes on.
    pub waivers: Vec<Waiver>,
    /// What was odd about the text but could be read.
    pub reading: Vec<Finding>,
}

/// A fingerprint is made of these words: they stay as they are whatever becomes of the type.
impl fmt::Debug for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut words = f.debug_struct("Job");
        words
            .field("title", &self.title)
            .field("tape", &self.tape)
            .field("rules", &self.rules)
            .field("rise", &self.rise)
            .field("tread", &self.tread)
            .field("head", &self.head)
            .field("foot", &self.foot)
            .field("housed", &self.stringer.housed())
            .field("board", &self.board)
            .field("boards", &self.boards)
            .field("cut", &self.cut)
            .field("around", &self.around)
            .field("waivers", &self.waivers)
            .field("reading", &self.reading);
        if self.by_hand {
            words.field("by_hand", &true);
        }
        if !self.landings.is_empty() {
            words.field("landings", &(&self.landings, &self.rules.landing));
        }
        if let Some(opening) = &self.opening {
            words.field("opening", opening);
        }
        if let Some(steps) = &self.steps {
            words.field("steps", steps);
        }
        if let Some(skirts) = &self.skirts {
            words.field("skirts", skirts);
        }
        if let Some(rail) = &self.rail {
            words.field("rail", &(rail, self.rules.of_rail().collect::<Vec<_>>()));
        }
        if !self.stringer.has_steps() {
            let of = |sawn| self.rules.of_stringers(sawn).collect::<Vec<_>>();
            words.field("solid", &(of(SawnTo::Cut), of(SawnTo::Solid)));
        }
        if let Some(cleated) = self.stringer.cleated() {
            words.field("cleated", cleated);
        }
        if let Some(flight_of) = &self.flight_of {
            words.field("flight_of", flight_of);
        }
        words.finish()
    }
}

impl Job {
    /// The plate let into the foot, which a cut stringer alone is notched for.
    pub fn plate(&self) -> Option<&Tie> {
        match self.stringer {
            Stringer::Cut => self.foot.tie_plate.as_ref(),
            Stringer::Housed(_) | Stringer::Cleated(_) => None,
        }
    }

    /// How far the upper finish reaches past the riser at the head; unsaid, as the treads do.
    pub fn head_overhang(&self) -> Length {
        self.head.overhang.unwrap_or(self.tread.overhang)
    }
}

/// The total rise and how it is divided.
#[derive(Clone, Debug)]
pub struct Rise {
    /// Plumb, finished lower surface to finished upper surface.
    pub total: Length,
    /// Plumb, from what the stringer will stand on to the framing at the head, where measured so.
    pub rough: Option<Length>,
    /// How the number of risers is chosen.
    pub risers: RiserChoice,
    /// Finish still to be laid over the lower surface.
    pub finish_to_come: Length,
}

/// How the number of risers is chosen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RiserChoice {
    /// This many.
    Forced(usize),
    /// The count whose unit rise is nearest to this.
    Aim(Length),
    /// The count nearest to the rule set's aim among those it allows.
    Comfort,
}

/// The treads and what is under and in front of them.
#[derive(Clone, Debug)]
pub struct Tread {
    /// Unit run: riser cut to riser cut.
    pub cut: Length,
    /// Nosing beyond the riser face.
    pub overhang: Length,
    /// Thickness of the tread.
    pub thickness: Length,
    /// Thickness of the riser board; none is an open riser.
    pub riser_board: Length,
    /// The boards it is made of, where it was given by boards.
    pub boards: Option<TreadBoards>,
}

impl Tread {
    /// Depth of the finished tread, overhang included.
    pub fn finish(&self) -> Length {
        self.cut + self.overhang
    }

    /// Whether riser boards close the gaps.
    pub fn risers(&self) -> Risers {
        if self.riser_board > Length::ZERO { Risers::Closed } else { Risers::Open }
    }
}

/// A tread laid of several boards.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TreadBoards {
    /// How many.
    pub count: u32,
    /// How wide each is.
    pub width: Length,
    /// The gap between them.
    pub gap: Length,
}

/// How the flight meets the upper floor.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Meets {
    /// The top tread lies one riser below the upper finish.
    OneDown,
    /// The top tread is level with it.
    Flush,
}

impl Meets {
    /// The fewest risers of a flight: a tread is needed.
    pub fn fewest_risers(self) -> usize {
        match self {
            Self::OneDown => 2,
            Self::Flush => 1,
        }
    }
}

/// The upper end of the flight.
#[derive(Clone, Debug)]
pub struct Head {
    /// How it meets the floor.
    pub meets: Meets,
    /// Thickness of the upper finish above its framing.
    pub finish: Length,
    /// Riser board on the rim.
    pub riser_board: Length,
    /// Hanger board between stringer and rim.
    pub spacer: Length,
    /// Depth of the rim, where known.
    pub rim_depth: Option<Length>,
    /// Length of the top tread cut of a flush flight.
    pub top_tread: Length,
    /// How far the upper finish reaches past the riser at the head, where it is given.
    pub overhang: Option<Length>,
}

/// The lower end of the flight.
#[derive(Clone, Debug, Default)]
pub struct Foot {
    /// The plate that is asked for; what a stringer is notched for, [`Job::plate`] knows.
    pub(super) tie_plate: Option<Tie>,
    /// What the whole seat rests on, over the lower surface; else that surface itself.
    pub stands_on: Option<StandsOn>,
}

impl Foot {
    /// The plate that is asked for, whether the stringer can be notched for it or not.
    pub fn plate_asked(&self) -> Option<&Tie> {
        self.tie_plate.as_ref()
    }

    /// Height of what the seat rests on, over the lower surface.
    pub fn stands_on_height(&self) -> Length {
        self.stands_on.as_ref().map_or(Length::ZERO, |on| on.height)
    }
}

/// What the whole seat rests on: a sole plate, a pad, a shoe.
#[derive(Clone, Debug, PartialEq)]
pub struct StandsOn {
    /// What it is.
    pub what: String,
    /// Its height over the lower surface.
    pub height: Length,
}

/// The plate that ties the foot, and the notch for it.
#[derive(Clone, Debug)]
pub struct Tie {
    /// Width of the plate, along the stair.
    pub width: Length,
    /// Height of the plate.
    pub height: Length,
    /// From the first riser cut.
    pub set_back: Length,
    /// Added to width and to height.
    pub clearance: Length,
}

/// The board the stringer is made of, as measured.
#[derive(Clone, Debug)]
pub struct Board {
    /// Measured width.
    pub width: Length,
    /// Measured thickness.
    pub thickness: Length,
    /// How far the nose points stay below the board's upper edge.
    pub tip_inset: Length,
    /// Species, where given.
    pub species: Option<String>,
    /// Grade, where given.
    pub grade: Option<String>,
    /// Used where it gets wet.
    pub wet: Option<bool>,
    /// Incised for treatment.
    pub incised: Option<bool>,
}

/// What is cut, on what machine, out of what.
#[derive(Clone, Debug)]
pub struct Cut {
    /// A pattern or the parts themselves.
    pub makes: Makes,
    /// How many, in all.
    pub quantity: u32,
    /// For how many stairs alike they are.
    pub stairs: u32,
    /// The machine.
    pub machine: Machine,
    /// What lies on it, as thick as it is cut.
    pub material: Material,
    /// Where that thickness comes from.
    pub thickness: Thickness,
    /// What is done at inside corners.
    pub corners: Corners,
    /// How copies share the material.
    pub sharing: Sharing,
    /// What is done with a part that is too long.
    pub long: Long,
    /// How much is marked on it.
    pub marks: MarksAsked,
}

/// How copies share the material, and what each is made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Sharing {
    /// The least distance between two pieces on a sheet, where it was given.
    pub spacing: Option<Length>,
    /// Where clamps sit on the table: nothing is cut there.
    pub clamps: Vec<Clamp>,
    /// Of how many layers a stringer is glued.
    pub layers: u32,
    /// Diameter of the holes that align layers.
    pub dowel: Length,
    /// Whether the two outside stringers are doubled.
    pub outsides: Outsides,
}

/// Whether the two outside stringers of a stair are doubled.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Outsides {
    /// One thick, as the others.
    Single,
    /// A second one beside each.
    Doubled,
}

impl Outsides {
    /// How many stand at each side.
    pub fn each_side(self) -> usize {
        match self {
            Self::Single => 1,
            Self::Doubled => 2,
        }
    }
}

/// A clamp as it stands on the table, from X0 Y0 on: its lower left corner and its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamp {
    /// Of its left side.
    pub x: Length,
    /// Of its lower side.
    pub y: Length,
    /// Along X.
    pub length: Length,
    /// Along Y.
    pub width: Length,
    /// Over the top of what lies on the machine; where it was left out nothing passes over it.
    pub height: Option<Length>,
}

impl Cut {
    /// How many pieces are cut: every stringer, doublers and layers counted.
    pub fn pieces(&self) -> usize {
        self.stringers() * self.sharing.layers as usize
    }

    /// Whether the stringers are sawn boards: cut on the machine from them, or marked on them with
    /// a pattern, whatever that is cut from.
    pub fn is_of_boards(&self) -> bool {
        self.makes != Makes::Stringers || self.material.form == Form::Board
    }

    /// Whether stringers of one layer are cut from a sheet.
    pub fn is_of_sheet(&self) -> bool {
        self.makes == Makes::Stringers
            && self.material.form == Form::Sheet
            && self.sharing.layers == 1
    }

    /// How many stringers or patterns there are in all, doublers counted, layers not.
    pub fn stringers(&self) -> usize {
        (self.quantity + self.doublers()) as usize
    }

    /// How many of the stringers are doublers: one for each outside stringer of every stair.
    pub fn doublers(&self) -> u32 {
        match self.sharing.outsides {
            Outsides::Single => 0,
            Outsides::Doubled => self.quantity.min(2 * self.stairs),
        }
    }
}

/// What is done with a part that is longer than the material or the machine's travel.
#[derive(Clone, Copy, Debug, Default, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Long {
    /// It is refused; what is done where nothing is said.
    #[default]
    #[serde(skip)]
    Refuse,
    /// The material is shifted along on pins and cut in several set-ups.
    Index,
    /// A pattern is made in two pieces that a strap joins.
    Split,
}

/// What the program cuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Makes {
    /// A master pattern that is followed this way.
    Pattern(Follow),
    /// The stringers themselves.
    Stringers,
}

/// How a pattern is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Follow {
    /// Along its very edge: nothing is added.
    Edge,
    /// With a pencil whose line has this width.
    Pencil {
        /// Width of the pencil's line.
        lead: Length,
    },
    /// With a bit whose bearing has its own diameter.
    BearingBit,
    /// With a guide bushing round the bit.
    Bushing {
        /// Outside diameter of the bushing.
        outside: Length,
        /// Diameter of the bit.
        bit: Length,
    },
}

impl Follow {
    /// How much smaller than the part the pattern is, all round. Pencil: half its line; bushing:
    /// half of what its outside has over the bit.
    pub fn inset(self) -> Length {
        match self {
            Self::Edge | Self::BearingBit => Length::ZERO,
            Self::Pencil { lead } => lead / 2.0,
            Self::Bushing { outside, bit } => (outside - bit) / 2.0,
        }
    }
}

/// What is done where a round tool meets an inside corner.
#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum Corners {
    /// The cutter's own round is left standing.
    Fillet,
    /// Cleared along the bisector.
    Bisector,
    /// Cleared into the riser face; in the plate notch, into its upright faces.
    Riser,
    /// Cleared into the tread face; in the plate notch, into its level face.
    Tread,
}

/// A refusing rule that the owner takes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiver {
    /// Code of the refusal.
    pub rule: String,
    /// Why.
    pub reason: String,
}
