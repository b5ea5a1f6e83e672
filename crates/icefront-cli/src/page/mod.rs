//! The server of the kitchen page: connections, who may send requests, and how much is computed at once. What is shown is
//! `icefront-page`'s.
//!
//! ```text
//! connection -> guard -> route -> gate (a core to compute on) -> icefront_page::State -> HTML -> response
//! ```

mod address;
mod connections;
mod gate;
mod guard;
mod routes;
mod server;

pub use address::{Door, open};

use icefront_kitchen::Failure;
use icefront_page::{Folder, Settings};

/// All that a page at this address answers in this folder, without a socket.
pub fn routes_of(folder: Folder, settings: Settings, address: std::net::SocketAddr) -> axum::Router {
    routes::routes(routes::Page::new(folder, None, settings, None), guard::Guard::new(address, None))
}

/// Serves the page behind this door until the program is ended. `first` is the sheet it shows when it is opened.
pub fn serve(door: Door, folder: Folder, first: Option<String>, settings: Settings) -> Result<(), Failure> {
    let (listener, guard, link) = door.into_parts();
    let routes = routes::routes(routes::Page::new(folder, first, settings, link), guard);
    server::serve(listener, routes)
}
