//! The stock seen from above with the piece, the way of the tool and the tabs: the still picture that the player moves in.

use super::html::escaped;
use crate::geometry::{Bounds, Contour, Point, Segment, Turn};
use crate::outline::Role;
use crate::plan::{Program, Step};
use crate::units::trimmed;

/// Room round the stock in the picture, as a share of its longer side.
const MARGIN: f64 = 0.03;
/// Length of the arrows at the origin, as a share of the longer side.
const ARROW: f64 = 0.06;
/// The picture is at least and at most this many times as wide as high; a narrower or wider stock leaves room.
const RATIO: (f64, f64) = (1.5, 4.0);

/// The tool: its true circle, and a cross of fixed size with a light rim that shows where it is.
const CUTTER: &str = "<circle/><path class=\"halo\"/><path/>";

/// The picture as an SVG element: pieces in the stock frame, and what the program does.
pub(super) fn picture(pieces: &[Contour<Role>], program: &Program) -> String {
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let long = length.max(width);
    let margin = long * MARGIN;
    let [w, h] = [length + 2.0 * margin, width + 2.0 * margin];
    let view = [-margin, -margin, w, h].map(number).join(" ");
    let up = format!("matrix(1 0 0 -1 0 {})", number(width));
    let piece: Vec<Vec<Segment>> =
        pieces.iter().map(|piece| piece.edges().iter().map(|edge| edge.segment).collect()).collect();
    let bounds = piece.iter().flatten().map(Segment::bounds).reduce(|a, b| a.joined(b));
    let outlines: String = piece.iter().map(|edges| format!("{}Z", path(edges))).collect();
    let piece_box = bounds.map_or(view.clone(), |b| {
        [b.min.x - margin, width - b.max.y - margin, b.width() + 2.0 * margin, b.height() + 2.0 * margin]
            .map(number)
            .join(" ")
    });
    let mut svg = format!(
        "<svg id=\"stage\" role=\"img\" aria-labelledby=\"stage-title stage-text\" viewBox=\"{view}\" data-stock=\"{view}\" \
         data-piece=\"{piece_box}\" data-height=\"{}\" style=\"--u:{};--ratio:{}\">\n",
        number(width),
        number(w.max(h) / 1000.0),
        number((w / h).clamp(RATIO.0, RATIO.1)),
    );
    svg.push_str(&words(program));
    svg.push_str(&format!("<g transform=\"{up}\">\n"));
    svg.push_str(&format!("<rect class=\"stock\" width=\"{}\" height=\"{}\"/>\n", number(length), number(width)));
    svg.push_str(&format!("<path class=\"piece\" d=\"{outlines}\"/>\n"));
    svg.push_str(&format!("<path class=\"way\" d=\"{}\"/>\n", ways(program)));
    svg.push_str(&clamps(program));
    svg.push_str("<g id=\"cuts\"></g>\n");
    svg.push_str(&format!("<path class=\"edge\" d=\"{outlines}\"/>\n"));
    svg.push_str(&format!("<path class=\"origin\" d=\"M{a} 0H0V{a}\"/>\n", a = number(long * ARROW)));
    for tab in &program.tabs {
        svg.push_str(&format!("<path class=\"tab\" d=\"M{} {}h0\"/>\n", number(tab.at.x), number(tab.at.y)));
    }
    svg.push_str("</g>\n");
    svg.push_str(&labels(program, width));
    svg.push_str(&format!("<g transform=\"{up}\"><g id=\"cutter\" visibility=\"hidden\">{CUTTER}</g></g>\n</svg>\n"));
    svg
}

fn words(program: &Program) -> String {
    let text = format!(
        "Seen from above, X to the right and Y up, X0 Y0 at the lower left corner. Stock {} by {}; {} tabs.",
        program.stock.length,
        program.stock.width,
        program.tabs.len()
    );
    format!(
        "<title id=\"stage-title\">The stock with the piece and the tool</title>\n<desc id=\"stage-text\">{}</desc>\n",
        escaped(&text)
    )
}

/// Where a clamp may stand on the piece, and the clamps that stand.
fn clamps(program: &Program) -> String {
    let rect = |class: &str, b: &Bounds| {
        let [x, y, w, h] = [b.min.x, b.min.y, b.width(), b.height()].map(number);
        format!("<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"/>\n")
    };
    let zone: String = program.clamp_zone.iter().map(|zone| rect("zone", zone)).collect();
    program.clamps.iter().fold(zone, |all, clamp| all + &rect("clamp", &clamp.place))
}

/// Every way the tool is fed along, pass by pass.
fn ways(program: &Program) -> String {
    let mut data = String::new();
    let mut run: Vec<Segment> = Vec::new();
    for step in &program.steps {
        match step {
            Step::Cut { segment, .. } => run.push(*segment),
            Step::RapidXy(_) => data.push_str(&path(&std::mem::take(&mut run))),
            _ => {}
        }
    }
    data + &path(&run)
}

fn labels(program: &Program, width: f64) -> String {
    let text = |class: &str, at: Point, words: &str| {
        format!(
            "<text class=\"{class}\" x=\"{}\" y=\"{}\">{}</text>\n",
            number(at.x),
            number(width - at.y),
            escaped(words)
        )
    };
    let mut out = text("corner", Point::origin(), "X0 Y0");
    let middle = |b: &Bounds| Point::new(b.min.x + b.width() / 2.0, b.min.y + b.height() / 2.0);
    if let Some(zone) = &program.clamp_zone {
        out.push_str(&text("clamp-name", middle(zone), "clamp here"));
    }
    for (i, clamp) in program.clamps.iter().enumerate() {
        out.push_str(&text("clamp-name", middle(&clamp.place), &format!("C{}", i + 1)));
    }
    for (i, tab) in program.tabs.iter().enumerate() {
        out.push_str(&text("tab-name", tab.at, &format!("T{}", i + 1)));
    }
    out
}

/// Path data of segments that follow each other.
fn path(segments: &[Segment]) -> String {
    let mut data = String::new();
    for (i, segment) in segments.iter().enumerate() {
        if i == 0 {
            data.push_str(&format!("M{} {}", number(segment.from().x), number(segment.from().y)));
        }
        let to = segment.to();
        match *segment {
            Segment::Line { .. } => data.push_str(&format!("L{} {}", number(to.x), number(to.y))),
            Segment::Arc { turn, .. } => {
                let r = number(segment.radius());
                let large = u8::from(segment.sweep().abs() > std::f64::consts::PI);
                let sweep = u8::from(turn == Turn::Left);
                data.push_str(&format!("A{r} {r} 0 {large} {sweep} {} {}", number(to.x), number(to.y)));
            }
        }
    }
    data
}

fn number(value: f64) -> String {
    trimmed(value, 3)
}
