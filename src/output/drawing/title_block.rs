//! The title block and the scale bar to check a print by.

use super::Subject;
use super::canvas::{Canvas, ROW_MM, TEXT_MM, moved};
use crate::geometry::Point;
use crate::job::{Job, Makes};
use crate::output::page::{Anchor, Ink, Line, Weight, fit, text_width, wrap};
use crate::pipeline::numbers::Value;
use crate::units::{Length, MM_PER_INCH, Tape, decimal, on_tape, sixteenths};

/// Height of the block.
pub(super) const HEIGHT_MM: f64 = 46.0;
/// Height of the scale bar's block, its note in one row, and its least width.
pub(super) const BAR_HEIGHT_MM: f64 = 21.0;
pub(super) const BAR_WIDTH_MM: f64 = 103.0;
/// Height of a title that fits one line; one that does not is as high as the rest.
const TITLE_MM: f64 = 3.5;
const TITLE_LINES: usize = 3;
const PAD_MM: f64 = 2.0;
/// Room for the name of a cell.
const NAME_MM: f64 = 18.0;
/// Length of the two bars on the paper.
const BAR_MM: f64 = 100.0;
const BAR_IN: f64 = 4.0;

/// Draws the block with its lower left corner at `corner`.
pub(super) fn draw(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    scale: f64,
    sheet: &str,
    corner: Point,
    width: f64,
) {
    let at = |x: f64, y: f64| moved(corner, x, y);
    let (rows_top, right) = (7.0 * ROW_MM + PAD_MM + 1.0, width);
    canvas.closed(
        vec![at(0.0, 0.0), at(right, 0.0), at(right, HEIGHT_MM), at(0.0, HEIGHT_MM)],
        Line::VisibleEdge,
    );
    canvas.line(at(0.0, rows_top), at(right, rows_top), Line::Rule);
    title(canvas, &subject.job.title, corner, width);
    for (i, [left, right]) in rows(subject, scale, (sheet, width)).into_iter().enumerate() {
        let y = rows_top - PAD_MM - TEXT_MM + 0.3 - ROW_MM * i as f64;
        let half = width / 2.0;
        let room = if right.1.is_empty() { width } else { half };
        cell(canvas, at(PAD_MM, y), room - PAD_MM, &left);
        if !right.1.is_empty() {
            cell(canvas, at(half + PAD_MM, y), half - PAD_MM, &right);
        }
    }
}

fn title(canvas: &mut Canvas, title: &str, corner: Point, width: f64) {
    let room = width - 2.0 * PAD_MM;
    let top = corner.y + HEIGHT_MM;
    if text_width(title, TITLE_MM, Weight::Bold) <= room {
        let at = Point::new(corner.x + PAD_MM, top - PAD_MM - TITLE_MM - 1.5);
        canvas.sized(at, title, TITLE_MM, Weight::Bold);
        return;
    }
    let mut lines = wrap(title, room, TEXT_MM, Weight::Bold);
    if lines.len() > TITLE_LINES {
        let rest = lines.split_off(TITLE_LINES - 1).join(" ");
        lines.push(fit(&rest, room, TEXT_MM, Weight::Bold));
    }
    for (i, line) in lines.into_iter().enumerate() {
        let y = top - 1.2 - TEXT_MM - (TEXT_MM + 1.3) * i as f64;
        canvas.sized(Point::new(corner.x + PAD_MM, y), line, TEXT_MM, Weight::Bold);
    }
}

type Cell = (&'static str, String);

/// The rule set with its edition, in the longest words that fit.
fn rules(job: &Job, room: f64) -> String {
    let (rules, name) = (&job.rules, job.rules.name.as_str());
    let short = rules.edition.as_ref().map(|edition| format!("{name}, {edition}"));
    let fits = |words: &String| text_width(words, TEXT_MM, Weight::Regular) <= room - 1.0;
    let words = [Some(rules.called()), short].into_iter().flatten().find(fits);
    words.unwrap_or_else(|| name.to_string())
}

fn rows(subject: &Subject<'_>, scale: f64, (sheet, width): (&str, f64)) -> Vec<[Cell; 2]> {
    let (job, flight) = (subject.job, subject.flight);
    let none = || ("", String::new());
    let risers = if flight.risers == 1 { "riser" } else { "risers" };
    let step =
        format!("{} {risers} of {}, unit run {}", flight.risers, flight.unit_rise, flight.unit_run);
    let board = &job.board;
    let mut section = format!("{} x {}", on_tape(board.width), on_tape(board.thickness));
    let (units, sign) = match Tape::in_hand() {
        Tape::Inches => {
            let [width, thickness] =
                [board.width, board.thickness].map(|length| decimal(length.as_mm(), 1));
            section += &format!(" ({width} x {thickness} mm)");
            ("inch, nearest 1/16 (mm)", ("+ or -", "a hair over, a hair under"))
        }
        Tape::Metric => ("mm", ("", "")),
    };
    vec![
        [("Shows", shows(job)), none()],
        [("Stair", step), none()],
        [("Board", section), none()],
        [
            ("Makes", makes(job, subject.times)),
            ("Rules", rules(job, width / 2.0 - PAD_MM - NAME_MM)),
        ],
        [("Scale", format!("1 : {}", decimal(scale, 0))), ("Sheet", sheet.to_string())],
        [("Units", units.to_string()), ("Job", subject.fingerprint.to_string())],
        [
            (sign.0, sign.1.to_string()),
            ("Made by", format!("seatcut {}", env!("CARGO_PKG_VERSION"))),
        ],
    ]
}

/// The drawing is of the part; a pattern that is followed at a distance is smaller, and must not be
/// measured by it.
fn shows(job: &Job) -> String {
    match job.cut.makes {
        Makes::Pattern(follow) if follow.inset() > Length::ZERO => {
            let inset = follow.inset();
            format!("the part; its pattern is {} smaller all round", Value::Length(inset).exact())
        }
        Makes::Pattern(_) | Makes::Stringers => {
            format!("{}, the finished part; nothing compensated", job.stringer.name())
        }
    }
}

fn makes(job: &Job, times: usize) -> String {
    let (one, many) = match job.cut.makes {
        Makes::Pattern(_) => ("pattern", "patterns"),
        Makes::Stringers => ("stringer", "stringers"),
    };
    let count = job.cut.quantity as usize * times;
    let name = if count == 1 { one } else { many };
    if job.by_hand {
        return format!("{count} {name}, by hand");
    }
    format!("{count} {name}, {}", job.cut.material.name)
}

fn cell(canvas: &mut Canvas, at: Point, room: f64, (name, value): &Cell) {
    let offset = NAME_MM;
    canvas.text(at, Anchor::Start, *name);
    let text = fit(value, room - offset - 1.0, TEXT_MM, Weight::Regular);
    canvas.text(moved(at, offset, 0.0), Anchor::Start, text);
}

/// Draws the two bars with their lower left corner at `corner`: 100 mm and 4 in of paper, and what
/// they stand for.
pub(super) fn scale_bar(canvas: &mut Canvas, scale: f64, corner: Point, width: f64) {
    let note = "Measure the print: the upper bar must be 100 mm long, the lower 4 in.";
    let rows = wrap(note, width, TEXT_MM, Weight::Regular);
    for (i, row) in rows.iter().rev().enumerate() {
        let up = BAR_HEIGHT_MM - TEXT_MM + ROW_MM * i as f64;
        canvas.text(moved(corner, 0.0, up), Anchor::Start, row.as_str());
    }
    let bar = moved(corner, 0.0, 8.6);
    divided(canvas, bar, BAR_MM, 10, 1.8);
    divided(canvas, moved(bar, 0.0, -1.8), BAR_IN * MM_PER_INCH, 8, 1.8);
    let above = |share: f64| moved(bar, BAR_MM * share, 2.8);
    let below = |share: f64| moved(bar, BAR_IN * MM_PER_INCH * share, -1.8 - 1.0 - TEXT_MM);
    canvas.text(above(0.0), Anchor::Start, "0");
    canvas.text(below(0.0), Anchor::Start, "0");
    for (share, anchor) in [(0.5, Anchor::Middle), (1.0, Anchor::End)] {
        let mm = decimal(BAR_MM * share * scale, 0);
        canvas.text(above(share), anchor, format!("{mm} mm"));
        canvas.text(below(share), anchor, sixteenths(Length::inches(BAR_IN * share * scale)));
    }
}

/// A bar of black and white pieces.
fn divided(canvas: &mut Canvas, corner: Point, length: f64, pieces: usize, height: f64) {
    let step = length / pieces as f64;
    let piece = |from: f64, to: f64| {
        vec![
            moved(corner, from, 0.0),
            moved(corner, to, 0.0),
            moved(corner, to, height),
            moved(corner, from, height),
        ]
    };
    for i in (0..pieces).step_by(2) {
        canvas.fill(piece(step * i as f64, step * (i as f64 + 1.0)), Ink::Black);
    }
    canvas.closed(piece(0.0, length), Line::Rule);
}
