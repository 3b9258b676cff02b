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

const NAME_PART = /[\p{L}\p{N}_]+(-[\p{L}\p{N}_]+)*/;
const UNIT_PART = "[\\p{L}°%][\\p{L}\\p{N}]*";

// What may follow a line's own words: `: MODEL`, clauses, a block.
const rest = ($) => [repeat($._tail), optional($.block)];

module.exports = grammar({
  name: "bellwire",

  extras: ($) => [/[ \t\f\v\u00A0\uFEFF]/, $.comment],

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
    clause: ($) =>
      prec.right(
        seq(
          ",",
          optional(seq(choice(field("keyword", $._reference), $._bare, $._mark), repeat($._argument))),
        ),
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
    leg: ($) =>
      prec.right("way", seq("--", optional(field("length", $.quantity)), optional("--"))),

    _argument: ($) => choice($._reference, $._bare, $._mark),
    _bare: ($) => prec("alone", choice($.string, $.quantity, $.range, $.date, $.stray)),

    _reference: ($) => choice($.name, $.reference),
    reference: ($) =>
      seq(
        $.name,
        repeat1(seq(token.immediate("."), optional(alias(token.immediate(prec(PREC.part, NAME_PART)), $.part)))),
      ),
    name: (_) => token(prec(PREC.name, /[\p{L}_][\p{L}\p{N}_]*(-[\p{L}\p{N}_]+)*/)),

    quantity: ($) => prec.right(seq($.number, optional($.unit))),
    range: ($) =>
      prec.right("range", choice(seq($.quantity, "..", optional($.quantity)), seq("..", optional($.quantity)))),
    number: (_) => token(prec(PREC.number, /[-−]?\d+(\.\d+)*/)),
    unit: (_) => token(prec(PREC.unit, new RegExp(`${UNIT_PART}(/${UNIT_PART})?`))),
    date: (_) => token(prec(PREC.date, /\d{4}-\d{2}(-\d{2})?/)),

    string: (_) => /"([^"\\\r\n]|\\[^\r\n])*"?/,

    stray: (_) => token(prec(PREC.stray, /[^\r\n]/)),
    _mark: ($) => prec("words", alias(choice("--", "+"), $.stray)),

    comment: (_) => /#[^\r\n]*/,
  },
});
