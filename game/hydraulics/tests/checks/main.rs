//! Checks of the hydraulics against published and independently computed values.

mod example;
mod line_checks;
mod nozzle_checks;
mod pump_checks;
mod reference;
mod water_checks;
#[test]
fn explore() {
    use example::*;
    use hydraulics::*;
    let mut r = Rig::new(tri_80(), 15.0);
    let knob = tri_80().regulator.knob_for(7.0e7);
    let show = |r: &Rig, what: &str| {
        let i = r.now;
        println!(
            "{what}: t {:.2} P {:.2} gun {:.2} noz {:.2} bar pump {:.2} noz {:.2} byp {:.2} dump {:.2} rel {:.2} F {:.1} rpm {:.0} load {:.2} lift {:.4} mm run {} set {:.1} tank {:.2}",
            r.time_s,
            i.pump_pressure_pa / 1e5,
            i.gun_pressure_pa / 1e5,
            i.nozzle_pressure_pa / 1e5,
            i.pump_flow_m3_s * 6e4,
            i.nozzle_flow_m3_s * 6e4,
            i.bypass_flow_m3_s * 6e4,
            i.dump_flow_m3_s * 6e4,
            i.relief_flow_m3_s * 6e4,
            i.thrust_n,
            i.engine_speed_rad_s * 9.549,
            i.engine_load,
            i.regulator_lift_m * 1e3,
            i.engine_running,
            i.regulator_set_pa / 1e5,
            i.tank_temperature_c
        )
    };
    r.controls.supply_open = 1.0;
    r.controls.air_bleed_open = 1.0;
    r.run(30.0);
    r.controls.air_bleed_open = 0.0;
    show(&r, "bled");
    r.start();
    show(&r, "started");
    r.controls.dump_local_open = false;
    r.run(2.0);
    show(&r, "dump shut, knob out");
    r.controls.throttle = 0.62;
    r.run(3.0);
    show(&r, "throttle");
    r.controls.trigger = 1.0;
    r.run(3.0);
    show(&r, "trigger");
    r.controls.regulator_knob = knob;
    for _ in 0..20 {
        r.run(0.25);
        show(&r, "knob");
    }
    r.controls.trigger = 0.0;
    for k in 0..60 {
        r.run(0.02);
        if k % 3 == 0 {
            show(&r, "rel");
        }
    }
    r.controls.trigger = 1.0;
    for k in 0..60 {
        r.run(0.02);
        if k % 3 == 0 {
            show(&r, "pull");
        }
    }
    r.run(5.0);
    for _ in 0..64 {
        r.substep();
        show(&r, "steady");
    }
    r.controls.dump_remote_open = true;
    r.controls.ignition = false;
    for _ in 0..30 {
        r.run(0.05);
        show(&r, "estop");
    }
    r.run(5.0);
    show(&r, "end");
    let q = steady::Question {
        throttle: 0.62,
        regulator_knob: knob,
        hose_end: HoseEnd::Nozzle(nozzle()),
        temperature_c: 15.0,
    };
    println!("{:?}", steady::operating_point(&tri_80(), &q));
    r.controls.dump_remote_open = false;
    r.controls.regulator_knob = 0.0;
    r.start();
    r.controls.regulator_knob = knob;
    r.controls.throttle = 0.62;
    r.run(5.0);
    let t = std::time::Instant::now();
    let n = 4000;
    for _ in 0..n * 8 {
        r.substep();
    }
    println!("{:.2} us/tick", t.elapsed().as_secs_f64() / n as f64 * 1e6);
    r.controls.dump_local_open = true;
    r.run(2.0);
    let t = std::time::Instant::now();
    for _ in 0..n * 8 {
        r.substep();
    }
    println!(
        "{:.2} us/tick dumped",
        t.elapsed().as_secs_f64() / n as f64 * 1e6
    );
}
