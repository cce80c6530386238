//! From the reservoir to the end of the feed tube. Knows food and water; knows no fry.

pub mod shape;
pub mod timer;
