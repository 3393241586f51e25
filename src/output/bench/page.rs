//! The bench sheet as one page that needs nothing but a browser: no network, no other file.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::plan_picture::picture;
use super::playback::playback;
use crate::cam::plan::Program;
use crate::diagnostics::visible::visible;
use crate::geometry::Contour;
use crate::job::Job;
use crate::output::content::{BenchSheet, Cell, Section, Table, grid};
use crate::output::tool_words::ToolWords;
use crate::output::{Run, Stamp};
use crate::pipeline::numbers::Value;
use crate::pipeline::workup::Planned;
use crate::stair::outline::Role;

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("player.js");
const PLAYER: &str = include_str!("player.html");
/// Nothing is fetched, whatever is written into the page.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The page of a planned job with its bench sheet; `pieces` lie on the stock as the program cuts
/// them, `file` is the name of the program it plays and `run` which of the set's it is. The same input gives the same bytes.
pub fn page(
    sheet: &BenchSheet,
    job: &Job,
    planned: &Planned,
    pieces: &[Contour<Role>],
    (file, run): (&str, Run),
) -> String {
    let data = serde_json::to_string(&playback(&sheet.stamp.clone().on(run), job, planned))
        .expect("plain types are always written");
    let words = ToolWords::of(&job.cut.machine.tool);
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8"; "\n"
                meta http-equiv="Content-Security-Policy" content=(PreEscaped(POLICY)); "\n"
                meta name="viewport" content="width=device-width, initial-scale=1"; "\n"
                meta name="generator" content=(Stamp::tool()); "\n"
                title { "Bench sheet: " (visible(&sheet.stamp.title)) } "\n"
                link rel="icon" href="data:,"; "\n"
                style { "\n" (PreEscaped(STYLE)) } "\n"
            } "\n"
            body { "\n"
                (head(sheet))
                main { "\n"
                    (player(pieces, (words, &planned.program), file))
                    @for section in &sheet.sections { (section_html(section)) }
                } "\n"
                script type="application/json" id="playback" { (PreEscaped(json_in_html(&data))) } "\n"
                script { "\n" (PreEscaped(SCRIPT)) } "\n"
            } "\n"
        } "\n"
    };
    page.into_string()
}

/// JSON for use inside a script element: nothing in it can end the element or begin a comment.
fn json_in_html(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

fn head(sheet: &BenchSheet) -> Markup {
    html! {
        header { "\n"
            h1 { (visible(&sheet.stamp.title)) } "\n"
            p.stamp { "Bench sheet of job " (sheet.stamp.fingerprint) ", " (Stamp::tool()) } "\n"
            @for line in &sheet.about { p { (visible(line)) } "\n" }
            nav aria-label="Sections" {
                ol { "\n"
                    li { a href="#player" { "The program, played" } } "\n"
                    @for section in &sheet.sections {
                        li { a href={ "#" (section.topic.name()) } { (section.topic.heading()) } } "\n"
                    }
                }
            } "\n"
        } "\n"
    }
}

/// The player: a still picture that the script moves. Its values come from the data, none from this
/// text.
fn player(
    pieces: &[Contour<Role>],
    (words, program): (&ToolWords, &Program),
    file: &str,
) -> Markup {
    let tabs = html! {
        @if !program.tabs.is_empty() {
            li { svg.swatch aria-hidden="true" { path.tab d="M8 8h0" {} } " tab, numbered" } "\n"
        }
    };
    let parts = [
        ("{tool}", html! { (words.shown) }),
        ("{tabs}", tabs),
        ("{file}", html! { (file) }),
        ("{picture}", picture(pieces, program)),
    ];
    PreEscaped(
        parts
            .into_iter()
            .fold(PLAYER.to_string(), |page, (name, part)| page.replace(name, &part.into_string())),
    )
}

fn section_html(section: &Section) -> Markup {
    let name = section.topic.name();
    let heading = format!("{name}-heading");
    html! {
        section id=(name) aria-labelledby=(heading) { "\n"
            h2 id=(heading) { (section.topic.heading()) } "\n"
            @if !section.notes.is_empty() {
                ul { "\n" @for note in &section.notes { li { (visible(note)) } "\n" } } "\n"
            }
            @for table in &section.tables { (table_html(table)) }
        } "\n"
    }
}

fn table_html(table: &Table) -> Markup {
    let grid = grid(&table.rows);
    html! {
        div.scroll {
            table { "\n"
                caption { (visible(&table.caption)) } "\n"
                thead { tr { @for column in &grid.columns { (heading(column.heading)) } } } "\n"
                tbody { "\n" @for row in &grid.rows { tr { @for cell in row { (cell_html(cell)) } } "\n" } } "\n"
            }
        } "\n"
    }
}

/// A heading; over a column that has none stands an empty cell, for a heading without words would
/// be read out as one.
fn heading(words: &str) -> Markup {
    html! {
        @if words.is_empty() { td {} } @else { th scope="col" { (words) } }
    }
}

fn cell_html(cell: &Cell) -> Markup {
    html! {
        @match cell {
            Cell::Label(label) => { th scope="row" { (visible(label)) } }
            Cell::Tape(tape) => { td.tape { (tape) } }
            Cell::Number(number) => { td.number { (number) } }
            Cell::Exact(exact) => { td.exact { (exact) } }
            Cell::Length(length) => {
                td { (length) br; span.exact { (Value::Length(*length).exact()) } }
            }
            Cell::Words(words, 1) => { td { (visible(words)) } }
            Cell::Words(words, columns) => { td colspan=(columns) { (visible(words)) } }
            Cell::Empty(label) => {
                td.box { input type="text" size="12" autocomplete="off" aria-label={ "measured, " (visible(label)) }; }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_a_text_becomes_markup() {
        let cell = |text: &str| cell_html(&Cell::Words(text.to_string(), 1)).into_string();
        assert_eq!(
            cell("<b title=\"x\">&</b>\n"),
            "<td>&lt;b title=&quot;x&quot;&gt;&amp;&lt;/b&gt;\\n</td>"
        );
        let input = cell_html(&Cell::Empty("a\" autofocus=\"".to_string())).into_string();
        assert!(input.contains("aria-label=\"measured, a&quot; autofocus=&quot;\""), "{input}");
        let hostile = json_in_html("[\"</script><!--&\"]");
        assert!(!hostile.contains('<') && !hostile.contains('>') && !hostile.contains('&'));
        assert_eq!(
            serde_json::from_str::<Vec<String>>(&hostile).ok(),
            Some(vec!["</script><!--&".to_string()])
        );
    }
}
