//! The steps in their order, one prompt each where what is usual is taken.

use super::answer::{Typed, chosen};
use super::entry::Entry;
#[cfg(test)]
use super::help::KEEP;
use super::help::WHAT_ELSE;
use super::lines::say;
use super::{Asked, Asking, Way, help, worked};
use crate::cli::told::finding;
use crate::diagnostics::{Error, Finding, codes};
use crate::job::{Answer, PARTS, Part, question, text_of, with_key, with_part};
use crate::pipeline::workup::Workup;

type Ask = fn(&mut Asking) -> Result<Way, Error>;

/// Every step: what it is called, and how it is asked for.
pub(super) const STEPS: [(&str, Ask); 9] = [
    ("Rise", |asking| asking.plain("rise.total")),
    ("Finishes", |asking| asking.block(&keys(&FINISHES))),
    ("Treads", |asking| asking.block(&keys(&TREADS))),
    ("Head", |asking| asking.block(&keys(&HEAD))),
    ("Board and foot", |asking| asking.block(&board_and_foot())),
    ("Risers", Asking::risers),
    ("Cut", Asking::cut),
    ("Name, beam check", Asking::name),
    ("What else", Asking::whole),
];

/// The lines of each step; none where a question stands alone.
fn lines_of_step(step: usize) -> Vec<Entry> {
    match step {
        1 => keys(&FINISHES),
        2 => keys(&TREADS),
        3 => keys(&HEAD),
        4 => board_and_foot(),
        6 => keys(&CUT),
        7 => keys(&NAME),
        _ => Vec::new(),
    }
}

/// Where a question was answered, `step 3, line 1`; nothing where it is not asked here.
pub(super) fn place_of(key: &str) -> Option<String> {
    let alone = [("rise.total", 0), ("rules", 5), ("rise.risers", 5), ("cut.makes", 6), (LONG, 6)];
    let of_one = |step: usize| {
        let lines = lines_of_step(step);
        let line = lines.iter().position(|entry| entry.keys().contains(&key))?;
        Some(format!("step {}, line {}", step + 1, line + 1))
    };
    let is_alone = alone.iter().find(|(own, _)| *own == key);
    let of_part = |part: &Part| {
        let line = lines_of(part).iter().position(|entry| entry.keys().contains(&key))?;
        Some(format!("step {}, {}, line {}", STEPS.len(), part.word, line + 1))
    };
    is_alone
        .map(|(_, step)| format!("step {}", step + 1))
        .or_else(|| (0..STEPS.len()).find_map(of_one))
        .or_else(|| PARTS.iter().find_map(of_part))
}

/// Every key that `?` says more of.
#[cfg(test)]
pub(super) fn asked() -> Vec<&'static str> {
    let lines = (0..STEPS.len()).flat_map(lines_of_step);
    let lines = lines.chain(PARTS.iter().flat_map(lines_of));
    let alone = ["rise.total", "rules", "rise.risers", CUT_BEGINS, LONG, WHAT_ELSE, KEEP];
    lines.map(Entry::says_by).chain(alone).collect()
}

const FINISHES: [&str; 2] = ["rise.finish_to_come", "head.finish"];
const HEAD: [&str; 2] = ["head.meets", "head.rim_depth"];
const TREADS: [&str; 4] = ["tread.cut", "tread.thickness", "tread.overhang", "tread.riser_board"];
const CUT_BEGINS: &str = "cut.makes";
const LONG: &str = "cut.long";
const CUT: [&str; 4] = ["cut.machine", "cut.material", "cut.thickness", "cut.quantity"];
const NAME: [&str; 6] =
    ["title", "stair.width", "stair.most_spacing", "board.species", "board.grade", "load.live"];
/// What is cut where nothing is, and what else where nothing is.
const NOTHING: &str = "nothing";

/// The board, the plate, and what its notch is cut bigger.
fn board_and_foot() -> Vec<Entry> {
    vec![Entry::Board, Entry::Plate, Entry::of("foot.tie_plate.clearance")]
}

fn keys(keys: &[&str]) -> Vec<Entry> {
    keys.iter().map(|key| Entry::of(key)).collect()
}

impl Asking {
    /// What is cut, then on what.
    fn cut(&mut self) -> Result<Way, Error> {
        let mut entered = None;
        let before = self.text.clone();
        loop {
            if self.makes()? == Way::Back {
                return Ok(self.back_to(entered));
            }
            let is_cut = text_of(&self.text, CUT_BEGINS).is_some();
            if is_cut && (self.block(&keys(&CUT))? == Way::Back || self.long()? == Way::Back) {
                continue;
            }
            if self.may_stay()? {
                return Ok(Way::On);
            }
            entered = Some(before.clone());
        }
    }

    fn makes(&mut self) -> Result<Way, Error> {
        let asked = question(CUT_BEGINS).expect("it is one of the list");
        let mut choices = asked.choices();
        choices.push((NOTHING, "it is laid out by hand".to_string()));
        let usual = text_of(&self.text, CUT_BEGINS).unwrap_or(NOTHING.to_string());
        let means = "the stringers, or a pattern that they are marked or cut by";
        let usual = Some(usual);
        let (key, asks, how) = (CUT_BEGINS, asked.asks, help::WORD);
        let of = Asked { key, asks, means, list: &choices, more: &[], how, usual };
        self.asked(&of, |asking, typed| {
            let Typed { answer, told, .. } = chosen(typed, &choices)?;
            let before = text_of(&asking.text, CUT_BEGINS).map_or(Answer::Left, Answer::Text);
            if answer == before {
                return Ok(told);
            }
            // Another thing lies on the machine then: what was said of it goes.
            let mut all = not_cut();
            if answer != Answer::Text(NOTHING.into()) {
                let pattern = answer == Answer::Text("pattern".into());
                let material = if pattern { "hardboard-6" } else { asking.usual_stock() };
                let machine = question("cut.machine").and_then(|of| of.usual_by(asking.tape));
                all.retain(|(key, _)| *key != CUT_BEGINS);
                all.push((CUT_BEGINS, answer));
                all.push(("cut.machine", Answer::Text(machine.unwrap_or_default().to_string())));
                all.push(("cut.material", Answer::Text(material.to_string())));
            }
            asking.take(&all)?;
            Ok(told)
        })
    }

    /// A part that is longer than the machine, or what lies on it, takes: which of the ways that
    /// this machine and this material have it is made by.
    fn long(&mut self) -> Result<Way, Error> {
        let stood = text_of(&self.text, LONG);
        let whole = with_key(&self.text, LONG, &Answer::Left, "");
        self.text = whole.expect("a job that was asked for can be read");
        // What else is wrong with it is told behind this.
        let Ok(Workup { findings, .. }) = worked(&self.text) else { return Ok(Way::On) };
        let too_long: Vec<&Finding> = findings.iter().filter(|of| is_too_long(of)).collect();
        if too_long.is_empty() {
            return Ok(Way::On);
        }
        say(&too_long.iter().map(|of| finding(of)).collect::<String>());
        let asked = question(LONG).expect("it is one of the list");
        let mut choices = asked.choices();
        choices.retain(|(word, _)| is_a_way(&self.text, word, &findings));
        let usual = stood.filter(|stood| choices.iter().any(|(word, _)| word == stood));
        choices.push((NOTHING, "no program: it is laid out and sawn by hand".to_string()));
        let means = "by this machine and on this material these ways there are; back goes to \
            others, or to a pattern";
        let (key, asks, how) = (LONG, asked.asks, help::WORD);
        let of = Asked { key, asks, means, list: &choices, more: &[], how, usual };
        self.asked(&of, |asking, typed| {
            let Typed { answer, told, .. } = chosen(typed, &choices)?;
            let is_cut = answer != Answer::Text(NOTHING.into());
            asking.take(&if is_cut { vec![(LONG, answer)] } else { not_cut() })?;
            Ok(told)
        })
    }

    /// What stringers are cut from by the board that was measured (common practice, no source).
    fn usual_stock(&self) -> &'static str {
        match text_of(&self.text, "board.width").as_deref() {
            Some("9 1/4 in") => "board-2x10",
            Some("11 1/4 in") => "board-2x12",
            _ => "plywood-18",
        }
    }

    /// What lies on the machine until it is said.
    pub(super) fn usual_material(&self) -> &'static str {
        match text_of(&self.text, CUT_BEGINS).as_deref() {
            Some("pattern") => "hardboard-6",
            _ => self.usual_stock(),
        }
    }

    fn name(&mut self) -> Result<Way, Error> {
        let mut entered = None;
        let before = self.text.clone();
        loop {
            if self.block(&keys(&NAME))? == Way::Back {
                return Ok(self.back_to(entered));
            }
            if self.may_stay()? {
                return Ok(Way::On);
            }
            entered = Some(before.clone());
        }
    }

    /// Leaves a step backwards; what was refused in it is as it was before.
    fn back_to(&mut self, before: Option<String>) -> Way {
        if let Some(before) = before {
            self.text = before;
        }
        Way::Back
    }

    /// What stands beside the stringers, and the figures that each of it needs.
    fn whole(&mut self) -> Result<Way, Error> {
        let before = self.text.clone();
        loop {
            let mut chosen = Vec::new();
            if self.beside(&mut chosen)? == Way::Back {
                return Ok(Way::Back);
            }
            if self.figures(&chosen)? == Way::On {
                return Ok(Way::On);
            }
            // Of what was chosen nothing is there until it is chosen again.
            self.text.clone_from(&before);
        }
    }

    /// The figures of each part, one after the other.
    fn figures(&mut self, chosen: &[&'static Part]) -> Result<Way, Error> {
        let mut at = 0;
        while let Some(part) = chosen.get(at) {
            at = match self.block(&lines_of(part))? {
                Way::Back if at == 0 => return Ok(Way::Back),
                Way::Back => at - 1,
                Way::On if self.may_stay()? => at + 1,
                Way::On => at,
            };
        }
        Ok(Way::On)
    }

    /// Which parts there are to be; those that are not are taken out.
    fn beside(&mut self, chosen: &mut Vec<&'static Part>) -> Result<Way, Error> {
        let asked_for = || PARTS.iter().filter(|part| !lines_of(part).is_empty());
        let mut choices: Vec<(&str, String)> =
            asked_for().map(|part| (part.word, format!("{}: {}", part.asks, part.means))).collect();
        choices.push((NOTHING, "this is all".to_string()));
        let stands = asked_for().filter(|part| text_of_any(&self.text, part));
        let stands: Vec<&str> = stands.map(|part| part.word).collect();
        let usual = if stands.is_empty() { NOTHING.to_string() } else { stands.join(", ") };
        let of = Asked {
            key: WHAT_ELSE,
            how: "One word of the list or several, by name or number: treads, rail.",
            asks: "What else",
            means: "what is to be made or checked beside the stringers, one or several: treads, \
                rail",
            list: &choices,
            more: &[],
            usual: Some(usual),
        };
        self.asked(&of, |asking, typed| {
            let words = words(typed, &choices)?;
            if words.len() > 1 && words.contains(&NOTHING) {
                return Err("nothing, or something: not both".to_string());
            }
            let text = asked_for().try_fold(asking.text.clone(), |text, part| {
                if words.contains(&part.word) {
                    return Some(text);
                }
                with_part(&text, part, false, asking.tape)
            });
            asking.text = text.ok_or("this cannot be put into the job")?;
            *chosen = asked_for().filter(|part| words.contains(&part.word)).collect();
            Ok(words.join(", "))
        })
    }
}

/// A job of which nothing is cut by a machine.
fn not_cut() -> Vec<(&'static str, Answer)> {
    CUT.iter().chain([&CUT_BEGINS, &LONG]).map(|key| (*key, Answer::Left)).collect()
}

/// Whether a part is refused because the machine or the stock is too small for it.
fn is_too_long(of: &Finding) -> bool {
    of.refuses() && (of.is::<codes::BeyondTravel>() || of.is::<codes::BeyondStock>())
}

/// Whether a job can be made with this word behind `cut.long`: nothing refuses it that did not
/// before, and it is not too long.
fn is_a_way(text: &str, word: &str, before: &[Finding]) -> bool {
    let with = with_key(text, LONG, &Answer::Text(word.to_string()), "");
    let Some(Ok(workup)) = with.map(|text| worked(&text)) else { return false };
    let was = |of: &Finding| !is_too_long(of) && before.iter().any(|was| was.code == of.code);
    workup.findings.iter().filter(|of| of.refuses()).all(was)
}

/// Whether a part stands in a text.
fn text_of_any(text: &str, part: &Part) -> bool {
    lines_of(part)
        .iter()
        .flat_map(|entry| entry.keys())
        .any(|key| key.starts_with(part.table) && text_of(text, key).is_some())
}

/// Words of a list, parted by a comma, a space or `and`.
fn words<'c>(typed: &str, choices: &[(&'c str, String)]) -> Result<Vec<&'c str>, String> {
    let parts = typed.split([',', ';', ' ']).filter(|part| !part.is_empty() && *part != "and");
    let mut words = Vec::new();
    for part in parts {
        let Answer::Text(word) = chosen(part, choices)?.answer else { continue };
        let known = choices.iter().map(|(known, _)| *known).find(|known| *known == word);
        words.extend(known.filter(|known| !words.contains(known)));
    }
    if words.is_empty() { chosen(typed, choices).map(|_| words) } else { Ok(words) }
}

/// What is asked of a part; nothing of what is typed into the file.
fn lines_of(part: &Part) -> Vec<Entry> {
    match part.table {
        "steps" => {
            let own = keys(&["steps.past_sides", "steps.back"]);
            std::iter::once(Entry::needed("stair.width")).chain(own).collect()
        }
        "skirts" => keys(&[
            "skirts.left",
            "skirts.right",
            "skirts.thickness",
            "skirts.width",
            "skirts.at_risers",
        ]),
        "rail" => {
            keys(&["rail.height", "rail.post", "rail.baluster", "rail.most_gap", "rail.most_apart"])
        }
        "opening" => keys(&["opening.length", "opening.depth", "opening.from_head"]),
        _ => Vec::new(),
    }
}
