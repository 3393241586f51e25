//! What each finding of this stage means and what to do, for `seatcut explain`.

use crate::finding::{Explanation, explained};

/// Every code that the check can find.
pub const EXPLANATIONS: &[Explanation] = &[
    explained("unit-rise-low", "The risers are lower than the rule set's least.", "Choose fewer risers."),
    explained("unit-rise-high", "The risers are higher than the rule set's most.", "Choose more risers."),
    explained(
        "unit-run-low",
        "The run of a tread, nose to nose, is less than the rule set's least.",
        "Cut the treads deeper.",
    ),
    explained("unit-run-high", "The run of a tread is more than the rule set's most.", "Cut the treads shallower."),
    explained(
        "riser-spread-low",
        "The finished risers differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained(
        "riser-spread-high",
        "The finished risers of the flight differ by more than allowed: people trip over the odd one.",
        "Check the finishes at foot and head.",
    ),
    explained(
        "run-spread-low",
        "The finished runs differ by less than the rule set's least.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained(
        "run-spread-high",
        "The finished runs of the flight differ by more than allowed.",
        "Check the riser boards and the spacer at the head.",
    ),
    explained(
        "nosing-low",
        "The tread reaches less over its riser than the rule set's least.",
        "Give the treads more overhang, or a deeper run.",
    ),
    explained(
        "nosing-high",
        "The tread reaches further over its riser than the rule set's most.",
        "Give the treads less overhang.",
    ),
    explained(
        "flight-rise-low",
        "The flight rises less than the rule set's least.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained(
        "flight-rise-high",
        "One flight rises further than allowed without a landing.",
        "Put a landing between two flights.",
    ),
    explained(
        "pitch-low",
        "The stair is flatter than the rule set's least angle.",
        "Choose fewer risers or a shorter run.",
    ),
    explained(
        "pitch-high",
        "The stair is steeper than the rule set's greatest angle.",
        "Choose more risers or a deeper run.",
    ),
    explained(
        "step-sum-low",
        "Twice the rise and one run is less than a comfortable or allowed step.",
        "Cut the treads deeper, or choose fewer risers.",
    ),
    explained(
        "step-sum-high",
        "Twice the rise and one run is more than a comfortable or allowed step.",
        "Cut the treads shallower, or choose more risers.",
    ),
    explained(
        "rise-run-sum-low",
        "One rise and one run is less than a comfortable step.",
        "Cut the treads deeper, or choose fewer risers.",
    ),
    explained(
        "rise-run-sum-high",
        "One rise and one run is more than a comfortable step.",
        "Cut the treads shallower, or choose more risers.",
    ),
    explained(
        "open-gap-low",
        "The gap between treads is less than the rule set's least.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained(
        "open-gap-high",
        "A child can slip through the open risers: the gap is the unit rise less the tread's thickness.",
        "Close the risers, use thicker treads, or put a bar across.",
    ),
    explained("riser-count-low", "The flight has fewer risers than the rule set's least.", "Choose more risers."),
    explained(
        "riser-count-high",
        "The flight has more risers than this limit; in the dwelling rules it tells when a handrail is wanted.",
        "Plan the handrail, or see the rule set's clause.",
    ),
    explained(
        "throat-low",
        "Too little wood is left behind the notches: the stringer is weak there.",
        "Use a wider board, lower risers or shorter treads; measure the board, its name is wider than it is.",
    ),
    explained(
        "throat-high",
        "More wood is left behind the notches than the rule set's most.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained("board-depth-low", "The board is narrower than the rule set's least.", "Use a wider board."),
    explained("board-depth-high", "The board is wider than the rule set's most.", "Use a narrower board."),
    explained(
        "board-thickness-low",
        "The board is thinner than the rule set's least.",
        "Use a thicker board, or double it.",
    ),
    explained("board-thickness-high", "The board is thicker than the rule set's most.", "Use a thinner board."),
    explained(
        "stringer-span-low",
        "The stringer is shorter than the rule set's least.",
        "Look at the rule set: this limit is unusual.",
    ),
    explained(
        "stringer-span-high",
        "A cut stringer of this length needs support on the way.",
        "Put a post or a wall under it, or ask a licensed designer.",
    ),
    explained(
        "not-checked",
        "The rule set asks for this and no measurement in the job can show it.",
        "Look on site, with your local code in hand.",
    ),
    explained(
        "feet-and-inches",
        "12 in or more stand after feet: it can be read, but it may be a slip of the pen.",
        "Write the feet and the rest, or inches alone.",
    ),
    explained(
        "no-first-riser",
        "The tread's thickness takes the whole first riser away at the foot.",
        "Choose fewer risers or thinner treads.",
    ),
    explained(
        "no-throat",
        "The notches go right through the board.",
        "Use a wider board, lower risers or shorter treads.",
    ),
    explained(
        "no-seat",
        "The board is too narrow to reach the floor under the first riser.",
        "Use a wider board, or lay less finish at the foot.",
    ),
    explained(
        "no-top-tread",
        "Spacer and riser boards leave no top tread cut.",
        "Check head.spacer, head.riser_board and head.top_tread.",
    ),
    explained(
        "top-tread-long",
        "The top tread runs past the board's lower edge: nothing is left under its end.",
        "Give a shorter head.top_tread or a wider board.",
    ),
    explained(
        "notch-beyond-seat",
        "The tie-plate notch reaches the end of the seat.",
        "Use a narrower plate or a smaller set_back; the seat's length is in the layout.",
    ),
    explained(
        "notch-reaches-tread",
        "The tie-plate notch reaches the first tread cut.",
        "Use a thinner plate: the first riser cut is the unit rise less the drop.",
    ),
    explained(
        "notch-thin-toe",
        "Little wood stands in front of the plate notch and will split off.",
        "Set the plate at the toe (set_back 0) or further back.",
    ),
    explained(
        "notch-thin-top",
        "Little wood stands between the plate notch and the first tread.",
        "Use a thinner plate.",
    ),
    explained(
        "notch-thin-heel",
        "Little seat is left behind the plate notch.",
        "Use a narrower plate or a smaller set_back.",
    ),
    explained(
        "head-contact-unknown",
        "Without the rim's depth nobody can say whether the top of the stringer bears on it.",
        "Measure the rim and give head.rim_depth.",
    ),
    explained(
        "head-contact-none",
        "The top plumb cut passes below the rim: the stringer hangs on nothing.",
        "Add a dropped header or a hanger board, or meet the floor flush; then waive this with that as the reason.",
    ),
    explained(
        "head-contact-small",
        "Little of the top plumb cut bears on the rim.",
        "Add a dropped header or a hanger board below the rim.",
    ),
    explained(
        "drop-negative",
        "More finish is still to come at the foot than the tread is thick: the stringer's foot gets longer.",
        "Check rise.finish_to_come.",
    ),
    explained(
        "thickness-differs",
        "What lies on the machine is not as thick as its profile says, or as the job's board. The cut is as deep as what was measured; feeds and passes are the profile's.",
        "Measure the board; give board.thickness, cut.thickness and cut.material that agree.",
    ),
    explained(
        "thickness-far",
        "What was measured is so far from the material's profile that the profile is of something else.",
        "Name the material that lies on the machine in cut.material, or measure again: board.thickness of the stringers, cut.thickness of what lies there.",
    ),
    explained(
        "thickness-not-measured",
        "Z0 is on the bed, so that marks are cut at a height over it: a sheet thinner than its profile by a mark's depth stays unmarked, a thicker one is marked deeper.",
        "Measure the sheet and give cut.thickness.",
    ),
    explained(
        "one-part-a-program",
        "On boards a program cuts one piece; the job asks for several.",
        "Saw the boards into blanks as boards.txt says, and run the program once a blank.",
    ),
    explained(
        "boards-not-measured",
        "The boards' own edges become the nose line and the lower edge, but nobody measured them.",
        "Measure each board's width at its narrowest and its crown, and list them in [boards] measured.",
    ),
    explained(
        "board-narrow",
        "A measured board is narrower than the one the stringer is laid out on: its throat would be smaller than figured.",
        "Leave that board out, or set [boards] narrow = \"re-solve\" to lay every stringer out on the narrowest.",
    ),
    explained(
        "board-re-solved",
        "Every figure is for the narrowest measured board, not for the width that the job asks for.",
        "Rip every wider board down to it, for the nose line is the board's own edge. Look at the throat again; leave the narrow board out if it is too small.",
    ),
    explained(
        "board-wide",
        "A measured board is wider than the one the stringer is laid out on: its own edge would be a nose line too high.",
        "Rip it down to the job's width.",
    ),
    explained(
        "stringer-thin",
        "The stringers are thinner than a board that carries a stair usually is; sheet goods outdoors are another matter still.",
        "Use thicker material or layers, and ask a licensed designer.",
    ),
    explained(
        "board-crown",
        "A crowned board's own edge is no straight lower edge: the stringer's throat and seat follow its bow.",
        "Lay the crown up, straighten the lower edge, or use a straighter board.",
    ),
    explained(
        "beyond-stock",
        "The part with the room its tool needs is larger than the material.",
        "Use a larger sheet or board, or another material profile; a pattern may be made in two pieces: cut.long = \"split\".",
    ),
    explained(
        "beyond-travel",
        "The part with the room its tool needs is larger than the machine's travel.",
        "Use a larger machine, or another machine profile; or shift the material along on pins: cut.long = \"index\".",
    ),
    explained(
        "sheet-trimmed",
        "The sheet as it comes is larger than the machine's travel; the program counts on a piece cut down to it.",
        "Cut the sheet down first, and zero at the lower left corner of that piece.",
    ),
    explained(
        "waiver-unused",
        "A [[waive]] names a code that refuses nothing here, or one that cannot be waived.",
        "Remove it, or give the code of a refusal as printed.",
    ),
    explained(
        "housed-too-deep",
        "The pockets take more than half of the board: what is left behind them splits.",
        "Make housed.depth less, or take a thicker board.",
    ),
    explained(
        "housed-shallow",
        "The pockets are so shallow that a tread that shrinks comes out of them.",
        "Make housed.depth more.",
    ),
    explained(
        "housed-no-wedge",
        "The pockets have parallel sides: treads and risers are only glued in.",
        "Give housed.wedge for pockets that widen toward their far end.",
    ),
    explained(
        "housed-ends",
        "The pockets are closed all round: the foot of the first riser and the back of the top tread are notched at their ends where the pocket stops short.",
        "Nothing, or change housed.land.",
    ),
    explained(
        "housed-laser",
        "A beam has no depth that can be trusted: it makes no pockets.",
        "Use a machine with a cutter.",
    ),
    explained(
        "housed-pattern",
        "A pattern carries an outline, not pockets of a depth.",
        "Set cut.makes = \"stringers\".",
    ),
    explained(
        "housed-board",
        "A housed stringer is cut out of its material with waste all round; it is not made on a board whose own edges are the part's.",
        "Copy the material profile of the board as one with form = \"sheet\", a little wider and longer than the part.",
    ),
    explained(
        "housed-plate",
        "A housed stringer is made without a notch for a tie plate.",
        "Leave foot.tie_plate out.",
    ),
    explained(
        "housed-several",
        "A program makes one housed stringer, alone on its sheet: the pockets are not laid out with others.",
        "Set cut.quantity = 1 and run the program once a piece; each hand is a job of its own.",
    ),
    explained(
        "housed-no-pocket",
        "The pockets of this flight would cross themselves: boards, wedges and land leave no room.",
        "Use thinner treads or risers, a smaller wedge or less land.",
    ),
    explained(
        "housed-thin",
        "Too little wood stays between a pocket and an edge of the board.",
        "Take a wider board, more housed.edge_above, a smaller wedge, or less housed.land.",
    ),
    explained(
        "unit-slip",
        "A figure of the machine profile is unusual, and would be usual in the other unit: 0.25 mm where 0.25 in was meant.",
        "Look at the unit. If the figure is right, waive the refusal with that as the reason.",
    ),
    explained(
        "pass-deep",
        "A pass takes more than the cutter stands: about its own diameter is usual in wood, above three diameters it breaks.",
        "Lower pass_depth in the machine profile.",
    ),
    explained(
        "cut-through-deep",
        "The last pass goes deep below the material, into the spoilboard or the bed.",
        "Lower cut_through in the machine profile: a few hundredths of an inch are enough.",
    ),
    explained(
        "safe-height-low",
        "Rapids go across so low over the material that a sheet which is not flat, a chip or a tab is hit.",
        "Raise safe_height in the machine profile.",
    ),
    explained(
        "chip-load-odd",
        "The chip that each cutting edge takes is outside of what wood is cut with: a thin one rubs and burns, a thick one tears.",
        "Check chip_load, its unit above all, flutes and speed_rpm in the machine profile.",
    ),
    explained(
        "flutes-many",
        "A cutter with so many edges is made for metal: in wood its chips do not leave.",
        "Check flutes in the machine profile; 1 to 3 are usual.",
    ),
    explained(
        "cutter-slender",
        "The cutter is long for its thickness: it bends away from the cut and may break.",
        "Use a shorter or a thicker cutter, or check flute_length and cutter in the machine profile.",
    ),
    explained(
        "ramp-steep",
        "The cutter is let down so steeply that it drills rather than cuts; not every cutter cuts at its middle.",
        "Lower ramp_deg in the machine profile; 2 to 5 degrees are usual.",
    ),
    explained(
        "mark-shape",
        "The stroke of the pointed cutter is much deeper than it is wide: so sharp a point breaks off.",
        "Measure the stroke: mark.width is its width at the face, mark.depth how deep it goes.",
    ),
    explained(
        "kerf-wide",
        "The beam takes more away than a laser usually does in wood: if it does not, every piece comes out too large.",
        "Cut a test square, measure it, and give kerf in the machine profile.",
    ),
];
