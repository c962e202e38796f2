//! Does a chart give back what nobody knows of a lathe: published plates, lost charts, random ones?

mod printed;
mod program;
mod published;
mod random;
mod slips;
mod standin;
mod stories;

use solver::chart::{ChartRow, Gears, Printed, Unit};
use solver::{Gear, GearSet, Lathe, Lead, Parts, Ratio, Teeth, Travel};

fn ratio(text: &str) -> Ratio {
    text.parse().unwrap()
}

fn teeth(count: u64) -> Teeth {
    Teeth::new(count).unwrap()
}

fn thread(text: &str, unit: Unit) -> ChartRow {
    ChartRow::new(Printed::new(text, unit, Travel::Thread).unwrap())
}

fn geared(text: &str, unit: Unit, train: &str) -> ChartRow {
    thread(text, unit).with_gears(Gears::new(train.parse().unwrap()))
}

fn box_of(sizes: &[u64]) -> GearSet {
    let mut gears = GearSet::new();
    for &size in sizes {
        gears.add(Gear::new(teeth(size)), 1).unwrap();
    }
    gears
}

fn plain(sizes: &[u64], screw: &str) -> Parts {
    Parts::plain(box_of(sizes), Lead::from_tpi(ratio(screw)).unwrap())
}

fn lathe(parts: Parts) -> Lathe {
    Lathe::new(parts).unwrap()
}
