//! A lead, how far another one is from it, and what was asked.

use crate::asked::wanted;
use crate::words::figures::{lead_mm, ppm, tpi};
use crate::words::set_up::travel;
use num_traits::Zero;
use schemars::JsonSchema;
use serde::Serialize;
use solver::tolerance::{Allowed, AllowedBasis, Verdict};
use solver::{Hand, LeadError};

/// A lead: of a target what is asked, of a set-up what it cuts.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "fields are keys of the document")]
pub(crate) struct Lead {
    /// Lead in mm, exact; to be multiplied by pi where `pi` is 1.
    pub(crate) lead_mm: String,
    /// Power of pi in the lead: 0 or 1.
    pub(crate) pi: i8,
    /// Lead in mm, rounded.
    pub(crate) lead_mm_rounded: f64,
    /// Threads per inch of that lead, rounded.
    pub(crate) tpi_rounded: f64,
}

impl From<&solver::Lead> for Lead {
    fn from(lead: &solver::Lead) -> Self {
        Self {
            lead_mm: lead.mm().to_string(),
            pi: i8::from(lead.has_pi()),
            lead_mm_rounded: lead_mm(lead).to_f64(),
            tpi_rounded: tpi(lead).to_f64(),
        }
    }
}

/// How far what is cut is from what is asked; plus: it is longer.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
#[expect(clippy::struct_field_names, reason = "fields are keys of the document")]
pub(crate) struct Error {
    /// (cut - asked) / asked, exact; null where pi has a part in it.
    pub(crate) error: Option<String>,
    /// Cut over asked, where pi has a part in it; else null.
    pub(crate) cut_over_target: Option<Quotient>,
    /// Error in parts per million, rounded.
    pub(crate) error_ppm: f64,
}

/// A fraction times a power of pi.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Quotient {
    /// The fraction.
    pub(crate) value: String,
    /// Power of pi: -1, 0 or 1.
    pub(crate) pi: i8,
}

impl From<&LeadError> for Error {
    fn from(error: &LeadError) -> Self {
        let (quotient, pi) = error.cut_over_asked();
        Self {
            error: error.exact().map(|error| error.to_string()),
            cut_over_target: (!pi.is_zero()).then(|| Quotient { value: quotient.to_string(), pi }),
            error_ppm: ppm(error).to_f64(),
        }
    }
}

/// A thread or feed that is asked for.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Target {
    /// As it was typed; in a list as it is said: `1.5 mm`, `16 tpi`.
    pub(crate) text: String,
    /// `thread`, `long feed` or `cross feed`.
    pub(crate) travel: &'static str,
    /// Its lead.
    #[serde(flatten)]
    pub(crate) lead: Lead,
    /// Starts of the thread.
    pub(crate) starts: u8,
    /// `right` or `left`; null for a feed.
    pub(crate) hand: Option<String>,
}

impl Target {
    pub(crate) fn of(target: &solver::Target, text: &str, hand: Option<Hand>) -> Self {
        Self {
            text: text.to_string(),
            travel: travel(target.travel()),
            lead: Lead::from(&target.lead()),
            starts: target.starts(),
            hand: hand.map(|hand| hand.to_string()),
        }
    }
}

/// What the error that is allowed rests on.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum AllowedBy {
    Stated,
    Class,
    #[serde(rename = "without class")]
    WithoutClass,
    Feed,
}

/// What an error comes to.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Judgement {
    Exact,
    #[serde(rename = "near enough")]
    NearEnough,
    Poor,
    #[serde(rename = "too far")]
    TooFar,
    #[serde(rename = "another lead")]
    Another,
}

/// A line of a list: each lead once.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub(crate) struct Wanted {
    /// What is asked.
    pub(crate) target: Target,
    /// Threads of the list that it cuts: `M10`; empty where only a figure was given.
    pub(crate) names: Vec<String>,
    /// Largest |error| that counts as reached, exact: 1/5000 is 200 ppm.
    pub(crate) within: String,
    /// What `within` rests on. `stated`: an option or the list; `class`: a tenth of the tolerance of the
    /// pitch diameter; `without class`: 200 ppm; `feed`: 1 %.
    pub(crate) allowed_by: AllowedBy,
    /// Class of the thread with the closest tolerance: `6g`; null where none is known.
    pub(crate) class: Option<String>,
}

impl From<&wanted::Wanted> for Wanted {
    fn from(wanted: &wanted::Wanted) -> Self {
        Self {
            target: Target::of(&wanted.target, &wanted.lead(), wanted.line.hand),
            names: wanted.names.clone(),
            within: wanted.line.within.to_string(),
            allowed_by: AllowedBy::of(&wanted.allowed),
            class: wanted.allowed.class().map(|class| class.to_string()),
        }
    }
}

impl From<Verdict> for Judgement {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Exact => Self::Exact,
            Verdict::NearEnough => Self::NearEnough,
            Verdict::Poor => Self::Poor,
            Verdict::TooFar => Self::TooFar,
            Verdict::Another => Self::Another,
        }
    }
}

impl AllowedBy {
    pub(crate) fn of(allowed: &Allowed) -> Self {
        match allowed.basis() {
            AllowedBasis::Stated => Self::Stated,
            AllowedBasis::Class => Self::Class,
            AllowedBasis::Feed => Self::Feed,
            _ => Self::WithoutClass,
        }
    }
}
