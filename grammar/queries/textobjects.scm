(block) @block.outer
(block (_)+ @block.inner)

; A statement with all that belongs to it: a site, a panel, a model.
(statement (block)) @class.outer
(statement (block (_)+ @class.inner))

[
  (statement)
  (path)
  (fragment)
] @statement.outer

; A clause, with and without its comma.
(clause) @parameter.outer
(clause (_)+ @parameter.inner)

(quantity) @number.outer
(number) @number.inner

(comment)+ @comment.outer
(comment) @comment.inner
