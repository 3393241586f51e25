//! What can be said of a program's lines without reading their words: length, comments, where `%`
//! stands.

use super::block::{Block, Comment};
use super::findings::Findings;
use super::limits::LONGEST_LINE;
use crate::diagnostics::Count;
use crate::diagnostics::codes::{self, CommentsIn, Framed, PercentAt};
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
    pub(crate) fn line(
        &mut self,
        block: &Block,
        comments: CommentStyle,
        findings: &mut Findings<'_>,
    ) {
        if block.length > LONGEST_LINE {
            let (measured, limit) = (Count::from(block.length), Count::from(LONGEST_LINE));
            findings.at_line(codes::LineTooLong { measured, limit }, block.line);
        }
        self.percent(block, findings);
        if let Some((what, name)) = block.objection.clone() {
            findings.at_line(codes::CommentActive { what, name }, block.line);
        }
        let (odd, found, named) = match comments {
            CommentStyle::Parentheses => {
                (Comment::Semicolon, CommentsIn::Semicolon, CommentsIn::Parentheses)
            }
            CommentStyle::Semicolon => {
                (Comment::Parentheses, CommentsIn::Parentheses, CommentsIn::Semicolon)
            }
        };
        if block.comment == odd && !self.odd_comment {
            self.odd_comment = true;
            findings.at_line(codes::CommentStyle { found, named }, block.line);
        }
    }

    /// A `%` opens the program or closes it, and nothing stands before the one or after the other.
    fn percent(&mut self, block: &Block, findings: &mut Findings<'_>) {
        if block.is_blank() {
            return;
        }
        if let Some(line) = self.closes.take() {
            findings.at_line(codes::PercentPlace { how: PercentAt::Inside }, line);
        }
        match (block.percent, self.begun) {
            (true, false) => self.opens = true,
            (true, true) => self.closes = Some(block.line),
            (false, _) => {}
        }
        self.begun = true;
    }

    /// Looks at what both ends have in common; `framed`: whether the machine's profile asks for `%`
    /// lines.
    pub(crate) fn finish(&self, framed: bool, findings: &mut Findings<'_>) {
        let said = |framed: bool| if framed { Framed::Percent } else { Framed::Bare };
        if self.opens != self.closes.is_some() {
            let how = if self.opens { PercentAt::FirstOnly } else { PercentAt::LastOnly };
            findings.at_file(codes::PercentPlace { how });
        } else if self.opens != framed {
            findings.at_file(codes::PercentLines { found: said(self.opens), named: said(framed) });
        }
    }
}
