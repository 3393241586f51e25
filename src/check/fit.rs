//! Whether the part finds room on the material and in the machine's travel, and how it lies.

use crate::diagnostics::{Finding, Refusals, codes};
use crate::geometry::Bounds;
use crate::profile::{Form, Machine, Material};
use crate::units::Length;

/// What lies on the machine, in program axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StockBox {
    /// Extent along X.
    pub length: Length,
    /// Extent along Y.
    pub width: Length,
    /// Thickness.
    pub thickness: Length,
}

/// How the part lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// Along X.
    AlongX,
    /// Turned a quarter turn, along Y.
    AlongY,
}

/// What stays free round a part, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Before and behind it along its length.
    pub along: f64,
    /// Beside it, for the tool.
    pub across: f64,
    /// Beside it, of the material: none where the material's own edges are the part's.
    pub of_material: f64,
}

/// How a part of these bounds (board frame) lies on the machine with room round it, and the stock
/// cut down to what the machine reaches; along X if that fits, else along Y.
///
/// # Errors
/// With the refusals that say what is too small and by how much.
pub fn fit(
    part: Bounds,
    room: Room,
    machine: &Machine,
    material: &Material,
) -> Result<(Lie, StockBox), Refusals> {
    let need = Need {
        along: part.width() + 2.0 * room.along,
        across: part.height() + 2.0 * room.across,
        of_material: part.height() + 2.0 * room.of_material,
    };
    let lies = [Lie::AlongX, Lie::AlongY];
    let fitting = lies.into_iter().find(|lie| misfit(*lie, &need, machine, material).is_empty());
    match fitting {
        Some(lie) => Ok((lie, stock_box(lie, machine, material))),
        None => {
            let long_lie =
                if machine.travel[0] >= machine.travel[1] { Lie::AlongX } else { Lie::AlongY };
            Err(misfit(long_lie, &need, machine, material).into())
        }
    }
}

/// Said where the material as it comes does not go on the machine.
pub fn trimmed_sheet(stock: &StockBox, lie: Lie, material: &Material) -> Option<Finding> {
    let (length, width) = material_extent(lie, material);
    let trimmed = stock.length < length * LEAST_TRIM || stock.width < width * LEAST_TRIM;
    trimmed
        .then(|| codes::SheetTrimmed { along_x: stock.length, along_y: stock.width }.at("material"))
}

/// A sheet may lie over the table's edge by this share before it is said to be too large.
const LEAST_TRIM: f64 = 0.99;

/// The material with its length along the lie, less what the machine cannot reach.
fn stock_box(lie: Lie, machine: &Machine, material: &Material) -> StockBox {
    let (length, width) = material_extent(lie, material);
    // A board is held as it is: it may lie over the table's end.
    let reach = |extent: Length, travel: Length| {
        if material.form == Form::Board { extent } else { extent.min(travel) }
    };
    StockBox {
        length: reach(length, machine.travel[0]),
        width: reach(width, machine.travel[1]),
        thickness: material.thickness,
    }
}

fn material_extent(lie: Lie, material: &Material) -> (Length, Length) {
    match lie {
        Lie::AlongX => (material.length, material.width),
        Lie::AlongY => (material.width, material.length),
    }
}

/// What the part takes with its room, in mm.
struct Need {
    along: f64,
    across: f64,
    of_material: f64,
}

/// A board as wide as the part to within this, in mm, is wide enough.
const SAME_WIDTH_MM: f64 = 1e-6;

fn misfit(lie: Lie, need: &Need, machine: &Machine, material: &Material) -> Vec<Finding> {
    let (along, across, travel) = match lie {
        Lie::AlongX => ("X", "Y", [machine.travel[0], machine.travel[1]]),
        Lie::AlongY => ("Y", "X", [machine.travel[1], machine.travel[0]]),
    };
    let stock = [
        beyond(along, need.along, material.length).map(Beyond::stock),
        beyond(across, need.of_material, material.width).map(Beyond::stock),
    ];
    let machine = [
        beyond(along, need.along, travel[0]).map(Beyond::travel),
        beyond(across, need.across, travel[1]).map(Beyond::travel),
    ];
    stock.into_iter().chain(machine).flatten().collect()
}

/// What a part takes along an axis, where that is more than there is.
struct Beyond {
    axis: &'static str,
    measured: Length,
    limit: Length,
}

fn beyond(axis: &'static str, need_mm: f64, limit: Length) -> Option<Beyond> {
    (need_mm > limit.as_mm() + SAME_WIDTH_MM).then(|| Beyond {
        axis,
        measured: Length::mm(need_mm),
        limit,
    })
}

impl Beyond {
    fn stock(self) -> Finding {
        let Self { axis, measured, limit } = self;
        codes::BeyondStock { measured, limit, axis }.at("material")
    }

    fn travel(self) -> Finding {
        let Self { axis, measured, limit } = self;
        codes::BeyondTravel { measured, limit, axis }.at("machine")
    }
}
