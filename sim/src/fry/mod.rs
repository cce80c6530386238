//! Fry: what each is born with, how it catches, digests, grows, weakens and starves.
//!
//! Knows the numbers of a fish and what food is around; knows no plan and no keeper.

pub mod feeding;
pub mod shoal;
pub mod starving;
pub mod tolerance;
pub mod traits;
