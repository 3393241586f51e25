//! Two sawtooth stringers tooth in tooth: the figures in closed form.

/// Two equal stringers, one turned half round, teeth to teeth at the spacing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairMesh {
    /// From straight back to straight back, in mm: 2 W - d + s (g + r) / h.
    pub width: f64,
    /// Between the two bounding boxes along the board, in mm, from 0 to one tooth: (r1 r - s (g -
    /// r)) / h modulo h.
    pub slip: f64,
    /// One tooth along the board, in mm: h = sqrt(r^2 + g^2).
    pub tooth: f64,
}

/// The teeth of a stringer, in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Teeth {
    /// Unit rise r.
    pub rise: f64,
    /// Tread cut g.
    pub run: f64,
    /// Board width W, nose line to back.
    pub board: f64,
    /// First riser cut r1.
    pub first: f64,
}

impl PairMesh {
    /// The tightest pair at this spacing in mm. d = r g / h is the depth of a tooth. Holds where
    /// teeth of more than the spacing meet; the least distance is then exactly the spacing, on
    /// treads and risers both.
    pub fn of(teeth: Teeth, spacing: f64) -> Self {
        let tooth = teeth.rise.hypot(teeth.run);
        let depth = teeth.rise * teeth.run / tooth;
        let width = 2.0 * teeth.board - depth + spacing * (teeth.run + teeth.rise) / tooth;
        let slip = (teeth.first * teeth.rise - spacing * (teeth.run - teeth.rise)) / tooth;
        Self { width, slip: slip.rem_euclid(tooth), tooth }
    }

    /// The width in mm of a stack of `parts`: pairs with their straight backs `spacing` apart, an
    /// odd part on its own.
    pub fn stack_width(&self, parts: usize, board: f64, spacing: f64) -> f64 {
        let (pairs, odd) = ((parts / 2) as f64, (parts % 2) as f64);
        pairs * (self.width + spacing) + odd * (board + spacing)
            - if parts > 0 { spacing } else { 0.0 }
    }
}
