//! What a conductor's resistance is made of, and what it says of itself. The published tables are
//! checked through plans, in the tests of the whole project.
#![allow(
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test says what is wrong by panicking"
)]

mod support;

use bellwire_circuit::conductor::{Basis, LAY};
use bellwire_circuit::{Conductor, Metal, Size};
use support::agree;

fn copper(size: Size, strands: u32) -> Conductor {
    Conductor {
        size,
        metal: Metal::Copper,
        strands,
    }
}

/// Source: computed from ASTM B258's formula: mm and mm² to six digits.
#[test]
fn a_gauge_has_a_diameter_and_an_area() {
    for (awg, mm, mm2) in [
        (12.0, 2.05253, 3.30877),
        (18.0, 1.02369, 0.823047),
        (22.0, 0.643803, 0.325534),
        (26.0, 0.404892, 0.128756),
    ] {
        let area = copper(Size::Awg(awg), 1).area_mm2();
        agree("mm²", area, mm2, 5e-6);
        let diameter = (4.0 * area / std::f64::consts::PI).sqrt();
        agree("mm", diameter, mm, 5e-6);
    }
}

#[test]
fn a_resistance_names_its_source() {
    for (size, strands, basis, named) in [
        (Size::Awg(22.0), 1, Basis::ComputedSolid, "ASTM B258"),
        (Size::Awg(22.0), 7, Basis::ComputedStranded, "lay"),
        (
            Size::SquareMillimetres(0.5),
            1,
            Basis::TableStiff,
            "IEC 60228",
        ),
        (
            Size::SquareMillimetres(0.5),
            7,
            Basis::TableStiff,
            "IEC 60228",
        ),
        (
            Size::SquareMillimetres(0.5),
            16,
            Basis::TableFlexible,
            "class 5",
        ),
        (
            Size::SquareMillimetres(0.22),
            1,
            Basis::ComputedSolid,
            "IEC 60028",
        ),
    ] {
        let ours = copper(size, strands).resistance(20.0);
        assert_eq!(ours.basis, basis, "{size:?}, {strands}");
        assert!(ours.source().contains(named), "{}", ours.source());
    }
    // A multiple of copper's is told, unless the table has the metal itself.
    for (size, metal, named) in [
        (Size::Awg(22.0), Metal::TinnedCopper, "ASTM B33"),
        (
            Size::SquareMillimetres(0.22),
            Metal::TinnedCopper,
            "ASTM B33",
        ),
        (
            Size::SquareMillimetres(0.5),
            Metal::TinnedCopper,
            "class 1 and 2, tinned, from memory",
        ),
        (
            Size::SquareMillimetres(0.5),
            Metal::CopperCladAluminium,
            "ASTM B566",
        ),
        (Size::Awg(22.0), Metal::CopperCladAluminium, "ASTM B566"),
    ] {
        let conductor = Conductor {
            size,
            metal,
            strands: 1,
        };
        let source = conductor.resistance(20.0).source();
        assert!(source.contains(named), "{source}");
    }
}

#[test]
fn strands_are_longer_where_the_table_does_not_say() {
    for size in [Size::Awg(22.0), Size::SquareMillimetres(0.22)] {
        let solid = copper(size, 1).resistance(20.0).at_20;
        for strands in [2, 7] {
            let stranded = copper(size, strands).resistance(20.0).at_20;
            agree("lay", stranded, solid * LAY, 1e-12);
        }
    }
}

/// A wire of 22 AWG has 0.644 mm: thick enough for the third line of ASTM B33, as none is for the
/// first, which holds from 7.366 mm.
#[test]
fn no_strands_are_one() {
    let tinned = |strands| Conductor {
        metal: Metal::TinnedCopper,
        ..copper(Size::Awg(22.0), strands)
    };
    assert_eq!(tinned(0).resistance(20.0), tinned(1).resistance(20.0));
}

/// IEC 60228 allows 36 ohm/km for 0.5 mm². By 1/58 ohm mm²/m over the area, 0.505 mm² have 34.1.
#[test]
fn a_size_beside_one_of_the_table_is_computed() {
    let beside = copper(Size::SquareMillimetres(0.505), 1).resistance(20.0);
    agree("ohm/m", beside.at_20, 1.0 / 58.0 / 0.505, 1e-12);
}

#[test]
fn warm_conductors_resist_more_by_their_metal() {
    for (metal, factor) in [
        (Metal::Copper, 1.0 + 0.003_93 * 15.0),
        (Metal::CopperCladAluminium, 1.0 + 0.004_03 * 15.0),
    ] {
        let conductor = Conductor {
            size: Size::Awg(22.0),
            metal,
            strands: 7,
        };
        let warm = conductor.resistance(35.0);
        agree("factor", warm.temperature_factor, factor, 1e-12);
        agree("product", warm.ohms_per_metre, warm.at_20 * factor, 1e-12);
        let usual = conductor.resistance(20.0);
        assert_eq!(usual.temperature_factor, 1.0);
        assert_eq!(usual.ohms_per_metre, usual.at_20);
    }
}
