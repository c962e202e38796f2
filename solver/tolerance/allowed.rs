//! How far may a lead err and still be near enough?
//!
//! Where the thread has a class, an error is measured by what it uses of the tolerance of the pitch
//! diameter: over the usual length of engagement it may use a tenth. A lead that uses more is poor for
//! the class; one that uses all of it is outside the class. Without a class 200 ppm are allowed, 5 µm in
//! 25 mm, and 1 % of a feed. From 1 % on a lead is that of another thread, from 10 % on another feed. The
//! tenth, the 200 ppm, the 1 % and the 10 % are common practice, no source.
//!
//! ```
//! use solver::tolerance::{Allowed, Verdict};
//! use solver::{Lead, LeadError, Target, Travel};
//! let m10: Target = "M10".parse()?;
//! let allowed = Allowed::usual(m10.thread().as_ref(), Travel::Thread);
//! // A tenth of 0.132 mm on the diameter, over 15 mm: 7.62 µm along the axis.
//! assert_eq!(allowed.part().to_string(), "127/250000"); // 508 ppm
//! let cut = Lead::new("1.5009 mm".parse()?); // 600 ppm
//! let error = LeadError::of(&cut, &m10.lead());
//! assert_eq!(allowed.verdict(&error), Verdict::Poor);
//! assert_eq!(allowed.share(&error).map(|share| format!("{share:.2}")).as_deref(), Some("0.12"));
//! # Ok::<(), solver::Error>(())
//! ```

#![expect(clippy::float_arithmetic, reason = "a cotangent, rounded down to whole ppm")]

use super::{Class, Limits, cumulative_error, default_class, default_length};
use crate::{LeadError, Length, Ratio, Thread, Travel};
use num_traits::ToPrimitive;

/// What an error may use of the tolerance of the pitch diameter (common practice, no source).
const SHARE: u32 = 10;

/// Allowed where no class is known: 200 ppm (common practice, no source).
const WITHOUT_CLASS: Ratio = Ratio::table(200, 1_000_000);

/// Allowed for a feed, which nothing has to fit; and where another thread begins (common practice, no
/// source).
const ONE_PER_CENT: Ratio = Ratio::table(1, 100);

/// A feed that errs by more is another one (common practice, no source).
const TEN_PER_CENT: Ratio = Ratio::table(1, 10);

/// How far a lead may err.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowed {
    part: Ratio,
    basis: AllowedBasis,
    in_class: Option<InClass>,
    is_feed: bool,
}

/// What an allowed error rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum AllowedBasis {
    /// Somebody stated it.
    Stated,
    /// A tenth of the tolerance of the pitch diameter.
    Class,
    /// No class is known: 200 ppm.
    WithoutClass,
    /// A feed: 1 %.
    Feed,
}

/// The class of a thread, and the length over which an error counts.
#[derive(Debug, Clone, Copy, PartialEq)]
struct InClass {
    class: Class,
    over: Length,
    half_angle: Ratio,
    tolerance: Length,
    /// The error that uses all of the tolerance, in whole ppm.
    whole: Ratio,
}

/// What an error comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// There is none.
    Exact,
    /// At most what is allowed.
    NearEnough,
    /// More, but inside the class.
    Poor,
    /// All of the class and more; without a class more than is allowed.
    TooFar,
    /// Over 1 % of a thread, over 10 % of a feed: another one.
    Another,
}

impl Allowed {
    /// What is usual for a thread of the tables in its usual class, a pitch alone (`None`), or a feed.
    pub fn usual(thread: Option<&Thread>, travel: Travel) -> Self {
        Self::of_class(thread, thread.and_then(|thread| default_class(thread, false)), travel)
    }

    /// What is usual for a thread in a class; without a class 200 ppm.
    pub fn of_class(thread: Option<&Thread>, class: Option<Class>, travel: Travel) -> Self {
        if travel.is_feed() {
            return Self {
                part: ONE_PER_CENT,
                basis: AllowedBasis::Feed,
                in_class: None,
                is_feed: true,
            };
        }
        let in_class = thread.zip(class).and_then(|(thread, class)| InClass::of(thread, class));
        let tenth = in_class.and_then(|in_class| in_class.ppm(SHARE));
        let (part, basis) = tenth.map_or((WITHOUT_CLASS, AllowedBasis::WithoutClass), |part| {
            (part, AllowedBasis::Class)
        });
        Self { part, basis, in_class, is_feed: false }
    }

    /// The same class, but another error was stated.
    #[must_use]
    pub const fn stated(mut self, part: Ratio) -> Self {
        self.part = part;
        self.basis = AllowedBasis::Stated;
        self
    }

    /// The error that is allowed, as a part of the lead: 200 ppm is 1/5000.
    pub const fn part(&self) -> Ratio {
        self.part
    }

    /// The largest error of the nearest lead that may stand in where nothing is near enough: 1 % of a
    /// thread, where another thread begins, and 10 % of a feed.
    pub fn at_worst(&self) -> Ratio {
        self.another().max(self.part)
    }

    /// Where another thread or feed begins.
    const fn another(&self) -> Ratio {
        if self.is_feed { TEN_PER_CENT } else { ONE_PER_CENT }
    }

    /// Whether it is a feed's.
    pub const fn is_feed(&self) -> bool {
        self.is_feed
    }

    /// What it rests on.
    pub const fn basis(&self) -> AllowedBasis {
        self.basis
    }

    /// The class of the thread, if one is known.
    pub fn class(&self) -> Option<Class> {
        self.in_class.map(|in_class| in_class.class)
    }

    /// The length over which an error counts, where a class is known.
    pub fn over(&self) -> Option<Length> {
        self.in_class.map(|in_class| in_class.over)
    }

    /// What an error uses of the tolerance of the pitch diameter: 0.12 is 12 %. `None`: no class is known.
    pub fn share(&self, error: &LeadError) -> Option<f64> {
        let in_class = self.in_class?;
        let sum = cumulative_error(error, &in_class.over, &in_class.half_angle).ok()?;
        Some(sum.share(&in_class.tolerance))
    }

    /// Whether an error is near enough, and what it comes to if not. Compared exactly, in whole ppm.
    pub fn verdict(&self, error: &LeadError) -> Verdict {
        if error.is_zero() {
            Verdict::Exact
        } else if error.within(&self.part) {
            Verdict::NearEnough
        } else if !error.within(&self.another()) {
            Verdict::Another
        } else if self.in_class.is_some_and(|in_class| error.within(&in_class.whole)) {
            Verdict::Poor
        } else {
            Verdict::TooFar
        }
    }
}

impl InClass {
    fn of(thread: &Thread, class: Class) -> Option<Self> {
        let tolerance = Limits::of(thread, class).ok()?.pitch_tolerance();
        let (over, _) = default_length(Some(thread));
        let half_angle = thread.included_angle()?.over(&Ratio::table(2, 1)).ok()?;
        let mut of = Self { class, over, half_angle, tolerance, whole: WITHOUT_CLASS };
        of.whole = of.ppm(1)?;
        Some(of)
    }

    /// The error that uses a part of the tolerance, rounded down to whole ppm.
    fn ppm(&self, part: u32) -> Option<Ratio> {
        let cotangent = super::diameter_equivalent(&self.half_angle).ok()?;
        let (tolerance, over) = (self.tolerance.mm().to_f64(), self.over.mm().to_f64());
        let ppm = 1e6 * tolerance / (f64::from(part) * cotangent * over);
        Ratio::new(ppm.floor().to_u128()?, 1_000_000).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Lead, Target, thread};

    fn usual(text: &str) -> Allowed {
        let target: Target = text.parse().unwrap();
        Allowed::usual(target.thread().as_ref(), target.travel())
    }

    fn ppm(allowed: &Allowed) -> u128 {
        (allowed.part().to_f64() * 1e6).round().to_u128().unwrap()
    }

    /// Tolerances of the pitch diameter: M10 6g 132 µm, M3 6g 75 µm (ISO 965-1, table of Td2), N up to
    /// 15 and 4.5 mm.
    #[test]
    fn a_tenth_of_the_class_over_the_usual_length() {
        assert_eq!(ppm(&usual("M10")), 508);
        assert_eq!(ppm(&usual("M3")), 962);
        assert_eq!(usual("M10").class().map(|class| class.to_string()).as_deref(), Some("6g"));
        assert_eq!(usual("M10").basis(), AllowedBasis::Class);
    }

    #[test]
    fn without_a_class_200_ppm_and_a_feed_1_per_cent() {
        for text in ["1.5 mm", "1/2 BSW", "R 1/2", "module 1"] {
            let allowed = usual(text);
            assert_eq!(
                (ppm(&allowed), allowed.basis()),
                (200, AllowedBasis::WithoutClass),
                "{text}"
            );
        }
        let feed = usual("0.1 mm/rev");
        assert_eq!((feed.part(), feed.basis()), (Ratio::table(1, 100), AllowedBasis::Feed));
        assert_eq!(feed.at_worst(), Ratio::table(1, 10));
        assert_eq!(usual("M10").at_worst(), Ratio::table(1, 100));
    }

    fn verdict(text: &str, per_million: u32) -> Verdict {
        let target: Target = text.parse().unwrap();
        let scale = Ratio::new(1_000_000 + u128::from(per_million), 1_000_000).unwrap();
        let cut: Lead = target.lead().times(&scale).unwrap();
        usual(text).verdict(&LeadError::of(&cut, &target.lead()))
    }

    #[test]
    fn every_verdict_begins_where_the_last_one_ends() {
        use Verdict::{Another, Exact, NearEnough, Poor, TooFar};
        let m10 = [0, 1, 508, 509, 5080, 5081, 10_000, 10_001].map(|at| verdict("M10", at));
        assert_eq!(m10, [Exact, NearEnough, NearEnough, Poor, Poor, TooFar, TooFar, Another]);
        let pitch = [200, 201, 10_000, 10_001].map(|at| verdict("1.5 mm", at));
        assert_eq!(pitch, [NearEnough, TooFar, TooFar, Another]);
        let feed = [10_000, 10_001, 100_000, 100_001].map(|at| verdict("0.1 mm/rev", at));
        assert_eq!(feed, [NearEnough, TooFar, TooFar, Another]);
        // A stated error does not make a thread of it.
        let stated = usual("0.1 mm/rev").stated(Ratio::table(1, 1000));
        let off = |parts| {
            let cut = Lead::new(format!("0.1{parts} mm").parse().unwrap());
            stated.verdict(&LeadError::of(&cut, &Lead::new("0.1 mm".parse().unwrap())))
        };
        assert_eq!([off("05"), off("2")], [TooFar, Another]);
    }

    #[test]
    fn a_stated_error_replaces_the_tenth_and_keeps_the_class() {
        let stated = usual("M10").stated(Ratio::table(1, 1000));
        assert_eq!((ppm(&stated), stated.basis()), (1000, AllowedBasis::Stated));
        assert_eq!(stated.class(), usual("M10").class());
    }

    /// For each thread with limits the share at the allowed error is a tenth at most, and one ppm more is
    /// over it.
    #[test]
    fn the_share_and_the_allowed_error_agree() {
        let mut with_class = 0;
        for thread in thread::all() {
            let allowed = Allowed::usual(Some(&thread), Travel::Thread);
            if allowed.basis() != AllowedBasis::Class {
                continue;
            }
            with_class += 1;
            let share = |more: u128| {
                let part = ppm(&allowed) + more;
                let scale = Ratio::new(1_000_000 + part, 1_000_000).unwrap();
                let cut = thread.lead().times(&scale).unwrap();
                allowed.share(&LeadError::of(&cut, &thread.lead())).unwrap()
            };
            assert!(share(0) <= 0.1 && share(1) > 0.1, "{thread}");
            assert!(ppm(&allowed) < 2_000, "{thread}");
        }
        assert!(with_class > 600, "{with_class}");
    }
}
