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

/// An invented porch, and most as is usual.
const PORCH: &str = "51 3/8\"\n\n1 = 10 1/2\n\n\n1 = 2x12\n\n7\nstringers\n4 = 3\n\n\nnothing\n";

/// Answers whose last one is refused: by which words, and that nothing is written.
fn ends(answers: &str, words: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let run = asked(&folder.path().join("stair.toml"), answers);
    let said = told(&run);
    assert_eq!(code(&run), 3, "{answers}: {said}");
    for words in words {
        assert!(said.contains(words), "{words}: {answers}: {said}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "{answers}");
}

/// The job that comes of answers, and what was said.
fn made(answers: &str) -> (String, String) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("stair.toml");
    let run = asked(&file, answers);
    assert_eq!(code(&run), 0, "{answers}: {}", told(&run));
    (fs::read_to_string(&file).unwrap(), told(&run))
}

#[test]
fn a_job_from_answers_is_solved_without_a_warning_and_made() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("porch.toml");
    let run = asked(&file, PORCH);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    // An answer is read back in both units.
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
    let answers = "1200 mm\n\n\nTop = flush\n\n1 = 300 x 40\n\nde-general\n7\npattern\nits thick \
        = 6.2\n\n\n\n";
    let run = asked(&file, answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    assert!(!said.contains(" in ("), "{said}");
    let text = fs::read_to_string(&file).unwrap();
    for line in ["cut = \"270 mm\"", "meets = \"flush\"", "thickness = \"6.2 mm\"", "quantity = 1"]
    {
        assert!(text.contains(line), "{line}: {text}");
    }
    let name = file.display().to_string();
    let solved = seatcut(&["solve", &name, "--deny-warnings"]);
    assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
    // Nothing is usual, so that Enter alone is told the words.
    let rules = "1200 mm\n\n\n\n\n\n";
    ends(
        rules,
        &["Risers, line 6 of the input: Rule set: one of these: au-private", "an empty line"],
    );
}

#[test]
fn from_a_pipe_the_first_answer_that_is_refused_ends_it_and_says_where_and_why() {
    // A board typed where the top tread is asked for: what stands behind it answers other questions.
    let carpenter = "? \n40 1/2 in\n\n2 = 1 1/4 in\n1 = 11 in; 2 = 1 1/2 in; 3 = 1 in; 4 = 0 in\n\n\
        1 = 2x12\n\n\npattern\n\n\n\n\n\nskirts, rail\n\n\n\n\n\n";
    ends(
        carpenter,
        &[
            "Head, line 7 of the input: 1 Top tread: one of these: one-down, flush",
            "nothing was written",
            "found: 1 = 2x12",
            "to do: put line 7 right",
        ],
    );
    let begun = "51 3/8 in\n\n";
    for (line, words) in [
        ("9 = 1 in", "there is no line 9; they have the numbers 1 to 4"),
        ("1 1/4 in", "which line is that for? Its number goes first: 2 = 1 1/4 in"),
        ("2 = thick", "2 Tread thickness: `thick` is no unit of length here"),
        ("2 = 1,25 in", "a comma has two readings, a decimal mark or thousands. Type 1.25 in"),
        ("2 = 9 in", "2 Tread thickness: "),
        ("2 = 3 cm 1/2", "line 3 of the input"),
        ("2 = 1 7/8 cm", "Type 1 7/8 in or 1.875 cm"),
    ] {
        ends(
            &format!("{begun}{line}\n{}", "\n".repeat(20)),
            &["Treads, line 3 of the input", words],
        );
    }
    ends("51 3/8\n51 3/8 in\n", &["Rise, line 1 of the input", "Type 51 3/8 in"]);
    ends("2x12\n", &["line 1 of the input", "found: 2x12"]);
    ends(&format!("51 in\n{}stair\n\n", "\n".repeat(4)), &["Risers, line 6 of the input"]);
    ends(
        &format!("51 in\n{}stairs\n", "\n".repeat(7)),
        &["What else, line 9", "one of these: treads"],
    );
    ends(&format!("51 in\n{}nothing, rail\n", "\n".repeat(7)), &["not both"]);
}

#[test]
fn an_odd_reading_is_kept_by_the_same_line_once_more_and_by_no_other() {
    // No tape has thirds.
    let thirds = "51 3/8 in\n\n1 = 10 1/3 in\n";
    ends(
        &format!("{thirds}\n\n"),
        &["no tape has a line there", "10 5/16 in", "line 3 of the input", "once more to keep it"],
    );
    let (job, _) = made(&format!("{thirds}1 = 10 1/3 in\n{}", "\n".repeat(8)));
    assert!(job.contains("cut = \"10 1/3 in\""), "{job}");
}

#[test]
fn a_question_mark_says_what_is_measured_from_where_to_where_before_how_it_is_typed() {
    let rest = "\n".repeat(8);
    let (_, said) = made(&format!("?\n51 3/8 in\n?\n? 2\n{rest}"));
    let at = |words: &str| said.find(words).unwrap_or_else(|| panic!("{words}: {said}"));
    let rise = at("measure plumb down from its finished surface to the finished surface below");
    assert!(rise < at("A length: 26 3/4 in, 26-3/4 in"));
    at("1 Finish still to be laid below: From the surface that the stringer will stand on");
    // Of all lines, and of one alone.
    assert_eq!(said.matches("From the top of the framing at the head, where").count(), 2);
    assert_eq!(said.matches("From the surface that the stringer will stand on").count(), 1);
    let (_, said) = made(&format!("51 in\n{}?\n7\n?\n\n\n\n", "\n".repeat(4)));
    for words in [
        "Count the steps up from the lower floor",
        "A whole number in digits",
        "Whether the machine cuts",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn a_plate_brings_the_clearance_of_its_notch_and_none_without_it() {
    let begun = "51 3/8 in\n\n\n\n";
    let rest = "\n".repeat(5);
    let (job, said) = made(&format!("{begun}2 = 2x4\n{rest}"));
    assert!(
        job.contains("height = \"1 1/2 in\"") && job.contains("clearance = \"1/16 in\""),
        "{job}"
    );
    assert!(said.contains("3 Clearance of its notch none"), "{said}");
    assert!(said.contains("3 Clearance of its notch 1/16 in (1.6 mm)"), "{said}");
    // A job that leaves it out is told so: nobody wants a notch that binds without having said it.
    let folder = tempfile::tempdir().unwrap();
    let solved = |job: &str| {
        let file = folder.path().join("plate.toml").display().to_string();
        fs::write(&file, job).unwrap();
        on_one_line(&String::from_utf8_lossy(&seatcut(&["solve", &file]).stdout))
    };
    let without: String = job
        .lines()
        .filter(|line| !line.starts_with("clearance"))
        .map(|line| line.to_string() + "\n")
        .collect();
    let taken = "foot.tie_plate.clearance 0 in: the notch is as tight as the plate";
    assert!(solved(&without).contains(taken) && !solved(&job).contains(taken), "{without}");
    let (job, _) = made(&format!("{begun}2 = 2x4; 3 = 1/8\n{rest}"));
    assert!(job.contains("clearance = \"1/8 in\""), "{job}");
    let (job, _) = made(&format!("{begun}{rest}"));
    assert!(!job.contains("clearance") && !job.contains("tie_plate"), "{job}");
    let (job, _) = made(&format!("{begun}2 = 2x4\n2 = none\n{rest}"));
    assert!(!job.contains("clearance") && !job.contains("tie_plate"), "{job}");
    let metric = "1200 mm\n\n\n\n2 = 90 x 40\n\nde-general\n\n\n\n\n";
    assert!(made(metric).0.contains("clearance = \"1.5 mm\""));
}

/// An invented stair of a full storey, up to what is cut.
const STOREY: &str = "103 7/8 in\n\n2 = 1 1/4 in; 3 = 7/8 in; 1 = 10 in\n\n\n\n14\n";

#[test]
fn a_part_longer_than_the_machine_is_made_in_a_way_that_this_machine_and_material_have() {
    let solved = |answers: &str| {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("storey.toml");
        let run = asked(&file, answers);
        assert_eq!(code(&run), 0, "{answers}: {}", told(&run));
        let solved = seatcut(&["solve", &file.display().to_string()]);
        assert_eq!(code(&solved), 0, "{}", String::from_utf8_lossy(&solved.stdout));
        (fs::read_to_string(&file).unwrap(), told(&run))
    };
    let (job, said) = solved(&format!("{STOREY}pattern\n\nsplit\n\n\n"));
    assert!(job.contains("long = \"split\""), "{job}");
    // A sheet that is itself too short is not moved on either.
    assert!(said.contains("1 split") && said.contains("2 nothing"), "{said}");
    assert!(said.contains("travels 96 in") && !said.contains("1 index"), "{said}");
    let small = format!("51 3/8 in\n{}pattern\n1 = router-table-small\n\n", "\n".repeat(5));
    let (job, said) = solved(&format!("{small}index\n\n\n"));
    assert!(job.contains("long = \"index\"") && said.contains("3 nothing"), "{said}");
    // A board is not moved on along pins, and a stringer is never split.
    let (job, said) = solved(&format!("{STOREY}stringers\n\nnothing\n\n\n"));
    assert!(
        !job.contains("[cut]") && said.contains("1 nothing") && !said.contains("2 split"),
        "{said}"
    );
    ends(
        &format!("{STOREY}stringers\n\n\n\n\n"),
        &["Cut, line 10 of the input: Longer than the machine: one of these: nothing"],
    );
    // What fits is not asked, and a way that was chosen goes with what it was chosen for.
    let (job, said) = made(&format!("51 3/8 in\n{}pattern\n\n\n\n", "\n".repeat(5)));
    assert!(!job.contains("long =") && !said.contains("Longer than"), "{said}");
    let (job, _) = made(&format!("{STOREY}pattern\n\nsplit\nback\nnothing\n\n\n"));
    assert!(!job.contains("long ="), "{job}");
}

#[test]
fn what_refuses_at_the_end_says_which_answer_to_change_and_what_would_do() {
    let by_hand = format!("{STOREY}nothing\n");
    let opening = format!("{by_hand}\nopening\n120\n12 7/8\n");
    ends(
        &format!("{opening}\n"),
        &[
            "change Length of the opening (step 9, opening, line 1) to 12",
            "in or more; nothing was written",
        ],
    );
    // What it says would do does.
    let folder = tempfile::tempdir().unwrap();
    let said = told(&asked(&folder.path().join("low.toml"), &format!("{opening}\n")));
    let (_, behind) = said.split_once("line 1) to ").unwrap();
    let least = behind.split_once(" in or more").unwrap().0;
    made(&format!("{by_hand}\nopening\n{least} in\n12 7/8\n\n"));
    // A beam that is refused, with as many stringers as are enough: and they are.
    let beam = |rise: &str, apart: &str, load: &str| {
        let begun = format!("{rise}{}", "\n".repeat(6));
        let wood = format!("4 = southern-pine; 5 = no2; 6 = {load} psf");
        format!("{begun}2 = 60; 3 = {apart}; {wood}\n\n\n")
    };
    let run = asked(&folder.path().join("beam.toml"), &beam("51 3/8 in\n", "30", "100"));
    let said = told(&run);
    assert_eq!(code(&run), 3, "{said}");
    let (_, behind) =
        said.rsplit_once("change Stringers apart at most (step 8, line 3) to ").unwrap();
    let (apart, count) = behind.split_once(" in: ").unwrap();
    assert!(count.starts_with("8 stringers are enough by these figures"), "{said}");
    let (job, _) = made(&beam("51 3/8 in\n", apart, "100"));
    assert!(job.contains(&format!("most_spacing = \"{apart} in\"")), "{job}");
    // Where no number of them is, what is to be done is said.
    ends(
        &beam("110 in\n", "30", "200"),
        &["what is refused cannot stay: add stringers, double them, or support them in the middle"],
    );
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
    let treads = "2 = 1 1/4; 3 = 1 1/8, riser = 0\n? 2\n2 = 1 3/8\n";
    // A step back over the next lines, and these are as they were left; on again.
    let answers =
        format!("44 in\n\n{treads}\nback\n4 = 3/4\n\n\n\n\n\n1 = Deck stair; 2 = 36\n\n\n");
    let run = asked(&file, &answers);
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in [
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
    ends(
        &format!("{begun}4 = southern-pine\n\n36\n"),
        &["2 Width of the stair: nothing is usual here; type what you have"],
    );
    let run = asked(&file, &(begun + "4 = southern-pine\n36\n16\nno2\nnone\n40 psf\n\n\n"));
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    for words in ["5 Grade = no2", "6 Live load wanted"] {
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
        (&"eleven\n".repeat(50), "Rise, line 1 of the input"),
        (&format!("51 in\n{}", "2 = eleven\n".repeat(50)), "Finishes, line 2 of the input"),
        (&format!("{}\n", "9".repeat(100_000)), "Rise, line 1 of the input"),
        (&format!("51 in\n{}\n", "2 = 9; ".repeat(100_000)), "Finishes, line 2 of the input"),
        ("-3 in\n", "a length is never negative"),
        ("\u{0}\u{1b}[2J\n", "Rise, line 1 of the input"),
        ("51,5 in\n", "Type 51.5 in"),
        ("0 in\n", "Rise, line 1 of the input"),
        ("200 m\n", "longer than 100 m"),
        ("51 in\n=\n", "Finishes, line 2 of the input"),
        ("51 in\n= 3\n", "Finishes, line 2 of the input"),
        ("51 in\n?\n? 9\n1 =\n", "Finishes, line 4 of the input"),
        ("51 in\n2 = \u{1b}[2J\n", "Finishes, line 2 of the input"),
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
    let begun = "51 3/8 in\n\n\n\n\n";
    ends(
        &format!("{begun}6\n7\n\n\n\n"),
        &["REFUSED", "line 6 of the input: Risers: it is refused; type 7 or 8", "found: 6"],
    );
    ends(&format!("{begun}5000\n"), &["no count of the table"]);
    ends(&format!("{begun}rules = none of mine\n"), &["one of these: "]);
    let run = asked(&file, &format!("{begun}7\n\n\n\n"));
    assert_eq!(code(&run), 0, "{}", told(&run));
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("risers = 7 ") && !text.contains("[cut]"), "{text}");
    // Where every count is refused, it is said what to change, and where.
    ends(
        "51 3/8 in\n\n1 = 8\n\n\n\n\n",
        &["every count is refused, and what is refused cannot stay: change Run (step 3, line 1)"],
    );
    let (job, _) = made("51 3/8 in\n\n1 = 8\n\n\n\nback\nback\nback\n1 = 10\n\n\n\n\n\n\n\n");
    assert!(job.contains("cut = \"10 in\""), "{job}");
}

#[test]
fn what_else_is_made_is_asked_with_what_it_needs_and_no_more() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("hall.toml");
    let begun = format!("110 in\n{}", "\n".repeat(7));
    // Treads want a width; skirts a side, and a width along a wall; an opening its two lengths.
    let else_ =
        ["treads, skirts and 4", "36", "", "1 = wall", "2 = open", "11 1/4", "", "140", "11", ""];
    let run = asked(&file, &(begun.clone() + &else_.join("\n") + "\n"));
    let said = told(&run);
    assert_eq!(code(&run), 0, "{said}");
    assert!(said.contains("= treads, skirts, opening"), "{said}");
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
