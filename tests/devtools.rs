//! A browser for the tests: Chromium without a window, driven by its own `DevTools` protocol.
//!
//! One Chromium starts for the whole run, with the first test that asks for a tab; each tab keeps its own
//! cookies and storage. Where no Chromium is installed the tests say so and pass, unless
//! `TRAINWRIGHT_BROWSER=required`, which the gate sets.

mod chromium;
mod line;
mod tab;

pub(crate) use tab::Tab;
