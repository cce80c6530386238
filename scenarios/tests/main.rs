//! Tests of the scenario reader from outside: broken files and their messages, and files with random damage.

mod bad_input;
mod damage;
