if vim.b.did_ftplugin then
  return
end
vim.b.did_ftplugin = 1

vim.bo.commentstring = '# %s'
vim.bo.comments = ':#'
vim.bo.expandtab = true
vim.bo.shiftwidth = 2
vim.bo.softtabstop = -1
vim.bo.suffixesadd = '.bell'
vim.opt_local.formatoptions:remove('t') -- a statement that is broken at 'textwidth' is two
vim.opt_local.formatoptions:append('croql')
vim.opt_local.iskeyword:append('-') -- names and words carry hyphens: battery-max

vim.b.undo_ftplugin = 'setlocal commentstring< comments< expandtab< shiftwidth< softtabstop< suffixesadd<'
  .. ' formatoptions< iskeyword< | lua vim.treesitter.stop()'

if not pcall(vim.treesitter.start, 0, 'bellwire') then
  require('bellwire').warn(require('bellwire').no_parser)
end
