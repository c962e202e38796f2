//! Does every shipped file load, keep to its schema, and do the schemas say what is read?
//!
//! `UPDATE_SCHEMAS=1 cargo test schemas` writes the schemas anew.

use crate::input::{self, FileKind, LATHES, Origin, SETS, Surroundings};
use serde_json::Value;
use solver::{End, Hand, Lead, Ratio, Speeds, Teeth, Travel, Turns};
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("gearsets")
}

fn schema(kind: FileKind) -> Value {
    serde_json::to_value(input::schema(kind)).unwrap()
}

/// What breaks the schema, first of all.
fn against(kind: FileKind, text: &str) -> Result<(), String> {
    let file: Value = serde_json::from_str(text).map_err(|e| e.to_string())?;
    jsonschema::validate(&schema(kind), &file).map_err(|e| format!("{}: {e}", e.instance_path()))
}

#[test]
fn schemas_are_those_of_the_structs() {
    for (kind, name) in [(FileKind::Lathe, "lathe"), (FileKind::Gears, "gears")] {
        let path = folder().join(format!("{name}.schema.json"));
        let made = input::schema_text(kind);
        if std::env::var_os("UPDATE_SCHEMAS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        let kept = std::fs::read_to_string(&path).unwrap();
        assert!(kept == made, "{} is out of date: UPDATE_SCHEMAS=1", path.display());
    }
}

#[test]
fn every_shipped_set_loads_and_keeps_to_the_schema() {
    assert!(SETS.len() >= 6);
    for set in SETS {
        let open = input::gear_set(set.name).unwrap();
        assert!(!open.name.is_empty() && !open.note.is_empty(), "{}", set.name);
        assert_eq!(against(FileKind::Gears, set.text), Ok(()), "{}", set.name);
    }
}

#[test]
fn every_demo_lathe_loads_and_keeps_to_the_schema() {
    assert_eq!(LATHES.len(), 3);
    for lathe in LATHES {
        let open = input::lathe(lathe.name).unwrap();
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
    around.variable = Some(folder.path().join("v.json").display().to_string());
    assert_eq!(found(&around, None), ("variable".into(), Origin::Variable));
    assert_eq!(found(&around, Some("ketch")).1, Origin::Asked);
}

#[test]
fn a_bad_variable_is_named() {
    let around = Surroundings { variable: Some("ketsch".into()), ..Surroundings::default() };
    let said = around.lathe(None).map(drop).unwrap_err().to_string();
    assert_eq!(
        said,
        "TRAINWRIGHT_LATHE: ketsch: neither a file nor a built-in lathe; did you mean `ketch`?"
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
    let open = || input::lathe(&at("lathe.json").display().to_string());
    assert_eq!(open().unwrap().lathe.parts().gears.total(), 3);
    std::fs::write(at("tin.json"), gears.replace("20", "2")).unwrap();
    let said = open().map(drop).unwrap_err().to_string();
    assert!(said.ends_with("tin.json:1:50: gears.owned[0]: teeth: 2 is not in 5..=400"), "{said}");
}

#[test]
fn a_key_is_located_for_what_turns_out_wrong_later() {
    let text = "{\"format\": 1, \"lead_screw\": {\"lead\": \"unknown\"},\n \"headstock\": {\"ratio\": \"unknown\"}, \"gears\": \"fives-20-100\"}";
    let open = input::lathe_of_text("mine.json", text).unwrap();
    let error = open.lathe.settings(solver::Travel::Thread).unwrap_err();
    assert_eq!(open.locate(error.path().unwrap()), "mine.json:1:38");
    assert_eq!(open.locate("headstock.ratio"), "mine.json:2:25");
    assert_eq!(open.locate("gearbox"), "mine.json:1:1");
}

/// Every key of the lathe file, read as it is meant.
#[test]
fn a_full_file_is_read_as_it_is_meant() {
    let text = include_str!("data/full.lathe.json");
    assert_eq!(against(FileKind::Lathe, text), Ok(()));
    let lathe = input::lathe_of_text("full", text).unwrap().lathe;
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
    assert!(!parts.half_nut && !parts.reverse);
    assert_eq!(parts.dials[0].labels, ["1", "", "3", ""]);
    assert_eq!(parts.speeds, Some(Speeds::Range(60..=1500)));
}

/// What is left out, and what `null` and the screw constant stand for.
#[test]
fn a_short_file_has_the_usual_values() {
    let text =
        r#"{"format": 1, "screw_constant": "16 tpi", "gears": "fives-20-100", "dial": null}"#;
    assert_eq!(against(FileKind::Lathe, text), Ok(()));
    let lathe = input::lathe_of_text("short", text).unwrap().lathe;
    let parts = lathe.parts();
    assert_eq!(parts.screw_constant, Some(Lead::from_tpi("16".parse().unwrap()).unwrap()));
    assert_eq!((parts.lead_screw.lead, parts.lead_screw.hand), (None, Hand::Right));
    assert_eq!((parts.headstock.len(), parts.headstock[0].turns), (1, Turns::Unknown));
    assert_eq!((parts.studs, parts.studs_stated, parts.sleeves), (1, false, None));
    assert_eq!((&parts.ends.first, &parts.ends.last), (&End::Any, &End::Any));
    assert!(parts.half_nut && parts.reverse && parts.dials.is_empty() && parts.speeds.is_none());
    let setting = &lathe.settings(Travel::Thread).unwrap().list[0];
    assert_eq!(setting.constant, parts.screw_constant.unwrap());
}
