//! The names of the files of a set, each once.

use crate::job::Hand;
use crate::pipeline::set::Set;
use crate::stair::StepWhat;

/// The finished part, for a shop.
pub const NOMINAL: &str = "nominal.dxf";
/// The tool's path.
pub const COMPENSATED: &str = "compensated.dxf";
/// The drawing of the part.
pub const DRAWING: &str = "drawing.svg";
/// The same to print.
pub const DRAWING_PRINT: &str = "drawing.pdf";
/// The joint at the head, drawn.
pub const HEAD_JOINT: &str = "head-joint.svg";
/// The same to print.
pub const HEAD_JOINT_PRINT: &str = "head-joint.pdf";
/// A stair of several flights, drawn as a whole.
pub const STAIR: &str = "stair.svg";
/// The same to print.
pub const STAIR_PRINT: &str = "stair.pdf";
/// The page for the bench.
pub const BENCH_PAGE: &str = "bench.html";
/// The same on paper.
pub const BENCH_PRINT: &str = "bench.pdf";
/// What boards to buy and how to saw them.
pub const BOARDS: &str = "boards.txt";
/// The same blank by blank, as a table.
pub const BOARDS_TABLE: &str = "boards.csv";
/// The stock file as it was when sheets were laid out on offcuts of it: `verify` takes it.
pub const CUT_FROM: &str = "cut-from.toml";
/// The list of an order's work, for a browser and on paper.
pub const WORK_LIST_PAGE: &str = "work-list.html";
/// The same on paper.
pub const WORK_LIST_PRINT: &str = "work-list.pdf";
/// A label for every piece, as a table.
pub const LABELS_TABLE: &str = "labels.csv";
/// The same on paper.
pub const LABELS_PRINT: &str = "labels.pdf";
/// The page of a test square.
pub const SQUARE_PRINT: &str = "square.pdf";
/// The report, which seals the set.
pub const REPORT: &str = "report.json";
/// The skirt, in an order.
pub const SKIRT: &str = "skirt.dxf";
/// The skirts of a job, drawn.
pub const SKIRTS: &str = "skirts.svg";
/// The same to print.
pub const SKIRTS_PRINT: &str = "skirts.pdf";
/// The order for people.
pub const ORDER_TEXT: &str = "order.txt";
/// The order as a table.
pub const ORDER_TABLE: &str = "order.csv";
/// The dimensioned drawing of an order.
pub const ORDER_DRAWING: &str = "order.pdf";
/// The digests that seal an order.
pub const DIGESTS: &str = "SHA256SUMS";

pub use crate::output::program_name as program;

/// The name of the frame of the programs that one machine runs: by the machine's number from 0, and
/// of how many.
pub fn frame(number: usize, of: usize, extension: &str) -> String {
    if of == 1 { format!("frame.{extension}") } else { format!("frame-{}.{extension}", number + 1) }
}

/// The skirt at a side.
pub fn skirt(side: Hand) -> &'static str {
    match side {
        Hand::Left => "skirt-left.dxf",
        Hand::Right => "skirt-right.dxf",
    }
}

/// A tread or a riser board, in an order.
pub fn step(what: StepWhat) -> String {
    format!("{}.dxf", what.key())
}

/// Whether a file is the outline of a skirt, whatever job of the set it is of.
pub fn is_skirt(name: &str) -> bool {
    Hand::BOTH.into_iter().any(|side| name.ends_with(skirt(side)))
}

/// The name of the picture of a sheet, by its number from 0.
pub fn sheet_picture(number: usize) -> String {
    format!("sheet-{}.svg", number + 1)
}

/// What the names of the drawings of each stair of several flights begin with: nothing where it is
/// all that the set is of, else a folder called by its title in plain letters.
pub fn stair_prefixes(set: &Set) -> Vec<String> {
    match &set.stairways[..] {
        [only] if only.whole.flights.len() == set.members.len() => vec![String::new()],
        all => free(all.iter().map(|of| of.whole.job.title.as_str())),
    }
}

/// What the names of each job's files begin with: nothing where there is one job, else a folder of
/// its own, called by its title in plain letters.
pub fn prefixes(set: &Set) -> Vec<String> {
    if set.members.len() == 1 {
        return vec![String::new()];
    }
    free(set.members.iter().map(|member| member.job().title.as_str()))
}

/// Titles in plain letters, each another one.
fn free<'a>(titles: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut prefixes: Vec<String> = Vec::new();
    for title in titles {
        let folder = free_of(&plain(title), |name| prefixes.contains(&format!("{name}/")));
        prefixes.push(folder + "/");
    }
    prefixes
}

/// A name, or where that is taken the name with the least number from 2 that is not.
pub fn free_of(name: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let numbered = (2..).map(|number| format!("{name}-{number}"));
    let mut names = std::iter::once(name.to_string()).chain(numbered);
    names.find(|name| !is_taken(name)).expect("numbers do not end")
}

/// Names that some systems keep for devices, with a number behind those of ports.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// A title in small letters, digits and single dashes; no system keeps such a name for a device.
fn plain(title: &str) -> String {
    let letter = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let letters: String = title.chars().map(letter).collect();
    let slug = letters.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
    let is_device = DEVICES.contains(&slug.trim_end_matches(|c: char| c.is_ascii_digit()));
    match (slug.is_empty(), is_device) {
        (true, _) => "job".to_string(),
        (_, true) => format!("{slug}-job"),
        _ => slug,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_of_jobs_are_safe_names_and_each_is_another() {
        let titles =
            ["Garden steps", "garden  Steps!", "../../etc", "", "***", "CON", "com3", "M\u{fc}hle"];
        let folders = free(titles.into_iter());
        assert_eq!(
            folders,
            [
                "garden-steps/",
                "garden-steps-2/",
                "etc/",
                "job/",
                "job-2/",
                "con-job/",
                "com3-job/",
                "m-hle/"
            ]
        );
    }
}
