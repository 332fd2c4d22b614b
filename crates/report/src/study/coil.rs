//! What the coils of one circuit hold: in summer, and flooded in cold air.

use super::{
    compare::{rated::Rated, summer},
    resolve::ResolvedSet,
    wording,
};
use crate::job::{Job, SubcoolingAt};
use physics::{
    coil_charge::{Coil, Zones, low_and_high},
    fluid::{GridRefrigerant, Refrigerant},
    units::{
        BubbleTemperature, MassDensity, Ratio, TemperatureInterval, ThermodynamicTemperature, Volume,
        unit::{ratio::ratio, temperature_interval::kelvin as kelvin_interval},
    },
    winter::{WinterCharge, WinterError, winter_charge},
};

/// All coils of one circuit as they run in summer.
pub(in crate::study) struct Coils {
    pub(in crate::study) volume: Volume,
    pub(in crate::study) low_kg: f64,
    pub(in crate::study) high_kg: f64,
    /// Mean density by the low case: what floods adds the most to it.
    low_density: MassDensity,
}

impl Coils {
    /// `Err` says what is missing.
    pub(in crate::study) fn of(job: &Job, rated: &[Rated], set: &ResolvedSet<'_>) -> Result<Self, String> {
        let name = &set.set.name.value;
        let mut volume = Volume::default();
        let mut serves = false;
        for (text, rated) in job.condensers.iter().zip(rated) {
            let Some(share) = text.share(name) else { continue };
            serves = true;
            let own = rated.coil_volume.ok_or_else(|| {
                format!("the inside volume of condenser {} (key coil_volume)", text.name.value)
            })?;
            volume += own * share;
        }
        if !serves {
            return Err(format!(
                "the condenser (a table [condenser.NAME] that serves {name}, with rating, air_flow and coil_volume)"
            ));
        }
        let coil = coil(set, volume).map_err(|why| format!("states inside the property data ({why})"))?;
        let (low, high) = low_and_high(&set.fluid, &coil)
            .map_err(|error| format!("states inside the property data ({error})"))?;
        Ok(Self {
            volume,
            low_kg: low.value.mass.value,
            high_kg: high.value.mass.value,
            low_density: low.value.mean_density,
        })
    }

    /// What a flooded share of them holds, the liquid saturated at the temperature of the air.
    pub(in crate::study) fn flooded(
        &self,
        fluid: &GridRefrigerant,
        share: Ratio,
        air: ThermodynamicTemperature,
    ) -> Result<WinterCharge, WinterError> {
        winter_charge(fluid, share, self.volume, BubbleTemperature::new(air), self.low_density)
            .map(|found| found.value)
    }
}

/// The coil in summer. Its zones have the share of the heat that they give off: heat goes evenly along the tube, as in the
/// mean of the void fraction.
fn coil(set: &ResolvedSet<'_>, volume: Volume) -> Result<Coil, String> {
    let point = summer(set);
    let condensing = point.discharge.pressure;
    let ends = set.fluid.ends(condensing).map_err(wording::outside)?;
    let outlet = match set.set.subcooling.value.at {
        SubcoolingAt::CondenserOutlet if point.liquid.pressure == condensing => point.liquid,
        // Liquid that is subcooled behind the receiver leaves the condenser saturated.
        _ => ends.bubble,
    };
    let all = point.discharge.enthalpy - outlet.enthalpy;
    let share = |heat: physics::units::SpecificEnthalpy| {
        let share = (heat / all).get::<ratio>();
        Ratio::new::<ratio>(if share > 0.0 { share } else { 0.0 })
    };
    let zones = Zones::new(
        share(point.discharge.enthalpy - ends.dew.enthalpy),
        share(ends.bubble.enthalpy - outlet.enthalpy),
    )
    .map_err(|error| error.to_string())?;
    let half = |distance: TemperatureInterval| {
        TemperatureInterval::new::<kelvin_interval>(0.5 * distance.get::<kelvin_interval>().max(0.0))
    };
    Ok(Coil {
        volume,
        zones,
        condensing,
        superheat: half(point.discharge.saturation_distance),
        subcooling: half(outlet.saturation_distance),
    })
}
