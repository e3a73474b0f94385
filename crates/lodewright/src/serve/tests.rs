//! The interface as a router, without a socket.
