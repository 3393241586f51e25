//! The bench sheet as one page that needs nothing but a browser: no network, no other file.

use super::bench_sheet;
use super::html::{escaped, json_in_html};
use super::plan_picture::picture;
use super::playback::playback;
use super::sheet::{Check, Figure, Mark, Piece, Section, Table, TableRows, Topic};
use super::value::Value;
use crate::export::Stamp;
use crate::geometry::Contour;
use crate::measure::Job;
use crate::outline::Role;
use crate::plan::{Process, Program};
use crate::units::{Length, trimmed};
use crate::workup::{Planned, Workup};

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("player.js");
/// Nothing is fetched, whatever is written into the page.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The page of a worked-up and planned job; `pieces` lie on the stock as the program cuts them, `file` is the name of the
/// program it plays. The same input gives the same bytes.
pub fn page(job: &Job, workup: &Workup, planned: &Planned, pieces: &[Contour<Role>], file: &str) -> String {
    let sheet = bench_sheet(job, workup);
    let title = escaped(&sheet.stamp.title);
    let mut html = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"generator\" content=\"{}\">\n<title>Bench sheet: {title}</title>\n\
         <link rel=\"icon\" href=\"data:,\">\n<style>\n{STYLE}</style>\n</head>\n<body>\n",
        Stamp::tool()
    );
    html.push_str(&head(&title, &sheet.stamp, &sheet.about, &sheet.sections));
    html.push_str("<main>\n");
    html.push_str(&player(pieces, &planned.program, file));
    sheet.sections.iter().for_each(|section| html.push_str(&section_html(section)));
    html.push_str("</main>\n");
    let data = serde_json::to_string(&playback(job, planned)).unwrap_or_default();
    html.push_str(&format!("<script type=\"application/json\" id=\"playback\">{}</script>\n", json_in_html(&data)));
    html.push_str(&format!("<script>\n{SCRIPT}</script>\n</body>\n</html>\n"));
    html
}

fn head(title: &str, stamp: &Stamp, about: &[String], sections: &[Section]) -> String {
    let about: String = about.iter().map(|line| format!("<p>{}</p>\n", escaped(line))).collect();
    let link = |topic: Topic| format!("<li><a href=\"#{}\">{}</a></li>\n", topic.name(), topic.heading());
    let links: String = sections.iter().map(|section| link(section.topic)).collect();
    format!(
        "<header>\n<h1>{title}</h1>\n<p class=\"stamp\">Bench sheet of job {}, {}</p>\n{about}\
         <nav aria-label=\"Sections\"><ol>\n<li><a href=\"#player\">The program, played</a></li>\n{links}</ol></nav>\n\
         </header>\n",
        stamp.fingerprint,
        Stamp::tool()
    )
}

/// The player: a still picture that the script moves. Its values come from the data, none from this text.
fn player(pieces: &[Contour<Role>], program: &Program, file: &str) -> String {
    let tool = match program.process {
        Process::Router => "cutter, true diameter",
        Process::Laser => "beam, true kerf, under the cross",
    };
    let tabs = if program.tabs.is_empty() { "" } else { TAB_LEGEND };
    PLAYER
        .replace("{tool}", tool)
        .replace("{tabs}", tabs)
        .replace("{file}", &escaped(file))
        .replace("{picture}", &picture(pieces, program))
}

const TAB_LEGEND: &str =
    "<li><svg class=\"swatch\" aria-hidden=\"true\"><path class=\"tab\" d=\"M8 8h0\"/></svg> tab, numbered</li>\n";

const PLAYER: &str = include_str!("player.html");

fn section_html(section: &Section) -> String {
    let name = section.topic.name();
    let notes: String = section.notes.iter().map(|note| format!("<li>{}</li>\n", escaped(note))).collect();
    let notes = if notes.is_empty() { notes } else { format!("<ul>\n{notes}</ul>\n") };
    let tables: String = section.tables.iter().map(table_html).collect();
    format!(
        "<section id=\"{name}\" aria-labelledby=\"{name}-heading\">\n<h2 id=\"{name}-heading\">{}</h2>\n{notes}{tables}</section>\n",
        section.topic.heading()
    )
}

fn table_html(table: &Table) -> String {
    let (columns, rows): (&[&str], String) = match &table.rows {
        TableRows::Figures(rows) => (&["What", "Tape", "mm", "Exact", "Note"], rows.iter().map(figure_html).collect()),
        TableRows::Marks(rows) => (&["Mark", "Tape", "mm", "Exact", "Off, in"], rows.iter().map(mark_html).collect()),
        TableRows::Pieces(rows) => (
            &["Piece", "Count", "Length", "Width or height", "Thickness", "Note"],
            rows.iter().map(piece_html).collect(),
        ),
        TableRows::Checks(rows) => return checks_html(&table.caption, rows),
    };
    table_of(&table.caption, columns, &rows)
}

fn table_of(caption: &str, columns: &[&str], rows: &str) -> String {
    let columns: String = columns.iter().map(|c| format!("<th scope=\"col\">{c}</th>")).collect();
    format!(
        "<div class=\"scroll\"><table>\n<caption>{}</caption>\n<thead><tr>{columns}</tr></thead>\n<tbody>\n{rows}</tbody>\n\
         </table></div>\n",
        escaped(caption)
    )
}

fn row_head(label: &str) -> String {
    format!("<th scope=\"row\">{}</th>", escaped(label))
}

/// The three cells of a value; words take all three.
fn value_cells(value: &Value) -> String {
    match value {
        Value::Length(_) => format!(
            "<td class=\"tape\">{}</td><td class=\"number\">{}</td><td class=\"exact\">{}</td>",
            value.on_tape(),
            value.in_mm(),
            value.exact()
        ),
        Value::Count(_) | Value::Words(_) => format!("<td colspan=\"3\">{}</td>", escaped(&value.on_tape())),
    }
}

fn figure_html(figure: &Figure) -> String {
    let cells = value_cells(&figure.value);
    format!("<tr>{}{cells}<td>{}</td></tr>\n", row_head(&figure.label), escaped(&figure.note))
}

fn mark_html(mark: &Mark) -> String {
    let cells = value_cells(&Value::Length(mark.at));
    format!("<tr>{}{cells}<td class=\"number\">{}</td></tr>\n", row_head(&mark.label), mark.off())
}

fn piece_html(piece: &Piece) -> String {
    let cell = |value: &Value| match value {
        Value::Length(length) => format!("<td>{length}<br><span class=\"exact\">{}</span></td>", value.exact()),
        Value::Count(_) | Value::Words(_) => format!("<td>{}</td>", escaped(&value.on_tape())),
    };
    let sizes = [&piece.length, &piece.width, &piece.thickness].map(cell).concat();
    let (count, note) = (escaped(&piece.count), escaped(&piece.note));
    format!("<tr>{}<td>{count}</td>{sizes}<td>{note}</td></tr>\n", row_head(&piece.what))
}

fn checks_html(caption: &str, checks: &[Check]) -> String {
    let has_pattern = checks.iter().any(|check| check.on_pattern.is_some());
    let columns: &[&str] = match has_pattern {
        true => &["Check", "Stringer: tape", "mm", "Exact", "Pattern", "Measured", "How"],
        false => &["Check", "Predicted: tape", "mm", "Exact", "Measured", "How"],
    };
    let pattern = |check: &Check| match (has_pattern, check.on_pattern) {
        (false, _) => String::new(),
        (true, None) => "<td>not on the pattern</td>".to_string(),
        (true, Some(length)) => format!("<td>{length}<br><span class=\"exact\">{}</span></td>", exact_inches(length)),
    };
    let row = |(i, check): (usize, &Check)| {
        let label = format!("{}. {}", i + 1, check.label);
        format!(
            "<tr>{}{}{}<td class=\"box\"><input type=\"text\" size=\"12\" autocomplete=\"off\" aria-label=\"measured, {}\"></td>\
             <td>{}</td></tr>\n",
            row_head(&label),
            value_cells(&Value::Length(check.predicted)),
            pattern(check),
            escaped(&label),
            escaped(&check.how)
        )
    };
    let rows: String = checks.iter().enumerate().map(row).collect();
    table_of(caption, columns, &rows)
}

fn exact_inches(length: Length) -> String {
    format!("{} in", trimmed(length.as_inches(), 4))
}
