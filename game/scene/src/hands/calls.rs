//! The ring of calls: which words a post says, in which order, and which key
//! says which.

use bevy::prelude::*;
use crew::{Call, Seat};

/// Words that a post says, clockwise from the top. Those that stop everything
/// come first and last, side by side at the top.
pub fn ring(seat: Seat) -> &'static [Call] {
    if seat == Seat::LANCE {
        &[
            Call::AllStop,
            Call::ReadyQuery,
            Call::Ready,
            Call::ClearToPressurise,
            Call::Raise,
            Call::Lower,
            Call::NoChange,
            Call::ProveZero,
            Call::StartUp,
            Call::SayAgain,
            Call::Correction,
            Call::ZoneClear,
            Call::ClearToFlush,
            Call::Dump,
        ]
    } else {
        &[
            Call::AllStop,
            Call::ReadyQuery,
            Call::Ready,
            Call::ClearToFlush,
            Call::ClearToPressurise,
            Call::Raise,
            Call::Lower,
            Call::NoChange,
            Call::Squeeze,
            Call::Release,
            Call::ZeroProved,
            Call::SayAgain,
            Call::Correction,
            Call::Dump,
        ]
    }
}

/// Keys that say the words of the ring one by one, as long as it is open.
pub const KEYS: [KeyCode; 14] = [
    KeyCode::Digit1,
    KeyCode::Digit2,
    KeyCode::Digit3,
    KeyCode::Digit4,
    KeyCode::Digit5,
    KeyCode::Digit6,
    KeyCode::Digit7,
    KeyCode::Digit8,
    KeyCode::Digit9,
    KeyCode::Digit0,
    KeyCode::Minus,
    KeyCode::Equal,
    KeyCode::BracketLeft,
    KeyCode::BracketRight,
];

/// The word that a key says at a post.
pub fn by_key(seat: Seat, key: KeyCode) -> Option<Call> {
    let place = KEYS.iter().position(|k| *k == key)?;
    ring(seat).get(place).copied()
}

/// The word that lies in a direction from the middle of the ring, to the right
/// and down; none in the middle itself.
pub fn towards(seat: Seat, way: Vec2) -> Option<Call> {
    /// Counts of the mouse from the middle to the words.
    const OUT: f32 = 25.0;
    if way.length() < OUT {
        return None;
    }
    let ring = ring(seat);
    // Clockwise from the top.
    let turn = Vec2::new(-way.y, way.x).to_angle() / core::f32::consts::TAU;
    let place = (turn * ring.len() as f32).round();
    let place = place.rem_euclid(ring.len() as f32) as usize;
    ring.get(place).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_of_a_ring_is_said_by_its_key_and_lies_in_its_direction() {
        for seat in [Seat::PUMP, Seat::LANCE] {
            let ring = ring(seat);
            assert_eq!(ring.len(), KEYS.len());
            for (n, call) in ring.iter().enumerate() {
                assert_eq!(by_key(seat, KEYS[n]), Some(*call));
                let turn = core::f32::consts::TAU * n as f32 / ring.len() as f32;
                let up = Vec2::from_angle(turn);
                let way = Vec2::new(up.y, -up.x) * 60.0;
                assert_eq!(towards(seat, way), Some(*call), "{n}");
                assert_eq!(ring.iter().filter(|c| *c == call).count(), 1);
            }
            assert_eq!(towards(seat, Vec2::new(3.0, 4.0)), None);
        }
        assert_eq!(by_key(Seat::PUMP, KeyCode::KeyQ), None);
    }
}
