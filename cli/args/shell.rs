//! How is a word typed in a shell? Quotes around what has spaces; what a command shows is typed again.

/// A word of a command line, for `sh`, PowerShell and `cmd`: in double quotes where a space or another
/// sign would end it. A backslash is a sign of Windows paths and stays.
pub(crate) fn word(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-\\:,+=%~".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("\"{word}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::word;

    #[test]
    fn paths_of_every_system_can_be_typed_again() {
        for plain in [
            "lathe.json",
            "../shed/lathe.json",
            r"C:\shed\lathe.json",
            r"\\server\shed\lathe.json",
            "20,25,30x2",
            "8tpi",
            "Dreh\u{e4}nke.json",
        ] {
            assert_eq!(word(plain), plain);
        }
        for spaced in [
            "my lathe.json",
            r"C:\Program Files\lathe.json",
            "/home/me/Library/Application Support/trainwright/lathe.json",
            "a&b.json",
            "a(1).json",
            "",
        ] {
            assert_eq!(word(spaced), format!("\"{spaced}\""));
        }
    }
}
