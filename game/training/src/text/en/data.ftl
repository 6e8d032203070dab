# What is wrong in a data file. Ids start with `data-`.
# Numbers arrive already written; lines and columns too.

data-at-file = { $file }: { $message }
data-at-place = { $file }:{ $line }:{ $column }: { $message }
data-at-field = { $file }:{ $line }:{ $column }: { $path }: { $message }

# The file and its syntax
data-cannot-read = cannot be read: { $reason }
data-file-too-large = larger than { $limit } MiB, which no data file may be
data-not-utf8 = not UTF-8 text: byte { $byte } cannot stand here
data-unexpected = expected { $expected }, found { $found }
data-unexpected-end = expected { $expected }, but the file ends here
data-unclosed = expected { $close }, but the file ends here; { $open } was opened at line { $line }, column { $column }
data-unclosed-text = this text never ends: a closing quotation mark is missing
data-unclosed-comment = this comment never ends: its */ is missing
data-bad-escape = { $written } means nothing in a text; write \\ for a backslash
data-bad-number = { $written } is not a number
data-too-deep = more than { $limit } brackets within one another
data-too-many = more than { $limit } values in one file

data-expected-value = a value
data-expected-field-name = the name of a field or )
data-expected-sign = { $sign }
data-expected-comma = a comma or { $close }
data-expected-end = nothing more
data-expected-number = a number
data-expected-whole = a whole number
data-expected-true-false = true or false
data-expected-text = a text in quotation marks
data-expected-list = a list in [ ]
data-expected-map = a map in { "{" } { "}" }
data-expected-fields = fields in ( )
data-expected-values = { $count } values in ( )
data-expected-word = a word
data-expected-named = { $name }(...)
data-expected-named-list = { $name }([...])

# Fields and values
data-missing-field = field { $field } is missing
data-unknown-field = no field { $field } here; allowed: { $allowed }
data-unknown-field-near = no field { $field } here; did you mean { $near }?
data-wrong-unit = wrong unit: write { $wanted }, in { $unit }, instead of { $field }
data-repeated = { $name } is here twice; first at line { $line }, column { $column }
data-wrong-type = expected { $expected }, found { $found }
data-out-of-range = { $value } is out of range; allowed: { $allowed }
data-range = { $low } to { $high }
data-range-unit = { $low } to { $high } { $unit }
data-wrong-count = { $count ->
    [one] { $count } item
   *[other] { $count } items
}; allowed: { $allowed }
data-not-finite = { $value } is not a finite number
data-empty-text = the text is empty
data-text-too-long = the text has { $count } characters; allowed: { $limit }
data-control-character = the text has a control character ({ $code })
data-bad-date = { $value } is no year and month; write 2026-03 for March 2026
data-no-level-here = no level here: a level is a folder with a level.ron, beside catalogue and regions
data-no-root = the file does not say what it is; it must begin with one of: { $allowed }
data-absent = this file is not there
data-damaged = the saved data has been changed or cut
data-and-more-problems = { $count ->
    [one] one more problem
   *[other] { $count } more problems
}
data-bad-id = { $value } is no id: use lower-case letters, digits and _, a letter or a digit first
data-unknown = { $value } does not exist; there is: { $allowed }
data-unknown-near = { $value } does not exist; did you mean { $near }? There is: { $allowed }
data-none = nothing
data-and-more = { $names } and { $more } more

# Values that are each fine and do not go together
data-clash-burst = { $burst } bar bursts below { $factor } times the rating of { $rating } bar
data-clash-dump-bore = a gun of this kind needs dump_bore_mm and dump_cd
data-clash-torque-order = speeds of the torque curve must rise; { $speed } follows { $before }
data-clash-engine-speeds = stall, idle and rated speed must rise in this order
data-clash-engine-rating = the torque curve gives { $curve } kW at rated speed, the rating says { $rating } kW
data-clash-relief-low = the relief at { $relief } bar opens below the kit's { $max } bar
data-clash-relief-high = the relief at { $relief } bar is more than { $limit } % over the kit's { $max } bar
data-clash-kit-flow = plungers, stroke and speed give { $flow } L/min at { $pressure } bar, the kit says { $rating } L/min
data-clash-kit-power = { $need } kW are needed for { $flow } L/min at { $pressure } bar, the engine gives { $power } kW
data-clash-supply = the supply brings { $supply } L/min; { $factor } times the kit's flow is { $need } L/min
data-clash-suction = at rated speed the suction brings { $brings } L/min; the supply is said to bring { $supply } L/min
data-clash-oil-thickens = oil is thinner at 100 degC than at 40 degC
data-clash-oil-trip = the trip is below the relief of the oil pump
data-clash-disc-low = the disc tears at { $disc } bar; the relief passes its full flow at { $relief } bar
data-clash-disc-high = the disc tears at { $disc } bar, more than { $factor } times the kit's { $max } bar
data-clash-rod-load = at { $pressure } bar, the most that relief and disc let come, a rod bears { $load } kN; it stands { $limit } kN
data-clash-residual = the backed-off regulator stays at { $pressure } bar with the idle flow; allowed: { $limit } bar
data-clash-rating = { $part } is rated { $rating } bar; the relief of kit { $kit } passes its full flow at { $relief } bar
data-clash-job-over-kit = the job asks for { $pressure } bar, kit { $kit } gives { $max } bar
data-clash-regulator-reach = the regulator cannot be set to { $pressure } bar
data-clash-thrust = nozzle { $nozzle } pushes with { $thrust } N at { $pressure } bar; allowed: { $limit } N
data-clash-flow = nozzle { $nozzle } takes all { $flow } L/min and the pressure stays at { $reached } bar; the job asks for { $pressure } bar
data-clash-engine-load = the engine cannot hold { $pressure } bar at throttle { $throttle } %
data-clash-circuit = { $field } is { $value }; allowed: { $low } to { $high }
data-clash-path-long = the path is { $path } m long and { $rise } m are needed to rise at its ends; the hoses are { $hose } m
data-clash-path-short = the path is { $path } m long, the hoses of { $hose } m have too much slack
data-clash-path-start = the path starts { $distance } m from the nearest control of the unit; allowed: { $limit } m
data-clash-path-end = the path ends { $distance } m from the lance hand; allowed: { $limit } m
data-clash-control-missing = no place for the control { $control }
data-clash-control-reach = { $control } is { $distance } m from the nearest place to stand; a hand reaches { $limit } m
data-clash-draw-order = { $high } at most are fewer than the { $low } at least
data-clash-draw-list = { $high } at most are more than the { $low } of the list
data-clash-weights = the weights sum to { $sum }; they must sum to 100
data-clash-limit = the level ends after { $limit } s, before the { $expected } s it is expected to take
data-clash-folder = the level stands in the folder { $folder } and must have that id
data-clash-region-file = the region stands in the file { $file } and must have that id
data-clash-script-level = the script is for the level { $written } and stands with { $level }
data-clash-coach-level = the help is for the level { $written } and stands with { $level }
data-clash-coach-key = no key is called { $written }. There is: { $allowed }
data-clash-coach-brace = a brace is not closed; braces hold the name of a key
data-clash-coach-until = the step { $step } must come after { $before }
data-clash-coach-bound = at_least or at_most is needed, or both
data-clash-coach-bounds-order = at_most must not be below at_least
data-clash-coach-spot = no spot of the surface: it is { $width } m wide and { $height } m high
data-clash-position = { $control } has positions 0 to { $top }
data-clash-assumption-unit = this is given in { $unit }
data-clash-stated = low { $low }, value { $value } and high { $high } must rise in this order
data-clash-stand-off-order = the stand-off is { $least } to { $greatest } mm; the first must be the smaller
data-clash-engine-runs = the engine cannot run at the start: key on, supply open and emergency stop not struck are needed
data-clash-start-nozzle = nozzle { $nozzle } is on the lance at the start and is none of this level
data-clash-gate-without-zone = there is a barrier and no zone_m that it closes
data-clash-footing-order = low_m must have the smaller x and z of the two corners
data-clash-restraint = a whip restraint needs both: restraint in the equipment, and pump_restraint or gun_restraint among the controls
data-clash-zone-order = the first corner of the zone must have the smaller x and z
data-clash-visitor-inside = the visitor begins within the zone
data-clash-surface-yard = the surface does not stand within the yard: from the ground up, at most { $limit } m from its middle
data-clash-surface-zone = the surface is not within the zone
data-clash-cells = { $count } cells; allowed: { $limit }
data-clash-tiles = { $count } tiles; allowed: { $limit }
data-clash-tile-small = a tile is smaller than a cell
data-clash-stand-off = { $stand_off } mm is not in the table of nozzle { $nozzle }: { $least } to { $greatest } mm
data-clash-coat-part = no part of the surface: left and lower edge come first, and it is { $width } m wide and { $height } m high
data-clash-coat-stays = { $coat } does not come off: at { $pressure } bar the jet hits it with { $reached } bar; { $factor } times its threshold of { $threshold } bar are needed
data-clash-base-damaged = { $base } is damaged by the job itself: at { $pressure } bar the jet hits it with { $reached } bar, and { $factor } times that must stay below its threshold of { $threshold } bar
data-clash-layers = { $count } layers on one spot, with what they lie on; allowed: { $limit }
data-clash-no-pump-hand = the trainee has the lance and nobody has the pump
data-clash-no-lance-hand = the trainee has the pump and nobody has the lance
data-clash-second = a second tool needs all of it: second in the equipment and in the site, a mate in the crew, and the controls lance_outlet and pedal_outlet
data-clash-second-away = { $distance } m from the stand of the second tool; allowed: { $limit } m
data-clash-second-path = the way of the second tool's hose is { $path } m long, its hoses are { $hose } m
data-clash-watch-place = a watch needs both: a place in the site, and a part in the crew
data-clash-visitor-place = a visitor needs both: a place in the site, and a part in the crew
data-clash-visitor-stays-out = the visitor must come into the zone at the last of these places
data-clash-steps-order = steps must rise; { $pressure } bar follows { $before } bar
data-clash-steps-low = the highest step is { $top } bar; the job asks for { $pressure } bar
data-clash-step-over-kit = the step is { $pressure } bar, the kit gives { $max } bar
data-clash-step-throttle = at throttle { $throttle } % the pressure stays at { $reached } bar; the step is { $pressure } bar
data-clash-criterion-surface = there is no surface in this level
data-clash-criterion-restraint = there is no whip restraint in this level
data-clash-criterion-mate = nobody works a second tool in this level
data-clash-criterion-intruder = nobody comes in in this level, and the watch does not step too near
data-clash-test-patch = the test patch allows { $limit } bar; the lowest step of the pump hand is { $lowest } bar
data-clash-goal-post = this is no work of the { $post } hand
data-clash-control-absent = there is no { $control } in this level
data-clash-no-surface = there is no surface in this level
data-clash-part = no part of the surface: from_m is left and below of to_m, and it is { $width } m wide and { $height } m high
data-clash-no-rack = there is no rack_m in the site, where things are put on and taken off
data-clash-nobody-there = there is no { $seat } to be seen in this level

# Where a value of an old recording comes from
data-limit-later = what holds for recordings from before this limit
