//! The page's WebAssembly modules: compiled, bound to JavaScript and optimised, each into a folder of `www/src`.

use std::fs;
use std::hash::{DefaultHasher, Hasher};
use std::path::Path;
use std::process::Command;

use crate::done::Done;
use crate::fault::Fault;
use crate::process::{Log, cargo};
use crate::setup::{self, WASM};
use crate::workspace::{Workspace, locked_version};

/// The cargo profile that they are built with.
pub(crate) const PROFILE: &str = "page";

/// Each module's crate, by whose name `crate/web` has an example, and the folder of `www/src` that gets it with its glue.
const MODULES: &[(&str, &str)] =
    &[("web", "pkg"), ("archive", "pkg/archive"), ("new_window", "pkg/new_window")];

/// Names of the modules' crates.
pub(crate) fn crates() -> impl Iterator<Item = &'static str> {
    MODULES.iter().map(|(name, _)| *name)
}

/// The compiler has optimised already: more passes than these take twice as long, and what they save is lost again when
/// the module is compressed. Chromium, Firefox and Safari have supported all the features since 2023.
const OPTIMISE: &[&str] = &[
    "-O1",
    "--shrink-level=1",
    "--enable-bulk-memory",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
    "--enable-simd",
];

/// Builds all modules; set-up must be complete.
pub(crate) fn build(workspace: &Workspace, log: &Log) -> Result<Done, Fault> {
    compile(workspace, log)?;
    let notes: Result<Vec<String>, Fault> =
        MODULES.iter().map(|(name, folder)| finish(workspace, log, name, folder)).collect();
    Ok(Done::checked(notes?.join("; ")))
}

/// Compiles all modules. Each is an example of `web`, because cargo optimises nothing at link time of a crate that is also
/// a Rust library, and because only within one package do all have the same features of the crates that they share.
fn compile(workspace: &Workspace, log: &Log) -> Result<(), Fault> {
    let mut command = cargo();
    command
        .args(["build", "--profile", PROFILE, "--target", WASM, "-p", "web", "--examples"])
        .current_dir(&workspace.root);
    log.must_run(&mut command, "Correct the compiler's errors.")
}

/// Binds and optimises one module. The optimiser takes up to half a minute, so it runs only if cargo's output or the
/// processing of it has changed.
fn finish(workspace: &Workspace, log: &Log, name: &str, folder: &str) -> Result<String, Fault> {
    let module = format!("{}.wasm", name.replace('-', "_"));
    let made = workspace.target.join(WASM).join(PROFILE).join("examples").join(module);
    let bytes = fs::read(&made).map_err(|error| Fault::file(&made, &error))?;
    let package = workspace.www().join("src").join(folder);
    let bound = package.join(format!("{}_bg.wasm", name.replace('-', "_")));
    let stamp = stamp(workspace, &bytes)?;
    let stamp_file = package.join(".stamp");
    if fs::read_to_string(&stamp_file).is_ok_and(|there| there == stamp) && bound.is_file() {
        return Ok(format!("{name} {}, unchanged", size(&bound)?));
    }
    if !workspace.www().join("node_modules/binaryen").is_dir() {
        return Err(Fault::new(
            "wasm-opt is missing.",
            "Run `npm ci` in www; the package binaryen brings it.",
        ));
    }
    // An interrupted build must not be mistaken for a finished one.
    let _ = fs::remove_file(&stamp_file);
    let mut bind = Command::new(setup::wasm_tool("wasm-bindgen")?);
    bind.arg(&made).args(["--target", "web", "--out-dir"]).arg(&package);
    log.must_run(&mut bind, "The crate wasm-bindgen and the tool must have the same version; read the log.")?;
    let mut optimise = setup::node_tool("binaryen/bin/wasm-opt");
    optimise.arg(&bound).arg("-o").arg(&bound).args(OPTIMISE);
    log.must_run(&mut optimise, "Read the log; wasm-opt's flags are in crate/xtask/src/modules.rs.")?;
    fs::write(&stamp_file, stamp).map_err(|error| Fault::file(&stamp_file, &error))?;
    Ok(format!("{name} {}", size(&bound)?))
}

/// A hash of cargo's output and of all its processing.
fn stamp(workspace: &Workspace, made: &[u8]) -> Result<String, Fault> {
    let lock = workspace.www().join("package-lock.json");
    let mut hasher = DefaultHasher::new();
    hasher.write(made);
    hasher.write(locked_version("wasm-bindgen")?.unwrap_or_default().as_bytes());
    hasher.write(OPTIMISE.join(" ").as_bytes());
    hasher.write(&fs::read(&lock).map_err(|error| Fault::file(&lock, &error))?);
    Ok(format!("{:016x}", hasher.finish()))
}

fn size(path: &Path) -> Result<String, Fault> {
    let bytes = fs::metadata(path).map_err(|error| Fault::file(path, &error))?.len();
    Ok(format!("{} KB", bytes.div_ceil(1000)))
}
