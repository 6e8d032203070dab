# The command line: help, progress, results, refusals. Ids start with `cli-`.

cli-help-about = A training simulator for people who operate high-pressure water jetting equipment
cli-help-after = Training aid: not a permit, a certificate or a design tool. Local law, site rules, the maker's instructions and licensed people come first.
    Exit codes: 0 fine, 1 findings or a difference, 2 bad input.
cli-help-run = Plays an attempt at a level without a window, and marks it
cli-help-level = Name of a level, such as 01_first_pressure
cli-help-script = Script to follow: one of the level's own by name, or a file
cli-help-bot = Who follows the model script: steady, human, hasty or idle
cli-help-seed = Seed of the attempt; the level's own if not given
cli-help-out = Folder for the recording and the report
cli-help-key = File of the signing key; a protected one is opened by the passphrase in JETYARD_PASSPHRASE
cli-help-from = Takes up the attempt of this recording instead of beginning anew
cli-help-at = Moment at which it is taken up: seconds, or mark:N for a bookmark
cli-help-fault = Let a part fail: its name, how much, and how many seconds after the start; may be given several times
cli-help-json = Prints data instead of words
cli-help-stats = Prints how fast it ran, and what each part of a tick cost
cli-help-mark = Makes the mark of a recording again, from nothing but the recording
cli-help-recording = File of a recording
cli-help-replay = Runs a recording's inputs again and compares every tick
cli-help-to = Goes to this moment only, by the nearest keyframe: seconds, or mark:N for a bookmark
cli-help-report = Writes the report of a recording
cli-help-report_out = File of the report (HTML)
cli-help-check = Checks levels, scripts, catalogue and regions without running anything
cli-help-check_path = Files or folders; all data if not given. With --sensitivity levels by name or folder; all levels if not given
cli-help-sensitivity = Plays each level's model script with every number that is known only within a range at both its ends, and prints which marks turn on one
cli-help-only = Sweeps this number alone
cli-help-jobs = Plays so many attempts at a time; as many as there are cores if not given
cli-help-rules = Lists the rule book
cli-help-qualify = Runs every check of the physics against values from outside, and prints the table
cli-help-qualify_out = Folder for the table as a page (qualification.html) and as data (qualification.json)
cli-help-key_command = Makes and shows the key that seals are signed with
cli-help-key_new = Makes a new signing key
cli-help-key_show = Shows whose key a file holds
cli-help-key_out = File of the new key; never one that is there already
cli-help-key_stick = Without a passphrase, for a key that is kept on the instructor's stick

cli-caution = Training aid only: no attempt is a pass for work. Any jet wound is a hospital case at once.
cli-no_window = This build has no window, so the model attempt is played without one.
cli-no_display = There is no display to open a window on, so the model attempt is played without one.
cli-no_adapter = There is no graphics adapter with a Vulkan driver (Debian: mesa-vulkan-drivers), so nothing can be drawn.
cli-window_slowly = The processor draws here, because there is no graphics card with a Vulkan driver: pictures come slowly and the yard goes slowly with them.
cli-adapter_lost = The graphics adapter was lost. What was recorded so far lies in { $folder }.
cli-shots-taken = { $path }
cli-bad_size = { $value } is no size: give width x height in pixels, each from 64 to 8192, such as 1280x720
cli-help-play = Opens the game at the job sheet of a level
cli-help-shots = Makes the standard pictures of every screen and level, without a window
cli-help-shots_folder = Folder for the pictures
cli-help-size = Size of a picture, such as 1280x720
cli-help-only_shots = Only pictures whose names begin like this
cli-help-low = Draws little, as for integrated graphics
cli-help-frames = Measures how quickly this machine draws, against a bare scene
cli-help-count = Number of pictures that are timed, 10 to 10000
cli-plays_model = Model attempt of “{ $level }”, played by the program:
cli-no_levels = There is no level to play.
cli-unknown_bot = --bot { $name }: there is no bot of this name; there are { $known }.
cli-unknown_fault = --fault { $value }: there is no fault of this name; there are { $known }.
cli-bad_fault = --fault { $value }: write the name of a fault, its amount behind = and the seconds from the start behind @, as in strainer_fouled=80@120.
cli-too_much_fault = --fault { $value }: the amount may be 0 to { $most } { $unit }.
cli-late_fault = --fault { $value }: the time may be 0 to { $latest } seconds.
cli-bad_moment = { $value } is no moment of this recording: give seconds from its start, or mark:N for the Nth bookmark.
cli-from_another_level = { $file }: a recording of { $other }, and not of { $level }: an attempt is taken up at its own level.
cli-from_needs_a_window = There is no window here to go on by hand in. The command "run" takes the same recording up without one, played by a bot.
cli-not_written = { $path } cannot be written: { $reason }
cli-not_read = { $path } cannot be read: { $reason }
cli-no_end = The recording has no end, and an unfinished attempt is never a mark.

cli-progress-run = playing: { $time } s of the attempt
cli-progress-sensitivity = { $level }: { $done } of { $plays } plays
cli-progress-replay = comparing: { $time } s of the attempt

cli-run-recording = Recording: { $path }
cli-run-report = Report: { $path }

cli-mark-heading = Mark of { $level } (four parts, never added up)
cli-mark-safety = safety
cli-mark-coverage = coverage
cli-mark-procedure = procedure
cli-mark-economy = economy
cli-mark-not_part = nothing to be cleaned in this level
cli-mark-not_assessable = not assessable
cli-mark-criterion = { "    " }{ $name }: { $seen }
cli-mark-no_findings = No findings.
cli-mark-findings =
    { $count ->
        [one] One finding:
       *[other] { $count } findings:
    }
cli-mark-finding = { $time } s, { $severity }: { $rule }. { $detail } Measured { $value }, limit { $limit }.
cli-mark-rule_not_assessable = Not assessable, because the recording lacks a channel: { $rule }

cli-severity-critical = critical
cli-severity-major = major
cli-severity-minor = minor

cli-status-sealed = The recording is sealed; nobody has signed it.
cli-status-signed = The recording is sealed and signed with the key { $by }.
cli-status-seal_broken = The seal does not fit: somebody changed what was signed with the key { $by }.
cli-status-unfinished = The attempt is unfinished: it was cut off at { $until } s and never sealed. An unfinished attempt is never a mark.
cli-status-damaged = The recording is damaged at frame { $frame }: { $why }. What lies before { $after } s is still good. A damaged attempt is never a mark.

cli-damage-chain = it does not follow from the frame before it
cli-damage-length = its length cannot be right
cli-damage-kind = it is of no known kind
cli-damage-place = it comes out of turn
cli-damage-content = its content makes no sense
cli-damage-bound = it holds more than any recording does
cli-damage-trailer = the last bytes are not those of a sealed recording

cli-replay-same = Every tick came out the same: { $ticks } ticks, { $time } s.
cli-replay-jumped = At { $time } s, reached in { $took } s, state { $digest }.

cli-check-fine = fine: { $file }
cli-check-all = { $count } files checked, all fine.

cli-sensitivity-heading = { $level } as stated: safety { $safety }, coverage { $coverage }, procedure { $procedure }; { $end }
    Each line: what is assumed; low / stated / high; then at its low / high end safety, coverage, procedure.
cli-sensitivity-to_the_end = the script came to its end
cli-sensitivity-row = { $id } { $range } { $safety } { $coverage } { $procedure }
cli-sensitivity-row_flips = { $row } FLIPS { $flips }
cli-sensitivity-flip = { $what } at the { $end } end: { $by }
cli-sensitivity-low = low
cli-sensitivity-high = high
cli-sensitivity-flip_safety = safety
cli-sensitivity-flip_coverage = coverage
cli-sensitivity-flip_procedure = procedure
cli-sensitivity-flip_finished = script
cli-sensitivity-summary =
    { $turned ->
        [0] { $swept } swept at both ends: no mark turns on any.
       *[other] { $swept } swept at both ends; marks turn on { $turned }:
    }
cli-sensitivity-turned = { $level }, { $id }: { $flips }
cli-sensitivity-unknown = { $id } is nothing that { $level } assumes; there are { $known }

cli-rules-line = { "    " }{ $id } · { $severity } · { $honesty }

cli-key-protected = Signing key { $fingerprint }, protected by a passphrase.
cli-key-on_stick = Signing key { $fingerprint }, not protected: keep it on the instructor's stick.
cli-key-no_passphrase = A new key needs a passphrase in { $name }, or --stick for a key without one.

cli-stats-pace = { $factor } times real time: { $attempt } s of attempt in { $wall } s
cli-stats-memory = { $mb } MB of memory at most
cli-stats-part = { "  " }{ $part }: { $us } µs a tick (budget { $budget })
cli-part-hydraulics = hydraulics
cli-part-hose_and_body = hose and body
cli-part-rest = everything else
cli-part-total = in all

cli-stuck = The script could not go on at goal { $goal } ({ $what }): { $why }
cli-stuck-out_of_reach = it cannot be reached or seen from there.
cli-stuck-would_not_move = { $control } would not move.
cli-stuck-engine_would_not_start = the engine would not start.
cli-stuck-no_answer = nobody answered “{ $call }”, twice.
cli-stuck-cue_never_came = { $cue } never came.
cli-stuck-stop_called = “{ $call }” was called, and the goal would have gone on.
cli-stuck-engine_stopped = the engine stalled: it was asked for more than it has.
cli-stuck-fallen = the person lies on the ground.
cli-stuck-pressure_cannot_be_reached = the gauge stands at { $gauge } bar and { $wanted } bar cannot be reached: { $why }.
cli-limit-bypass_used_up = all the water goes to the tool and none is left for the bypass
cli-limit-knob_at_end = the regulator's handwheel is at the end of its travel
cli-limit-engine_labours = the engine gives all it has
cli-limit-engine_stands = the engine stands
cli-limit-needle_deaf = the needle does not answer the handwheel
cli-limit-unsteady = the needle does not come to rest
cli-limit-needle_unseen = the gauge cannot be read from there

cli-fault-journal_already_there = { $path } is there already and is never written over.
cli-fault-journal_not_made = { $path } cannot be made: { $reason }
cli-fault-journal_disk_full = The disk is full. The attempt is safe up to tick { $safe_until } and is unfinished.
cli-fault-journal_write = The recording cannot be written: { $reason }. The attempt is safe up to tick { $safe_until } and is unfinished.
cli-fault-journal_order = Tick { $came } came where tick { $due } was due.
cli-fault-journal_samples = { $came } samples came for { $due } channels.
cli-fault-journal_off_beat = Channel { $channel } moved off its beat in tick { $tick }.
cli-fault-journal_field = The recording cannot be begun: { $field } is missing, too long or makes no sense.
cli-fault-journal_too_much = The recording is full at tick { $tick }: { $what }.
cli-fault-journal_nothing = An attempt without a tick is not sealed.
cli-fault-recording_not_read = { $path } cannot be read: { $reason }
cli-fault-recording_too_large = { $bytes } bytes are more than the { $most } that a recording can have.
cli-fault-recording_not_one = This is not a recording.
cli-fault-recording_unknown_format = This recording has format { $found }; this release reads format { $known }.
cli-fault-recording_nothing_yet = The recording was cut off before its header was written.
cli-fault-recording_header = The header of the recording is damaged ({ $why }), without which nothing can be read.
cli-fault-recording_keyframe = The keyframe of tick { $tick } cannot be unpacked.
cli-fault-key_no_randomness = The system gives no randomness to make a key of.
cli-fault-key_passphrase_too_short = The passphrase has fewer than { $least } characters.
cli-fault-key_passphrase_needed = The key is protected: give its passphrase in JETYARD_PASSPHRASE.
cli-fault-key_wrong_passphrase = This is not the passphrase of the key.
cli-fault-key_no_memory = There is not enough memory to open the key: { $memory_kib } KiB are needed.
cli-fault-key_not_one = This is not a signing key.
cli-fault-key_unknown_format = This signing key has format { $found }; this release reads format { $known }.
cli-fault-key_damaged = The signing key is damaged at { $field }.
cli-fault-no_yard = The level makes no yard: { $reason }
cli-fault-keyframe_other_build = The recording's keyframes were made by another build; this one cannot take them up.
cli-fault-not_measurable = The attempt is void: { $channel } came out as no number at { $time } s.
cli-fault-no_such_tick = { $asked } s lies behind the end of the recording, which is at { $until } s.
cli-fault-differs = The yard comes out differently from { $time } s (tick { $tick }) on: another build made the recording, or a machine erred.
