//! The way to the owner of the workspace.
//!
//! Invariants: what is posted is done in the order of posting; a post is made
//! before anything is awaited, so a handler that posts first keeps the order in
//! which messages came. A panic costs the post that it happens in.
//!
//! Quick work is done by the thread that reads, as soon as there is nothing more to
//! read: to wake another one takes longer than an edit does. Everything else is done
//! on the owner's own thread, so that nothing keeps the reader from reading.

use std::collections::VecDeque;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError, TryLockError};

use tokio::sync::{Notify, oneshot};
use tower_lsp::jsonrpc::{Error, Result};

/// Whoever does the work that is posted.
pub trait Worker {
    /// There are no more posts for now.
    fn caught_up(&mut self);
    /// A post panicked, and may have left things half done.
    fn recover(&mut self);
    /// Whether a quick post, and catching up, would be quick as things stand now.
    fn is_quick(&self) -> bool;
}

/// How much work a post is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// Next to none, as long as the owner is [quick](Worker::is_quick).
    Quick,
    /// As little, and somebody waits for the answer: it goes out before anything else does.
    Answer,
    /// Perhaps so much that it would keep the reader from reading.
    Long,
}

/// How many posts may wait before whoever posts had better wait too.
const CROWD: usize = 64;

/// Posts to an owner. Cheap to clone.
pub struct Mailbox<O>(Arc<Shared<O>>);

impl<O> Clone for Mailbox<O> {
    fn clone(&self) -> Mailbox<O> {
        Mailbox(self.0.clone())
    }
}

struct Shared<O> {
    posts: Mutex<Posts<O>>,
    /// Locked by whoever works. Only the owner's own thread waits for it.
    owner: Mutex<O>,
    /// For the reader's thread: there are posts.
    posted: Notify,
    /// For the owner's own thread: posts were handed over.
    handed_over: Condvar,
}

struct Posts<O> {
    waiting: VecDeque<(Effort, Post<O>)>,
    are_handed_over: bool,
}

/// What is left to do once all posts are done.
#[derive(Debug, PartialEq, Eq)]
enum Left {
    Nothing,
    /// To let answers go out, and then to tell the owner that it has caught up.
    Answers,
}

type Post<O> = Box<dyn FnOnce(&mut O) + Send>;

impl<O: Worker + Send + 'static> Mailbox<O> {
    /// Starts a thread of the owner's own, and the task that does quick work on the thread
    /// that reads. To be called within that thread's runtime.
    ///
    /// # Errors
    /// The thread cannot be started.
    pub fn start(owner: O) -> std::io::Result<Mailbox<O>> {
        let shared = Arc::new(Shared {
            posts: Mutex::new(Posts {
                waiting: VecDeque::new(),
                are_handed_over: false,
            }),
            owner: Mutex::new(owner),
            posted: Notify::new(),
            handed_over: Condvar::new(),
        });
        let own = shared.clone();
        std::thread::Builder::new()
            .name("owner".into())
            .spawn(move || own.work_always())?;
        let beside = shared.clone();
        tokio::spawn(async move {
            loop {
                beside.posted.notified().await;
                if beside.work_quickly(true) == Left::Answers {
                    tokio::task::yield_now().await;
                    beside.work_quickly(false);
                }
            }
        });
        Ok(Mailbox(shared))
    }

    /// Whether so many posts wait that no more should be made for now.
    pub fn is_crowded(&self) -> bool {
        self.0.posts().waiting.len() > CROWD
    }

    /// Posts work; the future gives its result. The call itself posts, not the
    /// first poll of the future.
    pub fn post<T, W>(
        &self,
        effort: Effort,
        work: W,
    ) -> impl Future<Output = Result<T>> + Send + use<T, W, O>
    where
        T: Send + 'static,
        W: FnOnce(&mut O) -> T + Send + 'static,
    {
        let (reply, answer) = oneshot::channel();
        let post: Post<O> = Box::new(move |owner| {
            // Nobody may wait for the answer any longer; the work is done all the same.
            let _ = reply.send(work(owner));
        });
        self.0.posts().waiting.push_back((effort, post));
        match effort {
            Effort::Quick | Effort::Answer => self.0.posted.notify_one(),
            Effort::Long => self.0.hand_over(),
        }
        async move { answer.await.map_err(|_| Error::internal_error()) }
    }
}

impl<O: Worker> Shared<O> {
    fn posts(&self) -> MutexGuard<'_, Posts<O>> {
        self.posts.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn hand_over(&self) {
        self.posts().are_handed_over = true;
        self.handed_over.notify_one();
    }

    /// The owner's own thread: works through whatever is handed over.
    fn work_always(&self) {
        loop {
            let posts = self.handed_over.wait_while(self.posts(), |posts| {
                !std::mem::take(&mut posts.are_handed_over)
            });
            drop(posts.unwrap_or_else(PoisonError::into_inner));
            let mut owner = self.owner.lock().unwrap_or_else(PoisonError::into_inner);
            while let Some((_, post)) = self.next() {
                guarded(&mut *owner, post);
            }
            guarded(&mut *owner, O::caught_up);
        }
    }

    /// Works through the posts while they are quick, and hands over the rest. If it has made
    /// answers and `may_stop`, the owner does not hear yet that it has caught up: they go out first.
    fn work_quickly(&self, may_stop: bool) -> Left {
        let mut has_answers = false;
        let mut owner = match self.owner.try_lock() {
            Ok(owner) => owner,
            Err(TryLockError::Poisoned(owner)) => owner.into_inner(),
            // The owner's own thread is at work, and may have looked for posts for the last time.
            Err(TryLockError::WouldBlock) => {
                self.hand_over();
                return Left::Nothing;
            }
        };
        while owner.is_quick() {
            let is_long = |(effort, _): &(Effort, Post<O>)| *effort == Effort::Long;
            if self.posts().waiting.front().is_some_and(is_long) {
                break;
            }
            match self.next() {
                Some((effort, post)) => {
                    guarded(&mut *owner, post);
                    has_answers |= effort == Effort::Answer;
                }
                None if has_answers && may_stop => return Left::Answers,
                None => {
                    guarded(&mut *owner, O::caught_up);
                    return Left::Nothing;
                }
            }
        }
        drop(owner);
        self.hand_over();
        Left::Nothing
    }

    /// The next post. Whoever takes it has the owner, so that order is kept.
    fn next(&self) -> Option<(Effort, Post<O>)> {
        self.posts().waiting.pop_front()
    }
}

fn guarded<O: Worker>(owner: &mut O, work: impl FnOnce(&mut O)) {
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

    impl Worker for Counter {
        fn caught_up(&mut self) {}
        fn is_quick(&self) -> bool {
            !self.done.len().is_multiple_of(7)
        }
        fn recover(&mut self) {
            self.recovered += 1;
        }
    }

    #[tokio::test]
    async fn posts_are_done_in_order_even_if_awaited_in_another() {
        let mailbox = Mailbox::start(Counter::default()).unwrap();
        let posts: Vec<_> = (0..100)
            .map(|number| {
                let work = move |owner: &mut Counter| owner.done.push(number);
                match number % 4 {
                    1 => mailbox.post(Effort::Answer, work),
                    0 => mailbox.post(Effort::Long, work),
                    _ => mailbox.post(Effort::Quick, work),
                }
            })
            .collect();
        for post in posts.into_iter().rev() {
            post.await.unwrap();
        }
        let done = mailbox
            .post(Effort::Quick, |owner| owner.done.clone())
            .await
            .unwrap();
        assert_eq!(done, (0..100).collect::<Vec<_>>());
    }

    #[tokio::test]
    async fn a_panic_costs_one_post() {
        let mailbox = Mailbox::start(Counter::default()).unwrap();
        let bad = mailbox.post(Effort::Long, |_: &mut Counter| {
            panic!("this is part of the test")
        });
        let good = mailbox.post(Effort::Quick, |owner: &mut Counter| owner.recovered);
        assert!(bad.await.is_err());
        assert_eq!(good.await.unwrap(), 1);
    }
}
