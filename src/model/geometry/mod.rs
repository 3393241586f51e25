//! Plane geometry in plain millimetres: points, segments, closed contours, distance, offset. It
//! knows no stairs.

mod bounds;
mod capsule;
mod contour;
mod distance;
pub mod hanging;
mod offset;
pub mod remains;
mod ring;
mod segment;
pub mod stroke_font;
pub mod tolerance;
mod union_find;

pub use bounds::Bounds;
pub use contour::{Contour, ContourProblem, Edge};
pub use distance::distance_to_segment;
pub use offset::{Corner, Follows, OffsetProblem, corners, inset_sharp, offset_outside};
pub use ring::{is_inside, sides};
pub use segment::{Segment, Turn};

/// A point of the plane, in millimetres.
pub type Point = nalgebra::Point2<f64>;
/// A displacement in the plane, in millimetres.
pub type Vector = nalgebra::Vector2<f64>;
/// A turn followed by a move: no mirror can hide in it.
pub type Placement = nalgebra::Isometry2<f64>;

/// `vector` turned a quarter turn counter-clockwise.
pub fn left_of(vector: Vector) -> Vector {
    Vector::new(-vector.y, vector.x)
}

/// The z component of the cross product: positive where `b` lies to the left of `a`.
pub fn cross(a: Vector, b: Vector) -> f64 {
    a.x * b.y - a.y * b.x
}
