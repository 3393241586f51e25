//! Several answers at once, a numbered line each: shown with what is usual, taken by Enter alone,
//! changed by the line's number.

use super::entry::{Entry, Read, Value};
use super::lines::say;
use super::{Asking, Line, Way, help, listed};
use crate::cli::told::hung;
use crate::diagnostics::Error;
use crate::job::Answer;

/// What is looked at together: a beam of no wood, and wood without a load, are not.
const BEAM: [&str; 3] = ["board.species", "board.grade", "load.live"];

/// A plate, and what its notch is cut bigger.
const PLATE: &str = "foot.tie_plate.width";
const CLEARANCE: &str = "foot.tie_plate.clearance";

/// The lines of a step, and what was typed for them.
struct Block<'e> {
    entries: &'e [Entry],
    typed: Vec<Option<Read>>,
}

impl Asking {
    /// Asks for all lines of a block, until Enter takes them as they stand.
    pub(super) fn block(&mut self, entries: &[Entry]) -> Result<Way, Error> {
        let mut block = Block { entries, typed: vec![None; entries.len()] };
        say(&block.shown(self, true));
        loop {
            let typed = match self.line(&block.prompt(self))? {
                Line::Back => return Ok(Way::Back),
                Line::Typed(typed) => typed,
            };
            if let Some(which) = typed.strip_prefix('?') {
                say(&block.explained(which));
                continue;
            }
            let why = match typed.as_str() {
                "" => match block.entered(self) {
                    Ok(()) => return Ok(Way::On),
                    Err(why) => why,
                },
                typed => match block.changed(typed, self) {
                    Ok(()) => {
                        say(&block.shown(self, false));
                        continue;
                    }
                    Err(why) => why,
                },
            };
            self.refused(&typed, &why)?;
        }
    }
}

impl Block<'_> {
    /// What a line stands at.
    fn value(&self, i: usize, asking: &Asking) -> Value {
        match &self.typed[i] {
            Some(read) if read.answers.iter().all(|(_, answer)| *answer == Answer::Left) => {
                Value::Left
            }
            Some(read) => Value::Set(read.told.clone()),
            None => self.entries[i].value(asking),
        }
    }

    /// The word that a key stands at.
    fn word(&self, key: &str, asking: &Asking) -> Option<String> {
        let at = self.entries.iter().position(|entry| entry.keys() == [key])?;
        match &self.typed[at] {
            Some(read) => read.answers.iter().find_map(|(_, answer)| match answer {
                Answer::Text(text) => Some(text.clone()),
                _ => None,
            }),
            None => asking.usual(key),
        }
    }

    /// Whether a line still has to be answered: also what hangs on what others say.
    fn is_wanted(&self, i: usize, asking: &Asking) -> bool {
        let sides = || ["skirts.left", "skirts.right"].map(|key| self.word(key, asking));
        match (self.value(i, asking), self.entries[i].keys()[0]) {
            (Value::Wanted, _) => true,
            (Value::Left, "skirts.left" | "skirts.right") => sides().iter().all(Option::is_none),
            (Value::Left, "skirts.width") => sides().contains(&Some("wall".to_string())),
            (Value::Left, "board.species" | "board.grade" | "load.live") => {
                self.stand_any(&BEAM, asking)
            }
            (Value::Left, "stair.most_spacing") => self.stand_any(&BEAM, asking),
            (Value::Left, "stair.width") => {
                self.stand_any(&BEAM, asking) || self.stand_any(&["stair.most_spacing"], asking)
            }
            _ => false,
        }
    }

    /// Whether a line says nothing as the others stand: of a notch that is not there.
    fn is_idle(&self, i: usize, asking: &Asking) -> bool {
        let plate = || self.entries.iter().position(|entry| *entry == Entry::Plate);
        self.entries[i].keys() == [CLEARANCE]
            && plate().is_none_or(|at| self.value(at, asking) == Value::Left)
    }

    /// Whether any of these lines of the block says something.
    fn stand_any(&self, keys: &[&str], asking: &Asking) -> bool {
        keys.iter().any(|key| self.word(key, asking).is_some())
    }

    fn first_wanted(&self, asking: &Asking) -> Option<usize> {
        (0..self.entries.len()).find(|i| self.is_wanted(*i, asking))
    }

    /// What Enter alone does, or which line comes first.
    fn prompt(&self, asking: &Asking) -> String {
        match self.first_wanted(asking) {
            None => "  Enter takes these; 2 = ... changes line 2".to_string(),
            Some(i) => format!("  {} {}", i + 1, self.entries[i].name()),
        }
    }

    /// The lines: at first with what each is for, then as they were understood.
    fn shown(&self, asking: &Asking, at_first: bool) -> String {
        let wide = self.entries.iter().map(|entry| entry.name().len()).max().unwrap_or(0);
        let values: Vec<String> = (0..self.entries.len())
            .map(|i| match self.value(i, asking) {
                _ if self.is_wanted(i, asking) => "wanted".to_string(),
                _ if self.is_idle(i, asking) => "none".to_string(),
                Value::Set(value) if at_first || self.typed[i].is_some() => value,
                Value::Set(value) => self.entries[i].told(&value, asking.tape),
                Value::Left | Value::Wanted => "none".to_string(),
            })
            .collect();
        let wide_value = values.iter().map(|value| value.chars().count()).max().unwrap_or(0);
        let line = |(i, (entry, value)): (usize, (&Entry, &String))| {
            let first = format!("  {}  {:<wide$}  ", i + 1, entry.name());
            match at_first {
                true => hung(&entry.means(), &format!("{first}{value:<wide_value$}  ")),
                false => {
                    let mark = if self.typed[i].is_some() { "= " } else { "  " };
                    hung(value, &format!("  {first}{mark}"))
                }
            }
        };
        self.entries.iter().zip(&values).enumerate().map(line).collect()
    }

    /// What is measured, of one line or of all, the words to choose from, and how answers are
    /// typed.
    fn explained(&self, which: &str) -> String {
        let only = self.named(which.trim()).ok();
        let is_told = |i: &usize| only.is_none_or(|only| only == *i);
        let told = (0..self.entries.len()).filter(is_told).map(|i| {
            let (entry, number) = (self.entries[i], i + 1);
            let says = help::help(entry.says_by()).unwrap_or_default();
            let head = hung(&format!("{}: {says}", entry.name()), &format!("  {number}  "));
            head + &listed(&entry.choices())
        });
        let told: String = told.collect();
        let how = self.entries.iter().filter_map(|entry| entry.typed());
        let mut ways: Vec<&str> = Vec::new();
        for way in how.chain([help::LINES, help::BACK]) {
            if !ways.contains(&way) {
                ways.push(way);
            }
        }
        told + &hung(&ways.join(" "), "    ")
    }

    /// A line by its number, or by as much of its name as no other begins with.
    fn named(&self, label: &str) -> Result<usize, String> {
        let small = label.to_lowercase();
        let by_number = small.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
        let begins = |i: &usize| {
            !small.is_empty() && self.entries[*i].name().to_lowercase().starts_with(&small)
        };
        let named: Vec<usize> = (0..self.entries.len()).filter(begins).collect();
        match (by_number, &named[..]) {
            (Some(at), _) if at < self.entries.len() => Ok(at),
            (None, [only]) => Ok(*only),
            _ => Err(format!(
                "there is no line {label}; they have the numbers 1 to {}",
                self.entries.len()
            )),
        }
    }

    /// Takes what was typed for one line or several, all of it or nothing.
    fn changed(&mut self, typed: &str, asking: &mut Asking) -> Result<(), String> {
        let mut all = self.typed.clone();
        let changes = changes(typed);
        let mut named = String::new();
        for (label, value) in &changes {
            let at = match (*label, self.first_wanted(asking)) {
                (Some(label), _) => self.named(label)?,
                (None, Some(wanted)) => wanted,
                (None, None) => {
                    return Err(format!(
                        "which line is that for? Its number goes first: 2 = {value}"
                    ));
                }
            };
            let entry = self.entries[at];
            named = format!("{} {}: ", at + 1, entry.name());
            let read = entry.read(value, asking);
            all[at] = Some(read.map_err(|why| format!("{named}{why}"))?);
        }
        let before = std::mem::replace(&mut self.typed, all);
        if self.first_wanted(asking).is_some() {
            return Ok(());
        }
        let taken = self.taken(asking);
        if taken.is_err() {
            self.typed = before;
        }
        // Of several it is not known which the job cannot be read with.
        let named = if changes.len() == 1 { named } else { String::new() };
        taken.map_err(|why| format!("{named}{why}"))
    }

    /// What Enter alone comes to.
    fn entered(&self, asking: &mut Asking) -> Result<(), String> {
        match self.first_wanted(asking) {
            None => self.taken(asking),
            Some(i) => {
                let name = self.entries[i].name();
                Err(format!("{} {name}: nothing is usual here; type what you have", i + 1))
            }
        }
    }

    /// Puts all lines into the job.
    fn taken(&self, asking: &mut Asking) -> Result<(), String> {
        let typed: Vec<&'static str> = self
            .typed
            .iter()
            .flatten()
            .flat_map(|read| read.answers.iter().map(|of| of.0))
            .collect();
        let mut answers = Vec::new();
        for (entry, own) in self.entries.iter().zip(&self.typed) {
            let read = match (own, entry.value(asking)) {
                (Some(read), _) => read.clone(),
                (None, Value::Set(value)) => entry.read(&value, asking)?,
                (None, Value::Left | Value::Wanted) => entry.left(),
            };
            // With another material goes what was measured of the one before.
            let stays = |of: &(&'static str, Answer)| own.is_some() || !typed.contains(&of.0);
            answers.extend(read.answers.into_iter().filter(stays));
        }
        // A notch that is not there has no clearance.
        if answers.contains(&(PLATE, Answer::Left)) {
            let clearance = answers.iter_mut().filter(|(key, _)| *key == CLEARANCE);
            clearance.for_each(|(_, answer)| *answer = Answer::Left);
        }
        asking.take(&answers)
    }
}

/// What a line changes: each behind the number or name of a line, parted by `;`. A comma parts too
/// where another number with its `=` follows, for no length has a comma.
fn changes(typed: &str) -> Vec<(Option<&str>, &str)> {
    let mut parts = Vec::new();
    for part in typed.split(';') {
        let mut rest = part;
        let mut from = 0;
        while let Some(comma) = rest[from..].find(',').map(|at| at + from) {
            let follows = rest[comma + 1..].split([',', ';']).next().unwrap_or_default();
            from = comma + 1;
            if follows.contains('=') {
                parts.push(&rest[..comma]);
                (rest, from) = (&rest[comma + 1..], 0);
            }
        }
        parts.push(rest);
    }
    parts.into_iter().filter(|part| !part.trim().is_empty()).map(change).collect()
}

fn change(part: &str) -> (Option<&str>, &str) {
    match part.split_once('=') {
        Some((label, value)) => (Some(label.trim()), value.trim()),
        None => (None, part.trim()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_lines_are_changed_at_once_and_a_decimal_comma_parts_nothing() {
        let one = |label, value| (Some(label), value);
        assert_eq!(changes("2 = 1 1/4 in"), [one("2", "1 1/4 in")]);
        assert_eq!(changes("2=30; 3 = 25 mm;"), [one("2", "30"), one("3", "25 mm")]);
        assert_eq!(
            changes("2 = 1 in, 3 = 3/4 in, 4=0"),
            [one("2", "1 in"), one("3", "3/4 in"), one("4", "0")]
        );
        assert_eq!(changes("2 = 30,5 mm"), [one("2", "30,5 mm")]);
        assert_eq!(changes("2 = 30,5, 3 = 1,5"), [one("2", "30,5"), one("3", "1,5")]);
        assert_eq!(changes("1 = Smith, rear"), [one("1", "Smith, rear")]);
        assert_eq!(changes("96 in"), [(None, "96 in")]);
        assert_eq!(changes(" = 3"), [one("", "3")]);
        assert_eq!(changes(" ;, "), [(None, ",")]);
    }
}
