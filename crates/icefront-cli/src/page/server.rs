//! Connections: so many and no more, each with a limit on how long it may take to say what it wants.

use std::future::{Future, poll_fn};
use std::net::TcpListener;
use std::pin::pin;
use std::sync::Arc;
use std::task::Poll;
use std::time::Duration;

use axum::Router;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::sync::Semaphore;

use crate::page::connections::{self, Connections};
use crate::page::gate;
use icefront_kitchen::Failure;

/// A connection that has not sent the head of its next request by then is closed.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Largest head of a request, bytes.
const HEAD_BYTES: usize = 16 * 1024;
/// Pause after a connection could not be accepted, so that a shortage does not become a busy loop.
const BREATH: Duration = Duration::from_millis(50);

/// Serves until the program is ended.
pub fn serve(listener: TcpListener, routes: Router) -> Result<(), Failure> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(2 * gate::cores() + 2)
        .enable_all()
        .build()?;
    runtime.block_on(accept(listener, routes))
}

async fn accept(listener: TcpListener, routes: Router) -> Result<(), Failure> {
    let listener = tokio::net::TcpListener::from_std(listener)?;
    let free = Arc::new(Semaphore::new(connections::MOST));
    let open = Arc::new(Connections::default());
    loop {
        let Ok(place) = Arc::clone(&free).acquire_owned().await else { return Ok(()) };
        let Ok((stream, from)) = listener.accept().await else {
            tokio::time::sleep(BREATH).await;
            continue;
        };
        let Some(own) = open.take(from.ip()) else { continue };
        let (routes, request) = (TowerToHyperService::new(routes.clone()), own.requests());
        let service = service_fn(move |received| {
            let (busy, answer) = (request(), routes.call(received));
            async move {
                let answer = answer.await;
                drop(busy);
                answer
            }
        });
        tokio::spawn(async move {
            let mut builder = http1::Builder::new();
            builder.timer(TokioTimer::new()).header_read_timeout(HEAD_TIME).max_buf_size(HEAD_BYTES);
            // a connection that breaks off concerns nobody else
            let (mut served, mut closed) =
                (pin!(builder.serve_connection(TokioIo::new(stream), service)), pin!(own.closed()));
            poll_fn(|context| {
                let over = served.as_mut().poll(context).is_ready() || closed.as_mut().poll(context).is_ready();
                if over { Poll::Ready(()) } else { Poll::Pending }
            })
            .await;
            drop(place);
        });
    }
}
