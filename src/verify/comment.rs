//! What a controller might act on in a comment: characters that some take out of the stream
//! wherever they stand, and words that make some carry the comment out.

use crate::diagnostics::codes::ActedOn;
use crate::profile::TOOL_OVER;

/// Characters that controllers act on anywhere in the stream, comments too: hold, go on, status,
/// end of the program.
const ACTED_ON: &[u8] = b"!~?%";
/// Where some begin a comment that goes on to the end of the line, in parentheses too.
const TO_THE_END: u8 = b';';
/// Words that, at the start of a comment and before a comma or its end, are commands of some
/// controllers. A message is only shown.
const COMMANDS: [&str; 6] = ["ABORT", "AXIS", "DEBUG", "LOG", "PRINT", "PY"];
/// The same of words that are no others: some take what they act on after a blank.
const WHOLE_COMMANDS: [&str; 8] =
    ["LOGAPPEND", "LOGCLOSE", "LOGOPEN", "PROBECLOSE", "PROBEOPEN", "PYRELOAD", "PYRUN", "PYTHON"];

/// What is wrong with the text of a comment; `None` if every controller steps over it.
pub(super) fn objection(text: &[u8], in_parentheses: bool) -> Option<(ActedOn, String)> {
    let is_acted_on =
        |byte: &&u8| ACTED_ON.contains(byte) || (in_parentheses && **byte == TO_THE_END);
    if let Some(&byte) = text.iter().find(is_acted_on) {
        return Some((ActedOn::Character, char::from(byte).to_string()));
    }
    let text = text.trim_ascii_start();
    let before = |ends: &[u8]| {
        text.split(|b| ends.contains(b)).next().unwrap_or_default().trim_ascii().to_vec()
    };
    let named = |commands: &[&'static str], first: &[u8]| {
        commands.iter().copied().find(|command| first.eq_ignore_ascii_case(command.as_bytes()))
    };
    let command =
        named(&COMMANDS, &before(b",")).or_else(|| named(&WHOLE_COMMANDS, &before(b", \t=:;")));
    command.map(|command| (ActedOn::Command, command.to_string()))
}

/// Where a comment has the operator bring the tool before the program starts, X and Y as its motion
/// has them; `None` of any other comment.
pub(super) fn told_over(text: &[u8]) -> Option<[f64; 2]> {
    let text = str::from_utf8(text).ok()?.trim();
    let (head, place) = text.split_at_checked(TOOL_OVER.len())?;
    if !head.eq_ignore_ascii_case(TOOL_OVER) {
        return None;
    }
    let words: Vec<&str> = place.split([' ', ',']).filter(|word| !word.is_empty()).collect();
    let [x, at_x, y, at_y, ..] = words[..] else { return None };
    let is_axis = x.eq_ignore_ascii_case("x") && y.eq_ignore_ascii_case("y");
    let place = [at_x.parse::<f64>().ok()?, at_y.parse().ok()?];
    (is_axis && place.iter().all(|at| at.is_finite())).then_some(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_to_bring_the_tool_over_is_read_and_nothing_else() {
        for (text, place) in [
            ("TOOL OVER X 0 Y 12.5, CLEAR OF THE CLAMPS, BEFORE IT STARTS", Some([0.0, 12.5])),
            (" tool over x -1 y 2", Some([-1.0, 2.0])),
            ("TOOL OVER THE STOCK", None),
            ("TOOL OVER Y 1 X 2", None),
            ("TOOL OVER X 1", None),
            ("TOOL OVER X inf Y 1", None),
            ("TOOL", None),
        ] {
            assert_eq!(told_over(text.as_bytes()), place, "{text}");
        }
    }

    #[test]
    fn what_is_acted_on_in_a_comment_is_told_and_plain_words_are_not() {
        for text in ["Bob's stair!", "a ~ b", "caf?", "50 %", "a; b"] {
            assert!(
                objection(text.as_bytes(), true)
                    .is_some_and(|(what, _)| what == ActedOn::Character),
                "{text}"
            );
        }
        for text in ["LOGOPEN,a.txt", " debug, #1", "PRINT,x", "logclose", "PY,stop()"]
            .into_iter()
            .chain(["PROBEOPEN /tmp/part.nc", "pyrun,/tmp/x.py", "PYRELOAD", " LogOpen\ta.txt"])
        {
            assert!(
                objection(text.as_bytes(), true).is_some_and(|(what, _)| what == ActedOn::Command),
                "{text}"
            );
        }
        for text in [
            "Eyes, ears, dust: protect them.",
            "MSG, change the tool",
            "PRINTED 3 times",
            "",
            "LOG BOOK",
        ] {
            assert_eq!(objection(text.as_bytes(), true), None, "{text}");
        }
    }
}
