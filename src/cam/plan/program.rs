//! A planned program: what lies where, and what the machine does step by step.

use super::alone::{Cut, with_two};
use super::clamps::{self, ClampBox};
use super::hold::Bench;
use super::marks::Marking;
use super::rough::{self, Roughing};
use super::router::Depth;
use super::shift::SetUp;
use super::split::{is_indexed, of_split};
use super::tabs::Tab;
use super::{board, by_tool, hole, pocket, shift, time};
use crate::cam::compensate::ToolPath;
use crate::cam::mark::{Hole, cleat_holes};
use crate::check::{Lie, Room, StockBox, fit, trimmed_sheet};
use crate::diagnostics::codes::{self, ToHold};
use crate::diagnostics::{Count, Finding, Outcome, Refusals, Warned};
use crate::geometry::{Bounds, Placement, Point, Segment, Vector, distance_to_segment};
use crate::job::{Job, Makes};
use crate::profile::{Form, Machine, ZZero};
use crate::stair::outline::{Outline, Role};
use crate::units::Length;

/// Which of its feeds a machine uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedKind {
    /// Letting the cutter down while it moves, and piercing.
    Entry,
    /// Straight down.
    Plunge,
    /// Cutting.
    Cut,
    /// Cutting in the pass that goes through.
    LastPass,
    /// Cutting in the pass along the line, after those that stay off it.
    Finish,
    /// Along a mark, with the pointed cutter.
    Mark,
}

/// One thing the machine does.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Words for the operator.
    Say(String),
    /// The machine stops for the operator, who does what these lines say; the stock lies in its
    /// next set-up afterwards.
    Stop(Vec<String>),
    /// Spindle on and up to speed, or beam ready at no power.
    ToolOn,
    /// Spindle or beam off.
    ToolOff,
    /// The beam lights with the next cut.
    BeamOn,
    /// The beam lights with the next cut, just strong enough to score.
    BeamScore,
    /// The beam goes dark and stays ready.
    BeamDark,
    /// Quickly up or down to a height.
    RapidZ(f64),
    /// Quickly across, at the height it is at.
    RapidXy(Point),
    /// Straight down or up at the feed straight down, to a height.
    FeedZ(f64),
    /// Along a segment while the height changes evenly; an arc keeps its height.
    Cut {
        /// The way in X and Y.
        segment: Segment,
        /// Height at its end.
        to_z: f64,
        /// At which feed.
        feed: FeedKind,
    },
}

/// Along the path of a pass, a feed of its own.
pub(super) fn at_feed_of(kind: FeedKind, steps: &mut [Step]) {
    for step in steps {
        if let Step::Cut { feed, .. } = step
            && *feed == FeedKind::Cut
        {
            *feed = kind;
        }
    }
}

/// What a program is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Task {
    /// It cuts the part out; a beam scores its marks first.
    Cut,
    /// It only marks, with the pointed cutter.
    Mark,
}

/// One piece of a program.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Which of the kinds that were planned together; 0 where there is one.
    pub kind: usize,
    /// What it is called.
    pub name: String,
    /// From the piece's board frame to the stock frame.
    pub placement: Placement,
    /// What is marked on this copy alone, in its board frame.
    pub strokes: Vec<Vec<Point>>,
}

impl Placed {
    /// A piece that lies on its own.
    pub(super) fn alone(placement: Placement) -> Self {
        Self { kind: 0, name: "stringer".to_string(), placement, strokes: Vec::new() }
    }
}

/// A planned program.
#[derive(Clone, Debug)]
pub struct Program {
    /// Whether it cuts or only marks.
    pub task: Task,
    /// Whether a roughing cutter runs it, before another one that cuts the line.
    pub roughs: bool,
    /// The strokes it marks, in the stock frame; none in a program that only cuts.
    pub marking: Option<Marking>,
    /// The holes it cuts through its pieces, in the stock frame.
    pub holes: Vec<Hole>,
    /// What lies on the machine.
    pub stock: StockBox,
    /// Where each piece lies; one at least.
    pub pieces: Vec<Placed>,
    /// Where the stock lies in each set-up: machine = stock + set-up; the first is zero, a
    /// [`Step::Stop`] is between two.
    pub setups: Vec<Vector>,
    /// The holes that pins locate the stock by, two a shift, in the stock frame.
    pub pins: Vec<Hole>,
    /// Which of several set-ups it is for, where each has a program of its own.
    pub set_up: Option<SetUp>,
    /// The clamps on the table, from X0 Y0 on.
    pub clamps: Vec<ClampBox>,
    /// Where on the piece a clamp may stand, said or not, in the stock frame: its throat band. Only
    /// where the board's own edges are the piece's.
    pub clamp_zone: Option<Bounds>,
    /// The steps in order.
    pub steps: Vec<Step>,
    /// The tabs that hold the part.
    pub tabs: Vec<Tab>,
    /// Where and how the tool comes in and leaves, in the stock frame.
    pub leads: Vec<Segment>,
    /// Every way through material that is on no piece's path, in no hole and in no pocket, in the
    /// stock frame: the leads, where the cutter is let down beside the path, and back there. The
    /// proof takes any other cut for one that nobody planned.
    pub ways: Vec<Segment>,
    /// Length of all feed moves, in mm.
    pub cut_length_mm: f64,
    /// Length of all rapid moves, in mm.
    pub rapid_length_mm: f64,
    /// Of rapid moves across from hole to outline to outline: how long they are, and what they are
    /// at least; where an order was looked for.
    pub rapid_bound_mm: Option<(f64, f64)>,
    /// Estimated time, in seconds.
    pub time_s: f64,
}

/// The same before its rapids keep off the clamps, and before it is asked what hangs on them: a
/// clamp in the cutter's way is to be told first, for what it holds is waste.
///
/// # Errors
/// The refusals, if the machine cannot make it.
pub(super) fn unclamped(job: &Job, outline: &Outline, path: &ToolPath) -> Outcome<Cut> {
    let machine = &job.cut.machine;
    let roughed = rough::roughed(job);
    let refusals = by_tool::refusals(job);
    let part = outline.in_board_frame().bounds();
    let layout = layout(job, outline);
    let room = room(job, layout);
    let fitted = fit(part, room, machine, &job.cut.material);
    let (lie, whole) = match fitted {
        Ok(fitted) if refusals.is_empty() => fitted,
        Ok(_) => return Err(refusals.into()),
        Err(_) if refusals.is_empty() && is_indexed(job) => {
            let shifted = shift::plan(job, part, room, layout, path)?;
            return shifted.and_then(|program| {
                Ok(Warned::plain(Cut { rough: None, cut: program.within_length()? }))
            });
        }
        Err(misfits) => {
            return Err([refusals, misfits.into_findings(), of_split(job, outline)]
                .concat()
                .into());
        }
    };
    let stock = board::blank(whole, lie, part, room, (job, layout));
    let placement = placement(lie, part, room);
    let placement = match layout {
        Layout::InWaste => clamps::clear_of(
            &clamps::of_alone(job),
            part,
            placement,
            (&stock, room.of_material, roughed.as_ref().map_or(machine, |of| &of.cut.machine)),
        ),
        Layout::OwnEdges => placement,
    };
    let bored = cleat_holes(job, outline);
    let in_stock = |hole: &Hole| Hole { center: placement * hole.center, ..*hole };
    let holes: Vec<Hole> = bored.iter().map(in_stock).collect();
    let said = trimmed_sheet(&whole, lie, &job.cut.material);
    if let Some(roughed) = &roughed {
        let cut = with_two(roughed, job, path, (layout, stock, placement), holes)?;
        return Ok(cut.and_say(said));
    }
    let clamp_zone = match layout {
        Layout::OwnEdges => board::clamp_zone(path, &bored, machine.units, &placement),
        Layout::InWaste => None,
    };
    let draft = by_tool::draft(job, layout, path, &placement)?;
    let draft = draft.map(|draft| draft.with_pockets(path, machine, &placement));
    let draft = draft.map(|draft| draft.with_holes(&holes, machine, job.cut.material.thickness));
    draft.and_say(said).and_then(|draft| {
        let cut = draft.alone(stock, placement, clamp_zone, machine);
        let cut = Program { holes, ..cut }.within_length()?;
        Ok(Warned::plain(Cut { rough: None, cut }))
    })
}

/// The most steps of a program: below the 150,000 moves and stops that the proof takes, so that
/// nothing is written that it would not judge.
const MOST_STEPS: usize = 145_000;

/// What a planned program cuts loose of a part alone and its waste, where the tool pushes it.
pub(super) fn loose(
    job: &Job,
    path: &ToolPath,
    (program, rough): (&Program, Option<&Roughing>),
) -> Vec<Finding> {
    let tool = &job.cut.machine.tool;
    let Some(depth) = Depth::of(tool, program.stock.thickness).filter(|_| tool.ties()) else {
        return Vec::new();
    };
    let ring = path.piece().placed(&program.placement());
    let edge = Length::mm(depth.shape.edge(depth.cutter));
    let clamps = clamps::of_alone(job);
    let remedy = match program.clamp_zone {
        Some(zone) if !clamps.is_empty() => ToHold::ClampOnPiece(clamps::rectangle(zone), edge),
        _ if program.setups.len() > 1 && !clamps.is_empty() => ToHold::ClampsInEverySetUp(edge),
        _ => ToHold::Tab(edge),
    };
    let bench = Bench {
        stock: program.stock,
        form: job.cut.material.form,
        clamps: clamps.iter().map(|clamp| clamp.place).collect(),
        setups: program.setups.clone(),
        radius: job.cut.machine.tool_radius(),
        pieces: vec![(
            "the part".to_string(),
            ring.edges().iter().map(|edge| edge.segment).collect(),
        )],
        remedy,
    };
    let before = rough.map(|rough| (&rough.program.steps[..], rough.machine.tool_radius()));
    bench.refusals(&program.steps, before)
}

/// A point this near to a path is on it: chords lie beside the arcs they stand for.
const ON_PATH_MM: f64 = 0.1;

/// What a process makes of a tool path.
pub(super) struct Draft {
    pub steps: Vec<Step>,
    pub tabs: Vec<Tab>,
    pub leads: Vec<Segment>,
    pub ways: Vec<Segment>,
}

impl Draft {
    /// With the pockets of a housed stringer, cut before the tool goes round it.
    fn with_pockets(mut self, path: &ToolPath, machine: &Machine, placement: &Placement) -> Self {
        if let Some(cutter) = machine.tool.cutter() {
            let on = self.steps.iter().position(|step| *step == Step::ToolOn);
            let started = on.expect("a program starts its tool") + 1;
            self.steps.splice(
                started..started,
                pocket::steps(path.pockets(), machine, cutter, placement),
            );
        }
        self
    }

    /// With the holes of the cleats, in the stock frame, cut before the tool goes round the part.
    pub(super) fn with_holes(
        mut self,
        holes: &[Hole],
        machine: &Machine,
        thickness: Length,
    ) -> Self {
        let on = self.steps.iter().position(|step| *step == Step::ToolOn);
        let started = on.expect("a program starts its tool") + 1;
        let steps =
            holes.iter().flat_map(|of| by_tool::hole(*of, hole::OF_CLEAT, machine, thickness));
        self.steps.splice(started..started, steps.collect::<Vec<_>>());
        self
    }

    /// The program of one piece that lies alone on its stock.
    pub(super) fn alone(
        self,
        stock: StockBox,
        placement: Placement,
        clamp_zone: Option<Bounds>,
        machine: &Machine,
    ) -> Program {
        Program {
            clamp_zone,
            tabs: self.tabs,
            leads: self.leads,
            ways: self.ways,
            ..Program::of_steps(
                Task::Cut,
                stock,
                vec![Placed::alone(placement)],
                self.steps,
                machine,
            )
        }
    }
}

/// How the part lies in the material.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    /// With waste all round.
    InWaste,
    /// Its lower edge on the board's own.
    OwnEdges,
}

/// A board lends its own edges to a part that has a lower edge to lay on one, if the piece is as
/// large as the part and the tool comes down beside it; a beam always goes all round.
fn layout(job: &Job, outline: &Outline) -> Layout {
    let has_back = outline.contour().edges().iter().any(|edge| edge.role == Role::LowerEdge);
    let as_large = match job.cut.makes {
        Makes::Pattern(follow) => follow.inset() <= Length::ZERO,
        Makes::Stringers => true,
    };
    let is_board = job.cut.material.form == Form::Board;
    if is_board && job.cut.machine.tool.lifts() && has_back && as_large {
        Layout::OwnEdges
    } else {
        Layout::InWaste
    }
}

fn room(job: &Job, layout: Layout) -> Room {
    let all_round = by_tool::room(&job.cut.machine, &job.cut.material);
    match layout {
        Layout::InWaste => Room { along: all_round, across: all_round, of_material: all_round },
        Layout::OwnEdges => {
            Room { along: all_round, across: board::room_beside(job), of_material: 0.0 }
        }
    }
}

/// Turned as it lies, then moved so that its room is free at its lower left; on a board its lower
/// edge lies on the board's.
pub(super) fn placement(lie: Lie, part: Bounds, room: Room) -> Placement {
    let (along, across) = (room.along - part.min.x, room.of_material);
    match lie {
        Lie::AlongX => Placement::new(Vector::new(along, across - part.min.y), 0.0),
        Lie::AlongY => {
            Placement::new(Vector::new(across + part.max.y, along), std::f64::consts::FRAC_PI_2)
        }
    }
}

impl Program {
    /// From the board frame of the first piece to the stock frame.
    pub fn placement(&self) -> Placement {
        self.pieces[0].placement
    }

    /// A program of these steps in one set-up and of nothing else, with what they take.
    pub(super) fn of_steps(
        task: Task,
        stock: StockBox,
        pieces: Vec<Placed>,
        steps: Vec<Step>,
        machine: &Machine,
    ) -> Self {
        let program = Self {
            task,
            roughs: false,
            marking: None,
            holes: Vec::new(),
            stock,
            pieces,
            setups: vec![Vector::zeros()],
            pins: Vec::new(),
            set_up: None,
            clamps: Vec::new(),
            clamp_zone: None,
            steps: Vec::new(),
            tabs: Vec::new(),
            leads: Vec::new(),
            ways: Vec::new(),
            cut_length_mm: 0.0,
            rapid_length_mm: 0.0,
            rapid_bound_mm: None,
            time_s: 0.0,
        };
        program.with_steps(steps, machine)
    }

    /// The same program with these steps in its set-ups, and what they take.
    pub fn with_steps(self, steps: Vec<Step>, machine: &Machine) -> Self {
        let estimate = time::estimate(&steps, &self.setups, machine);
        Self {
            cut_length_mm: estimate.cut_length_mm,
            rapid_length_mm: estimate.rapid_length_mm,
            time_s: estimate.time_s,
            steps,
            ..self
        }
    }

    /// The same program with words to the operator at its top.
    pub(super) fn begun_saying(mut self, words: &[&str], machine: &Machine) -> Self {
        let mut steps = std::mem::take(&mut self.steps);
        steps.splice(0..0, words.iter().map(|words| Step::Say((*words).to_string())));
        self.with_steps(steps, machine)
    }

    /// How long each step takes, in seconds: they sum to the program's time.
    pub fn step_times_s(&self, machine: &Machine) -> Vec<f64> {
        time::estimate(&self.steps, &self.setups, machine).steps_s
    }

    /// The program itself.
    ///
    /// # Errors
    /// A refusal if it is longer than what is read back.
    pub(super) fn within_length(self) -> Result<Self, Refusals> {
        if self.steps.len() <= MOST_STEPS {
            return Ok(self);
        }
        let (measured, limit) = (Count::from(self.steps.len()), Count::from(MOST_STEPS));
        Err(codes::ProgramLong { measured, limit }.at("machine").into())
    }

    /// The program with one of its pieces, and of tabs and leads those that are on that piece's
    /// path.
    pub fn of_piece(&self, piece: usize, path: &ToolPath) -> Self {
        let placed = &self.pieces[piece];
        let way = path.contour().placed(&placed.placement);
        let is_on = |p: Point| {
            way.edges().iter().any(|edge| distance_to_segment(p, &edge.segment) < ON_PATH_MM)
        };
        Self {
            pieces: vec![placed.clone()],
            tabs: self.tabs.iter().filter(|tab| is_on(tab.at)).copied().collect(),
            leads: self
                .leads
                .iter()
                .filter(|lead| is_on(lead.from()) || is_on(lead.to()))
                .copied()
                .collect(),
            ..self.clone()
        }
    }

    /// Height of program Z0 below the material's top: 0, or its thickness where the machine counts
    /// from the bed.
    pub fn z_shift_mm(&self, z_zero: ZZero) -> f64 {
        match z_zero {
            ZZero::StockTop => 0.0,
            ZZero::Bed => self.stock.thickness.as_mm(),
        }
    }
}
