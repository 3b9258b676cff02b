/**
 * The shape of a Bellwire plan, and nothing of its vocabulary.
 *
 *     KEYWORD argument… [: MODEL] [, clause]… [{ block }]
 *     main.keys --12 m-- front --31 m-- rear
 *
 * Two rules make an unfinished line harm nobody else. Every token may stand
 * anywhere on a line (where it does not fit it is `stray`), so no line is ever
 * an error. And a `{` with something after it on its own line opens an inline
 * block, which ends with that line whether or not its `}` has been typed.
 */

// Lexical precedence at one length. Where both fit, after a point stands a part
// of a reference, and after a number a unit, not a name.
const PREC = { part: 5, date: 4, number: 3, unit: 2, name: 1, stray: -1 };

// A combining mark belongs to the letter before it, so that a decomposed `é` is one.
const WORD = "[\\p{L}\\p{N}\\p{M}_]";
const NAME = new RegExp(`[\\p{L}_]${WORD}*(-${WORD}+)*`);
const PART = new RegExp(`${WORD}+(-${WORD}+)*`);
const BLANK = "\\p{Zs}\\t\\f\\v\\x00\\uFEFF";
const UNIT = /[\p{L}°%][\p{L}\p{N}]*(\/[\p{L}°%][\p{L}\p{N}]*)?/;

// What may follow a line's own words: `: MODEL`, clauses, a block.
const rest = ($) => [repeat($._tail), optional($.block)];

module.exports = grammar({
  name: "bellwire",

  extras: ($) => [new RegExp(`[${BLANK}]`), $.comment],

  supertypes: ($) => [$._line],

  // After a first name `--` and `+` make a path of the line; `..` after a
  // quantity makes a range of both.
  precedences: (_) => [
    ["way", "words"],
    ["range", "alone"],
  ],

  rules: {
    plan: ($) => repeat(choice($._line, $._line_break, $.stray_close)),

    _line: ($) => choice($.statement, $.path, $.fragment),
    _line_break: (_) => /\r\n|\n|\r/,

    statement: ($) =>
      prec.right("words", seq(field("keyword", $._reference), repeat($._argument), ...rest($))),

    // The way of a cable, as it lies: only a line of a run is one.
    path: ($) =>
      prec.right(
        "way",
        seq(
          choice(seq(alias($._single, $.point), $.leg), alias($._joined, $.point)),
          repeat(choice($.point, $.leg, $._bare)),
          ...rest($),
        ),
      ),

    // A line that has no keyword: what is left when its start is not typed yet.
    fragment: ($) =>
      prec.right(
        choice(
          seq(choice($._bare, $._mark), repeat($._argument), ...rest($)),
          seq($._tail, ...rest($)),
          $.block,
        ),
      ),

    _tail: ($) => choice($.model, $.clause),

    model: ($) => prec.right(seq(":", repeat($._argument))),
    clause: ($) => prec.right(seq(",", optional($._clause_words))),
    _clause_words: ($) =>
      prec.right(
        seq(choice(field("keyword", $._reference), $._bare, $._mark), repeat($._argument)),
      ),

    block: ($) =>
      prec.right(
        seq(
          "{",
          choice(seq($._line_break, repeat(choice($._line, $._line_break))), optional($._line)),
          optional("}"),
        ),
      ),

    stray_close: (_) => "}",

    // Several circuits in one cable: `main.aux + main.3`.
    point: ($) => choice($._single, $._joined),
    _single: ($) => prec.right("way", $._reference),
    _joined: ($) => prec.right("way", seq($._reference, repeat1($._and))),
    _and: ($) => prec.right("way", seq("+", optional($._reference))),
    leg: ($) => prec.right("way", seq("--", optional(field("length", $.quantity)), optional("--"))),

    _argument: ($) => choice($._reference, $._bare, $._mark),
    _bare: ($) => prec("alone", choice($.string, $.quantity, $.range, $.date, $.stray)),

    _reference: ($) => choice($.name, $.reference),
    reference: ($) => seq($.name, repeat1($._dot_part)),
    _dot_part: ($) =>
      seq(token.immediate("."), optional(alias(token.immediate(prec(PREC.part, PART)), $.part))),
    name: (_) => token(prec(PREC.name, NAME)),

    range: ($) => prec.right("range", seq(optional($.quantity), "..", optional($.quantity))),
    quantity: ($) => prec.right(seq($.number, optional($.unit))),
    number: (_) => token(prec(PREC.number, /[-−]?\d+(\.\d+)*/)),
    unit: (_) => token(prec(PREC.unit, UNIT)),
    date: (_) => token(prec(PREC.date, /\d{4}-\d{2}(-\d{2})?/)),

    // Left open, it ends with its line.
    string: (_) => /"([^"\\\r\n]|\\[^\r\n])*"?/,

    // Whatever fits nowhere: a character, or a mark of a path where none is. Never
    // a blank, or blanks before a token would become part of it.
    stray: (_) => token(prec(PREC.stray, new RegExp(`[^\\r\\n${BLANK}]`))),
    _mark: ($) => prec("words", alias(choice("--", "+"), $.stray)),

    comment: (_) => /#[^\r\n]*/,
  },
});
