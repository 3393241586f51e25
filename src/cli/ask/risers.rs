//! The riser count: the table of those that somebody would build, what stands against each, and
//! which of them is taken. What refuses is not.

use super::answer::{Typed, chosen, count, sentence};
use super::lines::say;
use super::{Asked, Asking, Way, help, worked};
use crate::cli::table;
use crate::cli::told::{finding, hung};
use crate::diagnostics::{Code, Error, Finding, Severity};
use crate::job::{Answer, question, text_of, with_key};
use crate::pipeline::workup::Workup;
use crate::units::on_tape;

/// A count, and what is found with it.
struct Counted {
    risers: usize,
    findings: Vec<Finding>,
}

impl Counted {
    fn refused(&self) -> Vec<&Finding> {
        self.findings.iter().filter(|of| of.refuses()).collect()
    }

    fn warned(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|of| of.severity == Severity::Warning && of.waived.is_none())
    }
}

impl Asking {
    /// By whose rules, where no set is usual; then the count.
    pub(super) fn risers(&mut self) -> Result<Way, Error> {
        let has_none = text_of(&self.text, "rules").is_none();
        if has_none && self.plain("rules")? == Way::Back {
            return Ok(Way::Back);
        }
        loop {
            let Some((taken, counts)) = self.count()? else { return Ok(Way::Back) };
            // By other rules the counts are others.
            if taken && self.keeps(&counts)? {
                return Ok(Way::On);
            }
        }
    }

    /// The table, and whether a count of it was taken, or another rule set; none for a step back.
    fn count(&mut self) -> Result<Option<(bool, Vec<Counted>)>, Error> {
        let unset = with_key(&self.text, "rise.risers", &Answer::Left, "");
        let unset = unset.expect("a job that was asked for can be read");
        let workup = match worked(&unset) {
            Ok(workup) => workup,
            // What was answered before means nothing together.
            Err(error) => {
                self.refused("", &sentence(&error))?;
                return Ok(None);
            }
        };
        say(&table::counts(&workup));
        let counts = counted(&workup, &unset)?;
        let stands = text_of(&self.text, "rise.risers").and_then(|typed| typed.parse().ok());
        let is_free =
            |count: &usize| counts.iter().any(|of| of.risers == *count && of.refused().is_empty());
        let best = workup.flight.risers;
        say(&self.counts_told(&counts, best));
        let free = counts.iter().map(|of| of.risers).filter(is_free);
        let taken = stands.filter(is_free).or(free.min_by_key(|count| count.abs_diff(best)));
        let rules = text_of(&self.text, "rules").unwrap_or_default();
        let means = format!(
            "a count of the table, held against {rules}; ? lists the other rule sets, rules = ... \
            takes one"
        );
        let sets = question("rules").map_or(Vec::new(), |asked| asked.choices());
        let usual = Some(taken.unwrap_or(best).to_string());
        let (key, asks, how) = ("rise.risers", "Risers", help::COUNT);
        let of = Asked { key, asks, means: &means, list: &[], more: &sets, how, usual };
        let mut is_taken = false;
        let way = self.asked(&of, |asking, typed| {
            if let Some((_, set)) = typed.split_once('=').filter(|(key, _)| is_rules(key)) {
                let Typed { answer, told, .. } = chosen(set.trim(), &sets)?;
                asking.take(&[("rules", answer)])?;
                return Ok(told);
            }
            let Typed { answer, .. } = count(typed)?;
            let is_it = |of: &&Counted| answer == Answer::Count(of.risers as i64);
            let Some(of) = counts.iter().find(is_it) else {
                return Err("no count of the table".to_string());
            };
            let refused = of.refused();
            if !refused.is_empty() {
                let is_told = of.risers == best || !counts.iter().any(|of| of.refused().is_empty());
                let found = refused.iter().map(|of| finding(of));
                say(&found.filter(|_| !is_told).collect::<String>());
                return Err(asking.instead(&counts, &refused));
            }
            asking.take(&[("rise.risers", answer)])?;
            is_taken = true;
            let flight = worked(&asking.text).map_err(|error| sentence(&error))?.flight;
            let (rise, run) = (on_tape(flight.unit_rise), on_tape(flight.unit_run));
            Ok(format!("{} risers of {rise}, treads of {run}", flight.risers))
        })?;
        Ok((way == Way::On).then_some((is_taken, counts)))
    }

    /// Tells the warnings of the count that was taken. Whether they may stay is asked only where
    /// another count would not have them.
    fn keeps(&mut self, counts: &[Counted]) -> Result<bool, Error> {
        let taken = text_of(&self.text, "rise.risers");
        let of = counts.iter().find(|of| Some(of.risers.to_string()) == taken);
        let is_new = |of: &&Finding| !self.kept.contains(&of.code);
        let warned: Vec<&Finding> =
            of.into_iter().flat_map(Counted::warned).filter(is_new).collect();
        if warned.is_empty() {
            return Ok(true);
        }
        say(&warned.iter().map(|of| finding(of)).collect::<String>());
        let codes: Vec<Code> = warned.iter().map(|of| of.code).collect();
        let free = |of: &&Counted| {
            of.refused().is_empty()
                && codes.iter().any(|code| of.warned().all(|of| of.code != *code))
        };
        let others: Vec<String> =
            counts.iter().filter(free).map(|of| of.risers.to_string()).collect();
        if others.is_empty() {
            say(&hung("so it is with every count that is not refused: it stays", "    = "));
            self.kept.extend(codes);
            return Ok(true);
        }
        let words = [("yes", "it stays"), ("no", "choose again")];
        let words = words.map(|(word, says)| (word, says.to_string()));
        let means = format!("of the others {} would be without it", others.join(" or "));
        let usual = Some("yes".to_string());
        let (key, asks, how) = (help::KEEP, "Keep it", help::WORD);
        let of = Asked { key, asks, means: &means, list: &words, more: &[], how, usual };
        let mut keeps = false;
        let way = self.asked(&of, |_, typed| {
            let Typed { answer, told, .. } = chosen(typed, &words)?;
            keeps = answer == Answer::Text("yes".into());
            Ok(told)
        })?;
        if way == Way::On && keeps {
            self.kept.extend(codes);
            return Ok(true);
        }
        Ok(false)
    }
}

fn is_rules(key: &str) -> bool {
    matches!(key.trim().to_lowercase().as_str(), "rules" | "rule set")
}

/// What is found with each count of the table.
fn counted(workup: &Workup, text: &str) -> Result<Vec<Counted>, Error> {
    let of = |risers: usize| {
        let answer = Answer::Count(risers as i64);
        let set = with_key(text, "rise.risers", &answer, "").unwrap_or_default();
        Ok(Counted { risers, findings: worked(&set)?.findings })
    };
    table::counted(workup).iter().map(|row| of(row.risers)).collect()
}

impl Asking {
    /// Which counts are refused; of the one that the rule set would have, by what.
    fn counts_told(&self, counts: &[Counted], best: usize) -> String {
        let refused = counts.iter().filter(|of| !of.refused().is_empty());
        let names: Vec<String> = refused.map(|of| of.risers.to_string()).collect();
        let best = counts.iter().find(|of| of.risers == best).map_or(Vec::new(), Counted::refused);
        let found: String = best.iter().map(|of| finding(of)).collect();
        match (names.is_empty(), best.is_empty()) {
            (true, _) => String::new(),
            (false, true) => hung(&format!("Refused: {} risers", names.join(", ")), "  "),
            (false, false) => found + &hung(&self.instead(counts, &best), "    NO: "),
        }
    }

    /// What to take or to change instead of a count that is refused.
    fn instead(&self, counts: &[Counted], refused: &[&Finding]) -> String {
        let others = counts.iter().filter(|of| of.refused().is_empty());
        let others: Vec<String> = others.map(|of| of.risers.to_string()).collect();
        let change = self.to_change(refused, "rise.risers", None);
        match others.is_empty() {
            true => format!("every count is refused, and what is refused cannot stay: {change}"),
            false => format!("it is refused; type {}, or {change}", others.join(" or ")),
        }
    }
}
