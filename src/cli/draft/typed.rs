//! A field's text put into the job: with what goes along with it, so that no field leaves half a
//! table behind.

use super::view::typed_tape;
use crate::job::{Answer, Wanted, part, question, text_of, typed_length, with_key, with_part};
use crate::units::{Bare, Dressed, Tape, read_length};

/// What a part of the whole stair is set to where it is to be there.
const THERE: &str = "there";
const CLEARANCE: &str = "foot.tie_plate.clearance";

/// The job with a field as somebody typed it; none where there is no such field, or the text cannot
/// be changed key by key.
pub(super) fn with_field(text: &str, key: &str, typed: &str) -> Option<String> {
    let typed = typed.trim();
    if let Some(part) = part(key) {
        return with_part(text, part, typed == THERE, typed_tape(text));
    }
    let asked = question(key)?;
    // What is chosen is of the list, or what somebody put into the file: no path comes from a page.
    let choices = asked.choices();
    let is_listed = choices.is_empty() || choices.iter().any(|(word, _)| *word == typed);
    if !typed.is_empty() && !is_listed && text_of(text, key).as_deref() != Some(typed) {
        return None;
    }
    let answer = match asked.wanted {
        _ if typed.is_empty() => Answer::Left,
        Wanted::Length => Answer::Text(as_length(key, typed, text)),
        Wanted::Count => typed.parse().map_or(Answer::Text(typed.to_string()), Answer::Count),
        _ => Answer::Text(typed.to_string()),
    };
    let set = |text: &str, key: &str, answer: &Answer| {
        with_key(text, key, answer, question(key).map_or("", |asked| asked.means))
    };
    let text = match (key, &answer) {
        ("board.width" | "board.thickness", _) => board_opened(text, set)?,
        // A notch is cut bigger than its plate, where nobody says otherwise, and goes with it.
        ("foot.tie_plate.width" | "foot.tie_plate.height", _) => {
            let other = if key.ends_with("width") { "height" } else { "width" };
            let is_alone = text_of(text, &format!("foot.tie_plate.{other}")).is_none();
            let clearance = question(CLEARANCE)?.usual_by(typed_tape(text))?;
            match (text_of(text, key), &answer) {
                (_, Answer::Left) if is_alone => set(text, CLEARANCE, &Answer::Left)?,
                (None, _) if is_alone => {
                    set(text, CLEARANCE, &Answer::Text(clearance.to_string()))?
                }
                _ => text.to_string(),
            }
        }
        // A count that is chosen leaves nothing to aim at.
        ("rise.risers", Answer::Count(_)) => set(text, "rise.aim", &Answer::Left)?,
        ("cut.makes", Answer::Left) => {
            let keys = ["cut.machine", "cut.material", "cut.thickness", "cut.quantity", "cut.long"];
            keys.iter().try_fold(text.to_string(), |text, key| set(&text, key, &Answer::Left))?
        }
        // Side and well are of a turn back alone.
        ("landing.turn", _) if typed != "back" => {
            let keys = ["landing.hand", "landing.well"];
            keys.iter().try_fold(text.to_string(), |text, key| set(&text, key, &Answer::Left))?
        }
        _ => text.to_string(),
    };
    let text = set(&text, key, &answer)?;
    if key != "cut.makes" || answer == Answer::Left {
        return Some(text);
    }
    // What is cut lies on something and is cut by something: what is usual, until it is chosen.
    let tape = typed_tape(&text);
    let material = if typed == "pattern" { "hardboard-6" } else { "plywood-18" };
    let machine = question("cut.machine")?.usual_by(tape)?;
    [("cut.machine", machine), ("cut.material", material)].into_iter().try_fold(
        text,
        |text, (key, usual)| match text_of(&text, key) {
            Some(_) => Some(text),
            None => set(&text, key, &Answer::Text(usual.to_string())),
        },
    )
}

/// A length as it stands in a job; what is no length yet stands as it was typed.
fn as_length(key: &str, typed: &str, text: &str) -> String {
    let tape = typed_tape(text);
    let bare = match tape {
        Tape::Inches => Bare::Inches,
        Tape::Metric => Bare::Millimetres,
    };
    // The total rise is what says which tape it is.
    let bare = if key == "rise.total" { Bare::Refused } else { bare };
    match read_length(typed, bare) {
        Ok(_) => typed_length(typed, tape),
        Err(_) => typed.to_string(),
    }
}

/// A board that is named, as a table of its sizes.
fn board_opened(text: &str, set: impl Fn(&str, &str, &Answer) -> Option<String>) -> Option<String> {
    let Some(Dressed { width, thickness }) =
        text_of(text, "board").as_deref().and_then(Dressed::named)
    else {
        return Some(text.to_string());
    };
    let of = |length| Answer::Text(Tape::Inches.reads(length));
    set(&set(text, "board.width", &of(width))?, "board.thickness", &of(thickness))
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "board = \"2x12\"\n[rise]\ntotal = \"51 in\"\naim = \"7 in\"  # mine\n";

    #[test]
    fn a_field_brings_what_goes_along_with_it() {
        let with = |text: &str, key: &str, typed: &str| with_field(text, key, typed).unwrap();
        let text = with(JOB, "board.thickness", "1 3/8");
        assert!(text.contains("width = \"11 1/4 in\"") && text.contains("\"1 3/8 in\""), "{text}");
        assert!(!with(JOB, "rise.risers", "7").contains("aim"));
        assert!(with(JOB, "rise.total", "51 3/").contains("total = \"51 3/\""));
        assert!(with(JOB, "rise.total", "51 3/8").contains("total = \"51 3/8\""));
        let cut = with(JOB, "cut.makes", "pattern");
        assert!(cut.contains("hardboard-6") && cut.contains("router-table"), "{cut}");
        assert_eq!(with(&cut, "cut.makes", "").trim_end(), JOB.trim_end());
        assert_eq!(with_field(&cut, "cut.machine", "/etc/own.toml"), None);
        let own = cut.replace("router-table", "own.toml");
        assert_eq!(with_field(&own, "cut.machine", "own.toml").as_deref(), Some(own.as_str()));
        let turned = with(&with(JOB, "landing", "there"), "landing.turn", "back");
        let well = with(&turned, "landing.well", "4");
        assert!(well.contains("[[landing]]\n") && well.contains("well = \"4 in\""), "{well}");
        assert_eq!(with(&well, "landing.turn", "left"), turned.replace("\"back\"", "\"left\""));
        assert_eq!(with(&well, "landing", ""), JOB);
        let notched =
            with(&with(JOB, "foot.tie_plate.width", "3 1/2"), "foot.tie_plate.height", "1 1/2");
        assert!(notched.contains("clearance = \"1/16 in\""), "{notched}");
        let other = with(&notched, "foot.tie_plate.clearance", "1/8");
        assert!(with(&other, "foot.tie_plate.width", "4").contains("clearance = \"1/8 in\""));
        let gone = with(&with(&other, "foot.tie_plate.width", ""), "foot.tie_plate.height", "");
        assert_eq!(gone.trim_end(), JOB.trim_end());
        assert_eq!(with_field(JOB, "waive.rule", "x"), None);
        assert_eq!(with_field(JOB, "../../etc", "x"), None);
    }
}
