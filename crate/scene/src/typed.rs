//! Values of JSON as types, by one deserializer for all.

use serde::Deserialize;
use serde::de::{DeserializeOwned, Error};
use serde_json::Value;

/// The name of a field that no type has.
const TAG: &str = "";

/// What stands in that field. Types that tell their variants apart by a field, as edits do, are read by a deserializer of
/// serde's own, with all types within them. Read from JSON by another, everything would be in the page's module twice: in
/// here, whatever is read is the part of such a type, so that there is only the one.
#[derive(Deserialize)]
#[serde(tag = "")]
enum Tagged<T> {
    #[serde(rename = "")]
    Whole(T),
}

/// Reads an object or a list as `T`.
///
/// # Errors
/// The value does not fit the type.
pub fn typed<T: DeserializeOwned>(mut value: Value) -> Result<T, serde_json::Error> {
    let tag = Value::from("");
    match &mut value {
        Value::Object(fields) => {
            if fields.insert(TAG.to_owned(), tag).is_some() {
                return Err(serde_json::Error::custom("unknown field ``"));
            }
        }
        Value::Array(items) => items.insert(0, tag),
        _ => return Err(serde_json::Error::custom("expected an object or a list")),
    }
    Tagged::deserialize(value).map(|Tagged::Whole(typed)| typed)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::Edit;

    #[test]
    fn objects_and_lists_are_read_and_nothing_else() {
        let edit = json!({ "edit": "set_name", "name": "West" });
        assert_eq!(typed::<Edit>(edit.clone()).unwrap(), Edit::SetName { name: "West".to_owned() });
        assert_eq!(typed::<Vec<Edit>>(json!([edit, edit])).unwrap().len(), 2);
        assert_eq!(typed::<Vec<f64>>(json!([0.1, 2, 1e300])).unwrap(), [0.1, 2.0, 1e300]);
        assert!(typed::<Edit>(json!({ "edit": "set_name", "name": "West", "": "" })).is_err());
        assert!(typed::<Edit>(json!({ "edit": "set_name", "nam": "West" })).is_err());
        assert!(typed::<f64>(json!(1.0)).is_err());
    }
}
