//! The address of a page: what it asks, and the lathe where it is not the one that is served.
//!
//! A described lathe is its file, deflated (RFC 1951), in letters that an address can hold (base64url,
//! RFC 4648 section 5). So a page can be bookmarked and sent on, and the server keeps nothing.

use crate::failure::Failure;
use crate::files::{self, OpenLathe};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use form_urlencoded::Serializer;
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec_with_limit;

/// Most bytes of a described lathe's file.
const MOST: usize = 64 << 10;
/// Most letters of it in an address: what else is asked needs room too.
const MOST_LETTERS: usize = 6 << 10;

/// The name in an address behind which a described lathe stands.
pub(super) const LATHE: &str = "lathe";

/// Where pages are, and of which lathe.
#[derive(Debug, Clone)]
pub(super) struct Place {
    /// What every path begins with.
    base: String,
    /// A described lathe, packed.
    pub(super) packed: Option<String>,
}

impl Place {
    pub(super) const fn new(base: String, packed: Option<String>) -> Self {
        Self { base, packed }
    }

    /// The address of a page, with what is asked of it.
    pub(super) fn link(&self, page: &str, asked: &[(&str, &str)]) -> String {
        let mut words = Serializer::new(String::new());
        words.extend_pairs(asked);
        if let Some(packed) = &self.packed {
            words.append_pair(LATHE, packed);
        }
        let words = words.finish();
        let mark = if words.is_empty() { "" } else { "?" };
        format!("{}{page}{mark}{words}", self.base)
    }

    /// The address of a page of the lathe that is served.
    pub(super) fn own(&self, page: &str) -> String {
        format!("{}{page}", self.base)
    }
}

/// A lathe file as part of an address.
///
/// # Errors
/// If it is too large for one.
pub(super) fn packed(text: &str) -> Result<String, Failure> {
    let packed = URL_SAFE_NO_PAD.encode(compress_to_vec(text.as_bytes(), 9));
    if packed.len() > MOST_LETTERS {
        let wrong = "this lathe is too large for the address of a page";
        return Err(Failure::wrong(wrong, "keep it as a file"));
    }
    Ok(packed)
}

/// The lathe of an address, without opening any file.
///
/// # Errors
/// If it is none.
pub(super) fn unpacked(packed: &str) -> Result<OpenLathe, Failure> {
    let cut = || Failure::wrong("this address is not whole", "the page that it was copied from");
    let bytes = URL_SAFE_NO_PAD.decode(packed).map_err(|_| cut())?;
    let text = decompress_to_vec_with_limit(&bytes, MOST).map_err(|_| cut())?;
    let text = String::from_utf8(text).map_err(|_| cut())?;
    files::lathe_of_text("the described lathe", &text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lathe_comes_back_from_an_address() {
        for shipped in files::LATHES {
            let open = files::lathe_of_text(shipped.name, shipped.text).unwrap();
            let address = packed(shipped.text).unwrap();
            assert!(address.len() < 2000, "{}", address.len());
            assert_eq!(unpacked(&address).unwrap().lathe, open.lathe);
        }
    }

    #[test]
    fn no_address_opens_a_file_or_fills_the_memory() {
        let named = r#"{"format": 1, "lead_screw": {"lead": "8 tpi"}, "headstock": {"ratio": "1"}, "gears": "/etc/hostname"}"#;
        let said = unpacked(&packed(named).unwrap()).unwrap_err().to_string();
        assert!(said.contains("no built-in gear set"), "{said}");
        let bomb = URL_SAFE_NO_PAD.encode(compress_to_vec(&vec![b' '; 10 << 20], 9));
        for wrong in ["", "x", "%", &bomb] {
            assert!(unpacked(wrong).is_err());
        }
    }

    #[test]
    fn an_address_holds_what_is_asked() {
        let place = Place::new("/k/".into(), Some("abc".into()));
        assert_eq!(
            place.link("find", &[("target", "1/2 in & \"x\"")]),
            "/k/find?target=1%2F2+in+%26+%22x%22&lathe=abc"
        );
        assert_eq!(Place::new("/".into(), None).link("", &[]), "/");
    }
}
