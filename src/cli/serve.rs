//! `ligule serve`: pages for the phone.
use super::output::Outcome;
use super::treat::parse_date;
use anyhow::{Context, Result, bail};
use clap::Args;
use ligule::web::{Options, Patience, Site, serve};
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Port that is tried first.
const PORT: u16 = 8047;

#[derive(Debug, Args)]
pub struct Arguments {
    /// Folder that holds the visits and the record; it is made where it is missing
    #[arg(long, value_name = "DIR", default_value = "lawn")]
    lawn_dir: PathBuf,
    /// Be reachable for phones in the home network, at this machine's address or the one given
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, default_missing_value = "home")]
    listen: Option<String>,
    /// Port
    #[arg(long, value_name = "NUMBER", default_value_t = PORT)]
    port: u16,
    /// Day to take for today, 2026-05-10
    #[arg(long, value_name = "DATE")]
    today: Option<String>,
}

pub fn run(arguments: &Arguments, folder: Option<&Path>) -> Result<Outcome> {
    let address = match arguments.listen.as_deref() {
        None => IpAddr::V4(Ipv4Addr::LOCALHOST),
        Some("home") => home_address()?,
        Some(typed) => typed.parse().with_context(|| {
            format!("`{typed}` is no address of this machine; write it as 192.168.1.20, or --listen alone to have it found")
        })?,
    };
    if address.is_unspecified() {
        bail!(
            "name one address of this machine, such as --listen 192.168.1.20: a browser is only answered under the name that it was told"
        );
    }
    let knowledge = super::output::load(folder)?;
    let sketches = super::key::sketches(folder);
    let listener = TcpListener::bind(SocketAddr::new(address, arguments.port)).with_context(|| {
        format!(
            "cannot listen at {}; another program may be there already (--port NUMBER takes another port)",
            SocketAddr::new(address, arguments.port)
        )
    })?;
    let at = listener.local_addr()?;
    // Whoever lets others in gives the word, whatever the address: it may be forwarded.
    let word_needed = arguments.listen.is_some();
    let today = arguments.today.as_deref().map(parse_date).transpose()?;
    let options = Options {
        folder: arguments.lawn_dir.clone(),
        hosts: hosts(at),
        word_needed,
        today: Arc::new(move || today.unwrap_or_else(|| jiff::ZonedDateTime::now().date())),
        chance: Arc::new(chance()?),
        tell: Arc::new(|words| eprintln!("{words}")),
    };
    // The book serves every request until the process ends.
    let site = Site::new(Box::leak(Box::new(knowledge)), sketches, options)?;
    eprintln!("Lawn folder: {}", arguments.lawn_dir.display());
    match site.word() {
        None => eprintln!(
            "Open http://{at}/ in a browser on this machine. Nobody else can read it. Ctrl-C ends it; every answer is kept."
        ),
        Some(word) => eprintln!("{}", invitation(at, &word)?),
    }
    serve(listener, &site, Patience::default())?;
    Ok(Outcome::Fine)
}

/// How a phone comes in, and who can read along.
fn invitation(at: SocketAddr, word: &str) -> Result<String> {
    let address = format!("http://{at}/enter?word={word}");
    let code = QrCode::new(address.as_bytes()).context("cannot draw the code")?;
    // Terminals are mostly dark, and readers of codes want dark on light.
    let drawn = code
        .render::<Dense1x2>()
        .dark_color(Dense1x2::Light)
        .light_color(Dense1x2::Dark)
        .build();
    let ip = at.ip();
    let far = if is_home(ip) {
        String::new()
    } else {
        format!(
            "Warning: {ip} is not an address of a home network. It may be reachable from far away.\n"
        )
    };
    Ok(format!(
        "{drawn}\n\nOn the phone: scan this, or open http://{at}/ and give the word: {word}\nThe word is good for one phone; the next one is printed here.\nWho can read it: pages go unencrypted through your home network. Whoever is in that network and set on it can read along, so use it at home only, never in a public network.\n{far}Ctrl-C ends it; every answer is kept."
    ))
}

/// Names under which a browser may call this machine.
fn hosts(at: SocketAddr) -> Vec<String> {
    let port = at.port();
    let mut names = vec![at.to_string()];
    if at.ip() == IpAddr::V4(Ipv4Addr::LOCALHOST) || at.ip() == IpAddr::V6(Ipv6Addr::LOCALHOST) {
        names.extend([
            format!("localhost:{port}"),
            format!("127.0.0.1:{port}"),
            format!("[::1]:{port}"),
        ]);
    }
    if port == 80 {
        let bare: Vec<String> = names
            .iter()
            .filter_map(|n| n.strip_suffix(":80").map(str::to_owned))
            .collect();
        names.extend(bare);
    }
    names
}

fn is_home(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(v4) => v4.is_private() || v4.is_link_local() || v4.is_loopback(),
        IpAddr::V6(v6) => v6.is_unique_local() || v6.is_unicast_link_local() || v6.is_loopback(),
    }
}

/// The address from which this machine would speak to others. Nothing is sent: choosing a way needs no packet.
fn home_address() -> Result<IpAddr> {
    let found = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        // An address kept for documentation (RFC 5737); nobody has it.
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
        socket.local_addr()
    });
    match found {
        Ok(at) if !at.ip().is_loopback() && !at.ip().is_unspecified() => Ok(at.ip()),
        _ => bail!(
            "the address of this machine in the home network was not found; name it: --listen 192.168.1.20"
        ),
    }
}

/// Sixteen bytes from the system. That it gives any is tried once, before anything rests on it.
fn chance() -> Result<impl Fn() -> [u8; 16] + Send + Sync + 'static> {
    let mut first = [0; 16];
    getrandom::fill(&mut first)
        .context("the system gives no random bytes, so no secret could be made")?;
    Ok(|| {
        let mut bytes = [0; 16];
        if getrandom::fill(&mut bytes).is_err() {
            // Without chance there is no secret; ending is the only safe thing left.
            std::process::abort();
        }
        bytes
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_invitation_names_address_word_and_who_can_read_along() {
        let at: SocketAddr = "192.168.1.20:8047".parse().expect("an address");
        let text = invitation(at, "tola-kemi-rasu").expect("short enough for a code");
        assert!(text.contains("http://192.168.1.20:8047/") && text.contains("tola-kemi-rasu"));
        assert!(text.contains("unencrypted") && text.contains("read along"));
        assert!(
            text.lines().filter(|l| l.contains('█')).count() > 10,
            "a code"
        );
        assert!(!text.contains("Warning"));
        let far: SocketAddr = "203.0.113.7:80".parse().expect("an address");
        assert!(invitation(far, "x").expect("short").contains("Warning"));
    }

    #[test]
    fn a_browser_may_call_the_machine_by_its_address_alone() {
        let home: SocketAddr = "192.168.1.20:8047".parse().expect("an address");
        assert_eq!(hosts(home), ["192.168.1.20:8047"]);
        let here: SocketAddr = "127.0.0.1:80".parse().expect("an address");
        assert!(hosts(here).contains(&"localhost".to_owned()));
    }
}
