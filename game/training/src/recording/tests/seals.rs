use super::*;
use ed25519_dalek::{Signature, VerifyingKey};
use sha2::{Digest, Sha256};

fn signed() -> Vec<u8> {
    record(&attempt(300, 30), Some(&key())).0
}

fn read(bytes: Vec<u8>) -> Recording {
    Recording::read(bytes).unwrap()
}

#[test]
fn an_unsigned_recording_is_sealed_and_says_that_nobody_signed() {
    let (bytes, sealed) = record(&attempt(300, 30), None);
    let recording = read(bytes);
    assert_eq!(recording.status(), Status::Sealed { signed: None });
    assert_eq!(recording.body_signed_by(), None);
    assert_eq!(sealed.signed_by, None);
}

#[test]
fn a_changed_signature_breaks_its_seal_and_not_the_other() {
    for (at, body_holds, envelope_holds) in [(40, false, true), (140, true, false)] {
        let recording = read(forge(&signed(), |kind, payload| {
            if kind == Kind::Signatures {
                payload[at] ^= 1;
            }
        }));
        let claimed = key().public().fingerprint();
        assert_eq!(
            recording.status(),
            Status::SealBroken {
                claimed,
                body_holds,
                envelope_holds
            }
        );
    }
}

#[test]
fn a_changed_body_with_its_chain_put_right_breaks_both_seals() {
    let recording = read(forge(&signed(), |kind, payload| {
        if kind == Kind::End {
            let mut end: End = postcard::from_bytes(payload).unwrap();
            end.why = crate::Ended::TimeLimit;
            *payload = postcard::to_allocvec(&end).unwrap();
        }
    }));
    let claimed = key().public().fingerprint();
    let (body_holds, envelope_holds) = (false, false);
    assert_eq!(
        recording.status(),
        Status::SealBroken {
            claimed,
            body_holds,
            envelope_holds
        }
    );
    assert_eq!(recording.body_signed_by(), None);
}

#[test]
fn a_changed_envelope_is_told_apart_from_the_body_that_still_holds() {
    let honest = read(signed());
    let renamed = read(forge(&signed(), |kind, payload| {
        if kind == Kind::Opened {
            let trainee = "T-001".to_owned();
            *payload = postcard::to_allocvec(&Opened {
                trainee,
                ..opened()
            })
            .unwrap();
        }
    }));
    let claimed = key().public().fingerprint();
    let (body_holds, envelope_holds) = (true, false);
    assert_eq!(
        renamed.status(),
        Status::SealBroken {
            claimed,
            body_holds,
            envelope_holds
        }
    );
    assert_eq!(renamed.body_hash(), honest.body_hash());
    assert_eq!(renamed.body_signed_by(), Some(key().public()));

    // The same by accident: one bit of the envelope, chains as they were.
    let mut bytes = signed();
    let opened = super::frames(&bytes)[1].1.clone();
    bytes[opened.start + 8] ^= 4;
    let flipped = read(bytes);
    assert!(matches!(
        flipped.status(),
        Status::Damaged {
            at_frame: 1,
            part: Part::Envelope,
            why: Damage::Chain,
            ..
        }
    ));
    assert_eq!(flipped.opened(), None);
    assert_eq!(flipped.body_hash(), honest.body_hash());
    assert_eq!(flipped.body_signed_by(), Some(key().public()));
    assert_eq!(flipped.envelope_hash(), None);
    assert_eq!(flipped.until(), Tick(300));
}

#[test]
fn signing_anew_with_another_key_is_only_ever_that_other_key() {
    let other = OpenKey::from_secret([6; 32]);
    // The whole recording made anew: sound, and by somebody else.
    let (bytes, _) = record(&attempt(300, 30), Some(&other));
    let signed_by = Some(other.public().fingerprint());
    assert_eq!(
        read(bytes.clone()).status(),
        Status::Sealed { signed: signed_by }
    );
    assert_ne!(signed_by, Some(key().public().fingerprint()));

    // Their signatures under our name, and our name over their signatures.
    let theirs = super::frames(&bytes)
        .into_iter()
        .find(|(kind, _)| *kind == Kind::Signatures)
        .map(|(_, range)| bytes[range.start + 5..range.end - 8].to_vec())
        .unwrap();
    let swapped = forge(&signed(), |kind, payload| {
        if kind == Kind::Signatures {
            payload.clone_from(&theirs);
        }
    });
    let named = forge(&swapped, |kind, payload| {
        if kind == Kind::Signatures {
            payload[..32].copy_from_slice(&key().public().0);
            payload[96..128].copy_from_slice(&key().public().0);
        }
    });
    for bytes in [swapped, named] {
        let claimed = key().public().fingerprint();
        let (body_holds, envelope_holds) = (false, false);
        assert_eq!(
            read(bytes).status(),
            Status::SealBroken {
                claimed,
                body_holds,
                envelope_holds
            }
        );
    }
}

#[test]
fn signatures_that_were_taken_off_are_missed() {
    let bytes = signed();
    let frames = super::frames(&bytes);
    let (kind, range) = frames.last().unwrap().clone();
    assert_eq!(kind, Kind::Signatures);
    let mut bare = bytes[..range.start].to_vec();
    bare.extend_from_slice(&bytes[range.end..]);
    let claimed = key().public().fingerprint();
    let (body_holds, envelope_holds) = (false, false);
    assert_eq!(
        read(bare).status(),
        Status::SealBroken {
            claimed,
            body_holds,
            envelope_holds
        }
    );
}

#[test]
fn a_seal_of_the_body_does_not_serve_as_one_of_the_envelope() {
    let recording = read(forge(&signed(), |kind, payload| {
        if kind == Kind::Signatures {
            payload.copy_within(0..96, 96);
        }
    }));
    assert!(matches!(
        recording.status(),
        Status::SealBroken {
            body_holds: true,
            envelope_holds: false,
            ..
        }
    ));
}

/// Checks a recording by what the module's documentation says and by nothing
/// of its code, as an auditor would.
#[test]
fn the_documented_format_is_enough_to_check_a_recording() {
    let bytes = signed();
    assert_eq!(&bytes[..10], b"jetyard\n\x01\x00");
    let mut chains = [0x00_u8, 0x80].map(|tag| {
        let mut start = b"jetyard\n\x01\x00".to_vec();
        start.push(tag);
        Sha256::digest(&start)[..8].to_vec()
    });
    let (mut body, mut envelope, mut signatures) = (Vec::new(), Vec::new(), Vec::new());
    let mut rest = &bytes[10..bytes.len() - 8];
    while !rest.is_empty() {
        let length = u32::from_le_bytes(rest[1..5].try_into().unwrap()) as usize;
        let (frame, behind) = rest.split_at(5 + length + 8);
        let part = usize::from(frame[0] >> 7);
        let mut hashed = chains[part].clone();
        hashed.extend_from_slice(&frame[..5 + length]);
        chains[part] = Sha256::digest(&hashed)[..8].to_vec();
        assert_eq!(&frame[5 + length..], chains[part]);
        match frame[0] {
            0x83 => signatures.extend_from_slice(&frame[5..5 + length]),
            kind if kind < 0x80 => body.extend_from_slice(frame),
            _ => envelope.extend_from_slice(frame),
        }
        rest = behind;
    }
    assert_eq!(&bytes[bytes.len() - 8..], b"\nsealed\n");
    let body_hash = Sha256::digest(&body).to_vec();
    let envelope_hash = Sha256::digest([body_hash.clone(), envelope].concat()).to_vec();
    for (at, name, hash) in [(0, "body", body_hash), (96, "envelope", envelope_hash)] {
        let digits: String = hash.iter().map(|byte| format!("{byte:02x}")).collect();
        let line = format!("jetyard {name} {digits}\n");
        let public = signatures[at..at + 32].try_into().unwrap();
        let signature = signatures[at + 32..at + 96].try_into().unwrap();
        VerifyingKey::from_bytes(&public)
            .unwrap()
            .verify_strict(line.as_bytes(), &Signature::from_bytes(&signature))
            .unwrap();
    }
}
