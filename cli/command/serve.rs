//! `serve`: the whole program as pages, for the phone at the machine.
//!
//! `http` takes the requests and knows no lathe. Here each address becomes the words of a command, read
//! by what reads the command line (`serve/shop.rs`), and its report becomes the page that
//! `--output x.html` writes, in a frame of links and boxes (`serve/frame.rs`). A lathe that is described
//! on the page is part of its address (`serve/place.rs`): nothing is kept here, and every page can be
//! bookmarked.

mod describe;
mod file;
mod frame;
mod grid;
mod home;
mod next_cut;
mod place;
mod shop;
mod visit;

use crate::args::{self, Share};
use crate::asked::context::Given;
use crate::asked::machine::origin_in_words;
use crate::failure::Failure;
use crate::files::{Origin, Surroundings};
use crate::http::{self, Addresses, Asked};
use crate::interrupt::{self, Cancel};
use crate::report::{Block, Report};
use file::File;
use shop::Shop;
use std::io::{self, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener};
use std::sync::Arc;
use tokio::sync::Notify;

/// Answers `serve`: prints the address, then answers until Ctrl-C.
///
/// # Errors
/// If the lathe can't be used, or the port can't be had.
pub(super) fn run(serve: &args::Serve) -> Result<Report, Failure> {
    let (open, origin) = Surroundings::of_process().lathe(serve.lathe.as_deref())?;
    let file = if serve.edit { Some(File::of(&open)?) } else { None };
    let given = Given {
        from: origin_in_words(&open, &origin),
        demo: origin == Origin::Demo,
        lathe: open,
        now: None,
        chart: String::new(),
    };
    let host = host(serve.share)?;
    let listener = bind(SocketAddr::new(host, serve.port))?;
    let address = listener.local_addr().map_err(|e| not_bound(serve.port, &e))?;
    let key = if serve.share.is_some() { http::random() } else { Ok(String::new()) };
    let key = key.map_err(|e| Failure::new(format!("serve: no random key can be made: {e}")))?;
    let addresses = Addresses::new(&[host], address.port(), key);
    let place = format!("http://{address}{}", addresses.base());
    say(&place, serve.share.is_some()).map_err(|e| Failure::not_written(e.to_string()))?;
    let shop = Arc::new(Shop::new(addresses.base(), given, file));
    let end = Arc::new(Notify::new());
    let wake = Arc::clone(&end);
    interrupt::on(move || wake.notify_one());
    if !serve.no_open && serve.share.is_none() {
        // Where there is no browser the address is on the screen.
        let _ = open::that_detached(&place);
    }
    let handler = move |asked: &Asked, cancel: Cancel| shop.answer(asked, cancel);
    http::serve(listener, addresses, Arc::new(handler), &end)
        .map_err(|e| Failure::new(format!("serve: {e}")))?;
    let mut report = Report::new();
    report.push(Block::Verbatim("Ended.\n".to_owned()));
    Ok(report)
}

/// The address of this computer that is answered on.
fn host(share: Option<Share>) -> Result<IpAddr, Failure> {
    match share {
        None => Ok(Ipv4Addr::LOCALHOST.into()),
        Some(Share::At(named)) => Ok(named),
        Some(Share::Any) => {
            let all = if_addrs::get_if_addrs().unwrap_or_default();
            let own = all.iter().map(if_addrs::Interface::ip).filter(|ip| !ip.is_loopback());
            let own: Vec<IpAddr> = own.collect();
            let private = own.iter().find(|ip| matches!(ip, IpAddr::V4(ip) if ip.is_private()));
            private.or_else(|| own.iter().find(|ip| ip.is_ipv4())).copied().ok_or_else(|| {
                Failure::new("--share: this computer is in no network")
                    .with_hint("connect it to the shop's network, or leave --share out")
            })
        }
    }
}

fn bind(address: SocketAddr) -> Result<TcpListener, Failure> {
    TcpListener::bind(address).map_err(|e| match e.kind() {
        io::ErrorKind::AddrNotAvailable => {
            Failure::new(format!("--share: {} is no address of this computer", address.ip()))
                .with_hint("--share alone takes the first that it has")
        }
        _ => not_bound(address.port(), &e),
    })
}

fn not_bound(port: u16, error: &io::Error) -> Failure {
    let hint = "another port, such as --port 8127, or --port 0 for any that is free";
    let why = match error.kind() {
        io::ErrorKind::AddrInUse => "another program answers on it".to_owned(),
        io::ErrorKind::PermissionDenied => "the system does not permit it".to_owned(),
        _ => error.to_string(),
    };
    Failure::new(format!("--port {port}: {why}")).with_hint(hint)
}

/// Says where the page is, before the first request comes.
fn say(place: &str, shared: bool) -> io::Result<()> {
    let mut out = anstream::AutoStream::new(io::stdout(), anstream::ColorChoice::Auto);
    writeln!(out, "{place}")?;
    if shared {
        writeln!(out, "Whoever is in this network and has this address sees the page.")?;
        if let Some(code) = code(place) {
            writeln!(out, "{code}")?;
        }
    }
    writeln!(out, "Ctrl-C ends it.")?;
    out.flush()
}

/// The address as a code for a camera (ISO/IEC 18004), two rows of it in one line of letters. Both
/// colours are set, so that it is dark on light whatever the terminal's own are.
fn code(place: &str) -> Option<String> {
    use qrcode::render::unicode::Dense1x2;
    let code = qrcode::QrCode::new(place).ok()?;
    let (ink, paper) = (Dense1x2::Light, Dense1x2::Dark);
    let drawn = code.render::<Dense1x2>().dark_color(ink).light_color(paper).build();
    // What is light is a block: white on black.
    let lines = drawn.lines().map(|line| format!("\u{1b}[97;40m{line}\u{1b}[0m"));
    Some(lines.collect::<Vec<_>>().join("\n"))
}
