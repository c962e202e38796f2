//! What a lathe file says, read with no help from the library: gears with how many there are of
//! each, end shafts, studs, and every setting of headstock and levers with its constant and sense.

use super::json::Json;
use super::number::{Q, millimetres, module, number, ratio};
use super::on_bracket::Stands;

/// +1 turns the same way, -1 the other way; nothing: not known.
pub(crate) type Sense = Option<i8>;

pub(crate) fn then(a: Sense, b: Sense) -> Sense {
    Some(a? * b?)
}

fn sense(word: Option<&Json>, unless_said: &str) -> Sense {
    match word.map_or(unless_said, Json::text) {
        "same" | "right" => Some(1),
        "opposite" | "left" => Some(-1),
        "unknown" => None,
        other => panic!("sense {other}"),
    }
}

/// One kind of gear. Two sides of a joint draw from the same pool.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kind {
    pub(crate) teeth: u64,
    pub(crate) pitch: Option<String>,
    pub(crate) angle: Q,
    pub(crate) places: [bool; 3],
    pub(crate) owner: Owner,
}

/// Where a gear comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Owner {
    Loose,
    /// A side of the joint of this number.
    Joint(usize),
    /// The machine's own gear on an end shaft: not one of the owned ones.
    Machine,
}

impl Kind {
    /// Module 1 where no pitch is stated.
    pub(crate) fn module(&self) -> Q {
        self.pitch.as_deref().map_or_else(|| number("1"), module)
    }

    pub(crate) fn meshes(&self, other: &Self) -> bool {
        self.module() == other.module() && self.angle == other.angle
    }
}

/// Two kinds that are one piece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Joint {
    pub(crate) driven: usize,
    pub(crate) driver: usize,
    pub(crate) turn_round: bool,
}

/// What an end shaft takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum End {
    Any,
    Own(u64),
    Owned(Vec<u64>),
}

impl End {
    fn read(said: Option<&Json>) -> Self {
        match said {
            Some(Json::List(sizes)) => Self::Owned(sizes.iter().map(Json::whole).collect()),
            Some(size @ Json::Number(_)) => Self::Own(size.whole()),
            _ => Self::Any,
        }
    }

    pub(crate) fn takes(&self, gear: &Kind) -> bool {
        let own = gear.owner == Owner::Machine;
        match self {
            Self::Any => !own,
            Self::Own(teeth) => own && gear.teeth == *teeth,
            Self::Owned(sizes) => !own && sizes.contains(&gear.teeth),
        }
    }
}

/// Headstock and levers in one position each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Setting {
    pub(crate) headstock: usize,
    pub(crate) levers: Vec<usize>,
    /// Travel per spindle turn with equal gears, in mm.
    pub(crate) constant: Q,
    /// Sense of lead screw, headstock and levers together.
    pub(crate) sense: Sense,
    pub(crate) last: End,
    /// Whether a rule of the gearbox asked for `last`.
    pub(crate) special: bool,
}

/// What the tool is moved by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Travel {
    Thread,
    Long,
    Cross,
}

/// The whole file.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    /// Owned kinds in order (loose, then joints), then the machine's own end gears.
    pub(crate) kinds: Vec<Kind>,
    /// How many pieces there are of each kind; both sides of a joint show the joint's count.
    pub(crate) counts: Vec<u64>,
    pub(crate) joints: Vec<Joint>,
    pub(crate) studs: usize,
    pub(crate) sleeves: usize,
    pub(crate) first: End,
    pub(crate) tumbler: Vec<Sense>,
    /// Gears of each shaft of the train that stands on the machine.
    pub(crate) fitted: Option<Vec<Vec<u64>>>,
    /// The bracket, where trains must stand on one.
    pub(crate) bracket: Option<Stands>,
    file: Json,
}

impl Sheet {
    pub(crate) fn read(text: &str) -> Self {
        let file = Json::read(text);
        let small = |key: &str| file.get(key).map(|n| usize::try_from(n.whole()).expect("small"));
        let studs = small("studs").unwrap_or(1);
        let ends = file.get("ends");
        let mut sheet = Self {
            kinds: Vec::new(),
            counts: Vec::new(),
            joints: Vec::new(),
            studs,
            sleeves: small("sleeves").unwrap_or(studs),
            first: End::read(ends.and_then(|e| e.get("driving"))),
            tumbler: tumbler(&file),
            fitted: file.get("fitted").and_then(|f| f.get("train")).map(|t| shafts(t.text())),
            bracket: None,
            file,
        };
        sheet.read_gears();
        sheet.add_own_gears();
        sheet
    }

    /// The gear that goes along on a shaft without work: the other side of a joint.
    pub(crate) fn idle(&self, shaft: &[usize]) -> Option<usize> {
        let [works] = shaft else { return None };
        let Owner::Joint(at) = self.kinds[*works].owner else { return None };
        let Joint { driven, driver, .. } = self.joints[at];
        Some(driven + driver - works)
    }

    /// The same machine, its bracket left out.
    pub(crate) fn bare(&self) -> Self {
        Self { bracket: None, ..self.clone() }
    }

    fn read_gears(&mut self) {
        let gears = self.file.get("gears").expect("gears").clone();
        for said in gears.get("owned").map_or(&[][..], Json::list) {
            self.add_loose(loose(said, &gears), count(said));
        }
        for said in gears.get("joined").map_or(&[][..], Json::list) {
            self.add_joint(said, &gears);
        }
    }

    fn add_loose(&mut self, kind: Kind, count: u64) {
        if let Some(at) = self.kinds.iter().position(|k| *k == kind) {
            self.counts[at] += count;
        } else {
            self.kinds.push(kind);
            self.counts.push(count);
        }
    }

    fn add_joint(&mut self, said: &Json, gears: &Json) {
        let at = self.joints.len();
        let driven = self.kinds.len();
        for teeth in said.get("gears").expect("gears of a joint").list() {
            let mut kind = gear(teeth.whole(), said, gears);
            kind.owner = Owner::Joint(at);
            self.kinds.push(kind);
            self.counts.push(count(said));
        }
        let turn_round = said.get("turn_round") != Some(&Json::Truth(false));
        self.joints.push(Joint { driven, driver: driven + 1, turn_round });
    }

    /// The machine's own gears: pitch and pressure angle are those of the box.
    fn add_own_gears(&mut self) {
        let gears = self.file.get("gears").expect("gears").clone();
        let needed = self.gearbox("needs_driven").iter().map(|rule| End::read(rule.get("driven")));
        let mut ends = vec![self.first.clone(), self.plain_last()];
        ends.extend(needed);
        for end in ends {
            let End::Own(teeth) = end else { continue };
            let mut kind = gear(teeth, &Json::Null, &gears);
            kind.owner = Owner::Machine;
            if !self.kinds.contains(&kind) {
                self.kinds.push(kind);
                self.counts.push(2);
            }
        }
    }

    fn plain_last(&self) -> End {
        End::read(self.file.get("ends").and_then(|e| e.get("driven")))
    }

    fn gearbox(&self, key: &str) -> &[Json] {
        self.file.get("gearbox").and_then(|b| b.get(key)).map_or(&[], Json::list)
    }

    /// Every allowed setting, first lever slowest; none where a figure that is needed is unknown.
    pub(crate) fn settings(&self, travel: Travel) -> Vec<Setting> {
        let levers = self.gearbox("levers");
        let mut choices: Vec<Vec<usize>> = vec![Vec::new()];
        for lever in levers {
            let positions = lever.get("positions").expect("positions").pairs().len();
            choices = choices
                .iter()
                .flat_map(|c| (0..positions).map(|p| [c.as_slice(), &[p]].concat()))
                .collect();
        }
        let heads = headstock(&self.file);
        (0..heads.len())
            .flat_map(|h| choices.iter().map(move |c| (h, c)))
            .filter_map(|(h, c)| self.setting(travel, h, &heads[h], c))
            .collect()
    }

    fn setting(
        &self,
        travel: Travel,
        headstock: usize,
        head: &(Option<Q>, Sense),
        at: &[usize],
    ) -> Option<Setting> {
        let levers = Levers::at(self.gearbox("levers"), at);
        let forbidden = self.gearbox("forbidden").iter().any(|when| levers.hold(when));
        if forbidden || !levers.serve(travel) {
            return None;
        }
        let mut constant = self.figure(travel, head.0.as_ref())?;
        let screw = self.file.get("lead_screw").and_then(|s| s.get("hand"));
        let mut turned = then(sense(screw, "right"), head.1);
        for part in levers.parts(self.gearbox("combinations")) {
            let (ratio, sense) = part_of_gearbox(part);
            constant *= ratio?;
            turned = then(turned, sense);
        }
        let needed = self.gearbox("needs_driven").iter().find(|rule| levers.hold(when(rule)));
        Some(Setting {
            headstock,
            levers: at.to_vec(),
            constant,
            sense: turned,
            last: needed.map_or_else(|| self.plain_last(), |rule| End::read(rule.get("driven"))),
            special: needed.is_some(),
        })
    }

    /// Travel per turn of the driving gear at a gearbox of 1.
    fn figure(&self, travel: Travel, headstock: Option<&Q>) -> Option<Q> {
        let feed = |key: &str| self.file.get("feeds").and_then(|f| f.get(key));
        let said = match travel {
            Travel::Thread => None,
            Travel::Long => feed("long"),
            Travel::Cross => Some(feed("cross")?),
        };
        if let (None, Some(constant)) = (said, self.file.get("screw_constant")) {
            return millimetres(constant.text());
        }
        let screw = self.file.get("lead_screw").and_then(|s| s.get("lead"));
        Some(millimetres(said.or(screw)?.text())? * headstock?)
    }
}

/// Levers in one position each: name, position, and what the file says of it.
struct Levers<'j>(Vec<(&'j str, &'j str, &'j Json)>);

impl<'j> Levers<'j> {
    fn at(levers: &'j [Json], at: &[usize]) -> Self {
        let one = |(lever, &at): (&'j Json, &usize)| {
            let (position, said) = &lever.get("positions").expect("positions").pairs()[at];
            (lever.get("name").expect("name").text(), position.as_str(), said)
        };
        Self(levers.iter().zip(at).map(one).collect())
    }

    /// Whether all that `when` names stand so.
    fn hold(&self, when: &Json) -> bool {
        let stands = |lever: &str, at: &str| {
            self.0.iter().any(|(name, now, _)| lever == *name && at == *now)
        };
        when.pairs().iter().all(|(lever, at)| stands(lever, at.text()))
    }

    fn serve(&self, travel: Travel) -> bool {
        self.0.iter().all(|(.., said)| match said.get("only").map(Json::text) {
            Some("thread") => travel == Travel::Thread,
            Some("feed") => travel != Travel::Thread,
            _ => true,
        })
    }

    /// What multiplies: combinations that hold, and levers that none of them names.
    fn parts(&self, combinations: &'j [Json]) -> Vec<&'j Json> {
        let mut parts: Vec<&Json> = combinations.iter().filter(|c| self.hold(when(c))).collect();
        let named = |lever: &str| parts.iter().any(|c| when(c).get(lever).is_some());
        let own: Vec<&Json> =
            self.0.iter().filter(|(lever, ..)| !named(lever)).map(|(.., said)| *said).collect();
        parts.extend(own);
        parts
    }
}

fn when(rule: &Json) -> &Json {
    rule.get("when").expect("when")
}

/// Ratio and sense of a lever position or combination.
fn part_of_gearbox(said: &Json) -> (Option<Q>, Sense) {
    if said.is_map() {
        let stated = said.get("ratio").expect("ratio");
        (ratio(stated.text()), sense(said.get("turns"), "same"))
    } else {
        (ratio(said.text()), Some(1))
    }
}

/// Ratio and sense of each headstock position.
fn headstock(file: &Json) -> Vec<(Option<Q>, Sense)> {
    let head = file.get("headstock").cloned().unwrap_or(Json::Null);
    let one = |said: &Json| {
        let stated = said.get("ratio").and_then(|r| ratio(r.text()));
        (stated, sense(said.get("turns"), "unknown"))
    };
    match head.get("positions") {
        Some(positions) => positions.pairs().iter().map(|(_, said)| one(said)).collect(),
        None => vec![one(&head)],
    }
}

fn tumbler(file: &Json) -> Vec<Sense> {
    let said = file.get("headstock").and_then(|h| h.get("tumbler"));
    said.map_or(&[][..], Json::pairs).iter().map(|(_, word)| sense(Some(word), "same")).collect()
}

fn count(said: &Json) -> u64 {
    said.get("count").map_or(1, Json::whole)
}

fn loose(said: &Json, gears: &Json) -> Kind {
    let teeth = said.get("teeth").unwrap_or(said);
    gear(teeth.whole(), said, gears)
}

/// A gear with what `said` states, and what the whole box states where `said` does not.
fn gear(teeth: u64, said: &Json, gears: &Json) -> Kind {
    let stated = |key| said.get(key).or_else(|| gears.get(key)).map(Json::text);
    let places = said.get("places").map(Json::list);
    let allows = |place: &str| places.is_none_or(|p| p.iter().any(|word| word.text() == place));
    Kind {
        teeth,
        pitch: stated("pitch").map(str::to_owned),
        angle: number(stated("pressure_angle").unwrap_or("20")),
        places: ["driving", "stud", "driven"].map(allows),
        owner: Owner::Loose,
    }
}

/// Gears of each shaft of `20-80+20-80`.
fn shafts(train: &str) -> Vec<Vec<u64>> {
    let gear = |teeth: &str| teeth.trim().parse().expect("teeth");
    train.split('-').map(|shaft| shaft.split('+').map(gear).collect()).collect()
}
