//! Nothing: Cargo wants a library or a program in every package. The tests are in the folders beside this one.
