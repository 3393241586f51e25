//! Text that shows what it holds: whatever does not print is spelled out, so that a name or a value
//! from a file can neither steer a terminal nor forge a line of its own.

/// A text with every character that does not print spelled as `\n`, `\t`, `\x1b` or `\u{202e}`.
///
/// What prints is left alone, a backslash too: doing it twice changes nothing.
///
/// ```
/// assert_eq!(seatcut_model::diagnostics::visible::visible("a\u{1b}[31mred\n"), "a\\x1b[31mred\\n");
/// ```
pub fn visible(text: &str) -> String {
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return text.to_string();
    }
    text.chars().fold(String::with_capacity(text.len()), |mut shown, c| {
        match c {
            '\n' => shown.push_str("\\n"),
            '\r' => shown.push_str("\\r"),
            '\t' => shown.push_str("\\t"),
            c if !is_hidden(c) => shown.push(c),
            c if u32::from(c) < 0x100 => shown.push_str(&format!("\\x{:02x}", u32::from(c))),
            c => shown.push_str(&format!("\\u{{{:x}}}", u32::from(c))),
        }
        shown
    })
}

/// The same for a text of several lines: its line feeds are its own and stay.
pub fn visible_lines(text: &str) -> String {
    text.split('\n').map(visible).collect::<Vec<String>>().join("\n")
}

/// Whether a character is not seen, or moves what is seen: control characters (C0, DEL, C1), marks
/// and overrides of direction, characters of no width, separators of lines, tags, noncharacters
/// (Unicode Standard, chapter 23).
pub fn is_hidden(c: char) -> bool {
    let code = u32::from(c);
    c.is_control()
        || matches!(
            code,
            0xad | 0x34f | 0x61c | 0x115f..=0x1160 | 0x17b4..=0x17b5 | 0x180b..=0x180f
                | 0x200b..=0x200f | 0x2028..=0x202e | 0x2060..=0x206f | 0x3164 | 0xfe00..=0xfe0f
                | 0xfeff | 0xffa0 | 0xfdd0..=0xfdef | 0xfff0..=0xfffb | 0x1d173..=0x1d17a | 0xe0000..=0xe0fff
        )
        || code & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_a_terminal_is_spelled_out() {
        let hostile = "\u{0}\u{7}\u{1b}]0;title\u{7}\u{7f}\u{9b}31m\u{202e}abc\u{2066}\u{2028}\r\n\t\u{e0041}";
        let shown = visible(hostile);
        assert!(shown.chars().all(|c| !is_hidden(c)), "{shown:?}");
        assert_eq!(
            shown,
            "\\x00\\x07\\x1b]0;title\\x07\\x7f\\x9b31m\\u{202e}abc\\u{2066}\\u{2028}\\r\\n\\t\\u{e0041}"
        );
    }

    #[test]
    fn what_prints_stays_and_twice_is_once() {
        let plain = "Gr\u{fc}ne Treppe, 3/4\" ply \\ \u{6f22}\u{5b57} \u{1f6e0}";
        assert_eq!(visible(plain), plain);
        let once = visible("a\u{1b}b\n");
        assert_eq!(visible(&once), once);
        assert_eq!(visible_lines("one\ntwo\u{8}\n"), "one\ntwo\\x08\n");
    }
}
