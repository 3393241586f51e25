//! The outline of a head joint, for a drawing to take over.

use super::head_joint::{HeadJoint, lower_end_y};
use crate::geometry::{Bounds, Point};
use crate::job::Joint;
use crate::stair::Flight;
use crate::units::Length;

/// A text at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Where it points to, in mm.
    pub at: Point,
    /// What it says.
    pub text: String,
}

/// The head end of a stringer and what it meets, in the elevation frame, in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct JointSketch {
    /// The stringer from the last nose point to its head, counter-clockwise, first point not
    /// repeated.
    pub outline: Vec<Point>,
    /// The framing that it meets.
    pub framing: Bounds,
    /// The board or ledger between the two, if any.
    pub between: Option<Bounds>,
    /// What the parts are and measure.
    pub labels: Vec<Label>,
}

impl HeadJoint {
    /// The sketch of the joint, with framing of this thickness; a rim of unknown depth is drawn as
    /// deep as the plumb cut.
    pub fn sketch(&self, flight: &Flight, framing_thickness: Length) -> JointSketch {
        let (_, top) = self.plumb;
        let face = self.head_x + self.kind.gap().as_mm();
        let framing = self.framing(flight, face, framing_thickness.as_mm());
        let between = self.between(flight, face);
        let mut labels = vec![
            Label { at: Point::new(self.head_x, self.contact_y), text: self.contact_words() },
            Label {
                at: Point::new(self.head_x, top),
                text: format!("top tread cut at {}", Length::mm(top)),
            },
        ];
        if self.bearing > Length::ZERO {
            let at = Point::new(self.head_x, top - self.wood_above.as_mm());
            labels.push(Label { at, text: format!("bearing {}", self.bearing) });
        }
        JointSketch { outline: self.outline(flight), framing, between, labels }
    }

    fn contact_words(&self) -> String {
        self.contact.map_or("contact not known".to_string(), |contact| format!("contact {contact}"))
    }

    fn outline(&self, flight: &Flight) -> Vec<Point> {
        let (low, top) = self.plumb;
        let nose = flight.nose_x(flight.treads).as_mm();
        let under = |x: f64| Point::new(x, lower_end_y(flight, self.seat, Length::mm(x)).as_mm());
        let notch = top - self.wood_above.as_mm();
        let mut points = vec![under(nose)];
        match self.kind {
            Joint::LedgerNotch { width, .. } => {
                let x = (self.head_x - width.as_mm()).max(nose);
                points.extend([under(x), Point::new(x, notch), Point::new(self.head_x, notch)]);
            }
            Joint::TopOver { bearing, .. } => {
                let end = self.head_x + bearing.as_mm();
                points.extend(
                    [(self.head_x, low), (self.head_x, notch), (end, notch), (end, top)]
                        .map(into_point),
                );
            }
            _ => points.push(Point::new(self.head_x, low)),
        }
        if !matches!(self.kind, Joint::TopOver { .. }) {
            points.push(Point::new(self.head_x, top));
        }
        points.push(Point::new(nose, top));
        points
    }

    fn framing(&self, flight: &Flight, face: f64, thickness: f64) -> Bounds {
        let framing_top = flight.framing_top_y().as_mm();
        let known = flight.rim_depth.map_or(self.plumb.1 - self.plumb.0, Length::as_mm);
        let (top, depth) = match self.kind {
            Joint::DroppedHeader { below, depth } => (framing_top - below.as_mm(), depth.as_mm()),
            Joint::TopOver { below, .. } => (framing_top - below.as_mm(), known),
            _ => (framing_top, known),
        };
        Bounds { min: Point::new(face, top - depth), max: Point::new(face + thickness, top) }
    }

    fn between(&self, flight: &Flight, face: f64) -> Option<Bounds> {
        let (from, to, low, top) = match self.kind {
            Joint::HangerBoard { depth, .. } => {
                let top = flight.framing_top_y().as_mm();
                (self.head_x, face, top - depth.as_mm(), top)
            }
            Joint::LedgerNotch { width, height } => {
                (face - width.as_mm(), face, self.plumb.0, self.plumb.0 + height.as_mm())
            }
            _ => return None,
        };
        Some(Bounds { min: Point::new(from, low), max: Point::new(to, top) })
    }
}

fn into_point((x, y): (f64, f64)) -> Point {
    Point::new(x, y)
}
