; `maf` is a statement with all that belongs to it, `mif` what is in its block.
(statement) @function.around
(statement (block (_)+ @function.inside))

(clause) @parameter.around
(clause (_)+ @parameter.inside)

(comment) @comment.inside
(comment)+ @comment.around
