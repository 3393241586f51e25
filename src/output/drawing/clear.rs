//! Lines that make way for texts, and texts that keep off what cannot.

use crate::geometry::{Bounds, Point, Vector};
use crate::output::page::{Item, Line, Path, Text};

/// Paper left free round a text, in mm.
pub(super) const ROOM_MM: f64 = 0.5;
/// What a text that looks for a place keeps off other texts, edges and arrowheads, in mm.
const APART_MM: f64 = 0.8;
/// What each place further down the list costs, in mm of lines that a better one breaks.
const NEXT_MM: f64 = 4.0;
/// What a text costs that stands in the way, in the same measure.
const TAKEN_MM: f64 = 1e6;
/// A piece of a line no longer than this is not drawn, in mm.
const LEAST_MM: f64 = 0.3;

/// The paper that a text takes.
pub(super) fn room(text: &Text) -> Bounds {
    text.bounds().grown(ROOM_MM)
}

/// Whether a line ends where a text stands.
fn makes_way(line: Line) -> bool {
    match line {
        Line::VisibleEdge | Line::Rule => false,
        Line::Dimension | Line::Hidden | Line::Centre | Line::Adjacent => true,
    }
}

/// A line without what runs through any of the boxes.
pub(super) fn broken(item: Item, boxes: &[Bounds]) -> Vec<Item> {
    let Item::Stroke { path, line } = &item else { return vec![item] };
    if !makes_way(*line) {
        return vec![item];
    }
    let points = path.points();
    let hit: Vec<Bounds> = boxes
        .iter()
        .copied()
        .filter(|of| points.windows(2).any(|pair| inside(pair[0], pair[1], *of).is_some()))
        .collect();
    if hit.is_empty() {
        return vec![item];
    }
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    for pair in points.windows(2) {
        for (from, to) in outside(pair[0], pair[1], &hit) {
            match pieces.last_mut() {
                Some(piece) if (piece[piece.len() - 1] - from).norm() < 1e-9 => piece.push(to),
                _ => pieces.push(vec![from, to]),
            }
        }
    }
    let long = |piece: &Vec<Point>| {
        piece.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum::<f64>() > LEAST_MM
    };
    let stroke = |points| Item::Stroke { path: Path::Open(points), line: *line };
    pieces.into_iter().filter(long).map(stroke).collect()
}

/// Whether something of a line lies in a window.
pub(in crate::output) fn passes(item: &Item, window: Bounds) -> bool {
    !within(item, window).is_empty()
}

/// A line as far as it lies in a window; fills are left out.
pub(super) fn within(item: &Item, window: Bounds) -> Vec<Item> {
    let Item::Stroke { path, line } = item else { return Vec::new() };
    let clipped = |pair: &[Point]| {
        let along: Vector = pair[1] - pair[0];
        let (enter, leave) = inside(pair[0], pair[1], window)?;
        Some(Item::line(pair[0] + along * enter, pair[0] + along * leave, *line))
    };
    path.points().windows(2).filter_map(clipped).collect()
}

/// The shares of a straight line between which it lies in a box, by clipping it.
pub(in crate::output) fn inside(from: Point, to: Point, of: Bounds) -> Option<(f64, f64)> {
    let along: Vector = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let (low, high) = (of.min[axis] - from[axis], of.max[axis] - from[axis]);
        if along[axis].abs() < 1e-12 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
            continue;
        }
        let (a, c) = (low / along[axis], high / along[axis]);
        enter = enter.max(a.min(c));
        leave = leave.min(a.max(c));
    }
    (enter < leave).then_some((enter, leave))
}

/// What of a straight line lies in none of the boxes.
fn outside(from: Point, to: Point, boxes: &[Bounds]) -> Vec<(Point, Point)> {
    let along = to - from;
    let mut taken: Vec<(f64, f64)> = boxes.iter().filter_map(|of| inside(from, to, *of)).collect();
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut pieces, mut at) = (Vec::new(), 0.0_f64);
    for (enter, leave) in taken {
        if enter > at {
            pieces.push((at, enter));
        }
        at = at.max(leave);
    }
    if at < 1.0 {
        pieces.push((at, 1.0));
    }
    pieces.into_iter().map(|(a, b)| (from + along * a, from + along * b)).collect()
}

/// Everything that a text can lie on, once for all that look for a place.
pub(super) struct Taken {
    /// The straight pieces of lines, whether they make way, and the box of each line.
    lines: Vec<(Bounds, bool, Vec<Point>)>,
    fills: Vec<Bounds>,
    texts: Vec<Bounds>,
    /// Where texts may stand.
    room: Bounds,
}

impl Taken {
    pub(super) fn of(items: &[Item], texts: &[Text], room: Bounds) -> Self {
        let mut taken = Self { lines: Vec::new(), fills: Vec::new(), texts: Vec::new(), room };
        for item in items {
            let Some(bounds) = item.bounds() else { continue };
            match item {
                Item::Stroke { path, line } => {
                    taken.lines.push((bounds, makes_way(*line), path.points()));
                }
                Item::Fill { .. } => taken.fills.push(bounds),
            }
        }
        texts.iter().for_each(|text| taken.add(text));
        taken
    }

    fn add(&mut self, text: &Text) {
        self.texts.push(text.bounds());
    }

    /// Of several places for some texts the one that breaks the least; where all are taken, one
    /// round the first, and at last the one where the fewest stand in the way.
    pub(super) fn best(&mut self, places: &[Vec<Text>]) -> Vec<Text> {
        let rated = |places: &[Vec<Text>]| {
            let costs = places.iter().enumerate().map(|(i, place)| {
                let next = NEXT_MM * i as f64;
                (self.cost(place) + next, i)
            });
            costs.min_by(|a, b| a.0.total_cmp(&b.0))
        };
        let Some((cost, i)) = rated(places) else { return Vec::new() };
        let mut chosen = places[i].clone();
        if cost >= TAKEN_MM {
            let round: Vec<Vec<Text>> = rings().map(|by| moved(&places[0], by)).collect();
            if let Some((_, i)) = rated(&round).filter(|(round, _)| *round < cost) {
                chosen.clone_from(&round[i]);
            }
        }
        chosen.iter().for_each(|text| self.add(text));
        chosen
    }

    /// How much of the lines that make way some texts break, in mm, and what stands in their way.
    fn cost(&self, place: &[Text]) -> f64 {
        place.iter().map(|text| self.cost_of(text.bounds().grown(APART_MM))).sum()
    }

    fn cost_of(&self, of: Bounds) -> f64 {
        let on_some = |boxes: &[Bounds]| boxes.iter().any(|other| overlap(*other, of));
        if !holds(self.room, of) || on_some(&self.texts) || on_some(&self.fills) {
            return TAKEN_MM;
        }
        let mut broken = 0.0;
        for (bounds, makes_way, points) in &self.lines {
            if !overlap(*bounds, of) {
                continue;
            }
            let through = |pair: &[Point]| {
                let (enter, leave) = inside(pair[0], pair[1], of)?;
                Some((leave - enter) * (pair[1] - pair[0]).norm())
            };
            let length: f64 = points.windows(2).filter_map(through).sum();
            if length > 0.0 && !makes_way {
                return TAKEN_MM;
            }
            broken += length;
        }
        broken
    }
}

/// Steps away in all directions, the shortest first, in paper mm.
fn rings() -> impl Iterator<Item = Vector> {
    (1..=30).flat_map(|ring| {
        (0..16).map(move |i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::PI / 8.0).sin_cos();
            Vector::new(cos, sin) * (3.0 * f64::from(ring))
        })
    })
}

fn moved(texts: &[Text], by: Vector) -> Vec<Text> {
    texts.iter().map(|text| Text { at: text.at + by, ..text.clone() }).collect()
}

fn holds(room: Bounds, of: Bounds) -> bool {
    room.min.x <= of.min.x
        && room.min.y <= of.min.y
        && of.max.x <= room.max.x
        && of.max.y <= room.max.y
}

pub(super) fn overlap(a: Bounds, b: Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}
