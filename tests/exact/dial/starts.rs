//! Is the next start where the gear, the carriage or the top slide is said to bring it?

use super::mechanism::{Drawn, run};
use super::{lathe, lead};
use num_rational::BigRational;
use solver::dial::{Advice, HalfNut};
use solver::starts::{Ease, Indexing, Method, NoShift, Shift, ease, first_shaft_turns};
use solver::{Lathe, Ratio, Train, Travel};

const QUOTAS: [(&str, usize); 6] = [
    ("the gear moves", 300),
    ("with whole turns besides", 30),
    ("between teeth", 100),
    ("K is no whole number", 300),
    ("the carriage moves", 100),
    ("the dial leads into every start", 30),
];

fn plan(lathe: &Lathe, train: &Train, starts: u8) -> Option<Indexing> {
    let setting = lathe.settings(Travel::Thread).unwrap().list.remove(0);
    Indexing::new(lathe, &setting, train, starts).unwrap()
}

/// Teeth one by one: the first after which the work has turned by whole starts, prime to their number.
fn by_trial(gear: u32, k: (u32, u32), starts: u8) -> Option<(u32, BigRational)> {
    let per_turn = BigRational::new((gear * k.0).into(), k.1.into());
    (1..=gear * k.0).find_map(|teeth| {
        let turns = BigRational::from_integer(teeth.into()) / &per_turn;
        (*turns.denom() == starts.into()).then_some((teeth, turns))
    })
}

fn agrees(drawn: &Drawn, shift: &Shift) -> Result<(), String> {
    let wrong = |what: &str| Err(format!("{what}: {shift:?}"));
    let Some((teeth, turns)) = by_trial(drawn.drivers[0], drawn.k, drawn.starts) else {
        return wrong("no number of teeth does it");
    };
    if shift.teeth() != u128::from(teeth) || shift.spindle_turns().to_big() != turns {
        return wrong(&format!("{teeth} teeth in {turns} turns"));
    }
    if turns.floor() != BigRational::from_integer(shift.extra_turns().into()) {
        return wrong("whole turns");
    }
    let (gear_turns, rest) = shift.gear_turns();
    if gear_turns * u128::from(drawn.drivers[0]) + rest != shift.teeth() {
        return wrong("turns of the gear");
    }
    // Move by move around the work.
    let starts = BigRational::from_integer(drawn.starts.into());
    let at = |moves: u32| {
        let turned = BigRational::from_integer(moves.into()) * &turns;
        ((&turned - turned.floor()) * &starts).to_integer()
    };
    let reached: Vec<_> = (0..u32::from(drawn.starts)).map(at).collect();
    let order: Vec<_> = shift.order().into_iter().map(Into::into).collect();
    if reached != order {
        return wrong("order");
    }
    let mut each = shift.order();
    each.sort_unstable();
    if each == (0..drawn.starts).collect::<Vec<_>>() { Ok(()) } else { wrong("a start is missed") }
}

/// Screw pitches from a line of the first start to one of each other start, in pitches of the work: the number of
/// the start, and whole leads.
fn lines_lead(drawn: &Drawn, plan: &Indexing, classes: &[usize]) -> Result<(), String> {
    let starts = Ratio::whole(drawn.starts.into()).unwrap();
    let nut = HalfNut::new(&drawn.lathe(), &plan.pitch.times(&starts).unwrap(), drawn.starts);
    let nut = nut.unwrap();
    let Advice::Lines(reading) = nut.advice() else { return Err("no lines".into()) };
    let screw = nut.repeat().unwrap().screw_pitch().mm().to_big() / plan.pitch.mm().to_big();
    let tooth = |class: usize| reading.classes()[class].lines().next().unwrap().tooth;
    let around = BigRational::from_integer(drawn.starts.into());
    for (start, class) in classes.iter().enumerate() {
        let passed = tooth(*class) + reading.teeth() - tooth(classes[0]);
        let pitches = BigRational::from_integer(passed.into()) * &screw;
        let beyond = &pitches - (&pitches / &around).floor() * &around;
        if beyond != BigRational::from_integer(start.into()) {
            return Err(format!("start {start} is {beyond} on: {plan:?}"));
        }
    }
    if classes.len() == usize::from(drawn.starts) {
        Ok(())
    } else {
        Err("a start is missed".into())
    }
}

#[test]
fn teeth_counted_one_by_one_say_the_same() {
    run(1500, &QUOTAS, |drawn, _| {
        let Some(plan) = plan(&drawn.lathe(), &drawn.train(), drawn.starts) else {
            return if drawn.starts == 1 { Ok(vec![]) } else { Err("no plan".into()) };
        };
        let mut marks = Vec::new();
        match &plan.shift {
            Ok(shift) => {
                agrees(drawn, shift)?;
                marks.push("the gear moves");
                if shift.extra_turns() > 0 {
                    marks.push("with whole turns besides");
                }
            }
            Err(_) if by_trial(drawn.drivers[0], drawn.k, drawn.starts).is_some() => {
                return Err(format!("it can be moved: {plan:?}"));
            }
            Err(_) => marks.push("between teeth"),
        }
        if drawn.k.1 > 1 {
            marks.push("K is no whole number");
        }
        if let Some(carriage) = plan.carriage {
            marks.push("the carriage moves");
            let (pitch, starts) = (plan.pitch.mm().to_big(), u128::from(plan.starts));
            let grooves = BigRational::from_integer((carriage.leads * starts + 1).into());
            if carriage.distance.mm().to_big() != pitch * grooves {
                return Err(format!("not a pitch and some leads: {carriage:?}"));
            }
        }
        if let Some(classes) = &plan.lines {
            marks.push("the dial leads into every start");
            lines_lead(drawn, &plan, classes)?;
            if !matches!(plan.method(), Method::Lines(_)) {
                return Err(format!("the dial is easier: {plan:?}"));
            }
        }
        Ok(marks)
    });
}

#[test]
fn one_start_needs_no_way_to_the_next() {
    assert_eq!(plan(&lathe("8 tpi", &[]), &"40-40".parse().unwrap(), 1), None);
    let lathe = lathe("8 tpi", &[]);
    let setting = lathe.settings(Travel::Thread).unwrap().list.remove(0);
    let of = |starts| Indexing::new(&lathe, &setting, &"40-40".parse().unwrap(), starts);
    assert!(of(0).unwrap_err().is_range() && of(100).unwrap_err().is_range());
}

/// The pitch is the one that is cut: 30-80+63-50 on 8 TPI, two starts of nominally 0.75 mm.
#[test]
fn where_no_tooth_serves_the_top_slide_moves_by_the_true_pitch() {
    let plan = plan(&lathe("8 tpi", &[]), &"45-60+63-100".parse().unwrap(), 2).unwrap();
    assert_eq!(plan.shift, Err(NoShift::BetweenTeeth("22.5".parse().unwrap())));
    let Method::TopSlide(by) = plan.method() else { panic!("45 can't be halved") };
    assert_eq!(by, lead("0.7500937500 mm"));
}

/// K = 2/3: a third of the starts lies between teeth, but not of the turns.
#[test]
fn whole_turns_help_where_k_is_no_whole_number() {
    let train: Train = "40-40".parse().unwrap();
    let two_thirds = Some(Ratio::new(2, 3).unwrap());
    assert_eq!(ease(&train, two_thirds, 2).unwrap(), Ease::WithTurns);
    assert_eq!(ease(&train, Some(Ratio::ONE), 2).unwrap(), Ease::Plain);
    assert_eq!(ease(&train, Some(Ratio::ONE), 3).unwrap(), Ease::TopSlide);
    assert_eq!(ease(&train, Some(Ratio::ONE), 1).unwrap(), Ease::Plain);
    assert_eq!(ease(&train, None, 2).unwrap(), Ease::TopSlide);
    assert!(Ease::Plain < Ease::WithTurns && Ease::WithTurns < Ease::TopSlide);
}

#[test]
fn a_screw_constant_hides_how_fast_the_first_gear_turns() {
    let mut parts = super::parts("8 tpi", &[]);
    parts.screw_constant = Some(lead("4 tpi"));
    let turns = |parts: &solver::Parts| {
        let lathe = Lathe::new(parts.clone()).unwrap();
        let setting = lathe.settings(Travel::Thread).unwrap().list.remove(0);
        let plan = plan(&lathe, &"40-40".parse().unwrap(), 2).unwrap();
        (first_shaft_turns(&lathe, &setting).unwrap(), plan)
    };
    // With the screw known besides, it says: 4 TPI on 8 TPI is two turns.
    let (known, plan) = turns(&parts);
    assert_eq!(known, Some(Ratio::new(2, 1).unwrap()));
    assert_eq!(plan.shift.unwrap().teeth(), 40);
    parts.lead_screw.lead = None;
    let (unknown, plan) = turns(&parts);
    assert_eq!((unknown, plan.shift), (None, Err(NoShift::UnknownHeadstock)));
    assert_eq!(plan.carriage, None);
    assert_eq!(plan.method(), Method::TopSlide(lead("8 tpi")));
}
