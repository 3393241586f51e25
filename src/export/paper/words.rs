//! A line of words on paper, in single-stroke letters.

use crate::export::sheet::Weight;
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::lettering::{lettered, width};

/// One line of words; every character has a letter.
#[derive(Clone, Debug)]
pub struct Words {
    content: String,
    /// Left end of its base line, in mm.
    pub at: Point,
    /// Height of its capitals, in mm.
    pub height_mm: f64,
    /// Its width as a share of the letters' own.
    pub squeeze: f64,
    /// How far its base line is turned, degrees counter-clockwise.
    pub turn_deg: f64,
    /// How heavy the letters are.
    pub weight: Weight,
}

impl Words {
    /// Words to the right of `at`, in letters as wide as they are drawn. A character without a letter becomes `?`: check
    /// a text that must not be changed with [`crate::lettering::check`].
    pub fn new(content: &str, at: Point, height_mm: f64) -> Words {
        Words { content: lettered(content), at, height_mm, squeeze: 1.0, turn_deg: 0.0, weight: Weight::Regular }
    }

    /// With a weight.
    pub fn weight(self, weight: Weight) -> Words {
        Words { weight, ..self }
    }

    /// From another point on, the base line turned by degrees counter-clockwise.
    pub fn placed(self, at: Point, turn_deg: f64) -> Words {
        Words { at, turn_deg, ..self }
    }

    /// With letters as wide as a share of their own width.
    pub fn squeeze(self, squeeze: f64) -> Words {
        Words { squeeze, ..self }
    }

    /// No wider than a width in mm: what is wider is squeezed into it.
    pub fn within(self, width_mm: f64) -> Words {
        let squeeze = if self.width_mm() > width_mm { self.squeeze * width_mm / self.width_mm() } else { self.squeeze };
        Words { squeeze, ..self }
    }

    /// What they say.
    pub fn content(&self) -> &str {
        &self.content
    }

    /// Width in mm.
    pub fn width_mm(&self) -> f64 {
        width(&self.content, self.height_mm) * self.squeeze
    }

    /// The upright box of the letters and of half the stroke round them.
    pub fn bounds(&self) -> Bounds {
        let half = self.stroke() * self.height_mm / 2.0;
        let placement = Placement::new(Vector::new(self.at.x, self.at.y), self.turn_deg.to_radians());
        let (right, top) = (self.width_mm() + half, self.height_mm + half);
        let corners = [(-half, -half), (right, -half), (right, top), (-half, top)];
        let [first, rest @ ..] = corners.map(|(x, y)| placement * Point::new(x, y)).map(|p| Bounds { min: p, max: p });
        rest.into_iter().fold(first, Bounds::joined)
    }

    fn stroke(&self) -> f64 {
        stroke(self.weight)
    }
}

/// The width of a stroke as a share of the capitals' height: lettering B of ISO 3098, a tenth, and bolder.
pub(super) fn stroke(weight: Weight) -> f64 {
    match weight {
        Weight::Regular => 0.1,
        Weight::Bold => 0.16,
    }
}
