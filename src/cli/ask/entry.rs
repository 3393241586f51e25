//! A line of a block: one answer, its usual value, how it is read and what it says in the job.

use super::answer::{Board, Plate, Typed, board, chosen, count, length, plate};
use super::{Asking, help};
use crate::job::{Answer, Question, Usual, Wanted, question, text_of};
use crate::profile::{Material, embedded};
use crate::units::{Length, Tape, on_tape};

/// Words for what may be left out.
const NONE: [&str; 5] = ["none", "no", "nothing", "left out", "-"];
/// The most choices that are named behind a line.
const FEW: usize = 4;

/// A line of a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Entry {
    /// A question, as it stands.
    Key(&'static Question),
    /// A question that may not be left out here.
    Needed(&'static Question),
    /// Width and thickness of the board.
    Board,
    /// The plate at the foot, or none.
    Plate,
}

/// What stands behind a line.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    /// This.
    Set(String),
    /// Nothing, which it may.
    Left,
    /// Nothing, and nobody but who asks knows it.
    Wanted,
}

/// An answer to a line, read.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub answers: Vec<(&'static str, Answer)>,
    /// As it is read back.
    pub told: String,
}

impl Entry {
    /// The line of a question.
    pub(super) fn of(key: &str) -> Self {
        Self::Key(question(key).expect("every line of a block is a question"))
    }

    /// The line of a question that may not be left out here.
    pub(super) fn needed(key: &str) -> Self {
        Self::Needed(question(key).expect("every line of a block is a question"))
    }

    fn question(self) -> Option<&'static Question> {
        match self {
            Self::Key(asked) | Self::Needed(asked) => Some(asked),
            Self::Board | Self::Plate => None,
        }
    }

    pub(super) fn keys(self) -> Vec<&'static str> {
        match self {
            Self::Key(asked) | Self::Needed(asked) => vec![asked.key],
            Self::Board => vec!["board.width", "board.thickness"],
            Self::Plate => vec!["foot.tie_plate.width", "foot.tie_plate.height"],
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Key(asked) | Self::Needed(asked) => asked.asks,
            Self::Board => "Board",
            Self::Plate => "Plate let in at the foot",
        }
    }

    /// The key that it says more by.
    pub(super) fn says_by(self) -> &'static str {
        match self {
            Self::Key(asked) | Self::Needed(asked) => asked.key,
            Self::Board => "board",
            Self::Plate => "foot.tie_plate",
        }
    }

    /// How an answer to it is typed; nothing where any text is one.
    pub(super) fn typed(self) -> Option<&'static str> {
        match self.question().map(|asked| asked.wanted) {
            None | Some(Wanted::Length) => Some(help::LENGTH),
            Some(Wanted::Count) => Some(help::COUNT),
            Some(Wanted::Word(_) | Wanted::Profile(_)) => Some(help::WORD),
            Some(Wanted::Text) => None,
        }
    }

    /// What it is for, and which words there are.
    pub(super) fn means(self) -> String {
        let Some(asked) = self.question() else {
            return match self {
                Self::Board => "width x thickness as your tape says, or its name: 2x12",
                _ => "width along the stair x height, or none: then there is no notch",
            }
            .to_string();
        };
        let words: Vec<&str> = self.choices().iter().map(|(word, _)| *word).collect();
        match words.len() {
            0 => asked.means.to_string(),
            1..=FEW => format!("{}: {}", words.join(" or "), asked.means),
            _ => format!("{}; ? lists them", asked.means),
        }
    }

    /// The words that it may be; nothing where it is no word.
    pub(super) fn choices(self) -> Vec<(&'static str, String)> {
        self.question().map_or(Vec::new(), Question::choices)
    }

    /// What stands behind it before anything is typed.
    pub(super) fn value(self, asking: &Asking) -> Value {
        let stands = |key: &str| text_of(&asking.text, key);
        let sizes =
            |[one, other]: [&str; 2]| Some(format!("{} x {}", stands(one)?, stands(other)?));
        let set = match self {
            Self::Board => sizes(["board.width", "board.thickness"]),
            Self::Plate => sizes(["foot.tie_plate.width", "foot.tie_plate.height"]),
            Self::Key(asked) | Self::Needed(asked) => asking.usual(asked.key),
        };
        match (set, self) {
            (Some(set), _) => Value::Set(set),
            (None, Self::Needed(_)) => Value::Wanted,
            (None, Self::Key(asked)) if asked.usual == Usual::Measured => Value::Wanted,
            (None, _) => Value::Left,
        }
    }

    /// What is typed for it.
    pub(super) fn read(self, typed: &str, asking: &Asking) -> Result<Read, String> {
        let tape = asking.tape;
        let asked = match self {
            Self::Board => {
                let Board { width, thickness, told } = board(typed, tape)?;
                let answers = vec![("board.width", width), ("board.thickness", thickness)];
                return Ok(Read { answers, told });
            }
            Self::Plate => {
                let Plate { width, height, told } = plate(typed, tape)?;
                let answers =
                    vec![("foot.tie_plate.width", width), ("foot.tie_plate.height", height)];
                return Ok(Read { answers, told });
            }
            Self::Key(asked) | Self::Needed(asked) => asked,
        };
        let may_be_left = asked.usual == Usual::Left && matches!(self, Self::Key(_));
        if may_be_left && NONE.contains(&typed.to_lowercase().as_str()) {
            return Ok(self.left());
        }
        // As the material's file says, and not measured.
        if asked.key == "cut.thickness" && asking.usual(asked.key).as_deref() == Some(typed) {
            let stands = text_of(&asking.text, asked.key).map_or(Answer::Left, Answer::Text);
            return Ok(Read { answers: vec![(asked.key, stands)], told: typed.to_string() });
        }
        let Typed { answer, told, .. } = match asked.wanted {
            Wanted::Length => length(typed, Some(tape))?,
            Wanted::Count => count(typed)?,
            Wanted::Word(_) | Wanted::Profile(_) => chosen(typed, &asked.choices())?,
            Wanted::Text => {
                let typed = typed.to_string();
                Typed { answer: Answer::Text(typed.clone()), told: typed, by: None }
            }
        };
        let mut answers = vec![(asked.key, answer)];
        if asked.key == "cut.material" && asking.usual(asked.key).as_deref() != Some(typed) {
            // What was measured is another sheet's.
            answers.push(("cut.thickness", Answer::Left));
        }
        Ok(Read { answers, told })
    }

    /// What stands behind it, read back; words as they are.
    pub(super) fn told(self, stands: &str, tape: Tape) -> String {
        let is_length = self.question().is_some_and(|asked| asked.wanted == Wanted::Length);
        let read = is_length.then(|| length(stands, Some(tape)).ok()).flatten();
        read.map_or(stands.to_string(), |read| read.told)
    }

    /// Left out.
    pub(super) fn left(self) -> Read {
        let answers = self.keys().into_iter().map(|key| (key, Answer::Left)).collect();
        Read { answers, told: "none".to_string() }
    }
}

/// The thickness that a material's file says, as a tape shows it.
pub(super) fn thickness_of(material: &str) -> Option<String> {
    let source = embedded(Some("material"), material)?;
    let thickness: Length = Material::read(material, &source.file, &source.text).ok()?.thickness;
    Some(on_tape(thickness))
}
