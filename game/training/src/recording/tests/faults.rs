use super::*;

fn journal(sink: &mut Vec<u8>) -> Journal<&mut Vec<u8>> {
    Journal::begin(sink, header(), opened()).unwrap()
}

#[test]
fn ticks_inputs_and_keyframes_out_of_turn_take_nothing_in() {
    let moments = attempt(200, 20);
    let mut sink = Vec::new();
    let mut journal = journal(&mut sink);
    write(&mut journal, &moments[..100], 1000).unwrap();
    let m = &moments[100];
    let order = |came| {
        Err(JournalFault::Order {
            due: Tick(100),
            came: Tick(came),
        })
    };
    for tick in [0, 99, 101] {
        assert_eq!(
            journal.tick(Tick(tick), &[], &m.samples, &[], &m.steps, None),
            order(tick)
        );
        assert_eq!(journal.keyframe(Tick(tick), b"state"), order(tick));
    }
    let mut late = moments[100].inputs.clone();
    late[0].tick = Tick(98);
    assert_eq!(
        journal.tick(m.tick, &late, &m.samples, &[], &m.steps, None),
        order(98)
    );

    write(&mut journal, &moments[100..], 1000).unwrap();
    let wrong = End {
        last: Tick(150),
        ..end(&moments)
    };
    let sealed = journal.seal(wrong, closed(), None);
    assert_eq!(
        sealed,
        Err(JournalFault::Order {
            due: Tick(199),
            came: Tick(150)
        })
    );
    let recording = Recording::read(sink).unwrap();
    assert_eq!(recording.status(), Status::Unfinished { until: Tick(180) });
    shows(&recording, &moments);
}

#[test]
fn a_channel_that_moves_between_its_samples_is_refused_and_not_lost() {
    let moments = attempt(200, 21);
    let mut sink = Vec::new();
    let mut journal = journal(&mut sink);
    write(&mut journal, &moments[..61], 1000).unwrap();
    let m = &moments[61];
    let tick = m.tick;
    let off_beat = |channel: Channel| {
        let channel = channel.id().to_owned();
        Err(JournalFault::OffBeat { channel, tick })
    };
    let mut moved = m.samples.clone();
    moved[Channel::Thrust.index()].max += 1;
    assert_eq!(
        journal.tick(tick, &[], &moved, &[], &[], None),
        off_beat(Channel::Thrust)
    );
    let mut spread = m.samples.clone();
    spread[Channel::Trigger.index()].max += 1;
    assert_eq!(
        journal.tick(tick, &[], &spread, &[], &[], None),
        off_beat(Channel::Trigger)
    );
    assert_eq!(
        journal.tick(tick, &[], &m.samples[1..], &[], &[], None),
        Err(JournalFault::Samples {
            due: m.samples.len(),
            came: m.samples.len() - 1
        })
    );
    write(&mut journal, &moments[61..], 1000).unwrap();
    journal.seal(end(&moments), closed(), None).unwrap();
    shows(&Recording::read(sink).unwrap(), &moments);
}

#[test]
fn an_attempt_of_no_ticks_is_not_sealed() {
    let mut sink = Vec::new();
    let journal = journal(&mut sink);
    let end = End {
        last: Tick(0),
        why: crate::Ended::Stopped,
        digest: 0,
    };
    assert_eq!(
        journal.seal(end, closed(), None),
        Err(JournalFault::Nothing)
    );
    let recording = Recording::read(sink).unwrap();
    assert_eq!(recording.status(), Status::Unfinished { until: Tick(0) });
}

#[test]
fn more_than_a_recording_holds_is_told_when_it_is_written() {
    let mut sink = Vec::new();
    let mut journal = journal(&mut sink);
    let tick = Tick(0);
    let what = "keyframe";
    let huge = vec![0; (64 << 20) + 1];
    assert_eq!(
        journal.keyframe(tick, &huge),
        Err(JournalFault::TooMuch { what, tick })
    );
    let samples = vec![Sample::default(); table().len()];
    let input = Input {
        tick,
        seat: Seat::PUMP,
        source: Source::Trainee,
        act: Act::Aim {
            yaw: -32768,
            pitch: -32768,
        },
    };
    journal
        .tick(tick, &vec![input; 200_000], &samples, &[], &[], None)
        .unwrap();
    let mut fault = None;
    for tick in (1..60).map(Tick) {
        fault = journal.tick(tick, &[], &samples, &[], &[], None).err();
    }
    let what = "chunk";
    assert_eq!(fault, Some(JournalFault::TooMuch { what, tick }));
    let wordy = Opened {
        device: "x".repeat(5000),
        ..opened()
    };
    let field = "device";
    let mut other = Vec::new();
    let refused = Journal::begin(&mut other, header(), wordy).unwrap_err();
    assert_eq!(refused, JournalFault::Field { field });
}

#[test]
fn more_steps_than_a_recording_holds_are_told_when_they_are_written() {
    let samples = vec![Sample::default(); table().len()];
    let step = |cell| SurfaceStep { cell, steps: 1 };
    let what = "coverage";
    // Cells far apart take the most bytes.
    let apart: Vec<_> = (0..300_000).map(|n| step((n % 2) * u32::MAX)).collect();
    let near: Vec<_> = (0..300_000).map(step).collect();
    for (steps, most) in [(apart, 1), (near, 28)] {
        let mut sink = Vec::new();
        let mut journal = journal(&mut sink);
        let mut fault = None;
        for tick in (0..60 * 40).map(Tick) {
            let steps = if tick.0 % 60 == 0 { &steps[..] } else { &[] };
            fault = journal.tick(tick, &[], &samples, &[], steps, None).err();
            if fault.is_some() {
                break;
            }
        }
        let tick = Tick(60 * (most - 1));
        assert_eq!(fault, Some(JournalFault::TooMuch { what, tick }));
        let recording = Recording::read(sink).unwrap();
        let until = recording.until();
        assert_eq!(recording.status(), Status::Unfinished { until });
        assert_eq!(until, tick);
    }
}
