//! The bench drawing: elevation and board view with every mark, on one sheet of A3.

mod board_view;
mod elevation;
mod svg;
mod tables;
mod view;

use crate::export::Stamp;
use crate::finding::Finding;
use crate::geometry::{Point, Vector};
use crate::measure::{Fingerprint, Job};
use crate::outline::Outline;
use crate::solve::Flight;
use crate::units::Length;
use svg::{Line, Svg};

/// A3 across, and its border (ISO 5457), in mm.
const SHEET: Vector = Vector::new(420.0, 297.0);
const BORDER_MM: f64 = 10.0;

/// The drawing as SVG, in mm on paper.
pub fn drawing(
    job: &Job,
    fingerprint: &Fingerprint,
    flight: &Flight,
    outline: &Outline,
    throat_cut: Length,
    findings: &[Finding],
) -> String {
    let stamp = Stamp { title: job.title.clone(), fingerprint: fingerprint.clone() };
    let mut svg = Svg::new(SHEET.x, SHEET.y);
    svg.frame(
        Point::new(BORDER_MM, BORDER_MM),
        Point::origin() + (SHEET - Vector::new(BORDER_MM, BORDER_MM)),
        Line::Frame,
    );
    board_view::board_view(&mut svg, job, flight, outline, Point::new(14.0, 12.0), Vector::new(392.0, 100.0));
    elevation::elevation(&mut svg, job, flight, outline, Point::new(14.0, 116.0), Vector::new(228.0, 134.0));
    tables::figures(&mut svg, job, flight, outline, throat_cut, Point::new(248.0, 116.0));
    tables::steps(&mut svg, flight, outline, Point::new(314.0, 116.0));
    tables::title_block(&mut svg, job, &stamp, Point::new(250.0, 251.0), Vector::new(160.0, 36.0));
    tables::findings(&mut svg, findings, Point::new(14.0, 249.0), Vector::new(232.0, 37.0));
    let description =
        format!("{}, job {}: elevation and board view of a cut stringer", Stamp::tool(), stamp.fingerprint);
    svg.finish(&stamp.title, &description)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::{Error, ErrorKind};
    use crate::measure::{STARTER, read_job};
    use crate::workup::Workup;

    fn drawn(from: &str, to: &str) -> (String, Flight) {
        assert!(STARTER.contains(from));
        let text = STARTER.replacen(from, to, 1);
        let job = read_job("job.toml", &text, &|path| Err(Error::new(ErrorKind::File, path))).unwrap();
        let workup = Workup::of(&job);
        let outline = workup.outline.as_ref().unwrap();
        let svg = drawing(&job, &workup.fingerprint, &workup.flight, outline, workup.throat_cut, &workup.findings);
        (svg, workup.flight)
    }

    /// Every text with its place, size and anchor.
    fn texts(svg: &str) -> Vec<(f64, f64, f64, String, String, bool)> {
        let attribute = |tag: &str, name: &str| {
            let rest = &tag[tag.find(&format!(" {name}=\"")).unwrap() + name.len() + 3..];
            rest[..rest.find('"').unwrap()].to_string()
        };
        svg.split("<text")
            .skip(1)
            .map(|tag| {
                let number = |name| attribute(tag, name).parse::<f64>().unwrap();
                let words = tag[tag.find('>').unwrap() + 1..tag.find("</text>").unwrap()].to_string();
                let turned = tag[..tag.find('>').unwrap()].contains("rotate");
                (number("x"), number("y"), number("font-size"), attribute(tag, "text-anchor"), words, turned)
            })
            .collect()
    }

    #[test]
    fn every_text_is_large_enough_and_inside_the_border() {
        for risers in ["risers = 2", "risers = 7", "risers = 15", "risers = 40"] {
            let (svg, _) = drawn("risers = 7", risers);
            for (x, y, size, anchor, words, turned) in texts(&svg) {
                assert!(size >= 2.0, "{words}");
                let width = words.chars().count() as f64 * size * 0.52;
                let (left, right) = match anchor.as_str() {
                    _ if turned => (x, x),
                    "start" => (x, x + width),
                    "end" => (x - width, x),
                    _ => (x - width / 2.0, x + width / 2.0),
                };
                assert!(left >= BORDER_MM && right <= SHEET.x - BORDER_MM, "{risers}: {words} from {left} to {right}");
                assert!(y >= BORDER_MM && y <= SHEET.y - BORDER_MM, "{risers}: {words} at {y}");
            }
        }
    }

    #[test]
    fn every_steps_marks_stand_in_the_table() {
        let (svg, flight) = drawn("risers = 7", "risers = 15");
        for k in 1..=flight.treads {
            assert!(svg.contains(&view::both(flight.tread_cut_y(k))), "tread {k}");
            assert!(svg.contains(&view::both(flight.nose_x(k))), "riser {k}");
        }
    }

    #[test]
    fn a_title_is_escaped_and_two_drawings_are_the_same() {
        let (svg, _) = drawn("Garden steps", "Steps <&> 'n");
        assert!(svg.contains("Steps &lt;&amp;&gt; &#39;n") && !svg.contains("<&>"));
        assert_eq!(svg, drawn("Garden steps", "Steps <&> 'n").0);
        assert!(!svg.contains("\"-0\"") && !svg.contains("NaN"));
    }
}
