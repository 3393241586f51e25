//! The cut stringer as a beam: advice for a licensed designer, never an approval.
