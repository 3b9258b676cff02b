//! What the user can set. Every setting has a default; what is not understood is left at it.

use serde::Deserialize;
use serde_json::Value;

/// The settings, under `bellwire` in the editor's configuration.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(serde::Serialize))]
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
#[cfg_attr(test, derive(serde::Serialize))]
#[serde(rename_all = "lowercase")]
pub enum Delivery {
    /// The server sends them when they change.
    Push,
    /// The editor asks for them. Read when the server starts.
    Pull,
}

/// Which hints to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[cfg_attr(test, derive(serde::Serialize))]
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

    /// Each setting by its full name, with its default.
    fn all() -> Vec<(String, Value)> {
        fn into(prefix: &str, value: Value, found: &mut Vec<(String, Value)>) {
            match value {
                Value::Object(inner) => {
                    for (name, value) in inner {
                        into(&format!("{prefix}.{name}"), value, found);
                    }
                }
                value => found.push((prefix.trim_start_matches('.').to_string(), value)),
            }
        }
        let mut found = Vec::new();
        let defaults = serde_json::to_value(Settings::default()).unwrap();
        into("", defaults, &mut found);
        found.sort_by(|a, b| a.0.cmp(&b.0));
        found
    }

    #[test]
    fn the_editors_page_lists_every_setting() {
        let page = include_str!("../../../../editors/README.md");
        let rows = page.lines().filter_map(|line| line.strip_prefix("| `"));
        let mut rows: Vec<(String, Value)> = rows
            .map(|row| {
                let mut cells = row.split('`');
                let name = cells.next().unwrap().to_string();
                let default = cells.nth(1).unwrap();
                (name, serde_json::from_str(default).unwrap())
            })
            .collect();
        rows.sort_by(|a, b| a.0.cmp(&b.0));
        assert_eq!(rows, all());
    }

    #[test]
    fn vs_code_offers_every_setting() {
        let manifest = include_str!("../../../../editors/vscode/package.json");
        let manifest: Value = serde_json::from_str(manifest).unwrap();
        let offered = &manifest["contributes"]["configuration"][0]["properties"];
        let offered = offered.as_object().unwrap().iter();
        // What the extension itself reads; `findings` is between an editor and the server.
        let own = ["bellwire.server.path", "bellwire.trace.server"];
        let mut offered: Vec<(String, Value)> = offered
            .filter(|(name, _)| !own.contains(&name.as_str()))
            .map(|(name, setting)| {
                let name = name.strip_prefix("bellwire.").unwrap();
                (name.to_string(), setting["default"].clone())
            })
            .collect();
        offered.sort_by(|a, b| a.0.cmp(&b.0));
        let mut wanted = all();
        wanted.retain(|(name, _)| name != "findings");
        assert_eq!(offered, wanted);
    }

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
