# What people on site call to each other, what they handle and what they wait for. Ids start with `calls-`.

calls-call-ready_query = ready?
calls-call-ready = ready
calls-call-clear_to_flush = clear to flush
calls-call-clear_to_pressurise = clear to pressurise
calls-call-raise = raise
calls-call-lower = lower
calls-call-no_change = no change
calls-call-dump = dump
calls-call-all_stop = all stop
calls-call-zone_clear = zone clear
calls-call-say_again = say again
calls-call-squeeze = squeeze
calls-call-release = release
calls-call-zero_proved = zero proved

calls-control-supply = the supply valve
calls-control-air_bleed = the air cock on the pump head
calls-control-key = the engine key
calls-control-throttle = the throttle
calls-control-regulator = the regulator knob
calls-control-dump = the dump lever
calls-control-emergency_stop = the emergency stop
calls-control-bleed = the bleed valve

calls-goal-walk = walk
calls-goal-set = move a control
calls-goal-start_engine = start the engine
calls-goal-say = call
calls-goal-wait = wait
calls-goal-until = wait for something
calls-goal-bring = bring the pressure
calls-goal-strike = strike the emergency stop
calls-goal-hand_back = hand back

calls-cue-heard = a word from the other hand
calls-cue-gauge_above = a rise of the needle
calls-cue-gauge_below = a fall of the needle
calls-cue-engine_stands = the end of the engine's running
calls-cue-air_gone = water without air at the pump head
calls-cue-bleed_dry = a dry bleed valve
calls-cue-hose_limp = a limp hose
calls-cue-jet_runs = water from the tool
calls-cue-jet_stands = the end of water from the tool
calls-cue-nozzle_fitted = a nozzle on the lance
