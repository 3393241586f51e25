//! What a program's header says of a board's edges: where a clamp may stand, and what is cut beyond
//! them.

use crate::cam::plan::{Beyond, Program, StockEdge};
use crate::profile::Machine;
use crate::units::trimmed;

/// The most places along an edge that are listed one by one.
const MOST_LISTED: usize = 3;

/// The comments; none where the tool stays within the stock and may be clamped anywhere.
pub(super) fn comments(machine: &Machine, program: &Program) -> Vec<String> {
    let beyond = program.beyond(machine.tool_radius().as_mm());
    let mut lines: Vec<String> = Vec::new();
    if let Some(zone) = program.clamp_zone {
        let [x, to_x, y, to_y] =
            [zone.min.x, zone.max.x, zone.min.y, zone.max.y].map(|mm| figure(mm, machine));
        lines.push("The stock is the blank, sawn to this length first".to_string());
        lines.push(format!("Clamp on the piece only, X {x} to {to_x}, Y {y} to {to_y}"));
        lines.push("No cut and no rapid comes there".to_string());
    }
    lines.extend(beyond.iter().flat_map(|beyond| edge_lines(beyond, machine, program)));
    if !beyond.is_empty() {
        lines.push("No fence, stop or clamp may stand where it goes beyond the stock".to_string());
    }
    lines
}

fn figure(mm: f64, machine: &Machine) -> String {
    trimmed(mm / machine.units.in_mm(), 3)
}

/// How far it goes over an edge, and on a line of its own where: short enough that no figure is
/// parted from its axis.
fn edge_lines(beyond: &Beyond, machine: &Machine, program: &Program) -> [String; 2] {
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let far = beyond.far_mm;
    let (edge, to, along) = match beyond.edge {
        StockEdge::LowX => ("X 0".to_string(), format!("X {}", figure(-far, machine)), "Y"),
        StockEdge::HighX => (at("X", length, machine), at("X", length + far, machine), "Y"),
        StockEdge::LowY => ("Y 0".to_string(), format!("Y {}", figure(-far, machine)), "X"),
        StockEdge::HighY => (at("Y", width, machine), at("Y", width + far, machine), "X"),
    };
    let z = figure(beyond.lowest_mm + program.z_shift_mm(machine.z_zero), machine);
    let how_far = format!("Beyond the edge at {edge} it goes as far as {to} and Z {z}");
    [how_far, format!("there at {}", spans(beyond, along, machine))]
}

fn at(axis: &str, mm: f64, machine: &Machine) -> String {
    format!("{axis} {}", figure(mm, machine))
}

/// Where along the edge, in the machine's unit.
fn spans(beyond: &Beyond, along: &str, machine: &Machine) -> String {
    let span = |(from, to): &(f64, f64)| {
        format!("{along} {} to {}", figure(*from, machine), figure(*to, machine))
    };
    match beyond.spans_mm.as_slice() {
        [] => String::new(),
        few if few.len() <= MOST_LISTED => few.iter().map(span).collect::<Vec<_>>().join(", "),
        [first, .., last] => {
            format!("{} places in {}", beyond.spans_mm.len(), span(&(first.0, last.1)))
        }
        [only] => span(only),
    }
}
