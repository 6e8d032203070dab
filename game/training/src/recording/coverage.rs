//! What became of the surface in the ticks of one chunk, as one frame.
//!
//! Behind the tick that the chunk begins with stand a byte for the version of
//! this coding and packed bytes. Unpacked they are the number of all steps; for
//! each tick in which a cell took a step, the ticks since the one before (for
//! the first: since the chunk's first tick), the number of steps taken in it,
//! and for each of those the signed way from the last cell to this one, the
//! first from cell 0 (numbers of `columns.rs`); and behind all of that, a byte
//! for each step in the same order: how many its cell has taken in all. A jet
//! works on cells that are near each other, so that nearly all ways take one or
//! two bytes, and the bytes that stand together are alike and pack well.
//!
//! The frame stands before its chunk. Where a file was cut off between the
//! two, steps without a tick are left out; the other way round there would be
//! ticks without their steps, and the mark would be another one.

use super::chunk::CHUNK_TICKS;
use super::columns::{self, Bytes};
use super::frame;
use crate::surface::SurfaceStep;
use crew::Tick;

/// Version of the coding that is written, and the only one there is.
const VERSION: u8 = 1;

/// Most bytes of the steps of one chunk before they are packed.
pub(super) const COVERAGE_MOST: usize = 1 << 20;

/// Most steps of a whole recording: a million cells under two coats, and a
/// bound on the memory that a hostile file can ask for. A choice of this
/// project.
pub(super) const STEPS_MOST: usize = 8 << 20;

/// The payload of a frame, and its length before it was packed. `steps` lie in
/// the ticks of one chunk that begins with `start`, in the order of their
/// ticks.
pub(super) fn payload(start: Tick, steps: &[(Tick, SurfaceStep)]) -> (Vec<u8>, usize) {
    let mut raw = Vec::with_capacity(3 * steps.len());
    columns::put(&mut raw, steps.len() as u64);
    let (mut last_tick, mut last_cell) = (start, 0);
    for of_tick in steps.chunk_by(|a, b| a.0 == b.0) {
        let tick = of_tick[0].0;
        columns::put(&mut raw, u64::from(tick.0 - last_tick.0));
        columns::put(&mut raw, of_tick.len() as u64);
        for (_, step) in of_tick {
            let way = i64::from(step.cell) - i64::from(last_cell);
            columns::put_signed(&mut raw, way);
            last_cell = step.cell;
        }
        last_tick = tick;
    }
    raw.extend(steps.iter().map(|(_, step)| step.steps));
    let mut out = start.0.to_le_bytes().to_vec();
    out.push(VERSION);
    frame::pack(&mut out, &raw);
    (out, raw.len())
}

/// Reads what stands behind the tick of a payload; nothing where it makes no
/// sense.
pub(super) fn read(start: Tick, coded: &[u8]) -> Option<Vec<(Tick, SurfaceStep)>> {
    let (&version, packed) = coded.split_first()?;
    if version != VERSION {
        return None;
    }
    let raw = frame::unpack(packed, COVERAGE_MOST)?;
    let mut bytes = Bytes(&raw);
    let mut steps: Vec<(Tick, SurfaceStep)> = Vec::new();
    let (mut place, mut cell) = (0_u64, 0_i64);
    let all = bytes.number()?;
    while (steps.len() as u64) < all {
        let gap = bytes.number()?;
        if gap == 0 && !steps.is_empty() {
            return None;
        }
        place = place
            .checked_add(gap)
            .filter(|p| *p < u64::from(CHUNK_TICKS))?;
        let tick = Tick(start.0.checked_add(place as u32)?);
        let count = bytes.number()?;
        if count == 0 || count > all - steps.len() as u64 {
            return None;
        }
        for _ in 0..count {
            cell = cell.checked_add(bytes.signed()?)?;
            let cell = u32::try_from(cell).ok()?;
            steps.push((tick, SurfaceStep { cell, steps: 0 }));
        }
    }
    let taken = bytes.take(steps.len())?;
    for ((_, step), taken) in steps.iter_mut().zip(taken) {
        step.steps = *taken;
    }
    (bytes.0.is_empty() && !steps.is_empty()).then_some(steps)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Steps of a chunk: for each tick that has any, its place and its steps.
    fn any_steps() -> impl Strategy<Value = (u32, Vec<(Tick, SurfaceStep)>)> {
        let near = prop::collection::vec((0_u32..5000, any::<u8>()), 0..20);
        let far = prop::collection::vec((any::<u32>(), any::<u8>()), 0..4);
        let ticks = prop::collection::vec(prop_oneof![near, far], 1..=CHUNK_TICKS as usize);
        (0_u32..u32::MAX - CHUNK_TICKS, ticks).prop_map(|(start, ticks)| {
            let steps = ticks.into_iter().zip(start..).flat_map(|(steps, tick)| {
                steps
                    .into_iter()
                    .map(move |(cell, steps)| (Tick(tick), SurfaceStep { cell, steps }))
            });
            (start, steps.collect())
        })
    }

    proptest! {
        #[test]
        fn steps_come_back_in_their_order((start, steps) in any_steps()) {
            prop_assume!(!steps.is_empty());
            let (payload, _) = payload(Tick(start), &steps);
            prop_assert_eq!(read(Tick(start), &payload[4..]), Some(steps));
        }

        #[test]
        fn any_bytes_are_read_without_a_panic_and_never_as_more_than_they_are(
            raw in prop::collection::vec(any::<u8>(), 0..300),
            start: u32,
        ) {
            let mut coded = vec![VERSION];
            frame::pack(&mut coded, &raw);
            if let Some(steps) = read(Tick(start), &coded) {
                prop_assert!(2 * steps.len() < raw.len());
                prop_assert!(steps.is_sorted_by_key(|s| s.0));
                let (first, last) = (steps[0].0, steps[steps.len() - 1].0);
                prop_assert!(first >= Tick(start) && last.0 - start < CHUNK_TICKS);
            }
        }
    }

    #[test]
    fn what_is_cut_longer_or_of_another_version_is_refused() {
        let step = |tick, cell, steps| (Tick(tick), SurfaceStep { cell, steps });
        let steps = [step(120, 7, 1), step(120, 3, 2), step(179, 900, 4)];
        let (whole, length) = payload(Tick(120), &steps);
        assert_eq!(length, whole.len() - 6, "too little to pack");
        let coded = &whole[4..];
        assert_eq!(read(Tick(120), coded).as_deref(), Some(&steps[..]));
        for cut in 0..coded.len() {
            assert_eq!(read(Tick(120), &coded[..cut]), None, "cut at {cut}");
        }
        let mut other = coded.to_vec();
        other.push(0);
        assert_eq!(read(Tick(120), &other), None);
        let mut other = coded.to_vec();
        other[0] = VERSION + 1;
        assert_eq!(read(Tick(120), &other), None);
        // A tick behind the chunk, a tick twice, a tick without steps, a cell
        // below the first, more steps than were said, none at all.
        for raw in [
            &[1, 60, 1, 0, 1][..],
            &[2, 0, 1, 0, 0, 1, 0, 1, 1],
            &[1, 0, 0, 1],
            &[1, 0, 1, 1, 1],
            &[1, 0, 2, 0, 0, 1, 1],
            &[0],
        ] {
            let mut coded = vec![VERSION];
            frame::pack(&mut coded, raw);
            assert_eq!(read(Tick(120), &coded), None, "{raw:?}");
        }
        let mut sound = vec![VERSION];
        frame::pack(&mut sound, &[1, 0, 1, 2, 1]);
        assert_eq!(read(Tick(120), &sound), Some(vec![step(120, 1, 1)]));
    }
}
