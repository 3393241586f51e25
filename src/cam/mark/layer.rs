//! What is marked on a layer of a glued stringer, and the holes that bring the layers over each
//! other.

use super::hole::Hole;
use super::layout::clearance;
use crate::diagnostics::{Figure, Outcome, Refusals, Warned, codes};
use crate::geometry::stroke_font;
use crate::geometry::{Contour, Point, Vector, corners, distance_to_segment};
use crate::stair::outline::Role;
use crate::units::Length;

/// Marks and holes of one layer, in the board frame.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerMarks {
    /// The strokes of its letter and its title.
    pub strokes: Vec<Vec<Point>>,
    /// The dowel holes, the same in every layer.
    pub holes: Vec<Hole>,
}

/// The height of letters where there is room, in mm (common practice, no source).
const FULL_HEIGHT_MM: f64 = 12.0;
/// Letters as a share of the strip that they stand in.
const OF_STRIP: f64 = 0.3;
/// Wood round a dowel hole, in its diameters (common practice, no source).
const ROUND_HOLE: f64 = 1.5;
/// A hole is wide enough for the tool to go round in if it is this much wider, in mm: a
/// thirty-second of an inch. In a narrower one a ramp goes round hundreds of times.
const WIDER_MM: f64 = 0.79;

/// How a tool makes round holes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bores {
    /// Round by round, and straight down where a hole is as wide as the tool: a cutter.
    RoundOrStraight,
    /// Only by going round: a beam.
    Round,
}
/// From one tried place to the next, in mm.
const STEP_MM: f64 = 5.0;

/// The marks of layer `letter`: its letter and the title in the strip that no notch reaches, and
/// two dowel holes as far apart as they go.
///
/// # Errors
/// If the tool does not fit into the holes, or no two of them find room.
pub fn layer_marks(
    piece: &Contour<Role>,
    letter: char,
    title: &str,
    dowel: Length,
    (tool_radius, bores): (Length, Bores),
    stroke_width: Length,
) -> Outcome<LayerMarks> {
    let just = Hole { center: Point::origin(), radius: dowel / 2.0 };
    let is_bored = bores == Bores::RoundOrStraight && just.is_as_wide_as(tool_radius);
    if !is_bored && dowel.as_mm() < 2.0 * tool_radius.as_mm() + WIDER_MM {
        let tool = tool_radius * 2.0;
        let limit = tool + Length::mm(WIDER_MM);
        return Err(codes::DowelTooSmall { measured: dowel, limit, tool }.at("cut.dowel").into());
    }
    let strip = strip(piece);
    let holes = holes(piece, strip, dowel).ok_or_else(|| {
        let round = Figure { value: ROUND_HOLE, unit: "", digits: 1 };
        Refusals::from(codes::NoDowelRoom { dowel, round }.at(format!("layer {letter}")))
    })?;
    let clear = clearance(tool_radius, stroke_width);
    let height = (strip.height * OF_STRIP).min(FULL_HEIGHT_MM);
    let between = (holes[1].center.x - holes[0].center.x).abs() - dowel.as_mm() - 2.0 * clear;
    let words = [format!("{letter}  {title}"), letter.to_string()];
    let can_be_marked = |words: &String| {
        stroke_font::check(words).is_ok() && stroke_font::width(words, height) <= between
    };
    let strokes = words.into_iter().find(can_be_marked).map(|words| {
        let middle = nalgebra::center(&holes[0].center, &holes[1].center);
        let at = middle - Vector::new(stroke_font::width(&words, height) / 2.0, height / 2.0);
        let drawn = stroke_font::strokes(&words, height)
            .expect("every character was found to have a letter");
        drawn
            .into_iter()
            .map(|stroke| stroke.into_iter().map(|p| at + p.coords).collect())
            .collect()
    });
    // A strip too narrow for its letter is not lettered.
    Ok(Warned::plain(LayerMarks { strokes: strokes.unwrap_or_default(), holes }))
}

/// The strip along the back that no notch reaches: from and to along the board, and how high.
#[derive(Clone, Copy)]
struct Strip {
    from: f64,
    to: f64,
    height: f64,
}

fn strip(piece: &Contour<Role>) -> Strip {
    let bounds = piece.bounds();
    let notches = corners(piece).into_iter().filter(|corner| {
        corner.is_inside() && !matches!(corner.after, Role::PlateNotch | Role::HeadNotch)
    });
    let height = notches.map(|corner| corner.at.y - bounds.min.y).fold(bounds.height(), f64::min);
    Strip { from: bounds.min.x, to: bounds.max.x, height }
}

/// The two holes nearest to the strip's ends that have wood enough round them.
fn holes(piece: &Contour<Role>, strip: Strip, dowel: Length) -> Option<Vec<Hole>> {
    let keep = dowel.as_mm() * (0.5 + ROUND_HOLE);
    let y = piece.bounds().min.y + strip.height / 2.0;
    let count = ((strip.to - strip.from) / STEP_MM) as usize;
    let has_room = |x: &f64| {
        let p = Point::new(*x, y);
        let inside = piece.bounds().min.x < *x && *x < piece.bounds().max.x;
        inside
            && piece.holds(p)
            && piece.edges().iter().all(|edge| distance_to_segment(p, &edge.segment) >= keep)
    };
    let mut places = (0..=count).map(|i| strip.from + STEP_MM * i as f64).filter(has_room);
    let first = places.next()?;
    let last = places.next_back()?;
    let apart = last - first >= 4.0 * dowel.as_mm();
    let hole = |x| Hole { center: Point::new(x, y), radius: dowel / 2.0 };
    apart.then(|| vec![hole(first), hole(last)])
}
