//! Which of a job's files a file is, and what is said of it.

use super::told;
use crate::bundle::{InSetUps, Stage};
use crate::diagnostics::codes;
use crate::units::{Length, Tape, on_tape};
use crate::verify::{Recognised, Verdict};

/// Which of a job's files a file is, where that is more than its part.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Named {
    /// One of several programs that are run one after the other.
    SetUp(InSetUps),
    /// One of two programs that cut with a cutter each.
    Stage(Stage),
    /// A program of some of the pieces: how many, of how many.
    Part(usize, usize),
    /// A skirt, by what it is called.
    Skirt(String),
    /// A tread or a riser board, by what it is called.
    Step(String),
    /// The part, and a skirt of the same outline, by what that is called.
    AlsoSkirt(String),
}

/// Less than a ten-thousandth of an inch is told to nobody.
const LEAST_TOLD_MM: f64 = 0.00127;

/// What is said of a file that was held.
pub(super) fn lines(name: &str, named: Option<&Named>, verdict: &Verdict) -> String {
    let pieces = verdict.findings.iter().find(|finding| finding.is::<codes::NotAllPieces>());
    let judged = match pieces {
        _ if verdict.is_this_part() && named == Some(&Named::SetUp(InSetUps::Table)) => {
            "bores the table's pins for this job".to_string()
        }
        _ if verdict.is_this_part() && named == Some(&Named::Stage(Stage::Roughing)) => {
            "roughs out this job's part".to_string()
        }
        _ if verdict.is_this_part() && matches!(named, Some(Named::Skirt(_))) => {
            "is this job's skirt".to_string()
        }
        _ if verdict.is_this_part() && matches!(named, Some(Named::Step(_))) => {
            "is one of this job's pieces".to_string()
        }
        _ if verdict.is_this_part() && matches!(named, Some(Named::Part(..))) => {
            "is one of this job's programs".to_string()
        }
        _ if verdict.is_this_part() && verdict.what == Recognised::Marks => {
            "marks this job's part and cuts nothing".to_string()
        }
        _ if verdict.is_this_part() => "is this job's part".to_string(),
        Some(pieces) => format!("NOT all of this job's pieces, {}", pieces.sentence()),
        None => "NOT this job's part".to_string(),
    };
    let what = match verdict.what {
        Recognised::Program | Recognised::Marks => "a program",
        Recognised::NominalDrawing => "a drawing of the finished part",
        Recognised::CompensatedDrawing => "a drawing of the tool's path",
    };
    let figure = |mm: f64| Tape::in_hand().finely(Length::mm(mm));
    let mut text = format!("{name}: {judged}, as {what}\n");
    if let Some(Named::Skirt(skirt)) = named {
        text += &format!("  it is the {skirt}, seen on its face, and not the stringer\n");
    }
    if let Some(Named::Step(step)) = named {
        text += &format!("  it is the {step}, and not the stringer\n");
    }
    if let Some(Named::AlsoSkirt(skirt)) = named {
        text += &format!("  the {skirt} has the same outline\n");
    }
    if let Some(Named::Part(pieces, all)) = named {
        text += &format!(
            "  it has {pieces} of {all} pieces; the others are of other programs or further runs\n"
        );
    }
    if let Some(Named::Stage(stage)) = named {
        let is = if verdict.is_this_part() { "it is" } else { "it is nearest to" };
        text += &match stage {
            Stage::Roughing => format!(
                "  {is} the roughing program: it leaves its allowance beside the line and every \
                tab, and the program after it cuts to the line\n"
            ),
            Stage::OnLine => format!(
                "  {is} the program that cuts to the line, held together with the roughing program \
                before it as planned\n"
            ),
        };
    }
    if let Some(Named::SetUp(set_up)) = named {
        let is = if verdict.is_this_part() { "it is" } else { "it is nearest to" };
        text += &match set_up {
            InSetUps::Table => {
                format!(
                    "  {is} the program that bores the table's pins, and cuts nothing of the \
                    stock\n"
                )
            }
            InSetUps::SetUp(number, of) => format!(
                "  {is} set-up {number} of {of}, held together with the other programs as planned\n"
            ),
        };
    }
    if verdict.gouge_mm.max(verdict.left_mm) >= LEAST_TOLD_MM {
        let (gouge, left) = (figure(verdict.gouge_mm), figure(verdict.left_mm));
        text += &format!("  too much is cut by {gouge} at most, too little by {left}\n");
    }
    if !verdict.tabs.is_empty() {
        let (tabs, uncut) = (verdict.tabs.len(), on_tape(Length::mm(verdict.boundary_uncut_mm)));
        text += &format!("  {tabs} tabs hold it, {uncut} of its edge in all\n");
    }
    if verdict.marks > 0 {
        text += &format!("  {} marks where and as deep as they are to be\n", verdict.marks);
    }
    for finding in &verdict.findings {
        text.push_str(&told::finding(finding));
    }
    text
}
