//! What lies over the view of the yard: no more than a person would feel or
//! know by themselves, and in practice what helps to learn.

use super::lately::{self, Lately};
use super::left::{self, Left};
use super::theme::{self, AMBER, FAINT, INK, RED, TEAL, TEXT};
use super::units::{self, amount};
use super::{ScreenSystems, dials, guide, inspect};
use crate::flow::Run;
use crate::hands::Look;
use crate::hands::keymap::Deed;
use crate::hands::names;
use crate::help::Help;
use crate::settings::Settings;
use crate::sitting::Sitting;
use crate::sound::{Caption, Captions};
use crate::stage::{Show, Stage};
use crate::things::{Thing, things};
use crate::world::YardCamera;
use bevy::prelude::*;
use bevy_egui::egui::{
    self, Align, Align2, Area, Color32, Context, Grid, Id, Label, Layout, Pos2, Rect, RichText,
    Stroke, Ui, Vec2,
};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};
use crew::{Control, Seat, Stance};
use training::text::say;
use yard::view::PersonView;

/// How long the keys are shown at first, seconds.
const KEYS_S: f64 = 60.0;
/// They go sooner once so many steps are under way: whoever is there has found
/// what walks and takes.
const KEYS_STEPS: usize = 2;
/// From how far a gauge's number is shown, metres.
const GAUGE_M: f32 = 3.0;

/// The job sheet in the hands.
fn over_view(ctx: &Context, show: &Show, settings: &Settings) {
    let screen = ctx.viewport_rect();
    let sheet = screen.shrink2(Vec2::new(0.06 * screen.width(), 0.07 * screen.height()));
    Area::new(Id::new("unfolded"))
        .order(egui::Order::Foreground)
        .fixed_pos(sheet.min)
        .interactable(true)
        .fade_in(false)
        .show(ctx, |ui| {
            let margin = 24.0;
            let frame = theme::card().fill(theme::through(theme::PANEL, 0.97));
            frame.inner_margin(margin).show(ui, |ui| {
                ui.set_min_size(sheet.size() - Vec2::splat(2.0 * margin));
                ui.set_max_size(sheet.size() - Vec2::splat(2.0 * margin));
                let level = &show.loaded.level;
                ui.horizontal(|ui| {
                    ui.label(theme::heading(level.title.get("en")));
                    let key = names::bound(&settings.keys, Deed::Sheet);
                    ui.label(theme::faint(say("scene-hud-fold", &[("key", &key)])));
                });
                ui.separator();
                super::sheet::sheet(ui, level, settings.units);
            });
        });
}

/// Where a place of the yard is on the screen.
pub(super) struct Sight<'a> {
    camera: &'a Camera,
    at: GlobalTransform,
    zoom: f32,
    screen: Rect,
}

/// What is out of sight is shown within this share of the height of a screen.
const RIM: f32 = 0.55;

impl Sight<'_> {
    pub(super) fn of(&self, place: Vec3) -> Option<Pos2> {
        let at = self.camera.world_to_viewport(&self.at, place).ok()?;
        Some(Pos2::new(at.x, at.y) / self.zoom)
    }

    /// The same, at the edge where it is out of sight, and whether it is.
    fn at_edge(&self, place: Vec3) -> (Pos2, bool) {
        let inner = self.screen.shrink(46.0);
        if let Some(at) = self.of(place)
            && inner.contains(at)
        {
            return (at, false);
        }
        let local = self.at.affine().inverse().transform_point3(place);
        // Behind, it is to one side or the other.
        let way = if local.z >= 0.0 {
            Vec2::new(if local.x < 0.0 { -1.0 } else { 1.0 }, 0.0)
        } else {
            Vec2::new(local.x, -local.y).normalized()
        };
        // The corners are written on.
        let half = 0.5 * inner.size() * Vec2::new(1.0, RIM);
        let reach = (half.x / way.x.abs().max(1e-4)).min(half.y / way.y.abs().max(1e-4));
        (inner.center() + way * reach, true)
    }
}

#[allow(clippy::too_many_arguments)]
fn screen(
    mut contexts: EguiContexts,
    stage: Res<Stage>,
    look: Res<Look>,
    sitting: Res<Sitting>,
    settings: Res<Settings>,
    captions: Res<Captions>,
    help: Res<Help>,
    (lately, left): (Res<Lately>, Res<Left>),
    cameras: Query<(&Camera, &Transform), With<YardCamera>>,
) -> Result {
    let ctx = contexts.ctx_mut()?.clone();
    let (Some(show), Some(seat)) = (&stage.show, stage.own) else {
        return Ok(());
    };
    let Some((_, me)) = show.person(seat) else {
        return Ok(());
    };
    if look.sheet {
        // Who reads looks at nothing else; what is heard is heard all the same.
        over_view(&ctx, show, &settings);
        if settings.captions {
            heard(&ctx, &captions);
        }
        return Ok(());
    }
    let sight = cameras.iter().next().map(|(camera, at)| Sight {
        camera,
        // Of this picture: what is worked out of it is still of the one before.
        at: GlobalTransform::from(*at),
        zoom: ctx.zoom_factor(),
        screen: ctx.viewport_rect(),
    });
    if let Some(sight) = &sight
        && sitting.helps()
    {
        left::show(&ctx, sight, show, &left);
        point_at(&ctx, sight, show, seat, &help);
        gauge(&ctx, sight, show, &settings, &look);
        guide::stand_off(&ctx, me, show, &settings);
    }
    let stepped = lately.stepped();
    lately::hurt(&ctx, &lately);
    body(&ctx, me, seat, show, stepped);
    clock(&ctx, show);
    crosshair(&ctx, &look, spot(sight.as_ref(), show, me));
    prompt(&ctx, &look, &settings, me);
    if settings.captions {
        heard(&ctx, &captions);
    }
    if sitting.helps() {
        guide::step(&ctx, &help, me);
        lately::told(&ctx, &lately, below_clock(show));
        lately::stop(&ctx, &lately);
        guide::away(&ctx, show, seat, me);
        let early = help.step.as_ref().is_none_or(|s| s.number <= KEYS_STEPS);
        let first = show.now.tick.seconds() < KEYS_S;
        if first && early && look.calling.is_none() && !lately.tells() {
            keys(&ctx, &settings, seat, below_clock(show));
        }
    }
    if let Some(thing) = look.inspects {
        inspect::card(&ctx, thing, show, &settings);
    } else if let Some(nozzle) = lately.gauged() {
        inspect::gauged(&ctx, nozzle, show, &settings);
    }
    if let Some((kind, picked)) = look.calling {
        super::calls::ring(&ctx, kind, seat, picked);
    } else if let Some(kind) = look.unpicked {
        super::calls::unpicked(&ctx, kind, &settings);
    }
    Ok(())
}

pub(super) fn corner(
    ctx: &Context,
    name: &str,
    at: Align2,
    off: [f32; 2],
    add: impl FnOnce(&mut Ui),
) {
    Area::new(Id::new(name))
        .anchor(at, off)
        .interactable(false)
        .fade_in(false)
        .show(ctx, |ui| {
            // Else nothing in it may become wider than it was in the picture before.
            ui.set_max_width(0.45 * ctx.viewport_rect().width());
            add(ui);
        });
}

/// A line of a bar that is so full.
pub(super) fn bar(ui: &mut Ui, width: f32, share: f32, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(width, 6.0), egui::Sense::hover());
    ui.painter().rect_filled(rect, 3.0, theme::LINE);
    let mut full = rect;
    full.set_width(rect.width() * share.clamp(0.0, 1.0));
    ui.painter().rect_filled(full, 3.0, colour);
}

/// How one stands, and what strength is left.
fn body(ctx: &Context, me: &PersonView, seat: Seat, show: &Show, stepped: bool) {
    let tool = &show.now.tool;
    corner(ctx, "body", Align2::LEFT_BOTTOM, [20.0, -20.0], |ui| {
        theme::over().show(ui, |ui| {
            // Whoever has the lance is told more of it.
            let wide = if seat == Seat::LANCE { 210.0 } else { 130.0 };
            ui.set_width(wide);
            ui.spacing_mut().item_spacing.y = 5.0;
            let stance = match me.stance {
                _ if me.fallen => "scene-hud-fallen",
                Stance::Normal => "scene-hud-stance-normal",
                Stance::Wide => "scene-hud-stance-wide",
                Stance::Staggered => "scene-hud-stance-staggered",
                Stance::Crouched => "scene-hud-stance-crouched",
            };
            let colour = if me.fallen || me.slipping { RED } else { TEXT };
            ui.horizontal(|ui| {
                feet(ui, me.stance, colour);
                ui.label(theme::body(say(stance, &[])).color(colour));
            });
            if let Some(grade) = me.hurt {
                let id = format!("scene-hud-hurt-{}", grade.id());
                ui.add(Label::new(theme::body(say(&id, &[])).color(RED)).wrap());
            }
            if let Some(words) = underfoot(me, show) {
                ui.add(Label::new(theme::body(words).color(AMBER)).wrap());
            }
            if me.fallen {
                ui.add(Label::new(theme::faint(say("scene-hud-fallen-on", &[]))).wrap());
            }
            // On a screen one does not feel that the feet had to go. What is said of it is for
            // whoever was braced to a lance; others just stepped.
            if stepped && !me.fallen && tool.in_hands && me.braced > 0.05 {
                let words = theme::body(say("scene-hud-stepped", &[])).color(AMBER);
                ui.add(Label::new(words).wrap());
            }
            if seat == Seat::LANCE {
                let (id, colour) = match me.braced {
                    _ if tool.in_stand => ("scene-hud-in_stand", FAINT),
                    _ if !tool.in_hands => ("scene-hud-laid_down", FAINT),
                    b if b > 0.95 => ("scene-hud-braced", TEAL),
                    b if b > 0.05 => ("scene-hud-bracing", AMBER),
                    _ => ("scene-hud-not_braced", FAINT),
                };
                ui.label(theme::body(say(id, &[])).color(colour));
                if tool.in_hands {
                    let (id, colour) = if tool.catch_on {
                        ("scene-hud-catch_on", TEAL)
                    } else {
                        ("scene-hud-catch_off", AMBER)
                    };
                    ui.label(theme::body(say(id, &[])).color(colour));
                }
            }
            if let Some(control) = me.holding {
                let name = say(&format!("calls-control-{}", control.id()), &[]);
                let words = say("scene-hud-in_hand", &[("control", &name)]);
                ui.add(Label::new(theme::body(words).color(AMBER)).wrap());
            }
            if me.holds_hose {
                ui.label(theme::body(say("scene-hud-hose", &[])).color(AMBER));
            }
            let colour = match me.strength {
                s if s > 0.5 => TEAL,
                s if s > 0.25 => AMBER,
                _ => RED,
            };
            if seat == Seat::LANCE {
                ui.label(theme::faint(say("scene-hud-strength", &[])));
            }
            bar(ui, wide, me.strength as f32, colour);
        });
    });
}

/// What one stands on where that holds worse than the rest of the ground: boots feel it.
fn underfoot(me: &PersonView, show: &Show) -> Option<String> {
    let site = &show.loaded.level.site;
    let [left, right] = me.feet;
    let middle = [0.5 * (left[0] + right[0]), 0.5 * (left[2] + right[2])];
    let footing = site.footing(middle)?;
    let worse = footing.friction < site.ground_friction;
    worse.then(|| say("scene-hud-underfoot", &[("what", &footing.title.get("en"))]))
}

/// Two soles, as they stand.
fn feet(ui: &mut Ui, stance: Stance, colour: Color32) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(26.0, 20.0), egui::Sense::hover());
    let (apart, ahead) = match stance {
        Stance::Normal => (4.0, 0.0),
        Stance::Wide => (9.0, 0.0),
        Stance::Staggered => (5.0, 5.0),
        Stance::Crouched => (7.0, 3.0),
    };
    for side in [-1.0, 1.0] {
        let middle = rect.center() + Vec2::new(side * apart, side * ahead);
        let sole = Rect::from_center_size(middle, Vec2::new(5.0, 10.0));
        ui.painter().rect_filled(sole, 2.5, colour);
    }
}

/// What is left of the time is told from here on, seconds.
const LAST_S: f64 = 240.0;

/// What is left of the time, where that is told, seconds.
fn left_s(show: &Show) -> Option<f64> {
    let left_s = (show.loaded.level.limit_s - show.now.tick.seconds()).max(0.0);
    (left_s <= LAST_S).then_some(left_s)
}

/// Where what stands below the clock begins, points from the top: the time that is left has a line of
/// its own there.
fn below_clock(show: &Show) -> f32 {
    if left_s(show).is_some() { 104.0 } else { 74.0 }
}

fn clock(ctx: &Context, show: &Show) {
    corner(ctx, "clock", Align2::RIGHT_TOP, [-20.0, 20.0], |ui| {
        theme::over().show(ui, |ui| {
            // As wide as the widest hour needs, so that no figure is ever cut.
            ui.set_min_width(56.0);
            let now_s = show.now.tick.seconds();
            let words = RichText::new(units::clock(now_s)).font(theme::heading_font(22.0));
            ui.add(Label::new(words.color(TEXT)).extend());
            if let Some(left_s) = left_s(show) {
                let left = say("scene-hud-left", &[("time", &units::clock(left_s.ceil()))]);
                let colour = if left_s <= 0.25 * LAST_S { RED } else { AMBER };
                ui.add(Label::new(theme::body(left).color(colour)).extend());
            }
        });
    });
}

/// A dot, or a ring where something can be taken.
/// A tip so near to the surface shows where its jet goes, metres.
const SPOT_M: f64 = 0.6;

/// Where the lance in the hands points on the surface before it: the eyes look a
/// little beyond.
fn spot(sight: Option<&Sight<'_>>, show: &Show, me: &PersonView) -> Option<Pos2> {
    let held = me.seat == Seat::LANCE && show.now.tool.way >= 1.0;
    let off_m = show.now.tool.stand_off_m.filter(|m| held && *m <= SPOT_M)?;
    let tip = show.place(|f| f.tool.tip);
    let points = show.place(|f| f.tool.points);
    sight?.of(tip + off_m as f32 * points)
}

fn crosshair(ctx: &Context, look: &Look, spot: Option<Pos2>) {
    let painter = ctx.layer_painter(egui::LayerId::background());
    let middle = spot.unwrap_or(ctx.viewport_rect().center());
    let can = look.offers.iter().any(|o| o.not.is_none());
    if let Some(share) = look.held_share {
        // What needs a while fills the ring.
        let point = |n: u32| {
            let turn = core::f32::consts::TAU * share.clamp(0.0, 1.0) * n as f32 / 24.0;
            middle + 12.0 * Vec2::new(turn.sin(), -turn.cos())
        };
        painter.circle_stroke(middle, 12.0, Stroke::new(5.0, theme::through(INK, 0.5)));
        painter.line((0..=24).map(point).collect(), Stroke::new(3.0, AMBER));
    }
    if look.at.is_some() && can {
        painter.circle_stroke(middle, 9.0, Stroke::new(4.0, theme::through(INK, 0.5)));
        painter.circle_stroke(middle, 9.0, Stroke::new(2.0, AMBER));
    } else {
        painter.circle_filled(middle, 3.5, theme::through(INK, 0.5));
        painter.circle_filled(middle, 2.0, TEXT);
    }
}

/// A key as it is shown beside what it does.
fn key_cap(ui: &mut Ui, words: &str, colour: Color32) {
    let frame = egui::Frame::new()
        .stroke(Stroke::new(1.0, colour))
        .corner_radius(3.0)
        .inner_margin(egui::Margin::symmetric(6, 1));
    frame.show(ui, |ui| {
        ui.label(theme::strong(words).size(14.0).color(colour))
    });
}

/// What could be done with the thing that is looked at, and work under way.
fn prompt(ctx: &Context, look: &Look, settings: &Settings, me: &PersonView) {
    let below = 0.5 * ctx.viewport_rect().height() + 116.0;
    if let Some((task, done)) = me.working {
        corner(ctx, "work", Align2::CENTER_TOP, [0.0, below], |ui| {
            theme::over().show(ui, |ui| {
                let words = say(&format!("report-task-{}", task.id()), &[]);
                ui.label(theme::body(words));
                bar(ui, 200.0, done as f32, AMBER);
            });
        });
        return;
    }
    if look.offers.is_empty() || look.calling.is_some() {
        return;
    }
    corner(ctx, "prompt", Align2::CENTER_TOP, [0.0, below], |ui| {
        theme::over().show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            for offer in &look.offers {
                let colour = if offer.not.is_some() { FAINT } else { TEXT };
                ui.horizontal(|ui| {
                    key_cap(ui, &names::bound(&settings.keys, offer.deed), colour);
                    ui.label(theme::body(&offer.words).color(colour));
                });
                if let Some(not) = &offer.not {
                    ui.label(theme::faint(not).color(AMBER));
                }
            }
        });
    });
}

/// How wide the captions are on a screen so wide, points, and what is left free beside
/// them.
fn captions_wide(screen: f32) -> f32 {
    (0.5 * screen).min(640.0)
}
const READING_GAP: f32 = 12.0;

/// What is heard, written out.
fn heard(ctx: &Context, captions: &Captions) {
    if captions.lines.is_empty() {
        return;
    }
    // From the foot upwards, in a place that is always as high: a line that is
    // new would else stand too low in its first picture.
    let screen = ctx.viewport_rect();
    let size = Vec2::new(captions_wide(screen.width()), 0.3 * screen.height());
    let foot = Pos2::new(
        screen.center().x - 0.5 * size.x,
        screen.bottom() - 24.0 - size.y,
    );
    Area::new(Id::new("captions"))
        .fixed_pos(foot)
        .interactable(false)
        .fade_in(false)
        .show(ctx, |ui| {
            let up = Layout::bottom_up(Align::Center);
            ui.allocate_ui_with_layout(size, up, |ui| {
                ui.set_min_size(size);
                ui.spacing_mut().item_spacing.y = 3.0;
                for line in captions.lines.iter().rev() {
                    theme::over()
                        .inner_margin(egui::Margin::symmetric(12, 4))
                        .show(ui, |ui| ui.add(Label::new(caption(line)).wrap()));
                }
            });
        });
}

/// A line of what is heard: who speaks, and the words.
fn caption(line: &Caption) -> egui::text::LayoutJob {
    let mut job = egui::text::LayoutJob::default();
    let style = egui::Style::default();
    let mut put = |words: RichText| {
        words.append_to(
            &mut job,
            &style,
            egui::FontSelection::Default,
            Align::Center,
        );
    };
    match &line.speaker {
        Some(speaker) => {
            let who = say("scene-hud-speaker", &[("who", speaker)]);
            put(theme::strong(format!("{who} ")).color(TEAL));
            put(theme::body(&line.words).size(17.0));
        }
        None => put(theme::body(&line.words).color(FAINT).italics()),
    }
    job
}

/// How large a place is that a step leads to, metres.
const PLACE_M: f32 = 0.3;

/// A mark at what the step is done with.
fn point_at(ctx: &Context, sight: &Sight<'_>, show: &Show, seat: Seat, help: &Help) {
    let Some(step) = &help.step else { return };
    let all = things(&show.loaded.level, &show.now, seat);
    let thing = all.iter().find(|p| Some(p.thing) == step.points_at);
    // What is no thing is a place: somewhere to walk to, or a part of the surface.
    let place = step.leads_to.map(|place| (place.middle, PLACE_M));
    let Some((middle, radius_m)) = thing.map(|p| (p.at, p.radius_m)).or(place) else {
        return;
    };
    let (at, at_edge) = sight.at_edge(middle);
    // Below everything that is to be read.
    let painter = ctx.layer_painter(egui::LayerId::new(egui::Order::Background, Id::new("mark")));
    let dark = Stroke::new(5.0, theme::through(INK, 0.5));
    let light = Stroke::new(2.5, AMBER);
    if at_edge {
        // An arrowhead towards it.
        let way = (at - sight.screen.center()).normalized();
        let across = Vec2::new(-way.y, way.x);
        let tail = |side: f32| at - way * 14.0 + across * (13.0 * side);
        let head = vec![tail(1.0), at + way * 14.0, tail(-1.0)];
        for stroke in [
            Stroke::new(10.0, theme::through(INK, 0.6)),
            Stroke::new(5.0, AMBER),
        ] {
            painter.line(head.clone(), stroke);
        }
        return;
    }
    // Four corners around it leave what is looked at free. Those of a part of the
    // surface are its own, as far as they are in sight.
    let eye = sight.at.translation();
    let size = (radius_m / eye.distance(middle).max(0.3) * 620.0).clamp(14.0, 90.0);
    let half = step.leads_to.and_then(|place| place.half);
    let inner = sight.screen.shrink(8.0);
    let of_place = |x: f32, y: f32| {
        let [right, up] = half?;
        Some(inner.clamp(sight.of(middle + right * x - up * y)?))
    };
    let around = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];
    let corners = around.map(|(x, y)| of_place(x, y).unwrap_or(at + Vec2::new(x, y) * size));
    for (n, corner) in corners.into_iter().enumerate() {
        let towards = |other: usize| corner + (corners[other] - corner).normalized() * 11.0;
        let along = [towards((n + 3) % 4), corner, towards((n + 1) % 4)];
        for stroke in [dark, light] {
            painter.line(along.to_vec(), stroke);
        }
    }
}

/// The number of the gauge, for those who are still learning to read it, and those of
/// the small dials for whoever looks at them.
fn gauge(ctx: &Context, sight: &Sight<'_>, show: &Show, settings: &Settings, look: &Look) {
    if look.at.is_some_and(|at| at.thing == Thing::Dials) {
        let words = dials::words(&show.now.machine, settings.units);
        return reading(ctx, words, AMBER);
    }
    if look.at.is_some_and(|at| at.thing == Thing::LineGauge)
        && let Some(second) = &show.now.second
    {
        let words = dials::line(second, settings.units);
        let words = say("scene-hud-line", &[("amount", &words)]);
        return reading(ctx, words, AMBER);
    }
    // The dial stands above the emergency stop.
    let panel = show.loaded.level.site.control(Control::EmergencyStop);
    let Some(panel) = panel.map(crate::stage::point) else {
        return;
    };
    let near = sight.at.translation().distance(panel) <= GAUGE_M;
    let Some(at) = sight.of(panel + Vec3::Y * 0.22).filter(|_| near) else {
        return;
    };
    if !sight.screen.shrink(60.0).contains(at) {
        return;
    }
    let bar = f64::from(show.number(|f| f.machine.needle_pa)) / 1e5;
    let bar = training::coach::read_off_bar(bar);
    let words = say(
        "scene-hud-gauge",
        &[("pressure", &amount(settings.units, bar, "bar"))],
    );
    reading(ctx, words, AMBER);
}

/// Something that is measured, in large figures. It is as wide as its words in every
/// picture: what is worked out of the picture before would cut them.
pub(super) fn reading(ctx: &Context, words: String, colour: Color32) {
    let screen = ctx.viewport_rect();
    let font = theme::heading_font(22.0);
    // Beside the captions, never under them.
    let frame = theme::over();
    let beside = 0.5 * (screen.width() - captions_wide(screen.width()));
    let wide = beside - READING_GAP - 20.0 - frame.total_margin().sum().x;
    let words = ctx.fonts_mut(|f| f.layout(words, font, colour, wide));
    let size = words.size() + frame.total_margin().sum();
    Area::new(Id::new("reading"))
        .order(egui::Order::Middle)
        .fixed_pos(screen.max - Vec2::splat(20.0) - size)
        .interactable(false)
        .fade_in(false)
        .constrain(false)
        .show(ctx, |ui| {
            frame.show(ui, |ui| ui.label(words));
        });
}

/// The keys that one begins with.
fn keys(ctx: &Context, settings: &Settings, seat: Seat, top: f32) {
    let lance = [
        Deed::Brace,
        Deed::Squeeze,
        Deed::Catch,
        Deed::Staggered,
        Deed::Reach,
        Deed::DrawIn,
    ];
    let pump = [Deed::Hurry, Deed::Stop];
    let of_post: &[Deed] = if seat == Seat::LANCE { &lance } else { &pump };
    let all = [
        Deed::Take,
        Deed::Inspect,
        Deed::Call,
        Deed::TagOut,
        Deed::Sheet,
        Deed::Menu,
    ];
    corner(ctx, "keys", Align2::RIGHT_TOP, [-20.0, top], |ui| {
        theme::over().show(ui, |ui| {
            let walk = [Deed::Ahead, Deed::Left, Deed::Back, Deed::Right];
            let walk: Vec<String> = walk.map(|d| names::bound(&settings.keys, d)).into();
            let line = |ui: &mut Ui, cap: &str, words: String| {
                key_cap(ui, cap, TEXT);
                ui.label(theme::faint(words).color(TEXT));
                ui.end_row();
            };
            Grid::new("keys")
                .num_columns(2)
                .spacing([10.0, 4.0])
                .show(ui, |ui| {
                    line(ui, &walk.join(" "), say("scene-hud-walk", &[]));
                    for deed in of_post.iter().chain(&all) {
                        line(ui, &names::bound(&settings.keys, *deed), names::deed(*deed));
                    }
                });
        });
    });
}

/// Sets up what lies over the view of the yard.
pub(super) fn plugin(app: &mut App) {
    app.add_plugins(lately::plugin).add_systems(
        EguiPrimaryContextPass,
        screen
            .in_set(ScreenSystems::Draw)
            .run_if(in_state(Run::Live)),
    );
}
