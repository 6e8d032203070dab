# What is wrong in a data file. Ids start with `data-`.
# Numbers arrive already written; lines and columns too.

data-at-file = { $file }: { $message }
data-at-place = { $file }:{ $line }:{ $column }: { $message }
data-at-field = { $file }:{ $line }:{ $column }: { $path }: { $message }

# The file and its syntax
data-cannot-read = cannot be read: { $reason }
data-file-too-large = larger than { $limit } MiB, which no data file may be
data-not-utf8 = not UTF-8 text: byte { $byte } cannot stand here
data-unexpected = expected { $expected }, found { $found }
data-unexpected-end = expected { $expected }, but the file ends here
data-unclosed = expected { $close }, but the file ends here; { $open } was opened at line { $line }, column { $column }
data-unclosed-text = this text never ends: a closing quotation mark is missing
data-unclosed-comment = this comment never ends: its */ is missing
data-bad-escape = { $written } means nothing in a text; write \\ for a backslash
data-bad-number = { $written } is not a number
data-too-deep = more than { $limit } brackets within one another
data-too-many = more than { $limit } values in one file

data-expected-value = a value
data-expected-field-name = the name of a field
data-expected-sign = { $sign }
data-expected-comma = a comma or { $close }
data-expected-end = nothing more
data-expected-number = a number
data-expected-whole = a whole number
data-expected-true-false = true or false
data-expected-text = a text in quotation marks
data-expected-list = a list in [ ]
data-expected-map = a map in { "{" } { "}" }
data-expected-fields = fields in ( )
data-expected-values = { $count } values in ( )
data-expected-word = a word
data-expected-named = { $name }(...)

# Fields and values
data-missing-field = field { $field } is missing
data-unknown-field = no field { $field } here; allowed: { $allowed }
data-unknown-field-near = no field { $field } here; did you mean { $near }?
data-wrong-unit = wrong unit: write { $wanted }, in { $unit }, instead of { $field }
data-repeated = { $name } is here twice; first at line { $line }, column { $column }
data-wrong-type = expected { $expected }, found { $found }
data-out-of-range = { $value } is out of range; allowed: { $allowed }
data-range = { $low } to { $high }
data-range-unit = { $low } to { $high } { $unit }
data-wrong-count = { $count ->
    [one] { $count } item
   *[other] { $count } items
}; allowed: { $allowed }
data-not-finite = { $value } is not a finite number
data-empty-text = the text is empty
data-text-too-long = the text has { $count } characters; allowed: { $limit }
data-control-character = the text has a control character ({ $code })
data-and-more-problems = { $count ->
    [one] one more problem
   *[other] { $count } more problems
}
data-bad-id = { $value } is no id: use lower-case letters, digits and _, a letter first
data-unknown = { $value } does not exist; there is: { $allowed }
data-unknown-near = { $value } does not exist; did you mean { $near }? There is: { $allowed }
data-none = nothing
data-and-more = { $names } and { $more } more
