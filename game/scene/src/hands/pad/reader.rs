//! The thread that reads pads and shakes them.

use super::layout::Layout;
use super::{Report, Shake};
use evdev::{
    Device, EventSummary, FFEffect, FFEffectCode, FFEffectData, FFEffectKind, FFReplay, FFTrigger,
    KeyCode,
};
use std::io::ErrorKind;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, TryRecvError};
use std::thread;
use std::time::{Duration, Instant};

/// Pads that are plugged in later are looked for so often.
const LOOK: Duration = Duration::from_secs(2);
/// Pads are read so often; without one there is nothing to hurry for.
const READ: Duration = Duration::from_millis(4);
const IDLE: Duration = Duration::from_millis(200);
/// A shake lasts so long unless it is told anew, so that no pad goes on shaking
/// by itself, milliseconds.
const SHAKE_MS: u16 = 1000;
/// It is told anew so often.
const SHAKE_AGAIN: Duration = Duration::from_millis(700);

struct Pad {
    number: u32,
    path: PathBuf,
    device: Device,
    layout: Layout,
    effect: Option<FFEffect>,
}

/// Starts the thread; false where the system has no room for one.
pub fn start(reports: Sender<Report>, shakes: Receiver<Shake>) -> bool {
    let named = thread::Builder::new().name(String::from("pad"));
    named.spawn(move || read(&reports, &shakes)).is_ok()
}

/// Reads until the game is gone.
fn read(reports: &Sender<Report>, shakes: &Receiver<Shake>) {
    let mut pads: Vec<Pad> = Vec::new();
    let mut number = 0;
    let mut looked: Option<Instant> = None;
    let (mut shake, mut shaken) = (Shake::default(), Instant::now());
    loop {
        if looked.is_none_or(|at| at.elapsed() >= LOOK) {
            looked = Some(Instant::now());
            for pad in find(&pads, &mut number) {
                let (pad_number, name) = (pad.number, name(&pad.device));
                pads.push(pad);
                let found = Report::Found {
                    pad: pad_number,
                    name,
                };
                if reports.send(found).is_err() {
                    return;
                }
            }
        }
        let mut gone = Vec::new();
        for pad in &mut pads {
            match pad.read() {
                Some(read) => {
                    for report in read {
                        if reports.send(report).is_err() {
                            return;
                        }
                    }
                }
                None => gone.push(pad.number),
            }
        }
        pads.retain(|pad| !gone.contains(&pad.number));
        for pad in gone {
            if reports.send(Report::Gone { pad }).is_err() {
                return;
            }
        }
        let mut told = None;
        loop {
            match shakes.try_recv() {
                Ok(shake) => told = Some(shake),
                Err(TryRecvError::Empty) => break,
                Err(TryRecvError::Disconnected) => return,
            }
        }
        let again = shake != Shake::default() && shaken.elapsed() >= SHAKE_AGAIN;
        if told.is_some() || again {
            shake = told.unwrap_or(shake);
            shaken = Instant::now();
            for pad in &mut pads {
                pad.shake(shake);
            }
        }
        thread::sleep(if pads.is_empty() { IDLE } else { READ });
    }
}

fn name(device: &Device) -> String {
    device.name().unwrap_or_default().to_owned()
}

/// Pads that were not there before.
fn find(known: &[Pad], number: &mut u32) -> Vec<Pad> {
    let fresh = evdev::enumerate().filter(|(path, device)| {
        let is_pad = device
            .supported_keys()
            .is_some_and(|keys| keys.contains(KeyCode::BTN_SOUTH));
        is_pad && known.iter().all(|pad| pad.path != *path)
    });
    fresh
        .filter_map(|(path, device)| {
            // Without this the thread would wait for one pad and miss the others.
            device.set_nonblocking(true).ok()?;
            let axes = device.get_absinfo().ok().map_or_else(Vec::new, |axes| {
                axes.map(|(code, info)| (code, (info.minimum(), info.maximum())))
                    .collect()
            });
            let vendor = device.input_id().vendor();
            *number += 1;
            Some(Pad {
                number: *number,
                path,
                device,
                layout: Layout { axes, vendor },
                effect: None,
            })
        })
        .collect()
}

impl Pad {
    /// What it has reported since; nothing once it is gone.
    fn read(&mut self) -> Option<Vec<Report>> {
        let events = match self.device.fetch_events() {
            Ok(events) => events,
            Err(e) if matches!(e.kind(), ErrorKind::WouldBlock | ErrorKind::Interrupted) => {
                return Some(Vec::new());
            }
            Err(_) => return None,
        };
        let mut reports = Vec::new();
        for event in events {
            match event.destructure() {
                EventSummary::Key(_, code, value) => {
                    reports.extend(self.layout.button(self.number, code, value));
                }
                EventSummary::AbsoluteAxis(_, code, value) => {
                    reports.extend(self.layout.axis(self.number, code, value));
                }
                _ => {}
            }
        }
        Some(reports)
    }

    /// Shakes it, where it can shake.
    fn shake(&mut self, shake: Shake) {
        let rumbles = self
            .device
            .supported_ff()
            .is_some_and(|ff| ff.contains(FFEffectCode::FF_RUMBLE));
        if !rumbles {
            return;
        }
        if shake == Shake::default() {
            // To take an effect away stops it.
            self.effect = None;
            return;
        }
        let whole = |share: f32| (share.clamp(0.0, 1.0) * f32::from(u16::MAX)) as u16;
        let data = FFEffectData {
            direction: 0,
            trigger: FFTrigger::default(),
            replay: FFReplay {
                length: SHAKE_MS,
                delay: 0,
            },
            kind: FFEffectKind::Rumble {
                strong_magnitude: whole(shake.heavy),
                weak_magnitude: whole(shake.light),
            },
        };
        let told = match &mut self.effect {
            Some(effect) => effect.update(data),
            None => self.device.upload_ff_effect(data).map(|effect| {
                self.effect = Some(effect);
            }),
        };
        // A pad that does not take it does not shake.
        if told.is_ok()
            && let Some(effect) = &mut self.effect
        {
            effect.play(1).ok();
        }
    }
}
