//! Do completions, manual pages and `config` say what the program does?

use crate::util::{Run, fresh, program, run, run_in};
use std::io::Write;
use std::process::{Command, Stdio};

/// Every command, from the completion script of the fish shell.
fn commands() -> Vec<String> {
    let script = run(&["completions", "fish"]).out;
    let offered = script.lines().filter(|line| line.contains("__fish_trainwright_needs_command"));
    let name = |line: &str| Some(line.split(" -f -a \"").nth(1)?.split('"').next()?.to_owned());
    offered.filter(|line| !line.contains(" -l ")).filter_map(name).collect()
}

#[test]
fn every_shell_completes_every_command() {
    let commands = commands();
    assert!(commands.len() > 8, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let Run { code, out, err } = run(&["completions", shell]);
        assert_eq!((code, err.as_str()), (0, ""), "{shell}");
        for command in &commands {
            assert!(out.contains(command.as_str()), "{shell} lacks {command}");
        }
        assert!(out.contains("no-fit"), "{shell} lacks --no-fit");
    }
}

#[test]
fn bash_can_read_its_script() {
    let script = run(&["completions", "bash"]).out;
    let mut bash = Command::new("bash").arg("-n").stdin(Stdio::piped()).spawn().unwrap();
    bash.stdin.take().unwrap().write_all(script.as_bytes()).unwrap();
    assert!(bash.wait().unwrap().success());
}

#[test]
fn the_manual_has_a_page_for_every_command() {
    let whole = run(&["man"]).out;
    for command in commands() {
        assert!(whole.contains(&format!("trainwright\\-{command}(1)")), "{command}: {whole}");
        if command == "help" {
            continue;
        }
        let Run { code, out, err } = run(&["man", &command]);
        assert_eq!((code, err.as_str()), (0, ""), "{command}");
        assert!(out.contains(&format!(".TH trainwright-{command} ")), "{command}: {out}");
    }
    assert!(run(&["man", "lathe", "check"]).out.contains("standard input"));
}

#[test]
fn a_mistyped_command_of_the_manual_is_answered_with_the_nearest() {
    let Run { code, out, err } = run(&["man", "fidn"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("`fidn`") && err.contains("`find`"), "{err}");
}

#[test]
fn config_names_the_place_that_wins() {
    let folder = fresh();
    assert!(run_in(folder.path(), &["config"]).out.contains("the program itself"));
    let tug = std::fs::read_to_string("gearsets/tug.lathe.json").unwrap();
    let configured = folder.path().join("config/trainwright");
    std::fs::create_dir_all(&configured).unwrap();
    std::fs::write(configured.join("lathe.json"), &tug).unwrap();
    let from = |text: &str| format!("from          {text}");
    let said = |args: &[&str]| run_in(folder.path(), args).out;
    assert!(said(&["config"]).contains(&from("the configuration folder")), "{}", said(&["config"]));
    std::fs::write(folder.path().join("lathe.json"), &tug).unwrap();
    assert!(said(&["config"]).contains(&from("this folder")));
    let variable = program(folder.path(), &["config"]).env("TRAINWRIGHT_LATHE", "ketch").output();
    let variable = Run::from(variable.unwrap()).out;
    assert!(variable.contains(&from("TRAINWRIGHT_LATHE")), "{variable}");
    assert!(said(&["config", "--lathe", "tug"]).contains(&from("--lathe")));
}

#[test]
fn config_tells_programs_which_place_is_in_force() {
    let folder = fresh();
    std::fs::copy("gearsets/tug.lathe.json", folder.path().join("lathe.json")).unwrap();
    let Run { code, out, .. } = run_in(folder.path(), &["config", "--format", "json"]);
    let rows: serde_json::Value = serde_json::from_str(&out).unwrap();
    let rows = rows["rows"].as_array().unwrap();
    let places: Vec<_> = rows.iter().map(|row| row["place"].as_str().unwrap()).collect();
    let all = ["--lathe", "TRAINWRIGHT_LATHE", "this folder", "configuration", "demo lathe"];
    assert_eq!((code, places), (0, all.to_vec()));
    let in_force: Vec<_> = rows.iter().filter(|row| row["in_force"] == "yes").collect();
    let [row] = in_force.as_slice() else { panic!("{out}") };
    assert_eq!((&row["place"], &row["path"]), (&"this folder".into(), &"lathe.json".into()));
    assert!(row["lathe"].as_str().unwrap().starts_with("Tug"), "{out}");
    assert_eq!(rows[3]["names_a_lathe"], "no", "{out}");
}

#[test]
fn a_variable_that_names_nothing_says_where_else_was_looked() {
    let folder = fresh();
    let run = program(folder.path(), &["find", "M10"]).env("TRAINWRIGHT_LATHE", "no.json").output();
    let Run { code, err, .. } = run.unwrap().into();
    assert_eq!(code, 2);
    for said in [
        "TRAINWRIGHT_LATHE: no.json: there is no such file",
        "--lathe (not given)",
        "lathe.json in this folder",
        "config/trainwright/lathe.json",
    ] {
        assert!(err.contains(said), "{said}: {err}");
    }
}
