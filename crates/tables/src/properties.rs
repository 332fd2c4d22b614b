//! Property grids of refrigerants, parsed when asked for.
//!
//! A grid is a folder `properties/R-449A/` of three files, four for a blend (`glide.csv`). Their `# key: value` lines at the top say how the grid was
//! made. Grids are large, so this reader avoids the named cells of the small tables: it takes the columns in the
//! fixed order of [`physics::fluid::GridData`].

use crate::{
    error::{Fault, TableError},
    folder::DataFolder,
    provenance::Source,
    refrigerants::Kind,
    sheet::{Word, line, number, place, reader, unreadable},
};
use csv::ByteRecord;
use physics::fluid::{GlideColumns, GridData, SaturationColumns, SurfaceColumns};
use std::{str, sync::Arc};

/// How a property grid was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GridProvenance {
    /// Library and model.
    pub source: Source,
    /// Rule behind the viscosities.
    pub viscosity: Arc<str>,
    /// Every `# key: value` line of the files, each once, in their order.
    pub notes: Vec<(Arc<str>, Arc<str>)>,
}

/// A property grid and how it was made.
#[derive(Clone, Debug)]
pub struct PropertyTable {
    /// The columns.
    pub data: GridData,
    /// How they were made.
    pub provenance: GridProvenance,
}

pub(crate) fn load(folder: &DataFolder, refrigerant: &str, kind: Kind) -> Result<PropertyTable, TableError> {
    let file = |table: &str| -> Arc<str> { format!("properties/{refrigerant}/{table}.csv").into() };
    let read = |file: Arc<str>| folder.read(&file).map(|bytes| (file, bytes));
    let saturation = read(file("saturation"))?;
    let (vapour, liquid) = (read(file("vapour"))?, read(file("liquid"))?);
    // Without it a blend's quality would be taken from the lever rule, which is wrong for it.
    let glide = match kind {
        Kind::Pure => None,
        Kind::Blend => Some(read(file("glide"))?),
    };
    let mut data = GridData {
        saturation: read_saturation(&saturation.0, &saturation.1)?,
        vapour: read_surface(&vapour.0, &vapour.1, "dew_temperature_k", "superheat_k")?,
        liquid: read_surface(&liquid.0, &liquid.1, "bubble_temperature_k", "subcooling_k")?,
        glide: glide.as_ref().map(|(file, bytes)| read_glide(file, bytes)).transpose()?,
        equation_range_k: None,
    };
    let saturation_file = Arc::clone(&saturation.0);
    let mut equation_range_k = (None, None);
    let mut notes: Vec<(Arc<str>, Arc<str>)> = Vec::new();
    let mut grade = None;
    for (file, bytes) in [saturation, vapour, liquid].iter().chain(&glide) {
        for (line, key, value) in notes_of(file, bytes)? {
            let at = |fault| TableError::Row { place: place(file, line, Some(key)), fault };
            if key == "refrigerant" && value != refrigerant {
                let with = format!("the folder {refrigerant}");
                return Err(at(Fault::Disagrees { text: value.to_owned(), with }));
            }
            let number = || value.parse().map_err(|_| at(Fault::NotANumber { text: value.to_owned() }));
            match key {
                "equation_lower_limit_k" => equation_range_k.0 = Some(number()?),
                "equation_upper_limit_k" => equation_range_k.1 = Some(number()?),
                _ => {}
            }
            if key == "grade" {
                grade = Some(Word::parse(value).map_err(at)?);
            }
            if !notes.iter().any(|(known, text)| &**known == key && &**text == value) {
                notes.push((key.into(), value.into()));
            }
        }
    }
    data.equation_range_k = equation_range_k.0.zip(equation_range_k.1);
    let missing = |key: &str| TableError::MissingEntry {
        file: saturation_file.to_string(),
        key: format!("# {key}: ..."),
    };
    let note = |key: &str| {
        let found = notes.iter().find(|(known, _)| &**known == key);
        found.map(|(_, value)| Arc::clone(value)).ok_or_else(|| missing(key))
    };
    let provenance = GridProvenance {
        source: Source { text: note("source")?, grade: grade.ok_or_else(|| missing("grade"))? },
        viscosity: note("viscosity")?,
        notes,
    };
    Ok(PropertyTable { data, provenance })
}

/// The `# key: value` lines before the header, with their line numbers.
fn notes_of<'a>(file: &Arc<str>, bytes: &'a [u8]) -> Result<Vec<(u64, &'a str, &'a str)>, TableError> {
    let mut notes = Vec::new();
    for (line, text) in (1..).zip(bytes.split(|byte| *byte == b'\n')) {
        let Some(note) = text.strip_prefix(b"#") else { break };
        let note = str::from_utf8(note)
            .map_err(|_| TableError::Row { place: place(file, line, None), fault: Fault::NotUtf8 })?;
        if let Some((key, value)) = note.split_once(": ") {
            notes.push((line, key.trim(), value.trim()));
        }
    }
    Ok(notes)
}

/// What the values of a column may be.
#[derive(Clone, Copy, PartialEq)]
enum Range {
    Any,
    Positive,
    NotNegative,
}

use Range::{Any, NotNegative, Positive};

const SATURATION: [(&str, Range); 16] = [
    ("temperature_k", Positive),
    ("bubble_pressure_pa", Positive),
    ("dew_pressure_pa", Positive),
    ("liquid_density_kg_m3", Positive),
    ("vapour_density_kg_m3", Positive),
    ("liquid_enthalpy_j_kg", Any),
    ("vapour_enthalpy_j_kg", Any),
    ("liquid_entropy_j_kg_k", Any),
    ("vapour_entropy_j_kg_k", Any),
    ("liquid_heat_capacity_j_kg_k", Positive),
    ("vapour_heat_capacity_j_kg_k", Positive),
    ("liquid_viscosity_pa_s", Positive),
    ("vapour_viscosity_pa_s", Positive),
    ("liquid_conductivity_w_m_k", Positive),
    ("vapour_conductivity_w_m_k", Positive),
    ("surface_tension_n_m", NotNegative),
];

fn read_saturation(file: &Arc<str>, bytes: &[u8]) -> Result<SaturationColumns, TableError> {
    let mut columns: [Vec<f64>; 16] = Default::default();
    let mut table = Numbers::open(file, bytes, SATURATION)?;
    while let Some(values) = table.next()? {
        // Temperature and both pressures rise together.
        for (column, (axis, value)) in columns.iter().zip(values).enumerate().take(3) {
            if let Some(&previous) = axis.last()
                && value <= previous
            {
                return Err(table.fault(column, Fault::NotRising { previous, value }));
            }
        }
        for (column, value) in columns.iter_mut().zip(values) {
            column.push(value);
        }
    }
    if columns[0].is_empty() {
        return Err(table.fault(0, Fault::NoRows));
    }
    let [
        temperature_k,
        bubble_pressure_pa,
        dew_pressure_pa,
        liquid_density_kg_m3,
        vapour_density_kg_m3,
        liquid_enthalpy_j_kg,
        vapour_enthalpy_j_kg,
        liquid_entropy_j_kg_k,
        vapour_entropy_j_kg_k,
        liquid_heat_capacity_j_kg_k,
        vapour_heat_capacity_j_kg_k,
        liquid_viscosity_pa_s,
        vapour_viscosity_pa_s,
        liquid_conductivity_w_m_k,
        vapour_conductivity_w_m_k,
        surface_tension_n_m,
    ] = columns;
    Ok(SaturationColumns {
        temperature_k,
        bubble_pressure_pa,
        dew_pressure_pa,
        liquid_density_kg_m3,
        vapour_density_kg_m3,
        liquid_enthalpy_j_kg,
        vapour_enthalpy_j_kg,
        liquid_entropy_j_kg_k,
        vapour_entropy_j_kg_k,
        liquid_heat_capacity_j_kg_k,
        vapour_heat_capacity_j_kg_k,
        liquid_viscosity_pa_s,
        vapour_viscosity_pa_s,
        liquid_conductivity_w_m_k,
        vapour_conductivity_w_m_k,
        surface_tension_n_m,
    })
}

fn read_surface(
    file: &Arc<str>,
    bytes: &[u8],
    saturation: &'static str,
    distance: &'static str,
) -> Result<SurfaceColumns, TableError> {
    let header = [
        (saturation, Positive),
        (distance, NotNegative),
        ("density_kg_m3", Positive),
        ("enthalpy_j_kg", Any),
        ("entropy_j_kg_k", Any),
        ("heat_capacity_j_kg_k", Positive),
        ("viscosity_pa_s", Positive),
        ("conductivity_w_m_k", Positive),
    ];
    let [
        saturation_temperature_k,
        distance_k,
        density_kg_m3,
        enthalpy_j_kg,
        entropy_j_kg_k,
        heat_capacity_j_kg_k,
        viscosity_pa_s,
        conductivity_w_m_k,
    ] = read_product(file, bytes, header)?;
    Ok(SurfaceColumns {
        saturation_temperature_k,
        distance_k,
        density_kg_m3,
        enthalpy_j_kg,
        entropy_j_kg_k,
        heat_capacity_j_kg_k,
        viscosity_pa_s,
        conductivity_w_m_k,
    })
}

fn read_glide(file: &Arc<str>, bytes: &[u8]) -> Result<GlideColumns, TableError> {
    let header = [
        ("bubble_temperature_k", Positive),
        ("enthalpy_share", NotNegative),
        ("quality_minus_share", Any),
        ("temperature_minus_line_k", Any),
    ];
    let [bubble_temperature_k, enthalpy_share, quality_minus_share, temperature_minus_line_k] =
        read_product(file, bytes, header)?;
    Ok(GlideColumns { bubble_temperature_k, enthalpy_share, quality_minus_share, temperature_minus_line_k })
}

/// A table over the full product of its first two columns, row by row: the nodes of both, and the value columns.
fn read_product<const N: usize>(
    file: &Arc<str>,
    bytes: &[u8],
    header: [(&'static str, Range); N],
) -> Result<[Vec<f64>; N], TableError> {
    let (rows, across) = (header[0].0, header[1].0);
    let mut columns = [const { Vec::<f64>::new() }; N];
    // Cells of the block under way; the first block sets the nodes across for all.
    let mut in_block = 0;
    let mut table = Numbers::open(file, bytes, header)?;
    while let Some(values) = table.next()? {
        let (row, node) = (values[0], values[1]);
        let width = columns[1].len();
        let block = columns[0].last().copied();
        if block != Some(row) {
            if let Some(previous) = block {
                if in_block < width {
                    let expected = format!("{across} {} at {previous}", columns[1][in_block]);
                    let found = row.to_string();
                    return Err(table.fault(0, Fault::IncompleteProduct { expected, found }));
                }
                if row < previous {
                    return Err(table.fault(0, Fault::NotRising { previous, value: row }));
                }
            }
            columns[0].push(row);
            in_block = 0;
        }
        if columns[0].len() == 1 {
            if let Some(&previous) = columns[1].last()
                && node <= previous
            {
                return Err(table.fault(1, Fault::NotRising { previous, value: node }));
            }
            columns[1].push(node);
        } else if columns[1].get(in_block) != Some(&node) {
            let expected =
                columns[1].get(in_block).map_or_else(|| format!("a greater {rows}"), f64::to_string);
            return Err(table.fault(1, Fault::IncompleteProduct { expected, found: node.to_string() }));
        }
        in_block += 1;
        for (column, value) in columns.iter_mut().zip(values).skip(2) {
            column.push(value);
        }
    }
    if in_block == 0 {
        return Err(table.fault(0, Fault::NoRows));
    }
    match columns[1].get(in_block) {
        Some(missing) => {
            let expected = format!("{across} {missing}");
            let found = "the end of the file".to_owned();
            Err(table.fault(1, Fault::IncompleteProduct { expected, found }))
        }
        None => Ok(columns),
    }
}

/// A table of `N` columns that holds nothing but numbers.
struct Numbers<'a, const N: usize> {
    file: &'a Arc<str>,
    header: [(&'static str, Range); N],
    bytes: &'a [u8],
    reader: csv::Reader<&'a [u8]>,
    record: ByteRecord,
}

impl<'a, const N: usize> Numbers<'a, N> {
    fn open(
        file: &'a Arc<str>,
        bytes: &'a [u8],
        header: [(&'static str, Range); N],
    ) -> Result<Self, TableError> {
        let mut reader = reader(bytes);
        let found = reader.byte_headers().map_err(|error| unreadable(file, error))?.clone();
        let at = |column: &str, fault| {
            Err(TableError::Row { place: place(file, line(bytes, found.position()), Some(column)), fault })
        };
        for (index, (column, _)) in header.iter().enumerate() {
            if found.get(index).map(<[u8]>::trim_ascii) != Some(column.as_bytes()) {
                return at(column, Fault::MissingColumn);
            }
        }
        if let Some(extra) = found.get(N) {
            return at(&String::from_utf8_lossy(extra), Fault::UnexpectedColumn);
        }
        Ok(Self { file, header, bytes, reader, record: found })
    }

    /// Numbers of the next row.
    fn next(&mut self) -> Result<Option<[f64; N]>, TableError> {
        if !self.reader.read_byte_record(&mut self.record).map_err(|error| unreadable(self.file, error))? {
            return Ok(None);
        }
        if self.record.len() != N {
            let fault = Fault::CellCount { found: self.record.len(), expected: N };
            return Err(TableError::Row {
                place: place(self.file, line(self.bytes, self.record.position()), None),
                fault,
            });
        }
        let mut values = [0.0; N];
        for (index, (value, cell)) in values.iter_mut().zip(&self.record).enumerate() {
            *value = self.value(index, cell).map_err(|fault| self.fault(index, fault))?;
        }
        Ok(Some(values))
    }

    fn value(&self, column: usize, cell: &[u8]) -> Result<f64, Fault> {
        let cell = cell.trim_ascii();
        if cell.is_empty() {
            return Err(Fault::EmptyCell);
        }
        let value = number(str::from_utf8(cell).map_err(|_| Fault::NotUtf8)?)?;
        let out_of_range = |expected| Err(Fault::OutOfRange { value, expected });
        match self.header[column].1 {
            Positive if value <= 0.0 => out_of_range("a positive number"),
            NotNegative if value < 0.0 => out_of_range("zero or a positive number"),
            _ => Ok(value),
        }
    }

    /// An error in the row read last.
    fn fault(&self, column: usize, fault: Fault) -> TableError {
        let column = Some(self.header[column].0);
        TableError::Row { place: place(self.file, line(self.bytes, self.record.position()), column), fault }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Grade, Library, library::testing::folder_with};

    const NOTES: &str =
        "# refrigerant: R-717\n# source: made up for a test\n# grade: computed\n# viscosity: none\n";

    fn saturation() -> String {
        let header: Vec<_> = SATURATION.iter().map(|(name, _)| *name).collect();
        let mut text = format!("{NOTES}{}\n", header.join(","));
        for row in 1..=3 {
            let cells: Vec<_> = (1..=16).map(|column| format!("{}", 200 + row * column)).collect();
            text += &format!("{}\n", cells.join(","));
        }
        text
    }

    fn surface(saturation: &str, distance: &str) -> String {
        let mut text = format!(
            "{NOTES}{saturation},{distance},density_kg_m3,enthalpy_j_kg,entropy_j_kg_k,heat_capacity_j_kg_k,viscosity_pa_s,conductivity_w_m_k\n"
        );
        for saturation_k in [210.0, 214.5] {
            for distance_k in [0.0, 3.0, 8.0] {
                text += &format!("{saturation_k},{distance_k},{},-2,3,4,5e-6,6\n", saturation_k + distance_k);
            }
        }
        text
    }

    #[test]
    fn a_blend_has_a_fourth_file() {
        let notes = NOTES.replace("R-717", "R-449A");
        let glide = format!(
            "{notes}# repaired: none\nbubble_temperature_k,enthalpy_share,quality_minus_share,temperature_minus_line_k\n\
             210,0,0,0\n210,1,0,0\n218,0,0.5,-0.1\n218,1,0,0\n"
        );
        let files = [
            ("saturation", saturation()),
            ("vapour", surface("dew_temperature_k", "superheat_k")),
            ("liquid", surface("bubble_temperature_k", "subcooling_k")),
            ("glide", glide),
        ]
        .map(|(name, text)| (format!("properties/R-449A/{name}.csv"), text.replace(NOTES, &notes)));
        let load = |files: &[(String, String)]| {
            Library::open(folder_with(files).path()).unwrap().property_table("R-449A")
        };
        let table = load(&files).unwrap();
        let glide = table.data.glide.unwrap();
        assert_eq!(glide.bubble_temperature_k, [210.0, 218.0]);
        assert_eq!(glide.enthalpy_share, [0.0, 1.0]);
        assert_eq!(glide.quality_minus_share, [0.0, 0.0, 0.5, 0.0]);
        assert_eq!(glide.temperature_minus_line_k, [0.0, 0.0, -0.1, 0.0]);
        assert_eq!(table.provenance.notes.len(), 5);
        // Without it quality would be the lever rule's, which is wrong for a blend.
        let refused = load(&files[..3]).unwrap_err().to_string();
        assert!(refused.contains("properties/R-449A/glide.csv"), "{refused}");
        assert!(load_with("", |text| text).unwrap().data.glide.is_none(), "a pure fluid has none");
    }

    fn load_with(edited: &str, edit: impl Fn(String) -> String) -> Result<PropertyTable, TableError> {
        let files = [
            ("saturation", saturation()),
            ("vapour", surface("dew_temperature_k", "superheat_k")),
            ("liquid", surface("bubble_temperature_k", "subcooling_k")),
        ]
        .map(|(name, text)| {
            let text = if name == edited { edit(text) } else { text };
            (format!("properties/R-717/{name}.csv"), text)
        });
        let folder = folder_with(&files);
        Library::open(folder.path()).unwrap().property_table("r717")
    }

    #[test]
    fn a_small_grid_is_read_with_its_notes() {
        let table = load_with("", |text| text).unwrap();
        assert_eq!(table.data.saturation.temperature_k, [201.0, 202.0, 203.0]);
        assert_eq!(table.data.saturation.surface_tension_n_m, [216.0, 232.0, 248.0]);
        assert_eq!(table.data.vapour.saturation_temperature_k, [210.0, 214.5]);
        assert_eq!(table.data.liquid.distance_k, [0.0, 3.0, 8.0]);
        assert_eq!(table.data.vapour.density_kg_m3, [210.0, 213.0, 218.0, 214.5, 217.5, 222.5]);
        assert_eq!(table.data.liquid.viscosity_pa_s, [5e-6; 6]);
        assert_eq!(&*table.provenance.source.text, "made up for a test");
        assert_eq!(table.provenance.source.grade, Grade::Computed);
        assert_eq!(&*table.provenance.viscosity, "none");
        assert_eq!(table.provenance.notes.len(), 4);
    }

    #[test]
    fn broken_grids_are_refused_where_they_break() {
        // File, text to replace, replacement, part of the message.
        let broken = [
            (
                "saturation",
                "temperature_k,bubble",
                "temperature_c,bubble",
                "line 5, column temperature_k: the header lacks",
            ),
            (
                "saturation",
                "surface_tension_n_m\n",
                "surface_tension_n_m,x\n",
                "line 5, column x: the header has",
            ),
            ("saturation", "202,", "201,", "line 7, column temperature_k: 201 does not rise above 201"),
            (
                "saturation",
                "202,204,",
                "202,201,",
                "line 7, column bubble_pressure_pa: 201 does not rise above 202",
            ),
            ("saturation", "202,204,206,", "202,204,,", "line 7, column dew_pressure_pa: the cell is empty"),
            (
                "saturation",
                "202,204,206,",
                "202,204,2o6,",
                "line 7, column dew_pressure_pa: `2o6` is not a number",
            ),
            (
                "saturation",
                "202,204,206,",
                "202,204,inf,",
                "line 7, column dew_pressure_pa: `inf` is not a number",
            ),
            (
                "saturation",
                "202,204,206,208,",
                "202,204,206,-1,",
                "line 7, column liquid_density_kg_m3: -1 is out of range",
            ),
            ("saturation", "202,204,206,", "202,204,", "line 7: the row has 15 cells"),
            (
                "saturation",
                "# refrigerant: R-717",
                "# refrigerant: R-22",
                "line 1, column refrigerant: `R-22` does not agree with the folder R-717",
            ),
            (
                "saturation",
                "# grade: computed",
                "# grade: guess",
                "line 3, column grade: `guess` is not one of: published",
            ),
            ("vapour", "210,3,", "210,0,", "line 7, column superheat_k: 0 does not rise above 0"),
            (
                "vapour",
                "214.5,3,",
                "214.5,4,",
                "line 10, column superheat_k: the grid is incomplete: expected 3 here, found 4",
            ),
            (
                "vapour",
                "214.5,8,222.5,-2,3,4,5e-6,6\n",
                "",
                "line 11, column superheat_k: the grid is incomplete: expected superheat_k 8",
            ),
            ("vapour", "214.5,", "209,", "line 9, column dew_temperature_k: 209 does not rise above 210"),
            (
                "vapour",
                "5e-6,6\n214.5,8",
                "5e-6,6\n215,8",
                "line 11, column dew_temperature_k: the grid is incomplete",
            ),
            (
                "liquid",
                "214.5,8,222.5,-2,3,4,5e-6,6\n",
                "214.5,8,222.5,-2,3,4,5e-6,6\n214.5,9,222.5,-2,3,4,5e-6,6\n",
                "line 12, column subcooling_k: the grid is incomplete: expected a greater bubble_temperature_k here, found 9",
            ),
            ("liquid", "5e-6", "0", "line 6, column viscosity_pa_s: 0 is out of range"),
            (
                "liquid",
                "bubble_temperature_k",
                "dew_temperature_k",
                "line 5, column bubble_temperature_k: the header lacks",
            ),
        ];
        for (file, old, new, message) in broken {
            let edit = |text: String| {
                assert!(text.contains(old), "{file} has no {old:?}");
                text.replace(old, new)
            };
            let refused = load_with(file, edit).unwrap_err().to_string();
            assert!(refused.contains(&format!("properties/R-717/{file}.csv, {message}")), "{refused}");
        }
        for (note, entry) in
            [("# source: made up for a test\n", "# source: ..."), ("# viscosity: none\n", "# viscosity: ...")]
        {
            let files = ["saturation", "vapour", "liquid"];
            let texts = [
                saturation(),
                surface("dew_temperature_k", "superheat_k"),
                surface("bubble_temperature_k", "subcooling_k"),
            ];
            let files: Vec<_> = files
                .iter()
                .zip(texts)
                .map(|(name, text)| (format!("properties/R-717/{name}.csv"), text.replace(note, "")))
                .collect();
            let folder = folder_with(&files);
            let refused = Library::open(folder.path()).unwrap().grid("R-717").unwrap_err().to_string();
            assert!(refused.contains(entry), "{refused}");
        }
        let header_only = load_with("liquid", |text| text.lines().take(5).collect::<Vec<_>>().join("\n"));
        assert!(header_only.unwrap_err().to_string().contains("no rows"));
    }
}
