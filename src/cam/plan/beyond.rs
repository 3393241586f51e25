//! What a program does beyond the edges of what lies on the machine: no fence, stop or clamp may
//! stand there.

use super::program::{Program, Step};
use crate::geometry::{Bounds, Point, Segment};

/// One of the four edges of the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StockEdge {
    /// At X0.
    LowX,
    /// Where the stock ends along X.
    HighX,
    /// At Y0.
    LowY,
    /// Where the stock ends along Y.
    HighY,
}

/// What is done beyond one edge; in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// Which edge.
    pub edge: StockEdge,
    /// How far beyond it the tool comes, its width counted.
    pub far_mm: f64,
    /// The lowest height there, from the stock's top.
    pub lowest_mm: f64,
    /// Where along the edge, from and to, its width counted.
    pub spans_mm: Vec<(f64, f64)>,
}

/// Every so far a way is looked at, in mm.
const LOOK_MM: f64 = 0.5;
/// Less than this beyond an edge is rounding, in mm.
const LEAST_MM: f64 = 0.01;

impl StockEdge {
    const ALL: [Self; 4] = [Self::LowX, Self::HighX, Self::LowY, Self::HighY];

    /// How far a point lies beyond it, and where along it.
    fn place(self, p: Point, (length, width): (f64, f64)) -> (f64, f64) {
        match self {
            Self::LowX => (-p.x, p.y),
            Self::HighX => (p.x - length, p.y),
            Self::LowY => (-p.y, p.x),
            Self::HighY => (p.y - width, p.x),
        }
    }
}

impl Program {
    /// What a tool of a radius in mm does beyond each edge of the stock; edges it stays within are
    /// left out. What a shift brings to lie there is not counted: places are the stock's own.
    pub fn beyond(&self, radius_mm: f64) -> Vec<Beyond> {
        let places = self.places(radius_mm);
        StockEdge::ALL
            .into_iter()
            .filter_map(|edge| self.beyond_edge(edge, &places, radius_mm))
            .collect()
    }

    fn beyond_edge(&self, edge: StockEdge, places: &[(Point, f64)], radius: f64) -> Option<Beyond> {
        let size = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let mut beyond =
            Beyond { edge, far_mm: 0.0, lowest_mm: f64::INFINITY, spans_mm: Vec::new() };
        let mut at: Vec<f64> = Vec::new();
        for (p, z) in places {
            let (out, along) = edge.place(*p, size);
            if out + radius > LEAST_MM {
                beyond.far_mm = beyond.far_mm.max(out + radius);
                beyond.lowest_mm = beyond.lowest_mm.min(*z);
                at.push(along);
            }
        }
        beyond.spans_mm = spans(at, radius);
        (!beyond.spans_mm.is_empty()).then_some(beyond)
    }

    /// Points of every cut that leaves the stock, with the lower of the heights it passes there at.
    /// The way home and to a cut is at the safe height, and ends where a cut begins or beside the
    /// clamps.
    fn places(&self, radius: f64) -> Vec<(Point, f64)> {
        let (mut z, mut places) = (f64::INFINITY, Vec::new());
        let (length, width) = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let stays =
            |b: Bounds| b.min.x >= 0.0 && b.min.y >= 0.0 && b.max.x <= length && b.max.y <= width;
        for step in &self.steps {
            match step {
                Step::RapidZ(to) | Step::FeedZ(to) => z = *to,
                Step::Cut { segment, to_z, .. } => {
                    let low = to_z.min(z);
                    if !stays(segment.bounds().grown(radius)) {
                        places.extend(looked_at(segment).into_iter().map(|p| (p, low)));
                    }
                    z = *to_z;
                }
                _ => {}
            }
        }
        places
    }
}

/// From where to where a tool is that was looked at along an edge, in mm; what lies nearer together
/// than it is looked at is one span.
fn spans(mut at: Vec<f64>, radius: f64) -> Vec<(f64, f64)> {
    at.sort_by(f64::total_cmp);
    let mut spans: Vec<(f64, f64)> = Vec::new();
    for along in at {
        match spans.last_mut() {
            Some((_, to)) if along - radius <= *to + LOOK_MM => *to = to.max(along + radius),
            _ => spans.push((along - radius, along + radius)),
        }
    }
    spans
}

fn looked_at(segment: &Segment) -> Vec<Point> {
    let count = (segment.length() / LOOK_MM).ceil().max(1.0) as usize;
    (0..=count).map(|i| segment.point_at(i as f64 / count as f64)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_goes_from_the_first_to_the_last_place_of_the_tool() {
        assert_eq!(spans(vec![12.0, 10.0, 11.0], 3.0), [(7.0, 15.0)]);
        let apart = 13.0 + LOOK_MM + 3.0;
        assert_eq!(spans(vec![apart, 10.0], 3.0), [(7.0, apart + 3.0)]);
        let farther = apart + 0.5;
        assert_eq!(spans(vec![10.0, farther], 3.0), [(7.0, 13.0), (farther - 3.0, farther + 3.0)]);
    }
}
