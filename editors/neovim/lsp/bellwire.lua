-- How Neovim starts the language server. Change any of it with vim.lsp.config('bellwire', { … }); see :help bellwire-server.
--
-- `cmd` is a function, not a list: Neovim passes over a list whose program is missing without a word.
local bellwire = require('bellwire')

return {
  cmd = function(dispatchers)
    return vim.lsp.rpc.start({ bellwire.program() or 'bellwire', 'serve' }, dispatchers)
  end,
  filetypes = { 'bellwire' },
  settings = { bellwire = vim.empty_dict() },
  root_dir = function(buffer, start)
    if bellwire.program() then
      start(bellwire.root(buffer))
    else
      bellwire.warn(bellwire.no_program())
    end
  end,
}
