//! The corners of the piece that a tape can be held to.

use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Contour, Point};
use crate::stair::outline::Role;

/// The corners of a stringer's contour, in whatever frame the contour is in.
pub(super) struct Corners {
    /// The nose points from the foot up: where a tread cut meets the riser cut below it.
    pub noses: Vec<Point>,
    /// Where each tread cut ends at the back, from the foot up.
    pub backs: Vec<Point>,
    /// The lower end of the first riser cut.
    pub first_riser_foot: Point,
    /// Where the seat begins: the toe, or the far side of a notch that takes it.
    pub seat_start: Point,
    /// Where the seat ends.
    pub heel: Point,
    /// The lower end of the top plumb cut.
    pub head_foot: Point,
    /// Its upper end.
    pub head_top: Point,
}

impl Corners {
    /// The corners of a contour that has every role a stringer has.
    pub(super) fn of(contour: &Contour<Role>) -> Self {
        let edges = contour.edges();
        let of_role =
            |wanted: fn(&Role) -> bool| edges.iter().filter(move |edge| wanted(&edge.role));
        let mut treads: Vec<_> = of_role(|role| matches!(role, Role::Tread(_))).collect();
        // Counter-clockwise the treads come from the head down.
        treads.reverse();
        let seat: Vec<_> = of_role(|role| matches!(role, Role::SeatCut)).collect();
        let head = of_role(|role| matches!(role, Role::HeadCut))
            .next()
            .expect("a stringer has a head cut")
            .segment;
        let riser = of_role(|role| matches!(role, Role::Riser(1)))
            .next()
            .expect("a stringer has a first riser");
        Self {
            noses: treads.iter().map(|edge| edge.segment.to()).collect(),
            backs: treads.iter().map(|edge| edge.segment.from()).collect(),
            first_riser_foot: riser.segment.to(),
            seat_start: seat.first().expect("a stringer stands on a seat").segment.from(),
            heel: seat.last().expect("a stringer stands on a seat").segment.to(),
            head_foot: head.from(),
            head_top: head.to(),
        }
    }

    /// Height of the seat's line plumb under the first nose point, in the contour's frame.
    pub(super) fn seat_below_nose(&self) -> f64 {
        let along = self.heel - self.seat_start;
        let rise = if along.x.abs() > COINCIDENT_MM { along.y / along.x } else { 0.0 };
        self.seat_start.y + rise * (self.noses[0].x - self.seat_start.x)
    }

    /// Whether the toe is there: a notch without set-back takes it.
    pub(super) fn has_toe(&self) -> bool {
        (self.seat_start - self.first_riser_foot).norm() <= COINCIDENT_MM
    }
}
