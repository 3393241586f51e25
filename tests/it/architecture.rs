//! The house rules that a machine can check: import arrows, profiles, findings, layout, forbidden
//! words.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use seatcut::diagnostics::{Code, table};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files_below(dir: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// A room and the rooms that it may use besides itself. `verify` and `optimise` are crates that see
/// `model` alone, which cargo holds.
const ARROWS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("diagnostics", &["units"]),
    ("geometry", &["units"]),
    ("profile", &["units", "diagnostics"]),
    ("job", &["units", "diagnostics", "profile"]),
    ("stair", &["units", "geometry", "profile", "job"]),
    ("check", &["units", "geometry", "diagnostics", "profile", "job", "stair"]),
    ("site", &["units", "diagnostics", "geometry", "profile", "job", "stair", "check"]),
    ("cam", &["units", "diagnostics", "geometry", "profile", "job", "stair", "check", "optimise"]),
    (
        "pipeline",
        &[
            "units",
            "diagnostics",
            "geometry",
            "profile",
            "job",
            "stair",
            "check",
            "optimise",
            "site",
            "cam",
            "verify",
        ],
    ),
    (
        "output",
        &[
            "units",
            "diagnostics",
            "geometry",
            "profile",
            "job",
            "stair",
            "check",
            "site",
            "cam",
            "pipeline",
        ],
    ),
    (
        "bundle",
        &[
            "units",
            "diagnostics",
            "geometry",
            "profile",
            "job",
            "stair",
            "cam",
            "pipeline",
            "output",
            "verify",
        ],
    ),
];

/// Whether a file under src holds tests only.
fn is_test_file(path: &Path) -> bool {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    name == "testing.rs" || name.ends_with("tests.rs")
}

/// The source files under a folder that are no tests, each with its text up to its own tests.
fn sources_below(folder: &str) -> Vec<(PathBuf, String)> {
    let files =
        files_below(&root().join(folder), ".rs").into_iter().filter(|path| !is_test_file(path));
    files
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("").to_string();
            (path, code)
        })
        .collect()
}

fn module_of(path: &Path) -> String {
    let inside = path.strip_prefix(root().join("src")).unwrap();
    let inside = inside.strip_prefix("model").unwrap_or(inside);
    let first = inside.components().next().unwrap().as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_string()
}

/// The modules named behind `crate::` in a source text, its comments left out.
fn used(text: &str) -> BTreeSet<String> {
    let code: String = text
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .map(|l| format!("{l}\n"))
        .collect();
    let mut names = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        if let Some(group) = rest.strip_prefix('{') {
            let group = group.split('}').next().unwrap_or("");
            names.extend(
                group
                    .split(',')
                    .map(|item| item.trim().split("::").next().unwrap_or("").to_string()),
            );
        } else {
            names.insert(rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect());
        }
    }
    names.remove("");
    names
}

/// Where a cutter and a beam part ways; everybody else asks a tool what it can do.
const KNOW_TOOLS: [&str; 2] = ["cam/plan/by_tool.rs", "output/tool_words.rs"];

#[test]
fn few_files_ask_what_kind_a_tool_is() {
    for (path, code) in sources_below("src") {
        let knows = KNOW_TOOLS.iter().any(|known| path.ends_with(known));
        let asks = ["Tool::Router", "Tool::Laser"].into_iter().find(|kind| code.contains(kind));
        assert!(knows || asks.is_none(), "{}: {asks:?}", path.display());
    }
}

#[test]
fn imports_point_to_the_left_only() {
    for (path, code) in sources_below("src") {
        let module = module_of(&path);
        if matches!(module.as_str(), "lib" | "main" | "cli" | "counted" | "verify" | "optimise") {
            continue;
        }
        let (_, allowed) = ARROWS
            .iter()
            .find(|(name, _)| *name == module)
            .unwrap_or_else(|| panic!("{module} has no arrows"));
        for name in used(&code) {
            assert!(
                name == module || allowed.contains(&name.as_str()),
                "{}: uses {name}",
                path.display()
            );
        }
    }
}

#[test]
fn the_judge_and_the_searches_are_crates_that_see_the_model_alone() {
    for room in ["verify", "optimise"] {
        let text = fs::read_to_string(root().join("src").join(room).join("Cargo.toml")).unwrap();
        let own: Vec<&str> = text.lines().filter(|line| line.starts_with("seatcut")).collect();
        assert_eq!(own, ["seatcut-model = { workspace = true }"], "{room}");
    }
}

#[test]
fn only_job_and_profile_know_toml_and_only_cli_knows_clap_and_files() {
    for (path, text) in sources_below("src") {
        let module = module_of(&path);
        assert!(
            !text.contains("toml::") || ["job", "profile"].contains(&module.as_str()),
            "{}",
            path.display()
        );
        for word in ["clap::", "std::fs", "std::process", "std::env::", "println!", "SystemTime"] {
            assert!(
                !text.contains(word) || ["cli", "main"].contains(&module.as_str()),
                "{} has {word}",
                path.display()
            );
        }
    }
}

#[test]
fn every_profile_parses_and_every_profile_on_disk_is_in_the_binary() {
    use seatcut::profile::{Machine, Material, Rules, TimberTable, embedded, embedded_names};
    for (kind, name) in embedded_names() {
        let source = embedded(Some(kind), name).unwrap();
        let read = match kind {
            "machine" => Machine::read(name, &source.file, &source.text).map(|_| ()),
            "material" => Material::read(name, &source.file, &source.text).map(|_| ()),
            "timber" => TimberTable::read(name, &source.file, &source.text).map(|_| ()),
            _ => Rules::read(name, &source.file, &source.text).map(|_| ()),
        };
        read.unwrap_or_else(|e| panic!("{e}"));
    }
    let on_disk = files_below(&root().join("profiles"), ".toml").len();
    assert_eq!(on_disk, embedded_names().count());
}

/// The name of a finding's type: that of its code, each word with a capital.
fn type_of(code: Code) -> String {
    let capital = |word: &str| word[..1].to_uppercase() + &word[1..];
    code.name().split('-').map(capital).collect()
}

#[test]
fn a_name_stands_once_in_the_table() {
    let names: BTreeSet<&str> = table::all().map(Code::name).collect();
    assert_eq!(names.len(), table::all().count());
}

#[test]
fn every_finding_of_the_table_is_made_somewhere() {
    let table_folder = root().join("src/model/diagnostics");
    let sources = sources_below("src");
    let made: String = sources
        .iter()
        .filter(|(path, _)| !path.starts_with(&table_folder))
        .map(|(_, t)| t.as_str())
        .collect();
    let words: BTreeSet<&str> = made.split("codes::").skip(1).map(first_word).collect();
    let never: Vec<String> =
        table::all().map(type_of).filter(|name| !words.contains(name.as_str())).collect();
    assert!(never.is_empty(), "no source makes {never:?}");
}

fn first_word(text: &str) -> &str {
    text.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default()
}

#[test]
fn every_finding_of_the_table_is_named_in_a_test() {
    let tests: String = files_below(&root().join("tests"), ".rs")
        .iter()
        .chain(files_below(&root().join("src"), ".rs").iter())
        .map(|p| {
            let text = fs::read_to_string(p).unwrap();
            let is_test = p.starts_with(root().join("tests")) || is_test_file(p);
            if is_test { text } else { text.split("#[cfg(test)]").skip(1).collect() }
        })
        .collect();
    let named = |code: &Code| {
        tests.contains(&format!("\"{code}\""))
            || tests.contains(&format!("codes::{}", type_of(*code)))
    };
    let missing: Vec<Code> = table::all().filter(|code| !named(code)).collect();
    assert!(missing.is_empty(), "no test names {missing:?}");
}

#[test]
fn no_source_reads_a_code_as_text() {
    for (path, text) in sources_below("src") {
        let reads = [
            "code.name() ==",
            "code.name() !=",
            "code == \"",
            "place.to_string().contains",
            "sentence().contains",
        ];
        let said = reads.iter().find(|words| text.contains(**words));
        assert!(said.is_none(), "{} has {said:?}", path.display());
    }
}

#[test]
fn the_visible_top_level_is_fixed() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "profiles",
        "tests",
        "output-samples",
    ];
    // What somebody made beside them, following the README, is his.
    let mut git = Command::new("git");
    git.args(["-c", "safe.directory=*", "ls-files"]).current_dir(root());
    let listed = git.output().map(|listed| listed.stdout).unwrap_or_default();
    let tops = |files: &str| -> BTreeSet<String> {
        files.lines().map(|file| file.split('/').next().unwrap().to_string()).collect()
    };
    let mut names = tops(&String::from_utf8(listed).unwrap());
    if names.is_empty() {
        // Unpacked without its history: everything that lies there but what was built.
        let there = fs::read_dir(root()).unwrap();
        names = there.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.remove("target");
    }
    assert!(allowed.iter().all(|name| names.contains(*name)), "{names:?}");
    for name in names {
        assert!(name.starts_with('.') || allowed.contains(&name.as_str()), "{name}");
    }
}

#[test]
fn no_output_claims_that_a_stair_complies() {
    let mut texts = sources_below("src");
    let mut others = files_below(&root().join("profiles"), ".toml");
    others.push(root().join("README.md"));
    texts.extend(others.into_iter().map(|path| (path.clone(), fs::read_to_string(&path).unwrap())));
    for (path, text) in texts {
        assert!(!text.to_lowercase().contains("compliant"), "{}", path.display());
    }
}

#[test]
fn source_files_stay_readable() {
    for (path, text) in sources_below("src") {
        let lines = text.lines().count();
        assert!(lines <= 490, "{} has {lines} lines before its tests", path.display());
    }
}

/// Texts of files as they are written, markup, and one-line tables of a macro: the formatter leaves
/// them, and a break would change or hide them.
const MOST_WIDE_LINES: usize = 86;

#[test]
fn lines_are_a_hundred_wide() {
    let all = sources_below("src");
    let wide = |(path, text): &(PathBuf, String)| {
        let lines = text.lines().filter(|line| line.chars().count() > 100).count();
        (lines > 0).then(|| format!("{} {lines}", path.display()))
    };
    let told: Vec<String> = all.iter().filter_map(wide).collect();
    let lines = all.iter().flat_map(|(_, text)| text.lines());
    let count = lines.filter(|line| line.chars().count() > 100).count();
    assert!(count <= MOST_WIDE_LINES, "{count} lines: {told:#?}");
    let comments = all.iter().flat_map(|(path, text)| text.lines().map(move |line| (path, line)));
    let is_prose = |line: &str| line.starts_with("///") && !line.contains('|');
    for (path, line) in comments.filter(|(_, line)| is_prose(line.trim_start())) {
        let is_code = line.contains("assert") || line.contains("{ field");
        assert!(line.chars().count() <= 100 || is_code, "{}: {line}", path.display());
    }
}
