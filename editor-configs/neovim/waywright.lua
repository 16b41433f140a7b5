-- Neovim 0.11 or newer: copy to ~/.config/nvim/lsp/waywright.lua, and put into init.lua:
--   vim.filetype.add({ extension = { nc = "lathe", cnc = "lathe", tap = "lathe" } })
--   vim.lsp.enable("waywright")
-- All that is proven at once, where a key is wanted for it:
--   vim.lsp.buf.code_action({ context = { only = { "source.fixAll.waywright" } }, apply = true })
-- What operations take and where machine moves lead is shown between the lines where Neovim is told to:
--   vim.api.nvim_create_autocmd("LspAttach", { callback = function(event)
--     vim.lsp.inlay_hint.enable(true, { bufnr = event.buf })
--     vim.lsp.codelens.refresh({ bufnr = event.buf })
--     vim.api.nvim_create_autocmd({ "InsertLeave", "TextChanged" }, {
--       buffer = event.buf, callback = function() vim.lsp.codelens.refresh({ bufnr = event.buf }) end })
--   end })
-- .txt is not among them: most of those files are no programs. `:set filetype=lathe` takes one that is.
return {
  cmd = { "waywright", "serve" },
  filetypes = { "lathe" },
  root_markers = { ".git" },
  -- Each of them may be switched off.
  init_options = { codeLenses = true, inlayHints = true },
}
