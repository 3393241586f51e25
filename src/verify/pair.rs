//! Two segments: where one lies within a reach of the other, and how near they come. Closed form on
//! lines and arcs.

use std::f64::consts::{PI, TAU};

use crate::geometry::{Point, Segment, Vector, cross, distance_to_segment};

/// Places on a segment, as shares of its length.
struct Shares<'a> {
    on: &'a Segment,
    /// Start angle, radius and sweep of an arc.
    arc: Option<(Point, f64, f64, f64)>,
    found: [f64; 16],
    count: usize,
}

impl<'a> Shares<'a> {
    fn of(on: &'a Segment) -> Self {
        let arc = match *on {
            Segment::Line { .. } => None,
            Segment::Arc { from, center, .. } => {
                let out = from - center;
                Some((center, out.norm(), out.y.atan2(out.x), on.sweep()))
            }
        };
        Shares { on, arc, found: [0.0; 16], count: 0 }
    }

    fn add(&mut self, share: f64) {
        if share > 0.0 && share < 1.0 && self.count < self.found.len() {
            self.found[self.count] = share;
            self.count += 1;
        }
    }

    fn add_angle(&mut self, angle: f64) {
        if let Some((_, _, start, sweep)) = self.arc {
            let ahead = ((angle - start) * sweep.signum()).rem_euclid(TAU);
            self.add(ahead / sweep.abs());
        }
    }

    fn sorted(&mut self) -> &[f64] {
        let found = &mut self.found[..self.count];
        found.sort_unstable_by(f64::total_cmp);
        found
    }

    /// Where the segment crosses a circle.
    fn cross_circle(&mut self, center: Point, radius: f64) {
        match (*self.on, self.arc) {
            (Segment::Arc { .. }, Some((own, own_radius, _, _))) => {
                let between = center - own;
                let apart = between.norm();
                let cosine = (own_radius * own_radius + apart * apart - radius * radius)
                    / (2.0 * own_radius * apart);
                if cosine.abs() <= 1.0 {
                    let (toward, off) = (between.y.atan2(between.x), cosine.acos());
                    self.add_angle(toward - off);
                    self.add_angle(toward + off);
                }
            }
            (line, _) => {
                let (along, out) = (line.to() - line.from(), line.from() - center);
                let (a, b, c) =
                    (along.norm_squared(), out.dot(&along), out.norm_squared() - radius * radius);
                let discriminant = b * b - a * c;
                if a > 0.0 && discriminant >= 0.0 {
                    let root = discriminant.sqrt();
                    self.add((-b - root) / a);
                    self.add((-b + root) / a);
                }
            }
        }
    }

    /// Where the segment crosses the line of points whose product with the unit `normal` is
    /// `level`.
    fn cross_line(&mut self, normal: Vector, level: f64) {
        match self.arc {
            Some((own, radius, _, _)) => {
                let cosine = (level - normal.dot(&own.coords)) / radius;
                if cosine.abs() <= 1.0 {
                    let (toward, off) = (normal.y.atan2(normal.x), cosine.acos());
                    self.add_angle(toward - off);
                    self.add_angle(toward + off);
                }
            }
            None => {
                let (start, end) =
                    (normal.dot(&self.on.from().coords), normal.dot(&self.on.to().coords));
                if (end - start).abs() > 0.0 {
                    self.add((level - start) / (end - start));
                }
            }
        }
    }
}

/// The share of `segment` nearest to `p`.
pub(super) fn nearest_share(segment: &Segment, p: Point) -> f64 {
    match *segment {
        Segment::Line { from, to } => {
            let along = to - from;
            let squared = along.norm_squared();
            if squared > 0.0 { ((p - from).dot(&along) / squared).clamp(0.0, 1.0) } else { 0.0 }
        }
        Segment::Arc { from, to, center, .. } => {
            let out = p - center;
            let mut shares = Shares::of(segment);
            shares.add_angle(out.y.atan2(out.x));
            match shares.found[..shares.count].first() {
                Some(&share) => share,
                None if (p - from).norm() <= (p - to).norm() => 0.0,
                None => 1.0,
            }
        }
    }
}

fn unit_normal(line: &Segment) -> Option<Vector> {
    let along = line.to() - line.from();
    let length = along.norm();
    (length > 0.0).then(|| Vector::new(-along.y, along.x) / length)
}

/// Whether a line lies within `reach` of a line all along, as both of its ends do: what is that
/// near to a line is convex. Quicker than [`cover`], and most strokes lie where one stroke was
/// wanted.
pub(super) fn whole(edge: &Segment, piece: &Segment, reach: f64) -> bool {
    let is_near = |p: Point| distance_to_segment(p, piece) <= reach;
    match (edge, piece) {
        (Segment::Line { from, to }, Segment::Line { .. }) => is_near(*from) && is_near(*to),
        _ => false,
    }
}

/// Adds to `covered` the stretches of `edge`, as shares, that lie within `reach` of `piece`. The
/// border of that neighbourhood consists of parallels of the piece and circles about its ends, so
/// between two crossings of those the edge is wholly in or wholly out: its middle decides.
pub(super) fn cover(edge: &Segment, piece: &Segment, reach: f64, covered: &mut Vec<(f64, f64)>) {
    let mut shares = Shares::of(edge);
    shares.cross_circle(piece.from(), reach);
    shares.cross_circle(piece.to(), reach);
    match *piece {
        Segment::Line { from, .. } => {
            if let Some(normal) = unit_normal(piece) {
                let level = normal.dot(&from.coords);
                shares.cross_line(normal, level - reach);
                shares.cross_line(normal, level + reach);
            }
        }
        Segment::Arc { from, center, .. } => {
            let radius = (from - center).norm();
            shares.cross_circle(center, radius + reach);
            if radius > reach {
                shares.cross_circle(center, radius - reach);
            }
        }
    }
    let mut start = 0.0;
    let crossings = shares.sorted();
    for end in crossings.iter().copied().chain([1.0]) {
        if distance_to_segment(edge.point_at((start + end) / 2.0), piece) <= reach {
            covered.push((start, end));
        }
        start = end;
    }
}

/// What `covered` leaves of the stretch from 0 to 1; gaps shorter than `ignore` are not told.
pub(super) fn gaps(covered: &mut [(f64, f64)], ignore: f64) -> Vec<(f64, f64)> {
    covered.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let (mut reached, mut gaps) = (0.0, Vec::new());
    for &mut (start, end) in covered {
        if start.min(1.0) > reached + ignore {
            gaps.push((reached, start.min(1.0)));
        }
        reached = f64::max(reached, end);
    }
    if 1.0 > reached + ignore {
        gaps.push((reached, 1.0));
    }
    gaps
}

/// The least distance between two segments, and the share of `edge` where it is.
///
/// The nearest points are ends, crossings, or points where the joining line is square to both.
pub(super) fn least_distance(edge: &Segment, piece: &Segment) -> (f64, f64) {
    let mut shares = Shares::of(edge);
    match (*edge, *piece) {
        (_, Segment::Line { from, .. }) => {
            if let Some(normal) = unit_normal(piece) {
                shares.cross_line(normal, normal.dot(&from.coords));
                let square = normal.y.atan2(normal.x);
                shares.add_angle(square);
                shares.add_angle(square + PI);
            }
        }
        (Segment::Line { .. }, Segment::Arc { from, center, .. }) => {
            shares.cross_circle(center, (from - center).norm());
            shares.add(nearest_share(edge, center));
        }
        (Segment::Arc { center: own, .. }, Segment::Arc { from, center, .. }) => {
            shares.cross_circle(center, (from - center).norm());
            let between = (center - own).y.atan2((center - own).x);
            shares.add_angle(between);
            shares.add_angle(between + PI);
        }
    }
    let ends = [0.0, 1.0, nearest_share(edge, piece.from()), nearest_share(edge, piece.to())];
    let found = &shares.found[..shares.count];
    let distance = |share: f64| (distance_to_segment(edge.point_at(share), piece), share);
    let nearer = |a: (f64, f64), b: (f64, f64)| if b.0 < a.0 { b } else { a };
    found.iter().chain(&ends).map(|&share| distance(share)).fold((f64::INFINITY, 0.0), nearer)
}

/// Whether `p` lies between an arc of at most half a turn and its chord; never for a line.
pub(super) fn in_cap(arc: &Segment, p: Point) -> bool {
    let Segment::Arc { from, to, center, turn } = *arc else { return false };
    // A left turn bulges to the right of its chord.
    cross(to - from, p - from) * turn.sign() < 0.0 && (p - center).norm() < arc.radius()
}

#[cfg(test)]
mod tests {
    use super::super::farthest::Farthest;
    use super::super::shape::Shape;
    use super::*;
    use crate::geometry::Turn;

    /// Small numbers without a pattern, from -2 to 2.
    struct Numbers(u64);

    impl Numbers {
        fn next(&mut self) -> f64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1_u64 << 53) as f64 * 4.0 - 2.0
        }

        fn point(&mut self) -> Point {
            Point::new(self.next(), self.next())
        }

        fn segment(&mut self) -> Segment {
            let (from, to, bulge) = (self.point(), self.point(), self.next() / 2.0);
            if bulge < -0.1 {
                Segment::Line { from, to }
            } else {
                Segment::from_bulge(from, to, bulge)
            }
        }
    }

    /// The least or greatest value of `value` over the shares of a segment: a fine grid, refined
    /// about its best place.
    fn sampled(value: impl Fn(f64) -> f64, better: impl Fn(f64, f64) -> bool) -> f64 {
        let (mut low, mut high, mut best) = (0.0, 1.0, value(0.0));
        for _ in 0..4 {
            let step = (high - low) / 1000.0;
            let mut at = low;
            for i in 0..=1000 {
                let share = low + step * f64::from(i);
                if better(value(share), best) {
                    (best, at) = (value(share), share);
                }
            }
            (low, high) = (f64::max(0.0, at - step), f64::min(1.0, at + step));
        }
        best
    }

    #[test]
    fn the_least_distance_agrees_with_sampling() {
        let mut numbers = Numbers(3);
        for _ in 0..60 {
            let (a, b) = (numbers.segment(), numbers.segment());
            let exact = least_distance(&a, &b).0;
            let rough =
                sampled(|share| distance_to_segment(a.point_at(share), &b), |new, best| new < best);
            assert!((exact - rough).abs() < 1e-4, "{exact} {rough} {a:?} {b:?}");
            assert!(exact <= rough + 1e-9);
        }
    }

    #[test]
    fn the_farthest_point_agrees_with_sampling() {
        let mut numbers = Numbers(11);
        for _ in 0..20 {
            let pieces: Vec<Segment> = (0..6).map(|_| numbers.segment()).collect();
            let edge = numbers.segment();
            let distance = |share: f64| {
                let p = edge.point_at(share);
                pieces
                    .iter()
                    .map(|piece| distance_to_segment(p, piece))
                    .fold(f64::INFINITY, f64::min)
            };
            let rough = sampled(distance, |new, best| new > best);
            let shape = Shape::new(pieces.clone());
            let exact = Farthest::new(&shape).at_least(&edge, 0.0).unwrap();
            assert!((exact - rough).abs() < 1e-4, "{exact} {rough}");
        }
    }

    #[test]
    fn what_is_covered_is_near_and_what_is_not_is_far() {
        let mut numbers = Numbers(29);
        for _ in 0..100 {
            let (edge, piece) = (numbers.segment(), numbers.segment());
            let reach = numbers.next().abs() + 0.01;
            let mut covered = Vec::new();
            cover(&edge, &piece, reach, &mut covered);
            let gaps = gaps(&mut covered, 0.0);
            for i in 0..=100 {
                let share = f64::from(i) / 100.0;
                let off = distance_to_segment(edge.point_at(share), &piece) - reach;
                let in_gap = gaps.iter().any(|(a, b)| *a <= share && share <= *b);
                assert!(off.abs() < 1e-9 || in_gap == (off > 0.0), "{off} at {share}");
            }
        }
    }

    #[test]
    fn a_cap_lies_between_arc_and_chord() {
        let (from, to) = (Point::new(1.0, 0.0), Point::new(0.0, 1.0));
        let arc = Segment::Arc { from, to, center: Point::origin(), turn: Turn::Left };
        assert!(in_cap(&arc, Point::new(0.6, 0.6)));
        assert!(!in_cap(&arc, Point::new(0.3, 0.3)) && !in_cap(&arc, Point::new(0.9, 0.9)));
        assert!(in_cap(&arc.reversed(), Point::new(0.6, 0.6)));
    }
}
