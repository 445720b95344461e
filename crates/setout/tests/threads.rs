//! What a program that embeds the library relies on: everything can be shared between threads.

use setout::{Comparison, Design, Evaluation, Folder, Memory, Revision, Source};

#[test]
fn everything_can_be_shared_between_threads() {
    fn shared<T: Send + Sync>() {}
    shared::<Design>();
    shared::<Evaluation>();
    shared::<Comparison>();
    shared::<Memory>();
    shared::<Folder>();
    shared::<Revision>();
    shared::<Box<dyn Source>>();
}
