//! What a machine profile says and nobody means, and the thickness of what lies on the machine.

use super::super::code::findings;
use super::super::{Count, Degrees, Figure, Fine, GEOMETRY, PRACTICE};
use super::proof_motion::Axis;
use super::words::words;
use crate::units::Length;

words! {
    /// Which bound of a chip was passed, and what happens beyond it.
    ChipBound {
        Least "the least that does not rub and burn",
        Most "the most that does not tear",
    }
}

findings! {
    UnitSlip { measured: Fine, usual: Fine, how: &'static str }
        "unit-slip" Warning Waivable PRACTICE,
        "{measured} is unusual here, and {usual} would be usual: {how}?",
        "A figure of the machine profile is unusual, and would be usual in the other unit: 0.25 mm \
        where 0.25 in was meant.",
        "Look at the unit. If the figure is right, waive the refusal with that as the reason.";
    PassDeep { pass: Fine, measured: Figure, limit: Figure, refused: Figure }
        "pass-deep" Warning Waivable PRACTICE,
        "a pass takes {pass}, {measured} times the cutter's diameter: up to {limit} is usual in \
        wood, above {refused} it is refused",
        "A pass takes more than the cutter stands: about its own diameter is usual in wood, above \
        three diameters it breaks.",
        "Lower pass_depth in the machine profile.";
    CutThroughDeep { measured: Fine, limit: Fine, refused: Fine }
        "cut-through-deep" Warning Waivable PRACTICE,
        "the last pass goes {measured} into the bed; {limit} is enough, above {refused} it is \
        refused",
        "The last pass goes deep below the material, into the spoilboard or the bed.",
        "Lower cut_through in the machine profile: a few hundredths of an inch are enough.";
    SafeHeightLow { measured: Fine, limit: Fine } "safe-height-low" Warning Never PRACTICE,
        "rapids go across {measured} over the material; {limit} or more clears what stands up",
        "Rapids go across so low over the material that a sheet which is not flat, a chip or a tab \
        is hit.",
        "Raise safe_height in the machine profile.";
    ClearHeightLow { clamp: Count, measured: Length, limit: Length }
        "clear-height-low" Refusal Never GEOMETRY,
        "clear_height is {measured} over the stock, and clamp {clamp} is passed over at {limit} or \
        higher",
        "The machine profile's clear height does not clear a clamp of the job by a quarter inch.",
        "Raise clear_height in the machine profile, or use a lower clamp.";
    ParkLow { measured: Length, limit: Length } "park-low" Refusal Never GEOMETRY,
        "park lies over the stock, {measured} above it: over the stock the tool stands {limit} or \
        higher",
        "The machine profile parks the tool over the stock, lower than it travels over it.",
        "Raise park.z in the machine profile to clear_height, leave it out, or park beside the \
        stock.";
    ParkOnClamp { clamp: Count } "park-on-clamp" Refusal Never GEOMETRY,
        "park lies over clamp {clamp}, and the tool does not stand clear above it",
        "The machine profile parks the tool where a clamp of the job stands.",
        "Move the clamp, or give park another place or a greater z in the machine profile.";
    ParkBeyondTravel { axis: Axis, measured: Length, limit: Length }
        "park-beyond-travel" Refusal Never GEOMETRY,
        "from the cut to park the tool goes {measured} along {axis}, and the machine travels \
        {limit}",
        "The place that the machine profile parks at is farther from the cut than the machine \
        travels.",
        "Give park a place nearer to X0 Y0 in the machine profile.";
    ChipLoadOdd { measured: Fine, limit: Fine, bound: ChipBound }
        "chip-load-odd" Warning Never PRACTICE,
        "each edge takes a chip of {measured}; {limit} is {bound}",
        "The chip that each cutting edge takes is outside of what wood is cut with: a thin one \
        rubs and burns, a thick one tears.",
        "Check chip_load, its unit above all, flutes and speed_rpm in the machine profile.";
    FlutesMany { measured: Count, limit: Count } "flutes-many" Warning Never PRACTICE,
        "the cutter has {measured} edges; at most {limit} are usual in wood",
        "A cutter with so many edges is made for metal: in wood its chips do not leave.",
        "Check flutes in the machine profile; 1 to 3 are usual.";
    CutterSlender { measured: Figure, limit: Figure } "cutter-slender" Warning Never PRACTICE,
        "the cutter's edges are {measured} times its diameter long; above {limit} it bends",
        "The cutter is long for its thickness: it bends away from the cut and may break.",
        "Use a shorter or a thicker cutter, or check flute_length and cutter in the machine \
        profile.";
    RampSteep { measured: Degrees, limit: Degrees } "ramp-steep" Warning Never PRACTICE,
        "the cutter is let down at {measured}; steeper than {limit} it drills",
        "The cutter is let down so steeply that it drills rather than cuts; not every cutter cuts \
        at its middle.",
        "Lower ramp_deg in the machine profile; 2 to 5 degrees are usual.";
    MarkShape { measured: Fine, width: Fine, limit: Figure } "mark-shape" Warning Never PRACTICE,
        "the pointed cutter goes {measured} deep in a stroke {width} wide; a point deeper than \
        {limit} times its width breaks",
        "The stroke of the pointed cutter is much deeper than it is wide: so sharp a point breaks \
        off.",
        "Measure the stroke: mark.width is its width at the face, mark.depth how deep it goes.";
    KerfWide { measured: Fine, limit: Fine } "kerf-wide" Warning Never PRACTICE,
        "the beam takes {measured} away; a laser in wood takes at most {limit}: cut a test square \
        and measure it",
        "The beam takes more away than a laser usually does in wood: if it does not, every piece \
        comes out too large.",
        "Cut a test square, measure it, and give kerf in the machine profile.";
    SquareCutterWide { measured: Length, limit: Length }
        "square-cutter-wide" Refusal Never GEOMETRY,
        "the cutter is {measured} wide; in the hole of a test square one of {limit} or less finds \
        its way in",
        "The hole of a test square leaves no room for the way in of so wide a cutter, and for the \
        tabs beside it.",
        "Cut the test square with a thinner cutter, and measure this one on a straight cut: a \
        groove is as wide as it.";
    SquareNotRoughed { rough: Length, cutter: Length } "square-not-roughed" Advice Never PRACTICE,
        "the test square is cut with the cutter of {cutter} alone: it measures that one, and the \
        roughing cutter of {rough} (router.rough) does not go first",
        "A profile with a roughing cutter cuts its parts with two; how wide a cut comes out is \
        asked of the one that goes along the line.",
        "Nothing to do; how wide the roughing cutter is hardly matters, for it leaves its \
        allowance.";
    FeedTooSlow { measured: Fine, limit: Fine } "feed-too-slow" Refusal Never GEOMETRY,
        "speed_rpm x flutes x chip_load makes a feed of {measured} a minute; {limit} is the least \
        that can be written",
        "Speed, cutting edges and chip load give a feed below an inch a minute: the cutter rubs \
        and burns, and the F word has no digit for it.",
        "Raise chip_load or speed_rpm in the machine profile; look whether the chip load is in the \
        unit you meant.";
    PowerTooHigh { measured: Figure, limit: Figure } "power-too-high" Refusal Never GEOMETRY,
        "the laser's full power is S {measured}, and its controller takes S {limit} at the most",
        "The laser's full power is above the greatest S word that its profile says the controller \
        takes.",
        "Lower power in the machine profile to the S word of full power, or correct max_power.";
    ProgramLong { measured: Count, limit: Count } "program-long" Refusal Never GEOMETRY,
        "the program would have {measured} moves; {limit} are the most",
        "The program would have more moves than a controller or the proof takes: shallow passes, a \
        flat ramp or narrow holes many times over.",
        "Raise pass_depth or ramp_deg in the machine profile, give a wider cut.dowel, or cut fewer \
        pieces at once.";
    ThicknessDiffers { measured: Length, off: Figure, limit: Length, material: String }
        "thickness-differs" Warning Never PRACTICE,
        "{measured} was measured, {off} off the {limit} of {material}; the cut is as deep as what \
        was measured",
        "What was measured and what the material's profile says are not equally thick: feeds and \
        passes were chosen for the profile's. The cut is as deep as what was measured.",
        "Measure again: board.thickness is that of the stringer, cut.thickness that of what lies \
        on the machine.";
    StringerThickness { measured: Length, layers: Count, ply: Length, limit: Length }
        "stringer-thickness" Warning Never PRACTICE,
        "board.thickness is {measured}, and what lies on the machine makes {layers} x {ply} = \
        {limit}",
        "The stringer is laid out with one thickness and comes off the machine with another.",
        "Measure again: board.thickness is that of the stringer, cut.thickness that of what lies \
        on the machine.";
    ThicknessFar { thickness: Length, measured: Figure, limit: Figure, profile: Length, material: String } "thickness-far" Refusal Waivable PRACTICE,
        "{thickness} was measured, {measured} off the {profile} of {material}: at most {limit} is \
        the same thing",
        "What was measured is so far from the material's profile that the profile is of something \
        else.",
        "Name the material that lies on the machine in cut.material, or measure again: \
        board.thickness of the stringers, cut.thickness of what lies there.";
    ThicknessNotMeasured { measured: Length, material: String }
        "thickness-not-measured" Advice Never PRACTICE,
        "marks count on the {measured} of {material} over the bed: nobody measured it",
        "Z0 is on the bed, so that marks are cut at a height over it: a sheet thinner than its \
        profile by a mark's depth stays unmarked, a thicker one is marked deeper.",
        "Measure the sheet and give cut.thickness.";
}
