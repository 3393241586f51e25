//! What was typed, read: an answer for the job, and the words to read it back with. What is none
//! says why, and what to type instead.

use crate::diagnostics::Error;
use crate::job::{Answer, typed_length};
use crate::units::{Bare, Dressed, Length, LengthWarning, Tape, read_length};

/// An answer that was understood.
#[derive(Debug)]
pub(super) struct Typed {
    pub answer: Answer,
    /// As it is read back.
    pub told: String,
    /// The tape that has such units.
    pub by: Option<Tape>,
}

/// A length; a bare number is by the tape, where one is known.
pub(super) fn length(typed: &str, tape: Option<Tape>) -> Result<Typed, String> {
    let bare = match tape {
        None => Bare::Refused,
        Some(Tape::Inches) => Bare::Inches,
        Some(Tape::Metric) => Bare::Millimetres,
    };
    let read = read_length(typed, bare).map_err(|problem| match &problem.instead[..] {
        [] => format!("{problem}. {FORMS}"),
        instead => format!("{problem}. Type {}", instead.join(" or ")),
    })?;
    if read.warning == Some(LengthWarning::TwelveInchesAfterFeet) {
        return Err(format!("12 in or more stand behind feet; is it {}? Type that", read.length));
    }
    let by = tape.unwrap_or(read.tape);
    let answer = Answer::Text(typed_length(typed, by));
    Ok(Typed { answer, told: by.tells(|| read.length.to_string()), by: Some(read.tape) })
}

const FORMS: &str = "A length with its unit: 26 3/4 in, 2' 2-3/4\", 679.5 mm";

/// A whole number of 1 or more.
pub(super) fn count(typed: &str) -> Result<Typed, String> {
    match typed.parse::<u32>() {
        Ok(count) if count > 0 => {
            let answer = Answer::Count(i64::from(count));
            Ok(Typed { answer, told: count.to_string(), by: None })
        }
        _ => Err("a whole number in digits stands here".to_string()),
    }
}

/// A word of a list: itself, its number, or as much of it as no other begins with.
pub(super) fn chosen(typed: &str, choices: &[(&str, String)]) -> Result<Typed, String> {
    let small = typed.to_lowercase().replace([' ', '_'], "-");
    let by_number = small.parse::<usize>().ok().and_then(|n| choices.get(n.checked_sub(1)?));
    let begins = || choices.iter().filter(|(word, _)| word.starts_with(&small));
    let whole = choices.iter().find(|(word, _)| *word == small);
    let alone = (!small.is_empty() && begins().count() == 1).then(|| begins().next()).flatten();
    let Some((word, says)) = by_number.or(whole).or(alone) else {
        let words: Vec<&str> = choices.iter().map(|(word, _)| *word).collect();
        return Err(format!("one of these: {}", words.join(", ")));
    };
    let told = format!("{word}: {says}");
    Ok(Typed { answer: Answer::Text(word.to_string()), told, by: None })
}

/// A board's two sizes.
#[derive(Debug)]
pub(super) struct Board {
    pub width: Answer,
    pub thickness: Answer,
    pub told: String,
}

/// A board by its sizes, or by its name.
pub(super) fn board(typed: &str, tape: Tape) -> Result<Board, String> {
    if let Some(Dressed { width, thickness }) = Dressed::named(typed) {
        let answer = |length: Length| Answer::Text(Tape::Inches.reads(length));
        let told =
            format!("{typed}: {width} wide, {thickness} thick, as it is dressed; measure yours");
        return Ok(Board { width: answer(width), thickness: answer(thickness), told });
    }
    let (width, thickness) = both(typed, tape, "width x thickness, 11 1/4 in x 1 1/2 in say")?;
    let told = format!("{} wide, {} thick", width.told, thickness.told);
    Ok(Board { width: width.answer, thickness: thickness.answer, told })
}

/// A plate's two sizes, or that there is none.
#[derive(Debug)]
pub(super) struct Plate {
    pub width: Answer,
    pub height: Answer,
    pub told: String,
}

/// A plate by its sizes, or none.
pub(super) fn plate(typed: &str, tape: Tape) -> Result<Plate, String> {
    if ["none", "no", "0"].contains(&typed.to_lowercase().as_str()) {
        let told = "no plate, no notch".to_string();
        return Ok(Plate { width: Answer::Left, height: Answer::Left, told });
    }
    let (width, height) = match Dressed::named(typed) {
        // A plate lies flat.
        Some(Dressed { width, thickness }) => {
            let flat = |length: Length| length_of(&Tape::Inches.reads(length), tape);
            (flat(width)?, flat(thickness)?)
        }
        None => both(typed, tape, "width x height, 3 1/2 in x 1 1/2 in say, or none")?,
    };
    let told = format!("a notch for a plate {} wide, {} high", width.told, height.told);
    Ok(Plate { width: width.answer, height: height.answer, told })
}

fn length_of(typed: &str, tape: Tape) -> Result<Typed, String> {
    length(typed, Some(tape))
}

/// Two lengths with x or by between them.
fn both(typed: &str, tape: Tape, form: &str) -> Result<(Typed, Typed), String> {
    let small = typed.to_lowercase().replace('\u{d7}', "x").replace(" by ", " x ");
    let (first, second) = small.split_once('x').ok_or(format!("two lengths: {form}"))?;
    Ok((length_of(first.trim(), tape)?, length_of(second.trim(), tape)?))
}

/// What is wrong with a job, in a sentence.
pub(super) fn sentence(error: &Error) -> String {
    error.slips().map(Error::sentence).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_number_is_by_the_tape_once_one_is_known() {
        assert!(length("51 3/8", None).unwrap_err().contains("51 3/8 in"));
        let read = length("10 1/4", Some(Tape::Inches)).unwrap();
        assert_eq!(read.answer, Answer::Text("10 1/4 in".into()));
        assert_eq!(read.told, "10 1/4 in (260.4 mm)");
        assert_eq!(length("270", Some(Tape::Metric)).unwrap().told, "270.0 mm");
        assert!(length("2 ft 14 in", None).unwrap_err().contains("38 in"));
    }

    #[test]
    fn words_are_chosen_by_as_little_as_tells_them_apart() {
        let of = |words: &[&'static str]| -> Vec<(&'static str, String)> {
            words.iter().map(|word| (*word, "says".to_string())).collect()
        };
        let words = of(&["router", "router-metric", "laser"]);
        let took = |typed: &str| chosen(typed, &words).map(|typed| typed.answer).ok();
        let word = |word: &str| Some(Answer::Text(word.into()));
        assert_eq!(took("l"), word("laser"));
        assert_eq!(took("router"), word("router"));
        assert_eq!(took("2"), word("router-metric"));
        assert_eq!([took("r"), took("0"), took("9"), took("")], [None, None, None, None]);
    }

    #[test]
    fn a_board_has_two_sizes_or_a_name() {
        let read = board("11 1/4 x 1 1/2", Tape::Inches).unwrap();
        assert_eq!(read.width, Answer::Text("11 1/4 in".into()));
        assert!(board("2x10", Tape::Inches).unwrap().told.starts_with("2x10: 9 1/4 in"));
        assert!(board("11 1/4", Tape::Inches).unwrap_err().contains("two lengths"));
        assert_eq!(plate("none", Tape::Inches).unwrap().width, Answer::Left);
        assert_eq!(plate("2x4", Tape::Inches).unwrap().height, Answer::Text("1 1/2 in".into()));
    }
}
