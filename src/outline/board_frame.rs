//! The board frame: the part as it lies along its board, toe at the left, teeth up, its box at 0,0.

use super::{Outline, Role};
use crate::geometry::{Contour, Placement, Vector};
use crate::units::Length;

impl Outline {
    /// From the elevation frame to the board frame: turned by minus the pitch, then moved. Never mirrored.
    pub fn to_board(&self) -> Placement {
        let turned = self.contour().placed(&Placement::rotation(-self.pitch_rad()));
        let min = turned.bounds().min;
        Placement::new(Vector::new(-min.x, -min.y), -self.pitch_rad())
    }

    /// The contour in the board frame.
    pub fn in_board_frame(&self) -> Contour<Role> {
        self.contour().placed(&self.to_board())
    }

    /// Extent along the pitch: the shortest board that holds the part, without end trim.
    pub fn blank_length(&self) -> Length {
        Length::mm(self.in_board_frame().bounds().width())
    }
}
