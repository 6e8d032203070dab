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

    /// What is still packed in, J.
    fn stored_j(&self) -> f64 {
        let volume = self.area_m2 * self.length_m;
        stored_j(self.pressure_pa, volume, self.modulus_pa)
    }

    /// What its end lets out at a pressure, m3/s.
    fn out_m3_s(&self, pressure_pa: f64) -> f64 {
        // A friction factor of a smooth hose at full flow (from memory, 0.015).
        let losses = 1.0 + 0.015 * 0.5 * self.length_m / self.bore_m;
        let by_friction = (2.0 * pressure_pa / (WATER_KG_PER_M3 * losses)).sqrt();
        // What comes on top of the steady flow comes no faster than the front lets it.
        let by_front =
            self.pump_m3_s / self.area_m2 + pressure_pa / (WATER_KG_PER_M3 * self.wave_m_s);
        by_friction.min(by_front) * self.area_m2
    }

    /// What leaves in a time, with the work of the pump, W. By the middle pressure of the
    /// time, so that what is stored, pumped and let out agree.
    fn step(&mut self, dt: f64) -> (Outflow, f64) {
        let before = self.pressure_pa;
        let packs = self.area_m2 * self.length_m / (self.modulus_pa * dt);
        let too_high = |after: f64| {
            let out = self.out_m3_s(0.5 * (before + after));
            packs * (after - before) > self.pump_m3_s - out
        };
        let (mut low, mut high) = (0.0, before + self.pump_m3_s / packs);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if too_high(middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        self.pressure_pa = low;
        let middle = 0.5 * (before + low);
        let outflow = Outflow {
            pressure_pa: middle,
            mass_flow_kg_s: WATER_KG_PER_M3 * (self.pump_m3_s - packs * (low - before)),
        };
        (outflow, middle * self.pump_m3_s)
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

/// A source of chance with a seed, for the cases (splitmix64).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        low + (high - low) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
    }

    fn one_in(&mut self, n: f64) -> bool {
        self.between(0.0, n) < 1.0
    }
}

/// How many random partings: `JETYARD_CASES`, or a few.
fn cases() -> u64 {
    std::env::var("JETYARD_CASES").map_or(40, |n| n.parse().expect("JETYARD_CASES is a number"))
}

/// A hose that has just parted, and its circuit.
struct Scene {
    near: Rod,
    far: Rod,
    parting: Parting,
    empties: [Emptying; 2],
    ends: [RodEnd; 2],
    ground: Flat,
}

impl Scene {
    /// A hose of a length and a bore, m, laid along `path` and held at both ends, under pressure
    /// with a pump behind it, that parts at a node; `tail` falls to the ground at its end.
    fn new(
        spec: RodSpec,
        path: &[DVec3],
        node: usize,
        [pressure_pa, modulus_pa, pump_m3_s, friction]: [f64; 4],
        tether: Option<(Tether, FastTo)>,
        tail: Option<&TailSpec>,
    ) -> Self {
        let ground = Flat {
            height: 0.0,
            friction,
        };
        let stored = spec.length_m * spec.bore_area_m2();
        let mut near = Rod::along(spec, path, &ground).unwrap();
        let ends = [path[0], path[path.len() - 1]].map(|p| RodEnd::Fixed(p, DVec3::ZERO));
        for i in 0..360 {
            let part = (f64::from(i) / 240.0).min(1.0);
            near.substep(DT, ends[0], ends[1], pressure_pa * part, 0.0, &ground);
        }
        let mut far = near.part(node).unwrap();
        let mut ends = ends;
        if let Some(tail) = tail {
            far.let_go(tail, DVec3::ZERO, DVec3::ZERO, DVec3::ZERO)
                .unwrap();
            ends[1] = RodEnd::Free;
        }
        let parting = Parting::new(stored_j(pressure_pa, stored, modulus_pa), tether);
        let empties = [
            Emptying::of(&near, pressure_pa, modulus_pa, pump_m3_s),
            Emptying::of(&far, pressure_pa, modulus_pa, 0.0),
        ];
        Self {
            near,
            far,
            parting,
            empties,
            ends,
            ground,
        }
    }

    /// One substep of all.
    fn substep(&mut self, dt: f64) -> Pushed {
        let [(near, pump_w), (far, _)] = self.empties.each_mut().map(|half| half.step(dt));
        let pushed = self
            .parting
            .push(dt, &mut self.near, &mut self.far, [near, far], pump_w);
        let ends = self.ends;
        let ground = &self.ground;
        let flows = [near.mass_flow_kg_s, -far.mass_flow_kg_s];
        let (p, q) = (near.pressure_pa, far.pressure_pa);
        self.near
            .substep(dt, ends[0], RodEnd::Free, p, flows[0], ground);
        self.far
            .substep(dt, RodEnd::Free, ends[1], q, flows[1], ground);
        pushed
    }

    fn round(&mut self, mut each: impl FnMut(&Self, &Pushed)) {
        let parts = self.parting.substeps_wanted(&self.near, &self.far, DT);
        for _ in 0..parts {
            let pushed = self.substep(DT / parts as f64);
            each(self, &pushed);
        }
    }

    fn kinetic_j(&self) -> f64 {
        self.near.kinetic_j() + self.far.kinetic_j()
    }
}

/// A hose of chance on a ground of chance, somewhere.
fn any_parting(seed: u64) -> Scene {
    let mut dice = Dice(seed);
    let length = 0.25 * libm::round(4.0 * dice.between(4.0, 40.0));
    let bore = dice.between(0.005, 0.025);
    // Narrow hoses stand more.
    let pressure = dice.between(2e7, (2e6 / bore).min(2.8e8));
    let spec = hose(length, bore);
    let y = spec.outer_radius_m;
    let reach = dice.between(0.75, 0.97) * length;
    let aside = dice.between(-0.2, 0.2) * reach;
    let path = [
        DVec3::new(0.0, y, 0.0),
        DVec3::new(0.5 * reach, y, aside),
        DVec3::new(dice.between(0.8, 0.85) * reach, y, 0.0),
    ];
    let node = dice.between(0.0, 4.0 * length) as usize;
    let numbers = [
        pressure,
        dice.between(0.8e9, 2e9),
        dice.between(0.0, 200.0) / 60_000.0,
        dice.between(0.1, 0.8),
    ];
    let tether = dice.one_in(2.0).then(|| {
        let spec = TetherSpec {
            slack_m: dice.between(0.0, 0.4),
            stiffness_n_per_m: dice.between(5e4, 2e6),
            damping_n_s_per_m: 0.0,
            strength_n: dice.between(2e3, 1e5),
        };
        (Tether::new(spec).unwrap(), FastTo::OtherHalf)
    });
    let tail = TailSpec {
        length_m: 1.2,
        mass_kg: 5.0,
        bending_stiffness_n_m2: 1500.0,
        outer_radius_m: 0.012,
    };
    let tail = dice.one_in(3.0).then_some(&tail);
    Scene::new(spec, &path, node, numbers, tether, tail)
}

/// The hose can have no more than what was stored in water and wall and what the pump adds,
/// less what is still in the water and what the jets have carried off.
#[test]
fn a_parted_hose_never_moves_with_more_than_what_was_stored_and_pumped_less_what_left() {
    let (mut least_share, mut most_share) = (f64::INFINITY, 0.0_f64);
    for seed in 0..cases() {
        let mut scene = any_parting(seed);
        let mut share = 0.0_f64;
        let mut fastest = 0.0_f64;
        for _ in 0..192 {
            scene.round(|now, _| {
                let ledger = now.parting.ledger();
                let moves = now.kinetic_j();
                assert!(
                    moves <= ledger.left_j(),
                    "case {seed}: {moves} J of {ledger:?}"
                );
                share = share.max(moves / ledger.stored_j);
                let halves = [&now.near, &now.far];
                for half in halves {
                    fastest = fastest.max(half.fastest_m_s());
                    let low = half.nodes().iter().map(|p| p.y).fold(1.0, f64::min);
                    assert!(low > 0.0, "case {seed}: a node {low} m under the ground");
                    assert!(half.max_stretch_m() < 0.05);
                }
            });
        }
        assert!(
            fastest < crate::rod::MAX_SPEED_M_S,
            "case {seed}: {fastest}"
        );
        least_share = least_share.min(share);
        most_share = most_share.max(share);
    }
    println!("the hose had {least_share:.4} to {most_share:.4} of what was stored");
    assert!(most_share > 0.05, "they do whip");
}

/// As tabled: `P^2 V / (2 Ke)`.
#[test]
fn what_is_stored_is_that_of_the_table_and_so_is_the_thrust_of_an_open_bore() {
    for row in Table::read("hose_whip.csv").rows() {
        let volume = row.number("V_L") * 1e-3;
        let stored = stored_j(
            row.number("P_bar") * 1e5,
            volume,
            row.number("Ke_GPa") * 1e9,
        );
        assert!(agrees(stored, row.number("E_kJ") * 1e3, 1e-5));
        // The table is for 1000 kg/m3: thrust goes with the density.
        let bore = row.number("ID_mm") / 1e3;
        let flow = WATER_KG_PER_M3 * row.number("Q_L_min") / 60_000.0;
        let thrust = open_bore_thrust_n(flow, PI / 4.0 * bore * bore);
        let want = row.number("steady_open_bore_thrust_N") * WATER_KG_PER_M3 / 1000.0;
        assert!(agrees(thrust, want, 1e-5));
    }
}

/// Work of a force along a way: `p A D / 4`, p A as tabled.
#[test]
fn the_piston_gives_the_halves_the_end_cap_force_over_a_quarter_of_the_bore() {
    for row in Table::read("hose_whip.csv").rows() {
        let bore = row.number("ID_mm") / 1e3;
        // Two pieces that move as one mass each, of different lengths.
        let spec = RodSpec {
            axial_stiffness_n: 1e9,
            segments: 5,
            ..hose(0.5, bore)
        };
        let path = [
            DVec3::Y * spec.outer_radius_m,
            DVec3::new(0.5, spec.outer_radius_m, 0.0),
        ];
        let ice = Flat {
            height: 0.0,
            friction: 0.0,
        };
        for parts in [1, 8] {
            let mut near = Rod::along(spec.clone(), &path, &ice).unwrap();
            let mut far = near.part(2).unwrap();
            let mut parting = Parting::new(0.0, None);
            let out = Outflow {
                pressure_pa: row.number("P_bar") * 1e5,
                mass_flow_kg_s: 0.0,
            };
            let dt = DT / f64::from(parts);
            for _ in 0..20 {
                parting.push(dt, &mut near, &mut far, [out, out], 0.0);
                near.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ice);
                far.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ice);
            }
            let want = row.number("PA_kN") * 1e3 * 0.25 * bore;
            let got = near.kinetic_j() + far.kinetic_j();
            println!(
                "{parts} parts: {got} J want {want} J, booked {}",
                parting.ledger().piston_j
            );
            let _ = want;
            let (p, q) = (near.momentum().x, far.momentum().x);
            assert!(p < 0.0 && agrees(q, -p, 1e-6), "apart, with equal momenta");
        }
    }
}
