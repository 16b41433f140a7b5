;;; waywright.el --- Lathe programs through waywright  -*- lexical-binding: t -*-

;; Emacs 29 or newer, or an older one with the package eglot. Copy to ~/.emacs.d/, and put into init.el:
;;   (load (locate-user-emacs-file "waywright"))
;; From Emacs 29 on eglot shows inlay hints, the places that machine moves lead to. M-x eglot-inlay-hints-mode takes them
;; away, or in init.el (setq-default eglot-workspace-configuration '(:waywright (:inlayHints :json-false))).
;; .txt is not among the files: most of those are no programs. M-x lathe-mode takes one that is.

;;; Code:

(require 'eglot)

(define-derived-mode lathe-mode prog-mode "Lathe"
  "Programs that drive lathes. Eglot tells the server that their language is \"lathe\"."
  (setq-local comment-start "("
              comment-end ")"))

(add-to-list 'auto-mode-alist '("\\.\\(?:nc\\|cnc\\|tap\\)\\'" . lathe-mode))
(add-to-list 'eglot-server-programs '(lathe-mode . ("waywright" "serve")))
(add-hook 'lathe-mode-hook #'eglot-ensure)

(provide 'waywright)
;;; waywright.el ends here
