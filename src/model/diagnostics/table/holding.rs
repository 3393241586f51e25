//! What holds the stock and the pieces while they are cut: clamps, tabs, wood that stays.

use std::fmt;

use super::super::code::findings;
use super::super::{Count, Figure, GEOMETRY, PRACTICE, Value};
use super::words::words;
use crate::units::Length;

words! {
    /// What wood has to hang on.
    On { Clamped "the clamped wood", Board "the clamped board", Rim "the sheet's rim" }
    /// How an offcut comes loose.
    OffcutBy { AllRound "cut free all round", ThinWood "held by thinner wood only" }
}

/// An oblong on the stock, from X0 Y0 on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rectangle {
    /// Where it begins along X and Y.
    pub from: [Length; 2],
    /// Where it ends.
    pub to: [Length; 2],
}

impl fmt::Display for Rectangle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ([x, y], [to_x, to_y]) = (self.from, self.to);
        write!(f, "from X {x} to {to_x}, Y {y} to {to_y}")
    }
}

impl From<Rectangle> for Value {
    fn from(place: Rectangle) -> Self {
        place.to_string().into()
    }
}

/// Why a piece is not held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NotTied {
    /// No wood so wide ties it to what holds the stock.
    NoWood(Length, On),
    /// All clamps stand on one offcut.
    OneOffcut,
    /// The cuts are too many to follow what hangs on what.
    NotFollowed,
}

impl fmt::Display for NotTied {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoWood(web, on) => write!(f, "no wood of {web} or more ties it to {on}"),
            Self::OneOffcut => {
                f.write_str("all clamps stand on one offcut, and a single tab ties the part to it")
            }
            Self::NotFollowed => f.write_str("the cuts are too many to follow what hangs on what"),
        }
    }
}

impl From<NotTied> for Value {
    fn from(why: NotTied) -> Self {
        why.to_string().into()
    }
}

/// What holds a piece that would come loose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ToHold {
    /// A straight edge so long has room for a tab.
    Tab(Length),
    /// A clamp on the piece itself, or a tab.
    ClampOnPiece(Rectangle, Length),
    /// A clamp on the piece itself, or clamps on two offcuts.
    ClampOnPieceOrOffcuts(Rectangle),
    /// Clamps that hold it wherever the stock is moved to, or a tab.
    ClampsInEverySetUp(Length),
    /// So much between pieces, where the job asks for another spacing.
    Spacing(Length),
    /// So much between pieces, where it asks for none.
    MoreThanUsual(Length),
    /// Fewer pieces on a sheet.
    FewerPieces,
}

impl fmt::Display for ToHold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Tab(edge) => {
                write!(
                    f,
                    "a straight edge of {edge} takes a tab; or use a thinner cutter in the machine \
                    profile"
                )
            }
            Self::ClampOnPiece(zone, edge) => {
                write!(
                    f,
                    "put a clamp in cut.clamps on the piece itself, {zone}; or {}",
                    Self::Tab(*edge)
                )
            }
            Self::ClampOnPieceOrOffcuts(zone) => {
                write!(
                    f,
                    "put a clamp in cut.clamps on the piece itself, {zone}; or clamps on two \
                    offcuts"
                )
            }
            Self::ClampsInEverySetUp(edge) => write!(
                f,
                "put clamps in cut.clamps that hold it in every set-up, for they stay on the table \
                and the stock moves; or {}",
                Self::Tab(*edge)
            ),
            Self::Spacing(roomy) => write!(f, "leave cut.spacing out, or give {roomy} or more"),
            Self::MoreThanUsual(usual) => write!(
                f,
                "ask for more than the usual {usual} between pieces (cut.spacing), for fewer \
                pieces at once, or use a thinner cutter"
            ),
            Self::FewerPieces => f.write_str("put fewer pieces on one sheet"),
        }
    }
}

impl From<ToHold> for Value {
    fn from(remedy: ToHold) -> Self {
        remedy.to_string().into()
    }
}

/// Where a clamp is out of the cutter's way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ClampGoes {
    /// So far off the cutter.
    Off(Length),
    /// On the piece itself, or so far off the cutter.
    OnPiece(Rectangle, Length),
}

impl fmt::Display for ClampGoes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Off(off) => write!(f, "{off} or more off the cutter"),
            Self::OnPiece(zone, off) => {
                write!(f, "on the piece {zone}; or {off} or more off the cutter")
            }
        }
    }
}

impl From<ClampGoes> for Value {
    fn from(goes: ClampGoes) -> Self {
        goes.to_string().into()
    }
}

/// What clamps leave no room for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum NoWay {
    /// No place near X0 Y0 to begin and to end over.
    Home,
    /// No way across at the safe height between two places, X and Y each.
    Between([Length; 2], [Length; 2]),
}

impl fmt::Display for NoWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Home => f.write_str("a place near X0 Y0 to begin and to end over"),
            Self::Between([x, y], [to_x, to_y]) => write!(
                f,
                "a way at the safe height from X {x} Y {y} to X {to_x} Y {to_y}; give clamps a \
                height that can be passed over"
            ),
        }
    }
}

impl From<NoWay> for Value {
    fn from(way: NoWay) -> Self {
        way.to_string().into()
    }
}

/// Clamps by their numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamps(pub Vec<usize>);

impl fmt::Display for Clamps {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let each: Vec<String> = self.0.iter().map(usize::to_string).collect();
        write!(f, "clamp {}", each.join(", "))
    }
}

impl From<Clamps> for Value {
    fn from(clamps: Clamps) -> Self {
        clamps.to_string().into()
    }
}

findings! {
    PieceLoose { why: NotTied, remedy: ToHold } "piece-loose" Refusal Never GEOMETRY,
        "{why}: {remedy}",
        "When all is cut, no wood of a quarter inch or more would tie this piece to what holds the \
        stock: the clamps where they are given, else the sheet's rim.",
        "Do what the finding says; or move clamps to wood that stays, or use a thinner cutter.";
    OffcutLoose { measured: Figure, length: Length, width: Length, how: OffcutBy, on: On, limit: Length, remedy: ToHold } "offcut-loose" Refusal Never GEOMETRY,
        "an offcut of {measured}, {length} by {width}, is {how}: no wood of {limit} or more ties \
        it to {on}; {remedy}",
        "A piece of waste larger than a coin is cut free, or held by thin wood only: the cutter \
        may throw it.",
        "Do what the finding says; or move clamps to wood that stays, or use a thinner cutter.";
    TabsFew { measured: Count, limit: Count } "tabs-few" Warning Never PRACTICE,
        "{measured} tabs found room on straight edges and {limit} are wanted: hold it down in \
        another way",
        "Fewer than three tabs found room: the part may come loose while it is cut.",
        "Hold the part down in another way before the last pass.";
    TabsOneSided { measured: Length, tabs: Count } "tabs-one-sided" Warning Never PRACTICE,
        "its centre of area lies {measured} outside of its {tabs} tabs: hold the far side down",
        "The piece's centre of area lies outside the hull of its tabs: it hangs over on one side \
        and may tip or rock while it is cut.",
        "Hold the far side down before the last pass, or give a larger cut.spacing.";
    ClampInCut { clamp: Rectangle, x: Length, y: Length, to_do: ClampGoes }
        "clamp-in-cut" Refusal Never PRACTICE,
        "the clamp stands {clamp}, in the cutter's way near X {x} Y {y}; put it {to_do}",
        "A clamp stands where the cutter goes. A sheet that several pieces share, or a single one \
        with cut.long left out, is laid out round its clamps; a board, a housed stringer and a \
        part cut in shifts lie where they lie.",
        "Move the clamp to where the finding says, or hold the stock down in another way.";
    ClampInTheWay { clamps: Clamps, way: NoWay } "clamp-in-the-way" Refusal Never GEOMETRY,
        "beside {clamps} there is no room for {way}",
        "Rapids, the way home or the beam's head would meet a clamp, and nothing leads round or \
        over it.",
        "Move the clamps, away from X0 Y0 above all: the head comes back there.";
    ClampOffSheet { clamp: Rectangle, length: Length, width: Length }
        "clamp-off-sheet" Refusal Never GEOMETRY,
        "the clamp lies {clamp}, and the stock is {length} by {width}",
        "A clamp does not sit on the stock: the real one would not be kept free.",
        "Measure from X0 Y0, the stock's lower left corner, to the clamp's lower left corner.";
}
