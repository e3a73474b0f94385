//! Which file a connection stands on, and whether that is still the one under its name.

use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// A file, whatever its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Identity([u64; 2]);

impl Identity {
    /// That of the file of this name; `None` where there is none that can be looked at.
    pub(crate) fn of(path: &Path) -> Option<Self> {
        fs::metadata(path).ok().as_ref().map(Self::from_metadata)
    }

    #[cfg(unix)]
    fn from_metadata(file: &Metadata) -> Self {
        use std::os::unix::fs::MetadataExt;
        Self([file.dev(), file.ino()])
    }

    /// Other systems do not let an open database be replaced or deleted.
    #[cfg(not(unix))]
    fn from_metadata(_: &Metadata) -> Self {
        Self([0; 2])
    }
}

/// When a file was written last, and how long it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Touch(SystemTime, u64);

impl Touch {
    /// That of the file of this name; `None` where there is none that can be looked at.
    pub(crate) fn of(path: &Path) -> Option<Self> {
        let file = fs::metadata(path).ok()?;
        Some(Self(file.modified().ok()?, file.len()))
    }
}

/// Makes a file that its owner alone can read; leaves one that is there as it is.
pub(crate) fn make_private(path: &Path) -> std::io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    match options.open(path) {
        Ok(_) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => Ok(()),
        Err(error) => Err(error),
    }
}

/// Makes a folder that its owner alone can look into, or makes one that is there so.
pub(crate) fn make_private_folder(path: &Path) -> std::io::Result<()> {
    fs::create_dir_all(path)?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        if is_shared(path) {
            // One of somebody else stays as it is; whether it can be written is found out when it is.
            let _ = fs::set_permissions(path, fs::Permissions::from_mode(0o700));
        }
    }
    Ok(())
}

/// Gives what was made beside a shop's file to the owner of that, as where root has made it. Only root can; for others it is theirs.
pub(crate) fn give_to_owner_of(file: &Path, made: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, chown};
        if let (Ok(file), Ok(own)) = (fs::metadata(file), fs::metadata(made))
            && (file.uid(), file.gid()) != (own.uid(), own.gid())
        {
            let _ = chown(made, Some(file.uid()), Some(file.gid()));
        }
    }
    #[cfg(not(unix))]
    let _ = (file, made);
}

/// Whether others than the owner of a file may read it.
pub(crate) fn is_shared(path: &Path) -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::metadata(path).is_ok_and(|file| file.permissions().mode() & 0o077 != 0)
    }
    #[cfg(not(unix))]
    {
        let _ = path;
        false
    }
}
/// The log beside a database.
pub(crate) fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    name.into()
}
