//! Where recording and report are, and what the recording is worth.

use super::{Ask, Desk, Look, ink, parts};
use crate::replay::Debrief;
use bevy_egui::egui::{self, RichText};
use records::clock;
use std::path::Path;
use training::text::{number, say};

/// A file that can be handed over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Paper {
    Recording,
    Report,
}

impl Paper {
    /// Where it is.
    pub(super) fn path(self, debrief: &Debrief) -> &Path {
        match self {
            Paper::Recording => &debrief.path,
            Paper::Report => &debrief.report,
        }
    }
}

/// The files and what stands in them.
pub(super) fn show(ui: &mut egui::Ui, desk: &Desk, look: &Look<'_>, asks: &mut Vec<Ask>) {
    let debrief = look.debrief;
    let small = parts::small(ui);
    parts::heading(ui, "report-fact-recording");
    path(ui, desk, look, Paper::Recording, asks);
    parts::heading(ui, "debrief-report");
    match &debrief.unwritten {
        Some(why) => {
            parts::words(ui, RichText::new(why).color(ink::RED));
        }
        None => path(ui, desk, look, Paper::Report, asks),
    }
    let sheet = &debrief.sheet;
    parts::heading(ui, "debrief-how");
    let ended = say(&format!("report-ended-{}", sheet.mark.ended.id()), &[]);
    let took = clock::minutes(sheet.until_s);
    let mut lines = vec![say(
        "report-how-ended",
        &[("time", &took), ("ended", &ended)],
    )];
    lines.push(say("report-how-mark", &[("rules", &sheet.book.len())]));
    if let Some(other) = &sheet.restarted {
        lines.push(say(
            "report-how-restarted",
            &[
                ("time", &clock::moment(other.at_s)),
                ("body", &other.body_hash),
            ],
        ));
    }
    if let Some(pace) = &sheet.pace {
        let factor = number(pace.least_real_time_factor, 2);
        lines.push(say("debrief-pace", &[("factor", &factor)]));
    }
    if let Some(body) = &sheet.body_hash {
        lines.push(say("debrief-body", &[("body", body)]));
    }
    for line in lines {
        parts::words(ui, parts::plain(line).size(small));
    }
    parts::heading(ui, "report-cautions");
    for id in [
        "report-caution-aid",
        "report-caution-law",
        "report-caution-wound",
        "report-caution-validity",
    ] {
        parts::words(ui, parts::plain(parts::say(id)).size(small));
    }
}

/// A path, to be read and to be taken along.
fn path(ui: &mut egui::Ui, desk: &Desk, look: &Look<'_>, paper: Paper, asks: &mut Vec<Ask>) {
    let path = paper.path(look.debrief).display().to_string();
    parts::words(ui, parts::plain(path).monospace());
    let id = match desk.copied {
        Some((copied, true)) if copied == paper => "debrief-copied",
        Some((copied, false)) if copied == paper => "debrief-not_copied",
        _ => "debrief-copy",
    };
    if parts::button(ui, id).clicked() {
        asks.push(Ask::Copy(paper));
    }
}
