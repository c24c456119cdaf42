//! Tests with the built-in faces; fonts of other scripts are tried by tests/text, which fetches them.
