//! What no setting may break: mass is kept, energy is not made, nothing runs away.
//!
//! 200 lines in the suite, the same each time; `JETYARD_CASES=10000` for more, drawn anew.

use crate::chance::chance;
use crate::example::{DT, tri_80};
use hydraulics::line::Line;
use hydraulics::orifice::Conductance;
use hydraulics::storage::Liquid;
use hydraulics::water::Water;
use hydraulics::{GunSpec, HoseSpec};
use proptest::prelude::*;

prop_compose! {
    fn any_hose()(
        bore_m in 0.004..0.025_f64,
        length_m in 0.3..80.0_f64,
        wall_gpa in prop_oneof![0.2..6.0_f64, Just(1_000.0)],
        roughness_m in 0.0..2.0e-5_f64,
        fitting_loss in 0.0..3.0_f64,
        coarser in 1_u16..4,
    ) -> HoseSpec {
        let wall_modulus_pa = wall_gpa * 1.0e9;
        HoseSpec {
            bore_m,
            length_m,
            roughness_m,
            wall_modulus_pa,
            fitting_loss,
            rated_pressure_pa: 1.0e8,
            cells: (HoseSpec::suggested_cells(length_m, wall_modulus_pa) / coarser).max(1),
        }
    }
}

#[derive(Clone, Debug)]
struct Phase {
    steps: usize,
    inflow_kg_s: f64,
    /// Bore of a dump at the manifold, of the tools and of a leak, mm; nil for shut.
    bores_mm: [f64; 4],
    /// Opening of the valve in the line.
    valve: f64,
}

/// Open, shut, or between.
fn any_valve() -> impl Strategy<Value = f64> {
    prop_oneof![Just(1.0), Just(0.0), 0.0..1.0_f64]
}

prop_compose! {
    fn any_phase()(
        steps in 1_usize..400,
        inflow_kg_s in prop_oneof![Just(0.0), 0.0..4.0_f64],
        bores_mm in proptest::array::uniform4(prop_oneof![Just(0.0), Just(0.0), 0.1..12.0_f64]),
        valve in any_valve(),
    ) -> Phase {
        Phase { steps, inflow_kg_s, bores_mm, valve }
    }
}

fn opening(bore_mm: f64) -> Conductance {
    let area = hydraulics::orifice::round_area_m2(bore_mm * 1.0e-3);
    Conductance::of_opening(0.8, area, 998.2)
}

/// Two tools behind a tee, a leak half way, a valve in the middle, random openings; one step after
/// the other.
struct Case {
    line: Line,
    leak: usize,
    valve: usize,
}

impl Case {
    fn new(trunk: &[HoseSpec], branch: &[HoseSpec], real: bool) -> Self {
        let water = Water::at_celsius(15.0);
        let liquid = if real {
            Liquid::Water(water.isentrope())
        } else {
            Liquid::Proportional {
                density: 998.2,
                modulus_pa: 2.2e9,
            }
        };
        let gun: GunSpec = tri_80().gun;
        let branches: [(&[HoseSpec], f64); 2] = [(branch, gun.volume_m3), (&[], 1.0e-5)];
        let mut line = Line::branched(liquid, 4.0e-4, trunk, &branches);
        let leak = line.leak(1, Conductance(0.0));
        let middle = line.flows_kg_s().len() / 2;
        let valve = line.fit_valve(middle).expect("a link");
        Self { line, leak, valve }
    }

    /// Sets the valve in the line.
    fn set(&mut self, opening: f64) {
        let area = hydraulics::orifice::round_area_m2(0.008);
        let lets = Conductance::of_seat(0.0, 2.0, opening, area, 998.2);
        self.line.set_valve(self.valve, lets);
    }
}

proptest! {
    #![proptest_config(chance(200))]

    #[test]
    fn mass_is_kept_to_a_billionth_and_nothing_runs_away(
        trunk in proptest::collection::vec(any_hose(), 1..4),
        branch in proptest::collection::vec(any_hose(), 0..3),
        phases in proptest::collection::vec(any_phase(), 1..8),
        real in any::<bool>(),
        steps_finer in prop_oneof![Just(0.13), Just(1.0), Just(7.7)],
        parts_at in proptest::option::of(0_usize..8),
    ) {
        let mut case = Case::new(&trunk, &branch, real);
        let water = Water::at_celsius(15.0);
        let leak = case.leak;
        let began = case.line.mass_kg();
        let dt = DT / steps_finer;
        let (mut pumped, mut left) = (0.0, 0.0);
        let mut torn = None;
        for (n, phase) in phases.iter().enumerate() {
            let mut dump = Counted { conductance: opening(phase.bores_mm[0]), left: 0.0 };
            case.set(phase.valve);
            let line = &mut case.line;
            line.open(0, opening(phase.bores_mm[1]));
            line.open(1, opening(phase.bores_mm[2]));
            line.open(leak, opening(0.3 * phase.bores_mm[3]));
            if parts_at == Some(n) {
                torn = line.part(line.flows_kg_s().len() / 2).or(torn);
            }
            for step in 0..phase.steps {
                if step % 8 == 0 {
                    line.refresh_friction(&water);
                }
                // The pump's relief: it gives nothing more against 1,500 bar. Within a step nothing
                // relieves it, so a step does not fill the line by more than a share either.
                let most = 2.0e-3 * line.mass_kg() / dt;
                let inflow = if line.head_pa() < 1.5e8 { phase.inflow_kg_s.min(most) } else { 0.0 };
                let dumped = dump.left;
                line.step(dt, inflow, &mut dump);
                pumped += inflow * dt;
                let torn = torn.map_or(0.0, |(a, b)| line.opening_kg_s(a) + line.opening_kg_s(b));
                let tools = line.opening_kg_s(0) + line.opening_kg_s(1) + line.opening_kg_s(leak);
                left += (tools + torn + dump.left - dumped) * dt;
                for p in line.pressures_pa() {
                    prop_assert!(p.is_finite() && *p < 8.0e8, "{p} Pa");
                }
                prop_assert!(line.flows_kg_s().iter().all(|m| m.is_finite() && m.abs() < 500.0));
            }
        }
        let off = pumped - left - (case.line.mass_kg() - began);
        let throughput = pumped.max(left).max(began);
        prop_assert!(off.abs() <= 1.0e-9 * throughput, "{off} of {throughput} kg");
    }

    /// Shut in while it flows, it swings and comes to rest; the energy it had is never exceeded.
    /// With steps half as long as may be: with the longest, the fastest swing of all has no energy
    /// by this sum.
    #[test]
    fn a_line_that_is_shut_in_never_gains_energy(
        trunk in proptest::collection::vec(any_hose(), 1..4),
        branch in proptest::collection::vec(any_hose(), 0..3),
        flow_kg_s in 0.0..0.6_f64,
        pressure_pa in 0.0..1.2e8_f64,
        valve in any_valve(),
        real in any::<bool>(),
    ) {
        let mut case = Case::new(&trunk, &branch, real);
        case.set(valve);
        let line = case.line;
        let water = Water::at_celsius(15.0);
        let mut line = line.at_pressure(pressure_pa).flowing(flow_kg_s);
        let mut shut = Conductance(0.0);
        let dt = 0.45 * line.longest_step_s();
        line.step(dt, 0.0, &mut shut);
        let began = line.energy_j(dt);
        let mut most = began;
        for step in 0..4_000 {
            if step % 8 == 0 {
                line.refresh_friction(&water);
            }
            line.step(dt, 0.0, &mut shut);
            most = most.max(line.energy_j(dt));
        }
        prop_assert!(most <= began * 1.01 + 1.0e-3, "from {began} J to {most} J");
    }

    /// The same over steps of the simulator; before and after them it is weighed with short ones.
    /// Where the column has parted, its closing is resolved badly by such steps: up to a quarter
    /// may come in so, in one of a thousand lines (measured: 11 %).
    #[test]
    fn the_simulators_steps_make_no_energy_either(
        trunk in proptest::collection::vec(any_hose(), 1..4),
        branch in proptest::collection::vec(any_hose(), 0..3),
        flow_kg_s in 0.0..0.6_f64,
        pressure_pa in 0.0..1.2e8_f64,
        valve in any_valve(),
        real in any::<bool>(),
        steps in 1_usize..2_000,
    ) {
        let mut case = Case::new(&trunk, &branch, real);
        case.set(valve);
        let line = case.line;
        let water = Water::at_celsius(15.0);
        let mut line = line.at_pressure(pressure_pa).flowing(flow_kg_s);
        let mut shut = Conductance(0.0);
        let short = 0.45 * line.longest_step_s();
        line.step(short, 0.0, &mut shut);
        let began = line.energy_j(short);
        let mut parted = false;
        for step in 0..steps {
            if step % 8 == 0 {
                line.refresh_friction(&water);
            }
            line.step(DT, 0.0, &mut shut);
            parted |= line.pressures_pa().iter().any(|p| *p < 0.0);
        }
        line.step(short, 0.0, &mut shut);
        let ended = line.energy_j(short);
        let allowed = if parted { 1.25 } else { 1.01 };
        prop_assert!(ended <= began * allowed + 0.1, "from {began} J to {ended} J");
    }
}

#[derive(Clone)]
struct Counted {
    conductance: Conductance,
    left: f64,
}

impl hydraulics::outlet::Openings for Counted {
    fn begin(&mut self, _: f64, _: f64) {}
    fn flow(&self, pressure_pa: f64) -> (f64, f64) {
        let c = self.conductance;
        (c.mass_flow(pressure_pa), c.slope(pressure_pa))
    }
    fn commit(&mut self, _: f64, _: f64) {}
    fn count(&mut self, pressure_pa: f64, weight: f64) {
        self.left += weight * self.conductance.mass_flow(pressure_pa);
    }
    fn onward(&mut self, _: &Self, _: f64) {}
}
