//! All tables of one data folder.

use crate::{
    error::TableError,
    field::Field,
    fittings::Fittings,
    folder::DataFolder,
    insulation::Insulations,
    limits::{Bands, Limits},
    materials::Materials,
    properties::{self, PropertyTable},
    refrigerants::Refrigerants,
    roof::Roof,
    strength::Strength,
    supplies::Supplies,
    tubes::Tubes,
};
use physics::fluid::GridData;
use std::path::Path;

/// The tables of one data folder. Everything small is parsed once, on opening; property grids when asked for.
#[derive(Clone, Debug)]
pub struct Library {
    folder: DataFolder,
    tubes: Tubes,
    strength: Strength,
    fittings: Fittings,
    insulation: Insulations,
    refrigerants: Refrigerants,
    materials: Materials,
    limits: Limits,
    roof: Roof,
    field: Field,
    supplies: Supplies,
}

impl Library {
    /// The tables that the program carries.
    ///
    /// # Errors
    /// [`TableError`] if a table breaks its rules; the tests exclude it for a released program.
    pub fn embedded() -> Result<Self, TableError> {
        Self::read(DataFolder::embedded())
    }

    /// The tables of a folder on disk, laid out as the project's `data/`.
    ///
    /// # Errors
    /// [`TableError`] with file, line and column of the first row that breaks a rule.
    pub fn open(path: &Path) -> Result<Self, TableError> {
        Self::read(DataFolder::open(path)?)
    }

    fn read(folder: DataFolder) -> Result<Self, TableError> {
        let refrigerants = Refrigerants::load(&folder)?;
        Ok(Self {
            tubes: Tubes::load(&folder)?,
            strength: Strength::load(&folder)?,
            fittings: Fittings::load(&folder)?,
            insulation: Insulations::load(&folder)?,
            materials: Materials::load(&folder, &refrigerants)?,
            refrigerants,
            limits: Limits::load(&folder)?,
            roof: Roof::load(&folder)?,
            field: Field::load(&folder)?,
            supplies: Supplies::load(&folder)?,
            folder,
        })
    }

    /// Tube products.
    #[must_use]
    pub fn tubes(&self) -> &Tubes {
        &self.tubes
    }

    /// Stresses, tolerances, supports, bends and constants of copper tube.
    #[must_use]
    pub fn strength(&self) -> &Strength {
        &self.strength
    }

    /// Losses of fittings.
    #[must_use]
    pub fn fittings(&self) -> &Fittings {
        &self.fittings
    }

    /// Materials and walls of insulation, and finishes of surfaces.
    #[must_use]
    pub fn insulation(&self) -> &Insulations {
        &self.insulation
    }

    /// Identity of refrigerants.
    #[must_use]
    pub fn refrigerants(&self) -> &Refrigerants {
        &self.refrigerants
    }

    /// Which refrigerant must not touch which material.
    #[must_use]
    pub fn materials(&self) -> &Materials {
        &self.materials
    }

    /// Limits and defaults.
    #[must_use]
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// Wind, loads and spacing of condensers on a roof.
    #[must_use]
    pub fn roof(&self) -> &Roof {
        &self.roof
    }

    /// Circuits, and thresholds of rules and habits of work in the field.
    #[must_use]
    pub fn field(&self) -> &Field {
        &self.field
    }

    /// What a material list is counted by.
    #[must_use]
    pub fn supplies(&self) -> &Supplies {
        &self.supplies
    }

    /// Trade names of the refrigerants that have a property grid.
    ///
    /// # Errors
    /// [`TableError::Unreadable`] if the folder of the grids cannot be listed.
    pub fn grids(&self) -> Result<Vec<String>, TableError> {
        let folders = self.folder.folders("properties")?;
        Ok(self
            .refrigerants
            .all()
            .iter()
            .filter(|refrigerant| folders.iter().any(|folder| **folder == *refrigerant.name))
            .map(|refrigerant| refrigerant.name.to_string())
            .collect())
    }

    /// Property grid of a refrigerant, in any spelling of its name.
    ///
    /// # Errors
    /// [`TableError::UnknownRefrigerant`]; [`TableError::NoGrid`] if none was made for it; [`TableError::Row`] and
    /// others if its files break a rule.
    pub fn grid(&self, refrigerant: &str) -> Result<GridData, TableError> {
        self.property_table(refrigerant).map(|table| table.data)
    }

    /// Property grid of a refrigerant, with how it was made.
    ///
    /// # Errors
    /// As [`grid`](Self::grid).
    pub fn property_table(&self, refrigerant: &str) -> Result<PropertyTable, TableError> {
        let identity = self.refrigerants.find(refrigerant)?;
        let name = &identity.name;
        let available = self.grids()?;
        if !available.iter().any(|grid| **grid == **name) {
            return Err(TableError::NoGrid { refrigerant: name.to_string(), available });
        }
        properties::load(&self.folder, name, identity.kind)
    }

    /// Bands of the uncertain inputs of a job with this refrigerant.
    ///
    /// # Errors
    /// [`TableError::UnknownRefrigerant`].
    pub fn bands(&self, refrigerant: &str) -> Result<Bands, TableError> {
        Ok(self.limits.bands(self.refrigerants.find(refrigerant)?))
    }
}

#[cfg(test)]
pub(crate) mod testing {
    //! A data folder on disk that differs from the project's in a few files.

    use std::{fs, path::Path};
    use tempfile::TempDir;

    pub(crate) const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data");

    pub(crate) fn folder_with(files: &[(String, String)]) -> TempDir {
        let folder = tempfile::tempdir().unwrap();
        for table in ["tubes", "fittings", "insulation", "refrigerants", "limits", "field", "materials"] {
            fs::create_dir(folder.path().join(table)).unwrap();
            for entry in fs::read_dir(Path::new(DATA).join(table)).unwrap() {
                let entry = entry.unwrap();
                fs::copy(entry.path(), folder.path().join(table).join(entry.file_name())).unwrap();
            }
        }
        for (file, text) in files {
            let path = folder.path().join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            // The copies inherit the mode of the originals, which may be read-only.
            let _ = fs::remove_file(&path);
            fs::write(path, text).unwrap();
        }
        folder
    }
}

#[cfg(test)]
mod tests {
    use super::testing::{DATA, folder_with};
    use super::*;
    use crate::{Grade, Reading, limits::Service, materials::Material, tubes::matching};
    use physics::units::{
        Length, OutsideDiameter, ThermodynamicTemperature,
        unit::{
            length::{inch, meter, micrometer},
            mass_density::kilogram_per_cubic_meter,
            pressure::psi,
            ratio::percent,
            temperature_interval::kelvin as kelvin_interval,
            thermodynamic_temperature::degree_celsius,
            velocity::foot_per_minute,
        },
    };
    use std::fs;

    /// The project's file with one piece of text replaced, and what opening such a folder answers.
    fn open_edited(file: &str, old: &str, new: &str) -> Result<Library, TableError> {
        let text = fs::read_to_string(Path::new(DATA).join(file)).unwrap();
        assert!(text.contains(old), "{file} has no {old:?}");
        let folder = folder_with(&[(file.to_owned(), text.replacen(old, new, 1))]);
        Library::open(folder.path())
    }

    #[test]
    fn the_embedded_data_and_the_folder_on_disk_say_the_same() {
        let (embedded, disk) = (Library::embedded().unwrap(), Library::open(Path::new(DATA)).unwrap());
        assert_eq!(embedded.tubes.products(), disk.tubes.products());
        assert_eq!(embedded.refrigerants.all(), disk.refrigerants.all());
        assert_eq!(embedded.limits.defaults(), disk.limits.defaults());
        assert_eq!(embedded.grids().unwrap(), disk.grids().unwrap());
    }

    #[test]
    fn every_grid_is_read_with_its_source() {
        let library = Library::embedded().unwrap();
        let grids = library.grids().unwrap();
        for needed in ["R-22", "R-134a", "R-404A", "R-449A"] {
            assert!(grids.iter().any(|grid| grid == needed), "{needed} not among {grids:?}");
        }
        for name in grids {
            let table = library.property_table(&name).unwrap();
            assert!(!table.provenance.source.text.is_empty(), "{name}");
            assert_eq!(table.provenance.source.grade, Grade::Computed, "{name}");
            let surface = &table.data.vapour;
            let product = surface.saturation_temperature_k.len() * surface.distance_k.len();
            assert_eq!(surface.conductivity_w_m_k.len(), product, "{name}");
            // Dew pressure never exceeds bubble pressure; 1e-6 is the rounding of the printed grid.
            let saturation = &table.data.saturation;
            for (dew, bubble) in saturation.dew_pressure_pa.iter().zip(&saturation.bubble_pressure_pa) {
                assert!(*dew <= bubble * (1.0 + 1e-6), "{name}: {dew} > {bubble}");
            }
        }
    }

    #[test]
    fn a_row_changed_in_a_folder_on_disk_changes_the_answer() {
        let half_inch = OutsideDiameter::new(Length::new::<inch>(0.5));
        let bore = |library: &Library| {
            let stock = library.tubes().stock("ASTM B280 coil").unwrap();
            matching(&stock, half_inch, None)[0].tube.bore().get().get::<inch>()
        };
        let changed = open_edited("tubes/tubes.csv", "1/2 in,,in,0.5,0.032", "1/2 in,,in,0.5,0.049").unwrap();
        approx::assert_relative_eq!(bore(&Library::embedded().unwrap()), 0.436, max_relative = 1e-9);
        approx::assert_relative_eq!(bore(&changed), 0.402, max_relative = 1e-9);
        let changed = open_edited(
            "limits/limits.csv",
            "greatest-velocity-drain,100,10,8000,ft/min",
            "greatest-velocity-drain,0.4,0.1,40,m/s",
        )
        .unwrap();
        let drain = &changed.limits().defaults().greatest_velocity_drain;
        approx::assert_relative_eq!(drain.value.get::<foot_per_minute>(), 78.74, max_relative = 1e-4);
    }

    #[test]
    fn broken_rows_are_refused_where_they_break() {
        // File, text to replace, replacement, part of the message.
        let broken = [
            (
                "tubes/tubes.csv",
                "standard,form",
                "standard,from",
                "tubes/tubes.csv, line 1, column from: the header has this column",
            ),
            (
                "tubes/tubes.csv",
                ",note,source,grade",
                ",note,source",
                "line 1, column grade: the header lacks this column",
            ),
            (
                "tubes/tubes.csv",
                "in,0.125,0.03,",
                "in,0.125,3/100,",
                "line 2, column wall: `3/100` is not a number",
            ),
            (
                "tubes/tubes.csv",
                "in,0.125,0.03,",
                "in,0.125,0.0625,",
                "line 2, column wall: a wall of 1.5875 mm leaves no bore",
            ),
            (
                "tubes/tubes.csv",
                "in,0.125,0.03,",
                "in,0.13,0.03,",
                "line 2, column designation: `1/8 in` does not agree with the outside diameter of 0.130 in",
            ),
            (
                "tubes/tubes.csv",
                "1/8 in,,in,0.125,0.03,",
                "1/4 in,,in,0.25,0.03,",
                "line 4, column outside: `1/4 in OD wall 0.030 in, ASTM B280 coil` stands already in line 2",
            ),
            (
                "tubes/tubes.csv",
                "coil,annealed,1/8 in",
                "roll,annealed,1/8 in",
                "line 2, column form: `roll` is not one of: coil, straight",
            ),
            (
                "tubes/tubes.csv",
                "listed,0.0030",
                "listed,-0.0030",
                "line 2, column wall_tolerance_in: -0.003 is out of range",
            ),
            (
                "tubes/tubes.csv",
                ",published",
                ",read",
                "line 2, column grade: `read` is not one of: published, computed",
            ),
            ("tubes/tubes.csv", "ASTM B280,coil", "coil", "line 2: the row has 17 cells, the header 18"),
            (
                "tubes/tubes.csv",
                "ASTM B280,coil,annealed,3/16 in,,in,0.187,",
                "# a remark\n\nASTM B280,coil,annealed,3/16 in,,in,0.19,",
                "line 5, column designation",
            ),
            (
                "fittings/three_k.csv",
                "800,0.14,4",
                "800,0.14,NaN",
                "line 2, column kd: `NaN` is not a number",
            ),
            (
                "fittings/three_k.csv",
                "elbow-90-long,",
                "elbow-90-short-threaded,",
                "line 3, column key: `elbow-90-short-threaded` stands already in line 2",
            ),
            (
                "fittings/equivalent_length.csv",
                "3/8 in,0.5,0.4,",
                "3/8 in,0.5,,",
                "line 2, column length_m: the cell is empty",
            ),
            (
                "fittings/length_to_diameter.csv",
                ",340,",
                ",0,",
                "line 2, column length_to_diameter: 0 is out of range",
            ),
            (
                "refrigerants/refrigerants.csv",
                "R-134a,pure",
                "R 22,pure",
                "line 3, column refrigerant: `R 22` stands already in line 2",
            ),
            (
                "refrigerants/refrigerants.csv",
                "0.357817/0.603919/0.038264",
                "0.357817/0.603919/0.38264",
                "line 4, column mole_fractions: `0.357817/0.603919/0.38264` does not agree with a whole of 1",
            ),
            (
                "refrigerants/refrigerants.csv",
                "44/52/4",
                "44/56",
                "line 4, column mass_pct: `44/56` does not agree with the number of components",
            ),
            (
                "limits/limits.csv",
                "drain,100,10,8000,ft/min,at most",
                "drain,100,10,8000,ft/min,below",
                "column sense: `below` is not one of: at most",
            ),
            (
                "limits/limits.csv",
                "drain,100,10,8000,ft/min",
                "drain,100,10,8000,K",
                "column unit: `K` is not one of: ft/min, m/s",
            ),
            (
                "limits/limits.csv",
                "least,80,60,200,degF temperature",
                "least,80,60,200,degF",
                "column unit: `degF` is not one of: degF temperature, degC temperature",
            ),
            (
                "limits/limits.csv",
                "indoors,75,32,130,degF temperature",
                "indoors,75,-500,130,degF temperature",
                "column least: -500 is out of range; expected a temperature above absolute zero",
            ),
            (
                "limits/limits.csv",
                "least,15,5,1000,psig",
                "least,15,5,1000,psi",
                "column unit: `psi` is not one of: psig",
            ),
            (
                "limits/bands.csv",
                "surroundings,3,K",
                "surroundings,3,%",
                "line 6, column unit: `%` is not one of: degF, K",
            ),
            ("limits/bands.csv", "load,5,%", "load,5,K", "line 7, column unit: `K` is not one of: %"),
            (
                "insulation/materials.csv",
                "memory,black elastomer",
                "memory,black elastomar",
                "line 3, column surface: `black elastomar` does not agree with the names",
            ),
            (
                "insulation/materials.csv",
                "-183,104",
                "104,-183",
                "line 3, column warmest_c: `-183` does not agree with coldest_c",
            ),
            ("insulation/materials.csv", "0.27,Btu", "0.27,BTU", "line 3, column conductivity_unit: `BTU in"),
            ("insulation/walls.csv", "mm,13,", "mm,9,", "line 11, column wall: 9 does not rise above 9"),
            (
                "insulation/finishes.csv",
                "copper,0.05,",
                "copper,5,",
                "line 3, column emissivity: 5 is out of range",
            ),
            (
                "insulation/finishes.csv",
                "dark paint",
                "White paint",
                "line 8, column finish: `White paint` stands",
            ),
            (
                "limits/limits.csv",
                "drain,100,10,8000,ft/min",
                "drain,100,10,8000,fpm",
                "column unit: `fpm` is not one of: degF",
            ),
            (
                "limits/limits.csv",
                "greatest-velocity-drain",
                "greatest-velocity-drian",
                "limits/limits.csv has no entry `greatest-velocity-drain`",
            ),
            (
                "tubes/allowable_stress.csv",
                "150,degF,5100",
                "150,degF,6100",
                "line 8, column stress: `3000` does not agree with rising temperatures",
            ),
            ("tubes/supports.csv", "code,vertical", "code,upright", "line 5, column direction: `upright`"),
            ("tubes/tolerances.csv", ",18,10,", ",18,0,", "line 3, column wall_pct: 0 is out of range"),
            ("tubes/bend_radii.csv", "0.375,annealed", "0.375,soft", "line 3, column temper: `soft` is not"),
            ("tubes/copper.csv", "1.7e+07,psi", "117,GPa", "line 3, column unit: `GPa` is not one of: psi"),
            ("tubes/copper.csv", "poisson-ratio", "poisson", "tubes/copper.csv has no entry `poisson-ratio`"),
            ("limits/wind.csv", "7-16,C", "7-16,B", "line 3, column exposure: `B` stands already in line 2"),
            ("limits/wind.csv", "7-22,D", "7-22,E", "line 7, column exposure: `E` is not one of: B, C, D"),
            (
                "limits/wind.csv",
                "700,15",
                "10,15",
                "line 4, column least_height_ft: `15` does not agree with gradient_height_ft",
            ),
            (
                "limits/gust.csv",
                "1.0,10,100,\"GCr;",
                "1.0,10,10,\"GCr;",
                "line 4, column large_share_pct: `10` does not agree with small_share_pct",
            ),
            ("limits/gust.csv", "Florida 2010,", "asce 7,", "line 6, column rule: `asce 7` stands already"),
            (
                "field/thresholds.csv",
                "leak-repair-charge-hfc,15,lb",
                "leak-repair-charge-hfc,15,stone",
                "column unit: `stone` is not one of: 1, %, %/a,",
            ),
            (
                "field/thresholds.csv",
                "fgas-records,5,a",
                "fgas-records,5.3,a",
                "column value: 5.3 is out of range; expected a whole number of months up to 1200",
            ),
            (
                "field/thresholds.csv",
                "fgas-detection-from,",
                "fgas-sealed-exemption,",
                "column key: `fgas-sealed-exemption` stands already in line",
            ),
            (
                "field/overcurrent_sizes.csv",
                "20,,",
                "15,,",
                "line 3, column size_a: `15` stands already in line 2",
            ),
            (
                "field/conductors.csv",
                "14 AWG,3.07",
                "14 AWG,3070",
                "line 2, column direct_ohm_per_1000_ft: 3070 is out of range; expected a resistance of 0.0003 to 300 ohm",
            ),
            (
                "field/conductors.csv",
                "12 AWG,",
                "14 awg,",
                "line 3, column gauge: `14 awg` stands already in line 2",
            ),
            (
                "materials/habits.csv",
                "purge-flow,5,ft3/h",
                "purge-flow,5,L/min",
                "line 9, column unit: `L/min` is not one of: ft3/h",
            ),
            ("materials/habits.csv", "pump-oil", "pump-oill", "habits.csv has no entry `pump-oil`"),
            (
                "materials/stock_lengths.csv",
                "ASTM B280,straight",
                "ASTM B280,coil",
                "column form: `ASTM B280 coil` stands already in line 3",
            ),
            (
                "materials/filler.csv",
                "0.625,in,1.5",
                "0.625,in,0.5",
                "line 4, column rod: 0.5 does not rise above 1",
            ),
            ("limits/load_combinations.csv", "LRFD,", "ASD,", "line 3, column design: `ASD` stands already"),
            ("limits/roof.csv", "20,psf", "20,kPa", "line 6, column unit: `kPa` is not one of: psf"),
            ("limits/roof.csv", "topographic", "topography", "roof.csv has no entry `topographic-factor`"),
            (
                "limits/bands.csv",
                "length,2",
                "lenght,2",
                "line 3, column lever: `lenght` is not one of: friction, length",
            ),
            (
                "limits/oil_density.csv",
                "273.15",
                "248.15",
                "line 3, column temperature_k: 248.15 does not rise above 248.15",
            ),
        ];
        for (file, old, new, message) in broken {
            let refused =
                open_edited(file, old, new).err().map(|error| error.to_string()).unwrap_or_default();
            assert!(refused.contains(message), "{file}, {old} -> {new}: {refused:?}");
        }
    }

    #[test]
    fn missing_and_unreadable_files_are_named() {
        let nowhere = Library::open(Path::new("/no/such/folder")).unwrap_err();
        assert!(nowhere.to_string().contains("/no/such/folder"), "{nowhere}");
        let folder = folder_with(&[]);
        fs::remove_file(folder.path().join("limits/bands.csv")).unwrap();
        assert!(matches!(
            Library::open(folder.path()),
            Err(TableError::FileMissing { file }) if file == "limits/bands.csv"
        ));
        let folder = folder_with(&[]);
        let latin = folder.path().join("limits/bands.csv");
        fs::remove_file(&latin).unwrap();
        fs::write(latin, b"lever,half_width,unit,condition_note,source,grade\nlength,2,%,\xb5m,x,memory\n")
            .unwrap();
        let refused = Library::open(folder.path()).unwrap_err().to_string();
        assert_eq!(refused, "limits/bands.csv, line 2: the text is not UTF-8");
    }

    #[test]
    fn no_row_of_the_data_lacks_its_source_or_its_grade() {
        let mut files = 0;
        for table in ["tubes", "fittings", "insulation", "refrigerants", "limits", "field", "materials"] {
            for entry in fs::read_dir(Path::new(DATA).join(table)).unwrap() {
                let path = entry.unwrap().path();
                if path.extension().is_none_or(|extension| extension != "csv") {
                    continue;
                }
                files += 1;
                let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).unwrap();
                let header = reader.headers().unwrap().clone();
                let grades: Vec<_> = (0..header.len()).filter(|i| header[*i].ends_with("grade")).collect();
                assert!(!grades.is_empty(), "{}", path.display());
                for record in reader.records() {
                    let record = record.unwrap();
                    for &grade in &grades {
                        // A source stands before its grade; both are empty where the value is (a pure fluid's LFL).
                        let (source, grade) = (&record[grade - 1], &record[grade]);
                        assert_eq!(source.is_empty(), grade.is_empty(), "{}: {record:?}", path.display());
                        if !grade.is_empty() {
                            assert!(<Grade as crate::sheet::Word>::parse(grade).is_ok(), "{grade}");
                        }
                    }
                }
            }
        }
        assert_eq!(files, 28);
    }

    #[test]
    fn refrigerants_are_found_in_any_usual_spelling() {
        let library = Library::embedded().unwrap();
        assert_eq!(library.refrigerants().all().len(), 28);
        for (asked, name) in [
            ("R449A", "R-449A"),
            ("r-449a", "R-449A"),
            ("R-449A", "R-449A"),
            ("R 449A", "R-449A"),
            ("449a", "R-449A"),
            ("R1234ze(E)", "R-1234ze(E)"),
            ("r1234zee", "R-1234ze(E)"),
        ] {
            assert_eq!(&*library.refrigerants().find(asked).unwrap().name, name, "{asked}");
        }
        let Err(TableError::UnknownRefrigerant { suggestions, .. }) = library.refrigerants().find("R-448")
        else {
            panic!("R-448 is no refrigerant")
        };
        assert_eq!(suggestions[0], "R-448A");
        let no_grid = folder_with(&[]);
        let refused = Library::open(no_grid.path()).unwrap().grid("R-449A");
        assert!(matches!(refused, Err(TableError::NoGrid { refrigerant, .. }) if refrigerant == "R-449A"));
    }

    #[test]
    fn ammonia_is_refused_in_copper_and_others_are_not() {
        let library = Library::embedded().unwrap();
        let refused: Vec<_> = library
            .refrigerants()
            .all()
            .iter()
            .filter_map(|refrigerant| library.materials().refusal(refrigerant, Material::Copper))
            .map(|refusal| &*refusal.refrigerant)
            .collect();
        assert_eq!(refused, ["R-717"]);
        for (old, new, told) in [
            (
                "R-717,copper",
                "R-771,copper",
                "line 2, column refrigerant: `R-771` does not agree with the names",
            ),
            ("copper,refused", "tin,refused", "line 2, column material: `tin` is not one of: copper"),
            ("copper,refused", "copper,fine", "line 2, column verdict: `fine` is not one of: refused"),
        ] {
            let error = open_edited("refrigerants/materials.csv", old, new).unwrap_err().to_string();
            assert!(error.contains(told), "{error}");
        }
    }

    /// Nothing recalled may pass as confirmed.
    #[test]
    fn recalled_safety_figures_read_as_unconfirmed() {
        let library = Library::embedded().unwrap();
        for refrigerant in library.refrigerants().all() {
            let figures = [
                Some((refrigerant.safety_class.is_unconfirmed(), refrigerant.safety_class.source())),
                refrigerant.lower_flammability_limit.as_ref().map(|f| (f.is_unconfirmed(), f.source())),
                refrigerant.concentration_limit.as_ref().map(|f| (f.is_unconfirmed(), f.source())),
            ];
            for (unconfirmed, source) in figures.into_iter().flatten() {
                assert_eq!(unconfirmed, source.grade == Grade::Memory, "{}: {source}", refrigerant.name);
            }
        }
        let limit =
            |name: &str| library.refrigerants().find(name).unwrap().concentration_limit.clone().unwrap();
        // IMC Table 1103.1 (read): R-134a 50 000 ppm, 210 g/m3.
        let read = limit("R-134a");
        let Reading::Confirmed(confirmed) = read.reading() else { panic!("R-134a was read") };
        approx::assert_relative_eq!(
            confirmed.density.get::<kilogram_per_cubic_meter>(),
            0.21,
            max_relative = 1e-9
        );
        approx::assert_relative_eq!(confirmed.by_volume.unwrap().get::<percent>(), 5.0, max_relative = 1e-9);
        assert!(matches!(limit("R-404A").reading(), Reading::Unconfirmed(_)));
    }

    #[test]
    fn normal_boiling_is_absent_where_a_fluid_has_none() {
        let library = Library::embedded().unwrap();
        let normal = |name: &str| library.refrigerants().find(name).unwrap().normal_boiling.clone();
        assert_eq!(normal("R-744"), None);
        let blend = normal("R-449A").unwrap().value;
        assert!(blend.dew.get() > blend.bubble.get());
        let half = open_edited("refrigerants/refrigerants.csv", ",-40.81,-40.81,", ",-40.81,,").unwrap_err();
        assert!(half.to_string().contains("column normal_dew_c: the cell is empty"), "{half}");
        let swapped =
            open_edited("refrigerants/refrigerants.csv", ",-40.81,-40.81,", ",-40.81,-41,").unwrap_err();
        assert!(swapped.to_string().contains("column normal_dew_c: `-41` does not agree"), "{swapped}");
    }

    #[test]
    fn fittings_are_found_by_key_and_handbook_lengths_by_exact_size() {
        let library = Library::embedded().unwrap();
        let fittings = library.fittings();
        assert_eq!(fittings.three_k_fittings().len(), 34);
        // Darby 1999: flanged or welded 90 degree elbow, r/D = 1.
        let elbow = fittings.three_k("elbow-90-short").unwrap().loss.value;
        assert_eq!((elbow.k1, elbow.k_infinity, elbow.kd), (800.0, 0.091, 4.0));
        // Hooper 1981: the same fitting.
        assert_eq!(fittings.two_k("elbow-90-short").unwrap().loss.value.k_infinity, 0.25);
        assert!(fittings.three_k("elbow").is_none());
        assert!(fittings.suggestions("elbow-90-shrt").contains(&"elbow-90-short".to_owned()));
        assert!(fittings.length_to_diameter("y-valve-60").is_some());
        let tube = |description: &str, outside| {
            let stock = library.tubes().stock(description).unwrap();
            matching(&stock, OutsideDiameter::new(Length::new::<inch>(outside)), None)[0].tube
        };
        // ASHRAE Handbook Refrigeration, fitting losses, reprint in metres: 1/2 in nominal, standard 90 degree elbow.
        let length =
            fittings.equivalent_length("elbow-90-short", &tube("ASTM B280 straight", 0.625)).unwrap();
        approx::assert_relative_eq!(length.value.get().get::<meter>(), 0.5, max_relative = 1e-9);
        assert_eq!(length.source.grade, Grade::Published);
        // 3/8 in OD lies below the table, 16 mm between its rows.
        assert!(fittings.equivalent_length("elbow-90-short", &tube("ASTM B280 coil", 0.375)).is_none());
        assert!(fittings.equivalent_length("elbow-90-short", &tube("EN 12735-1", 16.0 / 25.4)).is_none());
        assert!(fittings.equivalent_length("ball-valve", &tube("ASTM B280 coil", 0.625)).is_none());
    }

    #[test]
    fn limits_come_with_their_quantity_and_source() {
        let library = Library::embedded().unwrap();
        let defaults = library.limits().defaults();
        let drop = &defaults.saturated_temperature_drop_discharge;
        approx::assert_relative_eq!(drop.value.get::<kelvin_interval>(), 2.0 / 1.8, max_relative = 1e-9);
        assert_eq!(drop.source.grade, Grade::CommonPractice);
        approx::assert_relative_eq!(defaults.roughness_copper.value.get::<micrometer>(), 1.5);
        assert_eq!(defaults.flash_margin.value.get::<kelvin_interval>(), 0.0);
        // 122 °F as a temperature, 30 °F as a difference.
        let least = &defaults.design_temperature_high_side_least;
        approx::assert_relative_eq!(least.value.get::<degree_celsius>(), 50.0, max_relative = 1e-9);
        assert_eq!(least.source.grade, Grade::Memory);
        let above_air = defaults.design_temperature_above_air.value.get::<kelvin_interval>();
        approx::assert_relative_eq!(above_air, 30.0 / 1.8, max_relative = 1e-9);
        let gauge = defaults.design_pressure_low_side_least.value.get();
        approx::assert_relative_eq!(gauge.get::<psi>(), 15.0, max_relative = 1e-9);
        approx::assert_relative_eq!(defaults.chase_girth.value.get::<inch>(), 24.0, max_relative = 1e-9);
        assert!(defaults.touch_temperature_metal.value < defaults.touch_temperature_insulation.value);
        let fast = &defaults.greatest_velocity_liquid_fast_valve;
        assert!(fast.value < defaults.greatest_velocity_liquid.value);
        let remarks: Vec<_> = library
            .limits()
            .velocity_remarks(Service::Discharge)
            .map(|(limit, velocity)| (&*limit.key, velocity.get::<foot_per_minute>().round()))
            .collect();
        assert!(remarks.contains(&("least-velocity-rising-gas", 1000.0)), "{remarks:?}");
        let Err(TableError::UnknownLimit { suggestions, .. }) =
            library.limits().limit("greatest-velocity-drians")
        else {
            panic!("no such limit")
        };
        assert_eq!(suggestions[0], "greatest-velocity-drain");
    }

    #[test]
    fn oil_density_is_read_between_measurements_only() {
        let library = Library::embedded().unwrap();
        let at = |key, celsius| {
            let temperature = ThermodynamicTemperature::new::<degree_celsius>(celsius);
            library.limits().oil_density(key, temperature)
        };
        // Measured: 982 at 25 C and 963 at 50 C.
        let between = at("iso-32", 37.5).unwrap();
        approx::assert_relative_eq!(
            between.value.get::<kilogram_per_cubic_meter>(),
            972.5,
            max_relative = 1e-9
        );
        assert_eq!(between.source.grade, Grade::Derived);
        assert!(at("iso-32", 25.0).is_some());
        assert!(at("iso-32", 90.0).is_none());
        assert!(at("whale", 25.0).is_none());
    }

    #[test]
    fn bands_of_viscosity_are_as_wide_as_its_sources_lie_apart() {
        let library = Library::embedded().unwrap();
        let percent_of = |name: &str| library.bands(name).unwrap().liquid_viscosity.value.get::<percent>();
        // Two sources that agree; two that differ by 12 to 19 %.
        approx::assert_relative_eq!(percent_of("R-22"), 5.0, max_relative = 1e-9);
        approx::assert_relative_eq!(percent_of("R-1270"), 20.0, max_relative = 1e-9);
        let (old, new) = (library.bands("R-22").unwrap(), library.bands("R-449A").unwrap());
        assert_eq!(new.friction, old.friction);
        approx::assert_relative_eq!(new.length.value.get::<percent>(), 2.0, max_relative = 1e-9);
        approx::assert_relative_eq!(new.heat_transfer.value.get::<percent>(), 20.0, max_relative = 1e-9);
        assert_eq!(new.surroundings.value.get::<kelvin_interval>(), 3.0);
    }
}
