//! How much of a tread's load a line of stringers carries.

/// The load on the inner line that carries most, in bays, of treads that run on over `bays` equal
/// bays under a load spread evenly, all lines equally firm. Never less than the one bay that treads
/// cut off over every line would put on it.
///
/// Three moments over each inner line, spans and load both 1, hogging counted as positive
/// (Clapeyron's equation, textbook statics): M(k-1) + 4 M(k) + M(k+1) = 1/2, and line k bears
/// 1 + 2 M(k) - M(k-1) - M(k+1).
pub(super) fn inner_share(bays: usize) -> f64 {
    let hogging = moments(bays);
    let bears = |k: usize| 1.0 + 2.0 * hogging[k] - hogging[k - 1] - hogging[k + 1];
    (1..bays).map(bears).fold(1.0, f64::max)
}

/// Hogging moments over every line from the left; nothing over the outer two.
fn moments(bays: usize) -> Vec<f64> {
    let mut found = vec![0.0; bays + 1];
    // Elimination downwards: each line in terms of the one to its right.
    let (mut ratios, mut rests) = (vec![0.0; bays + 1], vec![0.0; bays + 1]);
    for k in 1..bays {
        let pivot = 4.0 - ratios[k - 1];
        ratios[k] = 1.0 / pivot;
        rests[k] = (0.5 - rests[k - 1]) / pivot;
    }
    for k in (1..bays).rev() {
        found[k] = rests[k] - ratios[k] * found[k + 1];
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inner_lines_bear_what_continuous_beams_of_two_to_five_bays_are_known_to() {
        // Textbook statics: 10/8; 11/10; 8/7; 43/38 of a bay on the line beside the outer ones.
        for (bays, share) in [(2, 1.25), (3, 1.1), (4, 8.0 / 7.0), (5, 43.0 / 38.0)] {
            assert!((inner_share(bays) - share).abs() < 1e-12, "{bays}: {}", inner_share(bays));
        }
        assert!((inner_share(1) - 1.0).abs() < 1e-12, "no inner line");
    }

    #[test]
    fn what_all_lines_bear_together_is_the_whole_load() {
        for bays in 2..12 {
            let hogging = moments(bays);
            let inner: f64 =
                (1..bays).map(|k| 1.0 + 2.0 * hogging[k] - hogging[k - 1] - hogging[k + 1]).sum();
            let outer = 0.5 - hogging[1] + 0.5 - hogging[bays - 1];
            assert!((inner + outer - bays as f64).abs() < 1e-12, "{bays}");
        }
    }
}
