//! What `icefront --version` tells besides the number: for what machine, how and with which compiler it was built.

use std::process::Command;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let asked = |name: &str| std::env::var(name).unwrap_or_default();
    let compiler = Command::new(asked("RUSTC")).arg("--version").output();
    let compiler = compiler.ok().and_then(|said| String::from_utf8(said.stdout).ok()).unwrap_or_default();
    println!("cargo::rustc-env=ICEFRONT_BUILT={} build for {}, {}", asked("PROFILE"), asked("TARGET"), compiler.trim());
}
