//! How many events the future event list takes in and gives out in a second.
//!
//! Knows the list and the clock; knows no tub. One item of the throughput is one event, put in once and taken out once.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use frytub_sim::clock::{MS_PER_DAY, Moment, Span};
use frytub_sim::events::EventQueue;

/// Events of one turn.
const EVENTS: usize = 10_000;
/// Days over which they are spread.
const DAYS: i64 = 9;
/// Time between two moments at which something may happen, ms: quarters of an hour, so that each moment of
/// the nine days is shared by some eleven events.
const GRID_MS: i64 = 15 * 60 * 1000;

fn main() {
    divan::main();
}

/// Moments without order and with many ties, the same at every run.
fn moments() -> Vec<Moment> {
    let places = DAYS * MS_PER_DAY / GRID_MS;
    // A step that shares no factor with the number of places visits them all before it comes round.
    let step = 547;
    (0..EVENTS as i64).map(|n| Moment(n * step % places * GRID_MS)).collect()
}

/// All events planned beforehand, then taken out in order, as the planned part of a brood is.
#[divan::bench]
fn planned_then_played(bencher: Bencher) {
    let moments = moments();
    bencher.counter(ItemsCount::new(EVENTS)).bench(|| {
        let mut queue = EventQueue::with_capacity(EVENTS);
        for (n, &at) in moments.iter().enumerate() {
            queue.schedule(at, n);
        }
        let mut sum = 0;
        while let Some((_, event)) = queue.pop() {
            sum ^= black_box(event);
        }
        sum
    });
}

/// A list that stays equally long: each event taken out puts the next one in, at the same moment or later.
#[divan::bench(args = [64, 1024])]
fn each_brings_the_next(bencher: Bencher, waiting: usize) {
    let moments = moments();
    bencher.counter(ItemsCount::new(EVENTS)).bench(|| {
        let mut queue = EventQueue::with_capacity(waiting + 1);
        for (n, &at) in moments.iter().take(waiting).enumerate() {
            queue.schedule(at, n);
        }
        for n in 0..EVENTS {
            let (now, event) = queue.pop().expect("as many come in as go out");
            queue.schedule(now + Span(n as i64 % 16 * GRID_MS), black_box(event));
        }
        queue.len()
    });
}
