# What is heard, written out. Ids start with `captions-`.
