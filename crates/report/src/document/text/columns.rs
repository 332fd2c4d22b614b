//! Things beside each other: a column each, a row a property, in as many blocks as the width asks for.

use super::{
    ABSENT, Grid, Sheet,
    sheet::{WIDTH, longest_word, no_break},
};
use crate::figure::{Figure, Units};
use unicode_width::UnicodeWidthStr;

/// Names up to this long stay on one line.
const NAMES: usize = 32;
/// Blanks between two columns.
const BETWEEN: usize = 2;

pub(super) struct Columns<'a, T> {
    things: &'a [T],
    units: Units,
    absent: &'static str,
    rows: Vec<(String, Vec<String>)>,
}

impl<'a, T> Columns<'a, T> {
    pub(super) fn new(things: &'a [T], units: Units) -> Self {
        Self { things, units, absent: ABSENT, rows: Vec::new() }
    }

    /// What stands where a value is absent.
    pub(super) fn absent_as(self, absent: &'static str) -> Self {
        Self { absent, ..self }
    }

    /// A name over the rows that follow with [`under`].
    pub(super) fn heading(&mut self, name: &str) {
        self.rows.push((name.to_owned(), vec![String::new(); self.things.len()]));
    }

    /// A row of texts; none where no thing has one.
    pub(super) fn texts(&mut self, name: &str, text: impl Fn(&T) -> Option<String>) {
        let texts: Vec<Option<String>> = self.things.iter().map(text).collect();
        if texts.iter().any(Option::is_some) {
            let cells = texts.into_iter().map(|text| text.unwrap_or_else(|| self.absent.to_owned()));
            self.rows.push((name.to_owned(), cells.collect()));
        }
    }

    /// A row of figures whose unit stands beside its name; none where no thing has one.
    pub(super) fn figures(&mut self, name: &str, figure: impl Fn(&T) -> Option<Figure>) {
        let figures: Vec<Option<Figure>> = self.things.iter().map(figure).collect();
        let Some(one) = figures.iter().flatten().next() else { return };
        let (name, units) = (with_unit(name, one, self.units), self.units);
        let cell = |figure: Option<Figure>| figure.map_or_else(|| self.absent.into(), |it| it.bare(units));
        let cells = figures.into_iter().map(cell).collect();
        self.rows.push((name, cells));
    }

    /// Prints the rows, under the name of each thing that has any of them.
    pub(super) fn print(self, sheet: &mut Sheet, name: impl Fn(&T) -> String) {
        let name_of_row = |name: String| if name.width() <= NAMES { no_break(&name) } else { name };
        let rows: Vec<(String, Vec<String>)> =
            self.rows.into_iter().map(|(name, cells)| (name_of_row(name), cells)).collect();
        let beside = rows.iter().map(|(name, _)| longest_word(name).max(name.width().min(NAMES)));
        let beside = beside.max().unwrap_or(0);
        let cells_of = |index: usize| rows.iter().filter_map(move |(_, cells)| cells.get(index));
        let columns = self.things.iter().map(name).enumerate();
        let mut columns = columns
            .filter(|(index, _)| cells_of(*index).any(|cell| !cell.is_empty() && cell != ABSENT))
            .map(|(index, name)| {
                let words = cells_of(index).map(|cell| longest_word(cell)).max().unwrap_or(0);
                (index, BETWEEN + words.max(longest_word(&name)), name)
            })
            .peekable();
        let mut first = true;
        while let Some(column) = columns.next() {
            let mut taken = beside + column.1;
            let mut block = vec![column];
            while let Some(next) = columns.next_if(|(_, width, _)| taken + width <= WIDTH) {
                taken += next.1;
                block.push(next);
            }
            if !std::mem::take(&mut first) {
                sheet.gap();
            }
            let header: Vec<&str> =
                std::iter::once("").chain(block.iter().map(|(_, _, name)| name.as_str())).collect();
            let mut grid = Grid::new(&header);
            for (name, cells) in &rows {
                let cells = block.iter().filter_map(|(index, _, _)| cells.get(*index).cloned());
                grid.row(std::iter::once(name.clone()).chain(cells));
            }
            sheet.grid(grid);
        }
    }
}

/// A name that stands under a heading.
pub(super) fn under(name: &str) -> String {
    no_break(&format!("  {name}"))
}

/// `capacity, Btu/h (kW)`, after the units of a figure.
pub(super) fn with_unit(name: &str, figure: &Figure, units: Units) -> String {
    let unit = |text: &str| text.split_once(' ').map(|(_, unit)| unit.to_owned()).unwrap_or_default();
    let unit = Figure { us: unit(&figure.us), si: unit(&figure.si) }.both(units);
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {}", no_break(&unit)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::{length, plain};

    fn printed(lengths: &[f64]) -> String {
        let mut columns = Columns::new(lengths, Units::Us);
        columns.heading("line");
        columns.figures(&under("run"), |it| (*it > 0.0).then(|| length(*it)));
        columns.figures("ratio", |it| Some(plain(*it)));
        columns.figures("never there", |_| None);
        let mut sheet = Sheet::default();
        columns.print(&mut sheet, |it| format!("number{it}"));
        sheet.finish()
    }

    #[test]
    fn a_row_names_its_unit_once_and_says_where_a_value_is_absent() {
        assert_eq!(
            printed(&[28.0, 0.0]),
            "               number28   number0\n\
             -------------- ---------- --------\n\
             line\n  \
             run, ft (m)  92 (28.0)  -\n\
             ratio          28.00      0.00\n"
        );
    }

    #[test]
    fn what_does_not_fit_beside_comes_below() {
        let text = printed(&[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0]);
        assert_eq!(text.matches("ratio").count(), 2, "{text}");
        assert!(text.lines().all(|line| line.width() <= WIDTH), "{text}");
    }
}
