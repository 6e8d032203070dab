# What people on site call to each other, and the words of the hand signals. Ids start with `calls-`.
