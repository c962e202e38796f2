//! Which products are in a window around which rows? The inner loop of the search.
//!
//! A lead is M p / u with whole numbers p (a product of drivers) and u (a row); T is the target. So
//! p must be near y = u T / M, and the error of the lead is (p - y) / y. Both lists ascend. There
//! are three ways, chosen by cost: both lists side by side; product by product, for many rows; and
//! by rounding y, for windows so narrow that most rows miss every whole number.
//!
//! Everything is in doubles and only finds candidates; see `stream.rs`.

#![expect(
    clippy::cast_precision_loss,
    reason = "doubles find candidates; the slack covers rounding"
)]

use super::products::Table;

/// |error| over `over`, up to `to`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Window {
    pub(super) over: f64,
    pub(super) to: f64,
    /// Most hits wanted; with more the window must be narrowed.
    pub(super) most: usize,
}

/// Gets a row, a product and the error in doubles; false to stop.
pub(super) trait Push: FnMut(usize, usize, f64) -> bool {}
impl<F: FnMut(usize, usize, f64) -> bool> Push for F {}

/// Finds all products p within the window around u x `factor`, for all rows u; both ascending. The
/// cheapest way is used.
pub(super) fn scan(
    rows: &[f64],
    factor: f64,
    table: &Table,
    window: &Window,
    mut push: impl Push,
) -> bool {
    let products = &table.approx;
    let Some(&least) = products.first() else { return true };
    let from = rows.partition_point(|&u| u * factor * (1.0 + window.to) < least);
    let (rows, mut push) = (&rows[from..], |r: usize, p, e| push(r + from, p, e));
    // Rows so small that the window around each holds one whole number at most; rounding by addition
    // is exact below 2^51.
    let small = rows.partition_point(|&u| u * factor * window.to < 0.4 && u * factor < 1e15);
    // Costs in instructions, as measured.
    let (n, m) = (rows.len() as f64, products.len() as f64);
    let by_product =
        m * (40.0 + 10.0 * (n / m).max(1.0).log2()) * if window.over > 0.0 { 3.0 } else { 1.0 };
    let merge = 5.0 * (n + m);
    let middle = rows.get(small / 2).map_or(0.0, |u| u * factor);
    let near = (16.0 * window.to * middle).min(1.0);
    let whole = small as f64 * (6.0 + 15.0 * near) + 12.0 * (n - small as f64);
    if whole < by_product && whole < merge {
        let (small, rest) = rows.split_at(small);
        let skipped = small.len();
        scan_whole(small, factor, table, window, &mut push)
            && scan_merge(rest, factor, products, window, |r, p, e| push(r + skipped, p, e))
    } else if by_product < merge {
        scan_by_product(rows, factor, products, window, push)
    } else {
        scan_merge(rows, factor, products, window, push)
    }
}

/// For few products among many rows: doubling steps find the rows of each product, from those of the
/// one before.
fn scan_by_product(
    rows: &[f64],
    factor: f64,
    products: &[f64],
    window: &Window,
    mut push: impl Push,
) -> bool {
    let (mut outer, mut inner, mut beyond) = (0, 0, 0);
    for (p, &product) in products.iter().enumerate() {
        // A row's bounds, seen from the product.
        let (low, high) = (product / (1.0 + window.to), product / (1.0 - window.to).max(0.0));
        outer = step_to(rows, outer, |u| u * factor < low);
        // The first window has no inside.
        let skipped = window.over > 0.0;
        if skipped {
            let (low, high) =
                (product / (1.0 + window.over), product / (1.0 - window.over).max(0.0));
            inner = step_to(rows, inner, |u| u * factor <= low);
            beyond = step_to(rows, beyond, |u| u * factor < high);
        }
        let near = if skipped { outer..inner.max(outer) } else { outer..rows.len() };
        let far = if skipped { beyond.max(outer)..rows.len() } else { 0..0 };
        for range in [near, far] {
            for (r, &u) in range.clone().zip(&rows[range]) {
                let y = u * factor;
                if y > high {
                    break;
                }
                if !push(r, p, (product - y) / y) {
                    return false;
                }
            }
        }
    }
    true
}

/// The first row from `at` on that is not below, by doubling steps.
fn step_to(rows: &[f64], mut at: usize, before: impl Fn(f64) -> bool) -> usize {
    let mut step = 1;
    while at + step <= rows.len() && before(rows[at + step - 1]) {
        at += step;
        step *= 2;
    }
    at + rows[at..rows.len().min(at + step)].partition_point(|&u| before(u))
}

/// Both lists side by side.
fn scan_merge(
    rows: &[f64],
    factor: f64,
    products: &[f64],
    window: &Window,
    mut push: impl Push,
) -> bool {
    let (lower, upper) = (factor * (1.0 - window.to), factor * (1.0 + window.to));
    let mut low = 0;
    for (r, &u) in rows.iter().enumerate() {
        let (outer_low, outer_high) = (u * lower, u * upper);
        while low < products.len() && products[low] < outer_low {
            low += 1;
        }
        if low == products.len() {
            break;
        }
        // Usually nothing is in the window.
        if products[low] > outer_high {
            continue;
        }
        let y = u * factor;
        let mut p = low;
        while p < products.len() && products[p] <= outer_high {
            if (products[p] - y).abs() <= window.over * y {
                // The inside was given out before: skipped by doubling steps.
                let inner_high = y * (1.0 + window.over);
                p = step_to(products, p, |q| q <= inner_high).max(p + 1);
                continue;
            }
            if !push(r, p, (products[p] - y) / y) {
                return false;
            }
            p += 1;
        }
    }
    true
}

/// For rows and windows so small that a row meets at most one whole number. Most rows miss every
/// whole number; a test of eight rows at once, without branches, finds the others.
fn scan_whole(
    rows: &[f64],
    factor: f64,
    table: &Table,
    window: &Window,
    mut push: impl Push,
) -> bool {
    // Adding 1.5 x 2^52 rounds to a whole number.
    const ROUND: f64 = 6_755_399_441_055_744.0;
    let products = &table.approx;
    // A row that can reach a product p is at most p / (1 - to).
    let most = products.last().map_or(0.0, |p| p / (1.0 - window.to).max(0.0) * 1.001);
    let rows = &rows[..rows.partition_point(|&u| u * factor <= most)];
    let mut try_one = |r: usize| {
        let y = rows[r] * factor;
        let whole = (y + ROUND) - ROUND;
        let miss = (whole - y).abs();
        miss > window.to * y
            || miss <= window.over * y
            || table.position(whole).is_none_or(|p| push(r, p, (whole - y) / y))
    };
    let (chunks, rest) = rows.as_chunks::<8>();
    for (c, chunk) in chunks.iter().enumerate() {
        // One bit for each row near a whole number.
        let mut near = 0_u8;
        let reach = window.to * chunk[7] * factor;
        for (i, &u) in chunk.iter().enumerate() {
            let y = u * factor;
            near |= u8::from((y - ((y + ROUND) - ROUND)).abs() <= reach) << i;
        }
        while near != 0 {
            if !try_one(8 * c + near.trailing_zeros() as usize) {
                return false;
            }
            near &= near - 1;
        }
    }
    (rows.len() - rest.len()..rows.len()).all(try_one)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every pair inside the window, by comparing all.
    fn slow(rows: &[f64], factor: f64, products: &[f64], window: &Window) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        for (r, u) in rows.iter().enumerate() {
            for (p, product) in products.iter().enumerate() {
                let error = (product / (u * factor) - 1.0).abs();
                if error <= window.to && error > window.over {
                    found.push((r, p));
                }
            }
        }
        found.sort_unstable();
        found
    }

    fn ascending(mut values: Vec<u64>) -> Vec<u64> {
        values.sort_unstable();
        values.dedup();
        values
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn every_way_finds_what_a_slow_look_finds(
            rows in prop::collection::vec(1_u64..4000, 1..120),
            products in prop::collection::vec(1_u64..4000, 1..60),
            factor in 1_u32..40,
            to in 0_u32..4000,
            inside in 0_u32..4000,
        ) {
            // Odd thirds and sevenths, so that no bound falls on a pair.
            let factor = f64::from(factor) / 7.1;
            let (to, inside) = (f64::from(to) / 1301.3 + 1e-5, f64::from(inside) / 5003.7);
            let over = if inside < to { inside } else { -1.0 };
            let window = Window { over, to, most: usize::MAX };
            let rows: Vec<f64> = ascending(rows).iter().map(|&u| u as f64).collect();
            let table = Table::of(ascending(products));
            let wanted = slow(&rows, factor, &table.approx, &window);
            let sorted = |mut found: Vec<(usize, usize)>| { found.sort_unstable(); found };

            let mut found = Vec::new();
            scan_merge(&rows, factor, &table.approx, &window, |r, p, _| { found.push((r, p)); true });
            prop_assert_eq!(&sorted(found), &wanted);

            let mut found = Vec::new();
            scan_by_product(&rows, factor, &table.approx, &window, |r, p, _| { found.push((r, p)); true });
            prop_assert_eq!(&sorted(found), &wanted);

            let small = rows.partition_point(|&u| u * factor * window.to < 0.4);
            let mut found = Vec::new();
            scan_whole(&rows[..small], factor, &table, &window, |r, p, _| { found.push((r, p)); true });
            let below: Vec<(usize, usize)> = wanted.iter().copied().filter(|(r, _)| *r < small).collect();
            prop_assert_eq!(&sorted(found), &below);

            let mut found = Vec::new();
            scan(&rows, factor, &table, &window, |r, p, _| { found.push((r, p)); true });
            prop_assert_eq!(&sorted(found), &wanted);
        }

        #[test]
        fn a_full_list_ends_the_scan(most in 0_usize..5) {
            let table = Table::of((1..100).collect());
            let rows: Vec<f64> = (1..100_u32).map(f64::from).collect();
            let window = Window { over: -1.0, to: 0.5, most };
            let mut found = 0;
            let whole = scan(&rows, 1.0, &table, &window, |_, _, _| { found += 1; found <= most });
            prop_assert!(!whole && found == most + 1);
        }
    }

    #[test]
    fn steps_reach_the_first_that_is_not_before() {
        let rows: Vec<f64> = (0..1000_u32).map(f64::from).collect();
        for at in [0, 1, 7, 500, 999, 1000] {
            for wanted in [0.0, 0.5, 1.0, 7.5, 500.0, 998.5, 999.0, 5000.0] {
                let first = rows.partition_point(|&u| u < wanted);
                assert_eq!(step_to(&rows, at, |u| u < wanted), first.max(at), "{at} {wanted}");
            }
        }
        assert_eq!(step_to(&[], 0, |_| true), 0);
    }
}
