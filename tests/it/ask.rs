//! A job from questions: answered through a pipe, read back, written once and never over another.

use crate::common::{code, on_one_line, seatcut};
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn asked(file: &Path, answers: &str) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_seatcut"));
    command.arg("ask").arg(file).stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
    // A run that ends before it has read everything is no failure of the pipe.
    let _ = child.stdin.take().unwrap().write_all(answers.as_bytes());
    child.wait_with_output().unwrap()
}

fn told(run: &Output) -> String {
    on_one_line(&String::from_utf8_lossy(&run.stderr))
}

/// An invented porch: a total rise without its unit first, and everything else as is usual.
const PORCH: &str = "51 3/8\n51 3/8\"\n\n\n10 1/2\n\n\n\n\n\n2x12\nnone\n\n7\nstringers\n\n\n3\n";

#[test]
fn a_job_from_answers_is_solved_without_a_warning_and_made() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("porch.toml");
    let run = asked(&file, PORCH);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    // The slip is told at once with what to type, and an answer read back in both units.
    assert!(said.contains("NO: a length needs its unit. Type 51 3/8 in"), "{said}");
    assert!(said.contains("= 51 3/8 in (1304.9 mm)"), "{said}");
    assert!(said.contains("= 10 1/2 in (266.7 mm)"), "{said}");
    assert!(said.contains("against it") && said.contains("unit rise high"), "{said}");
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("\ncut = \"10 1/2 in\""), "{text}");
    assert!(text.contains("\nrisers = 7 "), "{text}");
    let figures = text.lines().filter(|line| line.contains(" = ") && !line.starts_with('#'));
    let bare: Vec<&str> = figures.filter(|line| !line.contains("  # ")).collect();
    assert_eq!(bare, ["title = \"porch\""], "every other key says what it is");
    let name = file.display().to_string();
    let solved = seatcut(&["solve", &name, "--deny-warnings"]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
    assert!(!String::from_utf8_lossy(&solved.stdout).contains("taken-as"));
    let out = folder.path().join("porch").display().to_string();
    assert_eq!(code(&seatcut(&["make", &name, "-o", &out])), 0);
    // A second time nothing is asked and nothing is written.
    let again = asked(&file, PORCH);
    assert_eq!(code(&again), 7, "{}", told(&again));
    assert!(!told(&again).contains("RISE"), "{}", told(&again));
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
}

#[test]
fn a_metric_stair_has_its_rule_set_chosen_and_its_pattern_measured() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("cellar.toml");
    let answers =
        "1200 mm\n\n\n270\n\n\n\nflush\n\n300 x 40\nnone\n\nde-general\n7\npattern\n\n\n\n6.2\n";
    let run = asked(&file, answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    assert!(said.contains("NO: one of these: au-private"), "{said}");
    assert!(!said.contains(" in ("), "{said}");
    let text = fs::read_to_string(&file).unwrap();
    for line in ["cut = \"270 mm\"", "meets = \"flush\"", "thickness = \"6.2 mm\"", "quantity = 1"]
    {
        assert!(text.contains(line), "{line}: {text}");
    }
    let name = file.display().to_string();
    let solved = seatcut(&["solve", &name, "--deny-warnings"]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
}

#[test]
fn what_is_left_when_the_input_ends_is_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("half.toml");
    for (answers, left) in [
        ("", "not answered: Total rise, Finish still to be laid below"),
        ("51 3/8 in\n\n\n\n", "not answered: Tread thickness, Nosing"),
        (&"eleven\n".repeat(50), "20 answers in a row are none"),
        (&format!("{}\n", "9".repeat(100_000)), "not answered: Total rise"),
        ("-3 in\n\u{0}\u{1b}[2J\n51,5 in\n0 in\n200 m\n", "not answered: Total rise"),
    ] {
        let run = asked(&file, answers);
        assert_eq!(code(&run), 3, "{}", told(&run));
        assert!(told(&run).contains(left), "{}", told(&run));
        assert!(!run.stderr.contains(&0x1b), "nothing typed steers the terminal");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "{left}");
    }
}

#[test]
fn what_stands_against_a_count_is_kept_only_by_whoever_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("steep.toml");
    // Six risers are too high: not kept, then eight and a step back to change the run.
    let answers = "51 3/8 in\n\n\n\n\n\n\n\n\n\n\n\n6\nno\n5000\n6\nyes\nback\n7\nnothing\n";
    let run = asked(&file, answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    assert!(said.contains("REFUSED") && said.contains("NO: no count of the table"), "{said}");
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("risers = 7 ") && !text.contains("[cut]"), "{text}");
}
