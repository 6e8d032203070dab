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

/// At least 300,000 steps in ten minutes: more than it takes to clean six square metres
/// in cells of one centimetre. Two million bytes are the bar.
#[test]
fn ten_minutes_of_steps_of_a_surface_are_small() {
    let mut moments = attempt(10 * 60 * 120, 41);
    let mut sweep = Sweep::new(42);
    for m in &mut moments {
        m.steps.clear();
        // The jet goes over five places of its row in a tick.
        for n in 0..5 {
            m.steps.extend(sweep.take(Tick(2 * m.tick.0 + n)));
        }
    }
    let count = moments.iter().map(|m| m.steps.len()).sum::<usize>();
    assert!(count >= 300_000, "{count}");
    let (with, _) = record(&moments, None);
    shows(&Recording::read(with.clone()).unwrap(), &moments);
    for m in &mut moments {
        m.steps.clear();
    }
    let (without, _) = record(&moments, None);
    let bytes = with.len() - without.len();
    println!(
        "{count} steps in 600 s: {bytes} bytes, {:.2} a step",
        bytes as f64 / count as f64
    );
    assert!(bytes < 2_000_000);
}
