//! What feet, arms, fingers and voice do in a tick with what is pressed.

mod finger;
mod follow;
mod grip;

use super::calls::Word;
use super::effort::Effort;
use super::gaze::{Gaze, UNIT_RAD, holds, less_turns};
use super::keymap::Deed;
use super::{Pressed, Ways};
use crate::before::Before;
use bevy::math::Vec2;
use crew::{Act, Call, Seat, Stance, TICKS_PER_SECOND, Tick};
use finger::Finger;
use follow::{Follow, Followed};
use grip::Grip;
pub(super) use grip::{near_board, near_stand};
use std::collections::BTreeSet;
use training::Level;
use yard::ViewFrame;
use yard::view::PersonView;

/// Walking, hurrying and slow walking, metres per second (common practice, no
/// source: a walk at work, a brisk walk, steps with a load).
const WALK_M_S: f32 = 1.2;
const HURRY_M_S: f32 = 1.8;
const SLOWLY_M_S: f32 = 0.45;
/// Share of it backwards and sideways.
const BACKWARDS: f32 = 0.7;
/// Speeds are told in steps of this, so that a recording stays small, cm/s.
const STEP_CM_S: f32 = 5.0;
/// Turn by the keys, units per tick: 1.8 rad/s.
const TURN_UNITS: i16 = 150;
/// Turn of the look by the stick at its end, radians per tick.
const STICK_RAD: f32 = 2.2 / TICKS_PER_SECOND as f32;
/// Fastest turn of the body after the look, units per tick.
const FOLLOW_UNITS: f32 = 333.0;
/// The hands move by so much, millimetres per tick: 0.36 m/s, and a third of
/// that slowly. Every move begins slowly, so that a short press is a fine one.
const HAND_MM: i16 = 3;
const HAND_SLOWLY_MM: i16 = 1;
/// For so long, ticks.
const HAND_BEGINS: u32 = TICKS_PER_SECOND / 5;
/// However short a press is, it lasts for so long, ticks: what it does is to be seen on
/// the reading of the stand-off.
const HAND_TAP: u32 = 5;
/// The arms owe at most so much of what the mouse has asked for, units; what is
/// more is forgotten, as by arms that cannot follow.
const OWED_UNITS: f64 = 3500.0;
/// A word waits for the one before it for so long, ticks.
const WORD_WAITS: u32 = 3 * TICKS_PER_SECOND / 2;

/// Everything that a person's hands and feet are doing.
#[derive(Default)]
pub struct Mover {
    down: BTreeSet<Deed>,
    latched: BTreeSet<Deed>,
    gaze: Gaze,
    grip: Grip,
    finger: Finger,
    /// Stick that walks and stick that looks.
    strides: Vec2,
    leans: Vec2,
    /// What the yard was told last, where that goes on until told otherwise.
    walk: Option<(i16, i16)>,
    brace: Option<bool>,
    staggered: Option<bool>,
    /// The aim that is still owed, units to the left and up.
    owed: [f64; 2],
    /// How far the arms turn the tool from the facing, radians.
    arm_yaw_rad: f32,
    /// What the arms owe of following a surface.
    follow: Follow,
    /// For how many ticks the hands have been moving, and which way.
    hand_ticks: [u32; 2],
    hand_ways: [i16; 2],
    word: Option<(Call, Tick)>,
}

/// What a tick is made in.
struct Scene<'a> {
    tick: Tick,
    level: &'a Level,
    frame: &'a ViewFrame,
    me: &'a PersonView,
    /// The tool is in these hands.
    tool: bool,
}

impl Mover {
    /// The head.
    pub fn gaze(&self) -> &Gaze {
        &self.gaze
    }

    /// How far the arms are behind the mouse, radians to the left and up.
    pub fn aim_owed_rad(&self) -> [f32; 2] {
        self.owed.map(|units| units as f32 * UNIT_RAD)
    }

    /// How far the arms turn the tool from the facing.
    pub fn arm_yaw_rad(&self) -> f32 {
        self.arm_yaw_rad
    }

    /// How far the take key has come with what needs a while.
    pub fn held_share(&self) -> Option<f32> {
        self.grip.held_share()
    }

    fn is(&self, deed: Deed) -> bool {
        self.down.contains(&deed) || self.latched.contains(&deed)
    }

    /// What the person does in a tick.
    pub fn tick(
        &mut self,
        tick: Tick,
        level: &Level,
        frame: &ViewFrame,
        ways: Ways,
        due: &[Pressed],
    ) -> Vec<Act> {
        let seat = level.post;
        let Some(me) = frame.people.iter().find(|p| p.seat == seat) else {
            return Vec::new();
        };
        let scene = Scene {
            tick,
            level,
            frame,
            me,
            tool: holds(frame, seat),
        };
        self.arm_yaw_rad = me.tool_yaw_rad as f32;
        let mut acts = Vec::new();
        self.gaze.begin(me, level, frame, self.is(Deed::LookRound));
        for pressed in due {
            self.take_in(*pressed, ways, &scene, &mut acts);
        }
        self.stick(&scene);
        self.feet(&scene, &mut acts);
        self.turn(&scene, ways, &mut acts);
        self.aim(&scene, ways, &mut acts);
        self.arms(&scene, ways, &mut acts);
        self.finger.tick(&scene, &mut acts);
        self.grip.tick(&scene, &mut acts);
        self.speak(&scene, &mut acts);
        acts
    }

    fn take_in(&mut self, pressed: Pressed, ways: Ways, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        match pressed {
            Pressed::Down(deed) => self.begin(deed, ways, scene, acts),
            Pressed::Up(deed) => self.end(deed, acts),
            Pressed::Moved { x, y } => {
                let up = if ways.invert { y } else { -y };
                let per_count = f64::from(ways.mouse);
                self.look_by(-f64::from(x) * per_count, f64::from(up) * per_count, scene);
            }
            Pressed::Wheel(notches) => {
                let coarse = self.is(Deed::Hurry);
                let fine = self.is(Deed::Slowly);
                self.grip.wheel(notches, coarse, fine, scene, acts);
            }
            Pressed::Picked(Word::TagOut(part)) => acts.push(Act::TagOut(part)),
            Pressed::Picked(Word::Say(call)) => {
                let stops = |call| Word::Say(call).stops();
                if !self.word.is_some_and(|(waits, _)| stops(waits)) || stops(call) {
                    self.word = Some((call, scene.tick));
                }
            }
            Pressed::Drawn(share) => self.finger.draw(share),
            Pressed::Clicked => {
                if self.grip.holds_control(scene) {
                    self.grip.click(true, scene, acts);
                }
            }
            Pressed::Strides { x, y } => self.strides = within_circle(x, y),
            Pressed::Leans { x, y } => self.leans = within_circle(x, y),
            Pressed::Released => {
                self.down.clear();
                self.latched.clear();
                self.strides = Vec2::ZERO;
                self.leans = Vec2::ZERO;
                self.owed = [0.0; 2];
                self.finger.release();
                self.grip.release(acts);
            }
            Pressed::Marked => acts.push(Act::Bookmark),
        }
    }

    fn begin(&mut self, deed: Deed, ways: Ways, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        if !self.down.insert(deed) {
            return;
        }
        if ways.toggles && deed.may_toggle() {
            self.down.remove(&deed);
            if !self.latched.remove(&deed) {
                self.latched.insert(deed);
            }
        }
        match deed {
            Deed::Squeeze if self.grip.holds_control(scene) => {
                self.grip.click(true, scene, acts);
            }
            Deed::Squeeze => self.finger.press(scene),
            Deed::Brace if self.grip.holds_control(scene) => {
                self.down.remove(&deed);
                self.latched.remove(&deed);
                self.grip.click(false, scene, acts);
            }
            Deed::Take => {
                let at = self.gaze.at(scene.level, scene.frame, scene.me.seat);
                self.grip.take(at, scene, acts);
            }
            Deed::Catch if scene.me.seat == Seat::LANCE => {
                acts.push(Act::SafetyCatch(!scene.frame.tool.catch_on));
            }
            Deed::Staggered => {
                let was = self
                    .staggered
                    .unwrap_or(scene.me.stance == Stance::Staggered);
                self.staggered = Some(!was);
            }
            Deed::Stop => {
                let eye = self.gaze.eye(scene.me, scene.frame);
                self.grip.strike(&eye, scene);
            }
            _ => {}
        }
    }

    fn end(&mut self, deed: Deed, acts: &mut Vec<Act>) {
        self.down.remove(&deed);
        match deed {
            Deed::Squeeze => self.finger.let_go(),
            Deed::Take => self.grip.let_go(acts),
            _ => {}
        }
    }

    /// Turns the look or the aim, by units to the left and up.
    fn look_by(&mut self, left: f64, up: f64, scene: &Scene<'_>) {
        let round = self.is(Deed::LookRound);
        if scene.tool && !round {
            for (owed, by) in self.owed.iter_mut().zip([left, up]) {
                *owed = (*owed + by).clamp(-OWED_UNITS, OWED_UNITS);
            }
        } else {
            let unit = f64::from(UNIT_RAD);
            self.gaze.turn((left * unit) as f32, (up * unit) as f32);
        }
    }

    /// The stick looks; with a control in the hand it turns that.
    fn stick(&mut self, scene: &Scene<'_>) {
        if self.leans == Vec2::ZERO {
            return;
        }
        // Slow in the middle, quick at the end.
        let by = self.leans * self.leans.length();
        if self.grip.turns(scene) {
            self.grip.spin(by.x);
        } else {
            let units = by * (STICK_RAD / UNIT_RAD);
            self.look_by(f64::from(-units.x), f64::from(units.y), scene);
        }
    }

    /// The way that the feet are wished to go, to the right and ahead of the
    /// look; its length is 1 at most.
    fn wish(&self) -> Vec2 {
        let side = |deed| f32::from(u8::from(self.is(deed)));
        let keys = Vec2::new(
            side(Deed::Right) - side(Deed::Left),
            side(Deed::Ahead) - side(Deed::Back),
        );
        (keys + self.strides).clamp_length_max(1.0)
    }

    fn feet(&mut self, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let me = scene.me;
        if me.fallen || me.working.is_some() {
            // Whoever falls or works has stopped already.
            self.walk = Some((0, 0));
            return;
        }
        let wish = self.wish();
        let top = if self.is(Deed::Slowly) {
            SLOWLY_M_S
        } else if self.is(Deed::Hurry) && wish.y > 0.5 {
            HURRY_M_S
        } else {
            WALK_M_S
        };
        let share = if wish.y > 0.1 { 1.0 } else { BACKWARDS };
        let speed = wish * (100.0 * top * share);
        // From the look's frame into the body's.
        let ahead = if scene.tool {
            self.arm_yaw_rad
        } else {
            less_turns(self.gaze.ahead_rad(me) - me.yaw_rad as f32)
        };
        let mut turned = Vec2::from_angle(ahead).rotate(speed);
        // Nobody walks on with the tip at a wall.
        if scene.tool
            && Before::of(scene.level, &scene.frame.tool).is_some_and(|before| before.touches())
        {
            turned.y = turned.y.min(0.0);
        }
        let whole = |cm_s: f32| (STEP_CM_S * (cm_s / STEP_CM_S).round()) as i16;
        let told = (whole(turned.y), whole(turned.x));
        let was = self.walk.unwrap_or(if me.speed_m_s > 0.05 {
            (i16::MAX, 0)
        } else {
            (0, 0)
        });
        if told != was {
            acts.push(Act::Walk {
                forward_cm_s: told.0,
                right_cm_s: told.1,
            });
        }
        self.walk = Some(told);

        let wide = self.is(Deed::Wide);
        let staggered = *self.staggered.get_or_insert(me.stance == Stance::Staggered);
        let stance = match (wide, staggered) {
            _ if self.is(Deed::Crouch) => Stance::Crouched,
            (true, _) => Stance::Wide,
            (false, true) => Stance::Staggered,
            (false, false) => Stance::Normal,
        };
        if stance != me.stance {
            acts.push(Act::Stand(stance));
        }
    }

    fn turn(&mut self, scene: &Scene<'_>, ways: Ways, acts: &mut Vec<Act>) {
        if scene.me.fallen {
            return;
        }
        let mut yaw = 0;
        if self.is(Deed::TurnLeft) {
            yaw += TURN_UNITS;
        }
        if self.is(Deed::TurnRight) {
            yaw -= TURN_UNITS;
        }
        if yaw != 0 {
            self.gaze.turn_with_body(f32::from(yaw) * UNIT_RAD);
        }
        if !scene.tool && !self.gaze.looks_round() {
            let walks = self.wish() != Vec2::ZERO;
            let follow = self.gaze.to_follow(scene.me, walks) / UNIT_RAD;
            // The key's own turn is not yet in the frame.
            let follow = if yaw == 0 { follow } else { 0.0 };
            yaw += follow.clamp(-FOLLOW_UNITS, FOLLOW_UNITS) as i16;
        }
        if scene.tool && ways.follows && yaw == 0 {
            let calm = scene.frame.jet.is_none() && scene.frame.tool.squeeze <= 0.0;
            let stands = self.wish() == Vec2::ZERO && scene.me.turning_rad.abs() < 0.01;
            let braces = self.is(Deed::Brace);
            let [turn, aim] = self.follow.square(scene, braces, calm && stands);
            if aim != 0 {
                acts.push(Act::Aim { yaw: aim, pitch: 0 });
            }
            yaw = turn;
        }
        if yaw != 0 {
            acts.push(Act::Turn { yaw });
        }
    }

    fn aim(&mut self, scene: &Scene<'_>, ways: Ways, acts: &mut Vec<Act>) {
        if !scene.tool {
            self.owed = [0.0; 2];
            self.follow.forget();
            return;
        }
        if scene.me.fallen || self.owed == [0.0; 2] {
            return;
        }
        let effort = Effort::of(scene.me, scene.frame);
        let most = effort.aim_rad_s / f64::from(UNIT_RAD) / f64::from(TICKS_PER_SECOND);
        let whole = self.owed.map(|owed| owed.clamp(-most, most).round());
        for (owed, whole) in self.owed.iter_mut().zip(whole) {
            *owed -= whole;
        }
        let [yaw, pitch] = whole.map(|units| units as i16);
        if (yaw, pitch) != (0, 0) {
            acts.push(Act::Aim { yaw, pitch });
            if ways.follows {
                self.follow.aimed(scene, [yaw, pitch]);
            }
        }
    }

    fn arms(&mut self, scene: &Scene<'_>, ways: Ways, acts: &mut Vec<Act>) {
        if scene.tool && !scene.me.fallen {
            let by = |on, off| i16::from(self.is(on)) - i16::from(self.is(off));
            let mut keys = [by(Deed::Reach, Deed::DrawIn), by(Deed::Lift, Deed::Lower)];
            for (n, way) in keys.iter_mut().enumerate() {
                if *way == 0 && (1..HAND_TAP).contains(&self.hand_ticks[n]) {
                    *way = self.hand_ways[n];
                }
            }
            self.hand_ways = keys;
            let before = Before::of(scene.level, &scene.frame.tool);
            let touches = before.is_some_and(|before| before.touches());
            let followed = if ways.follows {
                let meddled = keys != [0, 0] || self.wish() != Vec2::ZERO;
                self.follow.tick(scene, meddled)
            } else {
                Followed::default()
            };
            if followed.pitch != 0 {
                acts.push(Act::Aim {
                    yaw: 0,
                    pitch: followed.pitch,
                });
            }
            for (n, way) in keys.into_iter().enumerate() {
                self.hand_ticks[n] = if way == 0 { 0 } else { self.hand_ticks[n] + 1 };
                let slowly = self.is(Deed::Slowly) || self.hand_ticks[n] <= HAND_BEGINS;
                let step = if slowly { HAND_SLOWLY_MM } else { HAND_MM };
                let mm = step * way + followed.mm[n];
                // Nobody pushes on where the arms come to their end, or pokes the tip
                // into a wall.
                let (may, act) = if n == 0 {
                    let free = mm < 0 || !touches;
                    (free && scene.me.may_reach(mm.into()), Act::Reach { mm })
                } else {
                    (scene.me.may_lift(mm.into()), Act::Lift { mm })
                };
                if mm != 0 && may {
                    acts.push(act);
                }
            }
        }
        // The yard takes the tool out of the shoulder with the hands.
        let was = self.brace.filter(|_| scene.tool);
        let was = was.unwrap_or(scene.tool && scene.me.braced > 0.0);
        let now = self.is(Deed::Brace);
        if scene.tool && scene.me.working.is_none() && !scene.me.holds_hose && now != was {
            acts.push(Act::Brace(now));
            self.brace = Some(now);
        } else {
            self.brace = Some(was);
        }
    }

    fn speak(&mut self, scene: &Scene<'_>, acts: &mut Vec<Act>) {
        let Some((call, since)) = self.word else {
            return;
        };
        if scene.me.saying.is_none() {
            acts.push(Act::Say(call));
            self.word = None;
        } else if scene.tick.0.saturating_sub(since.0) > WORD_WAITS {
            self.word = None;
        }
    }
}

fn within_circle(x: f32, y: f32) -> Vec2 {
    let stick = Vec2::new(x, y);
    if stick.is_finite() {
        stick.clamp_length_max(1.0)
    } else {
        Vec2::ZERO
    }
}
