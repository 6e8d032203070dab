//! The book as a whole: each rule is tripped once and just missed, reads no
//! more than it says, and is run where its posts are.

mod harm;
mod lance;
mod pump;
mod team;

use super::{BOTH_POSTS, Found, RULES, Rule};
use crate::finding::{Finding, Severity};
use crate::scene::{Scene, level};
use crate::{Channel, Ended, Level, Referee, text};
use crew::Seat;
use std::collections::BTreeSet;

/// A way to break a rule, and one to come near and not break it.
struct Case {
    rule: &'static str,
    detail: &'static str,
    /// What is special about the level; the post is one of the rule's.
    level: fn(&mut Level),
    trip: fn(&mut Scene<'_>),
    miss: fn(&mut Scene<'_>),
}

/// Nothing is special.
fn plain(_: &mut Level) {}

fn cases() -> impl Iterator<Item = &'static Case> {
    let cases = pump::CASES.iter().chain(lance::CASES);
    cases.chain(team::CASES).chain(harm::CASES)
}

fn rule(id: &str) -> &'static dyn Rule {
    let found = RULES.iter().find(|r| r.id() == id);
    *found.unwrap_or_else(|| panic!("no rule {id}"))
}

impl Case {
    fn level(&self) -> Level {
        let mut level = level();
        level.post = rule(self.rule).posts()[0];
        (self.level)(&mut level);
        level
    }

    /// What the rule alone finds when it sees nothing but its own channels.
    fn found(&self, play: fn(&mut Scene<'_>)) -> Vec<Finding> {
        found_by(self.rule, &self.level(), play)
    }
}

/// What a rule alone finds when it sees nothing but its own channels.
fn found_by(id: &str, level: &Level, play: fn(&mut Scene<'_>)) -> Vec<Finding> {
    let rule = rule(id);
    let mut findings = Vec::new();
    let mut watch = rule.watch(level);
    play(&mut Scene::of(rule.channels(), |o| {
        watch.see(o, &mut Found::of(rule, &mut findings));
    }));
    findings
}

#[test]
fn there_is_a_case_for_every_rule() {
    let ids: BTreeSet<&str> = RULES.iter().map(|r| r.id()).collect();
    let tried: BTreeSet<&str> = cases().map(|c| c.rule).collect();
    assert_eq!(ids, tried);
}

#[test]
fn every_rule_is_tripped_once_and_just_missed() {
    for case in cases() {
        let (id, detail) = (case.rule, case.detail);
        let tripped = case.found(case.trip);
        let details: Vec<&str> = tripped.iter().map(|f| f.detail.as_str()).collect();
        assert_eq!(details, [detail], "{id} tripped");
        assert_eq!(tripped[0].rule, id);
        assert_eq!(tripped[0].severity, rule(id).severity());
        assert_eq!(case.found(case.miss), [], "{id}, {detail} missed");
    }
}

/// What the referee says of a scene in which these channels are measured.
fn refereed(
    level: &Level,
    channels: &[Channel],
    play: impl Fn(&mut Scene<'_>),
) -> crate::mark::Mark {
    let mut referee = Referee::new(level);
    play(&mut Scene::of(channels, |o| {
        referee.see(o);
    }));
    referee.mark(Ended::HandedBack)
}

#[test]
fn a_rule_is_run_at_its_own_posts_and_no_other() {
    for case in cases() {
        let mut level = case.level();
        let ids = |level: &Level| -> BTreeSet<String> {
            let mark = refereed(level, Channel::ALL, case.trip);
            mark.findings.into_iter().map(|f| f.rule).collect()
        };
        assert!(ids(&level).contains(case.rule), "{}", case.rule);
        if rule(case.rule).posts() != BOTH_POSTS {
            level.post = if level.post == Seat::PUMP {
                Seat::LANCE
            } else {
                Seat::PUMP
            };
            assert!(!ids(&level).contains(case.rule), "{}", case.rule);
        }
    }
}

#[test]
fn a_rule_without_one_of_its_channels_is_not_assessable() {
    for rule in RULES {
        let mut level = level();
        level.post = rule.posts()[0];
        let without = |missing: Option<Channel>| {
            let there: Vec<Channel> = (Channel::ALL.iter().copied())
                .filter(|c| Some(*c) != missing)
                .collect();
            let mark = refereed(&level, &there, |scene| {
                scene.run(0.1);
            });
            mark.not_assessable.contains(&rule.id().to_owned())
        };
        assert!(!without(None), "{}", rule.id());
        for channel in rule.channels() {
            assert!(without(Some(*channel)), "{} {}", rule.id(), channel.id());
        }
    }
}

#[test]
fn a_minute_at_rest_is_without_a_finding_at_both_posts() {
    for post in [Seat::PUMP, Seat::LANCE] {
        let mut level = level();
        level.post = post;
        let mark = refereed(&level, Channel::ALL, |scene| {
            scene.run(60.0);
        });
        assert_eq!(mark.findings, []);
        assert_eq!(mark.safety, Some(100.0));
    }
}

#[test]
fn no_two_rules_are_the_same_rule() {
    let mut told = BTreeSet::new();
    for rule in RULES {
        let channels: BTreeSet<Channel> = rule.channels().iter().copied().collect();
        assert_eq!(channels.len(), rule.channels().len(), "{}", rule.id());
        let severity = rule.severity().id();
        assert!(
            told.insert((channels, severity, rule.source())),
            "{} reads, weighs and cites as another does",
            rule.id()
        );
    }
}

#[test]
fn every_rule_says_where_it_holds_and_has_its_texts() {
    let mut ids = BTreeSet::new();
    for rule in RULES {
        let id = rule.id();
        assert!(ids.insert(id), "{id} twice");
        assert!(!rule.posts().is_empty(), "{id}");
        assert!(!rule.source().is_empty(), "{id}");
        for end in ["title", "coach"].iter().chain(rule.details()) {
            assert!(text::exists(&format!("rules-{id}-{end}")), "{id} {end}");
        }
    }
}

/// A breach that is over is told as over since it ended.
#[test]
fn what_is_put_right_is_told_as_mended() {
    for (id, post, play) in [
        (
            "braced",
            Seat::LANCE,
            lance::braced_late as fn(&mut Scene<'_>),
        ),
        ("safety_catch", Seat::LANCE, lance::catch_on_late),
        ("barrier_open", Seat::PUMP, team::barrier_closed_late),
        ("ppe", Seat::PUMP, team::gloves_on_late),
        ("unprotected_noise", Seat::PUMP, team::ears_covered_late),
        ("unrestrained_coupling", Seat::PUMP, harm::clipped_late),
        ("hose_bent_tight", Seat::LANCE, harm::straightened_late),
    ] {
        let mut level = level();
        level.post = post;
        level.ppe.required = team::REQUIRED;
        harm::restrained(&mut level);
        let found = found_by(id, &level, play);
        let [finding] = found.as_slice() else {
            panic!("{id}: {found:?}");
        };
        assert_ne!(finding.severity, Severity::Critical);
        let mended = finding.mended.unwrap_or_else(|| panic!("{id}: not mended"));
        // All of them put it right six seconds after the start.
        assert_eq!(mended, crew::Tick::at(6.0), "{id}");
    }
}
