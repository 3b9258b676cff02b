//! An amount in the other units that people use for it.

use bellwire_circuit::{Conductor, Metal, Size};
use bellwire_plan::decimal::significant;
use bellwire_plan::source::{Quantity, Span};
use bellwire_plan::vocabulary::{Dimension, Measures, Unit, unit};

use super::page::{code, together};
use crate::describe::TABLE_TEMPERATURE;
use crate::place::Place;

/// The number under the cursor, if it has a unit.
pub(super) fn number(place: &Place) -> Option<(Span, String)> {
    let statement = *place.item.path_to(place.offset).last()?;
    let mut quantities = statement.quantities();
    let quantity = quantities.find(|quantity| quantity.span().touches(place.offset))?;
    let markdown = in_other_units(
        place.item.text(quantity.unit?),
        &quantity,
        place.item.measures(),
    )?;
    let text = code(place.item.text(quantity.span()));
    Some((quantity.span(), format!("{text}\n\n{markdown}")))
}

fn in_other_units(name: &str, quantity: &Quantity, measures: Measures) -> Option<String> {
    let own = unit(name)?;
    let value = own.read(quantity.number.value)?;
    let mut lines: Vec<String> = own
        .dimension
        .units()
        .filter(|other| other.name() != own.name())
        .filter_map(|other| {
            let number = other.from_own_unit(value);
            let written = significant(number, 4);
            let name = other.name_behind(&written);
            is_told(number, other, own).then(|| format!("= {written} {name}"))
        })
        .collect();
    lines.extend(conductor(own.dimension, value, measures));
    (!lines.is_empty()).then(|| together(lines))
}

/// Whether people would say the amount in the other unit: not with many zeros.
/// Where the two differ in zeros alone, only if it is the usual unit, or one a
/// thousand times as large or as small; and only the first one of several that do.
fn is_told(number: f64, other: &Unit, own: &Unit) -> bool {
    let is_usual = other.dimension.usual().name() == other.name();
    let mut first = other
        .dimension
        .units()
        .take_while(|unit| unit.name() != other.name());
    let handy = match zeros_between(other, own) {
        Some(zeros) if zeros.abs() != 3.0 && !is_usual => return false,
        Some(_) => 0.1..10_000.0,
        None if first.any(|first| zeros_between(other, first).is_some()) => return false,
        None => 0.01..100_000.0,
    };
    number == 0.0 || handy.contains(&number.abs())
}

/// How many zeros one unit has more than another, if they differ in nothing else.
fn zeros_between(one: &Unit, other: &Unit) -> Option<f64> {
    let ratio = (one.factor / other.factor).log10();
    let only_zeros = one.offset == other.offset && (ratio - ratio.round()).abs() < 1e-9;
    only_zeros.then(|| ratio.round())
}

/// A conductor's other measures: area, gauge, resistance.
fn conductor(dimension: Dimension, value: f64, measures: Measures) -> Vec<String> {
    let size = match dimension {
        Dimension::Gauge if (-3.0..=40.0).contains(&value) => Size::Awg(value),
        Dimension::Area if value > 0.0 => Size::SquareMillimetres(value),
        _ => return Vec::new(),
    };
    let mut lines = Vec::new();
    match size {
        Size::Awg(_) => lines.push(format!("= {} mm²", significant(size.area_mm2(), 4))),
        Size::SquareMillimetres(area) => {
            let gauges = (-3..=40).map(|gauge| Size::Awg(f64::from(gauge)));
            let off = |size: &Size| (size.area_mm2() / area).ln().abs();
            let nearest = gauges.min_by(|a, b| off(a).total_cmp(&off(b)));
            if let Some(Size::Awg(gauge)) = nearest {
                lines.push(format!("≈ {gauge} AWG"));
            }
        }
    }
    let solid = Conductor {
        size,
        metal: Metal::Copper,
        strands: 1,
    };
    let ohms = solid.resistance(TABLE_TEMPERATURE).ohms_per_metre;
    let ohms = measures.in_usual_unit(ohms, Dimension::ResistancePerLength);
    let when = measures.in_usual_unit(TABLE_TEMPERATURE, Dimension::Temperature);
    lines.push(format!("{ohms} in solid copper at {when}"));
    lines
}
