//! What one metre of a conductor resists, from its size, metal and strands.
//!
//! Two sources can give the resistance at 20 °C: the standard's table of maximum values for metric
//! sizes, or the metal's resistivity over the conductor's area. The table comes first where it has
//! the size, since a cable sold as that size may be as bad as the table allows, and the nominal
//! area understates that by 4 to 16 %.

/// Resistivity of annealed copper at 20 °C, ohm mm²/m: 1/58.
///
/// Source: IEC 60028, read second-hand.
pub const COPPER_RESISTIVITY: f64 = 1.0 / 58.0;

/// What resistance of annealed copper gains for each kelvin above 20 °C, as a share of the value
/// at 20 °C.
///
/// Source: IEC 60028, read second-hand.
pub const COPPER_COEFFICIENT: f64 = 0.003_93;

/// Resistance of copper-clad aluminium with 10 % copper by volume, as a multiple of copper's.
///
/// Source: ASTM B566 (62.9 % conductivity, so 1/0.629), read in a maker's sheet. Cable sold as
/// copper-clad does not say how much copper it has; this is the poorer of the standard's two.
pub const COPPER_CLAD_RATIO: f64 = 1.590;

/// What resistance of copper-clad aluminium gains for each kelvin above 20 °C.
///
/// From memory: aluminium's coefficient (IEC 60889), which is a little above that of the clad wire
/// and so errs towards more voltage drop in the warm.
pub const COPPER_CLAD_COEFFICIENT: f64 = 0.004_03;

/// How much longer the strands of a stranded conductor are than the conductor.
///
/// Source: ASTM B8 / B496, read second-hand. NEC (NFPA 70) chapter 9 table 8 has 1.02 to 1.026.
pub const LAY: f64 = 1.02;

/// Maximum resistance of a size at 20 °C, ohm/km of one conductor.
struct Maximum {
    mm2: f64,
    /// Class 1 and 2, plain.
    stiff: f64,
    /// Class 5, plain.
    flexible: f64,
    /// Class 1 and 2, tinned.
    stiff_tinned: f64,
    /// Class 5, tinned.
    flexible_tinned: f64,
}

const fn maximum(mm2: f64, plain: [f64; 2], tinned: [f64; 2]) -> Maximum {
    Maximum {
        mm2,
        stiff: plain[0],
        flexible: plain[1],
        stiff_tinned: tinned[0],
        flexible_tinned: tinned[1],
    }
}

/// Source: IEC 60228, read in makers' tables; tinned of class 1 and 2 from memory.
const IEC_60228: [Maximum; 5] = [
    maximum(0.5, [36.0, 39.0], [36.7, 40.1]),
    maximum(0.75, [24.5, 26.0], [24.8, 26.7]),
    maximum(1.0, [18.1, 19.5], [18.2, 20.0]),
    maximum(1.5, [12.1, 13.3], [12.2, 13.7]),
    maximum(2.5, [7.41, 7.98], [7.56, 8.21]),
];

/// What tinned copper must conduct at least, as a share of plain copper, by the diameter of the
/// wire above which it holds, mm: the thinner the wire, the more of it is tin.
///
/// Source: ASTM B33, from memory; its diameters are 0.290, 0.103, 0.0201 and 0.0111 inches.
const ASTM_B33: [(f64, f64); 5] = [
    (7.366, 0.9766),
    (2.616, 0.9716),
    (0.5105, 0.9616),
    (0.2819, 0.9416),
    (0.0, 0.9315),
];

/// What a conductor is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Metal {
    /// Plain annealed copper.
    Copper,
    /// Copper wires with a skin of tin, which conducts less.
    TinnedCopper,
    /// Aluminium with a copper skin: a different metal, about 1.6 times copper's resistance.
    CopperCladAluminium,
}

impl Metal {
    /// Resistance of a wire as a multiple of copper's, at 20 °C.
    pub fn ratio(self, wire_mm: f64) -> f64 {
        match self {
            Metal::Copper => 1.0,
            Metal::TinnedCopper => {
                let share = ASTM_B33.into_iter().find(|(above, _)| wire_mm > *above);
                1.0 / share.map_or(1.0, |(_, share)| share)
            }
            Metal::CopperCladAluminium => COPPER_CLAD_RATIO,
        }
    }

    /// What the resistance gains for each kelvin above 20 °C, as a share of the value at 20 °C.
    pub fn coefficient(self) -> f64 {
        match self {
            Metal::Copper | Metal::TinnedCopper => COPPER_COEFFICIENT,
            Metal::CopperCladAluminium => COPPER_CLAD_COEFFICIENT,
        }
    }
}

/// How the trade states a conductor's size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// American wire gauge number. 1/0 is 0, 2/0 is -1 and so on.
    Awg(f64),
    /// Nominal cross-section, mm².
    SquareMillimetres(f64),
}

impl Size {
    /// Cross-section of the metal, mm².
    ///
    /// A gauge number gives a diameter of `0.127 mm × 92^((36 − n)/39)` (ASTM B258, read
    /// second-hand); a stranded conductor of that gauge has the same area.
    pub fn area_mm2(self) -> f64 {
        match self {
            Size::Awg(gauge) => {
                let diameter = 0.127 * 92_f64.powf((36.0 - gauge) / 39.0);
                std::f64::consts::FRAC_PI_4 * diameter * diameter
            }
            Size::SquareMillimetres(area) => area,
        }
    }
}

/// One conductor of a cable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conductor {
    /// Its size.
    pub size: Size,
    /// Its metal.
    pub metal: Metal,
    /// How many strands it has; 1 is solid, and 0 is taken as solid.
    pub strands: u32,
}

impl Conductor {
    /// Cross-section of the metal, mm².
    pub fn area_mm2(&self) -> f64 {
        self.size.area_mm2()
    }

    /// Resistance of this one conductor (not of the pair) at a temperature.
    ///
    /// A size that is not above zero has no finite resistance; the caller has checked that.
    pub fn resistance(&self, celsius: f64) -> Resistance {
        let (at_20, basis) = match self.tabulated() {
            Some((ohms_per_kilometre, basis)) => (ohms_per_kilometre / 1000.0, basis),
            None => {
                let (lay, basis) = if self.strands > 1 {
                    (LAY, Basis::ComputedStranded)
                } else {
                    (1.0, Basis::ComputedSolid)
                };
                let ratio = self.metal.ratio(self.wire_mm());
                (COPPER_RESISTIVITY / self.area_mm2() * lay * ratio, basis)
            }
        };
        let temperature_factor = temperature_factor(self.metal, celsius);
        Resistance {
            ohms_per_metre: at_20 * temperature_factor,
            at_20,
            temperature_factor,
            basis,
            metal: self.metal,
        }
    }

    /// Diameter of one of its wires, mm.
    fn wire_mm(&self) -> f64 {
        let wires = f64::from(self.strands.max(1));
        (self.area_mm2() / wires / std::f64::consts::FRAC_PI_4).sqrt()
    }

    /// The table's maximum, ohm/km at 20 °C, if the size is one of the table's. Clad aluminium is
    /// not in it, and is taken as so much poorer than the table's plain copper.
    ///
    /// Up to 7 strands are class 1 (solid) or 2 (stranded), which share their values at these
    /// sizes; more than 7 are taken as class 5 (flexible). *Common practice*: the classes
    /// of the standard are not defined by that number alone.
    fn tabulated(&self) -> Option<(f64, Basis)> {
        let Size::SquareMillimetres(area) = self.size else {
            return None;
        };
        let most = IEC_60228
            .iter()
            .find(|most| (most.mm2 - area).abs() < 1e-9)?;
        let is_flexible = self.strands > 7;
        let is_tinned = self.metal == Metal::TinnedCopper;
        let (ohms_per_kilometre, basis) = match (is_flexible, is_tinned) {
            (false, false) => (most.stiff, Basis::TableStiff),
            (false, true) => (most.stiff_tinned, Basis::TableStiffTinned),
            (true, false) => (most.flexible, Basis::TableFlexible),
            (true, true) => (most.flexible_tinned, Basis::TableFlexibleTinned),
        };
        let ratio = match self.metal {
            Metal::Copper | Metal::TinnedCopper => 1.0,
            Metal::CopperCladAluminium => COPPER_CLAD_RATIO,
        };
        Some((ohms_per_kilometre * ratio, basis))
    }
}

/// Resistance at 20 °C carried to another temperature: the factor `1 + alpha (T − 20 °C)`.
fn temperature_factor(metal: Metal, celsius: f64) -> f64 {
    1.0 + metal.coefficient() * (celsius - 20.0)
}

/// One conductor's resistance and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resistance {
    /// At the temperature asked for, ohm/m of one conductor.
    pub ohms_per_metre: f64,
    /// At 20 °C, ohm/m of one conductor.
    pub at_20: f64,
    /// The first over the second.
    pub temperature_factor: f64,
    /// What gave the value at 20 °C.
    pub basis: Basis,
    /// What the conductor is made of.
    pub metal: Metal,
}

impl Resistance {
    /// The sources of the value at 20 °C in words, for a reader of the figures.
    pub fn source(&self) -> String {
        let ratio = match (self.metal, self.basis) {
            (Metal::Copper, _)
            | (Metal::TinnedCopper, Basis::TableStiffTinned | Basis::TableFlexibleTinned) => "",
            (Metal::TinnedCopper, _) => ", times that of tinned wire (ASTM B33, from memory)",
            (Metal::CopperCladAluminium, _) => {
                ", times the ratio of copper-clad aluminium (ASTM B566)"
            }
        };
        format!("{}{ratio}", self.basis.source())
    }

    /// The source of the factor for the temperature in words.
    pub fn temperature_source(&self) -> &'static str {
        match self.metal {
            Metal::Copper | Metal::TinnedCopper => "IEC 60028",
            Metal::CopperCladAluminium => "IEC 60889, from memory",
        }
    }
}

/// What gave a conductor's resistance at 20 °C.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Basis {
    /// Resistivity over area, solid.
    ComputedSolid,
    /// Resistivity over area, and the lay of the strands.
    ComputedStranded,
    /// The standard's maximum for solid conductors and for those of few strands.
    TableStiff,
    /// The standard's maximum for flexible conductors.
    TableFlexible,
    /// The same of tinned copper, solid and of few strands.
    TableStiffTinned,
    /// The same of tinned copper, flexible.
    TableFlexibleTinned,
}

impl Basis {
    fn source(self) -> &'static str {
        match self {
            Basis::ComputedSolid => "computed from the area (AWG: ASTM B258) and IEC 60028",
            Basis::ComputedStranded => {
                "computed from the area (AWG: ASTM B258), IEC 60028 and 2 % for the lay of the strands"
            }
            Basis::TableStiff => "IEC 60228, maximum for class 1 and 2",
            Basis::TableFlexible => "IEC 60228, maximum for class 5, plain",
            Basis::TableStiffTinned => "IEC 60228, maximum for class 1 and 2, tinned, from memory",
            Basis::TableFlexibleTinned => "IEC 60228, maximum for class 5, tinned",
        }
    }
}
