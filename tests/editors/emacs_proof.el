;;; emacs_proof.el --- Run inside Emacs, with the project's own configuration loaded  -*- lexical-binding: t -*-

;; Does what a machinist does and checks what is seen. PROOF_FILE is the program, PROOF_FIXED what is to become of it.

;;; Code:

(require 'cl-lib)
(require 'flymake)

(defconst limit 4.0 "Seconds for any one thing to appear.")

(setq make-backup-files nil
      create-lockfiles nil
      auto-save-default nil)

(defun check (holds what &rest arguments)
  "Go on where HOLDS; else the proof has failed."
  (let ((told (apply #'format what arguments)))
    (unless holds
      (message "FAILED: %s" told)
      (kill-emacs 1))
    (message "ok: %s" told)))

(defun wait (condition what)
  "Wait until CONDITION gives something."
  (let ((end (+ (float-time) limit)) found)
    (while (and (not (setq found (funcall condition))) (< (float-time) end))
      (accept-process-output nil 0.02)
      ;; Without a screen Emacs is never idle, which is when it would tell the server of edits.
      (when (and (bound-and-true-p eglot--managed-mode) eglot--recent-changes)
        (eglot--signal-textDocument/didChange)))
    (check found "%s" what)))

(defun underlined ()
  "What the diagnostics stand under."
  (mapcar (lambda (diagnostic)
            (buffer-substring (flymake-diagnostic-beg diagnostic) (flymake-diagnostic-end diagnostic)))
          (flymake-diagnostics)))

(defun wait-for-finding ()
  "Wait for the one finding of the program as it was."
  (wait #'flymake-diagnostics "a diagnostic arrives")
  (check (equal (underlined) '("X0. Z0.")) "underlined is %S" (underlined))
  (let ((diagnostic (car (flymake-diagnostics))))
    (check (= 4 (line-number-at-pos (flymake-diagnostic-beg diagnostic))) "it is on line 4")
    (check (string-match-p "by way of work X0\\. Z0\\." (flymake-diagnostic-text diagnostic)) "it says what is wrong")))

(defun act (begin end kind)
  "Make a code action of this KIND with eglot's own command, as if it had been called by its name."
  (condition-case trouble
      (eglot-code-actions begin end kind t)
    (error (check nil "a code action is made: %S" trouble))))

(defun check-fixed (what)
  "The buffer is as it should be, and nothing is found any more."
  (check (equal (buffer-string) (getenv "PROOF_FIXED")) "the buffer after %s: %S" what (buffer-string))
  (wait (lambda () (null (flymake-diagnostics))) "the diagnostic goes with it"))

(find-file (getenv "PROOF_FILE"))
(check (eq major-mode 'lathe-mode) "the file's mode is %s" major-mode)
(run-hooks 'post-command-hook) ; as after the command that opened the file
(wait (lambda () (and (eglot-current-server) eglot--managed-mode)) "eglot starts the server")
(flymake-start)
(wait-for-finding)

;; The hover, as the echo area asks for it.
(goto-char (point-min))
(search-forward "G28")
(goto-char (match-beginning 0))
(let (shown)
  (eglot-hover-eldoc-function (lambda (text &rest _) (setq shown text)))
  (wait (lambda () shown) "a hover comes")
  (check (string-match-p "work frame" shown) "it says in which frame the block is read: %s" shown))

;; Typed behind the emoji.
(search-forward "X0. Z0.")
(replace-match "U0. W0.")
(wait (lambda () (null (flymake-diagnostics))) "the diagnostic goes")
(search-backward "U0. W0.")
(replace-match "X0. Z0.")
(wait-for-finding)
(save-buffer)

;; Put right. Of several actions eglot asks for one; Return takes the one that it proposes.
(setq last-nonmenu-event ?\r)
(let ((completing-read-function (lambda (&rest question) (nth 6 question))))
  (act (line-beginning-position) (line-end-position) "quickfix"))
(check-fixed "the preferred remedy")
(save-buffer)

;; And undone, and all of it put right at once.
(erase-buffer)
(insert-file-contents (getenv "PROOF_ORIGINAL"))
(wait-for-finding)
(act (point-min) (point-max) "source.fixAll.waywright")
(check-fixed "all at once")
(write-region nil nil (concat (getenv "PROOF_FILE") " all at once"))

(eglot-shutdown (eglot-current-server)) ; which ends the process without waiting for its exit status
(message "PROVEN")

;;; emacs_proof.el ends here
