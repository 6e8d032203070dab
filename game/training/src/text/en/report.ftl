# The report and the debrief. Ids start with `report-`.
# Numbers arrive already written; only counts that choose a plural form arrive as numbers.

report-title = Report of a training attempt: { $level }
report-lead = What happened in one attempt in the simulated yard, as measured. Four marks stand side by side and are never added up.
report-foot = Level { $level }, Jetyard { $release }.
report-fact-level = Level
report-fact-version = version
report-fact-seed = seed
report-fact-trainee = Trainee
report-fact-started = Started
report-fact-mode = Sitting
report-fact-device = Device
report-fact-recording = Recording
report-fact-release = Release that ran the attempt
report-fact-wall = Time on the wall
report-fact-pace = Slowest second, simulated over real
report-fact-frames = Pictures
report-frames = { $count }, 99 of 100 within { $p99 } ms
report-trainee = { $name } ({ $code })
report-started = { $time } UTC
report-mode-practice = practice
report-mode-refresher = refresher
report-mode-assessment = assessment

# What a recording is worth
report-status-signed = sealed, signed with key { $by }
report-status-unsigned = sealed, not signed
report-status-seal_broken = seal broken
report-status-unfinished = unfinished
report-status-damaged = damaged
report-warning-body_changed = The attempt was changed after key { $by } is said to have signed it. What follows is not the mark that was signed.
report-warning-envelope_changed = The attempt is as it was signed with key { $by }. Who played it, when and on what was changed afterwards.
report-warning-restarted = Not played in one go: all before { $time } was taken over from another attempt. The marks count what stands there too.
report-warning-unfinished = This recording was cut off at { $time } and never sealed. What follows is what can still be seen, and no mark.
report-warning-damaged = This recording is damaged ({ $why }). Only what lies before { $time } is sound. What follows is no mark.
report-warning-damaged_envelope = What this recording says of who, when and on what is damaged ({ $why }). The attempt itself is sound before { $time }.
report-damage-chain = a part does not follow from the one before it
report-damage-length = a part claims more bytes than there can be
report-damage-kind = a part of no known kind
report-damage-place = a part stands where it cannot stand
report-damage-content = the bytes of a part make no sense
report-damage-bound = a part goes beyond what a recording may hold
report-damage-trailer = something stands behind the seal

# Cautions
report-cautions = Before you read on
report-caution-aid = A training aid: no permit, no certificate and no design tool. No attempt in it is a pass for work.
report-caution-law = Local law, site rules, the maker's instructions and licensed people come first.
report-caution-wound = Any wound from a jet is a hospital case at once, however small it looks.
report-caution-validity = These marks have not been proved against work on real equipment. Use them to talk about the attempt; people decide about people.

# Marks
report-marks = The mark, in four parts
report-objectives = What the level teaches:
report-mark-safety = Safety
report-mark-coverage = Coverage
report-mark-procedure = Procedure
report-mark-economy = Economy
report-about-safety = What rules were broken.
report-about-coverage = How much of the surface was cleaned to grade.
report-about-procedure = How much of the asked order of work was seen.
report-about-economy = Water and fuel against what the job needs, as far as the job was done.
report-of_hundred = of 100
report-not_part = not part of this level
report-not_assessable = not assessable
report-critical = A critical rule was broken: the attempt fails on safety, whatever else was good.

# In one minute
report-minute = In one minute
report-minute-happened = What happened
report-minute-sum = It took { $time }, and then { $ended }. { $critical ->
    [0] Nothing critical
    [one] One critical finding
   *[other] { $critical } critical findings
}, { $major ->
    [0] nothing major
    [one] one major
   *[other] { $major } major
}, { $minor ->
    [0] nothing minor.
    [one] one minor.
   *[other] { $minor } minor.
}
report-minute-talk = Talk about first
report-minute-finding = { $time }, No. { $number }: { $rule }. { $detail } Next time:
report-minute-well = Done well
report-minute-missing = Most was missing at
report-minute-earned = { $step } ({ $seen }).
report-minute-act = Slowest act
report-minute-slowest = { $time }, { $cause }: { $taken }, allowed { $allowed }.
report-minute-again = Again from there

# Findings
report-findings = Findings
report-findings-critical = Critical: each of these can kill or maim at once.
report-findings-other = Other findings. Numbers follow the time of the attempt, as in the chart.
report-no_findings = No rule was broken.
report-no_findings_in_part = No broken rule was seen, but not every rule could be assessed.
report-rules_not_assessable = Not assessable, because the recording lacks what they read:
report-coach = Next time: { $words }
report-source = Source: { $source }. Taken as: { $honesty }.
report-severity-critical = critical
report-severity-major = major
report-severity-minor = minor
report-honesty-published = published source
report-honesty-practice = common practice, no source
report-honesty-memory = from memory, not checked
report-honesty-derived = worked out or chosen here
report-honesty-invented = made up for the exercise
report-open = open
report-shut = shut
report-clipped = clipped
report-loose = loose
report-unhurt = unhurt
report-unit-proofs_of_zero = { $count ->
    [one] proof of zero
   *[other] proofs of zero
}
report-unit-read-backs = { $count ->
    [one] read-back
   *[other] read-backs
}
report-unit-stops_tested = { $count ->
    [one] stop tested
   *[other] stops tested
}
report-unit-places = { $count ->
    [one] place
   *[other] places
}
report-unit-steps = { $count ->
    [one] step
   *[other] steps
}
report-unit-troubles_met = { $count ->
    [one] trouble met
   *[other] troubles met
}
report-unit-closings = { $count ->
    [one] closing
   *[other] closings
}
report-unit-starts = { $count ->
    [one] start
   *[other] starts
}
report-unit-position = (position)
report-unit-trips = { $count ->
    [one] trip
   *[other] trips
}
report-unit-pieces = { $count ->
    [one] piece
   *[other] pieces
}
report-unit-ties = { $count ->
    [one] tie
   *[other] ties
}
report-unit-points = { $count ->
    [one] point
   *[other] points
}

report-column-number = No.
report-column-time = Time
report-column-severity = Severity
report-column-what = What was found
report-column-measured = Measured
report-column-limit = Limit
report-column-cost = Costs
report-cost = { $points } { $unit }
report-cost-all = the whole mark
report-cost-unknown = not known
report-mended = Over at { $time }.
report-cost-halved = Put right and reported in time, so that it costs half.
report-column-step = Step of the work
report-column-asked = Seen, and asked for
report-column-share = Worth
report-column-earned = Earned
report-column-acted = Hand at the lever after
report-column-open = Dump open after
report-column-allowed = Allowed for the hand
report-column-rule = Rule
report-column-version = Version
report-column-source = Source
report-column-honesty = Taken as
report-column-value = Value

# Procedure
report-procedure = Procedure, line by line
report-procedure-about = Points of the procedure's mark; what is earned is cut to a tenth.
report-procedure-not_assessable = Not assessable as a whole: the recording lacks a channel that these lines read.
report-seen = seen
report-no_occasion = there was no occasion; left out of the mark
report-not_seen = not seen
report-not_in_time = not each time in time
report-seen_late = late: { $taken }, allowed { $allowed }
report-seen_and = { $seen }; { $late }
report-seen_of = { $value } { $unit }; asked for: { $wanted }
report-use = { $supply }: { $used } L used; the job needs { $needed } L.
report-use-unknown = { $supply }: not measured; the job needs { $needed } L.
report-use-procedure = Economy counts as far as the procedure was carried out, and to use less than the job needs gains nothing.
report-use-water = Water
report-use-fuel = Fuel
report-use-run_off = Run-off at the work
report-water = Water in all: { $drawn } L from the supply; { $work } L ran off at the work, { $unit } L beside the unit; { $back } L came back to the tank by the bypass.
report-noise = Noise at the ear: { $dose } % of what may be borne in a day.
report-criterion-flushed = Flush the bare line
report-criterion-bore_gauged = Gauge the bore before fitting
report-criterion-stops_tested = Test trigger, dump and emergency stop
report-criterion-leak_walk = Walk the line at the first low step
report-criterion-steps_held = Hold each step
report-criterion-hold = Hold the job's pressure
report-criterion-dumped_on_call = Dump when called
report-criterion-cooled = Cool the engine at idle
report-criterion-left_safe = Leave the unit safe
report-criterion-cleaned = Clean the surface to grade
report-criterion-test_patch = Work a test patch at low pressure and look at it
report-criterion-stand_off_kept = Keep the stand-off of the nozzle's table
report-criterion-nozzle_changed = Clean with the nozzle of the job
report-criterion-stopped_for_intruder = Stop each time somebody walks in
report-criterion-lance_left_safe = Leave the lance safe
report-criterion-partnered = Let the second tool shut without a jolt to whoever holds the lance
report-criterion-restrained = Clip every whip restraint before there is pressure
report-criterion-stopped_for_parted = Stop the pump when the hose parts
report-criterion-trouble_met = Take the pressure away when a part fails, and tag the part out

# Chart
report-chart = The attempt over time
report-chart-title = The attempt over time
report-chart-desc = Bars show the phases, when the engine ran, when the pump fed the line, when a nozzle was on the lance, and when the trigger was squeezed and the lance braced. Below them stand calls and acts, then what was measured, up to { $until } after the start. Numbered findings are links to their rows.
report-chart-most = Greatest { $name }: { $most }.
report-chart-pressure = Pressure, { $unit }
report-chart-flow = Flow, { $unit }
report-chart-thrust = Thrust, { $unit }
report-chart-stand_off = Stand-off, { $unit }
report-chart-travel_speed = Travel speed, { $unit }
report-chart-wanted = stand-off of the job sheet
report-chart-table = stand-off by the table of the nozzle on the lance
report-chart-nothing = not in this recording
report-chart-time = time, minutes and seconds
report-series-pump_pressure = pressure at the pump
report-series-set_pressure = pressure set at the regulator
report-series-gauge = needle of the gauge
report-series-tool_flow = flow out of the tool
report-series-bypass_flow = flow through the bypass
report-series-thrust = thrust on the tool
report-series-stand_off = stand-off from tip to surface
report-series-travel_speed = travel of the jet along the surface
report-band = from least to greatest
report-state-engine_runs = Engine runs
report-state-line_fed = Line is fed
report-state-nozzle_on = Nozzle on
report-state-squeezed = Trigger
report-state-braced = Braced
report-state-barrier_closed = Barrier closed
report-state-intruder = Intruder
report-lane-findings = Findings
report-lane-pump_calls = Pump calls
report-lane-lance_calls = Lance calls
report-lane-other_calls = Other calls
report-lane-handling = Handling
report-lane-phases = Phase
report-phase-prepare = Preparing
report-phase-pressure = Under pressure
report-phase-clean = Cleaning
report-phase-finish = Ending
report-lane-acts = Acts
report-glyph-pump_call = call of the pump hand
report-glyph-lance_call = call of the lance hand
report-glyph-dump_opened = dump opened
report-glyph-dump_shut = dump shut
report-glyph-engine_ran = engine ran
report-glyph-engine_stood = engine stood
report-glyph-emergency_stop = emergency stop struck
report-glyph-nozzle = nozzle laid out, gauged, fitted or taken off
report-glyph-other_call = call of somebody else
report-glyph-tool_down = tool laid down or dropped
report-glyph-tool_up = tool taken up
report-glyph-wear = equipment put on or taken off
report-glyph-barrier_closed = barrier closed
report-glyph-barrier_opened = barrier opened
report-glyph-person = step, slip, fall, or a blow of the tool
report-glyph-bookmark = mark set

# Acts
report-troubles = What failed, and who came to harm
report-coupling-pump = the coupling at the pump
report-coupling-gun = the coupling at the gun
report-parted-held = { $time }: { $coupling } let go, and its whip restraint held the end.
report-parted-broke = { $time }: { $coupling } let go, its whip restraint gave way, and the end was loose.
report-parted-loose = { $time }: { $coupling } let go, and nothing held the end.
report-harm = { $time }: the { $who } was { $what }: { $how }. { $next }
report-help-bruise = Somebody looks at it before the work goes on.
report-help-water = A wound by water is a case for the hospital at once, like a gunshot, however small it looks: water off, press on the wound, call, and send the card with pressure, water and additives along.
report-help-blow = Water off before anybody goes near; then help, call, and leave everything as it lies.
report-help-fall = Water off, do not move whoever lies there without need, and call.
report-trouble-stopped = { $time }: { $what }. The pump stopped feeding the line after { $seconds } s.
report-trouble-kept_on = { $time }: { $what }. The pump never stopped feeding the line.
report-trouble-unfelt = { $time }: { $what }. There was no pressure then or later.
report-tags = Tagged out: { $tags }.
report-tags-none = Nothing was tagged out.
report-tag-right = { $part } ({ $time }, right)
report-tag-wrong = { $part } ({ $time }, not it)
report-acts = From cue to act
report-acts-pump = At the pump: from the end of a call, or from the moment in which somebody could be seen, to the hand that opens the dump or strikes the emergency stop, and to the open dump.
report-acts-lance = At the lance: from the end of a call, or from the moment in which somebody could be seen, to the trigger let go.
report-acts-none = While there was water to stop, nobody else called for a stop and nobody walked in.
report-acts-own = While there was water to stop, nobody but the trainee called for a stop ({ $times }), and nobody walked in.
report-never = never
report-in_time = in time
report-too_late = too late
report-cause-heard = Heard: “{ $call }”
report-cause-intruder = Seen: somebody in the zone
report-column-cause = Cause
report-column-in_time = Verdict
report-column-released = Trigger let go after
report-handling = Tool, nozzles, equipment, whip restraints and barrier

# Surface
report-surface = The surface
report-surface-met = { $clean } % of the surface is clean; the grade is { $grade } %, and it is met.
report-surface-not_met = { $clean } % of the surface is clean; the grade is { $grade } %, and it is not met.
report-surface-counted = Of that the mark for coverage counts { $counted } %: what was cleaned while something critical was found counts for nothing.
report-surface-size = The surface is { $width } m wide and { $height } m high.
report-surface-worst = The worst tile reaches from { $left } to { $right } m across and from { $low } to { $high } m up, and is clean to { $clean } %.
report-surface-damaged = { $damaged } % of the surface is damaged under its deposits; allowed: { $most } %.
report-surface-tiles = { $below ->
    [0] None of the { $all } tiles is below the grade.
    [one] One of the { $all } tiles is below the grade.
   *[other] { $below } of the { $all } tiles are below the grade.
}
report-map-title = Maps of the surface
report-map-desc = At { $time }: { $clean } % clean.
report-map-before = Before
report-map-half = Half of the time, { $time }
report-map-after = After, { $time }
report-map-clean = { $clean } % clean
report-map-metres = metres across and up, as one faces it
report-map-key-clean = clean (light)
report-map-key-partly = partly clean (striped)
report-map-key-fouled = fouled (dark)
report-map-key-damaged = damaged under its deposit
report-map-key-worst = worst tile

# How the mark was made
report-how = How this mark was made
report-how-mark = { $rules ->
    [one] One rule for this post
   *[other] { $rules } rules for this post
} watched the measured values of the attempt, each a whole number of its smallest step. The same recording gives the same mark on every machine, without the simulated yard.
report-how-ended = The attempt took { $time } and ended so: { $ended }.
report-how-restarted = It was taken up at { $time } from another attempt, { $body }; what stands before that moment was played there and is copied here.
report-how-again = To make the mark again, to run the attempt again, and to write this report again:
report-body = Name of the attempt (SHA-256 of the recording's body):
report-body-none = The body of the recording is not whole, so that the attempt has no name that could be checked.
report-book-about = The rule book. A version goes up when the rule judges differently.
report-ended-handed_back = the job was handed back
report-ended-time_limit = the time was up
report-ended-stopped = it was broken off before the end
report-ended-stuck = the script could not go on

report-limits = Limits used
report-limits-region = Those of the job sheet, and those of the region “{ $region }”.
report-limits-about = Numbers that law, a code or the site sets, and where each one comes from.
report-limits-job_source = the job sheet of the level; what is not counted above its pressure, of the region
report-limit-job_bar = Pressure of the job
report-limit-job_most_bar = Pressure above which that of the job counts as exceeded
report-limit-start_set_pressure_max_bar = Set pressure at the start of the engine, at most
report-limit-start_throttle_max_pct = Throttle at the start of the engine, at most
report-limit-danger_bar = Pressure from which a jet can hurt
report-limit-zero_bar = Pressure up to which a line counts as empty
report-limit-stop_test_max_bar = Pressure before all stops are tested, at most
report-limit-tool_stopped_within_s = Time until the tool is without thrust
report-limit-tool_stopped_thrust_share_pct = Share of the thrust that counts as without
report-limit-consent_valid_s = How long a consent holds
report-limit-read_back_valid_s = How long a read-back holds
report-limit-step_share_max_pct = One step of pressure, share of the job's pressure
report-limit-step_hold_s = How long a step is held
report-limit-step_steady_pct = How far a held step may wander
report-limit-cool_idle_s = How long the engine idles before it is stopped
report-limit-cool_throttle_max_pct = Throttle that counts as idling, at most
report-limit-dump_on_call_s = Time to the dump once it is called for
report-limit-braced_above_n = Thrust above which the tool is braced to the body
report-limit-never_above_n = Thrust above which no tool is held by hand
report-limit-relief_over_kit_max_pct = Relief above the kit's highest pressure, at most
report-limit-bypass_share_max_pct = Share of the flow that may be bypassed, at most
report-limit-pointed_within_m = Pointing at somebody without water counts within
report-limit-pointed_live_within_m = The same while the line is under pressure
report-limit-pointed_for_s = How long the tool may point at somebody
report-limit-jet_hazard_m = Distance that a running jet is kept from people
report-limit-jet_to_feet_m = Distance of a running jet from one's own feet, at least
report-limit-walk_with_flow_m_s = Walking with the jet running, at most
report-limit-catch_within_s = Time until the safety catch is on once the trigger is let go
report-limit-unwatched_s = How long a live pump may be out of reach
report-limit-away_from_tool_m = Distance from a tool under pressure that is not in the hands, at most
report-limit-release_on_cue_s = Time until the trigger is let go once there is cause
report-limit-flush_min_s = How long the line is flushed before a nozzle is fitted
report-limit-over_rating_pct = Pressure above the lowest rating, or above the job's, that is not counted
report-limit-tank_alarm_c = Water in the tank at which the pump is unloaded
report-limit-tank_stop_c = Water in the tank at which the pump feeds nothing any more
report-limit-parked_max_s = How long a line may stand at pressure behind a shut gun
report-limit-noise_level_db = Level at the ear from which ear defenders are worn, dB(A)
report-limit-noise_hours_h = How long that level may be borne in a day, hours
report-limit-noise_exchange_db = So much more halves that time, dB
report-limit-unprotected_s = How long one may be above that level without ear defenders
report-limit-damaged_max_pct = Share of the surface that may be damaged, at most
report-limit-hazard_room_pct = Distance kept from a running jet over that at which it goes through skin
report-limit-thrust_jump_max_pct = How much the push of a jet may change when the other tool opens or shuts
report-limit-footing_min_pct = Friction under the feet of somebody who holds a jet, at least
report-limit-unsound_footing_s = How long somebody may stand on less than that with a jet
report-limit-harm_stopped_within_s = Time in which the pump stops feeding the line once somebody is hurt or the hose has parted
report-limit-kinked_s = How long a hose under pressure may be bent too tightly
report-limit-starved_s = How long a starving pump may be kept at work
report-limit-corrected_within_s = Time in which a mistake that is put right and reported costs half
report-limit-trouble_stopped_within_s = Time under pressure after a part has failed in a way that shows at once, at most
report-limit-defect_found_within_s = Time at more than test pressure with a part out of order that only a test shows, at most
report-limit-deduction_major = What a major finding costs
report-limit-deduction_minor = What a minor finding costs

# Log
report-log = What was said and done
report-log-said = { $who }: “{ $call }”
report-log-moved = { $who } turned { $control }
report-moved-supply-0 = { $who } shut the supply
report-moved-supply-1 = { $who } opened the supply
report-moved-air_bleed-0 = { $who } shut the air cock
report-moved-air_bleed-1 = { $who } opened the air cock
report-moved-key-0 = { $who } turned the key off
report-moved-key-1 = { $who } turned the key on
report-moved-key-2 = { $who } turned the key to start
report-moved-dump-0 = { $who } shut the dump
report-moved-dump-1 = { $who } opened the dump
report-moved-emergency_stop-0 = { $who } reset the emergency stop
report-moved-emergency_stop-1 = { $who } struck the emergency stop
report-moved-bleed-0 = { $who } shut the bleed valve
report-moved-bleed-1 = { $who } opened the bleed valve
report-moved-barrier-0 = { $who } opened the gate of the barrier
report-moved-barrier-1 = { $who } closed the gate of the barrier
report-moved-pump_restraint-0 = { $who } unclipped the whip restraint at the pump
report-moved-pump_restraint-1 = { $who } clipped the whip restraint at the pump
report-moved-gun_restraint-0 = { $who } unclipped the whip restraint at the gun
report-moved-gun_restraint-1 = { $who } clipped the whip restraint at the gun
report-log-cranked = the starter turned
report-log-engine_ran = the engine ran
report-log-engine_stood = the engine stood
report-log-began = { $who } began to { $task }
report-log-finished = { $who } was done: { $task }
report-log-broke_off = { $who } left off: { $task }
report-log-disc = the burst disc tore
report-log-relief = the relief valve lifted
report-log-stepped = { $who } had to take a step
report-log-slipped = { $who } slipped
report-log-fell = { $who } fell
report-log-refused = { $who } could not: { $why }
report-log-laid_down = { $who } laid the tool down
report-log-dropped = { $who } dropped the tool
report-log-took_up = { $who } took the tool up
report-log-chose = { $who } laid out nozzle { $nozzle }
report-log-put_on = { $who } put on: { $item }
report-log-took_off = { $who } took off: { $item }
report-log-failed = out of order from here on: { $what }
report-log-mended = as new again: { $what }
report-log-tagged_out = { $who } hung a tag on { $part }: out of order
report-log-parted_pump = the coupling at the pump let go
report-log-parted_gun = the coupling at the gun let go
report-log-held_pump = the whip restraint at the pump held
report-log-held_gun = the whip restraint at the gun held
report-log-broke_pump = the whip restraint at the pump gave way
report-log-broke_gun = the whip restraint at the gun gave way
report-log-tripped = { $who } tripped
report-log-lost_hold = the tool tore itself out of the { $who }'s hands
report-log-kinked = the hose was bent too tightly
report-log-hurt = { $who } was { $what }: { $how }
report-hurt-by-jet = struck by the jet
report-hurt-by-spray = struck by water from a hole or a torn end
report-hurt-by-hose = struck by the end of the hose
report-hurt-by-tool = struck by the tool
report-hurt-by-fall = hurt in a fall
report-hurt-by-drop = hurt in a fall from a height
report-hurt-grade-bruise = a bruise
report-hurt-grade-injury = an injury for the hospital
report-hurt-grade-grave = in danger of life or limb
report-log-struck = the tool of the { $who } struck something
report-ppe-helmet = helmet
report-ppe-visor = visor and goggles
report-ppe-ear_defenders = ear defenders
report-ppe-gloves = gloves
report-ppe-suit = waterproof suit
report-ppe-boots = safety boots
report-log-bookmark = a mark was set
report-log-handed_back = the job was handed back
report-who-pump = pump hand
report-who-lance = lance hand
report-who-watch = watch
report-who-visitor = visitor
report-who-mate = mate
report-who-other = another
report-task-gauge_bore = gauge the bore of the nozzle
report-task-fit_nozzle = fit the nozzle
report-task-remove_nozzle = take the nozzle off
report-refusal-out_of_reach = out of reach
report-refusal-hands_busy = hands busy
report-refusal-nothing_held = nothing in the hand
report-refusal-wrong_way = it does not move that way
report-refusal-end_of_travel = at the end of its travel
report-refusal-fallen = on the ground
report-refusal-no_tool = no tool at this post
report-refusal-not_there = not there to be worked on
report-refusal-speaking = still speaking
report-refusal-over = the attempt is over
report-refusal-catch_on = the safety catch is on
report-refusal-tool_not_held = the tool is not in the hands
report-refusal-tool_in_hands = the tool is in the hands

report-remarks = Instructor's remarks and decision
report-remarks-about = What the trainee says of the attempt belongs here too. Remarks are no part of the recording and change no mark.
report-signature-name = Name
report-signature-date = Date
report-signature = Signature
