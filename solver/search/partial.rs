//! What does a train cut apart from some open gears? The rest shows which gears to buy for a lead.

#![expect(
    clippy::cast_precision_loss,
    reason = "doubles rule out what can't be near enough, with slack; nothing is ranked by them"
)]

use super::Search;
use super::products::multisets_products;

/// Values that doubles can't tell apart count as one.
const SAME: f64 = 1e-14;

impl Search<'_> {
    /// Every lead in mm, ascending, of trains whose `drivers` and `driven` open gears have one tooth
    /// each, with up to as many gear pairs as the tables have. Places, tooth sizes, joints and the
    /// bracket are ignored, so no lead is missing.
    pub(crate) fn open(&self, drivers: usize, driven: usize) -> Vec<f64> {
        let mut values = Vec::new();
        let constants = &self.fields.constants;
        let mut ends: Vec<(bool, bool)> = constants.iter().map(own_ends).collect();
        ends.sort_unstable();
        ends.dedup();
        for own in ends {
            let alike: Vec<f64> = constants
                .iter()
                .filter(|c| own_ends(c) == own)
                .map(|c| c.ratio.numer() as f64 / c.ratio.denom() as f64)
                .collect();
            let ratios =
                self.open_ratios(drivers + usize::from(own.0), driven + usize::from(own.1));
            values.extend(alike.iter().flat_map(|c| ratios.iter().map(move |r| c * r)));
        }
        distinct(values)
    }

    /// Products of known drivers over products of known driven gears.
    fn open_ratios(&self, drivers: usize, driven: usize) -> Vec<f64> {
        let mut ratios = Vec::new();
        for pairs in drivers.max(driven).max(1)..=self.fields.pairs {
            let upper = multisets_products(&self.stock, pairs - drivers);
            let lower = multisets_products(&self.stock, pairs - driven);
            ratios.extend(upper.iter().flat_map(|a| lower.iter().map(|b| *a as f64 / *b as f64)));
        }
        distinct(ratios)
    }
}

/// Whether the ends carry the machine's own gears: these are in the constant.
fn own_ends(constant: &super::fields::Constant) -> (bool, bool) {
    (constant.first.own().is_some(), constant.last.own().is_some())
}

fn distinct(mut values: Vec<f64>) -> Vec<f64> {
    values.sort_unstable_by(f64::total_cmp);
    values.dedup_by(|b, a| *b - *a <= *a * SAME);
    values
}
