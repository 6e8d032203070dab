# What the screen after an attempt says. Ids start with `debrief-`.

debrief-leave = To the levels
debrief-again = Play again
debrief-about = { $mode }, { $time } UTC
debrief-about_of = { $name }, { $mode }, { $time } UTC

# What trainees say of themselves
debrief-rating = Before you see what happened: how did you do?
debrief-rating-about = Answer as you would to a friend. The answer is shown beside the facts, goes into no file, and changes no mark. The facts come after it.
debrief-rating-answer = { $number }   { $words }
debrief-rated-alone = I would do this job alone tomorrow.
debrief-rated-with_help = I would do it with somebody beside me.
debrief-rated-not_alone = I would not do it yet.
debrief-said = You said

# Pages
debrief-page-minute = One minute
debrief-page-findings = Findings ({ $count })
debrief-page-work = Work
debrief-page-surface = Surface
debrief-page-papers = Papers

# The card
debrief-verdict-critical = Fails on safety: a critical rule was broken.
debrief-verdict-none_critical = No critical rule was broken.
debrief-verdict-unknown = Not every rule could be assessed.
debrief-first = No. { $number } at { $time }: { $rule }
debrief-seen = Measured: { $value }. Limit: { $limit }.
debrief-look = See it
debrief-look_act = See the act
debrief-from = Try from { $time }
debrief-act = From cue to stop

# Facts
debrief-fell = You fell at { $time }. Look at the seconds before: where the feet stood, and what pushed.
debrief-other_findings = Other findings
debrief-finding_place = No. { $number } at { $time }
debrief-cost = costs { $cost }
debrief-points = { $earned } of { $worth }
debrief-use = { $supply }: { $used } used; the job needs { $needed }.
debrief-use_unknown = { $supply }: not measured; the job needs { $needed }.
debrief-act_taken = { $taken }, allowed { $allowed }

# Replay
debrief-play = Play
debrief-halt = Halt
debrief-place = { $at } of { $until }
debrief-speed = { $times }x
debrief-seen_over = From behind
debrief-seen_own = Own eyes
debrief-from_here = Try from here
debrief-on_its_way = on its way there

# Time line
debrief-panel-pressure = Pressure
debrief-panel-flow = Flow
debrief-panel-thrust = Thrust
debrief-panel-travel_speed = Travel
debrief-panel-stand_off = Stand-off
debrief-curve-pump_pressure = pump
debrief-curve-set_pressure = set
debrief-curve-gauge = needle
debrief-curve-tool_flow = tool
debrief-curve-bypass_flow = bypass
debrief-curve-thrust = tool
debrief-curve-travel_speed = jet
debrief-curve-stand_off = tip
debrief-reading = { $name } { $value }
debrief-nearer = Zoom in
debrief-farther = Zoom out
debrief-lane_stops = Cue to stop

# Surface
debrief-map_now = At the cursor, { $time }
debrief-map_model = Model attempt, end
debrief-key-clean = clean
debrief-key-partly = partly
debrief-key-fouled = fouled
debrief-key-worst = worst tile
debrief-model = The model attempt
debrief-model-under_way = Being played beside this, in a yard of its own …
debrief-model-broke_off = it broke off
debrief-model-failed = It could not be played: { $why }
debrief-model-reached = The model attempt took { $time } and reached: safety { $safety }, coverage { $coverage }, procedure { $procedure }, economy { $economy }.

# Files
debrief-report = Report
debrief-copy = Copy the path
debrief-copied = Copied
debrief-not_copied = This display takes no copy
debrief-how = How it was made
debrief-pace = Slowest second, simulated over real: { $factor }
debrief-body = Name of the attempt (SHA-256 of the recording's body): { $body }
