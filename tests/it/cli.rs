//! The command as scripts and people meet it: exit codes, messages, files, streams.

use crate::common::{GARDEN_STEPS, Stair, code, on_one_line, seatcut};
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn out(run: &Output) -> String {
    String::from_utf8_lossy(&run.stdout).into_owned()
}

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// A scratch directory with a job in it.
struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    fn new(job: &str) -> Self {
        let bench = Self { dir: tempfile::tempdir().unwrap() };
        fs::write(bench.path("job.toml"), job).unwrap();
        bench
    }

    fn starter() -> Self {
        Self::new(GARDEN_STEPS)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn make(&self, more: &[&str]) -> Output {
        let (job, out) = (self.text("job.toml"), self.text("out"));
        seatcut(&[&["make", &job, "-o", &out], more].concat())
    }

    /// Everything in the scratch directory.
    fn names(&self) -> Vec<String> {
        names(self.dir.path())
    }
}

fn names(dir: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(dir).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// A job that replaces a line of the starter.
fn starter_with(from: &str, to: &str) -> String {
    assert!(GARDEN_STEPS.contains(from), "{from}");
    GARDEN_STEPS.replacen(from, to, 1)
}

#[test]
fn new_writes_a_job_that_can_be_made_and_never_overwrites() {
    let bench = Bench::new("");
    let path = bench.text("fresh.toml");
    assert_eq!(code(&seatcut(&["new", &path])), 0);
    assert_eq!(fs::read_to_string(&path).unwrap(), seatcut::job::STARTER);
    let again = seatcut(&["new", &path]);
    assert_eq!(code(&again), 7);
    assert!(err(&again).contains("to do:"), "{}", err(&again));
    assert_eq!(code(&seatcut(&["make", &path, "-o", &bench.text("out")])), 0);
}

#[test]
fn new_and_jobs_go_through_the_standard_streams() {
    let printed = seatcut(&["new", "-"]);
    assert_eq!(out(&printed), seatcut::job::STARTER);
    let mut run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
        .args(["solve", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    run.stdin.take().unwrap().write_all(&printed.stdout).unwrap();
    let run = run.wait_with_output().unwrap();
    assert_eq!(code(&run), 0);
    assert!(out(&run).contains("unit rise"));
}

#[test]
fn solve_prints_every_count_the_reason_and_all_findings_and_writes_nothing() {
    let bench = Bench::starter();
    let run = seatcut(&["solve", &bench.text("job.toml")]);
    assert_eq!(code(&run), 0);
    for words in [
        "7 5/16+ in (7.3393 in, 186.4 mm)",
        "the job asks for this count",
        "->",
        "CHECK ON SITE",
        "[ ] headroom: at least 80 in",
        "local code and licensed practice decide",
    ] {
        assert!(out(&run).contains(words), "{words}: {}", out(&run));
    }
    assert!(err(&run).is_empty());
    assert_eq!(bench.names(), ["job.toml"]);
}

#[test]
fn make_writes_the_whole_set_and_proves_it() {
    let bench = Bench::starter();
    let run = bench.make(&[]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    assert_eq!(
        names(&bench.path("out")),
        [
            "bench.html",
            "bench.pdf",
            "compensated.dxf",
            "drawing.pdf",
            "drawing.svg",
            "frame.nc",
            "nominal.dxf",
            "program-1.nc",
            "program-2.nc",
            "report.json"
        ]
    );
    assert!(out(&run).contains("PROVEN, read back from disk"));
    let said = on_one_line(&out(&run));
    let order = [
        "run in this order: frame.nc goes round, cuts nothing: spindle off;",
        "program-1.nc marks: pointed cutter, stroke 1/32 in;",
        "program-2.nc cuts: straight cutter, 1/4 in;",
    ];
    let places: Vec<usize> = order
        .iter()
        .map(|words| said.find(words).unwrap_or_else(|| panic!("{words}: {said}")))
        .collect();
    assert!(places.is_sorted(), "{said}");
    let report: serde_json::Value =
        serde_json::from_slice(&fs::read(bench.path("out/report.json")).unwrap()).unwrap();
    assert_eq!(report["schema"], "seatcut.report/1");
    assert_eq!(report["programs"][0]["offset_applied"], "none");
    let program = &report["programs"][1];
    assert!(program["verified"]["gouge_mm"].as_f64().unwrap() <= 0.0127);
    assert!(program["verified"]["left_mm"].as_f64().unwrap() <= 0.0127);
    assert_eq!(program["offset_applied"], "outside-half-cutter");
    for file in report["files"].as_array().unwrap() {
        let bytes = fs::read(bench.path("out").join(file["name"].as_str().unwrap())).unwrap();
        assert_eq!(bytes.len() as u64, file["bytes"].as_u64().unwrap());
    }
    for name in [
        "nominal.dxf",
        "compensated.dxf",
        "program-1.nc",
        "program-2.nc",
        "drawing.svg",
        "frame.nc",
        "bench.html",
    ] {
        let text = fs::read_to_string(bench.path("out").join(name)).unwrap();
        let fingerprint = report["job"]["fingerprint"].as_str().unwrap();
        assert!(
            text.contains(fingerprint)
                && text.contains("Garden steps")
                && text.contains("seatcut 0."),
            "{name}"
        );
    }
}

#[test]
fn a_title_that_cannot_be_lettered_is_refused_by_its_character_and_writes_nothing() {
    let bench = Bench::new(&starter_with("Garden steps", "Gr\u{2603}ne Treppe"));
    for command in ["make", "order"] {
        let run = seatcut(&[command, &bench.text("job.toml"), "-o", &bench.text("out")]);
        assert_eq!(code(&run), 4);
        let told = out(&run) + &err(&run);
        assert!(told.contains('\u{2603}') && told.contains("title"), "{told}");
        assert_eq!(bench.names(), ["job.toml"]);
    }
}

#[test]
fn the_bench_sheet_is_printed_on_the_paper_of_the_machines_units() {
    let bench = Bench::starter();
    assert_eq!(code(&bench.make(&[])), 0);
    let letter = fs::read(bench.path("out/bench.pdf")).unwrap();
    assert!(letter.starts_with(b"%PDF-") && contains(&letter, b"/MediaBox [0 0 612 792]"));
    assert!(
        contains(&letter, b"/PrintScaling /None") && letter.len() < 400_000,
        "{}",
        letter.len()
    );
    let metric = Path::new(env!("CARGO_MANIFEST_DIR")).join("output-samples/metric-flush/job.toml");
    let out = bench.text("metric");
    assert_eq!(code(&seatcut(&["make", &metric.display().to_string(), "-o", &out])), 0);
    let a4 = fs::read(bench.path("metric/bench.pdf")).unwrap();
    assert!(
        contains(&a4, b"/MediaBox [0 0 595.2756 841.8898]") && a4.len() < 400_000,
        "{}",
        a4.len()
    );
}

fn contains(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

#[test]
fn json_prints_the_report_alone_and_is_the_file_on_disk() {
    let bench = Bench::starter();
    let run = bench.make(&["--json"]);
    assert_eq!(code(&run), 0);
    assert_eq!(run.stdout, fs::read(bench.path("out/report.json")).unwrap());
}

#[test]
fn an_existing_set_is_replaced_only_by_force_and_other_files_stay() {
    let bench = Bench::starter();
    assert_eq!(code(&bench.make(&[])), 0);
    fs::write(bench.path("out/notes.txt"), "mine").unwrap();
    fs::write(bench.path("out/program-3.nc"), "left over").unwrap();
    let before = fs::read(bench.path("out/program-2.nc")).unwrap();
    fs::write(bench.path("job.toml"), starter_with("risers = 7", "risers = 8")).unwrap();
    let refused = bench.make(&[]);
    assert_eq!(code(&refused), 7);
    assert!(err(&refused).contains("--force"), "{}", err(&refused));
    assert_eq!(fs::read(bench.path("out/program-2.nc")).unwrap(), before);
    assert_eq!(code(&bench.make(&["--force"])), 0);
    assert_ne!(fs::read(bench.path("out/program-2.nc")).unwrap(), before);
    assert_eq!(
        names(&bench.path("out")),
        [
            "bench.html",
            "bench.pdf",
            "compensated.dxf",
            "drawing.pdf",
            "drawing.svg",
            "frame.nc",
            "nominal.dxf",
            "notes.txt",
            "program-1.nc",
            "program-2.nc",
            "program-3.nc",
            "report.json"
        ]
    );
    assert_eq!(fs::read_to_string(bench.path("out/program-3.nc")).unwrap(), "left over");
    assert_eq!(bench.names(), ["job.toml", "out"]);
}

#[test]
fn a_target_that_is_a_file_or_cannot_be_made_is_exit_7_and_leaves_nothing() {
    let bench = Bench::starter();
    fs::write(bench.path("out"), "a file").unwrap();
    assert_eq!(code(&bench.make(&[])), 7);
    assert_eq!(code(&bench.make(&["--force"])), 7);
    assert_eq!(fs::read_to_string(bench.path("out")).unwrap(), "a file");
    let under_a_file = seatcut(&["make", &bench.text("job.toml"), "-o", &bench.text("out/deeper")]);
    assert_eq!(code(&under_a_file), 7);
    assert!(err(&under_a_file).contains("nothing was left half-written"));
    // A file system on which nothing can be made, whoever asks.
    if Path::new("/proc/self").exists() {
        assert_eq!(code(&seatcut(&["make", &bench.text("job.toml"), "-o", "/proc/seatcut"])), 7);
    }
    assert_eq!(bench.names(), ["job.toml", "out"]);
}

#[test]
fn a_full_disk_is_exit_7_and_leaves_nothing() {
    // A file system of 8 KiB: mounting one needs rights that not every machine gives; then there is
    // nothing to try.
    let bench = Bench::starter();
    let small = bench.text("small");
    fs::create_dir(&small).unwrap();
    let mounted =
        Command::new("mount").args(["-t", "tmpfs", "-o", "size=8k", "tmpfs", &small]).status();
    if !mounted.is_ok_and(|status| status.success()) {
        eprintln!("no right to mount: a full standard output stands for the full disk");
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_seatcut"))
            .args(["solve", &bench.text("job.toml")])
            .stdout(full)
            .output()
            .unwrap();
        assert_eq!(code(&run), 7);
        return;
    }
    let run = seatcut(&["make", &bench.text("job.toml"), "-o", &format!("{small}/out")]);
    let left = names(Path::new(&small));
    Command::new("umount").arg(&small).status().unwrap();
    assert_eq!(code(&run), 7, "{}", err(&run));
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_refused_stair_is_exit_4_with_the_report_and_writes_nothing() {
    let bench = Bench::new(&starter_with("cut = \"10 1/4 in\"", "cut = \"9 in\""));
    let run = bench.make(&[]);
    assert_eq!(code(&run), 4);
    assert!(err(&run).contains("unit-run-low") && err(&run).contains("nothing was written"));
    let json = bench.make(&["--json"]);
    assert_eq!(code(&json), 4);
    let report: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(
        report["findings"]
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["code"] == "unit-run-low" && f["severity"] == "refusal")
    );
    assert!(report["programs"].as_array().unwrap().is_empty());
    assert_eq!(bench.names(), ["job.toml"]);
    assert_eq!(code(&seatcut(&["solve", &bench.text("job.toml")])), 4);
}

#[test]
fn warnings_are_exit_5_only_when_denied() {
    let bench = Bench::starter();
    let job = bench.text("job.toml");
    assert_eq!(code(&seatcut(&["solve", &job])), 0);
    assert_eq!(code(&seatcut(&["solve", &job, "--deny-warnings"])), 5);
    let json = seatcut(&["solve", &job, "--deny-warnings", "--json"]);
    assert_eq!(code(&json), 5);
    assert!(serde_json::from_slice::<serde_json::Value>(&json.stdout).is_ok());
}

#[test]
fn denied_warnings_write_no_set() {
    let bench = Bench::starter();
    assert_eq!(code(&bench.make(&["--deny-warnings"])), 5);
    assert_eq!(bench.names(), ["job.toml"]);
}

/// A job, the exit code, and words of the message that must be there.
fn complains(job: &str, wanted: i32, words: &[&str]) {
    let bench = Bench::new(job);
    let run = bench.make(&[]);
    let message = err(&run) + &out(&run);
    assert_eq!(code(&run), wanted, "{message}");
    for word in words {
        assert!(message.contains(word), "no `{word}` in:\n{message}");
    }
    assert_eq!(bench.names(), ["job.toml"]);
}

#[test]
fn a_typo_is_told_with_its_place_and_the_nearest_key() {
    let job = starter_with("overhang = ", "overhnag = ");
    complains(
        &job,
        3,
        &[
            "job.toml, line 19",
            "unknown key",
            "overhnag",
            "allowed: cut, boards, overhang",
            "to do:   overhang = \"1 in\"",
        ],
    );
    let job = starter_with("meets = \"one-down\"", "meets = \"one-dawn\"");
    complains(&job, 3, &["job.toml, line 24", "one-dawn", "\"one-down\""]);
    let job = starter_with("machine = \"router-table\"", "machine = \"router-tabel\"");
    complains(&job, 3, &["no machine of this name", "router-tabel", "\"router-table\""]);
}

#[test]
fn a_bare_number_is_told_what_to_type() {
    let job = starter_with("thickness = \"1 in\"", "thickness = 1");
    complains(
        &job,
        3,
        &[
            "job.toml, line 20",
            "tread.thickness",
            "needs its unit",
            "thickness = \"1 in\" or \"1 mm\"",
        ],
    );
    let job = starter_with("thickness = \"1 in\"", "thickness = \"7,5in\"");
    complains(&job, 3, &["comma", "7,5in", "thickness = \"7.5in\""]);
    let job = starter_with("thickness = \"1 in\"", "thickness = true");
    complains(&job, 3, &["a length in quotes with its unit"]);
}

#[test]
fn senseless_counts_and_rises_are_told_what_is_allowed() {
    for count in ["0", "1", "-3", "1000"] {
        complains(
            &starter_with("risers = 7", &format!("risers = {count}")),
            3,
            &["rise.risers", count, "2 to 200"],
        );
    }
    complains(&starter_with("risers = 7", "risers = 7.5"), 3, &["a whole number"]);
    complains(&starter_with("\"51 3/8 in\"", "\"0 in\""), 3, &["rise.total", "more than 0"]);
    complains(&starter_with("risers = 7", "risers = 7\naim = \"7 in\""), 3, &["both choose"]);
}

#[test]
fn a_notch_a_board_a_table_a_cutter_that_cannot_be_are_exit_4() {
    complains(
        &starter_with("width = \"3 1/2 in\"", "width = \"30 in\""),
        4,
        &["notch-beyond-seat", "and the seat ends at"],
    );
    complains(&starter_with("width = \"11 1/4 in\"", "width = \"5 in\""), 4, &["no-throat"]);
    complains(
        &starter_with("\"router-table\"", "\"router-table-small\""),
        4,
        &["beyond-travel", "48 in"],
    );
    let treated = starter_with("\"hardboard-6\"", "\"board-2x12-treated\"").replacen(
        "\"router-table\"",
        "\"laser\"",
        1,
    );
    complains(&treated, 4, &["laser-on-treated", "poisonous"]);
    let narrow = starter_with("width = \"3 1/2 in\"", "width = \"1/8 in\"").replacen(
        "set_back = \"0 in\"",
        "set_back = \"2 in\"",
        1,
    );
    complains(&narrow, 4, &["cutter-too-wide"]);
}

#[test]
fn what_is_no_job_is_exit_3_and_what_is_not_there_exit_7() {
    complains("", 3, &["this is an empty file", "seatcut new FILE"]);
    let bare = "rules = \"us-irc-2021\"\n";
    complains(bare, 3, &["the table [rise] is missing", "the table [board] is missing"]);
    complains("[[[", 3, &["cannot be read", "job.toml, line 1"]);
    complains(&"a = 1\n".repeat(300_000), 3, &["1 MiB"]);
    let bench = Bench::starter();
    fs::write(bench.path("job.toml"), [0xff, 0xfe, 0x00, 0x81]).unwrap();
    assert_eq!(code(&bench.make(&[])), 3);
    let missing = seatcut(&["solve", &bench.text("nowhere.toml")]);
    assert_eq!(code(&missing), 7);
    assert!(err(&missing).contains("nowhere.toml"));
    assert_eq!(code(&seatcut(&["solve", &bench.text("")])), 7);
    let with_path = starter_with("machine = \"router-table\"", "machine = \"./nowhere.toml\"");
    complains(&with_path, 7, &["nowhere.toml"]);
}

#[test]
fn a_profile_by_path_works_like_one_by_name() {
    let bench = Bench::starter();
    let printed = seatcut(&["profiles", "router-table"]);
    assert_eq!(code(&printed), 0);
    fs::write(bench.path("own.toml"), printed.stdout).unwrap();
    let job = starter_with(
        "machine = \"router-table\"",
        &format!("machine = \"{}\"", bench.text("own.toml")),
    );
    fs::write(bench.path("job.toml"), job).unwrap();
    let run = bench.make(&[]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    let report = fs::read_to_string(bench.path("out/report.json")).unwrap();
    assert!(!report.contains(&bench.text("")), "a path stands in the report");
    let broken =
        fs::read_to_string(bench.path("own.toml")).unwrap().replace("decimals = 4", "decimals = 2");
    fs::write(bench.path("own.toml"), broken).unwrap();
    let refused = bench.make(&["--force"]);
    assert_eq!(code(&refused), 3);
    assert!(err(&refused).contains("own.toml") && err(&refused).contains("4 to 6"));
}

#[test]
fn profiles_and_explain_list_and_print_and_refuse_unknown_names() {
    let list = out(&seatcut(&["profiles"]));
    for name in ["router-table-small", "laser-lines", "plywood-18", "us-irc-2021", "au-private"] {
        assert!(list.contains(name), "{name}");
    }
    assert_eq!(code(&seatcut(&["profiles", "nothing"])), 2);
    let explained = out(&seatcut(&["explain", "throat-low"]));
    for words in ["means:", "source:", "to do:", "Ontario Building Code 2024 9.8.9.4", "AWC DCA 6"]
    {
        assert!(explained.contains(words), "{words}: {explained}");
    }
    assert!(out(&seatcut(&["explain"])).lines().count() > 50);
    // Words of its own outputs, codes as the riser table has them, signs behind a figure.
    for word in [
        "strongback",
        "rake",
        "doubler",
        "fillet",
        "full",
        "scant",
        "+",
        "-",
        "7 1/4+",
        "7 1/4- in",
        "landing",
        "tip_inset",
        "step sum high",
        "head contact",
        "taken as",
        "Throat Low",
        "cut.long",
        "corners",
        "tie",
    ] {
        assert_eq!(code(&seatcut(&["explain", word])), 0, "{word}");
    }
    for (key, words) in seatcut::job::key_words() {
        for word in words {
            let explained = out(&seatcut(&["explain", word]));
            assert!(
                explained.contains(&format!("{key} = \"{word}\"\n  means:  ")),
                "{key} {word}: {explained}"
            );
        }
    }
    let unknown = seatcut(&["explain", "nothing"]);
    assert_eq!(code(&unknown), 2);
    assert!(err(&unknown).contains("seatcut explain"));
}

#[test]
fn usage_errors_are_exit_2_and_help_completions_and_man_page_exit_0() {
    assert_eq!(code(&seatcut(&[])), 2);
    assert_eq!(code(&seatcut(&["make", "job.toml"])), 2);
    assert_eq!(code(&seatcut(&["bend", "it"])), 2);
    assert_eq!(code(&seatcut(&["--help"])), 0);
    for shell in ["bash", "zsh", "fish"] {
        assert!(out(&seatcut(&["completions", shell])).contains("seatcut"));
    }
    assert!(out(&seatcut(&["man"])).contains(".TH seatcut"));
}

#[test]
fn no_colour_is_sent_where_there_is_no_terminal() {
    let bench = Bench::starter();
    assert!(!out(&seatcut(&["solve", &bench.text("job.toml")])).contains('\x1b'));
}

#[test]
fn r12_is_written_on_request_and_verifies_too() {
    let bench = Bench::starter();
    assert_eq!(code(&bench.make(&["--dxf", "r12"])), 0);
    assert!(fs::read_to_string(bench.path("out/nominal.dxf")).unwrap().contains("AC1009"));
    let (job, file) = (bench.text("job.toml"), bench.text("out/nominal.dxf"));
    assert_eq!(code(&seatcut(&["verify", &job, &file])), 0);
}

#[test]
fn verify_accepts_what_make_wrote_and_nothing_else() {
    let bench = Bench::starter();
    assert_eq!(code(&bench.make(&[])), 0);
    let job = bench.text("job.toml");
    let files = ["nominal.dxf", "compensated.dxf", "program-2.nc"]
        .map(|name| bench.text(&format!("out/{name}")));
    let all: Vec<&str> = files.iter().map(String::as_str).collect();
    let run = seatcut(&[&["verify", job.as_str()][..], &all].concat());
    assert_eq!(code(&run), 0, "{}{}", out(&run), err(&run));

    // The same files against another stair.
    let other = Stair { rise: "total = \"51 1/2 in\"\nrisers = 7".into(), ..Stair::default() };
    fs::write(bench.path("other.toml"), other.toml()).unwrap();
    for file in &all {
        let run = seatcut(&["verify", &bench.text("other.toml"), file]);
        assert_eq!(code(&run), 6, "{file}: {}{}", out(&run), err(&run));
    }
    let json = seatcut(&["verify", &bench.text("other.toml"), all[2], "--json"]);
    assert_eq!(code(&json), 6);
    let report: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    assert!(!report["findings"].as_array().unwrap().is_empty());
}

#[test]
fn verify_meets_hostile_files_with_clear_errors() {
    let bench = Bench::starter();
    let job = bench.text("job.toml");
    let mut noise: u64 = 88172645463325252;
    let mut random = |count: usize| -> Vec<u8> {
        (0..count)
            .map(|_| {
                noise ^= noise << 13;
                noise ^= noise >> 7;
                noise ^= noise << 17;
                noise as u8
            })
            .collect()
    };
    let files = [
        ("empty.dxf", Vec::new()),
        ("empty.nc", Vec::new()),
        ("random.dxf", random(15_000_000)),
        ("random.nc", random(15_000_000)),
        ("large.nc", b"G1 X1 Y1\n".repeat(1_600_000)),
        (
            "large.dxf",
            b"  0\nSECTION\n  2\nENTITIES\n"
                .iter()
                .copied()
                .chain(b"  0\nLINE\n".repeat(1_500_000))
                .collect(),
        ),
        (
            "moves.nc",
            b"G20\nG0 X1 Y1\n".iter().copied().chain(b"X2\nX1\n".repeat(500_000)).collect(),
        ),
        ("one-line.nc", b"X1".repeat(7_000_000)),
        ("too-large.nc", b"G1 X1 Y1\n".repeat(8_000_000)),
    ];
    for (name, bytes) in files {
        fs::write(bench.path(name), bytes).unwrap();
        let run = seatcut(&["verify", &job, &bench.text(name)]);
        assert_eq!(code(&run), 6, "{name}: {}{}", out(&run), err(&run));
        let message = err(&run) + &out(&run);
        assert!(
            message.len() < 20_000 && message.contains(name),
            "{name}: {} bytes",
            message.len()
        );
        fs::remove_file(bench.path(name)).unwrap();
    }
    assert_eq!(code(&seatcut(&["verify", &job, &bench.text("nowhere.dxf")])), 7);
}

/// A part of two short steps, cut out of a material.
fn made_of_two_short_steps(material: &str) -> (Bench, Output) {
    let rules = "kind = \"rules\"\nabout = \"no limits, invented\"\naim = \"7 in\"\n";
    let stair = Stair {
        rise: "total = \"6 in\"\nrisers = 2".into(),
        tread: crate::common::tread("3 in", "1/4 in", "1/4 in", "1/4 in"),
        board: "width = \"3 in\"\nthickness = \"1 1/2 in\"".into(),
        head: "meets = \"one-down\"\nfinish = \"1 in\"".into(),
        cut: format!("makes = \"pattern\"\nmachine = \"router-table\"\nmaterial = \"{material}\""),
        ..Stair::default()
    };
    let bench = Bench::new("");
    fs::write(bench.path("rules.toml"), rules).unwrap();
    let job = stair.toml().replace("us-irc-2021", &bench.text("rules.toml"));
    fs::write(bench.path("job.toml"), job).unwrap();
    let run = bench.make(&[]);
    (bench, run)
}

#[test]
fn a_part_with_room_for_two_tabs_is_made_with_a_warning() {
    let (_bench, run) = made_of_two_short_steps("hardboard-6");
    assert_eq!(code(&run), 0, "{}{}", out(&run), err(&run));
    assert!(
        out(&run).contains("tabs-few") && on_one_line(&out(&run)).contains("2 tabs hold it"),
        "{}",
        out(&run)
    );
}

/// The thicker the wood, the longer a tab with its slopes: here it finds no room on any edge.
#[test]
fn a_part_with_room_for_no_tab_is_refused_and_nothing_is_written() {
    let (bench, run) = made_of_two_short_steps("plywood-18");
    assert_eq!(code(&run), 4, "{}{}", out(&run), err(&run));
    let said = out(&run);
    assert!(
        said.contains("REFUSED") && said.contains("the part: ") && said.contains("(piece-loose;"),
        "{said}"
    );
    assert!(err(&run).contains("refused, nothing was written: piece-loose"), "{}", err(&run));
    assert_eq!(bench.names(), ["job.toml", "rules.toml"]);
}
