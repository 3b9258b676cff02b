//! Keeps what was checked against what, and writes it up as a table.
//!
//! A check does not stop at the first value that is off: all values of all sources are compared,
//! and each check then fails or passes as a test of its own. The table of a complete run must be
//! the one in `README.md`; `UPDATE_EXPECT=1` writes it there.

use std::fmt::{Debug, Display, Write};
use std::process::ExitCode;
use std::sync::{Arc, Mutex};

use libtest_mimic::{Arguments, Failed, Trial};

/// Compares some values.
type Check = fn(&mut Checks);

/// Something outside the project that figures are checked against.
pub struct Source {
    /// What it is called, as a reader would look it up.
    pub name: &'static str,
    /// How its values are known: read, read second-hand, from memory, computed.
    pub known: &'static str,
    /// What is checked, in a few words each.
    pub checks: &'static [(&'static str, Check)],
}

/// The values compared in one check.
#[derive(Default)]
pub struct Checks {
    values: usize,
    worst: f64,
    allowed: f64,
    wrong: Vec<String>,
}

impl Checks {
    /// Compares two numbers, to a share of theirs.
    pub fn agree(&mut self, what: impl Display, ours: f64, theirs: f64, tolerance: f64) {
        let difference = if ours == theirs {
            0.0
        } else {
            ((ours - theirs) / theirs).abs()
        };
        self.note(what, &ours, &theirs, difference, tolerance);
    }

    /// Compares two numbers, to a share of a third: for what may be near zero among greater ones.
    pub fn agree_beside(
        &mut self,
        what: impl Display,
        ours: f64,
        theirs: f64,
        greatest: f64,
        tolerance: f64,
    ) {
        let difference = ((ours - theirs) / greatest).abs();
        self.note(what, &ours, &theirs, difference, tolerance);
    }

    /// Compares a number with a printed one, which was rounded to its last digit.
    pub fn printed(&mut self, what: impl Display, ours: f64, theirs: &str) {
        let decimals = theirs.split_once('.').map_or(0, |(_, after)| after.len());
        let number: f64 = theirs.parse().unwrap();
        // A little more than half of the last digit, for a number that lies on the edge.
        let half = 0.501 * 10_f64.powi(-i32::try_from(decimals).unwrap());
        self.agree(what, ours, number, half / number);
    }

    /// Compares what has no number.
    pub fn same<T: PartialEq + Debug>(&mut self, what: impl Display, ours: T, theirs: T) {
        let difference = if ours == theirs { 0.0 } else { f64::INFINITY };
        self.note(what, &ours, &theirs, difference, 0.0);
    }

    /// Takes over what another has compared.
    pub fn add(&mut self, other: Checks) {
        self.values += other.values;
        self.worst = self.worst.max(other.worst);
        self.allowed = self.allowed.max(other.allowed);
        self.wrong.extend(other.wrong);
    }

    /// How many values were compared.
    pub fn values(&self) -> usize {
        self.values
    }

    /// What was off, a line each.
    pub fn wrong(&self) -> &[String] {
        &self.wrong
    }

    fn note(
        &mut self,
        what: impl Display,
        ours: &dyn Debug,
        theirs: &dyn Debug,
        difference: f64,
        tolerance: f64,
    ) {
        self.values += 1;
        self.worst = self.worst.max(difference);
        self.allowed = self.allowed.max(tolerance);
        if difference.is_nan() || difference > tolerance {
            self.wrong.push(format!(
                "{what}: {ours:?} against {theirs:?}, off by {difference:e} where {tolerance:e} is allowed"
            ));
        }
    }
}

/// Runs each check as a test, prints the table, and holds it against its section of `README.md`.
pub fn run(section: &str, sources: &'static [Source]) -> ExitCode {
    let arguments = Arguments::from_args();
    let done: Arc<Mutex<Vec<Checks>>> = Arc::default();
    done.lock()
        .unwrap()
        .extend(sources.iter().map(|_| Checks::default()));
    let mut trials = Vec::new();
    for (index, source) in sources.iter().enumerate() {
        for &(what, check) in source.checks {
            let done = done.clone();
            let trial = move || {
                let mut checks = Checks::default();
                check(&mut checks);
                let outcome = outcome(&checks);
                done.lock().unwrap()[index].add(checks);
                outcome
            };
            trials.push(Trial::test(format!("{}: {what}", source.name), trial));
        }
    }
    let complete = |run: &libtest_mimic::Conclusion| run.num_filtered_out == 0 && !arguments.list;
    let conclusion = libtest_mimic::run(&arguments, trials);
    if complete(&conclusion) {
        let table = table(sources, &done.lock().unwrap());
        print!("{table}");
        if !conclusion.has_failed() && !is_kept(section, &table) {
            eprintln!(
                "\nThis is not the table in tests/published/README.md. \
                 Run the test with UPDATE_EXPECT=1 to write it there."
            );
            return ExitCode::FAILURE;
        }
    }
    conclusion.exit_code()
}

fn outcome(checks: &Checks) -> Result<(), Failed> {
    match checks.wrong() {
        [] if checks.values == 0 => Err("nothing was compared".into()),
        [] => Ok(()),
        wrong => Err(wrong.join("\n").into()),
    }
}

fn table(sources: &[Source], done: &[Checks]) -> String {
    let mut table = String::from(
        "| source | its values are | checked | values | worst difference | allowed |\n\
         | --- | --- | --- | --: | --: | --: |\n",
    );
    for (source, done) in sources.iter().zip(done) {
        let checked: Vec<&str> = source.checks.iter().map(|(what, _)| *what).collect();
        writeln!(
            table,
            "| {} | {} | {} | {} | {} | {} |",
            source.name,
            source.known,
            checked.join("; "),
            done.values,
            share(done.worst),
            share(done.allowed),
        )
        .unwrap();
    }
    let values: usize = done.iter().map(|done| done.values).sum();
    writeln!(table, "| all | | | {values} | | |").unwrap();
    table
}

/// A share, to two digits. What is left of rounding differs from machine to machine, so the
/// smallest are not told apart.
fn share(share: f64) -> String {
    match share {
        _ if share <= 1e-8 => "under 1e-8".to_string(),
        _ if share < 1e-4 => format!("{share:.1e}"),
        _ => format!("{:.2} %", 100.0 * share),
    }
}

/// Whether a section of `README.md` has this table; writes it there if it is asked to.
fn is_kept(section: &str, table: &str) -> bool {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/published/README.md");
    let text = std::fs::read_to_string(path).unwrap();
    let begin = format!("<!-- {section} -->\n");
    let end = format!("<!-- end of {section} -->\n");
    let (before, rest) = text.split_once(&begin).expect("the section's begin");
    let (kept, after) = rest.split_once(&end).expect("the section's end");
    let wanted = format!("\n{table}\n");
    if kept == wanted {
        return true;
    }
    if std::env::var_os("UPDATE_EXPECT").is_none() {
        return false;
    }
    std::fs::write(path, format!("{before}{begin}{wanted}{end}{after}")).unwrap();
    true
}
