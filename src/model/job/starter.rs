//! The commented job that `seatcut new` writes.

/// A job that can be made as it stands. Eight answers are enough, and stand first in their tables;
/// everything else is commented out, with what is taken for it. The stair is invented.
///
/// A comment that says `instead of` or `with` names the lines that go or come along with its own.
pub const STARTER: &str = r#"# A stair job. Every figure is of an invented stair: put your own measurements in.
# Eight answers are enough, marked 1 to 8. A line that begins with # is not read: take the # away to use it,
# of a [table] that begins with # from all its lines.
# A length stands in quote marks with its unit: "26 3/4 in", "26-3/4 in", "2 ft 2 3/4 in", "679.45 mm", "68 cm".
# Inside quote marks an inch is in, never the inch mark.
# Decide with your local code and, where people may be hurt, with a licensed professional.

# title = "Garden steps"              # printed on everything; left out: this file's name
# rules = "us-irc-2021"               # left out: this one; `seatcut profiles` lists the rule sets
# stairs = 1                          # how many stairs alike this job is for: quantity is of all of them
# units = "in"                        # only if you want to leave the unit of every length out: "in" or "mm"

[rise]
total = "51 3/8 in"                   # 1  plumb, from finished lower surface to finished upper surface
# rough = "50 3/8 in"                 # instead of total: from what the stringer stands on to the top of the framing
risers = 7                            # 2  how many
# aim = "7 in"                        # instead of risers: the count nearest to this; neither: the rule set's comfort
# finish_to_come = "0 in"             # finish still to be laid over the lower surface

[tread]
cut = "10 1/4 in"                     # 3  unit run: riser cut to riser cut
# boards = { count = 2, width = "5 1/2 in", gap = "1/4 in", gap_at_riser = true }   # instead of cut
thickness = "1 in"                    # 4  it comes off the foot of the stringer, once
# overhang = "1 in"                   # nosing beyond the riser's face; left out: 1 in
# riser_board = "3/4 in"              # left out: 3/4 in; "0 in": open risers

[head]
finish = "1 in"                       # 5  thickness of the upper finish above its framing
rim_depth = "11 1/4 in"               # 6  the rim joist that the stringer hangs on: is there enough to bear on?
# meets = "one-down"                  # the top tread one riser below the upper finish; left out: this
# meets = "flush"                     # the top tread level with it
# top_tread = "10 1/4 in"             # length of the top tread cut, with meets = "flush"
# riser_board = "3/4 in"              # on the rim; left out: as below [tread]
# spacer = "0 in"                     # packing between stringer and rim, below the tread; a hanger board: head.joint
# overhang = "1 in"                   # of the upper finish past the riser at the head; left out: as below [tread]

# [foot]
# stands_on = { what = "sole plate", height = "1 1/2 in" }   # under the whole seat: the drop grows by it
# [foot.tie_plate]                    # left out: no notch
# width = "3 1/2 in"
# height = "1 1/2 in"
# set_back = "0 in"                   # from the first riser cut; 0: at the toe
# clearance = "1/16 in"               # added to width and to height

[board]                               # 7  what the stringer is made of, as the tape says, not as it is called
width = "11 1/4 in"
thickness = "1 1/2 in"
# tip_inset = "0 in"                  # how far the nose points stay below the board's upper edge
# species = "douglas-fir-larch"
# grade = "no2"

[cut]
makes = "pattern"                     # 8  a master pattern
# makes = "stringers"                 # the parts themselves, instead of makes, with material = "board-2x12"
machine = "router-table"              # `seatcut profiles` lists the machines; or a path to your own
material = "hardboard-6"              # what lies on the machine; or a path to your own
# material = "board-2x12"             # instead of material
# quantity = 1
# thickness = "6.2 mm"                # of what lies there, as measured; left out: as the material's file says
# clamps = [{ x = "0 in", y = "20 in", length = "4 in", width = "3 in", height = "1 1/4 in" }]   # from X0 Y0
# tabs = { count = 4, height = "3/32 in", width = "1/2 in", shape = "flanks" }   # what holds each piece, as usual if left out
# marks = "short"                     # on a pattern: numbers, lines, check lengths; left out: title and dimensions too
# marks = "none"                      # nothing is marked
# corners = "fillet"                  # inside corners keep the cutter's round; left out: this
# corners = "bisector"                # cleared along the bisector
# corners = "riser"                   # cleared into the riser cut
# corners = "tread"                   # cleared into the tread cut
# follow = "edge"                     # a pattern is followed along its edge; left out: this
# follow = "pencil"                   # with a pencil whose line is 1/32 in wide
# follow = { with = "pencil", lead = "1/32 in" }   # with a pencil of your own
# follow = "bearing-bit"
# follow = { with = "bushing", outside = "3/4 in", bit = "1/2 in" }

# More is looked at only where it is asked for; README.md explains these tables, [opening], [steps], [skirts], [rail] and the key head.joint.
# [ground]                            # ground that falls away from the head, instead of total, risers
# at_head = "48 in"                   # rise measured plumb at the head
# slope = "1 in 12"                   # or "8 %", "5 deg"

# [stair]                             # where the stringers stand
# width = "36 in"
# most_spacing = "16 in"              # the limit of the tread's own material
# clear_width = "36 in"               # as measured between what stands beside it
# headroom = "82 in"                  # as measured, plumb over the nose line, the least there is
# held = "along"                      # a wall carries the stringers along their whole length

# [[landing]]                         # a stair of several flights, with [stair]
# after = 4                           # how many risers of the whole stair lie below it
# depth = "40 in"                     # level, along the flight that arrives
# finish = "1 in"                     # over its framing
# turn = "left"                       # the next flight goes on so; or "straight", "right", "back"
# next_on = "framing"                 # what its stringers stand on, or "finish"

# [[across]]                          # readings of the total rise across the width, with [stair]
# offset = "0 in"                     # from the left side
# total = "51 3/8 in"
# [[across]]
# offset = "36 in"
# total = "51 1/4 in"

# [load]                              # the stringer as a beam, with [stair], species, grade
# live = "40 psf"                     # left out: the rule set's

# [moisture]                          # percent: what drying changes, with species
# now = 15
# service = 10

# [built]                             # as built, for `seatcut fit`: tread tops over the lower floor
# heights = ["7 3/8 in", "14 3/4 in", "22 in", "29 3/8 in", "36 3/4 in", "44 in"]
# shim_most = "1/2 in"

# [[waive]]                           # a refusing rule that you take on; printed on every sheet
# rule = "unit-rise-high"
# reason = "why this is right here"
"#;
