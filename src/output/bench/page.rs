//! The bench sheet as one page that needs nothing but a browser: no network, no other file.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::Played;
use super::card::{checks_html, export};
use super::plan_picture::picture;
use super::playback::playbacks;
use crate::cam::plan::Task;
use crate::diagnostics::visible::visible;
use crate::output::Stamp;
use crate::output::content::{
    BenchSheet, Cell, Column, Figure, Pictures, RunOf, Section, Table, TableRows, Topic, grid,
    run_order,
};
use crate::output::page::{Page, to_svg};
use crate::output::tool_words::ToolWords;
use crate::pipeline::numbers::Value;
use crate::units::{Tape, minutes};

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("player.js");
const MEASURED: &str = include_str!("measured.js");
const PLAYER: &str = include_str!("player.html");
/// Nothing is fetched, whatever is written into the page.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src \
    'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The page of a bench sheet, with the programs that it plays in the order they are run. The same
/// input gives the same bytes.
pub fn page(sheet: &BenchSheet, played: &[Played<'_>]) -> String {
    page_with(sheet, played, &[])
}

/// The page of several jobs that are cut together: the order in which all of it is run, every
/// program played, and the picture of each sheet by its file's name.
pub fn set_page(
    stamp: Stamp,
    jobs: &[String],
    played: &[Played<'_>],
    sheets: &[(String, Page)],
) -> String {
    let mut runs: Vec<RunOf<'_>> = played.iter().map(|of| of.run.clone()).collect();
    runs.iter_mut().for_each(|run| run.is_own = true);
    let about =
        "Several jobs cut together: each has a drawing and a bench sheet to print of its own.";
    let sheet = BenchSheet {
        called: "bench page",
        about: [&stamp.order[..], &[about.to_string()], jobs].concat(),
        sections: vec![run_order(&runs)],
        pictures: Pictures::default(),
        stamp,
    };
    page_with(&sheet, played, sheets)
}

fn page_with(sheet: &BenchSheet, played: &[Played<'_>], sheets: &[(String, Page)]) -> String {
    let data = serde_json::to_string(&playbacks(played, shown(played)))
        .expect("plain types are always written");
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8"; "\n"
                meta http-equiv="Content-Security-Policy" content=(PreEscaped(POLICY)); "\n"
                meta name="viewport" content="width=device-width, initial-scale=1"; "\n"
                meta name="color-scheme" content="light dark"; "\n"
                meta name="generator" content=(Stamp::tool()); "\n"
                title { (begun(sheet.called)) ": " (visible(&sheet.stamp.title)) } "\n"
                link rel="icon" href="data:,"; "\n"
                style { "\n" (PreEscaped(STYLE)) } "\n"
            } "\n"
            body data-job=(sheet.stamp.fingerprint) data-tape=(Tape::in_hand().unit()) { "\n"
                (head(sheet, played))
                main { "\n"
                    @for section in &sheet.sections {
                        (section_html(section, &sheet.pictures))
                        @if is_played(section, played) { (player(played)) }
                    }
                    (sheets_html(sheets))
                } "\n"
                @if !played.is_empty() {
                    script type="application/json" id="playback" { (PreEscaped(json_in_html(&data))) } "\n"
                    script { "\n" (PreEscaped(SCRIPT)) } "\n"
                }
                script { "\n" (PreEscaped(MEASURED)) } "\n"
            } "\n"
        } "\n"
    };
    page.into_string()
}

/// Words as a line begins with them.
fn begun(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        format!("{}{}", first.to_ascii_uppercase(), letters.as_str())
    })
}

/// The program that is shown first: the first that cuts to the line.
fn shown(played: &[Played<'_>]) -> usize {
    let on_line = |of: &Played<'_>| of.run.program.task == Task::Cut && !of.run.program.roughs;
    played.iter().position(|of| !of.run.is_frame && on_line(of)).unwrap_or(0)
}

/// JSON for use inside a script element: nothing in it can end the element or begin a comment.
fn json_in_html(json: &str) -> String {
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

/// Whether the programs are played below a section: below the list of them, where there are any.
fn is_played(section: &Section, played: &[Played<'_>]) -> bool {
    section.topic == Topic::RunOrder && !played.is_empty()
}

fn head(sheet: &BenchSheet, played: &[Played<'_>]) -> Markup {
    html! {
        header { "\n"
            h1 { (visible(&sheet.stamp.title)) } "\n"
            p.stamp { (begun(sheet.called)) " of job " (sheet.stamp.fingerprint) ", " (Stamp::tool()) } "\n"
            @for line in &sheet.about { p { (visible(line)) } "\n" }
            nav aria-label="Sections" {
                ol { "\n"
                    @for section in &sheet.sections {
                        li { a href={ "#" (section.topic.name()) } { (section.topic.heading()) } } "\n"
                        @if is_played(section, played) {
                            li { a href="#player" { "The programs, played" } } "\n"
                        }
                    }
                }
            } "\n"
        } "\n"
    }
}

/// The player: a still picture that the script moves. Its values come from the data, none from this
/// text.
fn player(played: &[Played<'_>]) -> Markup {
    let Some(first) = played.get(shown(played)) else { return html! {} };
    let words = ToolWords::of(&first.run.machine.tool);
    let tabs = html! {
        @if played.iter().any(|of| !of.run.program.tabs.is_empty()) {
            li { svg.swatch aria-hidden="true" {
                path.tab-rim d="M3 8h10" {} path.tab d="M3 8h10" {}
            } " tab, numbered: wood that stays across the cut" } "\n"
        }
    };
    let clamps = html! {
        @if played.iter().any(|of| !of.run.program.clamps.is_empty()) {
            li { svg.swatch aria-hidden="true" { rect.clamp {} } " clamp, numbered" } "\n"
        }
    };
    let programs = html! {
        @for (i, of) in played.iter().enumerate() {
            option value=(i) selected[i == shown(played)] {
                (of.run.file) ": " (of.run.does()) ", " (minutes(of.run.program.time_s))
            } "\n"
        }
    };
    let parts = [
        ("{tool}", html! { (words.shown) }),
        ("{tabs}", tabs),
        ("{clamps}", clamps),
        ("{programs}", programs),
        ("{picture}", picture(played, shown(played))),
    ];
    PreEscaped(
        parts
            .into_iter()
            .fold(PLAYER.to_string(), |page, (name, part)| page.replace(name, &part.into_string())),
    )
}

fn section_html(section: &Section, pictures: &Pictures) -> Markup {
    let name = section.topic.name();
    let heading = format!("{name}-heading");
    html! {
        section id=(name) aria-labelledby=(heading) { "\n"
            h2 id=(heading) { (section.topic.heading()) } "\n"
            @if !section.notes.is_empty() {
                ul { "\n" @for note in &section.notes { li { (visible(note)) } "\n" } } "\n"
            }
            (drawn(section.topic, pictures))
            @for table in &section.tables {
                @match (&table.rows, section.topic) {
                    (TableRows::Figures(rows), Topic::Numbers) => { (large(rows)) }
                    (TableRows::Checks(checks), _) => { (checks_html(&table.caption, checks)) }
                    _ => { (table_html(table)) }
                }
            }
            @if section.topic == Topic::Numbers {
                @if let Some(elevation) = &pictures.elevation {
                    div.paper { (inline(elevation, "elevation")) }
                }
            }
            @if section.topic == Topic::FitCard { (export()) }
        } "\n"
    }
}

/// The pictures of the sheets, one below the other.
fn sheets_html(sheets: &[(String, Page)]) -> Markup {
    html! {
        @if !sheets.is_empty() {
            section id="sheets" aria-labelledby="sheets-heading" { "\n"
                h2 id="sheets-heading" { "Sheets" } "\n"
                @for (i, (file, picture)) in sheets.iter().enumerate() {
                    p { (file) } "\n"
                    div.paper { (inline(picture, &format!("sheet-{}", i + 1))) } "\n"
                }
            } "\n"
        }
    }
}

/// The pictures over the tables of a section.
fn drawn(topic: Topic, pictures: &Pictures) -> Markup {
    html! {
        @match topic {
            Topic::Poles => {
                div.poles {
                    @for (i, pole) in pictures.poles.iter().enumerate() {
                        div.paper { (inline(pole, &format!("pole-{}", i + 1))) }
                    }
                } "\n"
            }
            Topic::FitCard => {
                @if let Some(fit) = &pictures.fit { div.paper.small { (inline(fit, "fit")) } "\n" }
            }
            _ => {}
        }
    }
}

/// A picture as an element of the page, its ids made its own.
fn inline(page: &Page, name: &str) -> Markup {
    let svg = to_svg(page);
    let element = svg.find("<svg").map_or(&*svg, |at| &svg[at..]);
    let own = element
        .replace(
            "aria-labelledby=\"title desc\"",
            &format!("aria-labelledby=\"{name}-title {name}-desc\""),
        )
        .replace("id=\"title\"", &format!("id=\"{name}-title\""))
        .replace("id=\"desc\"", &format!("id=\"{name}-desc\""));
    PreEscaped(own)
}

/// The numbers that one works with, in large figures.
fn large(rows: &[Figure]) -> Markup {
    html! {
        dl.large { "\n"
            @for row in rows {
                div.wide[matches!(row.value, Value::Words(_)) && row.value.on_tape().len() > 12] {
                    dt { (visible(&row.label)) }
                    dd { (row.value.on_tape()) }
                    @let mm = row.value.in_mm();
                    dd.exact {
                        @if !mm.is_empty() && mm != row.value.on_tape() { (mm) @if !row.note.is_empty() { "; " } }
                        (visible(&row.note))
                    }
                } "\n"
            }
        } "\n"
    }
}

fn table_html(table: &Table) -> Markup {
    let grid = grid(&table.rows);
    html! {
        div.scroll tabindex="0" role="group" aria-label=(visible(&table.caption)) {
            table { "\n"
                caption { (visible(&table.caption)) } "\n"
                thead { tr { @for column in &grid.columns { (heading(column.heading)) } } } "\n"
                tbody { "\n" @for row in &grid.rows { tr { @for (cell, heading) in labelled(row, &grid.columns) { (cell_html(cell, heading)) } } "\n" } } "\n"
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

/// The cells of a row, each with the heading of the column it begins in.
fn labelled<'a>(row: &'a [Cell], columns: &[Column]) -> Vec<(&'a Cell, &'static str)> {
    let mut at = 0;
    let with = |cell: &'a Cell| {
        let heading = columns.get(at).map_or("", |column| column.heading);
        at += if let Cell::Words(_, across) = cell { *across } else { 1 };
        (cell, heading)
    };
    row.iter().map(with).collect()
}

/// A cell; on a narrow screen, where cells stand below each other, with its heading before it.
fn cell_html(cell: &Cell, heading: &str) -> Markup {
    let heading = Some(heading).filter(|heading| !heading.is_empty());
    html! {
        @match cell {
            // What goes on under the row before has no head of its own.
            Cell::Label(label) if label.is_empty() => { td class="none" {} }
            Cell::Label(label) => { th scope="row" { (visible(label)) } }
            Cell::Tape(tape) => { td.tape data-of=[heading] { (tape) } }
            Cell::Number(number) => { td.number data-of=[heading] { (number) } }
            Cell::Exact(exact) => { td.exact data-of=[heading] { (exact) } }
            Cell::Length(length) => {
                td data-of=[heading] { (length) br; span.exact { (Value::Length(*length).exact()) } }
            }
            Cell::Words(words, columns) => {
                td.none[words.is_empty()] data-of=[heading] colspan=[(*columns > 1).then_some(columns)] { (visible(words)) }
            }
            Cell::Empty(_) => { td {} }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_of_a_text_becomes_markup() {
        let cell = |text: &str| cell_html(&Cell::Words(text.to_string(), 1), "").into_string();
        assert_eq!(
            cell("<b title=\"x\">&</b>\n"),
            "<td class=\"\">&lt;b title=&quot;x&quot;&gt;&amp;&lt;/b&gt;\\n</td>"
        );
        let hostile = json_in_html("[\"</script><!--&\"]");
        assert!(!hostile.contains('<') && !hostile.contains('>') && !hostile.contains('&'));
        assert_eq!(
            serde_json::from_str::<Vec<String>>(&hostile).ok(),
            Some(vec!["</script><!--&".to_string()])
        );
    }
}
