use super::*;
use proptest::prelude::*;
use std::sync::LazyLock;

fn small() -> (Vec<Moment>, Vec<u8>) {
    static SMALL: LazyLock<(Vec<Moment>, Vec<u8>)> = LazyLock::new(|| {
        let moments = attempt(200, 7);
        let (bytes, _) = record(&moments, Some(&key()));
        (moments, bytes)
    });
    SMALL.clone()
}

#[test]
fn every_flipped_byte_is_told_with_its_frame_and_all_before_it_is_still_good() {
    let (moments, bytes) = small();
    let frames = frames(&bytes);
    let mut told = 0;
    for at in 0..bytes.len() {
        let mask = 1 << (at % 8);
        let mut flipped = bytes.clone();
        flipped[at] ^= mask;
        let place = frames.iter().position(|(_, range)| range.contains(&at));
        let recording = match Recording::read(flipped) {
            Ok(recording) => recording,
            Err(fault) => {
                let early = place.is_none_or(|frame| frame == 0) && at < frames[0].1.end;
                assert!(early, "byte {at}: {fault}");
                continue;
            }
        };
        shows(&recording, &moments);
        let Status::Damaged {
            at_frame, after, ..
        } = recording.status()
        else {
            panic!(
                "byte {at} flipped by {mask:#x} reads {:?}",
                recording.status()
            );
        };
        assert_eq!(
            at_frame as usize,
            place.unwrap_or(frames.len()),
            "byte {at}"
        );
        assert_eq!(after, recording.until());
        told += 1;
    }
    assert_eq!(told, bytes.len() - frames[0].1.end);
}

#[test]
fn every_cut_is_unfinished_and_the_more_is_left_the_more_is_held() {
    let (moments, bytes) = small();
    let mut held = Tick(0);
    for cut in 0..bytes.len() {
        match Recording::read(&bytes[..cut]) {
            Err(fault) => {
                assert_eq!(fault, ReadFault::NothingYet);
                assert!(cut < frames(&bytes)[0].1.end);
            }
            Ok(recording) => {
                let until = recording.until();
                assert_eq!(
                    recording.status(),
                    Status::Unfinished { until },
                    "cut at {cut}"
                );
                assert!(until >= held);
                shows(&recording, &moments);
                held = until;
            }
        }
    }
    assert_eq!(held, Tick(200));
}

#[test]
fn lost_swapped_doubled_and_slipped_in_frames_are_told() {
    let (moments, bytes) = small();
    let frames = frames(&bytes);
    let piece = |n: usize| &bytes[frames[n].1.clone()];
    let laid = |order: &[usize]| {
        let mut out = bytes[..frames[0].1.start].to_vec();
        order.iter().for_each(|n| out.extend_from_slice(piece(*n)));
        out.extend_from_slice(&bytes[frames.last().unwrap().1.end..]);
        out
    };
    let all: Vec<usize> = (0..frames.len()).collect();
    assert_eq!(laid(&all), bytes);
    let check = |order: &[usize], wrong: usize| {
        let recording = Recording::read(laid(order)).unwrap();
        match recording.status() {
            Status::Damaged { at_frame, .. } => assert_eq!(at_frame as usize, wrong, "{order:?}"),
            // Only the signatures can go missing without a gap in a chain.
            Status::SealBroken { body_holds, .. } => {
                assert!(!body_holds && wrong == all.len() - 1, "{order:?}");
            }
            status => panic!("{order:?} reads {status:?}"),
        }
        shows(&recording, &moments);
    };
    for n in 1..all.len() {
        let mut lost = all.clone();
        lost.remove(n);
        check(&lost, n);
        let mut doubled = all.clone();
        doubled.insert(n, n);
        check(&doubled, n + 1);
        if n + 1 < all.len() {
            let mut swapped = all.clone();
            swapped.swap(n, n + 1);
            check(&swapped, n);
        }
    }
    // Of another recording of the same level, at the same place. The first
    // chunk and its steps, frames 4 and 3, are left out: up to there both are the
    // same attempt, and either is a way to go on.
    let other = record(&attempt(200, 8), Some(&key())).0;
    let theirs = super::frames(&other);
    for n in 5..all.len() {
        let mut out = bytes[..frames[n].1.start].to_vec();
        out.extend_from_slice(&other[theirs[n].1.clone()]);
        out.extend_from_slice(&bytes[frames[n].1.end..]);
        let status = Recording::read(out).unwrap().status();
        let told = match status {
            Status::Damaged { at_frame, .. } => at_frame as usize == n,
            // Their signatures follow from our envelope, which is the same.
            Status::SealBroken { body_holds, .. } => n == all.len() - 1 && !body_holds,
            _ => false,
        };
        // What is equal in both is no damage.
        assert!(
            told || piece(n) == &other[theirs[n].1.clone()],
            "frame {n}: {status:?}"
        );
    }
}

#[test]
fn a_tail_of_zeros_is_an_attempt_cut_short_and_not_damage() {
    let (moments, bytes) = small();
    let frames = frames(&bytes);
    let mut cut = bytes[..frames[6].1.end].to_vec();
    cut.extend([0; 4096]);
    let recording = Recording::read(cut).unwrap();
    let until = recording.until();
    assert_eq!(recording.status(), Status::Unfinished { until });
    assert!(until > Tick(0));
    shows(&recording, &moments);

    let mut padded = bytes.clone();
    padded.push(0);
    assert!(matches!(
        Recording::read(padded).unwrap().status(),
        Status::Damaged {
            why: Damage::Trailer,
            ..
        }
    ));
}

#[test]
fn other_files_and_later_formats_are_called_what_they_are() {
    let fault = |bytes: &[u8]| Recording::read(bytes).unwrap_err();
    assert_eq!(fault(b""), ReadFault::NothingYet);
    assert_eq!(fault(b"RIFF....WAVE"), ReadFault::NotARecording);
    let (_, mut bytes) = small();
    bytes[8..10].copy_from_slice(&(FORMAT + 1).to_le_bytes());
    let told = fault(&bytes);
    assert_eq!(told, ReadFault::UnknownFormat { found: 2, known: 1 });
    assert_eq!(
        told.to_string(),
        "this recording has format 2; this release reads format 1"
    );
    assert_eq!(told.arguments()[0], ("found", "2".to_owned()));
}

#[test]
fn nonsense_that_is_chained_well_is_told_as_content() {
    let (_, bytes) = small();
    let with = |kind: Kind, payload: &[u8]| {
        let forged = forge(&bytes, |k, p| {
            if k == kind {
                p.clear();
                p.extend_from_slice(payload);
            }
        });
        Recording::read(forged).map(|r| r.status())
    };
    for kind in [
        Kind::Chunk,
        Kind::End,
        Kind::Opened,
        Kind::Closed,
        Kind::Signatures,
    ] {
        assert!(
            matches!(
                with(kind, &[0xff; 40]),
                Ok(Status::Damaged {
                    why: Damage::Content,
                    ..
                })
            ),
            "{kind:?}"
        );
    }
    assert_eq!(
        with(Kind::Header, &[]),
        Err(ReadFault::Header {
            why: Damage::Content
        })
    );
    assert!(matches!(
        with(Kind::Keyframe, &[9; 40]),
        Ok(Status::Damaged {
            why: Damage::Place,
            ..
        })
    ));
}

#[test]
fn a_chunk_of_other_ticks_and_an_end_at_another_tick_are_told() {
    let (_, bytes) = small();
    let late = forge(&bytes, |kind, payload| {
        if kind == Kind::Chunk {
            let mut chunk = frame::unpack(payload, 1 << 20).unwrap();
            chunk[0] ^= 1;
            payload.clear();
            frame::pack(payload, &chunk);
        }
    });
    let recording = Recording::read(late).unwrap();
    let (at_frame, part, after, why) = (4, Part::Body, Tick(0), Damage::Content);
    let damaged = Status::Damaged {
        at_frame,
        part,
        after,
        why,
    };
    assert_eq!(recording.status(), damaged);

    for last in [0, 198, 200, u32::MAX] {
        let last = Tick(last);
        let other = forge(&bytes, |kind, payload| {
            if kind == Kind::End {
                let end: End = postcard::from_bytes(payload).unwrap();
                *payload = postcard::to_allocvec(&End { last, ..end }).unwrap();
            }
        });
        let recording = Recording::read(other).unwrap();
        assert!(matches!(
            recording.status(),
            Status::Damaged {
                why: Damage::Place,
                ..
            }
        ));
        assert_eq!(recording.body_hash(), None);
    }
}

#[test]
fn a_chunk_that_unpacks_to_more_than_a_chunk_is_refused() {
    let (_, bytes) = small();
    let bomb = zstd::bulk::compress(&vec![0; 64 << 20], 19).unwrap();
    for length in [64 << 20, 1 << 20, 100_u32] {
        let forged = forge(&bytes, |kind, payload| {
            if kind == Kind::Chunk {
                *payload = vec![1];
                payload.extend(length.to_le_bytes());
                payload.extend_from_slice(&bomb);
            }
        });
        assert!(matches!(
            Recording::read(forged).unwrap().status(),
            Status::Damaged {
                why: Damage::Content,
                ..
            }
        ));
    }
}

/// The status of a recording in which every frame of coverage was changed.
fn with_coverage(change: impl Fn(&mut Vec<u8>)) -> Status {
    let forged = forge(&small().1, |kind, payload| {
        if kind == Kind::Coverage {
            change(payload);
        }
    });
    Recording::read(forged).unwrap().status()
}

#[test]
fn coverage_that_makes_no_sense_or_stands_elsewhere_is_told() {
    let told = |status| match status {
        Status::Damaged {
            at_frame: 3,
            part: Part::Body,
            after: Tick(0),
            why,
        } => why,
        status => panic!("{status:?}"),
    };
    assert_eq!(
        with_coverage(|_| ()),
        Recording::read(small().1).unwrap().status(),
        "the forger can leave it be"
    );
    let nonsense = |p: &mut Vec<u8>| p[4..].fill(0xff);
    assert_eq!(told(with_coverage(nonsense)), Damage::Content);
    let empty = |p: &mut Vec<u8>| p.truncate(4);
    assert_eq!(told(with_coverage(empty)), Damage::Content);
    let short = |p: &mut Vec<u8>| p.truncate(3);
    assert_eq!(told(with_coverage(short)), Damage::Place);
    let late = |p: &mut Vec<u8>| p[0] ^= 1;
    assert_eq!(told(with_coverage(late)), Damage::Place);
    let version = |p: &mut Vec<u8>| p[4] = 2;
    assert_eq!(told(with_coverage(version)), Damage::Content);
    let bomb = zstd::bulk::compress(&vec![0; 64 << 20], 19).unwrap();
    let bomb = |p: &mut Vec<u8>| {
        p.truncate(5);
        p.push(1);
        p.extend((64_u32 << 20).to_le_bytes());
        p.extend_from_slice(&bomb);
    };
    assert_eq!(told(with_coverage(bomb)), Damage::Content);
}

#[test]
fn coverage_without_its_chunk_or_past_its_ticks_is_told() {
    let (moments, bytes) = small();
    let kinds: Vec<Kind> = frames(&bytes).iter().map(|f| f.0).collect();
    assert_eq!(kinds[3..5], [Kind::Coverage, Kind::Chunk]);
    // The steps of the first chunk twice, and the steps of the last of ticks
    // that it does not have: of 20, where there are chunks of 60.
    let last = kinds.iter().rposition(|k| *k == Kind::Coverage).unwrap();
    let mut chain = Chain::start(Part::Body);
    let mut doubled = bytes[..HEAD].to_vec();
    for (at, (kind, range)) in frames(&bytes).into_iter().enumerate() {
        let payload = &bytes[range.start + 5..range.end - 8];
        if kind.part() == Part::Body {
            doubled.extend(frame::write(kind, payload, &mut chain));
            if at == 3 {
                doubled.extend(frame::write(kind, payload, &mut chain));
            }
        } else {
            doubled.extend_from_slice(&bytes[range]);
        }
    }
    assert!(matches!(
        Recording::read(doubled).unwrap().status(),
        Status::Damaged {
            at_frame: 4,
            why: Damage::Place,
            ..
        }
    ));

    let mut at = 0;
    let late = forge(&bytes, |_, payload| {
        if at == last {
            let steps = [(Tick(200), moments[0].steps[0])];
            *payload = coverage::payload(Tick(180), &steps).0;
        }
        at += 1;
    });
    let recording = Recording::read(late).unwrap();
    let Status::Damaged { at_frame, why, .. } = recording.status() else {
        panic!("{:?}", recording.status());
    };
    assert_eq!((at_frame as usize, why), (last + 1, Damage::Content));
    shows(&recording, &moments);
}

#[test]
fn steps_that_together_are_more_than_memory_should_hold_are_refused() {
    let channels = Vec::new();
    let header = Header {
        channels,
        ..header()
    };
    let mut bytes = Vec::new();
    drop(Journal::begin(&mut bytes, header, opened()).unwrap());
    let first = super::frames(&bytes)[0].1.clone();
    let mut chain = Chain::start(Part::Body).after(&bytes[first.start..first.end - 8]);
    for chunk in 0..40 {
        let start = Tick(chunk * 60);
        let step = |cell| (start, SurfaceStep { cell, steps: 1 });
        let steps: Vec<_> = (0..300_000).map(step).collect();
        let covered = coverage::payload(start, &steps).0;
        bytes.extend(frame::write(Kind::Coverage, &covered, &mut chain));
        let mut raw = Vec::new();
        columns::put(&mut raw, u64::from(start.0));
        raw.extend([60, 0, 0, 0]);
        let mut payload = Vec::new();
        frame::pack(&mut payload, &raw);
        bytes.extend(frame::write(Kind::Chunk, &payload, &mut chain));
    }
    assert!(bytes.len() < 100_000);
    let recording = Recording::read(bytes).unwrap();
    let Status::Damaged { at_frame, why, .. } = recording.status() else {
        panic!("{:?}", recording.status());
    };
    let fit = (8 << 20) / 300_000;
    assert_eq!((at_frame, why), (2 + 2 * fit, Damage::Bound));
    assert_eq!(recording.steps().len() as u32, fit * 300_000);
}

/// Small as a file, and each of its chunks as large as a chunk may be.
#[test]
fn chunks_that_together_unpack_to_more_than_memory_should_hold_are_refused() {
    let channels = Vec::new();
    let header = Header {
        channels,
        ..header()
    };
    let mut bytes = Vec::new();
    drop(Journal::begin(&mut bytes, header, opened()).unwrap());
    let mut chain = Chain::start(Part::Body);
    let first = super::frames(&bytes)[0].1.clone();
    chain = chain.after(&bytes[first.start..first.end - 8]);
    let digests = 116_000;
    for chunk in 0..80 {
        let mut raw = Vec::new();
        columns::put(&mut raw, chunk * 60);
        columns::put(&mut raw, 60);
        columns::put(&mut raw, digests);
        raw.resize(raw.len() + 9 * digests as usize, 0);
        raw.extend([0, 0]);
        let mut payload = Vec::new();
        frame::pack(&mut payload, &raw);
        bytes.extend(frame::write(Kind::Chunk, &payload, &mut chain));
    }
    assert!(bytes.len() < 100_000);
    let recording = Recording::read(bytes).unwrap();
    let Status::Damaged { at_frame, why, .. } = recording.status() else {
        panic!("{:?}", recording.status());
    };
    assert_eq!((at_frame, why), (2 + 64, Damage::Bound));
}

#[test]
fn headers_that_no_channel_can_be_read_with_are_refused() {
    type Spoil = fn(&mut Header);
    let spoils: [(&str, Spoil); 7] = [
        ("channels", |h| h.channels[3].every = 0),
        ("channels", |h| h.channels[3].quantum = f64::NAN),
        ("channels", |h| h.channels[3].quantum = 0.0),
        ("channels", |h| h.channels[3].id = h.channels[4].id.clone()),
        ("level", |h| h.level.clear()),
        ("release", |h| h.release = "x".repeat(1000)),
        ("ticks_per_second", |h| h.ticks_per_second = 0),
    ];
    let (_, bytes) = small();
    for (field, spoil) in spoils {
        let mut spoilt = header();
        spoil(&mut spoilt);
        let mut sink = Vec::new();
        let fault = Journal::begin(&mut sink, spoilt.clone(), opened()).unwrap_err();
        assert_eq!(fault, JournalFault::Field { field });
        assert!(sink.is_empty());
        let forged = forge(&bytes, |kind, payload| {
            if kind == Kind::Header {
                *payload = postcard::to_allocvec(&spoilt).unwrap();
            }
        });
        let why = Damage::Content;
        assert_eq!(
            Recording::read(forged).unwrap_err(),
            ReadFault::Header { why }
        );
    }
}

/// Frames as a hostile writer would make them: any kind, any payload, or an
/// honest payload with some bytes changed, and all chains right.
fn hostile() -> impl Strategy<Value = Vec<u8>> {
    let change = (0_usize..20, 0_usize..4096, any::<u8>(), any::<bool>());
    prop::collection::vec(change, 1..6).prop_map(|changes| {
        let (_, bytes) = small();
        let mut frame = 0;
        forge(&bytes, |kind, payload| {
            for (at_frame, at, byte, inside) in &changes {
                if *at_frame != frame || payload.is_empty() {
                    continue;
                }
                let packed_from = match kind {
                    Kind::Chunk => 0,
                    Kind::Keyframe => 4,
                    Kind::Coverage => 5,
                    _ => usize::MAX,
                };
                // Into the bytes beneath the packing, as often as not.
                if *inside && [0, 5].contains(&packed_from) {
                    let packed = payload.split_off(packed_from.min(payload.len()));
                    let mut raw = frame::unpack(&packed, 1 << 20).unwrap_or_default();
                    if let Some(length) = raw.len().checked_sub(1) {
                        raw[at % (length + 1)] = *byte;
                    }
                    frame::pack(payload, &raw);
                } else {
                    let length = payload.len();
                    payload[at % length] = *byte;
                }
            }
            frame += 1;
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_bytes_are_read_without_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..600)) {
        let mut behind_a_head = small().1[..HEAD].to_vec();
        behind_a_head.extend_from_slice(&bytes);
        prop_assert!(Recording::read(behind_a_head).is_err());
        prop_assert!(Recording::read(bytes).is_err());
    }

    #[test]
    fn a_forged_recording_is_read_without_a_panic_and_never_as_signed(bytes in hostile()) {
        let Ok(recording) = Recording::read(bytes) else { return Ok(()) };
        if recording.body_hash() != Recording::read(small().1).unwrap().body_hash() {
            let signed = matches!(recording.status(), Status::Sealed { signed: Some(_) });
            prop_assert!(!signed);
            prop_assert_eq!(recording.body_signed_by(), None);
        }
        let mut ticks = 0;
        recording.play(|seen, _| ticks = seen.tick.0 + 1);
        prop_assert_eq!(ticks, recording.until().0);
        for keyframe in recording.keyframes() {
            keyframe.state().ok();
        }
        prop_assert!(recording.steps().is_sorted_by_key(|s| s.0));
        prop_assert!(recording.steps().last().is_none_or(|s| s.0 < recording.until()));
    }
}
