//! Is the program still at work? A line on stderr says so, only on a terminal and only once the
//! work has taken half a second; it goes when the work is done.

use crate::interrupt::Cancel;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Quicker work shows nothing.
const WAIT: Duration = Duration::from_millis(500);
/// Time between two looks of the line.
const TICK: Duration = Duration::from_millis(120);

/// The line; dropping it takes it away.
#[derive(Debug)]
pub(crate) struct Progress {
    bar: ProgressBar,
    quiet: bool,
    watch: Option<(Sender<()>, JoinHandle<()>)>,
    /// The long work that is being done.
    work: Mutex<&'static str>,
    cancel: Cancel,
}

impl Progress {
    /// Starts to wait; shows nothing ever where stderr is no terminal or `quiet` was asked for.
    pub(crate) fn new(quiet: bool) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let watch = (!quiet && std::io::stderr().is_terminal())
            .then(|| watched(&bar, WAIT, ProgressDrawTarget::stderr()));
        Self { bar, quiet, watch, work: Mutex::default(), cancel: Cancel::Interrupt }
    }

    /// One that nobody sees, of a work that ends when `cancel` is raised.
    pub(crate) fn unseen(cancel: Cancel) -> Self {
        let mut progress = Self::new(true);
        progress.cancel = cancel;
        progress
    }

    /// What ends the work early.
    pub(crate) const fn cancel(&self) -> &Cancel {
        &self.cancel
    }

    /// Says how many pieces the work has.
    pub(crate) fn expect(&self, pieces: usize) {
        self.bar.set_length(pieces as u64);
        self.look(&searching(pieces));
    }

    /// So many pieces of a long work are done, of how many; the line then says how long the rest may
    /// take. `what` is being done: `comparing purchases`.
    pub(crate) fn at(&self, what: &'static str, done: u64, of: u64) {
        let mut last = self.work.lock().unwrap_or_else(PoisonError::into_inner);
        if *last != what {
            *last = what;
            // The time that other work took says nothing of this.
            self.bar.reset();
            self.look(&long(what));
        }
        self.bar.set_length(of);
        self.bar.set_position(done);
    }

    /// Whether nothing but the answer and errors was asked for.
    pub(crate) const fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// A line of its own on stderr, unless `quiet` was asked for.
    pub(crate) fn say(&self, line: &str) {
        if !self.quiet {
            // Where stderr is closed there is nobody left to tell.
            self.bar.suspend(|| drop(writeln!(io::stderr(), "{line}")));
        }
    }

    /// Says what is counted now, and how far it can go.
    pub(crate) fn stage(&self, words: &str, most: u64) {
        self.bar.set_length(most);
        self.look(&stage(words));
    }

    /// How the line looks from now on. Every template can be read, which is tested.
    fn look(&self, template: &str) {
        if let Ok(style) = ProgressStyle::with_template(template) {
            self.bar.set_style(style);
        }
    }

    /// So many are done.
    pub(crate) fn reached(&self, done: u64) {
        self.bar.set_position(done);
    }

    /// One piece is done.
    pub(crate) fn step(&self) {
        self.bar.inc(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, thread)) = self.watch.take() {
            drop(done);
            // A thread that failed has nothing left to take away.
            let _ = thread.join();
        }
    }
}

/// Shows the bar on `target` if the sender outlives `wait`, until it is dropped.
fn watched(
    bar: &ProgressBar,
    wait: Duration,
    target: ProgressDrawTarget,
) -> (Sender<()>, JoinHandle<()>) {
    let (done, is_done) = mpsc::channel::<()>();
    let bar = bar.clone();
    let show = move || {
        if is_done.recv_timeout(wait) == Err(RecvTimeoutError::Timeout) {
            bar.set_draw_target(target);
            bar.enable_steady_tick(TICK);
            // Nothing is ever sent: this returns when the sender is dropped.
            let _ = is_done.recv();
            bar.finish_and_clear();
        }
    };
    (done, thread::spawn(show))
}

/// One piece is not counted.
fn searching(pieces: usize) -> String {
    let count = if pieces > 1 { ": {pos} of {len} done" } else { "" };
    format!("{{spinner}} searching{count} ({{elapsed}})")
}

/// Work that may take minutes.
fn long(what: &str) -> String {
    format!("{{spinner}} {what}: {{pos}} of {{len}} done ({{elapsed}}, at most {{eta}} to go)")
}

/// A count on the way to the most that it can come to.
fn stage(words: &str) -> String {
    format!("{{spinner}} {words} {{human_len}}: {{human_pos}} ({{elapsed}})")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::interrupt::Cancel;
    use indicatif::TermLike;
    use std::sync::Arc;

    /// A terminal of one line.
    #[derive(Debug, Clone, Default)]
    struct OneLine(Arc<Mutex<String>>);

    impl OneLine {
        fn contents(&self) -> String {
            self.0.lock().unwrap().trim().to_string()
        }
    }

    impl TermLike for OneLine {
        fn width(&self) -> u16 {
            80
        }
        fn move_cursor_up(&self, _: usize) -> io::Result<()> {
            Ok(())
        }
        fn move_cursor_down(&self, _: usize) -> io::Result<()> {
            Ok(())
        }
        fn move_cursor_right(&self, _: usize) -> io::Result<()> {
            Ok(())
        }
        fn move_cursor_left(&self, _: usize) -> io::Result<()> {
            Ok(())
        }
        fn write_line(&self, text: &str) -> io::Result<()> {
            self.write_str(text)
        }
        fn write_str(&self, text: &str) -> io::Result<()> {
            self.0.lock().unwrap().push_str(text);
            Ok(())
        }
        fn clear_line(&self) -> io::Result<()> {
            self.0.lock().unwrap().clear();
            Ok(())
        }
        fn flush(&self) -> io::Result<()> {
            Ok(())
        }
    }

    /// What stood on a terminal while the work went on, and what was left of it.
    fn shown(wait: Duration, work: impl FnOnce(&Progress, &OneLine)) -> String {
        let terminal = OneLine::default();
        let target = ProgressDrawTarget::term_like(Box::new(terminal.clone()));
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        let watch = Some(watched(&bar, wait, target));
        let progress =
            Progress { bar, quiet: true, watch, work: Mutex::default(), cancel: Cancel::Interrupt };
        work(&progress, &terminal);
        drop(progress);
        terminal.contents()
    }

    /// Waits until the line says so; gives up after a minute.
    fn until_shown(terminal: &OneLine, words: &str) {
        for _ in 0..6000 {
            if terminal.contents().contains(words) {
                return;
            }
            thread::sleep(Duration::from_millis(10));
        }
        panic!("{words} was not shown: {}", terminal.contents());
    }

    #[test]
    fn long_work_is_counted_and_leaves_nothing_behind() {
        let left = shown(Duration::ZERO, |progress, terminal| {
            progress.expect(3);
            progress.step();
            until_shown(terminal, "searching: 1 of 3 done");
        });
        assert_eq!(left, "");
    }

    #[test]
    fn long_work_says_how_long_the_rest_may_take() {
        let left = shown(Duration::ZERO, |progress, terminal| {
            progress.at("comparing", 20, 30);
            until_shown(terminal, "comparing: 20 of 30 done (");
            until_shown(terminal, " to go)");
            progress.at("searching", 1, 4);
            until_shown(terminal, "searching: 1 of 4 done (");
        });
        assert_eq!(left, "");
    }

    #[test]
    fn one_piece_is_not_counted() {
        shown(Duration::ZERO, |progress, terminal| {
            progress.expect(1);
            until_shown(terminal, "searching (");
        });
    }

    #[test]
    fn quick_work_shows_nothing() {
        let hour = Duration::from_hours(1);
        let left = shown(hour, |progress, terminal| {
            progress.expect(2);
            progress.step();
            assert_eq!(terminal.contents(), "");
        });
        assert_eq!(left, "");
    }

    #[test]
    fn every_template_can_be_read() {
        for template in [searching(1), searching(2), long("comparing"), stage("leads, of")] {
            assert!(ProgressStyle::with_template(&template).is_ok(), "{template}");
        }
    }
}
