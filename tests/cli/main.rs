//! The command as people and programs meet it: the examples of `data/jobs`, files, exit statuses, the stable JSON.
//!
//! The wording and the layout of the sheets are tested beside the code that writes them; here only what scripts and
//! readers may rely on is asserted.

// Helpers of the tests stand outside the test functions, where the lint does not see that they are tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod batch;
mod budget;
mod by_hand;
mod command;
mod console;
mod data_folder;
mod examples;
mod files;
mod help;
mod interface;
mod interrupted;
mod judgement;
mod layouts;
mod material_list;
mod one_job_two_unit_systems;
mod pack;
mod remedies;
mod roofs;
