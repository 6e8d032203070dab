//! Names and numbers as the report writes them. Nothing here is escaped.

mod harm;

use crate::clock::moment;
use crate::sheet::Sheet;
use training::criteria::CriterionResult;
use training::mark::Deduction;
use training::rules::cue::Cause;
use training::text::{exists, number, say};
use training::{Event, Finding, HurtGrade, Severity};

/// The text with this id, or `otherwise` where a recording of another release
/// names something that this one has no words for.
fn known(id: &str, otherwise: &str) -> String {
    if exists(id) {
        say(id, &[])
    } else {
        otherwise.to_owned()
    }
}

/// Title of a rule.
pub fn rule_title(rule: &str) -> String {
    known(&format!("rules-{rule}-title"), rule)
}

/// What to do instead of breaking a rule.
pub fn rule_coach(rule: &str) -> String {
    known(&format!("rules-{rule}-coach"), "")
}

/// What a finding is about.
pub fn detail(finding: &Finding) -> String {
    let (rule, detail) = (&finding.rule, &finding.detail);
    known(&format!("rules-{rule}-{detail}"), detail)
}

/// What a finding is about, as it is told while the attempt still goes on: nothing that the trainee has
/// yet to find out.
pub fn detail_at_once(finding: &Finding) -> String {
    let id = format!("rules-{}-at_once", finding.rule);
    if exists(&id) {
        say(&id, &[])
    } else {
        detail(finding)
    }
}

/// Title of a kind of criterion.
pub fn criterion(kind: &str) -> String {
    known(&format!("report-criterion-{kind}"), kind)
}

/// Kind of a sitting.
pub fn mode(mode: &str) -> String {
    known(&format!("report-mode-{mode}"), mode)
}

/// Title of a limit.
pub fn limit(id: &str) -> String {
    known(&format!("report-limit-{id}"), id)
}

/// Unit of a limit: the end of its name.
pub fn limit_unit(id: &str, value: f64) -> String {
    if id.ends_with("_m_s") {
        return "m/s".to_owned();
    }
    match id.rsplit('_').next() {
        Some("bar") => "bar".to_owned(),
        Some("s") => "s".to_owned(),
        Some("pct") => "%".to_owned(),
        Some("n") => "N".to_owned(),
        Some("m") => "m".to_owned(),
        Some("c") => "C".to_owned(),
        Some("db") => "dB".to_owned(),
        Some("h") => "h".to_owned(),
        _ => unit("points", value),
    }
}

/// The unit of a value. Those that are words have a text, which needs to know
/// whether there is one of them; those that are signs have none.
pub fn unit(unit: &str, value: f64) -> String {
    let id = format!("report-unit-{}", unit.replace(' ', "_"));
    if exists(&id) {
        say(&id, &[("count", &if value == 1.0 { 1_u8 } else { 2 })])
    } else {
        unit.to_owned()
    }
}

/// A number with as many decimals as it needs, and `most` at most.
pub fn short(value: f64, most: usize) -> String {
    let written = number(value, most);
    if written.contains('.') {
        let written = written.trim_end_matches('0');
        written.trim_end_matches('.').to_owned()
    } else {
        written
    }
}

/// A share or a mark, cut to a tenth of a percent, so that no surface reads as clean that
/// is not, and the same number reads the same everywhere.
pub fn share(pct: f64) -> String {
    short((pct * 10.0 + 1e-9).floor() / 10.0, 1)
}

/// What is no number but a state, in a word.
fn state(value: f64, of: &str) -> Option<String> {
    let either = |on, off| Some(say(if value >= 0.5 { on } else { off }, &[]));
    match of {
        "open" => either("report-open", "report-shut"),
        "clipped" => either("report-clipped", "report-loose"),
        "grade" => {
            let grades = HurtGrade::ALL.into_iter();
            let grade = { grades }.find(|grade| f64::from(grade.number()) == value);
            Some(grade.map_or_else(
                || say("report-unhurt", &[]),
                |grade| say(&format!("report-hurt-grade-{}", grade.id()), &[]),
            ))
        }
        _ => None,
    }
}

/// What was measured and its limit, each with the unit, in as many decimals as
/// it takes to tell them apart.
pub fn measured(value: f64, limit: f64, of: &str) -> (String, String) {
    if let (Some(value), Some(limit)) = (state(value, of), state(limit, of)) {
        return (value, limit);
    }
    let few = usize::from(value.abs().max(limit.abs()) < 100.0);
    let decimals = (few..=3)
        .find(|d| value == limit || short(value, *d) != short(limit, *d))
        .unwrap_or(3);
    let with = |v: f64| {
        format!("{} {}", short(v, decimals), unit(of, v))
            .trim_end()
            .to_owned()
    };
    (with(value), with(limit))
}

/// Why water had to be stopped.
pub fn cause(cause: Cause) -> String {
    match cause {
        Cause::Called(call) => {
            let call = say(&format!("calls-call-{}", call.id()), &[]);
            say("report-cause-heard", &[("call", &call)])
        }
        Cause::Seen => say("report-cause-intruder", &[]),
    }
}

/// What was seen of a criterion, and what was asked.
pub fn seen(line: &CriterionResult) -> String {
    if line.weight == 0.0 {
        return say("report-no_occasion", &[]);
    }
    let yes_or_no = line.wanted == 1.0 && (line.value == 0.0 || line.value == 1.0);
    if yes_or_no && line.unit != "s" {
        let id = match line.kind.as_str() {
            _ if line.value == 1.0 => "report-seen",
            // They came, or the line would weigh nothing.
            "stopped_for_intruder" | "stopped_for_parted" => "report-not_in_time",
            _ => "report-not_seen",
        };
        return say(id, &[]);
    }
    let late = line.late_s.map(|[taken_s, allowed_s]| {
        let (taken, allowed) = measured(taken_s, allowed_s, "s");
        say(
            "report-seen_late",
            &[("taken", &taken), ("allowed", &allowed)],
        )
    });
    if let (Some(late), true) = (&late, line.wanted == 1.0) {
        return late.clone();
    }
    // Cut and not rounded, so that nothing reads as enough that was not.
    let value = short((line.value * 10.0 + 1e-9).floor() / 10.0, 1);
    let wanted = short(line.wanted, 1);
    let unit = unit(&line.unit, line.value);
    let seen = say(
        "report-seen_of",
        &[("value", &value), ("wanted", &wanted), ("unit", &unit)],
    );
    match late {
        Some(late) => say("report-seen_and", &[("seen", &seen), ("late", &late)]),
        None => seen,
    }
}

/// What a finding takes off the mark for safety.
pub fn cost(finding: &Finding, deduction: Option<&Deduction>) -> String {
    match deduction {
        _ if finding.severity == Severity::Critical => say("report-cost-all", &[]),
        Some(deduction) => {
            let points = short(deduction.points, 2);
            let unit = unit("points", deduction.points);
            say("report-cost", &[("points", &points), ("unit", &unit)])
        }
        None => say("report-cost-unknown", &[]),
    }
}

/// What a line of the procedure earned, cut to a tenth, so that nothing reads as
/// earned in full that was not.
pub fn earned(line: &CriterionResult) -> String {
    // A product such as 20 x 0.35 may lie a hair below the tenth it stands for.
    short((line.weight * line.share * 10.0 + 1e-9).floor() / 10.0, 1)
}

/// What happened, in words.
pub fn event(event: &Event) -> String {
    let who = |seat: &crew::Seat| say(&format!("report-who-{}", seat.id()), &[]);
    let task = |t: &crew::Task| say(&format!("report-task-{}", t.id()), &[]);
    match event {
        Event::Said { seat, call } => {
            let call = say(&format!("calls-call-{}", call.id()), &[]);
            say("report-log-said", &[("who", &who(seat)), ("call", &call)])
        }
        Event::Moved { seat, control, to } => {
            let place = format!("report-moved-{}-{to}", control.id());
            if exists(&place) {
                return say(&place, &[("who", &who(seat))]);
            }
            let control = say(&format!("calls-control-{}", control.id()), &[]);
            say(
                "report-log-moved",
                &[("who", &who(seat)), ("control", &control)],
            )
        }
        Event::Cranked => say("report-log-cranked", &[]),
        Event::EngineRan => say("report-log-engine_ran", &[]),
        Event::EngineStood => say("report-log-engine_stood", &[]),
        Event::Began { seat, task: t } => say(
            "report-log-began",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::Finished { seat, task: t } => say(
            "report-log-finished",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::BrokeOff { seat, task: t } => say(
            "report-log-broke_off",
            &[("who", &who(seat)), ("task", &task(t))],
        ),
        Event::ReliefLifted => say("report-log-relief", &[]),
        Event::DiscBurst => say("report-log-disc", &[]),
        Event::Stepped { seat } => say("report-log-stepped", &[("who", &who(seat))]),
        Event::Slipped { seat } => say("report-log-slipped", &[("who", &who(seat))]),
        Event::Fell { seat } => say("report-log-fell", &[("who", &who(seat))]),
        Event::Refused { seat, why } => {
            let why = say(&format!("report-refusal-{}", why.id()), &[]);
            say("report-log-refused", &[("who", &who(seat)), ("why", &why)])
        }
        Event::LaidDown { seat } => say("report-log-laid_down", &[("who", &who(seat))]),
        Event::Dropped { seat } => say("report-log-dropped", &[("who", &who(seat))]),
        Event::TookUp { seat } => say("report-log-took_up", &[("who", &who(seat))]),
        Event::Chose { seat, nozzle } => {
            let nozzle = number(f64::from(*nozzle) + 1.0, 0);
            say(
                "report-log-chose",
                &[("who", &who(seat)), ("nozzle", &nozzle)],
            )
        }
        Event::Wore { seat, item, on } => {
            let id = if *on {
                "report-log-put_on"
            } else {
                "report-log-took_off"
            };
            let item = say(&format!("report-ppe-{}", item.id()), &[]);
            say(id, &[("who", &who(seat)), ("item", &item)])
        }
        Event::Struck { seat } => say("report-log-struck", &[("who", &who(seat))]),
        Event::Failed { fault, amount } => {
            let id = if *amount > 0 {
                "report-log-failed"
            } else {
                "report-log-mended"
            };
            let what = say(&format!("calls-fault-{}", fault.id()), &[]);
            say(id, &[("what", &what)])
        }
        Event::TaggedOut { seat, part } => {
            let part = say(&format!("calls-part-{}", part.id()), &[]);
            say(
                "report-log-tagged_out",
                &[("who", &who(seat)), ("part", &part)],
            )
        }
        Event::Parted { pump_end } => say(&at_end("parted", *pump_end), &[]),
        Event::RestraintHeld { pump_end } => say(&at_end("held", *pump_end), &[]),
        Event::RestraintBroke { pump_end } => say(&at_end("broke", *pump_end), &[]),
        Event::Tripped { seat } => say("report-log-tripped", &[("who", &who(seat))]),
        Event::LostHold { seat } => say("report-log-lost_hold", &[("who", &who(seat))]),
        Event::Kinked => say("report-log-kinked", &[]),
        Event::Hurt { seat, by, grade } => {
            let by = say(&format!("report-hurt-by-{}", by.id()), &[]);
            let grade = say(&format!("report-hurt-grade-{}", grade.id()), &[]);
            say(
                "report-log-hurt",
                &[("who", &who(seat)), ("what", &by), ("how", &grade)],
            )
        }
        Event::Bookmark => say("report-log-bookmark", &[]),
        Event::HandedBack => say("report-log-handed_back", &[]),
    }
}

/// Id of what happened at one end of the hose.
fn at_end(what: &str, pump_end: bool) -> String {
    format!(
        "report-log-{what}_{}",
        if pump_end { "pump" } else { "gun" }
    )
}

/// What failed, what became of the pressure, and which tags were hung: a sentence for each part that
/// failed, and one for the tags; nothing where nothing failed and nothing was tagged. Before them
/// couplings that let go and whoever was hurt.
#[must_use]
pub fn troubles(sheet: &Sheet) -> Vec<String> {
    let told = sheet.troubles.iter().map(|trouble| {
        let what = say(&format!("calls-fault-{}", trouble.fault.id()), &[]);
        let time = moment(trouble.at_s);
        let after = trouble.stopped_after_s.map(|s| number(s, 1));
        match (trouble.felt, after) {
            (false, _) => say("report-trouble-unfelt", &[("what", &what), ("time", &time)]),
            (true, None) => say(
                "report-trouble-kept_on",
                &[("what", &what), ("time", &time)],
            ),
            (true, Some(after)) => say(
                "report-trouble-stopped",
                &[("what", &what), ("time", &time), ("seconds", &after)],
            ),
        }
    });
    let mut told: Vec<String> = told.collect();
    if !sheet.tags.is_empty() {
        let tags = sheet.tags.iter().map(|tag| {
            let part = say(&format!("calls-part-{}", tag.part.id()), &[]);
            let id = if tag.right { "right" } else { "wrong" };
            let id = format!("report-tag-{id}");
            say(&id, &[("part", &part), ("time", &moment(tag.at_s))])
        });
        let tags: Vec<String> = tags.collect();
        told.push(say("report-tags", &[("tags", &tags.join(", "))]));
    } else if !told.is_empty() {
        told.push(say("report-tags-none", &[]));
    }
    harm::told(sheet).into_iter().chain(told).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(value: f64, limit: f64, unit: &str) -> [String; 2] {
        let (value, limit) = measured(value, limit, unit);
        [value, limit]
    }

    #[test]
    fn a_value_just_over_its_limit_does_not_read_like_the_limit() {
        assert_eq!(told(20.04, 20.0, "bar"), ["20.04 bar", "20 bar"]);
        assert_eq!(told(318.2, 250.0, "bar"), ["318 bar", "250 bar"]);
        assert_eq!(told(250.2, 250.0, "bar"), ["250.2 bar", "250 bar"]);
        assert_eq!(told(1.5, 3.0, "s"), ["1.5 s", "3 s"]);
        assert_eq!(told(f64::NAN, 3.0, "s")[0], "- s");
    }

    #[test]
    fn one_of_a_thing_is_not_told_as_many() {
        let [none, one] = told(0.0, 1.0, "read-backs");
        assert!(none.ends_with('s') && !one.ends_with('s'), "{none}, {one}");
    }

    #[test]
    fn nothing_that_is_still_to_be_found_out_is_told_at_once() {
        let of = |rule: &str, detail: &str| Finding {
            rule: rule.to_owned(),
            detail: detail.to_owned(),
            tick: crew::Tick(0),
            severity: Severity::Major,
            value: 21.0,
            limit: 20.0,
            unit: "s".to_owned(),
            mended: None,
        };
        for part in crew::Part::ALL {
            let name = say(&format!("calls-part-{}", part.id()), &[]).to_lowercase();
            let finding = of("defect_kept_on", part.id());
            let told = detail_at_once(&finding).to_lowercase();
            assert!(!told.contains(&name), "{told}");
            assert_ne!(told, detail(&finding).to_lowercase());
        }
        // What is no secret is told as it is.
        let open = of("barrier_open", "open");
        assert_eq!(detail_at_once(&open), detail(&open));
    }

    #[test]
    fn what_came_late_tells_by_how_much() {
        let line = |value, wanted| CriterionResult {
            id: "met".to_owned(),
            kind: "trouble_met".to_owned(),
            weight: 60.0,
            share: value / wanted,
            value,
            wanted,
            unit: "troubles met".to_owned(),
            late_s: Some([21.3, 20.0]),
        };
        assert_eq!(seen(&line(0.5, 1.0)), "late: 21.3 s, allowed 20 s");
        assert_eq!(
            seen(&line(1.5, 2.0)),
            "1.5 troubles met; asked for: 2; late: 21.3 s, allowed 20 s"
        );
    }

    #[test]
    fn a_state_reads_as_a_word() {
        let [value, limit] = told(0.0, 1.0, "open");
        assert_eq!(value, say("report-shut", &[]));
        assert_eq!(limit, say("report-open", &[]));
        let [value, limit] = told(0.0, 1.0, "clipped");
        assert_eq!(value, say("report-loose", &[]));
        assert_eq!(limit, say("report-clipped", &[]));
        let [value, limit] = told(2.0, 0.0, "grade");
        assert_eq!(value, say("report-hurt-grade-injury", &[]));
        assert_eq!(limit, say("report-unhurt", &[]));
    }

    #[test]
    fn what_another_release_named_reads_by_its_name() {
        assert_eq!(rule_title("rule_of_tomorrow"), "rule_of_tomorrow");
        assert_eq!(unit("furlongs", 1.0), "furlongs");
    }

    #[test]
    fn numbers_have_no_more_decimals_than_they_need() {
        assert_eq!(short(100.0, 1), "100");
        assert_eq!(short(97.34, 1), "97.3");
        assert_eq!(short(0.0, 2), "0");
        assert_eq!(short(1200.0, 0), "1200");
    }
}
