//! Random lathes and questions, drawn from a strip of numbers: all zeros is the plainest case, and
//! each part of the lathe reads its own stretch, so that a failing case shrinks part by part.

use std::fmt::Write as _;

/// Numbers that one case is drawn from.
pub(crate) const STRIP: usize = PARTS * STRETCH;
const PARTS: usize = 8;
const STRETCH: usize = 64;

/// A stretch of the strip.
pub(crate) struct Dice<'s> {
    rest: &'s [u16],
}

impl<'s> Dice<'s> {
    /// From a strip of its own.
    pub(crate) fn new(rest: &'s [u16]) -> Self {
        Self { rest }
    }

    fn part(strip: &'s [u16], part: usize) -> Self {
        Self::new(&strip[part * STRETCH..(part + 1) * STRETCH])
    }

    /// The stretch that the question is drawn from.
    pub(crate) fn of_question(strip: &'s [u16]) -> Self {
        Self::part(strip, PARTS - 1)
    }

    /// A number under `limit`; zeros when the stretch is used up.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        let Some((next, rest)) = self.rest.split_first() else { return 0 };
        self.rest = rest;
        usize::from(*next) % limit
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// True once in `times` draws.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == times - 1
    }
}

/// The text of a lathe file.
pub(crate) fn lathe(strip: &[u16]) -> String {
    let mut shape = Dice::part(strip, 0);
    let plan = Plan::draw(&mut shape);
    let gears = Gears::draw(&plan, &mut Dice::part(strip, 1), &mut Dice::part(strip, 2));
    let levers = Gearbox::draw(&plan, &gears, &mut Dice::part(strip, 3));
    let mut file = Map::default();
    file.put("format", "1");
    let by_constant = spindle(&mut file, &mut Dice::part(strip, 4));
    screw(&mut file, by_constant, &mut Dice::part(strip, 6));
    file.put("gears", &gears.text);
    levers.write(&mut file);
    rest(&mut file, &plan, &gears, &mut Dice::part(strip, 5));
    file.text()
}

/// A JSON object in the making; values are JSON text.
#[derive(Default)]
struct Map(String);

impl Map {
    fn put(&mut self, key: &str, value: &str) {
        let comma = if self.0.is_empty() { "" } else { ", " };
        write!(self.0, "{comma}\"{key}\": {value}").expect("a string grows");
    }

    fn put_word(&mut self, key: &str, value: &str) {
        self.put(key, &quoted(value));
    }

    fn text(&self) -> String {
        format!("{{{}}}", self.0)
    }
}

fn quoted(word: &str) -> String {
    format!("\"{word}\"")
}

fn list<T: ToString>(values: impl IntoIterator<Item = T>) -> String {
    let values: Vec<String> = values.into_iter().map(|v| v.to_string()).collect();
    format!("[{}]", values.join(", "))
}

/// The size of the case.
struct Plan {
    studs: usize,
    /// Few sizes with many of each, in place of many sizes.
    deep: bool,
    kinds: usize,
    joints: usize,
    levers: usize,
}

impl Plan {
    fn draw(dice: &mut Dice) -> Self {
        let studs = dice.pick(&[1, 2, 1, 0, 2, 3, 1, 3]);
        let deep = dice.once_in(if studs == 3 { 2 } else { 4 });
        let joints = dice.pick(if deep { &[0, 0, 1][..] } else { &[0, 1, 0, 0, 2, 1][..] });
        let (fewest, most): (usize, usize) = match (deep, studs) {
            (true, 3) => (2, 2),
            (true, 2) => (2, 3),
            (_, 0) => (2, 9),
            (_, 1) => (3, 9),
            (_, 2) => (4, 6),
            _ => (4, 5),
        };
        let most = if deep { most } else { most.saturating_sub(2 * joints).max(1) };
        let kinds = fewest.min(most) + dice.below(most.saturating_sub(fewest) + 1);
        let levers = dice.pick(if studs < 2 { &[0, 1, 2, 1][..] } else { &[0, 0, 1][..] });
        Self { studs, deep, kinds, joints, levers }
    }
}

const PALETTES: [&[u64]; 6] = [
    &[20, 30, 40, 50, 60, 80, 100],
    // Doubles: many equal products.
    &[20, 40, 80, 30, 60, 25, 50, 100],
    &[10, 12, 15, 16, 18, 20, 24, 25, 30],
    &[37, 41, 43, 47, 53, 59, 61, 67, 71],
    &[20, 24, 28, 32, 36, 40, 45, 48, 63, 65, 80, 127],
    &[400, 399, 397, 391, 389, 200, 199, 5, 7],
];

const NEAR_SIZES: [&str; 3] = ["module 1", "module 1.5", "module 1.25"];
/// 20 DP is module 1.27 in other words.
const INCH_SIZES: [&str; 3] = ["20 DP", "module 1.27", "module 1.25"];

/// The gears, and what the other parts need to know of them.
struct Gears {
    text: String,
    /// Teeth of each kind that goes on the driving shaft, and on the last.
    first: Vec<u64>,
    last: Vec<u64>,
    /// Whether the machine's own gears have a pitch that is known.
    own_allowed: bool,
    palette: &'static [u64],
}

/// How the gears of one case differ.
struct Variety {
    default_pitch: Option<&'static str>,
    pitches: &'static [&'static str],
    /// Whether each gear says its pitch by itself.
    each: bool,
    angles: bool,
    places: bool,
    palette: &'static [u64],
}

impl Variety {
    fn draw(dice: &mut Dice) -> Self {
        let pitch = dice.below(8);
        let (default_pitch, pitches, each): (_, &[_], _) = match pitch {
            0 | 1 => (None, &[], false),
            2 => (Some("module 1"), &[], false),
            3 | 4 => (Some("module 1"), &NEAR_SIZES[..2], false),
            5 => (Some("20 DP"), &INCH_SIZES, false),
            6 => (Some("module 1.5"), &NEAR_SIZES, false),
            _ => (None, &NEAR_SIZES[..2], true),
        };
        let (angles, places) = (dice.once_in(8), dice.once_in(4));
        let palette = PALETTES[dice.below(PALETTES.len())];
        Self { default_pitch, pitches, each, angles, places, palette }
    }

    /// Pitch, pressure angle and places of one gear, as keys; and the places.
    fn gear(&self, dice: &mut Dice) -> (Map, [bool; 3]) {
        let mut keys = Map::default();
        let (said, pitch) = (dice.once_in(2), dice.below(self.pitches.len().max(1)));
        if (said || self.each) && !self.pitches.is_empty() {
            keys.put_word("pitch", self.pitches[pitch]);
        }
        let (angle, places) = (dice.once_in(3), dice.once_in(3));
        if self.angles && angle {
            keys.put("pressure_angle", "14.5");
        }
        let mut allowed = [true; 3];
        if self.places && places {
            let out = dice.below(3);
            allowed[out] = false;
            let names = ["driving", "stud", "driven"];
            keys.put("places", &list((0..3).filter(|&i| allowed[i]).map(|i| quoted(names[i]))));
        }
        (keys, allowed)
    }
}

impl Gears {
    fn draw(plan: &Plan, dice: &mut Dice, joints: &mut Dice) -> Self {
        let variety = Variety::draw(dice);
        let mut gears = Self {
            text: String::new(),
            first: Vec::new(),
            last: Vec::new(),
            own_allowed: !variety.each,
            palette: variety.palette,
        };
        let owned: Vec<String> =
            (0..plan.kinds).map(|_| gears.loose(plan, &variety, dice)).collect();
        let joined: Vec<String> = (0..plan.joints).map(|_| gears.joint(&variety, joints)).collect();
        let mut text = Map::default();
        if let Some(pitch) = variety.default_pitch {
            text.put_word("pitch", pitch);
        }
        text.put("owned", &list(owned));
        if !joined.is_empty() {
            text.put("joined", &list(joined));
        }
        gears.text = text.text();
        gears
    }

    fn loose(&mut self, plan: &Plan, variety: &Variety, dice: &mut Dice) -> String {
        let teeth = dice.pick(variety.palette);
        let few = dice.pick(&[1, 1, 1, 2, 1, 1, 3]);
        let count = if plan.deep { few + plan.studs } else { few };
        let (mut keys, allowed) = variety.gear(dice);
        self.note(teeth, allowed);
        if keys.0.is_empty() {
            return vec![teeth.to_string(); count].join(", ");
        }
        keys.put("teeth", &teeth.to_string());
        keys.put("count", &count.to_string());
        keys.text()
    }

    fn joint(&mut self, variety: &Variety, dice: &mut Dice) -> String {
        let sides = [dice.pick(variety.palette), dice.pick(variety.palette)];
        let (said, turn, count) = (dice.once_in(2), dice.once_in(2), dice.pick(&[1, 1, 1, 2]));
        let (mut keys, allowed) = variety.gear(dice);
        for teeth in sides {
            self.note(teeth, allowed);
        }
        keys.put("gears", &list(sides));
        if said {
            keys.put("turn_round", if turn { "true" } else { "false" });
        }
        if count > 1 {
            keys.put("count", &count.to_string());
        }
        keys.text()
    }

    fn note(&mut self, teeth: u64, allowed: [bool; 3]) {
        self.first.extend(allowed[0].then_some(teeth));
        self.last.extend(allowed[2].then_some(teeth));
    }

    /// What an end shaft takes; `choices` are the sizes that go there.
    fn end(&self, choices: &[u64], dice: &mut Dice) -> String {
        let own = dice.pick(self.palette);
        let (way, from, more) = (dice.below(3), dice.below(64), dice.below(3));
        match way {
            0 if self.own_allowed => own.to_string(),
            _ if choices.is_empty() => quoted("any"),
            _ => list((0..=more).map(|i| choices[(from + i) % choices.len()])),
        }
    }
}

const RATIOS: [&str; 8] =
    ["\"1\"", "\"1/2\"", "\"2\"", "\"3/4\"", "2", "\"16/23\"", "\"4/5\"", "\"1/4\""];
const TURNS: [&str; 6] = ["same", "opposite", "same", "opposite", "same", "unknown"];

#[derive(Default)]
struct Gearbox {
    levers: Vec<String>,
    forbidden: Vec<String>,
    needs_last: Vec<String>,
    combinations: Vec<String>,
}

const LEVERS: [&str; 2] = ["Range", "Cone"];
/// Not in the order of the alphabet, which the file's order must not be taken for.
const POSITIONS: [&str; 3] = ["C", "A", "B"];

impl Gearbox {
    fn draw(plan: &Plan, gears: &Gears, dice: &mut Dice) -> Self {
        let mut gearbox = Self::default();
        let counts: Vec<usize> = (0..plan.levers).map(|lever| gearbox.lever(lever, dice)).collect();
        if counts.is_empty() {
            return gearbox;
        }
        let when = |lever: usize, at: usize| {
            format!("{}: {}", quoted(LEVERS[lever]), quoted(POSITIONS[at % counts[lever]]))
        };
        let all = |at: usize| {
            let each: Vec<String> = (0..counts.len()).map(|lever| when(lever, at)).collect();
            format!("{{{}}}", each.join(", "))
        };
        if dice.once_in(4) {
            gearbox.forbidden.push(all(dice.below(3)));
        }
        let rules = dice.pick(&[0, 1, 2, 0]);
        for at in 0..rules.min(counts[0]) {
            let last = gears.end(&gears.last, dice);
            let when = when(0, at);
            gearbox.needs_last.push(format!("{{\"when\": {{{when}}}, \"driven\": {last}}}"));
        }
        for at in 0..dice.pick(&[0, 0, 1, 2]).min(counts[0]) {
            let mut text = Map::default();
            let whole = dice.once_in(2);
            text.put("when", &if whole { all(at) } else { format!("{{{}}}", when(0, at)) });
            position(&mut text, dice);
            gearbox.combinations.push(text.text());
        }
        gearbox
    }

    /// Draws a lever; how many positions it has.
    fn lever(&mut self, at: usize, dice: &mut Dice) -> usize {
        let count = 2 + dice.below(2);
        let mut positions = Map::default();
        for name in &POSITIONS[..count] {
            let mut text = Map::default();
            let plain = dice.once_in(2);
            let ratio = position(&mut text, dice);
            match dice.below(12) {
                11 => text.put_word("only", "thread"),
                10 => text.put_word("only", "feed"),
                _ => {}
            }
            positions.put(name, &if plain { ratio.to_owned() } else { text.text() });
        }
        let mut lever = Map::default();
        lever.put_word("name", LEVERS[at]);
        lever.put("positions", &positions.text());
        self.levers.push(lever.text());
        count
    }

    fn write(&self, file: &mut Map) {
        if self.levers.is_empty() {
            return;
        }
        let mut text = Map::default();
        text.put("levers", &list(&self.levers));
        for (key, rules) in [
            ("forbidden", &self.forbidden),
            ("needs_driven", &self.needs_last),
            ("combinations", &self.combinations),
        ] {
            if !rules.is_empty() {
                text.put(key, &list(rules));
            }
        }
        file.put("gearbox", &text.text());
    }
}

/// Ratio and sense of a lever position or combination; the ratio alone.
fn position(text: &mut Map, dice: &mut Dice) -> &'static str {
    let ratio = if dice.once_in(16) { "\"unknown\"" } else { dice.pick(&RATIOS) };
    text.put("ratio", ratio);
    match dice.below(8) {
        5 | 6 => text.put_word("turns", "opposite"),
        7 => text.put_word("turns", "unknown"),
        _ => {}
    }
    ratio
}

/// The headstock, and the screw constant; true: there is one.
fn spindle(file: &mut Map, dice: &mut Dice) -> bool {
    let by_constant = dice.once_in(10);
    let count = dice.pick(&[1, 1, 1, 2, 1, 3]);
    let mut head = if count == 1 {
        headstock_position(by_constant, dice)
    } else {
        let mut positions = Map::default();
        for name in &["normal", "coarse x8", "back gear"][..count] {
            positions.put(name, &headstock_position(by_constant, dice).text());
        }
        let mut head = Map::default();
        head.put("positions", &positions.text());
        head
    };
    let tumbler = TUMBLERS[dice.below(TUMBLERS.len())];
    if !tumbler.is_empty() {
        let mut text = Map::default();
        for (name, turns) in tumbler {
            text.put_word(name, turns);
        }
        head.put("tumbler", &text.text());
    }
    if by_constant {
        file.put_word("screw_constant", dice.pick(&["8 tpi", "3 mm", "1/8 in"]));
    }
    file.put("headstock", &head.text());
    by_constant
}

const TUMBLERS: [&[(&str, &str)]; 8] = [
    &[("up", "same"), ("down", "opposite")],
    &[],
    &[("up", "opposite"), ("middle", "same"), ("down", "same")],
    &[],
    &[("out", "unknown"), ("in", "opposite")],
    &[],
    &[("in", "opposite")],
    &[("up", "same"), ("down", "opposite")],
];

/// With the screw constant a position states its sense only.
fn headstock_position(by_constant: bool, dice: &mut Dice) -> Map {
    let mut position = Map::default();
    let ratio = if dice.once_in(24) { "\"unknown\"" } else { dice.pick(&RATIOS) };
    if !by_constant {
        position.put("ratio", ratio);
    }
    // One in seven says nothing.
    if let Some(turns) = TURNS.get(dice.below(TURNS.len() + 1)) {
        position.put_word("turns", turns);
    }
    position
}

fn screw(file: &mut Map, by_constant: bool, dice: &mut Dice) {
    let mut screw = Map::default();
    let lead = dice.pick(&["3 mm", "8 tpi", "1/8 in", "5 mm", "16 tpi", "0.25 in", "4 mm"]);
    let lead = if dice.once_in(40) { "unknown" } else { lead };
    if !by_constant {
        screw.put_word("lead", lead);
    }
    if dice.once_in(4) {
        screw.put_word("hand", "left");
    }
    if !screw.0.is_empty() {
        file.put("lead_screw", &screw.text());
    }
}

/// Studs, sleeves, ends, feeds, and what stands on the machine.
fn rest(file: &mut Map, plan: &Plan, gears: &Gears, dice: &mut Dice) {
    file.put("studs", &plan.studs.to_string());
    let fewer = dice.below(plan.studs + 1);
    if dice.once_in(5) {
        file.put("sleeves", &fewer.to_string());
    }
    let mut ends = Map::default();
    for (key, choices) in [("driving", &gears.first), ("driven", &gears.last)] {
        let end = gears.end(choices, dice);
        if dice.once_in(4) {
            ends.put(key, &end);
        }
    }
    if !ends.0.is_empty() {
        file.put("ends", &ends.text());
    }
    let (long, cross) = (dice.once_in(2), dice.once_in(2));
    let mut feeds = Map::default();
    if long {
        feeds.put_word("long", dice.pick(&["0.5 mm", "0.02 in"]));
    }
    if cross {
        feeds.put_word("cross", dice.pick(&["0.25 mm", "1/64 in"]));
    }
    if !feeds.0.is_empty() {
        file.put("feeds", &feeds.text());
    }
    if dice.once_in(3) {
        let mut fitted = Map::default();
        fitted.put_word("train", &train(gears, plan.studs, dice));
        file.put("fitted", &fitted.text());
    }
}

/// Some train from the palette, whether its gears are owned or not.
fn train(gears: &Gears, studs: usize, dice: &mut Dice) -> String {
    let mut train = dice.pick(gears.palette).to_string();
    for _ in 0..dice.below(studs + 1) {
        let (driven, driver) = (dice.pick(gears.palette), dice.pick(gears.palette));
        let pair = if dice.once_in(2) { format!("+{driver}") } else { String::new() };
        write!(train, "-{driven}{pair}").expect("a string grows");
    }
    format!("{train}-{}", dice.pick(gears.palette))
}
