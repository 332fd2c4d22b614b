//! Force of the wind on a frame on a roof.

use super::{Face, Frame, WindError};
use crate::{
    outcome::{Caveat, Caveats, Method, Outcome},
    range::within,
    units::{Force, Length, Pressure, Ratio},
};
use uom::si::{force::newton, length::meter, pressure::pascal, ratio::ratio};

/// Gust coefficient (GCr) over the share of the building's own area that the equipment takes: `small` up to `small_share`,
/// a straight line from there, `large` at `large_share`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GustCurve {
    /// Coefficient of small equipment: 1.9 lateral, 1.5 upwards.
    pub small: Ratio,
    /// Coefficient of equipment as large as the building: 1.0.
    pub large: Ratio,
    /// Share up to which equipment is small: 0.1.
    pub small_share: Ratio,
    /// Share at which the curve ends: 1.
    pub large_share: Ratio,
}

impl GustCurve {
    /// Coefficient of equipment that takes `area_share` of the building's area.
    ///
    /// Beyond the end of the curve its last value goes on, with the caveat [`Caveat::OutsideWindCoefficients`].
    ///
    /// # Errors
    /// [`WindError::OutOfRange`] for a negative share, coefficients outside 0 to 10, or shares that do not rise.
    ///
    /// # Example
    /// 300 ft2 on a building of 60 ft by 20 ft: 1.75.
    /// ```
    /// use physics::{units::{Ratio, unit::ratio::ratio}, wind::GustCurve};
    /// let number = Ratio::new::<ratio>;
    /// let lateral = GustCurve { small: number(1.9), large: number(1.0), small_share: number(0.1), large_share: number(1.0) };
    /// assert!((lateral.at(number(300.0 / 1200.0))?.value.get::<ratio>() - 1.75).abs() < 1e-12);
    /// # Ok::<(), physics::wind::WindError>(())
    /// ```
    pub fn at(&self, area_share: Ratio) -> Result<Outcome<Ratio>, WindError> {
        let small = within("gust coefficient of small equipment", self.small.get::<ratio>(), 0.0, 10.0)?;
        let large = within("gust coefficient of large equipment", self.large.get::<ratio>(), 0.0, 10.0)?;
        let from = within("share of small equipment", self.small_share.get::<ratio>(), 0.0, 1.0)?;
        let to = within("share of large equipment", self.large_share.get::<ratio>(), from + 1e-3, 10.0)?;
        let share = within("share of the building's area", area_share.get::<ratio>(), 0.0, f64::MAX)?;
        let mut caveats = Caveats::default();
        if share > to {
            caveats.add(Caveat::OutsideWindCoefficients);
        }
        let along = ((share - from) / (to - from)).clamp(0.0, 1.0);
        let value = Ratio::new::<ratio>(small + (large - small) * along);
        Ok(Outcome { value, method: Method::RooftopForce, caveats })
    }
}

/// The building under a frame that stands square to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Building {
    /// Side along the width of the frame: B for wind on the frame's width; 1 to 2000 m, as the length.
    pub width: Length,
    /// Side along the depth of the frame.
    pub length: Length,
    /// Mean height of the roof, h; 1 to 1000 m.
    pub height: Length,
}

/// Wind at the roof of a building.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoofWind {
    /// Velocity pressure at roof height, with all its factors; 0 to 100 kPa.
    pub pressure: Pressure,
    /// The building.
    pub building: Building,
    /// Gust coefficient sideways.
    pub lateral: GustCurve,
    /// Gust coefficient upwards.
    pub uplift: GustCurve,
}

/// Force of the wind on one face of a frame. Sideways and upwards act together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RooftopForce {
    /// Sideways, `q GCr Af`.
    pub lateral: Force,
    /// Upwards in the middle of the plan, `q GCr Ar`.
    pub uplift: Force,
    /// Height of the lateral force above the roof.
    pub height: Length,
    /// Gust coefficient sideways.
    pub lateral_coefficient: Ratio,
    /// Gust coefficient upwards.
    pub uplift_coefficient: Ratio,
}

/// Force of the wind on a face of a frame: `Fh = q GCr Af`, `Fv = q GCr Ar`.
///
/// ASCE 7-22 section 29.4.1 (7-16 the same but for the place of Kd), on the solid block around the units, and the stand where
/// it is clad. Stated for roofs up to 60 ft in the edition of 2010.
///
/// # Errors
/// [`WindError::OutOfRange`].
pub fn rooftop_force(frame: &Frame, face: Face, wind: &RoofWind) -> Result<Outcome<RooftopForce>, WindError> {
    let pressure_pa = within("velocity pressure (Pa)", wind.pressure.get::<pascal>(), 0.0, 1e5)?;
    let side = |what, side: Length| within(what, side.get::<meter>(), 1.0, 2000.0);
    let width_m = side("width of the building (m)", wind.building.width)?;
    let length_m = side("length of the building (m)", wind.building.length)?;
    let height_m = within("height of the roof (m)", wind.building.height.get::<meter>(), 1.0, 1000.0)?;
    let across_m = match face {
        Face::Width => width_m,
        Face::Depth => length_m,
    };
    let (area_m2, centre_m) = frame.face(face);
    let lateral = wind.lateral.at(Ratio::new::<ratio>(area_m2 / (across_m * height_m)))?;
    let uplift = wind.uplift.at(Ratio::new::<ratio>(frame.plan_m2() / (width_m * length_m)))?;
    let mut caveats = lateral.caveats;
    caveats.merge(uplift.caveats);
    Ok(Outcome {
        value: RooftopForce {
            lateral: Force::new::<newton>(pressure_pa * lateral.value.get::<ratio>() * area_m2),
            uplift: Force::new::<newton>(pressure_pa * uplift.value.get::<ratio>() * frame.plan_m2()),
            height: Length::new::<meter>(centre_m),
            lateral_coefficient: lateral.value,
            uplift_coefficient: uplift.value,
        },
        method: Method::RooftopForce,
        caveats,
    })
}
