//! How fast an attempt ran, measured.

use serde_json::{Value, json};
use std::time::Instant;
use training::text::{number, say};
use yard::Meter;

/// What a tick may cost at sixty times real time, microseconds.
const BUDGET_US: [(&str, f64); 4] = [
    ("hydraulics", 25.0),
    ("hose_and_body", 50.0),
    ("rest", 50.0),
    ("total", 139.0),
];

/// A measurement under way.
pub struct Stopwatch {
    wall: Instant,
    cpu_ns: Option<u64>,
}

/// What was measured.
pub struct Pace {
    /// Seconds on the wall.
    pub wall_s: f64,
    /// Seconds of processor time of this thread, where the system tells.
    pub cpu_s: Option<f64>,
    /// Seconds of the attempt.
    pub attempt_s: f64,
    meter: Meter,
}

impl Stopwatch {
    /// Begins.
    pub fn begin() -> Self {
        Stopwatch {
            wall: Instant::now(),
            cpu_ns: thread_cpu_ns(),
        }
    }

    /// Ends, for so many seconds of the attempt.
    pub fn end(&self, attempt_s: f64, meter: Meter) -> Pace {
        Pace {
            wall_s: self.wall.elapsed().as_secs_f64(),
            cpu_s: self
                .cpu_ns
                .zip(thread_cpu_ns())
                .map(|(from, to)| to.saturating_sub(from) as f64 / 1e9),
            attempt_s,
            meter,
        }
    }
}

/// A clock for the yard's meter: nanoseconds since its first reading.
pub fn clock_ns() -> u64 {
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    START.get_or_init(Instant::now).elapsed().as_nanos() as u64
}

/// Processor time of this thread so far, where Linux tells.
fn thread_cpu_ns() -> Option<u64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok()
}

/// Most memory that this process has had, megabytes, where Linux tells.
fn peak_memory_mb() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = text.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024.0 / 1e6)
}

impl Pace {
    /// Attempt time over wall time.
    pub fn real_time_factor(&self) -> f64 {
        self.attempt_s / self.wall_s.max(1e-9)
    }

    fn parts_us(&self) -> [f64; 4] {
        let ticks = self.meter.ticks.max(1) as f64;
        let us = |ns: u64| ns as f64 / 1e3 / ticks;
        let (water, bodies) = (us(self.meter.hydraulics_ns), us(self.meter.bodies_ns));
        let total = us(self.meter.total_ns);
        [water, bodies, (total - water - bodies).max(0.0), total]
    }

    /// The figures as data.
    pub fn json(&self) -> Value {
        let mut value = json!({
            "real_time_factor": round(self.real_time_factor(), 1),
            "wall_s": round(self.wall_s, 3),
            "cpu_s": self.cpu_s.map(|s| round(s, 3)),
            "real_time_factor_cpu": self.cpu_s.map(|s| round(self.attempt_s / s.max(1e-9), 1)),
            "attempt_s": round(self.attempt_s, 3),
            "peak_memory_mb": peak_memory_mb().map(|mb| round(mb, 1)),
        });
        if self.meter.ticks > 0 {
            let parts: serde_json::Map<String, Value> = BUDGET_US
                .iter()
                .zip(self.parts_us())
                .map(|((name, budget), us)| {
                    let entry = json!({ "us": round(us, 2), "budget_us": budget });
                    ((*name).to_owned(), entry)
                })
                .collect();
            value["tick"] = Value::Object(parts);
        }
        value
    }

    /// The figures in words.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![say(
            "cli-stats-pace",
            &[
                ("factor", &number(self.real_time_factor(), 0)),
                ("attempt", &number(self.attempt_s, 0)),
                ("wall", &number(self.wall_s, 1)),
            ],
        )];
        if let Some(mb) = peak_memory_mb() {
            lines.push(say("cli-stats-memory", &[("mb", &number(mb, 0))]));
        }
        if self.meter.ticks > 0 {
            for ((name, budget), us) in BUDGET_US.iter().zip(self.parts_us()) {
                lines.push(say(
                    "cli-stats-part",
                    &[
                        ("part", &say(&format!("cli-part-{name}"), &[])),
                        ("us", &number(us, 1)),
                        ("budget", &number(*budget, 0)),
                    ],
                ));
            }
        }
        lines
    }
}

/// Rounded for printing.
pub fn round(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    (value * scale).round() / scale
}
