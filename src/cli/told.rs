//! Findings as text for a terminal: worst first, a sentence each, what is to be looked at on site
//! in a list of its own.

use textwrap::{Options, WordSplitter, fill};

use crate::diagnostics::visible::visible;
use crate::diagnostics::{Finding, Severity, SiteItem, told};

/// The columns of a terminal that nobody widened.
pub(super) const WIDTH: usize = 80;

/// Printed under every result.
pub(super) const CAUTION: &str = "\nThese limits are advice: local code and licensed practice \
    decide. Try the piece\nin place before you cut the others.\n";

/// All findings, and the caution under them.
pub(super) fn findings(findings: &[Finding]) -> String {
    let (found, _) = told(findings);
    let none = if found.is_empty() { "  Nothing found against it.\n" } else { "" };
    format!("\nFOUND\n{none}{}{CAUTION}", rows(findings))
}

/// The same without heading and caution.
pub(super) fn rows(findings: &[Finding]) -> String {
    let (found, on_site) = told(findings);
    found.into_iter().map(finding).collect::<String>() + &site_list(&on_site)
}

/// A finding: where and what, then its code and whose limit it is.
pub(super) fn finding(finding: &Finding) -> String {
    let mark = match (&finding.waived, finding.severity) {
        (Some(_), _) => "waived",
        (None, Severity::Refusal) => "REFUSED",
        (None, Severity::Warning) => "WARNING",
        (None, Severity::Advice) => "note",
    };
    let mut said = sentence(finding);
    if let Some(reason) = &finding.waived {
        said += &format!(" The reason given: {}.", visible(reason).trim_end_matches('.'));
    }
    let from = format!("({}; {})", finding.code, finding.source);
    let first = format!("  {mark:<9}");
    hung(&said, &first) + &hung(&visible(&from), &" ".repeat(first.len()))
}

/// Where, and its sentence.
fn sentence(finding: &Finding) -> String {
    let said = visible(&format!("{}: {}", finding.place, finding.sentence()));
    if said.ends_with(['.', '?', '!']) { said } else { said + "." }
}

/// What is to be looked at where the stair is built, with boxes to tick.
fn site_list(items: &[SiteItem]) -> String {
    if items.is_empty() {
        return String::new();
    }
    let by = shared_source(items);
    let head = match by.is_empty() {
        true => "CHECK ON SITE, which this job does not show".to_string(),
        false => format!("CHECK ON SITE, which this job does not show ({by})"),
    };
    let item = |item: &SiteItem| {
        let clause = item.source.strip_prefix(&by).unwrap_or(&item.source);
        let clause = clause.trim_start_matches([',', ';', ':', ' ']).trim_end();
        let clause = if clause.is_empty() { String::new() } else { format!(" [{clause}]") };
        hung(&visible(&format!("{}: {}{clause}", item.what, item.asks)), "  [ ] ")
    };
    format!("\n{}{}", hung(&head, ""), items.iter().map(item).collect::<String>())
}

/// The words that most sources begin with, of two or more: the work they are clauses of. What
/// stands in brackets is about one clause.
fn shared_source(items: &[SiteItem]) -> String {
    let beginnings = |item: &SiteItem| -> Vec<String> {
        let words: Vec<&str> =
            item.source.split(' ').take_while(|word| !word.starts_with('(')).collect();
        (3..words.len()).map(|count| words[..count].join(" ")).collect()
    };
    let shared = |by: &String| items.iter().filter(|item| item.source.starts_with(by)).count();
    let all = items.iter().flat_map(beginnings);
    let most = all.filter(|by| shared(by) > 1 && 2 * shared(by) > items.len());
    let longest = most.max_by_key(String::len).unwrap_or_default();
    // What comes before a clause is parted from it by a mark that is neither's.
    longest.trim_end_matches([',', ';', ':']).to_string()
}

/// Words after `first`, wrapped with the lines that follow hanging under where they begin.
pub(super) fn hung(words: &str, first: &str) -> String {
    let rest = " ".repeat(first.chars().count());
    // A code or a file's name is not broken at its hyphens.
    let options = Options::new(WIDTH)
        .word_splitter(WordSplitter::NoHyphenation)
        .initial_indent(first)
        .subsequent_indent(&rest);
    fill(words, options) + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::codes;
    use crate::units::Length;

    fn site(place: &str, source: &str) -> Finding {
        let shown = codes::Shown::NotInJob;
        codes::NotChecked { asks: "at least 80 in".to_string(), shown }.at(place).source(source)
    }

    #[test]
    fn the_worst_comes_first_and_what_is_looked_at_on_site_is_one_list() {
        let contact = codes::HeadNoContact { joint: "hanger board" }.at("head");
        let all = [
            site("headroom", "Some Building Code 2021 R1.2"),
            contact.clone().weighing(Severity::Advice),
            site("clear width", "Some Building Code 2021 R1.3 (check locally)"),
            contact.clone().weighing(Severity::Refusal),
            contact.weighing(Severity::Warning),
        ];
        let text = findings(&all);
        let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("{words} in {text}"));
        assert!(at("REFUSED") < at("WARNING") && at("WARNING") < at("  note"));
        assert!(at("  note") < at("CHECK ON SITE"));
        assert!(
            text.contains("(Some Building Code 2021)\n  [ ] headroom: at least 80 in [R1.2]\n")
        );
        assert!(text.contains("[R1.3 (check locally)]") && text.ends_with(CAUTION));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
    }

    #[test]
    fn a_source_ends_before_the_mark_that_parts_it_from_its_clause() {
        let text = findings(&[
            site("headroom", "Some Approved Paper 2013, 1.11"),
            site("clear width", "Some Approved Paper 2013, 1.15"),
        ]);
        let wanted = "(Some Approved Paper 2013)\n  [ ] headroom: at least 80 in [1.11]\n";
        assert!(text.contains(wanted), "{text}");
    }

    #[test]
    fn where_nothing_is_found_a_heading_says_of_what() {
        assert!(findings(&[]).starts_with("\nFOUND\n  Nothing found against it.\n"));
    }

    #[test]
    fn of_one_thing_to_look_at_the_whole_source_stands_behind_it() {
        let text =
            findings(&[site("handrail", "Some Building Code 2021 R1.8 (the count check locally)")]);
        assert!(text.contains("CHECK ON SITE, which this job does not show\n"), "{text}");
        let one_line: Vec<&str> = text.split_whitespace().collect();
        assert!(
            one_line.join(" ").contains("[Some Building Code 2021 R1.8 (the count check locally)]"),
            "{text}"
        );
    }

    #[test]
    fn a_long_sentence_hangs_under_its_beginning() {
        let found =
            codes::BoardNarrow { measured: Length::inches(11.0), limit: Length::inches(11.25) };
        let told = finding(&found.at("board 1"));
        let mut lines = told.lines();
        assert!(lines.next().is_some_and(|line| line.starts_with("  REFUSED  board 1: the board")));
        assert!(lines.all(|line| line.starts_with("           ") && line.len() <= WIDTH), "{told}");
    }
}
