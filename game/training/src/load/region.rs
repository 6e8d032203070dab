//! `regions/<id>.ron`: the limits that law, a code or a site sets.

use super::parts::{TITLE, origin, words};
use crate::Honesty;
use crate::data::{Cell, Document, Ids, Problems, Reading};
use crate::region::{Limit, Limits, Region};
use crate::text::say;

/// Limits that came after the first recordings, and what holds for a recording from before: the
/// values that the first region had for them when they came (choices of this project).
const LATER: [(&str, f64); 30] = [
    ("pointed_within_m", 5.0),
    ("pointed_live_within_m", 15.0),
    ("pointed_for_s", 0.3),
    ("jet_hazard_m", 10.0),
    ("jet_to_feet_m", 1.0),
    ("walk_with_flow_m_s", 0.3),
    ("catch_within_s", 5.0),
    ("unwatched_s", 3.0),
    ("away_from_tool_m", 2.0),
    ("release_on_cue_s", 1.5),
    ("flush_min_s", 10.0),
    ("over_rating_pct", 3.0),
    ("tank_alarm_c", 45.0),
    ("tank_stop_c", 60.0),
    ("parked_max_s", 120.0),
    ("noise_level_db", 85.0),
    ("noise_hours_h", 8.0),
    ("noise_exchange_db", 3.0),
    ("unprotected_s", 5.0),
    ("damaged_max_pct", 1.0),
    ("hazard_room_pct", 1000.0),
    ("corrected_within_s", 10.0),
    ("trouble_stopped_within_s", 15.0),
    ("defect_found_within_s", 60.0),
    ("starved_s", 5.0),
    ("thrust_jump_max_pct", 15.0),
    ("footing_min_pct", 40.0),
    ("unsound_footing_s", 1.0),
    ("harm_stopped_within_s", 6.0),
    ("kinked_s", 3.0),
];

/// Reads a region; `id` is the name of its file. One `kept` in a recording may lack the limits
/// that came later.
pub(super) fn region(document: &Document, id: &str, kept: bool) -> Result<Region, Problems> {
    let reading = Reading::of(document).kept(kept);
    let read = reading.record("Region", |r| {
        let region = Region {
            id: r.new_id("id", &mut Ids::default()),
            title: r.field("title", |c| words(c, TITLE)),
            limits: r.record("limits", "Limits", |r| {
                Limits::gather(|name, low, high| {
                    let limit = |c: &mut Cell<'_, '_>| limit(c, name, low, high);
                    match LATER.iter().find(|(later, _)| *later == name) {
                        None => r.field(name, limit),
                        Some((_, value)) => r.later(name, limit).unwrap_or_else(|| Limit {
                            value: *value,
                            source: say("data-limit-later", &[]),
                            honesty: Honesty::Practice,
                        }),
                    }
                })
            }),
        };
        let file = vec![("file", id.to_owned())];
        r.check("id", region.id == id, "data-clash-region-file", file);
        region
    });
    read.map(|read| read.value)
}

fn limit(cell: &mut Cell<'_, '_>, name: &'static str, low: f64, high: f64) -> Limit {
    cell.record("Limit", |r| {
        let value = r.field("value", |c| c.named(name).f64(low..=high));
        let origin = origin(r);
        Limit {
            value,
            source: origin.source,
            honesty: origin.honesty,
        }
    })
}
