//! Listening: connections with time-outs, a bounded number of them, pages made beside the listening.
use super::enter::HeldBack;
use super::routes::router;
use super::seats::Seats;
use super::site::Site;
use axum::response::Response;
use hyper::server::conn::http1;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::io;
use std::net::TcpListener;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::Duration;

/// How long a client may take.
#[derive(Debug, Clone, Copy)]
pub struct Patience {
    /// For the head of a request, also for the pause between two requests.
    pub head: Duration,
    /// For the body.
    pub body: Duration,
}

impl Default for Patience {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(10),
            body: Duration::from_secs(20),
        }
    }
}

/// Largest head of a request.
const HEAD_BYTES: usize = 32 * 1024;
/// How long the answer to a wrong word is held back. With every seat guessing all the time that is less than a thousand
/// guesses a second among 80 to the 6th words, of which a new one counts after every fifth.
const WRONG_WORD: Duration = Duration::from_millis(500);
/// Pages made at the same time.
const HANDS: usize = 4;

/// Serves until the process ends.
///
/// # Errors
/// The system gives no threads or refuses the listening socket.
pub fn serve(listener: TcpListener, site: &Arc<Site>, patience: Patience) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(HANDS)
        .enable_all()
        .build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let router = TowerToHyperService::new(router(Arc::clone(site), patience));
        let seats = Seats::default();
        loop {
            let Ok((stream, _)) = listener.accept().await else {
                // Out of files or a client that left at once: others may go on.
                tokio::time::sleep(Duration::from_millis(20)).await;
                continue;
            };
            let Some(held) = seats.take() else { continue };
            // Answers are written whole; waiting for more to send would only hold them back.
            let _ = stream.set_nodelay(true);
            let router = router.clone();
            tokio::spawn(async move {
                let seat = Arc::clone(&held.seat);
                let service = service_fn(move |request| {
                    let seat = Arc::clone(&seat);
                    seat.busy.store(true, Ordering::Release);
                    let answer = router.call(request);
                    async move {
                        let answer = answer.await;
                        seat.busy.store(false, Ordering::Release);
                        // Whoever is held back is not busy: a guesser's seat is taken before anybody is kept out.
                        let wrong = |a: &Response| a.extensions().get::<HeldBack>().is_some();
                        if answer.as_ref().is_ok_and(wrong) {
                            tokio::time::sleep(WRONG_WORD).await;
                        }
                        answer
                    }
                });
                let connection = http1::Builder::new()
                    .timer(TokioTimer::new())
                    .header_read_timeout(patience.head)
                    .max_buf_size(HEAD_BYTES)
                    .serve_connection(TokioIo::new(stream), service);
                tokio::select! {
                    // A client that goes away or breaks the protocol is no news.
                    _ = connection => {}
                    () = held.seat.go.notified() => {}
                }
            });
        }
    })
}
