//! Reads requests of the page strictly: completely or not at all, with the place of every fault.

use std::sync::OnceLock;

use scene::{Fault, Faults, faults_of, typed};
use serde::de::DeserializeOwned;
use serde_json::Value;

/// The JSON schema of every request by the name of its type, as committed.
pub(crate) const SCHEMAS: &str = include_str!("../schema/requests.json");

/// Reads a request, `T`, whose type is called `name` in [`SCHEMAS`].
///
/// # Errors
/// The text is not JSON, or a field is missing, unknown or out of range: every such fault, with its path.
pub(crate) fn read<T: DeserializeOwned>(text: &str, name: &str) -> Result<T, Faults> {
    let whole = |expected: &str, found: String| Faults(vec![Fault::new("", expected, found)]);
    let value: Value =
        serde_json::from_str(text).map_err(|error| whole("a request in JSON", error.to_string()))?;
    let Some(schema) = schema(name) else {
        return Err(whole("a request of the contract", format!("“{name}”")));
    };
    let faults = faults_of(&value, schema);
    if !faults.is_empty() {
        return Err(Faults(faults));
    }
    typed(value).map_err(|error| whole("a request that fits its type", error.to_string()))
}

fn schema(name: &str) -> Option<&'static Value> {
    static ALL: OnceLock<Value> = OnceLock::new();
    // A test reads the committed schemas, so that `Null`, which checks nothing, is never used.
    ALL.get_or_init(|| serde_json::from_str(SCHEMAS).unwrap_or(Value::Null)).get(name)
}
