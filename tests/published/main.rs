//! Figures against what is published: one file a source, named beside each check together with how
//! its values are known. Wherever a check can go through a plan's text, it does.
#![allow(
    dead_code,
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking; what two tests share, each uses a part of"
)]

mod random;
mod support;

mod astm_b258;
mod astm_b33;
mod astm_b566;
mod bs_5839_1;
mod din_vde_0833;
mod en_50131;
mod en_54_4;
mod house_rules;
mod iec_60063;
mod iec_60228;
mod ieee_485;
mod ieee_946;
mod loop_arithmetic;
mod mehta;
mod nalgebra;
mod nbs_handbook_100;
mod nec_table_8;
mod nfpa_72;
mod pd_6662;
mod peukert;
mod physics;
mod simulated_networks;
mod tia_485;
mod ul_1023;
mod ul_985;

use support::record::{self, Source};

const SOURCES: &[Source] = {
    let [en_standby, en_recharge, practice] = en_50131::SOURCES;
    let [nfpa, nfpa_recharge] = nfpa_72::SOURCES;
    let [bs_annex, bs_clause] = bs_5839_1::SOURCES;
    let [din, din_alarm] = din_vde_0833::SOURCES;
    let [iec_table, iec_tinned] = iec_60228::SOURCES;
    let [ieee, ieee_memory] = ieee_485::SOURCES;
    &[
        astm_b258::SOURCE,
        nbs_handbook_100::SOURCE,
        nec_table_8::SOURCE,
        iec_table,
        iec_tinned,
        astm_b33::SOURCE,
        astm_b566::SOURCE,
        mehta::SOURCE,
        simulated_networks::SOURCE,
        nalgebra::SOURCE,
        physics::SOURCE,
        ieee,
        ieee_memory,
        ieee_946::SOURCE,
        peukert::SOURCE,
        en_standby,
        en_recharge,
        practice,
        pd_6662::SOURCE,
        nfpa,
        nfpa_recharge,
        bs_annex,
        bs_clause,
        en_54_4::SOURCE,
        din,
        din_alarm,
        ul_1023::SOURCE,
        ul_985::SOURCE,
        house_rules::SOURCE,
        loop_arithmetic::SOURCE,
        iec_60063::SOURCE,
        tia_485::SOURCE,
    ]
};

fn main() -> std::process::ExitCode {
    record::run("published", SOURCES)
}
