//! What is read, held and waited for at most.

use std::time::Duration;

/// Limits of a server.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Limits {
    /// Bytes of what comes before the body.
    pub(super) head: usize,
    /// Bytes of the path with what is asked of it.
    pub(super) line: usize,
    /// Bytes of a body.
    pub(super) body: usize,
    /// How long a head may take to come.
    pub(super) head_time: Duration,
    /// How long a request may take in all, from its head to its answer.
    pub(super) whole_time: Duration,
    /// How long a connection may live: who reads so slowly comes again.
    pub(super) connection_time: Duration,
    /// Requests that are taken in at once.
    pub(super) at_once: usize,
    /// Connections that are open at once: browsers keep some that ask nothing.
    pub(super) connections: usize,
    /// How long work keeps others waiting for its core: most answers are done long before.
    pub(super) turn: Duration,
    /// How long answers under way may take when the server ends.
    pub(super) last: Duration,
}

impl Limits {
    /// Those of the program.
    pub(super) const OURS: Self = Self {
        head: 16 << 10,
        line: 8 << 10,
        body: 1 << 20,
        head_time: Duration::from_secs(5),
        whole_time: Duration::from_secs(30),
        connection_time: Duration::from_mins(5),
        at_once: 16,
        connections: 128,
        turn: Duration::from_millis(100),
        last: Duration::from_millis(1500),
    };
}
