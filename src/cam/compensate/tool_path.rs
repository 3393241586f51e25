//! The line that the tool's centre follows.

use super::ledger::Ledger;
use super::pocket::{self, PocketPath};
use super::{ally, piece, relief};
use crate::diagnostics::codes::{self, Clash};
use crate::diagnostics::{Finding, Numbered, Outcome, Place, Refusals, Warned};
use crate::geometry::tolerance::CUTTER_CLEARANCE_MM;
use crate::geometry::{
    Contour, Edge, Follows, OffsetProblem, Placement, Segment, corners, cross, offset_outside,
};
use crate::job::{Corners, Job};
use crate::profile::Machine;
use crate::stair::outline::{Outline, Role};
use crate::units::Length;

/// What a piece of the tool path does.
pub type PathRole = Follows<Role>;

/// The closed path of the tool's centre round the piece, counter-clockwise, in the board frame;
/// reliefs are walked out and back. It is not an outline: nothing else can be planned.
#[derive(Clone, Debug)]
pub struct ToolPath {
    contour: Contour<PathRole>,
    rough: Option<Contour<PathRole>>,
    piece: Contour<Role>,
    pockets: Vec<PocketPath>,
    radius: Length,
    ledger: Ledger,
}

impl ToolPath {
    /// The path in the board frame.
    pub fn contour(&self) -> &Contour<PathRole> {
        &self.contour
    }

    /// The path of the passes that stay off the line by the finishing allowance; `None` where none
    /// does. Into corners that are cleared it goes as far as this one: what clears a corner is no
    /// edge of the part.
    pub fn rough(&self) -> Option<Self> {
        let contour = self.rough.clone()?;
        Some(Self { contour, rough: None, ..self.clone() })
    }

    /// The piece it goes round, in the board frame: the part, or the pattern made smaller by what
    /// follows it.
    pub fn piece(&self) -> &Contour<Role> {
        &self.piece
    }

    /// The ways through the pockets of a housed stringer, in the board frame; none on a cut one.
    pub fn pockets(&self) -> &[PocketPath] {
        &self.pockets
    }

    /// Half the width of what the tool takes away.
    pub fn radius(&self) -> Length {
        self.radius
    }

    /// What was compensated.
    pub fn ledger(&self) -> &Ledger {
        &self.ledger
    }
}

/// Makes the tool path of an outline, and what there is to say about it.
///
/// # Errors
/// The refusals, if the tool cannot make this piece.
pub fn compensate(job: &Job, outline: &Outline) -> Outcome<ToolPath> {
    let piece = piece::piece(outline.contour(), job.cut.makes)?;
    let followed = piece::followed(job.cut.makes, notch_width(outline.contour()));
    around(job, &piece, &outline.to_board(), followed)?.and_then(|path| {
        let pockets = pocket::pockets(job, outline)?;
        Ok(Warned::plain(ToolPath { pockets, ..path }))
    })
}

/// Makes the tool path of a piece that is already as small as what follows it asks for: one of a
/// split pattern, or its strap. The piece is in its board frame, turned by minus `pitch_rad` from
/// the elevation; so is the path.
///
/// # Errors
/// The refusals, if the tool cannot make this piece.
pub fn compensate_piece(job: &Job, piece: &Contour<Role>, pitch_rad: f64) -> Outcome<ToolPath> {
    let upright = piece.placed(&Placement::rotation(pitch_rad));
    // The part's own notch is narrower than the pattern's by the inset of both its sides.
    let notch = notch_width(&upright).map(|width| width - piece::inset_of(job.cut.makes) * 2.0);
    let followed = piece::followed(job.cut.makes, notch);
    around(job, &upright, &Placement::rotation(-pitch_rad), followed)
}

/// The path of a roughing cutter round the piece of another path, farther off it by what the cutter
/// leaves; inside corners stay round. The machine is the one with that cutter.
///
/// # Errors
/// A refusal if it finds no room somewhere.
pub fn roughed(machine: &Machine, path: &ToolPath) -> Result<ToolPath, Refusals> {
    let (radius, allowance) = (machine.tool_radius(), machine.tool.leaves());
    let limit = (radius + allowance) * 2.0;
    let no_room = || {
        let found = codes::RoughNoRoom { measured: radius * 2.0, allowance, limit };
        Refusals::from(found.at("router.rough.cutter"))
    };
    if too_narrow(&path.piece, radius + allowance).is_some()
        || rounds_close(&path.piece, (radius + allowance).as_mm())
    {
        return Err(no_room());
    }
    let contour = parallel(&path.piece, (radius + allowance).as_mm()).map_err(|_| no_room())?;
    Ok(ToolPath {
        contour,
        rough: None,
        piece: path.piece.clone(),
        pockets: Vec::new(),
        radius,
        ledger: path.ledger.roughed(machine),
    })
}

/// The path round a piece in the elevation frame, placed by `to_board`; what following the piece
/// does comes first.
fn around(
    job: &Job,
    piece: &Contour<Role>,
    to_board: &Placement,
    followed: Vec<Finding>,
) -> Outcome<ToolPath> {
    let radius = job.cut.machine.tool_radius();
    let findings = followed
        .into_iter()
        .chain(relief::left_standing(job.cut.corners, radius))
        .chain(too_wide(piece, radius))
        .chain(relief::overlaps(piece, job.cut.corners, radius.as_mm()))
        .chain(relief::breakthroughs(piece, job.cut.corners, radius.as_mm()));
    Warned::unless_refused(findings.collect())?.and_then(|()| {
        let parallel = parallel(piece, radius.as_mm())?;
        let path = with_reliefs(piece, &parallel, job.cut.corners, (radius.as_mm(), 0.0));
        let contour = Contour::new(path).map_err(|_| interference("outline", Clash::Open))?;
        let rough = off_the_line(job, piece)?.map(|rough| rough.placed(to_board));
        let (contour, piece) = (contour.placed(to_board), piece.placed(to_board));
        Ok(Warned::plain(ToolPath {
            contour,
            rough,
            piece,
            pockets: Vec::new(),
            radius,
            ledger: Ledger::of(job),
        }))
    })
}

/// The tool's way would come where it may not.
pub(super) fn interference(place: impl Into<Place>, why: Clash) -> Refusals {
    codes::Interference { why }.at(place).into()
}

/// Width of the plate notch where it is closed on both sides.
fn notch_width(contour: &Contour<Role>) -> Option<Length> {
    let corners = corners(contour);
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .find(|(a, b)| a.is_inside() && b.is_inside() && a.after == Role::PlateNotch)
        .map(|(a, b)| Length::mm((b.at - a.at).norm()))
}

/// Whether the rounds that a cutter leaves in the inside corners at both ends of an edge take more
/// of it than there is: a round of radius r in a corner that turns by a takes r tan(a / 2) of
/// either edge.
fn rounds_close(piece: &Contour<Role>, radius: f64) -> bool {
    let edges = piece.edges();
    let taken = |i: usize| {
        let before = edges[(i + edges.len() - 1) % edges.len()].segment.direction_at(1.0);
        let after = edges[i].segment.direction_at(0.0);
        let turn = cross(before, after).atan2(before.dot(&after));
        // Counter-clockwise an inside corner turns right.
        if turn < 0.0 { radius * (-turn / 2.0).tan() } else { 0.0 }
    };
    (0..edges.len())
        .any(|i| edges[i].segment.length() < taken(i) + taken((i + 1) % edges.len()) + CLOSE_MM)
}

/// What rounding may take of an edge that just fits, in mm.
const CLOSE_MM: f64 = 1e-6;

/// A slot narrower than the cutter would be closed silently: wide enough by rule.
fn too_wide(piece: &Contour<Role>, radius: Length) -> Option<Finding> {
    let (measured, limit) = too_narrow(piece, radius)?;
    Some(codes::CutterTooWide { measured, limit }.at("plate notch"))
}

/// The width that a closed notch needs for a path so far off its edges and the width that it has,
/// where that is less.
fn too_narrow(piece: &Contour<Role>, off: Length) -> Option<(Length, Length)> {
    let width = notch_width(piece)?;
    let needed = off * 2.0 + Length::mm(CUTTER_CLEARANCE_MM);
    (width < needed).then_some((needed, width))
}

/// Where an edge of the part is.
pub(super) fn place_of(role: Role) -> Place {
    match role {
        Role::Tread(number) => Place::Nth(Numbered::Tread, number),
        Role::Riser(number) => Place::Nth(Numbered::Riser, number),
        other => Place::Part(other.to_string()),
    }
}

/// The parallel path, agreed on by two constructions.
fn parallel(piece: &Contour<Role>, radius: f64) -> Result<Contour<PathRole>, Refusals> {
    let path = offset_outside(piece, radius).map_err(|problem| match problem {
        OffsetProblem::EdgeVanishes(role) => interference(place_of(role), Clash::NoRoom),
        OffsetProblem::NoContour => interference("outline", Clash::Open),
    })?;
    match ally::disagreement(piece, &path, radius) {
        None => Ok(path),
        Some(why) => Err(interference("outline", why)),
    }
}

/// The path of the passes that stay off the line, where the machine has some.
fn off_the_line(job: &Job, piece: &Contour<Role>) -> Result<Option<Contour<PathRole>>, Refusals> {
    let Some(finish) = job.cut.machine.tool.finish() else { return Ok(None) };
    let radius = job.cut.machine.tool_radius();
    let off = radius + finish.allowance;
    let no_room = || {
        Refusals::from(
            codes::FinishNoRoom { measured: finish.allowance, limit: off * 2.0 }
                .at("router.finish.allowance"),
        )
    };
    if too_narrow(piece, off).is_some() {
        return Err(no_room());
    }
    let parallel = parallel(piece, off.as_mm()).map_err(|_| no_room())?;
    let lengths = (radius.as_mm(), finish.allowance.as_mm());
    let path = with_reliefs(piece, &parallel, job.cut.corners, lengths);
    Contour::new(path).map(Some).map_err(|_| no_room())
}

/// The parallel path, `off` mm farther out than the radius, with a walk into each inside corner and
/// back.
fn with_reliefs(
    piece: &Contour<Role>,
    parallel: &Contour<PathRole>,
    choice: Corners,
    (radius, off): (f64, f64),
) -> Vec<Edge<PathRole>> {
    let mut inside = corners(piece).into_iter().filter(|corner| corner.is_inside());
    let mut path = Vec::with_capacity(parallel.edges().len() * 2);
    // The parallel starts with what leaves corner 0, so a relief at corner 0 comes first; the
    // others follow the edge that arrives at them.
    let first_is_inside = corners(piece)[0].is_inside();
    let mut pending = first_is_inside;
    for (edge, next) in parallel.neighbours() {
        if pending {
            let corner = inside.next();
            path.extend(corner.iter().flat_map(|corner| spur(edge, corner, choice, (radius, off))));
        }
        path.push(*edge);
        pending = matches!((edge.role, next.role), (Follows::Along(_), Follows::Along(_)));
    }
    path
}

/// Out into an inside corner from where `leaving` starts, and back; from farther out by way of
/// where the tool touches both sides of it.
fn spur(
    leaving: &Edge<PathRole>,
    corner: &crate::geometry::Corner<Role>,
    choice: Corners,
    (radius, off): (f64, f64),
) -> Vec<Edge<PathRole>> {
    let Some(to) = relief::reach(corner, choice, radius) else { return Vec::new() };
    let start = leaving.segment.from();
    let out = if off > 0.0 {
        let touches = corner.at + (start - corner.at) * (radius / (radius + off));
        vec![Segment::Line { from: start, to: touches }, Segment::Line { from: touches, to }]
    } else {
        vec![Segment::Line { from: start, to }]
    };
    let back = out.iter().rev().map(Segment::reversed);
    let role = Follows::Into(corner.before, corner.after);
    out.iter().copied().chain(back).map(|segment| Edge { segment, role }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    /// A block with a notch of a width in its lower edge, 30 mm deep.
    fn notched(width: f64) -> Contour<Role> {
        let corners = [
            (0.0, 0.0, Role::LowerEdge),
            (100.0, 0.0, Role::PlateNotch),
            (100.0, 30.0, Role::PlateNotch),
            (100.0 + width, 30.0, Role::PlateNotch),
            (100.0 + width, 0.0, Role::LowerEdge),
            (300.0, 0.0, Role::LowerEdge),
            (300.0, 80.0, Role::LowerEdge),
            (0.0, 80.0, Role::LowerEdge),
        ];
        let next = corners.iter().cycle().skip(1);
        let edge = |((x, y, role), (to_x, to_y, _)): (&(f64, f64, Role), &(f64, f64, Role))| {
            let (from, to) = (Point::new(*x, *y), Point::new(*to_x, *to_y));
            Edge { segment: Segment::Line { from, to }, role: *role }
        };
        Contour::new(corners.iter().zip(next).map(edge).collect()).unwrap()
    }

    #[test]
    fn a_notch_holds_the_path_and_the_play_of_the_cutter() {
        let off = Length::mm(5.0);
        let needed = 10.0 + CUTTER_CLEARANCE_MM;
        let found = |width: f64| too_narrow(&notched(width), off);
        assert_eq!(found(needed + 1e-6), None);
        let (wanted, width) = found(needed - 1e-3).unwrap();
        assert!((wanted.as_mm() - needed).abs() < 1e-9);
        assert!((width.as_mm() - (needed - 1e-3)).abs() < 1e-9);
        assert!(too_wide(&notched(9.0), off).is_some() && too_wide(&notched(12.0), off).is_none());
    }

    #[test]
    fn rounds_that_meet_close_an_edge() {
        // In a square corner a round takes its radius of either edge.
        assert!(!rounds_close(&notched(10.0), 4.9));
        assert!(rounds_close(&notched(10.0), 5.1));
        assert!(rounds_close(&notched(10.0), 5.0));
    }
}
