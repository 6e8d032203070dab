//! Tests of the whole page.

use super::report;
use crate::sample;
use crate::sheet::Sheet;
use crew::Tick;
use training::mark::Deduction;
use training::recording::{Damage, OpenKey, Part, Status};
use training::rules::RULES;
use training::text::{exists, say};
use training::{Ended, Finding, Honesty, Severity};

/// Tags that stand alone.
const ALONE: [&str; 2] = ["meta", "!doctype"];

/// Checks that a page is sound: tags close in order, no text is missing, no
/// gap of a text is left open, and every link within the page has its aim.
#[track_caller]
fn assert_sound(page: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find('<') {
        let end = start + rest[start..].find('>').expect("a tag that ends");
        let tag = &rest[start + 1..end];
        rest = &rest[end + 1..];
        let name = tag
            .trim_matches('/')
            .split([' ', '\n'])
            .next()
            .unwrap_or("");
        if let Some(closes) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closes), "tags close in order");
        } else if !tag.ends_with('/') && !ALONE.contains(&name) {
            open.push(name);
        }
        assert_eq!(tag.matches('"').count() % 2, 0, "{tag}");
        if tag == "style" {
            rest = &rest[rest.find("</style>").expect("an end")..];
        }
    }
    assert!(open.is_empty(), "{open:?}");
    for area in ["report", "rules", "calls", "cli", "data"] {
        assert!(!page.contains(&format!("[{area}-")), "a text is missing");
    }
    assert!(!page.contains("{$"), "a text was not filled in");
    for link in page.split("href=\"#").skip(1) {
        let aim = link.split('"').next().unwrap_or("");
        assert!(page.contains(&format!(" id=\"{aim}\"")), "{aim}");
    }
    let ids: Vec<&str> = page
        .split(" id=\"")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    for (i, id) in ids.iter().enumerate() {
        assert!(!ids[..i].contains(id), "{id} is there twice");
    }
}

/// Words as they stand in the page.
fn words(id: &str) -> String {
    crate::html::text(id, &[])
}

#[test]
fn a_sheet_with_one_of_everything_makes_a_sound_page() {
    let sheet = sample::sheet();
    let page = report(&sheet);
    assert_sound(&page);
    for finding in &sheet.mark.findings {
        let (rule, detail) = (&finding.rule, &finding.detail);
        for end in ["title", "coach", detail.as_str()] {
            let said = words(&format!("rules-{rule}-{end}"));
            assert!(page.contains(&said), "{rule} {end}");
        }
    }
    for source in sheet.book.iter().map(|line| &line.source) {
        assert!(page.contains(&crate::html::escape(source)));
    }
    for id in [
        "report-caution-aid",
        "report-caution-law",
        "report-caution-wound",
        "report-caution-validity",
        "report-critical",
        "report-not_part",
        "report-signature",
        "report-map-key-clean",
        "report-map-key-partly",
        "report-map-key-fouled",
        "report-map-key-worst",
        "report-cause-intruder",
        "report-handling",
        "report-phase-clean",
    ] {
        assert!(page.contains(&words(id)), "{id}");
    }
    for honesty in Honesty::ALL {
        let said = words(&format!("report-honesty-{}", honesty.id()));
        assert!(page.contains(&said), "{said}");
    }
    for known in ["A. Trainee (T-017)", "2030-03-17 17:46", "jetyard mark"] {
        assert!(page.contains(known), "{known}");
    }
}

#[test]
fn a_page_needs_nothing_from_outside_and_runs_nothing() {
    let page = report(&sample::sheet());
    for outside in [
        "http:", "https:", "url(", "<script", "<link", "@import", " src=", "<img",
    ] {
        assert!(!page.contains(outside), "{outside}");
    }
}

#[test]
fn a_sheet_with_nothing_in_it_makes_a_sound_page() {
    let page = report(&bare());
    assert_sound(&page);
    assert!(page.contains(&words("report-chart-nothing")));
    assert!(page.contains(&words("report-no_findings")));
    assert!(page.contains(&words("report-acts-none")));
    assert!(page.contains(&words("report-body-none")));
    assert_eq!(page.matches(&words("report-not_assessable")).count(), 3);
}

#[test]
fn what_comes_from_data_is_never_markup() {
    let evil = "<script>alert(\"1\")</script>&'";
    let mut sheet = sample::sheet();
    sheet.level.id = evil.to_owned();
    sheet.level.title = evil.to_owned();
    sheet.level.region = evil.to_owned();
    sheet.level.objectives = vec![evil.to_owned()];
    sheet.release = evil.to_owned();
    sheet.body_hash = Some(evil.to_owned());
    for finding in &mut sheet.mark.findings {
        finding.unit = evil.to_owned();
        finding.detail = evil.to_owned();
    }
    sheet.mark.findings[0].rule = evil.to_owned();
    sheet.mark.not_assessable = vec![evil.to_owned()];
    for criterion in &mut sheet.mark.criteria {
        criterion.kind = evil.to_owned();
        criterion.unit = evil.to_owned();
    }
    for line in &mut sheet.book {
        line.source = evil.to_owned();
    }
    for line in &mut sheet.limits {
        line.source = evil.to_owned();
        line.id = evil.to_owned();
    }
    if let Some(sitting) = &mut sheet.sitting {
        sitting.trainee = evil.to_owned();
        sitting.display_name = Some(evil.to_owned());
        sitting.device = evil.to_owned();
        sitting.mode = evil.to_owned();
    }
    if let Some(restarted) = &mut sheet.restarted {
        restarted.body_hash = evil.to_owned();
    }
    let page = report(&sheet);
    assert_sound(&page);
    assert!(!page.contains("<script"), "markup from data");
    let count = page.matches("&lt;script&gt;").count();
    assert!(count > 40, "{count}");
}

#[test]
fn critical_findings_come_first_and_carry_their_number_in_time() {
    let mut sheet = bare();
    let found = |severity, seconds| Finding {
        rule: RULES[0].id().to_owned(),
        detail: RULES[0].details()[0].to_owned(),
        tick: Tick::at(seconds),
        severity,
        value: 2.0,
        limit: 1.0,
        unit: "bar".to_owned(),
        mended: None,
    };
    sheet.until_s = 60.0;
    sheet.mark.findings = vec![
        found(Severity::Minor, 1.0),
        found(Severity::Critical, 2.0),
        found(Severity::Major, 3.0),
        found(Severity::Critical, 4.0),
    ];
    let page = report(&sheet);
    assert_sound(&page);
    let rows: Vec<&str> = page
        .split("<tbody class=\"one\" id=\"finding-")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect();
    assert_eq!(rows, ["2", "4", "3", "1"]);
}

#[test]
fn a_recording_that_is_no_whole_attempt_says_so_above_all_else() {
    let claimed = OpenKey::from_secret([9; 32]).public().fingerprint();
    let broken = |body_holds, envelope_holds| Status::SealBroken {
        claimed,
        body_holds,
        envelope_holds,
    };
    let mut statuses = vec![
        broken(false, false),
        broken(false, true),
        broken(true, false),
        Status::Unfinished {
            until: Tick::at(61.0),
        },
    ];
    for why in [
        Damage::Chain,
        Damage::Length,
        Damage::Kind,
        Damage::Place,
        Damage::Content,
        Damage::Bound,
        Damage::Trailer,
    ] {
        for part in [Part::Body, Part::Envelope] {
            statuses.push(Status::Damaged {
                at_frame: 4,
                part,
                after: Tick::at(61.0),
                why,
            });
        }
    }
    for status in statuses {
        let page = report(&Sheet { status, ..bare() });
        assert_sound(&page);
        let warned = page.find("role=\"alert\"");
        let marks = page.find("class=\"parts\"");
        assert!(warned.is_some() && warned < marks, "{status:?}");
    }
    for signed in [None, Some(claimed)] {
        let status = Status::Sealed { signed };
        let page = report(&Sheet { status, ..bare() });
        assert_sound(&page);
        assert!(!page.contains("role=\"alert\""), "{status:?}");
    }
}

#[test]
fn a_mark_that_cannot_be_given_is_said_in_words_and_is_no_zero() {
    let mut sheet = sample::sheet();
    sheet.mark.findings.clear();
    sheet.mark.safety = None;
    let page = report(&sheet);
    assert!(page.contains(&words("report-not_assessable")));
    assert!(page.contains(&words("report-no_findings_in_part")));
    assert!(!page.contains(&words("report-critical")));
}

#[test]
fn a_part_that_was_not_all_earned_never_reads_as_earned_in_full() {
    let mut sheet = sample::sheet();
    let line = &mut sheet.mark.criteria[0];
    (line.weight, line.share) = (20.0, 0.9999);
    let page = report(&sheet);
    assert!(page.contains("<td class=\"n\">20</td><td class=\"n\">19.9</td>"));
    sheet.mark.criteria[0].share = 1.0;
    let page = report(&sheet);
    assert!(page.contains("<td class=\"n\">20</td><td class=\"n\">20</td>"));
}

#[test]
fn every_rule_every_detail_and_every_limit_has_its_words() {
    for rule in RULES {
        for end in ["title", "coach"].iter().chain(rule.details()) {
            let id = format!("rules-{}-{end}", rule.id());
            assert!(exists(&id), "{id}");
        }
    }
    for (name, _, _) in training::region::Limits::RANGES {
        assert!(exists(&format!("report-limit-{name}")), "{name}");
    }
    for ended in [
        Ended::HandedBack,
        Ended::TimeLimit,
        Ended::Stopped,
        Ended::Stuck,
    ] {
        assert!(exists(&format!("report-ended-{}", ended.id())));
    }
}

#[test]
fn values_that_are_no_numbers_leave_the_page_sound() {
    let mut sheet = sample::sheet();
    for series in &mut sheet.series {
        for (i, point) in series.points.iter_mut().enumerate() {
            match i % 3 {
                0 => point.max = f64::INFINITY,
                1 => point.mean = f64::NAN,
                _ => point.time_s = f64::NAN,
            }
        }
    }
    for finding in &mut sheet.mark.findings {
        finding.value = f64::NAN;
    }
    sheet.mark.procedure = Some(f64::NAN);
    let page = report(&sheet);
    assert_sound(&page);
    for wrong in ["NaN", "inf"] {
        assert!(!page.contains(&format!(">{wrong}")), "{wrong}");
        assert!(!page.contains(&format!(",{wrong}")), "{wrong}");
    }
}

/// A sheet with as little in it as there can be.
fn bare() -> Sheet {
    let mut sheet = sample::sheet();
    let mark = &mut sheet.mark;
    mark.findings.clear();
    mark.deductions.clear();
    mark.criteria.clear();
    mark.not_assessable.clear();
    (mark.safety, mark.procedure, mark.economy) = (None, None, None);
    mark.duration_s = 0.0;
    sheet.level.objectives.clear();
    sheet.limits.clear();
    sheet.series.clear();
    sheet.spans.clear();
    sheet.moments.clear();
    sheet.stops.clear();
    sheet.tables.clear();
    sheet.phases.clear();
    sheet.cleaning = None;
    sheet.uses.clear();
    sheet.body_hash = None;
    sheet.restarted = None;
    sheet.sitting = None;
    sheet.pace = None;
    sheet.until_s = 0.0;
    sheet.status = Status::Sealed { signed: None };
    sheet
}

#[test]
fn the_title_names_the_level() {
    let sheet = sample::sheet();
    let title = say("report-title", &[("level", &sheet.level.title)]);
    assert!(report(&sheet).contains(&format!("<h1>{title}</h1>")));
}

#[test]
fn a_finding_says_what_it_costs() {
    let mut sheet = bare();
    let found = sample::sheet().mark.findings;
    let cells = [
        words("report-cost-all"),
        "12.5 points".to_owned(),
        "1 point".to_owned(),
    ];
    let all = [Severity::Critical, Severity::Major, Severity::Minor];
    for (finding, (severity, points)) in all.into_iter().zip([100.0, 12.5, 1.0]).enumerate() {
        sheet.mark.findings.push(Finding {
            severity,
            mended: None,
            ..found[0].clone()
        });
        sheet.mark.deductions.push(Deduction {
            finding,
            points,
            halved: false,
        });
    }
    let page = report(&sheet);
    for cost in &cells {
        let cell = format!("<td class=\"n\">{cost}</td></tr>");
        assert_eq!(page.matches(&cell).count(), 1, "{cost}");
    }
    assert!(!page.contains(&words("report-cost-halved")));
    // Put right and reported.
    sheet.mark.findings[1].mended = Some(Tick::at(70.5));
    sheet.mark.deductions[1].halved = true;
    let page = report(&sheet);
    let over = say("report-mended", &[("time", &"1:10.5")]);
    assert!(page.contains(&over) && page.contains(&words("report-cost-halved")));
    // A cost goes by its finding and not by its place.
    sheet.mark.deductions.remove(1);
    let page = report(&sheet);
    assert!(page.contains(&words("report-cost-unknown")) && page.contains(&cells[2]));
}

#[test]
fn the_share_is_held_against_the_grade() {
    let mut sheet = sample::sheet();
    let cleaning = sheet.cleaning.as_mut().unwrap();
    cleaning.grade_pct = 95.0;
    for (clean_pct, told) in [
        (
            95.0,
            "95 % of the surface is clean; the grade is 95 %, and it is met.",
        ),
        (
            94.999,
            "94.9 % of the surface is clean; the grade is 95 %, and it is not met.",
        ),
    ] {
        let cleaning = sheet.cleaning.as_mut().unwrap();
        cleaning.maps.last_mut().unwrap().clean_pct = clean_pct;
        let page = report(&sheet);
        assert!(page.contains(told), "{told}");
    }
    // What the mark counts is told where it is less than what is clean.
    for (coverage, told) in [(None, false), (Some(95.0), false), (Some(61.2), true)] {
        sheet.mark.coverage = coverage;
        let line = say("report-surface-counted", &[("counted", &"61.2")]);
        assert_eq!(report(&sheet).contains(&line), told, "{coverage:?}");
    }
}

#[test]
fn where_the_water_went_the_noise_and_the_damage_are_told_as_far_as_they_are_known() {
    let mut sheet = sample::sheet();
    sheet.limits = vec![crate::LimitLine {
        id: "damaged_max_pct".to_owned(),
        value: 1.0,
        source: "a test".to_owned(),
        honesty: training::Honesty::Invented,
    }];
    let page = report(&sheet);
    for told in ["530 L from the supply", "410 L ran off", "3.25 %"] {
        assert!(page.contains(told), "{told}");
    }
    assert!(!page.contains("allowed: 1 %"), "nothing is damaged");
    let cleaning = sheet.cleaning.as_mut().expect("a surface");
    let (map, wanted) = (cleaning.maps.last_mut().expect("a map"), &cleaning.wanted);
    map.steps[0] = wanted[0] + training::surface::STEPS_PER_LAYER;
    let share = crate::words::short(100.0 / map.steps.len() as f64, 2);
    sheet.water = None;
    sheet.noise_dose_pct = None;
    let page = report(&sheet);
    assert!(page.contains(&format!("{share} % of the surface is damaged")));
    assert!(!page.contains("from the supply") && !page.contains("Noise at the ear"));
}

#[test]
fn whoever_called_for_the_stop_themselves_is_not_told_that_nobody_did() {
    use crate::glance::no_cue;
    let mut sheet = bare();
    let nobody = say("report-acts-none", &[]);
    assert_eq!(no_cue(&sheet), nobody);
    let said = |seat, call, at_s| crate::Moment {
        tick: crew::Tick::at(at_s),
        event: training::Event::Said { seat, call },
    };
    sheet.post = crew::Seat::PUMP;
    sheet.moments = vec![
        said(crew::Seat::PUMP, crew::Call::NoChange, 30.0),
        said(crew::Seat::PUMP, crew::Call::AllStop, 72.0),
        // With nothing left to stop.
        said(crew::Seat::PUMP, crew::Call::AllStop, 120.0),
    ];
    assert_eq!(no_cue(&sheet), nobody, "there was no water");
    sheet.spans = vec![crate::Span {
        state: crate::State::LineFed,
        from_s: 10.0,
        until_s: 80.0,
    }];
    let told = no_cue(&sheet);
    assert_eq!(told, say("report-acts-own", &[("times", &"1:12.0")]));
    assert!(report(&sheet).contains(&told));
    // The lance hand's word is another's.
    sheet.post = crew::Seat::LANCE;
    assert_eq!(no_cue(&sheet), nobody);
}
