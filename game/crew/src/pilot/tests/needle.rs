//! Bringing the needle of the gauge to a pressure.

use super::*;

#[test]
fn the_needle_is_brought_in_steps_within_tolerance_and_never_past_it() {
    // Bar per detent, dead detents: soft and hard knobs.
    for (knob_bar, dead) in [(0.5, 60.0), (0.8, 30.0), (1.2, 0.0), (2.8, 10.0)] {
        let mut world = World::fed();
        world.knob_bar = knob_bar;
        world.dead_detents = dead;
        let steps = [60.0, 175.0, 350.0];
        let mut pilot = pilot(
            steps
                .into_iter()
                .flat_map(|bar| [bring(bar), Goal::Wait { s: 3.0 }])
                .collect(),
        );
        let mut highest_bar = 0.0_f64;
        let mut rested = Vec::new();
        while *pilot.outcome() == Outcome::Running && world.tick < Tick::at(200.0) {
            let goal = pilot.goal();
            world.step(&mut pilot);
            if goal.is_multiple_of(2) {
                highest_bar = highest_bar.max(world.pressure_bar);
                let most = steps[goal / 2] * 1.03 + knob_bar;
                assert!(highest_bar <= most, "{knob_bar}: {highest_bar} bar");
            }
            if pilot.goal() > goal && goal.is_multiple_of(2) {
                rested.push(world.pressure_bar);
            }
        }
        assert_eq!(*pilot.outcome(), Outcome::Done, "{knob_bar} {dead}");
        for (bar, rest) in steps.iter().zip(&rested) {
            assert!((rest - bar).abs() <= 0.03 * bar, "{knob_bar}: {rest} {bar}");
        }
        assert_eq!(rested.len(), steps.len());
    }
}

#[test]
fn a_known_knob_is_brought_up_in_seconds_with_few_turns_back() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![bring(60.0), bring(175.0), bring(350.0), bring(525.0)]);
    let mut began = Vec::new();
    let mut goal = usize::MAX;
    while *pilot.outcome() == Outcome::Running && world.tick < Tick::at(200.0) {
        if pilot.goal() != goal {
            goal = pilot.goal();
            began.push(world.tick);
        }
        world.step(&mut pilot);
    }
    assert_eq!(*pilot.outcome(), Outcome::Done);
    let last_s = world.tick.since(began[3]);
    assert!(last_s < 8.0, "{last_s}");
    let back = count(
        &world,
        |a| matches!(a, Act::Twist { detents } if *detents < 0),
    );
    assert_eq!(back, 0);
}

#[test]
fn the_needle_is_brought_down_too() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![bring(300.0), bring(150.0), set(Control::Regulator, 0)]);
    world.run(&mut pilot, 100.0);
    assert_eq!(*pilot.outcome(), Outcome::Done);
    assert_eq!(world.position(Control::Regulator), 0);
}

fn brought(world: &mut World, bar: f64) -> Pilot {
    let mut pilot = pilot(vec![bring(bar)]);
    world.run(&mut pilot, 90.0);
    pilot
}

#[test]
fn a_bypass_that_is_used_up_is_named_and_not_chased() {
    let mut world = World::fed();
    world.cap_bar = 400.0;
    let pilot = brought(&mut world, 600.0);
    assert_eq!(limit(&pilot), PressureLimit::BypassUsedUp);
    let StuckReason::PressureCannotBeReached {
        gauge_bar,
        wanted_bar,
        ..
    } = reason(&pilot)
    else {
        panic!("{pilot:?}");
    };
    assert!((gauge_bar - 400.0).abs() < 4.0, "{gauge_bar}");
    assert_eq!(wanted_bar, 600.0);
    // Where the rise ended the knob stood at 499; what was wound in past it
    // without effect is taken back.
    let knob = world.position(Control::Regulator);
    assert!(knob < 760, "{knob}");
    assert_eq!(world.holding, None);
}

#[test]
fn a_knob_at_its_end_is_named() {
    let mut world = World::fed();
    let pilot = brought(&mut world, 1200.0);
    assert_eq!(limit(&pilot), PressureLimit::KnobAtEnd);
}

#[test]
fn an_engine_that_gives_all_it_has_is_named() {
    let mut world = World::fed();
    world.cap_bar = 400.0;
    world.labour_at_cap = 1.0;
    world.hiss_at_cap = 0.3;
    let pilot = brought(&mut world, 600.0);
    assert_eq!(limit(&pilot), PressureLimit::EngineLabours);
}

#[test]
fn an_engine_that_stands_is_named() {
    let mut world = World::fed();
    world.rev_s = 0.0;
    let pilot = brought(&mut world, 300.0);
    assert_eq!(limit(&pilot), PressureLimit::EngineStands);
}

#[test]
fn with_the_dump_open_the_needle_is_deaf_and_the_knob_is_not_wound_far() {
    let mut world = World::fed();
    world.positions[5] = 1;
    let mut pilot = pilot(vec![bring(300.0)]);
    let mut furthest = 0;
    while *pilot.outcome() == Outcome::Running && world.tick < Tick::at(100.0) {
        world.step(&mut pilot);
        furthest = furthest.max(world.position(Control::Regulator));
    }
    assert_eq!(limit(&pilot), PressureLimit::NeedleDeaf);
    assert!(furthest <= 180, "{furthest}");
    assert_eq!(world.position(Control::Regulator), 0);
}

#[test]
fn a_gauge_out_of_sight_is_named() {
    let mut world = World::fed();
    world.gauge_visible = false;
    let pilot = brought(&mut world, 300.0);
    assert_eq!(limit(&pilot), PressureLimit::NeedleUnseen);
}

#[test]
fn patience_with_the_needle_runs_out() {
    let mut world = World::fed();
    let mut pilot = pilot(vec![Goal::Bring {
        bar: 500.0,
        within_pct: 3.0,
        within_s: 2.0,
    }]);
    world.run(&mut pilot, 30.0);
    assert_eq!(limit(&pilot), PressureLimit::Unsteady);
    assert_eq!(world.holding, None);
}
