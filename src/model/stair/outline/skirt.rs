//! Skirts: the finished board that covers a stringer's outer face, and the board with a straight
//! top between a stair and a wall.

use super::construct::NotchState;
use super::ends::{Ends, SeatLine};
use super::housed::polygon;
use super::{Outline, OutlineProblem, Role};
use crate::geometry::tolerance::COINCIDENT_MM;
use crate::geometry::{Contour, Point};
use crate::job::{Hand, Job, SkirtKind, SkirtRisers, Skirts};
use crate::stair::Flight;
use crate::units::Length;

/// The finished board at the side of a stair.
///
/// An open one is made from the same flight as the stringer: the same tread cuts, riser cuts, head
/// cut and lower edge, so that one pattern marks both. It stands on the finished lower surface,
/// wherever the stringer stands, and no plate notch goes through it. Where riser boards are mitred
/// to it, its plumb cuts stand forward by their thickness: that is its face, the long side of the
/// mitre. A wall skirt stands on the finished lower surface too: plumb before the first nosing and
/// at the face of the rim, its top parallel to the line through the nosings.
///
/// Common practice, no source.
#[derive(Clone, Debug)]
pub struct Skirt {
    outline: Outline,
}

/// Why a side has no skirt.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SkirtProblem {
    /// There is nothing that it could follow.
    #[error(transparent)]
    NoSteps(#[from] OutlineProblem),
    /// The board does not reach below the corners that it is to cover.
    #[error("the board of the wall skirt is {width} wide; to cover the steps it takes {least}")]
    Narrow {
        /// The board's width.
        width: Length,
        /// What would do.
        least: Length,
    },
}

impl Skirt {
    /// The skirt of a job's flight; where the seat follows the ground, so does the skirt.
    ///
    /// # Errors
    /// If the flight has none: no stringer, or nothing left of the first riser over the finish to
    /// come.
    pub fn of(job: &Job, flight: &Flight) -> Result<Self, OutlineProblem> {
        Self::seated(SeatLine::of(job), flight)
    }

    /// The skirt of a flight on level ground.
    ///
    /// # Errors
    /// Those of [`Skirt::of`].
    pub fn new(flight: &Flight) -> Result<Self, OutlineProblem> {
        Self::seated(SeatLine::default(), flight)
    }

    fn seated(seat: SeatLine, flight: &Flight) -> Result<Self, OutlineProblem> {
        let seat = seat.raised(flight.base().as_mm());
        Ok(Self { outline: Outline::ending(flight, &Ends { seat, ..Ends::default() })? })
    }

    /// The skirt that a job asks for at a side, seen on the face that shows: that of an open one
    /// from outside the stair, that of a wall skirt from the stair. None where none is asked for.
    ///
    /// # Errors
    /// If the flight has no stringer, or the board of a wall skirt is narrower than the steps.
    pub fn at(job: &Job, flight: &Flight, side: Hand) -> Option<Result<Self, SkirtProblem>> {
        let skirts = job.skirts.as_ref()?;
        Some(match (side, skirts.side(side)?) {
            // From outside a stair rises to the left on its left side; from the stair to the right.
            (_, SkirtKind::Open) => Self::open(job, flight, skirts, side.other()),
            (_, SkirtKind::Wall) => Self::wall(job, flight, skirts, side),
        })
    }

    /// An open skirt whose face rises as that of a stringer of this hand does.
    fn open(job: &Job, flight: &Flight, skirts: &Skirts, face: Hand) -> Result<Self, SkirtProblem> {
        let Self { outline } = Self::of(job, flight)?;
        let forward = match skirts.at_risers {
            SkirtRisers::Butt => 0.0,
            SkirtRisers::Mitre => job.tread.riser_board.as_mm(),
        };
        let fall = SeatLine::of(job).fall;
        let moved = |p: Point, role: Role| {
            let plain = Point::new(p.x - forward, p.y);
            match role {
                Role::Riser(_) => plain,
                Role::Tread(k) if k < flight.treads => plain,
                // The seat goes on along its line, level or along the ground.
                Role::SeatCut => Point::new(plain.x, p.y - fall * forward),
                _ => p,
            }
        };
        let contour = outline.contour();
        let vertices: Vec<(Point, Role)> = contour
            .edges()
            .iter()
            .map(|edge| (moved(edge.segment.from(), edge.role), edge.role))
            .collect();
        Ok(Self { outline: seen(outline, &vertices, face)? })
    }

    /// A wall skirt whose face rises as that of a stringer of this hand does.
    fn wall(job: &Job, flight: &Flight, skirts: &Skirts, face: Hand) -> Result<Self, SkirtProblem> {
        let Self { outline } = Self::of(job, flight)?;
        let width = skirts.width.unwrap_or(job.board.width);
        let least = least_wall_width(flight, skirts.above);
        if width.as_mm() <= least.as_mm() + COINCIDENT_MM {
            return Err(SkirtProblem::Narrow { width, least });
        }
        let slope = flight.unit_rise.as_mm() / flight.unit_run.as_mm();
        let square = slope.hypot(1.0);
        let foot_x =
            flight.nose_x(1).as_mm() - job.tread.riser_board.as_mm() - job.tread.overhang.as_mm();
        let nosing = (flight.tread_cut_y(1) + flight.tread_thickness).as_mm();
        let top = |x: f64| nosing + slope * (x - foot_x) + skirts.above.as_mm() * square;
        let low = |x: f64| top(x) - width.as_mm() * square;
        let head_x = (flight.head_cut_x + job.head_gap()).as_mm();
        // The finished floor, level or as the ground falls.
        let floor = SeatLine::of(job).raised(flight.base().as_mm());
        if slope <= floor.fall + COINCIDENT_MM {
            return Err(OutlineProblem::SeatNeverEnds.into());
        }
        let over_low = floor.at(foot_x) - low(foot_x);
        let seat_x = (foot_x + over_low / (slope - floor.fall)).min(head_x);
        let head_y = low(head_x).max(floor.at(head_x));
        let mut vertices = vec![(Point::new(foot_x, floor.at(foot_x)), Role::SeatCut)];
        if head_y > floor.at(head_x) + COINCIDENT_MM {
            vertices.push((Point::new(seat_x, floor.at(seat_x)), Role::LowerEdge));
        }
        vertices.push((Point::new(head_x, head_y), Role::HeadCut));
        vertices.push((Point::new(head_x, top(head_x)), Role::UpperEdge));
        vertices.push((Point::new(foot_x, top(foot_x)), Role::FootCut));
        let board = Outline {
            seat_length: Length::mm(floor.length_to(seat_x - foot_x)),
            head_cut_length: Length::mm(top(head_x) - head_y),
            ..outline
        };
        Ok(Self { outline: seen(board, &vertices, face)? })
    }

    /// The skirt as an outline, with its seat, its head cut and its blank length.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The contour in the elevation frame of the stringer.
    pub fn contour(&self) -> &Contour<Role> {
        self.outline.contour()
    }

    /// The width of the board that holds it.
    pub fn depth(&self) -> Length {
        Length::mm(self.in_board_frame().bounds().height())
    }

    /// The contour in its own board frame: turned as the stringer is, its own box at 0,0.
    pub fn in_board_frame(&self) -> Contour<Role> {
        self.outline.in_board_frame()
    }
}

/// The narrowest board that covers the corners where a riser's face meets the tread below it, so
/// far over the nosings: they lie `(g + o) r / L` below the line through the nosings. Geometry.
fn least_wall_width(flight: &Flight, above: Length) -> Length {
    let (rise, finish) = (flight.unit_rise.as_mm(), flight.tread_finish.as_mm());
    above + Length::mm(rise * finish / flight.pitch_length().as_mm())
}

/// The outline through vertices given as the elevation shows them, as a face of this hand does.
fn seen(like: Outline, vertices: &[(Point, Role)], face: Hand) -> Result<Outline, OutlineProblem> {
    let contour = polygon(vertices, face).ok_or(OutlineProblem::NoSeat)?;
    let turn_rad = match face {
        Hand::Left => like.pitch_rad,
        Hand::Right => -like.pitch_rad,
    };
    Ok(Outline { contour, turn_rad, notch: NotchState::None, ..like })
}
