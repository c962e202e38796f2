//! The leads on a logarithmic axis, downward: a stroke where there is one, so that gaps show; the
//! standard pitches stand beside them, metric on the left and inch on the right, with a mark that
//! says how well each is met.

use super::Request;
use super::page::{is_inch, pitch, span};
use super::survey::{Standard, State, Survey};
use crate::report::drawing::{Anchor, Drawing, Form, Lettering, Part, View};
use crate::report::number::grouped;
use crate::words::doubt;

/// A sheet of A4 less its margins, in mm.
const WIDTH: f64 = 180.0;
/// Length of the axis.
const AXIS: f64 = 225.0;
/// The smallest letters: 1/36 of the width, so that they can be read on a phone.
const SMALL: f64 = WIDTH / 36.0;
const LARGE: f64 = 7.0;
/// From label to label.
const LINE: f64 = 5.4;
/// Space above the axis for the title, and below it for the legend.
const HEAD: f64 = 32.0;
const FOOT: f64 = 30.0;
/// Left edge of the strokes, and their length.
const STROKES: (f64, f64) = (78.0, 24.0);
/// A label farther from its place than this is hard to follow.
const FAR: f64 = 9.0;
/// From the strokes outward: marks, in lanes so that none hides another, and the ends of a label's line.
const MARK: f64 = 3.0;
const LANE: f64 = 3.2;
const BEND: f64 = 20.0;
const LABEL: f64 = 27.0;
/// Half of a mark.
const HALF: f64 = 1.2;

/// One side of the axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// The picture.
pub(super) fn draw(request: &Request, survey: &Survey) -> Drawing {
    let mut view = View::new("leads", (0.0, HEAD + AXIS + FOOT), 1.0);
    let what = if request.travel.is_feed() { "feeds" } else { "leads" };
    let ended = if survey.ended { ", ended early" } else { "" };
    let title = format!("{} {what} in reach{ended}", grouped(survey.leads.into()));
    write_head(request, &title, &mut view);
    let mut dropped = 0;
    if let Some(axis) = Axis::of(request, survey) {
        axis.strokes(survey, &mut view);
        axis.ends(&mut view);
        if request.travel.is_feed() {
            axis.round_figures(&mut view);
        }
        for side in [Side::Left, Side::Right] {
            dropped += axis.standards(request, survey, side, &mut view);
        }
    }
    write_foot(request, survey, dropped, &mut view);
    Drawing {
        description: description(request, survey),
        title,
        size: (WIDTH, HEAD + AXIS + FOOT),
        views: vec![view],
        above: Vec::new(),
        below: Vec::new(),
    }
}

fn description(request: &Request, survey: &Survey) -> String {
    let met = |state| survey.count(request, state, &|_| true);
    let counts = State::ALL.map(|state| (met(state), state.word()));
    let counts = counts.iter().filter(|(count, word)| *count > 0 || *word != "too close");
    let counts: Vec<String> = counts.map(|(count, word)| format!("{count} {word}")).collect();
    let standards = format!(" Standard pitches: {}.", counts.join(", "));
    let standards = if survey.standards.is_empty() { String::new() } else { standards };
    format!("A stroke for each lead {}, on a logarithmic axis.{standards}", span(request))
}

/// Up from the lower edge of the sheet.
const fn up(down: f64) -> f64 {
    HEAD + AXIS + FOOT - down
}

const fn letters(anchor: Anchor) -> Lettering {
    Lettering { height: SMALL, bold: false, anchor }
}

fn write_head(request: &Request, title: &str, view: &mut View) {
    let large = Lettering { height: LARGE, bold: true, anchor: Anchor::Start };
    view.write(Part::Label, (4.0, up(9.0)), title, large);
    view.write(Part::Label, (4.0, up(17.0)), request.machine.name(), letters(Anchor::Start));
    if !request.travel.is_feed() {
        let (left, long) = STROKES;
        let heads = [
            (left - LABEL, "metric and other", Anchor::End),
            (left + long + LABEL, "inch", Anchor::Start),
        ];
        for (right, words, anchor) in heads {
            let bold = Lettering { bold: true, ..letters(anchor) };
            view.write(Part::Label, (right, up(HEAD - 7.0)), words, bold);
        }
    }
}

fn write_foot(request: &Request, survey: &Survey, dropped: usize, view: &mut View) {
    let feed = request.travel.is_feed();
    if !feed {
        let marks = [
            (6.0, State::Exact, "exact"),
            (30.0, State::Near, "within tolerance"),
            (86.0, State::Missed, "missed"),
            (118.0, State::TooClose, doubt::TOO_CLOSE),
        ];
        let unsure = survey.count(request, State::TooClose, &|_| true) > 0;
        let shown = |(_, state, _): &(f64, State, &str)| *state != State::TooClose || unsure;
        for (right, state, words) in marks.into_iter().filter(shown) {
            mark((right, up(HEAD + AXIS + 14.0)), state, view);
            let at = (right + 4.0, up(HEAD + AXIS + 15.7));
            view.write(Part::Label, at, words, letters(Anchor::Start));
        }
    }
    let words = match dropped {
        _ if feed => "Short feeds above, long ones below.".to_string(),
        0 => "Short leads above, long ones below.".to_string(),
        n => format!("Short leads above. {n} standard pitches have no label."),
    };
    view.write(Part::Label, (8.0, up(HEAD + AXIS + 24.0)), words, letters(Anchor::Start));
}

/// From a lead's logarithm to a place on the sheet.
struct Axis {
    low: f64,
    high: f64,
}

impl Axis {
    /// The span asked; where it has no end the leads have.
    fn of(request: &Request, survey: &Survey) -> Option<Self> {
        let log = |lead: &solver::Lead| lead.to_f64().ln();
        let low = request.from.as_ref().or(survey.shortest.as_ref()).map(log)?;
        let high = request.to.as_ref().or(survey.longest.as_ref()).map(log)?;
        // A single lead stands in the middle.
        let room = if high - low < 1e-9 { 0.01 } else { 0.0 };
        Some(Self { low: low - room, high: high + room })
    }

    /// Down from the upper end of the axis.
    fn place(&self, log: f64) -> f64 {
        ((log - self.low) / (self.high - self.low) * AXIS).clamp(0.0, AXIS)
    }

    fn strokes(&self, survey: &Survey, view: &mut View) {
        let (left, long) = STROKES;
        let frame = [(left, 0.0), (left + long, 0.0), (left + long, AXIS), (left, AXIS)];
        let frame = frame.map(|(right, down)| (right, up(HEAD + down)));
        view.draw(Part::Scale, Form::Polygon(frame.to_vec()));
        let stroke = |log: &f64| {
            let height = up(HEAD + self.place(*log));
            [(left, height), (left + long, height)]
        };
        if !survey.marks.is_empty() {
            view.draw(Part::Lead, Form::Strokes(survey.marks.iter().map(stroke).collect()));
        }
    }

    /// What the ends of the axis stand for.
    fn ends(&self, view: &mut View) {
        let (left, long) = STROKES;
        for (log, down) in [(self.low, -1.6), (self.high, AXIS + SMALL)] {
            let at = (left + long / 2.0, up(HEAD + down));
            view.write(
                Part::Scale,
                at,
                format!("{} mm", short(log.exp())),
                letters(Anchor::Middle),
            );
        }
    }

    /// Feeds have no standard: round figures stand beside them.
    fn round_figures(&self, view: &mut View) {
        let (left, long) = STROKES;
        let mut last = f64::NEG_INFINITY;
        for exponent in -5..=3 {
            for digit in [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0] {
                let mm = digit * 10_f64.powi(exponent);
                if mm.ln() < self.low - 1e-9 || mm.ln() > self.high + 1e-9 {
                    continue;
                }
                let down = self.place(mm.ln());
                let height = up(HEAD + down);
                view.draw(Part::Scale, Form::Line(vec![(left - MARK, height), (left, height)]));
                if down - last >= LINE {
                    last = down;
                    let at = (left - MARK - 1.5, height - SMALL * 0.35);
                    view.write(Part::Scale, at, format!("{} mm", short(mm)), letters(Anchor::End));
                    let inch = format!("{} in", short(mm / 25.4));
                    let at = (left + long + 1.5, at.1);
                    view.write(Part::Scale, at, inch, letters(Anchor::Start));
                }
            }
        }
    }

    /// Marks and labels of one side; gives the number of those without a label.
    fn standards(&self, request: &Request, survey: &Survey, side: Side, view: &mut View) -> usize {
        let of_side = |standard: &&Standard| is_inch(&standard.lead) == (side == Side::Right);
        let known =
            |standard: &'_ Standard| Some((standard.state(&request.within)?, standard.clone()));
        let all: Vec<(State, Standard)> =
            survey.standards.iter().filter(of_side).filter_map(known).collect();
        let places: Vec<f64> =
            all.iter().map(|(_, standard)| self.place(standard.lead.to_f64().ln())).collect();
        let ranks: Vec<u32> = all.iter().map(|(state, standard)| rank(*state, standard)).collect();
        let labels = labels(&places, &ranks);
        let outward = outward(&places);
        for (((state, _), place), out) in all.iter().zip(&places).zip(&outward) {
            let (right, _) = side.at(*out);
            mark((right, up(HEAD + place)), *state, view);
        }
        for label in &labels {
            if let Some(((_, standard), out)) = all.get(label.of).zip(outward.get(label.of)) {
                side.label(&pitch(standard), *out, label, view);
            }
        }
        all.len() - labels.len()
    }
}

impl Side {
    /// So far out from the strokes, and where words begin there.
    fn at(self, out: f64) -> (f64, Anchor) {
        let (left, long) = STROKES;
        match self {
            Self::Left => (left - out, Anchor::End),
            Self::Right => (left + long + out, Anchor::Start),
        }
    }

    /// A label with the line from its place on the axis.
    fn label(self, words: &str, out: f64, label: &Label, view: &mut View) {
        let Label { place, at, .. } = *label;
        let ends = [(out + 1.8, place), (BEND, at), (LABEL - 1.5, at)];
        let line = ends.map(|(out, down)| (self.at(out).0, up(HEAD + down)));
        view.draw(Part::Label, Form::Line(line.to_vec()));
        let (right, anchor) = self.at(LABEL);
        let at = (right, up(HEAD + at) - SMALL * 0.35);
        view.write(Part::Label, at, words, letters(anchor));
    }
}

/// How far out each mark is: in the first lane where the one above leaves it room. Lanes are as many as
/// there is room for; what finds none stays in the last.
fn outward(places: &[f64]) -> Vec<f64> {
    let outs = [0.0, 1.0, 2.0, 3.0, 4.0].map(|lane| LANE.mul_add(lane, MARK));
    let mut lanes = outs.map(|out| (out, f64::NEG_INFINITY));
    let lane = |place: &f64| {
        let free = lanes.iter().position(|(_, above)| place - above > 2.0 * HALF + 0.4);
        let lane = lanes.get_mut(free.unwrap_or(outs.len() - 1))?;
        lane.1 = *place;
        Some(lane.0)
    };
    places.iter().map(lane).map(|out| out.unwrap_or(MARK)).collect()
}

/// Full, hollow, crossed, upright: told apart without colour.
fn mark((right, up): (f64, f64), state: State, view: &mut View) {
    match state {
        State::Exact => view.draw(Part::Exact, Form::Circle { at: (right, up), radius: HALF }),
        State::Near => view.draw(Part::Near, Form::Circle { at: (right, up), radius: HALF }),
        State::Missed => {
            let stroke = |tilt: f64| [(right - HALF, up - tilt), (right + HALF, up + tilt)];
            view.draw(Part::Missed, Form::Strokes(vec![stroke(HALF), stroke(-HALF)]));
        }
        State::TooClose => {
            let corners = [(0.0, HALF), (HALF, 0.0), (0.0, -HALF), (-HALF, 0.0)];
            let corners = corners.map(|(x, y)| (right + x, up + y));
            view.draw(Part::Unsure, Form::Polygon(corners.to_vec()));
        }
    }
}

/// What is labelled first where there is little room: everyday series before others, then what is
/// missed.
fn rank(state: State, standard: &Standard) -> u32 {
    let everyday = ["metric-coarse", "metric-fine", "unc", "unf", "bsw", "bsf"];
    let common = standard.threads.iter().any(|t| everyday.contains(&t.series().key()));
    let missed = state == State::Missed;
    u32::from(!common) * 2 + u32::from(!missed)
}

/// A label: what it belongs to, where that stands, and where there is room for it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Label {
    of: usize,
    place: f64,
    at: f64,
}

/// As many labels as find room near their places; where it is close the last by rank go.
fn labels(places: &[f64], ranks: &[u32]) -> Vec<Label> {
    let mut chosen: Vec<usize> = (0..places.len()).collect();
    loop {
        let wanted: Vec<f64> = chosen.iter().filter_map(|i| places.get(*i).copied()).collect();
        let spread = spread(&wanted);
        let all = chosen.iter().zip(wanted).zip(spread);
        let labels: Vec<Label> =
            all.map(|((of, place), at)| Label { of: *of, place, at }).collect();
        let Some(far) = labels.iter().position(|label| (label.at - label.place).abs() > FAR) else {
            return labels;
        };
        let last = crowd(&labels, far).max_by_key(|i| labels.get(*i).and_then(|l| ranks.get(l.of)));
        chosen.remove(last.unwrap_or(far));
    }
}

/// The labels that stand close to a label, one by the next, itself among them.
fn crowd(labels: &[Label], at: usize) -> std::ops::RangeInclusive<usize> {
    let close = |pair: &[Label]| matches!(pair, [a, b] if b.at - a.at < LINE + 1e-6);
    let before = labels.windows(2).take(at).rev().take_while(|pair| close(pair)).count();
    let behind = labels.windows(2).skip(at).take_while(|pair| close(pair)).count();
    at - before..=at + behind
}

/// Places at least a line apart, as near as can be to those wanted (least squares: neighbours that
/// would overlap move as one block), within the axis.
fn spread(wanted: &[f64]) -> Vec<f64> {
    // A block: the sum of where its first label would have to be for each, and how many.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for (i, place) in wanted.iter().enumerate() {
        blocks.push((place - line(i), 1));
        while let [.., (a, n), (b, m)] = blocks[..] {
            if a / line(n) * LINE <= b / line(m) * LINE {
                break;
            }
            blocks.truncate(blocks.len() - 2);
            blocks.push((a + b, n + m));
        }
    }
    let last = (AXIS - line(wanted.len().saturating_sub(1))).max(0.0);
    let firsts = blocks
        .iter()
        .flat_map(|(sum, n)| std::iter::repeat_n((sum / line(*n) * LINE).clamp(0.0, last), *n));
    firsts.enumerate().map(|(i, first)| first + line(i)).collect()
}

/// So many lines.
#[expect(clippy::cast_precision_loss, reason = "a few dozen")]
fn line(count: usize) -> f64 {
    count as f64 * LINE
}

/// Three significant digits.
fn short(value: f64) -> String {
    let digits = match value {
        100.0.. => 0,
        10.0.. => 1,
        1.0.. => 2,
        0.1.. => 3,
        0.01.. => 4,
        0.001.. => 5,
        _ => 6,
    };
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_their_distance_and_their_order() {
        let wanted = [0.0, 1.0, 2.0, 40.0, 100.0, 100.5, AXIS];
        let places = spread(&wanted);
        for pair in places.windows(2) {
            assert!(pair[1] - pair[0] >= LINE - 1e-9, "{places:?}");
        }
        assert!(places.iter().all(|p| (0.0..=AXIS).contains(p)), "{places:?}");
        // What has room stays where it is; a pair moves apart evenly.
        assert!((places[3] - 40.0).abs() < 1e-9);
        assert!((places[4] + places[5] - 200.5).abs() < 1e-9);
    }

    #[test]
    fn a_crowd_loses_those_that_rank_last() {
        let places: Vec<f64> = (0..60).map(|i| 100.0 + f64::from(i) * 0.5).collect();
        let ranks: Vec<u32> = (0..60).map(|i| u32::from(i % 7 != 0)).collect();
        let labels = labels(&places, &ranks);
        for pair in labels.windows(2) {
            assert!(pair[1].at - pair[0].at >= LINE - 1e-9, "{labels:?}");
        }
        assert!(labels.iter().all(|l| (l.at - l.place).abs() <= FAR), "{labels:?}");
        // Those of the first rank have room: nine, 3.5 mm apart.
        let first = labels.iter().filter(|l| ranks[l.of] == 0).count();
        assert!(first >= 7 && labels.len() >= first, "{labels:?}");
        // One alone stays.
        assert_eq!(super::labels(&[7.0], &[3]), [Label { of: 0, place: 7.0, at: 7.0 }]);
    }

    #[test]
    fn figures_are_short() {
        for (value, text) in [(0.2, "0.2"), (6.35, "6.35"), (0.025_4, "0.0254"), (12.0, "12")] {
            assert_eq!(short(value), text);
        }
    }
}
