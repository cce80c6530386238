//! The future event list: what happens when, and in which order when times are equal.
//!
//! A binary heap keyed by (moment, sequence number). **Contract:** events come out in order of time; events of the
//! same moment come out in the order in which they were put in (first in, first out).

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use crate::clock::Moment;

/// Events waiting for their time.
#[derive(Debug, Clone)]
pub struct EventQueue<E> {
    heap: BinaryHeap<Reverse<Entry<E>>>,
    next_sequence: u64,
}

#[derive(Debug, Clone)]
struct Entry<E> {
    at: Moment,
    sequence: u64,
    event: E,
}

// Two entries never share a sequence number, so the key alone decides and `E` needs no order.
impl<E> Ord for Entry<E> {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.at, self.sequence).cmp(&(other.at, other.sequence))
    }
}

impl<E> PartialOrd for Entry<E> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<E> PartialEq for Entry<E> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl<E> Eq for Entry<E> {}

impl<E> Default for EventQueue<E> {
    fn default() -> Self {
        Self { heap: BinaryHeap::new(), next_sequence: 0 }
    }
}

impl<E> EventQueue<E> {
    /// An empty list with room for `capacity` events.
    #[must_use]
    pub fn with_capacity(capacity: usize) -> Self {
        Self { heap: BinaryHeap::with_capacity(capacity), next_sequence: 0 }
    }

    /// Puts an event at its time.
    pub fn schedule(&mut self, at: Moment, event: E) {
        let sequence = self.next_sequence;
        self.next_sequence += 1;
        self.heap.push(Reverse(Entry { at, sequence, event }));
    }

    /// When the next event is due.
    #[must_use]
    pub fn next_time(&self) -> Option<Moment> {
        self.heap.peek().map(|Reverse(entry)| entry.at)
    }

    /// Takes the next event out.
    pub fn pop(&mut self) -> Option<(Moment, E)> {
        self.heap.pop().map(|Reverse(entry)| (entry.at, entry.event))
    }

    /// The same list without what is due after `end`.
    #[must_use]
    pub fn until(mut self, end: Moment) -> Self {
        self.heap.retain(|Reverse(entry)| entry.at <= end);
        self
    }

    /// Events still waiting.
    #[must_use]
    pub fn len(&self) -> usize {
        self.heap.len()
    }

    /// True when nothing waits.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.heap.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_times_come_out_first_in_first_out() {
        let mut queue = EventQueue::default();
        for name in ["a", "b", "c"] {
            queue.schedule(Moment(5), name);
        }
        queue.schedule(Moment(1), "early");
        queue.schedule(Moment(5), "d");
        let order: Vec<_> = std::iter::from_fn(|| queue.pop()).map(|(_, name)| name).collect();
        assert_eq!(order, ["early", "a", "b", "c", "d"]);
    }
}
