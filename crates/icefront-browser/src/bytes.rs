//! The exported functions: memory for a message, the call, memory given back. The only place with unsafe code.

use std::ptr;
use std::sync::{LazyLock, Mutex, PoisonError};

use crate::{Answer, Host, Message};

/// Files stay between two calls.
static HOST: LazyLock<Mutex<Host>> = LazyLock::new(Mutex::default);

/// Memory for a message of so many bytes.
#[unsafe(no_mangle)]
pub extern "C" fn icefront_alloc(length: usize) -> *mut u8 {
    let bytes: Box<[u8]> = vec![0; length].into();
    Box::into_raw(bytes).cast()
}

/// Answers a message, whose memory it takes over; gives address (upper half) and length (lower half) of the answer.
///
/// # Safety
/// `address` comes from [`icefront_alloc`] of this `length`, and is not used afterwards.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn icefront_call(address: *mut u8, length: usize) -> u64 {
    // SAFETY: the caller hands over what `icefront_alloc` made
    let asked = unsafe { Box::from_raw(ptr::slice_from_raw_parts_mut(address, length)) };
    let mut host = HOST.lock().unwrap_or_else(PoisonError::into_inner);
    let answer = match Message::read(&asked) {
        Ok(message) => host.answer(message),
        Err(words) => Answer::fault(&words),
    };
    let answer: Box<[u8]> = answer.write().into();
    let length = answer.len() as u64;
    let address = Box::into_raw(answer).cast::<u8>() as u64;
    address << 32 | length
}

/// Gives the memory of an answer back.
///
/// # Safety
/// `address` and `length` come from [`icefront_call`], and are not used afterwards.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn icefront_free(address: *mut u8, length: usize) {
    // SAFETY: the caller hands back what `icefront_call` made
    drop(unsafe { Box::from_raw(ptr::slice_from_raw_parts_mut(address, length)) });
}
