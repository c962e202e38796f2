//! How does a chart print a figure?

use super::row::Printed;
use crate::Ratio;

/// A value as the row would print it, and whether that is exact.
pub(super) fn shown_as(printed: &Printed, value: &Ratio) -> (String, bool) {
    let text = printed.text();
    let fraction = text.contains('/');
    if printed.half_digit().is_none() {
        if let Some(decimal) = decimal_text(value, 5).filter(|_| !fraction || value.is_whole()) {
            return (decimal, true);
        }
        // A row that prints odd fractions may print another.
        if value.denom() <= 64 || (fraction && value.denom() <= 1000) {
            return (mixed(value), true);
        }
        return (rounded_text(value, 4), false);
    }
    let places = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let rounded = rounded_text(value, u32::try_from(places).unwrap_or(4).min(9));
    let exact = rounded.parse::<Ratio>().is_ok_and(|r| r == *value);
    (rounded, exact)
}

/// `9/2` as `4 1/2`.
fn mixed(value: &Ratio) -> String {
    let (whole, part) = (value.numer() / value.denom(), value.numer() % value.denom());
    match (whole, part) {
        (whole, 0) => whole.to_string(),
        (0, part) => format!("{part}/{}", value.denom()),
        (whole, part) => format!("{whole} {part}/{}", value.denom()),
    }
}

/// All its decimals, if there are at most `most`.
fn decimal_text(value: &Ratio, most: u32) -> Option<String> {
    let text = rounded_text(value, most);
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    text.parse::<Ratio>().is_ok_and(|r| r == *value).then(|| text.to_owned())
}

/// With `places` decimals, halves up; with more where all would be zero.
fn rounded_text(value: &Ratio, places: u32) -> String {
    for places in places..=places.saturating_add(9) {
        let scaled = 10_u128.checked_pow(places).and_then(|ten| {
            value.numer().checked_mul(ten)?.checked_mul(2)?.checked_add(value.denom())
        });
        let Some(digits) = scaled.and_then(|s| Some(s / value.denom().checked_mul(2)?)) else {
            break;
        };
        if digits == 0 {
            continue;
        }
        let places = places as usize;
        let digits = format!("{digits:0>width$}", width = places + 1);
        let (whole, part) = digits.split_at(digits.len() - places);
        return if part.is_empty() { whole.to_owned() } else { format!("{whole}.{part}") };
    }
    value.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Travel;
    use crate::chart::Unit;

    #[test]
    fn values_in_the_manner_of_the_row() {
        let shown = |text: &str, unit, travel, value: &str| {
            shown_as(&Printed::new(text, unit, travel).unwrap(), &value.parse().unwrap())
        };
        assert_eq!(shown("11 1/2", Unit::Tpi, Travel::Thread, "9/2"), ("4 1/2".into(), true));
        assert_eq!(shown("11.5", Unit::Tpi, Travel::Thread, "9/2"), ("4.5".into(), true));
        assert_eq!(shown("44", Unit::Tpi, Travel::Thread, "22"), ("22".into(), true));
        assert_eq!(shown("1", Unit::Mm, Travel::Thread, "143/144"), ("0.9931".into(), false));
        assert_eq!(
            shown("0.0049", Unit::Inch, Travel::LongFeed, "1/300"),
            ("0.0033".into(), false)
        );
        assert_eq!(shown("1", Unit::Mm, Travel::LongFeed, "1/300"), ("0.003".into(), false));
    }
}
