//! A sheet as a page of strokes and single-stroke letters.

use super::{Anchor, Item, Path, Sheet, Text, on_circle, text_width};
use crate::export::paper::{Layer, Page, Pen, Run, Words};
use crate::geometry::{Placement, Point, Vector};
use crate::lettering::{UnknownCharacter, check};

/// How far a chord may leave its arc on the paper, in mm: less than can be seen.
const CHORD_MM: f64 = 0.01;

/// The sheet as one page. Any character of its texts that has no letter becomes `?`, those of its title excepted.
///
/// # Errors
/// The first character of the sheet's title that has no letter.
pub fn to_page(sheet: &Sheet) -> Result<Page, UnknownCharacter> {
    check(&sheet.title)?;
    let mut layer = Layer { window: None, runs: Vec::new(), words: Vec::new() };
    for item in &sheet.items {
        match item {
            Item::Stroke { path, line } => layer.runs.push(Run { points: points(path), pen: Pen::Of(*line) }),
            Item::Fill { corners, ink } => layer.runs.push(Run { points: corners.clone(), pen: Pen::Filled(*ink) }),
            Item::Text(text) => layer.words.push(words(text)),
        }
    }
    Ok(Page { width_mm: sheet.width_mm, height_mm: sheet.height_mm, layers: vec![layer] })
}

fn points(path: &Path) -> Vec<Point> {
    match path {
        Path::Open(points) => points.clone(),
        Path::Closed(points) => points.iter().chain(points.first()).copied().collect(),
        &Path::Arc { center, radius, from_deg, sweep_deg } => {
            let count = chords(radius, sweep_deg);
            let at = |i: usize| on_circle(center, radius, from_deg + sweep_deg * i as f64 / count as f64);
            (0..=count).map(at).collect()
        }
    }
}

/// The sagitta of a chord over an angle `a` is `r (1 - cos(a / 2))`.
fn chords(radius: f64, sweep_deg: f64) -> usize {
    let widest = 2.0 * (1.0 - CHORD_MM / radius.max(2.0 * CHORD_MM)).acos();
    (sweep_deg.to_radians().abs() / widest).ceil().max(1.0) as usize
}

/// The letters take no more room than the sheet left for the text.
fn words(text: &Text) -> Words {
    let words = Words::new(&text.content, text.at, text.height_mm).weight(text.weight);
    let words = words.within(text_width(&text.content, text.height_mm, text.weight));
    let left = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -words.width_mm() / 2.0,
        Anchor::End => -words.width_mm(),
    };
    let placement = Placement::new(Vector::new(text.at.x, text.at.y), text.turn_deg.to_radians());
    words.placed(placement * Point::new(left, 0.0), text.turn_deg)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::sheet::Weight;

    fn text(content: &str, anchor: Anchor, turn_deg: f64) -> Text {
        let (at, content) = (Point::new(50.0, 50.0), content.to_string());
        Text { at, content, height_mm: 2.5, turn_deg, anchor, weight: Weight::Regular }
    }

    fn sheet(title: &str, item: Item) -> Sheet {
        let title = title.to_string();
        Sheet { width_mm: 100.0, height_mm: 100.0, title, description: String::new(), items: vec![item] }
    }

    #[test]
    fn the_letters_stay_in_the_room_that_the_sheet_left_for_them() {
        for anchor in [Anchor::Start, Anchor::Middle, Anchor::End] {
            for turn in [0.0, 36.9, 90.0, -90.0] {
                for content in ["7 5/16+ in (186.4 mm)", "illi", "WWW", "10\u{b0}"] {
                    let text = text(content, anchor, turn);
                    let (room, taken) = (text.bounds(), words(&text).bounds());
                    // Half a stroke, across a corner.
                    let slack = 0.125 * 1.42;
                    assert!(taken.min.x > room.min.x - slack && taken.max.x < room.max.x + slack, "{content} {turn}");
                    assert!(taken.min.y > room.min.y - slack && taken.max.y < room.max.y + slack, "{content} {turn}");
                }
            }
        }
    }

    #[test]
    fn an_arc_leaves_its_circle_by_no_more_than_its_tolerance() {
        for radius in [0.5, 3.0, 40.0] {
            let path = Path::Arc { center: Point::new(1.0, 2.0), radius, from_deg: 10.0, sweep_deg: -200.0 };
            let points = points(&path);
            for pair in points.windows(2) {
                let middle = pair[0] + (pair[1] - pair[0]) / 2.0;
                let off = radius - (middle - Point::new(1.0, 2.0)).norm();
                assert!((0.0..=CHORD_MM + 1e-9).contains(&off), "{off}");
            }
            assert!((points[points.len() - 1] - on_circle(Point::new(1.0, 2.0), radius, -190.0)).norm() < 1e-9);
        }
    }

    #[test]
    fn only_the_title_must_have_letters_for_every_character() {
        let item = || Item::Text(text("\u{2603}ber", Anchor::Start, 0.0));
        assert_eq!(to_page(&sheet("Treppe \u{2603}ber", item())).unwrap_err(), UnknownCharacter('\u{2603}'));
        let page = to_page(&sheet("Steps", item())).unwrap();
        assert_eq!(page.layers[0].words[0].content(), "?ber");
    }
}
