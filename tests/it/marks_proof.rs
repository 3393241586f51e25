//! The proof of marks and of the hanging hole: good programs pass, a program that was tampered with
//! is called by its name.

use crate::common::Stair;
use seatcut::cam::plan::Program;
use seatcut::diagnostics::Finding;
use seatcut::job::Job;
use seatcut::output::Stamp;
use seatcut::output::gcode::gcode;
use seatcut::pipeline::proof::{elsewhere, hold, planned};
use seatcut::pipeline::workup::{Planned, Workup};
use seatcut::verify::{Expectation, Verdict};

/// A pattern on a machine, worked up.
struct Case {
    job: Job,
    workup: Workup,
}

impl Case {
    fn new(machine: &str, material: &str) -> Self {
        let cut =
            format!("makes = \"pattern\"\nmachine = \"{machine}\"\nmaterial = \"{material}\"\n");
        let stair = Stair { rise: "total = \"22 in\"\nrisers = 3".into(), cut, ..Stair::default() };
        let job = stair.job();
        let workup = Workup::of(&job);
        Self { job, workup }
    }

    fn planned(&self) -> &Planned {
        self.workup.planned.as_ref().unwrap()
    }

    fn marks(&self) -> &Program {
        self.planned().mark_program.as_ref().unwrap()
    }

    fn text(&self, program: &Program) -> String {
        gcode(
            &Stamp::of(&self.workup),
            &self.job.cut.machine,
            self.planned().path.ledger(),
            program,
        )
    }

    fn expectation(&self, program: &Program) -> Expectation<'_> {
        planned(&self.job, self.workup.outline.as_ref().unwrap(), program)
    }

    fn verdict(&self, text: &str, program: &Program) -> Verdict {
        hold(text.as_bytes(), "p.nc", &self.expectation(program)).unwrap()
    }
}

fn router() -> Case {
    Case::new("router-table", "hardboard-6")
}

fn laser() -> Case {
    Case::new("laser", "hardboard-3")
}

fn refusals(verdict: &Verdict) -> Vec<&'static str> {
    let mut codes: Vec<_> =
        verdict.findings.iter().filter(|f| f.refuses()).map(|f| f.code.name()).collect();
    codes.dedup();
    codes
}

/// The numbers of the lines that begin with these words, from a line on.
fn lines_with(text: &str, words: &str) -> Vec<usize> {
    text.lines().enumerate().filter(|(_, line)| line.starts_with(words)).map(|(i, _)| i).collect()
}

/// The text with lines changed; an empty line is left out.
fn with_lines(text: &str, change: impl Fn(usize, &str) -> String) -> String {
    text.lines()
        .enumerate()
        .map(|(i, line)| change(i, line))
        .filter(|line| !line.is_empty())
        .fold(String::new(), |text, line| text + &line + "\n")
}

/// A line with the number of one of its words moved.
fn moved(line: &str, letter: char, by: f64) -> String {
    let word = |word: &str| match word.strip_prefix(letter).map(str::parse::<f64>) {
        Some(Ok(value)) => format!("{letter}{:.4}", value + by),
        _ => word.to_string(),
    };
    line.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

/// The lines of the hanging hole.
fn hole_lines(text: &str) -> std::ops::Range<usize> {
    let lines: Vec<&str> = text.lines().collect();
    // The lines at the top that say where to go on name it too; where one goes on, the height is
    // said.
    let says = |line: &str| line.trim_matches(|c| "(); ".contains(c)) == "HANGING HOLE";
    let said = lines.iter().position(|line| says(line)).unwrap();
    let first = said + usize::from(lines[said + 1].starts_with("G0 Z"));
    let is_end = |line: &&str| {
        line.starts_with('(') || line.starts_with(';') || line.starts_with("G0 Z") || *line == "S0"
    };
    let length = lines[first + 1..].iter().position(is_end).unwrap();
    first + 1..first + 1 + length
}

#[test]
fn good_programs_of_both_tools_pass_with_every_mark_found() {
    let case = router();
    let v = case.verdict(&case.text(case.marks()), case.marks());
    assert_eq!(v.findings, []);
    assert_eq!(v.marks, case.marks().marking.as_ref().unwrap().strokes.len());
    let cut = &case.planned().program;
    let v = case.verdict(&case.text(cut), cut);
    assert_eq!((refusals(&v), v.marks), (vec![], 0), "{:?}", v.findings);
    let case = laser();
    let cut = &case.planned().program;
    let v = case.verdict(&case.text(cut), cut);
    assert_eq!(v.findings, []);
    assert_eq!(v.marks, cut.marking.as_ref().unwrap().strokes.len());
}

#[test]
fn marks_that_lie_elsewhere_are_found_where_they_lie() {
    let case = router();
    let (outline, program) = (case.workup.outline.as_ref().unwrap(), case.marks());
    let text = with_lines(&case.text(program), |_, line| {
        if line == "G0 X0.0000 Y0.0000" { line.to_string() } else { moved(line, 'X', 1.25) }
    });
    let v = hold(text.as_bytes(), "p.nc", &elsewhere(&case.job, outline, program)).unwrap();
    assert_eq!(refusals(&v), Vec::<&str>::new(), "{:?}", v.findings);
    assert!((v.placements[0].x_mm - program.placement().translation.x - 1.25 * 25.4).abs() < 0.01);
}

#[test]
fn a_mark_of_another_depth_is_mark_depth() {
    let case = router();
    let good = case.text(case.marks());
    let plunge = lines_with(&good, "G1 Z-0.0200")[5];
    for by in [-0.002, 0.002] {
        let text =
            with_lines(
                &good,
                |i, line| if i == plunge { moved(line, 'Z', by) } else { line.to_string() },
            );
        let v = case.verdict(&text, case.marks());
        assert!(refusals(&v).contains(&"mark-depth"), "{by}: {:?}", v.findings);
        assert_eq!(v.marks + 1, case.marks().marking.as_ref().unwrap().strokes.len());
        // What is deeper than declared is a cut into the part as well.
        assert_eq!(refusals(&v).contains(&"gouge"), by < 0.0, "{:?}", v.findings);
    }
    let through = good.replacen("G1 Z-0.0200", "G1 Z-0.2500", 1);
    assert!(refusals(&case.verdict(&through, case.marks())).contains(&"gouge"));
}

#[test]
fn a_mark_scored_with_another_power_is_mark_depth() {
    let case = laser();
    let cut = &case.planned().program;
    let good = case.text(cut);
    for power in ["S160", "S140", "S800"] {
        let v = case.verdict(&good.replacen("S150", power, 1), cut);
        assert!(refusals(&v).contains(&"mark-depth"), "{power}: {:?}", v.findings);
    }
    assert!(refusals(&case.verdict(&good.replacen("S150", "S1000", 1), cut)).contains(&"gouge"));
}

#[test]
fn a_shifted_mark_is_undeclared_where_it_is_and_missing_where_it_was() {
    for (case, step) in [(router as fn() -> Case, 0.002), (laser, 0.05)] {
        let case = case();
        let program = case.planned().mark_program.as_ref().unwrap_or(&case.planned().program);
        let good = case.text(program);
        let stroke = program.marking.as_ref().unwrap().strokes.len() / 2;
        let starts = lines_with(&good, "G0 X");
        let (first, next) = (starts[stroke], starts[stroke + 1]);
        for axis in ['X', 'Y'] {
            let text = with_lines(&good, |i, line| {
                if (first..next).contains(&i) { moved(line, axis, step) } else { line.to_string() }
            });
            let v = case.verdict(&text, program);
            // A straight stroke that slides along itself sticks out at one end: undeclared there in
            // any case.
            for code in ["mark-undeclared", "mark-missing", "gouge"] {
                assert!(refusals(&v).contains(&code), "{axis} {code}: {:?}", v.findings);
            }
        }
    }
}

#[test]
fn a_mark_left_out_is_mark_missing_and_alone_so() {
    for case in [router as fn() -> Case, laser] {
        let case = case();
        let program = case.planned().mark_program.as_ref().unwrap_or(&case.planned().program);
        let good = case.text(program);
        let starts = lines_with(&good, "G0 X");
        let (first, next) = (starts[7], starts[8]);
        let text = with_lines(&good, |i, line| {
            if (first..next).contains(&i) { String::new() } else { line.to_string() }
        });
        assert_eq!(refusals(&case.verdict(&text, program)), ["mark-missing"]);
    }
}

#[test]
fn marks_in_a_program_that_declares_none_are_gouges() {
    let case = laser();
    let cut = &case.planned().program;
    let bare = Program { marking: None, ..cut.clone() };
    assert!(refusals(&case.verdict(&case.text(cut), &bare)).contains(&"gouge"));
}

#[test]
fn a_mark_outside_the_part_is_undeclared_in_a_program_that_only_marks() {
    let case = router();
    let stray = "G0 X0.5000 Y0.5000\nG1 Z-0.0200 F48.0\nG1 X0.7000 Y0.5000\nG0 Z0.5000\nM5\n";
    let text = case.text(case.marks()).replace("M5\n", stray);
    assert_eq!(refusals(&case.verdict(&text, case.marks())), ["mark-undeclared"]);
}

fn at_hole(verdict: &Verdict, code: &str) -> bool {
    verdict
        .findings
        .iter()
        .any(|f: &Finding| f.code.name() == code && f.place.to_string() == "hanging hole")
}

#[test]
fn an_oversized_hole_is_a_gouge_and_a_small_or_missing_one_is_uncut() {
    for case in [router as fn() -> Case, laser] {
        let case = case();
        let cut = &case.planned().program;
        let wide = |mm: f64| {
            let mut e = case.expectation(cut);
            e.pieces[0].holes[0].radius_mm += mm;
            hold(case.text(cut).as_bytes(), "p.nc", &e).unwrap()
        };
        assert!(at_hole(&wide(-0.0254), "gouge") && at_hole(&wide(0.0254), "uncut"));
        let good = case.text(cut);
        let hole = hole_lines(&good);
        let text =
            with_lines(
                &good,
                |i, line| if hole.contains(&i) { String::new() } else { line.to_string() },
            );
        assert!(at_hole(&case.verdict(&text, cut), "uncut"));
        let mut e = case.expectation(cut);
        e.pieces[0].holes.clear();
        assert!(refusals(&hold(good.as_bytes(), "p.nc", &e).unwrap()).contains(&"gouge"));
    }
}

#[test]
fn a_hole_off_by_two_thousandths_of_an_inch_is_a_gouge_on_one_side_and_uncut_on_the_other() {
    for (case, step) in [(router as fn() -> Case, 0.002), (laser, 0.051)] {
        let case = case();
        let cut = &case.planned().program;
        let good = case.text(cut);
        let hole = hole_lines(&good);
        for axis in ['X', 'Y'] {
            for by in [-step, step] {
                let text = with_lines(&good, |i, line| {
                    if hole.contains(&i) { moved(line, axis, by) } else { line.to_string() }
                });
                let v = case.verdict(&text, cut);
                assert!(
                    at_hole(&v, "gouge") && at_hole(&v, "uncut"),
                    "{axis} {by}: {:?}",
                    v.findings
                );
            }
        }
    }
}

#[test]
fn a_cut_beside_the_hole_is_a_gouge_and_one_inside_it_is_none() {
    let case = router();
    let cut = &case.planned().program;
    let center = cut.holes[0].center;
    for (off, gouges) in [(0.0, false), (20.0, true)] {
        let at = format!("G0 X{:.4} Y{:.4}", (center.x + off) / 25.4, center.y / 25.4);
        let text = case.text(cut).replace("M5\n", &format!("{at}\nG1 Z-0.2000\nG0 Z0.5000\nM5\n"));
        assert_eq!(refusals(&case.verdict(&text, cut)).contains(&"gouge"), gouges);
    }
}
