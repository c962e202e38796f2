//! A small web server: what it reads, holds and waits for has limits, and it answers nobody but who was
//! given its address. It knows no lathe: what a request means is its handler's business.
//!
//! HTTP/1.1 by `hyper` on one thread. The handler runs on a thread of its own, so that long work keeps
//! nobody waiting; if whoever asked has gone, the work is told to end.

mod answer;
mod guard;

pub(crate) use answer::Answer;
pub(crate) use guard::{Addresses, random};

use crate::interrupt::Cancel;
use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Bytes, Incoming};
use hyper::service::service_fn;
use hyper::{Method, Request, Response};
use hyper_util::rt::{TokioIo, TokioTimer};
use std::convert::Infallible;
use std::io;
use std::net::TcpListener as StdListener;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering::SeqCst};
use std::time::Duration;
use tokio::io::AsyncWriteExt;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Notify, Semaphore, watch};
use tokio::time::{sleep, timeout};

/// Most bytes of what comes before the body.
const HEAD: usize = 16 << 10;
/// Most bytes of the path with what is asked of it.
const LINE: usize = 8 << 10;
/// Most bytes of a body.
const BODY: usize = 1 << 20;
/// How long a head may take to come.
const HEAD_TIME: Duration = Duration::from_secs(5);
/// How long a request may take in all.
const WHOLE_TIME: Duration = Duration::from_secs(30);
/// How long a connection may live: who reads so slowly comes again.
const CONNECTION_TIME: Duration = Duration::from_mins(5);
/// Requests that are worked on at once.
const AT_ONCE: usize = 16;
/// Connections that are open at once: browsers keep some that ask nothing.
const CONNECTIONS: usize = 128;
/// How long answers under way may take when the server ends.
const LAST: Duration = Duration::from_millis(1500);

/// What was asked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Asked {
    /// The path behind the address that was given, without its first slash.
    pub(crate) path: String,
    /// Names and values behind the question mark, in their order.
    pub(crate) query: Vec<(String, String)>,
    /// Those of a form that was sent to be kept; none where it only asks.
    pub(crate) form: Option<Vec<(String, String)>>,
}

impl Asked {
    /// The first value of a name.
    pub(crate) fn value(&self, name: &str) -> Option<&str> {
        self.query.iter().find(|(key, _)| key == name).map(|(_, value)| &**value)
    }

    /// All values of a name.
    pub(crate) fn values<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        let named = move |(key, value): &'a (String, String)| (key == name).then_some(&**value);
        self.query.iter().filter_map(named)
    }
}

/// Answers what was asked; ends early when the flag is raised.
pub(crate) type Handler = dyn Fn(&Asked, Cancel) -> Answer + Send + Sync;

/// What every connection shares.
struct Server {
    addresses: Addresses,
    handler: Arc<Handler>,
    working: Arc<Semaphore>,
}

/// Answers on a port until `end` is called.
///
/// # Errors
/// If the system gives no runtime, or takes the port back.
pub(crate) fn serve(
    listener: StdListener,
    addresses: Addresses,
    handler: Arc<Handler>,
    end: &Arc<Notify>,
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .max_blocking_threads(AT_ONCE)
        .build()?;
    listener.set_nonblocking(true)?;
    let working = Arc::new(Semaphore::new(AT_ONCE));
    let server = Arc::new(Server { addresses, handler, working });
    let done = runtime.block_on(accept(listener, server, end));
    // Work that nobody waits for any more ends with the program.
    runtime.shutdown_background();
    done
}

async fn accept(listener: StdListener, server: Arc<Server>, end: &Notify) -> io::Result<()> {
    let listener = TcpListener::from_std(listener)?;
    let open = Arc::new(Semaphore::new(CONNECTIONS));
    let (ending, _) = watch::channel(false);
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = end.notified() => break,
        };
        let Ok((stream, _)) = accepted else {
            // No file left, most likely: others will be closed soon.
            sleep(Duration::from_millis(50)).await;
            continue;
        };
        let Ok(place) = Arc::clone(&open).try_acquire_owned() else {
            drop(tokio::spawn(too_many(stream)));
            continue;
        };
        let connection = connection(stream, Arc::clone(&server), ending.subscribe());
        drop(tokio::spawn(async move {
            connection.await;
            drop(place);
        }));
    }
    drop(listener);
    let _ = ending.send(true);
    let all = u32::try_from(CONNECTIONS).unwrap_or(u32::MAX);
    let _ = timeout(LAST, open.acquire_many(all)).await;
    Ok(())
}

/// Says that there is no room; a client that does not read is not waited for.
async fn too_many(mut stream: TcpStream) {
    let words =
        b"HTTP/1.1 503 Service Unavailable\r\nContent-Length: 0\r\nConnection: close\r\n\r\n";
    let _ = timeout(Duration::from_secs(1), stream.write_all(words)).await;
}

/// All requests of one connection.
async fn connection(stream: TcpStream, server: Arc<Server>, mut ending: watch::Receiver<bool>) {
    let service = service_fn(move |request| {
        let server = Arc::clone(&server);
        async move { Ok::<_, Infallible>(server.answer(request).await) }
    });
    let connection = hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(HEAD)
        .pipeline_flush(true)
        .serve_connection(TokioIo::new(stream), service);
    let mut connection = std::pin::pin!(connection);
    let all = async {
        let ended = tokio::select! {
            _ = connection.as_mut() => return,
            ended = ending.wait_for(|ending| *ending) => ended.is_ok(),
        };
        if ended {
            connection.as_mut().graceful_shutdown();
        }
        let _ = connection.await;
    };
    let _ = timeout(CONNECTION_TIME, all).await;
}

/// Raises its flag when it is dropped: whoever asked has gone, or waited long enough.
struct Gone(Arc<AtomicBool>);

impl Drop for Gone {
    fn drop(&mut self) {
        self.0.store(true, SeqCst);
    }
}

impl Server {
    async fn answer(&self, request: Request<Incoming>) -> Response<Full<Bytes>> {
        let is_head = request.method() == Method::HEAD;
        let answer = match timeout(WHOLE_TIME, self.answered(request)).await {
            Ok(Ok(answer) | Err(answer)) => answer,
            Err(_) => Answer::refused(503, "This takes too long. Ask for less."),
        };
        answer.response(is_head)
    }

    async fn answered(&self, request: Request<Incoming>) -> Result<Answer, Answer> {
        let path = self.addresses.path(&request)?;
        if request.uri().path_and_query().is_some_and(|asked| asked.as_str().len() > LINE) {
            return Err(Answer::refused(414, "Too much was asked at once. Ask for less."));
        }
        let query = pairs(request.uri().query().unwrap_or_default().as_bytes());
        let post = match *request.method() {
            Method::GET | Method::HEAD => false,
            Method::POST => true,
            _ => return Err(Answer::not_allowed()),
        };
        let place = Arc::clone(&self.working).try_acquire_owned();
        let place = place.map_err(|_| Answer::busy())?;
        let form = if post {
            self.addresses.is_own_form(&request)?;
            let body = Limited::new(request.into_body(), BODY).collect().await;
            let body = body.map_err(|_| Answer::refused(413, "Too much was sent: 1 MiB at most."));
            Some(pairs(&body?.to_bytes()))
        } else {
            None
        };
        let asked = Asked { path, query, form };
        let flag = Arc::new(AtomicBool::new(false));
        let gone = Gone(Arc::clone(&flag));
        let handler = Arc::clone(&self.handler);
        let work = move || {
            let answer = handler(&asked, Cancel::Flag(flag));
            // The place is free when the work is done, not when whoever asked has gone.
            drop(place);
            answer
        };
        let answer = tokio::task::spawn_blocking(work).await;
        drop(gone);
        answer.map_err(|_| Answer::refused(500, "This went wrong inside the program."))
    }
}

fn pairs(text: &[u8]) -> Vec<(String, String)> {
    form_urlencoded::parse(text).into_owned().collect()
}
