//! What a terminal is told to type, taken out of a report: a page has links and boxes in its place.
//!
//! Texts keep it apart: in brackets (`(--blank for another)`), or in a sentence of its own at the end of
//! a paragraph. So it can be left out, and the rest still reads.

use super::{Block, Cell, Report, Role, Text};

/// Takes it out of every block.
pub(super) fn leave_out(report: &mut Report) {
    for block in &mut report.blocks {
        match block {
            Block::Note(text) => *text = of_text(text),
            Block::List(texts) | Block::Steps(texts) => of_texts(texts),
            Block::Facts(facts) => facts.iter_mut().for_each(|(_, text)| *text = of_text(text)),
            Block::Table(table) => {
                for cell in table.rows.iter_mut().flatten() {
                    if let Cell::Text(text) = cell {
                        *text = of_text(text);
                    }
                }
            }
            _ => {}
        }
    }
    report.blocks.retain(|block| !matches!(block, Block::Note(text) if text.words().is_empty()));
}

fn of_texts(texts: &mut Vec<Text>) {
    for text in texts.iter_mut() {
        *text = of_text(text);
    }
    texts.retain(|text| !text.words().is_empty());
}

/// The sentences before the first words to be typed, and of these what names no option.
fn of_text(text: &Text) -> Text {
    let typed = |span: &&super::Span| span.role != Role::Typed;
    let spans: Vec<_> = text.spans().iter().take_while(typed).collect();
    let is_cut = spans.len() < text.spans().len();
    let count = spans.len();
    let kept = spans.into_iter().enumerate().map(|(i, span)| {
        let words = if is_cut && i + 1 == count { whole_sentences(&span.text) } else { &span.text };
        (span.role, without(words))
    });
    let kept = kept.filter(|(_, words)| !words.is_empty());
    kept.fold(Text::default(), |text, (role, words)| text.and(role, words))
}

/// As far as the last full stop.
fn whole_sentences(words: &str) -> &str {
    words.rfind(". ").and_then(|at| words.get(..=at)).unwrap_or_default()
}

/// Whether it has words of the command line.
fn names_one(words: &str) -> bool {
    let option = |(at, _): (usize, &str)| {
        words.get(at + 2..).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase()))
    };
    words.match_indices("--").any(option) || words.contains("trainwright ") || words.contains('`')
}

/// Words without what a terminal is told to type.
pub(crate) fn without(words: &str) -> String {
    if !names_one(words) {
        return words.to_owned();
    }
    let words = of_brackets(words);
    if !names_one(&words) {
        return words;
    }
    let sentences = words.split_inclusive(". ").filter(|sentence| !names_one(sentence));
    sentences.collect()
}

/// Brackets without the parts that name an option; an empty pair goes, with the space before it.
fn of_brackets(words: &str) -> String {
    let mut out = String::new();
    let mut rest = words;
    while let Some((before, inside, after)) = rest.split_once('(').and_then(|(before, tail)| {
        tail.split_once(')').map(|(inside, after)| (before, inside, after))
    }) {
        let kept: Vec<&str> =
            inside.split_inclusive([',', ';']).filter(|part| !names_one(part)).collect();
        let kept = kept.concat();
        let kept = kept.trim_end_matches([',', ';', ' ']);
        if kept.is_empty() {
            out.push_str(before.trim_end_matches(' '));
        } else {
            out.push_str(before);
            out.push('(');
            out.push_str(kept);
            out.push(')');
        }
        rest = after;
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_types_goes_and_the_rest_still_reads() {
        for (words, wanted) in [
            (
                "9.850 mm (0.3878 in) (--blank for another); class 6g",
                "9.850 mm (0.3878 in); class 6g",
            ),
            (
                "To act 1 s (assumed, --reaction), coasting 1 s (assumed, --coast)",
                "To act 1 s (assumed), coasting 1 s (assumed)",
            ),
            ("over 25 mm (assumed; --over for another)", "over 25 mm (assumed)"),
            ("The 60° form is assumed (--form for another).", "The 60° form is assumed."),
            ("1 stud is assumed. It is so; --studs 2 tries two.", "1 stud is assumed. "),
            ("20-80 -- so it is", "20-80 -- so it is"),
            ("(a) and (b", "(a) and (b"),
            ("", ""),
        ] {
            assert_eq!(without(words), wanted);
        }
        let text = Text::from("Missed: 6 mm. ")
            .and(Role::Typed, "--standard")
            .and(Role::Plain, " says more.");
        assert_eq!(of_text(&text).words(), "Missed: 6 mm.");
        let text = Text::from("More: ").and(Role::Typed, "--long");
        assert_eq!(of_text(&text).words(), "");
    }
}
