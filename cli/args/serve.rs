//! What is typed for `serve`.

use super::value::By;
use crate::failure::{Failure, shortened};
use clap::Args as ClapArgs;
use std::ffi::OsString;
use std::net::IpAddr;

/// What `--share` alone stands for.
const ANY: &str = "any";

/// Which of the computer's own addresses are answered on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Share {
    /// The first of a shop's network.
    Any,
    /// This one.
    At(IpAddr),
}

fn share(argument: &str, text: &str) -> Result<Share, Failure> {
    let wrong = || {
        Failure::new(format!("{argument} `{}`: no address", shortened(text)))
            .with_hint("one of this computer's own, such as --share=192.168.1.5, or --share alone")
    };
    if text == ANY { Ok(Share::Any) } else { text.parse().map(Share::At).map_err(|_| wrong()) }
}

fn port(argument: &str, text: &str) -> Result<u16, Failure> {
    text.parse().map_err(|_| {
        Failure::new(format!("{argument} `{}`: no port", shortened(text)))
            .with_hint("1024 to 65535, or 0 for one that is free")
    })
}

#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The page is for this computer alone, unless --share is given: then whoever is in the shop's network and
has the address that is printed sees it. Nothing is sent anywhere else. Ctrl-C ends it.

Examples:
  trainwright serve
  trainwright serve --share
  trainwright serve --lathe lathe.json --edit")]
pub(crate) struct Serve {
    /// Lathe: a file, or the name of a demo lathe
    ///
    /// Without it the lathe is found as by every command. Pages can describe another one; it is then
    /// part of their addresses.
    #[arg(long, value_name = "FILE|NAME", help_heading = "Machine")]
    pub(crate) lathe: Option<OsString>,
    /// Port of the page; 0: one that is free
    #[arg(long, value_name = "N", default_value_t = 7127, value_parser = By(port))]
    pub(crate) port: u16,
    /// Let the phone in: answer in the shop's network, at an address that nobody can guess
    ///
    /// The address is printed with a code for the phone's camera. Where the computer is in several
    /// networks, name its own address in the right one: --share=192.168.1.5.
    #[arg(
        long,
        value_name = "ADDRESS",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = ANY,
        value_parser = By(share)
    )]
    pub(crate) share: Option<Share>,
    /// Let the page change the lathe's file; the version before is kept beside it
    #[arg(long)]
    pub(crate) edit: bool,
    /// Do not open the browser
    #[arg(long)]
    pub(crate) no_open: bool,
}
