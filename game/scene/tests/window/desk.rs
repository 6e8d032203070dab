//! Somebody with hands in a yard that runs tick by tick, without a window.

use crew::{Act, Control, Input, Seat, Source, Tick};
use scene::hands::{Hands, Pressed};
use scene::stage::point;
use std::path::Path;
use training::load::{Library, Loaded};
use training::{Channel, Event, Level};
use yard::view::PersonView;
use yard::{ViewFrame, Yard};

/// Somebody with hands in a yard.
pub struct Desk {
    pub level: Level,
    pub yard: Yard,
    pub hands: Hands,
    pub frame: ViewFrame,
    pub tick: Tick,
    /// What the other one of the two at work does next.
    pub others: Vec<Act>,
    /// Everything done so far.
    pub done: Vec<(Tick, Act)>,
    pub refused: usize,
    /// Steps that the trainee had to make to stay up, and whether they fell.
    pub steps: usize,
    pub fell: bool,
    /// Share of the surface that is clean, percent.
    pub clean_pct: f64,
}

impl Desk {
    pub fn at(level: &str, change: impl Fn(&mut Level)) -> Self {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../levels");
        let loaded: Loaded = Library::at(&folder)
            .load(level)
            .unwrap_or_else(|p| panic!("{p}"));
        let mut level = loaded.level;
        change(&mut level);
        let mut yard = Yard::new(&level).expect("a yard");
        let frame = yard.view();
        Desk {
            level,
            yard,
            hands: Hands::default(),
            frame,
            tick: Tick(0),
            others: Vec::new(),
            done: Vec::new(),
            refused: 0,
            steps: 0,
            fell: false,
            clean_pct: 0.0,
        }
    }

    pub fn press(&mut self, pressed: &[Pressed]) -> &mut Self {
        for pressed in pressed {
            self.hands.press(None, *pressed);
        }
        self
    }

    pub fn run(&mut self, ticks: u32) -> &mut Self {
        for _ in 0..ticks {
            let acts = self.hands.tick(self.tick, &self.level, &self.frame);
            let post = self.level.post;
            let other = if post == Seat::PUMP {
                Seat::LANCE
            } else {
                Seat::PUMP
            };
            let by = |seat, act| Input {
                tick: self.tick,
                seat,
                source: Source::Trainee,
                act,
            };
            let inputs: Vec<Input> = acts
                .iter()
                .map(|act| by(post, *act))
                .chain(self.others.drain(..).map(|act| by(other, act)))
                .collect();
            self.done
                .extend(acts.into_iter().map(|act| (self.tick, act)));
            let o = self.yard.step(&inputs).expect("measurable");
            let refused = o.events.iter();
            self.refused += refused
                .filter(|e| matches!(e, Event::Refused { .. }))
                .count();
            let seat = post;
            let mine = |what: Event| o.events.iter().filter(|e| **e == what).count();
            self.steps += mine(Event::Stepped { seat });
            self.fell |= mine(Event::Fell { seat }) > 0;
            if let Some(clean_pct) = o.mean(Channel::SurfaceClean) {
                self.clean_pct = clean_pct;
            }
            self.frame = self.yard.view();
            self.tick = Tick(self.tick.0 + 1);
        }
        self
    }

    /// Who is at the desk.
    pub fn me(&self) -> &PersonView {
        let post = self.level.post;
        let mut people = self.frame.people.iter();
        people.find(|p| p.seat == post).expect("they are there")
    }

    pub fn acts(&self, which: impl Fn(&Act) -> bool) -> usize {
        self.done.iter().filter(|(_, act)| which(act)).count()
    }

    /// Turns the look towards a control.
    pub fn look_at(&mut self, control: Control) -> &mut Self {
        let at = self.level.site.control(control).map(point);
        let eye = self.hands.gaze().eye(self.me(), &self.frame);
        let way = at.expect("it is there") - eye.at;
        let (yaw, pitch) = scene::hands::gaze::angles(way);
        let counts = |rad: f32| rad / (scene::hands::gaze::UNIT_RAD * 12.0);
        let moved = Pressed::Moved {
            x: -counts(scene::hands::gaze::less_turns(yaw - eye.yaw)),
            y: -counts(pitch - eye.pitch),
        };
        self.press(&[moved]).run(1)
    }

    pub fn holding(&self) -> Option<Control> {
        self.me().holding
    }
}
