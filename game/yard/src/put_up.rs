//! What a level's people and hoses are as bodies and rods, and where everything stands.

use crate::flow;
use crate::noise::Loudness;
use crate::physics::SiteGround;
use crate::yard::{Place, YardFault};
use crew::tick::TICK_S;
use glam::DVec3;
use hydraulics::storage::{self, effective_modulus_pa};
use hydraulics::water::Water;
use mechanics::{Body, BodySpec, Rod, RodEnd, RodSpec};
use training::level::{Person as PersonData, Standing};
use training::{Assumptions, Level};

/// Height of the coupling at the pump, metres.
const COUPLING_HEIGHT_M: f64 = 0.35;
/// Length of a segment of the hose, metres.
const SEGMENT_M: f64 = 0.25;

/// The body of a person who stands somewhere.
///
/// # Errors
/// One who cannot stand.
pub(crate) fn body(
    data: &PersonData,
    standing: &Standing,
    a: &Assumptions,
) -> Result<Body, YardFault> {
    let spec = BodySpec {
        mass_kg: data.mass_kg,
        com_height_m: data.com_height_m,
        hand_height_m: data.hand_height_m,
        hand_reach_m: a.hand_reach_m,
        reaction_delay_s: data.reaction_s * a.reaction_share,
        brace_time_s: a.brace_s,
        max_hold_n: data.max_hold_n * a.max_hold_share,
        braced_share: a.braced_share,
        recovery_s: a.recovery_s,
        max_step_m: a.max_step_m,
        stance_n_per_m: [
            a.stance_normal_n_m,
            a.stance_wide_n_m,
            a.stance_staggered_n_m,
        ],
        brace_n_per_m: a.brace_n_m,
        stance_damping: a.stance_damping,
        step_s: a.step_s,
        recovery_step_s: a.recovery_step_s,
        ease_s: a.ease_s,
        reach_time_s: a.reach_time_s,
        reach_m_s: a.reach_m_s,
        arm_n_per_m: a.arm_n_m,
        shoulder_n_per_m: a.shoulder_n_m,
        arm_mass_kg: a.arm_mass_kg,
        arm_damping: a.arm_damping,
    };
    Body::new(
        spec,
        DVec3::new(standing.at[0], 0.0, standing.at[1]),
        standing.yaw_rad,
    )
    .map_err(YardFault::Person)
}

/// The hoses as one rod.
pub(crate) fn rod_spec(level: &Level) -> RodSpec {
    let hoses = &level.equipment.hoses;
    let length_m: f64 = hoses.iter().map(|h| h.length_m).sum();
    let first = &hoses[0];
    RodSpec {
        length_m,
        segments: (length_m / SEGMENT_M).round().max(2.0) as usize,
        outer_radius_m: 0.5 * first.outer_m,
        empty_mass_kg_per_m: first.mass_empty_kg_m,
        bore_m: first.bore_m,
        bending_stiffness_n_m2: first.bending_stiffness_n_m2,
        stiffness_per_pa: first.stiffness_per_pa,
        axial_stiffness_n: level.assumptions.hose_axial_n,
        damping_s: level.assumptions.hose_damping_s,
        min_bend_radius_m: first.min_bend_radius_m,
        friction_scale: 1.0,
        wave_speed_m_s: wave_speed_m_s(level),
        drag_coefficient: level.assumptions.hose_drag,
    }
}

/// Speed of a pressure front in the first hose, at the level's temperature and
/// the kit's pressure.
fn wave_speed_m_s(level: &Level) -> f64 {
    let density = Water::at_celsius(level.water_c).density(level.equipment.kit_max_pa);
    storage::wave_speed_m_s(hose_modulus_pa(level), density)
}

/// Effective modulus of the first hose, likewise.
fn hose_modulus_pa(level: &Level) -> f64 {
    let water = Water::at_celsius(level.water_c);
    let wall_pa = level.equipment.circuit.hoses[0].wall_modulus_pa;
    effective_modulus_pa(
        water.isentropic_modulus(level.equipment.kit_max_pa),
        wall_pa,
    )
}

/// Lets a hose that was just laid out come to rest, so that it does not do so
/// in somebody's hands.
pub(crate) fn settle(rod: &mut Rod, place: &Place) {
    const STEP_S: f64 = TICK_S / flow::ROUNDS as f64;
    for _ in 0..SETTLE_STEPS {
        let end = RodEnd::Held {
            pos: place.stand,
            vel: DVec3::ZERO,
            dir: place.stand_out,
        };
        let start = RodEnd::Fixed(place.coupling, place.coupling_out);
        rod.substep(STEP_S, start, end, 0.0, 0.0, &place.ground);
        if rod.is_asleep() {
            return;
        }
    }
}

/// Substeps after which a hose lies still enough: five seconds.
const SETTLE_STEPS: u32 = 2400;

/// Where the hose begins, where the tool stands, and the line between.
pub(crate) fn lay_out(level: &Level, ground: SiteGround, lance_hand: &Body) -> (Place, Vec<DVec3>) {
    let site = &level.site;
    let on_ground = |at: [f64; 2]| DVec3::new(at[0], 0.5 * level.equipment.hoses[0].outer_m, at[1]);
    let first = on_ground(site.hose_path[0]);
    let second = on_ground(*site.hose_path.get(1).unwrap_or(&site.hose_path[0]));
    let stand = lance_hand.hands();
    let yaw = site.lance_hand.yaw_rad;
    let ahead = DVec3::new(libm::cos(yaw), 0.0, -libm::sin(yaw));
    let coupling = first + DVec3::Y * COUPLING_HEIGHT_M;
    let place = Place {
        site: site.clone(),
        ground,
        gauge: level.equipment.gauge.clone(),
        nozzles: level.equipment.nozzles.clone(),
        second: level.equipment.second.clone(),
        lance: level.equipment.lance.clone(),
        assumptions: level.assumptions.clone(),
        density_kg_m3: Water::at_celsius(level.water_c).density(0.0),
        restraint: level.equipment.restraint.clone(),
        hose_modulus_pa: hose_modulus_pa(level),
        loudness: Loudness::of(level),
        coupling,
        coupling_out: (second - first).normalize_or(DVec3::X),
        stand,
        stand_out: ahead,
    };
    let mut path = vec![coupling];
    path.extend(site.hose_path.iter().skip(1).map(|at| on_ground(*at)));
    path.push(stand - ahead * 0.6 - DVec3::Y * 0.3);
    path.push(stand);
    (place, path)
}
