//! The outline edge by edge: an edge is known by its role, whatever lies before it. Elevation
//! frame.

use super::moved::differ;
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Edge, Segment};
use crate::pipeline::numbers::Value;
use crate::stair::outline::{Outline, Role};
use crate::units::Length;

/// One figure of an edge that is another in the new job; none where a job does not have the edge.
#[derive(Clone, Debug)]
pub struct EdgeMove {
    /// The edge by its role: `tread 3`.
    pub edge: String,
    /// Its figure: how long it is, or where it lies.
    pub figure: EdgeFigure,
    /// In the old job.
    pub old: Option<Length>,
    /// In the new job.
    pub new: Option<Length>,
}

/// What an edge is measured by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeFigure {
    /// From its one end to the other.
    Length,
    /// Height of a level edge over the surface that the stringer stands on.
    Height,
    /// How far a plumb edge stands from the first riser cut.
    From,
    /// How far a sloping edge passes from the foot of the first riser cut, square to it.
    Distance,
}

impl EdgeFigure {
    /// Its name in the report of differences.
    pub fn key(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Height => "height",
            Self::From => "x",
            Self::Distance => "distance",
        }
    }

    /// Its name for people.
    pub fn label(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Height => "height",
            Self::From => "from first riser cut",
            Self::Distance => "distance from the toe",
        }
    }
}

type Figure = (String, EdgeFigure, Length);

/// The figures of the edges that moved, in the order of the new outline, then those of edges that
/// went.
pub(super) fn moves(old: Option<&Outline>, new: Option<&Outline>) -> Vec<EdgeMove> {
    let old = old.map(figures).unwrap_or_default();
    let new = new.map(figures).unwrap_or_default();
    let find = |list: &[Figure], edge: &str, figure: EdgeFigure| {
        list.iter().find(|(e, f, _)| e == edge && *f == figure).map(|(.., length)| *length)
    };
    let pair = |(edge, figure, _): &Figure| EdgeMove {
        old: find(&old, edge, *figure),
        new: find(&new, edge, *figure),
        edge: edge.clone(),
        figure: *figure,
    };
    let went = old.iter().map(pair).filter(|m| m.new.is_none());
    let moves = new.iter().map(pair).chain(went);
    let value = |length: Option<Length>| length.map(Value::Length);
    moves.filter(|m| differ(value(m.old).as_ref(), value(m.new).as_ref())).collect()
}

fn figures(outline: &Outline) -> Vec<Figure> {
    outline.contour().neighbours().flat_map(|(edge, next)| of_edge(edge, next)).collect()
}

fn of_edge(edge: &Edge<Role>, next: &Edge<Role>) -> [Figure; 2] {
    let (from, to) = (edge.segment.from(), edge.segment.to());
    let place = match lie(&edge.segment) {
        Lie::Level => (EdgeFigure::Height, from.y),
        Lie::Plumb => (EdgeFigure::From, from.x),
        Lie::Sloping => {
            (EdgeFigure::Distance, (from.x * to.y - from.y * to.x).abs() / (to - from).norm())
        }
    };
    let name = name(edge, next);
    [
        (name.clone(), EdgeFigure::Length, Length::mm(edge.segment.length())),
        (name, place.0, Length::mm(place.1)),
    ]
}

enum Lie {
    Level,
    Plumb,
    Sloping,
}

fn lie(segment: &Segment) -> Lie {
    let along = segment.to() - segment.from();
    match (along.x.abs() <= COINCIDENT_MM, along.y.abs() <= COINCIDENT_MM) {
        (_, true) => Lie::Level,
        (true, false) => Lie::Plumb,
        _ => Lie::Sloping,
    }
}

/// The role, with the side where one role has several edges.
fn name(edge: &Edge<Role>, next: &Edge<Role>) -> String {
    let along = edge.segment.to() - edge.segment.from();
    // In a seat along the ground the faces of the plate's notch lie askew.
    let is_level = along.x.abs() > along.y.abs();
    match edge.role {
        Role::SeatCut if next.role == Role::PlateNotch => "seat cut before the notch".to_string(),
        Role::PlateNotch if is_level => "plate notch, level face".to_string(),
        Role::PlateNotch if along.y > 0.0 => "plate notch, face at the toe".to_string(),
        Role::PlateNotch => "plate notch, face at the heel".to_string(),
        Role::HeadNotch if is_level => "notch at the head, level face".to_string(),
        Role::HeadNotch => "notch at the head, upright face".to_string(),
        role => role.to_string(),
    }
}
