//! What must hold whatever the tub: nothing lost, nothing negative, no result that depends on threads or on the other
//! plans.

mod alone;
mod balance;
mod more_food;
mod nitrogen;
mod piped;
mod threads;
