//! A sheet of SVG in millimetres, y down: strokes by their use on a drawing, and text.

use crate::geometry::{Point, Vector};
use crate::units::trimmed;

/// The use of a line decides its type (ISO 128) and colour; the colours are of the palette for colour-blind eyes of Okabe and
/// Ito, 2008, and each is told apart by its type and width too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Line {
    /// A visible edge of the part: continuous, wide, black.
    Edge,
    /// Dimensions, leaders, tables: continuous, narrow, blue.
    Dimension,
    /// Neighbouring parts: long dash, double dot, narrow, vermilion.
    Neighbour,
    /// Frames and tables: continuous, narrow, black.
    Frame,
}

impl Line {
    fn attributes(self) -> &'static str {
        match self {
            Line::Edge => "stroke=\"#000000\" stroke-width=\"0.6\"",
            Line::Dimension => "stroke=\"#0072b2\" stroke-width=\"0.2\"",
            Line::Neighbour => "stroke=\"#d55e00\" stroke-width=\"0.3\" stroke-dasharray=\"6 1 0.4 1 0.4 1\"",
            Line::Frame => "stroke=\"#000000\" stroke-width=\"0.25\"",
        }
    }
}

/// Where a text is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// The width of a letter of the fonts at hand, in its height: an estimate on the wide side.
pub(super) const LETTER_WIDTH: f64 = 0.6;

/// The text of a drawing under construction.
pub(super) struct Svg {
    body: String,
    width: f64,
    height: f64,
}

impl Svg {
    /// An empty sheet in mm.
    pub fn new(width: f64, height: f64) -> Svg {
        Svg { body: String::new(), width, height }
    }

    /// A run of straight lines.
    pub fn run(&mut self, points: &[Point], line: Line) {
        let points: Vec<String> = points.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect();
        self.body.push_str(&format!(
            "<polyline points=\"{}\" fill=\"none\" {}/>\n",
            points.join(" "),
            line.attributes()
        ));
    }

    /// A line between two points.
    pub fn line(&mut self, from: Point, to: Point, line: Line) {
        self.run(&[from, to], line);
    }

    /// An upright box.
    pub fn frame(&mut self, from: Point, to: Point, line: Line) {
        self.run(&[from, Point::new(to.x, from.y), to, Point::new(from.x, to.y), from], line);
    }

    /// A filled arrow head with its tip at a point, pointing along a direction.
    pub fn arrow(&mut self, tip: Point, along: Vector) {
        let (back, side) = (along.normalize() * 2.5, Vector::new(-along.y, along.x).normalize() * 0.4);
        let corners = [tip, tip - back + side, tip - back - side];
        let points: Vec<String> = corners.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect();
        self.body.push_str(&format!("<polygon points=\"{}\" fill=\"#0072b2\"/>\n", points.join(" ")));
    }

    /// A line of text, its base line at a point, turned counter-clockwise by degrees.
    pub fn text(&mut self, at: Point, size: f64, anchor: Anchor, turn_deg: f64, words: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let (x, y) = (number(at.x), number(at.y));
        let turn = if turn_deg == 0.0 {
            String::new()
        } else {
            format!(" transform=\"rotate({} {x} {y})\"", number(-turn_deg))
        };
        self.body.push_str(&format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" text-anchor=\"{anchor}\"{turn}>{}</text>\n",
            number(size),
            escaped(words)
        ));
    }

    /// The whole file.
    pub fn finish(self, title: &str, description: &str) -> String {
        let (width, height) = (number(self.width), number(self.height));
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" \
             font-family=\"sans-serif\" fill=\"#000000\">\n<title>{}</title>\n<desc>{}</desc>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n{}</svg>\n",
            escaped(title),
            escaped(description),
            self.body
        )
    }
}

fn number(value: f64) -> String {
    trimmed(value, 3)
}

fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;").replace('\'', "&#39;")
}
