# Rules of safe work: titles, what was seen, what to do instead. Ids start with `rules-`.
# Use the trade's and the standards' own terms. No maker, brand or person.
