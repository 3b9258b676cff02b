;;; missing.el --- What a user sees who has the mode but not the program  -*- lexical-binding: t; -*-

;;; Code:

(setq bellwire-start-server nil)
(open-plan "sites/millrace.bell")
(check "who wants no server misses none"
       (eq major-mode 'bellwire-mode)
       (not (get-buffer "*Warnings*")))
(setq bellwire-start-server t)

(open-plan "sites/harbour.bell")

(let ((warnings (with-current-buffer "*Warnings*" (buffer-string))))
  (check "a plain message says what to run"
         (string-search "was not found" warnings)
         (string-search "cargo install --locked --path server/bellwire" warnings)))

(open-plan "catalog/merrow.bell")
(check "it is said once, not for every plan"
       (= 1 (with-current-buffer "*Warnings*" (how-many "was not found" (point-min)))))

(open-plan "sites/harbour.bell")
(font-lock-ensure)
(cl-flet ((face (regexp) (go regexp) (get-text-property (point) 'face)))
  (check "colours follow the shape"
         (eq (face "^ *\\(keypad\\) +rear") 'font-lock-keyword-face)
         (eq (face "\\(\"Workshop door\"\\)") 'font-lock-string-face)
         (eq (face ": \\(K2R\\)") 'font-lock-type-face)
         (eq (face ", +\\(address\\) 1") 'font-lock-builtin-face)
         (eq (face "address \\(1\\),") 'font-lock-constant-face)
         (eq (face "fitted \\(2025-03\\)") 'font-lock-constant-face)
         (eq (face "--\\(12\\) m--") 'font-lock-constant-face)
         (eq (face "--12 \\(m\\)--") 'font-lock-doc-face)
         (eq (face "{ \\(x1\\)\\.1 --") nil)
         (eq (face "^ *\\(main\\)\\.keys --") nil)
         (eq (face "main\\.\\(2\\) --") nil)
         (eq (face "^\\(#\\)") 'font-lock-comment-delimiter-face)))

(with-temp-buffer
  (insert "ambient -5 °C .. −1 °C\nworks 9.6..14.5 V\n")
  (bellwire-mode)
  (font-lock-ensure)
  (check "numbers below nothing and in ranges are numbers"
         (dolist (number '("-5" "−1" "9.6" "14.5") t)
           (go (concat "\\(" (regexp-quote number) "\\)"))
           (unless (eq (get-text-property (point) 'face) 'font-lock-constant-face)
             (error "No colour at %s" number)))))

(let ((before (buffer-string)))
  (let ((inhibit-message t)) (indent-region (point-min) (point-max)))
  (check "the demo's indentation is what the mode gives" (equal before (buffer-string))))

(with-temp-buffer
  (bellwire-mode)
  (insert "site a {\njoint j # }\n}\n")
  (setq-local bellwire-indent-offset 4)
  (let ((inhibit-message t)) (indent-region (point-min) (point-max)))
  (check "blocks are indented by as much as is set"
         (equal (buffer-string) "site a {\n    joint j # }\n}\n"))
  (let ((inhibit-message t)) (comment-region (point-min) (point-max)))
  (check "lines become comments"
         (equal (buffer-string) "# site a {\n#     joint j # }\n# }\n")))

(dolist (open '("\"Hall {" "\"Hall \\" "\"Hall\\\" }" "\"" "\"A\" \"Hall"))
  (with-temp-buffer
    (bellwire-mode)
    (insert "site a {\n  panel p " open "\n  # A \" here\n  keypad k \"Door\"\n}\n")
    (font-lock-ensure)
    (cl-flet ((face (regexp) (go regexp) (get-text-property (point) 'face)))
      (check (format "a text that is not closed ends with its line: %s" open)
             (eq (face "^  \\(keypad\\)") 'font-lock-keyword-face)
             (eq (face "\"\\(Door\\)") 'font-lock-string-face)
             (eq (face "\\(here\\)") 'font-lock-comment-face)
             (= 1 (car (syntax-ppss (progn (go "^\\(}\\)") (point)))))
             (= 0 (car (syntax-ppss (point-max))))))))

(check "a file cannot name the program by itself"
       (risky-local-variable-p 'bellwire-program))

(goto-char (point-max))
(execute-kbd-macro (kbd "RET site SPC new SPC { RET panel SPC p SPC { RET } RET }"))
(check "typing indents"
       (string-suffix-p "site new {\n  panel p {\n  }\n}" (buffer-string)))

;;; missing.el ends here
