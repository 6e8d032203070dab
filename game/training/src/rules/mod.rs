//! The rule book: one file a rule, one line a rule in [`RULES`].
//!
//! A rule says what it is called, how much it weighs, where it comes from, how
//! far that source can be trusted and which channels it reads. The referee
//! runs its watch over the observations of an attempt. A rule whose channels
//! are not all there is "not assessable", never passed.
//!
//! A rule is run only where the trainee has a post that answers for what it
//! looks at. What the program's own crew does wrong is no finding of theirs.

mod barrier_open;
mod braced;
mod breach;
mod bypass_share;
mod consents;
pub mod cue;
mod defect_kept_on;
pub(crate) mod flush_before_fitting;
mod hose_bent_tight;
mod intruder;
mod kept_dry;
mod kept_on_after_harm;
pub(crate) mod leak_walk;
mod left_under_pressure;
pub(crate) mod line;
mod line_left_charged;
mod live_hose;
mod not_by_hand;
mod oil_trip_overridden;
mod over_lowest_rating;
pub(crate) mod partner_jolted;
mod pointed_at_feet;
mod pointed_at_person;
mod ppe;
mod prove_zero_before_fitting;
mod pump_unwatched;
pub(crate) mod raise_in_steps;
mod read_back_and_consent;
mod safety_catch;
pub(crate) mod shut_down_order;
mod somebody_hurt;
mod start_unloaded;
mod starved_kept_on;
pub(crate) mod stop_tests;
mod substrate_damaged;
mod tank_hot;
mod tied_trigger;
mod tripped;
mod tripped_with_jet;
mod unprotected_noise;
mod unrestrained_coupling;
mod unsound_footing;
mod walk_with_flow;
mod wound_past_sag;

pub use consents::{Consent, Consents};

use crate::finding::{Finding, Severity};
use crate::{Channel, Honesty, Level, Observation};
use crew::{Seat, Tick};

/// All rules, in the order in which they are listed.
pub static RULES: &[&dyn Rule] = &[
    &start_unloaded::StartUnloaded,
    &prove_zero_before_fitting::ProveZeroBeforeFitting,
    &stop_tests::StopTests,
    &read_back_and_consent::ReadBackAndConsent,
    &raise_in_steps::RaiseInSteps,
    &shut_down_order::ShutDownOrder,
    &flush_before_fitting::FlushBeforeFitting,
    &leak_walk::LeakWalked,
    &over_lowest_rating::OverLowestRating,
    &pump_unwatched::PumpUnwatched,
    &bypass_share::BypassShare,
    &barrier_open::BarrierOpen,
    &ppe::PpeWorn,
    &intruder::IntruderStopped,
    &braced::Braced,
    &not_by_hand::NotByHand,
    &pointed_at_person::PointedAtPerson,
    &pointed_at_feet::PointedAtFeet,
    &walk_with_flow::WalkWithFlow,
    &safety_catch::CatchOn,
    &tied_trigger::TiedTrigger,
    &left_under_pressure::LeftUnderPressure,
    &live_hose::LiveHose,
    &kept_dry::KeptDry,
    &defect_kept_on::DefectKeptOn,
    &wound_past_sag::WoundPastSag,
    &tank_hot::TankHot,
    &unprotected_noise::UnprotectedNoise,
    &substrate_damaged::SubstrateDamaged,
    &starved_kept_on::StarvedKeptOn,
    &partner_jolted::PartnerJolted,
    &line_left_charged::LineLeftCharged,
    &oil_trip_overridden::OilTripOverridden,
    &unrestrained_coupling::UnrestrainedCoupling,
    &somebody_hurt::SomebodyHurt,
    &kept_on_after_harm::KeptOnAfterHarm,
    &unsound_footing::UnsoundFooting,
    &tripped::Tripped,
    &tripped_with_jet::TrippedWithJet,
    &hose_bent_tight::HoseBentTight,
];

/// A rule about what only the hand at the pump does.
pub const PUMP_POST: &[Seat] = &[Seat::PUMP];
/// A rule about what only the hand at the lance does.
pub const LANCE_POST: &[Seat] = &[Seat::LANCE];
/// A rule that either hand answers for: one does it, the other leads it.
pub const BOTH_POSTS: &[Seat] = &[Seat::PUMP, Seat::LANCE];

/// A rule of the book.
pub trait Rule: Sync {
    /// Stable name; never changed once a recording holds a finding of it.
    fn id(&self) -> &'static str;
    /// Raised by one whenever the rule judges differently.
    fn version(&self) -> u32 {
        1
    }
    /// How much breaking it weighs.
    fn severity(&self) -> Severity;
    /// Where it comes from.
    fn source(&self) -> &'static str;
    /// How far the source can be trusted.
    fn honesty(&self) -> Honesty;
    /// The posts that answer for it. It is run only where the trainee has one
    /// of them.
    fn posts(&self) -> &'static [Seat] {
        BOTH_POSTS
    }
    /// The channels it reads.
    fn channels(&self) -> &'static [Channel];
    /// The kinds of finding it can give: ends of text ids under its own.
    fn details(&self) -> &'static [&'static str];
    /// Begins to watch an attempt at a level.
    fn watch(&self, level: &Level) -> Box<dyn Watch>;
}

/// A rule that watches one attempt.
pub trait Watch: Send + Sync {
    /// Sees one tick.
    fn see(&mut self, o: &Observation, found: &mut Found);
}

/// Where a watch puts what it finds.
pub struct Found<'a> {
    rule: &'static dyn Rule,
    findings: &'a mut Vec<Finding>,
}

impl<'a> Found<'a> {
    /// Findings of one rule, added to a list.
    pub fn of(rule: &'static dyn Rule, findings: &'a mut Vec<Finding>) -> Self {
        Found { rule, findings }
    }

    /// Adds a finding of the rule.
    pub fn add(
        &mut self,
        o: &Observation,
        detail: &'static str,
        value: f64,
        limit: f64,
        unit: &'static str,
    ) {
        debug_assert!(self.rule.details().contains(&detail), "{detail}");
        self.findings.push(Finding {
            rule: self.rule.id().to_owned(),
            detail: detail.to_owned(),
            tick: o.tick,
            severity: self.rule.severity(),
            value,
            limit,
            unit: unit.to_owned(),
            mended: None,
        });
    }

    /// Says what the breach last found under this detail came to in the end.
    pub fn came_to(&mut self, detail: &'static str, value: f64) {
        let id = self.rule.id();
        let last = self.findings.iter_mut().rev();
        if let Some(finding) = { last }.find(|f| f.rule == id && f.detail == detail) {
            finding.value = value;
        }
    }

    /// Says that the breach last found under this detail has been over since
    /// `at`. A breach that was not found, or is already told as over, is none.
    pub fn mend(&mut self, at: Tick, detail: &'static str) {
        let id = self.rule.id();
        let last = self.findings.iter_mut().rev();
        if let Some(finding) = { last }.find(|f| f.rule == id && f.detail == detail)
            && finding.mended.is_none()
        {
            finding.mended = Some(at);
        }
    }
}

#[cfg(test)]
mod tests;
