//! Treads, riser boards and skirts as pieces.

use super::super::code::findings;
use super::super::{GEOMETRY, PRACTICE};
use crate::units::Length;

findings! {
    SkirtNarrow { side: String, width: Length, least: Length }
        "skirt-narrow" Refusal Never GEOMETRY,
        "the wall skirt on the {side} is {width} wide; to cover the corners of the steps it has to \
        be more than {least}",
        "Its lower edge would pass above the corners where a riser meets the tread below it, and \
        the wall would show there.",
        "Take a wider board (skirts.width), or let it stand less far over the nosings \
        (skirts.above).";
    TreadShortOfSkirt { past: Length, skirt: Length } "tread-short-of-skirt" Advice Never PRACTICE,
        "the treads run {past} past the stringers, and the open skirt is {skirt} thick: they end \
        behind its face",
        "Treads usually reach past the face of an open skirt, as far as their nosing reaches past \
        the riser.",
        "Look at steps.past_sides again: it counts from the outer face of the stringer, the \
        skirt's thickness included.";
    SkirtBoardNarrow { needs: Length, width: Length } "skirt-board-narrow" Warning Never GEOMETRY,
        "an open skirt takes {needs} of board, and the board is {width} wide",
        "An open skirt reaches from the nose points, forward by a mitre, down to the stringer's \
        lower edge.",
        "Take a wider board (skirts.width), butt the riser boards (skirts.at_risers), or rip its \
        lower edge: it need not reach as low.";
    PostsApart { measured: Length, limit: Length } "posts-apart" Warning Never GEOMETRY,
        "posts stand {measured} apart, {limit} at most are asked for: each stands over a tread, as \
        near to its middle as it can",
        "A post stands over a tread, in its middle or beside the fasteners that come through \
        there, so posts cannot be at any distance.",
        "Look whether the rail bears that between two posts, or take treads less deep; narrower \
        posts or fewer fasteners in a cleat (cleat.count) let posts stand nearer to the middle of \
        theirs.";
    LaidFarther { spacing: Length, usual: Length } "laid-farther" Advice Never GEOMETRY,
        "pieces lie {spacing} apart, not {usual}: so near an offcut would hang on too little wood",
        "At the usual spacing a layout left an offcut that nothing held, and a little farther \
        apart none.",
        "Nothing; cut.spacing asks for just one spacing.";
    OneStringer {} "one-stringer" Advice Never PRACTICE,
        "one stringer is cut, and a stair stands on two at least, the middle ones not counted",
        "The job cuts a single stringer and does not say how wide the stair is.",
        "Set cut.quantity, or give stair.width and the number is worked out; let it be where the \
        others are made elsewhere.";
    RailOpen { measured: Length } "rail-open" Advice Never PRACTICE,
        "no balusters are asked for: {measured} stays open between the posts. What fills it is \
        yours to plan: a rail with nothing under it is something to hold on to, and no guard",
        "The job has a rail and does not say what fills it.",
        "Set rail.baluster, or plan another infill and have it looked at.";
    PostOnNotch { post: Length, run: Length } "post-on-notch" Warning Never GEOMETRY,
        "a post {post} wide has no room between the notch corners of a tread cut of {run}: it \
        covers the place where the least board is left",
        "A post is fastened through the stringer just where its notches leave the least wood.",
        "Take a narrower post, or let posts stand on the floor beside the stringer.";
    PostOnFasteners { post: Length, hole: Length } "post-on-fasteners" Warning Never GEOMETRY,
        "a post {post} wide finds no place over its tread between the cleats' fasteners of {hole}: \
        it lies on the heads of some",
        "The fasteners of the cleats go through the stringer to the face where the posts stand, \
        and a post has to lie flat there.",
        "Take a narrower post or fewer fasteners in a cleat (cleat.count), sink their heads, or \
        screw the cleats on from inside: cleat.holes = \"none\".";
    StepBoardShort { what: String, length: Length, longest: Length }
        "step-board-short" Warning Never GEOMETRY,
        "{what} take {length}, and no board of those lengths is longer than {longest}: what to buy \
        for them is not worked out",
        "A piece is longer than every board it could be sawn from, less what is trimmed off its \
        ends.",
        "Give the lengths as they are sold (steps.lengths, steps.riser_lengths, skirts.lengths), \
        or join two boards.";
    StepBoardsUnplanned { what: String, why: String }
        "step-boards-unplanned" Warning Never GEOMETRY,
        "which boards to buy for {what} is not worked out: {why}",
        "The search for the fewest feet of board does not take on so much at once.",
        "Ask for fewer stairs at a time (stairs), or count the boards by the pieces of one stair.";
}
