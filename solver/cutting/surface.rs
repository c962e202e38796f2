//! How fast may the work run past the tool? Surface speeds by material and tool, and turns a minute.
//!
//! Turns a minute are the surface speed over the circumference (F. D. Jones, *Turning and Boring*, 1919,
//! ch. II: 12 C / (3.1416 d) in feet and inches). Speeds of carbon steel tools are his averages for
//! turning. Those of high-speed steel are common practice for turning mild steel and aluminium; all others
//! are from memory, and a page must say so. A thread is cut at a quarter to a half of the turning speed
//! (shop rule, from memory).

use super::Measure;
use crate::Ratio;
use std::f64::consts::PI;

/// What a tool is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ToolSteel {
    /// Carbon steel.
    Carbon,
    /// High-speed steel.
    HighSpeed,
}

/// What is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Operation {
    /// Turning, boring, facing.
    Turning,
    /// Cutting a thread.
    Threading,
}

/// The source of a surface speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SpeedSource {
    /// F. D. Jones, *Turning and Boring*, 1919, ch. II, Average Cutting Speeds.
    Jones,
    /// Common practice, one open handbook of little trust.
    Practice,
    /// From memory, unverified.
    Memory,
    /// A quarter to a half of the turning speed: shop rule, from memory.
    Quarter,
    /// Stated.
    Stated,
}

/// A surface speed, from the lower to the higher.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SurfaceSpeed {
    /// In metres a minute, exact.
    pub low: Ratio,
    /// The same; equal to `low` where only one was stated.
    pub high: Ratio,
    /// Its source.
    pub source: SpeedSource,
}

/// A material of the table.
#[derive(Debug, PartialEq, Eq)]
pub struct Material {
    /// Its name.
    pub name: &'static str,
    /// Other names.
    other_names: &'static [&'static str],
    /// With a carbon steel tool, and what its source calls the material.
    carbon: Option<(Feet, &'static str)>,
    high_speed: Option<(Feet, SpeedSource)>,
    thread: Option<Feet>,
}

/// From, to, in feet a minute.
type Feet = [u64; 2];

/// A foot in metres.
const FOOT: Ratio = Ratio::table(3048, 10_000);

impl SurfaceSpeed {
    /// Of one stated figure, in metres a minute.
    pub const fn stated(speed: Ratio) -> Self {
        Self { low: speed, high: speed, source: SpeedSource::Stated }
    }

    fn of([low, high]: Feet, source: SpeedSource) -> Option<Self> {
        let metres = |feet| Ratio::new(feet, 1).ok()?.times(&FOOT).ok();
        Some(Self { low: metres(low.into())?, high: metres(high.into())?, source })
    }

    /// A quarter of the lower and a half of the higher.
    fn for_a_thread(&self) -> Option<Self> {
        let part = |of: &Ratio, by: u64| of.times(&Ratio::table(1, by)).ok();
        let (low, high) = (part(&self.low, 4)?, part(&self.high, 2)?);
        Some(Self { low, high, source: SpeedSource::Quarter })
    }

    /// Turns a minute at a diameter, at the lower and the higher speed, rounded down.
    ///
    /// ```
    /// use solver::cutting::SurfaceSpeed;
    /// // Jones, ch. II: 60 feet a minute at 5 in are 45.8 turns; 18.288 m are 60 ft.
    /// let speed = SurfaceSpeed::stated("18.288".parse()?);
    /// assert_eq!(speed.rpm(&solver::cutting::Measure::from("5 in".parse::<solver::Length>()?)), [45, 45]);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn rpm(&self, diameter: &Measure) -> [u32; 2] {
        [self.low, self.high].map(|speed| {
            let rpm = 1000.0 * speed.to_f64() / (PI * diameter.mm());
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
            let rpm = rpm.clamp(0.0, f64::from(u32::MAX)) as u32;
            rpm
        })
    }
}

impl Material {
    /// All of the table.
    pub fn all() -> impl Iterator<Item = &'static Self> {
        TABLE.iter()
    }

    /// By its name, capitals and hyphens aside; `None`: it is not in the table.
    ///
    /// ```
    /// use solver::cutting::Material;
    /// assert_eq!(Material::named("Medium carbon steel").map(|of| of.name), Some("medium-carbon steel"));
    /// assert!(Material::named("cheese").is_none());
    /// ```
    pub fn named(text: &str) -> Option<&'static Self> {
        let plain = |text: &str| text.trim().to_lowercase().replace('-', " ");
        let wanted = plain(text);
        let is = |name: &str| plain(name) == wanted;
        Self::all().find(|of| is(of.name) || of.other_names.iter().any(|name| is(name)))
    }

    /// The speed with a tool; `None`: the table has none.
    pub fn speed(&self, tool: ToolSteel, operation: Operation) -> Option<SurfaceSpeed> {
        let turning = match tool {
            ToolSteel::Carbon => SurfaceSpeed::of(self.carbon?.0, SpeedSource::Jones)?,
            ToolSteel::HighSpeed => {
                let (feet, source) = self.high_speed?;
                SurfaceSpeed::of(feet, source)?
            }
        };
        match (operation, tool, self.thread) {
            (Operation::Turning, ..) => Some(turning),
            (Operation::Threading, ToolSteel::HighSpeed, Some(feet)) => {
                SurfaceSpeed::of(feet, SpeedSource::Memory)
            }
            (Operation::Threading, ..) => turning.for_a_thread(),
        }
    }

    /// What Jones calls it; `None`: he has no figure for it.
    pub fn in_jones(&self) -> Option<&'static str> {
        self.carbon.map(|(_, name)| name)
    }

    /// The tools that the table has a speed for, high-speed steel first.
    pub fn tools(&self) -> impl Iterator<Item = ToolSteel> {
        let all = [ToolSteel::HighSpeed, ToolSteel::Carbon];
        all.into_iter().filter(|tool| self.speed(*tool, Operation::Turning).is_some())
    }
}

const PRACTICE: SpeedSource = SpeedSource::Practice;
const MEMORY: SpeedSource = SpeedSource::Memory;

const TABLE: [Material; 10] = [
    Material {
        name: "mild steel",
        other_names: &["machine steel", "low-carbon steel"],
        carbon: Some(([45, 65], "machine steel")),
        high_speed: Some(([90, 120], PRACTICE)),
        thread: Some([35, 40]),
    },
    Material {
        name: "medium-carbon steel",
        other_names: &[],
        carbon: None,
        high_speed: Some(([60, 80], MEMORY)),
        thread: Some([25, 30]),
    },
    Material {
        name: "high-carbon steel",
        other_names: &[],
        carbon: None,
        high_speed: Some(([35, 40], MEMORY)),
        thread: Some([15, 20]),
    },
    Material {
        name: "tool steel",
        other_names: &["annealed tool steel"],
        carbon: Some(([25, 35], "annealed tool steel")),
        high_speed: None,
        thread: None,
    },
    Material {
        name: "stainless steel",
        other_names: &["stainless"],
        carbon: None,
        high_speed: Some(([40, 50], MEMORY)),
        thread: Some([15, 20]),
    },
    Material {
        name: "cast iron",
        other_names: &["grey cast iron", "gray cast iron"],
        carbon: Some(([40, 50], "grey cast iron")),
        high_speed: Some(([50, 80], MEMORY)),
        thread: Some([20, 25]),
    },
    Material {
        name: "brass",
        other_names: &["soft brass", "yellow brass"],
        carbon: Some(([150, 200], "soft yellow brass")),
        high_speed: Some(([100, 200], MEMORY)),
        thread: Some([40, 50]),
    },
    Material {
        name: "bronze",
        other_names: &["hard bronze"],
        carbon: Some(([35, 80], "hard bronze")),
        high_speed: Some(([100, 200], MEMORY)),
        thread: Some([40, 50]),
    },
    Material {
        name: "aluminium",
        other_names: &["aluminum"],
        carbon: None,
        high_speed: Some(([300, 500], PRACTICE)),
        thread: Some([50, 60]),
    },
    Material {
        name: "copper",
        other_names: &[],
        carbon: None,
        high_speed: Some(([60, 80], MEMORY)),
        thread: Some([20, 25]),
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Length;

    #[test]
    fn every_name_is_found_and_no_two_are_alike() {
        let mut names = Vec::new();
        for of in Material::all() {
            assert!(of.tools().next().is_some(), "{}", of.name);
            for name in [of.name].iter().chain(of.other_names) {
                assert_eq!(Material::named(&name.to_uppercase()), Some(of));
                names.push(*name);
            }
        }
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
    }

    /// Threads are cut more slowly than anything is turned, by a half or less.
    #[test]
    fn a_thread_is_cut_more_slowly() {
        for of in Material::all() {
            for tool in of.tools() {
                let [turning, thread] = [Operation::Turning, Operation::Threading]
                    .map(|what| of.speed(tool, what).unwrap());
                assert!(turning.low < turning.high && thread.low < thread.high, "{}", of.name);
                // 20 of 35 to 40 ft/min, the table's coarsest, is the half of the higher.
                assert!(thread.high.to_f64() <= 0.5 * turning.high.to_f64() + 1e-9, "{}", of.name);
            }
        }
    }

    #[test]
    fn a_diameter_of_nothing_has_no_end() {
        let of = SurfaceSpeed::stated(Ratio::ONE);
        assert_eq!(of.rpm(&Measure::rounded(0.0)), [u32::MAX; 2]);
        let mm: Length = "1 mm".parse().unwrap();
        assert_eq!(of.rpm(&mm.into()), [318, 318]);
    }
}
