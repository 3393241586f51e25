//! Clamps: nothing is cut where one stands, no rapid passes over one that is not known to be low
//! enough, and no program ends over one. They stand on the table: a shift moves the stock, not
//! them.

use super::program::{Program, Step};
use super::travels;
use super::walk::Walk;
use crate::check::StockBox;
use crate::diagnostics::codes::{self, ClampGoes, Rectangle};
use crate::diagnostics::{Finding, Numbered, Place, Refusals};
use crate::geometry::{Bounds, Placement, Point, Segment, Vector, distance_to_segment};
use crate::job::{Clamp, Job, Long};
use crate::profile::{Form, Machine};
use crate::units::Length;

/// A tool cuts no nearer to a clamp than this, in mm (common practice, no source).
pub const FROM_CLAMP_MM: f64 = 2.0;
/// A rapid passes over a clamp by this at least, in inches (common practice, no source).
pub const OVER_CLAMP_IN: f64 = 0.25;
/// A clamp this near to an edge of the stock reaches over it: what holds it stands beyond, in mm
/// (half an inch).
const AT_EDGE_MM: f64 = 12.7;
/// How far beyond an edge what holds a clamp is taken to stand: farther than any program goes, in
/// mm.
const BEYOND_EDGE_MM: f64 = 300.0;
/// How far the chords of an arc may lie beside it where it is held against a clamp, in mm.
const CHORD_MM: f64 = 0.005;
/// Rounding of a layout and of a program's last digit, in mm.
pub(super) const ROUNDING_MM: f64 = 0.01;

/// A clamp where it stands on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClampBox {
    /// From X0 Y0 on.
    pub place: Bounds,
    /// Over the stock's top; `None` where it was not said: nothing passes over it.
    pub height: Option<Length>,
}

impl ClampBox {
    /// The clamps of a job.
    pub fn all(clamps: &[Clamp]) -> Vec<Self> {
        let of = |c: &Clamp| Self {
            place: Bounds {
                min: Point::new(c.x.as_mm(), c.y.as_mm()),
                max: Point::new((c.x + c.length).as_mm(), (c.y + c.width).as_mm()),
            },
            height: c.height,
        };
        clamps.iter().map(of).collect()
    }

    /// Its place with what holds it: beyond each edge of the stock that it reaches over.
    pub fn standing(&self, stock: &StockBox) -> Bounds {
        let (mut min, mut max) = (self.place.min, self.place.max);
        for (axis, extent) in [stock.length.as_mm(), stock.width.as_mm()].into_iter().enumerate() {
            if min[axis] < AT_EDGE_MM {
                min[axis] = min[axis].min(0.0) - BEYOND_EDGE_MM;
            }
            if max[axis] > extent - AT_EDGE_MM {
                max[axis] = max[axis].max(extent) + BEYOND_EDGE_MM;
            }
        }
        Bounds { min, max }
    }

    /// The least height over the stock's top at which a rapid may pass over it, in mm; infinite
    /// where none may.
    pub fn clear_mm(&self) -> f64 {
        self.height.map_or(f64::INFINITY, |height| (height + Length::inches(OVER_CLAMP_IN)).as_mm())
    }
}

/// Whether a job's one piece lies alone on its stock for all its clamps and never shares a layout.
pub fn lies_alone(job: &Job) -> bool {
    let one = job.cut.pieces() == 1 && job.cut.sharing.spacing.is_none();
    one && (job.stringer.is_made_alone() || job.cut.long == Long::Index)
}

/// The clamps that a program of one piece alone minds; pieces on a sheet are laid out round theirs.
pub(super) fn of_alone(job: &Job) -> Vec<ClampBox> {
    let minds = job.cut.material.form == Form::Board || lies_alone(job);
    if minds { ClampBox::all(&job.cut.sharing.clamps) } else { Vec::new() }
}

/// The refusals of clamps that stand nowhere on the stock: a slip of the pen, and the real one
/// would be cut.
pub fn beside_stock(clamps: &[ClampBox], stock: &StockBox) -> Vec<Finding> {
    let on =
        Bounds { min: Point::origin(), max: Point::new(stock.length.as_mm(), stock.width.as_mm()) };
    let is_beside =
        |place: Bounds| !place.touches(on) || place.min.x >= on.max.x || place.min.y >= on.max.y;
    let beside = clamps.iter().enumerate().filter(|(_, clamp)| is_beside(clamp.place));
    let finding = |(i, clamp): (usize, &ClampBox)| {
        let (length, width) = (stock.length, stock.width);
        codes::ClampOffSheet { clamp: rectangle(clamp.place), length, width }.at(named(i))
    };
    beside.map(finding).collect()
}

/// The key of the job file that has the clamps.
pub(super) const KEY: &str = "cut.clamps";

/// Where a finding about a clamp is.
fn named(i: usize) -> Place {
    Place::NthNamed(Numbered::Clamp, i + 1, KEY.to_string())
}

pub(super) fn rectangle(place: Bounds) -> Rectangle {
    Rectangle { from: tape(place.min), to: tape(place.max) }
}

/// X and Y of a point.
pub(super) fn tape(p: Point) -> [Length; 2] {
    [p.x, p.y].map(Length::mm)
}

/// A place for a piece that lies alone at which its kerf leaves every clamp alone: moved along and
/// across to a side of a clamp, as little as does it. Where there is none it stays, and the clamps
/// in its way are told.
pub(super) fn clear_of(
    clamps: &[ClampBox],
    part: Bounds,
    placement: Placement,
    (stock, room, machine): (&StockBox, f64, &Machine),
) -> Placement {
    let kerf = 2.0 * machine.tool_radius().as_mm() + FROM_CLAMP_MM;
    let at = part.placed(&placement);
    let is_free = |by: Vector| {
        let taken = Bounds { min: at.min + by, max: at.max + by }.grown(kerf);
        !clamps.iter().any(|clamp| clamp.standing(stock).touches(taken))
    };
    let size = [stock.length.as_mm(), stock.width.as_mm()];
    let moves = |axis: usize| {
        let past = clamps
            .iter()
            .map(move |clamp| clamp.place.max[axis] + kerf + ROUNDING_MM - at.min[axis]);
        let fits = move |by: &f64| *by >= 0.0 && at.max[axis] + by <= size[axis] - room;
        [0.0].into_iter().chain(past).filter(fits).collect::<Vec<f64>>()
    };
    let all =
        moves(0).into_iter().flat_map(|x| moves(1).into_iter().map(move |y| Vector::new(x, y)));
    let best = all.filter(|by| is_free(*by)).min_by(|a, b| (a.x + a.y).total_cmp(&(b.x + b.y)));
    best.map_or(placement, |by| Placement::translation(by.x, by.y) * placement)
}

/// A program whose cuts stay off the clamps, with every rapid at the height that the machine goes
/// at, led round the clamps or lifted over them, and begun and ended clear of them. Where the
/// program has a clamp zone, no rapid crosses that either, for a clamp may stand in it.
///
/// # Errors
/// The refusals, each with the clamp: it stands off the stock, in the cutter's way, or leaves a
/// rapid no way.
pub(super) fn kept_clear(
    program: Program,
    clamps: &[ClampBox],
    machine: &Machine,
) -> Result<Program, Refusals> {
    let refusals =
        [beside_stock(clamps, &program.stock), in_the_cut(&program, clamps, machine)].concat();
    if !refusals.is_empty() {
        return Err(refusals.into());
    }
    let program = program.begun_from_above(machine);
    let is_led = !clamps.is_empty() || program.clamp_zone.is_some();
    if !is_led && !travels::are_named(machine) {
        return Ok(program);
    }
    let straight = across(&program.steps);
    let raised = travels::raised(program, clamps, machine)?;
    let steps = match is_led {
        true => Walk::new(&raised, clamps, machine).led()?,
        false => raised.steps.clone(),
    };
    let longer = across(&steps) - straight;
    let rapid_bound_mm = raised.rapid_bound_mm.map(|(is, least)| (is + longer, least));
    Ok(Program { clamps: clamps.to_vec(), rapid_bound_mm, ..raised }.with_steps(steps, machine))
}

/// The clamps as they stand in the stock frame of a set-up, in their order.
pub(super) fn standing(program: &Program, clamps: &[ClampBox], setup: usize) -> Vec<Bounds> {
    let shift = program.setups[setup];
    let back = Placement::translation(-shift.x, -shift.y);
    clamps.iter().map(|clamp| clamp.standing(&program.stock).placed(&back)).collect()
}

/// What clamps in a program's clamp zone take: the zone, and beyond each edge of the stock that it
/// comes near to what holds them there, where the program does not cut.
pub fn clamps_on_piece(program: &Program, machine: &Machine) -> Option<Bounds> {
    let zone = program.clamp_zone?;
    let standing = ClampBox { place: zone, height: None }.standing(&program.stock);
    let reach = machine.tool_radius().as_mm() + FROM_CLAMP_MM - ROUNDING_MM;
    let is_cut = |place: &Bounds| {
        program.steps.iter().any(|step| match step {
            Step::Cut { segment, .. } => is_near(segment, place, reach),
            _ => false,
        })
    };
    let mut taken = zone;
    for beyond in beyond_edges(zone, standing).into_iter().filter(|place| !is_cut(place)) {
        taken = taken.joined(beyond);
    }
    Some(taken)
}

/// What a box has beyond another on each of its four sides, as wide as that; of no size where it
/// has nothing there.
fn beyond_edges(inner: Bounds, outer: Bounds) -> [Bounds; 4] {
    let (low, high) = (inner.min, inner.max);
    [
        (Point::new(outer.min.x, low.y), Point::new(low.x, high.y)),
        (Point::new(high.x, low.y), Point::new(outer.max.x, high.y)),
        (Point::new(low.x, outer.min.y), Point::new(high.x, low.y)),
        (Point::new(low.x, high.y), Point::new(high.x, outer.max.y)),
    ]
    .map(|(min, max)| Bounds { min, max })
}

/// The clamps that the tool cuts, each at the first place.
fn in_the_cut(program: &Program, clamps: &[ClampBox], machine: &Machine) -> Vec<Finding> {
    let reach = machine.tool_radius().as_mm() + FROM_CLAMP_MM - ROUNDING_MM;
    let mut hit: Vec<Option<Point>> = vec![None; clamps.len()];
    let mut setup = 0;
    let mut boxes = standing(program, clamps, setup);
    for step in &program.steps {
        match step {
            Step::Stop(_) => {
                setup += 1;
                boxes = standing(program, clamps, setup);
            }
            Step::Cut { segment, .. } => {
                let near = |place: &Bounds| is_near(segment, place, reach);
                for (i, _) in boxes.iter().enumerate().filter(|(_, place)| near(place)) {
                    hit[i].get_or_insert(nearest_point(segment, &boxes[i]));
                }
            }
            _ => {}
        }
    }
    let told = hit.iter().enumerate().filter_map(|(i, at)| Some((i, (*at)?)));
    told.map(|(i, at)| cut_clamp(program, i, clamps[i].place, at)).collect()
}

/// Of a few points of a segment the one nearest to a box.
fn nearest_point(segment: &Segment, place: &Bounds) -> Point {
    let at = |i: u32| segment.point_at(f64::from(i) / 32.0);
    let all = (0..=32).map(at);
    all.min_by(|a, b| place.distance(*a).total_cmp(&place.distance(*b)))
        .expect("a segment has points")
}

fn cut_clamp(program: &Program, i: usize, place: Bounds, at: Point) -> Finding {
    let ([x, y], off) = (tape(at), Length::mm(FROM_CLAMP_MM));
    let to_do = match program.clamp_zone {
        Some(zone) => ClampGoes::OnPiece(rectangle(zone), off),
        None => ClampGoes::Off(off),
    };
    codes::ClampInCut { clamp: rectangle(place), x, y, to_do }.at(named(i))
}

/// Whether any point of a segment is nearer to a box than `reach`; an arc as chords.
fn is_near(segment: &Segment, place: &Bounds, reach: f64) -> bool {
    if !segment.bounds().touches(place.grown(reach)) {
        return false;
    }
    let count = match segment {
        Segment::Line { .. } => 1,
        Segment::Arc { .. } => {
            let half = (1.0 - CHORD_MM / segment.radius().max(CHORD_MM)).acos();
            (segment.sweep().abs() / (2.0 * half)).ceil().clamp(1.0, 1000.0) as usize
        }
    };
    let at = |i: usize| segment.point_at(i as f64 / count as f64);
    (0..count).any(|i| {
        let (from, to) = (at(i), at(i + 1));
        let chord = Segment::Line { from, to };
        let corners = super::aside::corners(place);
        super::aside::crosses(from, to, place)
            || [from, to].iter().any(|p| place.distance(*p) < reach)
            || corners.iter().any(|corner| distance_to_segment(*corner, &chord) < reach)
    })
}

/// How far the rapids across of steps go, in mm, from X0 Y0.
fn across(steps: &[Step]) -> f64 {
    let (mut at, mut sum) = (Point::origin(), 0.0);
    for step in steps {
        match step {
            Step::RapidXy(to) => {
                sum += (to - at).norm();
                at = *to;
            }
            Step::Cut { segment, .. } => at = segment.to(),
            _ => {}
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Turn;

    #[test]
    fn an_arc_is_near_where_it_comes_by_and_nowhere_else() {
        let arc = Segment::Arc {
            from: Point::new(100.0, 0.0),
            to: Point::new(-100.0, 0.0),
            center: Point::origin(),
            turn: Turn::Left,
        };
        let at =
            |x: f64, y: f64| Bounds { min: Point::new(x, y), max: Point::new(x + 1.0, y + 1.0) };
        for (x, y, near) in [
            (-0.5, 100.5, true),
            (-0.5, 98.0, true),
            (71.0, 71.0, true),
            (-0.5, 103.0, false),
            (-0.5, 50.0, false),
            (73.0, 73.0, false),
        ] {
            assert_eq!(is_near(&arc, &at(x, y), 1.0), near, "{x} {y}");
        }
    }
}
