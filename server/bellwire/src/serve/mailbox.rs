//! The way to the owner of the workspace.
//!
//! Invariants: what is posted is done in the order of posting, on the owner's
//! thread; a post is made before anything is awaited, so a handler that posts
//! first keeps the order in which messages came. A panic costs the post that it
//! happens in.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, Sender, channel};

use tokio::sync::oneshot;
use tower_lsp::jsonrpc::{Error, Result};

type Post<O> = Box<dyn FnOnce(&mut O) + Send>;

/// Whoever works through posts.
pub trait Owner {
    /// There are no more posts for now.
    fn caught_up(&mut self);
    /// A post panicked, and may have left things half done.
    fn recover(&mut self);
}

/// Posts to an owner. Cheap to clone; the owner ends with the last one.
pub struct Mailbox<O>(Sender<Post<O>>);

impl<O> Clone for Mailbox<O> {
    fn clone(&self) -> Mailbox<O> {
        Mailbox(self.0.clone())
    }
}

impl<O: Owner + 'static> Mailbox<O> {
    /// Starts an owner on a thread of its own.
    ///
    /// # Errors
    /// The system gives no thread.
    pub fn start(make: impl FnOnce() -> O + Send + 'static) -> std::io::Result<Mailbox<O>> {
        let (sender, receiver) = channel();
        std::thread::Builder::new()
            .name("owner".into())
            .stack_size(64 << 20)
            .spawn(move || work(make(), &receiver))?;
        Ok(Mailbox(sender))
    }

    /// Posts work and gives its result. The post is made by this call itself,
    /// not when the future is first polled.
    pub fn post<T, W>(&self, work: W) -> impl Future<Output = Result<T>> + Send + use<T, W, O>
    where
        T: Send + 'static,
        W: FnOnce(&mut O) -> T + Send + 'static,
    {
        let (reply, answer) = oneshot::channel();
        let sent = self.0.send(Box::new(move |owner| {
            // Nobody may wait for the answer any longer; the work is done all the same.
            let _ = reply.send(work(owner));
        }));
        async move {
            match sent {
                Ok(()) => answer.await.map_err(|_| Error::internal_error()),
                Err(_) => Err(Error::internal_error()),
            }
        }
    }
}

fn work<O: Owner>(mut owner: O, posts: &Receiver<Post<O>>) {
    while let Ok(post) = posts.recv() {
        guarded(&mut owner, post);
        while let Ok(post) = posts.try_recv() {
            guarded(&mut owner, post);
        }
        guarded(&mut owner, O::caught_up);
    }
}

fn guarded<O: Owner>(owner: &mut O, work: impl FnOnce(&mut O)) {
    if catch_unwind(AssertUnwindSafe(|| work(owner))).is_err() {
        tracing::error!("the work on one message broke off; starting again from the documents");
        if catch_unwind(AssertUnwindSafe(|| owner.recover())).is_err() {
            tracing::error!("starting again broke off too");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Default)]
    struct Counter {
        done: Vec<u32>,
        recovered: u32,
    }

    impl Owner for Counter {
        fn caught_up(&mut self) {}
        fn recover(&mut self) {
            self.recovered += 1;
        }
    }

    #[tokio::test]
    async fn posts_are_done_in_order_even_if_awaited_in_another() {
        let mailbox = Mailbox::start(Counter::default).unwrap();
        let posts: Vec<_> = (0..100)
            .map(|number| mailbox.post(move |owner: &mut Counter| owner.done.push(number)))
            .collect();
        for post in posts.into_iter().rev() {
            post.await.unwrap();
        }
        let done = mailbox.post(|owner| owner.done.clone()).await.unwrap();
        assert_eq!(done, (0..100).collect::<Vec<_>>());
    }

    #[tokio::test]
    async fn a_panic_costs_one_post() {
        let mailbox = Mailbox::start(Counter::default).unwrap();
        let bad = mailbox.post(|_: &mut Counter| panic!("this is part of the test"));
        let good = mailbox.post(|owner: &mut Counter| owner.recovered);
        assert!(bad.await.is_err());
        assert_eq!(good.await.unwrap(), 1);
    }
}
