#![no_main]
#![expect(missing_docs, reason = "the macro makes public what has no page")]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| setout_fuzz::assess(bytes));
