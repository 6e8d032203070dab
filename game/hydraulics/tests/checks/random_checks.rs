//! Whatever the hands do, everything stays finite and above vacuum.

use crate::chance::chance;
use crate::example::{DT, SUBSTEPS, disc, nozzle, tri_80, two_ways};
use hydraulics::units::Temperature;
use hydraulics::*;
use proptest::prelude::*;

fn any_fraction() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(1.0),
        0.0..1.0,
        Just(f64::NAN),
        Just(-3.0),
        Just(f64::INFINITY),
    ]
}

fn any_end() -> impl Strategy<Value = HoseEnd> {
    prop_oneof![
        Just(HoseEnd::Open),
        Just(HoseEnd::Blocked),
        (0.0_f64..4.0e-3, 0.0..1.0).prop_map(|(bore_m, blocked)| {
            HoseEnd::Nozzle(NozzleSpec {
                bore_m,
                blocked,
                ..nozzle()
            })
        }),
        Just(HoseEnd::Nozzle(NozzleSpec {
            bore_m: f64::NAN,
            worn: f64::INFINITY,
            ..nozzle()
        })),
    ]
}

prop_compose! {
    /// Parts in any state, most of them sound.
    fn any_condition()(
        amounts in proptest::array::uniform15(any_fault()),
        stuck in proptest::array::uniform7(proptest::bool::weighted(0.1)),
    ) -> Condition {
        Condition {
            dump_slow_s: 60.0 * amounts[0],
            dump_stuck: stuck[0],
            dump_leak: amounts[1],
            gun_stuck: stuck[1],
            gun_leak: amounts[2],
            regulator_air_lost: stuck[2],
            regulator_stuck: stuck[3],
            regulator_seat_worn: amounts[3],
            relief_weak: amounts[4],
            // Nothing else stands between a stuck relief and a hose that bursts.
            relief_stuck: false,
            nozzle_worn: 2.0 * amounts[5],
            nozzle_blocked: amounts[6],
            supply_lost: amounts[7],
            strainer_fouled: amounts[8],
            regulator_damping_lost: amounts[14],
            packing_worn: 100.0 * amounts[9],
            pump_valve_leak: amounts[10],
            engine_weak: amounts[11],
            oil_lost: amounts[12],
            cooler_fouled: amounts[13],
            hose_leak_m2: if stuck[4] { 1.0e-6 } else { 0.0 },
            hose_parted: stuck[5],
            pump_coupling_parted: stuck[6],
        }
    }
}

fn any_fault() -> impl Strategy<Value = f64> {
    prop_oneof![4 => Just(0.0), 1 => any_fraction()]
}

prop_compose! {
    fn any_controls()(
        fractions in proptest::array::uniform6(any_fraction()),
        switches in proptest::array::uniform4(any::<bool>()),
        ways in proptest::array::uniform3(any_fraction()),
        ends in proptest::array::uniform2(any_end()),
        condition in any_condition(),
    ) -> Controls {
        let [hose_end, end] = ends;
        Controls {
            throttle: fractions[0],
            supply_open: fractions[1],
            air_bleed_open: fractions[2],
            regulator_knob: fractions[3],
            bleed_open: fractions[4],
            trigger: fractions[5],
            ignition: switches[0],
            starter: switches[1],
            dump_local_open: switches[2],
            dump_remote_open: switches[3],
            hose_end,
            isolating_open: [ways[0], ways[1]],
            second: SecondAsked { trigger: ways[2], end },
            condition,
        }
    }
}

fn sound(now: &Instant) -> bool {
    let pressures = [
        now.pump_pressure_pa,
        now.gun_pressure_pa,
        now.nozzle_pressure_pa,
    ];
    let rest = [
        now.pump_mass_flow_kg_s,
        now.nozzle_mass_flow_kg_s,
        now.bypass_flow_m3_s,
        now.dump_flow_m3_s,
        now.bleed_flow_m3_s,
        now.relief_flow_m3_s,
        now.disc_flow_m3_s,
        now.second.nozzle_mass_flow_kg_s,
        now.second.thrust_n,
        now.gun_dump_flow_m3_s,
        now.thrust_n,
        now.jet_speed_m_s,
        now.engine_speed_rad_s,
        now.engine_load,
        now.fuel_rate_kg_s,
        now.air_fraction,
        now.tank_temperature_c,
    ];
    pressures
        .iter()
        .all(|p| p.is_finite() && *p >= -101_325.0 && *p < 4.0e8)
        && rest.iter().all(|x| x.is_finite() && *x >= 0.0)
}

proptest! {
    #![proptest_config(chance(48))]

    #[test]
    fn random_hands_never_break_the_circuit(
        moves in proptest::collection::vec((any_controls(), 1_usize..80), 1..24),
        dumping in any::<bool>(),
        branched in any::<bool>(),
        warm_start in any::<bool>(),
    ) {
        let mut spec = tri_80();
        if dumping {
            spec.gun.kind = GunKind::Dumping;
        }
        if branched {
            spec.branch = two_ways(&spec);
            spec.burst_disc = Some(disc());
        }
        let mut circuit = Circuit::new(spec, Temperature::from_celsius(15.0)).expect("a sound spec");
        let mut moves = moves;
        if warm_start {
            let run = Controls {
                throttle: 0.6,
                ignition: true,
                starter: true,
                supply_open: 1.0,
                air_bleed_open: 1.0,
                hose_end: HoseEnd::Nozzle(nozzle()),
                ..Controls::AT_REST
            };
            let pressed = Controls { dump_local_open: false, regulator_knob: 0.9, starter: false, ..run };
            moves.insert(0, (pressed, 300));
            moves.insert(0, (run, 500));
        }
        for (controls, ticks) in &moves {
            for _ in 0..*ticks {
                circuit.begin_tick();
                for _ in 0..SUBSTEPS {
                    let now = circuit.substep(controls, DT);
                    prop_assert!(sound(&now), "{now:?} {controls:?}");
                }
            }
        }
    }

    #[test]
    fn a_spec_within_a_tenth_of_the_example_runs(scale in proptest::array::uniform8(0.9..1.1_f64)) {
        let mut spec = tri_80();
        spec.pump.plunger_diameter_m *= scale[0];
        spec.hoses[0].bore_m *= scale[1];
        spec.hoses[0].wall_modulus_pa *= scale[2];
        spec.regulator.damping_n_s_m *= scale[3];
        spec.regulator.seat_bore_m *= scale[4];
        spec.manifold_volume_m3 *= scale[5];
        spec.engine.inertia_kg_m2 *= scale[6];
        spec.gun.volume_m3 *= scale[7];
        let knob = spec.regulator.knob_for(6.0e7);
        let mut circuit = Circuit::new(spec, Temperature::from_celsius(15.0)).expect("a sound spec");
        let mut controls = Controls {
            throttle: 0.6,
            ignition: true,
            starter: true,
            supply_open: 1.0,
            air_bleed_open: 1.0,
            hose_end: HoseEnd::Nozzle(nozzle()),
            ..Controls::AT_REST
        };
        for tick in 0..2_400 {
            controls.starter = tick < 600;
            controls.dump_local_open = tick < 720;
            controls.regulator_knob = if tick < 840 { 0.0 } else { knob };
            controls.trigger = if tick / 120 % 2 == 0 { 1.0 } else { 0.0 };
            circuit.begin_tick();
            for _ in 0..SUBSTEPS {
                let now = circuit.substep(&controls, DT);
                prop_assert!(sound(&now), "{now:?}");
            }
        }
        let work = circuit.substep(&controls, DT).pump_pressure_pa;
        prop_assert!((work / 6.0e7 - 1.0).abs() < 0.05, "{work}");
    }
}

#[test]
fn steps_of_any_length_are_survived() {
    for dt in [f64::NAN, 0.0, -1.0, 1.0e-9, 0.01, 1.0e9, f64::INFINITY] {
        let mut circuit = Circuit::new(tri_80(), Temperature::from_celsius(15.0)).expect("sound");
        let controls = Controls {
            throttle: 1.0,
            ignition: true,
            starter: true,
            supply_open: 1.0,
            dump_local_open: false,
            regulator_knob: 0.9,
            trigger: 1.0,
            hose_end: HoseEnd::Nozzle(nozzle()),
            ..Controls::AT_REST
        };
        for _ in 0..2_000 {
            circuit.begin_tick();
            let now = circuit.substep(&controls, dt);
            assert!(sound(&now), "{dt}: {now:?}");
        }
    }
}
