; TODO, FIXME and addresses within a comment.
((comment) @injection.content
  (#set! injection.language "comment"))
