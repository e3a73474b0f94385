//! Nothing but tests: that modules form no circles, and that `ARCHITECTURE.md` says of the workspace what is so.
