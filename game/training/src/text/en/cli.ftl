# The command line: help, progress, results, refusals. Ids start with `cli-`.
