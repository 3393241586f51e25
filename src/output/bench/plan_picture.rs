//! The stock seen from above with the piece, the way of the tool and the tabs: the still picture
//! that the player moves in.

use maud::{Markup, html};

use crate::cam::plan::{Program, Step};
use crate::geometry::{Bounds, Contour, Point, Segment, Turn};
use crate::stair::outline::Role;
use crate::units::trimmed;

/// Room round the stock in the picture, as a share of its longer side.
const MARGIN: f64 = 0.03;
/// Length of the arrows at the origin, as a share of the longer side.
const ARROW: f64 = 0.06;
/// The picture is at least and at most this many times as wide as high; a narrower or wider stock
/// leaves room.
const RATIO: (f64, f64) = (1.5, 4.0);

/// The picture as an SVG element: pieces in the stock frame, and what the program does.
pub(super) fn picture(pieces: &[Contour<Role>], program: &Program) -> Markup {
    let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
    let long = length.max(width);
    let margin = long * MARGIN;
    let [w, h] = [length + 2.0 * margin, width + 2.0 * margin];
    let view = [-margin, -margin, w, h].map(number).join(" ");
    let up = format!("matrix(1 0 0 -1 0 {})", number(width));
    let piece: Vec<Vec<Segment>> = pieces
        .iter()
        .map(|piece| piece.edges().iter().map(|edge| edge.segment).collect())
        .collect();
    let bounds = piece.iter().flatten().map(Segment::bounds).reduce(|a, b| a.joined(b));
    let outlines: String = piece.iter().map(|edges| format!("{}Z", path(edges))).collect();
    let piece_box = bounds.map_or(view.clone(), |b| {
        [
            b.min.x - margin,
            width - b.max.y - margin,
            b.width() + 2.0 * margin,
            b.height() + 2.0 * margin,
        ]
        .map(number)
        .join(" ")
    });
    let style = format!(
        "--u:{};--ratio:{}",
        number(w.max(h) / 1000.0),
        number((w / h).clamp(RATIO.0, RATIO.1))
    );
    let arrows = number(long * ARROW);
    html! {
        svg #stage role="img" aria-labelledby="stage-title stage-text" viewBox=(view) data-stock=(view)
            data-piece=(piece_box) data-height=(number(width)) style=(style) { "\n"
            title #stage-title { "The stock with the piece and the tool" } "\n"
            desc #stage-text { (words(program)) } "\n"
            g transform=(up) { "\n"
                rect.stock width=(number(length)) height=(number(width)) {} "\n"
                path.piece d=(outlines) {} "\n"
                path.way d=(ways(program)) {} "\n"
                @if let Some(zone) = &program.clamp_zone { (rectangle("zone", zone)) }
                @for clamp in &program.clamps { (rectangle("clamp", &clamp.place)) }
                g #cuts {} "\n"
                path.edge d=(outlines) {} "\n"
                path.origin d={ "M" (arrows) " 0H0V" (arrows) } {} "\n"
                @for tab in &program.tabs {
                    path.tab d={ "M" (number(tab.at.x)) " " (number(tab.at.y)) "h0" } {} "\n"
                }
            } "\n"
            @for (class, at, words) in labels(program) {
                text class=(class) x=(number(at.x)) y=(number(width - at.y)) { (words) } "\n"
            }
            // The tool: its true circle, and a cross of fixed size with a light rim that shows
            // where it is.
            g transform=(up) { g #cutter visibility="hidden" { circle {} path.halo {} path {} } } "\n"
        }
    }
}

fn words(program: &Program) -> String {
    format!(
        "Seen from above, X to the right and Y up, X0 Y0 at the lower left corner. Stock {} by {}; {} tabs.",
        program.stock.length,
        program.stock.width,
        program.tabs.len()
    )
}

fn rectangle(class: &str, b: &Bounds) -> Markup {
    let [x, y, w, h] = [b.min.x, b.min.y, b.width(), b.height()].map(number);
    html! { rect class=(class) x=(x) y=(y) width=(w) height=(h) {} "\n" }
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

/// What is named in the picture: a class, a place in the stock frame, words.
fn labels(program: &Program) -> Vec<(&'static str, Point, String)> {
    let middle = |b: &Bounds| nalgebra::center(&b.min, &b.max);
    let mut labels = vec![("corner", Point::origin(), "X0 Y0".to_string())];
    labels.extend(
        program
            .clamp_zone
            .iter()
            .map(|zone| ("clamp-name", middle(zone), "clamp here".to_string())),
    );
    let clamps = program.clamps.iter().enumerate();
    labels.extend(
        clamps.map(|(i, clamp)| ("clamp-name", middle(&clamp.place), format!("C{}", i + 1))),
    );
    labels.extend(
        program.tabs.iter().enumerate().map(|(i, tab)| ("tab-name", tab.at, format!("T{}", i + 1))),
    );
    labels
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
                data.push_str(&format!(
                    "A{r} {r} 0 {large} {sweep} {} {}",
                    number(to.x),
                    number(to.y)
                ));
            }
        }
    }
    data
}

fn number(value: f64) -> String {
    trimmed(value, 3)
}
