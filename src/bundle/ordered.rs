//! The files of an order: finished outlines for a shop, the order sheet, and the digests that seal
//! both.

use super::documents::no_letter;
use super::proof::held_all;
use super::{Artifact, Proof, names};
use crate::diagnostics::Error;
use crate::diagnostics::{Outcome, Warned};
use crate::job::{Job, Makes};
use crate::output::Stamp;
use crate::output::drawing::{self, Subject};
use crate::output::dxf::{Drawing, DxfVersion, HolesOf, nominal, nominal_piece, nominal_skirt};
use crate::output::order::{
    OrderDrawing, OrderShape, OrderSheet, OrderedPart, OrderedPiece, sealed, sha256sums,
};
use crate::output::page::pdf;
use crate::pipeline::proof;
use crate::pipeline::set::{Kind, Member, kinds};
use crate::pipeline::steps::SheetPiece;
use crate::pipeline::workup::Workup;
use crate::stair::outline::{Outline, Skirt};
use crate::units::Length;

/// Whether a drawing has a check bar and words beside what is to be cut: some shops cut every line
/// that they are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reference {
    /// It has.
    Drawn,
    /// It has not.
    LeftOut,
}

/// The files of an order.
#[derive(Debug)]
pub struct Ordered<'a> {
    artifacts: Vec<Artifact<'a>>,
}

impl<'a> Ordered<'a> {
    /// Writes every file of the order of a job that nothing refuses.
    ///
    /// # Errors
    /// If its title has a character that a document cannot show.
    pub fn of(
        workup: &'a Workup,
        pieces: Vec<OrderedPiece>,
        form: (DxfVersion, Reference),
    ) -> Result<Self, Error> {
        let job = &workup.job;
        let outline = workup.outline.as_ref().expect("a job that nothing refuses has a part");
        // Where the job says nothing of skirts, the one that goes with its stringer.
        let plain = Skirt::of(&workup.job, &workup.flight).ok();
        let has_one = job.skirts.is_none() && job.stringer.has_steps();
        let plain = plain.as_ref().filter(|_| has_one);
        let drawings = drawings(workup, outline, pieces, plain, form);
        let sheet = OrderSheet::of(workup, &drawings);
        let dimensioned = dimensioned(workup, outline)?;
        let mut artifacts: Vec<Artifact<'_>> =
            drawings.into_iter().map(|drawing| drawn(job, drawing)).collect();
        artifacts.extend([
            Artifact::document(names::ORDER_TABLE, sheet.to_csv()),
            Artifact::document(names::ORDER_DRAWING, dimensioned),
        ]);
        let sheet = sealed(&sheet.to_text(), &digests(&artifacts));
        artifacts.push(Artifact::document(names::ORDER_TEXT, sheet));
        let digests = digests(&artifacts);
        artifacts.push(Artifact::document(names::DIGESTS, digests));
        Ok(Ordered { artifacts })
    }

    /// Every file.
    pub fn artifacts(&self) -> &[Artifact<'a>] {
        &self.artifacts
    }

    /// Reads every file with `read` and holds every drawing against its part.
    ///
    /// # Errors
    /// Those of `read`, and of a drawing that is not what it must be: nothing of the order may be
    /// used then.
    pub fn proven(
        &self,
        read: impl FnMut(&Artifact<'_>) -> Result<Vec<u8>, Error>,
    ) -> Result<(), Error> {
        held_all(&self.artifacts, read, |_, _| ())
    }
}

fn digests(artifacts: &[Artifact<'_>]) -> String {
    sha256sums(artifacts.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())))
}

/// The kinds of pieces that are cut, each with its holes.
///
/// # Errors
/// The refusals of a job, and of a set: layers that cannot be brought over each other.
pub fn ordered_pieces(workup: &Workup) -> Outcome<Vec<OrderedPiece>> {
    let job = &workup.job;
    let sharing = &job.cut.sharing;
    let whole = |name: &str, count: u32| OrderedPiece {
        name: name.to_string(),
        count: count as usize,
        holes: proof::cleat_holes_of(workup),
    };
    if let Makes::Pattern(_) = job.cut.makes {
        return Ok(Warned::plain(vec![whole("stringer pattern", job.cut.quantity)]));
    }
    if sharing.layers == 1 {
        let doublers = job.cut.doublers();
        let doublers = (doublers > 0).then(|| whole("doubler", doublers));
        return Ok(Warned::plain(
            [whole("stringer", job.cut.quantity)].into_iter().chain(doublers).collect(),
        ));
    }
    let member = Member::worked_up(workup.clone(), 1);
    let kinds = kinds(0, &member)?;
    let piece = |kind: Kind| OrderedPiece {
        name: format!("stringer, {}", kind.tooled.name),
        count: kind.count,
        holes: kind.tooled.holes,
    };
    Ok(kinds.map(|kinds| kinds.into_iter().map(piece).collect()))
}

/// The skirt that goes with a job's stringer, drawn; none where there is no such skirt.
pub(super) fn plain_skirt(workup: &Workup) -> Option<Drawing> {
    let skirt = Skirt::of(&workup.job, &workup.flight).ok()?;
    Some(nominal_skirt(&Stamp::of(workup), &skirt, workup.job.cut.machine.units))
}

/// The drawings of the treads and riser boards that are cut from the sheet, each with its file's
/// name.
pub(super) fn steps_drawn(workup: &Workup) -> impl Iterator<Item = (&SheetPiece, String, Drawing)> {
    let (stamp, units) = (Stamp::of(workup), workup.job.cut.machine.units);
    workup.beside.from_sheet.iter().filter_map(move |of| {
        let drawn = nominal_piece(&stamp, (&of.name, &of.contour), units);
        Some((of, names::step(of.what?), drawn))
    })
}

fn drawings<'a>(
    workup: &'a Workup,
    outline: &'a Outline,
    pieces: Vec<OrderedPiece>,
    skirt: Option<&'a Skirt>,
    (version, reference): (DxfVersion, Reference),
) -> Vec<OrderDrawing<'a>> {
    let stamp = Stamp::of(workup);
    let units = workup.job.cut.machine.units;
    let holes = pieces.first().map_or(&[][..], |piece| &piece.holes);
    let written = |drawing: Drawing| match reference {
        Reference::Drawn => drawing.write(version).into_bytes(),
        Reference::LeftOut => drawing.without_reference().write(version).into_bytes(),
    };
    let drawn =
        nominal(&stamp, outline, units).with_holes(holes, HolesOf::of(&workup.job), Length::ZERO);
    let file = (names::NOMINAL.to_string(), written(drawn));
    let stringer = OrderDrawing {
        part: OrderedPart::Stringer,
        shape: OrderShape::Part(outline),
        pieces,
        file,
    };
    let of_skirt = |skirt: &'a Skirt, name: &str, part, pieces| OrderDrawing {
        part,
        shape: OrderShape::Part(skirt.outline()),
        pieces,
        file: (name.to_string(), written(nominal_skirt(&stamp, skirt, units))),
    };
    let plain = skirt.map(|skirt| of_skirt(skirt, names::SKIRT, OrderedPart::Skirt, Vec::new()));
    let (beside, stairs) = (&workup.beside, workup.job.cut.stairs as usize);
    let made = |name, count| vec![OrderedPiece { name, count, holes: Vec::new() }];
    let asked = beside.skirts.iter().map(|of| {
        let is_cut = beside.is_cut_from_sheet(of);
        let part = if is_cut { OrderedPart::OfSheet } else { OrderedPart::Skirt };
        of_skirt(&of.skirt, names::skirt(of.side), part, made(of.name(), stairs))
    });
    let steps = steps_drawn(workup).map(|(of, file, drawn)| OrderDrawing {
        part: OrderedPart::OfSheet,
        shape: OrderShape::Piece(&of.contour),
        pieces: made(of.name.clone(), of.count * stairs),
        file: (file, written(drawn)),
    });
    std::iter::once(stringer).chain(plain).chain(asked).chain(steps).collect()
}

fn drawn<'a>(job: &'a Job, drawing: OrderDrawing<'_>) -> Artifact<'a> {
    let holes = drawing.pieces.first().map_or(&[][..], |piece| &piece.holes);
    let held = match drawing.shape {
        OrderShape::Part(outline) => proof::anybodys(job, outline),
        OrderShape::Piece(contour) => proof::anybodys_piece(job, &drawing.file.0, contour),
    };
    let expectation = proof::drilled(held, holes);
    let (name, bytes) = drawing.file;
    Artifact { name, bytes, proof: Proof::Drawing(Box::new(expectation)) }
}

/// The drawing of the stringer with its dimensions, as a PDF.
fn dimensioned(workup: &Workup, outline: &Outline) -> Result<Vec<u8>, Error> {
    // A shop is ordered the part, whatever pattern follows it.
    let subject = Subject { pattern: None, ..Subject::of(workup, outline) };
    pdf(&Stamp::of(workup), &drawing::sheets(&subject, None)).map_err(no_letter)
}
