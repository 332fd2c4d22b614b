//! States of a refrigerant.
