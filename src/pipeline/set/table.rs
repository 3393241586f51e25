//! A sheet, or an offcut of one, as it lies on the machine.

use crate::cam::plan::{ClampBox, FROM_CLAMP_MM};
use crate::check::StockBox;
use crate::diagnostics::{Finding, codes};
use crate::geometry::tolerance::LEAST_WEB_MM;
use crate::geometry::{Bounds, Placement, Point, Vector};
use crate::job::Clamp;
use crate::optimise::nesting::SheetSize;
use crate::profile::{Machine, Material};
use crate::units::Length;

/// A sheet on the machine: nested along its own length, which lies along X or along Y.
#[derive(Clone)]
pub(super) struct Table<'a> {
    machine: &'a Machine,
    pub material: &'a Material,
    /// The sheet on the machine.
    pub stock: StockBox,
    /// From the sheet's own frame, its length along X, to the stock frame.
    pub to_stock: Placement,
    /// On it.
    pub clamps: Vec<ClampBox>,
    /// What stays between a piece and the sheet's edge, in mm.
    pub margin: f64,
    /// What a clamp keeps from a piece, in mm.
    clear: f64,
}

/// How much wider than the least web wood is planned at least: rows and printed numbers cost a
/// little.
pub(super) const MORE_RIM: f64 = 1.25;

impl<'a> Table<'a> {
    pub(super) fn new(machine: &'a Machine, material: &'a Material, clamps: &[Clamp]) -> Self {
        let clamps = ClampBox::all(clamps);
        Self::sized(machine, material, [material.length, material.width], clamps)
    }

    /// The same with an offcut of a size on the machine, along the grain and across, unclamped.
    pub(super) fn of_size(&self, size: [Length; 2]) -> Self {
        Self::sized(self.machine, self.material, size, Vec::new())
    }

    fn sized(
        machine: &'a Machine,
        material: &'a Material,
        [length, width]: [Length; 2],
        clamps: Vec<ClampBox>,
    ) -> Self {
        let [x, y] = [machine.travel[0], machine.travel[1]];
        let area = |a: Length, b: Length| a.as_mm() * b.as_mm();
        let along = (length.min(x), width.min(y));
        let across = (width.min(x), length.min(y));
        let lies_along = area(along.0, along.1) >= area(across.0, across.1);
        let (stock_x, stock_y) = if lies_along { along } else { across };
        let to_stock = if lies_along {
            Placement::identity()
        } else {
            Placement::new(Vector::new(stock_x.as_mm(), 0.0), std::f64::consts::FRAC_PI_2)
        };
        // What the tool takes beside a piece, at its corners too where chords stand for arcs.
        let width = machine.tool.widest() + machine.arcs.overshoot();
        let width = (width + machine.tool.stands_off()).as_mm();
        // A tool that pushes leaves a rim that holds what is tied to it.
        let rim = if machine.tool.pushes() { LEAST_WEB_MM * MORE_RIM } else { 0.0 };
        Table {
            machine,
            material,
            stock: StockBox { length: stock_x, width: stock_y, thickness: material.thickness },
            to_stock,
            clamps,
            margin: material.margin.as_mm().max(rim) + width + machine.tool.lead().as_mm(),
            clear: width + FROM_CLAMP_MM,
        }
    }

    /// Whether all of a stock of a size lies on the machine: nobody cuts an offcut down to it.
    pub(super) fn takes_all_of(&self, [length, width]: [Length; 2]) -> bool {
        let own = match self.lies_along() {
            true => [self.stock.length, self.stock.width],
            false => [self.stock.width, self.stock.length],
        };
        own == [length, width]
    }

    /// What it is of, as jobs call it.
    pub(super) fn material_name(&self) -> &'a str {
        &self.material.name
    }

    /// Whether its own length lies along X.
    pub(super) fn lies_along(&self) -> bool {
        self.to_stock.rotation.angle().abs() <= 1e-9
    }

    /// As the nest sees it, its length along X.
    pub(super) fn size(&self) -> SheetSize {
        let to_sheet = self.to_stock.inverse();
        let stock = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let (length, width) = if self.lies_along() { stock } else { (stock.1, stock.0) };
        SheetSize {
            length,
            width,
            margin: self.margin,
            keep_out: self.clamps.iter().map(|clamp| self.taken(clamp).placed(&to_sheet)).collect(),
        }
    }

    /// What a clamp takes of the sheet: itself, what holds it, and room for the tool.
    fn taken(&self, clamp: &ClampBox) -> Bounds {
        let standing = clamp.standing(&self.stock);
        let end = Point::new(self.stock.length.as_mm(), self.stock.width.as_mm());
        Bounds { min: standing.min.sup(&Point::origin()), max: standing.max.inf(&end) }
            .grown(self.clear)
    }

    pub(super) fn to_stock_box(&self, bounds: Bounds) -> Bounds {
        bounds.placed(&self.to_stock)
    }

    pub(super) fn trimmed(&self) -> Option<Finding> {
        let (a, b) = (self.material.length.as_mm(), self.material.width.as_mm());
        let (x, y) = (self.stock.length.as_mm(), self.stock.width.as_mm());
        let found = codes::SheetTrimmed { along_x: self.stock.length, along_y: self.stock.width };
        (x * y < a * b * LEAST_TRIM).then(|| found.at("material"))
    }
}

/// A sheet may lie over the table's edge by this share of its area before it is said to be too
/// large.
const LEAST_TRIM: f64 = 0.99;
