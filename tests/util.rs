//! Runs the program in a fresh folder, with nothing of this machine's surroundings.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::sync::{Arc, Mutex, OnceLock};
use tempfile::TempDir;

/// What a run came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl From<Output> for Run {
    fn from(output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("UTF-8 output");
        let code = output.status.code().expect("an exit code");
        Self { code, out: text(output.stdout), err: text(output.stderr) }
    }
}

/// The program, to be run in `folder`.
pub(crate) fn program(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_trainwright"));
    for variable in ["TRAINWRIGHT_LATHE", "NO_COLOR", "CLICOLOR_FORCE", "CLICOLOR", "COLUMNS"] {
        command.env_remove(variable);
    }
    command.args(args).current_dir(folder).stdin(Stdio::null());
    command.env("XDG_CONFIG_HOME", folder.join("config"));
    command
}

/// A run in a folder.
pub(crate) fn run_in(folder: &Path, args: &[&str]) -> Run {
    program(folder, args).output().expect("the program runs").into()
}

/// Runs the program and presses Ctrl-C as soon as it listens: until then that would end it as any other.
#[cfg(target_os = "linux")]
pub(crate) fn interrupted(args: &[&str]) -> Run {
    let folder = fresh();
    let mut command = program(folder.path(), args);
    let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let listens = || {
        let status = std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:")).unwrap();
        u64::from_str_radix(caught.trim(), 16).unwrap() & 2 != 0
    };
    while !listens() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let kill = Command::new("kill").args(["-INT", &child.id().to_string()]).status();
    assert!(kill.unwrap().success());
    child.wait_with_output().unwrap().into()
}

/// A run in a fresh folder. What comes of the same words is the same, so it is run once for all tests.
pub(crate) fn run(args: &[&str]) -> Run {
    static KNOWN: Mutex<BTreeMap<Vec<String>, Arc<OnceLock<Run>>>> = Mutex::new(BTreeMap::new());
    let words: Vec<String> = args.iter().map(|&word| word.to_owned()).collect();
    let known = Arc::clone(KNOWN.lock().expect("no test fails here").entry(words).or_default());
    known.get_or_init(|| run_in(fresh().path(), args)).clone()
}

/// A run in a folder, with this on its standard input; it may stop reading before the end.
pub(crate) fn piped(folder: &Path, args: &[&str], input: impl AsRef<[u8]>) -> Run {
    let mut command = program(folder, args);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the program runs");
    let _ = child.stdin.take().expect("a pipe").write_all(input.as_ref());
    child.wait_with_output().expect("it ends").into()
}

/// A run in a fresh folder, with one variable set.
pub(crate) fn run_with(variables: &[(&str, &str)], args: &[&str]) -> Run {
    let folder = fresh();
    let mut command = program(folder.path(), args);
    command.envs(variables.iter().copied()).output().expect("the program runs").into()
}

/// A run on a terminal so many columns wide, with what is typed there: all that stood on it, and the
/// exit code. `script` (util-linux) makes the terminal.
#[cfg(target_os = "linux")]
pub(crate) fn on_terminal(
    folder: &Path,
    columns: u16,
    args: &[&str],
    typed: &str,
) -> (String, i32) {
    let mut child = terminal(folder, columns, args);
    child.stdin.take().expect("a pipe").write_all(typed.as_bytes()).expect("it is typed");
    shown(child)
}

/// The same; once `ready` holds of what the program has done, Ctrl-C is pressed.
#[cfg(target_os = "linux")]
pub(crate) fn interrupted_on_terminal(
    folder: &Path,
    args: &[&str],
    typed: &str,
    ready: impl Fn() -> bool,
) -> (String, i32) {
    let mut child = terminal(folder, 80, args);
    let mut keys = child.stdin.take().expect("a pipe");
    keys.write_all(typed.as_bytes()).expect("it is typed");
    while !ready() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    keys.write_all(b"\x03").expect("it is typed");
    shown(child)
}

#[cfg(target_os = "linux")]
fn shown(child: std::process::Child) -> (String, i32) {
    let run: Run = child.wait_with_output().expect("it ends").into();
    (run.out.replace("\r\n", "\n"), run.code)
}

#[cfg(target_os = "linux")]
fn terminal(folder: &Path, columns: u16, args: &[&str]) -> std::process::Child {
    let quoted = |word: &&str| format!("'{word}'");
    let words: Vec<String> = args.iter().map(quoted).collect();
    // Whoever runs the tests in the background ignores Ctrl-C, and so would the program.
    let line = format!(
        "stty cols {columns} rows 24 -echo; env --default-signal=INT '{}' {}",
        env!("CARGO_BIN_EXE_trainwright"),
        words.join(" ")
    );
    let mut script = program(folder, &[]);
    let mut variables = Command::new("script");
    for (name, value) in script.get_envs() {
        match value {
            Some(value) => variables.env(name, value),
            None => variables.env_remove(name),
        };
    }
    script = variables;
    script.args(["-q", "-e", "-c", &line, "/dev/null"]).current_dir(folder).env("NO_COLOR", "1");
    let piped = script.stdin(Stdio::piped()).stdout(Stdio::piped());
    piped.spawn().expect("`script` of util-linux is there")
}

/// Starts a program that runs as long as this one holds its standard input, and no longer, however this
/// one ends; then the folder goes. `sh` sees to it.
pub(crate) fn guarded(folder: TempDir, command: &Command) -> Child {
    const GUARD: &str = "trap '' INT; folder=$1; shift; \"$@\" & child=$!; cat >/dev/null; \
        kill $child; wait $child; rm -rf \"$folder\" || { sleep 1; rm -rf \"$folder\"; }";
    let mut guard = Command::new("sh");
    guard.args(["-c", GUARD, "sh"]).arg(folder.keep());
    guard.arg(command.get_program()).args(command.get_args());
    for (name, value) in command.get_envs() {
        match value {
            Some(value) => guard.env(name, value),
            None => guard.env_remove(name),
        };
    }
    guard.current_dir(command.get_current_dir().unwrap_or(Path::new(".")));
    guard.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    guard.spawn().expect("a shell")
}

/// Text in one line, however it was broken.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A fresh folder, which goes when it is dropped.
pub(crate) fn fresh() -> TempDir {
    TempDir::new().expect("a folder")
}

/// Names of what lies in a folder.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let name = |e: std::io::Result<std::fs::DirEntry>| e.expect("an entry").file_name();
    let mut names: Vec<String> = entries.map(|e| name(e).to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
