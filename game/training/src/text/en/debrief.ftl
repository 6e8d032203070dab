# What the screen after an attempt says. Ids start with `debrief-`.
