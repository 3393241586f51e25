//! The drawings of a job, each in its part's board frame.

use super::model::{Drawing, Entity, Layer};
use crate::compensate::{Ledger, ToolPath};
use crate::export::Stamp;
use crate::geometry::{Contour, Point, Segment};
use crate::outline::{Outline, Skirt};
use crate::plan::Program;
use crate::profile::ProgramUnits;

/// The finished outline, 1:1, nothing compensated, for a shop that applies its own kerf.
pub fn nominal(stamp: &Stamp, outline: &Outline, units: ProgramUnits) -> Drawing {
    finished(stamp, outline, units, "NOMINAL: finished outline, 1:1, nothing compensated")
}

/// The finished outline of the skirt, as [`nominal`] draws the stringer's.
pub fn nominal_skirt(stamp: &Stamp, skirt: &Skirt, units: ProgramUnits) -> Drawing {
    finished(stamp, skirt.outline(), units, "SKIRT: finished outline, 1:1, nothing compensated")
}

fn finished(stamp: &Stamp, outline: &Outline, units: ProgramUnits, words: &str) -> Drawing {
    let mut entities = vec![Entity::Closed(Layer::Cut, segments(&outline.in_board_frame()))];
    entities.extend(reference(stamp, units, &[words.to_string()]));
    Drawing { units, entities }
}

/// The line that the tool's centre follows on this machine; leads, tabs and stock beside it for reference.
pub fn compensated(stamp: &Stamp, path: &ToolPath, ledger: &Ledger, program: &Program, units: ProgramUnits) -> Drawing {
    let to_board = program.placement.inverse();
    let mut entities = vec![Entity::Closed(Layer::Cut, segments(path.contour()))];
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)].map(|(x, y)| to_board * Point::new(x, y));
    let sides = (0..4).map(|i| Segment::Line { from: corners[i], to: corners[(i + 1) % 4] });
    entities.push(Entity::Closed(Layer::Stock, sides.collect()));
    entities.extend(program.leads.iter().map(|lead| Entity::Open(Layer::Ref, vec![lead.placed(&to_board)])));
    for tab in &program.tabs {
        let at = to_board * tab.at;
        let half = nalgebra::Vector2::new(0.0, path.radius().as_mm() * 2.0);
        entities.push(Entity::Open(Layer::Ref, vec![Segment::Line { from: at - half, to: at + half }]));
    }
    let mut words = vec!["COMPENSATED: path of the tool centre, not the part".to_string()];
    words.extend(ledger.entries().iter().map(|entry| entry.to_string()));
    entities.extend(reference(stamp, units, &words));
    Drawing { units, entities }
}

fn segments<R: Copy>(contour: &Contour<R>) -> Vec<Segment> {
    contour.edges().iter().map(|edge| edge.segment).collect()
}

/// The check bar of 100 units below the part, and the words under it.
fn reference(stamp: &Stamp, units: ProgramUnits, words: &[String]) -> Vec<Entity> {
    let unit = units.in_mm();
    let (name, height) = match units {
        ProgramUnits::Inches => ("in", 12.0),
        ProgramUnits::Millimetres => ("mm", 12.0),
    };
    let level = -8.0 * height;
    let (from, to) = (Point::new(0.0, level), Point::new(100.0 * unit, level));
    let mut lines = vec![
        format!("The bar above is 100 {name} long"),
        format!("{} | {} | job {}", stamp.ascii_title(), Stamp::tool(), stamp.fingerprint),
    ];
    lines.extend(words.iter().cloned());
    let mut entities = vec![Entity::Open(Layer::Ref, vec![Segment::Line { from, to }])];
    for (row, line) in lines.into_iter().enumerate() {
        let at = Point::new(0.0, level - height * 1.6 * (row as f64 + 1.0));
        entities.push(Entity::Text(Layer::Ref, at, height, line));
    }
    entities
}
