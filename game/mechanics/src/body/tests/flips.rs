//! Where a standing body flips: from holding to slipping, from bearing to stepping.

use glam::DVec3;

use super::*;

/// A body of the table in the staggered stance, hands over its centre of mass.
fn tabled(row: &crate::reference::Row<'_>) -> (Body, DVec3) {
    let spec = BodySpec {
        mass_kg: row.number("mass_kg"),
        hand_height_m: row.number("h_m"),
        hand_reach_m: 0.0,
        ..BodySpec::default()
    };
    let mut body = Body::new(spec, DVec3::ZERO, ALONG_MINUS_Z).unwrap();
    stand(&mut body, 2.0, &set(Stance::Staggered, false), 0.6, |_| {
        DVec3::ZERO
    });
    let angle = row.number("jet_below_horiz_deg").to_radians();
    let way = DVec3::new(0.0, libm::sin(angle), libm::cos(angle));
    (body, way)
}

#[test]
fn the_feet_slip_at_the_friction_of_the_table() {
    for row in Table::read("operator_balance.csv").rows() {
        let need = row.number("mu_required");
        let slips = |friction: f64| {
            let (mut body, way) = tabled(&row);
            let force = way * row.number("F_N");
            stand(
                &mut body,
                14.0,
                &set(Stance::Staggered, false),
                friction,
                |t| force * (t / 10.0).min(1.0),
            )
            .slipped
        };
        for part in [0.98, 0.99, 1.01, 1.02, 1.3] {
            assert_eq!(slips(part * need), part < 1.0, "{part} of {need}");
        }
    }
}

/// The load at which it steps asks for as much room behind the centre of mass as the feet give,
/// and the two centimetres that it lets pass.
#[test]
fn a_body_tips_where_the_feet_end() {
    const LET_PASS_M: f64 = 0.02;
    let mut seen = 0;
    for row in Table::read("operator_balance.csv").rows() {
        let (mut body, way) = tabled(&row);
        let intent = set(Stance::Staggered, false);
        for i in 0..480 * 90 {
            let force = way * (10.0 * f64::from(i) * DT);
            let before = body.clone();
            // Sure footing, so that it is the feet that end.
            let events = body.substep(DT, &intent, force, &floor(3.0));
            if !events.stepped {
                assert!(!events.fell);
                continue;
            }
            let (mass, height) = (row.number("mass_kg"), row.number("h_m"));
            let need = static_need(mass, force.z, force.y, height).unwrap();
            let com = Plan::of(before.pose().com);
            let rear = before.base().nearest(com + Plan::new(0.0, 3.0)).z - com.z;
            // An upward load has a lever of its own where the hands are not over it.
            let lever = before.hands.reach(before.yaw).z * force.y / need.normal_n;
            let asked = need.offset_m - lever - LET_PASS_M;
            println!("{mass} kg steps at {force} N: asks for {asked} m, has {rear} m");
            assert!(agrees(asked, rear, 0.02));
            seen += 1;
            break;
        }
    }
    // A jet that points up presses the feet down: two rows never step.
    assert_eq!(seen, 11);
}
