//! A battery's sum, as the figures of a plan give it.

use crate::support::plan::Plan;

/// What a battery must do.
pub struct Sum<'a> {
    /// Amperes in standby, all drawn by the panel itself.
    pub standby: f64,
    /// Amperes in alarm.
    pub alarm: f64,
    /// The site's rule set, which is called `r`.
    pub rules: &'a str,
    /// The lines of the battery's model.
    pub battery: &'a str,
    /// The coldest.
    pub ambient: &'a str,
    /// What the charger gives beyond the panel's own draw.
    pub charger: &'a str,
}

/// A battery that gives its whole capacity at any current that matters.
pub const IDEAL: &str = "capacity 7 Ah, over 20 h
capacity 7 Ah, over 0.01 h";

impl Default for Sum<'_> {
    fn default() -> Self {
        Sum {
            standby: 0.0,
            alarm: 0.0,
            rules: "rules r, standby 1 h, alarm 0 h, ageing 1",
            battery: IDEAL,
            // The reference of IEEE 485's table, 77 °F: the temperature takes nothing.
            ambient: "25 °C",
            charger: "1 A",
        }
    }
}

impl Sum<'_> {
    /// Works the plan out.
    #[track_caller]
    pub fn plan(&self) -> Plan {
        let Sum {
            standby,
            alarm,
            rules,
            battery,
            ambient,
            charger,
        } = self;
        Plan::new(&format!(
            "{rules}
             model battery B {{
               {battery}
             }}
             model panel P {{
               standby {standby} A
               alarm {alarm} A
               charger {charger}
               output aux 13.8 V
             }}
             site one {{
               rules r
               ambient {ambient} .. 60 °C
               panel p : P {{ battery : B }}
             }}"
        ))
    }

    /// Ampere-hours needed.
    #[track_caller]
    pub fn needed(&self) -> f64 {
        self.plan().battery().needed_ah.expect("a need")
    }
}
