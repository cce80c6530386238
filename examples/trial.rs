use frytub_sim::{
    monte_carlo::{self, Settings},
    outcome::Cause,
};
use std::sync::atomic::AtomicBool;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let s = frytub_scenarios::read_file(std::path::Path::new(&a[1])).unwrap_or_else(|e| panic!("{e}"));
    let broods: u32 = a.get(2).map_or(20, |x| x.parse().unwrap());
    let likely = a.get(3).is_some();
    let t = std::time::Instant::now();
    let c = monte_carlo::compare(
        &s.study,
        &Settings { seed: 1, broods, precision: None, likely_only: likely },
        &(),
        &AtomicBool::new(false),
    )
    .unwrap();
    let el = t.elapsed().as_secs_f64();
    println!(
        "{} plans {} worlds {} broods: {:.2}s, {:.3} ms per brood-core",
        c.plans.len(),
        c.worlds,
        c.broods,
        el,
        el * 1000.0 / (c.broods as f64 * c.plans.len() as f64) * 2.0
    );
    for (p, r) in s.study.plans.iter().zip(&c.plans) {
        let d = r.deaths_by_cause();
        let causes: Vec<String> = Cause::ALL.iter().zip(d).map(|(_, x)| format!("{x:.1}")).collect();
        println!(
            "{:55} f{:.1} v{:.1} alive {:.0} [{:.0} {:.0}] weaned {:.0} [{:.0} {:.0}] len {:.2} g {:.3} all {:.3} half {:?} mg {:.0} eaten {:.2} wash {:.2} spoil {:.2} left {:.2} dead {:?} fifths {:.2?}",
            p.name,
            p.feeds_a_day(),
            p.visits_a_day(),
            r.alive.median,
            r.alive.low,
            r.alive.high,
            r.weaned.median,
            r.weaned.low,
            r.weaned.high,
            r.length_mm.median,
            r.growth_living.median,
            r.growth_all.median,
            r.half_ready_day.map(|x| x.median),
            r.food_given_mg,
            r.fate.eaten,
            r.fate.washed_out,
            r.fate.spoiled,
            r.fate.left,
            causes,
            r.intake_fifths
        );
    }
    println!("leader {} rival {}", s.study.plans[c.leader].name, s.study.plans[c.rival].name);
    for p in c.pulls.iter().take(6) {
        println!("{:60} {:+.2} {:+.2} (thr {:.2})", p.label, p.on_difference, p.on_leader, c.pull_threshold);
    }
}
