//! The printed reference is the one that the tables give. `UPDATE_EXPECT=1`
//! writes it anew.

use bellwire_plan::reference::reference;
use expect_test::expect_file;

#[test]
fn the_printed_reference_is_current() {
    expect_file!["../REFERENCE.md"].assert_eq(&reference());
}
