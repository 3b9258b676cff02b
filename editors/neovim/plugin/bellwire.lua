if vim.g.loaded_bellwire then
  return
end
vim.g.loaded_bellwire = true

if vim.fn.has('nvim-0.11') == 0 then
  vim.notify('bellwire: this plugin needs Neovim 0.11 or newer', vim.log.levels.ERROR)
  return
end

vim.lsp.enable('bellwire')

-- Nothing else is loaded until a plan has its server.
for event, done in pairs({ LspAttach = 'attach', LspDetach = 'detach' }) do
  vim.api.nvim_create_autocmd(event, {
    group = vim.api.nvim_create_augroup('bellwire.' .. done, {}),
    callback = function(args)
      local client = vim.lsp.get_client_by_id(args.data.client_id)
      if client and client.name == 'bellwire' then
        require('bellwire.standing')[done](args.buf)
      end
    end,
  })
end

vim.api.nvim_create_user_command('BellwireRestart', function()
  require('bellwire').restart()
end, { desc = 'Stop the Bellwire language server and start it anew' })

vim.api.nvim_create_user_command('BellwireLeast', function()
  require('bellwire.standing').go()
end, { desc = 'Go to the device with least to spare' })

vim.api.nvim_create_user_command('BellwireLog', function()
  vim.cmd.tabedit(vim.fn.fnameescape(vim.lsp.log.get_filename()))
end, { desc = "Open Neovim's log of its language servers" })
