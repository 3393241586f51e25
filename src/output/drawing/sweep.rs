//! Many jobs of all kinds, drawn and measured: no text lies on another, on a line or on an
//! arrowhead, and all lie within the frame.

use super::clear::{inside, overlap};
use super::{Paper, Subject, room, sheets, whole_stair};
use crate::diagnostics::Finding;
use crate::geometry::{Bounds, Point};
use crate::job::{
    Fingerprint, Ground, Job, Joint, Meets, Opening, RiserChoice, STARTER, Seat, read_job,
};
use crate::output::page::{Item, Line, Page, Text};
use crate::pipeline::set::{Entry, Set};
use crate::pipeline::workup::Workup;
use crate::stair::Flight;
use crate::stair::outline::Outline;
use crate::units::{Length, Tape};

/// Jobs of the sweep, and of the long one.
const JOBS: usize = 120;
const MANY_JOBS: usize = 500;
/// What is reported of a failure.
const REPORTED: usize = 10;

/// A job by its number: every choice turns at its own pace, so all pairs of choices come up.
fn numbered(i: usize) -> (String, Job, Tape, Paper) {
    let of = |values: &[f64], pace: usize| values[i / pace % values.len()];
    let mut job = read_job("job", STARTER, &|_| unreachable!("no profile is read")).unwrap();
    let risers = 2 + i % 17;
    let rise = Length::inches(of(&[7.0, 7.3125, 5.0, 8.25, 6.6], 1));
    job.rise.total = rise * risers as f64;
    job.rise.finish_to_come = Length::inches(of(&[0.0, 0.75], 2));
    job.tread.cut = Length::inches(of(&[10.25, 9.0, 11.0, 14.0, 10.0], 3));
    job.tread.thickness = Length::inches(of(&[1.0, 1.5], 5));
    let meets = if (i / 3).is_multiple_of(2) { Meets::OneDown } else { Meets::Flush };
    job.head.meets = meets;
    let inches = Length::inches;
    job.around.joint = match i / 7 % 4 {
        1 => Some(Joint::LedgerNotch { width: inches(1.5), height: inches(1.5) }),
        2 => Some(Joint::HangerBoard { thickness: inches(1.5), depth: inches(11.25) }),
        3 => Some(Joint::TopOver {
            below: inches(if meets == Meets::Flush { 3.0 } else { 11.0 }),
            bearing: inches(3.0),
        }),
        _ => None,
    };
    if i / 7 % 4 == 2 {
        job.head.spacer = inches(1.5);
    }
    job.around.ground = (i % 5 == 4).then(|| Ground {
        at_head: job.rise.total,
        fall: of(&[1.0 / 14.0, -1.0 / 20.0], 5),
        edge_out: Length::ZERO,
        seat: if i.is_multiple_of(2) { Seat::Level } else { Seat::Follow },
        choice: RiserChoice::Forced(risers),
    });
    job.opening = (i % 3 == 1).then(|| Opening {
        length: job.tread.cut * (risers as f64 - of(&[1.0, 2.5, 0.5, 4.0], 3)).max(0.5),
        from_head: Length::ZERO,
        depth: job.rise.total * of(&[0.1, 0.2, 0.05], 9),
    });
    let (tape, papers) = match i / 4 % 2 {
        0 => (Tape::Inches, [Paper::Tabloid, Paper::Letter]),
        _ => (Tape::Metric, [Paper::A3, Paper::A4]),
    };
    let name = format!("job {i}: {risers} risers of {rise}, run {}, {meets:?}", job.tread.cut);
    (name, job, tape, papers[i / 2 % 2])
}

/// What is wrong on a page, in words.
fn wrong(page: &Page, frame: Bounds) -> Vec<String> {
    let ink = |text: &Text| text.bounds().grown(-0.15);
    let texts: Vec<(&Text, Bounds)> = page.texts().map(|text| (text, ink(text))).collect();
    let mut wrong = Vec::new();
    for (i, (text, of)) in texts.iter().enumerate() {
        let said = &text.content;
        if frame.distance(of.min).max(frame.distance(of.max)) > 0.3 {
            wrong.push(format!("\"{said}\" leaves the frame"));
        }
        let on = texts[i + 1..].iter().filter(|(_, other)| overlap(*of, *other));
        wrong.extend(on.map(|(other, _)| format!("\"{said}\" on \"{}\"", other.content)));
        for item in page.items() {
            match item {
                Item::Stroke { path, line } => {
                    let through = |pair: &[Point]| inside(pair[0], pair[1], *of).is_some();
                    if path.points().windows(2).any(through) {
                        wrong.push(format!("{line:?} through \"{said}\""));
                    }
                }
                Item::Fill { .. } => {
                    if item.bounds().is_some_and(|fill| overlap(fill, *of)) {
                        wrong.push(format!("an arrowhead on \"{said}\""));
                    }
                }
            }
        }
    }
    wrong
}

fn drawn(job: &Job, risers: usize, tape: Tape, paper: Paper) -> Option<Vec<Page>> {
    let flight = Flight::new(job, risers);
    let outline = Outline::of(job, &flight).ok()?;
    let findings: Vec<Finding> = Vec::new();
    tape.tells(|| {
        let fingerprint = &Fingerprint::of(job);
        let behind_relief = flight.behind_notches() - Length::mm(1.3);
        let (flight, outline, findings) = (&flight, &outline, &findings[..]);
        let (pattern, times) = (None, 1);
        let subject =
            Subject { job, fingerprint, flight, outline, behind_relief, findings, pattern, times };
        Some(sheets(&subject, Some(paper)))
    })
}

fn sweep(jobs: usize) {
    let (mut found, mut measured) = (Vec::new(), 0);
    for i in 0..jobs {
        let (name, job, tape, paper) = numbered(i);
        let Some(pages) = drawn(&job, 2 + i % 17, tape, paper) else { continue };
        measured += 1;
        let frame = room(paper).grown(super::PAD_MM);
        for (k, page) in pages.iter().enumerate() {
            let said = |wrong| format!("{name}, {paper:?}, sheet {}: {wrong}", k + 1);
            found.extend(wrong(page, frame).into_iter().map(said));
        }
    }
    assert!(measured * 10 >= jobs * 8, "only {measured} jobs of {jobs} have a part");
    let first = found.iter().take(REPORTED).cloned().collect::<Vec<_>>().join("\n");
    assert!(found.is_empty(), "{} on {measured} jobs, the first:\n{first}", found.len());
}

#[test]
fn no_text_lies_on_anything_in_any_of_many_jobs() {
    sweep(JOBS);
}

#[test]
#[ignore = "minutes of drawing: for a change of the drawing itself"]
fn no_text_lies_on_anything_in_any_of_very_many_jobs() {
    sweep(MANY_JOBS);
}

/// A pattern is drawn only where one is planned, with marks, hole and what it is smaller by.
#[test]
fn no_text_lies_on_anything_of_a_pattern() {
    let bushing = "follow = { with = \"bushing\", outside = \"3/4 in\", bit = \"1/2 in\" }";
    for (risers, total) in [(3, "21 in"), (7, "51 3/8 in"), (8, "58 in")] {
        for follow in ["follow = \"edge\"", bushing] {
            let text = STARTER
                .replace("total = \"51 3/8 in\"", &format!("total = \"{total}\""))
                .replace("risers = 7", &format!("risers = {risers}"))
                .replace("# corners = \"fillet\"", &format!("{follow}\n# corners = \"fillet\""));
            let workup = Workup::of(&read_job("job", &text, &|_| unreachable!()).unwrap());
            assert!(workup.planned.is_some(), "{:?}", workup.findings);
            let outline = workup.outline.as_ref().unwrap();
            let papers = [Paper::Tabloid, Paper::Letter, Paper::A3, Paper::A4];
            for (paper, tape) in papers.into_iter().zip([Tape::Inches, Tape::Metric].repeat(2)) {
                let pages = tape.tells(|| sheets(&Subject::of(&workup, outline), Some(paper)));
                let is_pattern =
                    |page: &&Page| page.texts().any(|text| text.content.starts_with("PATTERN"));
                let page = pages.iter().find(is_pattern).expect("a sheet of the pattern");
                assert!(page.texts().any(|text| text.content.starts_with("hanging hole")));
                let found = wrong(page, room(paper).grown(super::PAD_MM));
                assert!(found.is_empty(), "{risers} {follow} {paper:?}: {found:#?}");
            }
        }
    }
}

/// Both hands, with and without riser boards, on every paper.
#[test]
fn no_text_lies_on_anything_of_a_housed_stringer() {
    let housed = "[housed]\nhand = \"left\"\ndepth = \"5/16 in\"\nwedge = \"3/8 in\"\n\n[cut]";
    let left = STARTER
        .replace("thickness = \"1 1/2 in\"\n", "thickness = \"18 mm\"\n")
        .replace("[cut]", housed)
        .replace("makes = \"pattern\"", "makes = \"stringers\"")
        .replace("material = \"hardboard-6\"", "material = \"plywood-18\"");
    let right = left.replace("hand = \"left\"", "hand = \"right\"");
    let open = left.replace("# riser_board = \"3/4 in\"    ", "riser_board = \"0 in\"");
    assert_ne!(open, left);
    for text in [left, right, open] {
        let workup = Workup::of(&read_job("job", &text, &|_| unreachable!()).unwrap());
        let outline = workup.outline.as_ref().unwrap_or_else(|| panic!("{:?}", workup.findings));
        for (paper, tape) in [
            (Paper::Tabloid, Tape::Inches),
            (Paper::Letter, Tape::Inches),
            (Paper::A3, Tape::Metric),
            (Paper::A4, Tape::Metric),
        ] {
            let pages = tape.tells(|| sheets(&Subject::of(&workup, outline), Some(paper)));
            let has = |word: &str| {
                pages.iter().flat_map(Page::texts).any(|text| text.content.starts_with(word))
            };
            assert!(has("INNER FACE") && has("POCKETS OF STEP 2") && has("SECTION"));
            for page in &pages {
                let found = wrong(page, room(paper).grown(super::PAD_MM));
                assert!(found.is_empty(), "{paper:?}: {found:#?}");
            }
        }
    }
}

/// Every turn, of two flights and of three, on every paper.
#[test]
fn no_text_lies_on_anything_of_a_whole_stair() {
    let landing = |after: usize, turn: &str| {
        format!(
            "[[landing]]\nafter = {after}\ndepth = \"40 in\"\nfinish = \"1 in\"\nturn \
                = \"{turn}\"\n"
        )
    };
    for (risers, landings) in [
        (16, landing(9, "left")),
        (16, landing(7, "right")),
        (14, landing(7, "back")),
        (24, landing(12, "straight")),
        (18, landing(6, "left") + &landing(12, "left")),
        (22, landing(8, "right") + &landing(15, "back")),
    ] {
        let text = STARTER
            .replace("total = \"51 3/8 in\"", &format!("total = \"{} in\"", 7 * risers))
            .replace("risers = 7 ", &format!("risers = {risers} "));
        let text = format!("{text}\n[stair]\nwidth = \"36 in\"\n{landings}");
        let job = read_job("job", &text, &|_| unreachable!()).unwrap();
        let set = Set::of(vec![Entry { job, times: 1 }], 0).unwrap();
        let papers = [Paper::Tabloid, Paper::Letter, Paper::A3, Paper::A4];
        for (paper, tape) in papers.into_iter().zip([Tape::Inches, Tape::Metric].repeat(2)) {
            let drawn = || whole_stair(&set.stairways[0], &set.members, Some(paper));
            let pages = tape.tells(drawn);
            let has_plan = |page: &Page| page.texts().any(|text| text.content.starts_with("PLAN"));
            assert!(pages.iter().any(has_plan));
            for page in &pages {
                let found = wrong(page, room(paper).grown(super::PAD_MM));
                assert!(found.is_empty(), "{risers} {landings} {paper:?}: {found:#?}");
            }
            let blocks: Vec<(&Page, Bounds)> = pages.iter().flat_map(blocks_of_plan).collect();
            let flights = 1 + landings.matches("[[landing]]").count();
            assert_eq!(blocks.len(), 2 * flights - 1, "{landings} {paper:?}");
            for (page, block) in blocks {
                // The flight's own edges stay whole: its rows keep off them.
                let makes_way = |item: &&Item| {
                    matches!(item, Item::Stroke { line: Line::Adjacent | Line::Centre, .. })
                };
                let mut lines = page.items().filter(makes_way);
                let crossed = lines.find(|item| super::passes(item, block));
                assert!(
                    crossed.is_none(),
                    "{landings} {paper:?}: {crossed:?} in words at {block:?}"
                );
            }
        }
    }
}

/// The boxes of the words in a plan, a block for each flight and each landing, with what stays free
/// round them.
fn blocks_of_plan(page: &Page) -> Vec<(&Page, Bounds)> {
    let texts: Vec<&Text> = page.texts().collect();
    let is_block = |rows: &&[&Text]| {
        let is = |i: usize, end: &str| rows[i].content.ends_with(end);
        is(1, " risers") && is(2, " level") || is(1, " deep") && is(2, " up")
    };
    let bounds = |rows: &[&Text]| {
        let all = rows.iter().map(|text| text.bounds()).reduce(Bounds::joined);
        all.map(|of| (page, of.grown(super::canvas::ROUND_BLOCK_MM - 0.1)))
    };
    texts.windows(3).filter(is_block).filter_map(bounds).collect()
}

#[test]
fn the_measure_sees_a_text_on_a_line_and_on_a_text() {
    let (_, job, tape, paper) = numbered(5);
    let mut page = drawn(&job, 7, tape, paper).unwrap().remove(0);
    let frame = room(paper).grown(super::PAD_MM);
    let before = wrong(&page, frame).len();
    let twice = page.layers[0].texts[0].clone();
    let corner = Text { at: frame.min, ..twice.clone() };
    page.layers[0].texts.extend([twice, corner]);
    let after = wrong(&page, frame);
    assert!(after.len() >= before + 2, "{after:?}");
    assert!(after.iter().any(|wrong| wrong.starts_with("VisibleEdge through")));
}
