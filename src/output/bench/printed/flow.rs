//! Headings, notes and tables, one below the other, page after page.

use crate::geometry::{Bounds, Point, Vector};
use crate::output::content::{Cell, Column, Figure};
use crate::output::page::{Item, Layer, Line, Page, Size, Text, Weight, corners, wrap_set};
use crate::pipeline::numbers::Value;

/// From the page's edge to what is on it: more than printers leave free (common practice, no
/// source).
const EDGE_MM: f64 = 12.0;
/// Heights of capitals: the job's title, a section's heading, a table's caption, everything else.
const TITLE_MM: f64 = 3.6;
const HEADING_MM: f64 = 3.4;
const CAPTION_MM: f64 = 2.6;
const TEXT_MM: f64 = 2.3;
/// From one base line to the next.
const LINE_MM: f64 = 3.9;
/// Between a rule and the words beside it.
const PAD_MM: f64 = 1.2;
/// Height of a row with room to write into, and how far the box stays from the rules.
const WRITING_MM: f64 = 8.0;
const BOX_GAP_MM: f64 = 1.0;
/// Rows of more lines are continued in a row below, so that every row fits a page.
const MOST_LINES: usize = 24;
/// What must fit below a heading or a caption, or it goes to the next page.
const FOLLOWING_MM: f64 = 30.0;

/// Figures in a row of large ones, the height of such a row, the gap between two of them, and the
/// heights of its letters.
const CARDS: usize = 3;
const CARD_MM: f64 = 18.5;
const CARD_GAP_MM: f64 = 1.4;
const LARGE_MM: f64 = 4.6;
const SMALL_MM: f64 = 1.9;
/// From one small line to the next.
const SMALL_LINE_MM: f64 = 2.8;

/// What every page carries.
pub(super) struct Frame {
    pub paper: Size,
    pub title: String,
    pub foot: String,
}

/// Pages being filled from the top.
pub(super) struct Flow {
    frame: Frame,
    pages: Vec<Layer>,
    /// How far down the last page is filled: the next thing's top.
    y: f64,
}

impl Flow {
    pub(super) fn new(frame: Frame) -> Self {
        let mut flow = Self { frame, pages: Vec::new(), y: 0.0 };
        flow.begin();
        flow
    }

    /// The next page, unless this one is still empty.
    pub(super) fn turn(&mut self) {
        if self.y < self.top() {
            self.begin();
        }
    }

    /// A section's heading with a rule below it.
    pub(super) fn heading(&mut self, text: &str) {
        if self.y < self.top() {
            self.y -= 5.0;
        }
        self.need(HEADING_MM + FOLLOWING_MM);
        let at = Point::new(EDGE_MM, self.y - HEADING_MM);
        self.write(text, at, HEADING_MM, Weight::Bold);
        self.y -= HEADING_MM + 1.8;
        self.rule(self.y, Line::VisibleEdge);
        self.y -= 1.6;
    }

    /// A sentence.
    pub(super) fn note(&mut self, text: &str) {
        for line in wrap_set(text, self.width(), TEXT_MM, Weight::Regular) {
            self.need(LINE_MM);
            let at = Point::new(EDGE_MM, self.y - TEXT_MM);
            self.write(&line, at, TEXT_MM, Weight::Regular);
            self.y -= LINE_MM;
        }
        self.y -= 0.6;
    }

    /// A table: its caption, its head on every page that it reaches, its rows.
    pub(super) fn table(&mut self, caption: &str, columns: &[Column], rows: &[Vec<Cell>]) {
        self.y -= 1.6;
        let edges = self.edges(columns);
        let captions = wrap_set(caption, self.width(), CAPTION_MM, Weight::Bold);
        self.need((captions.len() as f64 * (CAPTION_MM + 1.4)).min(60.0) + FOLLOWING_MM);
        for line in captions {
            self.need(CAPTION_MM + 1.4);
            let at = Point::new(EDGE_MM, self.y - CAPTION_MM);
            self.write(&line, at, CAPTION_MM, Weight::Bold);
            self.y -= CAPTION_MM + 1.4;
        }
        self.head(columns, &edges);
        for row in rows {
            for part in parts(row, &edges, Weight::Regular) {
                if self.y - part.height() < self.bottom() {
                    self.begin();
                    self.head(columns, &edges);
                }
                self.row(&part, &edges, Weight::Regular);
            }
        }
        self.y -= 1.0;
    }

    /// The next page, unless this one has so much room.
    pub(super) fn room_for(&mut self, height: f64) {
        if self.room() < height {
            self.turn();
        }
    }

    /// How much of this page is free.
    pub(super) fn room(&self) -> f64 {
        self.y - self.bottom()
    }

    /// Pictures side by side, as large as they are; those of a row that is full go below it.
    pub(super) fn pictures(&mut self, pictures: &[Page]) {
        let mut rest = pictures;
        while !rest.is_empty() {
            let mut wide = 0.0;
            let fits = |picture: &&Page| {
                wide += picture.size.width_mm;
                wide <= self.width() + 0.1
            };
            let count = rest.iter().take_while(fits).count().max(1);
            let (row, others) = rest.split_at(count);
            self.beside(row);
            rest = others;
        }
    }

    fn beside(&mut self, row: &[Page]) {
        self.y -= 2.0;
        self.room_for(row.iter().map(|picture| picture.size.height_mm).fold(0.0, f64::max));
        // Words of a picture may reach beyond the paper that it asked for.
        let wide = |of: &Page| of.boxes().iter().map(|b| b.max.x).fold(of.size.width_mm, f64::max);
        let taken: f64 = match row {
            [alone] => wide(alone),
            _ => row.iter().map(|picture| picture.size.width_mm).sum(),
        };
        let gap = ((self.width() - taken) / row.len() as f64).max(0.0);
        let mut x = EDGE_MM + if row.len() == 1 { gap / 2.0 } else { 0.0 };
        let mut lowest = self.y;
        for picture in row {
            let by = Vector::new(x, self.y - picture.size.height_mm);
            lowest = lowest.min(by.y);
            picture.items().for_each(|item| self.draw(item.moved(by)));
            if let Some(layer) = self.pages.last_mut() {
                layer
                    .texts
                    .extend(picture.texts().map(|text| Text { at: text.at + by, ..text.clone() }));
            }
            x += picture.size.width_mm + gap;
        }
        self.y = lowest - 2.0;
    }

    /// Figures large enough to be read from where one saws.
    pub(super) fn cards(&mut self, rows: &[Figure]) {
        let wide = self.width() / CARDS as f64;
        for row in rows.chunks(CARDS) {
            self.room_for(CARD_MM);
            for (i, figure) in row.iter().enumerate() {
                self.card(figure, EDGE_MM + wide * i as f64, wide);
            }
            self.y -= CARD_MM;
        }
    }

    fn card(&mut self, figure: &Figure, left: f64, wide: f64) {
        let (top, room) = (self.y, wide - 2.0 * PAD_MM - CARD_GAP_MM);
        let place = Bounds {
            min: Point::new(left, top - CARD_MM + CARD_GAP_MM),
            max: Point::new(left + wide - CARD_GAP_MM, top),
        };
        self.draw(Item::closed(corners(&place), Line::Rule));
        let value = figure.value.on_tape();
        let mm = Some(figure.value.in_mm()).filter(|mm| !mm.is_empty() && *mm != value);
        let note = [mm, Some(figure.note.clone()).filter(|note| !note.is_empty())];
        let note = note.into_iter().flatten().collect::<Vec<_>>().join("; ");
        let notes = wrap_set(&note, room, SMALL_MM, Weight::Regular);
        let mut texts = vec![
            (figure.label.clone(), TEXT_MM, 1.2 + TEXT_MM, Weight::Regular),
            (value, LARGE_MM, 2.9 + TEXT_MM + LARGE_MM, Weight::Bold),
        ];
        for (i, line) in notes.into_iter().take(2).enumerate() {
            let down = 4.6 + TEXT_MM + LARGE_MM + SMALL_MM + SMALL_LINE_MM * i as f64;
            texts.push((line, SMALL_MM, down, Weight::Regular));
        }
        for (words, height, down, weight) in texts {
            let at = Point::new(left + PAD_MM, top - down);
            let text = Text::new(words, at, height).weight(weight).set(room);
            if let Some(layer) = self.pages.last_mut() {
                layer.texts.push(text);
            }
        }
    }

    /// The pages, numbered.
    pub(super) fn finish(self) -> Vec<Page> {
        let Self { frame, pages, .. } = self;
        let count = pages.len();
        let page = |(i, mut layer): (usize, Layer)| {
            let number = Text::new(format!("page {} of {count}", i + 1), Point::origin(), TEXT_MM)
                .set(f64::MAX);
            let left = frame.paper.width_mm - EDGE_MM - number.width_mm();
            layer.texts.push(Text { at: Point::new(left, EDGE_MM), ..number });
            let foot = Text::new(&frame.foot, Point::new(EDGE_MM, EDGE_MM), TEXT_MM);
            layer.texts.push(foot.set(left - EDGE_MM - 4.0));
            let (title, description) = (frame.title.clone(), frame.foot.clone());
            Page { size: frame.paper, title, description, layers: vec![layer] }
        };
        pages.into_iter().enumerate().map(page).collect()
    }

    fn begin(&mut self) {
        self.pages.push(Layer::default());
        let at = Point::new(EDGE_MM, self.frame.paper.height_mm - EDGE_MM - TITLE_MM);
        self.write(&self.frame.title.clone(), at, TITLE_MM, Weight::Bold);
        self.rule(at.y - 2.0, Line::VisibleEdge);
        self.rule(EDGE_MM + TEXT_MM + 1.5, Line::Rule);
        self.y = self.top();
    }

    fn top(&self) -> f64 {
        self.frame.paper.height_mm - EDGE_MM - TITLE_MM - 5.0
    }

    fn bottom(&self) -> f64 {
        EDGE_MM + TEXT_MM + 3.0
    }

    fn width(&self) -> f64 {
        self.frame.paper.width_mm - 2.0 * EDGE_MM
    }

    fn need(&mut self, height: f64) {
        if self.y - height < self.bottom() {
            self.turn();
        }
    }

    /// Words in the face of print, squeezed where the page is too narrow for them.
    fn write(&mut self, words: &str, at: Point, height_mm: f64, weight: Weight) {
        let text = Text::new(words, at, height_mm).weight(weight).set(self.width());
        if let Some(layer) = self.pages.last_mut() {
            layer.texts.push(text);
        }
    }

    fn draw(&mut self, item: Item) {
        if let Some(layer) = self.pages.last_mut() {
            layer.items.push(item);
        }
    }

    fn rule(&mut self, y: f64, line: Line) {
        let right = self.frame.paper.width_mm - EDGE_MM;
        self.draw(Item::line(Point::new(EDGE_MM, y), Point::new(right, y), line));
    }

    /// Where the columns begin, and where the last one ends.
    fn edges(&self, columns: &[Column]) -> Vec<f64> {
        let all: f64 = columns.iter().map(|column| column.share).sum();
        let mut edges = vec![EDGE_MM];
        let mut sum = 0.0;
        for column in columns {
            sum += column.share;
            edges.push(EDGE_MM + self.width() * sum / all);
        }
        edges
    }

    fn head(&mut self, columns: &[Column], edges: &[f64]) {
        self.rule(self.y, Line::VisibleEdge);
        let cells: Vec<Cell> =
            columns.iter().map(|column| Cell::Words(column.heading.to_string(), 1)).collect();
        for part in parts(&cells, edges, Weight::Bold) {
            self.row(&part, edges, Weight::Bold);
        }
    }

    fn row(&mut self, part: &Part, edges: &[f64], weight: Weight) {
        let (top, bottom) = (self.y, self.y - part.height());
        for cell in &part.cells {
            let (left, right) = (edges[cell.from], edges[cell.to]);
            for (i, text) in cell.lines.iter().enumerate() {
                let at = Point::new(left + PAD_MM, top - PAD_MM - TEXT_MM - LINE_MM * i as f64);
                self.write(text, at, TEXT_MM, weight);
            }
            if cell.is_box {
                let room = Bounds { min: Point::new(left, bottom), max: Point::new(right, top) };
                self.draw(Item::closed(corners(&room.grown(-BOX_GAP_MM)), Line::VisibleEdge));
            }
            self.draw(Item::line(Point::new(left, top), Point::new(left, bottom), Line::Rule));
        }
        let right = edges[edges.len() - 1];
        self.draw(Item::line(Point::new(right, top), Point::new(right, bottom), Line::Rule));
        self.rule(bottom, Line::Rule);
        self.y = bottom;
    }
}

/// A row, or a piece of one that is too high.
struct Part {
    cells: Vec<Laid>,
}

/// A cell with its words in lines, from one column edge to another.
struct Laid {
    from: usize,
    to: usize,
    lines: Vec<String>,
    is_box: bool,
}

impl Part {
    fn height(&self) -> f64 {
        let most = self.cells.iter().map(|cell| cell.lines.len()).max().unwrap_or(0).max(1);
        let words = 2.0 * PAD_MM + TEXT_MM + LINE_MM * (most as f64 - 1.0);
        if self.cells.iter().any(|cell| cell.is_box) { words.max(WRITING_MM) } else { words }
    }
}

/// The row in as many parts as its longest cell needs.
fn parts(row: &[Cell], edges: &[f64], weight: Weight) -> Vec<Part> {
    let mut from = 0;
    let mut cells = Vec::new();
    for cell in row {
        let (text, span) = words(cell);
        let to = (from + span).min(edges.len() - 1);
        let room = edges[to] - edges[from] - 2.0 * PAD_MM;
        cells.push((
            from,
            to,
            wrap_set(&text, room, TEXT_MM, weight),
            matches!(cell, Cell::Empty(_)),
        ));
        from = to;
    }
    let count = cells
        .iter()
        .map(|(_, _, lines, _)| lines.len().div_ceil(MOST_LINES))
        .max()
        .unwrap_or(0)
        .max(1);
    let part = |i: usize| {
        let share = |lines: &[String]| {
            lines.chunks(MOST_LINES).nth(i).map(<[String]>::to_vec).unwrap_or_default()
        };
        let laid = |(from, to, lines, is_box): &(usize, usize, Vec<String>, bool)| Laid {
            from: *from,
            to: *to,
            lines: share(lines),
            is_box: *is_box && i == 0,
        };
        Part { cells: cells.iter().map(laid).collect() }
    };
    (0..count).map(part).collect()
}

/// What a cell says, and across how many columns. A length in one cell: the tape, and the exact
/// figures below it.
fn words(cell: &Cell) -> (String, usize) {
    match cell {
        Cell::Label(text) | Cell::Tape(text) | Cell::Number(text) | Cell::Exact(text) => {
            (text.clone(), 1)
        }
        Cell::Words(text, span) => (text.clone(), *span),
        Cell::Length(length) => {
            let value = Value::Length(*length);
            (format!("{}\n{}", value.on_tape(), value.exact().replace(", ", "\n")), 1)
        }
        Cell::Empty(_) => (String::new(), 1),
    }
}
