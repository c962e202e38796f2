//! What a lathe file says as the solver's parts; where are the contradictions?

use super::super::form::{Braced, Forms, OrUnknown, Ordered};
use super::super::value::{Mark, Travelled, Whole, small};
use super::{
    CombinationEntry, DialEntry, Dials, FittedSetUp, Headstock, HeadstockWay, LatheFile,
    LeverEntry, LeverWay, Levers, Only, QuickChange, Screw, SpeedRange, SpindleSpeeds,
};
use crate::failure::Failure;
use solver::{
    Combination, Dial, End, Ends, Fitted, GearSet, Gearbox, Hand, HeadstockPosition, Lead,
    LeadScrew, Lever, LeverPosition, Parts, Ratio, Speeds, Travel, Turns, When, bounds,
};

impl LatheFile {
    /// The solver's parts, with the gears that the file names or holds.
    ///
    /// # Errors
    /// With the key at fault.
    pub(in super::super) fn parts(self, gears: GearSet) -> Result<Parts, Failure> {
        let screw = self.lead_screw.unwrap_or_default().0;
        let headstock = self.headstock.unwrap_or_default().0;
        check_constant(self.screw_constant, &screw, &headstock)?;
        let studs = small("studs", self.studs, 1, bounds::STUDS)?;
        let ends = Ends {
            first: self.ends.0.driving.map_or(End::Any, |e| e.0),
            last: self.ends.0.driven.map_or(End::Any, |e| e.0),
        };
        let gearbox = self.gearbox.0.gearbox();
        check_own_ends(&gears, &ends, &gearbox)?;
        let mut parts = Parts::plain(gears, Lead::new(solver::Length::from_mm(Ratio::ONE)));
        parts.name = self.name;
        parts.note = self.note;
        parts.lead_screw = screw.screw()?;
        parts.screw_constant = self.screw_constant.map(|t| t.0);
        parts.tumbler = headstock.tumbler();
        parts.headstock = headstock.ways(self.screw_constant.is_some())?;
        parts.studs = studs;
        parts.studs_stated = self.studs.is_some();
        parts.sleeves = match self.sleeves {
            None => None,
            sleeves => Some(small("sleeves", sleeves, 0, SLEEVES)?),
        };
        parts.ends = ends;
        parts.bracket =
            self.bracket.map(|b| b.0.bracket().map_err(|e| e.at("banjo"))).transpose()?;
        parts.fitted = self.fitted.map(|f| f.0.fitted());
        parts.gearbox = gearbox;
        parts.feeds.long = self.feeds.0.long.map(|t| t.0);
        parts.feeds.cross = self.feeds.0.cross.map(|t| t.0);
        parts.half_nut = self.half_nut;
        parts.reverse = self.reverse;
        parts.dials = self.dial.map_or(Ok(Vec::new()), Dials::dials)?;
        parts.speeds = self.spindle_rpm.map(SpindleSpeeds::speeds).transpose()?;
        Ok(parts)
    }
}

/// A sleeve more than there are studs serves no one.
const SLEEVES: bounds::Bounds = {
    let mut bounds = bounds::STUDS;
    bounds.name = "sleeves";
    bounds
};

/// The screw constant stands in place of the headstock's ratio and the lead screw's lead; without
/// it both must be there.
fn check_constant(
    constant: Option<Travelled>,
    screw: &Screw,
    headstock: &Headstock,
) -> Result<(), Failure> {
    let Some(Travelled(constant)) = constant else {
        return if screw.lead.is_none() {
            Err(Failure::wrong(
                "the lead of the lead screw is missing",
                "\"lead_screw\": {\"lead\": \"8 tpi\"}, or \"unknown\", or a `screw_constant`",
            )
            .at("lead_screw"))
        } else {
            Ok(())
        };
    };
    let ways = headstock.positions.iter().flat_map(|p| &p.0);
    let of_ways =
        ways.map(|(name, way)| (format!("headstock.positions[{name:?}].ratio"), &way.0.ratio));
    let here = std::iter::once(("headstock.ratio".to_owned(), &headstock.ratio));
    if let Some((path, _)) = here.chain(of_ways).find(|(_, ratio)| ratio.is_some()) {
        return Err(Failure::wrong(
            "`screw_constant` already holds the headstock's ratio",
            "leave out one of the two",
        )
        .at(path));
    }
    match screw.lead {
        None | Some(OrUnknown(None)) => Ok(()),
        Some(OrUnknown(Some(Travelled(lead)))) => {
            let ratio = constant.mm().over(&lead.mm()).map_err(Failure::from)?;
            Err(Failure::wrong(
                "`screw_constant` replaces the lead screw's lead",
                format!(
                    "leave `screw_constant` out and say \"headstock\": {{\"ratio\": \"{ratio}\"}}"
                ),
            )
            .at("lead_screw.lead"))
        }
    }
}

/// The machine's own end gears have the box's usual pitch, so it must be certain.
fn check_own_ends(gears: &GearSet, ends: &Ends, gearbox: &Gearbox) -> Result<(), Failure> {
    let special = gearbox.needs_last.iter().map(|(_, end)| end);
    let own = [&ends.first, &ends.last].into_iter().chain(special).find_map(|end| match end {
        End::Own(teeth) => Some(teeth),
        _ => None,
    });
    match own {
        Some(teeth) if !gears.usual_is_certain() => Err(Failure::wrong(
            format!("the gears owned differ in pitch, and that of the machine's own {teeth} is not stated"),
            "state the usual one as `gears.pitch`",
        )
        .at("ends")),
        _ => Ok(()),
    }
}

impl Screw {
    fn screw(self) -> Result<LeadScrew, Failure> {
        Ok(LeadScrew {
            lead: self.lead.and_then(|l| l.0).map(|t| t.0),
            hand: self.hand.map_or(Hand::Right, Hand::from),
            starts: small("lead_screw.starts", self.starts, 1, bounds::STARTS)?,
        })
    }
}

impl Headstock {
    fn tumbler(&self) -> Vec<(String, Turns)> {
        let positions = self.tumbler.iter().flat_map(|t| &t.0);
        positions.map(|(name, sense)| (name.clone(), Turns::from(*sense))).collect()
    }

    /// The ways from the spindle to the driving gear. `by_constant`: their ratios lie in the screw
    /// constant.
    fn ways(self, by_constant: bool) -> Result<Vec<HeadstockPosition>, Failure> {
        let Some(Ordered(positions)) = self.positions else {
            let only = HeadstockWay { ratio: self.ratio, turns: self.turns };
            return Ok(vec![
                only.named(String::new(), by_constant).map_err(|e| e.at("headstock"))?,
            ]);
        };
        let beside = [("ratio", self.ratio.is_some()), ("turns", self.turns.is_some())];
        if let Some((key, _)) = beside.into_iter().find(|(_, there)| *there) {
            return Err(Failure::wrong(
                format!("`{key}` beside `positions`"),
                "say it in each position",
            )
            .at(format!("headstock.{key}")));
        }
        let named = |(name, Braced(way)): (String, Braced<HeadstockWay>)| {
            let path = format!("headstock.positions[{name:?}]");
            way.named(name, by_constant).map_err(|e| e.at(path))
        };
        positions.into_iter().map(named).collect()
    }
}

impl HeadstockWay {
    fn named(self, name: String, by_constant: bool) -> Result<HeadstockPosition, Failure> {
        if self.ratio.is_none() && !by_constant {
            return Err(Failure::wrong(
                "the ratio from the spindle to the driving gear is missing",
                "its turns for one of the spindle: \"headstock\": {\"ratio\": \"1\"}, or \"unknown\"",
            ));
        }
        Ok(HeadstockPosition {
            name,
            ratio: self.ratio.and_then(|r| r.0).map(|t| t.0),
            turns: self.turns.map_or(Turns::Unknown, Turns::from),
        })
    }
}

impl FittedSetUp {
    pub(super) fn fitted(self) -> Fitted {
        let mut fitted = Fitted::new(self.train.0, when(self.levers));
        fitted.headstock = self.headstock.map(|at| at.0);
        fitted.tumbler = self.tumbler.map(|at| at.0);
        fitted
    }
}

fn when(levers: Levers) -> When {
    levers.0.into_iter().map(|(lever, Mark(position))| (lever, position)).collect()
}

impl QuickChange {
    fn gearbox(self) -> Gearbox {
        let mut gearbox = Gearbox::default();
        gearbox.levers = self.levers.into_iter().map(|l| l.0.lever()).collect();
        gearbox.forbidden = self.forbidden.into_iter().map(when).collect();
        let needs = self.needs_driven.into_iter();
        gearbox.needs_last = needs.map(|n| (when(n.0.when), n.0.driven.0)).collect();
        gearbox.combinations = self.combinations.into_iter().map(|c| c.0.combination()).collect();
        gearbox
    }
}

impl LeverEntry {
    fn lever(self) -> Lever {
        let position = |(name, LeverWay(way)): (String, LeverWay)| {
            let ratio = way.ratio.0.map(|t| t.0);
            let turns = way.turns.map_or(Turns::Same, Turns::from);
            LeverPosition::new(name, ratio, turns).with_only(way.only.map(Only::travel))
        };
        Lever { name: self.name.0, positions: self.positions.0.into_iter().map(position).collect() }
    }
}

impl Only {
    /// Any feed stands for both.
    const fn travel(self) -> Travel {
        match self {
            Self::Thread => Travel::Thread,
            Self::Feed => Travel::LongFeed,
        }
    }
}

impl CombinationEntry {
    fn combination(self) -> Combination {
        Combination {
            when: when(self.when),
            ratio: self.ratio.0.map(|t| t.0),
            turns: self.turns.map_or(Turns::Same, Turns::from),
        }
    }
}

impl Dials {
    fn dials(self) -> Result<Vec<Dial>, Failure> {
        let dial =
            |(i, dial): (usize, DialEntry)| dial.dial().map_err(|e| e.at(format!("dial[{i}]")));
        self.0.into_iter().enumerate().map(dial).collect()
    }
}

impl DialEntry {
    fn dial(self) -> Result<Dial, Failure> {
        let of = |key: &str, value: Whole| {
            let checked = bounds::DIAL_TEETH.check(value.0);
            u16::try_from(value.0).map_err(|_| match checked {
                Err(range) => Failure::from(range).at(key),
                Ok(_) => Failure::wrong("too large", "a smaller number").at(key),
            })
        };
        Ok(Dial {
            teeth: of("teeth", self.teeth)?,
            lines: of("lines", self.lines)?,
            labels: self.labels.into_iter().map(|l| l.0).collect(),
        })
    }
}

impl SpindleSpeeds {
    fn speeds(self) -> Result<Speeds, Failure> {
        match self {
            Self::List(list) if list.is_empty() => {
                Err(Failure::wrong("the list is empty", Self::WANTED).at("spindle_rpm"))
            }
            Self::List(list) => {
                let path = |i| format!("spindle_rpm[{i}]");
                let speeds = list.into_iter().enumerate().map(|(i, s)| speed(s, &path(i)));
                Ok(Speeds::List(speeds.collect::<Result<_, _>>()?))
            }
            Self::Range(SpeedRange { from, to }) => {
                let (slow, fast) = (speed(from, "spindle_rpm.from")?, speed(to, "spindle_rpm.to")?);
                if slow > fast {
                    return Err(Failure::wrong(
                        format!("the range runs down, from {slow} to {fast}"),
                        "the slower speed first",
                    )
                    .at("spindle_rpm"));
                }
                Ok(Speeds::Range(slow..=fast))
            }
        }
    }
}

fn speed(given: Whole, path: &str) -> Result<u32, Failure> {
    let checked = bounds::SPINDLE.check(given.0).map_err(|e| Failure::from(e).at(path))?;
    Ok(u32::try_from(checked).unwrap_or(u32::MAX))
}
