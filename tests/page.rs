//! The kitchen page over HTTP: routes, answers equal to those of the commands, the same messages, who is let in, what is
//! written, and what happens to requests that no browser would send. Expected numbers are those of `icefront plan` on the
//! same sheet; statuses are those of RFC 9110.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a helper that fails is a test that fails")]

#[path = "page/ask.rs"]
mod ask;
#[path = "page/client.rs"]
mod client;
#[path = "../benches/page_crowd.rs"]
mod crowd;
#[path = "page/files.rs"]
mod files;
#[path = "page/guard.rs"]
mod guard;
#[path = "page/malformed.rs"]
mod malformed;
#[path = "page/run.rs"]
mod run;
#[path = "page/set_up.rs"]
mod set_up;
