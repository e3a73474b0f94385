//! What a kill, another writer and a full output leave behind.

use std::process::Stdio;
use std::time::Duration;

use crate::common::{Folder, LIST, says};

/// A price list of many lines, each at this price.
fn long_list(price: &str) -> String {
    let lines = (0..3_000).map(|k| format!("K-{k},disc,15,,5,N42,Ni-Cu-Ni,10,{price},\n"));
    let heading = LIST.lines().next().unwrap().to_owned() + "\n";
    std::iter::once(heading).chain(lines).collect()
}

/// The price of an item, as it is shown.
fn price_of(folder: &Folder, code: &str) -> String {
    let item = folder.run(&["item", code, "--json"]).done();
    let item: serde_json::Value = serde_json::from_str(&item).unwrap();
    item["prices"][0]["each"].to_string()
}

#[test]
fn a_killed_import_leaves_all_of_it_or_nothing() {
    let folder = Folder::new();
    folder.write("a.csv", long_list("1.00"));
    folder.write("b.csv", long_list("1.50"));
    folder.run(&["shelf", "import", "a.csv"]).done();
    for round in 0..16 {
        let file = ["b.csv", "a.csv"][round % 2];
        let mut child = folder
            .command(&["shelf", "import", file])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(40 * round as u64));
        // It may have ended already.
        let _ = child.kill();
        child.wait().unwrap();
        assert_eq!(price_of(&folder, "K-0"), price_of(&folder, "K-2999"), "round {round}");
    }
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
    let left = folder.names();
    assert!(left.iter().all(|name| !name.starts_with(".tmp")), "{left:?}");
}

#[test]
fn four_writers_at_once_lose_nothing() {
    let folder = Folder::with_shop();
    let writers: Vec<_> = (0..4)
        .map(|k| {
            let name = format!("w{k}.csv");
            folder.write(&name, LIST.replace("14-07", &format!("W{k}-07")));
            folder
                .command(&["shelf", "import", &name])
                .stdout(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut writer in writers {
        assert!(writer.wait().unwrap().success());
    }
    says(&folder.run(&["shelf", "list"]).done(), &["7 items"]);
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
}

#[cfg(target_os = "linux")]
#[test]
fn output_that_cannot_be_written_is_a_failure() {
    let folder = Folder::with_shop();
    for arguments in [
        &["shelf", "list"][..],
        &["openapi"],
        &["--json", "item", "14-07"],
        &["--help"],
        &["--version"],
    ] {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = folder.command(arguments).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        says(&String::from_utf8(output.stderr).unwrap(), &["cannot be written"]);
    }
}

/// Runs where a file may grow to 32 KiB, by another shell 64 KiB, as on a full disk; going beyond is an error and no signal.
#[cfg(target_os = "linux")]
fn on_a_full_disk(folder: &Folder, arguments: &[&str]) -> crate::common::Ran {
    with_room(folder, 64, arguments)
}

/// Runs where a file may grow to so many blocks and no further.
#[cfg(target_os = "linux")]
fn with_room(folder: &Folder, blocks: u32, arguments: &[&str]) -> crate::common::Ran {
    let limited = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let output = std::process::Command::new("sh")
        .args(["-c", &limited, env!("CARGO_BIN_EXE_lodewright")])
        .args(arguments)
        .current_dir(folder.path(""))
        .env_remove("LODEWRIGHT_SHOP")
        .output()
        .unwrap();
    crate::common::Ran::of(&arguments.join(" "), output)
}

#[cfg(target_os = "linux")]
#[test]
fn on_a_full_disk_answers_come_and_nothing_is_torn() {
    let folder = Folder::with_shop();
    // The log beside the file stays, and is longer than what may be written.
    let (_served, _) = crate::server::serve(&folder, &[]);
    for load in 1..12 {
        let load = format!("{load}00 g");
        folder.run(&["ask", "--keep", "hold", &load, "hanging below 10 mm steel"]);
    }
    let log = std::fs::metadata(folder.path("lodewright-shop.sqlite-wal"))
        .unwrap()
        .len();
    assert!(log > 64 << 10, "{log} bytes");
    let kept = || folder.run(&["desk", "list"]).done();
    let before = kept();
    let answer = on_a_full_disk(
        &folder,
        &["ask", "--keep", "hold", "1.25 kg", "hanging below 10 mm steel"],
    );
    assert_ne!(answer.code, Some(2), "{answer:?}");
    says(&answer.out, &["holds", "is not kept"]);
    folder.write("b.csv", long_list("1.50"));
    let import = on_a_full_disk(&folder, &["shelf", "import", "b.csv"]).problem();
    says(&import, &["disk"]);
    says(&on_a_full_disk(&folder, &["shelf", "list"]).out, &["3 items"]);
    assert_eq!(kept(), before);
    says(&folder.run(&["shelf", "list"]).done(), &["3 items"]);
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
    folder.run(&["shelf", "import", "b.csv"]).done();
}

/// Where there is no room for a log either, nothing was answered at all.
#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_is_quite_full_is_read() {
    let folder = Folder::with_shop();
    assert!(!folder.path("lodewright-shop.sqlite-wal").exists());
    says(&with_room(&folder, 0, &["shelf", "list"]).done(), &["3 items"]);
    let hold = ["ask", "--keep", "hold", "1.25 kg", "hanging below 10 mm steel"];
    let answer = with_room(&folder, 0, &hold);
    assert_ne!(answer.code, Some(2), "{answer:?}");
    says(&answer.out, &["holds", "is not kept"]);
    folder.write("b.csv", long_list("1.50"));
    with_room(&folder, 0, &["shelf", "import", "b.csv"]).problem();
    says(&folder.run(&["shelf", "check"]).done(), &["is whole"]);
}

/// As somebody who may read the folder and write nothing: root may write everywhere.
#[cfg(target_os = "linux")]
#[test]
fn a_copy_that_cannot_be_written_is_served_to_customers() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Folder::with_shop();
    let mode = |name: &str, mode| {
        let permissions = std::fs::Permissions::from_mode(mode);
        std::fs::set_permissions(folder.path(name), permissions).unwrap();
    };
    mode("lodewright-shop.sqlite", 0o444);
    mode("", 0o555);
    let script = "if [ $(id -u) = 0 ]; then exec setpriv --reuid=65534 --regid=65534 --clear-groups \"$0\" \"$@\"; \
                  else exec \"$0\" \"$@\"; fi";
    let child = std::process::Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_lodewright")])
        .args(["serve", "--port", "0", "--public", "127.0.0.1:0"])
        .current_dir(folder.path(""))
        .env_remove("LODEWRIGHT_SHOP")
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let (_served, _) = crate::server::said_by(child);
    mode("", 0o755);
}
