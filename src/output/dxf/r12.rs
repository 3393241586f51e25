//! The R12 file: polylines with their vertices, tables for line types, layers and text style.

use super::model::{Drawing, Entity};
use super::pairs::{Pairs, closed_flag, common_header, layers, vertices};
use crate::profile::ProgramUnits;

pub(super) fn write(drawing: &Drawing) -> String {
    let mut pairs = Pairs::new(drawing.units);
    // R12 has no header word for the unit: a comment says it to who opens the file as text.
    pairs.text(
        999,
        match drawing.units {
            ProgramUnits::Inches => "Coordinates in inches, 1:1",
            ProgramUnits::Millimetres => "Coordinates in millimetres, 1:1",
        },
    );
    pairs.comments(drawing);
    pairs.section("HEADER", |pairs| common_header(pairs, drawing, "AC1009"));
    pairs.section("TABLES", |pairs| tables(pairs, drawing));
    pairs.section("BLOCKS", |_| {});
    pairs.section("ENTITIES", |pairs| {
        for entity in &drawing.entities {
            write_entity(pairs, entity);
        }
    });
    pairs.finish()
}

fn tables(pairs: &mut Pairs, drawing: &Drawing) {
    pairs.text(0, "TABLE").text(2, "LTYPE").int(70, 1);
    pairs
        .text(0, "LTYPE")
        .text(2, "CONTINUOUS")
        .int(70, 0)
        .text(3, "Solid line")
        .int(72, 65)
        .int(73, 0)
        .real(40, 0.0);
    pairs.text(0, "ENDTAB");
    pairs.text(0, "TABLE").text(2, "LAYER").int(70, layers(drawing).len() as i32);
    for (name, colour) in layers(drawing) {
        pairs.text(0, "LAYER").text(2, name).int(70, 0).int(62, colour).text(6, "CONTINUOUS");
    }
    pairs.text(0, "ENDTAB");
    pairs.text(0, "TABLE").text(2, "STYLE").int(70, 1);
    pairs
        .text(0, "STYLE")
        .text(2, "STANDARD")
        .int(70, 0)
        .real(40, 0.0)
        .real(41, 1.0)
        .real(50, 0.0)
        .int(71, 0);
    pairs.real(42, 1.0).text(3, "txt").text(4, "");
    pairs.text(0, "ENDTAB");
}

fn write_entity(pairs: &mut Pairs, entity: &Entity) {
    let layer = entity.layer().name();
    if let Entity::Text(_, at, height, text) = entity {
        pairs.text(0, "TEXT").text(8, layer).point(10, *at).length(40, *height).text(1, text);
        return;
    }
    if let Entity::Circle(_, center, radius) = entity {
        pairs.text(0, "CIRCLE").text(8, layer).point(10, *center).length(40, *radius);
        return;
    }
    if let Entity::Point(_, at) = entity {
        pairs.text(0, "POINT").text(8, layer).point(10, *at);
        return;
    }
    pairs.text(0, "POLYLINE").text(8, layer).int(66, 1).real(10, 0.0).real(20, 0.0).real(30, 0.0);
    pairs.int(70, closed_flag(entity));
    for (vertex, bulge) in vertices(entity) {
        pairs.text(0, "VERTEX").text(8, layer).point(10, vertex);
        if bulge != 0.0 {
            pairs.real(42, bulge);
        }
    }
    pairs.text(0, "SEQEND").text(8, layer);
}
