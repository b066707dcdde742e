//! `cargo xtask look`: screenshots of the built page at the sizes it is designed for.

use crate::fault::Fault;
use crate::steps::Steps;
use crate::workspace::Workspace;
use crate::{page, setup, suite};

pub(crate) fn run() -> Result<bool, Fault> {
    let workspace = Workspace::read(None)?;
    let mut steps = Steps::new(workspace.target.join("xtask"))?;
    let ready = setup::for_page(&mut steps) && setup::for_browser(&mut steps);
    let built = workspace.www().join("dist/index.html").is_file();
    if ready && (built || page::build(&mut steps, &workspace)) {
        let folder = workspace.target.join("look");
        std::fs::create_dir_all(&folder).map_err(|error| Fault::file(&folder, &error))?;
        steps.run("look", "screenshots of the current www/dist", |log| {
            suite::playwright(&workspace, log, &["--project=look"])
        });
        println!("The pictures are in {}.", folder.display());
    }
    Ok(steps.good())
}
