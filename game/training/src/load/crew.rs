//! How the people that the program plays behave.

use crew::{Control, Seat};
use hydraulics::HoseEnd;
use hydraulics::steady::{Question, operating_point_at_speed};

use super::equipment::HELD_SHARE;
use super::second::mate;
use super::si::{bar, pa, share};
use super::site::inside;
use crate::data::{Ids, Reader};
use crate::level::{Crew, Equipment, Job, LanceHand, PumpHand, Site, Visitor, Watch};
use crate::text::number;

/// What of the rest of the level the crew has to go with.
pub(super) struct Company<'a> {
    /// The post of the trainee.
    pub post: Seat,
    /// The yard, unless something is wrong in it.
    pub site: Option<&'a Site>,
    /// Ids of the places.
    pub places: &'a Ids,
    /// The job, unless something is wrong in it.
    pub job: Option<&'a Job>,
    /// The equipment, unless something is wrong in it.
    pub equipment: Option<&'a Equipment>,
    /// Temperature of the water, degrees Celsius.
    pub water_c: f64,
}

/// Reads the crew.
pub(super) fn crew(r: &mut Reader<'_, '_>, company: &Company<'_>) -> Crew {
    let crew = Crew {
        lance_hand: r.option("lance_hand", |c| c.record("LanceHand", lance_hand)),
        pump_hand: r.option("pump_hand", |c| {
            c.record("PumpHand", |r| pump_hand(r, company))
        }),
        watch: r.option("watch", |c| c.record("Watch", |r| watch(r, company.places))),
        visitor: r.option("visitor", |c| {
            c.record("Visitor", |r| visitor(r, company.places))
        }),
        mate: r.option("mate", |c| c.record("Mate", mate)),
    };
    check_crew(r, &crew, company);
    crew
}

/// Whoever the trainee works with is there, and everybody who is there has a place.
fn check_crew(r: &mut Reader<'_, '_>, crew: &Crew, company: &Company<'_>) {
    let lance = company.post == Seat::LANCE;
    r.check(
        "pump_hand",
        !lance || crew.pump_hand.is_some(),
        "data-clash-no-pump-hand",
        vec![],
    );
    r.check(
        "lance_hand",
        lance || crew.lance_hand.is_some(),
        "data-clash-no-lance-hand",
        vec![],
    );
    let Some(site) = company.site else { return };
    r.check(
        "watch",
        crew.watch.is_some() == site.watch.is_some(),
        "data-clash-watch-place",
        vec![],
    );
    r.check(
        "visitor",
        crew.visitor.is_some() == site.visitor.is_some(),
        "data-clash-visitor-place",
        vec![],
    );
    let (Some(visitor), Some(_)) = (&crew.visitor, &site.visitor) else {
        return;
    };
    let last = visitor.by.last().and_then(|id| site.place(id));
    // A gate without a zone is a mistake of its own.
    if site.zone.is_none() && site.control(Control::Barrier).is_some() {
        return;
    }
    let comes_in = site
        .zone
        .zip(last)
        .is_some_and(|(zone, at)| inside(at, zone));
    r.check("visitor", comes_in, "data-clash-visitor-stays-out", vec![]);
}

fn lance_hand(r: &mut Reader<'_, '_>) -> LanceHand {
    LanceHand {
        reply_s: r.f64("reply_s", 0.1..=10.0),
        squeeze_s: r.f64("squeeze_s", 0.5..=60.0),
        work: r.list("work_s", 0..=100, |c| {
            let [wait, squeeze] = c.numbers(0.0..=600.0);
            (wait, squeeze)
        }),
        dump_call_after_s: r.option("dump_call_after_s", |c| c.f64(1.0..=3_600.0)),
    }
}

fn pump_hand(r: &mut Reader<'_, '_>, company: &Company<'_>) -> PumpHand {
    let reply_s = r.f64("reply_s", 0.1..=10.0);
    let mut before = 0.0;
    let steps = r.list("steps", 1..=30, |c| {
        c.record("Step", |r| {
            let pressure_bar = r.field("bar", |c| c.named("pressure_bar").f64(1.0..=4_000.0));
            let throttle_pct = r.f64("throttle_pct", 0.0..=100.0);
            r.check(
                "bar",
                pressure_bar > before,
                "data-clash-steps-order",
                vec![
                    ("pressure", number(pressure_bar, 0)),
                    ("before", number(before, 0)),
                ],
            );
            before = pressure_bar;
            if let Some(equipment) = company.equipment {
                check_step(r, pressure_bar, throttle_pct, equipment, company.water_c);
            }
            (pressure_bar, throttle_pct)
        })
    });
    let (steps_bar, throttle_pct): (Vec<f64>, Vec<f64>) = steps.into_iter().unzip();
    if let Some(job) = company.job {
        let top = steps_bar.last().copied().unwrap_or_default();
        r.check(
            "steps",
            top >= job.pressure_bar,
            "data-clash-steps-low",
            vec![
                ("top", number(top, 0)),
                ("pressure", number(job.pressure_bar, 0)),
            ],
        );
    }
    PumpHand {
        reply_s,
        steps_bar,
        throttle_pct,
    }
}

/// The unit gives the pressure of a step with the job's nozzle at the throttle of that step.
fn check_step(
    r: &mut Reader<'_, '_>,
    pressure_bar: f64,
    throttle_pct: f64,
    equipment: &Equipment,
    water_c: f64,
) {
    let step_pa = pa(pressure_bar);
    let pressure = || ("pressure", number(pressure_bar, 0));
    let highest = equipment.kit_max_pa;
    r.check(
        "bar",
        step_pa <= highest,
        "data-clash-step-over-kit",
        vec![pressure(), ("max", number(bar(highest), 0))],
    );
    let knob = equipment.circuit.regulator.knob_for(step_pa);
    let nozzle = equipment.nozzles.first();
    // Below the residual pressure the knob is backed off, and the needle is higher.
    let (Some(nozzle), true) = (nozzle, step_pa <= highest && knob <= 1.0) else {
        return;
    };
    let throttle = share(throttle_pct);
    // The speed that the governor falls to under full load: the pump may run faster and give a
    // little more, and one speed is found far sooner than the one that goes with the load.
    let speed = equipment.circuit.engine.governed_speed_rad_s(throttle);
    let point = operating_point_at_speed(
        &equipment.circuit,
        &Question {
            throttle,
            regulator_knob: knob.max(0.0),
            hose_end: HoseEnd::Nozzle(nozzle.water),
            temperature_c: water_c,
        },
        speed,
    );
    r.check(
        "throttle_pct",
        point.pump_pressure_pa >= HELD_SHARE * step_pa && point.engine_load <= 1.0,
        "data-clash-step-throttle",
        vec![
            ("throttle", number(throttle_pct, 0)),
            ("reached", number(bar(point.pump_pressure_pa), 0)),
            pressure(),
        ],
    );
}

fn watch(r: &mut Reader<'_, '_>, places: &Ids) -> Watch {
    let reply_s = r.f64("reply_s", 0.1..=10.0);
    let steps_near = r.option("steps_near", |c| {
        c.record("StepsNear", |r| {
            let after_s = r.f64("after_s", 0.0..=3_600.0);
            (after_s, r.reference("place", places))
        })
    });
    let (steps_near_after_s, near_place) = steps_near.unzip();
    Watch {
        reply_s,
        steps_near_after_s,
        near_place,
    }
}

fn visitor(r: &mut Reader<'_, '_>, places: &Ids) -> Visitor {
    Visitor {
        after_s: r.f64("after_s", 0.0..=3_600.0),
        by: r.list("by", 1..=20, |c| c.reference(places)),
    }
}
