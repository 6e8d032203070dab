//! A small plan followed through attempts put together by hand.

use super::*;
use crate::scene::Scene;

fn words(en: &str) -> Words {
    Words {
        en: en.to_owned(),
        others: Vec::new(),
    }
}

fn step(id: &str, done: Vec<Stage>) -> Step {
    Step {
        id: id.to_owned(),
        say: words(id),
        hint: words("press {take}"),
        points_at: None,
        done,
        spared: None,
        undone: None,
    }
}

fn now(when: Condition) -> Vec<Stage> {
    vec![Stage { when, for_s: 0.0 }]
}

fn reads(channel: Channel, at_least: f64, at_most: f64) -> Condition {
    Condition::Reads {
        channel,
        at_least,
        at_most,
    }
}

fn dump_shut() -> Condition {
    reads(Channel::DumpLever, 0.0, 0.0)
}

fn dump_open() -> Condition {
    reads(Channel::DumpLever, 1.0, 1.0)
}

/// Ask; shut the dump; bring 50 bar and hold it for two seconds; say that
/// nothing changes.
fn plan() -> Plan {
    let ask = Condition::Said {
        seat: Seat::LANCE,
        call: Call::Ready,
    };
    let settled = Condition::Said {
        seat: Seat::PUMP,
        call: Call::NoChange,
    };
    let mut shut = step("shut", now(dump_shut()));
    shut.undone = Some(Undone {
        when: dump_open(),
        until: 3,
    });
    Plan {
        level: String::from("a"),
        post: Seat::PUMP,
        steps: vec![
            step("ask", now(ask)),
            shut,
            step(
                "bring",
                vec![Stage {
                    when: reads(Channel::Gauge, 45.0, 55.0),
                    for_s: 2.0,
                }],
            ),
            step("settle", now(settled)),
        ],
        asides: vec![Aside {
            id: String::from("struck"),
            between: vec![[1, 3]],
            when: reads(Channel::EmergencyStop, 1.0, 1.0),
            over: reads(Channel::EmergencyStop, 0.0, 0.0),
            steps: vec![step("reset", now(reads(Channel::EmergencyStop, 0.0, 0.0)))],
        }],
    }
}

fn follow(play: impl FnOnce(&mut Scene<'_>, &std::cell::RefCell<Coach>)) {
    let coach = std::cell::RefCell::new(Coach::new(Arc::new(plan())));
    let mut scene = Scene::of(Channel::ALL, |o| coach.borrow_mut().see(o));
    play(&mut scene, &coach);
}

fn at(coach: &std::cell::RefCell<Coach>) -> String {
    let coach = coach.borrow();
    let step = coach.step().map_or("-", |s| s.id.as_str());
    format!("{} {step}", coach.count())
}

#[test]
fn steps_are_ticked_off_in_their_order_and_never_before() {
    follow(|scene, coach| {
        // What a later step asks for does not count yet.
        scene.fed(50.0).run(5.0);
        assert_eq!(at(coach), "0 ask");
        scene.say(Seat::LANCE, Call::Ready).run(0.0);
        assert_eq!(at(coach), "1 shut");
        scene.run(0.0);
        assert_eq!(at(coach), "2 bring");
        scene.run(1.5);
        assert_eq!(at(coach), "2 bring");
        scene.run(1.0);
        assert_eq!(at(coach), "3 settle");
        scene.say(Seat::LANCE, Call::NoChange).run(0.0);
        assert_eq!(at(coach), "3 settle", "somebody else said it");
        scene.say(Seat::PUMP, Call::NoChange).run(0.0);
        assert_eq!(at(coach), "4 -");
    });
}

#[test]
fn a_step_that_is_needless_is_spared_and_any_other_is_not() {
    let mut spared = plan();
    spared.steps[2].spared = Some(reads(Channel::EngineRuns, 0.0, 0.0));
    let coach = std::cell::RefCell::new(Coach::new(Arc::new(spared)));
    let mut scene = Scene::of(Channel::ALL, |o| coach.borrow_mut().see(o));
    // It is not up yet.
    scene.run(1.0);
    assert_eq!(at(&coach), "0 ask");
    scene.fed(20.0).say(Seat::LANCE, Call::Ready).run(1.0);
    assert_eq!(at(&coach), "2 bring");
    scene.set(Channel::EngineRuns, 0.0).run(0.0);
    assert_eq!(at(&coach), "3 settle");
}

#[test]
fn what_has_to_last_begins_anew_when_it_breaks() {
    follow(|scene, coach| {
        scene.say(Seat::LANCE, Call::Ready).run(0.0);
        scene.fed(50.0).run(1.9);
        scene.bar(60.0).run(0.5);
        scene.bar(50.0).run(1.9);
        assert_eq!(at(coach), "2 bring");
        scene.run(0.2);
        assert_eq!(at(coach), "3 settle");
    });
}

#[test]
fn how_far_a_step_has_come_is_told_where_it_has_to_last_or_to_grow() {
    let coach = |stage: Stage| {
        let mut plan = plan();
        plan.steps = vec![step("only", vec![stage])];
        Coach::new(std::sync::Arc::new(plan))
    };
    let o = |at_s: f64, quanta: i32| {
        let mut o = Observation::missing_all();
        o.tick = Tick::at(at_s);
        let sample = crate::Sample {
            mean: quanta,
            ..crate::Sample::default()
        };
        o.set(Channel::SurfaceClean, sample);
        o
    };
    let when = reads(Channel::SurfaceClean, 1.0, f64::INFINITY);
    let mut lasts = coach(Stage { when, for_s: 5.0 });
    lasts.see(&o(1.0, 0));
    assert_eq!(lasts.held(Tick::at(1.0)), None);
    lasts.see(&o(2.0, 10_000));
    assert_eq!(lasts.held(Tick::at(4.0)), Some([2.0, 5.0]));
    assert_eq!(lasts.held(Tick::at(40.0)), Some([5.0, 5.0]));
    lasts.see(&o(4.5, 0));
    assert_eq!(lasts.held(Tick::at(4.5)), None, "it broke");

    let when = reads(Channel::SurfaceClean, 1e9, f64::INFINITY);
    let grows = coach(Stage { when, for_s: 0.0 });
    let now = o(1.0, 100);
    let clean = now.mean(Channel::SurfaceClean).expect("it is there");
    assert!(clean > 0.0);
    assert_eq!(grows.grown(Channel::SurfaceClean, &now), Some([clean, 1e9]));
    assert_eq!(grows.grown(Channel::Gauge, &now), None);
}

#[test]
fn a_step_that_is_taken_back_stands_again_until_its_time_is_over() {
    follow(|scene, coach| {
        scene.say(Seat::LANCE, Call::Ready).run(0.0);
        scene.fed(20.0).run(1.0);
        assert_eq!(at(coach), "2 bring");
        scene.dumped().run(0.0);
        assert_eq!(at(coach), "1 shut");
        scene.fed(50.0).run(3.0);
        assert_eq!(at(coach), "3 settle");
        // From here on the dump may be opened.
        scene.dumped().run(1.0);
        assert_eq!(at(coach), "3 settle");
    });
}

#[test]
fn an_aside_hides_the_step_only_between_its_steps_and_only_while_it_lasts() {
    follow(|scene, coach| {
        scene.set(Channel::EmergencyStop, 1.0).run(0.1);
        assert_eq!(coach.borrow().aside(), None, "not before the second step");
        scene.say(Seat::LANCE, Call::Ready).run(0.1);
        assert_eq!(coach.borrow().aside(), Some("struck"));
        assert_eq!(at(coach), "1 reset");
        // Behind it the plan goes on.
        scene.fed(50.0).run(1.0);
        assert_eq!(at(coach), "2 reset");
        scene.set(Channel::EmergencyStop, 0.0).run(0.1);
        assert_eq!(coach.borrow().aside(), None);
        assert_eq!(at(coach), "2 bring");
    });
}

#[test]
fn time_without_progress_is_counted_from_the_last_step() {
    follow(|scene, coach| {
        scene.run(3.0);
        assert_eq!(coach.borrow().since(), Tick(0));
        scene.say(Seat::LANCE, Call::Ready).run(0.0);
        let since = coach.borrow().since();
        assert!((since.seconds() - 3.0).abs() < 0.1, "{since:?}");
    });
}

#[test]
fn each_condition_holds_of_what_it_names_and_of_nothing_else() {
    let known = Known {
        post: Seat::LANCE,
        chosen: Some(1),
    };
    let mut o = Observation::missing_all();
    let wears = Condition::Wears { item: Ppe::Gloves };
    let fitted = |nozzle| Condition::Fitted { nozzle };
    let near = Condition::At {
        place: [3.0, 4.0],
        within_m: 1.0,
    };
    for missing in [&wears, &fitted(0), &near, &dump_shut(), &dump_open()] {
        assert!(!missing.holds(&o, &known), "{missing:?}");
    }
    let mut set = |channel: Channel, mean| {
        let sample = crate::Sample {
            min: mean,
            mean,
            max: mean,
        };
        o.set(channel, sample);
    };
    set(Channel::LanceHandWears, i32::from(Ppe::Gloves.bit()));
    set(Channel::PumpHandWears, i32::from(Ppe::Visor.bit()));
    set(Channel::Nozzle, 2);
    set(Channel::LanceHandX, 300);
    set(Channel::LanceHandZ, 350);
    assert!(wears.holds(&o, &known));
    assert!(!Condition::Wears { item: Ppe::Visor }.holds(&o, &known));
    assert!(fitted(1).holds(&o, &known) && !fitted(2).holds(&o, &known));
    assert!(near.holds(&o, &known));
    let chosen = |nozzle| Condition::Chosen { nozzle };
    assert!(chosen(1).holds(&o, &known) && !chosen(0).holds(&o, &known));
    o.events = vec![
        Event::Moved {
            seat: Seat::PUMP,
            control: Control::Dump,
            to: 1,
        },
        Event::Finished {
            seat: Seat::LANCE,
            task: Task::GaugeBore,
        },
    ];
    let moved = |to| Condition::Moved {
        control: Control::Dump,
        to,
    };
    assert!(moved(1).holds(&o, &known) && !moved(0).holds(&o, &known));
    let finished = |task| Condition::Finished { task };
    assert!(finished(Task::GaugeBore).holds(&o, &known));
    assert!(!finished(Task::FitNozzle).holds(&o, &known));
    assert!(!Condition::HandedBack.holds(&o, &known));
    let all = Condition::All(vec![moved(1), moved(0)]);
    let any = Condition::Any(vec![moved(0), moved(1)]);
    assert!(!all.holds(&o, &known) && any.holds(&o, &known));
    assert!(Condition::Not(Box::new(all)).holds(&o, &known));
}

#[test]
fn names_of_keys_in_braces_are_filled_in_and_strangers_are_found() {
    let key = |name: &str| name.to_uppercase();
    assert_eq!(
        filled("hold {take} and {call}.", key),
        "hold TAKE and CALL."
    );
    assert_eq!(filled("no key", key), "no key");
    assert_eq!(filled("{open", key), "{open");
    assert_eq!(stranger("hold {take}, then {call}"), None);
    assert_eq!(stranger("hold {tak}"), Some(Some(String::from("tak"))));
    assert_eq!(stranger("hold {take"), Some(None));
}
