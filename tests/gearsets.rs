//! Does every shipped file load, keep to its schema, and do the schemas say what is read?

use serde_json::Value;
use solver::bracket::{Fit, Geometry};
use solver::{
    Bracket, Degrees, End, FirstShaft, Gear, GearSet, Hand, HubRadii, KeepOut, Lead, Offset, Pivot,
    Ratio, Shaft, Shape, Slot, Speeds, Spot, Teeth, Train, Travel, Turns,
};
use std::path::Path;
use trainwright::files::{self, FileKind, LATHES, Origin, SETS, Surroundings};

fn schema(kind: FileKind) -> Value {
    serde_json::to_value(files::schema(kind)).unwrap()
}

/// What breaks the schema, first of all.
fn against(kind: FileKind, text: &str) -> Result<(), String> {
    let file: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
    jsonschema::validate(&schema(kind), &file).map_err(|e| format!("{}: {e}", e.instance_path()))
}

#[test]
fn every_shipped_set_loads_and_keeps_to_the_schema() {
    assert!(SETS.len() >= 6);
    for set in SETS {
        let open = files::gear_set(set.name).unwrap();
        assert!(!open.name.is_empty() && !open.note.is_empty(), "{}", set.name);
        assert_eq!(against(FileKind::Gears, set.text), Ok(()), "{}", set.name);
    }
}

#[test]
fn every_demo_lathe_loads_and_keeps_to_the_schema() {
    assert_eq!(LATHES.len(), 3);
    for lathe in LATHES {
        let open = files::lathe(lathe.name).unwrap();
        assert!(open.lathe.parts().fitted.is_some(), "{}", lathe.name);
        assert_eq!(against(FileKind::Lathe, lathe.text), Ok(()), "{}", lathe.name);
    }
}

#[test]
fn a_lathe_is_looked_for_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let configured = folder.path().join("config/trainwright");
    std::fs::create_dir_all(&configured).unwrap();
    let named = |name: &str| {
        format!(
            r#"{{"format": 1, "name": "{name}", "lead_screw": {{"lead": "3 mm"}},
                "headstock": {{"ratio": "1"}}, "gears": "fives-20-100"}}"#
        )
    };
    let write = |path: &Path, name| std::fs::write(path, named(name)).unwrap();
    let mut around = Surroundings {
        variable: None,
        folder: folder.path().to_path_buf(),
        configuration: Some(folder.path().join("config")),
    };
    let found = |around: &Surroundings, asked| {
        let (open, origin) = around.lathe(asked).unwrap();
        (open.lathe.parts().name.clone(), origin)
    };
    assert_eq!(found(&around, None).1, Origin::Demo);
    write(&configured.join("lathe.json"), "configured");
    assert_eq!(found(&around, None), ("configured".into(), Origin::Configuration));
    write(&folder.path().join("lathe.json"), "folder");
    assert_eq!(found(&around, None), ("folder".into(), Origin::Folder));
    write(&folder.path().join("v.json"), "variable");
    around.variable = Some(folder.path().join("v.json").into());
    assert_eq!(found(&around, None), ("variable".into(), Origin::Variable));
    assert_eq!(found(&around, Some("ketch".as_ref())).1, Origin::Asked);
}

#[test]
fn a_bad_variable_is_named() {
    let around = Surroundings { variable: Some("ketsch".into()), ..Surroundings::default() };
    let said = around.lathe(None).map(drop).unwrap_err().to_string();
    assert_eq!(
        said,
        "TRAINWRIGHT_LATHE: ketsch: neither a file nor a built-in lathe; did you mean `ketch`?; \
         looked at: --lathe (not given), then this variable; without it lathe.json in this folder \
         would follow"
    );
}

#[test]
fn a_lathe_file_takes_its_gears_from_the_file_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let lathe = r#"{"format": 1, "lead_screw": {"lead": "3 mm"}, "headstock": {"ratio": "1"}, "gears": "tin.json"}"#;
    std::fs::write(at("lathe.json"), lathe).unwrap();
    let gears =
        r#"{"format": 1, "name": "Tin", "gears": {"owned": [20, {"teeth": 30, "count": 2}]}}"#;
    std::fs::write(at("tin.json"), gears).unwrap();
    let open = || files::lathe(at("lathe.json"));
    assert_eq!(open().unwrap().lathe.parts().gears.total(), 3);
    std::fs::write(at("tin.json"), gears.replace("20", "2")).unwrap();
    let said = open().map(drop).unwrap_err().to_string();
    assert!(
        said.ends_with("tin.json:1:50: gears.owned[0]: teeth: 2 is outside 5 to 400"),
        "{said}"
    );
}

#[test]
fn a_key_is_located_for_what_turns_out_wrong_later() {
    let text = "{\"format\": 1, \"lead_screw\": {\"lead\": \"unknown\"},\n \"headstock\": {\"ratio\": \"unknown\"}, \"gears\": \"fives-20-100\"}";
    let open = files::lathe_of_text("mine.json", text).unwrap();
    let error = open.lathe.settings(solver::Travel::Thread).unwrap_err();
    assert_eq!(error.place(), [solver::Where::LeadScrew, solver::Where::Lead]);
    assert_eq!(open.locate("lead_screw.lead"), "mine.json:1:38");
    assert_eq!(open.locate("headstock.ratio"), "mine.json:2:25");
    assert_eq!(open.locate("gearbox"), "mine.json:1:1");
}

/// Every key of the lathe file, read as it is meant.
#[test]
fn a_full_file_is_read_as_it_is_meant() {
    let text = include_str!("data/full.lathe.json");
    assert_eq!(against(FileKind::Lathe, text), Ok(()));
    let lathe = files::lathe_of_text("full", text).unwrap().lathe;
    let parts = lathe.parts();
    assert_eq!((parts.lead_screw.hand, parts.lead_screw.starts), (Hand::Left, 2));
    assert_eq!(parts.lead_screw.lead, Some(Lead::new("6 mm".parse().unwrap())));
    let ways: Vec<_> =
        parts.headstock.iter().map(|p| (p.name.as_str(), p.ratio, p.turns)).collect();
    assert_eq!(
        ways,
        [("normal", Some(Ratio::ONE), Turns::Same), ("coarse x8", None, Turns::Opposite)]
    );
    assert_eq!(parts.tumbler, [("up".into(), Turns::Same), ("down".into(), Turns::Opposite)]);
    let gears: Vec<_> = parts.gears.loose().iter().map(|(g, n)| (g.teeth.get(), *n)).collect();
    assert_eq!(gears, [(20, 2), (25, 1), (127, 3)]);
    let odd = parts.gears.loose()[2].0;
    assert_eq!(odd.size.unwrap().to_string(), "20 DP");
    assert_eq!(odd.angle.degrees(), "14.5".parse().unwrap());
    assert!(!odd.places.first && odd.places.stud && odd.places.last);
    let joined = &parts.gears.joined()[0];
    assert_eq!((joined.count, joined.turn_round), (2, false));
    assert_eq!(joined.gears.map(|g| g.teeth.get()), [127, 120]);
    assert_eq!((parts.studs, parts.studs_stated, parts.sleeves), (2, true, Some(1)));
    assert_eq!(parts.bracket.as_ref(), Some(&full_bracket()));
    assert_eq!(parts.ends.first, End::Own(Teeth::new(40).unwrap()));
    assert_eq!(parts.ends.last, End::Owned(vec![Teeth::new(25).unwrap()]));
    let fitted = parts.fitted.as_ref().unwrap();
    assert_eq!(fitted.train, "20-80+20-80".parse().unwrap());
    assert_eq!(fitted.levers, [("Range".to_owned(), "A".to_owned()), ("Step".into(), "8".into())]);
    let range = &parts.gearbox.levers[0].positions;
    assert_eq!(
        (range[1].ratio, range[1].turns),
        (Some(Ratio::new(1, 2).unwrap()), Turns::Opposite)
    );
    assert_eq!((range[1].only, range[2].ratio), (Some(Travel::LongFeed), None));
    assert_eq!(parts.gearbox.forbidden.len(), 1);
    assert_eq!(parts.gearbox.needs_last[0].1, End::Own(Teeth::new(65).unwrap()));
    assert_eq!(parts.gearbox.combinations[0].ratio, Some(Ratio::new(16, 23).unwrap()));
    assert_eq!(parts.feeds.long, Some(Lead::new("0.5 mm".parse().unwrap())));
    assert_eq!(parts.feeds.cross, Some(Lead::new("0.01 in".parse().unwrap())));
    assert_eq!((parts.half_nut, parts.reverse), (Some(false), Some(false)));
    assert_eq!((fitted.headstock.as_deref(), fitted.tumbler.as_deref()), (None, None));
    assert_eq!(parts.dials[0].labels, ["1", "", "3", ""]);
    assert_eq!(parts.speeds, Some(Speeds::Range(60..=1500)));
}

fn mm(text: &str) -> Offset {
    text.parse().unwrap()
}

fn spot(right: &str, up: &str) -> Spot {
    Spot { right: mm(right), up: mm(up) }
}

fn straight(from: &str, to: &str, angle: &str, offset: &str) -> Slot {
    Slot::Straight { from: mm(from), to: mm(to), angle: angle.parse().unwrap(), offset: mm(offset) }
}

/// The bracket of the full file with its inches turned into mm by hand.
fn full_bracket() -> Bracket {
    let arc = Slot::Arc {
        along: mm("60 mm"),
        across: mm("-10 mm"),
        radius: "38.1 mm".parse().unwrap(),
        from: "-30".parse().unwrap(),
        to: "45".parse().unwrap(),
    };
    let pin = Shape::Circle { at: spot("40 mm", "-20 mm"), radius: "6.35 mm".parse().unwrap() };
    let seven = vec![spot("0 mm", "1 mm"), spot("2 mm", "3 mm"), spot("0 mm", "5 mm")];
    let slots = vec![
        straight("-5 mm", "69.85 mm", "22.5", "-3.175 mm"),
        straight("34 mm", "70 mm", "0", "0 mm"),
        straight("60 mm", "60 mm", "-22.5", "0 mm"),
        arc,
    ];
    let mut bracket = Bracket::of(FirstShaft::At(spot("-30 mm", "76.2 mm")), slots);
    bracket.pivot = Pivot::At(spot("20 mm", "-15 mm"));
    bracket.swing = Some(("-60".parse().unwrap(), Degrees::ZERO));
    bracket.least_stud = mm("34 mm");
    bracket.hub_radii = HubRadii { first: mm("12 mm"), stud: mm("8.89 mm"), last: mm("11 mm") };
    bracket.clearance = mm("1.5 mm");
    bracket.planes = 3;
    bracket.first_planes = vec![1];
    bracket.last_planes = vec![2, 3];
    bracket.opening = (mm("0.05 mm"), mm("0.254 mm"));
    bracket.cover =
        Some(vec![spot("-95 mm", "-55 mm"), spot("127 mm", "-55 mm"), spot("0 mm", "228.6 mm")]);
    bracket.keep_out = vec![
        KeepOut { name: "lock pin".into(), shape: pin, planes: vec![1] },
        KeepOut { name: "7".into(), shape: Shape::Polygon(seven), planes: Vec::new() },
    ];
    bracket
}

/// A lathe without studs, so that a bracket may have no slot, and its bracket.
fn with_bracket(bracket: &str) -> String {
    format!(
        r#"{{"format": 1, "lead_screw": {{"lead": "3 mm"}}, "headstock": {{"ratio": "1"}},
            "gears": "fives-20-100", "studs": 0, "banjo": {bracket}}}"#
    )
}

#[test]
fn a_short_bracket_has_the_usual_values() {
    let read = |bracket: &str| {
        let lathe = files::lathe_of_text("short", &with_bracket(bracket)).unwrap().lathe;
        lathe.parts().bracket.clone().unwrap()
    };
    let usual = r#"{"driving_shaft": "3 1/4 in", "slots": [{"from": "34 mm", "to": "70 mm"}]}"#;
    let [from, to] = ["34 mm", "70 mm"].map(|t| t.parse().unwrap());
    assert_eq!(read(usual), Bracket::plain("82.55 mm".parse().unwrap(), from, to));
    let on_first = read(r#"{"driving_shaft": "80 mm", "pivot": "driving", "slots": []}"#);
    assert_eq!((on_first.pivot, on_first.slots.len()), (Pivot::First, 0));
    assert_eq!((on_first.planes, on_first.clearance), (2, mm("1 mm")));
    let on_last = read(r#"{"driving_shaft": "80 mm", "pivot": "driven", "slots": []}"#);
    assert_eq!((on_last.pivot, on_last.swing), (Pivot::Last, None));
}

/// The schema refuses what the program refuses, as far as it can know.
#[test]
fn the_schema_knows_the_ways_to_write_a_slot() {
    let keeps_to = |slots: &str| {
        let text = with_bracket(&format!(r#"{{"driving_shaft": "80 mm", "slots": [{slots}]}}"#));
        let schema = against(FileKind::Lathe, &text).is_ok();
        assert_eq!(schema, files::lathe_of_text("slots", &text).is_ok(), "{slots}");
        schema
    };
    let arc =
        r#""arc": {"along": "60 mm", "across": "0 mm", "radius": "9 mm", "from": 0, "to": 9}"#;
    assert!(keeps_to(r#"{"from": "1 mm", "to": "9 mm", "angle": 3, "offset": "-1 mm"}"#));
    assert!(keeps_to(r#"{"at": "1 mm", "angle": "3 1/2"}"#));
    assert!(keeps_to(&format!("{{{arc}}}")));
    for bad in [
        r#"{"from": "1 mm"}"#,
        r#"{"to": "1 mm"}"#,
        r#"{"at": "1 mm", "to": "9 mm"}"#,
        r#"{"angle": 3}"#,
        r#"{"at": "1 mm", "angel": 3}"#,
        &format!("{{{arc}, \"angle\": 3}}"),
        &format!("{{{arc}, \"at\": \"9 mm\"}}"),
    ] {
        assert!(!keeps_to(bad), "{bad}");
    }
}

/// Each demo lathe cuts the everyday things with a train that stands on its bracket.
#[test]
fn everyday_trains_stand_on_the_demo_lathes() {
    // The ratio of each: see the target beside it.
    let cases = [
        ("dinghy", "24-80+63-48", "63/160", "1 mm"),
        ("dinghy", "40-76-44", "10/11", "11 tpi"),
        ("dinghy", "56-46+64-63", "256/207", "module 1"),
        ("dinghy", "24-76+56-72", "14/57", "0.1 mm/rev"),
        ("dinghy", "24-76+24-80", "9/95", "between jobs"),
        ("ketch", "20-75-60", "1/3", "1 mm"),
        ("ketch", "127-50+20-66", "127/165", "11 tpi"),
        ("ketch", "90-75+48-55", "288/275", "module 1"),
        ("ketch", "20-75+20-80+40-80", "1/30", "0.1 mm/rev"),
        ("tug", "60-127+120-60", "120/127", "1 mm"),
        ("tug", "60-70-60", "1", "11 tpi"),
        ("tug", "40-75+80-60", "32/45", "module 1"),
    ];
    for (name, text, ratio, what) in cases {
        let lathe = files::lathe(name).unwrap().lathe;
        let parts = lathe.parts();
        let train = sized(&text.parse().unwrap(), &parts.gears);
        assert_eq!(train.ratio(), ratio.parse().unwrap(), "{name}: {what}");
        let geometry = Geometry::new(parts.bracket.as_ref().unwrap(), &parts.gears).unwrap();
        let fit = geometry.fit(&train);
        assert!(matches!(fit, Fit::Fits(_)), "{name}: {what}: {text}: {:?}", fit.reasons());
    }
}

/// The train with the tooth sizes of the box.
fn sized(train: &Train, gears: &GearSet) -> Train {
    let usual = |gear: &Gear| gears.usual(gear.teeth);
    let shaft = |shaft: &Shaft| match shaft {
        Shaft::One(gear) => Shaft::One(usual(gear)),
        Shaft::Pair { driven, driver } => {
            Shaft::Pair { driven: usual(driven), driver: usual(driver) }
        }
    };
    Train::new(train.shafts().iter().map(shaft).collect()).unwrap()
}

/// What is left out, and what `null` and the screw constant stand for.
#[test]
fn a_short_file_has_the_usual_values() {
    let text =
        r#"{"format": 1, "screw_constant": "16 tpi", "gears": "fives-20-100", "dial": null}"#;
    assert_eq!(against(FileKind::Lathe, text), Ok(()));
    let lathe = files::lathe_of_text("short", text).unwrap().lathe;
    let parts = lathe.parts();
    assert_eq!(parts.screw_constant, Some(Lead::from_tpi("16".parse().unwrap()).unwrap()));
    assert_eq!((parts.lead_screw.lead, parts.lead_screw.hand), (None, Hand::Right));
    assert_eq!((parts.headstock.len(), parts.headstock[0].turns), (1, Turns::Unknown));
    assert_eq!((parts.studs, parts.studs_stated, parts.sleeves), (1, false, None));
    assert_eq!((&parts.ends.first, &parts.ends.last), (&End::Any, &End::Any));
    assert_eq!((parts.half_nut, parts.reverse), (None, None));
    assert!(parts.dials.is_empty() && parts.speeds.is_none());
    let setting = &lathe.settings(Travel::Thread).unwrap().list[0];
    assert_eq!(setting.constant, parts.screw_constant.unwrap());
}
