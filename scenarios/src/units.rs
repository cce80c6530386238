//! Quantities as text: `6 L`, `0.1 mg per mL`, `4 in 100`, read into the unit that the model holds.
//!
//! Knows units and how they are spelled; knows nothing of files, fish or limits.

use crate::words;

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    Length,
    Volume,
    Flow,
    Time,
    Mass,
    Share,
    Rate,
    Speed,
    Density,
    Temperature,
    Items,
    ItemsPerVolume,
    MassPerVolume,
    Area,
    Angle,
    Stress,
    MassPerArea,
    Resistance,
    Difference,
    Alkalinity,
    MassRate,
}

impl Measure {
    /// Plain words, to be read after "a" or "an".
    pub fn label(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Volume => "volume",
            Self::Flow => "flow",
            Self::Time => "length of time",
            Self::Mass => "mass",
            Self::Share => "plain number or share",
            Self::Rate => "rate",
            Self::Speed => "speed",
            Self::Density => "density",
            Self::Temperature => "temperature",
            Self::Items => "number of items",
            Self::ItemsPerVolume => "number of items per volume",
            Self::MassPerVolume => "mass per volume",
            Self::Area => "area",
            Self::Angle => "angle",
            Self::Stress => "stress",
            Self::MassPerArea => "mass per area",
            Self::Resistance => "rise per flow",
            Self::Difference => "difference of temperature",
            Self::Alkalinity => "alkalinity",
            Self::MassRate => "mass per time",
        }
    }

    /// Units to offer, most usual first.
    pub fn units(self) -> &'static [&'static str] {
        match self {
            Self::Length => &["mm", "cm", "µm"],
            Self::Volume => &["L", "mL"],
            Self::Flow => &["mL/h", "mL/min", "L/h"],
            Self::Time => &["min", "h", "s", "days"],
            Self::Mass => &["mg", "µg", "g"],
            Self::Share => &["%", "in 100"],
            Self::Rate => &["per day", "per h"],
            Self::Speed => &["mm/s", "cm/min"],
            Self::Density => &["kg/m³", "g/mL"],
            Self::Temperature => &["C", "F"],
            Self::Items => &["items"],
            Self::ItemsPerVolume => &["per mL", "per L"],
            Self::MassPerVolume => &["mg per mL", "µg per mL", "g per L"],
            Self::Area => &["cm2", "mm2"],
            Self::Angle => &["degrees"],
            Self::Stress => &["Pa"],
            Self::MassPerArea => &["g/m2"],
            Self::Resistance => &["mm per mL/h"],
            Self::Difference => &["C", "F"],
            Self::Alkalinity => &["meq/L", "dKH", "mg CaCO3/L"],
            Self::MassRate => &["mg/day"],
        }
    }
}

/// Units to offer for a number that the model holds in a unit, most usual first.
///
/// A tube is measured in metres and a pump in mL a minute, where other lengths and flows are smaller.
pub(crate) fn offered(wanted: &str) -> &'static [&'static str] {
    match wanted {
        "m" => &["m", "cm"],
        "d" => &["days", "h", "min"],
        "mL/min" => &["mL/min", "L/h"],
        "cm/h" => &["cm/h", "mm/h"],
        "mg/L" => &["mg/L"],
        "meq/mL" => &["meq/mL"],
        _ => measure_of(wanted).units(),
    }
}

/// A unit: how it is spelled (folded by [`spell`]), and its size as a fraction of the measure's base unit.
///
/// Two factors instead of one, so that 7 % is exactly 0.07.
struct Unit {
    spellings: &'static [&'static str],
    measure: Measure,
    times: f64,
    over: f64,
}

const fn unit(measure: Measure, times: f64, over: f64, spellings: &'static [&'static str]) -> Unit {
    Unit { spellings, measure, times, over }
}

const UNITS: &[Unit] = &[
    unit(Measure::Length, 1.0, 1.0, &["µm", "um", "micron", "microns", "micrometre", "micrometres"]),
    unit(Measure::Length, 1e3, 1.0, &["mm", "millimetre", "millimetres"]),
    unit(Measure::Length, 1e4, 1.0, &["cm", "centimetre", "centimetres"]),
    unit(Measure::Length, 1e6, 1.0, &["m", "metre", "metres"]),
    unit(Measure::Volume, 1.0, 1e3, &["µl", "ul"]),
    unit(Measure::Volume, 1.0, 1.0, &["ml", "millilitre", "millilitres", "cm3"]),
    unit(Measure::Volume, 1e3, 1.0, &["l", "litre", "litres", "liter", "liters", "dm3"]),
    unit(Measure::Flow, 1.0, 1.0, &["ml/h"]),
    unit(Measure::Flow, 60.0, 1.0, &["ml/min"]),
    unit(Measure::Flow, 1.0, 24.0, &["ml/day"]),
    unit(Measure::Flow, 1e3, 1.0, &["l/h", "litres/h"]),
    unit(Measure::Flow, 6e4, 1.0, &["l/min", "litres/min"]),
    unit(Measure::Flow, 1e3, 24.0, &["l/day", "litres/day"]),
    unit(Measure::Time, 1.0, 1.0, &["s", "sec", "second", "seconds"]),
    unit(Measure::Time, 60.0, 1.0, &["min", "minute", "minutes"]),
    unit(Measure::Time, 3600.0, 1.0, &["h", "hour", "hours"]),
    unit(Measure::Time, 86_400.0, 1.0, &["d", "day", "days"]),
    unit(Measure::Time, 604_800.0, 1.0, &["week", "weeks"]),
    unit(Measure::Mass, 1.0, 1e3, &["ng"]),
    unit(Measure::Mass, 1.0, 1.0, &["µg", "ug", "microgram", "micrograms"]),
    unit(Measure::Mass, 1e3, 1.0, &["mg", "milligram", "milligrams"]),
    unit(Measure::Mass, 1e6, 1.0, &["g", "gram", "grams"]),
    unit(Measure::Share, 1.0, 1.0, &[""]),
    unit(Measure::Share, 1.0, 100.0, &["%", "percent", "per cent"]),
    unit(Measure::Rate, 1.0, 1.0, &["/day"]),
    unit(Measure::Rate, 24.0, 1.0, &["/h"]),
    unit(Measure::Rate, 1440.0, 1.0, &["/min"]),
    unit(Measure::Rate, 1.0, 100.0, &["%/day"]),
    unit(Measure::Rate, 24.0, 100.0, &["%/h"]),
    unit(Measure::Speed, 1.0, 1e3, &["µm/s", "um/s"]),
    unit(Measure::Speed, 1.0, 1.0, &["mm/s"]),
    unit(Measure::Speed, 10.0, 1.0, &["cm/s"]),
    unit(Measure::Speed, 1.0, 60.0, &["mm/min"]),
    unit(Measure::Speed, 10.0, 60.0, &["cm/min"]),
    unit(Measure::Speed, 1.0, 3600.0, &["mm/h"]),
    unit(Measure::Speed, 10.0, 3600.0, &["cm/h"]),
    unit(Measure::Density, 1.0, 1.0, &["kg/m3", "g/l"]),
    unit(Measure::Density, 1e3, 1.0, &["g/ml", "g/cm3", "kg/l"]),
    unit(Measure::Temperature, 1.0, 1.0, &["c", "°c", "celsius", "degrees c"]),
    unit(Measure::Temperature, 5.0, 9.0, &["f", "°f", "fahrenheit", "degrees f"]),
    unit(Measure::Items, 1.0, 1.0, &["items", "item", "animals", "animal", "particles", "particle"]),
    unit(Measure::ItemsPerVolume, 1.0, 1.0, &["/ml", "items/ml", "animals/ml", "particles/ml"]),
    unit(Measure::ItemsPerVolume, 1.0, 1e3, &["/l", "items/l", "animals/l", "particles/l"]),
    unit(Measure::MassPerVolume, 1.0, 1e3, &["µg/ml", "ug/ml", "mg/l"]),
    unit(Measure::MassPerVolume, 1.0, 1.0, &["mg/ml", "g/l"]),
    unit(Measure::MassPerVolume, 1e3, 1.0, &["g/ml"]),
    unit(Measure::Area, 1.0, 1.0, &["mm2", "square millimetres"]),
    unit(Measure::Area, 1e2, 1.0, &["cm2", "sq cm", "square centimetres"]),
    unit(Measure::Angle, 1.0, 1.0, &["°", "degrees", "degree", "deg"]),
    unit(Measure::Stress, 1.0, 1.0, &["pa", "pascal", "n/m2"]),
    unit(Measure::MassPerArea, 1.0, 1.0, &["g/m2"]),
    unit(Measure::Resistance, 1.0, 1.0, &["mm/ml/h"]),
    unit(Measure::Difference, 1.0, 1.0, &["°c of difference", "c", "°c", "celsius", "degrees c"]),
    unit(Measure::Difference, 5.0, 9.0, &["f", "°f", "fahrenheit", "degrees f"]),
    unit(Measure::Alkalinity, 1.0, 1.0, &["meq/l"]),
    unit(Measure::Alkalinity, 1e3, 1.0, &["meq/ml"]),
    // A German degree is 10 mg of CaO (56.077 g/mol, two charges) in a litre.
    unit(Measure::Alkalinity, 20.0, 56.077, &["dkh", "°dkh", "kh", "degrees kh"]),
    unit(Measure::Alkalinity, 2.0, 100.087, &["mg caco3/l"]),
    unit(Measure::MassRate, 1.0, 1.0, &["mg/day"]),
];

/// The unit in which a difference of temperature is read, which has no zero of its own.
pub(crate) const DIFFERENCE: &str = "°C of difference";

/// Where Fahrenheit's scale has its freezing point of water.
const FAHRENHEIT_FREEZING: f64 = 32.0;

/// A number and the unit written after it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Written<'a> {
    /// The number.
    pub number: f64,
    /// The unit as written, trimmed; may be empty.
    pub unit: &'a str,
}

/// Why a text is not a quantity of the wanted measure.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Trouble {
    /// It does not begin with a number.
    NoNumber,
    /// A comma stands in the number.
    Comma,
    /// There is a number but no unit.
    NoUnit(f64),
    /// The unit is not known.
    Unknown(String),
    /// The unit measures something else.
    Other(Measure),
}

/// The unit as a folded spelling: small letters, `/` for "per" and "a", one sign for micro.
fn spell(unit: &str) -> String {
    let folded = unit.to_lowercase().replace('μ', "µ").replace('³', "3").replace('²', "2").replace('ℓ', "l");
    let mut spelled = String::new();
    for word in folded.split_whitespace() {
        match word {
            "per" | "a" | "an" | "each" => spelled.push('/'),
            _ => {
                if !spelled.is_empty() && !spelled.ends_with('/') && !word.starts_with('/') {
                    spelled.push(' ');
                }
                spelled.push_str(word);
            }
        }
    }
    // "per cent" has lost its first word to the rule for "per".
    let spelled = if spelled == "/cent" { "%".to_string() } else { spelled };
    for (long, short) in
        [("/hour", "/h"), ("/minute", "/min"), ("/d", "/day"), ("/litre", "/l"), ("/millilitre", "/ml")]
    {
        if let Some(start) = spelled.strip_suffix(long) {
            return format!("{start}{short}");
        }
    }
    spelled
}

fn find(unit: &str, wanted: Measure) -> Result<&'static Unit, Trouble> {
    let spelled = spell(unit);
    let mut found = UNITS.iter().filter(|unit| unit.spellings.contains(&spelled.as_str()));
    // "g/L" is both a density and a mass per volume: the wanted measure decides.
    let first = found.next().ok_or_else(|| Trouble::Unknown(unit.to_string()))?;
    if first.measure == wanted {
        return Ok(first);
    }
    found.find(|unit| unit.measure == wanted).ok_or(Trouble::Other(first.measure))
}

/// What a unit of the model (as in `NumberInfo::unit`) measures.
pub(crate) fn measure_of(unit: &str) -> Measure {
    let spelled = spell(unit);
    UNITS.iter().find(|known| known.spellings.contains(&spelled.as_str())).map_or(Measure::Share, |known| known.measure)
}

/// True if two spellings mean the same unit.
pub(crate) fn same(one: &str, other: &str) -> bool {
    let (one, other) = (spell(one), spell(other));
    one == other
        || UNITS.iter().any(|unit| [&one, &other].iter().all(|spelled| unit.spellings.contains(&spelled.as_str())))
}

/// Splits a text into its leading number and the rest.
pub(crate) fn split(text: &str) -> Result<Written<'_>, Trouble> {
    let text = text.trim();
    let mut end = 0;
    let mut digits = String::new();
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    let digit_at = |place: usize| letters.get(place).is_some_and(|(_, c)| c.is_ascii_digit());
    for (place, &(byte, letter)) in letters.iter().enumerate() {
        let belongs = match letter {
            '0'..='9' | '.' => true,
            ',' => return Err(Trouble::Comma),
            '+' | '-' | '−' => place == 0 || digits.ends_with(['e', 'E']),
            'e' | 'E' => {
                place > 0
                    && (digit_at(place + 1)
                        || letters.get(place + 1).is_some_and(|(_, c)| *c == '-') && digit_at(place + 2))
            }
            // Thousands set apart: "6 000 items".
            ' ' | '_' | '\u{a0}' | '\u{202f}' => {
                digits.ends_with(|c: char| c.is_ascii_digit())
                    && (1..=3).all(|ahead| digit_at(place + ahead))
                    && !digit_at(place + 4)
            }
            _ => false,
        };
        if !belongs {
            break;
        }
        end = byte + letter.len_utf8();
        match letter {
            '−' => digits.push('-'),
            ' ' | '_' | '\u{a0}' | '\u{202f}' => {}
            other => digits.push(other),
        }
    }
    let number: f64 = digits.parse().map_err(|_| Trouble::NoNumber)?;
    Ok(Written { number, unit: text[end..].trim() })
}

/// Reads a quantity such as `6 L` and gives its size in `wanted`, a unit of the model.
pub(crate) fn read(text: &str, wanted: &str) -> Result<f64, Trouble> {
    let written = split(text)?;
    let measure = measure_of(wanted);
    if measure == Measure::Share
        && let Some(of) = out_of(written.unit)
    {
        return Ok(written.number / of);
    }
    if written.unit.is_empty() && measure != Measure::Share {
        return Err(Trouble::NoUnit(written.number));
    }
    let from = find(written.unit, measure)?;
    let to = find(wanted, measure)?;
    let zero = if measure == Measure::Temperature && from.over > from.times { FAHRENHEIT_FREEZING } else { 0.0 };
    Ok((written.number - zero) * from.times * to.over / (from.over * to.times))
}

/// The 100 of `4 in 100` or `4 out of 100`.
fn out_of(unit: &str) -> Option<f64> {
    let rest = unit.strip_prefix("out of ").or_else(|| unit.strip_prefix("in "))?;
    let of: f64 = rest.trim().parse().ok()?;
    (of.is_finite() && of > 0.0).then_some(of)
}

/// Reads a dose: a volume in mL, a mass in mg or a number of items.
pub(crate) fn read_any(text: &str, wanted: &[&'static str]) -> Result<(f64, &'static str), Trouble> {
    let mut trouble = Trouble::NoNumber;
    for &unit in wanted {
        match read(text, unit) {
            Ok(value) => return Ok((value, unit)),
            Err(found) => trouble = found,
        }
    }
    Err(trouble)
}

/// What to say of a trouble: what is wrong, and a way out.
///
/// `wanted` is a unit of the model.
pub(crate) fn explain(trouble: &Trouble, wanted: &str) -> (String, Option<String>) {
    let measure = measure_of(wanted);
    match trouble {
        Trouble::NoNumber => ("this does not begin with a number".into(), None),
        Trouble::Comma => ("there is a comma in this number".into(), Some("write a point: 0.5, not 0,5".into())),
        Trouble::NoUnit(number) => {
            let unit = match offered(wanted)[0] {
                "days" if *number == 1.0 => "day",
                unit => unit,
            };
            ("the unit is missing".into(), Some(format!("for instance \"{} {unit}\"", words::exact(*number))))
        }
        Trouble::Unknown(unit) => {
            let spellings = UNITS.iter().filter(|unit| unit.measure == measure).flat_map(|unit| unit.spellings);
            let near = words::nearest(unit, offered(wanted).iter().chain(spellings).copied());
            let help = near.map(|near| format!("did you mean \"{near}\"?"));
            (format!("\"{unit}\" is not a unit known here"), help)
        }
        Trouble::Other(other) => {
            (format!("this is {}, not {}", with_article(other.label()), with_article(measure.label())), None)
        }
    }
}

/// A word with "a" or "an" before it.
fn with_article(word: &str) -> String {
    let vowel = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_spellings_of_one_quantity_agree() {
        for text in ["6 L", "6L", "6 l", "6 litres", "6000 mL", "6 000 ml", "6e3 mL"] {
            assert_eq!(read(text, "mL"), Ok(6000.0), "{text}");
        }
        for text in ["28 C", "28°C", "28 °C", "82.4 F"] {
            assert!((read(text, "°C").unwrap() - 28.0).abs() < 1e-12, "{text}");
        }
        for text in ["50 um", "50 µm", "50 μm", "0.05 mm", "50 microns"] {
            assert!((read(text, "µm").unwrap() - 50.0).abs() < 1e-12, "{text}");
        }
        for text in ["200 per mL", "200/mL", "200 / ml", "200 items per mL", "200 a millilitre", "200000 per litre"] {
            assert_eq!(read(text, "per mL"), Ok(200.0), "{text}");
        }
        for text in ["4 in 100", "4 %", "0.04", "4 out of 100", "4 per cent", "2 in 50"] {
            assert_eq!(read(text, ""), Ok(0.04), "{text}");
        }
        assert_eq!(read("300 mL/h", "mL/h"), Ok(300.0));
        assert_eq!(read("5 mL a minute", "mL/h"), Ok(300.0));
        assert_eq!(read("7 %", ""), Ok(0.07));
        assert_eq!(read("0.002 per day", "per day"), Ok(0.002));
        assert_eq!(read("0.1 per hour", "per day"), Ok(0.1 * 24.0));
        assert_eq!(read("1 g/L", "mg per mL"), Ok(1.0));
        assert_eq!(read("1 g/mL", "kg/m³"), Ok(1000.0));
        assert_eq!(read("−2 mm", "mm"), Ok(-2.0));
        for text in ["8 cm2", "8 cm²", "800 mm2", "8 square centimetres"] {
            assert_eq!(read(text, "cm²"), Ok(8.0), "{text}");
        }
        for text in ["60 degrees", "60°", "60 deg"] {
            assert_eq!(read(text, "degrees"), Ok(60.0), "{text}");
        }
        assert_eq!(read("150 cm", "m"), Ok(1.5));
        assert_eq!(read("0.3 L/min", "mL/min"), Ok(300.0));
        assert_eq!(read("18 g/m²", "g/m²"), Ok(18.0));
        assert_eq!(read("0.002 mm per mL/h", "mm per mL/h"), Ok(0.002));
        assert_eq!(read("3 weeks", "d"), Ok(21.0));
        assert_eq!(read("15 mm/h", "cm/h"), Ok(1.5));
        for text in ["2 meq/L", "5.6077 dKH", "100.087 mg CaCO3 per litre"] {
            assert!((read(text, "meq/L").unwrap() - 2.0).abs() < 1e-9, "{text}");
        }
        for text in ["2 C", "3.6 F"] {
            assert!((read(text, DIFFERENCE).unwrap() - 2.0).abs() < 1e-12, "a difference has no zero: {text}");
        }
    }

    #[test]
    fn says_what_is_wrong_with_a_quantity() {
        assert_eq!(read("six litres", "mL"), Err(Trouble::NoNumber));
        assert_eq!(read("0,5 L", "mL"), Err(Trouble::Comma));
        assert_eq!(read("6", "mL"), Err(Trouble::NoUnit(6.0)));
        assert_eq!(read("6 cm", "mL"), Err(Trouble::Other(Measure::Length)));
        assert_eq!(read("6 ltrs", "mL"), Err(Trouble::Unknown("ltrs".into())));
        assert_eq!(read("NaN L", "mL"), Err(Trouble::NoNumber));
        assert_eq!(read("inf", ""), Err(Trouble::NoNumber));
        assert_eq!(read("", ""), Err(Trouble::NoNumber));
    }

    #[test]
    fn every_unit_of_the_model_is_known() {
        use frytub_sim::numbers::{
            FishNumbers, FoodNumbers, KeeperNumbers, LineNumbers, OutletNumbers, ReservoirNumbers, TubNumbers,
            WaterNumbers,
        };
        let units = FishNumbers::<f64>::INFO
            .iter()
            .chain(FoodNumbers::<f64>::INFO)
            .chain(TubNumbers::<f64>::INFO)
            .chain(KeeperNumbers::<f64>::INFO)
            .chain(ReservoirNumbers::<f64>::INFO)
            .chain(LineNumbers::<f64>::INFO)
            .chain(OutletNumbers::<f64>::INFO)
            .chain(WaterNumbers::<f64>::INFO)
            .map(|info| info.unit);
        for unit in units {
            assert_eq!(measure_of(unit) == Measure::Share, unit.is_empty(), "{unit}");
            assert!((read(&format!("3 {unit}"), unit).unwrap() - 3.0).abs() < 1e-12, "{unit}");
        }
    }
}
