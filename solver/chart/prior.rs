//! How likely is each slip on a chart?
//!
//! Points are bits, as in `constant`: how rarely the slip is made, and how many variants it has (a
//! swap is one of four, a digit of a gear one of seventy). Fewer points are likelier. A slip with
//! few variants that makes a row exact is hardly chance; any other size of one gear often is. All of
//! it is common practice, no source.

/// Two gears exchanged: often (1), one of about four that change anything (2).
pub(super) const SWAPPED: u32 = 3;
/// The whole train turned round, as when two columns are exchanged: rarer than two gears.
pub(super) const REVERSED: u32 = 4;
/// A gear of a keyed pair left out, so that the row reads as an idler: often (1), one of two gears
/// on one of two studs (2).
pub(super) const PAIR_FOR_IDLER: u32 = 3;
/// Added for a compound train where two owned gears do the same: few makers print it.
pub(super) const NEEDLESS: u32 = 4;
/// A gear written beside an idler: its size is free (5), but a maker prints first a row that an
/// idler alone makes exact (-1); sometimes (1).
pub(super) const IDLER_FOR_PAIR: u32 = 5;
/// Subtracted where the two gears are joined: 127 and 120 are sometimes idler, sometimes pair.
pub(super) const JOINED: u32 = 1;
/// 127/100 for 127/120 and the like: two usual sets, confused.
pub(super) const PARTNER: u32 = 3;
/// One wrong digit of one gear, or two exchanged: often (1), one of seventy (6).
pub(super) const GEAR_DIGIT: u32 = 7;
/// The gear of the row above or below: sometimes (3), one of eight (3); but charts repeat a gear
/// from row to row anyway (2).
pub(super) const NEIGHBOUR: u32 = 8;
/// Any other gear: rare (5), one of eighty (6).
pub(super) const GEAR: u32 = 11;
/// One wrong digit of the figure: rarer than of a gear (2), as figures ascend and a slip shows; one
/// of thirty (5).
pub(super) const FIGURE_DIGIT: u32 = 7;
/// Any other figure: rare (5), one of sixty printed ones (6).
pub(super) const FIGURE: u32 = 11;
/// A figure that no chart prints: one of thousands.
pub(super) const ODD_FIGURE: u32 = 10;
/// mm for threads per inch: rare (3), one of four (2).
pub(super) const UNIT: u32 = 5;
/// A lever one position further: often (1), one of about ten (4).
pub(super) const NEXT_POSITION: u32 = 5;
/// A lever in any other position.
pub(super) const POSITION: u32 = 6;
/// Two levers or more: two slips.
pub(super) const POSITIONS: u32 = 10;
/// No slip, but the maker's approximation: rare, once beyond the usual one.
pub(super) const APPROXIMATION: u32 = 8;
/// Right to the printed digits: slightly more often by chance than exact.
pub(super) const ROUNDED: u32 = 1;
/// Within the maker's approximation: one gear in ten is so near by chance.
pub(super) const NEAR: u32 = 4;
/// Gears that are not owned: after every owned gear, however likely the slip.
pub(super) const NOT_OWNED: u32 = 14;

/// The likeliest correction with a new gear.
const LEAST: u32 = PAIR_FOR_IDLER - JOINED;
const _: () =
    assert!(LEAST <= PARTNER && LEAST + NOT_OWNED > GEAR + NEAR, "owned gears come first");
