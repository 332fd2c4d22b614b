//! Any bytes give a job or faults, and every fault can be printed.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    match report::job::read("fuzz.toml", bytes) {
        Ok(job) => assert!(!job.sets.is_empty() && job.sets.iter().all(|set| !set.route.legs.is_empty())),
        Err(faults) => {
            assert!(faults.len() > 0 && faults.plain().starts_with("fuzz.toml:"));
            assert!(!faults.render(false).contains('\u{1b}'));
        }
    }
});
