# What the window says: screens, the display in the yard, settings. Ids start with `scene-`.

scene-window = Jetyard
scene-no_level = No level is chosen.
scene-no_picture = No picture came for { $path }.
scene-back = Back
scene-percent = { $number } %
scene-degrees = { $number }°
scene-from_to = { $from } to { $to }

# Title
scene-title-job = Practise high-pressure water jetting at the pump and at the lance, before the water is real.
scene-title-start = Start
scene-title-settings = Settings
scene-title-quit = Quit
scene-title-release = Release { $release }
scene-title-cautions = Before you begin
scene-title-caution-kill = The work shown here can maim and kill. A jet goes through gloves, boots and skin in an instant.
scene-title-caution-licence = This simulator does not replace training under licensed people, and no mark in it is a permit to work.
scene-title-caution-law = Local law, site rules and the maker's instructions come first, always.

# Choice
scene-choice-title = Who plays, and what
scene-choice-who = Trainee
scene-choice-name = Name or code
scene-choice-remember = Remember it on this machine
scene-choice-mode = Sitting
scene-choice-about = { $post } · from { $minutes } min · { $pressure }
scene-choice-open = Open the job sheet
scene-choice-refused = A level cannot be played
scene-choice-no_levels = There is no level to play.
scene-post-pump = At the pump
scene-post-lance = At the lance
scene-mode-practice = Practice
scene-mode-practice-about = You are shown the next step and told of mistakes as you make them. You may halt, and afterwards try again from any moment of it.
scene-mode-refresher = Refresher
scene-mode-refresher-about = For those who know the work: the same help is there, and the marks are kept to be set beside your last ones.
scene-mode-assessment = Assessment
scene-mode-assessment-about = No help and no hints. Halting is marked on the time line. Findings are told afterwards.

# Job sheet
scene-sheet-no_name = no name given
scene-sheet-about = { $trainee } · { $mode } · { $post }
scene-sheet-begin = Accept and begin
scene-sheet-accept = I have read the job sheet and the hazards, and I accept the job.
scene-sheet-checking = The physics is being held against its references. A moment.
scene-sheet-unproven = Nobody can be assessed with this build: what this level depends on does not meet its references ({ $failing }). Practice goes on. The command "qualify" shows it in full.
scene-sheet-law = Limits are those of an invented site. At real work, local law and licensed practice hold.
scene-sheet-briefing = Briefing
scene-sheet-hazards = What can hurt you
scene-sheet-objectives = What you learn
scene-sheet-criteria = What is measured, and its share of the mark for procedure
scene-sheet-limits = Limits that you work within
scene-sheet-limits_of = { $region }. Broken rules are marked apart, under safety.
scene-sheet-nozzles = Nozzles at the lance post
scene-sheet-nozzle = Nozzle
scene-sheet-bore = Bore
scene-sheet-stand_off = Stand-off by its table
scene-sheet-nozzle_note = The job asks for the one in amber. Gauge the bore before you trust a tag.
scene-sheet-time = Expected to take { $expected }; over at { $limit } at the latest.

scene-asked-flushed = Water runs from the bare hose end for { $seconds } s before a nozzle is fitted.
scene-asked-bore_gauged = The bore is gauged before the nozzle goes on.
scene-asked-stops_tested = Each of them is seen to stop the jet at low pressure.
scene-asked-stops_given = Tested before you came, and counted as yours: { $stops }.
scene-stop-trigger = the trigger
scene-stop-dump = the dump
scene-stop-emergency_stop = the emergency stop
scene-asked-leak_walk = { $count ->
    [one] You walk past one place along the line at the first low step, before the pressure goes up.
   *[other] You walk past { $count } places along the line at the first low step, before the pressure goes up.
}
scene-asked-steps_held = { $count ->
    [one] One step of pressure is held steady for { $seconds } s.
   *[other] { $count } equal steps up to the job's pressure are held steady for { $seconds } s each.
}
scene-asked-hold = The needle stays within { $within } % of { $pressure } for { $seconds } s in all.
scene-asked-dumped_on_call = The dump is open within { $seconds } s of the call.
scene-asked-cooled = The engine idles without load for { $seconds } s before it is stopped.
scene-asked-left_safe = Engine standing, line empty, dump and bleed open, supply shut, key off.
scene-asked-cleaned = { $percent } % of the surface is clean at the end.
scene-asked-test_patch = A patch is worked at { $pressure } at most, then looked at for { $seconds } s with the trigger let go.
scene-asked-stand_off_kept = For { $percent } % of the time on the surface the tip is as far away as the table says.
scene-asked-nozzle_changed = The surface is cleaned with the job's nozzle on the lance.
scene-asked-stopped_for_intruder = The trigger is let go within { $seconds } s each time somebody walks in.
scene-asked-partnered = While the lance works, the second tool is let go { $count } times, and the push on the lance hand does not jump.
scene-asked-restrained = Every whip restraint is clipped on both sides of its coupling before there is pressure for the first time.
scene-asked-stopped_for_parted = When the hose parts, the pump no longer feeds it after { $seconds } s at most, and nobody is hurt.
scene-asked-trouble_met = When a part fails, the pressure is gone after { $seconds } s at most, the right part is tagged after two wrong guesses at most, and it is not used again. Late is worth half.
scene-asked-lance_left_safe = Line proved at zero, safety catch on, lance laid down or in its stand.

# Over the view of the yard
scene-hud-stance-normal = Standing
scene-hud-stance-wide = Wide stance
scene-hud-stance-staggered = Staggered stance
scene-hud-stance-crouched = Crouched
scene-hud-fallen = You are down
scene-hud-struck-jet = The jet hit you
scene-hud-struck-spray = Water from the hose hit you
scene-hud-struck-hose = The end of the hose struck you
scene-hud-struck-tool = The lance struck you
scene-hud-struck-fall = You fell hard
scene-hud-struck-drop = You fell from the edge
scene-hud-hurt-bruise = You are bruised
scene-hud-hurt-injury = You are hurt: this needs a doctor
scene-hud-hurt-grave = You are badly hurt: help is called
scene-hud-underfoot = Slippery underfoot: { $what }
scene-hud-stepped = Pushed into a step: let go, stand, brace anew
scene-hud-braced = Lance braced
scene-hud-bracing = Bracing
scene-hud-not_braced = Lance not braced
scene-hud-catch_on = Safety catch on
scene-hud-catch_off = Safety catch off
scene-hud-stand_off = Stand-off { $length }
scene-hud-arms_in = {" "}(arms at end: step back)
scene-hud-arms_out = {" "}(arms at end: step nearer)
scene-hud-stand_off_near = Stand-off { $length }: too near
scene-hud-stand_off_far = Stand-off { $length }: too far
scene-hud-stand_off_weak = Stand-off { $length }: too weak here for { $coat }
scene-hud-touches = Tip touches: step or draw back
scene-hud-touches_in = Tip touches: step back
scene-hud-stop = All stop! Let go.
scene-hud-away = The dump is out of reach: a pump under pressure is watched
scene-hud-held = { $held } of { $of } s
scene-hud-clean = { $clean } % clean, { $wanted } % wanted
scene-hud-fallen-on = The work is over. Open the menu and end here; from the debrief you can try again from a moment before.
scene-hud-in_stand = Lance in its stand
scene-hud-laid_down = Lance on the ground
scene-hud-in_hand = In hand: { $control }
scene-hud-hose = Holding the hose
scene-hud-strength = Strength
scene-hud-speaker = { $who }:
scene-hud-step = Step { $number } of { $of }
scene-hud-left = { $time } left
scene-hud-word_asked = "{ $call }": said, not read back yet
scene-hud-word_no_change = "{ $call }": answered "{ $by }": it stays as it is
scene-hud-word_refused = "{ $call }": answered "{ $by }"
scene-hud-word_holds = "{ $call }": read back, good for { $seconds } s more
scene-hud-gauge = Gauge { $pressure }
scene-hud-inlet = Inlet { $amount }
scene-hud-line = Second line { $amount }
scene-hud-oil = Oil { $amount }
scene-hud-tank = Tank { $amount }
scene-hud-guard = Oil guard: engine stopped
scene-hud-walk = walk
scene-hud-call = Call: point, or a number
scene-hud-tag_out = Out of order: point, or a number
scene-hud-unsaid = Nothing was said. Hold { $key } and pick a number, or point and let go.
scene-hud-untagged = No tag was hung. Hold { $key } and pick a number, or point and let go.
scene-hud-fold = { $key } folds it up. The work goes on behind it.

# Pictures for the papers
scene-no_moment = A moment that is to be pictured never comes in its attempt.

# Halted
scene-pause-title = Halted
scene-pause-about = The yard stands still. Your hands have let go of the trigger and of every control.
scene-pause-lost_focus = The window lost the focus, so your hands let go and the yard stands still.
scene-pause-taken_up = The attempt is taken up here, and the yard waits for you. Hold what you want held, and go on: whatever was in a hand was let go, a trigger too.
scene-pause-marked = This is an assessment: the halt is marked on the time line.
scene-pause-go_on = Go on
scene-pause-sheet = Job sheet
scene-pause-settings = Settings
scene-pause-anew = Start anew
scene-pause-end = End here and see the debrief
scene-pause-leave = Leave
scene-pause-stays = What was recorded so far stays in its file, unfinished and without a mark.

# A notice
scene-notice-title = Please read
scene-notice-read = I have read it

# Settings
scene-settings-title = Settings
scene-settings-on = on
scene-settings-off = off
scene-settings-part-picture = Picture
scene-settings-part-sound = Sound
scene-settings-part-hands = Hands
scene-settings-part-keys = Keys
scene-settings-units = Units
scene-settings-units-about = What screens show. Everything is measured in metric units.
scene-settings-units-metric = bar, L/min, N
scene-settings-units-us = psi, gpm, lbf
scene-settings-text_scale = Size of text
scene-settings-text_scale-about = Of all that is written.
scene-settings-quality = Detail
scene-settings-quality-about = Low draws less and faster. No mark depends on it.
scene-settings-quality-low = low
scene-settings-quality-high = high
scene-settings-view = Angle of view
scene-settings-view-about = From the lower to the upper edge.
scene-settings-sway = Sway of the view
scene-settings-sway-about = Less is easier on the stomach. The body sways all the same.
scene-settings-fullscreen = Full screen
scene-settings-fullscreen-about = The window covers the whole screen.
scene-settings-loudness = Loudness
scene-settings-loudness-about = Of everything.
scene-settings-voices = Voices
scene-settings-voices-about = Of the crew, beside everything else.
scene-settings-captions = Captions
scene-settings-captions-about = What is heard is written out, noises as well.
scene-settings-mouse = Speed of the mouse
scene-settings-mouse-about = How far a look turns for one count of the mouse, in tenths of a milliradian.
scene-settings-invert = Up and down swapped
scene-settings-invert-about = Pushing the mouse ahead looks down.
scene-settings-toggles = Press once instead of holding
scene-settings-toggles-about = For hurrying, stances, bracing and looking round. Never for the trigger: one that stays by itself is a tied trigger.
scene-settings-follows = Arms work by themselves
scene-settings-follows-about = Before a flat surface the arms keep the stand-off you have set and hold the lance level, and with the lance braced you stand square behind it. Off: every move is yours.
scene-settings-keys-about = Pick a key to change it, or + to add one. A key does one thing only: it is taken away from what it did before.
scene-settings-keys-press = Press a key or a button for “{ $deed }”. Escape leaves it as it is.
scene-settings-keys-waits = press …
scene-settings-keys-none = no key
scene-settings-keys-more = Add a key
scene-settings-keys-held = always held, never toggled
scene-settings-keys-bound = “{ $deed }” is now on { $key } too.
scene-settings-keys-changed = “{ $deed }” is now on { $key } instead of { $old }.
scene-settings-keys-taken = “{ $deed }” is now on { $key }, which was taken away from “{ $was }”.
scene-settings-keys-not_this = That key cannot be bound to anything.
scene-settings-keys-reset = All keys as they come
scene-settings-keys-were_reset = All keys are as they come.
scene-settings-one_binding = one line binds one thing: give key, mouse or pad

# What is read on a thing that is held close
scene-tag-none = There is nothing to read on it.
scene-tag-board = Here the job is handed back: hold { $key } for a moment once it is done and everything is left safe.
scene-tag-nozzle = Stamped
scene-tag-bore = Bore, new
scene-tag-gauged = The gauge reads
scene-tag-stand_off = Stand-off
scene-tag-rating = Working pressure, at most
scene-tag-length = Length
scene-tag-proof = Proof test
scene-tag-kit = Kit, at most
scene-tag-end = Fitted
scene-tag-end-bare = nothing; the end is bare
scene-tag-catch = Safety catch
scene-tag-catch-on = on
scene-tag-catch-off = off
scene-tag-inlet = Inlet of the pump
scene-tag-oil = Oil of the power end
scene-tag-tank = Water in the tank
scene-tag-guard = Oil guard
scene-tag-line = Pressure behind the second cock
scene-dials-oil = { $pressure }, { $heat }
scene-dials-guard-off = has not stopped the engine
scene-dials-guard-stopped = has stopped the engine
