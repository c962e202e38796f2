//! How deep does this tool go, and how far along an angled top slide?
//!
//! The flanks are right when the groove is half a pitch wide on the pitch line, whatever the end of
//! the tool. A nose of radius r ends r (1/sin a - 1) above the point where its flanks would meet; a
//! flat of width w ends w / (2 tan a) above it: geometry. From a blank of diameter B to the pitch
//! diameter E the depth is (B - E) / 2 + P / (4 tan a) minus that; for a nut (E - B) / 2 and so on.
//! With basic sizes a 60 degree screw takes 0.7578 P - r or 0.7578 P - 0.866 w, a nut 0.6495 P - r
//! or 0.6495 P - 0.866 w.
//!
//! The top slide is set half a degree less than the flank angle, so that the tool skims the trailing
//! flank too (common practice, no source).

use super::{Blank, Cut, Measure, Side};
use crate::{Error, Hand, Length, Ratio, Result};

/// The end of the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tip {
    /// Ground for the root of the form: see [`Cut::ground`].
    Form,
    /// A sharp point.
    Sharp,
    /// Rounded with this radius.
    Nose(Length),
    /// A flat of this width.
    Flat(Length),
}

/// The end of a tool that cuts the root of the form, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum Ground {
    /// Radius of a nose.
    Nose(f64),
    /// Width of a flat; 0 is a point.
    Flat(f64),
}

/// Depth of cut, from the surface of the blank, square to the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Depth {
    /// With this tool.
    pub depth: Measure,
    /// With a tool ground for the form.
    pub form: Measure,
    /// The least depth with room for the crest of the other part.
    pub least: Measure,
    /// Depth of the straight flanks: a nose is round below. A flat crest of the other part needs
    /// straight flanks.
    pub flanks: f64,
}

/// Sizes with a smaller difference, in mm, are equal: rounding is a thousand times finer.
const SAME: f64 = 1e-9;
/// A nose is stated to a thousandth of a mm, which moves the flanks' ends by up to twice that.
const THOUSANDTHS: f64 = 0.002;

impl Depth {
    /// Whether the tool is too blunt: at the right pitch diameter the other part would bind on its
    /// crest or on the corners of the crest.
    pub fn is_too_blunt(&self) -> bool {
        self.flanks < self.least.mm() - THOUSANDTHS
    }

    /// Whether the root is deeper than that of the form: the tool is finer than the form needs, and
    /// weakens a screw.
    pub fn is_deeper(&self) -> bool {
        self.depth.mm() > self.form.mm() + SAME
    }
}

/// Direction along the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Along {
    /// Towards the headstock.
    Headstock,
    /// Towards the tailstock.
    Tailstock,
}

/// Direction across the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Infeed {
    /// Towards the axis: a screw.
    Inward,
    /// Away from the axis: a nut.
    Outward,
}

/// A top slide that feeds along the trailing flank.
///
/// For a spindle that runs forward. A right-hand thread is then cut towards the headstock, a
/// left-hand one towards the tailstock. The infeed moves the tool the same way, so that its leading
/// edge cuts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TopSlide {
    /// Degrees from the direction of the cross slide.
    pub from_cross_slide: Ratio,
    /// Degrees from the direction of the bed: scales differ between lathes.
    pub from_bed: Ratio,
    /// Direction of the infeed along the bed.
    pub along: Along,
    /// Direction of the infeed across the bed.
    pub infeed: Infeed,
    /// Travel along the top slide, in mm: depth / cos.
    pub travel: f64,
    /// Its part along the bed, in mm: depth x tan.
    pub along_bed: f64,
}

impl Cut {
    /// Depth of cut with a tool, from the basic crest to the basic pitch diameter. On a taper: square to
    /// the axis, as the tool is set.
    ///
    /// ```
    /// use solver::cutting::{Cut, Tip};
    /// let screw = Cut::of(&"Tr40x7".parse()?)?;
    /// assert_eq!(screw.depth(Tip::Form)?.depth.to_string(), "4 mm");
    /// let blunt = screw.depth(Tip::Flat("2.6 mm".parse()?))?;
    /// assert!(blunt.is_too_blunt());
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// If the tool is wider than the groove, or too fine for the form.
    pub fn depth(&self, tip: Tip) -> Result<Depth> {
        let legs = self.form.legs(&self.pitch, self.side);
        self.depth_from(tip, &legs.crest, &legs.crest.plus(&legs.least))
    }

    /// Depth of cut from the surface of a blank to the pitch diameter to aim at.
    ///
    /// # Errors
    /// As [`Cut::depth`], and if the blank does not reach the pitch diameter.
    pub fn depth_in(&self, blank: &Blank, tip: Tip) -> Result<Depth> {
        let crest = blank.crest(self.side).ok_or_else(|| {
            Error::conflict(format!("a blank of {} leaves no crest", blank.across()))
                .with_hint("the advised blank")
        })?;
        let least = self.form.legs(&self.pitch, self.side).least;
        let mate_below = blank.mate_below(self.side).unwrap_or_else(|| crest.plus(&least));
        self.depth_from(tip, &crest, &mate_below)
    }

    /// A stated depth, beside that of the form.
    ///
    /// # Errors
    /// As [`Cut::depth`], and if the grooves would overlap.
    pub fn depth_as_stated(&self, tip: Tip, stated: Length) -> Result<Depth> {
        let of_form = self.depth(tip)?;
        let (depth, width) = (Measure::from(stated), self.outline(tip).width(stated.mm().to_f64()));
        if width >= self.pitch.to_f64() {
            return Err(Error::conflict(format!(
                "at a depth of {stated} the groove is {width:.3} mm wide, the pitch {:.3} mm",
                self.pitch.to_f64()
            ))
            .with_hint(format!("the form has {:.3} mm", of_form.depth.mm())));
        }
        Ok(Depth { depth, flanks: depth.mm() - self.rounded_off(tip), ..of_form })
    }

    /// From the basic crest to the pitch line.
    pub(super) fn crest(&self) -> Measure {
        self.form.legs(&self.pitch, self.side).crest
    }

    fn depth_from(&self, tip: Tip, crest: &Measure, least: &Measure) -> Result<Depth> {
        let legs = self.form.legs(&self.pitch, self.side);
        if legs.root.mm() > self.form.to_sharp(&self.pitch) {
            return Err(Error::conflict(format!(
                "a pitch of {} has no room for the clearance of this form",
                self.pitch
            ))
            .with_hint("a coarser pitch, or another form"));
        }
        let form = crest.plus(&legs.root);
        let depth = match tip {
            Tip::Form => form,
            _ => self.of_tip(crest, tip)?,
        };
        Ok(Depth { depth, form, least: *least, flanks: depth.mm() - self.rounded_off(tip) })
    }

    /// Height of the nose's round part, up from its end: r (1 - sin a). Where the other part's crest
    /// is as round as the form's own root it needs no deeper flanks.
    fn rounded_off(&self, tip: Tip) -> f64 {
        let radius = match (tip, self.ground()) {
            (Tip::Nose(radius), _) => radius.mm().to_f64(),
            (Tip::Form, Ground::Nose(radius)) => radius,
            _ => 0.0,
        };
        if self.form.has_round_crests() { 0.0 } else { radius * (1.0 - self.form.radians().sin()) }
    }

    fn of_tip(&self, crest: &Measure, tip: Tip) -> Result<Measure> {
        let sharp = Measure::rounded(crest.mm() + self.form.to_sharp(&self.pitch));
        let angle = self.form.radians();
        // The height where the end is as wide as the start of its straight flanks.
        let (above, wide) = match tip {
            Tip::Form | Tip::Sharp => return Ok(sharp),
            Tip::Nose(radius) => {
                let radius = radius.mm().to_f64();
                (radius * (1.0 / angle.sin() - 1.0), 2.0 * radius * angle.cos())
            }
            Tip::Flat(width) => {
                let width = width.mm().to_f64();
                (width / (2.0 * angle.tan()), width)
            }
        };
        let fits = wide < self.pitch.to_f64() / 2.0;
        let left = if fits { sharp.less(&Measure::rounded(above)) } else { None };
        left.ok_or_else(|| self.too_wide(tip))
    }

    fn too_wide(&self, tip: Tip) -> Error {
        let tool = match tip {
            Tip::Nose(radius) => format!("a nose of {radius}"),
            Tip::Flat(width) => format!("a flat of {width}"),
            Tip::Form | Tip::Sharp => "the tool".to_owned(),
        };
        let (kind, size) = match self.ground() {
            Ground::Nose(radius) => ("a nose", radius),
            Ground::Flat(width) => ("a flat", width),
        };
        Error::conflict(format!("{tool} is too wide for a pitch of {}", self.pitch))
            .with_hint(format!("for the root of the form: {kind} of {size:.3} mm"))
    }

    /// How a tool is ground for the root of the form.
    pub fn ground(&self) -> Ground {
        self.form.ground(&self.pitch, self.side)
    }

    /// Travel along the top slide for a depth, set half a degree less than the flank angle.
    ///
    /// ```
    /// use solver::cutting::{Cut, Tip};
    /// let screw = Cut::of(&"M10".parse()?)?;
    /// let slide = screw.top_slide(&screw.depth(Tip::Form)?.depth)?;
    /// assert_eq!(slide.from_cross_slide.to_string(), "59/2");
    /// assert_eq!(slide.from_bed.to_string(), "121/2");
    /// assert_eq!(format!("{:.3}", slide.travel), "1.057"); // 0.920 mm / cos 29.5 degrees
    /// # Ok::<(), solver::Error>(())
    /// ```
    ///
    /// # Errors
    /// None for the angles of threads.
    pub fn top_slide(&self, depth: &Measure) -> Result<TopSlide> {
        let less = |from: Ratio, by: &Ratio| Ok::<_, Error>(from.apart(by)?.unwrap_or(from));
        let from_cross_slide = less(self.form.half_angle(), &Ratio::table(1, 2))?;
        let from_bed = less(Ratio::table(90, 1), &from_cross_slide)?;
        let swung = from_cross_slide.to_f64().to_radians();
        Ok(TopSlide {
            from_cross_slide,
            from_bed,
            along: match self.hand {
                Hand::Right => Along::Headstock,
                Hand::Left => Along::Tailstock,
            },
            infeed: match self.side {
                Side::External => Infeed::Inward,
                Side::Internal => Infeed::Outward,
            },
            travel: depth.mm() / swung.cos(),
            along_bed: depth.mm() * swung.tan(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::Form;
    use super::super::tests::cut;
    use super::*;
    use proptest::prelude::*;

    fn mm(text: &str) -> Length {
        text.parse().unwrap()
    }

    fn both(cut: &Cut) -> [Cut; 2] {
        [Side::External, Side::Internal].map(|side| cut.with_side(side))
    }

    /// Shop formulas for 60 degrees with P = 1: 0.7578 - r, 0.6495 - r, and with flats 0.866 w. 0.6134 is
    /// the case r = H/6, 0.5413 the case w = P/8 (ISO 68-1).
    #[test]
    fn sixty_degrees_by_the_shop_formulas() {
        let [screw, nut] = both(&cut("1 mm"));
        let of = |cut: Cut, tip| cut.depth(tip).unwrap().depth.mm();
        for (tip, off) in
            [(Tip::Sharp, 0.0), (Tip::Nose(mm("0.1 mm")), 0.1), (Tip::Flat(mm("0.1 mm")), 0.0866)]
        {
            assert!((of(screw, tip) - (0.7578 - off)).abs() < 1e-4, "{tip:?}");
            assert!((of(nut, tip) - (0.6495 - off)).abs() < 1e-4, "{tip:?}");
        }
        assert!((of(screw, Tip::Form) - 0.613_435).abs() < 1e-6);
        assert!((of(nut, Tip::Form) - 0.541_266).abs() < 1e-6);
        assert!((of(nut, Tip::Flat(mm("1/8 mm"))) - of(nut, Tip::Form)).abs() < 1e-12);
    }

    /// The nut's crest, P/4 wide, is at 0.5413 P. The flanks of a screw must go that deep, so its
    /// nose is H/6 = 0.1443 P at most (ISO 68-1); those of a nut take H/12 = 0.0722 P, or flats up
    /// to P/8.
    /// nose is H/6 = 0.1443 P at most (ISO 68-1); those of a nut take H/12 = 0.0722 P, or flats up to P/8.
    #[test]
    fn a_blunt_tool_is_told_from_a_fine_one() {
        let [screw, nut] = both(&cut("1 mm"));
        let blunt = |cut: Cut, tip| cut.depth(tip).unwrap().is_too_blunt();
        let nose = |text: &str| Tip::Nose(mm(text));
        assert!(!blunt(screw, nose("0.145 mm")) && blunt(screw, nose("0.147 mm")));
        assert!(!blunt(nut, nose("0.073 mm")) && blunt(nut, nose("0.075 mm")));
        assert!(!blunt(nut, Tip::Flat(mm("1/8 mm"))) && blunt(nut, Tip::Flat(mm("0.128 mm"))));
        // Round crests fill round roots.
        let whitworth = cut("1 mm").with_form(Form::Whitworth);
        assert!(!blunt(whitworth, nose("0.137 mm")) && blunt(whitworth, nose("0.142 mm")));
        let deeper = |tip| screw.depth(tip).unwrap().is_deeper();
        assert!(deeper(nose("0.144 mm")) && !deeper(nose("0.145 mm")));
        assert!(deeper(Tip::Sharp) && !deeper(Tip::Form));
    }

    #[test]
    fn a_tool_wider_than_the_groove_is_refused_with_what_would_be_right() {
        let error = cut("1 mm").depth(Tip::Nose(mm("0.8 mm"))).unwrap_err();
        assert!(error.is_conflict() && error.to_string().contains("a nose of 4/5 mm"), "{error}");
        assert_eq!(error.hint(), Some("for the root of the form: a nose of 0.144 mm"));
        let error = cut("Tr40x7").depth(Tip::Flat(mm("5 mm"))).unwrap_err();
        assert_eq!(error.hint(), Some("for the root of the form: a flat of 2.294 mm"));
    }

    /// 0.127 mm of clearance against 0.7167 P that a sharp root leaves below P/4.
    #[test]
    fn acme_is_not_made_so_fine() {
        let acme = |pitch: &str| cut(pitch).with_form(Form::Acme);
        let error = acme("0.1 mm").depth(Tip::Form).unwrap_err();
        assert!(error.is_conflict() && error.to_string().contains("no room"), "{error}");
        assert_eq!(acme("0.1 mm").ground(), Ground::Flat(0.0));
        assert!(acme("0.2 mm").depth(Tip::Form).is_ok());
    }

    /// Whole depth 2.25 m: ISO 53 proportions, from memory.
    #[test]
    fn worms_are_two_and_a_quarter_modules_deep() {
        assert_eq!(cut("module 2").depth(Tip::Form).unwrap().depth.to_string(), "9/2 mm");
        let dp = cut("20 DP").depth(Tip::Form).unwrap();
        assert_eq!(dp.depth.exact(), Some(mm("0.1125 in")));
        let old = Form::Worm(crate::PressureAngle::new("14.5".parse().unwrap()).unwrap());
        let old = cut("module 2").with_form(old);
        assert_eq!(old.depth(Tip::Form).unwrap().depth.to_string(), "9/2 mm");
        // pi/2 - 2.5 tan 14.5 degrees.
        assert!(matches!(old.ground(), Ground::Flat(w) if (w / 2.0 - 0.924_25).abs() < 1e-5));
    }

    #[test]
    fn the_slide_is_swung_the_other_way_for_left_hand_and_for_nuts() {
        let of = |text: &str, side| {
            let cut = cut(text).with_side(side);
            cut.top_slide(&cut.depth(Tip::Form).unwrap().depth).unwrap()
        };
        for (text, side, along, infeed) in [
            ("M10", Side::External, Along::Headstock, Infeed::Inward),
            ("M10 LH", Side::External, Along::Tailstock, Infeed::Inward),
            ("M10", Side::Internal, Along::Headstock, Infeed::Outward),
            ("M10 LH", Side::Internal, Along::Tailstock, Infeed::Outward),
        ] {
            let slide = of(text, side);
            assert_eq!((slide.along, slide.infeed), (along, infeed));
        }
        let angles = |text: &str| {
            let slide = of(text, Side::External);
            (slide.from_cross_slide.to_string(), slide.from_bed.to_string())
        };
        assert_eq!(angles("1/2 BSW"), ("27".into(), "63".into()));
        assert_eq!(angles("2 BA"), ("93/4".into(), "267/4".into()));
        assert_eq!(angles("Tr40x7"), ("29/2".into(), "151/2".into()));
        assert_eq!(angles("1/2-10 ACME"), ("14".into(), "76".into()));
    }

    /// American pipe threads have no diameters here.
    const FORMS: [Form; 8] = [
        Form::Sixty,
        Form::Whitworth,
        Form::BritishAssociation,
        Form::Cycle,
        Form::Trapezoidal,
        Form::Acme,
        Form::StubAcme,
        Form::WORM,
    ];

    /// Width of the groove at a height over the tool's lowest point, by the tool's own outline: a
    /// flat or an arc, then straight flanks.
    fn width(tip: Tip, angle: f64, height: f64) -> f64 {
        match tip {
            Tip::Flat(width) => width.mm().to_f64() + 2.0 * height * angle.tan(),
            Tip::Nose(radius) => {
                let r = radius.mm().to_f64();
                // At the end of the arc its tangent is the flank.
                let (half, up) = (r * angle.cos(), r * (1.0 - angle.sin()));
                2.0 * (half + (height - up) * angle.tan())
            }
            _ => 2.0 * height * angle.tan(),
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The crest is the form's own; the depth is right if the tool leaves half a pitch on the
        /// pitch line.
        #[test]
        fn any_tip_leaves_half_a_pitch_on_the_pitch_line(
            form in prop::sample::select(&FORMS[..]),
            hundredths in 50_u64..2000,
            part in 1_u64..200,
            flat: bool,
            internal: bool,
        ) {
            let pitch = Ratio::table(hundredths, 100);
            let size = Length::from_mm(Ratio::table(hundredths * part, 100_000));
            let tip = if flat { Tip::Flat(size) } else { Tip::Nose(size) };
            let side = if internal { Side::Internal } else { Side::External };
            let cut = cut(&format!("{pitch} mm")).with_form(form).with_side(side);
            let major = Length::from_mm(Ratio::table(hundredths * 20, 100));
            let sizes = cut.with_diameter(major).diameters().unwrap();
            let depth = cut.depth(tip).unwrap();
            let crest = (sizes.blank(side).mm() - sizes.pitch.mm()).abs() / 2.0;
            let groove = width(tip, form.radians(), depth.depth.mm() - crest);
            prop_assert!((groove - pitch.to_f64() / 2.0).abs() < 1e-9, "{groove} {pitch}");
        }

        #[test]
        fn a_tool_ground_for_the_form_goes_as_deep_as_the_form(
            form in prop::sample::select(&FORMS[..]), tenths in 5_u64..200, internal: bool,
        ) {
            let side = if internal { Side::Internal } else { Side::External };
            let cut = cut(&format!("{tenths}/10 mm")).with_form(form).with_side(side);
            let near = |mm: f64| format!("{mm:.9} mm").parse().unwrap();
            let tip = match cut.ground() {
                Ground::Nose(radius) => Tip::Nose(near(radius)),
                Ground::Flat(width) => Tip::Flat(near(width)),
            };
            let depth = cut.depth(tip).unwrap();
            prop_assert!((depth.depth.mm() - depth.form.mm()).abs() < 1e-7);
        }

        /// Along the slide and back along both axes: Pythagoras.
        #[test]
        fn travel_is_the_long_side(tenths in 5_u64..100) {
            let cut = cut(&format!("{tenths}/10 mm"));
            let depth = cut.depth(Tip::Form).unwrap().depth;
            let slide = cut.top_slide(&depth).unwrap();
            prop_assert!((slide.travel - depth.mm().hypot(slide.along_bed)).abs() < 1e-9);
        }
    }
}
