//! One conductor's resistance, as the figures of a plan give it.

use crate::support::plan::Plan;

/// Ohms of 1 km of a conductor at a temperature: of a run of 500 m, out and back. `conductor` is
/// what a cable's model says of it: `conductor 22 AWG, strands 1`.
#[track_caller]
pub fn ohms_per_kilometre(conductor: &str, celsius: f64) -> f64 {
    let plan = Plan::new(&format!(
        "model cable tested, {conductor}
         model supply S {{ output out 12 V }}
         model detector D {{ standby 10 mA }}
         site one {{
           ambient -20 °C .. {celsius} °C
           supply s : S
           detector d : D
           run r : tested {{ s.out --500 m-- d }}
         }}"
    ));
    plan.legs("r")[0].ohms
}

/// The same in ohms of 1000 ft.
#[track_caller]
pub fn ohms_per_kilofoot(conductor: &str, celsius: f64) -> f64 {
    ohms_per_kilometre(conductor, celsius) * 0.3048
}
