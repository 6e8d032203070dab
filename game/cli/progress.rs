//! A line that shows how far a long piece of work has come.

use crew::{TICKS_PER_SECOND, Tick};
use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};
use training::text::{number, say};

/// Shows progress on standard error once the work has taken a second, and
/// every second from then on; one line that is written over on a terminal.
pub struct Progress {
    id: &'static str,
    shown: Instant,
    lines: u32,
}

/// From one showing to the next.
const EVERY: Duration = Duration::from_secs(1);

impl Progress {
    /// Begins; `id` is the text, with `{ $time }` in it.
    pub fn begin(id: &'static str) -> Self {
        Progress {
            id,
            shown: Instant::now(),
            lines: 0,
        }
    }

    /// Says how far the work has come, in attempt time.
    pub fn at(&mut self, tick: Tick) {
        if !tick.0.is_multiple_of(TICKS_PER_SECOND) || self.shown.elapsed() < EVERY {
            return;
        }
        self.shown = Instant::now();
        let text = say(self.id, &[("time", &number(tick.seconds(), 0))]);
        let mut err = std::io::stderr();
        // Nobody minds a progress line that cannot be shown.
        if err.is_terminal() {
            write!(err, "\r{text}").ok();
        } else if self.lines.is_multiple_of(10) {
            writeln!(err, "{text}").ok();
        }
        err.flush().ok();
        self.lines += 1;
    }

    /// Ends the line.
    pub fn end(self) {
        if self.lines > 0 && std::io::stderr().is_terminal() {
            eprintln!();
        }
    }
}
