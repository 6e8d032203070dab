# What is heard, written out. Ids start with `captions-`.

captions-who-own = You
captions-who-pump = Pump hand
captions-who-lance = Lance hand
captions-who-watch = Watch
captions-who-visitor = Visitor
captions-who-mate = Mate
captions-who-other = Somebody

captions-noise-cranks = the starter turns the engine
captions-noise-runs = the engine runs
captions-noise-stands = the engine stands
captions-noise-falls = the engine note falls
captions-noise-knock = the pump knocks
captions-noise-hiss = the bypass hisses loudly
captions-noise-relief = the relief valve lifts
captions-noise-dump = water roars from the dump
captions-noise-jet = a jet leaves the lance
captions-noise-drip = water runs from the bleed valve
captions-noise-air = air spits from the cock
captions-noise-clear = clear water runs from the air cock
captions-noise-pours = water pours from the bare end of the line
captions-noise-alarm = the panel sounds its alarm
captions-noise-gland = water runs from the packings of the pump
captions-noise-leak = water hisses out of the hose, thin and sharp
captions-noise-torn = water gushes out of a torn hose
captions-noise-trip = the oil guard drops: the engine is stopped
captions-noise-burst = a bang at the pump: the burst disc has torn
captions-noise-disc = water roars out of the burst disc's pipe
captions-noise-second_jet = a jet leaves the lance in the stand

captions-tagged = [a tag on { $part }: out of order]
captions-silent = No sound server answers: the game goes on without sound. Captions tell what is heard.
