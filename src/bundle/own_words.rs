//! The words on the drawings that are written of a set's jobs: what another file says beside them
//! is somebody else's.

use std::collections::HashSet;

use super::documents::jobs_drawings;
use super::ordered::{plain_skirt, steps_drawn};
use crate::output::dxf::{Drawing, DxfVersion};
use crate::pipeline::set::Set;
use crate::verify::drawing_words;

/// Every text and comment of the drawings of a set, and of the orders of its jobs.
pub fn own_words(set: &Set) -> HashSet<String> {
    let mut own = HashSet::new();
    let mut add = |drawing: &Drawing| {
        for version in [DxfVersion::R12, DxfVersion::R2000] {
            let text = drawing.write(version);
            let words = drawing_words(text.as_bytes(), "drawing.dxf");
            let words = words.expect("a drawing made here is one that is read here");
            own.extend(words.into_iter().map(|words| words.text));
        }
    };
    for (i, member) in set.members.iter().enumerate() {
        jobs_drawings(set, i).iter().for_each(&mut add);
        // An order draws besides the skirt of a job that asks for none, and treads and riser
        // boards.
        plain_skirt(&member.workup).iter().for_each(&mut add);
        steps_drawn(&member.workup).for_each(|(_, _, drawn)| add(&drawn));
    }
    own
}
