//! The questions about a lathe, each with how to find out at the machine.

use crate::files::{Draft, Key, is_unsure};

/// One question.
#[derive(Debug)]
pub(super) struct Question {
    /// What it is about.
    pub(super) key: Key,
    /// The question.
    pub(super) asks: &'static str,
    /// How an answer looks.
    pub(super) such_as: &'static str,
    /// How to find out.
    pub(super) help: &'static str,
}

/// Whether a question makes sense after these answers.
pub(super) fn is_open(key: Key, draft: &Draft) -> bool {
    let said = |key| draft.said(key).is_some();
    match key {
        Key::Pitch | Key::Angle => draft.lists_gears(),
        Key::Turns => !draft.has_tumbler() && !draft.said(Key::Tumbler).is_some_and(is_unsure),
        Key::Fitted => said(Key::Gears),
        Key::Sleeves => draft.said(Key::Studs) != Some("0"),
        Key::FittedLevers => said(Key::Fitted) && said(Key::Lever),
        Key::Marks => draft.has_dial(),
        Key::Slot | Key::StudDistance | Key::HubStud => {
            said(Key::Shafts) && draft.said(Key::Studs) != Some("0")
        }
        Key::Swing | Key::HubFirst | Key::HubLast => said(Key::Shafts),
        _ => true,
    }
}

/// All of them, in the order of [`Key::ALL`].
pub(super) const QUESTIONS: &[Question] = &[
    Question {
        key: Key::Name,
        asks: "What do you call the lathe?",
        such_as: "the lathe under the window",
        help: "Any words; they stand at the top of every answer.",
    },
    Question {
        key: Key::Screw,
        asks: "How far does the carriage go in one turn of the lead screw? Threads in one inch, or \
               the pitch.",
        such_as: "8 tpi, 3 mm, 1/8 in, unknown",
        help: "Lay a rule along the lead screw. Inch screw: count the threads in one inch; eight \
               of them are `8 tpi`. Metric screw: measure over ten threads and divide by ten; 30 mm \
               are `3 mm`. If neither comes out even try the other. A screw with several starts \
               goes starts times its pitch in one turn. `unknown` leaves it open: `trainwright \
               learn` finds it from the lathe's chart or from a measured cut.",
    },
    Question {
        key: Key::Hand,
        asks: "Which hand is the lead screw?",
        such_as: "right, left",
        help: "Nearly all are right: held upright, the threads rise to the right, as on a common \
               bolt. Skipped: right.",
    },
    Question {
        key: Key::Starts,
        asks: "How many starts has the lead screw?",
        such_as: "1",
        help: "Look at its end: one groove that begins there is one start. Nearly all have one. \
               Skipped: 1.",
    },
    Question {
        key: Key::Ratio,
        asks: "How many turns does the first gear make for one turn of the spindle?",
        such_as: "1, 1/2, 2, unknown",
        help: "Machine unplugged or locked off. The first gear is the first that you change, on \
               the shaft that the spindle drives. Mark the chuck and that gear, turn the chuck ten \
               times by hand and count the turns of the gear: ten are `1`, five are `1/2`. Often 1, \
               but not always, so count.",
    },
    Question {
        key: Key::Tumbler,
        asks: "Is there a tumbler (reverse) lever at the headstock? Its positions that drive, each \
               with the way round that the first gear turns against the chuck, both seen from one \
               end of the lathe.",
        such_as: "up=same, down=opposite; up, down (not sure which); no",
        help: "A lever that reverses the lead screw. Set each position with the machine standing \
               still, turn the chuck by hand and watch the first gear. Leave the neutral position \
               out. Names as they are marked on the machine.",
    },
    Question {
        key: Key::Turns,
        asks: "Which way round does the first gear turn against the chuck, both seen from one end of \
               the lathe?",
        such_as: "same, opposite, unknown",
        help: "Turn the chuck by hand and watch the gear from the same end of the lathe. It decides \
               which hand is cut.",
    },
    Question {
        key: Key::Gears,
        asks: "Which change gears do you own? A list, the name of a set, or a gear-set file.",
        such_as: "20x2,25,30,40,63,80x2,127+120; fives-20-100",
        help: "Count the teeth of every gear, also of those on the machine now: mark one tooth with \
               chalk. `x2` is two of a size, `127+120` a pair that is fixed together for good, the \
               driven gear first. `trainwright sets` lists the sets by name. At least two gears: \
               without them no file can be written.",
    },
    Question {
        key: Key::Pitch,
        asks: "What tooth size do the gears have?",
        such_as: "module 1, 20 DP",
        help: "Measure a gear over its tips. Diameter in mm divided by (teeth + 2) is the module; \
               (teeth + 2) divided by the diameter in inches is the DP. `trainwright gear 40 \
               --outside \"42 mm\"` does the sum. Skipped: module 1 is taken, and the answers say so.",
    },
    Question {
        key: Key::Angle,
        asks: "What pressure angle do the gears have, in degrees?",
        such_as: "20, 14.5",
        help: "It is stamped on some gears; older inch gears often have 14.5. Skipped: 20.",
    },
    Question {
        key: Key::Studs,
        asks: "How many studs can stand on the bracket at once?",
        such_as: "1",
        help: "A stud is a pin, clamped in the bracket, on which one gear or a pair turns between \
               first and last gear. Skipped: 1.",
    },
    Question {
        key: Key::Sleeves,
        asks: "For how many pairs of loose gears have you keyed sleeves?",
        such_as: "1",
        help: "A sleeve keys two gears together so that they turn as one on a stud. Skipped: as \
               many as studs.",
    },
    Question {
        key: Key::Lever,
        asks: "Has it a gearbox with levers? One lever at a time, with the ratio of each position: \
               turns out for one turn in.",
        such_as: "Range: A=1, B=1/2, C=unknown",
        help: "Set a position with the machine standing still, turn the gearbox input ten times by \
               hand and count the turns of the lead screw; ten are 1, five are 1/2. With several \
               levers leave the others as they are and give each lever's positions against one of \
               its own that you call 1. Behind a ratio `opposite` where it reverses, `threads` or \
               `feeds` where it serves only these. What you leave `unknown`, `trainwright learn` \
               finds from the chart. Combinations that must never be set go into the file \
               afterwards.",
    },
    Question {
        key: Key::Fitted,
        asks: "Which gears stand on the machine now, from the first to the last?",
        such_as: "20-80+20-80",
        help: "Along the way of the power: `-` between two gears that mesh, `+` between two that are \
               keyed on one stud. Answers then say what to take off and put on.",
    },
    Question {
        key: Key::FittedLevers,
        asks: "Where do the levers stand now?",
        such_as: "Range=A",
        help: "Each lever with the position that it is in, by the names that you gave.",
    },
    Question {
        key: Key::HalfNut,
        asks: "Is there a half nut, that lets go of the lead screw?",
        such_as: "yes, no, not sure",
        help: "A lever on the apron of the carriage that closes on the lead screw. Skipped: not known.",
    },
    Question {
        key: Key::Dial,
        asks: "Is there a half-nut dial? The teeth of its gear on the lead screw, and the lines on \
               its face.",
        such_as: "16 teeth, 8 lines; no",
        help: "A small dial beside the half nut that says when to close it. Count all lines, also \
               those without a figure; the gear is below, on the lead screw. Skipped: none.",
    },
    Question {
        key: Key::Marks,
        asks: "What stands beside its lines, going round?",
        such_as: "1,,2,,3,,4,",
        help: "One entry a line, commas between them, nothing where nothing stands. Skipped: they \
               are numbered.",
    },
    Question {
        key: Key::Reverse,
        asks: "Can the motor be reversed?",
        such_as: "yes, no, not sure",
        help: "Without it the carriage is brought back by hand. Skipped: not known; a card then says \
               what to do in either case.",
    },
    Question {
        key: Key::Speeds,
        asks: "Which speeds has the spindle, turns a minute?",
        such_as: "60, 120, 250; 50 to 1200",
        help: "From the plate of the machine: the steps with commas between them, or slowest and \
               fastest of a drive without steps.",
    },
    Question {
        key: Key::Shafts,
        asks: "Now the bracket; skip this and reach is not checked. How far is it from the axis of \
               the last shaft (lead screw or gearbox input) to that of the first?",
        such_as: "92 mm, 3 5/8 in",
        help: "Machine unplugged or locked off, gears off. Measure with calipers over both shafts, \
               outside to outside, and take off half of each diameter. A millimetre or two decides \
               what fits.",
    },
    Question {
        key: Key::Slot,
        asks: "Where can a stud be clamped? The nearest and the furthest place of its axis in the \
               slot, from the axis that the bracket swings about (the last shaft). One slot or hole \
               at a time.",
        such_as: "34 mm to 70 mm; 60 mm (a hole); 88 mm to 118 mm angle 24",
        help: "Push the stud to each end of the slot and measure from the axis of the last shaft to \
               that of the stud. A slot that does not lie on the line of the first one has an angle \
               to it, in degrees, clockwise seen from the cover end. Other pivots, slots beside the \
               pivot and arcs go into the file afterwards.",
    },
    Question {
        key: Key::Swing,
        asks: "How far does the bracket swing? Degrees from the line between the two shafts, \
               clockwise positive, seen from the cover end.",
        such_as: "-15 to 75",
        help: "Swing it to both stops. Skipped: freely.",
    },
    Question {
        key: Key::StudDistance,
        asks: "How near can the axis of a stud come to that of the first shaft?",
        such_as: "34 mm",
        help: "Bring the stud as near to the first shaft as bracket, bosses and nuts let it, and \
               measure. Skipped: no limit.",
    },
    Question {
        key: Key::HubFirst,
        asks: "What is the radius of the largest hub, washer or nut on the first shaft?",
        such_as: "12 mm",
        help: "Half of what calipers read across it. A gear on a stud has to clear it. Skipped: \
               nothing in the way.",
    },
    Question {
        key: Key::HubStud,
        asks: "What is that radius on a stud?",
        such_as: "8 mm",
        help: "Half of what calipers read across it. Skipped: nothing in the way.",
    },
    Question {
        key: Key::HubLast,
        asks: "What is that radius on the last shaft?",
        such_as: "12 mm",
        help: "Half of what calipers read across it. Skipped: nothing in the way.",
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_is_a_question_for_every_answer_in_order() {
        let keys: Vec<Key> = QUESTIONS.iter().map(|question| question.key).collect();
        assert_eq!(keys, Key::ALL);
    }
}
