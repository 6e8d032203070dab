# What hands can do, and the names of keys. Ids start with `hands-`.
