//! The rings of words: which a post says, which parts it can tag out, in which
//! order, and which key is for which.

use bevy::prelude::*;
use crew::{Act, Call, Part, Seat};
use training::text::say;

/// Something that is picked from a ring.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Word {
    /// A call is said.
    Say(Call),
    /// A tag is hung on a part.
    TagOut(Part),
}

impl Word {
    /// What it comes to.
    pub fn act(self) -> Act {
        match self {
            Word::Say(call) => Act::Say(call),
            Word::TagOut(part) => Act::TagOut(part),
        }
    }

    /// The word itself.
    pub fn name(self) -> String {
        match self {
            Word::Say(call) => say(&format!("calls-call-{}", call.id()), &[]),
            Word::TagOut(part) => say(&format!("calls-part-{}", part.id()), &[]),
        }
    }

    /// Whether it stops everything.
    pub fn stops(self) -> bool {
        matches!(self, Word::Say(Call::Dump | Call::AllStop))
    }
}

/// Which ring.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Kind {
    /// The calls that a post says.
    #[default]
    Calls,
    /// The parts that can be tagged out.
    Tags,
}

/// The words of a ring, clockwise from the top.
pub fn ring(kind: Kind, seat: Seat) -> Vec<Word> {
    match kind {
        Kind::Calls => calls(seat).iter().copied().map(Word::Say).collect(),
        Kind::Tags => Part::ALL.into_iter().map(Word::TagOut).collect(),
    }
}

/// Calls that a post says. Those that stop everything come first and last, side
/// by side at the top.
fn calls(seat: Seat) -> &'static [Call] {
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

/// Keys that pick the words of a ring one by one, as long as it is open.
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

/// The word that a key picks.
pub fn by_key(kind: Kind, seat: Seat, key: KeyCode) -> Option<Word> {
    let place = KEYS.iter().position(|k| *k == key)?;
    ring(kind, seat).get(place).copied()
}

/// The word that lies in a direction from the middle of the ring, to the right
/// and down; none in the middle itself.
pub fn towards(kind: Kind, seat: Seat, way: Vec2) -> Option<Word> {
    /// Counts of the mouse from the middle to the words.
    const OUT: f32 = 25.0;
    if way.length() < OUT {
        return None;
    }
    let ring = ring(kind, seat);
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
    fn every_word_of_a_ring_is_picked_by_its_key_and_lies_in_its_direction() {
        for kind in [Kind::Calls, Kind::Tags] {
            for seat in [Seat::PUMP, Seat::LANCE] {
                let ring = ring(kind, seat);
                assert!(ring.len() <= KEYS.len());
                for (n, word) in ring.iter().enumerate() {
                    assert_eq!(by_key(kind, seat, KEYS[n]), Some(*word));
                    let turn = core::f32::consts::TAU * n as f32 / ring.len() as f32;
                    let up = Vec2::from_angle(turn);
                    let way = Vec2::new(up.y, -up.x) * 60.0;
                    assert_eq!(towards(kind, seat, way), Some(*word), "{n}");
                    assert_eq!(ring.iter().filter(|w| *w == word).count(), 1);
                }
                assert_eq!(towards(kind, seat, Vec2::new(3.0, 4.0)), None);
            }
        }
        assert_eq!(by_key(Kind::Calls, Seat::PUMP, KeyCode::KeyQ), None);
    }
}
