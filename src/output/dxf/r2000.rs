//! The R2000 file: every table, block and owner that a strict reader asks for.

use super::model::{Drawing, Entity};
use super::pairs::{Pairs, closed_flag, common_header, layers, vertices};
use crate::profile::ProgramUnits;

pub(super) fn write(drawing: &Drawing) -> String {
    let mut body = Pairs::new(drawing.units);
    let blocks = tables(&mut body, drawing);
    write_blocks(&mut body, &blocks);
    body.section("ENTITIES", |pairs| {
        for entity in &drawing.entities {
            write_entity(pairs, entity, &blocks.model);
        }
    });
    objects(&mut body);
    let mut file = body.fork();
    file.comments(drawing);
    file.section("HEADER", |pairs| header(pairs, drawing));
    file.section("CLASSES", |_| {});
    let mut whole = file;
    whole.append(body);
    whole.finish()
}

fn header(pairs: &mut Pairs, drawing: &Drawing) {
    let seed = pairs.handle_seed();
    common_header(pairs, drawing, "AC1015");
    let (insunits, measurement) = match drawing.units {
        ProgramUnits::Inches => (1, 0),
        ProgramUnits::Millimetres => (4, 1),
    };
    pairs.text(9, "$INSUNITS").int(70, insunits);
    pairs.text(9, "$MEASUREMENT").int(70, measurement);
    pairs.text(9, "$DWGCODEPAGE").text(3, "ANSI_1252");
    pairs.text(9, "$HANDSEED").text(5, &seed);
}

/// Handles of the block records of model and paper space.
struct Blocks {
    model: String,
    paper: String,
}

fn tables(pairs: &mut Pairs, drawing: &Drawing) -> Blocks {
    let mut blocks = Blocks { model: String::new(), paper: String::new() };
    pairs.section("TABLES", |pairs| {
        table(pairs, "VPORT", 1, viewport);
        table(pairs, "LTYPE", 3, |pairs, table| {
            for name in ["ByBlock", "ByLayer", "Continuous"] {
                record(pairs, "LTYPE", table, "AcDbLinetypeTableRecord", name);
                pairs.text(3, "").int(72, 65).int(73, 0).real(40, 0.0);
            }
        });
        table(pairs, "LAYER", layers(drawing).len() as i32, |pairs, table| {
            for (name, colour) in layers(drawing) {
                record(pairs, "LAYER", table, "AcDbLayerTableRecord", name);
                pairs.int(62, colour).text(6, "Continuous");
            }
        });
        table(pairs, "STYLE", 1, |pairs, table| {
            record(pairs, "STYLE", table, "AcDbTextStyleTableRecord", "Standard");
            pairs
                .real(40, 0.0)
                .real(41, 1.0)
                .real(50, 0.0)
                .int(71, 0)
                .real(42, 1.0)
                .text(3, "txt")
                .text(4, "");
        });
        table(pairs, "VIEW", 0, |_, _| {});
        table(pairs, "UCS", 0, |_, _| {});
        table(pairs, "APPID", 1, |pairs, table| {
            record(pairs, "APPID", table, "AcDbRegAppTableRecord", "ACAD");
        });
        dimension_styles(pairs);
        table(pairs, "BLOCK_RECORD", 2, |pairs, table| {
            blocks.model =
                record_handle(pairs, "BLOCK_RECORD", table, "AcDbBlockTableRecord", "*Model_Space");
            pairs.text(340, "0");
            blocks.paper =
                record_handle(pairs, "BLOCK_RECORD", table, "AcDbBlockTableRecord", "*Paper_Space");
            pairs.text(340, "0");
        });
    });
    blocks
}

fn table(pairs: &mut Pairs, name: &str, count: i32, body: impl FnOnce(&mut Pairs, &str)) {
    let handle = pairs.handle();
    pairs
        .text(0, "TABLE")
        .text(2, name)
        .text(5, &handle)
        .text(330, "0")
        .text(100, "AcDbSymbolTable")
        .int(70, count);
    body(pairs, &handle);
    pairs.text(0, "ENDTAB");
}

fn record(pairs: &mut Pairs, kind: &str, table: &str, class: &str, name: &str) {
    record_handle(pairs, kind, table, class, name);
    pairs.int(70, 0);
}

fn record_handle(pairs: &mut Pairs, kind: &str, table: &str, class: &str, name: &str) -> String {
    let handle = pairs.handle();
    pairs
        .text(0, kind)
        .text(5, &handle)
        .text(330, table)
        .text(100, "AcDbSymbolTableRecord")
        .text(100, class);
    pairs.text(2, name);
    handle
}

/// The one dimension style; its handle has a code of its own.
fn dimension_styles(pairs: &mut Pairs) {
    let (table, style) = (pairs.handle(), pairs.handle());
    pairs
        .text(0, "TABLE")
        .text(2, "DIMSTYLE")
        .text(5, &table)
        .text(330, "0")
        .text(100, "AcDbSymbolTable")
        .int(70, 1);
    pairs.text(100, "AcDbDimStyleTable");
    pairs
        .text(0, "DIMSTYLE")
        .text(105, &style)
        .text(330, &table)
        .text(100, "AcDbSymbolTableRecord");
    pairs.text(100, "AcDbDimStyleTableRecord").text(2, "Standard").int(70, 0);
    pairs.text(0, "ENDTAB");
}

fn viewport(pairs: &mut Pairs, table: &str) {
    record(pairs, "VPORT", table, "AcDbViewportTableRecord", "*Active");
    for (code, x, y) in [
        (10, 0.0, 0.0),
        (11, 1.0, 1.0),
        (12, 0.0, 0.0),
        (13, 0.0, 0.0),
        (14, 1.0, 1.0),
        (15, 1.0, 1.0),
    ] {
        pairs.real(code, x).real(code + 10, y);
    }
    pairs.real(16, 0.0).real(26, 0.0).real(36, 1.0).real(17, 0.0).real(27, 0.0).real(37, 0.0);
    pairs
        .real(40, 1000.0)
        .real(41, 2.0)
        .real(42, 50.0)
        .real(43, 0.0)
        .real(44, 0.0)
        .real(50, 0.0)
        .real(51, 0.0);
    pairs
        .int(71, 0)
        .int(72, 1000)
        .int(73, 1)
        .int(74, 3)
        .int(75, 0)
        .int(76, 0)
        .int(77, 0)
        .int(78, 0);
}

fn write_blocks(pairs: &mut Pairs, blocks: &Blocks) {
    pairs.section("BLOCKS", |pairs| {
        for (name, owner) in [("*Model_Space", &blocks.model), ("*Paper_Space", &blocks.paper)] {
            let (begin, end) = (pairs.handle(), pairs.handle());
            pairs
                .text(0, "BLOCK")
                .text(5, &begin)
                .text(330, owner)
                .text(100, "AcDbEntity")
                .text(8, "0");
            pairs
                .text(100, "AcDbBlockBegin")
                .text(2, name)
                .int(70, 0)
                .real(10, 0.0)
                .real(20, 0.0)
                .real(30, 0.0);
            pairs.text(3, name).text(1, "");
            pairs
                .text(0, "ENDBLK")
                .text(5, &end)
                .text(330, owner)
                .text(100, "AcDbEntity")
                .text(8, "0");
            pairs.text(100, "AcDbBlockEnd");
        }
    });
}

fn write_entity(pairs: &mut Pairs, entity: &Entity, owner: &str) {
    let kind = match entity {
        Entity::Text(..) => "TEXT",
        Entity::Circle(..) => "CIRCLE",
        Entity::Point(..) => "POINT",
        Entity::Closed(..) | Entity::Open(..) => "LWPOLYLINE",
    };
    let handle = pairs.handle();
    pairs
        .text(0, kind)
        .text(5, &handle)
        .text(330, owner)
        .text(100, "AcDbEntity")
        .text(8, entity.layer().name());
    if let Entity::Text(_, at, height, text) = entity {
        pairs
            .text(100, "AcDbText")
            .point(10, *at)
            .length(40, *height)
            .text(1, text)
            .text(100, "AcDbText");
        return;
    }
    if let Entity::Circle(_, center, radius) = entity {
        pairs.text(100, "AcDbCircle").point(10, *center).length(40, *radius);
        return;
    }
    if let Entity::Point(_, at) = entity {
        pairs.text(100, "AcDbPoint").point(10, *at);
        return;
    }
    let vertices = vertices(entity);
    pairs.text(100, "AcDbPolyline").int(90, vertices.len() as i32).int(70, closed_flag(entity));
    for (vertex, bulge) in vertices {
        pairs.flat_point(10, vertex);
        if bulge != 0.0 {
            pairs.real(42, bulge);
        }
    }
}

/// The root dictionary and the group dictionary that every reader looks for.
fn objects(pairs: &mut Pairs) {
    pairs.section("OBJECTS", |pairs| {
        let (root, groups) = (pairs.handle(), pairs.handle());
        pairs
            .text(0, "DICTIONARY")
            .text(5, &root)
            .text(330, "0")
            .text(100, "AcDbDictionary")
            .int(281, 1);
        pairs.text(3, "ACAD_GROUP").text(350, &groups);
        pairs
            .text(0, "DICTIONARY")
            .text(5, &groups)
            .text(330, &root)
            .text(100, "AcDbDictionary")
            .int(281, 1);
    });
}
