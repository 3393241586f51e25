//! What stands beside the views: key figures, step marks, findings, cautions, title block, scale bar.

use super::board_view::nose_marks;
use super::svg::{Anchor, LETTER_WIDTH, Line, Svg};
use super::view::both;
use crate::export::Stamp;
use crate::finding::{Finding, Severity};
use crate::geometry::{Point, Vector};
use crate::measure::{Job, Makes};
use crate::outline::Outline;
use crate::solve::Flight;
use crate::units::Length;

/// Height of table text and of a row, in mm.
const TEXT_MM: f64 = 2.2;
const ROW_MM: f64 = 3.5;
/// The same for the figures and the step marks, which are read at arm's length.
const LARGE_TEXT_MM: f64 = 2.5;
const LARGE_ROW_MM: f64 = 4.0;
/// Rows of step marks that go on the sheet.
const ROWS: usize = 30;

/// The cautions on every sheet, in our own words.
const CAUTIONS: [&str; 5] = [
    "Limits are advice: local code and licensed practice decide. Measure rise from finished surface to finished surface.",
    "The drop is taken once, at the foot only. Do not step off a rounded rise: strike every mark from the datum.",
    "Try the piece at every position before you cut the others; mark all from this one, never from the last.",
    "Protect eyes, ears and lungs; clamp the work; first run the program in the air; never leave a machine alone.",
    "Never burn treated wood. Measure the scale bar before you trust a print.",
];

/// The key figures, from a corner down.
pub(super) fn figures(svg: &mut Svg, job: &Job, flight: &Flight, outline: &Outline, throat_cut: Length, corner: Point) {
    let tie = job.tie_plate.as_ref().map(|tie| (tie.width + tie.clearance, tie.height + tie.clearance));
    let notch = |length: Option<Length>| length.map_or("none".to_string(), both);
    let rows = [
        ("risers / treads", format!("{} / {}", flight.risers, flight.treads)),
        ("unit rise", both(flight.unit_rise)),
        ("unit run", both(flight.unit_run)),
        ("tread finish", both(flight.tread_finish)),
        ("tread thickness", both(flight.tread_thickness)),
        ("first riser cut", both(flight.first_riser_cut())),
        ("drop, taken once", both(flight.drop())),
        ("hang line", both(flight.hang_line)),
        ("total run", both(flight.total_run())),
        ("pitch", format!("{:.2} deg", flight.pitch_rad().to_degrees())),
        ("blank length", both(outline.blank_length())),
        ("seat cut", both(outline.seat_length())),
        ("top plumb cut", both(outline.head_cut_length())),
        ("notch wide", notch(tie.map(|t| t.0))),
        ("notch high", notch(tie.map(|t| t.1))),
        ("notch set back", notch(job.tie_plate.as_ref().map(|tie| tie.set_back))),
        ("throat", both(flight.throat())),
        ("throat after relief", both(throat_cut)),
        ("overhang", both(job.tread.overhang)),
        ("riser board", both(job.tread.riser_board)),
    ];
    for (i, (label, value)) in rows.iter().enumerate() {
        let y = corner.y + LARGE_ROW_MM * (i as f64 + 1.0);
        svg.text(Point::new(corner.x, y), LARGE_TEXT_MM, Anchor::Start, 0.0, label);
        svg.text(Point::new(corner.x + 29.0, y), LARGE_TEXT_MM, Anchor::Start, 0.0, value);
    }
}

/// Every step's marks: height of its tread cut, place of its riser cut, mark along the board's edge.
pub(super) fn steps(svg: &mut Svg, flight: &Flight, outline: &Outline, corner: Point) {
    let marks = nose_marks(flight, outline);
    let columns = [0.0, 8.0, 37.0, 66.0];
    let row = |svg: &mut Svg, line: usize, cells: [String; 4]| {
        for (cell, x) in cells.iter().zip(columns) {
            let at = corner + Vector::new(x, LARGE_ROW_MM * (line as f64 + 1.0));
            svg.text(at, LARGE_TEXT_MM, Anchor::Start, 0.0, cell);
        }
    };
    row(svg, 0, ["step".into(), "tread cut up".into(), "riser cut along".into(), "nose on the edge".into()]);
    svg.line(
        corner + Vector::new(0.0, LARGE_ROW_MM + 0.9),
        corner + Vector::new(94.0, LARGE_ROW_MM + 0.9),
        Line::Frame,
    );
    for k in 1..=flight.treads.min(ROWS) {
        let cells = [k.to_string(), both(flight.tread_cut_y(k)), both(flight.nose_x(k)), both(marks[k - 1])];
        row(svg, k, cells);
    }
    if flight.treads > ROWS {
        row(
            svg,
            ROWS + 1,
            ["".into(), format!("and {} more steps: see report.json", flight.treads - ROWS), "".into(), "".into()],
        );
    }
}

/// Findings, the weightiest first, then the cautions; as many as go into the height.
pub(super) fn findings(svg: &mut Svg, findings: &[Finding], corner: Point, size: Vector) {
    let mut sorted: Vec<&Finding> = findings.iter().filter(|f| f.code != "not-checked").collect();
    sorted.sort_by_key(|f| std::cmp::Reverse(f.severity));
    let unchecked: Vec<&str> = findings.iter().filter(|f| f.code == "not-checked").map(|f| f.place.as_str()).collect();
    let mut lines: Vec<String> = sorted.iter().map(|f| line_of(f)).collect();
    if !unchecked.is_empty() {
        lines.push(format!("not checked, look on site: {}", unchecked.join(", ")));
    }
    let room = (size.y / ROW_MM) as usize - CAUTIONS.len();
    if lines.len() > room {
        let more = lines.len() - room + 1;
        lines.truncate(room - 1);
        lines.push(format!("... and {more} more, see report.json"));
    }
    lines.extend(CAUTIONS.map(str::to_string));
    let longest = (size.x / (TEXT_MM * LETTER_WIDTH * 0.86)) as usize;
    for (i, words) in lines.iter().enumerate() {
        let at = corner + Vector::new(0.0, ROW_MM * (i as f64 + 1.0));
        svg.text(at, TEXT_MM, Anchor::Start, 0.0, &shortened(words, longest));
    }
}

fn line_of(finding: &Finding) -> String {
    let severity = match (finding.severity, &finding.waived) {
        (Severity::Refusal, Some(_)) => "REFUSAL WAIVED",
        (Severity::Refusal, None) => "REFUSAL",
        (Severity::Warning, _) => "WARNING",
        (Severity::Advice, _) => "advice",
    };
    let reason = finding.waived.as_ref().map_or(String::new(), |reason| format!(" ({reason})"));
    format!(
        "{severity} {} at {}: {}; allowed: {}{reason}",
        finding.code, finding.place, finding.measured, finding.limit
    )
}

fn shortened(words: &str, longest: usize) -> String {
    if words.chars().count() <= longest {
        return words.to_string();
    }
    let kept: String = words.chars().take(longest - 3).collect();
    format!("{kept}...")
}

/// Title, identity and scale bar, in a frame.
pub(super) fn title_block(svg: &mut Svg, job: &Job, stamp: &Stamp, corner: Point, size: Vector) {
    svg.frame(corner, corner + size, Line::Frame);
    let makes = match job.cut.makes {
        Makes::Pattern(_) => "pattern",
        Makes::Stringers => "stringers",
    };
    let title_size = 4.2_f64.min((size.x - 6.0) / (stamp.title.chars().count() as f64 * LETTER_WIDTH * 1.1));
    svg.text(corner + Vector::new(3.0, 6.5), title_size, Anchor::Start, 0.0, &stamp.title);
    let rows = [
        format!("job {}    {}    sheet 1 of 1", stamp.fingerprint, Stamp::tool()),
        format!(
            "rule set {}    {} x {makes} of {} on {}",
            job.rules.name, job.cut.quantity, job.cut.material.name, job.cut.machine.name
        ),
        format!("board {} x {}", both(job.board.width), both(job.board.thickness)),
        "lengths in inches / mm; + and - tell the remainder of a sixteenth".to_string(),
    ];
    for (i, words) in rows.iter().enumerate() {
        svg.text(corner + Vector::new(3.0, 11.5 + ROW_MM * i as f64), TEXT_MM, Anchor::Start, 0.0, words);
    }
    scale_bar(svg, corner + Vector::new(3.0, size.y - 6.0));
}

/// Two bars on paper: 100 mm and 4 in.
fn scale_bar(svg: &mut Svg, at: Point) {
    for (drop, length, ticks, words) in [(0.0, 100.0, 10, "100 mm"), (3.5, 101.6, 4, "4 in")] {
        let start = at + Vector::new(0.0, drop);
        svg.line(start, start + Vector::new(length, 0.0), Line::Frame);
        for i in 0..=ticks {
            let tick = start + Vector::new(length * f64::from(i) / f64::from(ticks), 0.0);
            svg.line(tick - Vector::new(0.0, 1.0), tick, Line::Frame);
        }
        svg.text(start + Vector::new(length + 2.0, 0.8), TEXT_MM, Anchor::Start, 0.0, words);
    }
}
