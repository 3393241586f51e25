//! Stage 1: the job file. Text in, a valid [`Job`] out; from here on nothing is ambiguous.

mod around;
mod around_file;
mod as_built;
mod beside;
mod bounds;
mod by_hand;
mod cleat;
mod edit;
mod ends;
mod figures;
mod fingerprint;
mod form;
mod holding;
mod housed;
mod job_file;
mod landing;
mod named;
mod opening;
mod order;
mod parts;
mod pattern;
mod questions;
mod rail;
mod resolve;
mod short_forms;
mod slips;
mod stand_ins;
mod starter;
mod steps;
mod stock;
mod stock_boards;
mod stock_taken;
mod stringer;
mod thickness;
mod unknown_key;
mod volume;
mod whole;

pub use around::{
    Around, AsBuilt, BoardGrain, Ground, Joint, Load, MOST_MOISTURE_PERCENT, Middle,
    MoistureContent, Remeasured, RiseAcross, Room, Seat, StairWidth, TreadRoom,
};
pub use as_built::read_built;
pub use cleat::{CleatHoles, CleatOf, Cleated};
pub use edit::{Answer, text_of, texts_of, typed_length, with_key};
pub use fingerprint::Fingerprint;
pub use form::key_words;
pub use housed::{Hand, Housed};
pub use landing::{FlightOf, Landing, NextOn, Turn};
pub use opening::Opening;
pub use order::{Order, OrderHead, OrderLine, Whose, order_of};
pub use parts::{
    Board, Clamp, Corners, Cut, Follow, Foot, Head, Job, Long, MOST_EDGE_OUT_MM, MOST_RISERS,
    MOST_TOTAL_RISE_MM, Makes, Meets, Outsides, Rise, RiserChoice, Sharing, StandsOn, Tie, Tread,
    TreadBoards, Waiver,
};
pub use pattern::MarksAsked;
pub use questions::{QUESTIONS, Question, Step, Usual, Wanted, begun, question};
pub use rail::Rail;
pub use resolve::{LONGEST_TITLE, ProfileLoader, read_job};
pub use starter::STARTER;
pub use steps::{Back, SkirtKind, SkirtRisers, Skirts, Steps};
pub use stock::{Held, KnownBy, MOST_KINDS, MOST_TOLD_APART, Stock};
pub use stock_boards::{MeasuredBoard, Narrow, SAME_WIDTH_IN, StockBoards};
pub use stock_taken::{Offcut, Taken, put_back, taken_off};
pub use stringer::Stringer;
pub use thickness::Thickness;
pub use whole::{PARTS, Part, Standing, part, part_of, with_part};
