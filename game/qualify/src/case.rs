//! One comparison, and its verdict.

use serde::Serialize;

/// How a value is held against its reference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// By the difference over the size of the reference; the tolerance is a fraction.
    Relative,
    /// By the difference itself; the tolerance has the unit of the quantity. Where a reference may
    /// be nothing, or is a level.
    Difference,
}

/// What came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Within the tolerance.
    Pass,
    /// Beyond it, or no finite number.
    Fail,
}

impl Verdict {
    /// Its name in data and ids.
    pub fn id(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
        }
    }

    /// Of whether all is well.
    pub fn of(passes: bool) -> Self {
        if passes { Self::Pass } else { Self::Fail }
    }
}

/// One value of ours against one from outside.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Case {
    /// Id of the quantity.
    pub quantity: &'static str,
    /// What the values hold for.
    pub case: String,
    /// The value from outside.
    pub reference: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// Where the reference is from, in full.
    pub source: String,
    /// Key of the source in [`crate::sources`].
    #[serde(skip)]
    pub source_key: &'static str,
    /// How far ours may be off; see `kind`.
    pub tolerance: f64,
    /// How the two are compared.
    pub kind: Kind,
    /// What the core computes.
    pub ours: f64,
    /// Whether that is good enough.
    pub verdict: Verdict,
}

impl Case {
    /// How far ours is off, in the measure of the tolerance.
    pub fn deviation(&self) -> f64 {
        deviation(self.kind, self.ours, self.reference)
    }

    /// How much of the tolerance is used up, without sign; infinite where ours is no number.
    pub fn used(&self) -> f64 {
        let used = self.deviation().abs() / self.tolerance;
        if used.is_nan() { f64::INFINITY } else { used }
    }

    /// The verdict on a value of ours in the place of this one.
    pub fn judge(&self, ours: f64) -> Verdict {
        judge(self.kind, ours, self.reference, self.tolerance)
    }
}

fn deviation(kind: Kind, ours: f64, reference: f64) -> f64 {
    match kind {
        Kind::Relative => (ours - reference) / reference.abs(),
        Kind::Difference => ours - reference,
    }
}

/// Written so that whatever is no finite number fails.
pub(crate) fn judge(kind: Kind, ours: f64, reference: f64, tolerance: f64) -> Verdict {
    let off = deviation(kind, ours, reference).abs();
    let sound = ours.is_finite() && reference.is_finite() && tolerance.is_finite();
    Verdict::of(sound && off <= tolerance)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_refused_beyond_its_tolerance_and_where_it_is_none() {
        let relative = |ours, reference| judge(Kind::Relative, ours, reference, 0.005).id();
        assert_eq!(relative(1.004, 1.0), "pass");
        assert_eq!(relative(-1.004, -1.0), "pass");
        for (ours, reference) in [
            (1.01, 1.0),
            (0.99, 1.0),
            (-1.0, 1.0),
            (f64::NAN, 1.0),
            (f64::INFINITY, 1.0),
            (f64::INFINITY, f64::INFINITY),
            (1.0, f64::NAN),
            (0.0, 0.0),
            (1.0, 0.0),
        ] {
            assert_eq!(relative(ours, reference), "fail", "{ours} {reference}");
        }
        let difference = |ours, reference| judge(Kind::Difference, ours, reference, 0.005).id();
        assert_eq!(difference(0.004, 0.0), "pass");
        assert_eq!(difference(0.006, 0.0), "fail");
        assert_eq!(difference(f64::NAN, 0.0), "fail");
        assert_eq!(judge(Kind::Relative, 1.0, 1.0, f64::NAN).id(), "fail");
    }
}
