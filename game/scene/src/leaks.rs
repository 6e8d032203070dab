//! Where water leaves the line that should not, and how hard: for whoever draws
//! it or sounds it.

use crate::stage::{Show, point};
use bevy::math::Vec3;
use training::Level;
use yard::torn::TornView;
use yard::view::MachineView;

/// Places of the unit as it is modelled, seen from the middle of its footprint on
/// the ground, metres: the gap between a packing and the pump's head for each
/// plunger, the end of the relief's pipe, and its deck.
pub const GLANDS: [Vec3; 3] = [
    Vec3::new(0.303, 0.425, 0.282),
    Vec3::new(0.488, 0.425, 0.282),
    Vec3::new(0.673, 0.425, 0.282),
];
/// The end of the pipe that leads the relief's water away.
pub const RELIEF_OUT: Vec3 = Vec3::new(0.903, 0.215, 0.389);
/// The end of the pipe that leads the burst disc's water away.
pub const DISC_OUT: Vec3 = Vec3::new(1.015, 0.34, 0.463);
/// Height of the unit's deck, and how far from its middle the deck ends towards who
/// stands at the panel.
pub const DECK_Y_M: f32 = 0.14;
/// See [`DECK_Y_M`].
pub const DECK_EDGE_M: f32 = 0.54;

/// The middle of the unit's footprint.
pub fn unit_foot(level: &Level) -> Option<Vec3> {
    let at = point(level.site.walls.first()?.at);
    Some(Vec3::new(at.x, 0.0, at.z))
}

/// Where the packings leak.
pub fn glands(level: &Level) -> Option<Vec3> {
    Some(unit_foot(level)? + GLANDS[1])
}

/// Where the relief lets go.
pub fn relief(level: &Level) -> Option<Vec3> {
    Some(unit_foot(level)? + RELIEF_OUT)
}

/// Where the burst disc lets go.
pub fn disc(level: &Level) -> Option<Vec3> {
    Some(unit_foot(level)? + DISC_OUT)
}

/// The length of a line through points, metres.
pub fn length_m(line: &[Vec3]) -> f32 {
    line.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// The point of a line so far along it, the way that it goes there, and how many of
/// its points come before. Nothing where there is no line.
pub fn along(line: &[Vec3], far_m: f32) -> Option<(Vec3, Vec3, usize)> {
    let mut left = far_m.max(0.0);
    let mut found = None;
    for (n, pair) in line.windows(2).enumerate() {
        let way = pair[1] - pair[0];
        let long = way.length();
        if long > 1e-6 {
            let at = pair[0] + way * (left / long).min(1.0);
            found = Some((at, way / long, n + 1));
        }
        if left <= long {
            break;
        }
        left -= long;
    }
    found
}

/// Where a hole in the hose is: halfway along it.
pub fn hole(show: &Show) -> Option<Vec3> {
    let line: Vec<Vec3> = show.now.hose.iter().map(|at| point(*at)).collect();
    along(&line, 0.5 * length_m(&line)).map(|(at, ..)| at)
}

/// Of the ends where a coupling has parted the one that gushes most.
pub fn torn(show: &Show) -> Option<TornView> {
    let torn = show.now.torn.iter();
    torn.max_by(|a, b| a.flow_m3_s.total_cmp(&b.flow_m3_s))
        .copied()
}

/// The pressure in the hose halfway along it, pascals.
pub fn hole_pa(machine: &MachineView) -> f64 {
    (0.5 * (machine.pump_pa + machine.gun_pa)).max(0.0)
}

/// Density of water, kilograms per cubic metre; what is drawn and heard asks for no
/// better.
const DENSITY_KG_M3: f64 = 1000.0;

/// The speed with which water leaves a hole in the hose, metres per second: all of
/// its pressure becomes speed.
pub fn hole_m_s(machine: &MachineView) -> f64 {
    (2.0 * hole_pa(machine) / DENSITY_KG_M3).sqrt()
}

/// The push of that jet, newtons.
pub fn hole_n(machine: &MachineView) -> f64 {
    DENSITY_KG_M3 * machine.hole_m3_s.max(0.0) * hole_m_s(machine)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_along_a_line_is_found_by_its_way_and_not_by_its_number() {
        let line = [Vec3::ZERO, Vec3::X * 3.0, Vec3::new(3.0, 0.0, 1.0)];
        assert_eq!(length_m(&line), 4.0);
        let (at, way, before) = along(&line, 2.0).expect("a point");
        assert!(at.distance(Vec3::X * 2.0) < 1e-6 && way.distance(Vec3::X) < 1e-6);
        assert_eq!(before, 1);
        let (at, way, before) = along(&line, 3.5).expect("a point");
        assert!(at.distance(Vec3::new(3.0, 0.0, 0.5)) < 1e-6 && way.distance(Vec3::Z) < 1e-6);
        assert_eq!(before, 2);
        // Beyond its end there is its end.
        let (at, ..) = along(&line, 9.0).expect("a point");
        assert!(at.distance(line[2]) < 1e-6);
        assert!(along(&[Vec3::X], 1.0).is_none());
        assert!(along(&[Vec3::X, Vec3::X], 1.0).is_none());
    }

    #[test]
    fn a_jet_out_of_a_hole_pushes_by_its_flow_and_speed() {
        let machine = MachineView {
            pump_pa: 7.2e7,
            gun_pa: 6.8e7,
            hole_m3_s: 1e-4,
            ..MachineView::default()
        };
        // 70 MPa over 1000 kg/m3: the root of 140,000 m2/s2.
        assert!((hole_m_s(&machine) - 374.165_738).abs() < 1e-3);
        assert!((hole_n(&machine) - 37.416_573_8).abs() < 1e-4);
    }
}
