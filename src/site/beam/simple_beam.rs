//! A simply supported beam of one section: moment, shear and deflection. Textbook statics
//! (Euler-Bernoulli), held against a finite-element library in `tests/outside/pynite`.

/// A rectangle, in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Across the load.
    pub breadth_in: f64,
    /// Along the load.
    pub depth_in: f64,
}

impl Section {
    /// Area, in^2.
    pub fn area(self) -> f64 {
        self.breadth_in * self.depth_in
    }

    /// Section modulus b d^2 / 6, in^3.
    pub fn modulus(self) -> f64 {
        self.breadth_in * self.depth_in.powi(2) / 6.0
    }

    /// Moment of inertia b d^3 / 12, in^4.
    pub fn inertia(self) -> f64 {
        self.breadth_in * self.depth_in.powi(3) / 12.0
    }

    /// Greatest bending stress under a moment in inch-pounds: M / S, psi.
    pub fn bending(self, moment: f64) -> f64 {
        moment / self.modulus()
    }

    /// Greatest shear stress under a shear in pounds: 3 V / 2 b d, psi.
    pub fn shear(self, shear: f64) -> f64 {
        1.5 * shear / self.area()
    }
}

/// The greatest figures along a beam.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Response {
    /// Moment, inch-pounds.
    pub moment: f64,
    /// Shear, pounds.
    pub shear: f64,
    /// Deflection, inches.
    pub deflection: f64,
}

/// Under `load` pounds an inch along a span of `span` inches, stiffness E I in pound-inches
/// squared: w L^2 / 8, w L / 2,
/// 5 w L^4 / 384 E I.
pub fn uniform_load(load: f64, span: f64, stiffness: f64) -> Response {
    Response {
        moment: load * span.powi(2) / 8.0,
        shear: load * span / 2.0,
        deflection: 5.0 * load * span.powi(4) / (384.0 * stiffness),
    }
}

/// Under `load` pounds on one spot: at midspan for moment and deflection, P L / 4 and P L^3 / 48 E
/// I; beside a support for shear, all of P.
pub fn point_load(load: f64, span: f64, stiffness: f64) -> Response {
    Response {
        moment: load * span / 4.0,
        shear: load,
        deflection: load * span.powi(3) / (48.0 * stiffness),
    }
}

impl std::ops::Add for Response {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            moment: self.moment + other.moment,
            shear: self.shear + other.shear,
            deflection: self.deflection + other.deflection,
        }
    }
}
