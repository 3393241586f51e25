//! Rewrites Rust files so that each of many small mistakes waits behind a number: `a + b` becomes
//! `(match crate::mutant::number() { 17 => a - b, _ => a + b })`. One build then holds them all,
//! and the environment says which one is live.
//!
//! Usage: `mutation SKIP FOLDER...`: rewrites the files of the folders in place, leaves out the
//! numbers that the file SKIP lists (those that do not compile), and prints one line a mistake:
//! number, file, line, bytes of its arm in the rewritten file, what it does. Numbers are the same
//! on every run over the same sources.

mod mistakes;

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = env::args().skip(1);
    let skip = arguments.next().ok_or("usage: mutation SKIP FOLDER...")?;
    let skip: HashSet<usize> =
        fs::read_to_string(skip)?.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
    let mut next = 1;
    for folder in arguments {
        for file in sources(Path::new(&folder))? {
            let text = fs::read_to_string(&file)?;
            let found = mistakes::of(&text, next)?;
            next += found.iter().map(|spot| spot.others.len()).sum::<usize>();
            let rewritten = rewritten(&text, &found, &skip);
            tell(&file, &text, &rewritten, &found, &skip);
            fs::write(&file, rewritten)?;
        }
    }
    Ok(())
}

/// The sources of a folder, those of tests left out, sorted.
fn sources(folder: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)?.map(|e| e.map(|e| e.path())).collect::<Result<_, _>>()?;
    entries.sort();
    for path in entries {
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        if path.is_dir() {
            found.extend(sources(&path)?);
        } else if !stem.contains("test") && path.extension().is_some_and(|end| end == "rs") {
            found.push(path);
        }
    }
    Ok(found)
}

/// The text with every spot replaced; spots may lie in one another.
fn rewritten(text: &str, found: &[mistakes::Spot], skip: &HashSet<usize>) -> String {
    let mut order: Vec<&mistakes::Spot> = found.iter().collect();
    // An early return stands before whatever else begins there.
    order.sort_by_key(|spot| (spot.at.start, !spot.before, usize::MAX - spot.at.end));
    render(text, 0, text.len(), &order, skip)
}

fn render(text: &str, from: usize, to: usize, spots: &[&mistakes::Spot], skip: &HashSet<usize>) -> String {
    let (mut out, mut at, mut i) = (String::new(), from, 0);
    while i < spots.len() {
        let spot = spots[i];
        let inner = spots[i + 1..].iter().take_while(|other| other.at.start < spot.at.end).count();
        out += &text[at..spot.at.start];
        let own = render(text, spot.at.start, spot.at.end, &spots[i + 1..i + 1 + inner], skip);
        out += &choice(spot, &own, skip);
        at = spot.at.end;
        i += 1 + inner;
    }
    out + &text[at..to]
}

fn choice(spot: &mistakes::Spot, own: &str, skip: &HashSet<usize>) -> String {
    let live: Vec<_> = spot.others.iter().filter(|(number, _)| !skip.contains(number)).collect();
    if live.is_empty() {
        return own.to_string();
    }
    if spot.before {
        let ifs = live.iter().map(|(n, other)| format!("if crate::mutant::is({n}) {{ \
            /*{n}<*/{other}/*>{n}*/ }} "));
        return format!("{}{own}", ifs.collect::<String>());
    }
    let arms = live.iter().map(|(n, other)| format!("{n} => /*{n}<*/{other}/*>{n}*/, "));
    let numbers =
        format!("crate::mutant::number(&[{}])", live.iter().map(|(n, _)| n.to_string() + ",").collect::<String>());
    format!("(match {numbers} {{ {}_ => {own} }})", arms.collect::<String>())
}

/// One line a mistake that is in the rewritten file.
fn tell(file: &Path, text: &str, rewritten: &str, found: &[mistakes::Spot], skip: &HashSet<usize>) {
    for spot in found {
        let line = text[..spot.at.start].matches('\n').count() + 1;
        for (number, other) in spot.others.iter().filter(|(number, _)| !skip.contains(number)) {
            let from = rewritten.find(&format!("/*{number}<*/")).unwrap_or(0);
            let to = rewritten.find(&format!("/*>{number}*/")).unwrap_or(0);
            let was = if spot.before { &spot.place } else { &text[spot.at.clone()] };
            let flat = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            println!("{number}\t{}\t{line}\t{from}\t{to}\t{} => \
                {}", file.display(), flat(was), flat(other));
        }
    }
}
