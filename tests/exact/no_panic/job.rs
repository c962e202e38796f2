//! A whole job, whatever is stated of the work and whatever set-up is handed in.

use super::machine::set;
use super::{leads, lengths, none_panics};
use solver::bracket::Fit;
use solver::cutting::{Form, PassRule, Side, SurfaceSpeed, Tip};
use solver::job::{
    Coasting, Job, Profile, Request, SetUp, StatedSurface, StatedUndercut, Work, coarsest_for,
};
use solver::search::Options;
use solver::{
    Fitted, Lathe, Lead, LeadError, Length, Parts, Setting, Speeds, Target, Train, Travel,
};

fn mm(text: &str) -> Lead {
    Lead::new(text.parse().unwrap())
}

fn lathe() -> Lathe {
    let mut parts = Parts::plain(set(&[20, 30, 40, 60, 127]), mm("3 mm"));
    parts.fitted = Some(Fitted::new("20-30".parse().unwrap(), Vec::new()));
    parts.speeds = Some(Speeds::Range(1..=100_000));
    parts.feeds.long = Some(mm("1 mm"));
    Lathe::new(parts).unwrap()
}

/// As much as can be stated at once, each of it as large or as small as it can be.
fn works(of: Length) -> Vec<Work> {
    let ratio = of.mm();
    let some = |tip, passes, form| Work {
        diameter: Some(of),
        form,
        depth: Some(of),
        tip,
        wire: Some(of),
        passes,
        over: Some(of),
        rpm: Some(u32::MAX),
        undercut: Some(StatedUndercut::Wide(of)),
        away: true,
        reaction: Some(ratio),
        coasting: Some(Coasting::For(ratio)),
        ..Work::default()
    };
    let nut = Work { side: Side::Internal, blank: Some(of), ..Work::default() };
    let surface = Some(StatedSurface::Speed(SurfaceSpeed::stated(ratio)));
    let short = Some(StatedUndercut::Short);
    let smooth = Work { tip: Tip::Nose(of), surface, diameter: Some(of), ..Work::default() };
    let now = |text: &str| Work {
        now: text.parse().ok(),
        wire: Some(of),
        diameter: Some(of),
        reset: true,
        ..Work::default()
    };
    let measured =
        ["wires", "pitch", "depth", "root"].map(|of_what| now(&format!("{of_what} {of}")));
    let tried = now("nut goes on 2 turns");
    let to_mate = Work { mate: Some(of), ..nut.clone() };
    let mut works = vec![
        Work { side: Side::Internal, mate: Some(of), ..now("screw starts") },
        to_mate,
        tried,
        Work { roughness: Some(of), ..smooth.clone() },
        Work { undercut: short, diameter: None, away: true, ..smooth },
        Work::default(),
        nut,
        some(Tip::Form, PassRule::Usual, None),
        some(Tip::Nose(of), PassRule::First(of), Some(Profile::Round)),
        some(Tip::Flat(of), PassRule::Count(0), Some(Profile::Thread(Form::Acme))),
        Work { class: "6g".parse().ok(), tip: Tip::Sharp, rpm: Some(0), ..Work::default() },
    ];
    works.extend(measured);
    works
}

fn set_up(
    train: &Train,
    setting: Setting,
    tumbler: Option<usize>,
    target: &Target,
    lead: Lead,
) -> SetUp {
    let error = LeadError::of(&lead, &target.lead());
    let (train, fit) = (train.clone(), Fit::NotChecked);
    SetUp { train, setting, tumbler, hand: None, either: None, lead, error, fit }
}

#[test]
fn jobs() {
    let lathe = lathe();
    let targets =
        ["M10", "Tr 40x14 (P7) LH", "0.0001 mm", "100 m", "module 1", "1/2 NPT", "0.1 mm/rev"];
    let targets: Vec<Target> = targets.iter().filter_map(|text| text.parse().ok()).collect();
    assert!(targets.len() > 5);
    let trains = ["20-30", "20-30+40-60+127-20+30-40", "20-30-40-60-127"];
    let trains: Vec<Train> = trains.iter().filter_map(|text| text.parse().ok()).collect();
    let setting = lathe.settings(Travel::Thread).unwrap().list[0].clone();
    none_panics(lengths().into_iter().map(|of| (format!("{of}"), of)), |of| {
        for (lead, target) in leads().into_iter().zip(targets.iter().cycle()) {
            for (train, tumbler) in trains.iter().zip([None, Some(usize::MAX), Some(0)]) {
                let mut setting = setting.clone();
                setting.levers.extend(tumbler);
                setting.headstock = tumbler.unwrap_or_default();
                let set_up = set_up(train, setting, tumbler, target, lead);
                for work in works(*of) {
                    let request = Request::new(&lathe, target, set_up.clone()).with_work(work);
                    if let Ok(job) = Job::new(&request) {
                        let groove = job.groove.as_ref();
                        let _ = groove.map(|g| (g.root(), g.slide_marks(), g.aim(&request.work)));
                    }
                }
            }
        }
    });
    none_panics(lengths().into_iter().map(|of| (format!("{of}"), of)), |of| {
        for other in lengths() {
            let _ = coarsest_for(&lathe, Travel::LongFeed, &Options::default(), *of, other);
        }
    });
    // Not all of it is refused.
    let made = targets.iter().filter(|target| {
        let set_up = set_up(&trains[0], setting.clone(), None, target, target.lead());
        Job::new(&Request::new(&lathe, target, set_up)).is_ok()
    });
    assert!(made.count() > 5);
}
