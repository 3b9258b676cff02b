;;; bellwire-mode.el --- Plans of wired security systems  -*- lexical-binding: t; -*-

;; Copyright (C) 2026 The Bellwire authors

;; Author: The Bellwire authors
;; Version: 0.1.0
;; Package-Requires: ((emacs "28.1") (eglot "1.9"))
;; Keywords: languages
;; SPDX-License-Identifier: MIT OR Apache-2.0

;;; Commentary:

;; Files that end in .bell: colours, indentation, and the language server through Eglot.
;;
;; A plan has one shape for everything, so colours follow from where a word stands and no
;; word is listed here:
;;
;;     KEYWORD argument... [: MODEL] [, clause]... [{ block }]
;;     main.keys --12 m-- front --31 m-- rear

;;; Code:

(require 'cl-lib)
(require 'eglot)

(defgroup bellwire nil
  "Plans of wired security systems."
  :group 'languages)

(defcustom bellwire-program nil
  "The path of the program.
Nil looks for `bellwire' on the PATH, then where cargo installs."
  :type '(choice (const :tag "Look for it" nil) file)
  :risky t)

(defcustom bellwire-start-server t
  "Whether opening a plan starts the language server."
  :type 'boolean)

(defcustom bellwire-indent-offset 2
  "Columns for each open block."
  :type 'natnum
  :safe #'natnump)

;;; Colours

(eval-and-compile
  (defconst bellwire--name "[[:alpha:]_][[:alnum:]_]*\\(?:-[[:alnum:]_]+\\)*"
    "A word or a name, as a regular expression."))

(defun bellwire--match-keyword (limit)
  "Find the next word that begins a statement, before LIMIT.
The lines of a cable's way begin with none."
  (let (found)
    (while (and (not found)
                (re-search-forward (concat "\\(?:^\\|{\\)[ \t]*\\(" bellwire--name "\\)") limit t))
      (setq found (save-match-data (not (looking-at "[ \t]*\\(?:--\\|\\+\\)\\|\\.")))))
    found))

(defconst bellwire--font-lock
  `((bellwire--match-keyword 1 font-lock-keyword-face)
    (,(concat ",[ \t]*\\(" bellwire--name "\\)") 1 font-lock-builtin-face)
    (,(concat ":[ \t]*\\(" bellwire--name "\\)") 1 font-lock-type-face)
    ("\\_<[0-9]\\{4\\}-[0-9]\\{2\\}\\(?:-[0-9]\\{2\\}\\)?\\_>" 0 font-lock-constant-face)
    ;; Not behind a single point: `main.3' is the name of an input.
    ("\\(?:^\\|--\\|\\.\\.\\|[^.[:alnum:]_-]\\)\\([-−]?[0-9]+\\(?:\\.[0-9]+\\)*\\)\\(?:[ \t]*\\([[:alpha:]°%][[:alnum:]]*\\(?:/[[:alpha:]]+\\)?\\)\\)?"
     (1 font-lock-constant-face)
     (2 font-lock-doc-face nil t)))
  "Colours by position.")

(defvar bellwire-mode-syntax-table
  (let ((table (make-syntax-table)))
    (modify-syntax-entry ?# "<" table)
    (modify-syntax-entry ?\n ">" table)
    (modify-syntax-entry ?\" "\"" table)
    (modify-syntax-entry ?\\ "\\" table)
    (modify-syntax-entry ?{ "(}" table)
    (modify-syntax-entry ?} "){" table)
    (modify-syntax-entry ?- "_" table)
    (modify-syntax-entry ?_ "_" table)
    (modify-syntax-entry ?. "." table)
    (modify-syntax-entry ?+ "." table)
    table)
  "Comments, strings and blocks.")

(defun bellwire--end-texts (start end)
  "Have each text that is not closed between START and END end with its line.
START is at the start of a line, where nothing is open."
  (goto-char start)
  (while (< (point) end)
    (let ((state (parse-partial-sexp (point) (line-end-position))))
      (when (nth 3 state)
        (cl-flet ((mark (place syntax)
                    (put-text-property place (1+ place) 'syntax-table (string-to-syntax syntax))))
          (mark (nth 8 state) "|")
          (when (nth 5 state)           ; a backslash before the line's end
            (mark (1- (point)) "."))
          (unless (eobp)
            (mark (point) "|")))))
    (forward-line 1)))

;;; Indentation

(defun bellwire-indent-line ()
  "Indent the line by the blocks that are open at its start."
  (let* ((depth (save-excursion
                  (back-to-indentation)
                  (- (car (syntax-ppss)) (if (eq (char-after) ?}) 1 0))))
         (column (* bellwire-indent-offset (max depth 0)))
         (behind (- (current-column) (current-indentation))))
    (indent-line-to column)
    (when (> behind 0)
      (move-to-column (+ column behind)))))

;;; The server

(defun bellwire-find-program ()
  "Return the path of the program, or nil if it is not there."
  (if bellwire-program
      (executable-find (expand-file-name bellwire-program))
    (or (executable-find "bellwire")
        (executable-find (expand-file-name "bin/bellwire" (or (getenv "CARGO_HOME") "~/.cargo"))))))

(defun bellwire--contact (&optional _interactive)
  "Return the command for the server.
If there is no program, an error says what to do."
  (let ((program (bellwire-find-program)))
    (unless program
      (user-error "%s" (bellwire--missing)))
    (list program "serve")))

(defun bellwire--missing ()
  "Say what to do about a program that is not found."
  (format "The program %s was not found, so plans are not checked.  Run `cargo install --locked --path server/bellwire' in a Bellwire checkout, or set `bellwire-program'; then M-x eglot."
          (or bellwire-program "bellwire")))

(defvar bellwire--told nil "Whether the user knows that the program is missing.")

(defun bellwire--start ()
  "Start the server for this plan, or say once why not."
  (cond ((bellwire-find-program) (eglot-ensure))
        ((not bellwire--told)
         (setq bellwire--told t)
         (display-warning 'bellwire (bellwire--missing)))))

(add-to-list 'eglot-server-programs '(bellwire-mode . bellwire--contact))

;;; The echo area

(defun bellwire--tell-findings-first ()
  "Have ElDoc tell what is wrong at point, then what stands there.
Eglot leaves it at the first of its own that has an answer."
  (when (eglot-managed-p)
    (remove-hook 'eldoc-documentation-functions #'flymake-eldoc-function t)
    (add-hook 'eldoc-documentation-functions #'flymake-eldoc-function -90 t)
    (setq-local eldoc-documentation-strategy #'eldoc-documentation-compose)))

;;; The mode line

(defvar-local bellwire--standing nil
  "How the site at point stands: the server's answer, or nil.")

(defvar bellwire--timer nil
  "Asks how the site at point stands once the user rests.")

(defun bellwire--ask ()
  "Ask the server how the site at point stands, for the mode line."
  (when (and (derived-mode-p 'bellwire-mode) (eglot-managed-p))
    (let ((buffer (current-buffer)))
      (jsonrpc-async-request
       (eglot-current-server) :bellwire/standing (eglot--TextDocumentPositionParams)
       :deferred :bellwire/standing     ; until the server has what was typed
       :success-fn (lambda (answer)
                     (when (buffer-live-p buffer)
                       (with-current-buffer buffer
                         (setq bellwire--standing answer)
                         (force-mode-line-update))))
       :error-fn #'ignore))))

(defvar bellwire--mode-line-map
  (let ((map (make-sparse-keymap)))
    (define-key map [mode-line mouse-1] #'bellwire-go-to-least)
    map)
  "A click on the mode line's device goes there.")

(defun bellwire--mode-line ()
  "Return the device with least to spare, for the mode line, or nil."
  (when (and bellwire--standing (eglot-managed-p))
    (list " "
          (propertize (plist-get bellwire--standing :text)
                      'face (if (eq (plist-get bellwire--standing :works) t) 'mode-line-emphasis 'error)
                      'help-echo (concat (plist-get bellwire--standing :detail) "\nmouse-1: go there")
                      'mouse-face 'mode-line-highlight
                      'local-map bellwire--mode-line-map))))

(defun bellwire-go-to-least ()
  "Go to the device with least to spare of the site at point."
  (interactive)
  (unless bellwire--standing
    (user-error "Nothing is known here of what devices have to spare"))
  (let ((start (plist-get (plist-get (plist-get bellwire--standing :location) :range) :start)))
    (push-mark nil t)
    (goto-char (eglot--lsp-position-to-point start))
    (message "%s" (plist-get bellwire--standing :detail))))

;;;###autoload
(define-derived-mode bellwire-mode prog-mode "Bellwire"
  "Plans of wired security systems."
  (setq-local comment-start "# "
              comment-end ""
              comment-start-skip "#+[ \t]*"
              font-lock-defaults '(bellwire--font-lock)
              syntax-propertize-function #'bellwire--end-texts
              indent-line-function #'bellwire-indent-line
              indent-tabs-mode nil
              electric-indent-chars (cons ?} electric-indent-chars)
              mode-line-process '(:eval (bellwire--mode-line)))
  (add-hook 'eglot-managed-mode-hook #'bellwire--tell-findings-first nil t)
  (unless bellwire--timer
    (setq bellwire--timer (run-with-idle-timer 0.3 t #'bellwire--ask)))
  (when (and bellwire-start-server buffer-file-name)
    (bellwire--start)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.bell\\'" . bellwire-mode))

(provide 'bellwire-mode)

;;; bellwire-mode.el ends here
