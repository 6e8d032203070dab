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
rules-raise_in_steps-coach = Four steps to the job's pressure. At each, take your hand off the knob, and look and listen for a quarter of a minute.
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
