//! Small plans to work with. Makers, models and sites are invented.

use std::path::PathBuf;

use bellwire_tests::CATALOG;
use bellwire_tests::wire::uri;
use tempfile::TempDir;

use super::client::Client;

/// A site with two keypads, at addresses 1 and `address`.
pub fn site(address: u32) -> String {
    format!(
        "use \"../catalog.bell\"

site quay \"Harbour ½ Ω 🔔\" {{
  panel main : T1 {{
    bus keys {{
      keypad front \"Door 🔔\" : T2, address 1
      keypad rear  \"Yard\" : T2, address {address}
    }}
  }}
  run a : copper-4x22AWG {{
    main.keys --12 m-- front --9 m-- rear
  }}
}}
"
    )
}

/// A folder of plans on disk.
pub struct Folder(TempDir);

impl Folder {
    /// The catalog, and a site that uses it.
    pub fn new() -> Folder {
        let folder = Folder::empty();
        folder.write("catalog.bell", CATALOG);
        folder.write("sites/quay.bell", &site(2));
        folder
    }

    pub fn empty() -> Folder {
        Folder(tempfile::tempdir().unwrap())
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.root().join(name)
    }

    pub fn root(&self) -> PathBuf {
        // The system's folder for such may be a link.
        self.0.path().canonicalize().unwrap()
    }

    pub fn uri(&self, name: &str) -> String {
        uri(&self.path(name))
    }

    pub fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    pub fn remove(&self, name: &str) {
        std::fs::remove_file(self.path(name)).unwrap();
    }
}

/// That the server still works.
pub fn alive(client: &mut Client, folder: &Folder) {
    let uri = folder.uri("sites/alive.bell");
    client.open(&uri, 1, &site(1));
    assert!(codes(&client.findings_of(&uri, 1)).contains(&"address-taken"));
    client.close(&uri);
}

/// The codes of published findings, in their order.
pub fn codes(findings: &serde_json::Value) -> Vec<&str> {
    let findings = findings.as_array().unwrap().iter();
    findings
        .map(|finding| finding["code"].as_str().unwrap())
        .collect()
}
