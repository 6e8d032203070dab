//! Help in practice: what the next step is, first told, then hinted at.
//!
//! [`Coaching`] looks on at every tick of an attempt and follows the plan that
//! stands beside the level. In an assessment there is none.

use crate::flow::{FrameSystems, Screen};
use crate::hands::keymap::{Deed, Keymap};
use crate::hands::names;
use crate::settings::Settings;
use crate::sitting::{Shelf, Sitting};
use crate::stage::Stage;
use crate::things::Thing;
use bevy::prelude::*;
use crew::{Call, Tick};
use std::path::Path;
use std::sync::Arc;
use training::coach::{self, Coach, Pointed};
use training::recording::Mode;
use training::rules::{Consent, Consents};
use training::text::language;
use training::{Channel, Level, Observation};

/// What is told to the trainee at this moment.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Help {
    /// The step; nothing where no help is given or all is done.
    pub step: Option<Step>,
    /// How it stands with the words that something hangs on.
    pub words: Vec<(Call, Stand)>,
}

/// How it stands with a word, as it is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// The other hand has not answered yet.
    Asked,
    /// Read back; it holds for so many seconds more.
    Holds(u32),
    /// The other hand has answered this word instead.
    Refused(Call),
}

/// A step that comes next.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its number, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// What is to be done.
    pub told: String,
    /// How it is done, once it has not been for a while.
    pub hint: Option<String>,
    /// What it is done with, to be pointed at.
    pub points_at: Option<Thing>,
    /// Where it is done, where that is a place on the ground or on the surface.
    pub leads_to: Option<Place>,
    /// How far it has come, where that can be told.
    pub come: Option<Come>,
}

/// The mark of a place to walk to stands so high above it that it is seen until
/// one is there, metres.
const PLACE_UP_M: f32 = 1.0;

/// A place that a step leads to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Its middle.
    pub middle: Vec3,
    /// From there to the middles of two of its edges; nothing for a spot on the
    /// ground.
    pub half: Option<[Vec3; 2]>,
}

/// How far a step has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Come {
    /// It has held for so many seconds, of so many.
    Held(u32, u32),
    /// So much of the surface is clean, and so much is wanted, percent.
    Clean(f64, f64),
}

/// How long nothing may get on before the hint comes, seconds.
const HINT_S: f64 = 20.0;
/// The same at the first attempt at a level.
const FIRST_HINT_S: f64 = 8.0;
/// In a refresher nothing is told before nothing got on for this long, seconds.
const REFRESHER_S: f64 = 60.0;

/// What has to hold at least so long is counted, seconds.
const COUNTED_S: f64 = 3.0;

/// Follows the attempt under way.
#[derive(Resource, Default)]
pub struct Coaching {
    coach: Option<Coach>,
    consents: Option<Consents>,
    clean: Option<[f64; 2]>,
    now: Tick,
    patience: Patience,
}

/// How long help waits.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Patience {
    told_s: f64,
    hint_s: f64,
}

impl Default for Patience {
    fn default() -> Self {
        Patience {
            told_s: 0.0,
            hint_s: HINT_S,
        }
    }
}

impl Patience {
    fn of(mode: Mode, first: bool) -> Option<Self> {
        match mode {
            Mode::Assessment => None,
            Mode::Refresher => Some(Patience {
                told_s: REFRESHER_S,
                hint_s: REFRESHER_S,
            }),
            Mode::Practice => Some(Patience {
                told_s: 0.0,
                hint_s: if first { FIRST_HINT_S } else { HINT_S },
            }),
        }
    }
}

impl Coaching {
    /// Begins to follow an attempt.
    fn begin(&mut self, level: &Level, plan: Option<coach::Plan>, patience: Patience) {
        *self = Coaching {
            coach: plan.map(|plan| Coach::new(Arc::new(plan))),
            consents: Some(Consents::of(level)),
            clean: None,
            now: Tick(0),
            patience,
        };
    }

    /// Takes in one tick.
    pub fn see(&mut self, o: &Observation) {
        if let Some(consents) = &mut self.consents {
            consents.see(o);
        }
        if let Some(coach) = &mut self.coach {
            coach.see(o);
            let clean = coach.grown(Channel::SurfaceClean, o);
            self.clean = clean.map(|both| both.map(|percent| (10.0 * percent).floor() / 10.0));
        }
        self.now = o.tick;
    }

    /// How it stands with words at this moment, to the second.
    fn words(&self) -> Vec<(Call, Stand)> {
        let all = self.consents.iter().flat_map(|words| words.all(self.now));
        all.map(|(call, consent)| match consent {
            Consent::Asked => (call, Stand::Asked),
            Consent::Holds(left_s) => (call, Stand::Holds(left_s.ceil() as u32)),
            Consent::Refused(by) => (call, Stand::Refused(by)),
        })
        .collect()
    }

    fn come(&self, coach: &Coach) -> Option<Come> {
        if let Some([clean, wanted]) = self.clean {
            return Some(Come::Clean(clean, wanted));
        }
        let [held_s, for_s] = coach.held(self.now)?;
        // What is over in a moment needs no count.
        (for_s >= COUNTED_S).then_some(Come::Held(held_s as u32, for_s as u32))
    }

    /// What is told at this moment.
    fn told(&self, level: &Level, keys: &Keymap) -> Option<Step> {
        let coach = self.coach.as_ref()?;
        let step = coach.step()?;
        let waited_s = self.now.since(coach.since());
        if waited_s < self.patience.told_s {
            return None;
        }
        let written = |words: &training::level::Words| {
            coach::filled(words.get(language().tag()), |name| named(keys, name))
        };
        let of = coach.plan().steps.len();
        Some(Step {
            number: (coach.count() + 1).min(of),
            of,
            told: written(&step.say),
            hint: (waited_s >= self.patience.hint_s).then(|| written(&step.hint)),
            points_at: step.points_at.and_then(thing),
            leads_to: step.points_at.and_then(|pointed| place(pointed, level)),
            come: self.come(coach),
        })
    }
}

/// The key that does what a name in a plan stands for.
fn named(keys: &Keymap, name: &str) -> String {
    let deed = Deed::ALL.into_iter().find(|deed| deed.id() == name);
    deed.map_or(name.to_owned(), |deed| names::bound(keys, deed))
}

fn thing(pointed: Pointed) -> Option<Thing> {
    match pointed {
        Pointed::Control(control) => Some(Thing::Control(control)),
        Pointed::Lance => Some(Thing::Lance),
        Pointed::Stand => Some(Thing::Stand),
        Pointed::LanceEnd => Some(Thing::LanceEnd),
        Pointed::Nozzle(nozzle) => Some(Thing::Nozzle(nozzle)),
        Pointed::BoreGauge => Some(Thing::BoreGauge),
        Pointed::Ppe(item) => Some(Thing::Ppe(item)),
        Pointed::JobBoard => Some(Thing::JobBoard),
        Pointed::Place(_) | Pointed::Surface { .. } => None,
    }
}

fn place(pointed: Pointed, level: &Level) -> Option<Place> {
    match pointed {
        Pointed::Place([x, z]) => Some(Place {
            middle: Vec3::new(x as f32, PLACE_UP_M, z as f32),
            half: None,
        }),
        Pointed::Surface { at, size } => {
            let surface = level.surface.as_ref()?;
            let corner = crate::stage::point(surface.corner);
            let right = Vec3::new(surface.right[0] as f32, 0.0, surface.right[1] as f32);
            let [along, up] = at.map(|m| m as f32);
            let [wide, high] = size.map(|m| 0.5 * m as f32);
            Some(Place {
                middle: corner + right * along + Vec3::Y * up,
                half: Some([right * wide, Vec3::Y * high]),
            })
        }
        _ => None,
    }
}

/// Whether no more than one recording of a level lies in the folder: that of
/// the attempt under way, if it is there already.
fn is_first(attempts: &Path, level: &str) -> bool {
    let Ok(entries) = std::fs::read_dir(attempts) else {
        return true;
    };
    let start = format!("{level}-");
    let own = entries.flatten().filter(|entry| {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        name.starts_with(&start) && name.ends_with(".jetyard")
    });
    own.take(2).count() < 2
}

fn begin(shelf: Res<Shelf>, sitting: Res<Sitting>, mut coaching: ResMut<Coaching>) {
    *coaching = Coaching::default();
    let Some(loaded) = &sitting.level else { return };
    let first = is_first(&shelf.attempts, &loaded.level.id);
    let Some(patience) = Patience::of(sitting.mode, first) else {
        return;
    };
    // What is wrong with the help of a level, `check` says; nobody is kept from
    // practising by it.
    let plan = shelf.library.coach(&loaded.level).ok().flatten();
    coaching.begin(&loaded.level, plan, patience);
    if let Some((recording, until)) = &sitting.from {
        recording.play(|o, _| {
            if o.tick < *until {
                coaching.see(o);
            }
        });
    }
}

fn end(mut coaching: ResMut<Coaching>) {
    *coaching = Coaching::default();
}

fn tell(
    coaching: Res<Coaching>,
    settings: Res<Settings>,
    stage: Res<Stage>,
    mut help: ResMut<Help>,
) {
    let level = stage.show.as_ref().map(|show| &show.loaded.level);
    let step = level.and_then(|level| coaching.told(level, &settings.keys));
    let now = Help {
        step,
        words: coaching.words(),
    };
    help.set_if_neq(now);
}

/// Sets up help.
pub fn plugin(app: &mut App) {
    app.init_resource::<Help>()
        .init_resource::<Coaching>()
        .add_systems(OnEnter(Screen::Yard), begin)
        .add_systems(OnExit(Screen::Yard), end)
        .add_systems(Update, tell.in_set(FrameSystems::Look));
}

#[cfg(test)]
mod tests {
    use super::*;
    use training::load::Library;

    fn coaching(mode: Mode, first: bool) -> (Coaching, Arc<training::load::Loaded>) {
        let library = Library::find();
        let loaded = library.load("01_first_pressure");
        let loaded = loaded.unwrap_or_else(|problems| panic!("{problems}"));
        let plan = library.coach(&loaded.level);
        let plan = plan.unwrap_or_else(|problems| panic!("{problems}"));
        let mut coaching = Coaching::default();
        if let Some(patience) = Patience::of(mode, first) {
            coaching.begin(&loaded.level, plan, patience);
        }
        (coaching, Arc::new(loaded))
    }

    fn at(coaching: &mut Coaching, level: &Level, seconds: f64) -> Option<Step> {
        let mut o = Observation::missing_all();
        o.tick = Tick::at(seconds);
        coaching.see(&o);
        coaching.told(level, &Keymap::default())
    }

    #[test]
    fn a_step_is_told_at_once_and_hinted_at_when_nothing_gets_on() {
        for (first, hint_s) in [(true, FIRST_HINT_S), (false, HINT_S)] {
            let (mut coaching, loaded) = coaching(Mode::Practice, first);
            let level = &loaded.level;
            let told = at(&mut coaching, level, 0.1).expect("a step");
            assert_eq!((told.number, told.hint.clone()), (1, None));
            assert!(told.of > 20 && !told.told.contains('{'));
            assert_eq!(told.points_at, Some(Thing::Control(crew::Control::Supply)));
            let late = at(&mut coaching, level, hint_s - 0.1).expect("a step");
            assert_eq!(late.hint, None);
            let hinted = at(&mut coaching, level, hint_s + 0.1).expect("a step");
            let hint = hinted.hint.expect("a hint");
            assert!(hint.contains(" E ") && !hint.contains('{'), "{hint}");
        }
    }

    #[test]
    fn a_refresher_is_told_only_when_stuck_and_an_assessment_never() {
        let (mut refresher, loaded) = coaching(Mode::Refresher, true);
        let level = &loaded.level;
        assert_eq!(at(&mut refresher, level, 59.0), None);
        let step = at(&mut refresher, level, 61.0).expect("a step");
        assert!(step.hint.is_some());
        let (mut assessment, _) = coaching(Mode::Assessment, true);
        assert_eq!(at(&mut assessment, level, 600.0), None);
    }

    /// The game without a renderer, at the start of an attempt, ten frames a
    /// second.
    fn attempt(folder: &Path, mode: Mode) -> App {
        let library = Library::find();
        let shelf = Shelf::of(
            library,
            String::from("test"),
            folder.to_owned(),
            String::from("test"),
        );
        let level = shelf.level("01_first_pressure").cloned();
        let mut app = App::new();
        app.add_plugins((
            MinimalPlugins,
            bevy::state::app::StatesPlugin,
            bevy::input::InputPlugin,
        ))
        .add_message::<bevy::window::WindowFocused>()
        .insert_resource(bevy::time::TimeUpdateStrategy::ManualDuration(
            std::time::Duration::from_millis(100),
        ))
        .add_plugins((crate::app::logic, crate::sound::plugin))
        .insert_resource(shelf)
        .insert_resource(Sitting {
            level,
            mode,
            ..Sitting::default()
        });
        app.update();
        app.world_mut()
            .resource_mut::<NextState<Screen>>()
            .set(Screen::Yard);
        app
    }

    #[test]
    fn an_attempt_by_hand_is_looked_at_tick_by_tick_and_told_what_comes_next() {
        let folder = std::env::temp_dir().join(format!("jetyard-help-{}", std::process::id()));
        for (mode, helps) in [(Mode::Practice, true), (Mode::Assessment, false)] {
            let mut app = attempt(&folder, mode);
            for _ in 0..30 {
                app.update();
            }
            let coaching = app.world().resource::<Coaching>();
            assert_eq!(coaching.coach.is_some(), helps);
            let help = app.world().resource::<Help>();
            assert_eq!(help.step.as_ref().map(|s| s.number), helps.then_some(1));
            if helps {
                assert!(coaching.now > Tick::at(1.0), "{:?}", coaching.now);
                for _ in 0..90 {
                    app.update();
                }
                let help = app.world().resource::<Help>();
                assert!(help.step.as_ref().is_some_and(|s| s.hint.is_some()));
            }
            app.world_mut()
                .resource_mut::<NextState<Screen>>()
                .set(Screen::Title);
            app.update();
            app.update();
            assert_eq!(app.world().resource::<Help>().step, None);
        }
        std::fs::remove_dir_all(&folder).ok();
    }

    #[test]
    fn every_name_of_a_key_in_a_plan_is_a_deed() {
        for name in coach::KEYS {
            assert!(Deed::ALL.iter().any(|d| d.id() == name), "{name}");
        }
    }
}
