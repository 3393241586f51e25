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

/// An invented porch: a total rise without its unit first, and most else as is usual.
const PORCH: &str =
    "51 3/8\n51 3/8\"\n\n1 = 10 1/2\n\n\n1 = 2x12\n\n7\nstringers\n4 = 3\n\n\nnothing\n";

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
    let answers = "1200 mm\n\n\nTop = flush\n\n1 = 300 x 40\n\n\nde-general\n7\npattern\nits thick \
        = 6.2\n\n\n\n";
    let run = asked(&file, answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    // Nothing is usual, so that Enter alone is told the words.
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
fn enter_alone_takes_what_is_usual_in_nine_prompts_of_80_columns() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("porch.toml");
    let run = asked(&file, &format!("51 3/8 in\n{}", "\n".repeat(8)));
    assert_eq!(code(&run), 0, "{}", told(&run));
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
    assert!(said.contains("9 of 9  WHAT ELSE"), "{said}");
    let solved = seatcut(&["solve", &file.display().to_string(), "--deny-warnings"]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
    // One answer less is one step that is left, and told by its name and the line it was read to.
    let file = folder.path().join("half.toml");
    let run = asked(&file, &format!("51 3/8 in\n{}", "\n".repeat(7)));
    assert!(told(&run).contains("after line 8, not answered: What else"), "{}", told(&run));
    assert!(!file.exists());
}

#[test]
fn lines_of_a_step_are_changed_by_number_or_name_and_shown_as_they_were_understood() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("deck.toml");
    let treads = [
        "1 1/4 in",
        "7 = 1 in",
        "2 = thick",
        "2 = 1,25 in",
        "? 2",
        "2 = 1 1/4; 3 = 1 1/8, riser = 0",
        "2 = 1 3/8",
        "",
    ];
    // A step back over the next lines, and these are as they were left; on again.
    let answers = format!(
        "44 in\n\n{}\nback\n4 = 3/4\n\n\n\n\n\n1 = Deck stair; 2 = 36\n\n\n",
        treads.join("\n")
    );
    let run = asked(&file, &answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in [
        "NO: which line is that for? Its number goes first: 2 = 1 1/4 in",
        "NO: there is no line 7; they have the numbers 1 to 4",
        "NO: 2 Tread thickness: `thick` is no unit of length here",
        "NO: 2 Tread thickness: a comma has two readings, a decimal mark or thousands. Type 1.25 \
        in",
        "3 Nosing = 1 1/8 in (28.6 mm) 4 Riser board = 0 in (0.0 mm)",
        "2 Tread thickness = 1 3/8 in (34.9 mm)",
        "1 Run 10 1/4 in riser cut to riser cut, level; the nosing not counted 2 Tread thickness 1 \
        3/8 in it comes off",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let text = fs::read_to_string(&file).unwrap();
    let keys = [
        "thickness = \"1 3/8 in\"",
        "overhang = \"1 1/8 in\"",
        "riser_board = \"3/4 in\"",
        "title = \"Deck stair\"",
        "width = \"36 in\"",
    ];
    for key in keys {
        assert!(text.contains(key), "{key}: {text}");
    }
}

#[test]
fn a_beam_check_is_asked_for_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("porch.toml");
    let begun = format!("51 3/8 in\n{}", "\n".repeat(6));
    // Wood alone is no check: what it wants too is asked for in the order of the lines.
    let run = asked(&file, &(begun + "4 = southern-pine\n\n36\n16\nno2\nnone\n40 psf\n\n\n"));
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in [
        "NO: 2 Width of the stair: nothing is usual here; type what you have",
        "5 Grade = no2",
        "6 Live load wanted",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("[load]\nlive = \"40 psf\""), "{text}");
    let solved = seatcut(&["solve", &file.display().to_string()]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
}

#[test]
fn what_is_left_when_the_input_ends_is_told_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("half.toml");
    for (answers, left) in [
        ("", "after line 0, not answered: Rise, Finishes"),
        ("51 3/8 in\n\n2 = 1 1/4\n", "after line 3, not answered: Treads, Head"),
        ("51 3/8 in\n\nback\n", "after line 3, not answered: Finishes, Treads"),
        (&"eleven\n".repeat(50), "20 answers in a row are none"),
        (&format!("51 in\n{}", "2 = eleven\n".repeat(50)), "20 answers in a row are none"),
        (&format!("{}\n", "9".repeat(100_000)), "not answered: Rise"),
        (&format!("51 in\n{}\n", "2 = 9; ".repeat(100_000)), "not answered: Finishes"),
        ("-3 in\n\u{0}\u{1b}[2J\n51,5 in\n0 in\n200 m\n", "not answered: Rise"),
        ("51 in\n=\n;\n= 3\n?\n? 9\n1 =\n2 = \u{1b}[2J\n", "not answered: Finishes"),
    ] {
        let run = asked(&file, answers);
        assert_eq!(code(&run), 3, "{}", told(&run));
        assert!(told(&run).contains(left), "{left}: {}", told(&run));
        assert!(!run.stderr.contains(&0x1b), "nothing typed steers the terminal");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "{left}");
    }
}

#[test]
fn a_count_that_is_refused_is_not_taken_and_a_warning_is_asked_about_once() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("steep.toml");
    // Six risers are too high by these rules, and by others they are not.
    let answers = "51 3/8 in\n\n\n\n\n6\n6\n5000\nrules = none of mine\n7\n\n\n\n";
    let run = asked(&file, answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in [
        "REFUSED",
        "NO: it is refused; type 7 or 8",
        "NO: no count of the table",
        "NO: one of these: ",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("risers = 7 ") && !text.contains("[cut]"), "{text}");
    // Where every count is refused, it is said what to change, and where.
    let file = folder.path().join("narrow.toml");
    let run = asked(&file, "51 3/8 in\n\n1 = 8\n\n\n\n\nback\nback\nback\n1 = 10\n\n\n\n\n\n\n\n");
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    assert!(
        said.contains(
            "every count is refused, and what is refused cannot stay: change Run: back goes"
        ),
        "{said}"
    );
    assert!(fs::read_to_string(&file).unwrap().contains("cut = \"10 in\""));
}

#[test]
fn what_else_is_made_is_asked_with_what_it_needs_and_no_more() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("hall.toml");
    let begun = format!("110 in\n{}", "\n".repeat(7));
    // Treads want a width; skirts a side, and a width along a wall; an opening its two lengths, and
    // one that leaves too little headroom does not stay.
    let else_ = [
        "stairs",
        "nothing, rail",
        "treads, skirts and 4",
        "",
        "36",
        "",
        "1 = wall",
        "2 = open",
        "11 1/4",
        "",
        "60",
        "11",
        "",
        "1 = 140",
        "",
    ];
    let run = asked(&file, &(begun.clone() + &else_.join("\n") + "\n"));
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in [
        "NO: one of these: treads, skirts, rail, opening, nothing",
        "NO: nothing, or something: not both",
        "= treads, skirts, opening",
        "NO: 1 Width of the stair: nothing is usual here; type what you have",
        "NO: what is refused cannot stay: change Length of the opening: back goes a step back",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let text = fs::read_to_string(&file).unwrap();
    for key in [
        "[steps]\n",
        "[skirts]\nleft = \"wall\"",
        "[opening]\nlength = \"140 in\"",
        "[stair]\nwidth = \"36 in\"",
    ] {
        assert!(text.contains(key), "{key}: {text}");
    }
    assert!(!text.contains("[rail]"), "{text}");
    let solved = seatcut(&["solve", &file.display().to_string()]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
    // A step back and another answer: what was chosen first is gone.
    let file = folder.path().join("porch");
    let run = asked(&file, &(begun + "skirts\n1 = open\nback\nrail\n3 = none\n\n"));
    assert_eq!(code(&run), 0, "{}", told(&run));
    // The name alone is enough for a job, and leaves it to the folder of its set.
    let text = fs::read_to_string(folder.path().join("porch.toml")).unwrap();
    assert!(
        text.contains("[rail]\nheight = ")
            && !text.contains("skirts")
            && !text.contains("baluster"),
        "{text}"
    );
}
