//! What became of the surface.

use super::section;
use crate::html::{escape, text};
use crate::map;
use crate::sheet::Sheet;
use crate::words;
use std::fmt::Write;
use training::text::{number, say};

/// The share that was cleaned, against the grade, with maps; nothing where the
/// level has no surface.
pub(super) fn surface(page: &mut String, sheet: &Sheet) {
    let Some(cleaning) = &sheet.cleaning else {
        return;
    };
    page.push_str("<section class=\"whole\">");
    section(page, "report-surface");
    let clean_pct = cleaning.maps.last().map_or(0.0, |map| map.clean_pct);
    let verdict = if clean_pct >= cleaning.grade_pct {
        "report-surface-met"
    } else {
        "report-surface-not_met"
    };
    let clean = words::share(clean_pct);
    let grade = words::short(cleaning.grade_pct, 1);
    let [width, height] = cleaning.size_m.map(|m| number(m, 2));
    write!(
        page,
        "<p><b>{}</b> {}</p>",
        text(verdict, &[("clean", &clean), ("grade", &grade)]),
        text(
            "report-surface-size",
            &[("width", &width), ("height", &height)]
        ),
    )
    .ok();
    // The map shows what is clean; the mark leaves out what was won by danger.
    if let Some(coverage) = sheet.mark.coverage
        && coverage + 0.1 < clean_pct
    {
        let counted = words::short(coverage, 1);
        let line = text("report-surface-counted", &[("counted", &counted)]);
        write!(page, "<p>{line}</p>").ok();
    }
    if let Some(worst) = &cleaning.worst {
        let [left, low, right, high] = worst.over_m.map(|m| number(m, 2));
        let (below, all) = cleaning.below_grade;
        let line = say(
            "report-surface-worst",
            &[
                ("left", &left),
                ("right", &right),
                ("low", &low),
                ("high", &high),
                ("clean", &words::share(worst.clean_pct)),
            ],
        );
        let tiles = say(
            "report-surface-tiles",
            &[("below", &below), ("all", &all), ("grade", &grade)],
        );
        write!(page, "<p>{} {}</p>", escape(&line), escape(&tiles)).ok();
    }
    // Less than this reads as nothing.
    let damaged_pct = cleaning.damaged_pct();
    let limit = sheet.limits.iter().find(|l| l.id == "damaged_max_pct");
    if let Some(limit) = limit.filter(|_| damaged_pct >= 0.005) {
        let line = text(
            "report-surface-damaged",
            &[
                ("damaged", &words::short(damaged_pct, 2)),
                ("most", &words::short(limit.value, 2)),
            ],
        );
        write!(page, "<p>{line}</p>").ok();
    }
    page.push_str(&map::figure(cleaning));
    page.push_str("</section>");
}
