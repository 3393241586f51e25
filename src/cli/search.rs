//! How long a search for few sheets may go on, and what is shown of it: until it is through, for so
//! many seconds, or until Ctrl-C, which takes the best so far.

use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::output_set::Ctrl;
use crate::optimise::nesting::{Progress, Watch};
use crate::units::counted;

/// Nothing is shown of a search that is through sooner.
const SHOWN_AFTER: Duration = Duration::from_secs(1);
const TICK: Duration = Duration::from_millis(200);

/// Runs a search that ends after so many seconds, if any; `alone` on the terminal it is shown
/// there, and Ctrl-C ends it, not the command.
pub(super) fn watched<T: Send>(
    seconds: Option<f64>,
    alone: bool,
    search: impl FnOnce(&Watch<'_>) -> T,
) -> T {
    let began = Instant::now();
    let is_over = || seconds.is_some_and(|seconds| began.elapsed().as_secs_f64() >= seconds);
    if !alone {
        return search(&Watch::new(&is_over, &|_| ()));
    }
    let ctrl = Ctrl::ends_a_search();
    let stop = || is_over() || ctrl.is_pressed();
    let bar = hidden();
    let tell = |progress: Progress| bar.set_message(words(progress));
    let (through, waiting) = channel::<()>();
    let found = std::thread::scope(|scope| {
        let bar = &bar;
        scope.spawn(move || {
            if waiting.recv_timeout(SHOWN_AFTER) == Err(RecvTimeoutError::Timeout) {
                // Drawn on a terminal only.
                bar.set_draw_target(ProgressDrawTarget::stderr());
                bar.enable_steady_tick(TICK);
            }
        });
        let found = search(&Watch::new(&stop, &tell));
        drop(through);
        found
    });
    bar.finish_and_clear();
    found
}

fn hidden() -> ProgressBar {
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
    bar.set_message("laying out");
    match ProgressStyle::with_template("{spinner} {elapsed} {msg} (Ctrl-C: take the best so far)") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

fn words(progress: Progress) -> String {
    let Progress { sheets, least } = progress;
    let sheets = counted(sheets, "sheet");
    match least {
        0 => format!("laying out: {sheets} so far"),
        least => format!("laying out: {sheets} so far, {least} at the least"),
    }
}

/// Reads a number of seconds.
pub(super) fn seconds(text: &str) -> Result<f64, String> {
    let most = 86_400.0;
    let seconds = text.trim().trim_end_matches('s').parse::<f64>();
    match seconds {
        Ok(seconds) if seconds > 0.0 && seconds <= most => Ok(seconds),
        _ => Err(format!("a number of seconds above 0 and up to {most}, such as 30")),
    }
}
