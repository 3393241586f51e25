//! The pictures of a bench sheet, each on paper of its own size: the stringer as it stands, poles
//! with the marks to transfer, where the checks of the test-fit card are measured.

use super::section::{Check, Mark, Pictures, Section, TableRows, Topic};
use crate::geometry::{Bounds, Point, Vector};
use crate::output::drawing::{Subject, elevation_within};
use crate::output::page::{
    Anchor, Ink, Item, Layer, Line, Page, Path, Size, Text, Weight, corners, fit, on_circle, wrap,
};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Workup;
use crate::stair::outline::Outline;

/// The most room for the elevation.
const ELEVATION: Size = Size { width_mm: 186.0, height_mm: 128.0 };
/// One pole with its words on both sides: its height on a screen, and the least on paper.
const POLE: Size = Size { width_mm: 61.0, height_mm: 196.0 };
pub(in crate::output) const LEAST_POLE_MM: f64 = 130.0;
const POLE_LEFT_MM: f64 = 25.0;
const POLE_WIDE_MM: f64 = 4.0;
/// Heights of the letters on it: its name and the figures; everything else.
const FIGURE_MM: f64 = 2.5;
const SMALL_MM: f64 = 1.7;
/// From one mark's words to the next, with two lines each, and with one.
const TWO_LINES_MM: f64 = 7.4;
const ONE_LINE_MM: f64 = 3.4;
/// The picture of the checks, and the radius of their numbers.
const FIT: Size = Size { width_mm: 150.0, height_mm: 86.0 };
const NUMBER_MM: f64 = 2.7;
/// Where along its line a number may stand, the best first.
const ALONG: [f64; 7] = [0.5, 0.38, 0.62, 0.26, 0.74, 0.15, 0.85];

/// The pictures of a worked-up job.
pub(super) fn pictures(workup: &Workup, sections: &[Section]) -> Pictures {
    let standing = workup.outline.as_ref().filter(|_| workup.job.stringer.housed().is_none());
    let outline = standing.filter(|_| workup.job.stringer.has_steps());
    let tables = |topic: Topic| {
        sections.iter().filter(move |section| section.topic == topic).flat_map(|s| &s.tables)
    };
    let checks = tables(Topic::FitCard).find_map(|table| match &table.rows {
        TableRows::Checks(checks) => Some(checks),
        _ => None,
    });
    let elevation = |outline| {
        elevation_within(&Subject::of(workup, outline), ELEVATION.width_mm, ELEVATION.height_mm)
    };
    Pictures {
        elevation: standing.map(elevation),
        poles: poles(sections, POLE.height_mm),
        fit: outline.zip(checks).map(|(outline, checks)| checked(outline, checks)),
    }
}

/// Poles of a height with the marks of a bench sheet.
pub(in crate::output) fn poles(sections: &[Section], height_mm: f64) -> Vec<Page> {
    let of_table = |table: &super::Table| match &table.rows {
        TableRows::Marks(marks) => Some(pole(&table.caption, marks, height_mm)),
        _ => None,
    };
    let marked = [Topic::WholeStair, Topic::Marks];
    let marks = sections.iter().filter(|section| marked.contains(&section.topic));
    marks.flat_map(|section| &section.tables).filter_map(of_table).collect()
}

fn small(words: impl Into<String>, at: Point) -> Text {
    Text::new(words, at, SMALL_MM)
}

/// A pole to scale, with every mark's name on its left and its figure on its right.
fn pole(caption: &str, marks: &[Mark], height_mm: f64) -> Page {
    // Never so low that its words would lie on each other.
    let height_mm = height_mm.max(marks.len() as f64 * ONE_LINE_MM + 24.0);
    let mut texts = Vec::new();
    let mut y = height_mm;
    for line in wrap(caption, POLE.width_mm - 1.0, SMALL_MM, Weight::Bold) {
        y -= SMALL_MM + 1.4;
        texts.push(small(line, Point::new(0.0, y)).weight(Weight::Bold));
    }
    let (bottom, top) = (5.0, y - 7.0);
    let left = POLE_LEFT_MM;
    let right = left + POLE_WIDE_MM;
    let last = marks.iter().map(|mark| mark.at.as_mm()).fold(1.0, f64::max);
    let at = |mark: &Mark| bottom + (top - bottom) * mark.at.as_mm() / last;
    let places: Vec<f64> = marks.iter().map(at).collect();
    let is_close = marks.len() as f64 * TWO_LINES_MM > top - bottom;
    let pitch = if is_close { ONE_LINE_MM } else { TWO_LINES_MM };
    let words = apart(&places, pitch, top + 3.0);
    let wood = Bounds { min: Point::new(left, bottom), max: Point::new(right, top + 4.0) };
    let mut items = vec![Item::closed(corners(&wood), Line::Rule)];
    items.push(Item::line(wood.min, Point::new(right, bottom), Line::VisibleEdge));
    // Under the pole: beside it stand the words of the first mark, however low that is.
    let zero = Point::new((left + right) / 2.0, bottom - SMALL_MM - 0.8);
    texts.push(Text { anchor: Anchor::Middle, ..small("0", zero) });
    for ((mark, place), word) in marks.iter().zip(&places).zip(&words) {
        items.push(Item::line(
            Point::new(left, *place),
            Point::new(right, *place),
            Line::VisibleEdge,
        ));
        for (from, to) in [(left, left - 3.0), (right, right + 3.0)] {
            items.push(Item::line(
                Point::new(from, *place),
                Point::new(to, *word),
                Line::Dimension,
            ));
        }
        texts.extend(beside(mark, *word, is_close));
    }
    Page {
        size: Size { height_mm, ..POLE },
        title: caption.to_string(),
        description: format!("A pole with {} marks, each from the beginning.", marks.len()),
        layers: vec![Layer { window: None, items, texts }],
    }
}

/// The words of a mark: its name and its figure.
fn beside(mark: &Mark, y: f64, is_close: bool) -> Vec<Text> {
    let room = POLE_LEFT_MM - 4.0;
    let most = if is_close { 1 } else { 2 };
    let mut names = wrap(&mark.label, room, SMALL_MM, Weight::Regular);
    if names.len() > most {
        let rest = names.split_off(most - 1).join(" ");
        names.push(fit(&rest, room, SMALL_MM, Weight::Regular));
    }
    let first = y - SMALL_MM / 2.0 + (names.len() as f64 - 1.0) * 1.4;
    let name = |(i, words): (usize, String)| Text {
        anchor: Anchor::End,
        ..small(words, Point::new(room, first - 2.8 * i as f64))
    };
    let mut texts: Vec<Text> = names.into_iter().enumerate().map(name).collect();
    let value = Value::Length(mark.at);
    let x = POLE_LEFT_MM + POLE_WIDE_MM + 4.0;
    let figure = Text::new(value.on_tape(), Point::new(x, y - FIGURE_MM / 2.0), FIGURE_MM);
    let mm = value.in_mm();
    if is_close || mm == value.on_tape() {
        texts.push(figure.weight(Weight::Bold));
    } else {
        texts.push(Text { at: Point::new(x, y + 0.2), ..figure }.weight(Weight::Bold));
        texts.push(small(mm, Point::new(x, y - SMALL_MM - 1.3)));
    }
    texts
}

/// Places no closer than `pitch` to each other and none above `top`, each as near as that allows to
/// where it should be; in order from the bottom up.
fn apart(places: &[f64], pitch: f64, top: f64) -> Vec<f64> {
    let mut found: Vec<f64> = Vec::new();
    for place in places {
        let least = found.last().map_or(f64::MIN, |last| last + pitch);
        found.push(place.max(least));
    }
    let mut most = top;
    for place in found.iter_mut().rev() {
        *place = place.min(most);
        most = *place - pitch;
    }
    found
}

/// The stringer, small, with the numbers of the checks where they are measured.
fn checked(outline: &Outline, checks: &[Check]) -> Page {
    let points = outline.contour().vertices();
    let ends = checks.iter().filter_map(|check| check.ends).flatten();
    let all = Bounds::around(points.iter().copied().chain(ends)).expect("a part has corners");
    let room = 2.0 * NUMBER_MM;
    let scale = ((FIT.width_mm - 2.0 * room) / all.width())
        .min((FIT.height_mm - 2.0 * room) / all.height());
    let size = Size {
        width_mm: all.width() * scale + 2.0 * room,
        height_mm: all.height() * scale + 2.0 * room,
    };
    let to_paper = |p: &Point| Point::origin() + (p - all.min) * scale + Vector::new(room, room);
    let part = points.iter().map(to_paper).collect();
    let mut items = vec![Item::closed(part, Line::VisibleEdge)];
    let mut numbers: Vec<(usize, Point)> = Vec::new();
    for (i, check) in checks.iter().enumerate() {
        let Some(ends) = &check.ends else { continue };
        let [from, to] = [to_paper(&ends[0]), to_paper(&ends[1])];
        items.push(Item::line(from, to, Line::Dimension));
        numbers.push((i + 1, freest(from, to, &numbers)));
    }
    let mut texts = Vec::new();
    for (number, at) in &numbers {
        let round = (0..24).map(|k| on_circle(*at, NUMBER_MM, f64::from(k) * 15.0)).collect();
        items.push(Item::Fill { corners: round, ink: Ink::Paper });
        let path = Path::Arc { center: *at, radius: NUMBER_MM, from_deg: 0.0, sweep_deg: 360.0 };
        items.push(Item::Stroke { path, line: Line::Dimension });
        let below = *at - Vector::new(0.0, FIGURE_MM / 2.0);
        let number = Text::new(number.to_string(), below, FIGURE_MM).weight(Weight::Bold);
        texts.push(Text { anchor: Anchor::Middle, ..number });
    }
    Page {
        size,
        title: "Where the checks are measured".to_string(),
        description: "The stringer as it stands; each number is that of a row of the card."
            .to_string(),
        layers: vec![Layer { window: None, items, texts }],
    }
}

/// The place along a line that is farthest from the numbers so far; the first that is far enough.
fn freest(from: Point, to: Point, taken: &[(usize, Point)]) -> Point {
    let places = ALONG.map(|share| from + (to - from) * share);
    let free = |at: &Point| {
        taken.iter().map(|(_, other)| (at - other).norm()).fold(f64::INFINITY, f64::min)
    };
    let far = places.iter().find(|at| free(at) > 2.2 * NUMBER_MM);
    let freest = places.iter().max_by(|a, b| free(a).total_cmp(&free(b)));
    *far.or(freest).expect("there are places")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn words_beside_a_pole_keep_their_distance_and_stay_below_its_top() {
        let places = [0.0, 1.0, 2.0, 50.0, 99.0, 100.0];
        let words = apart(&places, 6.0, 100.0);
        assert!(words.windows(2).all(|pair| pair[1] - pair[0] >= 6.0 - 1e-9), "{words:?}");
        assert!(words.iter().all(|y| *y <= 100.0), "{words:?}");
        assert!((words[3] - 50.0).abs() < 1e-9, "one with room stays where it is");
    }

    #[test]
    fn every_mark_of_a_pole_is_on_it_to_scale_and_no_words_lie_on_others() {
        for count in [1, 7, 16, 40] {
            let mark = |k: usize| Mark {
                label: format!("tread cut {k}, level with the upper finish"),
                at: Length::inches(7.34 * k as f64),
            };
            let marks: Vec<Mark> = (1..=count).map(mark).collect();
            let page = pole("Cuts above what the stringer stands on", &marks, LEAST_POLE_MM);
            let words: Vec<Bounds> = page.texts().map(Text::bounds).collect();
            for (i, a) in words.iter().enumerate() {
                assert!(a.max.y <= page.size.height_mm + 0.5, "{count}: {a:?}");
                for b in &words[i + 1..] {
                    let apart = a.max.x <= b.min.x
                        || b.max.x <= a.min.x
                        || a.max.y <= b.min.y + 0.4
                        || b.max.y <= a.min.y + 0.4;
                    assert!(apart, "{count}: {a:?} {b:?}");
                }
            }
            for mark in &marks {
                let figure = Value::Length(mark.at).on_tape();
                assert!(page.texts().any(|text| text.content == figure), "{figure}");
            }
        }
    }
}
