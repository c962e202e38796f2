//! Blank, depth, passes, sizes, speeds: the tool's outline is laid into the blank and the groove that
//! it leaves is measured; no formula of the library is used.

use super::gearing::{asked, cut, near, number, text};
use super::{Job, each};
use num_traits::ToPrimitive;
use serde_json::Value;
use std::f64::consts::PI;

fn starts(job: &Job) -> f64 {
    if job.args[0].contains("2 starts") || job.args[0].contains("(P7)") { 2.0 } else { 1.0 }
}

/// Nominal pitch in mm.
fn pitch(job: &Job) -> f64 {
    let (lead, pi) = asked(job);
    lead.to_f64().unwrap() * if pi { PI } else { 1.0 } / starts(job)
}

/// A tool, its end at 0: how far each flank is from the middle, by the height above its end.
struct Tool {
    half_angle: f64,
    nose: f64,
    flat: f64,
}

impl Tool {
    fn of(tool: &Value) -> Self {
        let half_angle = super::gearing::fraction(text(tool, "/included_angle")).to_f64().unwrap();
        let size = || number(tool, "/tip_size/mm");
        let (nose, flat) = match text(tool, "/tip") {
            "nose" => (size(), 0.0),
            "flat" => (0.0, size()),
            _ => (0.0, 0.0),
        };
        Self { half_angle: (half_angle / 2.0).to_radians(), nose, flat }
    }

    /// Half the width at a height: a circle, then its tangent; or a flat, then the flank.
    fn half_width(&self, height: f64) -> f64 {
        let (sin, cos) = self.half_angle.sin_cos();
        if height < 0.0 {
            return 0.0;
        }
        if height < self.nose * (1.0 - sin) {
            return (self.nose.powi(2) - (self.nose - height).powi(2)).sqrt();
        }
        self.flat / 2.0 + (self.nose + (height - self.nose) * sin) / cos
    }

    /// The height at which it is so wide.
    fn height_of(&self, half_width: f64) -> f64 {
        let (mut low, mut high) = (0.0, 100.0);
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if self.half_width(middle) < half_width { low = middle } else { high = middle }
        }
        low
    }

    /// Area of the groove after an infeed in steps along a direction: `slant` is the tangent of its
    /// angle from the cross slide.
    fn area(&self, depth: f64, slant: f64) -> f64 {
        const ROWS: u32 = 600;
        const STEPS: u32 = 60;
        let row = |i: u32| {
            let under = depth * (f64::from(i) + 0.5) / f64::from(ROWS);
            let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
            for step in 0..=STEPS {
                let at = depth * f64::from(step) / f64::from(STEPS);
                if at >= under {
                    let half = self.half_width(at - under);
                    left = left.min(at * slant - half);
                    right = right.max(at * slant + half);
                }
            }
            (right - left).max(0.0)
        };
        (0..ROWS).map(row).sum::<f64>() * depth / f64::from(ROWS)
    }
}

fn list(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(|v| v.as_f64().expect("a number")).collect()
}

fn is_internal(job: &Job) -> bool {
    job.args.contains(&"--internal")
}

/// The groove, laid into the blank that the card says, is half a pitch wide at the pitch diameter that
/// the card aims at; that is the middle of the class, where one is known.
#[test]
fn the_groove_is_half_a_pitch_wide_at_the_pitch_diameter() {
    let mut seen = 0;
    each(70, |_, job, card| {
        let tool = &card["tool"];
        if !card["blank"].is_object() || !tool["aim"].is_object() {
            return;
        }
        seen += 1;
        let above = Tool::of(tool).height_of(pitch(job) / 4.0);
        let (across, depth) = (number(card, "/blank/across/mm"), number(tool, "/depth/mm"));
        let got = if is_internal(job) {
            across + 2.0 * (depth - above)
        } else {
            across - 2.0 * (depth - above)
        };
        near(tool, "/aim/pitch/mm", got, 2e-5);
        let pitch = &card["sizes"]["pitch"];
        let wanted = if tool["aim"]["middle_of_class"] == true {
            f64::midpoint(number(pitch, "/least/mm"), number(pitch, "/greatest/mm"))
        } else {
            number(pitch, "/basic/mm")
        };
        near(tool, "/aim/pitch/mm", wanted, 2e-6);
        if let Some(allowed) = card["blank"]["allowed"].as_array() {
            let [least, greatest] = [0, 1].map(|i| number(&allowed[i], "/mm"));
            assert!(least <= across && across <= greatest, "{}", card["blank"]);
        }
    });
    assert!(seen >= 50, "{seen}");
}

/// Chips of the tool that is named: as large in each pass, straight and along the top slide.
#[test]
fn passes_take_equal_chips_of_the_tool_at_hand() {
    let (mut straight, mut angled) = (0, 0);
    each(70, |_, _, card| {
        let tool = &card["tool"];
        if !tool.is_object() {
            return;
        }
        let passes = list(&tool["passes_mm"]);
        if passes.is_empty() {
            return;
        }
        let depth = number(tool, "/depth/mm");
        assert!((passes.last().unwrap() - depth).abs() < 2e-6, "{tool}");
        let steps = |passes: &[f64]| -> Vec<f64> {
            std::iter::once(0.0)
                .chain(passes.iter().copied())
                .zip(passes)
                .map(|(a, b)| b - a)
                .collect()
        };
        let each = steps(&passes);
        assert!(each[0] <= 0.25 + 1e-6 || tool["first_is_deep"] == true, "{tool}");
        let thin = tool["last_is_thin"] == true;
        assert!(*each.last().unwrap() >= 0.02 - 1e-6 || thin, "{tool}");
        if tool["equal_chips"] != true || tool["slot"].is_object() {
            return;
        }
        let outline = Tool::of(tool);
        let alike = |areas: &[f64], by: f64| {
            let chips = steps(areas);
            let mean = chips.iter().sum::<f64>() / f64::from(u32::try_from(chips.len()).unwrap());
            assert!(chips.iter().all(|chip| (chip / mean - 1.0).abs() < by), "{chips:?} {tool}");
        };
        straight += 1;
        alike(&passes.iter().map(|d| outline.area(*d, 0.0)).collect::<Vec<_>>(), 0.02);
        let slide = &tool["slide"];
        if slide.is_object() {
            angled += 1;
            let angle = super::gearing::fraction(text(slide, "/from_cross_slide"));
            let angle = angle.to_f64().unwrap().to_radians();
            let along = list(&slide["passes_mm"]);
            near(slide, "/travel/mm", depth / angle.cos(), 2e-6);
            assert!((along.last().unwrap() - depth / angle.cos()).abs() < 2e-6, "{slide}");
            let areas = along.iter().map(|s| outline.area(s * angle.cos(), angle.tan()));
            alike(&areas.collect::<Vec<_>>(), 0.03);
        }
    });
    assert!(straight >= 20 && angled >= 20, "{straight} {angled}");
}

/// Basic pitch diameter: the major diameter less so many pitches (ISO 68-1, BS 84, BS 93, ISO 2904,
/// ASME B1.5), and the lean of the thread there.
#[test]
fn sizes_follow_the_form() {
    each(70, |_, job, card| {
        let (sizes, pitch) = (&card["sizes"], pitch(job));
        let name = job.args[0];
        if !sizes.is_object() || name.contains("NPT") || name.contains("module") {
            return;
        }
        let per_pitch = match name {
            "1/2 BSW" => 0.640_327,
            "0 BA" => 0.6,
            _ if name.starts_with("Tr") || name.contains("ACME") => 0.5,
            _ => 0.649_519,
        };
        let major = number(sizes, "/major/basic/mm");
        near(sizes, "/pitch/basic/mm", major - per_pitch * pitch, 1e-5);
        let slope = pitch * starts(job) / (PI * number(sizes, "/pitch/basic/mm"));
        near(card, "/tool/lead_angle", slope.atan().to_degrees(), 0.01);
    });
}

#[test]
fn speeds_are_leads_in_time() {
    each(70, |_, job, card| {
        if job.hand.is_none() {
            return;
        }
        let (lead, mut before) = (cut(card).to_f64().unwrap(), 0.0);
        for at in card["speed"]["at"].as_array().expect("speeds") {
            let rpm = number(at, "/rpm");
            assert!(rpm > before, "slowest first: {}", card["speed"]);
            before = rpm;
            near(at, "/mm_per_s", lead * rpm / 60.0, 1e-5 * lead * rpm);
        }
    });
}
