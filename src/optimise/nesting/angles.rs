//! Which angles are searched where any are allowed: the square ones and a few tilts at a time.
//!
//! A table of no-fit polygons grows with the square of its angles, so a search over any angle is
//! many searches over a few. Angles worth it are where a piece just begins to fit the sheet (longer
//! than the sheet, it lies corner to corner) and where one of its sides lies along the sheet's.

use super::orientation::{Orientation, fits, square_angles};
use super::problem::{Piece, Rotations, SheetSize};
use std::f64::consts::{FRAC_PI_2, PI};

/// Steps in which half a turn is scanned for tilts at which a piece begins to fit: half degrees.
const SCANNED: usize = 360;

/// How far beyond such a tilt is searched, in radians: 8 degrees (by trial).
const BEYOND_RAD: f64 = 8.0 * PI / 180.0;

/// Tilts closer than this are one, in radians: a millimetre on ten metres.
const SAME_TILT_RAD: f64 = 1e-4;

/// The orientations of a piece that one start of a search uses. Where any angle is allowed, every
/// other start uses one tilt and its half turn besides the square ones.
pub(super) fn family(
    kind: usize,
    piece: &Piece,
    start: usize,
    sheet: &SheetSize,
) -> Vec<Orientation> {
    let mut angles = square_angles(piece.rotations);
    if piece.rotations == Rotations::Any && start.is_multiple_of(2) {
        let tilts = tilts(piece, sheet);
        let turn = start / 2;
        if let Some(tilt) = tilts.get(turn % tilts.len().max(1)) {
            // Once round all tilts as they are, then a little beyond each.
            let tilt = tilt.at(turn / tilts.len());
            angles.extend([tilt, tilt + PI]);
        }
    }
    angles.into_iter().filter_map(|angle| Orientation::of(kind, piece, angle, sheet)).collect()
}

/// The angles for a search over one set of them: the square ones and, where any is allowed, every
/// tilt.
pub(super) fn spread(piece: &Piece, sheet: &SheetSize) -> Vec<f64> {
    let mut angles = square_angles(piece.rotations);
    if piece.rotations == Rotations::Any {
        angles.extend(tilts(piece, sheet).iter().flat_map(|t| [t.from, t.from + PI]));
    }
    angles
}

/// An angle between quarters that is worth a try, in radians.
#[derive(Clone, Copy, Debug)]
struct Tilt {
    from: f64,
    /// How far angles beyond it are worth a try, with sign.
    beyond: f64,
}

impl Tilt {
    /// The kth angle to try: the tilt, half way, then ever finer between. The shares are the van
    /// der Corput sequence to base 2 (the bits of k behind the point), which fills the stretch
    /// evenly however many starts there are.
    fn at(&self, k: usize) -> f64 {
        let (mut share, mut half, mut rest) = (0.0, 0.5, k);
        while rest > 0 {
            share += half * (rest % 2) as f64;
            half /= 2.0;
            rest /= 2;
        }
        self.from + self.beyond * share
    }
}

/// Where the piece begins to fit the sheet, and where one of its sides lies along the sheet's;
/// square angles left out.
fn tilts(piece: &Piece, sheet: &SheetSize) -> Vec<Tilt> {
    let mut found = beginnings(piece, sheet);
    let n = piece.outline.len();
    for i in 0..n {
        let along = piece.outline[(i + 1) % n] - piece.outline[i];
        // The angle that brings this side along X, brought into one quarter.
        let square = (-along.y.atan2(along.x)).rem_euclid(FRAC_PI_2);
        for from in [square, square + FRAC_PI_2] {
            let is_new = found.iter().all(|t| (t.from - from).abs() > SAME_TILT_RAD);
            let is_off_square = (square - FRAC_PI_2).abs().min(square) > SAME_TILT_RAD;
            if is_new && is_off_square && fits(piece, from, sheet) {
                found.push(Tilt { from, beyond: 0.0 });
            }
        }
    }
    found
}

/// Where the piece begins, or ceases, to fit the sheet.
fn beginnings(piece: &Piece, sheet: &SheetSize) -> Vec<Tilt> {
    let mut found = Vec::new();
    for k in 0..SCANNED {
        let a = k as f64 * PI / SCANNED as f64;
        let b = (k + 1) as f64 * PI / SCANNED as f64;
        match (fits(piece, a, sheet), fits(piece, b, sheet)) {
            (true, false) => {
                found.push(Tilt { from: last_fit(piece, sheet, a, b), beyond: -BEYOND_RAD });
            }
            (false, true) => {
                found.push(Tilt { from: last_fit(piece, sheet, b, a), beyond: BEYOND_RAD });
            }
            _ => {}
        }
    }
    found
}

/// The last angle that fits on the way to one that does not, by bisection.
fn last_fit(piece: &Piece, sheet: &SheetSize, mut fit: f64, mut misfit: f64) -> f64 {
    while (fit - misfit).abs() > SAME_TILT_RAD / 1000.0 {
        let middle = (fit + misfit) / 2.0;
        if fits(piece, middle, sheet) { fit = middle } else { misfit = middle }
    }
    fit
}
