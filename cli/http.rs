//! A small web server: what it reads, holds and waits for has limits, and it answers nobody but who was
//! given its address. It knows no lathe: what a request means is its handler's business.
//!
//! HTTP/1.1 by `hyper` on one thread. The handler runs on a thread of its own. As many work at once as
//! there are cores, the others wait for their turn; work that takes long gives its turn away and goes on
//! beside the rest, so that it keeps nobody waiting. If whoever asked has gone, the work is told to end.

mod answer;
mod guard;
mod limits;
#[cfg(test)]
mod tests;

pub(crate) use answer::Answer;
pub(crate) use guard::{Addresses, random};

use crate::interrupt::Cancel;
use http_body_util::{BodyExt, Full, Limited};
use hyper::body::{Body, Bytes, Incoming};
use hyper::service::service_fn;
use hyper::{Method, Request, Response};
use hyper_util::rt::{TokioIo, TokioTimer};
use limits::Limits;
use std::convert::Infallible;
use std::io;
use std::net::TcpListener as StdListener;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering::SeqCst};
use std::thread::available_parallelism;
use std::time::Duration;
use tokio::io::AsyncWriteExt;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Notify, Semaphore, watch};
use tokio::time::{sleep, timeout};

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
    limits: Limits,
    /// A place for each request that is taken in.
    places: Arc<Semaphore>,
    /// A turn for each core; who came first has it first.
    turns: Arc<Semaphore>,
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
    serve_within(Limits::OURS, listener, addresses, handler, end)
}

fn serve_within(
    limits: Limits,
    listener: StdListener,
    addresses: Addresses,
    handler: Arc<Handler>,
    end: &Arc<Notify>,
) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .max_blocking_threads(limits.at_once)
        .build()?;
    listener.set_nonblocking(true)?;
    let places = Arc::new(Semaphore::new(limits.at_once));
    let turns = Arc::new(Semaphore::new(available_parallelism().map_or(1, usize::from)));
    let server = Arc::new(Server { addresses, handler, limits, places, turns });
    let done = runtime.block_on(accept(listener, server, end));
    // Work that nobody waits for any more ends with the program.
    runtime.shutdown_background();
    done
}

async fn accept(listener: StdListener, server: Arc<Server>, end: &Notify) -> io::Result<()> {
    let listener = TcpListener::from_std(listener)?;
    let limits = server.limits;
    let open = Arc::new(Semaphore::new(limits.connections));
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
    let all = u32::try_from(limits.connections).unwrap_or(u32::MAX);
    let _ = timeout(limits.last, open.acquire_many(all)).await;
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
    let limits = server.limits;
    let service = service_fn(move |request| {
        let server = Arc::clone(&server);
        async move { Ok::<_, Infallible>(server.answer(request).await) }
    });
    let connection = hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head_time)
        .max_buf_size(limits.head)
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
    let _ = timeout(limits.connection_time, all).await;
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
        let answer = match timeout(self.limits.whole_time, self.answered(request)).await {
            Ok(Ok(answer) | Err(answer)) => answer,
            Err(_) => Answer::refused(503, "This takes too long. Ask for less."),
        };
        answer.response(is_head)
    }

    async fn answered(&self, request: Request<Incoming>) -> Result<Answer, Answer> {
        let path = self.addresses.path(&request)?;
        if request
            .uri()
            .path_and_query()
            .is_some_and(|asked| asked.as_str().len() > self.limits.line)
        {
            return Err(Answer::refused(414, "Too much was asked at once. Ask for less."));
        }
        let query = pairs(request.uri().query().unwrap_or_default().as_bytes());
        let post = match *request.method() {
            Method::GET | Method::HEAD => false,
            Method::POST => true,
            _ => return Err(Answer::not_allowed()),
        };
        let place = Arc::clone(&self.places).try_acquire_owned();
        let place = place.map_err(|_| Answer::busy())?;
        let form = if post {
            self.addresses.is_own_form(&request)?;
            Some(pairs(&self.body(request.into_body()).await?))
        } else {
            None
        };
        let flag = Arc::new(AtomicBool::new(false));
        let gone = Gone(Arc::clone(&flag));
        let turn = Arc::clone(&self.turns).acquire_owned().await;
        let (handler, asked) = (Arc::clone(&self.handler), Asked { path, query, form });
        let mut work = tokio::task::spawn_blocking(move || {
            let answer = handler(&asked, Cancel::Flag(flag));
            // The place is free when the work is done, not when whoever asked has gone.
            drop(place);
            answer
        });
        let answer = if let Ok(answer) = timeout(self.limits.turn, &mut work).await {
            answer
        } else {
            drop(turn);
            work.await
        };
        drop(gone);
        answer.map_err(|_| Answer::refused(500, "This went wrong inside the program."))
    }

    /// A body to its end; of one that says beforehand that it is too long nothing is read.
    async fn body(&self, body: Incoming) -> Result<Bytes, Answer> {
        let most = self.limits.body;
        let too_much = || Answer::refused(413, "Too much was sent: 1 MiB at most.");
        if usize::try_from(body.size_hint().lower()).map_or(true, |bytes| bytes > most) {
            return Err(too_much());
        }
        let whole = Limited::new(body, most).collect().await;
        Ok(whole.map_err(|_| too_much())?.to_bytes())
    }
}

fn pairs(text: &[u8]) -> Vec<(String, String)> {
    form_urlencoded::parse(text).into_owned().collect()
}
