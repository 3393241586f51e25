//! The bench drawing: elevation and board view on one sheet, with every figure a carpenter marks
//! by.

mod adjacent;
mod board;
mod canvas;
mod column;
mod dimension;
mod elevation;
mod head_joint;
mod housed;
mod subject;
mod title_block;

#[cfg(test)]
mod tests;

pub use head_joint::head_joint;
pub use subject::Subject;

use self::canvas::Canvas;
use super::page::{Line, Page, Size, to_svg};
use crate::geometry::Point;

/// Name, width and height in mm of the sheets tried, lying: ISO 216.
const SIZES: [(&str, f64, f64); 4] =
    [("A3", 420.0, 297.0), ("A2", 594.0, 420.0), ("A1", 841.0, 594.0), ("A0", 1189.0, 841.0)];
/// The scales tried: the reductions of ISO 5455.
const SCALES: [f64; 12] =
    [2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0];
/// The smallest scale taken before a larger sheet is: steps of a stair stay apart.
const SMALLEST_ON_A_SMALL_SHEET: f64 = 50.0;
/// Borders: ISO 5457, 20 mm on the filing edge, 10 mm on the others.
const FILING_EDGE_MM: f64 = 20.0;
const EDGE_MM: f64 = 10.0;
/// Within the frame.
const PAD_MM: f64 = 3.0;
const COLUMN_MM: f64 = 114.0;
const COLUMN_GAP_MM: f64 = 3.0;
const BLOCK_GAP_MM: f64 = 2.0;

/// The drawing as SVG. The same job gives the same bytes.
pub fn drawing(subject: &Subject<'_>) -> String {
    to_svg(&sheet(subject))
}

/// The drawing as a sheet, for whatever writes it out.
pub fn sheet(subject: &Subject<'_>) -> Page {
    if let Some(housed) = subject.job.stringer.housed() {
        return housed::sheet(subject, housed);
    }
    let layout = Layout::of(subject);
    let mut canvas = Canvas::default();
    layout.draw(&mut canvas, subject);
    let size = Size { width_mm: layout.width, height_mm: layout.height };
    canvas.into_page(size, format!("{}: cut stringer", subject.job.title), subject.description())
}

/// The elevation alone, as large as this much paper holds it.
pub fn elevation_within(subject: &Subject<'_>, width_mm: f64, height_mm: f64) -> Page {
    let holds = |scale: &f64| {
        let (width, height) = elevation::size(subject, *scale);
        width <= width_mm && height <= height_mm
    };
    let smallest = SCALES[SCALES.len() - 1];
    let scale = (2..smallest as u32).map(f64::from).find(holds).unwrap_or(smallest);
    let (width_mm, height_mm) = elevation::size(subject, scale);
    let mut canvas = Canvas::default();
    elevation::draw(&mut canvas, subject, scale, Point::new(0.0, height_mm));
    let title = format!("{}: elevation", subject.job.title);
    canvas.into_page(Size { width_mm, height_mm }, title, subject.description())
}

/// Which sheet, which scale.
struct Layout {
    size: &'static str,
    width: f64,
    height: f64,
    scale: f64,
}

impl Layout {
    /// The smallest sheet that holds the tables and both views, at the largest scale it has room
    /// for.
    fn of(subject: &Subject<'_>) -> Self {
        let mut last = None;
        for (size, width, height) in SIZES {
            for scale in SCALES {
                let layout = Self { size, width, height, scale };
                let too_small = !layout.is_largest() && scale > SMALLEST_ON_A_SMALL_SHEET;
                if !too_small && layout.holds(subject) {
                    return layout;
                }
                last = Some(layout);
            }
        }
        // Longer than any stair that is read: the smallest scale on the largest sheet.
        last.expect("a sheet and a scale were tried")
    }

    fn views_width(&self) -> f64 {
        self.width - FILING_EDGE_MM - EDGE_MM - 2.0 * PAD_MM - COLUMN_MM - COLUMN_GAP_MM
    }

    fn inner_height(&self) -> f64 {
        self.height - 2.0 * EDGE_MM - 2.0 * PAD_MM
    }

    /// There the table of steps is cut down if it must be.
    fn is_largest(&self) -> bool {
        self.size == SIZES[SIZES.len() - 1].0
    }

    fn holds(&self, subject: &Subject<'_>) -> bool {
        let (elevation, board) =
            (elevation::size(subject, self.scale), board::size(subject, self.scale));
        let blocks = title_block::HEIGHT_MM + title_block::BAR_HEIGHT_MM + 2.0 * BLOCK_GAP_MM;
        elevation.0.max(board.0) <= self.views_width()
            && elevation.1 + board.1 <= self.inner_height()
            && (self.is_largest()
                || column::least_height(subject, COLUMN_MM) + blocks <= self.inner_height())
    }

    fn draw(&self, canvas: &mut Canvas, subject: &Subject<'_>) {
        let (left, right) = (FILING_EDGE_MM, self.width - EDGE_MM);
        let (bottom, top) = (EDGE_MM, self.height - EDGE_MM);
        let frame = [(left, bottom), (right, bottom), (right, top), (left, top)];
        canvas.closed(frame.map(|(x, y)| Point::new(x, y)).to_vec(), Line::VisibleEdge);

        let (elevation, board) =
            (elevation::size(subject, self.scale), board::size(subject, self.scale));
        let slack = (self.inner_height() - elevation.1 - board.1).max(0.0);
        let x = left + PAD_MM + (self.views_width() - elevation.0.max(board.0)).max(0.0) / 2.0;
        elevation::draw(canvas, subject, self.scale, Point::new(x, top - PAD_MM));
        board::draw(
            canvas,
            subject,
            self.scale,
            Point::new(x, top - PAD_MM - elevation.1 - slack / 2.0),
        );

        let column_left = right - PAD_MM - COLUMN_MM;
        let block_bottom = bottom + PAD_MM;
        let bar_bottom = block_bottom + title_block::HEIGHT_MM + BLOCK_GAP_MM;
        let column_bottom = bar_bottom + title_block::BAR_HEIGHT_MM + BLOCK_GAP_MM;
        title_block::draw(
            canvas,
            subject,
            self.scale,
            self.size,
            Point::new(column_left, block_bottom),
            COLUMN_MM,
        );
        title_block::scale_bar(canvas, self.scale, Point::new(column_left, bar_bottom));
        column::draw(canvas, subject, column_left, COLUMN_MM, top - PAD_MM, column_bottom);
    }
}
