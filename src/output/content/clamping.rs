//! What the machine sheet says of clamps and of a board's edges.

use super::section::Figure;
use crate::cam::plan::{Beyond, ClampBox, OVER_CLAMP_IN, Program, StockEdge, Task};
use crate::geometry::Bounds;
use crate::profile::Machine;
use crate::units::Length;

/// The rows; none where there is nothing to say.
pub(super) fn rows(machine: &Machine, program: &Program) -> Vec<Figure> {
    let mut rows: Vec<Figure> = Vec::new();
    if let Some(zone) = program.clamp_zone {
        rows.push(
            Figure::new("clamp on the piece", place(zone))
                .note("the throat band: no cut and no rapid comes there"),
        );
    }
    rows.extend(program.clamps.iter().enumerate().map(|(i, clamp)| row(i, clamp, machine)));
    rows.extend(
        program
            .beyond(machine.tool_radius().as_mm())
            .iter()
            .map(|beyond| beyond_row(beyond, program)),
    );
    rows
}

fn place(bounds: Bounds) -> String {
    let [x, to_x, y, to_y] =
        [bounds.min.x, bounds.max.x, bounds.min.y, bounds.max.y].map(Length::mm);
    format!("X {x} to {to_x}, Y {y} to {to_y}")
}

fn row(i: usize, clamp: &ClampBox, machine: &Machine) -> Figure {
    let over = |height: Length| {
        let over = height + Length::inches(OVER_CLAMP_IN);
        let passes = machine.tool.lifts() && over <= machine.travel_height();
        let how = if passes {
            "rapids pass over it"
        } else {
            "rapids go round it, or are lifted over it"
        };
        format!("at most {height} over the stock: {how}")
    };
    let note = clamp.height.map_or("no height given: nothing passes over it".to_string(), over);
    Figure::new(format!("clamp {}", i + 1), place(clamp.place)).note(note)
}

fn beyond_row(beyond: &Beyond, program: &Program) -> Figure {
    let (name, along) = match beyond.edge {
        StockEdge::LowX => ("beyond the edge at X0".to_string(), "Y"),
        StockEdge::HighX => (format!("beyond the edge at X {}", program.stock.length), "Y"),
        StockEdge::LowY => ("beyond the edge at Y0".to_string(), "X"),
        StockEdge::HighY => (format!("beyond the edge at Y {}", program.stock.width), "X"),
    };
    let span = |(from, to): &(f64, f64)| format!("{} to {}", Length::mm(*from), Length::mm(*to));
    let spans: Vec<String> = beyond.spans_mm.iter().map(span).collect();
    let low = if beyond.lowest_mm < 0.0 {
        format!("cut {} below the top face", Length::mm(-beyond.lowest_mm))
    } else {
        format!("run {} over the top face", Length::mm(beyond.lowest_mm))
    };
    let far = format!("by {}, {low}", Length::mm(beyond.far_mm));
    Figure::new(name, far)
        .note(format!("no fence, stop or clamp there: {along} {}", spans.join(", ")))
}

/// What the notes say of holding the stock down.
pub(super) fn notes(machine: &Machine, program: &Program) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(zone) = program.clamp_zone {
        let blank = if program.stock.length >= program.stock.width {
            program.stock.length
        } else {
            program.stock.width
        };
        notes.push(format!(
            "Saw the blank first: what lies on the machine is {blank} long, and X0 Y0 is its lower \
            left corner."
        ));
        notes.push(format!(
            "Clamp on the piece itself, in its throat band: {}. Everywhere else the cutter comes.",
            place(zone)
        ));
    } else if program.beyond(machine.tool_radius().as_mm()).is_empty() {
        notes.push("Clamp outside the piece and outside the tool's way.".to_string());
    } else {
        notes.push(
            "The throat band is too narrow for a clamp, and the cutter goes beyond the board's \
            edges: hold the board down from below."
                .to_string(),
        );
    }
    if program.task == Task::Cut && program.clamps.is_empty() {
        notes.push(undeclared(machine, program));
    }
    if !program.clamps.is_empty() {
        notes.push(
            "Clamps stand where the table says and are no taller. They are kept from the cutter: \
            see that the spindle's nut and a dust shoe, which are wider, clear them too."
                .to_string(),
        );
    }
    if program.begins_aside() {
        notes.push(
            "Bring the tool over the place that the program's first lines say before you start it."
                .to_string(),
        );
    }
    notes
}

/// Rapids run anywhere over the stock where no clamp was said.
fn undeclared(machine: &Machine, program: &Program) -> String {
    let least = Length::inches(OVER_CLAMP_IN);
    let elsewhere = if program.clamp_zone.is_some() { " outside that band" } else { "" };
    let how = if !machine.tool.lifts() {
        "the head crosses the stock anywhere, low.".to_string()
    } else if machine.safe_height > least {
        format!(
            "rapids run {} over the stock, so{elsewhere} none may stand taller than {}.",
            machine.safe_height,
            machine.safe_height - least
        )
    } else {
        format!(
            "rapids run {} over the stock, so none may stand in their way.",
            machine.safe_height
        )
    };
    format!("The job names no clamps (cut.clamps): {how}")
}
