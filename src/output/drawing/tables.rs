//! What is read beside the views: every step, the figures, the findings, what is looked at on site,
//! the cautions. It flows down columns and over to the next sheet; nothing is cut off, and no sheet
//! is begun while a column has room.

use super::Subject;
use super::canvas::{Canvas, HEADING_MM, ROW_MM, TEXT_MM, moved};
use crate::diagnostics::{Finding, Severity, told};
use crate::geometry::{Bounds, Point};
use crate::job::Stringer;
use crate::output::content::{Cell, Section, cautions_of, grid};
use crate::output::page::{Anchor, Line, Weight, corners, fit, text_width, wrap};
use crate::pipeline::numbers::{always, numbers};
use crate::stair::outline::cleat_marks;
use crate::units::{Length, Tape, decimal, on_tape};

/// Width of the column of steps, and the least of one of anything else.
const STEPS_MM: f64 = 142.0;
const SENTENCES_MM: f64 = 98.0;
/// Between two columns.
const BETWEEN_MM: f64 = 7.0;
/// Between two blocks.
const BLOCK_GAP_MM: f64 = 4.0;
/// What a heading takes.
const HEADING_ROW_MM: f64 = HEADING_MM + 3.0;
/// Room of the millimetres in the table of steps.
const MM_CELL_MM: f64 = 15.5;
/// Where sentences begin behind their box or dash.
const INDENT_MM: f64 = 5.0;

/// One row of a column.
pub(super) enum Row {
    Heading(&'static str),
    /// Texts at their places from the left.
    Cells(Vec<(f64, Anchor, String, Weight)>),
    /// A box to tick before a text.
    Box(String),
    /// A line by what it stands for.
    Legend(Line, &'static str),
    Gap,
}

impl Row {
    fn height(&self) -> f64 {
        match self {
            Self::Heading(_) => HEADING_ROW_MM,
            Self::Cells(_) | Self::Legend(..) => ROW_MM,
            Self::Box(_) => ROW_MM + 0.6,
            Self::Gap => BLOCK_GAP_MM,
        }
    }

    fn draw(&self, canvas: &mut Canvas, top_left: Point, width: f64) {
        let baseline = moved(top_left, 0.0, -TEXT_MM);
        match self {
            Self::Heading(text) => {
                canvas.heading(moved(top_left, 0.0, -HEADING_MM), *text);
                let rule = moved(top_left, 0.0, -HEADING_MM - 1.4);
                canvas.line(rule, moved(rule, width, 0.0), Line::Rule);
            }
            Self::Cells(cells) => {
                for (x, anchor, text, weight) in cells {
                    let at = moved(baseline, *x, 0.0);
                    match anchor {
                        Anchor::Start => canvas.sized(at, text.as_str(), TEXT_MM, *weight),
                        Anchor::Middle | Anchor::End => canvas.text(at, *anchor, text.as_str()),
                    }
                }
            }
            Self::Box(text) => {
                let min = moved(baseline, 0.2, -0.2);
                let square = Bounds { min, max: moved(min, TEXT_MM + 0.4, TEXT_MM + 0.4) };
                canvas.closed(corners(&square), Line::Rule);
                canvas.text(moved(baseline, INDENT_MM, 0.0), Anchor::Start, text.as_str());
            }
            Self::Legend(line, name) => {
                let middle = moved(baseline, 0.0, TEXT_MM / 2.0);
                canvas.line(middle, moved(middle, 16.0, 0.0), *line);
                canvas.text(moved(baseline, 19.0, 0.0), Anchor::Start, *name);
            }
            Self::Gap => {}
        }
    }
}

/// The sheets of tables for a room, from its upper left corner down; the first of them on a sheet
/// that something stands on already, in the room that is left of it.
pub(super) fn sheets(
    subject: &Subject<'_>,
    begun: Option<(Canvas, Bounds)>,
    room: Bounds,
) -> Vec<Canvas> {
    let others = ((room.width() - STEPS_MM) / (SENTENCES_MM + BETWEEN_MM)).floor().max(1.0);
    let narrow = (room.width() - STEPS_MM) / others - BETWEEN_MM;
    let mut steps = Flow::new(match &subject.job.stringer {
        Stringer::Cut => step_rows(subject),
        Stringer::Cleated(_) => cleat_rows(subject),
        Stringer::Housed(_) => Vec::new(),
    });
    let mut rest = figure_rows(subject, narrow);
    rest.extend(sentence_rows(subject, narrow));
    let mut rest = Flow::new(rest);
    let (mut sheets, mut begun) = (Vec::new(), begun);
    while !(steps.is_done() && rest.is_done()) {
        let (mut canvas, room) = begun.take().unwrap_or_else(|| (Canvas::default(), room));
        let corner = Point::new(room.min.x, room.max.y);
        let down = steps.fill(&mut canvas, corner, STEPS_MM, (0.0, room.height()));
        if steps.is_done() {
            rest.fill(&mut canvas, corner, narrow, (down, room.height()));
        }
        for i in 0..others as usize {
            let left = STEPS_MM + BETWEEN_MM + (narrow + BETWEEN_MM) * i as f64;
            rest.fill(&mut canvas, moved(corner, left, 0.0), narrow, (0.0, room.height()));
        }
        sheets.push(canvas);
    }
    sheets
}

/// Rows that flow from column to column.
pub(super) struct Flow {
    rows: Vec<Row>,
    next: usize,
}

impl Flow {
    pub(super) fn new(rows: Vec<Row>) -> Self {
        Self { rows, next: 0 }
    }

    pub(super) fn is_done(&self) -> bool {
        self.next == self.rows.len()
    }

    /// What a row needs: a heading stands on no column's foot.
    fn needs(&self, i: usize) -> f64 {
        let own = self.rows[i].height();
        match self.rows[i] {
            Row::Heading(_) if i + 1 < self.rows.len() => own + self.rows[i + 1].height() + ROW_MM,
            _ => own,
        }
    }

    /// Fills a column from one depth to another, and says how far down it is full.
    pub(super) fn fill(
        &mut self,
        canvas: &mut Canvas,
        top_left: Point,
        width: f64,
        (from, to): (f64, f64),
    ) -> f64 {
        let mut y = from;
        while !self.is_done() && (y + self.needs(self.next) <= to || y == 0.0) {
            let row = &self.rows[self.next];
            if !(y == 0.0 && matches!(row, Row::Gap)) {
                row.draw(canvas, moved(top_left, 0.0, -y), width);
                y += row.height();
            }
            self.next += 1;
        }
        y
    }
}

fn cell(x: f64, anchor: Anchor, text: impl Into<String>) -> (f64, Anchor, String, Weight) {
    (x, anchor, text.into(), Weight::Regular)
}

fn figure_rows(subject: &Subject<'_>, width: f64) -> Vec<Row> {
    let flight = subject.flight;
    let pair = |name: String, value: String| {
        let room = width - text_width(&value, TEXT_MM, Weight::Regular) - 2.0;
        let name = fit(&name, room, TEXT_MM, Weight::Regular);
        Row::Cells(vec![cell(0.0, Anchor::Start, name), cell(width, Anchor::End, value)])
    };
    let mut rows = Vec::new();
    if subject.job.stringer.housed().is_none() {
        rows.extend([Row::Gap, Row::Heading("FRAMING SQUARE")]);
        rows.push(pair("unit rise on the tongue".into(), flight.unit_rise.to_string()));
        rows.push(pair("unit run on the body".into(), flight.unit_run.to_string()));
    }
    rows.extend([Row::Gap, Row::Heading("FIGURES")]);
    let numbers = numbers(subject.job, flight, Some(subject.outline), subject.behind_relief);
    rows.extend(
        always(&numbers).map(|(number, value)| pair(number.label.to_string(), value.to_string())),
    );
    rows.push(Row::Gap);
    rows
}

/// The table of steps, each in the unit of the tape and in millimetres.
fn step_rows(subject: &Subject<'_>) -> Vec<Row> {
    let flight = subject.flight;
    let rows = (1..=flight.treads)
        .map(|k| [flight.tread_cut_y(k), flight.nose_x(k), subject.nose_mark(k)]);
    let heads =
        [["height of", "riser cut", "nose mark"], ["tread cut", "from the first", "on board"]];
    numbered_rows("STEP MARKS", "step", heads, rows)
}

/// The table of cleats: the height of each top, where its line meets the upper edge, and how far
/// along the line its front is.
fn cleat_rows(subject: &Subject<'_>) -> Vec<Row> {
    let marks = cleat_marks(subject.job, subject.flight);
    let rows = marks.into_iter().map(|mark| [mark.top, mark.along, mark.front]);
    let heads = [["height of", "along the", "front, along"], ["its top", "upper edge", "its line"]];
    numbered_rows("CLEAT MARKS", "cleat", heads, rows)
}

/// A table of three lengths a row, each in the unit of the tape and in millimetres.
fn numbered_rows(
    heading: &'static str,
    what: &str,
    heads: [[&str; 3]; 2],
    of: impl Iterator<Item = [Length; 3]>,
) -> Vec<Row> {
    let third = (STEPS_MM - 9.0) / 3.0;
    let rights = [1.0, 2.0, 3.0].map(|i| 9.0 + third * i);
    let is_inches = Tape::in_hand() == Tape::Inches;
    let mut rows = vec![Row::Heading(heading)];
    for names in heads {
        let named = |(name, right): (&str, f64)| cell(right, Anchor::End, name);
        rows.push(Row::Cells(names.into_iter().zip(rights).map(named).collect()));
    }
    let mut units = vec![cell(0.0, Anchor::Start, what)];
    for right in rights {
        if is_inches {
            units.push(cell(right - MM_CELL_MM, Anchor::End, "in"));
        }
        units.push(cell(right, Anchor::End, "mm"));
    }
    rows.push(Row::Cells(units));
    for (i, values) in of.enumerate() {
        let mut cells = vec![cell(6.5, Anchor::End, (i + 1).to_string())];
        for (value, right) in values.into_iter().zip(rights) {
            if is_inches {
                cells.push(cell(right - MM_CELL_MM, Anchor::End, on_tape(value)));
            }
            cells.push(cell(right, Anchor::End, decimal(value.as_mm(), 1)));
        }
        rows.push(Row::Cells(cells));
    }
    rows
}

/// A text in rows behind a mark.
fn wrapped(mark: &str, text: &str, width: f64, weight: Weight) -> Vec<Row> {
    let lines = wrap(text, width - INDENT_MM, TEXT_MM, Weight::Regular);
    let row = |(i, line): (usize, String)| {
        let mut cells = vec![cell(INDENT_MM, Anchor::Start, line)];
        if i == 0 && !mark.is_empty() {
            cells.push((0.0, Anchor::Start, mark.to_string(), weight));
        }
        Row::Cells(cells)
    };
    lines.into_iter().enumerate().map(row).collect()
}

/// A section as rows of a column: its notes, each table under its caption.
pub(super) fn section_rows(section: &Section, width: f64) -> Vec<Row> {
    let mut rows = vec![Row::Heading(section.topic.heading())];
    rows.extend(section.notes.iter().flat_map(|note| wrapped("-", note, width, Weight::Regular)));
    for table in &section.tables {
        let caption = fit(&table.caption, width, TEXT_MM, Weight::Bold);
        rows.extend([Row::Gap, Row::Cells(vec![(0.0, Anchor::Start, caption, Weight::Bold)])]);
        let grid = grid(&table.rows);
        let all: f64 = grid.columns.iter().map(|column| column.share).sum();
        let lefts: Vec<(f64, f64)> = grid
            .columns
            .iter()
            .scan(0.0, |left, column| {
                let wide = column.share / all * width;
                *left += wide;
                Some((*left - wide, wide))
            })
            .collect();
        let headings = grid.columns.iter().map(|column| column.heading.to_string());
        rows.extend(in_columns(&headings.map(|words| (words, 1)).collect::<Vec<_>>(), &lefts));
        for row in &grid.rows {
            rows.extend(in_columns(&row.iter().map(cell_words).collect::<Vec<_>>(), &lefts));
        }
    }
    rows
}

/// The words of a cell, and how many columns it takes.
fn cell_words(cell: &Cell) -> (String, usize) {
    match cell {
        Cell::Label(text) | Cell::Tape(text) | Cell::Number(text) | Cell::Exact(text) => {
            (text.clone(), 1)
        }
        Cell::Words(text, columns) => (text.clone(), *columns),
        Cell::Length(length) => (length.to_string(), 1),
        Cell::Empty(_) => (String::new(), 1),
    }
}

/// Cells in their columns, each in as many lines as it needs.
fn in_columns(cells: &[(String, usize)], lefts: &[(f64, f64)]) -> Vec<Row> {
    let mut lines: Vec<Vec<(f64, Anchor, String, Weight)>> = Vec::new();
    let mut column = 0;
    for (text, columns) in cells {
        let (left, _) = lefts[column];
        let wide: f64 = lefts[column..column + columns].iter().map(|(_, wide)| wide).sum();
        for (i, line) in wrap(text, wide - 1.5, TEXT_MM, Weight::Regular).into_iter().enumerate() {
            if lines.len() <= i {
                lines.push(Vec::new());
            }
            lines[i].push(cell(left, Anchor::Start, line));
        }
        column += columns;
    }
    lines.into_iter().map(Row::Cells).collect()
}

/// What a finding weighs and where it is, and its sentence.
fn sentence(finding: &Finding) -> (String, String) {
    let weight = match (&finding.waived, finding.severity) {
        (Some(_), _) => "Refusal, WAIVED",
        (None, Severity::Refusal) => "Refusal",
        (None, Severity::Warning) => "Warning",
        (None, Severity::Advice) => "Note",
    };
    let mut text = finding.sentence();
    if let Some(reason) = &finding.waived {
        text = format!("{text}; taken on by the owner: {reason}");
    }
    (format!("{weight}, {}", finding.place), text)
}

fn sentence_rows(subject: &Subject<'_>, width: f64) -> Vec<Row> {
    let mut rows = vec![Row::Heading("FINDINGS")];
    let (found, on_site) = told(subject.findings);
    if found.is_empty() {
        let none = "None. That is no approval: local code and licensed practice decide.";
        rows.extend(wrapped("", none, width, Weight::Regular));
    }
    for (head, sentence) in found.into_iter().map(sentence) {
        let head = fit(&head, width, TEXT_MM, Weight::Bold);
        rows.push(Row::Cells(vec![(0.0, Anchor::Start, head, Weight::Bold)]));
        rows.extend(wrapped("", &sentence, width, Weight::Regular));
    }
    if !on_site.is_empty() {
        rows.extend([Row::Gap, Row::Heading("CHECK ON SITE")]);
    }
    for item in on_site {
        let text = format!("{}: {}", item.what, item.asks);
        let mut lines = wrap(&text, width - INDENT_MM, TEXT_MM, Weight::Regular).into_iter();
        rows.extend(lines.next().map(Row::Box));
        rows.extend(lines.map(|line| Row::Cells(vec![cell(INDENT_MM, Anchor::Start, line)])));
    }
    rows.extend([Row::Gap, Row::Heading("CAUTIONS")]);
    rows.extend(
        cautions_of(subject.job).flat_map(|text| wrapped("-", text, width, Weight::Regular)),
    );
    rows.extend([Row::Gap, Row::Heading("LEGEND")]);
    let lines = [
        (Line::VisibleEdge, "the part"),
        (Line::Dimension, "dimensions"),
        (Line::Adjacent, "floor, plate, treads, framing"),
        (Line::Centre, "nose line"),
    ];
    rows.extend(lines.map(|(line, name)| Row::Legend(line, name)));
    if Tape::in_hand() == Tape::Inches {
        let signs = "7 1/4+ in, 7 in full: a hair over. 7 1/4- in, 7 in scant: a hair under.";
        let lines = wrap(signs, width, TEXT_MM, Weight::Regular);
        rows.extend(lines.into_iter().map(|line| Row::Cells(vec![cell(0.0, Anchor::Start, line)])));
    }
    rows
}
