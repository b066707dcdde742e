//! Debian packages: installed if root runs this, and otherwise named in the error.

use std::process::Command;

use crate::fault::Fault;
use crate::process::{Log, answer, find};

/// Packages that are missing, and how to get what they hold.
pub(crate) struct Missing<'a> {
    /// What they are for, as in "Firefox, to try the page in it".
    pub(crate) what: &'a str,
    pub(crate) packages: Vec<&'a str>,
    /// Whether to leave out what they recommend but do not need.
    pub(crate) only_needed: bool,
    /// What to do on other systems.
    pub(crate) elsewhere: &'a str,
}

/// The exclusive resource of a step that installs packages: apt runs once at a time.
pub(crate) const APT: &str = "apt";

impl Missing<'_> {
    /// The command that installs them, as typed in a shell.
    fn by_hand(&self) -> String {
        let option = if self.only_needed { "--no-install-recommends " } else { "" };
        format!("apt-get install {option}{}", self.packages.join(" "))
    }

    /// The error if nothing may be installed here.
    fn not_ours(&self) -> Fault {
        Fault::new(
            format!(
                "Missing packages (Debian names): {}. They are for {}.",
                self.packages.join(" "),
                self.what
            ),
            format!("On Debian or Ubuntu: sudo {}. {}", self.by_hand(), self.elsewhere),
        )
    }

    /// What to do if apt fails.
    fn remedy(&self) -> String {
        format!(
            "The packages are for {}. Run this to see why: apt-get update && {}",
            self.what,
            self.by_hand()
        )
    }
}

/// Installs the packages.
pub(crate) fn install(log: &Log, missing: &Missing<'_>) -> Result<(), Fault> {
    let is_root = answer("id", &["-u"]).as_deref() == Some("0");
    if !is_root || find("apt-get").is_none() {
        return Err(missing.not_ours());
    }
    let apt = |words: &[&str]| {
        let mut command = Command::new("apt-get");
        // Another apt may be at work on this machine, and a mirror may fail once.
        command.args(["-o", "DPkg::Lock::Timeout=120", "-o", "Acquire::Retries=2"]).args(words);
        command.env("DEBIAN_FRONTEND", "noninteractive");
        command
    };
    log.must_run(&mut apt(&["update"]), &missing.remedy())?;
    let mut words = vec!["install", "-y"];
    words.extend(missing.only_needed.then_some("--no-install-recommends"));
    words.extend(&missing.packages);
    log.must_run(&mut apt(&words), &missing.remedy())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_is_missing_what_for_and_how_to_get_it() {
        let missing = Missing {
            what: "a browser",
            packages: vec!["one", "two"],
            only_needed: true,
            elsewhere: "Elsewhere unpack it.",
        };
        let refused = missing.not_ours().to_string();
        assert!(refused.contains("one two. They are for a browser."), "{refused}");
        assert!(
            refused.contains("sudo apt-get install --no-install-recommends one two. Elsewhere"),
            "{refused}"
        );
        let remedy = missing.remedy();
        assert!(remedy.contains("a browser"), "{remedy}");
        assert!(
            remedy.ends_with("apt-get update && apt-get install --no-install-recommends one two"),
            "{remedy}"
        );
    }
}
