//! placeholder
use crate::units::Length;
pub struct Wanted {
    pub length: Length,
    pub count: usize,
}
pub struct StockLength {
    pub length: Length,
    pub available: Option<usize>,
    pub cost: f64,
}
pub struct Order {
    pub lengths: Vec<Wanted>,
    pub stock: Vec<StockLength>,
    pub kerf: Length,
    pub end_trim: Length,
    pub effort: u32,
}
pub struct Sawing {
    pub stock: usize,
    pub cuts: Vec<usize>,
    pub times: usize,
    pub left: Length,
}
pub struct Purchase {
    pub boards: Vec<Sawing>,
    pub cost: f64,
    pub bound: f64,
    pub proven: bool,
    pub first_fit_cost: f64,
}
#[derive(Debug)]
pub struct NoBoard;
impl std::fmt::Display for NoBoard {
    fn fmt(&self, _f: &mut std::fmt::Formatter) -> std::fmt::Result {
        Ok(())
    }
}
pub fn buy(_o: &Order) -> Result<Purchase, NoBoard> {
    Err(NoBoard)
}
