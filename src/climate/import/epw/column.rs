//! The fields of the hourly lines that are read.

use super::short;
use crate::climate::import::fault::Fault;

/// A field of the hourly lines.
#[derive(Clone, Copy)]
pub(super) struct Column {
    /// From 0.
    pub at: usize,
    pub name: &'static str,
    /// From this value on nothing was measured.
    pub missing_from: f64,
    pub low: f64,
    pub high: f64,
    pub unit: &'static str,
    /// What a value out of range may come from.
    pub hint: &'static str,
}

pub(super) const COLUMNS: [Column; 10] = [
    Column {
        at: 6,
        name: "dry bulb temperature",
        missing_from: 99.9,
        low: -90.0,
        high: 60.0,
        unit: "°C",
        hint: "EPW holds °C: convert it if it is in °F or in tenths",
    },
    Column {
        at: 7,
        name: "dew point",
        missing_from: 99.9,
        low: -90.0,
        high: 60.0,
        unit: "°C",
        hint: "EPW holds °C: convert it if it is in °F or in tenths",
    },
    Column {
        at: 8,
        name: "relative humidity",
        missing_from: 999.0,
        low: 0.0,
        high: 110.0,
        unit: "%",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 13,
        name: "global horizontal radiation",
        missing_from: 9999.0,
        low: 0.0,
        high: 1500.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: convert kJ (by 3.6), or write 9999 where nothing was measured",
    },
    Column {
        at: 15,
        name: "diffuse horizontal radiation",
        missing_from: 9999.0,
        low: 0.0,
        high: 1100.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: convert kJ (by 3.6), or write 9999 where nothing was measured",
    },
    Column {
        at: 20,
        name: "wind direction",
        missing_from: 999.0,
        low: 0.0,
        high: 360.0,
        unit: "°",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 21,
        name: "wind speed",
        missing_from: 999.0,
        low: 0.0,
        high: 60.0,
        unit: "m/s",
        hint: "EPW holds m/s: convert km/h or knots, or write 999 where nothing was measured",
    },
    Column {
        at: 22,
        name: "total sky cover",
        missing_from: 99.0,
        low: 0.0,
        high: 10.0,
        unit: "tenths",
        hint: "EPW holds tenths of the sky: convert eighths, or write 99 where nothing was measured",
    },
    Column {
        at: 33,
        name: "liquid precipitation depth",
        missing_from: 999.0,
        low: 0.0,
        high: 300.0,
        unit: "mm",
        hint: "correct it, or write 999 where nothing was measured",
    },
    Column {
        at: 12,
        name: "infrared radiation of the sky",
        missing_from: 9999.0,
        low: 0.0,
        high: 700.0,
        unit: "Wh/m²",
        hint: "EPW holds the hour's sum in Wh/m²: correct it, or write 9999 where nothing was measured",
    },
];

pub(super) const AIR: usize = 0;
pub(super) const DEW: usize = 1;
pub(super) const RH: usize = 2;
pub(super) const GLOBAL: usize = 3;
pub(super) const SKY: usize = 4;
pub(super) const WIND_FROM: usize = 5;
pub(super) const WIND: usize = 6;
pub(super) const CLOUD: usize = 7;
pub(super) const RAIN: usize = 8;
pub(super) const SKY_HEAT: usize = 9;

/// What stands in a field.
pub(super) enum Value {
    Known(f64),
    Missing,
    /// Out of range: a slip where there are few, a wrong unit where there are many.
    Beyond(Fault),
}

pub(super) fn value(line: usize, fields: &[&str], column: &Column) -> Result<Value, Fault> {
    let Some(word) = fields.get(column.at).copied().filter(|w| !w.is_empty()) else {
        return Ok(Value::Missing);
    };
    let fault = |what: String, remedy: &str| {
        Fault::at(line, what, remedy).in_field(format!("field {} ({})", column.at + 1, column.name))
    };
    let Ok(value) = word.parse::<f64>() else {
        return Err(fault(
            format!("\"{}\" is not a number", short(word)),
            "correct it, or leave the field empty where nothing was measured; decimals take a point",
        ));
    };
    if value >= column.missing_from || value == -9999.0 || value == -999.0 {
        return Ok(Value::Missing);
    }
    if !(column.low..=column.high).contains(&value) {
        return Ok(Value::Beyond(fault(
            format!(
                "{word} {} is not possible ({} to {})",
                column.unit, column.low, column.high
            ),
            column.hint,
        )));
    }
    Ok(Value::Known(value))
}
