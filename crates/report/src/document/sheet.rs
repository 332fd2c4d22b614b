//! A sheet before it has a medium: headings, paragraphs, bullets and tables in order. [`text`](super::text) sets it in
//! columns, [`html`](super::html) as a page.

/// What stands in a cell whose value is absent.
pub(super) const ABSENT: &str = "-";

/// A table in the making.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Grid {
    header: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Grid {
    pub(super) fn new<T: ToString>(header: &[T]) -> Self {
        Self { header: header.iter().map(ToString::to_string).collect(), rows: Vec::new() }
    }

    pub(super) fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.rows.push(cells.into_iter().collect());
    }

    pub(super) fn header(&self) -> &[String] {
        &self.header
    }

    pub(super) fn rows(&self) -> impl Iterator<Item = &[String]> {
        self.rows.iter().map(Vec::as_slice)
    }

    /// Leaves out columns in which no row has a value.
    fn without_empty_columns(mut self) -> Self {
        let keep: Vec<bool> = (0..self.header.len())
            .map(|column| self.rows.iter().any(|row| row.get(column).is_some_and(|cell| cell != ABSENT)))
            .collect();
        for cells in std::iter::once(&mut self.header).chain(&mut self.rows) {
            let mut keep = keep.iter();
            cells.retain(|_| keep.next().copied().unwrap_or(false));
        }
        self
    }
}

/// One thing on a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Block {
    /// Heading of a set.
    Heading(String),
    /// Heading of a part.
    Section(String),
    /// Running text.
    Paragraph(String),
    /// One of several remarks.
    Bullet(String),
    /// A little room, where two tables would touch.
    Gap,
    /// A table of one-line rows.
    Grid(Grid),
    /// A table whose rows are several lines high.
    SpacedGrid(Grid),
}

/// A sheet in the making.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    blocks: Vec<Block>,
}

impl Sheet {
    /// All that stands on it, in order.
    pub(super) fn into_blocks(self) -> Vec<Block> {
        self.blocks
    }

    pub(super) fn paragraph(&mut self, text: &str) {
        self.blocks.push(Block::Paragraph(text.to_owned()));
    }

    pub(super) fn bullet(&mut self, text: &str) {
        self.blocks.push(Block::Bullet(text.to_owned()));
    }

    pub(super) fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }

    pub(super) fn heading(&mut self, text: &str) {
        self.blocks.push(Block::Heading(text.to_owned()));
    }

    pub(super) fn section(&mut self, text: &str) {
        self.blocks.push(Block::Section(text.to_owned()));
    }

    /// A table of one-line rows; nothing where it has no rows.
    pub(super) fn grid(&mut self, grid: Grid) {
        self.table(grid, Block::Grid);
    }

    /// A table whose rows are several lines high.
    pub(super) fn spaced_grid(&mut self, grid: Grid) {
        self.table(grid, Block::SpacedGrid);
    }

    fn table(&mut self, grid: Grid, block: fn(Grid) -> Block) {
        let grid = grid.without_empty_columns();
        if !grid.rows.is_empty() {
            self.blocks.push(block(grid));
        }
    }
}
