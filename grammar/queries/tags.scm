; What a plan declares and what it uses, for a symbol list without a server.

; `model panel M8`
((comment)* @doc
  .
  (statement
    keyword: (name)
    .
    (name)
    .
    (name) @name
    .
    [
      (string)
      (model)
      (block)
    ]) @definition.class
  (#strip! @doc "^#\\s*")
  (#select-adjacent! @doc @definition.class))

; `keypad front "Shop door" : K2`, `zone 1 "Shop door"`. An accepted finding's
; code stands where a declared name would.
((comment)* @doc
  .
  (statement
    keyword: (name)
    .
    [
      (name) @name
      (quantity . (number) @name .)
    ]
    .
    [
      (string)
      (model)
      (block)
    ]) @definition.constant
  (#not-match? @definition.constant "^accept\\b")
  (#strip! @doc "^#\\s*")
  (#select-adjacent! @doc @definition.constant))

(model (name) @name) @reference.class
(point (name) @name) @reference.constant
(reference . (name) @name) @reference.constant
