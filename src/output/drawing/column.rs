//! The column beside the views: every step in a table, the figures, the findings, the cautions.

use super::Subject;
use super::canvas::{Canvas, HEADING_MM, ROW_MM, TEXT_MM};
use crate::diagnostics::{Finding, Severity};
use crate::geometry::Point;
use crate::output::content::CAUTIONS;
use crate::output::page::{Anchor, Line, Weight, fit, text_width, wrap};
use crate::pipeline::numbers::{always, numbers};
use crate::units::{Tape, decimal, on_tape};

/// Between two blocks.
const BLOCK_GAP_MM: f64 = 3.0;
/// What a heading takes.
const HEADING_ROW_MM: f64 = HEADING_MM + 2.2;
/// Between a figure's name and its value, and between two figures of a row.
const FIGURE_GAP_MM: f64 = 2.0;
/// Room of the millimetres in the table of steps.
const MM_CELL_MM: f64 = 13.0;
/// The least room for findings: a heading and four rows.
const LEAST_FINDINGS_MM: f64 = HEADING_ROW_MM + 4.0 * ROW_MM;

/// A column that fills from the top.
struct Column<'a> {
    canvas: &'a mut Canvas,
    left: f64,
    width: f64,
    y: f64,
}

/// The least height of the column, findings cut down as far as they go.
pub(super) fn least_height(subject: &Subject<'_>, width: f64) -> f64 {
    subject.flight.treads as f64 * ROW_MM + height_without_steps(subject, width)
}

fn height_without_steps(subject: &Subject<'_>, width: f64) -> f64 {
    let blocks =
        [2.0 * ROW_MM, figures(subject).len().div_ceil(2) as f64 * ROW_MM, cautions_height(width)];
    let headings = blocks.len() as f64 * (HEADING_ROW_MM + BLOCK_GAP_MM);
    blocks.iter().sum::<f64>() + headings + LEAST_FINDINGS_MM + BLOCK_GAP_MM + LEGEND_MM
}

fn cautions_height(width: f64) -> f64 {
    CAUTIONS.iter().map(|text| caution_lines(text, width).len() as f64 * ROW_MM).sum()
}

fn caution_lines(text: &str, width: f64) -> Vec<String> {
    wrap(text, width - 3.0, TEXT_MM, Weight::Regular)
}

/// Draws the column between two heights.
pub(super) fn draw(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    left: f64,
    width: f64,
    top: f64,
    bottom: f64,
) {
    let mut column = Column { canvas, left, width, y: top };
    let room = top - bottom - height_without_steps(subject, width);
    column.steps(subject, (room / ROW_MM).floor().max(1.0) as usize);
    column.figures(subject);
    let below = cautions_height(width) + HEADING_ROW_MM + BLOCK_GAP_MM + LEGEND_MM;
    column.findings(subject.findings, bottom + below + BLOCK_GAP_MM);
    column.y = bottom + below;
    column.cautions();
    column.legend();
}

/// Room of the legend.
const LEGEND_MM: f64 = 2.0 * ROW_MM + 2.0;

impl Column<'_> {
    fn heading(&mut self, text: &str) {
        self.y -= HEADING_MM;
        self.canvas.heading(Point::new(self.left, self.y), text);
        self.y -= 1.0;
        self.rule();
        self.y -= HEADING_ROW_MM - HEADING_MM - 1.0;
    }

    fn rule(&mut self) {
        let (from, to) =
            (Point::new(self.left, self.y), Point::new(self.left + self.width, self.y));
        self.canvas.line(from, to, Line::Rule);
    }

    /// The baseline of the next row.
    fn row(&mut self) -> f64 {
        let baseline = self.y - TEXT_MM;
        self.y -= ROW_MM;
        baseline
    }

    /// The table of steps. Only a flight beyond every rule set has more than fit the largest sheet.
    fn steps(&mut self, subject: &Subject<'_>, most: usize) {
        self.heading("STEP MARKS");
        let third = (self.width - 9.0) / 3.0;
        let right_of = |i: usize| self.left + 9.0 + third * (i as f64 + 1.0);
        let rights = [right_of(0), right_of(1), right_of(2)];
        let y = self.row();
        for (name, right) in
            ["height of tread cut", "riser cut from the first", "nose mark on board"]
                .into_iter()
                .zip(rights)
        {
            self.canvas.text(Point::new(right, y), Anchor::End, name);
        }
        let y = self.row();
        self.canvas.text(Point::new(self.left, y), Anchor::Start, "step");
        let is_inches = Tape::in_hand() == Tape::Inches;
        for right in rights {
            if is_inches {
                self.canvas.text(Point::new(right - MM_CELL_MM, y), Anchor::End, "in");
            }
            self.canvas.text(Point::new(right, y), Anchor::End, "mm");
        }
        let flight = subject.flight;
        let shown = if flight.treads > most { most - 1 } else { flight.treads };
        for k in 1..=shown {
            let y = self.row();
            self.canvas.text(Point::new(self.left + 5.0, y), Anchor::End, k.to_string());
            let values = [flight.tread_cut_y(k), flight.nose_x(k), subject.nose_mark(k)];
            for (value, right) in values.into_iter().zip(rights) {
                if is_inches {
                    let at = Point::new(right - MM_CELL_MM, y);
                    self.canvas.text(at, Anchor::End, on_tape(value));
                }
                self.canvas.text(Point::new(right, y), Anchor::End, decimal(value.as_mm(), 1));
            }
        }
        if shown < flight.treads {
            let y = self.row();
            let text = format!("... and {} more, see report.json", flight.treads - shown);
            self.canvas.text(Point::new(self.left, y), Anchor::Start, text);
        }
        self.y -= BLOCK_GAP_MM;
    }

    fn figures(&mut self, subject: &Subject<'_>) {
        self.heading("FIGURES");
        let figures = figures(subject);
        let rows = figures.len().div_ceil(2);
        let (first, second) = figures.split_at(rows);
        let slack = self.width - widest(first) - widest(second);
        let split = widest(first) + slack / 2.0;
        let spans = [
            (first, 0.0, split - FIGURE_GAP_MM / 2.0),
            (second, split + FIGURE_GAP_MM / 2.0, self.width),
        ];
        let top = self.y;
        for (figures, from, to) in spans {
            self.y = top;
            for (name, value) in figures {
                let y = self.row();
                let room =
                    to - from - text_width(value, TEXT_MM, Weight::Regular) - FIGURE_GAP_MM / 2.0;
                let name = fit(name, room, TEXT_MM, Weight::Regular);
                self.canvas.text(Point::new(self.left + from, y), Anchor::Start, name);
                self.canvas.text(Point::new(self.left + to, y), Anchor::End, value.clone());
            }
        }
        self.y = top - ROW_MM * rows as f64;
        self.y -= BLOCK_GAP_MM;
    }

    fn findings(&mut self, findings: &[Finding], bottom: f64) {
        self.heading("FINDINGS");
        let mut sorted: Vec<&Finding> = findings.iter().collect();
        sorted.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
        if sorted.is_empty() {
            let y = self.row();
            let text = "None. That is no approval: local code and licensed practice decide.";
            self.canvas.text(Point::new(self.left, y), Anchor::Start, text);
        }
        for (i, finding) in sorted.iter().enumerate() {
            let lines = detail(finding, self.width - 3.0);
            let needed = (lines.len() + 1) as f64 * ROW_MM;
            let more = if i + 1 < sorted.len() { ROW_MM } else { 0.0 };
            if self.y - needed - more < bottom {
                let y = self.row();
                let text = format!("... and {} more, see report.json", sorted.len() - i);
                self.canvas.text(Point::new(self.left, y), Anchor::Start, text);
                return;
            }
            self.finding(finding, lines);
        }
    }

    fn finding(&mut self, finding: &Finding, lines: Vec<String>) {
        let y = self.row();
        let weight = match finding.severity {
            Severity::Advice => Weight::Regular,
            Severity::Warning | Severity::Refusal => Weight::Bold,
        };
        self.canvas.sized(Point::new(self.left, y), finding.standing(), TEXT_MM, weight);
        let head = fit(&finding.subject(), self.width - 19.0, TEXT_MM, weight);
        self.canvas.sized(Point::new(self.left + 19.0, y), head, TEXT_MM, weight);
        for line in lines {
            let y = self.row();
            self.canvas.text(Point::new(self.left + 3.0, y), Anchor::Start, line);
        }
    }

    fn cautions(&mut self) {
        self.heading("CAUTIONS");
        for text in CAUTIONS {
            for (i, line) in caution_lines(text, self.width).into_iter().enumerate() {
                let y = self.row();
                if i == 0 {
                    self.canvas.text(Point::new(self.left, y), Anchor::Start, "-");
                }
                self.canvas.text(Point::new(self.left + 3.0, y), Anchor::Start, line);
            }
        }
    }

    fn legend(&mut self) {
        let half = self.width / 2.0;
        self.y -= 1.0;
        let rows = [
            [(Line::VisibleEdge, "the part"), (Line::Adjacent, "floor, plate, treads, framing")],
            [(Line::Dimension, "dimensions"), (Line::Centre, "nose line")],
        ];
        for row in rows {
            let y = self.row();
            for (i, (line, name)) in row.into_iter().enumerate() {
                let left = self.left + half * i as f64;
                let middle = y + TEXT_MM / 2.0;
                self.canvas.line(Point::new(left, middle), Point::new(left + 15.0, middle), line);
                self.canvas.text(Point::new(left + 17.0, y), Anchor::Start, name);
            }
        }
    }
}

/// The room of the widest of some figures: name, gap, value.
fn widest(figures: &[(&str, String)]) -> f64 {
    let wide = |text: &str| text_width(text, TEXT_MM, Weight::Regular);
    figures.iter().map(|(name, value)| wide(name) + FIGURE_GAP_MM + wide(value)).fold(0.0, f64::max)
}

/// The layout numbers by name.
fn figures(subject: &Subject<'_>) -> Vec<(&'static str, String)> {
    let numbers =
        numbers(subject.job, subject.flight, Some(subject.outline), subject.behind_relief);
    always(&numbers).map(|(number, value)| (number.label, value.to_string())).collect()
}

/// What a finding says besides its name, in lines.
fn detail(finding: &Finding, width: f64) -> Vec<String> {
    let mut text = finding.sentence();
    if let Some(reason) = &finding.waived {
        text = format!("{text}; taken on by the owner: {reason}");
    }
    wrap(&text, width, TEXT_MM, Weight::Regular)
}
