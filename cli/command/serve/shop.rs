//! Which page is asked for, and what is on it.

use super::file::File;
use super::frame::{self, Entry, actions, frame, hidden};
use super::place::{LATHE, Place, unpacked};
use super::visit::{Visit, refusal};
use super::{describe, grid, home, next_cut};
use crate::asked::context::Given;
use crate::failure::Failure;
use crate::files;
use crate::http::{Answer, Asked};
use crate::interrupt::Cancel;
use crate::progress::Progress;
use crate::render::SCRIPTS;
use crate::report::Report;
use maud::{Markup, html};
use std::sync::{PoisonError, RwLock};

/// Different leads that are listed at most.
const MOST_ANSWERS: u64 = 50;

/// What is served.
pub(super) struct Shop {
    base: String,
    /// The lathe, as its file was last read.
    served: RwLock<Given>,
    /// Its file, where that may be changed.
    file: Option<File>,
    homes: home::Kept,
}

impl Shop {
    pub(super) fn new(base: String, served: Given, file: Option<File>) -> Self {
        Self { base, served: RwLock::new(served), file, homes: home::Kept::default() }
    }

    /// The answer to a request; work ends early when `cancel` is raised.
    pub(super) fn answer(&self, asked: &Asked, cancel: Cancel) -> Answer {
        if let Some(file) = of_every_page(&asked.path) {
            return file;
        }
        let progress = Progress::unseen(cancel);
        match self.visit(asked, &progress) {
            Ok(visit) => match &asked.form {
                Some(form) => self.keep(&visit, form),
                None => visit.answer(&self.homes),
            },
            Err(failure) => {
                let place = Place::new(self.base.clone(), None);
                let page = frame(&place, "none", "", &html! {});
                let words = html! { h1 { "The lathe can't be used" } (refusal(&failure)) };
                Answer::page(page.page_of("The lathe can't be used", &words)).with_status(400)
            }
        }
    }

    fn visit<'s>(&'s self, asked: &'s Asked, progress: &'s Progress) -> Result<Visit<'s>, Failure> {
        let packed = asked.value(LATHE).filter(|packed| !packed.is_empty()).map(str::to_owned);
        let given = match &packed {
            Some(packed) => Given {
                lathe: unpacked(packed)?,
                from: "described on a page".to_owned(),
                demo: false,
                now: None,
                chart: String::new(),
            },
            None => self.served()?,
        };
        // Nobody changes the file from the page of another lathe.
        let file = self.file.as_ref().filter(|_| packed.is_none());
        let place = Place::new(self.base.clone(), packed);
        Ok(Visit { asked, place, given, file, progress })
    }

    /// The lathe that is served, with what is on it now.
    fn served(&self) -> Result<Given, Failure> {
        let given = self.served.read().unwrap_or_else(PoisonError::into_inner).clone();
        Ok(Given { now: given.lathe.recorded()?, ..given })
    }

    /// Writes a changed lathe, or what is on it, into its file.
    fn keep(&self, visit: &Visit<'_>, form: &[(String, String)]) -> Answer {
        let value = |name: &str| {
            let found = form.iter().find(|(key, _)| key == name);
            found.map(|(_, text)| &**text).unwrap_or_default()
        };
        let file = match (visit.file, &*visit.asked.path) {
            (Some(file), "lathe/keep") => file,
            (Some(file), "card/now") => return visit.keep_now(file, value("is"), value("was")),
            _ => return Answer::refused(405, "This can only be looked at."),
        };
        let kept = file.keep(value("text"), value("was"));
        match kept {
            Ok(open) => {
                self.served.write().unwrap_or_else(PoisonError::into_inner).lathe = open;
                Answer::see(visit.place.own("lathe"))
            }
            Err(failure) => visit.refused("The file was not changed", &failure).with_status(409),
        }
    }
}

/// A script or the icon by its path; browsers ask for an icon of this name where a page names none.
fn of_every_page(path: &str) -> Option<Answer> {
    if [frame::ICON.0, "favicon.ico"].contains(&path) {
        return Some(Answer::of_kind("image/svg+xml", frame::ICON.1));
    }
    let mut all = SCRIPTS.iter().chain([&frame::SCRIPT]);
    let script = all.find(|(name, _)| *name == path);
    script.map(|(_, text)| Answer::of_kind("text/javascript; charset=utf-8", *text))
}

impl Visit<'_> {
    fn answer(&self, homes: &home::Kept) -> Answer {
        match &*self.asked.path {
            "" => home::page(self, homes),
            "find" => self.find(),
            "hint" => self.hint(),
            "card" => self.card(),
            "why" => self.why(),
            "chart" => self.chart(),
            "check" => grid::check(self),
            "learn" => grid::learn(self),
            "buy" => self.buy(),
            "more" => self.more(),
            "reach" => self.reach(),
            "threads" => self.threads(),
            "gear" => self.gear(),
            "lathe" => describe::lathe(self),
            "lathe/new" => describe::new(self),
            "lathe/change" => describe::change(self),
            "lathe/file" => describe::file(self),
            "book" => self.book(),
            _ => {
                let words = html! { h1 { "There is no such page" } };
                let page = frame(&self.place, "none", "", &html! {});
                Answer::page(page.page_of("There is no such page", &words)).with_status(404)
            }
        }
    }

    fn find(&self) -> Answer {
        let (target, hand) = (self.value("target"), self.value("hand"));
        if target.is_empty() {
            return Answer::see(self.place.link("", &[]));
        }
        let said = self.options(["hand", "count"]);
        let mut words = vec!["find"];
        words.extend(said.iter().map(String::as_str));
        let long = !self.value("long").is_empty();
        words.extend(long.then_some("--long"));
        words.extend(["--", target]);
        let report = self.count().and_then(|()| self.report(&words));
        self.page_of(("find", "The gears"), report, |report| {
            let Some(report) = report else { return html! {} };
            let mut asked = vec![("target", target)];
            asked.extend((!hand.is_empty()).then_some(("hand", hand)));
            let mut links = Vec::new();
            if report.mounts {
                links.push((self.place.link("card", &asked), "Job card"));
            }
            if !long {
                asked.push(("long", "1"));
                links.push((self.place.link("find", &asked), "All lists"));
            }
            actions(&links)
        })
    }

    /// Refuses more different leads than a page lists.
    fn count(&self) -> Result<(), Failure> {
        match self.value("count").parse::<u64>() {
            Ok(count) if count > MOST_ANSWERS => {
                let wrong = format!("{count} answers are too many for a page");
                Err(Failure::wrong(wrong, format!("{MOST_ANSWERS} at most")))
            }
            _ => Ok(()),
        }
    }

    /// One line for who is still typing.
    fn hint(&self) -> Answer {
        let target = self.value("target");
        let words = match self.report(&["find", "--", target]) {
            Ok(report) => report.brief.iter().map(|line| line.words() + "\n").collect(),
            Err(_) => String::new(),
        };
        Answer::of_kind("text/plain; charset=utf-8", words)
    }

    /// The words of the card that is asked for.
    fn card_words(&self) -> Vec<String> {
        let mut words = vec!["card".to_owned()];
        words.extend(self.options(WORK.iter().map(|(name, ..)| *name).chain(["hand", "train"])));
        let ticked = TICKED.iter().filter(|(name, _)| !self.value(name).is_empty());
        words.extend(ticked.map(|(name, _)| format!("--{name}")));
        words.extend(self.next_cut_words());
        words
    }

    fn card(&self) -> Answer {
        let target = self.value("target");
        let words = self.card_words();
        let words: Vec<&str> = words.iter().map(String::as_str).chain(["--", target]).collect();
        self.page_of(("find", "Job card"), self.report(&words), |report| {
            html! {
                (actions(&[(self.place.link("find", &[("target", target)]), "The gears alone")]))
                @if report.is_some_and(|report| report.mounts) { (self.now_buttons()) }
                (self.why_boxes(false))
                p.handy #handy {}
                details.boxes {
                    summary { "What you have and how you work" }
                    form action=(self.place.own("card")) {
                        input type="hidden" name="target" value=(target);
                        @for name in ["hand", "train"].into_iter().chain(next_cut::NAMES) { @if !self.value(name).is_empty() {
                            input type="hidden" name=(name) value=(self.value(name));
                        } }
                        (hidden(&self.place))
                        @for (name, label) in TICKED {
                            p.entry { label {
                                input type="checkbox" name=(name) value="1" checked[!self.value(name).is_empty()];
                                " " (label)
                            } }
                        }
                        @for (name, label, such_as) in WORK {
                            (Entry { name, label, value: self.value(name), such_as }.line())
                        }
                        button { "Work it out" }
                    }
                }
                (self.next_cut_boxes(&self.card_asked(), report.is_some()))
            }
        })
    }

    /// What is asked of the card, for the address of another page about it.
    fn card_asked(&self) -> Vec<(&str, &str)> {
        let work = WORK.iter().map(|(name, ..)| *name);
        let ticked = TICKED.iter().map(|(name, _)| *name).chain(next_cut::NAMES);
        let names = work.chain(ticked).chain(["target", "hand", "train"]);
        let all = names.map(|name| (name, self.value(name)));
        all.filter(|(_, value)| !value.is_empty()).collect()
    }

    /// Buttons that record what is on the machine, where files may be changed.
    fn now_buttons(&self) -> Markup {
        html! {
            @if let Some(file) = self.file {
                form method="post" action=(self.place.link("card/now", &self.card_asked())) {
                    input type="hidden" name="was" value=(file.mark(&self.now_text()));
                    p.next {
                        button name="is" value="done" { "This is on the machine now" } " "
                        @if self.given.lathe.lathe.parts().fitted.is_some() {
                            button name="is" value="back" { "It is put back" }
                        }
                    }
                }
            }
        }
    }

    /// What the mark of the buttons is made of: the lathe, and what is on it.
    fn now_text(&self) -> String {
        format!("{}{}", self.given.lathe.source.text, files::written(self.given.now.as_ref()))
    }

    /// Records what the card mounts, or that it is put back. `was`: the mark of what was shown.
    fn keep_now(&self, file: &File, is: &str, was: &str) -> Answer {
        let option = match is {
            "done" => "--done",
            "back" => "--put-back-done",
            _ => return Answer::refused(400, "Nothing of a card is said."),
        };
        let words = self.card_words();
        let words = words.iter().map(String::as_str).chain([option, "--", self.value("target")]);
        let kept = self.undrawn(&words.collect::<Vec<_>>()).and_then(|report| {
            let written = report.rewritten.ok_or_else(|| Failure::new("there is no card"))?;
            file.keep_now(&written, || self.now_text_in_file(), was)
        });
        match kept {
            Ok(()) => Answer::see(self.place.link("card", &self.card_asked())),
            Err(failure) => self.refused("It was not recorded", &failure).with_status(409),
        }
    }

    /// The same as [`Self::now_text`], as the file says it at this moment.
    fn now_text_in_file(&self) -> Result<String, Failure> {
        let (lathe, recorded) = (&self.given.lathe, self.given.lathe.recorded()?);
        Ok(format!("{}{}", lathe.source.text, files::written(recorded.as_ref())))
    }

    /// Which mistake explains what a scratch pass measures.
    fn why(&self) -> Answer {
        let mut words = vec!["why".to_owned()];
        words.extend(self.options(["measured", "hand", "seen", "train"]));
        words.extend(["--".to_owned(), self.value("target").to_owned()]);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        self.page_of(("find", "What went wrong?"), self.report(&words), |_| self.why_boxes(true))
    }

    /// The boxes for it; `here`: on its own page, where they keep what was typed.
    fn why_boxes(&self, here: bool) -> Markup {
        let kept = |name| if here { self.value(name) } else { "" };
        let line = |name, label, such_as| Entry { name, label, value: kept(name), such_as }.line();
        html! {
            details.boxes open[here] {
                summary { "What did the scratch measure?" }
                form action=(self.place.own("why")) {
                    input type="hidden" name="target" value=(self.value("target"));
                    @if !self.value("train").is_empty() {
                        input type="hidden" name="train" value=(self.value("train"));
                    }
                    (hidden(&self.place))
                    (line("measured", "Measured along the scratch", "10 pitches = 15.88 mm"))
                    (line("hand", "Hand that came out, if wrong", "left"))
                    (line("seen", "Seen on the thread", "torn, tapered, drunken, double"))
                    button { "What went wrong?" }
                }
            }
        }
    }

    fn chart(&self) -> Answer {
        let plan = match self.value("plan") {
            "best" => "--plan=best",
            _ => "--plan=chart",
        };
        let said = self.options(["pairs"]);
        let words: Vec<&str> =
            ["table", plan].into_iter().chain(said.iter().map(|s| &**s)).collect();
        self.page_of(("chart", "Wall chart"), self.listed(&words), |_| {
            html! {
                details.boxes {
                    summary { "Another list" }
                    form action=(self.place.own("chart")) {
                        (list_box(self.value("list")))
                        p.entry { label {
                            input type="checkbox" name="plan" value="best" checked[self.value("plan") == "best"];
                            " In the order that moves the fewest gears"
                        } }
                        (hidden(&self.place))
                        button { "Make the chart" }
                    }
                }
            }
        })
    }

    fn buy(&self) -> Answer {
        let up_to = match self.value("up_to") {
            "2" => "--up-to=2",
            _ => "--up-to=1",
        };
        // An empty list that was sent is the everyday one.
        let is_asked = self.asked.value("list").is_some();
        let report = if is_asked { self.listed(&["buy", up_to]) } else { Ok(Report::new()) };
        self.page_of(("buy", "What to buy"), report, |_| {
            html! {
                form.boxes action=(self.place.own("buy")) {
                    (list_box(self.value("list")))
                    p.entry { label {
                        input type="checkbox" name="up_to" value="2" checked[self.value("up_to") == "2"];
                        " Two gears at once"
                    } }
                    (hidden(&self.place))
                    button { "Which gears are worth buying?" }
                }
            }
        })
    }

    fn reach(&self) -> Answer {
        let ends = self.options(["from", "to", "pairs"]);
        let mut words = vec!["reach"];
        words.extend(ends.iter().map(String::as_str));
        words.extend((!self.value("feeds").is_empty()).then_some("--feeds"));
        self.page_of(("more", "Everything in reach"), self.report(&words), |_| self.reach_boxes())
    }

    fn reach_boxes(&self) -> Markup {
        html! {
            form.boxes action=(self.place.own("reach")) {
                (Entry { name: "from", label: "From", value: self.value("from"), such_as: "0.5 mm" }.line())
                (Entry { name: "to", label: "to", value: self.value("to"), such_as: "M6, 40 tpi" }.line())
                p.entry { label {
                    input type="checkbox" name="feeds" value="1" checked[!self.value("feeds").is_empty()];
                    " Feeds, not threads"
                } }
                (hidden(&self.place))
                button { "What is in reach?" }
            }
        }
    }

    fn threads(&self) -> Answer {
        let words = self.value("words");
        self.page_of(
            ("more", "Which thread is this?"),
            self.report(&["threads", "--", words]),
            |_| self.threads_boxes(),
        )
    }

    fn threads_boxes(&self) -> Markup {
        html! {
            form.boxes action=(self.place.own("threads")) {
                (Entry {
                    name: "words",
                    label: "A thread's name, or what you measured",
                    value: self.value("words"),
                    such_as: "M10, 19 tpi, 13.1 mm 19 tpi",
                }.line())
                (hidden(&self.place))
                button { "Which thread is this?" }
            }
        }
    }

    fn gear(&self) -> Answer {
        let (teeth, tooth) = (self.value("teeth"), self.value("tooth"));
        let mut said = self.options(["outside"]);
        said.extend((!tooth.is_empty()).then(|| format!("--pitch={tooth}")));
        let mut words = vec!["gear"];
        words.extend(said.iter().map(String::as_str));
        words.push("--");
        words.extend(teeth.split([' ', ',']).filter(|teeth| !teeth.is_empty()));
        self.page_of(("more", "Which gear is this?"), self.report(&words), |_| self.gear_boxes())
    }

    fn gear_boxes(&self) -> Markup {
        let line =
            |name, label, such_as| Entry { name, label, value: self.value(name), such_as }.line();
        html! {
            form.boxes action=(self.place.own("gear")) {
                (line("teeth", "Teeth", "40, or 20 60 for two that run together"))
                (line("outside", "Over the tips", "52.4 mm"))
                (line("tooth", "Tooth size, if known", "module 1, 20 DP"))
                (hidden(&self.place))
                button { "Which gear is this?" }
            }
        }
    }

    fn more(&self) -> Answer {
        let frame = frame(&self.place, "more", "", &html! {});
        let content = html! {
            h1 { "More" }
            section { h2 { "Which thread is this?" } (self.threads_boxes()) }
            section { h2 { "Which gear is this?" } (self.gear_boxes()) }
            section { h2 { "Everything in reach" } (self.reach_boxes()) }
            section {
                h2 { "An unknown lead screw or ratio" }
                p { "From the chart on the lathe and a cut that you measured." }
                (actions(&[(self.place.link("learn", &[]), "Learn it")]))
            }
            section {
                h2 { "Take it along" }
                p { "One file for this lathe: every thread, the wall chart, the cautions. It needs no network." }
                (actions(&[(self.place.link("book", &[]), "The book")]))
            }
        };
        Answer::page(frame.page_of("More", &content))
    }

    fn book(&self) -> Answer {
        match self.listed(&["book"]) {
            Ok(report) => {
                let page = crate::render::Frame::default().page(&report);
                Answer::page(page).kept_as("lathe-book.html")
            }
            Err(failure) => self.refused("No book", &failure),
        }
    }
}

/// What is ticked, as the card takes it.
const TICKED: [(&str, &str); 2] =
    [("internal", "A nut, cut inside"), ("away", "Away from the headstock, out of the undercut")];

/// What can be said of the work, as the card takes it: name, label, what an entry looks like.
const WORK: [(&str, &str, &str); 14] = [
    ("mate", "A nut for one screw: the screw's pitch diameter", "8.80 mm"),
    ("class", "Class", "6g, 2A, 6H"),
    ("diameter", "Diameter, where a pitch alone was named", "30 mm"),
    ("blank", "Blank as measured", "9.86 mm"),
    ("taper", "Taper, where a pitch alone was named", "1:16"),
    ("centres", "Length between centres, for a taper", "200 mm"),
    ("nose", "Nose radius of the tool", "0.1 mm"),
    ("flat", "or the flat at its tip", "0.1 mm"),
    ("wire", "Wires that you have", "0.9 mm"),
    ("passes", "Number of passes", "8"),
    ("first", "First pass at most", "0.2 mm"),
    ("undercut", "Undercut: regular, short, or its width", "4 mm"),
    ("material", "Material, for the speed", "mild steel"),
    ("rpm", "Spindle speed", "100"),
];

fn list_box(value: &str) -> Markup {
    let label = "Threads and feeds, one a line; empty: the everyday list";
    Entry { name: "list", label, value, such_as: "M10\n11 1/2 tpi\n0.1 mm/rev" }.lines(6)
}
