//! What can be said of a program's lines without reading their words: length, comments, where `%` stands.

use super::block::{Block, Comment};
use super::findings::Findings;
use super::limits::LONGEST_LINE;
use crate::diagnostics::codes;
use crate::profile::CommentStyle;

/// The lines so far. Many controllers end a program at a `%`, wherever it stands.
#[derive(Default)]
pub(super) struct Form {
    /// Whether anything stood before this line.
    begun: bool,
    opens: bool,
    /// The last `%` but the opening one.
    closes: Option<usize>,
    odd_comment: bool,
}

impl Form {
    /// Looks at the next line.
    pub fn line(&mut self, block: &Block, comments: CommentStyle, findings: &mut Findings) {
        if block.length > LONGEST_LINE {
            let limit = format!("{LONGEST_LINE} characters");
            findings.at_line(codes::LineTooLong::CODE, block.line, format!("{} characters", block.length), limit);
        }
        self.percent(block, findings);
        if let Some(objection) = &block.objection {
            let limit = "words that every controller steps over";
            findings.at_line(codes::CommentActive::CODE, block.line, objection.clone(), limit);
        }
        let (odd, named) = match comments {
            CommentStyle::Parentheses => (Comment::Semicolon, "( )"),
            CommentStyle::Semicolon => (Comment::Parentheses, ";"),
        };
        if block.comment == odd && !self.odd_comment {
            self.odd_comment = true;
            findings.at_line(codes::CommentStyle::CODE, block.line, "another comment style", named);
        }
    }

    /// A `%` opens the program or closes it, and nothing stands before the one or after the other.
    fn percent(&mut self, block: &Block, findings: &mut Findings) {
        if block.is_blank() {
            return;
        }
        if let Some(line) = self.closes.take() {
            findings.at_line(codes::PercentPlace::CODE, line, "% inside the program", "% as first and last line only");
        }
        match (block.percent, self.begun) {
            (true, false) => self.opens = true,
            (true, true) => self.closes = Some(block.line),
            (false, _) => {}
        }
        self.begun = true;
    }

    /// Looks at what both ends have in common; `framed`: whether the machine's profile asks for `%` lines.
    pub fn finish(&self, framed: bool, findings: &mut Findings) {
        let words = |framed: bool| if framed { "a first and a last line of %" } else { "no lines of %" };
        if self.opens != self.closes.is_some() {
            let lone =
                if self.opens { "a first line of % and no last one" } else { "a last line of % and no first one" };
            findings.at_file(codes::PercentPlace::CODE, lone, "both or none");
        } else if self.opens != framed {
            findings.at_file(codes::PercentLines::CODE, words(self.opens), words(framed));
        }
    }
}
