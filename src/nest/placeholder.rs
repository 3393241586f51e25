use super::*;
use crate::geometry::Bounds;
pub struct Nest {
    pub sheets: Vec<SheetLayout>,
    pub figures: Figures,
}
pub struct SheetLayout {
    pub times: usize,
    pub lying: Vec<Lying>,
    pub method: &'static str,
    pub remnant: Bounds,
}
pub struct Figures {
    pub yield_share: f64,
    pub sheets_by_boxes: Option<usize>,
    pub bound_sheets: usize,
    pub bound_per_sheet: Option<usize>,
    pub proven: bool,
}
pub enum Misfit {
    Piece(usize),
    NoSheet,
}
pub fn nest(_p: &[Piece], _s: &SheetSize, _sp: f64, _e: Effort) -> Result<Nest, Misfit> {
    Err(Misfit::NoSheet)
}
