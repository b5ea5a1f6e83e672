//! The kitchen page over HTTP: routes, answers equal to those of the commands, the same messages, who is let in, what is
//! written, and what happens to requests that no browser would send. Expected numbers are those of `icefront plan` on the
//! same sheet; statuses are those of RFC 9110.

mod ask;
pub mod client;
#[path = "../benches/page_crowd.rs"]
mod crowd;
mod files;
mod guard;
mod malformed;
mod run;
mod set_up;
