//! The watch played by the program: keeps people out of the zone.
//!
//! Stands at the barrier and looks out for whoever comes, and shouts at the
//! sight of harm. Sees no further
//! than the eyes of a person there, and has only its voice to stop the work.

#[cfg(test)]
mod tests;

use crate::person::{Mind, Past, Person, Site, Skill, distance_m};
use crate::pilot::{Step, Voice, Walk};
use crate::shock::Shock;
use crate::{Call, Input, Percepts, Seat, Source, Tick};
use serde::{Deserialize, Serialize};

/// How a watch behaves in a level.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WatchWays {
    /// Time to think before a word, seconds.
    pub reply_s: f64,
    /// When the watch steps too near to the work, after the first water out
    /// of the tool was seen, seconds.
    pub steps_near_after_s: Option<f64>,
    /// Where to: the name of a place.
    pub near_place: Option<String>,
}

/// Somebody this near to the zone and coming nearer is as good as in it,
/// metres (a choice of this project: two seconds of walking).
const NEAR_ZONE_M: f64 = 2.5;
/// Somebody has to be out of that distance for so long before the zone counts
/// as clear, seconds (a choice of this project).
const CLEAR_S: f64 = 2.0;
/// A call that is not followed is made again after this long, seconds (the
/// rule agreed at the briefing).
const AGAIN_S: f64 = 3.0;
/// Nobody thinks for longer than this before a call that stops the work,
/// seconds (a choice of this project).
const ALARM_MAX_S: f64 = 0.5;
/// Whether somebody comes nearer is told from two looks so far apart, seconds
/// (a choice of this project).
const LOOK_S: f64 = 0.25;
/// Nearer by this much from look to look is coming nearer, metres (a choice
/// of this project: 0.2 m/s).
const NEARER_M: f64 = 0.05;
/// How far the watch goes towards somebody, metres: a step or two.
const TOWARDS_M: f64 = 1.2;
/// The watch keeps this far from somebody, metres (a choice of this project:
/// out of arm's reach).
const APART_M: f64 = 1.5;
/// A way leads away from somebody near when the cosine of the angle between
/// it and the way up to them is below the negative of this.
const AWAY_COS: f64 = 0.3;
/// The watch keeps this far from the way of the jet, metres (a choice of this
/// project).
const JET_WAY_M: f64 = 1.0;
/// Shares of the way out at which it is looked whether it is free.
const PACES: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
/// How near to a spot is there, metres.
const NEAR_M: f64 = 0.2;
/// The watch stays too near to the work for so long when nobody says anything,
/// seconds (a choice of this project).
const STAY_S: f64 = 20.0;
/// Turned away by more than this, one turns to what is to be looked at,
/// radians.
const GAZE_RAD: f64 = 0.25;
/// The zone was called clear no longer ago than this when it is said again,
/// seconds (a choice of this project).
const REPEAT_WITHIN_S: f64 = 15.0;
/// Name of the place where the lance hand stands, where they are not seen.
const LANCE_PLACE: &str = "lance";

/// Somebody has to be stopped.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Alarm {
    /// When the next call is made.
    call_at: Tick,
    /// A call was made.
    called: bool,
    /// Since when the other is away from the zone.
    clear: Option<Tick>,
    /// When the zone is called clear.
    word_at: Option<Tick>,
}

/// What is known of the one who has no business here.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Other {
    at: [f64; 2],
    /// Distance from the zone at the last look, and when that was.
    look: (Tick, f64),
    nearing: bool,
}

/// Forgetting oneself and stepping too near to the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Stray {
    /// At the post.
    #[default]
    No,
    /// On the way to where the watch should not be.
    Goes,
    /// There since this tick.
    Stays(Tick),
    /// On the way back, or back; it happens once.
    Back,
}

/// The watch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Watch {
    me: Person,
    ways: WatchWays,
    site: Site,
    voice: Voice,
    /// Where it stood at first, and the way it faced.
    post: Option<([f64; 2], f64)>,
    other: Option<Other>,
    alarm: Option<Alarm>,
    stray: Stray,
    water: Option<Tick>,
    /// Where it walks to.
    goal: Option<[f64; 2]>,
    walk: Walk,
    turning: bool,
    /// When the zone was called clear, and when that is said again.
    cleared: Option<Tick>,
    repeat_at: Option<Tick>,
    shock: Shock,
}

impl Watch {
    /// A watch; the small differences between their pauses are drawn from
    /// `seed`.
    pub fn new(ways: WatchWays, site: Site, seed: u64) -> Self {
        let calm = Skill {
            spread: 0.1,
            ..Skill::steady()
        };
        Watch {
            me: Person::new(Seat::WATCH, Source::Crew, calm, seed).of(&site),
            ways,
            site,
            voice: Voice::default(),
            post: None,
            other: None,
            alarm: None,
            stray: Stray::No,
            water: None,
            goal: None,
            walk: Walk::default(),
            turning: false,
            cleared: None,
            repeat_at: None,
            shock: Shock::default(),
        }
    }

    /// Whether the watch has forgotten itself.
    pub fn stray(&self) -> Stray {
        self.stray
    }

    /// Whether somebody is being kept out of the zone.
    pub fn alarmed(&self) -> bool {
        self.alarm.is_some()
    }

    /// Looks at whoever comes. Somebody out of sight is taken to be where they
    /// were seen last.
    fn look(&mut self, p: &Percepts) {
        let seen = p.people.iter().find(|(seat, _)| *seat == Seat::VISITOR);
        let (Some(&(_, at)), Some(away_m)) = (seen, seen.and_then(|s| self.outside_m(s.1))) else {
            return;
        };
        let fresh = Other {
            at,
            look: (p.tick, away_m),
            nearing: false,
        };
        let other = self.other.get_or_insert(fresh);
        other.at = at;
        let (since, before_m) = other.look;
        if p.tick.since(since) >= LOOK_S {
            other.nearing = before_m - away_m > NEARER_M;
            other.look = (p.tick, away_m);
        }
    }

    /// Says once more that the zone is clear, to whoever did not hear it.
    fn repeat(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let fresh = self
            .cleared
            .is_some_and(|at| self.alarm.is_none() && p.tick.since(at) < REPEAT_WITHIN_S);
        if !fresh {
            self.repeat_at = None;
        } else if p.hears(Call::SayAgain) {
            self.repeat_at = Some(p.tick.after(self.me.pause_s(self.ways.reply_s)));
        }
        if self.repeat_at.is_some_and(|at| p.tick >= at) && !self.voice.speaks(p.tick) {
            self.repeat_at = None;
            self.voice.say(&self.me, p, Call::ZoneClear, out);
        }
    }

    /// How far outside the zone a spot is; 0 within it, none without a zone.
    fn outside_m(&self, at: [f64; 2]) -> Option<f64> {
        let [least, greatest] = self.site.zone_m?;
        let nearest = [
            at[0].clamp(least[0], greatest[0].max(least[0])),
            at[1].clamp(least[1], greatest[1].max(least[1])),
        ];
        Some(distance_m(at, nearest))
    }

    /// Calls until the zone is left, and says so once it is clear.
    fn keep_zone(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let Some(other) = self.other else { return };
        let Some(away_m) = self.outside_m(other.at) else {
            return;
        };
        let threat = away_m <= 0.0 || (away_m <= NEAR_ZONE_M && other.nearing);
        if threat && self.alarm.is_none() {
            let think_s = self.me.pause_s(self.ways.reply_s.clamp(0.0, ALARM_MAX_S));
            self.alarm = Some(Alarm {
                call_at: p.tick.after(think_s),
                called: false,
                clear: None,
                word_at: None,
            });
        }
        let Some(mut alarm) = self.alarm else { return };
        if threat {
            alarm.clear = None;
            alarm.word_at = None;
        }
        // The first call is made even if the other has turned meanwhile.
        if (threat || !alarm.called) && p.tick >= alarm.call_at && !self.voice.speaks(p.tick) {
            self.voice.say(&self.me, p, Call::AllStop, out);
            alarm.called = true;
            alarm.call_at = p.tick.after(AGAIN_S);
        }
        if away_m <= NEAR_ZONE_M {
            alarm.clear = None;
            alarm.word_at = None;
        } else if !threat && alarm.called {
            let since = *alarm.clear.get_or_insert(p.tick);
            if p.tick.since(since) >= CLEAR_S {
                let at = match alarm.word_at {
                    Some(at) => at,
                    None => p.tick.after(self.me.pause_s(self.ways.reply_s)),
                };
                alarm.word_at = Some(at);
                if p.tick >= at && !self.voice.speaks(p.tick) {
                    self.voice.say(&self.me, p, Call::ZoneClear, out);
                    self.cleared = Some(p.tick);
                    self.alarm = None;
                    return;
                }
            }
        }
        self.alarm = Some(alarm);
    }

    /// Forgets itself once, where the level has it so, and comes to itself at
    /// a call of the lance hand.
    fn wander(&mut self, p: &Percepts) {
        if p.jet_runs {
            self.water.get_or_insert(p.tick);
        }
        let stops = |c| matches!(c, Call::AllStop | Call::Dump | Call::Release);
        let called = p
            .heard
            .iter()
            .any(|h| h.seat == Seat::LANCE && stops(h.call));
        let place = self.ways.near_place.as_ref();
        let near = place.and_then(|id| self.site.place(id));
        let (Some(after_s), Some(near)) = (self.ways.steps_near_after_s, near) else {
            return;
        };
        let awake = called || self.alarm.is_some();
        self.stray = match self.stray {
            Stray::No if self.alarm.is_some() => Stray::No,
            Stray::No if self.water.is_some_and(|w| p.tick.since(w) >= after_s) => Stray::Goes,
            Stray::Goes | Stray::Stays(_) if awake => Stray::Back,
            Stray::Goes if distance_m(p.body.at_m, near) <= 2.0 * NEAR_M => Stray::Stays(p.tick),
            Stray::Stays(since) if p.tick.since(since) >= STAY_S => Stray::Back,
            same => same,
        };
    }

    /// Where the watch wants to stand.
    fn wants(&self, p: &Percepts, post: [f64; 2]) -> [f64; 2] {
        if let (Some(_), Some(other)) = (self.alarm, self.other) {
            return self.towards(p, post, other.at).unwrap_or(post);
        }
        let place = self.ways.near_place.as_ref();
        match (self.stray, place.and_then(|id| self.site.place(id))) {
            (Stray::Goes | Stray::Stays(_), Some(near)) => near,
            _ => post,
        }
    }

    /// A step or two from the post towards somebody, where that leads neither
    /// up to them nor into the way of the jet.
    fn towards(&self, p: &Percepts, post: [f64; 2], other: [f64; 2]) -> Option<[f64; 2]> {
        let far_m = distance_m(post, other);
        let paces_m = TOWARDS_M.min(far_m - APART_M - NEAR_M);
        if paces_m < NEAR_M {
            return None;
        }
        let spot = [0, 1].map(|i| post[i] + (other[i] - post[i]) * paces_m / far_m);
        let here = p.body.at_m;
        let free = PACES
            .iter()
            .map(|share| [0, 1].map(|i| here[i] + (spot[i] - here[i]) * share))
            .all(|at| !self.in_jet_way(p, at));
        free.then_some(spot)
    }

    /// Whether a spot is between the lance hand and the surface, or nearly.
    fn in_jet_way(&self, p: &Percepts, at: [f64; 2]) -> bool {
        let Some(surface) = self.site.surface else {
            return false;
        };
        let seen = p.people.iter().find(|(seat, _)| *seat == Seat::LANCE);
        let Some(lance) = seen.map(|s| s.1).or_else(|| self.site.place(LANCE_PLACE)) else {
            return false;
        };
        let ground = |x_m| {
            let [x, _, z] = surface.point_m(x_m, 0.0);
            [x, z]
        };
        let corners = [lance, ground(0.0), ground(surface.size_m[0])];
        let sides = [(0, 1), (1, 2), (2, 0)].map(|(a, b)| (corners[a], corners[b]));
        let turns =
            sides.map(|(a, b)| (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0]));
        let within = turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0);
        within
            || sides
                .iter()
                .any(|(a, b)| from_line_m(at, *a, *b) < JET_WAY_M)
    }

    /// Goes to where it wants to stand, and looks at what matters there.
    fn stand(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        let here = p.body.at_m;
        let (post, yaw_rad) = *self.post.get_or_insert((here, p.body.yaw_rad));
        let wanted = self.wants(p, post);
        if self
            .goal
            .is_none_or(|g| distance_m(g, wanted) > 2.0 * NEAR_M)
        {
            self.goal = Some(wanted);
            self.walk.stand(&self.me, p, out);
            self.walk = Walk::default();
        }
        let goal = self.goal.unwrap_or(post);
        // Never up to somebody who comes near by themselves.
        let apart = self.other.filter(|_| self.alarm.is_some()).is_none_or(|o| {
            let ahead = |i: usize| (goal[i] - here[i]) * (o.at[i] - here[i]);
            let now_m = distance_m(here, o.at);
            let clearly = -AWAY_COS * distance_m(goal, here) * now_m;
            now_m > APART_M + NEAR_M || ahead(0) + ahead(1) < clearly
        });
        if apart && distance_m(here, goal) > NEAR_M {
            self.turning = false;
            if self.walk.go(&self.me, p, goal, NEAR_M, out) != Step::Going {
                self.walk = Walk::default();
            }
            return;
        }
        self.walk.stand(&self.me, p, out);
        let work = p.people.iter().find(|(seat, _)| *seat == Seat::LANCE);
        let spot = match (self.stray, self.other, work) {
            (Stray::Stays(_), _, Some((_, lance))) => *lance,
            (_, Some(other), _) if distance_m(other.at, here) > NEAR_M => other.at,
            _ => [here[0] + libm::cos(yaw_rad), here[1] - libm::sin(yaw_rad)],
        };
        let toward = libm::atan2(-(spot[1] - here[1]), spot[0] - here[0]);
        if libm::cos(toward - p.body.yaw_rad) < libm::cos(GAZE_RAD) {
            self.turning = true;
        }
        if self.turning {
            self.turning = !self.walk.face(&self.me, p, spot, out);
        }
    }
}

impl Mind for Watch {
    fn come_in(&mut self, past: &Past) {
        self.water = past.water;
    }

    fn act(&mut self, p: &Percepts, out: &mut Vec<Input>) {
        self.look(p);
        if p.body.fallen {
            return;
        }
        self.shock.strikes(p, &mut self.me);
        let speaks = self.voice.speaks(p.tick);
        if self.shock.shouts(p, &self.me, speaks) {
            self.voice.say(&self.me, p, Call::AllStop, out);
        }
        self.keep_zone(p, out);
        self.repeat(p, out);
        self.wander(p);
        self.stand(p, out);
    }
}

/// Distance of a spot from the line between two others, metres.
fn from_line_m(at: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let along = [b[0] - a[0], b[1] - a[1]];
    let square = along[0] * along[0] + along[1] * along[1];
    let share = if square > 0.0 {
        (((at[0] - a[0]) * along[0] + (at[1] - a[1]) * along[1]) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    distance_m(at, [a[0] + along[0] * share, a[1] + along[1] * share])
}
