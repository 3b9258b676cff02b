//! What the user can set. Every setting has a default; what is not understood is left at it.

use serde::Deserialize;
use serde_json::Value;

/// The settings, under `bellwire` in the editor's configuration.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(default, rename_all = "camelCase")]
pub struct Settings {
    /// How findings reach the editor.
    pub findings: Delivery,
    /// The hints between the words.
    pub hints: Hints,
    /// Whether load, standby time and the worst device stand above panels and sites.
    pub lenses: bool,
}

/// Who asks for findings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Delivery {
    /// The server sends them when they change.
    Push,
    /// The editor asks for them. Read when the server starts.
    Pull,
}

/// Which hints to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(default, rename_all = "camelCase")]
pub struct Hints {
    /// Volts and amperes at each device.
    pub devices: bool,
    /// The drop on each leg of a run.
    pub legs: bool,
    /// The ohms at each zone.
    pub zones: bool,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            findings: Delivery::Push,
            hints: Hints::default(),
            lenses: true,
        }
    }
}

impl Default for Hints {
    fn default() -> Hints {
        Hints {
            devices: true,
            legs: true,
            zones: true,
        }
    }
}

impl Settings {
    /// Reads settings: the object itself, or one that holds it as `bellwire`. A
    /// setting of the wrong type is logged and everything left at its default.
    pub fn read(value: &Value) -> Settings {
        let value = value.get("bellwire").unwrap_or(value);
        if value.is_null() {
            return Settings::default();
        }
        Settings::deserialize(value).unwrap_or_else(|error| {
            tracing::warn!("the settings cannot be read and are left at their defaults: {error}");
            Settings::default()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn what_is_not_set_keeps_its_default() {
        assert_eq!(Settings::read(&Value::Null), Settings::default());
        assert_eq!(Settings::read(&json!({"other": 1})), Settings::default());
        let read =
            Settings::read(&json!({"bellwire": {"hints": {"legs": false}, "findings": "pull"}}));
        assert!(!read.hints.legs && read.hints.devices && read.lenses);
        assert_eq!(read.findings, Delivery::Pull);
        assert_eq!(
            Settings::read(&json!({"lenses": "yes"})),
            Settings::default()
        );
    }
}
