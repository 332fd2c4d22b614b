//! What holds a frame against the wind: anchors, or weight alone.

use super::{Face, Frame, RoofWind, RooftopForce, WindError, rooftop_force};
use crate::{
    outcome::{Method, Outcome},
    range::{OutOfRange, within},
    units::{Force, Mass, Ratio, STANDARD_GRAVITY_M_S2},
};
use uom::si::{force::newton, length::meter, mass::kilogram, ratio::ratio};

/// Factors of weight and wind where wind lifts and overturns: 0.6 and 0.6 for allowable stress, 0.9 and 1.0 for strength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LoadCombination {
    /// Of the weight; 0.01 to 2.
    pub dead: Ratio,
    /// Of the wind; 0 to 2.
    pub wind: Ratio,
}

/// Load on the anchors for wind on one face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnchorLoad {
    /// The face.
    pub face: Face,
    /// Upward pull on each anchor of the windward row; below 0 the weight still presses on it.
    pub pull: Force,
    /// Shear on each anchor of the frame.
    pub shear: Force,
}

impl AnchorLoad {
    /// Tension in each anchor of the windward row: none where the weight presses.
    #[must_use]
    pub fn tension(&self) -> Force {
        self.pull.max(Force::new::<newton>(0.0))
    }
}

/// Loads on the anchors for wind on either face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnchorLoads {
    /// One a face, in the order of [`Face::ALL`].
    pub faces: [AnchorLoad; 2],
}

impl AnchorLoads {
    /// The face that pulls harder; where both pull alike, the first.
    #[must_use]
    pub fn governing(&self) -> &AnchorLoad {
        let [width, depth] = &self.faces;
        if depth.pull > width.pull { depth } else { width }
    }

    /// Greatest shear on an anchor, whichever face it comes from.
    #[must_use]
    pub fn shear(&self) -> Force {
        let [width, depth] = &self.faces;
        width.shear.max(depth.shear)
    }
}

/// Loads on the anchors of a frame, from moments about the leeward row.
///
/// Windward row: `T = (Wf (Fh z + Fv d/2) - Df W a) / d`, shared by its anchors, with the distance `d` of the rows and `a`
/// of the weight from the nearer of them (`d/2` where it acts in the middle); shear `Wf Fh` shared by all. Statics of a
/// rigid frame; anchors between the two rows hold nothing. Wind may come from either side of a face: the worse is meant.
///
/// # Errors
/// [`WindError::OutOfRange`].
pub fn anchor_loads(
    frame: &Frame,
    wind: &RoofWind,
    combination: &LoadCombination,
) -> Result<Outcome<AnchorLoads>, WindError> {
    on_both_faces(frame, wind, combination, |face, loads| {
        let (span_m, _, row) = frame.holds_against(face);
        let pull_n = (loads.overturning_n_m - loads.righting_n_m) / span_m;
        AnchorLoad {
            face,
            pull: Force::new::<newton>(pull_n / f64::from(row)),
            shear: Force::new::<newton>(loads.lateral_n / f64::from(frame.anchors().count)),
        }
    })
    .map(|outcome| Outcome {
        value: AnchorLoads { faces: outcome.value },
        method: outcome.method,
        caveats: outcome.caveats,
    })
}

/// Whether a frame holds by its weight alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ballast {
    /// Whether wind on a face lifts its windward side.
    pub tips: bool,
    /// Whether wind on a face pushes it along.
    pub slides: bool,
    /// Mass that is missing, laid on the middle of the frame; 0 where it neither tips nor slides.
    pub missing: Mass,
}

/// What a frame without anchors lacks: it must neither tip (no pull in the windward row, where the rows are those of its
/// feet) nor slide: `mu (Df W - Wf Fv) > Wf Fh`.
///
/// The friction coefficient is that of the feet on a wet roof, 0.01 to 2. Codes may ask for anchors whatever comes out.
///
/// # Errors
/// [`WindError::OutOfRange`].
pub fn ballast(
    frame: &Frame,
    wind: &RoofWind,
    combination: &LoadCombination,
    friction: Ratio,
) -> Result<Outcome<Ballast>, WindError> {
    let friction = within("friction coefficient", friction.get::<ratio>(), 0.01, 2.0)?;
    let outcome = on_both_faces(frame, wind, combination, |face, loads| {
        let (span_m, _, _) = frame.holds_against(face);
        let tipping_n = (loads.overturning_n_m - loads.righting_n_m) / (0.5 * span_m);
        let sliding_n = loads.lateral_n / friction + loads.uplift_n - loads.weight_n;
        [tipping_n, sliding_n].map(|missing_n| missing_n / (loads.dead * STANDARD_GRAVITY_M_S2))
    })?;
    let worse = |of: usize| outcome.value.iter().map(|missing_kg| missing_kg[of]).fold(0.0, f64::max);
    let (tipping_kg, sliding_kg) = (worse(0), worse(1));
    Ok(Outcome {
        value: Ballast {
            tips: tipping_kg > 0.0,
            slides: sliding_kg > 0.0,
            missing: Mass::new::<kilogram>(tipping_kg.max(sliding_kg)),
        },
        method: outcome.method,
        caveats: outcome.caveats,
    })
}

/// Loads of a face with their factors.
struct Factored {
    lateral_n: f64,
    uplift_n: f64,
    weight_n: f64,
    /// Moments about the leeward row.
    overturning_n_m: f64,
    righting_n_m: f64,
    /// Factor of the weight.
    dead: f64,
}

fn on_both_faces<T>(
    frame: &Frame,
    wind: &RoofWind,
    combination: &LoadCombination,
    answer: impl Fn(Face, &Factored) -> T,
) -> Result<Outcome<[T; 2]>, WindError> {
    let [width, depth] = Face::ALL;
    let on = |face| {
        let force = rooftop_force(frame, face, wind)?;
        Ok::<_, WindError>((answer(face, &factored(frame, face, &force.value, combination)?), force.caveats))
    };
    let ((on_width, mut caveats), (on_depth, more)) = (on(width)?, on(depth)?);
    caveats.merge(more);
    Ok(Outcome { value: [on_width, on_depth], method: Method::Overturning, caveats })
}

fn factored(
    frame: &Frame,
    face: Face,
    force: &RooftopForce,
    combination: &LoadCombination,
) -> Result<Factored, OutOfRange> {
    let dead = within("load factor of the weight", combination.dead.get::<ratio>(), 0.01, 2.0)?;
    let wind = within("load factor of the wind", combination.wind.get::<ratio>(), 0.0, 2.0)?;
    let (span_m, arm_m, _) = frame.holds_against(face);
    let lateral_n = wind * force.lateral.get::<newton>();
    let uplift_n = wind * force.uplift.get::<newton>();
    let weight_n = dead * frame.weight_n();
    Ok(Factored {
        lateral_n,
        uplift_n,
        weight_n,
        overturning_n_m: lateral_n * force.height.get::<meter>() + 0.5 * uplift_n * span_m,
        righting_n_m: weight_n * arm_m,
        dead,
    })
}
