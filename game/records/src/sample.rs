//! A made-up sheet with one of everything, for tests.

use crate::gather::cleaning;
use crate::series::{POINTS_MOST, Point, Quantity, Series};
use crate::sheet::{
    BookLine, Cleaning, LevelCard, LimitLine, Moment, Pace, Phase, Restarted, Sheet, Sitting, Span,
    Stage, State, Stop, Supply, Table, Tag, Trouble, Use, Water,
};
use crew::{Call, Control, Fault, Part, Ppe, Seat, Task, Tick};
use training::criteria::CriterionResult;
use training::level::Surface;
use training::mark::Deduction;
use training::recording::{OpenKey, Status};
use training::region::Limits;
use training::rules::RULES;
use training::rules::cue::{Cause, Cue};
use training::{
    Ended, Event, Finding, Honesty, HurtBy, HurtGrade, Mark, Observation, Refusal, Severity,
    SurfaceStep,
};

const UNTIL_S: f64 = 900.0;

/// One of everything.
pub(crate) fn sheet() -> Sheet {
    let signer = OpenKey::from_secret([7; 32]).public().fingerprint();
    Sheet {
        level: LevelCard {
            id: "made_up".to_owned(),
            version: 3,
            title: "A made-up level".to_owned(),
            objectives: vec![
                "Start unloaded and come up in steps.".to_owned(),
                "Dump at once when called.".to_owned(),
            ],
            region: "A made-up region".to_owned(),
        },
        seed: 42,
        until_s: UNTIL_S,
        mark: mark(),
        book: book(),
        limits: limits(),
        uses: vec![
            Use {
                supply: Supply::Water,
                used_l: Some(412.5),
                needed_l: 390.0,
            },
            Use {
                supply: Supply::Fuel,
                used_l: None,
                needed_l: 2.5,
            },
        ],
        water: Some(Water {
            drawn_l: 530.0,
            run_off_l: 410.0,
            at_unit_l: 119.5,
            returned_l: 640.0,
        }),
        noise_dose_pct: Some(3.25),
        series: Quantity::ALL.iter().map(|q| series(*q)).collect(),
        spans: spans(),
        moments: moments(),
        post: Seat::PUMP,
        troubles: vec![
            Trouble {
                fault: Fault::StrainerFouled,
                at_s: 203.0,
                felt: true,
                stopped_after_s: Some(18.6),
            },
            Trouble {
                fault: Fault::GunStuck,
                at_s: 231.0,
                felt: true,
                stopped_after_s: None,
            },
            Trouble {
                fault: Fault::AirLost,
                at_s: 240.0,
                felt: false,
                stopped_after_s: None,
            },
        ],
        tags: vec![
            Tag {
                part: Part::Regulator,
                at_s: 230.0,
                right: false,
            },
            Tag {
                part: Part::Supply,
                at_s: 236.0,
                right: true,
            },
        ],
        stops: vec![
            Stop {
                cue: Cue {
                    tick: Tick::at(640.0),
                    cause: Cause::Seen,
                    acted_s: Some(1.32),
                    allowed_s: 2.5,
                },
                open_s: Some(1.61),
            },
            Stop {
                cue: Cue {
                    tick: Tick::at(699.0),
                    cause: Cause::Called(Call::AllStop),
                    acted_s: None,
                    allowed_s: 2.5,
                },
                open_s: None,
            },
        ],
        tables: vec![
            Table {
                from_s: 50.0,
                until_s: 420.0,
                stand_off_m: [0.05, 0.3],
            },
            Table {
                from_s: 450.0,
                until_s: UNTIL_S,
                stand_off_m: [0.05, 0.08],
            },
        ],
        phases: [
            (Stage::Prepare, 0.0, 90.0),
            (Stage::Pressure, 90.0, 400.0),
            (Stage::Clean, 400.0, 690.0),
            (Stage::Finish, 690.0, UNTIL_S),
        ]
        .map(|(stage, from_s, until_s)| Phase {
            stage,
            from_s,
            until_s,
        })
        .to_vec(),
        cleaning: Some(cleaning()),
        status: Status::Sealed {
            signed: Some(signer),
        },
        body_hash: Some("0123456789abcdef".repeat(4)),
        release: "0.1.0".to_owned(),
        restarted: Some(Restarted {
            body_hash: "fedcba9876543210".repeat(4),
            at_s: 30.0,
        }),
        sitting: Some(Sitting {
            trainee: "T-017".to_owned(),
            display_name: Some("A. Trainee".to_owned()),
            started_unix_s: 1_900_000_000,
            device: "a made-up machine with a pad".to_owned(),
            mode: "assessment".to_owned(),
        }),
        pace: Some(Pace {
            wall_s: 903.0,
            least_real_time_factor: 0.98,
            frames: Some((54_180, 18.4)),
        }),
    }
}

/// Bars of each state; the trigger goes with the flow.
fn spans() -> Vec<Span> {
    let mut spans = Vec::new();
    let mut add = |state, from_s, until_s| {
        spans.push(Span {
            state,
            from_s,
            until_s,
        });
    };
    for state in State::ALL {
        match state {
            State::EngineRuns => add(state, 60.0, 870.0),
            State::LineFed => add(state, 90.0, 700.0),
            State::NozzleOn => add(state, 50.0, UNTIL_S),
            State::Squeezed | State::Braced => {
                for turn in 10..17 {
                    let from_s = 40.0 * f64::from(turn) + 1.0;
                    add(state, from_s, from_s + 19.0);
                }
            }
            State::BarrierClosed => add(state, 20.0, 880.0),
            State::Intruder => add(state, 640.0, 662.0),
        }
    }
    spans
}

/// A wall of two coats, swept in rows from the bottom up: too fast at first,
/// and not at all in the upper right corner.
fn cleaning() -> Cleaning {
    let surface = surface();
    let [columns, rows] = surface.cells();
    let mut watch = cleaning::Watch::new(&surface, Tick::at(UNTIL_S));
    let mut o = Observation::missing_all();
    let mut done = vec![0_u8; (columns * rows) as usize];
    for tick in (0..Tick::at(UNTIL_S).0).map(Tick) {
        o.tick = tick;
        o.steps.clear();
        let at_s = tick.seconds() - 400.0;
        if (0.0..290.0).contains(&at_s) && tick.0.is_multiple_of(12) {
            let column = (tick.0 / 12 * 7) % columns;
            let row = (f64::from(rows) * at_s / 290.0) as u32;
            let missed = column > columns * 3 / 4 && row > rows * 3 / 4;
            let turns = if missed { 0 } else { 4 };
            for side in 0..14 {
                for up in 0..7_u32 {
                    let (x, y) = (column + side, row + up);
                    let thin = (x * 7 + y * 13) % 11 < 2 && row < rows / 3;
                    if x < columns && y < rows && !(thin && up > 1) {
                        let cell = y * columns + x;
                        let steps = &mut done[cell as usize];
                        *steps = (*steps + 1).min(turns);
                        o.steps.push(SurfaceStep {
                            cell,
                            steps: *steps,
                        });
                    }
                }
            }
        }
        watch.see(&o);
    }
    watch.finish(Tick::at(UNTIL_S))
}

/// A wall of two coats.
pub(crate) fn surface() -> Surface {
    let title = "(en: \"a coat\", others: [])";
    let coat = |over: &str| {
        format!(
            "(deposit: \"a\", title: {title}, over: {over}, at_most_bar: 500,
              removal: (threshold_pa: 1e7, dose_s: 1, exponent: 1))"
        )
    };
    let text = format!(
        "(corner: (0, 0.3, 0), right: (1, 0), size: (1.5, 1.2), cell_m: 0.01, tile_m: 0.1,
          grade_pct: 95, stand_off_m: 0.06, coats: [{}, {}])",
        coat("(0.55, 0.4, 0.95, 0.8)"),
        coat("(0, 0, 1.5, 1.2)")
    );
    ron::from_str(&text).expect("a surface")
}

/// What they cost; the second was put right and reported.
fn deductions(findings: &[Finding]) -> Vec<Deduction> {
    let points = |f: &Finding| match f.severity {
        Severity::Critical => 100.0,
        Severity::Major => 15.0,
        Severity::Minor => 5.0,
    };
    let one = |(finding, f): (usize, &Finding)| Deduction {
        finding,
        points: points(f) * if finding == 1 { 0.5 } else { 1.0 },
        halved: finding == 1,
    };
    findings.iter().enumerate().map(one).collect()
}

/// Every detail of every rule, some at one moment.
fn mark() -> Mark {
    let units = ["bar", "%", "open", "s", "proofs of zero", "position"];
    let mut findings = Vec::new();
    for rule in RULES {
        for detail in rule.details() {
            let count = findings.len();
            findings.push(Finding {
                rule: rule.id().to_owned(),
                detail: (*detail).to_owned(),
                tick: Tick::at((60.0 + 45.0 * count as f64).min(UNTIL_S - 1.0)),
                severity: rule.severity(),
                value: 20.04 + count as f64,
                limit: 20.0,
                unit: units[count % units.len()].to_owned(),
                mended: (count == 1).then(|| Tick::at(112.5)),
            });
        }
    }
    let criterion = |kind: &str, value, wanted: f64, unit: &str| CriterionResult {
        id: kind.to_owned(),
        kind: kind.to_owned(),
        weight: 12.5,
        share: value / wanted,
        value,
        wanted,
        unit: unit.to_owned(),
        late_s: None,
    };
    Mark {
        level: "made_up".to_owned(),
        safety: Some(0.0),
        coverage: None,
        procedure: Some(71.5),
        economy: Some(66.0),
        deductions: deductions(&findings),
        findings,
        criteria: vec![
            criterion("flushed", 7.4, 10.0, "s"),
            criterion("bore_gauged", 1.0, 1.0, "bores gauged"),
            criterion("stops_tested", 2.0, 3.0, "stops tested"),
            criterion("left_safe", 0.0, 1.0, "left safe"),
        ],
        not_assessable: vec!["raise_in_steps".to_owned()],
        duration_s: UNTIL_S,
        ended: Ended::HandedBack,
    }
}

fn book() -> Vec<BookLine> {
    RULES
        .iter()
        .map(|rule| BookLine {
            id: rule.id().to_owned(),
            version: rule.version(),
            severity: rule.severity(),
            source: rule.source().to_owned(),
            honesty: rule.honesty(),
        })
        .collect()
}

fn limits() -> Vec<LimitLine> {
    let of_job = [("job_bar", 0.0, 1400.0), ("job_most_bar", 0.0, 1442.0)];
    (of_job.iter().chain(Limits::RANGES))
        .zip(Honesty::ALL.into_iter().cycle())
        .map(|((id, _, most), honesty)| LimitLine {
            id: (*id).to_owned(),
            value: 0.5 * most,
            source: "a made-up source".to_owned(),
            honesty,
        })
        .collect()
}

/// Steps up, work with the trigger, and a spike of one sample.
fn series(quantity: Quantity) -> Series {
    let points = (0..18_000).map(|i| {
        let time_s = f64::from(i) * 0.05;
        let fed = (90.0..700.0).contains(&time_s);
        let bar = if fed {
            50.0 + 150.0 * ((time_s - 90.0) / 60.0).floor().min(4.0)
        } else {
            0.0
        };
        let open = fed && time_s > 400.0 && (time_s / 20.0).floor() % 2.0 == 0.0;
        let (value, spread) = match quantity {
            Quantity::PumpPressure => (bar, 0.03 * bar),
            Quantity::SetPressure => (bar.max(20.0), 0.0),
            Quantity::Gauge => (0.985 * bar, 0.0),
            Quantity::ToolFlow => (if open { 33.0 } else { 0.0 }, 0.4),
            Quantity::BypassFlow => (if open || !fed { 9.0 } else { 42.0 }, 0.0),
            Quantity::Thrust => (if open { 193.0 } else { 0.0 }, 3.0),
            Quantity::StandOff => (60.0 + 25.0 * wave(time_s), 0.0),
            Quantity::TravelSpeed => (90.0 + 60.0 * wave(1.7 * time_s), 0.0),
        };
        if quantity.is_of_surface() && !open {
            return Point::GAP;
        }
        let spike = if i == 9_001 && quantity == Quantity::PumpPressure {
            120.0
        } else {
            0.0
        };
        Point {
            time_s,
            min: (value - spread).max(0.0),
            mean: value,
            max: value + spread + spike,
        }
    });
    Series {
        quantity,
        points: points.collect(),
    }
    .thin(POINTS_MOST)
}

/// A wave of a made-up shape, from -1 to 1.
fn wave(time_s: f64) -> f64 {
    let share = (time_s / 11.0).fract();
    1.0 - 4.0 * (share - 0.5).abs()
}

/// Each kind of event, each call, each refusal, each position of each control.
fn moments() -> Vec<Moment> {
    let (pump, lance) = (Seat::PUMP, Seat::LANCE);
    let mut events = vec![Event::Cranked, Event::EngineRan];
    for task in Task::ALL {
        events.push(Event::Began { seat: lance, task });
        events.push(Event::Finished { seat: lance, task });
        events.push(Event::BrokeOff { seat: pump, task });
    }
    for call in Call::ALL {
        events.push(Event::Said { seat: lance, call });
        events.push(Event::Said { seat: pump, call });
    }
    for control in Control::ALL {
        for to in 0..=control.top().min(2) {
            events.push(Event::Moved {
                seat: pump,
                control,
                to,
            });
        }
    }
    for why in [
        Refusal::OutOfReach,
        Refusal::HandsBusy,
        Refusal::NothingHeld,
        Refusal::WrongWay,
        Refusal::EndOfTravel,
        Refusal::Fallen,
        Refusal::NoTool,
        Refusal::NotThere,
        Refusal::Speaking,
        Refusal::Over,
        Refusal::CatchOn,
        Refusal::ToolNotHeld,
        Refusal::ToolInHands,
    ] {
        events.push(Event::Refused { seat: pump, why });
    }
    for item in Ppe::ALL {
        for on in [true, false] {
            events.push(Event::Wore {
                seat: lance,
                item,
                on,
            });
        }
    }
    for seat in Seat::ALL {
        events.push(Event::Stepped { seat });
    }
    for pump_end in [true, false] {
        events.push(Event::Parted { pump_end });
        events.push(Event::RestraintHeld { pump_end });
        events.push(Event::RestraintBroke { pump_end });
    }
    for by in HurtBy::ALL {
        for grade in HurtGrade::ALL {
            events.push(Event::Hurt {
                seat: lance,
                by,
                grade,
            });
        }
    }
    events.extend([
        Event::LaidDown { seat: lance },
        Event::TookUp { seat: lance },
        Event::Dropped { seat: lance },
        Event::Chose {
            seat: lance,
            nozzle: 1,
        },
        Event::Struck { seat: lance },
        Event::ReliefLifted,
        Event::DiscBurst,
        Event::Stepped { seat: lance },
        Event::Slipped { seat: Seat(7) },
        Event::Fell { seat: lance },
        Event::Tripped { seat: lance },
        Event::LostHold { seat: lance },
        Event::Kinked,
        Event::Failed {
            fault: Fault::StrainerFouled,
            amount: 700,
        },
        Event::TaggedOut {
            seat: Seat::PUMP,
            part: Part::Supply,
        },
        Event::Bookmark,
        Event::EngineStood,
        Event::HandedBack,
    ]);
    let each_s = UNTIL_S / events.len() as f64;
    events
        .into_iter()
        .enumerate()
        .map(|(i, event)| Moment {
            tick: Tick::at(each_s * i as f64),
            event,
        })
        .collect()
}
