//! Any text is a tube size or refused with help; what is read is written and read again to the same size.
#![no_main]

use report::job::{SizeRequest, size};

libfuzzer_sys::fuzz_target!(|text: &str| {
    match size::read(text) {
        Ok(read) => {
            let again = size::read(&read.to_string()).expect("what is written reads back");
            assert_eq!(SizeRequest { as_written: read.as_written.clone(), ..again }, read);
        }
        Err(error) => assert!(!error.to_string().is_empty() && !error.help().is_empty()),
    }
});
