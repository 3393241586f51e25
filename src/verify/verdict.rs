//! What was found about a file.

use super::findings::Findings;
use crate::diagnostics::codes::{self, Unproven};
use crate::diagnostics::{Count, Finding, Millimetres};
use crate::geometry::tolerance::PROOF_MM;
use crate::geometry::{Bounds, Placement, Point, Segment, Vector};

/// What was found about a file. It is the part's if it was judged to its end, both figures are
/// within the tolerance and no finding refuses.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Everything found.
    pub findings: Vec<Finding>,
    /// How deep the file goes into the part, in mm; 0 if it does not. Sub-tolerance figures are
    /// given too.
    pub gouge_mm: f64,
    /// How much is left on the part outside its tabs, in mm; the part's whole extent where nothing
    /// is cut.
    pub left_mm: f64,
    /// Total length of the part's boundary that accepted tabs leave uncut, in mm.
    pub boundary_uncut_mm: f64,
    /// The accepted tabs.
    pub tabs: Vec<FoundTab>,
    /// Number of inside corners where the tool's round is left standing.
    pub fillets: usize,
    /// Declared marks that are made as declared.
    pub marks: usize,
    /// Declared pockets that are made as declared.
    pub pockets: usize,
    /// What the file was taken for.
    pub what: Recognised,
    /// Where each part was found.
    pub placements: Vec<PlacedAt>,
    /// How far the judgement came.
    pub judged: Judged,
    /// What hangs together when a cutter's program has run; none for a beam, for marks and for
    /// drawings.
    pub holding: Option<Holding>,
}

impl Verdict {
    /// How far the file is off: whether it fits so little that nothing was judged, then how many
    /// refusals speak against it.
    pub fn wrongs(&self) -> (bool, usize) {
        let refusals = self.findings.iter().filter(|finding| finding.refuses()).count();
        (self.judged == Judged::Nothing, refusals)
    }

    /// Whether the file is this part's: judged to its end, within the tolerance, and no finding
    /// refuses.
    pub fn is_this_part(&self) -> bool {
        self.judged == Judged::ToTheEnd
            && self.is_within()
            && !self.findings.iter().any(Finding::refuses)
    }

    fn is_within(&self) -> bool {
        // Not the other way round: a figure that is no number is not within.
        self.gouge_mm <= PROOF_MM && self.left_mm <= PROOF_MM
    }

    /// With a refusal where it is not the part and no finding says so: whoever counts findings
    /// comes to the same end.
    pub(super) fn settled(mut self, file: &str) -> Self {
        if !self.is_this_part() && !self.findings.iter().any(Finding::refuses) {
            let why = match self.judged {
                Judged::Nothing => Unproven::NotJudged,
                Judged::ToTheEnd => {
                    Unproven::Off(Millimetres(self.gouge_mm), Millimetres(self.left_mm))
                }
            };
            let mut findings = Findings::new(file);
            findings.at_file(codes::NotProven { why, limit: Millimetres(PROOF_MM) });
            self.findings.extend(findings.finish());
        }
        self
    }

    /// A good verdict on one piece alone, of a file that should make several: the rest of the file
    /// was not judged, so it is not what was expected. `piece` names the one that was found.
    pub fn of_one_among(mut self, several: usize, piece: &str, file: &str) -> Self {
        let mut findings = Findings::new(file);
        let (made, missing) = (piece.to_string(), "the others".to_string());
        findings.at_file(codes::NotAllPieces {
            measured: Count(1),
            limit: Count::from(several),
            made,
            missing,
        });
        self.findings.extend(findings.finish());
        self
    }

    /// A verdict on a file that carries the fingerprint of a set and is none of its programs.
    pub fn of_another_layout(mut self, file: &str) -> Self {
        let mut findings = Findings::new(file);
        findings.at_file(codes::OtherLayout {});
        self.findings.extend(findings.finish());
        self
    }

    pub(super) fn unproven(what: Recognised, findings: Vec<Finding>, extent_mm: f64) -> Self {
        Self {
            findings,
            gouge_mm: 0.0,
            left_mm: extent_mm,
            boundary_uncut_mm: 0.0,
            tabs: Vec::new(),
            fillets: 0,
            marks: 0,
            pockets: 0,
            what,
            placements: Vec::new(),
            judged: Judged::Nothing,
            holding: None,
        }
    }
}

/// How far a judgement came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judged {
    /// Nothing could be held against the part.
    Nothing,
    /// Every piece that was expected was held, and everything that the file does.
    ToTheEnd,
}

/// What hangs together when a program has run, or has come to the end of a set-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// In which of several set-ups: the first in which something is held by nothing, else the last.
    /// `None` with one set-up.
    pub setup: Option<usize>,
    /// The least width of wood that counts, in mm.
    pub least_web_mm: f64,
    /// Waste up to this area is not listed, in square millimetres.
    pub coin_mm2: f64,
    /// What is taken to hold the stock.
    pub held_by: &'static str,
    /// Every piece by its name, and whether it hangs on that by wood of the least width.
    pub pieces: Vec<(String, bool)>,
    /// All stretches of the stock that hang together by any wood at all and are larger than a coin,
    /// pieces included.
    pub components: Vec<Component>,
    /// Waste among them that hangs by less than the least width only.
    pub by_thin_wood: Vec<Component>,
}

impl Holding {
    /// Whether every piece and all waste that counts hangs by wood that counts.
    pub fn holds_all(&self) -> bool {
        let parts =
            self.components.iter().all(|component| component.held) && self.by_thin_wood.is_empty();
        parts && self.pieces.iter().all(|(_, held)| *held)
    }
}

/// A stretch of the stock that hangs together.
#[derive(Clone, Debug, PartialEq)]
pub struct Component {
    /// Its area, in square millimetres, to about a hundredth.
    pub area_mm2: f64,
    /// The box around it, in the stock frame, to a millimetre.
    pub bounds: Bounds,
    /// Whether it hangs on what holds the stock.
    pub held: bool,
}

/// What a file was taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Recognised {
    /// A program that cuts.
    Program,
    /// A program that makes marks and cuts nothing.
    Marks,
    /// A drawing of the finished part.
    NominalDrawing,
    /// A drawing of the tool centre's path.
    CompensatedDrawing,
}

impl Recognised {
    /// Whether a machine runs it.
    pub fn is_program(self) -> bool {
        matches!(self, Self::Program | Self::Marks)
    }
}

/// A tab that was found and accepted.
#[derive(Clone, Debug, PartialEq)]
pub struct FoundTab {
    /// The middle of the gap, on the tool centre's path, in the stock frame.
    pub at: Point,
    /// Length of path that stays above the material's bottom, in mm.
    pub length_mm: f64,
    /// What stands above the material's bottom, in mm.
    pub height_mm: f64,
    /// The edge it holds.
    pub edge: String,
    /// The stretch of the tool centre's path that it takes, in the stock frame.
    pub along: Segment,
}

/// Where a part was found: turned by `turn_deg` about 0,0, then moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedAt {
    /// Turn in degrees, more than -180 and at most 180.
    pub turn_deg: f64,
    /// Move along X in mm.
    pub x_mm: f64,
    /// Move along Y in mm.
    pub y_mm: f64,
}

impl From<&Placement> for PlacedAt {
    fn from(placement: &Placement) -> Self {
        let move_by = placement.translation.vector;
        Self { turn_deg: placement.rotation.angle().to_degrees(), x_mm: move_by.x, y_mm: move_by.y }
    }
}

impl From<&PlacedAt> for Placement {
    fn from(at: &PlacedAt) -> Self {
        Self::new(Vector::new(at.x_mm, at.y_mm), at.turn_deg.to_radians())
    }
}
