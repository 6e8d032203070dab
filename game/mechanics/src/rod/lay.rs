//! Laying a hose along a path before anything moves: where its nodes start.

use core::f64::consts::PI;

use glam::DVec3;

use super::spec::{RodError, RodSpec};

/// Nodes of the rod along `path`, one segment apart by chord, from its first
/// point to its last. What the hose is longer than the path lies in even waves
/// beside its legs.
pub(crate) fn lay(spec: &RodSpec, path: &[DVec3]) -> Result<Vec<DVec3>, RodError> {
    if path.iter().any(|p| !p.is_finite()) {
        return Err(RodError::BadPath);
    }
    let path_m: f64 = path.windows(2).map(|w| w[0].distance(w[1])).sum();
    if path.len() < 2 || path_m.is_nan() || path_m <= 1e-6 {
        return Err(RodError::BadPath);
    }
    let rod_m = spec.length_m;
    let segment = spec.segment_m();
    let wanted = spec.segments as f64;
    let wave = (10.0 * spec.min_bend_radius_m)
        .max(8.0 * segment)
        .min(path_m);
    let chords = |amplitude: f64| walk(&wavy(path, amplitude, wave, segment / 8.0), segment);
    let straight = chords(0.0);
    if straight.1 > wanted * 1.001 {
        return Err(RodError::PathTooLong { path_m, rod_m });
    }
    let mut best = straight;
    if best.1 < wanted - 1e-6 {
        let (mut low, mut high) = (0.0, 0.5 * wave);
        if chords(high).1 < wanted {
            return Err(RodError::PathTooShort { path_m, rod_m });
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if chords(middle).1 < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        best = chords(high);
    }
    let mut nodes = best.0;
    let last = path[path.len() - 1];
    nodes.truncate(spec.segments + 1);
    while nodes.len() < spec.segments + 1 {
        nodes.push(last);
    }
    if let Some(node) = nodes.last_mut() {
        *node = last;
    }
    Ok(nodes)
}

/// The path with a wave of `amplitude` beside each leg, as a fine polyline.
/// Every leg holds whole waves, so its ends stay on the path.
fn wavy(path: &[DVec3], amplitude: f64, wave: f64, spacing: f64) -> Vec<DVec3> {
    let mut out = vec![path[0]];
    for leg in path.windows(2) {
        let along = leg[1] - leg[0];
        let length = along.length();
        if length <= 1e-9 {
            continue;
        }
        let waves = libm::round(length / wave);
        let side = DVec3::Y.cross(along).try_normalize().unwrap_or(DVec3::X);
        let height = if waves >= 1.0 { amplitude } else { 0.0 };
        let pieces = libm::ceil(length / spacing).clamp(1.0, 1e6) as usize;
        for i in 1..=pieces {
            let s = i as f64 / pieces as f64;
            out.push(leg[0] + along * s + side * (height * libm::sin(2.0 * PI * waves * s)));
        }
    }
    out
}

/// Steps along a polyline by equal chords, like a pair of dividers. Gives the
/// points and how many chords, with the last fraction, reach the end.
fn walk(line: &[DVec3], chord: f64) -> (Vec<DVec3>, f64) {
    let mut here = line[0];
    let mut points = vec![here];
    let mut i = 1;
    let mut from = here;
    while i < line.len() {
        let to = line[i];
        if to.distance(here) < chord {
            from = to;
            i += 1;
            continue;
        }
        // Where the piece from..to leaves the sphere of one chord about `here`.
        let piece = to - from;
        let offset = from - here;
        let a = piece.length_squared();
        let b = offset.dot(piece);
        let c = offset.length_squared() - chord * chord;
        let s = ((-b + (b * b - a * c).max(0.0).sqrt()) / a).clamp(0.0, 1.0);
        here = from + piece * s;
        from = here;
        points.push(here);
    }
    let rest = line[line.len() - 1].distance(here) / chord;
    let count = (points.len() - 1) as f64 + rest;
    if rest > 1e-9 {
        points.push(line[line.len() - 1]);
    }
    (points, count)
}
