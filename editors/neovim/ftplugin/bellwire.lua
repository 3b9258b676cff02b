vim.bo.commentstring = '# %s'
vim.bo.comments = ':#'
vim.bo.expandtab = true
vim.bo.shiftwidth = 2
vim.bo.softtabstop = -1
vim.bo.suffixesadd = '.bell'
vim.bo.indentexpr = 'v:lua.require("bellwire.indent").indent(v:lnum)'
vim.bo.indentkeys = '0},o,O,!^F'
vim.opt_local.iskeyword:append('-') -- names and words carry hyphens: battery-max

vim.b.undo_ftplugin = 'setlocal commentstring< comments< expandtab< shiftwidth< softtabstop< suffixesadd<'
  .. ' indentexpr< indentkeys< iskeyword< | lua vim.treesitter.stop()'

if not pcall(vim.treesitter.start, 0, 'bellwire') then
  require('bellwire').warn(require('bellwire').no_parser)
end
