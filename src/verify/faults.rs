//! What is wrong with the lines of a drawing as lines to cut, each with its place in the drawing's
//! own unit.

use super::findings::Findings;
use super::shape::Shape;
use crate::diagnostics::{Figure, Millimetres, codes};
use crate::geometry::{Contour, Point};
use crate::stair::outline::Role;
use crate::units::MM_PER_INCH;

/// The unit that a drawing is taken in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unit {
    pub mm: f64,
}

impl Unit {
    fn name(self) -> &'static str {
        let names = [(MM_PER_INCH, "in"), (12.0 * MM_PER_INCH, "ft"), (10.0, "cm"), (1000.0, "m")];
        names.iter().find(|(mm, _)| (mm - self.mm).abs() < 1e-6).map_or("mm", |(_, name)| name)
    }

    /// A coordinate that was found in millimetres, as the drawing has it.
    fn figure(self, mm: f64) -> Figure {
        Figure { value: mm / self.mm, unit: self.name(), digits: 4 }
    }
}

/// What is wrong with a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Wrong {
    /// It does not close, by so many millimetres.
    Open(f64),
    /// It has no length.
    ZeroLength,
    /// It is drawn twice.
    Doubled,
    /// It crosses another.
    Crossing,
}

/// One fault of the lines.
#[derive(Debug)]
pub(super) struct Fault {
    pub wrong: Wrong,
    /// The line of the file.
    pub line: usize,
    /// Where it is, in millimetres of the drawing.
    pub at: Point,
}

/// What the nearest edge is called where it is not known where the part lies.
const UNKNOWN_EDGE: &str = "an edge that was not recognised";

/// Tells the faults, each with the edge of the part that it is nearest to, if it is known where the
/// part lies.
pub(super) fn tell(
    faults: &[Fault],
    unit: Unit,
    part: Option<&Contour<Role>>,
    findings: &mut Findings<'_>,
) {
    let shape =
        part.map(|part| (part, Shape::new(part.edges().iter().map(|edge| edge.segment).collect())));
    for fault in faults {
        let nearest = shape.as_ref().and_then(|(part, shape)| {
            let (edge, _) = shape.nearest(fault.at)?;
            Some(part.edges()[edge].role.to_string())
        });
        let near = nearest.unwrap_or_else(|| UNKNOWN_EDGE.to_string());
        let (x, y, line) = (unit.figure(fault.at.x), unit.figure(fault.at.y), fault.line);
        match fault.wrong {
            Wrong::Open(gap) => {
                findings
                    .at_line(codes::DrawingOpen { measured: Millimetres(gap), x, y, near }, line);
            }
            Wrong::ZeroLength => findings.at_line(codes::DrawingZeroLength { x, y, near }, line),
            Wrong::Doubled => findings.at_line(codes::DrawingDoubled { x, y, near }, line),
            Wrong::Crossing => findings.at_line(codes::DrawingCrossing { x, y, near }, line),
        }
    }
}
