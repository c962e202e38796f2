//! Everything that is worked out from numbers alone.

use super::{few_ratios, gears, integers, leads, lengths, none_panics, ratios};
use solver::caliper::{self, MeasuredOver};
use solver::chart::{Interval, Printed, Unit, right, sweep};
use solver::cutting::{
    Blank, Cut, Form, Material, Measure, Outline, Pace, PassRule, Side, Stop, SurfaceSpeed, Tip,
    axial_module, feed_for, feed_for_roughness, finish, roughness, short_undercut, undercut,
};
use solver::involute::{self, Pair};
use solver::scratch_pass::ScratchPass;
use solver::tolerance::{
    Basic, Engagement, Limits, Standard, cumulative_error, default_length, diameter_equivalent,
};
use solver::{
    Degrees, Hand, Lead, LeadError, LeadScrew, Length, Offset, Outside, PressureAngle, Ratio,
    Speeds, Target, Teeth, Travel, bounds, thread,
};

fn pairs<T: Clone + std::fmt::Debug>(of: &[T]) -> Vec<(String, (T, T))> {
    let both = of.iter().flat_map(|a| of.iter().map(move |b| (a.clone(), b.clone())));
    both.map(|pair| (format!("{pair:?}"), pair)).collect()
}

fn named<T: std::fmt::Debug>(of: Vec<T>) -> impl Iterator<Item = (String, T)> {
    of.into_iter().map(|one| (format!("{one:?}"), one))
}

#[test]
fn fractions() {
    none_panics(pairs(&ratios()), |(a, b)| {
        let _ = (a.times(b), a.over(b), a.plus(b), a.apart(b), a.cmp(b), a.fits(u32::MAX));
        let _ = (a.recip(), a.to_f64(), a.to_big(), a.to_string(), a.fits(0), a.is_whole());
        assert!(a.to_f64() > 0.0 && a.to_f64().is_finite());
    });
    for (n, d) in [(0, 0), (0, 1), (1, 0), (u128::MAX, 0)] {
        assert!(Ratio::new(n, d).unwrap_err().is_conflict());
    }
    assert!(Ratio::whole(0).is_err());
}

#[test]
fn lengths_angles_and_counts() {
    none_panics(named(ratios()), |ratio| {
        let length = Length::from_mm(*ratio);
        let _ = (Length::from_inch(*ratio), length.inches(), length.to_string());
        let offset = Offset::new(length);
        assert!(offset.flipped() < offset);
        let _ = (offset.to_f64(), offset.flipped().to_string());
        let _ = (Outside::new(length), PressureAngle::new(*ratio));
        let _ = ratio.to_string().parse::<Degrees>().map(|angle| angle.to_f64());
        let _ = solver::ToothSize::from_module(length);
        let _ = solver::ToothSize::from_diametral_pitch(*ratio);
    });
    for count in integers().into_iter().chain([0]) {
        let count = u64::try_from(count).unwrap_or(u64::MAX);
        let _ = (Teeth::new(count), Ratio::whole(count), bounds::STARTS.check(count));
    }
}

#[test]
fn leads_and_their_errors() {
    none_panics(pairs(&leads()), |(cut, asked)| {
        let error = LeadError::of(cut, asked);
        let _ = (error.exact(), error.ppm(), error.is_zero(), error.is_longer());
        let _ = (error.size_in(0), error.size_in(1), error.size_in(u64::MAX));
        for within in few_ratios() {
            let _ = (error.within(&within), cut.times(&within));
        }
        let back = LeadError::of(asked, asked);
        let _ = (error.compare_size(&error), back.compare_size(&error), error.compare_size(&back));
        let _ = (cut.cmp(asked), cut.tpi(), cut.to_f64(), cut.checked_as_target());
    });
    none_panics(named(ratios()), |ratio| drop(Lead::from_tpi(*ratio)));
}

#[test]
fn scratch_passes() {
    none_panics(named(leads()), |lead| {
        for starts in [0, 1, 99, 100, 255] {
            let Ok(scratch) = ScratchPass::new(*lead, starts) else { continue };
            for count in [0, 1, u32::MAX] {
                let _ = (scratch.travel(count), scratch.leads(count), scratch.pitches(count));
                for screw in leads() {
                    let _ = scratch.spindle_turns(&screw, count);
                }
            }
        }
    });
}

#[test]
fn cutting() {
    let angle = |n, d| Ratio::new(n, d).and_then(PressureAngle::new).unwrap();
    let forms = [
        Form::Sixty,
        Form::Whitworth,
        Form::BritishAssociation,
        Form::Cycle,
        Form::Trapezoidal,
        Form::Acme,
        Form::StubAcme,
        Form::AmericanPipe,
        Form::Worm(angle(10, 1)),
        Form::Worm(angle(35, 1)),
    ];
    let targets = ["M10", "8 tpi", "module 1", "0.0001 mm", "100 m", "R 1/2", "3/4 NPT", "1 DP"];
    let targets = targets.map(str::parse::<Target>);
    let targets: Vec<Target> = targets.into_iter().flatten().collect();
    assert!(targets.len() > 5);
    none_panics(pairs(&lengths()), |(a, b)| {
        let (ma, mb) = (Measure::from(*a), Measure::from(*b));
        let _ = (ma.inches(), ma.to_string(), finish(*a, *b), feed_for(*a, *b));
        let _ = (roughness(*a, *b), feed_for_roughness(*a, *b));
        let _ = (SurfaceSpeed::stated(a.mm()).rpm(&mb), Material::named(&a.to_string()));
        for starts in [0, 1, 99, 255] {
            let _ = axial_module(*a, starts, *b);
        }
        let round = Outline::round(*b);
        for plan in [0, 1, 200, 201, u32::MAX].map(PassRule::Count) {
            let _ = round.passes(&ma, plan);
        }
        for plan in [PassRule::Usual, PassRule::First(*a), PassRule::First(*b)] {
            let _ = round.passes(&ma, plan);
        }
        for target in &targets {
            let Ok(cut) = Cut::of(target) else { continue };
            for form in forms {
                for side in [Side::External, Side::Internal] {
                    let cut = cut.with_form(form).with_side(side).with_diameter(*a);
                    let _ = (cut.diameters(), cut.lead_angle(&mb), cut.module(), cut.ground());
                    let _ = (cut.top_slide(&mb), cut.taper(), cut.tapered());
                    let of = [undercut(&cut.pitch(), side), short_undercut(&cut.pitch(), side)];
                    let _ = of.map(|of| of.and_then(|of| of.floor(a, side)));
                    let blank = Blank::measured(&cut, None, *b);
                    for tip in [Tip::Form, Tip::Sharp, Tip::Nose(*b), Tip::Flat(*b)] {
                        let _ = cut.depth(tip).map(|d| (d.is_too_blunt(), d.is_deeper()));
                        let _ = blank.as_ref().map(|blank| cut.depth_in(blank, tip));
                        let _ = cut.slot(tip, &ma, PassRule::Usual);
                    }
                    if let Ok(wires) = cut.wires() {
                        let _ = (wires.best(&ma), wires.least(&ma), wires.greatest(&ma));
                        let _ = (wires.constant(&mb), wires.over(&mb, &ma));
                    }
                }
            }
        }
    });
    none_panics(pairs(&leads()), |(lead, screw)| {
        let screw = LeadScrew { lead: Some(*screw), hand: Hand::Right, starts: 1 };
        let _ = screw.outruns(lead);
        for rpm in [0, 1, 100_000, 100_001, u32::MAX] {
            let Ok(pace) = Pace::new(*lead, rpm) else { continue };
            let _ = (pace.mm_per_second(), pace.seconds_in(lengths()[2]));
        }
        for time in few_ratios() {
            let stop = Stop::new(*lead, lengths()[3], time);
            let _ = (stop.rpm(), stop.allows(0), stop.allows(u32::MAX));
            #[expect(clippy::reversed_empty_ranges, reason = "as somebody may hand it over")]
            for range in [0..=u32::MAX, 1..=u32::MAX, u32::MAX..=0, 7..=7, u32::MAX..=u32::MAX] {
                let _ = stop.fastest(&Speeds::Range(range));
            }
            let _ = stop.fastest(&Speeds::List(vec![]));
            let _ = stop.fastest(&Speeds::List(vec![0, u32::MAX, 1]));
        }
    });
}

#[test]
fn tolerances() {
    none_panics(pairs(&lengths()), |(diameter, pitch)| {
        for standard in [
            Standard::Iso965,
            Standard::AsmeB11,
            Standard::Iso228,
            Standard::Iso2903,
            Standard::AsmeB15,
            Standard::Bs93,
        ] {
            for internal in [true, false] {
                for class in standard.classes(internal) {
                    let _ = Limits::of_size(diameter, pitch, *class);
                }
                let _ = standard.default_class(internal);
            }
        }
        let _ = (Basic::metric(diameter, pitch), Basic::unified(diameter, pitch));
        if let Some(engagement) = Engagement::metric(diameter, pitch) {
            let _ = engagement.group(pitch);
        }
        let _ = thread::near(Some(*diameter), &Lead::new(*pitch));
        for angle in few_ratios() {
            let _ = diameter_equivalent(&angle);
            for lead in [Lead::new(*pitch), Lead::times_pi(*pitch)] {
                let error = LeadError::of(&lead, &Lead::new(*diameter));
                let _ = cumulative_error(&error, diameter, &angle)
                    .map(|d| (d.on_diameter(), d.share(pitch)));
            }
        }
    });
    none_panics(named(leads()), |lead| drop(thread::near(None, lead)));
    let _ = default_length(None);
    none_panics(thread::all().map(|t| (t.designation().to_owned(), t)), |thread| {
        let _ = (thread.lead(), thread.included_angle(), Form::of(thread), Basic::of(thread));
        let _ = (Engagement::of(thread), default_length(Some(thread)));
        for standard in [Standard::Iso965, Standard::AsmeB11, Standard::Iso228] {
            for class in standard.classes(true).iter().chain(standard.classes(false)).step_by(5) {
                let _ = Limits::of(thread, *class);
            }
        }
    });
}

#[test]
fn gears_by_caliper_and_in_mesh() {
    let mm = |n, d| Ratio::new(n, d).map(Length::from_mm).unwrap();
    let outsides: Vec<Outside> = [(1, 1), (5000, 1), ((1 << 59) - 1, (1 << 55) + 1)]
        .into_iter()
        .filter_map(|(n, d)| Outside::new(mm(n, d)).ok())
        .collect();
    assert_eq!(outsides.len(), 3);
    none_panics(named(gears()), |gear| {
        let _ = (involute::undercut_limit(gear.angle), involute::is_undercut(gear));
        if let Some(size) = gear.size {
            let _ = (size.pitch_diameter(gear.teeth), size.outside_diameter(gear.teeth));
            let _ = size.root_diameter(gear.teeth);
            for other in caliper::sizes() {
                let _ = caliper::look_alike(&size, &other);
            }
            for (outside, over) in
                outsides.iter().flat_map(|o| [(*o, MeasuredOver::Tips), (*o, MeasuredOver::Circle)])
            {
                let _ = over.reading(&size, gear.teeth);
                let _ = caliper::check(gear.teeth, size, outside, over)
                    .map(|c| (c.contradicts(), c.likely().count()));
                let _ = caliper::identify(gear.teeth, outside, over)
                    .map(|found| (found.turned_by_mm(), found.is_sure()));
            }
        }
    });
    none_panics(pairs(&gears()), |(a, b)| {
        let Ok(pair) = Pair::new(*a, *b) else { return };
        let mut all = vec![pair];
        all.extend(lengths().into_iter().filter_map(|centres| pair.with_centres(centres).ok()));
        for pair in all {
            let _ = (pair.ratio(), pair.working_angle(), pair.path_of_contact(), pair.backlash());
            let _ = (pair.contact_ratio(), pair.interferes(), pair.centres());
        }
    });
}

#[test]
fn figures_of_a_chart() {
    none_panics(pairs(&ratios()), |(a, b)| {
        let interval = Interval::new(*a, *b).unwrap_or(Interval::exactly(*a));
        let _ = (Interval::about(*a, *b), Interval::give_or_take(*a, *b), interval.recip());
        let _ = (interval.times(b), interval.over(b), interval.holds(b));
        let other = Interval::exactly(*b);
        let _ = (interval.quotient(&other), interval.meet(&other));
        let _ = sweep(&[interval, other, interval]);
    });
    assert!(sweep(&[]).is_empty());
    none_panics(named(leads()), |lead| {
        for unit in [Unit::Mm, Unit::Inch, Unit::Tpi, Unit::Module, Unit::Dp] {
            for text in ["1", "0.0001", "1/17592186044415", "100", "8.000"] {
                for travel in [Travel::Thread, Travel::CrossFeed] {
                    let Ok(printed) = Printed::new(text, unit, travel) else { continue };
                    for starts in [0, 1, 99, 100, 255] {
                        let Ok(printed) = printed.clone().with_starts(starts) else { continue };
                        let _ = (printed.value_of(lead), right(&printed, lead), printed.digits());
                        let _ = printed.clone().with_rounded(true).map(|p| p.digits());
                        for by in few_ratios() {
                            let _ = printed.allows(&by);
                        }
                    }
                }
            }
        }
    });
}
