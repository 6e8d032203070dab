//! A hose that parts under pressure, with a stand-in for its circuit.

use glam::DVec3;

use super::*;
use crate::ground::Flat;
use crate::reference::{Table, agrees};
use crate::rod::{RodEnd, RodSpec, TailSpec};
use crate::tether::TetherSpec;

const DT: f64 = 1.0 / 480.0;

/// One half of a parted hose that empties through its open end, lumped: the water that its
/// pressure packs into it leaves as fast as friction along the way and the speed of the front
/// that empties it allow.
struct Emptying {
    pressure_pa: f64,
    modulus_pa: f64,
    area_m2: f64,
    bore_m: f64,
    length_m: f64,
    wave_m_s: f64,
    /// What the pump goes on to send in, m3/s.
    pump_m3_s: f64,
}

impl Emptying {
    fn of(rod: &Rod, pressure_pa: f64, modulus_pa: f64, pump_m3_s: f64) -> Self {
        Self {
            pressure_pa,
            modulus_pa,
            area_m2: rod.spec().bore_area_m2(),
            bore_m: rod.spec().bore_m,
            length_m: rod.spec().length_m,
            wave_m_s: (modulus_pa / WATER_KG_PER_M3).sqrt(),
            pump_m3_s,
        }
    }

    /// What leaves in a time, with the work of the pump, W.
    fn step(&mut self, dt: f64) -> (Outflow, f64) {
        let p = self.pressure_pa;
        // A friction factor of a smooth hose at full flow (from memory, 0.015).
        let losses = 1.0 + 0.015 * 0.5 * self.length_m / self.bore_m;
        let by_friction = (2.0 * p / (WATER_KG_PER_M3 * losses)).sqrt();
        let speed = by_friction.min(p / (WATER_KG_PER_M3 * self.wave_m_s));
        let out_m3_s = speed * self.area_m2;
        let volume = self.area_m2 * self.length_m;
        let stays = self.modulus_pa / volume * (self.pump_m3_s - out_m3_s);
        self.pressure_pa = (p + dt * stays).max(0.0);
        let outflow = Outflow {
            pressure_pa: p,
            mass_flow_kg_s: WATER_KG_PER_M3 * out_m3_s,
        };
        (outflow, p * self.pump_m3_s)
    }
}

fn hose(length_m: f64, bore_m: f64) -> RodSpec {
    RodSpec {
        length_m,
        segments: libm::round(length_m / 0.25) as usize,
        outer_radius_m: 0.5 * bore_m + 0.005,
        empty_mass_kg_per_m: 0.3 + 70.0 * bore_m,
        bore_m,
        bending_stiffness_n_m2: 2e6 * bore_m * bore_m * bore_m,
        stiffness_per_pa: 1e-5 * bore_m,
        axial_stiffness_n: 1e6,
        damping_s: 0.02,
        min_bend_radius_m: 15.0 * bore_m,
        friction_scale: 1.0,
        wave_speed_m_s: 1200.0,
        drag_coefficient: 1.2,
    }
}

/// A source of chance with a seed, for the cases.
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn one_in(&mut self, n: f64) -> bool {
        self.between(0.0, n) < 1.0
    }
}

/// How many random partings: `JETYARD_CASES`, or a few.
fn cases() -> u64 {
    std::env::var("JETYARD_CASES").map_or(24, |n| n.parse().expect("JETYARD_CASES is a number"))
}

#[test]
fn probe_partings() {
    for seed in 0..cases() {
        let mut dice = Dice(seed.wrapping_mul(7919) + 17);
        for _ in 0..4 {
            dice.between(0.0, 1.0);
        }
        let length = libm::round(4.0 * dice.between(4.0, 40.0)) / 4.0;
        let bore = dice.between(0.005, 0.025);
        let pressure = dice.between(2e7, 3e7 / bore * 0.02 + 1e8);
        let modulus = dice.between(0.8e9, 2e9);
        let pump = dice.between(0.0, 200.0) / 60_000.0;
        let ground = Flat {
            height: 0.0,
            friction: dice.between(0.1, 0.8),
        };
        let spec = hose(length, bore);
        let y = spec.outer_radius_m;
        let reach = dice.between(0.6, 0.98) * length;
        let bend = dice.between(-0.3, 0.3) * reach;
        let part = dice.between(0.2, 0.8);
        let path = [
            DVec3::new(0.0, y, 0.0),
            DVec3::new(part * reach * 0.9, y, bend * 0.5),
            DVec3::new(reach * 0.8, y, 0.0),
        ];
        let Ok(mut rod) = Rod::along(spec, &path, &ground) else {
            println!("no");
            continue;
        };
        let start = RodEnd::Fixed(path[0], DVec3::X);
        let hands = RodEnd::Fixed(path[2], DVec3::ZERO);
        for i in 0..480 {
            let part = (f64::from(i) / 240.0).min(1.0);
            rod.substep(DT, start, hands, pressure * part, 0.0, &ground);
        }
        let whole_j = rod.energy_j(pressure);
        let node = dice.between(0.0, rod.nodes().len() as f64) as usize;
        let mut torn = rod.part(node).unwrap();
        let free_end = dice.one_in(3.0);
        let end = if free_end { RodEnd::Free } else { hands };
        if free_end && dice.one_in(2.0) {
            let tail = TailSpec {
                length_m: 1.2,
                mass_kg: 5.0,
                bending_stiffness_n_m2: 1500.0,
                outer_radius_m: 0.012,
            };
            torn.let_go(&tail, DVec3::ZERO, DVec3::ZERO, DVec3::ZERO)
                .unwrap();
        }
        let stored = stored_j(pressure, length * rod.spec().bore_area_m2(), modulus);
        let tether = dice.one_in(2.0).then(|| {
            let spec = TetherSpec {
                slack_m: dice.between(0.0, 0.4),
                stiffness_n_per_m: dice.between(5e4, 2e6),
                damping_n_s_per_m: 0.0,
                strength_n: dice.between(2e3, 1e5),
            };
            (
                Tether::new(spec).unwrap(),
                if dice.one_in(2.0) {
                    FastTo::OtherHalf
                } else {
                    FastTo::Point(rod.tip_position(Tip::End))
                },
            )
        });
        let mut parting = Parting::new(&rod, &torn, stored, tether);
        let mut near = Emptying::of(&rod, pressure, modulus, pump);
        let mut far = Emptying::of(&torn, pressure, modulus, 0.0);
        let (mut share, mut worst, mut fastest, mut kick, mut low) =
            (0.0_f64, f64::MAX, 0.0_f64, 0.0_f64, f64::MAX);
        let mut pushed_j = 0.0;
        let mut excess = f64::MIN;
        let p = pressure;
        let first = rod.energy_j(p) + torn.energy_j(p);
        for round in 0..240 {
            let parts = parting.substeps_wanted(&rod, &torn, DT);
            let dt = DT / parts as f64;
            for _ in 0..parts {
                let (out_near, pump_w) = near.step(dt);
                let (out_far, _) = far.step(dt);
                parting.push(dt, &mut rod, &mut torn, [out_near, out_far], pump_w);
                rod.substep(
                    dt,
                    start,
                    RodEnd::Free,
                    out_near.pressure_pa,
                    out_near.mass_flow_kg_s,
                    &ground,
                );
                torn.substep(
                    dt,
                    RodEnd::Free,
                    end,
                    out_far.pressure_pa,
                    -out_far.mass_flow_kg_s,
                    &ground,
                );
                let k = rod.kinetic_j() + torn.kinetic_j();
                pushed_j += rod.pushed_j() + torn.pushed_j();
                let l = parting.ledger();
                share = share.max(k / l.given_j());
                worst = worst.min((l.left_j() - k) / l.given_j());
                fastest = fastest.max(rod.fastest_m_s()).max(torn.fastest_m_s());
                kick = kick.max((k - pushed_j) / l.given_j());
                excess = excess.max(
                    rod.energy_j(out_near.pressure_pa) + torn.energy_j(out_far.pressure_pa)
                        - first
                        - pushed_j,
                );
                for x in rod.nodes().iter().chain(torn.nodes()) {
                    low = low.min(x.y - y);
                }
            }
            let _ = round;
        }
        let l = parting.ledger();
        println!(
            "{seed}: L {length} D {:.1} P {:.0} bar stored {stored:.0} J whole {whole_j:.0} pump {:.0} jet {:.0} thrust {:.1} piston {:.1}: share {share:.3} least left {worst:.3} kick {kick:.3} fastest {fastest:.1} low {low:.4} age {:.2} tether {:?}",
            bore * 1e3,
            pressure / 1e5,
            l.pump_j,
            l.jet_j,
            l.thrust_j,
            l.piston_j,
            parting.age_s(),
            parting.tether().map(|t| (t.is_broken(), t.most_n()))
        );
    }
    let _ = (Table::read("hose_whip.csv"), agrees(1.0, 1.0, 1.0));
}
