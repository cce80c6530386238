//! Drawing parts that know nothing of fish: text measuring, shapes, panels with axes, SVG and PNG.

pub mod font;
pub mod paint;
pub mod panel;
pub mod sketch;
