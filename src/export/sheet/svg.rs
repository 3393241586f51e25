//! A sheet as an SVG file, in real millimetres. Presentation attributes only: it looks the same wherever it is shown.

use std::fmt::Write;

use super::{Anchor, Ink, Item, Line, Path, Sheet, Text, Weight, on_circle};
use crate::geometry::Point;
use crate::units::trimmed;

/// Digits after the point: a thousandth of a millimetre of paper.
const PLACES: usize = 3;

/// The sheet as SVG 1.1. The same sheet gives the same bytes.
pub fn to_svg(sheet: &Sheet) -> String {
    let (width, height) = (number(sheet.width_mm), number(sheet.height_mm));
    let mut out = String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"title desc\">"
    );
    let _ = writeln!(out, "<title id=\"title\">{}</title>", escaped(&sheet.title));
    let _ = writeln!(out, "<desc id=\"desc\">{}</desc>", escaped(&sheet.description));
    let _ = writeln!(out, "<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>", color(Ink::Paper));
    let _ = writeln!(out, "<g font-family=\"sans-serif\" stroke-linejoin=\"miter\">");
    for item in &sheet.items {
        write_item(&mut out, sheet, item);
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn write_item(out: &mut String, sheet: &Sheet, item: &Item) {
    match item {
        Item::Stroke { path, line } => write_stroke(out, sheet, path, *line),
        Item::Fill { corners, ink } => {
            let _ = writeln!(out, "<path d=\"{}Z\" fill=\"{}\"/>", through(sheet, corners), color(*ink));
        }
        Item::Text(text) => write_text(out, sheet, text),
    }
}

fn write_stroke(out: &mut String, sheet: &Sheet, path: &Path, line: Line) {
    let d = match path {
        Path::Open(points) => through(sheet, points),
        Path::Closed(points) => through(sheet, points) + "Z",
        &Path::Arc { center, radius, from_deg, sweep_deg } => arc(sheet, center, radius, from_deg, sweep_deg),
    };
    let _ = write!(out, "<path d=\"{d}\" fill=\"none\" stroke=\"{}\"", color(line.ink()));
    let _ = write!(out, " stroke-width=\"{}\"", number(line.width_mm()));
    let dashes: Vec<String> = line.dashes_mm().into_iter().map(number).collect();
    if !dashes.is_empty() {
        let _ = write!(out, " stroke-dasharray=\"{}\"", dashes.join(" "));
    }
    out.push_str("/>\n");
}

/// Two halves, because one whole turn has no direction in SVG.
fn arc(sheet: &Sheet, center: Point, radius: f64, from_deg: f64, sweep_deg: f64) -> String {
    let r = number(radius);
    // The page's y runs down, so a counter-clockwise arc has the flag of a clockwise one.
    let flag = if sweep_deg > 0.0 { 0 } else { 1 };
    let at = |share: f64| point(sheet, on_circle(center, radius, from_deg + sweep_deg * share));
    format!("M{}A{r} {r} 0 0 {flag} {}A{r} {r} 0 0 {flag} {}", at(0.0), at(0.5), at(1.0))
}

fn write_text(out: &mut String, sheet: &Sheet, text: &Text) {
    let (x, y) = on_page(sheet, text.at);
    let _ = write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(text.font_size_mm()));
    match text.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if text.weight == Weight::Bold {
        out.push_str(" font-weight=\"bold\"");
    }
    let turn = number(-text.turn_deg);
    if turn != "0" {
        let _ = write!(out, " transform=\"rotate({turn} {x} {y})\"");
    }
    let _ = writeln!(out, " fill=\"{}\">{}</text>", color(Ink::Black), escaped(&text.content));
}

fn through(sheet: &Sheet, points: &[Point]) -> String {
    let places: Vec<String> = points.iter().map(|p| point(sheet, *p)).collect();
    format!("M{}", places.join("L"))
}

fn point(sheet: &Sheet, p: Point) -> String {
    let (x, y) = on_page(sheet, p);
    format!("{x} {y}")
}

fn on_page(sheet: &Sheet, p: Point) -> (String, String) {
    (number(p.x), number(sheet.height_mm - p.y))
}

fn number(value: f64) -> String {
    trimmed(value, PLACES)
}

fn color(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Text as XML 1.0 takes it: five characters by name, those it forbids replaced.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => out.push(char::REPLACEMENT_CHARACTER),
            c if c.is_control() => out.push(char::REPLACEMENT_CHARACTER),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn svg(item: Item) -> String {
        let (title, description) = ("a <b> & \"c\"".to_string(), "'d'\u{1}".to_string());
        to_svg(&Sheet { width_mm: 100.0, height_mm: 50.0, title, description, items: vec![item] })
    }

    #[test]
    fn the_paper_is_in_millimetres_and_y_runs_up() {
        let line = Item::Stroke { path: Path::Open(vec![Point::origin(), Point::new(10.0, 50.0)]), line: Line::Hidden };
        let text = svg(line);
        assert!(text.contains("width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\""));
        assert!(text.contains("d=\"M0 50L10 0\""));
        assert!(text.contains("stroke-dasharray=\"3 0.75\""));
    }

    #[test]
    fn what_xml_reserves_or_forbids_does_not_get_through() {
        let text = svg(Item::Fill { corners: vec![Point::origin()], ink: Ink::Black });
        assert!(text.contains("a &lt;b&gt; &amp; &quot;c&quot;") && text.contains("&#39;d&#39;\u{fffd}"));
    }

    #[test]
    fn a_whole_circle_is_drawn_as_two_halves_that_return() {
        let path = Path::Arc { center: Point::new(10.0, 10.0), radius: 1.0, from_deg: 0.0, sweep_deg: 360.0 };
        let text = svg(Item::Stroke { path, line: Line::Dimension });
        assert!(text.contains("M11 40A1 1 0 0 0 9 40A1 1 0 0 0 11 40"), "{text}");
    }
}
