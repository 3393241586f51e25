//! What a controller might act on in a comment: characters that some take out of the stream
//! wherever they stand, and words that make some carry the comment out.

use crate::diagnostics::codes::ActedOn;

/// Characters that controllers act on anywhere in the stream, comments too: hold, go on, status,
/// end of the program.
const ACTED_ON: &[u8] = b"!~?%";
/// Words that, at the start of a comment and before a comma or its end, are commands of some
/// controllers. A message is only shown.
const COMMANDS: [&str; 11] = [
    "ABORT",
    "AXIS",
    "DEBUG",
    "LOG",
    "LOGAPPEND",
    "LOGCLOSE",
    "LOGOPEN",
    "PRINT",
    "PROBECLOSE",
    "PROBEOPEN",
    "PY",
];

/// What is wrong with the text of a comment; `None` if every controller steps over it.
pub(super) fn objection(text: &[u8]) -> Option<(ActedOn, String)> {
    if let Some(&byte) = text.iter().find(|byte| ACTED_ON.contains(byte)) {
        return Some((ActedOn::Character, char::from(byte).to_string()));
    }
    let first =
        text.trim_ascii_start().split(|&b| b == b',').next().unwrap_or_default().trim_ascii();
    let command = COMMANDS.iter().find(|command| first.eq_ignore_ascii_case(command.as_bytes()));
    command.map(|command| (ActedOn::Command, command.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_acted_on_in_a_comment_is_told_and_plain_words_are_not() {
        for text in ["Bob's stair!", "a ~ b", "caf?", "50 %"] {
            assert!(
                objection(text.as_bytes()).is_some_and(|(what, _)| what == ActedOn::Character),
                "{text}"
            );
        }
        for text in ["LOGOPEN,a.txt", " debug, #1", "PRINT,x", "logclose", "PY,stop()"] {
            assert!(
                objection(text.as_bytes()).is_some_and(|(what, _)| what == ActedOn::Command),
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
            assert_eq!(objection(text.as_bytes()), None, "{text}");
        }
    }
}
