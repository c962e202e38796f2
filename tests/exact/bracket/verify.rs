//! Does a mounting hold, by its own coordinates?

use super::rig::{Chain, Rig, Slot, Spot, apart, giver};
use super::stand::{patterns, rooms};
use solver::bracket::{Gap, Mounting, Part};

const TIGHT: f64 = 1e-9;

/// What is wrong, in words.
pub(crate) type Outcome = Result<(), String>;

pub(crate) fn hold(what: &str, holds: bool, seen: impl std::fmt::Debug) -> Outcome {
    if holds { Ok(()) } else { Err(format!("{what}: {seen:?}")) }
}

pub(crate) fn points(mounting: &Mounting) -> Vec<Spot> {
    mounting.shafts.iter().map(|shaft| [shaft.right, shaft.up]).collect()
}

/// Everything that is asked of a train that stands.
pub(crate) fn fits(rig: &Rig, chain: &Chain, mounting: &Mounting) -> Outcome {
    shafts(rig, chain, mounting)?;
    slots(rig, mounting)?;
    swing(rig, mounting)?;
    meshes(rig, chain, mounting)?;
    planes(rig, chain, mounting)?;
    gaps(rig, chain, mounting)?;
    let points = points(mounting);
    let studs = &points[1..points.len() - 1];
    let near = studs.iter().map(|stud| apart(*stud, points[0])).fold(f64::INFINITY, f64::min);
    hold("least stud distance", near >= rig.least_stud - TIGHT, near)?;
    let tightest = mounting.tightest.as_ref().map_or(f64::INFINITY, |gap| gap.mm);
    hold("clearance", tightest >= rig.clearance - TIGHT, tightest)
}

fn shafts(rig: &Rig, chain: &Chain, mounting: &Mounting) -> Outcome {
    hold("shafts", mounting.shafts.len() == chain.len(), mounting.shafts.len())?;
    let points = points(mounting);
    let ends = [points[0], points[points.len() - 1]];
    hold("driving shaft", apart(ends[0], rig.first) < TIGHT, ends)?;
    hold("driven shaft", apart(ends[1], [0.0, 0.0]) < TIGHT, ends)?;
    for (at, (shaft, wheels)) in mounting.shafts.iter().zip(chain).enumerate() {
        let gears = shaft.gears.iter().chain(&shaft.idle);
        let teeth: Vec<u64> = gears.map(|g| g.0.teeth.get().into()).collect();
        let idle = wheels.iter().any(|wheel| wheel.idle);
        hold("idle", shaft.idle.is_some() == idle, (at, shaft.idle))?;
        let wanted: Vec<u64> = wheels.iter().map(|wheel| wheel.teeth).collect();
        hold("gears", teeth == wanted, (at, teeth))?;
        let place = if at == 0 { 0 } else { 1 + usize::from(at + 1 == chain.len()) };
        hold("hub", (shaft.hub - rig.hubs[place]).abs() < TIGHT, shaft.hub)?;
    }
    Ok(())
}

/// The place in the slot, as it is written, is where the stud stands.
fn slots(rig: &Rig, mounting: &Mounting) -> Outcome {
    let last = mounting.shafts.len() - 1;
    let mut holes = Vec::new();
    for (at, shaft) in mounting.shafts.iter().enumerate() {
        let Some(place) = &shaft.slot else {
            hold("a stud stands in a slot", at == 0 || at == last, at)?;
            continue;
        };
        hold("an end shaft stands in no slot", at != 0 && at != last, at)?;
        let slot = &rig.slots[place.slot];
        let swing = mounting.swing.ok_or("a stud without a swing")?;
        let stud = [shaft.right, shaft.up];
        let miss = apart(rig.in_slot(slot, swing, place.along), stud);
        hold("place in the slot", miss < TIGHT, (at, miss))?;
        let from_pivot = apart(stud, rig.pivot_at());
        hold("from the pivot", (from_pivot - place.from_pivot).abs() < TIGHT, from_pivot)?;
        let short = match *slot {
            Slot::Straight { from, to, .. } => (from - place.along).max(place.along - to),
            Slot::Arc { from, to, .. } => {
                let turns = [-360.0, 0.0, 360.0].map(|turn| place.along + turn);
                turns.map(|a| (from - a).max(a - to)).into_iter().fold(f64::INFINITY, f64::min)
            }
        };
        hold("ends of the slot", short < TIGHT, short)?;
        hold("one stud a hole", !holes.contains(&place.slot), &holes)?;
        holes.extend(slot.is_hole().then_some(place.slot));
    }
    Ok(())
}

fn swing(rig: &Rig, mounting: &Mounting) -> Outcome {
    hold("swing", mounting.swing.is_some() == (mounting.shafts.len() > 2), mounting.swing)?;
    let (Some(swing), Some([from, to])) = (mounting.swing, rig.swing) else { return Ok(()) };
    let inside = [-720.0, -360.0, 0.0, 360.0, 720.0]
        .iter()
        .any(|turn| (from - TIGHT..=to + TIGHT).contains(&(swing + turn)));
    hold("swing limits", inside, swing)
}

fn meshes(rig: &Rig, chain: &Chain, mounting: &Mounting) -> Outcome {
    let points = points(mounting);
    hold("meshes", mounting.meshes.len() == chain.len() - 1, mounting.meshes.len())?;
    let fixed = rig.fixed_swing().is_some();
    for (at, mesh) in mounting.meshes.iter().enumerate() {
        let nominal = giver(&chain[at]).pitch_radius() + chain[at + 1][0].pitch_radius();
        hold("nominal", (mesh.nominal - nominal).abs() < TIGHT, (at, mesh))?;
        let between = apart(points[at], points[at + 1]);
        hold("centres", (mesh.centres - between).abs() < TIGHT, (at, mesh, between))?;
        let opened = between - nominal;
        let [least, most] = rig.opening;
        let inside = opened > least - TIGHT && opened < most + TIGHT;
        hold("opening", inside, (at, opened))?;
        let hole = mounting
            .shafts
            .iter()
            .filter_map(|s| s.slot.as_ref())
            .any(|place| rig.slots[place.slot].is_hole());
        if chain.len() > 2 && !fixed && !hole {
            hold("least opening", (opened - least).abs() < TIGHT, (at, opened))?;
        }
    }
    Ok(())
}

fn planes_of(mounting: &Mounting) -> Vec<Vec<u8>> {
    let of = |shaft: &solver::bracket::MountedShaft| {
        shaft.gears.iter().chain(&shaft.idle).map(|gear| gear.1).collect()
    };
    mounting.shafts.iter().map(of).collect()
}

fn planes(rig: &Rig, chain: &Chain, mounting: &Mounting) -> Outcome {
    let planes = planes_of(mounting);
    hold("planes", patterns(rig, chain).contains(&planes), &planes)?;
    let of_mesh = |(at, mesh): (usize, &solver::bracket::Mesh)| mesh.plane == planes[at + 1][0];
    hold("planes of meshes", mounting.meshes.iter().enumerate().all(of_mesh), &planes)?;
    hold("planes of the bracket", mounting.planes == rig.planes, mounting.planes)
}

/// All gaps are listed, each as wide as the coordinates say, tightest first.
pub(crate) fn gaps(rig: &Rig, chain: &Chain, mounting: &Mounting) -> Outcome {
    let planes = planes_of(mounting);
    let mut wanted = rooms(rig, chain, &planes, &points(mounting));
    wanted.sort_by(f64::total_cmp);
    let listed: Vec<f64> = mounting.gaps.iter().map(|gap| gap.mm).collect();
    hold("gaps, tightest first", listed.is_sorted(), &listed)?;
    hold("gaps", listed.len() == wanted.len(), (&listed, &wanted))?;
    let far = listed.iter().zip(&wanted).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    hold("gaps", far < TIGHT, (&listed, &wanted))?;
    for gap in &mounting.gaps {
        let between = room(rig, chain, mounting, gap)?;
        hold("gap", between.is_none_or(|mm| (mm - gap.mm).abs() < TIGHT), (gap, between))?;
    }
    hold("tightest", mounting.tightest == mounting.gaps.first().copied(), mounting.tightest)
}

/// The room between the two parts that a gap names, by the coordinates; nothing for the cover and
/// keep-outs, which were looked at by their sizes alone.
fn room(rig: &Rig, chain: &Chain, mounting: &Mounting, gap: &Gap) -> Result<Option<f64>, String> {
    let tip = |part: &Part| match part {
        Part::Gear { shaft, teeth, plane } => {
            let there = mounting.shafts[*shaft]
                .gears
                .iter()
                .position(|gear| gear.0.teeth == *teeth && gear.1 == *plane);
            let at = there.ok_or(format!("no such gear: {part:?}"))?;
            Ok(Some((*shaft, chain[*shaft][at].tip_radius())))
        }
        Part::Idle { shaft, teeth, joined_to, plane } => {
            let wheels = &chain[*shaft];
            let idle =
                mounting.shafts[*shaft].idle.filter(|g| g.0.teeth == *teeth && g.1 == *plane);
            idle.filter(|_| wheels[0].teeth == u64::from(joined_to.get()))
                .ok_or(format!("no such gear: {part:?}"))?;
            Ok(Some((*shaft, wheels[1].tip_radius())))
        }
        Part::Hub { shaft } => {
            let place = if *shaft == 0 { 0 } else { 1 + usize::from(shaft + 1 == chain.len()) };
            Ok(Some((*shaft, rig.hubs[place])))
        }
        _ => Ok::<_, String>(None),
    };
    let (Some((a, tip_a)), Some((b, tip_b))) = (tip(&gap.gear)?, tip(&gap.other)?) else {
        return Ok(None);
    };
    let points = points(mounting);
    Ok(Some(apart(points[a], points[b]) - tip_a - tip_b))
}
