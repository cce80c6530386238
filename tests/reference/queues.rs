//! The list of events against queue theory: a queue of one server, and lives that end at a constant rate.

use frytub_sim::chance::{Source, Streams};
use frytub_sim::clock::{Moment, Span};
use frytub_sim::events::EventQueue;
use frytub_sim::statistics::mean;
use rand_distr::{Distribution, Exp1};
use std::collections::VecDeque;

/// Mean of a series and its standard error, from the means of batches that are long against its memory (Law 2015,
/// Simulation Modeling and Analysis, chapter 9).
fn by_batches(values: &[f64], batches: usize) -> (f64, f64) {
    let means: Vec<f64> = values.chunks_exact(values.len() / batches).map(mean).collect();
    let centre = mean(&means);
    let variance = means.iter().map(|m| (m - centre).powi(2)).sum::<f64>() / (batches - 1) as f64;
    (centre, (variance / batches as f64).sqrt())
}

/// Waiting times, h, of customers who come `arrivals` an hour to one server who serves `served` an hour.
fn waits(arrivals: f64, served: f64, customers: usize) -> Vec<f64> {
    enum Event {
        Comes,
        IsServed,
    }
    let mut rng = Streams::new(4, 0, 0).shared(Source::Tub);
    let mut after = |rate: f64| -> Span {
        let unit: f64 = Exp1.sample(&mut rng);
        Span::from_hours(unit / rate)
    };
    let mut list = EventQueue::default();
    let (mut waiting, mut waits) = (VecDeque::new(), Vec::new());
    let mut is_busy = false;
    list.schedule(Moment(0) + after(arrivals), Event::Comes);
    while waits.len() < customers {
        let (now, event) = list.pop().expect("customers come for ever");
        match event {
            Event::Comes => {
                waiting.push_back(now);
                list.schedule(now + after(arrivals), Event::Comes);
            }
            Event::IsServed => is_busy = false,
        }
        if let (false, Some(since)) = (is_busy, waiting.front().copied()) {
            waiting.pop_front();
            waits.push((now - since).hours());
            is_busy = true;
            list.schedule(now + after(served), Event::IsServed);
        }
    }
    waits
}

#[test]
fn customers_of_one_server_wait_as_long_as_queue_theory_says() {
    for (arrivals, served) in [(0.5, 1.0), (0.8, 1.0), (3.0, 5.0)] {
        let all = waits(arrivals, served, 820_000);
        // The first tenth of a batch, in which the queue is still too short, is left out.
        let (found, error) = by_batches(&all[20_000..], 40);
        let expected = arrivals / (served * (served - arrivals));
        eprintln!("{arrivals} come, {served} are served: wait {found:.4} ± {error:.4} h, {expected:.4} expected");
        assert!(error < 0.02 * expected, "{error} h is too much to tell anything");
        assert!((found - expected).abs() < 3.0 * error, "{found} ± {error} h against {expected}");
    }
}

#[test]
fn survivors_of_a_constant_hazard_are_binomial() {
    let (fry, hazard, hours, broods) = (40_u32, 0.05, 20.0, 200_000_u64);
    let mut rng = Streams::new(5, 0, 0).shared(Source::Tub);
    let alive: Vec<f64> = (0..broods)
        .map(|_| {
            let (mut list, mut alive) = (EventQueue::default(), fry);
            let mut next_death = |from: Moment, alive: u32| -> Moment {
                let unit: f64 = Exp1.sample(&mut rng);
                from + Span::from_hours(unit / (f64::from(alive) * hazard))
            };
            list.schedule(next_death(Moment(0), alive), ());
            let mut list = list.until(Moment(0) + Span::from_hours(hours));
            while let Some((now, ())) = list.pop() {
                alive -= 1;
                if alive > 0 {
                    list.schedule(next_death(now, alive), ());
                    list = list.until(Moment(0) + Span::from_hours(hours));
                }
            }
            f64::from(alive)
        })
        .collect();
    let (n, p) = (f64::from(fry), f64::exp(-hazard * hours));
    let (expected, variance) = (n * p, n * p * (1.0 - p));
    let found = mean(&alive);
    let scatter = mean(&alive.iter().map(|a| (a - expected).powi(2)).collect::<Vec<_>>());
    // Three standard errors of a mean, and of a variance (kurtosis within 1 % of the normal here).
    let broods = broods as f64;
    assert!((found - expected).abs() < 3.0 * (variance / broods).sqrt(), "{found} alive against {expected}");
    assert!((scatter / variance - 1.0).abs() < 3.0 * (2.0 / broods).sqrt(), "variance {scatter} against {variance}");
}
