//! The stock of each program seen from above with its pieces, clamps and tabs: the still pictures
//! that the player moves in.

use maud::{Markup, html};

use super::Played;
use crate::cam::plan::{Program, Step, Tab};
use crate::geometry::{Bounds, Point, Segment, Turn, Vector};
use crate::units::trimmed;

/// Room round the stock in the picture, as a share of its longer side.
const MARGIN: f64 = 0.03;
/// Length of the arrows at the origin, as a share of the longer side.
const ARROW: f64 = 0.06;
/// The picture is at least and at most this many times as wide as high; a narrower or wider stock
/// leaves room.
const RATIO: (f64, f64) = (1.5, 4.0);

/// The pictures in one SVG element, one of them shown: what lies below the cuts, the place of the
/// cuts, what lies over them, the tool.
pub(super) fn picture(played: &[Played<'_>], shown: usize) -> Markup {
    let scenes: Vec<Scene<'_>> = played.iter().map(Scene::of).collect();
    let first = &scenes[shown];
    let hidden = |i: usize| (i != shown).then_some("none");
    let style = format!(
        "--u:{};--ratio:{}",
        number(first.size.0.max(first.size.1) / 1000.0),
        number((first.size.0 / first.size.1).clamp(RATIO.0, RATIO.1))
    );
    html! {
        svg #stage role="img" aria-labelledby="stage-title stage-text" viewBox=(first.view) style=(style) { "\n"
            title #stage-title { "The stock with its pieces and the tool" } "\n"
            desc #stage-text { (words(first.program)) } "\n"
            @for (i, scene) in scenes.iter().enumerate() {
                g.under display=[hidden(i)] transform=(scene.up) data-stock=(scene.view)
                    data-piece=(scene.piece_box) data-height=(number(scene.height())) { (scene.under()) } "\n"
            }
            g #ground transform=(first.up) {
                path #way {} path #before {} g #cuts {} g #trail {}
            } "\n"
            @for (i, scene) in scenes.iter().enumerate() {
                g.over display=[hidden(i)] { (scene.over()) } "\n"
            }
            // The tool: its true circle, and a cross of fixed size with a light rim that shows
            // where it is.
            g #tool transform=(first.up) {
                g #cutter visibility="hidden" { circle {} path.halo {} path {} }
            } "\n"
        }
    }
}

/// One program's picture.
struct Scene<'a> {
    program: &'a Program,
    tool_mm: f64,
    outlines: String,
    size: (f64, f64),
    view: String,
    piece_box: String,
    up: String,
}

impl<'a> Scene<'a> {
    fn of(played: &'a Played<'_>) -> Self {
        let program = played.run.program;
        let (length, width) = (program.stock.length.as_mm(), program.stock.width.as_mm());
        let margin = length.max(width) * MARGIN;
        let [w, h] = [length + 2.0 * margin, width + 2.0 * margin];
        let view = [-margin, -margin, w, h].map(number).join(" ");
        let pieces: Vec<Vec<Segment>> = played
            .pieces
            .iter()
            .map(|piece| piece.edges().iter().map(|edge| edge.segment).collect())
            .collect();
        let bounds = pieces.iter().flatten().map(Segment::bounds).reduce(Bounds::joined);
        let close = |b: Bounds| {
            let corner = [b.min.x - margin, width - b.max.y - margin];
            let size = [b.width() + 2.0 * margin, b.height() + 2.0 * margin];
            [corner, size].concat().into_iter().map(number).collect::<Vec<_>>().join(" ")
        };
        Self {
            program,
            tool_mm: 2.0 * played.run.machine.tool_radius().as_mm(),
            outlines: pieces.iter().map(|edges| format!("{}Z", path(edges))).collect(),
            size: (w, h),
            piece_box: bounds.map_or(view.clone(), close),
            view,
            up: format!("matrix(1 0 0 -1 0 {})", number(width)),
        }
    }

    fn height(&self) -> f64 {
        self.program.stock.width.as_mm()
    }

    fn under(&self) -> Markup {
        let stock = &self.program.stock;
        html! {
            rect.stock width=(number(stock.length.as_mm())) height=(number(self.height())) {}
            path.piece d=(self.outlines) {}
            @if let Some(zone) = &self.program.clamp_zone { (rectangle("zone", zone)) }
            @for clamp in &self.program.clamps { (rectangle("clamp", &clamp.place)) }
        }
    }

    fn over(&self) -> Markup {
        let arrows = number(self.program.stock.length.as_mm().max(self.height()) * ARROW);
        let bridges: String = self.program.tabs.iter().map(|tab| self.bridge(tab)).collect();
        let wide = format!("--bridge:{}px", number(self.tool_mm));
        html! {
            g transform=(self.up) {
                path.edge d=(self.outlines) {}
                path.origin d={ "M" (arrows) " 0H0V" (arrows) } {}
                @if !bridges.is_empty() {
                    path.tab-rim d=(bridges) style=(wide) {}
                    path.tab d=(bridges) style=(wide) {}
                }
            }
            @for (class, at, words) in labels(self.program) {
                text class=(class) x=(number(at.x)) y=(number(self.height() - at.y)) { (words) }
            }
        }
    }

    /// The wood that stays across the cut: as long as the tab, along the tool's way there.
    fn bridge(&self, tab: &Tab) -> String {
        let lines = self.program.steps.iter().filter_map(|step| match step {
            Step::Cut { segment: Segment::Line { from, to }, .. } if from != to => {
                Some((*from, *to))
            }
            _ => None,
        });
        let off = |(from, to): &(Point, Point)| from_line(tab.at, *from, *to);
        let nearest = lines.min_by(|a, b| off(a).total_cmp(&off(b)));
        let along = nearest.map_or(Vector::x(), |(from, to)| (to - from).normalize());
        let half = along * (tab.length_mm / 2.0);
        path(&[Segment::Line { from: tab.at - half, to: tab.at + half }])
    }
}

/// How far a point is from a straight stretch.
fn from_line(at: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let share = ((at - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (at - (from + along * share)).norm()
}

fn words(program: &Program) -> String {
    format!(
        "Seen from above, X to the right and Y up, X0 Y0 at the lower left corner. Stock {} by {}; \
        {} tabs.",
        program.stock.length,
        program.stock.width,
        program.tabs.len()
    )
}

fn rectangle(class: &str, b: &Bounds) -> Markup {
    let [x, y, w, h] = [b.min.x, b.min.y, b.width(), b.height()].map(number);
    html! { rect class=(class) x=(x) y=(y) width=(w) height=(h) {} }
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
        clamps.map(|(i, clamp)| ("clamp-name", middle(&clamp.place), format!("clamp {}", i + 1))),
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
