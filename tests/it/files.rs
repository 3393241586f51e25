//! What lies on the disk before, while and after a set is put there: nothing of anybody else's is
//! touched, and a set is there whole or not at all.

use crate::common::{Stair, code};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{MetadataExt, symlink};
use std::os::unix::process::ExitStatusExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_seatcut"));
    command.args(arguments);
    command
}

fn seatcut(arguments: &[&str]) -> Output {
    command(arguments).output().unwrap()
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

fn err(run: &Output) -> String {
    String::from_utf8_lossy(&run.stderr).into_owned()
}

/// Every file below a directory with what it holds; hidden ones by their name alone.
fn tree(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        if path.is_dir() && !name.starts_with('.') {
            all.extend(
                tree(&path).into_iter().map(|(below, bytes)| (format!("{name}/{below}"), bytes)),
            );
            all.insert(format!("{name}/"), Vec::new());
        } else {
            all.insert(name, fs::read(&path).unwrap_or_default());
        }
    }
    all
}

/// The same without what is hidden.
fn seen(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    tree(dir).into_iter().filter(|(name, _)| !name.starts_with('.')).collect()
}

/// A scratch directory with two jobs of one stair.
struct Bench {
    dir: tempfile::TempDir,
}

impl Bench {
    fn new() -> Self {
        let bench = Self { dir: tempfile::tempdir().unwrap() };
        // Two that differ in every file: another rise, and one without marks on a program of their
        // own.
        fs::write(bench.path("a.toml"), Stair::default().toml()).unwrap();
        let other = Stair { rise: "total = \"50 in\"\nrisers = 7".into(), ..Stair::default() };
        let laser =
            other.toml().replace("router-table", "laser").replace("hardboard-6", "hardboard-3");
        fs::write(
            bench.path("b.toml"),
            laser.replace("50 in", "26 in").replace("risers = 7", "risers = 4"),
        )
        .unwrap();
        bench
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    fn run(&self, verb: &str, job: &str, out: &str, more: &[&str]) -> Output {
        seatcut(&[&[verb, &self.text(job), "-o", &self.text(out)], more].concat())
    }

    fn made(&self, job: &str, out: &str, more: &[&str]) -> BTreeMap<String, Vec<u8>> {
        let run = self.run("make", job, out, more);
        assert_eq!(code(&run), 0, "{}", err(&run));
        seen(&self.path(out))
    }

    /// Refused for its files, with words, and everything below `out` as it was.
    fn refused(&self, verb: &str, job: &str, more: &[&str], words: &[&str]) {
        let before = tree(self.dir.path());
        let run = self.run(verb, job, "out", more);
        assert_eq!(code(&run), 7, "{}", err(&run));
        for word in words {
            assert!(err(&run).contains(word), "no `{word}` in {}", err(&run));
        }
        assert_eq!(
            tree(self.dir.path()).keys().collect::<Vec<_>>(),
            before.keys().collect::<Vec<_>>()
        );
        assert!(tree(self.dir.path()) == before, "something was touched");
    }
}

#[test]
fn a_set_is_made_again_into_its_place_without_force_and_nothing_is_touched_where_nothing_changes() {
    let bench = Bench::new();
    for (verb, job) in [("make", "a.toml"), ("make", "b.toml"), ("order", "a.toml")] {
        let out = format!("{verb}-{job}");
        assert_eq!(code(&bench.run(verb, job, &out, &[])), 0);
        let before = seen(&bench.path(&out));
        let identity = |out: &str| fs::metadata(bench.path(out).join("nominal.dxf")).unwrap().ino();
        let first = identity(&out);
        let again = bench.run(verb, job, &out, &[]);
        assert_eq!(code(&again), 0, "{}", err(&again));
        assert!(seen(&bench.path(&out)) == before);
        assert_eq!(identity(&out), first);
        // The same job in another form is the same job.
        let r12 = bench.run(verb, job, &out, &["--dxf", "r12"]);
        assert_eq!(code(&r12), 0, "{}", err(&r12));
        let after = seen(&bench.path(&out));
        assert!(after != before && after.keys().eq(before.keys()));
        assert!(tree(bench.dir.path()).keys().all(|name| !name.starts_with('.')));
    }
}

#[test]
fn another_job_needs_force_and_what_the_old_set_had_more_is_gone() {
    let bench = Bench::new();
    let a = bench.made("a.toml", "out", &[]);
    assert!(a.contains_key("program-2.nc"));
    bench.refused("make", "b.toml", &[], &["--force", "another job"]);
    let b = bench.made("b.toml", "out", &["--force"]);
    assert!(!b.contains_key("program-2.nc") && b == bench.made("b.toml", "fresh", &[]));
    assert!(a == bench.made("a.toml", "out", &["--force"]));
}

#[test]
fn files_of_somebody_else_stay_the_same_files() {
    let bench = Bench::new();
    bench.made("a.toml", "out", &[]);
    let mine = [
        "notes.txt",
        "order.txt",
        "my.bench.pdf",
        "program-7.nc",
        "program-.nc",
        "sheet-.svg",
        "boards.txt",
        "SHA256SUMS",
    ];
    for name in mine {
        bench.write(&format!("out/{name}"), name);
    }
    fs::create_dir(bench.path("out/photos")).unwrap();
    bench.write("out/photos/stair.jpg", "a photo");
    let identities = || {
        let of = |name: &str| fs::metadata(bench.path("out").join(name)).unwrap().ino();
        mine.iter().chain(&["photos", "photos/stair.jpg"]).map(|name| of(name)).collect::<Vec<_>>()
    };
    let before = identities();
    let b = bench.made("b.toml", "out", &["--force"]);
    assert_eq!(identities(), before);
    for name in mine {
        assert_eq!(b[name], name.as_bytes());
    }
    let fresh = bench.made("b.toml", "fresh", &[]);
    assert!(fresh.iter().all(|(name, bytes)| b[name] == *bytes));
    assert_eq!(b.len(), fresh.len() + mine.len() + 2);
}

/// Two orders of two jobs, one of them in both.
fn of_several() -> Bench {
    let bench = Bench::new();
    for (name, title) in [("g.toml", "Garden steps"), ("p.toml", "Porch"), ("c.toml", "Cellar")] {
        let text = fs::read_to_string(bench.path("b.toml")).unwrap();
        bench.write(name, &text.replace("Invented test stair", title));
    }
    let order = |first: &str, second: &str| {
        format!("[[job]]\nfile = \"{first}\"\n[[job]]\nfile = \"{second}\"\n")
    };
    bench.write("one.toml", &order("g.toml", "p.toml"));
    bench.write("other.toml", &order("c.toml", "g.toml"));
    bench
}

const QUICK: &[&str] = &["--effort", "0"];
const QUICK_BY_FORCE: &[&str] = &["--effort", "0", "--force"];

#[test]
fn each_job_of_several_has_a_folder_for_its_own_documents_and_what_is_shared_stays_on_top() {
    let bench = of_several();
    let set = bench.made("one.toml", "out", QUICK);
    let of = |folder: &str| -> Vec<&str> {
        set.keys()
            .filter_map(|name| name.strip_prefix(folder))
            .filter(|name| !name.is_empty())
            .collect()
    };
    assert_eq!(of("garden-steps/"), of("porch/"));
    assert!(
        of("porch/").contains(&"nominal.dxf") && of("porch/").contains(&"bench.pdf"),
        "{set:?}"
    );
    let shared: Vec<&String> = set.keys().filter(|name| !name.contains('/')).collect();
    for name in
        ["report.json", "frame.nc", "work-list.pdf", "labels.csv", "bench.html", "sheet-1.svg"]
    {
        assert!(shared.iter().any(|of| *of == name), "{name}: {shared:?}");
    }
    assert!(shared.iter().all(|name| !name.ends_with(".dxf")), "{shared:?}");
    // The list names them with their folders and digests.
    let report: serde_json::Value = serde_json::from_slice(&set["report.json"]).unwrap();
    for file in report["files"].as_array().unwrap() {
        assert_eq!(file["sha256"], sha256(&set[file["name"].as_str().unwrap()]), "{file}");
    }
    // Made again nothing is touched; in another form all of it is new.
    let identity = || fs::metadata(bench.path("out/porch/nominal.dxf")).unwrap().ino();
    let first = identity();
    assert!(bench.made("one.toml", "out", QUICK) == set && identity() == first);
    let r12 = bench.made("one.toml", "out", &["--effort", "0", "--dxf", "r12"]);
    assert!(r12.keys().eq(set.keys()) && r12["porch/nominal.dxf"] != set["porch/nominal.dxf"]);
    for name in ["porch/nominal.dxf", "garden-steps/nominal.dxf"] {
        let (order, file) = (bench.text("one.toml"), bench.text(&format!("out/{name}")));
        let run = seatcut(&["verify", &order, &file, "--effort", "0"]);
        assert_eq!(code(&run), 0, "{name}: {}", err(&run));
    }
    // Another order: the folder of the job that it has not is gone.
    let other = bench.made("other.toml", "out", QUICK_BY_FORCE);
    assert!(other == bench.made("other.toml", "fresh", QUICK) && !bench.path("out/porch").exists());
}

#[test]
fn what_somebody_puts_into_the_folder_of_a_job_stays_and_what_is_in_the_way_is_refused() {
    let bench = of_several();
    bench.made("one.toml", "out", QUICK);
    bench.write("out/porch/notes.txt", "mine");
    fs::create_dir(bench.path("out/porch/photos")).unwrap();
    bench.write("out/porch/photos/stair.jpg", "a photo");
    let mut other = bench.made("other.toml", "out", QUICK_BY_FORCE);
    for (name, bytes) in [
        ("porch/notes.txt", "mine"),
        ("porch/photos/stair.jpg", "a photo"),
        ("porch/photos/", ""),
        ("porch/", ""),
    ] {
        assert_eq!(other.remove(name).unwrap(), bytes.as_bytes(), "{name}");
    }
    assert!(other == bench.made("other.toml", "fresh", QUICK));
    // The folder is there when the job comes again.
    let one = bench.made("one.toml", "out", QUICK_BY_FORCE);
    assert_eq!(one["porch/notes.txt"], b"mine");
    // A document that was changed, a file of somebody's under a name that the set needs, a file and
    // a link where a folder is to be.
    bench.write("out/porch/nominal.dxf", "changed");
    bench.refused("make", "other.toml", QUICK_BY_FORCE, &["porch/nominal.dxf", "changed since"]);
    let empty = |name: &str| {
        fs::create_dir(bench.path(name)).unwrap();
    };
    fs::remove_dir_all(bench.path("out")).unwrap();
    empty("out");
    empty("out/porch");
    bench.write("out/porch/nominal.dxf", "my own");
    bench.refused("make", "one.toml", QUICK_BY_FORCE, &["porch/nominal.dxf", "none of a set"]);
    fs::remove_dir_all(bench.path("out/porch")).unwrap();
    bench.write("out/porch", "a file");
    bench.refused("make", "one.toml", QUICK_BY_FORCE, &["porch", "none of a set"]);
    fs::remove_file(bench.path("out/porch")).unwrap();
    empty("elsewhere");
    symlink(bench.path("elsewhere"), bench.path("out/porch")).unwrap();
    bench.refused("make", "one.toml", QUICK_BY_FORCE, &["porch", "none of a set"]);
    assert_eq!(fs::read_dir(bench.path("elsewhere")).unwrap().count(), 0);
}

#[test]
fn a_folder_of_a_set_that_became_a_link_is_left_to_whoever_made_it_one() {
    let bench = of_several();
    bench.made("one.toml", "out", QUICK);
    fs::rename(bench.path("out/porch"), bench.path("moved")).unwrap();
    symlink(bench.path("moved"), bench.path("out/porch")).unwrap();
    let moved = tree(&bench.path("moved"));
    // Another order needs no folder of that name: the link stays one, and so does what it leads to.
    bench.made("other.toml", "out", QUICK_BY_FORCE);
    assert!(bench.path("out/porch").is_symlink() && tree(&bench.path("moved")) == moved);
    bench.refused("make", "one.toml", QUICK_BY_FORCE, &["porch", "none of a set"]);
    assert!(tree(&bench.path("moved")) == moved);
}

#[test]
fn a_kill_at_any_time_leaves_folders_whole_or_for_the_next_run_to_finish() {
    for beside in [false, true] {
        let bench = of_several();
        let orders = ["one.toml", "other.toml"];
        let mut whole = orders.map(|of| bench.made(of, &format!("fresh-{of}"), QUICK));
        let started = Instant::now();
        bench.made("one.toml", "out", QUICK);
        let takes = started.elapsed();
        if beside {
            bench.write("out/garden-steps/notes.txt", "mine");
            whole.iter_mut().for_each(|set| {
                set.insert("garden-steps/notes.txt".into(), b"mine".to_vec());
            });
        }
        for (round, share) in shares().take(6).enumerate() {
            let mut run = begun(&bench, orders[(round + 1) % 2], QUICK_BY_FORCE);
            std::thread::sleep(takes.mul_f64(0.5 + share * 0.6));
            run.kill().unwrap();
            run.wait().unwrap();
            if !beside {
                assert!(whole.contains(&seen(&bench.path("out"))));
            }
            let now = bench.made(orders[round % 2], "out", QUICK_BY_FORCE);
            assert!(now == whole[round % 2], "{:?}", now.keys());
        }
        assert!(tree(bench.dir.path()).keys().all(|name| !name.contains("unfinished")));
    }
}

#[test]
fn what_the_set_does_not_know_under_a_name_it_needs_is_refused_by_name() {
    let bench = Bench::new();
    fs::create_dir(bench.path("out")).unwrap();
    bench.write("out/report.json", "my own report");
    bench.refused("make", "a.toml", &["--force"], &["report.json", "none of a set"]);
    fs::remove_file(bench.path("out/report.json")).unwrap();
    fs::create_dir(bench.path("out/drawing.svg")).unwrap();
    bench.write("out/drawing.svg/precious", "x");
    bench.write("out/bench.pdf", "mine");
    bench.refused("make", "a.toml", &["--force"], &["bench.pdf, drawing.svg"]);
    bench.refused("make", "a.toml", &[], &["not empty"]);
}

#[test]
fn what_was_changed_since_is_refused_by_name() {
    let bench = Bench::new();
    let a = bench.made("a.toml", "out", &[]);
    for name in a.keys() {
        let path = bench.path("out").join(name);
        let bytes = fs::read(&path).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        // Of the list itself a change that leaves it a list.
        let changed = if name == "report.json" {
            text.replacen("Invented", "Inverted", 1)
        } else {
            text.into_owned() + " "
        };
        fs::write(&path, changed).unwrap();
        for more in [&["--force"][..], &[]] {
            bench.refused("make", "b.toml", more, &[name, "changed since"]);
        }
        fs::write(&path, bytes).unwrap();
    }
    // A file of the set that became a link or a directory is no file of the set any more.
    let svg = bench.path("out/drawing.svg");
    fs::rename(&svg, bench.path("kept.svg")).unwrap();
    symlink(bench.path("kept.svg"), &svg).unwrap();
    bench.refused("make", "b.toml", &["--force"], &["drawing.svg"]);
    fs::remove_file(&svg).unwrap();
    // One that is gone is missed by nobody.
    bench.made("b.toml", "out", &["--force"]);
}

#[test]
fn an_order_and_a_make_never_replace_each_other() {
    let bench = Bench::new();
    bench.made("a.toml", "out", &[]);
    for more in [&[][..], &["--force"]] {
        bench.refused("order", "a.toml", more, &["holds a set of `make`", "a set of `order`"]);
    }
    fs::remove_dir_all(bench.path("out")).unwrap();
    assert_eq!(code(&bench.run("order", "a.toml", "out", &[])), 0);
    for more in [&[][..], &["--force"]] {
        bench.refused("make", "a.toml", more, &["holds a set of `order`"]);
        bench.refused("batch", "a.toml", more, &["holds a set of `order`"]);
    }
    let order = bench.path("out/order.txt");
    fs::write(&order, fs::read_to_string(&order).unwrap() + "PS: call me").unwrap();
    bench.refused("order", "a.toml", &["--force"], &["order.txt", "changed since"]);
}

#[test]
fn what_a_set_is_made_from_is_never_replaced() {
    let bench = Bench::new();
    fs::create_dir(bench.path("out")).unwrap();
    for name in ["report.json", "order.txt", "drawing.svg"] {
        let job = format!("out/{name}");
        fs::copy(bench.path("a.toml"), bench.path(&job)).unwrap();
        let verb = if name == "order.txt" { "order" } else { "make" };
        bench.refused(verb, &job, &["--force"], &[name]);
        // The same by another name.
        symlink(bench.path(&job), bench.path("link.toml")).unwrap();
        bench.refused(verb, "link.toml", &["--force"], &[name]);
        fs::remove_file(bench.path("link.toml")).unwrap();
        fs::remove_file(bench.path(&job)).unwrap();
    }
    // A link into a directory: the job is what the link leads to.
    fs::copy(bench.path("a.toml"), bench.path("out/job.toml")).unwrap();
    symlink(bench.path("out"), bench.path("door")).unwrap();
    let run = bench.run("make", "out/job.toml", "door", &["--force"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    assert!(bench.path("out/report.json").is_file() && bench.path("door").is_symlink());
    let pages = |more: &[&str]| {
        seatcut(&[&["pages", &bench.text("a.toml"), "-o", &bench.text("a.toml")], more].concat())
    };
    for more in [&[][..], &["--force"]] {
        let run = pages(more);
        assert!(code(&run) == 7 && err(&run).contains("made from"), "{}", err(&run));
    }
    fs::write(bench.path("mine.pdf"), "%PDF-1.7 mine").unwrap();
    let run = seatcut(&["pages", &bench.text("a.toml"), "-o", &bench.text("mine.pdf"), "--force"]);
    assert!(
        code(&run) == 7 && fs::read(bench.path("mine.pdf")).unwrap() == b"%PDF-1.7 mine",
        "{}",
        err(&run)
    );
}

/// A list that is not just as it was sealed, in every way that a person or a program changes one,
/// and each with a file of the user's listed in it.
#[test]
fn a_list_without_its_seal_is_believed_in_nothing_whatever_was_done_to_it() {
    let bench = Bench::new();
    bench.made("a.toml", "out", &[]);
    bench.write("out/mine.dxf", "mine");
    let report = bench.path("out/report.json");
    let text = fs::read_to_string(&report).unwrap();
    let mine = {
        let bytes = fs::read(bench.path("out/mine.dxf")).unwrap();
        format!(
            "\"files\": [\n    {{\"name\": \"mine.dxf\", \"bytes\": 4, \"sha256\": \"{}\"}},",
            sha256(&bytes)
        )
    };
    let listed = text.replacen("\"files\": [", &mine, 1);
    assert_ne!(listed, text);
    let seal = text.rfind(",\n  \"digest\"").unwrap();
    let parsed: serde_json::Value = serde_json::from_str(&listed).unwrap();
    for (what, changed) in [
        ("a file more", listed.clone()),
        ("written anew", serde_json::to_string_pretty(&parsed).unwrap()),
        ("on one line", serde_json::to_string(&parsed).unwrap()),
        ("without its last line feed", text.trim_end().to_string()),
        ("with other line ends", text.replace('\n', "\r\n")),
        ("with a key behind the seal", text.replace("\"\n}\n", "\",\n  \"seen\": true\n}\n")),
        ("without its seal", format!("{}\n}}\n", &text[..seal])),
        ("with an empty seal", format!("{},\n  \"digest\": \"\"\n}}\n", &text[..seal])),
    ] {
        assert_ne!(changed, text, "{what}");
        fs::write(&report, &changed).unwrap();
        for more in [&[][..], &["--force"]] {
            for job in ["a.toml", "b.toml"] {
                bench.refused(
                    "make",
                    job,
                    more,
                    &["report.json", "changed since", "move the whole folder"],
                );
            }
        }
        // Nor is an order put into it.
        bench.refused("order", "a.toml", &["--force"], &["a set of `make`"]);
    }
    fs::write(&report, &text).unwrap();
    bench.made("b.toml", "out", &["--force"]);
    assert_eq!(fs::read(bench.path("out/mine.dxf")).unwrap(), b"mine");
}

#[test]
fn an_order_whose_digests_were_made_anew_is_the_users() {
    let bench = Bench::new();
    let order = |more: &[&str]| bench.run("order", "a.toml", "out", more);
    assert_eq!(code(&order(&[])), 0);
    let (sums, sheet) = (bench.path("out/SHA256SUMS"), bench.path("out/order.txt"));
    let (good, said) = (fs::read_to_string(&sums).unwrap(), fs::read_to_string(&sheet).unwrap());
    let line = |name: &str| {
        format!("{}  {name}\n", sha256(&fs::read(bench.path("out").join(name)).unwrap()))
    };
    let without = |name: &str| -> String {
        good.lines().filter(|line| !line.ends_with(name)).map(|line| format!("{line}\n")).collect()
    };
    // What the sheet asks to be filled in, and then the digests for the shop.
    let table = bench.path("out/order.csv");
    let old = fs::read(&table).unwrap();
    fs::write(&table, [&old[..], b"filled in\r\n"].concat()).unwrap();
    let filled = without("order.csv") + &line("order.csv");
    fs::write(&table, &old).unwrap();
    bench.write("out/order.mine.dxf", "mine");
    let more = good.clone() + &line("order.mine.dxf");
    for (what, digests) in
        [("filled in", filled), ("one more", more), ("one less", without("order.csv"))]
    {
        fs::write(&sums, &digests).unwrap();
        for force in [&[][..], &["--force"]] {
            bench.refused("order", "a.toml", force, &["SHA256SUMS", "changed since"]);
        }
        assert_ne!(digests, good, "{what}");
    }
    // The sheet itself, and its seal taken out.
    let seal = said.find("\nSEAL").unwrap();
    for changed in [said.replacen("quantity", "number", 1), said[..seal].to_string()] {
        fs::write(&sheet, &changed).unwrap();
        fs::write(&sums, without("order.txt") + &line("order.txt")).unwrap();
        bench.refused("order", "a.toml", &["--force"], &["SHA256SUMS", "changed since"]);
        fs::write(&sums, &good).unwrap();
        bench.refused("order", "a.toml", &["--force"], &["order.txt", "changed since"]);
    }
    fs::write(&sheet, &said).unwrap();
    assert_eq!(code(&order(&[])), 0);
    assert_eq!(fs::read(bench.path("out/order.mine.dxf")).unwrap(), b"mine");
}

#[test]
fn a_list_that_points_elsewhere_is_believed_in_nothing() {
    let bench = Bench::new();
    fs::create_dir(bench.path("out")).unwrap();
    bench.write("precious.txt", "");
    let empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
    let file =
        |name: &str| format!("{{\"name\": \"{name}\", \"bytes\": 0, \"sha256\": \"{empty}\"}}");
    let list = format!(
        "{{\"schema\": \"seatcut.report/1\", \"job\": {{\"fingerprint\": \"0\"}}, \"files\": \
        [{}]}}",
        file("../precious.txt")
    );
    bench.write("out/report.json", &list);
    bench.refused("make", "a.toml", &["--force"], &["report.json"]);
    bench.write("out/notes.txt", "");
    // A list of digests that somebody made of files of their own is no order of ours.
    fs::remove_file(bench.path("out/report.json")).unwrap();
    bench.write("out/SHA256SUMS", &format!("{empty}  notes.txt\n"));
    bench.refused("order", "a.toml", &["--force"], &["SHA256SUMS"]);
}

/// A process that runs no more.
fn dead() -> u32 {
    let mut child = Command::new("true").spawn().unwrap();
    child.wait().unwrap();
    child.id()
}

#[test]
fn what_killed_runs_left_is_swept_and_nothing_else() {
    let bench = Bench::new();
    bench.made("a.toml", "out", &[]);
    let pid = dead();
    let left = |dir: &str, pid: u32, number: usize| {
        bench.path(dir).join(format!(".seatcut-unfinished-{pid}-{number}"))
    };
    let homes = [("", "program.nc"), ("out", "nominal.dxf")];
    for (home, name) in homes {
        fs::create_dir(left(home, pid, 0)).unwrap();
        fs::write(left(home, pid, 0).join(name), "half a file").unwrap();
        // One of a run at work, one that holds something of somebody else's, one that is no such
        // thing.
        fs::create_dir(left(home, std::process::id(), 0)).unwrap();
        fs::create_dir(left(home, pid, 1)).unwrap();
        fs::write(left(home, pid, 1).join("precious.txt"), "x").unwrap();
        fs::create_dir(bench.path(home).join(".seatcut-unfinished-mine")).unwrap();
        fs::write(left(home, pid, 2), "one file, half").unwrap();
    }
    assert_eq!(code(&bench.run("make", "a.toml", "out", &[])), 0);
    for (home, _) in homes {
        assert!(!left(home, pid, 0).exists() && !left(home, pid, 2).exists());
        assert!(
            left(home, std::process::id(), 0).exists()
                && bench.path(home).join(".seatcut-unfinished-mine").exists()
        );
        assert_eq!(fs::read(left(home, pid, 1).join("precious.txt")).unwrap(), b"x");
    }
}

/// A run that writes into `out`, killed after a while; what it would have printed is not kept.
fn begun(bench: &Bench, job: &str, more: &[&str]) -> Child {
    let mut run = command(&[&["make", &bench.text(job), "-o", &bench.text("out")], more].concat());
    run.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
}

/// Pseudorandom shares of one, the same in every run.
fn shares() -> impl Iterator<Item = f64> {
    let mut noise: u64 = 0x9e37_79b9_7f4a_7c15;
    std::iter::repeat_with(move || {
        noise ^= noise << 13;
        noise ^= noise >> 7;
        noise ^= noise << 17;
        (noise >> 11) as f64 / (1_u64 << 53) as f64
    })
}

#[test]
fn a_kill_at_any_time_leaves_the_old_set_or_the_new_one() {
    let bench = Bench::new();
    let whole = [bench.made("a.toml", "fresh-a", &[]), bench.made("b.toml", "fresh-b", &[])];
    let started = Instant::now();
    bench.made("a.toml", "out", &[]);
    let takes = started.elapsed();
    let mut killed = 0;
    for share in shares().take(20) {
        let stands = whole.iter().position(|set| *set == seen(&bench.path("out"))).unwrap();
        let job = ["b.toml", "a.toml"][stands];
        let mut run = begun(&bench, job, &["--force"]);
        std::thread::sleep(takes.mul_f64(share * 1.1));
        run.kill().unwrap();
        killed += usize::from(run.wait().unwrap().signal() == Some(9));
        let now = seen(&bench.path("out"));
        assert!(whole.contains(&now), "{:?}", now.keys());
    }
    assert!(killed > 5, "{killed} of 20 were killed in time");
    bench.made("a.toml", "out", &["--force"]);
    let names: Vec<String> =
        tree(bench.dir.path()).into_keys().filter(|name| name.contains("unfinished")).collect();
    assert!(names.is_empty(), "{names:?}");
}

#[test]
fn beside_files_of_somebody_else_the_next_run_finishes_what_a_kill_broke_off() {
    let bench = Bench::new();
    let whole = [bench.made("a.toml", "fresh-a", &[]), bench.made("b.toml", "fresh-b", &[])];
    let started = Instant::now();
    bench.made("a.toml", "out", &[]);
    let takes = started.elapsed();
    bench.write("out/notes.txt", "mine");
    let identity = || fs::metadata(bench.path("out/notes.txt")).unwrap().ino();
    let notes = identity();
    for (round, share) in shares().skip(20).take(6).enumerate() {
        let mut run = begun(&bench, ["b.toml", "a.toml"][round % 2], &["--force"]);
        std::thread::sleep(takes.mul_f64(share * 1.1));
        run.kill().unwrap();
        run.wait().unwrap();
        let wanted = round / 2 % 2;
        let mut now = bench.made(["a.toml", "b.toml"][wanted], "out", &["--force"]);
        assert_eq!(now.remove("notes.txt").unwrap(), b"mine");
        assert!(now == whole[wanted]);
        assert_eq!(identity(), notes);
    }
    assert!(tree(&bench.path("out")).keys().all(|name| !name.starts_with('.')));
}

/// The files of a set as a journal names them.
fn listed(set: &BTreeMap<String, Vec<u8>>) -> Vec<serde_json::Value> {
    let of = |(name, bytes): (&String, &Vec<u8>)| {
        let sha256 = seatcut::output::file_report(name, bytes).sha256;
        serde_json::json!({ "name": name, "sha256": sha256 })
    };
    set.iter().map(of).collect()
}

#[test]
fn half_a_set_is_never_judged_and_the_next_run_of_any_command_makes_it_whole() {
    // In the directory itself, and beside it as where a set lay alone.
    for (home, beside) in [("out", None), ("", Some("out"))] {
        let bench = Bench::new();
        let (old, new) = (bench.made("a.toml", "out", &[]), bench.made("b.toml", "new", &[]));
        bench.write("out/mine.nc", std::str::from_utf8(&old["program-2.nc"]).unwrap());
        let place = bench.path(home).join(format!(".seatcut-unfinished-{}-0", dead()));
        fs::rename(bench.path("new"), &place).unwrap();
        fs::create_dir(place.join(".old")).unwrap();
        let moving = serde_json::json!({ "stage": "moving", "beside": beside, "out": listed(&old), "into": listed(&new) });
        fs::write(place.join(".journal"), moving.to_string()).unwrap();
        // Killed when all of the old and the first of the new were moved.
        for name in old.keys() {
            fs::rename(bench.path("out").join(name), place.join(".old").join(name)).unwrap();
        }
        fs::rename(place.join("nominal.dxf"), bench.path("out/nominal.dxf")).unwrap();
        symlink(bench.path("out/nominal.dxf"), bench.path("link.dxf")).unwrap();
        let before = tree(bench.dir.path());
        for file in ["out/nominal.dxf", "out/program.nc", "out/program-2.nc", "link.dxf"] {
            let held = seatcut(&["verify", &bench.text("b.toml"), &bench.text(file)]);
            assert!(
                code(&held) == 7 && err(&held).contains("broken off"),
                "{file}: {}",
                err(&held)
            );
        }
        let other = seatcut(&["verify", &bench.text("a.toml"), &bench.text("out/mine.nc")]);
        assert_eq!(code(&other), 0, "what belongs to no set is judged: {}", err(&other));
        assert!(tree(bench.dir.path()) == before, "to look changes nothing");
        let into = bench.text(if home.is_empty() { "pages.pdf" } else { "out/pages.pdf" });
        let pages = seatcut(&["pages", &bench.text("a.toml"), "-o", &into]);
        assert_eq!(code(&pages), 0, "{}", err(&pages));
        let mut now = seen(&bench.path("out"));
        now.retain(|name, _| !["mine.nc", "pages.pdf"].contains(&&**name));
        assert!(now == new, "{:?}", now.keys());
        let held = seatcut(&["verify", &bench.text("b.toml"), &bench.text("out/nominal.dxf")]);
        assert_eq!(code(&held), 0, "{}", err(&held));
    }
}

#[test]
fn a_signal_leaves_nothing_behind() {
    let bench = Bench::new();
    let before = tree(bench.dir.path());
    let mut told = 0;
    for signal in ["TERM", "INT", "HUP"] {
        for _ in 0..5 {
            let mut run = begun(&bench, "a.toml", &[]);
            // As soon as something unfinished is seen.
            let until = Instant::now() + Duration::from_secs(60);
            let unfinished = || fs::read_dir(bench.dir.path()).unwrap().count() > 2;
            while !unfinished() && run.try_wait().unwrap().is_none() && Instant::now() < until {
                std::thread::sleep(Duration::from_millis(1));
            }
            Command::new("kill")
                .args([&format!("-{signal}"), &run.id().to_string()])
                .status()
                .unwrap();
            let ended = run.wait().unwrap();
            if bench.path("out").exists() {
                fs::remove_dir_all(bench.path("out")).unwrap();
            } else {
                assert!(ended.signal().is_some(), "{ended}");
                told += 1;
            }
            assert_eq!(tree(bench.dir.path()), before);
        }
    }
    assert!(told > 3, "{told} of 15 were told in time");
}

#[test]
fn of_two_runs_into_one_place_the_whole_set_of_one_is_there() {
    let bench = Bench::new();
    let whole = [bench.made("a.toml", "fresh-a", &[]), bench.made("b.toml", "fresh-b", &[])];
    for round in 0..4 {
        let more: &[&str] = if round % 2 == 0 { &[] } else { &["--force"] };
        let runs = ["a.toml", "b.toml"].map(|job| begun(&bench, job, more));
        let done = runs.map(|mut run| run.wait().unwrap().code());
        assert!(
            done.contains(&Some(0)) && done.iter().all(|code| matches!(code, Some(0 | 7))),
            "{done:?}"
        );
        assert!(whole.contains(&seen(&bench.path("out"))));
        assert!(tree(bench.dir.path()).keys().all(|name| !name.starts_with('.')));
        if round == 1 {
            fs::remove_dir_all(bench.path("out")).unwrap();
        }
    }
    // The same job twice at once: both are right.
    fs::remove_dir_all(bench.path("out")).unwrap();
    let runs = ["a.toml"; 2].map(|job| begun(&bench, job, &[]));
    let done = runs.map(|mut run| run.wait().unwrap().code());
    assert!(
        done.contains(&Some(0)) && done.iter().all(|code| matches!(code, Some(0 | 7))),
        "{done:?}"
    );
    assert!(seen(&bench.path("out")) == whole[0]);
}

#[test]
fn a_disk_without_room_for_the_new_set_keeps_the_old_one() {
    let bench = Bench::new();
    let a = bench.made("a.toml", "fresh", &[]);
    let size: usize = a.values().map(|bytes| bytes.len().div_ceil(4096) * 4096).sum();
    fs::create_dir(bench.path("small")).unwrap();
    let small = bench.text("small");
    let room = format!("size={}", size + size / 2);
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", &room, "tmpfs", &small])
        .stderr(Stdio::null())
        .status();
    if !mounted.is_ok_and(|status| status.success()) {
        eprintln!("no right to mount: a full disk is not tried here, a limit of file size is");
        return;
    }
    let first = bench.run("make", "a.toml", "small/out", &[]);
    let second = bench.run("make", "b.toml", "small/out", &["--force"]);
    let left = tree(&bench.path("small"));
    Command::new("umount").arg(&small).status().unwrap();
    assert_eq!(code(&first), 0, "{}", err(&first));
    assert_eq!(code(&second), 7, "{}", err(&second));
    let old: BTreeMap<String, Vec<u8>> =
        a.into_iter().map(|(name, bytes)| (format!("out/{name}"), bytes)).collect();
    assert!(left.iter().filter(|(name, _)| *name != "out/").eq(old.iter()), "{:?}", left.keys());
}

#[test]
fn a_limit_of_file_size_is_an_error_and_leaves_nothing() {
    let bench = Bench::new();
    let before = tree(bench.dir.path());
    let limited = "ulimit -f 16 && exec \"$0\" \"$@\"";
    let program = env!("CARGO_BIN_EXE_seatcut");
    let run = Command::new("sh")
        .args(["-c", limited, program, "make", &bench.text("a.toml"), "-o", &bench.text("out")])
        .output()
        .unwrap();
    assert_eq!(code(&run), 7, "{}", err(&run));
    assert!(err(&run).contains("nothing was left half-written"), "{}", err(&run));
    assert_eq!(tree(bench.dir.path()), before);
}

#[test]
fn a_set_whose_text_cannot_be_printed_is_said_to_be_there() {
    let bench = Bench::new();
    for (verb, out) in [("make", "made"), ("order", "ordered"), ("batch", "batch")] {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let arguments = [verb, &bench.text("a.toml"), "-o", &bench.text(out)];
        let run = command(&arguments).stdout(full).output().unwrap();
        assert_eq!(code(&run), 7);
        assert!(err(&run).contains("put in place all the same"), "{}", err(&run));
        assert!(!seen(&bench.path(out)).is_empty());
    }
}

#[test]
fn a_profile_by_path_is_taken_from_the_folder_of_the_file_that_names_it() {
    let bench = Bench::new();
    for dir in ["shop", "shop/jobs", "else"] {
        fs::create_dir(bench.path(dir)).unwrap();
    }
    let machine = String::from_utf8(seatcut(&["profiles", "router-table"]).stdout).unwrap();
    bench.write("shop/my.toml", &machine);
    // In the current folder another machine of the same name, and one that is none.
    bench.write("else/my.toml", "this is no machine");
    let by =
        |path: &str| Stair::default().toml().replace("\"router-table\"", &format!("\"{path}\""));
    bench.write("shop/near.toml", &by("./my.toml"));
    bench.write("shop/jobs/far.toml", &by("../my.toml"));
    bench.write("shop/order.toml", "[[job]]\nfile = \"jobs/far.toml\"\n");
    let from = |dir: &str, arguments: &[&str]| {
        command(arguments).current_dir(bench.path(dir)).output().unwrap()
    };
    for job in ["../shop/near.toml", "../shop/jobs/far.toml"] {
        let run = from("else", &["solve", job]);
        assert_eq!(code(&run), 0, "{job}: {}", err(&run));
    }
    let run = from("else", &["make", "../shop/order.toml", "-o", "../out"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    // What is wrong with it is told where it was looked for.
    bench.write("shop/my.toml", &machine.replace("decimals = 4", "decimals = 2"));
    for (job, place) in [
        ("../shop/near.toml", "../shop/my.toml:"),
        ("../shop/jobs/far.toml", "../shop/jobs/../my.toml:"),
    ] {
        let run = from("else", &["solve", job]);
        assert!(code(&run) == 3 && err(&run).contains(place), "{}", err(&run));
    }
    // From standard input it is the current folder, and a name is never a path.
    let piped = |dir: &str, text: &str| {
        let job = bench.path("piped.toml");
        fs::write(&job, text).unwrap();
        command(&["solve", "-"])
            .current_dir(bench.path(dir))
            .stdin(fs::File::open(job).unwrap())
            .output()
            .unwrap()
    };
    bench.write("shop/my.toml", &machine);
    assert_eq!(code(&piped("shop", &by("./my.toml"))), 0);
    assert_eq!(code(&piped("else", &by("./my.toml"))), 3);
    bench.write("shop/my", &machine);
    let named = piped("shop", &by("my"));
    assert!(
        code(&named) == 3 && err(&named).contains("no machine of this name"),
        "{}",
        err(&named)
    );
}

#[test]
fn no_folder_is_named_after_nothing_but_dots() {
    let bench = Bench::new();
    fs::create_dir(bench.path("jobs")).unwrap();
    let job = Stair::default().toml();
    for name in ["...toml", "..toml", " .toml", ". . .toml"] {
        let path = format!("jobs/{name}");
        bench.write(&path, &job);
        let before = tree(bench.dir.path());
        for run in [
            bench.run("batch", "jobs", "home/out", &["--force"]),
            bench.run("batch", &path, "home/out", &[]),
            seatcut(&["draft", &bench.text(&path), "--no-open"]),
        ] {
            assert_eq!(code(&run), 2, "{name}: {}", err(&run));
            assert!(err(&run).contains("no folder can be named"), "{name}: {}", err(&run));
        }
        assert!(tree(bench.dir.path()) == before, "{name}: something was written");
        fs::remove_file(bench.path(&path)).unwrap();
        for verb in ["new", "ask"] {
            let run = seatcut(&[verb, &bench.text(&path)]);
            assert_eq!(code(&run), 2, "{name}: {}", err(&run));
            assert!(!bench.path(&path).exists(), "{name}");
        }
    }
    // Dots before a name are its own.
    bench.write("jobs/..porch.toml", &job);
    assert_eq!(code(&bench.run("batch", "jobs", "out", &[])), 0);
    assert!(bench.path("out/..porch/report.json").exists());
}

#[cfg(unix)]
#[test]
fn a_link_stays_one_and_what_it_leads_to_is_replaced() {
    use std::os::unix::fs::symlink;
    let bench = Bench::new();
    fs::create_dir(bench.path("papers")).unwrap();
    assert_eq!(code(&bench.run("pages", "a.toml", "papers/real.pdf", &[])), 0);
    symlink("papers/real.pdf", bench.path("one.pdf")).unwrap();
    symlink("one.pdf", bench.path("two.pdf")).unwrap();
    let before = fs::read(bench.path("papers/real.pdf")).unwrap();
    assert_eq!(code(&bench.run("pages", "a.toml", "two.pdf", &[])), 7);
    let run = bench.run("pages", "a.toml", "two.pdf", &["--force", "--paper", "a4"]);
    assert_eq!(code(&run), 0, "{}", err(&run));
    for link in ["one.pdf", "two.pdf"] {
        assert!(bench.path(link).symlink_metadata().unwrap().is_symlink(), "{link}");
    }
    let after = fs::read(bench.path("papers/real.pdf")).unwrap();
    assert!(after != before && after.starts_with(b"%PDF-"));
    assert_eq!(fs::read_dir(bench.path("papers")).unwrap().count(), 1, "nothing else was left");
    // A link to what is somebody else's replaces nothing.
    bench.write("papers/real.pdf", "mine");
    assert_eq!(code(&bench.run("pages", "a.toml", "two.pdf", &["--force"])), 7);
    assert_eq!(fs::read(bench.path("papers/real.pdf")).unwrap(), b"mine");
}

#[test]
fn a_batch_passes_over_profiles_beside_the_jobs_and_counts_what_its_table_says() {
    let bench = Bench::new();
    fs::create_dir(bench.path("jobs")).unwrap();
    let machine = String::from_utf8(seatcut(&["profiles", "router-table"]).stdout).unwrap();
    bench.write("jobs/machine.toml", &machine);
    bench.write("jobs/built.toml", "[built]\nheights = []\n");
    bench.write(
        "jobs/good.toml",
        &Stair::default().toml().replace("\"router-table\"", "\"machine.toml\""),
    );
    let steep = Stair { rise: "total = \"40 in\"\nrisers = 3".into(), ..Stair::default() };
    bench.write("jobs/steep.toml", &steep.toml());
    bench.write("jobs/torn.toml", "title = ");
    bench.write(
        "jobs/gone.toml",
        &Stair::default().toml().replace("\"router-table\"", "\"nowhere.toml\""),
    );
    bench.write("jobs/typo.toml", &Stair::default().toml().replace("overhang", "overhnag"));
    let run = bench.run("batch", "jobs", "out", &[]);
    assert_eq!(code(&run), 7);
    let table: serde_json::Value =
        serde_json::from_slice(&fs::read(bench.path("out/summary.json")).unwrap()).unwrap();
    assert_eq!(
        (&table["made"], &table["refused"], &table["failed"]),
        (&1.into(), &1.into(), &3.into()),
        "{table}"
    );
    assert!(err(&run).contains("3 of 5 jobs failed"), "{}", err(&run));
    assert!(
        err(&run).contains("machine.toml (a profile)")
            && err(&run).contains("built.toml (a file of measurements")
    );
    // Its tables are a set like any other; a changed one is not replaced.
    assert_eq!(code(&bench.run("batch", "jobs", "out", &[])), 7);
    let before = seen(&bench.path("out"));
    bench.write("out/summary.csv", "mine");
    let refused = bench.run("batch", "jobs", "out", &["--force"]);
    assert!(code(&refused) == 7 && err(&refused).contains("summary.csv"), "{}", err(&refused));
    assert_eq!(seen(&bench.path("out")).len(), before.len());
}

/// Whether a text could steer a terminal.
fn steers(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.chars().any(|c| c != '\n' && seatcut::diagnostics::visible::is_hidden(c))
}

#[test]
fn nothing_from_a_file_or_a_name_steers_the_terminal() {
    let bench = Bench::new();
    let evil = "x\u{1b}[31m\u{9b}1m\u{7}\u{202e}\u{7f}";
    let spelled = "x\\u001b[31m\\u009b1m\\u0007\\u202e\\u007f\\n forged: line";
    let job = Stair::default().toml();
    let jobs = [
        job.replacen("title", &format!("\"{spelled}\" = 1\ntitle"), 1),
        job.replace("\"router-table\"", &format!("\"{spelled}\"")),
        job.replace("\"router-table\"", &format!("\"./{spelled}.toml\"")),
        job.replace("51 3/8 in", spelled),
        job.replace("one-down", spelled),
        job.replacen("title", &format!("{evil}\ntitle"), 1),
        job.replace("Invented test stair", "Invented \u{202e}test stair"),
        format!("{job}\n[[waive]]\nrule = \"{spelled}\"\nreason = \"{spelled}\"\n"),
    ];
    for (i, text) in jobs.iter().enumerate() {
        bench.write("job.toml", text);
        for arguments in [&["solve"][..], &["solve", "--json"]] {
            let run = seatcut(&[arguments, &[&bench.text("job.toml")]].concat());
            assert!(!steers(&run.stdout) && !steers(&run.stderr), "{i}: {run:?}");
            assert!(
                !err(&run).lines().any(|line| line.starts_with(" forged")),
                "{i}: {}",
                err(&run)
            );
        }
    }
    // Names of files: of a job, of a folder, of what is verified, of a profile that is taken.
    let name = format!("{evil}\n forged: line");
    let named = bench.path(&format!("{name}.toml"));
    fs::write(&named, &job).unwrap();
    let machine = String::from_utf8(seatcut(&["profiles", "router-table"]).stdout).unwrap();
    fs::write(bench.path(&format!("m{name}.toml")), machine).unwrap();
    let own = spelled.replace("x\\u", "mx\\u");
    bench.write("own.toml", &job.replace("\"router-table\"", &format!("\"./{own}.toml\"")));
    let (named, dir) = (named.display().to_string(), bench.text(&format!("d{name}")));
    let runs = [
        vec!["make", &*named, "-o", &dir],
        vec!["make", "own.toml", "-o", "own"],
        vec!["batch", &named, "own.toml", "a.toml", "-o", "made"],
        vec!["verify", "a.toml", &named],
        vec!["solve", "own.toml"],
        vec!["new", &named],
        vec!["pages", "a.toml", "-o", &dir],
    ];
    for arguments in &runs {
        let run = command(arguments).current_dir(bench.dir.path()).output().unwrap();
        assert!(!steers(&run.stdout) && !steers(&run.stderr), "{arguments:?}: {run:?}");
        let told = String::from_utf8_lossy(&run.stdout).into_owned() + &err(&run);
        assert!(!told.lines().any(|line| line.starts_with(" forged")), "{arguments:?}: {told}");
    }
    assert_eq!(fs::read_dir(bench.path("own")).unwrap().count(), 10);
    // The table for people is spelled out, the one for programs holds the true name.
    let table = fs::read(bench.path("made/summary.csv")).unwrap();
    let table = table.strip_prefix("\u{feff}".as_bytes()).unwrap();
    assert!(!steers(&table.to_vec().replace_crlf()));
    let table: serde_json::Value =
        serde_json::from_slice(&fs::read(bench.path("made/summary.json")).unwrap()).unwrap();
    assert_eq!(table["jobs"][0]["job"], named.as_str());
}

trait ReplaceCrlf {
    fn replace_crlf(self) -> Vec<u8>;
}

impl ReplaceCrlf for Vec<u8> {
    /// Rows end with CR LF; nothing else of the kind may be there.
    fn replace_crlf(self) -> Vec<u8> {
        String::from_utf8(self).unwrap().replace("\r\n", "\n").into_bytes()
    }
}

#[test]
fn comments_of_programs_hold_letters_digits_and_five_signs() {
    let bench = Bench::new();
    let title = "Bob's St\u{e4}ir! (west) ~50% = a?";
    for job in ["a.toml", "b.toml"] {
        let text =
            fs::read_to_string(bench.path(job)).unwrap().replace("Invented test stair", title);
        bench.write("job.toml", &text);
        let made = bench.made("job.toml", "out", &["--force"]);
        for (name, bytes) in made.iter().filter(|(name, _)| name.ends_with(".nc")) {
            let text = String::from_utf8(bytes.clone()).unwrap();
            assert!(
                text.contains("e of Bobs")
                    || text.contains("Title Bobs Staeir west 50 percent is a"),
                "{name}: {text:.300}"
            );
            for line in text.lines().filter(|line| line.starts_with(['(', ';'])) {
                let words = line.trim_start_matches(['(', ';']).trim_end_matches(')');
                let allowed = |c: char| c.is_ascii_alphanumeric() || " .,-+/".contains(c);
                assert!(words.chars().all(allowed) && line.len() <= 70, "{name}: {line}");
                assert!(
                    !words.trim().is_empty()
                        && !words.contains(" ,")
                        && !words.trim().contains("  "),
                    "{line}"
                );
            }
        }
    }
}
