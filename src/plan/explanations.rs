//! What each finding of this stage means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that planning can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained(
        "cutter-too-short",
        "The cutter's edges are shorter than the material is thick.",
        "Use a longer cutter in the machine profile, or thinner material.",
    ),
    explained(
        "speed-too-fast",
        "The profile asks for a spindle speed that the machine does not reach.",
        "Lower speed_rpm in the machine profile.",
    ),
    explained(
        "feed-too-fast",
        "Speed, cutting edges and chip load give a feed that the machine does not reach.",
        "Lower speed_rpm or chip_load in the machine profile, or the laser's feed.",
    ),
    explained(
        "feed-too-slow",
        "Speed, cutting edges and chip load give a feed below an inch a minute: the cutter rubs and burns, and the F word has no digit for it.",
        "Raise chip_load or speed_rpm in the machine profile; look whether the chip load is in the unit you meant.",
    ),
    explained(
        "power-too-high",
        "The laser's full power is above the greatest S word that its profile says the controller takes.",
        "Lower power in the machine profile to the S word of full power, or correct max_power.",
    ),
    explained(
        "program-long",
        "The program would have more moves than a controller or the proof takes: shallow passes, a flat ramp or narrow holes many times over.",
        "Raise pass_depth or ramp_deg in the machine profile, give a wider cut.dowel, or cut fewer pieces at once.",
    ),
    explained(
        "travel-too-low",
        "Material, cut-through and safe height are more than the machine travels up and down.",
        "Use thinner material or a lower safe_height.",
    ),
    explained(
        "laser-on-treated",
        "Burning preservative-treated wood makes poisonous smoke and ash. No laser program is written for it, nor for wood of unknown treatment; this cannot be waived.",
        "Cut it with a router and mind the dust, or use material known to be untreated.",
    ),
    explained(
        "laser-too-thick",
        "The material is thicker than this laser cuts in one pass.",
        "Use thinner material, or a router.",
    ),
    explained(
        "no-lead-room",
        "No straight edge of the path is long enough for the tool to come in beside it.",
        "Use a thinner cutter.",
    ),
    explained(
        "clamp-in-the-way",
        "Clamps leave a rapid no way round them, and none over them: a rapid passes a quarter inch over a clamp whose height is known, and never over one without a height; a beam's head travels at the height it cuts at.",
        "Move the clamp; or give cut.clamps its height, and the machine profile a safe_height a quarter inch above it.",
    ),
    explained(
        "clamp-in-cut",
        "A clamp stands where the cutter goes. A sheet that several pieces share, or a single one with cut.long left out, is laid out round its clamps; a board, a housed stringer and a part cut in shifts lie where they lie.",
        "Move the clamp to where the finding says, or hold the stock down in another way.",
    ),
    explained(
        "clamp-off-sheet",
        "A clamp does not sit on what lies on the machine: the real one would not be kept free.",
        "Measure from X0 Y0, the stock's lower left corner, to the clamp's lower left corner; of a board it is the blank that lies there.",
    ),
    explained(
        "offcut-loose",
        "A piece of waste larger than a coin (an inch across) would be cut free, or hang by less than a quarter inch of wood: it may fly. The finding says where it is and how large.",
        "Leave cut.spacing out, or give as much as the finding says; on a board, use a thinner cutter, so that a tab finds room on its edges.",
    ),
    explained(
        "piece-loose",
        "When all is cut, no wood of a quarter inch or more would tie this piece to what holds the stock: the clamps where they are given, else the sheet's rim.",
        "Leave cut.spacing out, or give as much as the finding says; move clamps to wood that stays; or use a thinner cutter.",
    ),
    explained(
        "tabs-one-sided",
        "The piece's centre of area lies outside the hull of its tabs: it hangs over on one side and may tip or rock while it is cut.",
        "Hold the far side down before the last pass, or give a larger cut.spacing.",
    ),
    explained(
        "tabs-few",
        "Fewer than three tabs found room: the part may come loose while it is cut.",
        "Hold the part down in another way before the last pass.",
    ),
    explained(
        "ties-between-pieces",
        "The pieces lie so near to each other that no wood that holds stays between their cuts: tabs tie piece to piece, and one that comes loose takes others with it. Every chain of ties ends at the clamped wood.",
        "Clamp the outermost pieces well, or give a larger cut.spacing.",
    ),
    explained(
        "mark-no-tool",
        "The machine profile has no pointed cutter: the marks are on layer MARK of the drawings and in no program.",
        "Give the profile's [router] table a `mark`, or write the marks on by hand.",
    ),
    explained(
        "mark-too-deep",
        "The marks would be deeper than half the material: they would weaken the pattern.",
        "Give `mark` a smaller depth in the machine profile.",
    ),
    explained(
        "split-stringer",
        "A stringer carries load and is never split; only a pattern is.",
        "Use a longer board and machine, cut.long = \"index\", or makes = \"pattern\".",
    ),
    explained(
        "split-no-room",
        "The pattern has no place for a joint: a lap under the notches with its hook and its dowels, an inch and a half from any notch corner, with both pieces short enough.",
        "Use a longer sheet, a thinner cutter, or cut.long = \"index\".",
    ),
    explained(
        "split-wander",
        "The two pieces of a split pattern turn on their dowels by twice the holes' clearance over the dowels' distance, each on the strap.",
        "Pin the strap with all four dowels and measure between the crosses on both sides of the joint before you follow the pattern.",
    ),
    explained(
        "indexed-shifts",
        "The part is longer than the machine's travel: it is cut in several set-ups, and the stock is moved by hand between them.",
        "Bore the table for the pins first, move the stock by exactly the distance that the program says, and check it before you go on.",
    ),
    explained(
        "shift-turn",
        "Each shift may turn the stock by twice the pins' clearance over their distance; the turns of all shifts add up.",
        "Use pins that fit their holes well, and a wider sheet so that they stand farther apart.",
    ),
    explained(
        "index-no-break",
        "No tread and lower edge lie where two set-ups of the machine overlap, so that the path could be broken there.",
        "Use a machine with more travel, or a thinner cutter.",
    ),
    explained(
        "index-no-pins",
        "The waste beside the part has no room for two pin holes that both set-ups reach.",
        "Use a wider sheet: the pins stand beside the part.",
    ),
    explained(
        "index-router-only",
        "Shifts on pins are made for a router and a part with waste all round it: a beam is not planned in several set-ups, and a board whose own edges are the part's has no waste for pins.",
        "Use a router and a sheet, or a machine with more travel.",
    ),
    explained(
        "mark-shifted",
        "A program in several set-ups does not mark: the marks are on layer MARK of the drawings only.",
        "Write the marks on by hand.",
    ),
];
