; Colours by shape alone; the language server knows which word means what and
; colours on top of this. Of two patterns for one node, the later one wins.

(comment) @comment
(string) @string
(number) @number
(unit) @type.builtin
(date) @string.special

[
  "--"
  "+"
  ".."
] @operator

[
  "{"
  "}"
  (stray_close)
] @punctuation.bracket

[
  ":"
  ","
  "."
] @punctuation.delimiter

; A name that is used.
(name) @variable
(part) @variable.member
(model (name) @type)
(model (reference (name) @type))

; A name that is declared stands before its label, its model or its block.
(statement
  keyword: (name)
  .
  (name) @constant
  .
  [
    (string)
    (model)
    (block)
  ])

; `model panel M8`: a kind, and the name of a model of that kind.
(statement
  keyword: (name)
  .
  (name) @type.builtin
  .
  (name) @type.definition
  .
  [
    (string)
    (model)
    (block)
  ])

(statement keyword: (name) @keyword)
(clause keyword: (name) @property)
