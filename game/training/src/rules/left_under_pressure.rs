//! A live tool stays in the hands.

use super::breach::{Breach, Turn};
use super::line::{mean, on};
use super::{Found, LANCE_POST, Rule, Watch};
use crate::allowed::tool_at;
use crate::finding::Severity;
use crate::{Channel, Event, Honesty, HurtGrade, Level, Observation};
use crew::{Seat, Tick};

/// The tool is not laid down or dropped under pressure, and nobody goes away
/// from one that lies on the ground or stands in its stand under pressure. To
/// flush from the stand, with the bare end and somebody beside it, is no
/// breach.
pub struct LeftUnderPressure;

impl Rule for LeftUnderPressure {
    fn id(&self) -> &'static str {
        "left_under_pressure"
    }
    fn version(&self) -> u32 {
        3
    }
    fn severity(&self) -> Severity {
        Severity::Critical
    }
    fn source(&self) -> &'static str {
        "Norwegian Regulations concerning the Performance of Work, section 20-10 (pressure let out when the work is left); DGUV Regel 100-500 chapter 2.36, 3.7.11; the distance: a choice of this project"
    }
    fn honesty(&self) -> Honesty {
        Honesty::Published
    }
    fn posts(&self) -> &'static [Seat] {
        LANCE_POST
    }
    fn channels(&self) -> &'static [Channel] {
        &[
            Channel::ToolAt,
            Channel::ToolAway,
            Channel::NozzleFitted,
            Channel::GunPressure,
        ]
    }
    fn details(&self) -> &'static [&'static str] {
        &["dropped", "fell", "laid_down", "left"]
    }
    fn watch(&self, level: &Level) -> Box<dyn Watch> {
        let limits = &level.region.limits;
        Box::new(Watching {
            danger_bar: limits.danger_bar.value,
            away_m: limits.away_from_tool_m.value,
            put: None,
            fell: None,
            struck: false,
            alone: Breach::default(),
        })
    }
}

/// A tool that leaves the hands so soon after a fall was dropped in it, seconds (a
/// choice of this project).
const FALL_S: f64 = 1.0;

struct Watching {
    danger_bar: f64,
    away_m: f64,
    /// How the tool left the hands live, until it is up again or without
    /// pressure.
    put: Option<&'static str>,
    /// When the lance hand fell last.
    fell: Option<Tick>,
    /// The lance hand was hurt: whoever is struck down is not asked to hold on.
    struck: bool,
    alone: Breach,
}

impl Watch for Watching {
    fn see(&mut self, o: &Observation, found: &mut Found) {
        let gun_bar = mean(o, Channel::GunPressure);
        let live = gun_bar > self.danger_bar;
        let at = mean(o, Channel::ToolAt);
        let out_of_hands = at != tool_at::HANDS;
        let bare_in_stand = at == tool_at::STAND && !on(o, Channel::NozzleFitted);
        for event in &o.events {
            match event {
                Event::Fell { seat: Seat::LANCE } => self.fell = Some(o.tick),
                Event::Hurt {
                    seat: Seat::LANCE,
                    grade,
                    ..
                } => self.struck |= *grade >= HurtGrade::Injury,
                Event::Dropped { .. } if self.struck => {}
                Event::Dropped { .. } if live => {
                    let in_fall = self.fell.is_some_and(|at| o.tick.since(at) <= FALL_S);
                    self.put = Some(if in_fall { "fell" } else { "dropped" });
                }
                Event::LaidDown { .. } if live && !bare_in_stand => self.put = Some("laid_down"),
                _ => {}
            }
        }
        if !out_of_hands || !live {
            self.put = None;
        }
        let away_m = mean(o, Channel::ToolAway);
        let left = away_m > self.away_m;
        let alone = out_of_hands && live && !self.struck && (self.put.is_some() || left);
        if let Turn::Found(_) = self.alone.see(o.tick, alone, 0.0) {
            match self.put {
                Some(how) => found.add(o, how, gun_bar, self.danger_bar, "bar"),
                None => found.add(o, "left", away_m, self.away_m, "m"),
            }
        }
    }
}
