//! A worm on the card: tooth caliper, clearance, and its wheel.

use super::{card, near, practice::one_line, words};

/// Module 3, four starts, 36 mm: pitch diameter 30 mm, tan of the lead angle 12/30. The reading is half of 3 pi x
/// its cosine, the setting a module and what the cylinder falls away in half of that, found on the circle of
/// curvature r / sin² of the lead angle.
#[test]
fn a_worm_is_measured_by_its_teeth() {
    let args = ["module 3 4 starts", "--diameter", "36 mm", "--lathe", "ketch", "--within", "10 %"];
    let worm = card(&args);
    let lead_angle = 0.4_f64.atan();
    let across = 1.5 * std::f64::consts::PI * lead_angle.cos();
    near(&worm, "/sizes/tooth/across/mm", across, 1e-6);
    let curve = 15.0 / lead_angle.sin().powi(2);
    let falls = curve - (curve * curve - across * across / 4.0).sqrt();
    near(&worm, "/sizes/tooth/height/mm", 3.0 + falls, 1e-3);
    near(&worm, "/sizes/wheel/helix_degrees", lead_angle.to_degrees(), 1e-6);
    assert_eq!(
        (words(&worm, "/sizes/wheel/module"), words(&worm, "/sizes/wheel/pressure_angle")),
        ("3", "20")
    );
    // 3 / cos: sin of the lead angle is then 12/30.
    near(&worm, "/sizes/wheel/axial_module_for_cutter", 3.0 / 0.4_f64.asin().cos(), 1e-6);
}

#[test]
fn a_worm_names_its_wheel() {
    let said = one_line(&["module 1", "--diameter", "20mm"]);
    for words in [
        "Tooth caliper, set 1.000 mm (0.0394 in) high: 1.568 mm (0.0617 in); less leaves backlash.",
        "Its wheel: module 1 (transverse), pressure angle 20° (axial), helix 3.18° right hand.",
        "Centre distance (18.000 + z x 1.000) / 2 mm with z teeth, clearance 0.250 mm.",
        "If a cutter of module 1 cut it: gear for module 1.0015 instead.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let left = one_line(&["module 1 LH", "--diameter", "20mm"]);
    assert!(left.contains("helix 3.18° left hand."), "{left}");
    for args in [&["M10"][..], &["Tr 20x4"]] {
        let other = one_line(args);
        assert!(!other.contains("Tooth caliper") && !other.contains("wheel"), "{other}");
    }
}
