//! A hose that parts under pressure, with a stand-in for its circuit.

use glam::DVec3;
use proptest::prelude::*;

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
        dice.between(0.0, 15.0) * spec.bore_area_m2(),
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

/// Work of a force along a way: `p A D / 4`, `p A` as tabled.
#[test]
fn the_piston_gives_the_halves_the_end_cap_force_over_a_quarter_of_the_bore() {
    for row in Table::read("hose_whip.csv").rows() {
        let bore = row.number("ID_mm") / 1e3;
        // Two pieces of one segment that move as one mass each.
        let spec = RodSpec {
            axial_stiffness_n: 1e9,
            segments: 2,
            ..hose(1.0, bore)
        };
        let y = DVec3::Y * spec.outer_radius_m;
        let ice = Flat {
            height: 0.0,
            friction: 0.0,
        };
        for parts in [1, 3, 8] {
            let mut near = Rod::along(spec.clone(), &[y, y + DVec3::X], &ice).unwrap();
            let mut far = near.part(1).unwrap();
            let mut parting = Parting::new(0.0, None);
            let out = Outflow {
                pressure_pa: row.number("P_bar") * 1e5,
                mass_flow_kg_s: 0.0,
            };
            let dt = DT / f64::from(parts);
            for _ in 0..20 * parts {
                let pushed = parting.push(dt, &mut near, &mut far, [out, out], 0.0);
                assert!(pushed.piston_n <= 1.001 * row.number("PA_kN") * 1e3);
                near.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ice);
                far.substep(dt, RodEnd::Free, RodEnd::Free, 0.0, 0.0, &ice);
            }
            let want = row.number("PA_kN") * 1e3 * 0.25 * bore;
            let got = near.kinetic_j() + far.kinetic_j();
            println!("{parts} parts: {got} J want {want} J");
            assert!(agrees(got, want, 0.05));
            assert!(agrees(parting.ledger().piston_j, want, 0.05));
            let (p, q) = (near.momentum().x, far.momentum().x);
            assert!(p < 0.0 && agrees(q, -p, 1e-6), "apart, with equal momenta");
        }
    }
}

/// A straight hose of the table that parts in its middle, with a pump of the table behind it.
fn tabled(row: &crate::reference::Row<'_>, tether: Option<(Tether, FastTo)>) -> Scene {
    let length = row.number("L_m");
    let spec = hose(length, row.number("ID_mm") / 1e3);
    let y = DVec3::Y * spec.outer_radius_m;
    let node = spec.segments / 2;
    let numbers = [
        row.number("P_bar") * 1e5,
        row.number("Ke_GPa") * 1e9,
        row.number("Q_L_min") / 60_000.0,
        0.5,
    ];
    Scene::new(
        spec,
        &[y, y + DVec3::X * length],
        node,
        numbers,
        tether,
        None,
    )
}

/// Momentum of the water let out: at first `rho A V^2` with `V = P / (rho a)`, in the end that
/// of the pump's flow through the bore, as tabled; between them a wave's ways along the hose.
#[test]
fn the_thrust_of_an_open_bore_is_that_of_the_front_and_then_that_of_the_pump() {
    for row in Table::read("hose_whip.csv").rows().take(2) {
        let mut scene = tabled(&row, None);
        let wave = scene.empties[0].wave_m_s;
        let area = scene.near.spec().bore_area_m2();
        let speed = row.number("P_bar") * 1e5 / (WATER_KG_PER_M3 * wave);
        let first = scene.substep(1e-6);
        let want = WATER_KG_PER_M3 * area * speed * speed;
        println!("first {:?} N want {want} N", first.thrust_n);
        assert!(agrees(first.thrust_n[1], want, 0.01));
        // The near end lets out what the pump sends besides.
        assert!(first.thrust_n[0] > want);
        let mut weak_after = f64::INFINITY;
        let mut last = [0.0; 2];
        for _ in 0..480 {
            scene.round(|now, pushed| {
                last = pushed.thrust_n;
                if pushed.thrust_n[1] < 0.01 * want {
                    weak_after = weak_after.min(now.parting.age_s());
                }
            });
        }
        println!("weak after {weak_after} s, then {last:?} N");
        let steady = row.number("steady_open_bore_thrust_N") * WATER_KG_PER_M3 / 1000.0;
        assert!(agrees(last[0], steady, 0.005));
        assert!(last[1] < 0.01);
        // Half the hose empties in each direction: exp(-2 a t / L) of its thrust is left after t,
        // as long as friction does not hold it back.
        let theory = 0.5 * row.number("L_m") / wave * 0.5 * libm::log(100.0);
        assert!(weak_after > theory && weak_after < 0.1);
    }
}

/// Closed form of the sudden load: never more than twice the end-cap force. The piston lasts
/// for a quarter of the bore only, so a restraint that gives by more than that sees less.
#[test]
fn a_restraint_of_twice_the_end_cap_force_without_slack_holds_a_hose_that_parts() {
    for row in Table::read("hose_whip.csv").rows() {
        let twice = row.number("2PA_kN") * 1e3;
        let sling = |slack_m, strength_n| {
            let spec = TetherSpec {
                slack_m,
                stiffness_n_per_m: 1e6,
                damping_n_s_per_m: 0.0,
                strength_n,
            };
            Some((Tether::new(spec).unwrap(), FastTo::OtherHalf))
        };
        let run = |tether| {
            let mut scene = tabled(&row, tether);
            scene.ends[1] = RodEnd::Free;
            for _ in 0..120 {
                scene.round(|_, _| ());
            }
            let apart = scene
                .near
                .tip_position(Tip::End)
                .distance(scene.far.tip_position(Tip::Start));
            (scene.parting.tether().cloned(), apart)
        };
        let (holds, near) = run(sling(0.0, twice));
        let holds = holds.unwrap();
        println!("{} of {twice} N, {near} m apart", holds.most_n());
        assert!(!holds.is_broken() && near < 0.05);
        let (weak, far) = run(sling(0.0, 0.5 * holds.most_n()));
        assert!(weak.unwrap().is_broken());
        let (_, free) = run(None);
        println!("broken {far} m, without {free} m");
        assert!(far > 2.0 * near && free > 2.0 * near);
    }
}

#[test]
fn a_parting_read_back_goes_on_bit_for_bit() {
    let mut scene = any_parting(2);
    let go_on = |near: &mut Rod, far: &mut Rod, parting: &mut Parting| {
        let out = Outflow {
            pressure_pa: 3e6,
            mass_flow_kg_s: 2.0,
        };
        let ice = Flat {
            height: 0.0,
            friction: 0.3,
        };
        for _ in 0..100 {
            parting.push(DT / 8.0, near, far, [out, out], 1e4);
            near.substep(DT / 8.0, RodEnd::Free, RodEnd::Free, 3e6, 2.0, &ice);
            far.substep(DT / 8.0, RodEnd::Free, RodEnd::Free, 3e6, -2.0, &ice);
        }
    };
    go_on(&mut scene.near, &mut scene.far, &mut scene.parting);
    let bytes = postcard::to_allocvec(&(&scene.near, &scene.far, &scene.parting)).unwrap();
    let (mut near, mut far, mut parting): (Rod, Rod, Parting) =
        postcard::from_bytes(&bytes).unwrap();
    go_on(&mut scene.near, &mut scene.far, &mut scene.parting);
    go_on(&mut near, &mut far, &mut parting);
    assert_eq!((near, far, parting), (scene.near, scene.far, scene.parting));
}

fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -1e3f64..1e9,
        1 => -1e12f64..1e12,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(f64::NEG_INFINITY)],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn nothing_the_circuit_says_makes_a_parting_not_a_number(
        stored in any_number(),
        calls in prop::collection::vec(
            ((any_number(), any_number()), (any_number(), any_number()), any_number(),
             prop_oneof![Just(DT), Just(0.01), any_number()]),
            1..10,
        ),
    ) {
        let spec = hose(3.0, 0.013);
        let y = DVec3::Y * spec.outer_radius_m;
        let ice = Flat { height: 0.0, friction: 0.3 };
        let mut near = Rod::along(spec, &[y, y + DVec3::X * 2.9], &ice).unwrap();
        let mut far = near.part(5).unwrap();
        let mut parting = Parting::new(stored, None);
        for (one, two, pump, dt) in calls {
            let out = [one, two].map(|(p, m)| Outflow { pressure_pa: p, mass_flow_kg_s: m * 1e-8 });
            for _ in 0..20 {
                let pushed = parting.push(dt, &mut near, &mut far, out, pump);
                prop_assert!(pushed.piston_n.is_finite() && pushed.piston_n >= 0.0);
                prop_assert!(pushed.thrust_n.iter().all(|n| n.is_finite() && *n >= 0.0));
                near.substep(dt, RodEnd::Free, RodEnd::Free, one.0, one.1, &ice);
                far.substep(dt, RodEnd::Free, RodEnd::Free, two.0, two.1, &ice);
                prop_assert!(near.nodes().iter().chain(far.nodes()).all(|p| p.is_finite()));
                prop_assert!(!parting.ledger().left_j().is_nan());
            }
        }
    }
}
