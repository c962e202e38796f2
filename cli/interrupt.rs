//! Did the person press Ctrl-C? The first time ends a long search, which then answers with the best
//! that it has; the second time ends the program at once.

use std::io::Write;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering::SeqCst};

/// 128 and the number of SIGINT, as shells have it.
const INTERRUPTED: u8 = 130;

/// What ends a work early.
#[derive(Debug, Clone, Default)]
pub(crate) enum Cancel {
    /// Ctrl-C.
    #[default]
    Interrupt,
    /// A flag of the work's own: whoever asked has gone.
    Flag(Arc<AtomicBool>),
}

impl Cancel {
    /// The flag that the work heeds.
    pub(crate) fn flag(&self) -> &AtomicBool {
        match self {
            Self::Interrupt => listen(),
            Self::Flag(flag) => flag,
        }
    }
}

static RAISED: AtomicBool = AtomicBool::new(false);

/// From here on the first Ctrl-C only raises the flag that is given back. Without a handler (there is
/// one already, or the system refuses) Ctrl-C ends the program, as everywhere.
fn listen() -> &'static AtomicBool {
    let _ = ctrlc::set_handler(|| {
        if RAISED.swap(true, SeqCst) {
            std::process::exit(INTERRUPTED.into());
        }
        let words = "\ntrainwright: ending; the best so far follows. Ctrl-C again ends at once.";
        let _ = writeln!(std::io::stderr(), "{words}");
    });
    &RAISED
}

/// From here on Ctrl-C, and what the system sends to end a program, only call `wake`.
pub(crate) fn on(wake: impl FnMut() + Send + 'static) {
    // Where the system refuses, they end the program, as everywhere.
    let _ = ctrlc::set_handler(wake);
}

/// The exit code, where the flag was raised.
pub(crate) fn exit_code() -> Option<ExitCode> {
    RAISED.load(SeqCst).then(|| ExitCode::from(INTERRUPTED))
}
