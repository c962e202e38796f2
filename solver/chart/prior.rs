//! How likely is each slip on a chart?
//!
//! Points are bits, as in `constant`: how seldom people make the slip, and among how many of its kind
//! it is one (a swap is one of four, a digit of a gear one of seventy). Fewer are likelier. A slip of
//! few kinds that makes a row exact is hardly chance; one gear in any other size often is. All of it
//! is common practice, no source.

/// Two gears in each other's place: made often (1), one of about four that change anything (2).
pub(super) const SWAPPED: u32 = 3;
/// The whole train from its other end, as where two columns are exchanged: rarer than two gears.
pub(super) const REVERSED: u32 = 4;
/// A gear of a keyed pair left out, so that the row reads as an idler: made often (1), one of two
/// gears on one of two studs (2).
pub(super) const PAIR_FOR_IDLER: u32 = 3;
/// More for a compound train where two owned gears do the same: few makers print it.
pub(super) const NEEDLESS: u32 = 4;
/// A gear written beside an idler: its size is free (5), but a row that an idler alone makes exact is
/// what a maker prints first (-1), made now and then (1).
pub(super) const IDLER_FOR_PAIR: u32 = 5;
/// Less where the two gears are fixed together for good: 127 and 120 are idler and pair by turns.
pub(super) const JOINED: u32 = 1;
/// 127/100 for 127/120 and the like: two sets of the trade that are mixed up.
pub(super) const PARTNER: u32 = 3;
/// One digit of one gear, or two exchanged: made often (1), one of seventy (6).
pub(super) const GEAR_DIGIT: u32 = 7;
/// The gear of the row above or below: made now and then (3), one of eight (3); but charts repeat a
/// gear from row to row anyway (2).
pub(super) const NEIGHBOUR: u32 = 8;
/// Any other gear: rare (5), one of eighty (6).
pub(super) const GEAR: u32 = 11;
/// One digit of the figure: rarer than of a gear (2), as figures ascend and a slip shows; one of
/// thirty (5).
pub(super) const FIGURE_DIGIT: u32 = 7;
/// Any other figure: rare (5), one of sixty that are printed (6).
pub(super) const FIGURE: u32 = 11;
/// A figure that nobody prints: one of thousands.
pub(super) const ODD_FIGURE: u32 = 10;
/// mm for threads per inch: seldom (3), one of four (2).
pub(super) const UNIT: u32 = 5;
/// A lever one position further: made often (1), one of about ten (4).
pub(super) const NEXT_POSITION: u32 = 5;
/// A lever in any other position.
pub(super) const POSITION: u32 = 6;
/// Two levers or more: two slips.
pub(super) const POSITIONS: u32 = 10;
/// Nothing is wrong, the maker came no nearer: seldom, once beyond the usual approximation.
pub(super) const APPROXIMATION: u32 = 8;
/// Right to the printed digits: a little more often by chance than exact.
pub(super) const ROUNDED: u32 = 1;
/// Within the maker's approximation: one gear in ten comes so near by chance.
pub(super) const NEAR: u32 = 4;
/// Gears that nobody owns: behind every owned gear, however likely the slip.
pub(super) const NOT_OWNED: u32 = 14;

/// The likeliest correction that brings in a new gear.
const LEAST: u32 = PAIR_FOR_IDLER - JOINED;
const _: () =
    assert!(LEAST <= PARTNER && LEAST + NOT_OWNED > GEAR + NEAR, "owned gears come first");
