//! The bench sheet on pages of paper: for a printer, and for a bench without a screen.

mod flow;

use self::flow::{Flow, Frame};
use crate::geometry::stroke_font::UnknownCharacter;
use crate::output::Stamp;
use crate::output::content::{
    BenchSheet, Grid, LEAST_POLE_MM, Section, TableRows, Topic, grid, poles,
};
use crate::output::page::{Page, Size, pdf};
use crate::units::Tape;

/// Over the poles: the section's heading and notes.
const ABOVE_POLES_MM: f64 = 26.0;
const TALLEST_POLE_MM: f64 = 200.0;

/// The paper that goes with the tape in hand: letter for inches, A4 for millimetres.
pub fn paper() -> Size {
    match Tape::in_hand() {
        Tape::Inches => Size::LETTER,
        Tape::Metric => Size::A4,
    }
}

/// The bench sheet as a PDF. The same sheet gives the same bytes.
///
/// # Errors
/// The first character of the job's title that the face has not.
pub fn printed(sheet: &BenchSheet, paper: Size) -> Result<Vec<u8>, UnknownCharacter> {
    pdf(&sheet.stamp, &printed_pages(sheet, paper))
}

/// The pages of the bench sheet, every section on them.
pub fn printed_pages(sheet: &BenchSheet, paper: Size) -> Vec<Page> {
    let foot = format!("{} of job {}, {}", sheet.called, sheet.stamp.fingerprint, Stamp::tool());
    let mut flow = Flow::new(Frame { paper, title: sheet.stamp.title.clone(), foot });
    sheet.about.iter().for_each(|line| flow.note(line));
    sheet.sections.iter().for_each(|section| write(&mut flow, section, sheet));
    flow.finish()
}

fn write(flow: &mut Flow, section: &Section, sheet: &BenchSheet) {
    if section.topic == Topic::FitCard {
        // The card is carried to the stair: it begins a page.
        flow.turn();
    }
    if section.topic == Topic::Poles {
        flow.room_for(LEAST_POLE_MM + ABOVE_POLES_MM);
    }
    flow.heading(section.topic.heading());
    section.notes.iter().for_each(|note| flow.note(note));
    match section.topic {
        Topic::Poles => {
            let height = (flow.room() - 4.0).min(TALLEST_POLE_MM);
            flow.pictures(&poles(&sheet.sections, height.max(LEAST_POLE_MM)));
        }
        Topic::FitCard => flow.pictures(sheet.pictures.fit.as_slice()),
        _ => {}
    }
    for table in &section.tables {
        match (&table.rows, section.topic) {
            (TableRows::Figures(rows), Topic::Numbers) => flow.cards(rows),
            _ => {
                let Grid { columns, rows } = grid(&table.rows);
                flow.table(&table.caption, &columns, &rows);
            }
        }
    }
    if section.topic == Topic::Numbers {
        flow.pictures(sheet.pictures.elevation.as_slice());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;
    use crate::output::content::{Check, Figure, Pictures, Table, bench_sheet};
    use crate::output::page::assert_laid_out;
    use crate::units::Length;

    fn job() -> Job {
        let none = |name: &str| panic!("{name}");
        crate::job::read_job("job", crate::GARDEN_STEPS, &none).unwrap()
    }

    fn sheet(title: &str, note: &str, count: usize) -> BenchSheet {
        let figure = |i: usize| {
            Figure::new(format!("{note} {i}"), Length::inches(1.0 + i as f64)).note(note)
        };
        let check = |i: usize| Check {
            label: format!("{note} {i}"),
            how: note.to_string(),
            predicted: Length::inches(i as f64 + 0.3),
            on_pattern: i.is_multiple_of(2).then_some(Length::inches(i as f64)),
            ends: None,
            built: false,
            upper: false,
        };
        let words = Figure::new(note, note).note(note);
        let table = |rows| Table { caption: note.to_string(), rows };
        let tables = vec![
            table(TableRows::Figures((0..count).map(figure).chain([words]).collect())),
            table(TableRows::Checks((0..count).map(check).collect())),
        ];
        let section = Section { topic: Topic::FitCard, notes: vec![note.to_string()], tables };
        let stamp = Stamp {
            title: title.to_string(),
            ..Stamp::of(&crate::pipeline::workup::Workup::of(&job()))
        };
        BenchSheet {
            called: "bench sheet",
            stamp,
            about: vec![note.to_string()],
            sections: vec![section],
            pictures: Pictures::default(),
        }
    }

    /// Everything on its page, no two lines of words on each other.
    #[test]
    fn no_length_of_words_or_tables_overlaps_or_leaves_its_page() {
        let long = "many words that go on and on, ".repeat(40);
        let endless = "W".repeat(900);
        for paper in [Size::LETTER, Size::A4] {
            for note in ["", "short", &long, &endless] {
                for count in [0, 1, 2, 60] {
                    assert_laid_out(&printed_pages(&sheet(&"W".repeat(60), note, count), paper));
                }
            }
        }
    }

    #[test]
    fn the_real_sheet_is_laid_out_with_every_section_and_numbered_pages() {
        let job = job();
        let sheet = bench_sheet(&crate::pipeline::workup::Workup::of(&job));
        for paper in [Size::LETTER, Size::A4] {
            let pages = printed_pages(&sheet, paper);
            assert_laid_out(&pages);
            let on =
                |page: &Page, words: &str| page.texts().any(|text| text.content.contains(words));
            for (i, page) in pages.iter().enumerate() {
                let number = format!("page {} of {}", i + 1, pages.len());
                for text in [&number, &sheet.stamp.title, &sheet.stamp.fingerprint.to_string()] {
                    assert!(on(page, text), "page {i} has no {text}");
                }
            }
            for (i, page) in pages[..pages.len() - 1].iter().enumerate() {
                let foot = 20.0;
                let lowest =
                    page.boxes().iter().map(|b| b.min.y).filter(|y| *y > foot).fold(1e3, f64::min);
                let blank = lowest / page.size.height_mm;
                assert!(blank < 2.0 / 3.0, "page {i} is blank from {blank} down");
            }
            let first = |words: &str| pages.iter().position(|page| on(page, words));
            assert_eq!(first("on the square"), Some(0));
            let elevation = sheet.pictures.elevation.as_ref().unwrap().items().count();
            assert!(pages[0].items().count() > elevation, "the elevation is on the first page");
            assert!(first("Run order") <= Some(1) && first("nose 1") <= Some(2));
            for section in &sheet.sections {
                assert!(
                    pages.iter().any(|page| on(page, section.topic.heading())),
                    "{:?}",
                    section.topic
                );
            }
        }
    }

    #[test]
    fn every_word_of_the_sheet_is_on_some_page() {
        let job = job();
        let sheet = bench_sheet(&crate::pipeline::workup::Workup::of(&job));
        let pages = printed_pages(&sheet, Size::LETTER);
        let printed: std::collections::BTreeSet<String> = pages
            .iter()
            .flat_map(Page::texts)
            .flat_map(|text| {
                text.content.split_whitespace().map(str::to_string).collect::<Vec<_>>()
            })
            .collect();
        for text in
            sheet.sections.iter().flat_map(|s| &s.notes).flat_map(|note| note.split_whitespace())
        {
            assert!(printed.contains(text), "{text}");
        }
        for table in sheet.sections.iter().flat_map(|section| &section.tables) {
            if let TableRows::Marks(marks) = &table.rows {
                let exact = |at: Length| crate::units::trimmed(at.as_inches(), 4);
                assert!(
                    marks.iter().all(|mark| printed.contains(&exact(mark.at))),
                    "{}",
                    table.caption
                );
            }
        }
    }

    #[test]
    fn a_title_without_a_letter_is_an_error_and_other_words_are_not() {
        let unknown = printed(&sheet("Treppe \u{2603}", "", 1), Size::A4).unwrap_err();
        assert_eq!(unknown, UnknownCharacter('\u{2603}'));
        assert!(printed(&sheet("Steps", "\u{2603}ber", 1), Size::A4).is_ok());
    }

    #[test]
    fn the_same_sheet_gives_the_same_bytes() {
        let sheet = sheet("Steps", "some words", 9);
        assert_eq!(printed(&sheet, Size::A4), printed(&sheet, Size::A4));
    }
}
