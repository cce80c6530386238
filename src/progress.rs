//! The bar that moves while a comparison runs: on the error stream, and only when that is a terminal.

use frytub_sim::monte_carlo::Watcher;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// A bar of broods.
pub struct Bar(ProgressBar);

impl Bar {
    /// A bar that is drawn if somebody is there to see it; `what` is counted, in the plural.
    pub fn new(what: &'static str) -> Self {
        let bar = ProgressBar::with_draw_target(Some(1), ProgressDrawTarget::stderr());
        let style = ProgressStyle::with_template("{bar:32} {percent:>3} %  {pos} of {len} {msg}  {eta} left")
            .expect("the template is sound");
        bar.set_style(style);
        bar.set_message(what);
        Self(bar)
    }
}

impl Drop for Bar {
    /// Takes the bar off the screen.
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

impl Watcher for Bar {
    fn progress(&self, done: u64, of: u64) {
        self.0.set_length(of);
        self.0.set_position(done);
    }
}
