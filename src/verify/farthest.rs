//! How far the farthest point of segments lies from a shape: the figure behind "left".

use super::limits::{FIGURE_MM, GAP_MM, MOST_PAIRS};
use super::pair::{cover, gaps, whole};
use super::shape::Shape;
use crate::geometry::{Point, Segment};

/// The first step of the search for a maximum: the rounding of a printed coordinate.
const FIRST_STEP_MM: f64 = 1e-3;

/// Measures segments against one shape and keeps count of the work.
pub(super) struct Farthest<'a> {
    shape: &'a Shape,
    most_off: f64,
    pairs: usize,
    near: Vec<usize>,
    covered: Vec<(f64, f64)>,
}

/// More pairs were compared than a sane file needs.
#[derive(Debug)]
pub(super) struct TooTangled;

impl<'a> Farthest<'a> {
    pub(crate) fn new(shape: &'a Shape) -> Self {
        Farthest {
            shape,
            most_off: shape.most_off(),
            pairs: 0,
            near: Vec::new(),
            covered: Vec::new(),
        }
    }

    /// The stretches of `segment`, as shares, that lie farther than `reach` from the shape, or may
    /// do so where the tool may run beside it.
    pub(crate) fn beyond(
        &mut self,
        segment: &Segment,
        reach: f64,
    ) -> Result<Vec<(f64, f64)>, TooTangled> {
        self.shape.near(segment.bounds().grown(reach), &mut self.near);
        self.pairs += self.near.len();
        if self.pairs > MOST_PAIRS {
            return Err(TooTangled);
        }
        self.covered.clear();
        for &i in &self.near {
            let surely = reach - self.shape.off(i);
            if surely >= 0.0 {
                if whole(segment, &self.shape.segments[i], surely) {
                    return Ok(Vec::new());
                }
                cover(segment, &self.shape.segments[i], surely, &mut self.covered);
            }
        }
        Ok(gaps(&mut self.covered, GAP_MM / segment.length().max(GAP_MM)))
    }

    /// How far a point is from the nearest of the shape.
    pub(crate) fn nearest(&self, p: Point) -> Option<f64> {
        self.shape.nearest(p).map(|(_, distance)| distance)
    }

    /// The greater of `known` and the distance of the farthest point of `segment`. Distance changes
    /// no faster than one moves, so its maximum lies in a bracket that bisection closes; a segment
    /// that is no farther costs one look.
    pub(crate) fn at_least(&mut self, segment: &Segment, known: f64) -> Result<f64, TooTangled> {
        let length = segment.length();
        let Some((_, middle)) = self.shape.nearest(segment.point_at(0.5)) else {
            return Ok(f64::INFINITY);
        };
        let most = middle + length / 2.0 + self.most_off;
        if most <= known || self.beyond(segment, known)?.is_empty() {
            return Ok(known);
        }
        // Small steps first: a wide reach gathers many pieces, and most segments are only a
        // rounding farther.
        let (mut low, mut step) = (known.max(middle), FIRST_STEP_MM);
        let most = most + FIGURE_MM;
        let mut high = (low + step).min(most);
        while high < most && !self.beyond(segment, high)?.is_empty() {
            (low, step) = (high, step * 4.0);
            high = (low + step).min(most);
        }
        while high - low > FIGURE_MM {
            let between = f64::midpoint(low, high);
            if self.beyond(segment, between)?.is_empty() {
                high = between;
            } else {
                low = between;
            }
        }
        Ok(high)
    }
}
