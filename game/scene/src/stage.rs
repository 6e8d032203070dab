//! What is to be seen and heard: two pictures of a yard and how far the moment
//! lies between them. An attempt under way and a replay write it; whoever draws
//! or sounds reads it and nothing else.

use bevy::prelude::*;
use crew::{Control, Seat, Tick};
use std::sync::Arc;
use training::level::Coat;
use training::load::Loaded;
use training::surface::STEPS_PER_LAYER;
use training::{Event, Finding, SurfaceStep};
use yard::view::{JetView, PersonView, Vector, ViewFrame};

/// A yard on show.
#[derive(Clone, Debug)]
pub struct Show {
    /// The level.
    pub loaded: Arc<Loaded>,
    /// The earlier picture.
    pub before: ViewFrame,
    /// The later picture.
    pub now: ViewFrame,
    /// How far from the one to the other, 0 to 1.
    pub alpha: f32,
    /// Steps that each cell of the surface has taken, row by row from the
    /// lower left.
    pub cells: Vec<u8>,
    /// Cells that have taken steps since the last frame; who draws them takes
    /// them out.
    pub fresh: Vec<SurfaceStep>,
    /// Raised whenever `cells` was replaced as a whole.
    pub renewed: u32,
}

/// The yard on show, if there is one.
#[derive(Resource, Default)]
pub struct Stage {
    /// What is on show.
    pub show: Option<Show>,
    /// Raised whenever another yard is put up: everything is to be built anew.
    pub yard: u32,
    /// Whose eyes it is seen with: of them no more than arms are drawn. Without
    /// one the view is from outside.
    pub own: Option<Seat>,
}

/// Where the view is taken from.
#[derive(Resource, Clone, Copy, Debug)]
pub struct Eye {
    /// The place.
    pub at: Vec3,
    /// The way it looks, radians about the upward axis from +x towards -z.
    pub yaw: f32,
    /// Up, radians.
    pub pitch: f32,
    /// Clockwise, radians.
    pub roll: f32,
}

impl Default for Eye {
    fn default() -> Self {
        Eye {
            at: Vec3::new(5.0, 1.6, 6.0),
            yaw: 1.4,
            pitch: 0.0,
            roll: 0.0,
        }
    }
}

impl Eye {
    /// The camera's place and turn.
    pub fn transform(&self) -> Transform {
        let turn = Quat::from_rotation_y(self.yaw - core::f32::consts::FRAC_PI_2)
            * Quat::from_rotation_x(self.pitch)
            * Quat::from_rotation_z(-self.roll);
        Transform::from_translation(self.at).with_rotation(turn)
    }

    /// The way it looks.
    pub fn forward(&self) -> Vec3 {
        *self.transform().forward()
    }
}

/// Something happened in the yard on show.
#[derive(Message, Clone, Copy, Debug)]
pub struct Happened {
    /// When.
    pub tick: Tick,
    /// What.
    pub event: Event,
}

/// The referee found something in the attempt under way.
#[derive(Message, Clone, Debug)]
pub struct Found(pub Finding);

/// A point of the yard as the engine takes it: both have x to the east, y up and
/// z to the south.
pub fn point(at: Vector) -> Vec3 {
    Vec3::new(at[0] as f32, at[1] as f32, at[2] as f32)
}

/// Where a person looks from and to, as the body has them: along the tool where
/// they have it in the hands.
pub fn own_eye(show: &Show, seat: Seat) -> Option<Eye> {
    let (before, now) = show.person(seat)?;
    let blend = |a: f64, b: f64| a as f32 + (b as f32 - a as f32) * show.alpha;
    let whole = core::f32::consts::TAU;
    let turned =
        (now.yaw_rad as f32 - before.yaw_rad as f32 + 0.5 * whole).rem_euclid(whole) - 0.5 * whole;
    let mut yaw = before.yaw_rad as f32 + turned * show.alpha;
    let mut pitch = blend(before.pitch_rad, now.pitch_rad);
    if seat == Seat::LANCE && now_holds(show) {
        let eyes = point(before.eyes).lerp(point(now.eyes), show.alpha);
        let tip = show.place(|f| f.tool.tip);
        let ahead = to_spot(eyes, tip, show.place(|f| f.tool.points));
        if ahead.length_squared() > 1e-6 {
            yaw = (-ahead.z).atan2(ahead.x);
            pitch = ahead.y.atan2(ahead.xz().length());
        }
    }
    Some(Eye {
        at: point(before.eyes).lerp(point(now.eyes), show.alpha),
        yaw,
        pitch,
        roll: blend(before.lean_rad[1], now.lean_rad[1]),
    })
}

/// From the tip of the tool to where people look who hold it, metres: about
/// where its jet meets what it cleans.
const SPOT_M: f32 = 0.35;

/// The way that somebody with the tool in the hands looks: at the spot ahead of
/// its tip, and not beside it into the distance.
pub fn to_spot(eyes: Vec3, tip: Vec3, points: Vec3) -> Vec3 {
    tip + points.normalize_or_zero() * SPOT_M - eyes
}

fn now_holds(show: &Show) -> bool {
    show.now.tool.in_hands
}

/// What comes off more slowly than this share of what comes off under twice the
/// pressure that it takes comes off hardly.
const HARDLY: f64 = 0.2;

impl Show {
    /// A number of the moment between the two pictures.
    pub fn number(&self, of: impl Fn(&ViewFrame) -> f64) -> f32 {
        let (a, b) = (of(&self.before) as f32, of(&self.now) as f32);
        a + (b - a) * self.alpha
    }

    /// A point of the moment between the two pictures.
    pub fn place(&self, of: impl Fn(&ViewFrame) -> Vector) -> Vec3 {
        point(of(&self.before)).lerp(point(of(&self.now)), self.alpha)
    }

    /// An angle of the moment between the two pictures, radians; it goes the
    /// short way round.
    pub fn angle(&self, of: impl Fn(&ViewFrame) -> f64) -> f32 {
        let (a, b) = (of(&self.before) as f32, of(&self.now) as f32);
        let whole = core::f32::consts::TAU;
        let by = (b - a + 0.5 * whole).rem_euclid(whole) - 0.5 * whole;
        a + by * self.alpha
    }

    /// The position of a control, as a share of its travel.
    pub fn share(&self, control: Control) -> Option<f32> {
        let of = |frame: &ViewFrame| {
            let found = frame.controls.iter().find(|(c, _)| *c == control);
            found.map(|(_, share)| *share as f32)
        };
        let (before, now) = (of(&self.before)?, of(&self.now)?);
        Some(before + (now - before) * self.alpha)
    }

    /// All jets, each with the tip it leaves: that of the lance in the hands, and that of a second tool.
    pub fn jets(&self) -> impl Iterator<Item = (Vec3, &JetView)> {
        let held = self.now.jet.iter();
        let held = held.map(|jet| (self.place(|f| f.tool.tip), jet));
        let clamped = self.now.second.iter().filter_map(|tool| tool.jet.as_ref());
        held.chain(clamped.map(|jet| (point(jet.tip), jet)))
    }

    /// The coat under a jet that takes it off hardly or not at all.
    pub fn withstands(&self) -> Option<&Coat> {
        let jet = self.now.jet.as_ref()?;
        let surface = self.loaded.level.surface.as_ref()?;
        let [columns, rows] = surface.cells();
        let [column, row] = jet.spot?.map(|m| (m / surface.cell_m).floor());
        let inside =
            column >= 0.0 && row >= 0.0 && column < f64::from(columns) && row < f64::from(rows);
        let cell = inside.then(|| row as u32 * columns + column as u32)?;
        let gone = self.cells.get(cell as usize)? / STEPS_PER_LAYER;
        let coat = *surface.layers_of(cell).get(usize::from(gone))?;
        let removal = &coat.removal;
        let quick = removal.rate(2.0 * removal.threshold_pa);
        (removal.rate(jet.impact_pa) < HARDLY * quick).then_some(coat)
    }

    /// A person in the earlier and the later picture.
    pub fn person(&self, seat: Seat) -> Option<(&PersonView, &PersonView)> {
        let of = |frame: &'_ ViewFrame| frame.people.iter().position(|p| p.seat == seat);
        Some((
            &self.before.people[of(&self.before)?],
            &self.now.people[of(&self.now)?],
        ))
    }
}

impl Stage {
    /// Puts up a yard.
    pub fn put_up(&mut self, loaded: Arc<Loaded>, frame: ViewFrame, own: Option<Seat>) {
        let surface = loaded.level.surface.as_ref();
        let cells = surface.map_or(0, |s| s.cells().iter().product::<u32>());
        self.show = Some(Show {
            loaded,
            before: frame.clone(),
            now: frame,
            alpha: 1.0,
            cells: vec![0; cells as usize],
            fresh: Vec::new(),
            renewed: 0,
        });
        self.own = own;
        self.yard += 1;
    }

    /// The yard on show, if it is another than the one that `built` stands for;
    /// from then on it stands for this one.
    pub fn unbuilt(&self, built: &mut u32) -> Option<&Show> {
        let show = self.show.as_ref()?;
        (core::mem::replace(built, self.yard) != self.yard).then_some(show)
    }

    /// Takes steps of cells in.
    pub fn clean(&mut self, steps: &[SurfaceStep]) {
        let Some(show) = &mut self.show else { return };
        for step in steps {
            if let Some(cell) = show.cells.get_mut(step.cell as usize) {
                *cell = step.steps;
                show.fresh.push(*step);
            }
        }
    }

    /// Replaces what all cells have come to.
    pub fn clean_anew(&mut self, steps: &[SurfaceStep]) {
        let Some(show) = &mut self.show else { return };
        show.cells.fill(0);
        for step in steps {
            if let Some(cell) = show.cells.get_mut(step.cell as usize) {
                *cell = step.steps;
            }
        }
        show.fresh.clear();
        show.renewed += 1;
    }
}

/// Sets up the stage.
pub fn plugin(app: &mut App) {
    app.init_resource::<Stage>()
        .init_resource::<Eye>()
        .add_message::<Happened>()
        .add_message::<Found>();
}
