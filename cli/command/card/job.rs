//! One job: the set-up that was chosen, on its machine, with what was said of the work.

use super::gears::SetUp;
use super::groove::Groove;
use super::work::Work;
use crate::answer::{Entry, Outcome, Request, fit_of};
use crate::failure::Failure;
use crate::words::shaft::last_shaft;
use solver::bracket::Fit;
use solver::cutting::{Cut, Side};
use solver::tolerance::{Limits, default_class};
use solver::{Hand, Lathe, Lead, Length, Target, Travel};

/// What every section of the card is made from.
pub(super) struct Job<'a> {
    pub(super) request: &'a Request,
    pub(super) outcome: &'a Outcome,
    pub(super) entry: &'a Entry,
    pub(super) work: &'a Work,
    /// The thread; `None`: a feed, or its form is not known.
    pub(super) cut: Option<Cut>,
    /// Why the form is not known.
    pub(super) no_form: Option<NoForm>,
    /// How deep; `None`: a feed, or the form is not known.
    pub(super) groove: Option<Groove>,
    /// Limits of its class, where they are known.
    pub(super) limits: Option<Limits>,
    /// What the bracket says of the fitted set-up; `None`: there is none, or it can't be worked out.
    pub(super) fitted_fit: Option<Fit>,
}

/// Why no depth and no sizes are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum NoForm {
    /// The standard's form is not known here; why.
    Unknown(String),
    /// Only a coarse pitch was named.
    Unsaid,
}

impl<'a> Job<'a> {
    /// Puts it together.
    ///
    /// # Errors
    /// If a class was asked for that the thread does not have.
    pub(super) fn new(
        request: &'a Request,
        outcome: &'a Outcome,
        entry: &'a Entry,
        work: &'a Work,
    ) -> Result<Self, Failure> {
        let hand = entry.hand.or(outcome.hand).unwrap_or(Hand::Right);
        let (cut, no_form) = match work.cut(&outcome.target) {
            // A class has a form.
            Ok(Some(cut)) if cut.is_form_open() && work.class.is_none() => {
                (None, Some(NoForm::Unsaid))
            }
            Ok(cut) => (cut.map(|cut| cut.with_hand(hand)), None),
            Err(error) => (None, Some(NoForm::Unknown(error.to_string()))),
        };
        let limits = limits(&outcome.target, work)?;
        let groove = match &cut {
            Some(cut) => Some(Groove::of(cut, limits.as_ref(), work)?),
            None => Groove::round(&outcome.target, work)?,
        };
        if let Some(cut) = &cut {
            wires_go_in(cut, work)?;
        }
        let fitted = request.machine.lathe.parts().fitted.as_ref();
        let fitted_fit = fitted.and_then(|fitted| fit_of(request, &fitted.train).ok());
        Ok(Self { request, outcome, entry, work, cut, no_form, groove, limits, fitted_fit })
    }

    pub(super) const fn lathe(&self) -> &'a Lathe {
        &self.request.machine.lathe
    }

    pub(super) const fn target(&self) -> &'a Target {
        &self.outcome.target
    }

    pub(super) fn is_feed(&self) -> bool {
        self.target().travel().is_feed()
    }

    pub(super) fn is_across(&self) -> bool {
        self.target().travel() == Travel::CrossFeed
    }

    /// The lead that the train truly cuts.
    pub(super) const fn lead(&self) -> Lead {
        self.entry.lead
    }

    pub(super) fn starts(&self) -> u8 {
        self.target().starts()
    }

    pub(super) fn is_nut(&self) -> bool {
        self.work.side == Side::Internal
    }

    /// The hand that is cut; where a sense is not known the one that was asked.
    pub(super) fn hand(&self) -> Option<Hand> {
        self.entry.hand.or(self.outcome.hand)
    }

    /// What the last shaft is called.
    pub(super) fn last_shaft(&self) -> &'static str {
        last_shaft(self.lathe())
    }

    /// The set-up of the card.
    pub(super) fn set_up(&self) -> SetUp<'_> {
        let (lathe, entry) = (self.lathe(), self.entry);
        SetUp {
            lathe,
            train: &entry.train,
            fit: &entry.fit,
            last: self.last_shaft(),
            before: None,
            spread: false,
        }
    }

    /// Whether the lead screw turns faster than the spindle.
    pub(super) fn outruns(&self) -> bool {
        self.lathe().parts().lead_screw.outruns(&self.lead())
    }

    /// The screw's own lead, where it is known.
    pub(super) fn screw(&self) -> Option<Lead> {
        self.lathe().parts().lead_screw.lead
    }
}

/// Wires that don't fit the groove are refused by their argument.
fn wires_go_in(cut: &Cut, work: &Work) -> Result<(), Failure> {
    let named = |e: solver::Error| Failure::from(e).under("--wire: ");
    if let (Some(wire), Ok(of)) = (work.wire, cut.diameters()) {
        cut.wires().map_err(named)?.over(&wire.into(), &of.pitch).map_err(named)?;
    }
    Ok(())
}

/// Limits of the class that was asked for, else of the usual one.
fn limits(target: &Target, work: &Work) -> Result<Option<Limits>, Failure> {
    let internal = work.side == Side::Internal;
    let Some(class) = work.class else {
        // The usual class may have no figure for a rare size: then there are no limits.
        let thread = target.thread();
        let usual = thread.and_then(|t| Limits::of(&t, default_class(&t, internal)?).ok());
        return Ok(usual);
    };
    let refused = |why: String| Failure::new(format!("--class {class}: {why}"));
    if class.is_internal() != internal {
        return Err(if internal {
            refused("it is a class for a screw".into()).with_hint("a class such as 6H or 2B")
        } else {
            refused("it is a class for a nut".into()).with_hint("6g or 2A, or --internal beside it")
        });
    }
    let limits = match (target.thread(), work.diameter) {
        (Some(thread), _) => Limits::of(&thread, class),
        (None, Some(diameter)) => {
            Limits::of_size(&diameter, &Length::from_mm(target.pitch().mm()), class)
        }
        (None, None) => {
            return Err(refused("a pitch alone has no limits".into())
                .with_hint("--diameter \"30 mm\" beside it, or a named thread such as M10"));
        }
    };
    limits.map(Some).map_err(|e| Failure::typed("--class", &class.to_string(), &e))
}
