-- Neovim 0.11 or newer: copy to ~/.config/nvim/lsp/waywright.lua, and put into init.lua:
--   vim.filetype.add({ extension = { nc = "lathe", cnc = "lathe", tap = "lathe" } })
--   vim.lsp.enable("waywright")
-- All that is proven at once, where a key is wanted for it:
--   vim.lsp.buf.code_action({ context = { only = { "source.fixAll.waywright" } }, apply = true })
-- .txt is not among them: most of those files are no programs. `:set filetype=lathe` takes one that is.
return {
  cmd = { "waywright", "serve" },
  filetypes = { "lathe" },
  root_markers = { ".git" },
}
