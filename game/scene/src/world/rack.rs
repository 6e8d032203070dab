//! Protective equipment on its rack: what the trainee wears does not hang there.

use crate::flow::FrameSystems;
use crate::stage::Stage;
use crate::world::kit::{Mason, Stuff};
use bevy::prelude::*;
use core::f32::consts::TAU;
use crew::Ppe;

const WHITE: u32 = 0xe6e4dc;
const BLACK: u32 = 0x24282b;
const ORANGE: u32 = 0xc9622f;
const OCHRE: u32 = 0xc08f35;

/// A piece that hangs on the rack while nobody wears it.
#[derive(Component)]
pub struct Hangs(pub Ppe);

/// Builds a piece about the place where a hand takes it; who takes it stands
/// at -z.
pub fn build(m: &mut Mason, item: Ppe) {
    match item {
        Ppe::Helmet => helmet(m),
        Ppe::Visor => visor(m),
        Ppe::EarDefenders => ear_defenders(m),
        Ppe::Gloves => {
            for s in [-1.0, 1.0] {
                m.within(
                    Transform::from_xyz(0.07 * s, 0.0, -0.02)
                        .with_rotation(Quat::from_rotation_z(0.12 * s)),
                    glove,
                );
            }
        }
        Ppe::Suit => suit(m),
        Ppe::Boots => {
            for s in [-1.0, 1.0] {
                m.within(Transform::from_xyz(0.075 * s, -0.08, -0.03), boot);
            }
        }
    }
}

fn helmet(m: &mut Mason) {
    m.of(Stuff::Paint, WHITE);
    let dome: Vec<(f32, f32)> = (0..=8_u8)
        .map(|n| {
            let turn = 0.25 * TAU * f32::from(n) / 8.0;
            (0.125 * turn.cos(), -0.03 + 0.125 * turn.sin())
        })
        .collect();
    m.turned(&[(0.0, -0.035), (0.145, -0.035), (0.145, -0.028)], 28);
    m.turned(&dome, 28);
    m.rounded(
        Vec3::new(0.0, -0.034, -0.14),
        Vec3::new(0.19, 0.012, 0.09),
        0.005,
    );
    m.rounded(Vec3::new(0.0, 0.08, 0.0), Vec3::new(0.03, 0.03, 0.17), 0.01);
    m.of(Stuff::Rubber, BLACK);
    m.turned(&[(0.118, -0.05), (0.118, -0.03)], 24);
}

fn visor(m: &mut Mason) {
    m.of(Stuff::Rubber, BLACK);
    let at = |n: u8, y: f32, out: f32| {
        let turn = TAU * (0.5 + (f32::from(n) / 12.0 - 0.5) * 0.46);
        Vec3::new(
            (0.15 + out) * turn.sin(),
            y,
            0.08 + (0.15 + out) * turn.cos(),
        )
    };
    for n in 0..12 {
        m.bar(at(n, 0.1, 0.0), at(n + 1, 0.1, 0.0), 0.014, 8);
        m.bar(at(n, -0.13, 0.0), at(n + 1, -0.13, 0.0), 0.005, 6);
    }
    m.of(Stuff::Glass, 0x9fb3b6);
    for n in 0..12 {
        let quad = [
            at(n, -0.13, 0.0),
            at(n + 1, -0.13, 0.0),
            at(n + 1, 0.1, 0.0),
            at(n, 0.1, 0.0),
        ];
        m.face(quad);
        m.face([quad[1], quad[0], quad[3], quad[2]]);
    }
}

fn ear_defenders(m: &mut Mason) {
    m.of(Stuff::Rubber, BLACK);
    let at = |n: u8| {
        let turn = 0.5 * TAU * f32::from(n) / 14.0;
        Vec3::new(-0.085 * turn.cos(), -0.02 + 0.13 * turn.sin(), 0.0)
    };
    for n in 0..14 {
        m.bar(at(n), at(n + 1), 0.008, 6);
    }
    for s in [-1.0, 1.0] {
        let middle = Vec3::new(0.085 * s, -0.05, 0.0);
        m.of(Stuff::Paint, ORANGE);
        m.rounded(
            middle + Vec3::X * 0.018 * s,
            Vec3::new(0.035, 0.1, 0.075),
            0.016,
        );
        m.of(Stuff::Rubber, BLACK);
        m.rounded(
            middle - Vec3::X * 0.008 * s,
            Vec3::new(0.022, 0.092, 0.068),
            0.01,
        );
    }
}

fn glove(m: &mut Mason) {
    m.of(Stuff::Rubber, 0x2f4a4c);
    m.rounded(Vec3::new(0.0, 0.1, 0.0), Vec3::new(0.11, 0.13, 0.05), 0.022);
    m.of(Stuff::Rubber, BLACK);
    m.rounded(
        Vec3::new(0.0, 0.0, 0.0),
        Vec3::new(0.095, 0.11, 0.04),
        0.018,
    );
    for n in 0..4_u8 {
        let x = 0.024 * (f32::from(n) - 1.5);
        let long = 0.075 - 0.012 * (f32::from(n) - 1.5).abs();
        m.rounded(
            Vec3::new(x, -0.05 - 0.5 * long, 0.0),
            Vec3::new(0.022, long, 0.024),
            0.01,
        );
    }
    m.horn(
        Vec3::new(0.045, 0.0, 0.0),
        Vec3::new(0.085, -0.06, -0.01),
        0.014,
        0.011,
        8,
    );
}

fn suit(m: &mut Mason) {
    m.of(Stuff::Rubber, OCHRE);
    m.rounded(Vec3::new(0.0, 0.0, 0.0), Vec3::new(0.34, 0.42, 0.1), 0.045);
    for s in [-1.0, 1.0] {
        m.horn(
            Vec3::new(0.15 * s, 0.17, 0.0),
            Vec3::new(0.22 * s, -0.22, -0.02),
            0.06,
            0.045,
            12,
        );
        m.horn(
            Vec3::new(0.085 * s, -0.16, 0.0),
            Vec3::new(0.09 * s, -0.52, 0.0),
            0.085,
            0.07,
            12,
        );
    }
    m.of(Stuff::Paint, WHITE);
    m.rounded(
        Vec3::new(0.0, -0.06, -0.002),
        Vec3::new(0.345, 0.045, 0.106),
        0.01,
    );
    m.of(Stuff::Zinc, 0x8d979a);
    m.bar(
        Vec3::new(-0.15, 0.2, 0.0),
        Vec3::new(0.15, 0.2, 0.0),
        0.008,
        6,
    );
}

fn boot(m: &mut Mason) {
    m.of(Stuff::Rubber, BLACK);
    m.rounded(Vec3::new(0.0, 0.1, 0.03), Vec3::new(0.1, 0.3, 0.12), 0.035);
    m.rounded(
        Vec3::new(0.0, -0.06, -0.04),
        Vec3::new(0.1, 0.1, 0.26),
        0.035,
    );
    m.of(Stuff::Rubber, 0x3c4246);
    m.rounded(
        Vec3::new(0.0, -0.115, -0.04),
        Vec3::new(0.104, 0.03, 0.27),
        0.01,
    );
    // The guard over instep and shin.
    m.of(Stuff::Paint, ORANGE);
    m.rounded(
        Vec3::new(0.0, 0.06, -0.035),
        Vec3::new(0.085, 0.2, 0.03),
        0.012,
    );
}

fn hang(stage: Res<Stage>, mut pieces: Query<(&Hangs, &mut Visibility)>) {
    let Some(show) = &stage.show else { return };
    let post = show.loaded.level.post;
    let Some((_, person)) = show.person(post) else {
        return;
    };
    for (Hangs(item), mut visibility) in &mut pieces {
        visibility.set_if_neq(if person.wears & item.bit() == 0 {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
}

/// Sets up the rack.
pub fn plugin(app: &mut App) {
    app.add_systems(
        Update,
        hang.after(super::site::put_up).in_set(FrameSystems::Show),
    );
}
