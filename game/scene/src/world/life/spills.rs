//! Water where it should not be: past the packings, out of the relief, out of a
//! hole in the hose and out of its torn ends; and the puddles that come of it.

use super::hose::Lies;
use super::puffs::{Puffs, hash, scatter};
use super::water::{SLOW_M_S, clear, falls, pool, pour, white};
use crate::leaks::{self, DECK_EDGE_M, DECK_Y_M, GLANDS};
use crate::stage::{Show, point};
use bevy::prelude::*;

/// Water that has run together where it should not, litres.
#[derive(Default)]
pub(super) struct Spilt {
    gland_l: f32,
    relief_l: f32,
    disc_l: f32,
    hole_l: f32,
    torn_l: f32,
}

/// What a puddle loses to the drain, litres a second, and the most that stays in it.
const DRAINS_L_S: f32 = 0.02;
const STAYS_L: f32 = 12.0;
/// Of the mist of a fine jet no more than this comes down in one place.
const COMES_DOWN: f32 = 0.6;

/// Litres a second of a flow of the picture.
fn litres(show: &Show, of: impl Fn(&yard::view::MachineView) -> f64) -> f32 {
    let flow = 1000.0 * show.number(|f| of(&f.machine));
    if flow.is_finite() { flow.max(0.0) } else { 0.0 }
}

impl Spilt {
    /// Lets it grow for a while of the yard's own time.
    pub(super) fn grow(&mut self, show: &Show, dt: f32) {
        let mut gather = |of: fn(&mut Spilt) -> &mut f32, l_s: f32| {
            let litres = of(self);
            *litres = (*litres + dt * (l_s - DRAINS_L_S)).clamp(0.0, STAYS_L);
        };
        gather(|s| &mut s.gland_l, litres(show, |m| m.gland_m3_s));
        gather(|s| &mut s.relief_l, litres(show, |m| m.relief_m3_s));
        gather(|s| &mut s.disc_l, litres(show, |m| m.disc_m3_s));
        gather(
            |s| &mut s.hole_l,
            COMES_DOWN * litres(show, |m| m.hole_m3_s),
        );
        let torn_l_s = leaks::torn(show).map_or(0.0, |torn| 1000.0 * torn.flow_m3_s as f32);
        gather(|s| &mut s.torn_l, torn_l_s);
    }

    /// Draws the puddles.
    pub(super) fn pools(&self, puffs: &mut Puffs, show: &Show, lies: &Lies) {
        if let Some(foot) = leaks::unit_foot(&show.loaded.level) {
            // It runs off the deck, and out from under the panel.
            let edge = DECK_EDGE_M + 0.2;
            pool(
                puffs,
                foot + Vec3::new(GLANDS[1].x, 0.0, edge),
                self.gland_l,
            );
            for (out, litres) in [
                (leaks::RELIEF_OUT, self.relief_l),
                (leaks::DISC_OUT, self.disc_l),
            ] {
                pool(puffs, foot + Vec3::new(out.x, 0.0, edge), litres);
            }
        }
        if let Some((at, out)) = hole(lies) {
            pool(
                puffs,
                (at + 0.8 * out) * Vec3::new(1.0, 0.0, 1.0),
                self.hole_l,
            );
        }
        if let Some(torn) = leaks::torn(show) {
            let runs = point(torn.at) + 0.5 * point(torn.out);
            pool(puffs, runs * Vec3::new(1.0, 0.0, 1.0), self.torn_l);
        }
    }
}

/// Where the hole in the hose is as it is drawn, and the way its jet goes: up and to
/// the side.
fn hole(lies: &Lies) -> Option<(Vec3, Vec3)> {
    let (at, way, _) = leaks::along(&lies.line, 0.5 * leaks::length_m(&lies.line))?;
    let side = way.cross(Vec3::Y).normalize_or(Vec3::Z);
    // Towards who stands at the panel, where that is to one side.
    let side = if side.z < 0.0 { -side } else { side };
    Some((
        at + Vec3::Y * 0.02,
        (Vec3::Y + 0.75 * side + 0.15 * way).normalize(),
    ))
}

/// Draws all water that gets out where it should not.
pub(super) fn draw(puffs: &mut Puffs, show: &Show, lies: &Lies, t: f32, eye: &Transform) {
    if let Some(foot) = leaks::unit_foot(&show.loaded.level) {
        piped(
            puffs,
            foot,
            leaks::RELIEF_OUT,
            litres(show, |m| m.relief_m3_s),
            t,
            eye,
        );
        let disc_l_s = litres(show, |m| m.disc_m3_s);
        piped(puffs, foot, leaks::DISC_OUT, disc_l_s, t, eye);
        blast(puffs, foot + leaks::DISC_OUT, disc_l_s, t, eye);
        gland(puffs, foot, litres(show, |m| m.gland_m3_s), t, eye);
    }
    if let Some((at, out)) = hole(lies) {
        needle(puffs, show, at, out, t, eye);
    }
    for torn in &show.now.torn {
        let flow_l_s = 1000.0 * torn.flow_m3_s as f32;
        gush(puffs, point(torn.at), point(torn.out), flow_l_s, t, eye);
    }
}

/// What leaves the end of a pipe over the deck, and runs off its edge.
fn piped(puffs: &mut Puffs, foot: Vec3, out: Vec3, flow_l_s: f32, t: f32, eye: &Transform) {
    if flow_l_s < 0.004 {
        return;
    }
    falls(puffs, foot + out, DECK_Y_M, flow_l_s, t, eye);
    let from = foot + Vec3::new(out.x, DECK_Y_M, DECK_EDGE_M);
    falls(puffs, from, 0.0, 0.6 * flow_l_s, t + 0.3, eye);
}

/// Flow from which what comes out of a pipe is torn to spray on the deck, litres a second.
const TORN_UP_L_S: f32 = 0.25;

/// The spray of a pipe that lets go all that a pump gives, and as a disc tears far more than that.
fn blast(puffs: &mut Puffs, at: Vec3, flow_l_s: f32, t: f32, eye: &Transform) {
    let power = ((flow_l_s - TORN_UP_L_S) / 0.6).clamp(0.0, 3.0);
    for n in 0..(50.0 * power) as u32 {
        let age = (hash(n + 7600) + t * (2.4 + hash(n + 7700))).fract();
        let way = scatter(n + 7800) * Vec3::new(1.0, 0.35, 1.0);
        let deck = Vec3::new(at.x, DECK_Y_M + 0.06, at.z);
        let place = deck + way * (0.25 + 0.45 * power) * age + Vec3::Y * (0.5 * age * (1.0 - age));
        let size = 0.02 + 0.09 * power.min(1.5) * age;
        puffs.puff(place, size, white(0.4 * (1.0 - age)), eye);
    }
}

/// Flow past one packing from which a thread is seen, and with which it is as thick
/// as any, litres a second.
const THREAD_L_S: [f32; 2] = [2e-4, 0.08];

/// Threads of water from the packings down to the deck, and over its edge.
fn gland(puffs: &mut Puffs, foot: Vec3, all_l_s: f32, t: f32, eye: &Transform) {
    let one = all_l_s / GLANDS.len() as f32;
    let [seen, thick] = THREAD_L_S;
    if one < seen {
        return;
    }
    let much = (one / thick).min(1.5).sqrt();
    let wide = 0.0015 + 0.012 * much;
    for (n, gland) in GLANDS.into_iter().enumerate() {
        let n = n as u32;
        let from = foot + gland;
        let down = Vec3::new(from.x, foot.y + DECK_Y_M, from.z);
        // Worn packings let it spurt with the stroke.
        let beat = 0.75 + 0.25 * (core::f32::consts::TAU * (6.0 * t + n as f32 / 3.0)).sin();
        let threads = (1.0 + 4.0 * much) as u32;
        for k in 0..threads {
            let off = scatter(5000 + 7 * n + k) * Vec3::new(0.03, 0.0, 0.012) * much;
            thread(puffs, from + off, down + 1.5 * off, wide * beat, eye);
        }
        spray(puffs, down, 5100 + 31 * n, much, t, eye);
        // Over the edge of the deck.
        let edge = Vec3::new(from.x, foot.y + DECK_Y_M, foot.z + DECK_EDGE_M);
        for k in 0..threads {
            let off = Vec3::X * (hash(5300 + 13 * n + k) - 0.5) * 0.24 * much;
            let shake = Vec3::X * 0.006 * (hash((t * 20.0) as u32 + k) - 0.5);
            let to = (edge + off + shake) * Vec3::new(1.0, 0.0, 1.0) + Vec3::Z * 0.03;
            thread(puffs, edge + off, to, 0.9 * wide, eye);
            spray(puffs, to, 5400 + 19 * n + 101 * k, 0.5 * much, t, eye);
        }
    }
}

/// A thread of water that falls.
fn thread(puffs: &mut Puffs, from: Vec3, to: Vec3, wide: f32, eye: &Transform) {
    puffs.streak(from, to, [wide, 0.9 * wide], clear(0.7), eye);
    puffs.streak(from, to, [0.5 * wide, 0.5 * wide], white(0.9), eye);
}

/// What splashes up where so much comes down; `n` makes it another than its neighbours.
fn spray(puffs: &mut Puffs, at: Vec3, n: u32, much: f32, t: f32, eye: &Transform) {
    for k in 0..(2.0 + 12.0 * much) as u32 {
        let age = (hash(n + k) + t * 2.6).fract();
        let off = scatter(n + 57 + k) * Vec3::new(0.16, 0.0, 0.16) * (0.2 + much) * age;
        let rise = Vec3::Y * (0.012 + 0.22 * much * age * (1.0 - age));
        let size = 0.010 + 0.045 * much * age;
        puffs.puff(at + off + rise, size, white(0.45 * (1.0 - age)), eye);
    }
}

/// Push of a jet out of a hole that is drawn as wide as any, newtons.
const WIDE_N: f32 = 50.0;

/// A needle out of the hose, which is hard to see while it is small, and the mist that
/// it becomes.
fn needle(puffs: &mut Puffs, show: &Show, at: Vec3, out: Vec3, t: f32, eye: &Transform) {
    let machine = &show.now.machine;
    let flow_l_s = litres(show, |m| m.hole_m3_s);
    let speed = leaks::hole_m_s(machine) as f32;
    if flow_l_s < 5e-4 || !speed.is_finite() {
        return;
    }
    if speed < SLOW_M_S {
        pour(puffs, at, out, speed.clamp(0.6, SLOW_M_S), flow_l_s, t, eye);
        return;
    }
    let push = (leaks::hole_n(machine) as f32 / WIDE_N).clamp(0.02, 1.6);
    let power = push.sqrt();
    let seen = power.min(1.0);
    let reach = 0.7 + 2.4 * power;
    let core = 0.15 + 0.45 * power;
    let thin = 0.0018 + 0.0062 * seen;
    let middle = at + out * core;
    puffs.streak(
        at,
        middle,
        [thin, 2.0 * thin],
        white(0.25 + 0.7 * seen),
        eye,
    );
    // It breaks up, and the air stops it: a plume that widens and hangs.
    puffs.streak(
        at + out * 0.6 * core,
        at + out * 0.7 * reach,
        [2.0 * thin, 0.03 + 0.11 * power],
        white(0.06 + 0.46 * seen),
        eye,
    );
    for n in 0..(24.0 + 110.0 * power) as u32 {
        let age = (hash(n + 6000) + t * (1.3 + 0.9 * hash(n + 6100))).fract();
        let slowed = 1.0 - (1.0 - age) * (1.0 - age);
        let off = scatter(n + 6200) * (0.01 + (0.07 + 0.06 * power) * slowed * reach);
        let place = at + out * slowed * reach + off - Vec3::Y * (0.9 * age * age * age);
        puffs.puff(
            Vec3::new(place.x, place.y.max(0.02), place.z),
            0.02 + (0.05 + 0.13 * power) * slowed,
            white((1.0 - age) * (0.08 + 0.44 * seen)),
            eye,
        );
    }
    // Drops that are large enough to be seen fall in bows.
    for n in 0..(6.0 + 34.0 * power) as u32 {
        let age = (hash(n + 6400) + t * 1.1).fract();
        let way = out + scatter(n + 6500) * 0.3;
        let bow = |s: f32| at + way * (1.6 * reach * s) - Vec3::Y * (2.4 * reach * s * s);
        let (from, to) = (bow(age), bow(age + 0.025));
        if to.y > 0.0 {
            let colour = if n % 3 == 0 { clear } else { white };
            puffs.streak(from, to, [0.004, 0.004], colour(0.75 * (1.0 - age)), eye);
        }
    }
}

/// Bore of the hose as water leaves its torn end, square metres: 13 mm.
const BORE_M2: f32 = 1.327e-4;

/// A full bore of water out of a torn end.
fn gush(puffs: &mut Puffs, at: Vec3, out: Vec3, flow_l_s: f32, t: f32, eye: &Transform) {
    if flow_l_s < 0.004 {
        return;
    }
    let speed = (flow_l_s / 1000.0 / BORE_M2).clamp(0.7, SLOW_M_S);
    for n in 0..3 {
        let spread = scatter(7000 + n + 3 * (t * 15.0) as u32) * 0.05;
        pour(
            puffs,
            at,
            (out + spread).normalize(),
            speed,
            0.45 * flow_l_s,
            t + 0.21 * n as f32,
            eye,
        );
    }
    // As it parts the whole line lets go at once.
    let power = (flow_l_s / 0.5).min(2.5);
    for n in 0..(16.0 + 60.0 * power) as u32 {
        let age = (hash(n + 7100) + t * (1.8 + hash(n + 7200))).fract();
        let way = out + scatter(n + 7300) * 0.35;
        let place = at + way * ((0.3 * speed).min(3.0) * age) - Vec3::Y * (1.2 * age * age);
        let size = 0.02 + 0.12 * power * age;
        // The ground would else cut it off along a line.
        puffs.puff(
            Vec3::new(place.x, place.y.max(0.7 * size), place.z),
            size,
            white(0.42 * (1.0 - age)),
            eye,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn straight() -> Lies {
        Lies {
            line: (0..=8).map(|n| Vec3::X * n as f32).collect(),
        }
    }

    #[test]
    fn a_hole_is_halfway() {
        let (at, out) = hole(&straight()).expect("a hole");
        assert!((at.x - 4.0).abs() < 1e-4, "{at}");
        assert!(out.y > 0.5 && out.z > 0.3, "{out}");
        assert!(hole(&Lies::default()).is_none());
    }
}
