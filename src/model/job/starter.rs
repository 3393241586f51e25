//! The commented job that `seatcut new` writes.

/// A job that can be made as it stands, every key explained. The stair is invented.
pub const STARTER: &str = r#"# A stair job. Every figure is an example of an invented stair: put your own measurements in.
# A length is a text with its unit: "26 3/4 in", "26-3/4 in", "2 ft 2 3/4 in", "2' 2-3/4\"", "679.45 mm", "68 cm".
# Decide with your local code and, where people may be hurt, with a licensed professional.

title = "Garden steps"                # printed on everything; at most 60 characters
rules = "us-irc-2021"                 # `seatcut profiles` lists the rule sets; or a path to your own
# stairs = 1                          # how many stairs alike this job is for: cut.quantity is of all of them
# units = "in"                        # only if you want to type bare numbers: "in" or "mm"

[rise]
total = "51 3/8 in"                   # plumb, from finished lower surface to finished upper surface
# rough = "50 3/8 in"                 # instead of total: from what the stringer will stand on to the top of the framing
risers = 7                            # or: aim = "7 in"; leave both out to let the rule set's comfort decide
# finish_to_come = "0 in"             # finish still to be laid over the lower surface

[tread]
cut = "10 1/4 in"                     # unit run: riser cut to riser cut
# boards = { count = 2, width = "5 1/2 in", gap = "1/4 in", gap_at_riser = true }   # instead of cut
overhang = "1 in"                     # nosing beyond the riser face
thickness = "1 in"                    # it comes off the foot of the stringer, once
riser_board = "3/4 in"                # "0 in": open risers

[head]
meets = "one-down"                    # top tread one riser below the upper finish; or "flush": level with it
finish = "1 in"                       # thickness of the upper finish above its framing
# riser_board = "3/4 in"              # on the rim; left out: as tread.riser_board
# spacer = "0 in"                     # hanger board between stringer and rim
rim_depth = "9 1/4 in"                # lets the contact height at the head be checked
# top_tread = "10 1/4 in"             # flush only: length of the top tread cut
# overhang = "1 in"                   # of the upper finish past the riser at the head; left out: as tread.overhang, and that is said

# [foot]
# stands_on = { what = "sole plate", height = "1 1/2 in" }   # under the whole seat, over the lower surface: the drop grows by it

[foot.tie_plate]                      # leave the table out: no notch
width = "3 1/2 in"
height = "1 1/2 in"
set_back = "0 in"                     # from the first riser cut; 0: at the toe
clearance = "1/16 in"                 # added to width and to height

[board]                               # what the stringer itself is made of, as measured, not as named
width = "11 1/4 in"
thickness = "1 1/2 in"
# tip_inset = "0 in"                  # how far the nose points stay below the board's upper edge

[cut]
makes = "pattern"                     # a master pattern; or "stringers": the parts themselves
quantity = 1
machine = "router-table"              # `seatcut profiles` lists the machines; or a path to your own
material = "hardboard-6"              # what lies on the machine; or a path to your own
# thickness = "6.2 mm"                # of what lies there, as measured; left out: stringers as their board, patterns as the material
# clamps = [{ x = "0 in", y = "20 in", length = "4 in", width = "3 in", height = "1 1/4 in" }]   # from X0 Y0, over the stock
corners = "fillet"                    # inside corners: "fillet", "bisector", "riser", "tread"
# follow = { with = "pencil", lead = "1/32 in" }   # how a pattern will be followed: "edge" (the default),
                                      # "pencil", "bearing-bit", or
                                      # { with = "bushing", outside = "3/4 in", bit = "1/2 in" }

# More is looked at only where it is asked for; README.md explains these tables and the key head.joint.
# [ground]                            # ground that falls away from the head; then leave rise.total out: it is solved
# at_head = "48 in"                   # rise measured plumb at the head
# slope = "1 in 12"                   # or "8 %", "5 deg"; or drop = "6 in" with over = "72 in"
# [stair]                             # where the stringers stand
# width = "36 in"
# most_spacing = "16 in"              # the limit of the tread's own material
# clear_width = "36 in"               # as measured between what stands beside it
# headroom = "82 in"                  # as measured, plumb over the nose line, the least there is
# held = "along"                      # a wall carries the stringers along their whole length
# [[across]]                          # two or three readings of the total rise across the width
# offset = "0 in"                     # from the left side
# total = "51 3/8 in"
# [load]                              # the stringer as a beam: needs [stair], board.species, board.grade
# live = "40 psf"                     # left out: the rule set's
# [moisture]                          # percent: what drying changes; needs board.species
# now = 15
# service = 10
# [built]                             # as built, for `seatcut fit`: tread tops over the lower floor
# heights = ["7 1/4 in", "14 3/4 in"]
# shim_most = "1/2 in"

# [[waive]]                           # a refusing rule that you take on; printed on every sheet
# rule = "unit-rise-high"
# reason = "why this is right here"
"#;
