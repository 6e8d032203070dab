//! Whole numbers as few bytes, and the samples of one channel as a column.
//!
//! Most channels hardly move from one sample to the next: a column is the
//! steps from sample to sample, small numbers take one byte, and a column that
//! stands still takes one byte in all.

use crate::channels::Sample;

/// The column does not move.
const STILL: u64 = 0;
/// The moves are listed, each with the samples it is away from the last.
const MOVES: u64 = 1;
/// Every step is written.
const STEPS: u64 = 2;

/// Writes a whole number, seven bits to the byte, the low ones first.
pub(super) fn put(out: &mut Vec<u8>, mut value: u64) {
    while value >= 0x80 {
        out.push(value as u8 | 0x80);
        value >>= 7;
    }
    out.push(value as u8);
}

/// Writes a signed number; small ones of either sign take few bytes.
pub(super) fn put_signed(out: &mut Vec<u8>, value: i64) {
    put(out, ((value << 1) ^ (value >> 63)) as u64);
}

/// Bytes being read.
pub(super) struct Bytes<'a>(pub(super) &'a [u8]);

impl<'a> Bytes<'a> {
    pub(super) fn byte(&mut self) -> Option<u8> {
        let (&first, rest) = self.0.split_first()?;
        self.0 = rest;
        Some(first)
    }

    pub(super) fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    pub(super) fn number(&mut self) -> Option<u64> {
        let first = self.byte()?;
        if first < 0x80 {
            return Some(u64::from(first));
        }
        let mut value = u64::from(first & 0x7f);
        let mut shift = 7;
        loop {
            let byte = self.byte()?;
            let bits = u64::from(byte & 0x7f);
            if shift == 63 && bits > 1 {
                return None;
            }
            value |= bits << shift;
            if byte < 0x80 {
                return Some(value);
            }
            shift += 7;
            if shift > 63 {
                return None;
            }
        }
    }

    pub(super) fn signed(&mut self) -> Option<i64> {
        let value = self.number()?;
        Some((value >> 1) as i64 ^ -((value & 1) as i64))
    }
}

/// Writes a sample as steps from the last mean, and the spread around it.
pub(super) fn put_sample(out: &mut Vec<u8>, held: Sample, sample: Sample, spread: bool) {
    put_signed(out, i64::from(sample.mean) - i64::from(held.mean));
    if spread {
        put_signed(out, i64::from(sample.mean) - i64::from(sample.min));
        put_signed(out, i64::from(sample.max) - i64::from(sample.mean));
    }
}

/// Reads what [`put_sample`] wrote.
pub(super) fn sample(bytes: &mut Bytes<'_>, held: Sample, spread: bool) -> Option<Sample> {
    let mean = step(held.mean, bytes.signed()?)?;
    if !spread {
        return Some(Sample {
            min: mean,
            mean,
            max: mean,
        });
    }
    Some(Sample {
        min: step(mean, bytes.signed()?.checked_neg()?)?,
        mean,
        max: step(mean, bytes.signed()?)?,
    })
}

fn step(from: i32, by: i64) -> Option<i32> {
    i64::from(from)
        .checked_add(by)
        .and_then(|to| to.try_into().ok())
}

/// Writes a channel's samples; `held` is the one before them.
pub(super) fn put_column(out: &mut Vec<u8>, mut held: Sample, samples: &[Sample], spread: bool) {
    let mut before = held;
    let mut moves = 0;
    for sample in samples {
        moves += u64::from(*sample != before);
        before = *sample;
    }
    if moves == 0 {
        put(out, STILL);
    } else if moves * 3 < samples.len() as u64 {
        put(out, MOVES);
        put(out, moves);
        let mut still = 0;
        for sample in samples {
            if *sample == held {
                still += 1;
            } else {
                put(out, still);
                put_sample(out, held, *sample, spread);
                held = *sample;
                still = 0;
            }
        }
    } else {
        put(out, STEPS);
        for sample in samples {
            put_sample(out, held, *sample, spread);
            held = *sample;
        }
    }
}

/// Reads a channel's samples: those that differ from the one before, with
/// their places, are put behind `moved`, and `held` is left at the last one.
pub(super) fn column(
    bytes: &mut Bytes<'_>,
    held: &mut Sample,
    count: u32,
    spread: bool,
    moved: &mut Vec<(u32, Sample)>,
) -> Option<()> {
    match bytes.number()? {
        STILL => {}
        MOVES => {
            let mut place = 0_u64;
            for _ in 0..bytes.number()? {
                place = place.checked_add(bytes.number()?)?;
                if place >= u64::from(count) {
                    return None;
                }
                *held = sample(bytes, *held, spread)?;
                moved.push((place as u32, *held));
                place += 1;
            }
        }
        STEPS => {
            for place in 0..count {
                let next = sample(bytes, *held, spread)?;
                if next != *held {
                    moved.push((place, next));
                    *held = next;
                }
            }
        }
        _ => return None,
    }
    Some(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_number_comes_back(value: u64, signed: i64) {
            let mut out = Vec::new();
            put(&mut out, value);
            put_signed(&mut out, signed);
            let mut bytes = Bytes(&out);
            prop_assert_eq!(bytes.number(), Some(value));
            prop_assert_eq!(bytes.signed(), Some(signed));
            prop_assert!(bytes.0.is_empty());
        }

        #[test]
        fn a_column_comes_back(
            samples in prop::collection::vec((any::<i32>(), any::<i32>(), any::<i32>(), 1_usize..30), 1..20),
            spread: bool,
        ) {
            let samples: Vec<Sample> = samples
                .into_iter()
                .flat_map(|(min, mean, max, times)| {
                    let sample = if spread { Sample { min, mean, max } } else { Sample { min: mean, mean, max: mean } };
                    std::iter::repeat_n(sample, times)
                })
                .collect();
            let mut out = Vec::new();
            put_column(&mut out, Sample::default(), &samples, spread);
            let mut bytes = Bytes(&out);
            let mut moved = Vec::new();
            let mut held = Sample::default();
            prop_assert!(column(&mut bytes, &mut held, samples.len() as u32, spread, &mut moved).is_some());
            prop_assert!(bytes.0.is_empty());
            let mut moved = moved.into_iter().peekable();
            let mut now = Sample::default();
            for (place, sample) in samples.iter().enumerate() {
                if let Some((_, next)) = moved.next_if(|(at, _)| *at as usize == place) {
                    now = next;
                }
                prop_assert_eq!(now, *sample);
            }
        }
    }

    #[test]
    fn a_number_of_more_than_64_bits_is_refused() {
        assert_eq!(Bytes(&[0xff; 10]).number(), None);
        let mut most = [0xff; 10];
        most[9] = 0x01;
        assert_eq!(Bytes(&most).number(), Some(u64::MAX));
        most[9] = 0x02;
        assert_eq!(Bytes(&most).number(), None);
    }
}
