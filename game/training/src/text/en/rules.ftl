# The rule book: for each rule its title, the line of a coach, and what each kind of finding
# says. Ids start with `rules-`.

rules-start_unloaded-title = Start the engine with nothing to push against
rules-start_unloaded-coach = Before you turn the key, look at three things: dump open, regulator backed right off, throttle low. Touch each one.
rules-start_unloaded-regulator = The engine was cranked with the regulator wound in.
rules-start_unloaded-dump = The engine was cranked with the dump shut.
rules-start_unloaded-throttle = The engine was cranked with the throttle up.

rules-prove_zero_before_fitting-title = Prove zero before a wrench touches the tool
rules-prove_zero_before_fitting-coach = Six proofs, in order: engine standing, dump open, bleed open, bleed run dry, trigger squeezed somewhere safe, gauge at nothing and hose limp. Only then say that zero is proved.
rules-prove_zero_before_fitting-engine = Work on the tool began while the engine was still turning.
rules-prove_zero_before_fitting-dump = Work on the tool began with the dump shut.
rules-prove_zero_before_fitting-bleed = Work on the tool began with the bleed valve shut.
rules-prove_zero_before_fitting-dripping = Work on the tool began while water still ran from the bleed valve.
rules-prove_zero_before_fitting-trigger = Work on the tool began although nobody had squeezed the trigger since the engine stopped.
rules-prove_zero_before_fitting-pressure = Work on the tool began with pressure left in the line.

rules-stop_tests-title = Test every way to stop before the pressure goes up
rules-stop_tests-coach = Trigger, dump, emergency stop: work each one at the first low step and see the jet die. A stop you have not tried is a stop you do not have.
rules-stop_tests-trigger = The pressure went up before the trigger had been seen to stop the jet.
rules-stop_tests-dump = The pressure went up before the dump had been seen to take it away.
rules-stop_tests-emergency_stop = The pressure went up before the emergency stop had been seen to work.

rules-read_back_and_consent-title = No water without a read-back, no change without consent
rules-read_back_and_consent-coach = The one at the lance leads. Say the word, wait until it comes back, then move your hand. Stopping needs no one's leave.
rules-read_back_and_consent-no_read_back = The dump was shut although “clear” had not been said and read back.
rules-read_back_and_consent-raised = The set pressure was raised without the lance hand's consent.
rules-read_back_and_consent-lowered = The set pressure was lowered without the lance hand's consent.

rules-raise_in_steps-title = Raise the pressure in steps, and hold each one
rules-raise_in_steps-coach = Four steps to the job's pressure. At each, take your hand off the handwheel, and look and listen for a quarter of a minute.
rules-raise_in_steps-too_high = The pressure went up by too much at once from the last step that was held.

rules-shut_down_order-title = Shut down in order and leave it safe
rules-shut_down_order-coach = Regulator off and dump open; idle until cool; stop; prove zero; supply shut last; dump left open; key out.
rules-shut_down_order-supply_before_zero = The supply was shut before the line was proved at zero.
rules-shut_down_order-not_cooled = The engine was stopped before it had idled long enough to cool.
rules-shut_down_order-regulator = The unit was handed back with the regulator wound in.
rules-shut_down_order-not_zero = The unit was handed back with the engine turning or pressure in the line.
rules-shut_down_order-supply = The unit was handed back with the supply open.
rules-shut_down_order-dump = The unit was handed back with the dump shut.
rules-shut_down_order-key = The unit was handed back with the key on.

rules-flush_before_fitting-title = Flush the line before a nozzle goes on
rules-flush_before_fitting-coach = Bare end, low speed, ten seconds by the clock. What lies in the hose goes out of the open end now, or into the nozzle later.
rules-flush_before_fitting-not_flushed = The first nozzle was fitted before water had run long enough out of the bare end.

rules-leak_walk-title = Walk the line at the first low step
rules-leak_walk-coach = Bring it to the first low step and no further. Walk along the hose, a metre off the couplings; look and listen, and touch nothing. Then go on.
rules-leak_walk-not_walked = The pressure went up before the line had been walked and looked over at low pressure.

rules-over_lowest_rating-title = Never above the weakest part or the job sheet
rules-over_lowest_rating-coach = Know the lowest number in the line before you start: hose, gun, kit or job sheet. Near it, turn by single detents and let the needle settle. Set it with every tool shut: what is wound in while one runs comes on top when it shuts.
rules-over_lowest_rating-rating = The pressure went above the lowest rating of hoses, gun and plunger kit, and above the margin on it. A tool that shuts lets the pressure rise, even where nobody turned anything.
rules-over_lowest_rating-job_sheet = The pressure went above that of the job sheet, and above the margin on it. A tool that shuts lets the pressure rise, even where nobody turned anything.

rules-pump_unwatched-title = Never leave a pump that is under pressure
rules-pump_unwatched-coach = Within arm's reach of the dump as long as the needle stands. If you have to go, open the dump first; then you may.
rules-pump_unwatched-unwatched = Nobody was within reach of the dump while the pump was under pressure.
rules-pump_unwatched-long_walk = The walk along the line kept the pump without a hand at the dump for too long.

rules-bypass_share-title = Suit the speed to the nozzle
rules-bypass_share-coach = With the gun open and all at rest, look at what comes back over the bypass. If it is more than goes to work, take speed off.
rules-bypass_share-too_much = With the trigger open and all steady, too much of the water went over the bypass.

rules-starved_kept_on-title = Unload a pump that starves
rules-starved_kept_on-coach = When the pump knocks and the needle sags, open the dump, take the speed off, and look at supply valve, strainer and inlet gauge.
rules-starved_kept_on-kept_on = The pump was kept at work although it got too little water.

rules-barrier_open-title = Close the barrier before there is pressure
rules-barrier_open-coach = Gate first, then the dump. If you find it open under pressure: stop, close it, and say so.
rules-barrier_open-open = The line was under pressure with the barrier open.

rules-ppe-title = Wear all of it as long as there is pressure
rules-ppe-coach = Check from the head down before you say that you are ready. Nothing comes off until the line is proved at zero.
rules-ppe-helmet = The line was under pressure and you wore no helmet.
rules-ppe-visor = The line was under pressure and you wore no visor.
rules-ppe-ear_defenders = The line was under pressure and you wore no ear defenders.
rules-ppe-gloves = The line was under pressure and you wore no gloves.
rules-ppe-suit = The line was under pressure and you wore no suit.
rules-ppe-boots = The line was under pressure and you wore no boots.

rules-intruder-title = Somebody walks in or calls a stop: stop the water at once
rules-intruder-coach = Stop first and find out afterwards. A stop for nothing costs nothing.
rules-intruder-trigger_seen = Somebody was in the zone and in sight, and the trigger was not let go in time.
rules-intruder-trigger_called = A stop was called, and the trigger was not let go in time.
rules-intruder-dump_seen = Somebody was in the zone and in sight, and the dump was not opened in time.
rules-intruder-dump_called = A stop was called, and the dump was not opened in time.

rules-braced-title = Take a strong thrust with the body
rules-braced-coach = Stock to the shoulder and feet set before you squeeze. Arms alone hold for a moment and no longer.
rules-braced-not_braced = The thrust was strong, and the tool was held by the arms alone.

rules-not_by_hand-title = What pushes too hard is not held by hand
rules-not_by_hand-coach = Work the thrust out before you fit the nozzle. If it is too much, take a smaller bore, less pressure or a mechanical guide.
rules-not_by_hand-too_strong = The thrust was more than anybody may hold by hand.

rules-pointed_at_person-title = Never aim at anybody, water or no water
rules-pointed_at_person-coach = Know where everybody is before the tip moves. Carry it pointed down and away, and turn by the empty side.
rules-pointed_at_person-jet = The running jet was on somebody.
rules-pointed_at_person-live = The tool, under pressure, pointed at somebody.
rules-pointed_at_person-dry = The tool pointed at somebody near by.

rules-pointed_at_feet-title = Keep the jet away from your own feet
rules-pointed_at_feet-coach = Feet apart and behind the tip, never astride. To reach low work, step back instead of pulling the tip in.
rules-pointed_at_feet-too_near = The running jet came near to your own feet.

rules-walk_with_flow-title = Let the trigger go before you walk
rules-walk_with_flow-coach = Trigger, catch, look, walk, in this order. One who trips with the gun shut only falls.
rules-walk_with_flow-walked = You walked with the jet running.

rules-safety_catch-title = Catch on when the trigger is let go
rules-safety_catch-coach = Let go, thumb to the catch: one movement. Do it at every stop that is longer than a breath, and before every step.
rules-safety_catch-left_off = The trigger was let go on a live tool and the safety catch stayed off.
rules-safety_catch-moving = You walked with a live tool and the safety catch off.

rules-tied_trigger-title = Nothing holds a trigger but a hand
rules-tied_trigger-coach = The trigger that springs back is the stop that works when you fall. If your hand is tired, stop and swap.
rules-tied_trigger-tied = The trigger was tied.

rules-left_under_pressure-title = A live tool stays in the hands
rules-left_under_pressure-coach = Have the pump dumped, squeeze until nothing comes, catch on; then put it down.
rules-left_under_pressure-dropped = The tool was dropped under pressure.
rules-left_under_pressure-fell = You fell, and the tool lay on the ground under pressure.
rules-left_under_pressure-laid_down = The tool was laid down under pressure.
rules-left_under_pressure-left = You went away from a tool under pressure.

rules-live_hose-title = No hands on a live hose
rules-live_hose-coach = Call for the dump, wait until the hose is limp, then move it. Never drag it, and never stand astride it.
rules-live_hose-held = You had the hose in your hands under pressure.

rules-kept_dry-title = No water on what is to be kept dry
rules-kept_dry-coach = Look for cabinets, cables and motors before the first water. Cover them, or work from where the jet cannot reach them.
rules-kept_dry-wetted = Water was turned on something that is to be kept dry.

rules-defect_kept_on-title = Do not work with what is out of order
rules-defect_kept_on-coach = Whatever is not as it was: call, dump, then look. Tag the part out and report it; it goes back to work only once it is as new and tested.
rules-defect_kept_on-at_once = Something is out of order, and the work goes on.
rules-defect_kept_on-dump = The dump valve was out of order, and the work went on.
rules-defect_kept_on-gun = The gun was out of order, and the work went on.
rules-defect_kept_on-regulator = The regulator was out of order, and the work went on.
rules-defect_kept_on-relief = The relief valve was out of order, and the work went on.
rules-defect_kept_on-nozzle = The nozzle was out of order, and the work went on.
rules-defect_kept_on-pump = The pump was out of order, and the work went on.
rules-defect_kept_on-engine = The engine was out of order, and the work went on.
rules-defect_kept_on-hose = The hose was out of order, and the work went on.
rules-defect_kept_on-gauge = The gauge was out of order, and the work went on.
rules-defect_kept_on-stop = The emergency stop was out of order, and the work went on.

rules-wound_past_sag-title = Do not wind in what does not rise
rules-wound_past_sag-coach = If the needle sags and the bypass is silent, the pump gives all it has. Ease the regulator back and look for why: the nozzle, the supply, the pump.
rules-wound_past_sag-wound_in = The regulator was wound further in although the pressure no longer rose.

rules-partner_jolted-title = Keep the other tool from jolting whoever holds the lance
rules-partner_jolted-coach = Two tools may share a pump only while water is left on the bypass with both of them open: then the regulator takes up what the one leaves. A needle that sags when both run says that there is too little speed for two.
rules-partner_jolted-jolted = The push on the lance hand jumped or fell away when the other tool shut or opened.
rules-line_left_charged-title = Hand nothing over that holds pressure
rules-line_left_charged-coach = Behind a gun that shuts dry and behind a shut cock the water keeps its pressure, whatever the dump does. Open the cock with the dump open, or let the tool run, and look at the gauge of each line before you hand back.
rules-line_left_charged-lance = The job was handed back with pressure in the line of the lance.
rules-line_left_charged-pedal = The job was handed back with pressure in the line of the second tool.
rules-oil_trip_overridden-title = Find out why the oil stopped the engine
rules-oil_trip_overridden-coach = Low pressure or hot oil has stopped the engine to save the pump. Tag it out, and let somebody look at level, cooler and leaks before it runs again.
rules-oil_trip_overridden-pressure = The engine was started again after it had stopped for want of oil pressure.
rules-oil_trip_overridden-heat = The engine was started again after it had stopped because its oil was hot.
rules-tank_hot-title = Let the pressure down before the tank is warm
rules-tank_hot-coach = A shut gun sends all the power of the pump round through the tank. If it stays shut for two minutes: say so, dump, idle. Look at the tank's thermometer as often as at the needle.
rules-tank_hot-parked = The line stood at pressure with every tool shut for too long, and all of it heated the tank.
rules-tank_hot-alarm = The tank was warm, and the pump was not unloaded.
rules-tank_hot-stop = The tank was hot, and the pump still fed the line.

rules-unprotected_noise-title = Cover your ears where it is loud
rules-unprotected_noise-coach = Ear defenders go on before the engine starts, not before the pressure comes. What noise takes from an ear does not come back.
rules-unprotected_noise-bare_ears = It was loud at your ears, and you wore no ear defenders.

rules-substrate_damaged-title = Take the deposit off and leave what it lies on
rules-substrate_damaged-coach = Ask what lies under it. Begin low and far, look, and go nearer only as long as nothing but the deposit comes off. Never stay on one spot.
rules-substrate_damaged-too_much = The jet damaged the surface under the deposits.

rules-unrestrained_coupling-title = Hold every coupling before there is pressure
rules-unrestrained_coupling-coach = Sling or stocking over both sides of each coupling, without slack, before the dump is shut. A coupling that lets go at full pressure pulls with tonnes, and at once. If you find one loose under pressure: dump, then clip it.
rules-unrestrained_coupling-pump_end = There was pressure, and the whip restraint at the pump hung loose.
rules-unrestrained_coupling-gun_end = There was pressure, and the whip restraint at the gun hung loose.

rules-somebody_hurt-title = Everybody goes home as they came
rules-somebody_hurt-coach = Dump first, then help. A wound by water, however small, is a case for the hospital at once, like a gunshot: press on it, call, and send the card with pressure, water, additives and time along. Leave everything as it lies until somebody knows why. Local law, site rules and those who are trained in first aid come first.
rules-somebody_hurt-jet = The jet struck somebody.
rules-somebody_hurt-spray = Water from a hole or a torn end struck somebody.
rules-somebody_hurt-hose = The end of the hose struck somebody.
rules-somebody_hurt-tool = The tool struck somebody.
rules-somebody_hurt-fall = You fell, and it needs a doctor.
rules-somebody_hurt-drop = You fell from a height, and it needs a doctor.

rules-kept_on_after_harm-title = After harm, stop, and stay stopped
rules-kept_on_after_harm-coach = Whoever sees it calls “all stop”, and the dump is open before anybody runs to help. Nothing is fed again until the cause is known and put right: the second victim comes with the restart.
rules-kept_on_after_harm-hurt = Somebody was hurt, and the pump went on feeding the line.
rules-kept_on_after_harm-parted = The hose had parted, and the pump went on feeding the line.
rules-kept_on_after_harm-again = The line was put under pressure again after the harm was done.

rules-unsound_footing-title = Hold a jet on firm ground only
rules-unsound_footing-coach = Look at what is under your boots before you squeeze: wet paint, ice and rungs hold next to nothing, and the thrust asks for a third of your weight. Stand elsewhere, lay something down that holds, or do it from a guide.
rules-unsound_footing-slippery = You held a running jet where boots hold badly.

rules-tripped-title = Keep your way clear of the hose
rules-tripped-coach = Lay the hose in one bow beside your way, look before you step, and lift your feet over it.
rules-tripped-tripped = Your foot caught in something.

rules-tripped_with_jet-title = Never trip with the jet running
rules-tripped_with_jet-coach = Let the trigger go before you move a foot that you cannot see. With the gun shut a stumble is a stumble.
rules-tripped_with_jet-tripped = Your foot caught in something while the jet was running.

rules-hose_bent_tight-title = Give the hose its bow
rules-hose_bent_tight-coach = No tighter than its least radius, least of all next to a coupling. To let a bend out: dump first, then move the hose.
rules-hose_bent_tight-kinked = The hose was bent too tightly under pressure.
