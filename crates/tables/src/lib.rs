//! Data and look-up.
