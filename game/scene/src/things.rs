//! What hands can lay hold of, and where it is. Whoever draws a thing puts it
//! there, and whoever looks for what a look is at finds it there.

use crate::stage::{Show, point};
use crate::world::outlets::LEVER_M;
use bevy::math::{Vec2, Vec3};
use crew::{Control, Ppe, Seat, Task};
use training::Level;
use yard::view::{ToolView, ViewFrame};

/// A thing that a hand can do something with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// A control of the site.
    Control(Control),
    /// The lance, where it stands or lies.
    Lance,
    /// The free place of the lance's stand.
    Stand,
    /// A nozzle that lies in the tray beside the stand, by its place in the
    /// level's list.
    Nozzle(u8),
    /// The bore gauge that lies in the tray.
    BoreGauge,
    /// The nozzle end of a lance in its stand: something is fitted or taken
    /// off there.
    LanceEnd,
    /// A piece of protective equipment on the rack.
    Ppe(Ppe),
    /// The hose where it is nearest.
    Hose,
    /// The board at the pump where the job is handed back.
    JobBoard,
    /// The small dials beside the gauge of the unit: inlet, oil and tank.
    Dials,
    /// The gauge of the second line, behind its cock.
    LineGauge,
}

/// A thing and where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// The thing.
    pub thing: Thing,
    /// Its middle.
    pub at: Vec3,
    /// How near to its middle a look has to pass, metres.
    pub radius_m: f32,
}

/// Height of the tray beside the lance stand, metres.
pub const TRAY_HEIGHT_M: f32 = 0.85;

/// Where the tray of nozzles is: beside the lance's stand.
pub fn tray(level: &Level) -> Option<Vec3> {
    let [x, z] = level.site.place("lance")?;
    let yaw = level.site.lance_hand.yaw_rad as f32;
    let (ahead, right) = (
        Vec3::new(yaw.cos(), 0.0, -yaw.sin()),
        Vec3::new(yaw.sin(), 0.0, yaw.cos()),
    );
    let stand = Vec3::new(x as f32, TRAY_HEIGHT_M, z as f32);
    Some(stand + ahead * 0.45 - right * 0.55)
}

/// A nozzle that is laid out lies so far out of the row, towards who stands at
/// the lance, metres.
const LAID_OUT_M: f32 = 0.1;

/// The place of a nozzle in the tray.
pub fn nozzle_place(level: &Level, tool: &ToolView, nozzle: u8) -> Option<Vec3> {
    let tray = tray(level)?;
    let right = tray_right(level);
    let row = tray + Vec3::new(0.0, 0.04, 0.0) + right * (0.16 * f32::from(nozzle) - 0.2);
    let out = if tool.chosen == nozzle {
        LAID_OUT_M
    } else {
        0.0
    };
    Some(row + Vec3::Y.cross(right) * -out)
}

/// The place of the bore gauge in the tray.
pub fn gauge_place(level: &Level) -> Option<Vec3> {
    Some(tray(level)? + Vec3::new(0.0, 0.04, 0.0) + tray_right(level) * 0.26)
}

/// Along the tray, to the right of who stands at it.
pub fn tray_right(level: &Level) -> Vec3 {
    let yaw = level.site.lance_hand.yaw_rad as f32;
    Vec3::new(yaw.sin(), 0.0, yaw.cos())
}

/// The place of a piece of protective equipment on the rack: two rows of three.
pub fn ppe_place(level: &Level, item: Ppe) -> Option<Vec3> {
    let [x, z] = level.site.rack?;
    let n = item as u8;
    let along = 0.42 * (f32::from(n % 3) - 1.0);
    let height = if n < 3 { 1.65 } else { 1.05 };
    Some(Vec3::new(x as f32 + along, height, z as f32 + 0.25))
}

/// The board where the job is handed back: the pump hand's beside the unit, the
/// lance hand's beside the stand.
pub fn board_place(level: &Level) -> Option<Vec3> {
    if level.post == Seat::PUMP {
        let [x, z] = level.site.place("pump")?;
        Some(Vec3::new(x as f32 - 1.0, 1.35, z as f32 + 0.4))
    } else {
        let tray = tray(level)?;
        Some(tray + Vec3::new(0.0, 0.5, 0.0) + tray_right(level) * -0.75)
    }
}

/// The board of small dials as it is modelled, seen from the middle of the unit's
/// footprint on the ground, metres.
const DIALS: Vec3 = Vec3::new(0.42, 1.61, 0.83);

/// Where the small dials of the unit are.
pub fn dials_place(level: &Level) -> Option<Vec3> {
    Some(crate::leaks::unit_foot(level)? + DIALS)
}

/// From the cock of the second outlet to the gauge behind it, metres.
const LINE_GAUGE: Vec3 = Vec3::new(0.16, 0.125, 0.0);

/// Where the gauge of the second line is, in a level that has two.
pub fn line_gauge_place(level: &Level) -> Option<Vec3> {
    level.equipment.second.as_ref()?;
    Some(point(level.site.control(Control::PedalOutlet)?) + LINE_GAUGE)
}

/// Length of the lever of a control; what has none is held in its middle, metres.
fn lever_m(control: Control) -> f32 {
    match control {
        Control::Supply => 0.155,
        Control::AirBleed => 0.068,
        Control::Dump => 0.228,
        Control::Bleed => 0.098,
        Control::LanceOutlet | Control::PedalOutlet => LEVER_M,
        _ => 0.0,
    }
}

/// Where a hand holds a control: a wheel at its rim, and a lever near its end,
/// which stands up at the beginning of its travel and lies to the right at the
/// end.
pub fn grip(show: &Show, control: Control) -> Option<Vec3> {
    let at = point(show.loaded.level.site.control(control)?);
    if control == Control::Regulator {
        // By the rim of its wheel.
        return Some(at + Vec3::new(0.085, 0.045, 0.01));
    }
    let turn = core::f32::consts::FRAC_PI_2 * show.share(control).unwrap_or(0.0);
    if Control::OUTLETS.contains(&control) {
        // It lies flat: across its pipe it is shut, and along it, towards who turns it, open.
        let out = Vec3::new(-turn.cos(), 0.1, turn.sin());
        return Some(at + 0.8 * lever_m(control) * out);
    }
    Some(at + 0.8 * lever_m(control) * Vec3::new(turn.sin(), turn.cos(), 0.0))
}

/// The two forks of the lance's stand, ahead of the grip, metres.
pub const FORKS_M: [f32; 2] = [0.36, 0.92];

/// All things of a yard that the person on a seat might lay hold of, where they
/// are at this moment.
pub fn things(level: &Level, frame: &ViewFrame, seat: Seat) -> Vec<Placed> {
    let mut found = Vec::new();
    let mut put = |thing, at: Option<Vec3>, radius_m| {
        if let Some(at) = at {
            found.push(Placed {
                thing,
                at,
                radius_m,
            });
        }
    };
    for (control, at) in &level.site.controls {
        // A sling is as long as a forearm.
        let radius_m = if Control::RESTRAINTS.contains(control) {
            0.13
        } else {
            0.07
        };
        put(Thing::Control(*control), Some(point(*at)), radius_m);
    }
    for item in Ppe::ALL {
        put(Thing::Ppe(item), ppe_place(level, item), 0.17);
    }
    put(Thing::JobBoard, board_place(level), 0.22);
    put(Thing::Dials, dials_place(level), 0.15);
    put(Thing::LineGauge, line_gauge_place(level), 0.05);
    if seat != Seat::LANCE {
        return found;
    }
    let tool = &frame.tool;
    if tool.in_hands {
        // It is looked at where its forks are, and the grip comes to lie before them.
        let way = Vec2::from_angle(level.site.lance_hand.yaw_rad as f32);
        let ahead = Vec3::new(way.x, 0.0, -way.y);
        let middle = 0.5 * (FORKS_M[0] + FORKS_M[1]);
        put(Thing::Stand, Some(point(tool.stand) + middle * ahead), 0.3);
    } else {
        let (grip, tip) = (point(tool.grip), point(tool.tip));
        put(Thing::Lance, Some(grip), 0.16);
        put(Thing::LanceEnd, Some(tip), 0.12);
    }
    if !tool.in_hands {
        // Full hands have no use for the tray.
        for n in 0..level.equipment.nozzles.len() as u8 {
            if tool.nozzle != Some(n) {
                put(Thing::Nozzle(n), nozzle_place(level, tool, n), 0.08);
            }
        }
        put(Thing::BoreGauge, gauge_place(level), 0.08);
    }
    if let Some(person) = frame.people.iter().find(|p| p.seat == seat) {
        let feet = 0.5 * (point(person.feet[0]) + point(person.feet[1]));
        let nearest = frame
            .hose
            .iter()
            .map(|n| point(*n))
            .min_by(|a, b| a.distance(feet).total_cmp(&b.distance(feet)));
        put(Thing::Hose, nearest, 0.12);
    }
    found
}

/// What is looked at: the thing that is nearest to the middle of the view, within
/// its radius and within reach of a glance.
pub fn looked_at(eye: Vec3, forward: Vec3, things: &[Placed], within_m: f32) -> Option<Placed> {
    things
        .iter()
        .filter_map(|placed| {
            let to = placed.at - eye;
            let along = to.dot(forward);
            let off = (to - forward * along).length();
            // Far things are as easy to pick as they look large.
            let near = placed.radius_m + 0.02 * along;
            (along > 0.0 && along <= within_m && off <= near).then_some((placed, off / along))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(placed, _)| *placed)
}

/// The work that a hand begins at the end of a lance, as it stands.
pub fn work_at_end(fitted: bool) -> Task {
    if fitted {
        Task::RemoveNozzle
    } else {
        Task::FitNozzle
    }
}
