//! How far beside its groove does a later pass cut?
//!
//! Whole leads are no shift: of what the tool has moved, the rest is taken, and the shorter way to a groove.

use super::cause::Shift;
use crate::slip::Mounted;
use crate::{Lathe, Lead, Ratio, Result, Shaft};
use num_integer::Integer;

/// Pitches of the lead screw by which a half nut is late at most.
const LATE: u8 = 8;
/// Along the axis over the pitch: the whole depth of a 60 degree thread, 0.6134 pitches (ISO 68-1: 17/24 of
/// the triangle), times the tangent of 29.5 degrees (US Navy 14345: the compound's angle), 0.5658.
const ANGLED: Ratio = Ratio::table(347, 1000);

/// The shifts of this set-up, each in mm; the first of equals.
pub(super) fn shifts(lathe: &Lathe, mounted: &Mounted, starts: u8) -> Result<Vec<(Shift, Ratio)>> {
    let lead = mounted.lead()?;
    let mut all: Vec<(Shift, Ratio)> = Vec::new();
    let parts = lathe.parts();
    let screw = parts.lead_screw.lead.filter(|screw| screw.has_pi() == lead.has_pi());
    let mut moved = Vec::new();
    if let Some(screw) = screw.filter(|_| parts.half_nut != Some(false) && !lead.has_pi()) {
        let pitch = screw.mm().over(&Ratio::whole(parts.lead_screw.starts.max(1).into())?)?;
        for (dial, of) in parts.dials.iter().enumerate() {
            let line = pitch.times(&Ratio::new(of.teeth.into(), of.lines.into())?)?;
            for lines in 1..of.lines {
                let shift = Shift::DialLine { dial, lines };
                moved.push((shift, line.times(&Ratio::whole(lines.into())?)?));
            }
        }
        for late in 1..=LATE {
            let mm = pitch.times(&Ratio::whole(late.into())?)?;
            moved.push((Shift::HalfNutLate(late), mm));
        }
    }
    if !lead.has_pi() {
        moved.extend(teeth(lathe, mounted)?);
    }
    for (shift, mm) in moved {
        if let Some(rest) = beside(&mm, &lead)?.filter(|rest| all.iter().all(|(_, mm)| mm != rest))
        {
            all.push((shift, rest));
        }
    }
    if !lead.has_pi() {
        let pitch = lead.mm().over(&Ratio::whole(starts.max(1).into())?)?;
        all.push((Shift::AngledInfeed, pitch.times(&ANGLED)?));
    }
    Ok(all)
}

/// Travel of the carriage for one tooth of each mesh: the driven gear turns by one over its teeth, and
/// what follows turns the lead screw.
fn teeth(lathe: &Lathe, mounted: &Mounted) -> Result<Vec<(Shift, Ratio)>> {
    let headstock = lathe.parts().headstock.get(mounted.setting.headstock);
    let Some(spindle) = headstock.and_then(|position| position.ratio) else {
        return Ok(Vec::new());
    };
    let of_screw = mounted.setting.constant.mm().over(&spindle)?;
    let shafts = mounted.train.shafts();
    let mut all = Vec::new();
    for mesh in 0..mounted.train.meshes() {
        let rest = shafts.get(mesh.saturating_add(1)..).unwrap_or_default();
        let Some(driven) = rest.first().map(Shaft::driven) else { continue };
        let mut travel = of_screw.over(&Ratio::whole(driven.teeth.get().into())?)?;
        for two in rest.windows(2) {
            let [from, to] = two else { continue };
            let [from, to] = [from.driver(), to.driven()].map(|gear| gear.teeth.get());
            travel = travel.times(&Ratio::new(from.into(), to.into())?)?;
        }
        all.push((Shift::Tooth(mesh), travel));
    }
    Ok(all)
}

/// What is left of a travel after whole leads, the shorter way; `None`: nothing.
fn beside(mm: &Ratio, lead: &Lead) -> Result<Option<Ratio>> {
    let turns = mm.over(&lead.mm())?;
    let rest = turns.numer().mod_floor(&turns.denom());
    let short = rest.min(turns.denom().saturating_sub(rest));
    if short == 0 {
        return Ok(None);
    }
    Ratio::new(short, turns.denom())?.times(&lead.mm()).map(Some)
}
