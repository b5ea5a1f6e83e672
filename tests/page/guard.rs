//! Who is let in, how much at once, and how large and slow a request may be.

use std::io::{Read, Write};
use std::net::TcpStream;

use super::client::{FEW, Page, SMALL, demonstration};
use super::crowd;

#[test]
fn foreign_hosts_and_origins_are_turned_away() {
    let page = Page::start(&FEW);
    let host = page.address.to_string();
    for (head, status) in [
        ("GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n".to_string(), 421),
        (format!("GET http://evil.example/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), 421),
        (format!("GET / HTTP/1.1\r\nHost: {host}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"), 421),
        (format!("DELETE / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), 405),
        (format!("GET / HTTP/1.1\r\nHost: localhost:{}\r\nConnection: close\r\n\r\n", page.address.port()), 200),
    ] {
        assert_eq!(page.say(&head).status, status, "{head}");
    }
    for origin in [&[][..], &[("Origin", "null")], &[("Origin", "http://evil.example")]] {
        let answer = page.post_with("/plan", &[("sheet", SMALL), ("file", "x.toml"), ("do", "save")], origin);
        assert_eq!(answer.status, 403, "{origin:?}");
        assert!(answer.header("content-security-policy").is_some(), "refusals carry the policies too");
    }
    assert!(!page.folder.path().join("x.toml").exists());
}

#[test]
fn shared_pages_open_to_whoever_has_the_token() {
    let page = Page::start(&["--share", "--address", "127.0.0.1", "--draws", "16"]);
    let path = page.link.strip_prefix(&format!("http://{}", page.address)).unwrap();
    assert_eq!(path.len(), "/?token=".len() + 32, "{path}");
    assert_eq!(page.get("/").status, 403);
    assert_eq!(page.get("/page.js").status, 403);
    assert_eq!(page.get("/?token=0123456789abcdef0123456789abcdef").status, 403);
    let welcome = page.get(path);
    assert_eq!((welcome.status, welcome.header("location")), (303, Some("/")));
    let cookie = welcome.header("set-cookie").unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"), "{cookie}");
    let cookie = cookie.split(';').next().unwrap();
    let inside =
        page.say(&format!("GET / HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n", page.address));
    assert_eq!(inside.status, 200);
    let origin = format!("http://{}", page.address);
    let own = [("Origin", origin.as_str()), ("Cookie", cookie)];
    let more = page.post_with("/live", &[("sheet", SMALL), ("do", "view.more")], &own);
    assert!(more.body.contains("The link as a QR code"), "{}", more.body);
    let post = |headers: &[(&str, &str)]| page.post_with("/live", &[("sheet", SMALL)], headers).status;
    assert_eq!(post(&[("Origin", &origin), ("Cookie", cookie)]), 200);
    assert_eq!(post(&[("Origin", &origin)]), 403);
    assert_ne!(
        page.link,
        Page::start(&["--share", "--address", "127.0.0.1"]).link,
        "each start has a token of its own"
    );
}

#[test]
fn sizes_and_times_are_bounded() {
    let mut page = Page::start(&FEW);
    let large = "#".repeat(70 * 1024);
    assert_eq!(page.post("/live", &[("sheet", &large)]).status, 400);
    let larger = "#".repeat(300 * 1024);
    assert_eq!(page.post("/live", &[("sheet", &larger)]).status, 413);
    let many: String =
        (0..60).map(|_| "[[tray]]\nfood = \"cooked rice\"\nshape = \"layer\"\ndepth = \"8 mm\"\n").collect();
    let many = format!("icefront = 1\ndryer = \"0.36 m2\"\n{many}");
    let refused = page.post("/live", &[("sheet", &many)]);
    assert!(refused.body.contains("60 trays on 4 shelves"), "{}", refused.body);
    let head = format!("GET /{} HTTP/1.1\r\nHost: {}\r\n\r\n", "x".repeat(40 * 1024), page.address);
    assert!(page.say_bytes(head.as_bytes()).is_none_or(|answer| answer.status == 431 || answer.status == 414));
    page.write("large.toml", &format!("icefront = 1\n{large}"));
    assert_eq!(page.get("/sheet/large.toml").status, 404);
    // half a request holds nobody else up
    let mut half = TcpStream::connect(page.address).unwrap();
    half.write_all(b"POST /plan HTTP/1.1\r\nHost: ").unwrap();
    assert_eq!(page.get("/").status, 200);
    drop(half);
    assert!(page.lives());
}

#[test]
fn silent_connections_give_way_to_those_that_ask() {
    let page = Page::start(&["--share", "--address", "127.0.0.1", "--draws", "16"]);
    let silent: Vec<TcpStream> = (0..600).map(|_| TcpStream::connect(page.address).unwrap()).collect();
    assert_eq!(page.get("/").status, 403, "it answers, though nobody has hung up");
    let closed = (silent.into_iter().take(400)).all(|mut one| matches!(one.read(&mut [0; 1]), Ok(0) | Err(_)));
    assert!(closed, "the oldest were closed");
}

#[test]
fn who_is_refused_keeps_no_connection() {
    let page = Page::start(&["--share", "--address", "127.0.0.1", "--draws", "16"]);
    // it does not ask for the connection to be closed, and the answer ends all the same
    let answer = page.say(&format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", page.address));
    assert_eq!((answer.status, answer.header("connection")), (403, Some("close")));
}

#[test]
fn a_crowd_is_answered_or_turned_away_at_once() {
    let page = Page::start(&[]);
    let sheet = demonstration();
    let fields = [("sheet", sheet.as_str()), ("pace", "rest")];
    let statuses: Vec<u16> = std::thread::scope(|scope| {
        let all: Vec<_> = (0..100).map(|_| scope.spawn(|| page.post("/live", &fields).status)).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect()
    });
    assert!(statuses.iter().all(|status| matches!(status, 200 | 503)), "{statuses:?}");
    assert!(statuses.contains(&200));
    assert_eq!(page.get("/").status, 200, "and then it is free again");
}

#[test]
fn a_crowd_that_drags_is_answered_without_an_error() {
    let page = Page::start(&[]);
    let heard = crowd::drag_all(&page.address.to_string(), 6, &|asked| asked < 8, || ());
    let statuses: Vec<u16> = heard.iter().map(|(status, _)| *status).collect();
    assert!(statuses.len() == 6 * 8 && statuses.iter().all(|status| *status == 200), "{statuses:?}");
}
