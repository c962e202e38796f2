//! Questions and answers over one socket: JSON by RFC 6455, as the `DevTools` protocol has them.

use serde_json::{Value, json};
use std::net::TcpStream;
use std::time::Duration;
use tungstenite::{Message, WebSocket};

/// How long an answer may take before the test fails: a browser that hangs must not hold up the run.
const LONGEST: Duration = Duration::from_mins(2);

/// A socket with what was told on it unasked.
#[derive(Debug)]
pub(super) struct Line {
    socket: WebSocket<TcpStream>,
    asked: u64,
    told: Vec<Value>,
}

impl Line {
    pub(super) fn to(host: &str, path: &str) -> Self {
        let stream = TcpStream::connect(host).expect("Chromium listens");
        stream.set_nodelay(true).expect("a socket");
        stream.set_read_timeout(Some(LONGEST)).expect("a socket");
        let (socket, _) =
            tungstenite::client(format!("ws://{host}{path}"), stream).expect("Chromium answers");
        Self { socket, asked: 0, told: Vec::new() }
    }

    /// Asks, and waits for the answer; a refusal fails the test.
    pub(super) fn ask(&mut self, method: &str, params: &Value) -> Value {
        self.asked += 1;
        let question = json!({"id": self.asked, "method": method, "params": params});
        self.socket.send(Message::text(question.to_string())).expect("Chromium listens");
        loop {
            let mut answer = self.read();
            if answer["id"] == self.asked {
                assert!(answer["error"].is_null(), "{method} {params}: {}", answer["error"]);
                return answer["result"].take();
            }
            self.told.push(answer);
        }
    }

    /// Waits until something is told.
    pub(super) fn wait(&mut self, method: &str) {
        while !self.told.iter().any(|told| told["method"] == method) {
            let told = self.read();
            self.told.push(told);
        }
    }

    /// What was told since `forget`.
    pub(super) fn told(&self) -> &[Value] {
        &self.told
    }

    pub(super) fn forget(&mut self) {
        self.told.clear();
    }

    fn read(&mut self) -> Value {
        loop {
            if let Message::Text(text) = self.socket.read().expect("Chromium answers") {
                return serde_json::from_str(&text).expect("JSON");
            }
        }
    }
}
