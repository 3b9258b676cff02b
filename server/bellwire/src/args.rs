//! The command line, with help that teaches.

use std::path::PathBuf;

use bellwire_plan::day::Day;
use clap::builder::Styles;
use clap::{Args as Arguments, Parser, Subcommand, ValueEnum};

use crate::today::parse_day;

const LONG_ABOUT: &str = "\
Bellwire reads plans of wired security systems and says what is wrong with them \
before anybody drives to site: two keypads at one address, an output that cannot \
carry its load, a device that the cable starves, a battery that dies at hour nine.

A plan is plain text in files that end in .bell, one statement a line:

    use \"../catalog/merrow.bell\"

    site harbour \"Harbour Street\" {
      panel main : M8 {
        bus keys { keypad front \"Shop door\" : K2, address 1 }
      }
      run keys-a : copper-4x22AWG { main.keys --12 m-- front }
    }

`model` describes a product, `site` an installed system, `run` a cable and its route. \
Cables, batteries and rule sets come with the program.";

const AFTER: &str = "\
`bellwire COMMAND --help` says more, with examples.

What Bellwire computes helps you plan; it does not replace the local code, the \
standard's own text, the maker's instructions or a licensed person.";

/// Plans of wired security systems in plain text.
#[derive(Debug, Parser)]
#[command(name = "bellwire", version, long_about = LONG_ABOUT, after_help = AFTER)]
#[command(styles = Styles::plain())]
#[command(arg_required_else_help = true)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say what is wrong with the plans under the paths
    #[command(after_help = "\
Exit codes: 0 no errors (warnings and accepted findings do not count), 1 errors, \
2 could not run (no such path, a file that cannot be read).

Examples:
  bellwire check                        every plan below this folder
  bellwire check sites/harbour.bell     one file, and what it uses
  bellwire check --format json > findings.json")]
    Check(CheckArgs),
    /// Show volts, amperes, battery hours and loop ohms, as tables
    #[command(after_help = "\
Each device is worked out in four states: on mains in standby and in alarm, and the \
same with the battery at its end. A voltage outside the device's range is marked `!`.

Examples:
  bellwire figures sites/harbour.bell
  bellwire figures sites/harbour.bell --explain rear     the sum, line by line
  bellwire figures --format json | jq '.sites[].batteries'")]
    Figures(FiguresArgs),
    /// Rewrite plans in the canonical layout
    #[command(after_help = "\
Only blanks, line breaks and columns change, never what a plan says. A stretch whose \
braces do not match is left as it is; `bellwire check` says where.

Exit codes: 0 done; 1 with --check, if a file would change or was left alone; \
2 could not run.

Examples:
  bellwire format                       every plan below this folder
  bellwire format --check sites         tell only, as before a commit")]
    Format(FormatArgs),
    /// Explain a finding, a word of the notation, a rule set, a cable or a battery
    #[command(after_help = "\
Examples:
  bellwire explain                      all there is to explain
  bellwire explain address-taken        a finding, by its code
  bellwire explain zone                 a word: where it stands and what it takes
  bellwire explain sealed-12V-7Ah       a cable, battery or rule set of the library")]
    Explain(ExplainArgs),
    /// Run the language server on standard input and output; editors start it
    #[command(after_help = "\
The server speaks the Language Server Protocol. Plans in the editor's folders are read \
when it starts; one that is opened outside of them may use what lies in its repository, \
or else in its own folder. Settings, under `bellwire`:

  findings       \"push\" (default), or \"pull\" if the editor is to ask for them
  hints.devices  volts and amperes beside devices (default true)
  hints.legs     the drop on each leg of a run (default true)
  hints.zones    the ohms of each zone (default true)
  lenses         load, standby time and worst device above panels (default true)")]
    Serve(ServeArgs),
}

/// What `check` is told.
#[derive(Debug, Arguments)]
pub struct CheckArgs {
    #[command(flatten)]
    pub plans: Plans,
    /// How to write the findings
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub format: CheckFormat,
    /// The day on which to judge how old batteries are [default: today, UTC]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = parse_day)]
    pub today: Option<Day>,
    /// When to use colour; NO_COLOR is heeded too
    #[arg(long, alias = "color", value_name = "WHEN", default_value = "auto")]
    pub colour: Colour,
}

/// What `figures` is told.
#[derive(Debug, Arguments)]
pub struct FiguresArgs {
    #[command(flatten)]
    pub plans: Plans,
    /// How to write the figures
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub format: FiguresFormat,
    /// Show the working for one thing instead: a device, a panel or supply, an output as main.aux, a bus as main.keys, a zone as `zone 2`, a run (of a ring with each leg cut), a joint; with its site in front, harbour.rear, where several sites have the name
    #[arg(long, value_name = "NAME", conflicts_with = "format")]
    pub explain: Option<String>,
}

/// What `format` is told.
#[derive(Debug, Arguments)]
pub struct FormatArgs {
    #[command(flatten)]
    pub plans: Plans,
    /// Change nothing; name the files that would change
    #[arg(long)]
    pub check: bool,
}

/// What `explain` is told.
#[derive(Debug, Arguments)]
pub struct ExplainArgs {
    /// A finding's code, such as address-taken, a word of the notation, such as zone, or a name of the library, such as intruder-grade-2 or sealed-12V-7Ah; without one, all that can be explained is listed
    pub name: Option<String>,
}

/// What `serve` is told.
#[derive(Debug, Arguments)]
pub struct ServeArgs {
    /// Speak over standard input and output, the only way there is
    #[arg(long)]
    pub stdio: bool,
    /// How much to write to standard error: off, error, warn, info, debug or trace
    #[arg(long, value_name = "LEVEL", default_value = "warn")]
    pub log: tracing::level_filters::LevelFilter,
}

/// Which plans.
#[derive(Debug, Arguments)]
pub struct Plans {
    /// Files, or folders to look through for .bell files; git-ignored and hidden ones are left out
    #[arg(value_name = "PATH", default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// The folder that `use` may not leave [default: the nearest one around a path that holds .git, else this folder, else the path's own]
    #[arg(long, value_name = "FOLDER")]
    pub root: Option<PathBuf>,
}

/// How findings are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// For people, with the plan's lines
    Text,
    /// For programs
    Json,
    /// SARIF 2.1.0, for code hosts and review tools
    Sarif,
}

/// How figures are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FiguresFormat {
    /// Tables for people
    Text,
    /// For programs; SI units, unrounded
    Json,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}
