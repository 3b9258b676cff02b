; A top-level statement's name is known in the file, whatever it declares within
; its block, however deep, is known in that block.
(plan) @local.scope
(plan (statement (block) @local.scope))

(statement
  keyword: (name)
  (name) @local.definition
  .
  [
    (string)
    (model)
    (block)
  ])

(model (name) @local.reference)
(point (name) @local.reference)
(reference . (name) @local.reference)
(clause keyword: (_) (name) @local.reference)
