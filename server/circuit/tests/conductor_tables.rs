//! Conductors against published tables, each test one source.
#![allow(
    clippy::approx_constant,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking; 3.14 ohm is not pi"
)]

mod support;

use bellwire_circuit::conductor::{Basis, at_temperature};
use bellwire_circuit::{Conductor, Draw, Metal, Size, solve};
use support::{agree, network};

const METRES_PER_KILOFOOT: f64 = 304.8;

fn gauge(gauge: f64, strands: u32) -> Conductor {
    Conductor {
        size: Size::Awg(gauge),
        metal: Metal::Copper,
        strands,
    }
}

fn square(mm2: f64, strands: u32) -> Conductor {
    Conductor {
        size: Size::SquareMillimetres(mm2),
        metal: Metal::Copper,
        strands,
    }
}

/// Source: worked out from ASTM B258's formula and IEC 60028's copper: gauge, mm, mm², ohm/km at
/// 20 °C, ohm/kft at 75 °C, six digits each.
#[test]
fn gauges_by_formula() {
    for (awg, mm, mm2, per_km, per_kft) in [
        (12.0, 2.05253, 3.30877, 5.21081, 1.93156),
        (14.0, 1.62773, 2.08091, 8.28551, 3.07129),
        (16.0, 1.29085, 1.30870, 13.1745, 4.88355),
        (18.0, 1.02369, 0.823047, 20.9482, 7.76514),
        (20.0, 0.811821, 0.517619, 33.3090, 12.3471),
        (22.0, 0.643803, 0.325534, 52.9634, 19.6326),
        (24.0, 0.510559, 0.204730, 84.2151, 31.2171),
        (26.0, 0.404892, 0.128756, 133.907, 49.6371),
    ] {
        let solid = gauge(awg, 1);
        agree("mm²", solid.area_mm2(), mm2, 5e-6);
        let diameter = (4.0 * solid.area_mm2() / std::f64::consts::PI).sqrt();
        agree("mm", diameter, mm, 5e-6);
        agree(
            "ohm/km",
            1000.0 * solid.resistance(20.0).at_20,
            per_km,
            5e-6,
        );
        let warm = solid.resistance(75.0).ohms_per_metre * METRES_PER_KILOFOOT;
        agree("ohm/kft", warm, per_kft, 5e-6);
        assert_eq!(solid.resistance(20.0).basis, Basis::ComputedSolid);
    }
}

/// Source: NBS Handbook 100, table 5, ohm/kft at 20 °C. It goes by rounded diameters.
#[test]
fn gauges_in_nbs_handbook_100() {
    for (awg, per_kft) in [(22.0, 16.2), (24.0, 25.7), (26.0, 41.0)] {
        let ours = gauge(awg, 1).resistance(20.0).ohms_per_metre * METRES_PER_KILOFOOT;
        agree("ohm/kft", ours, per_kft, 0.005);
    }
}

/// Source: NEC (NFPA 70) chapter 9 table 8, uncoated copper at 75 °C, ohm/kft, read second-hand:
/// solid, 7 strands. Its strands add 2 to 2.6 %, ours 2 %.
#[test]
fn gauges_in_nec_table_8() {
    for (awg, solid, stranded) in [
        (18.0, 7.77, 7.95),
        (16.0, 4.89, 4.99),
        (14.0, 3.07, 3.14),
        (12.0, 1.93, 1.98),
    ] {
        let ours =
            |strands| gauge(awg, strands).resistance(75.0).ohms_per_metre * METRES_PER_KILOFOOT;
        agree("solid", ours(1), solid, 0.002);
        agree("stranded", ours(7), stranded, 0.006);
        assert_eq!(
            gauge(awg, 7).resistance(75.0).basis,
            Basis::ComputedStranded
        );
    }
}

/// Source: electrician2.com, which takes the 4.99 ohm/kft of NEC table 8: 100 ft of two 16 AWG
/// stranded conductors drop 3.992 V at 4 A.
#[test]
fn a_worked_drop_on_16_awg() {
    let ohms = 2.0 * 30.48 * gauge(16.0, 7).resistance(75.0).ohms_per_metre;
    let solution = solve(&network(
        &[(0, 24.0)],
        &[(0, 1, ohms)],
        &[(1, Draw::Amperes(4.0))],
    ))
    .unwrap();
    agree("drop", 24.0 - solution.volts[1].unwrap(), 3.992, 0.003);
}

/// Source: IEC 60228, maximum ohm/km at 20 °C of plain copper, read in makers' tables: class 1 and
/// 2, class 5.
#[test]
fn metric_sizes_in_iec_60228() {
    for (mm2, stiff, flexible) in [
        (0.5, 36.0, 39.0),
        (0.75, 24.5, 26.0),
        (1.0, 18.1, 19.5),
        (1.5, 12.1, 13.3),
        (2.5, 7.41, 7.98),
    ] {
        for (strands, per_km, basis) in [
            (1, stiff, Basis::TableStiff),
            (7, stiff, Basis::TableStiff),
            (16, flexible, Basis::TableFlexible),
        ] {
            let ours = square(mm2, strands).resistance(20.0);
            agree("ohm/km", 1000.0 * ours.ohms_per_metre, per_km, 1e-12);
            assert_eq!(ours.basis, basis);
            assert!(ours.source().contains("IEC 60228"));
        }
    }
}

/// Source: computed, 1/58 over 0.22 mm²; the size is not in IEC 60228.
#[test]
fn a_metric_size_outside_the_table_is_computed() {
    let solid = square(0.22, 1).resistance(20.0);
    agree("ohm/km", 1000.0 * solid.ohms_per_metre, 78.3699, 5e-7);
    assert_eq!(solid.basis, Basis::ComputedSolid);
    let stranded = square(0.22, 7).resistance(20.0);
    agree("lay", stranded.at_20, solid.at_20 * 1.02, 1e-12);
}

/// Source: ASTM B566 in a maker's sheet: 10 % copper conducts 62.9 % of what copper does.
#[test]
fn copper_clad_aluminium_is_no_copper() {
    for (size, strands) in [(Size::Awg(22.0), 7), (Size::SquareMillimetres(0.5), 1)] {
        let of = |metal| Conductor {
            size,
            metal,
            strands,
        };
        let clad = of(Metal::CopperCladAluminium).resistance(20.0).at_20;
        let copper = of(Metal::Copper).resistance(20.0).at_20;
        agree("ratio", clad / copper, 1.0 / 0.629, 5e-4);
        agree("ratio", clad / copper, 1.590, 1e-12);
    }
}

/// Source: IEC 60028's coefficient, by hand: 1 + 0.00393 × 15 at 35 °C, × (-15) at 5 °C.
#[test]
fn warm_copper_resists_more() {
    let warm = gauge(22.0, 1).resistance(35.0);
    agree("factor", warm.factor_temperature, 1.058_95, 1e-12);
    agree("product", warm.ohms_per_metre, warm.at_20 * 1.058_95, 1e-12);
    agree(
        "cold",
        at_temperature(0.053, Metal::Copper, 5.0),
        0.053 * 0.941_05,
        1e-12,
    );
    assert_eq!(at_temperature(0.053, Metal::Copper, 20.0), 0.053);
}
