//! What a tick of the circuit costs.

#[path = "../../../game/hydraulics/tests/checks/example.rs"]
#[allow(dead_code)]
mod example;

use divan::Bencher;
use example::{DT, Rig, SUBSTEPS, hose, tri_80};

/// Counts what is allocated: a step should allocate nothing.
#[global_allocator]
static COUNTED: divan::AllocProfiler = divan::AllocProfiler::system();

fn main() {
    divan::main();
}

/// A unit at work into a string of hoses, the trigger pulled and let go.
#[divan::bench(args = [20.0, 40.0, 100.0])]
fn tick_with_a_string_of_metres(bencher: Bencher, metres: f64) {
    let mut spec = tri_80();
    spec.hoses = vec![hose(0.013, metres / 2.0), hose(0.013, metres / 2.0)];
    let knob = spec.regulator.knob_for(7.0e7);
    let mut rig = Rig::new(spec, 15.0);
    rig.bring_to_pressure(0.56, knob);
    let mut ticks = 0_u32;
    bencher.bench_local(|| {
        ticks += 1;
        rig.controls.trigger = if ticks / 120 % 2 == 0 { 1.0 } else { 0.0 };
        rig.circuit.begin_tick();
        for _ in 0..SUBSTEPS {
            divan::black_box(rig.circuit.substep(&rig.controls, DT));
        }
    });
}
