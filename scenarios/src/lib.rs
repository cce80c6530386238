//! From a breeder's text to a checked study.
