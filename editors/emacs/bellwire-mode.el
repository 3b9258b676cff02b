;;; bellwire-mode.el --- Plans of wired security systems  -*- lexical-binding: t; -*-

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

(require 'eglot)

(defgroup bellwire nil
  "Plans of wired security systems."
  :group 'languages)

(defcustom bellwire-program nil
  "The path of the program.
Nil looks for `bellwire' on the PATH, then where cargo installs."
  :type '(choice (const :tag "Look for it" nil) file))

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
    ("\\_<\\([0-9]+\\(?:\\.[0-9]+\\)*\\)\\(?:[ \t]*\\([[:alpha:]°%][[:alnum:]]*\\(?:/[[:alpha:]]+\\)?\\)\\)?"
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
  "Return the command that starts the server.
If there is no program, an error says what to do."
  (let ((program (bellwire-find-program)))
    (unless program
      (user-error "%s" (bellwire--missing)))
    (list program "serve")))

(defun bellwire--missing ()
  "Say what to do about a program that is not found."
  (format "The program %s was not found, so plans are not checked.  Run `cargo install --path server/bellwire' in a Bellwire checkout, or set `bellwire-program'; then M-x eglot."
          (or bellwire-program "bellwire")))

(defvar bellwire--told nil "Whether the user knows that the program is missing.")

(defun bellwire--start ()
  "Start the server for this plan, or say once why not."
  (cond ((bellwire-find-program) (eglot-ensure))
        ((not bellwire--told)
         (setq bellwire--told t)
         (display-warning 'bellwire (bellwire--missing)))))

(add-to-list 'eglot-server-programs '(bellwire-mode . bellwire--contact))

;;;###autoload
(define-derived-mode bellwire-mode prog-mode "Bellwire"
  "Plans of wired security systems."
  (setq-local comment-start "# "
              comment-start-skip "#+[ \t]*"
              font-lock-defaults '(bellwire--font-lock)
              indent-line-function #'bellwire-indent-line
              indent-tabs-mode nil
              electric-indent-chars (cons ?} electric-indent-chars))
  (when (and bellwire-start-server buffer-file-name)
    (bellwire--start)))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.bell\\'" . bellwire-mode))

(provide 'bellwire-mode)

;;; bellwire-mode.el ends here
