//! The bench drawing: elevation and board view with every figure a carpenter marks by, the foot and
//! the head large, and the tables beside them.

mod adjacent;
mod board;
mod canvas;
pub(in crate::output) mod clear;
mod cleated;
mod detail;
mod dimension;
mod elevation;
mod face;
mod head_joint;
mod housed;
mod opening;
mod paper;
mod pattern;
mod pocket_detail;
mod rail;
mod skirts;
mod subject;
mod tables;
mod title_block;
mod whole;

#[cfg(test)]
mod sweep;
#[cfg(test)]
mod tests;

pub(in crate::output) use clear::passes;
pub use head_joint::head_joint;
pub use paper::Paper;
pub use pattern::PatternOf;
pub use skirts::skirts;
pub use subject::Subject;
pub use whole::whole_stair;

use self::canvas::{Canvas, TEXT_MM, moved};
use super::page::{Anchor, Line, Page, Weight, fit};
use crate::geometry::{Bounds, Point};
use crate::job::Stringer;

/// Borders: ISO 5457, 20 mm on the filing edge, 10 mm on the others.
const FILING_EDGE_MM: f64 = 20.0;
const EDGE_MM: f64 = 10.0;
/// Within the frame.
const PAD_MM: f64 = 3.0;
/// The column of details on a large sheet, and of the title block on every one.
const COLUMN_MM: f64 = 140.0;
const COLUMN_GAP_MM: f64 = 3.0;
const BLOCK_GAP_MM: f64 = 2.0;
/// Tables begin on a sheet of something else only where it leaves this much.
const LEAST_TABLES_MM: f64 = 70.0;
/// What the line at the foot of every sheet but the first takes.
const FOOT_MM: f64 = TEXT_MM + 3.0;

/// The drawing as sheets, for whatever writes them out; on the large paper of the tape in hand
/// where none is asked for.
pub fn sheets(subject: &Subject<'_>, paper: Option<Paper>) -> Vec<Page> {
    let paper = paper.unwrap_or_else(Paper::of_tape);
    match &subject.job.stringer {
        Stringer::Cut => Layout::of(subject, paper).sheets(subject),
        Stringer::Housed(housed) => face::sheets(subject, housed, paper),
        Stringer::Cleated(cleated) => face::sheets(subject, cleated, paper),
    }
}

/// The elevation alone, as large as this much paper holds it.
pub fn elevation_within(subject: &Subject<'_>, width_mm: f64, height_mm: f64) -> Page {
    let room = (width_mm, height_mm);
    match subject.job.stringer {
        Stringer::Cleated(_) => {
            view_within(subject, room, "elevation", cleated::size, cleated::draw)
        }
        Stringer::Cut | Stringer::Housed(_) => {
            view_within(subject, room, "elevation", elevation::size, elevation::draw)
        }
    }
}

/// The board view alone, as large as this much paper holds it.
pub fn board_within(subject: &Subject<'_>, width_mm: f64, height_mm: f64) -> Page {
    view_within(subject, (width_mm, height_mm), "board", board::size, board::draw)
}

/// One view on a page of its own size.
fn view_within(
    subject: &Subject<'_>,
    (width_mm, height_mm): (f64, f64),
    called: &str,
    size: impl Fn(&Subject<'_>, f64) -> (f64, f64),
    draw: impl Fn(&mut Canvas, &Subject<'_>, f64, Point),
) -> Page {
    let scales = Paper::scales();
    let smallest = scales[scales.len() - 1];
    // A heading is no narrower at any scale: it may be wider than what was asked for.
    let widest = width_mm.max(size(subject, smallest).0);
    let holds = |scale: &f64| {
        let (width, height) = size(subject, *scale);
        width <= widest && height <= height_mm
    };
    let scale = (2..smallest as u32).map(f64::from).find(holds).unwrap_or(smallest);
    let (width_mm, height_mm) = size(subject, scale);
    let mut canvas = Canvas::on_screen();
    draw(&mut canvas, subject, scale, Point::new(0.0, height_mm));
    let room = Bounds { min: Point::origin(), max: Point::new(width_mm, height_mm) };
    let title = format!("{}: {called}", subject.job.title);
    canvas.into_page(
        super::page::Size { width_mm, height_mm },
        room,
        (title, subject.description()),
    )
}

/// What is left of a paper within its frame.
fn room(paper: Paper) -> Bounds {
    let size = paper.size();
    Bounds {
        min: Point::new(FILING_EDGE_MM + PAD_MM, EDGE_MM + PAD_MM),
        max: Point::new(size.width_mm - EDGE_MM - PAD_MM, size.height_mm - EDGE_MM - PAD_MM),
    }
}

fn top_left(room: Bounds) -> Point {
    Point::new(room.min.x, room.max.y)
}

/// The canvas as a page in its frame.
fn framed(mut canvas: Canvas, paper: Paper, said: (String, String)) -> Page {
    let frame = room(paper).grown(PAD_MM);
    canvas.closed(super::page::corners(&frame), Line::VisibleEdge);
    canvas.into_page(paper.size(), room(paper), said)
}

/// Which paper, at which scales the views.
struct Layout {
    paper: Paper,
    /// That of the first sheet.
    scale: f64,
    /// That of the board's view.
    board: f64,
    /// Whether the board's view has a sheet of its own, and so a scale of its own.
    apart: bool,
}

/// So much larger a large sheet shows the elevation alone before the board goes on the next.
const APART_FROM: f64 = 1.5;

impl Layout {
    /// The largest scales that the paper has room for.
    fn of(subject: &Subject<'_>, paper: Paper) -> Self {
        let fits = |(width, height): (f64, f64), room: Bounds| {
            width <= room.width() && height <= room.height()
        };
        let views = Self { paper, scale: 1.0, board: 1.0, apart: true }.views();
        let alone = Paper::scale_that(|scale| fits(elevation::size(subject, scale), views));
        if paper.is_large() {
            let both = |scale: f64| {
                let [elevation, board] =
                    [elevation::size(subject, scale), board::size(subject, scale)];
                fits((elevation.0.max(board.0), elevation.1 + board.1), views)
            };
            let together = Paper::scale_that(both);
            if together < APART_FROM * alone {
                return Self { paper, scale: together, board: together, apart: false };
            }
        }
        let mut own_sheet = room(paper);
        own_sheet.min.y += FOOT_MM;
        let board = Paper::scale_that(|scale| fits(board::size(subject, scale), own_sheet));
        Self { paper, scale: alone, board, apart: true }
    }

    /// The room of the views on the first sheet.
    fn views(&self) -> Bounds {
        let mut views = room(self.paper);
        if self.paper.is_large() {
            views.max.x -= COLUMN_MM + COLUMN_GAP_MM;
        } else {
            views.min.y += title_block::HEIGHT_MM + BLOCK_GAP_MM;
        }
        views
    }

    fn sheets(&self, subject: &Subject<'_>) -> Vec<Page> {
        let mut canvases = Vec::new();
        if self.apart {
            canvases.extend(self.board_and_details(subject));
        }
        let mut below_views = room(self.paper);
        below_views.min.y += FOOT_MM;
        let mut begun = subject.pattern.as_ref().map(|pattern| {
            let mut canvas = Canvas::default();
            let high = pattern::draw(&mut canvas, subject, pattern, below_views);
            let mut left = below_views;
            left.max.y -= high + BLOCK_GAP_MM;
            (canvas, left)
        });
        if let Some((canvas, _)) = begun.take_if(|(_, left)| left.height() < LEAST_TABLES_MM) {
            canvases.push(canvas);
        }
        canvases.extend(tables::sheets(subject, begun, below_views));
        let count = canvases.len() + 1;
        let numbered = |i: usize| format!("{i} of {count}, {}", self.paper.name());
        let said = |i: usize| {
            let title = format!("{}: cut stringer, sheet {i} of {count}", subject.job.title);
            (title, subject.description())
        };
        let mut sheets = vec![framed(self.first(subject, &numbered(1)), self.paper, said(1))];
        for (i, mut canvas) in canvases.into_iter().enumerate() {
            foot_line(&mut canvas, subject, room(self.paper), &numbered(i + 2));
            sheets.push(framed(canvas, self.paper, said(i + 2)));
        }
        sheets
    }

    /// The views; on a large sheet the details beside them.
    fn first(&self, subject: &Subject<'_>, sheet: &str) -> Canvas {
        let mut canvas = Canvas::default();
        let (room, views) = (room(self.paper), self.views());
        elevation::draw(&mut canvas, subject, self.scale, top_left(views));
        let width = COLUMN_MM.min(room.width() - title_block::BAR_WIDTH_MM - COLUMN_GAP_MM);
        let block = Point::new(room.max.x - width, room.min.y);
        title_block::draw(&mut canvas, subject, self.scale, sheet, block, width);
        if !self.paper.is_large() {
            title_block::scale_bar(&mut canvas, self.scale, room.min, title_block::BAR_WIDTH_MM);
            return canvas;
        }
        if !self.apart {
            let (elevation, board) =
                (elevation::size(subject, self.scale), board::size(subject, self.board));
            let slack = (views.height() - elevation.1 - board.1).max(0.0);
            let down = elevation.1 + slack / 2.0;
            board::draw(&mut canvas, subject, self.board, moved(top_left(views), 0.0, -down));
        }
        let bar = moved(block, 0.0, title_block::HEIGHT_MM + BLOCK_GAP_MM);
        title_block::scale_bar(&mut canvas, self.scale, bar, COLUMN_MM);
        let column = Point::new(room.max.x - detail::WIDTH_MM, room.max.y);
        let (foot, head) = detail::heights(subject);
        let left = column.y - bar.y - title_block::BAR_HEIGHT_MM - foot - head;
        let apart = (left / 2.0).clamp(1.0, 12.0);
        detail::draw_head(&mut canvas, subject, column);
        detail::draw_foot(&mut canvas, subject, moved(column, 0.0, -head - apart));
        canvas
    }

    /// The next sheet: the board; of small ones the details below it or on one of their own.
    fn board_and_details(&self, subject: &Subject<'_>) -> Vec<Canvas> {
        let mut sheets = vec![Canvas::default()];
        let mut room = room(self.paper);
        room.min.y += FOOT_MM;
        board::draw(&mut sheets[0], subject, self.board, top_left(room));
        if self.paper.is_large() {
            return sheets;
        }
        let mut down = board::size(subject, self.board).1 + BLOCK_GAP_MM;
        let (foot, head) = detail::heights(subject);
        if down + foot.max(head) > room.height() {
            sheets.push(Canvas::default());
            down = 0.0;
        }
        let last = sheets.len() - 1;
        let second = room.width() - detail::WIDTH_MM;
        detail::draw_foot(&mut sheets[last], subject, moved(top_left(room), 0.0, -down));
        detail::draw_head(&mut sheets[last], subject, moved(top_left(room), second, -down));
        sheets
    }
}

/// At the foot of a sheet: which one of what.
fn foot_line(canvas: &mut Canvas, subject: &Subject<'_>, room: Bounds, sheet: &str) {
    let right = format!("job {}, sheet {sheet}", subject.fingerprint);
    let taken = super::page::text_width(&right, TEXT_MM, Weight::Regular) + 6.0;
    let title = fit(&subject.job.title, room.width() - taken, TEXT_MM, Weight::Regular);
    canvas.text(room.min, Anchor::Start, title);
    canvas.text(Point::new(room.max.x, room.min.y), Anchor::End, right);
}
