;;; driver.el --- What the Emacs tests share  -*- lexical-binding: t; -*-

;;; Code:

(require 'package)
(package-initialize)
(require 'cl-lib)

(defun check (what &rest conditions)
  "Say that WHAT holds, or end with an error if one of CONDITIONS is nil."
  (let ((false (cl-position nil conditions)))
    (if (null false)
        (princ (format "    ok: %s\n" what))
      (princ (format "FAIL: %s (condition %d)\n%s" what (1+ false)
                     (with-current-buffer "*Messages*" (buffer-string))))
      (kill-emacs 1))))

(defun eventually (predicate)
  "Wait up to 20 seconds until PREDICATE gives something true, and return it."
  (let ((end (+ (float-time) 20)) result)
    (while (and (not (setq result (funcall predicate))) (< (float-time) end))
      ;; Batch Emacs is never idle, and Eglot sends what was typed in an idle moment.
      (when (bound-and-true-p eglot--managed-mode)
        (eglot--signal-textDocument/didChange))
      (accept-process-output nil 0.05))
    result))

(defun open-plan (name)
  "Open the plan NAME and show it, since a hover is only for what is shown."
  (switch-to-buffer (find-file-noselect (expand-file-name name (getenv "PLANS"))))
  (run-hooks 'post-command-hook))

(defun go (regexp)
  "Put point on the first group of REGEXP, or on its start, from the top."
  (goto-char (point-min))
  (re-search-forward regexp)
  (goto-char (or (match-beginning 1) (match-beginning 0))))

(defun this-line ()
  "Return the text of the line."
  (buffer-substring-no-properties (line-beginning-position) (line-end-position)))

;;; driver.el ends here
