//! The table of many jobs: rows of cells, read one at a time from a CSV as spreadsheets write it.

use csv_core::{ReadFieldResult, Reader, ReaderBuilder};
use std::io::{self, BufRead, BufReader, Read};
use tables::dialect::Separator;
use thiserror::Error;

/// A row is no longer: what is longer is a quotation mark that was never closed.
const LONGEST_ROW: usize = 1 << 16;
/// Lines that one row may have, where its cells hold line breaks.
const MOST_LINES: usize = 100;

/// What is wrong with a table as a whole.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum TableFault {
    /// The file could not be read on.
    #[error("the table can not be read: {0}")]
    Read(#[from] io::Error),
    /// The file is text in an encoding that is not read, or none.
    #[error("the table is {0}; save it as CSV UTF-8")]
    Encoding(&'static str),
    /// Nothing stands in the file.
    #[error(
        "the table is empty; write a header of keys such as `set.ice-room.capacity`, and below it a row a job"
    )]
    Empty,
    /// A quotation mark swallows the rows behind it.
    #[error(
        "row {row}: a quotation mark opens a cell there and is never closed; write `in` for an inch mark, or close \
         the cell"
    )]
    NotClosed {
        /// The row, as a spreadsheet counts.
        row: u64,
    },
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// As a spreadsheet counts: the header is row 1 where nothing stands above it.
    pub number: u64,
    /// Cells without the space around them.
    pub cells: Vec<String>,
}

impl Row {
    /// Whether nothing stands in any cell.
    fn is_empty(&self) -> bool {
        self.cells.iter().all(String::is_empty)
    }
}

/// Rows of a table; the first one is its header. Remarks (`#`), empty lines and rows of empty cells are passed over.
///
/// UTF-8 and, with its byte-order mark, UTF-16; cells between commas, semicolons or tab stops, by the header. What is no
/// text of the encoding becomes U+FFFD.
pub struct Rows<'r> {
    input: Box<dyn BufRead + 'r>,
    separator: Separator,
    /// Takes rows apart; to build it takes longer than to read a row.
    reader: Reader,
    header: Row,
    next: u64,
}

impl<'r> Rows<'r> {
    /// Reads the header.
    ///
    /// # Errors
    /// [`TableFault`].
    pub fn new(input: impl Read + 'r) -> Result<Self, TableFault> {
        let input = decoded(BufReader::new(input))?;
        let header = Row { number: 0, cells: vec![] };
        let (separator, reader) = (Separator::Comma, Reader::new());
        let mut rows = Self { input, separator, reader, header, next: 1 };
        let mut line = rows.line()?.ok_or(TableFault::Empty)?;
        // A line that tells a spreadsheet the separator; the header tells it as well.
        if line.to_ascii_lowercase().starts_with(b"sep=") && line.trim_ascii().len() <= 5 {
            line = rows.line()?.ok_or(TableFault::Empty)?;
        }
        rows.separator = Separator::of(&String::from_utf8_lossy(&line));
        rows.reader = ReaderBuilder::new().delimiter(rows.separator.byte()).build();
        rows.header = rows.row(line)?;
        Ok(rows)
    }

    /// The header.
    #[must_use]
    pub fn header(&self) -> &Row {
        &self.header
    }

    /// What separates the cells.
    #[must_use]
    pub fn separator(&self) -> Separator {
        self.separator
    }

    /// The next row in which anything stands.
    ///
    /// # Errors
    /// [`TableFault`].
    pub fn next_row(&mut self) -> Result<Option<Row>, TableFault> {
        while let Some(line) = self.line()? {
            let row = self.row(line)?;
            if !row.is_empty() {
                return Ok(Some(row));
            }
        }
        Ok(None)
    }

    /// The next line that is no remark and not empty.
    fn line(&mut self) -> Result<Option<Vec<u8>>, TableFault> {
        loop {
            let mut line = Vec::new();
            if self.more(&mut line)? == 0 {
                return Ok(None);
            }
            if !line.trim_ascii().is_empty() && !line.starts_with(b"#") {
                return Ok(Some(line));
            }
            self.next += 1;
        }
    }

    /// Reads one more line behind what is there.
    fn more(&mut self, text: &mut Vec<u8>) -> Result<usize, TableFault> {
        let room = (LONGEST_ROW + 1).saturating_sub(text.len()) as u64;
        let read = (&mut self.input).take(room).read_until(b'\n', text)?;
        if text.len() > LONGEST_ROW { Err(TableFault::NotClosed { row: self.next }) } else { Ok(read) }
    }

    /// The row that begins with a line; cells may go on over further lines.
    fn row(&mut self, mut text: Vec<u8>) -> Result<Row, TableFault> {
        let mut lines = 1;
        let cells = loop {
            if !text.ends_with(b"\n") {
                text.push(b'\n');
            }
            if let Some(cells) = cells(&text, &mut self.reader) {
                break cells;
            }
            lines += 1;
            if lines > MOST_LINES || self.more(&mut text)? == 0 {
                return Err(TableFault::NotClosed { row: self.next });
            }
        };
        let number = self.next;
        self.next += 1;
        Ok(Row { number, cells })
    }
}

/// The cells of a whole row with its line end; none where a cell goes on behind it.
fn cells(text: &[u8], reader: &mut Reader) -> Option<Vec<String>> {
    reader.reset();
    // No cell is longer than the row.
    let mut buffer = vec![0; text.len() + 1];
    let (mut cells, mut at) = (Vec::new(), 0);
    loop {
        let mut written = 0;
        let record_end = loop {
            let (result, taken, given) = reader.read_field(&text[at..], &mut buffer[written..]);
            at += taken;
            written += given;
            match result {
                ReadFieldResult::Field { record_end } => break record_end,
                ReadFieldResult::InputEmpty | ReadFieldResult::End => return None,
                ReadFieldResult::OutputFull => {}
            }
        };
        cells.push(plain(&String::from_utf8_lossy(&buffer[..written])));
        if record_end {
            return Some(cells);
        }
    }
}

/// One kind of space, none around the text and no marks that nobody sees.
fn plain(text: &str) -> String {
    let hidden = |c: &char| !matches!(c, '\u{feff}' | '\u{200b}' | '\u{200e}' | '\u{200f}');
    let space = |c: char| if c.is_whitespace() || c == '\u{2060}' { ' ' } else { c };
    let text: String = text.chars().filter(hidden).map(space).collect();
    text.trim().to_owned()
}

/// Two bytes as a unit of UTF-16.
type Unit = fn([u8; 2]) -> u16;

/// As UTF-8.
fn decoded<'r>(mut input: impl BufRead + 'r) -> Result<Box<dyn BufRead + 'r>, TableFault> {
    let start = input.fill_buf()?;
    let (mark, unit): (usize, Option<Unit>) = match start {
        [0xff, 0xfe, 0, 0, ..] | [0, 0, 0xfe, 0xff, ..] => {
            return Err(TableFault::Encoding("encoded as UTF-32"));
        }
        [0xff, 0xfe, ..] => (2, Some(u16::from_le_bytes)),
        [0xfe, 0xff, ..] => (2, Some(u16::from_be_bytes)),
        [0xef, 0xbb, 0xbf, ..] => (3, None),
        _ if start.contains(&0) => {
            return Err(TableFault::Encoding("no text, or UTF-16 without a byte-order mark"));
        }
        _ => (0, None),
    };
    input.consume(mark);
    Ok(match unit {
        Some(unit) => {
            Box::new(BufReader::new(Utf16 { input, unit, high: None, ready: Vec::new(), given: 0 }))
        }
        None => Box::new(input),
    })
}

/// UTF-16 read as UTF-8.
struct Utf16<R> {
    input: R,
    unit: Unit,
    /// The first half of a pair.
    high: Option<u16>,
    ready: Vec<u8>,
    given: usize,
}

impl<R: BufRead> Utf16<R> {
    /// Decodes some more; false at the end.
    fn refill(&mut self) -> io::Result<bool> {
        let mut block = Vec::with_capacity(4096);
        (&mut self.input).take(4096).read_to_end(&mut block)?;
        let units = block.chunks(2).map(|pair| match pair {
            [one, two] => (self.unit)([*one, *two]),
            // Half a character at the end of the file.
            _ => 0xfffd,
        });
        let mut units: Vec<u16> = self.high.take().into_iter().chain(units).collect();
        if units.is_empty() {
            return Ok(false);
        }
        if !block.is_empty() {
            self.high = units.pop_if(|last| (0xd800..0xdc00).contains(last));
        }
        self.given = 0;
        self.ready = String::from_utf16_lossy(&units).into_bytes();
        Ok(true)
    }
}

impl<R: BufRead> Read for Utf16<R> {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        while self.given == self.ready.len() {
            if !self.refill()? {
                return Ok(0);
            }
        }
        let length = out.len().min(self.ready.len() - self.given);
        out[..length].copy_from_slice(&self.ready[self.given..self.given + length]);
        self.given += length;
        Ok(length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(bytes: &[u8]) -> Vec<(u64, Vec<String>)> {
        let mut rows = Rows::new(bytes).unwrap();
        let mut all = vec![(rows.header().number, rows.header().cells.clone())];
        while let Some(row) = rows.next_row().unwrap() {
            all.push((row.number, row.cells));
        }
        all
    }

    fn wanted(rows: &[(u64, &[&str])]) -> Vec<(u64, Vec<String>)> {
        rows.iter()
            .map(|(number, cells)| (*number, cells.iter().map(|cell| (*cell).to_owned()).collect()))
            .collect()
    }

    #[test]
    fn rows_are_counted_as_a_spreadsheet_counts_them() {
        let text = "a,b\r\n1,\"two\r\nlines\"\r\n\r\n# remark\r\n,\r\n3,4";
        assert_eq!(
            rows(text.as_bytes()),
            wanted(&[(1, &["a", "b"]), (2, &["1", "two  lines"]), (6, &["3", "4"])])
        );
    }

    #[test]
    fn marks_and_encodings_of_spreadsheets_are_read() {
        let text = "sep=;\na;b\n 5/8\" OD ;\"12' 6\"\"\"\n17\u{a0}000 °F;𝄞\n";
        let expected = wanted(&[(1, &["a", "b"]), (2, &["5/8\" OD", "12' 6\""]), (3, &["17 000 °F", "𝄞"])]);
        let units = |unit: fn(u16) -> [u8; 2]| -> Vec<u8> {
            "\u{feff}".encode_utf16().chain(text.encode_utf16()).flat_map(unit).collect()
        };
        for bytes in [
            text.as_bytes().to_vec(),
            [b"\xef\xbb\xbf", text.as_bytes()].concat(),
            units(u16::to_le_bytes),
            units(u16::to_be_bytes),
        ] {
            assert_eq!(rows(&bytes), expected);
        }
        // A pair that lies across two blocks.
        let long = format!("a,b\n{},𝄞\n", "x".repeat(2042));
        let bytes: Vec<u8> = format!("\u{feff}{long}").encode_utf16().flat_map(u16::to_le_bytes).collect();
        assert_eq!(rows(&bytes), rows(long.as_bytes()));
        assert_eq!(rows(b"a\tb\n1,5\t\xb0\n")[1].1, ["1,5", "\u{fffd}"]);
    }

    #[test]
    fn what_is_no_table_is_refused_as_a_whole() {
        let fault = |bytes: &[u8]| match Rows::new(bytes) {
            Err(fault) => fault.to_string(),
            Ok(mut rows) => loop {
                match rows.next_row() {
                    Ok(Some(_)) => {}
                    Ok(None) => panic!("read"),
                    Err(fault) => break fault.to_string(),
                }
            },
        };
        assert!(fault(b"").contains("is empty"));
        assert!(fault(b"# only a remark\n\n").contains("is empty"));
        assert!(fault(b"a,b\n1,2\n3,\"4\n5,6\n").starts_with("row 3: a quotation mark"));
        assert!(fault(format!("a\n\"{}", "x\n".repeat(40_000)).as_bytes()).starts_with("row 2: "));
        assert!(fault("x".repeat(70_000).as_bytes()).starts_with("row 1: "));
        assert!(fault(b"a\0b\0").contains("UTF-16"));
        assert!(fault(b"\xff\xfe\0\0").contains("UTF-32"));
    }
}
