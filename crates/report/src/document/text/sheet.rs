//! A sheet as text 80 columns wide: paragraphs, bullets and tables that wrap and never cut off.

use crate::document::sheet::{Block, Grid, Sheet};
use comfy_table::{ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of a sheet.
pub const WIDTH: usize = 80;

/// Keeps a number and its unit on one line; printed as a plain space.
const NO_BREAK: char = '\u{a0}';

/// Columns parted by a space, one rule below the header.
const RULED: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none().junction(' '))
    .header_separator(LineStyle::none().fill('-').junction(' '))
    .content_lines(ContentLineStyle::none().junction(' '));

/// As [`RULED`], with an empty line between rows whose cells are several lines high.
const SPACED: TableStyle = RULED.row_separator(LineStyle::none().fill(' '));

/// A text whose every space stays, those before it too.
pub(super) fn no_break(text: &str) -> String {
    text.replace(' ', &NO_BREAK.to_string())
}

/// A short name that stays on one line in a table, `1/2 in OD`.
pub(super) fn unbroken(name: &str) -> String {
    unbroken_up_to(16, name)
}

/// As [`unbroken`] for the name of a tube in a table that has room for it, `3/4 in OD wall 0.035 in`.
pub(super) fn one_line(name: &str) -> String {
    unbroken_up_to(23, name)
}

fn unbroken_up_to(longest: usize, name: &str) -> String {
    if name.width() <= longest { no_break(name) } else { name.to_owned() }
}

/// Width of the longest word, which a column should not fall short of.
pub(super) fn longest_word(text: &str) -> usize {
    tokens(text).iter().map(|word| word.width()).max().unwrap_or(0)
}

impl Sheet {
    /// The text, 80 columns wide, ending with one line end.
    pub(in crate::document) fn finish(self) -> String {
        let mut page = Page::default();
        for block in self.into_blocks() {
            page.set(block);
        }
        page.text
    }
}

#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    fn set(&mut self, block: Block) {
        match block {
            Block::Paragraph(text) => self.wrapped(&text, "", ""),
            Block::Bullet(text) => self.wrapped(&text, "  - ", "    "),
            Block::Gap => self.gap(),
            Block::Heading(text) => {
                self.gap();
                let start = self.text.len();
                self.wrapped(&text, "", "");
                let widest = self.text[start..].lines().map(UnicodeWidthStr::width).max().unwrap_or_default();
                self.text.push_str(&"=".repeat(widest));
                self.text.push('\n');
            }
            Block::Section(text) => {
                self.gap();
                self.wrapped(&text, "", "");
            }
            Block::Grid(grid) => self.table(&grid, RULED),
            Block::SpacedGrid(grid) => self.table(&grid, SPACED),
        }
    }

    /// An empty line, unless the sheet starts here or has one already.
    fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    fn table(&mut self, grid: &Grid, style: TableStyle) {
        let widths = column_widths(grid);
        let fit = |cells: &[String]| -> Vec<String> {
            cells.iter().zip(&widths).map(|(cell, width)| wrap_cell(cell, *width).join("\n")).collect()
        };
        let mut table = Table::new();
        // Widths are settled already: the library would break words where a column gets narrow.
        table.load_style(style).set_content_arrangement(ContentArrangement::Disabled);
        table.set_header(fit(grid.header()));
        for row in grid.rows() {
            table.add_row(fit(row));
        }
        for column in table.column_iter_mut() {
            column.set_padding((0, 1));
        }
        for line in table.trim_fmt().lines() {
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }

    fn wrapped(&mut self, text: &str, first_indent: &str, next_indent: &str) {
        let room = WIDTH - next_indent.width().max(first_indent.width());
        for (index, line) in wrap(text, room).iter().enumerate() {
            self.text.push_str(if index == 0 { first_indent } else { next_indent });
            self.text.push_str(line);
            self.text.push('\n');
        }
    }
}

/// Blank columns between two columns of a table: padding and junction.
const BETWEEN_COLUMNS: usize = 2;

/// Widths that fit the sheet and break no word unless they must.
fn column_widths(grid: &Grid) -> Vec<usize> {
    let cells_of = |column: usize| {
        std::iter::once(grid.header()).chain(grid.rows()).filter_map(move |row| row.get(column))
    };
    let columns = 0..grid.header().len();
    let longest = |column| cells_of(column).map(|cell| longest_word(cell)).max().unwrap_or(0);
    let width = |cell: &String| cell.lines().map(|line| tokens(line).join(" ").width()).max().unwrap_or(0);
    let wanted_by_rows: Vec<usize> = columns
        .clone()
        .map(|column| grid.rows().filter_map(|row| row.get(column)).map(width).max().unwrap_or(0))
        .collect();
    let wanted_by_all: Vec<usize> =
        columns.clone().map(|column| cells_of(column).map(width).max().unwrap_or(0)).collect();
    // Behind the last column stands its padding alone.
    let room = (WIDTH + 1).saturating_sub(BETWEEN_COLUMNS * grid.header().len());
    let mut widths: Vec<usize> = columns.map(longest).collect();
    // Words longer than a fair share are broken, the longest first.
    while widths.iter().sum::<usize>() > room {
        let Some(widest) = widths.iter_mut().max() else { break };
        *widest = widest.saturating_sub(1);
    }
    // What is left goes where most is still wanted; rows come before a header, which may be high.
    for wanted in [wanted_by_rows, wanted_by_all] {
        while widths.iter().sum::<usize>() < room {
            let most_wanting =
                widths.iter_mut().zip(&wanted).max_by_key(|(width, wanted)| wanted.saturating_sub(**width));
            match most_wanting {
                Some((width, wanted)) if *width < *wanted => *width += 1,
                _ => break,
            }
        }
    }
    widths
}

fn wrap_cell(cell: &str, width: usize) -> Vec<String> {
    cell.lines().flat_map(|line| wrap(line, width.max(MOST_CHARACTER_WIDTH))).collect()
}

/// Columns of the widest character; nothing narrower can hold all texts.
const MOST_CHARACTER_WIDTH: usize = 2;

/// Words of a text; a bare number keeps the word after it, so that `92 ft` never breaks.
fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let mut glue = false;
    for word in text.split(|c: char| c.is_whitespace() && c != NO_BREAK) {
        let word: String = word.chars().filter(|c| !c.is_control()).collect();
        if word.is_empty() {
            continue;
        }
        let bare_number = word.chars().any(|c| c.is_ascii_digit() || c == '±')
            && word.chars().all(|c| c.is_ascii_digit() || "+-.,/±(".contains(c));
        match tokens.last_mut().filter(|_| glue) {
            Some(last) => {
                last.push(NO_BREAK);
                last.push_str(&word);
            }
            None => tokens.push(word),
        }
        glue = bare_number;
    }
    tokens
}

/// Lines of at most `room` columns; a word longer than that is broken, not cut off.
fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for token in tokens(text) {
        if !line.is_empty() && line.width() + 1 + token.width() > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in token.chars() {
            if line.width() + c.width().unwrap_or(0) > room {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines.iter().map(|line| line.replace(NO_BREAK, " ").trim_end().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_number_stays_with_its_unit() {
        assert_eq!(wrap("the run is 92 ft (28.0 m) long", 13), ["the run is", "92 ft", "(28.0 m) long"]);
    }

    #[test]
    fn control_characters_and_line_ends_do_not_reach_the_sheet() {
        assert_eq!(wrap("a\u{1b}[31mb\r\nc\u{7}", 80), ["a[31mb c"]);
    }

    proptest! {
        #[test]
        fn wrapping_keeps_every_visible_character(text in "\\PC{0,200}", room in 4..90_usize) {
            let kept = |text: &str| text.chars().filter(|c| !c.is_whitespace() && !c.is_control()).collect::<String>();
            let lines = wrap(&text, room);
            prop_assert_eq!(kept(&lines.concat()), kept(&text));
            for line in &lines {
                // Joined width of a cluster may differ from the sum over its characters, never above it by more than one.
                prop_assert!(line.width() <= room + 1, "{} in {}", line.width(), room);
            }
        }
    }
}
