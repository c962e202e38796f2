use super::*;
use crate::*;
use crate::search::Options;
use std::time::Instant;
fn r(t:&str)->Ratio{t.parse().unwrap()}
fn position(name: String, turns: &str) -> LeverPosition {
    LeverPosition { name, ratio: Some(r(turns)), turns: Turns::Same, only: None }
}
fn lathe(pos: usize) -> Lathe {
    let mut gears = GearSet::new();
    for z in (20..=120).step_by(5).chain([127]) { gears.add(Gear::new(Teeth::new(z).unwrap()),1).unwrap(); }
    let mut parts = Parts::plain(gears, Lead::from_tpi(r("8")).unwrap());
    parts.studs=1;
    if pos==56 {
    let cone = [16, 18, 20, 22, 23, 24, 26, 28].map(|z| position(z.to_string(), &format!("16/{z}")));
    let doublings = [4, 2, 1].map(|n| position(format!("x{n}"), &n.to_string())).into_iter();
    let halvings = [2, 4, 8, 16].map(|n| position(format!("/{n}"), &format!("1/{n}")));
    parts.gearbox=Gearbox {
        levers: vec![
            Lever { name: "Range".into(), positions: doublings.chain(halvings).collect() },
            Lever { name: "Step".into(), positions: cone.into() },
        ],
        ..Gearbox::default()
    }; }
    parts.fitted = Some(Fitted{train:"20-80+25-100".parse().unwrap(), levers: vec![]});
    Lathe::new(parts).unwrap()
}
fn targets() -> Vec<Lead> {
    let mm = |text: &str| text.parse::<Length>().unwrap();
    let metric = (1..=48).map(|i| Lead::new(mm(&format!("{i}/8 mm"))));
    let inch = (1..=56).map(|i| Lead::from_tpi(r(&format!("{}/2", 7 + 2 * i))).unwrap());
    let worms = (1..=16).map(|i| Lead::times_pi(mm(&format!("{i}/4 mm"))));
    metric.chain(inch).chain(worms).collect()
}
#[test]
fn timing() {
    for pos in [56, 1] {
    let l = lathe(pos);
    for n in [10usize, 20, 120] {
    let step = 120/n;
    let lines: Vec<Line> = targets().into_iter().step_by(step).map(Line::new).collect();
    let cancel = AtomicBool::new(false);
    let t=Instant::now();
    let table = Table::new(&l, lines, &Options::default().with_pairs(2), &cancel).unwrap();
    println!("pos {pos} n {n}: table {:?}: candidates {} trains {} unreachable {}", t.elapsed(), table.counts().sum::<usize>(), table.trains(), table.unreachable().count());
    let show=|name:&str,t:Instant,p:&Plan| println!("  {name}: {:?} handled {} levers {} trains {} least {} proven {}", t.elapsed(), p.cost.handled,p.cost.levers,p.trains,p.least,p.is_proven());
    let t=Instant::now(); show("naive",t,&table.naive().unwrap());
    let t=Instant::now(); let p=table.as_listed(&cancel).unwrap(); show("listed",t,&p);
    let t=Instant::now(); let p=table.fewest_trains(&cancel).unwrap(); show("fewest",t,&p);
    let t=Instant::now(); let p=table.best_order(&cancel).unwrap(); show("best",t,&p);
    }}
}
