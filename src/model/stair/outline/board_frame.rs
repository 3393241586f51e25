//! The board frame: the part as it lies along its board, toe at the left (of a right-hand housed
//! stringer at the right), teeth or inner face up, its box at 0,0.

use super::{Outline, Role};
use crate::geometry::{Contour, Placement, Vector};
use crate::units::Length;

impl Outline {
    /// From the frame of the contour to the board frame: turned by minus the pitch (a right-hand
    /// housed stringer, which rises to the left, by the pitch), then moved. Never mirrored.
    pub fn to_board(&self) -> Placement {
        let turned = self.contour().placed(&Placement::rotation(-self.turn_rad));
        let min = turned.bounds().min;
        Placement::new(Vector::new(-min.x, -min.y), -self.turn_rad)
    }

    /// The contour in the board frame.
    pub fn in_board_frame(&self) -> Contour<Role> {
        self.contour().placed(&self.to_board())
    }

    /// From end to end as the stringer stands, level: of a solid board from the plumb cut at its
    /// foot to the one at its head.
    pub fn level_length(&self) -> Length {
        Length::mm(self.contour().bounds().width())
    }

    /// Extent along the pitch: the shortest board that holds the part, without end trim.
    pub fn blank_length(&self) -> Length {
        Length::mm(self.in_board_frame().bounds().width())
    }
}
