//! Where does a book close the half nut, and by how many teeth does it index?

use super::{Outcome, counted, lathe, lead, same};
use serde::Deserialize;
use solver::dial::{DialReading, HalfNut};
use solver::starts::{Ease, Indexing as Starts, ease};
use solver::{Dial, Lathe, Ratio, Travel};
use std::collections::BTreeMap;
use std::error::Error;

/// Lines of a dial that serve a thread.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct DialLines {
    screw: String,
    teeth: u16,
    lines: u16,
    numbered_every: u16,
    /// How far the carriage goes in a turn of the dial.
    turn: String,
    thread: String,
    /// How many lines serve one that was begun on.
    serving: usize,
    /// Those of them that have a number, begun on 1.
    numbered: Vec<String>,
    /// From one of them to the next, in lines and on the carriage.
    step: u16,
    apart: String,
}

impl DialLines {
    pub(super) fn run(&self) -> Outcome {
        let screw = lead(&self.screw)?;
        let turn = screw.times(&Ratio::whole(self.teeth.into())?)?;
        same("a turn of the dial", turn, lead(&self.turn)?)?;
        let plan = HalfNut::new(&self.lathe()?, &lead(&self.thread)?, 1)?;
        let [reading] = &plan.dials[..] else { return Err("one dial".into()) };
        same("serves", reading.works(), true)?;
        for class in reading.classes() {
            same("lines of a class", class.lines().count(), self.serving)?;
        }
        self.first_class(reading)
    }

    /// The dial with its numbers.
    fn lathe(&self) -> Result<Lathe, Box<dyn Error>> {
        let every = self.numbered_every;
        let label = |line: u16| match line % every {
            0 => (line / every + 1).to_string(),
            _ => String::new(),
        };
        let labels = (0..self.lines).map(label).collect();
        let mut parts = lathe(&counted([40, 50]), lead(&self.screw)?, 1)?.parts().clone();
        parts.dials = vec![Dial { teeth: self.teeth, lines: self.lines, labels }];
        Ok(Lathe::new(parts)?)
    }

    fn first_class(&self, reading: &DialReading) -> Outcome {
        let class = reading.classes().first().ok_or("no class")?;
        let labels: Vec<_> = class.lines().filter_map(|line| line.label.clone()).collect();
        same("numbered", &labels, &self.numbered)?;
        let lines: Vec<_> = class.lines().collect();
        for pair in lines.windows(2) {
            same("step", pair[1].index - pair[0].index, self.step)?;
            let teeth = Ratio::whole((pair[1].tooth - pair[0].tooth).into())?;
            same("apart", lead(&self.screw)?.times(&teeth)?, lead(&self.apart)?)?;
        }
        Ok(())
    }
}

/// Teeth that the driving gear moves on from start to start.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Index {
    gear: u16,
    /// Turns of its shaft for one of the spindle.
    k: String,
    /// By number of starts.
    teeth: BTreeMap<String, u128>,
    /// Starts that don't divide.
    #[serde(default)]
    no_starts: Vec<u8>,
}

impl Index {
    pub(super) fn run(&self) -> Outcome {
        let train = format!("{}-40", self.gear).parse()?;
        let k: Ratio = self.k.parse()?;
        let mut parts = lathe(&counted([40, self.gear]), lead("4 tpi")?, 1)?.parts().clone();
        for way in &mut parts.headstock {
            way.ratio = Some(k);
        }
        let lathe = Lathe::new(parts)?;
        let settings = lathe.settings(Travel::Thread)?.list;
        let setting = settings.first().ok_or("no setting")?;
        for (starts, teeth) in &self.teeth {
            let plan = Starts::new(&lathe, setting, &train, starts.parse()?)?;
            let shift = plan.ok_or("no plan")?.shift.map_err(|why| format!("{why:?}"))?;
            same("teeth", shift.teeth(), *teeth)?;
            same("whole turns besides", shift.extra_turns(), 0)?;
        }
        for starts in &self.no_starts {
            same("can't be moved", ease(&train, Some(k), *starts)?, Ease::TopSlide)?;
        }
        Ok(())
    }
}
