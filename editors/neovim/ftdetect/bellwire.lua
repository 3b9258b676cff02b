vim.filetype.add({ extension = { bell = 'bellwire' } })
