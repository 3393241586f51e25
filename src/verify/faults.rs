//! What is wrong with the lines of a drawing as lines to cut, each with its place in the drawing's own unit.

use super::findings::Findings;
use super::shape::Shape;
use crate::diagnostics::Code;
use crate::geometry::{Contour, Point};
use crate::outline::Role;
use crate::units::{MM_PER_INCH, trimmed};

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

    /// A place that was found in millimetres, as the drawing has it.
    pub fn place(self, p: Point) -> String {
        let say = |mm: f64| trimmed(mm / self.mm, 4);
        format!("x {} y {} {}", say(p.x), say(p.y), self.name())
    }
}

/// One fault of the lines.
#[derive(Debug)]
pub(super) struct Fault {
    pub code: Code,
    /// The line of the file.
    pub line: usize,
    /// Where it is, in millimetres of the drawing.
    pub at: Point,
    /// What is there: `a gap of 0.5 mm`; may be empty.
    pub what: String,
    pub limit: &'static str,
}

/// Tells the faults, each with the edge of the part that it is nearest to, if it is known where the part lies.
pub(super) fn tell(faults: &[Fault], unit: Unit, part: Option<&Contour<Role>>, findings: &mut Findings) {
    let shape = part.map(|part| (part, Shape::new(part.edges().iter().map(|edge| edge.segment).collect())));
    for fault in faults {
        let nearest = shape.as_ref().and_then(|(part, shape)| {
            let (edge, _) = shape.nearest(fault.at)?;
            Some(format!(", nearest to {}", part.edges()[edge].role))
        });
        let what = if fault.what.is_empty() { String::new() } else { format!("{} ", fault.what) };
        let measured = format!("{what}at {}{}", unit.place(fault.at), nearest.unwrap_or_default());
        findings.at_line(fault.code, fault.line, measured, fault.limit);
    }
}
