//! Where the page is served: this computer alone, or with `--share` the home network too.

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpListener, UdpSocket};

use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;

use crate::page::guard::{self, Guard};
use icefront_kitchen::Failure;

/// An address reserved for documentation (RFC 5737): the route to it shows this computer's own address; nothing is sent.
const ELSEWHERE: (Ipv4Addr, u16) = (Ipv4Addr::new(192, 0, 2, 1), 9);

/// A port that is listened on, its guard, and the link to it.
#[derive(Debug)]
pub struct Door {
    listener: TcpListener,
    guard: Guard,
    link: String,
    shared: bool,
}

/// Listens. With `shared`, on this computer's address in the home network (or on `at`), behind a fresh token.
pub fn open(port: u16, shared: bool, at: Option<IpAddr>) -> Result<Door, Failure> {
    let ip = match at {
        Some(ip) => ip,
        None if shared => home_address()?,
        None => IpAddr::V4(Ipv4Addr::LOCALHOST),
    };
    let wanted = SocketAddr::new(ip, port);
    let cannot = |error: io::Error| Failure::NoDoor { address: wanted.to_string(), reason: error.to_string() };
    let listener = TcpListener::bind(wanted).map_err(cannot)?;
    let address = listener.local_addr().map_err(cannot)?;
    let token = if shared { Some(guard::fresh_token().map_err(io::Error::other)?) } else { None };
    let link = match &token {
        Some(token) => format!("http://{address}/?token={token}"),
        None => format!("http://{address}/"),
    };
    Ok(Door { listener, guard: Guard::new(address, token), link, shared })
}

impl Door {
    /// The link to open; for others also a QR code and cautions.
    pub fn words(&self) -> String {
        if !self.shared {
            return format!("icefront page: {}\nOnly this computer can open it. It ends with Ctrl-C.\n", self.link);
        }
        let code = QrCode::new(&self.link).map(|code| code.render::<Dense1x2>().quiet_zone(true).build());
        format!(
            "icefront page: {}\n{}\nWhoever has this link can read and change the sheets of this folder: show it only to \
             people you trust, and only in a home network of your own. It is not encrypted. The token holds until the page \
             is ended with Ctrl-C.\n",
            self.link,
            code.unwrap_or_default()
        )
    }

    /// The listener, the guard, and the link where it is to be shown to others.
    pub fn into_parts(self) -> (TcpListener, Guard, Option<String>) {
        let link = self.shared.then_some(self.link);
        (self.listener, self.guard, link)
    }
}

/// This computer's address in the network it would use.
fn home_address() -> Result<IpAddr, Failure> {
    let found = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect(ELSEWHERE)?;
        Ok(socket.local_addr()?.ip())
    });
    let reason = || "no network was found; `--address` states one of this computer's addresses".to_string();
    found
        .ok()
        .filter(|ip| !ip.is_unspecified() && !ip.is_loopback())
        .ok_or_else(|| Failure::NoDoor { address: "the home network".into(), reason: reason() })
}
