//! placeholder
use super::*;
use crate::geometry::{Bounds, Placement, Point, Vector};
#[derive(Clone)]
pub struct Nest {
    pub sheets: Vec<SheetLayout>,
    pub figures: Figures,
}
#[derive(Clone)]
pub struct SheetLayout {
    pub times: usize,
    pub lying: Vec<Lying>,
    pub method: &'static str,
    pub remnant: Bounds,
}
#[derive(Clone)]
pub struct Figures {
    pub yield_share: f64,
    pub sheets_by_boxes: Option<usize>,
    pub bound_sheets: usize,
    pub bound_per_sheet: Option<usize>,
    pub proven: bool,
}
#[derive(Debug)]
pub enum Misfit {
    Piece(usize),
    NoSheet,
}
pub fn nest(p: &[Piece], s: &SheetSize, sp: f64, _e: Effort) -> Result<Nest, Misfit> {
    let mut lying = Vec::new();
    let mut y = s.margin;
    for (i, piece) in p.iter().enumerate() {
        for _ in 0..piece.count {
            let b = Bounds::around(piece.outline.iter().copied()).unwrap();
            if y + b.height() > s.width - s.margin || b.width() > s.length - 2.0 * s.margin {
                return Err(Misfit::Piece(i));
            }
            lying
                .push(Lying { piece: i, placement: Placement::new(Vector::new(s.margin - b.min.x, y - b.min.y), 0.0) });
            y += b.height() + sp;
        }
    }
    let _ = Point::origin();
    Ok(Nest {
        sheets: vec![SheetLayout {
            times: 1,
            lying,
            method: "rows",
            remnant: Bounds { min: Point::new(0.0, y), max: Point::new(s.length, s.width.max(y)) },
        }],
        figures: Figures {
            yield_share: 0.0,
            sheets_by_boxes: Some(1),
            bound_sheets: 1,
            bound_per_sheet: None,
            proven: true,
        },
    })
}
