;;; plan.el --- A designer's session on the demo plan  -*- lexical-binding: t; -*-

;;; Code:

(require 'eglot)
(require 'flymake)
(setq eglot-send-changes-idle-time 0.05
      flymake-no-changes-timeout 0.1
      eglot-confirm-server-initiated-edits nil)

(defun findings (code)
  "Return the findings of CODE in the plan: its name stands in the text of each."
  (cl-remove-if-not (lambda (d) (string-search code (flymake-diagnostic-text d))) (flymake-diagnostics)))

(defun rename-address (from to)
  "Type the rear keypad's address over: FROM becomes TO."
  (go (format "^ *keypad +rear.*address \\(%s\\)" from))
  (delete-char 1)
  (execute-kbd-macro to))

(open-plan "sites/harbour.bell")
(check "the file is a Bellwire plan" (eq major-mode 'bellwire-mode))
(check "the server starts by itself" (eventually #'eglot-managed-p))

(check "the taken address in the demo is found" (eventually (lambda () (findings "address-taken"))))
(rename-address "1" "2")
(check "the finding goes while typing" (eventually (lambda () (not (findings "address-taken")))))
(rename-address "2" "1")
(check "and comes again" (eventually (lambda () (findings "address-taken"))))

(go "^ *keypad +rear.*address \\(1\\)")
(let* (shown
       (eldoc-display-functions
        (list (lambda (docs &rest _) (setq shown (mapconcat #'car docs "\n"))))))
  (check "what is wrong at point is told before what stands there"
         (eventually (lambda ()
                       (eldoc-print-current-symbol-info)
                       (accept-process-output nil 0.1)
                       (string-match-p "address-taken\\(?:.\\|\n\\)*Address 1 on main\\.keys" (or shown ""))))))
(let* ((actions (eglot-code-actions (point) (1+ (point)) nil nil))
       (fix (cl-find-if (lambda (a) (string-search "address 2" (plist-get a :title))) actions)))
  (check "a quick fix gives the next free address" fix)
  (if (fboundp 'eglot-execute)
      (eglot-execute (eglot-current-server) fix)
    (eglot--apply-workspace-edit (plist-get fix :edit))))
(check "the fix mends it"
       (string-search "address 2" (this-line))
       (eventually (lambda () (not (findings "address-taken")))))

(go "^ *keypad +\\(rear\\)")
(let (text)
  (eglot-hover-eldoc-function (lambda (string &rest _) (setq text string)))
  (check "hover on a device shows its volts"
         (eventually (lambda () text))
         (string-match-p "rear" text)
         (string-match-p "[0-9] V\\b" text)
         (string-search "with the battery at its end" text)))

(go "^ *\\(partition 2\\)")
(let (shown)
  (cl-flet ((device () (bellwire--ask) (accept-process-output nil 0.1)
                    (setq shown (or (cadr (bellwire--mode-line)) ""))))
    (check "the mode line says which device has least to spare"
           (eventually (lambda () (equal (device) "rear 0.08 V to spare"))))
    (bellwire-go-to-least)
    (check "and a command goes there" (looking-at "rear +\"Workshop door\""))
    (go "\\(31\\) m")
    (delete-char 2)
    (execute-kbd-macro "5")
    (check "it follows the typing"
           (eventually (lambda () (not (string-search "0.08 V" (device)))))
           (string-search "V to spare" shown))
    (delete-char -1)
    (execute-kbd-macro "31")
    (check "back again" (eventually (lambda () (string-search "rear 0.08 V" (device)))))))

(go "^ *keypad +rear")
(end-of-line)
(newline)
(insert "      keypad spare : K2, address ")
(let* ((capf (eglot-completion-at-point))
       (words (mapcar #'substring-no-properties (all-completions "" (nth 2 capf)))))
  (check (format "after the word address the free places are offered: %s" (string-join words " "))
         (member "3" words)
         (not (member "1" words))
         (not (member "2" words))))
(delete-region (line-beginning-position) (1+ (line-end-position)))

(go "^ *partition 2")
(let ((before (this-line)))
  (insert "     ")
  (eglot-format-buffer)
  (go "^ *partition 2")
  (check "the layout is put right" (equal before (this-line))))

(go "\\(K2R\\)")
(xref-find-definitions "K2R")
(check "go to definition on a model lands in the catalog"
       (string-suffix-p "catalog/merrow.bell" buffer-file-name)
       (string-prefix-p "model keypad K2R" (this-line)))

(pop-to-buffer (get-file-buffer (expand-file-name "sites/harbour.bell" (getenv "PLANS"))))
(go "\\(sealed-12V-7Ah\\)")
(xref-find-definitions "sealed-12V-7Ah")
(check "a built-in model opens for reading only"
       (string-match-p "/bellwire/.*\\.bell\\'" buffer-file-name)
       (string-prefix-p "model battery sealed-12V-7Ah" (this-line))
       buffer-read-only)
(pop-to-buffer (get-file-buffer (expand-file-name "sites/harbour.bell" (getenv "PLANS"))))

(eglot-shutdown (eglot-current-server))
(check "the server stops when told" (not (eglot-managed-p)))

;;; plan.el ends here
