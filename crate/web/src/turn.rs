//! Yields to other pending work.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::prelude::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Lets the browser handle pending work, such as messages, before it resolves. For a page and for a worker.
///
/// # Errors
/// None are expected: both have timers.
pub(crate) async fn next_turn() -> Result<(), JsValue> {
    let global = js_sys::global();
    let timer: Function = Reflect::get(&global, &"setTimeout".into())?.dyn_into()?;
    let turn = Promise::new(&mut |resolve, _| {
        // Refused only if the callback is not a function.
        let _ = timer.call2(&global, &resolve, &JsValue::from_f64(0.0));
    });
    JsFuture::from(turn).await.map(|_| ())
}
