//! From the reservoir to the end of the feed tube. Knows food and water; knows no fry.

pub mod floor;
pub mod portion;
pub mod refills;
pub mod rig;
pub mod shape;
pub mod timer;
pub mod trial;
pub mod tube;
pub mod vessel;
