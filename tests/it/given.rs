//! What is answered where somebody gives a command another file than it wants: what the file is,
//! what is wanted there, and the line to type, which is then one that the command takes.

use crate::common::{GARDEN_STEPS, code};
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// A folder of a shop: a job, its set, an order in a folder of its own, and all that lies about.
fn shop() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &[u8]| {
        let path = dir.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    let titled = |title: &str| GARDEN_STEPS.replace("Garden steps", title);
    let profile =
        |kind: &str, name: &str| seatcut::profile::embedded(Some(kind), name).unwrap().text;
    write("porch.toml", GARDEN_STEPS.as_bytes());
    write("list/a.toml", titled("A").as_bytes());
    write("list/b.toml", titled("B").as_bytes());
    write("list/rack.toml", b"[[sheet]]\nmaterial = \"hardboard-6\"\ncount = 3\n");
    write(
        "list/order.toml",
        b"stock = \"rack.toml\"\n[[job]]\nfile = \"a.toml\"\n[[job]]\nfile = \"b.toml\"\n",
    );
    write("rack.toml", b"[[sheet]]\nmaterial = \"hardboard-6\"\ncount = 3\n");
    write(
        "built.toml",
        b"[built]\nheights = [\"7 5/16 in\", \"14 11/16 in\", \"22 in\", \"29 3/8 in\", \"36 11/16 \
            in\", \"44 in\"]\n",
    );
    write("my-router.toml", profile("machine", "router-table").as_bytes());
    write("my-board.toml", profile("material", "hardboard-6").as_bytes());
    write("my-rules.toml", profile("rules", "us-irc-2021").as_bytes());
    write("empty.toml", b"");
    write("photo.jpg", b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01");
    write("notes.txt", b"Boards to buy\nThree of twelve feet.\n");
    write("two words/job.toml", titled("C").as_bytes());
    write("bare/notes.txt", b"nothing here");
    let made = run(dir.path(), "make porch.toml -o out");
    assert_eq!(code(&made), 0, "{}", said(&made));
    dir
}

/// Runs the command in a folder; `_` in a word is a space.
fn run(folder: &Path, typed: &str) -> Output {
    let words = typed.split(' ').map(|word| word.replace('_', " "));
    Command::new(env!("CARGO_BIN_EXE_seatcut")).args(words).current_dir(folder).output().unwrap()
}

fn said(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// What is typed, the exit code, what the file is and is not, the line to type.
type Slip = (&'static str, i32, &'static str, &'static str);

const PROGRAM_OR_DRAWING: &str = "not a machine's program or a DXF drawing";
const ALL_OF_THE_SET: &str = "seatcut verify porch.toml out/compensated.dxf out/frame.nc \
    out/nominal.dxf out/program-1.nc out/program-2.nc";
const ITS_KEY: &str = "a line machine = \"my-router.toml\" below [cut] in a job names this profile";

const SLIPS: &[Slip] = &[
    // Exchanged.
    (
        "verify out/program-1.nc porch.toml",
        3,
        "a machine's program, not a job or an order: two files are exchanged",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "verify out/nominal.dxf porch.toml --json",
        3,
        "a DXF drawing, not a job or an order: two files",
        "seatcut verify porch.toml out/nominal.dxf --json",
    ),
    (
        "verify out/program-1.nc out/nominal.dxf porch.toml",
        3,
        "two files are exchanged",
        "seatcut verify porch.toml out/nominal.dxf out/program-1.nc",
    ),
    (
        "verify out/program-1.nc two_words/job.toml",
        3,
        "two files are exchanged",
        "seatcut verify \"two words/job.toml\" out/program-1.nc",
    ),
    (
        "fit built.toml porch.toml",
        3,
        "a file of measurements of a stair as built, not a job: two files",
        "seatcut fit porch.toml built.toml",
    ),
    (
        "make rack.toml -o new --stock porch.toml",
        3,
        "a stock file, not a job or an order: two files",
        "seatcut make porch.toml -o new --stock rack.toml",
    ),
    (
        "make rack.toml -o new --stock=porch.toml",
        3,
        "a stock file, not a job or an order: two files",
        "seatcut make porch.toml -o new --stock=rack.toml",
    ),
    (
        "square hardboard-6 router-table -o sq",
        3,
        "the name of a material profile, not a machine profile: two files",
        "seatcut square router-table hardboard-6 -o sq",
    ),
    (
        "square my-board.toml my-router.toml -o sq",
        3,
        "a material profile, not a machine profile: two files",
        "seatcut square my-router.toml my-board.toml -o sq",
    ),
    // What cannot be held.
    ("verify porch.toml out", 7, "a folder, not a machine's program", ALL_OF_THE_SET),
    (
        "verify porch.toml bare",
        7,
        "a folder, not a machine's program",
        "seatcut make porch.toml -o DIR writes programs and drawings, and proves them",
    ),
    ("verify porch.toml out/drawing.pdf", 6, "a PDF to be printed, not", ALL_OF_THE_SET),
    ("verify porch.toml out/drawing.svg", 6, "an SVG picture, not", ALL_OF_THE_SET),
    ("verify porch.toml out/bench.html", 6, "a page for the browser, not", ALL_OF_THE_SET),
    ("verify porch.toml out/report.json", 6, "a report for other programs, not", ALL_OF_THE_SET),
    (
        "verify porch.toml rack.toml",
        6,
        "a stock file, not",
        "seatcut make porch.toml -o DIR --stock rack.toml",
    ),
    (
        "verify porch.toml built.toml",
        6,
        "a file of measurements of a stair as built, not",
        "seatcut fit porch.toml built.toml",
    ),
    ("verify porch.toml list/a.toml", 6, "a job, not", "seatcut diff porch.toml list/a.toml"),
    (
        "verify porch.toml list/order.toml",
        6,
        "an order, not",
        "seatcut make list/order.toml -o DIR",
    ),
    ("verify porch.toml my-router.toml", 6, "a machine profile, not", ""),
    (
        "verify porch.toml photo.jpg",
        6,
        "a file that holds no text, not",
        "seatcut make porch.toml -o DIR writes programs and drawings, and proves them",
    ),
    (
        "verify porch.toml empty.toml",
        6,
        "an empty file, not",
        "seatcut make porch.toml -o DIR writes programs and drawings, and proves them",
    ),
    (
        "verify porch.toml notes.txt",
        6,
        "a text for people to read, not",
        "seatcut make porch.toml -o DIR writes programs and drawings, and proves them",
    ),
    // No job.
    (
        "verify out/report.json out/program-1.nc",
        3,
        "a report for other programs, not a job",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "verify out out/program-1.nc",
        7,
        "a folder, not a job or an order",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "verify rack.toml out/program-1.nc",
        3,
        "a stock file, not a job or an order",
        "seatcut verify porch.toml out/program-1.nc --stock rack.toml",
    ),
    ("solve out/program-1.nc", 3, "a machine's program, not a job", "seatcut solve porch.toml"),
    ("solve out", 7, "a folder, not a job", "seatcut solve porch.toml"),
    ("solve list", 7, "a folder, not a job", "seatcut solve list/a.toml"),
    (
        "solve list/order.toml",
        3,
        "an order, not a job",
        "seatcut solve list/a.toml; all of them: seatcut make list/order.toml -o DIR",
    ),
    (
        "solve rack.toml",
        3,
        "a stock file, not a job",
        "seatcut solve porch.toml; the stock file: seatcut make porch.toml -o DIR --stock \
        rack.toml",
    ),
    (
        "solve built.toml",
        3,
        "a file of measurements of a stair as built, not a job",
        "seatcut fit porch.toml built.toml",
    ),
    ("solve my-router.toml", 3, "a machine profile, not a job", ""),
    (
        "solve my-rules.toml",
        3,
        "a rule set, not a job",
        "seatcut solve porch.toml; a line rules = \"my-rules.toml\" at the top of a job names this \
        profile",
    ),
    (
        "solve router-table",
        3,
        "the name of a machine profile, not a job",
        "seatcut solve porch.toml; a line machine = \"router-table\" below [cut] in a job names \
        this profile",
    ),
    ("solve photo.jpg", 3, "a file that holds no text, not a job", "seatcut solve porch.toml"),
    ("solve out/drawing.pdf", 3, "a PDF to be printed, not a job", "seatcut solve porch.toml"),
    (
        "solve notes.txt --deny-warnings",
        3,
        "a text for people to read, not a job",
        "seatcut solve porch.toml --deny-warnings",
    ),
    (
        "fit rack.toml built.toml",
        3,
        "a stock file, not a job",
        "seatcut fit porch.toml built.toml; the stock file: seatcut make porch.toml -o DIR --stock \
        rack.toml",
    ),
    (
        "make out/program-1.nc -o new",
        3,
        "a machine's program, not a job or an order",
        "seatcut make porch.toml -o new",
    ),
    (
        "make porch.toml rack.toml -o new",
        3,
        "a stock file, not a job or an order",
        "seatcut make porch.toml -o new --stock rack.toml",
    ),
    (
        "make built.toml -o new",
        3,
        "a file of measurements of a stair as built, not a job",
        "seatcut make porch.toml -o new; the measurements: seatcut fit porch.toml built.toml",
    ),
    (
        "make list -o new",
        7,
        "a folder, not a job or an order",
        "seatcut make list/a.toml -o new; all of it, each job by itself: seatcut batch list -o DIR",
    ),
    (
        "pages out/drawing.pdf -o p.pdf",
        3,
        "a PDF to be printed, not a job",
        "seatcut pages porch.toml -o p.pdf",
    ),
    (
        "pages list/order.toml -o p.pdf --paper a4",
        3,
        "an order, not a job",
        "seatcut pages list/a.toml -o p.pdf --paper a4; all of them: seatcut make list/order.toml \
        -o DIR",
    ),
    (
        "order list/order.toml -o ord",
        3,
        "an order, not a job",
        "seatcut order list/a.toml -o ord; all of them: seatcut make list/order.toml -o DIR",
    ),
    ("order out -o ord", 7, "a folder, not a job", "seatcut order porch.toml -o ord"),
    (
        "order my-board.toml -o ord",
        3,
        "a material profile, not a job",
        "seatcut order porch.toml -o ord; a line material = \"my-board.toml\" below [cut] in a job \
        names this profile",
    ),
    (
        "diff porch.toml list/order.toml",
        3,
        "an order, not a job",
        "seatcut diff porch.toml list/a.toml; all of them: seatcut make list/order.toml -o DIR",
    ),
    ("diff porch.toml list", 7, "a folder, not a job", "seatcut diff porch.toml list/a.toml"),
    (
        "diff porch.toml out/program-1.nc",
        3,
        "a machine's program, not a job",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "diff porch.toml out/report.json",
        3,
        "a report for other programs, not a job",
        "seatcut diff porch.toml JOB",
    ),
    (
        "batch rack.toml -o many",
        3,
        "a stock file, not a job, an order, or a folder of jobs",
        "seatcut batch porch.toml -o many; the stock file: seatcut make porch.toml -o DIR --stock \
        rack.toml",
    ),
    (
        "draft rack.toml --no-open",
        3,
        "a stock file, not a job",
        "seatcut draft porch.toml --no-open; the stock file: seatcut make porch.toml -o DIR \
        --stock rack.toml",
    ),
    // No measurements.
    (
        "fit porch.toml out/program-1.nc",
        3,
        "a machine's program, not a file of measurements",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "fit porch.toml rack.toml",
        3,
        "a stock file, not a file of measurements",
        "seatcut make porch.toml -o DIR --stock rack.toml",
    ),
    (
        "fit porch.toml list/a.toml",
        3,
        "a job, not a file of measurements",
        "seatcut diff porch.toml list/a.toml",
    ),
    ("fit porch.toml porch.toml", 3, "a job, not a file of measurements", "seatcut fit porch.toml"),
    (
        "fit porch.toml .",
        7,
        "a folder, not a file of measurements",
        "seatcut fit porch.toml ./built.toml",
    ),
    // No stock file.
    (
        "make porch.toml -o new --stock list/order.toml",
        3,
        "an order, not a stock file",
        "seatcut make porch.toml -o new --stock list/rack.toml",
    ),
    (
        "make porch.toml -o new --stock built.toml",
        3,
        "a file of measurements of a stair as built, not a stock file",
        "seatcut fit porch.toml built.toml",
    ),
    (
        "make porch.toml -o new --stock out/program-1.nc",
        3,
        "a machine's program, not a stock file",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "make porch.toml -o new --stock list",
        7,
        "a folder, not a stock file",
        "seatcut make porch.toml -o new --stock list/rack.toml",
    ),
    (
        "make porch.toml -o new --stock porch.toml",
        3,
        "a job, not a stock file",
        "seatcut make porch.toml -o new",
    ),
    // No profile.
    (
        "square porch.toml hardboard-6 -o sq",
        3,
        "a job, not a machine profile",
        "seatcut square router-table hardboard-6 -o sq",
    ),
    (
        "square router-table porch.toml -o sq",
        3,
        "a job, not a material profile",
        "seatcut square router-table hardboard-6 -o sq",
    ),
    (
        "square router-table rack.toml -o sq",
        3,
        "a stock file, not a material profile",
        "seatcut square router-table MATERIAL -o sq, with MATERIAL one of those that seatcut \
        profiles lists, or your own",
    ),
    (
        "square my-rules.toml hardboard-6 -o sq",
        3,
        "a rule set, not a machine profile",
        "seatcut square MACHINE hardboard-6 -o sq, with MACHINE one of those that seatcut profiles \
        lists, or your own",
    ),
    // Not there, and a file that is meant.
    (
        "verify porch out/program-1.nc",
        7,
        "cannot be read: there is no such file",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    ("solve porch.tml", 7, "cannot be read: there is no such file", "seatcut solve porch.toml"),
    ("verify porch.toml out/program1.nc", 7, "", ""),
    // No command.
    (
        "porch.toml",
        2,
        "a job, and no command",
        "seatcut solve porch.toml, or seatcut make porch.toml -o DIR",
    ),
    (
        "out/program-1.nc",
        2,
        "a machine's program, and no command",
        "seatcut verify porch.toml out/program-1.nc",
    ),
    (
        "rack.toml",
        2,
        "a stock file, and no command",
        "seatcut make porch.toml -o DIR --stock rack.toml",
    ),
];

#[test]
fn another_file_than_is_wanted_is_answered_with_the_line_to_type() {
    let shop = shop();
    let before = tree(shop.path());
    for (typed, exit, is, line) in SLIPS {
        let run = run(shop.path(), typed);
        let said = said(&run);
        assert_eq!(code(&run), *exit, "{typed}: {said}");
        assert!(said.contains(is), "{typed}: {said}");
        assert!(said.lines().count() <= 4, "{typed}: in a few lines: {said}");
        let to_do = said.lines().find_map(|of| of.trim_start().strip_prefix("to do:"));
        let to_do = to_do.unwrap_or_default().trim_start();
        match *line {
            "" if typed.contains("my-router") => {
                assert!(to_do.ends_with(ITS_KEY), "{typed}: {to_do}");
            }
            "" => assert!(said.contains("there is no such file"), "{typed}: {said}"),
            line => assert_eq!(to_do, line, "{typed}"),
        }
        assert!(*exit != 6 || said.contains(PROGRAM_OR_DRAWING), "{typed}: {said}");
    }
    assert_eq!(tree(shop.path()), before, "nothing is written");
}

/// Every line that is told names its files as they are, so that the command takes it: no line to
/// type is a slip itself.
#[test]
fn no_line_that_is_told_is_a_slip_itself() {
    let shop = shop();
    let own = |line: &str| {
        let first = line.split([';', ',']).next().unwrap();
        let first = first.split(" writes ").next().unwrap();
        first.strip_prefix("seatcut ").map(str::to_string)
    };
    let is_whole = |line: &String| {
        !["JOB", "DIR", "MACHINE", "MATERIAL", "STOCK", "FIT", "FILE", "\"", "draft"]
            .iter()
            .any(|word| line.contains(word))
    };
    // The job has no measurements of its own yet, which that line says then.
    let is_whole = |line: &String| is_whole(line) && line != "fit porch.toml";
    let lines: Vec<String> = SLIPS.iter().filter_map(|slip| own(slip.3)).filter(is_whole).collect();
    assert!(lines.len() > 25, "{lines:?}");
    for line in lines {
        let run = run(shop.path(), &line);
        let said = said(&run);
        assert!(![2, 3].contains(&code(&run)), "{line}: {said}");
        assert!(!said.contains("this is ") && !said.contains("no such file"), "{line}: {said}");
        for out in ["new", "sq", "ord", "many", "p.pdf"] {
            let path = shop.path().join(out);
            let _ = fs::remove_dir_all(&path).or_else(|_| fs::remove_file(&path));
        }
    }
}

#[test]
fn what_cannot_be_held_is_passed_over_beside_what_can() {
    let shop = shop();
    let held =
        run(shop.path(), "verify porch.toml out/program-1.nc out/drawing.pdf out/report.json");
    let (out, told) = (String::from_utf8_lossy(&held.stdout).into_owned(), said(&held));
    assert_eq!(code(&held), 6, "{told}");
    assert!(out.contains("out/program-1.nc: marks this job's part"), "{out}");
    for words in [
        "2 of these files are passed over",
        "a PDF to be printed: out/drawing.pdf; a report for other programs: out/report.json",
    ] {
        assert!(told.contains(words), "{told}");
    }
    let json = run(shop.path(), "verify --json porch.toml out/drawing.pdf out/program-1.nc");
    let report: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let judged = report["judged"].as_array().unwrap();
    let of = |i: usize| {
        (judged[i]["file"].as_str().unwrap(), judged[i]["is_this_part"].as_bool().unwrap())
    };
    assert_eq!([of(0), of(1)], [("out/drawing.pdf", false), ("out/program-1.nc", true)]);
    // A folder among them is no file: the whole line is told.
    let folder = run(shop.path(), "verify porch.toml out/program-1.nc bare");
    assert_eq!(code(&folder), 7, "{}", said(&folder));
}

/// Every file below a folder.
fn tree(folder: &Path) -> Vec<String> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() { all.extend(tree(&path)) } else { all.push(path.display().to_string()) }
    }
    all.sort();
    all
}
