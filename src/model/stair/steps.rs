//! The sizes of treads and riser boards as pieces that are cut.
//!
//! Elevation frame. Riser board `k` stands in front of riser cut `k`, from `(k - 1) g - p` to
//! `(k - 1) g`; tread `k` lies on tread cut `k` with its nosing an overhang before that board's
//! face. Sizes follow from where each piece ends: geometry, with common practice (no source) for
//! what stands on what.

use super::Flight;
use crate::job::{Back, Job, Makes, Meets, SkirtKind, Stringer};
use crate::units::Length;

/// Pieces of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StepPiece {
    /// What they are.
    pub what: StepWhat,
    /// How many one stair has.
    pub count: usize,
    /// Across the stair; none where its width is not known.
    pub length: Option<Length>,
    /// Depth of a tread, height of a riser board.
    pub width: Length,
    /// How thick.
    pub thickness: Length,
}

/// What a piece is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StepWhat {
    /// A tread from its nosing to the riser behind it.
    Tread,
    /// One board of a tread that is laid of several.
    TreadBoard,
    /// The tread of a flush head, level with the upper floor.
    TopTread,
    /// The tread under the riser at the head, where that is as thick as no other.
    LastTread,
    /// The lowest riser board, on the finished floor.
    FirstRiser,
    /// The others.
    Riser,
    /// That on the rim.
    HeadRiser,
}

impl StepWhat {
    /// Its name in a report and in names of files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Tread => "tread",
            Self::TreadBoard => "tread-board",
            Self::TopTread => "top-tread",
            Self::LastTread => "uppermost-tread",
            Self::FirstRiser => "lowest-riser",
            Self::Riser => "riser",
            Self::HeadRiser => "head-riser",
        }
    }

    /// What one is called.
    pub fn name(self) -> &'static str {
        match self {
            Self::Tread => "tread",
            Self::TreadBoard => "tread board",
            Self::TopTread => "top tread",
            Self::LastTread => "uppermost tread",
            Self::FirstRiser => "lowest riser board",
            Self::Riser => "riser board",
            Self::HeadRiser => "riser board at the head",
        }
    }

    /// What so many are called.
    pub fn names(self, count: usize) -> String {
        match self {
            _ if count == 1 => self.name().to_string(),
            Self::HeadRiser => "riser boards at the head".to_string(),
            _ => format!("{}s", self.name()),
        }
    }

    /// Whether it is walked on.
    pub fn is_tread(self) -> bool {
        matches!(self, Self::Tread | Self::TreadBoard | Self::TopTread | Self::LastTread)
    }
}

impl StepPiece {
    /// Which wood it is sawn of, where the job says it; none of what is cut from a sheet.
    pub fn wood<'j>(&self, job: &'j Job) -> Option<&'j str> {
        let steps = job.steps.as_ref().filter(|_| !job.cuts_from_sheet(self.thickness))?;
        let wood = if self.what.is_tread() { &steps.wood } else { &steps.riser_wood };
        wood.as_deref()
    }
}

/// What the back of a tread does; it butts where nothing is said.
fn back(job: &Job) -> Back {
    job.steps.as_ref().map_or(Back::Butt, |steps| steps.back)
}

/// Every tread and riser board of one stair, by size.
pub fn step_pieces(job: &Job, flight: &Flight) -> Vec<StepPiece> {
    let mut pieces = treads(job, flight);
    pieces.extend(risers(job, flight));
    pieces.retain(|piece| piece.count > 0 && piece.width > Length::ZERO);
    let bays = bays(job);
    pieces.into_iter().map(|piece| StepPiece { count: piece.count * bays, ..piece }).collect()
}

/// How many parts side by side every tread and riser board has: one, but for a stair with solid
/// boards between its outer stringers, whose treads end at both faces of each.
///
/// What is cut says how many stringers a stair has, doublers not counted; else its width and their
/// spacing do.
pub fn bays(job: &Job) -> usize {
    if job.stringer.cleated().is_none() {
        return 1;
    }
    let is_cut = job.cut.makes == Makes::Stringers && !job.by_hand;
    let cut = (job.cut.quantity / job.cut.stairs.max(1)) as usize;
    // No stair stands on one stringer: one is cut at a time.
    if is_cut && cut > 1 { cut - 1 } else { spaced_bays(job).unwrap_or(1) }
}

/// How many bays the width of a stair and the spacing of its stringers ask for.
fn spaced_bays(job: &Job) -> Option<usize> {
    let stair = job.around.stair?;
    // From the middle of the innermost board at one side to that at the other.
    let beside = job.board.thickness * (2.0 * stair.outsides.each_side() as f64 - 1.0);
    let most = stair.most_spacing.filter(|most| *most > Length::ZERO)?;
    Some(spans(stair.width - beside, most).min(MOST_BAYS) as usize)
}

/// More bays than this are a slip of the unit, told where the stringers are laid out.
const MOST_BAYS: f64 = 200.0;
/// Spans that are a whole number of spacings but for this are that number: the rounding of a
/// double.
const WHOLE: f64 = 1e-9;

/// The fewest spans over a width that are no longer than `most`. Formula: common practice, no
/// source.
pub fn spans(width: Length, most: Length) -> f64 {
    (width.as_mm() / most.as_mm() - WHOLE).ceil().max(1.0)
}

fn treads(job: &Job, flight: &Flight) -> Vec<StepPiece> {
    let length = tread_length(job);
    let piece = |what, count, width| StepPiece {
        what,
        count,
        length,
        width,
        thickness: flight.tread_thickness,
    };
    let under = |board: Length| if back(job) == Back::Under { board } else { Length::ZERO };
    let whole = flight.tread_finish + under(job.tread.riser_board);
    let alike = |count: usize| match job.tread.boards {
        Some(boards) => piece(StepWhat::TreadBoard, boards.count as usize * count, boards.width),
        None => piece(StepWhat::Tread, count, whole),
    };
    match job.head.meets {
        Meets::OneDown => {
            // The last one runs under the riser board on the rim, which may be of another
            // thickness.
            let last = flight.tread_finish + under(job.head.riser_board);
            if job.tread.boards.is_some() || last.is_within(Length::mm(1e-9), whole) {
                return vec![alike(flight.treads)];
            }
            vec![alike(flight.treads - 1), piece(StepWhat::LastTread, 1, last)]
        }
        // From its nosing, an overhang before the face of the riser board, back to the rim.
        Meets::Flush => vec![
            alike(flight.treads - 1),
            piece(
                StepWhat::TopTread,
                1,
                flight.top_tread_cut + job.head_gap() + job.tread.riser_board + job.tread.overhang,
            ),
        ],
    }
}

fn risers(job: &Job, flight: &Flight) -> Vec<StepPiece> {
    let length = riser_length(job);
    let piece = |what, count, width, thickness| StepPiece { what, count, length, width, thickness };
    let mut pieces = Vec::new();
    let own = job.tread.riser_board;
    // Beside a butting tread a riser board reaches down to the tread cut, else to the tread's top.
    let on_tread = |height: Length| {
        if back(job) == Back::Under { height - flight.tread_thickness } else { height }
    };
    if own > Length::ZERO {
        let first = flight.first_riser_cut() - flight.base();
        pieces.push(piece(StepWhat::FirstRiser, 1, first, own));
        pieces.push(piece(StepWhat::Riser, flight.treads - 1, on_tread(flight.unit_rise), own));
    }
    if job.head.meets == Meets::OneDown && job.head.riser_board > Length::ZERO {
        let height = on_tread(flight.hang_line);
        // It stands over the ends of the skirts, on the rim; no pocket takes its ends.
        let head = piece(StepWhat::HeadRiser, 1, height, job.head.riser_board);
        pieces.push(StepPiece { length: between_faces(job), ..head });
    }
    pieces
}

/// What a side of the stair adds to a piece that runs across it.
fn at_sides(job: &Job, add: impl Fn(Option<SkirtKind>) -> Length) -> Length {
    let sides = job.skirts.as_ref().map_or([None, None], |skirts| skirts.sides());
    sides.into_iter().map(add).fold(Length::ZERO, |all, one| all + one)
}

/// Between two stringers that show their faces to the stair: from face to face. `None` where the
/// steps lie on the stringers, and where the width is not known.
pub fn between_stringers(job: &Job) -> Option<Length> {
    let (width, bays) = (job.around.stair?.width, bays(job));
    let between = bays as f64 - 1.0;
    let faces = || width - as_made(job) * (outer(job) + between);
    (job.stringer != Stringer::Cut).then(|| faces() / bays as f64)
}

/// What a tread or riser board runs into the pockets of housed stringers at both ends.
fn into_pockets(job: &Job) -> Length {
    job.stringer.housed().map_or(Length::ZERO, |housed| housed.depth * 2.0)
}

/// How thick a stringer is as it is made.
fn as_made(job: &Job) -> Length {
    if job.cut.is_of_boards() { job.board.thickness } else { job.cut.material.thickness }
}

/// How many stringers stand at both sides together.
fn outer(job: &Job) -> f64 {
    let outsides = job.around.stair.map(|stair| stair.outsides);
    2.0 * outsides.map_or(1, crate::job::Outsides::each_side) as f64
}

/// Treads run past the outer stringers where nothing or an open skirt is beside them, and end at a
/// wall skirt.
fn tread_length(job: &Job) -> Option<Length> {
    let width = job.around.stair?.width;
    let past = job.steps.as_ref().map_or(Length::ZERO, |steps| steps.past_sides);
    let side = |side| if side == Some(SkirtKind::Wall) { Length::ZERO } else { past };
    let housed = between_stringers(job).map(|clear| clear + into_pockets(job));
    Some(housed.unwrap_or_else(|| width + at_sides(job, side)))
}

/// From side to side, whatever is beside the stair; between stringers that show their faces from
/// one to the other.
fn between_faces(job: &Job) -> Option<Length> {
    between_stringers(job).or(job.around.stair.map(|stair| stair.width))
}

/// Riser boards end flush with the outer stringers, or with the face of an open skirt: past its
/// square edge, or at the long point of the mitre.
fn riser_length(job: &Job) -> Option<Length> {
    let width = job.around.stair?.width;
    let thickness = job.skirts.as_ref().map_or(Length::ZERO, |skirts| skirts.thickness);
    let side = |side| if side == Some(SkirtKind::Open) { thickness } else { Length::ZERO };
    let housed = between_stringers(job).map(|clear| clear + into_pockets(job));
    Some(housed.unwrap_or_else(|| width + at_sides(job, side)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::read_job;

    fn pieces(more: &str, head: &str) -> Vec<StepPiece> {
        // An invented stair: four risers of 7 1/2 in, runs of 10 1/2 in.
        let text = format!(
            "rules = \"us-irc-2021\"\n[rise]\ntotal = \"30 in\"\nrisers = 4\n[tread]\ncut = \"10 \
                1/2 in\"\noverhang = \"1 in\"\n\
             thickness = \"1 1/4 in\"\nriser_board = \"3/4 in\"\n[head]\n{head}\n[board]\nwidth \
             = \"11 1/4 in\"\n\
             thickness = \"1 1/2 in\"\n[stair]\nwidth = \"36 in\"\n{more}"
        );
        let job = read_job("job.toml", &text, &|path| panic!("{path}")).unwrap();
        step_pieces(&job, &Flight::new(&job, 4))
    }

    fn sizes(pieces: &[StepPiece]) -> Vec<(StepWhat, usize, f64, f64)> {
        let inches = |length: Length| (length.as_inches() * 1e6).round() / 1e6;
        pieces
            .iter()
            .map(|of| (of.what, of.count, inches(of.length.unwrap()), inches(of.width)))
            .collect()
    }

    const ONE_DOWN: &str =
        "meets = \"one-down\"\nfinish = \"3/4 in\"\nriser_board = \"1/2 in\"\nspacer = \"0 in\"";

    #[test]
    fn butting_treads_leave_the_riser_its_whole_height() {
        let found = sizes(&pieces("[steps]\npast_sides = \"1 1/8 in\"", ONE_DOWN));
        let wanted = vec![
            (StepWhat::Tread, 3, 38.25, 11.5),
            (StepWhat::FirstRiser, 1, 36.0, 6.25),
            (StepWhat::Riser, 2, 36.0, 7.5),
            (StepWhat::HeadRiser, 1, 36.0, 8.0),
        ];
        assert_eq!(found, wanted);
    }

    #[test]
    fn treads_that_run_under_are_deeper_and_their_risers_lower() {
        let found = sizes(&pieces("[steps]\nback = \"under\"", ONE_DOWN));
        let wanted = vec![
            (StepWhat::Tread, 2, 36.0, 12.25),
            (StepWhat::LastTread, 1, 36.0, 12.0),
            (StepWhat::FirstRiser, 1, 36.0, 6.25),
            (StepWhat::Riser, 2, 36.0, 6.25),
            (StepWhat::HeadRiser, 1, 36.0, 6.75),
        ];
        assert_eq!(found, wanted);
    }

    #[test]
    fn skirts_lengthen_risers_and_walls_end_treads() {
        let more = "[steps]\npast_sides = \"1 1/4 in\"\n[skirts]\nleft = \"open\"\nright \
            = \"wall\"\n\
                    thickness = \"3/4 in\"\nwidth = \"11 1/4 in\"";
        let found = sizes(&pieces(more, ONE_DOWN));
        assert_eq!((found[0].2, found[1].2), (37.25, 36.75));
    }

    #[test]
    fn housed_steps_run_into_their_pockets_and_the_board_at_the_rim_does_not() {
        let more = "[housed]\nhand = \"left\"\ndepth = \"1/2 in\"\n[steps]";
        let found = sizes(&pieces(more, ONE_DOWN));
        // 36 in less two boards of 1 1/2 in, and half an inch into each.
        let lengths: Vec<f64> = found.iter().map(|of| of.2).collect();
        assert_eq!(lengths, [34.0, 34.0, 34.0, 33.0]);
    }

    #[test]
    fn behind_a_hanger_board_the_riser_board_at_the_head_stands_on_it_and_no_run_is_short() {
        let head = "finish = \"3/4 in\"\nrim_depth = \"9 1/4 in\"\n\
                    joint = { with = \"hanger-board\", thickness = \"1 1/2 in\", depth = \"16 \
                    in\" }";
        let text = format!(
            "[rise]\ntotal = \"30 in\"\nrisers = 4\n[tread]\ncut = \"10 1/2 in\"\noverhang = \"1 \
                in\"\n\
             thickness = \"1 1/4 in\"\nriser_board = \"3/4 in\"\n[head]\n{head}\n[board]\nwidth \
             = \"11 1/4 in\"\n\
             thickness = \"1 1/2 in\"\n"
        );
        let read = |text: &str| read_job("job.toml", text, &|path| panic!("{path}")).unwrap();
        let run = |text: &str| {
            let flight = Flight::new(&read(text), 4);
            let inches = |length: Length| (length.as_inches() * 1e6).round() / 1e6;
            (
                inches(flight.top_tread_cut),
                flight.finished_runs.into_iter().map(inches).collect::<Vec<_>>(),
            )
        };
        // The riser board's back is the plumb cut, and the steps are alike.
        assert_eq!(run(&text), (10.5, vec![10.5; 3]));
        // Where the hanger board is the riser itself, its face is.
        let bare = text.replace("[board]", "riser_board = \"0 in\"\n[board]");
        assert_eq!(run(&bare), (9.75, vec![10.5; 3]));
        // A spacer lies under the tread, which goes on over it to the rim.
        let i = text.find("joint").unwrap();
        let j = i + text[i..].find('\n').unwrap();
        let spaced = format!("{}spacer = \"1 1/2 in\"{}", &text[..i], &text[j..]);
        assert_eq!(run(&spaced), (9.0, vec![10.5; 3]));
    }

    #[test]
    fn a_flush_head_has_a_top_tread_and_no_riser_at_the_rim() {
        let head =
            "meets = \"flush\"\nfinish = \"1 1/4 in\"\ntop_tread = \"9 in\"\nspacer = \"1/2 in\"";
        let found = sizes(&pieces("", head));
        // From the nosing: 1 in, 3/4 in of riser board, 8 1/2 in of cut and the 1/2 in spacer.
        assert_eq!(found[1], (StepWhat::TopTread, 1, 36.0, 10.75));
        assert_eq!(found.iter().filter(|of| of.0 == StepWhat::HeadRiser).count(), 0);
        assert_eq!(found.iter().map(|of| of.1).sum::<usize>(), 4 + 4);
    }
}
