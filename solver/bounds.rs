//! What are the limits? Each one in one table, with the name that messages use.
//!
//! The integer bounds keep every product inside 128 bits, as [`CUT_BITS`] and [`ERROR_BITS`] prove at
//! compile time: the longest lead that can be cut, and the comparison of two errors.
//!
//! ```
//! use solver::bounds::STARTS;
//! // A front end shows the limits before anything is typed, and refuses in the same words.
//! assert_eq!((STARTS.low, STARTS.high), (1, 99));
//! assert!(STARTS.holds(2));
//! assert_eq!(STARTS.check(100).unwrap_err().to_string(), "starts: 100 is outside 1 to 99");
//! ```

/// One limit: a name for messages, and the least and greatest allowed value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Bounds {
    /// The name of the number.
    pub name: &'static str,
    /// Least value allowed.
    pub low: u64,
    /// Greatest value allowed.
    pub high: u64,
}

impl Bounds {
    const fn new(name: &'static str, low: u64, high: u64) -> Self {
        Self { name, low, high }
    }

    /// Whether `value` is within.
    pub const fn holds(&self, value: u64) -> bool {
        self.low <= value && value <= self.high
    }

    /// `value` if it is within.
    ///
    /// # Errors
    /// A range error that names the limit.
    pub fn check(&self, value: u64) -> crate::Result<u64> {
        if self.holds(value) { Ok(value) } else { Err(crate::Error::range(self, value)) }
    }
}

/// Teeth of a change gear.
pub const TEETH: Bounds = Bounds::new("teeth", 5, 400);
/// Different gears (size, pitch, pressure angle, places) in one box.
pub const KINDS: Bounds = Bounds::new("different gears", 1, 250);
/// Gears of one kind.
pub const COPIES: Bounds = Bounds::new("gears of one size", 1, 99);
/// Studs on the bracket.
pub const STUDS: Bounds = Bounds::new("studs", 0, 3);
/// Planes of the bracket.
pub const PLANES: Bounds = Bounds::new("planes", 1, 4);
/// Slots and stud holes of the bracket; without studs there need be none.
pub const SLOTS: Bounds = Bounds::new("slots", 0, 12);
/// Parts that gears must clear.
pub const KEEP_OUTS: Bounds = Bounds::new("keep-outs", 0, 50);
/// Corners of an outline.
pub const CORNERS: Bounds = Bounds::new("corners", 3, 100);
/// Starts of a thread or of the lead screw.
pub const STARTS: Bounds = Bounds::new("starts", 1, 99);
/// Levers of the gearbox: every setting holds a position of each.
pub const LEVERS: Bounds = Bounds::new("levers", 0, 100);
/// Lever positions (all combinations of all levers and headstock positions).
pub const SETTINGS: Bounds = Bounds::new("lever combinations", 1, 20_000);
/// Lever positions that are forbidden, that need another last gear, or that have their own ratio:
/// each list alone, as each setting is compared with all.
pub const LEVER_RULES: Bounds = Bounds::new("rules of one kind for levers", 0, 1000);
/// Gear pairs that a train may have.
pub const MOST_PAIRS: Bounds = Bounds::new("gear pairs", 1, 4);
/// Number of answers.
pub const ANSWERS: Bounds = Bounds::new("answers", 1, 10_000);
/// Teeth of a thread dial gear.
pub const DIAL_TEETH: Bounds = Bounds::new("dial teeth", 4, 400);
/// Measured outside diameter of a gear, in mm.
pub const OUTSIDE: Bounds = Bounds::new("outside diameter in mm", 1, 5000);
/// Rows of a chart.
pub const CHART_ROWS: Bounds = Bounds::new("rows of a chart", 1, 20_000);
/// Spindle speed, turns per minute.
pub const SPINDLE: Bounds = Bounds::new("spindle speed", 1, 100_000);
/// Threads and feeds of a list for a plan or a purchase.
pub const LINES: Bounds = Bounds::new("lines of a list", 1, 2000);
/// Gear pairs of the trains that a plan chooses from.
pub const PLANNED_PAIRS: Bounds = Bounds::new("gear pairs of a plan", 1, 3);
/// Gears bought at once.
pub const PURCHASE: Bounds = Bounds::new("gears bought at once", 1, 3);
/// Purchases compared: each is held, with its best possible score.
pub const PURCHASES: Bounds = Bounds::new("purchases compared", 0, 2_000_000);
/// Pairs of sizes times lines: the best error of each is held.
pub const HOPES: Bounds = Bounds::new("pairs of sizes times lines", 0, 40_000_000);
/// Passes of a thread.
pub const PASSES: Bounds = Bounds::new("passes", 1, 200);

/// Gear pairs (driver over driven) in the longest train: three studs make four.
pub const PAIRS: usize = 4;

/// Bits of each side of a reduced constant: lead screw x headstock x gearbox.
pub const CONSTANT_BITS: u32 = 48;
/// Bits of each side of a reduced target lead, in mm.
pub const TARGET_BITS: u32 = 44;
/// Bits of the product of the drivers (or the driven) of the longest train.
pub const PRODUCT_BITS: u32 = u64::BITS - TEETH.high.pow(4).leading_zeros();
/// Bits of each side of the largest lead that can be cut.
pub const CUT_BITS: u32 = CONSTANT_BITS + PRODUCT_BITS;
/// Bits of the largest term in the comparison of two errors: (n1 d2 + n2 d1) x target.
pub const ERROR_BITS: u32 = 2 * CUT_BITS + 1 + TARGET_BITS;

const _: () = assert!(STUDS.high + 1 == 4 && PAIRS == 4, "three studs make four pairs");
const _: () = assert!(MOST_PAIRS.high == 4, "as many as the longest train has");
const _: () = assert!(CUT_BITS < 128, "a lead that is cut fits 128 bits");
const _: () = assert!(CUT_BITS + TARGET_BITS <= 128, "one error, multiplied out, fits 128 bits");
const _: () = assert!(ERROR_BITS < 256, "the comparison of two errors fits 256 bits");
