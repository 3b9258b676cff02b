//! What the user can set. Every setting has a default; what is not understood is left at it.

use bellwire_assist::HintSettings;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// The settings, under `bellwire` in the editor's configuration.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settings {
    /// How findings reach the editor.
    pub findings: Delivery,
    /// The hints between the words.
    pub hints: HintSettings,
    /// Whether load, standby time and the device with least to spare stand above panels and sites.
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

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            findings: Delivery::Push,
            hints: HintSettings::default(),
            lenses: true,
        }
    }
}

impl Settings {
    /// What a client gives when it is asked; `None` from one that has nothing set.
    pub fn given(value: &Value) -> Option<Settings> {
        (!value.is_null()).then(|| Settings::read(value))
    }

    /// Reads settings: the object itself, or one that holds it as `bellwire`. What
    /// is of the wrong type is logged and left at its default, it alone.
    pub fn read(value: &Value) -> Settings {
        let value = value.get("bellwire").unwrap_or(value);
        let all = Settings::default();
        Settings {
            findings: one(value, "/findings", all.findings),
            hints: HintSettings {
                devices: one(value, "/hints/devices", all.hints.devices),
                legs: one(value, "/hints/legs", all.hints.legs),
                zones: one(value, "/hints/zones", all.hints.zones),
            },
            lenses: one(value, "/lenses", all.lenses),
        }
    }
}

/// A setting by the way to it.
fn one<T: DeserializeOwned>(settings: &Value, way: &str, default: T) -> T {
    match settings.pointer(way) {
        None | Some(Value::Null) => default,
        Some(value) => T::deserialize(value).unwrap_or_else(|error| {
            let name = way.trim_start_matches('/').replace('/', ".");
            tracing::warn!(
                "the setting `{name}` cannot be read and is left at its default: {error}"
            );
            default
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    /// What each setting is for: the one source of what the editors' pages say.
    const MEANINGS: &[(&str, &str)] = &[
        (
            "findings",
            "`\"pull\"`: the editor asks for findings, rather than being sent them. Read when the server starts, from its `initializationOptions`.",
        ),
        (
            "hints.devices",
            "Show volts and amperes behind each device: those of the state in which it gets least.",
        ),
        ("hints.legs", "Show the voltage lost on each leg of a run."),
        (
            "hints.zones",
            "Show the ohms that each zone's loop measures when all is well.",
        ),
        (
            "lenses",
            "Show load, standby time and the device with least to spare above panels, supplies and sites.",
        ),
    ];

    /// The rows of a settings table.
    fn table() -> String {
        let defaults: Vec<(String, Value)> = all();
        let rows = MEANINGS.iter().map(|(name, meaning)| {
            let mut defaults = defaults.iter();
            let (_, default) = defaults.find(|(known, _)| known == name).unwrap();
            format!("| `{name}` | `{default}` | {meaning} |\n")
        });
        rows.collect()
    }

    /// Each setting by its full name, with its default.
    fn all() -> Vec<(String, Value)> {
        // One that is added must stand here, or this does not compile.
        let Settings {
            findings,
            hints:
                HintSettings {
                    devices,
                    legs,
                    zones,
                },
            lenses,
        } = Settings::default();
        let all = [
            ("findings", json!(findings)),
            ("hints.devices", json!(devices)),
            ("hints.legs", json!(legs)),
            ("hints.zones", json!(zones)),
            ("lenses", json!(lenses)),
        ];
        all.map(|(name, default)| (name.to_string(), default))
            .into()
    }

    #[test]
    fn every_setting_has_its_meaning() {
        let names: Vec<_> = MEANINGS.iter().map(|(name, _)| name.to_string()).collect();
        let all: Vec<_> = all().into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, all);
    }

    #[test]
    fn the_editors_page_has_the_table() {
        let page = include_str!("../../../../editors/README.md");
        let written: String = page
            .lines()
            .filter(|line| line.starts_with("| `"))
            .map(|line| format!("{line}\n"))
            .collect();
        assert_eq!(written, table());
    }

    #[test]
    fn vs_code_offers_every_setting_in_the_same_words() {
        let manifest = include_str!("../../../../editors/vscode/package.json");
        let manifest: Value = serde_json::from_str(manifest).unwrap();
        let offered = &manifest["contributes"]["configuration"][0]["properties"];
        let offered = offered.as_object().unwrap().iter();
        // What the extension itself reads; `findings` is between an editor and the server.
        let own = ["bellwire.server.path", "bellwire.trace.server"];
        let mut offered: Vec<(String, Value, String)> = offered
            .filter(|(name, _)| !own.contains(&name.as_str()))
            .map(|(name, setting)| {
                let name = name.strip_prefix("bellwire.").unwrap();
                let meaning = setting["description"].as_str().unwrap();
                (
                    name.to_string(),
                    setting["default"].clone(),
                    meaning.to_string(),
                )
            })
            .collect();
        offered.sort_by(|a, b| a.0.cmp(&b.0));
        let meanings = MEANINGS.iter().map(|(_, meaning)| meaning.to_string());
        let wanted = all().into_iter().zip(meanings);
        let wanted = wanted.filter(|((name, _), _)| name != "findings");
        let wanted: Vec<_> = wanted
            .map(|((name, default), meaning)| (name, default, meaning))
            .collect();
        assert_eq!(offered, wanted);
    }

    #[test]
    fn a_client_that_has_nothing_set_leaves_settings_as_they_are() {
        assert_eq!(Settings::given(&Value::Null), None);
        let given = Settings::given(&json!({"lenses": false})).unwrap();
        assert!(!given.lenses);
    }

    #[test]
    fn what_is_not_set_keeps_its_default() {
        assert_eq!(Settings::read(&Value::Null), Settings::default());
        assert_eq!(Settings::read(&json!({"other": 1})), Settings::default());
        let read =
            Settings::read(&json!({"bellwire": {"hints": {"legs": false}, "findings": "pull"}}));
        assert!(!read.hints.legs && read.hints.devices && read.lenses);
        assert_eq!(read.findings, Delivery::Pull);
        for nothing in [
            json!([]),
            json!("x"),
            json!({"hints": false}),
            json!({"lenses": null}),
        ] {
            assert_eq!(Settings::read(&nothing), Settings::default());
        }
        let read = Settings::read(&json!({"lenses": "no", "hints": {"legs": 0, "devices": false}}));
        assert!(read.lenses && read.hints.legs && !read.hints.devices);
    }
}
