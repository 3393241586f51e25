//! How a text is spelled where only few characters may stand: accents spelled plainly, signs in
//! words.

/// A text in printable ASCII: letters with accents become the plain ones, what has no plain
/// spelling is left out.
pub(super) fn ascii(text: &str) -> String {
    joined(text, |c| match c {
        ' '..='~' => Spelled::Char(c),
        _ => beyond_ascii(c),
    })
}

/// A text for a comment in a program: letters, digits, space and `. , - + /`, for there are
/// controls that act on `!`, `~`, `?` and `%` wherever they stand, and others end a comment at a
/// bracket.
pub(super) fn comment(text: &str) -> String {
    let spelled = joined(text, |c| match c {
        ' '..='~' => in_comment(c),
        _ => match beyond_ascii(c) {
            Spelled::Char(plain) => in_comment(plain),
            spelled => spelled,
        },
    });
    // Where a sign was left out between two spaces, one is enough.
    spelled.split_whitespace().collect::<Vec<&str>>().join(" ")
}

/// A line for people at the top of a program: where letters have no plain spelling and are left
/// out, it says so.
pub(super) fn said_in_program(line: &str) -> String {
    let is_lost = |c: char| {
        c.is_alphanumeric() && !c.is_ascii() && matches!(beyond_ascii(c), Spelled::Nothing)
    };
    match line.chars().any(is_lost) {
        true => format!("{line}, letters left out here are on the pages"),
        false => line.to_string(),
    }
}

/// What stands for a character.
enum Spelled {
    Char(char),
    Text(&'static str),
    /// A word of its own, spaces round it.
    Word(&'static str),
    /// A space, where none is yet.
    Gap,
    Nothing,
}

fn joined(text: &str, spell: impl Fn(char) -> Spelled) -> String {
    let mut spelled = String::with_capacity(text.len());
    let gap = |spelled: &mut String| {
        if !spelled.is_empty() && !spelled.ends_with(' ') {
            spelled.push(' ');
        }
    };
    let mut in_word = false;
    for c in text.chars() {
        let part = spell(c);
        if in_word && c != ' ' && !matches!(part, Spelled::Nothing | Spelled::Char(',' | '.')) {
            gap(&mut spelled);
        }
        in_word = matches!(part, Spelled::Word(_));
        match part {
            Spelled::Char(',') => {
                // A comma that stands for another sign has no space before it.
                spelled.truncate(spelled.trim_end().len());
                spelled.push(',');
            }
            Spelled::Char(' ') if c != ' ' => gap(&mut spelled),
            Spelled::Char(c) => spelled.push(c),
            Spelled::Text(text) => spelled.push_str(text),
            Spelled::Word(word) => {
                gap(&mut spelled);
                spelled.push_str(word);
            }
            Spelled::Gap => gap(&mut spelled),
            Spelled::Nothing => {}
        }
    }
    spelled.trim().to_string()
}

/// A character of ASCII in a comment.
fn in_comment(c: char) -> Spelled {
    match c {
        'A'..='Z' | 'a'..='z' | '0'..='9' | ' ' | '.' | ',' | '-' | '+' | '/' => Spelled::Char(c),
        _ => sign(c),
    }
}

/// A sign of ASCII that a comment may not hold.
fn sign(c: char) -> Spelled {
    match c {
        ':' | ';' => Spelled::Char(','),
        '_' => Spelled::Char('-'),
        '*' => Spelled::Text("x"),
        '&' => Spelled::Word("and"),
        '%' => Spelled::Word("percent"),
        '=' => Spelled::Word("is"),
        '@' => Spelled::Word("at"),
        '#' => Spelled::Word("no."),
        '(' | ')' | '[' | ']' | '{' | '}' | '<' | '>' | '|' | '\\' => Spelled::Gap,
        _ => Spelled::Nothing,
    }
}

/// The letters with their plain spellings: the one table. Latin letters of Unicode's first blocks,
/// and the signs that a title may have.
const PLAIN: [(&str, &str); 62] = [
    ("A", "\u{c0}\u{c1}\u{c2}\u{c3}\u{100}\u{102}\u{104}\u{1cd}"),
    ("a", "\u{e0}\u{e1}\u{e2}\u{e3}\u{101}\u{103}\u{105}\u{1ce}\u{aa}"),
    ("Ae", "\u{c4}\u{c6}"),
    ("ae", "\u{e4}\u{e6}"),
    ("Aa", "\u{c5}"),
    ("aa", "\u{e5}"),
    ("C", "\u{c7}\u{106}\u{108}\u{10a}\u{10c}"),
    ("c", "\u{e7}\u{107}\u{109}\u{10b}\u{10d}"),
    ("D", "\u{d0}\u{10e}\u{110}"),
    ("d", "\u{f0}\u{10f}\u{111}"),
    ("E", "\u{c8}\u{c9}\u{ca}\u{cb}\u{112}\u{114}\u{116}\u{118}\u{11a}"),
    ("e", "\u{e8}\u{e9}\u{ea}\u{eb}\u{113}\u{115}\u{117}\u{119}\u{11b}"),
    ("G", "\u{11c}\u{11e}\u{120}\u{122}"),
    ("g", "\u{11d}\u{11f}\u{121}\u{123}"),
    ("H", "\u{124}\u{126}"),
    ("h", "\u{125}\u{127}"),
    ("I", "\u{cc}\u{cd}\u{ce}\u{cf}\u{128}\u{12a}\u{12c}\u{12e}\u{130}"),
    ("i", "\u{ec}\u{ed}\u{ee}\u{ef}\u{129}\u{12b}\u{12d}\u{12f}\u{131}"),
    ("J", "\u{134}"),
    ("j", "\u{135}"),
    ("K", "\u{136}"),
    ("k", "\u{137}\u{138}"),
    ("L", "\u{139}\u{13b}\u{13d}\u{13f}\u{141}"),
    ("l", "\u{13a}\u{13c}\u{13e}\u{140}\u{142}"),
    ("N", "\u{d1}\u{143}\u{145}\u{147}\u{14a}"),
    ("n", "\u{f1}\u{144}\u{146}\u{148}\u{149}\u{14b}"),
    ("O", "\u{d2}\u{d3}\u{d4}\u{d5}\u{14c}\u{14e}"),
    ("o", "\u{f2}\u{f3}\u{f4}\u{f5}\u{14d}\u{14f}\u{ba}"),
    ("Oe", "\u{d6}\u{d8}\u{150}\u{152}"),
    ("oe", "\u{f6}\u{f8}\u{151}\u{153}"),
    ("R", "\u{154}\u{156}\u{158}"),
    ("r", "\u{155}\u{157}\u{159}"),
    ("S", "\u{15a}\u{15c}\u{15e}\u{160}\u{218}"),
    ("s", "\u{15b}\u{15d}\u{15f}\u{161}\u{219}"),
    ("ss", "\u{df}"),
    ("T", "\u{162}\u{164}\u{166}\u{21a}"),
    ("t", "\u{163}\u{165}\u{167}\u{21b}"),
    ("Th", "\u{de}"),
    ("th", "\u{fe}"),
    ("U", "\u{d9}\u{da}\u{db}\u{168}\u{16a}\u{16c}\u{16e}\u{172}"),
    ("u", "\u{f9}\u{fa}\u{fb}\u{169}\u{16b}\u{16d}\u{16f}\u{173}"),
    ("Ue", "\u{dc}\u{170}"),
    ("ue", "\u{fc}\u{171}"),
    ("W", "\u{174}"),
    ("w", "\u{175}"),
    ("Y", "\u{dd}\u{176}\u{178}"),
    ("y", "\u{fd}\u{ff}\u{177}"),
    ("Z", "\u{179}\u{17b}\u{17d}"),
    ("z", "\u{17a}\u{17c}\u{17e}"),
    ("'", "\u{2018}\u{2019}\u{201a}\u{2032}\u{b4}"),
    ("\"", "\u{201c}\u{201d}\u{201e}\u{2033}\u{ab}\u{bb}"),
    ("-", "\u{2010}\u{2011}\u{2012}\u{2013}\u{2014}\u{2212}"),
    ("/", "\u{2044}\u{2215}"),
    ("x", "\u{d7}"),
    ("1/2", "\u{bd}"),
    ("1/4", "\u{bc}"),
    ("3/4", "\u{be}"),
    ("2", "\u{b2}"),
    ("3", "\u{b3}"),
    (" deg", "\u{b0}"),
    ("+/-", "\u{b1}"),
    (" ", "\u{a0}\u{2009}\u{202f}"),
];

fn beyond_ascii(c: char) -> Spelled {
    let plain = PLAIN.iter().find(|(_, letters)| letters.contains(c)).map(|(plain, _)| *plain);
    match plain {
        Some(plain) if plain.len() == 1 => Spelled::Char(plain.as_bytes()[0].into()),
        Some(plain) => Spelled::Text(plain),
        None => Spelled::Nothing,
    }
}

/// ASCII words in rows of at most `longest` characters: broken behind a comma or a full stop, so
/// that each row says something whole, else between words where there is a space.
pub(super) fn rows(words: &str, longest: usize) -> Vec<String> {
    let mut rows = Vec::new();
    let mut rest = words.trim();
    while rest.len() > longest {
        let row = &rest[..=longest];
        let behind = |sign: &str| row.rfind(sign).map(|at| at + 1);
        let phrase = behind(", ").max(behind(". ")).filter(|at| *at > longest / 3);
        let at = phrase.or_else(|| row.rfind(' ').filter(|at| *at > 0)).unwrap_or(longest);
        rows.push(rest[..at].trim_end().trim_end_matches(',').to_string());
        rest = rest[at..].trim_start();
    }
    rows.push(rest.to_string());
    rows
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comment_holds_letters_digits_space_and_five_signs() {
        let all: String = (0..0x2500).filter_map(char::from_u32).collect();
        let allowed = |c: char| c.is_ascii_alphanumeric() || " .,-+/".contains(c);
        assert!(comment(&all).chars().all(allowed), "{}", comment(&all));
        assert!(ascii(&all).chars().all(|c| (' '..='~').contains(&c)));
    }

    #[test]
    fn letters_that_a_program_cannot_hold_are_said_to_be_left_out() {
        for line in ["Note ring first", "Note caf\u{e9} Stra\u{df}e", "Note 3/4 \u{2192} \u{b0}"] {
            assert_eq!(said_in_program(line), line);
        }
        for line in ["Note \u{3b1}\u{3b2}", "Note \u{9580} ring first"] {
            let said = comment(&said_in_program(line));
            assert!(said.ends_with("letters left out here are on the pages"), "{said}");
        }
    }

    #[test]
    fn titles_read_well() {
        for (title, spelled) in [
            ("Bob's stair!", "Bobs stair"),
            ("Gr\u{fc}ne Treppe, \u{d6}st", "Gruene Treppe, Oest"),
            ("Caf\u{e9} (west): 100% oak?", "Cafe west, 100 percent oak"),
            ("3/4\" ply & pine", "3/4 ply and pine"),
            ("a;b", "a,b"),
            ("Bob (west) ~50% = a?", "Bob west 50 percent is a"),
            ("Deck #2", "Deck no. 2"),
            ("32\u{b0} of pitch \u{2013} wide", "32 deg of pitch - wide"),
            ("\u{6f22}\u{5b57}", ""),
            ("Garden steps, 2nd flight", "Garden steps, 2nd flight"),
        ] {
            assert_eq!(comment(title), spelled, "{title}");
        }
        assert_eq!(ascii("Gr\u{fc}n: Bob\u{2019}s?"), "Gruen: Bob's?");
    }

    #[test]
    fn no_letter_stands_twice_in_the_table() {
        let mut all: Vec<char> = PLAIN.iter().flat_map(|(_, letters)| letters.chars()).collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
