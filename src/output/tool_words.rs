//! What people and programs are told in other words of a cutter than of a beam.

use crate::profile::{Hold, Tool};

/// The words of one kind of tool.
pub(super) struct ToolWords {
    /// What the report calls it.
    pub process: &'static str,
    /// What the report calls its compensation.
    pub offset: &'static str,
    /// What the player draws.
    pub shown: &'static str,
    /// How its first move across goes, and what happens there.
    pub first_move: &'static str,
    /// The last lines at the top of a program.
    pub cautions: &'static [&'static str],
    /// The first notes of the machine sheet.
    pub notes: &'static [&'static str],
}

impl ToolWords {
    /// Of a machine's tool.
    pub(super) fn of(tool: &Tool) -> &'static Self {
        match tool {
            Tool::Router(_) => &CUTTER,
            Tool::Laser(_) => &BEAM,
        }
    }
}

/// What holds pieces that have no tabs, and what becomes of a skin.
pub(super) fn held(tool: &Tool) -> &'static [&'static str] {
    match tool.cutter().map(|cutter| cutter.hold) {
        Some(Hold::Vacuum) => {
            &["No tabs, the vacuum table holds: clean its seal, look at its gauge before the cut, \
                and mind small offcuts."]
        }
        Some(Hold::Skin(_)) => {
            &["No tabs, the vacuum table holds. A skin stays below every cut, holes too: lift the \
                sheet, cut along with a knife, and trim it with a flush bit or sand it."]
        }
        Some(Hold::Tabs(_)) | None => &[],
    }
}

/// The pointed cutter for marks is told of in the same words.
static CUTTER: ToolWords = ToolWords {
    process: "router",
    offset: "outside-half-cutter",
    shown: "cutter, true diameter",
    first_move: "rapid at the safe height; there the cutter is let down",
    cautions: &[
        "Protect eyes, ears and lungs. Never leave the machine running alone.",
        "First run it in the air above the stock.",
    ],
    notes: &[
        "Run it in the air above the stock first; keep a hand at the stop and stay beside the \
        machine.",
    ],
};

static BEAM: ToolWords = ToolWords {
    process: "laser",
    offset: "outside-half-kerf",
    shown: "beam, true kerf, under the cross",
    first_move: "rapid with the beam dark; there it lights",
    cautions: &[
        "Fume extraction on, an extinguisher at hand, eyewear for this beam.",
        "Watch for fire until the sheet is cold. Never leave it alone.",
        "First run it with the beam switched off at the machine.",
    ],
    notes: &[
        "Run it with the beam switched off at the machine first; keep a hand at the stop and stay \
        beside it.",
        "Fire: fume extraction on, an extinguisher at hand, eyewear for this beam; watch from the \
        first spark until the sheet is cold.",
    ],
};
