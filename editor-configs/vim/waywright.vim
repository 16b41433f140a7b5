" Vim 8 or newer with the plugin ALE: copy to ~/.vim/plugin/waywright.vim.
" :ALEHover says in which frame a line is read, :ALECodeAction offers what can be done about it.
" .txt is not among the files: most of those are no programs. `:set filetype=lathe` takes one that is.

augroup waywright
  autocmd!
  " Other file types claim these endings; a lathe's programs are meant here.
  autocmd BufRead,BufNewFile *.nc,*.cnc,*.tap set filetype=lathe
  autocmd FileType lathe setlocal commentstring=(%s)
  " When this file is read ALE may not be there yet.
  autocmd VimEnter * call s:Define()
augroup END

function! s:Define() abort
  if !exists(':ALEInfo')
    return
  endif
  call ale#linter#Define('lathe', {
  \   'name': 'waywright',
  \   'lsp': 'stdio',
  \   'executable': 'waywright',
  \   'command': '%e serve',
  \   'project_root': {buffer -> fnamemodify(bufname(buffer), ':p:h')},
  \})
endfunction
