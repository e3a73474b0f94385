//! Where an instrument is reached: over the network, or on a serial line.

use std::io::{Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::Duration;

use serial2::SerialPort;

/// Where an instrument is reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Port {
    /// Host and port, such as `192.168.1.20:5025`.
    Network(String),
    /// A serial line of this machine, 8 bits without parity and with one stop bit.
    Serial {
        /// Its device, such as `/dev/ttyUSB0` or `COM3`.
        device: String,
        /// Bits a second.
        baud: u32,
    },
}

/// What is asked and heard.
pub trait Talk: Read + Write + Send {}

impl<T: Read + Write + Send> Talk for T {}

impl Port {
    /// The port that a text names: a device where it is a path or `COM` with a number, else a host with its port.
    pub fn named(text: &str, baud: u32) -> Self {
        let com = text
            .get(..3)
            .filter(|start| start.eq_ignore_ascii_case("com"))
            .and_then(|_| text.get(3..))
            .is_some_and(|number| !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit()));
        if text.starts_with('/') || com {
            Self::Serial {
                device: text.into(),
                baud,
            }
        } else {
            Self::Network(text.into())
        }
    }

    /// Opens it; `None` where nobody is there. Reads and writes end after that patience.
    pub fn open(&self, patience: Duration) -> Option<Box<dyn Talk>> {
        match self {
            Self::Network(host) => {
                let stream = host
                    .to_socket_addrs()
                    .ok()?
                    .find_map(|at| TcpStream::connect_timeout(&at, patience).ok())?;
                stream.set_read_timeout(Some(patience)).ok()?;
                stream.set_write_timeout(Some(patience)).ok()?;
                Some(Box::new(stream))
            }
            Self::Serial { device, baud } => {
                let mut port = SerialPort::open(device, *baud).ok()?;
                port.set_read_timeout(patience).ok()?;
                port.set_write_timeout(patience).ok()?;
                Some(Box::new(port))
            }
        }
    }
}
