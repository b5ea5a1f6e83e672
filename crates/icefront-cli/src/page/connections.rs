//! Connections at once: so many in all, and so many from one address, of which those that are silent give way to new ones.

use std::collections::VecDeque;
use std::net::IpAddr;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tokio::sync::Notify;

/// Connections at once; further ones wait to be taken.
pub const MOST: usize = 512;
/// Of these from one address; nobody fills the page alone.
const MOST_OF_ONE: usize = 128;

/// All connections that are open, the oldest first.
#[derive(Debug, Default)]
pub struct Connections(Mutex<VecDeque<Arc<Connection>>>);

/// One of them.
#[derive(Debug)]
struct Connection {
    from: IpAddr,
    /// Whether a request on it is being answered.
    busy: AtomicBool,
    closed: Notify,
}

/// The place of a connection, given up when dropped.
#[derive(Debug)]
pub struct Place {
    all: Arc<Connections>,
    own: Arc<Connection>,
}

/// A request on a connection that is being answered.
#[derive(Debug)]
pub struct Request(Arc<Connection>);

impl Connections {
    /// A place for one more. Where its address has too many, the oldest one of them that is silent is closed for it; there
    /// is none where all are being answered.
    pub fn take(self: &Arc<Self>, from: IpAddr) -> Option<Place> {
        let mut all = self.lock();
        let of_one = || all.iter().filter(|one| one.from == from);
        if of_one().count() >= MOST_OF_ONE {
            let silent = of_one().find(|one| !one.busy.load(Ordering::Relaxed))?;
            let silent = Arc::clone(silent);
            silent.closed.notify_one();
            all.retain(|one| !Arc::ptr_eq(one, &silent));
        }
        let own = Arc::new(Connection { from, busy: AtomicBool::new(false), closed: Notify::new() });
        all.push_back(Arc::clone(&own));
        Some(Place { all: Arc::clone(self), own })
    }

    fn lock(&self) -> MutexGuard<'_, VecDeque<Arc<Connection>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Place {
    /// Ends when the connection has to give way.
    pub async fn closed(&self) {
        self.own.closed.notified().await;
    }

    /// Marks the connection as busy while a request on it is answered.
    pub fn requests(&self) -> impl Fn() -> Request + Send + Sync + 'static {
        let own = Arc::clone(&self.own);
        move || {
            own.busy.store(true, Ordering::Relaxed);
            Request(Arc::clone(&own))
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        self.all.lock().retain(|one| !Arc::ptr_eq(one, &self.own));
    }
}

impl Drop for Request {
    fn drop(&mut self) {
        self.0.busy.store(false, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use std::net::Ipv4Addr;

    use super::*;

    const HERE: IpAddr = IpAddr::V4(Ipv4Addr::LOCALHOST);

    #[test]
    fn an_address_has_so_many_places_and_its_silent_ones_give_way() {
        let all = Arc::new(Connections::default());
        let places: Vec<Place> = (0..MOST_OF_ONE).map(|_| all.take(HERE).unwrap()).collect();
        let busy = places[0].requests()();
        let next = all.take(HERE).unwrap();
        let runtime = tokio::runtime::Builder::new_current_thread().build().unwrap();
        runtime.block_on(places[1].closed());
        assert_eq!(all.lock().len(), MOST_OF_ONE, "the second gave way, since the first was busy");
        assert!(all.lock().iter().any(|one| Arc::ptr_eq(one, &places[0].own)));
        assert!(
            all.take(IpAddr::V4(Ipv4Addr::new(192, 0, 2, 1))).is_some(),
            "other addresses have places of their own"
        );
        drop((busy, places, next));
        assert_eq!(all.lock().len(), 0, "all are given up");
    }

    #[test]
    fn where_all_are_busy_there_is_no_place() {
        let all = Arc::new(Connections::default());
        let places: Vec<Place> = (0..MOST_OF_ONE).map(|_| all.take(HERE).unwrap()).collect();
        let mut busy: Vec<Request> = places.iter().map(|place| place.requests()()).collect();
        assert!(all.take(HERE).is_none());
        busy.pop();
        assert!(all.take(HERE).is_some());
    }
}
