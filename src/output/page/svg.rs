//! A page as an SVG file, in real millimetres. Presentation attributes only: it looks the same
//! wherever it is shown.

use maud::{Markup, PreEscaped, html};

use super::{Anchor, Ink, Item, Line, Page, Path, Text, Weight, on_circle};
use crate::diagnostics::visible::visible;
use crate::geometry::Point;
use crate::units::trimmed;

/// Digits after the point: a thousandth of a millimetre of paper.
const PLACES: usize = 3;
const DECLARATION: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";

/// The page as SVG 1.1. The same page gives the same bytes. What does not print is spelled out: XML
/// forbids most of it.
pub fn to_svg(page: &Page) -> String {
    let (width, height) = (number(page.size.width_mm), number(page.size.height_mm));
    let svg = html! {
        (PreEscaped(DECLARATION))
        svg xmlns="http://www.w3.org/2000/svg" version="1.1" width={ (width) "mm" } height={ (height) "mm" }
            viewBox={ "0 0 " (width) " " (height) } role="img" aria-labelledby="title desc" { "\n"
            title #title { (visible(&page.title)) } "\n"
            desc #desc { (visible(&page.description)) } "\n"
            rect width=(width) height=(height) fill=(color(Ink::Paper)) {} "\n"
            g font-family="sans-serif" stroke-linejoin="miter" { "\n"
                @for layer in &page.layers {
                    @for item in &layer.items { (drawn(page, item)) "\n" }
                    @for text in &layer.texts { (written(page, text)) "\n" }
                }
            } "\n"
        } "\n"
    };
    svg.into_string()
}

fn drawn(page: &Page, item: &Item) -> Markup {
    match item {
        Item::Stroke { path, line } => {
            let dashes = dashes(*line);
            html! {
                path d=(data(page, path)) fill="none" stroke=(color(line.ink())) stroke-width=(number(line.width_mm()))
                    stroke-dasharray=[dashes] {}
            }
        }
        Item::Fill { corners, ink } => {
            html! { path d={ (through(page, corners)) "Z" } fill=(color(*ink)) {} }
        }
    }
}

fn dashes(line: Line) -> Option<String> {
    let dashes: Vec<String> = line.dashes_mm().into_iter().map(number).collect();
    (!dashes.is_empty()).then(|| dashes.join(" "))
}

fn data(page: &Page, path: &Path) -> String {
    match path {
        Path::Open(points) => through(page, points),
        Path::Closed(points) => through(page, points) + "Z",
        &Path::Arc { center, radius, from_deg, sweep_deg } => {
            arc(page, center, radius, from_deg, sweep_deg)
        }
    }
}

/// Two halves, because one whole turn has no direction in SVG.
fn arc(page: &Page, center: Point, radius: f64, from_deg: f64, sweep_deg: f64) -> String {
    let r = number(radius);
    // The page's y runs down, so a counter-clockwise arc has the flag of a clockwise one.
    let flag = if sweep_deg > 0.0 { 0 } else { 1 };
    let at = |share: f64| point(page, on_circle(center, radius, from_deg + sweep_deg * share));
    format!("M{}A{r} {r} 0 0 {flag} {}A{r} {r} 0 0 {flag} {}", at(0.0), at(0.5), at(1.0))
}

fn written(page: &Page, text: &Text) -> Markup {
    let (x, y) = on_page(page, text.at);
    let anchor = match text.anchor {
        Anchor::Start => None,
        Anchor::Middle => Some("middle"),
        Anchor::End => Some("end"),
    };
    let turn = number(-text.turn_deg);
    let transform = (turn != "0").then(|| format!("rotate({turn} {x} {y})"));
    html! {
        text x=(x) y=(y) font-size=(number(text.font_size_mm())) text-anchor=[anchor]
            font-weight=[(text.weight == Weight::Bold).then_some("bold")] transform=[transform]
            fill=(color(Ink::Black)) { (visible(&text.content)) }
    }
}

fn through(page: &Page, points: &[Point]) -> String {
    let places: Vec<String> = points.iter().map(|p| point(page, *p)).collect();
    format!("M{}", places.join("L"))
}

fn point(page: &Page, p: Point) -> String {
    let (x, y) = on_page(page, p);
    format!("{x} {y}")
}

fn on_page(page: &Page, p: Point) -> (String, String) {
    (number(p.x), number(page.size.height_mm - p.y))
}

fn number(value: f64) -> String {
    trimmed(value, PLACES)
}

fn color(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

#[cfg(test)]
mod tests {
    use super::super::{Layer, Size};
    use super::*;

    fn svg(item: Item) -> String {
        let (title, description) = ("a <b> & \"c\"".to_string(), "'d'\u{1}".to_string());
        let layers = vec![Layer { items: vec![item], ..Layer::default() }];
        to_svg(&Page {
            size: Size { width_mm: 100.0, height_mm: 50.0 },
            title,
            description,
            layers,
        })
    }

    #[test]
    fn the_paper_is_in_millimetres_and_y_runs_up() {
        let line = Item::Stroke {
            path: Path::Open(vec![Point::origin(), Point::new(10.0, 50.0)]),
            line: Line::Hidden,
        };
        let text = svg(line);
        assert!(text.contains("width=\"100mm\" height=\"50mm\" viewBox=\"0 0 100 50\""));
        assert!(text.contains("d=\"M0 50L10 0\""));
        assert!(text.contains("stroke-dasharray=\"3 0.75\""));
    }

    #[test]
    fn what_xml_reserves_or_forbids_does_not_get_through() {
        let text = svg(Item::Fill { corners: vec![Point::origin()], ink: Ink::Black });
        assert!(
            text.contains("a &lt;b&gt; &amp; &quot;c&quot;") && text.contains("'d'\\x01</desc>")
        );
    }

    #[test]
    fn a_whole_circle_is_drawn_as_two_halves_that_return() {
        let path = Path::Arc {
            center: Point::new(10.0, 10.0),
            radius: 1.0,
            from_deg: 0.0,
            sweep_deg: 360.0,
        };
        let text = svg(Item::Stroke { path, line: Line::Dimension });
        assert!(text.contains("M11 40A1 1 0 0 0 9 40A1 1 0 0 0 11 40"), "{text}");
    }
}
