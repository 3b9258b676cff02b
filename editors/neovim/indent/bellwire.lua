if vim.b.did_indent then
  return
end
vim.b.did_indent = 1

vim.bo.autoindent = true
vim.bo.indentexpr = 'v:lua.require("bellwire.indent").indent(v:lnum)'
vim.bo.indentkeys = '0},o,O,!^F'

vim.b.undo_indent = 'setlocal autoindent< indentexpr< indentkeys<'
