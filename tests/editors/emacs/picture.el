;;; picture.el --- The settings for the documentation's picture  -*- lexical-binding: t; -*-

;;; Code:

(require 'package)
(package-initialize)
(require 'eglot)
(setq inhibit-startup-screen t
      native-comp-async-report-warnings-errors 'silent ; of packages not ours
      eldoc-echo-area-use-multiline-p nil
      frame-background-mode 'light
      flymake-no-changes-timeout 0.2)
(menu-bar-mode -1)
(load-theme 'tango t)

(defun picture-arrange ()
  "Show the plan at the rear keypad, and its volts."
  (goto-char (point-min))
  (re-search-forward "^ *keypad +\\(rear\\)")
  (goto-char (match-beginning 1))
  (eldoc-print-current-symbol-info)
  (run-with-timer 1 nil
                  (lambda ()
                    (call-interactively #'eldoc-doc-buffer)
                    (recenter 14)
                    (message nil))))

(add-hook 'eglot-managed-mode-hook (lambda () (run-with-timer 2 nil #'picture-arrange)))

;;; picture.el ends here
