//! Every built-in example is run, as whoever starts from it will do first. Expects nothing of what comes out but sense.

use frytub_scenarios::examples;

use crate::support::{brood_a_world, example_study, plan_called};

#[test]
fn every_plan_of_every_example_can_be_played() {
    for example in examples() {
        let study = example_study(example.name);
        assert_eq!(study.verify(), Ok(()), "{}", example.name);
        for plan in 0..study.plans.len() {
            let name = &study.plans[plan].name;
            for brood in brood_a_world(&study, plan, 2) {
                assert_eq!(brood.alive + brood.deaths.len(), study.fry as usize, "{}: {name}", example.name);
                assert!(brood.eaten_ug.is_finite() && brood.eaten_ug >= 0.0, "{}: {name}", example.name);
            }
        }
    }
}

#[test]
fn the_examples_with_a_pump_differ_in_what_they_say_they_differ_in() {
    let study = example_study("box-or-cone");
    let [box_plan, cone_plan] = ["From a box", "From a steep cone"].map(|name| &study.plans[plan_called(&study, name)]);
    assert_eq!(box_plan.week, cone_plan.week);
    let (from_box, from_cone) = (box_plan.line.as_ref().unwrap(), cone_plan.line.as_ref().unwrap());
    assert_eq!(from_box.programme, from_cone.programme);
    assert_eq!(from_box.programme[0].len(), 11, "eleven feeds a day");
    assert_ne!(from_box.reservoir, from_cone.reservoir);
    assert_eq!((from_box.line, from_box.recipe), (from_cone.line, from_cone.recipe));

    let study = example_study("sponge-and-tube-end");
    let habits: Vec<_> = study
        .plans
        .iter()
        .map(|plan| (plan.rinses, study.lines[plan.line.as_ref().unwrap().line].numbers.end_mm.likely()))
        .collect();
    assert_eq!(habits.len(), 4);
    for (place, habit) in habits.iter().enumerate() {
        assert!(!habits[..place].contains(habit), "two plans do the same: {habit:?}");
    }
    assert!(study.plans.iter().all(|plan| plan.week == study.plans[0].week));
    assert!(study.tubs.iter().all(|tub| tub.outlet.is_some()));
}
