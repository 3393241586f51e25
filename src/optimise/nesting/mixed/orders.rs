//! Orders in which kinds are put on a sheet.

use oorandom::Rand64;

/// Kinds by a figure, the greatest first.
pub(super) fn ordered(kinds: &[usize], by: impl Fn(usize) -> f64) -> Vec<usize> {
    let mut kinds = kinds.to_vec();
    kinds.sort_by(|a, b| by(*b).total_cmp(&by(*a)).then(a.cmp(b)));
    kinds
}

/// Kinds by a figure that chance makes up to half again as great.
pub(super) fn shaken(
    kinds: &[usize],
    by: impl Fn(usize) -> f64,
    random: &mut Rand64,
) -> Vec<usize> {
    let most = kinds.iter().copied().max().map_or(0, |most| most + 1);
    let mut figures = vec![0.0; most];
    for kind in kinds {
        figures[*kind] = by(*kind) * (1.0 + random.rand_float() / 2.0);
    }
    ordered(kinds, |kind| figures[kind])
}
