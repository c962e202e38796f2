//! Does the program keep to what a person and a script may rely on: exit codes, streams, files,
//! colour, messages?

use crate::util::{Run, fresh, names, program, run, run_in, run_with};
use serde::Deserialize;
use std::path::Path;
use std::process::Stdio;

/// Eight gears on an 8 TPI screw: quick, and independent of the demo lathes.
const BOX: [&str; 4] = ["--gears", "20,25,30,40,50,55,60,127", "--screw", "8tpi"];

fn boxed<'a>(args: &[&'a str]) -> Vec<&'a str> {
    args.iter().copied().chain(BOX).collect()
}

#[test]
fn help_that_is_asked_for_is_an_answer() {
    for args in [&["-h"][..], &["--help"], &["help"], &["help", "find"], &["find", "-h"]] {
        let Run { code, out, err } = run(args);
        assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
        assert!(out.contains("trainwright find M10"), "{args:?}: {out}");
    }
}

#[test]
fn a_bare_call_shows_the_help_on_stderr() {
    let Run { code, out, err } = run(&[]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("trainwright lathe new"), "{err}");
}

#[test]
fn the_version_is_one_line() {
    for flag in ["-V", "--version"] {
        let Run { code, out, err } = run(&[flag]);
        let wanted = format!("trainwright {}\n", env!("CARGO_PKG_VERSION"));
        assert_eq!((code, out, err), (0, wanted, String::new()));
    }
}

/// 30 lines of 80 columns are a screen: what is longer is asked for with `--long`.
#[test]
fn short_pages_fit_a_screen() {
    let seven = ["table", "M4", "M5", "M6", "M8", "M10", "M12", "M16"];
    for lathe in ["dinghy", "ketch", "tug"] {
        let pages = [&seven[..], &["reach"], &["reach", "--feeds"], &["check", "dinghy-chart"]];
        for page in pages {
            let out = run(&[page, &["--lathe", lathe][..]].concat()).out;
            assert!(out.lines().count() <= 30, "{page:?} {lathe}: {}", out.lines().count());
            assert!(out.contains("--long"), "{page:?} {lathe}: {out}");
        }
    }
    let out = run(&["buy", "M2", "M3", "40 tpi", "3.5 mm", "0.4 mm", "--lathe", "dinghy"]).out;
    assert!(out.contains("--long") && out.lines().count() <= 30, "{out}");
}

/// All commands, the program itself first, as the words before `--help`: those of `SYNOPSIS` and of the
/// lists of sub-commands in the manual.
fn commands(above: &[String]) -> Vec<Vec<String>> {
    let words: Vec<&str> = above.iter().map(String::as_str).collect();
    let page = run(&[&["man"], &words[..]].concat()).out;
    let whole = ["trainwright"].iter().chain(&words).copied().collect::<Vec<_>>().join("\\-");
    let below = page.lines().filter_map(|line| line.strip_prefix(&format!("{whole}\\-")));
    let name = |rest: &str| rest.strip_suffix("(1)").map(str::to_owned);
    let names = below.filter_map(name).filter(|name| name != "help");
    let below = names.flat_map(|name| commands(&[above, &[name]].concat()));
    std::iter::once(above.to_vec()).chain(below).collect()
}

/// Charts with faults, a lathe of which too little is known, a list of which the demo lathe can't cut
/// all: their right answer is a no.
fn help_says_no(example: &str) -> bool {
    let charts = example.ends_with("check dinghy-chart --lathe dinghy");
    let lists =
        ["learn skiff-chart", "table --common", "book --output lathe.html", "book --lathe tug"];
    charts || lists.iter().any(|list| example.contains(list))
}

#[test]
fn every_example_of_the_help_runs() {
    let mut ran = 0;
    for words in commands(&[]) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let help = run(&[&words[..], &["--help"]].concat()).out;
        let shows = words.is_empty() || help.contains("\n  trainwright ");
        assert!(shows, "{words:?} shows no example");
        let examples = help.lines().filter(|line| line.starts_with("  trainwright "));
        for example in examples {
            // What follows after a wide gap explains the example.
            let typed = example.trim().split("      ").next().unwrap_or_default();
            let folder = fresh();
            // The list that some of them name.
            std::fs::write(folder.path().join("jobs.txt"), "M10\n11 1/2 tpi\n").unwrap();
            // It answers until Ctrl-C; what it shares needs a network.
            let serves = typed.starts_with("trainwright serve");
            if serves && typed.contains("--share") {
                continue;
            }
            if serves || typed.contains("--done") || typed.contains("lathe now") {
                let demo = include_str!("../gearsets/dinghy.lathe.json");
                std::fs::write(folder.path().join("lathe.json"), demo).unwrap();
            }
            let typed = if serves {
                let until = "timeout --preserve-status -s INT 3 env --default-signal=INT";
                format!("{until} {typed} --no-open --port 0")
            } else {
                typed.to_owned()
            };
            let path = Path::new(env!("CARGO_BIN_EXE_trainwright")).parent().unwrap();
            let shell = std::process::Command::new("sh")
                .args(["-c", &format!("PATH=\"{}:$PATH\"; {typed}", path.display())])
                .stdin(Stdio::null())
                .current_dir(folder.path())
                .env("XDG_CONFIG_HOME", folder.path())
                .env_remove("TRAINWRIGHT_LATHE")
                .output()
                .unwrap();
            let no = help_says_no(&typed);
            assert_eq!(shell.status.code(), Some(no.into()), "{example}");
            ran += 1;
        }
    }
    assert!(ran >= 40, "only {ran} examples were found");
}

#[test]
fn answered_is_0_and_no_is_1() {
    assert_eq!(run(&boxed(&["find", "1.25 mm"])).code, 0);
    let no = run(&boxed(&["find", "1.37 mm", "--within", "1ppm"]));
    assert_eq!(no.code, 1);
    assert!(no.out.contains("No: nothing within 1 ppm. The nearest:"), "{}", no.out);
    // One answered target does not hide one that is not.
    assert_eq!(run(&boxed(&["find", "1.25 mm", "1.37 mm", "--within", "1ppm"])).code, 1);
    assert_eq!(run(&["threads", "19 tpi"]).code, 0);
}

#[test]
fn bad_words_get_one_error_and_exit_code_2() {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Table {
        case: Vec<Case>,
    }
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Case {
        args: Vec<String>,
        stderr: String,
    }
    let table: Table = toml::from_str(include_str!("data/bad_words.toml")).unwrap();
    assert!(table.case.len() >= 40, "{} cases", table.case.len());
    for Case { args, stderr } in table.case {
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let folder = fresh();
        let Run { code, out, err } = run_in(folder.path(), &args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert_eq!(err, stderr, "{args:?}");
        assert!(names(folder.path()).is_empty(), "{args:?} wrote a file");
    }
}

#[test]
fn a_very_long_word_is_shown_cut() {
    let Run { code, err, .. } = run(&["find", &"M".repeat(10_000)]);
    assert_eq!(code, 2);
    assert!(err.len() < 500 && err.contains("..."), "{err}");
}

#[test]
fn answers_go_to_stdout_and_asides_to_stderr() {
    let Run { code, out, err } = run(&["find", "M10", "--format", "json"]);
    assert_eq!(code, 0);
    assert!(serde_json::from_str::<serde_json::Value>(&out).is_ok());
    assert!(err.contains("Demo lathe"), "{err}");
    assert_eq!(run(&["find", "M10", "--format", "json", "-q"]).err, "");
    // What is for reading says it in the answer, once.
    for form in ["text", "markdown"] {
        let read = run(&["find", "M10", "--format", form]);
        assert_eq!((read.out.matches("Demo lathe").count(), read.err.as_str()), (1, ""), "{form}");
    }
}

#[test]
fn verbose_explains_on_stderr_and_leaves_the_answer_alone() {
    let (plain, verbose) = (run(&boxed(&["find", "M10"])), run(&boxed(&["find", "M10", "-v"])));
    assert_eq!(plain.out, verbose.out);
    assert!(verbose.err.contains("M10: ") && verbose.err.contains("choices of gears"));
    assert_eq!(run(&boxed(&["-v", "find", "M10"])), verbose);
}

#[test]
fn a_file_is_written_whole_and_by_its_ending() {
    let folder = fresh();
    for (name, start) in
        [("a.json", "{\n"), ("a.csv", "target_text,"), ("a.md", "Lathe"), ("a", "Lathe")]
    {
        let args = boxed(&["find", "M10", "-o", name]);
        let Run { code, out, err } = run_in(folder.path(), &args);
        assert_eq!((code, out.as_str(), err.as_str()), (0, "", ""), "{name}");
        let text = std::fs::read_to_string(folder.path().join(name)).unwrap();
        assert!(text.starts_with(start), "{name}: {text}");
    }
    assert_eq!(names(folder.path()), ["a", "a.csv", "a.json", "a.md"]);
}

#[test]
fn a_dash_is_the_standard_output() {
    let args = boxed(&["find", "M10", "-o", "-"]);
    assert_eq!(run(&args), run(&boxed(&["find", "M10"])));
}

#[test]
fn a_file_that_exists_is_kept_unless_forced() {
    let folder = fresh();
    let path = folder.path().join("kept.txt");
    std::fs::write(&path, "mine").unwrap();
    let refused = run_in(folder.path(), &boxed(&["find", "M10", "-o", "kept.txt"]));
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(refused.err.contains("kept.txt exists") && refused.err.contains("--force"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
    // Bad input leaves it too, even when forced.
    let bad = run_in(folder.path(), &["find", "M10x1.3", "-o", "kept.txt", "--force"]);
    assert_eq!((bad.code, std::fs::read_to_string(&path).unwrap().as_str()), (2, "mine"));
    let forced = run_in(folder.path(), &boxed(&["find", "M10", "-o", "kept.txt", "--force"]));
    assert_eq!(forced.code, 0);
    assert!(std::fs::read_to_string(&path).unwrap().starts_with("Lathe"));
    assert_eq!(names(folder.path()), ["kept.txt"]);
}

#[test]
fn what_can_not_be_written_is_74_and_leaves_nothing() {
    let folder = fresh();
    let missing = run_in(folder.path(), &boxed(&["find", "M10", "-o", "no/such.csv"]));
    assert_eq!(missing.code, 74);
    assert_eq!(missing.err, "trainwright: no/such.csv: its folder is not there\n");
    let is_folder = run_in(folder.path(), &boxed(&["find", "M10", "-o", ".", "--force"]));
    assert_eq!((is_folder.code, is_folder.err.as_str()), (74, "trainwright: .: is a folder\n"));
    assert!(names(folder.path()).is_empty());
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_74() {
    let folder = fresh();
    for args in [&["find", "M10"][..], &["--help"]] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let run = program(folder.path(), args).stdout(full).output().unwrap();
        let err = String::from_utf8(run.stderr).unwrap();
        assert_eq!(run.status.code(), Some(74), "{args:?}: {err}");
        assert!(err.starts_with("trainwright: standard output: "), "{err}");
    }
}

#[test]
fn a_closed_pipe_is_quiet() {
    let folder = fresh();
    let mut child = program(folder.path(), &["find", "M10", "M12", "--all"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let run: Run = child.wait_with_output().unwrap().into();
    assert_eq!((run.code, run.err.as_str()), (0, ""));
}

/// A shell that puts a command in the background may let it ignore the interrupt key, and with it all
/// that the command starts.
#[cfg(unix)]
fn interrupts_are_ignored() -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|m| u64::from_str_radix(m.trim(), 16).ok()).is_some_and(|m| m & 2 != 0)
}

#[cfg(unix)]
#[test]
fn an_interrupt_ends_it_by_the_signal() {
    use std::os::unix::process::ExitStatusExt;
    if interrupts_are_ignored() {
        return;
    }
    let folder = fresh();
    // It waits for a lathe on its standard input, which stays open.
    let mut child = program(folder.path(), &["find", "M10", "--lathe", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let kill = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(kill.unwrap().success());
    let _open = child.stdin.take();
    // A shell reports a death by signal 2 as 128 + 2.
    assert_eq!(child.wait().unwrap().signal(), Some(2));
}

#[test]
fn colour_is_for_terminals_and_on_request() {
    let coloured = |run: Run| run.out.contains('\u{1b}');
    let args = boxed(&["find", "M10"]);
    assert!(!coloured(run(&args)));
    assert!(coloured(run(&boxed(&["find", "M10", "--color", "always"]))));
    assert!(coloured(run_with(&[("CLICOLOR_FORCE", "1")], &args)));
    assert!(!coloured(run_with(&[("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")], &args)));
    let never = boxed(&["find", "M10", "--color", "never"]);
    assert!(!coloured(run_with(&[("CLICOLOR_FORCE", "1")], &never)));
    // Without the colour the words are the same.
    let strip = |text: &str| anstream::adapter::strip_str(text).to_string();
    let forced = run(&boxed(&["find", "M10", "--color", "always"]));
    assert_eq!(strip(&forced.out), run(&args).out);
}

#[test]
fn a_file_is_never_coloured() {
    let folder = fresh();
    let args = boxed(&["find", "M10", "--color", "always", "-o", "a.txt"]);
    assert_eq!(run_in(folder.path(), &args).code, 0);
    assert!(!std::fs::read_to_string(folder.path().join("a.txt")).unwrap().contains('\u{1b}'));
}

#[test]
fn the_same_question_gets_the_same_bytes() {
    for args in
        [&["find", "M10", "module 1", "19 tpi", "0.1 mm/rev"][..], &["find", "M10", "--all"]]
    {
        let threads = |n| [("RAYON_NUM_THREADS", n)];
        let first = run_with(&threads("1"), args);
        assert_eq!(first, run_with(&threads("2"), args));
    }
}

#[test]
fn text_keeps_to_80_columns() {
    let questions: [&[&str]; 10] = [
        &["find", "1.25 mm", "M10", "11 1/2 tpi", "module 1", "0.1 mm/rev"],
        &["find", "M10", "0.1 mm/rev", "--lathe", "tug"],
        &["find", "Tr 40x14 (P7) LH", "2BA", "--lathe", "ketch", "-n", "20"],
        &["find", "1.25 mm", "--gears", "20,25,30,35,40,45,50,55,60,65", "--screw", "8tpi"],
        &["threads", "m10"],
        &["threads", "tr"],
        &["gear", "399", "--outside", "4999.99 mm"],
        &["gear", "399", "--outside", "1000/3 mm", "--pitch", "16.123 DP"],
        &["gear", "13", "399", "400", "--pitch", "7/3 DP", "--angle", "14.5"],
        &["gear", "--lathe", "tug"],
    ];
    for args in questions {
        for line in run(args).out.lines() {
            let width = unicode_width::UnicodeWidthStr::width(line);
            assert!(width <= 80, "{args:?}, {width} columns: {line}");
        }
    }
}

#[test]
fn a_pipe_is_as_wide_as_columns_says_else_80() {
    let ask = ["find", "M10", "--lathe", "tug"];
    let widest = |run: Run| {
        let width = |line: &str| unicode_width::UnicodeWidthStr::width(line);
        run.out.lines().map(width).max().unwrap()
    };
    let narrow = run_with(&[("COLUMNS", "40")], &ask);
    assert!(widest(narrow) <= 40);
    let usual = run(&ask);
    for nothing in ["", "0", "wide"] {
        assert_eq!(run_with(&[("COLUMNS", nothing)], &ask), usual, "{nothing:?}");
    }
    assert!((70..=80).contains(&widest(usual)));
    // A file is never narrow.
    let folder = fresh();
    let file = [&ask[..], &["-o", "a.txt"]].concat();
    let run = program(folder.path(), &file).env("COLUMNS", "40").output().unwrap();
    assert!(run.status.success());
    let text = std::fs::read_to_string(folder.path().join("a.txt")).unwrap();
    assert!(text.lines().any(|line| line.chars().count() > 70));
}

#[cfg(target_os = "linux")]
#[test]
fn a_narrow_terminal_is_kept_by_every_command() {
    let folder = fresh();
    let questions: [&[&str]; 12] = [
        &["find", "M10"],
        &["find", "M10", "0.1 mm/rev", "--lathe", "tug"],
        &["find", "M10", "--train", "48-64+63-80"],
        &["card", "M10"],
        &["threads"],
        &["threads", "m10"],
        &["gear", "--lathe", "tug"],
        &["check", "dinghy-chart", "--lathe", "dinghy"],
        &["learn", "skiff-chart"],
        &["sets"],
        &["lathe", "show", "--lathe", "tug"],
        &["lathe", "check", "tug"],
    ];
    for args in questions {
        let (shown, _) = crate::util::on_terminal(folder.path(), 40, args, "");
        assert!(shown.lines().count() > 3, "{args:?}: {shown}");
        for line in shown.lines() {
            let width = unicode_width::UnicodeWidthStr::width(line);
            assert!(width <= 40, "{args:?}, {width} columns: {line}");
        }
    }
}

#[cfg(unix)]
#[test]
fn names_of_files_need_not_be_utf_8() {
    use std::ffi::{OsStr, OsString};
    use std::os::unix::ffi::OsStrExt;
    let folder = fresh();
    let name = |bytes: &[u8]| OsStr::from_bytes(bytes).to_owned();
    let shipped = |file: &str, to: &OsString| {
        std::fs::copy(Path::new("gearsets").join(file), folder.path().join(to)).unwrap();
    };
    let (lathe, gears) = (name(b"l\xe4the.json"), name(b"g\xe4rs.json"));
    let (chart, out) = (name(b"ch\xe4rt.csv"), name(b"\xf6ut.csv"));
    shipped("dinghy.lathe.json", &lathe);
    shipped("fives-20-100.gears.json", &gears);
    shipped("dinghy.chart.csv", &chart);
    let run = |words: &[&OsStr]| -> (Option<i32>, String) {
        let run = program(folder.path(), &[]).args(words).output().unwrap();
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    let word = OsStr::new;
    let find = |more: &[&OsStr]| run(&[&[word("find"), word("M10")], more].concat());
    assert_eq!(find(&[word("--gears"), &gears, word("--screw"), word("3mm")]).0, Some(0));
    let found = find(&[word("--lathe"), &lathe, word("-o"), &out]);
    assert_eq!(found, (Some(0), String::new()));
    assert!(folder.path().join(&out).exists());
    assert_eq!(run(&[word("lathe"), word("check"), &lathe]).0, Some(0));
    assert_eq!(run(&[word("check"), &chart, word("--lathe"), &lathe]).0, Some(1));
    assert_eq!(run(&[word("gear"), word("--gears"), &gears]).0, Some(0));
    // The variable too; and what is not there is named as well as it can be.
    let mut variable = program(folder.path(), &["find", "M10"]);
    assert!(variable.env("TRAINWRIGHT_LATHE", &lathe).output().unwrap().status.success());
    let (code, err) = run(&[word("lathe"), word("check"), &name(b"n\xf6.json")]);
    assert_eq!(code, Some(2));
    assert!(err.contains("n\u{fffd}.json: there is no such file"), "{err}");
}

#[test]
fn a_file_of_no_known_ending_is_refused_before_any_work() {
    let folder = fresh();
    let refused = run_in(folder.path(), &boxed(&["find", "M10", "-o", "a.xyz"]));
    assert_eq!(
        (refused.code, refused.err.as_str()),
        (
            2,
            "trainwright: --output a.xyz: no form of the answer ends so\n\
             try: one of .txt .json .csv .md .html .svg, or --format beside it\n"
        )
    );
    assert!(names(folder.path()).is_empty());
    let told = run_in(folder.path(), &boxed(&["find", "M10", "-o", "a.log", "-f", "text"]));
    assert_eq!(told.code, 0, "{}", told.err);
    // Scripts and manual pages have endings of their own.
    assert_eq!(run_in(folder.path(), &["man", "-o", "trainwright.1"]).code, 0);
}

/// No file may grow past one block (`ulimit -f`), as on a disk that fills up half-way: nothing is left
/// of a new file, and all of an old one.
#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_leaves_no_half_file() {
    let folder = fresh();
    let write = |name: &str, more: &[&str]| -> Run {
        let find = ["find", "M10", "-f", "json", "-o", name, "--force"];
        let mut shell = std::process::Command::new("sh");
        // Ignored, the signal becomes an error of the write.
        shell.args(["-c", "trap '' XFSZ; ulimit -f 1; exec \"$0\" \"$@\""]);
        shell.arg(env!("CARGO_BIN_EXE_trainwright")).args(find).args(more);
        shell.current_dir(folder.path()).env("XDG_CONFIG_HOME", folder.path());
        shell.env_remove("TRAINWRIGHT_LATHE").output().unwrap().into()
    };
    std::fs::write(folder.path().join("old.json"), "mine").unwrap();
    for (name, more) in
        [("new.json", &[][..]), ("old.json", &[]), ("b.json", &["--drawing", "c.svg"])]
    {
        let Run { code, out, err } = write(name, more);
        assert_eq!((code, out.as_str()), (74, ""), "{name}: {err}");
        let said: Vec<&str> =
            err.lines().filter(|line| !line.starts_with("Demo lathe: ")).collect();
        assert!(said.len() == 1 && said[0].ends_with(": file too large"), "{name}: {err}");
        assert_eq!(names(folder.path()), ["old.json"], "{name}");
    }
    assert_eq!(std::fs::read_to_string(folder.path().join("old.json")).unwrap(), "mine");
}

#[cfg(unix)]
#[test]
fn force_writes_over_plain_files_alone_and_keeps_what_they_are() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = fresh();
    let at = |name: &str| folder.path().join(name);
    let find = |file: &str| run_in(folder.path(), &["find", "M10", "--force", "-o", file]);
    std::fs::write(at("own.txt"), "old").unwrap();
    std::fs::set_permissions(at("own.txt"), PermissionsExt::from_mode(0o600)).unwrap();
    symlink("own.txt", at("link.txt")).unwrap();
    assert_eq!(find("link.txt").code, 0);
    assert!(at("link.txt").is_symlink());
    assert!(std::fs::read_to_string(at("own.txt")).unwrap().contains("M10"));
    assert_eq!(at("own.txt").metadata().unwrap().permissions().mode() & 0o777, 0o600);
    // What may not be written, and what is no file.
    std::fs::write(at("fixed.txt"), "old").unwrap();
    std::fs::set_permissions(at("fixed.txt"), PermissionsExt::from_mode(0o444)).unwrap();
    std::fs::create_dir(at("sub.txt")).unwrap();
    let made = std::process::Command::new("mkfifo").arg(at("pipe.txt")).status();
    assert!(made.unwrap().success());
    for (file, why) in [
        ("fixed.txt", "fixed.txt: may not be written"),
        ("sub.txt", "sub.txt: is a folder"),
        ("pipe.txt", "pipe.txt: is no plain file; - is the standard output"),
        ("/dev/null", "/dev/null: is no plain file; - is the standard output"),
    ] {
        let run = run_in(folder.path(), &["find", "M10", "--force", "-f", "text", "-o", file]);
        assert_eq!((run.code, run.err), (74, format!("trainwright: {why}\n")), "{file}");
    }
    assert_eq!(std::fs::read_to_string(at("fixed.txt")).unwrap(), "old");
}

#[test]
fn what_is_read_is_not_written_over() {
    let folder = fresh();
    let at = |name: &str| folder.path().join(name);
    let lathe = include_str!("../gearsets/dinghy.lathe.json");
    let chart = "thread,train\n10 tpi,40-*-40\n";
    for (name, text) in [("mine.json", lathe), ("list.txt", "M10\n"), ("chart.csv", chart)] {
        std::fs::write(at(name), text).unwrap();
    }
    std::fs::create_dir(at("sub")).unwrap();
    for args in [
        &["find", "M10", "--lathe", "mine.json", "-o", "sub/../mine.json"][..],
        &["find", "M10", "--lathe", "mine.json", "--drawing", "./mine.json"],
        &["table", "--list", "list.txt", "-o", "./list.txt"],
        &["check", "chart.csv", "--lathe", "dinghy", "-o", "sub/../chart.csv"],
    ] {
        let run = run_in(folder.path(), &[args, &["--force"]].concat());
        assert_eq!(run.code, 2, "{args:?}: {}", run.err);
        assert!(run.err.contains(": it is read too, as "), "{args:?}: {}", run.err);
    }
    assert_eq!(std::fs::read_to_string(at("mine.json")).unwrap(), lathe);
    // One file by two spellings, for the answer and the picture.
    let both = ["find", "M10", "-o", "x.svg", "--drawing", "sub/../x.svg"];
    let run = run_in(folder.path(), &both);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("the answer goes there"), "{}", run.err);
}

#[test]
fn of_two_outputs_both_are_written_or_none() {
    let folder = fresh();
    let args = ["find", "M10", "-o", "nowhere/x.txt", "--drawing", "x.svg"];
    let run = run_in(folder.path(), &args);
    assert_eq!(run.code, 74, "{}", run.err);
    assert_eq!(names(folder.path()), Vec::<String>::new());
    let args = ["find", "M10", "-o", "x.txt", "--drawing", "nowhere/x.svg"];
    assert_eq!(run_in(folder.path(), &args).code, 74);
    assert_eq!(names(folder.path()), Vec::<String>::new());
    let args = ["find", "M10", "-o", "x.txt", "--drawing", "x.svg"];
    assert_eq!(run_in(folder.path(), &args).code, 0);
    assert_eq!(names(folder.path()), ["x.svg", "x.txt"]);
}

#[test]
fn no_name_reaches_a_terminal_or_a_spreadsheet_as_more_than_words() {
    let folder = fresh();
    let name = "=A\u{202e}B\u{200b}C\u{1b}[31mD";
    let file = serde_json::json!({
        "format": 1, "name": name, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"},
        "gears": {"owned": [40, 80]},
        "gearbox": {"levers": [{"name": "=L", "positions": {"\u{202e}x": "1"}}]},
    });
    std::fs::write(folder.path().join("lathe.json"), file.to_string()).unwrap();
    for form in ["text", "markdown", "csv", "html", "svg"] {
        for command in [&["find", "8 tpi"][..], &["lathe", "show"], &["sets"]] {
            if form == "svg" && command[0] != "find" {
                continue;
            }
            let run = run_in(folder.path(), &[command, &["-f", form]].concat());
            let unseen = ['\u{202e}', '\u{200b}', '\u{1b}'];
            assert!(!run.out.contains(unseen) && !run.err.contains(unseen), "{form} {command:?}");
        }
    }
    let run = run_in(folder.path(), &["lathe", "show", "-f", "csv"]);
    let mut rows = ::csv::Reader::from_reader(run.out.as_bytes());
    for row in rows.records() {
        let row = row.unwrap();
        assert!(row.iter().all(|cell| !cell.starts_with('=')), "{row:?}");
    }
    // In an error too.
    let wrong = file.to_string().replace("8 tpi", "8 \u{202e}tpi");
    std::fs::write(folder.path().join("lathe.json"), wrong).unwrap();
    let run = run_in(folder.path(), &["find", "8 tpi"]);
    assert!(run.code == 2 && !run.err.contains('\u{202e}'), "{}", run.err);
}
