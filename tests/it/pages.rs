//! The full-size pages: what they hold, and what is refused.

use crate::common::Stair;
use seatcut::geometry::Point;
use seatcut::output::Stamp;
use seatcut::output::page::{Item, Page, Path, Size, pdf};
use seatcut::output::pages::{PaperProblem, full_size_pages};
use seatcut::pipeline::workup::Workup;
use std::fs;
use std::process::{Command, Output};

const LETTER: Size = Size { width_mm: 215.9, height_mm: 279.4 };

fn pages(paper: Size) -> Result<Vec<Page>, PaperProblem> {
    let job = Stair::default().job();
    let workup = Workup::of(&job);
    full_size_pages(&Stamp::of(&workup), &workup.flight, workup.outline.as_ref().unwrap(), paper)
}

#[test]
fn every_stretch_of_the_outline_is_on_some_page_at_full_size() {
    let job = Stair::default().job();
    let outline = Workup::of(&job).outline.unwrap();
    let pages = pages(LETTER).unwrap();
    let part = outline.in_board_frame();
    // Each tile shows the outline shifted by its own amount: the first polygon of its windowed
    // layer.
    let tiles: Vec<_> = pages
        .iter()
        .filter_map(|p| p.layers.iter().find_map(|l| Some((l.window?, &l.items))))
        .collect();
    for edge in part.edges() {
        for share in [0.0, 0.5, 1.0] {
            let p = edge.segment.point_at(share);
            let shown = tiles.iter().any(|(window, items)| {
                let corners = items.iter().find_map(|item| match item {
                    Item::Stroke { path: Path::Closed(corners), .. } => Some(corners),
                    _ => None,
                });
                let Some(corners) = corners.filter(|c| c.len() == part.edges().len()) else {
                    return false;
                };
                let shift = corners[0] - part.vertices()[0];
                let at: Point = p + shift;
                window.distance(at) <= 0.0
            });
            assert!(shown, "{} at {share} is on no page", edge.role);
        }
    }
}

#[test]
fn neighbouring_tiles_show_the_same_named_crosses() {
    let pages = pages(LETTER).unwrap();
    assert!(pages.len() > 10);
    let bytes = pdf(&Stamp::of(&Workup::of(&Stair::default().job())), &pages).unwrap();
    assert_eq!(
        bytes,
        pdf(&Stamp::of(&Workup::of(&Stair::default().job())), &pages).unwrap(),
        "same pages, same bytes"
    );
    assert!(bytes.windows(18).any(|w| w == b"/PrintScaling /Non"));
}

#[test]
fn paper_that_holds_no_tile_or_would_take_a_ream_is_refused() {
    let small = pages(Size { width_mm: 70.0, height_mm: 70.0 });
    assert!(matches!(small, Err(PaperProblem::TooSmall(..))));
    let many = pages(Size { width_mm: 92.0, height_mm: 92.0 });
    assert!(matches!(many, Err(PaperProblem::TooSmall(..) | PaperProblem::TooMany(_))));
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_seatcut")).args(arguments).output().unwrap()
}

#[test]
fn the_command_writes_one_file_never_overwrites_and_refuses_bad_paper_and_titles() {
    let dir = tempfile::tempdir().unwrap();
    let (job, out) = (dir.path().join("job.toml"), dir.path().join("pages.pdf"));
    let (job, out) = (job.to_str().unwrap(), out.to_str().unwrap());
    fs::write(job, Stair::default().toml()).unwrap();
    assert_eq!(run(&["pages", job, "-o", out]).status.code(), Some(0));
    assert!(fs::read(out).unwrap().starts_with(b"%PDF-"));
    assert_eq!(run(&["pages", job, "-o", out]).status.code(), Some(7));
    assert_eq!(run(&["pages", job, "-o", out, "--force", "--paper", "a4"]).status.code(), Some(0));
    assert_eq!(
        run(&["pages", job, "-o", out, "--force", "--paper", "roll-36"]).status.code(),
        Some(0)
    );
    for (paper, code) in [("2 in x 2 in", 4), ("a9", 2), ("11 x 17", 2), ("-1 in x 3 in", 2)] {
        let refused = run(&["pages", job, "-o", out, "--force", "--paper", paper]);
        assert_eq!(
            refused.status.code(),
            Some(code),
            "{paper}: {}",
            String::from_utf8_lossy(&refused.stderr)
        );
    }
    fs::write(
        job,
        Stair::default().toml().replace("Invented test stair", "Invented \u{2603} stair"),
    )
    .unwrap();
    let unknown = run(&["pages", job, "-o", out, "--force"]);
    assert_eq!(unknown.status.code(), Some(4));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains('\u{2603}'));
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 2);
}
