//! A design value with every factor that was put on it.

/// One factor on a design value.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    /// As the standard writes it: `CD`.
    pub symbol: String,
    /// In words, with the reason for its value.
    pub name: String,
    /// The factor.
    pub value: f64,
    /// Where it stands.
    pub source: String,
}

/// A reference value in psi and its factors.
#[derive(Clone, Debug, PartialEq)]
pub struct Adjusted {
    /// As the standard writes it: `Fb`.
    pub symbol: &'static str,
    /// The reference value, psi.
    pub reference: f64,
    /// Where it stands.
    pub source: String,
    /// In the order they are shown.
    pub factors: Vec<Factor>,
}

impl Adjusted {
    /// The value to design with, psi: the reference value times every factor.
    pub fn value(&self) -> f64 {
        self.reference * self.product()
    }

    /// Every factor multiplied.
    pub fn product(&self) -> f64 {
        self.factors.iter().map(|factor| factor.value).product()
    }
}
