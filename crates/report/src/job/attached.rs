//! The files that a job names: catalogues, compressor maps, weather.

use super::{
    catalogue::{self, Catalogue},
    compressor_map::{self, CompressorMap},
    diagnose::{Fault, FaultKind, Faults, Located},
    model::{CompressorData, Figures, Job, Weather},
};
use std::{fmt, io};

/// What the files of a job hold, each by the name that the job gives it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Attached {
    /// Catalogues of condensers.
    pub catalogues: Vec<(String, Catalogue)>,
    /// Maps of compressors.
    pub maps: Vec<(String, CompressorMap)>,
    /// Weather of the year.
    pub weather: Option<tables::weather::Weather>,
}

/// All that is wrong with the files of a job.
#[derive(Clone, Debug)]
pub struct AttachFaults(Vec<Faults>);

impl AttachFaults {
    /// The faults of each file that has any, those of the job first.
    pub fn iter(&self) -> impl Iterator<Item = &Faults> {
        self.0.iter()
    }

    /// As text for people.
    #[cfg(feature = "cli")]
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        self.0.iter().map(|faults| faults.render(colour)).collect::<Vec<_>>().join("\n")
    }
}

impl fmt::Display for AttachFaults {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let faults: Vec<String> = self.0.iter().map(ToString::to_string).collect();
        formatter.write_str(&faults.join("\n"))
    }
}

impl std::error::Error for AttachFaults {}

/// Reads every file that the job names into [`Job::attached`]; `read` gives the bytes behind a name.
///
/// # Errors
/// All faults of all files at once.
pub fn attach(job: &mut Job, read: &dyn Fn(&str) -> io::Result<Vec<u8>>) -> Result<(), AttachFaults> {
    let mut attached = Attached::default();
    let (mut of_files, mut of_job) = (Vec::new(), Vec::new());
    let mut bytes = |name: &Located<String>| {
        read(&name.value)
            .map_err(|error| {
                let message = format!("{} can not be read: {error}", name.value);
                let help = "the path counts from the folder of the job file";
                of_job.push(Fault::new(FaultKind::Reference, name.span, message, help));
            })
            .ok()
    };
    for condenser in &job.condensers {
        let Figures::Catalogue { file, .. } = &condenser.figures else { continue };
        if attached.catalogues.iter().any(|(name, _)| *name == file.value) {
            continue;
        }
        match bytes(file).map(|bytes| catalogue::read(&file.value, &bytes)) {
            Some(Ok(catalogue)) => attached.catalogues.push((file.value.clone(), catalogue)),
            Some(Err(faults)) => of_files.push(faults),
            None => {}
        }
    }
    for set in &job.sets {
        let Some(CompressorData::Map(file)) = &set.compressor else { continue };
        if attached.maps.iter().any(|(name, _)| *name == file.value) {
            continue;
        }
        match bytes(file).map(|bytes| compressor_map::read(&file.value, &bytes)) {
            Some(Ok(map)) => attached.maps.push((file.value.clone(), map)),
            Some(Err(faults)) => of_files.push(faults),
            None => {}
        }
    }
    let mut weather_fault = None;
    match job.year.as_ref().map(|year| &year.weather) {
        Some(Weather::File(file)) => {
            match bytes(file).map(|bytes| tables::weather::read(&file.value, &bytes)) {
                Some(Ok(weather)) => attached.weather = Some(weather),
                Some(Err(error)) => {
                    weather_fault =
                        Some(Fault::new(FaultKind::Value, file.span, error.to_string(), error.fault.help()));
                }
                None => {}
            }
        }
        Some(Weather::Invented(invented)) => {
            let (mean, year, day) = (invented.mean, invented.year, invented.day);
            match tables::weather::invented(mean.value, year.value, day.value) {
                Ok(weather) => attached.weather = Some(weather),
                Err(fault) => {
                    weather_fault =
                        Some(Fault::new(FaultKind::Range, mean.span, fault.to_string(), fault.help()));
                }
            }
        }
        None => {}
    }
    of_job.extend(weather_fault);
    let of_job = Faults::new(job.source.clone(), of_job);
    let all: Vec<Faults> = of_job.into_iter().chain(of_files).collect();
    if all.is_empty() {
        job.attached = attached;
        Ok(())
    } else {
        Err(AttachFaults(all))
    }
}
