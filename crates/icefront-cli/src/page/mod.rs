//! The kitchen page: the sheet as a form, the answer beside it, in a browser.
//!
//! ```text
//! request -> guard -> asked -> draft + fields (form -> sheet) -> sheet reader -> gate -> answer -> view -> response
//! ```
//! The sheet is the only truth: a form is made from a sheet, and what the form sends back is put into that sheet, read by
//! the reader that `icefront plan` uses, and answered by what `icefront plan` computes. The server keeps nothing between
//! requests but the folder it was started in.

mod address;
mod answer;
mod asked;
mod connections;
mod draft;
mod fields;
mod files;
mod finished;
mod gate;
mod guard;
mod names;
mod night;
mod pantry;
mod places;
mod readings;
mod routes;
mod screen;
mod server;
mod shapes;
mod slider;
mod tools;
mod view;

pub use address::{Door, open};
pub use answer::Settings;
pub use files::Folder;

use icefront_kitchen::failure::Failure;

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
