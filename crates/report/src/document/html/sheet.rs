//! A sheet set as a page: headings, paragraphs, lists, tables that stack on a phone.

use crate::document::sheet::{Block, Grid, Sheet};
use maud::{Markup, PreEscaped, html};

/// Sets all blocks of a sheet; remarks that follow each other become one list.
pub(super) fn set(sheet: Sheet) -> Markup {
    let mut page = String::new();
    let mut bullets: Vec<String> = Vec::new();
    for block in sheet.into_blocks() {
        if let Block::Bullet(text) = block {
            bullets.push(text);
            continue;
        }
        page.push_str(&list(&std::mem::take(&mut bullets)).0);
        page.push_str(&one(&block).0);
    }
    page.push_str(&list(&bullets).0);
    PreEscaped(page)
}

fn one(block: &Block) -> Markup {
    match block {
        Block::Heading(text) => html! { h3 { (text) } },
        Block::Section(text) => html! { h4 { (text) } },
        Block::Paragraph(text) | Block::Bullet(text) => html! { p { (text) } },
        Block::Gap => html! {},
        Block::Grid(grid) | Block::SpacedGrid(grid) => table(grid),
    }
}

/// Remarks as a list; nothing where there is none.
pub(super) fn list(texts: &[String]) -> Markup {
    html! {
        @if !texts.is_empty() {
            ul { @for text in texts { li { (text) } } }
        }
    }
}

/// Rows that a table may have and still be kept on one printed page.
const KEPT_ROWS: usize = 14;

/// A table whose first column names its rows. Each cell carries the name of its column for narrow screens.
pub(super) fn table(grid: &Grid) -> Markup {
    let header = grid.header();
    let label = |column: usize| header.get(column).map_or("", String::as_str);
    let keep = grid.rows().count() <= KEPT_ROWS;
    html! {
        div.table.keep[keep] {
            table {
                thead { tr { @for name in header { th scope="col" { (lines(name)) } } } }
                tbody {
                    @for row in grid.rows() {
                        tr {
                            @for (column, cell) in row.iter().enumerate() {
                                @if column == 0 {
                                    th scope="row" { (lines(cell)) }
                                } @else {
                                    td data-label=(label(column)) { (lines(cell)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The lines of a cell one above the other.
fn lines(cell: &str) -> Markup {
    html! {
        @for (index, line) in cell.lines().enumerate() {
            @if index > 0 { br; }
            (line)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_in_a_row_are_one_list_and_all_text_is_escaped() {
        let mut sheet = Sheet::default();
        sheet.section("<b>");
        sheet.bullet("a & b");
        sheet.bullet("\"c\"");
        let mut grid = Grid::new(&["", "x<y"]);
        grid.row(["two\nlines".into(), "<i>".into()]);
        sheet.grid(grid);
        assert_eq!(
            set(sheet).into_string(),
            "<h4>&lt;b&gt;</h4><ul><li>a &amp; b</li><li>&quot;c&quot;</li></ul><div class=\"table keep\"><table><thead><tr>\
             <th scope=\"col\"></th><th scope=\"col\">x&lt;y</th></tr></thead><tbody><tr><th scope=\"row\">two<br>lines</th>\
             <td data-label=\"x&lt;y\">&lt;i&gt;</td></tr></tbody></table></div>"
        );
    }
}
