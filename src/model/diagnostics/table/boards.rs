//! Boards and sheets: what was measured of them, what goes on the machine.

use super::super::code::findings;
use super::super::{Count, Exact, GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    TakenAs { keys: String } "taken-as" Advice Never PRACTICE,
        "left out of the job and taken as: {keys}",
        "The job leaves these keys out, so what is usual is taken.",
        "Read them through, and write into the job whatever is otherwise on your site.";
    LaidOutByHand {} "laid-out-by-hand" Advice Never PRACTICE,
        "no table [cut]: the stringer is laid out by hand, and no program is made",
        "The job names no machine, so it is solved and checked for layout by hand.",
        "For files and programs add a table [cut]: what is cut, on what machine, out of what.";
    BoardByName { name: String, width: Length, thickness: Length }
        "board-by-name" Advice Never "American Softwood Lumber Standard PS 20, dry dressed sizes",
        "the board is given as {name}: {width} by {thickness} is taken, as such boards are \
        dressed; measure yours",
        "A board's name is not its size: what a dressed and dry board of this name measures is \
        taken.",
        "Hold the tape to the board and give what it says: a table [board] with width and \
        thickness.";
    BoardNamedSize { typed: Length, measures: Length }
        "board-named-size" Warning Never "American Softwood Lumber Standard PS 20, dry dressed \
            sizes",
        "{typed} is what such a board is called; dressed it measures about {measures}: type what \
        the tape says",
        "The board's width or thickness is just the one in its name, and a dressed board is \
        smaller than its name.",
        "Hold the tape to the board and type what it says; if it is a rough board of just this \
        size, leave it.";
    BoardsNotMeasured {} "boards-not-measured" Advice Never PRACTICE,
        "no board was measured: their own edges become the nose line and the lower edge",
        "The boards' own edges become the nose line and the lower edge, but nobody measured them.",
        "Measure each board's width at its narrowest and its crown, and list them in [boards] \
        measured.";
    BoardNarrow { measured: Length, limit: Length } "board-narrow" Refusal Waivable PRACTICE,
        "the board is {measured} wide and the stringer is laid out on {limit}",
        "A measured board is narrower than the one the stringer is laid out on: its throat would \
        be smaller than figured.",
        "Leave that board out, or set [boards] narrow = \"re-solve\" to lay every stringer out on \
        the narrowest.";
    BoardReSolved { measured: Length, asked: Length } "board-re-solved" Warning Never PRACTICE,
        "every figure is for the narrowest board, {measured} wide, not for the {asked} of the job",
        "Every figure is for the narrowest measured board, not for the width that the job asks \
        for.",
        "Rip every wider board down to it, for the nose line is the board's own edge. Look at the \
        throat again; leave the narrow board out if it is too small.";
    BoardWide { measured: Length, limit: Length } "board-wide" Advice Never PRACTICE,
        "the board is {measured} wide: rip it down to {limit}, for its edge is the nose line",
        "A measured board is wider than the one the stringer is laid out on: its own edge would be \
        a nose line too high.",
        "Rip it down to the job's width.";
    CrownThroat { crown: Length, measured: Length, limit: Length }
        "crown-throat" Warning Never PRACTICE,
        "with the board's crown of {crown} the throat may be as small as {measured}, and {limit} \
        is asked for",
        "A crowned board's own edge is no straight lower edge: where its bow takes wood, the \
        throat may fall below the rule set's least.",
        "Lay the crown up, straighten the lower edge, or use a straighter board.";
    BoardCrown { measured: Length, throat: Length, limit: Length }
        "board-crown" Warning Never PRACTICE,
        "the board's crown is {measured}, more than {limit}: the throat may be as small as \
        {throat}",
        "A crowned board's own edge is no straight lower edge: the stringer's throat and seat \
        follow its bow.",
        "Lay the crown up, straighten the lower edge, or use a straighter board.";
    SolidCrown { measured: Length, limit: Length } "solid-crown" Warning Never PRACTICE,
        "the board's crown is {measured}, more than {limit}: what is marked from its edges is off \
        by up to as much",
        "The places on the face of a solid stringer are marked from its edges, and a crowned \
        board's edges are not straight.",
        "Straighten the upper edge, mark from a line that is snapped along the board, or use a \
        straighter board.";
    StringerThin { measured: Length, material: String, limit: Length, free: Length }
        "stringer-thin" Warning Never
        "National Building Code of Canada 9.8.9.4, for comparison",
        "the stringers are {measured} of {material}; {limit} is asked for where they are supported \
        along their length, {free} otherwise",
        "The stringers are thinner than a board that carries a stair usually is; sheet goods \
        outdoors are another matter still.",
        "Use thicker material or layers, and ask a licensed designer.";
    OnePartAProgram { measured: Count } "one-part-a-program" Advice Never PRACTICE,
        "{measured} pieces: run the program once a piece, each on a blank of its own",
        "On boards a program cuts one piece; the job asks for several.",
        "Saw the boards into blanks as boards.txt says, and run the program once a blank.";
    BeyondStock { measured: Length, limit: Length, axis: &'static str }
        "beyond-stock" Refusal Never GEOMETRY,
        "the part with the room its tool needs takes {measured} along {axis}; the material has \
        {limit}",
        "The part with the room its tool needs is larger than the material.",
        "Use a larger sheet or board, or another material profile; a pattern may be made in two \
        pieces: cut.long = \"split\".";
    BeyondTravel { measured: Length, limit: Length, axis: &'static str }
        "beyond-travel" Refusal Never GEOMETRY,
        "the part with the room its tool needs takes {measured} along {axis}; the machine travels \
        {limit}",
        "The part with the room its tool needs is larger than the machine's travel.",
        "Use a larger machine, or another machine profile; or shift the material along on pins: \
        cut.long = \"index\".";
    SheetTrimmed { along_x: Length, along_y: Length } "sheet-trimmed" Advice Never GEOMETRY,
        "the sheet is larger than the machine's travel: cut it down to {along_x} along X and \
        {along_y} along Y",
        "The sheet as it comes is larger than the machine's travel; the program counts on a piece \
        cut down to it.",
        "Cut the sheet down first, and zero at the lower left corner of that piece.";
    OffcutsClamped { material: String } "offcuts-clamped" Advice Never GEOMETRY,
        "offcuts of {material} lie in the rack and none is used: cut.clamps stand where a whole \
        sheet has its edges",
        "Clamps are told by their places on a whole sheet, and would stand beside an offcut or on \
        what is cut from it.",
        "Leave cut.clamps out, and screw or clamp each stock in its rim, to have offcuts used.";
    BoardTooShort { measured: Exact, limit: Exact, board: Length }
        "board-too-short" Refusal Never GEOMETRY,
        "a blank takes {measured}, and the longest board that can be bought, {board}, yields \
        {limit}",
        "A blank is longer than every board that can be bought.",
        "Give longer boards in [boards] lengths, or a board profile and a machine for them.";
    TooManyBlanks { measured: Count, limit: Count } "too-many-blanks" Refusal Never GEOMETRY,
        "the jobs ask for {measured} blanks, and boards are laid out for {limit} at the most",
        "More blanks are asked for together than a plan of boards is made for.",
        "Make fewer jobs, or fewer of each, in one set.";
    StockWithout { material: String } "stock-without" Refusal Never GEOMETRY,
        "the stock file lists nothing of {material}",
        "A job is cut from a material that the stock file does not name.",
        "List it there, [[board]] or [[sheet]] with just this name, or make the job without the \
        stock file.";
    StockUsedUp { material: String } "stock-used-up" Refusal Never GEOMETRY,
        "of {material} the stock file has none left: every board of it has count = 0",
        "The boards that the stock file lists of this material are used up.",
        "Count what lies there and type it, or list boards that can be bought: a [[board]] without \
        a count.";
    BoardsDiffer { kerf: Length, end_trim: Length } "boards-differ" Advice Never PRACTICE,
        "the jobs whose boards are sawn together say different kerfs or trims in [boards]: taken \
        are the largest, a kerf of {kerf} and {end_trim} off each end",
        "Boards of one material are sawn together, and the jobs do not say the same of what the \
        saw takes.",
        "Give the same kerf and end_trim in the table [boards] of each job.";
    StockShort { material: String, measured: Length, limit: Length }
        "stock-short" Refusal Never GEOMETRY,
        "of {measured} of blanks no way was found to saw all out of the boards of {material} at \
        hand, {limit} in all between their trims",
        "The boards in the stock file are too few, or too short, for what is asked.",
        "Give fewer pieces, or list boards that can be bought: a [[board]] without a count.";
    StockNarrow { material: String, measured: Length, limit: Length }
        "stock-narrow" Refusal Never GEOMETRY,
        "a stringer is laid out on {limit} of width, and the widest board of {material} in the \
        stock file is {measured} wide",
        "No board in the stock file is as wide as the stringer is laid out on.",
        "List a wider board, lay the stringer out on a narrower one (board.width), or leave the \
        width out of boards that nobody measured.";
    StockSheets { material: String, measured: Count, limit: Count }
        "stock-sheets" Refusal Never PRACTICE,
        "whole sheets of {material}: {measured} needed, {limit} at hand",
        "The sheets in the stock file are too few for what is asked.",
        "Give fewer pieces, or list sheets that can be bought: a [[sheet]] without a count.";
    NoPlaceOnSheet { length: Length, width: Length, sheet_length: Length, sheet_width: Length, margin: Length }
        "no-place-on-sheet" Refusal Never GEOMETRY,
        "a piece of {length} by {width} finds no place on a sheet of {sheet_length} by \
        {sheet_width}, less a margin of {margin} and its clamps (cut.clamps)",
        "A piece, with the room that its tool needs, is larger than what margins and clamps leave \
        of a sheet.",
        "Use a larger sheet or machine, move the clamps to the sheet's edges, or make a pattern in \
        two pieces: cut.long = \"split\".";
}
