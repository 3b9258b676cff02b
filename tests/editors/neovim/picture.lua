-- The settings for the documentation's picture: figures and findings in the text.
vim.o.background = 'light'
vim.o.number = true
vim.o.termguicolors = true
vim.o.scrolloff = 0
vim.o.showcmd = false
vim.o.statusline = '%f %m%=%{v:lua.require("bellwire").status()}  %l:%c '
vim.o.winborder = 'rounded'
vim.diagnostic.config({ virtual_text = false, virtual_lines = true })
vim.lsp.inlay_hint.enable(true)
