use super::*;
use std::time::{Duration, Instant};

const TWENTY_MINUTES: u32 = 20 * 60 * 120;

fn best_of(times: u32, mut work: impl FnMut()) -> Duration {
    let one = |_| {
        let start = Instant::now();
        work();
        start.elapsed()
    };
    (0..times).map(one).min().unwrap_or_default()
}

/// The bars: at most 10 MB, and a mark within half a second, of which reading
/// and playing may take the most part.
#[test]
fn twenty_minutes_of_a_shaking_yard_are_small_and_quick_to_read() {
    let moments = attempt(TWENTY_MINUTES, 40);
    let start = Instant::now();
    let (bytes, _) = record(&moments, Some(&key()));
    let writing = start.elapsed();
    let recording = Recording::read(bytes.clone()).unwrap();
    assert!(recording.status().is_sealed());
    let inputs = recording.inputs().len();

    let reading = best_of(5, || drop(Recording::read(bytes.clone())));
    let mut sum = 0.0;
    let playing = best_of(5, || {
        recording.play(|seen, _| sum += seen.mean(Channel::Thrust).unwrap_or(0.0));
    });
    println!(
        "20 minutes, {} channels, {inputs} inputs: {:.2} MB; written in {writing:.2?} \
         ({:.1} us a tick), read in {reading:.1?}, played in {playing:.1?}",
        table().len(),
        bytes.len() as f64 / 1e6,
        writing.as_secs_f64() * 1e6 / f64::from(TWENTY_MINUTES),
    );
    assert!(sum > 0.0);
    assert!(bytes.len() < 10_000_000);
    assert!(reading + playing < Duration::from_millis(500));
    shows(&recording, &moments);
}
