//! What a rule set of the library asks for, as the figures of a site under it show: one value at a
//! time, with everything else out of the way.

use crate::support::battery::Sum;
use crate::support::plan::Plan;
use crate::support::record::Checks;

/// Hours of standby: what one ampere needs, and what the site is told.
pub fn standby(checks: &mut Checks, rules: &str, hours: f64) {
    let plan = draws(1.0, 0.0, &on(rules, "ageing 1"));
    let needed = plan.battery().needed_ah.expect("a need");
    checks.agree(format!("{rules}: standby"), needed, hours, 1e-9);
    let told = plan.battery().required_hours.expect("a time");
    checks.agree(format!("{rules}: required"), told, hours, 1e-9);
}

/// Minutes of alarm.
pub fn alarm(checks: &mut Checks, rules: &str, minutes: f64) {
    let plan = draws(0.0, 1.0, &on(rules, "ageing 1"));
    let needed = plan.battery().needed_ah.expect("a need");
    checks.agree(format!("{rules}: alarm"), needed * 60.0, minutes, 1e-9);
}

/// The factor for the battery's age: with all else the rule set's own.
pub fn ageing(checks: &mut Checks, rules: &str, factor: f64) {
    let own = draws(1.0, 2.0, &on(rules, "note \"as it is\""));
    let plain = draws(1.0, 2.0, &on(rules, "ageing 1"));
    let [own, plain] = [own, plain].map(|plan| plan.battery().needed_ah.expect("a need"));
    checks.agree(format!("{rules}: ageing"), own / plain, factor, 1e-9);
}

/// Hours of recharge, to a share: the time to that share is the figure's, with the charge factor
/// of 1.1 that the project names (IEEE 946, from memory); and the finding comes just above the
/// hours.
pub fn recharge(checks: &mut Checks, rules: &str, hours: f64, share: f64) {
    // 10 Ah at 1 A.
    let plan = charged(rules, 10.0, 1.0);
    let ours = plan.battery().recharge_hours.expect("a time");
    checks.agree(format!("{rules}: share"), ours, 1.1 * 10.0 * share, 1e-9);
    for (factor, slow) in [(1.001, false), (0.999, true)] {
        let amperes = 1.1 * 10.0 * share / hours * factor;
        let found = charged(rules, 10.0, amperes).has_finding("recharge-slow");
        checks.same(format!("{rules}: at {amperes} A"), found, slow);
    }
}

/// That no recharge time is asked for.
pub fn no_recharge(checks: &mut Checks, rules: &str) {
    let plan = charged(rules, 10.0, 1.0);
    checks.same(
        format!("{rules}: recharge"),
        plan.battery().recharge_hours,
        None,
    );
}

/// A rule set `r` that is built on another and changes some of it.
fn on(rules: &str, own: &str) -> String {
    format!("rules r : {rules} {{ {own} }}")
}

fn draws(standby: f64, alarm: f64, rules: &str) -> Plan {
    let sum = Sum {
        standby,
        alarm,
        rules,
        ..Sum::default()
    };
    sum.plan()
}

fn charged(rules: &str, ampere_hours: f64, amperes: f64) -> Plan {
    let battery = format!("capacity {ampere_hours} Ah, over 20 h");
    let charger = format!("{amperes} A");
    let sum = Sum {
        standby: 0.001,
        alarm: 0.001,
        battery: &battery,
        charger: &charger,
        rules: &on(rules, "note \"as it is\""),
        ..Sum::default()
    };
    sum.plan()
}
