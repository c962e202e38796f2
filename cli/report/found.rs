//! The JSON document of `find`.
