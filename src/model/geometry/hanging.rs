//! What of a cut plate hangs on what holds it still, and what comes loose: by webs of a least
//! width.
//!
//! A cut only takes material away, so that with the same hold the end of a program is its worst
//! moment: what hangs together then did so at every moment before.

use super::remains::{Part, Parts, Remains};
use super::{Bounds, Point, Segment};

/// What holds the plate still.
#[derive(Clone, Copy, Debug)]
pub enum Anchor<'a> {
    /// Clamps: what lies under these boxes.
    Under(&'a [Bounds]),
    /// The largest part that comes to the plate's edge.
    Edge,
    /// The bodies themselves.
    Bodies,
}

/// A plate and what is cut through it.
#[derive(Clone, Copy, Debug)]
pub struct Cutting<'a> {
    /// The plate.
    pub plate: Bounds,
    /// The ways of the tool's centre where it goes through.
    pub ways: &'a [Segment],
    /// The tool's radius, in mm.
    pub radius: f64,
    /// The same of another tool that was there before, if one was.
    pub before: Option<(&'a [Segment], f64)>,
    /// What is made, each a closed ring; what stays inside one is one body, however thin a part of
    /// it is.
    pub bodies: &'a [Vec<Segment>],
    /// What holds the plate.
    pub anchor: Anchor<'a>,
    /// The least width of wood that holds, in mm.
    pub web: f64,
    /// Waste up to this area in square millimetres is not looked at.
    pub crumb: f64,
}

/// A stretch of plate that hangs together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    /// Its area in square millimetres.
    pub area: f64,
    /// The box around it.
    pub bounds: Bounds,
    /// A point well inside it.
    pub within: Point,
}

/// How a stretch of waste comes loose.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Loose {
    /// Cut free all round.
    Free,
    /// It hangs by less wood than the least width.
    ByThinWood,
}

/// What hangs and what does not.
#[derive(Clone, Debug)]
pub struct Hanging {
    /// All that hangs together by any wood at all and is larger than a crumb, bodies included, and
    /// whether it hangs on what holds the plate.
    pub parts: Vec<(Piece, bool)>,
    /// Whether each body hangs on what holds the plate.
    pub bodies: Vec<bool>,
    /// The waste that does not, larger than a crumb.
    pub loose: Vec<(Piece, Loose)>,
}

impl Cutting<'_> {
    /// What hangs and what does not; `None` where that would be endless work.
    pub fn hanging(&self) -> Option<Hanging> {
        let (wood, whole) = rayon::join(|| self.remains(self.web), || self.remains(0.0));
        let (wood, whole) = (wood?, whole?);
        let held = match self.anchor {
            Anchor::Bodies => {
                let own: Vec<usize> =
                    self.bodies.iter().filter_map(|ring| wood.within(ring)).collect();
                marked(wood.all().len(), &own)
            }
            other => held_parts(&wood, other, self.web),
        };
        let body_parts = |parts: &Parts| -> Vec<Option<usize>> {
            self.bodies.iter().map(|ring| parts.within(ring)).collect()
        };
        let (in_wood, in_whole) = (body_parts(&wood), body_parts(&whole));
        let mut loose = Vec::new();
        let mut hangs = vec![false; whole.all().len()];
        for (part, _) in wood.all().iter().zip(&held).filter(|(_, held)| **held) {
            whole.at(part.within).into_iter().for_each(|at| hangs[at] = true);
        }
        for (i, part) in whole.all().iter().enumerate() {
            if !hangs[i] && part.area > self.crumb && !in_whole.contains(&Some(i)) {
                loose.push((piece(part, 0.0), Loose::Free));
            }
        }
        for (i, part) in wood.all().iter().enumerate() {
            let in_held = whole.at(part.within).is_some_and(|at| hangs[at]);
            let stretch = piece(part, self.web);
            if !held[i] && in_held && stretch.area > self.crumb && !in_wood.contains(&Some(i)) {
                loose.push((stretch, Loose::ByThinWood));
            }
        }
        let bodies = in_wood.iter().map(|part| part.is_some_and(|part| held[part])).collect();
        let large = whole.all().iter().zip(&hangs).filter(|(part, _)| part.area > self.crumb);
        let parts = large.map(|(part, hangs)| (piece(part, 0.0), *hangs)).collect();
        Some(Hanging { parts, bodies, loose })
    }

    /// What stays where a margin of half a web is taken off everything.
    fn remains(&self, web: f64) -> Option<Parts> {
        let own = Some((self.ways, self.radius));
        let cuts: Vec<(&[Segment], f64)> = own
            .into_iter()
            .chain(self.before)
            .map(|(ways, radius)| (ways, radius + web / 2.0))
            .collect();
        let mut remains = Remains::of_each(self.plate.grown(-web / 2.0), &cuts)?;
        self.bodies.iter().for_each(|ring| remains.hold_together(ring));
        Some(remains.parts())
    }
}

/// Which parts what holds the plate holds itself, where half of a web in mm was taken off all
/// round; bodies are not known here.
pub fn held_parts(wood: &Parts, anchor: Anchor<'_>, web: f64) -> Vec<bool> {
    let all = wood.all();
    let holding: Vec<usize> = match anchor {
        Anchor::Bodies => Vec::new(),
        Anchor::Under(boxes) => {
            boxes.iter().flat_map(|place| wood.under(place.grown(web / 2.0))).collect()
        }
        Anchor::Edge => {
            let edge = (0..all.len()).filter(|&i| all[i].at_edge);
            edge.max_by(|&a, &b| all[a].area.total_cmp(&all[b].area)).into_iter().collect()
        }
    };
    marked(all.len(), &holding)
}

/// Which of so many numbers are among these.
fn marked(count: usize, these: &[usize]) -> Vec<bool> {
    let mut marked = vec![false; count];
    these.iter().for_each(|&i| marked[i] = true);
    marked
}

/// A part with what was taken off round it given back.
fn piece(part: &Part, web: f64) -> Piece {
    Piece { area: part.with_rim(web), bounds: part.bounds.grown(web / 2.0), within: part.within }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLATE: Bounds = Bounds { min: Point::new(0.0, 0.0), max: Point::new(400.0, 300.0) };

    fn line(a: (f64, f64), b: (f64, f64)) -> Segment {
        Segment::Line { from: Point::new(a.0, a.1), to: Point::new(b.0, b.1) }
    }

    /// The sides of a box, the lower one with a gap in its middle.
    fn round(place: [f64; 4], gap: f64) -> Vec<Segment> {
        let [x, y, to_x, to_y] = place;
        let middle = f64::midpoint(x, to_x);
        let mut ways = vec![
            line((to_x, y), (to_x, to_y)),
            line((to_x, to_y), (x, to_y)),
            line((x, to_y), (x, y)),
        ];
        ways.extend([
            line((x, y), (middle - gap / 2.0, y)),
            line((middle + gap / 2.0, y), (to_x, y)),
        ]);
        ways
    }

    fn hanging(ways: &[Segment], bodies: &[Vec<Segment>], anchor: Anchor<'_>) -> Hanging {
        Cutting {
            plate: PLATE,
            ways,
            radius: 3.0,
            before: None,
            bodies,
            anchor,
            web: 6.0,
            crumb: 490.0,
        }
        .hanging()
        .unwrap()
    }

    #[test]
    fn a_body_hangs_by_a_tab_and_not_by_a_thread() {
        let body = vec![round([103.0, 103.0, 297.0, 197.0], 0.0)];
        let told = |gap: f64| {
            hanging(&round([100.0, 100.0, 300.0, 200.0], gap), &body, Anchor::Edge).bodies[0]
        };
        // The round ends of the cut take 3 mm of each side of the gap: 6 mm of web are left by a
        // gap of 12.
        assert!(told(13.2) && !told(11.9) && !told(0.0));
    }

    #[test]
    fn a_frame_sawn_loose_takes_all_it_holds_with_it() {
        let body = vec![round([103.0, 103.0, 297.0, 197.0], 0.0)];
        let mut ways = round([100.0, 100.0, 300.0, 200.0], 20.0);
        assert_eq!(hanging(&ways, &body, Anchor::Edge).bodies, [true]);
        ways.extend(round([60.0, 60.0, 340.0, 240.0], 0.0));
        let sawn = hanging(&ways, &body, Anchor::Edge);
        assert_eq!(sawn.bodies, [false]);
        let clamp = Bounds { min: Point::new(70.0, 70.0), max: Point::new(90.0, 90.0) };
        let clamped = hanging(&ways, &body, Anchor::Under(&[clamp]));
        assert_eq!(clamped.bodies, [true]);
        // What lies outside the second cut is held by nothing then.
        assert_eq!(clamped.loose.len(), 1);
        assert_eq!(clamped.loose[0].1, Loose::Free);
    }

    #[test]
    fn waste_is_told_with_its_area_and_box_where_it_is_larger_than_a_crumb() {
        let free = hanging(&round([100.0, 100.0, 160.0, 150.0], 0.0), &[], Anchor::Edge);
        let [(island, how)] = free.loose[..] else { panic!("{:?}", free.loose) };
        assert_eq!(how, Loose::Free);
        assert!((island.area - 54.0 * 44.0).abs() < 30.0, "{}", island.area);
        assert!(
            (island.bounds.width() - 54.0).abs() < 1.1
                && (island.bounds.height() - 44.0).abs() < 1.1
        );
        let by_a_thread = hanging(&round([100.0, 100.0, 160.0, 150.0], 9.0), &[], Anchor::Edge);
        let [(island, how)] = by_a_thread.loose[..] else { panic!("{:?}", by_a_thread.loose) };
        assert_eq!(how, Loose::ByThinWood);
        assert!((island.area - 54.0 * 44.0).abs() < 150.0, "{}", island.area);
        assert!(
            hanging(&round([100.0, 100.0, 160.0, 150.0], 14.0), &[], Anchor::Edge).loose.is_empty()
        );
        assert!(
            hanging(&round([100.0, 100.0, 127.0, 127.0], 0.0), &[], Anchor::Edge).loose.is_empty()
        );
        assert_eq!(
            hanging(&round([100.0, 100.0, 129.0, 129.0], 0.0), &[], Anchor::Edge).loose.len(),
            1
        );
    }

    #[test]
    fn waste_hangs_on_a_body_that_is_clamped() {
        let body = vec![round([0.0, 0.0, 400.0, 147.0], 0.0)];
        let cut = |gap: f64| {
            let ways = [
                line((-10.0, 150.0), (200.0 - gap / 2.0, 150.0)),
                line((200.0 + gap / 2.0, 150.0), (410.0, 150.0)),
            ];
            hanging(&ways, &body, Anchor::Bodies)
        };
        assert!(cut(20.0).loose.is_empty());
        assert_eq!(cut(0.0).loose.len(), 1);
        assert_eq!(cut(0.0).bodies, [true]);
    }
}
