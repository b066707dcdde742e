//! Schedules steps that run in parallel: which of the waiting ones may start.

use crate::done::Done;
use crate::fault::Fault;
use crate::process::Log;

/// The load of a step on the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Load {
    /// Mostly waits for the network or the disk: runs beside anything.
    Light,
    /// Keeps at least one processor busy.
    Heavy,
}

/// Number of heavy steps that run at once: one more than there are processors, because a step seldom keeps one busy all
/// the time: a compiler waits for its one linker, a test of the page for its browser. Never more than four, which would
/// only compete for memory.
pub(crate) fn heavy_at_once() -> usize {
    std::thread::available_parallelism().map_or(2, |processors| (processors.get() + 1).min(4))
}

type Body<'a> = Box<dyn FnOnce(&Log) -> Result<Done, Fault> + Send + 'a>;

/// One step of a plan.
pub(crate) struct Step<'a> {
    pub(crate) name: String,
    pub(crate) what: String,
    pub(crate) body: Body<'a>,
    needs: Vec<String>,
    load: Load,
    holds: Option<&'static str>,
}

impl<'a> Step<'a> {
    /// A heavy step that depends on no other.
    pub(crate) fn new(
        name: impl Into<String>,
        what: impl Into<String>,
        body: impl FnOnce(&Log) -> Result<Done, Fault> + Send + 'a,
    ) -> Self {
        Self {
            name: name.into(),
            what: what.into(),
            body: Box::new(body),
            needs: Vec::new(),
            load: Load::Heavy,
            holds: None,
        }
    }

    /// The steps that must have succeeded first; if one has not, this one is skipped.
    pub(crate) fn needs(mut self, names: &[&str]) -> Self {
        self.needs = names.iter().map(|name| (*name).to_owned()).collect();
        self
    }

    pub(crate) fn light(mut self) -> Self {
        self.load = Load::Light;
        self
    }

    /// An exclusive resource, such as a build folder that cargo locks.
    pub(crate) fn holds(mut self, what: &'static str) -> Self {
        self.holds = Some(what);
        self
    }
}

/// The state of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum State {
    Waiting,
    Running,
    Good,
    Bad,
}

/// What to do next with a waiting step.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Next<'a> {
    Start(usize),
    /// The step cannot run, because the named one has failed.
    LeaveOut(usize, &'a str),
    /// Nothing can start until a running step ends, or all have ended.
    Wait,
}

/// Decides what comes next, in the order of the plan. A need that is not a step of the plan counts as met.
///
/// `most`: number of heavy steps that may run at once.
pub(crate) fn next<'a>(steps: &'a [Demand], states: &[State], most: usize) -> Next<'a> {
    let running = || steps.iter().zip(states).filter(|(_, state)| **state == State::Running).map(|(s, _)| s);
    let heavy = running().filter(|step| step.load == Load::Heavy).count();
    for (at, step) in steps.iter().enumerate() {
        if states[at] != State::Waiting {
            continue;
        }
        let state_of = |name: &String| steps.iter().position(|s| s.name == *name).map(|i| states[i]);
        if let Some(failed) = step.needs.iter().find(|name| state_of(name) == Some(State::Bad)) {
            return Next::LeaveOut(at, failed);
        }
        let ready = step.needs.iter().all(|name| state_of(name).is_none_or(|state| state == State::Good));
        let room = step.load == Load::Light || heavy < most;
        let free = step.holds.is_none_or(|what| running().all(|other| other.holds != Some(what)));
        if ready && room && free {
            return Next::Start(at);
        }
    }
    Next::Wait
}

/// The requirements of a step before it may start.
pub(crate) struct Demand {
    name: String,
    needs: Vec<String>,
    load: Load,
    holds: Option<&'static str>,
}

impl Demand {
    pub(crate) fn of(step: &Step<'_>) -> Self {
        Self { name: step.name.clone(), needs: step.needs.clone(), load: step.load, holds: step.holds }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use State::{Bad, Good, Running, Waiting};

    fn step(name: &str) -> Step<'static> {
        Step::new(name, "", |_| Ok(Done::prepared("")))
    }

    fn check(steps: &[Step<'_>], states: &[State], expected: &Next<'_>) {
        let demands: Vec<Demand> = steps.iter().map(Demand::of).collect();
        assert_eq!(next(&demands, states, 2), *expected, "{states:?}");
    }

    #[test]
    fn starts_in_order_and_not_before_what_is_needed() {
        let steps = [step("a"), step("b").needs(&["a"]), step("c")];
        check(&steps, &[Waiting; 3], &Next::Start(0));
        check(&steps, &[Running, Waiting, Waiting], &Next::Start(2));
        check(&steps, &[Good, Waiting, Running], &Next::Start(1));
        check(&steps, &[Running, Waiting, Running], &Next::Wait);
        check(&steps, &[Good; 3], &Next::Wait);
    }

    #[test]
    fn a_failed_step_leaves_out_what_needs_it_and_nothing_else() {
        let steps = [step("a"), step("b").needs(&["a"]), step("c").needs(&["b"]), step("d")];
        check(&steps, &[Bad, Waiting, Waiting, Waiting], &Next::LeaveOut(1, "a"));
        check(&steps, &[Bad, Bad, Waiting, Waiting], &Next::LeaveOut(2, "b"));
        check(&steps, &[Bad, Bad, Bad, Waiting], &Next::Start(3));
    }

    #[test]
    fn no_more_heavy_steps_than_allowed_and_light_ones_beside_them() {
        let steps = [step("a"), step("b"), step("c"), step("d").light()];
        check(&steps, &[Running, Running, Waiting, Waiting], &Next::Start(3));
        check(&steps, &[Running, Running, Waiting, Running], &Next::Wait);
    }

    #[test]
    fn what_one_holds_another_waits_for() {
        let steps = [step("a").holds("x"), step("b").holds("x"), step("c").holds("y")];
        check(&steps, &[Running, Waiting, Waiting], &Next::Start(2));
        check(&steps, &[Bad, Waiting, Waiting], &Next::Start(1));
    }

    #[test]
    fn a_need_that_is_not_planned_does_not_hold_a_step_back() {
        check(&[step("a").needs(&["elsewhere"])], &[Waiting], &Next::Start(0));
    }
}
