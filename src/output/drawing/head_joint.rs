//! The joint at the head on one sheet: the stringer's end, what it meets, what it measures.

use super::canvas::{Canvas, ROW_MM, View, moved};
use super::paper::Paper;
use super::{EDGE_MM, FILING_EDGE_MM, PAD_MM, detail};
use crate::diagnostics::Finding;
use crate::geometry::{Bounds, Point};
use crate::output::page::{Anchor, Line, Page, Size, Weight, fit, wrap};
use crate::pipeline::workup::Workup;
use crate::site::answers::{HeadComparison, JointRow, Sizes};
use crate::site::{JointSketch, Label};
use crate::units::{on_tape, trimmed};

/// Beside the sketch: the labels and the table, with the paddings.
const BESIDE_SKETCH_MM: f64 = 159.0;
/// Over and below the sketch: the title, and what is to be minded.
const ROUND_SKETCH_MM: f64 = 114.0;
const TITLE_MM: f64 = 3.5;
/// Between two labels.
const LABEL_ROW_MM: f64 = 6.2;
/// The table of joints: how far below the title, how far right of the sketch, where its columns
/// begin.
const TABLE_DOWN_MM: f64 = 72.0;
const TABLE_GAP_MM: f64 = 1.0;
const TABLE_COLUMNS_MM: [f64; 5] = [0.0, 54.0, 80.0, 103.0, 124.0];

/// What to mind. Common practice, no source.
const CAUTIONS: [&str; 3] = [
    "Advice only: local code and licensed practice decide how a stair is hung. Contact is a \
    figure, no strength.",
    "Hangers, bolts and screws, and the blocking behind them, are the maker's and the code's \
    matter.",
    "Try the head in place on one stringer before you cut the others. Never scale from the print: \
    the figures count.",
];

/// The drawing of the joint that a job asks for, on a paper or, where none is asked for, on the one
/// that goes with the tape. The same job gives the same page.
pub fn head_joint(workup: &Workup, head: &HeadComparison, paper: Option<Paper>) -> Page {
    let size = paper.unwrap_or_else(Paper::of_tape).size();
    let mut canvas = Canvas::default();
    let (left, right, top) = (FILING_EDGE_MM, size.width_mm - EDGE_MM, size.height_mm - EDGE_MM);
    let frame = [(left, EDGE_MM), (right, EDGE_MM), (right, top), (left, top)];
    canvas.closed(frame.map(|(x, y)| Point::new(x, y)).to_vec(), Line::VisibleEdge);
    let room = Size {
        width_mm: right - left - BESIDE_SKETCH_MM,
        height_mm: size.height_mm - ROUND_SKETCH_MM,
    };
    let kind = head.rows[0].joint.kind.to_string();
    let at = Point::new(left + PAD_MM, top - PAD_MM - TITLE_MM);
    let title = format!("{}: head joint, {kind}", workup.job.title);
    canvas.sized(
        at,
        fit(&title, right - left - 2.0 * PAD_MM, TITLE_MM, Weight::Bold),
        TITLE_MM,
        Weight::Bold,
    );
    let scale = sketch(&mut canvas, head, (moved(at, 5.0, -8.0), room), right - PAD_MM);
    comparison(
        &mut canvas,
        head,
        Point::new(at.x + 5.0 + room.width_mm + TABLE_GAP_MM, at.y - TABLE_DOWN_MM),
    );
    let mut lines: Vec<String> = head.findings.iter().map(Finding::line).collect();
    lines.extend(CAUTIONS.map(str::to_string));
    lines.push(format!(
        "Hang line {}. Scale 1 : {}. Job {}, {}.",
        workup.flight.hang_line,
        trimmed(scale, 1),
        workup.fingerprint,
        crate::output::Stamp::tool()
    ));
    texts(
        &mut canvas,
        &lines,
        Point::new(left + PAD_MM, EDGE_MM + PAD_MM),
        right - left - 2.0 * PAD_MM,
    );
    let labels: String = head.sketch.labels.iter().map(|l| format!("{}. ", l.text)).collect();
    let room = Bounds { min: Point::new(left, EDGE_MM), max: Point::new(right, top) };
    canvas.into_page(size, room, (title, format!("{labels} {}", lines.join(" "))))
}

/// Every joint in figures, that of the job first.
fn comparison(canvas: &mut Canvas, head: &HeadComparison, top_left: Point) {
    let row = |canvas: &mut Canvas, i: usize, cells: [String; 5]| {
        let y = -ROW_MM * i as f64;
        for (cell, x) in cells.into_iter().zip(TABLE_COLUMNS_MM) {
            canvas.text(moved(top_left, x, y), Anchor::Start, cell);
        }
    };
    row(canvas, 0, ["joint", "contact", "bearing", "run lost", "wood above"].map(str::to_string));
    for (i, JointRow { joint, sizes, .. }) in head.rows.iter().enumerate() {
        let mark = if *sizes == Sizes::Asked { "> " } else { "" };
        let contact = joint.contact.map_or("not known".to_string(), on_tape);
        let [bearing, lost, above] = [joint.bearing, joint.run_lost, joint.wood_above].map(on_tape);
        row(canvas, i + 1, [format!("{mark}{}", joint.kind), contact, bearing, lost, above]);
    }
    let note = "> the joint of this job; the others at usual sizes";
    canvas.text(moved(top_left, 0.0, -ROW_MM * (head.rows.len() + 1) as f64), Anchor::Start, note);
}

/// Draws the sketch below `top_left`, its labels beside it; the scale it took.
fn sketch(
    canvas: &mut Canvas,
    head: &HeadComparison,
    (top_left, room): (Point, Size),
    right: f64,
) -> f64 {
    let sketch = &head.sketch;
    let bounds = extent(sketch);
    let holds = |scale: &f64| {
        bounds.width() / scale <= room.width_mm && bounds.height() / scale <= room.height_mm
    };
    let scales = detail::scales();
    let scale = scales.into_iter().find(holds).unwrap_or(scales[scales.len() - 1]);
    let origin = moved(top_left, -bounds.min.x / scale, -bounds.max.y / scale);
    let view = View { scale, origin };
    canvas.closed(sketch.outline.iter().map(|p| view.at(p.x, p.y)).collect(), Line::VisibleEdge);
    for bounds in std::iter::once(&sketch.framing).chain(&sketch.between) {
        canvas.closed(corners(bounds).map(|(x, y)| view.at(x, y)).to_vec(), Line::Adjacent);
    }
    let mut labels: Vec<Label> = sketch.labels.clone();
    let middle =
        |bounds: &Bounds| Point::new(bounds.max.x, (bounds.min.y + 3.0 * bounds.max.y) / 4.0);
    labels.push(Label { at: middle(&sketch.framing), text: "framing".to_string() });
    let pieces = head.rows[0].pieces.clone();
    labels
        .extend(sketch.between.as_ref().map(|between| Label { at: middle(between), text: pieces }));
    labels.sort_by(|a, b| b.at.y.total_cmp(&a.at.y));
    let column = top_left.x + bounds.width() / scale + 12.0;
    for (i, label) in labels.iter().enumerate() {
        let to = Point::new(column, top_left.y - 6.0 - LABEL_ROW_MM * i as f64);
        canvas.open(
            vec![view.at(label.at.x, label.at.y), moved(to, -6.0, 0.7), moved(to, -1.0, 0.7)],
            Line::Dimension,
        );
        canvas.text(
            to,
            Anchor::Start,
            fit(&label.text, right - column, super::canvas::TEXT_MM, Weight::Regular),
        );
    }
    scale
}

fn corners(bounds: &Bounds) -> [(f64, f64); 4] {
    let (min, max) = (bounds.min, bounds.max);
    [(min.x, min.y), (max.x, min.y), (max.x, max.y), (min.x, max.y)]
}

/// The box of everything drawn, in stair mm.
fn extent(sketch: &JointSketch) -> Bounds {
    let points = sketch.outline.iter().map(|&p| Bounds { min: p, max: p });
    points.chain(sketch.between.iter().copied()).fold(sketch.framing, Bounds::joined)
}

/// Lines from the bottom up, the last one lowest.
fn texts(canvas: &mut Canvas, lines: &[String], bottom_left: Point, width: f64) {
    let wrapped: Vec<String> = lines
        .iter()
        .flat_map(|line| wrap(line, width, super::canvas::TEXT_MM, Weight::Regular))
        .collect();
    for (i, line) in wrapped.iter().rev().enumerate() {
        canvas.text(moved(bottom_left, 0.0, ROW_MM * i as f64), Anchor::Start, line.as_str());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Bounds;
    use crate::job::{Joint, Meets, read_job};
    use crate::pipeline::workup::Workup;
    use crate::units::{Length, Tape};

    /// The starter job with a joint.
    fn drawn(joint: Joint, meets: Meets, paper: Paper) -> Page {
        let none = |name: &str| panic!("{name}");
        let mut job = read_job("job", crate::GARDEN_STEPS, &none).unwrap();
        job.around.joint = Some(joint);
        job.head.meets = meets;
        let workup = Workup::of(&job);
        head_joint(&workup, workup.around.head.as_ref().unwrap(), Some(paper))
    }

    #[test]
    fn every_text_stands_inside_the_frame_and_on_no_other() {
        let inches = Length::inches;
        let joints = [
            Joint::AgainstRim,
            Joint::HangerBoard { thickness: inches(1.5), depth: inches(11.25) },
            Joint::LedgerNotch { width: inches(1.5), height: inches(3.5) },
            Joint::DroppedHeader { below: inches(6.0), depth: inches(9.25) },
            Joint::TopOver { below: inches(10.0), bearing: inches(3.5) },
        ];
        for joint in joints {
            for meets in [Meets::OneDown, Meets::Flush] {
                for paper in [Paper::Letter, Paper::A4, Paper::Tabloid, Paper::A3] {
                    assert_apart(
                        &drawn(joint, meets, paper),
                        &format!("{joint:?} {meets:?} {paper:?}"),
                    );
                }
            }
        }
    }

    #[test]
    fn its_scale_is_one_that_a_rule_has_an_edge_for_in_either_unit() {
        let below = Length::inches(6.0);
        let joints = [
            Joint::AgainstRim,
            Joint::HangerBoard { thickness: Length::inches(1.5), depth: Length::inches(11.25) },
            Joint::DroppedHeader { below, depth: Length::inches(9.25) },
        ];
        let mut taken = Vec::new();
        for (tape, papers) in [
            (Tape::Inches, [Paper::Letter, Paper::Tabloid]),
            (Tape::Metric, [Paper::A4, Paper::A3]),
        ] {
            for (joint, paper) in joints.into_iter().flat_map(|of| papers.map(|on| (of, on))) {
                tape.tells(|| {
                    let page = drawn(joint, Meets::OneDown, paper);
                    let mut words =
                        page.texts().filter_map(|text| text.content.split_once("Scale 1 : "));
                    let (_, rest) = words.next().expect("a scale");
                    let scale: f64 = rest.split(". ").next().unwrap().parse().unwrap();
                    assert!(detail::scales().contains(&scale), "{tape:?} {paper:?}: {scale}");
                    taken.push(scale);
                });
            }
        }
        assert!(taken.iter().any(|scale| *scale != taken[0]), "{taken:?}");
    }

    fn assert_apart(sheet: &Page, what: &str) {
        let (right, top) = (sheet.size.width_mm - EDGE_MM, sheet.size.height_mm - EDGE_MM);
        let boxes: Vec<Bounds> = sheet.texts().map(|text| text.bounds()).collect();
        for (i, a) in boxes.iter().enumerate() {
            let inside = a.min.x >= FILING_EDGE_MM && a.max.x <= right;
            assert!(inside && a.min.y >= EDGE_MM && a.max.y <= top, "{what}: {a:?}");
            let apart = |b: &Bounds| {
                a.max.x <= b.min.x || b.max.x <= a.min.x || a.max.y <= b.min.y || b.max.y <= a.min.y
            };
            assert!(boxes[i + 1..].iter().all(apart), "{what}: two texts on each other at {a:?}");
        }
    }
}
