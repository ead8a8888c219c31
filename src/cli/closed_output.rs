//! Whether the program was started with its standard output closed, as `>&-` does it in a shell.
//!
//! The standard library opens `/dev/null` in the place of a closed stream before `main` begins, so that no file
//! comes to be standard output by chance. What is printed would be lost in silence then. So it is looked at
//! earlier: the systems below run every function in a list of the program before anything else.

use std::sync::atomic::{AtomicBool, Ordering};

static CLOSED: AtomicBool = AtomicBool::new(false);

/// Whether there is no standard output. Where the system can't be asked, there is one.
pub fn is_closed() -> bool {
    CLOSED.load(Ordering::Relaxed)
}

#[cfg(any(target_os = "linux", target_vendor = "apple"))]
mod before_main {
    use std::io;
    use std::os::fd::AsFd;
    use std::sync::atomic::Ordering;

    /// A stream can be opened a second time unless it is closed.
    extern "C" fn look() {
        let again = io::stdout().as_fd().try_clone_to_owned();
        super::CLOSED.store(again.is_err(), Ordering::Relaxed);
    }

    #[expect(
        unsafe_code,
        reason = "the section is the list that the system runs, and what stands in it is a function as it wants it"
    )]
    #[used]
    #[cfg_attr(target_os = "linux", unsafe(link_section = ".init_array"))]
    #[cfg_attr(
        target_vendor = "apple",
        unsafe(link_section = "__DATA,__mod_init_func")
    )]
    static LOOK: extern "C" fn() = look;
}
